"""The numbers behind the verdicts on a tank of hot water, whatever heats it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import air, pressure_tank
from wellsolar.physics.tank import expansion, legionella, overheating
from wellsolar.results import TankPressure, TankSafety
from wellsolar.site.schema import SecondTankTable, Site, WaterHeaterTable
from wellsolar.studies.array.heater_circuit import plate_of
from wellsolar.studies.supply.diversion import power_on_inverter

RELIEF_MARGIN = 0.10
"""How far an expansion stays below the relief valve's setting: 135 of 150 psi, an engineer's
published note on thermal expansion tanks."""

COLDEST_KILL, HOTTEST_KILL = 50.0, 70.0
"""Where times to kill legionella are published [degC]."""


def tank_safety(
    site: Site,
    heater: WaterHeaterTable,
    setpoint: float,
    array_input: float = 0.0,
    further: Sequence[float] = (),
) -> TankSafety:
    """What can be harmed by a heater's tank, and by one downstream, in numbers.

    Parameters:
        site: the site
        heater: its heater
        setpoint: of the thermostat of the element that is studied [degC]
        array_input: greatest heat of the modules on that element [W]; 0 without any
        further: the same of modules on other elements [W]
    Returns:
        numbers for the verdicts and the report
    """
    settings = [float(each.thermostat) for each in heater.element if each.thermostat is not None]
    hottest = max([setpoint, *settings])
    # Without one in the file, the one that the remedy asks for.
    guarded = max(hottest, _told(heater.high_limit, overheating.HIGH_LIMIT_RANGE[1]))
    inputs = [array_input, *further, *_plain_inputs(site, heater)]
    second = None if heater.second_tank is None else _second(site, heater.second_tank)
    pressure = _pressure(site, heater, guarded, second)
    return _safety(site, setpoint, hottest, guarded, inputs, array_input, pressure, second)


def _second(site: Site, table: SecondTankTable) -> TankSafety:
    """Of the tank downstream: what its own thermostat and element can do."""
    setpoint = float(table.thermostat)
    guarded = max(setpoint, _told(table.high_limit, overheating.HIGH_LIMIT_RANGE[1]))
    relief = _told(table.relief_pressure, overheating.RELIEF_PRESSURE)
    pressure = TankPressure(
        relief_temperature=_told(table.relief_temperature, overheating.RELIEF_TEMPERATURE),
        relief_pressure=relief,
        limit=(1.0 - RELIEF_MARGIN) * relief,
        supply=_supply_pressure(site),
        expansion=_grown(site, float(table.volume), guarded),
        after=None,
        tank_needed=None,
        expansion_tank=None,
    )
    inputs = [float(table.rated_power)]
    return _safety(site, setpoint, setpoint, guarded, inputs, 0.0, pressure, None)


def _safety(
    site: Site,
    setpoint: float,
    hottest: float,
    guarded: float,
    inputs: list[float],
    array_input: float,
    pressure: TankPressure,
    second: TankSafety | None,
) -> TankSafety:
    through = max(setpoint, float(site.limits.storage_temperature))
    return TankSafety(
        hottest=hottest,
        guarded=guarded,
        kill_time=None
        if setpoint < COLDEST_KILL
        else float(legionella.decimal_reduction_time(min(setpoint, HOTTEST_KILL))),
        heat_through=through,
        heat_through_time=float(
            legionella.heat_through_time(min(max(through, COLDEST_KILL), HOTTEST_KILL))
        ),
        boiling_temperature=float(overheating.boiling_temperature(_atmosphere(site))),
        heat_input=overheating.relief_capacity_needed(np.array(inputs)),
        array_input=array_input,
        pressure=pressure,
        second=second,
    )


def _told(value: float | None, usual: float) -> float:
    return usual if value is None else float(value)


def _atmosphere(site: Site) -> float:
    return float(air.atmospheric_pressure(float(site.site.altitude)))


def _plain_inputs(site: Site, heater: WaterHeaterTable) -> Iterator[float]:
    """Greatest heat of each element that no modules are wired to [W]."""
    arrays = {group.name for group in site.array}
    for element in heater.element:
        if element.fed_by == "inverter":
            yield power_on_inverter(site, element)
        elif element.fed_by not in arrays:
            yield plate_of(element)[0]


def _grown(site: Site, volume: float, guarded: float) -> float:
    """Water that a tank pushes out from cold to its guarded temperature [m3]."""
    inlet = float(site.well.water_temperature)
    return float(expansion.expansion_volume(volume, inlet, max(guarded, inlet)))


def _pressure(
    site: Site, heater: WaterHeaterTable, guarded: float, second: TankSafety | None
) -> TankPressure:
    relief = _told(heater.relief_pressure, overheating.RELIEF_PRESSURE)
    supply, atmospheric = _supply_pressure(site), _atmosphere(site)
    grown = _grown(site, float(heater.volume), guarded)
    own = limit = (1.0 - RELIEF_MARGIN) * relief
    if second is not None:
        # One cold pipe feeds both: what takes the expansion takes that of both, and the weaker of
        # the two relief valves sets its limit.
        grown += second.pressure.expansion
        limit = min(limit, second.pressure.limit)
    after, needed = None, None
    takes = _taking_tank(site, heater)
    if takes is not None and supply is not None:
        volume, precharge = takes
        after = _after(grown, volume, precharge, supply, atmospheric)
        needed = _tank_volume(grown, precharge, supply, limit, atmospheric)
    return TankPressure(
        relief_temperature=_told(heater.relief_temperature, overheating.RELIEF_TEMPERATURE),
        relief_pressure=relief,
        limit=own,
        supply=supply,
        expansion=grown,
        after=after,
        tank_needed=needed,
        expansion_tank=_tank_volume(grown, supply, supply, limit, atmospheric),
    )


def _taking_tank(site: Site, heater: WaterHeaterTable) -> tuple[float, float] | None:
    """Volume [m3] and precharge [Pa] of the bladder tank that takes the expansion, if any."""
    if heater.check_valve is None:
        return None
    if heater.check_valve:
        volume, precharge = heater.expansion_tank_volume, heater.expansion_tank_precharge
        if not heater.expansion_tank or volume is None or precharge is None:
            return None
        return float(volume), float(precharge)
    tank = site.pressure_tank
    if tank is None:
        return None
    charged = tank.precharge
    if charged is None:
        cut_in = 0.0 if site.pressure_switch is None else float(site.pressure_switch.cut_in)
        return float(tank.volume) * tank.count, float(pressure_tank.recommended_precharge(cut_in))
    return float(tank.volume) * tank.count, float(charged)


def _supply_pressure(site: Site) -> float | None:
    """The highest pressure at which a pump stops, or that one holds [Pa]."""
    stops = [float(site.pressure_switch.cut_out)] if site.pressure_switch else []
    held = [float(pump.held_pressure) for pump in site.pump if pump.held_pressure is not None]
    return max(stops + held, default=None)


def _after(
    grown: float, volume: float, precharge: float, supply: float, atmospheric: float
) -> float | None:
    """Pressure when the expansion has gone into a bladder tank [Pa]; None without room for it."""
    stored = pressure_tank.stored_water(volume, precharge, supply, atmospheric)
    try:
        after = pressure_tank.pressure_at(volume, precharge, stored + grown, atmospheric)
    except OutOfRange:
        return None
    return float(after)


def _tank_volume(
    grown: float, precharge: float | None, supply: float | None, limit: float, atmospheric: float
) -> float | None:
    """Bladder tank that takes the expansion [m3]; None where no volume would do."""
    if precharge is None or supply is None:
        return None
    try:
        return float(expansion.expansion_tank_volume(grown, precharge, supply, limit, atmospheric))
    except OutOfRange:
        return None
