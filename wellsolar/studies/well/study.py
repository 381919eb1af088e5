"""The well under its pumps through hours, a day and a season: when it runs dry, what it gives."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import demand, pump
from wellsolar.physics.types import FloatArray
from wellsolar.physics.well import (
    level_in_time as well_level,
)
from wellsolar.physics.well import (
    pumped as pumped_well,
)
from wellsolar.physics.well import (
    step_drawdown as step_test,
)
from wellsolar.physics.well.level_in_time import PumpedDay, WellModel
from wellsolar.results.pumps import PumpResult
from wellsolar.results.well import (
    Bridge,
    CasingResult,
    OtherWellResult,
    PumpInWell,
    PumpsTogether,
    WellResult,
)
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.house.chain import has_ejector
from wellsolar.studies.house.demand import daily_use, peak_flow
from wellsolar.studies.house.wells import is_here, name_of, part_there, views
from wellsolar.studies.well import pumping_tests
from wellsolar.studies.well import verdicts as well_verdicts
from wellsolar.studies.well.drawdown import (
    Behaviour,
    Drawdown,
    WaterLevel,
    behaviour_of,
    casing_water,
    hanging_area,
    hangs,
)
from wellsolar.studies.well.forecast import forecast_verdicts
from wellsolar.studies.well.peak import peak_assumed, peak_verdicts
from wellsolar.studies.well.sanitary import sanitary_verdicts
from wellsolar.studies.well.total_head import head_curve, line_of
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

SOON, NEAREST = 0.1, 1e-3
"""How far back to its level at rest the water comes before a pump starts again that does so soon,
and at the least: our choice."""

LITTLE_WATER = 1e-4
"""Area of water [m2] that stands in where the bore is unknown: what holds without a casing's
water holds with it."""

LEVELS = 17
"""Depths at which a pump's flow is found, from the water at rest down to the intake."""

SEASON = 90 * DAY
"""A dry season [s]: common practice, no source."""

COURSE = (60.0, 300.0, 900.0, 1800.0, 3600.0, 7200.0, 14_400.0, 28_800.0, DAY)
"""Times of the level's course [s]."""

PEAKS = (("seven minutes of the peak", 420.0), ("an hour of the peak", 3600.0))
"""Peaks that storage bridges: the seven-minute peak of the trade's tables, and an hour of it."""

DAYS_DELIVERY = 7200.0
"""Time in which a whole day's water should be deliverable [s], as rural extension services ask."""

HALFWAY = 0.5
"""How far back to its level at rest the water comes before a pump starts again, where the file
gives no restart_level: common practice, no source."""


@dataclass(frozen=True)
class _Course:
    """A pump's flow over the depth of the water, at the duty where it gives most, and the mean of
    its duties, as over fills of the tank."""

    levels: FloatArray
    most: FloatArray
    mean: FloatArray


FitOf = Callable[[Site, tuple[PumpResult, ...]], tuple[CasingResult | None, StudyPart]]


def study_well(
    site: Site, pumps: tuple[PumpResult, ...], others: tuple[OtherWellResult, ...] = ()
) -> tuple[WellResult | None, StudyPart]:
    """The well of a site in time, and whether it meets the peak, with its other wells: the well's
    result, None where the file does not tell how its water goes down, and what it brings."""
    result, part = _one_well(views(site)[0], pumps)
    peaks = peak_verdicts(site, in_wells(result, others), pumps)
    assumed = peak_assumed(site, peaks)
    return result, part.and_of(StudyPart(tuple(peaks), assumed))


def study_other_wells(
    site: Site, pumps: tuple[PumpResult, ...], fit_of: FitOf
) -> tuple[tuple[OtherWellResult, ...], StudyPart]:
    """Each other well of a site: its casing, its water in time, and what stands round it.

    Parameters:
        fit_of: studies the casing of the well that a site is seen from
    Returns:
        a result for each in the order of the file, and what they bring, under their own keys
    """
    others, said = [], StudyPart()
    for view in views(site)[1:]:
        name = name_of(view.well)
        assert name is not None
        casing, fit = fit_of(view, pumps)
        well, part = _one_well(view, pumps)
        others.append(OtherWellResult(name, well, casing))
        said = said.and_of(part_there(view, fit.and_of(part)))
    return tuple(others), said


