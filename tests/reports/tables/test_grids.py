"""Grids and rows of made-up results, cell by cell: what stands in which column, and in what kind.

Each expected cell is put together by hand of what the result is given.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.reports import rows
from wellsolar.reports.rows import Cell, Grid, Row, Section
from wellsolar.reports.tables import (
    card,
    hand,
    heat,
    heat_safety,
    match,
    outage,
    parts_list,
    pump,
    ranges,
    readings,
    supply,
    todo,
    well,
)
from wellsolar.results.entries import A_DAY, CLOCK, DAYS, EFFORT, Entry
from wellsolar.results.hand import HandTask
from wellsolar.results.outages import HotWater, OutageCell
from wellsolar.results.supply import RankedPump
from wellsolar.units import Quantity, System
from wellsolar.verdicts import Sentence, say

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

Plain = float | str | None


def made(**fields: Any) -> Any:
    """A result of which only some fields are asked for."""
    return SimpleNamespace(**fields)


def plain(cell: Cell) -> Plain:
    """A number without its kind, a sentence in SI."""
    if isinstance(cell, Sentence):
        return cell.text("SI")
    return float(cell) if isinstance(cell, Quantity) else cell


def cells_of(grid: Grid) -> list[tuple[Plain, ...]]:
    return [tuple(map(plain, row)) for row in grid.rows]


def kinds_of(grid: Grid) -> dict[str, Kind | None]:
    """The kind of each column, which its cells have too."""
    for row in grid.rows:
        for column, cell in zip(grid.columns, row, strict=True):
            assert not isinstance(cell, Quantity) or cell.kind == column.kind, column.key
    return {column.key: column.kind for column in grid.columns}


def rows_of(rows: list[Row] | tuple[Row, ...]) -> dict[str, Plain]:
    return {row.key: plain(row.quantity) for row in rows}


def task(key: str, number: float, people: int = 1, place: Any = "spout",
         bound: str = "power") -> HandTask:  # fmt: skip
    """A job of so much water, ten times as many seconds and a hundred times as many strokes."""
    return HandTask(key, number, 10.0 * number, 100.0 * number, key, place, people,
                    1000.0 * number, 0.0, bound)  # fmt: skip


JOBS = (
    task("bucket", 2.0), task("bucket", 3.0, people=2), task("tank", 5.0, bound="strokes"),
    task("storage tank", 7.0, bound="day"), task("morning", 11.0, place="tank"),
    task("morning", 13.0, people=3), task("survival", 17.0), task("tank", 19.0, people=3),
)  # fmt: skip


def with_tasks(tasks: tuple[HandTask, ...]) -> Any:
    return made(tasks=tasks, task=lambda key, people: next(
        (each for each in tasks if (each.key, each.people) == (key, people)), None))  # fmt: skip


def test_jobs_by_hand_are_those_of_one_person_and_beside_them_the_time_of_two() -> None:
    grid = hand._jobs(with_tasks(JOBS))
    assert kinds_of(grid) == {
        "task": None, "volume": kinds.VOLUME, "strokes": kinds.SUMMED_COUNT,
        "time": kinds.DURATION, "power": kinds.POWER, "bound": None,
        "time_of_two": kinds.DURATION,
    }  # fmt: skip
    assert cells_of(grid) == [
        ("bucket", 2.0, 200.0, 20.0, 2000.0, "strength", 30.0),
        ("tank", 5.0, 500.0, 50.0, 5000.0, "stroke rate", None),
        ("storage tank", 7.0, 700.0, 70.0, 7000.0, "over 8 h", None),
        ("morning, into the tank", 11.0, 1100.0, 110.0, 11000.0, "strength", None),
    ]


DAY = (
    task("survival", 2.0, place="tank"), task("survival each", 3.0),
    task("survival", 5.0, people=2), task("full", 7.0, bound="strokes"),
    task("full", 11.0, people=3), task("basic", 13.0, people=2),
)  # fmt: skip


@pytest.mark.parametrize(
    ("crews", "people", "two", "rows"),
    [
        (2, 1, {"time_of_two": kinds.DURATION},
         [("survival, into the tank", 3.0, 300.0, 30.0, 2.0, 20.0, 50.0, "strength"),
          ("full needs, 50 L (13.2 gal) each", None, None, None, 7.0, 70.0, None,
           "stroke rate")]),
        (1, 1, {},
         [("survival, into the tank", 3.0, 300.0, 30.0, 2.0, 20.0, "strength"),
          ("full needs, 50 L (13.2 gal) each", None, None, None, 7.0, 70.0, "the lift")]),
        (1, 2, {}, [("survival", None, None, None, 5.0, 50.0, "strength"),
                    ("basic, 20 L (5.3 gal) each", None, None, None, 13.0, 130.0, "strength")]),
    ],
)  # fmt: skip
def test_a_days_water_stands_by_its_use(
    crews: int, people: int, two: dict[str, Kind], rows: list[tuple[Plain, ...]]
) -> None:
    (grid,) = hand._waters(DAY, crews, people)
    assert kinds_of(grid) == {
        "task": None, "each_volume": kinds.VOLUME, "each_strokes": kinds.SUMMED_COUNT,
        "each_time": kinds.DURATION, "volume": kinds.VOLUME, "time": kinds.DURATION, **two,
        "bound": None,
    }  # fmt: skip
    assert [*kinds_of(grid)][-1] == "bound"
    assert cells_of(grid) == rows
    assert ("one" in grid.columns[5].label) == (crews == 2)
    assert hand._waters(JOBS[:5], 2) == []


FLOWS_AND_FORCES = (
    "label stroke_volume work full_flow power sustained_flow stroke_rate day_flow table_flow "
    "head rod_pull friction upward downward balancing stretch"
)
OF_A_HAND_PUMP = (
    "kind swept_volume pumping_level low_level suction_lift suction_limit cylinder_depth "
    "rod_weight greatest_depth depth_limit greatest_head counterweight"
)
OF_A_LIFT = (
    "kind pumping_level head low_head greatest_head flow water_power input_power efficiency"
)


def with_all(names: str, value: Any, **fields: Any) -> Any:
    """A result with one value in each of its fields but for some."""
    return made(**(dict.fromkeys(names.split(), value) | fields))


def duties(**fields: Any) -> Any:
    return with_all(FLOWS_AND_FORCES, None, **fields)


@pytest.mark.parametrize(
    ("people", "flows", "table", "who"),
    [(1, (None, None), False, "one person keeps"), (2, (None, 1.0), True, "two people"),
     (3, (1.0, None), True, "two people")],
)  # fmt: skip
def test_the_maker_has_a_column_where_his_table_tells_any_flow(
    people: int, flows: tuple[float | None, ...], table: bool, who: str
) -> None:
    both = [duties(label="x", table_flow=flow) for flow in flows]
    grid = hand._flows(made(people_pumping=people, duties=both))
    assert ("table_flow" in kinds_of(grid)) == table
    assert who in grid.note
    assert [row[0] for row in grid.rows] == ["x", "x"]


@pytest.mark.parametrize("depth", [None, 0.0, 30.0])
def test_rods_stretch_only_in_a_pump_that_has_them(depth: float | None) -> None:
    grid = hand._forces(made(cylinder_depth=depth, duties=[duties(label="x", stretch=0.1)]))
    assert ("stretch" in kinds_of(grid)) == (depth is not None)
    assert grid.note.startswith("Rod pull is water and rods, friction comes on top both ways.")
    assert ("stretches" in grid.note) == (depth is not None)


def hand_pump(**fields: Any) -> Any:
    usual = {"level_known": True, "low_static_level": 2.0, "static_level": 1.0}
    return with_all(OF_A_HAND_PUMP, 1.0, **(usual | fields))


SUCKS, HANGS = ("suction_lift", "suction_limit"), (
    "cylinder_depth", "rod_weight", "greatest_depth", "depth_limit",
)  # fmt: skip


@pytest.mark.parametrize(
    ("fields", "lacking"),
    [
        ({}, ()), ({"low_static_level": 1.0}, ("low_level",)),
        ({"suction_limit": None, "suction_lift": None}, SUCKS),
        ({"suction_limit": None}, ()), ({"suction_lift": None}, ()),
        ({"cylinder_depth": None}, HANGS), ({"counterweight": 0.0}, ("counterweight",)),
    ],
)  # fmt: skip
def test_a_hand_pump_has_no_rows_of_another_sort_of_pump(
    fields: dict[str, Any], lacking: tuple[str, ...]
) -> None:
    every, rows = (rows_of(hand._rows(hand_pump(**each))) for each in ({}, fields))
    left_out = {row for row in every if row not in rows}
    assert left_out == {hand.HAND_PUMP.rows(hand_pump(), without=())[place].key
                        for place, (name, _) in enumerate(hand.HAND_PUMP.entries)
                        if name in lacking}  # fmt: skip


@pytest.mark.parametrize("weight", [0.0, 5.0])
def test_the_greatest_head_is_told_with_its_rods(weight: float) -> None:
    rows = hand._rows(hand_pump(rod_weight=weight))
    (why,) = [row.why for row in rows if row.key == "greatest_head"]
    rods = ", with these rods" * (weight > 0.0)
    assert str(why) == f"at the comfortable handle force{rods}"


@pytest.mark.parametrize(("draws", "discharge"), [(True, ()), (False, ()), (False, (1.0,))])
def test_a_hand_pump_that_draws_no_water_does_no_jobs(
    draws: bool, discharge: tuple[float, ...]
) -> None:
    points = [duties(head=each, flow=each, water_power=each, efficiency=each, computed=each)
              for each in discharge]  # fmt: skip
    found = hand_pump(draws_water=draws, discharge=points, duties=[duties()], people_pumping=1,
                      spells=(), worker=made(power=None), **vars(with_tasks(DAY)))  # fmt: skip
    grids = {grid.key: grid for grid in hand.hand_pump_section(found).grids}
    assert [*grids] == ["duties", "flows", *["spells", "tasks", "waters"] * draws,
                        *["discharge"] * len(discharge)]  # fmt: skip
    if draws:
        assert cells_of(grids["waters"])[0] == (
            "survival, into the tank", 3.0, 300.0, 30.0, 2.0, 20.0, 50.0, "strength"
        )  # fmt: skip


def lift(**fields: Any) -> Any:
    usual = {"name": "n", "level_known": True, "people": 1, "by_head": (), "tasks": ()}
    return with_all(OF_A_LIFT, 1.0, **(usual | fields))


@pytest.mark.parametrize("people", [1, 2])
def test_a_lift_does_a_bucket_and_a_morning(people: int) -> None:
    section = hand.lift_section(lift(tasks=(*JOBS, *DAY), people=people), 3)
    assert section.key == "lift_3"
    grids = {grid.key: grid for grid in section.grids}
    assert [*grids] == ["by_head", "tasks", "waters"]
    assert kinds_of(grids["tasks"]) == {
        "task": None, "volume": kinds.VOLUME, "time": kinds.DURATION, "power": kinds.POWER,
        "bound": None,
    }  # fmt: skip
    assert cells_of(grids["tasks"])[:2] == [
        ("bucket", 2.0, 20.0, 2000.0, "strength"), ("bucket", 3.0, 30.0, 3000.0, "strength"),
    ]  # fmt: skip
    assert {row[0] for row in cells_of(grids["tasks"])} == {"bucket", "morning"}
    assert "time_of_two" not in kinds_of(grids["waters"])
    assert len(grids["waters"].rows) == 2
    assert ("one person" in grids["tasks"].title) == (people == 1)
    (why,) = [row.why for row in section.rows if "by " in str(row.why)]
    assert ("one person" in str(why)) == (people == 1)


@pytest.mark.parametrize(("low", "told"), [(1.0, False), (0.5, False), (1.5, True)])
def test_a_lift_has_a_low_head_where_the_season_makes_it_higher(low: float, told: bool) -> None:
    rows = rows_of(hand.lift_section(lift(low_head=low, people=1), 1).rows)
    assert len(rows) == 9 + told


def ranked(name: str, number: int, **fields: Any) -> RankedPump:
    usual: dict[str, Any] = {
        "pump": name, "of_stock": False, "battery": 10.0 * number, "own_battery": True,
        "modules": (number, None), "hand_rule": 2 * number, "hand_rule_loaded": 3 * number,
        "daily_energy": 100.0 * number,
    }  # fmt: skip
    return RankedPump(**(usual | fields))


PUMPS = (ranked("a", 7), ranked("b", 11, of_stock=True, modules=(None, 13)), ranked("c", 17))


def test_pumps_and_batteries_are_ranked_as_many_as_are_shown() -> None:
    grid = supply._ranked(made(rows=PUMPS, shown=2, by=5, left_out=("d", "e"), allowed=(0, 5),
                               most=40))  # fmt: skip
    assert list(kinds_of(grid).items()) == [
        ("pump", None), ("battery", kinds.ENERGY), ("modules_0_days_short", kinds.COUNT),
        ("modules_5_days_short", kinds.COUNT), ("hand_rule", kinds.COUNT),
        ("daily_energy", kinds.ENERGY),
    ]  # fmt: skip
    assert cells_of(grid) == [
        ("a", 70.0, 7.0, "over 40", 21.0, 700.0),
        ("b (stock)", 110.0, "over 40", 13.0, 33.0, 1100.0),
    ]
    assert grid.note.startswith("2 of 3, by modules for 5 days short, ")
    assert grid.note.endswith(": d, e.")


def test_of_the_sites_own_pumps_both_rules_of_thumb_are_told() -> None:
    grid = supply._smallest(made(site_rows=PUMPS[:1], allowed=(3, 9), most=40))
    assert cells_of(grid) == [("a", 70.0, 7.0, "over 40", 14.0, 21.0)]


@pytest.mark.parametrize(("site", "shown", "grids"), [
    (1, 1, ["smallest", "pumps"]), (0, 1, ["pumps"]), (1, 0, ["smallest"]), (0, 0, []),
])  # fmt: skip
def test_a_ranking_has_a_grid_for_what_is_there(site: int, shown: int, grids: list[str]) -> None:
    ranking = made(site_rows=PUMPS[:site], rows=PUMPS, shown=shown, by=0, left_out=(),
                   allowed=(0, 5), most=40, module_power=400.0, candidates=3)  # fmt: skip
    section = supply.ranking_section(ranking)
    assert [grid.key for grid in section.grids] == grids
    assert "Left out" not in "".join(grid.note for grid in section.grids)
    assert list(rows_of(section.rows).values()) == [400.0, 3.0, 40.0]


def group(name: str, modules: int, known: bool = True) -> Any:
    """A group whose months have 100, 200, ... of energy and 1, 2, ... and 10, 20, ... by a
    module."""
    months = range(1, 13) if known else ()
    return made(name=name, feeds=f"{name} feeds", modules=modules, where=name * known,
                energy=tuple(100.0 * modules * n for n in months),
                lost=tuple(1.0 * modules * n for n in months),
                gained=tuple(10.0 * modules * n for n in months))  # fmt: skip


def ledger(*groups: Any, **fields: Any) -> Any:
    return made(**({"on_hand": 16, "used": 12, "spare": 4, "pump": "", "moves": ()} | fields),
                groups=groups)  # fmt: skip


def test_a_ledger_has_each_groups_share_and_its_energy_of_the_year() -> None:
    """The months' numbers from 1 to 12 are 78."""
    grid = supply._groups(ledger(group("a", 4), group("b", 8, known=False)))
    assert kinds_of(grid) == {
        "group": None, "feeds": None, "modules": kinds.COUNT, "share": kinds.FRACTION,
        "energy": kinds.ENERGY, "where": None,
    }  # fmt: skip
    assert cells_of(grid) == [
        ("a", "a feeds", 4.0, 0.25, 31200.0, "a"), ("b", "b feeds", 8.0, 0.5, None, None),
    ]  # fmt: skip


