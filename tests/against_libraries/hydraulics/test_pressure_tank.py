"""Closed forms of the pressure tank against root finders and integration."""

from __future__ import annotations

import pytest
import scipy.constants
from scipy.optimize import brentq

from wellsolar.physics.hydraulics import pressure_tank

PSI = scipy.constants.psi


def test_pressure_at_is_the_root_of_stored_water():
    precharge, atmosphere, water = 28 * PSI, 81e3, 0.11
    root = brentq(
        lambda p: pressure_tank.stored_water(0.32, precharge, p, atmosphere) - water,
        precharge,
        200 * PSI,
    )
    assert pressure_tank.pressure_at(0.32, precharge, water, atmosphere) == pytest.approx(root)
