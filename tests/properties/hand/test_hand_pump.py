"""What must hold for any hand pump, for any handle, and for the people who work them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.errors import OutOfRange
from wellsolar.physics.hand import forces as hand_forces
from wellsolar.physics.hand import human_power
from wellsolar.physics.hand import pump as hand_pump
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.studies.hand.effort import minutes_for, volume_in
from wellsolar.studies.hand.handle import discharge_point
from wellsolar.studies.hand.other_lifts import point_at

modest = settings(max_examples=50, deadline=None)
few = settings(max_examples=15, deadline=None)

heads = st.floats(1.0, 150.0)
bores = st.floats(0.02, 0.15)
shares = st.floats(0.5, 1.0)


class TestHandPump:
    @modest
    @given(st.floats(240.0, 28_000.0), st.floats(20.0, 59.0))
    def test_longer_and_older_is_weaker(self, duration, age):
        power = human_power.sustained_power(duration, age)
        assert human_power.sustained_power(duration + 60.0, age) < power
        assert human_power.sustained_power(duration, age + 1.0) < power

    def test_outside_the_rule(self):
        with pytest.raises(OutOfRange, match="duration of effort is 200 s, allowed is 240 to"):
            human_power.sustained_power(200.0)
        with pytest.raises(OutOfRange, match="duration of effort is 30000 s"):
            human_power.sustained_power(30_000.0)
        with pytest.raises(OutOfRange, match="age is 12 years, allowed is 20 to 60 years"):
            human_power.sustained_power(600.0, 12.0)

    def test_a_rod_as_light_as_water_weighs_nothing_and_a_lighter_one_floats(self):
        assert hand_pump.rod_weight_in_water(1.0, 30.0, 999.0, 999.0) == 0.0
        assert hand_pump.rod_weight_in_water(1.0, 30.0, 700.0, 999.0) < 0.0


class TestForces:
    @modest
    @given(bores, heads, st.floats(0.0, 800.0), shares)
    def test_the_best_counterweight_makes_both_ways_equal_and_no_other_is_better(
        self, bore, head, rods, efficiency
    ):
        column = hand_pump.water_column_force(bore, head, 999.0)
        friction = hand_forces.friction_force(column, efficiency)

        def hardest(weight: float) -> float:
            up = hand_forces.upstroke_force(column, rods, friction, weight)
            down = hand_forces.downstroke_force(rods, friction, weight)
            return max(abs(up), abs(down))

        best = hand_forces.balancing_counterweight(column, rods)
        up = hand_forces.upstroke_force(column, rods, friction, best)
        assert up == pytest.approx(-hand_forces.downstroke_force(rods, friction, best))
        for other in (0.0, 0.9 * best, 1.1 * best):
            assert hardest(other) >= hardest(best) - 1e-9 * column

    @modest
    @given(
        bores, st.floats(50.0, 400.0), st.floats(4.0, 12.0), shares, st.floats(0.0, 15.0),
        st.floats(0.0, 10.0), st.floats(-1.0, 3.0),
    )  # fmt: skip
    def test_at_the_greatest_depth_the_hand_has_just_that_force(
        self, bore, force, lever, efficiency, rod, below, spout
    ):
        depth = hand_forces.greatest_depth_by_force(
            force, lever, efficiency, bore, 999.0, rod, below, spout, 0.0
        )
        if depth == 0.0:
            return
        column = hand_pump.water_column_force(bore, depth + spout, 999.0)
        friction = hand_forces.friction_force(column, efficiency)
        up = hand_forces.upstroke_force(column, rod * (depth + below), friction, 0.0)
        assert up / lever == pytest.approx(force)


class TestEffort:
    @modest
    @given(
        st.floats(0.005, 20.0), st.floats(20.0, 500.0), st.floats(5e-5, 5e-4),
        st.integers(1, 4), st.integers(20, 60), st.floats(0.3, 1.0), st.floats(0.0, 0.5),
    )  # fmt: skip
    def test_the_power_lasts_just_as_long_as_the_work(
        self, volume, full_power, full_flow, people, age, arms, bend
    ):
        flows = np.linspace(0.0, full_flow, 65)
        share = flows / full_flow
        powers = full_power * (share * (1 - bend) + bend * share**2)
        done = human_power.effort_for_volume(volume, powers, flows, people, age, arms)
        assert done.time == pytest.approx(volume / done.flow)
        assert done.flow <= full_flow * (1 + 1e-12)
        asked = float(np.interp(done.flow, flows, powers))
        assert done.power == pytest.approx(asked, rel=1e-6)
        within = min(max(done.time, 240.0), 28_800.0)
        able = people * float(human_power.sustained_power(within, age, arms))
        assert done.power <= able * (1 + 1e-9)
        if done.bound == "power" and done.time > 240.0:
            assert done.power == pytest.approx(able, rel=1e-6)
        if done.bound == "strokes":
            assert done.flow == pytest.approx(full_flow)
        assert (done.bound == "day") == (done.time > 28_800.0)
        other = human_power.effort_for_volume(volume, powers, flows, people + 1, age, arms)
        assert other.time <= done.time * (1 + 1e-9)
        longer = human_power.effort_for_volume(1.3 * volume, powers, flows, people, age, arms)
        assert longer.time >= 1.3 * done.time * (1 - 1e-9)

    @modest
    @given(st.floats(240.0, 28_800.0), st.integers(1, 2), st.integers(20, 60))
    def test_volume_in_a_time_undoes_the_time_of_a_volume(self, time, people, age):
        flows = np.linspace(0.0, 2e-4, 65)
        powers = 1e6 * flows
        volume = human_power.volume_in_time(time, powers, flows, people, age, 0.8)
        back = human_power.effort_for_volume(volume, powers, flows, people, age, 0.8)
        assert back.time == pytest.approx(time, rel=1e-6)

    def test_a_power_that_is_given_is_kept_however_long(self):
        flows = np.linspace(0.0, 1e-3, 3)
        for volume in (0.01, 1.0, 30.0):
            done = human_power.effort_for_volume(volume, 1e6 * flows, flows, 2, human_power=50.0)
            assert done.flow == pytest.approx(1e-4)

    def test_no_volume_and_too_long_a_time_are_refused(self):
        flows = np.linspace(0.0, 1e-3, 3)
        with pytest.raises(OutOfRange, match="volume is 0 m3, allowed is above 0 m3"):
            human_power.effort_for_volume(0.0, 1e6 * flows, flows)
        with pytest.raises(OutOfRange, match="duration of effort is 40000 s"):
            human_power.volume_in_time(40_000.0, 1e6 * flows, flows)


@st.composite
def wells(draw: st.DrawFn) -> str:
    """A house with a hand pump into its pressure tank, the cylinder deep under the water."""
    static = draw(st.floats(2.0, 60.0))
    deep = static + draw(st.floats(0.0, 10.0))
    return f"""
