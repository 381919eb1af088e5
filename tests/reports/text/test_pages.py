"""Whole small pages as they are laid out: widths, wraps, blocks, feet, notes, and sites compared.

The pages lie in `pages.txt`, written once and read. They hold the layout, and of a comparison
which numbers stand where; what the numbers are, other tests hold. Printed by the program itself,
they tell that something moved, not that it is right.
"""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path

import pytest

from tests.reports.tables.made import FULL
from tests.reports.tables.test_shown import made
from tests.reports.text.test_beside_results import judged
from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Row, Section, cells
from wellsolar.reports.tables.readings import BLANK
from wellsolar.reports.text.card import card_text, write_card
from wellsolar.reports.text.compare import (
    Comparison,
    Judged,
    Number,
    as_text,
    compare,
    compare_sections,
    heading,
)
from wellsolar.reports.text.compare_screen import FEW, compare_screen
from wellsolar.reports.text.layout import columns, width_of
from wellsolar.reports.text.screen import LINES, screen
from wellsolar.reports.text.terminal import write, write_sections
from wellsolar.results import Results
from wellsolar.results.entries import CLOCK
from wellsolar.results.whole import Answer
from wellsolar.units import Quantity, System
from wellsolar.verdicts import Assumption, say

PAGES = Path(__file__).with_name("pages.txt")
LONG = "what a long reason of many words says of a number that stands beside it on the page"


def metres(value: float) -> Quantity:
    return Quantity(value, kinds.LENGTH)


def section(*times: float, key: str = "one_1", title: str = "One of two") -> Section:
    """Rows and grids of every sort, their numbers times a factor."""
    (by,) = times or (1.0,)
    flow, cell = kinds.FLOW, kinds.TEMPERATURE
    rows = (
        Row("depth", "depth", metres(61.0 * by), LONG, kinds.LENGTH),
        Row("label", "a label of more letters than twenty-eight", metres(7.3), "", kinds.LENGTH),
        Row("word", "a word", "a value of more letters than twenty", "why", None),
        Row("lacks", "not there", None, say("{d} at most", d=metres(3.0)), flow, "never"),
        Row("warm", "warmth", Quantity(20.0 * by, cell), "", cell),
        Row("hour", "hour", Quantity(52_200.0 * by, CLOCK), "", CLOCK),
    )
    short = (Column("name", "name"), Column("flow", "flow", flow), Column("said", "said"))
    wide = (
        Column("what", "what the row is named"),
        *(Column(f"c{n}", f"column {n} of several words", kinds.LENGTH) for n in range(6)),
        Column("mixed", "mixed"),
    )
    grids = (
        Grid("short", "Short names", short, (
            cells(short, ("a", 1e-3 * by, "x")),
            cells(short, ("twelve ltrs.", 2e-3, "a longer text that may be wrapped")),
        ), "a note below the table"),
        Grid("long", "Longer names", short, (
            cells(short, ("thirteen ltrs.", None, None)),
            cells(short, ("b", 3e-3 * by, BLANK)),
        ), "a note above the table"),
        Grid("wide", "In blocks", wide, tuple(
            (f"a name of more than 12 letters {row}", *(metres(10.0 * row + n) for n in range(6)),
             metres(1.0) if row else None)
            for row in range(4)
        ), foot=1),
        Grid("course", "By the month", (Column("month", "month"), *short[1:]), (
            cells(short, ("January", 1e-3 * by, "x")),
        )),
    )  # fmt: skip
    return Section(key, title, "What is it?", rows, grids)


def results() -> Results:
    return replace(
        made(FULL).results,
        verdicts=judged(),
        notes=("a note",),
        site_note="where it stands",
        answers=(Answer("water", say("there is enough")), Answer("a subject of many letters",
                 say("it needs {d}", d=metres(12.0)))),
        assumptions=(Assumption("well.depth", metres(61.0), "nobody told it", "common practice"),),
        cautions=("scald",),
    )  # fmt: skip


def page(width: int, system: System = "US") -> str:
    stream = io.StringIO()
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("COLUMNS", str(width))
        if width == 100:
            write((), results(), stream, system)
        lines = ["A paragraph above the tables, which is wrapped where it is too long."]
        shown = (section(), tight()) if width == 40 else (section(),)
        write_sections("Tables", lines, shown, stream, system, ("scald",))
    return stream.getvalue()


def tight() -> Section:
    """Tables that just fit with two spaces between columns, and that just do not."""
    words = [tuple(Column(f"c{n}", "w" * size) for n, size in enumerate(sizes))
             for sizes in ((10, 11, 11), (11, 11, 11))]  # fmt: skip
    named = (Column("name", "name"), *(Column(f"c{n}", "abcde", kinds.FLOW) for n in range(6)))
    return Section("tight", "Tight", "Does it fit?", (), (
        *(Grid(f"g{n}", "Three", each, (("x",) * 3,)) for n, each in enumerate(words)),
        Grid("named", "Names", named, (
            ("ab cd ef gh", *(Quantity(1e-3, kinds.FLOW),) * 6),)),
        Grid("names", "Long names", named, (
            ("ab cd ef gh ij", *(Quantity(1e-3, kinds.FLOW),) * 6),)),
    ))  # fmt: skip


