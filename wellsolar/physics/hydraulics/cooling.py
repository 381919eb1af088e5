"""What a submersible motor asks of its surroundings: water past it, and a supply that starts it.

The velocity itself is `pump.velocity_past_motor`; the dip in the cable alone, from a supply that
does not give way, is `motor.starting_voltage_dip`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive, require_range
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


def source_reactance(
    rated_apparent_power: Floats, voltage: Floats, reactance_per_unit: Floats, phases: int = 1
) -> Floats:
    """Reactance of a generator or transformer, as voltage drop per ampere of line current.

    Parameters:
        rated_apparent_power: rating of the source [VA], scalar or array
        voltage: voltage between the lines [V], scalar or array
        reactance_per_unit: reactance on the source's own rating; of a generator the subtransient
            one [-], scalar or array
        phases: 1 or 3 [-], scalar
    Returns:
        reactance [ohm]
    Raises:
        OutOfRange: rating not above zero; another number of phases
    Source: definition of the per-unit system, X = x V^2 / S; three-phase sqrt(3) times that.
    """
    require_positive(rated_apparent_power, "rated apparent power", "VA")
    if phases not in (1, 3):
        raise OutOfRange(f"phases is {phases}; it must be 1 or 3")
    return math.sqrt(phases) * reactance_per_unit * voltage**2 / rated_apparent_power


@dataclass(frozen=True)
class Start:
    """The moment of start, behind a supply that gives way and a cable.

    current: line current [A]; supply_dip, motor_dip: part of the voltage lost at the supply's
    terminals and at the cable's far end [-]; torque_share: over that of a start at full voltage.
    """

    current: Floats
    supply_dip: Floats
    motor_dip: Floats
    torque_share: Floats


def start_through_supply(
    locked_rotor_current: Floats,
    voltage: Floats,
    power_factor: Floats,
    line_resistance: Floats,
    supply_resistance: Floats,
    supply_reactance: Floats,
    soft_start_share: Floats = 1.0,
) -> Start:
    """Current, voltage dips and torque when a motor starts.

    Resistances and reactance are voltage drop per ampere of line current: the loop for one phase,
    sqrt(3) times one conductor for three. A soft starter holds the current to a share of the
    locked-rotor current and the motor's voltage to the same share.

    Parameters:
        locked_rotor_current: current at locked rotor with full voltage [A], scalar or array
        voltage: voltage of the supply without load [V], scalar or array
        power_factor: power factor at locked rotor, 0..1 [-], scalar or array
        line_resistance: voltage drop per ampere in the cable [ohm], scalar or array
        supply_resistance: resistance of the supply [ohm], scalar or array
        supply_reactance: reactance of the supply [ohm], scalar or array
        soft_start_share: starting current over that of a direct start, 1 for none [-], scalar or
            array
    Returns:
        current [A], dips and torque share [-]
    Raises:
        OutOfRange: current, voltage or share not above zero, a share above 1, a power factor
            outside 0..1, a negative resistance or reactance
    Source: voltage divider of complex impedances, the locked rotor a fixed one; torque as the
        square of the motor's voltage (from memory).
    """
    require_positive(locked_rotor_current, "locked-rotor current", "A")
    require_positive(voltage, "voltage", "V")
    require_range(power_factor, 0.0, 1.0, "power factor", "")
    require_positive(soft_start_share, "soft-start share", "")
    require_range(soft_start_share, 0.0, 1.0, "soft-start share", "")
    for ohms, name in (
        (line_resistance, "line resistance"),
        (supply_resistance, "supply resistance"),
        (supply_reactance, "supply reactance"),
    ):
        require_range(ohms, 0.0, math.inf, name, "ohm")
    size = voltage / (soft_start_share * locked_rotor_current)
    real, imaginary = size * power_factor, size * np.sqrt(1.0 - np.square(power_factor))
    behind_cable = np.hypot(real + line_resistance, imaginary)
    whole = np.hypot(real + line_resistance + supply_resistance, imaginary + supply_reactance)
    at_motor = size / whole
    return Start(
        current=voltage / whole,
        supply_dip=1.0 - behind_cable / whole,
        motor_dip=1.0 - at_motor,
        torque_share=(soft_start_share * at_motor) ** 2,
    )
