"""What a site aims at, and whether it is our own mark because the file names no other."""

from __future__ import annotations

from typing import Literal, NamedTuple

from wellsolar.site.defaults import default_of
from wellsolar.site.schema import Site
from wellsolar.units import Quantity, read

OURS = ", our own mark"
"""Said in a reason behind an aim that is the usual one."""


class HeatAims(NamedTuple):
    """What a heated tank should give.

    share: of the year's hot-water heat by the sun [-]
    evenings: share of the year's evenings with hot water [-]
    sun_evenings: the same by the sun alone [-], None where that is not asked
    """

    share: float
    evenings: float
    sun_evenings: float | None


def heat_aims(site: Site) -> HeatAims:
    """What the tank of a site should give."""
    aim = site.aim
    alone = None if aim.sun_evenings is None else float(aim.sun_evenings)
    return HeatAims(float(aim.sun_share), float(aim.hot_evenings), alone)


def ours(
    value: Quantity, key: Literal["hot_evenings", "sun_share", "matched", "dark_days"]
) -> str:
    """What is said behind an aim that is as usual; nothing behind another."""
    default = default_of(("aim", key))
    assert default is not None
    return OURS if float(value) == float(read(default.value, value.kind)) else ""


def short_days(site: Site) -> int:
    """Days a year on which the water may fall short."""
    aimed = site.aim.days_short
    return site.limits.short_days if aimed is None else aimed
