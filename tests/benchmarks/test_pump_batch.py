"""Speed of many operating points, as a ratio to a loop of scipy's brentq in the same run.

The loop is a good one: plain floats, the head curve's own piece, fluids' friction factor, the
bracket of the datasheet. The pass mark is what is promised; `pytest -s` shows what was reached.
"""

from __future__ import annotations

import math
import time

import numpy as np
from fluids.friction import friction_factor
from scipy.optimize import brentq

from wellsolar.physics.hydraulics import pump, pump_batch

POINTS = 10_000
LEAST_RATIO = 50.0
GRAVITY = 9.80665
DENSITY = 999.0
GALLON_PER_MINUTE = 3.785411784e-3 / 60.0
PSI = 6894.757293168361
FOOT = 0.3048

CURVE = pump.HeadCurve(
    tuple(gpm * GALLON_PER_MINUTE for gpm in (0.0, 3.0, 6.0, 9.0, 12.0)),
    (122.0, 117.0, 104.0, 82.0, 49.0),
)
"""An invented pump for a deep well."""


def wells() -> dict[str, np.ndarray]:
    """House wells of every kind, some too deep for the pump and some too shallow."""
    random = np.random.default_rng(50)

    def between(low: float, high: float) -> np.ndarray:
        return random.uniform(low, high, POINTS)

    return {
        "lift": between(15.0, 110.0),
        "pressure": between(0.0, 60.0 * PSI),
        "capacity": between(0.1, 5.0) * GALLON_PER_MINUTE / FOOT,
        "drop_bore": between(0.0209, 0.041),
        "drop_length": between(10.0, 80.0),
        "lateral_bore": between(0.0209, 0.041),
        "lateral_length": between(5.0, 100.0),
        "roughness": random.choice([1.5e-6, 4.6e-5, 1.5e-4], POINTS),
        "fittings": between(2.0, 15.0),
        "viscosity": between(0.9e-6, 1.6e-6),
    }


def by_batch(well: dict[str, np.ndarray]) -> pump_batch.OperatingPoints:
    runs = (
        pump_batch.PipeRun(well["drop_bore"], well["drop_length"], well["roughness"]),
        pump_batch.PipeRun(
            well["lateral_bore"], well["lateral_length"], well["roughness"], well["fittings"]
        ),
    )
    return pump_batch.operating_points(
        CURVE, well["lift"], well["pressure"], well["capacity"], runs, DENSITY, well["viscosity"]
    )


def by_loop(well: dict[str, np.ndarray]) -> np.ndarray:
    rows = zip(*(values.tolist() for values in well.values()), strict=True)
    return np.array([_one(*row) for row in rows])


def _one(lift, pressure, capacity, bore_1, length_1, bore_2, length_2, roughness, k, viscosity):
    rest = lift + pressure / (DENSITY * GRAVITY)
    runs = [
        (
            8.0 * length / (math.pi**2 * GRAVITY * bore**5),
            4.0 / (math.pi * bore * viscosity),
            roughness / bore,
        )
        for bore, length in ((bore_1, length_1), (bore_2, length_2))
    ]
    fixed = 8.0 * k / (math.pi**2 * GRAVITY * bore_2**4)

    def system(flow):
        if flow == 0.0:
            return rest
        head = rest + flow / capacity + fixed * flow * flow
        for loss, reynolds, rough in runs:
            head += loss * flow * flow * friction_factor(reynolds * flow, rough)
        return head

    last = CURVE.greatest_flow
    if system(0.0) > CURVE.shut_off_head:
        return 0.0
    if system(last) < CURVE.lowest_head:
        return last
    return brentq(lambda flow: CURVE.head_at(flow) - system(flow), 0.0, last, xtol=1e-13 * last)


def seconds(call) -> float:
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def test_ten_thousand_operating_points():
    well = wells()
    found = by_batch(well)
    expected = by_loop(well)
    running = expected > 0.0
    assert np.array_equal(found.flow > 0.0, running)
    worst = np.max(np.abs(found.flow[running] / expected[running] - 1.0))
    assert worst < 1e-9
    # Interleaved, the quick one more often, and the least of each: what the machine can do.
    loops, batches = [], []
    for _ in range(3):
        loops.append(seconds(lambda: by_loop(well)))
        batches += [seconds(lambda: by_batch(well)) for _ in range(15)]
    loop, batch = min(loops), min(batches)
    ratio = loop / batch
    counts = np.bincount(found.state, minlength=3).tolist()
    print(f"\noperating_points: {ratio:.0f}x brentq with fluids, {batch * 1e3:.1f} ms a batch")
    print(f"largest relative difference of flow {worst:.1e}; on, below, beyond: {counts}")
    assert ratio >= LEAST_RATIO
