"""Which single failure leaves less than survival water, and what takes that away."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count

from wellsolar import kinds
from wellsolar.results.outages import Fix, Outage, WeakLink
from wellsolar.site.schema import Site
from wellsolar.studies.asked.changed_site import changed_site, may_be_written
from wellsolar.studies.hand.handle import BELOW_LEVEL
from wellsolar.studies.hand.verdicts import CYLINDER, DEPTH
from wellsolar.studies.house.wells import at_well
from wellsolar.studies.outage.equipment import (
    Equipment,
    Event,
    single_events,
    wanted_of,
    whole_event,
)
from wellsolar.studies.outage.power import SunOnPumps
from wellsolar.studies.outage.sources import Tried, outage, stores_of
from wellsolar.studies.plumbing.layout import into_tank
from wellsolar.studies.sold.standard_sizes import Sold, next_up, sizes
from wellsolar.units import System, in_file, show
from wellsolar.verdicts import Change, set_to

SMALL_TANK = 4.0
"""Tank up to which water in store is cheaper than another pump [m3]: common practice, no
source."""

LARGEST_TANK = 100.0
"""Tank above which nobody would keep water for an outage [m3]: our choice."""

ROOM = 0.98
"""Part of the well's depth down to which a cylinder may hang: our choice."""

LEAST_LEVER = 6.0
"""Lever from which on one is advised where there is none: common practice, no source."""

STROKES = {"US": "6 in", "SI": "150 mm"}
"""Strokes in which hand pumps are made: common practice, no source."""


@dataclass(frozen=True)
class Candidate:
    """A change that may help. kind, text, changes: as of `results.Fix`."""

    kind: str
    text: str
    changes: tuple[Change, ...]


def candidates(has: Equipment, site: Site, short: Outage, survival: float) -> Iterator[Candidate]:
    """What may clear a link, the cheapest first: valve, cylinder, modules, small storage, hand
    pump, large storage, generator."""
    system, table = site.site.print_units, site.hand_pump
    if table is not None and into_tank(site) is not None and not table.spout_valve:
        change = set_to("hand_pump.spout_valve", True)
        yield Candidate("valve", "a valve that lets the hand pump into a bucket", (change,))
    yield from _deeper(has, site)
    yield from _moved(site, short)
    storage = _storage(site, short, survival)
    if storage is not None and storage[1] <= SMALL_TANK:
        yield storage[0]
    yield from _hand_pump(has, site, short)
    if storage is not None and storage[1] > SMALL_TANK:
        yield storage[0]
    if "generator" not in short.failed:
        needed = [
            pump.start.generator_needed
            for pump in has.pumps
            if pump.start is not None
            and pump.start.generator_needed is not None
            and pump.name not in short.failed
        ]
        if needed:
            size, text = _sold("generator", min(needed), kinds.APPARENT_POWER, system)
            change = set_to("power.generator_rating", size)
            yield Candidate("generator", f"a generator of {text}", (change,))


def _text(value: float, kind: kinds.Kind, system: System) -> str:
    return show(value, kind, system, toward="up")


def _sold(sold: Sold, needed: float, kind: kinds.Kind, system: System) -> tuple[str, str]:
    """The size to buy as a file has it, and in words with what is needed; what is needed itself
    where nothing so large is sold."""
    exact, size = _text(needed, kind, system), next_up(sold, needed, kind, system)
    if size is None:
        return exact, f"{exact} or more"
    return in_file(size), f"{show(size, kind, system)} (needs {exact})"


def _depth(has: Equipment) -> float | None:
    """Where a cylinder stays under water in the low season [m]; None where the well ends first."""
    hand = has.site.hand_pump
    well = (has.site if hand is None else at_well(has.site, hand)).well
    level = float(well.static_level)
    if has.hand is not None and has.hand.level_known:
        level = max(level, has.hand.low_level)
    bottom = ROOM * well.depth
    depth = min(level + BELOW_LEVEL, bottom)
    return depth if depth > well.static_level else None


def _deeper(has: Equipment, site: Site) -> Iterator[Candidate]:
    table, depth = site.hand_pump, _depth(has)
    if table is None or has.hand is None or table.kind != "deep well" or depth is None:
        return
    hangs = has.hand.cylinder_depth or 0.0
    if depth > hangs:
        text = _text(depth, kinds.LENGTH, site.site.print_units)
        change = set_to("hand_pump.cylinder_depth", text)
        yield Candidate("cylinder", f"the hand pump's cylinder at {text}", (change,))


