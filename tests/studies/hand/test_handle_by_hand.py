"""A handle and lifts made by hand, each figure worked out beside it from the ways of the rod.

Sizes are invented. The piston has 78.54 cm2, a metre of water on it weighs 77.02 N.
"""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from wellsolar import kinds
from wellsolar.results.hand import DischargePoint, HandPlace
from wellsolar.studies.hand import handle as handles
from wellsolar.studies.hand import head as heads_of
from wellsolar.studies.hand import lever as levers
from wellsolar.studies.hand import other_lifts as lifts
from wellsolar.studies.hand.handle import Handle
from wellsolar.units import Quantity

G, AREA = 9.80665, math.pi / 4 * 0.1**2
COLUMN = 1000.0 * G * AREA  # N a metre of water
FULL = AREA * 0.2 * 0.5 * 0.9  # m3/s of all of the stroke
RODS = 50.0


def made(rod_length: float = 40.0, **table: Any) -> Handle:
    """A cylinder of 100 by 200 mm at 30 strokes a minute, a lever of 5 and a weight of 20 N."""
    usual = {
        "bore": 0.1, "stroke": 0.2, "stroke_rate": 0.5, "volumetric_efficiency": 0.9,
        "mechanical_efficiency": 0.8, "lever_ratio": 5.0, "counterweight": 20.0,
        "rod_diameter": 0.01, "spout_height": 1.0, "discharge_head": None, "discharge_flow": None,
        "discharge_power": None,
    }  # fmt: skip
    level: Any = SimpleNamespace(at=lambda flow: 5.0 + 1e3 * flow, greatest_flow=lambda: math.inf)
    low: Any = SimpleNamespace(at=lambda flow: 9.0 + 1e3 * flow, greatest_flow=lambda: math.inf)

    def total(level: Any, flow: float, pressure: float) -> float:
        assert pressure == 0.0
        return 8.0 + 2e3 * flow

    line: Any = SimpleNamespace(density=1000.0, total=total)
    table_made: Any = SimpleNamespace(**{**usual, **table})
    return Handle(table_made, level, low, line, rod_length, RODS, "worker", 1)  # type: ignore[arg-type]


def of(head: float) -> Any:
    return handles._constant(head)


def test_simpsons_rule_is_right_of_a_cubic() -> None:
    """x^3 - x + 2 from 0 to 2 is 4 - 2 + 4, of five points and of three, also side by side."""
    for count in (3, 5, 7):
        x = np.linspace(0.0, 2.0, count)
        both = np.column_stack([x**3 - x + 2.0, 3.0 * x**2])
        assert handles._simpson(both, 2.0) == pytest.approx([6.0, 8.0])


def test_rods_that_stretch_take_of_the_stroke() -> None:
    """E of steel is 2e11 Pa; 7850 kg/m3 less that of the water that they push away."""
    stretch = COLUMN * 20.0 * 40.0 / (2.0e11 * math.pi / 4 * 0.01**2)
    full = made().full_rate(of(20.0))
    flow = AREA * (0.2 - stretch) * 0.5 * 0.9
    assert (full.flow, full.head, full.stretch) == pytest.approx((flow, 20.0, stretch))
    assert full.stroke_volume == pytest.approx(flow / 0.5)
    # A hundredth of the stroke is left where the rods would take all of it.
    thin = made(rod_diameter=0.001).full_rate(of(20.0))
    assert thin.flow == pytest.approx(AREA * 0.002 * 0.5 * 0.9)
    # Of a head that grows with the flow both agree: q = a (S - c (10 + k q)).
    a, c, k = AREA * 0.5 * 0.9, stretch, 5e3  # a twentieth of the section, of a metre
    solved = a * (0.2 - 10.0 * c) / (1.0 + a * c * k)
    found = made(rod_diameter=0.01 / math.sqrt(20.0)).full_rate(lambda flow: 10.0 + k * flow)
    assert found.flow == pytest.approx(solved, rel=1e-9)
    assert made(rod_length=0.0).full_rate(of(20.0)).flow == pytest.approx(FULL)
    rods = handles.rod_weight(made().table, 3.0, 1000.0)
    assert rods == pytest.approx(3.0 * math.pi / 4 * 0.01**2 * (7850.0 - 1000.0) * G)


