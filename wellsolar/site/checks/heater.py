"""What cannot be in a water heater: its elements, what feeds and switches them, its draws."""

from __future__ import annotations

from itertools import pairwise
from types import SimpleNamespace
from typing import Any

from wellsolar.site.checks.words import Mistakes, as_given, count, known, list_given
from wellsolar.site.locate import Path
from wellsolar.wording import quoted

HEATER = "water_heater"
MOST_SWITCHED = 5
"""Elements of which every combination is looked at."""

NOT_ARRAYS = {"grid": "public supply", "inverter": "house's inverter"}
"""What an element may be fed by beside the arrays of the file, and what that is."""


def water_heater(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the water heater."""
    heater = site.water_heater
    if heater is None:
        return
    names = [group.name for group in site.array if isinstance(group.name, str)]
    for index, element in enumerate(heater.element):
        path: Path = (HEATER, "element", index)
        yield from _fed_by(path, element, names)
        yield from _switching(path, element)
        yield from _high_limit(path, element)
        yield from _surplus_switch(path, element)
        yield from _electronics(path, element)
        yield from _above_inlet(site, (*path, "thermostat"), element.thermostat)
    outlet: Any = None if heater.mixing_valve is None else heater.mixing_valve.outlet
    wanted: Any = None if heater.draw is None else heater.draw.temperature
    second: Any = None if heater.second_tank is None else heater.second_tank.thermostat
    yield from _above_inlet(site, (HEATER, "mixing_valve", "outlet"), outlet)
    yield from _above_inlet(site, (HEATER, "second_tank", "thermostat"), second)
    yield from _above_inlet(site, (HEATER, "draw", "temperature"), wanted)
    if known(outlet, wanted) and wanted > outlet:
        yield (
            (HEATER, "draw", "temperature"),
            f"{as_given(wanted)} is hotter than the mixing valve lets through "
            f"({as_given(outlet)})",
        )
    if heater.draw is not None:
        yield from _draws(heater.draw)
    yield from _one_loss(heater)


def aims(site: SimpleNamespace) -> Mistakes:
    """Aims that nothing could reach."""
    aim, heater = site.aim, site.water_heater
    if aim is None:
        return
    wanted = aim.clear_day_temperature
    limit: Any = None if heater is None else heater.high_limit
    yield from _above_inlet(site, ("aim", "clear_day_temperature"), wanted)
    if known(wanted, limit) and wanted >= limit:
        yield (
            ("aim", "clear_day_temperature"),
            f"{as_given(wanted)} is no less than the tank's high limit ({as_given(limit)})",
        )
    if aim.make_least == "money" and not site.price:
        yield (
            ("aim", "make_least"),
            '"money" needs prices: give [[price]] blocks, or make "modules" least',
        )


def _fed_by(path: Path, element: SimpleNamespace, names: list[str]) -> Mistakes:
    fed = element.fed_by
    if isinstance(fed, str) and fed not in names and fed not in NOT_ARRAYS:
        listed = ", ".join(quoted(name) for name in [*names, *NOT_ARRAYS])
        yield (
            (*path, "fed_by"),
            f"{quoted(fed)} is no array of this file: expected one of {listed}",
        )
    if isinstance(fed, str) and fed in NOT_ARRAYS and element.coupling not in (None, "direct"):
        yield (
            (*path, "coupling"),
            f"{quoted(element.coupling)} is between modules and an element, and {quoted(fed)} "
            "feeds this one: leave coupling out",
        )


def _high_limit(path: Path, element: SimpleNamespace) -> Mistakes:
    switches = element.thermostat_switches
    if element.high_limit_switches == "same relay" and switches not in (None, "relay"):
        yield (
            (*path, "high_limit_switches"),
            f'"same relay" is the one that the thermostat drives, and thermostat_switches is '
            f"{quoted(switches)}: name what the high limit opens",
        )


def _surplus_switch(path: Path, element: SimpleNamespace) -> Mistakes:
    switch, rating = element.surplus_switch, element.surplus_switch_current
    if isinstance(element.fed_by, str) and element.fed_by != "inverter":
        for key, value in (("surplus_switch", switch), ("surplus_switch_current", rating)):
            if value is not None:
                written = quoted(value) if key == "surplus_switch" else as_given(value)
                yield (
                    (*path, key),
                    f"{written} lets a battery's surplus onto an element on the inverter, and "
                    f"{quoted(element.fed_by)} feeds this one: leave {key} out, or give "
                    'fed_by = "inverter"',
                )
    elif switch == "none" and rating is not None:
        yield (
            (*path, "surplus_switch_current"),
            f'{as_given(rating)} is what a switch is rated for, and surplus_switch is "none": '
            "name the switch, or leave its current out",
        )


def _switching(path: Path, element: SimpleNamespace) -> Mistakes:
    resistances, steps = element.switched_resistances, element.switch_irradiances
    switched = element.coupling == "switched"
    for key, value in (("switched_resistances", resistances), ("switch_irradiances", steps)):
        if value is not None and not switched and element.coupling is not None:
            yield (
                (*path, key),
                f'{list_given(value)} belongs to coupling = "switched", and this element\'s is '
                f"{quoted(element.coupling)}",
            )
    if not switched:
        return
    if resistances is None and element.count in (None, 1):
        yield (
            (*path, "coupling"),
            '"switched" needs something to switch between: give count = 2 or more elements, or '
            'switched_resistances, e.g. "6.4, 12.8, 25.6 ohm"',
        )
    if resistances is None and known(element.count) and element.count > MOST_SWITCHED:
        yield (
            (*path, "count"),
            f"{element.count} elements can be joined in too many ways to switch between: name "
            'those that the relays make, e.g. switched_resistances = "6.4, 12.8, 25.6 ohm"',
        )
    if resistances is not None and len(set(map(float, resistances))) < 2:
        yield (
            (*path, "switched_resistances"),
            f"{list_given(resistances)} is one resistance: relays need two to switch between",
        )
    if steps is None:
        return
    if any(high <= low for low, high in pairwise(steps)):
        yield (
            (*path, "switch_irradiances"),
            f"{list_given(steps)} does not rise from value to value: the more sun, the lower the "
            "resistance",
        )
    elif resistances is None or len(steps) != len(resistances) - 1:
        have = "none" if resistances is None else count(resistances, "resistance")
        yield (
            (*path, "switch_irradiances"),
            f"{list_given(steps)} has {count(steps, 'value')}: expected one less than "
            f"switched_resistances, which has {have}",
        )


def _electronics(path: Path, element: SimpleNamespace) -> Mistakes:
    for side in ("input", "output"):
        least: Any = getattr(element, f"tracker_least_{side}")
        most: Any = getattr(element, f"tracker_greatest_{side}")
        if known(least, most) and least >= most:
            yield (
                (*path, f"tracker_least_{side}"),
                f"{as_given(least)} is not below tracker_greatest_{side} ({as_given(most)})",
            )


def _draws(draw: SimpleNamespace) -> Mistakes:
    times, volumes = draw.times, draw.volumes
    if (times is None) != (volumes is None):
        there, missing = ("times", "volumes") if volumes is None else ("volumes", "times")
        yield (
            (HEATER, "draw", there),
            f"{list_given(times or volumes)} needs {missing} beside it, as many",
        )
        return
    if times is None:
        return
    if len(times) != len(volumes):
        yield (
            (HEATER, "draw", "volumes"),
            f"{list_given(volumes)} has {count(volumes, 'value')} and times has {len(times)}: "
            "each draw needs one of both",
        )
    if any(later <= earlier for earlier, later in pairwise(times)):
        yield (
            (HEATER, "draw", "times"),
            f"{list_given(times)} does not rise from value to value: the draws of a day in their "
            "order",
        )
    if draw.volume is not None:
        yield (
            (HEATER, "draw", "volume"),
            f"{as_given(draw.volume)} is given again by volumes ({list_given(volumes)}): keep one",
        )


def _one_loss(heater: SimpleNamespace) -> Mistakes:
    losses = [
        (key, value)
        for key in ("heat_loss", "insulation", "uniform_energy_factor")
        if (value := getattr(heater, key)) is not None
    ]
    for key, value in losses[1:]:
        yield (
            (HEATER, key),
            f"{as_given(value)} gives the tank's loss again, beside {losses[0][0]} "
            f"({as_given(losses[0][1])}): keep one",
        )


def _above_inlet(site: SimpleNamespace, path: Path, temperature: Any) -> Mistakes:
    water = None if site.well is None else site.well.water_temperature
    if known(temperature, water) and temperature <= water:
        yield (
            path,
            f"{as_given(temperature)} is not above the water that comes from the well "
            f"(well.water_temperature, {as_given(water)}): nothing would be heated",
        )
