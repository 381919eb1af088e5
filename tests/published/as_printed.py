"""Reads a quantity of a published case as its source prints it, apart from the program's units."""

from __future__ import annotations

import re
from functools import cache

import numpy as np
import pint

_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
_PRINTED = re.compile(rf"^\s*({_NUMBER}(?:\s*,\s*{_NUMBER})*)\s*(\S.*)?$")

UNITS = {
    "gpm": "gallon/minute",
    "gph": "gallon/hour",
    "psig": "psi",
    "psia": "psi",
    "gpm/ft": "gallon/minute/foot",
    "lb/ft": "pound/foot",
    "lb/ft3": "pound/foot**3",
    "lb/gal": "pound/gallon",
    "ohm/kft": "ohm/(1000*foot)",
    "W/m2": "watt/meter**2",
    "MJ/m2": "megajoule/meter**2",
    "kWh/m2": "kilowatt_hour/meter**2",
    "kg/m3": "kilogram/meter**3",
    "m3": "meter**3",
    "m3/h": "meter**3/hour",
    "m3/day": "meter**3/day",
    "ft2/s": "foot**2/second",
    "m2/s": "meter**2/second",
    "L": "liter",
    "gal": "gallon",
    "gal/day": "gallon/day",
    "L/s": "liter/second",
    "L/min": "liter/minute",
    "hp": "horsepower",
    "kVA": "kilovolt*ampere",
    "VA": "volt*ampere",
    "Btu/h/degF": "Btu/hour/delta_degF",
    "Btu/h": "Btu/hour",
    "%/K": "percent/kelvin",
    "/min": "1/minute",
    "in": "inch",
    "ft": "foot",
    "h": "hour",
    "kcmil": "1000*circular_mil",
}
"""Units whose printed form pint does not read, or reads as something else."""


@cache
def _registry() -> pint.UnitRegistry:
    return pint.UnitRegistry()


def in_si(printed: object) -> object:
    """A printed number, quantity or list as SI floats; temperatures in degC.

    Parameters:
        printed: such as "5.50 ft", "0, 3, 6 gpm", 150 or [1, 2]
    Returns:
        a float or an array of floats; anything else as it is
    """
    if isinstance(printed, bool):
        return printed
    if isinstance(printed, (int, float)):
        return printed
    if isinstance(printed, list):
        return np.array([in_si(each) for each in printed], dtype=float)
    match = _PRINTED.match(str(printed))
    if match is None:
        raise ValueError(f"cannot read the printed value {printed!r}")
    numbers = [float(each) for each in match.group(1).split(",")]
    values = [_convert(each, (match.group(2) or "").strip()) for each in numbers]
    return values[0] if len(values) == 1 else np.array(values)


def _convert(number: float, unit: str) -> float:
    if not unit:
        return number
    if unit == "degF":
        return (number - 32.0) / 1.8
    if unit == "degC":
        return number
    registry = _registry()
    named = UNITS.get(unit, unit)
    factor = re.match(r"^(1000)\*(.*)$", named)
    scale = 1.0
    if factor:
        scale, named = float(factor.group(1)), factor.group(2)
    if named.startswith("ohm/(1000*"):
        return number / 304.8
    quantity = registry.Quantity(number * scale, registry.Unit(named))
    return float(quantity.to_base_units().magnitude)
