"""Water in the well: levels, drawdown and specific capacity.

Levels are depths below the wellhead, so a deeper level is a greater number.
"""

from __future__ import annotations

import math

from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import Floats


def drawdown(flow: Floats, specific_capacity: Floats) -> Floats:
    """How far pumping draws the water down below its level at rest.

    Straight-line: right near the flow at which the specific capacity was measured, too small
    at greater flows, where turbulence in the well adds loss, and after longer pumping.

    Parameters:
        flow: flow out of the well, 0 or more [m3/s], scalar or array
        specific_capacity: flow for each metre of drawdown [m2/s], scalar or array
    Returns:
        drawdown [m]
    Raises:
        OutOfRange: negative flow, or specific capacity not above zero
    Source: definition of specific capacity; Driscoll (1986), Groundwater and Wells (from memory).
    """
    require_range(flow, 0.0, math.inf, "flow", "m3/s")
    require_positive(specific_capacity, "specific capacity", "m2/s")
    return flow / specific_capacity


def pumping_level(static_level: Floats, flow: Floats, specific_capacity: Floats) -> Floats:
    """Depth to water while pumping.

    Parameters:
        static_level: depth to water at rest [m], scalar or array
        flow: flow out of the well, 0 or more [m3/s], scalar or array
        specific_capacity: flow for each metre of drawdown [m2/s], scalar or array
    Returns:
        depth to water while pumping [m]
    Raises:
        OutOfRange: negative flow, or specific capacity not above zero
    Source: definition, static level plus drawdown.
    """
    return static_level + drawdown(flow, specific_capacity)


def specific_capacity(flow: Floats, drawdown: Floats) -> Floats:
    """Flow for each metre of drawdown, from a pumping test.

    Parameters:
        flow: steady flow of the test, 0 or more [m3/s], scalar or array
        drawdown: drawdown when the level has settled [m], scalar or array
    Returns:
        specific capacity [m2/s], that is m3/s for each metre
    Raises:
        OutOfRange: negative flow, or drawdown not above zero
    Source: definition; Driscoll (1986), Groundwater and Wells (from memory).
    """
    require_range(flow, 0.0, math.inf, "flow", "m3/s")
    require_positive(drawdown, "drawdown", "m")
    return flow / drawdown
