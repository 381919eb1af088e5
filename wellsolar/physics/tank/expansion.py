"""The water that a tank pushes out when it is heated, and the bladder tank that takes it up."""

from __future__ import annotations

import numpy as np

from wellsolar.constants import STANDARD_ATMOSPHERE
from wellsolar.physics.guards import require_positive
from wellsolar.physics.hydraulics import water
from wellsolar.physics.types import Floats, plain


def expansion_volume(volume: Floats, start_temperature: Floats, end_temperature: Floats) -> Floats:
    """Water that a rigid tank pushes out when it is heated.

    Parameters:
        volume: of the tank [m3], scalar or array
        start_temperature: temperature before [degC], scalar or array
        end_temperature: temperature after [degC], scalar or array
    Returns:
        volume, measured hot [m3], scalar or array; no credit for the tank's own growth
    Source: mass balance, V (rho cold / rho hot - 1), density at one atmosphere.
    """
    return volume * (water.density(start_temperature) / water.density(end_temperature) - 1.0)


def expansion_tank_volume(
    expansion_volume: Floats,
    precharge: Floats,
    supply_pressure: Floats,
    maximum_pressure: Floats,
    atmospheric_pressure: Floats = STANDARD_ATMOSPHERE,
) -> Floats:
    """Smallest bladder tank that takes up an expansion.

    Parameters:
        expansion_volume: volume to take up [m3], scalar or array
        precharge: gauge pressure of the empty tank [Pa], scalar or array
        supply_pressure: gauge pressure before heating [Pa], scalar or array
        maximum_pressure: gauge pressure allowed after it [Pa], scalar or array
        atmospheric_pressure: at the site [Pa], scalar or array
    Returns:
        volume of the bladder tank [m3], scalar or array
    Raises:
        OutOfRange: maximum pressure not above supply and precharge
    Source: Boyle's law, V = E / (pc / p1 - pc / p2), absolute pressures, p1 at least pc.
    """
    # an over-charged tank takes water only from its precharge upward
    first = np.maximum(supply_pressure, precharge) + atmospheric_pressure
    last = maximum_pressure + atmospheric_pressure
    require_positive(plain(last - first), "maximum less supply or precharge pressure", "Pa")
    charge = precharge + atmospheric_pressure
    return plain(expansion_volume / (charge / first - charge / last))
