"""Water in the well: levels, drawdown and specific capacity.

Levels are depths below the wellhead, so a deeper level is a greater number.
"""

from __future__ import annotations

import math

from wellsolar.physics.guards import require_positive, require_range


def drawdown(flow: float, specific_capacity: float) -> float:
    """How far pumping draws the water down below its level at rest.

    Straight-line: right near the flow at which the specific capacity was measured, too small
    at greater flows, where turbulence in the well adds loss, and after longer pumping.

    Parameters:
        flow: flow out of the well, 0 or more [m3/s], scalar
        specific_capacity: flow for each metre of drawdown [m2/s], scalar
    Returns:
        drawdown [m]
    Raises:
        OutOfRange: negative flow, or specific capacity not above zero
    Source: definition of specific capacity; Driscoll (1986), Groundwater and Wells (from memory).
    """
    require_range(flow, 0.0, math.inf, "flow", "m3/s")
    require_positive(specific_capacity, "specific capacity", "m2/s")
    return flow / specific_capacity


def pumping_level(static_level: float, flow: float, specific_capacity: float) -> float:
    """Depth to water while pumping.

    Parameters:
        static_level: depth to water at rest [m], scalar
        flow: flow out of the well, 0 or more [m3/s], scalar
        specific_capacity: flow for each metre of drawdown [m2/s], scalar
    Returns:
        depth to water while pumping [m]
    Raises:
        OutOfRange: negative flow, or specific capacity not above zero
    Source: definition, static level plus drawdown.
    """
    return static_level + drawdown(flow, specific_capacity)


def specific_capacity(flow: float, drawdown: float) -> float:
    """Flow for each metre of drawdown, from a pumping test.

    Parameters:
        flow: steady flow of the test, 0 or more [m3/s], scalar
        drawdown: drawdown when the level has settled [m], scalar
    Returns:
        specific capacity [m2/s], that is m3/s for each metre
    Raises:
        OutOfRange: negative flow, or drawdown not above zero
    Source: definition; Driscoll (1986), Groundwater and Wells (from memory).
    """
    require_range(flow, 0.0, math.inf, "flow", "m3/s")
    require_positive(drawdown, "drawdown", "m")
    return flow / drawdown
