"""Ways from a published hydraulics example, as it is printed, to the functions that answer it.

Each takes SI floats by keyword and returns a number; the formulas stay in wellsolar.physics.
"""

from __future__ import annotations

from wellsolar.data import fitting_table
from wellsolar.data.pipes import pipe_size, pressure_classes, share_when_warm
from wellsolar.physics import solve
from wellsolar.physics.hydraulics import pipe, pump, suction, water
from wellsolar.physics.tank import expansion


def hazen_williams_ratio(
    flow: float,
    bore: float,
    hazen_williams_coefficient: float,
    reference_coefficient: float,
) -> float:
    """Loss at one coefficient over the loss at another."""
    loss = pipe.head_loss_hazen_williams(flow, bore, 1.0, hazen_williams_coefficient)
    return loss / pipe.head_loss_hazen_williams(flow, bore, 1.0, reference_coefficient)


def darcy_over_printed_loss(
    flow: float,
    bore: float,
    length: float,
    roughness: float,
    kinematic_viscosity: float,
    printed_loss: float,
) -> float:
    """Darcy-Weisbach loss over a loss that a table prints."""
    loss = pipe.FrictionLoss(bore, length, roughness, kinematic_viscosity)(flow)
    return loss / printed_loss


def _flow(speed: float, bore: float) -> float:
    return speed / pipe.velocity(1.0, bore)


def reynolds_at_velocity(speed: float, bore: float, kinematic_viscosity: float) -> float:
    """Reynolds number where the source gives a velocity, not a flow."""
    return pipe.reynolds_number(speed, bore, kinematic_viscosity)


def head_loss_at_velocity(
    speed: float,
    bore: float,
    length: float,
    relative_roughness: float,
    kinematic_viscosity: float,
) -> float:
    """Darcy-Weisbach loss where the source gives a velocity and a relative roughness."""
    roughness = relative_roughness * bore
    return pipe.FrictionLoss(bore, length, roughness, kinematic_viscosity)(_flow(speed, bore))


def reynolds_of_water(flow: float, bore: float, temperature: float) -> float:
    """Reynolds number of water of a temperature."""
    return pipe.reynolds_number(
        pipe.velocity(flow, bore), bore, water.kinematic_viscosity(temperature)
    )


def friction_factor_of_water(flow: float, bore: float, temperature: float) -> float:
    """Friction factor of water of a temperature in smooth pipe."""
    return pipe.friction_factor(reynolds_of_water(flow, bore, temperature), 0.0)


def fitting_pressure_drop(
    flow: float, bore: float, loss_coefficient: float, density: float
) -> float:
    """Pressure, not head, lost in a fitting."""
    return water.column_pressure(pipe.fitting_loss(flow, bore, loss_coefficient), density)


def shipped_bore(material: str, nominal: str) -> float:
    """Bore in the shipped table."""
    return pipe_size(material, nominal).bore


def cost_of_running(
    flow: float,
    head: float,
    overall_efficiency: float,
    density: float,
    duration: float,
    price: float,
) -> float:
    """Money for running a time, at a price for a joule."""
    energy = pump.water_power(flow, head, density) / overall_efficiency * duration
    return price * energy


def suction_limit_at_altitude(altitude: float, vapour_pressure: float, density: float) -> float:
    """Greatest suction lift in the standard atmosphere at an altitude."""
    pressure = suction.atmospheric_pressure(altitude)
    return suction.suction_lift_limit(pressure, vapour_pressure, density)


def suction_limit_of_water_at(altitude: float, temperature: float) -> float:
    """Greatest suction lift of water of a temperature at an altitude."""
    return suction.suction_lift_limit(
        suction.atmospheric_pressure(altitude),
        water.vapour_pressure(temperature),
        water.density(temperature),
    )


def boiling_temperature_at(altitude: float) -> float:
    """Temperature at which an open tank boils in the standard atmosphere at an altitude."""
    pressure = suction.atmospheric_pressure(altitude)
    return solve.bracketed_root(
        lambda temperature: water.vapour_pressure(temperature) - pressure, 0.0, 100.0
    )


def molar_heat(temperature: float) -> float:
    """Specific heat in J/(mol K), as the source prints it."""
    kilograms_per_mole = 18.015268e-3
    return water.specific_heat(temperature) * kilograms_per_mole


def growth(volume: float, cold: float, hot: float) -> float:
    """What heating adds to a volume of water."""
    return expansion.expansion_volume(volume, cold, hot)


def last_point_at_speed(flow: float, head: float, speed_ratio: float) -> pump.OperatingPoint:
    """The last point of a datasheet's curve, here of two points, moved to another speed."""
    curve = pump.HeadCurve((0.0, flow), (1.2 * head, head)).at_speed(speed_ratio)
    return pump.OperatingPoint(curve.greatest_flow, curve.lowest_head, "on curve")


def fitting_value(kind: str, column: str) -> float:
    """Loss coefficient or L/D of a fitting in the shipped table."""
    return float(getattr(fitting_table.fitting(kind), column))


def pipe_value(material: str, nominal: str, column: str) -> float:
    """A column of the shipped pipes."""
    return float(getattr(pipe_size(material, nominal), column))


def mean_wall(material: str, nominal: str) -> float:
    """Mean wall of a shipped pipe."""
    size = pipe_size(material, nominal)
    return 0.5 * (size.outside_diameter - size.bore)


def share_of_class(material: str, temperature: float) -> float:
    """What is left of a pipe's class in warm water."""
    return share_when_warm(material, temperature)


def pipe_class(material: str, nominal: str, in_well: bool) -> float:
    """Pressure that the one class of a pipe bears."""
    (found,) = pressure_classes(material, nominal, in_well)
    return float(found.pressure)
