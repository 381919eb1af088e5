"""A day of a federal draw pattern by equal steps, walked draw by draw."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from wellsolar.constants import DAY
from wellsolar.data.hot_water_tables import FIRST_DRAW, draw_pattern


def hourly_draw(name: str, daily_volume: float, step: float = 3600.0) -> NDArray[np.float64]:
    """Volume of each step of a day from midnight; draws past midnight wrap round."""
    count = round(DAY / step)
    volumes = np.zeros(count)
    for draw in draw_pattern(name):
        start = (FIRST_DRAW + draw.start) % DAY
        left = draw.volume / draw.flow
        while left > 1e-9:
            index = int(start / step + 1e-9)
            piece = min(left, (index + 1) * step - start)
            volumes[index % count] += piece * draw.flow
            left -= piece
            start = (start + piece) % DAY
    return volumes * (daily_volume / float(volumes.sum()))
