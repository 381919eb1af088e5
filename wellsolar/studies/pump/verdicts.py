"""Whether a powered pump suits its pressure switch, its well and its house.

In the order of the module: the pressure that is asked of it and its datasheet; the yield, the
levels and the bottom of the well; pipes, the day's water and the taps.
"""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.results import Duty, PumpResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.house.demand import DAILY_KEYS
from wellsolar.studies.pump.motor_cooling import cooling_verdicts
from wellsolar.studies.pump.suction_lift import suction_verdicts
from wellsolar.studies.well.drawdown import CAPACITY_KEYS, water_level
from wellsolar.studies.well.total_head import MORE_FLOW, MORE_LIFT
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Sentence, Status, Verdict, say

GREATEST_EFFICIENCY = 0.75
"""Wire-to-water efficiency above which a sheet is implausible: common practice, no source."""

CUT_OUT = Rule(
    "reaches cut-out",
    "does the pump reach the cut-out pressure?",
    "the pump must exceed the cut-out by a margin, or it never shuts off",
    "cut-out",
    limit_is="at least",
    place=Place("pump_curve_#", "pump_#"),
    worst=MORE_LIFT,
)

HOLDS = Rule(
    "holds its pressure",
    "does the pump hold its pressure?",
    "at full speed the pump must exceed the pressure it holds by a margin",
    "cut-out",
    limit_is="at least",
    place=Place("pump_curve_#", "pump_#"),
    worst=MORE_LIFT,
)

OPEN_TANK = Rule(
    "delivers",
    "does the pump lift the water to the tank?",
    "shut-off head above the head to an open tank",
    "total dynamic head",
    limit_is="at least",
    place=Place("pump_curve_#", "pump_#"),
    worst=MORE_LIFT,
)

ON_CURVE = Rule(
    "on its curve",
    "does the pump work within its datasheet?",
    "flow at cut-in within the points of the head curve",
    "common practice",
    limit_is="at most",
    place=Place("pump_curve_#", "pump_#"),
    worst=MORE_FLOW,
)

EFFICIENCY = Rule(
    "efficiency",
    "is the datasheet's power plausible?",
    "water power no more than 75 % of electrical power",
    "overall efficiency",
    limit_is="at most",
    place=Place(section="pump_#"),
)

ABOVE_BOTTOM = 1.524
"""Least height of an intake above the bottom of the well, 5 ft [m]: common practice, no source."""

ROUND_OFF = 1e-6
"""Of a depth, that is no lack of cover [m]."""

YIELD = Rule(
    "yield",
    "does the well keep up with the pump?",
    "the pump's flow no more than the tested yield, or dry-run protection present",
    "common practice",
    limit_is="at most",
    place=Place("level", "well"),
    worst=MORE_FLOW,
)

SUBMERGENCE = Rule(
    "submergence",
    "does the intake stay under water?",
    "pumping level above the intake by the least submergence",
    "common practice",
    limit_is="at least",
    place=Place("well", "pump_#"),
)

BOTTOM = Rule(
    "above the bottom",
    "does the intake hang clear of the bottom?",
    "intake at least 5 ft (1.5 m) above the bottom of the well",
    "common practice",
    limit_is="at least",
    place=Place("well", "pump_#"),
)

VELOCITY = Rule(
    "pipe velocity",
    "is the pipe wide enough?",
    "velocity within the limit in drop pipe and lateral",
    "tdh worksheet",
    limit_is="at most",
    place=Place("head", "pump_#"),
    worst=MORE_FLOW,
)

DAILY = Rule(
    "day's water",
    "does the pump give the day's water?",
    "run time for the day's use less than a day, and the day's use within the well's yield",
    "common practice",
    limit_is="at most",
    place=Place(section="pump_#"),
)

PEAK = Rule(
    "peak flow",
    "does the pump meet the peak alone?",
    "flow at cut-in at least the peak flow; a slower pump needs storage",
    "common practice",
    limit_is="at least",
    place=Place("pump_curve_#", "pump_#"),
    worst=MORE_LIFT,
)


def verdicts_of(
    site: Site, table: PumpTable, result: PumpResult, best: Duty, path: str
) -> list[Verdict]:
    """All verdicts on one pump but those on inverter, start and cable, in the order they are best
    read; `best` is its last duty with the water at rest."""
    first = result.duties[0]
    if result.intake_depth <= result.static_level:
        # Out of the water it gives nothing, whatever its curve says.
        return [*_suction(site, table, result), *_in_the_water(site, table, result)]
    verdicts = [_reach(site, table, result, best)]
    if first.flow > 0:
        verdicts += [_on_curve(table, first), _yield(site, table, first)]
        verdicts += [_velocity(site, table, result)]
        verdicts += _efficiency(table, first)
    verdicts += _suction(site, table, result)
    if result.suction is None or table.intake_depth is not None:
        verdicts += _in_the_water(site, table, result)
    if first.flow > 0:
        verdicts += cooling_verdicts(site, table, result.cooling, path)
        verdicts += [_daily(site, table, result), *_peak(site, table, first)]
    return verdicts


