"""The pressure tank: a fill of it by the pump, its drawdown between cut-in and cut-out, its
precharge, and how often it starts a pump.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.physics.hydraulics import fill, pressure_tank, suction
from wellsolar.physics.hydraulics.fill import Fill
from wellsolar.results.pumps import (
    Duty,
    FillPoint,
    FillResult,
    PressureTankResult,
    PumpResult,
    TankCycle,
)
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import PressureTankTable, PumpTable, Site
from wellsolar.studies.electric.motor_guards import at_the_best, motor_cycle
from wellsolar.studies.house.chain import links
from wellsolar.studies.pump.shut_off import TANK, tank_verdicts, to_set
from wellsolar.studies.sold.standard_sizes import ROUND_OFF, next_up, sizes
from wellsolar.studies.well.total_head import MORE_FLOW
from wellsolar.units import Quantity, System
from wellsolar.verdicts import (
    Assumption,
    Place,
    Remedy,
    Rule,
    Sentence,
    Status,
    Verdict,
    at_least,
    at_most,
    remedy,
    say,
    set_to,
)

TOLERANCE_BELOW = 34_474.0
"""How far below cut-in a precharge may lie, 5 psi [Pa]: common practice, no source."""

PRECHARGE = Rule(
    "precharge",
    "is the precharge right for the switch?",
    "precharge 2 psi (14 kPa) below cut-in, set with the tank drained and the power off; "
    "never above cut-in",
    "precharge",
    limit_is="at most",
    by="plumber",
    place=Place(section="pressure_tank"),
)

HELD_SHARE = 0.70
"""Precharge over the pressure that a drive holds: from memory."""

HELD_BAND = (0.60, 0.85)
"""Shares up to which a precharge is taken as right for a drive, as makers' sheets differ: our
choice round what is known from memory."""

HELD_PRECHARGE = Rule(
    "drive's precharge",
    "is the precharge right for the pressure that the pump holds?",
    "precharge about 70 % of the pressure held, set with the tank drained and the power off, and "
    "below that pressure in any case; the drive's own sheet goes before",
    "drive precharge",
    limit_is="at most",
    by="plumber",
    place=Place(section="pressure_tank|pump_1"),
)

RUN_TIME = Rule(
    "run time",
    "does the pump run long enough each time?",
    "from cut-in to cut-out, with no tap open, two minutes for motors from 1 hp, one for smaller "
    "ones and never less",
    "tank run time",
    limit_is="at least",
    by="plumber",
    read_by="owner",
    place=Place(section="pressure_tank"),
    worst=MORE_FLOW,
)

STARTS = Rule(
    "starts a day",
    "does the pump start few enough times a day?",
    "one start for each fill of the tank in the day's water, within the starts a day that a motor "
    "of its size and phases is allowed",
    "motor starts",
    limit_is="at most",
    by="plumber",
    read_by="owner",
    place=Place(section="pressure_tank"),
)

HOURLY = Rule(
    "starts an hour",
    "does the pump start few enough times in any hour?",
    "at the worst steady demand, half the pump's flow where no valve throttles it: 15 starts an "
    "hour below 1 hp, 7.5 for larger motors",
    "hourly starts",
    limit_is="at most",
    by="plumber",
    read_by="owner",
    place=Place(section="pressure_tank"),
    worst=MORE_FLOW,
)

PRESSURES = 5
"""Points of a fill from cut-in to cut-out, the pump's flow between them by a monotone curve."""


