"""A PV-heated tank through a clear, a typical and a poor day, and through a month of days."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wellsolar.physics import heat_tank, sun_days
from wellsolar.physics.constants import DAY
from wellsolar.physics.heat_tank import Tank, TankRun
from wellsolar.physics.sun_days import DayOfSun
from wellsolar.physics.types import FloatArray
from wellsolar.results import HeatDay, HeatMonth
from wellsolar.studies.pv_heater import HeaterCircuit
from wellsolar.studies.sunshine import STEP

NODES = 10
"""Layers of the tank; about 5 to 10 match the trade's rule that 70 % of a tank is usable."""

ELEMENT_HEIGHT = 0.1
"""Height of the lower element over that of the tank: common practice, no source."""

HYSTERESIS = 5.0
"""How far below its setpoint a thermostat closes [K]: common practice, no source."""

LONGEST_RUN = 21
"""Days after which a tank that still rises is said not to get there."""

LEAST_RISE = 0.02
"""Rise of a day's end below which a tank has settled [K]."""

EVENING = 18 * 3600.0
"""Clock time of the evening's draw [s]."""

ORDER = (4, 1, 7, 0, 5, 9, 2, 6, 3, 8)
"""The order of a month's days, darkest 0 to clearest 9: mixed, and the same on every run."""


@dataclass(frozen=True)
class TankAtWork:
    """A tank with what surrounds it; temperatures in degC.

    draw: mixed water wanted in each step of a day [m3]
    """

    tank: Tank
    inlet: float
    room: float
    tap: float
    setpoint: float
    draw: FloatArray

    def run(
        self, power: FloatArray, start: float | FloatArray, draw: FloatArray | None = None
    ) -> TankRun:
        """The tank through the steps of `power` [W] from a start temperature."""
        drawn = np.zeros_like(power) if draw is None else draw
        return heat_tank.simulate(
            self.tank,
            start,
            power,
            drawn,
            self.inlet,
            self.room,
            self.tap,
            self.setpoint,
            HYSTERESIS,
            STEP,
        )

    def satisfied(self, power: FloatArray, run: TankRun) -> FloatArray:
        """True at each step in which the thermostat turned sun away: the setpoint was reached."""
        return np.asarray((power > 0) & (run.accepted_power < power * (1 - 1e-9)))


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
    reached = np.flatnonzero(work.satisfied(power, first))
    days = 1 if reached.size else _days_to_setpoint(work, power, first)
    return HeatDay(
        month=month,
        kind=kind,
        plane_of_array=sun_days.daily_plane_total(day),
        element_energy=float(power.sum()) * day.step,
        maximum_energy=float(circuit.best_through(day).sum()) * day.step,
        peak_power=float(power.max()),
        end_temperature=float(first.mean_temperature[-1]),
        time_to_setpoint=float(first.times[reached[0]]) if reached.size else None,
        days_to_setpoint=days,
        start_for_one_day=work.inlet if reached.size else _start_for_one_day(work, power),
    )


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


def month_power(circuit: HeaterCircuit, days: list[DayOfSun]) -> FloatArray:
    """Power at the element through a month's days in their mixed order [W]."""
    return np.concatenate([circuit.through(days[index]) for index in ORDER[: len(days)]])


def settled_run(work: TankAtWork, power: FloatArray, draw: FloatArray) -> TankRun:
    """A month of `power` [W] with one day's `draw` [m3] every day, run twice: the first time
    settles the tank, the second is given."""
    every_day = np.tile(draw, power.size // draw.size)
    settled = work.run(power, (work.inlet + work.setpoint) / 2, every_day)
    return work.run(power, settled.end_temperatures, every_day)


def heat_month(
    work: TankAtWork, circuit: HeaterCircuit, days: list[DayOfSun], month: int
) -> HeatMonth:
    """A month of days of every clearness with the household's draws, PV heating alone.

    Parameters:
        work: the tank
        circuit: the array on its element
        days: days of equal likelihood, darkest first
        month: 1 to 12
    Returns:
        the month's means a day
    """
    power = month_power(circuit, days)
    run = settled_run(work, power, work.draw)
    count = len(days)
    by_day = (count, round(DAY / STEP))
    evening = run.top_temperature.reshape(by_day)[:, round(EVENING / STEP) - 1]
    return HeatMonth(
        month=month,
        plane_of_array=sum(sun_days.daily_plane_total(day) for day in days) / count,
        element_energy=float(power.sum()) * STEP / count,
        maximum_energy=sum(float(circuit.best_through(day).sum()) for day in days) * STEP / count,
        accepted_energy=run.energy_in / count,
        heat_wanted=run.energy_wanted / count,
        heat_delivered=run.energy_delivered / count,
        heat_lost=run.energy_lost / count,
        tap_volume=run.tap_volume / count,
        evening_temperature=float(evening.mean()),
        days_at_setpoint=float(work.satisfied(power, run).reshape(by_day).any(axis=1).mean()),
    )


def annual_share(months: tuple[HeatMonth, ...]) -> float | None:
    """Share of the year's hot-water heat that PV gives; None where none is wanted."""
    wanted = sum(each.heat_wanted for each in months)
    return sum(each.heat_delivered for each in months) / wanted if wanted > 0 else None
