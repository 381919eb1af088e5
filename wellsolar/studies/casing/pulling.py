"""In which order what hangs in a well comes out, and what each string weighs."""

from __future__ import annotations

import math

from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.data import wiring
from wellsolar.results.well import PulledString
from wellsolar.site.schema import HandPumpTable, Pipe, PumpTable, Site
from wellsolar.studies.casing.bodies import Hanging
from wellsolar.studies.hand.handle import STEEL_DENSITY
from wellsolar.studies.hand.study import cylinder_depth
from wellsolar.studies.house.chain import hangs_in_well
from wellsolar.studies.house.wells import is_here
from wellsolar.studies.pump.study import intake_depth
from wellsolar.studies.sold.pipe_sizes import size_of

COPPER = 8960.0
"""Density of copper [kg/m3]."""

DENSITIES = {"polyethylene": 950.0, "PVC": 1400.0, "copper": COPPER, "galvanised": STEEL_DENSITY}
"""Of pipe by the first word of its material [kg/m3]: handbook values, from memory."""

WATER = 1000.0
"""Density of water [kg/m3], near enough for a weight."""

NOTHING = "nothing"
"""What a string's weight leaves out where the file has all of it."""

CABLE_OVER_COPPER = 2.0
"""Mass of a jacketed cable over that of its copper: trade tables, from memory."""


def pulling(site: Site, hung: list[Hanging]) -> tuple[PulledString, ...]:
    """What hangs on pipes, the first to be pulled first: the least deep, as a pump from below
    would have to squeeze past it.

    Parameters:
        hung: pumps and cylinder on their pipes
    Returns:
        strings with the greatest weight that they hang with, full of water to the top
    """
    weights = {each.name: each for each in strings_of(site)}
    return tuple(weights[item.body.name] for item in sorted(hung, key=lambda each: each.body.top))


def strings_of(site: Site) -> tuple[PulledString, ...]:
    """Pumps and cylinder in the well of a site, each with what is lifted with it.

    Returns:
        powered pumps in their order, then the hand pump's cylinder; the pipes full of water, as
        check valves hold it
    """
    made = [
        _of_pump(site, table)
        for table in site.pump
        if hangs_in_well(table) and is_here(site, table)
    ]
    hand = site.hand_pump
    if hand is not None and hand.kind == "deep well" and is_here(site, hand):
        made.append(_of_cylinder(site, hand))
    return tuple(made)


def _of_pump(site: Site, table: PumpTable) -> PulledString:
    """A pump on its drop pipe."""
    depth = intake_depth(site, table)
    length = depth - float(site.piping.pitless_depth)
    weight = STANDARD_GRAVITY * length * _per_metre(table.drop_pipe or site.piping.drop_pipe)
    left_out = []
    if table.cable is None:
        left_out.append("its cable")
    else:
        copper = (4 if table.phases == 3 else 3) * wiring.wire(table.cable.gauge).area * COPPER
        weight += STANDARD_GRAVITY * depth * CABLE_OVER_COPPER * copper
    if table.weight is None:
        left_out.append("its pump, whose weight the file lacks")
    else:
        weight += float(table.weight)
    return PulledString(table.name, weight, " and ".join(left_out) or NOTHING)


def _of_cylinder(site: Site, hand: HandPumpTable) -> PulledString:
    """A cylinder on its rising main, the rods in it."""
    depth = cylinder_depth(site, hand)
    rod = math.pi / 4.0 * float(hand.rod_diameter) ** 2 * (STEEL_DENSITY - WATER)
    per_metre = rod + _per_metre(hand.rising_main or site.piping.drop_pipe)
    return PulledString("hand cylinder", STANDARD_GRAVITY * depth * per_metre, "its cylinder")


def _per_metre(pipe: Pipe) -> float:
    """Mass of a metre of pipe and the water in it [kg/m]."""
    size = size_of(pipe)
    wall = math.pi / 4.0 * (size.outside_diameter**2 - size.bore**2)
    density = DENSITIES[pipe.material.split()[0]]
    return density * wall + WATER * math.pi / 4.0 * size.bore**2
