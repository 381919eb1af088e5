"""The trade's hand rule for an array: monthly sun on a tilted plane, peak sun hours, derate."""

from __future__ import annotations

import numpy as np

from wellsolar.constants import TEST_IRRADIANCE
from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_range
from wellsolar.physics.sun.clearness import monthly_diffuse_fraction
from wellsolar.physics.sun.geometry import declination, extraterrestrial_day, sunset_hour_angle
from wellsolar.physics.types import Floats


def beam_tilt_ratio(latitude: Floats, day: Floats, tilt: Floats) -> Floats:
    """Monthly mean beam on a plane that faces the equator, over that on the horizontal.

    Parameters:
        latitude: north positive [deg], scalar or array
        day: average day of the month [day], scalar or array
        tilt: from the horizontal toward the equator [deg], scalar or array
    Returns:
        ratio [-]
    Raises:
        OutOfRange: the sun does not rise on that day
    Source: Liu & Jordan (1962), Klein (1977); Duffie & Beckman eq. 2.19.3 (second hand).
    """
    facing = np.where(np.asarray(latitude) >= 0.0, 1.0, -1.0)
    sun, north = declination(day), np.radians(latitude)
    seen_from = np.asarray(latitude) - facing * np.asarray(tilt)
    set_flat = sunset_hour_angle(latitude, sun)
    set_tilted = np.radians(np.minimum(set_flat, sunset_hour_angle(seen_from, sun)))
    set_flat, up, leaned = np.radians(set_flat), np.radians(sun), np.radians(seen_from)
    on_flat = np.cos(north) * np.cos(up) * np.sin(set_flat) + set_flat * np.sin(north) * np.sin(up)
    if not np.all(on_flat > 0.0):
        raise OutOfRange(f"latitude {np.max(np.abs(latitude)):g} deg: the sun does not rise")
    on_tilted = np.cos(leaned) * np.cos(up) * np.sin(set_tilted)
    on_tilted = on_tilted + set_tilted * np.sin(leaned) * np.sin(up)
    ratio: Floats = (on_tilted / on_flat)[()]
    return ratio


def monthly_mean_tilted(
    latitude: Floats,
    day: Floats,
    tilt: Floats,
    monthly_mean_total: Floats,
    albedo: Floats = 0.2,
) -> Floats:
    """Monthly mean daily total on a plane that faces the equator, by the hand rule.

    Parameters:
        latitude: north positive [deg], scalar or array
        day: average day of the month [day], scalar or array
        tilt: from the horizontal toward the equator [deg], scalar or array
        monthly_mean_total: monthly mean daily total on the horizontal [J/m2], scalar or array
        albedo: [0..1], scalar or array
    Returns:
        monthly mean daily total on the plane [J/m2]
    Raises:
        OutOfRange: clearness index outside 0.3 to 0.8, or the sun does not rise
    Source: Liu & Jordan (1962), Klein (1977); Duffie & Beckman eq. 2.19.1 (from memory).
    """
    beam_ratio = beam_tilt_ratio(latitude, day, tilt)
    clearness = monthly_mean_total / extraterrestrial_day(latitude, day)
    diffuse = monthly_diffuse_fraction(clearness, sunset_hour_angle(latitude, declination(day)))
    lean = np.cos(np.radians(tilt))
    ratio = (1.0 - diffuse) * beam_ratio + diffuse * (1.0 + lean) / 2.0
    ratio = ratio + albedo * (1.0 - lean) / 2.0
    tilted: Floats = monthly_mean_total * ratio
    return tilted


def peak_sun_hours(daily_total: Floats) -> Floats:
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


def array_power_by_hand_rule(
    daily_energy: Floats, peak_sun_hours: Floats, derate: Floats
) -> Floats:
    """Rated power of an array that gives a day's energy, by the trade's hand rule.

    Parameters:
        daily_energy: wanted each day [J], scalar or array
        peak_sun_hours: on the plane of the array [h], above 0, scalar or array
        derate: part of the rated power that is left in use [0..1], above 0, scalar or array
    Returns:
        rated power [W]
    Raises:
        OutOfRange: peak sun hours or derate outside its range
    Source: common practice, no source.
    """
    require_range(peak_sun_hours, 1e-6, 24.0, "peak sun hours", "h")
    require_range(derate, 1e-6, 1.0, "derate", "")
    return daily_energy / (3600.0 * peak_sun_hours * derate)


def combined_derate(losses: Floats) -> float:
    """What is left after several losses, each a part of what the one before it left.

    Parameters:
        losses: parts lost [0..1], scalar or array
    Returns:
        part left [0..1]
    Raises:
        OutOfRange: a loss outside 0 to 1
    Source: Dobos, NREL/TP-6A20-62641 (2014), total system losses (second hand).
    """
    require_range(losses, 0.0, 1.0, "loss", "")
    return float(np.prod(1.0 - np.asarray(losses)))
