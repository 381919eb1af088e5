"""Readings of the finished job, from the command line or a file, in the site's own grammar.

A value may carry how far it can be off: `"8.4 A +- 0.1"`, `"8.4 A +- 2 %"`, or a range as in a
site file. Amperes, volts, seconds and watts per square metre may be written without their unit.
"""

from __future__ import annotations

from calendar import month_name
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path as FilePath
from typing import Any

from wellsolar import kinds
from wellsolar.errors import MOST_TOLD, Problem, SiteFileError
from wellsolar.site.columns import (
    MOST_COLUMNS,
    MOST_LINES,
    REMARKS,
    is_flood,
    key_of,
    named_rows,
)
from wellsolar.site.fields import Reads
from wellsolar.site.inputs import text_of
from wellsolar.site.loading.syntax import read_toml
from wellsolar.site.locate import line_of, lines_of
from wellsolar.site.readings.table import KEYS, READINGS
from wellsolar.site.readings.values import (
    WORD_READERS,
    read_value,
    read_word,
    with_column_unit,
)
from wellsolar.units import Quantity, UnreadableQuantity
from wellsolar.wording import nearest, quoted

COMMAND_LINE = "command line"

WrittenRow = tuple[str, dict[str, Any], dict[str, int]]
"""Where a reading stands, its texts by key, and the line of each key; "" is the whole."""

TOO_MANY = (
    f"holds more than {MOST_LINES} readings, or more than {MOST_COLUMNS} columns or keys of one: "
    "name a file with fewer"
)

FIELDS: dict[str, tuple[Reads, str]] = {
    row.key: (
        Reads(getattr(kinds, row.kind), above=row.above, least=row.least, most=row.most),
        row.bare,
    )
    for row in READINGS
    if row.kind
}
"""Every reading that is a quantity, and the unit of a number without one."""

WORDS = tuple(row.key for row in READINGS if not row.kind)
"""Every reading that is a word."""

SURROUNDINGS = {row.key for row in READINGS if row.surrounding}
"""What says nothing by itself."""

BY_THEMSELVES = {row.key for row in READINGS if row.alone}
"""Words that say something without a quantity."""

if set(WORDS) != set(WORD_READERS):
    raise ValueError("the words of the table of readings are not those that can be read")


@dataclass(frozen=True)
class Readings:
    """Readings taken at one time.

    place: where they stand, for messages; values: by key, in SI with their ends
    month: 1 to 12; day: of the month; hour: of the day [h]; each None where it was not said
    pump_state: "on" or "off"; house_main: "open" or "shut"
    proven, failed: lines of the sheet that were tested
    file, line: where they stand, line None for the command line
    """

    place: str
    values: Mapping[str, Quantity]
    pump: str | None = None
    sky: str | None = None
    month: int | None = None
    hour: float | None = None
    day: int | None = None
    pump_state: str | None = None
    house_main: str | None = None
    proven: tuple[int, ...] = ()
    failed: tuple[int, ...] = ()
    file: str = COMMAND_LINE
    line: int | None = None

    @property
    def taken(self) -> str:
        """When they were taken, as far as it was said; empty where it was not."""
        words = []
        if self.month is not None:
            month = month_name[self.month]
            words.append(month if self.day is None else f"{self.day} {month}")
        if self.hour is not None:
            words.append(time_words(self.hour))
        return ", ".join(words)

    def mistake(self, key: str, message: str) -> Problem:
        """A mistake at one of the readings."""
        path = f"{self.place}.{key}" if self.place else f"--{key.replace('_', '-')}"
        return Problem(path, self.line, message)


