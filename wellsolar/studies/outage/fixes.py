"""Changes of a site file that may take away a weak link, each built and tried as it is written."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from wellsolar import kinds
from wellsolar.results import Outage
from wellsolar.site import shape
from wellsolar.site.defaults import fill
from wellsolar.site.schema import Site, Table
from wellsolar.studies.hand.study import BELOW_LEVEL
from wellsolar.studies.hand.verdicts import CYLINDER, DEPTH
from wellsolar.studies.outage.equipment import Equipment
from wellsolar.units import System, show
from wellsolar.verdicts import Change

SMALL_TANK = 4.0
"""Tank up to which water in store is cheaper than another pump [m3]: common practice, no
source."""

LARGEST_TANK = 100.0
"""Tank above which nobody would keep water for an outage [m3]: our choice."""

ROOM = 0.98
"""Part of the well's depth down to which a cylinder may hang: our choice."""

BORES = {"US": ("2 in", "1 3/4 in", "1 1/2 in"), "SI": ("63.5 mm", "50 mm", "40 mm")}
LEVERS = ("6", "8", "10")
STROKES = {"US": "6 in", "SI": "150 mm"}
"""Cylinders, levers and strokes in which hand pumps are made: common practice, no source."""


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
    if table is not None and table.delivers == "tank" and not table.spout_valve:
        change = Change("hand_pump.spout_valve", "true")
        yield Candidate("valve", "a valve that lets the hand pump into a bucket", (change,))
    yield from _deeper(has, site)
    yield from _moved(site, short)
    storage = _storage(has, site, short, survival)
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
            rating = _text(min(needed), kinds.APPARENT_POWER, system)
            change = Change("power.generator_rating", _quoted(rating))
            yield Candidate("generator", f"a generator of {rating} or more", (change,))


def _text(value: float, kind: kinds.Kind, system: System) -> str:
    return show(value, kind, system, toward="up")


def _quoted(text: str) -> str:
    return f'"{text}"'


def _depth(has: Equipment, site: Site) -> float | None:
    """Where a cylinder stays under water in the low season [m]; None where the well ends first."""
    level = float(has.site.well.static_level)
    if has.hand is not None and has.hand.level_known:
        level = max(level, has.hand.low_level)
    bottom = ROOM * site.well.depth
    depth = min(level + BELOW_LEVEL, bottom)
    return depth if depth > has.site.well.static_level else None


def _deeper(has: Equipment, site: Site) -> Iterator[Candidate]:
    table, depth = site.hand_pump, _depth(has, site)
    if table is None or has.hand is None or table.kind != "deep well" or depth is None:
        return
    hangs = has.hand.cylinder_depth or 0.0
    if depth > hangs:
        text = _text(depth, kinds.LENGTH, site.site.print_units)
        change = Change("hand_pump.cylinder_depth", _quoted(text))
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
            yield Candidate("modules", text, (Change(f"array[{index}].feeds", _quoted(goal)),))


def _storage(
    has: Equipment, site: Site, short: Outage, survival: float
) -> tuple[Candidate, float] | None:
    """A storage tank that carries the house through, and its volume [m3]."""
    if "storage tank" in short.failed or not short.failed:
        return None  # What lacks a source every day is not helped by a store.
    table = site.storage_tank
    reserve = 0.5 if table is None else float(table.reserve)
    standing = 0.0 if table is None else float(table.volume)
    volume = standing + (survival - short.volume) * short.days / reserve
    if volume > LARGEST_TANK:
        return None
    text = _text(volume * 1.001, kinds.VOLUME, site.site.print_units)
    change = Change("storage_tank.volume", _quoted(text))
    return Candidate("storage", f"a storage tank of {text}", (change,)), volume


def _hand_pump(has: Equipment, site: Site, short: Outage) -> Iterator[Candidate]:
    """A deep-well hand pump that its own study passes; one that is there gets a second person."""
    depth, table, system = _depth(has, site), site.hand_pump, site.site.print_units
    if "hand pump" in short.failed or depth is None:
        return
    if has.hand is not None and has.hand.draws_water:
        if table is not None and table.people_pumping == 1:
            change = Change("hand_pump.people_pumping", "2")
            yield Candidate("hand pump", "two people at the hand pump together", (change,))
        return
    hung = _text(depth, kinds.LENGTH, system)
    begin = "hand_pump."
    for lever in LEVERS:
        for bore in BORES[system]:
            changes = (
                Change(begin + "kind", _quoted("deep well")),
                Change(begin + "bore", _quoted(bore)),
                Change(begin + "stroke", _quoted(STROKES[system])),
                Change(begin + "lever_ratio", _quoted(lever)),
                Change(begin + "cylinder_depth", _quoted(hung)),
            )
            if _passes(has, site, changes):
                text = f"a deep-well hand pump, {bore} cylinder at {hung}, lever {lever} to 1"
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


def changed_site(site: Site, changes: tuple[Change, ...]) -> Site:
    """The site as if its file had other values; what a new table leaves out gets its default."""
    for change in changes:
        head, _, key = change.path.rpartition(".")
        name, _, number = head.partition("[")
        value = tomllib.loads(f"x = {change.value}")["x"]
        table: Any = getattr(site, name)
        if number:
            rows = list(table)
            place = int(number.removesuffix("]")) - 1
            rows[place] = _with_key(rows[place], (name, key), key, value)
            site = site.model_copy(update={name: tuple(rows)})
        elif table is not None:
            site = site.model_copy(update={name: _with_key(table, (name, key), key, value)})
        else:
            site = _with_table(site, name, changes)
    return site


def _with_key(table: Table, path: tuple[str, str], key: str, value: object) -> Table:
    field = shape.field_at(path)
    assert field is not None, path
    reader = shape.reader_of(field)
    return table.model_copy(update={key: value if reader is None else reader.read(value)})


def _with_table(site: Site, name: str, changes: tuple[Change, ...]) -> Site:
    """The site with a table that its file lacks, of all changes that belong into it."""
    raw = {
        change.path.rpartition(".")[2]: tomllib.loads(f"x = {change.value}")["x"]
        for change in changes
        if change.path.rpartition(".")[0] == name
    }
    model = shape.table_at((name,))
    assert model is not None, name
    table = model.model_validate(fill({name: raw})[0][name])
    return site.model_copy(update={name: table})
