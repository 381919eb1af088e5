"""Water in store: a tank between a poor well and the house, and what a house lives on while
something is repaired."""

from __future__ import annotations

from collections.abc import Iterable

from wellsolar import kinds
from wellsolar.site.schema import Site
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.house.chain import fillers, has_cistern
from wellsolar.studies.outage.equipment import equipment_of
from wellsolar.studies.outage.study import LINKS, WORST, study_outages
from wellsolar.studies.pump.storage_tank import FILLING_RUN
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.search import Candidate, Choice, trial
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.studies.supply.chain_year import SHORT
from wellsolar.studies.well.peak import PEAK
from wellsolar.units import read, show
from wellsolar.verdicts import Change, Rule, Verdict, set_to

AIR_GAP = {"US": "4 in", "SI": "100 mm"}
"""Least that the code asks from the end of the filling pipe to the overflow."""

BUILT: tuple[tuple[str, str | bool, str], ...] = (
    ("overflow", "screened", "overflow"),
    ("covered", True, "tank cover"),
    ("stops_below", "10 %", "booster runs dry"),
)
"""How a tank is built and where its float hangs: key, value, and the rule that judges it."""


def with_cistern(draft: Draft, number: int) -> Draft:
    """The draft with a storage tank that the pump on the well fills, as large as any, built as
    the rules ask; its size is chosen behind its pumps.

    Parameters:
        draft: with the pump
        number: its place, from 1
    Returns:
        the draft
    """
    draft = draft.set(
        [set_to(f"pump[{number}].delivers", "storage tank")],
        "the well gives less than the peak: its pump fills a tank, and another presses from it",
        "peak flow",
    )
    draft = draft.set([set_to("storage_tank.volume", _sold(draft)[-1])], "see below", "peak flow")
    for key, value, rule in (("air_gap", AIR_GAP[draft.system], "air gap"), *BUILT):
        draft = draft.set([set_to(f"storage_tank.{key}", value)], "as it is built", rule)
    return draft


def _sold(draft: Draft) -> tuple[str, ...]:
    return tuple(str(size.written) for size in sizes("storage tank", kinds.VOLUME, draft.system))


def tank_of(draft: Draft) -> Draft:
    """The draft with the smallest storage tank that bridges the peak and lets its pump run.

    Parameters:
        draft: with all pumps
    Returns:
        the draft; as it was where the file has a tank, or no pump fills one
    """
    filling = fillers(draft.case.site)
    if draft.says("storage_tank.volume") or not filling:
        return draft
    candidates = [_of(draft.case.site, volume) for volume in _sold(draft)]
    rules: tuple[Rule, ...] = (PEAK, FILLING_RUN)
    if _days_short(draft) not in (None, "unknown"):  # Else its pumps have no power yet.
        rules = (*rules, SHORT)
    names = ["storage tank", *(link.table.name for link in filling)]
    choice = Choice(
        "storage tank", candidates, ("well", "pumps", "chain_year"),
        rules, subjects=names, rising=True, settles=True,
    )  # fmt: skip
    return draft.choose(choice, _listed(draft))


def asks_larger(draft: Draft) -> bool:
    """Whether the storage tank that was chosen is too small to bridge the days without power.

    Parameters:
        draft: with everything that runs its pumps
    Returns:
        False too of a tank that the file has
    """
    chosen = bool(fillers(draft.case.site)) and not draft.says("storage_tank.volume")
    return chosen and _days_short(draft) in ("fail", "caution")


def _days_short(draft: Draft) -> str | None:
    """The status of the storage tank's year; None where none is judged."""
    said = draft.case.said("chain_year").verdicts
    return next((verdict.status for verdict in said if verdict.rule == SHORT), None)


def _listed(draft: Draft, *more: Change, above: float = 0.0) -> list[Candidate]:
    """Tanks of the user's own that hold more than so much [m3]."""
    items = draft.stock.of("tanks", "storage")
    return [Candidate(item.called(), (*item.changes("storage_tank"), *more)) for item in items
            if _volume(str(item.values["volume"])) > above]  # fmt: skip


def _of(site: Site, volume: str, *more: Change) -> Candidate:
    label = show(read(volume, kinds.VOLUME), kinds.VOLUME, site.site.print_units)
    return Candidate(label, (set_to("storage_tank.volume", volume), *more))


def stock_of(draft: Draft) -> Draft:
    """The draft with water in store for everybody to live on while what failed is repaired, where
    pumps and hands give too little then.

    Parameters:
        draft: with everything else
    Returns:
        the draft; as it was where nobody is named who drinks, enough is left, or the file has a
        tank of its own
    """
    site = draft.case.site
    if draft.says("storage_tank.volume"):
        return draft
    there = None if site.storage_tank is None else float(site.storage_tank.volume)
    # What no pump draws from by turns stays full.
    full = [] if has_cistern(site) else [set_to("storage_tank.reserve", "100 %")]
    larger = [volume for volume in _sold(draft) if there is None or _volume(volume) > there]
    candidates = [Candidate("none" if there is None else "no more")]
    candidates += [_of(site, volume, *full) for volume in larger]
    # A tank that pumps fill by turns is made larger: it stands on the list once.
    part = "water in store" if there is None else "storage tank"
    choice = Choice(part, candidates, (), (LINKS, WORST), judge=_without_fixes, rising=True)
    if trial(draft.case, choice, candidates[0]).short is None:
        return draft
    chosen = draft.choose(choice, _listed(draft, *full, above=there or 0.0))
    return chosen if any(sized.passes and sized.part == part for sized in chosen.sized) else draft


def _without_fixes(case: Studied) -> Iterable[Verdict]:
    """The verdicts of the outages, for which no remedies are looked for."""
    return study_outages(equipment_of(case), fixes=False)[1].verdicts


def _volume(text: str) -> float:
    return float(read(text, kinds.VOLUME))
