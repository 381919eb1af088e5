"""A reading at the element: under which sun it is right, and what explains it where it is not."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf

import numpy as np

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics import module_fit, readings, sun
from wellsolar.physics.sun_year import PlaneYear
from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Band, Cause, Implied, ReadingResult
from wellsolar.site.read import SiteFile
from wellsolar.site.readings_file import Readings
from wellsolar.site.schema import Site
from wellsolar.studies.array_hours import OnArray, element_on_array
from wellsolar.studies.heater_coupling import Direct
from wellsolar.studies.pv_heater import LIGHT_WIND, HeaterCircuit, circuit_of, rating_of
from wellsolar.studies.reading_causes import Candidate, ranked
from wellsolar.studies.reading_faults import SunNow, causes_of, current_of, other_plates
from wellsolar.studies.sun_of_site import plane_of_group, year_of_site
from wellsolar.studies.sunshine import air_temperatures
from wellsolar.studies.tank_at_work import setpoint_of
from wellsolar.units import Quantity

SKY_SHARES = {"clear": (0.85, 1.1), "thin cloud": (0.45, 0.85), "overcast": (0.0, 0.45)}
"""Global irradiance over that of Haurwitz's cloudless sky for each word [-]; our choice."""

FEWEST_HOURS = 5
"""Hours of a sky below which the year's are too few for a band [-]; our choice."""

NEAR = 1.01
"""How far from the time of a reading an hour of the year may lie [h]: the hour and its two
neighbours, as clocks and the sun differ."""

NEAREST_NOON = 12.0
"""Hour taken where a sky is named without a time [h]."""

METER = 0.03
"""How far modules and a sun meter may be off together [-]; our choice after IEC tolerances."""


@dataclass(frozen=True, eq=False)
class ArrayAtReading:
    """The array that heats, and its sun through the site's year; None where that is unknown."""

    on: OnArray
    circuit: HeaterCircuit
    plane: PlaneYear | None = None
    clear_plane: PlaneYear | None = None
    clearness: FloatArray | None = None


def array_at_reading(file: SiteFile) -> ArrayAtReading | None:
    """The array of the site's heater with its year; None where the file has none.

    Parameters:
        file: a site file that was read
    Returns:
        array, element and sun
    """
    site = file.site
    on = element_on_array(site)
    if on is None or site.module is None or site.water_heater is None:
        return None
    try:
        parameters = module_fit.fit_five_parameters(rating_of(site.module))
    except OutOfRange:
        return None
    setpoint = setpoint_of(site.water_heater, on.element, on.path, [])
    water = (setpoint + float(site.well.water_temperature)) / 2
    found = ArrayAtReading(on, circuit_of(parameters, on.group, on.element, water))
    year = year_of_site(file).year
    if year is None:
        return found
    from wellsolar.physics.synthetic_year import year_from_clear_sky

    plane = plane_of_group(site, year, on.group, on.group_path)
    clear_plane = None
    try:
        air = np.array(air_temperatures(site)[0])
        place = (float(site.site.latitude or 0.0), float(site.site.altitude))
        clear = year_from_clear_sky(*place, 1.0, air)
        clear_plane = plane_of_group(site, clear, on.group, on.group_path)
    except OutOfRange:
        clear_plane = None
    sky = np.asarray(readings.haurwitz_horizontal(year.hours.zenith))
    share = np.where(sky > 0.0, year.global_horizontal / np.where(sky > 0.0, sky, 1.0), 0.0)
    return replace(found, plane=plane, clear_plane=clear_plane, clearness=share)


