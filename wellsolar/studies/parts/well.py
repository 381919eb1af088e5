"""The parts between the water in the well and the pressure tank."""

from __future__ import annotations

from itertools import zip_longest

from wellsolar import kinds
from wellsolar.data import pipes
from wellsolar.data.fitting_table import OTHER
from wellsolar.physics.hydraulics import disinfection
from wellsolar.physics.hydraulics.pipe import cross_section
from wellsolar.results.parts import State
from wellsolar.results.pumps import PumpResult
from wellsolar.site.part_names import OTHER_FITTING
from wellsolar.site.schema import Pipe, PumpLine, PumpTable, Site
from wellsolar.studies.casing.bodies import NOTHING, strings_of
from wellsolar.studies.electric.bonding import BONDING, metal_at_the_well
from wellsolar.studies.electric.cable import AMPACITY_MOTOR, DROP
from wellsolar.studies.electric.motor_guards import BREAKER, LOAD
from wellsolar.studies.electric.starting import DIP
from wellsolar.studies.house import chain
from wellsolar.studies.house.wells import at_well, is_here, key_of, name_of, views
from wellsolar.studies.parts.lines import (
    NOT_PASSED,
    Lines,
    Piece,
    Practice,
    amperes,
    remedy_of,
    sized,
    soft_water,
)
from wellsolar.studies.parts.tank import tank_parts
from wellsolar.studies.pump.jet import LIFT as JET_LIFT
from wellsolar.studies.pump.shut_off import DEEP, LATERAL_PIPE, PIPE, lateral_pressure
from wellsolar.studies.pump.storage_tank import RUNS_EMPTY
from wellsolar.studies.pump.suction_lift import PRIME, SUCTION
from wellsolar.studies.pump.verdicts import CUT_OUT, HOLDS, OPEN_TANK, VELOCITY, YIELD
from wellsolar.studies.sold.pipe_sizes import from_this_up
from wellsolar.studies.well.sanitary import CHECK, CHECK_PLACE
from wellsolar.studies.well.total_head import VALVE, Line, line_for, line_of
from wellsolar.studies.well.verdicts import RUNS_DRY
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, Verdict, say

PUMP_RULES = (CUT_OUT, HOLDS, OPEN_TANK, SUCTION, LOAD)
ADAPTER = "pitless adapter"

IN_LINE = Practice("what stands in the line from the well")
OF_THE_SHEET = Practice(
    "the maker's table holds for the ejector and the two pipes that its sheet names",
    source="two-pipe jet",
)
LEAVES = Practice("it leaves the casing on its own, or a tee joins it to the first pump's pipe")
OWN_CHECK = Practice("without one of its own it would be pumped backward by the others")
PRIMES = Practice("without one the pipe runs empty, and the pump has to be primed again")
CAP = Practice(
    "a well that is open at its top takes in what falls and crawls; by the well code",
    source="well cap",
)
FALLS = Practice("a string that slips is lost in the well, and hurts whoever holds it")
LEAD_FREE = Practice("what drinking water wets may hold hardly any lead", source="lead-free")
BYPASS = Practice(
    "chlorine ruins softener resin, carbon and membranes, which hold it back from the house"
)
DISINFECTION = Practice("work in a well brings in germs", source="well disinfection")


TRENCH = Practice(
    "well rules of New Hampshire (We 702.04) and West Virginia (64-46-7.7), read: conduit or "
    "approved underground cable"
)


def well_parts(lines: Lines) -> None:
    """Pumps with their pipes and cables, then what they share."""
    tables = {pump.name: pump for pump in lines.site.pump}
    for pump in lines.results.pumps:
        _pump(lines, tables[pump.name], pump)
    if lines.results.pumps:
        _line_to_house(lines)
        for pump in lines.results.pumps[1:]:
            if chain.presses_lateral(tables[pump.name]):
                _joins_the_line(lines, tables[pump.name], max(duty.flow for duty in pump.duties))
    _rig(lines)
    for view in views(lines.site):
        _cap(lines, view)
    if lines.results.pumps or lines.site.hand_pump is not None:
        size = say("pipe, valves and fittings marked NSF/ANSI 61 and 372: at most 0.25 % of lead")
        lines.add(
            "lead-free fittings", size, None, state="to check", count=None, practice=LEAD_FREE
        )
    if treated(lines):
        size = say("valves round softener and filters, and a way past them, as wide as their line")
        lines.add("treatment bypass", size, None, state="to check", practice=BYPASS)
    for view in views(lines.site):
        _bonding(lines, view)
        _disinfectant(lines, view)
    tank_parts(lines)


