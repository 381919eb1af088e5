"""Forces on the rod and the handle of a piston pump, up and down, and what balances them.

Friction of cup, guides and lever is taken as one force that works against the travel up and down
alike, so large that a full stroke costs just what the mechanical efficiency says. Rods and a
counterweight go up and come down: they change the forces, and no work.
"""

from __future__ import annotations

import math

from wellsolar.constants import STANDARD_GRAVITY


def friction_force(column_force: float, mechanical_efficiency: float) -> float:
    """Friction that works against the rod on its way up and on its way down.

    Parameters:
        column_force: weight of water that hangs on the piston on the upstroke [N], scalar
        mechanical_efficiency: of the lever, guides and seals over a full stroke [-], scalar or
            array
    Returns:
        force at the rod [N]
    Source: work of a full stroke: F s + 2 f s = F s / eta, half of the loss on each way (common
        practice, no source for the halves).
    """
    return column_force * (1.0 / mechanical_efficiency - 1.0) / 2.0


def upstroke_force(
    column_force: float, rod_force: float, friction: float, counterweight: float
) -> float:
    """Pull at the top of the rod that lifts water and rods.

    Parameters:
        column_force: weight of water that hangs on the piston on the upstroke [N], scalar
        rod_force: weight of the rod in water [N], scalar
        friction: force of friction at the rod [N], scalar
        counterweight: pull of a counterweight at the top of the rod [N], scalar
    Returns:
        force that the lever must bring [N]; negative where the counterweight lifts alone
    Source: statics.
    """
    return column_force + rod_force + friction - counterweight


def downstroke_force(rod_force: float, friction: float, counterweight: float) -> float:
    """Pull of the rods on the lever while they sink, the water standing on the foot valve.

    Parameters:
        rod_force: weight of the rod in water [N], scalar
        friction: force of friction at the rod [N], scalar
        counterweight: pull of a counterweight at the top of the rod [N], scalar
    Returns:
        force [N]; positive where the rods sink by themselves and must be held back, negative where
        the hand has to push them down
    Source: statics.
    """
    return rod_force - friction - counterweight


def balancing_counterweight(column_force: float, rod_force: float) -> float:
    """Counterweight that makes upstroke and downstroke equally hard.

    Parameters:
        column_force: weight of water that hangs on the piston on the upstroke [N], scalar
        rod_force: weight of the rod in water [N], scalar
    Returns:
        pull at the top of the rod [N]
    Source: statics: F + W + f - C = -(W - f - C), so C = W + F / 2; beam-pumping practice calls it
        the counterbalance effect, half of the fluid load and all of the rods' (from memory).
    """
    return rod_force + column_force / 2.0


def greatest_depth_by_force(
    handle_force: float,
    lever_ratio: float,
    mechanical_efficiency: float,
    bore: float,
    density: float,
    rod_force_per_length: float,
    submergence: float,
    outlet_height: float,
    counterweight: float,
) -> float:
    """Depth of the water from which a hand lifts it to the spout, the rods growing with it.

    Parameters:
        handle_force: greatest force of the hand [N], scalar
        lever_ratio: travel of the hand over travel of the rod [-], scalar
        mechanical_efficiency: of the lever, guides and seals [-], scalar
        bore: inside diameter of the cylinder [m], scalar
        density: density of the water [kg/m3], scalar
        rod_force_per_length: weight in water of a metre of rod [N/m], scalar
        submergence: depth of the cylinder below the water [m], scalar
        outlet_height: spout above the ground [m], scalar
        counterweight: pull of a counterweight at the top of the rod [N], scalar
    Returns:
        depth of the pumping level below the ground [m]; 0 where there is none
    Source: statics of the upstroke solved for the depth; see upstroke_force and friction_force.
    """
    column = density * STANDARD_GRAVITY * math.pi / 4 * bore**2
    with_friction = column * (1.0 + 1.0 / mechanical_efficiency) / 2.0
    pull = handle_force * lever_ratio + counterweight
    free = pull - with_friction * outlet_height - rod_force_per_length * submergence
    return max(free, 0.0) / (with_friction + rod_force_per_length)
