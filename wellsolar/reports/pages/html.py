"""Prints results as a page: the only user of jinja2.

`page_of` makes every page of this package; templates get texts and numbers that are ready to print
and compute nothing.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template
from markupsafe import Markup, escape

from wellsolar.reports.cautions import TITLE, named
from wellsolar.reports.plain import as_sentence, plain
from wellsolar.reports.rows import Cell, Grid, Section, cell_text, header_unit, number_text
from wellsolar.reports.tables.readings import BLANK
from wellsolar.reports.tables.todo import todo_lines
from wellsolar.results import Results
from wellsolar.results.whole import Job
from wellsolar.sources import SOURCES
from wellsolar.units import Quantity, System

TEMPLATES = Path(__file__).parent / "templates"

LONG = 24
"""Letters of a cell from which on its column wants room on a narrow screen."""

NARROW = 64
"""Letters of a table's columns up to which it fits into half the width of a paper."""

RUNNING = 70
"""Letters of a running head at most."""

Object = dict[str, Any]


def page_of(template: str, results: Results, context: Mapping[str, Any], *scripts: str) -> str:
    """A page from a template of this package.

    Parameters:
        template: its file name, such as `report.html.j2`
        context: what the template names besides; a name that is missing is a mistake
        scripts: file names of what is joined to its one script; the page allows no other
    Returns:
        the page; every text in it is escaped, and none steers a terminal or turns its writing
    """
    job = results.job or Job()
    state = [f"revision {job.revision}" if job.revision else "", day_text(job.date)]
    foot = Path(results.file).name[:RUNNING]
    head = [results.site_name[:RUNNING], *(line for line in state if line)]
    page = _template(template).render(
        title=results.site_name,
        note=results.site_note,
        file=results.file,
        units=results.system,
        running={"head": _in_style(", ".join(head)), "foot": _in_style(foot)},
        script=_script(scripts) if scripts else None,
        **context,
    )
    # A name with half a character in it, such as of a file, can't stand in UTF-8.
    return page.encode("utf-8", "replace").decode("utf-8")


@cache
def _template(name: str) -> Template:
    """A template, compiled once."""
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        finalize=_finalized,
    )
    environment.filters["tight_style"] = _tight_style
    return environment.get_template(name)


def _in_style(text: str) -> str:
    """A text as a style sheet writes it, with nothing in it that could end it."""
    letters = (
        piece if piece.isascii() and (piece.isalnum() or piece == " ") else f"\\{ord(piece):x} "
        for piece in plain(text)
    )
    return f'"{"".join(letters)}"'


def _script(names: Sequence[str]) -> Object:
    """A script without what only its readers need, and the hash by which a page allows it."""
    text = "\n".join((TEMPLATES / name).read_text("utf-8") for name in names)
    lines = (line for line in text.splitlines() if not line.lstrip().startswith("//"))
    text = _IN_SCRIPT.sub(_tight_script, "\n".join(lines)).strip()
    return {"text": text, "hash": b64encode(sha256(text.encode()).digest()).decode()}


_IN_SCRIPT = re.compile(
    r"""("(?:\\.|[^"\\])*"|`(?:\\.|[^`\\])*`|/(?![\s/*=])(?:\\.|\[(?:\\.|[^]\\])*\]|[^/\\[\n])+/)|\s+"""
)
"""Texts, templates and patterns of our scripts; or spaces."""

_IN_STYLE = re.compile(r'("(?:\\.|[^"\\])*")|\s*/\*.*?\*/\s*|\s*([{};,>])\s*|:\s+|\s+', re.DOTALL)
"""Texts of a style sheet; or remarks, signs and spaces."""


def _tight_script(match: re.Match[str]) -> str:
    """A text as it is; of spaces one between two words or two signs of a sum, else none."""
    if match[1]:
        return match[1]
    about = match.string[match.start() - 1 : match.start()] + match.string[match.end() :][:1]
    return " " if re.fullmatch(r"[\w$]{2}|[-+]{2}", about) else ""


def _tight_style(style: str) -> str:
    """A style sheet without remarks and spaces that mean nothing."""

    def tight(match: re.Match[str]) -> str:
        if match[1] or match[2]:
            return match[1] or match[2]
        return ":" if match[0].startswith(":") else " " * (not match[0].endswith("/"))

    return _IN_STYLE.sub(tight, style)


def day_text(day: str | None) -> str:
    """A day as no two countries read differently; empty where there is none."""
    return f"{date.fromisoformat(day):%d %B %Y}".lstrip("0") if day else ""


