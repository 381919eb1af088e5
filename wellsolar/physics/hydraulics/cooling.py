"""The water past a submersible motor, and the shroud that keeps it fast enough."""

from __future__ import annotations

import math

from wellsolar.constants import FOOT, HORSEPOWER
from wellsolar.physics.guards import require_positive

LARGE_MOTOR = 0.127
"""Diameter from which a motor is one for 6-inch wells, 5 in [m]: motors for 4-inch wells measure
3.75 in, those for 6-inch wells 5.4 in and more."""

WARM_WATER = 30.0
"""Temperature of the water up to which the usual velocities do [degC]."""


def least_velocity(motor_diameter: float, rated_power: float, water_temperature: float) -> float:
    """Velocity of the water that the makers of submersible motors ask past a motor.

    Parameters:
        motor_diameter: outside diameter of the motor [m], scalar
        rated_power: rated shaft power [W], scalar
        water_temperature: of the well's water [degC], scalar
    Returns:
        velocity [m/s]: 0 for motors of 4-inch wells below 3 hp, of which none is asked; 0.25 ft/s
        for the larger ones, 0.5 ft/s for those of 6-inch wells and wider; 3 ft/s for all of them
        in water above 30 degC
    Raises:
        OutOfRange: diameter or power not above zero
    Source: a maker's table of flows past motors, as dealers quote it.

    >>> least_velocity(0.0953, 3 * HORSEPOWER, 12.0) / FOOT
    0.25
    """
    require_positive(motor_diameter, "motor diameter", "m")
    require_positive(rated_power, "rated power", "W")
    large = motor_diameter >= LARGE_MOTOR
    if not large and rated_power < 3.0 * HORSEPOWER * 0.98:
        return 0.0
    if water_temperature > WARM_WATER:
        return 3.0 * FOOT
    return (0.5 if large else 0.25) * FOOT


def least_flow_past_motor(velocity: float, casing_bore: float, motor_diameter: float) -> float:
    """Flow at which the water passes a motor at a velocity.

    Parameters:
        velocity: velocity that cools the motor [m/s], scalar
        casing_bore: inside diameter of the casing or shroud [m], scalar
        motor_diameter: outside diameter of the motor, less than the bore [m], scalar
    Returns:
        flow [m3/s]
    Raises:
        OutOfRange: velocity or diameter not above zero, or the motor does not fit the bore
    Source: continuity, Q = V A in the ring; inverse of `pump.velocity_past_motor`.
    """
    require_positive(velocity, "velocity", "m/s")
    require_positive(motor_diameter, "motor diameter", "m")
    require_positive(casing_bore - motor_diameter, "casing bore less motor diameter", "m")
    return velocity * 0.25 * math.pi * (casing_bore**2 - motor_diameter**2)


def shroud_bore_for(flow: float, motor_diameter: float, velocity: float) -> float:
    """Greatest inside diameter of a shroud that keeps a velocity past the motor.

    All water must enter below the motor: the shroud closes above the pump's intake and reaches
    past the motor's foot. Its outside must still fit the casing and leave the water a way down.

    Parameters:
        flow: least flow of the pump [m3/s], scalar
        motor_diameter: outside diameter of the motor [m], scalar
        velocity: velocity that cools the motor [m/s], scalar
    Returns:
        inside diameter [m]; a shroud of this bore or less keeps the velocity
    Raises:
        OutOfRange: flow, diameter or velocity not above zero
    Source: continuity, Q = V A in the ring.
    """
    require_positive(flow, "flow", "m3/s")
    require_positive(motor_diameter, "motor diameter", "m")
    require_positive(velocity, "velocity", "m/s")
    return math.sqrt(motor_diameter**2 + 4.0 * flow / (math.pi * velocity))


def velocity_past_motor(flow: float, casing_bore: float, motor_diameter: float) -> float:
    """Velocity of the water that cools a submersible motor.

    It holds for water that enters below the motor; from above, nothing passes it.

    Parameters:
        flow: volume flow [m3/s], scalar
        casing_bore: inside diameter of the casing or shroud [m], scalar
        motor_diameter: outside diameter of the motor, less than the bore [m], scalar
    Returns:
        velocity in the ring between them [m/s]
    Raises:
        OutOfRange: diameters not above zero, or the motor does not fit the bore
    Source: continuity, Q = V A.
    """
    require_positive(motor_diameter, "motor diameter", "m")
    require_positive(casing_bore - motor_diameter, "casing bore less motor diameter", "m")
    return flow / (0.25 * math.pi * (casing_bore**2 - motor_diameter**2))
