"""Flow in a full round pipe: velocity, Reynolds number, friction loss and the loss of fittings.

Darcy-Weisbach with Colebrook's friction factor is the answer; Hazen-Williams is the trade's
cross-check, which for house-size flows in smooth pipe comes out a few per cent lower at C = 150.
Published values for one fitting differ by half either way, so a total is no better than that;
wellsolar/data/fittings.csv has them with their sources.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from fluids.friction import Clamond

from wellsolar.constants import INCH, STANDARD_GRAVITY, US_GALLON
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import Real

LAMINAR_LIMIT: Final = 2040.0
"""Reynolds number [-] under which the flow is taken as laminar; Avila et al. (2011),
The onset of turbulence in pipe flow, Science 333:192, the value that fluids uses too."""

_AT_REST: Final = 1e-30
"""Reynolds number [-] in place of 0."""

ROUGHEST: Final = 0.05
"""Greatest relative roughness [-] on Moody's (1944) chart (from memory)."""

_HAZEN_WILLIAMS: Final[float] = (
    0.2083 / 100.0 * 100.0**1.852 * (US_GALLON / 60.0) ** -1.852 * INCH**4.8655
)
"""0.2083 ft per 100 ft at C = 100, 1 US gpm and 1 inch, as a slope with m3/s and m."""


def cross_section(diameter: float) -> float:
    """Area of a circle: of the water in a full pipe, of a rod.

    Parameters:
        diameter: of the circle [m], scalar
    Returns:
        area [m2]
    Source: geometry.
    """
    return math.pi / 4.0 * diameter**2


def velocity(flow: float, bore: float) -> float:
    """Mean velocity in a full round pipe.

    Parameters:
        flow: volume flow [m3/s], scalar
        bore: true inside diameter [m], scalar
    Returns:
        mean velocity [m/s]
    Raises:
        OutOfRange: bore not above zero
    Source: continuity, Q = V A.
    """
    require_positive(bore, "bore", "m")
    return flow / cross_section(bore)


def velocity_head(velocity: Real) -> Real:
    """Head that belongs to the motion of the water.

    Parameters:
        velocity: mean velocity [m/s], scalar or array
    Returns:
        velocity head V2/2g [m]
    Source: Bernoulli's equation.
    """
    return velocity**2 / (2.0 * STANDARD_GRAVITY)


def reynolds_number(velocity: Real, bore: float, kinematic_viscosity: float) -> Real:
    """Reynolds number of the flow in a full round pipe.

    Parameters:
        velocity: mean velocity [m/s], scalar or array
        bore: true inside diameter [m], scalar
        kinematic_viscosity: kinematic viscosity of the water [m2/s], scalar
    Returns:
        Reynolds number V D / nu [-]
    Raises:
        OutOfRange: bore or viscosity not above zero
    Source: Reynolds (1883), definition.
    """
    require_positive(kinematic_viscosity, "kinematic viscosity", "m2/s")
    return velocity * bore / kinematic_viscosity


def _friction_factor(reynolds: float, relative_roughness: float) -> float:
    if reynolds < LAMINAR_LIMIT:
        return 64.0 / reynolds
    return float(Clamond(reynolds, relative_roughness, False))


_friction_factors = np.vectorize(_friction_factor, otypes=[np.float64])


def friction_factor(reynolds_number: Real, relative_roughness: float) -> Real:
    """Darcy friction factor of a full round pipe.

    Below Re 2040 it is the laminar 64/Re, above it Colebrook's, with a step up between the two:
    the transition has no single value.

    Parameters:
        reynolds_number: Reynolds number, above 0 [-], scalar or array
        relative_roughness: roughness over bore, 0..0.05 [-], scalar
    Returns:
        Darcy friction factor (four times Fanning's) [-]
    Raises:
        OutOfRange: Reynolds number not above zero, or relative roughness outside 0..0.05
    Source: Colebrook (1939), solved to machine precision by Clamond (2009) in fluids;
        Poiseuille's law below the transition.

    >>> friction_factor(1e5, 1e-4)
    0.0185138661
    """
    require_positive(reynolds_number, "Reynolds number", "")
    require_range(relative_roughness, 0.0, ROUGHEST, "relative roughness", "")
    if isinstance(reynolds_number, (int, float)):
        return _friction_factor(reynolds_number, relative_roughness)
    return np.asarray(_friction_factors(reynolds_number, relative_roughness), dtype=np.float64)


