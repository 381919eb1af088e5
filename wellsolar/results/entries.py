"""What a report says of a field of a result, declared once beside the field."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any, get_type_hints

from wellsolar.kinds import Kind

NOT_KNOWN = "not known"


@dataclass(frozen=True)
class Entry:
    """How a field stands in a report: `flow: Annotated[float, Entry("flow", kinds.FLOW)]`.

    label: what the trade calls it
    kind: of its number; None for words
    why: where it comes from or what it means; may be empty
    lacking: the same where there is no number
    nothing: what is printed for a number that there is not, and stands for words that are not
    key: its name in the JSON, where that is not the field's
    optional: True where nothing is printed of a number that there is not
    words: puts the value into words
    """

    label: str
    kind: Kind | None = None
    why: str = ""
    lacking: str | None = None
    nothing: str = NOT_KNOWN
    key: str = ""
    optional: bool = False
    words: Callable[[Any], str] = str


@cache
def entries_of(result: type) -> dict[str, Entry]:
    """The declared entries of a result's fields and properties, by their names.

    Parameters:
        result: a class of results
    Returns:
        name of the field -> its entry
    """
    hints = get_type_hints(result, include_extras=True)
    for name in dir(result):
        member = getattr(result, name)
        if isinstance(member, property):
            hints[name] = get_type_hints(member.fget, include_extras=True)["return"]
    return {
        name: part
        for name, hint in hints.items()
        for part in getattr(hint, "__metadata__", ())
        if isinstance(part, Entry)
    }


MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def month_name(month: int) -> str:
    """The short name of a month from 1 to 12."""
    return MONTHS[month - 1]


def month_or_year(month: int) -> str:
    """The short name of a month, or of the year that stands as month 0."""
    return month_name(month) if month else "year"


MONTH = Entry("month", words=month_name)
"""Of every field that is a month from 1 to 12."""
