"""Where the water stands in the well while a pump takes so much from it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wellsolar.physics.well import levels as well
from wellsolar.physics.well import step_drawdown as step_test
from wellsolar.site.schema import Site
from wellsolar.studies.well.drawdown import drawdown_of
from wellsolar.units import Quantity

CAPACITY_KEYS = ("well.specific_capacity",)
"""What to give where the drawdown is unknown."""


@dataclass(frozen=True)
class WaterLevel:
    """The pumping level as a function of the flow, settled or after a day of pumping.

    static_level: depth of the water at rest [m]
    specific_capacity: well loss left out [m2/s]; None where the file gives no way to know it
    floor: the deepest the water can be drawn, the intake [m]
    well_loss: C of Jacob [s2/m5]
    """

    static_level: float
    specific_capacity: float | None
    floor: float
    well_loss: float = 0.0

    @property
    def known(self) -> bool:
        """True where the drawdown can be computed."""
        return self.specific_capacity is not None

    def at(self, flow: float) -> float:
        """Depth of the water at a flow [m], never below the floor, where a pump draws air; at
        the floor where the drawdown is unknown, which is the worst that can be."""
        deepest = max(self.static_level, self.floor)
        return deepest if self.specific_capacity is None else min(self.settled(flow), deepest)

    def settled(self, flow: float) -> float:
        """Depth at which the water would settle at a flow in a well without a floor [m]."""
        if self.specific_capacity is None:
            return self.at(flow)
        if self.well_loss == 0.0:
            return float(well.pumping_level(self.static_level, flow, self.specific_capacity))
        drawn = step_test.jacob_drawdown(flow, 1.0 / self.specific_capacity, self.well_loss)
        return self.static_level + float(drawn)

    def greatest_flow(self) -> float:
        """The flow that draws the water down to the floor [m3/s]; infinite where unknown."""
        if self.specific_capacity is None:
            return math.inf
        drawn = max(0.0, self.floor - self.static_level)
        aquifer_loss = 1.0 / self.specific_capacity
        return float(step_test.flow_for_drawdown(drawn, aquifer_loss, self.well_loss))


def specific_capacity(site: Site) -> float | None:
    """The specific capacity of a site's well, well loss left out [m2/s]; None where unknown."""
    found = drawdown_of(site)
    return None if found is None else found.specific_capacity


def water_level(site: Site, floor: float) -> WaterLevel:
    """The water level of a site's well above an intake at the depth `floor` [m]."""
    static, found = float(site.well.static_level), drawdown_of(site)
    if found is None:
        return WaterLevel(static, None, floor)
    return WaterLevel(static, found.specific_capacity, floor, found.well_loss)


def at_static_level(site: Site, level: Quantity) -> Site:
    """The site with its water at rest at another depth, its well otherwise the same.

    Levels of its tests go with it, so that the drawdown stays as it was measured.

    Parameters:
        site: the site
        level: depth of the water at rest
    Returns:
        a copy of the site
    """
    well_table = site.well
    tested, test = well_table.tested_pumping_level, well_table.drawdown_test
    changes: dict[str, object] = {"static_level": level}
    if tested is not None and not tested.is_range:
        moved = tested + level - well_table.static_level
        changes["tested_pumping_level"] = Quantity(moved, tested.kind)
    if test is not None and test.rest_level is None:
        rest = Quantity(float(well_table.static_level), level.kind)
        changes["drawdown_test"] = test.model_copy(update={"rest_level": rest})
    return site.model_copy(update={"well": well_table.model_copy(update=changes)})