[site]
people = {draw(st.integers(1, 9))}
[well]
depth = "{deep + 60:.3f} m"
static_level = "{static:.3f} m .. {deep:.3f} m"
specific_capacity = "{draw(st.floats(3.0, 60.0)):.3f} L/min/m"
[pressure_switch]
cut_in = "{draw(st.floats(100.0, 250.0)):.1f} kPa"
cut_out = "{draw(st.floats(260.0, 450.0)):.1f} kPa"
[pressure_tank]
volume = "{draw(st.floats(50.0, 400.0)):.1f} L"
[hand_pump]
bore = "{draw(st.floats(35.0, 90.0)):.2f} mm"
stroke = "{draw(st.floats(80.0, 300.0)):.1f} mm"
lever_ratio = "{draw(st.floats(3.0, 10.0)):.2f}"
rod_diameter = "{draw(st.floats(8.0, 16.0)):.2f} mm"
cylinder_depth = "{deep + 50:.3f} m"
delivers = "tank"
person_age = {draw(st.integers(20, 60))}
"""


class TestHandPumpOfASite:
    @few
    @given(wells())
    def test_water_never_exceeds_the_stroke_nor_the_persons_power(self, text):
        found = study_site(parse_site(text), ("hand",)).hand_pump
        assert {place.key for place in found.places} == {"spout", "tank"}
        spout_head = found.static_level
        for task in found.tasks:
            assert task.volume <= task.strokes * found.swept_volume * (1 + 1e-9)
            # At rest the head to the spout is the least that the water can ask for.
            assert 998.0 * 9.80665 * task.flow * spout_head <= task.power
            assert task.power <= task.people * human_power.power_of_people(
                task.time, 1, found.worker.age, found.worker.arm_factor
            ) * (1 + 1e-6)
        for duty in found.duties:
            assert duty.stroke_volume <= found.swept_volume
            full = 999.99 * 9.80665 * duty.full_flow * duty.head
            assert full <= duty.power * (1 + 1e-9)
        low = found.duty("low")
        if low is not None:
            assert low.head >= found.duties[0].head - 1e-9

    @few
    @given(wells(), st.floats(0.005, 3.0))
    def test_minutes_for_others_agree_with_the_volume_in_that_time(self, text, volume):
        found = study_site(parse_site(text), ("hand",)).hand_pump
        assert found is not None
        for place in ("spout", "tank"):
            one, two = (minutes_for(found, volume, place, crew) for crew in (1, 2))
            assert two <= one * (1 + 1e-9)
            if 4.0 < one < 480.0:
                assert volume_in(found, 60 * one, place) == pytest.approx(volume, rel=1e-5)
        spout, tank = (minutes_for(found, volume, place) for place in ("spout", "tank"))
        assert tank >= spout


class TestOtherLifts:
    @modest
    @given(
        st.floats(1.0, 30.0), st.floats(1e-4, 2e-3), st.floats(10.0, 300.0), st.floats(1.0, 5.0)
    )
    def test_beyond_its_last_point_power_stays_and_flow_falls(self, head, flow, power, times):
        points = (discharge_point(head, flow, power, 999.0),)
        there = point_at(points, head * times, 999.0)
        assert there.power == pytest.approx(power)
        assert there.flow == pytest.approx(flow / times)
        nearer = point_at(points, head / times, 999.0)
        assert nearer.flow == pytest.approx(flow)
        assert nearer.efficiency == pytest.approx(points[0].efficiency)


STRAIGHT = np.array([0.0, 100.0]), np.array([0.0, 1e-3])
"""A pump of 1 l/s at 100 W, and in proportion below; made up."""


@pytest.mark.parametrize(
    ("volume", "each", "time", "power", "bound"),
    [
        (0.15, 50.0, 300.0, 50.0, "power"),
        (0.05, 50.0, 100.0, 50.0, "power"),
        (0.3, 150.0, 300.0, 100.0, "strokes"),
        (14.4, 50.0, 28_800.0, 50.0, "power"),
        (14.5, 50.0, 29_000.0, 50.0, "day"),
        (30.0, 100.0, 30_000.0, 100.0, "day"),
    ],
)
def test_water_at_a_steady_power_by_hand(
    volume: float, each: float, time: float, power: float, bound: str
) -> None:
    """Half a litre a second of 50 W, and of more than 100 W no more than the pump's own."""
    done = human_power.effort_for_volume(volume, *STRAIGHT, human_power=each)
    assert (done.time, done.power) == pytest.approx((time, power))
    assert done.flow == pytest.approx(volume / time)
    assert done.bound == bound