def study_pressure_tank(
    site: Site, pumps: tuple[PumpResult, ...]
) -> tuple[PressureTankResult | None, StudyPart]:
    """The pressure tank of a site with each of its pumps: the tank's result, None where the file
    lacks tank or switch, and what it brings."""
    tank, switch = site.pressure_tank, site.pressure_switch
    held = held_by_all(site)
    verdicts = tank_verdicts(site, pumps)
    if tank is not None and held is not None:
        verdicts.append(_held_precharge(tank, held, site.site.print_units))
    if tank is None or switch is None:
        missing: tuple[str, ...] = ()
        pressing = any(link.to_house for link in links(site))
        if pressing and held is None and switch is not None:
            missing = ("pressure_tank.volume",)
        if pumps and held is None and tank is not None and switch is None:
            missing = ("pressure_switch.cut_in", "pressure_switch.cut_out")
        if missing:  # Else pumps into an open tank or that hold their pressure, or none at all.
            verdicts.append(RUN_TIME.unknown(TANK, *missing))
        return None, StudyPart(tuple(verdicts))
    atmospheric = suction.atmospheric_pressure(site.site.altitude)
    cut_in, cut_out = float(switch.cut_in), float(switch.cut_out)
    best_precharge = pressure_tank.recommended_precharge(cut_in)
    if held is not None:
        best_precharge = HELD_SHARE * held
    assumptions: list[Assumption] = []
    value, path = Quantity(best_precharge, kinds.PRESSURE), "pressure_tank.precharge"
    if tank.precharge is None and held is None:
        assumptions.append(Assumption(path, value, "2 psi below cut-in", "precharge"))
    elif tank.precharge is None:
        why = "70 % of the pressure that the pump holds"
        assumptions.append(Assumption(path, value, why, "drive precharge"))
    precharge = best_precharge if tank.precharge is None else float(tank.precharge)
    volume = tank.volume * tank.count

    def stored(pressure: float) -> float:
        return pressure_tank.stored_water(volume, precharge, pressure, atmospheric)

    def drawdown(at_precharge: float) -> float:
        return pressure_tank.drawdown_volume(volume, at_precharge, cut_in, cut_out, atmospheric)

    given, best_given = drawdown(precharge), drawdown(best_precharge)
    result = PressureTankResult(
        volume=volume,
        count=tank.count,
        precharge=precharge,
        cut_in=cut_in,
        cut_out=cut_out,
        atmospheric_pressure=atmospheric,
        acceptance_factor=given / volume,
        stored_at_cut_in=stored(cut_in),
        stored_at_cut_out=stored(cut_out),
        drawdown=given,
        best_precharge=best_precharge,
        best_drawdown=best_given,
        cycles=tuple(
            _cycle(site, pump, pump.fill, volume, (given, best_given), _throttled(site, stored))
            for pump in pumps
            if pump.fill is not None
        ),
    )
    if held is None:
        verdicts.append(_precharge(result, tank.precharge is not None, site.site.print_units))
    for cycle in result.cycles:
        verdicts += _cycle_verdicts(site, result, cycle)
    return result, StudyPart(tuple(verdicts), tuple(assumptions))


def _cycle(
    site: Site,
    pump: PumpResult,
    fill: FillResult,
    volume: float,
    drawdowns: tuple[float, float],
    throttled: tuple[float, float] | None,
) -> TankCycle:
    """The tank with one pump.

    drawdowns: with the precharge as it is, and as it should be [m3]; throttled: share of the
    drawdown that fills through a nearly shut valve, and its flow [m3/s]
    """
    assert fill.duration is not None
    assert fill.best_duration is not None
    daily, (given, best) = pump.daily_volume, drawdowns

    def most_starts(drawdown: float) -> float:
        if throttled is None:
            return pressure_tank.greatest_cycle_rate(drawdown, fill.mean_flow)
        share, flow = throttled
        return pressure_tank.valve_cycle_rate(drawdown, share * drawdown, flow)

    bears = motor_cycle(site, _table(site, pump.name))
    # Runs and rests grow with the tank.
    larger = max(
        bears.wanted_run / fill.best_duration,
        most_starts(best) / bears.hourly_starts,
        0.0 if daily is None else daily / best / DAY / bears.daily_starts,
    )
    return TankCycle(
        pump=pump.name,
        pump_flow=fill.mean_flow,
        run_time=fill.duration,
        greatest_starts=most_starts(given),
        starts_a_day=None if daily is None else daily / given / DAY,
        volume_needed=volume * larger,
    )


