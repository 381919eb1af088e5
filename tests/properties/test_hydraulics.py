"""What must hold for any pipe, fitting, well and pump."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from wellsolar.errors import OutOfRange
from wellsolar.physics import solve
from wellsolar.physics.hydraulics import air, fittings, pipe, pump, suction, water
from wellsolar.physics.well import levels as well

few = settings(max_examples=60, deadline=None)

flows = st.floats(1e-6, 5e-3)
bores = st.floats(0.01, 0.1)
lengths = st.floats(0.0, 500.0)
roughnesses = st.floats(0.0, 3e-4)
viscosities = st.floats(2.8e-7, 1.8e-6)
temperatures = st.floats(0.0, 100.0)
altitudes = st.floats(-500.0, 11_000.0)
ratios = st.floats(1.001, 3.0)


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
@given(temperatures, temperatures)
def test_warm_water_is_thinner_and_boils_at_more_pressure(a: float, b: float) -> None:
    cold, warm = sorted((a, b))
    assume(warm - cold > 1e-3)
    assert water.dynamic_viscosity(warm) < water.dynamic_viscosity(cold)
    assert water.kinematic_viscosity(warm) < water.kinematic_viscosity(cold)
    assert water.vapour_pressure(warm) > water.vapour_pressure(cold)
    if cold > 4.0:
        assert water.density(warm) < water.density(cold)


@few
@given(temperatures)
def test_water_stays_within_the_bounds_of_the_liquid(temperature: float) -> None:
    assert 958.0 < water.density(temperature) < 1000.0
    assert 4177.0 < water.specific_heat(temperature) < 4220.0


@few
@given(st.floats(-1e6, 1e6), temperatures)
def test_pressure_and_head_make_a_round_trip(pressure: float, temperature: float) -> None:
    rho = water.density(temperature)
    back = water.column_pressure(water.pressure_head(pressure, rho), rho)
    assert back == pytest.approx(pressure, rel=1e-12)


@few
@given(altitudes, altitudes)
def test_air_is_thinner_higher_up(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assume(high - low > 0.1)
    assert air.atmospheric_pressure(high) < air.atmospheric_pressure(low)


@few
@given(flows, ratios, bores, st.floats(1.0, 500.0), roughnesses, viscosities)
def test_darcy_loss_rises_with_flow_length_and_roughness(
    flow: float, ratio: float, bore: float, length: float, roughness: float, viscosity: float
) -> None:
    loss = pipe.head_loss_darcy(flow, bore, length, roughness, viscosity)
    assert loss > 0.0
    assert pipe.head_loss_darcy(flow * ratio, bore, length, roughness, viscosity) > loss
    double = pipe.head_loss_darcy(flow, bore, 2.0 * length, roughness, viscosity)
    assert double == pytest.approx(2.0 * loss)
    assert pipe.head_loss_darcy(flow, bore, length, roughness + 1e-4, viscosity) >= loss
    # At one and the same side of the laminar limit a wider pipe always loses less.
    wide = bore * ratio
    limit = pipe.LAMINAR_LIMIT
    if pipe.reynolds_number(flow, wide, viscosity) > limit:
        assert pipe.head_loss_darcy(flow, wide, length, roughness, viscosity) < loss


@few
@given(bores, lengths, roughnesses, viscosities, st.floats(80.0, 150.0))
def test_nothing_flowing_loses_nothing(
    bore: float, length: float, roughness: float, viscosity: float, coefficient: float
) -> None:
    assert pipe.head_loss_darcy(0.0, bore, length, roughness, viscosity) == 0.0
    assert pipe.head_loss_hazen_williams(0.0, bore, length, coefficient) == 0.0
    both = np.array([0.0, 1e-3])
    losses = pipe.head_loss_darcy(both, bore, length, roughness, viscosity)
    assert losses[0] == 0.0
    alone = pipe.head_loss_darcy(1e-3, bore, length, roughness, viscosity)
    assert losses[1] == pytest.approx(alone, rel=1e-14), "numpy's power may round its own way"


@few
@given(flows, ratios, bores, st.floats(1.0, 500.0), st.floats(80.0, 150.0))
def test_hazen_williams_loss_rises_with_flow_and_falls_with_bore_and_coefficient(
    flow: float, ratio: float, bore: float, length: float, coefficient: float
) -> None:
    loss = pipe.head_loss_hazen_williams(flow, bore, length, coefficient)
    assert pipe.head_loss_hazen_williams(flow * ratio, bore, length, coefficient) > loss
    assert pipe.head_loss_hazen_williams(flow, bore * ratio, length, coefficient) < loss
    assert pipe.head_loss_hazen_williams(flow, bore, length, coefficient * ratio) < loss


def test_the_two_formulas_agree_in_the_flows_of_a_house() -> None:
    """For 1 to 2 in smooth pipe at 3 to 7 ft/s they lie within a tenth; F01's own band."""
    for inches in (1.049, 1.38, 1.61, 2.067):
        bore = inches * 0.0254
        for speed in (0.9, 1.5, 2.1):
            flow = speed / pipe.velocity(1.0, bore)
            darcy = pipe.head_loss_darcy(flow, bore, 30.0, 1.5e-6, 1.13e-6)
            trade = pipe.head_loss_hazen_williams(flow, bore, 30.0, 150.0)
            assert 0.97 < darcy / trade < 1.10


