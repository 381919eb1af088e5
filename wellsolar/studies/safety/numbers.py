"""The numbers behind the verdicts on hot water and direct current of a PV-heated tank."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace

from wellsolar.data import wiring as wire_table
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import heating_element
from wellsolar.physics.array.resistive import open_circuit_voltage
from wellsolar.physics.electric import cable
from wellsolar.results import ArrayCircuit, FedElement, HeatSafety
from wellsolar.site.schema import ArrayTable, ElementTable, Site, WaterHeaterTable
from wellsolar.studies.array.heater_circuit import BRIGHTEST, HeaterCircuit, array_wire, circuit_of
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.safety.tank import tank_safety
from wellsolar.studies.sun.modules import REFERENCE_CELL, cold_voltages
from wellsolar.verdicts import Assumption

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
    voltage, power = _at_one_element(at, at.circuit)
    others = tuple(_others(at))
    array_input = _array_input(at.site, at.element, at.circuit)
    further = [_array_input(each.site, each.element, each.circuit) for _, each in others]
    tank = tank_safety(at.site, at.heater, at.setpoint, array_input, further)
    return HeatSafety(
        **{each.name: getattr(tank, each.name) for each in fields(tank)},
        element_voltage=voltage,
        element_power=power,
        most_series=_most_series(at, voltage),
        circuit=_circuit(at),
        others=tuple(_fed(number, each) for number, each in others),
    )


def heat_left_out(safety: HeatSafety) -> list[Assumption]:
    """That days and year leave out the heat of further arrays.

    Parameters:
        safety: of the tank
    Returns:
        one assumption for each element on an array of its own
    """
    why = (
        "days and year count the heat of the first element's array alone: there is more, and the "
        "guards of the tank count it"
    )
    return [
        Assumption(f"{each.path}.fed_by", each.array, why, "common practice")
        for each in safety.others
    ]


def _others(at: HeaterOnArray) -> Iterator[tuple[int, HeaterOnArray]]:
    """Further elements with the arrays that feed them, by their place in the file."""
    groups = {group.name: group for group in at.site.array}
    for number, element in enumerate(at.heater.element, 1):
        group = groups.get(element.fed_by)
        if element is not at.element and group is not None:
            circuit = circuit_of(at.circuit.parameters, group, element)
            yield number, replace(at, element=element, group=group, circuit=circuit)


def _fed(number: int, at: HeaterOnArray) -> FedElement:
    voltage, power = _at_one_element(at, at.circuit)
    circuit, open_volts = _circuit(at), cold_voltages(at.site, at.group)
    cold = at.site.sun.record_low
    warm = at.circuit.array(BRIGHTEST, REFERENCE_CELL)
    return FedElement(
        path=f"water_heater.element[{number}]",
        number=number,
        array=at.group.name,
        series=at.group.series,
        cold_temperature=None if cold is None else float(cold),
        cold_voltage=open_volts[0],
        cold_voltage_table=open_volts[1],
        most_voltage=circuit.system_voltage or float(open_circuit_voltage(warm)),
        element_voltage=voltage,
        element_power=power,
        most_series=_most_series(at, voltage),
        circuit=circuit,
        wire=array_wire(at.site, at.group, at.circuit),
    )


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
            most = min(point.maximum_power, _most_tracked(element))
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


def _most_tracked(element: ElementTable) -> float:
    return math.inf if element.tracker_maximum is None else float(element.tracker_maximum)


def _array_input(site: Site, element: ElementTable, circuit: HeaterCircuit) -> float:
    """Heat of an array in the coldest bright sun: what it puts into the element it is wired to,
    or its maximum power where relays or electronics bring it near that [W]."""
    point = circuit.point(BRIGHTEST, _cold_cell(site))
    if element.coupling == "direct":
        return point.power
    return min(point.maximum_power, _most_tracked(element))


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
