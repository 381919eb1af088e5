"""What must hold for any pump, its suction and its motor's cooling."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import cooling, jet, pipe, pump, suction, water

few = settings(max_examples=50, deadline=None)

flows = st.floats(1e-6, 5e-3)

temperatures = st.floats(0.0, 100.0)

altitudes = st.floats(-500.0, 11_000.0)


@st.composite
def head_curves(draw: st.DrawFn) -> pump.HeadCurve:
    """A datasheet's curve: flows that rise from 0 or above, heads that fall to 0 or above."""
    count = draw(st.integers(2, 8))
    part = st.floats(0.02, 1.0)
    steps = draw(st.lists(part, min_size=count - 1, max_size=count - 1))
    drops = draw(st.lists(part, min_size=count - 1, max_size=count - 1))
    first = draw(st.sampled_from([0.0, 1e-4]))
    lowest = draw(st.floats(0.0, 50.0))
    flow = first + 3e-4 * np.concatenate([[0.0], np.cumsum(steps)])
    head = lowest + 20.0 * np.concatenate([np.cumsum(drops[::-1])[::-1], [0.0]])
    return pump.HeadCurve(tuple(flow.tolist()), tuple(head.tolist()))


@few
@given(head_curves())
def test_head_falls_with_flow_and_passes_through_the_points(curve: pump.HeadCurve) -> None:
    points = np.linspace(curve.first_flow, curve.greatest_flow, 60)
    assert np.all(np.diff(curve.head_at(points)) < 1e-12 * curve.shut_off_head)
    for flow, head in zip(curve.flow, curve.head, strict=True):
        assert curve.head_at(flow) == pytest.approx(head, rel=1e-12, abs=1e-12)


@few
@given(head_curves(), st.floats(0.0, 1.0))
def test_flow_and_head_of_a_curve_are_inverse(curve: pump.HeadCurve, part: float) -> None:
    head = min(
        curve.lowest_head + part * (curve.shut_off_head - curve.lowest_head), curve.shut_off_head
    )
    assert curve.head_at(curve.flow_at(head)) == pytest.approx(head, rel=1e-9, abs=1e-9)


@few
@given(head_curves(), st.floats(0.3, 1.5), st.floats(0.0, 1.0))
def test_a_curve_moves_with_speed_as_the_affinity_laws_say(
    curve: pump.HeadCurve, ratio: float, part: float
) -> None:
    flow = min(
        curve.first_flow + part * (curve.greatest_flow - curve.first_flow), curve.greatest_flow
    )
    moved = curve.at_speed(ratio)
    clipped = min(max(flow * ratio, moved.first_flow), moved.greatest_flow)
    head = curve.head_at(flow) * ratio**2
    assert moved.head_at(clipped) == pytest.approx(head, rel=1e-9, abs=1e-9)
    before = pump.water_power(flow, curve.head_at(flow), 998.0)
    after = pump.water_power(clipped, moved.head_at(clipped), 998.0)
    assert after == pytest.approx(before * ratio**3)


@few
@given(head_curves(), st.floats(0.0, 120.0), st.floats(0.0, 1e8))
def test_operating_point_lies_on_both_curves_or_says_why_not(
    curve: pump.HeadCurve, lift: float, resistance: float
) -> None:
    def system(flow: float) -> float:
        return lift + resistance * flow**2

    point = pump.operating_point(curve, system)
    if point.state == "on curve":
        assert point.head == pytest.approx(curve.head_at(point.flow))
        assert point.head == pytest.approx(system(point.flow), rel=1e-7, abs=1e-7)
    elif point.state == "below shut-off":
        assert (point.flow, point.head) == (0.0, curve.shut_off_head)
        assert system(curve.first_flow) > curve.shut_off_head
    else:
        assert (point.flow, point.head) == (curve.greatest_flow, curve.lowest_head)
        assert system(curve.greatest_flow) < curve.lowest_head


@few
@given(head_curves(), st.floats(0.0, 60.0), st.floats(0.1, 20.0))
def test_more_lift_never_means_more_flow(curve: pump.HeadCurve, lift: float, more: float) -> None:
    easy = pump.operating_point(curve, lambda flow: lift + 1e7 * flow**2)
    hard = pump.operating_point(curve, lambda flow: lift + more + 1e7 * flow**2)
    assert hard.flow <= easy.flow + 1e-12


