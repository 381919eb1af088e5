"""Prints results for a person at a terminal or in a redirected file: the only user of rich."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from typing import TextIO

from rich.box import Box
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from wellsolar.reports.cautions import TITLE, named
from wellsolar.reports.plain import as_sentence, encodable, ended, plain
from wellsolar.reports.rows import Cell, Grid, Row, Section, cell_text, header_unit, number_text
from wellsolar.reports.tables.readings import BLANK
from wellsolar.reports.tables.sections import answer, counts, ordered, sources_used
from wellsolar.reports.tables.todo import TITLE as TO_DO
from wellsolar.reports.tables.todo import todo_lines
from wellsolar.reports.text.layout import (
    blocks,
    least_width,
    short_header,
    widened,
    width_of,
)
from wellsolar.results import Results
from wellsolar.sources import SOURCES
from wellsolar.units import Quantity, System
from wellsolar.verdicts import Verdict, as_typed

# Dashes under the header and before the foot, in ASCII so that every terminal has them.
_LINES = Box("    \n    \n -  \n    \n -  \n -  \n    \n    \n", ascii=True)
_COLOURS = {"fail": "bold red", "unknown": "magenta", "caution": "yellow", "pass": "green"}
_STATUS_WIDTH = 7
_SHORT_NAME = 12
_SUBJECT_WIDTH = 16


def write(sections: Sequence[Section], results: Results, stream: TextIO, system: System) -> None:
    """Print everything found."""
    page = _Page(stream, system)
    _header(page, results)
    _todo(page, results)
    _verdicts(page, results)
    for section in sections:
        _section(page, section)
    _assumptions(page, results)
    _cautions(page, results.cautions)
    _sources(page, results)
    page.finish()


def write_sections(
    title: str,
    lines: Sequence[str],
    sections: Sequence[Section],
    stream: TextIO,
    system: System,
    cautions: Sequence[str] = (),
    results: Results | None = None,
) -> None:
    """Print tables that are not those of one site's results.

    Parameters:
        lines: paragraphs above them
        sections: the tables
        cautions: keys of what to mind
        results: whose list of what to do stands before the tables
    """
    page = _Page(stream, system)
    page.line(title, "bold")
    for line in lines:
        page.line(line)
    if results is not None:
        _todo(page, results)
    for section in sections:
        _section(page, section)
    _cautions(page, cautions)
    page.finish()


class _Page:
    """A console that takes every text as it is, and prints all at once at the end."""

    def __init__(self, stream: TextIO, system: System) -> None:
        self.stream = stream
        self.system = system
        self.encoding = getattr(stream, "encoding", None) or "utf-8"
        self.width = width_of(stream)
        # Without a height rich would leave the width aside on a terminal that calls itself dumb.
        self.console = Console(
            file=stream, width=self.width, height=25, markup=False, emoji=False, highlight=False
        )
        self.console.begin_capture()

    def text(self, text: str, style: str = "") -> Text:
        """A text that prints in this stream's encoding and does nothing else."""
        return Text(encodable(plain(text), self.encoding), style=style, overflow="fold")

    def line(self, text: str = "", style: str = "", indent: int = 0) -> None:
        """A paragraph."""
        self.side_by_side([(self.text(text, style), 0)], indent)

    def title(self, text: str) -> None:
        """A heading, underlined in ASCII."""
        heading = self.text(text, "bold")
        self.line()
        self.console.print(heading)
        self.console.print(Text("=" * min(heading.cell_len, self.width)))

    def size(self, text: str) -> int:
        """Columns that a text takes."""
        return self.text(text).cell_len

    def side_by_side(
        self, items: Sequence[tuple[Text, int]], indent: int = 0, gap: int = 2
    ) -> None:
        """Texts in columns of given widths; the last takes what is left."""
        # Wrapped here and not by a grid, which measures every row anew: a third of the time.
        widths = [width for _, width in items[:-1]]
        widths.append(max(1, self.width - indent - sum(widths) - gap * len(widths)))
        cells = [
            text.wrap(self.console, width, overflow="fold")
            for (text, _), width in zip(items, widths, strict=True)
        ]
        rows = []
        for pieces in zip_longest(*cells):
            row = Text(" " * indent)
            for piece, width in zip(pieces, widths, strict=True):
                cell = piece or Text()
                cell.pad_right(width - cell.cell_len + gap)
                row.append_text(cell)
            row.rstrip()
            rows.append(row)
        self.console.print(Text("\n").join(rows), no_wrap=True, overflow="ignore", crop=False)

    def finish(self) -> None:
        """Everything to the stream, without the spaces that pad lines."""
        printed = self.console.end_capture()
        self.stream.write("\n".join(line.rstrip(" ") for line in printed.split("\n")))
        self.stream.flush()


