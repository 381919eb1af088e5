"""What would make a PV-heated tank hot in one clear day: more modules, or less water."""

from __future__ import annotations

from dataclasses import replace

from wellsolar.data import hot_water_tables
from wellsolar.results import (
    HeatDay,
    OneDayDesign,
)
from wellsolar.site.schema import ArrayTable, ElementTable
from wellsolar.studies.array.heater_circuit import BRIGHTEST, HeaterCircuit, plate_of
from wellsolar.studies.heat.days import TankAtWork, reaches_in_a_day
from wellsolar.studies.sun.days import STEP, Sky

MOST_MODULES, MOST_SERIES = 24, 12
"""Bounds of the search for an array that heats the tank in a day; more than 12 modules of 40 V in
series pass 600 V in the cold."""


HOUSEHOLD_VOLTAGE = 240.0
"""Highest plate voltage of an element sold for a house [V]: common practice, no source."""


def one_day_design(
    sky: Sky | None,
    circuit: HeaterCircuit,
    work: TankAtWork,
    group: ArrayTable,
    element: ElementTable,
    tilt: float,
    azimuth: float,
    days: tuple[HeatDay, ...],
) -> OneDayDesign | None:
    """The fewest modules that heat the tank from cold in one clear day of the darkest month."""
    clear = [day for day in days if day.kind == "clear"]
    if sky is None or all(day.days_to_setpoint == 1 for day in clear):
        return None
    month = min(clear, key=lambda day: day.element_energy).month
    day = sky.kinds_of_day(month, tilt, azimuth)["clear"]
    needed = (
        work.tank.heat_capacity * (1 - work.tank.element_height) * (work.setpoint - work.inlet)
    )
    own = plate_of(element)
    sold = [
        (each.rated_power, each.rated_voltage)
        for each in hot_water_tables.element_ratings()
        if each.rated_voltage <= max(HOUSEHOLD_VOLTAGE, own[1])
    ]
    wirings = [
        (series, parallel)
        for series in range(1, MOST_SERIES + 1)
        for parallel in range(1, 5)
        if series * parallel <= MOST_MODULES
    ]
    for series, parallel in sorted(wirings, key=lambda each: (each[0] * each[1], each[1])):
        for power, voltage in [own, *sold]:
            trial = replace(
                circuit, series=series, parallel=parallel, resistance=voltage**2 / power
            )
            heat = trial.through(day)
            if float(heat.sum()) * STEP < needed or trial.point(BRIGHTEST, 0.0).voltage > voltage:
                continue
            if reaches_in_a_day(work, heat, work.inlet):
                same = (power, voltage) == own
                return OneDayDesign(month, series, parallel, power, voltage, same)
    return None


SMALLEST_TANK = 0.001
"""Volume below which no tank is looked for, 1 L [m3]."""


def one_day_volume(
    sky: Sky | None,
    circuit: HeaterCircuit,
    work: TankAtWork,
    tilt: float,
    azimuth: float,
    days: tuple[HeatDay, ...],
) -> float | None:
    """The largest tank that the array heats from cold in one clear day of the darkest month.

    The tank keeps its heat loss.

    Parameters:
        sky: the site's sky, or None
        circuit: the array on its element
        work: the tank
        tilt, azimuth: of the array [deg]
        days: its days
    Returns:
        volume [m3]; None where the site's own tank is heated, or not even a litre
    """
    clear = [day for day in days if day.kind == "clear"]
    if sky is None or all(day.days_to_setpoint == 1 for day in clear):
        return None
    month = min(clear, key=lambda day: day.element_energy).month
    power = circuit.through(sky.kinds_of_day(month, tilt, azimuth)["clear"])

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
