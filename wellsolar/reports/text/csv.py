"""The parts list as CSV in UTF-8, for a spreadsheet or a supplier."""

from __future__ import annotations

import csv
import io
import unicodedata

from wellsolar.reports.tables.parts_list import whole_amount, why_of
from wellsolar.results.parts import Part, PartsList
from wellsolar.units import System

HEADER = (
    "line",
    "group",
    "part",
    "for",
    "quantity",
    "unit",
    "size",
    "state",
    "why",
    "verdict",
    "subject",
    "status",
    "source",
)
PRICES = ("price", "per", "cost")

MARK = "\ufeff"
"""At the head of a file, by which a spreadsheet knows it for UTF-8."""

_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
"""How a cell begins that a spreadsheet would take for a formula, or read on past its beginning."""


_UNSEEN = " \t\r\n\v\f\xa0\u3000\u200b\u200c\u200d\u2060\ufeff\u200e\u200f\0"
"""Blanks and marks of no width before such a sign, which a spreadsheet may pass over."""


def as_csv(parts_list: PartsList, system: System, mark: str = "") -> str:
    """The list, a line for each part below one with the names of the columns.

    Parameters:
        mark: `MARK` for a file that a spreadsheet opens
    Returns:
        the text of a file, its lines ended as RFC 4180 has it
    """
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow((*HEADER, *PRICES) if parts_list.priced else HEADER)
    for number, part in enumerate(parts_list.parts, 1):
        row = _row(number, part, system)
        if parts_list.priced:
            row += _price(part)
        writer.writerow([_harmless(cell) for cell in row])
    return mark + stream.getvalue().encode("utf-8", "replace").decode("utf-8")


def _row(number: int, part: Part, system: System) -> list[str]:
    verdict = part.verdict
    return [
        str(number),
        part.group,
        part.item,
        part.of,
        *whole_amount(part, system),
        part.size.text(system),
        part.state,
        why_of(part).text(system),
        "" if verdict is None else verdict.rule.key,
        "" if verdict is None else verdict.subject,
        "" if verdict is None else str(verdict.status),
        part.source,
    ]


def _price(part: Part) -> list[str]:
    if part.price is None:
        return ["", "", ""]
    cost = "" if part.cost is None else f"{part.cost:.2f}"
    return [f"{part.price.amount:.2f}", part.price.per, cost]


def _harmless(cell: str) -> str:
    """A name that a spreadsheet would run as a formula stays a text."""
    begin = cell.lstrip(_UNSEEN)
    first = unicodedata.normalize("NFKC", begin[:1])  # of wide, small and raised signs the plain
    runs = cell.startswith(_FORMULA) or first.startswith((*_FORMULA, "\N{MINUS SIGN}"))
    return f"'{cell}" if runs else cell
