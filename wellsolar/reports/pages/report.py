"""The report: a part for the owner and an appendix for the engineer, on one page."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Collection, Mapping, Sequence
from pathlib import Path
from typing import Literal

from wellsolar.errors import OutputError
from wellsolar.reports.figures.plots import Plot, text_of
from wellsolar.reports.links import places_of
from wellsolar.reports.pages.html import (
    Object,
    cautions_context,
    job_context,
    page_of,
    section_context,
    source_context,
    todo_context,
)
from wellsolar.reports.plain import as_sentence
from wellsolar.reports.rows import Section, cell_text
from wellsolar.reports.tables.sections import ORDER, answer, counts, ordered, sources_used
from wellsolar.results import Results
from wellsolar.results.whole import Job
from wellsolar.units import System
from wellsolar.verdicts import Verdict, as_typed

For = Literal["owner", "engineer"]

BOTH: tuple[For, ...] = ("owner", "engineer")

PICTURE, OUTAGES = ("system", "well"), "outages"
"""Keys of the owner's figures: the first that there is of the house, and how those begin of what
is left when something fails."""

HEADINGS = {
    "fail": "Fails",
    "unknown": "Open questions",
    "caution": "Cautions",
    "pass": "Passes",
}

ON_SCREEN_ONLY = {
    "pump": ("fill",),
    "well": ("course",),
    "supply": ("months",),
    "supply_year": ("months",),
    "modules": ("months",),
    "heater_array": ("reference_points", "working_points"),
    "heated_tank": ("typical_days", "poor_days"),
    "hot_water_year": ("pv_alone", "upper_element"),
    "outages": ("matrix",),
    "outage_sources": ("source",),
}
"""Section -> its tables that paper leaves out: what a figure shows, and the steps of a sum."""

PNG = b"\x89PNG"
"""How such a picture begins; the site file has it held to be one or a JPEG."""

PAGE, GAP = 805.0, 7.0
"""Height that figures share on a sheet of letter paper, and what each has below it, in the units
of a drawing as the style sheet prints it."""

FULL = 0.8
"""Part of a sheet's height from which figures stand on it alone, with no text below them."""

LETTERS = 130
"""That stand in a line of paper at least."""

COLUMNS, COLUMN, PARTS = 3, 32, 6
"""Of the contents on paper, letters that stand in a line of one at least, and its bold lines."""

HEAD, ROW = 205.0, 12.5
"""Height of what stands on the first sheet before the figures, and of each of its lines, in the
same units, rather too much than too little."""


def figures_of(parts: Collection[For], plots: Sequence[Plot]) -> list[Plot]:
    """Those figures that some parts of a report show."""
    if "engineer" in parts:
        return list(plots)
    keys = _owners(plots)
    return [plot for plot in plots if plot.key in keys]


def report(
    results: Results,
    sections: Sequence[Section],
    drawn: Mapping[str, tuple[Plot, str]],
    parts: Collection[For] = BOTH,
) -> str:
    """The report of a site as one page that needs nothing else.

    Parameters:
        results: of `study_site`
        sections: of `table.sections`
        drawn: key of each figure of the parts -> the figure and its SVG
        parts: whom it is for
    """
    by_status = counts(results)
    owners = _owners([plot for plot, _ in drawn.values()])
    shown = owners if "owner" in parts else []
    context = {
        "answer": answer(results),
        "worst": next((status for status in ORDER if by_status[status]), "unknown"),
        "cautions": cautions_context(results.cautions),
        "owner": None,
        "engineer": None,
    }
    if "owner" in parts:
        context |= _owner(results, drawn, owners)
    if "engineer" in parts:
        left = {key: drawn_plot for key, drawn_plot in drawn.items() if key not in shown}
        context |= _engineer(results, sections, left, drawn)
    return page_of("report.html.j2", results, context, "report.js")


def _owners(plots: Sequence[Plot]) -> list[str]:
    """Keys of the owner's figures."""
    keys = [plot.key for plot in plots]
    outages = [key for key in keys if key.startswith(OUTAGES)]
    return [key for key in PICTURE if key in keys][:1] + outages


