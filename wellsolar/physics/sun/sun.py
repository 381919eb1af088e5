"""Sun position, clear sky, tilted plane and cell temperature, in closed form.

All times are solar, so no longitude is needed. `tests/against_libraries/sun/test_sun.py` holds
every function to pvlib, which ordinary commands do without: it takes half a second to import.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from wellsolar.physics.types import FloatArray, Floats

FAIMAN_CONSTANT: Final = 25.0
"""Heat loss of a module without wind [W/m2/K]; Faiman (2008), as pvlib quotes it."""

FAIMAN_WIND: Final = 6.84
"""Growth of that loss with wind [W/m2/K per m/s]; Faiman (2008), as pvlib quotes it."""

STANDARD_PRESSURE: Final = 101325.0
"""Air at the sea in the standard atmosphere [Pa]; exact by definition."""

LOWEST_SUN: Final = 0.01745
"""Cosine of the zenith angle below which the ring around the sun grows no more [-]: 89 degrees, as
pvlib has it."""


def declination(day: Floats) -> Floats:
    """Declination of the sun, good to 0.04 degrees.

    Parameters:
        day: day of the year [day], scalar or array
    Returns:
        declination [deg]
    Source: Spencer (1971), as pvlib quotes it.
    """
    turn = 2.0 * np.pi / 365.0 * (np.asarray(day) - 1.0)
    angle: Floats = np.degrees(
        0.006918
        - 0.399912 * np.cos(turn)
        + 0.070257 * np.sin(turn)
        - 0.006758 * np.cos(2.0 * turn)
        + 0.000907 * np.sin(2.0 * turn)
        - 0.002697 * np.cos(3.0 * turn)
        + 0.00148 * np.sin(3.0 * turn)
    )
    return angle


def sun_position(
    latitude: Floats, declination: Floats, hour_angle: Floats
) -> tuple[FloatArray, FloatArray]:
    """Where the sun stands, without refraction.

    Parameters:
        latitude: north positive [deg], scalar or array
        declination: of the sun [deg], scalar or array
        hour_angle: 0 at noon, negative before [deg], scalar or array
    Returns:
        zenith angle and azimuth from north clockwise, 0 to 360 [deg]
    Source: Duffie & Beckman eq. 1.6.5 for the zenith (from memory); the azimuth by the sun's
        parts to the north and to the east, which a sun due north or south leaves exact.
    """
    place, sun, hour = np.radians(latitude), np.radians(declination), np.radians(hour_angle)
    up = np.cos(sun) * np.cos(place) * np.cos(hour) + np.sin(sun) * np.sin(place)
    north = np.sin(sun) * np.cos(place) - np.cos(sun) * np.sin(place) * np.cos(hour)
    east = -np.cos(sun) * np.sin(hour)
    zenith = np.degrees(np.arccos(np.clip(up, -1.0, 1.0)))
    return zenith, np.degrees(np.arctan2(east, north)) % 360.0


def clear_sky(
    zenith: FloatArray, altitude: float, linke_turbidity: float, extraterrestrial_normal: float
) -> tuple[FloatArray, FloatArray]:
    """Irradiance of a cloudless sky.

    Parameters:
        zenith: of the sun [deg], array
        altitude: above the sea [m], scalar
        linke_turbidity: of the air, 2 very clear, 3 clear, 5 hazy [-], scalar
        extraterrestrial_normal: outside the atmosphere, facing the sun [W/m2], scalar
    Returns:
        total on the horizontal and direct normal [W/m2]; 0 at night
    Source: Ineichen & Perez, Solar Energy 73 (2002) 151, as pvlib quotes it; its beam is nowhere
        above what the total leaves (the same, p. 157). Air mass by Kasten & Young, Applied Optics
        28 (1989) 4735, and the pressure of the standard atmosphere.
    """
    total, direct = np.zeros_like(zenith), np.zeros_like(zenith)
    up = zenith < 90.0
    vertical = np.cos(np.radians(zenith[up]))
    mass = _air_mass(zenith[up], vertical) * _pressure(altitude) / STANDARD_PRESSURE
    low, high = np.exp(-altitude / 8000.0), np.exp(-altitude / 1250.0)
    haze = linke_turbidity - 1.0
    global_part = (5.09e-5 * altitude + 0.868) * np.exp(
        -(3.92e-5 * altitude + 0.0387) * mass * (low + high * haze)
    )
    total[up] = extraterrestrial_normal * vertical * global_part
    beam = extraterrestrial_normal * (0.664 + 0.163 / low) * np.exp(-0.09 * mass * haze)
    diffuse_part = (0.1 - 0.2 * np.exp(-linke_turbidity)) / (0.1 + 0.882 / low)
    most = extraterrestrial_normal * global_part * np.maximum(1.0 - diffuse_part, 0.0)
    direct[up] = np.minimum(beam, most)
    return total, direct


def _air_mass(zenith: FloatArray, vertical: FloatArray) -> FloatArray:
    """Air between a place at the sea and the sun, over that straight up."""
    return np.asarray(1.0 / (vertical + 0.50572 * (96.07995 - zenith) ** -1.6364))


def _pressure(altitude: float) -> float:
    """Of the standard atmosphere [Pa], in the rounding of the sky's own sources."""
    return float(100.0 * ((44331.514 - altitude) / 11880.516) ** (1.0 / 0.1902632))


