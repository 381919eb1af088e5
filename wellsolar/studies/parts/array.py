"""The modules of every group, and the direct current from them to what they feed."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.results.parts import State
from wellsolar.site.schema import ArrayTable
from wellsolar.studies.array.circuit import WiredGroup
from wellsolar.studies.array.cold_voltage import COLD_VOLTAGE, open_in_the_cold
from wellsolar.studies.electric.cable import AMPACITY_PV, DROP
from wellsolar.studies.parts.heat import fed_elements
from wellsolar.studies.parts.lines import Lines, Practice, amperes, remedy_of, sized
from wellsolar.studies.safety.code_editions import ARC_FAULT, GROUND_FAULT, SHUTDOWN
from wellsolar.studies.safety.direct_current import ISOLATOR
from wellsolar.studies.safety.overcurrent import OVERCURRENT
from wellsolar.studies.sun.module_sheet import PLAUSIBLE
from wellsolar.studies.supply.allocation import ON_HAND
from wellsolar.studies.supply.chain_year import SHORT
from wellsolar.studies.supply.rule_of_thumb import ARRAY
from wellsolar.studies.supply.year import DAYS_SHORT
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, changes_of, say

LISTED = "listed for direct current, settled with the local inspector"
WIRE = (
    "copper, two conductors and ground, insulated for sun, wet and burial; plus red, minus black, "
    "neither white; in metal raceway inside the house"
)
"""Colours above 60 V: NEC 215.12(C)(2)(a), read for feeders; raceway: 690.31, second hand."""
CARRIES = Practice("the file names no run: its length and its drop follow from array.cable")
FOR_PUMPS = ("pump", "battery")


def array_parts(lines: Lines) -> None:
    """The modules of every group, and the circuit of the one that heats."""
    wired = _wired(lines)
    for group in lines.site.array:
        _modules(lines, group)
        at = wired.get(group.name)
        if at is not None:
            _circuit(lines, at)
    _lacking(lines)
    _more_for_pumps(lines)


def _wired(lines: Lines) -> dict[str, WiredGroup]:
    """The groups whose circuits were studied, by their names; of two elements on one the first."""
    groups = {group.name: (number, group) for number, group in enumerate(lines.site.array, 1)}
    circuits = [
        (fed_element.numbers.circuit, fed_element.numbers.wire)
        for fed_element in fed_elements(lines)
    ]
    circuits += [(array.circuit, array.wire) for array in lines.results.arrays]
    made: dict[str, WiredGroup] = {}
    for circuit, wire in circuits:
        number, group = groups[circuit.array]
        assert lines.site.module is not None
        at = WiredGroup(group, f"array[{number}]", lines.site.module, circuit, wire)
        made.setdefault(circuit.array, at)
    return made


def _modules(lines: Lines, group: ArrayTable) -> None:
    """The modules of a group and their rows."""
    module, count = lines.site.module, group.series * group.parallel
    for_pumps = lines.worst_of_all(ARRAY) if group.feeds in FOR_PUMPS else None
    if module is not None:
        power = module.rated_power or Quantity(module.vmp * module.imp, kinds.POWER)
        rated = ("rated_power",) if module.rated_power is not None else ("vmp", "imp")
        size = sized(
            lines.claim("{}", module, *rated, value=power),
            lines.claim("{} open", module, "voc"),
            lines.claim("{} short-circuit", module, "isc"),
        )
        judged = for_pumps or lines.verdict(PLAUSIBLE, "module")
        lines.add("module", size, judged, of=group.name, count=count, keys=_rows(lines, group))
    row = "1 module" if group.series == 1 else f"{group.series} modules in series"
    judged = lines.verdict(COLD_VOLTAGE, group.name)
    too_long = judged is not None and judged.status == "fail"
    state: State = "to change" if too_long else "in the file"
    why = remedy_of(judged) if too_long else ()
    lines.add(
        "string", sized(lines.claim("{}", group, "series", value=row)), judged or for_pumps,
        of=group.name, state=state, count=group.parallel, why=why, keys=_rows(lines, group),
    )  # fmt: skip


def _rows(lines: Lines, group: ArrayTable) -> list[str]:
    """The keys that say how many modules a group has; one row needs no key."""
    names = ("series", "parallel") if group.parallel > 1 else ("series",)
    return [lines.key(group, name) for name in names]


def _isolator(lines: Lines, group: ArrayTable) -> Sentence:
    """The isolator that the file names."""
    both = group.isolator_poles != 1
    poles = "in both conductors" if both else "in the one that is not grounded"
    return sized(
        lines.claim("breaks {} of direct current under load", group, "isolator_voltage"),
        lines.claim("{}", group, "isolator_current"),
        lines.claim(poles, group, "isolator_poles", value=""),
    )


def _more_for_pumps(lines: Lines) -> None:
    """Modules that the pumps want beyond those that feed them or their battery."""
    verdict = lines.worst_of_all(ARRAY)
    wanted = [
        (verdict, int(verdict.limit - verdict.quantity))
        for verdict in lines.results.verdicts
        if verdict.rule == ARRAY and verdict.limit and verdict.quantity is not None
    ]
    lacking = max((count for _, count in wanted), default=0)
    if lacking > 0:
        verdict = next(verdict for verdict, count in wanted if count == lacking)
        lines.add(
            "module",
            say("as those of the file"),
            verdict,
            of="for the pumps",
            state="to add",
            count=lacking,
        )
    for rule in (DAYS_SHORT, SHORT):
        year = lines.worst_of_all(rule)
        if year is None or year.status != "fail" or year.remedy is None:
            continue
        modules = any(change.path.startswith("array") for change in changes_of(year.remedy))
        if rule is DAYS_SHORT or modules:
            of = "through the year"
            lines.add("module", year.remedy, year, of=of, state="to add", count=None)


def _lacking(lines: Lines) -> None:
    """Modules more than there are on hand."""
    ledger = lines.results.ledger
    verdict = lines.verdict(ON_HAND, "modules")
    if ledger is None or verdict is None or ledger.spare >= 0:
        return
    size = say("of those in the lines above, so many are lacking")
    lines.add("module", size, verdict, of="all groups", state="to add", count=-ledger.spare)


def _circuit(lines: Lines, at: WiredGroup) -> None:
    """Wire, devices and switches between the modules and what they feed."""
    group, circuit = at.group, at.circuit
    volts, current = open_in_the_cold(circuit), Quantity(circuit.current, kinds.CURRENT)
    if at.wire is not None:
        rules = (AMPACITY_PV, DROP)
        lines.add_cable("array cable", group.name, at.wire, WIRE, group.cable, *rules)
    else:
        needed = Quantity(circuit.conductor_current, kinds.CURRENT)
        size = say("{wire}, carries {needed:up}", wire=WIRE, needed=needed)
        lines.add(
            "array cable", size, None, of=group.name, state="to check", count=None,
            practice=CARRIES,
        )  # fmt: skip
    _devices(lines, at, ("made for {:up} of direct current", volts))
    verdict = lines.verdict(ISOLATOR, group.name)
    has_isolator = group.isolator_voltage is not None or group.isolator_current is not None
    if verdict is not None and verdict.status == "pass":
        state: State = "in the file"
        size = _isolator(lines, group)
    else:
        unknown = verdict is not None and verdict.status == "unknown"
        state = "to add" if not has_isolator else "to check" if unknown else "to change"
        size = sized(
            ("breaks {:up}", volts),
            ("{:up} of direct current under load, either way", current),
            ("in both conductors", ""),
        )
    lines.add("isolator", size, verdict, of=group.name, state=state)
    dead = "the roof's conductors dead from below"
    if group.place != "roof":
        dead = "the wires at the building dead from outside"
    for item, rule, key, does in (
        ("ground-fault protection", GROUND_FAULT, "ground_fault_protection",
         "opens the circuit on a fault to ground"),
        ("arc-fault protection", ARC_FAULT, "arc_fault_protection",
         "opens the circuit on an arc"),
        ("rapid shutdown", SHUTDOWN, "rapid_shutdown",
         f"makes {dead}"),
    ):  # fmt: skip
        has = lines.claim(does, group, key)
        lines.add_told(item, say(LISTED), lines.verdict(rule, group.name), has, group.name)


def _devices(lines: Lines, at: WiredGroup, at_volts: tuple[str, Quantity]) -> None:
    """The fuse or breaker of a group and the fuses of its rows, told or asked for."""
    group = at.group
    verdict = lines.verdict(OVERCURRENT, group.name)
    asked = (
        {} if verdict is None else {change.path: change for change in changes_of(verdict.remedy)}
    )
    rows = "{}, one in each row, no more than the modules' label allows"
    sizes = {"overcurrent": at.circuit.overcurrent_asked, "string_fuse": at.circuit.row_fuse}
    for item, key, words, count in (
        ("array breaker", "overcurrent", "{}", 1),
        ("string fuse", "string_fuse", rows, group.parallel),
    ):
        device, change = getattr(group, key), asked.get(f"{at.path}.{key}")
        if change is not None:
            state: State = "to add" if device is None else "to change"
            size = sized((words, amperes(sizes[key] or 0.0)), at_volts)
            lines.add(
                item, size, verdict, of=group.name, state=state, count=count,
                why=remedy_of(verdict),
            )  # fmt: skip
        elif device is not None:
            size = sized(lines.claim(words, group, key), at_volts)
            lines.add(item, size, verdict, of=group.name, count=count)
