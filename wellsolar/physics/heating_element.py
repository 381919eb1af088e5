"""A resistance element from its marking."""

from __future__ import annotations

from wellsolar.physics.solve import require_positive
from wellsolar.physics.types import Floats


def element_resistance(rated_power: Floats, rated_voltage: Floats) -> Floats:
    """Resistance of a heating element from its rating.

    Parameters:
        rated_power: [W], above 0, scalar or array
        rated_voltage: [V], above 0, scalar or array
    Returns:
        resistance [ohm]
    Raises:
        OutOfRange: power or voltage not above 0
    Source: Ohm's law, R = V^2 / P.

    >>> element_resistance(4500.0, 240.0)
    12.800
    """
    require_positive(rated_power, "rated power of the element", "W")
    require_positive(rated_voltage, "rated voltage of the element", "V")
    return rated_voltage**2 / rated_power


def element_power_at(rated_power: Floats, rated_voltage: Floats, voltage: Floats) -> Floats:
    """Power of an element of fixed resistance at another voltage than its marking.

    Parameters:
        rated_power: [W], scalar or array
        rated_voltage: [V], scalar or array
        voltage: at the element [V], scalar or array
    Returns:
        power [W], scalar or array
    Raises:
        OutOfRange: a rated voltage that is not positive
    Source: Joule's law at constant resistance, P (V / Vr)^2.

    >>> element_power_at(4500.0, 240.0, 300.0)
    7031.
    """
    require_positive(rated_voltage, "rated voltage", "V")
    return rated_power * (voltage / rated_voltage) ** 2
