"""Sites side by side: which of their numbers belong together, and what is said of each."""

from __future__ import annotations

import json
from types import SimpleNamespace
from typing import Any

import pytest

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Row, Section
from wellsolar.reports.text import compare, designs
from wellsolar.reports.text.compare import Comparison, Judged, Number
from wellsolar.results.sizing import DesignFigures
from wellsolar.units import Quantity
from wellsolar.verdicts import say


def metres(value: float) -> Quantity:
    return Quantity(value, kinds.LENGTH)


def site(*pumps: str, **other: Any) -> Any:
    usual: dict[str, Any] = {"verdicts": (), "sized": (), "fails": False}
    return SimpleNamespace(pumps=[SimpleNamespace(name=name) for name in pumps],
                           **(usual | other))  # fmt: skip


@pytest.mark.parametrize(
    ("sites", "aliases"),
    [
        ((("a",), ("b",)), [{"a": "the pump"}, {"b": "the pump"}]),
        ((("a",), ("a",)), [{}, {}]), ((("a", "b"), ("c",)), [{}, {}]),
        (((), ("c",)), [{}, {}]), ((("a",), ("b",), ("a",)),
         [{"a": "the pump"}, {"b": "the pump"}, {"a": "the pump"}]),
        ((("a", "c"), ("b", "c")), [{}, {}]),
    ],
)  # fmt: skip
def test_the_lone_pump_of_each_site_is_the_pump(
    sites: tuple[tuple[str, ...], ...], aliases: list[dict[str, str]]
) -> None:
    made = [site(*names) for names in sites]
    assert [compare._aliases(each, made) for each in made] == aliases


def part(key: str, title: str, *rows: Row, grids: tuple[Grid, ...] = ()) -> Section:
    return Section(key, title, "?", rows, grids)


def test_numbers_of_a_section_are_found_by_its_title_without_its_count() -> None:
    depth = Row("depth", "how deep", metres(3.0), "", kinds.LENGTH)
    lacks = Row("flow", "how much", None, "", kinds.FLOW, "never")
    found = compare._numbers(
        [part("pump_1", "Pump: a", depth, lacks), part("well", "Well", depth, depth)],
        {"a": "the pump"},
    )
    assert [*found] == [
        ("pump Pump: the pump", "depth"), ("pump Pump: the pump", "flow"), ("well", "depth"),
    ]  # fmt: skip
    first, second, _ = found.values()
    assert (first.section, first.key, first.part, first.label, first.kind, first.values) == (
        "pump Pump: the pump", "depth", "Pump: the pump", "how deep", kinds.LENGTH, (metres(3.0),)
    )  # fmt: skip
    assert (second.kind, second.values, second.present) == (kinds.FLOW, ("never",), (True,))


def test_the_kind_of_a_number_is_its_own() -> None:
    row = Row("k", "l", metres(1.0))
    assert compare._number("s", "t", row).kind == kinds.LENGTH
    assert compare._number("s", "t", Row("k", "l", "word")).kind is None


NAMES = (Column("name", "name"), Column("depth", "how deep", kinds.LENGTH), Column("what", "what"))


def grid(columns: tuple[Column, ...], *rows: tuple[Any, ...]) -> Grid:
    return Grid("g", "Grid", columns, rows)


def test_a_named_row_of_a_grid_has_a_number_for_each_column_of_numbers() -> None:
    table = grid(NAMES, ("a", metres(3.0), "x"), (say("b"), None, metres(5.0)))
    found = list(compare._of_grid("s", "t", table, {"a": "the pump"}))
    assert [(each.key, each.label, each.kind, each.values) for each in found] == [
        ("g/the pump/depth", "the pump: how deep", kinds.LENGTH, (metres(3.0),)),
        ("g/b/depth", "b: how deep", kinds.LENGTH, (None,)),
        ("g/b/what", "b: what", kinds.LENGTH, (metres(5.0),)),
    ]
    assert {(each.section, each.part, each.present) for each in found} == {("s", "t", (True,))}


