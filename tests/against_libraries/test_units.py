"""Units of the trade against those of scipy."""

from __future__ import annotations

import math

import pytest
import scipy.constants

from wellsolar import constants
from wellsolar.data import wiring
from wellsolar.physics.hydraulics import pressure_tank

PSI = scipy.constants.psi


def test_trade_units_are_those_of_scipy():
    assert pytest.approx(scipy.constants.hp, rel=1e-14) == constants.HORSEPOWER
    assert pytest.approx(scipy.constants.gallon, rel=1e-14) == constants.US_GALLON
    assert pytest.approx(2.0 * PSI, rel=1e-9) == pressure_tank.PRECHARGE_BELOW_CUT_IN
    assert pytest.approx((scipy.constants.mil / 2) ** 2 * math.pi) == wiring.CIRCULAR_MIL
    assert pytest.approx(1000 * scipy.constants.foot) == wiring.KILOFOOT
