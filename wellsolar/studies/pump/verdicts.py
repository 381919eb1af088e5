"""Whether a powered pump suits its pressure switch, its well and its house.

In the order of the module: the pressure that is asked of it and its datasheet; the yield, the
levels and the bottom of the well; pipes, the day's water and the taps.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from wellsolar import kinds
from wellsolar.constants import DAY, FOOT, PSI
from wellsolar.physics.hydraulics import pipe, pressure_tank
from wellsolar.physics.hydraulics.pump import HeadCurve, operating_point
from wellsolar.results.pumps import Duty, PumpResult
from wellsolar.site.schema import Pipe, PumpTable, Site
from wellsolar.studies.house.chain import link_of
from wellsolar.studies.house.demand import DAILY_KEYS, use_less
from wellsolar.studies.pump.check_valve import opening_verdicts
from wellsolar.studies.pump.jet import jet_verdicts, tail_guards
from wellsolar.studies.pump.motor_cooling import cooling_verdicts
from wellsolar.studies.pump.pressure_tank import HELD_SHARE, held_by_all
from wellsolar.studies.pump.shut_off import DIFFERENTIAL, set_in_steps_of, to_set
from wellsolar.studies.pump.suction_lift import suction_verdicts
from wellsolar.studies.sold.pipe_sizes import from_this_up
from wellsolar.studies.well.drawdown import CAPACITY_KEYS, water_level
from wellsolar.studies.well.total_head import BY_A_VALVE, DEEPER_WATER, MORE_FLOW, MORE_LIFT
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Change,
    Place,
    Remedy,
    Rule,
    Status,
    Verdict,
    at_least,
    at_most,
    remedy,
    say,
    set_to,
)

GREATEST_EFFICIENCY = 0.75
"""Wire-to-water efficiency above which a sheet is implausible: common practice, no source."""

CUT_OUT = Rule(
    "reaches cut-out",
    "does the pump reach the cut-out pressure?",
    "the pump must exceed the cut-out by a margin, or it never shuts off",
    "cut-out",
    limit_is="at least",
    by="plumber",
    read_by="driller",
    place=Place("pump_curve_#", "pump_#"),
    worst=MORE_LIFT,
)

HOLDS = Rule(
    "holds its pressure",
    "does the pump hold its pressure?",
    "at full speed the pump must exceed the pressure it holds by a margin",
    "cut-out",
    limit_is="at least",
    by="driller",
    place=Place("pump_curve_#", "pump_#"),
    worst=MORE_LIFT,
)

OPEN_TANK = Rule(
    "delivers",
    "does the pump lift the water to the tank?",
    "shut-off head above the head to an open tank",
    "total dynamic head",
    limit_is="at least",
    by="driller",
    place=Place("pump_curve_#", "pump_#"),
    worst=MORE_LIFT,
)

ON_CURVE = Rule(
    "on its curve",
    "does the pump work within its datasheet?",
    "flow at cut-in within the points of the head curve",
    "common practice",
    limit_is="at most",
    by="driller",
    place=Place("pump_curve_#", "pump_#"),
    worst=MORE_FLOW,
)

EFFICIENCY = Rule(
    "efficiency",
    "is the datasheet's power plausible?",
    "water power no more than 75 % of electrical power",
    "overall efficiency",
    limit_is="at most",
    by="owner",
    place=Place(section="pump_#"),
)

OF_THE_MAKER = "the pump's curve is what its maker gives"
"""Why another pump is no change of the file."""

LEAST_CUT_IN = 10.0 * PSI
"""Below it a switch is no good [Pa]: common practice, no source."""

ABOVE_BOTTOM = 1.524
"""Least height of an intake above the bottom of the well, 5 ft [m]: common practice, no source."""

IN_PIPES = ("drop_pipe", "suction", "lateral", "fittings")
"""Pieces of the head that a wider pipe takes away."""

YIELD = Rule(
    "yield",
    "does the well keep up with the pump?",
    "the pump's flow no more than the tested yield, or dry-run protection present",
    "site's figures",
    limit_is="at most",
    by="driller",
    read_by="owner",
    place=Place("level", "well"),
    worst=MORE_FLOW,
    claims=("dry_run_protection",),
)

SUBMERGENCE = Rule(
    "submergence",
    "does the intake stay under water?",
    "pumping level above the intake by the least submergence",
    "site's figures",
    limit_is="at least",
    by="driller",
    place=Place("well", "pump_#"),
    worst=DEEPER_WATER,
    claims=("dry_run_protection",),
)

BOTTOM = Rule(
    "above the bottom",
    "does the intake hang clear of the bottom?",
    "intake at least 5 ft (1.5 m) above the bottom of the well",
    "common practice",
    limit_is="at least",
    by="driller",
    place=Place("well", "pump_#"),
)

VELOCITY = Rule(
    "pipe velocity",
    "is the pipe wide enough?",
    "velocity within the limit in drop pipe and lateral",
    "tdh worksheet",
    limit_is="at most",
    by="plumber",
    place=Place("head", "pump_#"),
    worst=MORE_FLOW,
)

DAILY = Rule(
    "day's water",
    "does the pump give the day's water?",
    "run time for the day's use less than a day, of a pump into the house no more than 8 h, which "
    "is wellsolar's mark, and the day's use within the well's yield",
    "site's figures",
    limit_is="at most",
    by="driller",
    read_by="owner",
    place=Place(section="pump_#"),
    worst=MORE_LIFT,
)


def verdicts_of(
    site: Site, table: PumpTable, result: PumpResult, best: Duty, path: str
) -> list[Verdict]:
    """All verdicts on one pump but those on inverter, start and cable, in the order they are best
    read; `best` is its last duty with the water at rest."""
    first, link = result.duties[0], link_of(site, table)
    if link.from_tank:
        return _booster(site, table, result, best, path)
    if result.intake_depth <= result.static_level:
        # Out of the water it gives nothing, whatever its curve says.
        return [*_suction(site, table, result, path), *_in_the_water(site, table, result, path)]
    verdicts = [_reach(site, table, result, best, path)]
    if first.flow > 0:
        verdicts += [_on_curve(table, first), _yield(site, table, result, path)]
        verdicts += [_velocity(site, table, result, path)]
        verdicts += opening_verdicts(site, table, result)
        verdicts += _efficiency(table, first)
    verdicts += _suction(site, table, result, path)
    verdicts += jet_verdicts(table, result, path)
    if result.suction is None or table.intake_depth is not None:
        verdicts += _in_the_water(site, table, result, path)
    if first.flow > 0:
        verdicts += cooling_verdicts(site, table, result.cooling, path)
        verdicts.append(_daily(site, table, result))
    return verdicts


def _booster(
    site: Site, table: PumpTable, result: PumpResult, best: Duty, path: str
) -> list[Verdict]:
    """The verdicts on a pump that draws from the storage tank: none on the well."""
    first, verdicts = result.duties[0], [_reach(site, table, result, best, path)]
    if first.flow > 0:
        verdicts.append(_on_curve(table, first))
        if table.line is not None or table.suction_pipe is not None:
            verdicts.append(_velocity(site, table, result, path))
        verdicts += _efficiency(table, first)
    verdicts += _suction(site, table, result, path)
    if first.flow > 0:
        verdicts.append(_daily(site, table, result))
    return verdicts


def _suction(site: Site, table: PumpTable, result: PumpResult, path: str) -> list[Verdict]:
    suction = result.suction
    return [] if suction is None else suction_verdicts(site, table, suction, path)


def _in_the_water(site: Site, table: PumpTable, result: PumpResult, path: str) -> list[Verdict]:
    return [
        _submergence(site, table, result, path),
        _bottom(site, table, result, path),
    ]


def _reach(site: Site, table: PumpTable, result: PumpResult, best: Duty, path: str) -> Verdict:
    """Whether the pump makes the pressure asked of it: cut-out, its own, or an open tank's."""
    link = link_of(site, table)
    if not link.to_house:
        return _lifts(table, result, best, link.into_tank, path)
    rule = CUT_OUT if link.by_switch else HOLDS
    return _reaches(site, table, result, best, rule, link.pressures[-1], path)


