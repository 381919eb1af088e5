"""From a day's total to its hours, cloud by cloud.

The hours of a day follow the mean profile of Collares-Pereira & Rabl; around it they scatter from
hour to hour as Aguiar & Collares-Pereira measured; no hour is brighter than a very clear sky, and
the day keeps its total. The diffuse part is that of Erbs by the hour.
"""

from __future__ import annotations

import numpy as np

from wellsolar.physics.sun import clearness, light
from wellsolar.physics.sun import days as sun_days
from wellsolar.physics.sun import geometry as solar_geometry
from wellsolar.physics.sun.year import HOUR, YearOfHours, extraterrestrial_days, noon_declination
from wellsolar.physics.types import FloatArray


def hours_with_totals(
    hours: YearOfHours,
    latitude: float,
    altitude: float,
    daily_totals: FloatArray,
    random: np.random.RandomState,
) -> light.Light:
    """Hours of light of days whose totals are given.

    Parameters:
        hours: of the year, in solar time [deg, W/m2]
        latitude: north positive [deg], scalar
        altitude: above the sea [m], scalar
        daily_totals: on the horizontal, one a day [J/m2], array
        random: generator of random numbers, which moves on [-]
    Returns:
        the light [W/m2]
    Source: Collares-Pereira & Rabl, Solar Energy 22 (1979) 155 (second hand); Aguiar &
        Collares-Pereira, Solar Energy 49 (1992) 167 (as open code quotes it); Erbs, Klein &
        Duffie, Solar Energy 28 (1982) 293 (second hand).
    """
    day = hours.day_of_year[::24]
    up = np.maximum(np.cos(np.radians(hours.zenith)), 0.0)
    outside = (hours.extraterrestrial_normal * up).reshape(-1, 24)
    most = light.clear_hours(hours, altitude, np.full(12, sun_days.VERY_CLEAR))
    hour_angle: FloatArray = 15.0 * (np.arange(24.0) + 0.5 - 12.0)
    sunset = np.asarray(solar_geometry.sunset_hour_angle(latitude, noon_declination(day)))
    shape = np.asarray(clearness.hourly_share(hour_angle, sunset[:, None]))
    shape = np.where(outside > 0.0, shape, 0.0)
    smooth = _scaled(shape, daily_totals)
    above = extraterrestrial_days(latitude, day)
    index = np.where(above > 0.0, daily_totals / np.maximum(above, 1.0), 0.0)
    scatter = hourly_scatter(index[:, None], up.reshape(-1, 24), random)
    rough = np.maximum(smooth + scatter * outside, 0.0)
    total = _within(rough, most.global_horizontal.reshape(-1, 24), daily_totals).reshape(-1)
    index = np.clip(total / np.maximum(outside.reshape(-1), 1e-9), 0.0, 1.0)
    beam = total * (1.0 - np.asarray(clearness.hourly_diffuse_fraction(index)))
    return light.with_beam(hours, altitude, total, beam)


def hourly_scatter(
    daily_clearness: FloatArray, sine_of_height: FloatArray, random: np.random.RandomState
) -> FloatArray:
    """Departure of the clearness of hours from the day's mean course.

    Parameters:
        daily_clearness: clearness index of the days [-], one a row, array
        sine_of_height: sine of the sun's height, one row a day [-], array
        random: generator of random numbers, which moves on [-]
    Returns:
        departure of the hourly clearness index, one row a day [-]
    Source: Aguiar & Collares-Pereira, TAG, Solar Energy 49 (1992) 167, coefficients second hand
        from open code that agrees; not their mean course.
    """
    day = daily_clearness
    follow = 0.38 + 0.06 * np.cos(7.4 * day[:, 0] - 2.5)
    fresh = np.sqrt(1.0 - follow**2)
    noise = random.standard_normal(sine_of_height.shape)
    state = noise.copy()
    for hour in range(1, sine_of_height.shape[1]):
        state[:, hour] = follow * state[:, hour - 1] + fresh * noise[:, hour]
    least = 0.14 * np.exp(-20.0 * (day - 0.35) ** 2)
    growth = 3.0 * (day - 0.45) ** 2 + 16.0 * day**5
    spread: FloatArray = least * np.exp(growth * (1.0 - sine_of_height))
    return spread * state


def _scaled(shape: FloatArray, daily_totals: FloatArray) -> FloatArray:
    """Rows in the shape given whose sums over the hours are the totals."""
    sums = shape.sum(axis=1) * HOUR
    factor = np.where(sums > 0.0, daily_totals / np.maximum(sums, 1e-9), 0.0)
    return shape * factor[:, None]


def _within(rough: FloatArray, most: FloatArray, daily_totals: FloatArray) -> FloatArray:
    """Rows with the totals given and no hour above `most`; what is cut off goes to the hours that
    have room. A day whose total is over that of `most` takes its shape."""
    most = np.maximum(most, _scaled(most, daily_totals))
    cut = np.minimum(_scaled(rough, daily_totals), most)
    room = most - cut
    lacking = daily_totals / HOUR - cut.sum(axis=1)
    spare = room.sum(axis=1)
    part = np.where(spare > 0.0, lacking / np.maximum(spare, 1e-9), 0.0)
    filled: FloatArray = cut + room * np.clip(part, 0.0, 1.0)[:, None]
    return filled
