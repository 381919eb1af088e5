"""Every row and cell of every section shows the field that it is meant to show.

`shown.txt` says for each which field of the results that is, under which label and in which kind
of unit; `[n]` is the number of the row. The results are made up: each number in them is another
prime, so that no two of them, nor a multiple or a negative of one, look alike.

Where a report is to show something else, edit the table by hand, or write it anew by
`python -m tests.reports.tables.test_shown` and read each line that has changed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

import pytest

from tests.reports.tables.made import BARE, FULL, Made
from wellsolar.kinds import Kind
from wellsolar.reports.rows import Cell, Grid, Section
from wellsolar.reports.tables.sections import sections
from wellsolar.units import Quantity

NOTE = 100
"""Letters by which a note is known, beside how many it has and the numbers in the rest."""

TABLE = Path(__file__).with_name("shown.txt")


@cache
def made(sort: str) -> Made:
    return Made(sort)


BEFORE_CHANGES = (lambda: made(FULL), lambda: made(BARE))
"""What `tests.mutation` may make once: nothing that it changes has a part in it."""


def kind_of(cell: Cell, kind: Kind | None) -> str:
    """The kind under which a cell is printed, with the unit in JSON that tells two of a name."""
    found = cell.kind if isinstance(cell, Quantity) else kind
    return "words" if found is None else f"{found.name} [{found.key}]"


def across(sources: Sequence[str]) -> str:
    """One text for the cells of a column, where only the row's number tells them apart."""
    if len(set(sources)) < 2:
        return next(iter(sources), "-")
    for place in range(sources[0].count("[")):
        numbered = [_numbered(each, place, n) for n, each in enumerate(sources)]
        if len(set(numbered)) == 1:
            return numbered[0]
    return " ; ".join(sources)


def _numbered(source: str, place: int, row: int) -> str:
    """The text with one of its numbers in brackets, where it is the row's, named so."""
    pieces = re.split(r"(\[\d+\])", source)
    if 2 * place + 1 < len(pieces) and pieces[2 * place + 1] == f"[{row}]":
        pieces[2 * place + 1] = "[n]"
    return "".join(pieces)


def of_grid(of: Made, grid: Grid) -> Iterator[str]:
    foot = f" | last {grid.foot} below a line" if grid.foot else ""
    yield f"  grid {grid.key} | {of.source(grid.title)} | {len(grid.rows)} rows{foot}"
    if grid.note:
        note = of.source(grid.note)
        numbers = " ".join(re.findall(r"<.*?>|\d[\d.]*\b", note[NOTE:]))
        rest = f" | then {numbers}" if numbers else ""
        yield f"    note | {note[:NOTE]} | {_letters(grid.note)} letters{rest}"
    for place, column in enumerate(grid.columns):
        cells = [row[place] for row in grid.rows]
        kinds = dict.fromkeys(kind_of(each, column.kind) for each in cells)
        sources = across([of.source(row[place], row) for row in grid.rows])
        label = of.source(column.label)
        yield f"    {of.source(column.key)} | {label} | {', '.join(kinds)} | {sources}"


def _letters(text: str) -> int:
    """How many letters a note has, its numbers and made-up words left out."""
    return sum(each.isalpha() for each in re.sub(r"word \d+", "", text))


def of_section(of: Made, section: Section) -> Iterator[str]:
    yield f"{of.source(section.key)} | {of.source(section.title)} | {section.question}"
    every = [row.quantity for row in section.rows]
    for row in section.rows:
        kind = kind_of(row.quantity, row.kind)
        nothing = f" or {row.nothing!r}" if row.quantity is None else ""
        why = f" | {of.source(row.why)}" if row.why else ""
        label = of.source(row.label)
        shows = f"{of.source(row.quantity, every)}{nothing}{why}"
        yield f"  {of.source(row.key)} | {label} | {kind} | {shows}"
    for grid in section.grids:
        yield from of_grid(of, grid)


