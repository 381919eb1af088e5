"""Speed of a pump's operating points as the ranges ask them, as a ratio to scipy and fluids.

A range moves a water level or a pressure and asks the same pump once more, one point after the
other. The baseline is the same physics in the fewest lines: pchip for the datasheet's curve, the
factor of friction from fluids for each pipe, Brent between the curve's ends. The goal is that
guards and the pieces of the head cost no more than a quarter of it again; the mark is a half.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable

import numpy as np
import pytest
from fluids.friction import friction_factor
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from tests.benchmarks.marks import Read, told
from wellsolar.data.pipes import pipe_size
from wellsolar.physics.hydraulics import pump
from wellsolar.studies.well.drawdown import WaterLevel
from wellsolar.studies.well.total_head import Fitted, Line, Run

POINTS, ROUNDS = 300, 5
FLOW = (0.0, 2e-4, 4e-4, 6e-4, 8e-4, 1e-3)
HEAD = (118.0, 114.0, 104.0, 87.0, 63.0, 30.0)
DENSITY, VISCOSITY, GRAVITY = 999.5, 1.2e-6, 9.80665
TREATMENT, ELEVATION = 35e3, 2.5
PIPES = (("PVC sch 40", "1 1/4 in", 60.0), ("polyethylene SIDR", "1 in", 75.0))
SPECIFIC_CAPACITY, WELL_LOSS, INTAKE = 4e-5, 4e6, 55.0
BY_SCIPY = PchipInterpolator(FLOW, HEAD)


@pytest.fixture(scope="module")
def line() -> Line:
    drop, lateral = (Run(pipe_size(*pipe), length, 150.0) for *pipe, length in PIPES)
    elbows = Fitted("90 elbow", 4, 0.9, 0.0, lateral.size.bore, 0.0)
    return Line(drop, lateral, (elbows,), ELEVATION, TREATMENT, DENSITY, VISCOSITY)


def by_hand(line: Line, still: float, pressure: float) -> float:
    """Flow at which the curve meets static head, friction, fittings and velocity head [m3/s]."""
    bores = [(run.size.bore, run.length, run.size.roughness) for run in (line.drop, line.lateral)]

    def spare(flow: float) -> float:
        drawn = flow / SPECIFIC_CAPACITY + WELL_LOSS * flow**2
        head = min(still + drawn, INTAKE) + ELEVATION + (pressure + TREATMENT) / DENSITY / GRAVITY
        for bore, length, roughness in bores:
            speed = flow / (math.pi / 4 * bore**2)
            if speed > 0.0:
                factor = friction_factor(speed * bore / VISCOSITY, roughness / bore)
                head += factor * length / bore * speed**2 / (2 * GRAVITY)
        head += (1.0 + line.fitting_coefficient) * speed**2 / (2 * GRAVITY)
        return float(BY_SCIPY(flow)) - head

    return float(brentq(spare, FLOW[0], FLOW[-1], xtol=1e-12, rtol=1e-12))


def test_a_pump_point_after_the_other(
    line: Line, record_property: Callable[[str, object], None]
) -> None:
    random = np.random.default_rng(3)
    asked = list(
        zip(random.uniform(20, 45, POINTS), random.uniform(15e4, 40e4, POINTS), strict=True)
    )
    curve = pump.HeadCurve(FLOW, HEAD)

    def ours() -> list[float]:
        found = []
        for still, pressure in asked:
            level = WaterLevel(float(still), SPECIFIC_CAPACITY, INTAKE, WELL_LOSS)
            point = pump.operating_point(
                curve,
                lambda flow, level=level, pressure=pressure: line.total(level, flow, pressure),
            )
            found.append(point.flow)
        return found

    def theirs() -> list[float]:
        return [by_hand(line, still, pressure) for still, pressure in asked]

    # In turns, so that a busy moment of the machine falls on both.
    taken = np.array([(seconds(ours), seconds(theirs)) for _ in range(ROUNDS)])
    ratio = float(np.median(taken[:, 1] / taken[:, 0]))
    each = taken[:, 0].min() / POINTS
    print(f"\na pump's point: {each * 1e3:.2f} ms")
    np.testing.assert_allclose(ours(), theirs(), rtol=1e-8)
    what = "pump points one after the other"
    told(record_property, Read(what, "the same by hand and scipy", ratio, 0.5, 0.8, False))


def seconds(call) -> float:
    start = time.perf_counter()
    call()
    return time.perf_counter() - start