@pytest.mark.parametrize(
    "table",
    [
        grid((Column("month", "month"), *NAMES[1:]), ("Jan", metres(1.0), "x")),
        grid((Column("head", "head", kinds.HEAD), *NAMES[1:]), (None, metres(1.0), "x")),
        grid(NAMES, ("a", metres(1.0), "x"), ("a", metres(2.0), "x")),
        grid(NAMES, ("a", metres(1.0), "x"), (None, metres(2.0), "x")),
        grid(NAMES, (metres(1.0), metres(2.0), "x")),
    ],
)
def test_a_course_and_rows_that_have_no_name_of_their_own_are_not_compared(table: Grid) -> None:
    assert list(compare._of_grid("s", "t", table, {})) == []


def one(label: str, value: Any, section: str = "s", key: str = "k") -> Number:
    return Number(section, key, "p", label, kinds.LENGTH, (value,), (True,))


def test_numbers_of_sites_are_joined_by_their_section_and_key() -> None:
    first = {("s", "a"): one("x", 1.0), ("s", "b"): one("y", 2.0), ("s", "d"): one("y: z", 7.0)}
    second = {("s", "b"): one("y", 3.0), ("s", "c"): one("w", 4.0), ("s", "e"): one("z: y", 9.0)}
    joined = list(compare._joined([first, second]))
    assert [(each.label, each.values, each.present) for each in joined] == [
        ("x", (1.0, None), (True, False)), ("y", (2.0, 3.0), (True, True)),
        # "z: y" turns the rows of "y: z" into columns.
        ("y: z", (7.0, None), (True, False)), ("w", (None, 4.0), (False, True)),
    ]  # fmt: skip


def costing(money: float | None) -> DesignFigures:
    whole: Any = None if money is None else SimpleNamespace(money=money)
    return DesignFigures(whole=whole)


def test_the_cost_of_all_parts_is_a_number_where_any_site_has_it() -> None:
    assert compare._costs([costing(None), costing(None)]) == []
    (number,) = compare._costs([costing(1234.5), costing(None)])
    assert number == Number(
        section="cost", key="parts", part="Cost", label="all parts with a price", kind=None,
        values=("1,234.50", None), present=(True, False),
    )  # fmt: skip


def judgement(subject: str, key: str, status: str, safety: bool = False) -> Any:
    rule = SimpleNamespace(key=key, asks=f"is {key}?", safety=safety)
    return SimpleNamespace(subject=subject, rule=rule, status=status)


def test_verdicts_of_sites_are_joined_by_their_subject_and_rule() -> None:
    one = site(verdicts=(judgement("a", "r", "fail", True), judgement("c", "s", "pass")))
    other = site(verdicts=(judgement("b", "r", "pass", True), judgement("d", "s", "caution")))
    assert compare._judged([one, other], [{"a": "the pump"}, {"b": "the pump"}]) == [
        Judged("the pump", "r", "is r?", ("fail", "pass"), True),
        Judged("d", "s", "is s?", (None, "caution")), Judged("c", "s", "is s?", ("pass", None)),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("statuses", "shared", "differs"),
    [
        (("fail", "pass"), True, True), (("pass", "pass"), True, False),
        (("pass", None), False, False), (("fail", None), False, True),
        ((None, "caution"), False, True), (("fail", "fail", None), False, True),
    ],
)  # fmt: skip
def test_what_one_site_is_spared_differs_where_it_does_not_pass(
    statuses: tuple[str | None, ...], shared: bool, differs: bool
) -> None:
    found = Judged("s", "k", "?", statuses)
    assert (found.shared, found.differs) == (shared, differs)


@pytest.mark.parametrize(
    ("section", "key", "kind", "place"),
    [
        ("s", "k", kinds.FLOW, 0), ("s", "g/r/k", kinds.DAILY_FLOW, 0),
        ("s", "k", kinds.ENERGY, 1),
        ("cost", "k", kinds.ENERGY, 2), ("cost", "a/b", None, 2), ("s", "k", None, 3),
        ("s", "k", kinds.POWER, 3), ("s", "g/r/k", kinds.ENERGY, 4), ("s", "g/r/k", None, 4),
    ],
)  # fmt: skip
def test_flows_matter_more_than_energy_cost_and_the_rest(
    section: str, key: str, kind: kinds.Kind | None, place: int
) -> None:
    assert Number(section, key, "", "", kind, (), ()).matter == place


@pytest.mark.parametrize(("other", "differs"), [(1.0 + 5e-10, False), (1.0 + 2e-9, True)])
def test_numbers_apart_by_more_than_rounding_differ(other: float, differs: bool) -> None:
    number = Number("s", "k", "", "", None, (metres(1.0), metres(other)), (True, True))
    assert number.differs == differs


