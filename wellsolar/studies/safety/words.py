"""Words that the studies of heat and of its safety share."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.units import Quantity

TANK = "water heater"


def temperature(value: float) -> Quantity:
    """A temperature as a quantity [degC]."""
    return Quantity(value, kinds.TEMPERATURE)
