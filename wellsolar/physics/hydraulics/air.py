"""The air above the well: pressure by altitude."""

from __future__ import annotations

from typing import Final

from wellsolar.physics.guards import require_range

LOWEST_ALTITUDE: Final = -500.0
"""Lowest altitude accepted [m]; lower than any dry land with a house well."""

HIGHEST_ALTITUDE: Final = 11_000.0
"""Top of the troposphere layer of the standard [m]."""


def atmospheric_pressure(altitude: float) -> float:
    """Mean absolute pressure of the air at an altitude.

    The weather moves it by some 3 % either way.

    Parameters:
        altitude: height above mean sea level, -500..11000 [m], scalar
    Returns:
        absolute atmospheric pressure [Pa]
    Raises:
        OutOfRange: altitude outside -500..11000 m
    Source: U.S. Standard Atmosphere 1976, as computed by fluids.atmosphere.

    >>> atmospheric_pressure(0.0)
    101325.
    """
    require_range(altitude, LOWEST_ALTITUDE, HIGHEST_ALTITUDE, "altitude", "m")
    from fluids.atmosphere import ATMOSPHERE_1976

    return float(ATMOSPHERE_1976(altitude).P)