def in_wells(well: WellResult | None, others: Sequence[OtherWellResult]) -> dict[str, PumpInWell]:
    """Every pump that draws from a well whose drawdown is known: by its name, in its own well."""
    known = [well for well in (well, *(other.well for other in others)) if well is not None]
    return {pump.name: pump for well in known for pump in well.pumps}


def _one_well(site: Site, pumps: tuple[PumpResult, ...]) -> tuple[WellResult | None, StudyPart]:
    """The well that a site is seen from."""
    behaviour = behaviour_of(site)
    verdicts = pumping_tests.fit_verdicts(behaviour.tests)
    verdicts += forecast_verdicts(site, behaviour)
    verdicts += sanitary_verdicts(site)
    if behaviour.drawdown is None:
        if behaviour.tests or site.well.transmissivity is not None:
            verdicts += well_verdicts.no_model(site, pumps)
        return None, StudyPart(tuple(verdicts))
    result = _result(site, pumps, behaviour, behaviour.drawdown)
    here = tuple(pump for _, pump in _from_the_well(site, pumps))
    verdicts += well_verdicts.well_verdicts(site, result, here)
    assumptions = (*behaviour.assumptions, *_restarts(site, result))
    return result, StudyPart(tuple(verdicts), assumptions)


def levels_through(
    site: Site, pumps: tuple[PumpResult, ...], times: Sequence[float]
) -> dict[str, tuple[float, ...]]:
    """The level of each well at times since a pump started in it, no deeper than its intake.

    Parameters:
        times: rising, above 0 [s]
    Returns:
        levels [m] by the pump's name; empty where drawdown or the casing's water is unknown
    """
    through = {}
    for view in views(site):
        drawdown = behaviour_of(view).drawdown
        for table, result in _from_the_well(view, pumps):
            if drawdown is None or result.intake_depth <= view.well.static_level:
                continue
            casing, course = _casing(view, drawdown, table), _course(view, table, result)
            if course.most[0] > 0.0 and casing.known:
                levels = pumped_well.levels_while_pumped(
                    casing.model, course.levels, course.most, np.array(times), result.intake_depth
                )
                through[result.name] = tuple(levels.tolist())
    return through


def _from_the_well(
    site: Site, pumps: tuple[PumpResult, ...]
) -> list[tuple[PumpTable, PumpResult]]:
    """The pumps that draw from the well that a site is seen from."""
    both = zip(site.pump, pumps, strict=True)
    return [(table, result) for table, result in both if is_here(site, table)]


def _restarts(site: Site, result: WellResult) -> list[Assumption]:
    """The levels at which pumps that the well stops were taken to start again."""
    assumptions = []
    for number, table in enumerate(site.pump, 1):
        pump = next((pump for pump in result.pumps if pump.name == table.name), None)
        if pump is None or not pump.starts or pump.restart_told:
            continue
        value = Quantity(pump.restart_level, kinds.LENGTH)
        why = "a pump stopped by the level starts again halfway back to the water at rest"
        assumptions.append(
            Assumption(f"pump[{number}].restart_level", value, why, "common practice")
        )
    return assumptions


