"""Rope pumps, windlasses, treadle and pedal pumps: what they lift here, by what is known of them.

A point of flow and head tells the water power. At another head the same people give the same
power, so the flow goes down as the head goes up; it never goes above that of the least head told,
where the machine, and no longer the people, is the limit.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from wellsolar import kinds
from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.physics.hand import pump as hand_pump
from wellsolar.physics.hydraulics import water
from wellsolar.results import DischargePoint, HandPlace, LiftResult, StudyPart
from wellsolar.site.schema import LiftTable, Site
from wellsolar.studies.hand.effort import ARMS, hand_tasks, worker_of
from wellsolar.studies.hand.handle import LEAST_HEAD, discharge_point
from wellsolar.studies.hand.study import low_season
from wellsolar.studies.hand.verdicts import discharge_verdicts, survival_verdict
from wellsolar.studies.house.demand import daily_use
from wellsolar.studies.well.drawdown import CAPACITY_KEYS, WaterLevel, water_level
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, Place, Rule, Verdict, say

BY_LEGS = ("treadle pump", "pedal pump")
"""Kinds that are worked with the legs: the whole body's power."""

SHOWN_HEADS = (5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0)
"""Heads at which the flow is printed beside those of the file [m]."""

REACH = Rule(
    "reach of the lift",
    "does this lift reach the water?",
    "head from the pumping level, in the low season too, no more than it lifts",
    "other lifts",
    limit_is="at most",
    place=Place(section="lift_#"),
)
TOLD = Rule(
    "what is told of the lift",
    "can what is told of this lift be right?",
    "water power no more than 90 % of the power put in, at any head",
    "discharge table",
    limit_is="at most",
    place=Place(section="lift_#"),
)
SURVIVAL = Rule(
    "survival by this lift",
    "does this lift give survival water?",
    "the day's survival water is lifted in less than 8 h, easily in less than 1 h",
    "human power",
    limit_is="at most",
    place=Place(section="lift_#"),
)


def study_lifts(site: Site) -> tuple[tuple[LiftResult, ...], StudyPart]:
    """The lifts of a site beside its pumps.

    Parameters:
        site: the site
    Returns:
        a result for each, and what they bring
    """
    results, part = [], StudyPart()
    for number, table in enumerate(site.lift, 1):
        result, assumed = _lift(site, table, number)
        results.append(result)
        verdicts = tuple(_verdicts(site, result, number))
        assumptions = (*assumed, *daily_use(site)[1])
        part = part.and_of(StudyPart(verdicts, assumptions, ("drinking water",)))
    return tuple(results), part


def _lift(site: Site, table: LiftTable, number: int) -> tuple[LiftResult, list[Assumption]]:
    density = float(water.density(float(site.well.water_temperature)))
    points = _points(table, density)
    level = water_level(site, float(site.well.static_level))
    level = water_level(site, float(site.well.depth)) if level.known else level
    height = float(table.spout_height)
    most = _reach(table)
    flow, head = _at_work(points, level, height, most)
    _, low_head = _at_work(points, low_season(site, level), height, None)
    made = point_at(points, head, density) if flow > 0.0 else None
    assumptions = []
    if table.arm_factor is None and table.person_power is None:
        legs = table.kind in BY_LEGS
        why = "legs and body work it" if legs else "arms and back, as at a handle"
        value = Quantity(1.0 if legs else ARMS, kinds.FRACTION)
        key = f"lift[{number}].arm_factor"
        assumptions.append(Assumption(key, value, why, "human power"))
    factor = table.arm_factor or (1.0 if table.kind in BY_LEGS else ARMS)
    worker = worker_of(table.person_age, factor, table.person_power)
    power = None if made is None else made.power
    places = () if made is None else (_place(made, worker.power, table.people_pumping),)
    tasks = () if made is None else hand_tasks(site, places, worker, None, (table.people_pumping,))
    if power is None:
        tasks = tuple(replace(each, power=None) for each in tasks)
    result = LiftResult(
        name=table.name,
        kind=table.kind,
        head=head,
        low_head=low_head,
        level_known=level.known,
        pumping_level=head - height,
        greatest_head=most,
        flow=flow,
        water_power=0.0 if made is None else made.water_power,
        input_power=power,
        efficiency=None if made is None else made.efficiency,
        points=points,
        by_head=tuple(_by_head(points, most, density)),
        people=table.people_pumping,
        worker=worker,
        places=places,
        tasks=tasks,
    )
    return result, assumptions


