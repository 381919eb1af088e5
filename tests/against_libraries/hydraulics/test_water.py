"""Water and air against CoolProp and fluids."""

from __future__ import annotations

import math
import runpy
from pathlib import Path

import numpy as np
import pytest
from fluids.atmosphere import ATMOSPHERE_1976

from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import suction, water

# Between the Chebyshev points of the fit, so that no point of the fit is tested on itself.
TEMPERATURES = np.linspace(0.01, 100.0, 211)


@pytest.fixture(scope="module")
def liquid():
    return runpy.run_path(str(Path(__file__).with_name("make_water_fits.py")))["liquid"]


@pytest.mark.parametrize(
    ("ours", "theirs", "error"),
    [
        (water.density, "density", 1e-6),
        (water.specific_heat, "heat", 1e-5),
        (water.dynamic_viscosity, "viscosity", 1e-5),
        (water.vapour_pressure, "saturation", 1e-6),
    ],
)
def test_water_against_coolprop(liquid, ours, theirs, error):
    expected = np.array([liquid(temperature, theirs) for temperature in TEMPERATURES])
    assert np.max(np.abs(ours(TEMPERATURES) / expected - 1.0)) < error


def test_water_of_a_float_is_a_float_and_equals_the_array():
    for function in (
        water.density,
        water.specific_heat,
        water.dynamic_viscosity,
        water.kinematic_viscosity,
        water.vapour_pressure,
    ):
        one_by_one = [function(float(temperature)) for temperature in TEMPERATURES]
        assert all(type(value) is float for value in one_by_one)
        np.testing.assert_allclose(function(TEMPERATURES), one_by_one, rtol=1e-14)


@pytest.mark.parametrize("temperature", [-0.01, 100.01, math.nan, np.array([20.0, 120.0])])
def test_water_outside_its_range(temperature):
    with pytest.raises(OutOfRange, match=r"water temperature is \S+ degC, allowed is 0 to 100"):
        water.density(temperature)


def test_atmosphere_against_fluids():
    for altitude in (-500.0, 0.0, 1609.344, 11_000.0):
        assert suction.atmospheric_pressure(altitude) == ATMOSPHERE_1976(altitude).P
    with pytest.raises(OutOfRange, match="altitude is 12000 m, allowed is -500 to 11000 m"):
        suction.atmospheric_pressure(12_000.0)
