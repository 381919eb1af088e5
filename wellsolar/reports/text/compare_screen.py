"""Sites side by side on one screen: how each is judged, the verdicts that part them, and flows,
energy and cost."""

from __future__ import annotations

from collections.abc import Sequence

from wellsolar.reports.rows import Cell, cell_text
from wellsolar.reports.text.compare import Comparison, Judged, Number, counted, each_site
from wellsolar.reports.text.layout import columns, wrapped
from wellsolar.reports.text.screen import LINES, WIDTH, judged
from wellsolar.units import System

FEW = 4
"""Numbers that keep their place beside verdicts."""

LEAST_NAME, GAP = 30, 2
"""Columns of what is compared, and between the sites."""

MORE = "MORE  --full prints all that differs, --all what is the same too"


def compare_screen(comparison: Comparison, system: System, width: int = WIDTH) -> str:
    """Several sites side by side, in no more lines than a screen has but for what can hurt.

    Parameters:
        width: columns, of which 80 are used at most
    Returns:
        the text, with a line break at its end
    """
    width = min(width, WIDTH)
    head = wrapped(
        f"Verdicts: {counted(comparison.verdicts)}. Numbers: {counted(comparison.numbers)}.", width
    )
    sites = [
        wrapped(f"{name}  {title}: {judged(site)}", width, "", "   ")
        for name, title, site in each_site(comparison)
    ]
    if sum(map(len, sites)) > LINES // 2:
        sites = [lines[:1] for lines in sites]
    apart = [verdict for verdict in comparison.verdicts if verdict.differs]
    numbers = [number for number in comparison.numbers if number.differs]
    # A verdict that can hurt stands first among those that fail: none of them is left out.
    apart.sort(key=lambda verdict: not (verdict.safety and "fail" in verdict.statuses))
    hurts = sum(verdict.safety and "fail" in verdict.statuses for verdict in apart)
    room = max(LINES - len(head) - sum(map(len, sites)) - 2, hurts)
    rows = [_judged_row(verdict) for verdict in apart]
    others = [_row(number, system) for number in numbers]
    left = []
    if len(rows) + len(others) > room:
        room_for_hurts = max(hurts, room - 1 - min(FEW, len(others)))
        kept = max(0, room - 1 - min(room_for_hurts, len(rows)))
        more = {"verdicts": len(rows[room_for_hurts:]), "numbers": len(others[kept:])}
        rows, others = rows[:room_for_hurts], others[:kept]
        left = ["Left out: " + ", ".join(f"{many} {what}" for what, many in more.items() if many)]
    shown = rows + others
    table = _table(comparison.names, shown, width) if shown else ["No verdict or number differs."]
    lines = [*(line for lines in sites for line in lines), *head, *table, *left, MORE]
    return "\n".join(lines) + "\n"


def _judged_row(judged: Judged) -> tuple[str, list[str]]:
    return f"{judged.subject}, {judged.key}", [status or "-" for status in judged.statuses]


def _row(number: Number, system: System) -> tuple[str, list[str]]:
    return f"{number.part}, {number.label}", [_told(value, system) for value in number.values]


def _told(value: Cell, system: System) -> str:
    return cell_text(value, system)


def _table(names: Sequence[str], rows: Sequence[tuple[str, list[str]]], width: int) -> list[str]:
    """Rows under the letters of the sites; where these are too many for the width, each row in
    words."""
    wide = [
        max(columns(name), *(columns(cells[place]) for _, cells in rows))
        for place, name in enumerate(names)
    ]
    label = width - sum(wide) - GAP * len(wide)
    if label < LEAST_NAME:
        head = (
            f"{name}: {', '.join(f'{of} {cell}' for of, cell in zip(names, cells, strict=True))}"
            for name, cells in rows
        )
        return [wrapped(line, width)[0] for line in head]

    def line(name: str, cells: Sequence[str]) -> str:
        begin = wrapped(name, label)[0] if name else ""
        return (
            begin
            + " " * (label - columns(begin))
            + "".join(
                " " * (GAP + size - columns(cell)) + cell
                for cell, size in zip(cells, wide, strict=True)
            )
        )

    return [line("", names), *(line(*row) for row in rows)]
