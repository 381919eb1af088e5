"""The pressure tank: a fill of it by the pump, its drawdown between cut-in and cut-out, its
precharge, and how often it starts a pump.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import air, fill, pressure_tank
from wellsolar.physics.hydraulics.fill import Fill
from wellsolar.physics.types import FloatArray
from wellsolar.results import (
    Duty,
    FillPoint,
    FillResult,
    PressureTankResult,
    PumpResult,
    StudyPart,
    TankCycle,
)
from wellsolar.site.schema import Site
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption, Place, Rule, Verdict, say

TOLERANCE_BELOW = 34_474.0
"""How far below cut-in a precharge may lie, 5 psi [Pa]: common practice, no source."""

PRECHARGE = Rule(
    "precharge",
    "is the precharge right for the switch?",
    "precharge 2 psi (14 kPa) below cut-in, set with the tank drained and the power off; "
    "never above cut-in",
    "precharge",
    limit_is="at most",
    place=Place(section="pressure_tank"),
)

RUN_TIME = Rule(
    "run time",
    "does the pump run long enough each time?",
    "from cut-in to cut-out, with no tap open, at least the minimum run time",
    "tank run time",
    limit_is="at least",
    place=Place(section="pressure_tank"),
)

STARTS = Rule(
    "starts a day",
    "does the pump start few enough times a day?",
    "one start for each fill of the tank in the day's water, within the motor's starts a day",
    "motor starts",
    limit_is="at most",
    place=Place(section="pressure_tank"),
)

PRESSURES = 5
"""Points of a fill from cut-in to cut-out, the pump's flow between them by a monotone curve."""


def study_pressure_tank(
    site: Site, pumps: tuple[PumpResult, ...]
) -> tuple[PressureTankResult | None, StudyPart]:
    """The pressure tank of a site with each of its pumps.

    Parameters:
        site: the site
        pumps: results of the site's pumps
    Returns:
        the tank's result, None where the file lacks tank or switch, and what it brings
    """
    tank, switch = site.pressure_tank, site.pressure_switch
    if tank is None or switch is None:
        if not pumps or (tank is None and switch is None):
            return None, StudyPart()  # Pumps into an open tank, or none at all.
        missing: tuple[str, ...] = ("pressure_tank.volume",)
        if switch is None:
            missing = ("pressure_switch.cut_in", "pressure_switch.cut_out")
        return None, StudyPart((RUN_TIME.unknown("pressure tank", *missing),))
    atmospheric = float(air.atmospheric_pressure(site.site.altitude))
    cut_in, cut_out = float(switch.cut_in), float(switch.cut_out)
    best_precharge = float(pressure_tank.recommended_precharge(cut_in))
    assumptions: list[Assumption] = []
    if tank.precharge is None:
        value = Quantity(best_precharge, kinds.PRESSURE)
        assumptions.append(
            Assumption("pressure_tank.precharge", value, "2 psi below cut-in", "precharge")
        )
    precharge = best_precharge if tank.precharge is None else float(tank.precharge)
    volume = tank.volume * tank.count

    def stored(pressure: float) -> float:
        return float(pressure_tank.stored_water(volume, precharge, pressure, atmospheric))

    def drawdown(at_precharge: float) -> float:
        return float(
            pressure_tank.drawdown_volume(volume, at_precharge, cut_in, cut_out, atmospheric)
        )

    given = drawdown(precharge)
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
        best_drawdown=drawdown(best_precharge),
        cycles=tuple(
            _cycle(site, pump, pump.fill, volume, given) for pump in pumps if pump.fill is not None
        ),
    )
    verdicts = [] if tank.precharge is None else [_precharge(result)]
    if tank.precharge is None:
        verdicts.append(PRECHARGE.unknown("pressure tank", "pressure_tank.precharge"))
    for cycle in result.cycles:
        verdicts.append(_run_time(site, result, cycle))
        verdicts.append(_starts(site, result, cycle))
    return result, StudyPart(tuple(verdicts), tuple(assumptions), ("pressure", "closed valve"))


def _cycle(
    site: Site, pump: PumpResult, fill: FillResult, volume: float, drawdown: float
) -> TankCycle:
    assert fill.duration is not None
    assert fill.best_duration is not None
    daily = pump.daily_volume
    return TankCycle(
        pump=pump.name,
        pump_flow=fill.mean_flow,
        run_time=fill.duration,
        greatest_starts=float(pressure_tank.greatest_cycle_rate(drawdown, fill.mean_flow)),
        starts_a_day=None if daily is None else daily / drawdown / 86_400.0,
        # The time of a fill grows with the tank.
        volume_needed=volume * site.limits.run_time / fill.best_duration,
    )


