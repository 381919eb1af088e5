"""Types that the physics shares, and the way back from an array without dimensions."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

Floats = float | NDArray[np.float64]
"""A float or an array of floats; arguments broadcast against each other."""

FloatArray = NDArray[np.float64]
"""An array of floats."""

Progress = Callable[[int, int], None]
"""Is told how much of the work is done, and of how much."""

Real = TypeVar("Real", float, FloatArray)
"""A float of floats, an array of arrays: of a formula that keeps what it is given."""


def plain(value: Real) -> Real:
    """A float where a result has no dimensions, the array otherwise.

    Parameters:
        value: result of array arithmetic [its own unit], scalar or array
    Returns:
        the same value [its own unit]
    Source: none needed.
    """
    same: Any = value if np.ndim(value) else float(value)
    kept: Real = same
    return kept