def _pump(lines: Lines, table: PumpTable, pump: PumpResult) -> None:
    first = pump.duties[0]
    verdict = lines.worst(pump.name, *PUMP_RULES)
    bad = verdict is not None and verdict.status == "fail"
    kind = "submersible" if table.kind == "helical rotor" else table.kind
    head = Quantity(first.total_dynamic_head, kinds.HEAD)
    size = sized(
        lines.claim("{}", table, "kind", value=kind),
        lines.claim("{}", table, "rated_power"),
        lines.claim("{:down}", table, "flow", "head", value=Quantity(first.flow, kinds.FLOW)),
        lines.claim("against {:up}", table, "flow", "head", value=head),
        lines.claim("{}", table, *_keys_of_supply(table), value=supply_of(table)),
    )
    if bad and verdict is not None and verdict.remedy is not None:
        size = verdict.remedy
    state: State = "to change" if bad else "in the file"
    if table.duty is not None and not bad:
        state = "to add"  # It is wanted, and not chosen yet.
    why = () if bad else remedy_of(verdict)
    lines.add("pump", size, verdict, of=pump.name, state=state, why=why)
    if table.dry_run_protection is not None or lines.verdict(YIELD, pump.name) is not None:
        guard = lines.worst(pump.name, RUNS_DRY, YIELD, RUNS_EMPTY)
        size = say("stops the pump before it draws air")
        if table.dry_run_protection:
            sentence = sized(lines.claim(size.template, table, "dry_run_protection"))
            lines.add("dry-run protection", sentence, guard, of=pump.name)
        elif guard is not None and guard.status == "fail":
            lines.add("dry-run protection", size, guard, of=pump.name, state="to add")
    _drop_pipe(lines, table, pump)
    if pump.wire is not None:
        _pump_wire(lines, table, pump)


def supply_of(table: PumpTable) -> str:
    """Voltage and kind of a pump's current, as the trade says it."""
    if table.supply == "DC":
        kind = "direct current"
    else:
        kind = "three-phase" if table.phases == 3 else "single-phase"
    return kind if table.voltage is None else f"{float(table.voltage):g} V {kind}"


def _keys_of_supply(table: PumpTable) -> tuple[str, ...]:
    """The keys that say what `supply_of` does."""
    voltage = () if table.voltage is None else ("voltage",)
    return (*voltage, "supply" if table.supply == "DC" else "phases")


def _pump_wire(lines: Lines, table: PumpTable, pump: PumpResult) -> None:
    wire = pump.wire
    assert wire is not None
    conductors = "three" if table.phases == 3 else "two"
    made_for = ", made for wells" if chain.hangs_in_well(table) else ""
    kind = f"copper, {conductors} conductors and ground{made_for}"
    rules = (AMPACITY_MOTOR, DROP, DIP)
    lines.add_cable("pump cable", pump.name, wire, kind, table.cable, *rules)
    lateral = lines.site.piping.lateral.length
    if table.well is not None:
        lateral = None if table.line is None else table.line.length
    if chain.hangs_in_well(table) and lateral:
        size = say("or cable for burial: that for wells is not, from the casing into the house")
        lines.add(
            "trench conduit", size, None, of=pump.name, state="to check", length=float(lateral),
            practice=TRENCH,
        )  # fmt: skip
    if wire.overcurrent_device is not None:
        size = _breaker(lines, table, wire.overcurrent_device)
        verdict = lines.verdict(BREAKER, pump.name) or lines.verdict(AMPACITY_MOTOR, pump.name)
        why = [say("{rule}", rule=wire.overcurrent_rule)] if wire.overcurrent_rule else []
        state: State = "to add" if table.breaker is None else "in the file"
        if table.breaker is not None and verdict is not None and verdict.status in NOT_PASSED:
            state, why = "to change", [*remedy_of(verdict)]
        elif table.breaker is not None:
            size = sized(
                lines.claim("{}", table, "breaker"),
                lines.claim("{}", table, *_keys_of_supply(table), value=supply_of(table)),
                ("opens every live conductor", ""),
            )
        lines.add("pump breaker", size, verdict, of=pump.name, state=state, why=why)