def test_numbers_without_size_are_no_fraction_apart() -> None:
    infinite = Number("s", "k", "", "", None, (metres(1.0), metres(float("inf"))), (True, True))
    assert (infinite.difference, infinite.differs) == (None, True)
    mixed = Number("s", "k", "", "", None, (metres(1.0), "word"), (True, True))
    assert (mixed.difference, mixed.differs) == (None, True)


def sized(*keys: tuple[str, str]) -> Any:
    return site(sized=[SimpleNamespace(key=key, value=value) for key, value in keys])


def test_keys_that_were_sized_are_compared_where_they_do_not_stand_the_same() -> None:
    sites = (sized(("a", "1"), ("b", "2")), sized(("a", "1"), ("c", "3"), ("b", "4")))
    found = Comparison(("A", "B"), ("t", "u"), sites, (), ())
    assert found.sized == ("b", "c")
    table = compare._sized_grid(found)
    assert table.rows == (("b", "2", "4"), ("c", "-", "3"))
    assert [column.key for column in table.columns] == ["key", "A", "B"]
    (section,) = compare.compare_sections(found, False)
    assert [each.key for each in section.grids] == ["sized"]


@pytest.mark.parametrize("fails", [(True, False), (False, True), (False, False)])
def test_a_comparison_fails_where_any_site_does(fails: tuple[bool, bool]) -> None:
    sites = tuple(site(fails=each) for each in fails)
    assert Comparison((), (), sites, (), ()).fails == any(fails)


def both(label: str, *values: float | None) -> Number:
    cells = tuple(None if value is None else metres(value) for value in values)
    present = tuple(value is not None for value in values)
    return Number("s", label, "part", label, kinds.LENGTH, cells, present)


ALL = (both("apart", 4.0, 5.0), both("same", 2.0, 2.0), both("alone", 1.0, None),
       both("alone too", None, 1.0), both("last", None, 3.0))  # fmt: skip


def test_what_differs_is_the_same_and_stands_alone_is_counted() -> None:
    assert compare.counted(ALL) == "1 differ, 1 the same, 3 not at every site"
    assert compare.counted(ALL[:2]) == "1 differ, 1 the same"


def test_the_tables_of_a_comparison_hold_what_differs_and_else_all() -> None:
    verdicts = (Judged("a", "r", "so?", ("fail", "pass")), Judged("b", "r", "so?", ("pass",) * 2),
                Judged("c", "r", "so?", ("pass", None)),
                Judged("d", "r", "so?", (None, "fail")))  # fmt: skip
    found = Comparison(("A", "B"), ("t", "u"), (site(), site()), verdicts, ALL)
    (only,) = compare.compare_sections(found, False)
    differs, same, lone = compare.compare_sections(found, True)
    assert only == differs
    assert [section.key for section in (differs, same, lone)] == ["differences", "same", "lone"]
    assert differs.grids[0].rows == (("a: so?", "fail", "pass"), ("d: so?", "-", "fail"))
    assert same.grids[0].rows == (("b: so?", "pass", "pass"),)
    assert lone.grids[0].rows == (("c: so?", "pass", "-"),)
    # 4 and 5 are apart by a fifth of the greatest.
    ((name, first, second, apart),) = differs.grids[1].rows
    assert (name, first, second) == ("part, apart", metres(4.0), metres(5.0))
    assert isinstance(apart, Quantity)
    assert float(apart) == pytest.approx(0.2)
    assert apart.kind == kinds.FRACTION
    assert [row[0] for row in same.grids[1].rows] == ["part, same"]
    assert [row[0] for row in lone.grids[1].rows] == [
        "part, alone",
        "part, alone too",
        "part, last",
    ]
    assert lone.grids[1].rows[0][1:] == (metres(1.0), None, None)
    assert [column.key for column in differs.grids[1].columns] == [
        "number", "A", "B", "difference",
    ]  # fmt: skip


