"""Whether the hand pump suits its well, can be worked by a person, and gives enough."""

from __future__ import annotations

import math

import numpy as np

from wellsolar import kinds
from wellsolar.results.hand import DischargePoint, HandPumpResult, HandTask
from wellsolar.site.schema import HandPumpTable, Site
from wellsolar.studies.hand.effort import BUCKET
from wellsolar.studies.hand.handle import BELOW_LEVEL, GREATEST_EFFICIENCY
from wellsolar.studies.hand.head import priming_verdicts, relief_verdicts
from wellsolar.studies.hand.lever import FORCE, INTO_TANK, force_verdict, travel_verdict
from wellsolar.studies.house.chain import hand_goal
from wellsolar.studies.pump.suction_lift import PRACTICAL_SUCTION
from wellsolar.studies.sold.standard_sizes import next_up
from wellsolar.studies.well.drawdown import CAPACITY_KEYS
from wellsolar.studies.well.total_head import DEEPER_WATER
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Remedy, Rule, Status, Verdict, at_most, remedy, say, set_to

LOWEST = 0.98
"""Part of the well's depth at which a cylinder hangs at the lowest: our choice."""

QUARTER_METRE, A_MINUTE = 0.25, 1 / 60
"""Steps to which a depth [m] and a stroke rate [1/s] of a remedy are rounded."""

DRILLED = "it is work on the well, not a key"
NO_RODS = "nothing that is sold does it"
STRENGTH = "how strong people are is not for the file to choose"

WITHOUT_LOSS = 0.995
"""Share of the power from which on a row prints as 100 %: no pump is without loss."""

LOST_STROKE = 0.10
"""Share of the stroke that the rods' stretch may take [-]: common practice, no source."""

SUCTION = Rule(
    "hand suction lift",
    "can the hand pump draw the water up?",
    "pumping level within the practical suction lift at this altitude",
    "suction lift",
    limit_is="at most",
    by="driller",
    place=Place("well", "hand_pump"),
    worst=DEEPER_WATER,
)

CYLINDER = Rule(
    "cylinder under water",
    "does the cylinder stay under water?",
    "cylinder below the pumping level, in the low season too",
    "site's figures",
    limit_is="at least",
    by="driller",
    place=Place("well", "hand_pump"),
    worst=DEEPER_WATER,
)

DEPTH = Rule(
    "depth of the hand pump",
    "is the water within a hand pump's depth?",
    "pumping level no deeper than the maker allows, or than 50 m (164 ft) if no depth is given",
    "hand pump depth",
    limit_is="at most",
    by="driller",
    place=Place("well", "hand_pump"),
    worst=DEEPER_WATER,
)

STRETCH = Rule(
    "stretch of the rods",
    "do the rods leave enough of the stroke?",
    "stretch of the rods under the water at the greatest head no more than a tenth of the stroke",
    "rod stretch",
    limit_is="at most",
    by="driller",
    place=Place("well", "hand_pump"),
)

TABLE = Rule(
    "maker's discharge table",
    "is the maker's discharge table plausible?",
    "water power no more than 90 % of the power put in, in any row",
    "discharge table",
    limit_is="at most",
    by="owner",
    place=Place("well", "hand_pump"),
)

BUCKET_TIME = 180.0
"""Longest time to fill it [s]: Sphere Handbook (2004), water supply standard 1."""

SHIFT = 8 * 3600.0
"""Longest a person can work at a handle in a day [s]: the end of the published power curve."""

EASY_TIME = 3600.0
"""A day's survival water within this is no burden [s]: common practice, no source."""

FASTEST = 50 / 60
"""Fastest stroke that people like [1/s]: Faulkner et al. 1991."""

RATE = Rule(
    "stroke rate",
    "can people keep the stroke rate?",
    "no more than the 50 strokes a minute that people like",
    "faulkner 1991",
    limit_is="at most",
    by="owner",
    place=Place("well", "hand_pump"),
)

SURVIVAL = Rule(
    "survival by hand",
    "does the hand pump give survival water?",
    "the day's survival water is pumped in less than 8 h, easily in less than 1 h",
    "human power",
    limit_is="at most",
    by="owner",
    place=Place("well", "hand_pump"),
    worst=DEEPER_WATER,
)

