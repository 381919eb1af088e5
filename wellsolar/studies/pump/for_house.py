"""Whether a powered pump suits the house that it serves: its pipes, its day, its taps."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.results import Duty, PumpResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.house.demand import DAILY_KEYS
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, Verdict, say

VELOCITY = Rule(
    "pipe velocity",
    "is the pipe wide enough?",
    "velocity within the limit in drop pipe and lateral",
    "tdh worksheet",
    limit_is="at most",
)
DAILY = Rule(
    "day's water",
    "does the pump give the day's water?",
    "run time for the day's use less than a day, and the day's use within the well's yield",
    "common practice",
    limit_is="at most",
)
PEAK = Rule(
    "peak flow",
    "does the pump meet the peak alone?",
    "flow at cut-in at least the peak flow; a slower pump needs storage",
    "common practice",
    limit_is="at least",
)


def velocity_verdict(site: Site, table: PumpTable, result: PumpResult) -> Verdict:
    """Whether drop pipe and lateral are wide enough.

    Parameters:
        site: the site
        table: the pump's table
        result: its numbers
    Returns:
        a verdict
    """
    limit = site.limits.velocity
    speed = Quantity(max(duty.pipe_velocity for duty in result.duties), kinds.SPEED)
    slow = speed <= limit
    return VELOCITY.verdict(
        "pass" if slow else "caution",
        table.name,
        say("the water runs at up to {speed}", speed=speed),
        quantity=speed,
        limit=limit,
        remedy=None
        if slow
        else say(
            "a wider drop pipe or lateral: {times} times the bore",
            times=f"{math.ceil(100 * (speed / limit) ** 0.5) / 100:.2f}",
        ),
    )


def daily_verdict(site: Site, table: PumpTable, result: PumpResult) -> Verdict:
    """Whether the pump, and the well, give the day's water.

    Parameters:
        site: the site
        table: the pump's table
        result: its numbers
    Returns:
        a verdict
    """
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
                "the well yields {yield_} a day, {volume} are wanted",
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
        say("{volume} a day take {hours} of running", volume=volume, hours=hours),
        quantity=hours,
        limit=day,
        remedy=None
        if enough
        else say(
            "a pump of {flow:up} or more", flow=Quantity(result.daily_volume / DAY, kinds.FLOW)
        ),
    )


def peak_verdicts(site: Site, table: PumpTable, duty: Duty) -> list[Verdict]:
    """Whether the pump follows the taps without storage.

    Parameters:
        site: the site
        table: the pump's table
        duty: the pump at its greatest flow
    Returns:
        a verdict; none where the file names no peak
    """
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
            remedy=None
            if meets
            else say(
                "draw less at once, or keep {volume:up} in tanks for ten minutes of the peak",
                volume=Quantity((peak - duty.flow) * 600.0, kinds.VOLUME),
            ),
        )
    ]