def test_heads_of_spout_and_tank_by_their_flow() -> None:
    """Level and spout; line, and pressure over the weight of water; never less than 10 cm."""
    handle = made()
    found = handle.spout_head(handle.level)(np.array([0.0, 1e-3]))
    assert np.asarray(found) == pytest.approx([6.0, 7.0])
    assert float(handle.spout_head(handle.level)(2e-3)) == pytest.approx(8.0)
    above: Any = SimpleNamespace(at=lambda flow: -5.0)
    assert float(handle.spout_head(above)(0.0)) == pytest.approx(0.1)
    flows, heads = handle._line_heads
    assert (len(flows), flows[0], flows[-1]) == (65, 0.0, pytest.approx(FULL))
    assert heads == pytest.approx(8.0 + 2e3 * flows)
    tank = handle.tank_head(3000.0 * G)  # three metres of water
    assert np.asarray(tank(np.array([0.0, FULL]))) == pytest.approx([11.0, 11.0 + 2e3 * FULL])
    assert float(handle.tank_head(-20_000.0 * G)(0.0)) == pytest.approx(0.1)


def test_powers_of_a_curve_are_of_the_water_over_the_efficiencies() -> None:
    handle = made(rod_length=0.0)
    powers, flows, _ = handle.curve(of(20.0))
    assert (len(flows), flows[0], flows[-1]) == (65, 0.0, pytest.approx(FULL))
    assert powers == pytest.approx(1000.0 * G * 20.0 * flows / (0.9 * 0.8))
    # Of a well that gives less, no more: the handle's own or another level.
    dry: Any = SimpleNamespace(greatest_flow=lambda: FULL / 3)
    for found in (handle.curve(of(20.0), dry), replace(handle, level=dry).curve(of(20.0))):
        assert found[1][-1] == pytest.approx(FULL / 3)
        assert found[2].flow == pytest.approx(FULL)
    place = handle._place(of(20.0))
    assert (place.powers[-1], place.flows[-1]) == pytest.approx((powers[-1], FULL))
    assert place.stroke_volume == pytest.approx(FULL / 0.5)
    inlet = handle.inlet_place()
    assert (inlet.key, inlet.label) == ("storage tank", "the storage tank")
    assert inlet.powers[-1] == pytest.approx(
        1000.0 * G * FULL * (8.0 + 2e3 * FULL) / 0.72, rel=1e-3
    )


def test_a_tank_is_filled_with_the_work_of_its_air() -> None:
    """Against its pressure alone the work is the integral of the gauge pressure over the water:
    by Boyle p0 V0 ln(V1/V2) less the atmosphere's, over power and efficiencies the time."""
    air, precharge, volume = 1.0e5, 2.0e5, 0.3
    stored = [volume * (1.0 - (precharge + air) / (gauge + air)) for gauge in (2.2e5, 3.8e5)]
    drawn = stored[1] - stored[0]
    handle = replace(made(rod_length=0.0), line=SimpleNamespace(  # type: ignore[arg-type]
        density=1000.0, total=lambda *asked: 0.0))  # fmt: skip
    tank: Any = SimpleNamespace(stored_at_cut_out=stored[1], drawdown=drawn, volume=volume,
                                precharge=precharge, atmospheric_pressure=air)  # fmt: skip
    place = handle.tank_place(tank)
    left = [volume - each for each in stored]
    work = (precharge + air) * volume * math.log(left[0] / left[1]) - air * drawn
    assert (place.key, len(place.powers), len(place.flows)) == ("tank", 129, 129)
    assert place.powers[-1] == pytest.approx(3.8e5 * FULL / 0.72)
    assert (place.powers[0], place.flows[0]) == (0.0, 0.0)
    for power, flow in list(zip(place.powers, place.flows, strict=True))[1:70]:
        assert flow == pytest.approx(drawn * power * 0.72 / work, rel=1e-5)
    # At the most of them the full rate is all that there is, whatever the pressure.
    assert place.flows[-1] == pytest.approx(FULL)
    assert place.stroke_volume == pytest.approx(FULL / 0.5)