def never_stops(verdicts: Iterable[Verdict], name: str) -> bool:
    """Whether a pump is found not to reach what stops it: against shut taps it runs on. False too
    where the file leaves it open."""
    return any(
        verdict.rule in (CUT_OUT, HOLDS) and verdict.subject == name and verdict.status == "fail"
        for verdict in verdicts
    )


def _reaches(
    site: Site,
    table: PumpTable,
    result: PumpResult,
    best: Duty,
    rule: Rule,
    wanted: float,
    path: str,
) -> Verdict:
    """Whether the pump reaches a pressure with the margin, and still gives water there."""
    margin = float(site.limits.cut_out_margin)
    reach, limit = _pressure(result.shut_off_pressure), _pressure(wanted)
    last = result.duties[-1]
    way = _lower_or_stronger(site, table, result, wanted, path)
    if last.flow > 0:
        reason = say(
            "it can hold {reach} and still gives {flow} at {limit}",
            reach=reach,
            flow=Quantity(last.flow, kinds.FLOW),
            limit=limit,
        )
        enough = at_least(reach, wanted + margin)
        return rule.verdict(
            "pass" if enough else "caution",
            table.name,
            reason,
            quantity=reach,
            limit=limit,
            remedy=way,
        )
    if not result.level_known and best.flow > 0:
        return rule.unknown(
            table.name,
            *CAPACITY_KEYS,
            why="it reaches it with the water at rest, not with the water at the intake",
        )
    if table.flow[0] > 0.0:
        return rule.unknown(table.name, f"{path}.flow", why=BEGINS_ABOVE)
    reason = say(
        "it stops delivering at {reach}, so it would never reach {limit} and shut off",
        reach=reach,
        limit=limit,
    )
    return rule.verdict("fail", table.name, reason, quantity=reach, limit=limit, remedy=way)


