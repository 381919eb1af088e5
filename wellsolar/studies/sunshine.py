"""The sun of a site on one of its array groups: days and months, from the site's own table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.physics import sun_days
from wellsolar.physics.sun_days import DayOfSun
from wellsolar.site.schema import ArrayTable, Site
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

STEP = 1200.0
"""Length of a step through a day [s]."""

DAYS = 10
"""Days of equal likelihood that stand for a month."""

MONTHS = range(1, 13)


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
        return sun_days.day_kinds(sky, self.totals[month - 1])

    def days_of_month(self, month: int, tilt: float, azimuth: float) -> list[DayOfSun]:
        """Days of equal likelihood of a month, darkest first; none without the table."""
        if self.totals is None:
            return []
        sky = self._over(month, tilt, azimuth)
        return sun_days.month_of_days(sky, self.totals[month - 1], count=DAYS)

    def _over(self, month: int, tilt: float, azimuth: float) -> sun_days.Sky:
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

    def plane_total(self, month: int, tilt: float, azimuth: float) -> float:
        """Mean daily sun of a month on a plane [J/m2]."""
        days = self.days_of_month(month, tilt, azimuth)
        return sum(sun_days.daily_plane_total(day) for day in days) / len(days)


def sky_of(site: Site) -> tuple[Sky | None, tuple[Assumption, ...]]:
    """The sky of a site, None without a latitude, and the assumptions it rests on."""
    if site.site.latitude is None:
        return None, ()
    made: list[Assumption] = []
    table = site.sun
    if table.temperature is None:
        water = site.well.water_temperature
        why = "every month: ground water lies near the mean air temperature of the year"
        made.append(Assumption("sun.temperature", water, why, "ground temperature"))
        temperatures: tuple[float, ...] = (float(water),) * 12
    else:
        temperatures = tuple(float(each) for each in table.temperature)
    totals = None if table.monthly is None else tuple(float(each) for each in table.monthly)
    sky = Sky(
        float(site.site.latitude),
        float(site.site.altitude),
        totals,
        temperatures,
        float(table.albedo),
    )
    return sky, tuple(made)


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
    made: list[Assumption] = []
    tilt = None if group is None else group.tilt
    azimuth = None if group is None else group.azimuth
    if tilt is None:
        tilt = Quantity(min(60.0, max(10.0, abs(latitude))), kinds.ANGLE)
        why = "the latitude, between 10 and 60 degrees"
        made.append(Assumption(f"{path}.tilt", tilt, why, "common practice"))
    if azimuth is None:
        azimuth = Quantity(180.0 if latitude >= 0 else 0.0, kinds.ANGLE)
        why = "toward the equator"
        made.append(Assumption(f"{path}.azimuth", azimuth, why, "common practice"))
    return float(tilt), float(azimuth) % 360.0, tuple(made)
