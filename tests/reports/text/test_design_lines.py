"""Each line of the page of a design, put together by hand of made-up parts and pumps."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from types import SimpleNamespace
from typing import Any
from unittest import mock

import pytest

from wellsolar.reports.text import designs, sizing
from wellsolar.results.sizing import STOPS_PAYING, DesignFigures, PartSized
from wellsolar.verdicts import say

FOOT, GALLON, PSI = 0.3048, 231 * 0.0254**3, 6894.757
KWH = 3.6e6


def test_a_text_stands_behind_its_mark_in_73_columns() -> None:
    """37 letters with a blank between them are 73 columns."""
    assert sizing._mark("NEED", "w " * 40) == [f"NEED   {'w ' * 36}w", f"{'':7}w w w"]
    assert sizing._mark("NOT", "") == ["NOT    "]
    assert sizing._mark("REMARKS", "w") == ["REMARKSw"]


def test_below_a_part_a_text_stands_two_columns_further_in() -> None:
    """36 letters with a blank between them are 71 columns, behind 9."""
    assert sizing._below("w " * 40) == [f"{'':9}{'w ' * 35}w", f"{'':9}w w w w"]


def test_no_line_is_wider_than_80_columns_nor_ends_in_blanks() -> None:
    assert sizing._joined(["a  ", "b" * 81, "c" * 80]) == f"a\n{'b' * 80}\n{'c' * 80}\n"


@pytest.mark.parametrize(
    ("words", "kept"),
    [
        # 7 + 12 words of 5 letters and 11 blanks are 78 columns: the last has no room beside dots.
        (["abcde"] * 12, 11),
        # 7 + 14 words of 4 letters and 13 blanks are 76: all of it has.
        (["abcd"] * 14, 14),
    ],
)
def test_a_line_is_cut_so_that_dots_have_room(words: Sequence[str], kept: int) -> None:
    row = f"{'':7}{' '.join(words)}"
    assert sizing._cut(["first", row, "more"], 2) == [
        "first", f"{'':7}{' '.join(words[:kept])} ..."
    ]  # fmt: skip
    assert sizing._cut([row, "more"], 1) == [f"{'':7}{' '.join(words[:kept])} ..."]
    assert sizing._cut(["a", row], 2) == ["a", row]


@pytest.mark.parametrize("letters", [0, 1])
def test_a_headline_of_80_columns_has_the_whole_path(letters: int) -> None:
    """A colon and a blank, 8 of the judgement and 70 of the path are 80."""
    path = f"folder/{'s' * (63 + letters)}"
    design = SimpleNamespace(results=object(), lacking=())
    with mock.patch.object(sizing, "judged", return_value="all well"):
        line = sizing._headline(design, path)  # type: ignore[arg-type]
    assert line == f"{path[7 * letters :]}: all well"


@pytest.mark.parametrize(
    ("lacking", "why"),
    [(("a.key",), "what the file lacks"), ((), "why there is no design")],
)
def test_without_a_design_the_headline_says_what_stands_below(
    lacking: tuple[str, ...], why: str
) -> None:
    design = SimpleNamespace(results=None, lacking=lacking)
    line = sizing._headline(design, "f")  # type: ignore[arg-type]
    assert line == f"f: nothing is sized yet, see below {why}"


def duty(
    label: str, head: float, flow: float = 8.0, pressure: float = 0.0, **pieces: float
) -> Any:
    """A duty in feet, gallons a minute and psi."""
    return SimpleNamespace(
        label=label, flow=flow * GALLON / 60, pressure=pressure * PSI,
        total_dynamic_head=head * FOOT,
        pieces=[SimpleNamespace(key=key, head=feet * FOOT) for key, feet in pieces.items()],
    )  # fmt: skip


def pump(*duties: Any, **other: float | None) -> Any:
    told: dict[str, float | None] = {
        "least_shut_off": None, "least_power": 700.0, "most_power": 900.0, "water_power": 300.0,
        "daily_energy": None, "daily_run_time": None,
    }  # fmt: skip
    return SimpleNamespace(name="p", duties=duties, **(told | other))


@pytest.mark.parametrize(
    ("label", "pressure", "title"),
    [("into the tank", 0.0, "tank"), ("into an open tank", 0.0, "open tank"),
     ("at cut-in", 40.0, "at cut-in 40.0 psi"), ("at rest", -1.0, "at rest")],
)  # fmt: skip
def test_a_duty_is_called_by_where_its_water_goes(label: str, pressure: float, title: str) -> None:
    assert sizing._title(duty(label, 100.0, pressure=pressure), "US") == title


POWER = "700 to 900 W for 300 W of water"


@pytest.mark.parametrize(
    ("energy", "run", "told"),
    [
        # 1 kWh in an hour are 1000 W, more than the 900 W that its work takes at most.
        (1.0, 3600.0, f"{POWER}, 1000 W by its motor, hardly loaded, 1.00 kWh/day"),
        (2.0, 7200.0, f"{POWER}, 1000 W by its motor, hardly loaded, 2.00 kWh/day"),
        (0.9, 3600.0, f"{POWER}, 0.90 kWh/day"), (0.5, 3600.0, f"{POWER}, 0.50 kWh/day"),
        (1.0, None, f"{POWER}, 1.00 kWh/day"), (1.0, 0.0, f"{POWER}, 1.00 kWh/day"),
        (None, 3600.0, POWER),
    ],
)  # fmt: skip
def test_of_a_pump_power_and_energy_are_told(
    energy: float | None, run: float | None, told: str
) -> None:
    joule = None if energy is None else energy * KWH
    wanted = pump(daily_energy=joule, daily_run_time=run)
    assert sizing._power(wanted, "US") == told


def test_a_second_pump_is_told_by_its_first_and_its_last_duty() -> None:
    first, last = duty("a", 240.0), duty("c", 120.0, flow=2.0)
    with mock.patch.object(sizing, "_power", return_value="power"):
        assert sizing._in_words(pump(first, duty("b", 180.0), last), "US") == (
            "p: 8.00 gpm at 240 ft, water left at 120 ft; power"
        )
        assert sizing._in_words(pump(first), "US") == "p: 8.00 gpm at 240 ft; power"


def test_a_pump_has_a_column_for_each_pressure_of_the_pieces_of_its_head() -> None:
    one = duty("at cut-in", 210.0, pressure=40.0, pumping_level=100.0, elevation=10.0,
               suction=5.0, drop_pipe=1.0, lateral=2.0, fittings=3.0, treatment=4.0,
               velocity=6.0, pressure_=9.0)  # fmt: skip
    other = duty("at cut-out", 256.0, flow=6.0, pressure=60.0, pumping_level=90.0)
    one.pieces[-1].key = "pressure"
    with mock.patch.object(sizing, "_power", return_value="power"):
        rows = list(sizing._wanted(pump(one, other), "US"))
    assert rows == [
        f"PUMP   {'p':28}{'at cut-in 40.0 psi':>20}{'at cut-out 60.0 psi':>20}",
        f"       {'flow':28}{'8.00 gpm':>20}{'6.00 gpm':>20}",
        f"       {'water level and lift':28}{'115 ft':>20}{'90.0 ft':>20}",
        f"       {'pipe, fittings, treatment':28}{'16.0 ft':>20}{'0 ft':>20}",
        f"       {'pressure at the tank':28}{'9.0 ft':>20}{'0 ft':>20}",
        f"       {'total dynamic head':28}{'210 ft':>20}{'256 ft':>20}",
        "       power",
    ]


def needs(**told: float | None) -> Any:
    wanted = dict.fromkeys(("people", "daily_volume", "peak_flow", "survival_volume", "hot_volume",
                            "tested_yield"))  # fmt: skip
    return SimpleNamespace(needs=SimpleNamespace(**(wanted | told), static_level=85.0 * FOOT))


@pytest.mark.parametrize(
    ("told", "lines"),
    [
        ({}, "NEED not told WELL water at rest 85.0 ft down; its yield is not told"),
        ({"people": 1, "survival_volume": 5.0 * GALLON},
         "NEED 5.00 gal a day to survive (1 person) WELL water at rest 85.0 ft down; its yield is "
         "not told"),
        ({"peak_flow": 8.0 * GALLON / 60, "tested_yield": 11.0 * GALLON / 60},
         "NEED 8.00 gpm at the peak WELL water at rest 85.0 ft down; tested at 11.0 gpm"),
    ],
)  # fmt: skip
def test_what_is_needed_is_told_as_far_as_it_is_known(told: dict[str, float], lines: str) -> None:
    assert " ".join(" ".join(sizing._needs(needs(**told), "US")).split()) == lines


def test_without_needs_nothing_is_told_of_them() -> None:
    assert list(sizing._needs(SimpleNamespace(needs=None), "US")) == []  # type: ignore[arg-type]


PARTS = (
    PartSized("pump", "8 gpm", "yield"),
    PartSized("motor, well", "1 hp", "power"),
    PartSized("cable, well", "10 AWG", "drop"),
    PartSized("fuse, tank", "20 A", "current"),
    PartSized("wire, tank", "12 AWG", "ampacity"),
)


@pytest.mark.parametrize(
    ("room", "rows"),
    [
        (6, ["pump   8 gpm   yield", "motor  1 hp    power", "cable  10 AWG  drop",
             "fuse   20 A    current", "wire   12 AWG  ampacity"]),
        # What is of no pump shares a row first.
        (5, ["pump   8 gpm                     yield", "motor  1 hp                      power",
             "cable  10 AWG                    drop",
             "tank   fuse: 20 A; wire: 12 AWG  required"]),
        (4, ["pump  8 gpm                     yield", "well  1 hp, 10 AWG              power",
             "tank  fuse: 20 A; wire: 12 AWG  required"]),
    ],
)  # fmt: skip
def test_parts_share_rows_where_lines_lack(room: int, rows: list[str]) -> None:
    title, *lines = sizing._parts(PARTS, room)
    assert title.split() == ["BUY", "part", "size", "bound", "by"]
    assert lines == [f"{'':7}{row}" for row in rows]


def test_parts_without_room_for_their_rows_stand_in_one_text_what_fails_first() -> None:
    assert sizing._parts(PARTS, 3) == [
        "BUY    pump 8 gpm; well 1 hp, 10 AWG; tank fuse: 20 A; wire: 12 AWG"
    ]
    fails = PartSized("box", "large", "heat", passes=False, stands="fail")
    assert sizing._parts((*PARTS[:1], fails), 0) == ["BUY    box large (FAILS heat); pump 8 gpm"]


@pytest.mark.parametrize("size", ["none", "no more"])
def test_a_part_of_no_size_is_not_bought(size: str) -> None:
    none = PartSized("valve", size, "")
    assert sizing._to_buy([none, *PARTS]) == [*PARTS]
    assert sizing._parts([none], 9) == ["BUY    nothing: the file has every part that is sized"]
    assert list(sizing._whole_parts([none], "US")) == sizing._parts([none], 9)


def test_parts_of_two_pumps_have_their_whole_names() -> None:
    two = [PartSized("motor, well", "1 hp", "power"), PartSized("motor, tank", "2 hp", "head"),
           PartSized("fuse, tank", "9 A", "sun"),
           PartSized("wire, roof", "8 AWG", "sun")]  # fmt: skip
    assert sizing._rows(two, ()) == [
        ("motor, well", "1 hp", "power"), ("motor, tank", "2 hp", "head"),
        ("fuse, tank", "9 A", "sun"), ("wire", "8 AWG", "sun"),
    ]  # fmt: skip
    assert sizing._rows(two[1:], ()) == [
        ("motor", "2 hp", "head"), ("fuse", "9 A", "sun"), ("wire", "8 AWG", "sun"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("parts", "told"),
    [
        ([("motor", "1 hp"), ("start", "soft"), ("cable", "10 AWG"), ("breaker", "15 A")],
         "1 hp, soft, 10 AWG, 15 A"),
        ([("motor", "1 hp"), ("fuse", "9 A")], "motor: 1 hp; fuse: 9 A"),
        ([("fuse", "9 A"), ("switch", "one"), ("drain guard", "one"), ("lid", "9 A")],
         "fuse, lid: 9 A; switch, drain"),
        ([("thermostat's relay", "one"), ("a", "one")], "thermostat, a"),
    ],
)  # fmt: skip
def test_sizes_in_one_row_stand_behind_their_names(
    parts: list[tuple[str, str]], told: str
) -> None:
    assert sizing._sizes([PartSized(part, size, "") for part, size in parts]) == told


@pytest.mark.parametrize(
    ("parts", "told"),
    [
        ([("a", "x", True, "pass"), ("b", "x", True, "pass")], "x"),
        ([("a", "x", True, "pass"), ("b", "y", True, "pass")], "required"),
        ([("motor", "x", True, "pass"), ("b", "y", True, "pass")], "x"),
        ([("b", "y", True, "pass"), ("motor", "x", True, "pass")], "required"),
        ([("a", "x", True, "pass"), ("b", "y", False, "fail")], "FAILS y"),
        ([("a", "x", True, "pass"), ("b", "y", False, "caution")], "CAUTION y"),
        ([("a", "x", False, "fail"), ("b", STOPS_PAYING, False, "fail")], STOPS_PAYING),
        ([("a", STOPS_PAYING, True, "pass"), ("b", "y", False, "fail")], "FAILS y"),
        ([("a", "direct current", True, "pass")], "DC"),
    ],
)  # fmt: skip
def test_what_binds_parts_of_one_row_is_the_first_that_does_not_pass(
    parts: list[tuple[str, str, bool, Any]], told: str
) -> None:
    made = [PartSized(part, "1", bound, passes=passes, stands=stands)
            for part, bound, passes, stands in parts]  # fmt: skip
    assert sizing._bounds(made) == told


def test_below_each_part_stands_what_the_next_smaller_fails_once_for_two_of_a_reason() -> None:
    same = say("too hot")
    parts = [
        PartSized("lid1", "2 in", "x", smaller="1 in", falls_short=same, tried=3,
                  shut_out={"r": 1, "s": 2}),
        PartSized("lid2", "4 in", "x", smaller="3 in", falls_short=same, tried=3,
                  shut_out={"r": 1, "s": 2}),
        PartSized("lid3", "6 in", "x", smaller="5 in", falls_short=say("too cold"), tried=2),
        PartSized("lid4", "8 in", "x", tried=4),
        PartSized("lid5", "9 in", "x", smaller="7 in", falls_short=say("too cold"), tried=0),
    ]  # fmt: skip
    assert list(sizing._whole_parts(parts, "US")) == [
        "BUY    part  size  bound by",
        "       lid1  2 in  x", "         with 1 in: too hot",
        "       lid2  4 in  x",
        "       lid3  6 in  x", "         with 5 in: too cold",
        "       lid4  8 in  x",
        "       lid5  9 in  x", "         with 7 in: too cold",
        "CUT    lid1, lid2, 3 looked at: r: 1; s: 2", "CUT    lid4, 4 looked at:",
    ]  # fmt: skip


def test_columns_are_as_wide_as_their_titles() -> None:
    assert [*chain(*sizing._laid([("a", "b", "c")]))] == [
        "BUY    part  size  bound by",
        "       a     b     c",
    ]
    # 73 columns less 4 of the part, 8 of the last title and two gaps of 2 are 57.
    title, (first, second) = sizing._laid([("a", "b" * 57 + " c", "d")])
    assert len(title[0]) == 80
    assert (first, second) == (f"       a     {'b' * 57}  d", f"{'':13}c")


def left(rule: str, status: str, why: str) -> Any:
    return SimpleNamespace(rule=rule, status=status, why=why)


def test_what_stays_open_is_told_by_why_what_fails_first() -> None:
    told = [left("a", "unknown", "measure"), left("b", "caution", "wait"),
            left("c", "fail", "ask"), left("a", "unknown", "measure"),
            left("d", "fail", "measure")]  # fmt: skip
    assert sizing._left(told) == ["OPEN   ask: c (fail); measure: d (fail), a; wait: b (caution)"]
    assert sizing._left([]) == []


def test_what_else_is_told_of_a_design_stands_behind_its_mark() -> None:
    missed = [SimpleNamespace(rule=rule, reason=say(reason), within=within)
              for rule, reason, within in (("a", "no sun", "x = 1"), ("b", "no room", "y = 2"),
                                           ("c", "no sun", "z = 3"))]  # fmt: skip
    design: Any = SimpleNamespace(
        missed=missed, dead=(say("one"), say("two")), unsized=(("a", "by b"), ("c", "by d")),
        refused=[SimpleNamespace(name=name, rule=rule) for name, rule in ("nr", "ms")],
        results=None,
    )  # fmt: skip
    assert list(sizing._missed(design, "US")) == [
        ["CAN'T  a, c: no sun. Could be met: x = 1, z = 3"],
        ["CAN'T  b: no room. Could be met: y = 2"],
    ]
    assert sizing._dead(design, "US") == ["DEAD   one; two"]
    assert sizing._next(design) == ["NEXT   a: by b; c: by d"]
    assert sizing._not(design) == ["NOT    n: r; m: s"]
    assert sizing._care(design) == []
    empty: Any = SimpleNamespace(dead=(), unsized=(), refused=())
    assert [sizing._dead(empty, "US"), sizing._next(empty), sizing._not(empty)] == [[], [], []]


@pytest.mark.parametrize(("letters", "told"), [(30, True), (31, False)])
def test_care_has_one_line(letters: int, told: bool) -> None:
    """What stands behind the keys, "licensed trades" and the rest, has 35 letters, the first
    with its comma 8: of 73 they leave 30."""
    second = "k" * letters
    design: Any = SimpleNamespace(results=SimpleNamespace(cautions=("sparks", second)))
    line = f"CARE   sparks{f', {second}' * told}: licensed trades, local code first"
    assert sizing._care(design) == [line]
    assert len(line) <= 80


def test_a_check_counts_what_passes_first() -> None:
    states = ["fail"] + ["unknown"] * 2 + ["caution"] * 3 + ["pass"] * 5
    verdicts = [SimpleNamespace(status=status) for status in states]
    design: Any = SimpleNamespace(results=SimpleNamespace(verdicts=verdicts))
    assert sizing._check(design).startswith("5 pass, 3 caution, 2 unknown, 1 fail; ")


def way(**told: Any) -> Any:
    usual = {"label": "w", "share": None, "heat": None, "offered": None, "evenings": None,
             "needs": say("a cable"), "taken": False}  # fmt: skip
    return SimpleNamespace(**(usual | told))


@pytest.mark.parametrize(
    ("told", "line"),
    [
        ({"offered": 1.5 * KWH}, "OR     w: 1.50 kWh on offer; needs a cable"),
        ({"share": 0.25, "heat": 1.5 * KWH, "evenings": 3, "taken": True},
         "HEAT   w: 25.0% of the heat, 1.50 kWh a year, 3 hot evenings; needs a cable"),
    ],
)  # fmt: skip
def test_a_way_to_heat_is_told_by_what_is_known_of_it(told: dict[str, Any], line: str) -> None:
    assert list(sizing._ways(SimpleNamespace(ways=(way(**told),)), "US")) == [[line]]  # type: ignore[arg-type]


def test_without_a_design_its_page_says_why_and_what_to_give() -> None:
    design: Any = SimpleNamespace(results=None, lacking=("a.key", "b.key"), failed=say("no well"),
                                  needs=None)  # fmt: skip
    assert sizing.page(design, "US", "f").splitlines()[1:] == [
        "NONE   no well", "GIVE   a.key or b.key",
    ]  # fmt: skip
    design.lacking = ()
    assert sizing.page(design, "US", "f").splitlines()[1:] == ["NONE   no well"]


def test_each_number_of_a_design_is_of_its_kind() -> None:
    """Heads are told apart from lengths, though both are printed alike."""
    named: dict[str, Any] = {"show": lambda value, kind, system: f"<{kind.name}>"}
    first, last = duty("at cut-in", 240.0, pressure=40.0, pumping_level=1.0), duty("b", 1.0)
    wanted = pump(first, last, least_shut_off=1.0, daily_energy=2.0 * KWH, daily_run_time=3600.0)
    head, flow, watts = "<head of water>", "<flow>", "<power>"
    power = f"{head} or more at no flow, {watts} to {watts} for {watts} of water, "
    power += f"{watts} by its motor, hardly loaded, <energy>/day"
    with mock.patch.multiple(sizing, **named, WIDTH=200), mock.patch.multiple(designs, **named):
        rows = [" ".join(row.split()) for row in sizing._wanted(wanted, "US")]
        assert sizing._power(wanted, "US") == power
        told = sizing._in_words(wanted, "US")
        assert told == f"p: {flow} at {head}, water left at {head}; {power}"
        water = " ".join(
            " ".join(sizing._needs(needs(
                people=2, daily_volume=1.0, peak_flow=1.0, survival_volume=1.0, hot_volume=1.0,
                tested_yield=1.0), "US")).split()
        )  # fmt: skip
        heated = list(
            sizing._ways(
                SimpleNamespace(  # type: ignore[arg-type]
                    ways=(way(share=1.0, heat=1.0, offered=1.0),)
                ),
                "US",
            )
        )
        assert designs._duty(wanted, "US") == f"{flow} at {head}"
        assert designs._figures(DesignFigures(pump_energy=1.0, heat_energy=1.0), "US") == {
            "pumps, a day": "<energy>", "sun's heat, a year": "<energy>",
        }  # fmt: skip
    assert rows == [
        "PUMP p at cut-in <gauge pressure> b", f"flow {flow} {flow}",
        f"water level and lift {head} {head}", f"total dynamic head {head} {head}", power,
    ]  # fmt: skip
    assert water == (
        "NEED <volume> a day, <volume> a day hot, <flow> at the peak, <volume> a day to survive "
        "(2 people) WELL water at rest <length> down; tested at <flow>"
    )
    assert heated == [[
        "OR     w: <fraction> of the heat, <energy> a year, <energy> on offer; needs a cable"
    ]]  # fmt: skip


@pytest.mark.parametrize(
    ("needed", "parts", "remarks", "told"),
    [
        # 24 lines less the headline and 2 + 3 of needs and pump leave 18: all has room.
        (2, 5, (8, 1), (5, 8, 1)),
        # Remarks of five lines each leave 8 of the 9 that the parts take; of three they leave 12,
        # and what is left over goes to the first.
        (2, 9, (12, 6), (9, 6, 3)), (2, 8, (12, 6), (8, 5, 5)),
        # Of one line each they leave 16.
        (2, 16, (12, 6), (16, 1, 1)), (2, 20, (12, 6), (16, 1, 1)), (2, 14, (12, 6), (14, 2, 2)),
        # Without any room one line of the parts stands there.
        (20, 4, (3, 3), (1, 1, 1)), (16, 4, (3, 3), (2, 1, 1)),
    ],
)  # fmt: skip
def test_parts_and_remarks_share_a_page_of_24_lines(
    needed: int, parts: int, remarks: tuple[int, int], told: tuple[int, int, int]
) -> None:
    def rows(mark: str, count: int) -> list[str]:
        return [f"{'':7}{mark} {place} word" for place in range(count)]

    design: Any = SimpleNamespace(failed=None, pumps=("a",), parts=())
    made: dict[str, Any] = {
        "_headline": lambda *told: "head", "_needs": lambda *told: rows("need", needed),
        "_wanted": lambda *told: rows("pump", 3), "_parts": lambda *told: rows("part", parts),
        "_end": lambda *told: [rows("one", remarks[0]), [], rows("two", remarks[1])],
    }  # fmt: skip
    with mock.patch.multiple(sizing, **made):
        lines = sizing.page(design, "US", "f").splitlines()
    marks = [line.split()[0] for line in lines]
    assert tuple(marks.count(mark) for mark in ("part", "one", "two")) == told
    assert marks == ["head", *["part"] * told[0], *["need"] * needed, *["pump"] * 3,
                     *["one"] * told[1], *["two"] * told[2]]  # fmt: skip
    assert len(lines) <= 24 or told == (1, 1, 1)


def test_pumps_beyond_the_first_are_told_in_words() -> None:
    design: Any = SimpleNamespace(failed=None, pumps=("a", "b", "c"), parts=())
    made: dict[str, Any] = {
        "_headline": lambda *told: "head", "_needs": lambda *told: [],
        "_wanted": lambda pump, system: [f"wanted {pump}"],
        "_in_words": lambda pump, system: f"words {pump}", "_parts": lambda *told: ["part"],
        "_end": lambda *told: [],
    }  # fmt: skip
    with mock.patch.multiple(sizing, **made):
        lines = sizing.page(design, "US", "f").splitlines()
    assert lines == ["head", "part", "wanted a", "AND    words b", "AND    words c"]
