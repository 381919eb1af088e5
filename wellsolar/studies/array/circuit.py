"""The direct current of a group of modules by the electrical code's factors, its wire, its voltage
at work, and what the site bears of an array in its place."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from wellsolar import kinds
from wellsolar.data import wiring as wire_table
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module, resistive
from wellsolar.physics.array.stock_elements import ROUND_OFF
from wellsolar.physics.electric import cable
from wellsolar.physics.sun import tilted_plane
from wellsolar.results.heat_safety import ArrayCircuit, ArrayResult
from wellsolar.results.pumps import WireResult
from wellsolar.site.schema import ArrayTable, ModuleTable, PumpTable, Site
from wellsolar.studies.array.cold_voltage import cold_of, cold_voltages, greatest_allowed
from wellsolar.studies.array.coupling import Direct
from wellsolar.studies.array.heater_circuit import (
    BRIGHTEST,
    LIGHT_WIND,
    HeaterCircuit,
    OnArray,
    coldest_cell,
)
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.house.wells import at_well
from wellsolar.studies.sun.module_sheet import REFERENCE_CELL, parameters_of
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Place,
    Remedy,
    Rule,
    Verdict,
    at_least,
    at_most,
    remedy,
    say,
    set_to,
)

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
        if cable.pv_circuit_current(isc, strings) > self.switched:
            return "over_current"
        fused = self.on.group.overcurrent
        carried = math.inf if self.carried is None or rewired else self.carried
        borne = min(carried, math.inf if fused is None else float(fused))
        if cable.pv_conductor_current(isc, strings) > borne:
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
        return [
            driven_to(site, replace(circuit, resistance=resistance)) for resistance in resistances
        ]
    array, ohms = circuit.array(BRIGHTEST, coldest_cell(site)), np.asarray(resistances)
    current = resistive.on_resistance(array, ohms, circuit.named_cable).current
    return [float(voltage) for voltage in np.asarray(current) * ohms]


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
    needed = cable.pv_conductor_current(isc, rows)
    metric = wiring.in_mm2(site, group.cable)
    row_fuse = next_size(cable.pv_conductor_current(isc, 1), metric)
    return ArrayCircuit(
        array=group.name,
        series=group.series,
        parallel=rows,
        cold_temperature=cold.temperature,
        cold_told=cold.told,
        cold_voltage=by_coefficient,
        cold_voltage_table=by_table,
        mild_voltage=group.series * site.module.voc,
        system_voltage=max(by_coefficient, by_table or 0.0),
        current=cable.pv_circuit_current(isc, rows),
        row_current=cable.pv_circuit_current(isc, 1),
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
        float(module.isc), rows * module.imp, group.series * module.vmp, rows, metric
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


FULL_SUN = 1000.0
"""At which a module's sheet is made [W/m2]."""

HOT_CELL = 70.0
"""Cells on a hot roof in full sun [degC]: common practice, no source."""

OPERATING_VOLTAGE = Rule(
    "operating voltage",
    "is the array's voltage at work enough for what it feeds?",
    "voltage at maximum power in full sun, in the air of the hottest month, no less than the "
    "controller, drive or motor works from; a motor's speed goes with its voltage and its head "
    "with the square of it",
    "voltage window",
    limit_is="at least",
    by="electrician",
    place=Place(section="circuit_guards"),
)


def behind_drive(site: Site, group: ArrayTable) -> ArrayTable:
    """A group with the voltages of the solar drives that it feeds, where these are tighter: the
    group, its greatest and least input voltage those of group and drives together."""
    if group.feeds != "pump":
        return group
    most = [group.greatest_input_voltage, *(pump.greatest_voltage for pump in site.pump)]
    least = [group.least_input_voltage, *(pump.least_voltage for pump in site.pump)]
    return group.model_copy(
        update={
            "greatest_input_voltage": min(filter(None, most), default=None),
            "least_input_voltage": max(filter(None, least), default=None),
        }
    )


def working_voltages(site: Site, group: ArrayTable) -> tuple[float, float] | None:
    """Voltage of a group at its maximum power in full sun, in the hottest month's air, or with
    cells as its sheet has them where the file tells no air, and with hot cells [V]; None where the
    module's sheet does not hold together."""
    assert site.module is not None
    try:
        parameters = parameters_of(site.module)
    except OutOfRange:
        return None
    air = site.sun.temperature
    cell = REFERENCE_CELL
    if air is not None:
        cell = float(tilted_plane.cell_temperature(FULL_SUN, max(map(float, air)), LIGHT_WIND))

    def at(temperature: float) -> float:
        one = module.at_conditions(parameters, FULL_SUN, temperature)
        array = module.array_of(one, group.series, group.parallel)
        return float(resistive.maximum_power_point(array).voltage)

    return at(cell), at(max(cell, HOT_CELL))


