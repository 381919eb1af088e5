"""Sun position, clear sky, tilted plane and cell temperature, by pvlib.

The only module that imports pvlib, which takes half a second; import this one where sun is needed.
All times are solar, so no longitude is needed.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import pvlib

from wellsolar.physics.types import FloatArray, Floats

FAIMAN_CONSTANT: Final = 25.0
"""Heat loss of a module without wind [W/m2/K]; Faiman (2008), as pvlib quotes it."""

FAIMAN_WIND: Final = 6.84
"""Growth of that loss with wind [W/m2/K per m/s]; Faiman (2008), as pvlib quotes it."""


def declination(day: Floats) -> Floats:
    """Declination of the sun, good to 0.04 degrees.

    Parameters:
        day: day of the year [day], scalar or array
    Returns:
        declination [deg]
    Source: Spencer (1971), in pvlib.
    """
    angle: Floats = np.degrees(pvlib.solarposition.declination_spencer71(day))
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
        zenith angle and azimuth from north clockwise [deg]
    Source: Duffie & Beckman eqs. 1.6.5 and 1.6.6, in pvlib.
    """
    north, sun, hour = np.radians(latitude), np.radians(declination), np.radians(hour_angle)
    zenith = pvlib.solarposition.solar_zenith_analytical(north, hour, sun)
    azimuth = pvlib.solarposition.solar_azimuth_analytical(north, hour, sun, zenith)
    return np.degrees(zenith), np.degrees(azimuth)


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
    Source: Ineichen & Perez, Solar Energy 73 (2002) 151, in pvlib.
    """
    up = zenith < 90.0
    total, direct = np.zeros_like(zenith), np.zeros_like(zenith)
    if not np.any(up):
        return total, direct
    mass = pvlib.atmosphere.get_absolute_airmass(
        pvlib.atmosphere.get_relative_airmass(zenith[up]), pvlib.atmosphere.alt2pres(altitude)
    )
    clear = pvlib.clearsky.ineichen(
        zenith[up], mass, linke_turbidity, altitude, extraterrestrial_normal
    )
    total[up], direct[up] = clear["ghi"], clear["dni"]
    return total, direct


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
    Source: Hay & Davies (1980) for the sky, isotropic ground, in pvlib.
    """
    incidence = pvlib.irradiance.aoi_projection(tilt, azimuth, zenith, sun_azimuth)
    sky = pvlib.irradiance.haydavies(
        tilt,
        azimuth,
        diffuse_horizontal,
        direct_normal,
        extraterrestrial_normal,
        zenith,
        sun_azimuth,
    )
    total = diffuse_horizontal + direct_normal * np.maximum(np.cos(np.radians(zenith)), 0.0)
    ground = pvlib.irradiance.get_ground_diffuse(tilt, total, albedo)
    plane: FloatArray = direct_normal * np.maximum(incidence, 0.0) + sky + ground
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
    Source: Faiman, Progress in Photovoltaics 16 (2008) 307, in pvlib.

    >>> float(cell_temperature(900.0, 20.0, 5.0))
    35.203
    """
    warm: Floats = pvlib.temperature.faiman(
        irradiance, air_temperature, wind_speed, u0=heat_loss, u1=heat_loss_by_wind
    )
    return warm
