"""The direct current of a group of modules by the electrical code's factors, and its wire."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from wellsolar.data import wiring as wire_table
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import resistive
from wellsolar.physics.array.stock_elements import ROUND_OFF
from wellsolar.physics.electric import cable
from wellsolar.results import ArrayCircuit, WireResult
from wellsolar.site.schema import ArrayTable, ModuleTable, Site
from wellsolar.studies.array.cold_voltage import cold_of, cold_voltages, greatest_allowed
from wellsolar.studies.array.coupling import Direct
from wellsolar.studies.array.heater_circuit import BRIGHTEST, HeaterCircuit, OnArray, coldest_cell
from wellsolar.studies.electric import cable as wiring
from wellsolar.units import Quantity

Breach = Literal["over_voltage", "over_current"]


@dataclass(frozen=True)
class ArrayLimits:
    """What the site's switches, contacts and wire bear of another array in place of its own.

    voltage: open in the cold, the least of 600 V and what the file's switches break [V]
    switched: current that they break [A], inf where none is told
    carried: current of the wire and of what protects it [A]; None without a wire in the file
    """

    site: Site
    on: OnArray
    voltage: float
    switched: float
    carried: float | None

    def breach(self, series: int, strings: int, rewired: bool = False) -> Breach | None:
        """Which limit an array breaks, if any; rewired: on a wire to suit."""
        wired = self.on.group.model_copy(update={"series": series, "parallel": strings})
        volts = [voltage for voltage in cold_voltages(self.site, wired) if voltage is not None]
        if max(volts, default=0.0) > self.voltage:
            return "over_voltage"
        assert self.site.module is not None
        isc = float(self.site.module.isc)
        if float(cable.pv_circuit_current(isc, strings)) > self.switched:
            return "over_current"
        fused = self.on.group.overcurrent
        carried = math.inf if self.carried is None or rewired else self.carried
        borne = min(carried, math.inf if fused is None else float(fused))
        if float(cable.pv_conductor_current(isc, strings)) > borne:
            return "over_current"
        return None

    def asks_a_fuse(self, strings: int) -> bool:
        """Whether so many rows need fuses and the file has none."""
        group = self.on.group
        return strings >= FEWEST_FUSED and group.overcurrent is None and group.string_fuse is None


def limits_of(site: Site, on: OnArray) -> ArrayLimits:
    """What a site bears of an array in place of the one that it has."""
    element, group = on.element, on.group
    volts: list[Quantity | None] = [group.isolator_voltage, greatest_allowed(site.module, group)]
    amperes = [group.isolator_current]
    if element.thermostat_switches != "AC":
        volts.append(element.switch_voltage)
        amperes.append(element.switch_current)
    if element.high_limit_switches in ("DC", "relay"):
        volts.append(element.high_limit_voltage)
        amperes.append(element.high_limit_current)
    if element.coupling == "tracking":
        volts.append(element.tracker_greatest_input)
    carried = None
    if group.cable is not None:
        carried = wiring.pv_ampacity(wire_table.wire(group.cable.gauge), group.cable)
    return ArrayLimits(
        site,
        on,
        min(float(rated) for rated in volts if rated is not None),
        min((float(rated) for rated in amperes if rated is not None), default=math.inf),
        carried,
    )


def driven_to(site: Site, circuit: HeaterCircuit) -> float:
    """Voltage across the elements in the coldest bright sun [V]."""
    return circuit.hardest().at(BRIGHTEST, coldest_cell(site)).voltage


def each_driven_to(
    site: Site, circuit: HeaterCircuit, resistances: Sequence[float]
) -> list[float]:
    """The same of each of several elements [ohm] in the place of the circuit's."""
    if not isinstance(circuit.coupling, Direct):
        return [driven_to(site, replace(circuit, resistance=each)) for each in resistances]
    array, ohms = circuit.array(BRIGHTEST, coldest_cell(site)), np.asarray(resistances)
    current = resistive.on_resistance(array, ohms, circuit.named_cable).current
    return [float(each) for each in np.asarray(current) * ohms]


def within_plate(site: Site, circuit: HeaterCircuit, plate: float) -> bool:
    """Whether an array never drives its elements above their plate [V]."""
    return driven_to(site, circuit) <= plate * (1.0 + ROUND_OFF)


FEWEST_FUSED = 3
"""Rows in parallel from which a fault in one is fed by more than one other; NEC 690.9(A)."""


@dataclass(frozen=True)
class WiredGroup:
    """A group of modules as it is wired.

    path: its key path; module: of its modules; wire: None where no cable is named
    """

    group: ArrayTable
    path: str
    module: ModuleTable
    circuit: ArrayCircuit
    wire: WireResult | None


def array_circuit(site: Site, group: ArrayTable) -> ArrayCircuit:
    """What the direct current of a group can come to, and what it asks of wires and fuses.

    Parameters:
        site: a site with a module's sheet
    """
    assert site.module is not None
    isc, rows = site.module.isc, group.parallel
    by_coefficient, by_table = cold_voltages(site, group)
    assert by_coefficient is not None
    cold = cold_of(site)
    needed = float(cable.pv_conductor_current(isc, rows))
    metric = wiring.in_mm2(site, group.cable)
    row_fuse = next_size(float(cable.pv_conductor_current(isc, 1)), metric)
    return ArrayCircuit(
        array=group.name,
        series=group.series,
        parallel=rows,
        cold_temperature=cold.temperature,
        cold_told=cold.told,
        cold_voltage=by_coefficient,
        cold_voltage_table=by_table,
        mild_voltage=group.series * float(site.module.voc),
        system_voltage=max(by_coefficient, by_table or 0.0),
        current=float(cable.pv_circuit_current(isc, rows)),
        row_current=float(cable.pv_circuit_current(isc, 1)),
        conductor_current=needed,
        overcurrent_asked=next_size(needed, metric),
        overcurrent_most=_borne(group),
        ampacity=_ampacity(group),
        row_fuse=row_fuse,
        string_fuse=row_fuse if rows >= FEWEST_FUSED else None,
    )


def plain_wire(site: Site, group: ArrayTable) -> WireResult | None:
    """The run of cable of a group that works at its maximum power in full sun; None where the file
    names no cable."""
    if group.cable is None or group.cable.length is None or site.module is None:
        return None
    module, rows = site.module, group.parallel
    metric = wiring.in_mm2(site, group.cable)
    load = wiring.array_load(
        float(module.isc), rows * float(module.imp), group.series * float(module.vmp), rows, metric
    )
    limit = float(site.limits.voltage_drop)
    return wiring.wire_run(group.cable, float(group.cable.length), load, limit, metric)


def _ampacity(group: ArrayTable) -> float | None:
    """Ampacity of the named wire where it lies, no more than its terminals allow [A]."""
    if group.cable is None:
        return None
    return wiring.ampacity(wire_table.wire(group.cable.gauge), group.cable)


def _borne(group: ArrayTable) -> float | None:
    """The largest device that the named wire bears: its ampacity, or the next size above it where
    that is none, and no more than thin wires are allowed [A]; NEC 240.4(B) and (D)."""
    bears = _ampacity(group)
    if group.cable is None or bears is None:
        return None
    wire = wire_table.wire(group.cable.gauge)
    limit, most = wire.small_conductor_limit, next_size(bears, wire.metric)
    return limit if most is None else min(most, limit or math.inf)


def next_size(current: float, metric: bool) -> float | None:
    """The next standard device [A], of a site wired in mm2 or not; None above the table."""
    try:
        return wire_table.next_overcurrent_size(current, metric)
    except OutOfRange:
        return None
