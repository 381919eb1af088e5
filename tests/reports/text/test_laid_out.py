"""A made-up section on pages of three widths, drawn by hand.

Label, value and reason stand in columns 2 apart, the reason beneath in brackets where it has less
than 24. A table has numbers to the right, under a label of two lines and its unit; its columns
are as narrow as their longest word, so that at 44 a gap of 1 holds five of them and at 40 the last
goes on below, led by the names. What is left over goes first to the names, then where most lacks.
"""

from __future__ import annotations

import io
from types import SimpleNamespace

import pytest

from wellsolar import kinds
from wellsolar.reports.rows import Cell, Column, Grid, Row, Section
from wellsolar.reports.tables.readings import BLANK
from wellsolar.reports.text import terminal
from wellsolar.reports.text.terminal import _header, _Page, _section
from wellsolar.results.whole import Answer
from wellsolar.units import Quantity
from wellsolar.verdicts import say

FEET_10, FEET_100, FEET_110 = (Quantity(each * 0.3048, kinds.LENGTH) for each in (10, 100, 110))
WATTS = Quantity(1200.0, kinds.POWER)
HOT, COLD = Quantity(100.0, kinds.TEMPERATURE), Quantity(0.0, kinds.TEMPERATURE)

SECTION = Section(
    "s",
    "Made-up section",
    "What does it show?",
    (
        Row("a", "label", FEET_10, "a why of some words that goes on for a while", kinds.LENGTH),
        Row("b", "a longer label by far", None, "", kinds.LENGTH),
        Row("c", "word", "yes", "short"),
    ),
    (
        Grid(
            "g",
            "A grid",
            (
                Column("n", "name"),
                Column("l", "its length of pipe", kinds.LENGTH),
                Column("p", "power", kinds.POWER),
                Column("w", "words"),
                Column("t", "temperature", kinds.TEMPERATURE),
            ),
            (
                ("first", FEET_10, WATTS, "some words of it", HOT),
                ("second one", FEET_100, None, "x", COLD),
                ("all", FEET_110, WATTS, "", None),
            ),
            note="a note",
            foot=1,
        ),
    ),
)

AT_80 = """Made-up section
===============
What does it show?

  label                  10.0 ft    a why of some words that goes on for a while
  a longer label by far  not known
  word                   yes        short

A grid
              its length
                 of pipe  power                    temperature
  name              (ft)    (W)  words                    (°F)
  ----------- ----------- ------ ----------------- -----------
  first             10.0   1200  some words of it          212
  second one         100      -  x                          32
  ----------- ----------- ------ ----------------- -----------
  all                110   1200                              -
  a note
"""

AT_44 = """Made-up section
===============
What does it show?

  label                  10.0 ft
    (a why of some words that goes on for a
    while)
  a longer label by far  not known
  word                   yes
    (short)

A grid
                its
             length
                 of
               pipe power        temperature
  name         (ft)   (W) words         (°F)
  ---------- ------ ----- ------ -----------
  first        10.0  1200 some           212
                          words
                          of it
  second one    100     - x               32
  ---------- ------ ----- ------ -----------
  all           110  1200                  -
  a note
"""

GRID_AT_40 = """A grid
                 its
              length
             of pipe power
  name          (ft)   (W) words
  ---------- ------- ----- -------------
  first         10.0  1200 some words of
                           it
  second one     100     - x
  ---------- ------- ----- -------------
  all            110  1200

             temperature
  name              (°F)
  ---------- -----------
  first              212
  second one          32
  ---------- -----------
  all                  -
  a note
"""


def drawn_at(width: int, section: Section, monkeypatch: pytest.MonkeyPatch) -> str:
    """A section on a screen of so many columns."""
    monkeypatch.setenv("COLUMNS", str(width))
    stream = io.StringIO()
    page = _Page(stream, "US")
    _section(page, section)
    page.finish()
    return stream.getvalue()


