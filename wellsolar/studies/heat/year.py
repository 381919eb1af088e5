"""A PV-heated tank through the hours of the site's year, with the household's draws."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from wellsolar.constants import DAY, HOUR
from wellsolar.physics.sun.year import HourlyYear, PlaneYear
from wellsolar.physics.tank import events
from wellsolar.physics.tank.events import Schedule
from wellsolar.physics.tank.hot_water import element_heat_at_tap
from wellsolar.physics.tank.stratified import Start, Tank, TankRun, begun_as_it_ends
from wellsolar.physics.types import FloatArray
from wellsolar.results.heat import HeatMonth, HouseholdMonth, HouseholdYear
from wellsolar.site.schema import Site
from wellsolar.studies.array.heater_circuit import HeaterCircuit, OnArray, further_power
from wellsolar.studies.heat.tank import GridElement, SecondTank, TankAtWork
from wellsolar.studies.house import demand
from wellsolar.studies.sun.days import MONTHS
from wellsolar.studies.sun.year import other_years, plane_of_group

COARSE_NODES, COARSE_SHIFT = 6, 0.46
"""Layers, and part of one drawn at once, of the tank that searches run: it mixes a draw as the
fine tank does, 6 / (1 - 0.46) = 10 / (1 - 0.1) tanks in series."""

OTHER_SEEDS = (2, 3, 4, 5, 6)
"""Of further years drawn from the same months, beside the first: our choice. A measured year is
one of many that its months could have had, and has half or twice the hot evenings of another."""

HOT = 1e-9
"""Part of a draw's heat that may lack where it counts as warm as wanted."""


@dataclass(frozen=True, eq=False)
class HeatedYear:
    """What drives a tank through a year; arrays have one value an hour.

    plane: the sun on the modules; power: offered at the element [W]; maximum_power: of the
    array [W]; draws: of a day; tank_volume: of the tank [m3]
    other_powers: the same power in other years drawn from the same months [W]
    """

    plane: PlaneYear
    power: FloatArray
    maximum_power: FloatArray
    draws: tuple[demand.TapDraw, ...]
    tank_volume: float
    other_powers: tuple[FloatArray, ...] = ()

    @property
    def days(self) -> int:
        """Days of the year."""
        return self.power.size // demand.HOURS_A_DAY

    @property
    def daily_draw(self) -> float:
        """Mixed water wanted a day [m3]."""
        return sum(draw.volume for draw in self.draws)

    @cached_property
    def fine(self) -> Schedule:
        """The year in steps that end where a draw, a piece of one, or an hour ends."""
        pieces = demand.in_pieces(self.draws, self.tank_volume)
        draws = events.every_day(pieces, self.days, 0.0)
        return events.schedule(self.power, draws, HOUR, longest_busy=HOUR)

    @cached_property
    def hourly(self) -> FloatArray:
        """Mixed water wanted in each hour [m3]."""
        return self.fine.sums(self.fine.tap_draw)


def heated_year(
    circuit: HeaterCircuit,
    plane: PlaneYear,
    draws: tuple[demand.TapDraw, ...],
    tank_volume: float,
    beside: FloatArray | None = None,
    other_powers: Sequence[FloatArray] = (),
) -> HeatedYear:
    """The year of an array on its element and of the draws from its tank.

    Parameters:
        tank_volume: of the tank [m3]
        beside: power of what else heats the tank, as of `heat_beside` [W]
        other_powers: all that heats the tank in other years of the same months [W]
    """
    light, cells = plane.effective_irradiance, plane.cell_temperature
    added = 0.0 if beside is None else beside
    return HeatedYear(
        plane,
        circuit.power(light, cells) + added,
        circuit.maximum_power(light, cells) + added,
        draws,
        tank_volume,
        tuple(other_powers),
    )


def other_powers_of(
    site: Site, on: OnArray, circuit: HeaterCircuit, diverted: FloatArray | None
) -> list[FloatArray]:
    """Power in the tank in other years drawn from the same months.

    Parameters:
        diverted: power of an element on the inverter by the hour, of the site's own year [W]
    Returns:
        power by the hour of each year [W]; none where a weather file gives the one year there is
    """
    powers = []
    for year in other_years(site, OTHER_SEEDS):
        plane = plane_of_group(site, year, on.group, on.group_path)
        power = circuit.power(plane.effective_irradiance, plane.cell_temperature)
        beside = heat_beside(site, on, circuit, year, diverted)
        powers.append(power if beside is None else power + beside)
    return powers


def heat_beside(
    site: Site,
    on: OnArray,
    circuit: HeaterCircuit,
    year: HourlyYear,
    diverted: FloatArray | None,
) -> FloatArray | None:
    """What heats the tank beside the array that is studied: further arrays on elements of their
    own, and an element on the inverter. It is given where the array's element is.

    Parameters:
        diverted: power of an element on the inverter by the hour [W]
    Returns:
        power by the hour [W]; None where nothing of the kind heats
    """
    further = further_power(site, on, circuit, year)
    if further is None or diverted is None:
        return diverted if further is None else further
    return further + diverted


