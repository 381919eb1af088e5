"""A PV-heated tank through a clear, a typical and a poor day, with nothing drawn."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wellsolar.physics import heat_tank, sun_days
from wellsolar.physics.heat_tank import Tank, TankRun
from wellsolar.physics.sun_days import DayOfSun
from wellsolar.physics.types import FloatArray
from wellsolar.results import HeatDay, HeatMonth
from wellsolar.studies.pv_heater import HeaterCircuit
from wellsolar.studies.sunshine import STEP

LONGEST_RUN = 21
"""Days after which a tank that still rises is said not to get there."""

LEAST_RISE = 0.02
"""Rise of a day's end below which a tank has settled [K]."""


@dataclass(frozen=True)
class TankAtWork:
    """A tank with what surrounds it; temperatures in degC, the thermostat's differential in K."""

    tank: Tank
    inlet: float
    room: float
    tap: float
    setpoint: float
    differential: float

    def run(
        self,
        power: FloatArray,
        start: float | FloatArray,
        draw: FloatArray | None = None,
        step: float = STEP,
    ) -> TankRun:
        """The tank through the steps of `power` [W] from a start temperature, with the mixed
        water `draw` [m3] wanted in each step."""
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
            self.differential,
            step,
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


def annual_share(months: tuple[HeatMonth, ...]) -> float | None:
    """Share of the year's hot-water heat that PV gives; None where none is wanted."""
    wanted = sum(each.heat_wanted for each in months)
    return sum(each.heat_delivered for each in months) / wanted if wanted > 0 else None
