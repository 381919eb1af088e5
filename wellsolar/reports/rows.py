"""What every report is made of: sections of rows and grids, whose cells carry their units."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from wellsolar.kinds import Kind, Shown
from wellsolar.units import Quantity, System, show
from wellsolar.verdicts import Sentence

Cell = Quantity | Sentence | str | None
"""A number with its unit, words, or nothing where the number does not exist."""


@dataclass(frozen=True)
class Row:
    """One number or word with its label.

    key: short name, unique in its section
    label: what the trade calls it
    quantity: None where it is not known
    why: where it comes from or what it means; may be empty
    kind: the kind the quantity is, or would be if it were known; None for words
    nothing: what is printed for a quantity that is None
    """

    key: str
    label: str
    quantity: Cell
    why: str | Sentence = ""
    kind: Kind | None = None
    nothing: str = "not known"


@dataclass(frozen=True)
class Column:
    """One column of a grid; `kind` as in `Row`, None where it holds words."""

    key: str
    label: str
    kind: Kind | None = None


@dataclass(frozen=True)
class Grid:
    """A table of numbers.

    rows: each with a cell for each column
    note: what to know to read it; may be empty
    foot: so many last rows stand below a line
    """

    key: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    note: str = ""
    foot: int = 0


@dataclass(frozen=True)
class Section:
    """The numbers of one part of the house.

    question: what they answer, in the words of the one who asks
    """

    key: str
    title: str
    question: str
    rows: tuple[Row, ...]
    grids: tuple[Grid, ...] = ()


def quantity(value: float | None, kind: Kind) -> Quantity | None:
    """A number as a cell; None stays None."""
    return None if value is None else Quantity(value, kind)


def row(key: str, label: str, value: float | None, kind: Kind, why: str | Sentence = "") -> Row:
    """A row with a number of a kind."""
    return Row(key, label, quantity(value, kind), why, kind)


def cells(
    columns: Sequence[Column], values: Sequence[float | str | Sentence | None]
) -> tuple[Cell, ...]:
    """A grid's row from plain values, each number given the kind of its column."""
    made: list[Cell] = []
    for column, value in zip(columns, values, strict=True):
        if column.kind is None or value is None or isinstance(value, (str, Sentence)):
            made.append(value if not isinstance(value, (int, float)) else str(value))
        else:
            made.append(Quantity(value, column.kind))
    return tuple(made)


def cell_text(cell: Cell, system: System, nothing: str = "-") -> str:
    """A cell as it is printed, with its unit.

    Parameters:
        cell: the cell
        system: "US" or "SI"
        nothing: what stands for a number that does not exist
    Returns:
        text such as `203 ft`, or `14:20` for a time of day
    """
    if cell is None:
        return nothing
    if isinstance(cell, str):
        return cell
    if isinstance(cell, Sentence):
        return cell.text(system)
    if not math.isfinite(cell):
        return nothing
    if cell.kind.name == CLOCK_NAME:
        minutes = round(float(cell) / 60)
        return f"{minutes // 60}:{minutes % 60:02d}"
    return show(cell, cell.kind, system)


def number_text(cell: Cell, system: System, nothing: str = "-") -> str:
    """A cell as it is printed below a header that already names its unit."""
    text = cell_text(cell, system, nothing)
    if not isinstance(cell, Quantity) or text == nothing:
        return text
    unit = header_unit(cell.kind, system)
    return text.removesuffix(unit).rstrip() if unit else text


def header_unit(kind: Kind | None, system: System) -> str:
    """The one unit in which a kind is printed; empty where it has none or several."""
    if kind is None or kind.name == CLOCK_NAME:
        return ""
    choices: tuple[Shown, ...] = kind.us if system == "US" else kind.metric
    return choices[0].label if len(choices) == 1 else ""


def unit_name(name: str, kind: Kind | None) -> str:
    """A key with its SI unit at the end, as JSON has it."""
    return f"{name}_{kind.key}" if kind is not None else name


CLOCK_NAME = "time of day"

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def _own(name: str, si: str, key: str, example: str, unit: str, decimals: int) -> Kind:
    shown = (Shown(unit, unit, decimals),)
    return Kind(name, si, key, example, {unit: si}, shown, shown)


# Kinds that only results have: no key of a site file is written in them.
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
