"""The modules of every group, and the direct current from them to what they feed."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics.electric import cable
from wellsolar.results import FedElement
from wellsolar.results.parts import State
from wellsolar.site.schema import ArrayTable
from wellsolar.studies.array.cold_voltage import COLD_VOLTAGE
from wellsolar.studies.electric.cable import AMPACITY_PV, DROP
from wellsolar.studies.parts.heat import fed_elements
from wellsolar.studies.parts.lines import (
    SPARE,
    Lines,
    Practice,
    amperes,
    remedy_of,
    sized,
    with_area,
)
from wellsolar.studies.parts.power import circuit_of, string_fuse
from wellsolar.studies.safety.direct_current import (
    ARC_FAULT,
    GROUND_FAULT,
    ISOLATOR,
    OVERCURRENT,
    SHUTDOWN,
)
from wellsolar.studies.safety.numbers import FEWEST_FUSED
from wellsolar.studies.sun.module_sheet import PLAUSIBLE
from wellsolar.studies.supply.allocation import ON_HAND
from wellsolar.studies.supply.rule_of_thumb import ARRAY
from wellsolar.studies.supply.year import DAYS_SHORT
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, Verdict, say

LISTED = "listed for direct current, settled with the local inspector"
WIRE = "copper, two conductors and ground, insulated for sun and wet"
ISOLATES = Practice("the group is switched off by hand before anybody works on it")
CARRIES = Practice("the file names no run: its length and its drop follow from array.cable")
FUSES = Practice(
    "from three rows on, the others can drive more through a faulty one than it bears"
)
FOR_PUMPS = ("pump", "battery")


def array_parts(lines: Lines) -> None:
    """The modules of every group, and the circuit of the one that heats.

    Parameters:
        lines: of the arrays, to which the parts are added
    """
    heats = fed_elements(lines)
    for group in lines.site.array:
        _modules(lines, group)
        fed = next((each for each in heats if each.numbers.array == group.name), None)
        if fed is not None:
            _circuit(lines, group, fed.numbers)
        else:
            _other_circuit(lines, group)
    _lacking(lines)
    _more_for_pumps(lines)


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
    return [lines.key(group, each) for each in names]


def _isolator(lines: Lines, group: ArrayTable) -> Sentence:
    """The isolator that the file names."""
    return sized(
        lines.claim("breaks {} of direct current under load", group, "isolator_voltage"),
        lines.claim("{}", group, "isolator_current"),
    )


def _other_circuit(lines: Lines, group: ArrayTable) -> None:
    """Wire, switch and fuses of a group that does not heat, and so is not judged with the tank."""
    module, circuit = lines.site.module, circuit_of(lines, group)
    if module is None or not circuit:
        return
    _other_cable(lines, group, float(module.isc))
    told = group.isolator_voltage is not None and group.isolator_current is not None
    (open_words, volts), (_, current) = circuit
    size = sized(
        (f"breaks {open_words}", volts),
        ("{:up} of direct current under load, either way", current),
    )
    if told:
        size = _isolator(lines, group)
    state: State = "in the file" if told else "to check"
    lines.add("isolator", size, None, of=group.name, state=state, practice=ISOLATES)
    fuse = string_fuse(float(module.isc))
    if group.parallel >= FEWEST_FUSED and fuse is not None:
        rows = "{}, one in each row, no more than the modules' label allows"
        size = sized((rows, amperes(fuse)), circuit[0])
        lines.add(
            "string fuse", size, None, of=group.name, state="to check", count=group.parallel,
            practice=FUSES,
        )  # fmt: skip


def _other_cable(lines: Lines, group: ArrayTable, isc: float) -> None:
    run = group.cable
    if run is not None and run.length is not None:
        spare = say(
            "{run} of run and {share} spare",
            run=run.length,
            share=Quantity(SPARE, kinds.FRACTION),
        )
        size = sized(lines.claim("{}", run, "gauge", value=with_area(run.gauge)))
        long = float(run.length) * (1.0 + SPARE)
        keys = [lines.key(run, "length")]
        lines.add("array cable", size, None, of=group.name, length=long, why=[spare], keys=keys)
        return
    needed = Quantity(float(cable.pv_conductor_current(isc, group.parallel)), kinds.CURRENT)
    size = say("{wire}, carries {needed:up}", wire=WIRE, needed=needed)
    lines.add(
        "array cable", size, None, of=group.name, state="to check", count=None, practice=CARRIES
    )


def _more_for_pumps(lines: Lines) -> None:
    """Modules that the pumps want beyond those that feed them or their battery."""
    verdict = lines.worst_of_all(ARRAY)
    wanted = [
        (each, int(each.limit - each.quantity))
        for each in lines.results.verdicts
        if each.rule == ARRAY and each.limit and each.quantity is not None
    ]
    lacking = max((count for _, count in wanted), default=0)
    if lacking > 0:
        verdict = next(each for each, count in wanted if count == lacking)
        lines.add(
            "module",
            say("as those of the file"),
            verdict,
            of="for the pumps",
            state="to add",
            count=lacking,
        )
    year = lines.worst_of_all(DAYS_SHORT)
    if year is not None and year.status == "fail" and year.remedy is not None:
        lines.add("module", year.remedy, year, of="through the year", state="to add", count=None)


def _lacking(lines: Lines) -> None:
    """Modules more than there are on hand."""
    ledger = lines.results.ledger
    verdict = lines.verdict(ON_HAND, "modules")
    if ledger is None or verdict is None or ledger.spare >= 0:
        return
    size = say("of those in the lines above, so many are lacking")
    lines.add("module", size, verdict, of="all groups", state="to add", count=-ledger.spare)


def _circuit(lines: Lines, group: ArrayTable, fed: FedElement) -> None:
    """Wire, devices and switches between the modules and the tank."""
    circuit, volts = fed.circuit, Quantity(fed.most_voltage, kinds.VOLTAGE)
    at_volts = ("made for {:up} of direct current", volts)
    if fed.wire is not None:
        rules = (AMPACITY_PV, DROP)
        lines.add_cable("array cable", group.name, fed.wire, WIRE, group.cable, *rules)
    _devices(lines, group, fed, at_volts)
    verdict = lines.verdict(ISOLATOR, group.name)
    fine = verdict is not None and verdict.status == "pass"
    told = group.isolator_voltage is not None and group.isolator_current is not None
    state: State = "in the file" if fine else "to change" if told else "to add"
    if fine:
        size = _isolator(lines, group)
    else:
        size = sized(
            ("breaks {:up}", volts),
            ("{:up} of direct current under load, either way",
             Quantity(circuit.current, kinds.CURRENT)),
        )  # fmt: skip
    lines.add("isolator", size, verdict, of=group.name, state=state)
    for item, rule, key, does in (
        ("ground-fault protection", GROUND_FAULT, "ground_fault_protection",
         "opens the circuit on a fault to ground"),
        ("arc-fault protection", ARC_FAULT, "arc_fault_protection",
         "opens the circuit on an arc"),
        ("rapid shutdown", SHUTDOWN, "rapid_shutdown",
         "makes the roof's conductors dead from below"),
    ):  # fmt: skip
        has = lines.claim(does, group, key)
        lines.add_told(item, say(LISTED), lines.verdict(rule, group.name), has, group.name)


def _devices(
    lines: Lines,
    group: ArrayTable,
    fed: FedElement,
    at_volts: tuple[str, Quantity],
) -> None:
    """The array's fuse or breaker and the fuses of its rows, where they are asked for."""
    circuit = fed.circuit
    verdict: Verdict | None = lines.verdict(OVERCURRENT, group.name)
    fine = verdict is not None and verdict.status == "pass"
    if group.overcurrent is not None and fine:
        size: Sentence = sized(lines.claim("{}", group, "overcurrent"), at_volts)
        lines.add("array breaker", size, verdict, of=group.name)
    elif not fine and circuit.overcurrent_asked is not None:
        size = sized(("{}", amperes(circuit.overcurrent_asked)), at_volts)
        state: State = "to add" if group.overcurrent is None else "to change"
        lines.add(
            "array breaker", size, verdict, of=group.name, state=state, why=remedy_of(verdict)
        )
    if circuit.string_fuse is not None:
        size = sized(
            (
                "{}, one in each row, no more than the modules' label allows",
                amperes(circuit.string_fuse),
            ),
            at_volts,
        )
        state = "in the file" if fine else "to add"
        lines.add("string fuse", size, verdict, of=group.name, state=state, count=group.parallel)
