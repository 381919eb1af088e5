"""Heat loss coefficient of a tank from its jacket."""

from __future__ import annotations

import math
from typing import Final

from wellsolar.constants import DAY
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.tank.hot_water import TRADE_HEAT_CAPACITY
from wellsolar.physics.types import Real

HEIGHT_TO_DIAMETER: Final = 2.5
"""Height of an ordinary upright tank over its bore [-]; common practice, no source."""

TEST_RISE: Final = (125.0 - 58.0) / 1.8
"""Cold water to hot in the federal 24-hour test, 67 degF as [K] (second hand)."""

TEST_EXCESS: Final = (125.0 - 67.5) / 1.8
"""Hot water above the test room, 57.5 degF as [K] (from memory)."""


def tank_bore(tank_volume: float, tank_height: float | None = None) -> float:
    """Inside diameter of an upright tank.

    Parameters:
        tank_volume: of the tank [m3]
        tank_height: height of its side [m]; None for a tank of ordinary slenderness
    Returns:
        bore [m]
    Raises:
        OutOfRange: a height that is not positive
    Source: geometry of a cylinder; slenderness common practice, no source.
    """
    if tank_height is None:
        return math.cbrt(4 * tank_volume / (math.pi * HEIGHT_TO_DIAMETER))
    require_positive(tank_height, "height", "m")
    return math.sqrt(4 * tank_volume / (math.pi * tank_height))


def cylinder_area(tank_volume: Real, tank_diameter: Real) -> Real:
    """Whole surface of an upright cylinder, side and both ends.

    Parameters:
        tank_volume: of the cylinder [m3], scalar or array
        tank_diameter: bore [m], scalar or array
    Returns:
        area [m2], scalar or array
    Raises:
        OutOfRange: a diameter that is not positive
    Source: geometry, 4 V / D + pi D^2 / 2.
    """
    require_positive(tank_diameter, "diameter", "m")
    return 4 * tank_volume / tank_diameter + math.pi * tank_diameter**2 / 2


def heat_loss_from_r_value(r_value: Real, tank_area: Real) -> Real:
    """Heat loss coefficient of a jacket of known thermal resistance.

    Fittings, element covers and pipes add 15 to 40 % to what the jacket alone loses.

    Parameters:
        r_value: thermal resistance of the jacket [m2 K/W], scalar or array
        tank_area: surface of the tank [m2], scalar or array
    Returns:
        heat loss coefficient of the jacket alone [W/K], scalar or array
    Raises:
        OutOfRange: a resistance that is not positive
    Source: definition of thermal resistance, UA = A / R; the addition for fittings from the
        gap between a published worked figure for an R-16 tank and its jacket alone.
    """
    require_positive(r_value, "R-value", "m2 K/W")
    return tank_area / r_value


def heat_loss_from_uniform_energy_factor(
    uniform_energy_factor: Real, test_draw_volume: Real
) -> Real:
    """Heat loss coefficient that a storage heater's rated factor implies.

    The factor is the heat of the test day's hot water over the heat put in; what is missing left
    the tank through its wall in 24 h. An immersed element gives the water all its heat.

    Parameters:
        uniform_energy_factor: of the label, above 0 and below 1 [-], scalar or array
        test_draw_volume: hot water of the test's day [m3], scalar or array
    Returns:
        heat loss coefficient [W/K], scalar or array
    Raises:
        OutOfRange: a factor outside 0 to 1, or a volume that is not positive
    Source: energy balance of the 24-hour test of 10 CFR 430 Subpart B App. E: 125 degF delivered,
        58 degF inlet (second hand), 67.5 degF air (from memory).
    """
    require_positive(uniform_energy_factor, "uniform energy factor", "")
    require_range(uniform_energy_factor, 0.0, 1.0, "uniform energy factor", "")
    require_positive(test_draw_volume, "test draw volume", "m3")
    heat = test_draw_volume * TRADE_HEAT_CAPACITY * TEST_RISE
    return heat * (1.0 / uniform_energy_factor - 1.0) / (DAY * TEST_EXCESS)
