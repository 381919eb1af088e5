"""Hours of light on the horizontal: of a clear sky, of a dimmed one, and the split of a total."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wellsolar.physics.sun import clearness, sun
from wellsolar.physics.sun import days as sun_days
from wellsolar.physics.sun.year import YearOfHours
from wellsolar.physics.types import FloatArray


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
    total, direct = np.zeros_like(hours.zenith), np.zeros_like(hours.zenith)
    for turbidity in np.unique(linke_turbidity):
        these = np.isin(hours.month, np.flatnonzero(linke_turbidity == turbidity) + 1)
        # The model is proportional to the irradiance outside, which differs from day to day.
        for result, part in zip(
            (total, direct),
            sun.clear_sky(hours.zenith[these], altitude, float(turbidity), 1.0),
            strict=True,
        ):
            result[these] = part * hours.extraterrestrial_normal[these]
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
    most = clear_hours(hours, altitude, np.full(12, sun_days.VERY_CLEAR)).direct_normal
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
