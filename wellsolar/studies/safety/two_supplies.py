"""A heater with elements on direct and on alternating current: a temperature limit in each
circuit, a thermostat at each element, and the two kinds of current apart."""

from __future__ import annotations

from collections.abc import Iterator

from wellsolar.site.schema import ElementTable, Site, WaterHeaterTable
from wellsolar.studies.safety.guarded_tank import TANK
from wellsolar.studies.safety.overheating import OVERHEATING
from wellsolar.verdicts import Place, Rule, Verdict, remedy, say, set_to

ONE_LIVE = 150.0
"""Voltage of an element up to which one of its conductors is the neutral [V]: 120 V of a service
whose two live conductors have 240 V between them."""

MAINS_LIMIT = Rule(
    "high limit on grid or inverter",
    "does the high limit stop this element too?",
    "with several supplies at one heater a high limit for each, or one that drops both, in every "
    "live conductor, by contacts that are not the thermostat's",
    "high limit contacts",
    safety=True,
    by="electrician",
    place=Place(section="tank_guards"),
)

APART = Rule(
    "currents apart in the heater",
    "are direct and alternating current apart in the heater's wiring?",
    "wires of modules not in one box or raceway with those of another system, unless a partition "
    "parts them",
    "wiring apart",
    safety=True,
    by="electrician",
    place=Place(section="tank_guards"),
    claims=("supplies_apart",),
)


def _supplies_of_heater(heater: WaterHeaterTable) -> tuple[str, ...]:
    """What feeds a heater's elements, each once."""
    return tuple(dict.fromkeys(element.fed_by for element in heater.element))


def _joins_currents(site: Site, heater: WaterHeaterTable) -> bool:
    """Whether modules feed one element of a heater and grid or inverter another. True where both
    do."""
    arrays = {group.name for group in site.array}
    fed = set(_supplies_of_heater(heater))
    return bool(fed & arrays) and bool(fed - arrays)


def two_supplies_verdicts(site: Site, heater: WaterHeaterTable) -> list[Verdict]:
    """What the elements on grid or inverter ask, beside those on modules; none of one supply whose
    elements have thermostats."""
    verdicts = list(_without_thermostat(site, heater))
    if len(_supplies_of_heater(heater)) > 1:
        verdicts += [
            _limit_of(element, number)
            for number, element in enumerate(heater.element, 1)
            if _on_mains(site, element)
        ]
    if _joins_currents(site, heater):
        verdicts.append(_apart(heater))
    return verdicts


def _on_mains(site: Site, element: ElementTable) -> bool:
    """True of an element on grid or inverter."""
    return element.fed_by not in {group.name for group in site.array}


def _without_thermostat(site: Site, heater: WaterHeaterTable) -> Iterator[Verdict]:
    """Of each element on grid or inverter whose thermostat the file does not name."""
    for number, element in enumerate(heater.element, 1):
        if _on_mains(site, element) and element.thermostat is None:
            why = f"what stops the {element.position} element on {element.fed_by} is not given"
            key = f"water_heater.element[{number}].thermostat"
            yield OVERHEATING.unknown(f"element {number}", key, why=why)


def _limit_of(element: ElementTable, number: int) -> Verdict:
    """Whether the high limit opens the live conductors of an element on alternating current, by
    contacts that are not the thermostat's."""
    subject, path = f"high limit of element {number}", f"water_heater.element[{number}]"
    switches, poles = element.high_limit_switches, element.high_limit_poles
    supply = f"the {element.fed_by}"
    better = remedy(
        "a high limit for this supply too, or one relay that drops both, in every live conductor",
        [set_to(f"{path}.high_limit_switches", "AC"), set_to(f"{path}.high_limit_poles", 2)],
    )
    if switches is None:
        why = f"what the high limit opens in the circuit of {supply} is not given"
        return MAINS_LIMIT.unknown(subject, f"{path}.high_limit_switches", why=why)
    if switches in ("nothing", "same relay"):
        reason = say(
            "it opens nothing in the circuit of {supply}: one high limit on the other supply does "
            "not stop this one"
            if switches == "nothing"
            else "it acts on the thermostat's relay in the circuit of {supply}: where that "
            "contact welds, nothing stops it",
            supply=supply,
        )
        return MAINS_LIMIT.verdict("fail", subject, reason, remedy=better)
    if poles is None:
        why = "whether it opens every live conductor is not given"
        return MAINS_LIMIT.unknown(subject, f"{path}.high_limit_poles", why=why)
    if poles == 1 and element.rated_voltage > ONE_LIVE:
        reason = say("it opens one conductor of two at {volts}", volts=element.rated_voltage)
        return MAINS_LIMIT.verdict("caution", subject, reason, remedy=better)
    reason = say("it opens the circuit of {supply} by contacts of its own", supply=supply)
    return MAINS_LIMIT.verdict("pass", subject, reason)


def _apart(heater: WaterHeaterTable) -> Verdict:
    """Whether direct and alternating current share the heater's wiring space."""
    key = "water_heater.supplies_apart"
    if heater.supplies_apart is None:
        why = "one element is on modules, another is not; whether their wires are apart"
        return APART.unknown(TANK, key, why=why)
    if heater.supplies_apart:
        reason = say("each kind of current has a box of its own, or a partition between")
        return APART.verdict("pass", TANK, reason, claims=[key])
    reason = say(
        "direct and alternating current share one wiring space: a wire of one that touches the "
        "other puts both on the tank's controls"
    )
    return APART.verdict(
        "fail",
        TANK,
        reason,
        remedy=remedy(
            "a box or a partition of its own for the direct current, and the factory's wiring "
            "that interlocks the two thermostats taken out",
            [set_to(key, True)],
        ),
    )
