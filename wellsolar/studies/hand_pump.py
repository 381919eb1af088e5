"""What the hand pump can do for this household, and whether a person can work it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.physics import hand_pump
from wellsolar.results import HandDuty, HandPumpResult, HandTask, PressureTankResult, StudyPart
from wellsolar.site.schema import HandPumpTable, Site
from wellsolar.studies.demand import survival_volume
from wellsolar.studies.hand_verdicts import hand_verdicts
from wellsolar.studies.levels import WaterLevel, specific_capacity, water_level
from wellsolar.studies.lift import Line, fittings_assumed, line_for
from wellsolar.studies.suction_lift import PRACTICAL_SUCTION, suction_limit
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

STEEL_DENSITY = 7850.0
"""Density of a steel pump rod [kg/m3], handbook value from memory."""


BUCKET = 0.020
"""The bucket or can of the water-supply standard, 20 L [m3]."""


BELOW_LEVEL = 6.096
"""Depth of the cylinder below the static level where the file gives none, 20 ft [m]: trade
practice, no source."""

FILL_POINTS = 9
"""Points at which the filling of the tank is summed up between cut-in and cut-out."""


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
    limit = suction_limit(site) if table.kind == "suction" else None
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
    verdicts = hand_verdicts(site, table, result, limit)
    cautions = ("closed valve", "lifting", "drinking water", "freezing")
    return result, StudyPart(tuple(verdicts), tuple(assumptions), cautions)


def _handle(site: Site, table: HandPumpTable) -> tuple[_Handle, list[Assumption]]:
    static = float(site.well.static_level)
    assumptions: list[Assumption] = []
    if table.kind == "suction":
        # A suction pipe may end anywhere below: with a known drawdown only the bottom is a floor.
        known = specific_capacity(site) is not None
        level = water_level(site, float(site.well.depth) if known else static)
        return _Handle(table, level, line_for(site, 0.0), 0.0), assumptions
    depth = cylinder_depth(site, table)
    if table.cylinder_depth is None:
        value = Quantity(depth, kinds.LENGTH)
        why = "20 ft below the water at rest"
        assumptions.append(Assumption("hand_pump.cylinder_depth", value, why, "common practice"))
    line = line_for(site, depth, table.rising_main)
    area = math.pi / 4 * table.rod_diameter**2
    weight = float(
        hand_pump.rod_weight_in_water(STEEL_DENSITY * area, depth, STEEL_DENSITY, line.density)
    )
    return _Handle(table, water_level(site, depth), line, weight), assumptions


def cylinder_depth(site: Site, table: HandPumpTable) -> float:
    """Depth of a deep-well cylinder [m].

    Parameters:
        site: the site
        table: the hand pump's table
    Returns:
        that of the file, else a little below the water at rest
    """
    if table.cylinder_depth is not None:
        return float(table.cylinder_depth)
    return min(float(site.well.static_level) + BELOW_LEVEL, float(site.well.depth))


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