def _owner(
    results: Results,
    drawn: Mapping[str, tuple[Plot, str]],
    keys: Sequence[str],
) -> Object:
    system, job = results.system, results.job or Job()
    figures = {key: _figure(*drawn[key], (), system) for key in keys}
    outages = [figure for key, figure in figures.items() if key.startswith(OUTAGES)]
    listed = [
        ("answers", "What it does", results.answers),
        ("todo", "What to do first", results.todo),
        ("picture", "The system", any(key in figures for key in PICTURE)),
        ("care", "In the next year", results.care),
        ("failures", "When something fails", outages),
        ("cautions", cautions_context(())["title"], results.cautions),
        ("photographs", "Photographs", job.photographs),
        ("signatures", "Signatures", True),
    ]
    return {
        "answers": _answers(results),
        "notes": [as_sentence(note) for note in results.notes],
        "todo": todo_context(results),
        "care": [
            {"often": caution.often, "by": caution.by, "text": caution.text.text(system)}
            for caution in results.care
        ],
        "owner": {
            "contents": [{"key": key, "title": title} for key, title, there in listed if there],
            "job": job_context(results.job, wanted=True),
            "logo": _data(job.logo, results),
            "picture": next((figures[key] for key in PICTURE if key in figures), None),
            "outages": outages,
            "photographs": [
                {"data": _data(photograph.file, results), "shows": photograph.shows}
                for photograph in job.photographs
            ],
        },
    }


def _engineer(
    results: Results,
    sections: Sequence[Section],
    left: Mapping[str, tuple[Plot, str]],
    drawn: Mapping[str, tuple[Plot, str]],
) -> Object:
    system, job = results.system, results.job or Job()
    keys = set(drawn), {section.key for section in sections}
    verdicts = [_verdict(verdict, results, *keys) for verdict in ordered(results.verdicts)]
    groups = [
        {
            "status": status,
            "heading": HEADINGS[status],
            "verdicts": [verdict for verdict in verdicts if verdict["status"] == status],
        }
        for status in ORDER
    ]
    groups = [group for group in groups if group["verdicts"]]
    things = _things(results)
    contexts = [section_context(section, system) for section in sections]
    for section in contexts:
        details = ON_SCREEN_ONLY.get(_unnumbered(section["key"]), ())
        for grid in section["grids"]:
            grid["detail"] = _unnumbered(grid["key"].rpartition("-")[2]) in details
        # The sheet has a page of its own, with room to write in.
        section["detail"] = section["key"] == "sheet" or (
            not section["rows"] and all(e["detail"] for e in section["grids"])
        )
    heads = [{"key": group["status"], "title": group["heading"]} for group in groups]
    figures = [_figure(plot, svg, sections, system) for plot, svg in left.values()]
    entries = [*heads, *figures, *(entry for entry in contexts if not entry["detail"])]
    lines = _lines(results, entries) + len(things) / 2
    figures = _packed(figures, (PAGE - HEAD - ROW * lines) % PAGE)
    listed = (
        ("equipment", "Equipment", things),
        ("figures", "Figures", figures),
        ("verdicts", "Verdicts", heads),
        ("numbers", "Calculations", contexts),
        ("assumptions", "Assumptions", results.assumptions),
        ("sources", "Sources", sources_used(results)),
    )
    kinds = {"verdicts": "verdicts", "figures": "figure", "numbers": "numbers"}
    return {
        "answers": _answers(results),
        "counts": counts(results),
        "things": things,
        "groups": groups,
        "figures": figures,
        "sections": contexts,
        "assumptions": [
            {
                "path": re.split(r"(?<=[._])", assumption.path),
                "value": cell_text(assumption.value, system),
                "why": as_sentence(assumption.why),
                "source": source_context(assumption.source),
            }
            for assumption in results.assumptions
        ],
        "sources": [source_context(key) for key in sources_used(results)],
        "engineer": {
            "contents": [
                {
                    "key": key,
                    "title": title,
                    "kind": kinds.get(key, ""),
                    "inner": inner if key in kinds else (),
                    "printed": [entry for entry in inner if entry in entries]
                    if key in kinds
                    else (),
                }
                for key, title, inner in listed
                if inner
            ],
            "job": job_context(results.job, wanted=False),
            "logo": _data(job.logo, results),
        },
    }


