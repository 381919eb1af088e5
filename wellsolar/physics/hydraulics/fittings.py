"""Loss in elbows, tees and valves, by loss coefficient or by equivalent length.

Published values for one fitting differ by half either way, so a total is no better than that;
say which table it came from (wellsolar/data/fittings.csv has them with their sources).
"""

from __future__ import annotations

import math

from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.hydraulics.pipe import velocity, velocity_head
from wellsolar.physics.types import Floats


def head_loss(flow: Floats, bore: Floats, loss_coefficient: Floats) -> Floats:
    """Head lost in a fitting.

    Parameters:
        flow: volume flow [m3/s], scalar or array
        bore: true inside diameter the coefficient refers to [m], scalar or array
        loss_coefficient: loss in velocity heads, K, 0 or more [-], scalar or array
    Returns:
        head lost [m]
    Raises:
        OutOfRange: bore not above zero, or negative loss coefficient
    Source: definition, h = K V2/2g.
    """
    require_range(loss_coefficient, 0.0, math.inf, "loss coefficient", "")
    return loss_coefficient * velocity_head(velocity(flow, bore))


def loss_coefficient_from_length(
    equivalent_length: Floats, bore: Floats, friction_factor: Floats
) -> Floats:
    """Loss coefficient of a fitting that loses as much as a length of pipe.

    Parameters:
        equivalent_length: length of straight pipe with the same loss [m], scalar or array
        bore: true inside diameter of that pipe [m], scalar or array
        friction_factor: Darcy friction factor of that pipe [-], scalar or array
    Returns:
        loss coefficient K = f L/D [-]
    Raises:
        OutOfRange: bore not above zero; negative length or friction factor
    Source: definition, equating K V2/2g with Darcy-Weisbach.
    """
    require_positive(bore, "bore", "m")
    require_range(equivalent_length, 0.0, math.inf, "equivalent length", "m")
    require_range(friction_factor, 0.0, math.inf, "friction factor", "")
    return friction_factor * equivalent_length / bore


def equivalent_length(equivalent_diameters: Floats, bore: Floats) -> Floats:
    """Length of straight pipe that loses as much as a fitting.

    Parameters:
        equivalent_diameters: equivalent length in pipe bores, L/D, 0 or more [-], scalar or array
        bore: true inside diameter of the pipe [m], scalar or array
    Returns:
        equivalent length [m]
    Raises:
        OutOfRange: bore not above zero, or negative number of diameters
    Source: definition, L = (L/D) D; values as in the 2018 International Residential Code,
        Table A.2.2.

    >>> equivalent_length(30.0, 1.049 * 0.0254) / 0.3048
    2.62
    """
    require_positive(bore, "bore", "m")
    require_range(equivalent_diameters, 0.0, math.inf, "equivalent diameters", "")
    return equivalent_diameters * bore
