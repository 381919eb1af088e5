"""The parts of a tank of hot water, whatever heats it."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.physics.tank import overheating
from wellsolar.results.heat_safety import FedElement, TankPressure
from wellsolar.results.parts import State
from wellsolar.site.part_names import (
    COLD,
    HEATER_CHECK,
    HEATER_DRAIN,
    HEATER_RELIEF,
    SECOND_DRAIN,
    SECOND_RELIEF,
)
from wellsolar.site.schema import ElementTable, SecondTankTable, WaterHeaterTable
from wellsolar.studies.array.cold_voltage import open_in_the_cold
from wellsolar.studies.heat.stored import STORED
from wellsolar.studies.heat.verdicts import EVENING, REACHES, SHARE
from wellsolar.studies.parts.lines import (
    NOT_PASSED,
    Lines,
    Piece,
    Practice,
    remedy_of,
    sized,
    valves,
)
from wellsolar.studies.parts.tank import DISCHARGES, discharge_pipe, tank_stand
from wellsolar.studies.safety.contacts import CONTACTS, HIGH_LIMIT_CONTACTS, high_limit_of
from wellsolar.studies.safety.direct_current import ELEMENT_LOAD, studied_element
from wellsolar.studies.safety.expansion import EXPANSION, ROUNDING
from wellsolar.studies.safety.guarded_tank import (
    SECOND,
    GuardedTank,
    heated_tank_of,
    second_tank_of,
)
from wellsolar.studies.safety.overheating import HIGH_LIMIT, OVERHEATING
from wellsolar.studies.safety.relief import CAPACITY, RELIEF, VACUUM
from wellsolar.studies.safety.scald import FIXTURES, MIXING, SAFE_OUTLET, STANDARD
from wellsolar.studies.safety.two_supplies import APART as CURRENTS_APART
from wellsolar.studies.safety.two_supplies import MAINS_LIMIT
from wellsolar.studies.supply.diversion import SUBJECT as SURPLUS_ELEMENT
from wellsolar.studies.supply.diversion import SWITCHED
from wellsolar.units import Quantity
from wellsolar.verdicts import Verdict, say

TANK = "water heater"

BOILS = Practice("water that boils bursts the tank", source="relief valve")


@dataclass(frozen=True)
class Fed:
    """An element that modules feed, with what verdicts call it and its thermostat."""

    element: ElementTable
    numbers: FedElement
    thermostat: str
    subject: str


def fed_elements(lines: Lines) -> tuple[Fed, ...]:
    """The elements that modules feed, the one that the tank is studied with first; none where no
    modules heat."""
    heater, result = lines.site.water_heater, lines.results.heated_tank
    if heater is None or result is None:
        return ()
    studied = next(element for element in heater.element if element.fed_by == result.array)
    fed = [Fed(studied, studied_element(result), "thermostat", "element")]
    for other in result.safety.others:
        name = f"element {other.number}"
        element = heater.element[other.number - 1]
        fed.append(Fed(element, other, f"thermostat of {name}", name))
    return tuple(fed)


def heat_parts(lines: Lines) -> None:
    """The tank with its elements, guards and valves."""
    heater, results = lines.site.water_heater, lines.results
    if heater is None:
        return
    stored = lines.verdict(STORED, TANK)
    if stored is not None and stored.status in NOT_PASSED:
        size = sized(lines.claim("{}", heater, "volume"))
        lines.add(TANK, size, stored, state="to change", why=remedy_of(stored))
    else:
        judged = lines.worst(TANK, REACHES, SHARE)
        lines.add(TANK, sized(lines.claim("{}", heater, "volume")), judged)
    tank_stand(lines, TANK, float(heater.volume))
    if heater.second_tank is not None:
        _second_tank(lines, heater.second_tank)
    fed = fed_elements(lines)
    for element in heater.element:
        _element(lines, element, next((fed for fed in fed if fed.element is element), None))
    for wired in fed:
        _contacts(lines, wired)
    _surplus_switch(lines, heater)
    apart = lines.verdict(CURRENTS_APART, TANK)
    size = say("a box or partition of its own for the modules' wires at the heater")
    piece = lines.claim("parts the modules' wires from the others", heater, "supplies_apart")
    lines.add_told("wiring partition", size, apart, piece)
    _mixing(lines, heater)
    valves(lines, COLD, HEATER_DRAIN, SECOND_DRAIN)
    if heater.check_valve:
        size = sized(lines.claim("in the cold pipe to the heater", heater, "check_valve"))
        lines.add(HEATER_CHECK, size, None)
    found = results.heated_tank or results.diverted_tank
    if found is None:
        _unjudged(lines, heater)
        return
    tanks = (heated_tank_of(heater, found.safety), second_tank_of(heater, found.safety))
    for tank in tanks:
        if tank is not None:
            _high_limit(lines, tank, fed)
            _relief(lines, tank)
    vacuum = lines.verdict(VACUUM, TANK)
    size = say("to CSA Z21.22, on the cold pipe above the tank")
    does = "lets air in before the tank is siphoned empty or drawn in"
    piece = lines.claim(does, heater, "vacuum_relief")
    lines.add_told("vacuum relief valve", size, vacuum, piece)
    _expansion(lines, heater, found.safety.pressure)


def _second_tank(lines: Lines, second: SecondTankTable) -> None:
    """The tank downstream with its element."""
    size = sized(lines.claim("{}", second, "volume"))
    verdict = lines.verdict(EVENING, TANK)
    lines.add(TANK, size, verdict, of=SECOND)
    tank_stand(lines, SECOND, float(second.volume))
    size = sized(
        lines.claim("{}", second, "rated_power"),
        lines.claim("thermostat at {}", second, "thermostat"),
    )
    lines.add("heating element", size, verdict, of=f"{SECOND}, on grid")


def _element(lines: Lines, element: ElementTable, fed: Fed | None) -> None:
    """An element; one on the modules is judged by what they can do to it."""
    verdict = None if fed is None else lines.verdict(ELEMENT_LOAD, fed.subject)
    if verdict is None:
        verdict = lines.worst(TANK, EVENING, SHARE)
    size = sized(*(lines.claim("{}", element, key) for key in ("rated_power", "rated_voltage")))
    bad = fed is not None and verdict is not None and verdict.status == "fail"
    state: State = "to change" if bad else "in the file"
    why = remedy_of(verdict) if bad else ()
    of = f"{element.position}, on {element.fed_by}"
    keys = [lines.key(element, key) for key in ("position", "fed_by")]
    keys += [lines.key(element, "count")] if element.count > 1 else []
    lines.add(
        "heating element", size, verdict, of=of, state=state, count=element.count, why=why,
        keys=keys,
    )  # fmt: skip


def _breaks(fed: FedElement) -> tuple[tuple[str, Quantity | str | None], ...]:
    """What a contact in the array's circuit must break."""
    return (
        ("breaks {:up}", open_in_the_cold(fed.circuit)),
        ("{:up} of direct current", Quantity(fed.circuit.current, kinds.CURRENT)),
    )


