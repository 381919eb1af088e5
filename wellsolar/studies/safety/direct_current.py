"""Whether element, contacts, switch and wire bear an array's direct current, and its guards."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.results import FedElement, HeatedTankResult
from wellsolar.site.schema import ElementTable
from wellsolar.studies.array.circuit import WiredGroup
from wellsolar.studies.array.cold_voltage import (
    cold_voltage_verdict,
    hangs_on_the_cold,
    open_in_the_cold,
)
from wellsolar.studies.safety.contacts import Driven, contact_verdicts, rating_for
from wellsolar.studies.safety.overcurrent import overcurrent_verdict
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

ARC_VOLTAGE = 80.0
"""Direct voltage from which arc-fault protection is required [V]; NEC 690.11 (second hand)."""

ELEMENT_LOAD = Rule(
    "element load",
    "does the array overload the element?",
    "voltage and power at the element within its plate, in the coldest bright sun",
    "element rating",
    limit_is="at most",
    safety=True,
    place=Place("array", "heater_array"),
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
    "ground-fault protection for direct current on or in a building",
    "ground fault",
    safety=True,
    place=Place(section="circuit_guards"),
    claims=("ground_fault_protection",),
)

ARC_FAULT = Rule(
    "arc fault",
    "is an arc in the wiring found and put out?",
    "listed arc-fault protection for direct current of 80 V or more on or in a building",
    "arc fault",
    safety=True,
    place=Place(section="circuit_guards"),
    claims=("arc_fault_protection",),
)

SHUTDOWN = Rule(
    "rapid shutdown",
    "can firefighters make the wires in the house dead?",
    "rapid shutdown of an array's circuits on or in a building",
    "rapid shutdown",
    safety=True,
    place=Place(section="circuit_guards"),
    claims=("rapid_shutdown",),
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
        element_voltage=safety.element_voltage,
        element_power=safety.element_power,
        mild_element_voltage=safety.mild_element_voltage,
        most_series=safety.most_series,
        circuit=safety.circuit,
        wire=result.wire,
    )


def element_verdicts(
    element: ElementTable,
    fed: FedElement,
    at: WiredGroup,
    subjects: Subjects,
    driven: Driven | None = None,
) -> list[Verdict]:
    """Contacts, cold voltage and load.

    Parameters:
        element: an element that modules feed
        fed: its currents and voltages
        at: the modules
        subjects: what to call it
        driven: how far the sun drives the tank where nothing stops it; None where it does not
    Returns:
        four verdicts, all of them on safety
    """
    return [
        *contact_verdicts(element, fed, subjects.thermostat, driven),
        cold_voltage_verdict(at.group, at.path, fed.circuit, subjects.array),
        _element_load(element, fed, at.path, subjects.element),
    ]


def _element_load(element: ElementTable, fed: FedElement, path: str, subject: str) -> Verdict:
    """Whether voltage and power at the element stay within its plate."""
    volts = Quantity(fed.element_voltage, kinds.VOLTAGE)
    plate = element.rated_voltage
    within = at_most(volts, plate)
    if not within and fed.mild_element_voltage <= plate:
        return ELEMENT_LOAD.unknown(subject, "sun.record_low")
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
        remedy=_gentler(element, fed, path),
    )


def _gentler(element: ElementTable, fed: FedElement, path: str) -> Remedy:
    """Fewer modules, or an element for a higher voltage."""
    resistance = Quantity(element.rated_voltage**2 / element.rated_power, kinds.RESISTANCE)
    other = "an element of the same {resistance} rated for {volts:up} or more"
    parts: dict[str, Quantity | str] = {
        "resistance": resistance,
        "volts": Quantity(fed.element_voltage, kinds.VOLTAGE),
    }
    if not fed.most_series:
        why = "an element is chosen by what is sold for the tank, and its plate then told"
        return remedy(other, why, **parts)
    return remedy(
        "no more than {most} modules in series, or " + other,
        [set_to(f"{path}.series", fed.most_series)],
        most=f"{fed.most_series}",
        **parts,
    )


def dc_verdicts(at: WiredGroup) -> list[Verdict]:
    """Overcurrent device, isolator, and on or in a building ground fault, arc fault and rapid
    shutdown.

    Parameters:
        at: the modules
    Returns:
        two or five verdicts, all of them on safety
    """
    found = [overcurrent_verdict(at), _isolator(at)]
    if at.enters_a_building:
        found += [_ground_fault(at), _arc_fault(at), _shutdown(at)]
    return found


def _isolator(at: WiredGroup) -> Verdict:
    """Whether a switch within reach breaks the array's voltage and current."""
    group, circuit = at.group, at.circuit
    current, volts = Quantity(circuit.current, kinds.CURRENT), open_in_the_cold(circuit)
    rated_volts, rated_current = group.isolator_voltage, group.isolator_current
    weak_volts = rated_volts is not None and not at_least(rated_volts, volts)
    weak_current = rated_current is not None and not at_least(rated_current, current)
    told = {"isolator_voltage": rated_volts, "isolator_current": rated_current}
    if weak_volts and not weak_current and hangs_on_the_cold(circuit, rated_volts or 0.0):
        return ISOLATOR.unknown(group.name, "sun.record_low")
    missing = [f"{at.path}.{key}" for key, value in told.items() if value is None]
    if missing and not weak_volts and not weak_current:
        why = "what switch within reach breaks the array's current"
        return ISOLATOR.unknown(group.name, *missing, why=why)
    parts: dict[str, Quantity | str] = {"volts": volts, "current": current}
    breaks = []
    if rated_volts is not None:
        breaks.append("{rated_volts}")
        parts["rated_volts"] = rated_volts
    if rated_current is not None:
        breaks.append("{rated_current}")
        parts["rated_current"] = rated_current
    rating = rating_for(circuit, rated_volts, rated_current)
    amperes_lack = weak_current and not weak_volts
    return ISOLATOR.verdict(
        "fail" if weak_volts or weak_current else "pass",
        group.name,
        say(
            f"the switch breaks {' and '.join(breaks)}; the array can reach {{volts}} and "
            "{current}",
            **parts,
        ),
        quantity=rated_current if amperes_lack else rated_volts,
        limit=current if amperes_lack else volts,
        remedy=remedy(
            "a load-break switch " + rating.words,
            [
                set_to(f"{at.path}.isolator_voltage", rating.voltage),
                set_to(f"{at.path}.isolator_current", rating.current),
            ],
            **rating.parts(),
        ),
    )


