"""Bands of the readings that hang on month, time of day and sky, for every one of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from wellsolar import kinds
from wellsolar.physics.sun import tilted_plane
from wellsolar.physics.types import FloatArray
from wellsolar.results.form import (
    ByTime,
    Causes,
    Fixed,
    MeteredSun,
    SunCauses,
    TimedBands,
    Way,
)
from wellsolar.results.readings import Cause
from wellsolar.site.readings.file import Readings
from wellsolar.site.readings.values import SKIES
from wellsolar.studies.array.coupling import Switched
from wellsolar.studies.array.heater_circuit import LIGHT_WIND
from wellsolar.studies.reading.element import METER, ElementOnArray
from wellsolar.studies.reading.faults import NO_CURRENT, CircuitInSun, causes_of, ways_to_be_wrong
from wellsolar.studies.reading.hot_water import TankTemperature, TapTemperature
from wellsolar.studies.reading.meter import AMPERES, VOLTS, Meter
from wellsolar.studies.reading.reading import Candidate, Lacking, Reading, is_off
from wellsolar.studies.reading.sun import (
    FINEST_AIR,
    MILD,
    NEAREST_NOON,
    ArrayAtReading,
    SunNow,
    near_time,
)
from wellsolar.studies.reading.visit import Job, TankYear, Visit
from wellsolar.studies.sun.year import DARK
from wellsolar.units import Quantity

MINUTES = 24 * 60
MONTHS = range(1, 13)

LIGHTS_OF_CAUSES = (50.0, 100.0, 200.0, 300.0, 450.0, 600.0, 800.0, 1000.0, 1200.0)
"""Suns at which ways to be wrong are made [W/m2]: they say where to look first, and the sun of a
sky is no narrower."""


_BY_SKY = Readings("form", {}, sky=SKIES[0])
_BY_METER = Readings("form", {"irradiance": Quantity(800.0, kinds.IRRADIANCE)})
"""How the sun of a reading may be known."""


def _times(hours: FloatArray) -> tuple[float, ...]:
    """A time of day of each class: the first minute to which other hours of a year are near."""
    times: dict[bytes, float] = {}
    for minute in range(MINUTES):
        near = near_time(hours, np.ones(hours.shape, np.int64), minute / 60.0, None)
        times.setdefault(near.tobytes(), minute / 60.0)
    return tuple(times.values())


def timed_bands(job: Job) -> dict[str, TimedBands]:
    """Every band that hangs on the time, by its reading.

    Returns:
        bands of current and voltage at the element that modules feed, and of tank and tap
    """
    timed = {}
    array, tank = job.array, job.tank
    if array is not None and array.plane is not None:
        hours = np.unique(array.plane.hours.hour_of_day)
        times, told = _times(hours), tuple(hours.tolist())
        fixed_ohms = not isinstance(array.circuit.coupling, Switched)
        for meter in (AMPERES, VOLTS):
            if meter.volts and fixed_ohms:
                ohms = array.circuit.resistance
                timed[meter.key] = TimedBands(told, {}, {}, like=AMPERES.key, times=ohms)
                continue
            at_sky = {sky: _by_time(times, _in_the_sun(job, meter, sky)) for sky in SKIES}
            bands, lights = (
                {sky: _part(numbers, part) for sky, numbers in at_sky.items()}
                for part in (slice(2), slice(2, None))
            )
            timed[meter.key] = TimedBands(told, bands, lights)
    if tank is not None:
        hours = np.unique(tank.hour_of_day)
        for kind in (TankTemperature, TapTemperature):
            by_hour = _by_time(tuple(hours.tolist()), _in_the_tank(job, tank, kind))
            timed[kind.reads[0]] = TimedBands(tuple(hours.tolist()), {"": by_hour}, {}, True)
    return timed


def _by_time(
    times: tuple[float, ...], numbers_at: Callable[[int, float], tuple[float, ...]]
) -> ByTime:
    """Numbers by month and class of the time."""
    return tuple(tuple(numbers_at(month, hour) for hour in times) for month in MONTHS)


def _part(numbers: ByTime, part: slice) -> ByTime:
    """Some of them."""
    return tuple(tuple(numbers[part] for numbers in month) for month in numbers)


def _in_the_sun(job: Job, meter: Meter, sky: str) -> Callable[[int, float], tuple[float, ...]]:
    """The band of a meter at the element under a sky, with the ends of its light."""

    def band_at(month: int, hour: float) -> tuple[float, ...]:
        one = Quantity(1.0, meter.kind)
        given = Readings("form", {meter.key: one}, sky=sky, month=month, hour=hour)
        reading = ElementOnArray(Visit(job, given))
        now, band = reading.sun, reading.band
        assert now is not None
        assert not isinstance(band, Lacking)
        if now.down:
            return (0.0, 0.0, 0.0, 0.0)
        ends = (float(now.irradiance.min()), float(now.irradiance.max()))
        return (band.value.low, band.value.high, *ends)

    return band_at


def _in_the_tank(
    job: Job, tank: TankYear, kind: type[TankTemperature] | type[TapTemperature]
) -> Callable[[int, float], tuple[float, ...]]:
    """The band of a warmth of the heated water at an hour's end alone; of several it is from the
    least to the greatest of theirs."""
    reading = kind(Visit(job, Readings("form", {})))

    def band_at(month: int, hour: float) -> tuple[float, ...]:
        there = (tank.driven.plane.hours.month == month) & (tank.hour_of_day == hour)
        value = reading.band_of(there)
        return (value.low, value.high)

    return band_at


def metered_sun(job: Job) -> MeteredSun | None:
    """What is read at the element under a sun that a meter showed.

    Returns:
        the airs that it may have had; None where no modules heat
    """
    array = job.array
    if array is None:
        return None
    hours = np.array([NEAREST_NOON]) if array.plane is None else array.plane.hours.hour_of_day
    hours = np.unique(hours)
    dark = {meter.key: meter.in_the_dark for meter in (AMPERES, VOLTS)}
    airs = _by_time(_times(hours), _airs(job))
    return MeteredSun(tuple(hours.tolist()), airs, FINEST_AIR, METER, DARK, dark)


def _airs(job: Job) -> Callable[[int, float], tuple[float, ...]]:
    """Airs that a metered sun may have had [degC]."""

    def airs_at(month: int, hour: float) -> tuple[float, ...]:
        values = {
            AMPERES.key: Quantity(1.0, kinds.CURRENT),
            "irradiance": Quantity(800.0, kinds.IRRADIANCE),
        }
        now = ElementOnArray(Visit(job, Readings("form", values, month=month, hour=hour))).sun
        assert now is not None
        return tuple(now.air.tolist())

    return airs_at


def sun_causes(job: Job) -> dict[str, SunCauses]:
    """Why current or voltage at the element may be off, by the reading's row.

    Returns:
        ways at some lights, with mild air; nothing where no modules heat
    """
    array = job.array
    if array is None:
        return {}
    return {meter.key: _sun_causes(array, meter) for meter in (AMPERES, VOLTS)}


def _sun_causes(array: ArrayAtReading, meter: Meter) -> SunCauses:
    below, above = (_ways_in_sun(array, meter, low) for low in (True, False))
    nothing, usual = Quantity(0.0, meter.kind), Quantity(1.0, meter.kind)
    opened, dark = (
        causes_of(CircuitInSun(array.circuit, meter, now), _BY_SKY, nothing, usual)
        for now in (_sun_of(800.0), _sun_of(0.0))
    )
    texts = (tuple(cause.text for cause in causes) for causes in (opened, dark))
    known = fixed_of((*opened, *dark))
    return SunCauses(LIGHTS_OF_CAUSES, below, above, next(texts), NO_CURRENT, next(texts), known)


def fixed_of(causes: Iterable[Candidate | Cause]) -> Fixed:
    """Those of some causes that need no weighing."""
    return {cause.text: (cause.share, cause.of) for cause in causes if isinstance(cause, Cause)}


def _ways_in_sun(array: ArrayAtReading, meter: Meter, low: bool) -> tuple[tuple[str, Way], ...]:
    """Ways to read too little, or too much, with how the sun must be known for each."""
    known = []
    for given in (_BY_SKY, _BY_METER):
        at_lights = [
            ways_to_be_wrong(CircuitInSun(array.circuit, meter, _sun_of(light)), given, low)
            for light in LIGHTS_OF_CAUSES
        ]
        known.append(_ways_of(*at_lights))
    by_sky, by_meter = known
    return (
        *(("" if way in by_meter else "sky", way) for way in by_sky),
        *(("metered", way) for way in by_meter if way not in by_sky),
    )


def _sun_of(light: float) -> SunNow:
    """A sun of one light in mild air."""
    lights, air = np.array([light]), np.array([MILD])
    cells = np.asarray(tilted_plane.cell_temperature(lights, air, LIGHT_WIND))
    return SunNow(lights, cells, air, None, "")


def _ways_of(*at_lights: list[Candidate]) -> tuple[Way, ...]:
    """Candidates with the ends of what would be read, of one light or several."""
    ways = []
    for same in zip(*at_lights, strict=True):
        ends = []
        for candidate in same:
            values = sorted(float(value) for value in candidate.values if value == value)
            if values:
                ends.append((values[0], values[len(values) // 2], values[-1]))
        if len(ends) == len(same):
            first = same[0]
            ways.append(Way(first.text, tuple(ends), first.weight, first.group, first.of))
    return tuple(ways)


def causes_at(reading: Reading, band: Quantity) -> Causes:
    """Why a reading may be off its band, where that is to be weighed.

    Parameters:
        reading: one that lies outside
    Returns:
        the ways; none where its causes need no weighing
    """
    explained = reading.explained(band, reading.measured.high < band.low)
    assert is_off(reading.measured, band)
    return Causes((), _ways_of([cause for cause in explained if isinstance(cause, Candidate)]))