def test_forces_and_flows_of_a_duty(monkeypatch: pytest.MonkeyPatch) -> None:
    """On the way up the column, the rods and half of the losses less the weight; on the way down
    the losses and the weight less the rods. 60 W for an hour, 30 for a day."""
    watts = {3600.0: 60.0, handles.human_power.LONGEST_EFFORT: 30.0}
    monkeypatch.setattr(handles, "people_power", lambda worker, time, people: watts[time] * people)
    points = tuple(
        DischargePoint(head, flow, 1.0, 1.0, 0.5) for head, flow in ((10.0, 4e-4), (30.0, 2e-4))
    )
    duty = made().duty("k", "l", of(20.0), points)
    column = 20.0 * COLUMN
    losses = column * (1 / 0.8 - 1) / 2
    stretch = column * 40.0 / (2.0e11 * math.pi / 4 * 0.01**2)
    assert duty.friction == pytest.approx(losses)
    assert duty.rod_pull == pytest.approx(column + RODS)
    assert duty.upward == pytest.approx((column + RODS + losses - 100.0) / 5)
    assert duty.downward == pytest.approx((100.0 + losses - RODS) / 5)
    assert duty.handle_force == pytest.approx(duty.upward)
    assert duty.balancing == pytest.approx((RODS + column / 2) / 5)
    assert duty.work == pytest.approx(column * (0.2 - stretch) / 0.8)
    assert (duty.head, duty.stretch) == pytest.approx((20.0, stretch))
    assert duty.sustained_flow == pytest.approx(60.0 * 0.72 / (1000.0 * G * 20.0))
    assert duty.day_flow == pytest.approx(30.0 * 0.72 / (1000.0 * G * 20.0))
    full = AREA * (0.2 - stretch) * 0.5 * 0.9
    assert (duty.full_flow, duty.stroke_volume) == pytest.approx((full, full / 0.5))
    assert duty.stroke_rate == pytest.approx(duty.sustained_flow / (full / 0.5))
    assert duty.power == pytest.approx(1000.0 * G * 20.0 * full / 0.72)
    assert duty.table_flow == pytest.approx(3e-4)
    # A heavy weight makes the way down the harder one; without one there is none.
    heavy = made(counterweight=600.0).duty("k", "l", of(20.0))
    assert heavy.handle_force == pytest.approx((3000.0 + losses - RODS) / 5)
    bare = made(counterweight=None).duty("k", "l", of(20.0))
    assert bare.upward == pytest.approx((column + RODS + losses) / 5)


def test_how_deep_and_how_high_a_hand_lifts() -> None:
    """200 N by 5 to 1 and the weight's 100 N, less the rods: over a metre of column with its half
    of the losses; of the depth the spout's metre, and rods that hang in the water below it."""
    handle, metre = made(), COLUMN * (1 + 1 / 0.8) / 2
    assert handle.greatest_head(200.0) == pytest.approx((1000.0 + 100.0 - RODS) / metre)
    assert made(counterweight=5.0).greatest_head(0.0) == 0.0
    rods = math.pi / 4 * 0.01**2 * 6850.0 * G
    flow = handle.full_rate(handle.spout_head(handle.low_level)).flow
    below = 40.0 - (9.0 + 1e3 * flow)
    free = 1100.0 - metre * 1.0 - rods * below
    assert handle.greatest_depth(200.0) == pytest.approx(free / (metre + rods), rel=1e-6)
    # Of rods that end above the water none hangs in it.
    short = made(rod_length=8.0)
    assert short.greatest_depth(200.0) == pytest.approx((1100.0 - metre) / (metre + rods))


