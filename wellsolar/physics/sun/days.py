"""Days of sun on the plane of an array, from a clear sky or from a monthly mean daily total.

All times are solar, so no longitude is needed. How a day comes about:

- sun position from Spencer's declination on Klein's average day of the month;
- a clear day by Ineichen & Perez for a given Linke turbidity;
- a day with a given total by the profile of Collares-Pereira & Rabl, scaled so that its sum is
  that total; its diffuse part by the daily curve of Erbs, spread by the profile of Liu & Jordan
  and nowhere more than the total;
- direct normal is nowhere above that of a very clear sky (Linke turbidity 2), which matters near
  the horizon, where it is a small beam over a small cosine; what is over counts as diffuse, so
  the daily sum stays;
- onto the plane by Hay & Davies; cell temperature by Faiman; air temperature as a sinusoid whose
  warmest time is 15:00.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np

from wellsolar.constants import DAY
from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_range
from wellsolar.physics.sun import clearness, light, position, tilted_plane
from wellsolar.physics.sun.light import VERY_CLEAR
from wellsolar.physics.types import FloatArray

WARMEST_TIME: Final = 15.0 * 3600.0
"""Solar time of the warmest air [s]; common practice, no source."""

POOR_DAY: Final = 0.10
"""Part of a month's days that are no brighter than its poor day [-]; our choice."""


@dataclass(frozen=True, eq=False)
class DayOfSun:
    """One day in equal steps; each array has one value a step.

    time: middle of the step from solar midnight [s]; step: [s]
    horizontal_irradiance, plane_of_array_irradiance: [W/m2]
    air_temperature, cell_temperature: [degC]
    """

    time: FloatArray
    step: float
    horizontal_irradiance: FloatArray
    plane_of_array_irradiance: FloatArray
    air_temperature: FloatArray
    cell_temperature: FloatArray


@dataclass(frozen=True, eq=False)
class Sky:
    """What all days of one month and place share; angles in degrees, irradiances in W/m2."""

    month: int
    time: FloatArray
    step: float
    hour_angle: FloatArray
    zenith: FloatArray
    sun_azimuth: FloatArray
    sunset: float
    normal: float
    daily: float
    clear_total: FloatArray
    clear_direct: FloatArray
    greatest_direct: FloatArray
    air_temperature: FloatArray
    tilt: float
    azimuth: float
    albedo: float
    wind_speed: float


def sky_over(
    month: int,
    latitude: float,
    altitude: float,
    tilt: float,
    azimuth: float,
    mean_air_temperature: float,
    daily_temperature_range: float = 10.0,
    linke_turbidity: float = 3.0,
    albedo: float = 0.2,
    wind_speed: float = 1.0,
    step: float = 600.0,
    day: int | None = None,
) -> Sky:
    """What all days of one month at one place have in common.

    Parameters:
        month: 1 to 12 [-], scalar
        latitude: north positive, 72 south to 72 north [deg], scalar
        altitude: above the sea [m], scalar
        tilt: of the array from the horizontal [deg], scalar
        azimuth: the array looks to, from north clockwise, 180 is south [deg], scalar
        mean_air_temperature: mean of the month [degC], scalar
        daily_temperature_range: warmest less coldest air of the day [K], scalar
        linke_turbidity: of the air, 2 very clear, 3 clear, 5 hazy; below 2 it also raises the
            bound on direct normal [-], scalar
        albedo: part of the sun that the ground reflects [0..1], scalar
        wind_speed: at the array [m/s], scalar
        step: length of a step, a whole part of the day [s], scalar
        day: day of the year in place of the month's average day [day], scalar
    Returns:
        the sky, to be given to the functions below [deg, W/m2, degC]
    Raises:
        OutOfRange: an argument outside its range
    Source: Spencer (1971) and Klein (1977) for the sun's place; Ineichen & Perez, Solar Energy 73
        (2002) 151, for the clear sky, as in pvlib.
    """
    require_range(latitude, -72.0, 72.0, "latitude", "deg")
    require_range(altitude, -500.0, 6000.0, "altitude", "m")
    require_range(tilt, 0.0, 90.0, "tilt", "deg")
    require_range(azimuth, 0.0, 360.0, "azimuth", "deg")
    require_range(mean_air_temperature, -60.0, 60.0, "mean air temperature", "degC")
    require_range(daily_temperature_range, 0.0, 50.0, "daily temperature range", "K")
    require_range(linke_turbidity, 1.0, 10.0, "Linke turbidity", "")
    require_range(albedo, 0.0, 1.0, "albedo", "")
    require_range(wind_speed, 0.0, 50.0, "wind speed", "m/s")
    time = _step_centres(step)
    number = position.average_day(month) if day is None else day
    require_range(number, 1, 366, "day of the year", "")
    declination = float(position.declination_spencer(number))
    hour_angle = 15.0 * (time / 3600.0 - 12.0)
    zenith, sun_azimuth = position.sun_position(latitude, declination, hour_angle)
    normal = float(position.extraterrestrial_normal(number))
    clear_total, clear_direct = light.clear_sky(zenith, altitude, linke_turbidity, normal)
    clearest = min(VERY_CLEAR, linke_turbidity)
    swing = np.cos(2.0 * math.pi * (time - WARMEST_TIME) / DAY)
    return Sky(
        month=month,
        time=time,
        step=step,
        hour_angle=hour_angle,
        zenith=zenith,
        sun_azimuth=sun_azimuth,
        sunset=float(position.sunset_hour_angle(latitude, declination)),
        normal=normal,
        daily=float(position.extraterrestrial_day(latitude, number, declination)),
        clear_total=clear_total,
        clear_direct=clear_direct,
        greatest_direct=light.clear_sky(zenith, altitude, clearest, normal)[1],
        air_temperature=mean_air_temperature + 0.5 * daily_temperature_range * swing,
        tilt=tilt,
        azimuth=azimuth,
        albedo=albedo,
        wind_speed=wind_speed,
    )


