"""Fit in the casing: the smallest circle round all that hangs side by side at a depth.

Every body is a straight round cylinder, hung anywhere in the bore, and each depth is packed on
its own, so that what fails here fails in the well; a crooked hole asks for more. A flat cable
counts as a circle of its width, which holds it however it turns; one of its area is hopeful.
Where a body is to pass others on its way down, give it the top 0.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, cycle, pairwise
from typing import Any, Final

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import FloatArray

MOST_BODIES: Final = 8
"""Most bodies side by side [-]: up to there the search finds the published optima."""

_STARTS_PER_BODY: Final = 4
"""Starts of the search for each body [-]; with the swaps the published optima need no more."""

_SEARCH_TOLERANCE: Final = 1e-6
"""Relative tolerance [-] on a diameter that comes out of the search."""

_ROUND_OFF: Final = 1e-12
"""Relative round-off [-] within which a fit to the last digit is a fit."""

Point = tuple[float, float]
_Arrangement = tuple[float, list[Point]]


@dataclass(frozen=True)
class Circle:
    """A circle in the cross-section of the well: centre x, y [m] and radius [m]."""

    x: float
    y: float
    radius: float


@dataclass(frozen=True)
class Packing:
    """Circles side by side in a bore.

    bore: diameter of the circle round all [m]; circles: as placed about its centre, in the order
    they were given [m].
    """

    bore: float
    circles: tuple[Circle, ...]


@dataclass(frozen=True)
class Body:
    """Something that hangs in the well.

    name: what it is called; diameter: its greatest, couplings and cable guard included [m].
    top, bottom: depths of its ends, the bottom below the top [m].
    """

    name: str
    diameter: float
    top: float
    bottom: float

    def __post_init__(self) -> None:
        require_positive(self.diameter, f"diameter of {self.name}", "m")
        require_positive(self.bottom - self.top, f"length of {self.name}", "m")


@dataclass(frozen=True)
class Section:
    """What hangs side by side between two depths.

    top, bottom: the depths [m]; bodies: names, in the order of `layout`.
    layout: the tightest way to place them, its `bore` without any clearance.
    needed_bore: bore of the layout and the clearance asked for [m].
    clearance: what the casing has over the layout, negative where they do not fit [m].
    fits: the clearance is that asked for or more.
    """

    top: float
    bottom: float
    bodies: tuple[str, ...]
    layout: Packing
    needed_bore: float
    clearance: float
    fits: bool


def enclosing_circle(circles: Sequence[Circle]) -> Circle:
    """The smallest circle round circles that stand where they stand.

    It touches one, two or three of them, so that trying all of those finds it exactly.

    Parameters:
        circles: centres and radii [m], one or more, array
    Returns:
        centre and radius [m]
    Raises:
        OutOfRange: no circle is given, or a radius is below zero
    Source: problem of Apollonius; Fischer and Gaertner (2003), The smallest enclosing ball of
        balls: at most three circles in the plane hold it (from memory).

    >>> enclosing_circle([Circle(-1.0, 0.0, 1.0), Circle(2.0, 0.0, 2.0)]).radius
    3.0
    """
    if not circles:
        raise OutOfRange("an enclosing circle needs one or more circles, given is none")
    for circle in circles:
        require_range(circle.radius, 0.0, math.inf, "radius", "m")
    centres = [(circle.x, circle.y) for circle in circles]
    centres += [_between(a, b) for a, b in combinations(circles, 2)]
    for three in combinations(circles, 3):
        centres += _touching_three(*three)
    radius, (x, y) = min((_reach(centre, circles), centre) for centre in centres)
    return Circle(x, y, radius)


def _reach(centre: Point, circles: Sequence[Circle]) -> float:
    """Radius round a centre that holds all circles."""
    return max(math.hypot(c.x - centre[0], c.y - centre[1]) + c.radius for c in circles)


def _between(a: Circle, b: Circle) -> Point:
    """Centre of the circle whose diameter runs through both to their far sides."""
    distance = math.hypot(b.x - a.x, b.y - a.y)
    share = 0.5 * (1.0 + (b.radius - a.radius) / distance) if distance > 0.0 else 0.0
    return a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)


def _touching_three(a: Circle, b: Circle, c: Circle) -> list[Point]:
    """Centres of the circles that touch three from outside them.

    |p - p_i| = R - r_i squared, less the first of the three, is linear in p and R.
    """
    bx, by, br = b.x - a.x, b.y - a.y, b.radius - a.radius
    cx, cy, cr = c.x - a.x, c.y - a.y, c.radius - a.radius
    area = bx * cy - by * cx
    if abs(area) <= _ROUND_OFF * math.hypot(bx, by) * math.hypot(cx, cy):
        return []  # centres on one line: two of the three hold the circle already
    b0, c0 = (bx**2 + by**2 - br**2) / 2.0, (cx**2 + cy**2 - cr**2) / 2.0
    # With S = R - r_a: p = p_a + (u + v S).
    ux, uy = (b0 * cy - c0 * by) / area, (bx * c0 - cx * b0) / area
    vx, vy = (br * cy - cr * by) / area, (bx * cr - cx * br) / area
    roots = _quadratic_roots(vx**2 + vy**2 - 1.0, ux * vx + uy * vy, ux**2 + uy**2)
    return [(a.x + ux + vx * root, a.y + uy + vy * root) for root in roots if root > 0.0]


def _quadratic_roots(a: float, half_b: float, c: float) -> list[float]:
    """Real roots of a x^2 + 2 half_b x + c, without loss by cancellation."""
    if (inside := half_b**2 - a * c) < 0.0:
        return []
    whole = -(half_b + math.copysign(math.sqrt(inside), half_b))
    return ([whole / a] if a != 0.0 else []) + ([c / whole] if whole != 0.0 else [])


def smallest_bore(diameters: Sequence[float]) -> Packing:
    """The smallest circle in which round bodies find room side by side.

    Up to three bodies exactly; above that by search from fixed starts and by swapping places,
    good to 1e-9 where it finds the best arrangement, as it does for the published ones.

    Parameters:
        diameters: diameters of the bodies, one to eight [m], array
    Returns:
        bore and places [m]
    Raises:
        OutOfRange: none or more than eight bodies, or a diameter not above zero
    Source: three by Descartes' theorem, as in Soddy (1936), The kiss precise, Nature 137:1021
        (from memory); equal bodies: Kravitz (1967), Packing cylinders into cylindrical
        containers, Mathematics Magazine 40:65.

    >>> smallest_bore([1.0, 1.0, 1.0]).bore
    2.1547
    """
    _require_bodies(diameters)
    order = sorted(range(len(diameters)), key=lambda index: -diameters[index])
    radii = [0.5 * diameters[index] for index in order]
    packing = _first_three(radii) if len(radii) <= 3 else _search(radii)
    places = sorted(zip(order, packing, radii, strict=True))
    placed = _apart([Circle(*place, radius) for _, place, radius in places])
    around = enclosing_circle(placed)
    moved = tuple(
        Circle(circle.x - around.x, circle.y - around.y, circle.radius) for circle in placed
    )
    return Packing(2.0 * around.radius, moved)


_packed = lru_cache(maxsize=512)(smallest_bore)  # what fits is searched on the same bodies


def _require_bodies(diameters: Sequence[float]) -> None:
    if not 1 <= len(diameters) <= MOST_BODIES:
        raise OutOfRange(
            f"number of bodies side by side is {len(diameters)}, allowed is 1 to {MOST_BODIES}"
        )
    for diameter in diameters:
        require_positive(diameter, "diameter", "m")


def _first_three(radii: Sequence[float]) -> list[Point]:
    """Best places of the largest three bodies, each touching the two before it.

    Where the third is small the two before it set the bore, and it lies in the gap beside them.
    """
    places: list[Point] = [(0.0, 0.0)]
    if len(radii) > 1:
        places.append((radii[0] + radii[1], 0.0))
    if len(radii) > 2:
        a, b = radii[0] + radii[2], radii[1] + radii[2]
        side = radii[0] + radii[1]
        along = (a**2 - b**2 + side**2) / (2.0 * side)
        places.append((along, math.sqrt(max(a**2 - along**2, 0.0))))
    return places


def _apart(circles: Sequence[Circle]) -> list[Circle]:
    """The same circles moved outwards until none overlaps, by the search's round-off."""
    ratios = [
        (a.radius + b.radius) / math.hypot(a.x - b.x, a.y - b.y)
        for a, b in combinations(circles, 2)
    ]
    stretch = max([1.0, *ratios])
    return [Circle(stretch * circle.x, stretch * circle.y, circle.radius) for circle in circles]


