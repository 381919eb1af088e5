"""A PV-heated tank through a clear, a typical and a poor day, with nothing drawn."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wellsolar.physics.sun import days as sun_days
from wellsolar.physics.sun.days import DayOfSun
from wellsolar.physics.tank import hot_water, two_tanks
from wellsolar.physics.tank import stratified as heat_tank
from wellsolar.physics.tank.stratified import Tank, TankRun
from wellsolar.physics.tank.two_tanks import TwoTanksRun
from wellsolar.physics.types import FloatArray, Floats
from wellsolar.results import HeatDay, HeatMonth, HeatStart
from wellsolar.studies.array.heater_circuit import HeaterCircuit
from wellsolar.studies.sun.days import STEP

LONGEST_RUN = 21
"""Days after which a tank that still rises is said not to get there."""

LEAST_RISE = 0.02
"""Rise of a day's end below which a tank has settled [K]."""


LUKEWARM = (90.0 - 32.0) / 1.8
"""A tank that has given most of its heat, 90 degF [degC]: our choice."""

LOWER, UPPER = 0.1, 0.7
"""Height of the elements over that of the tank: common practice, no source."""

HIGH_LIMIT_HEIGHT = 0.8
"""Height of the high limit over that of the tank: just above the upper element; common practice,
no source."""


@dataclass(frozen=True)
class GridElement:
    """An element on the grid: power [W], height over that of the tank, thermostat [degC]."""

    power: float
    height: float
    thermostat: float


@dataclass(frozen=True)
class SecondTank:
    """A tank downstream with its element on the grid; power [W], thermostat [degC]."""

    tank: Tank
    power: float
    thermostat: float


@dataclass(frozen=True)
class TankAtWork:
    """A tank with what surrounds it; temperatures in degC, the thermostat's differential in K.

    largest_shift: part of a node that is drawn at once, as of `heat_tank.simulate`
    """

    tank: Tank
    inlet: float
    room: float
    tap: float
    setpoint: float
    differential: float
    largest_shift: float = 0.1

    def run(
        self,
        power: FloatArray,
        start: float | FloatArray,
        draw: FloatArray | None = None,
        step: Floats = STEP,
        grid: GridElement | None = None,
        high_limit: float = math.inf,
    ) -> TankRun:
        """The tank through steps of power from a start.

        Parameters:
            power: offered at the element of the modules in each step [W]
            start: temperature of the tank, or of its nodes [degC]
            draw: mixed water wanted in each step [m3]; None for nobody home
            step: length of the steps [s]
            grid: element that heats beside the modules, or None
            high_limit: cut-out at the height of the grid's element [degC]
        Returns:
            what the tank did
        """
        return heat_tank.simulate(
            self.tank,
            start,
            power,
            np.zeros_like(power) if draw is None else draw,
            self.inlet,
            self.room,
            self.tap,
            self.setpoint,
            self.differential,
            step,
            grid_power=0.0 if grid is None else grid.power,
            grid_height=HIGH_LIMIT_HEIGHT if grid is None else grid.height,
            grid_setpoint=math.nan if grid is None else grid.thermostat,
            high_limit=high_limit,
            largest_shift=self.largest_shift,
        )

    def run_before(
        self,
        second: SecondTank,
        power: FloatArray,
        starts: tuple[float | FloatArray, float | FloatArray],
        draw: FloatArray,
        step: FloatArray,
    ) -> TwoTanksRun:
        """The tank before a second one, which the taps draw from.

        Parameters:
            second: the tank downstream
            power: offered at the element of the modules in each step [W]
            starts: temperatures of both tanks, or of their nodes [degC]
            draw: mixed water wanted in each step [m3]
            step: length of the steps [s]
        Returns:
            what both tanks did
        """
        return two_tanks.simulate_two_tanks(
            self.tank,
            second.tank,
            *starts,
            power,
            draw,
            self.inlet,
            self.room,
            self.tap,
            self.setpoint,
            self.differential,
            step,
            grid_power=second.power,
            grid_setpoint=second.thermostat,
            largest_shift=self.largest_shift,
        )

    def satisfied(self, power: FloatArray, run: TankRun) -> FloatArray:
        """True at each step in which the thermostat turned sun away: the setpoint was reached."""
        return np.asarray((power > 0) & (run.accepted_power < power * (1 - 1e-9)))

    def tap_volume(self, nodes: FloatArray) -> float:
        """Mixed water as warm as wanted in nodes of these temperatures [degC], drawn as a plug
        without more heat [m3]."""
        if self.tap <= self.inlet:
            return math.inf
        each = self.tank.volume / self.tank.nodes
        volumes = hot_water.delivered_volume(each, nodes, self.inlet, self.tap)
        return float(np.sum(volumes))


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
    half = (work.inlet + work.setpoint) / 2
    uniform = {"half way": half}
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


def annual_share(months: tuple[HeatMonth, ...]) -> float | None:
    """Share of the year's hot-water heat that PV gives; None where none is wanted."""
    wanted = sum(each.heat_wanted for each in months)
    return sum(each.heat_delivered for each in months) / wanted if wanted > 0 else None
