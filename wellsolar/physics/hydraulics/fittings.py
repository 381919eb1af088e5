"""Loss in elbows, tees and valves, by loss coefficient or by equivalent length.

Published values for one fitting differ by half either way, so a total is no better than that;
say which table it came from (wellsolar/data/fittings.csv has them with their sources).
"""

from __future__ import annotations

import math

from wellsolar.physics.guards import require_range
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
