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
from wellsolar.physics.types import FloatArray, Floats

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


def declination_cooper(day: Floats) -> Floats:
    """Declination of the sun by the formula that Klein's average days were made with.

    Near the equinoxes it is up to 0.8 degrees off; years and days work with Spencer's. pvlib has
    the same: every site file that is read needs this and the sun's yearly course, and pvlib takes
    0.35 s to import.

    Parameters:
        day: day of the year [day], scalar or array
    Returns:
        declination [deg]
    Source: Cooper (1969); Duffie & Beckman eq. 1.6.1a (second hand).

    >>> float(declination_cooper(162))
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
    Source: Duffie & Beckman eq. 1.5.2 (from memory); Spencer (1971) for the equation of time, as
        in pvlib.
    """
    from pvlib import solarposition

    minutes = solarposition.equation_of_time_spencer71(day)
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
        declination_used: declination [deg] in place of Cooper's, scalar or array
    Returns:
        daily total [J/m2]; 0 in polar night
    Source: Duffie & Beckman eq. 1.10.3 (second hand).

    >>> float(extraterrestrial_day(43.0, 105)) / 1e6
    33.8
    """
    sun = declination_cooper(day) if declination_used is None else declination_used
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


def declination_spencer(day: Floats) -> Floats:
    """Declination of the sun, good to 0.04 degrees.

    Parameters:
        day: day of the year [day], scalar or array
    Returns:
        declination [deg]
    Source: Spencer (1971), as in pvlib.
    """
    from pvlib import solarposition

    angle: Floats = np.degrees(solarposition.declination_spencer71(np.asarray(day)))
    return angle


def sun_position(
    latitude: Floats, declination: Floats, hour_angle: Floats
) -> tuple[FloatArray, FloatArray]:
    """Where the sun stands, without refraction.

    Our own: pvlib's closed forms put a noon sun north of the zenith in the south, and round an
    azimuth near north or south by up to 0.008 degrees.

    Parameters:
        latitude: north positive [deg], scalar or array
        declination: of the sun [deg], scalar or array
        hour_angle: 0 at noon, negative before [deg], scalar or array
    Returns:
        zenith angle and azimuth from north clockwise, 0 to 360 [deg]
    Source: Duffie & Beckman eq. 1.6.5 for the zenith (from memory); the azimuth by the sun's
        parts to the north and to the east, which a sun due north or south leaves exact.
    """
    place, sun, hour = np.radians(latitude), np.radians(declination), np.radians(hour_angle)
    up = np.cos(sun) * np.cos(place) * np.cos(hour) + np.sin(sun) * np.sin(place)
    north = np.sin(sun) * np.cos(place) - np.cos(sun) * np.sin(place) * np.cos(hour)
    east = -np.cos(sun) * np.sin(hour)
    zenith = np.degrees(np.arccos(np.clip(up, -1.0, 1.0)))
    return zenith, np.degrees(np.arctan2(east, north)) % 360.0
