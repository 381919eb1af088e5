"""Ways from a published packing, motor or fill, as it is printed, to the functions that answer it.

Each takes SI floats by keyword and returns a number; the formulas stay in wellsolar.physics.
"""

from __future__ import annotations

import numpy as np

from wellsolar.physics.hydraulics import cooling, fill, pressure_tank, pump
from wellsolar.physics.well import casing_fit as casing


def bore_of_equal_bodies(count: float) -> float:
    """Bore round so many bodies of diameter 1."""
    return casing.smallest_bore([1.0] * int(count)).bore


def curvature_around(curvatures: np.ndarray) -> float:
    """Curvature of the circle round bodies given by theirs."""
    return 2.0 / casing.smallest_bore((2.0 / curvatures).tolist()).bore


def radius_around(radii: np.ndarray) -> float:
    """Radius of the circle round bodies given by theirs."""
    return 0.5 * casing.smallest_bore((2.0 * radii).tolist()).bore


def greatest_equal_body(count: float) -> float:
    """Radius of the last of so many equal bodies in a bore of radius 1, the others given."""
    radius = {3: 0.4641016, 4: 0.4142135}[int(count)]
    others = [2.0 * radius] * (int(count) - 1)
    return 0.5 * casing.largest_body_that_fits(others, 2.0, 0.0)


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


def fill_of_drawdown(flow: float, drawdown_volume: float) -> float:
    """Time of a fill of a tank that is large enough for a drawdown between 30 and 50 psi."""
    psi = 6894.757293168361
    precharge, cut_in, cut_out, atmosphere = 28.0 * psi, 30.0 * psi, 50.0 * psi, 14.7 * psi
    tank = pressure_tank.required_volume(drawdown_volume, precharge, cut_in, cut_out, atmosphere)
    return fill_at_one_flow(flow, cut_in, cut_out, precharge, float(tank), atmosphere)


def velocity_in_shroud(flow: float, motor_diameter: float, velocity: float) -> float:
    """Velocity past a motor in the shroud chosen for it."""
    bore = cooling.shroud_bore_for(flow, motor_diameter, velocity)
    return pump.velocity_past_motor(flow, bore, motor_diameter)


def slowed_speed(flow: float, head: float, slow_flow: float, slow_head: float) -> float:
    """Speed ratio at which a pump with one known point makes another on the same parabola."""
    curve = pump.HeadCurve((0.0, flow, 2.0 * flow), (1.3 * head, head, 0.1 * head))
    return fill.speed_for_head(curve, slow_flow, slow_head)