def clear_day(sky: Sky) -> DayOfSun:
    """A cloudless day.

    Parameters:
        sky: place and month [deg, W/m2, degC]
    Returns:
        the day [W/m2, degC]
    Source: Ineichen & Perez, Solar Energy 73 (2002) 151; Hay & Davies (1980); Faiman, Progress
        in Photovoltaics 16 (2008) 307; all as in pvlib.
    """
    direct = sky.clear_direct
    diffuse = np.maximum(sky.clear_total - direct * np.cos(np.radians(sky.zenith)), 0.0)
    return _day(sky, sky.clear_total, diffuse, direct)


def day_with_total(sky: Sky, daily_total: float) -> DayOfSun:
    """A day whose horizontal total is given, with the smooth profile of a mean day.

    Parameters:
        sky: place and month [deg, W/m2, degC]
        daily_total: on the horizontal [J/m2], scalar
    Returns:
        the day [W/m2, degC]; its horizontal sum is `daily_total`
    Raises:
        OutOfRange: a total below 0, or more than arrives outside the atmosphere
    Source: Collares-Pereira & Rabl, Solar Energy 22 (1979) 155; Erbs, Klein & Duffie, Solar
        Energy 28 (1982) 293; Liu & Jordan, Solar Energy 4 (1960) 1 (all second hand);
        Hay & Davies (1980) and Faiman (2008) as in pvlib.
    """
    require_range(daily_total, 0.0, sky.daily, f"daily total of month {sky.month}", "J/m2")
    shape = clearness.hourly_share(sky.hour_angle, sky.sunset)
    whole = float(np.sum(shape))
    if daily_total <= 0.0 or whole <= 0.0:
        dark = np.zeros_like(sky.time)
        return _day(sky, dark, dark, dark)
    total = np.asarray(shape) * (daily_total / (whole * sky.step))
    fraction = clearness.daily_diffuse_fraction(daily_total / sky.daily, sky.sunset)
    spread = np.asarray(clearness.hourly_diffuse_share(sky.hour_angle, sky.sunset))
    diffuse = spread * (fraction * daily_total / (float(np.sum(spread)) * sky.step))
    cosine = np.maximum(np.cos(np.radians(sky.zenith)), 0.0)
    beam = np.maximum(total - diffuse, 0.0)
    direct = np.minimum(beam / np.maximum(cosine, 1e-6), sky.greatest_direct)
    return _day(sky, total, np.maximum(total - direct * cosine, 0.0), direct)


def day_kinds(sky: Sky, monthly_mean_total: float) -> Mapping[str, DayOfSun]:
    """A clear, a typical and a poor day of a month.

    Typical is a day with the month's mean total; on a poor day the sky is as clear as on the
    worst tenth of the month's days.

    Parameters:
        sky: place and month [deg, W/m2, degC]
        monthly_mean_total: mean daily total on the horizontal [J/m2], scalar
    Returns:
        days [W/m2, degC] by "clear", "typical" and "poor"
    Raises:
        OutOfRange: a mean that the sky does not allow
    Source: as `clear_day` and `day_with_total`; Bendt, Collares-Pereira & Rabl, Solar Energy 27
        (1981) 1 (second hand).
    """
    poor = _totals(sky, monthly_mean_total, np.array([POOR_DAY]))[0]
    return MappingProxyType(
        {
            "clear": clear_day(sky),
            "typical": day_with_total(sky, monthly_mean_total),
            "poor": day_with_total(sky, float(poor)),
        }
    )


def daily_plane_total(day_of_sun: DayOfSun) -> float:
    """Energy of a day on the plane of the array.

    Parameters:
        day_of_sun: the day [W/m2, degC]
    Returns:
        daily total [J/m2]
    Source: sum over the steps.
    """
    return float(np.sum(day_of_sun.plane_of_array_irradiance) * day_of_sun.step)


def _step_centres(step: float) -> FloatArray:
    require_range(step, 1.0, 3600.0, "step", "s")
    count = round(DAY / step)
    if abs(count * step - DAY) > 1e-6:
        raise OutOfRange(f"step is {step:g} s, allowed is a whole part of a day, 1 to 3600 s")
    return np.linspace(0.5 * step, DAY - 0.5 * step, count)


def _day(sky: Sky, total: FloatArray, diffuse: FloatArray, direct: FloatArray) -> DayOfSun:
    plane = tilted_plane.on_plane(
        sky.tilt, sky.azimuth, sky.zenith, sky.sun_azimuth, diffuse, direct, sky.normal, sky.albedo
    )
    return DayOfSun(
        time=sky.time,
        step=sky.step,
        horizontal_irradiance=total,
        plane_of_array_irradiance=plane,
        air_temperature=sky.air_temperature,
        cell_temperature=np.asarray(
            tilted_plane.cell_temperature(plane, sky.air_temperature, sky.wind_speed)
        ),
    )


def _totals(sky: Sky, monthly_mean_total: float, probability: FloatArray) -> FloatArray:
    """Daily totals [J/m2] that parts of a month's days do not exceed.

    A mean darker or brighter than the published distribution can have makes all days alike.
    """
    quantity = f"monthly mean daily total of month {sky.month}"
    require_range(monthly_mean_total, 0.0, sky.daily, quantity, "J/m2")
    if sky.daily <= 0.0:
        return np.zeros_like(probability)
    mean = monthly_mean_total / sky.daily
    try:
        return sky.daily * np.asarray(clearness.daily_clearness_quantile(mean, probability))
    except OutOfRange:
        return np.full_like(probability, monthly_mean_total)
