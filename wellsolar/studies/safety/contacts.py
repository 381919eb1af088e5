"""Whether what breaks an element's direct current can: the contacts of thermostat and high limit,
and whether one of them that welds leaves the other."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.results.heat_safety import ArrayCircuit, FedElement
from wellsolar.site.schema import ElementTable
from wellsolar.studies.array.cold_voltage import hangs_on_the_cold, open_in_the_cold
from wellsolar.studies.sold.standard_sizes import next_up
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Place,
    Remedy,
    Rule,
    Verdict,
    at_least,
    remedy,
    say,
    set_to,
)

Driven = tuple[str, dict[str, Quantity | str]]
"""How far and how soon sun alone drives a tank, as the middle of a sentence and what stands in
it."""

CONTACTS = Rule(
    "thermostat on direct current",
    "can the thermostat break the array's current?",
    "contacts rated for direct current, or a relay that is, for the cold open-circuit voltage and "
    "1.25 x short-circuit current",
    "dc contacts",
    safety=True,
    by="electrician",
    place=Place(section="circuit_guards"),
)

HIGH_LIMIT_CONTACTS = Rule(
    "high limit on direct current",
    "does the high limit break the array's current by contacts of its own?",
    "contacts or a relay that are not the thermostat's, rated for direct current, for the cold "
    "open-circuit voltage and 1.25 x short-circuit current, in both conductors",
    "high limit contacts",
    safety=True,
    by="electrician",
    place=Place(section="circuit_guards"),
)


@dataclass(frozen=True)
class _Rated:
    """What contacts are rated to break, by the file.

    what: of contacts; voltage, current: None where not told; keys: paths of the two
    """

    what: str
    voltage: Quantity | None
    current: Quantity | None
    keys: tuple[str, str]


@dataclass(frozen=True)
class DirectCurrentRating:
    """What is sold to switch an array's current, and the least that would do."""

    voltage: Quantity
    current: Quantity
    needs: dict[str, Quantity]

    words = "made for {volts} and {amperes} of direct current (needs {least:up}, {amps:up})"

    def parts(self) -> dict[str, Quantity]:
        """What stands in the words."""
        return {"volts": self.voltage, "amperes": self.current, **self.needs}


def rating_for(
    circuit: ArrayCircuit, voltage: Quantity | None = None, current: Quantity | None = None
) -> DirectCurrentRating:
    """The sold rating of a switch, relay or contact in an array's circuit.

    Parameters:
        voltage, current: told of what is there, and kept where they are enough
    Returns:
        volts and amperes, no less than the array's in the cold and in bright sun
    """
    volts, amperes = open_in_the_cold(circuit), Quantity(circuit.current, kinds.CURRENT)
    return DirectCurrentRating(
        voltage
        if voltage is not None and at_least(voltage, volts)
        else next_up("switch voltage", volts, kinds.VOLTAGE) or _whole(volts),
        current
        if current is not None and at_least(current, amperes)
        else next_up("switch current", amperes, kinds.CURRENT) or _whole(amperes),
        {"least": volts, "amps": amperes},
    )


def _whole(value: Quantity) -> Quantity:
    """The next whole number up."""
    return Quantity(math.ceil(value - 1e-9), value.kind)


def breaks_of(fed: FedElement) -> Driven:
    """What contacts in an array's circuit must break, for the end of a sentence: words, and the
    quantities in them."""
    return (
        "made for {volts:up} and {amperes:up} of direct current",
        {
            "volts": open_in_the_cold(fed.circuit),
            "amperes": Quantity(fed.circuit.current, kinds.CURRENT),
        },
    )


def high_limit_of(thermostat: str) -> str:
    """What the high limit in an element's circuit is called beside its thermostat."""
    return thermostat.replace("thermostat", "high limit")


def contact_verdicts(
    element: ElementTable, fed: FedElement, thermostat: str, driven: Driven | None = None
) -> list[Verdict]:
    """Whether thermostat and high limit of an element each break its direct current.

    Parameters:
        driven: how far the sun drives the tank where nothing stops it; None where it does not
    """
    return [
        _thermostat(element, fed, thermostat, driven),
        _high_limit(element, fed, high_limit_of(thermostat)),
    ]


def _thermostat(
    element: ElementTable, fed: FedElement, subject: str, driven: Driven | None
) -> Verdict:
    """Whether the thermostat's contacts, or its relay, break direct current."""
    switches = element.thermostat_switches
    if switches is None:
        return CONTACTS.unknown(subject, f"{fed.path}.thermostat_switches")
    better = _thermostats_relay(fed, element)
    if switches == "AC":
        return _welds(CONTACTS, fed, subject, driven, better)
    keys = f"{fed.path}.switch_voltage", f"{fed.path}.switch_current"
    what = "the relay that it drives" if switches == "relay" else "its contacts"
    rated = _Rated(what, element.switch_voltage, element.switch_current, keys)
    return _judged(CONTACTS, fed.circuit, subject, rated, better)


def _thermostats_relay(fed: FedElement, element: ElementTable) -> Remedy:
    """A relay that breaks the current, in place of what does not."""
    is_one = element.thermostat_switches == "relay"
    contacts = (element.switch_voltage, element.switch_current) if is_one else (None, None)
    rating = rating_for(fed.circuit, *contacts)
    changes = [] if is_one else [set_to(f"{fed.path}.thermostat_switches", "relay")]
    changes += [
        set_to(f"{fed.path}.switch_voltage", rating.voltage),
        set_to(f"{fed.path}.switch_current", rating.current),
    ]
    return remedy(
        "let the thermostat drive a relay or controller " + rating.words, changes, **rating.parts()
    )


