"""A design in the making: the site so far, what was set in it, and what could not be settled."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from wellsolar.physics.types import Progress
from wellsolar.results.sizing import HeatWay, MissedAim
from wellsolar.site.loading.read import PartOfSite
from wellsolar.site.loading.stock import NO_STOCK, Item, Stock
from wellsolar.studies.asked.changed_site import changed_site, path_of
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.sizing.design import Set
from wellsolar.studies.sizing.search import Candidate, Choice, Sized, first_listed, smallest
from wellsolar.studies.well.drawdown import at_static_level
from wellsolar.units import Quantity, System
from wellsolar.verdicts import Change, Sentence, Verdict

USUAL_PARTS = 18
"""Parts of a pump's side, up to which progress is told: our choice."""

PUMP, DUTY = "pump", ".duty."
"""What the part is called that a duty is chosen as, and the mark of its keys."""

OF_A_PUMP = ("pumps", "well")
"""The studies that a pump's flow decides."""

AtEnds = Callable[[Studied, Sequence[str]], list[Verdict]]
"""What some studies say of a case, each verdict at the worst end of what is not known."""


@dataclass(frozen=True)
class Draft:
    """What is known and chosen so far.

    part: the user's file as far as it goes
    case: the site with everything that was chosen, its ranges at the ends that it is laid out for
    sets: keys that were set, in their order; sized: parts that were chosen
    at_ends: what studies say of a case at the worst ends of what is not known; None where nobody
        asks
    stock: of the user's own; refused: parts of which nothing of it does, and each thing with its
        rule
    outlet: of a pump that is chosen from it [m]; module: that is chosen from it
    ways: to heat the tank, where there are several
    progress: is told how many parts are chosen, and of how many
    missed: aims that nothing reaches
    told: the site as the file has it, with its ranges; None where the case is that
    row_dead: whether modules do with one of their rows dead; dead: what that leaves, and an
        element that is dead
    """

    part: PartOfSite
    case: Studied
    sets: tuple[Set, ...] = ()
    sized: tuple[Sized, ...] = ()
    at_ends: AtEnds | None = None
    stock: Stock = NO_STOCK
    refused: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    outlet: float | None = None
    module: Item | None = None
    ways: tuple[HeatWay, ...] = ()
    progress: Progress | None = None
    missed: tuple[MissedAim, ...] = ()
    told: Studied | None = None
    row_dead: bool = False
    dead: tuple[Sentence, ...] = ()

    @property
    def higher_water(self) -> tuple[Quantity, ...]:
        """The least and the likeliest depth of the water at rest within the file's range [m]; none
        where it has none, or the design is laid out for what is likeliest."""
        level = (self.told or self.case).site.well.static_level
        if self.at_ends is None or not level.is_range:
            return ()
        return Quantity(level.low, level.kind), Quantity(level, level.kind)

    @property
    def system(self) -> System:
        """The units of the site's counters."""
        return self.case.site.site.print_units

    def says(self, path: str) -> bool:
        """Whether the file itself has a key or table: such a one is kept."""
        return self.part.says(path_of(path))

    def has_sized(self, part: str) -> bool:
        """Whether a part was chosen here."""
        return any(chosen.part == part for chosen in self.sized)

    def in_any_season(self, choice: Choice) -> Choice:
        """A choice that is held where the water stands higher too: a pump that is laid out for
        the lowest gives more there, to its motor, its wire and its tank."""
        if not self.higher_water or not set(choice.studies) & set(OF_A_PUMP) or choice.judge:
            return choice
        return replace(choice, judge=partial(_at_levels, self.higher_water, choice.studies))

    def set(self, changes: Sequence[Change], reason: str, rule: str = "") -> Draft:
        """The draft with keys set that no search chooses."""
        own = [change for change in changes if not self.says(change.path)]
        if not own:
            return self
        case = self.case.with_site(changed_site(self.case.site, own))
        sets = (*self.sets, *(Set(change, reason, rule) for change in own))
        return replace(self, case=case, sets=sets)

    def chosen(self, sized: Sized) -> Draft:
        """The draft with a part that was chosen, in place of what was chosen of it before."""
        rule = "" if sized.binding is None else sized.binding.rule.key
        reason, before = (
            why(sized, self.system),
            {one_set.change.path: one_set for one_set in self.sets},
        )
        # A pump's duty follows from each pipe too; what binds it stays what bound the pump.
        sets = tuple(
            replace(before[change.path], change=change)
            if DUTY in change.path and sized.part != PUMP and change.path in before
            else Set(change, reason, rule)
            for change in sized.candidate.changes
        )
        parts = {part.part: part for part in self.sized} | {sized.part: sized}
        if self.progress is not None:
            self.progress(min(len(parts), USUAL_PARTS - 1), USUAL_PARTS)
        return replace(
            self, case=sized.case, sets=(*self.sets, *sets), sized=tuple(parts.values())
        )

    def choose(self, choice: Choice, listed: Sequence[Candidate] = ()) -> Draft:
        """The draft with the first of the user's stock that its verdicts let pass, and where none
        is listed or does with the smallest candidate of a choice."""
        choice = self.in_any_season(choice)
        if not listed:
            return self.chosen(smallest(self.case, choice))
        sized = first_listed(self.case, choice, listed)
        if sized.passes:
            return self.chosen(sized)
        return self.refusing(choice.part, sized.refused).choose(choice)

    def refusing(self, part: str, refused: Mapping[str, str]) -> Draft:
        """The draft with things of the stock that do not do, each with its rule."""
        return replace(self, refused={**self.refused, part: refused}) if refused else self


def _at_levels(levels: Sequence[Quantity], studies: Sequence[str], case: Studied) -> list[Verdict]:
    """What studies say of a case with its water at rest at other depths [m]."""
    cases = [case.with_site(at_static_level(case.site, level)) for level in levels]
    return [verdict for at in cases for study in studies for verdict in at.said(study).verdicts]


def keys_of(path: str, value: object) -> list[Change]:
    """The keys of a raw table as changes.

    Parameters:
        value: as the file has it, with the tables within
    Returns:
        a change for each key
    """
    if isinstance(value, dict):
        return [key for key, inner in value.items() for key in keys_of(f"{path}.{key}", inner)]
    if isinstance(value, list) and value and isinstance(value[0], dict):
        several = enumerate(value, 1)
        return [key for place, inner in several for key in keys_of(f"{path}[{place}]", inner)]
    return [Change(path, json.dumps(value, ensure_ascii=False))]


def why(sized: Sized, system: System) -> str:
    """What binds a part, in a sentence of the design file.

    Parameters:
        system: of units to tell it in
    Returns:
        what the next smaller one fails, or that there is none
    """
    short = sized.chosen.short if not sized.passes else None
    if short is not None:
        return f"{sized.candidate.label} does not pass: {short.reason.text(system)}"
    if sized.smaller is None or sized.smaller.short is None:
        return f"{sized.candidate.label}, the least that is looked at: {sized.least}"
    shortfall = sized.smaller.short.reason.text(system)
    return f"{sized.candidate.label}; with {sized.smaller.candidate.label}: {shortfall}"


class NoDesign(Exception):  # noqa: N818 - reads as what happened
    """No design can be made; `reason` says why in a sentence, `needs` which keys would help."""

    def __init__(self, reason: Sentence, needs: tuple[str, ...] = ()) -> None:
        super().__init__(reason.template)
        self.reason = reason
        self.needs = needs
