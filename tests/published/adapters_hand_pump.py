"""Published checks of hand pumps that need one step more than a function gives."""

from __future__ import annotations

from wellsolar.physics import hand_pump


def time_for_volume(
    volume: float, power: float, head: float, density: float, overall_efficiency: float
) -> float:
    flow = hand_pump.power_limited_flow(power, head, density, overall_efficiency)
    return volume / float(flow)
