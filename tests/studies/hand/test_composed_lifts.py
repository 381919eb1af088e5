"""Handles and other lifts composed again: forces by the column, the rods and the lever, what would
make a handle light by a search of all that is sold, and a lift by the root of flow and level."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import product
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.studies.hand.village import VILLAGE, WATER, G, changed
from wellsolar import Case, kinds
from wellsolar.data import rows
from wellsolar.results.hand import HandDuty, HandPumpResult
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.hand.lever import FORCE, INTO_TANK, force_verdict, travel_verdict
from wellsolar.studies.hand.other_lifts import study_lifts
from wellsolar.units import read
from wellsolar.verdicts import changes_of

L_MIN = 1e-3 / 60
ROD = 130.0
"""Weight of the rods at the cylinder of these made-up pumps [N]."""


@cache
def village() -> Case:
    return Case(parse_site(VILLAGE))


def at_home(table: Any, system: str = "US") -> Any:
    """A site with a hand pump, whose counters sell by a system of units."""
    return SimpleNamespace(hand_pump=table, site=SimpleNamespace(print_units=system))


def made(
    columns: tuple[float, ...],
    lever: float,
    hung: float = 0.0,
    people: int = 1,
    keys: tuple[str, ...] = ("spout", "low"),
) -> tuple[Any, HandPumpResult]:
    """A pump whose piston carries so much water at each duty [N], a quarter more by friction."""
    table = village().site.hand_pump
    usual = village().hand_pump
    assert usual is not None
    table = table.model_copy(update={"lever_ratio": read(f"{lever:g}", kinds.RATIO)})
    duties = []
    for key, column in zip(keys, columns, strict=False):
        friction = 0.25 * column
        up = (column + friction + ROD) / lever - hung
        down = (friction - ROD) / lever + hung
        duties.append(
            replace(
                usual.duties[0], key=key, upward=up, downward=down, friction=friction,
                handle_force=max(abs(up), abs(down)),
                balancing=(column + 2 * ROD) / (2 * lever), sustained_flow=7.0 * L_MIN,
            )
        )  # fmt: skip
    return table, replace(
        usual, duties=tuple(duties), rod_weight=ROD, counterweight=hung, people_pumping=people
    )


def sold(what: str, kind: kinds.Kind) -> list[float]:
    return sorted(
        float(read(f"{row['size']} {row['unit']}", kind))
        for row in rows("standard_sizes")
        if (row["what"], row["market"]) == (what, "US")
    )


@cache
def counters() -> tuple[list[float], list[float], list[float]]:
    return sold("lever", kinds.RATIO), sold("cylinder", kinds.BORE), sold("stroke", kinds.BORE)


def numbers(remedy: Any) -> dict[str, float]:
    """The changes of a remedy as numbers, by their keys of the hand pump."""
    of = {"lever_ratio": kinds.RATIO, "bore": kinds.BORE, "stroke": kinds.BORE,
          "people_pumping": kinds.COUNT, "counterweight": kinds.FORCE}  # fmt: skip
    found = {}
    for each in changes_of(remedy):
        key = each.path.removeprefix("hand_pump.")
        found[key] = float(read(str(each.value).strip('"'), of[key]))
    return found


def workable(
    table: Any, columns: tuple[float, ...], hung: float, people: int, force: float
) -> dict[tuple[float | None, float | None, float | None, int | None], int]:
    """What is sold that makes a handle light and its way short, with the number of its changes."""
    levers, bores, strokes = counters()
    found = {}
    crews = (None, 2) if people == 1 else (None,)
    for lever, bore, stroke, crew in product(
        (None, *levers), (None, *bores), (None, *strokes), crews
    ):
        if bore is not None and bore >= table.bore:
            continue
        if stroke is not None and stroke >= table.stroke:
            continue
        if lever is not None and lever == table.lever_ratio:
            continue
        ratio, share = lever or float(table.lever_ratio), ((bore or table.bore) / table.bore) ** 2
        hands = crew or people
        light = all(
            max(
                abs((1.25 * share * column + ROD) / ratio - hung),
                abs((0.25 * share * column - ROD) / ratio + hung),
            ) / hands <= force
            for column in columns
        )  # fmt: skip
        if light and (stroke or table.stroke) * ratio <= 1.0 + 1e-9:
            way = (lever, bore, stroke, crew)
            found[way] = sum(each is not None for each in way)
    return found


@pytest.mark.parametrize("people", [1, 2])
@pytest.mark.parametrize("rule", [FORCE, INTO_TANK])
def test_the_force_of_a_hand_is_judged_at_its_own_limits(rule: Any, people: int) -> None:
    for column, status in ((500.0, "pass"), (1500.0, "caution"), (9000.0, "fail")):
        table, hand = made((column,), 5.0, hung=15.0, people=people)
        limit = 150.0
        force = ((1.25 * column + ROD) / 5.0 - 15.0) / people
        expected = "pass" if force <= limit else "caution" if force <= 400.0 else "fail"
        if people == 1:
            assert expected == status
        told = force_verdict(rule, at_home(table), hand, hand.duties[0], limit)
        assert told.status == expected
        assert told.quantity == pytest.approx(force)
        assert told.limit == pytest.approx(400.0 if expected == "fail" else limit)
        parts = told.reason.parts
        assert parts["up"] == pytest.approx(force)
        assert parts["down"] == pytest.approx(abs((0.25 * column - ROD) / 5.0 + 15.0) / people)
        pushes = (0.25 * column - ROD) / 5.0 + 15.0 >= 0.0
        assert ("pushes" in told.reason.template) == pushes
        assert ("for an hour" in told.reason.template) == (rule is INTO_TANK)
        assert parts["lever"] == "5"
        assert parts["each"] == ("the hand" if people == 1 else "each of two")
        assert (told.remedy is None) == (expected == "pass")
        if rule is INTO_TANK:
            assert parts["flow"] == pytest.approx(7.0 * L_MIN)


@pytest.mark.parametrize(
    ("columns", "lever", "hung", "people"),
    [
        ((900.0, 1000.0), 5.0, 0.0, 1),
        ((1500.0, 1700.0), 5.0, 0.0, 1),
        ((1500.0, 1700.0), 6.0, 25.0, 1),
        ((2600.0, 2800.0), 6.0, 0.0, 2),
        ((3000.0, 3200.0), 4.0, 0.0, 1),
        ((700.0, 5000.0), 4.0, 0.0, 1),
        ((60_000.0, 61_000.0), 4.0, 0.0, 1),
        # A weight of 51 to 141 N makes it light.
        ((600.0, 700.0), 5.0, 0.0, 1),
        # Any longer lever moves the hand too far: a narrower cylinder, the widest that does.
        ((1400.0, 1500.0), 8.0, 0.0, 1),
        # So heavy a weight hangs there that the downstroke is the hard one.
        ((280.0, 300.0), 4.0, 200.0, 1),
    ],
)
def test_a_lighter_handle_is_the_fewest_changes_that_are_sold(
    columns: tuple[float, ...], lever: float, hung: float, people: int
) -> None:
    limit = 150.0
    table, hand = made(columns, lever, hung, people)
    judged = hand.duties[-1]
    told = force_verdict(FORCE, at_home(table), hand, judged, limit)
    assert told.status != "pass"
    asked = columns
    ways = workable(table, asked, hung, people, limit)
    if not ways:
        ways = workable(table, columns[-1:], hung, people, limit)
    changes = numbers(told.remedy)
    weights = [w for w in range(1, 4000) if light_with(judged, hung, w, limit * people)]
    if weights and judged.upward + hung <= limit * people:
        # Light upward without any: the weight is one that makes both strokes alike.
        weights = [math.floor((columns[-1] + 2 * ROD) / (2 * lever))]
    if ways:
        chosen = tuple(
            changes.get(key) for key in ("lever_ratio", "bore", "stroke", "people_pumping")
        )
        near = [way for way in ways if same(way, chosen)]
        assert near, (chosen, sorted(ways, key=lambda way: ways[way])[:3])
        assert ways[near[0]] == min(ways.values())
        # Nobody is called to help where what is sold does it.
        fewest = [way for way, number in ways.items() if number == min(ways.values())]
        assert (chosen[3] is not None) == all(way[3] is not None for way in fewest)
        assert (chosen[1] is not None) == all(
            way[1] is not None for way in fewest if (way[3] is None) == (chosen[3] is None)
        )
        alone = [way[0] for way in fewest if way[0] is not None and way[1:] == (None,) * 3]
        if alone:
            assert chosen[0] == pytest.approx(min(alone, key=lambda each: abs(each - lever)))
        elif chosen[1] is not None and same((None, chosen[1], None, None), chosen):
            bores = [way[1] or 0.0 for way in fewest if way[0] is way[2] is way[3] is None]
            assert chosen[1] == pytest.approx(max(bores))
    elif weights:
        assert changes["counterweight"] == pytest.approx(weights[0])
    else:
        assert not changes
    if weights and "weight" in told.remedy.parts:
        assert told.remedy.parts["weight"] == pytest.approx(weights[0])
    assert ("weight" in told.remedy.parts) == bool(weights)


def same(one: tuple[Any, ...], other: tuple[Any, ...]) -> bool:
    """Whether two ways change the same by as much."""
    return all(
        (a is None) == (b is None) and (a is None or a == pytest.approx(b, rel=1e-6))
        for a, b in zip(one, other, strict=True)
    )


def light_with(duty: HandDuty, hung: float, weight: float, force: float) -> bool:
    """Whether a weight at the handle's end in place of the one there makes both strokes light."""
    return duty.upward + hung - weight <= force and abs(duty.downward - hung + weight) <= force