def _throttled(site: Site, stored: Callable[[float], float]) -> tuple[float, float] | None:
    """Share of the drawdown that fills through a nearly shut constant-pressure valve, and its
    flow [m3/s]; None where no valve throttles the fill. stored: water at a pressure."""
    valve, switch = site.constant_pressure_valve, site.pressure_switch
    if valve is None or switch is None or not valve.least_flow:
        return None
    full, empty = stored(float(switch.cut_out)), stored(float(switch.cut_in))
    held = stored(float(max(valve.set_pressure, switch.cut_in)))
    return ((full - held) / (full - empty), float(valve.least_flow)) if full > held else None


def _table(site: Site, name: str) -> PumpTable:
    """The table of a pump in the file."""
    return next(table for table in site.pump if table.name == name)


def held_by_all(site: Site) -> float | None:
    """The greatest pressure that pumps hold by their drives [Pa], where every pump that presses
    into the house does, so that none is started by a switch; None elsewhere."""
    to_house = [link for link in links(site) if link.to_house]
    if not to_house or any(link.by_switch for link in to_house):
        return None
    return max(link.pressures[-1] for link in to_house)


def _set_precharge(best: float, system: System) -> Remedy:
    right = to_set(best, system)
    return remedy(
        "set the air to {best} with the tank drained and the power off",
        [set_to("pressure_tank.precharge", right)],
        best=right,
    )


def _held_precharge(tank: PressureTankTable, held: float, system: System) -> Verdict:
    """Whether the precharge suits a drive, which holds one pressure and has no cut-in."""
    if tank.precharge is None:
        return HELD_PRECHARGE.unknown(TANK, "pressure_tank.precharge")
    limit = Quantity(held, kinds.PRESSURE)
    share = Quantity(tank.precharge / held, kinds.FRACTION)
    least, most = HELD_BAND
    status: Status = "pass"
    reason = "{precharge} is {share} of the {held} that the pump holds"
    if at_least(tank.precharge, held):
        status, reason = "fail", reason + ": at that pressure there is no water in the tank"
    elif not (at_least(share, least) and at_most(share, most)):
        status, reason = "caution", reason + "; 70 % is usual, and the drive's sheet goes before"
    sentence = say(reason, precharge=tank.precharge, share=share, held=limit)
    way = _set_precharge(HELD_SHARE * held, system)
    return HELD_PRECHARGE.verdict(
        status, TANK, sentence, quantity=tank.precharge, limit=limit, remedy=way
    )


def _precharge(result: PressureTankResult, known: bool, system: System) -> Verdict:
    """Whether the precharge suits the switch."""
    if not known:
        return PRECHARGE.unknown(TANK, "pressure_tank.precharge")
    precharge = Quantity(result.precharge, kinds.PRESSURE)
    cut_in = Quantity(result.cut_in, kinds.PRESSURE)
    drawdown = Quantity(result.drawdown, kinds.VOLUME)
    best = Quantity(result.best_drawdown, kinds.VOLUME)
    status: Status = "pass"
    reason = "{precharge} suits the cut-in of {cut_in}; the tank gives {drawdown} between starts"
    if not at_most(precharge, cut_in):
        status = "fail"
        reason = (
            "{precharge} is above the cut-in of {cut_in}: the tank is empty before the switch "
            "closes, and the flow at the taps drops at each start"
        )
    elif not at_least(precharge, result.cut_in - TOLERANCE_BELOW):
        status = "caution"
        reason = (
            "{precharge} is low for a cut-in of {cut_in}: the tank gives {drawdown} between "
            "starts, {best} if set right"
        )
    return PRECHARGE.verdict(
        status,
        TANK,
        say(reason, precharge=precharge, cut_in=cut_in, drawdown=drawdown, best=best),
        quantity=precharge,
        limit=cut_in,
        remedy=_set_precharge(result.best_precharge, system),
    )


def tanks_of(needed: float, system: System) -> tuple[Quantity, int]:
    """The smallest tank that is sold for a volume [m3] in all, and how many alike."""
    largest = sizes("pressure tank", kinds.VOLUME, system)[-1]
    count = max(1, math.ceil(needed / largest * (1.0 - ROUND_OFF)))
    one = next_up("pressure tank", needed / count, kinds.VOLUME, system)
    assert one is not None
    return one, count


