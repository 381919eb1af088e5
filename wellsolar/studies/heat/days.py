"""A PV-heated tank through single days: clear, typical and poor, with nobody home, without sun."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from wellsolar.constants import DAY, HOUR
from wellsolar.physics.sun.days import DayOfSun
from wellsolar.physics.sun.year import HourlyYear, month_of_days
from wellsolar.physics.tank import events, overheating
from wellsolar.physics.tank.stratified import TankRun
from wellsolar.physics.types import FloatArray
from wellsolar.results.heat import DarkDay, HeatDay, HeatStart, NobodyHome
from wellsolar.site.schema import Site, WaterHeaterTable
from wellsolar.studies.array.heater_circuit import HeaterCircuit, OnArray, further_circuits
from wellsolar.studies.heat.tank import TankAtWork
from wellsolar.studies.house import demand
from wellsolar.studies.sun.days import MONTHS, STEP
from wellsolar.studies.sun.kinds_of_day import GroupDays, group_days, kinds_of_day

LONGEST_RUN = 21
"""Days after which a tank that still rises is said not to get there."""

LEAST_RISE = 0.02
"""Rise of a day's end below which a tank has settled [K]."""

LUKEWARM = (90.0 - 32.0) / 1.8
"""A tank that has given most of its heat, 90 degF [degC]: our choice."""

LONGEST_ABSENCE = 60
"""Clear days in a row that are looked at."""

BOILING = 100.0
"""Where an open tank boils at sea level [degC]; no tank is followed above it."""

DARK_DAYS = 7


@dataclass(frozen=True, eq=False)
class ArrayDay:
    """A day of sun on the array, and what further arrays give the tank on it [W]."""

    sun: DayOfSun
    further: FloatArray

    def through(self, circuit: HeaterCircuit) -> FloatArray:
        """Power in the tank with the array on a circuit [W], one value a step."""
        return circuit.through(self.sun) + self.further


@dataclass(frozen=True, eq=False)
class TankInSun:
    """A tank and the arrays that heat it through days.

    circuit: of the first array; days: by name of each month, January first
    brightest: a clear day of each month as it would be without shade and losses
    """

    work: TankAtWork
    circuit: HeaterCircuit
    days: tuple[Mapping[str, ArrayDay], ...]
    brightest: tuple[ArrayDay, ...]


def tank_in_sun(
    site: Site,
    year: HourlyYear | None,
    work: TankAtWork,
    on: OnArray,
    circuit: HeaterCircuit,
) -> TankInSun:
    """A site's tank in its sun.

    Parameters:
        site: the site, with a latitude
    Raises:
        OutOfRange: a place whose clear sky is not known
    """
    first = group_days(site, on.group, on.group_path, year)
    others = [
        (other, group_days(site, circuit.group, circuit.group_path, year))
        for circuit, other in further_circuits(site, on, circuit)
    ]

    def joined(days: Callable[[GroupDays], tuple[DayOfSun, ...]]) -> tuple[ArrayDay, ...]:
        of_others = [(other, days(sun)) for other, sun in others]
        return tuple(
            ArrayDay(
                day,
                np.sum(
                    [np.zeros(day.cell_temperature.size)]
                    + [other.through(theirs[number]) for other, theirs in of_others],
                    axis=0,
                ),
            )
            for number, day in enumerate(days(first))
        )

    clear, of_year = joined(lambda sun: sun.clear), joined(lambda sun: sun.of_year)
    named = [{"clear": day} for day in clear]
    if of_year:
        heat = _powers(circuit.power, of_year).sum(axis=1)
        months = month_of_days(len(of_year))
        for month in MONTHS:
            for kind, number in kinds_of_day(months, heat, month).items():
                named[month - 1][kind] = of_year[number]
    return TankInSun(work, circuit, tuple(named), joined(lambda sun: sun.bare))


def _powers(
    of_light: Callable[[FloatArray, FloatArray], FloatArray], days: Sequence[ArrayDay]
) -> FloatArray:
    """Power in the tank [W] of all days at once, a row for each, by what gives it at irradiances
    [W/m2] and cell temperatures [degC]."""
    light = np.concatenate([day.sun.effective_irradiance for day in days])
    cells = np.concatenate([day.sun.cell_temperature for day in days])
    return of_light(light, cells).reshape(len(days), -1) + [day.further for day in days]


def heat_days(tank: TankInSun, only: str | None = None) -> tuple[HeatDay, ...]:
    """Every kind of day of every month, or only one kind, begun cold, nothing drawn."""
    kinds = [
        (month, kind, day)
        for month, of_month in zip(MONTHS, tank.days, strict=True)
        for kind, day in of_month.items()
        if only in (None, kind)
    ]
    days = [day for _, _, day in kinds]
    powers, best = _powers(tank.circuit.power, days), _powers(tank.circuit.maximum_power, days)
    return tuple(
        _heat_day(tank.work, power, float(most.sum()) * STEP, kind)
        for power, most, kind in zip(powers, best, kinds, strict=True)
    )


