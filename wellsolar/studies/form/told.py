"""What a reading says in words, found piece by piece along all that may be read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import numpy as np

from wellsolar.kinds import Kind
from wellsolar.results.form import Told
from wellsolar.units import Quantity

PROBES = 48
"""Readings that are tried along the whole of what may be read."""

HALVINGS = 50
"""Times that the place between two of them is halved where another text begins."""

Texts = tuple[str, ...]


def told_along(
    texts_of: Callable[[Quantity], Texts], kind: Kind, least: float, most: float
) -> tuple[Told, ...]:
    """Texts by what was read, from the least on.

    Parameters:
        kind: its kind; least, most: between what it may lie, in SI
    Returns:
        each text with the bound beyond which it holds, and which end of the reading decides it
    """
    points = np.linspace(least, most, PROBES).tolist()
    texts = [texts_of(Quantity(point, kind)) for point in points]
    readings_told = [Told(least - 1.0, "high", texts[0])]
    for place in range(1, PROBES):
        if texts[place] == texts[place - 1]:
            continue
        low, high = points[place - 1], points[place]
        for _ in range(HALVINGS):
            middle = (low + high) / 2.0
            if texts_of(Quantity(middle, kind)) == texts[place - 1]:
                low = middle
            else:
                high = middle
        wide = 1e-6 * max(1.0, abs(high))
        reaching = texts_of(Quantity(low - wide, kind, low - 2.0 * wide, high + wide))
        end: Literal["low", "high"] = "high" if reaching == texts[place] else "low"
        readings_told.append(Told(low, end, texts[place]))
    return tuple(readings_told)
