"""The open-circuit voltage of a group of modules in the cold, and whether it is safe."""

from __future__ import annotations

import math
from typing import NamedTuple

from wellsolar import kinds
from wellsolar.data import wiring as wire_table
from wellsolar.errors import OutOfRange
from wellsolar.physics.electric import cable
from wellsolar.results.heat_safety import ArrayCircuit
from wellsolar.site.schema import ArrayTable, ModuleTable, Site
from wellsolar.units import Quantity, show
from wellsolar.verdicts import (
    Assumption,
    Place,
    Remedy,
    Rule,
    Sentence,
    Verdict,
    at_most,
    remedy,
    say,
    set_to,
)

DWELLING_VOLTAGE = 600.0
"""Highest direct voltage in a one- or two-family dwelling [V]; NEC 690.7 (second hand). Wire and
switches for houses are made for as much."""

COLD_VOLTAGE = Rule(
    "cold open-circuit voltage",
    "is the array's voltage safe in the cold?",
    "open-circuit voltage at the record low within 600 V, within what the modules' label allows "
    "a row of them, and within what the controller, inverter or drive behind it bears",
    "cold voltage",
    limit_is="at most",
    safety=True,
    by="electrician",
    place=Place("array", "heater_array|circuit_guards"),
)


class Cold(NamedTuple):
    """The coldest that a site is taken to be [degC], and whether its file tells it."""

    temperature: float
    told: bool


def cold_of(site: Site) -> Cold:
    """The record low, or the coldest of the electrical code's table where the file has none."""
    low = site.sun.record_low
    return Cold(wire_table.coldest(), False) if low is None else Cold(float(low), True)


def cold_assumed(site: Site) -> tuple[Assumption, ...]:
    """The cold that the voltage of modules is taken at where the file tells none."""
    cold = cold_of(site)
    if cold.told:
        return ()
    why = (
        "no record given: the coldest row of the electrical code's table, for whatever has to "
        "bear the modules' voltage"
    )
    value = Quantity(cold.temperature, kinds.TEMPERATURE)
    return (Assumption("sun.record_low", value, why, "cold voltage"),)


def cold_voltages(site: Site, group: ArrayTable) -> tuple[float | None, float | None]:
    """Open-circuit voltage of a group in the cold, by coefficient and by table [V]; None without a
    module's sheet, and by a table that ends before it."""
    if site.module is None:
        return None, None
    cold = cold_of(site).temperature
    voltage, coefficient = site.module.voc, site.module.voc_coefficient
    by_coefficient = cable.cold_open_circuit_voltage(voltage, group.series, cold, coefficient)
    try:
        by_table = voltage * group.series * wire_table.cold_voltage_factor(cold)
    except OutOfRange:
        return by_coefficient, None
    return by_coefficient, by_table


def open_in_the_cold(circuit: ArrayCircuit) -> Quantity:
    """The greatest voltage of a group, with nothing connected [V]."""
    return Quantity(circuit.system_voltage, kinds.VOLTAGE)


def hangs_on_the_cold(circuit: ArrayCircuit, limit: float) -> bool:
    """True where a limit [V] is passed by the assumed cold alone, and not at 25 degC."""
    return not circuit.cold_told and circuit.mild_voltage <= limit


def greatest_allowed(module: ModuleTable | None, group: ArrayTable) -> Quantity:
    """The open-circuit voltage that a dwelling, a group's modules and what stands behind them bear
    [V]."""
    label = None if module is None else module.greatest_system_voltage
    limits = (group.greatest_input_voltage, label)
    return Quantity(min(DWELLING_VOLTAGE, *filter(None, limits), math.inf), kinds.VOLTAGE)


def cold_voltage_verdict(
    module: ModuleTable | None,
    group: ArrayTable,
    path: str,
    circuit: ArrayCircuit,
    subject: str,
    working: float | None = None,
) -> Verdict:
    """Whether a group's voltage is safe in the cold for a dwelling and for what stands behind it.

    Parameters:
        working: its voltage at work in full sun [V], where it may be too low for what it feeds
    """
    volts, quantity = open_in_the_cold(circuit), group.greatest_input_voltage
    limit = greatest_allowed(module, group)
    reason = _reached(circuit)
    if not at_most(volts, limit):
        if hangs_on_the_cold(circuit, limit):
            return COLD_VOLTAGE.unknown(subject, "sun.record_low", why=_within(circuit, limit))
        return COLD_VOLTAGE.verdict(
            "fail", subject, reason, quantity=volts, limit=limit,
            remedy=_shorter(group, path, circuit, limit, working),
        )  # fmt: skip
    if quantity is None and group.feeds != "heater":
        why = (
            f"{show(volts, kinds.VOLTAGE, 'SI')} at most, within 600 V; what stands behind the "
            "modules and how much that bears is not given"
        )
        return COLD_VOLTAGE.unknown(subject, f"{path}.greatest_input_voltage", why=why)
    return COLD_VOLTAGE.verdict("pass", subject, reason, quantity=volts, limit=limit)


def _within(circuit: ArrayCircuit, limit: Quantity) -> str:
    """What an array comes to by the assumed cold and without it, as text."""
    volts, mild, most = (
        show(Quantity(voltage, kinds.VOLTAGE), kinds.VOLTAGE, "SI")
        for voltage in (circuit.system_voltage, circuit.mild_voltage, limit)
    )
    return f"{mild} open at 25 °C, {volts} in the worst cold, and {most} are allowed"


def _shorter(
    group: ArrayTable, path: str, circuit: ArrayCircuit, limit: Quantity, working: float | None
) -> Remedy:
    """Fewer modules in series, or a device that bears them."""
    most, volts = int(circuit.series * limit / circuit.system_voltage), open_in_the_cold(circuit)
    if most == 0:
        return remedy("modules of a lower voltage", "another module is another sheet")
    least = group.least_input_voltage
    if least is not None and working is not None and working * most / circuit.series < least:
        return remedy(
            "a drive or controller of a wider window: the {most} modules in series that it bears "
            "give too little for the {least} that it starts on",
            "no number of these modules in series suits both ends of the window",
            most=f"{most}",
            least=least,
        )
    template, changes = "no more than {most} modules in series", [set_to(f"{path}.series", most)]
    parts: dict[str, Quantity | str] = {"most": f"{most}"}
    if group.greatest_input_voltage is not None and at_most(volts, DWELLING_VOLTAGE):
        template += ", or a controller, inverter or drive that bears {volts:up}"
        parts["volts"] = volts
    elif group.greatest_input_voltage is None and group.feeds != "heater":
        template += ", behind a controller, inverter or drive that bears {limit}"
        changes.append(set_to(f"{path}.greatest_input_voltage", limit))
        parts["limit"] = limit
    return remedy(template, changes, **parts)


def _reached(circuit: ArrayCircuit) -> Sentence:
    """What the array comes to, by coefficient and by the code's table."""
    parts: dict[str, Quantity | str] = {"series": f"{circuit.series}"}
    parts["coefficient"] = Quantity(circuit.cold_voltage, kinds.VOLTAGE)
    parts["cold"] = Quantity(circuit.cold_temperature, kinds.TEMPERATURE)
    template = "{series} modules in series reach {coefficient} open at {cold} by coefficient"
    if circuit.series == 1:
        template = "one module reaches {coefficient} open at {cold} by coefficient"
    if circuit.cold_voltage_table is not None:
        template += ", {table} by the code's table"
        parts["table"] = Quantity(circuit.cold_voltage_table, kinds.VOLTAGE)
    if not circuit.cold_told:
        template += ", in the worst cold of that table, as the file has no record low"
    return say(template, **parts)
