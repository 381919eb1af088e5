"""Whether the direct current between the modules and the tank is switched and guarded."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.results import FedElement
from wellsolar.site.schema import ArrayTable
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Sentence, Verdict, say

ARC_VOLTAGE = 80.0
"""Direct voltage from which arc-fault protection is asked [V]; NEC 690.11 (second hand)."""

SLACK = 1e-9
"""Round-off that is no breach of a rating."""

OVERCURRENT = Rule(
    "pv overcurrent",
    "is a fuse or breaker needed, and is it of the right size?",
    "asked from three rows of modules on, where several feed a fault in one; at least 1.25 x 1.25 "
    "x short-circuit current, and no more than the wire bears",
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
    circuit = fed.circuit
    if group.overcurrent is None:
        return _no_device(group, fed)
    device, asked = group.overcurrent, _amperes(circuit.conductor_current)
    most = circuit.overcurrent_most
    if device < asked - SLACK:
        reason = say("{device} is less than the {asked} asked: it tires in bright sun and opens",
                     device=device, asked=asked)  # fmt: skip
        return _device(group, fed, reason, asked)
    if most is not None and device > most + SLACK:
        bears = _amperes(most)
        reason = say("{device} is more than the {bears} that its wire bears: the wire burns first",
                     device=device, bears=bears)  # fmt: skip
        return _device(group, fed, reason, bears)
    template = "{device} is at least the {asked} asked"
    parts: dict[str, Quantity | str] = {"device": device, "asked": asked}
    if most is not None:
        template += " and no more than its wire bears"
    if circuit.string_fuse is not None:
        template += "; each of the {rows} rows has a fuse of {fuse} of its own as well"
        parts |= {"rows": f"{group.parallel}", "fuse": _amperes(circuit.string_fuse)}
    return OVERCURRENT.verdict(
        "pass", group.name, say(template, **parts), quantity=device, limit=asked
    )


def _no_device(group: ArrayTable, fed: FedElement) -> Verdict:
    circuit = fed.circuit
    asked = _amperes(circuit.conductor_current)
    if circuit.string_fuse is None:
        how = "one row of modules" if group.parallel == 1 else "two rows of modules"
        reason = say(
            "{how} and no other source: wires sized for {asked} carry whatever they can drive, so "
            "no fuse is asked for, and one would not blow",
            how=how,
            asked=asked,
        )
        return OVERCURRENT.verdict("pass", group.name, reason)
    reason = say("{rows} rows side by side and no fuse named: all the others feed a fault in one",
                 rows=f"{group.parallel}")  # fmt: skip
    return _device(group, fed, reason, asked)


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
    circuit = fed.circuit
    asked, most = circuit.overcurrent_asked, circuit.overcurrent_most
    if asked is None:
        return say("fewer rows side by side: no device of the code's table is large enough")
    template = "a fuse or breaker of {size} made for direct current"
    parts: dict[str, Quantity | str] = {"size": _amperes(asked)}
    if circuit.system_voltage is not None:
        template += " of {volts:up}"
        parts["volts"] = Quantity(circuit.system_voltage, kinds.VOLTAGE)
    if circuit.string_fuse is not None:
        template += ", and one of {fuse} in each of the {rows} rows, no more than the modules' "
        template += "label allows"
        parts |= {"fuse": _amperes(circuit.string_fuse), "rows": f"{group.parallel}"}
    if most is not None and asked > most and fed.wire is not None:
        gauge = fed.wire.smallest_gauge
        template += ", on wire of {gauge}" if gauge else ", on thicker wire than the table has"
        parts |= {"gauge": gauge} if gauge else {}
    return say(template, **parts)


def _isolator(group: ArrayTable, path: str, fed: FedElement) -> Verdict:
    circuit = fed.circuit
    current = _amperes(circuit.current)
    told = {"isolator_voltage": group.isolator_voltage, "isolator_current": group.isolator_current}
    missing = [f"{path}.{key}" for key, value in told.items() if value is None]
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
            "the switch breaks {rated_volts} and {rated_current}; the array can come to {volts} "
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
    told = group.ground_fault_protection
    if told is None:
        return GROUND_FAULT.unknown(group.name, f"{path}.ground_fault_protection")
    if told:
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
    volts = fed.circuit.system_voltage
    least = Quantity(ARC_VOLTAGE, kinds.VOLTAGE)
    if volts is not None and volts < ARC_VOLTAGE:
        return ARC_FAULT.verdict(
            "pass",
            group.name,
            say(
                "it never comes to {least}, from which protection is asked: {volts} at most",
                least=least,
                volts=Quantity(volts, kinds.VOLTAGE),
            ),
        )
    told = group.arc_fault_protection
    if told is None:
        return ARC_FAULT.unknown(group.name, f"{path}.arc_fault_protection")
    if told:
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
    told = group.rapid_shutdown
    if told:
        return SHUTDOWN.verdict("pass", group.name, say("the array has it"))
    if told is None or group.place is None:
        missing = [f"{path}.place"] if group.place is None else []
        missing += [f"{path}.rapid_shutdown"] if told is None else []
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
    return Quantity(value, kinds.CURRENT)
