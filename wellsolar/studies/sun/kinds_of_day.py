"""Clear, typical and poor days of each month on a group of modules.

A clear day has no cloud; typical and poor ones are days of the site's own year. All stand behind
the site's shading, horizon and losses, but for the bare ones: the most that a clear day could
give, by which it is judged whether a tank overheats.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from wellsolar.constants import DAY
from wellsolar.physics.sun import days as sun_days
from wellsolar.physics.sun import year as sun_year
from wellsolar.physics.sun.days import DayOfSun
from wellsolar.physics.sun.position import average_day
from wellsolar.physics.sun.year import HOUR, HourlyYear
from wellsolar.physics.types import FloatArray
from wellsolar.site.schema import ArrayTable, Site
from wellsolar.studies.sun.days import MONTHS, STEP, air_temperatures
from wellsolar.studies.sun.year import plane_of_group

POOR_DAY = 0.10
"""Part of a month's days that are no brighter than its poor day: our choice."""


@dataclass(frozen=True, eq=False)
class GroupDays:
    """Days of sun on a group of modules.

    clear, bare: of each month, behind what shades it and without
    of_year: each day of the site's year; empty where the file tells of no sun
    """

    clear: tuple[DayOfSun, ...]
    bare: tuple[DayOfSun, ...]
    of_year: tuple[DayOfSun, ...]


def group_days(
    site: Site, group: ArrayTable | None, path: str, year: HourlyYear | None
) -> GroupDays:
    """The days of a group.

    Parameters:
        site: the site, with a latitude
        group: the group, or None where the site has none yet
    Returns:
        its days, in steps of `STEP`
    Raises:
        OutOfRange: a place whose clear sky is not known
    """
    cloudless = cloudless_days_of(site, year)
    clear, bare = (
        tuple(
            sun_days.day_of(plane_of_group(site, cloudless, group, path, bare), number, STEP)
            for number in range(len(MONTHS))
        )
        for bare in (False, True)
    )
    of_year: tuple[DayOfSun, ...] = ()
    if year is not None:
        plane = plane_of_group(site, year, group, path)
        pieces = round(HOUR / STEP)
        of_year = tuple(
            sun_days.day_of(plane, number, HOUR, pieces)
            for number in range(plane.hours.month.size // round(DAY / HOUR))
        )
    return GroupDays(clear, bare, of_year)


def cloudless_days_of(site: Site, year: HourlyYear | None) -> HourlyYear:
    """A cloudless day of each month, with the air of the site or of its weather file.

    Parameters:
        site: the site, with a latitude
    Returns:
        the average day of each month in steps of `STEP`
    Raises:
        OutOfRange: a place whose clear sky is not known
    """
    sun = site.sun
    air = air_temperatures(site)[0]
    place = (float(site.site.latitude or 0.0), float(site.site.altitude))
    if year is not None and sun.file is not None:
        air = tuple(map(float, sun_year.monthly_means(year.air_temperature, year.hours)))
        place = (year.latitude, year.altitude)
    return sun_days.cloudless_days(
        *place,
        np.array([average_day(month) for month in MONTHS], dtype=np.float64),
        np.array(air),
        STEP,
        float(sun.turbidity),
        float(sun.temperature_swing),
        float(sun.wind),
    )


def kinds_of_day(months: NDArray[np.int64], heat: FloatArray, month: int) -> Mapping[str, int]:
    """Which days of a year are typical and poor ones of a month.

    Power that goes with the square of the sun makes more of a bright day than it loses on a dark
    one, so that they are told by what the array gives and not by the sun.

    Parameters:
        months: of each day of the year
        heat: that the array gives on each [J]
        month: 1 to 12
    Returns:
        numbers of the days: "typical", that whose heat is nearest to the mean of the month's
        days, and "poor", which a tenth of them do not exceed
    """
    (days,) = np.nonzero(months == month)
    given = heat[days]
    typical = days[np.argmin(np.abs(given - given.mean()))]
    poor = days[np.argsort(given, kind="stable")[int(POOR_DAY * days.size)]]
    return MappingProxyType({"typical": int(typical), "poor": int(poor)})
