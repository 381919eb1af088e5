"""Readings held beside the site's own numbers: what is expected, what they imply, why off."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from wellsolar.results import Results
from wellsolar.results.readings import ReadingResult, ReadingsResult
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.readings.file import Readings, check_pumps
from wellsolar.site.schema import PumpTable
from wellsolar.studies.reading.array import ArrayAtReading, array_at_reading, read_array
from wellsolar.studies.reading.element import read_diverted
from wellsolar.studies.reading.fill import read_bucket, read_fill
from wellsolar.studies.reading.hot_water import TankYear, read_tank, read_tap, tank_year
from wellsolar.studies.reading.level import read_pumping, read_rest
from wellsolar.studies.reading.motor import read_amps
from wellsolar.studies.reading.pressure import read_decay, read_gauge, read_precharge
from wellsolar.studies.reading.pumps import ReadPump
from wellsolar.studies.reading.sun import taken_words
from wellsolar.studies.reading.verdicts import reading_verdict, unread_verdict
from wellsolar.units import System

CAUTIONS = {
    "direct current": {"element_amps", "element_volts"},
    "mains": {"pump_amps", "gauge_pressure", "fill_time"},
    "pressure": {"gauge_pressure", "precharge", "fill_time", "evening_pressure"},
    "drinking water": {"static_level", "pumping_level"},
    "scald": {"tank_temperature", "tap_temperature"},
}
"""What to mind while a reading is taken, or what is off is mended."""

WITH_THE_GAUGE = {"bucket_volume", "pump_amps", "pumping_level"}
"""Readings that the gauge's pressure only goes with."""


@dataclass(frozen=True, eq=False)
class _Asked:
    """The site, with what is made of it once, for the readings that need it."""

    file: SiteFile

    @cached_property
    def array(self) -> ArrayAtReading | None:
        return array_at_reading(self.file)

    @cached_property
    def tank(self) -> TankYear | None:
        return tank_year(self.file, self.array)


def study_readings(
    file: SiteFile, given: Sequence[Readings], system: System | None = None
) -> Results:
    """Readings of a finished job.

    Parameters:
        file: a site file that was read
        given: readings, each of one time
        system: units to print in; None for the file's own
    Returns:
        results that hold only the readings and their verdicts
    Raises:
        SiteFileError: a pump is named that the site does not have
    """
    site, asked = file.site, _Asked(file)
    check_pumps(given, [each.name for each in site.pump])
    found: list[ReadingResult] = []
    verdicts = []
    for each in _by_time(given):
        made = [replace(one, taken=taken_words(each)) for one in _read(asked, each)]
        found += made
        verdicts += [reading_verdict(one) for one in made]
        verdicts += [unread_verdict(site, each, key) for key in _unread(each, made)]
    keys = {key for each in given for key in each.values}
    return Results(
        file=file.path,
        site_name=site.site.name,
        site_note=site.site.note,
        system=system or site.site.print_units,
        verdicts=tuple(verdicts),
        cautions=tuple(key for key, of in CAUTIONS.items() if of & keys),
        readings=ReadingsResult(tuple(found)),
    )


def _by_time(given: Sequence[Readings]) -> list[Readings]:
    """Readings of one time together, the times in the order in which they were first told."""
    times = list(dict.fromkeys(taken_words(each) for each in given))
    return sorted(given, key=lambda each: times.index(taken_words(each)))


def _read(asked: _Asked, given: Readings) -> list[ReadingResult]:
    """Everything that readings of one time say, in the order of the sheet."""
    site, values = asked.file.site, given.values
    found: list[ReadingResult] = []
    table = _pump(site.pump, given)
    at = None if table is None else ReadPump(site, table, given)
    if "precharge" in values:
        found.append(read_precharge(site, given))
    if "static_level" in values:
        found.append(read_rest(site, given))
    if "gauge_pressure" in values and not WITH_THE_GAUGE & set(values):
        found.append(read_gauge(site, at, given))
    if at is not None:
        found += _of_pump(at)
    if "evening_pressure" in values:
        found.append(read_decay(site, given))
    if {"element_amps", "element_volts"} & set(values):
        array = asked.array
        found += read_diverted(site, given) if array is None else read_array(array, given)
    if site.water_heater is not None:
        if "tank_temperature" in values:
            found.append(read_tank(site, asked.tank, given))
        if "tap_temperature" in values:
            found.append(read_tap(site, asked.tank, given))
    return found


def _of_pump(at: ReadPump) -> list[ReadingResult]:
    readers: dict[str, Callable[[ReadPump], ReadingResult]] = {
        "pump_amps": read_amps,
        "fill_time": read_fill,
        "pumping_level": read_pumping,
    }
    found = [read(at) for key, read in readers.items() if key in at.given.values]
    return found + ([] if at.bucket is None else [read_bucket(at, at.bucket)])


def _pump(pumps: Sequence[PumpTable], given: Readings) -> PumpTable | None:
    """The pump that was read: the one named, else the site's first."""
    return next((each for each in pumps if given.pump in (None, each.name)), None)


DONE_BY = {
    "bucket_volume": "bucket_flow",
    "evening_pressure": "pressure_decay",
    "element_volts": "element_amps",
}
"""Readings whose result has another name."""

ASKED_FOR = ("element_amps", "element_volts", "pump_amps", "fill_time", "bucket_volume",
             "pumping_level", "tank_temperature", "tap_temperature")  # fmt: skip
"""Readings that a file may say too little to interpret at all."""


def _unread(given: Readings, made: list[ReadingResult]) -> list[str]:
    """Readings of which nothing could be said."""
    done = {each.key for each in made}
    return [
        key for key in ASKED_FOR if key in given.values and not {key, DONE_BY.get(key, key)} & done
    ]
