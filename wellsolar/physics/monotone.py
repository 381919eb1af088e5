"""A smooth curve through points that rises and falls only where they do.

Ordinary commands draw curves through a handful of points; scipy has the same and takes a quarter
of a second to import. `tests/against_libraries/test_hydraulics.py` holds the two together.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from wellsolar.physics.types import FloatArray, Floats


class MonotoneCubics:
    """Cubics between points, with one slope at each.

    Parameters:
        points: where the curve is known, two or more, rising [its own unit], array
        values: what it is there [its own unit], array
    Source: Fritsch and Carlson (1980), Monotone piecewise cubic interpolation; slopes by the
        weighted harmonic mean of Fritsch and Butland (1984), at the ends by three points, held to
        what keeps the curve monotone (as scipy quotes them).
    """

    def __init__(
        self, points: Sequence[float] | FloatArray, values: Sequence[float] | FloatArray
    ) -> None:
        self.points = np.asarray(points, np.float64)
        value = np.asarray(values, np.float64)
        width = np.diff(self.points)
        rise = np.diff(value) / width
        slope = _slopes(width, rise)
        bend = (slope[:-1] + slope[1:] - 2.0 * rise) / width
        self.pieces: FloatArray = np.stack(
            [bend / width, (rise - slope[:-1]) / width - bend, slope[:-1], value[:-1]]
        )
        """Of each piece the factors of x3, x2, x and 1, x from its first point, array of 4 by the
        pieces."""

    def __call__(self, at: Floats) -> FloatArray:
        """The curve at a place; beyond the points the nearest piece goes on.

        Parameters:
            at: where [its own unit], scalar or array
        Returns:
            values [its own unit], array
        Source: as the class.
        """
        last = len(self.points) - 2
        piece = np.clip(np.searchsorted(self.points, at, "right") - 1, 0, last)
        x = np.asarray(at) - self.points[piece]
        a, b, c, d = self.pieces[:, piece]
        return np.asarray(((a * x + b) * x + c) * x + d)


def _slopes(width: FloatArray, rise: FloatArray) -> FloatArray:
    """The slope at each point, from the widths and the mean slopes between them."""
    if len(rise) == 1:
        return np.repeat(rise, 2)
    before, after = rise[:-1], rise[1:]
    weight = 2.0 * width[1:] + width[:-1], width[1:] + 2.0 * width[:-1]
    bent = before * after <= 0.0
    safe = np.where(bent, 1.0, before), np.where(bent, 1.0, after)
    mean = (weight[0] + weight[1]) / (weight[0] / safe[0] + weight[1] / safe[1])
    inner = np.where(bent, 0.0, mean)
    first = _end_slope(width[0], width[1], rise[0], rise[1])
    last = _end_slope(width[-1], width[-2], rise[-1], rise[-2])
    return np.concatenate([[first], inner, [last]])


def _end_slope(width: float, next_width: float, rise: float, next_rise: float) -> float:
    """The slope at an end, by the parabola through its three points, never against the curve."""
    slope = ((2.0 * width + next_width) * rise - width * next_rise) / (width + next_width)
    if slope * rise <= 0.0:
        return 0.0
    if rise * next_rise < 0.0 and abs(slope) > 3.0 * abs(rise):
        return 3.0 * rise
    return float(slope)
