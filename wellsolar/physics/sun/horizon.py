"""A skyline of hills, trees or roofs: what it hides of the sun and of the sky."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wellsolar.physics.guards import require_range
from wellsolar.physics.types import FloatArray

_STEPS_AROUND: Final = 180
"""Directions around the horizon over which the sky is summed."""

_STEPS_UP: Final = 90
"""Heights over which the sky is summed; the sky's share is then good to 0.002."""


def height_towards(horizon_heights: FloatArray, sun_azimuth: FloatArray) -> FloatArray:
    """Height of the skyline in a direction, straight between the given ones.

    Parameters:
        horizon_heights: angle of the skyline above the horizontal at equal steps of azimuth from
            north clockwise [deg], array
        sun_azimuth: directions looked to, from north clockwise [deg], array
    Returns:
        height of the skyline [deg]
    Raises:
        OutOfRange: a height below 0 or above 90 deg, or none given
    Source: none needed, linear interpolation.
    """
    heights = np.atleast_1d(np.asarray(horizon_heights, dtype=np.float64))
    require_range(heights.size, 1, 3600, "number of horizon heights", "")
    require_range(heights, 0.0, 90.0, "horizon height", "deg")
    around = np.linspace(0.0, 360.0, heights.size + 1)
    return np.asarray(
        np.interp(np.mod(sun_azimuth, 360.0), around, np.append(heights, heights[0]))
    )


def is_behind(
    horizon_heights: FloatArray, zenith: FloatArray, sun_azimuth: FloatArray
) -> NDArray[np.bool_]:
    """Whether the sun stands behind the skyline.

    Parameters:
        horizon_heights: angle of the skyline above the horizontal at equal steps of azimuth from
            north clockwise [deg], array
        zenith: of the sun [deg], array
        sun_azimuth: from north clockwise [deg], array
    Returns:
        true where the sun is hidden [-]
    Raises:
        OutOfRange: a height below 0 or above 90 deg, or none given
    Source: geometry.
    """
    return np.asarray(90.0 - zenith < height_towards(horizon_heights, sun_azimuth))


def sky_left(horizon_heights: FloatArray, tilt: float, azimuth: float) -> float:
    """Part of an even sky's light on a plane that comes from above the skyline.

    Parameters:
        horizon_heights: angle of the skyline above the horizontal at equal steps of azimuth from
            north clockwise [deg], array
        tilt: of the plane from the horizontal [deg], scalar
        azimuth: the plane looks to, from north clockwise [deg], scalar
    Returns:
        light from above the skyline over that of the whole sky [0..1]
    Raises:
        OutOfRange: a height below 0 or above 90 deg, or none given
    Source: geometry, the cosine-weighted integral of an even radiance over the sky that the
        plane sees.
    """
    around = (np.arange(_STEPS_AROUND) + 0.5) * 360.0 / _STEPS_AROUND
    # Equal steps in the sine of the height are equal pieces of the sky's dome.
    up = ((np.arange(_STEPS_UP) + 0.5) / _STEPS_UP)[:, None]
    level = np.sqrt(1.0 - up * up)
    slope = math.radians(tilt)
    facing = up * math.cos(slope) + level * math.sin(slope) * np.cos(np.radians(around - azimuth))
    seen = np.maximum(facing, 0.0)
    step = 0.5 / _STEPS_UP
    skyline = np.sin(np.radians(height_towards(horizon_heights, around)))
    # A piece that the skyline crosses counts by the part of it that is above.
    above = np.clip((up + step - skyline) / (2.0 * step), 0.0, 1.0)
    return float(np.sum(seen * above) / np.sum(seen))
