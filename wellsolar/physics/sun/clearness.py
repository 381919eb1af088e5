"""Clearness of the sky: how it is spread over the days of a month, the hours of a day, and what
part of the light is diffuse.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_range
from wellsolar.physics.solve import bracketed_root
from wellsolar.physics.types import Floats

LEAST_DAILY_CLEARNESS: Final = 0.05
"""Clearness index of the darkest day of any month [-]; Bendt, Collares-Pereira & Rabl (1981)."""

LEAST_MEAN_CLEARNESS: Final = 0.1
"""Least mean clearness index for which the clearest day's formula makes sense [-]; below, its
eighth power runs away. Our reading of the formula."""


def greatest_daily_clearness(mean_clearness: float) -> float:
    """Clearness index of the clearest day of a month.

    Parameters:
        mean_clearness: clearness index of the month's mean day [-], scalar
    Returns:
        greatest daily clearness index [-]
    Source: Hollands & Huget (1983) after Bendt et al. (1981); Duffie & Beckman eq. 2.9.5
        (second hand).
    """
    return 0.6313 + 0.267 * mean_clearness - 11.9 * (mean_clearness - 0.75) ** 8


def daily_clearness_quantile(mean_clearness: float, probability: Floats) -> Floats:
    """Clearness index that a given part of a month's days do not exceed.

    The density grows as exp(gamma K) between the darkest and the clearest day; gamma is solved
    so that the mean of the distribution is the given mean.

    Parameters:
        mean_clearness: clearness index of the month's mean day [-], scalar
        probability: part of the days [0..1], scalar or array
    Returns:
        daily clearness index [-]
    Raises:
        OutOfRange: mean clearness outside what the distribution can have, or probability
            outside 0 to 1
    Source: Bendt, Collares-Pereira & Rabl, Solar Energy 27 (1981) 1-5; Duffie & Beckman
        eqs. 2.9.2 and 2.9.4 (second hand).
    """
    require_range(probability, 0.0, 1.0, "probability", "")
    greatest = greatest_daily_clearness(mean_clearness)
    span = greatest - LEAST_DAILY_CLEARNESS
    growth = _growth_of_mean(mean_clearness, greatest)
    if abs(growth) < 1e-6:
        return LEAST_DAILY_CLEARNESS + span * probability
    part = np.log1p(np.asarray(probability) * math.expm1(growth)) / growth
    quantile: Floats = (LEAST_DAILY_CLEARNESS + span * part)[()]
    return quantile


def _growth_of_mean(mean_clearness: float, greatest: float) -> float:
    """gamma times the span of the distribution, from its mean."""
    part = (mean_clearness - LEAST_DAILY_CLEARNESS) / (greatest - LEAST_DAILY_CLEARNESS)
    if not (mean_clearness >= LEAST_MEAN_CLEARNESS and part < 0.995):
        greatest = greatest_daily_clearness(max(mean_clearness, LEAST_MEAN_CLEARNESS))
        raise OutOfRange(
            f"mean clearness index is {mean_clearness:.3f}, allowed is {LEAST_MEAN_CLEARNESS:g} "
            f"to {greatest:.3f}, that of the clearest day of such a month"
        )

    def surplus(growth: float) -> float:
        if abs(growth) < 1e-4:
            return 0.5 + growth / 12.0 - part
        return -1.0 / math.expm1(-growth) - 1.0 / growth - part

    return bracketed_root(surplus, -250.0, 250.0)


def hourly_share(hour_angle: Floats, sunset_hour_angle: Floats) -> Floats:
    """Mean total of an hour as a part of the day's total; 0 at night.

    Parameters:
        hour_angle: at the middle of the hour [deg], scalar or array
        sunset_hour_angle: [deg], scalar or array
    Returns:
        part of the daily total that falls in that hour [1/h]
    Source: Collares-Pereira & Rabl, Solar Energy 22 (1979) 155; Duffie & Beckman eq. 2.13.2
        (second hand).
    """
    past = np.sin(np.radians(np.asarray(sunset_hour_angle) - 60.0))
    cosine = np.cos(np.radians(hour_angle))
    peaked = 0.409 + 0.5016 * past + (0.6609 - 0.4767 * past) * cosine
    share: Floats = np.maximum(peaked, 0.0) * hourly_diffuse_share(hour_angle, sunset_hour_angle)
    return share


def hourly_diffuse_share(hour_angle: Floats, sunset_hour_angle: Floats) -> Floats:
    """Mean diffuse of an hour as a part of the day's diffuse; 0 at night.

    Parameters:
        hour_angle: at the middle of the hour [deg], scalar or array
        sunset_hour_angle: [deg], scalar or array
    Returns:
        part of the daily diffuse total that falls in that hour [1/h]
    Source: Liu & Jordan, Solar Energy 4 (1960) 1; Duffie & Beckman eq. 2.13.4 (second hand).
    """
    set_angle = np.radians(sunset_hour_angle)
    height = np.maximum(np.cos(np.radians(hour_angle)) - np.cos(set_angle), 0.0)
    area = np.maximum(np.sin(set_angle) - set_angle * np.cos(set_angle), 1e-12)
    share: Floats = math.pi / 24.0 * height / area
    return share


def hourly_diffuse_fraction(clearness: Floats) -> Floats:
    """Diffuse part of one hour's total.

    Our own: pvlib's `erbs` takes no clearness but works it out itself, by another solar constant.

    Parameters:
        clearness: clearness index of the hour [-], scalar or array
    Returns:
        diffuse over total [0..1]
    Source: Erbs, Klein & Duffie, Solar Energy 28 (1982) 293; Duffie & Beckman eq. 2.10.1
        (second hand).

    >>> float(hourly_diffuse_fraction(0.445))
    0.766
    """
    k = np.asarray(clearness, dtype=np.float64)
    middle = 0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)))
    fraction: Floats = np.where(k <= 0.22, 1.0 - 0.09 * k, np.where(k <= 0.8, middle, 0.165))[()]
    return fraction
