"""A tank of hot water with the guards that the file names: the heater's own, or one downstream."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.data import hot_water_tables
from wellsolar.physics.tank import overheating
from wellsolar.results.heat import DivertedTankResult, HeatedTankResult
from wellsolar.results.heat_safety import TankSafety
from wellsolar.site.schema import MixingValveTable, SecondTankTable, WaterHeaterTable
from wellsolar.units import Quantity, read
from wellsolar.verdicts import Change, set_to

TANK, SECOND = "water heater", "second tank"
"""What verdicts call the heater's own tank, and the one downstream."""

SPREAD = 5.0
"""Room between thermostat and high limit below which the one trips the other [K], 9 degF: common
practice, no source."""

BOILING_MARGIN = 2.0
"""How far the high limit stays below the boiling point [K]: a deep low takes 5 kPa off the air's
pressure, which is 1.4 K; rounded up, our choice."""

DIAL = 5.0
"""Steps in which a thermostat or high limit is set [degF]: common practice, no source."""

HotResult = HeatedTankResult | DivertedTankResult
"""A tank heated by modules wired to it, or by a battery's surplus alone."""


def temperature(value: float) -> Quantity:
    """A temperature as a quantity [degC]."""
    return Quantity(value, kinds.TEMPERATURE)


def dial_down(most: float) -> Quantity:
    """The hottest setting of a dial that is no hotter than so much [degC]."""
    steps = math.floor((most * 1.8 + 32.0 + 1e-6) / DIAL)
    return read(f"{steps * DIAL:g} degF", kinds.TEMPERATURE)


def dial_up(least: float) -> Quantity:
    """The coolest setting of a dial that is no cooler than so much [degC]."""
    steps = math.ceil((least * 1.8 + 32.0 - 1e-6) / DIAL)
    return read(f"{steps * DIAL:g} degF", kinds.TEMPERATURE)


def greatest_supply(valve: MixingValveTable | None) -> float:
    """The hottest water that a mixing valve may be given, by its maker or its standard [degC]; inf
    where neither tells."""
    if valve is None:
        return math.inf
    if valve.greatest_supply is not None:
        return float(valve.greatest_supply)
    if valve.standard is None:
        return math.inf
    most = hot_water_tables.mixing_valve_scope(valve.standard).highest_supply
    return math.inf if math.isnan(most) else most


@dataclass(frozen=True)
class GuardedTank:
    """A tank and its guards, each None where the file does not tell it.

    subject: what verdicts call it; path: key path of its table
    thermostats: key paths and settings [degC]; of those on modules the assumed one too
    table: of the file, with its guards; safety: its numbers
    supply_most: hottest water that the mixing valve behind it may be given [degC]
    """

    subject: str
    path: str
    thermostats: tuple[tuple[str, float], ...]
    table: WaterHeaterTable | SecondTankTable
    safety: TankSafety
    supply_most: float

    @property
    def most(self) -> float:
        """The hottest that all of its guards, its plate and its mixing valve let it be [degC]."""
        plate = self.table.greatest_temperature
        return min(
            overheating.HIGH_LIMIT_RANGE[1],
            self.safety.pressure.relief_temperature - SPREAD,
            self.safety.boiling_temperature - BOILING_MARGIN,
            self.supply_most,
            math.inf if plate is None else plate,
        )

    def cooler(self) -> tuple[Quantity, tuple[Change, ...]]:
        """The high limit that fits all of them, and the changes to it with thermostats below."""
        limit = dial_down(self.most)
        changes = [set_to(f"{self.path}.high_limit", limit), *self.thermostats_below(limit)]
        return limit, tuple(changes)

    def thermostats_below(self, limit: float) -> list[Change]:
        """Those too near a high limit [degC] set cooler."""
        below = dial_down(limit - SPREAD)
        return [set_to(path, below) for path, value in self.thermostats if value > below]


def heated_tank_of(heater: WaterHeaterTable, safety: TankSafety) -> GuardedTank:
    """The heater's own tank with its guards."""
    settings = tuple(
        (
            f"water_heater.element[{number}].thermostat",
            safety.hottest if element.thermostat is None else float(element.thermostat),
        )
        for number, element in enumerate(heater.element, 1)
        if element.thermostat is not None or element.fed_by != "grid"
    )
    supply = greatest_supply(heater.mixing_valve)
    return GuardedTank(TANK, "water_heater", settings, heater, safety, supply)


def second_tank_of(heater: WaterHeaterTable, safety: TankSafety) -> GuardedTank | None:
    """The tank downstream with its guards; None where the file has none."""
    table = heater.second_tank
    if table is None or safety.second is None:
        return None
    path = "water_heater.second_tank"
    settings = ((f"{path}.thermostat", float(table.thermostat)),)
    supply = greatest_supply(heater.mixing_valve)
    return GuardedTank(SECOND, path, settings, table, safety.second, supply)
