"""Published checks of hand pumps that need one step more than a function gives."""

from __future__ import annotations

import numpy as np

from wellsolar.physics.hand import human_power
from wellsolar.physics.hand import pump as hand_pump
from wellsolar.studies.hand.handle import discharge_point
from wellsolar.studies.hand.other_lifts import point_at

DENSITY = 1000.0


def time_of_effort(
    volume: float, power: float, head: float, density: float, overall_efficiency: float
) -> float:
    """At a power that is kept, or for none by the rule; with no stroke in the way."""
    powers = np.linspace(0.0, 1000.0, 11)
    flows = powers * overall_efficiency / (density * 9.80665 * head)
    done = human_power.effort_for_volume(volume, powers, flows, human_power=power or None)
    return done.time


def lift_flow(flow: float, head: float, other_head: float) -> float:
    points = (discharge_point(head, flow, None, DENSITY),)
    return point_at(points, other_head, DENSITY).flow


def lift_power_each(flow: float, head: float, efficiency: float, people: float) -> float:
    power = hand_pump.input_power(flow, head, DENSITY, efficiency)
    point = point_at((discharge_point(head, flow, float(power), DENSITY),), head, DENSITY)
    return point.power / people
