"""Where the sun stands, when it sets, and what arrives outside the atmosphere.

Days are counted from 1 on the first of January. Times are solar: the hour angle is 0 at noon,
negative before, 15 degrees an hour.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from wellsolar.constants import DAY, SOLAR_CONSTANT
from wellsolar.physics.guards import require_range
from wellsolar.physics.types import Floats

_AVERAGE_DAYS: Final = (17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344)


def average_day(month: int) -> int:
    """Day of the year whose extraterrestrial total is the mean of its month.

    Parameters:
        month: 1 to 12 [-], scalar
    Returns:
        day of the year [day]
    Raises:
        OutOfRange: month outside 1 to 12
    Source: Klein (1977), Solar Energy 19, 325; Duffie & Beckman, Table 1.6.1 (second hand).

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
    Source: Cooper (1969); Duffie & Beckman eq. 1.6.1a (second hand).

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
    Source: Duffie & Beckman eq. 1.6.10 (second hand).
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
    return sunset_hour_angle(latitude, declination) / 180.0 * DAY


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
    Source: Duffie & Beckman eq. 1.4.1a (second hand).
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
    Source: Duffie & Beckman eq. 1.10.3 (second hand).

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
    total: Floats = DAY / math.pi * extraterrestrial_normal(day) * mean_height
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
    Source: Duffie & Beckman eq. 1.10.4 (second hand).

    >>> float(extraterrestrial_between(43.0, 105, -30.0, -15.0)) / 1e6
    3.79
    """
    north, sun = np.radians(latitude), np.radians(declination(day))
    start, end = np.radians(start_hour_angle), np.radians(end_hour_angle)
    swept = np.cos(north) * np.cos(sun) * (np.sin(end) - np.sin(start))
    swept = swept + (end - start) * np.sin(north) * np.sin(sun)
    energy: Floats = DAY / (2.0 * math.pi) * extraterrestrial_normal(day) * swept
    return energy
