"""Drawdown of an aquifer by Theis: the well function, and the response of a well with a wall.

One confined aquifer without end, of the same transmissivity everywhere; the well is a line. A
rate that changes is a sum of rates that begin, so recovery is a change to no flow. In the pumped
well itself the drawdown is greater by the well loss, and at first smaller by the casing's water.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final, TypeAlias

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

NOTHING_YET: Final = 2.5e-3
"""T t / (S r2) [-] of a line before which its drawdown is nothing: W(100) is 4e-46."""

Rows: TypeAlias = Sequence[Sequence[float]] | FloatArray
"""A table's rows: lists, or an array where a kernel is compiled."""


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


def aquifer_numbers(
    transmissivity: float, storage: float, radius: float, boundary: Boundary | None = None
) -> tuple[float, float, float, float]:
    """What `response_at` must know of an aquifer.

    Parameters:
        transmissivity: transmissivity of the aquifer [m2/s], scalar
        storage: storage coefficient of the aquifer [-], scalar
        radius: radius of the well [m], scalar
        boundary: of the aquifer [its fields' units]; None for one without end
    Returns:
        drawdown over flow that is a dimensionless drawdown of 1 [s/m2]; T / (S r2) of the well
        and of its image [1/s]; strength of the image [-]
    Raises:
        OutOfRange: transmissivity, storage or radius not above zero
    Source: see response_at.
    """
    require_positive(transmissivity, "transmissivity", "m2/s")
    require_positive(storage, "storage coefficient", "")
    require_positive(radius, "radius of the well", "m")
    unit = 1.0 / (2.0 * math.pi * transmissivity)
    rate = transmissivity / (storage * radius**2)
    if boundary is None:
        return unit, rate, rate, 0.0
    return unit, rate, 1.0 / (4.0 * BOUNDARY_U * boundary.time), boundary.strength


def response_at(
    elapsed: float, numbers: Sequence[float], wall: Rows, line: Rows
) -> tuple[float, float]:
    """Drawdown at the wall of the well for each unit of steady inflow, and its integral.

    Theis makes the well a line, whose level at its wall lags behind its flow: the inflow that a
    level draws can't be found from that. Here the flow enters through the wall; later than about
    a hundred times r2 S / T the two are the same. Numbers alone, as kernels call it.

    Parameters:
        elapsed: time since the inflow began, zero or negative before it [s], scalar
        numbers: of the aquifer [aquifer_numbers' units], 4 floats
        wall: table of the well with a wall [-], of `tables`
        line: table of the line that its image is [-], of the same
    Returns:
        drawdown over flow [s/m2], and its integral from the beginning on [s2/m2]
    Source: van Everdingen and Hurst (1949), Trans. AIME 186:305, constant terminal rate (from
        memory): K0(x) / (p x K1(x)), x = sqrt(p), in the Laplace domain; Talbot (1979) back. The
        boundary by an image well: Ferris, Knowles, Brown and Stallman (1962), Theory of aquifer
        tests, USGS WSP 1536-E (from memory).
    """
    if elapsed <= 0.0:
        return 0.0, 0.0
    unit, rate, image_rate, strength = numbers[0], numbers[1], numbers[2], numbers[3]
    time = elapsed * rate
    if time < WALL_TIMES[0]:
        response = 2.0 * math.sqrt(time / math.pi)
        integral = response * time * 2.0 / 3.0
    else:
        response, integral = _read(time, wall)
    response, integral = response * unit, integral * (unit / rate)
    if strength != 0.0 and elapsed * image_rate >= NOTHING_YET:
        of_image, whole = _read(elapsed * image_rate, line)
        response += strength * unit * of_image
        integral += strength * (unit / image_rate) * whole
    return response, integral


def _read(time: float, table: Rows) -> tuple[float, float]:
    """Both columns of a table at one time, from its first on; the line's own behind its end."""
    head = table[0]
    if time > head[2]:
        # The exponential integral by its series, whose next term is below 2e-12 here.
        u = 0.25 / time
        function = u - EULER - math.log(u)
        return 0.5 * function, head[3] + 0.5 * time * ((1.0 + u) * function - math.exp(-u))
    way = (math.log(time) - head[0]) / head[1]
    piece = min(int(way), len(table) - 2)
    row, part = table[piece + 1], way - piece
    return (
        math.exp(row[0] + part * (row[1] + part * (row[2] + part * row[3]))),
        math.exp(row[4] + part * (row[5] + part * (row[6] + part * row[7]))),
    )


def boundary_function(elapsed: float, boundary: Boundary | None) -> float:
    """What a boundary adds to the well function.

    Parameters:
        elapsed: time since pumping began, above 0 [s], scalar
        boundary: of the aquifer [its fields' units]; None for one without end
    Returns:
        strength times W at the image well [-]
    Raises:
        OutOfRange: a time not above zero
    Source: image wells, see response_at.
    """
    if boundary is None:
        return 0.0
    u = BOUNDARY_U * boundary.time / elapsed
    return boundary.strength * well_function(u)


@cache
def tables(machine: bool = False) -> tuple[Rows, Rows]:
    """Logarithms of drawdown and integral over that of T t / (S r2), by cubic splines.

    Parameters:
        machine: for a kernel in machine code, which wants arrays; plain Python reads lists
            faster [-]
    Returns:
        the table of the well with a wall, and that of the line that its image is [-]: in the
        first row the first logarithm, the step, the last time and what the integral has over
        that of a line behind it; then eight coefficients of each piece, by rising powers of the
        part of the step
    Source: see response_at; scipy's splines, Bessel functions and exponential integral.
    """
    from scipy.special import exp1, kve

    logarithms = np.linspace(math.log(WALL_TIMES[0]), math.log(WALL_TIMES[1]), 601)
    order = 24
    angle = np.arange(1, order) * (math.pi / order)
    turn = 1.0 / np.tan(angle)
    place = np.concatenate(([complex(0.4 * order)], 0.4 * order * angle * (turn + 1j)))
    weight = np.exp(place)
    weight[0] *= 0.5
    weight[1:] *= 1.0 + 1j * angle * (1.0 + turn**2) - 1j * turn
    times = np.exp(logarithms)[:, np.newaxis]
    p = place / times
    root = np.sqrt(p)
    transform = kve(0, root) / (p * root * kve(1, root))
    walled = [
        0.4 * (weight * image / times).real.sum(axis=1) for image in (transform, transform / p)
    ]
    shown = np.linspace(math.log(NOTHING_YET), math.log(WALL_TIMES[1]), 601)
    u = 0.25 / np.exp(shown)
    function = exp1(u)
    lined = [0.5 * function, 0.125 / u * ((1.0 + u) * function - np.exp(-u))]
    beyond = float(walled[1][-1] - lined[1][-1])
    both = _rows(logarithms, walled, beyond), _rows(shown, lined, 0.0)
    return both if machine else (both[0].tolist(), both[1].tolist())


def _rows(logarithms: FloatArray, values: list[FloatArray], beyond: float) -> FloatArray:
    """A table as `tables` has it."""
    from scipy.interpolate import CubicSpline

    step = logarithms[1] - logarithms[0]
    # scipy has the highest power first, of the way itself and not of its part of the step.
    pieces = CubicSpline(logarithms, np.log(np.column_stack(values))).c[::-1]
    rows = np.zeros((len(logarithms), 8))
    rows[0, :4] = logarithms[0], step, math.exp(logarithms[-1]), beyond
    for power in range(4):
        rows[1:, power], rows[1:, 4 + power] = (pieces[power] * step**power).T
    return rows
