"""Speeds and power of a variable-speed pump that holds its pressure, by the affinity laws."""

from __future__ import annotations

from collections.abc import Callable

from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import fill, pump
from wellsolar.physics.hydraulics.pump import HeadCurve
from wellsolar.results import SpeedPoint, SpeedResult
from wellsolar.site.schema import PumpTable

SHARES = (0.25, 0.50, 0.75, 1.0)
"""Shares of the greatest flow at which speed and power are given."""


def speeds_of(
    table: PumpTable,
    curve: HeadCurve,
    head_at: Callable[[float, float], float],
    power_at: Callable[[float, float], float],
    density: float,
) -> SpeedResult | None:
    """The range of speeds, with power, at which a pump holds its pressure.

    Parameters:
        table: the pump's table
        curve: its head curve at full speed
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
    points = []
    for share in SHARES:
        flow = share * speeds.greatest_flow
        head = head_at(flow, pressure)
        try:
            speed = fill.speed_for_head(curve, flow, head)
        except OutOfRange:
            continue
        points.append(SpeedPoint(flow, speed, head, _power(curve, power_at, density, flow, speed)))
    return SpeedResult(pressure, speeds.least, tuple(points)) if points else None


def _power(
    curve: HeadCurve,
    power_at: Callable[[float, float], float],
    density: float,
    flow: float,
    speed: float,
) -> float:
    """Electrical power at a speed: the sheet's at the flow that corresponds, with the cube of the
    speed, and what a slowed pump loses besides."""
    full = min(max(flow / speed, curve.first_flow), curve.greatest_flow)
    there = float(pump.water_power(full, curve.head_at(full), density))
    power = power_at(full, there)
    efficiency = min(1.0, there / power)
    slowed = float(fill.efficiency_at_speed(efficiency, speed))
    return power * speed**3 * (efficiency / slowed if slowed > 0.0 else 1.0)