def _breaker(lines: Lines, table: PumpTable, device: float) -> Sentence:
    """A pump's breaker; of direct current one for the greatest voltage of what feeds it, which is
    more than the motor's."""
    rating, opens = amperes(device), "opens every live conductor"
    if table.supply == "AC":
        words = f"{{rating}}, {{supply}}, {opens}"
        return say(words, rating=rating, supply=supply_of(table))
    feeding = {group.name for group in lines.site.array if group.feeds == "pump"}
    volts = [
        array.circuit.system_voltage
        for array in lines.results.arrays
        if array.circuit.array in feeding
    ]
    if volts:
        words = "{rating}, {volts:up} of direct current open in the cold, both poles, between "
        words += "modules and controller"
        return say(words, rating=rating, volts=Quantity(max(volts), kinds.VOLTAGE))
    words = "{rating}, direct current at the battery's highest charging voltage, both poles, "
    words += "between battery and controller"
    return say(words, rating=rating)


def _drop_pipe(lines: Lines, table: PumpTable, pump: PumpResult) -> None:
    run = table.drop_pipe or lines.site.piping.drop_pipe
    line = line_of(lines.site, table, pump.intake_depth)
    flow = max(duty.flow for duty in pump.duties)
    for name, own in (("suction pipe", table.suction_pipe), ("pump line", table.line)):
        if own is not None:
            burst = lines.verdict(LATERAL_PIPE, f"line of {pump.name}")
            judged = burst if name == "pump line" else lines.verdict(VELOCITY, pump.name)
            _pipe(lines, name, own, float(own.length or 0.0), flow, None, judged, pump.name)
    if table.well is not None and table.line is not None and chain.hangs_in_well(table):
        _own_fittings(lines, table, table.line, line)
    if table.draws != "well":
        return
    held = None if table.kind == "suction" else line.pressure_of(pump.shut_off_head)
    verdict = lines.worst(pump.name, PIPE, DEEP, VELOCITY)
    if chain.has_ejector(table):
        _two_pipes(lines, table, pump, run)
    else:
        _pipe(lines, "drop pipe", run, line.drop.length, flow, held, verdict, pump.name)
    if table.kind == "suction":
        wide = _wide_enough(lines, run, flow) or run.size
        if table.foot_valve:
            piece = lines.claim("{}, with a strainer", table, "foot_valve", value=wide)
            lines.add("foot valve", sized(piece), lines.verdict(PRIME, pump.name), of=pump.name)
            return
        size = say("{size}, with a strainer", size=wide)
        lines.add("foot valve", size, None, of=pump.name, state="to check", practice=PRIMES)


def _own_fittings(lines: Lines, table: PumpTable, own: PumpLine, line: Line) -> None:
    """What stands in the line of a pump of another well."""
    state: State = "in the file" if own.fittings else "to add"
    why = [] if own.fittings else [say("the file names no fittings: those of a usual line")]
    named = lines.claim("{}, as its line", own, "size")
    there = [fitting for fitting in line.fittings if fitting.kind != VALVE]
    place = lines.verdict(CHECK_PLACE, f"line from {table.well}")
    for fitting, spelled in zip_longest(there, own.fittings):
        keys = () if spelled is None else (lines.key(spelled, "kind"),)
        lines.add(
            OTHER_FITTING if fitting.kind == OTHER else fitting.kind,
            sized(named, *(() if spelled is None else (lines.claim("{}", spelled, "name"),))),
            place if fitting.kind == CHECK else None,
            of=table.name, state=state, count=fitting.count, why=why, practice=IN_LINE, keys=keys,
        )  # fmt: skip