def _moved(site: Site, short: Outage) -> Iterator[Candidate]:
    """Each group of modules that could feed the pump straight, or the battery."""
    for index, group in enumerate(site.array, 1):
        if group.name in short.failed:
            continue
        goals = ["pump"] if group.feeds == "battery" else []
        if group.feeds in ("heater", "other"):
            goals = ["battery", "pump"] if site.power.battery_energy is not None else ["pump"]
        for goal in goals:
            text = f'the modules "{group.name}" moved to the {goal}, strung to suit it'
            yield Candidate("modules", text, (set_to(f"array[{index}].feeds", goal),))


def _storage(site: Site, short: Outage, survival: float) -> tuple[Candidate, float] | None:
    """A storage tank that carries the house through, and its volume [m3]."""
    if "storage tank" in short.failed or not short.failed:
        return None  # What lacks a source every day is not helped by a store.
    table = site.storage_tank
    reserve = 0.5 if table is None else float(table.reserve)
    standing = 0.0 if table is None else float(table.volume)
    volume = standing + (survival - short.volume) * short.days / reserve
    if volume > LARGEST_TANK:
        return None
    size, text = _sold("storage tank", volume * 1.001, kinds.VOLUME, site.site.print_units)
    change = set_to("storage_tank.volume", size)
    return Candidate("storage", f"a storage tank of {text}", (change,)), volume


def _hand_pump(has: Equipment, site: Site, short: Outage) -> Iterator[Candidate]:
    """A deep-well hand pump that its own study passes; one that is there gets a second person."""
    depth, table, system = _depth(has), site.hand_pump, site.site.print_units
    if "hand pump" in short.failed or depth is None:
        return
    if has.hand is not None and has.hand.draws_water:
        if table is not None and table.people_pumping == 1:
            change = set_to("hand_pump.people_pumping", 2)
            yield Candidate("hand pump", "two people at the hand pump together", (change,))
        return
    hung = _text(depth, kinds.LENGTH, system)
    for lever in sizes("lever", kinds.RATIO):
        for bore in (
            reversed(sizes("cylinder", kinds.BORE, system)) if lever >= LEAST_LEVER else ()
        ):
            changes = (
                set_to("hand_pump.kind", "deep well"),
                set_to("hand_pump.bore", bore),
                set_to("hand_pump.stroke", STROKES[system]),
                set_to("hand_pump.lever_ratio", lever),
                set_to("hand_pump.cylinder_depth", hung),
            )
            if _passes(has, site, changes):
                shown = show(bore, kinds.BORE, system)
                text = f"a deep-well hand pump, {shown} cylinder at {hung}, lever {lever:g} to 1"
                yield Candidate("hand pump", text, changes)
                return


def _passes(has: Equipment, site: Site, changes: tuple[Change, ...]) -> bool:
    """True where the hand pump's own study and the fit in the casing refuse nothing."""
    tried = has.changed(changed_site(site, changes)).low
    verdicts = tried.said("hand_pump").verdicts
    if any(verdict.status == "fail" for verdict in verdicts):
        return False
    statuses = {verdict.rule: verdict.status for verdict in verdicts}
    if statuses.get(DEPTH) != "pass" or statuses.get(CYLINDER) not in ("pass", "unknown"):
        return False
    return all(verdict.status != "fail" for verdict in tried.said("casing").verdicts)


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


def _tried_on(tried: Tried, site: Site, candidate: Candidate) -> Tried:
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
    then = _tried_on(tried, site, candidate)
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
    for step in count():
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
        tried = _tried_on(tried, site, best.candidate)
        site = changed_site(site, best.candidate.changes)
        outages = _singly(tried, site)
    return (), None


def own_fix(tried: Tried, site: Site, event: Event, short: Outage) -> Fix | None:
    """The cheapest change that leaves survival water in one outage; None where nothing that was
    tried does."""
    for candidate in candidates(tried.has, site, short, tried.wanted.survival or 0.0):
        after = outage(_tried_on(tried, site, candidate), event)
        if not after.short:
            return Fix(candidate.kind, candidate.text, candidate.changes, after.volume)
    return None
