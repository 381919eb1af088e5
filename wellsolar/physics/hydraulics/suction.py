"""Suction of a pump: the air's pressure, and what it can lift."""

from __future__ import annotations

from typing import Final

from wellsolar.physics.guards import require_range
from wellsolar.physics.hydraulics.water import pressure_head

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


def suction_lift_limit(
    atmospheric_pressure: float,
    vapour_pressure: float,
    density: float,
    required_head: float = 0.0,
) -> float:
    """Greatest height over the water at which suction still works.

    Parameters:
        atmospheric_pressure: absolute pressure on the water [Pa], scalar
        vapour_pressure: absolute vapour pressure of the water [Pa], scalar
        density: density of the water [kg/m3], scalar
        required_head: net positive suction head and friction to keep [m], scalar
    Returns:
        suction lift [m]; negative where the pump must stand below the water
    Raises:
        OutOfRange: density not above zero
    Source: hydrostatics, (pa - pv) / (rho g).

    >>> suction_lift_limit(101325.0, 0.0, 1000.0)
    10.33
    """
    return pressure_head(atmospheric_pressure - vapour_pressure, density) - required_head


def net_positive_suction_head(
    atmospheric_pressure: float,
    vapour_pressure: float,
    density: float,
    suction_lift: float,
    friction_head: float,
) -> float:
    """Net positive suction head available at the pump's eye.

    Parameters:
        atmospheric_pressure: absolute pressure on the water [Pa], scalar
        vapour_pressure: absolute vapour pressure of the water [Pa], scalar
        density: density of the water [kg/m3], scalar
        suction_lift: pump above the water; negative for a submerged pump [m], scalar
        friction_head: loss in the suction pipe [m], scalar
    Returns:
        head above the vapour pressure [m]; the pump's required head must be less
    Raises:
        OutOfRange: density not above zero
    Source: Bachus and Custodio (2003), Know and Understand Centrifugal Pumps, ch. 2.
    """
    return suction_lift_limit(atmospheric_pressure, vapour_pressure, density) - (
        suction_lift + friction_head
    )
