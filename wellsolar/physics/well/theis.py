"""Drawdown of an aquifer in time by Theis, and the rules that come out of it.

One confined aquifer without end, of the same transmissivity everywhere; the well is a line. A
rate that changes is a sum of rates that begin, so recovery is a change to no flow. In the pumped
well itself the drawdown is greater by the well loss, and at first smaller by the casing's water.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any, Final

import numpy as np

from wellsolar.constants import DAY
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import FloatArray, Floats, plain

EULER: Final = 0.5772156649015329
"""Euler's constant [-]; exact to the digits given."""

GREATEST_STRAIGHT_U: Final = 0.1
"""Greatest u [-] at which the straight line is used; it is 5.4 % off there, 2 % at 0.05."""

WALL_TIMES: Final = (1e-6, 1e5)
"""T t / (S r2) [-] before which the well's wall is flat, and after which the well is a line."""

CONFINED_RULE: Final = 2000.0
"""Transmissivity in gpd/ft over the one-day specific capacity in gpm/ft; Theis et al. (1963)."""


def well_function(u: Floats) -> Floats:
    """Well function W(u) of Theis, the exponential integral.

    Parameters:
        u: r2 S / (4 T t), above 0 [-], scalar or array
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
    return plain(exp1(u))


def unit_response(
    elapsed: Floats, transmissivity: float, storage: float, radius: float
) -> FloatArray:
    """Drawdown for each unit of steady flow, zero before the flow begins.

    Parameters:
        elapsed: time since the flow began, negative before it [s], scalar or array
        transmissivity: transmissivity of the aquifer [m2/s], scalar
        storage: storage coefficient of the aquifer [-], scalar
        radius: distance from the well's axis [m], scalar
    Returns:
        drawdown over flow [s/m2], an array of the shape of elapsed
    Raises:
        OutOfRange: transmissivity, storage or radius not above zero
    Source: Theis (1935), Trans. Am. Geophys. Union 16:519: s/Q = W(u) / (4 pi T).
    """
    from scipy.special import exp1

    require_positive(transmissivity, "transmissivity", "m2/s")
    require_positive(storage, "storage coefficient", "")
    require_positive(radius, "distance from the well", "m")
    since = np.asarray(elapsed, dtype=float)
    u = np.full(since.shape, math.inf)
    at_one_second = radius * radius * storage / (4.0 * transmissivity)
    # Below the smallest time the division would overflow; W is zero there anyway.
    np.divide(at_one_second, since, out=u, where=since > at_one_second * 1e-3)
    response: FloatArray = exp1(u) / (4.0 * math.pi * transmissivity)
    return response


def theis_drawdown(
    flow: Floats, time: Floats, transmissivity: float, storage: float, radius: float
) -> Floats:
    """Drawdown of the aquifer at a distance from a well that is pumped steadily.

    Parameters:
        flow: steady flow out of the well [m3/s], scalar or array
        time: time since pumping began, 0 or more [s], scalar or array
        transmissivity: transmissivity of the aquifer [m2/s], scalar
        storage: storage coefficient of the aquifer [-], scalar
        radius: distance from the well's axis [m], scalar
    Returns:
        drawdown [m]
    Raises:
        OutOfRange: negative time; transmissivity, storage or radius not above zero
    Source: Theis (1935), Trans. Am. Geophys. Union 16:519.
    """
    require_range(time, 0.0, math.inf, "time since pumping began", "s")
    return plain(flow * unit_response(time, transmissivity, storage, radius))


def cooper_jacob_drawdown(
    flow: Floats, time: Floats, transmissivity: Floats, storage: Floats, radius: Floats
) -> Floats:
    """Drawdown by the straight line in the logarithm of time.

    Parameters:
        flow: steady flow out of the well [m3/s], scalar or array
        time: time since pumping began, long enough that u is 0.1 or less [s], scalar or array
        transmissivity: transmissivity of the aquifer [m2/s], scalar or array
        storage: storage coefficient of the aquifer [-], scalar or array
        radius: distance from the well's axis [m], scalar or array
    Returns:
        drawdown [m], 0.25 % low at u = 0.01, 2 % at 0.05, 5.4 % at 0.1
    Raises:
        OutOfRange: an argument not above zero, or too early for the straight line
    Source: Cooper and Jacob (1946), Trans. Am. Geophys. Union 27:526.
    """
    require_positive(time, "time since pumping began", "s")
    require_positive(transmissivity, "transmissivity", "m2/s")
    require_positive(storage, "storage coefficient", "")
    require_positive(radius, "distance from the well", "m")
    u = radius**2 * storage / (4.0 * transmissivity * time)
    require_range(u, 0.0, GREATEST_STRAIGHT_U, "u of the straight line", "")
    return plain(flow / (4.0 * math.pi * transmissivity) * (-EULER - np.log(u)))


def superposed_drawdown(
    time: Floats,
    change_times: Floats,
    flows: Floats,
    transmissivity: float,
    storage: float,
    radius: float,
) -> Floats:
    """Drawdown of the aquifer under a flow that changes in steps, recovery among them.

    Parameters:
        time: times at which the drawdown is wanted [s], scalar or array
        change_times: times at which the flow changes, rising [s], array or scalar
        flows: flow from each of these times on, 0 for a pump that stops [m3/s], array or scalar
        transmissivity: transmissivity of the aquifer [m2/s], scalar
        storage: storage coefficient of the aquifer [-], scalar
        radius: distance from the well's axis [m], scalar
    Returns:
        drawdown [m], zero before the first change
    Raises:
        OutOfRange: the two lists differ in length, or the times do not rise
    Source: superposition of Theis (1935); Kruseman and de Ridder (1994), ILRI 47, ch. 12
        (chapter from memory).
    """
    changes, steps = flow_steps(change_times, flows)
    elapsed = np.asarray(time, dtype=float)[..., np.newaxis] - changes
    return plain(unit_response(elapsed, transmissivity, storage, radius) @ steps)


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


def wall_response(
    elapsed: FloatArray, transmissivity: float, storage: float, radius: float
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
    Returns:
        drawdown over flow [s/m2], and its integral from the beginning on [s2/m2]
    Raises:
        OutOfRange: transmissivity, storage or radius not above zero
    Source: van Everdingen and Hurst (1949), Trans. AIME 186:305, constant terminal rate (from
        memory): K0(x) / (p x K1(x)), x = sqrt(p), in the Laplace domain; Talbot (1979) back.
    """
    require_positive(transmissivity, "transmissivity", "m2/s")
    require_positive(storage, "storage coefficient", "")
    require_positive(radius, "radius of the well", "m")
    second = transmissivity / (storage * radius**2)
    start, end = WALL_TIMES
    times = elapsed * second
    response, integral = np.zeros(times.shape), np.zeros(times.shape)
    early, late = (times > 0.0) & (times < start), times > end
    between = (times >= start) & ~late
    response[early] = 2.0 * np.sqrt(times[early] / math.pi)
    integral[early] = response[early] * times[early] * 2.0 / 3.0
    splines, beyond = _wall_splines()
    response[between], integral[between] = np.exp(splines(np.log(times[between]))).T
    if late.any():
        response[late], integral[late] = _line_source(times[late])
        integral[late] += beyond
    unit = 1.0 / (2.0 * math.pi * transmissivity)
    return response * unit, integral * (unit / second)


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
        0.4 * (weight * each / times).real.sum(axis=1) for each in (transform, transform / p)
    ]
    splines = CubicSpline(logarithms, np.log(np.column_stack(values)))
    offset = values[1][-1] - _line_source(times[-1])[1][0]
    return splines, float(offset)


