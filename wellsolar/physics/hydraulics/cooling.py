"""The water past a submersible motor, and the shroud that keeps it fast enough."""

from __future__ import annotations

import math

from wellsolar.physics.guards import require_positive
from wellsolar.physics.types import Floats


def least_flow_past_motor(velocity: Floats, casing_bore: Floats, motor_diameter: Floats) -> Floats:
    """Flow at which the water passes a motor at a velocity.

    Parameters:
        velocity: velocity that cools the motor [m/s], scalar or array
        casing_bore: inside diameter of the casing or shroud [m], scalar or array
        motor_diameter: outside diameter of the motor, less than the bore [m], scalar or array
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


def shroud_bore_for(flow: Floats, motor_diameter: Floats, velocity: Floats) -> Floats:
    """Greatest inside diameter of a shroud that keeps a velocity past the motor.

    All water must enter below the motor: the shroud closes above the pump's intake and reaches
    past the motor's foot. Its outside must still fit the casing and leave the water a way down.

    Parameters:
        flow: least flow of the pump [m3/s], scalar or array
        motor_diameter: outside diameter of the motor [m], scalar or array
        velocity: velocity that cools the motor [m/s], scalar or array
    Returns:
        inside diameter [m]; a shroud of this bore or less keeps the velocity
    Raises:
        OutOfRange: flow, diameter or velocity not above zero
    Source: continuity, Q = V A in the ring.
    """
    require_positive(flow, "flow", "m3/s")
    require_positive(motor_diameter, "motor diameter", "m")
    require_positive(velocity, "velocity", "m/s")
    return (motor_diameter**2 + 4.0 * flow / (math.pi * velocity)) ** 0.5


def velocity_past_motor(flow: Floats, casing_bore: Floats, motor_diameter: Floats) -> Floats:
    """Velocity of the water that cools a submersible motor.

    It holds for water that enters below the motor; from above, nothing passes it.

    Parameters:
        flow: volume flow [m3/s], scalar or array
        casing_bore: inside diameter of the casing or shroud [m], scalar or array
        motor_diameter: outside diameter of the motor, less than the bore [m], scalar or array
    Returns:
        velocity in the ring between them [m/s]
    Raises:
        OutOfRange: diameters not above zero, or the motor does not fit the bore
    Source: continuity, Q = V A.
    """
    require_positive(motor_diameter, "motor diameter", "m")
    require_positive(casing_bore - motor_diameter, "casing bore less motor diameter", "m")
    return flow / (0.25 * math.pi * (casing_bore**2 - motor_diameter**2))