def _two_pipes(lines: Lines, table: PumpTable, pump: PumpResult, run: Pipe) -> None:
    """The ejector of a jet, and its two pipes down to it by the maker's sheet."""
    verdict = lines.verdict(JET_LIFT, pump.name)
    here = at_well(lines.site, table)
    down = line_for(here, pump.intake_depth, table.drop_pipe).drop.length
    across = float(lines.site.piping.lateral.length or 0.0) if chain.uses_lateral(table) else 0.0
    size = sized(
        lines.claim("passes the casing with {}", table, "diameter"),
        lines.claim("tail pipe of {} below it", table, "tail_pipe"),
        ("nozzle and throat of the table's lift", ""),
    )
    lines.add("ejector", size, verdict, of=pump.name, practice=OF_THE_SHEET)
    pipe = f"{run.size} {run.material}"
    size = say("{pipe}, or as the sheet has it for lift and distance", pipe=pipe)
    for name, length in (("drop pipe", down), ("drive pipe", down + across)):
        lines.add(
            name, size, None, of=pump.name, state="to check", length=length, practice=OF_THE_SHEET
        )


def _line_to_house(lines: Lines) -> None:
    piping = lines.site.piping
    both = list(zip(lines.site.pump, lines.results.pumps, strict=True))
    through = [pump for table, pump in both if chain.uses_lateral(table)]
    if not through:
        return
    most = max(through, key=lambda pump: max(duty.flow for duty in pump.duties))
    flow = max(duty.flow for duty in most.duties)
    verdict = lines.verdict(VELOCITY, most.name)
    line = line_for(lines.site, most.intake_depth)
    if piping.lateral.length:
        pressed = [
            lateral_pressure(lines.site, *pump) for pump in both if chain.presses_lateral(pump[0])
        ]
        held = max(pressed, default=None)
        length = float(piping.lateral.length)
        burst = lines.verdict(LATERAL_PIPE, chain.lateral_name(lines.site))
        judged = verdict if burst is None or burst.status == "pass" else burst
        _pipe(lines, "lateral pipe", piping.lateral, length, flow, held, judged, "")
    size = _wide_enough(lines, piping.lateral, flow)
    changed = size is not None and size != piping.lateral.size
    state: State = "in the file" if piping.fittings else "to add"
    why = [] if piping.fittings else [say("the file names no fittings: those of a usual line")]
    shown = size or piping.lateral.size
    named = lines.claim("{}, as the lateral pipe", piping.lateral, "size", value=shown)
    for fitting, spelled in zip_longest(line.fittings, piping.fittings):
        keys: tuple[str, ...] = ()
        wide, kept = named, changed
        if spelled is not None:
            proof = ("kind", "count") if spelled.count > 1 else ("kind",)
            keys = tuple(lines.key(spelled, name) for name in proof)
        if spelled is not None and spelled.bore is not None:
            wide, kept = lines.claim("bore {}", spelled, "bore"), False
        if fitting.kind == CHECK:
            _check_valve(lines, wide, "to change" if kept else state, fitting.count, why, keys)
            continue
        own = () if spelled is None else (lines.claim("{}", spelled, "name"),)
        bore = [lines.claim("casing of {} bore", lines.site.well, "casing_bore")]
        lines.add(
            OTHER_FITTING if fitting.kind == OTHER else fitting.kind,
            sized(*own, wide, *(bore if fitting.kind == ADAPTER else ())),
            verdict if kept else None,
            count=fitting.count, why=why, practice=IN_LINE, keys=keys,
            state="to change" if kept else state,
        )  # fmt: skip


