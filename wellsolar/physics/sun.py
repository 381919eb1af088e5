"""Days of sun on the plane of an array, from a clear sky or from a monthly mean daily total.

The only module that imports pvlib, which takes half a second; import this one where sun is needed.

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
import pvlib

from wellsolar.errors import OutOfRange
from wellsolar.physics import clearness
from wellsolar.physics.clearness import SECONDS_PER_DAY
from wellsolar.physics.solve import require_range
from wellsolar.physics.types import FloatArray, Floats

VERY_CLEAR: Final = 2.0
"""Linke turbidity of very clear, cold air [-]; Ineichen & Perez (2002) (from memory)."""

WARMEST_TIME: Final = 15.0 * 3600.0
"""Solar time of the warmest air [s]; common practice, no source."""

FAIMAN_CONSTANT: Final = 25.0
"""Heat loss of a module without wind [W/m2/K]; Faiman (2008), as pvlib quotes it."""

FAIMAN_WIND: Final = 6.84
"""Growth of that loss with wind [W/m2/K per m/s]; Faiman (2008), as pvlib quotes it."""

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
class _Sky:
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


def clear_day(
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
) -> DayOfSun:
    """A cloudless day.

    Parameters:
        month: 1 to 12 [-], scalar
        latitude: north positive, 72 south to 72 north [deg], scalar
        altitude: above the sea [m], scalar
        tilt: of the array from the horizontal [deg], scalar
        azimuth: the array looks to, from north clockwise, 180 is south [deg], scalar
        mean_air_temperature: mean of the day [degC], scalar
        daily_temperature_range: warmest less coldest air of the day [K], scalar
        linke_turbidity: of the air, 2 very clear, 3 clear, 5 hazy [-], scalar
        albedo: part of the sun that the ground reflects [0..1], scalar
        wind_speed: at the array [m/s], scalar
        step: length of a step, a whole part of the day [s], scalar
        day: day of the year [day] in place of the month's average day, scalar
    Returns:
        the day [W/m2, degC]
    Raises:
        OutOfRange: an argument outside its range
    Source: Ineichen & Perez, Solar Energy 73 (2002) 151; Hay & Davies (1980); Faiman, Progress
        in Photovoltaics 16 (2008) 307; all in pvlib.
    """
    sky = _sky(
        month, latitude, altitude, tilt, azimuth, mean_air_temperature, daily_temperature_range,
        linke_turbidity, albedo, wind_speed, step, day,
    )  # fmt: skip
    return _clear(sky)


def day_with_total(
    month: int,
    latitude: float,
    altitude: float,
    tilt: float,
    azimuth: float,
    daily_total: float,
    mean_air_temperature: float,
    daily_temperature_range: float = 10.0,
    linke_turbidity: float = 3.0,
    albedo: float = 0.2,
    wind_speed: float = 1.0,
    step: float = 600.0,
    day: int | None = None,
) -> DayOfSun:
    """A day whose horizontal total is given, with the smooth profile of a mean day.

    Parameters:
        month: 1 to 12 [-], scalar
        latitude: north positive, 72 south to 72 north [deg], scalar
        altitude: above the sea [m], scalar
        tilt: of the array from the horizontal [deg], scalar
        azimuth: the array looks to, from north clockwise, 180 is south [deg], scalar
        daily_total: on the horizontal [J/m2], scalar
        mean_air_temperature: mean of the day [degC], scalar
        daily_temperature_range: warmest less coldest air of the day [K], scalar
        linke_turbidity: of the air; below 2 it raises the bound on direct normal [-], scalar
        albedo: part of the sun that the ground reflects [0..1], scalar
        wind_speed: at the array [m/s], scalar
        step: length of a step, a whole part of the day [s], scalar
        day: day of the year [day] in place of the month's average day, scalar
    Returns:
        the day [W/m2, degC]; its horizontal sum is `daily_total`
    Raises:
        OutOfRange: an argument outside its range, or more than arrives outside the atmosphere
    Source: Collares-Pereira & Rabl, Solar Energy 22 (1979) 155; Erbs, Klein & Duffie, Solar
        Energy 28 (1982) 293; Liu & Jordan, Solar Energy 4 (1960) 1 (all from memory);
        Hay & Davies (1980) and Faiman (2008) in pvlib.
    """
    sky = _sky(
        month, latitude, altitude, tilt, azimuth, mean_air_temperature, daily_temperature_range,
        linke_turbidity, albedo, wind_speed, step, day,
    )  # fmt: skip
    return _with_total(sky, daily_total)


def day_kinds(
    month: int,
    latitude: float,
    altitude: float,
    tilt: float,
    azimuth: float,
    monthly_mean_total: float,
    mean_air_temperature: float,
    daily_temperature_range: float = 10.0,
    linke_turbidity: float = 3.0,
    albedo: float = 0.2,
    wind_speed: float = 1.0,
    step: float = 600.0,
) -> Mapping[str, DayOfSun]:
    """A clear, a typical and a poor day of a month.

    Typical is a day with the month's mean total; on a poor day the sky is as clear as on the
    worst tenth of the month's days.

    Parameters:
        month: 1 to 12 [-], scalar
        latitude: north positive, 72 south to 72 north [deg], scalar
        altitude: above the sea [m], scalar
        tilt: of the array from the horizontal [deg], scalar
        azimuth: the array looks to, from north clockwise, 180 is south [deg], scalar
        monthly_mean_total: mean daily total on the horizontal [J/m2], scalar
        mean_air_temperature: mean of the month [degC], scalar
        daily_temperature_range: warmest less coldest air of the day [K], scalar
        linke_turbidity: of the clear sky [-], scalar
        albedo: part of the sun that the ground reflects [0..1], scalar
        wind_speed: at the array [m/s], scalar
        step: length of a step, a whole part of the day [s], scalar
    Returns:
        days [W/m2, degC] by "clear", "typical" and "poor"
    Raises:
        OutOfRange: an argument outside its range, or a mean that the sky does not allow
    Source: as `clear_day` and `day_with_total`; Bendt, Collares-Pereira & Rabl, Solar Energy 27
        (1981) 1 (from memory).
    """
    sky = _sky(
        month, latitude, altitude, tilt, azimuth, mean_air_temperature, daily_temperature_range,
        linke_turbidity, albedo, wind_speed, step,
    )  # fmt: skip
    poor = _totals(sky, monthly_mean_total, np.array([POOR_DAY]))[0]
    return MappingProxyType(
        {
            "clear": _clear(sky),
            "typical": _with_total(sky, monthly_mean_total),
            "poor": _with_total(sky, float(poor)),
        }
    )


def month_of_days(
    month: int,
    latitude: float,
    altitude: float,
    tilt: float,
    azimuth: float,
    monthly_mean_total: float,
    mean_air_temperature: float,
    daily_temperature_range: float = 10.0,
    linke_turbidity: float = 3.0,
    albedo: float = 0.2,
    wind_speed: float = 1.0,
    step: float = 600.0,
    count: int = 10,
) -> list[DayOfSun]:
    """Days that stand for equal parts of a month, from its darkest to its clearest.

    Clearness is that of the middle of each part of the distribution, all scaled by one factor
    near 1 so that the mean total is the month's.

    Parameters:
        month: 1 to 12 [-], scalar
        latitude: north positive, 72 south to 72 north [deg], scalar
        altitude: above the sea [m], scalar
        tilt: of the array from the horizontal [deg], scalar
        azimuth: the array looks to, from north clockwise, 180 is south [deg], scalar
        monthly_mean_total: mean daily total on the horizontal [J/m2], scalar
        mean_air_temperature: mean of the month [degC], scalar
        daily_temperature_range: warmest less coldest air of the day [K], scalar
        linke_turbidity: of the clear sky [-], scalar
        albedo: part of the sun that the ground reflects [0..1], scalar
        wind_speed: at the array [m/s], scalar
        step: length of a step, a whole part of the day [s], scalar
        count: number of days [-], scalar
    Returns:
        days [W/m2, degC], darkest first
    Raises:
        OutOfRange: an argument outside its range, or a mean that the sky does not allow
    Source: as `day_with_total`; Bendt, Collares-Pereira & Rabl, Solar Energy 27 (1981) 1 (from
        memory).
    """
    require_range(count, 1, 1000, "number of days", "")
    sky = _sky(
        month, latitude, altitude, tilt, azimuth, mean_air_temperature, daily_temperature_range,
        linke_turbidity, albedo, wind_speed, step,
    )  # fmt: skip
    middles = (np.arange(count) + 0.5) / count
    totals = _totals(sky, monthly_mean_total, middles)
    if monthly_mean_total > 0.0:
        totals = totals * (monthly_mean_total / np.mean(totals))
    return [_with_total(sky, float(total)) for total in totals]


def daily_horizontal_total(day: DayOfSun) -> float:
    """Energy of a day on the horizontal.

    Parameters:
        day: the day [W/m2, degC]
    Returns:
        daily total [J/m2]
    Source: sum over the steps.
    """
    return float(np.sum(day.horizontal_irradiance) * day.step)


def daily_plane_total(day: DayOfSun) -> float:
    """Energy of a day on the plane of the array.

    Parameters:
        day: the day [W/m2, degC]
    Returns:
        daily total [J/m2]
    Source: sum over the steps.
    """
    return float(np.sum(day.plane_of_array_irradiance) * day.step)


def peak_sun_hours(day: DayOfSun) -> float:
    """Hours of 1000 W/m2 that give a day's energy on the plane of the array.

    Parameters:
        day: the day [W/m2, degC]
    Returns:
        peak sun hours [h]
    Source: definition, 1 h of 1000 W/m2 is 3.6 MJ/m2.
    """
    return float(clearness.peak_sun_hours(daily_plane_total(day)))


def sun_position(
    latitude: Floats, declination: Floats, hour_angle: Floats
) -> tuple[FloatArray, FloatArray]:
    """Where the sun stands, without refraction.

    Parameters:
        latitude: north positive [deg], scalar or array
        declination: of the sun [deg], scalar or array
        hour_angle: 0 at noon, negative before [deg], scalar or array
    Returns:
        zenith angle and azimuth from north clockwise [deg]
    Source: Duffie & Beckman eqs. 1.6.5 and 1.6.6, in pvlib.
    """
    north, sun, hour = np.radians(latitude), np.radians(declination), np.radians(hour_angle)
    zenith = pvlib.solarposition.solar_zenith_analytical(north, hour, sun)
    azimuth = pvlib.solarposition.solar_azimuth_analytical(north, hour, sun, zenith)
    return np.degrees(zenith), np.degrees(azimuth)


def on_plane(
    tilt: float,
    azimuth: float,
    zenith: Floats,
    sun_azimuth: Floats,
    diffuse: Floats,
    direct_normal: Floats,
    normal: float,
    albedo: float,
) -> FloatArray:
    """Irradiance on a tilted plane.

    Parameters:
        tilt: of the plane from the horizontal [deg], scalar
        azimuth: the plane looks to, from north clockwise [deg], scalar
        zenith: of the sun [deg], scalar or array
        sun_azimuth: from north clockwise [deg], scalar or array
        diffuse: on the horizontal [W/m2], scalar or array
        direct_normal: [W/m2], scalar or array
        normal: on a plane that faces the sun outside the atmosphere [W/m2], scalar
        albedo: part of the sun that the ground reflects [0..1], scalar
    Returns:
        irradiance on the plane [W/m2]
    Source: Hay & Davies (1980) for the sky, isotropic ground, in pvlib.
    """
    incidence = pvlib.irradiance.aoi_projection(tilt, azimuth, zenith, sun_azimuth)
    sky = pvlib.irradiance.haydavies(
        tilt, azimuth, diffuse, direct_normal, normal, zenith, sun_azimuth
    )
    total = diffuse + direct_normal * np.maximum(np.cos(np.radians(zenith)), 0.0)
    ground = pvlib.irradiance.get_ground_diffuse(tilt, total, albedo)
    plane: FloatArray = direct_normal * np.maximum(incidence, 0.0) + sky + ground
    return plane


def cell_temperature(
    irradiance: Floats,
    air_temperature: Floats,
    wind_speed: Floats,
    loss: float = FAIMAN_CONSTANT,
    wind_loss: float = FAIMAN_WIND,
) -> Floats:
    """Cell temperature of a module in the open.

    Parameters:
        irradiance: on the plane of the array [W/m2], scalar or array
        air_temperature: [degC], scalar or array
        wind_speed: at the module [m/s], scalar or array
        loss: heat loss without wind [W/m2/K], scalar
        wind_loss: growth of the loss with wind [W/m2/K per m/s], scalar
    Returns:
        cell temperature [degC]
    Source: Faiman, Progress in Photovoltaics 16 (2008) 307, in pvlib.

    >>> float(cell_temperature(900.0, 20.0, 5.0))
    35.203
    """
    warm: Floats = pvlib.temperature.faiman(
        irradiance, air_temperature, wind_speed, u0=loss, u1=wind_loss
    )
    return warm


def _sky(
    month: int,
    latitude: float,
    altitude: float,
    tilt: float,
    azimuth: float,
    mean_air_temperature: float,
    daily_temperature_range: float,
    linke_turbidity: float,
    albedo: float,
    wind_speed: float,
    step: float,
    day: int | None = None,
) -> _Sky:
    """Check the arguments, and work out what depends on month and place alone."""
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
    number = clearness.average_day(month) if day is None else day
    require_range(number, 1, 366, "day of the year", "")
    sun = math.degrees(float(pvlib.solarposition.declination_spencer71(number)))
    hour_angle = 15.0 * (time / 3600.0 - 12.0)
    zenith, sun_azimuth = sun_position(latitude, sun, hour_angle)
    normal = float(clearness.extraterrestrial_normal(number))
    clear_total, clear_direct = _clear_sky(zenith, altitude, linke_turbidity, normal)
    clearest = min(VERY_CLEAR, linke_turbidity)
    swing = np.cos(2.0 * math.pi * (time - WARMEST_TIME) / SECONDS_PER_DAY)
    return _Sky(
        month=month,
        time=time,
        step=step,
        hour_angle=hour_angle,
        zenith=zenith,
        sun_azimuth=sun_azimuth,
        sunset=float(clearness.sunset_hour_angle(latitude, sun)),
        normal=normal,
        daily=float(clearness.extraterrestrial_day(latitude, number, sun)),
        clear_total=clear_total,
        clear_direct=clear_direct,
        greatest_direct=_clear_sky(zenith, altitude, clearest, normal)[1],
        air_temperature=mean_air_temperature + 0.5 * daily_temperature_range * swing,
        tilt=tilt,
        azimuth=azimuth,
        albedo=albedo,
        wind_speed=wind_speed,
    )


def _step_centres(step: float) -> FloatArray:
    require_range(step, 1.0, 3600.0, "step", "s")
    count = round(SECONDS_PER_DAY / step)
    if abs(count * step - SECONDS_PER_DAY) > 1e-6:
        raise OutOfRange(f"step is {step:g} s, allowed is a whole part of a day, 1 to 3600 s")
    return np.linspace(0.5 * step, SECONDS_PER_DAY - 0.5 * step, count)


def _clear_sky(
    zenith: FloatArray, altitude: float, linke_turbidity: float, normal: float
) -> tuple[FloatArray, FloatArray]:
    """Horizontal total and direct normal of a clear sky [W/m2]; 0 at night."""
    up = zenith < 90.0
    total, direct = np.zeros_like(zenith), np.zeros_like(zenith)
    if not np.any(up):
        return total, direct
    mass = pvlib.atmosphere.get_absolute_airmass(
        pvlib.atmosphere.get_relative_airmass(zenith[up]), pvlib.atmosphere.alt2pres(altitude)
    )
    clear = pvlib.clearsky.ineichen(zenith[up], mass, linke_turbidity, altitude, normal)
    total[up], direct[up] = clear["ghi"], clear["dni"]
    return total, direct


def _clear(sky: _Sky) -> DayOfSun:
    direct = sky.clear_direct
    diffuse = np.maximum(sky.clear_total - direct * np.cos(np.radians(sky.zenith)), 0.0)
    return _day(sky, sky.clear_total, diffuse, direct)


def _with_total(sky: _Sky, daily_total: float) -> DayOfSun:
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


def _day(sky: _Sky, total: FloatArray, diffuse: FloatArray, direct: FloatArray) -> DayOfSun:
    plane = on_plane(
        sky.tilt, sky.azimuth, sky.zenith, sky.sun_azimuth, diffuse, direct, sky.normal, sky.albedo
    )
    return DayOfSun(
        time=sky.time,
        step=sky.step,
        horizontal_irradiance=total,
        plane_of_array_irradiance=plane,
        air_temperature=sky.air_temperature,
        cell_temperature=np.asarray(cell_temperature(plane, sky.air_temperature, sky.wind_speed)),
    )


def _totals(sky: _Sky, monthly_mean_total: float, probability: FloatArray) -> FloatArray:
    """Daily totals [J/m2] that parts of a month's days do not exceed."""
    clear_total = float(np.sum(sky.clear_total) * sky.step)
    if not 0.0 <= monthly_mean_total <= clear_total:
        raise OutOfRange(
            f"monthly mean daily total of month {sky.month} is {monthly_mean_total / 1e6:.2f} "
            f"MJ/m2, allowed is 0 to {clear_total / 1e6:.2f} MJ/m2, the total of a clear day"
        )
    if sky.daily <= 0.0:
        return np.zeros_like(probability)
    mean = monthly_mean_total / sky.daily
    return sky.daily * np.asarray(clearness.daily_clearness_quantile(mean, probability))