def operating_voltage_verdict(site: Site, group: ArrayTable, array: ArrayResult) -> Verdict:
    """Whether a group's voltage at work is enough for the pump or the battery that it feeds."""
    if array.working_voltage is None or array.hot_voltage is None:
        return OPERATING_VOLTAGE.unknown(group.name, "module.vmp", "module.imp")
    volts = Quantity(array.working_voltage, kinds.VOLTAGE)
    hot = Quantity(array.hot_voltage, kinds.VOLTAGE)
    least = group.least_input_voltage
    if least is None:
        return _without_a_least(site, group, array, volts)
    works, works_hot = at_least(volts, least), at_least(hot, least)
    template = "{volts} at work in full sun, {hot} on a hot roof; it works from {least} on"
    if site.sun.temperature is None:
        if works and not works_hot:
            # Between cells at 25 degC and at 70 degC the air decides.
            why = say(template.replace("full sun", "full sun with cells at 25 °C (77 °F)"),
                      volts=volts, hot=hot, least=least)  # fmt: skip
            return OPERATING_VOLTAGE.unknown(group.name, "sun.temperature", why=why)
        template = template.replace("full sun", "full sun even with cells at 25 °C (77 °F)")
    return OPERATING_VOLTAGE.verdict(
        "pass" if works_hot else "caution" if works else "fail",
        group.name,
        say(template, volts=volts, hot=hot, least=least),
        quantity=hot if works else volts,
        limit=least,
        remedy=_longer(site, group, array, least),
    )


def _without_a_least(
    site: Site, group: ArrayTable, array: ArrayResult, volts: Quantity
) -> Verdict:
    """Where the file does not tell from which voltage what is fed works: only a motor that could
    lift no water at that voltage is known to fail."""
    key = f"{array.path}.least_input_voltage"
    pumps = [pump for pump in site.pump if pump.voltage is not None and pump.kind == "submersible"]
    if group.feeds != "pump" or not pumps or len(pumps) < len(site.pump):
        return OPERATING_VOLTAGE.unknown(group.name, key)
    seen = [at_well(site, pump) for pump in pumps]
    lift = max(0.0, min(site.well.static_level + site.piping.tank_elevation for site in seen))
    best = max(pumps, key=lambda pump: _head_at(pump, volts))
    head = _head_at(best, volts)
    if head >= lift:
        return OPERATING_VOLTAGE.unknown(group.name, key)
    enough = _full_voltage(best) * math.sqrt(lift / max(map(float, best.head)))
    return OPERATING_VOLTAGE.verdict(
        "fail",
        group.name,
        say(
            "{volts} at work in full sun: a motor made for {rated} turns too slowly on it to lift "
            "water {lift}; its pump comes to {head}",
            volts=volts,
            rated=best.voltage or "",
            lift=Quantity(lift, kinds.LENGTH),
            head=Quantity(head, kinds.HEAD),
        ),
        quantity=volts,
        limit=Quantity(enough, kinds.VOLTAGE),
        remedy=_longer(site, group, array, _full_voltage(best), key),
    )


def _full_voltage(pump: PumpTable) -> float:
    """Direct voltage at which a drive gives a motor all that it is made for [V]: the peak of an
    alternating one."""
    assert pump.voltage is not None
    return pump.voltage * (1.0 if pump.supply == "DC" else math.sqrt(2.0))


def _head_at(pump: PumpTable, volts: float) -> float:
    """The greatest head of a pump whose drive gets so many volts, by the affinity laws [m]."""
    speed = min(1.0, volts / _full_voltage(pump))
    return speed**2 * max(map(float, pump.head))


def _longer(
    site: Site, group: ArrayTable, array: ArrayResult, least: float, key: str = ""
) -> Remedy:
    """More modules in series, with what is fed told where the file does not."""
    assert array.hot_voltage is not None
    needed = math.ceil(least / (array.hot_voltage / group.series) - 1e-9)
    circuit, most = array.circuit, greatest_allowed(site.module, group)
    cold = circuit.system_voltage if circuit.cold_told else circuit.mild_voltage
    if not at_most(Quantity(cold * needed / group.series, kinds.VOLTAGE), most):
        return remedy(
            "a drive or controller of a wider window: the {needed} modules in series that it "
            "starts on are open too high for the {most} that are allowed",
            "no number of these modules in series suits both ends of the window",
            needed=f"{needed}",
            most=most,
        )
    changes = [set_to(f"{array.path}.series", needed)]
    if key:
        quantity = Quantity(float(math.floor(least)), kinds.VOLTAGE)
        changes.append(set_to(key, quantity))
    return remedy(
        "{needed} modules in series, as far as the cold allows",
        changes,
        needed=f"{needed}",
    )
