"""The parts of the hand pump, from its handle down to the cylinder and over to the tank."""

from __future__ import annotations

from wellsolar.results.parts import State
from wellsolar.site.part_names import FROST_DRAIN, HAND_CHECK, HAND_LINE, HAND_RELIEF
from wellsolar.site.part_names import SPOUT as SPOUT_VALVE
from wellsolar.site.schema import HandPumpTable
from wellsolar.studies.hand.head import HEAD_RELIEF, PRIMING
from wellsolar.studies.hand.lever import FORCE, INTO_TANK, TRAVEL
from wellsolar.studies.hand.other_lifts import AS_STATED, REACH
from wellsolar.studies.hand.verdicts import CYLINDER, DEPTH, STRETCH, SUCTION
from wellsolar.studies.house.chain import hand_goal
from wellsolar.studies.parts.lines import Lines, Practice, remedy_of, sized, soft_water, valves
from wellsolar.studies.parts.tank import discharge_pipe
from wellsolar.studies.well.frost import HAND_FROST
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, Verdict, say

PUMP = "hand pump"
SHUT_VALVE = Practice("hands against a shut valve make more pressure than the pipes stand")
SPOUT = Practice("shut for the tank, open for a bucket")
CLEAN = Practice(
    "what drips, falls or crawls into the pump is drunk; the local well code comes first",
    source="sanitary hand pump",
)


def hand_parts(lines: Lines) -> None:
    """The hand pump with its rods and its pipe, below the other lifts."""
    for lift in lines.site.lift:
        reach = lines.worst(lift.name, REACH, AS_STATED)
        lines.add("lift", sized(lines.claim("{}", lift, "kind")), reach, of=lift.name)
    table, result = lines.site.hand_pump, lines.results.hand_pump
    if table is None or result is None:
        return
    force = lines.worst(PUMP, FORCE, TRAVEL, SUCTION)
    lever = f"{float(table.lever_ratio):g}"
    ratio = lines.claim("handle of {} to 1", table, "lever_ratio", value=lever)
    _closed_to_dirt(lines)
    bore, stroke = (lines.claim(f"{{}} {key}", table, key) for key in ("bore", "stroke"))
    if result.cylinder_depth is None:
        dry = force is not None and force.status == "fail"
        state: State = "to change" if dry else "in the file"
        size = sized(lines.claim("{} pump", table, "kind"), bore, stroke, ratio)
        if dry:
            size = say("for a deep well, its cylinder under water, in place of the suction pump")
        lines.add("hand pump", size, force, state=state, why=remedy_of(force))
        _into_the_tank(lines, table)
        return
    kind = lines.claim("head for a {}", table, "kind", value="deep well")
    lines.add("hand pump", sized(kind, stroke, ratio, *_packing(lines)), force)
    deep = lines.worst(PUMP, CYLINDER, DEPTH)
    wrong = deep is not None and deep.status == "fail"
    state = "to change" if wrong else "in the file"
    lines.add("pump cylinder", sized(bore, stroke), deep, state=state, why=remedy_of(deep))
    _rods_and_main(lines, table, result.cylinder_depth, force, deep)
    _into_the_tank(lines, table)


def _packing(lines: Lines) -> tuple[tuple[str, Quantity | str | None], ...]:
    """What the head of a pump that presses into a tank, or up to one, must stand."""
    switch, goal = lines.site.pressure_switch, hand_goal(lines.site)
    if goal == "storage tank":
        return (("its rod packed against the height of the {}", goal),)
    if goal != "pressure tank":
        return ()
    return (("its rod packed against {}", None if switch is None else switch.cut_out),)


def _rods_and_main(
    lines: Lines,
    table: HandPumpTable,
    depth: float,
    force: Verdict | None,
    deep: Verdict | None,
) -> None:
    """What hangs between head and cylinder."""
    length = depth + max(0.0, float(table.spout_height))
    why = [say("from the cylinder up to the spout")]
    diameter = lines.given("hand_pump.rod_diameter")
    across = lines.claim("{} across", table, "rod_diameter")
    why += [] if diameter else [say("the file names no size: the usual one")]
    lines.add(
        "pump rods",
        sized(across) if diameter else sized(("steel", ""), across),
        lines.verdict(STRETCH, PUMP) or force,
        state="in the file" if diameter else "to add",
        length=length,
        why=why,
    )
    pipe = table.rising_main
    if pipe is None:
        size = say("by the cylinder's thread")
        why = [say("the file names no rising main")]
        lines.add("rising main", size, None, state="to add", length=depth, why=why)
        return
    main = depth if pipe.length is None else float(pipe.length)
    size = sized(lines.claim("{}", pipe, "material"), lines.claim("{}", pipe, "size"))
    lines.add("rising main", size, deep, length=main, why=soft_water(pipe))


def _closed_to_dirt(lines: Lines) -> None:
    """What keeps the well clean where a hand pump stands on it."""
    size = say("points down, closed but for its opening, no thread for a hose")
    lines.add("closed spout", size, None, of=PUMP, state="to check", practice=CLEAN)
    size = say(
        "a flange sealed over the casing, which ends 1 in above it; a stuffing box round the rod; "
        "drains below the frost, and needs no priming"
    )
    primed = lines.verdict(PRIMING, PUMP)
    lines.add("pump base", size, primed, of=PUMP, state="to check", practice=CLEAN)
    _frost_drain(lines)


def _frost_drain(lines: Lines) -> None:
    """What empties a hand pump before a frost."""
    verdict, table = lines.verdict(HAND_FROST, PUMP), lines.site.hand_pump
    if verdict is None or table is None:
        valves(lines, FROST_DRAIN)
        return
    words = "a hole or valve in the rising main below the frost, to which all above it falls"
    size: Sentence = sized(lines.claim(words, table, "frost_drain"))
    state: State = "in the file"
    if not table.frost_drain:
        size, state = say(words), "to check" if verdict.status == "unknown" else "to add"
    lines.add(FROST_DRAIN, size, verdict, state=state)


def _into_the_tank(lines: Lines, table: HandPumpTable) -> None:
    """What joins a hand pump to a tank that powered pumps fill too."""
    goal = hand_goal(lines.site)
    if goal == "spout":
        return
    if table.line is not None:
        size = sized(
            lines.claim("{}", table.line, "material"), lines.claim("{}", table.line, "size")
        )
        length = None if table.line.length is None else float(table.line.length)
        judged = lines.verdict(INTO_TANK, PUMP)
        lines.add("pump line", size, judged, of=PUMP, length=length, why=soft_water(table.line))
    valves(lines, HAND_CHECK, HAND_LINE)
    guard, quantity = lines.verdict(HEAD_RELIEF, PUMP), table.relief_pressure
    above = "the height of the tank" if goal == "storage tank" else "the cut-out"
    size = say(f"opens above {above}, before the first valve, with its drain in sight")
    state: State = "to add"
    if quantity is not None:
        size = sized(lines.claim("opens at {}", table, "relief_pressure"))
        fails = guard is not None and guard.status != "pass"
        state = "to change" if fails else "in the file"
    lines.add(HAND_RELIEF, size, guard, state=state, why=remedy_of(guard), practice=SHUT_VALVE)
    discharge_pipe(lines, PUMP)
    if table.spout_valve:
        size = sized(lines.claim("between head and open spout", table, "spout_valve"))
        lines.add(SPOUT_VALVE, size, None, practice=SPOUT)
