"""Packing, batch, fill and start against scipy, fluids and complex arithmetic."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import differential_evolution, minimize

from wellsolar.errors import OutOfRange
from wellsolar.physics.electric import motor
from wellsolar.physics.hydraulics import fill, pressure_tank, pump
from wellsolar.physics.well import casing_fit as casing

GALLON_PER_MINUTE = 3.785411784e-3 / 60.0
PSI = 6894.757293168361
AIR = 101_325.0
CURVE = pump.HeadCurve(
    tuple(gpm * GALLON_PER_MINUTE for gpm in (0.0, 3.0, 6.0, 9.0, 12.0)),
    (92.0, 88.0, 78.0, 60.0, 31.0),
)


def test_enclosing_circle_against_a_search():
    random = np.random.default_rng(3)
    for count in (2, 3, 5, 7):
        circles = [
            casing.Circle(*random.uniform(-1.0, 1.0, 2), random.uniform(0.0, 0.8))
            for _ in range(count)
        ]

        def reach(centre, circles=circles):
            return max(math.hypot(c.x - centre[0], c.y - centre[1]) + c.radius for c in circles)

        found = casing.enclosing_circle(circles)
        searched = minimize(
            reach, [0.0, 0.0], method="Nelder-Mead", options={"xatol": 1e-12, "fatol": 1e-12}
        )
        assert found.radius == pytest.approx(reach((found.x, found.y)), rel=1e-12)
        assert found.radius == pytest.approx(searched.fun, rel=1e-7)
        assert found.radius <= searched.fun * (1.0 + 1e-12)


def test_two_unequal_pairs_against_a_global_search():
    """Two pumps' pipes and two cables, the places sought without any knowledge of packing."""
    radii = np.array([1.0, 0.7, 0.5, 0.5])

    def bore(places):
        xy = places.reshape(-1, 2)
        overlap = sum(
            max(0.0, radii[i] + radii[j] - math.hypot(*(xy[i] - xy[j])))
            for i, j in product(range(4), range(4))
            if i < j
        )
        return np.max(np.hypot(*xy.T) + radii) + 10.0 * overlap

    searched = differential_evolution(
        bore, [(-1.5, 1.5)] * 8, seed=5, maxiter=400, popsize=12, tol=1e-10, polish=False
    )
    found = 0.5 * casing.smallest_bore((2.0 * radii).tolist()).bore
    assert found <= searched.fun + 1e-9
    assert found == pytest.approx(searched.fun, rel=0.01)


def _two_pumps(casing_bore, least_clearance):
    """A 4-in pump under a 3-in one, two pipes of 1 1/4 and 1 in, one cable each, in metres."""
    bodies = [
        casing.Body("upper pump", 0.0762, 20.0, 21.5),
        casing.Body("upper pipe", 0.0334, 1.5, 20.0),
        casing.Body("lower pump", 0.0953, 45.0, 46.5),
        casing.Body("lower pipe", 0.0422, 1.5, 45.0),
        casing.Body("lower cable", 0.012, 1.5, 45.0),
    ]
    return (
        casing.sections(bodies, casing_bore, least_clearance),
        casing.tightest_section(bodies, casing_bore, least_clearance),
    )


def test_sections_of_a_well():
    every, tightest = _two_pumps(0.154, 0.006)
    depths = [(each.top, each.bottom) for each in every]
    assert depths == [(1.5, 20.0), (20.0, 21.5), (21.5, 45.0), (45.0, 46.5)]
    assert tightest.bodies == ("upper pump", "lower pipe", "lower cable")
    # The cable lies in the gap beside pump and pipe: those two alone set the bore.
    assert tightest.layout.bore == pytest.approx(0.0762 + 0.0422, rel=1e-12)
    assert tightest.needed_bore == pytest.approx(0.0762 + 0.0422 + 0.006, rel=1e-12)
    assert tightest.clearance == pytest.approx(0.154 - 0.1184, rel=1e-12)
    assert every[-1].layout.bore == 0.0953


