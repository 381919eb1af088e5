"""Clearness index of each day of a year, by its definition: the horizontal total over that outside
the atmosphere (Duffie & Beckman eq. 2.9.2, from memory)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from wellsolar.physics.sun.year import HourlyYear, extraterrestrial_days


def daily_clearness(year: HourlyYear) -> NDArray[np.float64]:
    """One value a day; 0 on a day without sun."""
    outside = extraterrestrial_days(year.latitude, year.hours.day_of_year[::24])
    total = year.global_horizontal.reshape(-1, 24).sum(axis=1) * 3600.0
    return np.where(outside > 0.0, total / np.maximum(outside, 1.0), 0.0)
