"""A year of hours of sun and weather, whatever it comes from, and what of it falls on a plane.

Each hour stands for the sixty minutes around its middle: the first of January begins with the
hour whose middle is 00:30. Irradiances are the hour's mean; the sun's place is that at its middle.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wellsolar.constants import DAY
from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_range
from wellsolar.physics.sun import position, tilted_plane
from wellsolar.physics.sun.tilted_plane import PlaneLight
from wellsolar.physics.types import FloatArray

HOUR: Final = 3600.0
"""Length of a step of every year here [s]; exact by definition."""

_LENGTHS: Final = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
"""Days of the months of a common year [day]; exact by definition."""


@dataclass(frozen=True, eq=False)
class YearOfHours:
    """When each hour of a year is and where the sun then stands; one value an hour.

    month: 1 to 12; day_of_year: 1 to 365 or 366 [day]
    hour_of_day: middle of the hour, 0.5 to 23.5 [h], local standard time, or solar time where
        no longitude was given
    zenith, sun_azimuth: of the sun at the middle of the hour, azimuth from north clockwise [deg]
    extraterrestrial_normal: outside the atmosphere, facing the sun [W/m2]
    """

    month: NDArray[np.int64]
    day_of_year: FloatArray
    hour_of_day: FloatArray
    zenith: FloatArray
    sun_azimuth: FloatArray
    extraterrestrial_normal: FloatArray


@dataclass(frozen=True, eq=False)
class HourlyYear:
    """Sun and weather of a year; each array has one value an hour.

    source: where the year comes from, as text for the reader
    latitude: north positive [deg]; altitude: above the sea [m]
    hours: when each hour is and where the sun stands
    global_horizontal, diffuse_horizontal: on the horizontal [W/m2]
    direct_normal: beam on a plane that faces the sun [W/m2]
    air_temperature: [degC]; wind_speed: [m/s]
    """

    source: str
    latitude: float
    altitude: float
    hours: YearOfHours
    global_horizontal: FloatArray
    direct_normal: FloatArray
    diffuse_horizontal: FloatArray
    air_temperature: FloatArray
    wind_speed: FloatArray


@dataclass(frozen=True, eq=False)
class PlaneYear:
    """What a year brings to the plane of an array; each array has one value an hour.

    source: of the year, as text; tilt, azimuth: of the plane [deg]
    hours: when each hour is
    plane_of_array_irradiance: on the modules [W/m2]
    effective_irradiance: what their cells make of it, as light from straight above [W/m2]
    cell_temperature, air_temperature: [degC]
    """

    source: str
    tilt: float
    azimuth: float
    hours: YearOfHours
    plane_of_array_irradiance: FloatArray
    effective_irradiance: FloatArray
    cell_temperature: FloatArray
    air_temperature: FloatArray


def hours_of_year(
    latitude: float,
    longitude: float | None = None,
    time_zone: float | None = None,
    days_in_year: int = 365,
) -> YearOfHours:
    """The hours of a year and the sun's place at the middle of each.

    Parameters:
        latitude: north positive [deg], scalar
        longitude: east positive; without it the hours are solar time [deg], scalar
        time_zone: of the local standard time, hours ahead of Greenwich; without it the nearest
            whole hour to the longitude [h], scalar
        days_in_year: 365 or 366 [day], scalar
    Returns:
        the hours [deg, h, W/m2]
    Raises:
        OutOfRange: latitude, longitude, time zone or number of days outside its range
    Source: Spencer (1971) for declination and equation of time; Duffie & Beckman eqs. 1.4.1a,
        1.5.2, 1.6.5 and 1.6.6 (from memory).
    """
    require_range(latitude, -90.0, 90.0, "latitude", "deg")
    require_range(days_in_year, 365, 366, "number of days of the year", "")
    days = np.arange(1.0, days_in_year + 1.0)
    day, hour = np.repeat(days, 24), np.tile(np.arange(24) + 0.5, days_in_year)
    solar = hour * HOUR
    if longitude is not None:
        require_range(longitude, -180.0, 180.0, "longitude", "deg")
        zone = float(np.round(longitude / 15.0)) if time_zone is None else time_zone
        require_range(zone, -12.0, 14.0, "time zone", "h")
        solar = np.asarray(position.solar_time(solar, day, longitude, 15.0 * zone))
    return _at(latitude, np.repeat(month_of_days(days_in_year), 24), day, hour, solar)


def steps_of_days(latitude: float, day: FloatArray, step: float) -> YearOfHours:
    """Some days of a common year in equal steps of solar time, one after the other.

    Parameters:
        latitude: north positive [deg], scalar
        day: days of the year, 1 to 365 [day], array
        step: length of a step, a whole part of the day [s], scalar
    Returns:
        the steps, each by its middle [deg, h, W/m2]
    Raises:
        OutOfRange: latitude, a day or the step outside its range
    Source: as `hours_of_year`.
    """
    require_range(latitude, -90.0, 90.0, "latitude", "deg")
    require_range(day, 1, 365, "day of the year", "")
    require_range(step, 1.0, HOUR, "step", "s")
    count = round(DAY / step)
    if abs(count * step - DAY) > 1e-6:
        raise OutOfRange(f"step is {step:g} s, allowed is a whole part of a day, 1 to 3600 s")
    solar = np.tile((np.arange(count) + 0.5) * step, day.size)
    months = month_of_days()[np.asarray(day, dtype=np.int64) - 1]
    days = np.repeat(np.asarray(day, dtype=np.float64), count)
    return _at(latitude, np.repeat(months, count), days, solar / HOUR, solar)


def _at(
    latitude: float,
    month: NDArray[np.int64],
    day: FloatArray,
    hour: FloatArray,
    solar: FloatArray,
) -> YearOfHours:
    """Where the sun stands at a day and a solar time [s]."""
    # Spencer's series counts from midnight: at noon of the first of January it is at day 1.5.
    declination = position.declination_spencer(day + solar / DAY)
    zenith, azimuth = position.sun_position(latitude, declination, 15.0 * (solar / HOUR - 12.0))
    return YearOfHours(
        month=month,
        day_of_year=day,
        hour_of_day=hour,
        zenith=zenith,
        sun_azimuth=azimuth,
        extraterrestrial_normal=np.asarray(position.extraterrestrial_normal(day)),
    )


def month_of_days(days_in_year: int = 365) -> NDArray[np.int64]:
    """The month that each day of a year belongs to.

    Parameters:
        days_in_year: 365 or 366 [day], scalar
    Returns:
        months, 1 to 12 [-]
    Source: the Gregorian calendar.
    """
    lengths = list(_LENGTHS)
    lengths[1] += days_in_year - 365
    return np.repeat(np.arange(1, 13), lengths)


def months_of_hours(count: int) -> NDArray[np.int64]:
    """The month that each hour belongs to, of a common or a leap year or of a part of one.

    Parameters:
        count: hours from the begin of the year on [-], whole number
    Returns:
        months, 1 to 12 [-]
    Source: the Gregorian calendar.
    """
    days = month_of_days(366 if count == 366 * 24 else 365)
    return np.resize(np.repeat(days, 24), count)


def on_plane(
    year: HourlyYear,
    tilt: float,
    azimuth: float,
    albedo: float = 0.2,
    shading: FloatArray | None = None,
    horizon_heights: FloatArray | None = None,
    angular_loss: float = 0.0,
    light_kept: float = 1.0,
) -> PlaneYear:
    """A year on a tilted plane, with the temperature of the cells there.

    A horizon stops the beam and the bright ring around the sun while the sun is behind it, and
    always its part of the sky's even light; what the horizon itself reflects is left out.

    Parameters:
        year: sun and weather [W/m2, degC, m/s]
        tilt: of the plane from the horizontal, 0 to 90 [deg], scalar
        azimuth: the plane looks to, from north clockwise, 180 is south [deg], scalar
        albedo: part of the sun that the ground reflects [0..1], scalar
        shading: part of the light on the plane that gets past what stands near, 12 of the months
            or 12 by 24 of the months' hours; 1 is no shade [0..1], array
        horizon_heights: angle of the skyline above the horizontal at equal steps of azimuth from
            north clockwise [deg], array
        angular_loss: of the glass, as of `tilted_plane.light_to_cells` [-], scalar
        light_kept: what dirt, age and all that lowers the cells' current like less light leave
            of it [0..1], scalar
    Returns:
        the year on the plane [W/m2, degC]
    Raises:
        OutOfRange: an argument outside its range, or shading of another shape
    Source: Hay & Davies (1980) for the sky, isotropic ground; Faiman, Progress in Photovoltaics
        16 (2008) 307; both as in pvlib; angular loss as `tilted_plane.light_to_cells`.
    """
    require_range(tilt, 0.0, 90.0, "tilt", "deg")
    require_range(azimuth, 0.0, 360.0, "azimuth", "deg")
    require_range(albedo, 0.0, 1.0, "albedo", "")
    require_range(light_kept, 0.0, 1.0, "light kept", "")
    parts = _on_plane(year, tilt, azimuth, albedo, year.diffuse_horizontal, year.direct_normal)
    if horizon_heights is not None:
        parts = _behind_horizon(year, tilt, azimuth, albedo, horizon_heights, parts)
    light, effective = parts.total, tilted_plane.light_to_cells(parts, tilt, angular_loss)
    if shading is not None:
        let_through = _shading_by_hour(year.hours, np.asarray(shading, dtype=np.float64))
        light, effective = light * let_through, effective * let_through
    cells = tilted_plane.cell_temperature(light, year.air_temperature, year.wind_speed)
    return PlaneYear(
        source=year.source,
        tilt=tilt,
        azimuth=azimuth,
        hours=year.hours,
        plane_of_array_irradiance=light,
        effective_irradiance=np.asarray(effective * light_kept),
        cell_temperature=np.asarray(cells),
        air_temperature=year.air_temperature,
    )


def monthly_totals(plane: PlaneYear) -> FloatArray:
    """Mean daily total on the plane, month by month.

    Parameters:
        plane: the year on the plane [W/m2]
    Returns:
        mean daily total of each of the twelve months [J/m2]
    Source: sum over the hours.
    """
    return monthly_means(plane.plane_of_array_irradiance, plane.hours) * DAY


def monthly_horizontal_totals(year: HourlyYear) -> FloatArray:
    """Mean daily total on the horizontal, month by month.

    Parameters:
        year: sun and weather [W/m2, degC, m/s]
    Returns:
        mean daily total of each of the twelve months [J/m2]
    Source: sum over the hours.
    """
    return monthly_means(year.global_horizontal, year.hours) * DAY


def monthly_means(value: FloatArray, hours: YearOfHours) -> FloatArray:
    """Mean over each month of anything that has a value an hour.

    Parameters:
        value: one an hour [its own unit], array
        hours: when each hour is and where the sun stands [deg, W/m2]
    Returns:
        mean of each of the twelve months [its own unit]
    Source: arithmetic.
    """
    counts = np.bincount(hours.month, minlength=13)[1:]
    means: FloatArray = np.bincount(hours.month, weights=value, minlength=13)[1:] / counts
    return means


def noon_declination(day: FloatArray) -> FloatArray:
    """Declination of the sun at noon of a day.

    Parameters:
        day: day of the year [day], array
    Returns:
        declination [deg]
    Source: Spencer (1971), whose series counts days from midnight, as in pvlib.
    """
    return np.asarray(position.declination_spencer(day + 0.5))


def extraterrestrial_days(latitude: float, day: FloatArray) -> FloatArray:
    """Daily totals outside the atmosphere on the horizontal, by Spencer's declination.

    Parameters:
        latitude: north positive [deg], scalar
        day: day of the year [day], array
    Returns:
        daily totals [J/m2]; 0 in polar night
    Source: Duffie & Beckman eq. 1.10.3 (second hand); Spencer (1971) for the declination.
    """
    outside = position.extraterrestrial_day(latitude, day, noon_declination(day))
    return np.asarray(np.maximum(outside, 0.0))


def _on_plane(
    year: HourlyYear,
    tilt: float,
    azimuth: float,
    albedo: float,
    diffuse: FloatArray,
    direct: FloatArray,
) -> PlaneLight:
    hours = year.hours
    return tilted_plane.light_on_plane(
        tilt,
        azimuth,
        hours.zenith,
        hours.sun_azimuth,
        diffuse,
        direct,
        hours.extraterrestrial_normal,
        albedo,
    )


def _behind_horizon(
    year: HourlyYear,
    tilt: float,
    azimuth: float,
    albedo: float,
    heights: FloatArray,
    light: PlaneLight,
) -> PlaneLight:
    """The light that is left of an open plane's."""
    hours = year.hours
    hidden = tilted_plane.is_behind(heights, hours.zenith, hours.sun_azimuth)
    # By Hay & Davies the part DNI / E0n of the diffuse light comes from around the sun.
    around_sun = np.minimum(year.direct_normal / hours.extraterrestrial_normal, 1.0)
    even = year.diffuse_horizontal * (1.0 - around_sun)
    shaded = _on_plane(year, tilt, azimuth, albedo, even, np.zeros_like(even))
    open_sky = tilted_plane.sky_left(heights, tilt, azimuth)
    return PlaneLight(
        np.where(hidden, 0.0, light.beam),
        light.sky * open_sky,
        np.where(hidden, shaded.ground, light.ground),
        light.incidence,
    )


def _shading_by_hour(hours: YearOfHours, shading: FloatArray) -> FloatArray:
    if shading.shape not in ((12,), (12, 24)):
        raise OutOfRange(
            f"shading has the shape {shading.shape}, allowed is 12 of the months or 12 by 24 of "
            "the months' hours"
        )
    require_range(shading, 0.0, 1.0, "shading", "")
    by_hour = np.broadcast_to(shading.reshape(12, -1), (12, 24))
    factor: FloatArray = by_hour[hours.month - 1, hours.hour_of_day.astype(np.int64)]
    return factor
