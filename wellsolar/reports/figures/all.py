"""The figures of a report: which ones there are, and their series as plain data."""

from __future__ import annotations

from typing import Any

from wellsolar.reports.figures.diagrams import diagrams
from wellsolar.reports.figures.heat import heat_plots
from wellsolar.reports.figures.outage import outage_plots
from wellsolar.reports.figures.plots import (
    BarPanel,
    CurvePanel,
    DiagramPanel,
    MatrixColumn,
    MatrixPanel,
    Panel,
    Plot,
    Text,
    WellPanel,
    text_of,
)
from wellsolar.reports.figures.well import well_plots
from wellsolar.reports.rows import unit_name
from wellsolar.results import Results
from wellsolar.results.figures import Branch, Series, Thing
from wellsolar.units import System
from wellsolar.verdicts import Sentence

Object = dict[str, Any]


def plots(results: Results) -> tuple[Plot, ...]:
    """The figures of a site, only those that it has parts for.

    Parameters:
        results: of `study_site`, with the part "figures"
    Returns:
        the figures in the order they are read; none where the part was not asked for
    """
    data = results.figures
    if data is None:
        return ()
    plots = [*diagrams(results, data), *well_plots(results, data), *heat_plots(results, data)]
    if results.outages is not None:
        plots += outage_plots(results.outages)
    return tuple(plots)


def plot_data(plot: Plot, system: System) -> Object:
    """Every number of a figure, in SI, under keys that end in its unit.

    Parameters:
        system: "US" or "SI", for its sentences
    """
    return {
        "title": plot.title,
        "caption": text_of(plot.caption, system),
        "description": [sentence.text(system) for sentence in plot.description],
        "description_numbers": [_numbers(sentence) for sentence in plot.description],
        "section": plot.section,
        "panels": [_panel(panel, system) for panel in plot.panels],
    }


def _panel(panel: Panel, system: System) -> Object:
    if isinstance(panel, CurvePanel):
        return _curves(panel, system)
    if isinstance(panel, MatrixPanel):
        return _matrix(panel, system)
    if isinstance(panel, DiagramPanel):
        return {
            "title": text_of(panel.title, system),
            "joined": _branch(panel.drawn, panel, system),
        }
    return _bars(panel, system) if isinstance(panel, BarPanel) else _well(panel, system)


def _curves(panel: CurvePanel, system: System) -> Object:
    x, y = unit_name("x", panel.x.kind), unit_name("y", panel.y.kind)
    return {
        "title": text_of(panel.title, system),
        "x": panel.x.label,
        "y": panel.y.label,
        "lines": {
            line.key: {
                **_told(line.label or line.end_label, system),
                x: list(line.x),
                y: list(line.y),
            }
            for line in panel.lines
        },
        "marks": {
            mark.key: {**_told(mark.label, system), x: list(mark.x), y: list(mark.y)}
            for mark in panel.marks
        },
        "levels": {
            guide.key: {**_told(guide.label, system), y: guide.value} for guide in panel.guides
        },
    }


def _bars(panel: BarPanel, system: System) -> Object:
    values = unit_name("values", panel.axis.kind)
    return {
        "title": text_of(panel.title, system),
        "categories": [category.replace("\n", " ") for category in panel.categories],
        "series": {
            bars.key: {"label": bars.label, values: list(bars.values)} for bars in panel.series
        },
    }


def _matrix(panel: MatrixPanel, system: System) -> Object:
    return {
        "title": text_of(panel.title, system),
        "rows": list(panel.rows),
        "key": panel.told,
        "columns": {column.key: _matrix_column(column) for column in panel.columns},
    }


def _matrix_column(column: MatrixColumn) -> Object:
    return {
        "label": column.label,
        unit_name("values", column.kind): [cell.value for cell in column.cells],
        "words": [cell.word for cell in column.cells],
        "met": {
            cup: [cell.shares[place] for cell in column.cells]
            for place, cup in enumerate(column.cups)
        },
    }


def _branch(branch: Branch, panel: DiagramPanel, system: System) -> Object:
    """What is joined to what: a thing, or its parts in series or side by side."""
    if isinstance(branch, Thing):
        note = panel.note(branch)
        branch_data: Object = {
            "tag": branch.tag,
            "name": branch.name,
            "is": branch.sign,
            "file_has_it": branch.told,
            **_told(note, system),
        }
        if branch.beside:
            branch_data["beside"] = [_branch(thing, panel, system) for thing in branch.beside]
        return branch_data
    word = "in_series" if isinstance(branch, Series) else "side_by_side"
    return {word: [_branch(part, panel, system) for part in branch.parts]}


def _well(panel: WellPanel, system: System) -> Object:
    depth = unit_name("depth", panel.axis.kind)
    return {
        "title": text_of(panel.title, system),
        depth: panel.well.depth,
        unit_name("shown", panel.axis.kind): panel.shown,
        "marks": {
            mark.key: {**_told(mark.label, system), depth: mark.depth} for mark in panel.marks
        },
        "hanging": {
            hung.key: {
                "label": hung.name,
                unit_name("intake", panel.axis.kind): hung.intake,
                unit_name("length", panel.axis.kind): hung.length,
            }
            for hung in panel.hanging
        },
        "above": [_told(above.label, system) for above in panel.above],
    }


def _told(text: Text, system: System) -> Object:
    text_data: Object = {"label": text_of(text, system)}
    if isinstance(text, Sentence) and text.quantities():
        text_data["label_numbers"] = _numbers(text)
    return text_data


def _numbers(sentence: Sentence) -> Object:
    return {
        unit_name(name, part.kind): float(part) for name, part in sentence.quantities().items()
    }