def sun_now(at: ArrayAtReading, given: Readings) -> SunNow | None:
    """The sun of a reading: as measured, else of the site's year at its month, hour and sky.

    Parameters:
        at: the array
        given: the reading
    Returns:
        cases of the sun; None where nothing tells it
    """
    plane = at.plane
    near = None if plane is None else _near(plane, given)
    if "irradiance" in given.values:
        light = given.values["irradiance"]
        ends = np.array([light.low, float(light), light.high])
        air = np.array([20.0])
        if plane is not None and near is not None and near.any():
            air = np.percentile(plane.air_temperature[near], [10.0, 50.0, 90.0])
        lights, airs = (each.ravel() for each in np.meshgrid(ends, air))
        cells = np.asarray(sun.cell_temperature(lights, airs, LIGHT_WIND))
        if "cell_temperature" in given.values:
            cells = np.full(lights.shape, float(given.values["cell_temperature"]))
        return SunNow(lights, cells, airs, None, "the irradiance that was measured")
    if plane is None or near is None or at.clearness is None:
        return None
    if given.sky is None and given.hour is None:
        return None
    clear = _clear(at, given)
    rests_on = f"the site's year, {_when_words(given)}"
    chosen = near & (plane.plane_of_array_irradiance > 1.0)
    if given.sky is not None:
        low, high = SKY_SHARES[given.sky]
        of_sky = chosen & (at.clearness >= low) & (at.clearness <= high)
        if of_sky.sum() < FEWEST_HOURS and clear is not None and clear > 0.0:
            lights = clear * np.linspace(max(low, 0.05), min(high, 1.05), 9)
            air = np.full(9, float(np.median(plane.air_temperature[near])))
            cells = np.asarray(sun.cell_temperature(lights, air, LIGHT_WIND))
            rests_on += ": a share of the clear sky, as the year has too few such hours"
            return SunNow(lights, cells, air, clear, rests_on)
        chosen = of_sky
    if not chosen.any():
        return None
    return SunNow(
        plane.plane_of_array_irradiance[chosen],
        plane.cell_temperature[chosen],
        plane.air_temperature[chosen],
        clear,
        rests_on,
    )


def _near(plane: PlaneYear, given: Readings) -> np.ndarray:
    hour = NEAREST_NOON if given.hour is None else given.hour
    chosen = np.abs(plane.hours.hour_of_day - hour) < NEAR
    if given.month is not None:
        chosen &= plane.hours.month == given.month
    return np.asarray(chosen)


def _clear(at: ArrayAtReading, given: Readings) -> float | None:
    if at.clear_plane is None:
        return None
    chosen = _near(at.clear_plane, given)
    return float(at.clear_plane.plane_of_array_irradiance[chosen].max()) if chosen.any() else None


def _when_words(given: Readings) -> str:
    from calendar import month_name

    month = "every month" if given.month is None else month_name[given.month]
    hour = NEAREST_NOON if given.hour is None else given.hour
    minutes = round(hour * 60)
    time = f"{minutes // 60}:{minutes % 60:02d} sun time"
    return f"{month}, {time}, {given.sky or 'any sky'}"


def read_array(site: Site, at: ArrayAtReading, given: Readings) -> list[ReadingResult]:
    """What readings at the element say.

    Parameters:
        site: the site
        at: its array
        given: readings of one time
    Returns:
        a result for amperes, volts, and both together
    """
    if not isinstance(at.circuit.coupling, Direct):
        return []
    amps, volts = given.values.get("element_amps"), given.values.get("element_volts")
    found = []
    if amps is not None and volts is not None and float(amps) > 0.0:
        found.append(_resistance(at, given, amps, volts))
    if amps is not None:
        found.append(_reading(at, given, amps, "element_amps", "current at the element", 1.0))
    elif volts is not None:
        ohms = at.circuit.resistance
        found.append(_reading(at, given, volts, "element_volts", "voltage at the element", ohms))
    return found


def _reading(
    at: ArrayAtReading, given: Readings, read: Quantity, key: str, label: str, ohms: float
) -> ReadingResult:
    """One reading; `ohms` turns a current into it: 1 for amperes."""
    now, kind = sun_now(at, given), read.kind
    expected: Band | None = None
    causes: tuple[Cause, ...] = ()
    if now is not None:
        current = current_of(at.circuit, now)
        value = _spread(current * ohms, kind, "irradiance" in given.values)
        most = None
        if now.clear is not None:
            cells = float(sun.cell_temperature(now.clear, float(now.air.max()), LIGHT_WIND))
            point = at.circuit.point(now.clear, cells)
            most = Quantity(max(point.current * ohms, value.high), kind)
        expected = Band(value, now.rests_on, most)
        if read.high < value.low or read.low > value.high:
            causes = causes_of(at.circuit, given, now, read, value, ohms)
    implied = implied_irradiance(at, given, now, Quantity(
        float(read) / ohms, kinds.CURRENT, read.low / ohms, read.high / ohms))  # fmt: skip
    subject, when = at.on.group.name, now.rests_on if now else _when_words(given)
    return ReadingResult(key, label, subject, when, read, expected, implied, causes)


