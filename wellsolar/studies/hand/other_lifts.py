"""Rope pumps, windlasses, treadle and pedal pumps: what they lift here, by what is known of them.

A point of flow and head gives the water power. At another head the same people give the same
power, so the flow goes down as the head goes up; it never goes above that of the least head known,
where the machine, and no longer the people, is the limit.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from wellsolar import kinds
from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.physics.hand import pump as hand_pump
from wellsolar.physics.hydraulics import water
from wellsolar.results.hand import DischargePoint, HandPlace, LiftResult
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import LiftTable, Site
from wellsolar.studies.hand.effort import ARMS, hand_tasks, worker_of
from wellsolar.studies.hand.handle import LEAST_HEAD, discharge_point
from wellsolar.studies.hand.head import sealed_verdicts
from wellsolar.studies.hand.study import low_season
from wellsolar.studies.hand.verdicts import discharge_verdicts, survival_verdict
from wellsolar.studies.house.demand import daily_use
from wellsolar.studies.well.drawdown import CAPACITY_KEYS, WaterLevel, water_level
from wellsolar.studies.well.total_head import DEEPER_WATER
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, Place, Rule, Verdict, remedy, say

BY_LEGS = ("treadle pump", "pedal pump")
"""Kinds that are worked with the legs: the whole body's power."""

ANOTHER = "it is another lift, with figures of its own"

SHOWN_HEADS = (5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0)
"""Heads at which the flow is printed beside those of the file [m]."""

REACH = Rule(
    "reach of the lift",
    "does this lift reach the water?",
    "head from the pumping level, in the low season too, no more than it lifts",
    "other lifts",
    limit_is="at most",
    by="owner",
    place=Place(section="lift_#"),
    worst=DEEPER_WATER,
)
AS_STATED = Rule(
    "figures of the lift",
    "are the figures given for this lift plausible?",
    "water power no more than 90 % of the power put in, at any head",
    "discharge table",
    limit_is="at most",
    by="owner",
    place=Place(section="lift_#"),
)
SURVIVAL = Rule(
    "survival by this lift",
    "does this lift give survival water?",
    "the day's survival water is lifted in less than 8 h, easily in less than 1 h",
    "human power",
    limit_is="at most",
    by="owner",
    place=Place(section="lift_#"),
    worst=DEEPER_WATER,
)


def study_lifts(site: Site) -> tuple[tuple[LiftResult, ...], StudyPart]:
    """The lifts of a site beside its pumps."""
    results, part = [], StudyPart()
    for number, table in enumerate(site.lift, 1):
        result, assumed = _lift(site, table, number)
        results.append(result)
        verdicts = (*sealed_verdicts(site, table, number), *_verdicts(site, result, number))
        assumptions = (*assumed, *daily_use(site)[1])
        part = part.and_of(StudyPart(verdicts, assumptions))
    return tuple(results), part


def _lift(site: Site, table: LiftTable, number: int) -> tuple[LiftResult, list[Assumption]]:
    density = water.density(site.well.water_temperature)
    points = _points(table, density)
    level = water_level(site, float(site.well.static_level))
    level = water_level(site, float(site.well.depth)) if level.known else level
    height = float(table.spout_height)
    most = _reach(table)
    flow, head = _at_work(points, level, height, most)
    _, low_head = _at_work(points, low_season(site, level), height, None)
    point = point_at(points, head, density) if flow > 0.0 else None
    assumptions = []
    if table.arm_factor is None and table.person_power is None:
        legs = table.kind in BY_LEGS
        why = "legs and body work it" if legs else "arms and back, as at a handle"
        value = Quantity(1.0 if legs else ARMS, kinds.FRACTION)
        key = f"lift[{number}].arm_factor"
        assumptions.append(Assumption(key, value, why, "human power"))
    factor = table.arm_factor or (1.0 if table.kind in BY_LEGS else ARMS)
    worker = worker_of(table.person_age, factor, table.person_power)
    power = None if point is None else point.power
    places = () if point is None else (_place(point, worker.power, table.people_pumping),)
    tasks = (
        () if point is None else hand_tasks(site, places, worker, None, (table.people_pumping,))
    )
    if power is None:
        tasks = tuple(replace(task, power=None) for task in tasks)
    result = LiftResult(
        name=table.name,
        kind=table.kind,
        head=head,
        low_head=low_head,
        level_known=level.known,
        pumping_level=head - height,
        greatest_head=most,
        flow=flow,
        water_power=0.0 if point is None else point.water_power,
        input_power=power,
        efficiency=None if point is None else point.efficiency,
        points=points,
        by_head=tuple(_by_head(points, most, density)),
        people=table.people_pumping,
        worker=worker,
        places=places,
        tasks=tasks,
    )
    return result, assumptions


