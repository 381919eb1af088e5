"""When a hot tank lets go: high limit, relief valve, boiling under pressure, steam."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from wellsolar.constants import PSI, ZERO_CELSIUS
from wellsolar.physics.guards import require_range
from wellsolar.physics.types import Floats

RELIEF_TEMPERATURE: Final = (210.0 - 32.0) / 1.8
"""Temperature-and-pressure relief valve opens, 210 degF as [degC]: model code 504, county
housing inspection page; some cities cap it at 200 degF."""

RELIEF_PRESSURE: Final = 150 * PSI
"""Temperature-and-pressure relief valve opens, 150 psi as [Pa] gauge: as RELIEF_TEMPERATURE."""

HIGH_LIMIT_RANGE: Final = ((170.0 - 32.0) / 1.8, (180.0 - 32.0) / 1.8)
"""Usual settings of the hand-reset high limit, 170 to 180 degF as [degC]: trade and service
texts."""

SATURATION_COEFFICIENTS: Final = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)
"""n1..n10 of the saturation line [-, MPa, K]: IAPWS R7-97(2012) Table 34 (second hand, as
the iapws library prints them; they reproduce Table 36)."""


def relief_capacity_needed(power: Floats) -> float:
    """Capacity that a relief valve needs: the greatest heat input at any moment.

    Parameters:
        power: heat inputs that can come together, each at its greatest (an element on the highest
            array voltage, not its marking) [W], scalar or array
    Returns:
        capacity [W], scalar, the sum
    Raises:
        OutOfRange: a negative power
    Source: model plumbing code 504: capacity not less than the heat input.
    """
    require_range(power, 0.0, math.inf, "power", "W")
    return float(np.sum(power))


def boiling_temperature(absolute_pressure: float) -> float:
    """Temperature at which water boils under an absolute pressure.

    Parameters:
        absolute_pressure: 611.213 Pa to 22.064 MPa [Pa], scalar
    Returns:
        temperature [degC]
    Raises:
        OutOfRange: a pressure outside the saturation line
    Source: IAPWS R7-97(2012), backward equation 31; check values Table 36.

    >>> boiling_temperature(0.1e6) + 273.15
    372.755919
    """
    require_range(absolute_pressure, 611.213, 22.064e6, "absolute pressure", "Pa")
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = SATURATION_COEFFICIENTS
    beta: float = (absolute_pressure / 1e6) ** 0.25
    e = beta**2 + n3 * beta + n6
    f = n1 * beta**2 + n4 * beta + n7
    g = n2 * beta**2 + n5 * beta + n8
    d = 2.0 * g / (-f - math.sqrt(f**2 - 4.0 * e * g))
    kelvin = 0.5 * (n10 + d - math.sqrt((n10 + d) ** 2 - 4.0 * (n9 + n10 * d)))
    return kelvin - ZERO_CELSIUS
