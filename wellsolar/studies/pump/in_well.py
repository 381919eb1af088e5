"""Whether a powered pump suits the well that it hangs in: its yield, its levels, its bottom."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.results import Duty, PumpResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.well.levels import CAPACITY_KEYS, water_level
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, Sentence, Status, Verdict, say

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
)
SUBMERGENCE = Rule(
    "submergence",
    "does the intake stay under water?",
    "pumping level above the intake by the least submergence",
    "common practice",
    limit_is="at least",
)
BOTTOM = Rule(
    "above the bottom",
    "does the intake hang clear of the bottom?",
    "intake at least 5 ft (1.5 m) above the bottom of the well",
    "common practice",
    limit_is="at least",
)


def yield_verdict(site: Site, table: PumpTable, duty: Duty) -> Verdict:
    """Whether the well keeps up, or the pump is guarded where it does not.

    Parameters:
        site: the site
        table: the pump's table
        duty: the pump at its greatest flow
    Returns:
        a verdict
    """
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
        "dry-run protection guards it"
        if table.dry_run_protection
        else ("the file names no dry-run protection")
    )
    reason = say(
        "{flow} is more than the well's {tested}: run long it pumps the well off; {guard}",
        flow=flow,
        tested=tested,
        guard=guard,
    )
    status: Status = "caution" if table.dry_run_protection else "fail"
    mend = say(
        "a pump of no more than {tested:down}, or a flow control to that{guard}",
        tested=tested,
        guard="" if table.dry_run_protection else "; at the least dry-run protection",
    )
    return YIELD.verdict(status, table.name, reason, quantity=flow, limit=tested, remedy=mend)


def submergence_verdict(site: Site, table: PumpTable, result: PumpResult, duty: Duty) -> Verdict:
    """Whether the intake stays under water.

    Parameters:
        site: the site
        table: the pump's table
        result: its numbers
        duty: the pump at its greatest flow
    Returns:
        a verdict
    """
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
    bottom = float(site.well.depth) - ABOVE_BOTTOM
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


def bottom_verdict(site: Site, table: PumpTable, result: PumpResult) -> Verdict:
    """Whether the intake hangs clear of the bottom.

    Parameters:
        site: the site
        table: the pump's table
        result: its numbers
    Returns:
        a verdict
    """
    clear = Quantity(float(site.well.depth) - result.intake_depth, kinds.LENGTH)
    limit = Quantity(ABOVE_BOTTOM, kinds.LENGTH)
    high = clear >= ABOVE_BOTTOM - 1e-9
    return BOTTOM.verdict(
        "pass" if high else "caution",
        table.name,
        say("the intake hangs {clear} above the bottom", clear=clear),
        quantity=clear,
        limit=limit,
        remedy=None
        if high
        else say(
            "raise the intake to {depth:down}: below lies sediment",
            depth=Quantity(float(site.well.depth) - ABOVE_BOTTOM, kinds.LENGTH),
        ),
    )
