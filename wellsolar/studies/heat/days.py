"""A PV-heated tank through a clear, a typical and a poor day, with nothing drawn."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from wellsolar.constants import DAY, HOUR
from wellsolar.data import hot_water_tables
from wellsolar.physics.sun import days as sun_days
from wellsolar.physics.sun.days import DayOfSun
from wellsolar.physics.tank import events as tank_events
from wellsolar.physics.tank import overheating
from wellsolar.physics.tank.stratified import TankRun
from wellsolar.physics.types import FloatArray
from wellsolar.results import (
    DarkDay,
    HeatDay,
    HeatStart,
    NobodyHome,
    OneDayDesign,
)
from wellsolar.site.schema import ArrayTable, ElementTable, WaterHeaterTable
from wellsolar.studies.array.heater_circuit import BRIGHTEST, HeaterCircuit, plate_of
from wellsolar.studies.heat.tank import TankAtWork
from wellsolar.studies.house.draws import (
    HOURS_A_DAY,
    MOST_TANKS,
    TapDraw,
    in_pieces,
    largest_shift,
)
from wellsolar.studies.sun.days import STEP, Sky

LONGEST_RUN = 21
"""Days after which a tank that still rises is said not to get there."""

LEAST_RISE = 0.02
"""Rise of a day's end below which a tank has settled [K]."""


LUKEWARM = (90.0 - 32.0) / 1.8
"""A tank that has given most of its heat, 90 degF [degC]: our choice."""


def heat_day(
    work: TankAtWork, circuit: HeaterCircuit, day: DayOfSun, month: int, kind: str
) -> HeatDay:
    """One kind of day of a month, nothing drawn.

    Parameters:
        work: the tank
        circuit: the array on its element
        day: the day's sun
        month: 1 to 12
        kind: "clear", "typical" or "poor"
    Returns:
        its energies, and when the tank reaches its setpoint
    """
    power = circuit.through(day)
    first = work.run(power, work.inlet)
    reached = _time(work, power, first)
    days = 1 if reached is not None else _days_to_setpoint(work, power, first)
    suffices = work.inlet if reached is not None else _start_for_one_day(work, power)
    return HeatDay(
        month=month,
        kind=kind,
        plane_of_array=sun_days.daily_plane_total(day),
        element_energy=float(power.sum()) * day.step,
        maximum_energy=float(circuit.best_through(day).sum()) * day.step,
        peak_power=float(power.max()),
        end_temperature=float(first.mean_temperature[-1]),
        time_to_setpoint=reached,
        days_to_setpoint=days,
        start_for_one_day=suffices,
        starts=_starts(work, power, first, suffices, days),
    )


def _time(work: TankAtWork, power: FloatArray, run: TankRun) -> float | None:
    """When a day's run is at its setpoint [s]; None where it does not get there."""
    reached = np.flatnonzero(work.satisfied(power, run))
    return float(run.times[reached[0]]) if reached.size else None


def _starts(
    work: TankAtWork,
    power: FloatArray,
    first: TankRun,
    suffices: float | None,
    days: int | None,
) -> tuple[HeatStart, ...]:
    """The hour of the setpoint from half way, from lukewarm, and on the day after a cold one."""
    uniform = {"half way": work.half_heated}
    if work.inlet < LUKEWARM < work.setpoint:
        uniform["lukewarm"] = LUKEWARM
    made = []
    for name, start in uniform.items():
        enough = suffices is not None and start >= suffices
        time = _time(work, power, work.run(power, start)) if enough else None
        made.append(HeatStart(name, start, time))
    second = days is not None and days <= 2
    time = _time(work, power, work.run(power, first.end_temperatures)) if second else None
    return (*made, HeatStart("the day before", float(first.mean_temperature[-1]), time))


def _days_to_setpoint(work: TankAtWork, power: FloatArray, first: TankRun) -> int | None:
    run = first
    for number in range(2, LONGEST_RUN + 1):
        before = float(run.mean_temperature[-1])
        run = work.run(power, run.end_temperatures)
        if work.satisfied(power, run).any():
            return number
        if float(run.mean_temperature[-1]) - before < LEAST_RISE:
            return None
    return None


def _start_for_one_day(work: TankAtWork, power: FloatArray) -> float | None:
    """The coolest start from which a day suffices, to 0.1 K; None where not even a tank at the
    setpoint is brought back to it (it cools through the night)."""
    low, high = work.inlet, work.setpoint - 0.1
    if not reaches_in_a_day(work, power, high):
        return None
    while high - low > 0.1:
        middle = (low + high) / 2
        if reaches_in_a_day(work, power, middle):
            high = middle
        else:
            low = middle
    return high


