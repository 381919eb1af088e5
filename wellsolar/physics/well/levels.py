"""Water in the well: levels, drawdown, yield and what the casing stores.

Levels are depths below the wellhead, so a deeper level is a greater number.
"""

from __future__ import annotations

import math

import numpy as np

from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.hydraulics.pipe import cross_section
from wellsolar.physics.hydraulics.water import pressure_head
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


def sustained_flow(
    static_level: Floats, lowest_level: Floats, specific_capacity: Floats
) -> Floats:
    """Flow that holds the water at the lowest level allowed.

    Parameters:
        static_level: depth to water at rest [m], scalar or array
        lowest_level: deepest level allowed, above the intake by its cover [m], scalar or array
        specific_capacity: flow for each metre of drawdown [m2/s], scalar or array
    Returns:
        flow [m3/s]; zero where the water at rest is already below the lowest level
    Raises:
        OutOfRange: specific capacity not above zero
    Source: definition of specific capacity.
    """
    require_positive(specific_capacity, "specific capacity", "m2/s")
    if isinstance(static_level, (int, float)) and isinstance(lowest_level, (int, float)):
        return max(0.0, lowest_level - static_level) * specific_capacity
    return np.maximum(0.0, lowest_level - static_level) * specific_capacity


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


def stored_volume(
    casing_bore: Floats, water_column: Floats, displaced_area: Floats = 0.0
) -> Floats:
    """Water standing in the casing.

    Parameters:
        casing_bore: inside diameter of the casing or of the open hole [m], scalar or array
        water_column: height of water, 0 or more [m], scalar or array
        displaced_area: cross-section of the drop pipes in the water [m2], scalar or array
    Returns:
        volume [m3]
    Raises:
        OutOfRange: bore not above zero, negative column, or the pipes fill the bore
    Source: geometry of a cylinder; UFC 3-230-02, Table 1, prints 1.47 gal/ft for 6 in.
    """
    require_positive(casing_bore, "casing bore", "m")
    require_range(water_column, 0.0, math.inf, "water column", "m")
    require_range(displaced_area, 0.0, math.inf, "displaced area", "m2")
    free_area = cross_section(casing_bore) - displaced_area
    require_positive(free_area, "area left between the pipes and the casing", "m2")
    return free_area * water_column


def air_line_level(air_line_length: Floats, pressure: Floats, density: Floats) -> Floats:
    """Depth to water from the pressure that clears an air line.

    Parameters:
        air_line_length: depth of the line's open end [m], scalar or array
        pressure: steady gauge pressure with the line blown clear, 0 or more [Pa], scalar or array
        density: density of the water [kg/m3], scalar or array
    Returns:
        depth to water [m]
    Raises:
        OutOfRange: negative pressure, density not above zero, or a pressure that would put the
            water above the top of the line
    Source: UFC 3-230-02 (MIL-HDBK-1164), App. A.

    >>> air_line_level(150 * 0.3048, 18 * 6894.757, 998.55) / 0.3048
    108.4
    """
    require_range(pressure, 0.0, math.inf, "air-line pressure", "Pa")
    level = air_line_length - pressure_head(pressure, density)
    require_range(level, 0.0, math.inf, "depth to water by the air line", "m")
    return level
