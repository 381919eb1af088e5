"""A CSV of named columns: its heads with their units, and its lines as cells."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from io import StringIO

_UNIT = re.compile(r"^(.*?)\s*(?:[(\[]\s*([^()\[\]]+?)\s*[)\]]|,\s*(\S.*))\s*$")


def lines_of_cells(text: str) -> Iterator[tuple[int, list[str] | None]]:
    """The lines of a CSV that hold anything; one that begins with # is a remark.

    Cells are parted by commas, or by semicolons where the first line has some and no comma.

    Parameters:
        text: of the file
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
    """The name of a column and the unit that its head names, as in `element amps (A)`.

    Parameters:
        cell: the head
    Returns:
        name and unit, each without the other; the unit may be empty
    """
    match = _UNIT.match(cell.strip())
    if match is None:
        return cell.strip(), ""
    return match.group(1), (match.group(2) or match.group(3) or "").strip()
