"""Which single failure leaves less than survival water, and what takes that away."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.results import Fix, Outage, WeakLink
from wellsolar.site.schema import Site
from wellsolar.studies.asked.changed_site import changed_site, may_be_written
from wellsolar.studies.outage.equipment import wanted_of
from wellsolar.studies.outage.events import Event, single_events, whole_event
from wellsolar.studies.outage.fixes import Candidate, candidates
from wellsolar.studies.outage.power import SunOnPumps
from wellsolar.studies.outage.sources import Tried, outage, stores_of

MOST_TRIED = 12
"""Changes that are tried at most in each step, so that nobody waits long."""

STEPS = 3
"""Changes that are made at most one after the other."""

Singly = dict[Event, Outage]

BROUGHT = {"hand pump": "hand pump", "storage": "storage tank", "generator": "generator"}
"""What a change brings that was not there: where that fails, all is as before."""


@dataclass(frozen=True)
class Links:
    """Each component alone in failing, and what clears all weak ones; as of `OutageResult`."""

    links: tuple[WeakLink, ...]
    plan: tuple[Fix, ...]
    planned: float | None


@dataclass(frozen=True, eq=False)
class Attempt:
    """A change that clears some links: which ones, and by what."""

    candidate: Candidate
    clears: dict[frozenset[str], Fix]


def tried_on(tried: Tried, site: Site, candidate: Candidate) -> Tried:
    """The same questions after a change."""
    has = tried.has.changed(changed_site(site, candidate.changes))
    wanted = wanted_of(has.site)
    # A cylinder or a handle changes nothing of what the modules give.
    kept = candidate.kind in ("valve", "cylinder", "hand pump")
    return Tried(has, tried.sun if kept else SunOnPumps(has), wanted, stores_of(has, wanted))


def weak_links(tried: Tried, site: Site, fixes: bool = True) -> Links:
    """Each component alone, and for the weak ones the cheapest change that clears them, unless no
    fixes are asked for.

    A change counts only where, written into the file, it leaves survival water and makes no
    other component a weak link.
    """
    outages = _singly(tried, site)
    if not fixes:
        bare = (WeakLink(event.name, outage, None) for event, outage in outages.items())
        return Links(tuple(bare), (), None)
    attempts = _attempts(tried, site, outages)
    cleared: dict[frozenset[str], Fix] = {}
    for attempt in attempts:
        for failed, fix in attempt.clears.items():
            cleared.setdefault(failed, fix)
    links = tuple(
        WeakLink(event.name, outage, cleared.get(event.failed))
        for event, outage in outages.items()
    )
    return Links(links, *_plan(tried, site, outages, attempts))


def _singly(tried: Tried, site: Site) -> Singly:
    events = (whole_event(site), *single_events(site))
    return {event: outage(tried, event) for event in events}


def _short(outages: Singly) -> list[Outage]:
    """The outages with too little, the one with the least first."""
    short = [outage for outage in outages.values() if outage.short]
    return sorted(short, key=lambda outage: (outage.survival or 0.0, outage.key != "whole"))


def _attempts(tried: Tried, site: Site, outages: Singly) -> list[Attempt]:
    """The changes that clear something, in the order of their cost for each link."""
    attempts: list[Attempt] = []
    seen: set[tuple[object, ...]] = set()
    weak = {outage.failed for outage in outages.values() if outage.short}
    survival = tried.wanted.survival or 0.0
    for short in _short(outages):
        for candidate in candidates(tried.has, site, short, survival):
            if candidate.changes in seen or len(seen) >= MOST_TRIED:
                continue
            seen.add(candidate.changes)
            if not may_be_written(candidate.changes):
                continue
            clears = _clears(tried, site, candidate, weak)
            attempts += [Attempt(candidate, clears)] if clears else []
    return attempts


def _clears(
    tried: Tried, site: Site, candidate: Candidate, weak: set[tuple[str, ...]]
) -> dict[frozenset[str], Fix]:
    """The links that a change clears; none where it makes another weak link."""
    then = tried_on(tried, site, candidate)
    clears: dict[frozenset[str], Fix] = {}
    for event, after in _singly(then, changed_site(site, candidate.changes)).items():
        if after.short:
            if after.failed not in weak and event.failed != {BROUGHT.get(candidate.kind, "")}:
                return {}
        elif after.failed in weak:
            fix = Fix(candidate.kind, candidate.text, candidate.changes, after.volume)
            clears[event.failed] = fix
    return clears


def _plan(
    tried: Tried, site: Site, outages: Singly, attempts: list[Attempt]
) -> tuple[tuple[Fix, ...], float | None]:
    """Changes one after the other until no link is weak, and the least water then [m3]; nothing
    where there is no such way."""
    steps: list[Fix] = []
    for step in range(STEPS + 1):
        short = _short(outages)
        if not short:
            least = min(outage.volume for outage in outages.values())
            return tuple(steps), least if steps else None
        attempts = attempts if step == 0 else _attempts(tried, site, outages)
        if not attempts or step == STEPS:
            break
        # Water with all in order goes first, then the cheapest of those that clear most.
        best = max(
            attempts, key=lambda attempt: (frozenset() in attempt.clears, len(attempt.clears))
        )
        steps.append(min(best.clears.values(), key=lambda fix: fix.volume))
        tried = tried_on(tried, site, best.candidate)
        site = changed_site(site, best.candidate.changes)
        outages = _singly(tried, site)
    return (), None


def own_fix(tried: Tried, site: Site, event: Event, short: Outage) -> Fix | None:
    """The cheapest change that leaves survival water in one outage; None where nothing that was
    tried does."""
    for candidate in candidates(tried.has, site, short, tried.wanted.survival or 0.0):
        after = outage(tried_on(tried, site, candidate), event)
        if not after.short:
            return Fix(candidate.kind, candidate.text, candidate.changes, after.volume)
    return None