@few
@given(altitudes, st.floats(0.0, 40.0), st.floats(0.0, 12.0), st.floats(0.0, 5.0))
def test_suction_left_is_the_limit_less_what_is_used(
    altitude: float, temperature: float, lift: float, friction: float
) -> None:
    given_there = (
        suction.atmospheric_pressure(altitude),
        water.vapour_pressure(temperature),
        water.density(temperature),
    )
    limit = suction.suction_lift_limit(*given_there)
    left = suction.net_positive_suction_head(*given_there, lift, friction)
    assert left + lift + friction == pytest.approx(limit)
    reserve = suction.suction_lift_limit(*given_there, required_head=left + friction)
    assert reserve == pytest.approx(lift, abs=1e-9)
    assert limit < 11.1


@few
@given(flows, st.floats(0.05, 0.5), st.floats(0.1, 0.95))
def test_a_tighter_casing_cools_the_motor_better(flow: float, bore: float, part: float) -> None:
    tight = cooling.velocity_past_motor(flow, bore, part * bore)
    assert tight > cooling.velocity_past_motor(flow, 1.5 * bore, part * bore)
    assert tight > pipe.velocity(flow, bore)


@pytest.mark.parametrize(("lift", "points"), [
    (5.0, [(1e-4, 25.0), (2e-4, 15.0)]), (3.0, [(1e-4, 23.0), (2e-4, 13.0)]), (5.1, None),
])  # fmt: skip
def test_a_jet_of_two_points_is_a_curve_up_to_its_lift(
    lift: float, points: list[tuple[float, float]] | None
) -> None:
    """Head is the lift and that of the pressure behind the pump, here 10 m and 20 m."""
    table = jet.JetTable((5.0,), ((1e5, 2e5),), ((2e-4, 1e-4),))
    curve = table.curve_over(lambda flow: lift, lambda pressure: pressure / 1e4)
    if points is None:
        assert curve is None
    else:
        assert curve is not None
        np.testing.assert_allclose([*zip(curve.flow, curve.head, strict=True)], points)


THREE_LIFTS = jet.JetTable(
    (5.0, 10.0, 20.0),
    ((1e5, 2e5, 3e5), (1e5, 2e5), (5e4, 1e5)),
    ((4e-4, 3e-4, 0.0), (3e-4, 1e-4), (2e-4, 0.0)),
)


@pytest.mark.parametrize(
    ("lift", "share", "pressure", "flow"),
    [
        (3.0, 0.75, 2.5e5, 1.5e-4),
        (5.0, 0.5, 2e5, 3e-4),
        (7.5, 0.5, 1.75e5, 2.5e-4),
        (10.0, 0.0, 1e5, 3e-4),
        (15.0, 0.5, 1.125e5, 1.5e-4),
        (20.0, 1.0, 1e5, 0.0),
    ],
)
def test_between_two_lifts_of_a_jet_is_what_lies_between_their_blocks(
    lift: float, share: float, pressure: float, flow: float
) -> None:
    """Made up; as far along each block, and between the two in proportion to the lift."""
    assert THREE_LIFTS.at(lift, share) == pytest.approx((pressure, flow))


def test_a_jet_on_a_well_that_it_draws_down_by_hand() -> None:
    """At 5 m 0.4 to 0.2 l/s, at 15 m half as much less: where each 0.1 l/s draws 2.5 m, the flow
    settles at two thirds of that at 5 m."""
    table = jet.JetTable((5.0, 15.0), ((1e5, 2e5), (1e5, 2e5)), ((4e-4, 2e-4), (2e-4, 0.0)))
    curve = table.curve_over(lambda flow: 5.0 + 2.5e4 * flow, lambda pressure: pressure / 1e4)
    assert curve is not None
    assert curve.flow == pytest.approx((4e-4 / 3.0, 8e-4 / 3.0))
    assert curve.head == pytest.approx((20.0 + 25.0 / 3.0, 10.0 + 35.0 / 3.0))
    with pytest.raises(OutOfRange, match=r"ends at 15 m of lift, asked is 15\.5"):
        table.at(15.5, 0.0)


def test_a_jet_takes_every_share_that_a_block_has_a_point_at() -> None:
    """At 15 m between the blocks of 10 and 20 m, at the ends and in the middle."""
    curve = THREE_LIFTS.curve_over(lambda _: 15.0, lambda pressure: pressure / 1e4)
    assert curve is not None
    assert curve.flow == pytest.approx((5e-5, 1.5e-4, 2.5e-4))
    assert curve.head == pytest.approx((30.0, 26.25, 22.5))
    shut = jet.JetTable((5.0,), ((1e5, 2e5),), ((2e-4, 0.0),))
    curve = shut.curve_over(lambda _: 5.0, lambda pressure: pressure / 1e4)
    assert curve is not None
    assert (curve.flow, curve.head) == ((0.0, 2e-4), (25.0, 15.0))
