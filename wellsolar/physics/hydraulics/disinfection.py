"""Chlorine to disinfect a well after work in it."""

from __future__ import annotations

import math
from typing import Final

from wellsolar.physics.guards import require_positive, require_range

DOSE: Final = 0.200
"""Chlorine in the water of a well that is disinfected [kg/m3]."""

BLEACH: Final = 52.5
"""Chlorine in household bleach of 5.25 % [kg/m3]."""

WATER: Final = 2.0
"""Water that is treated over the water that stands in the well [-]."""


def standing_volume(casing_bore: float, water_column: float) -> float:
    """Water that stands in a well.

    Parameters:
        casing_bore: [m], above 0, scalar
        water_column: [m], 0 or more, scalar
    Returns:
        volume [m3]
    Raises:
        OutOfRange: a bore of 0 or less, or a column below 0
    Source: geometry of a cylinder.
    """
    require_positive(casing_bore, "casing bore", "m")
    require_range(water_column, 0.0, math.inf, "water column", "m")
    return math.pi / 4.0 * casing_bore**2 * water_column


def disinfectant_volume(standing: float, dose: float, strength: float) -> float:
    """Chlorine solution that disinfects a well, for twice the water that stands in it.

    The second half is the water it is mixed in, which wets the casing above and fills the pipes.

    Parameters:
        standing: water that stands in the well [m3], scalar
        dose: chlorine in the treated water [kg/m3], scalar
        strength: chlorine in the solution [kg/m3], scalar
    Returns:
        volume of the solution [m3]
    Raises:
        OutOfRange: a strength not above the dose
    Source: Alberta Agriculture, Agdex 716 (A10), module 6, Table 1: 200 ppm in twice the water in
    the casing.
    """
    require_positive(dose, "dose", "kg/m3")
    require_range(strength, dose, math.inf, "strength", "kg/m3")
    return WATER * standing * dose / strength
