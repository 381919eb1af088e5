"""A lever-driven piston pump in a well."""

from __future__ import annotations

from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.physics.hydraulics.pipe import cross_section
from wellsolar.physics.hydraulics.pump import water_power
from wellsolar.physics.hydraulics.water import column_pressure
from wellsolar.physics.types import Real


def swept_volume(bore: float, stroke: float) -> float:
    """Water that a single-acting piston moves in one stroke without slip.

    Parameters:
        bore: inside diameter of the cylinder [m], scalar
        stroke: travel of the piston [m], scalar
    Returns:
        volume [m3]
    Source: geometry; a 63.5 mm cylinder with 125 mm stroke (IS 9301:1982) sweeps 0.39587 L.

    >>> 1000 * swept_volume(0.0635, 0.125)
    0.39587
    """
    return cross_section(bore) * stroke


def flow(bore: float, stroke: float, stroke_rate: float, volumetric_efficiency: float) -> float:
    """Flow of a single-acting piston pump.

    Parameters:
        bore: inside diameter of the cylinder [m], scalar
        stroke: travel of the piston [m], scalar
        stroke_rate: full strokes (up and down) per second [1/s], scalar
        volumetric_efficiency: delivered over swept volume [-], scalar
    Returns:
        volume flow [m3/s]
    Source: geometry, Q = A s n eta.
    """
    return swept_volume(bore, stroke) * stroke_rate * volumetric_efficiency


def water_column_force(bore: float, head: float, density: float) -> float:
    """Weight of water that hangs on the piston.

    Parameters:
        bore: inside diameter of the cylinder [m], scalar
        head: lift from the pumping level to the spout plus any delivery pressure as head [m],
            scalar
        density: density of the water [kg/m3], scalar
    Returns:
        force [N]
    Source: hydrostatics, F = rho g H A; Dooley, Applied Science for Metal-Workers: a 6 in
        bucket lifted against 20 ft takes 245.437 lb.

    >>> pound_force, foot, pound_per_cubic_foot = 4.4482216152605, 0.3048, 16.018463373960142
    >>> water_column_force(0.1524, 20 * foot, 62.5 * pound_per_cubic_foot) / pound_force
    245.437
    """
    return column_pressure(head, density) * cross_section(bore)


def rod_mass_per_length(rod_diameter: float, rod_density: float) -> float:
    """Mass of a metre of round rod.

    Parameters:
        rod_diameter: diameter of the rod [m], scalar
        rod_density: density of the rod's material [kg/m3], scalar
    Returns:
        mass per length [kg/m]
    Source: geometry.
    """
    return rod_density * cross_section(rod_diameter)


def rod_weight_in_water(
    rod_mass_per_length: float, rod_length: float, rod_density: float, density: float
) -> float:
    """Weight of the pump rod in the water of the rising main.

    Parameters:
        rod_mass_per_length: mass of the rod per length [kg/m], scalar
        rod_length: length of the rod [m], scalar
        rod_density: density of the rod's material [kg/m3], scalar
        density: density of the water [kg/m3], scalar
    Returns:
        weight less buoyancy [N]; negative where the rod floats
    Source: Archimedes. With the column's force taken on the whole bore this is exact: the rod
        displaces what the piston does not have to carry.
    """
    buoyancy_share = density / rod_density
    return rod_mass_per_length * rod_length * STANDARD_GRAVITY * (1.0 - buoyancy_share)


def work_per_stroke(
    bore: float,
    stroke: float,
    head: float,
    density: float,
    mechanical_efficiency: float,
) -> float:
    """Work of the hand in one full stroke.

    The rod goes up and comes down: its weight costs force, and no net work over the cycle.

    Parameters:
        bore: inside diameter of the cylinder [m], scalar
        stroke: travel of the piston [m], scalar
        head: lift from the pumping level to the spout plus any delivery pressure as head [m],
            scalar
        density: density of the water [kg/m3], scalar
        mechanical_efficiency: of the lever, guides and seals [-], scalar
    Returns:
        work [J]
    Source: W = rho g H A s / eta.
    """
    return water_column_force(bore, head, density) * stroke / mechanical_efficiency


def input_power(flow: Real, head: Real, density: float, overall_efficiency: float) -> Real:
    """Power of the person who lifts a flow.

    Parameters:
        flow: volume flow [m3/s], scalar or array
        head: lift plus any delivery pressure as head [m], scalar or array
        density: density of the water [kg/m3], scalar
        overall_efficiency: water power over the person's power [-], scalar
    Returns:
        power [W]
    Source: P = rho g Q H / eta.
    """
    return water_power(flow, head, density) / overall_efficiency


def overall_efficiency(flow: float, head: float, human_power: float, density: float) -> float:
    """Water power over the person's power, from an observed flow.

    A value above 0.9 means that the observation cannot be right.

    Parameters:
        flow: volume flow [m3/s], scalar
        head: lift plus any delivery pressure as head [m], scalar
        human_power: power of the person [W], scalar
        density: density of the water [kg/m3], scalar
    Returns:
        efficiency [-]
    Source: eta = rho g Q H / P.
    """
    return water_power(flow, head, density) / human_power


def rod_stretch(
    pull_change: float, rod_length: float, rod_diameter: float, youngs_modulus: float
) -> float:
    """Stretch of the pump rod under a change of pull, which is lost from the stroke.

    Parameters:
        pull_change: change of pull between downstroke and upstroke [N], scalar
        rod_length: length of the rod [m], scalar
        rod_diameter: diameter of the rod [m], scalar
        youngs_modulus: modulus of elasticity, steel about 2.0e11 [Pa], scalar
    Returns:
        stretch [m]
    Source: Hooke, F L / (A E).
    """
    return pull_change * rod_length / (cross_section(rod_diameter) * youngs_modulus)


def effective_stroke(stroke: float, stretch: float) -> float:
    """Travel of the piston that is left of the rod's travel at the head of the well.

    Parameters:
        stroke: travel of the rod at its top [m], scalar
        stretch: of the rod when it takes up the column [m], scalar
    Returns:
        travel of the piston [m]; 0 where the stretch takes all of it
    Source: geometry; a rising main that hangs free stretches too, which is not in it.
    """
    return max(stroke - stretch, 0.0)
