"""The one hourly year of a site: from its weather file, its monthly table or a clear sky.

What a group of modules gets of it, and what it loses, is told here for every array alike; single
days (`sun/kinds_of_day.py`) come through the same door.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from io import StringIO
from pathlib import Path

import numpy as np

from wellsolar.constants import DAY
from wellsolar.errors import OutOfRange, Problem, SiteFileError
from wellsolar.physics.array import module, resistive
from wellsolar.physics.array.module import FiveParameters
from wellsolar.physics.sun import year as sun_year
from wellsolar.physics.sun.year import HourlyYear, PlaneYear
from wellsolar.physics.types import FloatArray
from wellsolar.results.supply import PlaneMonths, SunYearResult
from wellsolar.site.inputs import open_input
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.locate import line_of, lines_of
from wellsolar.site.schema import ArrayTable, Site
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.sun.days import air_temperatures, orientation
from wellsolar.studies.sun.refused import why_refused
from wellsolar.verdicts import Assumption, Sentence

TMY3_MARK = "Date (MM/DD/YYYY)"
"""Name of a column in the second row of a TMY3 file, by which it is known."""

LARGEST_FILE = 20_000_000
"""Size above which a file is no year of hours [bytes]; a TMY3 file has 2 MB."""

FARTHEST = 5.0
"""Latitude between a site and the station of its weather file above which one of them is taken to
be wrong [deg]; our choice."""

DARK = 1.0
"""Irradiance on the modules below which they are taken to give nothing [W/m2]; our choice."""

FED = ("pump", "battery")
"""What a group behind a controller feeds."""

YEARS_KEPT = 16
"""Years made from monthly tables that are kept for who asks again: our choice."""

SUN_KEYS = ("sun.monthly",)
"""What settles the sun; a weather file or a clearness do as well."""


@dataclass(frozen=True)
class YearOfSite:
    """The hourly year of a site, or why there is none."""

    year: HourlyYear | None
    why: Sentence | None = None


def has_sun(site: Site) -> bool:
    """True where the file tells of the sun in one of the three ways."""
    return not (site.sun.file is None and site.sun.monthly is None and site.sun.clearness is None)


def year_of_site(file: SiteFile) -> YearOfSite:
    """The hourly year of a site.

    Returns:
        the year by the site's weather file, else its monthly table, else its clearness
    Raises:
        SiteFileError: the weather file can't be used
    """
    site = file.site
    if site.site.latitude is None:
        return YearOfSite(None)
    try:
        if site.sun.file is not None:
            return YearOfSite(_from_file(file))
        return YearOfSite(_made(site))
    except OutOfRange as error:
        return YearOfSite(None, why_refused(error))


def _made(site: Site, seed: int = 1, drawn: bool = False) -> HourlyYear | None:
    """A year made from the file's monthly table or its clearness."""
    from wellsolar.physics.sun import synthetic_year

    place = (float(site.site.latitude or 0.0), float(site.site.altitude))
    air = np.array(air_temperatures(site)[0])
    swing, wind = float(site.sun.temperature_swing), float(site.sun.wind)
    if site.sun.monthly is not None:
        totals = tuple(map(float, site.sun.monthly))
        return _from_monthly(place, totals, tuple(air.tolist()), seed, swing, wind, drawn)
    if site.sun.clearness is not None:
        part, haze = float(site.sun.clearness), float(site.sun.turbidity)
        return synthetic_year.year_from_clear_part(
            *place, part, air, seed, haze, swing, wind, drawn
        )
    return None


@lru_cache(YEARS_KEPT)
def _from_monthly(
    place: tuple[float, float],
    totals: tuple[float, ...],
    air: tuple[float, ...],
    seed: int,
    swing: float,
    wind: float,
    drawn: bool,
) -> HourlyYear:
    """A year of a monthly table, made once for all who ask."""
    from wellsolar.physics.sun import synthetic_year

    return synthetic_year.year_from_monthly(
        *place, np.array(totals), np.array(air), seed, swing, wind, drawn
    )


def other_years(site: Site, seeds: Iterable[int]) -> list[HourlyYear]:
    """Further years made from the same months, their days drawn one by one as a year draws them.

    Parameters:
        seeds: of the order of days and hours, one for each year
    Returns:
        the years; none where the site names a weather file, or its sky has no clouds
    """
    if site.sun.file is not None or (site.sun.monthly is None and site.sun.clearness == 1.0):
        return []
    years = (_made(site, seed, drawn=True) for seed in seeds)
    return [year for year in years if year is not None]


def _from_file(file: SiteFile) -> HourlyYear:
    """The year of the weather file that a site file names; its mistakes are the site file's."""
    from wellsolar.physics.sun import weather_files

    site, name = file.site, str(file.site.sun.file)
    text = _text(file, name)
    second = text.split("\n", 2)[1:2]
    try:
        if second and TMY3_MARK in second[0]:
            with warnings.catch_warnings():
                # The reader of pvlib asks pandas for the day of the year by its old name.
                warnings.filterwarnings("ignore", "DatetimeIndex.dayofyear")
                year = weather_files.year_from_tmy3(StringIO(text))
        else:
            longitude = site.site.longitude
            year = weather_files.year_from_csv(
                StringIO(text),
                float(site.site.latitude or 0.0),
                float(site.site.altitude),
                None if longitude is None else float(longitude),
            )
    except OutOfRange as error:
        raise _mistake(file, f"{name}: {error}") from None
    apart = abs(year.latitude - (site.site.latitude or 0.0))
    if apart > FARTHEST:
        raise _mistake(
            file,
            f"{name}: is of latitude {year.latitude:g} deg, {apart:.1f} deg from site.latitude: "
            "one of the two is wrong, or the station is too far away",
        )
    return year


