"""The open-circuit voltage of a group of modules in the record cold, and whether it is safe."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.data import wiring as wire_table
from wellsolar.errors import OutOfRange
from wellsolar.physics.electric import cable
from wellsolar.results import FedElement
from wellsolar.site.schema import ArrayTable, ElementTable, Site
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Place, Rule, Sentence, Verdict, say

DWELLING_VOLTAGE = 600.0
"""Highest direct voltage in a one- or two-family dwelling [V]; NEC 690.7 (second hand)."""

COLD_VOLTAGE = Rule(
    "cold open-circuit voltage",
    "is the array's voltage safe in the cold?",
    "open-circuit voltage at the record low within 600 V and within the switch's rating",
    "cold voltage",
    limit_is="at most",
    safety=True,
    place=Place("array", "heater_array"),
)


def cold_voltages(site: Site, group: ArrayTable) -> tuple[float | None, float | None]:
    """Open-circuit voltage of a group at the record low, by coefficient and by table [V]."""
    if site.sun.record_low is None or site.module is None:
        return None, None
    voltage, cold = site.module.voc, site.sun.record_low
    coefficient = site.module.voc_coefficient
    by_coefficient = float(
        cable.cold_open_circuit_voltage(voltage, group.series, cold, coefficient)
    )
    try:
        by_table = voltage * group.series * wire_table.cold_voltage_factor(cold)
    except OutOfRange:
        return by_coefficient, None
    return by_coefficient, by_table


def cold_voltage_verdict(element: ElementTable, fed: FedElement, subject: str) -> Verdict:
    """Whether the array's voltage is safe in the cold for a dwelling and for what switches it.

    Parameters:
        element: that the modules feed
        fed: its currents and voltages
        subject: what to call the array
    Returns:
        a verdict on safety
    """
    if fed.circuit.system_voltage is None:
        return COLD_VOLTAGE.unknown(subject, "sun.record_low")
    volts = Quantity(fed.circuit.system_voltage, kinds.VOLTAGE)
    # Contacts made for alternating current are judged as such: their volts say nothing.
    switch = None if element.thermostat_switches == "AC" else element.switch_voltage
    limit = Quantity(min(DWELLING_VOLTAGE, switch or DWELLING_VOLTAGE), kinds.VOLTAGE)
    reason = _reached(fed)
    if volts > limit:
        most = int(fed.series * limit / volts)
        template, parts = "no more than {most} modules in series", {}
        if volts <= DWELLING_VOLTAGE:
            template += ", or a switch rated for {volts:up}"
            parts["volts"] = volts
        return COLD_VOLTAGE.verdict(
            "fail",
            subject,
            reason,
            quantity=volts,
            limit=limit,
            remedy=say(template, most=f"{most}", **parts),
        )
    if switch is None and element.thermostat_switches != "AC":
        return COLD_VOLTAGE.unknown(
            subject,
            f"{fed.path}.switch_voltage",
            why=f"{show(volts, kinds.VOLTAGE, 'SI')} at most, within 600 V; what the switch is "
            "rated for is not given",
        )
    return COLD_VOLTAGE.verdict("pass", subject, reason, quantity=volts, limit=limit)


def _reached(fed: FedElement) -> Sentence:
    """What the array comes to, by coefficient and by the code's table."""
    parts: dict[str, Quantity | str] = {"series": f"{fed.series}"}
    parts["coefficient"] = Quantity(fed.cold_voltage or 0.0, kinds.VOLTAGE)
    parts["cold"] = Quantity(fed.cold_temperature or 0.0, kinds.TEMPERATURE)
    template = "{series} modules in series reach {coefficient} open at {cold} by coefficient"
    if fed.series == 1:
        template = "one module reaches {coefficient} open at {cold} by coefficient"
    if fed.cold_voltage_table is not None:
        template += ", {table} by the code's table"
        parts["table"] = Quantity(fed.cold_voltage_table, kinds.VOLTAGE)
    return say(template, **parts)
