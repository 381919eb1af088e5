"""What the hand pump can do for this household, and whether a person can work it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.physics import hand_pump
from wellsolar.results import HandDuty, HandPumpResult, HandTask, PressureTankResult, StudyPart
from wellsolar.site.schema import HandPumpTable, Site
from wellsolar.studies.demand import survival_volume
from wellsolar.studies.levels import CAPACITY_KEYS, WaterLevel, water_level
from wellsolar.studies.lift import Line, fittings_assumed, line_for
from wellsolar.studies.pump_verdicts import PRACTICAL_SUCTION
from wellsolar.studies.pumps import suction_limit
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, Rule, Sentence, Verdict, say

STEEL_DENSITY = 7850.0
"""Density of a steel pump rod [kg/m3], handbook value from memory."""

GREATEST_FORCE = 400.0
"""Greatest handle force for a short spell [N]: hand-pump project practice, from memory."""

BUCKET = 0.020
"""The bucket or can of the water-supply standard, 20 L [m3]."""

BUCKET_TIME = 180.0
"""Longest time to fill it [s]: Sphere handbook."""

SHIFT = 8 * 3600.0
"""Longest a person can work at a handle in a day [s]: the end of the published power curve."""

EASY_TIME = 3600.0
"""A day's survival water within this is no burden [s]: common practice, no source."""

BELOW_LEVEL = 6.096
"""Depth of the cylinder below the static level where the file gives none, 20 ft [m]: trade
practice, no source."""

FILL_POINTS = 9
"""Points at which the filling of the tank is summed up between cut-in and cut-out."""

SUCTION = Rule(
    "hand suction lift",
    "can the hand pump draw the water up?",
    "pumping level within the practical suction lift at this altitude",
    "suction lift",
)
CYLINDER = Rule(
    "cylinder under water",
    "does the cylinder stay under water?",
    "cylinder below the pumping level",
    "common practice",
)
FORCE = Rule(
    "handle force",
    "can a person work the handle?",
    "handle force on the upstroke within the comfortable limit, and never above 400 N (90 lbf)",
    "handle force",
)
SURVIVAL = Rule(
    "survival by hand",
    "does the hand pump give survival water?",
    "one person pumps the day's survival water in less than 8 h, easily in less than 1 h",
    "human power",
)
BUCKET_RULE = Rule(
    "bucket time",
    "does a bucket fill fast enough?",
    "20 L in no more than 3 min",
    "sphere",
)
INTO_TANK = Rule(
    "hand into the tank",
    "can the hand pump fill the pressure tank?",
    "handle force at cut-out never above 400 N (90 lbf)",
    "handle force",
)


@dataclass(frozen=True)
class _Handle:
    """A hand pump on its well, with what its formulas share."""

    table: HandPumpTable
    level: WaterLevel
    line: Line
    rod_weight: float

    @property
    def full_flow(self) -> float:
        table = self.table
        return float(
            hand_pump.flow(
                float(table.bore),
                float(table.stroke),
                float(table.stroke_rate),
                float(table.volumetric_efficiency),
            )
        )

    @property
    def pumping_level(self) -> float:
        return self.level.at(self.full_flow)

    def duty(self, label: str, head: float) -> HandDuty:
        """The pump at work against a total head [m]."""
        table, density = self.table, self.line.density
        pull = float(hand_pump.rod_pull(float(table.bore), head, density, self.rod_weight))
        overall = table.mechanical_efficiency * table.volumetric_efficiency
        power = float(hand_pump.input_power(self.full_flow, head, density, overall))
        limited = float(
            hand_pump.power_limited_flow(float(table.person_power), head, density, overall)
        )
        sustained = min(self.full_flow, limited)
        return HandDuty(
            label=label,
            head=head,
            rod_pull=pull,
            handle_force=float(
                hand_pump.handle_force(
                    pull, float(table.lever_ratio), float(table.mechanical_efficiency)
                )
            ),
            power=power,
            full_flow=self.full_flow,
            sustained_flow=sustained,
            stroke_rate=table.stroke_rate * sustained / self.full_flow,
        )

    def to_spout(self) -> HandDuty:
        """At work to the open spout."""
        return self.duty("to the spout", self.pumping_level + float(self.table.spout_height))

    def to_tank(self, label: str, pressure: float) -> HandDuty:
        """At work against a gauge pressure at the tank [Pa]."""
        return self.duty(label, self.line.total(self.level, self.full_flow, pressure))

    def task(self, label: str, volume: float, duty: HandDuty) -> HandTask:
        """A volume of water [m3] at one duty."""
        return HandTask(label, volume, volume / duty.sustained_flow, self.strokes(volume))

    def strokes(self, volume: float) -> float:
        """Full strokes for a volume [m3]."""
        table = self.table
        swept = float(hand_pump.swept_volume(float(table.bore), float(table.stroke)))
        return volume / (swept * table.volumetric_efficiency)


