"""Where the modules of a site look, how warm its air is, and what its months are called."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.site.schema import ArrayTable, Site
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

STEP = 1200.0
"""Length of a step through a day [s]."""

MONTHS = range(1, 13)


def air_temperatures(site: Site) -> tuple[tuple[float, ...], tuple[Assumption, ...]]:
    """Mean air temperature of each month [degC], by default the ground water's."""
    table = site.sun
    if table.temperature is not None:
        return tuple(map(float, table.temperature)), ()
    water = site.well.water_temperature
    why = "every month: ground water lies near the mean air temperature of the year"
    assumption = Assumption("sun.temperature", water, why, "ground temperature")
    return (float(water),) * 12, (assumption,)


def orientation(
    site: Site, group: ArrayTable | None, path: str
) -> tuple[float, float, tuple[Assumption, ...]]:
    """Tilt and azimuth of an array group [deg], by default the latitude and the equator's side.

    Parameters:
        site: the site, with a latitude
        group: the group, or None where the site has none yet
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
    return float(tilt), azimuth % 360.0, tuple(assumptions)


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
