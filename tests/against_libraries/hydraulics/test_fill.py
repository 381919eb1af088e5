"""The fill of a tank and the speed for a pressure against integration and single points."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import PchipInterpolator

from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import fill, pressure_tank, pump

GALLON_PER_MINUTE = 3.785411784e-3 / 60.0

PSI = 6894.757293168361

AIR = 101_325.0

CURVE = pump.HeadCurve(
    tuple(gpm * GALLON_PER_MINUTE for gpm in (0.0, 3.0, 6.0, 9.0, 12.0)),
    (92.0, 88.0, 78.0, 60.0, 31.0),
)


def test_fill_against_an_integration_in_time():
    pressure = np.linspace(30.0, 50.0, 9) * PSI
    flow = np.array([11.0, 10.7, 10.3, 9.8, 9.2, 8.5, 7.6, 6.4, 4.9]) * GALLON_PER_MINUTE
    power = np.linspace(900.0, 700.0, 9)
    tank, precharge = 0.32, 28.0 * PSI
    found = fill.tank_fill(pressure, flow, tank, precharge, AIR, power)
    flows, powers = PchipInterpolator(pressure, flow), PchipInterpolator(pressure, power)

    def rate(_, state):
        now = float(pressure_tank.pressure_at(tank, precharge, state[0], AIR))
        now = min(max(now, pressure[0]), pressure[-1])
        return [float(flows(now)), float(powers(now))]

    def full(_, state):
        return state[0] - found.volume[-1]

    full.terminal = True
    run = solve_ivp(
        rate, (0.0, 1e5), [found.volume[0], 0.0], events=full, rtol=1e-10, atol=1e-12, max_step=5.0
    )
    assert found.duration == pytest.approx(run.t[-1], rel=1e-6)
    assert found.energy[-1] == pytest.approx(run.y[1, -1], rel=1e-6)
    assert found.mean_flow == pytest.approx(found.water / found.duration, rel=1e-12)
    assert flow[-1] < found.mean_flow < flow[0]
    assert found.time[0] == found.energy[0] == 0.0
    assert np.all(np.diff(found.time) > 0.0)


def test_fill_with_a_precharge_above_cut_in():
    """Until the precharge the tank takes nothing and the pressure jumps."""
    pressure = np.linspace(30.0, 50.0, 21) * PSI
    flow = np.linspace(10.0, 6.0, 21) * GALLON_PER_MINUTE
    found = fill.tank_fill(pressure, flow, 0.32, 34.5 * PSI, AIR)
    assert found.time[4] == 0.0 < found.time[5]

    def per_pressure(p):
        volume_slope = 0.32 * (34.5 * PSI + AIR) / (p + AIR) ** 2
        return volume_slope / np.interp(p, pressure, flow)

    assert found.duration == pytest.approx(quad(per_pressure, 34.5 * PSI, 50 * PSI)[0], rel=1e-9)


def test_fill_refusals():
    pressure, flow = np.array([2e5, 3e5]), np.array([5e-4, 3e-4])
    with pytest.raises(OutOfRange, match="flow left to fill the tank is 0 m3/s"):
        fill.tank_fill(pressure, np.array([5e-4, 0.0]), 0.3, 1.9e5, AIR)
    with pytest.raises(OutOfRange, match="last pressure less precharge"):
        fill.tank_fill(pressure, flow, 0.3, 3e5, AIR)
    with pytest.raises(OutOfRange, match="must rise from point to point"):
        fill.tank_fill(pressure[::-1], flow, 0.3, 1e5, AIR)
    with pytest.raises(OutOfRange, match="given are 2 pressures and 3 flows"):
        fill.tank_fill(pressure, np.ones(3), 0.3, 1e5, AIR)


def test_speed_for_a_pressure_gives_that_operating_point():
    def system_head(flow, pressure):
        return 25.0 + pressure / 9800.0 + 6e6 * flow**2 + flow / 1e-4

    pressure = 2.8e5
    range_ = fill.speed_range(CURVE, system_head, pressure)
    assert range_.least == pytest.approx(math.sqrt(system_head(0.0, pressure) / 92.0))
    for flow in np.linspace(0.05, 0.99, 7) * range_.greatest_flow:
        speed = fill.speed_for_head(CURVE, float(flow), system_head(float(flow), pressure))
        assert range_.least < speed < 1.0
        point = pump.operating_point(CURVE.at_speed(speed), lambda q: system_head(q, pressure))
        assert point.flow == pytest.approx(flow, rel=1e-8)
        assert point.state == "on curve"


def test_speed_range_that_the_datasheet_bounds():
    found = fill.speed_range(CURVE, lambda flow, pressure: 10.0 + 1e3 * flow, 0.0)
    speed = found.greatest_flow / CURVE.greatest_flow
    assert speed < 1.0
    assert speed**2 * 31.0 == pytest.approx(10.0 + 1e3 * found.greatest_flow, rel=1e-9)
    with pytest.raises(OutOfRange, match=r"no speed gives 5 m at 0\.0007 m3/s"):
        fill.speed_for_head(CURVE, 7e-4, 5.0)
    with pytest.raises(OutOfRange, match=r"speed ratio that reaches the pressure is 1\.2"):
        fill.speed_range(CURVE, lambda flow, pressure: 140.0, 0.0)
