"""What must hold for any fill, any speed and any shroud."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import cooling, fill, pump

few = settings(max_examples=40, deadline=None)

CURVE = pump.HeadCurve((0.0, 2e-4, 4e-4, 6e-4), (90.0, 82.0, 60.0, 25.0))

AIR = 101_325.0


@few
@given(st.floats(1e-4, 6e-4), st.floats(0.1, 1.0), st.floats(0.0, 1.0), st.floats(0.05, 2.0))
def test_a_fill_takes_what_its_flows_allow(flow, share, precharge_share, tank):
    pressure = np.linspace(2e5, 3.5e5, 7)
    flows = np.linspace(flow, share * flow, 7)
    found = fill.tank_fill(pressure, flows, tank, precharge_share * 3e5, AIR)
    assert found.water / flow <= found.duration * (1.0 + 1e-9)
    assert found.duration <= found.water / (share * flow) * (1.0 + 1e-9)
    assert share * flow * (1 - 1e-9) <= found.mean_flow <= flow * (1 + 1e-9)
    slower = fill.tank_fill(pressure, 0.5 * flows, tank, precharge_share * 3e5, AIR)
    assert slower.duration > found.duration


@few
@given(st.floats(0.0, 5.9e-4), st.floats(26.0, 300.0))
def test_a_speed_makes_its_head(flow, head):
    if head < CURVE.lowest_head * (flow / CURVE.greatest_flow) ** 2:
        return
    speed = fill.speed_for_head(CURVE, flow, head)
    assert CURVE.at_speed(speed).head_at(flow) == pytest.approx(head, rel=1e-8)


FROM_ABOVE_SHUT_OFF = pump.HeadCurve((1e-4, 4e-4, 6e-4), (85.0, 60.0, 25.0))


@pytest.mark.parametrize(
    "curve", [CURVE, FROM_ABOVE_SHUT_OFF], ids=["from shut-off", "from above"]
)
@pytest.mark.parametrize("speed", [0.4, 1.0, 1.6])
@pytest.mark.parametrize("part", [0.001, 0.3, 0.5, 0.7, 0.999])
def test_each_point_of_a_curve_is_found_again_at_its_speed(curve, speed, part):
    """By the affinity laws, from the first point of the datasheet to the last."""
    flow = curve.first_flow + part * (curve.greatest_flow - curve.first_flow)
    head = curve.head_at(flow)
    assert fill.speed_for_head(curve, speed * flow, speed**2 * head) == pytest.approx(speed)


@pytest.mark.parametrize(
    ("flow", "head"), [(1.5e-4, 1.01 * 85.0 * 1.5**2), (6e-4, 0.99 * 25.0), (0.0, 85.0)]
)
def test_no_speed_makes_a_head_beyond_either_end_of_a_curve(flow, head):
    """At one and a half times the speed the first point gives half as much again at 2.25 times the
    head; more is on no curve, nor is less than the last point's; and none
    is known without flow."""
    with pytest.raises(OutOfRange, match="no speed gives"):
        fill.speed_for_head(FROM_ABOVE_SHUT_OFF, flow, head)


@pytest.mark.parametrize(
    ("curve", "flow", "head", "speed"),
    [
        # With no flow the head goes with the square of the speed: 90 m become 360 m at twice it.
        (CURVE, 0.0, 360.0, 2.0),
        # Twice the flow and four times the head of a point; of the ends, a hair within them.
        (CURVE, 8e-4, 240.0, 2.0),
        (FROM_ABOVE_SHUT_OFF, 2e-4 + 1e-16, 340.0, 2.0),
        (FROM_ABOVE_SHUT_OFF, 1.2e-3 - 1e-15, 100.0, 2.0),
    ],
)
def test_speeds_by_hand(curve, flow, head, speed):
    """Affinity laws: flow with the speed, head with its square."""
    assert fill.speed_for_head(curve, flow, head) == pytest.approx(speed, rel=1e-9)


@few
@given(st.floats(1e-5, 5e-3), st.floats(0.05, 0.2), st.floats(0.01, 2.0))
def test_a_shroud_keeps_its_velocity(flow, motor_diameter, velocity):
    bore = cooling.shroud_bore_for(flow, motor_diameter, velocity)
    assert bore > motor_diameter
    assert cooling.velocity_past_motor(flow, bore, motor_diameter) == pytest.approx(
        velocity, rel=1e-4
    )
    least = cooling.least_flow_past_motor(velocity, bore, motor_diameter)
    assert least == pytest.approx(flow, rel=1e-4)


@pytest.mark.parametrize(
    ("full_power", "water_power", "best", "efficiency"),
    [
        (1000.0, 400.0, 0.5, 0.4),  # more than half its best
        (1000.0, 100.0, 0.5, 0.25),  # next to no flow: half its best
        (100.0, 150.0, 0.5, 1.0),  # more than is put in counts as without a loss
    ],
)
def test_power_of_a_pump_at_half_speed_by_hand(full_power, water_power, best, efficiency):
    """An eighth by the affinity laws, and 1 - (1 - efficiency) / speed^0.1 for the efficiency
    (Sarbu and Borza, 1998, second hand), of half the best at least (ours)."""
    slowed = 1.0 - (1.0 - efficiency) * 2.0**0.1
    found = fill.power_at_speed(full_power, water_power, best, 0.5)
    assert found == pytest.approx(full_power / 8.0 * efficiency / slowed)