def _check_valve(
    lines: Lines,
    named: Piece,
    state: State,
    count: int,
    why: list[Sentence],
    keys: tuple[str, ...],
) -> None:
    """The check valve of the line, and where it stands."""
    place = lines.verdict(CHECK_PLACE, chain.lateral_name(lines.site))
    right = "on the pump or above it inside the casing, none after it"
    proof = (lines.key(lines.site.piping, "check_valve_place"),)
    passes = place is not None and place.status == "pass"
    if place is not None and place.status in ("fail", "caution"):
        state = "to change"
    size = sized(named, Piece("{}", right, proof if passes else ()))
    lines.add(CHECK, size, place, count=count, why=why, practice=IN_LINE, state=state, keys=keys)


def _joins_the_line(lines: Lines, table: PumpTable, flow: float) -> None:
    """What a further pump takes to press into the same line."""
    if table.kind == "suction":
        return
    run = table.drop_pipe or lines.site.piping.drop_pipe
    wide = _wide_enough(lines, run, flow) or run.size
    size = say("{size}, as its drop pipe", size=wide)
    if ADAPTER in {fitting.kind for fitting in line_for(lines.site, 0.0).fittings}:
        lines.add(
            ADAPTER, size, None, of=table.name, state="to check", practice=LEAVES,
        )  # fmt: skip
    lines.add("check valve", size, None, of=table.name, state="to check", practice=OWN_CHECK)


def _rig(lines: Lines) -> None:
    """What lifts the heaviest string out of a well."""
    strings = [string for view in views(lines.site) for string in strings_of(view)]
    if not strings:
        return
    most = max(strings, key=lambda string: string.weight)
    words = "rig, pipe clamps and safety rope that bear {weight:up}"
    words += ", and besides {left}" if most.left_out != NOTHING else ""
    words += ": the {name}, its pipe full of water"
    weight = Quantity(most.weight, kinds.FORCE)
    size = say(words, weight=weight, name=most.name, left=most.left_out)
    lines.add("lifting rig", size, None, state="to check", practice=FALLS)


def _cap(lines: Lines, view: Site) -> None:
    """The lid of a well, with a hole for what goes through it."""
    here = [pump for pump in view.pump if is_here(view, pump)]
    cables = sum(map(chain.hangs_in_well, here))
    through = [f"{cables} pump cable{'s' if cables > 1 else ''}"] if cables else []
    pitless = ADAPTER in {fitting.kind for fitting in line_for(view, 0.0).fittings}
    pipes_up = 0 if pitless else len(here)
    through += [f"{pipes_up} drop pipe{'s' if pipes_up > 1 else ''}"] if pipes_up else []
    through += [] if view.hand_pump is None else ["the hand pump"]
    through += [f"the {lift.name}" for lift in view.lift if lift.shares_casing]
    size = sized(
        ("vermin-proof, with a screened vent", ""),
        ("for a bore of {}", view.well.casing_bore),
        ("passes {}", " and ".join(through) or None),
    )
    name = name_of(view.well) or ""
    lines.add("well cap", size, None, of=name, state="to check", practice=CAP)


def treated(lines: Lines) -> bool:
    """Whether a softener or filter stands in the line."""
    return lines.site.piping.treatment_loss > 0.0


def _bonding(lines: Lines, view: Site) -> None:
    """What joins the metal at a well to the ground of its pump."""
    metal, name = metal_at_the_well(view), name_of(view.well)
    if metal:
        verdict = lines.verdict(BONDING, name or "well")
        size = say(
            "listed for wet places, with copper to the ground wire of the pump's circuit: at {at}",
            at=", ".join(metal),
        )
        piece = lines.claim("joins the well's metal to the ground wire", view.well, "bonded")
        lines.add_told("bonding lug", size, verdict, piece, name or "")