def implied_irradiance(
    at: ArrayAtReading, given: Readings, now: SunNow | None, current: Quantity
) -> tuple[Implied, ...]:
    """The irradiance that explains a current through the element [A], with its ends.

    Parameters:
        at: the array
        given: the reading, for a measured cell temperature
        now: its sun, for the air; None for mild air
        current: with its ends [A]
    Returns:
        irradiance and cell temperature; nothing where no sun explains the current
    """
    circuit = at.circuit
    loop = circuit.resistance + circuit.cable_resistance
    array = (circuit.parameters, circuit.series, circuit.parallel)
    cell = given.values.get("cell_temperature")
    air = 20.0 if now is None else float(np.median(now.air))

    def light(amps: float) -> float:
        if cell is not None:
            found = readings.irradiance_from_current(*array, amps, amps * loop, float(cell))
            return float(found)
        try:
            return readings.irradiance_in_air(*array, amps, amps * loop, air, LIGHT_WIND)
        except OutOfRange:
            return inf

    low, middle, high = (light(each) for each in (current.low, float(current), current.high))
    if not np.isfinite(middle) or middle > readings.BRIGHTEST_LOOKED_FOR:
        return ()
    high = high if np.isfinite(high) else readings.BRIGHTEST_LOOKED_FOR
    cells = float(cell) if cell is not None else float(
        sun.cell_temperature(middle, air, LIGHT_WIND))  # fmt: skip
    return (
        Implied(
            "implied_irradiance", "irradiance that explains it",
            Quantity(middle, kinds.IRRADIANCE, low, high),
            "by the array's diode, whole and clean, on the element through its cable",
        ),
        Implied(
            "implied_cells", "cells at that sun", Quantity(cells, kinds.TEMPERATURE),
            "as measured" if cell is not None else f"air of {_air_words(now)} and a light wind",
        ),
    )  # fmt: skip


def _air_words(now: SunNow | None) -> str:
    return "68 degF (20 degC)" if now is None else "the site's year at that time"


def _spread(values: FloatArray, kind: kinds.Kind, measured: bool) -> Quantity:
    """The 10th to the 90th of a hundred cases about the middle; all of few, with the meter's
    tolerance, where the sun was measured."""
    if measured:
        low, high = float(values.min()) * (1 - METER), float(values.max()) * (1 + METER)
        return Quantity(float(np.median(values)), kind, low, high)
    low, middle, high = (float(each) for each in np.percentile(values, [10.0, 50.0, 90.0]))
    return Quantity(middle, kind, low, high)


def _resistance(
    at: ArrayAtReading, given: Readings, amps: Quantity, volts: Quantity
) -> ReadingResult:
    """The element by Ohm's law, against its plate."""
    low = volts.low / amps.high if amps.high > 0.0 else 0.0
    high = volts.high / amps.low if amps.low > 0.0 else inf
    measured = Quantity(float(volts) / float(amps), kinds.RESISTANCE, low, high)
    plate = at.circuit.resistance
    band = Quantity(plate, kinds.RESISTANCE, plate / 1.05, plate / 0.90)
    causes: tuple[Cause, ...] = ()
    if measured.high < band.low or measured.low > band.high:
        causes = ranked(
            measured,
            [
                *other_plates(lambda ohms: np.array([ohms]), plate),
                Candidate("a loose or burnt joint between the meter and the element",
                          np.array([plate * 1.15, plate * 1.6]), 0.4),
            ],
        )  # fmt: skip
    return ReadingResult(
        "element_resistance", "element by its volts and amperes", at.on.group.name,
        "whatever the sun", measured,
        Band(band, "its plate, whose power may be 5 % more or 10 % less"), (), causes,
    )  # fmt: skip
