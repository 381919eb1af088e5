"""Klein's monthly method: a month's mean daily total on a plane that faces the equator, under an
isotropic sky, from that on the horizontal. Liu & Jordan (1962), Klein (1977), Erbs, Klein & Duffie
(1982); Duffie & Beckman eqs. 2.12.1, 2.19.1 and 2.19.3 (second hand)."""

from __future__ import annotations

import math

from wellsolar.physics.sun import position


def monthly_mean_tilted(
    latitude: float, day: int, tilt: float, monthly_mean_total: float, albedo: float = 0.2
) -> float:
    """Mean daily total on the plane [J/m2], north of the equator; angles [deg], total [J/m2]."""
    declination = math.radians(position.declination_cooper(day))
    sunset = math.radians(position.sunset_hour_angle(latitude, math.degrees(declination)))
    leaned = latitude - tilt
    sunset_tilted = min(
        sunset, math.radians(position.sunset_hour_angle(leaned, math.degrees(declination)))
    )
    beam_ratio = _swept(leaned, declination, sunset_tilted) / _swept(latitude, declination, sunset)
    clearness = monthly_mean_total / position.extraterrestrial_day(latitude, day)
    diffuse = _diffuse(clearness, math.degrees(sunset))
    lean = math.cos(math.radians(tilt))
    sky = (1.0 - diffuse) * beam_ratio + diffuse * (1.0 + lean) / 2.0
    return monthly_mean_total * (sky + albedo * (1.0 - lean) / 2.0)


def _swept(latitude: float, declination: float, until: float) -> float:
    """Sun on a level place from noon to an hour angle, in parts of the sun's own."""
    north = math.radians(latitude)
    return math.cos(north) * math.cos(declination) * math.sin(until) + until * math.sin(
        north
    ) * math.sin(declination)


def _diffuse(clearness: float, sunset: float) -> float:
    """Diffuse part of a month's mean daily total."""
    if sunset <= 81.4:
        return 1.391 + clearness * (-3.560 + clearness * (4.189 - clearness * 2.137))
    return 1.311 + clearness * (-3.022 + clearness * (3.427 - clearness * 1.821))
