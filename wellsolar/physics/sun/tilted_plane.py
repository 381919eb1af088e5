"""What falls on a tilted plane, what a skyline of hills, trees or roofs hides of it, and how warm
the cells there are.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wellsolar.physics.guards import require_range
from wellsolar.physics.types import FloatArray, Floats

FAIMAN_CONSTANT: Final = 25.0
"""Heat loss of a module without wind [W/m2/K]; Faiman (2008), as pvlib quotes it."""


FAIMAN_WIND: Final = 6.84
"""Growth of that loss with wind [W/m2/K per m/s]; Faiman (2008), as pvlib quotes it."""


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
    Source: Hay & Davies (1980) for the sky, with the sun at 1 degree or more above the horizon;
        isotropic ground; as in pvlib.
    """
    from pvlib import irradiance

    upright = np.maximum(np.cos(np.radians(zenith)), 0.0)
    plane = irradiance.get_total_irradiance(
        tilt,
        azimuth,
        zenith,
        sun_azimuth,
        direct_normal,
        diffuse_horizontal + direct_normal * upright,
        diffuse_horizontal,
        dni_extra=extraterrestrial_normal,
        albedo=albedo,
        model="haydavies",
    )
    return np.asarray(plane["poa_global"])


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
    Source: Faiman, Progress in Photovoltaics 16 (2008) 307, as in pvlib.

    >>> float(cell_temperature(900.0, 20.0, 5.0))
    35.203
    """
    from pvlib import temperature

    warm: Floats = temperature.faiman(
        irradiance, air_temperature, wind_speed, heat_loss, heat_loss_by_wind
    )
    return warm


_STEPS_AROUND: Final = 180
"""Directions around the horizon over which the sky is summed."""


_STEPS_UP: Final = 90
"""Heights over which the sky is summed; the sky's share is then good to 0.002."""


def height_towards(horizon_heights: FloatArray, sun_azimuth: FloatArray) -> FloatArray:
    """Height of the skyline in a direction, straight between the given ones.

    Parameters:
        horizon_heights: angle of the skyline above the horizontal at equal steps of azimuth from
            north clockwise [deg], array
        sun_azimuth: directions looked to, from north clockwise [deg], array
    Returns:
        height of the skyline [deg]
    Raises:
        OutOfRange: a height below 0 or above 90 deg, or none given
    Source: none needed, linear interpolation.
    """
    heights = np.atleast_1d(np.asarray(horizon_heights, dtype=np.float64))
    require_range(heights.size, 1, 3600, "number of horizon heights", "")
    require_range(heights, 0.0, 90.0, "horizon height", "deg")
    around = np.linspace(0.0, 360.0, heights.size + 1)
    return np.asarray(
        np.interp(np.mod(sun_azimuth, 360.0), around, np.append(heights, heights[0]))
    )


def is_behind(
    horizon_heights: FloatArray, zenith: FloatArray, sun_azimuth: FloatArray
) -> NDArray[np.bool_]:
    """Whether the sun stands behind the skyline.

    Parameters:
        horizon_heights: angle of the skyline above the horizontal at equal steps of azimuth from
            north clockwise [deg], array
        zenith: of the sun [deg], array
        sun_azimuth: from north clockwise [deg], array
    Returns:
        true where the sun is hidden [-]
    Raises:
        OutOfRange: a height below 0 or above 90 deg, or none given
    Source: geometry.
    """
    return np.asarray(90.0 - zenith < height_towards(horizon_heights, sun_azimuth))


def sky_left(horizon_heights: FloatArray, tilt: float, azimuth: float) -> float:
    """Part of an even sky's light on a plane that comes from above the skyline.

    Parameters:
        horizon_heights: angle of the skyline above the horizontal at equal steps of azimuth from
            north clockwise [deg], array
        tilt: of the plane from the horizontal [deg], scalar
        azimuth: the plane looks to, from north clockwise [deg], scalar
    Returns:
        light from above the skyline over that of the whole sky [0..1]
    Raises:
        OutOfRange: a height below 0 or above 90 deg, or none given
    Source: geometry, the cosine-weighted integral of an even radiance over the sky that the
        plane sees.
    """
    around = (np.arange(_STEPS_AROUND) + 0.5) * 360.0 / _STEPS_AROUND
    # Equal steps in the sine of the height are equal pieces of the sky's dome.
    up = ((np.arange(_STEPS_UP) + 0.5) / _STEPS_UP)[:, None]
    level = np.sqrt(1.0 - up * up)
    slope = math.radians(tilt)
    facing = up * math.cos(slope) + level * math.sin(slope) * np.cos(np.radians(around - azimuth))
    seen = np.maximum(facing, 0.0)
    step = 0.5 / _STEPS_UP
    skyline = np.sin(np.radians(height_towards(horizon_heights, around)))
    # A piece that the skyline crosses counts by the part of it that is above.
    above = np.clip((up + step - skyline) / (2.0 * step), 0.0, 1.0)
    return float(np.sum(seen * above) / np.sum(seen))
