"""Whether the well bears its pumps for hours and days."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics.well import step_drawdown as step_test
from wellsolar.results.pumps import PumpResult
from wellsolar.results.well import PumpInWell, WellResult
from wellsolar.site.schema import Site
from wellsolar.studies.house.demand import use_less
from wellsolar.studies.house.wells import is_here
from wellsolar.studies.well.total_head import BY_A_VALVE, DEEPER_WATER
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Place,
    Remedy,
    Rule,
    Verdict,
    at_least,
    at_most,
    remedy,
    say,
)

GREATEST_LOSS_SHARE = 0.30
"""Well loss over drawdown at a pump's flow up to which a well does its work whatever Walton's
class: the usual well efficiency of 70 % or more, from memory."""

RUNS_DRY = Rule(
    "runs dry",
    "can the pump run without drawing air?",
    "after a day of pumping without a stop water is left above the intake, or dry-run "
    "protection stops the pump",
    "casing balance",
    limit_is="at least",
    by="driller",
    place=Place("level", "well"),
    worst=DEEPER_WATER,
    claims=("dry_run_protection",),
)
WELL_GIVES = Rule(
    "day's water from the well",
    "does the well give the day's water through this pump?",
    "what the pump gives in a day, stopped and started by the well's level, no less than the "
    "day's use; not the first day, which empties the casing",
    "casing balance",
    limit_is="at least",
    by="driller",
    place=Place("level", "well"),
    worst=DEEPER_WATER,
)
WELL_LOSS = Rule(
    "well loss",
    "does the water enter the well freely?",
    "C below 5 s2/ft5, or well loss no more than 30 % of the drawdown at the pump's flow",
    "walton",
    limit_is="at most",
    by="driller",
    place=Place("well", "well"),
)


def no_model(site: Site, pumps: tuple[PumpResult, ...]) -> list[Verdict]:
    """The question that stays open for each pump where a file speaks of its well and no drawdown
    follows."""
    needs = "well.casing_bore" if site.well.casing_bore is None else "well.specific_capacity"
    from_well = {table.name for table in site.pump if is_here(site, table)}
    return [RUNS_DRY.unknown(pump.name, needs) for pump in pumps if pump.name in from_well]


def well_verdicts(site: Site, result: WellResult, pumps: tuple[PumpResult, ...]) -> list[Verdict]:
    """Verdicts on the well with each of its pumps, in the order they are best read."""
    verdicts = _well_loss(result, pumps)
    by_name = {pump.name: pump for pump in pumps}
    for in_well in result.pumps:
        verdicts.append(_runs_dry(site, in_well))
        pump = by_name[in_well.name]
        if pump.daily_volume is not None and in_well.later_day is not None:
            verdicts.append(_well_gives(site, in_well, pump, in_well.later_day))
    return verdicts


def _runs_dry(site: Site, pump: PumpInWell) -> Verdict:
    level = Quantity(pump.day_level, kinds.LENGTH)
    if not pump.draws_air:
        reason = say(
            "after a day of pumping without a stop the water stands at {level}, {cover} above the "
            "intake",
            level=level,
            cover=Quantity(pump.intake_depth - pump.day_level, kinds.LENGTH),
        )
        return RUNS_DRY.verdict("pass", pump.name, reason)
    if pump.air_time is None or pump.air_volume is None:
        return RUNS_DRY.unknown(
            pump.name,
            "well.casing_bore",
            why="the well does not sustain the pump, and for how long depends on its casing",
        )
    guard = (
        "dry-run protection stops it" if pump.protected else "the file names no dry-run protection"
    )
    reason = say(
        "from rest it draws air after {time} and {volume}; {guard}",
        time=Quantity(pump.air_time, kinds.DURATION),
        volume=Quantity(pump.air_volume, kinds.SUMMED_VOLUME),
        guard=guard,
    )
    return RUNS_DRY.verdict(
        "caution" if pump.protected else "fail",
        pump.name,
        reason,
        quantity=Quantity(pump.air_time, kinds.DURATION),
        limit=Quantity(24 * 3600.0, kinds.DURATION),
        remedy=_slower(site, pump),
        claims=[
            f"pump[{number}].dry_run_protection"
            for number, table in enumerate(site.pump, 1)
            if table.name == pump.name and pump.protected
        ],
    )


def _slower(site: Site, pump: PumpInWell) -> Remedy:
    """A flow that the well bears, within what its test found."""
    flow = pump.sustained_day
    if site.well.tested_yield is not None:
        flow = min(flow, float(site.well.tested_yield))
    template = "a pump of no more than {flow:down}, or a flow control to that"
    if not pump.protected:
        template += "; at least dry-run protection"
    return remedy(template, BY_A_VALVE, flow=Quantity(flow, kinds.FLOW))


def _well_gives(site: Site, pump: PumpInWell, result: PumpResult, given: float) -> Verdict:
    wanted = result.own_volume
    volume, use = Quantity(given, kinds.SUMMED_VOLUME), Quantity(wanted, kinds.VOLUME)
    if pump.starts:
        template = "on and off, {starts} starts a day, well and pump give {volume}; wanted {use}"
    else:
        template = "running all day, well and pump give {volume}; wanted {use}"
    parts: dict[str, Quantity | str] = {"starts": f"{pump.starts}", "volume": volume, "use": use}
    if result.from_other_wells > 0.0:
        template += ", beside {beside} from other wells"
        parts["beside"] = Quantity(result.from_other_wells, kinds.SUMMED_VOLUME)
    reason = say(template, **parts)
    if at_least(volume, wanted):
        return WELL_GIVES.verdict("pass", pump.name, reason, quantity=volume, limit=use)
    if pump.soonest_day is not None and pump.soonest_day >= wanted:
        why = say(
            "started again half way back to the water at rest, as assumed, well and pump give "
            "{volume} of {use}; started sooner, up to {soonest}",
            volume=volume,
            use=use,
            soonest=Quantity(pump.soonest_day, kinds.SUMMED_VOLUME),
        )
        number = next(n for n, table in enumerate(site.pump, 1) if table.name == pump.name)
        return WELL_GIVES.unknown(pump.name, f"pump[{number}].restart_after", why=why)
    return WELL_GIVES.verdict(
        "fail",
        pump.name,
        reason,
        quantity=volume,
        limit=use,
        remedy=use_less(given + result.from_other_wells, float(result.daily_volume or 0.0)),
    )


def _well_loss(result: WellResult, pumps: tuple[PumpResult, ...]) -> list[Verdict]:
    steps = next((test for test in result.tests if test.kind == "step test"), None)
    if steps is None or not steps.usable:
        return []
    flow = max(
        (duty.flow for pump in pumps for duty in pump.duties),
        default=steps.readings[-1].flow,
    )
    lost = result.well_loss * flow**2
    drawn = flow / result.specific_capacity + lost
    share = Quantity(lost / drawn if drawn > 0.0 else 0.0, kinds.FRACTION)
    limit = Quantity(GREATEST_LOSS_SHARE, kinds.FRACTION)
    reason = say(
        "at {flow} well loss is {share} of the drawdown; by Walton's class the well is {named}",
        flow=Quantity(flow, kinds.FLOW),
        share=share,
        named=result.well_loss_class,
    )
    if result.well_loss_class == "sound" or at_most(share, limit):
        return [WELL_LOSS.verdict("pass", "well", reason, quantity=share, limit=limit)]
    aquifer_loss = 1.0 / result.specific_capacity
    slower = step_test.flow_for_loss_share(GREATEST_LOSS_SHARE, aquifer_loss, result.well_loss)
    sound = step_test.WALTON_CLASSES[0][0] * step_test.WALTON_UNIT
    saved = (result.well_loss - sound) * flow**2
    way = remedy(
        "take no more than {slower:down}; or have the well cleaned and developed: once sound, its "
        "water would stand {saved} higher at {flow}",
        BY_A_VALVE,
        slower=Quantity(slower, kinds.FLOW),
        saved=Quantity(saved, kinds.LENGTH),
        flow=Quantity(flow, kinds.FLOW),
    )
    return [WELL_LOSS.verdict("caution", "well", reason, quantity=share, limit=limit, remedy=way)]