def study_hand_pump(
    site: Site, tank: PressureTankResult | None
) -> tuple[HandPumpResult | None, StudyPart]:
    """The hand pump of a site.

    Parameters:
        site: the site
        tank: result of the pressure tank, or None
    Returns:
        the hand pump's result, None where the file has none, and what it brings
    """
    table = site.hand_pump
    if table is None:
        return None, StudyPart()
    handle, assumptions = _handle(site, table)
    spout = handle.to_spout()
    duties = [spout]
    if tank is not None:
        duties.append(handle.to_tank("into the tank at cut-in", tank.cut_in))
        duties.append(handle.to_tank("into the tank at cut-out", tank.cut_out))
        assumptions += fittings_assumed(site)
    limit = suction_limit(site, 0.0) if table.kind == "suction" else None
    result = HandPumpResult(
        kind=table.kind,
        swept_volume=float(hand_pump.swept_volume(float(table.bore), float(table.stroke))),
        pumping_level=handle.pumping_level,
        level_known=handle.level.known,
        rod_weight=handle.rod_weight,
        suction_limit=None if limit is None else PRACTICAL_SUCTION * limit,
        suction_lift=None if limit is None else handle.pumping_level,
        greatest_head=float(
            hand_pump.greatest_head_by_force(
                float(site.limits.handle_force),
                float(table.lever_ratio),
                float(table.mechanical_efficiency),
                float(table.bore),
                handle.line.density,
                handle.rod_weight,
            )
        ),
        duties=tuple(duties),
        tasks=_tasks(site, handle, spout, tank),
    )
    verdicts = _verdicts(site, handle, result, limit)
    cautions = ("closed valve", "lifting", "drinking water", "freezing")
    return result, StudyPart(tuple(verdicts), tuple(assumptions), cautions)


def _handle(site: Site, table: HandPumpTable) -> tuple[_Handle, list[Assumption]]:
    static = float(site.well.static_level)
    assumptions: list[Assumption] = []
    if table.kind == "suction":
        level = water_level(site, static)
        return _Handle(table, level, line_for(site, 0.0), 0.0), assumptions
    depth = float(table.cylinder_depth or min(static + BELOW_LEVEL, float(site.well.depth)))
    if table.cylinder_depth is None:
        value = Quantity(depth, kinds.LENGTH)
        why = "20 ft below the water at rest"
        assumptions.append(Assumption("hand_pump.cylinder_depth", value, why, "common practice"))
    line = line_for(site, depth)
    area = math.pi / 4 * table.rod_diameter**2
    weight = float(
        hand_pump.rod_weight_in_water(STEEL_DENSITY * area, depth, STEEL_DENSITY, line.density)
    )
    return _Handle(table, water_level(site, depth), line, weight), assumptions


def _tasks(
    site: Site, handle: _Handle, spout: HandDuty, tank: PressureTankResult | None
) -> tuple[HandTask, ...]:
    tasks = [handle.task("a 20 L (5.3 gal) bucket at the spout", BUCKET, spout)]
    survival = survival_volume(site)
    if survival is not None:
        people = f"{site.site.people} people" if site.site.people != 1 else "1 person"
        tasks.append(handle.task(f"a day's survival water for {people}", survival, spout))
    if tank is not None and tank.drawdown > 0:
        tasks.append(_fill(handle, tank))
    return tuple(tasks)