def _things(results: Results) -> list[Object]:
    """The schedule of equipment: tag, name, ratings, and whether the file tells it."""
    if results.figures is None:
        return []
    return [
        {
            "tag": thing.tag,
            "name": thing.name,
            "said": as_sentence(thing.said.text(results.system)) if thing.said.template else "",
            "told": thing.told,
        }
        for thing in results.figures.things
    ]


def _lines(results: Results, entries: Sequence[Object]) -> int:
    """Lines that the answers take on paper, and the contents with their entries within parts."""
    answers_text = (answer.text.text(results.system) for answer in results.answers)
    contents = sum(1 + len(entry["title"]) // COLUMN for entry in entries) + PARTS
    return sum(1 + len(line) // LETTERS for line in answers_text) + -(-contents // COLUMNS)


def _unnumbered(key: str) -> str:
    return re.sub(r"_\d+$", "", key)


def _answers(results: Results) -> list[Object]:
    system = results.system
    return [
        {
            "subject": answer.subject,
            "text": as_sentence(answer.text.text(system)),
            "plain": as_sentence(answer.plain.text(system)) if answer.plain is not None else "",
        }
        for answer in results.answers
    ]


def _data(name: str | None, results: Results) -> str:
    """A picture that lies beside the site file, within the page; empty where there is none."""
    if name is None:
        return ""
    path = Path(results.file).parent / name
    try:
        content = path.read_bytes()
    except OSError as error:
        raise OutputError(f"{path}: can't be read any more ({error.strerror})") from error
    kind = "png" if content.startswith(PNG) else "jpeg"
    return f"data:image/{kind};base64,{b64encode(content).decode()}"


def _packed(figures: Sequence[Object], room: float) -> list[Object]:
    """Figures in an order that leaves little of a paper's height blank: the highest are laid on
    sheets first, of which the first has so much room, and the sheet that is filled least comes
    last. Its figures float: what follows them begins where they leave room before them."""
    first: list[Object] = []
    sheets: list[list[Object]] = [first]
    for figure in sorted(figures, key=lambda figure: -_height([figure])):
        for sheet in sheets:
            if _height([*sheet, figure]) <= (room if sheet is first else PAGE):
                sheet.append(figure)
                break
        else:
            sheets.append([figure])
    rest = [[figure for figure in figures if figure in sheet] for sheet in sheets[1:]]
    least = min(rest, key=_height, default=[])
    rest.sort(key=lambda sheet: (sheet is least, figures.index(sheet[0])))
    for figure in least:
        figure["afloat"] = bool(first) and _height(least) < FULL * PAGE
    return [figure for sheet in (first, *rest) for figure in sheet]


def _height(figures: Sequence[Object]) -> float:
    """Height of drawings one below the other, by their own view boxes."""
    boxes = [
        re.search(r'viewBox="[\d.]+ [\d.]+ [\d.]+ ([\d.]+)"', figure["svg"]) for figure in figures
    ]
    return sum(float(box.group(1)) + GAP for box in boxes if box)


def _figure(plot: Plot, svg: str, sections: Sequence[Section], system: System) -> Object:
    section = next((section for section in sections if section.key == plot.section), None)
    return {
        "key": plot.key,
        "title": plot.title,
        "caption": text_of(plot.caption, system),
        "svg": svg,
        "afloat": False,
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
        "compared": {
            name: cell_text(quantity, system)
            for name, quantity in compared.items()
            if quantity is not None
        },
        "rule": as_sentence(verdict.rule.text),
        "source": source_context(verdict.rule.source),
        "figure": places.figure,
        "section": places.section,
    }