def compared() -> Comparison:
    one, other = results(), results()
    pumps = (replace(other.pumps[0], name="another"),)
    one = replace(one, pumps=one.pumps[:1], site_name="first")
    yields, *rest = judged()
    lone = replace(rest[2], subject="alone")
    other = replace(
        other, pumps=pumps, site_name="second", verdicts=(replace(rest[1], subject=yields.subject),
        *rest[:2], lone),
    )  # fmt: skip
    extra = Row("only", "only here", metres(2.0), "", kinds.LENGTH)
    same = replace(section(), grids=(section().grids[0], section().grids[3]))
    changed = section(1.25)
    changed = replace(
        changed, rows=(*changed.rows, extra), grids=(changed.grids[0], changed.grids[3])
    )
    named = section(key="pump_1", title=f"{one.pumps[0].name}: at work")
    alike = section(1.5, key="pump_2", title="another: at work")
    named, alike = (replace(each, rows=each.rows[:1], grids=()) for each in (named, alike))
    nearly = replace(
        section(key="near"), grids=(), rows=(Row("n", "n", metres(1.0 + 5e-10), "", None),)
    )
    near = replace(section(key="near"), grids=(), rows=(Row("n", "n", metres(1.0), "", None),))
    return compare(
        [one, other], [[same, named, near], [changed, alike, nearly]], ["one file", "another file"]
    )


def of_comparison() -> str:
    found = compared()
    stream = io.StringIO()
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("COLUMNS", "100")
        write_sections("Compared", heading(found), compare_sections(found, True), stream, "US")
    screens = [compare_screen(found, "US", width) for width in (80, 44)]
    return "\n".join([stream.getvalue() + as_text(found, "US"), *screens])


def pages() -> str:
    made_pages = {
        "100 columns, US": page(100), "72 columns, SI": page(72, "SI"), "40 columns": page(40),
        "compared": of_comparison(),
    }  # fmt: skip
    return "".join(f"######## {name}\n{text}" for name, text in made_pages.items())


def test_pages_are_laid_out_like_this() -> None:
    assert pages().splitlines() == PAGES.read_text("utf-8").splitlines()


@pytest.mark.parametrize("width", [40, 57, 72, 100])
def test_no_line_is_wider_than_the_page(width: int) -> None:
    assert max(map(columns, page(width).splitlines())) <= width


def of_two(hurt: int, fail: int, numbers: int) -> Comparison:
    """Two sites of which one fails so many verdicts more, in some of which it can hurt, the last
    of them; and that differ in so many numbers."""
    made = tuple(
        Judged(f"part {n}", f"rule {n}", "is it so?", ("pass", "fail"), n >= fail - hurt)
        for n in range(fail)
    )
    values = Quantity(1.0, kinds.LENGTH), Quantity(2.0, kinds.LENGTH)
    rows = tuple(Number("s", "k", "whole", f"number {n}", kinds.LENGTH, values, (True, True))
                 for n in range(numbers))  # fmt: skip
    return replace(compared(), verdicts=made, numbers=rows)


@pytest.mark.parametrize("numbers", [0, 1, 4, 5, 30])
@pytest.mark.parametrize(
    ("hurt", "fail"), [(0, 0), (0, 3), (0, 12), (0, 40), (2, 2), (3, 40), (15, 15), (30, 40)]
)
def test_what_can_hurt_parts_two_sites_first_and_what_is_left_out_is_counted(
    hurt: int, fail: int, numbers: int
) -> None:
    lines = compare_screen(of_two(hurt, fail, numbers), "US").splitlines()
    rules = [line for line in lines if line.startswith("part ")]
    shown = [line for line in lines if line.startswith("whole, number ")]
    left = next((line for line in lines if line.startswith("Left out")), "")
    counted = {word: int(many) for many, word in re.findall(r"(\d+) (\w+)", left)}
    assert len(rules) + counted.get("verdicts", 0) == fail
    assert len(shown) + counted.get("numbers", 0) == numbers
    hurting = {f"part {n}, rule {n}" for n in range(fail - hurt, fail)}
    assert hurting == {line.split("  ")[0] for line in rules[:hurt]}
    assert all(line.split()[-2:] == ["pass", "fail"] for line in rules)
    assert len(lines) <= LINES or (len(rules) == hurt and not shown)
    assert bool(left) == (len(rules) + len(shown) < fail + numbers)
    if left and hurt < 10:
        assert len(lines) == LINES  # there is as much as has room
        assert len(shown) >= min(FEW, numbers)
    if not fail + numbers:
        assert "No verdict or number differs." in lines


def test_a_screen_and_a_card_have_80_columns_at_most(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    stream = io.StringIO()
    named = replace(results(), site_name="a site of a long name " * 5)
    write_card(named, stream)
    found = of_two(2, 3, 4)
    for drawn in (
        lambda width: compare_screen(found, "US", width),
        lambda width: screen(named, width),
        lambda width: stream.getvalue() if width > 80 else card_text(named, width),
    ):
        assert drawn(100) == drawn(80)
        assert 60 < max(map(columns, drawn(80).splitlines())) <= 80


@pytest.mark.parametrize(
    ("told", "width"),
    [("72", 72), ("39", 40), ("12", 40), ("100", 100), ("101", 100), ("", 100), ("0", 100),
     ("-5", 100), ("many", 100)],
)  # fmt: skip
def test_a_page_is_40_to_100_columns_wide(
    told: str, width: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", told)
    assert width_of(io.StringIO()) == width


if __name__ == "__main__":
    PAGES.write_text(pages(), "utf-8")