def test_one_module_fewer_loses_and_one_more_gains_in_each_month() -> None:
    grid = supply._ledger_months(
        ledger(
            group("a", 3, known=False), group("b", 1), group("c", 2), group("d", 1, known=False)
        )
    )
    assert kinds_of(grid) == {
        "month": None, "group_2_lost": kinds.ENERGY, "group_2_gained": kinds.ENERGY,
        "group_3_lost": kinds.ENERGY, "group_3_gained": kinds.ENERGY,
    }  # fmt: skip
    assert cells_of(grid) == [
        (month, -1.0 * n, 10.0 * n, -2.0 * n, 20.0 * n) for n, month in enumerate(MONTHS, 1)
    ]
    whose = [column.label.partition(":")[0] for column in grid.columns]
    assert whose == ["month", "b", "b", "c", "c"]


def test_a_module_that_is_moved_loses_here_and_gains_there() -> None:
    moves = (made(giver="a", taker="b", lost=3.0, gained=5.0, days_short=(7, 2)),
             made(giver="b", taker="a", lost=11.0, gained=13.0, days_short=None))  # fmt: skip
    grid = supply._moves(ledger(moves=moves, pump="p"))
    assert kinds_of(grid) == {
        "giver": None, "taker": None, "lost": kinds.ENERGY, "gained": kinds.ENERGY,
        "days_short_before": kinds.COUNT, "days_short_after": kinds.COUNT,
    }  # fmt: skip
    assert cells_of(grid) == [
        ("a", "b", -3.0, 5.0, 7.0, 2.0), ("b", "a", -11.0, 13.0, None, None),
    ]  # fmt: skip
    assert grid.note == "Days short are those of p."
    assert supply._moves(ledger(moves=moves)).note == ""


