"""The parts of a PV-heated tank, and of the direct current from the modules to it."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics import overheating
from wellsolar.results import HeatedTankResult
from wellsolar.results.parts_list import State
from wellsolar.site.schema import ArrayTable, ElementTable, WaterHeaterTable
from wellsolar.studies.expansion_verdicts import ROUNDING
from wellsolar.studies.parts_found import NOT_PASSED, Lines, remedy_of, sized
from wellsolar.studies.scald_verdicts import SAFE_OUTLET
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, Verdict, say

TANK = "water heater"
LISTED = "listed for direct current, settled with the local inspector"


def heat_parts(lines: Lines) -> None:
    """The tank with its elements, guards and valves.

    Parameters:
        lines: of the hot water, to which the parts are added
    """
    heater, result = lines.site.water_heater, lines.results.heated_tank
    if heater is None or result is None:
        return
    lines.add(
        TANK, say("{volume}", volume=heater.volume), lines.verdict("reaches temperature", TANK)
    )
    for element in heater.element:
        _element(lines, element, result)
    _guards(lines, heater, result)
    _mixing(lines, heater)
    _relief(lines, heater, result)
    _expansion(lines, heater, result)


def _element(lines: Lines, element: ElementTable, result: HeatedTankResult) -> None:
    """An element; one on the modules is judged by what they can do to it."""
    of_array = element.fed_by == result.array
    verdict = lines.worst("element", "element load") if of_array else None
    if verdict is None:
        verdict = lines.worst(TANK, "hot water in the evening", "share from PV")
    size = sized(("{}", element.rated_power), ("{}", element.rated_voltage))
    bad = of_array and verdict is not None and verdict.status == "fail"
    state: State = "to change" if bad else "in the file"
    why = remedy_of(verdict) if bad else ()
    of = f"{element.position}, on {element.fed_by}"
    lines.add("heating element", size, verdict, of=of, state=state, count=element.count, why=why)


def _breaks(result: HeatedTankResult) -> tuple[tuple[str, Quantity | str | None], ...]:
    """What a contact in the array's circuit must break."""
    circuit = result.safety.circuit
    return (
        ("breaks {:up}", _volts(result)),
        ("{:up} of direct current", Quantity(circuit.current, kinds.CURRENT)),
    )


def _volts(result: HeatedTankResult) -> Quantity:
    """The greatest of the circuit without load; at 25 degC where no record low is told."""
    told = result.safety.circuit.system_voltage
    return Quantity(told or result.reference_points[-1].voltage, kinds.VOLTAGE)


def _guards(lines: Lines, heater: WaterHeaterTable, result: HeatedTankResult) -> None:
    """What stops the heating: relay or controller behind the thermostat, and high limit."""
    contacts = lines.verdict("thermostat on direct current", "thermostat")
    cold = lines.verdict("cold open-circuit voltage", result.array)
    if contacts is not None:
        element = next(each for each in heater.element if each.fed_by == result.array)
        weak = element.switch_voltage is None or element.switch_voltage < _volts(result)
        known = contacts.status == "pass" and (cold is None or cold.status != "unknown")
        state: State = "in the file"
        if contacts.status != "pass":
            state = "to add"
        elif weak:
            state = "to change" if element.switch_voltage is not None else "to add"
        shown = cold if contacts.status == "pass" and weak else contacts
        if not (element.thermostat_switches == "DC" and known and not weak):
            lines.add(
                "relay or controller", sized(*_breaks(result)), shown,
                of=result.array, state=state, why=remedy_of(shown),
            )  # fmt: skip
    verdict = lines.worst(TANK, "high limit", "overheating")
    if verdict is None:
        return
    low, high = (Quantity(each, kinds.TEMPERATURE) for each in overheating.HIGH_LIMIT_RANGE)
    relief = result.safety.pressure.relief_temperature
    set_to = heater.high_limit
    if set_to is None or float(set_to) >= relief:
        state = "to add" if set_to is None else "to change"
        size = sized(("hand reset, {}", low), ("or up to {}", high), *_breaks(result))
    else:
        state, size = "in the file", sized(("hand reset, {}", set_to), *_breaks(result))
    lines.add("high limit", size, verdict, state=state)