def _suction(site: Site, table: PumpTable, result: PumpResult) -> list[Verdict]:
    return [] if result.suction is None else suction_verdicts(site, table, result.suction)


def _in_the_water(site: Site, table: PumpTable, result: PumpResult) -> list[Verdict]:
    return [
        _submergence(site, table, result, result.duties[0]),
        _bottom(site, table, result),
    ]


def _reach(site: Site, table: PumpTable, result: PumpResult, best: Duty) -> Verdict:
    """Whether the pump makes the pressure asked of it: cut-out, its own, or an open tank's."""
    if table.held_pressure is not None:
        aim = say("hold no more than {highest:down}")
        return _reaches(site, table, result, best, HOLDS, float(table.held_pressure), aim)
    if site.pressure_switch is not None:
        aim = say("set the cut-out no higher than {highest:down}, with the cut-in below it")
        return _reaches(
            site, table, result, best, CUT_OUT, float(site.pressure_switch.cut_out), aim
        )
    return _lifts(table, result, best)


def _reaches(
    site: Site,
    table: PumpTable,
    result: PumpResult,
    best: Duty,
    rule: Rule,
    wanted: float,
    aim: Sentence,
) -> Verdict:
    """Whether the pump reaches a pressure with the margin, and still gives water there."""
    margin = float(site.limits.cut_out_margin)
    reach, limit = _pressure(result.shut_off_pressure), _pressure(wanted)
    last = result.duties[-1]
    worst = "" if result.level_known else "with the water at the intake, the worst case, "
    remedy = _lower_or_stronger(result, wanted, margin, aim)
    if last.flow > 0:
        status: Status = "pass" if reach - wanted >= margin else "caution"
        reason = say(
            "{worst}it can hold {reach} and still gives {flow} at {limit}",
            worst=worst,
            reach=reach,
            flow=Quantity(last.flow, kinds.FLOW),
            limit=limit,
        )
        return rule.verdict(
            status,
            table.name,
            reason,
            quantity=reach,
            limit=limit,
            remedy=None if status == "pass" else remedy,
        )
    if not result.level_known and best.flow > 0:
        return rule.unknown(
            table.name,
            *CAPACITY_KEYS,
            why="it reaches it with the water at rest, not with the water at the intake",
        )
    reason = say(
        "{worst}it stops delivering at {reach}, so it would never reach {limit} and shut off",
        worst=worst,
        reach=reach,
        limit=limit,
    )
    return rule.verdict("fail", table.name, reason, quantity=reach, limit=limit, remedy=remedy)


def _lower_or_stronger(
    result: PumpResult, wanted: float, margin: float, aim: Sentence
) -> Sentence:
    """A lower pressure, by the words of `aim`, or the head that a pump for this one needs."""
    highest = result.shut_off_pressure - margin
    lacking = (wanted + margin - result.shut_off_pressure) / _weight(result)
    head = Quantity(result.shut_off_head + lacking, kinds.HEAD)
    if highest <= 0:
        return say(
            "choose a pump with a shut-off head of at least {head:up}: this one holds no useful "
            "pressure",
            head=head,
        )
    return say(
        aim.template + ", or choose a pump with a shut-off head of at least {head:up}",
        highest=_pressure(highest),
        head=head,
    )


def _pressure(value: float) -> Quantity:
    return Quantity(value, kinds.PRESSURE)


def _weight(result: PumpResult) -> float:
    """Pressure per head of the site's water [Pa/m], from the head build-up itself."""
    last = result.duties[-1]
    head = next(piece.head for piece in last.pieces if piece.key == "pressure")
    return last.pressure / head if head > 0 else 9_800.0


def _lifts(table: PumpTable, result: PumpResult, best: Duty) -> Verdict:
    duty = result.duties[0]
    head = Quantity(result.shut_off_head, kinds.HEAD)
    needed = Quantity(duty.total_dynamic_head, kinds.HEAD)
    if duty.flow > 0:
        reason = say(
            "it gives {flow} into an open tank; whether it reaches a cut-out needs "
            "pressure_switch.cut_in and pressure_switch.cut_out",
            flow=Quantity(duty.flow, kinds.FLOW),
        )
        return OPEN_TANK.verdict("pass", table.name, reason, quantity=head, limit=needed)
    if not result.level_known and best.flow > 0:
        return OPEN_TANK.unknown(table.name, *CAPACITY_KEYS)
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
        remedy=say("choose a pump with a shut-off head of more than {needed:up}", needed=needed),
    )