class FrictionLoss:
    """Friction loss of one pipe as a function of the flow, what is the pipe's own asked once.

    Parameters:
        bore: true inside diameter [m], scalar
        length: length of pipe, equivalent lengths included, 0 or more [m], scalar
        roughness: height of the wall's roughness [m], scalar
        kinematic_viscosity: kinematic viscosity of the water [m2/s], scalar
    Raises:
        OutOfRange: bore or viscosity not above zero, negative length, or a roughness over the
            bore outside 0..0.05
    Source: Darcy-Weisbach, h = f (L/D) V2/2g, with Colebrook (1939).
    """

    def __init__(
        self, bore: float, length: float, roughness: float, kinematic_viscosity: float
    ) -> None:
        require_positive(bore, "bore", "m")
        require_range(length, 0.0, math.inf, "pipe length", "m")
        self.bore, self.length, self.viscosity = bore, length, kinematic_viscosity
        self.relative_roughness = roughness / bore
        require_range(self.relative_roughness, 0.0, ROUGHEST, "relative roughness", "")
        # At 1 m3/s; the one rises as the flow, the other as its square.
        speed = velocity(1.0, bore)
        self._reynolds = reynolds_number(speed, bore, kinematic_viscosity)
        self._velocity_heads = length / bore * velocity_head(speed)

    def __call__(self, flow: Real) -> Real:
        """Head lost to friction at a flow.

        Parameters:
            flow: volume flow, 0 or more [m3/s], scalar or array
        Returns:
            head lost [m]; zero where the flow is zero
        Raises:
            OutOfRange: negative flow
        Source: as of the class.
        """
        require_range(flow, 0.0, math.inf, "flow", "m3/s")
        reynolds = flow * self._reynolds
        # Water at rest loses nothing by any factor.
        if isinstance(reynolds, float):
            factor = _friction_factor(max(reynolds, _AT_REST), self.relative_roughness)
            return factor * self._velocity_heads * flow**2
        factors = friction_factor(reynolds + _AT_REST, self.relative_roughness)
        return factors * self._velocity_heads * flow**2


def head_loss_hazen_williams(
    flow: Real, bore: float, length: float, hazen_williams_coefficient: float
) -> Real:
    """Friction loss in a full round pipe by Hazen-Williams.

    The trade's form, for cold water in turbulent flow: 0.2083 (100/C)^1.852 Q^1.852 / d^4.8655
    feet per 100 feet, with gpm and inches.

    Parameters:
        flow: volume flow, 0 or more [m3/s], scalar or array
        bore: true inside diameter [m], scalar
        length: length of pipe, 0 or more [m], scalar
        hazen_williams_coefficient: the coefficient C in its customary units [-], scalar
    Returns:
        head lost to friction [m]; zero where the flow is zero
    Raises:
        OutOfRange: negative flow or length; bore or coefficient not above zero
    Source: Williams and Hazen (1905), Hydraulic Tables, in the US trade's form (from memory).

    >>> 100.0 * head_loss_hazen_williams(10 * 6.30902e-5, 0.0266446, 1.0, 150.0)
    5.5
    """
    require_range(flow, 0.0, math.inf, "flow", "m3/s")
    require_range(length, 0.0, math.inf, "pipe length", "m")
    require_positive(bore, "bore", "m")
    require_positive(hazen_williams_coefficient, "Hazen-Williams coefficient", "")
    slope: Real = _HAZEN_WILLIAMS * (flow / hazen_williams_coefficient) ** 1.852 / bore**4.8655
    return slope * length


def fitting_loss(flow: float, bore: float, loss_coefficient: float) -> float:
    """Head lost in a fitting.

    Parameters:
        flow: volume flow [m3/s], scalar
        bore: true inside diameter the coefficient refers to [m], scalar
        loss_coefficient: loss in velocity heads, K, 0 or more [-], scalar
    Returns:
        head lost [m]
    Raises:
        OutOfRange: bore not above zero, or negative loss coefficient
    Source: definition, h = K V2/2g.
    """
    require_range(loss_coefficient, 0.0, math.inf, "loss coefficient", "")
    return loss_coefficient * velocity_head(velocity(flow, bore))


def check_valve_loss(
    flow: float, bore: float, loss_coefficient: float, opening_head: float
) -> float:
    """Head lost in a check valve, which the flow holds open against a weight or a spring.

    While its disc floats it narrows the way until the loss carries it, so that less flow loses no
    less head: K grows as the square of opening velocity over velocity. It takes that head before
    any water passes.

    Parameters:
        flow: volume flow, 0 or more [m3/s], scalar
        bore: true inside diameter the coefficient refers to [m], scalar
        loss_coefficient: of the valve fully open, K, 0 or more [-], scalar
        opening_head: that is lost where it just stands fully open, 0 or more [m], scalar
    Returns:
        head lost [m]
    Raises:
        OutOfRange: bore not above zero; negative loss coefficient or opening head
    Source: balance of forces on the disc, its weight or spring taken as constant over its travel
        (from memory, as in the industry's Technical Paper No. 410 on minimum velocities).
    """
    require_range(opening_head, 0.0, math.inf, "opening head", "m")
    return max(fitting_loss(flow, bore, loss_coefficient), opening_head)


def full_opening_velocity(loss_coefficient: float, opening_head: float) -> float:
    """Velocity from which a check valve stands fully open.

    Parameters:
        loss_coefficient: of the valve fully open, K, above 0 [-], scalar
        opening_head: that is lost where it just stands fully open, 0 or more [m], scalar
    Returns:
        mean velocity in the bore that the coefficient refers to [m/s]
    Raises:
        OutOfRange: loss coefficient not above zero, or negative opening head
    Source: as check_valve_loss, h = K V2/2g.
    """
    require_positive(loss_coefficient, "loss coefficient", "")
    require_range(opening_head, 0.0, math.inf, "opening head", "m")
    return math.sqrt(2.0 * STANDARD_GRAVITY * opening_head / loss_coefficient)