def test_no_handle_against_the_pressure_leaves_the_spout() -> None:
    table, hand = made((60_000.0,), 4.0, keys=("cut-out",))
    told = force_verdict(INTO_TANK, at_home(table), hand, hand.duties[0], 150.0)
    changes = changes_of(told.remedy)
    assert [(each.path, each.value) for each in changes] == [("hand_pump.delivers", '"spout"')]


@pytest.mark.parametrize(
    ("lever", "status", "limit"),
    [(8.0, "pass", 1.0), (8.2, "caution", 1.0), (10.8, "caution", 1.0), (10.9, "fail", 1.354)],
)
def test_the_way_of_a_hand_is_stroke_by_lever(lever: float, status: str, limit: float) -> None:
    """Of 125 mm by the lever: 1.0, 1.025, 1.35 and 1.3625 m."""
    table, hand = made((500.0, 520.0), lever)
    told = travel_verdict(at_home(table), hand, 150.0)
    assert told.status == status
    assert told.quantity == pytest.approx(0.125 * lever)
    assert told.limit == pytest.approx(limit)
    if status == "pass":
        assert told.remedy is None
        return
    changes = numbers(told.remedy)
    ratio = changes.get("lever_ratio", lever)
    assert changes.get("stroke", 0.125) * ratio <= 1.0 + 1e-9
    assert len(changes) == min(workable(table, (500.0, 520.0), 0.0, 1, 150.0).values())


