"""Types that the physics shares."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = float | NDArray[np.float64]
"""A float or an array of floats; arguments broadcast against each other."""

FloatArray = NDArray[np.float64]
"""An array of floats."""