def _on_curve(table: PumpTable, duty: Duty) -> Verdict:
    """Whether the pump works within the points of its datasheet."""
    last = Quantity(float(table.flow[-1]), kinds.FLOW)
    flow = Quantity(duty.pump_flow, kinds.FLOW)
    if duty.state == "beyond the curve":
        return ON_CURVE.verdict(
            "caution",
            table.name,
            say(
                "{label} it would give more than {last}, where its datasheet ends; upthrust and "
                "overload are possible",
                label=duty.label,
                last=last,
            ),
            quantity=flow,
            limit=last,
            remedy=say(
                "throttle it to {last:down}, raise the pressure, or choose a smaller pump",
                last=last,
            ),
        )
    return ON_CURVE.verdict(
        "pass",
        table.name,
        say("{flow} {label} lies on its curve", flow=flow, label=duty.label),
        quantity=flow,
        limit=last,
    )


def _efficiency(table: PumpTable, duty: Duty) -> list[Verdict]:
    """Whether the power of the sheet can be true; nothing where the file gives neither power nor
    efficiency."""
    if table.power is None and table.efficiency is None:
        return []
    share = Quantity(duty.overall_efficiency, kinds.FRACTION)
    limit = Quantity(GREATEST_EFFICIENCY, kinds.FRACTION)
    plausible = share <= limit
    return [
        EFFICIENCY.verdict(
            "pass" if plausible else "caution",
            table.name,
            say(
                "{water} of water from {power} of electricity, {share}",
                water=Quantity(duty.water_power, kinds.POWER),
                power=Quantity(duty.input_power, kinds.POWER),
                share=share,
            ),
            quantity=share,
            limit=limit,
            remedy=say("check the power curve against the sheet"),
        )
    ]


def _yield(site: Site, table: PumpTable, duty: Duty) -> Verdict:
    """Whether the well keeps up, or the pump is guarded where it does not."""
    tested = site.well.tested_yield
    if tested is None:
        return YIELD.unknown(table.name, "well.tested_yield")
    flow = Quantity(duty.pump_flow, kinds.FLOW)
    if duty.pump_flow <= tested:
        return YIELD.verdict(
            "pass",
            table.name,
            say("{flow} is within the well's {tested}", flow=flow, tested=tested),
            quantity=flow,
            limit=tested,
        )
    guard = (
        "dry-run protection stops it"
        if table.dry_run_protection
        else ("the file names no dry-run protection")
    )
    reason = say(
        "{flow} is more than the well's {tested}: a long run pumps the well off; {guard}",
        flow=flow,
        tested=tested,
        guard=guard,
    )
    status: Status = "caution" if table.dry_run_protection else "fail"
    remedy = say(
        "a pump of no more than {tested:down}, or a flow control to that{guard}",
        tested=tested,
        guard="" if table.dry_run_protection else "; at least dry-run protection",
    )
    return YIELD.verdict(status, table.name, reason, quantity=flow, limit=tested, remedy=remedy)


def _submergence(site: Site, table: PumpTable, result: PumpResult, duty: Duty) -> Verdict:
    """Whether the intake stays under water."""
    intake = result.intake_depth
    least = float(table.minimum_submergence)
    at_rest = intake - result.static_level
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
            remedy=_deeper(site, result, duty, least),
        )
    if not result.level_known:
        return SUBMERGENCE.unknown(table.name, *CAPACITY_KEYS)
    cover = Quantity(intake - duty.settled_level, kinds.LENGTH)
    limit = Quantity(least, kinds.LENGTH)
    enough = cover >= least - ROUND_OFF
    status: Status = "pass" if enough else "caution" if cover > 0 else "fail"
    reason = say(
        "the water settles {cover} above the intake at {flow}",
        cover=cover,
        flow=Quantity(duty.pump_flow, kinds.FLOW),
    )
    if cover <= 0:
        reason = say(
            "at {flow} the water would settle {below} below the intake: it draws air",
            flow=Quantity(duty.pump_flow, kinds.FLOW),
            below=Quantity(-cover, kinds.LENGTH),
        )
    remedy = None if status == "pass" else _deeper(site, result, duty, least)
    return SUBMERGENCE.verdict(
        status, table.name, reason, quantity=cover, limit=limit, remedy=remedy
    )


