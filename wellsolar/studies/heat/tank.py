"""The storage tank of a water heater's table, as physics wants it."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.data import hot_water_tables
from wellsolar.physics.tank import insulation
from wellsolar.physics.tank import stratified as heat_tank
from wellsolar.physics.tank.stratified import Tank
from wellsolar.site.schema import ElementTable, WaterHeaterTable
from wellsolar.studies.array.heater_circuit import plate_of
from wellsolar.studies.heat.days import LOWER, UPPER, GridElement, SecondTank
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

KEY = "water_heater.heat_loss"

NODES = 10
"""Layers of the tank; about 5 to 10 match the trade's rule that 70 % of a tank is usable."""

DIFFERENTIAL = 5.0
"""How far below its setpoint a thermostat closes [K]: common practice, no source."""

FITTINGS = 1.25
"""Loss of a tank with its fittings over that of its jacket alone: the middle of the 15 to 40 %
between a published worked figure and its jacket."""


def heat_loss_of(heater: WaterHeaterTable) -> tuple[float, Assumption | None]:
    """Heat loss coefficient of the tank, told or from its insulation or its label.

    Parameters:
        heater: the heater's table
    Returns:
        heat loss [W/K], and what was assumed where the file does not tell it
    """
    if heater.heat_loss is not None:
        return float(heater.heat_loss), None
    if heater.insulation is not None:
        bore = _bore(heater)
        area = float(insulation.cylinder_area(float(heater.volume), bore))
        loss = FITTINGS * float(insulation.heat_loss_from_r_value(float(heater.insulation), area))
        why = "the jacket's loss and a quarter more for fittings, element covers and pipes"
        return loss, Assumption(KEY, Quantity(loss, kinds.HEAT_LOSS), why, "jacket loss")
    assert heater.uniform_energy_factor is not None
    pattern = heater.draw.pattern
    volume = sum(draw.volume for draw in hot_water_tables.draw_pattern(pattern))
    loss = float(
        insulation.heat_loss_from_uniform_energy_factor(
            float(heater.uniform_energy_factor), volume
        )
    )
    why = f"what the label's factor leaves for the wall in the test's day, {pattern} draw pattern"
    return loss, Assumption(KEY, Quantity(loss, kinds.HEAT_LOSS), why, "rated factor")


def _bore(heater: WaterHeaterTable) -> float:
    """Inside diameter of the upright tank [m]."""
    volume = float(heater.volume)
    if heater.tank_height is not None:
        return math.sqrt(4 * volume / (math.pi * float(heater.tank_height)))
    return math.cbrt(4 * volume / (math.pi * heat_tank.HEIGHT_TO_DIAMETER))


def element_height(element: ElementTable) -> float:
    """Height of an element and its thermostat over that of the tank."""
    if element.height is not None:
        return float(element.height)
    return LOWER if element.position == "lower" else UPPER


def tank_of(heater: WaterHeaterTable, element: ElementTable) -> Tank:
    """The tank with the element that the modules feed.

    Parameters:
        heater: the heater's table
        element: that the modules feed
    Returns:
        tank of equal nodes
    """
    return Tank(
        volume=float(heater.volume),
        nodes=NODES,
        heat_loss_coefficient=heat_loss_of(heater)[0],
        element_height=element_height(element),
        height=None if heater.tank_height is None else float(heater.tank_height),
    )


def differential_of(heater: WaterHeaterTable) -> float:
    """How far below its setting a thermostat of the heater closes again [K]."""
    return DIFFERENTIAL if heater.differential is None else float(heater.differential)


def second_tank_of(heater: WaterHeaterTable) -> SecondTank | None:
    """The tank downstream, as upright as the first, its element where a lower one stands.

    Parameters:
        heater: the heater's table
    Returns:
        the tank with what heats it; None where the file has none
    """
    table = heater.second_tank
    if table is None:
        return None
    tank = Tank(float(table.volume), NODES, float(table.heat_loss), LOWER)
    return SecondTank(tank, float(table.rated_power), float(table.thermostat))


def grid_element_of(heater: WaterHeaterTable) -> GridElement | None:
    """The element on the grid that heats what the modules leave, with its thermostat.

    Parameters:
        heater: the heater's table
    Returns:
        the uppermost of those on the grid that have a thermostat; None without one
    """
    found = [
        GridElement(plate_of(each)[0], element_height(each), float(each.thermostat))
        for each in heater.element
        if each.fed_by == "grid" and each.thermostat is not None
    ]
    return max(found, key=lambda each: each.height, default=None)
