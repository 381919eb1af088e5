"""Blocks, rows of a design and what has no room on a page, each drawn by hand."""

from __future__ import annotations

from types import SimpleNamespace
from unittest import mock

import pytest

from wellsolar.reports.text.designs import _row, _rows
from wellsolar.reports.text.screen import Block, headline
from wellsolar.reports.text.sizing import _laid
from wellsolar.verdicts import say


@pytest.mark.parametrize(
    ("mark", "begin", "lines"),
    [
        ("FAIL", 9, ["FAIL     the pump runs", "         too often"]),
        ("CAUTION", 7, ["CAUTION the pump runs too", "       often"]),
        ("", 2, ["  the pump runs too often"]),
    ],
)
def test_a_block_stands_behind_its_mark(mark: str, begin: int, lines: list[str]) -> None:
    assert Block(mark, begin, "the pump runs too often").lines(25) == lines


def test_the_rows_of_a_design_stand_under_their_titles() -> None:
    rows = [
        ("pump", "8 gpm at 240 ft", "yield"),
        ("drop pipe", "1 in", "pipe velocity"),
    ]
    assert _laid(rows) == [
        ["BUY    part       size             bound by"],
        ["       pump       8 gpm at 240 ft  yield"],
        ["       drop pipe  1 in             pipe velocity"],
    ]


def test_a_long_size_goes_on_below_itself_within_80_columns() -> None:
    size = "a tank of 5000 gal on a stand of concrete blocks and of steel, painted black all over"
    rows = [("storage tank", size, "days short of the tank"), ("pump", "any", "")]
    titles, (first, *more), _ = _laid(rows)
    # 80 columns less 7 before it, 12 of the part, 22 of what binds it and twice a gap of 2.
    assert titles == [f"BUY    {'part':12}  {'size':35}  bound by"]
    assert first == f"       storage tank  {'a tank of 5000 gal on a stand of':35}  {rows[0][2]}"
    assert more == [
        " " * 21 + "concrete blocks and of steel,",
        " " * 21 + "painted black all over",
    ]
    assert max(map(len, (first, *more))) <= 80


def test_no_rows_have_titles_alone() -> None:
    assert _laid([]) == [["BUY    part  size  bound by"]]


@pytest.mark.parametrize(
    ("room", "shown"),
    [(4, ["a", "b", "b 2", "c"]), (9, ["a", "b", "b 2", "c"]), (3, ["a", "c", "and b"]),
     (2, ["a", "and b, c"]), (1, ["and a, b, c"])],
)  # fmt: skip
def test_what_has_no_room_is_named_in_the_last_line(room: int, shown: list[str]) -> None:
    assert _rows({"a": ["a"], "b": ["b", "b 2"], "c": ["c"]}, room) == shown


def test_many_names_without_room_are_cut() -> None:
    (line,) = _rows({f"a part {number:02}": ["x"] for number in range(12)}, 1)
    assert line.startswith("and a part 00, a part 01, ")
    assert line.endswith(" ...")
    assert len(line) == 80


def test_a_cell_goes_on_below_itself_in_its_column() -> None:
    """17 columns of a label, 20 and a blank of each cell."""
    assert list(_row("pressure tank", ["44 gal", "86 gal of a tank with a bladder"])) == [
        f"{'pressure tank':17}{'44 gal':20} {'86 gal of a tank':20}",
        f"{'':17}{'':20} {'with a bladder':20}",
    ]


def test_a_label_as_wide_as_its_column_goes_on_below() -> None:
    """A blank stands between it and the first cell."""
    assert next(_row("a label of 16 ch", ["x"])) == f"a label of 16 ch {'x':20}"
    assert list(_row("a label of 17 let", ["x"])) == [f"{'a label of 17':17}{'x':20}",
                                                      f"{'let':17}{'':20}"]  # fmt: skip


@pytest.mark.parametrize(
    ("words", "told"),
    [([12] * 4, 3), ([14] * 4, 2), ([12, 12], 2), ([60], 1), ([60, 3], 1), ([3] * 6, 6)],
)
def test_a_headline_has_some_forty_words(words: list[int], told: int) -> None:
    """The first numbers that fit beside two words of a judgement, one at the least; six of six
    words are 36."""
    answers = [
        SimpleNamespace(subject=f"part{place}", text=say(" ".join(["word"] * (count - 1))))
        for place, count in enumerate(words)
    ]
    results = SimpleNamespace(site_name="A", answers=answers, system="US", notes=(), verdicts=())
    with mock.patch("wellsolar.reports.text.screen.judged", return_value="all well"):
        line = headline(results)  # type: ignore[arg-type]
    assert line.startswith("A: all well. In short, part0: word")
    assert line.count("part") == told
