"""Pump curves against scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from wellsolar.physics.hydraulics import pump

GALLON_PER_MINUTE = 3.785411784e-3 / 60.0


def test_head_curve_against_scipy():
    flow = tuple(gpm * GALLON_PER_MINUTE for gpm in (0.0, 3.0, 6.0, 9.0, 12.0))
    head = (92.0, 88.0, 78.0, 60.0, 31.0)
    curve = pump.HeadCurve(flow, head)
    theirs = PchipInterpolator(flow, head)
    points = np.linspace(flow[0], flow[-1], 101)
    np.testing.assert_allclose(curve.head_at(points), theirs(points), rtol=1e-14)
    one_by_one = [curve.head_at(float(point)) for point in points]
    np.testing.assert_allclose(one_by_one, theirs(points), rtol=1e-13)
    for point in points:
        assert pump.interpolate_curve(flow, head, float(point)) == pytest.approx(theirs(point))
