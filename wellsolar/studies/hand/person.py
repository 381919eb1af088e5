"""Whether a person can work the hand pump, and whether what it gives is enough."""

from __future__ import annotations

import math

import numpy as np

from wellsolar import kinds
from wellsolar.results import HandDuty, HandPumpResult, HandTask
from wellsolar.site.schema import HandPumpTable, Site
from wellsolar.studies.hand.tasks import BUCKET
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

FASTEST = 50 / 60
"""Fastest stroke that people like [1/s]: Faulkner et al. 1991."""

FORCE = Rule(
    "handle force",
    "can a person work the handle?",
    "force of each hand up and down within the comfortable limit, and never above 400 N (90 lbf)",
    "handle force",
    limit_is="at most",
)
RATE = Rule(
    "stroke rate",
    "can people keep the stroke rate?",
    "no more than the 50 strokes a minute that people like",
    "faulkner 1991",
    limit_is="at most",
)
SURVIVAL = Rule(
    "survival by hand",
    "does the hand pump give survival water?",
    "the day's survival water is pumped in less than 8 h, easily in less than 1 h",
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
    "force of each hand at cut-out within the comfortable limit, and never above 400 N (90 lbf)",
    "handle force",
    limit_is="at most",
)


def person_verdicts(site: Site, table: HandPumpTable, result: HandPumpResult) -> list[Verdict]:
    """What is asked of the people at the handle.

    Parameters:
        site: the site
        table: the pump's table
        result: its numbers
    Returns:
        verdicts in the order they are best read
    """
    comfortable = float(site.limits.handle_force)
    spout = result.duty("low") or result.duties[0]
    found = [_force(FORCE, table, result, spout, comfortable)]
    if table.stroke_rate > FASTEST * (1 + 1e-9):
        limit = Quantity(FASTEST, kinds.STROKE_RATE)
        found.append(
            RATE.verdict(
                "caution",
                "hand pump",
                say("the file asks for {rate}", rate=table.stroke_rate),
                quantity=table.stroke_rate,
                limit=limit,
                remedy=say("a stroke_rate of {rate:down} or less", rate=limit),
            )
        )
    found += [_bucket(table, result), _survival(site, result)]
    if table.delivers == "tank":
        duty = result.duty("cut-out")
        found.append(
            INTO_TANK.unknown("hand pump", "pressure_tank.volume", "pressure_switch")
            if duty is None
            else _force(INTO_TANK, table, result, duty, comfortable)
        )
    return found


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
    wanted = max(upward / (force + hung), -downward / (force + hung))
    if downward > 0.0 and hung < force:
        wanted = max(wanted, downward / (force - hung))
    if hung <= force:
        ways.append("a lever of {longer} to 1")
        parts["longer"] = f"{math.ceil(10 * wanted) / 10:.1f}"
    water = upward - result.rod_weight
    left = (force + hung) * lever - result.rod_weight
    if left > 0.0 and duty.handle_force == duty.upward:
        ways.append("a cylinder of {bore:down}")
        parts["bore"] = Quantity(float(table.bore) * math.sqrt(left / water), kinds.BORE)
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
        stroke=Quantity(float(table.stroke) * longer, kinds.BORE),
        power=Quantity(power, kinds.POWER),
    )


def _survival(site: Site, result: HandPumpResult) -> Verdict:
    if site.site.people is None:
        return SURVIVAL.unknown("hand pump", "site.people")
    task = result.task("survival", result.people_pumping)
    assert task is not None
    return survival_verdict(SURVIVAL, "hand pump", task)


def survival_verdict(rule: Rule, subject: str, task: HandTask) -> Verdict:
    """Whether a day's survival water is pumped within a day's work.

    Parameters:
        rule: asked of this pump or lift
        subject: its name
        task: the job, as the people who work it together do it
    Returns:
        the verdict
    """
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
        remedy=None
        if status == "pass"
        else say(
            "{people} {crews} in turns bring it under an hour each",
            people=f"{math.ceil(task.time / EASY_TIME)}",
            crews="people" if task.people == 1 else f"crews of {task.people}",
        ),
    )
