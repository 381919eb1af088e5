"""A CSV of named columns: its heads with their units, and its lines as cells."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Collection, Iterator
from io import StringIO
from itertools import islice

from wellsolar.errors import Problem
from wellsolar.wording import nearest, quoted

_UNIT = re.compile(r"^(.*?)\s*(?:[(\[]\s*([^()\[\]]+?)\s*[)\]]|,\s*(\S.*))\s*$")


def lines_of_cells(text: str) -> Iterator[tuple[int, list[str] | None]]:
    """The lines of a CSV that hold anything; one that begins with # is a remark.

    Cells are parted by commas, or by semicolons where the first line has some and no comma.

    Returns:
        number of each line, from 1, and its cells; None where a quote is left open
    """
    parted = ""
    for number, line in enumerate(text.split("\n"), 1):
        if line.strip(" \t,;") and not line.lstrip().startswith("#"):
            parted = parted or (";" if ";" in line and "," not in line else ",")
            yield number, _cells(line, parted)


def _cells(line: str, parted: str) -> list[str] | None:
    """The cells of a line; None where a quote is left open."""
    try:
        return next(csv.reader(StringIO(line), delimiter=parted, strict=True))
    except (csv.Error, StopIteration):
        return None


def head_and_unit(cell: str) -> tuple[str, str]:
    """The name of a column and the unit that its head names, as in `element amps (A)`: name and
    unit, each without the other; the unit may be empty."""
    match = _UNIT.match(cell.strip())
    if match is None:
        return cell.strip(), ""
    return match.group(1), (match.group(2) or match.group(3) or "").strip()


WrittenRow = tuple[int, dict[str, str]]
"""The number of a line and its texts by key."""

MOST_LINES, MOST_COLUMNS = 1000, 200
"""Lines and columns that such a file may have."""

REMARKS = ("note", "notes", "remark", "remarks", "comment", "comments")
"""Columns whose words are for people and are passed over."""


def named_rows(
    text: str,
    thing: str,
    known: Collection[str],
    quantities: Collection[str],
    with_unit: Callable[[str, str], str],
) -> tuple[list[WrittenRow], list[Problem]]:
    """The lines of a CSV whose first line names its columns; one that begins with # is a remark.

    Parameters:
        text: of the file, of no more lines and columns than `is_flood` lets through
        thing: what a column is, for messages
        known: names that columns may have, spaces as underscores
        quantities: those of them whose heads may name a unit
        with_unit: a cell with the unit of its head
    Returns:
        the lines that hold anything, and what is wrong
    """
    numbered = list(lines_of_cells(text))
    if not numbered:
        return [], []
    first_line, first = numbered[0]
    heads, head_units = _heads(first or [], quantities)
    problems = _unknown(heads, first_line, thing, known)
    rows: list[WrittenRow] = []
    for number, cells in numbered[1:]:
        if cells is None:
            problems.append(Problem("", number, "can't be read as CSV: a quote is left open"))
        elif len([cell for cell in cells if cell.strip()]) > len(heads) or any(
            cell.strip() for cell in cells[len(heads) :]
        ):
            message = f"has {len(cells)} cells, the first line names {len(heads)} columns"
            problems.append(Problem("", number, message))
        else:
            row = {
                key: with_unit(cell.strip(), unit)
                for key, unit, cell in zip(heads, head_units, cells, strict=False)
                if cell.strip() and key in known
            }
            if row:
                rows.append((number, row))
    return rows, problems


def is_flood(text: str) -> bool:
    """Whether a CSV has more lines or columns than may be looked at."""
    numbered = list(islice(lines_of_cells(text), MOST_LINES + 2))
    columns = len(numbered[0][1] or []) if numbered else 0
    return columns > MOST_COLUMNS or len(numbered) > MOST_LINES + 1


def key_of(text: str) -> str:
    """The key that a head or a misspelt key stands for.

    Returns:
        in small letters, with underscores
    """
    return re.sub(r"[ -]+", "_", text.strip().lower())


def _heads(cells: list[str], quantities: Collection[str]) -> tuple[list[str], list[str]]:
    """Keys of the columns, and the units that their heads name: `element amps (A)`."""
    heads, units = [], []
    for cell in cells:
        head, unit = head_and_unit(cell)
        name = key_of(head)
        if name not in quantities:
            name, unit = key_of(cell) if key_of(cell) in quantities else name, ""
        heads.append(name)
        units.append(unit)
    return heads, units


def _unknown(heads: list[str], line: int, thing: str, known: Collection[str]) -> list[Problem]:
    """Heads that are none of those known, or stand twice."""
    problems = []
    for place, key in enumerate(heads):
        if not key or key in REMARKS:
            continue
        if key not in known:
            near = nearest(key, known, 0.6)
            hint = f'did you mean "{near}"?' if near else f"expected one of {', '.join(known)}"
            problems.append(Problem(quoted(key), line, f"is no {thing}, {hint}"))
        elif key in heads[:place]:
            problems.append(Problem(key, line, "has two columns: keep one"))
    return problems
