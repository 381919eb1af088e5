"""The sun of a site on one of its array groups: days and months, from the site's own table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.physics.sun import days as sun_days
from wellsolar.physics.sun import year as sun_year
from wellsolar.physics.sun.days import DayOfSun
from wellsolar.physics.sun.year import HourlyYear
from wellsolar.site.schema import ArrayTable, Site
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

STEP = 1200.0
"""Length of a step through a day [s]."""

MONTHS = range(1, 13)

CLEAREST = 0.9
"""Part of the sun outside the atmosphere that no month's mean day has more of: our choice."""


@dataclass(frozen=True)
class Sky:
    """Sun and air of a site.

    latitude [deg]; altitude [m]; totals: daily mean of each month on the level [J/m2], None where
    the file has no table; temperatures: mean of each month [degC]; albedo: fraction
    """

    latitude: float
    altitude: float
    totals: tuple[float, ...] | None
    temperatures: tuple[float, ...]
    albedo: float

    def kinds_of_day(self, month: int, tilt: float, azimuth: float) -> Mapping[str, DayOfSun]:
        """A clear day of a month, and a typical and a poor one where the table tells of them."""
        sky = self._over(month, tilt, azimuth)
        if self.totals is None:
            return {"clear": sun_days.clear_day(sky)}
        return sun_days.day_kinds(sky, self._total(month, sky))

    def _total(self, month: int, sky: sun_days.Sky) -> float:
        """Mean daily total of a month, no more than the month's average day can have: near polar
        night a file's month has days with more sun than that one."""
        assert self.totals is not None
        return min(self.totals[month - 1], CLEAREST * sky.daily)

    def _over(self, month: int, tilt: float, azimuth: float) -> sun_days.Sky:
        """Sun and air of a month over a plane."""
        return sun_days.sky_over(
            month,
            self.latitude,
            self.altitude,
            tilt,
            azimuth,
            self.temperatures[month - 1],
            albedo=self.albedo,
            step=STEP,
        )


def air_temperatures(site: Site) -> tuple[tuple[float, ...], tuple[Assumption, ...]]:
    """Mean air temperature of each month [degC], by default the ground water's."""
    table = site.sun
    if table.temperature is not None:
        return tuple(map(float, table.temperature)), ()
    water = site.well.water_temperature
    why = "every month: ground water lies near the mean air temperature of the year"
    assumption = Assumption("sun.temperature", water, why, "ground temperature")
    return (float(water),) * 12, (assumption,)


def sky_of(
    site: Site, year: HourlyYear | None = None
) -> tuple[Sky | None, tuple[Assumption, ...]]:
    """The sky of a site, None without a latitude, and the assumptions it rests on.

    Parameters:
        site: the site
        year: hours to take place, months and temperatures from, such as those of a weather file,
            in place of the site's tables
    Returns:
        the sky and the assumptions made
    """
    if site.site.latitude is None:
        return None, ()
    table = site.sun
    if year is not None:
        months = sun_year.monthly_horizontal_totals(year)
        air = sun_year.monthly_means(year.air_temperature, year.hours)
        sky = Sky(
            year.latitude,
            year.altitude,
            tuple(map(float, months)),
            tuple(map(float, air)),
            float(table.albedo),
        )
        return sky, ()
    temperatures, assumptions = air_temperatures(site)
    totals = None if table.monthly is None else tuple(map(float, table.monthly))
    sky = Sky(
        float(site.site.latitude),
        float(site.site.altitude),
        totals,
        temperatures,
        float(table.albedo),
    )
    return sky, assumptions


def orientation(
    site: Site, group: ArrayTable | None, path: str
) -> tuple[float, float, tuple[Assumption, ...]]:
    """Tilt and azimuth of an array group [deg], by default the latitude and the equator's side.

    Parameters:
        site: the site, with a latitude
        group: the group, or None where the site has none yet
        path: its key path
    Returns:
        tilt, azimuth, and the assumptions made
    """
    latitude = float(site.site.latitude or 0.0)
    assumptions: list[Assumption] = []
    tilt = None if group is None else group.tilt
    azimuth = None if group is None else group.azimuth
    if tilt is None:
        tilt = Quantity(min(60.0, max(10.0, abs(latitude))), kinds.ANGLE)
        why = "the latitude, between 10 and 60 degrees"
        assumptions.append(Assumption(f"{path}.tilt", tilt, why, "common practice"))
    if azimuth is None:
        azimuth = Quantity(180.0 if latitude >= 0 else 0.0, kinds.ANGLE)
        why = "toward the equator"
        assumptions.append(Assumption(f"{path}.azimuth", azimuth, why, "common practice"))
    return float(tilt), float(azimuth) % 360.0, tuple(assumptions)


MONTH_NAMES = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
