"""Single days of sun on the plane of an array: cloudless ones, and days out of a year of hours.

A cloudless day is made of light like the year's (`year.HourlyYear`), so that shade, horizon and
losses come to both by `year.on_plane`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from wellsolar.constants import DAY
from wellsolar.physics.guards import require_range
from wellsolar.physics.sun import light
from wellsolar.physics.sun.year import HOUR, HourlyYear, PlaneYear, steps_of_days
from wellsolar.physics.types import FloatArray

WARMEST_TIME: Final = 15.0 * 3600.0
"""Solar time of the warmest air [s]; common practice, no source."""


@dataclass(frozen=True, eq=False)
class DayOfSun:
    """One day on the plane of an array in equal steps; each array has one value a step.

    step: [s]; plane_of_array_irradiance, effective_irradiance: as of `year.PlaneYear` [W/m2]
    cell_temperature: [degC]
    """

    step: float
    plane_of_array_irradiance: FloatArray
    effective_irradiance: FloatArray
    cell_temperature: FloatArray

    @property
    def plane_total(self) -> float:
        """Sun of the day on the modules [J/m2]."""
        return float(np.sum(self.plane_of_array_irradiance)) * self.step


def cloudless_days(
    latitude: float,
    altitude: float,
    day: FloatArray,
    air_temperatures: FloatArray,
    step: float,
    linke_turbidity: float = 3.0,
    daily_temperature_range: float = 10.0,
    wind_speed: float = 1.0,
) -> HourlyYear:
    """Light and air of cloudless days, one after the other in equal steps of solar time.

    Parameters:
        latitude: north positive, 72 south to 72 north [deg], scalar
        altitude: above the sea [m], scalar
        day: days of the year, 1 to 365 [day], array
        air_temperatures: mean of each of the days [degC], array
        step: length of a step, a whole part of the day [s], scalar
        linke_turbidity: of the air, 2 very clear, 3 clear, 5 hazy [-], scalar
        daily_temperature_range: warmest less coldest air of a day [K], scalar
        wind_speed: at the array [m/s], scalar
    Returns:
        the days [W/m2, degC, m/s]
    Raises:
        OutOfRange: an argument outside its range
    Source: Ineichen & Perez, Solar Energy 73 (2002) 151, as in pvlib; a sinusoid of air whose
        greatest is at 15:00 is common practice, no source.
    """
    require_range(latitude, -72.0, 72.0, "latitude", "deg")
    require_range(altitude, -500.0, 6000.0, "altitude", "m")
    require_range(air_temperatures, -60.0, 60.0, "mean air temperature", "degC")
    require_range(daily_temperature_range, 0.0, 50.0, "daily temperature range", "K")
    require_range(linke_turbidity, 1.0, 10.0, "Linke turbidity", "")
    require_range(wind_speed, 0.0, 50.0, "wind speed", "m/s")
    steps = steps_of_days(latitude, day, step)
    sky = light.clear_hours(steps, altitude, np.full(12, linke_turbidity))
    swing = np.cos(2.0 * math.pi * (steps.hour_of_day * HOUR - WARMEST_TIME) / DAY)
    mean = np.repeat(air_temperatures, steps.month.size // day.size)
    return HourlyYear(
        source="cloudless days",
        latitude=latitude,
        altitude=altitude,
        hours=steps,
        global_horizontal=sky.global_horizontal,
        direct_normal=sky.direct_normal,
        diffuse_horizontal=sky.diffuse_horizontal,
        air_temperature=mean + 0.5 * daily_temperature_range * swing,
        wind_speed=np.full(mean.shape, wind_speed),
    )


def day_of(plane: PlaneYear, number: int, step: float, pieces: int = 1) -> DayOfSun:
    """One day of a plane's steps.

    Parameters:
        plane: steps of whole days on a plane [W/m2]
        number: of the day, from 0 [-]
        step: length of the plane's steps [s], scalar
        pieces: into which each step is cut, all alike [-]
    Returns:
        the day [W/m2, degC]
    Source: none needed.
    """
    count = round(DAY / step)
    day = slice(number * count, (number + 1) * count)
    return DayOfSun(
        step / pieces,
        *(
            np.repeat(values[day], pieces)
            for values in (
                plane.plane_of_array_irradiance,
                plane.effective_irradiance,
                plane.cell_temperature,
            )
        ),
    )
