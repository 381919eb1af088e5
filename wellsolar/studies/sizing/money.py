"""What a candidate costs, by the file's prices and those of the user's stock."""

from __future__ import annotations

from wellsolar.results.pumps import PumpResult
from wellsolar.site.loading.stock import Item
from wellsolar.site.schema import Site
from wellsolar.studies.sizing.draft import Draft, NoDesign
from wellsolar.verdicts import say


def counts_money(site: Site) -> bool:
    """Whether money is what the design makes least."""
    return site.aim.make_least == "money"


def price_of(site: Site, name: str, size: str = "", item: Item | None = None) -> float | None:
    """The price of a piece.

    Parameters:
        site: with its prices
        name: out of the parts list; size: in words, as a price may ask for them
        item: of the stock, where it is one: its own price goes before the file's
    Returns:
        money; None where nothing tells it
    """
    if item is not None and item.price is not None:
        return item.price
    fits = [
        each for each in site.price
        if each.item == name and each.per == "piece"
        and (each.size is None or each.size.casefold() in size.casefold())
    ]  # fmt: skip
    found = min(fits, key=lambda each: each.size is None, default=None)
    return None if found is None else float(found.cost)


def of_module(draft: Draft) -> float:
    """The price of a module.

    Parameters:
        draft: with its module
    Returns:
        money
    Raises:
        NoDesign: nothing tells it, so that money can't decide
    """
    listed = () if draft.says("module") else draft.stock.of("modules")[:1]
    price = price_of(draft.case.site, "module", item=next(iter(listed), None))
    if price is None:
        reason = say("money is to be least, and nothing tells what a module costs")
        raise NoDesign(reason, ("price",))
    return price


def at_start(pump: PumpResult) -> float:
    """What a pump takes at its start [VA]; endless where that is not known."""
    return float("inf") if pump.start is None else pump.start.starting_apparent_power
