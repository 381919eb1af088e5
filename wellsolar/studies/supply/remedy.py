"""What makes a supply last through the year: more modules, a larger store, or both."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from wellsolar import kinds
from wellsolar.physics.supply import array_ranking
from wellsolar.site.schema import Site
from wellsolar.studies.supply.system import FeedingArray, PumpSupply, feeders
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, say

MOST_ADDED = 400
"""Modules up to which a remedy is looked for: our choice."""

BATTERIES = (1.25, 1.5, 2.0, 3.0, 4.0, 6.0, 10.0)
"""How many times the battery a remedy tries: our choice."""

STORES = (0.25, 0.5, 1.0, 2.0, 3.0, 5.0, 8.0)
"""Days of water that the storage of a remedy holds: our choice."""


@dataclass(frozen=True, eq=False)
class _Larger:
    """A supply with a larger store, and how its reader is told of it."""

    supply: PumpSupply
    template: str
    store: Quantity


def supply_remedy(site: Site, supply: PumpSupply, array: FeedingArray, limit: int) -> Sentence:
    """What keeps a supply within its short days.

    Parameters:
        site: the site
        supply: a supply that is short on more days
        array: its modules
        limit: days short that are put up with
    Returns:
        modules to add to the first group that feeds; else a larger store with the modules that
        are there; else both
    """
    group = feeders(site)[0][1].name
    added = more_modules(supply, array, limit)
    if added is not None:
        return say(
            "{added} more on {group}, {total} in all",
            total=Quantity(array.modules + added, kinds.COUNT),
            **_added(added, group),
        )
    larger = list(_larger(site, supply))
    for each in larger:
        if each.supply.run(array.total).days_short <= limit:
            return say(each.template, store=each.store)
    for each in larger:
        added = more_modules(each.supply, array, limit)
        if added is not None:
            template = f"{each.template} and {{added}} more on {{group}}"
            return say(template, store=each.store, **_added(added, group))
    return say("a pump that gives more water, or less use of water: no store or array is enough")


def _added(added: int, group: str) -> dict[str, Quantity | str]:
    return {"added": Quantity(added, kinds.MODULES), "group": group}


def more_modules(supply: PumpSupply, array: FeedingArray, limit: int) -> int | None:
    """The fewest modules to add.

    Parameters:
        supply: a supply that is short on more days
        array: its modules
        limit: days short that are put up with
    Returns:
        modules more on the first group that feeds; None where even many are too few
    """
    (needed,) = array_ranking.smallest_array(
        lambda count: supply.run(array.total + count * array.first).days_short,
        MOST_ADDED,
        (limit,),
    )
    return needed


def _larger(site: Site, supply: PumpSupply) -> Iterator[_Larger]:
    """The supply with larger batteries, then with more water stored."""
    if supply.system is not None:
        for times in BATTERIES:
            usable = supply.system.usable_capacity * times
            grown = replace(supply, system=replace(supply.system, usable_capacity=usable))
            rated = Quantity(usable / float(site.power.battery_usable), kinds.ENERGY)
            yield _Larger(grown, "a battery of {store:up}", rated)
    day = float(supply.demand[:24].sum())
    for days in STORES:
        if days * day > supply.storage:
            grown = replace(supply, storage=days * day)
            volume = Quantity(days * day, kinds.VOLUME)
            yield _Larger(grown, "a storage tank of {store:up} that the pump fills", volume)
