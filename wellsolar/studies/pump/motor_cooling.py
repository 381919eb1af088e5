"""The water past a submersible motor, and the shroud that mends too little of it."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.constants import HORSEPOWER
from wellsolar.physics.hydraulics import cooling
from wellsolar.results.pumps import CoolingResult, Duty
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.house.chain import hangs_in_well, link_of
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Verdict, at_least, remedy, say, set_to

COOLING = Rule(
    "motor cooling",
    "does enough water pass the motor?",
    "velocity past the motor in the casing, or a shroud that keeps it; none is asked of motors "
    "for 4-inch wells below 3 hp; water that enters above the pump does not cool the motor "
    "without a shroud",
    "motor cooling",
    limit_is="at least",
    by="driller",
    read_by="owner",
    place=Place(section="pump_#"),
)

LARGE = 3.0 * HORSEPOWER
"""Power that stands for a motor whose size the file does not give [W]."""

SMALL = 2.0 * HORSEPOWER
"""Electrical power up to which the next motor of those that are made, 2 hp, is enough [W]."""

USUAL_MOTOR = 0.09525
"""Diameter of motors for 4-inch wells, 3.75 in [m]: common practice, no source."""


def cooling_of(site: Site, table: PumpTable, duties: tuple[Duty, ...]) -> CoolingResult | None:
    """The water past a submersible motor at the pump's least flow, which is that at which its
    drive stops it, or what a constant-pressure valve lets through, where it has one.

    Returns:
        the cooling of a motor as large as its file leaves open; None where the pump stands dry or
        gives no water, where the file lacks the casing's bore or the motor's diameter, or the
        least flow that a drive or valve leaves it
    """
    if not hangs_in_well(table):
        return None
    motor, bore = motor_diameter(table), site.well.casing_bore
    flows = [duty.flow for duty in duties if duty.flow > 0]
    if motor is None or bore is None or motor >= bore or not flows:
        return None
    held = _held_back(site, table)
    if held is not None:
        if held[0] is None:
            return None
        flows.append(float(held[0]))
    flow, limit = min(flows), _asked(site, table, motor)
    return CoolingResult(
        flow=flow,
        motor_diameter=motor,
        velocity=cooling.velocity_past_motor(flow, bore, motor),
        limit=limit,
        least_flow=cooling.least_flow_past_motor(limit, bore, motor) if limit else None,
        shroud_bore=cooling.shroud_bore_for(flow, motor, limit) if limit else None,
        shroud=table.shroud,
    )


def _held_back(site: Site, table: PumpTable) -> tuple[Quantity | None, str, str] | None:
    """The least flow that a drive or a valve leaves a pump, its key, and what to say where it is
    not told; None of a pump that neither holds back."""
    link = link_of(site, table)
    if table.held_pressure is not None:
        why = "its motor has least water where the drive holds its pressure at least flow"
        return table.least_flow, f"{link.path}.least_flow", why
    if link.valve is None:
        return None
    why = "its motor has least water where the constant-pressure valve is nearly shut"
    return link.valve.least_flow, "constant_pressure_valve.least_flow", why


def _asked(site: Site, table: PumpTable, motor: float, unknown: float = LARGE) -> float:
    """Velocity asked past a motor [m/s], the user's own before that of its makers; 0 where none
    is; unknown: the power of a motor whose file gives none [W]."""
    if site.limits.motor_cooling is not None:
        return float(site.limits.motor_cooling)
    power = _rated(table) or unknown
    return cooling.least_velocity(motor, power, float(site.well.water_temperature))


def _rated(table: PumpTable) -> float | None:
    """Power of a pump's motor, or what it takes at most where that tells a small one [W]."""
    if table.rated_power is not None:
        return float(table.rated_power)
    most = None if table.power is None else max(map(float, table.power))
    return most if most is not None and 0.0 < most <= SMALL else None


