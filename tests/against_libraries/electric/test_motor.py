"""Starts and currents of motors against complex arithmetic."""

from __future__ import annotations

import cmath
import math

import pytest

from wellsolar.errors import OutOfRange
from wellsolar.physics.electric import motor


def test_a_dip_behind_a_supply_that_gives_way_by_complex_impedances():
    current, voltage, power_factor = 24.0, 230.0, 0.6
    found = motor.starting_voltage_dip(current, voltage, 0.8, power_factor, 1.1)
    rotor = voltage / current * complex(power_factor, math.sqrt(1 - 0.36))
    assert found == pytest.approx(1 - abs(rotor / (rotor + 0.8 + 1.1j)), rel=1e-12)


def test_starting_current_and_source_reactance_for_a_dip():
    current, voltage, power_factor, ohms = 48.0, 230.0, 0.6, 0.4
    reactance = motor.greatest_source_reactance(current, voltage, power_factor, ohms, 0.35)
    dip = motor.starting_voltage_dip(current, voltage, ohms, power_factor, reactance)
    assert dip == pytest.approx(0.35, rel=1e-12)
    assert motor.greatest_source_reactance(current, voltage, power_factor, 6.0, 0.35) < 0.0
    for rotor in (power_factor, 1.0):
        greatest = motor.greatest_starting_current(voltage, ohms, 0.15, rotor)
        at_most = motor.starting_voltage_dip(greatest, voltage, ohms, rotor)
        assert at_most == pytest.approx(0.15, rel=1e-12)


def test_three_phase_reactance_is_that_of_one_line_times_root_three():
    one = motor.source_reactance(10e3, 240.0, 0.2)
    three = motor.source_reactance(10e3, 240.0, 0.2, 3)
    assert three / one == pytest.approx(math.sqrt(3.0))
    with pytest.raises(OutOfRange, match="phases is 2; it must be 1 or 3"):
        motor.source_reactance(10e3, 240.0, 0.2, 2)


@pytest.mark.parametrize("power_factor", [0.2, 0.6, 1.0])
def test_starting_dip_is_that_of_the_complex_circuit(power_factor):
    volts, amperes = 230.0, 48.0
    rotor = cmath.rect(volts / amperes, math.acos(power_factor))
    for ohms in (0.0, 0.3, 1.2):
        expected = 1.0 - abs(rotor / (rotor + ohms))
        dip = motor.starting_voltage_dip(amperes, volts, ohms, power_factor)
        assert dip == pytest.approx(expected, rel=1e-12, abs=1e-12)


def test_three_phase_currents_are_those_of_a_balanced_star():
    line, power, power_factor = 460.0, 9000.0, 0.83
    per_phase = power / 3 / (line / math.sqrt(3)) / power_factor
    assert motor.running_current(power, line, power_factor, 3) == pytest.approx(per_phase)
