"""The sun under which a reading at the element was taken, from the site's own year."""

from __future__ import annotations

from calendar import month_name
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module_fit
from wellsolar.physics.sun import light, tilted_plane
from wellsolar.physics.sun.year import PlaneYear, YearOfHours
from wellsolar.physics.types import FloatArray
from wellsolar.site.readings.file import Readings, time_words
from wellsolar.studies.array.heater_circuit import (
    LIGHT_WIND,
    HeaterCircuit,
    OnArray,
    element_on_array,
)
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.heat.tank import circuit_in_tank
from wellsolar.studies.sun.days import air_temperatures
from wellsolar.studies.sun.module_sheet import rating_of
from wellsolar.studies.sun.year import DARK, plane_of_group

SKY_SHARES = {"clear": (0.85, 1.1), "thin cloud": (0.45, 0.85), "overcast": (0.0, 0.45)}
"""Global irradiance over that of Haurwitz's cloudless sky for each word [-]; our choice. Kasten
and Czeplak, Solar Energy 24 (1980) 177, have 0.61 on the mean under high thin cloud (from
memory)."""

FEWEST_HOURS = 5
"""Hours of a sky below which the year's are too few for a band [-]; our choice."""

NEAR = 1.01
"""How far from the time of a reading an hour of the year may lie [h]: the hour and its two
neighbours, as clocks and the sun differ."""

NEAREST_NOON = 12.0
"""Hour taken where a sky is named without a time [h]."""

FINEST_AIR = 0.5
"""To what the air of a measured sun is taken [K]: finer than it is known; our choice."""

MILD = 20.0
"""Air where the site's year tells none [degC]; our choice."""


@dataclass(frozen=True, eq=False)
class SunNow:
    """The sun that a reading may have had; each an array of cases.

    irradiance: on the plane [W/m2]; cells, air: [degC]
    clear: under a clear sky [W/m2]; None where the sun was measured
    """

    irradiance: FloatArray
    cells: FloatArray
    air: FloatArray
    clear: float | None
    rests_on: str

    @property
    def down(self) -> bool:
        """True where the sun does not reach the modules then."""
        return not bool((self.irradiance > DARK).any())


@dataclass(frozen=True, eq=False)
class ArrayAtReading:
    """The array that heats, and its sun through the site's year; None where that is unknown."""

    on: OnArray
    circuit: HeaterCircuit
    plane: PlaneYear | None = None
    clear_plane: PlaneYear | None = None
    clearness: FloatArray | None = None


def array_at_reading(case: Studied, chosen: OnArray | None = None) -> ArrayAtReading | None:
    """The array of the site's heater with its year.

    Parameters:
        chosen: the element with its array; None for the first that modules feed
    Returns:
        array, element and sun; None where the file has none
    """
    site = case.site
    on = chosen or element_on_array(site)
    if on is None or site.module is None or site.water_heater is None:
        return None
    try:
        parameters = module_fit.fit_five_parameters(rating_of(site.module))
    except OutOfRange:
        return None
    array = ArrayAtReading(on, circuit_in_tank(site, on, parameters))
    year = case.year
    if year is None:
        return array
    from wellsolar.physics.sun.synthetic_year import year_from_clear_sky

    plane = plane_of_group(site, year, on.group, on.group_path)
    clear_plane = None
    try:
        air = np.array(air_temperatures(site)[0])
        place = (float(site.site.latitude or 0.0), float(site.site.altitude))
        clear = year_from_clear_sky(*place, 1.0, air, float(site.sun.turbidity))
        clear_plane = plane_of_group(site, clear, on.group, on.group_path)
    except OutOfRange:
        clear_plane = None
    sky = np.asarray(light.haurwitz_horizontal(year.hours.zenith))
    # Below a watt it is night for every reading, and the share would overflow.
    share = np.where(sky > 1.0, year.global_horizontal / np.maximum(sky, 1.0), 0.0)
    return replace(array, plane=plane, clear_plane=clear_plane, clearness=share)