def _contacts(lines: Lines, fed: Fed) -> None:
    """The relay or controller behind a thermostat, unless its own contacts do."""
    contacts, element = lines.verdict(CONTACTS, fed.thermostat), fed.element
    if contacts is None:
        return
    relay = element.thermostat_switches == "relay"
    fine = contacts.status == "pass"
    if fine and not relay:
        return
    size = sized(*_breaks(fed.numbers))
    state: State = "to check"
    if fine:
        state, size = "in the file", sized(
            lines.claim("breaks {}", element, "switch_voltage", "thermostat_switches"),
            lines.claim("{} of direct current", element, "switch_current"),
        )  # fmt: skip
    elif contacts.status == "fail":
        state = "to change" if relay else "to add"
    lines.add(
        "relay or controller", size, contacts,
        of=fed.numbers.array, state=state, why=remedy_of(contacts),
    )  # fmt: skip


def _surplus_switch(lines: Lines, heater: WaterHeaterTable) -> None:
    """What keeps the element on the inverter off while the battery is not full."""
    switched = lines.verdict(SWITCHED, SURPLUS_ELEMENT)
    if switched is None:
        return
    element = next(element for element in heater.element if element.fed_by == "inverter")
    there = element.surplus_switch not in (None, "none")
    size = say("closes while the battery is full; by the element's alternating current")
    state: State = "to check" if switched.status == "unknown" else "to add"
    if there:
        size = sized(
            lines.claim("{}, closes while the battery is full", element, "surplus_switch"),
            lines.claim("{} of alternating current", element, "surplus_switch_current"),
        )
        states: dict[str, State] = {"pass": "in the file", "unknown": "to check"}
        state = states.get(switched.status, "to change")
    lines.add(
        "relay or controller", size, switched, of=SURPLUS_ELEMENT, state=state,
        why=remedy_of(switched),
    )  # fmt: skip