@pytest.mark.parametrize(("spare", "key", "count"), [
    (4, "spare", 4.0), (0, "spare", 0.0), (-1, "lacking", 1.0),
])  # fmt: skip
def test_modules_on_hand_are_spare_or_lacking(spare: int, key: str, count: float) -> None:
    section = supply.ledger_section(ledger(group("a", 4, known=False), spare=spare))
    assert [*rows_of(section.rows).items()] == [("on_hand", 16.0), ("used", 12.0), (key, count)]
    assert section.rows[-1].kind == kinds.COUNT
    assert [grid.key for grid in section.grids] == ["groups"]
    whole = supply.ledger_section(ledger(group("a", 4), group("b", 1, known=False),
                                         moves=(made(giver="", taker="", lost=0.0, gained=0.0,
                                                     days_short=None),)))  # fmt: skip
    assert [grid.key for grid in whole.grids] == ["groups", "months", "moves"]


def sun(shading: bool, horizon: bool, planes: int) -> Any:
    totals = [tuple(1000.0 * (place + 1) + n for n in range(12)) for place in range(planes)]
    return made(
        source="s", horizontal=tuple(float(n) for n in range(12)),
        temperatures=tuple(100.0 + n for n in range(12)), shading=shading, horizon=horizon,
        planes=[made(group=f"g{place}", totals=each, year=7.0 + place, tilt=30.0, azimuth=170.0)
                for place, each in enumerate(totals)],
    )  # fmt: skip


def test_the_sun_of_each_month_stands_level_and_on_each_plane() -> None:
    section = supply.sun_section(sun(True, True, 2))
    (grid,) = section.grids
    assert kinds_of(grid) == {
        "month": None, "horizontal": kinds.IRRADIATION, "plane_1": kinds.IRRADIATION,
        "plane_2": kinds.IRRADIATION, "temperature": kinds.TEMPERATURE,
    }  # fmt: skip
    assert cells_of(grid) == [
        (month, float(n), 1000.0 + n, 2000.0 + n, 100.0 + n) for n, month in enumerate(MONTHS)
    ]
    assert [column.label for column in grid.columns][2:4] == ["g0", "g1"]
    assert [*rows_of(section.rows).items()][1:] == [("plane_1_year", 7.0), ("plane_2_year", 8.0)]
    assert all("tilt 30°, azimuth 170°" in str(row.why) for row in section.rows[1:])
    assert [row.kind for row in section.rows[1:]] == [kinds.IRRADIATION] * 2


@pytest.mark.parametrize(("shading", "horizon", "planes", "behind"), [
    (True, True, 1, "shading and horizon"), (True, False, 1, "file's shading."),
    (False, True, 1, "file's horizon."), (True, True, 0, ""), (False, False, 1, ""),
])  # fmt: skip
def test_groups_stand_behind_what_the_file_tells(
    shading: bool, horizon: bool, planes: int, behind: str
) -> None:
    (grid,) = supply.sun_section(sun(shading, horizon, planes)).grids
    assert ("behind" in grid.note) == bool(behind)
    assert behind in grid.note


def way(text: str, resistances: tuple[float, ...], energy: float, ratio: float) -> Any:
    return made(text=text, resistances=resistances, energy=energy, ratio=ratio)


@pytest.mark.parametrize(("ohms", "told"), [
    ((), "any"), ((12.0,), "12.0"), ((12.0, 13.0, 14.0, 15.0), "12.0, 13.0, 14.0, 15.0"),
    ((12.0, 13.0, 14.0, 15.0, 16.0), "12.0 to 16.0"),
])  # fmt: skip
def test_many_resistances_are_told_by_their_ends(ohms: tuple[float, ...], told: str) -> None:
    assert match._ohms(ohms) == told


def test_ways_between_array_and_element_stand_against_the_best_single() -> None:
    grid = match._ways(made(ways=[way("a", (12.0,), 30.0, 0.5), way("b", (), 80.0, 0.75)],
                            best_single=made(energy=40.0)))  # fmt: skip
    assert kinds_of(grid) == {
        "coupling": None, "resistances": None, "energy": kinds.ENERGY, "ratio": kinds.FRACTION,
        "of_best": kinds.FRACTION,
    }  # fmt: skip
    assert cells_of(grid) == [("a", "12.0", 30.0, 0.5, 0.75), ("b", "any", 80.0, 0.75, 2.0)]


def test_the_highest_resistance_is_in_force_below_the_first_threshold() -> None:
    switched = made(resistances=(10.0, 20.0, 30.0), best=(400.0, float("inf")), named=())
    grid = match._switching(switched)
    assert kinds_of(grid) == {
        "resistance": kinds.RESISTANCE, "from_irradiance": kinds.IRRADIANCE,
        "named_irradiance": kinds.IRRADIANCE,
    }  # fmt: skip
    assert cells_of(grid) == [(30.0, None, None), (20.0, 400.0, None), (10.0, "never", None)]
    switched.named = (300.0, 500.0)
    assert [row[2] for row in cells_of(match._switching(switched))] == [None, 300.0, 500.0]


