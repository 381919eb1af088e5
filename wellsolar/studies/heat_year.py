"""A PV-heated tank through the hours of the site's year, with the household's draws."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wellsolar.data import hot_water_tables
from wellsolar.physics.constants import HOUR
from wellsolar.physics.heat_tank import TankRun
from wellsolar.physics.sun_year import PlaneYear
from wellsolar.physics.types import FloatArray
from wellsolar.results import HeatMonth
from wellsolar.studies.heat_days import TankAtWork
from wellsolar.studies.pv_heater import HeaterCircuit
from wellsolar.studies.sunshine import MONTHS

HOURS_A_DAY = 24

EVENING = 18
"""Hour of the clock at which the evening's draw begins."""


@dataclass(frozen=True, eq=False)
class HeatedYear:
    """What drives a tank through a year; arrays have one value an hour.

    plane: the sun on the modules; power: offered at the element [W]; maximum_power: of the
    array [W]; draw: mixed water wanted [m3]
    """

    plane: PlaneYear
    power: FloatArray
    maximum_power: FloatArray
    draw: FloatArray


def heated_year(
    circuit: HeaterCircuit, plane: PlaneYear, pattern: str, daily_draw: float
) -> HeatedYear:
    """The year of an array on its element and of the draws from its tank.

    Parameters:
        circuit: the array on its element
        plane: the year on the array's plane
        pattern: of the draws through a day
        daily_draw: mixed water a day [m3]
    Returns:
        what drives the tank
    """
    light, cells = plane.plane_of_array_irradiance, plane.cell_temperature
    draw = hot_water_tables.hourly_draw(pattern, daily_draw, HOUR)
    return HeatedYear(
        plane,
        circuit.power(light, cells),
        circuit.maximum_power(light, cells),
        np.tile(draw, light.size // draw.size),
    )


def run_year(work: TankAtWork, heated: HeatedYear, part: float = 1.0) -> tuple[TankRun, float]:
    """The tank through the year, run twice: the first time settles it, the second is given.

    Parameters:
        work: the tank
        heated: what drives it
        part: of the draws
    Returns:
        the second run, and the mean temperature at its start [degC]
    """
    draw = heated.draw * part
    settled = work.run(heated.power, (work.inlet + work.setpoint) / 2, draw, HOUR)
    run = work.run(heated.power, settled.end_temperatures, draw, HOUR)
    return run, float(settled.mean_temperature[-1])


def heat_months(work: TankAtWork, heated: HeatedYear) -> tuple[HeatMonth, ...]:
    """What the household gets in each month, nothing but PV heating.

    Parameters:
        work: the tank
        heated: what drives it
    Returns:
        means a day of each month
    """
    run, start = run_year(work, heated)
    stored = work.tank.heat_capacity * np.diff(run.mean_temperature, prepend=start)
    accepted = run.accepted_power * HOUR
    delivered = run.delivered_power * HOUR
    short = run.short_power * HOUR
    hourly = {
        "plane_of_array": heated.plane.plane_of_array_irradiance * HOUR,
        "element_energy": heated.power * HOUR,
        "maximum_energy": heated.maximum_power * HOUR,
        "accepted_energy": accepted,
        "heat_wanted": delivered + short,
        "heat_delivered": delivered,
        "heat_lost": accepted - delivered - stored,
        "tap_volume": np.where(short <= 1e-9 * (delivered + short), heated.draw, 0.0),
    }
    return tuple(_month(month, hourly, work, heated, run) for month in MONTHS)


def _month(
    month: int,
    hourly: dict[str, FloatArray],
    work: TankAtWork,
    heated: HeatedYear,
    run: TankRun,
) -> HeatMonth:
    of_month = heated.plane.hours.month == month
    days = int(of_month.sum()) // HOURS_A_DAY
    evening = of_month & (np.arange(of_month.size) % HOURS_A_DAY == EVENING - 1)
    hot = work.satisfied(heated.power, run)[of_month].reshape(days, HOURS_A_DAY).any(axis=1)
    return HeatMonth(
        month=month,
        evening_temperature=float(run.top_temperature[evening].mean()),
        days_at_setpoint=float(hot.mean()),
        **{name: float(values[of_month].sum()) / days for name, values in hourly.items()},
    )
