"""Human power against a root finder."""

from __future__ import annotations

import pytest
from scipy.optimize import brentq

from wellsolar.physics.hand import human_power


def test_sustained_duration_is_the_root_of_sustained_power():
    for power, age in ((100.0, 35.0), (150.0, 25.0), (90.0, 55.0)):
        root = brentq(lambda t, p=power, a=age: human_power.sustained_power(t, a) - p, 240, 28_800)
        assert human_power.sustained_duration(power, age) == pytest.approx(root, rel=1e-9)
