"""The parts between the water in the well and the pressure tank, and the hand pump."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.data import pipes
from wellsolar.physics import air, pressure_tank
from wellsolar.results import PumpResult
from wellsolar.results.parts_list import State
from wellsolar.site.schema import Pipe, PumpTable
from wellsolar.studies.lift import line_for
from wellsolar.studies.parts_found import NOT_PASSED, Lines, remedy_of, sized
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, Verdict, say

PUMP_RULES = ("reaches cut-out", "holds its pressure", "delivers", "suction lift")
TANK = "pressure tank"


def well_parts(lines: Lines) -> None:
    """Pumps with their pipes and cables, then what they share.

    Parameters:
        lines: of the well, to which the parts are added
    """
    tables = {each.name: each for each in lines.site.pump}
    for pump in lines.results.pumps:
        _pump(lines, tables[pump.name], pump)
    if lines.results.pumps:
        _line_to_house(lines)
        _inverter(lines)
    _pressure(lines)


def _pump(lines: Lines, table: PumpTable, pump: PumpResult) -> None:
    first = pump.duties[0]
    verdict = lines.worst(pump.name, *PUMP_RULES)
    kind = "submersible" if table.kind == "helical rotor" else table.kind
    size = sized(
        (f"{kind}, {{:down}}", Quantity(first.flow, kinds.FLOW)),
        ("against {:up}", Quantity(first.total_dynamic_head, kinds.HEAD)),
        ("{}", table.voltage),
        ("{} current", "direct" if table.supply == "DC" else "alternating"),
    )
    bad = verdict is not None and verdict.status == "fail"
    state: State = "to change" if bad else "in the file"
    lines.add("pump", size, verdict, of=pump.name, state=state, why=remedy_of(verdict))
    if table.dry_run_protection is not None or lines.verdict("yield", pump.name) is not None:
        guard = lines.worst(pump.name, "runs dry", "yield")
        size = say("stops the pump before it draws air")
        if table.dry_run_protection:
            lines.add("dry-run protection", size, guard, of=pump.name)
        elif guard is not None and guard.status == "fail":
            lines.add("dry-run protection", size, guard, of=pump.name, state="to add")
    _drop_pipe(lines, table, pump)
    if pump.wire is not None:
        _pump_wire(lines, table, pump)


def _pump_wire(lines: Lines, table: PumpTable, pump: PumpResult) -> None:
    wire = pump.wire
    assert wire is not None
    conductors = "three" if table.phases == 3 else "two"
    kind = f"{conductors} conductors and ground, made for wells"
    rules = ("motor conductor", "voltage drop", "voltage at start")
    lines.add_cable("pump cable", pump.name, wire, kind, *rules)
    if wire.overcurrent_device is not None:
        size = sized(
            ("{}", Quantity(wire.overcurrent_device, kinds.CURRENT)),
            ("made for {}", table.voltage),
            ("of {} current", "direct" if table.supply == "DC" else "alternating"),
        )
        verdict = lines.verdict("motor conductor", pump.name)
        why = [say("{rule}", rule=wire.overcurrent_rule)] if wire.overcurrent_rule else []
        lines.add("pump breaker", size, verdict, of=pump.name, state="to add", why=why)


def _drop_pipe(lines: Lines, table: PumpTable, pump: PumpResult) -> None:
    run = table.drop_pipe or lines.site.piping.drop_pipe
    length = line_for(lines.site, pump.intake_depth, table.drop_pipe).drop.length
    flow = max(each.flow for each in pump.duties)
    _pipe(
        lines, "drop pipe", run, length, flow, lines.verdict("pipe velocity", pump.name), pump.name
    )


def _line_to_house(lines: Lines) -> None:
    piping = lines.site.piping
    most = max(lines.results.pumps, key=lambda each: max(duty.flow for duty in each.duties))
    flow = max(each.flow for each in most.duties)
    verdict = lines.verdict("pipe velocity", most.name)
    if piping.lateral.length:
        length = float(piping.lateral.length)
        _pipe(lines, "lateral pipe", piping.lateral, length, flow, verdict, "")
    size = _wide_enough(lines, piping.lateral, flow)
    for kind, count in line_for(lines.site, most.intake_depth).fittings:
        why = (
            () if piping.fittings else (say("the file names no fittings: those of a usual line"),)
        )
        state: State = "in the file" if piping.fittings else "to add"
        if size is not None and size != piping.lateral.size:
            state = "to change"
        named = say("{size}, as the lateral pipe", size=size or piping.lateral.size)
        lines.add(kind, named, verdict, state=state, count=count, why=why)


def _pipe(
    lines: Lines,
    item: str,
    run: Pipe,
    length: float,
    flow: float,
    verdict: Verdict | None,
    of: str,
) -> None:
    """A run of pipe, of the file's size or of the next that is wide enough for the flow."""
    wide = _wide_enough(lines, run, flow)
    size, why = sized(("{}", run.material), ("{}", wide or run.size)), []
    if wide != run.size:
        why = [
            say(
                "{old} is too narrow for {flow}",
                old=run.size,
                flow=Quantity(flow, kinds.FLOW),
            )
        ]
    state: State = "in the file" if wide == run.size else "to change"
    if run.size == wide and _is_assumed(lines, run):
        state, why = "to add", [say("the file names no size: the usual one")]
    lines.add(item, size, verdict, of=of, state=state, length=length, why=why)