def _welds(
    rule: Rule, fed: FedElement, subject: str, driven: Driven | None, better: Remedy
) -> Verdict:
    """Of contacts made for alternating current: what they do, and what to do instead."""
    volts = open_in_the_cold(fed.circuit)
    reason = (
        "contacts rated for alternating current in a circuit of up to {volts} of direct current: "
        "the arc does not go out, they weld shut or burn"
    )
    parts: dict[str, Quantity | str] = {"volts": volts}
    if driven is not None:
        reason += ", and with nobody home the array drives the tank " + driven[0]
        parts |= driven[1]
    return rule.verdict("fail", subject, say(reason, **parts), quantity=volts, remedy=better)


def _judged(
    rule: Rule, circuit: ArrayCircuit, subject: str, rated: _Rated, better: Remedy
) -> Verdict:
    """Contacts by their rating against what the array can reach."""
    volts, amperes = open_in_the_cold(circuit), Quantity(circuit.current, kinds.CURRENT)
    rating = rated.voltage, rated.current
    weak_volts = rated.voltage is not None and not at_least(rated.voltage, volts)
    weak_current = rated.current is not None and not at_least(rated.current, amperes)
    missing = [key for key, value in zip(rated.keys, rating, strict=True) if value is None]
    if weak_volts and not weak_current and hangs_on_the_cold(circuit, rated.voltage or 0.0):
        why = f"whether {rated.what} can break the array's voltage hangs on the cold"
        return rule.unknown(subject, "sun.record_low", *missing, why=why)
    if not weak_volts and not weak_current and missing:
        why = f"what {rated.what} can break of direct current is not all given"
        return rule.unknown(subject, *missing, why=why)
    parts: dict[str, Quantity | str] = {"needed": volts, "bright": amperes}
    breaks = []
    if rated.voltage is not None:
        breaks.append("{volts}")
        parts["volts"] = rated.voltage
    if rated.current is not None:
        breaks.append("{current}")
        parts["current"] = rated.current
    template = f"{rated.what} break" + ("s " if "relay" in rated.what else " ")
    template += " and ".join(breaks) + " of direct current; the array can reach {needed} and "
    shown = (rated.current, amperes) if weak_current and not weak_volts else (rated.voltage, volts)
    return rule.verdict(
        "fail" if weak_volts or weak_current else "pass",
        subject,
        say(template + "{bright}", **parts),
        quantity=shown[0],
        limit=shown[1],
        remedy=better,
    )


def _high_limit(element: ElementTable, fed: FedElement, subject: str) -> Verdict:
    """Whether the high limit breaks the current by contacts that are not the thermostat's."""
    switches, circuit = element.high_limit_switches, fed.circuit
    if switches is None:
        why = "what the high limit opens in this array's circuit is not given"
        return HIGH_LIMIT_CONTACTS.unknown(subject, f"{fed.path}.high_limit_switches", why=why)
    better = _own_relay(fed, element)
    if switches == "AC":
        return _welds(HIGH_LIMIT_CONTACTS, fed, subject, None, better)
    if switches in ("same relay", "nothing"):
        reason = (
            "it acts on the thermostat's relay: where that one contact welds, neither of the two "
            "stops the array"
            if switches == "same relay"
            else "it opens nothing in this array's circuit: where the thermostat sticks, nothing "
            "stops the array"
        )
        return HIGH_LIMIT_CONTACTS.verdict("fail", subject, say(reason), remedy=better)
    keys = f"{fed.path}.high_limit_voltage", f"{fed.path}.high_limit_current"
    what = "its own relay" if switches == "relay" else "its contacts"
    rated = _Rated(what, element.high_limit_voltage, element.high_limit_current, keys)
    verdict = _judged(HIGH_LIMIT_CONTACTS, circuit, subject, rated, better)
    poles = element.high_limit_poles
    if verdict.status != "pass" or poles == 2:
        return verdict
    if poles is None:
        why = "whether it opens both conductors is not given"
        return HIGH_LIMIT_CONTACTS.unknown(subject, f"{fed.path}.high_limit_poles", why=why)
    return HIGH_LIMIT_CONTACTS.verdict(
        "caution",
        subject,
        say(
            "it opens one conductor of two: with a fault to ground in the other the element stays "
            "under voltage"
        ),
        remedy=remedy(
            "a contact in each of the two conductors", [set_to(f"{fed.path}.high_limit_poles", 2)]
        ),
    )


def _own_relay(fed: FedElement, element: ElementTable) -> Remedy:
    """A relay of its own that opens both conductors."""
    is_one = element.high_limit_switches == "relay"
    contacts = (element.high_limit_voltage, element.high_limit_current) if is_one else (None, None)
    rating = rating_for(fed.circuit, *contacts)
    changes = [] if is_one else [set_to(f"{fed.path}.high_limit_switches", "relay")]
    changes += [
        set_to(f"{fed.path}.high_limit_voltage", rating.voltage),
        set_to(f"{fed.path}.high_limit_current", rating.current),
        set_to(f"{fed.path}.high_limit_poles", 2),
    ]
    return remedy(
        "let the high limit drive a relay of its own, not the thermostat's, that opens both "
        "conductors, " + rating.words,
        changes,
        **rating.parts(),
    )