LIFT = """
[[lift]]
name = "rope"
kind = "{kind}"
head = "10, 20, 35 m"
flow = "40, 22, 11 L/min"
power = "130, 140, 150 W"
spout_height = "{spout}"
people_pumping = {people}
person_age = 35
{more}"""


def lifted(
    static: str = "16 m (15 m .. 19 m)",
    kind: str = "rope pump",
    spout: str = "0.7 m",
    people: int = 1,
    more: str = "",
) -> tuple[Any, Any]:
    text = changed(VILLAGE, ("40 m (38 m .. 46 m)", static)).split("[hand_pump]")[0]
    site = parse_site(text + LIFT.format(kind=kind, spout=spout, people=people, more=more)).site
    results, part = study_lifts(site)
    return results[0], part


def water_power(head: float) -> float:
    weight = WATER * G
    heads, flows = np.array([10.0, 20.0, 35.0]), np.array([40.0, 22.0, 11.0]) * L_MIN
    return float(np.interp(head, heads, weight * flows * heads))


@pytest.mark.parametrize(
    ("static", "rest", "low"),
    [
        ("16 m (15 m .. 19 m)", 16.0, 19.0),
        ("6 m", 6.0, 6.0),
        ("27 m", 27.0, 27.0),
    ],
)
def test_a_lift_gives_what_well_and_people_agree_on(static: str, rest: float, low: float) -> None:
    """The level sinks by a metre for each 15 L/min; below 10 m the flow is that of 10 m."""
    capacity, weight = 15 * L_MIN, WATER * G
    lift, part = lifted(static)

    def spare(flow: float, at: float) -> float:
        head = at + flow / capacity + 0.7
        return min(water_power(head) / (weight * head), 40 * L_MIN) - flow

    flow = brentq(spare, 0.0, 41 * L_MIN, args=(rest,))
    head = rest + flow / capacity + 0.7
    assert lift.flow == pytest.approx(flow, rel=1e-3)
    assert lift.head == pytest.approx(head, rel=1e-3)
    assert lift.pumping_level == pytest.approx(rest + flow / capacity, rel=1e-3)
    in_low = brentq(spare, 0.0, 41 * L_MIN, args=(low,))
    assert lift.low_head == pytest.approx(low + in_low / capacity + 0.7, rel=1e-3)
    assert lift.water_power == pytest.approx(weight * flow * head, rel=1e-3)
    put_in = float(np.interp(head, [10, 20, 35], [130, 140, 150])) * min(1.0, head / 10.0)
    assert lift.input_power == pytest.approx(put_in, rel=1e-3)
    assert lift.efficiency == pytest.approx(weight * flow * head / put_in, rel=1e-3)
    assert lift.greatest_head == pytest.approx(35.0)
    assert [each.head for each in lift.by_head] == pytest.approx([10, 15, 20, 30, 35])
    for each in lift.by_head:
        assert each.flow == pytest.approx(water_power(each.head) / (weight * each.head), rel=1e-3)
    reach = next(each for each in part.verdicts if each.rule.key == "reach of the lift")
    assert reach.status == "pass"
    assert reach.quantity == pytest.approx(max(lift.head, lift.low_head))
    assert reach.limit == pytest.approx(35.0)
    assert ("low season" in str(reach.reason.parts["season"])) == (low > rest)


