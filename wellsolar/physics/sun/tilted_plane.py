"""What falls on a tilted plane, what a skyline of hills, trees or roofs hides of it, and how warm
the cells there are.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wellsolar.physics.guards import require_range
from wellsolar.physics.types import FloatArray, Floats

FAIMAN_CONSTANT: Final = 25.0
"""Heat loss of a module without wind [W/m2/K]; Faiman (2008), as pvlib quotes it."""


FAIMAN_WIND: Final = 6.84
"""Growth of that loss with wind [W/m2/K per m/s]; Faiman (2008), as pvlib quotes it."""


LOWEST_SUN: Final = 0.01745
"""Sine of the least height of the sun [-] that its glow is laid on a plane by, of 1 degree; as in
pvlib."""

LEAST_ANGULAR_LOSS: Final = 0.01
"""Coefficient below which no light is lost to speak of, and its formula ends [-]; our choice."""


@dataclass(frozen=True, eq=False)
class PlaneLight:
    """Light on a tilted plane by where it comes from [W/m2].

    beam: of the sun and the bright ring around it; sky: of the even sky; ground: thrown back
    incidence: angle between the sun and the plane's normal [deg]
    """

    beam: FloatArray
    sky: FloatArray
    ground: FloatArray
    incidence: FloatArray

    @property
    def total(self) -> FloatArray:
        """All of it [W/m2]."""
        return np.asarray(self.beam + self.sky + self.ground)


def light_on_plane(
    tilt: float,
    azimuth: float,
    zenith: Floats,
    sun_azimuth: Floats,
    diffuse_horizontal: Floats,
    direct_normal: Floats,
    extraterrestrial_normal: Floats,
    albedo: float,
) -> PlaneLight:
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
        light by its origin [W/m2], angle of incidence [deg]
    Source: Hay & Davies (1980) for the sky, with the sun at 1 degree or more above the horizon;
        isotropic ground; as in pvlib.
    """
    from pvlib import irradiance

    height = np.cos(np.radians(zenith))
    upright = np.maximum(height, 0.0)
    # Its cosine is what both the sky and the beam take.
    facing = irradiance.aoi_projection(tilt, azimuth, zenith, sun_azimuth)
    facing_sun = np.maximum(facing, 0.0)
    sky = irradiance.haydavies(
        tilt,
        azimuth,
        diffuse_horizontal,
        direct_normal,
        extraterrestrial_normal,
        projection_ratio=facing_sun / np.maximum(height, LOWEST_SUN),
        return_components=True,
    )
    beam = direct_normal * facing_sun
    total = diffuse_horizontal + direct_normal * upright
    return PlaneLight(
        np.asarray(beam + sky["poa_circumsolar"]),
        np.asarray(sky["poa_isotropic"]),
        np.asarray(irradiance.get_ground_diffuse(tilt, total, albedo)),
        np.degrees(np.arccos(facing)),
    )


def light_to_cells(light: PlaneLight, tilt: float, angular_loss: float) -> FloatArray:
    """Light that gets through the glass of a module, as it would from straight above.

    Parameters:
        light: on the plane [W/m2, deg]
        tilt: of the plane from the horizontal [deg], scalar
        angular_loss: coefficient of Martin & Ruiz, 0.16 of plain glass; below 0.01
            none [-], scalar
    Returns:
        light at the cells [W/m2]
    Raises:
        OutOfRange: a coefficient outside 0 to 0.5
    Source: Martin & Ruiz, Solar Energy Materials & Solar Cells 70 (2001) 25, eq. 4, for the beam;
        Progress in Photovoltaics 13 (2005) 75 for sky and ground; both as in pvlib.
    """
    require_range(angular_loss, 0.0, 0.5, "coefficient of the angular loss", "")
    if angular_loss < LEAST_ANGULAR_LOSS:
        return light.total
    from pvlib import iam

    # Its formula ends where the plane is level.
    even = iam.martin_ruiz_diffuse(max(tilt, 0.01), angular_loss)
    # Before 0.16 pvlib gives the two as a tuple.
    sky, ground = even if isinstance(even, tuple) else (even["sky"], even["ground"])
    beam = np.asarray(iam.martin_ruiz(light.incidence, angular_loss))
    return np.asarray(light.beam * beam + light.sky * sky + light.ground * ground)


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