def test_further_elements_end_with_energy_and_share() -> None:
    further = (made(array="x", resistance=2.0, matched_resistance=3.0, of_best=0.5, peak_power=7.0,
                    own=made(energy=11.0, ratio=0.25)),)  # fmt: skip
    grid = match._further(further)
    assert [*kinds_of(grid)][-2:] == ["energy", "ratio"]
    assert [kinds_of(grid)[key] for key in ("energy", "ratio")] == [kinds.ENERGY, kinds.FRACTION]
    assert cells_of(grid) == [("x", 2.0, 3.0, 0.5, 7.0, 11.0, 0.25)]


def test_a_batterys_surplus_stands_beside_what_reaches_the_element() -> None:
    grid = match._diversion_months(made(months_spilled=tuple(range(12)),
                                        months=tuple(range(100, 112))))  # fmt: skip
    assert kinds_of(grid) == {"month": None, "spilled": kinds.ENERGY, "diverted": kinds.ENERGY}
    assert cells_of(grid) == [(month, n, 100.0 + n) for n, month in enumerate(MONTHS)]


def test_a_ceiling_by_current_is_the_current_squared_times_the_resistance() -> None:
    told = match._one_more(made(series_gain=0.125), 12.5)
    assert {name: (float(part), part.kind) for name, part in told.parts.items()
            if isinstance(part, Quantity)} == {
        "most": (0.125, kinds.FRACTION), "resistance": (12.5, kinds.RESISTANCE),
    }  # fmt: skip


def test_limits_of_wire_and_cold_are_told_in_their_units() -> None:
    assert "bears 15.0 A" in match._wire(made(wire_limit=15.0)).text("SI")
    assert "more than 600 V" in match._cold(made(cold_limit=600.0)).text("SI")


def heater(modules: int, own: bool = False) -> Any:
    return made(modules=modules, series=2.0, strings=3.0, element="e", tank_volume=0.2,
                share=0.1 * modules, heat_missing=5.0, own=own)  # fmt: skip


@pytest.mark.parametrize(("own", "places", "foot"), [
    (1, ["1", "2 yours", "3"], 0), (None, ["1", "2", "3", "yours"], 1),
])  # fmt: skip
def test_the_sites_own_design_stands_in_its_place_or_below(
    own: int | None, places: list[str], foot: int
) -> None:
    rows = [heater(place + 1, place == own) for place in range(3)]
    grid = match._best(made(rows=rows, own=heater(9), own_suits=False))
    assert [row[0] for row in grid.rows] == places
    assert grid.foot == foot
    assert grid.note.endswith("Yours breaks one of the limits and so has no place.")
    assert "Yours" not in match._best(made(rows=rows, own=heater(9), own_suits=True)).note
    assert [plain(row[1]) for row in grid.rows] == [1.0, 2.0, 3.0, *[9.0] * foot]


def test_each_module_more_gains_over_the_step_before_it() -> None:
    steps = [made(own_tank=heater(count) if count else None, any_tank=heater(place + 7))
             for place, count in enumerate((2, 3, 0, 5, 6))]  # fmt: skip
    grid = match._steps(made(steps=steps))
    assert kinds_of(grid) == {
        "modules": kinds.COUNT, "series": kinds.COUNT, "strings": kinds.COUNT, "element": None,
        "share": kinds.FRACTION, "gain": kinds.FRACTION, "any_volume": kinds.VOLUME,
        "any_share": kinds.FRACTION,
    }  # fmt: skip
    gains = [row[5] for row in cells_of(grid)]
    assert gains == [None, pytest.approx(0.1), None, None, pytest.approx(0.1)]
    assert [row[0] for row in cells_of(grid)] == [2.0, 3.0, 9.0, 5.0, 6.0]
    assert cells_of(grid)[2][1:5] == (None,) * 4
    assert [row[7] for row in cells_of(grid)] == pytest.approx([0.7, 0.8, 0.9, 1.0, 1.1])


def test_tanks_of_a_ranking_are_told_beside_what_was_left_out() -> None:
    left = made(over_plate=2, over_voltage=3, over_current=5, weaker=7, wire_limit=None,
                cold_limit=600.0)  # fmt: skip
    ranking = made(own=made(share=0.5), heat_wanted=11.0, screened=13, refined=17,
                   most_modules=19, on_hand=None, elsewhere=0, tracking=False, left_out=left,
                   tank_volumes=(0.2,))  # fmt: skip
    rows = rows_of(match._ranking_rows(ranking))
    assert list(rows.values()) == [0.5, 11.0, 13.0, 17.0, 19.0, "200 L", 2.0, 3.0, 7.0]
    left.wire_limit = 15.0
    assert list(rows_of(match._ranking_rows(ranking)).values())[-3:] == [3.0, 5.0, 7.0]
    assert [*rows][5] == "tanks"


def failed(name: str, **fields: Any) -> Any:
    usual: dict[str, Any] = {"name": name, "days": 3, "hot": None, "run": None, "order": (),
                             "volume": 0.0, "short": False, "key": name}  # fmt: skip
    return made(**(usual | fields))


def test_the_darkest_days_begin_on_a_day_of_the_calendar() -> None:
    dark = [failed("a", run=made(month=1, day=9, energy=3.0, usual=5.0)), failed("b"),
            failed("c", run=made(month=12, day=30, energy=7.0, usual=11.0))]  # fmt: skip
    grid = outage._runs(made(outages=dark))
    assert grid is not None
    assert kinds_of(grid) == {
        "failed": None, "begins": None, "energy": kinds.ENERGY, "usual": kinds.ENERGY,
    }  # fmt: skip
    assert cells_of(grid) == [("a", "Jan 9", 3.0, 5.0), ("c", "Dec 30", 7.0, 11.0)]
    assert outage._runs(made(outages=[failed("b")])) is None


@pytest.mark.parametrize(("rows", "grouped"), [
    ([("a", (1.0,))], [("a", (1.0,))]),
    ([("a", (1.0,)), ("b", (1.0,))], [("whatever fails", (1.0,))]),
    ([("a", (1.0,)), ("b", (2.0,)), ("c", (1.0,))], [("a; c", (1.0,)), ("b", (2.0,))]),
])  # fmt: skip
def test_outages_that_leave_the_same_stand_in_one_row(rows: Any, grouped: Any) -> None:
    assert outage._grouped(rows) == grouped


def test_hot_water_lasts_so_many_of_an_outages_days() -> None:
    whole = failed("nothing", hot=HotWater("hot", 2.0, 50.0, "tank"), days=7)
    grid = outage._hot(made(whole=whole, outages=[failed("a"), failed(
        "b", hot=HotWater("none", None, None, "sun"))]))  # fmt: skip
    assert kinds_of(grid) == {
        "failed": None, "state": None, "hot": DAYS, "days": kinds.COUNT,
        "end_temperature": kinds.TEMPERATURE, "limit": None,
    }  # fmt: skip
    assert cells_of(grid) == [
        ("nothing", "hot", 2.0, 7.0, 50.0, "tank"), ("b", "none", None, 3.0, None, "sun"),
    ]  # fmt: skip


def test_each_source_stands_against_every_outage() -> None:
    def cell(name: str, volume: float) -> OutageCell:
        pressure: Any = "full"
        return OutageCell(name, "", volume, "sun", 60.0 * volume, pressure, f"limit {volume:g}")

    def fails(name: str, *volumes: float) -> Any:
        found = [cell(source, volume) for source, volume in zip("xy", volumes, strict=True)]
        return failed(name, cells=found, cell={each.source: each for each in found}.__getitem__)

    section = outage._sources(made(whole=fails("nothing", 2.0, 4.0),
                                   outages=[fails("a", 1.0, 4.0)], survival=2.0))  # fmt: skip
    first, second = section.grids
    assert [(grid.key, grid.title) for grid in section.grids] == [
        ("source_1", "x"), ("source_2", "y"),
    ]  # fmt: skip
    assert kinds_of(first) == {
        "failed": None, "power": None, "volume": A_DAY, "survival": kinds.FRACTION,
        "effort": EFFORT, "pressure": None, "limit": None,
    }  # fmt: skip
    assert cells_of(first) == [
        ("nothing", "sun", 2.0, 1.0, 120.0, "full", "limit 2"),
        ("a", "sun", 1.0, 0.5, 60.0, "full", "limit 1"),
    ]
    assert cells_of(second) == [("whatever fails", "sun", 4.0, 1.0, 240.0, "full", "limit 4")]


