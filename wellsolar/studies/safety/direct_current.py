"""Whether element, contacts, switch and wire bear an array's direct current."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.results.heat import HeatedTankResult
from wellsolar.results.heat_safety import ArrayResult, FedElement
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import ElementTable, Site
from wellsolar.studies.array.circuit import (
    WiredGroup,
    array_circuit,
    behind_drive,
    operating_voltage_verdict,
    plain_wire,
    working_voltages,
)
from wellsolar.studies.array.cold_voltage import (
    cold_assumed,
    cold_voltage_verdict,
    hangs_on_the_cold,
    open_in_the_cold,
)
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.safety.code_editions import guard_verdicts
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


def study_arrays(site: Site) -> tuple[tuple[ArrayResult, ...], StudyPart]:
    """Every group of modules that feeds no element of the heater."""
    module = site.module
    heating = () if site.water_heater is None else site.water_heater.element
    fed = {element.fed_by for element in heating}
    results: list[ArrayResult] = []
    verdicts: list[Verdict] = []
    for number, own in enumerate(site.array, 1):
        if module is None or own.name in fed:
            continue
        group = behind_drive(site, own)
        path, circuit = f"array[{number}]", array_circuit(site, group)
        working, hot = working_voltages(site, group) or (None, None)
        has_temperature = site.sun.temperature is not None
        array = ArrayResult(path, circuit, plain_wire(site, group), working, hot, has_temperature)
        results.append(array)
        at = WiredGroup(group, path, module, circuit, array.wire)
        cold = cold_voltage_verdict(module, group, path, circuit, group.name, working)
        verdicts.append(cold)
        if group.feeds in ("pump", "battery") or group.least_input_voltage is not None:
            verdicts.append(operating_voltage_verdict(site, group, array))
        verdicts += dc_verdicts(site, at)
        if array.wire is not None:
            limit = float(site.limits.voltage_drop)
            cable = f"{path}.cable"
            verdicts += wiring.wire_verdicts(
                array.wire, group.name, cable, limit, wiring.AMPACITY_PV
            )
    if not results:
        return (), StudyPart()
    return tuple(results), StudyPart(tuple(verdicts), cold_assumed(site))


ELEMENT_LOAD = Rule(
    "element load",
    "does the array overload the element?",
    "voltage and power at the element within its plate, in the coldest bright sun",
    "element rating",
    limit_is="at most",
    safety=True,
    by="electrician",
    place=Place("array", "heater_array"),
)

ISOLATOR = Rule(
    "isolator",
    "can the array be switched off by hand?",
    "a switch within reach that breaks, under load, the cold open-circuit voltage and 1.25 x "
    "short-circuit current, in every conductor that is not solidly grounded",
    "pv disconnect",
    limit_is="at least",
    safety=True,
    by="electrician",
    place=Place(section="circuit_guards"),
)


@dataclass(frozen=True)
class Subjects:
    """What verdicts call the array, the thermostat and the element."""

    array: str
    thermostat: str = "thermostat"
    element: str = "element"


def studied_element(result: HeatedTankResult, path: str = "") -> FedElement:
    """The element that the tank's days are run for, as the others are told."""
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
    """Contacts, cold voltage and load."""
    return [
        *contact_verdicts(element, fed, subjects.thermostat, driven),
        cold_voltage_verdict(at.module, at.group, at.path, fed.circuit, subjects.array),
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
            power=Quantity(fed.element_power, kinds.COMPUTED_POWER),
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


def dc_verdicts(site: Site, at: WiredGroup) -> list[Verdict]:
    """Overcurrent device, isolator, ground fault, arc fault and rapid shutdown."""
    return [overcurrent_verdict(at), _isolator(site, at), *guard_verdicts(site, at)]


def _isolator(site: Site, at: WiredGroup) -> Verdict:
    """Whether a switch within reach breaks the array's voltage and current in all its poles."""
    group, circuit = at.group, at.circuit
    current, volts = Quantity(circuit.current, kinds.CURRENT), open_in_the_cold(circuit)
    rated_volts, rated_current = group.isolator_voltage, group.isolator_current
    weak_volts = rated_volts is not None and not at_least(rated_volts, volts)
    weak_current = rated_current is not None and not at_least(rated_current, current)
    values = {"isolator_voltage": rated_volts, "isolator_current": rated_current}
    if weak_volts and not weak_current and hangs_on_the_cold(circuit, rated_volts or 0.0):
        return ISOLATOR.unknown(group.name, "sun.record_low")
    missing = [f"{at.path}.{key}" for key, value in values.items() if value is None]
    if missing and not weak_volts and not weak_current:
        why = "what switch within reach breaks the array's current"
        return ISOLATOR.unknown(group.name, *missing, why=why)
    rating = rating_for(circuit, rated_volts, rated_current)
    better = remedy(
        "a load-break switch in both conductors, " + rating.words,
        [
            set_to(f"{at.path}.isolator_voltage", rating.voltage),
            set_to(f"{at.path}.isolator_current", rating.current),
            *([] if group.isolator_poles == 2 else [set_to(f"{at.path}.isolator_poles", 2)]),
        ],
        **rating.parts(),
    )
    if not weak_volts and not weak_current and group.isolator_poles != 2:
        lacking = _of_poles(site, at, better)
        if lacking is not None:
            return lacking
    parts: dict[str, Quantity | str] = {"volts": volts, "current": current}
    breaks = []
    if rated_volts is not None:
        breaks.append("{rated_volts}")
        parts["rated_volts"] = rated_volts
    if rated_current is not None:
        breaks.append("{rated_current}")
        parts["rated_current"] = rated_current
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
        remedy=better,
    )


def _of_poles(site: Site, at: WiredGroup, better: Remedy) -> Verdict | None:
    """Of a switch that may leave a conductor joined; None where it may."""
    group, edition = at.group, site.site.code_edition
    if group.isolator_poles is None:
        why = "whether the isolator opens both conductors is not given"
        return ISOLATOR.unknown(group.name, f"{at.path}.isolator_poles", why=why)
    why = "the isolator opens one conductor of two"
    if group.grounding is None:
        return ISOLATOR.unknown(group.name, f"{at.path}.grounding", why=why)
    # The edition of 2014 speaks of conductors that are not grounded, later ones of those that
    # are not solidly grounded.
    if group.grounding == "functional" and edition is None:
        return ISOLATOR.unknown(group.name, "site.code_edition", why=why)
    if group.grounding == "solid" or (group.grounding == "functional" and edition == 2014):
        return None
    reason = "it opens one conductor of two: a fault to ground in the other keeps both live"
    return ISOLATOR.verdict("fail", group.name, say(reason), remedy=better)