def test_a_makers_table_with_the_flow_by_formula() -> None:
    """One power for all rows, or one each; without any no efficiency, without a table nothing."""
    rows = {"discharge_head": (10.0, 20.0), "discharge_flow": (4e-4, 3e-4)}
    for powers, asked in (((80.0,), (80.0, 80.0)), ((70.0, 90.0), (70.0, 90.0))):
        found = made(rod_length=0.0, **rows, discharge_power=powers).discharge()
        for point, head, flow, power in zip(found, (10.0, 20.0), (4e-4, 3e-4), asked, strict=True):
            water = 1000.0 * G * head * flow
            assert (point.head, point.flow, point.power) == (head, flow, power)
            assert (point.water_power, point.efficiency) == pytest.approx((water, water / power))
            assert point.computed == pytest.approx(min(FULL, power * 0.72 / (1000.0 * G * head)))
    (first, _) = made(**rows).discharge()
    assert (first.power, first.efficiency, first.computed) == (None, None, None)
    assert made().discharge() == ()
    assert made(discharge_head=(1.0,)).discharge() == ()


@pytest.mark.parametrize(
    ("efficiencies", "head", "flow"),
    [
        ((0.5, 0.5), 12.5, 3.5e-4), ((0.5, 0.5), 10.0, 4e-4), ((0.5, 0.5), 20.0, 2e-4),
        ((0.5, 0.5), 9.9, None), ((0.5, 0.5), 20.1, None), ((0.5, 0.9), 20.0, 2e-4),
        ((0.91, 0.5), 20.0, None),
        ((0.5, 0.5, 0.5), 25.0, 1.5e-4), ((0.5, None), 20.0, None), ((), 20.0, None),
    ],
)  # fmt: skip
def test_flow_by_a_table_that_can_be_right(
    efficiencies: tuple[float | None, ...], head: float, flow: float | None
) -> None:
    rows = zip((10.0, 20.0, 30.0), (4e-4, 2e-4, 1e-4), efficiencies, strict=False)
    points = tuple(DischargePoint(high, much, 1.0, 1.0, part) for high, much, part in rows)
    found = handles.table_flow(points, head)
    assert found == (None if flow is None else pytest.approx(flow))