def _fill(handle: _Handle, tank: PressureTankResult) -> HandTask:
    """The tank from cut-in to cut-out, summed over the rising pressure by Simpson's rule."""
    from scipy.integrate import simpson

    from wellsolar.physics import pressure_tank

    first = tank.stored_at_cut_out - tank.drawdown
    volumes = [first + tank.drawdown * i / (FILL_POINTS - 1) for i in range(FILL_POINTS)]
    seconds_per_volume = []
    for volume in volumes:
        pressure = float(
            pressure_tank.pressure_at(
                tank.volume, tank.precharge, volume, tank.atmospheric_pressure
            )
        )
        seconds_per_volume.append(1.0 / handle.to_tank("filling", pressure).sustained_flow)
    time = float(simpson(seconds_per_volume, x=volumes))
    label = "the pressure tank from cut-in to cut-out"
    return HandTask(label, tank.drawdown, time, handle.strokes(tank.drawdown))


def _verdicts(
    site: Site, handle: _Handle, result: HandPumpResult, limit: float | None
) -> list[Verdict]:
    table = handle.table
    if table.kind == "suction":
        found = [_suction(site, result, limit or 0.0)]
        if found[0].status == "fail":
            return found
    else:
        found = [_cylinder(site, table, result)]
    spout = result.duties[0]
    found += [_force(site, table, result, spout), _bucket(result)]
    found.append(_survival(site, handle, result))
    if table.delivers == "tank":
        found.append(_into_tank(site, table, result))
    return found


def _suction(site: Site, result: HandPumpResult, theoretical: float) -> Verdict:
    practical = Quantity(PRACTICAL_SUCTION * theoretical, kinds.LENGTH)
    lift = Quantity(result.pumping_level, kinds.LENGTH)
    subject = "hand pump"
    if lift > practical:
        return SUCTION.verdict(
            "fail", subject,
            say("the water stands {lift} down; at {altitude} suction lifts {theory} in theory and "
                "{practical} in practice, whatever the handle", lift=lift,
                altitude=site.site.altitude, theory=Quantity(theoretical, kinds.LENGTH),
                practical=practical),
            quantity=lift, limit=practical,
            remedy=say('a deep-well pump (kind = "deep well") with its cylinder below {level}',
                       level=lift),
        )  # fmt: skip
    if not result.level_known:
        return SUCTION.unknown(
            subject, *CAPACITY_KEYS, why="the water at rest is within reach, the drawdown unknown"
        )
    return SUCTION.verdict(
        "pass", subject,
        say("the water stands {lift} down, suction lifts {practical} in practice here",
            lift=lift, practical=practical),
        quantity=lift, limit=practical,
    )  # fmt: skip


def _cylinder(site: Site, table: HandPumpTable, result: HandPumpResult) -> Verdict:
    subject = "hand pump"
    if table.cylinder_depth is None:
        return CYLINDER.unknown(subject, "hand_pump.cylinder_depth")
    depth = table.cylinder_depth
    level = Quantity(result.pumping_level, kinds.LENGTH)
    if depth <= site.well.static_level:
        return CYLINDER.verdict(
            "fail", subject,
            say("the cylinder at {depth} hangs above the water at rest, {level}", depth=depth,
                level=site.well.static_level),
            quantity=depth, limit=level,
            remedy=say("hang it below {level}, by trade practice 20 ft (6 m) lower", level=level),
        )  # fmt: skip
    if not result.level_known:
        return CYLINDER.unknown(subject, *CAPACITY_KEYS)
    under = depth > level
    return CYLINDER.verdict(
        "pass" if under else "fail", subject,
        say("the cylinder hangs at {depth}, the water settles at {level}", depth=depth,
            level=level),
        quantity=depth, limit=level,
        remedy=None if under else say("hang it below {level}", level=level),
    )  # fmt: skip