def thiem_transmissivity(
    flow: Floats, radius_1: Floats, drawdown_1: Floats, radius_2: Floats, drawdown_2: Floats
) -> Floats:
    """Transmissivity from the settled drawdowns at two distances.

    Parameters:
        flow: steady flow out of the well [m3/s], scalar or array
        radius_1: distance of the nearer point from the well's axis [m], scalar or array
        drawdown_1: drawdown at the nearer point [m], scalar or array
        radius_2: distance of the farther point [m], scalar or array
        drawdown_2: drawdown at the farther point, less than at the nearer [m], scalar or array
    Returns:
        transmissivity [m2/s]
    Raises:
        OutOfRange: a flow or radius not above zero, the second point not farther, or its
            drawdown not less
    Source: Thiem (1906); Kruseman and de Ridder (1994), ILRI 47, ch. 3 (chapter from memory).

    >>> thiem_transmissivity(9.12e-3, 0.8, 2.236, 30.0, 1.088) * 1e3
    4.58
    """
    require_positive(flow, "flow", "m3/s")
    require_positive(radius_1, "distance of the nearer point", "m")
    require_positive(radius_2 - radius_1, "distance between the two points", "m")
    require_positive(drawdown_1 - drawdown_2, "difference of the two drawdowns", "m")
    ratio = np.log(radius_2 / radius_1)
    return plain(flow * ratio / (2.0 * math.pi * (drawdown_1 - drawdown_2)))


def transmissivity_from_specific_capacity(specific_capacity: Floats) -> Floats:
    """Rough transmissivity of a confined aquifer from one day's specific capacity.

    A rule of thumb, good to a factor of 1.5 at best; well loss makes it too small.

    Parameters:
        specific_capacity: flow for each metre of drawdown after a day [m2/s], scalar or array
    Returns:
        transmissivity [m2/s]
    Raises:
        OutOfRange: specific capacity not above zero
    Source: Theis, Brown and Meyer (1963), USGS WSP 1536-I: T in gpd/ft is 2000 times gpm/ft
        (as later texts quote it).
    """
    require_positive(specific_capacity, "specific capacity", "m2/s")
    minute = 60.0
    return CONFINED_RULE * specific_capacity * minute / DAY