@few
@given(flows, bores, st.floats(0.0, 30.0), st.floats(0.01, 0.05))
def test_a_fitting_loses_what_its_equivalent_length_loses(
    flow: float, bore: float, coefficient: float, factor: float
) -> None:
    length = fittings.equivalent_length(coefficient / factor, bore)
    back = fittings.loss_coefficient_from_length(length, bore, factor)
    assert back == pytest.approx(coefficient)
    by_length = factor * length / bore * pipe.velocity_head(pipe.velocity(flow, bore))
    assert fittings.head_loss(flow, bore, coefficient) == pytest.approx(by_length)


@few
@given(st.floats(0.0, 100.0), flows, st.floats(1e-6, 1e-2))
def test_well_goes_round(static_level: float, flow: float, capacity: float) -> None:
    fall = well.drawdown(flow, capacity)
    assert well.specific_capacity(flow, fall) == pytest.approx(capacity)
    level = well.pumping_level(static_level, flow, capacity)
    assert level >= static_level
    sustained = well.sustained_flow(static_level, level, capacity)
    assert sustained == pytest.approx(flow, rel=1e-6, abs=1e-12 * capacity * static_level + 1e-15)


@few
@given(st.floats(0.05, 1.0), lengths, st.floats(0.0, 0.9))
def test_pipes_in_the_casing_take_their_room(bore: float, column: float, part: float) -> None:
    area = 0.25 * math.pi * bore**2
    free = well.stored_volume(bore, column)
    assert well.stored_volume(bore, column, part * area) == pytest.approx((1.0 - part) * free)
    assert free == pytest.approx(area * column)


@few
@given(st.floats(1.0, 200.0), st.floats(0.0, 1.0), temperatures)
def test_air_line_reads_the_depth_it_was_given(
    length: float, part: float, temperature: float
) -> None:
    rho = water.density(temperature)
    pressure = water.column_pressure((1.0 - part) * length, rho) * (1.0 - 1e-12)
    level = well.air_line_level(length, pressure, rho)
    assert level == pytest.approx(part * length, abs=1e-9 * length)


@few
@given(head_curves())
def test_head_falls_with_flow_and_passes_through_the_points(curve: pump.HeadCurve) -> None:
    points = np.linspace(curve.first_flow, curve.greatest_flow, 60)
    heads = curve.head_at(points)
    assert np.all(np.diff(heads) < 1e-12 * curve.shut_off_head)
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
    point = pump.affinity(flow, curve.head_at(flow), 500.0, ratio)
    clipped = min(max(point.flow, moved.first_flow), moved.greatest_flow)
    assert moved.head_at(clipped) == pytest.approx(point.head, rel=1e-9, abs=1e-9)
    before = pump.water_power(flow, curve.head_at(flow), 998.0)
    after = pump.water_power(point.flow, point.head, 998.0)
    assert after == pytest.approx(before * ratio**3)
    assert point.power == pytest.approx(500.0 * ratio**3)


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
        air.atmospheric_pressure(altitude),
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
@given(flows, st.floats(0.0, 200.0), st.floats(0.05, 1.0), temperatures)
def test_energy_of_a_volume_is_power_over_flow(
    flow: float, head: float, efficiency: float, temperature: float
) -> None:
    rho = water.density(temperature)
    power = pump.shaft_power(pump.water_power(flow, head, rho), efficiency)
    assert power == pytest.approx(flow * pump.energy_per_volume(head, efficiency, rho))