def _is_assumed(lines: Lines, run: Pipe) -> bool:
    """True where the size of a pipe of the site is a default and not the file's."""
    piping = lines.site.piping
    key = "lateral" if run is piping.lateral else "drop_pipe" if run is piping.drop_pipe else ""
    paths = {each.path for each in lines.results.assumptions if each.source != "command line"}
    return bool(key) and f"piping.{key}.size" in paths


def _wide_enough(lines: Lines, run: Pipe, flow: float) -> str | None:
    """The size of the file, or the smallest wider one that keeps the velocity; None for none."""
    sizes = pipes.sizes(run.material)
    limit = float(lines.site.limits.velocity)
    for size in sizes[sizes.index(run.size) :]:
        bore = pipes.pipe_size(run.material, size).bore
        if flow / (math.pi / 4.0 * bore**2) <= limit * (1.0 + 1e-9):
            return size
    return None


def _inverter(lines: Lines) -> None:
    """The inverter that runs and starts the pumps, larger where one asks for it."""
    power = lines.site.power
    if power.inverter_rating is None and power.inverter_surge is None:
        return
    names = [each.name for each in lines.results.pumps]
    asked = {"inverter rating": power.inverter_rating, "inverter surge": power.inverter_surge}
    found: dict[str, Quantity | None] = {}
    shown: Verdict | None = None
    failed = False
    for key, told in asked.items():
        verdicts = [each for name in names if (each := lines.verdict(key, name)) is not None]
        fails = [each for each in verdicts if each.status == "fail"]
        most = max((each.quantity for each in fails if each.quantity is not None), default=None)
        found[key] = told if most is None else most
        if verdicts and not failed:
            judged = next((each for each in verdicts if each.status in NOT_PASSED), verdicts[0])
            if shown is None or judged.status in NOT_PASSED:
                shown = judged
        if fails:
            shown, failed = max(fails, key=lambda each: float(each.quantity or 0.0)), True
    size = sized(
        ("{:up} running", found["inverter rating"]),
        ("{:up} for a start", found["inverter surge"]),
        ("{}", power.inverter_voltage),
    )
    lines.add("inverter", size, shown, state="to change" if failed else "in the file")


def _pressure(lines: Lines) -> None:
    """The switch and the tank at its pressure."""
    switch = lines.site.pressure_switch
    pumps = [each for each in lines.results.pumps if each.fill is not None]
    if switch is None:
        return
    verdict = lines.worst(pumps[0].name, "reaches cut-out") if pumps else None
    size = say("{cut_in} to {cut_out}", cut_in=switch.cut_in, cut_out=switch.cut_out)
    lines.add("pressure switch", size, verdict)
    _pressure_tank(lines, pumps)


