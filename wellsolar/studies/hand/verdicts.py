"""Whether the hand pump suits its well, can be worked by a person, and gives enough."""

from __future__ import annotations

import math

import numpy as np

from wellsolar import kinds
from wellsolar.results import DischargePoint, HandDuty, HandPumpResult, HandTask
from wellsolar.site.schema import HandPumpTable, Site
from wellsolar.studies.hand.effort import BUCKET
from wellsolar.studies.hand.handle import GREATEST_EFFICIENCY
from wellsolar.studies.pump.suction_lift import PRACTICAL_SUCTION
from wellsolar.studies.well.drawdown import CAPACITY_KEYS
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Sentence, Status, Verdict, say

LOST_STROKE = 0.10
"""Share of the stroke that the rods' stretch may take [-]: common practice, no source."""

SUCTION = Rule(
    "hand suction lift",
    "can the hand pump draw the water up?",
    "pumping level within the practical suction lift at this altitude",
    "suction lift",
    limit_is="at most",
    place=Place("well", "hand_pump"),
)

CYLINDER = Rule(
    "cylinder under water",
    "does the cylinder stay under water?",
    "cylinder below the pumping level, in the low season too",
    "common practice",
    limit_is="at least",
    place=Place("well", "hand_pump"),
)

DEPTH = Rule(
    "depth of the hand pump",
    "is the water within a hand pump's depth?",
    "pumping level no deeper than the maker allows, or than 50 m (164 ft) if no depth is given",
    "hand pump depth",
    limit_is="at most",
    place=Place("well", "hand_pump"),
)

STRETCH = Rule(
    "stretch of the rods",
    "do the rods leave enough of the stroke?",
    "stretch of the rods under the water at the greatest head no more than a tenth of the stroke",
    "rod stretch",
    limit_is="at most",
    place=Place("well", "hand_pump"),
)

TABLE = Rule(
    "maker's discharge table",
    "is the maker's discharge table plausible?",
    "water power no more than 90 % of the power put in, in any row",
    "discharge table",
    limit_is="at most",
    place=Place("well", "hand_pump"),
)

GREATEST_FORCE = 400.0
"""Greatest handle force for a short time [N]: hand-pump project practice, from memory."""

BUCKET_TIME = 180.0
"""Longest time to fill it [s]: Sphere handbook."""

SHIFT = 8 * 3600.0
"""Longest a person can work at a handle in a day [s]: the end of the published power curve."""

EASY_TIME = 3600.0
"""A day's survival water within this is no burden [s]: common practice, no source."""

FASTEST = 50 / 60
"""Fastest stroke that people like [1/s]: Faulkner et al. 1991."""

FORCE = Rule(
    "handle force",
    "can a person work the handle?",
    "force of each hand up and down within the comfortable limit, and never above 400 N (90 lbf)",
    "handle force",
    limit_is="at most",
    place=Place("well", "hand_pump"),
)

RATE = Rule(
    "stroke rate",
    "can people keep the stroke rate?",
    "no more than the 50 strokes a minute that people like",
    "faulkner 1991",
    limit_is="at most",
    place=Place("well", "hand_pump"),
)

SURVIVAL = Rule(
    "survival by hand",
    "does the hand pump give survival water?",
    "the day's survival water is pumped in less than 8 h, easily in less than 1 h",
    "human power",
    limit_is="at most",
    place=Place("well", "hand_pump"),
)

BUCKET_RULE = Rule(
    "bucket time",
    "does a bucket fill fast enough?",
    "20 L in no more than 3 min",
    "sphere",
    limit_is="at most",
    place=Place("well", "hand_pump"),
)

