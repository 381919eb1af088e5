"""What a report says of a field of a result, declared once beside the field."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any, get_type_hints

from wellsolar.kinds import Kind, Shown

CLOCK_NAME = "time of day"


def _own(name: str, si: str, key: str, example: str, unit: str, decimals: int) -> Kind:
    shown = (Shown(unit, unit, decimals),)
    return Kind(name, si, key, example, {unit: si}, shown, shown)


ENERGY_PER_VOLUME = Kind(
    "energy per volume of water", "joule/meter**3", "J_per_m3", "2 Wh/gal",
    {"Wh/gal": "watt_hour/gallon", "kWh/m³": "kilowatt_hour/meter**3"},
    (Shown("Wh/gal", "Wh/gal", 2),), (Shown("kWh/m³", "kWh/m³", 2),),
)  # fmt: skip
SMALL_VOLTAGE = _own("voltage", "volt", "V", "1.5 V", "V", 3)
SATURATION_CURRENT = Kind(
    "saturation current", "ampere", "A", "0.3 nA", {"nA": "nanoampere"},
    (Shown("nA", "nA", 6),), (Shown("nA", "nA", 6),),
)  # fmt: skip
SMALL_VOLUME = Kind(
    "volume", "meter**3", "m3", "0.1 gal", {"gal": "gallon", "L": "liter"},
    (Shown("gal", "gal", 4),), (Shown("L", "L", 3),),
)  # fmt: skip
CLOCK = _own(CLOCK_NAME, "second", "s_from_midnight", "14:20", "s", 0)
DAYS = Kind(
    "days", "day", "days", "2 days", {"days": "day"},
    (Shown("days", "days", 1),), (Shown("days", "days", 1),),
)  # fmt: skip
WELL_LOSS = Kind(
    "well loss", "second**2/meter**5", "s2_per_m5", "2 s2/ft5",
    {"s2/ft5": "second**2/foot**5", "s2/m5": "second**2/meter**5"},
    (Shown("s²/ft⁵", "s2/ft5", 2),), (Shown("s²/m⁵", "s2/m5", 1),),
)  # fmt: skip
AQUIFER_LOSS = Kind(
    "aquifer loss", "second/meter**2", "s_per_m2", "3 ft/gpm",
    {"ft/gpm": "foot*minute/gallon", "m/(L/min)": "meter*minute/liter"},
    (Shown("ft/gpm", "ft/gpm", 4),), (Shown("m/(L/min)", "m/(L/min)", 5),),
)  # fmt: skip
STORAGE = Kind(
    "storage coefficient", "", "ratio", "1e-4", {"": ""},
    (Shown("", "", 9),), (Shown("", "", 9),),
)  # fmt: skip
WATER_AREA = Kind(
    "water for each length of casing", "meter**2", "m2", "1.4 gal/ft",
    {"gal/ft": "gallon/foot", "L/m": "liter/meter"},
    (Shown("gal/ft", "gal/ft", 3),), (Shown("L/m", "L/m", 2),),
)  # fmt: skip
A_DAY = Kind(
    "water of a day", "meter**3", "m3", "60 L", {"gal": "gallon", "L": "liter"},
    (Shown("gal/day", "gal", 0),), (Shown("L/day", "L", 0),), 3,
)  # fmt: skip
"""A day's water, as a volume."""

EFFORT = Kind(
    "effort", "second", "s", "12 min", {"min": "minute"},
    (Shown("min", "min", 0),), (Shown("min", "min", 0),),
)  # fmt: skip
WORK = _own("work", "joule", "J", "200 J", "J", 0)


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
    """The declared entries of a result's fields and properties, by their names."""
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