def reaches_in_a_day(work: TankAtWork, power: FloatArray, start: float) -> bool:
    """Whether one day of power [W] brings a tank at `start` [degC] to its setpoint."""
    return bool(work.satisfied(power, work.run(power, start)).any())


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


LONGEST_ABSENCE = 60
"""Clear days in a row that are looked at."""


BOILING = 100.0
"""Where an open tank boils at sea level [degC]; no tank is followed above it."""


DARK_DAYS = 7


def nobody_home(
    heater: WaterHeaterTable,
    work: TankAtWork,
    circuit: HeaterCircuit,
    sky: Sky | None,
    plane: tuple[float, float],
    days: tuple[HeatDay, ...],
) -> NobodyHome | None:
    """A tank at its setpoint left alone in clear weather, its thermostat failed closed.

    Parameters:
        heater: the heater's table
        work: the tank
        circuit: the array on its element
        sky: of the site, or None
        plane: tilt and azimuth of the array [deg]
        days: of each month
    Returns:
        days until its guards act; None where the site's sun is not known
    """
    if sky is None or not days:
        return None
    sunniest = max(days, key=lambda day: day.element_energy)
    power = circuit.through(sky.kinds_of_day(sunniest.month, *plane)[sunniest.kind])
    stuck = replace(work, setpoint=math.inf)
    run = stuck.run(np.tile(power, LONGEST_ABSENCE), work.setpoint, high_limit=BOILING)
    told = heater.relief_temperature
    relief = overheating.RELIEF_TEMPERATURE if told is None else float(told)
    limit = None if heater.high_limit is None else float(heater.high_limit)
    return NobodyHome(
        month=sunniest.month,
        hottest=BOILING
        if math.isfinite(run.high_limit_time)
        else float(run.top_temperature.max()),
        high_limit=limit,
        days_to_high_limit=None if limit is None else _days_until(limit, run.top_temperature),
        relief=relief,
        days_to_relief=_days_until(relief, run.top_temperature),
    )


def _days_until(limit: float, tops: FloatArray) -> float | None:
    """Days until the top of a tank is as hot as a limit [degC]; None where it never is."""
    hotter = np.flatnonzero(tops >= limit - 1e-6)
    return float(hotter[0] + 1) * STEP / DAY if hotter.size else None


def dark_days(work: TankAtWork, draws: tuple[TapDraw, ...] | None) -> tuple[DarkDay, ...]:
    """A week without sun, from the setpoint at midnight.

    Parameters:
        work: the tank
        draws: of a day; None where they are not known
    Returns:
        the tank at the end of each day
    """
    daily = sum(draw.volume for draw in draws or ())
    if draws is None or daily > MOST_TANKS * work.tank.volume:
        drawn = None
    else:
        drawn = _week(replace(work, largest_shift=largest_shift(daily, work.tank.volume)), draws)
    idle = _week(work, ())
    made = []
    for day in range(DARK_DAYS):
        nodes = None if drawn is None else drawn[day]
        made.append(
            DarkDay(
                day=day + 1,
                mean_temperature=None if nodes is None else float(nodes.mean()),
                top_temperature=None if nodes is None else float(nodes.max()),
                tap_volume=None if nodes is None else work.tap_volume(nodes),
                idle_temperature=float(idle[day].mean()),
                idle_tap_volume=work.tap_volume(idle[day]),
            )
        )
    return tuple(made)


def _week(work: TankAtWork, draws: tuple[TapDraw, ...]) -> list[FloatArray]:
    """The nodes at the end of each day."""
    dark = np.zeros(HOURS_A_DAY)
    step, draw = np.full(HOURS_A_DAY, HOUR), dark
    if draws:
        pieces = in_pieces(draws, work.tank.volume)
        steps = tank_events.schedule(
            dark, tank_events.every_day(pieces, 1, 0.0), 0.0, 0.0, HOUR, longest_busy=HOUR
        )
        step, draw = steps.step, steps.tap_draw
    made: list[FloatArray] = []
    nodes = np.full(work.tank.nodes, work.setpoint)
    for _ in range(DARK_DAYS):
        nodes = work.run(np.zeros(step.size), nodes, draw, step).end_temperatures
        made.append(nodes)
    return made
