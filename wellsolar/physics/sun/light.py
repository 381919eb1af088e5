"""Light on the horizontal: of a clear sky, of a dimmed one, and the split of a total."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from wellsolar.physics.sun import clearness
from wellsolar.physics.sun.year import YearOfHours
from wellsolar.physics.types import FloatArray, Floats

VERY_CLEAR: Final = 2.0
"""Linke turbidity of very clear, cold air [-]; Ineichen & Perez (2002) (from memory)."""


@dataclass(frozen=True, eq=False)
class Light:
    """Hours of light [W/m2]: on the horizontal, beam facing the sun, diffuse on the horizontal."""

    global_horizontal: FloatArray
    direct_normal: FloatArray
    diffuse_horizontal: FloatArray


def clear_hours(hours: YearOfHours, altitude: float, linke_turbidity: FloatArray) -> Light:
    """The hours of a year without a cloud.

    Parameters:
        hours: of the year [deg, W/m2]
        altitude: above the sea [m], scalar
        linke_turbidity: of the air, 2 very clear, 3 clear, 5 hazy [-], 12 values
    Returns:
        the light [W/m2]
    Source: Ineichen & Perez, Solar Energy 73 (2002) 151, as in pvlib.
    """
    total, direct = clear_sky(
        hours.zenith, altitude, linke_turbidity[hours.month - 1], hours.extraterrestrial_normal
    )
    up = np.maximum(np.cos(np.radians(hours.zenith)), 0.0)
    return Light(total, direct, np.maximum(total - direct * up, 0.0))


def with_beam(hours: YearOfHours, altitude: float, total: FloatArray, beam: FloatArray) -> Light:
    """Light of which the total and the beam on the horizontal are known.

    Direct normal is nowhere above that of a very clear sky, which matters near the horizon, where
    it is a small beam over a small cosine; what is over counts as diffuse.

    Parameters:
        hours: of the year [deg, W/m2]
        altitude: above the sea [m], scalar
        total: on the horizontal [W/m2], array
        beam: its direct part, on the horizontal [W/m2], array
    Returns:
        the light [W/m2]
    Source: Ineichen & Perez, Solar Energy 73 (2002) 151, as in pvlib, for the bound.
    """
    up = np.maximum(np.cos(np.radians(hours.zenith)), 0.0)
    most = clear_hours(hours, altitude, np.full(12, VERY_CLEAR)).direct_normal
    direct = np.minimum(beam / np.maximum(up, 1e-9), most)
    return Light(total, direct, np.maximum(total - direct * up, 0.0))


def dimmed(hours: YearOfHours, clear: Light, clear_part: FloatArray) -> Light:
    """A clear sky of which only a part arrives.

    Parameters:
        hours: of the year [deg, W/m2]
        clear: the clear sky [W/m2]
        clear_part: part of its total that arrives [0..1], array
    Returns:
        the light [W/m2]; the clear sky itself where the part is 1
    Source: Erbs, Klein & Duffie, Solar Energy 28 (1982) 293 (second hand), stretched so that it
        starts at the clear sky's own diffuse part (ours).
    """
    up = np.maximum(np.cos(np.radians(hours.zenith)), 0.0)
    bright = clear.global_horizontal > 0.0
    index = clear.global_horizontal / np.maximum(hours.extraterrestrial_normal * up, 1e-9)
    index = np.where(bright, index, 0.0)
    start = clearness.hourly_diffuse_fraction(index)
    there = clearness.hourly_diffuse_fraction(index * clear_part)
    gone = np.clip((there - start) / np.maximum(1.0 - start, 1e-9), 0.0, 1.0)
    direct = clear.direct_normal * clear_part * (1.0 - gone)
    total = clear.global_horizontal * clear_part
    return Light(total, direct, np.maximum(total - direct * up, 0.0))


def clear_sky(
    zenith: FloatArray, altitude: float, linke_turbidity: Floats, extraterrestrial_normal: Floats
) -> tuple[FloatArray, FloatArray]:
    """Irradiance of a cloudless sky.

    Parameters:
        zenith: of the sun [deg], array
        altitude: above the sea [m], scalar
        linke_turbidity: of the air, 2 very clear, 3 clear, 5 hazy [-], scalar or array
        extraterrestrial_normal: outside the atmosphere, facing the sun [W/m2], scalar or array
    Returns:
        total on the horizontal and direct normal [W/m2]; 0 at night
    Source: Ineichen & Perez, Solar Energy 73 (2002) 151; air mass by Kasten & Young, Applied
        Optics 28 (1989) 4735, and the pressure of the standard atmosphere; all as in pvlib.
    """
    from pvlib import atmosphere, clearsky

    mass = atmosphere.get_absolute_airmass(
        atmosphere.get_relative_airmass(zenith), atmosphere.alt2pres(altitude)
    )
    with np.errstate(divide="ignore"):  # a sun below the horizon, which ends in 0
        sky = clearsky.ineichen(zenith, mass, linke_turbidity, altitude, extraterrestrial_normal)
    return sky["ghi"], sky["dni"]


def haurwitz_horizontal(zenith: FloatArray) -> FloatArray:
    """Global irradiance of a cloudless sky on a level surface, by the sun's height alone.

    Parameters:
        zenith: of the sun [deg], array
    Returns:
        irradiance [W/m2]; 0 with the sun down
    Source: Haurwitz (1945), J. Meteorology 2, 154: 1098 cos z exp(-0.059 / cos z), as in pvlib.
    """
    import pandas as pd
    from pvlib import clearsky

    return np.asarray(clearsky.haurwitz(pd.Series(zenith))["ghi"])