def _cycle_verdicts(site: Site, result: PressureTankResult, cycle: TankCycle) -> list[Verdict]:
    """Whether a pump runs long enough and starts seldom enough for its motor."""
    table = _table(site, cycle.pump)
    bears, best = motor_cycle(site, table), at_the_best(site, table)
    size_key = f"pump[{site.pump.index(table) + 1}].rated_power"
    run = Quantity(cycle.run_time, kinds.DURATION)
    wanted = Quantity(bears.wanted_run, kinds.DURATION)
    drawdown = Quantity(result.drawdown, kinds.VOLUME)
    flow = Quantity(cycle.pump_flow, kinds.FLOW)
    reason = say("{drawdown} at {flow} is a run of {run}", drawdown=drawdown, flow=flow, run=run)
    if not at_least(run, bears.shortest_run):
        status: Status = "fail"
    elif not at_least(run, best.wanted_run):
        status = "caution"
    else:
        status = "pass" if at_least(run, bears.wanted_run) else "unknown"
    larger = _larger_tank(result, cycle, site.site.print_units)
    if status == "unknown":
        verdicts = [RUN_TIME.unknown(cycle.pump, size_key, why=_FOR_A_SMALL_MOTOR)]
    else:
        verdicts = [
            RUN_TIME.verdict(status, cycle.pump, reason, quantity=run, limit=wanted, remedy=larger)
        ]
    if cycle.starts_a_day is None:
        verdicts.append(STARTS.unknown(cycle.pump, "demand.daily_use"))
    else:
        starts = Quantity(cycle.starts_a_day, kinds.STARTS_A_DAY)
        limits = bears.daily_starts, best.daily_starts
        sentence = say("at most {found} if every fill is used with the pump off", found=starts)
        verdicts.append(_seldom(STARTS, cycle.pump, size_key, starts, limits, sentence, larger))
    starts = Quantity(cycle.greatest_starts, kinds.STARTS_AN_HOUR)
    limits = bears.hourly_starts, best.hourly_starts
    sentence = say("no more than {found} at the worst steady demand", found=starts)
    verdicts.append(_seldom(HOURLY, cycle.pump, size_key, starts, limits, sentence, larger))
    return verdicts


_FOR_A_SMALL_MOTOR = "enough for a motor below 1 hp, not for a large one"


def _seldom(
    rule: Rule,
    pump: str,
    size_key: str,
    starts: Quantity,
    limits: tuple[float, float],
    reason: Sentence,
    larger: Remedy,
) -> Verdict:
    """Whether starts are within the motor's limit, or that of a small one where its size is
    unknown."""
    limit = Quantity(limits[0], starts.kind)
    seldom = at_most(starts, limit)
    if not seldom and at_most(starts, limits[1]):
        return rule.unknown(pump, size_key, why=_FOR_A_SMALL_MOTOR)
    status: Status = "pass" if seldom else "caution"
    return rule.verdict(status, pump, reason, quantity=starts, limit=limit, remedy=larger)


def _larger_tank(result: PressureTankResult, cycle: TankCycle, system: System) -> Remedy:
    """Tanks as they are sold, for the run and the starts of a pump."""
    needed = Quantity(cycle.volume_needed, kinds.VOLUME)
    best = to_set(result.best_precharge, system)
    sold, count = tanks_of(needed, system)
    changes = [set_to("pressure_tank.volume", sold), set_to("pressure_tank.count", count)]
    if not math.isclose(result.precharge, result.best_precharge):
        changes.append(set_to("pressure_tank.precharge", best))
    tanks = "a {sold} tank" if count == 1 else f"{count} tanks of {{sold}}"
    return remedy(
        tanks + " (needs {needed:up} in all), with the precharge at {best}",
        changes,
        sold=sold,
        needed=needed,
        best=best,
    )


