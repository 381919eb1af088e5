"""Root finding inside a bracket, and the guards on arguments that the hydraulics share."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.types import Floats

EPSILON: Final = math.ulp(1.0)
"""Gap between 1 and the next double [-]; exact by definition."""

_MOST_STEPS: Final = 2500
"""Brent's bound on steps, the square of the bisections to 1e-15; a handful is usual."""


def bracketed_root(
    function: Callable[[float], float],
    low: float,
    high: float,
    quantity: str = "root",
    unit: str = "",
    relative_tolerance: float = 1e-13,
) -> float:
    """Where a continuous function crosses zero between two bounds.

    Parameters:
        function: function of one float whose zero is wanted [callable, float to float], scalar
        low: lower end of the bracket [its own unit], scalar
        high: upper end of the bracket [its own unit], scalar
        quantity: name of the unknown, for the error message [text]
        unit: unit of the unknown, for the error message [text]
        relative_tolerance: accepted error as a part of the bracket's width [-], scalar
    Returns:
        the unknown at which `function` is zero [its own unit]
    Raises:
        OutOfRange: the function has the same sign at both ends, so nothing is bracketed
    Source: Brent (1973), Algorithms for Minimization without Derivatives, ch. 4 (from memory).

    >>> bracketed_root(lambda x: x * x - 2.0, 1.0, 2.0)
    1.41421356
    """
    at_low, at_high = function(low), function(high)
    if at_low == 0.0:
        return low
    if at_high == 0.0:
        return high
    if not (at_low < 0.0 < at_high or at_high < 0.0 < at_low):
        raise OutOfRange(
            f"no {quantity} between {low:g} and {high:g} {unit}".rstrip()
            + f": the balance is {at_low:g} at the one end and {at_high:g} at the other"
        )
    tolerance = relative_tolerance * abs(high - low)
    return _between(function, (low, at_low), (high, at_high), tolerance)


def _between(
    function: Callable[[float], float],
    before: tuple[float, float],
    best: tuple[float, float],
    tolerance: float,
) -> float:
    """The root between two places, each with its value of the other sign.

    Halving, unless a line or a parabola through the last places leads well into the bracket and
    by less than half of the step before the last. scipy has the same; it takes 0.2 s to import.
    """
    (a, at_a), (b, at_b) = before, best  # b is the best so far, a the one before it
    c, at_c = a, at_a  # the other end of the bracket
    step = last_step = b - a
    for _ in range(_MOST_STEPS):
        if abs(at_c) < abs(at_b):
            a, b, c = b, c, b
            at_a, at_b, at_c = at_b, at_c, at_b
        least = 0.5 * tolerance + 2.0 * EPSILON * abs(b)
        half = 0.5 * (c - b)
        if abs(half) <= least or at_b == 0.0:
            return b
        proposed = half
        if abs(last_step) >= least and abs(at_a) > abs(at_b):
            towards = _interpolated(a - b, c - b, at_a, at_b, at_c)
            beyond = 1.5 * abs(half) - 0.5 * least
            if towards / half > 0.0 and abs(towards) < min(beyond, 0.5 * abs(last_step)):
                proposed = towards
        last_step, step = (half, half) if proposed == half else (step, proposed)
        a, at_a = b, at_b
        b += step if abs(step) > least else math.copysign(least, half)
        at_b = function(b)
        if (at_b > 0.0) == (at_c > 0.0):
            c, at_c = a, at_a
            step = last_step = b - a
    raise OutOfRange(f"no root was closed in upon in {_MOST_STEPS} steps: the best is {b:g}")


def _interpolated(a: float, c: float, at_a: float, at_b: float, at_c: float) -> float:
    """From the best place, here 0, to the zero of a line through it and one other, or of an
    inverse parabola through all three; 0 where there is none."""
    s = at_b / at_a
    if a == c:
        return s * a / (s - 1.0) if s != 1.0 else 0.0
    q, r = at_a / at_c, at_b / at_c
    bottom = (q - 1.0) * (r - 1.0) * (s - 1.0)
    return -s * (c * q * (q - r) + a * (r - 1.0)) / bottom if bottom != 0.0 else 0.0


def require_range(value: Floats, least: float, greatest: float, quantity: str, unit: str) -> None:
    """Refuse a value (or an array with any value) outside a closed range, NaN included.

    Parameters:
        value: what is checked [its own unit], scalar or array
        least: least value allowed [its own unit], scalar
        greatest: greatest value allowed [its own unit], scalar
        quantity: name of the quantity, for the error message [text]
        unit: unit, for the error message [text]
    Returns:
        nothing [-]
    Raises:
        OutOfRange: a value lies outside; the message names quantity, value and range
    Source: none needed, a guard.
    """
    if isinstance(value, (int, float)):
        if least <= value <= greatest:
            return
        worst = float(value)
    else:
        outside = np.asarray(value)[~((value >= least) & (value <= greatest))]
        if outside.size == 0:
            return
        worst = float(outside.flat[0])
    allowed = f"{least:g} {unit}".rstrip() + " or more"
    if greatest != float("inf"):
        allowed = f"{least:g} to {greatest:g} {unit}".rstrip()
    raise OutOfRange(f"{_named(quantity, worst, unit)}, allowed is {allowed}")


def require_positive(value: Floats, quantity: str, unit: str) -> None:
    """Refuse a value (or an array with any value) that is not above zero, NaN included.

    Parameters:
        value: what is checked [its own unit], scalar or array
        quantity: name of the quantity, for the error message [text]
        unit: unit, for the error message [text]
    Returns:
        nothing [-]
    Raises:
        OutOfRange: a value is zero or below; the message names quantity and value
    Source: none needed, a guard.
    """
    if isinstance(value, (int, float)):
        if value > 0.0:
            return
        worst = float(value)
    else:
        refused = np.asarray(value)[~(value > 0.0)]
        if refused.size == 0:
            return
        worst = float(refused.flat[0])
    raise OutOfRange(f"{_named(quantity, worst, unit)}, allowed is above 0 {unit}".rstrip())


def _named(quantity: str, value: float, unit: str) -> str:
    return f"{quantity} is {value:g} {unit}".rstrip()
