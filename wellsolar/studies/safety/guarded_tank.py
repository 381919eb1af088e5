"""A tank of hot water with what the file tells of its guards: the heater's, or one downstream."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.results import TankSafety
from wellsolar.site.schema import WaterHeaterTable
from wellsolar.studies.safety.words import TANK
from wellsolar.units import Quantity

SECOND = "second tank"


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
    """The heater's own tank.

    Parameters:
        heater: the heater's table
        safety: its numbers
    Returns:
        the tank with its guards
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
    """The tank downstream.

    Parameters:
        heater: the heater's table
        safety: of the heater's own tank
    Returns:
        the tank with its guards; None where the file has none
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