def _pressure_tank(lines: Lines, pumps: list[PumpResult]) -> None:
    site, result = lines.site, lines.results.pressure_tank
    if result is None or site.pressure_tank is None:
        _tank_to_add(lines, pumps)
        return
    judged = {
        (key, cycle.pump): verdict
        for cycle in result.cycles
        for key in ("run time", "starts a day")
        if (verdict := lines.verdict(key, cycle.pump)) is not None
    }
    need = 0.0
    shown: Verdict | None = next(iter(judged.values()), None)
    for cycle in result.cycles:
        short = judged.get(("run time", cycle.pump))
        often = judged.get(("starts a day", cycle.pump))
        for verdict, volume in (
            (short, cycle.volume_needed),
            (often, result.volume * (cycle.starts_a_day or 0.0) / float(site.limits.starts_a_day)),
        ):
            if verdict is not None and verdict.status in NOT_PASSED and volume > need:
                need, shown = volume, verdict
    expands = lines.verdict("thermal expansion", "water heater")
    heated = lines.results.heated_tank
    if expands is not None and expands.status == "fail" and heated is not None:
        more = heated.safety.pressure.tank_needed
        if more is not None and more > need:
            need, shown = more, expands
    precharge = lines.verdict("precharge", TANK)
    wrong = precharge is not None and precharge.status in NOT_PASSED
    best = Quantity(result.best_precharge, kinds.PRESSURE)
    told = best if need or wrong else Quantity(result.precharge, kinds.PRESSURE)
    if need:
        size = _tank_size(need, told)
    else:
        size = say(
            "{volume}{each}, precharge {precharge}",
            volume=Quantity(result.volume / result.count, kinds.VOLUME),
            each=" each" if result.count > 1 else "",
            precharge=told,
        )
    if shown is None or (wrong and not need):
        shown = precharge
    state: State = "to change" if need or wrong else "in the file"
    count = 1 if need else result.count
    lines.add(TANK, size, shown, state=state, count=count, why=remedy_of(shown) if need else ())


def _tank_size(volume: float, precharge: Quantity) -> Sentence:
    return say(
        "at least {volume:up}, or several alike of as much in all, precharge {precharge}",
        volume=Quantity(volume, kinds.VOLUME),
        precharge=precharge,
    )


def _tank_to_add(lines: Lines, pumps: list[PumpResult]) -> None:
    """A tank for a switch whose file has none: for the least run of the pump that fills most."""
    switch = lines.site.pressure_switch
    if switch is None or not pumps:
        return
    flow = max(each.fill.mean_flow for each in pumps if each.fill is not None)
    best = float(pressure_tank.recommended_precharge(float(switch.cut_in)))
    outside = float(air.atmospheric_pressure(float(lines.site.site.altitude)))
    of_one = float(
        pressure_tank.drawdown_volume(
            1.0, best, float(switch.cut_in), float(switch.cut_out), outside
        )
    )
    run = lines.site.limits.run_time
    why = say(
        "{run} of running at {flow} from cut-in to cut-out",
        run=run,
        flow=Quantity(flow, kinds.FLOW),
    )
    size = _tank_size(flow * float(run) / of_one, Quantity(best, kinds.PRESSURE))
    lines.add(TANK, size, lines.verdict("run time", TANK), state="to add", why=[why])


def hand_parts(lines: Lines) -> None:
    """The hand pump with its rods and its pipe.

    Parameters:
        lines: of the hand pump
    """
    table, result = lines.site.hand_pump, lines.results.hand_pump
    if table is None or result is None:
        return
    subject = "hand pump"
    force = lines.worst(subject, "handle force", "hand suction lift")
    ratio = ("handle of {} to 1", f"{float(table.lever_ratio):g}")
    bore, stroke = ("{} bore", table.bore), ("{} stroke", table.stroke)
    if result.cylinder_depth is None:
        size = sized(("suction pump, {} bore", table.bore), stroke, ratio)
        dry = force is not None and force.status == "fail"
        state: State = "to change" if dry else "in the file"
        lines.add("hand pump", size, force, state=state, why=remedy_of(force))
        return
    lines.add("hand pump", sized(("head for a deep well, {} stroke", table.stroke), ratio), force)
    deep = lines.worst(subject, "cylinder under water", "depth of the hand pump")
    lines.add("pump cylinder", sized(bore, stroke), deep, why=remedy_of(deep))
    length = result.cylinder_depth + max(0.0, float(table.spout_height))
    up = say("from the cylinder up to the spout")
    stretch = lines.verdict("stretch of the rods", subject) or force
    lines.add("pump rods", sized(("{}", table.rod_diameter)), stretch, length=length, why=[up])
    if table.rising_main is not None:
        pipe = table.rising_main
        size = sized(("{}", pipe.material), ("{}", pipe.size))
        main = result.cylinder_depth if pipe.length is None else float(pipe.length)
        lines.add("rising main", size, deep, length=main)