def motor_diameter(table: PumpTable) -> float | None:
    """Diameter of a pump's motor, or of the whole pump where the file gives no other [m]."""
    diameter = table.motor_diameter or table.diameter
    return None if diameter is None else float(diameter)


def cooling_verdicts(
    site: Site, table: PumpTable, result: CoolingResult | None, path: str
) -> list[Verdict]:
    """Whether enough water passes the motor; nothing of a pump that stands dry."""
    if not hangs_in_well(table):
        return []
    motor = motor_diameter(table)
    if motor is None:
        return [_of_no_size(site, table, path)]
    asked = Quantity(_asked(site, table, motor), kinds.SPEED)
    if asked <= 0.0:
        size = Quantity(motor, kinds.BORE)
        reason = say("makers ask no flow past a {size} motor below 3 hp", size=size)
        return [COOLING.verdict("pass", table.name, reason)]
    if result is None:
        if site.well.casing_bore is None:
            return [COOLING.unknown(table.name, "well.casing_bore")]
        held = _held_back(site, table)
        if held is not None and held[0] is None:
            return [COOLING.unknown(table.name, held[1], why=held[2])]
        return []
    return [_past(site, table, result, path)]


def _of_no_size(site: Site, table: PumpTable, path: str) -> Verdict:
    """A motor of which the file tells no diameter: one below 3 hp is taken for one of 4-inch
    wells, as those of 6-inch wells begin at 5 hp (common practice, no source)."""
    if site.limits.motor_cooling is None:
        if _rated(table) is None:
            why = "nothing is asked of a motor below 3 hp"
            return COOLING.unknown(table.name, f"{path}.rated_power", why=why)
        if _asked(site, table, USUAL_MOTOR) <= 0.0:
            reason = say("makers ask no flow past a motor below 3 hp")
            return COOLING.verdict("pass", table.name, reason)
    return COOLING.unknown(table.name, f"{path}.motor_diameter")


def _past(site: Site, table: PumpTable, result: CoolingResult, path: str) -> Verdict:
    """The water past a motor of which some is asked."""
    velocity, limit = (Quantity(speed, kinds.SPEED) for speed in (result.velocity, result.limit))
    assert result.shroud_bore is not None
    assert result.least_flow is not None
    bore = Quantity(result.shroud_bore, kinds.BORE)
    flow, motor = Quantity(result.flow, kinds.FLOW), Quantity(result.motor_diameter, kinds.BORE)
    if at_least(velocity, result.limit):
        reason = say(
            "{flow} passes the {motor} motor at {velocity}",
            flow=flow,
            motor=motor,
            velocity=velocity,
        )
        return COOLING.verdict("pass", table.name, reason, quantity=velocity, limit=limit)
    if result.shroud:
        reason = say(
            "a shroud directs {flow} past the {motor} motor: with a bore of {bore:down} or less "
            "at {limit} or more",
            flow=flow,
            motor=motor,
            bore=bore,
            limit=limit,
        )
        return COOLING.verdict("pass", table.name, reason)
    if _asked(site, table, result.motor_diameter, 0.5 * HORSEPOWER) <= 0.0:
        why = "nothing is asked of a motor below 3 hp, and of a larger one more than passes it"
        return COOLING.unknown(table.name, f"{path}.rated_power", why=why)
    reason = say(
        "{flow} passes the {motor} motor in the {casing} casing at {velocity} only; {limit} is "
        "asked",
        flow=flow,
        motor=motor,
        casing=Quantity(site.well.casing_bore or 0.0, kinds.BORE),
        velocity=velocity,
        limit=limit,
    )
    mended = remedy(
        "a shroud of {bore:down} bore or less round the motor, or a flow of {least:up} or more",
        [set_to(f"{path}.shroud", True)],
        bore=bore,
        least=Quantity(result.least_flow, kinds.FLOW),
    )
    return COOLING.verdict(
        "caution", table.name, reason, quantity=velocity, limit=limit, remedy=mended
    )
