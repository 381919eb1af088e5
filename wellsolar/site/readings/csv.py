"""Readings in a CSV: one line a time, columns by name, units in the heads or in the cells."""

from __future__ import annotations

import re
from collections.abc import Collection
from itertools import islice
from typing import Any

from wellsolar.errors import Problem
from wellsolar.site.columns import head_and_unit, lines_of_cells
from wellsolar.site.readings.table import KEYS
from wellsolar.site.readings.values import with_column_unit
from wellsolar.wording import nearest, quoted

WrittenRow = tuple[str, dict[str, Any], dict[str, int]]
"""Where a reading stands, its texts by key, and the line of each key; "" is the whole."""

MOST_TIMES, MOST_COLUMNS = 1000, 200
"""Times, and columns or keys of each, that a file of readings may have."""

TOO_MANY = (
    f"holds more than {MOST_TIMES} readings, or more than {MOST_COLUMNS} columns or keys of one: "
    "name a file with fewer"
)

REMARKS = ("note", "notes", "remark", "remarks", "comment", "comments")
"""Keys whose words are for people and are passed over."""


def rows_of_csv(text: str, quantities: Collection[str]) -> tuple[list[WrittenRow], list[Problem]]:
    """Rows of a CSV; a line that begins with # is a remark.

    Cells are parted by commas, or by semicolons where the first line has some and no comma.

    Parameters:
        text: of the file
        quantities: keys of the readings whose heads may name a unit
    Returns:
        the rows, and what is wrong
    """
    numbered = list(islice(lines_of_cells(text), MOST_TIMES + 2))
    if not numbered:
        return [], []
    first_line, first = numbered[0]
    problems: list[Problem] = []
    if len(first or []) > MOST_COLUMNS or len(numbered) > MOST_TIMES + 1:
        return [], [Problem("", first_line, TOO_MANY)]
    heads, head_units = _heads(first or [], quantities)
    problems += _unknown(heads, first_line)
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
                key: with_column_unit(cell.strip(), unit)
                for key, unit, cell in zip(heads, head_units, cells, strict=False)
                if cell.strip() and key in KEYS
            }
            if row:
                rows.append((f"line {number}", row, {"": number, **dict.fromkeys(row, number)}))
    return rows, problems


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


def _unknown(heads: list[str], line: int) -> list[Problem]:
    """Heads that are no reading, or stand twice."""
    problems = []
    for place, key in enumerate(heads):
        if not key or key in REMARKS:
            continue
        if key not in KEYS:
            near = nearest(key, KEYS, 0.6)
            hint = f'did you mean "{near}"?' if near else f"expected one of {', '.join(KEYS)}"
            problems.append(Problem(quoted(key), line, f"is no reading, {hint}"))
        elif key in heads[:place]:
            problems.append(Problem(key, line, "has two columns: keep one"))
    return problems


def key_of(text: str) -> str:
    """The key that a head or a misspelt key stands for.

    Parameters:
        text: as written
    Returns:
        in small letters, with underscores
    """
    return re.sub(r"[ -]+", "_", text.strip().lower())
