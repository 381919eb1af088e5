"""Readings of the finished job, from the command line or a file, in the site's own grammar.

A value may carry how far it can be off: `"8.4 A +- 0.1"`, `"8.4 A +- 2 %"`, or a range as in a
site file. Amperes, volts, seconds and watts per square metre may be written without their unit.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass
from io import StringIO
from pathlib import Path as FilePath
from typing import Any

from wellsolar import kinds
from wellsolar.errors import Problem, SiteFileError
from wellsolar.kinds import Kind
from wellsolar.site.fields import Reads
from wellsolar.site.locate import line_of, lines_of
from wellsolar.site.syntax import read_toml
from wellsolar.units import Quantity, UnreadableQuantity, read
from wellsolar.wording import as_written, nearest, quoted

SKIES = ("clear", "thin cloud", "overcast")
"""Words for the sky."""

COMMAND_LINE = "command line"
LARGEST_FILE = 1_000_000

_AMPERES = Reads(kinds.CURRENT, least=0.0, most=2000.0)
_VOLTS = Reads(kinds.VOLTAGE, least=0.0, most=1500.0)
_SECONDS = Reads(kinds.DURATION, above=0.0, most=1.0e6)
_PRESSURE = Reads(kinds.PRESSURE, least=0.0, most=2.0e6)
_LEVEL = Reads(kinds.LENGTH, least=0.0, most=2000.0)
_WATER = Reads(kinds.TEMPERATURE, least=0.0, most=120.0)
_AIR = Reads(kinds.TEMPERATURE, least=-60.0, most=100.0)

FIELDS: dict[str, tuple[Reads, str]] = {
    "element_amps": (_AMPERES, "A"),
    "element_volts": (_VOLTS, "V"),
    "irradiance": (Reads(kinds.IRRADIANCE, above=0.0, most=2000.0), "W/m2"),
    "cell_temperature": (_AIR, ""),
    "gauge_pressure": (_PRESSURE, ""),
    "fill_time": (_SECONDS, "s"),
    "bucket_volume": (Reads(kinds.VOLUME, above=0.0, most=100.0), ""),
    "bucket_time": (_SECONDS, "s"),
    "static_level": (_LEVEL, ""),
    "precharge": (_PRESSURE, ""),
    "evening_pressure": (_PRESSURE, ""),
    "morning_pressure": (_PRESSURE, ""),
    "hours_between": (Reads(kinds.DURATION, above=0.0, most=1.0e6), "h"),
    "tank_temperature": (_WATER, ""),
    "tap_temperature": (_WATER, ""),
}
"""Every reading that is a quantity, and the unit of a number without one."""

WORDS = ("pump", "sky", "date", "time")
TOGETHER = (
    ("bucket_volume", "bucket_time"),
    ("evening_pressure", "morning_pressure", "hours_between"),
)
"""Readings of which one says nothing without the others."""

SURROUNDINGS = {"irradiance", "cell_temperature"}
"""What only says under which sun the others were read."""

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?")
_EITHER_WAY = re.compile(r"^(.*?)\s*(?:\+-|\+/-|±)\s*(.*)$", re.DOTALL)
_DATE = re.compile(r"^(?:\d{4}-)?(\d{1,2})(?:-(\d{1,2}))?$")
_TIME = re.compile(r"^(\d{1,2}):(\d{2})$")
_DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


@dataclass(frozen=True)
class Readings:
    """Readings taken at one time.

    place: where they stand, for messages; values: by key, in SI with their ends
    month: 1 to 12; hour: of the day [h]; each None where it was not said
    """

    place: str
    values: Mapping[str, Quantity]
    pump: str | None = None
    sky: str | None = None
    month: int | None = None
    hour: float | None = None


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
    rows, problems = _of_csv(text) if name.lower().endswith(".csv") else _of_toml(text)
    found = []
    for place, row, lines in rows:
        made, wrong = _one(row, place, lines)
        problems += wrong
        found += [] if made is None else [made]
    if not rows and not problems:
        message = 'holds no reading: write a table [[reading]] with, say, element_amps = "8.4 A"'
        problems.append(Problem("", None, message))
    if problems:
        raise SiteFileError(name, sorted(problems, key=lambda each: each.line or 0))
    return tuple(found)


_Row = tuple[str, dict[str, Any], dict[str, int]]


def _of_toml(text: str) -> tuple[list[_Row], list[Problem]]:
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
    rows: list[_Row] = []
    for index, table in enumerate(given):
        at = {key: line_of(lines, ("reading", index, key)) or 0 for key in table}
        at[""] = line_of(lines, ("reading", index)) or 0
        rows.append((f"reading[{index + 1}]", table, at))
    return rows, problems


def _of_csv(text: str) -> tuple[list[_Row], list[Problem]]:
    """Rows of a CSV; a line that begins with # is a remark."""
    numbered = [
        (number, line)
        for number, line in enumerate(text.split("\n"), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not numbered:
        return [], []
    try:
        read_rows = [next(csv.reader(StringIO(line), strict=True)) for _, line in numbered]
    except (csv.Error, StopIteration):
        return [], [Problem("", None, "can't be read as CSV: a quote is left open in a line")]
    head = [_key(each) for each in read_rows[0]]
    rows: list[_Row] = []
    problems = []
    for (number, _), cells in zip(numbered[1:], read_rows[1:], strict=True):
        if len(cells) > len(head):
            message = f"has {len(cells)} cells, the first line names {len(head)} columns"
            problems.append(Problem("", number, message))
            continue
        row = {key: cell.strip() for key, cell in zip(head, cells, strict=False) if cell.strip()}
        if row:
            rows.append((f"line {number}", row, {"": number, **dict.fromkeys(row, number)}))
    return rows, problems


def _key(text: str) -> str:
    return text.strip().lower().replace(" ", "_").replace("-", "_")


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
                words |= _word(key, value)
            except ValueError as error:
                wrong(key, str(error))
        else:
            near = nearest(_key(str(key)), (*FIELDS, *WORDS), 0.6)
            known = ", ".join((*FIELDS, *WORDS))
            hint = f'did you mean "{near}"?' if near else f"expected one of {known}"
            wrong(str(key), f"is no reading, {hint}")
    for group in TOGETHER:
        there = [key for key in group if key in written]
        for key in group if there else ():
            if key not in written:
                wrong(there[0], f"says nothing without {key.replace('_', ' ')}: give both")
    if not set(written) & (set(FIELDS) - SURROUNDINGS) and not problems:
        wrong("", "holds no reading: give, say, element_amps or fill_time")
    return (None if problems else Readings(place, values, **words)), problems


def read_value(written: object, reader: Reads, bare: str) -> Quantity:
    """A reading with how far it may be off.

    Parameters:
        written: a text or a number
        reader: its kind and bounds
        bare: the unit of a number without one; empty where it needs its unit
    Returns:
        the quantity; its ends are those of the reading
    Raises:
        UnreadableQuantity: with what was written and what was expected
    """
    if isinstance(written, (int, float)) and not isinstance(written, bool):
        written = repr(written)
    if not isinstance(written, str):
        return _single(reader.read(written))
    text = written.strip()
    match = _EITHER_WAY.match(text)
    middle = _with_unit(match.group(1) if match else text, bare)
    value = _single(reader.read(middle))
    if match is None:
        return value
    off = _off(match.group(2).strip(), value, middle, reader.kind, text)
    low, high = float(value) - off, float(value) + off
    if reader.least is not None:
        low = max(low, reader.least)
    return Quantity(float(value), reader.kind, low, high, text)


def _off(text: str, value: Quantity, middle: str, kind: Kind, whole: str) -> float:
    """How far either side a reading may lie, in SI."""
    number = _NUMBER.match(text)
    if number is None or float(number.group()) < 0:
        raise UnreadableQuantity(
            f"cannot read {quoted(whole)}: after +- comes how far off it may be, e.g. "
            f'"{kind.example} +- 2 %"'
        )
    size, unit = float(number.group()), text[number.end() :].strip()
    if unit == "%":
        return abs(float(value)) * size / 100.0
    own = _NUMBER.sub("", middle, count=1).strip()
    if kind is kinds.TEMPERATURE or not unit:
        if unit and unit.casefold() != own.casefold():
            raise UnreadableQuantity(
                f"{quoted(whole)}: write what it may be off in the same unit, {own}"
            )
        unit = own
    # A difference of two readings, so that a scale with another zero does no harm.
    return abs(float(read(f"{size} {unit}", kind)) - float(read(f"0 {unit}", kind)))


def _with_unit(text: str, bare: str) -> str:
    text = text.strip()
    return f"{text} {bare}" if bare and _NUMBER.fullmatch(text) else text


def _single(value: Quantity | tuple[Quantity, ...]) -> Quantity:
    assert isinstance(value, Quantity)
    return value


def _word(key: str, value: object) -> dict[str, Any]:
    """What a word says; ValueError with what is wrong."""
    text = str(value).strip() if not isinstance(value, (bool, dict, list)) else ""
    if key == "time" and text[5:] == ":00":
        text = text[:5]
    if not text:
        raise ValueError(f"{as_written(value)}: expected a text in quotes")
    if key == "pump":
        return {"pump": text}
    if key == "sky":
        if text not in SKIES:
            known = ", ".join(quoted(each) for each in SKIES)
            raise ValueError(f"{quoted(text)} is no sky: expected one of {known}")
        return {"sky": text}
    if key == "date":
        match = _DATE.match(text[:10])
        month = int(match.group(1)) if match else 0
        day = int(match.group(2) or 1) if match else 0
        if not 1 <= month <= 12 or not 1 <= day <= _DAYS[month - 1]:
            raise ValueError(
                f'{quoted(text)} is no date: expected one as "2026-02-14", or a month as "2"'
            )
        return {"month": month}
    match = _TIME.match(text)
    hour = int(match.group(1)) + int(match.group(2)) / 60 if match else 99.0
    if hour >= 24.0 or (match and int(match.group(2)) > 59):
        raise ValueError(f'{quoted(text)} is no time of day: expected one as "14:30"')
    return {"hour": hour}


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