def _lower_or_stronger(
    site: Site, table: PumpTable, result: PumpResult, wanted: float, path: str
) -> Remedy:
    """A lower pressure, or the head that a pump for this one needs."""
    margin = float(site.limits.cut_out_margin)
    highest = result.shut_off_pressure - margin
    lacking = (wanted + margin - result.shut_off_pressure) / _weight(result)
    head = Quantity(result.shut_off_head + lacking, kinds.HEAD)
    changes = _lowered(site, table, highest, path)
    aim = "set the cut-out no higher than {highest:down}, with cut-in and precharge below it"
    if table.held_pressure is not None:
        aim = "hold no more than {highest:down}"
    stronger = "a pump with a shut-off head of at least {head:up}"
    if not changes:
        return remedy(
            f"choose {stronger}: this one holds no useful pressure", OF_THE_MAKER, head=head
        )
    return remedy(f"{aim}, or choose {stronger}", changes, highest=_pressure(highest), head=head)


def _lowered(site: Site, table: PumpTable, highest: float, path: str) -> list[Change]:
    """The changes that bring a pump's greatest pressure down to what can be set below one [Pa],
    the switch's differential kept unless it is wider than usual; none where too little is left."""
    tank, switch, system = site.pressure_tank, site.pressure_switch, site.site.print_units
    step = set_in_steps_of(system)
    most = math.floor(highest / step) * step
    if table.held_pressure is not None:
        if most < LEAST_CUT_IN:
            return []
        changes = [set_to(f"{path}.held_pressure", to_set(most, system))]
        if tank is not None and tank.precharge is not None and held_by_all(site) is not None:
            right = to_set(HELD_SHARE * most, system)
            changes.append(set_to("pressure_tank.precharge", right))
        return changes
    assert switch is not None
    differential = min(switch.cut_out - switch.cut_in, DIFFERENTIAL)
    cut_in = to_set(most - differential, system)
    if cut_in < LEAST_CUT_IN:
        return []
    changes = [
        set_to("pressure_switch.cut_in", cut_in),
        set_to("pressure_switch.cut_out", to_set(most, system)),
    ]
    if tank is not None:
        right = to_set(pressure_tank.recommended_precharge(cut_in), system)
        changes.append(set_to("pressure_tank.precharge", right))
    return changes