def _mixing(lines: Lines, heater: WaterHeaterTable) -> None:
    """The valve at the tank by its standard, and those at the fixtures."""
    safe = Quantity(SAFE_OUTLET, kinds.TEMPERATURE)
    mixing = lines.verdict("mixing valve", TANK)
    standard = lines.verdict("mixing-valve standard", "mixing valve")
    valve = heater.mixing_valve
    right = say("to ASSE 1017, at the tank, set to {safe} or less", safe=safe)
    if valve is None:
        if mixing is not None and mixing.status != "pass":
            lines.add("mixing valve", right, mixing, state="to add")
    else:
        judged = [each for each in (mixing, standard) if each is not None]
        shown = next((each for each in judged if each.status != "pass"), mixing)
        wrong = shown is not None and shown.status in NOT_PASSED
        told = sized(("to {}", valve.standard), ("at the tank, set to {}", valve.outlet))
        unnamed = valve.standard is None
        state: State = "to change" if wrong or unnamed else "in the file"
        size = right if wrong or unnamed else told
        lines.add("mixing valve", size, shown, state=state, why=remedy_of(shown))
    fixtures = lines.verdict("scald protection at fixtures", "fixtures")
    if fixtures is not None:
        size = say("to ASSE 1016 at each shower, to ASSE 1070 at each basin and tub")
        told_of = heater.fixture_valves
        state = "in the file" if told_of else "to add"
        lines.add("fixture valve", size, fixtures, state=state, count=None)


def _relief(lines: Lines, heater: WaterHeaterTable, result: HeatedTankResult) -> None:
    verdict = lines.worst(TANK, "relief valve", "relief capacity")
    capacity = lines.verdict("relief capacity", TANK)
    told = heater.relief_temperature, heater.relief_pressure, heater.relief_capacity
    unknown = any(each is None for each in told)
    if unknown and verdict is not None and verdict.status == "pass":
        verdict = capacity
    wrong = verdict is not None and verdict.status in NOT_PASSED
    hot = Quantity(overheating.RELIEF_TEMPERATURE, kinds.TEMPERATURE)
    press = Quantity(overheating.RELIEF_PRESSURE, kinds.PRESSURE)
    size = say(
        "temperature and pressure: {hot} and {press}, at least {heat:up} on its plate",
        hot=hot if wrong or told[0] is None else told[0],
        press=press if wrong or told[1] is None else told[1],
        heat=Quantity(result.safety.heat_input, kinds.HEAT_INPUT),
    )
    state: State = "to change" if wrong else "to add" if unknown else "in the file"
    lines.add("relief valve", size, verdict, state=state)
    vacuum = lines.verdict("vacuum relief", TANK)
    size = say("to CSA Z21.22, on the cold pipe above the tank")
    lines.add_told("vacuum relief valve", size, vacuum, heater.vacuum_relief)


