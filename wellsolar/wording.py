"""How a message names what stands in a file: on one line, cut where it is long."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

_LONGEST = 120
_CUT = 60
_LARGEST = 10**15


def quoted(text: str) -> str:
    """A text of the file in quotes on one line, cut where it is long.

    Returns:
        printable text in double quotes
    """
    shown = text if len(text) <= _LONGEST else text[:_CUT]
    plain = "".join(letter if letter.isprintable() else " " for letter in shown)
    return f'"{plain}"' if len(text) <= _LONGEST else f'"{plain}..."'


def as_written(value: object) -> str:
    """A value of any type as a message names it: a text in quotes, a list as "a list"."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, int):
        return str(value) if abs(value) < _LARGEST else "a number too large to be meant"
    return _TYPE_NAMES.get(type(value).__name__, "a value of another type")


_TYPE_NAMES = {
    "dict": "a table",
    "list": "a list",
    "date": "a date",
    "datetime": "a date",
    "time": "a time of day",
}


def nearest(word: str, known: Iterable[str], cutoff: float) -> str | None:
    """The known word most like a misspelt one, whatever its capitals; None where none is.

    Parameters:
        cutoff: 0..1, how like it must be
    """
    plain = {name.casefold(): name for name in known if name}
    close = difflib.get_close_matches(word[:_CUT].casefold(), plain, n=1, cutoff=cutoff)
    return plain[close[0]] if close else None
