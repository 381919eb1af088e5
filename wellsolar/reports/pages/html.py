"""Prints results as a page: the only user of jinja2.

`render` serves every page of this package; templates get texts and numbers that are ready to print
and compute nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from wellsolar.reports.cautions import TITLE, named
from wellsolar.reports.figures.plots import Plot, text_of
from wellsolar.reports.links import places_of
from wellsolar.reports.plain import as_sentence, plain
from wellsolar.reports.tables.readings import BLANK
from wellsolar.reports.tables.sections import (
    ORDER,
    Cell,
    Grid,
    Section,
    answer,
    cell_text,
    counts,
    header_unit,
    number_text,
    ordered,
    sources_used,
)
from wellsolar.reports.tables.todo import todo_lines
from wellsolar.results import Results
from wellsolar.sources import SOURCES
from wellsolar.units import Quantity, System
from wellsolar.verdicts import Verdict, as_typed

TEMPLATES = Path(__file__).parent / "templates"

HEADINGS = {
    "fail": "Fails",
    "unknown": "Open questions",
    "caution": "Cautions",
    "pass": "Passes",
}

LONG = 24
"""Letters of a cell from which on its column wants room on a narrow screen."""

WHOLE = 15
"""Rows of a table up to which it is kept on one page of paper."""

Object = dict[str, Any]


def render(template: str, context: Mapping[str, Any]) -> str:
    """A page from a template of this package.

    Parameters:
        template: its file name, such as `report.html.j2`
        context: what the template names; a name that is missing is a mistake
    Returns:
        the page; every text in it is escaped, and none steers a terminal or turns its writing
    """
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        finalize=_finalized,
    )
    page = environment.get_template(template).render(context)
    # A name with half a character in it, such as of a file, can't stand in UTF-8.
    return page.encode("utf-8", "replace").decode("utf-8")


def report(
    results: Results, sections: Sequence[Section], plots: Sequence[Plot], drawn: Sequence[str]
) -> str:
    """The report of a site as one page that needs nothing else.

    Parameters:
        results: of `study_site`
        sections: of `table.sections`
        plots: of `pictures.plots`
        drawn: the SVG of each
    Returns:
        the page
    """
    system = results.system
    keys = {each.key for each in plots}, {section.key for section in sections}
    verdicts = [_verdict(each, results, *keys) for each in ordered(results.verdicts)]
    found = counts(results)
    return render(
        "report.html.j2",
        {
            "title": results.site_name,
            "note": results.site_note,
            "file": results.file,
            "units": system,
            "answer": answer(results),
            "worst": next((each for each in ORDER if found[each]), "unknown"),
            "counts": found,
            "answers": [
                {"subject": each.subject, "text": as_sentence(each.text.text(system))}
                for each in results.answers
            ],
            "notes": [as_sentence(note) for note in results.notes],
            "todo": todo_lines(results),
            "groups": [
                {
                    "status": status,
                    "heading": HEADINGS[status],
                    "verdicts": [verdict for verdict in verdicts if verdict["status"] == status],
                }
                for status in ORDER
                if found[status]
            ],
            "figures": [
                _figure(plot, svg, sections, system)
                for plot, svg in zip(plots, drawn, strict=True)
            ],
            "sections": [section_context(section, system) for section in sections],
            "assumptions": [
                {
                    "path": re.split(r"(?<=[._])", assumption.path),
                    "value": cell_text(assumption.value, system),
                    "why": as_sentence(assumption.why),
                    "source": _source(assumption.source),
                }
                for assumption in results.assumptions
            ],
            "sources": [_source(key) for key in sources_used(results)],
            "cautions": cautions_context(results.cautions),
        },
    )


def cautions_context(keys: Sequence[str]) -> Object:
    """What to mind, as templates print it."""
    return {
        "title": TITLE,
        "listed": [dict(zip(("name", "text"), named(key), strict=True)) for key in keys],
    }


def section_context(section: Section, system: System) -> Object:
    """A section as templates print it.

    Parameters:
        section: of `table.sections`
        system: "US" or "SI"
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
    return plain(shown) if type(shown) is str else shown


def _figure(plot: Plot, svg: str, sections: Sequence[Section], system: System) -> Object:
    section = next((each for each in sections if each.key == plot.section), None)
    return {
        "key": plot.key,
        "title": plot.title,
        "caption": text_of(plot.caption, system),
        "svg": svg,
        "section": "" if section is None else section.key,
        "section_title": "" if section is None else section.title,
    }


def _verdict(verdict: Verdict, results: Results, figures: set[str], sections: set[str]) -> Object:
    system = results.system
    places = places_of(verdict, results, figures, sections)
    compared = {
        "found": verdict.quantity,
        "limit": verdict.limit,
        "margin": verdict.margin,
    }
    return {
        "status": verdict.status,
        "subject": verdict.subject,
        "asks": verdict.rule.asks,
        "safety": verdict.rule.safety,
        "reason": as_sentence(verdict.reason.text(system), verdict.subject),
        "remedy": "" if verdict.remedy is None else as_sentence(verdict.remedy.text(system)),
        "by_hand": "" if verdict.remedy is None else as_sentence(verdict.remedy.by_hand),
        "changes": [as_typed(change) for change in verdict.remedy.changes]
        if verdict.remedy
        else [],
        "needs": verdict.needs,
        "compared": [
            {"name": name, "value": cell_text(each, system)}
            for name, each in compared.items()
            if each is not None
        ],
        "rule": as_sentence(verdict.rule.text),
        "source": _source(verdict.rule.source),
        "figure": places.figure,
        "section": places.section,
    }


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
                "label": each.label,
                "unit": header_unit(each.kind, system),
                "numeric": numeric[i],
                "long": long[i],
            }
            for i, each in enumerate(grid.columns)
        ],
        "rows": [
            [
                {
                    "text": _cell(grid, position, cell, system),
                    "numeric": numeric[position],
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
        "whole": len(grid.rows) <= WHOLE,
        "step": any(cell == BLANK for row in grid.rows for cell in row),
        "foot": len(grid.rows) - grid.foot,
    }


def _cell(grid: Grid, position: int, cell: Cell, system: System) -> str:
    if header_unit(grid.columns[position].kind, system):
        return number_text(cell, system)
    return cell_text(cell, system)


def _is_numeric(grid: Grid, position: int) -> bool:
    return grid.columns[position].kind is not None or (
        bool(grid.rows) and all(isinstance(row[position], Quantity) for row in grid.rows)
    )


def _source(key: str) -> Object:
    source = SOURCES[key]
    said = "" if source.citation.startswith(source.provenance) else source.provenance
    return {
        "key": key,
        "anchor": "source-" + re.sub(r"\W+", "-", key),
        "citation": source.citation,
        "provenance": said,
    }