def _deeper(site: Site, result: PumpResult, duty: Duty, least: float) -> Sentence:
    """What keeps the intake under water: hang it lower, take less, or both.

    No flow is offered that the well's test does not bear.
    """
    bottom = site.well.depth - ABOVE_BOTTOM
    depth = duty.settled_level + least
    flow = _flow_above(site, result.intake_depth - least)
    if depth <= bottom and flow is None:
        return say("hang the intake at {depth:up} or deeper", depth=Quantity(depth, kinds.LENGTH))
    if depth <= bottom and flow is not None:
        return say(
            "take no more than {flow:down}, or hang the intake at {depth:up}",
            flow=flow,
            depth=Quantity(depth, kinds.LENGTH),
        )
    if flow is not None:
        return say(
            "take no more than {flow:down}; the well is too shallow to hang the intake lower",
            flow=flow,
        )
    flow = _flow_above(site, bottom - least)
    if flow is not None:
        return say(
            "hang the intake at {depth:down} and take no more than {flow:down}",
            depth=Quantity(bottom, kinds.LENGTH),
            flow=flow,
        )
    return say("the well holds too little water above its bottom for a pump in it")


def _flow_above(site: Site, lowest: float) -> Quantity | None:
    """The flow that keeps the water at or above a depth [m], within the tested yield; None where
    the water at rest already stands lower or the drawdown is unknown."""
    level = water_level(site, lowest)
    if not level.known or lowest <= level.static_level:
        return None
    flow = level.greatest_flow()
    tested = site.well.tested_yield
    return Quantity(flow if tested is None else min(flow, float(tested)), kinds.FLOW)


def _bottom(site: Site, table: PumpTable, result: PumpResult) -> Verdict:
    """Whether the intake hangs clear of the bottom."""
    clear = Quantity(site.well.depth - result.intake_depth, kinds.LENGTH)
    limit = Quantity(ABOVE_BOTTOM, kinds.LENGTH)
    high = clear >= ABOVE_BOTTOM - 1e-9
    return BOTTOM.verdict(
        "pass" if high else "caution",
        table.name,
        say("the intake hangs {clear} above the bottom", clear=clear),
        quantity=clear,
        limit=limit,
        remedy=say(
            "raise the intake to {depth:down}: below lies sediment",
            depth=Quantity(site.well.depth - ABOVE_BOTTOM, kinds.LENGTH),
        ),
    )


def _velocity(site: Site, table: PumpTable, result: PumpResult) -> Verdict:
    """Whether drop pipe and lateral are wide enough."""
    limit = site.limits.velocity
    speed = Quantity(max(duty.pipe_velocity for duty in result.duties), kinds.SPEED)
    slow = speed <= limit
    return VELOCITY.verdict(
        "pass" if slow else "caution",
        table.name,
        say("the water flows at up to {speed}", speed=speed),
        quantity=speed,
        limit=limit,
        remedy=say(
            "a wider drop pipe or lateral: {times} times the bore",
            times=f"{math.ceil(100 * (speed / limit) ** 0.5) / 100:.2f}",
        ),
    )


def _daily(site: Site, table: PumpTable, result: PumpResult) -> Verdict:
    """Whether the pump, and the well, give the day's water."""
    if result.daily_volume is None or result.daily_run_time is None:
        return DAILY.unknown(table.name, *DAILY_KEYS)
    volume = Quantity(result.daily_volume, kinds.VOLUME)
    hours = Quantity(result.daily_run_time, kinds.DURATION)
    day = Quantity(DAY, kinds.DURATION)
    tested = site.well.tested_yield
    if tested is not None and tested * DAY < result.daily_volume:
        return DAILY.verdict(
            "fail",
            table.name,
            say(
                "the well yields {yield_} a day; {volume} is needed",
                yield_=Quantity(tested * DAY, kinds.VOLUME),
                volume=volume,
            ),
            quantity=volume,
            limit=Quantity(tested * DAY, kinds.VOLUME),
            remedy=say(
                "use no more than {yield_:down} a day, or find another source",
                yield_=Quantity(tested * DAY, kinds.VOLUME),
            ),
        )
    enough = result.daily_run_time <= DAY
    return DAILY.verdict(
        "pass" if enough else "fail",
        table.name,
        say("{volume} a day takes {hours} of pumping", volume=volume, hours=hours),
        quantity=hours,
        limit=day,
        remedy=say(
            "a pump of {flow:up} or more", flow=Quantity(result.daily_volume / DAY, kinds.FLOW)
        ),
    )


def _peak(site: Site, table: PumpTable, duty: Duty) -> list[Verdict]:
    """Whether the pump follows the taps without storage; nothing where the file names no peak."""
    peak = site.demand.peak_flow
    if peak is None:
        return []
    flow = Quantity(duty.flow, kinds.FLOW)
    meets = duty.flow >= peak
    return [
        PEAK.verdict(
            "pass" if meets else "caution",
            table.name,
            say(
                "{flow} {label} against a peak of {peak}",
                flow=flow,
                label=duty.label,
                peak=peak,
            ),
            quantity=flow,
            limit=peak,
            remedy=say(
                "use less at once, or store {volume:up} for ten minutes of the peak",
                volume=Quantity((peak - duty.flow) * 600.0, kinds.VOLUME),
            ),
        )
    ]