@few
@given(flows, st.floats(0.05, 0.5), st.floats(0.1, 0.95))
def test_a_tighter_casing_cools_the_motor_better(flow: float, bore: float, part: float) -> None:
    tight = pump.velocity_past_motor(flow, bore, part * bore)
    assert tight > pump.velocity_past_motor(flow, 1.5 * bore, part * bore)
    assert tight > pipe.velocity(flow, bore)


@few
@given(st.floats(-50.0, 50.0), st.floats(0.1, 50.0), st.floats(0.01, 0.99))
def test_bracketed_root_finds_a_planted_root(low: float, width: float, part: float) -> None:
    planted = low + part * width
    found = solve.bracketed_root(lambda x: (x - planted) ** 3, low, low + width)
    assert found == pytest.approx(planted, abs=1e-3 * width)


REFUSED = [
    (lambda: pipe.velocity(1e-3, 0.0), r"bore is 0 m, allowed is above 0 m"),
    (lambda: pipe.velocity(1e-3, np.array([0.1, -1.0])), r"bore is -1 m, allowed is above 0 m"),
    (lambda: pipe.head_loss_darcy(-1e-3, 0.02, 1.0, 0.0, 1e-6), r"flow is -0\.001 m3/s"),
    (lambda: pipe.head_loss_darcy(1e-3, 0.02, 1.0, 0.01, 1e-6), r"relative roughness is 0\.5"),
    (lambda: pipe.head_loss_hazen_williams(-1e-3, 0.02, 1.0, 140.0), r"flow is -0\.001 m3/s"),
    (lambda: pipe.friction_factor(0.0, 0.0), r"Reynolds number is 0"),
    (lambda: fittings.head_loss(1e-3, 0.02, -1.0), r"loss coefficient is -1"),
    (lambda: well.drawdown(1e-3, 0.0), r"specific capacity is 0 m2/s"),
    (lambda: well.stored_volume(0.1, 10.0, 0.1), r"area left between the pipes .* is -0\.092"),
    (
        lambda: well.air_line_level(10.0, 2e5, 1000.0),
        r"depth to water by the air line is -10\.3943 m, allowed",
    ),
    (lambda: pump.shaft_power(100.0, 1.2), r"pump efficiency is 1\.2, allowed is 0 to 1"),
    (lambda: pump.velocity_past_motor(1e-3, 0.1, 0.1), r"casing bore less motor diameter is 0 m"),
    (lambda: pump.HeadCurve((0.0, 1e-3), (30.0,)), r"2 flows and 1 heads"),
    (lambda: pump.HeadCurve((0.0, 0.0), (30.0, 20.0)), r"flows of a head curve must rise"),
    (lambda: pump.HeadCurve((0.0, 1e-3), (30.0, 30.0)), r"heads of a head curve must fall"),
    (lambda: pump.HeadCurve((0.0, 1e-3), (30.0, 20.0)).head_at(2e-3), r"is 0\.002 m3/s, allowed"),
    (lambda: pump.HeadCurve((0.0, 1e-3), (30.0, 20.0)).flow_at(31.0), r"is 31 m, allowed is 20"),
    (lambda: pump.HeadCurve((0.0, 1e-3), (30.0, 20.0)).at_speed(0.0), r"speed ratio is 0"),
    (
        lambda: pump.interpolate_curve((0.0, 1e-3), (0.3, 0.5), 2e-3),
        r"flow on the curve is 0\.002",
    ),
    (
        lambda: pump.operating_point(
            pump.HeadCurve((0.0, 1e-3), (30.0, 20.0)), lambda flow: math.nan
        ),
        r"no operating flow between 0 and 0\.001 m3/s: the balance is nan",
    ),
    (
        lambda: solve.bracketed_root(lambda x: x * x + 1.0, -1.0, 1.0, "level", "m"),
        r"no level betw",
    ),
]


@pytest.mark.parametrize(("call", "message"), REFUSED)
def test_refused_with_what_was_wrong(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
