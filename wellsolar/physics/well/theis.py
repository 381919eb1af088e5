"""Drawdown of an aquifer by Theis: the well function, and the response of a well with a wall.

One confined aquifer without end, of the same transmissivity everywhere; the well is a line. A
rate that changes is a sum of rates that begin, so recovery is a change to no flow. In the pumped
well itself the drawdown is greater by the well loss, and at first smaller by the casing's water.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

import numpy as np

from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import FloatArray, Floats

EULER: Final = 0.5772156649015329
"""Euler's constant [-]; exact to the digits given."""

BOUNDARY_U: Final = math.exp(-EULER)
"""u [-] of the image well at the time when a boundary begins to show: there the straight line of
its drawdown against the logarithm of time leaves zero, as Cooper and Jacob (1946) have it."""

WALL_TIMES: Final = (1e-6, 1e5)
"""T t / (S r2) [-] before which the well's wall is flat, and after which the well is a line."""


def well_function(u: float) -> float:
    """Well function W(u) of Theis, the exponential integral.

    Parameters:
        u: r2 S / (4 T t), above 0 [-], scalar
    Returns:
        W(u) [-]
    Raises:
        OutOfRange: u not above zero
    Source: Theis (1935), Trans. Am. Geophys. Union 16:519; table by Wenzel (1942), USGS WSP 887
        (from memory); computed by scipy's exp1.

    >>> well_function(0.01)
    4.038
    """
    from scipy.special import exp1

    require_positive(u, "u of the well function", "")
    return float(exp1(u))


def flow_steps(change_times: Floats, flows: Floats) -> tuple[FloatArray, FloatArray]:
    """Times at which the flow changes, and by how much.

    Parameters:
        change_times: times at which the flow changes, rising [s], array or scalar
        flows: flow from each of these times on [m3/s], array or scalar
    Returns:
        the times [s], and the flow's change at each [m3/s]
    Raises:
        OutOfRange: the two lists differ in length, or the times do not rise
    Source: definition of superposition.
    """
    changes = np.atleast_1d(np.asarray(change_times, dtype=float))
    rates = np.atleast_1d(np.asarray(flows, dtype=float))
    require_range(
        float(rates.size), float(changes.size), float(changes.size), "number of flows", ""
    )
    if changes.size > 1:
        require_positive(np.diff(changes), "time between two changes of flow", "s")
    return changes, np.diff(rates, prepend=0.0)


@dataclass(frozen=True)
class Boundary:
    """A boundary of the aquifer, as the image well that stands for it.

    strength: flow of the image over that of the well [-]: 1 for a barrier, which doubles the
    trend of the drawdown, -1 for a stream or lake, which ends it. time: when it begins to show [s]
    """

    strength: float
    time: float


def wall_response(
    elapsed: FloatArray,
    transmissivity: float,
    storage: float,
    radius: float,
    boundary: Boundary | None = None,
) -> tuple[FloatArray, FloatArray]:
    """Drawdown at the wall of the well for each unit of steady inflow, and its integral.

    Theis makes the well a line, whose level at its wall lags behind its flow: the inflow that a
    level draws can't be found from that. Here the flow enters through the wall; later than about
    a hundred times r2 S / T the two are the same.

    Parameters:
        elapsed: time since the inflow began, zero or negative before it [s], array
        transmissivity: transmissivity of the aquifer [m2/s], scalar
        storage: storage coefficient of the aquifer [-], scalar
        radius: radius of the well [m], scalar
        boundary: of the aquifer [its fields' units]; None for one without end
    Returns:
        drawdown over flow [s/m2], and its integral from the beginning on [s2/m2]
    Raises:
        OutOfRange: transmissivity, storage or radius not above zero
    Source: van Everdingen and Hurst (1949), Trans. AIME 186:305, constant terminal rate (from
        memory): K0(x) / (p x K1(x)), x = sqrt(p), in the Laplace domain; Talbot (1979) back. The
        boundary by an image well: Ferris, Knowles, Brown and Stallman (1962), Theory of aquifer
        tests, USGS WSP 1536-E (from memory).
    """
    require_positive(transmissivity, "transmissivity", "m2/s")
    require_positive(storage, "storage coefficient", "")
    require_positive(radius, "radius of the well", "m")
    second = transmissivity / (storage * radius**2)
    start, end = WALL_TIMES
    times = elapsed * second
    response, integral = np.zeros(times.shape), np.zeros(times.shape)
    walled, late = times >= start, times > end
    between = walled ^ late
    if not walled.all():
        early = (times > 0.0) & ~walled
        response[early] = 2.0 * np.sqrt(times[early] / math.pi)
        integral[early] = response[early] * times[early] * 2.0 / 3.0
    splines, beyond = _wall_splines()
    response[between], integral[between] = np.exp(splines(np.log(times[between]))).T
    if late.any():
        response[late], integral[late] = _line_source(times[late])
        integral[late] += beyond
    unit = 1.0 / (2.0 * math.pi * transmissivity)
    response, integral = response * unit, integral * (unit / second)
    if boundary is not None and boundary.strength != 0.0:
        rate = 1.0 / (4.0 * BOUNDARY_U * boundary.time)
        shown = elapsed > 0.0
        image, of_image = _line_source(elapsed[shown] * rate)
        response[shown] += boundary.strength * unit * image
        integral[shown] += boundary.strength * (unit / rate) * of_image
    return response, integral


def boundary_function(elapsed: float, boundary: Boundary | None) -> float:
    """What a boundary adds to the well function.

    Parameters:
        elapsed: time since pumping began, above 0 [s], scalar
        boundary: of the aquifer [its fields' units]; None for one without end
    Returns:
        strength times W at the image well [-]
    Raises:
        OutOfRange: a time not above zero
    Source: image wells, see wall_response.
    """
    if boundary is None:
        return 0.0
    u = BOUNDARY_U * boundary.time / elapsed
    return boundary.strength * well_function(u)


def _line_source(times: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Half the well function at T t / (S r2), and its integral over that."""
    from scipy.special import exp1

    u = 0.25 / times
    function = exp1(u)
    return 0.5 * function, 0.5 * times * ((1.0 + u) * function - np.exp(-u))


@cache
def _wall_splines() -> tuple[Any, float]:
    """Splines of both logarithms over that of T t / (S r2), and the later integral's offset."""
    from scipy.interpolate import CubicSpline
    from scipy.special import kve

    logarithms = np.linspace(math.log(WALL_TIMES[0]), math.log(WALL_TIMES[1]), 301)
    order = 24
    angle = np.arange(1, order) * (math.pi / order)
    turn = 1.0 / np.tan(angle)
    place = np.concatenate(([0.4 * order + 0j], 0.4 * order * angle * (turn + 1j)))
    weight = np.exp(place)
    weight[0] *= 0.5
    weight[1:] *= 1.0 + 1j * angle * (1.0 + turn**2) - 1j * turn
    times = np.exp(logarithms)[:, np.newaxis]
    p = place / times
    root = np.sqrt(p)
    transform = kve(0, root) / (p * root * kve(1, root))
    values = [
        0.4 * (weight * image / times).real.sum(axis=1) for image in (transform, transform / p)
    ]
    splines = CubicSpline(logarithms, np.log(np.column_stack(values)))
    offset = values[1][-1] - _line_source(times[-1])[1][0]
    return splines, float(offset)
