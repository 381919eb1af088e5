"""A single reading as people write it: a value with how far it may be off, or a word."""

from __future__ import annotations

import re
from calendar import month_name
from collections.abc import Callable
from typing import Any

from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.site.fields import Reads
from wellsolar.units import Quantity, UnreadableQuantity, read
from wellsolar.wording import as_written, quoted

SKIES = ("clear", "thin cloud", "overcast")
"""Words for the sky."""

STATES = ("on", "off")
"""Words for a pump."""

VALVE = ("open", "shut")
"""Words for a valve."""

MOST_LINES = 999
"""Lines that a sheet may have."""

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?")
_EITHER_WAY = re.compile(r"^(.*?)\s*(?:\+-|\+/-|±)\s*(.*)$", re.DOTALL)
_DATE = re.compile(r"^(?:\d{4}-)?(\d{1,2})(?:-(\d{1,2}))?$")
_SLASHED = re.compile(r"^(\d{1,2})/(\d{1,2})(?:/\d{4})?$")
_TIME = re.compile(r"^(\d{1,2}):(\d{2})(?::\d{2})?\s*([ap]m)?$", re.IGNORECASE)
_LINES = re.compile(r"(\d{1,4})(?:-(\d{1,4}))?")
_DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def read_value(written: object, reader: Reads, bare: str) -> Quantity:
    """A reading with how far it may be off.

    Parameters:
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
    middle, off_by = (match.group(1), match.group(2).strip()) if match else (text, "")
    unit = _unit_of(off_by)
    if match and unit not in ("", "%") and _NUMBER.fullmatch(middle.strip()):
        # "8.4 +- 0.1 A": the unit stands once, after both.
        middle = f"{middle} {unit}"
    middle = _with_unit(middle, bare)
    value = _single(reader.read(middle))
    if match is None:
        return value
    off = _off(off_by, value, middle, reader.kind, text)
    low, high = value - off, value + off
    if reader.least is not None:
        low = max(low, reader.least)
    if reader.above is not None and low <= reader.above:
        raise UnreadableQuantity(f"{quoted(text)}: may be off by less than the value itself")
    return Quantity(value, reader.kind, low, high, text)


def with_column_unit(text: str, unit: str) -> str:
    """A cell with the unit of its column's head, where it has none of its own.

    Returns:
        such as `8.4 A +- 0.1` of `8.4 +- 0.1`
    """
    match = _EITHER_WAY.match(text.strip())
    middle = match.group(1) if match else text
    bare = not unit or not _NUMBER.fullmatch(middle.strip())
    if bare or (match and _unit_of(match.group(2).strip()) not in ("", "%")):
        return text
    whole = f"{middle.strip()} {unit}"
    return f"{whole} +- {match.group(2)}" if match else whole


def read_word(key: str, value: object) -> dict[str, Any]:
    """What a word says.

    Parameters:
        key: one of `WORD_READERS`
    Returns:
        fields of `Readings`
    Raises:
        ValueError: with what is wrong
    """
    if isinstance(value, list) and value and all(type(item) in (int, str) for item in value):
        value = ", ".join(str(item) for item in value)
    text = str(value).strip() if not isinstance(value, (bool, dict, list)) else ""
    if not text:
        raise ValueError(f"{as_written(value)}: expected a text in quotes")
    return WORD_READERS[key](text)


def _one_of(text: str, words: tuple[str, ...], what: str) -> str:
    """One of a few words, in small letters."""
    if text.lower() not in words:
        known = ", ".join(quoted(word) for word in words)
        raise ValueError(f"{quoted(text)} is no {what}: expected one of {known}")
    return text.lower()


def _date(text: str) -> dict[str, Any]:
    """A date, a month by name or number, or a date with its time."""
    names = [name.lower() for name in month_name]
    if text.lower() in names[1:]:
        return {"month": names.index(text.lower()), "day": None}
    day, parted, clock = text.replace("T", " ", 1).partition(" ")
    at_time = {"hour": _hour(clock.strip())} if parted and clock.strip() else {}
    slashed = _SLASHED.match(day)
    if slashed:
        return _of_slashes(text, int(slashed.group(1)), int(slashed.group(2))) | at_time
    match = _DATE.match(day)
    month = int(match.group(1)) if match else 0
    of_month = match.group(2) if match else None
    if not 1 <= month <= 12 or not 1 <= int(of_month or 1) <= _DAYS[month - 1]:
        raise ValueError(
            f'{quoted(text)} is no date: expected one as "2026-02-14", or a month as "2"'
        )
    return {"month": month, "day": None if of_month is None else int(of_month)} | at_time


def _of_slashes(text: str, first: int, second: int) -> dict[str, Any]:
    """A date as spreadsheets write it, whichever of its numbers comes first."""
    possible = {
        (month, day)
        for month, day in ((first, second), (second, first))
        if 1 <= month <= 12 and 1 <= day <= _DAYS[month - 1]
    }
    if len(possible) != 1:
        what = "is one of two dates" if possible else "is no date"
        raise ValueError(f'{quoted(text)} {what}: write it as "2026-02-14"')
    ((month, day),) = possible
    return {"month": month, "day": day}


def _hour(text: str) -> float:
    """A time of day [h]."""
    match = _TIME.match(text)
    hour, minute = (int(match.group(1)), int(match.group(2))) if match else (99, 0)
    half = (match.group(3) or "").lower() if match else ""
    if half and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half == "pm" else 0)
    elif half:
        hour = 99
    if hour > 23 or minute > 59:
        raise ValueError(f'{quoted(text)} is no time of day: expected one as "14:30"')
    return hour + minute / 60


def _numbers(text: str) -> tuple[int, ...]:
    """Numbers of the sheet's lines: single ones and runs of them, each once, in their order."""
    numbers: set[int] = set()
    for word in re.split(r"[,;\s]+", re.sub(r"\s*-\s*", "-", text)):
        match = _LINES.fullmatch(word)
        first, last = (int(match.group(1)), int(match.group(2) or match.group(1))) if match else (
            0, 0)  # fmt: skip
        if not 1 <= first <= last <= MOST_LINES:
            raise ValueError(
                f'{quoted(text)}: expected numbers of lines of the sheet, as "21, 24-28"'
            )
        numbers |= set(range(first, last + 1))
    return tuple(sorted(numbers))


