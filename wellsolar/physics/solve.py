"""Root finding inside a bracket, by scipy, with an error that names what was looked for."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from wellsolar.errors import OutOfRange

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
    Source: Brent (1973), Algorithms for Minimization without Derivatives, ch. 4 (from memory);
        scipy.

    >>> bracketed_root(lambda x: x * x - 2.0, 1.0, 2.0)
    1.41421356
    """
    from scipy.optimize import brentq  # takes 0.2 s to import, and some commands find no root

    tolerance = max(relative_tolerance * abs(high - low), 1e-300)
    try:
        root: float = brentq(function, low, high, xtol=tolerance, maxiter=_MOST_STEPS)
    except OutOfRange:
        raise  # from the function
    except ValueError as error:
        at_low, at_high = function(low), function(high)
        if at_low < 0.0 < at_high or at_high < 0.0 < at_low:
            raise
        raise OutOfRange(
            f"no {quantity} between {low:g} and {high:g} {unit}".rstrip()
            + f": the balance is {at_low:g} at the one end and {at_high:g} at the other"
        ) from error
    return root