def _precharge(result: PressureTankResult) -> Verdict:
    precharge = Quantity(result.precharge, kinds.PRESSURE)
    cut_in = Quantity(result.cut_in, kinds.PRESSURE)
    drawdown = Quantity(result.drawdown, kinds.VOLUME)
    best = Quantity(result.best_drawdown, kinds.VOLUME)
    set_to = say(
        "set it to {best} with the tank drained and the power off",
        best=Quantity(result.best_precharge, kinds.PRESSURE),
    )
    if result.precharge > result.cut_in:
        return PRECHARGE.verdict(
            "fail",
            "pressure tank",
            say(
                "{precharge} is above the cut-in of {cut_in}: the tank is empty before the switch "
                "closes, and the flow at the taps drops at each start",
                precharge=precharge,
                cut_in=cut_in,
            ),
            quantity=precharge,
            limit=cut_in,
            remedy=set_to,
        )
    if result.precharge < result.cut_in - TOLERANCE_BELOW:
        return PRECHARGE.verdict(
            "caution",
            "pressure tank",
            say(
                "{precharge} is low for a cut-in of {cut_in}: the tank gives {drawdown} between "
                "starts, {best} if set right",
                precharge=precharge,
                cut_in=cut_in,
                drawdown=drawdown,
                best=best,
            ),
            quantity=precharge,
            remedy=set_to,
        )
    return PRECHARGE.verdict(
        "pass",
        "pressure tank",
        say(
            "{precharge} suits the cut-in of {cut_in}; the tank gives {drawdown} between starts",
            precharge=precharge,
            cut_in=cut_in,
            drawdown=drawdown,
        ),
        quantity=precharge,
        limit=cut_in,
    )


def _run_time(site: Site, result: PressureTankResult, cycle: TankCycle) -> Verdict:
    run = Quantity(cycle.run_time, kinds.DURATION)
    least = site.limits.run_time
    long_enough = cycle.run_time >= least
    return RUN_TIME.verdict(
        "pass" if long_enough else "fail",
        cycle.pump,
        say(
            "{drawdown} at {flow} is a run of {run}",
            drawdown=Quantity(result.drawdown, kinds.VOLUME),
            flow=Quantity(cycle.pump_flow, kinds.FLOW),
            run=run,
        ),
        quantity=run,
        limit=least,
        remedy=say(
            "tanks of {volume:up} or more in all, with the precharge at {precharge}",
            volume=Quantity(cycle.volume_needed, kinds.VOLUME),
            precharge=Quantity(result.best_precharge, kinds.PRESSURE),
        ),
    )


def _starts(site: Site, result: PressureTankResult, cycle: TankCycle) -> Verdict:
    if cycle.starts_a_day is None:
        return STARTS.unknown(cycle.pump, "demand.daily_use")
    starts = Quantity(cycle.starts_a_day, kinds.STARTS_A_DAY)
    limit = site.limits.starts_a_day
    seldom = cycle.starts_a_day <= limit
    return STARTS.verdict(
        "pass" if seldom else "caution",
        cycle.pump,
        say(
            "at most {starts} if every fill is used with the pump off; no more than "
            "{worst} at the worst steady demand",
            starts=starts,
            worst=Quantity(cycle.greatest_starts, kinds.STARTS_AN_HOUR),
        ),
        quantity=starts,
        limit=limit,
        remedy=say(
            "a tank of {volume:up} or more in all",
            volume=Quantity(result.volume * starts / limit, kinds.VOLUME),
        ),
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
        site: the site
        at_work: the pump at work against a gauge pressure at the tank [Pa]
    Returns:
        the fill; None without a pressure switch or where the pump does not reach cut-out
    """
    switch, tank = site.pressure_switch, site.pressure_tank
    if switch is None:
        return None
    pressures = np.linspace(switch.cut_in, switch.cut_out, PRESSURES)
    points = [at_work(pressure) for pressure in pressures.tolist()]
    if not all(point.flow > 0 for point in points):
        return None
    best = float(pressure_tank.recommended_precharge(switch.cut_in))
    given = None if tank is None or tank.precharge is None else float(tank.precharge)
    volume = 1.0 if tank is None else tank.volume * tank.count
    filled = _filled(site, pressures, points, volume, best if given is None else given)
    right = given is None or math.isclose(given, best)
    at_best = filled if right else _filled(site, pressures, points, volume, best)
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
                points, filled.volume.tolist(), filled.time.tolist(), strict=True
            )
        ),
        mean_flow=filled.mean_flow,
        energy_per_volume=float(filled.energy[-1]) / filled.water,
        duration=filled.duration if known else None,
        best_duration=at_best.duration if known else None,
    )


def _filled(
    site: Site,
    pressures: FloatArray,
    points: list[AtWork | Duty],
    volume: float,
    precharge: float,
) -> Fill | None:
    try:
        return fill.tank_fill(
            pressures,
            np.array([point.flow for point in points]),
            volume,
            precharge,
            float(air.atmospheric_pressure(site.site.altitude)),
            input_power=np.array([point.input_power for point in points]),
        )
    except OutOfRange:  # A precharge above cut-out: the tank never takes water.
        return None