def test_each_component_alone_is_a_weak_link_where_water_falls_short() -> None:
    links = [made(component=name, fix=fix, outage=failed("", volume=volume, order=order,
                                                         short=short))
             for name, fix, volume, order, short in (
                 ("a", None, 1.0, ("x", "y"), True), ("b", made(text="a tank"), 4.0, (), True),
                 ("c", None, 2.0, ("z",), False))]  # fmt: skip
    section = outage._links(made(links=links, survival=2.0, whole=failed("", days=5)))
    (grid,) = section.grids
    assert kinds_of(grid) == {
        "component": None, "volume": A_DAY, "survival": kinds.FRACTION, "order": None, "fix": None,
    }  # fmt: skip
    assert cells_of(grid) == [
        ("a", 1.0, 0.5, "x, y", "yes"), ("b", 4.0, 1.0, "nothing", "yes; a tank clears it"),
        ("c", 2.0, 1.0, "z", "no"),
    ]  # fmt: skip
    assert grid.note.startswith("For 5 days each.")


def test_the_water_of_other_wells_stands_by_their_numbers() -> None:
    rows = list(outage._other_levels(made(other_levels=(("a", 3.0), ("b", 5.0)))))
    assert rows_of(rows) == {"other_level_1": 3.0, "other_level_2": 5.0}
    assert [row.kind for row in rows] == [kinds.LENGTH] * 2
    assert all(isinstance(row.quantity, Quantity) and row.quantity.kind == kinds.LENGTH
               for row in rows)  # fmt: skip


def piece(key: str, head: float, why: str = "") -> Any:
    return made(key=key, label=f"label {key}", head=head, why=say(f"by {why or key}"))


def test_a_head_is_built_up_of_its_pieces_at_each_duty() -> None:
    duties = (
        made(label="at cut-in", pieces=(piece("a", 1.0), piece("b", 2.0)), total_dynamic_head=3.0,
             friction_darcy=5.0, friction_hazen_williams=7.0, hazen_williams_c=140),
        made(label="last", pieces=(piece("a", 11.0), piece("c", 13.0)), total_dynamic_head=17.0,
             friction_darcy=19.0, friction_hazen_williams=23.0, hazen_williams_c=150),
    )  # fmt: skip
    grid = pump._head_build_up(duties)
    assert kinds_of(grid) == {
        "piece": None, "at_cut_in": kinds.HEAD, "last": kinds.HEAD, "from": None,
    }  # fmt: skip
    assert [row[1:3] for row in cells_of(grid)] == [
        (1.0, 11.0), (2.0, None), (None, 13.0), (3.0, 17.0), (5.0, 19.0), (7.0, 23.0),
    ]  # fmt: skip
    assert [row[0] for row in cells_of(grid)][:3] == ["label a", "label b", "label c"]
    assert [row[3] for row in cells_of(grid)][:3] == ["by a", "by b", "by c"]
    assert "C = 140" in str(grid.rows[-1][3])
    assert grid.foot == 3


def test_a_reason_that_hangs_on_the_duty_is_told_for_each() -> None:
    one, other = (piece("a", 1.0) for _ in range(2))
    one.why, other.why = (say("over {d}", d=Quantity(each, kinds.LENGTH)) for each in (2.0, 3.0))
    told = pump._reason(["at cut-in", "last"], [one, other])
    assert isinstance(told, Sentence)
    assert told.text("SI") == "at cut-in: over 2.0 m; last: over 3.0 m"
    assert plain(pump._reason(["x", "y"], [None, other])) == "over 3.0 m"
    assert plain(pump._reason(["x", "y"], [one, one])) == "over 2.0 m"


@pytest.mark.parametrize(("fields", "told"), [
    ({"gauge": "8 AWG"}, "of 8 AWG"), ({}, "of the thickest wire"),
    ({"smallest_gauge": "4 AWG", "ambient": 40.0, "insulation": "XX", "conductors": 3},
     "of 4 AWG, XX, in 40.0 °C, 3 conductors together"),
])  # fmt: skip
def test_a_wires_ampacity_is_told_with_its_surroundings(fields: dict[str, Any], told: str) -> None:
    usual = dict.fromkeys(("gauge", "smallest_gauge", "insulation", "ambient", "conductors"))
    assert pump._surroundings(made(**(usual | fields))).text("SI") == told


@pytest.mark.parametrize(("duties", "noted"), [((2, 2), False), ((2, 1), True), ((3, 2), False)])
def test_a_pump_that_works_at_one_pressure_is_noted(duties: tuple[int, ...], noted: bool) -> None:
    names = [name for name, _ in pump.SIDE_BY_SIDE.entries]
    pumps = [with_all(" ".join(names), None, name="n", role="r", duties=(0,) * count)
             for count in duties]  # fmt: skip
    (grid,) = pump.pumps_section(tuple(pumps)).grids
    assert bool(grid.note) == noted
    assert len(grid.rows) == 2


def course(together: bool) -> Grid:
    pumps = [made(name="a", levels=(1.0, 2.0)), made(name="b", levels=()),
             made(name="c", levels=(3.0, 5.0))]  # fmt: skip
    return well._course(made(times=(60.0, 120.0), pumps=pumps,
                             together=made(levels=(7.0, 11.0)) if together else None))  # fmt: skip


def test_the_water_goes_down_under_each_pump_and_under_all() -> None:
    assert kinds_of(course(together=True)) == {
        "time": kinds.DURATION, "level_1": kinds.LENGTH, "level_2": kinds.LENGTH,
        "level_all": kinds.LENGTH,
    }  # fmt: skip
    assert cells_of(course(together=True)) == [(60.0, 1.0, 3.0, 7.0), (120.0, 2.0, 5.0, 11.0)]
    assert cells_of(course(together=False)) == [(60.0, 1.0, 3.0), (120.0, 2.0, 5.0)]
    assert [column.label for column in course(together=False).columns][1:] == ["a", "c"]


def test_where_air_is_drawn_levels_are_told_as_lengths() -> None:
    told = well._at_first_intake(made(first_intake=30.0, day_level=28.0))
    assert {name: (float(part), part.kind) for name, part in told.parts.items()
            if isinstance(part, Quantity)} == {
        "intake": (30.0, kinds.LENGTH), "level": (28.0, kinds.LENGTH),
    }  # fmt: skip


def test_a_casing_is_from_its_top_to_its_bottom_in_lengths() -> None:
    assert [(column.key, column.kind) for column in well.SECTIONS.columns()][:2] == [
        ("top", kinds.LENGTH), ("bottom", kinds.LENGTH),
    ]  # fmt: skip


@pytest.mark.parametrize(("clearance", "told"), [(-0.001, True), (0.0, False), (0.5, False)])
def test_the_tightest_section_says_where_strings_do_not_fit(clearance: float, told: bool) -> None:
    tightest = made(top=1.0, bottom=2.0, smallest_circle=0.1, clearance=clearance)
    rows = well.TIGHTEST.rows(tightest)
    assert bool(rows[-1].why) == told


