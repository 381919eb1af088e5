"""The water that stands in the casing beside what hangs in it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from wellsolar.data import pipes
from wellsolar.site.schema import Pipe, PumpTable, Site

LEAST_SHARE = 0.02
"""Share of the casing that is left to the water; below it the bodies can't be as told."""


def hangs(table: PumpTable) -> bool:
    """Whether a pump of the file hangs in the well: others are only compared."""
    return table.role != "other" or table.diameter is not None


def hanging_area(site: Site, compared: PumpTable | None = None) -> float:
    """Cross-section of the pipes and cables that hang in the well's water [m2].

    A pipe counts with its outside diameter: the water in it does not come and go. A cable counts
    where the file gives its diameter. The rods of a hand pump hang in its rising main.

    Parameters:
        site: the site
        compared: a pump that is to hang there beside those that do
    Returns:
        area
    """
    return sum(math.pi / 4 * diameter**2 for diameter in _diameters(site, compared))


def casing_water(site: Site, compared: PumpTable | None = None) -> float | None:
    """Area of the water in the casing, or volume for each metre [m2].

    Parameters:
        site: the site
        compared: a pump that is to hang there beside those that do
    Returns:
        area; None where the file has no bore, or where what hangs in the casing fills it
    """
    bore = site.well.casing_bore
    if bore is None:
        return None
    whole = math.pi / 4 * bore**2
    left = whole - hanging_area(site, compared)
    return left if left > LEAST_SHARE * whole else None


def _diameters(site: Site, compared: PumpTable | None) -> Iterator[float]:
    for pump in site.pump:
        if not hangs(pump) and pump is not compared:
            continue
        yield _outside(pump.drop_pipe or site.piping.drop_pipe)
        if pump.cable is not None and pump.cable.diameter is not None and pump.kind != "suction":
            yield float(pump.cable.diameter)
    hand = site.hand_pump
    if hand is not None:
        yield _outside(hand.rising_main or site.piping.drop_pipe)


def _outside(pipe: Pipe) -> float:
    return pipes.pipe_size(pipe.material, pipe.size).outside_diameter