@dataclass(frozen=True, eq=False)
class YearRun:
    """A run through the year; the tank that the taps draw from is the last of one or two.

    run: the year; stored: heat that the water took up in each step [J]
    in_hours: True where the steps are hours
    top_temperature: of that tank at the end of each step, start_top: at the year's begin [degC]
    """

    run: TankRun
    stored: FloatArray
    top_temperature: FloatArray
    start_top: float
    in_hours: bool = False


def run_year(
    work: TankAtWork, heated: HeatedYear, part: float = 1.0, grid: GridElement | None = None
) -> YearRun:
    """The tank through the year, begun as it ends, in steps along the draws.

    Parameters:
        grid: element that heats beside the modules, or None
    """
    steps = heated.fine
    work = replace(work, largest_shift=demand.largest_shift(heated.daily_draw, work.tank.volume))
    return _settled(work, steps.heater_power, steps.tap_draw * part, steps.step, grid)


def run_hours(
    work: TankAtWork,
    heated: HeatedYear,
    part: float = 1.0,
    grid: GridElement | None = None,
    second: SecondTank | None = None,
    power: FloatArray | None = None,
) -> YearRun:
    """The same by the hour in a coarser tank, some five times as fast: for searches.

    Parameters:
        grid: element that heats beside the modules, or None
        second: tank downstream on the grid, or None
        power: of another year in place of the own one [W]
    """
    volumes = [work.tank.volume] + ([] if second is None else [second.tank.volume])
    shift = max(COARSE_SHIFT, demand.largest_shift(heated.daily_draw, min(volumes)))
    coarse = replace(work, tank=replace(work.tank, nodes=COARSE_NODES), largest_shift=shift)
    offered = heated.power if power is None else power
    draw, step = heated.hourly * part, np.full(heated.power.size, HOUR)
    if second is None:
        return replace(_settled(coarse, offered, draw, step, grid), in_hours=True)
    last = replace(second, tank=replace(second.tank, nodes=COARSE_NODES))
    return replace(_settled_before(coarse, last, offered, draw, step), in_hours=True)


def _settled(
    work: TankAtWork,
    power: FloatArray,
    draw: FloatArray,
    step: FloatArray,
    grid: GridElement | None,
) -> YearRun:
    """A run through the year that begins as it ends."""

    def run(starts: Sequence[Start], part: slice) -> TankRun:
        return work.run(power[part], starts[0], draw[part], step[part], grid)

    return _year_run([work.tank], *begun_as_it_ends(run, [work.half_heated], step))


def run_two_tanks(work: TankAtWork, second: SecondTank, heated: HeatedYear) -> YearRun:
    """The tank before a second one through the year, begun as it ends.

    Parameters:
        second: the tank downstream, on the grid
    """
    steps = heated.fine
    smaller = min(work.tank.volume, second.tank.volume)
    work = replace(work, largest_shift=demand.largest_shift(heated.daily_draw, smaller))
    return _settled_before(work, second, steps.heater_power, steps.tap_draw, steps.step)


def _settled_before(
    work: TankAtWork,
    second: SecondTank,
    power: FloatArray,
    draw: FloatArray,
    step: FloatArray,
) -> YearRun:
    """A run of both tanks through the year that begins as it ends."""

    def run(starts: Sequence[Start], part: slice) -> TankRun:
        return work.run_before(second, power[part], starts, draw[part], step[part])

    guess = [work.half_heated, second.thermostat]
    tanks = [work.tank, second.tank]
    return _year_run(tanks, *begun_as_it_ends(run, guess, step))


def _year_run(tanks: Sequence[Tank], starts: Sequence[FloatArray], run: TankRun) -> YearRun:
    stored = [
        _stored(*course) for course in zip(tanks, run.mean_temperatures, starts, strict=True)
    ]
    return YearRun(run, np.sum(stored, axis=0), run.top_temperatures[-1], float(starts[-1][-1]))


def _stored(tank: Tank, mean: FloatArray, start: FloatArray) -> FloatArray:
    """Heat that the water of a tank takes up in each step [J]."""
    return tank.heat_capacity * np.diff(mean, prepend=float(np.mean(start)))


def heat_months(heated: HeatedYear, year: YearRun) -> tuple[HeatMonth, ...]:
    """The heat of each month, nothing but PV heating.

    Parameters:
        year: its run with nothing on the grid
    Returns:
        means a day of each month
    """
    flows = _heat_by_hour(heated, year)
    from_modules = _heat_at_tap(heated, flows).tolist()
    hourly = {
        "plane_of_array": heated.plane.plane_of_array_irradiance * HOUR,
        "element_energy": heated.power * HOUR,
        "maximum_energy": heated.maximum_power * HOUR,
        "accepted_energy": flows["pv_heat"],
        **{key: flows[key] for key in ("heat_wanted", "heat_delivered", "heat_lost")},
    }
    heat = []
    for month in MONTHS:
        of_month = heated.plane.hours.month == month
        days = int(of_month.sum()) // demand.HOURS_A_DAY
        means = {key: float(values[of_month].sum()) / days for key, values in hourly.items()}
        heat.append(HeatMonth(month=month, pv_at_tap=from_modules[month - 1] / days, **means))
    return tuple(heat)