def test_a_lift_reaches_to_the_last_of_its_heads_in_the_low_season_too() -> None:
    for static, flows, status in (
        ("33 m", True, "pass"),
        ("34 m", False, "fail"),
        ("30 m (29 m .. 34 m)", True, "fail"),
    ):
        lift, part = lifted(static)
        reach = next(each for each in part.verdicts if each.rule.key == "reach of the lift")
        assert (lift.flow > 0.0, reach.status) == (flows, status)
        survival = [each for each in part.verdicts if each.rule.key == "survival by this lift"]
        assert bool(survival) == flows


@pytest.mark.parametrize(
    ("kind", "more", "share"),
    [
        ("rope pump", "", 0.8),
        ("treadle pump", "", 1.0),
        ("pedal pump", "", 1.0),
        ("rope pump", 'arm_factor = "55 %"\n', 0.55),
    ],
)
def test_legs_give_all_and_arms_a_part(kind: str, more: str, share: float) -> None:
    lift, part = lifted(kind=kind, more=more)
    told = {each.path: each.value for each in part.assumptions}
    if more:
        assert "lift[1].arm_factor" not in told
    else:
        assert told["lift[1].arm_factor"] == pytest.approx(share)
    assert lift.worker.arm_factor == pytest.approx(share)


def test_an_efficiency_of_the_file_gives_the_power() -> None:
    site = parse_site(
        changed(VILLAGE, ("40 m (38 m .. 46 m)", "16 m")).split("[hand_pump]")[0]
        + LIFT.format(kind="other", spout="0.7 m", people=2, more="").replace(
            'power = "130, 140, 150 W"', 'efficiency = "64 %"'
        )
    ).site
    lift = study_lifts(site)[0][0]
    for point, head, flow in zip(lift.points, (10, 20, 35), (40, 22, 11), strict=True):
        power = WATER * G * flow * L_MIN * head
        assert point.water_power == pytest.approx(power, rel=1e-3)
        assert point.power == pytest.approx(power / 0.64, rel=1e-3)
        assert point.efficiency == pytest.approx(0.64)
    assert lift.people == 2
    # A day's survival water of twenty at 15 L, lifted at the flow that this power of two gives.
    task = lift.task("survival")
    assert task.volume == pytest.approx(0.3)
    assert task.time == pytest.approx(task.volume / task.flow)
    assert math.isfinite(task.time)


def test_a_metric_site_is_offered_metric_handles_and_rods() -> None:
    table, hand = made((900.0, 950.0), 8.0)
    told = force_verdict(FORCE, at_home(table, "SI"), hand, hand.duties[0], 60.0)
    settings = [each.value for each in changes_of(told.remedy)]
    assert settings
    assert not any(" in" in each for each in settings)