def _high_limit(lines: Lines, tank: GuardedTank, fed: tuple[Fed, ...]) -> None:
    """The high limit of a tank, and in each array's circuit what it breaks of direct current."""
    rules = (HIGH_LIMIT, OVERHEATING) if tank.subject == TANK else (HIGH_LIMIT,)
    verdict = lines.worst(tank.subject, *rules)
    if verdict is None:
        return
    low, high = (Quantity(limit, kinds.TEMPERATURE) for limit in overheating.HIGH_LIMIT_RANGE)
    set_to = tank.table.high_limit
    if set_to is None or set_to >= tank.safety.pressure.relief_temperature:
        state: State = "to add" if set_to is None else "to change"
        pieces: list[Piece | tuple[str, Quantity | str | None]] = [
            ("hand reset, {}", low), ("or up to {}", high)
        ]  # fmt: skip
    else:
        state = "in the file"
        pieces = [Piece("hand reset, {}", set_to, (f"{tank.path}.high_limit",))]
    first = True
    for wired in fed if tank.subject == TANK else ():
        _high_limit_of_array(lines, wired, verdict, pieces, state, "" if first else wired.subject)
        first = False
    if first:
        lines.add("high limit", sized(*pieces), verdict, of=_whose(tank), state=state)
    elif tank.subject == TANK:
        _high_limits_on_mains(lines, pieces)


def _high_limits_on_mains(
    lines: Lines, pieces: list[Piece | tuple[str, Quantity | str | None]]
) -> None:
    """The high limits of elements on grid or inverter beside those on modules."""
    heater = lines.site.water_heater
    for number, element in enumerate(() if heater is None else heater.element, 1):
        verdict = lines.verdict(MAINS_LIMIT, f"high limit of element {number}")
        if verdict is None:
            continue
        passes = verdict.status == "pass"
        words = "opens every live conductor of {}"
        opens = lines.claim(words, element, "high_limit_switches", "high_limit_poles",
                            value=element.fed_by)  # fmt: skip
        state: State = "to check" if verdict.status == "unknown" else "to change"
        lines.add(
            "high limit", sized(*pieces, opens if passes else (words, element.fed_by)), verdict,
            of=f"element {number}", state="in the file" if passes else state,
            why=remedy_of(verdict),
        )  # fmt: skip


def _high_limit_of_array(
    lines: Lines,
    fed: Fed,
    verdict: Verdict,
    pieces: list[Piece | tuple[str, Quantity | str | None]],
    state: State,
    of: str,
) -> None:
    """The high limit with what it breaks of an array's current: told, or asked for."""
    element = fed.element
    breaks = lines.verdict(HIGH_LIMIT_CONTACTS, high_limit_of(fed.thermostat))
    if breaks is None or breaks.status == "pass":
        broken: list[Piece | tuple[str, Quantity | str | None]] = [
            lines.claim("breaks {}", element, "high_limit_voltage", "high_limit_switches"),
            lines.claim("{} of direct current", element, "high_limit_current"),
            lines.claim("{} poles", element, "high_limit_poles"),
        ]
        lines.add("high limit", sized(*pieces, *broken), verdict, of=of, state=state)
        return
    if state == "in the file":
        state = "to check" if breaks.status == "unknown" else "to change"
    poles = ("in both conductors, by contacts that are not the thermostat's", "")
    size = sized(*pieces, *_breaks(fed.numbers), poles)
    lines.add("high limit", size, breaks, of=of, state=state, why=remedy_of(breaks))


def _whose(tank: GuardedTank) -> str:
    return "" if tank.subject == TANK else tank.subject


def _mixing(lines: Lines, heater: WaterHeaterTable) -> None:
    """The valve at the tank by its standard, and those at the fixtures."""
    safe = Quantity(SAFE_OUTLET, kinds.TEMPERATURE)
    mixing = lines.verdict(MIXING, TANK)
    standard = lines.verdict(STANDARD, "mixing valve")
    valve = heater.mixing_valve
    right = say("to ASSE 1017, at the tank, set to {safe} or less", safe=safe)
    if valve is None:
        if mixing is not None and mixing.status != "pass":
            lines.add("mixing valve", right, mixing, state="to add")
    else:
        judged = [verdict for verdict in (mixing, standard) if verdict is not None]
        shown = next((verdict for verdict in judged if verdict.status != "pass"), mixing)
        wrong = shown is not None and shown.status in NOT_PASSED
        sentence = sized(
            lines.claim("to {}", valve, "standard"), lines.claim("set to {}", valve, "outlet")
        )
        unnamed = valve.standard is None
        state: State = "to change" if wrong or unnamed else "in the file"
        size = right if wrong or unnamed else sentence
        lines.add("mixing valve", size, shown, state=state, why=remedy_of(shown))
    fixtures = lines.verdict(FIXTURES, "fixtures")
    if fixtures is not None:
        size = say("to ASSE 1016 at each shower, to ASSE 1070 at each basin and tub")
        if heater.fixture_valves:
            size = sized(lines.claim("at showers, tubs and basins", heater, "fixture_valves"))
        state = "in the file" if heater.fixture_valves else "to add"
        lines.add("fixture valve", size, fixtures, state=state, count=None)