def _heat_day(
    work: TankAtWork, power: FloatArray, maximum_energy: float, kind: tuple[int, str, ArrayDay]
) -> HeatDay:
    """Energies of one kind of day, and when the tank reaches its setpoint."""
    month, name, day = kind
    first = work.run(power, work.inlet)
    reached = _time_to_setpoint(work, power, first)
    days = 1 if reached is not None else _days_to_setpoint(work, power, first)
    suffices = work.inlet if reached is not None else _start_for_one_day(work, power)
    return HeatDay(
        month=month,
        kind=name,
        plane_of_array=day.sun.plane_total,
        element_energy=float(power.sum()) * STEP,
        maximum_energy=maximum_energy,
        peak_power=float(power.max()),
        end_temperature=float(first.mean_temperature[-1]),
        time_to_setpoint=reached,
        days_to_setpoint=days,
        start_for_one_day=suffices,
        starts=_starts(work, power, first, suffices, days),
    )


def _time_to_setpoint(work: TankAtWork, power: FloatArray, run: TankRun) -> float | None:
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
    temperatures = {"half way": work.half_heated}
    if work.inlet < LUKEWARM < work.setpoint:
        temperatures["lukewarm"] = LUKEWARM
    starts = []
    for name, temperature in temperatures.items():
        enough = suffices is not None and temperature >= suffices
        run = work.run(power, temperature) if enough else None
        time = None if run is None else _time_to_setpoint(work, power, run)
        starts.append(HeatStart(name, temperature, time))
    time = None
    if days is not None and days <= 2:
        time = _time_to_setpoint(work, power, work.run(power, first.end_temperatures))
    return (*starts, HeatStart("the day before", float(first.mean_temperature[-1]), time))


def _days_to_setpoint(work: TankAtWork, power: FloatArray, first: TankRun) -> int | None:
    """The day, in a row of such days, on which the tank gets there; None where it never does."""
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


def _sunniest(tank: TankInSun) -> tuple[int, FloatArray]:
    """Month and power [W] of the clear day that heats most, without shade and losses: shade may
    be cut and modules washed, and what protects a tank can't be a tree."""
    powers = [day.through(tank.circuit) for day in tank.brightest]
    month = max(MONTHS, key=lambda month: float(powers[month - 1].sum()))
    return month, powers[month - 1]


def stall_temperature(tank: TankInSun) -> float:
    """Where the wall loss equals the mean power of the sunniest day, or boiling [degC]."""
    power = float(_sunniest(tank)[1].mean())
    return min(BOILING, tank.work.tank.stall_temperature(power, tank.work.room))


def nobody_home(heater: WaterHeaterTable, tank: TankInSun) -> NobodyHome:
    """A tank at its setpoint left alone in clear weather, its thermostat failed closed.

    It is the worst case: nothing shades the modules, and they are new and clean.

    Returns:
        days until its guards act
    """
    month, power = _sunniest(tank)
    stuck = replace(tank.work, setpoint=math.inf)
    run = stuck.run(np.tile(power, LONGEST_ABSENCE), tank.work.setpoint, high_limit=BOILING)
    boils = math.isfinite(run.high_limit_time)
    limit = None if heater.high_limit is None else float(heater.high_limit)
    relief = overheating.RELIEF_TEMPERATURE
    if heater.relief_temperature is not None:
        relief = float(heater.relief_temperature)
    return NobodyHome(
        month=month,
        hottest=BOILING if boils else float(run.top_temperature.max()),
        high_limit=limit,
        days_to_high_limit=None if limit is None else _days_until(limit, run.top_temperature),
        relief=relief,
        days_to_relief=_days_until(relief, run.top_temperature),
    )


def _days_until(limit: float, tops: FloatArray) -> float | None:
    """Days until the top of a tank is as hot as a limit [degC]; None where it never is."""
    hotter = np.flatnonzero(tops >= limit - 1e-6)
    return float(hotter[0] + 1) * STEP / DAY if hotter.size else None


def dark_days(work: TankAtWork, draws: tuple[demand.TapDraw, ...] | None) -> tuple[DarkDay, ...]:
    """A week without sun, from the setpoint at midnight.

    Parameters:
        draws: of a day; None where they are not known
    Returns:
        the tank at the end of each day
    """
    daily, volume = sum(draw.volume for draw in draws or ()), work.tank.volume
    drawn: list[FloatArray] | None = None
    if draws is not None and not demand.is_no_households(daily, volume):
        drawn = _dark_week(replace(work, largest_shift=demand.largest_shift(daily, volume)), draws)
    idle = _dark_week(work, ())
    days = []
    for day in range(DARK_DAYS):
        nodes = None if drawn is None else drawn[day]
        days.append(
            DarkDay(
                day=day + 1,
                mean_temperature=None if nodes is None else float(nodes.mean()),
                top_temperature=None if nodes is None else float(nodes.max()),
                tap_volume=None if nodes is None else work.tap_volume(nodes),
                idle_temperature=float(idle[day].mean()),
                idle_tap_volume=work.tap_volume(idle[day]),
            )
        )
    return tuple(days)


def _dark_week(work: TankAtWork, draws: tuple[demand.TapDraw, ...]) -> list[FloatArray]:
    """The tank's nodes at the end of each day."""
    dark = np.zeros(demand.HOURS_A_DAY)
    step, draw = np.full(demand.HOURS_A_DAY, HOUR), dark
    if draws:
        pieces = demand.in_pieces(draws, work.tank.volume)
        steps = events.schedule(dark, events.every_day(pieces, 1, 0.0), HOUR, longest_busy=HOUR)
        step, draw = steps.step, steps.tap_draw
    ends: list[FloatArray] = []
    nodes = np.full(work.tank.nodes, work.setpoint)
    for _ in range(DARK_DAYS):
        nodes = work.run(np.zeros(step.size), nodes, draw, step).end_temperatures
        ends.append(nodes)
    return ends