def _pressure(value: float) -> Quantity:
    return Quantity(value, kinds.PRESSURE)


def _weight(result: PumpResult) -> float:
    """Pressure per head of the site's water [Pa/m], from the head build-up itself."""
    last = result.duties[-1]
    head = next(piece.head for piece in last.pieces if piece.key == "pressure")
    return last.pressure / head if head > 0 else 9_800.0


BEGINS_ABOVE = (
    "its sheet begins above no flow, and what it presses at less flow than there is not told: the "
    "curve wants its head at no flow"
)
"""Why a pump is not judged that gives less than the least flow of its sheet, or nothing."""


def _lifts(table: PumpTable, result: PumpResult, best: Duty, fills: bool, path: str) -> Verdict:
    """Whether the pump gives water against an open tank; fills: into the site's storage tank."""
    duty = result.duties[0]
    head = Quantity(result.shut_off_head, kinds.HEAD)
    needed = Quantity(duty.total_dynamic_head, kinds.HEAD)
    if duty.flow > 0:
        told = "it gives {flow} into the storage tank"
        if not fills:
            told = (
                "it gives {flow} into an open tank; to see whether it reaches a cut-out give "
                "pressure_switch.cut_in and pressure_switch.cut_out"
            )
        reason = say(told, flow=Quantity(duty.flow, kinds.FLOW))
        return OPEN_TANK.verdict("pass", table.name, reason, quantity=head, limit=needed)
    if not result.level_known and best.flow > 0:
        return OPEN_TANK.unknown(table.name, *CAPACITY_KEYS)
    if table.flow[0] > 0.0:
        return OPEN_TANK.unknown(table.name, f"{path}.flow", why=BEGINS_ABOVE)
    return OPEN_TANK.verdict(
        "fail",
        table.name,
        say(
            "its shut-off head of {head} is less than the {needed} to the tank",
            head=head,
            needed=needed,
        ),
        quantity=head,
        limit=needed,
        remedy=remedy(
            "choose a pump with a shut-off head of more than {needed:up}",
            OF_THE_MAKER,
            needed=needed,
        ),
    )


def _on_curve(table: PumpTable, duty: Duty) -> Verdict:
    """Whether the pump works within the points of its datasheet."""
    last = Quantity(table.flow[-1], kinds.FLOW)
    flow = Quantity(duty.pump_flow, kinds.FLOW)
    if duty.state == "beyond the curve":
        return ON_CURVE.verdict(
            "caution",
            table.name,
            say(
                "{label} it would give more than {last}, where its datasheet ends; upthrust and "
                "overload are possible",
                label=_when(duty),
                last=last,
            ),
            quantity=flow,
            limit=last,
            remedy=remedy(
                "throttle it to {last:down}; or raise the pressure; or choose a smaller pump",
                BY_A_VALVE,
                last=last,
            ),
        )
    return ON_CURVE.verdict(
        "pass",
        table.name,
        say("{flow} {label} lies on its curve", flow=flow, label=_when(duty)),
        quantity=flow,
        limit=last,
    )


def _when(duty: Duty) -> str:
    """The duty at which a pump gives the flow of its curve: not that of the well, where it draws
    the water down to its intake."""
    drawn = duty.flow < duty.pump_flow
    return f"{duty.label} with the water at its intake" if drawn else duty.label


def _efficiency(table: PumpTable, duty: Duty) -> list[Verdict]:
    """Whether the power of the sheet can be true; nothing where the file gives neither power nor
    efficiency."""
    if table.power is None and table.efficiency is None:
        return []
    share = Quantity(duty.overall_efficiency, kinds.FRACTION)
    limit = Quantity(GREATEST_EFFICIENCY, kinds.FRACTION)
    plausible = at_most(share, limit)
    return [
        EFFICIENCY.verdict(
            "pass" if plausible else "caution",
            table.name,
            say(
                "{water} of water from {power} of electricity, {share}",
                water=Quantity(duty.water_power, kinds.COMPUTED_POWER),
                power=Quantity(duty.input_power, kinds.COMPUTED_POWER),
                share=share,
            ),
            quantity=share,
            limit=limit,
            remedy=remedy("check the power curve against the sheet", OF_THE_MAKER),
        )
    ]


