"""A water heater's tank at work: its thermostat's setting, its draws, and what surrounds it."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.physics.hydraulics import demand
from wellsolar.site.schema import ElementTable, Site, WaterHeaterTable
from wellsolar.studies.heat.days import TankAtWork
from wellsolar.studies.heat.tank import differential_of, tank_of
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

RUN_HOT, RUN_WARM = (150.0 - 32.0) / 1.8, (120.0 - 32.0) / 1.8
"""Thermostat of a PV-heated tank with and without a mixing valve, 150 and 120 degF [degC]:
common practice, no source."""


def setpoint_of(
    heater: WaterHeaterTable, element: ElementTable, path: str, made: list[Assumption]
) -> float:
    """Setting of an element's thermostat, by default that of a tank that the sun heats.

    Parameters:
        heater: the heater's table
        element: one of its elements
        path: its key path
        made: assumptions, to which this adds its own
    Returns:
        temperature [degC]
    """
    if element.thermostat is not None:
        return float(element.thermostat)
    value = Quantity(RUN_HOT if heater.mixing_valve else RUN_WARM, kinds.TEMPERATURE)
    why = "a tank with a mixing valve is let run to 150 degF, one without to 120 degF"
    made.append(Assumption(f"{path}.thermostat", value, why, "common practice"))
    return float(value)


def draw_volume_of(site: Site, heater: WaterHeaterTable, made: list[Assumption]) -> float | None:
    """Hot water a day at the tap.

    Parameters:
        site: the site
        heater: its heater's table
        made: assumptions, to which this adds its own
    Returns:
        volume [m3]; None where the file tells neither it nor the people
    """
    if heater.draw.volumes is not None:
        return float(sum(heater.draw.volumes))
    if heater.draw.volume is not None:
        return float(heater.draw.volume)
    people = site.site.people
    if people is None:
        return None
    volume = float(demand.hot_water_use(people)) * DAY
    value = Quantity(volume, kinds.VOLUME)
    why = f"solar sizing rule for {people} people, taken as mixed water"
    made.append(Assumption("water_heater.draw.volume", value, why, "hot water use"))
    return volume


def work_of(
    site: Site, heater: WaterHeaterTable, element: ElementTable, setpoint: float
) -> TankAtWork:
    """The tank of a heater with what surrounds it.

    Parameters:
        site: the site
        heater: its heater's table
        element: that heats it
        setpoint: of that element's thermostat [degC]
    Returns:
        the tank at work
    """
    return TankAtWork(
        tank=tank_of(heater, element),
        inlet=float(site.well.water_temperature),
        room=float(heater.room_temperature),
        tap=float(heater.draw.temperature),
        setpoint=setpoint,
        differential=differential_of(heater),
    )
