"""The numbers behind the verdicts on hot water and direct current of a PV-heated tank."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from wellsolar.constants import HOUR, PSI
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import heating_element
from wellsolar.physics.hydraulics import pressure_tank, suction
from wellsolar.physics.tank import expansion, overheating
from wellsolar.results.heat_safety import FedElement, HeatSafety, TankPressure, TankSafety
from wellsolar.site.schema import ArrayTable, ElementTable, SecondTankTable, Site, WaterHeaterTable
from wellsolar.studies.array.circuit import array_circuit
from wellsolar.studies.array.cold_voltage import cold_of
from wellsolar.studies.array.heater_circuit import (
    BRIGHTEST,
    HeaterCircuit,
    array_wire,
    circuit_of,
    coldest_cell,
    plate_of,
)
from wellsolar.studies.sun.module_sheet import REFERENCE_CELL
from wellsolar.studies.supply.diversion import power_on_inverter

RELIEF_MARGIN = 0.10
"""How far an expansion stays below the relief valve's setting: 135 of 150 psi, an engineer's
published note on thermal expansion tanks."""

HOUSE_PRESSURE = 80.0 * PSI
"""Greatest static pressure in a house [Pa]: IPC 604.8, which 607.3 asks of the expansion behind a
check valve."""

HEAT_THROUGH = 60.0
"""What a whole tank is held at for an hour against legionella [degC]: technical guidance to the
Approved Code of Practice L8, as quoted; it outlasts the 32 min in which all are said to die."""


def tank_safety(
    site: Site,
    heater: WaterHeaterTable,
    setpoint: float,
    array_input: float = 0.0,
    further: Sequence[float] = (),
) -> TankSafety:
    """What can be harmed by a heater's tank, and by one downstream, in numbers.

    Parameters:
        setpoint: of the thermostat of the element that is studied [degC]
        array_input: greatest heat of the modules on that element [W]; 0 without any
        further: the same of modules on other elements [W]
    """
    settings = [
        float(element.thermostat) for element in heater.element if element.thermostat is not None
    ]
    hottest = max([setpoint, *settings])
    guarded = max(hottest, _reached(heater))
    inputs = [array_input, *further, *_plain_inputs(site, heater)]
    second = None if heater.second_tank is None else _second(site, heater.second_tank)
    pressure = _pressure(site, heater, guarded, second)
    return _safety(site, hottest, guarded, inputs, array_input, pressure, second)


def _second(site: Site, table: SecondTankTable) -> TankSafety:
    """Of the tank downstream: what its own thermostat and element can do."""
    setpoint = float(table.thermostat)
    guarded = max(setpoint, _reached(table))
    relief = _or_usual(table.relief_pressure, overheating.RELIEF_PRESSURE)
    pressure = TankPressure(
        relief_temperature=_or_usual(table.relief_temperature, overheating.RELIEF_TEMPERATURE),
        relief_pressure=relief,
        limit=(1.0 - RELIEF_MARGIN) * relief,
        supply=_supply_pressure(site),
        expansion=_grown(site, table.volume, guarded),
        expansion_limit=(1.0 - RELIEF_MARGIN) * relief,
        after=None,
        tank_needed=None,
        expansion_tank=None,
    )
    inputs = [float(table.rated_power)]
    return _safety(site, setpoint, guarded, inputs, 0.0, pressure, None)


def _safety(
    site: Site,
    hottest: float,
    guarded: float,
    inputs: list[float],
    array_input: float,
    pressure: TankPressure,
    second: TankSafety | None,
) -> TankSafety:
    """The numbers of one tank, whichever it is."""
    return TankSafety(
        hottest=hottest,
        guarded=guarded,
        heat_through=max(HEAT_THROUGH, float(site.limits.storage_temperature)),
        heat_through_time=HOUR,
        boiling_temperature=overheating.boiling_temperature(_atmosphere(site)),
        heat_input=overheating.relief_capacity_needed(np.array(inputs)),
        array_input=array_input,
        pressure=pressure,
        second=second,
    )


def _reached(table: WaterHeaterTable | SecondTankTable) -> float:
    """Where a tank stops whose thermostat sticks [degC]: at its high limit, else its relief."""
    relief = _or_usual(table.relief_temperature, overheating.RELIEF_TEMPERATURE)
    return _or_usual(table.high_limit, relief)


def _or_usual(value: float | None, usual: float) -> float:
    """A value of the file, else the usual one."""
    return usual if value is None else float(value)


def _atmosphere(site: Site) -> float:
    """Pressure of the air at the site [Pa]."""
    return suction.atmospheric_pressure(site.site.altitude)


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
    inlet = site.well.water_temperature
    return expansion.expansion_volume(volume, inlet, max(guarded, inlet))


def _pressure(
    site: Site, heater: WaterHeaterTable, guarded: float, second: TankSafety | None
) -> TankPressure:
    """Where the heater's expansion goes, and what it does to the pressure."""
    relief = _or_usual(heater.relief_pressure, overheating.RELIEF_PRESSURE)
    supply, atmospheric = _supply_pressure(site), _atmosphere(site)
    grown = _grown(site, heater.volume, guarded)
    own = limit = (1.0 - RELIEF_MARGIN) * relief
    if second is not None:
        # One cold pipe feeds both: what takes the expansion takes that of both, and the weaker of
        # the two relief valves sets its limit.
        grown += second.pressure.expansion
        limit = min(limit, second.pressure.limit)
    if heater.check_valve:
        limit = min(limit, HOUSE_PRESSURE)
    after, needed = None, None
    takes = _taking_tank(site, heater)
    if takes is not None and supply is not None:
        volume, precharge = takes
        after = _after(grown, volume, precharge, supply, atmospheric)
        needed = _tank_volume(grown, precharge, supply, limit, atmospheric)
    return TankPressure(
        relief_temperature=_or_usual(heater.relief_temperature, overheating.RELIEF_TEMPERATURE),
        relief_pressure=relief,
        limit=own,
        supply=supply,
        expansion=grown,
        expansion_limit=limit,
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
        return volume, precharge
    tank = site.pressure_tank
    if tank is None:
        return None
    precharge = tank.precharge
    if precharge is not None:
        return tank.volume * tank.count, precharge
    cut_in = 0.0 if site.pressure_switch is None else site.pressure_switch.cut_in
    return tank.volume * tank.count, pressure_tank.recommended_precharge(cut_in)


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
        return pressure_tank.pressure_at(volume, precharge, stored + grown, atmospheric)
    except OutOfRange:
        return None


def _tank_volume(
    grown: float, precharge: float | None, supply: float | None, limit: float, atmospheric: float
) -> float | None:
    """Bladder tank that takes the expansion [m3]; None where no volume would do."""
    if precharge is None or supply is None:
        return None
    try:
        return expansion.expansion_tank_volume(grown, precharge, supply, limit, atmospheric)
    except OutOfRange:
        return None


@dataclass(frozen=True)
class HeaterOnArray:
    """A heater and the group of modules that heats it, with the circuit of both."""

    site: Site
    heater: WaterHeaterTable
    element: ElementTable
    group: ArrayTable
    circuit: HeaterCircuit


def heat_safety(at: HeaterOnArray, setpoint: float) -> HeatSafety:
    """What can be harmed by a heater and its arrays, in numbers.

    Parameters:
        setpoint: of the thermostat of the element on it [degC]
    """
    voltage, power = _at_one_element(at, at.circuit, coldest_cell(at.site))
    others = tuple(_others(at))
    array_input = _array_input(at.site, at.element, at.circuit)
    further = [_array_input(other.site, other.element, other.circuit) for _, other in others]
    tank = tank_safety(at.site, at.heater, setpoint, array_input, further)
    return HeatSafety(
        **{field.name: getattr(tank, field.name) for field in fields(tank)},
        element_voltage=voltage,
        element_power=power,
        mild_element_voltage=_mild_voltage(at),
        most_series=_most_series(at, voltage),
        circuit=array_circuit(at.site, at.group),
        others=tuple(_fed(number, other) for number, other in others),
    )


def _others(at: HeaterOnArray) -> Iterator[tuple[int, HeaterOnArray]]:
    """Further elements with the arrays that feed them, by their place in the file."""
    groups = {group.name: group for group in at.site.array}
    for number, element in enumerate(at.heater.element, 1):
        group = groups.get(element.fed_by)
        if element is not at.element and group is not None:
            circuit = circuit_of(at.circuit.parameters, group, element)
            yield number, replace(at, element=element, group=group, circuit=circuit)


def _fed(number: int, at: HeaterOnArray) -> FedElement:
    """The numbers of an element on an array of its own."""
    voltage, power = _at_one_element(at, at.circuit, coldest_cell(at.site))
    return FedElement(
        path=f"water_heater.element[{number}]",
        number=number,
        array=at.group.name,
        element_voltage=voltage,
        element_power=power,
        mild_element_voltage=_mild_voltage(at),
        most_series=_most_series(at, voltage),
        circuit=array_circuit(at.site, at.group),
        wire=array_wire(at.site, at.group, at.circuit),
    )


def _mild_voltage(at: HeaterOnArray) -> float:
    """Greatest voltage at one element with cells at 25 degC where no record low is told, or else
    in that [V]."""
    cell = coldest_cell(at.site) if cold_of(at.site).told else REFERENCE_CELL
    return _at_one_element(at, at.circuit, cell)[0]


def _at_one_element(at: HeaterOnArray, circuit: HeaterCircuit, cell: float) -> tuple[float, float]:
    """Greatest voltage [V] and power [W] at one of the elements that the array feeds, with cells
    at a temperature [degC]."""
    element = at.element
    if element.coupling == "switched":
        voltage = max(_switched_voltages(at, circuit, cell))
    else:
        voltage = circuit.hardest().at(BRIGHTEST, cell).voltage
        if element.wired == "series":
            voltage /= element.count
    load = heating_element.element_load(element.rated_power, element.rated_voltage, voltage)
    return float(load.voltage), float(load.power)


def _switched_voltages(at: HeaterOnArray, circuit: HeaterCircuit, cell: float) -> Iterator[float]:
    """At one element, for each resistance that relays can make or stick at [V].

    Of elements alike, a resistance above that of one is a chain, in which each bears its part.
    """
    one = heating_element.element_resistance(at.element.rated_power, at.element.rated_voltage)
    for resistance in map(float, at.element.switched_resistances or (one,)):
        joined = replace(circuit, resistance=resistance)
        voltage = joined.point(BRIGHTEST, cell).voltage
        yield voltage * min(1.0, one / resistance)


def _most_series(at: HeaterOnArray, voltage: float) -> int | None:
    """Modules in series that keep the element within its plate; None where it is within."""
    plate = at.element.rated_voltage
    if voltage <= plate:
        return None
    for series in range(at.group.series - 1, 0, -1):
        fewer = replace(at.circuit, series=series)
        if _at_one_element(at, fewer, coldest_cell(at.site))[0] <= plate:
            return series
    return 0


def _array_input(site: Site, element: ElementTable, circuit: HeaterCircuit) -> float:
    """Heat of an array in the coldest bright sun: what it puts into the element it is wired to,
    what electronics do at their most, or its maximum power where relays bring it near that [W]."""
    point = circuit.hardest().point(BRIGHTEST, coldest_cell(site))
    return point.maximum_power if element.coupling == "switched" else point.power