@pytest.mark.parametrize(("trouble", "told"), [
    ("", "Drawdown below the water at rest; difference is measured less fitted."),
    ("too short", "Too short."), ("x", "X."),
])  # fmt: skip
def test_a_test_of_the_well_is_noted_by_its_trouble(trouble: str, told: str) -> None:
    assert well._test_note(made(trouble=trouble)) == told


@pytest.mark.parametrize(("times", "timed"), [((None, None), False), ((None, 60.0), True)])
def test_readings_have_a_time_where_any_does(times: tuple[float | None, ...], timed: bool) -> None:
    grid = well._test(made(kind="step test", method="by hand", trouble="", readings=[
        made(time=time, flow=1.0, drawdown=2.0, fitted=3.0, residual=5.0) for time in times
    ]), 2)  # fmt: skip
    assert ("time" in kinds_of(grid)) == timed
    assert (grid.key, grid.title) == ("test_2", "Step test: by hand")


def test_bridges_stand_behind_the_pump_whose_they_are() -> None:
    pumps = [made(name="a", bridges=(made(label="x", wanted=1.0, given=2.0, storage=3.0),)),
             made(name="b", bridges=())]  # fmt: skip
    assert cells_of(well._bridges(pumps))[0][:2] == ("a", "x")
    assert len(well._bridges(pumps).rows) == 1


def test_other_wells_are_numbered_and_named() -> None:
    inner = Section("well", "Well", "?", ())
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(well, "well_section", lambda found: inner)
        patched.setattr(well, "casing_section", lambda found: inner)
        both = list(well.other_well_sections(made(well=1, casing=1, name="north"), 2))
        one = list(well.other_well_sections(made(well=None, casing=1, name="north"), 2))
    assert [(each.key, each.title) for each in both] == [("other_well_2", "Well: north")] * 2
    assert len(one) == 1


def test_causes_of_a_reading_are_told_in_their_order_with_their_ends() -> None:
    band = Quantity(4.0, kinds.CURRENT, low=3.0, high=5.0)
    causes = (
        made(text="one", share=0.7, expected=band),
        made(text="two", share=0.3, expected=None),
    )
    reading = made(
        measured=Quantity(2.0, kinds.CURRENT), when="noon", causes=causes, subject="s", label="l",
        taken="", implied=(made(key="i", label="im", value=band, why="w"),),
        expected=made(value=band, rests_on="r", most=Quantity(6.0, kinds.CURRENT)),
    )  # fmt: skip
    section = readings._section(reading, 4)
    assert section.key == "reading_4"
    assert rows_of(section.rows) == {
        "measured": 2.0, "expected_low": 3.0, "expected": 4.0, "expected_high": 5.0,
        "clear_sky": 6.0, "i": 4.0, "i_low": 3.0, "i_high": 5.0, "cause_1": "one",
        "cause_1_share": 0.7, "cause_1_low": 3.0, "cause_1_high": 5.0, "cause_2": "two",
        "cause_2_share": 0.3,
    }  # fmt: skip
    labels = {row.key: row.label for row in section.rows}
    assert (labels["cause_1"], labels["cause_2"]) == ("likeliest cause", "then")
    assert all(row.kind in (kinds.CURRENT, kinds.FRACTION, None) for row in section.rows)


def test_what_explains_all_readings_is_the_likeliest_first() -> None:
    suspects = tuple(made(text=text, share=share, explains=count)
                     for text, share, count in (("a", 0.6, 3), ("b", 0.4, 2)))  # fmt: skip
    rows = readings._together(suspects).rows
    assert rows_of(rows) == {
        "suspect_1": "a", "suspect_1_share": 0.6, "suspect_1_explains": 3.0, "suspect_2": "b",
        "suspect_2_share": 0.4, "suspect_2_explains": 2.0,
    }  # fmt: skip
    assert [row.label for row in rows][::3] == ["likeliest of all", "then"]


def test_a_sheet_has_its_steps_in_order_and_the_ends_of_each_reading() -> None:
    band = Quantity(4.0, kinds.CURRENT, low=3.0, high=5.0)
    lines = (made(number=7, text="t", expected=band, words=""),
             made(number=8, text="u", expected=None, words="as marked"))  # fmt: skip
    steps = [made(key=key, title=key.upper(), before="off", lines=lines) for key in "ab"]
    grids = readings.sheet_section(made(steps=steps)).grids
    assert [(grid.key, grid.title, grid.note) for grid in grids] == [
        ("a", "1. A", "First: off"), ("b", "2. B", "First: off"),
    ]  # fmt: skip
    blank = readings.BLANK
    assert [tuple(map(plain, row)) for row in grids[0].rows] == [
        ("7", "t", 3.0, 5.0, blank), ("8", "u: as marked", None, None, blank),
    ]  # fmt: skip


def test_the_steps_of_a_card_are_numbered_each_from_1() -> None:
    block = made(letter="A", title=say("t"), signs=(say("s"),), steps=(say("p"), say("q")),
                 notes=())  # fmt: skip
    other = made(letter="", title=say("u"), signs=(), steps=(), notes=(say("n"),))
    rows = list(card._rows((block, other)))
    assert [tuple(map(plain, row)) for row in rows] == [
        ("A", "t", "sign", 1.0, "s"), ("A", "t", "step", 1.0, "p"), ("A", "t", "step", 2.0, "q"),
        (None, "u", "note", 1.0, "n"),
    ]  # fmt: skip


@pytest.mark.parametrize(("whole", "share"), [(8.0, 0.25), (0.0, None), (-1.0, None)])
def test_a_share_is_of_something(whole: float, share: float | None) -> None:
    assert heat._share(2.0, whole) == share


def test_the_starts_of_a_day_stand_by_their_warmth_but_for_the_day_before() -> None:
    starts = [made(start=start, start_temperature=warm) for start, warm in (
        ("cold", 10.0), ("the day before", 20.0), ("the setpoint", 50.0))]  # fmt: skip
    rows = heat._starts(made(days=[made(starts=starts), made(starts=())]))
    assert rows_of(rows) == {"from_cold": 10.0, "from_setpoint": 50.0}
    assert [row.kind for row in rows] == [kinds.TEMPERATURE] * 2
    assert heat._starts(made(days=())) == []


def test_a_households_year_stands_below_its_months() -> None:
    names = [name for name, _ in heat.HOUSEHOLD_MONTHS.entries]
    months = [with_all(" ".join(names), 1.0, month=month) for month in (1, 2)]
    for by, without in (("PV", 2), ("upper element", 0), ("second tank", 0)):
        year = made(heated_by=by, months=months, year=with_all(" ".join(names), 2.0, month=3))
        table = heat._household_months(year, by == "PV")
        assert (len(table.rows), table.foot) == (3, 1)
        assert len(table.columns) == len(names) - without
        assert bool(table.note) == (by == "PV")


@pytest.mark.parametrize(("amount", "kind", "system", "told"), [
    # 30.48 m are 100 ft, 0.1 m3 26.417 gal; a hair more is rounding, and no piece more.
    (30.48, kinds.LENGTH, "US", ("100", "ft")), (30.49, kinds.LENGTH, "US", ("101", "ft")),
    (3.0, kinds.LENGTH, "SI", ("3", "m")), (3.01, kinds.LENGTH, "SI", ("4", "m")),
    (0.1, kinds.VOLUME, "US", ("26.5", "gal")), (0.1, kinds.VOLUME, "SI", ("100.0", "L")),
    (0.10004, kinds.VOLUME, "SI", ("100.1", "L")), (7.0, kinds.COUNT, "US", ("7", "piece")),
])  # fmt: skip
def test_an_amount_is_rounded_up(
    amount: float, kind: Kind, system: System, told: tuple[str, str]
) -> None:
    assert parts_list.whole_amount(made(quantity=Quantity(amount, kind)), system) == told