def _result(
    site: Site, pumps: tuple[PumpResult, ...], behaviour: Behaviour, drawdown: Drawdown
) -> WellResult:
    static = float(site.well.static_level)
    at_work = [
        (table, pump, _course(site, table, pump))
        for table, pump in _from_the_well(site, pumps)
        if pump.intake_depth > static
    ]
    at_work = [working for working in at_work if working[2].most[0] > 0.0]
    hung = [working for working in at_work if hangs(working[0])]
    aquifer = drawdown.aquifer
    steps = next((test for test in behaviour.tests if test.kind == "step test"), None)
    judged = steps is not None and steps.usable
    return WellResult(
        how=drawdown.how,
        static_level=static,
        specific_capacity=drawdown.specific_capacity,
        well_loss=drawdown.well_loss,
        well_loss_class=step_test.walton_class(drawdown.well_loss) if judged else "",
        transmissivity=None if aquifer is None else aquifer.transmissivity,
        storage=None if aquifer is None else aquifer.storage,
        water_area=casing_water(site),
        hanging_area=hanging_area(site),
        tested_yield=None if site.well.tested_yield is None else float(site.well.tested_yield),
        tests=behaviour.tests,
        times=COURSE,
        pumps=tuple(
            _pump_in_well(site, table, pump, course, _casing(site, drawdown, table))
            for table, pump, course in at_work
        ),
        together=_together(hung, _casing(site, drawdown)) if len(hung) > 1 else None,
    )


@dataclass(frozen=True)
class _Casing:
    """The well with what hangs in its casing; known: False where little water stands in."""

    model: WellModel
    known: bool


def _casing(site: Site, drawdown: Drawdown, compared: PumpTable | None = None) -> _Casing:
    area = casing_water(site, compared)
    return _Casing(_model(site, drawdown, area or LITTLE_WATER), area is not None)


def _model(site: Site, drawdown: Drawdown, area: float) -> WellModel:
    static = float(site.well.static_level)
    if drawdown.aquifer is None:
        return WellModel(static, area, drawdown.specific_capacity, well_loss=drawdown.well_loss)
    aquifer = drawdown.aquifer
    return WellModel(
        static,
        area,
        transmissivity=aquifer.transmissivity,
        storage=aquifer.storage,
        radius=aquifer.radius,
        well_loss=drawdown.well_loss,
        boundary=aquifer.boundary,
    )


def _course(site: Site, table: PumpTable, result: PumpResult) -> _Course:
    """The pump's flow with the water at depths from its level at rest down to the intake."""
    line = line_of(site, table, result.intake_depth)
    sheet = None if has_ejector(table) else head_curve(table, WaterLevel(0.0, None, 0.0), line)

    def flow_at(level: float, pressure: float) -> float:
        water = WaterLevel(level, None, level)
        curve = sheet or head_curve(table, water, line)
        return pump.operating_point(curve, lambda flow: line.total(water, flow, pressure)).flow

    def flows(pressure: float) -> FloatArray:
        # The deeper the water the less: what rises is a root's last digit.
        values = [flow_at(level, pressure) for level in levels.tolist()]
        return np.minimum.accumulate(np.array(values))

    levels = np.linspace(site.well.static_level, result.intake_depth, LEVELS)
    most = flows(result.duties[0].pressure)
    least = flows(result.duties[-1].pressure) if len(result.duties) > 1 else most
    return _Course(levels, most, (most + least) / 2.0)


def _pump_in_well(
    site: Site,
    table: PumpTable,
    result: PumpResult,
    course: _Course,
    casing: _Casing,
) -> PumpInWell:
    model, known = casing.model, casing.known
    intake = result.intake_depth
    stop = intake - table.minimum_submergence
    if stop <= model.static_level:
        stop = intake  # Less cover at rest than the least: only the intake itself is left.
    restart, stop_told = _restart(table, course, model, stop)
    first = pumped_well.first_run(model, course.levels, course.most, intake)
    draws_air = first.duration < DAY
    days: tuple[PumpedDay, ...] = ()
    soonest = None
    if known or pumped_well.first_run(model, course.levels, course.most, stop).duration >= DAY:
        days = _days(model, course, stop, restart)
        volume = result.own_volume
        if not stop_told and days and days[1].starts and volume and days[1].volume < volume:
            sooner = _days(model, course, stop, stop - SOON * (stop - model.static_level))
            soonest = sooner[1].volume if sooner else None
    return PumpInWell(
        name=result.name,
        intake_depth=intake,
        stop_level=stop,
        restart_level=restart,
        restart_told=stop_told,
        soonest_day=soonest,
        flow_at_rest=float(course.most[0]),
        flow_at_intake=float(course.most[-1]),
        draws_air=draws_air,
        air_time=first.duration if known and draws_air else None,
        air_volume=first.volume if known and draws_air else None,
        day_level=first.end_level,
        first_day=days[0].volume if days else None,
        later_day=days[1].volume if days else None,
        starts=days[1].starts if days else None,
        running=days[1].pumping_time / DAY if days else None,
        sustained_day=well_level.sustained_flow(model, stop, DAY),
        sustained_season=well_level.sustained_flow(model, stop, SEASON),
        protected=bool(table.dry_run_protection),
        levels=_levels(model, course.levels, course.most, intake, known),
        bridges=tuple(_bridges(site, model, course, stop, restart)) if days else (),
    )


