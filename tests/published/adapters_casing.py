"""Ways from a published packing, motor or fill, as it is printed, to the functions that answer it.

Each takes SI floats by keyword and returns a number; the formulas stay in wellsolar.physics.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from wellsolar.physics.hydraulics import cooling, fill, pump
from wellsolar.physics.well import casing_fit as casing


@cache
def bore_of_equal_bodies(count: float) -> float:
    """Bore round so many bodies of diameter 1."""
    return casing.smallest_bore([1.0] * int(count)).bore


def curvature_around(curvatures: np.ndarray) -> float:
    """Curvature of the circle round bodies given by theirs."""
    return 2.0 / casing.smallest_bore((2.0 / curvatures).tolist()).bore


def radius_around(radii: np.ndarray) -> float:
    """Radius of the circle round bodies given by theirs."""
    return 0.5 * casing.smallest_bore((2.0 * radii).tolist()).bore


def fill_at_one_flow(
    flow: float,
    cut_in: float,
    cut_out: float,
    precharge: float,
    tank_volume: float,
    atmospheric_pressure: float,
) -> float:
    """Time of a fill with a pump whose flow does not depend on the pressure."""
    pressure = np.linspace(cut_in, cut_out, 5)
    flows = np.full(5, flow)
    found = fill.tank_fill(pressure, flows, tank_volume, precharge, atmospheric_pressure)
    return found.duration


def velocity_in_shroud(flow: float, motor_diameter: float, velocity: float) -> float:
    """Velocity past a motor in the shroud chosen for it."""
    bore = cooling.shroud_bore_for(flow, motor_diameter, velocity)
    return cooling.velocity_past_motor(flow, bore, motor_diameter)


def slowed_speed(flow: float, head: float, slow_flow: float, slow_head: float) -> float:
    """Speed ratio at which a pump with one known point makes another on the same parabola."""
    curve = pump.HeadCurve((0.0, flow, 2.0 * flow), (1.3 * head, head, 0.1 * head))
    return fill.speed_for_head(curve, slow_flow, slow_head)