def shown(sort: str) -> str:
    """All that a report shows of results of one sort; of a second pump what the first has not,
    and of bare results what full ones have not."""
    of = made(sort)
    full = made(FULL)
    known = {line for each in sections(full.results) for line in of_section(full, each)}
    lines: list[str] = []
    first: set[str] = set()
    for section in sections(of.results):
        told = list(of_section(of, section))
        number = re.search(r"_(\d)$", section.key)
        if number is None or number[1] == "1":
            first = {_as_second(each) for each in told}
            rest = told[1:]
        else:
            rest = [each for each in told[1:] if each not in first]
        if sort == BARE:
            rest = [each for each in rest if each not in known]
        lines += [told[0], f"  {len(told)} lines", *rest]
    return "\n".join([f"== {sort}", *lines, ""])


def _as_second(line: str) -> str:
    """A line of the first of several, as the second would have it."""
    return re.sub(r"\b(pumps|supply|supply_years|arrays|lifts|readings)\[0\]", r"\1[1]", line)


@pytest.mark.parametrize("sort", [FULL, BARE])
def test_every_cell_shows_the_field_that_the_table_names(sort: str) -> None:
    told = TABLE.read_text("utf-8").split("== ")
    meant = next(f"== {each}" for each in told if each.startswith(f"{sort}\n"))
    assert shown(sort).splitlines() == meant.splitlines()


def test_a_year_of_hot_water_is_the_sum_of_its_months_and_the_mean_of_its_evenings() -> None:
    """What no one field is: by hand, evenings by the days of their months."""
    results = made(FULL).results
    for tank in (results.heated_tank, results.diverted_tank):
        for household in tank.households:
            one, other = household.months
            days = one.days + other.days
            evening = one.evening_temperature * one.days + other.evening_temperature * other.days
            assert household.year.evening_temperature == pytest.approx(evening / days, rel=1e-12)
            wanted = one.tap_volume + other.tap_volume + one.short_volume + other.short_volume
            assert household.year.wanted_volume == wanted


BY_NAME = {
    "J": "energy heat gained lost delivered made missing tracked spilled needed available used "
         "wanted work battery pump months unmet usual",
    "W": "power input load room", "VA": "power needed",
    "A": "current ampacity device fuse asked photocurrent", "V": "voltage drop table lift",
    "ohm": "resistance resistances", "N": "pull weight upward downward friction counterweight",
    "degC": "temperature temperatures setpoint hottest guarded through",
    "m3_per_s": "flow yield rest intake season computed", "per_s": "rate starts",
    "m3": "volume drawdown unmet wanted given stored water pumped expansion needed basic normal "
          "survival night storage in out",
    "m": "head depth level levels drawdown bore length lift limit clearance circle diameter top "
         "bottom frost stretch friction darcy williams available required fitted wanted",
    "m_per_s": "velocity", "deg": "tilt azimuth",
    "Pa_gauge": "pressure precharge upstream after supply in out limit",
    "s": "time times effort adult child", "s_from_midnight": "evening setpoint",
    "J_per_m2": "array horizontal totals year", "W_per_m2": "irradiance named best",
    "J_per_m3": "volume", "m2_per_s": "transmissivity capacity",
}  # fmt: skip
"""Units in which something may be that is called so last; one is never another's."""

NUMBERS = ("count", "fraction", "ratio")
"""That have no unit: a share of an energy, how many evenings, what storage is in an aquifer."""


@pytest.mark.parametrize("sort", [FULL, BARE])
def test_what_is_called_so_is_shown_in_its_unit(sort: str) -> None:
    """An energy in no unit of power, a volume in none of a flow, by the last word of the field."""
    of, looked_at = made(sort), 0
    for section in sections(of.results):
        cells = [row.quantity for row in section.rows]
        cells += [cell for grid in section.grids for row in grid.rows for cell in row]
        for cell in cells:
            path = of.paths.get(float(cell), "") if isinstance(cell, Quantity) else ""
            word = re.sub(r"\[\d+\]", "", path).rpartition(".")[2].rpartition("_")[2]
            units = [unit for unit, words in BY_NAME.items() if word in words.split()]
            if units and isinstance(cell, Quantity):
                assert cell.kind.key in (*units, *NUMBERS, "days", "Pa_absolute"), path
                looked_at += 1
    assert looked_at > 200


if __name__ == "__main__":
    TABLE.write_text(shown(FULL) + shown(BARE), "utf-8")
