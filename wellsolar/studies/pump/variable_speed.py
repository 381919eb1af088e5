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
    full = [
        float(pump.water_power(q, h, density)) for q, h in zip(curve.flow, curve.head, strict=True)
    ]
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
            water = float(pump.water_power(at_full, curve.head_at(at_full), density))
            power = fill.power_at_speed(power_at(at_full, water), water, min(best, 1.0), speed)
        except OutOfRange:
            continue
        points.append(SpeedPoint(flow, speed, head, power))
    return SpeedResult(pressure, speeds.least, tuple(points)) if points else None
