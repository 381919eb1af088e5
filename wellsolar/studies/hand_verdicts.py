"""Whether a person can work the hand pump, and whether what it gives is enough."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.results import HandDuty, HandPumpResult
from wellsolar.site.schema import HandPumpTable, Site
from wellsolar.studies.levels import CAPACITY_KEYS
from wellsolar.studies.suction_lift import PRACTICAL_SUCTION
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, Sentence, Status, Verdict, say

GREATEST_FORCE = 400.0
"""Greatest handle force for a short spell [N]: hand-pump project practice, from memory."""


BUCKET_TIME = 180.0
"""Longest time to fill it [s]: Sphere handbook."""


SHIFT = 8 * 3600.0
"""Longest a person can work at a handle in a day [s]: the end of the published power curve."""


EASY_TIME = 3600.0
"""A day's survival water within this is no burden [s]: common practice, no source."""


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
    "cylinder below the pumping level",
    "common practice",
    limit_is="at least",
)


FORCE = Rule(
    "handle force",
    "can a person work the handle?",
    "handle force on the upstroke within the comfortable limit, and never above 400 N (90 lbf)",
    "handle force",
    limit_is="at most",
)


SURVIVAL = Rule(
    "survival by hand",
    "does the hand pump give survival water?",
    "one person pumps the day's survival water in less than 8 h, easily in less than 1 h",
    "human power",
    limit_is="at most",
)


BUCKET_RULE = Rule(
    "bucket time",
    "does a bucket fill fast enough?",
    "20 L in no more than 3 min",
    "sphere",
    limit_is="at most",
)


