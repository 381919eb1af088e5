"""What fuels for hot water hold, by the units in which they are sold."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import NamedTuple

from wellsolar.constants import BTU_PER_POUND_FAHRENHEIT, FOOT, POUND, US_GALLON
from wellsolar.data import rows

BTU = BTU_PER_POUND_FAHRENHEIT * POUND * 5.0 / 9.0
"""International table Btu [J]."""

LITRE = 1.0e-3
METRIC = {"gal": ("L", LITRE / US_GALLON), "ft3": ("m3", FOOT**-3)}
"""Unit of the table -> the metric one that it is sold by too, and how many of it that holds."""


class Fuel(NamedTuple):
    """A fuel and its heat by the unit it is sold by [J]."""

    name: str
    heat: Mapping[str, float]

    @property
    def sold_by(self) -> tuple[str, ...]:
        """Units, those of the table first."""
        return tuple(self.heat)


@cache
def fuels() -> tuple[Fuel, ...]:
    """The fuels that heat water in a house.

    Returns:
        name, and heat of combustion by gallon, litre, therm, cubic metre or cord [J]
    Source: data/fuels.csv, source named there.
    """
    by_fuel: dict[str, dict[str, float]] = {}
    for row in rows("fuels"):
        heat, per = float(row["heat"]) * BTU, row["per"]
        units = by_fuel.setdefault(row["fuel"], {})
        units[per] = heat
        if per in METRIC:
            unit, count = METRIC[per]
            units[unit] = heat * count
    return tuple(Fuel(name, MappingProxyType(heat)) for name, heat in by_fuel.items())


def heat_in(fuel: str, per: str) -> float:
    """Heat of combustion of a unit of a fuel.

    Parameters:
        fuel: its name [text]
        per: the unit it is sold by [text]
    Returns:
        the heat [J]
    Source: data/fuels.csv, source named there.
    """
    return next(burnt.heat[per] for burnt in fuels() if burnt.name == fuel)
