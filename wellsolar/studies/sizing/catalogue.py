"""The user's own stock and prices: a pump out of it, what is on hand first and the first on which
nothing fails; and what a candidate costs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace

from wellsolar.errors import OutOfRange
from wellsolar.results.pumps import PumpResult
from wellsolar.site.loading.stock import Item
from wellsolar.site.schema import Site
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.pump.verdicts import SUBMERGENCE
from wellsolar.studies.sizing.draft import Draft, NoDesign
from wellsolar.studies.sizing.pressure_tank import switch_of
from wellsolar.studies.sizing.pump import AT_WORK, deepest_intake, depths
from wellsolar.studies.sizing.search import Candidate, Choice, Sized, Trial
from wellsolar.studies.sizing.wiring import GENTLEST
from wellsolar.studies.well.verdicts import RUNS_DRY
from wellsolar.verdicts import Verdict, say, set_to

STUDIES = ("pumps", "casing", "well", "pressure_tank")
"""In which a pump on the well may fail."""

PUMP, OF_THE_STOCK = "pump", "the first of the stock"


def pump_of(draft: Draft, built: Callable[[Draft], Draft]) -> Draft:
    """The draft with a pump of the stock, and everything round it.

    Parameters:
        draft: of a file that has no pump, with the user's stock
        built: what makes the pump's side of a draft
    Returns:
        the draft with the first pump on which nothing fails, or of all such the one that takes
        least at its start where that is aimed at; where there is none, with one that is described
        for a counter
    """
    gentlest = draft.case.site.aim.make_least == GENTLEST
    able: list[Draft] = []
    refused: dict[str, str] = {}
    before: Trial | None = None
    switched = switch_of(draft)
    for item in draft.stock.of("pumps"):
        begun = _begun(switched, item)
        shut_out = Counter(refused.values())
        sized = Sized(
            PUMP, begun, before, True, len(refused) + 1, shut_out, OF_THE_STOCK, dict(refused)
        )
        try:
            built_draft = built(replace(_hung(switched.chosen(sized)), outlet=item.outlet))
        except (NoDesign, OutOfRange):
            refused[begun.candidate.label] = "no design with it"
            continue
        fails = _fails(built_draft)
        if not fails and not gentlest:
            return built_draft
        if not fails:
            able.append(built_draft)
            continue
        refused[begun.candidate.label] = fails[0].rule.key
        before = Trial(begun.candidate, built_draft.case, tuple(fails))
    if able:
        return min(able, key=lambda trial: at_start(trial.case.pumps[0]))
    return built(draft.refusing(PUMP, refused))


def _begun(draft: Draft, item: Item) -> Trial:
    """A pump of the stock in the well."""
    site = draft.case.site
    changes = (
        set_to("pump[1].name", item.name),
        set_to("pump[1].intake_depth", deepest_intake(site)),
        *item.changes("pump[1]"),
    )
    case = draft.case.with_site(changed_site(site, changes))
    return Trial(Candidate(item.called(), changes), case, ())


def _hung(draft: Draft) -> Draft:
    """The draft with its pump no deeper than keeps it under water."""
    site, flow = draft.case.site, draft.case.pumps[0].duties[0].pump_flow
    candidates = [
        Candidate(depth, (set_to("pump[1].intake_depth", depth),))
        for depth in depths(site, 1, flow)
    ]
    return draft.choose(Choice("intake", candidates, AT_WORK, (SUBMERGENCE, RUNS_DRY)))


def _fails(draft: Draft) -> list[Verdict]:
    """What fails on the pump's side."""
    said = [verdict for study in STUDIES for verdict in draft.case.said(study).verdicts]
    return [verdict for verdict in said if verdict.status == "fail"]


def with_module(draft: Draft, item: Item) -> Draft:
    """The draft with modules of the stock, no more of them on hand than there are."""
    changes = item.changes("module")
    changes += [set_to("module.on_hand", int(item.on_hand))] if item.on_hand >= 1.0 else []
    return replace(draft.set(changes, item.called()), module=item)


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
        price for price in site.price
        if price.item == name and price.per == "piece"
        and (price.size is None or price.size.casefold() in size.casefold())
    ]  # fmt: skip
    cheapest = min(fits, key=lambda candidate: candidate.size is None, default=None)
    return None if cheapest is None else float(cheapest.cost)


def of_module(draft: Draft) -> float:
    """The price of a module.

    Parameters:
        draft: with its module
    Returns:
        money
    Raises:
        NoDesign: nothing tells it, so that money can't decide
    """
    price = price_of(draft.case.site, "module", item=draft.module)
    if price is None:
        reason = say("money is to be least, and nothing tells what a module costs")
        raise NoDesign(reason, ("price",))
    return price


def at_start(pump: PumpResult) -> float:
    """What a pump takes at its start [VA]; endless where that is not known."""
    return float("inf") if pump.start is None else pump.start.starting_apparent_power
