"""The water past a submersible motor, and the shroud that mends too little of it."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.physics.hydraulics import cooling
from wellsolar.results import CoolingResult, Duty
from wellsolar.site.schema import PumpTable, Site
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Verdict, say

COOLING = Rule(
    "motor cooling",
    "does enough water pass the motor?",
    "velocity past the motor in the casing, or a shroud that keeps it; water that enters "
    "above the pump does not cool the motor without a shroud",
    "motor cooling",
    limit_is="at least",
    place=Place(section="pump_#"),
)


def cooling_of(site: Site, table: PumpTable, duties: tuple[Duty, ...]) -> CoolingResult | None:
    """The water past a submersible motor at the pump's least flow; None where the pump stands dry
    or gives no water, or the file lacks the casing's bore or the motor's diameter."""
    motor, bore = motor_diameter(table), site.well.casing_bore
    flows = [duty.flow for duty in duties if duty.flow > 0]
    if table.kind == "suction" or motor is None or bore is None or motor >= bore or not flows:
        return None
    flow, limit = min(flows), float(site.limits.motor_cooling)
    return CoolingResult(
        flow=flow,
        motor_diameter=motor,
        velocity=float(cooling.velocity_past_motor(flow, bore, motor)),
        limit=limit,
        least_flow=float(cooling.least_flow_past_motor(limit, bore, motor)),
        shroud_bore=float(cooling.shroud_bore_for(flow, motor, limit)),
        shroud=table.shroud,
    )


def motor_diameter(table: PumpTable) -> float | None:
    """Diameter of a pump's motor, or of the whole pump where the file gives no other [m]."""
    diameter = table.motor_diameter or table.diameter
    return None if diameter is None else float(diameter)


def cooling_verdicts(
    site: Site, table: PumpTable, result: CoolingResult | None, path: str
) -> list[Verdict]:
    """Whether enough water passes the motor; nothing of a pump that stands dry or whose file
    speaks of no diameter."""
    if result is None:
        known = site.well.casing_bore is not None or motor_diameter(table) is None
        if known or table.kind == "suction":
            return []
        return [COOLING.unknown(table.name, "well.casing_bore")]
    velocity, limit = (Quantity(speed, kinds.SPEED) for speed in (result.velocity, result.limit))
    bore = Quantity(result.shroud_bore, kinds.BORE)
    flow, motor = Quantity(result.flow, kinds.FLOW), Quantity(result.motor_diameter, kinds.BORE)
    if result.velocity >= result.limit:
        reason = say(
            "{flow} passes the {motor} motor at {velocity}",
            flow=flow,
            motor=motor,
            velocity=velocity,
        )
        return [COOLING.verdict("pass", table.name, reason, quantity=velocity, limit=limit)]
    if result.shroud:
        reason = say(
            "a shroud directs {flow} past the {motor} motor: with a bore of {bore:down} or less "
            "at {limit} or more",
            flow=flow,
            motor=motor,
            bore=bore,
            limit=limit,
        )
        return [COOLING.verdict("pass", table.name, reason)]
    reason = say(
        "{flow} passes the {motor} motor in the {casing} casing at {velocity} only",
        flow=flow,
        motor=motor,
        casing=Quantity(float(site.well.casing_bore or 0.0), kinds.BORE),
        velocity=velocity,
    )
    remedy = say(
        "a shroud of {bore:down} bore or less round the motor, or a flow of {least:up} or more",
        bore=bore,
        least=Quantity(result.least_flow, kinds.FLOW),
    )
    return [
        COOLING.verdict(
            "caution", table.name, reason, quantity=velocity, limit=limit, remedy=remedy
        )
    ]