@pytest.mark.parametrize(("count", "told"), [
    (8, "p0, p1, p2, p3, p4, p5, p6, p7."), (9, "p0, p1, p2, p3, p4, p5, p6, p7 and 1 more."),
    (11, "p0, p1, p2, p3, p4, p5, p6, p7 and 3 more."),
])  # fmt: skip
def test_eight_parts_of_a_state_are_named(count: int, told: str) -> None:
    parts = [made(item=f"p{number}", state="to add") for number in range(count)]
    both = [*parts, parts[0], made(item="other", state="to change")]
    assert parts_list._named("to add", made(parts=both)) == f"To add: {told}"


def test_lines_for_one_reason_share_it() -> None:
    parts = [(number, reason) for number, reason in enumerate("aabcc", 3)]
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(parts_list, "with_verdict", lambda part: part)
        told = list(parts_list._reasons(parts))  # type: ignore[arg-type]
    assert told == [("3-4", "a"), ("5", "b"), ("6-7", "c")]


@pytest.mark.parametrize(("lacking", "told"), [
    (0, "."), (1, "; 1 line has no price."), (2, "; 2 lines have no price."),
])  # fmt: skip
def test_a_cost_tells_the_lines_without_a_price(lacking: int, told: str) -> None:
    found = made(without_price=lambda *states: lacking, cost=lambda *states: 1234.5)
    line = parts_list._cost_line("All", found, "to add")
    assert line == f"All: 1,234.50 by the prices of the file{told}"


def test_reasons_of_a_part_keep_their_numbers_apart() -> None:
    whys = (say("deep {d} of {d}", d=Quantity(3.0, kinds.LENGTH)),
            say("long {d:up}", d=Quantity(5.01, kinds.LENGTH)), say("old"))  # fmt: skip
    assert parts_list.why_of(made(why=whys)).text("SI") == "deep 3.0 m of 3.0 m; long 5.1 m; old"


def test_readings_are_numbered_from_1() -> None:
    band = Quantity(2.0, kinds.CURRENT)
    each = made(measured=band, when="", causes=(), subject="s", label="l", taken="", implied=(),
                expected=None)  # fmt: skip
    result = made(readings=(each, each), suspects=(), guards=())
    assert [section.key for section in readings.reading_sections(result)] == [
        "reading_1", "reading_2",
    ]  # fmt: skip


@pytest.mark.parametrize(("seconds", "told"), [
    (0.0, "0:00"), (52_200.0, "14:30"), (3_725.0, "1:02"), (3_755.0, "1:03"), (60.0, "0:01"),
    (86_370.0, "24:00"),
])  # fmt: skip
def test_a_time_of_day_is_told_to_the_minute(seconds: float, told: str) -> None:
    assert rows.cell_text(Quantity(seconds, CLOCK), "US") == told


@pytest.mark.parametrize(("kind", "us", "si"), [
    (kinds.LENGTH, "ft", "m"), (kinds.DURATION, "", ""), (CLOCK, "", ""), (None, "", ""),
    (kinds.TEMPERATURE, "\u00b0F", "\u00b0C"),
])  # fmt: skip
def test_a_header_names_the_one_unit_of_a_kind(kind: Kind | None, us: str, si: str) -> None:
    assert (rows.header_unit(kind, "US"), rows.header_unit(kind, "SI")) == (us, si)


@pytest.mark.parametrize(("cell", "text"), [
    (None, "-"), ("word", "word"), (Quantity(float("inf"), kinds.LENGTH), "-"),
    (Quantity(3.048, kinds.LENGTH), "10.0"), (Quantity(60.0, kinds.DURATION), "60.0 s"),
    (Quantity(0.5, kinds.FRACTION), "50.0"), (say("a"), "a"),
])  # fmt: skip
def test_below_a_unit_a_number_stands_without_it(cell: Cell, text: str) -> None:
    assert rows.number_text(cell, "US") == text


@pytest.mark.parametrize(("value", "entry", "cell"), [
    (None, Entry("l"), None), (None, Entry("l", nothing="never"), "never"),
    (None, Entry("l", kinds.LENGTH, nothing="none"), None), (None, Entry("l", kinds.LENGTH), None),
    (2.0, Entry("l", kinds.LENGTH), Quantity(2.0, kinds.LENGTH)), (2, Entry("l"), "2"),
    ("word", Entry("l", kinds.LENGTH), "word"), (say("s"), Entry("l"), say("s")),
    (True, Entry("l", words=lambda it: "yes" if it else "no"), "yes"),
])  # fmt: skip
def test_what_is_not_there_is_told_by_what_its_field_declares(
    value: Any, entry: Entry, cell: Cell
) -> None:
    found = rows._cell(value, entry)
    assert found == cell
    assert getattr(found, "kind", None) == getattr(cell, "kind", None)


def test_days_of_a_kind_have_a_column_for_what_any_of_them_does() -> None:
    def day(month: int, reached: float | None, kind: str = "clear") -> Any:
        starts = [made(start=start, time_to_setpoint=time) for start, time in (
            ("cold", reached), ("the setpoint", None), ("a warm tank", 3600.0))]  # fmt: skip
        return with_all(" ".join(names), 7.0, month=month, kind=kind, starts=starts,
                        element_energy=2.0, days_to_setpoint=None)  # fmt: skip

    listed = (heat.BY_DAY, heat.FROM_COLD, heat.IN_A_RUN)
    names = [name for each in listed for name, _ in each.entries]
    tank = made(days=[day(1, None), day(2, 7200.0), day(3, None, "poor")], heating_energy=8.0)
    grid = heat._days(tank, "clear")
    assert [row[0] for row in grid.rows] == ["Jan", "Feb"]
    keys = [column.key for column in grid.columns]
    assert [plain(row[keys.index("one_tank")]) for row in grid.rows] == [0.25, 0.25]
    assert kinds_of(grid)["one_tank"] == kinds.FRACTION
    shown = [key for key in keys if key.startswith("time_from_")]
    assert shown == ["time_from_cold", "time_from_a_warm_tank"]
    assert [plain(row[keys.index("time_from_cold")]) for row in grid.rows] == [None, 7200.0]
    assert kinds_of(grid)["time_from_cold"] == CLOCK
    assert "no month has a clear day that does it: " in grid.note
    assert "from the setpoint by" in grid.note
    assert grid.note.startswith(heat.NOTE_ON_DAYS)
    assert heat.NOTE_ON_DAYS not in heat._days(tank, "poor").note


def test_a_years_rows_are_of_the_sun_alone_and_of_all_that_heats() -> None:
    def year(by: str, value: float) -> Any:
        names = [name for name, _ in (*heat.YEAR_ON_PV.entries, *heat.YEAR_WITH_GRID.entries,
                                      *heat.HOUSEHOLD_MONTHS.entries)]  # fmt: skip
        return made(heated_by=by, months=(), evening=value, year=with_all(
            " ".join({*names} - {"month"}), value, month=1, days=365))  # fmt: skip

    alone, upper, second = (
        year(by, value)
        for by, value in (("PV", 2.0), ("upper element", 3.0), ("second tank", 5.0))
    )
    names = [len(each.entries) for each in (heat.EVENING, heat.YEAR_ON_PV, heat.YEAR_WITH_GRID)]
    for tanks, last in (((alone, upper, second), 5.0), ((alone, upper), 3.0), ((alone,), None)):
        section = heat._household_section(made(households=tanks))
        rest = [] if last is None else [last] * names[2]
        assert [value for value in rows_of(section.rows).values() if value is not None] == [
            *[2.0] * (names[0] + names[1]), *rest,
        ]  # fmt: skip
        assert len(section.grids) == len(tanks)
        assert [bool(grid.note) for grid in section.grids] == [True, *[False] * (len(tanks) - 1)]
    assert "second tank" in str([row.why for row in section.rows]) or last is None


