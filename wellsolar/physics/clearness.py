"""Clearness of the sky and the geometry that goes with it: days, hours, diffuse part, tilt.

Days are counted from 1 on the first of January. Times are solar: the hour angle is 0 at noon,
negative before, 15 degrees an hour.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.constants import SOLAR_CONSTANT
from wellsolar.physics.solve import bracketed_root, require_range
from wellsolar.physics.types import Floats

SECONDS_PER_DAY: Final = 86_400.0
"""Length of the solar day [s]; definition."""

LEAST_DAILY_CLEARNESS: Final = 0.05
"""Clearness index of the darkest day of any month [-]; Bendt, Collares-Pereira & Rabl (1981)."""

LEAST_MEAN_CLEARNESS: Final = 0.1
"""Least mean clearness index for which the clearest day's formula makes sense [-]; below, its
eighth power runs away. Our reading of the formula."""

_AVERAGE_DAYS: Final = (17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344)


def average_day(month: int) -> int:
    """Day of the year whose extraterrestrial total is the mean of its month.

    Parameters:
        month: 1 to 12 [-], scalar
    Returns:
        day of the year [day]
    Raises:
        OutOfRange: month outside 1 to 12
    Source: Klein (1977), Solar Energy 19, 325; Duffie & Beckman, Table 1.6.1 (from memory).

    >>> average_day(9)
    258
    """
    require_range(month, 1, 12, "month", "")
    return _AVERAGE_DAYS[month - 1]


def declination(day: Floats) -> Floats:
    """Declination of the sun by the formula that Klein's average days were made with.

    Near the equinoxes it is up to 0.8 degrees off; `sun` works with a closer one.

    Parameters:
        day: day of the year [day], scalar or array
    Returns:
        declination [deg]
    Source: Cooper (1969); Duffie & Beckman eq. 1.6.1a (from memory).

    >>> float(declination(162))
    23.1
    """
    angle: Floats = 23.45 * np.sin(2.0 * math.pi * (284.0 + day) / 365.0)
    return angle


def sunset_hour_angle(latitude: Floats, declination: Floats) -> Floats:
    """Hour angle of a flat horizon's sunset: 0 in polar night, 180 in polar day.

    Parameters:
        latitude: north positive [deg], scalar or array
        declination: of the sun [deg], scalar or array
    Returns:
        sunset hour angle [deg]
    Source: Duffie & Beckman eq. 1.6.10 (from memory).
    """
    tangents = np.tan(np.radians(latitude)) * np.tan(np.radians(declination))
    angle: Floats = np.degrees(np.arccos(np.clip(-tangents, -1.0, 1.0)))
    return angle


def day_length(latitude: Floats, declination: Floats) -> Floats:
    """Time from sunrise to sunset over a flat horizon, without refraction.

    Parameters:
        latitude: north positive [deg], scalar or array
        declination: of the sun [deg], scalar or array
    Returns:
        day length [s]
    Source: Duffie & Beckman eq. 1.6.11 (from memory).
    """
    return sunset_hour_angle(latitude, declination) / 180.0 * SECONDS_PER_DAY


def solar_time(
    clock_time: Floats, day: Floats, longitude: Floats, zone_meridian: Floats
) -> Floats:
    """Solar time from standard clock time (not summer time).

    Parameters:
        clock_time: seconds from midnight of standard time [s], scalar or array
        day: day of the year [day], scalar or array
        longitude: east positive [deg], scalar or array
        zone_meridian: meridian of the time zone, east positive [deg], scalar or array
    Returns:
        seconds from solar midnight [s]
    Source: Duffie & Beckman eqs. 1.5.2 and 1.5.3, the latter from Spencer (1971) (from memory).
    """
    angle = 2.0 * math.pi * (day - 1.0) / 365.0
    minutes = 229.2 * (
        0.000075
        + 0.001868 * np.cos(angle)
        - 0.032077 * np.sin(angle)
        - 0.014615 * np.cos(2.0 * angle)
        - 0.04089 * np.sin(2.0 * angle)
    )
    time: Floats = clock_time + 240.0 * (longitude - zone_meridian) + 60.0 * minutes
    return time


def extraterrestrial_normal(day: Floats) -> Floats:
    """Irradiance outside the atmosphere on a plane that faces the sun.

    Parameters:
        day: day of the year [day], scalar or array
    Returns:
        irradiance [W/m2]
    Source: Duffie & Beckman eq. 1.4.1a (from memory).
    """
    normal: Floats = SOLAR_CONSTANT * (1.0 + 0.033 * np.cos(2.0 * math.pi * day / 365.0))
    return normal


def extraterrestrial_day(
    latitude: Floats, day: Floats, declination_used: Floats | None = None
) -> Floats:
    """Daily total outside the atmosphere on a horizontal plane.

    Parameters:
        latitude: north positive [deg], scalar or array
        day: day of the year [day], scalar or array
        declination_used: declination [deg] in place of `declination(day)`, scalar or array
    Returns:
        daily total [J/m2]; 0 in polar night
    Source: Duffie & Beckman eq. 1.10.3 (from memory).

    >>> float(extraterrestrial_day(43.0, 105)) / 1e6
    33.8
    """
    sun = declination(day) if declination_used is None else declination_used
    north, up, set_angle = (
        np.radians(latitude),
        np.radians(sun),
        np.radians(sunset_hour_angle(latitude, sun)),
    )
    mean_height = np.cos(north) * np.cos(up) * np.sin(set_angle) + set_angle * np.sin(
        north
    ) * np.sin(up)
    total: Floats = SECONDS_PER_DAY / math.pi * extraterrestrial_normal(day) * mean_height
    return np.maximum(total, 0.0)


def extraterrestrial_between(
    latitude: Floats, day: Floats, start_hour_angle: Floats, end_hour_angle: Floats
) -> Floats:
    """Energy outside the atmosphere on a horizontal plane between two hour angles by daylight.

    Parameters:
        latitude: north positive [deg], scalar or array
        day: day of the year [day], scalar or array
        start_hour_angle: at or after sunrise [deg], scalar or array
        end_hour_angle: at or before sunset [deg], scalar or array
    Returns:
        energy [J/m2]
    Source: Duffie & Beckman eq. 1.10.4 (from memory).

    >>> float(extraterrestrial_between(43.0, 105, -30.0, -15.0)) / 1e6
    3.79
    """
    north, sun = np.radians(latitude), np.radians(declination(day))
    start, end = np.radians(start_hour_angle), np.radians(end_hour_angle)
    swept = np.cos(north) * np.cos(sun) * (np.sin(end) - np.sin(start))
    swept = swept + (end - start) * np.sin(north) * np.sin(sun)
    energy: Floats = SECONDS_PER_DAY / (2.0 * math.pi) * extraterrestrial_normal(day) * swept
    return energy


def greatest_daily_clearness(mean_clearness: float) -> float:
    """Clearness index of the clearest day of a month.

    Parameters:
        mean_clearness: clearness index of the month's mean day [-], scalar
    Returns:
        greatest daily clearness index [-]
    Source: Hollands & Huget (1983) after Bendt et al. (1981); Duffie & Beckman eq. 2.9.5
        (from memory).
    """
    return 0.6313 + 0.267 * mean_clearness - 11.9 * (mean_clearness - 0.75) ** 8


def daily_clearness_quantile(mean_clearness: float, probability: Floats) -> Floats:
    """Clearness index that a given part of a month's days do not exceed.

    The density grows as exp(gamma K) between the darkest and the clearest day; gamma is solved
    so that the mean of the distribution is the given mean.

    Parameters:
        mean_clearness: clearness index of the month's mean day [-], scalar
        probability: part of the days [0..1], scalar or array
    Returns:
        daily clearness index [-]
    Raises:
        OutOfRange: mean clearness outside what the distribution can have, or probability
            outside 0 to 1
    Source: Bendt, Collares-Pereira & Rabl, Solar Energy 27 (1981) 1-5; Duffie & Beckman
        eqs. 2.9.2 and 2.9.4 (from memory).
    """
    require_range(probability, 0.0, 1.0, "probability", "")
    greatest = greatest_daily_clearness(mean_clearness)
    span = greatest - LEAST_DAILY_CLEARNESS
    growth = _growth_of_mean(mean_clearness, greatest)
    if abs(growth) < 1e-6:
        return LEAST_DAILY_CLEARNESS + span * probability
    part = np.log1p(np.asarray(probability) * math.expm1(growth)) / growth
    quantile: Floats = (LEAST_DAILY_CLEARNESS + span * part)[()]
    return quantile


def _growth_of_mean(mean_clearness: float, greatest: float) -> float:
    """gamma times the span of the distribution, from its mean."""
    part = (mean_clearness - LEAST_DAILY_CLEARNESS) / (greatest - LEAST_DAILY_CLEARNESS)
    if not (mean_clearness >= LEAST_MEAN_CLEARNESS and part < 0.995):
        greatest = greatest_daily_clearness(max(mean_clearness, LEAST_MEAN_CLEARNESS))
        raise OutOfRange(
            f"mean clearness index is {mean_clearness:.3f}, allowed is {LEAST_MEAN_CLEARNESS:g} "
            f"to {greatest:.3f}, that of the clearest day of such a month"
        )

    def surplus(growth: float) -> float:
        if abs(growth) < 1e-4:
            return 0.5 + growth / 12.0 - part
        return -1.0 / math.expm1(-growth) - 1.0 / growth - part

    return bracketed_root(surplus, -250.0, 250.0)


def hourly_share(hour_angle: Floats, sunset_hour_angle: Floats) -> Floats:
    """Mean total of an hour as a part of the day's total; 0 at night.

    Parameters:
        hour_angle: at the middle of the hour [deg], scalar or array
        sunset_hour_angle: [deg], scalar or array
    Returns:
        part of the daily total that falls in that hour [1/h]
    Source: Collares-Pereira & Rabl, Solar Energy 22 (1979) 155; Duffie & Beckman eq. 2.13.2
        (from memory).
    """
    past = np.sin(np.radians(np.asarray(sunset_hour_angle) - 60.0))
    cosine = np.cos(np.radians(hour_angle))
    peaked = 0.409 + 0.5016 * past + (0.6609 - 0.4767 * past) * cosine
    share: Floats = np.maximum(peaked, 0.0) * hourly_diffuse_share(hour_angle, sunset_hour_angle)
    return share


def hourly_diffuse_share(hour_angle: Floats, sunset_hour_angle: Floats) -> Floats:
    """Mean diffuse of an hour as a part of the day's diffuse; 0 at night.

    Parameters:
        hour_angle: at the middle of the hour [deg], scalar or array
        sunset_hour_angle: [deg], scalar or array
    Returns:
        part of the daily diffuse total that falls in that hour [1/h]
    Source: Liu & Jordan, Solar Energy 4 (1960) 1; Duffie & Beckman eq. 2.13.4 (from memory).
    """
    set_angle = np.radians(sunset_hour_angle)
    height = np.maximum(np.cos(np.radians(hour_angle)) - np.cos(set_angle), 0.0)
    area = np.maximum(np.sin(set_angle) - set_angle * np.cos(set_angle), 1e-12)
    share: Floats = math.pi / 24.0 * height / area
    return share


def daily_diffuse_fraction(clearness: Floats, sunset_hour_angle: Floats) -> Floats:
    """Diffuse part of one day's total.

    Parameters:
        clearness: clearness index of the day [-], scalar or array
        sunset_hour_angle: [deg]; up to 81.4 counts as winter, scalar or array
    Returns:
        diffuse over total [0..1]
    Source: Erbs, Klein & Duffie, Solar Energy 28 (1982) 293; Duffie & Beckman eq. 2.11.1
        (from memory).
    """
    k = np.asarray(clearness, dtype=np.float64)
    winter = 1.0 + k * (-0.2727 + k * (2.4495 + k * (-11.9514 + k * 9.3879)))
    winter = np.where(k < 0.715, winter, 0.143)
    summer = 1.0 + k * (0.2832 + k * (-2.5557 + k * 0.8448))
    summer = np.where(k < 0.722, summer, 0.175)
    fraction = np.where(np.asarray(sunset_hour_angle) <= 81.4, winter, summer)
    # The summer curve rises above 1 for the darkest days.
    bounded: Floats = np.minimum(fraction, 1.0)[()]
    return bounded


def monthly_diffuse_fraction(clearness: Floats, sunset_hour_angle: Floats) -> Floats:
    """Diffuse part of a month's mean daily total.

    Parameters:
        clearness: clearness index of the month's mean day [-], 0.3 to 0.8, scalar or array
        sunset_hour_angle: of the average day [deg], scalar or array
    Returns:
        diffuse over total [0..1]
    Raises:
        OutOfRange: clearness index outside 0.3 to 0.8
    Source: Erbs, Klein & Duffie, Solar Energy 28 (1982) 293; Duffie & Beckman eq. 2.12.1
        (from memory).

    >>> float(monthly_diffuse_fraction(0.482, 69.1))
    0.409
    """
    require_range(clearness, 0.3, 0.8, "monthly clearness index", "")
    k = np.asarray(clearness, dtype=np.float64)
    winter = 1.391 + k * (-3.560 + k * (4.189 - k * 2.137))
    summer = 1.311 + k * (-3.022 + k * (3.427 - k * 1.821))
    fraction: Floats = np.where(np.asarray(sunset_hour_angle) <= 81.4, winter, summer)[()]
    return fraction


def hourly_diffuse_fraction(clearness: Floats) -> Floats:
    """Diffuse part of one hour's total.

    Parameters:
        clearness: clearness index of the hour [-], scalar or array
    Returns:
        diffuse over total [0..1]
    Source: Erbs, Klein & Duffie, Solar Energy 28 (1982) 293; Duffie & Beckman eq. 2.10.1
        (from memory).

    >>> float(hourly_diffuse_fraction(0.445))
    0.766
    """
    k = np.asarray(clearness, dtype=np.float64)
    middle = 0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)))
    fraction: Floats = np.where(k <= 0.22, 1.0 - 0.09 * k, np.where(k <= 0.8, middle, 0.165))[()]
    return fraction


def beam_tilt_ratio(latitude: Floats, day: Floats, tilt: Floats) -> Floats:
    """Monthly mean beam on a plane that faces the equator, over that on the horizontal.

    Parameters:
        latitude: north positive [deg], scalar or array
        day: average day of the month [day], scalar or array
        tilt: from the horizontal toward the equator [deg], scalar or array
    Returns:
        ratio [-]
    Raises:
        OutOfRange: the sun does not rise on that day
    Source: Liu & Jordan (1962), Klein (1977); Duffie & Beckman eq. 2.19.3 (from memory).
    """
    facing = np.where(np.asarray(latitude) >= 0.0, 1.0, -1.0)
    sun, north = declination(day), np.radians(latitude)
    seen_from = np.asarray(latitude) - facing * np.asarray(tilt)
    set_flat = sunset_hour_angle(latitude, sun)
    set_tilted = np.radians(np.minimum(set_flat, sunset_hour_angle(seen_from, sun)))
    set_flat, up, leaned = np.radians(set_flat), np.radians(sun), np.radians(seen_from)
    on_flat = np.cos(north) * np.cos(up) * np.sin(set_flat) + set_flat * np.sin(north) * np.sin(up)
    if not np.all(on_flat > 0.0):
        raise OutOfRange(f"latitude {np.max(np.abs(latitude)):g} deg: the sun does not rise")
    on_tilted = np.cos(leaned) * np.cos(up) * np.sin(set_tilted)
    on_tilted = on_tilted + set_tilted * np.sin(leaned) * np.sin(up)
    ratio: Floats = (on_tilted / on_flat)[()]
    return ratio


def monthly_mean_tilted(
    latitude: Floats,
    day: Floats,
    tilt: Floats,
    daily_total: Floats,
    ground_reflectance: Floats = 0.2,
) -> Floats:
    """Monthly mean daily total on a plane that faces the equator, by the hand rule.

    Parameters:
        latitude: north positive [deg], scalar or array
        day: average day of the month [day], scalar or array
        tilt: from the horizontal toward the equator [deg], scalar or array
        daily_total: monthly mean daily total on the horizontal [J/m2], scalar or array
        ground_reflectance: [0..1], scalar or array
    Returns:
        monthly mean daily total on the plane [J/m2]
    Raises:
        OutOfRange: clearness index outside 0.3 to 0.8, or the sun does not rise
    Source: Liu & Jordan (1962), Klein (1977); Duffie & Beckman eq. 2.19.1 (from memory).
    """
    beam_ratio = beam_tilt_ratio(latitude, day, tilt)
    clearness = daily_total / extraterrestrial_day(latitude, day)
    diffuse = monthly_diffuse_fraction(clearness, sunset_hour_angle(latitude, declination(day)))
    lean = np.cos(np.radians(tilt))
    ratio = (1.0 - diffuse) * beam_ratio + diffuse * (1.0 + lean) / 2.0
    ratio = ratio + ground_reflectance * (1.0 - lean) / 2.0
    tilted: Floats = daily_total * ratio
    return tilted


def peak_sun_hours(daily_total: Floats) -> Floats:
    """Hours of 1000 W/m2 that give a day's total.

    Parameters:
        daily_total: [J/m2], scalar or array
    Returns:
        peak sun hours [h]
    Source: definition, 1 h of 1000 W/m2 is 3.6 MJ/m2.

    >>> peak_sun_hours(14.45e6)
    4.01
    """
    return daily_total / 3.6e6


def array_power_by_hand_rule(
    daily_energy: Floats, peak_sun_hours: Floats, derate: Floats
) -> Floats:
    """Rated power of an array that gives a day's energy, by the trade's hand rule.

    Parameters:
        daily_energy: wanted each day [J], scalar or array
        peak_sun_hours: on the plane of the array [h], above 0, scalar or array
        derate: part of the rated power that is left in use [0..1], above 0, scalar or array
    Returns:
        rated power [W]
    Raises:
        OutOfRange: peak sun hours or derate outside its range
    Source: common practice, no source.
    """
    require_range(peak_sun_hours, 1e-6, 24.0, "peak sun hours", "h")
    require_range(derate, 1e-6, 1.0, "derate", "")
    return daily_energy / (3600.0 * peak_sun_hours * derate)


def combined_derate(losses: Floats) -> float:
    """What is left after several losses, each a part of what the one before it left.

    Parameters:
        losses: parts lost [0..1], scalar or array
    Returns:
        part left [0..1]
    Raises:
        OutOfRange: a loss outside 0 to 1
    Source: Dobos, NREL/TP-6A20-62641 (2014), total system losses (from memory).
    """
    require_range(losses, 0.0, 1.0, "loss", "")
    return float(np.prod(1.0 - np.asarray(losses)))
