"""What a Python user has of results beside the objects themselves: tables, JSON, HTML, files."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from wellsolar import kinds
from wellsolar.reports.rows import Cell, Grid, Section, unit_name
from wellsolar.results import Results
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence

if TYPE_CHECKING:
    import pandas as pd

CHECK, REPORT = "check JSON", "report page"
"""What results are as JSON and as a page, by the commands that write the same."""


def tables(results: Results) -> dict[str, pd.DataFrame]:
    """The rows and grids that every report prints, as data frames.

    Parameters:
        results: of `Case.results` or `study_site`
    Returns:
        by key: a section such as "pump_1" with a row a number (label, value, unit, why), and each
        grid of it as "pump_1.duties" with a column a number; values are in SI, temperatures in
        degC, and a grid's column ends in its unit as the keys of the JSON do
    """
    from wellsolar.reports.tables.sections import sections

    frames: dict[str, pd.DataFrame] = {}
    for section in sections(results):
        if section.rows:
            frames[section.key] = _rows(section, results)
        for grid in section.grids:
            frames[f"{section.key}.{grid.key}"] = _grid(grid, results)
    return frames


def _rows(section: Section, results: Results) -> pd.DataFrame:
    import pandas as pd

    columns: dict[str, list[object]] = {
        "label": [row.label for row in section.rows],
        "value": [_value(row.quantity, results) for row in section.rows],
        "unit": [_unit(row.quantity, row.kind) for row in section.rows],
        "why": [_value(row.why, results) for row in section.rows],
    }
    frame = pd.DataFrame(columns, index=pd.Index([row.key for row in section.rows], name="key"))
    frame.attrs["title"] = section.title
    return frame


def _grid(grid: Grid, results: Results) -> pd.DataFrame:
    import pandas as pd

    frame = pd.DataFrame(
        [[_value(cell, results) for cell in row] for row in grid.rows],
        columns=[unit_name(column.key, column.kind) for column in grid.columns],
    )
    frame.attrs["title"] = grid.title
    return frame


def _value(cell: Cell, results: Results) -> float | str | None:
    """A number in SI, or words in the units that the results print in."""
    if isinstance(cell, Sentence):
        return cell.text(results.system)
    return float(cell) if isinstance(cell, Quantity) else cell


def _unit(cell: Cell, kind: kinds.Kind | None) -> str:
    """The unit of a number as the end of a JSON key; empty for words."""
    kind = cell.kind if isinstance(cell, Quantity) else kind
    return "" if kind is None else kind.key


def as_json(results: Results) -> str:
    """Results as strict JSON in SI: what `wellsolar check --json` writes, with its stamp.

    Parameters:
        results: of `Case.results` or `study_site`
    Returns:
        the text, the same for the same results
    """
    from wellsolar.reports.stamps import stamped
    from wellsolar.reports.tables.sections import sections
    from wellsolar.reports.text import json

    return stamped(json.as_text(results, sections(results)), CHECK)


def as_html(results: Results) -> str:
    """Results as one page that needs no other file: what `wellsolar report` writes.

    Parameters:
        results: of `Case.results`; with the section "figures", the page has figures
    """
    from wellsolar.reports.charts.beside import draw_all
    from wellsolar.reports.figures import all as figures
    from wellsolar.reports.pages import report
    from wellsolar.reports.stamps import stamped
    from wellsolar.reports.tables.sections import sections

    plots = figures.plots(results)
    svgs = draw_all(plots, results.system)
    drawn = {plot.key: (plot, svg) for plot, svg in zip(plots, svgs, strict=True)}
    return stamped(report.report(results, sections(results), drawn), REPORT)


def write(results: Results, *paths: str | Path, force: bool = False) -> None:
    """Write results to files, each whole or not at all.

    Parameters:
        results: of `Case.results` or `study_site`
        paths: ending in .json or .html
        force: replace a file that is no earlier output of the same kind, unchanged since
    Raises:
        OutputError: a path ends otherwise, can't be written to, is the site file, or leads to
            such a file; then nothing is written
    """
    from wellsolar.errors import OutputError
    from wellsolar.reports import files

    writers = {".json": (as_json, CHECK), ".html": (as_html, REPORT)}
    outputs = []
    for path in paths:
        if Path(path).suffix not in writers:
            raise OutputError(f"{path}: results are written to .json or .html: name one of these")
        outputs.append(files.Output(path, writers[Path(path).suffix][1]))
    files.check_outputs(outputs, [("the site file", results.file)], force)
    texts = [writers[Path(path).suffix][0](results) for path in paths]
    files.write_outputs(list(zip(outputs, texts, strict=True)), force)
