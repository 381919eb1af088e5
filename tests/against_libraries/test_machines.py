"""Closed forms of tanks, motors, wires and people against root finders, integration and AWG."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
import scipy.constants
from scipy.integrate import quad
from scipy.optimize import brentq

from wellsolar import constants
from wellsolar.data import wiring
from wellsolar.physics.electric import cable, motor
from wellsolar.physics.hand import human_power
from wellsolar.physics.hydraulics import pressure_tank

PSI = scipy.constants.psi


def test_trade_units_are_those_of_scipy():
    assert pytest.approx(scipy.constants.hp, rel=1e-14) == constants.HORSEPOWER
    assert pytest.approx(scipy.constants.gallon, rel=1e-14) == constants.US_GALLON
    assert pytest.approx(2.0 * PSI, rel=1e-9) == pressure_tank.PRECHARGE_BELOW_CUT_IN
    assert pytest.approx((scipy.constants.mil / 2) ** 2 * math.pi) == wiring.CIRCULAR_MIL
    assert pytest.approx(1000 * scipy.constants.foot) == wiring.KILOFOOT


def test_areas_follow_the_definition_of_the_wire_gauge():
    # ASTM B258: diameter 0.005 in x 92^((36 - n) / 39), n = 0, -1, -2, -3 for 1/0 to 4/0.
    for size in wiring.wires():
        text = size.gauge.removesuffix(" AWG")
        number = 1 - int(text[0]) if text.endswith("/0") else int(text)
        diameter = 0.005 * scipy.constants.inch * 92 ** ((36 - number) / 39)
        assert size.area == pytest.approx(math.pi / 4 * diameter**2, rel=1e-3), size.gauge


def test_resistances_follow_the_annealed_copper_standard():
    # IEC 60028: 1.7241e-8 ohm m at 20 degC, 0.00393 /K; strands run about 2 % longer.
    resistivity = 1.7241e-8 * (1 + 0.00393 * (75 - 20))
    for size in wiring.wires():
        solid = resistivity / size.area
        assert size.resistance_75c_stranded == pytest.approx(1.02 * solid, rel=0.007), size.gauge
        if size.resistance_75c_solid is not None:
            assert size.resistance_75c_solid == pytest.approx(solid, rel=0.006), size.gauge


def test_the_two_temperature_coefficients_of_copper_agree():
    # 0.00393 /K about 20 degC and 0.00323 /K about 75 degC are one straight line.
    for temperature in (-20.0, 20.0, 50.0, 90.0):
        standard = (1 + 0.00393 * (temperature - 20)) / (1 + 0.00393 * (75 - 20))
        assert cable.resistance_at(1.0, temperature) == pytest.approx(standard, rel=1e-3)


def test_pressure_at_is_the_root_of_stored_water():
    precharge, atmosphere, water = 28 * PSI, 81e3, 0.11
    root = brentq(
        lambda p: pressure_tank.stored_water(0.32, precharge, p, atmosphere) - water,
        precharge,
        200 * PSI,
    )
    assert pressure_tank.pressure_at(0.32, precharge, water, atmosphere) == pytest.approx(root)


def test_run_time_is_the_integral_of_filling():
    volume, precharge, cut_in, cut_out, atmosphere = 0.32, 28 * PSI, 30 * PSI, 50 * PSI, 101e3

    def water_per_pressure(pressure: float) -> float:
        return volume * (precharge + atmosphere) / (pressure + atmosphere) ** 2

    flow, demand_flow = 6e-4, 2e-4
    seconds, _ = quad(lambda p: water_per_pressure(p) / (flow - demand_flow), cut_in, cut_out)
    drawdown = pressure_tank.drawdown_volume(volume, precharge, cut_in, cut_out, atmosphere)
    assert pressure_tank.run_time(drawdown, flow, demand_flow) == pytest.approx(seconds)


def test_sustained_duration_is_the_root_of_sustained_power():
    for power, age in ((100.0, 35.0), (150.0, 25.0), (90.0, 55.0)):
        root = brentq(lambda t, p=power, a=age: human_power.sustained_power(t, a) - p, 240, 28_800)
        assert human_power.sustained_duration(power, age) == pytest.approx(root, rel=1e-9)


@pytest.mark.parametrize("power_factor", [0.2, 0.6, 1.0])
def test_starting_dip_is_that_of_the_complex_circuit(power_factor):
    volts, amperes, ohms = 230.0, 48.0, np.array([0.0, 0.3, 1.2])
    rotor = cmath.rect(volts / amperes, math.acos(power_factor))
    expected = 1.0 - np.abs(rotor / (rotor + ohms))
    dip = motor.starting_voltage_dip(amperes, volts, ohms, power_factor)
    np.testing.assert_allclose(dip, expected, rtol=1e-12, atol=1e-12)


def test_three_phase_currents_are_those_of_a_balanced_star():
    line, power, power_factor = 460.0, 9000.0, 0.83
    per_phase = power / 3 / (line / math.sqrt(3)) / power_factor
    assert motor.running_current(power, line, power_factor, 3) == pytest.approx(per_phase)