def _disinfectant(lines: Lines, view: Site) -> None:
    """Chlorine for a well after the work, by the water that stands in it."""
    well, name = view.well, name_of(view.well) or ""
    bleach = "household bleach of 5.25 %, plain and without scent"
    if well.casing_bore is None:
        key = f"{key_of(view)}.casing_bore"
        size = say("{bleach}: how much follows from {key}", bleach=bleach, key=key)
        lines.add(
            "disinfectant", size, None, of=name, state="to add", count=None, practice=DISINFECTION
        )
        return
    column = max(0.0, well.depth - well.static_level)
    standing = disinfection.standing_volume(well.casing_bore, column)
    needed = disinfection.disinfectant_volume(standing, disinfection.DOSE, disinfection.BLEACH)
    why = say(
        "200 mg/L in twice the {standing} that stand in it, brought to every tap"
        + (" by the treatment bypass" if treated(lines) else "")
        + ", run back down the casing, and left for 12 to 24 h; the local health rule comes "
        "first, and nobody drinks of it until it is flushed and tested",
        standing=Quantity(standing, kinds.VOLUME),
    )
    size = say("{bleach}; less of a stronger one", bleach=bleach)
    lines.add(
        "disinfectant",
        size,
        None,
        of=name,
        state="to add",
        volume=needed,
        why=[why],
        practice=DISINFECTION,
    )


def _pipe(
    lines: Lines,
    item: str,
    run: Pipe,
    length: float,
    flow: float,
    held: float | None,
    verdict: Verdict | None,
    of: str,
) -> None:
    """A run of pipe, of the file's size or of the next that is wide enough for the flow.

    `held` is the pressure that the pump can hold in it [Pa].
    """
    wide = _wide_enough(lines, run, flow)
    bears = None if held is None else Quantity(held, kinds.PRESSURE)
    proof = _proof_of_class(lines, run, verdict)
    strong = Piece("bears {:up}", bears, proof)
    if run.pressure_class is not None and proof:
        # A class that is told and holds is what a counter is asked for.
        strong = lines.claim("class {}", run, "pressure_class")
    size = sized(
        lines.claim("{}", run, "material"),
        lines.claim("{}", run, "size", value=wide or run.size),
        strong,
    )
    why: list[Sentence] = []
    if wide != run.size:
        narrow = "{old} is too narrow for {flow}"
        why = [say(narrow, old=run.size, flow=Quantity(flow, kinds.FLOW))]
    state: State = "in the file" if wide == run.size else "to change"
    burst = verdict is not None and verdict.rule in (PIPE, DEEP, LATERAL_PIPE)
    if burst and verdict is not None and verdict.remedy is not None:
        state, size = "to change", verdict.remedy
    elif burst and verdict is not None and verdict.status == "unknown" and state == "in the file":
        state = "to check"
    if run.size == wide and not lines.given(lines.key(run, "size")):
        state, why = "to add", [*why, say("the file names no size: the usual one")]
    if bears is not None:
        why += soft_water(run)
        why.append(
            say("the pump presses up to {bears:up} into it if nothing stops it", bears=bears)
        )
    lines.add(item, size, verdict, of=of, state=state, length=length, why=why)


def _proof_of_class(lines: Lines, run: Pipe, verdict: Verdict | None) -> tuple[str, ...]:
    """The keys that prove what a pipe bears: its class, or material and size that tell it; none
    where that verdict does not pass."""
    burst, lateral = None, lines.site.piping.lateral
    if run is lateral:
        burst = lines.verdict(LATERAL_PIPE, chain.lateral_name(lines.site))
    elif verdict is not None:
        burst = lines.verdict(PIPE, verdict.subject)
    if burst is None or burst.status != "pass":
        return ()
    one_class = len(pipes.pressure_classes(run.material, run.size, run is not lateral)) == 1
    names = (
        ("material", "size") if one_class and run.pressure_class is None else ("pressure_class",)
    )
    return tuple(lines.key(run, name) for name in names)


def _wide_enough(lines: Lines, run: Pipe, flow: float) -> str | None:
    """The size of the file, or the smallest wider one that keeps the velocity; None for none."""
    limit = float(lines.site.limits.velocity)
    for size in from_this_up(run):
        if flow / cross_section(size.bore) <= limit * (1.0 + 1e-9):
            return size.nominal
    return None
