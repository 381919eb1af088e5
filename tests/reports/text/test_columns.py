"""Blocks, rows of a design and what has no room on a page, each drawn by hand."""

from __future__ import annotations

from types import SimpleNamespace
from unittest import mock

import pytest

from wellsolar import kinds
from wellsolar.reports.text.compare import COST, Judged, Number, _by_matter, _by_worst
from wellsolar.reports.text.designs import _duty, _figures, _row, _rows
from wellsolar.reports.text.screen import Block, headline
from wellsolar.reports.text.sizing import _laid, _needs, _wanted
from wellsolar.results.sizing import DesignFigures, Needs
from wellsolar.units import Quantity, System
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


FOOT, GALLON = 0.3048, 231 * 0.0254**3


@pytest.mark.parametrize(("system", "flow", "heads", "volumes"), [
    ("US", "8.00 gpm", ["100 ft", "60.0 ft", "80.0 ft", "240 ft"],
     ["100 gal", "10.0 gal", "5.00 gal", "85.0 ft"]),
    ("SI", "30.3 L/min", ["30.5 m", "18.3 m", "24.4 m", "73.2 m"],
     ["379 L", "37.9 L", "18.9 L", "25.9 m"]),
])  # fmt: skip
def test_numbers_of_a_design_stand_in_their_units(
    system: System, flow: str, heads: list[str], volumes: list[str]
) -> None:
    """To three figures, by the exact foot and gallon: 100 gal are 378.5 L, 240 ft are 73.15 m."""
    pieces = [
        SimpleNamespace(key=key, head=head * FOOT)
        for key, head in (
            ("pumping_level", 70),
            ("elevation", 30),
            ("lateral", 60),
            ("pressure", 80),
        )
    ]
    duty = SimpleNamespace(label="into the tank", flow=8 * GALLON / 60, pressure=0.0,
                           pieces=pieces, total_dynamic_head=240 * FOOT)  # fmt: skip
    pump = SimpleNamespace(name="house pump", duties=(duty,), least_shut_off=240 * FOOT,
                           least_power=700.0, most_power=900.0, water_power=300.0,
                           daily_energy=5.4e6, daily_run_time=7200.0)  # fmt: skip
    *rows, power = _wanted(pump, system)  # type: ignore[arg-type]
    labels = ["house pump", "flow", "water level and lift", "pipe, fittings, treatment",
              "pressure at the tank", "total dynamic head"]  # fmt: skip
    assert rows == [
        f"{'' if number else 'PUMP':7}{label:28}{cell:>20}"
        for number, (label, cell) in enumerate(zip(labels, ["tank", flow, *heads], strict=True))
    ]
    assert power.strip() == (f"{heads[-1]} or more at no flow, 700 to 900 W for 300 W of water, "
                             "1.50 kWh/day")  # fmt: skip
    assert _duty(pump, system) == f"{flow} at {heads[-1]}"  # type: ignore[arg-type]
    day, hot, survival, rest = volumes
    needs = Needs(4, 100 * GALLON, 8 * GALLON / 60, 5 * GALLON, 10 * GALLON, 8 * GALLON / 60,
                  85 * FOOT)  # fmt: skip
    told = " ".join(" ".join(_needs(SimpleNamespace(needs=needs), system)).split())  # type: ignore[arg-type]
    assert told == (
        f"NEED {day} a day, {hot} a day hot, {flow} at the peak, {survival} a day to "
        f"survive (4 people) WELL water at rest {rest} down; tested at {flow}"
    )
    figures = _figures(DesignFigures(pump_energy=5.4e6, heat_energy=3.6e9), system)
    assert figures == {"pumps, a day": "1.50 kWh", "sun's heat, a year": "1000 kWh"}


def test_verdicts_that_differ_stand_first_of_them_the_worst_and_what_can_hurt() -> None:
    """Of those that every site was judged by, before those that only some were."""
    in_order = [
        Judged("a", "hurts", "?", ("fail", "pass"), safety=True),
        Judged("b", "fails", "?", ("pass", "fail")),
        Judged("c", "unknown", "?", ("unknown", "caution"), safety=True),
        Judged("d", "cautions", "?", ("caution", "pass")),
        Judged("e", "lone", "?", ("fail", None)),
        Judged("f", "same", "?", ("fail", "fail"), safety=True),
        Judged("g", "same pass", "?", ("pass", "pass")),
    ]
    mixed = [in_order[place] for place in (6, 3, 5, 1, 4, 0, 2)]
    assert sorted(mixed, key=_by_worst) == in_order


def test_numbers_that_differ_stand_by_what_they_tell() -> None:
    """Flows, energy, cost, all else, and last what is no flow in a table of many."""
    flow, energy, power = (
        (Quantity(1.0, kind), Quantity(2.0, kind))
        for kind in (kinds.FLOW, kinds.ENERGY, kinds.POWER)
    )
    in_order = [
        Number(section, key, "", "", kind, told, (True, True))
        for section, key, kind, told in (
            ("s", "table/row/flow", kinds.FLOW, flow),
            ("s", "energy", kinds.ENERGY, energy),
            (COST, "parts", None, ("1.00", "2.00")),
            ("s", "power", kinds.POWER, power),
            ("s", "table/row/energy", kinds.ENERGY, energy),
            ("s", "flow", kinds.FLOW, flow[:1] * 2),
        )
    ]
    mixed = [in_order[place] for place in (4, 5, 3, 2, 1, 0)]
    assert sorted(mixed, key=_by_matter) == in_order


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