def _header(page: _Page, results: Results) -> None:
    by_status = counts(results)
    page.line(results.site_name, "bold")
    if results.site_note:
        page.line(results.site_note)
    page.line(f"from {results.file}")
    page.line()
    if results.verdicts:
        page.line(", ".join(f"{number} {status}" for status, number in by_status.items()))
    page.line(answer(results), "bold")
    if results.answers:
        page.line()
        widest = max(page.size(answer.subject) for answer in results.answers)
        for printed in results.answers:
            subject = page.text(printed.subject)
            text_drawn = page.text(ended(printed.text.text(page.system)))
            page.side_by_side([(subject, min(widest, _SUBJECT_WIDTH)), (text_drawn, 0)])
    for note in results.notes:
        page.line(f"Note: {note}")


def _todo(page: _Page, results: Results) -> None:
    """What must be done: a line of its state and who may do it, then what, why and for what."""
    if not results.todo:
        return
    page.title(TO_DO)
    for line in todo_lines(results):
        can_hurt = " (safety)" if line.safety else ""
        cost = f", {line.cost}" if line.cost else ""
        text = _stacked(
            page.text(f"{line.number}. {line.what}", "bold"),
            page.text(line.why),
            page.text(f"For: {line.clears}{can_hurt}. By: {line.by}{cost}."),
        )
        page.side_by_side(
            [(page.text(line.mark.upper(), _COLOURS[line.mark]), _STATUS_WIDTH), (text, 0)]
        )


def _verdicts(page: _Page, results: Results) -> None:
    if not results.verdicts:
        return
    page.title("Verdicts")
    for verdict in ordered(results.verdicts):
        lines = _passed(page, verdict) if verdict.status == "pass" else _in_full(page, verdict)
        status = page.text(verdict.status.upper(), _COLOURS[verdict.status])
        page.side_by_side([(status, _STATUS_WIDTH), (lines, 0)])
        if verdict.status != "pass":
            page.line()


def _passed(page: _Page, verdict: Verdict) -> Text:
    """A pass: what was asked, and beneath it why, by which rule."""
    reason = as_sentence(verdict.reason.text(page.system), verdict.subject)
    margin = "" if verdict.margin is None else f" Margin {cell_text(verdict.margin, page.system)}."
    return _stacked(
        page.text(_asked(verdict)), page.text(f"{reason}{margin} [{verdict.rule.source}]")
    )


def _in_full(page: _Page, verdict: Verdict) -> Text:
    asked, *lines = in_full(verdict, page.system)
    return _stacked(page.text(asked, "bold"), *map(page.text, lines))


def in_full(verdict: Verdict, system: System) -> list[str]:
    """A verdict with all that it rests on.

    Returns:
        what was asked, and beneath it why, what would make it pass, what was compared, its rule
    """
    lines = [_asked(verdict), as_sentence(verdict.reason.text(system), verdict.subject)]
    if verdict.remedy is not None:
        lines.append(f"To pass: {ended(verdict.remedy.text(system))}")
        if verdict.remedy.changes:
            lines.append(f"Try: {' '.join(map(as_typed, verdict.remedy.changes))}")
        else:
            lines.append(f"In the file: {ended(verdict.remedy.by_hand)}")
    if verdict.needs:
        lines.append(f"Needs: {', '.join(verdict.needs)}")
    compared = _compared(verdict, system)
    if compared:
        lines.append(compared)
    return [*lines, f"Rule: {verdict.rule.text} [{verdict.rule.source}]"]


def _stacked(*lines: Text) -> Text:
    return Text("\n").join(lines)


def _asked(verdict: Verdict) -> str:
    safety = " (safety)" if verdict.rule.safety else ""
    return f"{verdict.subject}: {verdict.rule.asks}{safety}"


def _compared(verdict: Verdict, system: System) -> str:
    """What was compared, in one line; empty where nothing was."""
    named = {"found": verdict.quantity, "limit": verdict.limit, "margin": verdict.margin}
    return ", ".join(
        f"{name} {cell_text(value, system)}" for name, value in named.items() if value is not None
    )


def _section(page: _Page, section: Section) -> None:
    page.title(section.title)
    page.line(section.question)
    if section.rows:
        page.line()
        _rows(page, section.rows)
    for grid in section.grids:
        page.line()
        page.line(grid.title, "bold")
        # What to isolate is read before anything is measured.
        to_fill_in = any(BLANK in row for row in grid.rows)
        if grid.note and to_fill_in:
            page.line(grid.note, indent=2)
        _grid(page, grid)
        if grid.note and not to_fill_in:
            page.line(grid.note, indent=2)


