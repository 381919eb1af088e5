"""Whether an element on an array, and what switches it, bear the array's direct current."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.results import FedElement, HeatedTankResult
from wellsolar.site.schema import ElementTable
from wellsolar.studies.safety.words import temperature
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Place, Rule, Sentence, Verdict, say

DWELLING_VOLTAGE = 600.0
"""Highest direct voltage in a one- or two-family dwelling [V]; NEC 690.7 (second hand)."""

Driven = tuple[str, dict[str, Quantity | str]]
"""How far and how soon sun alone drives a tank, as the middle of a sentence and what stands in
it."""

CONTACTS = Rule(
    "thermostat on direct current",
    "can the thermostat break the array's current?",
    "contacts rated for direct current at the cold open-circuit voltage, or a relay that is",
    "dc contacts",
    safety=True,
    place=Place(section="circuit_guards"),
)


COLD_VOLTAGE = Rule(
    "cold open-circuit voltage",
    "is the array's voltage safe in the cold?",
    "open-circuit voltage at the record low within 600 V and within the switch's rating",
    "cold voltage",
    limit_is="at most",
    safety=True,
    place=Place("array", "heater_array"),
)


ELEMENT_LOAD = Rule(
    "element load",
    "does the array overload the element?",
    "voltage and power at the element within its plate, in the coldest bright sun",
    "element rating",
    limit_is="at most",
    safety=True,
    place=Place("array", "heater_array"),
)


@dataclass(frozen=True)
class Subjects:
    """What verdicts call the array, the thermostat and the element."""

    array: str
    thermostat: str = "thermostat"
    element: str = "element"


def studied_element(result: HeatedTankResult, path: str = "") -> FedElement:
    """The element that the tank's days are run for, as the others are told.

    Parameters:
        result: the heater's numbers
        path: its key path
    Returns:
        the element with its array
    """
    safety = result.safety
    return FedElement(
        path=path,
        number=0,
        array=result.array,
        series=result.series,
        cold_temperature=result.cold_temperature,
        cold_voltage=result.cold_open_circuit_voltage,
        cold_voltage_table=result.cold_open_circuit_voltage_table,
        most_voltage=safety.circuit.system_voltage or result.reference_points[-1].voltage,
        element_voltage=safety.element_voltage,
        element_power=safety.element_power,
        most_series=safety.most_series,
        circuit=safety.circuit,
        wire=result.wire,
    )


def element_verdicts(
    element: ElementTable, fed: FedElement, subjects: Subjects, driven: Driven | None = None
) -> list[Verdict]:
    """Contacts, cold voltage and load.

    Parameters:
        element: an element that modules feed
        fed: its numbers
        subjects: what to call it
        driven: how far the sun drives the tank where nothing stops it; None where it does not
    Returns:
        three verdicts, all of them on safety
    """
    return [
        _contacts(element, fed, subjects.thermostat, driven),
        _cold_voltage(element, fed, subjects.array),
        _element_load(element, fed, subjects.element),
    ]


def breaks_of(fed: FedElement) -> Driven:
    """What contacts in an array's circuit must break, for the end of a sentence.

    Parameters:
        fed: the element with its array
    Returns:
        words, and the quantities in them
    """
    return (
        "made for {volts:up} and {amperes:up} of direct current",
        {
            "volts": Quantity(fed.most_voltage, kinds.VOLTAGE),
            "amperes": Quantity(fed.circuit.current, kinds.CURRENT),
        },
    )


def _contacts(
    element: ElementTable, fed: FedElement, subject: str, driven: Driven | None
) -> Verdict:
    if element.thermostat_switches is None:
        return CONTACTS.unknown(subject, f"{fed.path}.thermostat_switches")
    if element.thermostat_switches == "AC":
        return _welds(fed, subject, driven)
    how = (
        "it drives a switch rated for direct current"
        if element.thermostat_switches == "relay"
        else "its contacts are rated for direct current"
    )
    return CONTACTS.verdict("pass", subject, say("{how}", how=how))


def _welds(fed: FedElement, subject: str, driven: Driven | None) -> Verdict:
    volts = Quantity(fed.most_voltage, kinds.VOLTAGE)
    reason = (
        "contacts rated for alternating current in a circuit of up to {volts} of direct current: "
        "the arc does not go out, they weld shut or burn"
    )
    parts: dict[str, Quantity | str] = {"volts": volts}
    if driven is not None:
        reason += ", and with nobody home the array drives the tank " + driven[0]
        parts |= driven[1]
    breaks, switched = breaks_of(fed)
    return CONTACTS.verdict(
        "fail",
        subject,
        say(reason, **parts),
        quantity=volts,
        remedy=say(
            "let thermostat and high limit drive a relay or controller " + breaks, **switched
        ),
    )


def _cold_voltage(element: ElementTable, fed: FedElement, subject: str) -> Verdict:
    volts_or_none = fed.circuit.system_voltage
    if volts_or_none is None:
        return COLD_VOLTAGE.unknown(subject, "sun.record_low")
    volts = Quantity(volts_or_none, kinds.VOLTAGE)
    # Contacts made for alternating current are judged as such: their volts say nothing.
    switch = None if element.thermostat_switches == "AC" else element.switch_voltage
    limit = Quantity(min(DWELLING_VOLTAGE, float(switch or DWELLING_VOLTAGE)), kinds.VOLTAGE)
    reason = _cold_reason(fed)
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
            "rated for is not told",
        )
    return COLD_VOLTAGE.verdict("pass", subject, reason, quantity=volts, limit=limit)


def _cold_reason(fed: FedElement) -> Sentence:
    parts: dict[str, Quantity | str] = {"series": f"{fed.series}"}
    parts["coefficient"] = Quantity(fed.cold_voltage or 0.0, kinds.VOLTAGE)
    parts["cold"] = temperature(fed.cold_temperature or 0.0)
    template = "{series} modules in series reach {coefficient} open at {cold} by coefficient"
    if fed.series == 1:
        template = "one module reaches {coefficient} open at {cold} by coefficient"
    if fed.cold_voltage_table is not None:
        template += ", {table} by the code's table"
        parts["table"] = Quantity(fed.cold_voltage_table, kinds.VOLTAGE)
    return say(template, **parts)


def _element_load(element: ElementTable, fed: FedElement, subject: str) -> Verdict:
    volts = Quantity(fed.element_voltage, kinds.VOLTAGE)
    plate = element.rated_voltage
    within = volts <= plate
    each = "each of the elements" if element.count > 1 else "an element"
    return ELEMENT_LOAD.verdict(
        "pass" if within else "fail",
        subject,
        say(
            "at most {volts} and {power} at {each} made for {plate} and {rated}",
            volts=volts,
            power=Quantity(fed.element_power, kinds.POWER),
            each=each,
            plate=plate,
            rated=element.rated_power,
        ),
        quantity=volts,
        limit=plate,
        remedy=None if within else _gentler(element, fed),
    )


def _gentler(element: ElementTable, fed: FedElement) -> Sentence:
    resistance = Quantity(element.rated_voltage**2 / element.rated_power, kinds.RESISTANCE)
    other = "an element of the same {resistance} rated for {volts:up} or more"
    parts: dict[str, Quantity | str] = {
        "resistance": resistance,
        "volts": Quantity(fed.element_voltage, kinds.VOLTAGE),
    }
    if not fed.most_series:
        return say(other, **parts)
    return say(
        "no more than {most} modules in series, or " + other, most=f"{fed.most_series}", **parts
    )
