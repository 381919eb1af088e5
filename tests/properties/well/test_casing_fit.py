"""What must hold for any bodies in a casing."""

from __future__ import annotations

import math
from itertools import combinations
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from wellsolar.physics.well import casing_fit as casing

few = settings(max_examples=40, deadline=None)

very_few = settings(max_examples=12, deadline=None)

sizes = st.floats(0.005, 0.15)


def descartes(diameters):
    """Bore round three bodies by curvatures, from Descartes' theorem."""
    k1, k2, k3 = sorted(2.0 / diameter for diameter in diameters)
    sum_of_two = 1.0 / k1 + 1.0 / k2
    if k3 >= k1 + k2 - 1.0 / sum_of_two:
        return 2.0 * sum_of_two
    return 2.0 / (2.0 * math.sqrt(k1 * k2 + k2 * k3 + k3 * k1) - (k1 + k2 + k3))


def holds(packing, diameters):
    """All bodies in the bore, none in another, to round-off."""
    slack = 1e-9 * packing.bore
    for circle, diameter in zip(packing.circles, diameters, strict=True):
        assert circle.radius == 0.5 * diameter
        assert math.hypot(circle.x, circle.y) + circle.radius <= 0.5 * packing.bore + slack
    for a, b in combinations(packing.circles, 2):
        assert math.hypot(a.x - b.x, a.y - b.y) >= a.radius + b.radius - slack


@few
@given(st.lists(sizes, min_size=3, max_size=3))
def test_three_bodies_by_descartes(diameters):
    packing = casing.smallest_bore(diameters)
    assert packing.bore == pytest.approx(descartes(diameters), rel=1e-9)
    holds(packing, diameters)


@very_few
@given(st.lists(sizes, min_size=4, max_size=6))
def test_a_packing_is_one_and_stands_between_its_bounds(diameters):
    packing = casing.smallest_bore(diameters)
    holds(packing, diameters)
    largest = sorted(diameters)[-3:]
    assert packing.bore >= descartes(largest) * (1.0 - 1e-9)
    assert packing.bore >= math.sqrt(sum(d * d for d in diameters))
    assert packing.bore <= sum(diameters) * (1.0 + 1e-9)


@very_few
@given(st.lists(sizes, min_size=2, max_size=4), st.randoms(use_true_random=False))
def test_order_does_not_matter_and_size_scales(diameters, random):
    bore = casing.smallest_bore(diameters).bore
    mixed = [3.0 * diameter for diameter in diameters]
    random.shuffle(mixed)
    assert casing.smallest_bore(mixed).bore == pytest.approx(3.0 * bore, rel=1e-6)


@few
@given(
    st.lists(
        st.tuples(st.floats(-1, 1), st.floats(-1, 1), st.floats(0, 1)), min_size=1, max_size=6
    )
)
def test_no_circle_near_by_encloses_with_less(rows):
    circles = [casing.Circle(*row) for row in rows]
    found = casing.enclosing_circle(circles)

    def reach(x, y):
        return max(math.hypot(c.x - x, c.y - y) + c.radius for c in circles)

    assert reach(found.x, found.y) == pytest.approx(found.radius, rel=1e-12)
    for angle in np.linspace(0.0, 2.0 * math.pi, 8):
        for step in (1e-4, 0.1):
            beside = reach(found.x + step * math.cos(angle), found.y + step * math.sin(angle))
            assert beside >= found.radius - 1e-9


@few
@given(st.lists(st.tuples(sizes, st.floats(0, 50), st.floats(0.1, 50)), min_size=1, max_size=3))
def test_sections_cover_every_body_and_say_whether_it_fits(rows):
    bodies = [
        casing.Body(f"body {i}", diameter, top, top + length)
        for i, (diameter, top, length) in enumerate(rows)
    ]
    every = casing.sections(bodies, 0.2, 0.01)
    for section in every:
        assert section.fits == (section.needed_bore <= 0.2 * (1.0 + 1e-12))
        assert section.clearance == pytest.approx(0.2 - section.layout.bore)
    for body in bodies:
        covered = sum(s.bottom - s.top for s in every if body.name in s.bodies)
        assert covered == pytest.approx(body.bottom - body.top)