def _reach(table: LiftTable) -> float | None:
    """Greatest head of a lift [m], by the file or its table; None where one point is all."""
    if table.greatest_head is not None:
        return float(table.greatest_head)
    return float(table.head[-1]) if len(table.head) > 1 else None


def _points(table: LiftTable, density: float) -> tuple[DischargePoint, ...]:
    sheet_power = table.power
    powers = (
        sheet_power * len(table.head) if sheet_power and len(sheet_power) == 1 else sheet_power
    )
    points = []
    for row, head in enumerate(table.head):
        flow = float(table.flow[row])
        power = None if powers is None else float(powers[row])
        if table.efficiency is not None:
            power = hand_pump.input_power(flow, head, density, table.efficiency)
        points.append(discharge_point(float(head), flow, power, density))
    return tuple(points)


def point_at(points: tuple[DischargePoint, ...], head: float, density: float) -> DischargePoint:
    """Flow and power of a lift at a head within its reach [m]: between two points the water power
    and the input go in a straight line, beyond the last they stay, before the first the flow
    stays."""
    heads = [point.head for point in points]
    water_power = float(np.interp(head, heads, [point.water_power for point in points]))
    flow = min(water_power / (density * STANDARD_GRAVITY * head), points[0].flow)
    power = None
    if all(point.power is not None for point in points):
        power = float(np.interp(head, heads, [point.power or 0.0 for point in points]))
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
    """The spout, for the people's power; without the lift's own, its flow is that of the file."""
    power = point.power
    if power is None:
        # Below any person's power, so that the flow of the file is what there is.
        power = 1.0 if held is None else 0.5 * held * people
    return HandPlace("spout", "the spout", (0.0, power), (0.0, point.flow), None)


def _by_head(
    points: tuple[DischargePoint, ...], most: float | None, density: float
) -> list[DischargePoint]:
    last = 2.0 * points[-1].head if most is None else most
    own = {point.head for point in points}
    heads = sorted(
        own | {shown for shown in SHOWN_HEADS if points[0].head <= shown <= last} | {last}
    )
    return [point_at(points, head, density) for head in heads]


def _verdicts(site: Site, result: LiftResult, number: int) -> list[Verdict]:
    verdicts = [_reaches(result, number)]
    verdicts += discharge_verdicts(
        AS_STATED, result.name, f"lift[{number}].efficiency", result.points
    )
    if result.flow <= 0.0:
        return verdicts
    if site.site.people is None:
        verdicts.append(SURVIVAL.unknown(result.name, "site.people"))
        return verdicts
    task = result.task("survival")
    assert task is not None
    verdicts.append(survival_verdict(SURVIVAL, result.name, task))
    return verdicts


def _reaches(result: LiftResult, number: int) -> Verdict:
    if result.greatest_head is None:
        return REACH.unknown(result.name, f"lift[{number}].greatest_head")
    if not result.level_known and result.low_head <= result.greatest_head:
        return REACH.unknown(
            result.name,
            *CAPACITY_KEYS,
            why="the water at rest is within reach, the drawdown unknown",
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
        remedy=remedy("a lift that goes up to {head:up} (greatest_head)", ANOTHER, head=head),
    )
