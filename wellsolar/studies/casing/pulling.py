"""In which order what hangs in a well comes out, and what each string weighs."""

from __future__ import annotations

import math

from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.data import pipes
from wellsolar.results.well import PulledString
from wellsolar.site.schema import Pipe, Site
from wellsolar.studies.casing.bodies import Hanging
from wellsolar.studies.hand.handle import STEEL_DENSITY

DENSITIES = {"polyethylene": 950.0, "PVC": 1400.0, "copper": 8960.0, "galvanised": STEEL_DENSITY}
"""Of pipe by the first word of its material [kg/m3]: handbook values, from memory."""

WATER = 1000.0
"""Density of water [kg/m3], near enough for a weight."""


def pulling(site: Site, hung: list[Hanging]) -> tuple[PulledString, ...]:
    """What hangs on pipes, the first to be pulled first: the least deep, as a pump from below
    would have to squeeze past it.

    Parameters:
        site: the site
        hung: pumps and cylinder on their pipes
    Returns:
        strings with the greatest weight that they hang with, full of water to the top
    """
    tables = {each.name: each for each in site.pump}
    strings = []
    for item in sorted(hung, key=lambda each: each.body.top):
        table = tables.get(item.body.name) if item.is_pump else None
        hand = None if item.is_pump else site.hand_pump
        own = None if table is None else table.drop_pipe
        main = None if hand is None else hand.rising_main
        length = 0.5 * (item.body.top + item.body.bottom) - item.pipe_top
        pipe = own or main or site.piping.drop_pipe
        weight = STANDARD_GRAVITY * length * _per_metre(pipe)
        left_out = "its cable and its pump, whose weight the file lacks"
        if table is not None and table.weight is not None:
            weight += float(table.weight)
            left_out = "its cable"
        if hand is not None:
            rod = math.pi / 4.0 * float(hand.rod_diameter) ** 2
            weight += STANDARD_GRAVITY * length * rod * (STEEL_DENSITY - WATER)
            left_out = "its cylinder"
        strings.append(PulledString(item.body.name, weight, left_out))
    return tuple(strings)


def _per_metre(pipe: Pipe) -> float:
    """Mass of a metre of pipe and the water in it [kg/m]."""
    size = pipes.pipe_size(pipe.material, pipe.size)
    wall = math.pi / 4.0 * (size.outside_diameter**2 - size.bore**2)
    density = DENSITIES[pipe.material.split()[0]]
    return density * wall + WATER * math.pi / 4.0 * size.bore**2