def test_the_best_of_the_two_best_descents_is_kept_after_bodies_are_exchanged(monkeypatch):
    """The second best becomes the best by an exchange; the third is not looked at again."""
    ends = iter([(3.0, [(3.0, 0.0)]), (2.0, [(2.0, 0.0)]), (4.0, [(4.0, 0.0)])])
    exchanged = {2.0: (1.9, [(1.9, 0.0)]), 3.0: (1.8, [(1.8, 0.0)]), 4.0: (1.0, [(1.0, 0.0)])}
    monkeypatch.setattr(casing, "_starts", lambda *_: range(3))
    monkeypatch.setattr(casing, "_settled", lambda *_: next(ends))
    monkeypatch.setattr(casing, "_swapped", lambda _, best: exchanged[best[0]])
    assert casing._search([0.5, 0.4, 0.3, 0.2]) == [(1.8, 0.0)]


def test_a_descent_is_given_the_gaps_of_its_bodies_and_their_slopes(monkeypatch):
    """Squares of the distances less those of the radii, all over the largest radius; by hand, and
    the slopes by differences, which are exact for squares."""
    asked = []

    def descend(goal, start, **given):
        asked.append((goal, start, given))
        return SimpleNamespace(x=start)

    monkeypatch.setattr(optimize, "minimize", descend)
    centres = np.array([[-1.0, 0.0], [3.0, 0.0], [0.0, 4.0]])
    radius, places = casing._settled([2.0, 1.0, 0.5], centres)
    assert places == [(-1.0, 0.0), (3.0, 0.0), (0.0, 4.0)]
    assert radius > 3.5
    # The first two reach from -3 to 4.
    assert casing._settled([2.0, 1.0], centres[:2])[0] == pytest.approx(3.5)
    goal, start, given = asked[0]
    assert start.tolist() == [-0.5, 0.0, 1.5, 0.0, 0.0, 2.0, 3.0]
    assert goal(start) == 3.0
    assert given["jac"](start).tolist() == [0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0]
    assert given["bounds"] == [(None, None)] * 6 + [(1.0, None)]
    gaps, slopes = given["constraints"]["fun"], given["constraints"]["jac"]
    between = [4.0 - 1.5**2, 4.25 - 1.25**2, 6.25 - 0.75**2]
    from_wall = [2.0**2 - 0.25, 2.5**2 - 2.25, 2.75**2 - 4.0]
    np.testing.assert_allclose(gaps(start), between + from_wall)
    steps = 0.5 * np.eye(7)
    by_differences = np.array([gaps(start + step) - gaps(start - step) for step in steps]).T
    np.testing.assert_allclose(slopes(start), by_differences, atol=1e-12)


def test_bodies_that_overlap_are_moved_outwards_until_they_touch():
    """1 m apart they overlap by half; 4 m apart nothing is moved."""
    for apart, moved in ((1.0, 2.0), (4.0, 4.0)):
        both = [casing.Circle(side * 0.5 * apart, 0.0, 1.0) for side in (-1.0, 1.0)]
        assert [circle.x for circle in casing._apart(both)] == [-0.5 * moved, 0.5 * moved]
        assert [circle.radius for circle in casing._apart(both)] == [1.0, 1.0]


def test_each_third_start_has_the_largest_three_as_if_alone():
    """Four starts a body; all others anywhere within the spread."""
    laid = np.array([[0.0, 0.0], [3.0, 0.0], [0.0, 3.0]])
    starts = list(casing._starts(5, laid, 0.5))
    assert [each.shape for each in starts] == [(5, 2)] * 20
    for number, each in enumerate(starts):
        alone = np.allclose(each[:3], [[-1.0, -1.0], [2.0, -1.0], [-1.0, 2.0]])
        assert alone == (number in (0, 3, 6, 9, 12, 15, 18))
        anywhere = each[3:] if alone else each
        assert np.all(np.hypot(*anywhere.T) <= 0.5)
    every = np.concatenate([each[3:] for each in starts])
    assert (every > 0.0).any(axis=0).all()
    assert (every < 0.0).any(axis=0).all()