@pytest.mark.parametrize(("width", "drawn"), [(80, AT_80), (44, AT_44), (40, GRID_AT_40)])
def test_a_section_is_drawn_so(width: int, drawn: str, monkeypatch: pytest.MonkeyPatch) -> None:
    printed = drawn_at(width, SECTION, monkeypatch)
    assert printed[printed.index(drawn[:6]) :] == drawn
    assert max(map(len, printed.split("\n"))) <= width


@pytest.mark.parametrize(("width", "beneath"), [(59, True), (60, False)])
def test_a_reason_stands_beneath_where_it_has_less_than_24(
    width: int, beneath: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """2 before the label, 21 of it, 2, 9 of "not known" and 2 leave 23 of 59."""
    assert ("(short)" in drawn_at(width, SECTION, monkeypatch)) == beneath


LONG = Section(
    "l",
    "Long ones",
    "What goes on below itself?",
    (
        Row("a", "one two three four five six seven", "a value of more than twenty", "why"),
        Row("b", "b", "c", ""),
    ),
    (),
)


@pytest.mark.parametrize(("width", "beside"), [(100, True), (80, True), (78, True), (77, False)])
def test_a_label_has_28_columns_and_a_value_20(
    width: int, beside: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """2 before the label, 28 of it, 2, 20 of the value and 2 leave 24 of 78."""
    first, second, *rest = drawn_at(width, LONG, monkeypatch).splitlines()[5:]
    value = "a value of more than" if beside else "a value of more than twenty"
    assert first == f"  {'one two three four five six':28}  {value}{'  why' * beside}"
    assert second == f"  {'seven':28}{'  twenty' * beside}".rstrip()
    assert rest == [*([] if beside else ["    (why)"]), f"  {'b':28}  c"]


@pytest.mark.parametrize(("subjects", "column"), [
    (("pump", "water"), 5), (("water", "pump"), 5), (("p", "a subject 16 let"), 16),
    (("a subject of 17 l", "pump"), 16),
])  # fmt: skip
def test_answers_stand_behind_the_longest_subject_of_16_columns_at_most(
    subjects: tuple[str, ...], column: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setattr(terminal, "counts", lambda results: {})
    monkeypatch.setattr(terminal, "answer", lambda results: "All well.")
    stream = io.StringIO()
    page = _Page(stream, "US")
    answers = tuple(Answer(subject, say("it runs")) for subject in subjects)
    results = SimpleNamespace(site_name="a", site_note="", file="f", verdicts=(), answers=answers,
                              notes=())  # fmt: skip
    _header(page, results)  # type: ignore[arg-type]
    page.finish()
    lines = stream.getvalue().splitlines()
    assert lines[:5] == ["a", "from f", "", "All well.", ""]
    firsts = [subject if len(subject) <= column else "a subject of 17" for subject in subjects]
    drawn = [line for line in lines[5:] if line.endswith("it runs.")]
    assert drawn == [f"{first:{column}}  it runs." for first in firsts]


def of_names(*names: str) -> Section:
    """A table of names and of six numbers, each under a label of five letters with its unit."""
    columns = (Column("name", "name"), *(Column(f"c{n}", "abcde", kinds.POWER) for n in range(6)))
    rows = tuple((name, *(WATTS,) * 6) for name in names)
    return Section("n", "Names", "?", (), (Grid("g", "Grid", columns, rows),))


@pytest.mark.parametrize(
    ("name", "drawn", "first"),
    [
        # Beside six of 5 and gaps of 1, 12 of 48: they take all.
        ("ab cd ef ghi", f"{'-' * 12}{' -----' * 6}", "ab cd ef ghi"),
        # One letter more, and the words alone count: 4, so that gaps of 2 leave 2 to the names.
        ("ab cd ef ghij", f"{'-' * 7}{' ------' * 5} -----", "ab cd"),
        ("abcdefghijklmn", f"{'-' * 14}{' -----' * 5}", "abcdefghijklmn"),
    ],
)
def test_a_name_of_12_letters_stays_on_one_line(
    name: str, drawn: str, first: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = drawn_at(50, of_names(name, "x"), monkeypatch).splitlines()
    assert next(line for line in lines if line.startswith("  -")) == f"  {drawn}"
    row = next(line for line in lines if line.startswith("  ab"))
    assert row.strip().split("  ")[0] == first


@pytest.mark.parametrize(("width", "gap"), [(46, 2), (45, 1), (60, 2)])
def test_columns_stand_two_apart_where_all_fit_so(
    width: int, gap: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """3 columns of 12 and two columns behind each are 42, behind 2: one more leaves nothing."""
    columns = tuple(Column(f"c{n}", "w" * 12) for n in range(3))
    section = Section("w", "Wide", "?", (), (Grid("g", "Grid", columns, (("x",) * 3,)),))
    lines = drawn_at(width - 2, section, monkeypatch).splitlines()
    assert f"  {(' ' * gap).join(['w' * 12] * 3)}" in lines


@pytest.mark.parametrize("letters", [5, 40, 41, 90])
def test_a_title_is_underlined_as_far_as_the_page(
    letters: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    stream = io.StringIO()
    page = _Page(stream, "US")
    page.title("t" * letters)
    page.finish()
    lines = stream.getvalue().splitlines()
    assert lines[0] == ""
    assert lines[-1] == "=" * min(letters, 40)


def test_texts_side_by_side_have_a_gap_and_the_last_what_is_left(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of 40 columns 3 before, 6 and a gap of 4, 5 and a gap of 4 leave 18."""
    monkeypatch.setenv("COLUMNS", "40")
    stream = io.StringIO()
    page = _Page(stream, "US")
    last = "one two three four five"
    page.side_by_side([(page.text("ab cd ef"), 6), (page.text("x"), 5), (page.text(last), 0)],
                      indent=3, gap=4)  # fmt: skip
    page.line("indented", indent=5)
    page.finish()
    assert stream.getvalue().splitlines() == [
        f"   {'ab cd':6}    {'x':5}    one two three four", f"   {'ef':6}    {'':5}    five",
        "     indented",
    ]  # fmt: skip


def test_a_table_has_its_foot_behind_a_line_and_its_note_below(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    columns = (Column("a", "a"), Column("b", "b", kinds.POWER))
    rows = tuple((name, WATTS) for name in "pqrs")
    for foot, place in ((0, None), (1, 6), (2, 5)):
        grid = Grid("g", "Grid", columns, rows, "a note", foot)
        lines = drawn_at(40, Section("s", "S", "?", (), (grid,)), monkeypatch).splitlines()
        assert lines[-1] == "  a note"
        lines = lines[lines.index("Grid") + 1 :]
        dashes = [number for number, line in enumerate(lines) if line.startswith("  -")]
        assert dashes == [2, *([] if place is None else [place])]


def test_a_note_on_a_sheet_to_fill_in_stands_before_its_lines(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    columns = (Column("a", "a"), Column("b", "b"))
    for cell, place in ((BLANK, 1), ("c", -1)):
        grid = Grid("g", "Grid", columns, (("p", "c"), ("q", cell)), "a note")
        lines = drawn_at(40, Section("s", "S", "?", (), (grid,)), monkeypatch).splitlines()
        lines = lines[lines.index("Grid") :]
        assert lines[place] == "  a note"
        assert lines.count("  a note") == 1


@pytest.mark.parametrize(
    ("column", "cells", "numeric"),
    [
        (Column("a", "a", kinds.POWER), ("word", None), True), (Column("a", "a"), ("x",), False),
        (Column("a", "a"), (WATTS, None), True), (Column("a", "a"), (WATTS, "x"), False),
        (Column("a", "a"), (None, None), False),
    ],
)  # fmt: skip
def test_a_column_is_of_numbers_where_it_holds_nothing_else(
    column: Column, cells: tuple[Cell, ...], numeric: bool
) -> None:
    grid = Grid("g", "Grid", (Column("n", "n"), column), tuple(("n", cell) for cell in cells))
    assert terminal._is_numeric(grid, 1) == numeric
    assert not terminal._is_numeric(grid, 0)
