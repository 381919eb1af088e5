"""Whether the hand pump is right for its well: suction, cylinder, depth, rods, its table."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.results import DischargePoint, HandPumpResult
from wellsolar.site.schema import HandPumpTable, Site
from wellsolar.studies.hand.handle import GREATEST_EFFICIENCY
from wellsolar.studies.hand.person import person_verdicts
from wellsolar.studies.pump.suction_lift import PRACTICAL_SUCTION
from wellsolar.studies.well.levels import CAPACITY_KEYS
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, Sentence, Verdict, say

LOST_STROKE = 0.10
"""Share of the stroke that the rods' stretch may take [-]: common practice, no source."""

SUCTION = Rule(
    "hand suction lift",
    "can the hand pump draw the water up?",
    "pumping level within the practical suction lift at this altitude",
    "suction lift",
    limit_is="at most",
)
CYLINDER = Rule(
    "cylinder under water",
    "does the cylinder stay under water?",
    "cylinder below the pumping level, in the low season too",
    "common practice",
    limit_is="at least",
)
DEPTH = Rule(
    "depth of the hand pump",
    "is the water within a hand pump's depth?",
    "pumping level no deeper than the maker allows, else than 50 m (164 ft)",
    "hand pump depth",
    limit_is="at most",
)
STRETCH = Rule(
    "stretch of the rods",
    "do the rods leave enough of the stroke?",
    "stretch of the rods under the water at the greatest head no more than a tenth of the stroke",
    "rod stretch",
    limit_is="at most",
)
TABLE = Rule(
    "maker's discharge table",
    "can the maker's discharge table be right?",
    "water power no more than 90 % of the power put in, in any row",
    "discharge table",
    limit_is="at most",
)


def hand_verdicts(
    site: Site, table: HandPumpTable, result: HandPumpResult, limit: float | None
) -> list[Verdict]:
    """Everything that is asked of a hand pump.

    Parameters:
        site: the site
        table: the pump's table
        result: its numbers
        limit: theoretical suction lift [m] of a suction pump, else None
    Returns:
        verdicts in the order they are best read
    """
    if table.kind == "suction":
        found = [_suction(site, result, limit or 0.0)]
    else:
        found = [_cylinder(site, table, result)]
    if result.draws_water:
        if table.kind != "suction":
            found += [_depth(result), _stretch(table, result)]
        found += person_verdicts(site, table, result)
    return found + discharge_verdicts(
        TABLE, "hand pump", "hand_pump.discharge_power", result.discharge
    )


def _suction(site: Site, result: HandPumpResult, theoretical: float) -> Verdict:
    practical = Quantity(PRACTICAL_SUCTION * theoretical, kinds.LENGTH)
    lift = Quantity(result.suction_lift or 0.0, kinds.LENGTH)
    subject = "hand pump"
    if lift > practical:
        return SUCTION.verdict(
            "fail",
            subject,
            say(
                "the water stands {lift} down; at {altitude} suction lifts {theory} in theory and "
                "{practical} in practice, whatever the handle",
                lift=lift,
                altitude=site.site.altitude,
                theory=Quantity(theoretical, kinds.LENGTH),
                practical=practical,
            ),
            quantity=lift,
            limit=practical,
            remedy=say(
                'a deep-well pump (kind = "deep well") with its cylinder below {level:up}',
                level=lift,
            ),
        )
    if not result.level_known:
        return SUCTION.unknown(
            subject, *CAPACITY_KEYS, why="the water at rest is within reach, the drawdown unknown"
        )
    return SUCTION.verdict(
        "pass",
        subject,
        say(
            "the water stands {lift} down, suction lifts {practical} in practice here",
            lift=lift,
            practical=practical,
        ),
        quantity=lift,
        limit=practical,
    )


def _cylinder(site: Site, table: HandPumpTable, result: HandPumpResult) -> Verdict:
    subject, depth = "hand pump", table.cylinder_depth
    if depth is None:
        return CYLINDER.unknown(subject, "hand_pump.cylinder_depth")
    rest = Quantity(result.low_static_level, kinds.LENGTH)
    season = " in the low season" if result.low_static_level > result.static_level else ""
    if depth <= rest:
        return CYLINDER.verdict(
            "fail",
            subject,
            say(
                "the cylinder at {depth} hangs above the water at rest{season}, {level}",
                depth=depth,
                season=season,
                level=rest,
            ),
            quantity=depth,
            limit=rest,
            remedy=_deeper(site, table, result),
        )
    if not result.level_known:
        return CYLINDER.unknown(subject, *CAPACITY_KEYS)
    level = Quantity(result.low_level, kinds.LENGTH)
    under = depth > level
    return CYLINDER.verdict(
        "pass" if under else "fail",
        subject,
        say(
            "the cylinder hangs at {depth}, the water settles at {level}{season}",
            depth=depth,
            level=level,
            season=season,
        ),
        quantity=depth,
        limit=level,
        remedy=None if under else _deeper(site, table, result),
    )


