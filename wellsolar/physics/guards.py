"""Guards on arguments: what lies outside the range that a function states is refused."""

from __future__ import annotations

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.types import Floats


def require_range(value: Floats, least: float, greatest: float, quantity: str, unit: str) -> None:
    """Refuse a value (or an array with any value) outside a closed range, NaN included.

    Parameters:
        value: what is checked [its own unit], scalar or array
        least: least value allowed [its own unit], scalar
        greatest: greatest value allowed [its own unit], scalar
        quantity: name of the quantity, for the error message [text]
        unit: unit, for the error message [text]
    Returns:
        nothing [-]
    Raises:
        OutOfRange: a value lies outside; the message names quantity, value and range
    Source: none needed, a guard.
    """
    if isinstance(value, (int, float)):
        if least <= value <= greatest:
            return
        worst = float(value)
    else:
        outside = np.asarray(value)[~((value >= least) & (value <= greatest))]
        if outside.size == 0:
            return
        worst = float(outside.flat[0])
    allowed = f"{least:g} {unit}".rstrip() + " or more"
    if greatest != float("inf"):
        allowed = f"{least:g} to {greatest:g} {unit}".rstrip()
    found = quantity, worst, least, greatest, unit
    raise OutOfRange(f"{_named(quantity, worst, unit)}, allowed is {allowed}", found)


def require_positive(value: Floats, quantity: str, unit: str) -> None:
    """Refuse a value (or an array with any value) that is not above zero, NaN included.

    Parameters:
        value: what is checked [its own unit], scalar or array
        quantity: name of the quantity, for the error message [text]
        unit: unit, for the error message [text]
    Returns:
        nothing [-]
    Raises:
        OutOfRange: a value is zero or below; the message names quantity and value
    Source: none needed, a guard.
    """
    if isinstance(value, (int, float)):
        if value > 0.0:
            return
        worst = float(value)
    else:
        refused = np.asarray(value)[~(value > 0.0)]
        if refused.size == 0:
            return
        worst = float(refused.flat[0])
    raise OutOfRange(f"{_named(quantity, worst, unit)}, allowed is above 0 {unit}".rstrip())


def _named(quantity: str, value: float, unit: str) -> str:
    return f"{quantity} is {value:g} {unit}".rstrip()