def _relief(lines: Lines, tank: GuardedTank) -> None:
    """The relief valve of a tank and the pipe that leads away what it lets out."""
    verdict = lines.worst(tank.subject, RELIEF, CAPACITY)
    capacity = lines.verdict(CAPACITY, tank.subject)
    ratings = tank.table.relief_temperature, tank.table.relief_pressure, tank.table.relief_capacity
    unknown = any(quantity is None for quantity in ratings)
    if unknown and verdict is not None and verdict.status == "pass":
        verdict = capacity
    wrong = verdict is not None and verdict.status in NOT_PASSED
    hot = Quantity(overheating.RELIEF_TEMPERATURE, kinds.TEMPERATURE)
    press = Quantity(overheating.RELIEF_PRESSURE, kinds.PRESSURE)
    heat = Quantity(tank.safety.heat_input, kinds.HEAT_INPUT)
    opens = (
        ("temperature", hot if wrong or ratings[0] is None else ratings[0]),
        ("pressure", press if wrong or ratings[1] is None else ratings[1]),
    )
    size = sized(
        *(Piece("{}", value, (f"{tank.path}.relief_{of}",)) for of, value in opens),
        Piece("at least {:up} on its plate", heat, (f"{tank.path}.relief_capacity",)),
    )
    state: State = "to change" if wrong else "to add" if unknown else "in the file"
    of = _whose(tank)
    name = HEATER_RELIEF if tank.subject == TANK else SECOND_RELIEF
    lines.add(name, size, verdict, state=state)
    _below(lines, of)


def _below(lines: Lines, of: str) -> None:
    """Where what leaves a tank goes."""
    discharge_pipe(lines, of)
    size = say(
        "under the tank where a leak can do harm, with a drain of its own; the relief valve does "
        "not run into it"
    )
    lines.add("drain pan", size, None, of=of, state="to check", practice=DISCHARGES)


def _unjudged(lines: Lines, heater: WaterHeaterTable) -> None:
    """Relief valves of tanks that no modules heat: what has to be on their plates."""
    hot = Quantity(overheating.RELIEF_TEMPERATURE, kinds.TEMPERATURE)
    press = Quantity(overheating.RELIEF_PRESSURE, kinds.PRESSURE)
    size = say(
        "at the tank, no valve between: {hot} and {press}, or the tank's plate, the lower; "
        "capacity no less than the heat input", hot=hot, press=press,
    )  # fmt: skip
    tanks = {HEATER_RELIEF: "", SECOND_RELIEF: SECOND}
    for name, of in tanks.items():
        if of and heater.second_tank is None:
            continue
        lines.add(name, size, None, state="to check", practice=BOILS)
        _below(lines, of)


def _expansion(lines: Lines, heater: WaterHeaterTable, pressure: TankPressure) -> None:
    """An expansion tank where a check valve closes the cold side."""
    if not heater.check_valve:
        return
    verdict = lines.verdict(EXPANSION, TANK)
    has = bool(heater.expansion_tank)
    fine = has and verdict is not None and verdict.status == "pass"
    state: State = "in the file" if fine else "to change" if has else "to add"
    if fine:
        size = sized(
            lines.claim("{}", heater, "expansion_tank_volume", "expansion_tank"),
            lines.claim("precharge {}", heater, "expansion_tank_precharge"),
        )
    elif pressure.expansion_tank is None or pressure.supply is None:
        size = say("its volume follows from the pressure at which the pumps stop")
    else:
        size = say(
            "at least {volume:up}, precharge {supply}, for hot-water expansion",
            volume=Quantity(ROUNDING * pressure.expansion_tank, kinds.VOLUME),
            supply=Quantity(pressure.supply, kinds.PRESSURE),
        )
    lines.add("expansion tank", size, verdict, state=state)
