"""One pressure at the tank, held by a drive, which slows its pump, or by a throttling valve.

A drive saves what the head at full speed would have been too much. A valve saves nothing of it:
the pump runs at full speed against the valve, and a gallon takes the more the less is drawn. The
valve needs its switch: what it lets through with all taps shut fills the tank until the switch
stops the pump.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from wellsolar import kinds
from wellsolar.constants import DAY, HOUR
from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import demand, fill, pump
from wellsolar.physics.hydraulics.pump import HeadCurve
from wellsolar.results.pumps import (
    PumpResult,
    SpeedPoint,
    SpeedResult,
    ThrottlePoint,
    ThrottleResult,
)
from wellsolar.site.schema import ConstantPressureValveTable, PumpTable, Site
from wellsolar.studies.house.chain import Link, links
from wellsolar.studies.house.demand import LIST_FLOW
from wellsolar.studies.pump.pressure_tank import AtWork
from wellsolar.studies.pump.shut_off import tank_pressure, to_set
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Place,
    Rule,
    Status,
    Verdict,
    at_least,
    at_most,
    print_alike,
    remedy,
    say,
    set_to,
)

SHARES = (0.25, 0.50, 0.75, 1.0)
"""Shares of the greatest flow at which speed and power are given."""

HELD = "held back by the valve"
"""State of a pump that a valve throttles to less than it would give."""

VALVE = "constant-pressure valve"
KEY = "constant_pressure_valve"

SETTING = Rule(
    "valve setting",
    "is the constant-pressure valve set between cut-in and cut-out?",
    "set below the cut-out, or it never throttles before the switch stops the pump, and above the "
    "cut-in, or the pump starts against a valve that is all but shut",
    "constant-pressure valve",
    limit_is="at most",
    by="plumber",
    place=Place(section="pressure_tank|pump_1"),
)
UPSTREAM = Rule(
    "pressure before the valve",
    "does the constant-pressure valve bear the pump's pressure?",
    "what the pump holds at no flow, at the tank's height and from the water at rest, no more "
    "than the valve's sheet allows before it",
    "constant-pressure valve",
    limit_is="at most",
    by="plumber",
    place=Place(section="pump_#"),
    worst={"well.static_level": "low"},
)
LEAST = Rule(
    "least flow",
    "does the pump get enough flow through the valve with every tap shut?",
    "what the valve lets through at the least no less than the pump's sheet allows for long; with "
    "none at all the tank never fills to cut-out, and the pump boils its own water",
    "constant-pressure valve",
    limit_is="at least",
    by="plumber",
    place=Place(section="pump_#"),
)


def speeds_of(
    table: PumpTable,
    curve: HeadCurve,
    head_at: Callable[[float, float], float],
    power_at: Callable[[float, float], float],
    density: float,
) -> SpeedResult | None:
    """The range of speeds, with power, at which a pump holds its pressure.

    Parameters:
        head_at: head of the system at a flow [m3/s] and a gauge pressure [Pa], [m]
        power_at: electrical power at full speed at a flow [m3/s] and for a water power [W], [W]
        density: of the water [kg/m3]
    Returns:
        speeds; None for a pump that holds no pressure of its own or does not reach it, and for a
        helical rotor, which gives a flow for each turn and follows no affinity law of heads
    """
    if table.held_pressure is None or table.kind == "helical rotor":
        return None
    pressure = float(table.held_pressure)
    try:
        speeds = fill.speed_range(curve, head_at, pressure)
    except OutOfRange:
        return None
    full = [pump.water_power(q, h, density) for q, h in zip(curve.flow, curve.head, strict=True)]
    best = max(
        (
            water / power_at(flow, water)
            for flow, water in zip(curve.flow, full, strict=True)
            if water > 0.0
        )
    )
    points = []
    for share in SHARES:
        flow = share * speeds.greatest_flow
        head = head_at(flow, pressure)
        try:
            speed = fill.speed_for_head(curve, flow, head)
            at_full = min(max(flow / speed, curve.first_flow), curve.greatest_flow)
            water = pump.water_power(at_full, curve.head_at(at_full), density)
            power = fill.power_at_speed(power_at(at_full, water), water, min(best, 1.0), speed)
        except OutOfRange:
            continue
        points.append(SpeedPoint(flow, speed, head, power))
    return SpeedResult(pressure, speeds.least, tuple(points)) if points else None


def throttled_of(
    link: Link,
    use: float | None,
    open_at: Callable[[float], AtWork],
    throttled: Callable[[float, float], AtWork],
    before: Callable[[float, float], float],
) -> ThrottleResult | None:
    """The pump behind a constant-pressure valve, from a quarter of its flow to all of it.

    Parameters:
        use: water a day as a mean flow [m3/s], None where it is not known
        open_at: the pump at work against a gauge pressure at the tank [Pa], the valve wide open
        throttled: the pump at a flow [m3/s] that the valve lets through at a gauge pressure [Pa]
        before: gauge pressure before the valve [Pa] at a flow [m3/s] and the pump's head there [m]
    Returns:
        its flows, powers and pressures before the valve; None without one, and of a pump that
        does not reach the pressure
    """
    valve = link.valve
    if valve is None:
        return None
    pressure = float(valve.set_pressure)
    whole = open_at(pressure)
    if whole.flow <= 0.0:
        return None
    least = min(float(valve.least_flow or 0.0), whole.flow)
    busiest = 0.0 if use is None else float(max(demand.hourly_volumes(use * DAY))) / HOUR
    draw = min(max(LIST_FLOW, least, busiest), whole.flow)

    def point(flow: float) -> ThrottlePoint:
        work = whole if flow >= whole.flow else throttled(flow, pressure)
        head, power = work.total_dynamic_head, work.input_power
        return ThrottlePoint(flow, before(flow, head), head, power, power / flow)

    flows = {least, *(share * whole.flow for share in SHARES)} - {0.0}
    points = tuple(map(point, sorted(flows)))
    return ThrottleResult(pressure, draw, point(draw).energy_per_volume, points)


def valve_verdicts(site: Site, pumps: Sequence[PumpResult]) -> list[Verdict]:
    """Whether a constant-pressure valve suits its switch and its pumps.

    Returns:
        verdicts; none where no valve throttles a pump
    """
    behind = [link for link in links(site) if link.valve is not None]
    if not behind:
        return []
    verdicts = _setting(site, behind[0])
    for link in behind:
        assert link.valve is not None
        pressure = tank_pressure(site, link.table, pumps[link.number - 1])
        verdicts.append(_upstream(link.valve, link.table, pressure))
        verdicts.append(_least(link.valve, link))
    return verdicts


def _setting(site: Site, link: Link) -> list[Verdict]:
    """Whether the valve is set where it can work."""
    assert link.valve is not None
    cut_in, cut_out = (Quantity(pressure, kinds.PRESSURE) for pressure in link.pressures)
    holds = link.valve.set_pressure
    parts = {"holds": holds, "cut_in": cut_in, "cut_out": cut_out}
    status: Status = "pass"
    reason = "{holds} lies between cut-in at {cut_in} and cut-out at {cut_out}"
    if holds >= cut_out or print_alike(holds, cut_out):
        status = "fail"
        reason = "at {holds} it is wide open until the switch stops the pump at {cut_out}"
    elif holds <= cut_in or print_alike(holds, cut_in):
        status = "caution"
        reason = "at {holds} it is all but shut when the switch starts the pump at {cut_in}"
    right = to_set((cut_in + cut_out) / 2.0, site.site.print_units)
    return [
        SETTING.verdict(
            status,
            VALVE,
            say(reason, **parts),
            quantity=holds,
            limit=cut_out,
            remedy=remedy(
                "set it to {right}, half way between",
                [set_to(f"{KEY}.set_pressure", right)],
                right=right,
            ),
        )
    ]


def _upstream(valve: ConstantPressureValveTable, table: PumpTable, pressure: float) -> Verdict:
    """Whether the valve bears the pump at no flow."""
    limit, held = valve.greatest_pressure, Quantity(pressure, kinds.PRESSURE)
    if limit is None:
        why = say("{pump} presses up to {held} against it", pump=table.name, held=held)
        return UPSTREAM.unknown(table.name, f"{KEY}.greatest_pressure", why=why)
    return UPSTREAM.verdict(
        "pass" if at_most(held, limit) else "fail",
        table.name,
        say("it presses up to {held} against a valve made for {limit}", held=held, limit=limit),
        quantity=held,
        limit=limit,
        remedy=remedy(
            "a pump of less head, or a valve made for {held:up}", "the maker's sheet decides",
            held=held,
        ),
    )  # fmt: skip


def _least(valve: ConstantPressureValveTable, link: Link) -> Verdict:
    """Whether the pump gets its least flow through the valve."""
    name, least, asked = link.table.name, valve.least_flow, link.table.least_flow
    if least is None:
        return LEAST.unknown(name, f"{KEY}.least_flow")
    if least <= 0.0:
        reason = say("the valve shuts tight: no water cools the pump, and none fills the tank")
        way = remedy("a valve that always lets some water through", "the valve's sheet decides")
        return LEAST.verdict("fail", name, reason, quantity=least, remedy=way)
    if asked is None:
        why = say("the valve lets {least} through at the least", least=least)
        return LEAST.unknown(name, f"{link.path}.least_flow", why=why)
    return LEAST.verdict(
        "pass" if at_least(least, asked) else "caution",
        name,
        say(
            "the valve lets {least} through at the least, and the pump's sheet allows no less "
            "than {asked} for long",
            least=least,
            asked=asked,
        ),
        quantity=least,
        limit=asked,
        remedy=remedy(
            "a valve that lets {asked:up} or more through", "the valve's sheet decides",
            asked=asked,
        ),
    )  # fmt: skip