@pytest.mark.parametrize(
    ("duration", "people", "age", "arms", "horsepower"),
    [
        (600.0, 1, 35.0, 1.0, 0.258),
        (6000.0, 2, 35.0, 1.0, 2 * 0.166),
        (600.0, 1, 27.5, 1.0, 1.075 * 0.258),
        (600.0, 1, 47.5, 0.8, 0.9 * 0.8 * 0.258),
        # Of less than 4 min and more than 8 h that of 4 min and 8 h.
        (1.0, 1, 35.0, 1.0, 0.35 - 0.092 * math.log10(4.0)),
        (40_000.0, 1, 35.0, 1.0, 0.35 - 0.092 * math.log10(480.0)),
    ],
)
def test_power_of_people_by_the_rule(
    duration: float, people: int, age: float, arms: float, horsepower: float
) -> None:
    """Krendel's 0.35 - 0.092 log10(minutes) hp (from memory), by people and between the ages."""
    power = human_power.power_of_people(duration, people, age, arms)
    assert power == pytest.approx(horsepower * 745.69987, rel=1e-6)
    if 240.0 < duration < 28_800.0:
        pump = np.array([0.0, 1e3]), np.array([0.0, 0.01])
        volume = human_power.volume_in_time(duration, *pump, people, age, arms)
        assert volume == pytest.approx(duration * 1e-5 * power)
        done = human_power.effort_for_volume(volume, *pump, people, age, arms)
        assert (done.time, done.power) == pytest.approx((duration, power))
