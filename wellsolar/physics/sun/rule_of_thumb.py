"""The rule of thumb for an array: monthly sun on a tilted plane, peak sun hours, derate."""

from __future__ import annotations

import math

from wellsolar.constants import TEST_IRRADIANCE
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import Real


def peak_sun_hours(daily_total: Real) -> Real:
    """Hours of 1000 W/m2 that give a day's total.

    Parameters:
        daily_total: [J/m2], scalar or array
    Returns:
        peak sun hours [h]
    Source: definition, 1 h of 1000 W/m2 is 3.6 MJ/m2.

    >>> peak_sun_hours(14.45e6)
    4.01
    """
    return daily_total / (3600.0 * TEST_IRRADIANCE)


def array_power_by_rule_of_thumb(
    daily_energy: float, peak_sun_hours: float, derate: float
) -> float:
    """Rated power of an array that gives a day's energy, by the rule of thumb.

    Parameters:
        daily_energy: wanted each day [J], scalar
        peak_sun_hours: on the plane of the array [h], above 0, scalar
        derate: part of the rated power that is left in use [0..1], above 0, scalar
    Returns:
        rated power [W]
    Raises:
        OutOfRange: peak sun hours or derate outside its range
    Source: common practice, no source.
    """
    require_range(peak_sun_hours, 1e-6, 24.0, "peak sun hours", "h")
    require_range(derate, 1e-6, 1.0, "derate", "")
    return daily_energy / (3600.0 * peak_sun_hours * derate)


def rule_of_thumb_array(
    daily_energy: float, peak_sun_hours: float, derate: float, module_power: float
) -> int:
    """Modules that give a day's energy, by the rule of thumb.

    Parameters:
        daily_energy: wanted each day [J], scalar
        peak_sun_hours: on the plane of the array [h], above 0, scalar
        derate: part of the rated power that is left in use [0..1], above 0, scalar
        module_power: rated power of one module [W], scalar
    Returns:
        modules, the next whole number [-]
    Raises:
        OutOfRange: peak sun hours or derate outside its range, module power not above 0
    Source: common practice, no source.
    """
    require_positive(module_power, "module power", "W")
    power = array_power_by_rule_of_thumb(daily_energy, peak_sun_hours, derate)
    return math.ceil(power / module_power - 1e-9)
