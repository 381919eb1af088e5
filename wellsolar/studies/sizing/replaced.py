"""Parts of a file that are taken out of it, so that they are sized anew."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from wellsolar.errors import UnknownName
from wellsolar.site import edit
from wellsolar.site.loading.read import PartOfSite, parse_part
from wellsolar.site.locate import Path, value_at
from wellsolar.studies.asked.changed_site import path_of
from wellsolar.verdicts import Verdict, changes_of

PIPE = ("material", "size", "pressure_class")

OF_A_PUMP: Mapping[str, tuple[str, ...]] = {
    "motor": ("rated_power",),
    "cable": ("cable",),
    "breaker": ("breaker",),
}
"""What every pump has: part, and its keys."""

PARTS: Mapping[str, tuple[str, ...]] = {
    "drop pipe": tuple(f"piping.drop_pipe.{key}" for key in PIPE),
    "lateral pipe": tuple(f"piping.lateral.{key}" for key in PIPE),
    "pressure switch": ("pressure_switch",),
    "pressure tank": ("pressure_tank.volume", "pressure_tank.count"),
    "tank relief": ("pressure_tank.relief_pressure", "pressure_tank.relief_capacity"),
    "storage tank": ("storage_tank.volume",),
    "inverter": ("power.inverter_rating", "power.inverter_surge"),
    "battery": ("power.battery_energy",),
    "hot water tank": ("water_heater.volume",),
    "mixing valve": ("water_heater.mixing_valve",),
    "hand pump": (
        "hand_pump.kind", "hand_pump.bore", "hand_pump.stroke", "hand_pump.lever_ratio",
        "hand_pump.counterweight", "hand_pump.cylinder_depth", "hand_pump.rod_diameter",
        "hand_pump.rising_main",
    ),
}  # fmt: skip
"""What a house has one of: part, and the keys that tell its size."""


ASKED: tuple[Path, ...] = ((), ("water_heater",), ("hand_pump",))
"""Tables by whose place in a file alone something is asked for."""


def names_of(tables: Mapping[str, Any]) -> dict[str, tuple[Path, ...]]:
    """What of a site file may be replaced.

    Parameters:
        tables: of the file, as they were read
    Returns:
        each part that it has by its name -> the key paths that tell of it
    """
    names = {
        name: tuple(path for path in map(path_of, keys) if value_at(tables, path) is not None)
        for name, keys in PARTS.items()
    }
    pumps = list(enumerate(_several(tables, "pump")))
    for name, keys in OF_A_PUMP.items():
        names[name] = tuple(
            ("pump", place, key) for place, raw in pumps for key in keys if key in raw
        )
    if len(pumps) > 1:
        names |= {str(raw.get("name")): (("pump", place),) for place, raw in pumps}
    names["pump"] = tuple(("pump", place) for place, _ in pumps)
    names |= _of_the_sun(tables)
    return {name: paths for name, paths in names.items() if paths}


def _of_the_sun(tables: Mapping[str, Any]) -> Iterator[tuple[str, tuple[Path, ...]]]:
    """Modules and elements, of which those for the tank stand for themselves."""
    arrays = list(enumerate(_several(tables, "array")))
    for_tank = [place for place, raw in arrays if raw.get("feeds") == "heater"]
    yield "modules", tuple(("array", place) for place, _ in arrays if place not in for_tank)
    names = {arrays[place][1].get("name") for place in for_tank}
    heater = tables.get("water_heater", {})
    elements: list[Path] = [
        ("water_heater", "element", place)
        for place, raw in enumerate(_several(heater, "element"))
        if raw.get("fed_by") in names
    ]
    yield "element", tuple(elements)
    # On other modules an element is another one: both are chosen together.
    yield "tank's modules", (*(("array", place) for place in for_tank), *elements)


def _several(tables: Mapping[str, Any], name: str) -> Sequence[Mapping[str, Any]]:
    held = tables.get(name, ())
    return [item for item in held if isinstance(item, dict)] if isinstance(held, list) else ()


def without(part: PartOfSite, names: Sequence[str]) -> PartOfSite:
    """A file without parts that it has, so that they are sized.

    Parameters:
        part: the user's file as far as it goes
        names: of parts, as `names_of` has them, or key paths of the file
    Returns:
        the file without them; all else stands
    Raises:
        UnknownName: the file has no such part
        NotEditable: the layout of the file allows no such change
    """
    known = names_of(part.file.tables)
    paths: set[Path] = set()
    for name in names:
        own = known.get(name, ())
        if not own and value_at(part.file.tables, path_of(name)) is not None:
            own = (path_of(name),)
        if not own:
            raise UnknownName("part of the file", name, known)
        paths.update(own)
    text = part.text
    # From the last to the first, so that none moves that is still to be taken out.
    for path in sorted(paths, key=_place, reverse=True):
        text = _dropped(text, path)
    return parse_part(text, part.file.path)


def _place(path: Path) -> tuple[tuple[str, int], ...]:
    return tuple((step, 0) if isinstance(step, str) else ("", step) for step in path)


def _dropped(text: str, path: Path) -> str:
    """The text without a key or table, and without the table round it that is left empty, unless
    the file asks by that for what is sized."""
    text = edit.drop(text, path)
    above = path[:-1]
    left = value_at(tomllib.loads(text), above) if above else None
    emptied = left in ({}, []) and above not in ASKED
    return _dropped(text, above) if emptied else text


def kept_part(part: PartOfSite, verdict: Verdict) -> str:
    """The part of the file that a verdict does not pass on.

    Parameters:
        part: the user's file as far as it goes
        verdict: of a design that keeps what the file has
    Returns:
        its name, as `without` takes it: that of which a remedy changes keys, else the pump or
        part that is judged; empty where the file has none
    """
    named = names_of(part.file.tables)
    changed = [path_of(change.path) for change in changes_of(verdict.remedy)]
    for name, paths in named.items():
        if any(path_changed[: len(path)] == path for path_changed in changed for path in paths):
            return name
    if verdict.subject in named:
        return verdict.subject
    pumps = [raw.get("name") for raw in _several(part.file.tables, "pump")]
    # One of several stands in `named` by its name.
    return "pump" if verdict.subject in pumps else ""