def test_a_tight_fit_passes_and_one_that_fails_by_a_hair():
    needed = 0.0762 + 0.0422 + 0.006
    assert _two_pumps(needed, 0.006)[1].fits
    assert _two_pumps(needed + 1e-9, 0.006)[1].fits
    assert not _two_pumps(needed - 1e-9, 0.006)[1].fits


def test_a_pump_on_its_way_past_another():
    upper = casing.Body("upper pump", 0.0953, 20.0, 21.5)
    pulled = casing.Body("lower pump", 0.0953, 0.0, 46.5)
    tightest = casing.tightest_section([upper, pulled], 0.154, 0.006)
    assert (tightest.top, tightest.bottom) == (20.0, 21.5)
    assert not tightest.fits
    room = casing.largest_body_that_fits([0.0953], 0.154, 0.006)
    assert room == pytest.approx(0.154 - 0.006 - 0.0953, abs=1e-9)


def test_what_would_fit_does_fit():
    for others in ([0.05, 0.04], [0.06, 0.0422, 0.012], [0.0334, 0.0334, 0.012, 0.012]):
        largest = casing.largest_body_that_fits(others, 0.154, 0.004)
        assert casing.smallest_bore([*others, largest]).bore <= 0.15 * (1.0 + 1e-12)
        assert casing.smallest_bore([*others, largest + 1e-6]).bore > 0.15


def test_no_room_is_no_body():
    assert casing.largest_body_that_fits([0.1, 0.06], 0.154, 0.0) == 0.0
    assert casing.largest_body_that_fits([], 0.154, 0.2) == 0.0
    assert casing.largest_body_that_fits([], 0.154, 0.004) == pytest.approx(0.15)
    # Two bodies across the whole bore still leave the gap beside them.
    assert casing.largest_body_that_fits([0.5, 0.5], 1.0, 0.0) == pytest.approx(1 / 3, rel=1e-5)


def test_casing_refusals():
    with pytest.raises(OutOfRange, match="side by side is 9, allowed is 1 to 8"):
        casing.smallest_bore([0.01] * 9)
    with pytest.raises(OutOfRange, match="diameter is 0 m, allowed is above 0 m"):
        casing.smallest_bore([0.1, 0.0])
    with pytest.raises(OutOfRange, match="length of pipe is -1 m, allowed is above 0 m"):
        casing.Body("pipe", 0.03, 5.0, 4.0)
    with pytest.raises(OutOfRange, match="one or more bodies, given is none"):
        casing.sections([], 0.1, 0.0)
    with pytest.raises(OutOfRange, match="one or more circles, given is none"):
        casing.enclosing_circle([])


def test_fill_against_an_integration_in_time():
    pressure = np.linspace(30.0, 50.0, 9) * PSI
    flow = np.array([11.0, 10.7, 10.3, 9.8, 9.2, 8.5, 7.6, 6.4, 4.9]) * GALLON_PER_MINUTE
    power = np.linspace(900.0, 700.0, 9)
    tank, precharge, demand = 0.32, 28.0 * PSI, 1.5 * GALLON_PER_MINUTE
    found = fill.tank_fill(pressure, flow, tank, precharge, AIR, demand, power)
    flows, powers = PchipInterpolator(pressure, flow), PchipInterpolator(pressure, power)

    def rate(_, state):
        now = float(pressure_tank.pressure_at(tank, precharge, state[0], AIR))
        now = min(max(now, pressure[0]), pressure[-1])
        return [float(flows(now)) - demand, float(powers(now))]

    def full(_, state):
        return state[0] - found.volume[-1]

    full.terminal = True
    run = solve_ivp(
        rate, (0.0, 1e5), [found.volume[0], 0.0], events=full, rtol=1e-10, atol=1e-12, max_step=5.0
    )
    assert found.duration == pytest.approx(run.t[-1], rel=1e-6)
    assert found.energy[-1] == pytest.approx(run.y[1, -1], rel=1e-6)
    assert found.mean_flow == pytest.approx(found.water / found.duration + demand, rel=1e-12)
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
        fill.tank_fill(pressure, flow, 0.3, 1.9e5, AIR, 3e-4)
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
    assert range_.greatest == 1.0
    for flow in np.linspace(0.05, 0.99, 7) * range_.greatest_flow:
        speed = fill.speed_for_pressure(CURVE, system_head, pressure, float(flow))
        assert range_.least < speed < 1.0
        point = pump.operating_point(CURVE.at_speed(speed), lambda q: system_head(q, pressure))
        assert point.flow == pytest.approx(flow, rel=1e-8)
        assert point.state == "on curve"


