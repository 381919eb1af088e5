"""What an array's site bears: volts of what switches it, amperes of contacts and wire."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from wellsolar.data import wiring as wire_table
from wellsolar.physics.array.stock_elements import ROUND_OFF
from wellsolar.physics.electric import cable
from wellsolar.site.schema import Site
from wellsolar.studies.array.cold_voltage import cold_voltages, greatest_allowed
from wellsolar.studies.array.heater_circuit import BRIGHTEST, HeaterCircuit, OnArray, coldest_cell
from wellsolar.studies.electric import cable as wiring
from wellsolar.units import Quantity

FEWEST_FUSED = 3
"""Rows in parallel from which a fault in one is fed by more than one other; NEC 690.9(A)."""

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
    """What a site bears of an array in place of the one that it has.

    Parameters:
        on: its element on its array
    Returns:
        the limits
    """
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


def within_plate(site: Site, circuit: HeaterCircuit, plate: float) -> bool:
    """Whether an array never drives its elements above their plate [V]."""
    return driven_to(site, circuit) <= plate * (1.0 + ROUND_OFF)
