"""The water that a tank pushes out when it is heated, and the bladder tank that takes it up."""

from __future__ import annotations

from wellsolar.constants import STANDARD_ATMOSPHERE
from wellsolar.physics.guards import require_positive
from wellsolar.physics.hydraulics import water


def expansion_volume(volume: float, start_temperature: float, end_temperature: float) -> float:
    """Water that a rigid tank pushes out when it is heated.

    Parameters:
        volume: of the tank [m3], scalar
        start_temperature: temperature before [degC], scalar
        end_temperature: temperature after [degC], scalar
    Returns:
        volume, measured hot [m3]; no credit for the tank's own growth
    Source: mass balance, V (rho cold / rho hot - 1), density at one atmosphere.
    """
    return volume * (water.density(start_temperature) / water.density(end_temperature) - 1.0)


def expansion_tank_volume(
    expansion_volume: float,
    precharge: float,
    supply_pressure: float,
    maximum_pressure: float,
    atmospheric_pressure: float = STANDARD_ATMOSPHERE,
) -> float:
    """Smallest bladder tank that takes up an expansion.

    Parameters:
        expansion_volume: volume to take up [m3], scalar
        precharge: gauge pressure of the empty tank [Pa], scalar
        supply_pressure: gauge pressure before heating [Pa], scalar
        maximum_pressure: gauge pressure allowed after it [Pa], scalar
        atmospheric_pressure: at the site [Pa], scalar
    Returns:
        volume of the bladder tank [m3]
    Raises:
        OutOfRange: maximum pressure not above supply and precharge
    Source: Boyle's law, V = E / (pc / p1 - pc / p2), absolute pressures, p1 at least pc.
    """
    # an over-charged tank takes water only from its precharge upward
    first = max(supply_pressure, precharge) + atmospheric_pressure
    last = maximum_pressure + atmospheric_pressure
    require_positive(last - first, "maximum less supply or precharge pressure", "Pa")
    charge = precharge + atmospheric_pressure
    return expansion_volume / (charge / first - charge / last)
