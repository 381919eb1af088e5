"""Where the water stands in the well while a pump takes so much from it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wellsolar.physics import well
from wellsolar.site.schema import Site

CAPACITY_KEYS = ("well.specific_capacity",)
"""What to give where the drawdown is unknown."""


@dataclass(frozen=True)
class WaterLevel:
    """The pumping level as a function of the flow.

    static_level: depth of the water at rest [m]
    specific_capacity: [m2/s]; None where the file gives no way to know it
    floor: the deepest the water can be drawn, the intake [m]
    """

    static_level: float
    specific_capacity: float | None
    floor: float

    @property
    def known(self) -> bool:
        """True where the drawdown can be computed."""
        return self.specific_capacity is not None

    def at(self, flow: float) -> float:
        """Depth of the water at a flow [m], never below the floor, where a pump draws air; at
        the floor where the drawdown is unknown, which is the worst that can be."""
        deepest = max(self.static_level, self.floor)
        if self.specific_capacity is None:
            return deepest
        settled = float(well.pumping_level(self.static_level, flow, self.specific_capacity))
        return min(settled, deepest)

    def settled(self, flow: float) -> float:
        """Depth at which the water would settle at a flow in a well without a floor [m]."""
        if self.specific_capacity is None:
            return self.at(flow)
        return float(well.pumping_level(self.static_level, flow, self.specific_capacity))

    def greatest_flow(self) -> float:
        """The flow that draws the water down to the floor [m3/s]; infinite where unknown."""
        if self.specific_capacity is None:
            return math.inf
        return float(well.sustained_flow(self.static_level, self.floor, self.specific_capacity))


def specific_capacity(site: Site) -> float | None:
    """The specific capacity of a site's well [m2/s], given or from its yield test; or None."""
    table = site.well
    if table.specific_capacity is not None:
        return float(table.specific_capacity)
    if table.tested_yield is None or table.tested_pumping_level is None:
        return None
    drawdown = table.tested_pumping_level - table.static_level
    return float(well.specific_capacity(float(table.tested_yield), drawdown))


def water_level(site: Site, floor: float) -> WaterLevel:
    """The water level of a site's well above an intake at the depth `floor` [m]."""
    return WaterLevel(float(site.well.static_level), specific_capacity(site), floor)