def sections(
    bodies: Sequence[Body], casing_bore: float, least_clearance: float
) -> tuple[Section, ...]:
    """What hangs side by side, between each end of a body and the next.

    Parameters:
        bodies: all that hangs in the well, with diameters and depths [m], one or more, array
        casing_bore: inside diameter of the casing or open hole [m], scalar
        least_clearance: clearance to keep, as a difference of diameters [m], scalar
    Returns:
        sections from the top down, empty depths left out [m]
    Raises:
        OutOfRange: no body, bore not above zero, negative clearance, over eight bodies at a depth
    Source: geometry.
    """
    if not bodies:
        raise OutOfRange("a section of the well needs one or more bodies, given is none")
    require_positive(casing_bore, "casing bore", "m")
    require_range(least_clearance, 0.0, math.inf, "clearance", "m")
    ends = sorted({body.top for body in bodies} | {body.bottom for body in bodies})
    crossings = []
    for top, bottom in pairwise(ends):
        there = [body for body in bodies if body.top <= top and body.bottom >= bottom]
        if not there:
            continue
        layout = _packed(tuple(body.diameter for body in there))
        names = tuple(body.name for body in there)
        needed = layout.bore + least_clearance
        fits = needed <= casing_bore * (1.0 + _ROUND_OFF)
        clearance = casing_bore - layout.bore
        crossings.append(Section(top, bottom, names, layout, needed, clearance, fits))
    return tuple(crossings)