def _restart(
    table: PumpTable, course: _Course, model: WellModel, stop: float
) -> tuple[float, bool]:
    """The depth at which a pump starts again, and whether the file tells it."""
    if table.restart_level is not None and table.restart_level < stop:
        return float(table.restart_level), True
    if table.restart_after is not None and stop > model.static_level:
        rest = float(table.restart_after)
        level = pumped_well.level_after_rest(model, course.levels, course.most, stop, rest)
        return min(level, stop - NEAREST * (stop - model.static_level)), True
    return stop - HALFWAY * (stop - model.static_level), False


def _days(model: WellModel, course: _Course, stop: float, restart: float) -> tuple[PumpedDay, ...]:
    """What the pump gives on the first and on the next day, between cut-in and cut-out; none where
    it starts too often to be counted."""
    try:
        return pumped_well.pumped_day_after_day(
            model, course.levels, course.mean, stop, restart, 2
        )
    except OutOfRange:
        return ()


def _bridges(
    site: Site, model: WellModel, course: _Course, stop: float, restart: float
) -> list[Bridge]:
    """Demands beyond what the pump gives at cut-in, where they bring the pressure down to."""
    wanted = []
    peak = peak_flow(site)
    if peak is not None:
        wanted += [(label, float(peak), time) for label, time in PEAKS]
    use = daily_use(site)[0]
    if use is not None:
        flow = demand.flow_for_daily_volume(use * DAY, DAYS_DELIVERY)
        wanted.append(("the day's water within 2 h", flow, DAYS_DELIVERY))
    bridges = []
    for label, flow, time in wanted:
        run = pumped_well.pumped_on_and_off(model, course.levels, course.most, stop, restart, time)
        short = demand.storage_for_peak(flow, run.volume / time, time)
        bridges.append(Bridge(label, time, flow * time, run.volume, short))
    return bridges


def _levels(
    model: WellModel, levels: FloatArray, flows: FloatArray, lowest: float, known: bool
) -> tuple[float, ...]:
    """The level at the times of the course; none where the casing's water is unknown."""
    if not known:
        return ()
    course = pumped_well.levels_while_pumped(model, levels, flows, np.array(COURSE), lowest)
    return tuple(course.tolist())


def _together(
    at_work: list[tuple[PumpTable, PumpResult, _Course]], casing: _Casing
) -> PumpsTogether:
    """All pumps that hang in the well at once: their flows add up on one drawdown."""
    model, known = casing.model, casing.known
    first_intake = min(result.intake_depth for _, result, _ in at_work)
    levels = np.linspace(model.static_level, first_intake, LEVELS)
    flows = sum(np.interp(levels, course.levels, course.most) for _, _, course in at_work)
    together = np.asarray(flows)
    run = pumped_well.first_run(model, levels, together, first_intake)
    draws_air = run.duration < DAY
    return PumpsTogether(
        flow_at_rest=float(together[0]),
        first_intake=first_intake,
        draws_air=draws_air,
        air_time=run.duration if known and draws_air else None,
        day_level=run.end_level,
        levels=_levels(model, levels, together, first_intake, known),
    )