def _expansion(lines: Lines, heater: WaterHeaterTable, result: HeatedTankResult) -> None:
    """An expansion tank where a check valve closes the cold side."""
    if not heater.check_valve:
        return
    verdict = lines.verdict("thermal expansion", TANK)
    pressure = result.safety.pressure
    has = bool(heater.expansion_tank)
    fine = has and verdict is not None and verdict.status == "pass"
    state: State = "in the file" if fine else "to change" if has else "to add"
    if fine:
        size = sized(
            ("{}", heater.expansion_tank_volume),
            ("precharge {}", heater.expansion_tank_precharge),
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


def array_parts(lines: Lines) -> None:
    """The modules of every group, and the circuit of the one that heats.

    Parameters:
        lines: of the arrays, to which the parts are added
    """
    module, result = lines.site.module, lines.results.heated_tank
    for group in lines.site.array:
        count = group.series * group.parallel
        if module is not None:
            power = module.rated_power or Quantity(module.vmp * module.imp, kinds.POWER)
            size = sized(("{}", power), ("{} open", module.voc), ("{} short-circuit", module.isc))
            sheet = lines.verdict("module's sheet", "module")
            lines.add("module", size, sheet, of=group.name, count=count)
        row = "1 module" if group.series == 1 else f"{group.series} modules in series"
        judged = lines.verdict("cold open-circuit voltage", group.name)
        too_long = judged is not None and judged.status == "fail"
        state: State = "to change" if too_long else "in the file"
        why = remedy_of(judged) if too_long else ()
        lines.add(
            "string", say("{row}", row=row), judged, of=group.name, state=state,
            count=group.parallel, why=why,
        )  # fmt: skip
        if result is not None and group.name == result.array:
            _circuit(lines, group, result)
    _lacking(lines)


def _lacking(lines: Lines) -> None:
    """Modules more than there are on hand."""
    ledger = lines.results.ledger
    verdict = lines.verdict("modules on hand", "modules")
    if ledger is None or verdict is None or ledger.spare >= 0:
        return
    size = say("of those in the lines above, so many are lacking")
    lines.add("module", size, verdict, of="all groups", state="to add", count=-ledger.spare)


def _circuit(lines: Lines, group: ArrayTable, result: HeatedTankResult) -> None:
    """Wire, devices and switches between the modules and the tank."""
    circuit, volts = result.safety.circuit, _volts(result)
    at_volts = ("made for {:up} of direct current", volts)
    if result.wire is not None:
        kind = "two conductors and ground, insulated for sun and wet"
        lines.add_cable(
            "array cable", group.name, result.wire, kind, "pv conductor", "voltage drop"
        )
    _devices(lines, group, result, at_volts)
    verdict = lines.verdict("isolator", group.name)
    fine = verdict is not None and verdict.status == "pass"
    told = group.isolator_voltage is not None and group.isolator_current is not None
    state: State = "in the file" if fine else "to change" if told else "to add"
    if fine:
        size = sized(
            ("breaks {}", group.isolator_voltage),
            ("{} of direct current under load", group.isolator_current),
        )
    else:
        size = sized(
            ("breaks {:up}", volts),
            ("{:up} of direct current under load, either way",
             Quantity(circuit.current, kinds.CURRENT)),
        )  # fmt: skip
    lines.add("isolator", size, verdict, of=group.name, state=state)
    for item, key, has in (
        ("ground-fault protection", "ground fault", group.ground_fault_protection),
        ("arc-fault protection", "arc fault", group.arc_fault_protection),
        ("rapid shutdown", "rapid shutdown", group.rapid_shutdown),
    ):
        lines.add_told(item, say(LISTED), lines.verdict(key, group.name), has, group.name)


def _devices(
    lines: Lines,
    group: ArrayTable,
    result: HeatedTankResult,
    at_volts: tuple[str, Quantity],
) -> None:
    """The array's fuse or breaker and the fuses of its rows, where they are asked for."""
    circuit = result.safety.circuit
    verdict: Verdict | None = lines.verdict("pv overcurrent", group.name)
    fine = verdict is not None and verdict.status == "pass"
    if group.overcurrent is not None and fine:
        size: Sentence = sized(("{}", group.overcurrent), at_volts)
        lines.add("array breaker", size, verdict, of=group.name)
    elif not fine and circuit.overcurrent_asked is not None:
        size = sized(("{}", Quantity(circuit.overcurrent_asked, kinds.CURRENT)), at_volts)
        state: State = "to add" if group.overcurrent is None else "to change"
        lines.add(
            "array breaker", size, verdict, of=group.name, state=state, why=remedy_of(verdict)
        )
    if circuit.string_fuse is not None:
        size = sized(
            ("{}, one in each row, no more than the modules' label allows",
             Quantity(circuit.string_fuse, kinds.CURRENT)),
            at_volts,
        )  # fmt: skip
        state = "in the file" if fine else "to add"
        lines.add("string fuse", size, verdict, of=group.name, state=state, count=group.parallel)