def _search(radii: Sequence[float]) -> list[Point]:
    """Best places found for radii that fall."""
    laid = _first_three(radii)
    three = [Circle(*place, r) for place, r in zip(laid, radii, strict=False)]
    floor = enclosing_circle(three).radius
    tried = []
    for start in _starts(len(radii), np.asarray(laid), floor):
        tried.append(_settled(radii, start))
        if tried[-1][0] <= floor * (1.0 + _ROUND_OFF):
            return tried[-1][1]  # no arrangement of all is smaller than that of three
    return min(_swapped(radii, swap) for swap in sorted(tried)[:2])[1]


def _starts(count: int, laid: FloatArray, spread: float) -> Iterator[FloatArray]:
    """Fixed places to start from: each third time the largest as if alone, the rest anywhere."""
    random = np.random.default_rng(count)
    for number in range(_STARTS_PER_BODY * count):
        angle = random.uniform(0.0, 2.0 * math.pi, count)
        distance = spread * np.sqrt(random.uniform(size=count))
        places = np.column_stack([distance * np.cos(angle), distance * np.sin(angle)])
        if number % 3 == 0:
            places[: len(laid)] = laid - laid.mean(axis=0)
        yield places


def _swapped(radii: Sequence[float], best: _Arrangement) -> _Arrangement:
    """An arrangement that no exchange of two bodies makes smaller."""
    pairs = [(a, b) for a, b in combinations(range(len(radii)), 2) if radii[a] != radii[b]]
    failed = 0  # one after the other, each from the best of now
    for a, b in cycle(pairs):
        if failed == len(pairs):
            break
        places = np.array(best[1])
        places[[a, b]] = places[[b, a]]
        new = _settled(radii, places)
        failed += 1
        if new[0] < best[0] * (1.0 - _SEARCH_TOLERANCE):
            best, failed = new, 0
    return best


def _settled(radii: Sequence[float], start: FloatArray) -> _Arrangement:
    """Radius and places after a descent from one start; the unknowns are x, y of each, radius."""
    from scipy.optimize import minimize

    descend: Any = minimize
    scale, count = max(radii), len(radii)
    r = np.asarray(radii) / scale
    first, second = np.triu_indices(count, 1)
    pair, wall = np.arange(len(first)), len(first) + np.arange(count)

    def gaps(unknown: FloatArray) -> FloatArray:
        places, bore = unknown[:-1].reshape(count, 2), unknown[-1]
        apart = np.sum((places[first] - places[second]) ** 2, axis=1) - (r[first] + r[second]) ** 2
        return np.concatenate([apart, (bore - r) ** 2 - np.sum(places**2, axis=1)])

    def slopes(unknown: FloatArray) -> FloatArray:
        places, bore = unknown[:-1].reshape(count, 2), unknown[-1]
        slope = np.zeros((len(first) + count, 2 * count + 1))
        for axis in (0, 1):
            away = 2.0 * (places[first, axis] - places[second, axis])
            slope[pair, 2 * first + axis], slope[pair, 2 * second + axis] = away, -away
            slope[wall, 2 * np.arange(count) + axis] = -2.0 * places[:, axis]
        slope[wall, -1] = 2.0 * (bore - r)
        return slope

    least = np.append(np.zeros(2 * count), 1.0)
    descended = descend(
        lambda unknown: unknown[-1],
        np.append(start.ravel() / scale, count),
        jac=lambda _: least,
        method="SLSQP",
        bounds=[(None, None)] * (2 * count) + [(1.0, None)],
        constraints={"type": "ineq", "fun": gaps, "jac": slopes},
        options={"maxiter": 100, "ftol": 1e-10},
    )
    places = [(scale * x, scale * y) for x, y in descended.x[:-1].reshape(count, 2).tolist()]
    circles = [Circle(*place, radius) for place, radius in zip(places, radii, strict=True)]
    return enclosing_circle(_apart(circles)).radius, places
