"""Bodies in a casing against searches by scipy."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
from scipy.optimize import differential_evolution, minimize

from wellsolar.errors import OutOfRange
from wellsolar.physics.well import casing_fit as casing


def test_enclosing_circle_against_a_search():
    random = np.random.default_rng(3)
    for count in (2, 3, 5, 7):
        circles = [
            casing.Circle(*random.uniform(-1.0, 1.0, 2), random.uniform(0.0, 0.8))
            for _ in range(count)
        ]

        def reach(centre, circles=circles):
            return max(math.hypot(c.x - centre[0], c.y - centre[1]) + c.radius for c in circles)

        found = casing.enclosing_circle(circles)
        searched = minimize(
            reach, [0.0, 0.0], method="Nelder-Mead", options={"xatol": 1e-12, "fatol": 1e-12}
        )
        assert found.radius == pytest.approx(reach((found.x, found.y)), rel=1e-12)
        assert found.radius == pytest.approx(searched.fun, rel=1e-7)
        assert found.radius <= searched.fun * (1.0 + 1e-12)


def test_two_unequal_pairs_against_a_global_search():
    """Two pumps' pipes and two cables, the places sought without any knowledge of packing."""
    radii = np.array([1.0, 0.7, 0.5, 0.5])

    def bore(places):
        xy = places.reshape(-1, 2)
        overlap = sum(
            max(0.0, radii[i] + radii[j] - math.hypot(*(xy[i] - xy[j])))
            for i, j in product(range(4), range(4))
            if i < j
        )
        return np.max(np.hypot(*xy.T) + radii) + 10.0 * overlap

    searched = differential_evolution(
        bore, [(-1.5, 1.5)] * 8, seed=5, maxiter=400, popsize=12, tol=1e-10, polish=False
    )
    found = 0.5 * casing.smallest_bore((2.0 * radii).tolist()).bore
    assert found <= searched.fun + 1e-9
    assert found == pytest.approx(searched.fun, rel=0.01)


def _two_pumps(casing_bore, least_clearance):
    """A 4-in pump under a 3-in one, two pipes of 1 1/4 and 1 in, one cable each, in metres."""
    bodies = [
        casing.Body("upper pump", 0.0762, 20.0, 21.5),
        casing.Body("upper pipe", 0.0334, 1.5, 20.0),
        casing.Body("lower pump", 0.0953, 45.0, 46.5),
        casing.Body("lower pipe", 0.0422, 1.5, 45.0),
        casing.Body("lower cable", 0.012, 1.5, 45.0),
    ]
    every = casing.sections(bodies, casing_bore, least_clearance)
    return every, min(every, key=lambda section: section.clearance)


def test_sections_of_a_well():
    every, tightest = _two_pumps(0.154, 0.006)
    depths = [(each.top, each.bottom) for each in every]
    assert depths == [(1.5, 20.0), (20.0, 21.5), (21.5, 45.0), (45.0, 46.5)]
    assert tightest.bodies == ("upper pump", "lower pipe", "lower cable")
    # The cable lies in the gap beside pump and pipe: those two alone set the bore.
    assert tightest.layout.bore == pytest.approx(0.0762 + 0.0422, rel=1e-12)
    assert tightest.needed_bore == pytest.approx(0.0762 + 0.0422 + 0.006, rel=1e-12)
    assert tightest.clearance == pytest.approx(0.154 - 0.1184, rel=1e-12)
    assert every[-1].layout.bore == 0.0953


def test_a_tight_fit_passes_and_one_that_fails_by_a_hair():
    needed = 0.0762 + 0.0422 + 0.006
    assert _two_pumps(needed, 0.006)[1].fits
    assert _two_pumps(needed + 1e-9, 0.006)[1].fits
    assert not _two_pumps(needed - 1e-9, 0.006)[1].fits


def test_a_pump_on_its_way_past_another():
    upper = casing.Body("upper pump", 0.0953, 20.0, 21.5)
    pulled = casing.Body("lower pump", 0.0953, 0.0, 46.5)
    every = casing.sections([upper, pulled], 0.154, 0.006)
    tightest = min(every, key=lambda section: section.clearance)
    assert (tightest.top, tightest.bottom) == (20.0, 21.5)
    assert not tightest.fits


def test_casing_refusals():
    with pytest.raises(OutOfRange, match="side by side is 9, allowed is 1 to 8"):
        casing.smallest_bore([0.01] * 9)
    with pytest.raises(OutOfRange, match="diameter is 0 m, allowed is above 0 m"):
        casing.smallest_bore([0.1, 0.0])
    with pytest.raises(OutOfRange, match="length of pipe is -1 m, allowed is above 0 m"):
        casing.Body("pipe", 0.03, 5.0, 4.0)
    with pytest.raises(OutOfRange, match="one or more bodies, given is none"):
        casing.sections([], 0.1, 0.0)
    with pytest.raises(OutOfRange, match="one or more circles, given is none"):
        casing.enclosing_circle([])