class TestLifts:
    """Of two points, 10 m with 4e-4 m3/s of 60 W and 20 m with 3e-4 of 100 W."""

    POINTS = lifts._points(
        SimpleNamespace(  # type: ignore[arg-type]
            head=(10.0, 20.0), flow=(4e-4, 3e-4), power=(60.0, 100.0), efficiency=None
        ),
        1000.0,
    )

    @pytest.mark.parametrize(
        ("power", "efficiency", "told"),
        [
            ((60.0, 100.0), None, (60.0, 100.0)), ((60.0,), None, (60.0, 60.0)),
            (None, None, (None, None)),
            # 39.23 W and 58.84 W of water at a half.
            (None, 0.5, (2 * 10.0 * 4e-4 * 1e3 * G, 2 * 20.0 * 3e-4 * 1e3 * G)),
        ],
    )  # fmt: skip
    def test_points_of_a_lift(
        self, power: Any, efficiency: float | None, told: tuple[float | None, ...]
    ) -> None:
        table: Any = SimpleNamespace(
            head=(10.0, 20.0), flow=(4e-4, 3e-4), power=power, efficiency=efficiency
        )
        found = lifts._points(table, 1000.0)
        for point, watts in zip(found, told, strict=True):
            assert point.power == (None if watts is None else pytest.approx(watts))

    @pytest.mark.parametrize(
        ("head", "flow", "power"),
        [
            # Water powers of 4 and 6 W a newton: half way 5 over 15 m; beyond as at the last;
            # below the first its flow, and a power by the head.
            (15.0, 5e-3 / 15.0, 80.0), (40.0, 6e-3 / 40.0, 100.0), (5.0, 4e-4, 30.0),
            (10.0, 4e-4, 60.0),
        ],
    )  # fmt: skip
    def test_between_the_points_powers_go_straight(
        self, head: float, flow: float, power: float
    ) -> None:
        found = lifts.point_at(self.POINTS, head, 1000.0)
        assert (found.flow, found.power) == pytest.approx((flow, power))
        bare = tuple(replace(each, power=None) for each in self.POINTS)
        assert lifts.point_at(bare, head, 1000.0).power is None

    def test_well_and_lift_agree_on_a_flow(self) -> None:
        """At 12 m and 1e4 s/m2 of drawdown: (12 + 1e4 q) q = 2e-3 + 2e-4 (12 + 1e4 q) of the
        straight line of water power, so that 1e4 q2 + 10 q - 4.4e-3 is nothing."""
        level: Any = SimpleNamespace(at=lambda flow: 11.0 + 1e4 * flow)
        expected = (-10.0 + math.sqrt(100.0 + 4e4 * 4.4e-3)) / 2e4
        flow, head = lifts._at_work(self.POINTS, level, 1.0, None)
        assert (flow, head) == pytest.approx((expected, 12.0 + 1e4 * expected))
        assert lifts._at_work(self.POINTS, level, 1.0, head + 0.01)[0] == flow
        assert lifts._at_work(self.POINTS, level, 1.0, head - 0.01) == (0.0, head)
        # Water that runs by itself has a head of 10 cm.
        spring: Any = SimpleNamespace(at=lambda flow: -5.0)
        flow, head = lifts._at_work(self.POINTS, spring, 1.0, None)
        assert (flow, head) == pytest.approx((4e-4, 0.1))

    def test_reach_and_heads_that_are_printed(self) -> None:
        """By the file, or the last of several; up to twice the last where nothing says."""
        for greatest, heads, reach in (
            (33.0, (10.0, 20.0), 33.0), (None, (10.0, 20.0), 20.0), (None, (10.0,), None),
        ):  # fmt: skip
            table: Any = SimpleNamespace(greatest_head=greatest, head=heads)
            assert lifts._reach(table) == reach
        for most, heads in ((None, [10.0, 15.0, 20.0, 30.0, 40.0]), (20.0, [10.0, 15.0, 20.0]),
                            (33.0, [10.0, 15.0, 20.0, 30.0, 33.0])):  # fmt: skip
            found = lifts._by_head(self.POINTS, most, 1000.0)
            assert [each.head for each in found] == heads

    def test_the_place_of_a_lift_holds_its_flow_at_any_persons_power(self) -> None:
        point = self.POINTS[0]
        assert lifts._place(point, 75.0, 2).powers == (0.0, 60.0)
        bare = replace(point, power=None)
        assert lifts._place(bare, None, 2).powers == (0.0, 1.0)
        assert lifts._place(bare, 80.0, 2).powers == (0.0, 80.0)
        place = lifts._place(bare, 80.0, 1)
        assert (place.powers, place.flows) == ((0.0, 40.0), (0.0, 4e-4))
        assert isinstance(place, HandPlace)


