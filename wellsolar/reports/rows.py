"""What every report is made of: sections of rows and grids, whose cells carry their units."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from wellsolar.kinds import Kind, Shown
from wellsolar.results.entries import CLOCK, NOT_KNOWN, Entry, entries_of
from wellsolar.units import Quantity, System, show_some
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
    nothing: str = NOT_KNOWN


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
    row_cells: list[Cell] = []
    for column, value in zip(columns, values, strict=True):
        if column.kind is None or value is None or isinstance(value, (str, Sentence)):
            row_cells.append(value if not isinstance(value, (int, float)) else str(value))
        else:
            row_cells.append(Quantity(value, column.kind))
    return tuple(row_cells)


Result = TypeVar("Result")


class Listed(Generic[Result]):
    """The fields of a result that a table shows, in their order: a name that the result has not
    declared is an error where the list is made, at import."""

    def __init__(
        self,
        result: type[Result],
        *fields: str | tuple[str, str | Entry | Callable[[Result], str | Sentence]],
    ) -> None:
        """List fields by name, or in a pair with a label, a whole entry or a reason of its own.

        Parameters:
            fields: names of its fields and properties, each declared by an `Entry`
        """
        self.entries: list[tuple[str, Entry]] = []
        self.reasons: dict[str, Callable[[Result], str | Sentence]] = {}
        declared = entries_of(result)  # type: ignore[arg-type]  # a class is hashable
        for field in fields:
            name, own = (field, None) if isinstance(field, str) else field
            if not isinstance(own, Entry) and name not in declared:
                raise TypeError(f"{result.__name__}.{name} declares no entry of a report")
            if isinstance(own, str):
                entry = replace(declared[name], label=own)
            else:
                entry = own if isinstance(own, Entry) else declared[name]
            if own is not None and not isinstance(own, (str, Entry)):
                self.reasons[name] = own
            self.entries.append((name, entry))

    def rows(
        self,
        result: Result,
        prefix: str = "",
        why: Mapping[str, str | Sentence] | None = None,
        without: Collection[str] = (),
    ) -> list[Row]:
        """The fields of one result as rows.

        Parameters:
            prefix: before each key
            why: reasons that this table knows, in place of the declared ones, by field
            without: fields that this result leaves out
        """
        reasons = why or {}
        assert set(reasons) | set(without) <= {name for name, _ in self.entries}
        all_rows = []
        for name, entry in self.entries:
            value = getattr(result, name)
            if name in without or (value is None and entry.optional):
                continue
            reason: str | Sentence = entry.why
            if value is None and entry.lacking is not None:
                reason = entry.lacking
            if name in self.reasons:
                reason = self.reasons[name](result)
            reason = reasons.get(name, reason)
            key = prefix + (entry.key or name)
            cell = _cell(value, entry)
            all_rows.append(Row(key, entry.label, cell, reason, entry.kind, entry.nothing))
        return all_rows

    def columns(self, without: Collection[str] = ()) -> tuple[Column, ...]:
        """The fields as the columns of a grid, but for some."""
        return tuple(
            Column(entry.key or name, entry.label, entry.kind)
            for name, entry in self.entries
            if name not in without
        )

    def cells(self, result: Result, without: Collection[str] = ()) -> tuple[Cell, ...]:
        """One result as a row of a grid, but for some fields."""
        return tuple(
            _cell(getattr(result, name), entry)
            for name, entry in self.entries
            if name not in without
        )

    def grid(
        self,
        key: str,
        title: str,
        results: Iterable[Result],
        note: str = "",
        foot: int = 0,
        without: Collection[str] = (),
    ) -> Grid:
        """A grid with a row for each result, but for some fields."""
        rows = tuple(self.cells(result, without) for result in results)
        return Grid(key, title, self.columns(without), rows, note, foot)


def _cell(value: float | str | Sentence | None, entry: Entry) -> Cell:
    if value is None:
        return entry.nothing if entry.kind is None and entry.nothing != NOT_KNOWN else None
    if isinstance(value, Sentence):
        return value
    if entry.kind is None or isinstance(value, str):
        return entry.words(value)
    return Quantity(value, entry.kind)


def cell_text(cell: Cell, system: System, nothing: str = "-") -> str:
    """A cell as it is printed, with its unit.

    Parameters:
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
    if cell.kind.name == CLOCK.name:
        minutes = round(cell / 60)
        return f"{minutes // 60}:{minutes % 60:02d}"
    return show_some(cell, system, less="<")


def number_text(cell: Cell, system: System, nothing: str = "-") -> str:
    """A cell as it is printed below a header that already names its unit."""
    text = cell_text(cell, system, nothing)
    if not isinstance(cell, Quantity) or text == nothing:
        return text
    unit = header_unit(cell.kind, system)
    return text.removesuffix(unit).rstrip() if unit else text


def header_unit(kind: Kind | None, system: System) -> str:
    """The one unit in which a kind is printed; empty where it has none or several."""
    if kind is None or kind.name == CLOCK.name:
        return ""
    choices: tuple[Shown, ...] = kind.us if system == "US" else kind.metric
    return choices[0].label if len(choices) == 1 else ""


def unit_name(name: str, kind: Kind | None) -> str:
    """A key with its SI unit at the end, as JSON has it."""
    return f"{name}_{kind.key}" if kind is not None else name