def _yield(site: Site, table: PumpTable, result: PumpResult, path: str) -> Verdict:
    """Whether the well keeps up, or the pump is guarded where it does not."""
    tested, duty = site.well.tested_yield, result.duties[0]
    if tested is None:
        return YIELD.unknown(table.name, "well.tested_yield")
    flow = Quantity(duty.pump_flow, kinds.FLOW)
    if at_most(flow, tested):
        return YIELD.verdict(
            "pass",
            table.name,
            say("{flow} is within the well's {tested}", flow=flow, tested=tested),
            quantity=flow,
            limit=tested,
        )
    told = "no test shows that the well bears it for long"
    if result.level_known and duty.flow < duty.pump_flow:
        told = "a long run pumps the well off"
    reason = say(
        "{flow} {when} is more than the well's {tested}: {told}; {guard}",
        flow=flow,
        when=_when(duty),
        tested=tested,
        told=told,
        guard=_guard_of(table),
    )
    guarded = table.dry_run_protection or tail_guards(table)
    status: Status = "caution" if guarded else "fail"
    way = remedy(
        "a pump of no more than {tested:down}, or a flow control to that{guard}",
        BY_A_VALVE,
        tested=tested,
        guard="" if guarded else "; at least dry-run protection",
    )
    return YIELD.verdict(
        status, table.name, reason, quantity=flow, limit=tested, remedy=way,
        claims=[f"{path}.dry_run_protection"] if table.dry_run_protection else [],
    )  # fmt: skip


def _guard_of(table: PumpTable) -> str:
    """What the file says of the guard against air in the pump."""
    if tail_guards(table):
        return "its tail pipe is so long that it draws no air"
    if table.dry_run_protection:
        return "dry-run protection stops it"
    return "the file names no dry-run protection"


def _submergence(site: Site, table: PumpTable, result: PumpResult, path: str) -> Verdict:
    """Whether the intake stays under water; air is kept from a pump that dry-run protection stops,
    so that a well which it pumps off between whiles is a caution."""
    intake, duty = result.intake_depth, result.duties[0]
    least = float(table.minimum_submergence)
    at_rest = intake - result.static_level
    way = _deeper(site, result, least, path)
    if at_rest < 0:
        return SUBMERGENCE.verdict(
            "fail",
            table.name,
            say(
                "the intake at {intake} hangs above the water at rest, {static}",
                intake=Quantity(intake, kinds.LENGTH),
                static=Quantity(result.static_level, kinds.LENGTH),
            ),
            quantity=Quantity(at_rest, kinds.LENGTH),
            limit=Quantity(least, kinds.LENGTH),
            remedy=way,
        )
    if not result.level_known:
        return SUBMERGENCE.unknown(table.name, *CAPACITY_KEYS)
    cover = Quantity(intake - duty.settled_level, kinds.LENGTH)
    limit, flow = Quantity(least, kinds.LENGTH), Quantity(duty.pump_flow, kinds.FLOW)
    enough = at_least(cover, least)
    status: Status = "pass" if enough else "caution" if cover > 0 else "fail"
    reason = say("the water settles {cover} above the intake at {flow}", cover=cover, flow=flow)
    if cover <= 0:
        bears = Quantity(water_level(site, intake).greatest_flow(), kinds.FLOW)
        template = "it takes {flow}; with the water down at its intake the well gives {bears}: "
        covered = at_least(Quantity(at_rest, kinds.LENGTH), least)
        if tail_guards(table) and covered:
            status = "caution"
            template += "it gives less and less, and its tail pipe is too long for air"
        elif table.dry_run_protection and covered:
            status = "caution"
            template += "it pumps the well off, and dry-run protection stops it each time"
        else:
            template += "it draws air"
        reason = say(template, flow=flow, bears=bears)
        # As deep as its flow would draw a bottomless well is no depth of this one.
        cover = Quantity(0.0, kinds.LENGTH)
    return SUBMERGENCE.verdict(
        status, table.name, reason, quantity=cover, limit=limit, remedy=way,
        claims=[f"{path}.dry_run_protection"]
        if cover <= 0 and status == "caution" and not tail_guards(table)
        else [],
    )  # fmt: skip