class TestLever:
    """Rods of 50 N, 20 N at the handle, 300 N on the way up and 60 down at 5 to 1."""

    RESULT: Any = SimpleNamespace(counterweight=20.0, rod_weight=RODS, people_pumping=1)
    DUTY: Any = SimpleNamespace(upward=300.0, downward=60.0, friction=200.0, balancing=130.7)
    TABLE: Any = SimpleNamespace(lever_ratio=5.0, bore=0.1, stroke=0.2)

    @pytest.mark.parametrize(
        ("build", "force"),
        [
            # At the rod 1600 N, rods among them; down 50 - 200.
            ({}, 300.0), ({"lever": 10.0}, 140.0), ({"people": 2}, 150.0),
            # A quarter of the water on 5 cm: 1550 / 4 + 50 up.
            ({"bore": 0.05}, 437.5 / 5 - 20.0), ({"bore": 0.05, "lever": 10.0}, 43.75 - 20.0),
            # At 100 to 1 the weight is all: 16 - 20 up, -1.5 - 20 down.
            ({"lever": 100.0}, 21.5),
        ],
    )  # fmt: skip
    def test_the_force_of_a_handle_as_it_may_be_built(
        self, build: dict[str, Any], force: float
    ) -> None:
        made = levers._Build(**build)
        assert levers._force(self.TABLE, self.RESULT, self.DUTY, made) == pytest.approx(force)

    def test_the_travel_of_a_handle_as_it_may_be_built(self) -> None:
        for build, travel in (({}, 1.0), ({"stroke": 0.1}, 0.5), ({"lever": 8.0}, 1.6),
                              ({"stroke": 0.1, "lever": 8.0}, 0.8)):  # fmt: skip
            made = levers._Build(**build)  # type: ignore[arg-type]
            assert levers._travel(self.TABLE, made) == pytest.approx(travel)

    @pytest.mark.parametrize(
        ("upward", "downward", "balancing", "force", "weight"),
        [
            # 320 N without it, and 40 down: 120.5 make the way up light; 160.5 the way down too.
            (300.0, 60.0, 500.7, 199.5, 121.0), (300.0, 60.0, 130.7, 180.0, 140.0),
            # The least is too much downward, the one between makes both alike.
            (300.0, -90.0, 131.9, 190.0, 130.0), (300.0, -60.0, 200.9, 120.0, 200.0),
            # 41 N more than either bears.
            (300.0, 60.0, 130.7, 170.0, None), (100.0, 0.0, 50.0, 200.0, 50.0),
            (100.0, 0.0, 0.9, 200.0, None),
        ],
    )  # fmt: skip
    def test_the_least_weight_that_makes_both_ways_light(
        self, upward: float, downward: float, balancing: float, force: float, weight: float | None
    ) -> None:
        duty: Any = SimpleNamespace(upward=upward, downward=downward, balancing=balancing)
        found = levers._counterweight(self.RESULT, duty, force)
        assert found == weight
        if weight is not None and found is not None:
            assert found.kind is kinds.FORCE
            lifted, pushed = upward + 20.0 - weight, downward - 20.0 + weight
            assert lifted <= force
            assert abs(pushed) <= force


@pytest.mark.parametrize(
    ("people", "weight", "rods", "level", "pressure"),
    [
        # 400 N each and 20 by 5, less the rods, by 2 / (1 + 1 / 0.8) on 78.54 cm2, less 10 m.
        (1, 20.0, 50.0, 10.0, 2050.0 / 1.125 / AREA - 10_000.0 * G),
        (2, 0.0, 50.0, 10.0, 3950.0 / 1.125 / AREA - 10_000.0 * G),
        (1, 20.0, 50.0, 30.0, 0.0), (1, 0.0, 2500.0, 0.0, 0.0),
    ],
)  # fmt: skip
def test_the_pressure_that_hands_make_against_a_shut_valve(
    people: int, weight: float, rods: float, level: float, pressure: float
) -> None:
    table: Any = SimpleNamespace(lever_ratio=5.0, mechanical_efficiency=0.8,
                                 bore=Quantity(0.1, kinds.BORE))  # fmt: skip
    result: Any = SimpleNamespace(people_pumping=people, counterweight=weight, rod_weight=rods,
                                  static_level=level)  # fmt: skip
    found = heads_of._by_hand(table, result)
    assert float(found) == pytest.approx(pressure)
    assert found.kind is kinds.PRESSURE