class AtWork(NamedTuple):
    """A pump at work: gauge pressure at the tank [Pa], flow [m3/s], head [m], power from the
    supply and to the water [W], the flow [m3/s] that the pump alone would give, and its state."""

    pressure: float
    flow: float
    total_dynamic_head: float
    input_power: float
    water_power: float
    pump_flow: float
    state: str


def fill_of(site: Site, at_work: Callable[[float], AtWork | Duty]) -> FillResult | None:
    """A fill of the pressure tank from cut-in to cut-out with no tap open.

    The share of the time at each pressure is the same for a tank of any volume, so that the mean
    flow and the energy are known where the tank is not.

    Parameters:
        at_work: the pump at work against a gauge pressure at the tank [Pa]
    Returns:
        the fill; None without a pressure switch or where the pump does not reach cut-out
    """
    switch, tank = site.pressure_switch, site.pressure_tank
    if switch is None:
        return None
    spans = [
        [at_work(pressure) for pressure in np.linspace(*span, PRESSURES).tolist()]
        for span in _spans(site, float(switch.cut_in), float(switch.cut_out))
    ]
    if not all(point.flow > 0 for points in spans for point in points):
        return None
    best = pressure_tank.recommended_precharge(switch.cut_in)
    given = None if tank is None or tank.precharge is None else float(tank.precharge)
    volume = 1.0 if tank is None else tank.volume * tank.count
    filled = _filled(site, spans, volume, best if given is None else given)
    right = given is None or math.isclose(given, best)
    at_best = filled if right else _filled(site, spans, volume, best)
    if filled is None or at_best is None:
        return None
    known = tank is not None
    return FillResult(
        points=tuple(
            FillPoint(
                pressure=point.pressure,
                flow=point.flow,
                head=point.total_dynamic_head,
                input_power=point.input_power,
                water=water - float(filled.volume[0]) if known else None,
                time=time if known else None,
            )
            for point, water, time in zip(
                [point for points in spans for point in points],
                filled.volume.tolist(),
                filled.time.tolist(),
                strict=True,
            )
        ),
        mean_flow=filled.mean_flow,
        energy_per_volume=float(filled.energy[-1]) / filled.water,
        duration=filled.duration if known else None,
        best_duration=at_best.duration if known else None,
    )


def _spans(site: Site, cut_in: float, cut_out: float) -> list[tuple[float, float]]:
    """The fill from cut-in to cut-out [Pa]: in two where a valve on its way throttles the pump."""
    valve = site.constant_pressure_valve
    if valve is None or not cut_in < valve.set_pressure < cut_out:
        return [(cut_in, cut_out)]
    holds = float(valve.set_pressure)
    return [(cut_in, holds), (math.nextafter(holds, math.inf), cut_out)]


def _filled(
    site: Site, spans: list[list[AtWork | Duty]], volume: float, precharge: float
) -> Fill | None:
    """The fill, its spans one after the other; None where the tank never takes water."""
    outside = suction.atmospheric_pressure(site.site.altitude)
    fills: list[Fill] = []
    for points in spans:
        pressures = np.array([point.pressure for point in points])
        if pressures[-1] <= precharge:
            # No water yet: what is pumped below the precharge raises the pressure at once.
            none = np.zeros_like(pressures)
            fills.append(Fill(pressures, none, none, none, 0.0, 0.0, 0.0))
            continue
        flows = np.array([point.flow for point in points])
        powers = np.array([point.input_power for point in points])
        fills.append(
            fill.tank_fill(pressures, flows, volume, precharge, outside, input_power=powers)
        )
    whole = fills[0]
    for more in fills[1:]:
        duration, water = whole.duration + more.duration, whole.water + more.water
        whole = Fill(
            pressure=np.concatenate([whole.pressure, more.pressure]),
            volume=np.concatenate([whole.volume, more.volume]),
            time=np.concatenate([whole.time, whole.duration + more.time]),
            energy=np.concatenate([whole.energy, whole.energy[-1] + more.energy]),
            duration=duration,
            water=water,
            mean_flow=water / duration if duration > 0.0 else 0.0,
        )
    return whole if whole.water > 0.0 else None