BUCKET_RULE = Rule(
    "bucket time",
    "does a bucket fill fast enough?",
    "20 L in no more than 3 min",
    "sphere",
    limit_is="at most",
    by="owner",
    place=Place("well", "hand_pump"),
    worst=DEEPER_WATER,
)


def hand_verdicts(
    site: Site, table: HandPumpTable, result: HandPumpResult, limit: float | None
) -> list[Verdict]:
    """Everything that is asked of a hand pump, in the order it is best read; `limit` is the
    theoretical suction lift [m] of a suction pump."""
    if table.kind == "suction":
        verdicts = [_suction(site, result, limit or 0.0)]
    else:
        verdicts = [_cylinder(site, table, result)]
    if result.draws_water:
        if table.kind != "suction":
            verdicts += [_depth(table, result), _stretch(site, table, result)]
        verdicts += _person(site, table, result)
        verdicts += relief_verdicts(site, table, result)
    verdicts += priming_verdicts(table)
    return verdicts + discharge_verdicts(
        TABLE, "hand pump", "hand_pump.discharge_power", result.discharge
    )


def _suction(site: Site, result: HandPumpResult, theoretical: float) -> Verdict:
    practical = Quantity(PRACTICAL_SUCTION * theoretical, kinds.LENGTH)
    lift = Quantity(result.suction_lift or 0.0, kinds.LENGTH)
    subject = "hand pump"
    if not at_most(lift, practical):
        under = _under(site, float(lift))
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
            remedy=remedy(
                'a deep-well pump (kind = "deep well") with its cylinder at {depth:down}, below '
                "{level:up}",
                [set_to("hand_pump.kind", "deep well"), set_to("hand_pump.cylinder_depth", under)],
                depth=under,
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


def _deeper(site: Site, table: HandPumpTable, result: HandPumpResult) -> Remedy:
    """A cylinder below the water, or where the well ends before it, a slower stroke."""
    level = Quantity(result.low_level, kinds.LENGTH)
    bottom, depth = site.well.depth, _under(site, float(level))
    if depth > level or not result.level_known:
        return remedy(
            "hang the cylinder at {depth:down}, below {level:up}: by trade practice 20 ft (6 m) "
            "lower",
            [set_to("hand_pump.cylinder_depth", depth)],
            depth=depth,
            level=level,
        )
    rest = result.low_static_level
    if rest >= LOWEST * bottom:
        return remedy(
            "deepen the well to below {level:up}, and hang it there", DRILLED, level=level
        )
    # Well loss makes the drawdown fall faster than the flow, never slower.
    lowest = Quantity(_rounded_down(LOWEST * bottom, QUARTER_METRE), kinds.LENGTH)
    faster = table.stroke_rate * 0.9 * (lowest - rest) / (level - rest)
    rate = Quantity(_rounded_down(faster, A_MINUTE), kinds.STROKE_RATE)
    if rate <= 0.0:
        return remedy("deepen the well, or find another source", DRILLED)
    return remedy(
        "hang the cylinder at {depth:down} and pump no faster than {rate:down}",
        [set_to("hand_pump.cylinder_depth", lowest), set_to("hand_pump.stroke_rate", rate)],
        depth=lowest,
        rate=rate,
    )


def _under(site: Site, level: float) -> Quantity:
    """Where a cylinder hangs under a level [m], by trade practice or as low as the well goes."""
    depth = min(level + BELOW_LEVEL, LOWEST * site.well.depth)
    return Quantity(_rounded_down(depth, QUARTER_METRE), kinds.LENGTH)


def _rounded_down(value: float, step: float) -> float:
    return math.floor(value / step + 1e-9) * step


def _depth(table: HandPumpTable, result: HandPumpResult) -> Verdict:
    level = Quantity(result.low_level, kinds.LENGTH)
    limit = Quantity(result.depth_limit or 0.0, kinds.LENGTH)
    within = level <= limit
    whose = "ordinary hand pumps" if table.rated_depth is None else "pumps rated like this one"
    return DEPTH.verdict(
        "pass" if within else "caution",
        "hand pump",
        say(
            "the water settles at {level}; {whose} draw from down to {limit}",
            level=level,
            whose=whose,
            limit=limit,
        ),
        quantity=level,
        limit=limit,
        remedy=remedy(
            "a pump that its maker rates for {level:up} (rated_depth): extra-deep ones of the "
            "public-domain pump go to 80 m (262 ft)",
            [set_to("hand_pump.rated_depth", Quantity(math.ceil(level), kinds.LENGTH))],
            level=Quantity(math.ceil(level), kinds.LENGTH),
        ),
    )  # fmt: skip


def _stretch(site: Site, table: HandPumpTable, result: HandPumpResult) -> Verdict:
    duty = max(result.duties, key=lambda duty: duty.stretch)
    share = duty.stretch / table.stroke
    lost = Quantity(share, kinds.FRACTION)
    within = at_most(lost, LOST_STROKE)
    needed = table.rod_diameter * math.sqrt(share / LOST_STROKE)
    rod = next_up("rod", needed, kinds.BORE, site.site.print_units)
    thicker = remedy("a shallower cylinder: no rods that are sold are thick enough", NO_RODS)
    if rod is not None:
        thicker = remedy(
            "rods of {rod} (need {needed:up})",
            [set_to("hand_pump.rod_diameter", rod)],
            rod=rod,
            needed=Quantity(needed, kinds.BORE),
        )
    return STRETCH.verdict(
        "pass" if within else "caution" if share < 1.0 else "fail",
        "hand pump",
        say(
            "{label} the rods stretch by {stretch}, {lost} of the stroke",
            label=duty.label,
            stretch=Quantity(duty.stretch, kinds.BORE),
            lost=lost,
        ),
        quantity=lost,
        limit=Quantity(LOST_STROKE, kinds.FRACTION),
        remedy=thicker,
    )


def discharge_verdicts(
    rule: Rule, subject: str, needs: str, points: tuple[DischargePoint, ...]
) -> list[Verdict]:
    """Whether a table of flows can be right, by a rule; `needs` is the key that settles a table
    without power."""
    if not points:
        return []
    rated = [point for point in points if point.efficiency is not None]
    if not rated:
        return [rule.unknown(subject, needs)]
    best = max(rated, key=lambda row: row.efficiency or 0.0)
    share = best.efficiency or 0.0
    wrong = [row for row in rated if (row.efficiency or 0.0) > GREATEST_EFFICIENCY]
    reason = say(
        "{state}the row {flow} at {head} gives {water} of water power from {power}, {share}",
        state="implausible: " if wrong else "at most ",
        flow=Quantity(best.flow, kinds.FLOW),
        head=Quantity(best.head, kinds.HEAD),
        water=Quantity(best.water_power, kinds.POWER),
        power=Quantity(best.power or 0.0, kinds.POWER),
        share=Quantity(share, kinds.FRACTION),
    )
    return [
        rule.verdict(
            "pass" if not wrong else "caution" if share < WITHOUT_LOSS else "fail",
            subject,
            reason,
            quantity=Quantity(share, kinds.FRACTION),
            limit=Quantity(GREATEST_EFFICIENCY, kinds.FRACTION),
            remedy=_credible(wrong) if wrong else None,
        )
    ]


def _credible(wrong: list[DischargePoint]) -> Remedy:
    """The most that each wrong row can be."""
    template, parts = [], {}
    for number, row in enumerate(wrong):
        most = row.flow * GREATEST_EFFICIENCY / (row.efficiency or 1.0)
        template.append(f"no more than {{flow{number}:down}} at {{head{number}}}")
        parts[f"flow{number}"] = Quantity(most, kinds.FLOW)
        parts[f"head{number}"] = Quantity(row.head, kinds.HEAD)
    words = "ask for the table as measured; such power gives " + ", ".join(template)
    return remedy(words, "it is for the maker to say", **parts)


def _person(site: Site, table: HandPumpTable, result: HandPumpResult) -> list[Verdict]:
    """What is asked of the people at the handle."""
    comfortable = float(site.limits.handle_force)
    spout = result.duty("low") or result.duties[0]
    verdicts = [
        force_verdict(FORCE, site, result, spout, comfortable),
        travel_verdict(site, result, comfortable),
    ]
    if not at_most(table.stroke_rate, FASTEST):
        limit = Quantity(FASTEST, kinds.STROKE_RATE)
        verdicts.append(
            RATE.verdict(
                "caution",
                "hand pump",
                say("the file gives {rate}", rate=table.stroke_rate),
                quantity=table.stroke_rate,
                limit=limit,
                remedy=remedy(
                    "a stroke_rate of {rate:down} or less",
                    [set_to("hand_pump.stroke_rate", limit)],
                    rate=limit,
                ),
            )
        )
    verdicts += [_bucket(table, result), _survival(site, result)]
    duty = result.duty("cut-out") or result.duty("inlet")
    if duty is not None:
        verdicts.append(force_verdict(INTO_TANK, site, result, duty, comfortable))
    elif hand_goal(site) == "pressure tank":
        asked = {
            "pressure_tank.volume": site.pressure_tank,
            "pressure_switch": site.pressure_switch,
        }
        lacking = [key for key, given in asked.items() if given is None]
        verdicts.append(INTO_TANK.unknown("hand pump", *(lacking or asked)))
    return verdicts


def _bucket(table: HandPumpTable, result: HandPumpResult) -> Verdict:
    task = result.task("bucket", result.people_pumping)
    assert task is not None
    time = Quantity(task.time, kinds.DURATION)
    fast = task.time <= BUCKET_TIME
    rate = Quantity(task.flow / result.duties[0].stroke_volume, kinds.STROKE_RATE)
    return BUCKET_RULE.verdict(
        "pass" if fast else "caution",
        "hand pump",
        say(
            "{flow} at {rate}: {time} for 20 L (5.3 gal)",
            flow=Quantity(task.flow, kinds.FLOW),
            rate=rate,
            time=time,
        ),
        quantity=time,
        limit=Quantity(BUCKET_TIME, kinds.DURATION),
        remedy=None if fast else _faster(table, result),
    )


def _faster(table: HandPumpTable, result: HandPumpResult) -> Remedy:
    """Two at the handle, more power of each, or a longer stroke, whichever it takes."""
    flow, place, duty = BUCKET / BUCKET_TIME, result.places[0], result.duties[0]
    two = result.task("bucket", 2)
    if result.people_pumping == 1 and two is not None and two.time <= BUCKET_TIME:
        return remedy(
            "two people at the handle together (people_pumping = 2)",
            [set_to("hand_pump.people_pumping", 2)],
        )
    if duty.full_flow >= flow:
        power = float(np.interp(flow, place.flows, place.powers)) / result.people_pumping
        return remedy(
            "{power:up} of each at the handle (person_power), or less head",
            STRENGTH,
            power=Quantity(power, kinds.POWER),
        )
    # A longer stroke draws the water further down, so that it asks for a little more power.
    longer = 1.02 * flow / duty.full_flow
    power = duty.power * longer * longer / result.people_pumping
    return remedy(
        "a stroke of {stroke:up}, and {power:up} of each at the handle (person_power)",
        STRENGTH,
        stroke=Quantity(table.stroke * longer, kinds.BORE),
        power=Quantity(power, kinds.POWER),
    )


def _survival(site: Site, result: HandPumpResult) -> Verdict:
    if site.site.people is None:
        return SURVIVAL.unknown("hand pump", "site.people")
    task = result.task("survival", result.people_pumping)
    assert task is not None
    return survival_verdict(SURVIVAL, "hand pump", task)


def survival_verdict(rule: Rule, subject: str, task: HandTask) -> Verdict:
    """Whether a day's survival water is pumped within a day's work."""
    time = Quantity(task.time, kinds.DURATION)
    status: Status = (
        "pass" if task.time <= EASY_TIME else "caution" if task.time <= SHIFT else "fail"
    )
    template = "{volume} take {who} {time}"
    if task.power is not None:
        template += " at {power}"
    if task.strokes is not None:
        template += ", {strokes} strokes"
    if status == "fail":
        template += "; more than a day's work"
    return rule.verdict(
        status,
        subject,
        say(
            template,
            volume=Quantity(task.volume, kinds.VOLUME),
            who={1: "one person", 2: "two people"}.get(task.people, f"{task.people} people"),
            time=time,
            power=Quantity(task.power or 0.0, kinds.POWER),
            strokes=Quantity(task.strokes or 0.0, kinds.SUMMED_COUNT),
        ),
        quantity=time,
        limit=Quantity(EASY_TIME if status == "pass" else SHIFT, kinds.DURATION),
        remedy=remedy(
            "{people} {crews} in turns bring it under an hour each",
            "who takes turns is no key of the file",
            people=f"{math.ceil(task.time / EASY_TIME)}",
            crews="people" if task.people == 1 else f"crews of {task.people}",
        ),
    )
