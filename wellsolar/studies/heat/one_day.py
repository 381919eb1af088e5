"""What would make a PV-heated tank hot in one clear day: more modules, or less water."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from wellsolar import kinds
from wellsolar.data import hot_water_tables
from wellsolar.results.heat import HeatDay, HeatedTankResult, OneDayDesign
from wellsolar.site.schema import Site
from wellsolar.studies.array.circuit import limits_of, within_plate
from wellsolar.studies.array.coupling import Switched
from wellsolar.studies.array.heater_circuit import (
    HeaterCircuit,
    OnArray,
    array_wire,
    element_on_array,
    plate_of,
)
from wellsolar.studies.heat.days import ArrayDay, TankInSun, reaches_in_a_day
from wellsolar.studies.sold.standard_sizes import next_down
from wellsolar.studies.sun.days import MONTH_NAMES, STEP
from wellsolar.units import Quantity
from wellsolar.verdicts import Change, Remedy, remedy, set_to

MOST_MODULES, MOST_SERIES, MOST_ROWS = 24, 12, 4
"""Bounds of the search for an array that heats the tank in a day; more than 12 modules of 40 V in
series pass 600 V in the cold."""

HOUSEHOLD_VOLTAGE = 240.0
"""Highest plate voltage of an element sold for a house [V]: common practice, no source."""

SMALLEST_TANK = 0.001
"""Volume below which no tank is looked for, 1 L [m3]."""


@dataclass(frozen=True)
class _Element:
    """An element of a plate [W], [V]; same for that of the site."""

    power: float
    voltage: float
    same: bool


def _darkest_clear_day(tank: TankInSun, days: tuple[HeatDay, ...]) -> tuple[int, ArrayDay] | None:
    """Month and sun of the clear day with the least energy; None where every one suffices."""
    clear = [day for day in days if day.kind == "clear"]
    if all(day.days_to_setpoint == 1 for day in clear):
        return None
    month = min(clear, key=lambda day: day.element_energy).month
    return month, tank.days[month - 1]["clear"]


def one_day_design(
    site: Site, on: OnArray, tank: TankInSun, days: tuple[HeatDay, ...]
) -> OneDayDesign | None:
    """The fewest modules that heat the tank from cold in one clear day of every month, within what
    the site's switches, contacts and wire bear, and the element's plate; None where the site's own
    do, or no number of modules does."""
    darkest = _darkest_clear_day(tank, days)
    if darkest is None:
        return None
    month, day = darkest
    work = tank.work
    needed = work.tank.capacity_above_element * (work.setpoint - work.inlet)

    def heats(circuit: HeaterCircuit, day: ArrayDay) -> bool:
        power = day.through(circuit)
        if float(power.sum()) * STEP < needed:
            return False
        return reaches_in_a_day(work, power, work.inlet)

    for circuit, element in _designs(site, on, tank.circuit):
        if not heats(circuit, day) or not within_plate(site, circuit, element.voltage):
            continue
        if all(heats(circuit, day["clear"]) for day in tank.days):
            return OneDayDesign(
                month, circuit.series, circuit.parallel, element.power, element.voltage,
                element.same, _gauge(site, on, circuit),
            )  # fmt: skip
    return None


def _designs(
    site: Site, on: OnArray, circuit: HeaterCircuit
) -> Iterator[tuple[HeaterCircuit, _Element]]:
    """Arrays that the site bears, the smallest first, on its own element and on those sold."""
    limits = limits_of(site, on)
    own = _Element(*plate_of(on.element), same=True)
    most = max(HOUSEHOLD_VOLTAGE, own.voltage)
    elements = [own]
    if not isinstance(circuit.coupling, Switched):
        elements += [
            _Element(rating.rated_power, rating.rated_voltage, same=False)
            for rating in hot_water_tables.element_ratings()
            if rating.rated_voltage <= most
        ]
    layouts = [
        (series, parallel)
        for series in range(1, MOST_SERIES + 1)
        for parallel in range(1, MOST_ROWS + 1)
        if series * parallel <= MOST_MODULES
    ]
    for series, parallel in sorted(layouts, key=lambda layout: (math.prod(layout), layout[1])):
        breach = limits.breach(series, parallel, rewired=True)
        if breach is not None or limits.asks_a_fuse(parallel):
            continue
        for element in elements:
            # The same material: hot as the site's own, over its own plate.
            ohms = element.voltage**2 / element.power * own.power / own.voltage**2
            yield (
                replace(
                    circuit,
                    series=series,
                    parallel=parallel,
                    resistance=circuit.resistance * ohms,
                ),
                element,
            )


def _gauge(site: Site, on: OnArray, circuit: HeaterCircuit) -> str | None:
    """The thinnest wire that suits an array in place of the site's; None where the site's does, or
    where the file names none."""
    wired = {"series": circuit.series, "parallel": circuit.parallel}
    run = array_wire(site, on.group.model_copy(update=wired), circuit)
    if run is None or run.ampacity >= run.required_ampacity:
        return None
    return run.smallest_gauge


def one_day_volume(tank: TankInSun, days: tuple[HeatDay, ...]) -> float | None:
    """The largest tank that the array heats from cold in one clear day of the darkest month.

    The tank keeps its heat loss.

    Returns:
        volume [m3]; None where the site's own tank is heated, or not even a litre
    """
    darkest = _darkest_clear_day(tank, days)
    if darkest is None:
        return None
    work, power = tank.work, darkest[1].through(tank.circuit)

    def heats(volume: float) -> bool:
        smaller = replace(work, tank=replace(work.tank, volume=volume))
        return reaches_in_a_day(smaller, power, work.inlet)

    low, high = SMALLEST_TANK, work.tank.volume
    if not heats(low):
        return None
    while high - low > 0.002 * high:
        middle = (low + high) / 2
        low, high = (middle, high) if heats(middle) else (low, middle)
    return low


def hot_in_one_day(site: Site, result: HeatedTankResult, darkest: HeatDay) -> Remedy:
    """What one clear day of the darkest month does reach: more modules, or fewer litres.

    Parameters:
        darkest: the clear day with the least energy
    """
    on = element_on_array(site)
    assert on is not None
    ways: list[str] = []
    parts: dict[str, Quantity | str] = {"month": MONTH_NAMES[darkest.month - 1]}
    changes: tuple[Change, ...] = ()
    if result.one_day is not None:
        sentence, changes = _design(site, on, result.one_day, parts)
        ways.append(sentence)
    if result.one_day_volume is not None:
        sold = next_down(
            "water heater", result.one_day_volume, kinds.VOLUME, site.site.print_units
        )
        parts["volume"] = Quantity(result.one_day_volume, kinds.VOLUME)
        if sold is None:
            ways.append("a tank of no more than {volume:down} on the modules there are")
        else:
            parts["sold"] = sold
            ways.append("a tank of {sold} on the modules there are (no more than {volume:down})")
            changes = changes or (set_to("water_heater.volume", sold),)
    if not ways:
        ways.append(
            "other switches, wire or element: no array within what those bear heats this tank"
        )
    ceiling = ""
    if on.element.coupling == "direct":
        amperes = result.photocurrent * result.parallel
        parts["ceiling"] = Quantity(amperes**2 * result.element_resistance, kinds.POWER)
        ceiling = (
            ". On the element as it is no number of modules in series gives more than {ceiling}"
        )
    how = changes or "no array that the site bears and no tank that is sold does it"
    return remedy(
        "; or ".join(ways) + ", for one clear day of {month} from cold" + ceiling, how, **parts
    )


def _design(
    site: Site, on: OnArray, design: OneDayDesign, parts: dict[str, Quantity | str]
) -> tuple[str, tuple[Change, ...]]:
    """The fewest modules that do, as the middle of a sentence, and as changes of the file."""
    parts |= {
        "series": f"{design.series}",
        "parallel": f"{design.parallel}",
        "own": "the same " if design.same_element else "an ",
        "power": Quantity(design.rated_power, kinds.POWER),
        "volts": Quantity(design.rated_voltage, kinds.VOLTAGE),
    }
    template = "{series} modules in series by {parallel} rows on {own}element of {power}, {volts}"
    if design.parallel == 1:
        template = template.replace(" by {parallel} rows", "")
    changes = [
        set_to(f"{on.group_path}.series", design.series),
        set_to(f"{on.group_path}.parallel", design.parallel),
    ]
    if not design.same_element:
        changes += [
            set_to(f"{on.path}.rated_power", f"{design.rated_power:g} W"),
            set_to(f"{on.path}.rated_voltage", f"{design.rated_voltage:g} V"),
            set_to(f"{on.path}.count", 1),
        ]
    if design.gauge is not None:
        parts["gauge"] = design.gauge
        template += ", on wire of {gauge}"
        changes.append(set_to(f"{on.group_path}.cable.gauge", design.gauge))
    on_hand = None if site.module is None else site.module.on_hand
    used = sum(group.series * group.parallel for group in site.array)
    used += design.series * design.parallel - on.group.series * on.group.parallel
    if on_hand is not None and used > on_hand:
        parts["more"] = f"{used - on_hand}"
        template += ", which is {more} modules more than are on hand"
        changes.append(set_to("module.on_hand", used))
    return template, tuple(changes)