def pv_share(heated: HeatedYear, year: YearRun) -> float | None:
    """Heat of the modules that reaches the tap in a year over the heat that is wanted there.

    Parameters:
        year: its run with nothing on the grid
    Returns:
        the share; None where no heat is wanted
    """
    flows = _heat_by_hour(heated, year)
    wanted = float(flows["heat_wanted"].sum())
    return float(_heat_at_tap(heated, flows).sum()) / wanted if wanted > 0.0 else None


def _heat_at_tap(heated: HeatedYear, flows: dict[str, FloatArray]) -> FloatArray:
    """Heat of the modules at the tap in each month [J]."""
    months = heated.plane.hours.month

    def of_month(values: FloatArray) -> FloatArray:
        return np.asarray(np.bincount(months, weights=values, minlength=13)[1:], dtype=float)

    pv, room = of_month(flows["pv_heat"]), of_month(np.maximum(-flows["heat_lost"], 0.0))
    return element_heat_at_tap(pv, room, of_month(flows["heat_delivered"]))


def household_year(
    heated: HeatedYear,
    year: YearRun,
    heated_by: str,
    closes: float,
    other_evenings: tuple[int, ...] = (),
) -> HouseholdYear:
    """What the household gets in each month.

    Parameters:
        year: its run in steps along the draws
        heated_by: what heats beside the modules
        closes: where the thermostat closes of the tank that the taps draw from [degC]
        other_evenings: hot evenings of other years of the same months
    Returns:
        sums of each month
    """
    flows = _heat_by_hour(heated, year)
    evenings = evening_of_days(heated, year)
    months = []
    for month in MONTHS:
        of_month = heated.plane.hours.month == month
        of_day = of_month[:: demand.HOURS_A_DAY]
        before = evenings.before[of_day]
        sums = {key: float(values[of_month].sum()) for key, values in flows.items()}
        months.append(
            HouseholdMonth(
                month=month,
                days=int(of_day.sum()),
                evening_temperature=float(before.mean()),
                evenings_at_setpoint=int((before >= closes).sum()),
                evenings_hot=int(evenings.hot[of_day].sum()),
                **sums,
            )
        )
    start = demand.evening_draw(heated.draws).start
    return HouseholdYear(heated_by, start, tuple(months), other_evenings)


@dataclass(frozen=True, eq=False)
class Evenings:
    """The evening's draw of each day.

    before: top of the tank when it begins [degC]; hot: True where all of it came warm enough
    """

    before: FloatArray
    hot: FloatArray


def evening_of_days(heated: HeatedYear, year: YearRun) -> Evenings:
    """How warm the tank is at the evening's draw, and whether that is warm enough.

    Parameters:
        year: its run in steps along the draws
    Returns:
        one value a day
    """
    steps, run = heated.fine, year.run
    evening = demand.evening_draw(heated.draws)
    ends = np.cumsum(steps.step)
    begins = np.arange(heated.days) * DAY + evening.start
    last_before = np.searchsorted(ends, begins - 1e-3)
    before = np.where(begins > 0, year.top_temperature[last_before], year.start_top)
    middle = ends - steps.step / 2 - evening.start
    inside = middle % DAY < evening.duration
    day = np.floor(middle[inside] / DAY).astype(int) % heated.days
    short = np.bincount(day, (run.short_power * steps.step)[inside], heated.days)
    delivered = np.bincount(day, (run.delivered_power * steps.step)[inside], heated.days)
    return Evenings(before, np.asarray(short <= HOT * (short + delivered)))


def _heat_by_hour(heated: HeatedYear, year: YearRun) -> dict[str, FloatArray]:
    """Heat [J] and mixed water [m3] of each hour."""
    steps, run = heated.fine, year.run
    step, drawn = (HOUR, heated.hourly) if year.in_hours else (steps.step, steps.tap_draw)
    pv, grid = run.accepted_power * step, run.grid_power * step
    delivered, short = run.delivered_power * step, run.short_power * step
    hot = short <= HOT * (delivered + short)
    of_steps = {
        "pv_heat": pv,
        "grid_heat": grid,
        "heat_lost": pv + grid - delivered - year.stored,
        "heat_wanted": delivered + short,
        "heat_delivered": delivered,
        "tap_volume": np.where(hot, drawn, 0.0),
        "short_volume": np.where(hot, 0.0, drawn),
    }
    if year.in_hours:
        return of_steps
    return {key: steps.sums(values) for key, values in of_steps.items()}
