"""Whether a powered pump makes the pressure that is asked of it, within its own datasheet."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.results import Duty, PumpResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.well.levels import CAPACITY_KEYS
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, Sentence, Status, Verdict, say

GREATEST_EFFICIENCY = 0.75
"""Wire-to-water efficiency above which a sheet is implausible: common practice, no source."""

CUT_OUT = Rule(
    "reaches cut-out",
    "does the pump reach the cut-out pressure?",
    "the pump must pass the cut-out with a margin, or it never stops",
    "cut-out",
    limit_is="at least",
)
HOLDS = Rule(
    "holds its pressure",
    "does the pump hold its pressure?",
    "at full speed the pump must pass the pressure it is to hold, with a margin",
    "cut-out",
    limit_is="at least",
)
OPEN_TANK = Rule(
    "delivers",
    "does the pump lift the water to the tank?",
    "shut-off head above the head to an open tank",
    "total dynamic head",
    limit_is="at least",
)
ON_CURVE = Rule(
    "on its curve",
    "does the pump work within its datasheet?",
    "flow at cut-in within the points of the head curve",
    "common practice",
    limit_is="at most",
)
EFFICIENCY = Rule(
    "efficiency",
    "is the datasheet's power plausible?",
    "water power no more than 75 % of electrical power",
    "overall efficiency",
    limit_is="at most",
)


def reach_verdict(site: Site, table: PumpTable, result: PumpResult, best: Duty) -> Verdict:
    """Whether the pump makes the pressure asked of it: cut-out, its own, or an open tank's.

    Parameters:
        site: the site
        table: the pump's table
        result: its numbers
        best: its last duty with the water at rest
    Returns:
        a verdict
    """
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
        "{worst}it stops delivering at {reach}, so it would run without end below {limit}",
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
            "choose a pump with at least {head:up} at no flow: this one holds no useful pressure",
            head=head,
        )
    return say(
        aim.template + ", or choose a pump with at least {head:up} at no flow",
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
        remedy=say("choose a pump of more than {needed:up} at no flow", needed=needed),
    )


def on_curve_verdict(table: PumpTable, duty: Duty) -> Verdict:
    """Whether the pump works within the points of its datasheet.

    Parameters:
        table: the pump's table
        duty: the pump at work
    Returns:
        a verdict
    """
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


def efficiency_verdicts(table: PumpTable, duty: Duty) -> list[Verdict]:
    """Whether the power of the sheet can be true.

    Parameters:
        table: the pump's table
        duty: the pump at work
    Returns:
        a verdict; none where the file gives neither power nor efficiency
    """
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
            remedy=None if plausible else say("check the power curve against the sheet"),
        )
    ]
