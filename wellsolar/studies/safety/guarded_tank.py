"""A tank of hot water with the guards that the file names: the heater's own, or one downstream."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.results import DivertedTankResult, HeatedTankResult, TankSafety
from wellsolar.site.schema import WaterHeaterTable
from wellsolar.units import Quantity

TANK, SECOND = "water heater", "second tank"
"""What verdicts call the heater's own tank, and the one downstream."""

HotResult = HeatedTankResult | DivertedTankResult
"""A tank heated by modules wired to it, or by a battery's surplus alone."""


def temperature(value: float) -> Quantity:
    """A temperature as a quantity [degC]."""
    return Quantity(value, kinds.TEMPERATURE)


@dataclass(frozen=True)
class GuardedTank:
    """A tank and its guards, each None where the file does not tell it.

    subject: what verdicts call it; path: key path of its table
    safety: its numbers
    """

    subject: str
    path: str
    high_limit: Quantity | None
    relief_temperature: Quantity | None
    relief_pressure: Quantity | None
    relief_capacity: Quantity | None
    safety: TankSafety


def heated_tank_of(heater: WaterHeaterTable, safety: TankSafety) -> GuardedTank:
    """The heater's own tank with its guards.

    Parameters:
        heater: the heater's table
        safety: numbers of its tank
    Returns:
        the tank
    """
    return GuardedTank(
        TANK,
        "water_heater",
        heater.high_limit,
        heater.relief_temperature,
        heater.relief_pressure,
        heater.relief_capacity,
        safety,
    )


def second_tank_of(heater: WaterHeaterTable, safety: TankSafety) -> GuardedTank | None:
    """The tank downstream with its guards.

    Parameters:
        heater: the heater's table
        safety: numbers of the heater's own tank
    Returns:
        the tank; None where the file has none
    """
    table = heater.second_tank
    if table is None or safety.second is None:
        return None
    return GuardedTank(
        SECOND,
        "water_heater.second_tank",
        table.high_limit,
        table.relief_temperature,
        table.relief_pressure,
        table.relief_capacity,
        safety.second,
    )