def test_speed_range_that_the_datasheet_bounds():
    found = fill.speed_range(CURVE, lambda flow, pressure: 10.0 + 1e3 * flow, 0.0)
    assert found.greatest < 1.0
    assert found.greatest**2 * 31.0 == pytest.approx(10.0 + 1e3 * found.greatest_flow, rel=1e-9)
    with pytest.raises(OutOfRange, match=r"no speed gives 5 m at 0\.0007 m3/s"):
        fill.speed_for_head(CURVE, 7e-4, 5.0)
    with pytest.raises(OutOfRange, match=r"speed ratio that reaches the pressure is 1\.2"):
        fill.speed_range(CURVE, lambda flow, pressure: 140.0, 0.0)


def test_start_against_complex_impedances_and_the_cable_alone():
    current, voltage, power_factor, share = 48.0, 230.0, 0.6, 0.5
    found = motor.start_through_supply(current, voltage, power_factor, 0.8, 0.1, 1.1, share)
    motor_impedance = voltage / (share * current) * complex(power_factor, math.sqrt(1 - 0.36))
    amperes = voltage / (motor_impedance + 0.8 + 0.1 + 1.1j)
    assert found.current == pytest.approx(abs(amperes), rel=1e-12)
    assert found.motor_dip == pytest.approx(1 - abs(amperes * motor_impedance) / voltage)
    at_supply = abs(amperes * (motor_impedance + 0.8))
    assert found.supply_dip == pytest.approx(1 - at_supply / voltage)
    stiff = motor.start_through_supply(current, voltage, power_factor, 0.8, 0.0, 0.0)
    alone = motor.starting_voltage_dip(current, voltage, 0.8, power_factor)
    assert stiff.motor_dip == pytest.approx(float(alone), rel=1e-12)
    assert stiff.supply_dip == pytest.approx(0.0, abs=1e-15)
    assert stiff.torque_share == pytest.approx((1.0 - float(alone)) ** 2)


def test_starting_current_and_source_reactance_for_a_dip():
    current, voltage, power_factor, ohms = 48.0, 230.0, 0.6, 0.4
    reactance = motor.greatest_source_reactance(current, voltage, power_factor, ohms, 0.35)
    start = motor.start_through_supply(current, voltage, power_factor, ohms, 0.0, reactance)
    assert start.motor_dip == pytest.approx(0.35, rel=1e-12)
    assert motor.greatest_source_reactance(current, voltage, power_factor, 6.0, 0.35) < 0.0
    greatest = motor.greatest_starting_current(voltage, ohms, 0.15)
    assert motor.starting_voltage_dip(greatest, voltage, ohms) == pytest.approx(0.15, rel=1e-12)


def test_three_phase_reactance_is_that_of_one_line_times_root_three():
    one = motor.source_reactance(10e3, 240.0, 0.2)
    three = motor.source_reactance(10e3, 240.0, 0.2, 3)
    assert three / one == pytest.approx(math.sqrt(3.0))
    with pytest.raises(OutOfRange, match="phases is 2; it must be 1 or 3"):
        motor.source_reactance(10e3, 240.0, 0.2, 2)
