"""What the hand pump can do for this household, and whether a person can work it."""

from __future__ import annotations

from dataclasses import replace

from wellsolar import kinds
from wellsolar.results.hand import HandDuty, HandPlace, HandPumpResult, HandSpell
from wellsolar.results.pumps import PressureTankResult
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import HandPumpTable, Site
from wellsolar.studies.hand.effort import (
    flow_at,
    hand_tasks,
    people_power,
    worker_of,
)
from wellsolar.studies.hand.handle import BELOW_LEVEL, Handle, rod_weight
from wellsolar.studies.hand.verdicts import hand_verdicts
from wellsolar.studies.house.chain import hand_goal
from wellsolar.studies.house.demand import daily_use
from wellsolar.studies.house.wells import at_well, part_there
from wellsolar.studies.pump.suction_lift import PRACTICAL_SUCTION, suction_limit
from wellsolar.studies.well.drawdown import WaterLevel, specific_capacity, water_level
from wellsolar.studies.well.total_head import fittings_assumed, line_by_hand
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

DEPTH_LIMIT = 50.0
"""Depth of water as far as a lever pump is normally used [m]: IS 9301:1982."""

CREWS = (1, 2)
"""People at the handle for whom the jobs are computed."""

DURATIONS = (240.0, 600.0, 1800.0, 3600.0, 7200.0, 14_400.0, 28_800.0)
"""Times for which the sustained work of people is given, 4 min to 8 h as the rule goes [s]."""


def study_hand_pump(
    site: Site, tank: PressureTankResult | None
) -> tuple[HandPumpResult | None, StudyPart]:
    """The hand pump of a site: the hand pump's result, None where the file has none, and what it
    brings."""
    table = site.hand_pump
    if table is None:
        return None, StudyPart()
    site = at_well(site, table)
    handle, assumptions = _handle(site, table)
    pressed = hand_goal(site) == "pressure tank" and tank is not None and tank.drawdown > 0
    into = tank if pressed else None
    if into is not None or hand_goal(site) == "storage tank":
        assumed, line = fittings_assumed(site), table.line
        if table.well is not None:
            fittings_told = line is not None and line.fittings
            path = "hand_pump.line.fittings"
            assumed = (
                ()
                if fittings_told
                else tuple(replace(assumption, path=path) for assumption in assumed)
            )
        assumptions += assumed
    assumptions += daily_use(site)[1]
    limit = suction_limit(site) if table.kind == "suction" else None
    result = _result(site, handle, into, limit)
    verdicts = hand_verdicts(site, table, result, limit)
    return result, part_there(site, StudyPart(tuple(verdicts), tuple(assumptions)))


def _result(
    site: Site, handle: Handle, tank: PressureTankResult | None, limit: float | None
) -> HandPumpResult:
    table, comfortable = handle.table, float(site.limits.handle_force)
    stored = hand_goal(site) == "storage tank"
    duties = _duties(handle, tank, stored)
    flow = handle.full_rate(handle.spout_head(handle.level)).flow
    deep = limit is None
    draws, draws_low = (
        handle.rod_length > level.static_level
        if limit is None
        else level.at(flow) <= PRACTICAL_SUCTION * limit
        for level in (handle.level, handle.low_level)
    )
    places: tuple[HandPlace, ...] = ()
    if draws:
        places = (handle.spout_place(),)
        places += () if tank is None else (handle.tank_place(tank),)
        places += (handle.inlet_place(),) if stored else ()
    rated = DEPTH_LIMIT if table.rated_depth is None else float(table.rated_depth)
    return HandPumpResult(
        kind=table.kind,
        swept_volume=handle.swept_volume,
        pumping_level=handle.level.at(flow),
        level_known=handle.level.known,
        rod_weight=handle.rod_weight,
        suction_limit=None if limit is None else PRACTICAL_SUCTION * limit,
        suction_lift=None if limit is None else handle.low_level.at(flow),
        greatest_head=handle.greatest_head(comfortable),
        duties=duties,
        tasks=hand_tasks(site, places, handle.worker, tank, CREWS) if draws else (),
        draws_water=draws,
        draws_water_low=draws_low,
        low_level=handle.low_level.settled(flow),
        static_level=handle.level.static_level,
        low_static_level=handle.low_level.static_level,
        cylinder_depth=handle.rod_length if deep else None,
        counterweight=float(table.counterweight or 0.0),
        greatest_depth=handle.greatest_depth(comfortable) if deep else None,
        depth_limit=rated if deep else None,
        people_pumping=handle.people,
        worker=handle.worker,
        places=places,
        spells=_spells(handle) if draws else (),
        discharge=handle.discharge(),
    )


def _duties(handle: Handle, tank: PressureTankResult | None, stored: bool) -> tuple[HandDuty, ...]:
    maker = handle.discharge()
    duties = [handle.duty("spout", "to the spout", handle.spout_head(handle.level), maker)]
    if tank is not None:
        for key, pressure in (("cut-in", tank.cut_in), ("cut-out", tank.cut_out)):
            label = f"into the tank at {key}"
            duties.append(handle.duty(key, label, handle.tank_head(pressure), maker))
    if stored:
        duties.append(handle.duty("inlet", "into the storage tank", handle.tank_head(0.0), maker))
    if handle.low_level.static_level > handle.level.static_level:
        head = handle.spout_head(handle.low_level)
        label = "to the spout, low season"
        duties.append(handle.duty("low", label, head, maker, handle.low_level))
    return tuple(duties)


def _spells(handle: Handle) -> tuple[HandSpell, ...]:
    place, worker = handle.spout_place(), handle.worker
    spells = []
    for time in DURATIONS:
        one, two = (flow_at(place, people_power(worker, time, crew)) for crew in CREWS)
        power = people_power(worker, time, 1)
        spells.append(HandSpell(time, power, one, one * time, two, two * time))
    return tuple(spells)


def _handle(site: Site, table: HandPumpTable) -> tuple[Handle, list[Assumption]]:
    assumptions: list[Assumption] = []
    if table.kind == "suction":
        # A suction pipe may end anywhere below: with a known drawdown only the bottom is a floor.
        known = specific_capacity(site) is not None
        floor = float(site.well.depth) if known else float(site.well.static_level)
        depth, weight = 0.0, 0.0
        line = line_by_hand(site, table, 0.0)
    else:
        depth = floor = cylinder_depth(site, table)
        line = line_by_hand(site, table, depth)
        weight = rod_weight(table, depth, line.density)
        if table.cylinder_depth is None:
            value = Quantity(depth, kinds.LENGTH)
            why = "20 ft below the water at rest"
            assumptions.append(
                Assumption("hand_pump.cylinder_depth", value, why, "common practice")
            )
    level = water_level(site, floor)
    worker = worker_of(table.person_age, table.arm_factor, table.person_power)
    low = low_season(site, level)
    handle = Handle(table, level, low, line, depth, weight, worker, table.people_pumping)
    return handle, assumptions


def low_season(site: Site, level: WaterLevel) -> WaterLevel:
    """The same drawdown below the deep end of the static level's range."""
    return replace(level, static_level=float(site.well.static_level.high))


def cylinder_depth(site: Site, table: HandPumpTable) -> float:
    """Depth of a deep-well cylinder [m]: the file's, else a little below the water at rest."""
    if table.cylinder_depth is not None:
        return float(table.cylinder_depth)
    well = at_well(site, table).well
    return min(well.static_level + BELOW_LEVEL, float(well.depth))