def _ground_fault(at: WiredGroup) -> Verdict:
    """Whether something opens the circuit on a fault to ground."""
    group, key = at.group, f"{at.path}.ground_fault_protection"
    if group.ground_fault_protection is None:
        return GROUND_FAULT.unknown(group.name, key)
    return GROUND_FAULT.verdict(
        "pass" if group.ground_fault_protection else "fail",
        group.name,
        say("the array has it" if group.ground_fault_protection else
            "there is none, and the circuit enters a building"),
        remedy=remedy(
            "ground-fault protection made for direct current, settled with the local inspector",
            [set_to(key, True)],
        ),
        claims=[key] if group.ground_fault_protection else [],
    )  # fmt: skip


def _arc_fault(at: WiredGroup) -> Verdict:
    """Whether the array has arc-fault protection, or a voltage too low to need it."""
    group, volts = at.group, open_in_the_cold(at.circuit)
    least = Quantity(ARC_VOLTAGE, kinds.VOLTAGE)
    if volts < ARC_VOLTAGE:
        return ARC_FAULT.verdict(
            "pass",
            group.name,
            say(
                "it stays below {least}, from which protection is required: {volts} at most",
                least=least,
                volts=volts,
            ),
        )
    protected, key = group.arc_fault_protection, f"{at.path}.arc_fault_protection"
    if protected is None:
        if hangs_on_the_cold(at.circuit, ARC_VOLTAGE - 1e-9):
            return ARC_FAULT.unknown(group.name, key, "sun.record_low")
        return ARC_FAULT.unknown(group.name, key)
    return ARC_FAULT.verdict(
        "pass" if protected else "caution",
        group.name,
        say("the array has it") if protected else
        say("there is none, and an arc at {least} or more does not go out by itself", least=least),
        remedy=remedy(
            "listed arc-fault protection made for direct current, settled with the local "
            "inspector",
            [set_to(key, True)],
        ),
        claims=[key] if protected else [],
    )  # fmt: skip


def _shutdown(at: WiredGroup) -> Verdict:
    """Whether the array has rapid shutdown."""
    group, key = at.group, f"{at.path}.rapid_shutdown"
    shuts_down = group.rapid_shutdown
    if shuts_down:
        return SHUTDOWN.verdict("pass", group.name, say("the array has it"), claims=[key])
    if shuts_down is None or group.place is None:
        missing = [f"{at.path}.place"] if group.place is None else []
        missing += [key] if shuts_down is None else []
        return SHUTDOWN.unknown(group.name, *missing)
    where, means = (
        ("the modules are on a building", "switches at the modules")
        if group.place == "roof"
        else (
            "the rack stands on the ground, and its wires enter the house",
            "a switch outside, where the wires enter",
        )
    )
    return SHUTDOWN.verdict(
        "fail",
        group.name,
        say("there is none; {where}", where=where),
        remedy=remedy(
            "{means}, settled with the local inspector", [set_to(key, True)], means=means
        ),
    )
