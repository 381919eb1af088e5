"""Which single failure leaves less than survival water, and what takes that away."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.results import Fix, Outage, WeakLink
from wellsolar.site.schema import Site
from wellsolar.studies.outage_equipment import wanted_of
from wellsolar.studies.outage_events import Event, single_events
from wellsolar.studies.outage_fixes import Candidate, candidates, equipment_with
from wellsolar.studies.outage_power import SunOnPumps
from wellsolar.studies.outage_sources import Tried, outage, stores_of

MOST_TRIED = 12
"""Changes that are tried at most for one site, so that the answer does not keep one waiting."""


@dataclass(frozen=True)
class Links:
    """Each component alone in failing, and what clears all weak ones at once."""

    links: tuple[WeakLink, ...]
    fix: Fix | None


def tried_on(tried: Tried, told: Site, candidate: Candidate) -> Tried:
    """The same questions after a change.

    Parameters:
        tried: before it
        told: the site as in its file
        candidate: the change
    Returns:
        what outages are tried on then
    """
    has = equipment_with(tried.has, told, candidate, tried.has.year)
    wanted = wanted_of(has.site)
    kept = candidate.kind in ("cylinder", "hand pump")
    sun = tried.sun if kept else SunOnPumps(has)
    return Tried(has, sun, wanted, stores_of(has, wanted))


def weak_links(tried: Tried, told: Site) -> Links:
    """Each component alone, and for the weak ones the cheapest change that clears them.

    A change counts only where, written into the file, it leaves survival water and makes no
    other component a weak link.

    Parameters:
        tried: the site's equipment and what it needs
        told: the site as in its file
    Returns:
        the links and a change that clears them all, where one does
    """
    events = single_events(told)
    found = {event: outage(tried, event) for event in events}
    short = {event: each for event, each in found.items() if each.short}
    cleared: dict[Event, Fix] = {}
    of_all: Fix | None = None
    if short:
        worst = min(short.values(), key=lambda each: each.survival or 0.0)
        cleared, of_all = _clear(tried, told, worst, short)
    links = tuple(WeakLink(e.name, each, cleared.get(e)) for e, each in found.items())
    return Links(links, of_all)


def _clear(
    tried: Tried, told: Site, worst: Outage, short: dict[Event, Outage]
) -> tuple[dict[Event, Fix], Fix | None]:
    """The first change that clears each link, and the first that clears them all."""
    survival = tried.wanted.survival
    assert survival is not None
    cleared: dict[Event, Fix] = {}
    of_all: Fix | None = None
    seen: set[tuple[object, ...]] = set()
    for each in [worst, *short.values()]:
        for candidate in candidates(tried.has, told, each, survival):
            if candidate.changes in seen or len(seen) >= MOST_TRIED:
                continue
            seen.add(candidate.changes)
            after = _after(tried, told, candidate, short)
            for event, fix in after.items():
                cleared.setdefault(event, fix)
            if of_all is None and len(after) == len(short):
                of_all = min(after.values(), key=lambda fix: fix.survival)
        if of_all is not None and len(cleared) == len(short):
            break
    return cleared, of_all


def _after(
    tried: Tried, told: Site, candidate: Candidate, short: dict[Event, Outage]
) -> dict[Event, Fix]:
    """The links that a change clears; none where it makes another weak link."""
    then = tried_on(tried, told, candidate)
    weak = {each.failed for each in short.values()}
    made: dict[Event, Fix] = {}
    for event in single_events(then.has.site):
        after = outage(then, event)
        if not after.short:
            before = next((e for e in short if e.failed == event.failed), None)
            if before is not None and after.survival is not None:
                fix = Fix(candidate.kind, candidate.text, candidate.changes, after.survival)
                made[before] = fix
        elif after.failed not in weak and not _is_new(event, candidate):
            return {}
    return made


def _is_new(event: Event, candidate: Candidate) -> bool:
    """True where what fails is what the change would have brought: then all is as before."""
    brought = {"hand pump": "hand pump", "storage": "storage tank", "generator": "generator"}
    return event.failed == {brought.get(candidate.kind, "")}


def own_fix(tried: Tried, told: Site, event: Event, short: Outage) -> Fix | None:
    """The cheapest change that leaves survival water in one outage.

    Parameters:
        tried: the site's equipment and what it needs
        told: the site as in its file
        event: what has failed
        short: the outage, with too little
    Returns:
        the change; None where nothing that was tried does
    """
    survival = tried.wanted.survival
    assert survival is not None
    for candidate in candidates(tried.has, told, short, survival):
        after = outage(tried_on(tried, told, candidate), event)
        if not after.short and after.survival is not None:
            return Fix(candidate.kind, candidate.text, candidate.changes, after.survival)
    return None