def test_sites_have_letters_in_their_order() -> None:
    rows = part("well", "Well", Row("depth", "how deep", metres(3.0), "", kinds.LENGTH))
    found = compare.compare([site("a"), site("b"), site("c")], [[rows]] * 3, ["t", "u", "v"],
                            [costing(1.0), costing(None), costing(2.0)])  # fmt: skip
    assert (found.names, found.titles) == (("A", "B", "C"), ("t", "u", "v"))
    assert [(number.key, number.shared) for number in found.numbers] == [
        ("depth", True), ("parts", False)
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("cell", "told"),
    [(metres(3.0), 3.0), (metres(float("inf")), None), (None, None), ("word", "word"),
     (say("a {d}", d=metres(3.0)), "a 3.0 m")],
)  # fmt: skip
def test_a_cell_of_a_comparison_is_a_number_or_words(cell: Any, told: Any) -> None:
    assert compare._json(cell, "SI") == told


def test_what_a_design_comes_to_has_a_row_for_what_is_known() -> None:
    bought: Any = SimpleNamespace(money=1234.5, unpriced=("a", "b"))
    figures = DesignFigures(days_short=3, evenings=300, days=365, survival=0.5,
                            fails_in=("pump", "grid"), bought=bought)  # fmt: skip
    assert designs._figures(figures, "US") == {
        "days short": "3 a year", "hot evenings": "300 of 365", "survival water": "50 %",
        "short if dead": "pump, grid",
        "to buy, by the file's prices": "1,234.50, 2 lines unpriced",
    }  # fmt: skip
    bought.unpriced = ()
    figures = DesignFigures(survival=1.0, bought=bought)
    assert designs._figures(figures, "US") == {
        "survival water": "all of it", "short if dead": "nothing",
        "to buy, by the file's prices": "1,234.50",
    }  # fmt: skip


def test_sizes_of_a_design_are_by_part_its_pumps_by_their_duty() -> None:
    def sized_part(name: str, size: str, passes: bool = True) -> Any:
        return SimpleNamespace(part=name, size=size, passes=passes)

    parts = [sized_part("pump", "x"), sized_part("pipe", "1 in polyethylene"),
             sized_part("rod", "galvanised", False)]  # fmt: skip
    duties = [SimpleNamespace(flow=8 * 231 * 0.0254**3 / 60, total_dynamic_head=head * 0.3048)
              for head in (240.0, 100.0)]  # fmt: skip
    pump = SimpleNamespace(name="house", duties=duties)
    made: Any = SimpleNamespace(pumps=(pump,), parts=parts)
    rest = {"pipe": "1 in PE", "rod": "galv. FAILS"}
    assert designs._sizes(made, "US") == {"house": "8.00 gpm at 240 ft", **rest}
    made.pumps = ()
    assert designs._sizes(made, "US") == {"pump": "x", **rest}


@pytest.mark.parametrize(("letters", "cut"), [(70, False), (71, True)])
def test_names_without_room_are_cut_at_80_columns(letters: int, cut: bool) -> None:
    """ "and a, b, " and 70 letters are 80; else 76 and the dots."""
    last = "c" * letters
    (line,) = designs._rows({"a": ["1"], "b": ["2"], last: ["3"]}, 1)
    assert line == (f"and a, b, {'c' * 66} ..." if cut else f"and a, b, {last}")


def test_a_design_without_its_check_has_none() -> None:
    made: Any = SimpleNamespace(results=None)
    assert designs._check(made) == "none"
    states = ["fail"] + ["unknown"] * 2 + ["caution"] * 3 + ["pass"] * 5
    made.results = SimpleNamespace(verdicts=[SimpleNamespace(status=each) for each in states])
    assert designs._check(made) == "1 fail, 2 unknown, 3 caution"


def test_outages_of_a_design_begin_with_none() -> None:
    def outage(name: str, days: int) -> Any:
        return SimpleNamespace(name=name, days=days, volume=2.0 * days, survival_met=0.1 * days,
                               basic_met=0.2, normal_met=0.3, order=("x",), hot=None)  # fmt: skip

    outages: Any = SimpleNamespace(whole=outage("nothing", 3), outages=(outage("pump", 5),))
    told = designs.figures_json(DesignFigures(), outages)["outages"]
    assert [(each["failed"], each["days_count"], each["volume_m3"]) for each in told] == [
        ("nothing", 3, 6.0), ("pump", 5, 10.0),
    ]  # fmt: skip
    assert [told[0][f"{key}_met"] for key in ("basic", "ordinary")] == [0.2, 0.3]
    assert json.dumps(told)