def sun_now(at: ArrayAtReading, given: Readings) -> SunNow | None:
    """The sun of a reading: as measured, else of the site's year at its month, hour and sky; None
    where nothing tells it."""
    if "irradiance" in given.values:
        return _measured(at, given)
    plane = at.plane
    if plane is None or at.clearness is None or (given.sky is None and given.hour is None):
        return None
    near = _hours_near(plane.hours, given)
    clear = _clear(at, given)
    rests_on = f"the site's year, {_when(given)}"
    chosen = near & (plane.plane_of_array_irradiance > DARK)
    if given.sky is not None:
        low, high = SKY_SHARES[given.sky]
        of_sky = chosen & (at.clearness >= low) & (at.clearness <= high)
        if of_sky.sum() < FEWEST_HOURS and clear is not None and clear > DARK:
            lights = clear * np.linspace(max(low, 0.05), min(high, 1.05), 9)
            air = np.full(9, float(np.median(plane.air_temperature[near])))
            cells = np.asarray(tilted_plane.cell_temperature(lights, air, LIGHT_WIND))
            rests_on += ": a share of the clear sky, as the year has too few such hours"
            return SunNow(lights, cells, air, clear, rests_on)
        chosen = of_sky
    if not chosen.any():
        air = np.atleast_1d(np.median(plane.air_temperature[near]))
        return SunNow(np.zeros(1), air, air, 0.0, f"{rests_on}: the sun is down then")
    return SunNow(
        plane.plane_of_array_irradiance[chosen],
        plane.cell_temperature[chosen],
        plane.air_temperature[chosen],
        clear,
        rests_on,
    )


def _measured(at: ArrayAtReading, given: Readings) -> SunNow:
    """The sun that a meter showed, the cells as measured or by the air of that time."""
    light = given.values["irradiance"]
    ends = np.unique([light.low, float(light), light.high])
    air = np.array([MILD])
    if at.plane is not None:
        near = _hours_near(at.plane.hours, given)
        air = np.percentile(at.plane.air_temperature[near], [10.0, 50.0, 90.0])
        air = np.round(air / FINEST_AIR) * FINEST_AIR
    lights, airs = (grid.ravel() for grid in np.meshgrid(ends, air))
    cells = np.asarray(tilted_plane.cell_temperature(lights, airs, LIGHT_WIND))
    if "cell_temperature" in given.values:
        read = given.values["cell_temperature"]
        warmths = np.unique([read.low, float(read), read.high])
        lights, cells = (grid.ravel() for grid in np.meshgrid(ends, warmths))
        airs = np.full(lights.shape, float(np.median(air)))
    return SunNow(lights, cells, airs, None, "the irradiance that was measured")


def near_time(
    hour_of_day: FloatArray, months: NDArray[np.int64], hour: float | None, month: int | None
) -> NDArray[np.bool_]:
    """The hours of a year that a reading may have been taken in.

    Parameters:
        hour_of_day, months: of each hour of the year [h], 1 to 12
        hour, month: of the reading; None where it was not said, for any
    Returns:
        True for each such hour
    """
    chosen = np.ones(months.shape, dtype=np.bool_)
    if hour is not None:
        apart = np.abs(hour_of_day - hour)
        chosen &= np.minimum(apart, 24.0 - apart) < NEAR
    if month is not None:
        chosen &= months == month
    return chosen


def _hours_near(hours: YearOfHours, given: Readings) -> NDArray[np.bool_]:
    """Those of a reading in the sun: about noon where it has no time."""
    hour = NEAREST_NOON if given.hour is None else given.hour
    return near_time(hours.hour_of_day, hours.month, hour, given.month)


def _clear(at: ArrayAtReading, given: Readings) -> float | None:
    """The most of a clear sky then [W/m2]; None where no such year could be made."""
    if at.clear_plane is None:
        return None
    chosen = _hours_near(at.clear_plane.hours, given)
    return float(at.clear_plane.plane_of_array_irradiance[chosen].max()) if chosen.any() else None


def _when(given: Readings) -> str:
    """Month, time and sky of a reading, with what was taken where one was not said."""
    month = "every month" if given.month is None else month_name[given.month]
    hour = NEAREST_NOON if given.hour is None else given.hour
    return f"{month}, {time_words(hour)}, {given.sky or 'any sky'}"
