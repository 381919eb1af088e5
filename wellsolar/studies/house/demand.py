"""How much water the people of a site want."""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

from wellsolar import kinds
from wellsolar.constants import DAY, US_GALLON
from wellsolar.physics.hydraulics import demand
from wellsolar.site.defaults import default_of
from wellsolar.site.schema import Site
from wellsolar.units import Quantity, read
from wellsolar.verdicts import Assumption, Remedy, remedy, set_to

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


LARGEST_HOUSEHOLD = 10
"""People up to whom the rule of metered households is used as one household; more are counted as
the fewest alike of no more: our choice."""


def daily_use(site: Site) -> tuple[float | None, tuple[Assumption, ...]]:
    """Water on an ordinary day as a mean flow [m3/s], and the assumption it rests on.

    Given in the file, or by the metered use of as many households as so many people make; None
    where the file gives neither.
    """
    if site.demand.daily_use is not None:
        return float(site.demand.daily_use), ()
    people = site.site.people
    if people is None:
        return None, ()
    households = math.ceil(people / LARGEST_HOUSEHOLD)
    use = households * float(demand.metered_indoor_use(people / households))
    value = Quantity(use, kinds.DAILY_FLOW)
    why = f"metered indoor use of a household of {people}"
    if households > 1:
        why = f"{people} people as {households} households of up to {LARGEST_HOUSEHOLD}, each by "
        why += "its metered indoor use with running water"
    return use, (Assumption("demand.daily_use", value, why, "metered use"),)


def peak_flow(site: Site) -> Quantity | None:
    """The most that taps draw at one time: as the file has it, else by its fixtures; None where
    the file tells neither."""
    told, fixtures = site.demand.peak_flow, site.demand.fixtures
    if told is not None or fixtures is None:
        return told
    return Quantity(demand.peak_of_fixtures(fixtures.model_dump()), kinds.FLOW)


def peak_assumed(site: Site) -> tuple[Assumption, ...]:
    """The peak that is reckoned by fixtures; nothing where the file tells one itself."""
    peak = peak_flow(site)
    if site.demand.peak_flow is not None or peak is None:
        return ()
    why = "by its fixtures: the greatest use at its own flow, the others at their allowance"
    return (Assumption("demand.peak_flow", peak, why, "fixture allowances"),)


def survival_volume(site: Site) -> float | None:
    """Water for a day of survival of everybody [m3]; None where people is missing."""
    if site.site.people is None:
        return None
    return float(demand.survival_use(site.site.people, site.demand.survival_use)) * DAY


DAILY_KEYS = ("demand.daily_use",)
"""What settles the day's water; the people of a household do as well."""


WORTH_SAVING = 0.1
"""Part of the day's water below which it is no advice to use no more: our choice."""

ANOTHER_SOURCE = "find another source, or hang a pump where this well gives more"
"""What helps where a well gives hardly anything."""


def use_less(most: float, wanted: float, instead: str = ANOTHER_SOURCE) -> Remedy:
    """The remedy to use no more water than there is.

    Parameters:
        most: water a day [m3]
        wanted: a day [m3]
        instead: what is advised where there is hardly any
    Returns:
        the remedy, with the day's use in whole gallons
    """
    if most < WORTH_SAVING * wanted:
        return remedy(instead, "it is work on the well, not a key")
    gallons = math.floor(most / US_GALLON * (1.0 + 1e-9))
    return remedy(
        "use no more than {most:down} a day, or find another source beside it",
        [set_to("demand.daily_use", f"{gallons} gal/day")],
        most=Quantity(most, kinds.VOLUME),
    )
