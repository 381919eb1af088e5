"""Every number of made-up results stands in JSON and on the terminal, in its unit and place."""

from __future__ import annotations

import io
import math
from dataclasses import replace
from typing import Any

import pytest

from tests.reports.tables.made import BARE, FULL
from tests.reports.tables.test_shown import made
from wellsolar.kinds import Kind
from wellsolar.reports.rows import Cell, Grid, Row, Section
from wellsolar.reports.tables.sections import sections
from wellsolar.reports.text.json import as_json
from wellsolar.reports.text.terminal import write
from wellsolar.results import Results
from wellsolar.results.entries import CLOCK
from wellsolar.units import SYSTEMS, Quantity, System, show_some
from wellsolar.verdicts import Sentence


def results_of(sort: str) -> Results:
    """Made-up results of a site, whose tank is heated by modules or by a surplus, not by both."""
    return replace(made(sort).results, diverted_tank=None)


def in_json(cell: Cell) -> Any:
    """A cell as JSON has it: its number in SI, a count whole."""
    if isinstance(cell, Quantity):
        return pytest.approx(float(cell), rel=1e-12) if math.isfinite(cell) else None
    return cell.text("US") if isinstance(cell, Sentence) else cell


def named(key: str, cell: Cell, kind: Kind | None) -> str:
    """A key with the unit at its end where it holds a number."""
    found = cell.kind if isinstance(cell, Quantity) else kind
    return key if found is None else f"{key}_{found.key}"


def rows_in_json(rows: tuple[Row, ...]) -> dict[str, Any]:
    return {named(row.key, row.quantity, row.kind): in_json(row.quantity) for row in rows}


def grid_in_json(grid: Grid) -> list[dict[str, Any]]:
    return [
        {
            named(column.key, cell, column.kind): in_json(cell)
            for column, cell in zip(grid.columns, row, strict=True)
        }
        for row in grid.rows
    ]


def numbers_of(sentence: Sentence) -> dict[str, Any]:
    return {
        f"{name}_{part.kind.key}": in_json(part)
        for name, part in sentence.parts.items()
        if isinstance(part, Quantity)
    }


@pytest.mark.parametrize("sort", [FULL, BARE])
def test_json_has_every_row_and_cell_in_si(sort: str) -> None:
    results = results_of(sort)
    found = as_json(results, sections(results))["sections"]
    assert list(found) == [each.key for each in sections(results)]
    for section in sections(results):
        told = found[section.key]
        assert (told["title"], told["question"]) == (section.title, section.question)
        assert (section.title[-1:] == "?", section.question[-1:] == "?") == (False, True)
        assert told["rows"] == rows_in_json(section.rows)
        assert list(told["rows"]) == list(rows_in_json(section.rows))
        assert told["labels"] == {row.key: row.label for row in section.rows}
        reasons = {row.key: row.why for row in section.rows if row.why}
        assert told["why"] == {key: in_json(why) for key, why in reasons.items()}
        sentences = {key: why for key, why in reasons.items() if isinstance(why, Sentence)}
        assert told["why_numbers"] == {key: numbers_of(why) for key, why in sentences.items()}
        for grid in section.grids:
            table = told["grids"][grid.key]
            assert (table["title"], table["note"]) == (grid.title, grid.note)
            assert table["labels"] == [column.label for column in grid.columns]
            assert table["columns"] == [named(each.key, None, each.kind) for each in grid.columns]
            for row, expected in zip(table["rows"], grid_in_json(grid), strict=True):
                assert {key: row[key] for key in expected} == expected


def on_paper(cell: Cell, system: System, nothing: str) -> str:
    """A cell as a person reads it."""
    if cell is None:
        return nothing
    if isinstance(cell, Sentence):
        return cell.text(system)
    if not isinstance(cell, Quantity):
        return cell
    if cell.kind.name == CLOCK.name:
        hours, minutes = divmod(round(float(cell) / 60.0), 60)
        return f"{hours}:{minutes:02d}"
    return show_some(cell, system, less="<")


def one_unit(kind: Kind | None, system: System) -> str:
    """The unit of a column whose numbers all have the same one; empty where they have not."""
    if kind is None or kind.name == CLOCK.name:
        return ""
    units = {each.label for each in (kind.us if system == "US" else kind.metric)}
    return units.pop() if len(units) == 1 else ""


def check_rows(text: str, section: Section, system: System) -> None:
    """Each row begins with its label and has its value beside it, in their order."""
    place = 0
    for row in section.rows:
        value = on_paper(row.quantity, system, row.nothing).split()[0]
        line = f"\n  {row.label.split()[0]}"
        place = text.index(line, place) + 1
        end = text.index("\n", place)
        assert value in text[place:end].split(), (section.key, row.key, text[place:end])


def check_grid(text: str, grid: Grid, system: System) -> None:
    """Each row's cells stand side by side, without the unit that the header names."""
    for place, column in enumerate(grid.columns):
        unit = one_unit(column.kind, system)
        assert not unit or f"({unit})" in text, (grid.key, column.key, unit)
        for row in grid.rows:
            told = on_paper(row[place], system, "-")
            if unit:
                told = told.removesuffix(unit).strip()
            elif not isinstance(row[place], Quantity):
                told = told.split()[0]
            assert all(each in text.split() for each in told.split()), (grid.key, column.key, told)
    firsts = [f"\n  {row[0]} " for row in grid.rows if isinstance(row[0], str)]
    places = [text.index(each) for each in firsts if each in text]
    assert places == sorted(places), grid.key


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("sort", [FULL, BARE])
def test_the_terminal_has_every_row_and_cell(
    sort: str, system: System, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    results = results_of(sort)
    stream = io.StringIO()
    write(sections(results), results, stream, system)
    text = stream.getvalue()
    assert max(map(len, text.split("\n"))) <= 100
    begun = 0
    for section in sections(results):
        begun = text.index(f"\n{section.title}\n{'=' * len(section.title)}\n", begun)
        after = text.find("\n===", begun + 2 * len(section.title) + 3)
        part = text[begun : after if after > 0 else None]
        check_rows(part.split(f"\n{section.grids[0].title}\n")[0] if section.grids else part,
                   section, system)  # fmt: skip
        for grid in section.grids:
            start = part.index(f"\n{grid.title}\n")
            check_grid(part[start:], grid, system)