def test_a_tank_has_its_wire_and_its_module_below_its_array() -> None:
    names = [name for each in (heat.ARRAY, heat.MODULE) for name, _ in each.entries]
    tank = with_all(" ".join(names), 2.0, wire=None, reference_points=(), working_points=())
    bare = [row.key for row in heat._array(tank).rows]
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(heat, "wire_rows", lambda wire: [Row("wire", "wire", wire)])
        tank.wire = "w"
        wired = [row.key for row in heat._array(tank).rows]
    assert wired == [*bare[: len(heat.ARRAY.entries)], "wire", *bare[len(heat.ARRAY.entries) :]]
    assert len(bare) == len(names)


@pytest.mark.parametrize("drawn", [True, False])
def test_a_week_without_sun_has_draws_where_its_first_day_has(drawn: bool) -> None:
    names = " ".join(name for name, _ in heat.DARK_DAYS.entries)
    days = [with_all(names, 1.0, mean_temperature=1.0 if drawn else None),
            with_all(names, 1.0, mean_temperature=None if drawn else 1.0)]  # fmt: skip
    grid = heat._dark(made(dark_days=days))
    assert len(grid.columns) == len(heat.DARK_DAYS.entries) - (0 if drawn else 3)
    assert len(grid.rows) == 2


@pytest.mark.parametrize("bladder", [True, False])
def test_a_bladder_without_air_is_noted_where_there_is_one(bladder: bool) -> None:
    names = " ".join(name for name, _ in (*outage.MATRIX.entries, *outage.ORDER.entries))
    whole, other, fails = (
        with_all(names, 1.0, key=key, name=name, order=(), hot=None)
        for key, name in (("", "nothing"), ("grid", "g"), ("bladder" if bladder else "pump", "f"))
    )
    result = made(whole=whole, outages=(other, fails))
    grid = outage._matrix(result)
    assert grid.note == outage.NOTE_ON_MATRIX + outage.NOTE_ON_BLADDER * bladder
    assert [row[0] for row in grid.rows] == ["nothing", "g", "f"]
    without = outage._order(result)
    result.whole.hot = HotWater("hot", 2.0, 50.0, "tank")
    heated = outage._order(result)
    assert len(heated.columns) == len(without.columns) + 1
    assert [row[0] for row in heated.rows] == ["nothing", "g", "f"]


@pytest.mark.parametrize(("name", "noted"), [("water heater", True), ("storage tank", False)])
def test_what_a_water_heater_holds_is_noted(name: str, noted: bool) -> None:
    names = " ".join(each for each, _ in outage.STORES.entries)
    stores = [with_all(names, 1.0, name=each, note="n") for each in ("bottles", name)]
    grid = outage._stores(made(stores=stores))
    assert (bool(grid.note), len(grid.rows)) == (noted, 2)


@pytest.mark.parametrize(
    ("after", "needed", "there", "without"),
    [
        (None, None, None, "after tank_needed expansion_tank"),
        (None, None, 5.0, "after tank_needed"), (1.0, None, 5.0, "expansion_tank"),
        (None, 2.0, 5.0, "expansion_tank"), (1.0, None, None, "expansion_tank"),
        (0.0, None, 5.0, "expansion_tank"),
    ],
)  # fmt: skip
def test_the_expansion_of_hot_water_goes_one_way(
    after: float | None, needed: float | None, there: float | None, without: str
) -> None:
    pressure = made(after=after, tank_needed=needed, expansion_tank=there)
    assert heat_safety._ways_not_taken(pressure) == tuple(without.split())


def test_verdicts_over_ranges_are_those_that_are_not_settled() -> None:
    open_one = made(unsettled=True, subject="s", rule="r", passes=0.5, cautions=0.25, fails=0.125,
                    driver="well.depth", correlation=-0.75, turns_at="30 m",
                    usual="pass")  # fmt: skip
    alone = made(**(vars(open_one) | {"driver": "", "turns_at": None}))
    settled = made(**(vars(open_one) | {"unsettled": False, "subject": "t"}))
    found = made(verdicts=[open_one, settled, alone])
    grid = ranges._verdicts(found)
    assert cells_of(grid) == [
        ("s: r", 0.5, 0.25, 0.125, "well.depth", -0.75, "30 m"),
        ("s: r", 0.5, 0.25, 0.125, None, None, None),
    ]
    assert kinds_of(grid) == {
        "asked": None, "passes": kinds.FRACTION, "cautions": kinds.FRACTION,
        "fails": kinds.FRACTION, "driver": None, "correlation": kinds.RATIO, "turns_at": None,
    }  # fmt: skip
    assert cells_of(ranges._settled(found)) == [("t: r", "pass")]


def test_what_was_varied_stands_from_its_low_end_to_its_high_one() -> None:
    value = Quantity(4.0, kinds.LENGTH, low=3.0, high=5.0)
    grid = ranges._inputs(made(inputs=[made(path="p", value=value)], cases=64, seed=7))
    assert cells_of(grid) == [("p", 3.0, 4.0, 5.0)]
    assert [column.key for column in grid.columns] == ["key", "low", "likeliest", "high"]
    assert "64 cases" in grid.note
    assert "seed 7" in grid.note
    (choice,) = cells_of(ranges._choices(made(choices=[made(pump="a", holds=0.75)])))
    assert choice == ("a", 0.75)


def test_guards_are_told_by_their_line_and_when_they_were_tested() -> None:
    states = ((3, "tested", "noon"), (4, "claimed", ""))
    guards = tuple(made(line=made(number=number, text=f"t{number}"), state=state, taken=taken)
                   for number, state, taken in states)  # fmt: skip
    (grid,) = readings._guards(guards).grids
    assert cells_of(grid) == [("3", "t3", "tested", "noon"), ("4", "t4", "claimed", None)]
    assert [column.key for column in grid.columns] == ["line", "guard", "state", "tested"]


def to_do(act: str, cost: float | None, *clears: tuple[str, str]) -> Any:
    return made(
        act=act, status="fail", safety=True, subject="pump", does=say("buy it"),
        why=say("it runs"), by="plumber", cost=cost,
        clears=[made(subject=subject, rule=made(key=key)) for subject, key in clears],
    )  # fmt: skip


def test_a_line_of_the_list_of_what_to_do_is_told_with_all_that_it_clears() -> None:
    todos = [to_do("buy", 1234.5, ("pump", "a"), ("tank", "b"), ("pump", "c")),
             to_do("read", None, ("pump", "a"))]  # fmt: skip
    first, second = todo.todo_lines(made(todo=todos, system="US"))
    assert vars(first) == {
        "number": 1, "mark": "fail", "safety": True, "what": "pump: buy it", "why": "It runs.",
        "by": "licensed plumber", "clears": "pump: a, c; tank: b", "cost": "1,234.50",
    }  # fmt: skip
    assert (second.number, second.what, second.cost) == (2, "buy it", "")


@pytest.mark.parametrize(("power", "by_rule"), [(None, True), (60.0, False)])
def test_what_people_keep_up_goes_by_the_rule_unless_the_file_gives_a_power(
    power: float | None, by_rule: bool
) -> None:
    note = hand._spells(made(worker=made(power=power), spells=())).note
    assert ("published rule" in note, "the file gives" in note) == (by_rule, not by_rule)