def _rows(page: _Page, rows: Sequence[Row]) -> None:
    """Label, value and why in columns; the why beneath where it would have too little room."""
    shown = [(row.label, cell_text(row.quantity, page.system, row.nothing), row) for row in rows]
    label_width = min(max(page.size(label) for label, _, _ in shown), 28)
    value_width = min(max(page.size(value) for _, value, _ in shown), 20)
    room = page.width - 2 - label_width - 2 - value_width - 2
    for label, value, row in shown:
        why = row.why if isinstance(row.why, str) else row.why.text(page.system)
        items = [(page.text(label), label_width)]
        if why and room >= 24:
            items += [(page.text(value), value_width), (page.text(why), room)]
        else:
            items += [(page.text(value), 0)]
        page.side_by_side(items, indent=2)
        if why and room < 24:
            page.line(f"({why})", indent=4)


def _grid(page: _Page, grid: Grid) -> None:
    """A table in as many blocks as the width asks for, each led by the first column."""
    headers = [_header_lines(page, grid, position) for position in range(len(grid.columns))]
    texts = [
        [_grid_text(page, grid, position, row[position]) for position in range(len(row))]
        for row in grid.rows
    ]
    numeric = [_is_numeric(grid, position) for position in range(len(grid.columns))]
    least = [
        least_width(
            page.size, headers[position], [row[position] for row in texts], numeric[position]
        )
        for position in range(len(grid.columns))
    ]
    # The first column names the row: short names stay on one line.
    longest = max((page.size(row[0]) for row in texts), default=0)
    least[0] = max(least[0], longest if longest <= _SHORT_NAME else 0)
    wished = [
        max(least[position], short_header(headers[position]))
        if numeric[position]
        else max([page.size(row[position]) for row in texts] + [least[position]])
        for position in range(len(grid.columns))
    ]
    gap = 2 if sum(least) + 2 * len(least) <= page.width - 2 else 1
    for number, block in enumerate(blocks(least, page.width - 2, gap)):
        if number:
            page.line()
        widths = widened(
            [least[i] for i in block], [wished[i] for i in block], page.width - 2, gap
        )
        table = Table(box=_LINES, show_edge=False, pad_edge=False, padding=(0, gap - 1, 0, 0))
        for position, width in zip(block, widths, strict=True):
            table.add_column(
                Text("\n").join(page.text(part, "bold") for part in headers[position]),
                width=width,
                justify="right" if numeric[position] else "left",
                vertical="top",
                overflow="fold",
            )
        for index, row in enumerate(texts):
            before_foot = grid.foot and index == len(texts) - grid.foot - 1
            table.add_row(*(page.text(row[i]) for i in block), end_section=bool(before_foot))
        page.console.print(Padding(table, (0, 0, 0, 2)))


def _header_lines(page: _Page, grid: Grid, position: int) -> list[str]:
    """The label of a column and, on a line of its own, its unit."""
    column = grid.columns[position]
    unit = header_unit(column.kind, page.system)
    return [column.label, f"({unit})"] if unit else [column.label]


def _grid_text(page: _Page, grid: Grid, position: int, cell: Cell) -> str:
    if header_unit(grid.columns[position].kind, page.system):
        return number_text(cell, page.system)
    return cell_text(cell, page.system)


def _is_numeric(grid: Grid, position: int) -> bool:
    return grid.columns[position].kind is not None or (
        any(isinstance(row[position], Quantity) for row in grid.rows)
        and all(isinstance(row[position], Quantity | None) for row in grid.rows)
    )


def _assumptions(page: _Page, results: Results) -> None:
    if not results.assumptions:
        return
    page.title("Assumptions")
    page.line("The file has none of these as it stands; a key in the file replaces each.")
    page.line()
    for assumption in results.assumptions:
        value = cell_text(assumption.value, page.system)
        page.line(f"{assumption.path} = {value}", indent=2)
        page.line(f"{assumption.why} [{assumption.source}]", indent=6)


def _cautions(page: _Page, keys: Sequence[str]) -> None:
    if not keys:
        return
    page.title(TITLE)
    for name, text in map(named, keys):
        page.line(f"{name}: {text}", indent=2)


def _sources(page: _Page, results: Results) -> None:
    used = sources_used(results)
    if not used:
        return
    page.title("Sources")
    for key in used:
        source = SOURCES[key]
        said = "" if source.citation.startswith(source.provenance) else f" ({source.provenance})"
        page.line(f"[{key}] {source.citation}{said}", indent=2)
