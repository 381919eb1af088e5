"""The water that stands in the casing beside what hangs in it."""

from __future__ import annotations

from collections.abc import Iterator

from wellsolar.physics.hydraulics.pipe import cross_section
from wellsolar.site.schema import Pipe, PumpTable, Site
from wellsolar.studies.house.wells import is_here
from wellsolar.studies.sold.pipe_sizes import size_of

LEAST_SHARE = 0.02
"""Share of the casing left to the water, below which the file's diameters can't be right."""


def hangs(table: PumpTable) -> bool:
    """Whether a pump of the file hangs in the well: others are only compared."""
    return table.role != "other" or table.diameter is not None


def hanging_area(site: Site, compared: PumpTable | None = None) -> float:
    """Cross-section [m2] of the pipes and cables in the well's water, with those of a pump that is
    to hang there; a pipe counts with its outside diameter, a cable where the file gives one."""
    return sum(float(cross_section(diameter)) for diameter in _diameters(site, compared))


def casing_water(site: Site, compared: PumpTable | None = None) -> float | None:
    """Area of the water in the casing, or its volume for each metre [m2]; None where the file has
    no bore, or where what hangs in the casing fills it."""
    bore = site.well.casing_bore
    if bore is None:
        return None
    whole = float(cross_section(bore))
    left = whole - hanging_area(site, compared)
    return left if left > LEAST_SHARE * whole else None


def _diameters(site: Site, compared: PumpTable | None) -> Iterator[float]:
    for pump in site.pump:
        if not is_here(site, pump) or (not hangs(pump) and pump is not compared):
            continue
        yield _outside(pump.drop_pipe or site.piping.drop_pipe)
        if pump.cable is not None and pump.cable.diameter is not None and pump.kind != "suction":
            yield float(pump.cable.diameter)
    hand = site.hand_pump
    if hand is not None and is_here(site, hand):
        yield _outside(hand.rising_main or site.piping.drop_pipe)


def _outside(pipe: Pipe) -> float:
    return size_of(pipe).outside_diameter