def _reach(table: LiftTable) -> float | None:
    """As far as a lift goes [m]: told, or the end of its table; None where one point is all."""
    if table.greatest_head is not None:
        return float(table.greatest_head)
    return float(table.head[-1]) if len(table.head) > 1 else None


def _points(table: LiftTable, density: float) -> tuple[DischargePoint, ...]:
    given = table.power
    powers = given * len(table.head) if given and len(given) == 1 else given
    points = []
    for row, head in enumerate(table.head):
        flow = float(table.flow[row])
        power = None if powers is None else float(powers[row])
        if table.efficiency is not None:
            power = float(
                hand_pump.input_power(flow, float(head), density, float(table.efficiency))
            )
        points.append(discharge_point(float(head), flow, power, density))
    return tuple(points)


def point_at(points: tuple[DischargePoint, ...], head: float, density: float) -> DischargePoint:
    """Flow and power of a lift at a head, within its reach.

    Between two points the water power and the input go in a straight line; beyond the last one
    they stay; before the first one the flow stays.

    Parameters:
        points: of the lift, by rising head
        head: total head [m]
        density: of the water [kg/m3]
    Returns:
        the point
    """
    heads = [each.head for each in points]
    told = float(np.interp(head, heads, [each.water_power for each in points]))
    flow = min(told / (density * STANDARD_GRAVITY * head), points[0].flow)
    power = None
    if all(each.power is not None for each in points):
        power = float(np.interp(head, heads, [each.power or 0.0 for each in points]))
        if head < heads[0]:
            power *= head / heads[0]
    return discharge_point(head, flow, power, density)


def _at_work(
    points: tuple[DischargePoint, ...], level: WaterLevel, height: float, most: float | None
) -> tuple[float, float]:
    """Flow [m3/s] and head [m] where the well's drawdown and the lift agree."""
    density = points[0].water_power / (points[0].flow * points[0].head * STANDARD_GRAVITY)

    def head_at(flow: float) -> float:
        return max(level.at(flow) + height, LEAST_HEAD)

    low, high = 0.0, points[0].flow
    for _ in range(60):
        flow = (low + high) / 2
        if point_at(points, head_at(flow), density).flow > flow:
            low = flow
        else:
            high = flow
    head = head_at(high)
    reaches = most is None or head <= most
    return (high if reaches else 0.0), head


def _place(point: DischargePoint, held: float | None, people: int) -> HandPlace:
    """The spout, for the people's power; without the lift's own, its flow is taken as told."""
    power = point.power
    if power is None:
        # Below any person's power, so that the flow told is what there is.
        power = 1.0 if held is None else 0.5 * held * people
    return HandPlace("spout", "the spout", (0.0, power), (0.0, point.flow), None)


def _by_head(
    points: tuple[DischargePoint, ...], most: float | None, density: float
) -> list[DischargePoint]:
    last = 2.0 * points[-1].head if most is None else most
    own = {each.head for each in points}
    heads = sorted(own | {each for each in SHOWN_HEADS if points[0].head <= each <= last} | {last})
    return [point_at(points, head, density) for head in heads]


def _verdicts(site: Site, result: LiftResult, number: int) -> list[Verdict]:
    found = [_reaches(result, number)]
    found += discharge_verdicts(TOLD, result.name, f"lift[{number}].efficiency", result.points)
    if result.flow <= 0.0:
        return found
    if site.site.people is None:
        found.append(SURVIVAL.unknown(result.name, "site.people"))
        return found
    task = result.task("survival")
    assert task is not None
    found.append(survival_verdict(SURVIVAL, result.name, task))
    return found


def _reaches(result: LiftResult, number: int) -> Verdict:
    if result.greatest_head is None:
        return REACH.unknown(result.name, f"lift[{number}].greatest_head")
    if not result.level_known and result.low_head <= result.greatest_head:
        return REACH.unknown(
            result.name, *CAPACITY_KEYS, why="the water at rest is within reach, the drawdown not"
        )
    head = Quantity(max(result.head, result.low_head), kinds.HEAD)
    limit = Quantity(result.greatest_head, kinds.HEAD)
    within = head <= limit
    season = " in the low season" if result.low_head > result.head else ""
    return REACH.verdict(
        "pass" if within else "fail",
        result.name,
        say(
            "{head} from the pumping level to its spout{season}, it lifts {limit}",
            head=head,
            season=season,
            limit=limit,
        ),
        quantity=head,
        limit=limit,
        remedy=None
        if within
        else say("a lift that goes up to {head:up} (greatest_head)", head=head),
    )
