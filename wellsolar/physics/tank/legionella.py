"""What legionella does in warm and hot water."""

from __future__ import annotations

import math
from typing import Final

from wellsolar.physics.guards import require_range
from wellsolar.physics.types import Floats

KILL_SLOPE: Final = 10.0 / math.log10(124.0 / 2.0)
"""Warming that kills legionella ten times as fast [K], 5.6: D(50 degC) = 124 min and D(60 degC)
= 2 min, encyclopaedic figures; the slower strain below 60 degC."""

HEAT_THROUGH_REDUCTIONS: Final = 16.0
"""Decimal reductions after which water counts as heated through [-]: dead within 32 min at 60
degC, where one takes 2 min; encyclopaedic figures."""


def decimal_reduction_time(temperature: Floats, z_value: Floats = KILL_SLOPE) -> Floats:
    """Time in which hot water kills nine in ten legionella.

    Parameters:
        temperature: of the water, 50 to 70 [degC], scalar or array
        z_value: warming that shortens the time tenfold [K], scalar or array; 5.6 to 6.2 published
    Returns:
        decimal reduction time [s], scalar or array; good to a factor of 1.5
    Raises:
        OutOfRange: temperature outside 50 to 70 degC
    Source: D(60 degC) = 2 min, D(50 degC) = 80 to 124 min, encyclopaedic figures; log-linear.
    """
    require_range(temperature, 50.0, 70.0, "water temperature", "degC")
    return 120.0 * 10.0 ** ((60.0 - temperature) / z_value)


def heat_through_time(temperature: Floats, z_value: Floats = KILL_SLOPE) -> Floats:
    """Time for which a whole tank is held hot before it counts as heated through.

    Parameters:
        temperature: of the water, 50 to 70 [degC], scalar or array
        z_value: warming that shortens the time tenfold [K], scalar or array; 5.6 to 6.2 published
    Returns:
        time [s], scalar or array; good to a factor of 1.5
    Raises:
        OutOfRange: temperature outside 50 to 70 degC
    Source: dead within 32 min at 60 degC, encyclopaedic figures; log-linear in temperature.

    >>> heat_through_time(60.0) / 60
    32.
    """
    return HEAT_THROUGH_REDUCTIONS * decimal_reduction_time(temperature, z_value)