def _deeper(site: Site, result: PumpResult, least: float, path: str) -> Remedy:
    """What keeps the intake under water: hang it lower, take less, or both.

    No flow is offered that the well's test does not bear.
    """
    bottom = site.well.depth - ABOVE_BOTTOM
    depth = Quantity(
        math.ceil((result.duties[0].settled_level + least) / FOOT - 1e-9) * FOOT, kinds.LENGTH
    )
    flow = _flow_above(site, result.intake_depth - least)
    less = "take no more than {flow:down}"
    if depth <= bottom:
        hang = [set_to(f"{path}.intake_depth", depth)]
        if flow is None:
            return remedy("hang the intake at {depth:up} or deeper", hang, depth=depth)
        return remedy("hang the intake at {depth:up}, or " + less, hang, flow=flow, depth=depth)
    if flow is not None:
        return remedy(
            "a pump of no more than {flow:down}, or a flow control to that; the well is too "
            "shallow to hang the intake lower",
            BY_A_VALVE,
            flow=flow,
        )
    flow = _flow_above(site, bottom - least)
    if flow is not None:
        return remedy(
            "hang the intake at {depth:down} and " + less,
            BY_A_VALVE,
            depth=Quantity(bottom, kinds.LENGTH),
            flow=flow,
        )
    return remedy(
        "the well holds too little water above its bottom for a pump in it",
        "it is work on the well, not a key",
    )


def _flow_above(site: Site, lowest: float) -> Quantity | None:
    """The flow that keeps the water at or above a depth [m], within the tested yield; None where
    the water at rest already stands lower or the drawdown is unknown."""
    level = water_level(site, lowest)
    if not level.known or lowest - level.static_level <= 1e-9:
        return None
    flow = level.greatest_flow()
    tested = site.well.tested_yield
    return Quantity(flow if tested is None else min(flow, float(tested)), kinds.FLOW)


def _bottom(site: Site, table: PumpTable, result: PumpResult, path: str) -> Verdict:
    """Whether the intake hangs clear of the bottom."""
    clear = Quantity(site.well.depth - result.intake_depth, kinds.LENGTH)
    limit = Quantity(ABOVE_BOTTOM, kinds.LENGTH)
    depth = Quantity(math.floor((site.well.depth - ABOVE_BOTTOM) / FOOT) * FOOT, kinds.LENGTH)
    return BOTTOM.verdict(
        "pass" if at_least(clear, ABOVE_BOTTOM) else "caution",
        table.name,
        say("the intake hangs {clear} above the bottom", clear=clear),
        quantity=clear,
        limit=limit,
        remedy=remedy(
            "raise the intake to {depth:down}: below lies sediment",
            [set_to(f"{path}.intake_depth", depth)],
            depth=depth,
        ),
    )


def _velocity(site: Site, table: PumpTable, result: PumpResult, path: str) -> Verdict:
    """Whether drop pipe and lateral are wide enough."""
    limit = site.limits.velocity
    speed = Quantity(max(duty.pipe_velocity for duty in result.duties), kinds.SPEED)
    return VELOCITY.verdict(
        "pass" if at_most(speed, limit) else "caution",
        table.name,
        say("the water flows at up to {speed}", speed=speed),
        quantity=speed,
        limit=limit,
        remedy=_wider(site, table, result, path),
    )