def on_plane(
    tilt: float,
    azimuth: float,
    zenith: Floats,
    sun_azimuth: Floats,
    diffuse_horizontal: Floats,
    direct_normal: Floats,
    extraterrestrial_normal: Floats,
    albedo: float,
) -> FloatArray:
    """Irradiance on a tilted plane.

    Parameters:
        tilt: of the plane from the horizontal [deg], scalar
        azimuth: the plane looks to, from north clockwise [deg], scalar
        zenith: of the sun [deg], scalar or array
        sun_azimuth: from north clockwise [deg], scalar or array
        diffuse_horizontal: diffuse sky light on the horizontal [W/m2], scalar or array
        direct_normal: beam on a plane that faces the sun [W/m2], scalar or array
        extraterrestrial_normal: outside the atmosphere, facing the sun [W/m2], scalar or array
        albedo: part of the sun that the ground reflects [0..1], scalar
    Returns:
        irradiance on the plane [W/m2]
    Source: Hay & Davies (1980) for the sky, as pvlib quotes it, with the sun at 1 degree or more
        above the horizon; isotropic ground.
    """
    slope, upright = np.radians(tilt), np.cos(np.radians(zenith))
    facing = np.cos(slope) * upright + np.sin(slope) * np.sin(np.radians(zenith)) * np.cos(
        np.radians(sun_azimuth - azimuth)
    )
    facing = np.clip(facing, 0.0, 1.0)
    around_sun = direct_normal / extraterrestrial_normal
    even = (1.0 - around_sun) * 0.5 * (1.0 + np.cos(slope))
    beside = around_sun * facing / np.maximum(upright, LOWEST_SUN)
    sky = diffuse_horizontal * (np.maximum(even, 0.0) + np.maximum(beside, 0.0))
    total = diffuse_horizontal + direct_normal * np.maximum(upright, 0.0)
    ground = total * albedo * 0.5 * (1.0 - np.cos(slope))
    plane: FloatArray = direct_normal * facing + sky + ground
    return plane


def cell_temperature(
    irradiance: Floats,
    air_temperature: Floats,
    wind_speed: Floats,
    heat_loss: float = FAIMAN_CONSTANT,
    heat_loss_by_wind: float = FAIMAN_WIND,
) -> Floats:
    """Cell temperature of a module in the open.

    Parameters:
        irradiance: on the plane of the array [W/m2], scalar or array
        air_temperature: [degC], scalar or array
        wind_speed: at the module [m/s], scalar or array
        heat_loss: heat loss without wind [W/m2/K], scalar
        heat_loss_by_wind: growth of the loss with wind [W/m2/K per m/s], scalar
    Returns:
        cell temperature [degC]
    Source: Faiman, Progress in Photovoltaics 16 (2008) 307.

    >>> float(cell_temperature(900.0, 20.0, 5.0))
    35.203
    """
    warm: Floats = air_temperature + irradiance / (heat_loss + heat_loss_by_wind * wind_speed)
    return warm


def haurwitz_horizontal(zenith: Floats) -> Floats:
    """Global irradiance of a cloudless sky on a level surface, by the sun's height alone.

    Parameters:
        zenith: of the sun [deg], scalar or array
    Returns:
        irradiance [W/m2]; 0 with the sun down
    Source: Haurwitz (1945), J. Meteorology 2, 154: 1098 cos z exp(-0.059 / cos z), as
        pvlib has it.
    """
    height = np.cos(np.radians(zenith))
    up = height > 0.0
    safe = np.where(up, height, 1.0)
    found: Floats = np.where(up, 1098.0 * safe * np.exp(-0.059 / safe), 0.0)[()]
    return found
