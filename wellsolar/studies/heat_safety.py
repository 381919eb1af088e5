"""The numbers behind the verdicts on hot water and direct current of a PV-heated tank."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from wellsolar.data import wiring as wire_table
from wellsolar.errors import OutOfRange
from wellsolar.physics import (
    air,
    cable,
    expansion,
    heating_element,
    legionella,
    overheating,
    pressure_tank,
)
from wellsolar.results import ArrayCircuit, HeatSafety, TankPressure
from wellsolar.site.schema import ArrayTable, ElementTable, Site, WaterHeaterTable
from wellsolar.studies import wiring
from wellsolar.studies.pv_heater import (
    BRIGHTEST,
    REFERENCE_CELL,
    HeaterCircuit,
    circuit_of,
    cold_voltages,
    plate_of,
)

RELIEF_MARGIN = 0.10
"""How far an expansion stays below the relief valve's setting: 135 of 150 psi, an engineer's
published note on thermal expansion tanks."""

COLDEST_KILL, HOTTEST_KILL = 50.0, 70.0
"""Where times to kill legionella are published [degC]."""

FEWEST_FUSED = 3
"""Rows in parallel from which a fault in one is fed by more than one other; NEC 690.9(A)."""


@dataclass(frozen=True)
class HeaterOnArray:
    """A heater and the group of modules that heats it.

    circuit: of both; setpoint: of the thermostat, inlet: the cold water [degC]
    """

    site: Site
    heater: WaterHeaterTable
    element: ElementTable
    group: ArrayTable
    circuit: HeaterCircuit
    setpoint: float
    inlet: float


def heat_safety(at: HeaterOnArray) -> HeatSafety:
    """What can be harmed, in numbers.

    Parameters:
        at: the heater and its array
    Returns:
        numbers for the verdicts and the report
    """
    settings = [
        float(each.thermostat) for each in at.heater.element if each.thermostat is not None
    ]
    hottest = max([at.setpoint, *settings])
    # Without one in the file, the one that the remedy asks for.
    guarded = max(hottest, _told(at.heater.high_limit, overheating.HIGH_LIMIT_RANGE[1]))
    atmospheric = float(air.atmospheric_pressure(float(at.site.site.altitude)))
    boiling = float(overheating.boiling_temperature(atmospheric))
    through = max(at.setpoint, float(at.site.limits.storage_temperature))
    voltage, power = _at_one_element(at, at.circuit)
    array_input, others = _heat_inputs(at)
    return HeatSafety(
        hottest=hottest,
        guarded=guarded,
        kill_time=None
        if at.setpoint < COLDEST_KILL
        else float(legionella.decimal_reduction_time(min(at.setpoint, HOTTEST_KILL))),
        heat_through=through,
        heat_through_time=float(
            legionella.heat_through_time(min(max(through, COLDEST_KILL), HOTTEST_KILL))
        ),
        boiling_temperature=boiling,
        heat_input=overheating.relief_capacity_needed(np.array([array_input, *others])),
        array_input=array_input,
        element_voltage=voltage,
        element_power=power,
        most_series=_most_series(at, voltage),
        pressure=_pressure(at, guarded, atmospheric),
        circuit=_circuit(at),
    )


def _told(value: float | None, usual: float) -> float:
    return usual if value is None else float(value)


def _relief_temperature(heater: WaterHeaterTable) -> float:
    return _told(heater.relief_temperature, overheating.RELIEF_TEMPERATURE)


def _cold_cell(site: Site) -> float:
    """Cells in the coldest bright sun; at their test temperature without a record low [degC]."""
    return REFERENCE_CELL if site.sun.record_low is None else float(site.sun.record_low)


def _at_one_element(at: HeaterOnArray, circuit: HeaterCircuit) -> tuple[float, float]:
    """Greatest voltage [V] and power [W] at one of the elements that the array feeds."""
    element = at.element
    if element.coupling == "switched":
        voltage = max(_switched_voltages(at, circuit))
    else:
        point = circuit.point(BRIGHTEST, _cold_cell(at.site))
        voltage = point.voltage
        if element.coupling == "tracking":
            most = min(point.maximum_power, _told(element.tracker_maximum, math.inf))
            voltage = math.sqrt(most * circuit.resistance)
        if element.wired == "series":
            voltage /= element.count
    load = heating_element.element_load(
        float(element.rated_power), float(element.rated_voltage), voltage
    )
    return float(load.voltage), float(load.power)


def _switched_voltages(at: HeaterOnArray, circuit: HeaterCircuit) -> Iterator[float]:
    """At one element, for each resistance that relays can make or stick at [V].

    Of elements alike, a resistance above that of one is a chain, in which each bears its part.
    """
    one = float(
        heating_element.element_resistance(
            float(at.element.rated_power), float(at.element.rated_voltage)
        )
    )
    for resistance in map(float, at.element.switched_resistances or (one,)):
        joined = replace(circuit, resistance=resistance)
        voltage = joined.point(BRIGHTEST, _cold_cell(at.site)).voltage
        yield voltage * min(1.0, one / resistance)


def _most_series(at: HeaterOnArray, voltage: float) -> int | None:
    """Modules in series that keep the element within its plate; None where it is within."""
    plate = float(at.element.rated_voltage)
    if voltage <= plate:
        return None
    for series in range(at.group.series - 1, 0, -1):
        if _at_one_element(at, replace(at.circuit, series=series))[0] <= plate:
            return series
    return 0


def _heat_inputs(at: HeaterOnArray) -> tuple[float, list[float]]:
    """Greatest heat of the array that is studied, and of every other element [W]."""
    others = []
    groups = {group.name: group for group in at.site.array}
    for element in at.heater.element:
        if element is at.element:
            continue
        if element.fed_by in groups:
            group = groups[element.fed_by]
            circuit = circuit_of(at.circuit.parameters, group, element)
            others.append(_array_input(at.site, element, circuit))
        else:
            others.append(plate_of(element)[0])
    return _array_input(at.site, at.element, at.circuit), others


def _array_input(site: Site, element: ElementTable, circuit: HeaterCircuit) -> float:
    """Heat of an array in the coldest bright sun: what it puts into the element it is wired to,
    or its maximum power where relays or electronics bring it near that [W]."""
    point = circuit.point(BRIGHTEST, _cold_cell(site))
    if element.coupling == "direct":
        return point.power
    return min(point.maximum_power, _told(element.tracker_maximum, math.inf))


def _pressure(at: HeaterOnArray, guarded: float, atmospheric: float) -> TankPressure:
    heater = at.heater
    relief = _told(heater.relief_pressure, overheating.RELIEF_PRESSURE)
    limit = (1.0 - RELIEF_MARGIN) * relief
    supply = _supply_pressure(at.site)
    grown = float(
        expansion.expansion_volume(float(heater.volume), at.inlet, max(guarded, at.inlet))
    )
    after, needed = None, None
    takes = _taking_tank(at.site, heater)
    if takes is not None and supply is not None:
        volume, precharge = takes
        after = _after(grown, volume, precharge, supply, atmospheric)
        needed = _tank_volume(grown, precharge, supply, limit, atmospheric)
    return TankPressure(
        relief_temperature=_relief_temperature(heater),
        relief_pressure=relief,
        limit=limit,
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


def _circuit(at: HeaterOnArray) -> ArrayCircuit:
    assert at.site.module is not None
    isc, rows = float(at.site.module.isc), at.group.parallel
    volts = [each for each in cold_voltages(at.site, at.group) if each is not None]
    needed = float(cable.pv_conductor_current(isc, rows))
    return ArrayCircuit(
        system_voltage=max(volts, default=None),
        current=float(cable.pv_circuit_current(isc, rows)),
        conductor_current=needed,
        overcurrent_asked=_next_size(needed),
        overcurrent_most=_borne(at.group),
        string_fuse=_next_size(float(cable.pv_conductor_current(isc, 1)))
        if rows >= FEWEST_FUSED
        else None,
    )


def _borne(group: ArrayTable) -> float | None:
    """The largest device that the named wire bears: its ampacity, or the next size above it where
    that is none, and no more than thin wires are allowed [A]; NEC 240.4(B) and (D)."""
    if group.cable is None:
        return None
    wire = wire_table.wire(group.cable.gauge)
    most = _next_size(wiring.ampacity(wire, group.cable))
    if most is None:
        return wire.small_conductor_limit
    return min(most, wire.small_conductor_limit or math.inf)


def _next_size(current: float) -> float | None:
    try:
        return wire_table.next_overcurrent_size(current)
    except OutOfRange:
        return None