WORD_READERS: dict[str, Callable[[str], dict[str, Any]]] = {
    "pump": lambda text: {"pump": text},
    "sky": lambda text: {"sky": _one_of(text, SKIES, "sky")},
    "pump_state": lambda text: {"pump_state": _one_of(text, STATES, "state of a pump")},
    "house_main": lambda text: {"house_main": _one_of(text, VALVE, "state of a valve")},
    "proven": lambda text: {"proven": _numbers(text)},
    "failed": lambda text: {"failed": _numbers(text)},
    "date": _date,
    "time": lambda text: {"hour": _hour(text)},
}
"""How each word is read, to fields of `Readings`."""


def _off(text: str, value: Quantity, middle: str, kind: Kind, whole: str) -> float:
    """How far either side a reading may lie, in SI."""
    number = _NUMBER.match(text)
    if number is None or float(number.group()) < 0:
        raise UnreadableQuantity(
            f"cannot read {quoted(whole)}: after +- comes how far off it may be, e.g. "
            f'"{kind.example} +- 2 %"'
        )
    size, unit = float(number.group()), _unit_of(text)
    if unit == "%":
        return abs(value) * size / 100.0
    own = _NUMBER.sub("", middle, count=1).strip()
    if kind is kinds.TEMPERATURE or not unit:
        if unit and unit.casefold() != own.casefold():
            raise UnreadableQuantity(
                f"{quoted(whole)}: write what it may be off in the same unit, {own}"
            )
        unit = own
    # A difference of two readings, so that a scale with another zero does no harm.
    try:
        return abs(read(f"{size} {unit}", kind) - read(f"0 {unit}", kind))
    except UnreadableQuantity as error:
        raise UnreadableQuantity(f"{quoted(whole)}, after +-: {error}") from None


def _unit_of(text: str) -> str:
    """What follows a number."""
    number = _NUMBER.match(text)
    return "" if number is None else text[number.end() :].strip()


def _with_unit(text: str, bare: str) -> str:
    """A number without its unit with that; any other text as it is."""
    text = text.strip()
    return f"{text} {bare}" if bare and _NUMBER.fullmatch(text) else text


def _single(value: Quantity | tuple[Quantity, ...]) -> Quantity:
    """What a reader of one quantity gives."""
    assert isinstance(value, Quantity)
    return value
