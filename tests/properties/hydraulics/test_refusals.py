"""What pipes, wells, pumps and solvers refuse, in words."""

from __future__ import annotations

import math

import numpy as np
import pytest

from wellsolar.errors import OutOfRange
from wellsolar.physics import solve
from wellsolar.physics.hydraulics import cooling, pipe, pressure_tank, pump
from wellsolar.physics.well import levels as well

REFUSED = [
    (lambda: pipe.velocity(1e-3, 0.0), r"bore is 0 m, allowed is above 0 m"),
    (lambda: pipe.velocity(1e-3, np.array([0.1, -1.0])), r"bore is -1 m, allowed is above 0 m"),
    (lambda: pipe.FrictionLoss(0.02, 1.0, 0.0, 1e-6)(-1e-3), r"flow is -0\.001 m3/s"),
    (lambda: pipe.FrictionLoss(0.02, 1.0, 0.01, 1e-6)(1e-3), r"relative roughness is 0\.5"),
    (lambda: pipe.head_loss_hazen_williams(-1e-3, 0.02, 1.0, 140.0), r"flow is -0\.001 m3/s"),
    (lambda: pipe.friction_factor(0.0, 0.0), r"Reynolds number is 0"),
    (lambda: pipe.fitting_loss(1e-3, 0.02, -1.0), r"loss coefficient is -1"),
    (
        lambda: pressure_tank.precharge_from_drawdown(0.1, 0.03, 3e5, 3e5, 1e5),
        r"cut-out less cut-in is 0 Pa",
    ),
    (
        lambda: pressure_tank.precharge_from_drawdown(0.1, 0.03, 3e5, 2e5, 1e5),
        r"cut-out less cut-in is -100000 Pa",
    ),
    (lambda: well.drawdown(1e-3, 0.0), r"specific capacity is 0 m2/s"),
    (
        lambda: cooling.velocity_past_motor(1e-3, 0.1, 0.1),
        r"casing bore less motor diameter is 0 m",
    ),
    (lambda: pump.HeadCurve((0.0, 1e-3), (30.0,)), r"2 flows and 1 heads"),
    (lambda: pump.HeadCurve((0.0, 0.0), (30.0, 20.0)), r"flows of a head curve must rise"),
    (lambda: pump.HeadCurve((0.0, 1e-3), (30.0, 30.0)), r"heads of a head curve must fall"),
    (lambda: pump.HeadCurve((0.0, 1e-3), (30.0, 20.0)).head_at(2e-3), r"is 0\.002 m3/s, allowed"),
    (lambda: pump.HeadCurve((0.0, 1e-3), (30.0, 20.0)).flow_at(31.0), r"is 31 m, allowed is 20"),
    (lambda: pump.HeadCurve((0.0, 1e-3), (30.0, 20.0)).at_speed(0.0), r"speed ratio is 0"),
    (
        lambda: pump.interpolate_curve((0.0, 1e-3), (0.3, 0.5), 2e-3),
        r"flow on the curve is 0\.002",
    ),
    (
        lambda: pump.operating_point(
            pump.HeadCurve((0.0, 1e-3), (30.0, 20.0)), lambda flow: math.nan
        ),
        r"no operating flow between 0 and 0\.001 m3/s: the balance is nan",
    ),
    (
        lambda: solve.bracketed_root(lambda x: x * x + 1.0, -1.0, 1.0, "level", "m"),
        r"no level betw",
    ),
]


@pytest.mark.parametrize(("call", "message"), REFUSED)
def test_refused_with_what_was_wrong(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