def time_words(hour: float) -> str:
    """A time of day as `14:30`; hour: [h]."""
    minutes = round(hour * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def readings_of_options(written: Mapping[str, str]) -> Readings:
    """Readings given as options of the command line.

    Raises:
        SiteFileError: with every mistake
    """
    readings, problems = _one(written, "", {})
    if problems or readings is None:
        raise SiteFileError(COMMAND_LINE, problems)
    return readings


def load_readings(path: str | FilePath) -> tuple[Readings, ...]:
    """Readings of a file: TOML with a table [[reading]] for each time, or CSV with named columns.

    Parameters:
        path: the file; one whose name ends in .csv is read as CSV
    Raises:
        SiteFileError: the file can't be read or has mistakes; it lists all of them
    """
    name = str(path)
    text = text_of(path, "readings", "TOML or CSV")
    if name.lower().endswith(".csv"):
        rows, problems = _of_csv(text)
    else:
        rows, problems = _of_toml(text)
    times = []
    for place, row, lines in rows:
        readings, wrong = _one(row, place, lines, hints=len(problems) < MOST_TOLD)
        problems += wrong
        if readings is not None:
            times.append(replace(readings, file=name, line=lines.get("") or None))
    if not rows and not problems:
        message = 'holds no reading: write a table [[reading]] with, say, element_amps = "8.4 A"'
        problems.append(Problem("", None, message))
    if problems:
        raise SiteFileError(name, sorted(problems, key=lambda problem: problem.line or 0))
    return tuple(times)


def _of_csv(text: str) -> tuple[list[WrittenRow], list[Problem]]:
    """The lines of a CSV, and what is wrong with it."""
    if is_flood(text):
        return [], [Problem("", 1, TOO_MANY)]
    rows, problems = named_rows(text, "reading", KEYS, FIELDS, with_column_unit)
    at = [(number, row, dict.fromkeys(("", *row), number)) for number, row in rows]
    return [(f"line {number}", row, lines) for number, row, lines in at], problems


def _of_toml(text: str) -> tuple[list[WrittenRow], list[Problem]]:
    """The tables [[reading]] of a TOML, and what is wrong with it."""
    raw = read_toml(text)
    problems = list(raw.problems)
    tables = raw.tables or {}
    lines = lines_of(text)
    for key in tables:
        if key != "reading":
            message = "is no key here: readings stand in tables [[reading]]"
            problems.append(Problem(_plain(key), line_of(lines, (key,)), message))
    given = tables.get("reading", [])
    if not isinstance(given, list) or not all(isinstance(table, dict) for table in given):
        message = "takes double brackets: write [[reading]], as there may be several"
        problems.append(Problem("reading", line_of(lines, ("reading",)), message))
        return [], problems
    if len(given) > MOST_LINES or any(len(table) > MOST_COLUMNS for table in given):
        problems.append(Problem("reading", line_of(lines, ("reading",)), TOO_MANY))
        return [], problems
    rows: list[WrittenRow] = []
    for index, table in enumerate(given):
        at = {key: line_of(lines, ("reading", index, key)) or 0 for key in table}
        at[""] = line_of(lines, ("reading", index)) or 0
        rows.append((f"reading[{index + 1}]", table, at))
    return rows, problems


def _one(
    written: Mapping[str, Any], place: str, lines: Mapping[str, int], hints: bool = True
) -> tuple[Readings | None, list[Problem]]:
    """Readings of one time from their texts, or what is wrong with them, with hints where it is
    told and not only counted."""
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
            near = _nearest(key_of(str(key))) if hints else None
            hint = f'did you mean "{near}"?' if near else f"expected one of {', '.join(KEYS)}"
            wrong(str(key), f"is no reading, {hint}")
    for key, other in _left_alone(written):
        wrong(key, f"says nothing without {other.replace('_', ' ')}: give both")
    if not set(written) & ((set(FIELDS) - SURROUNDINGS) | BY_THEMSELVES) and not problems:
        wrong("", "holds no reading: give, say, element_amps or fill_time")
    return (None if problems else Readings(place, values, **words)), problems


@lru_cache(maxsize=256)
def _nearest(key: str) -> str | None:
    """The reading that a key may have been meant for."""
    return nearest(key, KEYS, 0.6)


def _left_alone(written: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Readings that say nothing without another, with the one that is missing."""
    for row in READINGS:
        group = (row.key, *row.together)
        first = next((key for key in group if key in written), None)
        if first is not None:
            yield from ((first, key) for key in group if key not in written)
        if row.needs and row.key in written and row.needs not in written:
            yield row.key, row.needs


def check_pumps(given: Sequence[Readings], names: Sequence[str]) -> None:
    """Refuse readings of a pump that the site does not have.

    Raises:
        SiteFileError: with every such reading and the pumps there are
    """
    known = ", ".join(quoted(name) for name in names) or "the site file has none"
    mistakes: dict[str, list[Problem]] = {}
    for readings in given:
        if readings.pump is not None and readings.pump not in names:
            message = f"{quoted(readings.pump)} is no pump of the site: {known}"
            mistakes.setdefault(readings.file, []).append(readings.mistake("pump", message))
    if mistakes:
        file = next(iter(mistakes))
        raise SiteFileError(file, mistakes[file])


def check_lines(given: Sequence[Readings], last: int) -> None:
    """Refuse lines that the site's sheet does not have, or that are both in order and not.

    Raises:
        SiteFileError: with every such line
    """
    mistakes: dict[str, list[Problem]] = {}
    for readings in given:
        for key, numbers in (("proven", readings.proven), ("failed", readings.failed)):
            beyond = [f"{number}" for number in numbers if number > last]
            if beyond:
                message = f"the site's sheet ends at line {last}, there is no {', '.join(beyond)}"
                mistakes.setdefault(readings.file, []).append(readings.mistake(key, message))
        both = sorted(set(readings.proven) & set(readings.failed))
        if both:
            message = f"line {both[0]} stands under proven too: keep it where it belongs"
            mistakes.setdefault(readings.file, []).append(readings.mistake("failed", message))
    if mistakes:
        file = next(iter(mistakes))
        raise SiteFileError(file, mistakes[file])


def _plain(text: object) -> str:
    """A text in one line that can be printed."""
    return "".join(sign if sign.isprintable() else " " for sign in str(text))
