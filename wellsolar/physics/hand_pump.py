"""A lever-driven piston pump in a well, and the person who drives it."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from wellsolar.physics.constants import HORSEPOWER, STANDARD_GRAVITY
from wellsolar.physics.pump import water_power
from wellsolar.physics.solve import require_range
from wellsolar.physics.types import Floats
from wellsolar.physics.water import column_pressure

SHORTEST_EFFORT: Final = 4.0 * 60.0
"""Shortest duration of the rule of human power [s]; validity as quoted with the rule."""

LONGEST_EFFORT: Final = 480.0 * 60.0
"""Longest duration of the rule of human power [s]; validity as quoted with the rule."""

EFFORT_AGES: Final = (20.0, 35.0, 60.0)
"""Ages of the rule of human power [years]."""

EFFORT_AGE_FACTORS: Final = (1.15, 1.0, 0.80)
"""Factor on human power at those ages [-]; as quoted with the rule."""


def swept_volume(bore: Floats, stroke: Floats) -> Floats:
    """Water that a single-acting piston moves in one stroke without slip.

    Parameters:
        bore: inside diameter of the cylinder [m], scalar or array
        stroke: travel of the piston [m], scalar or array
    Returns:
        volume [m3]
    Source: geometry; a 63.5 mm cylinder with 125 mm stroke (IS 9301) sweeps 0.39587 L.

    >>> 1000 * swept_volume(0.0635, 0.125)
    0.39587
    """
    return _area(bore) * stroke


def flow(
    bore: Floats, stroke: Floats, stroke_rate: Floats, volumetric_efficiency: Floats
) -> Floats:
    """Flow of a single-acting piston pump.

    Parameters:
        bore: inside diameter of the cylinder [m], scalar or array
        stroke: travel of the piston [m], scalar or array
        stroke_rate: full strokes (up and down) per second [1/s], scalar or array
        volumetric_efficiency: delivered over swept volume [-], scalar or array
    Returns:
        volume flow [m3/s]
    Source: geometry, Q = A s n eta.
    """
    return swept_volume(bore, stroke) * stroke_rate * volumetric_efficiency


def water_column_force(bore: Floats, head: Floats, density: Floats) -> Floats:
    """Weight of water that hangs on the piston.

    Parameters:
        bore: inside diameter of the cylinder [m], scalar or array
        head: lift from the pumping level to the spout plus any delivery pressure as head [m],
            scalar or array
        density: density of the water [kg/m3], scalar or array
    Returns:
        force [N]
    Source: hydrostatics, F = rho g H A; Dooley, Applied Science for Metal-Workers: a 6 in
        bucket lifted against 20 ft takes 245.437 lb.

    >>> pound_force, foot, pound_per_cubic_foot = 4.4482216152605, 0.3048, 16.018463373960142
    >>> water_column_force(0.1524, 20 * foot, 62.5 * pound_per_cubic_foot) / pound_force
    245.437
    """
    return column_pressure(head, density) * _area(bore)


def rod_weight_in_water(
    rod_mass_per_length: Floats, rod_length: Floats, rod_density: Floats, density: Floats
) -> Floats:
    """Weight of the pump rod in the water of the rising main.

    Parameters:
        rod_mass_per_length: mass of the rod per length [kg/m], scalar or array
        rod_length: length of the rod [m], scalar or array
        rod_density: density of the rod's material [kg/m3], scalar or array
        density: density of the water [kg/m3], scalar or array
    Returns:
        weight less buoyancy [N]; negative where the rod floats
    Source: Archimedes. With the column's force taken on the whole bore this is exact: the rod
        displaces what the piston does not have to carry.
    """
    buoyancy_share = density / rod_density
    return rod_mass_per_length * rod_length * STANDARD_GRAVITY * (1.0 - buoyancy_share)


def rod_pull(bore: Floats, head: Floats, density: Floats, rod_force: Floats) -> Floats:
    """Pull at the top of the rod on the upstroke, without friction.

    Parameters:
        bore: inside diameter of the cylinder [m], scalar or array
        head: lift from the pumping level to the spout plus any delivery pressure as head [m],
            scalar or array
        density: density of the water [kg/m3], scalar or array
        rod_force: weight of the rod in water [N], scalar or array
    Returns:
        force [N]
    Source: hydrostatics, column plus rod.
    """
    return water_column_force(bore, head, density) + rod_force


def handle_force(rod_pull: Floats, lever_ratio: Floats, mechanical_efficiency: Floats) -> Floats:
    """Force of the hand at the end of the handle.

    Parameters:
        rod_pull: pull at the top of the rod [N], scalar or array
        lever_ratio: travel of the hand over travel of the rod [-], scalar or array
        mechanical_efficiency: of the lever, guides and seals [-], scalar or array
    Returns:
        force [N]
    Source: work in equals work out over efficiency.
    """
    return rod_pull / (lever_ratio * mechanical_efficiency)


def work_per_stroke(
    bore: Floats,
    stroke: Floats,
    head: Floats,
    density: Floats,
    mechanical_efficiency: Floats,
) -> Floats:
    """Work of the hand in one full stroke.

    The rod goes up and comes down: its weight costs force, and no net work over the cycle.

    Parameters:
        bore: inside diameter of the cylinder [m], scalar or array
        stroke: travel of the piston [m], scalar or array
        head: lift from the pumping level to the spout plus any delivery pressure as head [m],
            scalar or array
        density: density of the water [kg/m3], scalar or array
        mechanical_efficiency: of the lever, guides and seals [-], scalar or array
    Returns:
        work [J]
    Source: W = rho g H A s / eta.
    """
    return water_column_force(bore, head, density) * stroke / mechanical_efficiency


def input_power(flow: Floats, head: Floats, density: Floats, overall_efficiency: Floats) -> Floats:
    """Power of the person who lifts a flow.

    Parameters:
        flow: volume flow [m3/s], scalar or array
        head: lift plus any delivery pressure as head [m], scalar or array
        density: density of the water [kg/m3], scalar or array
        overall_efficiency: water power over the person's power [-], scalar or array
    Returns:
        power [W]
    Source: P = rho g Q H / eta.
    """
    return water_power(flow, head, density) / overall_efficiency


def power_limited_flow(
    human_power: Floats, head: Floats, density: Floats, overall_efficiency: Floats
) -> Floats:
    """Flow that a person's power lifts, whatever the pump.

    Parameters:
        human_power: power of the person [W], scalar or array
        head: lift plus any delivery pressure as head [m], scalar or array
        density: density of the water [kg/m3], scalar or array
        overall_efficiency: water power over the person's power [-], scalar or array
    Returns:
        volume flow [m3/s]; at a small head the stroke limits the flow before the power does
    Source: Q = P eta / (rho g H).
    """
    return human_power * overall_efficiency / (density * STANDARD_GRAVITY * head)


def overall_efficiency(flow: Floats, head: Floats, human_power: Floats, density: Floats) -> Floats:
    """Water power over the person's power, from an observed flow.

    A value above 0.9 means that the observation cannot be right.

    Parameters:
        flow: volume flow [m3/s], scalar or array
        head: lift plus any delivery pressure as head [m], scalar or array
        human_power: power of the person [W], scalar or array
        density: density of the water [kg/m3], scalar or array
    Returns:
        efficiency [-]
    Source: eta = rho g Q H / P.
    """
    return water_power(flow, head, density) / human_power


def sustained_power(duration: Floats, age: Floats = 35.0, arm_factor: Floats = 1.0) -> Floats:
    """Power that a fit labourer keeps up for a time, legs and arms together.

    People scatter by 30 % about it. Work with the arms alone is weaker: `arm_factor` lowers it.

    Parameters:
        duration: time of steady work, 4 min to 8 h [s], scalar or array
        age: 20 to 60, interpolated between 20, 35 and 60 [years], scalar or array
        arm_factor: share of whole-body power that the work allows [-], scalar or array
    Returns:
        power [W]
    Raises:
        OutOfRange: a duration or age outside the rule
    Source: Krendel's rule, hp = 0.35 - 0.092 log10(minutes) (from memory); its range, its age
        factors and its checks, 1/8 hp for 4 h and 1/4 hp for 12 min, as quoted on a public page.

    >>> float(sustained_power(12 * 60.0) / HORSEPOWER)
    0.25
    """
    require_range(duration, SHORTEST_EFFORT, LONGEST_EFFORT, "duration of effort", "s")
    horsepower = 0.35 - 0.092 * np.log10(duration / 60.0)
    return horsepower * HORSEPOWER * _age_factor(age) * arm_factor


def sustained_duration(
    human_power: Floats, age: Floats = 35.0, arm_factor: Floats = 1.0
) -> Floats:
    """Time for which a fit labourer keeps up a power; the inverse of sustained_power.

    Parameters:
        human_power: power of the person [W], scalar or array
        age: 20 to 60, interpolated between 20, 35 and 60 [years], scalar or array
        arm_factor: share of whole-body power that the work allows [-], scalar or array
    Returns:
        time [s]; 8 h, where the rule ends, for any smaller power
    Raises:
        OutOfRange: more than the power of 4 min, or an age outside the rule
    Source: Krendel's rule, see sustained_power.
    """
    greatest = sustained_power(SHORTEST_EFFORT, age, arm_factor)
    # The slack lets a power that sustained_power gave come back in.
    require_range(human_power / greatest, 0.0, 1.0 + 1e-9, "power over that of a 4 min effort", "")
    horsepower = human_power / (HORSEPOWER * _age_factor(age) * arm_factor)
    seconds = 60.0 * 10.0 ** ((0.35 - horsepower) / 0.092)
    return np.clip(seconds, SHORTEST_EFFORT, LONGEST_EFFORT)


def rod_stretch(
    pull_change: Floats, rod_length: Floats, rod_diameter: Floats, youngs_modulus: Floats
) -> Floats:
    """Stretch of the pump rod under a change of pull, which is lost from the stroke.

    Parameters:
        pull_change: change of pull between downstroke and upstroke [N], scalar or array
        rod_length: length of the rod [m], scalar or array
        rod_diameter: diameter of the rod [m], scalar or array
        youngs_modulus: modulus of elasticity, steel about 2.0e11 [Pa], scalar or array
    Returns:
        stretch [m]
    Source: Hooke, F L / (A E).
    """
    return pull_change * rod_length / (_area(rod_diameter) * youngs_modulus)


def bore_limit(
    handle_force: Floats,
    lever_ratio: Floats,
    mechanical_efficiency: Floats,
    density: Floats,
    head: Floats,
) -> Floats:
    """Largest cylinder bore that a hand can lift, the rod being counterbalanced.

    Parameters:
        handle_force: greatest force of the hand [N], scalar or array
        lever_ratio: travel of the hand over travel of the rod [-], scalar or array
        mechanical_efficiency: of the lever, guides and seals [-], scalar or array
        density: density of the water [kg/m3], scalar or array
        head: lift plus any delivery pressure as head [m], scalar or array
    Returns:
        bore [m]
    Source: hydrostatics and lever, D = sqrt(4 F r eta / (pi rho g H)).
    """
    pull = handle_force * lever_ratio * mechanical_efficiency
    return np.sqrt(4.0 * pull / (math.pi * density * STANDARD_GRAVITY * head))


def greatest_head_by_force(
    handle_force: Floats,
    lever_ratio: Floats,
    mechanical_efficiency: Floats,
    bore: Floats,
    density: Floats,
    rod_force: Floats,
) -> Floats:
    """Greatest head against which a hand can lift the piston.

    Parameters:
        handle_force: greatest force of the hand [N], scalar or array
        lever_ratio: travel of the hand over travel of the rod [-], scalar or array
        mechanical_efficiency: of the lever, guides and seals [-], scalar or array
        bore: inside diameter of the cylinder [m], scalar or array
        density: density of the water [kg/m3], scalar or array
        rod_force: weight of the rod in water, 0 where counterbalanced [N], scalar or array
    Returns:
        head [m]; 0 where the rod alone is too heavy
    Source: hydrostatics and lever, (F r eta - rod) / (rho g A).
    """
    pull = handle_force * lever_ratio * mechanical_efficiency - rod_force
    return np.maximum(pull, 0.0) / (density * STANDARD_GRAVITY * _area(bore))


def _area(diameter: Floats) -> Floats:
    return math.pi / 4.0 * diameter**2


def _age_factor(age: Floats) -> Floats:
    require_range(age, EFFORT_AGES[0], EFFORT_AGES[-1], "age", "years")
    return np.interp(age, EFFORT_AGES, EFFORT_AGE_FACTORS)
