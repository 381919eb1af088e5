"""Readings of the finished job, from the command line or a file, in the site's own grammar.

A value may carry how far it can be off: `"8.4 A +- 0.1"`, `"8.4 A +- 2 %"`, or a range as in a
site file. Amperes, volts, seconds and watts per square metre may be written without their unit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path as FilePath
from typing import Any

from wellsolar import kinds
from wellsolar.errors import Problem, SiteFileError
from wellsolar.site.fields import Reads
from wellsolar.site.loading.syntax import read_toml
from wellsolar.site.locate import line_of, lines_of
from wellsolar.site.readings.csv import REMARKS, Row, key_of, rows_of_csv
from wellsolar.site.readings.values import read_value, read_word
from wellsolar.units import Quantity, UnreadableQuantity
from wellsolar.wording import nearest, quoted

COMMAND_LINE = "command line"
LARGEST_FILE = 1_000_000

_AMPERES = Reads(kinds.CURRENT, least=0.0, most=2000.0)
_VOLTS = Reads(kinds.VOLTAGE, least=0.0, most=1500.0)
_SECONDS = Reads(kinds.WATCH, above=0.0, most=1.0e6)
_PRESSURE = Reads(kinds.PRESSURE, least=0.0, most=2.0e6)
_LEVEL = Reads(kinds.LENGTH, least=0.0, most=2000.0)
_WATER = Reads(kinds.TEMPERATURE, least=0.0, most=120.0)
_AIR = Reads(kinds.TEMPERATURE, least=-60.0, most=100.0)

FIELDS: dict[str, tuple[Reads, str]] = {
    "element_amps": (_AMPERES, "A"),
    "element_volts": (_VOLTS, "V"),
    "irradiance": (Reads(kinds.IRRADIANCE, above=0.0, most=2000.0), "W/m2"),
    "cell_temperature": (_AIR, ""),
    "pump_amps": (_AMPERES, "A"),
    "gauge_pressure": (_PRESSURE, ""),
    "fill_time": (_SECONDS, "s"),
    "bucket_volume": (Reads(kinds.VOLUME, above=0.0, most=100.0), ""),
    "bucket_time": (_SECONDS, "s"),
    "static_level": (_LEVEL, ""),
    "pumping_level": (_LEVEL, ""),
    "pumping_time": (_SECONDS, "min"),
    "precharge": (_PRESSURE, ""),
    "evening_pressure": (_PRESSURE, ""),
    "morning_pressure": (_PRESSURE, ""),
    "hours_between": (Reads(kinds.DURATION, above=0.0, most=1.0e6), "h"),
    "tank_temperature": (_WATER, ""),
    "tap_temperature": (_WATER, ""),
}
"""Every reading that is a quantity, and the unit of a number without one."""

WORDS = ("pump", "pump_state", "sky", "date", "time")
TOGETHER = (
    ("bucket_volume", "bucket_time"),
    ("evening_pressure", "morning_pressure", "hours_between"),
)
"""Readings of which one says nothing without the others."""

NEEDS = {"pumping_time": "pumping_level", "pump_state": "gauge_pressure"}
"""Readings that say nothing without another, which may stand alone."""

SURROUNDINGS = {"irradiance", "cell_temperature", "pumping_time"}
"""What only says under which sun, or after how long, the others were read."""


@dataclass(frozen=True)
class Readings:
    """Readings taken at one time.

    place: where they stand, for messages; values: by key, in SI with their ends
    month: 1 to 12; day: of the month; hour: of the day [h]; each None where it was not said
    pump_state: "on" or "off"; file, line: where they stand, line None for the command line
    """

    place: str
    values: Mapping[str, Quantity]
    pump: str | None = None
    sky: str | None = None
    month: int | None = None
    hour: float | None = None
    day: int | None = None
    pump_state: str | None = None
    file: str = COMMAND_LINE
    line: int | None = None

    def mistake(self, key: str, message: str) -> Problem:
        """A mistake at one of the readings."""
        path = f"{self.place}.{key}" if self.place else f"--{key.replace('_', '-')}"
        return Problem(path, self.line, message)


def readings_of_options(written: Mapping[str, str]) -> Readings:
    """Readings given as options of the command line.

    Parameters:
        written: the texts by key
    Returns:
        the readings
    Raises:
        SiteFileError: with every mistake
    """
    made, problems = _one(written, "", {})
    if problems or made is None:
        raise SiteFileError(COMMAND_LINE, problems)
    return made


def load_readings(path: str | FilePath) -> tuple[Readings, ...]:
    """Readings of a file: TOML with a table [[reading]] for each time, or CSV with named columns.

    Parameters:
        path: the file; one whose name ends in .csv is read as CSV
    Returns:
        the readings in the order of the file
    Raises:
        SiteFileError: the file can't be read or has mistakes; it lists all of them
    """
    name = str(path)
    text = _text(FilePath(path), name)
    if name.lower().endswith(".csv"):
        rows, problems = rows_of_csv(text, FIELDS, WORDS)
    else:
        rows, problems = _of_toml(text)
    found = []
    for place, row, lines in rows:
        made, wrong = _one(row, place, lines)
        problems += wrong
        found += [] if made is None else [replace(made, file=name, line=lines.get("") or None)]
    if not rows and not problems:
        message = 'holds no reading: write a table [[reading]] with, say, element_amps = "8.4 A"'
        problems.append(Problem("", None, message))
    if problems:
        raise SiteFileError(name, sorted(problems, key=lambda each: each.line or 0))
    return tuple(found)


def _of_toml(text: str) -> tuple[list[Row], list[Problem]]:
    raw = read_toml(text)
    problems = list(raw.problems)
    tables = raw.tables or {}
    lines = lines_of(text)
    for key in tables:
        if key != "reading":
            message = "is no key here: readings stand in tables [[reading]]"
            problems.append(Problem(_plain(key), line_of(lines, (key,)), message))
    given = tables.get("reading", [])
    if not isinstance(given, list) or not all(isinstance(each, dict) for each in given):
        message = "takes double brackets: write [[reading]], as there may be several"
        problems.append(Problem("reading", line_of(lines, ("reading",)), message))
        return [], problems
    rows: list[Row] = []
    for index, table in enumerate(given):
        at = {key: line_of(lines, ("reading", index, key)) or 0 for key in table}
        at[""] = line_of(lines, ("reading", index)) or 0
        rows.append((f"reading[{index + 1}]", table, at))
    return rows, problems


def _one(
    written: Mapping[str, Any], place: str, lines: Mapping[str, int]
) -> tuple[Readings | None, list[Problem]]:
    """Readings of one time from their texts, or what is wrong with them."""
    problems: list[Problem] = []

    def wrong(key: str, message: str) -> None:
        named = f"{place}.{key}" if place and key else place or f"--{key.replace('_', '-')}"
        line = lines.get(key) or lines.get("") or None
        problems.append(Problem(_plain(named), line, _plain(message)))

    values: dict[str, Quantity] = {}
    words: dict[str, Any] = {}
    for key, value in written.items():
        if key in FIELDS:
            try:
                values[key] = read_value(value, *FIELDS[key])
            except UnreadableQuantity as error:
                wrong(key, str(error))
        elif key in WORDS:
            try:
                words |= read_word(key, value)
            except ValueError as error:
                wrong(key, str(error))
        elif key not in REMARKS:
            near = nearest(key_of(str(key)), (*FIELDS, *WORDS), 0.6)
            known = ", ".join((*FIELDS, *WORDS))
            hint = f'did you mean "{near}"?' if near else f"expected one of {known}"
            wrong(str(key), f"is no reading, {hint}")
    for group in TOGETHER:
        there = [key for key in group if key in written]
        for key in group if there else ():
            if key not in written:
                wrong(there[0], f"says nothing without {key.replace('_', ' ')}: give both")
    for key, other in NEEDS.items():
        if key in written and other not in written:
            wrong(key, f"says nothing without {other.replace('_', ' ')}: give both")
    if not set(written) & (set(FIELDS) - SURROUNDINGS) and not problems:
        wrong("", "holds no reading: give, say, element_amps or fill_time")
    return (None if problems else Readings(place, values, **words)), problems


def check_pumps(given: Sequence[Readings], names: Sequence[str]) -> None:
    """Refuse readings of a pump that the site does not have.

    Parameters:
        given: the readings
        names: of the site's pumps
    Raises:
        SiteFileError: with every such reading and the pumps there are
    """
    known = ", ".join(quoted(each) for each in names) or "the site file has none"
    wrong = [
        (each.file, each.mistake("pump", f"{quoted(each.pump)} is no pump of the site: {known}"))
        for each in given
        if each.pump is not None and each.pump not in names
    ]
    if wrong:
        file = wrong[0][0]
        raise SiteFileError(file, [each for where, each in wrong if where == file])


def _plain(text: object) -> str:
    return "".join(each if each.isprintable() else " " for each in str(text))


def _text(path: FilePath, name: str) -> str:
    def whole(message: str) -> SiteFileError:
        return SiteFileError(name, [Problem("", None, message)])

    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise whole("no such file: name one of readings, TOML or CSV") from None
    except IsADirectoryError:
        raise whole("is a folder: name the file of readings in it") from None
    except OSError as error:
        raise whole(f"can't be read ({error.strerror})") from None
    except ValueError:
        raise whole("is no name that a file can have") from None
    if len(content) > LARGEST_FILE:
        raise whole("is larger than 1 MB: readings are a text of some kilobytes")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise whole("is not UTF-8 text: save it as UTF-8") from None
    if "\0" in text:
        raise whole("is no text file: readings are a text, TOML or CSV")
    return text.replace("\r\n", "\n").replace("\r", "\n")
