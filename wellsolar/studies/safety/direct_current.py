"""Whether element, contacts, switch and wire bear an array's direct current, and its guards."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.results import FedElement, HeatedTankResult
from wellsolar.site.schema import ArrayTable, ElementTable
from wellsolar.studies.array.cold_voltage import cold_voltage_verdict
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Sentence, Verdict, say

ARC_VOLTAGE = 80.0
"""Direct voltage from which arc-fault protection is required [V]; NEC 690.11 (second hand)."""

SLACK = 1e-9
"""Round-off that is no breach of a rating."""

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

ELEMENT_LOAD = Rule(
    "element load",
    "does the array overload the element?",
    "voltage and power at the element within its plate, in the coldest bright sun",
    "element rating",
    limit_is="at most",
    safety=True,
    place=Place("array", "heater_array"),
)

OVERCURRENT = Rule(
    "pv overcurrent",
    "is a fuse or breaker needed, and is it of the right size?",
    "required from three rows of modules up, where the others feed a fault in one; at least "
    "1.25 x 1.25 x short-circuit current, and no more than the wire's ampacity allows",
    "pv overcurrent",
    safety=True,
    place=Place(section="circuit_guards"),
)

ISOLATOR = Rule(
    "isolator",
    "can the array be switched off by hand?",
    "a switch within reach that breaks, under load, the cold open-circuit voltage and 1.25 x "
    "short-circuit current",
    "pv disconnect",
    limit_is="at least",
    safety=True,
    place=Place(section="circuit_guards"),
)

GROUND_FAULT = Rule(
    "ground fault",
    "is a fault to ground found and broken?",
    "ground-fault protection for direct current that enters a building",
    "ground fault",
    safety=True,
    place=Place(section="circuit_guards"),
)

ARC_FAULT = Rule(
    "arc fault",
    "is an arc in the wiring found and put out?",
    "listed arc-fault protection for direct current of 80 V or more on or in a building",
    "arc fault",
    safety=True,
    place=Place(section="circuit_guards"),
)

SHUTDOWN = Rule(
    "rapid shutdown",
    "can firefighters make the wires in the house dead?",
    "rapid shutdown of an array's circuits on or in a building",
    "rapid shutdown",
    safety=True,
    place=Place(section="circuit_guards"),
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
        fed: its currents and voltages
        subjects: what to call it
        driven: how far the sun drives the tank where nothing stops it; None where it does not
    Returns:
        three verdicts, all of them on safety
    """
    return [
        _contacts(element, fed, subjects.thermostat, driven),
        cold_voltage_verdict(element, fed, subjects.array),
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
    """Whether the thermostat's contacts can break direct current."""
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
    """Of contacts made for alternating current: what they do, and what to do instead."""
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


def _element_load(element: ElementTable, fed: FedElement, subject: str) -> Verdict:
    """Whether voltage and power at the element stay within its plate."""
    volts = Quantity(fed.element_voltage, kinds.VOLTAGE)
    plate = element.rated_voltage
    within = volts <= plate
    which = "each of the elements" if element.count > 1 else "an element"
    return ELEMENT_LOAD.verdict(
        "pass" if within else "fail",
        subject,
        say(
            "at most {volts} and {power} at {each} made for {plate} and {rated}",
            volts=volts,
            power=Quantity(fed.element_power, kinds.POWER),
            each=which,
            plate=plate,
            rated=element.rated_power,
        ),
        quantity=volts,
        limit=plate,
        remedy=None if within else _gentler(element, fed),
    )


def _gentler(element: ElementTable, fed: FedElement) -> Sentence:
    """Fewer modules, or an element for a higher voltage."""
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


def dc_verdicts(group: ArrayTable, path: str, fed: FedElement) -> list[Verdict]:
    """Overcurrent device, isolator, ground fault, arc fault and rapid shutdown.

    Parameters:
        group: the modules
        path: their key path
        fed: the element that they feed
    Returns:
        five verdicts, all of them on safety
    """
    return [
        _overcurrent(group, fed),
        _isolator(group, path, fed),
        _ground_fault(group, path),
        _arc_fault(group, path, fed),
        _shutdown(group, path),
    ]


def _overcurrent(group: ArrayTable, fed: FedElement) -> Verdict:
    """Whether the fuse or breaker is of the right size."""
    circuit = fed.circuit
    if group.overcurrent is None:
        return _no_device(group, fed)
    device, needed = group.overcurrent, _amperes(circuit.conductor_current)
    most = circuit.overcurrent_most
    if device < needed - SLACK:
        reason = say(
            "{device} is less than the {asked} required: bright sun fatigues it until it opens",
            device=device,
            asked=needed,
        )
        return _device(group, fed, reason, needed)
    if most is not None and device > most + SLACK:
        bears = _amperes(most)
        reason = say(
            "{device} is more than the {bears} allowed for its wire: the wire burns first",
            device=device,
            bears=bears,
        )
        return _device(group, fed, reason, bears)
    template = "{device} is at least the {asked} required"
    parts: dict[str, Quantity | str] = {"device": device, "asked": needed}
    if most is not None:
        template += " and no more than its wire allows"
    if circuit.string_fuse is not None:
        template += "; each of the {rows} rows has a fuse of {fuse} of its own as well"
        parts |= {"rows": f"{group.parallel}", "fuse": _amperes(circuit.string_fuse)}
    return OVERCURRENT.verdict(
        "pass", group.name, say(template, **parts), quantity=device, limit=needed
    )


def _no_device(group: ArrayTable, fed: FedElement) -> Verdict:
    """Whether none is needed, where none is named."""
    circuit = fed.circuit
    carried = _amperes(circuit.conductor_current)
    if circuit.string_fuse is None:
        how = "one row of modules" if group.parallel == 1 else "two rows of modules"
        reason = say(
            "{how} and no other source: wires sized for {asked} carry whatever they can drive, so "
            "no fuse is required, and one would not blow",
            how=how,
            asked=carried,
        )
        return OVERCURRENT.verdict("pass", group.name, reason)
    reason = say("{rows} rows side by side and no fuse named: all the others feed a fault in one",
                 rows=f"{group.parallel}")  # fmt: skip
    return _device(group, fed, reason, carried)


def _device(group: ArrayTable, fed: FedElement, reason: Sentence, limit: Quantity) -> Verdict:
    """The verdict that there is none, or one of a wrong size."""
    return OVERCURRENT.verdict(
        "fail",
        group.name,
        reason,
        quantity=group.overcurrent,
        limit=limit,
        remedy=_right_device(group, fed),
    )


def _right_device(group: ArrayTable, fed: FedElement) -> Sentence:
    """The device that is needed, with what goes with it."""
    circuit = fed.circuit
    size, most = circuit.overcurrent_asked, circuit.overcurrent_most
    if size is None:
        return say("fewer rows side by side: no device of the code's table is large enough")
    template = "a fuse or breaker of {size} made for direct current"
    parts: dict[str, Quantity | str] = {"size": _amperes(size)}
    if circuit.system_voltage is not None:
        template += " of {volts:up}"
        parts["volts"] = Quantity(circuit.system_voltage, kinds.VOLTAGE)
    if circuit.string_fuse is not None:
        template += ", and one of {fuse} in each of the {rows} rows, no more than the modules' "
        template += "label allows"
        parts |= {"fuse": _amperes(circuit.string_fuse), "rows": f"{group.parallel}"}
    if most is not None and size > most and fed.wire is not None:
        gauge = fed.wire.smallest_gauge
        template += ", on wire of {gauge}" if gauge else ", on thicker wire than the table has"
        parts |= {"gauge": gauge} if gauge else {}
    return say(template, **parts)


def _isolator(group: ArrayTable, path: str, fed: FedElement) -> Verdict:
    """Whether a switch within reach breaks the array's voltage and current."""
    circuit = fed.circuit
    current = _amperes(circuit.current)
    ratings = {
        "isolator_voltage": group.isolator_voltage,
        "isolator_current": group.isolator_current,
    }
    missing = [f"{path}.{key}" for key, value in ratings.items() if value is None]
    if missing:
        return ISOLATOR.unknown(
            group.name, *missing, why="what switch within reach breaks the array's current"
        )
    if circuit.system_voltage is None:
        return ISOLATOR.unknown(group.name, "sun.record_low")
    assert group.isolator_voltage is not None
    assert group.isolator_current is not None
    volts = Quantity(circuit.system_voltage, kinds.VOLTAGE)
    enough_volts = group.isolator_voltage >= volts - SLACK
    enough = enough_volts and group.isolator_current >= current - SLACK
    amperes_lack = enough_volts and not enough
    return ISOLATOR.verdict(
        "pass" if enough else "fail",
        group.name,
        say(
            "the switch breaks {rated_volts} and {rated_current}; the array can reach {volts} "
            "and {current}",
            rated_volts=group.isolator_voltage,
            rated_current=group.isolator_current,
            volts=volts,
            current=current,
        ),
        quantity=group.isolator_current if amperes_lack else group.isolator_voltage,
        limit=current if amperes_lack else volts,
        remedy=None
        if enough
        else say(
            "a switch rated for at least {volts:up} and {current:up} of direct current, whichever "
            "way it flows",
            volts=volts,
            current=current,
        ),
    )


def _ground_fault(group: ArrayTable, path: str) -> Verdict:
    """Whether the array has ground-fault protection."""
    protected = group.ground_fault_protection
    if protected is None:
        return GROUND_FAULT.unknown(group.name, f"{path}.ground_fault_protection")
    if protected:
        return GROUND_FAULT.verdict("pass", group.name, say("the array has it"))
    return GROUND_FAULT.verdict(
        "caution",
        group.name,
        say("there is none, and the circuit ends at a tank in a house"),
        remedy=say(
            "ground-fault protection made for direct current, settled with the local inspector"
        ),
    )


def _arc_fault(group: ArrayTable, path: str, fed: FedElement) -> Verdict:
    """Whether the array has arc-fault protection, or a voltage too low to need it."""
    volts = fed.circuit.system_voltage
    least = Quantity(ARC_VOLTAGE, kinds.VOLTAGE)
    if volts is not None and volts < ARC_VOLTAGE:
        return ARC_FAULT.verdict(
            "pass",
            group.name,
            say(
                "it stays below {least}, from which protection is required: {volts} at most",
                least=least,
                volts=Quantity(volts, kinds.VOLTAGE),
            ),
        )
    protected = group.arc_fault_protection
    if protected is None:
        return ARC_FAULT.unknown(group.name, f"{path}.arc_fault_protection")
    if protected:
        return ARC_FAULT.verdict("pass", group.name, say("the array has it"))
    return ARC_FAULT.verdict(
        "caution",
        group.name,
        say("there is none, and an arc at {least} or more does not go out by itself", least=least),
        remedy=say(
            "listed arc-fault protection made for direct current, settled with the local inspector"
        ),
    )


def _shutdown(group: ArrayTable, path: str) -> Verdict:
    """Whether the array has rapid shutdown."""
    shuts_down = group.rapid_shutdown
    if shuts_down:
        return SHUTDOWN.verdict("pass", group.name, say("the array has it"))
    if shuts_down is None or group.place is None:
        missing = [f"{path}.place"] if group.place is None else []
        missing += [f"{path}.rapid_shutdown"] if shuts_down is None else []
        return SHUTDOWN.unknown(group.name, *missing)
    where, how = (
        ("the modules are on a building", "switches at the modules")
        if group.place == "roof"
        else (
            "the rack stands on the ground, and its wires enter the house",
            "a switch outside, where the wires enter",
        )
    )
    return SHUTDOWN.verdict(
        "caution",
        group.name,
        say("there is none; {where}", where=where),
        remedy=say("{how}, settled with the local inspector", how=how),
    )


def _amperes(value: float) -> Quantity:
    """A current as a quantity [A]."""
    return Quantity(value, kinds.CURRENT)