def _wider(site: Site, table: PumpTable, result: PumpResult, path: str) -> Remedy:
    """The next pipe of the same material that is wide enough, of each run that is too narrow."""
    flow = max(_flow_without_friction(table, duty) for duty in result.duties)
    own, link = table.drop_pipe, link_of(site, table)
    runs: list[tuple[str, str, Pipe]] = []
    if not link.from_tank:
        key = "piping.drop_pipe" if own is None else f"{path}.drop_pipe"
        runs.append(("drop pipe", key, own or site.piping.drop_pipe))
        if (table.suction_pipe is None or table.line is None) and table.well is None:
            runs.append(("lateral", "piping.lateral", site.piping.lateral))
    if table.suction_pipe is not None:
        runs.append(("suction pipe", f"{path}.suction_pipe", table.suction_pipe))
    if table.line is not None:
        runs = [run for run in runs if run[0] != "lateral" or table.kind == "suction"]
        runs.append(("line", f"{path}.line", table.line))
    ways_told, changes = [], []
    for name, key, run in runs:
        wide = [
            size.nominal
            for size in from_this_up(run)
            if pipe.velocity(flow, size.bore) <= site.limits.velocity
        ]
        if not wide:
            return remedy(
                "less flow, or two pipes side by side: none of the table's is wide enough",
                BY_A_VALVE,
            )
        if wide[0] != run.size:
            ways_told.append(f"a {name} of {wide[0]}")
            changes.append(set_to(f"{key}.size", wide[0]))
    return remedy(" and ".join(ways_told) or "a wider pipe", changes or OF_THE_MAKER)


def _flow_without_friction(table: PumpTable, duty: Duty) -> float:
    """The most that a pump gives through pipes however wide, with what else there is of head at a
    duty [m3/s]."""
    lost = sum(piece.head for piece in duty.pieces if piece.key in IN_PIPES)
    lift = duty.total_dynamic_head - lost
    curve = HeadCurve(tuple(map(float, table.flow)), tuple(map(float, table.head)))
    return max(duty.pump_flow, operating_point(curve, lambda _: lift).flow)


def _daily(site: Site, table: PumpTable, result: PumpResult) -> Verdict:
    """Whether the pump, and the well, give the day's water."""
    if result.daily_volume is None or result.daily_run_time is None:
        return DAILY.unknown(table.name, *DAILY_KEYS)
    volume = Quantity(result.own_volume, kinds.VOLUME)
    beside, beside_text = Quantity(result.from_other_wells, kinds.SUMMED_VOLUME), ""
    if beside > 0.0:
        beside_text = ", beside {beside} from other wells"
    hours = Quantity(result.daily_run_time, kinds.DURATION)
    if volume < result.daily_volume:
        hours = Quantity(hours * volume / result.daily_volume, kinds.DURATION)
    day = Quantity(DAY, kinds.DURATION)
    tested = site.well.tested_yield if table.draws == "well" else None
    if tested is not None and not at_most(volume, tested * DAY):
        return DAILY.verdict(
            "fail",
            table.name,
            say(
                "the well yields {yield_} a day; {volume} is needed" + beside_text,
                yield_=Quantity(tested * DAY, kinds.SUMMED_VOLUME),
                volume=volume,
                **({"beside": beside} if beside_text else {}),
            ),
            quantity=volume,
            limit=Quantity(tested * DAY, kinds.SUMMED_VOLUME),
            remedy=use_less(tested * DAY + beside, result.daily_volume),
        )
    # What fills a storage tank may run all day.
    wanted = site.limits.daily_run if link_of(site, table).to_house else day
    within: Status = "pass" if at_most(hours, wanted) else "caution"
    limit = wanted if at_most(hours, DAY) else day
    return DAILY.verdict(
        within if at_most(hours, DAY) else "fail",
        table.name,
        say(
            "{volume} a day"
            + beside_text
            + (", takes" if beside_text else " takes")
            + " {hours} of pumping",
            volume=volume,
            hours=hours,
            **({"beside": beside} if beside_text else {}),
        ),
        quantity=hours,
        limit=limit,
        remedy=remedy(
            "a pump of {flow:up} or more, or a storage tank that it fills all day",
            OF_THE_MAKER,
            flow=Quantity(volume / wanted, kinds.FLOW),
        ),
    )
