"""Root finding inside a bracket, and the guards on arguments that the hydraulics share."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.types import Floats

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
    Source: Brent (1973), Algorithms for Minimization without Derivatives, ch. 4, in scipy.

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
    # Imported here: scipy.optimize alone costs some 0.3 s and many callers never solve.
    from scipy.optimize import brentq

    tolerance = relative_tolerance * abs(high - low)
    return float(brentq(function, low, high, xtol=tolerance, maxiter=_MOST_STEPS))


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