def _force(site: Site, table: HandPumpTable, result: HandPumpResult, duty: HandDuty) -> Verdict:
    force = Quantity(duty.handle_force, kinds.FORCE)
    comfortable = site.limits.handle_force
    status = "pass" if force <= comfortable else "caution" if force <= GREATEST_FORCE else "fail"
    limit = Quantity(GREATEST_FORCE, kinds.FORCE) if status == "fail" else comfortable
    return FORCE.verdict(
        status, "hand pump",
        say("the rod pulls {pull}, the hand {force} at a lever of {lever} to 1",
            pull=Quantity(duty.rod_pull, kinds.FORCE), force=force,
            lever=f"{float(table.lever_ratio):g}"),
        quantity=force, limit=limit,
        remedy=None if status == "pass" else _lighter(table, result, duty, float(comfortable)),
    )  # fmt: skip


def _lighter(
    table: HandPumpTable, result: HandPumpResult, duty: HandDuty, force: float
) -> Sentence:
    """A longer lever, or a narrower cylinder, that brings the force down to comfort."""
    lever = table.lever_ratio * duty.handle_force / force
    left = force * table.lever_ratio * table.mechanical_efficiency - result.rod_weight
    if left <= 0:
        return say("a lever of {lever} to 1, or a lighter rod: the rod alone takes the force",
                   lever=f"{lever:.1f}")  # fmt: skip
    column = duty.rod_pull - result.rod_weight
    bore = table.bore * math.sqrt(left / column)
    return say(
        "a lever of {lever} to 1, or a cylinder of {bore}",
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
        "pass" if fast else "caution", "hand pump",
        say("{flow} at {rate}: {time} for 20 L (5.3 gal)",
            flow=Quantity(duty.sustained_flow, kinds.FLOW),
            rate=Quantity(duty.stroke_rate, kinds.STROKE_RATE), time=time),
        quantity=time, limit=limit,
        remedy=None if fast else say(
            "two people in turns, or {power} at the handle",
            power=Quantity(duty.power * BUCKET / BUCKET_TIME / duty.full_flow, kinds.POWER)),
    )  # fmt: skip


def _survival(site: Site, handle: _Handle, result: HandPumpResult) -> Verdict:
    if site.site.people is None:
        return SURVIVAL.unknown("hand pump", "site.people")
    task = result.tasks[1]
    time = Quantity(task.time, kinds.DURATION)
    status = "pass" if task.time <= EASY_TIME else "caution" if task.time <= SHIFT else "fail"
    limit = Quantity(EASY_TIME if status == "pass" else SHIFT, kinds.DURATION)
    return SURVIVAL.verdict(
        status, "hand pump",
        say("{volume} take one person {time} at {power}, {strokes} strokes",
            volume=Quantity(task.volume, kinds.VOLUME), time=time,
            power=Quantity(
                min(float(handle.table.person_power), result.duties[0].power), kinds.POWER),
            strokes=f"{task.strokes:.0f}"),
        quantity=time, limit=limit,
        remedy=None if status == "pass" else say(
            "{people} people in turns bring it under an hour each",
            people=f"{math.ceil(task.time / EASY_TIME)}"),
    )  # fmt: skip


def _into_tank(site: Site, table: HandPumpTable, result: HandPumpResult) -> Verdict:
    if len(result.duties) < 3:
        return INTO_TANK.unknown("hand pump", "pressure_tank.volume", "pressure_switch")
    duty = result.duties[2]
    force = Quantity(duty.handle_force, kinds.FORCE)
    comfortable = float(site.limits.handle_force)
    status = "pass" if force <= comfortable else "caution" if force <= GREATEST_FORCE else "fail"
    return INTO_TANK.verdict(
        status, "hand pump",
        say("at cut-out the hand pulls {force} and gives {flow}", force=force,
            flow=Quantity(duty.sustained_flow, kinds.FLOW)),
        quantity=force, limit=Quantity(GREATEST_FORCE, kinds.FORCE),
        remedy=None if status == "pass" else _lighter(table, result, duty, comfortable),
    )  # fmt: skip
