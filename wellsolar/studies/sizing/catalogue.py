"""A pump out of the user's own stock: what is on hand first, the first on which nothing fails."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator

from wellsolar.errors import OutOfRange
from wellsolar.site.loading.stock import Item, Stock
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.pump.verdicts import SUBMERGENCE
from wellsolar.studies.sizing.draft import Draft, NoDesign
from wellsolar.studies.sizing.pressure_tank import switch_of
from wellsolar.studies.sizing.pump import AT_WORK, deepest_intake, depths
from wellsolar.studies.sizing.search import Candidate, Choice, Sized, Trial
from wellsolar.studies.well.verdicts import RUNS_DRY
from wellsolar.verdicts import Verdict, set_to

STUDIES = ("pumps", "casing", "well", "pressure_tank")
"""In which a pump on the well may fail."""

PUMP = "pump"


def not_chosen_from(stock: Stock) -> Iterator[tuple[str, str]]:
    """What the stock lists that no size is taken from yet: standard ones are."""
    listed = {each.goods for each in stock.items}
    for goods in ("tanks", "pipe"):
        if goods in listed:
            yield f"{goods} of the stock", "standard sizes are chosen: look for them in it"


def pump_of(
    draft: Draft, stock: Stock, built: Callable[[Draft], Draft]
) -> tuple[Draft | None, str]:
    """The draft with a pump of the stock, and everything round it.

    Parameters:
        draft: of a file that has no pump
        stock: of the user's own
        built: what makes the pump's side of a draft that has its pump
    Returns:
        the draft with the first pump on which nothing fails, None where there is none; and why
    """
    shut_out: Counter[str] = Counter()
    before: Trial | None = None
    draft = switch_of(draft)
    for tried, item in enumerate(stock.of("pumps"), 1):
        begun = _begun(draft, item)
        sized = Sized(PUMP, begun, before, True, tried, dict(shut_out))
        try:
            made = built(_hung(draft.chosen(sized)))
        except (NoDesign, OutOfRange):
            shut_out["no design with it"] += 1
            continue
        fails = _fails(made)
        if not fails:
            return made, ""
        shut_out[fails[0].rule.key] += 1
        before = Trial(begun.candidate, made.case, tuple(fails))
    told = "" if before is None else f"; the last fails: {before.verdicts[0].rule.key}"
    return None, f"no pump of the stock does{told}"


def _begun(draft: Draft, item: Item) -> Trial:
    """A pump of the stock in the well."""
    site = draft.case.site
    changes = (
        set_to("pump[1].name", item.name),
        set_to("pump[1].intake_depth", deepest_intake(site)),
        *item.changes("pump[1]"),
    )
    label = f"{item.name}, on hand" if item.on_hand > 0.0 else item.name
    case = draft.case.with_site(changed_site(site, changes))
    return Trial(Candidate(label, changes), case, ())


def _hung(draft: Draft) -> Draft:
    """The draft with its pump no deeper than keeps it under water."""
    site, flow = draft.case.site, float(draft.case.pumps[0].duties[0].pump_flow)
    candidates = [
        Candidate(depth, (set_to("pump[1].intake_depth", depth),))
        for depth in depths(site, 1, flow)
    ]
    return draft.choose(Choice("intake", candidates, AT_WORK, (SUBMERGENCE, RUNS_DRY)))


def _fails(draft: Draft) -> list[Verdict]:
    """What fails on the pump's side."""
    said = [each for study in STUDIES for each in draft.case.said(study).verdicts]
    return [each for each in said if each.status == "fail"]