def _deeper(site: Site, table: HandPumpTable, result: HandPumpResult) -> Sentence:
    """A cylinder below the water, or where the well ends before it, a slower stroke."""
    level = Quantity(result.low_level, kinds.LENGTH)
    bottom = site.well.depth
    if level < 0.98 * bottom or not result.level_known:
        return say("hang it below {level:up}, by trade practice 20 ft (6 m) lower", level=level)
    rest = result.low_static_level
    if rest >= 0.98 * bottom:
        return say("deepen the well to below {level:up}, and hang it there", level=level)
    # Well loss makes the drawdown fall faster than the flow, never slower.
    rate = table.stroke_rate * 0.9 * (0.98 * bottom - rest) / (level - rest)
    return say(
        "hang it at {depth:down} and pump no faster than {rate:down}",
        depth=Quantity(0.98 * bottom, kinds.LENGTH),
        rate=Quantity(rate, kinds.STROKE_RATE),
    )


def _depth(result: HandPumpResult) -> Verdict:
    level = Quantity(result.low_level, kinds.LENGTH)
    limit = Quantity(result.depth_limit or 0.0, kinds.LENGTH)
    within = level <= limit
    force = Quantity(result.greatest_depth or 0.0, kinds.LENGTH)
    return DEPTH.verdict(
        "pass" if within else "caution",
        "hand pump",
        say("the water settles at {level}; the comfortable handle force reaches {force}",
            level=level, force=force),
        quantity=level,
        limit=limit,
        remedy=None
        if within
        else say(
            "a pump that its maker rates for {level:up} (rated_depth): extra-deep ones of the "
            "public-domain pump go to 80 m (262 ft)",
            level=level,
        ),
    )  # fmt: skip


def _stretch(table: HandPumpTable, result: HandPumpResult) -> Verdict:
    duty = max(result.duties, key=lambda each: each.stretch)
    share = duty.stretch / table.stroke
    lost = Quantity(share, kinds.FRACTION)
    within = share <= LOST_STROKE
    rod = Quantity(table.rod_diameter * math.sqrt(share / LOST_STROKE), kinds.BORE)
    return STRETCH.verdict(
        "pass" if within else "caution" if share < 0.5 else "fail",
        "hand pump",
        say(
            "{label} the rods stretch by {stretch}, {lost} of the stroke",
            label=duty.label,
            stretch=Quantity(duty.stretch, kinds.BORE),
            lost=lost,
        ),
        quantity=lost,
        limit=Quantity(LOST_STROKE, kinds.FRACTION),
        remedy=None if within else say("rods of {rod:up}", rod=rod),
    )


def discharge_verdicts(
    rule: Rule, subject: str, needs: str, points: tuple[DischargePoint, ...]
) -> list[Verdict]:
    """Whether a table of flows can be right.

    Parameters:
        rule: asked of this table
        subject: whose table it is
        needs: the key that settles a table without power
        points: its rows
    Returns:
        one verdict, none without a table
    """
    if not points:
        return []
    told = [each for each in points if each.efficiency is not None]
    if not told:
        return [rule.unknown(subject, needs)]
    best = max(told, key=lambda each: each.efficiency or 0.0)
    wrong = [each for each in told if (each.efficiency or 0.0) > GREATEST_EFFICIENCY]
    reason = say(
        "{state}the row {flow} at {head} takes {water} of water power from {power}, {share}",
        state="implausible: " if wrong else "at most ",
        flow=Quantity(best.flow, kinds.FLOW),
        head=Quantity(best.head, kinds.HEAD),
        water=Quantity(best.water_power, kinds.POWER),
        power=Quantity(best.power or 0.0, kinds.POWER),
        share=Quantity(best.efficiency or 0.0, kinds.FRACTION),
    )
    return [
        rule.verdict(
            "fail" if wrong else "pass",
            subject,
            reason,
            quantity=Quantity(best.efficiency or 0.0, kinds.FRACTION),
            limit=Quantity(GREATEST_EFFICIENCY, kinds.FRACTION),
            remedy=_credible(wrong) if wrong else None,
        )
    ]


def _credible(wrong: list[DischargePoint]) -> Sentence:
    """The most that each wrong row can be."""
    template, parts = [], {}
    for number, each in enumerate(wrong):
        most = each.flow * GREATEST_EFFICIENCY / (each.efficiency or 1.0)
        template.append(f"no more than {{flow{number}:down}} at {{head{number}}}")
        parts[f"flow{number}"] = Quantity(most, kinds.FLOW)
        parts[f"head{number}"] = Quantity(each.head, kinds.HEAD)
    return say("ask for the table as measured; from such power " + ", ".join(template), **parts)