def job_context(job: Job | None, *, wanted: bool) -> list[Object]:
    """Names and date of the papers, as templates print them.

    Parameters:
        job: what the file tells of them
        wanted: True where there is a line to fill in by hand for what it does not tell
    Returns:
        name and value of each
    """
    job = job or Job()
    particulars = (
        ("For", job.made_for),
        ("By", job.made_by),
        ("Date", day_text(job.date)),
        ("Revision", job.revision),
        ("Telephone", job.phone),
        ("Licence", job.licence),
    )
    return [{"name": name, "value": value or ""} for name, value in particulars if value or wanted]


def todo_context(results: Results) -> list[Object]:
    """The list of what must be done, as templates print it: of several ways the first."""
    return [
        {
            "number": line.number,
            "key": f"{todo.subject} {todo.clears[0].rule.key}",
            "mark": line.mark,
            "safety": line.safety,
            "what": line.what
            if todo.act == "read"
            else as_sentence(f"{todo.subject}: {todo.first.text(results.system)}"),
            "why": as_sentence(todo.clears[0].rule.asks),
            "by": line.by,
            "cost": line.cost,
        }
        for todo, line in zip(results.todo, todo_lines(results), strict=True)
    ]


def cautions_context(keys: Sequence[str]) -> Object:
    """What to mind, as templates print it."""
    return {
        "title": TITLE,
        "listed": [dict(zip(("name", "text"), named(key), strict=True)) for key in keys],
    }


def section_context(section: Section, system: System) -> Object:
    """A section as templates print it.

    Returns:
        key, title, question, rows of label, value and why, and grids
    """
    return {
        "key": section.key,
        "title": section.title,
        "question": as_sentence(section.question),
        "rows": [
            {
                "label": row.label,
                "value": cell_text(row.quantity, system, row.nothing),
                "why": row.why if isinstance(row.why, str) else row.why.text(system),
            }
            for row in section.rows
        ],
        "grids": [_grid(grid, f"{section.key}-{grid.key}", system) for grid in section.grids],
    }


def _finalized(shown: object) -> object:
    """What is printed, its words from right to left kept from turning the digits beside them."""
    if type(shown) is not str:
        return shown
    escaped = str(escape(plain(shown)))
    return Markup(_FROM_RIGHT.sub(r"&#x2067;\g<0>&#x2069;", escaped))


# Letters of Hebrew, Arabic and their kin, with the spaces and marks between them.
_FROM_RIGHT = re.compile(
    "[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff]"
    "(?:[^0-9A-Za-z]*[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff])*"
)


def _grid(grid: Grid, key: str, system: System) -> Object:
    numeric = [_is_numeric(grid, position) for position in range(len(grid.columns))]
    long = [
        any(len(_cell(grid, position, row[position], system)) > LONG for row in grid.rows)
        for position in range(len(grid.columns))
    ]
    return {
        "key": key,
        "title": grid.title,
        "note": grid.note,
        "columns": [
            {
                "label": column.label,
                "unit": header_unit(column.kind, system),
                "numeric": numeric[i],
                "long": long[i],
            }
            for i, column in enumerate(grid.columns)
        ],
        "rows": [
            [
                {
                    "text": _cell(grid, position, cell, system),
                    "numeric": numeric[position],
                    "long": long[position],
                    # What a reader who only hears the page is told of a box to write in.
                    "box": f"{grid.columns[position].label}, line {cell_text(row[0], system)}: "
                    f"{cell_text(row[1], system)}"
                    if cell == BLANK
                    else "",
                }
                for position, cell in enumerate(row)
            ]
            for row in grid.rows
        ],
        "detail": False,
        "narrow": _width(grid, system) <= NARROW,
        "step": any(cell == BLANK for row in grid.rows for cell in row),
        "foot": len(grid.rows) - grid.foot,
    }


def _width(grid: Grid, system: System) -> int:
    """Letters that the columns of a table ask for side by side, a long cell folded."""
    total = 0
    for position, column in enumerate(grid.columns):
        heads = [*column.label.split(), f"({header_unit(column.kind, system)})"]
        cells = [_cell(grid, position, row[position], system) for row in grid.rows]
        whole = max((len(cell) for cell in cells), default=0)
        total += 2 + max(min(whole, LONG), *(len(head) for head in heads))
    return total


def _cell(grid: Grid, position: int, cell: Cell, system: System) -> str:
    if header_unit(grid.columns[position].kind, system):
        return number_text(cell, system)
    return cell_text(cell, system)


def _is_numeric(grid: Grid, position: int) -> bool:
    return grid.columns[position].kind is not None or (
        bool(grid.rows) and all(isinstance(row[position], Quantity) for row in grid.rows)
    )


def source_context(key: str) -> Object:
    """A source as templates print it."""
    source = SOURCES[key]
    said = "" if source.citation.startswith(source.provenance) else source.provenance
    return {
        "key": key,
        "anchor": "source-" + re.sub(r"\W+", "-", key),
        # Of a citation paper has what stands before the first colon: the work and the place in it.
        "citation": source.citation.partition(": ")[::2],
        "provenance": said,
    }
