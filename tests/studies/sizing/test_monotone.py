"""Tighter aims never lower what the aim makes least: modules of a tank, and those of pumps with
their battery, by seed."""

from __future__ import annotations

import random
from collections.abc import Mapping
from typing import NamedTuple

import pytest

from tests.studies.sizing.heaters import HEATER_ONLY, HEATERS
from tests.studies.sizing.needs import ON_THE_SUN, POOR_ON_THE_SUN, TANK_ON_A_HILL
from wellsolar.site import edit
from wellsolar.site.loading.read import parse_part
from wellsolar.studies.asked.changed_site import path_of
from wellsolar.studies.case import Case, size_site
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.heated_tank import MODULES, heater_of

OF_A_TANK = {
    "aim.hot_evenings": ("20 %", "95 %"),
    "aim.sun_evenings": ("20 %", "90 %"),
    "aim.sun_share": ("20 %", "85 %"),
    "aim.clear_day_temperature": ("95 degF", "165 degF"),
}
"""Aims of a heated tank, from loose to tight."""

OF_A_PUMP = {
    "aim.days_short": (40, 0),
    "aim.dark_days": ("0.5 days", "5 days"),
    "aim.spare": ("0 %", "150 %"),
}
"""Aims of a pump's power, from loose to tight."""


class Size(NamedTuple):
    """What is made least, and whether that does what is aimed at."""

    cost: float
    met: bool


def _aimed(text: str, keys: Mapping[str, object]) -> str:
    for key, value in keys.items():
        text = edit.put(text, path_of(key), value)
    return text


def tank(text: str) -> Size:
    """The modules of a heated tank."""
    part = parse_part(text, "heater.toml")
    made = heater_of(Draft(part, Case(part.file)))
    modules = next(each for each in made.sized if each.part == MODULES)
    group = modules.case.site.array[-1]
    return Size(group.series * group.parallel, modules.passes)


def pump(text: str) -> Size:
    """The modules of the pumps and their battery, a kWh of which counts like two modules."""
    made = size_site(parse_part(text, "pump.toml"))
    sized = {each.part: each for each in made.parts}
    assert made.failed is None
    site = parse_part(made.text, "made.toml").file.site
    (group,) = site.array
    battery = 2.0 * float(site.power.battery_energy or 0.0) / 3.6e6
    parts = (sized["modules"], *(sized[each] for each in ("battery",) if each in sized))
    cost = group.series * group.parallel + battery
    return Size(cost, all(each.passes for each in parts))


def between(ends: tuple[object, object], part: float) -> object:
    """A value on the way from an aim that is loose to one that is tight."""
    loose, tight = ends
    if isinstance(loose, int) and isinstance(tight, int):
        return round(loose + part * (tight - loose))
    (low, unit), (high, _) = (str(each).split() for each in ends)
    return f"{float(low) + part * (float(high) - float(low)):.3g} {unit}"


def pairs(seed: int) -> tuple[str, str]:
    """A site with a loose aim, and with a tighter one: of a tank where the seed is odd."""
    dice = random.Random(seed)
    ends = OF_A_TANK if seed % 2 else OF_A_PUMP
    if seed % 2:
        text = HEATER_ONLY
        told = dict(HEATERS[dice.choice(["two, bright", "one person", "three, south", "high up"])])
        told["site.people"] = str(dice.randint(1, 4))
        text = _aimed(text, {key: int(value) if value.isdigit() else value
                             for key, value in told.items()})  # fmt: skip
    else:
        text = dice.choice([ON_THE_SUN, POOR_ON_THE_SUN, TANK_ON_A_HILL])
        text = text.replace("people = 3", f"people = {dice.randint(1, 6)}")
    key = dice.choice(list(ends))
    low, high = sorted(dice.random() for _ in range(2))
    beside = {each: between(ends[each], 0.5 * dice.random()) for each in ends
              if each != key and dice.random() < 0.3}  # fmt: skip
    loose, tight = (_aimed(text, {**beside, key: between(ends[key], at)}) for at in (low, high))
    return loose, tight


def _holds(seed: int) -> None:
    loose, tight = (tank(each) if seed % 2 else pump(each) for each in pairs(seed))
    if tight.met:
        assert loose.met, (loose, tight)
        assert loose.cost <= tight.cost * (1.0 + 1e-9), (loose, tight)


@pytest.mark.parametrize("seed", [7, 10])
def test_a_tighter_aim_takes_no_less(seed: int) -> None:
    _holds(seed)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(50))
def test_tighter_aims_take_no_less(seed: int) -> None:
    _holds(seed)