INTO_TANK = Rule(
    "hand into the tank",
    "can the hand pump fill the pressure tank?",
    "force of each hand at cut-out within the comfortable limit, and never above 400 N (90 lbf)",
    "handle force",
    limit_is="at most",
    place=Place("well", "hand_pump"),
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
            verdicts += [_depth(result), _stretch(table, result)]
        verdicts += _person(site, table, result)
    return verdicts + discharge_verdicts(
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
        remedy=say(
            "a pump that its maker rates for {level:up} (rated_depth): extra-deep ones of the "
            "public-domain pump go to 80 m (262 ft)",
            level=level,
        ),
    )  # fmt: skip


def _stretch(table: HandPumpTable, result: HandPumpResult) -> Verdict:
    duty = max(result.duties, key=lambda duty: duty.stretch)
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
        remedy=say("rods of {rod:up}", rod=rod),
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
    wrong = [row for row in rated if (row.efficiency or 0.0) > GREATEST_EFFICIENCY]
    reason = say(
        "{state}the row {flow} at {head} gives {water} of water power from {power}, {share}",
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
    for number, row in enumerate(wrong):
        most = row.flow * GREATEST_EFFICIENCY / (row.efficiency or 1.0)
        template.append(f"no more than {{flow{number}:down}} at {{head{number}}}")
        parts[f"flow{number}"] = Quantity(most, kinds.FLOW)
        parts[f"head{number}"] = Quantity(row.head, kinds.HEAD)
    return say("ask for the table as measured; such power gives " + ", ".join(template), **parts)


def _person(site: Site, table: HandPumpTable, result: HandPumpResult) -> list[Verdict]:
    """What is asked of the people at the handle."""
    comfortable = float(site.limits.handle_force)
    spout = result.duty("low") or result.duties[0]
    verdicts = [_force(FORCE, table, result, spout, comfortable)]
    if table.stroke_rate > FASTEST * (1 + 1e-9):
        limit = Quantity(FASTEST, kinds.STROKE_RATE)
        verdicts.append(
            RATE.verdict(
                "caution",
                "hand pump",
                say("the file gives {rate}", rate=table.stroke_rate),
                quantity=table.stroke_rate,
                limit=limit,
                remedy=say("a stroke_rate of {rate:down} or less", rate=limit),
            )
        )
    verdicts += [_bucket(table, result), _survival(site, result)]
    if table.delivers == "tank":
        duty = result.duty("cut-out")
        verdicts.append(
            INTO_TANK.unknown("hand pump", "pressure_tank.volume", "pressure_switch")
            if duty is None
            else _force(INTO_TANK, table, result, duty, comfortable)
        )
    return verdicts


def _who(people: int) -> str:
    return "one person" if people == 1 else "two people"


def _force(
    rule: Rule, table: HandPumpTable, result: HandPumpResult, duty: HandDuty, comfortable: float
) -> Verdict:
    people = result.people_pumping
    force = Quantity(duty.handle_force / people, kinds.FORCE)
    status: Status = (
        "pass" if force <= comfortable else "caution" if force <= GREATEST_FORCE else "fail"
    )
    template = "at a lever of {lever} to 1 {each} pulls {up} for the upstroke"
    template += (
        " and pushes {down} for the downstroke"
        if duty.downward >= 0.0
        else " and holds {down} back on the downstroke"
    )
    if rule is INTO_TANK:
        template = f"at cut-out, {template}; {{flow}} for an hour"
    elif duty.key == "low":
        template = f"in the low season, {template}"
    return rule.verdict(
        status,
        "hand pump",
        say(
            template,
            lever=f"{float(table.lever_ratio):g}",
            each="the hand" if people == 1 else "each of two",
            up=Quantity(max(0.0, duty.upward) / people, kinds.FORCE),
            down=Quantity(abs(duty.downward) / people, kinds.FORCE),
            flow=Quantity(duty.sustained_flow, kinds.FLOW),
        ),
        quantity=force,
        limit=Quantity(GREATEST_FORCE if status == "fail" else comfortable, kinds.FORCE),
        remedy=None if status == "pass" else _lighter(table, result, duty, comfortable * people),
    )


def _lighter(
    table: HandPumpTable, result: HandPumpResult, duty: HandDuty, force: float
) -> Sentence:
    """A longer lever, a narrower cylinder or a counterweight that brings the force to comfort."""
    lever, hung = float(table.lever_ratio), result.counterweight
    # At the rod, without the counterweight, which weighs at the hand whatever the lever.
    upward = (duty.upward + hung) * lever
    downward = (duty.downward - hung) * lever
    ways: list[str] = []
    parts: dict[str, Quantity | str] = {}
    longest = max(upward / (force + hung), -downward / (force + hung))
    if downward > 0.0 and hung < force:
        longest = max(longest, downward / (force - hung))
    if hung <= force:
        ways.append("a lever of {longer} to 1")
        parts["longer"] = f"{math.ceil(10 * longest) / 10:.1f}"
    water = upward - result.rod_weight
    left = (force + hung) * lever - result.rod_weight
    if left > 0.0 and duty.handle_force == duty.upward:
        ways.append("a cylinder of {bore:down}")
        parts["bore"] = Quantity(table.bore * math.sqrt(left / water), kinds.BORE)
    needed = upward / lever - force
    if needed > hung and downward / lever + 1.03 * needed <= 0.97 * force:
        ways.append("a counterweight of {weight:up} at the end of the handle")
        parts["weight"] = Quantity(needed, kinds.FORCE)
    elif hung > 0.0:
        ways.append("a counterweight of {weight:down} at the end of the handle")
        parts["weight"] = Quantity(min(hung, max(0.0, duty.balancing)), kinds.FORCE)
    return say(", or ".join(ways), **parts)


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


def _faster(table: HandPumpTable, result: HandPumpResult) -> Sentence:
    """Two at the handle, more power of each, or a longer stroke, whichever it takes."""
    flow, place, duty = BUCKET / BUCKET_TIME, result.places[0], result.duties[0]
    two = result.task("bucket", 2)
    if result.people_pumping == 1 and two is not None and two.time <= BUCKET_TIME:
        return say("two people at the handle together (people_pumping = 2)")
    if duty.full_flow >= flow:
        power = float(np.interp(flow, place.flows, place.powers)) / result.people_pumping
        return say(
            "{power:up} of each at the handle (person_power), or less head",
            power=Quantity(power, kinds.POWER),
        )
    # A longer stroke draws the water further down, so that it asks for a little more power.
    longer = 1.02 * flow / duty.full_flow
    power = duty.power * longer * longer / result.people_pumping
    return say(
        "a stroke of {stroke:up}, and {power:up} of each at the handle (person_power)",
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
            who=_who(task.people) if task.people < 3 else f"{task.people} people",
            time=time,
            power=Quantity(task.power or 0.0, kinds.POWER),
            strokes=f"{task.strokes or 0.0:.0f}",
        ),
        quantity=time,
        limit=Quantity(EASY_TIME if status == "pass" else SHIFT, kinds.DURATION),
        remedy=say(
            "{people} {crews} in turns bring it under an hour each",
            people=f"{math.ceil(task.time / EASY_TIME)}",
            crews="people" if task.people == 1 else f"crews of {task.people}",
        ),
    )
