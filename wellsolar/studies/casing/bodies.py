"""What hangs in a well, with diameters and depths, for the fit in the casing.

Counted are pumps, their drop pipes and cables, the hand pump's cylinder and rising main, a rope
pump that shares the casing, and a pitless spool. Torque arrestors, couplings and clamps are not:
they are placed where there is room. Nor are pitless adapters, whose bodies differ: what one takes
at its depth is given as the width of a spool.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from wellsolar import kinds
from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.data import wiring
from wellsolar.physics.well.casing_fit import Body
from wellsolar.results.well import PulledString
from wellsolar.site.schema import HandPumpTable, Pipe, PumpTable, Site
from wellsolar.studies.hand.handle import STEEL_DENSITY
from wellsolar.studies.hand.head import OPEN_LIFTS
from wellsolar.studies.hand.study import cylinder_depth
from wellsolar.studies.house.chain import hangs_in_well, has_ejector
from wellsolar.studies.house.wells import is_here
from wellsolar.studies.pump.study import intake_depth
from wellsolar.studies.sold.pipe_sizes import size_of
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

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
    weights = {string.name: string for string in strings_of(site)}
    return tuple(weights[item.body.name] for item in sorted(hung, key=lambda item: item.body.top))


def strings_of(site: Site) -> tuple[PulledString, ...]:
    """Pumps and cylinder in the well of a site, each with what is lifted with it: powered pumps in
    their order, then the hand pump's cylinder; the pipes full of water, as check valves hold it.
    """
    strings = [
        _of_pump(site, table)
        for table in site.pump
        if hangs_in_well(table) and is_here(site, table)
    ]
    hand = site.hand_pump
    if hand is not None and hand.kind == "deep well" and is_here(site, hand):
        strings.append(_of_cylinder(site, hand))
    return tuple(strings)


def _of_pump(site: Site, table: PumpTable) -> PulledString:
    """A pump on its drop pipe."""
    depth = intake_depth(site, table)
    length = depth - site.piping.pitless_depth
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
    rod = math.pi / 4.0 * hand.rod_diameter**2 * (STEEL_DENSITY - WATER)
    per_metre = rod + _per_metre(hand.rising_main or site.piping.drop_pipe)
    return PulledString("hand cylinder", STANDARD_GRAVITY * depth * per_metre, "its cylinder")


def _per_metre(pipe: Pipe) -> float:
    """Mass of a metre of pipe and the water in it [kg/m]."""
    size = size_of(pipe)
    wall = math.pi / 4.0 * (size.outside_diameter**2 - size.bore**2)
    density = DENSITIES[pipe.material.split()[0]]
    return density * wall + WATER * math.pi / 4.0 * size.bore**2


USUAL_LENGTH = 1.2192
"""Length of a pump or a cylinder where the file gives none, 4 ft [m]: common practice, no
source."""

USUAL_CABLE = 0.01905
"""Width of a submersible cable where the file gives none, 3/4 in [m]: common practice, no
source."""

SPOOL_LENGTH = 0.3048
"""Length of a pitless spool, from the pitless depth up, 1 ft [m]: common practice, no source."""


@dataclass(frozen=True)
class Hanging:
    """A pump or a hand pump's cylinder, which hangs on a pipe.

    body: the thing itself; pipe, cable: diameters of what runs beside it up the well [m], a jet's
        two pipes side by side
    pipe_top: where the pipe leaves the well [m]; key: of its diameter in the site file
    is_pump: False for the cylinder
    """

    body: Body
    pipe: float
    pipe_top: float
    cable: float | None
    key: str
    is_pump: bool

    def bodies(self) -> Iterator[Body]:
        """The thing, its pipe and its cable."""
        yield self.body
        name, top = self.body.name, self.body.top
        if top > self.pipe_top:
            yield Body(f"{name}'s pipe", self.pipe, self.pipe_top, top)
        if self.cable is not None and top > 0.0:
            yield Body(f"{name}'s cable", self.cable, 0.0, top)

    def at(self, top: float) -> Hanging:
        """The same, hung with its upper end at another depth [m]."""
        length = self.body.bottom - self.body.top
        return replace(self, body=replace(self.body, top=top, bottom=top + length))

    def of(self, diameter: float) -> Hanging:
        """The same with another diameter [m]."""
        return replace(self, body=replace(self.body, diameter=diameter))


def _hangs(site: Site, table: PumpTable) -> bool:
    """Whether a pump of the file, or its ejector, hangs in the well: others are only compared."""
    there = hangs_in_well(table) or has_ejector(table)
    return there and is_here(site, table) and (table.role != "other" or table.diameter is not None)


def diameters(site: Site) -> tuple[list[str], int]:
    """Keys that the fit waits for, diameters of pumps and cylinder and whether an open lift goes
    down beside them, and how many diameters the file gives."""
    by_key = {
        f"pump[{number}].diameter": table.diameter
        for number, table in enumerate(site.pump, 1)
        if _hangs(site, table)
    }
    hand = site.hand_pump
    if hand is not None and hand.kind == "deep well" and is_here(site, hand):
        by_key["hand_pump.cylinder_diameter"] = hand.cylinder_diameter
    by_key |= {
        f"lift[{number}].diameter": table.diameter
        for number, table in enumerate(site.lift, 1)
        if table.shares_casing
    }
    missing = [key for key, diameter in by_key.items() if diameter is None]
    missing += [
        f"lift[{number}].shares_casing"
        for number, table in enumerate(site.lift, 1)
        if table.shares_casing is None and table.kind in OPEN_LIFTS
    ]
    return missing, len(by_key) - len(missing)


def hanging(site: Site) -> tuple[list[Hanging], list[Assumption]]:
    """Pumps and cylinder on their pipes, with the lengths and widths that were assumed; the file
    lacks none of their diameters."""
    assumptions: list[Assumption] = []
    return [*_pumps(site, assumptions), *_cylinder(site, assumptions)], assumptions


def bodies_of(site: Site, hung: list[Hanging]) -> list[Body]:
    """All bodies in the well: what hangs, a lift that goes down it, and a pitless spool where
    there is one."""
    return [body for item in hung for body in item.bodies()] + _lifts(site) + _spool(site)


def _lifts(site: Site) -> list[Body]:
    """Lifts that go down the casing, over its whole depth."""
    return [
        Body(table.name, float(table.diameter), 0.0, float(site.well.depth))
        for table in site.lift
        if table.shares_casing and table.diameter is not None
    ]


def _pumps(site: Site, assumptions: list[Assumption]) -> Iterator[Hanging]:
    for number, table in enumerate(site.pump, 1):
        if not _hangs(site, table):
            continue
        path = f"pump[{number}]"
        length = _or_usual(table.length, USUAL_LENGTH, f"{path}.length", assumptions)
        width = None if table.cable is None else table.cable.diameter
        assert table.diameter is not None
        yield Hanging(
            body=_around(table.name, table.diameter, intake_depth(site, table), length),
            pipe=_outside(table.drop_pipe or site.piping.drop_pipe) * (1 + has_ejector(table)),
            pipe_top=float(site.piping.pitless_depth),
            cable=None
            if has_ejector(table)
            else _or_usual(width, USUAL_CABLE, f"{path}.cable.diameter", assumptions),
            key=f"{path}.diameter",
            is_pump=True,
        )


def _cylinder(site: Site, assumptions: list[Assumption]) -> Iterator[Hanging]:
    hand = site.hand_pump
    if hand is None or hand.kind != "deep well" or hand.cylinder_diameter is None:
        return
    if not is_here(site, hand):
        return
    path = "hand_pump.cylinder_length"
    length = _or_usual(hand.cylinder_length, USUAL_LENGTH, path, assumptions)
    pipe = hand.rising_main or site.piping.drop_pipe
    if hand.rising_main is None:
        why = "as the drop pipe of the pumps, with the rods inside"
        value = f"{pipe.size} {pipe.material}"
        assumptions.append(Assumption("hand_pump.rising_main", value, why, "common practice"))
    yield Hanging(
        body=_around("hand cylinder", hand.cylinder_diameter, cylinder_depth(site, hand), length),
        pipe=_outside(pipe),
        pipe_top=0.0,
        cable=None,
        key="hand_pump.cylinder_diameter",
        is_pump=False,
    )


def _around(name: str, diameter: float, depth: float, length: float) -> Body:
    """A body whose intake hangs at a depth: somewhere along it, so that its whole length is kept
    free above and below."""
    return Body(name, float(diameter), max(0.0, depth - length), depth + length)


def _spool(site: Site) -> list[Body]:
    diameter = site.well.pitless_spool
    if diameter is None:
        return []
    depth = max(float(site.piping.pitless_depth), SPOOL_LENGTH)
    return [Body("pitless spool", float(diameter), depth - SPOOL_LENGTH, depth)]


def _outside(pipe: Pipe) -> float:
    return size_of(pipe).outside_diameter


def _or_usual(
    given: float | None, usual: float, path: str, assumptions: list[Assumption]
) -> float:
    if given is not None:
        return float(given)
    kind = kinds.BORE if path.endswith("diameter") else kinds.LENGTH
    why = "for the fit in the casing; measure it"
    assumptions.append(Assumption(path, Quantity(usual, kind), why, "common practice"))
    return usual
