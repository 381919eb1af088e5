"""Speed of the array on a resistance, as a ratio to pvlib in the same run, and the fits.

The pass marks are a third of what was measured, since the machine may be busy; the table printed
by `pytest -s tests/benchmarks` shows what this run reached.
"""

from __future__ import annotations

import runpy
import time
from pathlib import Path

import numpy as np
import pytest
from pvlib import pvsystem, singlediode
from scipy.optimize.elementwise import find_root

from wellsolar.physics import module, resistive

AGAINST = Path(__file__).parents[1] / "against_libraries" / "test_solar.py"
POINTS = 100_000


@pytest.fixture(scope="module")
def helpers():
    return runpy.run_path(str(AGAINST))


@pytest.fixture(scope="module")
def array(helpers):
    return helpers["ordinary_arrays"](POINTS)


def ratios(ours, others, rounds=5):
    """Median over interleaved rounds of each other's time over ours."""
    taken = np.array([[seconds(call) for call in (ours, *others)] for _ in range(rounds)])
    return np.median(taken[:, 1:] / taken[:, :1], axis=0)


def seconds(call):
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def test_operating_point(helpers, array):
    diode, resistance = array
    il, i0, rs, rsh, a = helpers["five"](diode)

    def surplus(junction, *row):
        current, voltage, _ = singlediode.bishop88(junction, *row[:5])
        return voltage - current * row[5]

    def by_root():
        bracket = (np.zeros(POINTS), np.full(POINTS, 200.0))
        return find_root(surplus, bracket, args=(il, i0, rs, rsh, a, resistance))

    def folded():
        return pvsystem.i_from_v(0.0, il, i0, rs + resistance, rsh, a)

    root, fold = ratios(
        lambda: resistive.on_resistance(diode, resistance), (by_root, folded), rounds=3
    )
    print(f"\non_resistance: {root:.0f}x a bracketing root on pvlib's curve, {fold:.1f}x its fold")
    assert root >= 10.0
    assert fold >= 0.6


def test_maximum_power_point(helpers, array):
    diode, _ = array
    row = helpers["five"](diode)
    (ratio,) = ratios(
        lambda: resistive.maximum_power_point(diode),
        (lambda: singlediode.bishop88_mpp(*row, method="newton"),),
    )
    print(f"\nmaximum_power_point: {ratio:.1f}x pvlib's Newton")
    assert ratio >= 3.0


def test_fit_of_the_whole_open_table(helpers):
    """About 6 s for some 21,500 sheets; no pass mark on the time, only on what comes out."""
    ratings = [rating for _, rating in helpers["open_table"].__wrapped__()]
    start = time.perf_counter()
    tally = helpers["fit_tally"](ratings)
    share = 1.0 - tally["refused"] / tally["sheets"]
    print(f"\nfit_five_parameters: {share:.2%} of the sheets, {tally}")
    print(f"in {time.perf_counter() - start:.1f} s with the checks")
    assert share > 0.999
    assert tally["worst current or voltage"] < 1e-6
    assert tally["worst power, de Soto"] < 1e-6
    assert tally[module.DE_SOTO] > 0.8 * tally["sheets"]