INTO_TANK = Rule(
    "hand into the tank",
    "can the hand pump fill the pressure tank?",
    "handle force at cut-out within the comfortable limit, and never above 400 N (90 lbf)",
    "handle force",
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
        if found[0].status == "fail":
            return found
    else:
        found = [_cylinder(site, table, result)]
    spout = result.duties[0]
    found += [_force(site, table, result, spout), _bucket(result)]
    found.append(_survival(site, table, result))
    if table.delivers == "tank":
        found.append(_into_tank(site, table, result))
    return found


def _suction(site: Site, result: HandPumpResult, theoretical: float) -> Verdict:
    practical = Quantity(PRACTICAL_SUCTION * theoretical, kinds.LENGTH)
    lift = Quantity(result.pumping_level, kinds.LENGTH)
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
    subject = "hand pump"
    if table.cylinder_depth is None:
        return CYLINDER.unknown(subject, "hand_pump.cylinder_depth")
    depth = table.cylinder_depth
    level = Quantity(result.pumping_level, kinds.LENGTH)
    if depth <= site.well.static_level:
        return CYLINDER.verdict(
            "fail",
            subject,
            say(
                "the cylinder at {depth} hangs above the water at rest, {level}",
                depth=depth,
                level=site.well.static_level,
            ),
            quantity=depth,
            limit=level,
            remedy=say(
                "hang it below {level:up}, by trade practice 20 ft (6 m) lower",
                level=level,
            ),
        )
    if not result.level_known:
        return CYLINDER.unknown(subject, *CAPACITY_KEYS)
    under = depth > level
    return CYLINDER.verdict(
        "pass" if under else "fail",
        subject,
        say(
            "the cylinder hangs at {depth}, the water settles at {level}", depth=depth, level=level
        ),
        quantity=depth,
        limit=level,
        remedy=None if under else say("hang it below {level:up}", level=level),
    )


def _force(site: Site, table: HandPumpTable, result: HandPumpResult, duty: HandDuty) -> Verdict:
    force = Quantity(duty.handle_force, kinds.FORCE)
    comfortable = site.limits.handle_force
    status: Status = (
        "pass" if force <= comfortable else "caution" if force <= GREATEST_FORCE else "fail"
    )
    limit = Quantity(GREATEST_FORCE, kinds.FORCE) if status == "fail" else comfortable
    return FORCE.verdict(
        status,
        "hand pump",
        say(
            "the rod pulls {pull}, the hand {force} at a lever of {lever} to 1",
            pull=Quantity(duty.rod_pull, kinds.FORCE),
            force=force,
            lever=f"{float(table.lever_ratio):g}",
        ),
        quantity=force,
        limit=limit,
        remedy=None if status == "pass" else _lighter(table, result, duty, float(comfortable)),
    )


def _lighter(
    table: HandPumpTable, result: HandPumpResult, duty: HandDuty, force: float
) -> Sentence:
    """A longer lever, or a narrower cylinder, that brings the force down to comfort."""
    lever = math.ceil(10 * table.lever_ratio * duty.handle_force / force) / 10
    left = force * table.lever_ratio * table.mechanical_efficiency - result.rod_weight
    if left <= 0:
        return say(
            "a lever of {lever} to 1, or a lighter rod: the rod alone takes the force",
            lever=f"{lever:.1f}",
        )
    column = duty.rod_pull - result.rod_weight
    bore = table.bore * math.sqrt(left / column)
    return say(
        "a lever of {lever} to 1, or a cylinder of {bore:down}",
        lever=f"{lever:.1f}",
        bore=Quantity(bore, kinds.BORE),
    )


def _bucket(result: HandPumpResult) -> Verdict:
    task = result.tasks[0]
    time = Quantity(task.time, kinds.DURATION)
    limit = Quantity(BUCKET_TIME, kinds.DURATION)
    fast = task.time <= BUCKET_TIME
    duty = result.duties[0]
    return BUCKET_RULE.verdict(
        "pass" if fast else "caution",
        "hand pump",
        say(
            "{flow} at {rate}: {time} for 20 L (5.3 gal)",
            flow=Quantity(duty.sustained_flow, kinds.FLOW),
            rate=Quantity(duty.stroke_rate, kinds.STROKE_RATE),
            time=time,
        ),
        quantity=time,
        limit=limit,
        remedy=None
        if fast
        else say(
            "two people in turns, or {power:up} at the handle",
            power=Quantity(duty.power * task.volume / BUCKET_TIME / duty.full_flow, kinds.POWER),
        ),
    )


def _survival(site: Site, table: HandPumpTable, result: HandPumpResult) -> Verdict:
    if site.site.people is None:
        return SURVIVAL.unknown("hand pump", "site.people")
    task = result.tasks[1]
    time = Quantity(task.time, kinds.DURATION)
    status: Status = (
        "pass" if task.time <= EASY_TIME else "caution" if task.time <= SHIFT else "fail"
    )
    limit = Quantity(EASY_TIME if status == "pass" else SHIFT, kinds.DURATION)
    return SURVIVAL.verdict(
        status,
        "hand pump",
        say(
            "{volume} take one person {time} at {power}, {strokes} strokes",
            volume=Quantity(task.volume, kinds.VOLUME),
            time=time,
            power=Quantity(min(float(table.person_power), result.duties[0].power), kinds.POWER),
            strokes=f"{task.strokes:.0f}",
        ),
        quantity=time,
        limit=limit,
        remedy=None
        if status == "pass"
        else say(
            "{people} people in turns bring it under an hour each",
            people=f"{math.ceil(task.time / EASY_TIME)}",
        ),
    )


def _into_tank(site: Site, table: HandPumpTable, result: HandPumpResult) -> Verdict:
    if len(result.duties) < 3:
        return INTO_TANK.unknown("hand pump", "pressure_tank.volume", "pressure_switch")
    duty = result.duties[2]
    force = Quantity(duty.handle_force, kinds.FORCE)
    comfortable = float(site.limits.handle_force)
    status: Status = (
        "pass" if force <= comfortable else "caution" if force <= GREATEST_FORCE else "fail"
    )
    return INTO_TANK.verdict(
        status,
        "hand pump",
        say(
            "at cut-out the hand pulls {force} and gives {flow}",
            force=force,
            flow=Quantity(duty.sustained_flow, kinds.FLOW),
        ),
        quantity=force,
        limit=Quantity(GREATEST_FORCE if status == "fail" else comfortable, kinds.FORCE),
        remedy=None if status == "pass" else _lighter(table, result, duty, comfortable),
    )