def _text(file: SiteFile, name: str) -> str:
    """The weather file's text."""
    path = Path(file.path).parent / name
    try:
        with open_input(path) as weather:
            content = weather.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise _mistake(file, f"{name}: no such file beside the site file") from None
    except IsADirectoryError:
        raise _mistake(file, f"{name}: is a folder: name the weather file in it") from None
    except OSError as error:
        raise _mistake(file, f"{name}: can't be read ({error.strerror})") from None
    except ValueError:
        raise _mistake(file, "is no name that a file can have") from None
    if len(content) > LARGEST_FILE:
        raise _mistake(file, f"{name}: is larger than 20 MB: a year of hours has some 2 MB")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _mistake(file, f"{name}: is not a text file in UTF-8") from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _mistake(file: SiteFile, message: str) -> SiteFileError:
    """A mistake at `sun.file`, with its line where the site file can still be read."""
    line = None
    try:
        line = line_of(lines_of(Path(file.path).read_text(encoding="utf-8")), ("sun", "file"))
    except (OSError, ValueError):
        line = None
    shown = "".join(character if character.isprintable() else " " for character in message)
    return SiteFileError(file.path, [Problem("sun.file", line, shown)])


def plane_of_group(
    site: Site, year: HourlyYear, group: ArrayTable | None, path: str, bare: bool = False
) -> PlaneYear:
    """A year, or days, on a group's plane, behind the site's shading and horizon.

    Parameters:
        year: its year of hours, or days of light like it
        group: the group, or None where the site has none yet
        bare: True for modules that are new and clean where nothing shades them: the most that
            they could give
    Returns:
        the year on the plane, and what of it the cells turn into current
    """
    tilt, azimuth, _ = orientation(site, group, path)
    sun, losses = site.sun, site.losses
    if bare:
        return sun_year.on_plane(year, tilt, azimuth, float(sun.albedo))
    return sun_year.on_plane(
        year,
        tilt,
        azimuth,
        float(sun.albedo),
        shading=None if sun.shading is None else np.array([*map(float, sun.shading)]),
        horizon_heights=None if sun.horizon is None else np.array([*map(float, sun.horizon)]),
        angular_loss=float(losses.incidence),
        light_kept=light_kept(site),
    )


def light_kept(site: Site) -> float:
    """What dirt, first light, nameplate, age and mismatch leave of an array's current, as if it
    were of the light: all of them act on the current first."""
    losses = site.losses
    lost = (losses.dirt, losses.first_light, losses.nameplate, losses.ageing, losses.mismatch)
    return math.prod(1.0 - quantity for quantity in lost)


def losses_of(site: Site) -> float:
    """All losses of an array on a controller but for incidence, heat and a cable that is named."""
    cables = [group.cable for group in site.array if group.feeds in FED]
    wires = 0.0 if cables and None not in cables else float(site.losses.wiring)
    return 1.0 - light_kept(site) * (1.0 - wires) * (1.0 - site.losses.controller)


def module_power(
    site: Site, parameters: FiveParameters, plane: PlaneYear, group: ArrayTable | None
) -> FloatArray:
    """Power of one module at its best voltage, less the site's losses [W], one value an hour.

    Parameters:
        group: that it is one of, whose cable is computed where it is named
    Returns:
        power behind the charge controller or the pump's
    """
    light = plane.effective_irradiance
    diode = module.at_conditions(
        parameters, np.where(light > DARK, light, 0.0), plane.cell_temperature
    )
    best = resistive.maximum_power_point(diode)
    power = np.asarray(best.power, dtype=np.float64)
    if group is None or group.cable is None or group.cable.length is None:
        power = power * (1.0 - site.losses.wiring)
    else:
        loop = wiring.line_resistance(group.cable.gauge, group.cable.length, phases=1)
        lost = np.asarray(best.current) ** 2 * loop * group.parallel / group.series
        power = np.maximum(power - lost, 0.0)
    return power * (1.0 - site.losses.controller)


def method_of(site: Site) -> tuple[Assumption, ...]:
    """What the sun of modules rests on that no key changes: how their cells cool, and in a year
    that is made how its days follow each other."""
    if site.site.latitude is None:
        return ()
    no_key = "no key of the file changes it"
    cooling = "25 W/m2/K, and 6.84 W/m2/K for each m/s of wind"
    why = f"modules on an open rack; on a roof they stay warmer; {no_key}"
    assumptions = [Assumption("cooling of the modules", cooling, why, "cell temperature")]
    from_month = site.sun.monthly is not None or site.sun.clearness is not None
    if site.sun.file is None and from_month:
        why = f"how much a day's clearness follows that of the day before; {no_key}"
        assumptions.append(Assumption("days in order", "correlation 0.29", why, "days in order"))
    return tuple(assumptions)


def study_sun(site: Site, year: HourlyYear) -> SunYearResult:
    """The site's year, and the sun on the plane of each of its groups."""
    planes = []
    for index, group in enumerate(site.array):
        plane = plane_of_group(site, year, group, f"array[{index + 1}]")
        totals = sun_year.monthly_totals(plane)
        planes.append(
            PlaneMonths(
                group.name,
                plane.tilt,
                plane.azimuth,
                tuple(totals.tolist()),
                float(plane.plane_of_array_irradiance.mean()) * DAY,
            )
        )
    return SunYearResult(
        source=year.source,
        horizontal=tuple(sun_year.monthly_horizontal_totals(year).tolist()),
        temperatures=tuple(sun_year.monthly_means(year.air_temperature, year.hours).tolist()),
        planes=tuple(planes),
        shading=site.sun.shading is not None,
        horizon=site.sun.horizon is not None,
    )
