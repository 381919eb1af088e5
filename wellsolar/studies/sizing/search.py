"""The smallest size that its verdicts let pass, by trying each on a changed site.

No formula of the sizing's own says how large a part has to be: a candidate is changes of the site
file, made and judged as they would be written, and the rules that judge the finished site hold it.
What the next smaller one fails is therefore known of each choice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.asked.studied import Studied
from wellsolar.verdicts import RANK, Change, Rule, Status, Verdict


@dataclass(frozen=True)
class Candidate:
    """Something that could be chosen.

    label: as a counter calls it
    changes: of the site file, made together
    """

    label: str
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True)
class Choice:
    """A part to choose, and by what it is held.

    part: what is chosen
    candidates: smallest first
    studies: of the case, in which the rules are judged
    held_by: the rules that hold it from below: one that does not pass asks the next larger
    stopped_by: those that hold it from above: one that fails where a smaller candidate did not
        says that a larger one is no better
    subjects: whose verdicts count; empty for anybody's
    judge: the verdicts of a case where they are not those of its studies: the same without what
        would take long and is not looked at here
    least: why no candidate is smaller than the first, where that is not for want of one
    rising: True where what passes at a size passes at every larger one, so that the field may be
        halved in place of walked
    settles: True where it can settle what its rules leave open, so that an unknown is short too
    """

    part: str
    candidates: Sequence[Candidate]
    studies: tuple[str, ...]
    held_by: tuple[Rule, ...]
    stopped_by: tuple[Rule, ...] = ()
    subjects: Collection[str] = ()
    rising: bool = False
    settles: bool = False
    judge: Callable[[Studied], Iterable[Verdict]] | None = None
    least: str = ""

    def judged(self, case: Studied) -> tuple[Verdict, ...]:
        """The verdicts of its rules in a case, those that hold it from below first."""
        rules = (*self.held_by, *self.stopped_by)
        said = [verdict for study in self.studies for verdict in case.said(study).verdicts]
        if self.judge is not None:
            said += self.judge(case)
        verdicts = [
            verdict
            for verdict in said
            if verdict.rule in rules and (not self.subjects or verdict.subject in self.subjects)
        ]
        return tuple(sorted(verdicts, key=lambda verdict: rules.index(verdict.rule)))


@dataclass(frozen=True)
class Trial:
    """A candidate on the changed site. case: with it; verdicts: of the rules that hold it;
    shorts: statuses that hold it back."""

    candidate: Candidate
    case: Studied
    verdicts: tuple[Verdict, ...]
    shorts: tuple[Status, ...] = ("fail", "caution")

    @property
    def short(self) -> Verdict | None:
        """The worst verdict that does not pass; None where nothing holds it back. What is not
        known is settled by few sizes: it is named when the design is done."""
        short = [verdict for verdict in self.verdicts if verdict.status in self.shorts]
        return min(short, key=lambda verdict: RANK[verdict.status], default=None)


@dataclass(frozen=True)
class Sized:
    """A part that was chosen.

    part: what it is; chosen: the candidate on the site
    smaller: the next smaller candidate; None for the smallest of all
    passes: False where no candidate passes, and this one stands best
    tried: how many were; shut_out: rule -> how many it did not let pass
    least: what holds the smallest of all: the rule that it passes, or why none is smaller
    refused: things of the user's stock, each with the rule that did not let it pass
    """

    part: str
    chosen: Trial
    smaller: Trial | None
    passes: bool
    tried: int
    shut_out: Mapping[str, int] = field(default_factory=dict)
    least: str = ""
    refused: Mapping[str, str] = field(default_factory=dict)

    @property
    def candidate(self) -> Candidate:
        """What was chosen."""
        return self.chosen.candidate

    @property
    def case(self) -> Studied:
        """The site with it."""
        return self.chosen.case

    @property
    def binding(self) -> Verdict | None:
        """What binds it: the verdict that the next smaller one does not pass, as it stands for
        the one chosen; of one that does not pass, what it fails."""
        if not self.passes:
            return self.chosen.short
        held = self.smaller.short if self.smaller is not None else None
        if held is None:
            return None
        own = (verdict for verdict in self.chosen.verdicts
               if verdict.rule == held.rule and verdict.subject == held.subject)  # fmt: skip
        return next(own, held)


def trial(case: Studied, choice: Choice, candidate: Candidate) -> Trial:
    """A candidate made and judged.

    Parameters:
        case: the site so far
        choice: what is chosen
        candidate: one that could be
    Returns:
        the changed site and what its rules say
    """
    changed = case.with_site(changed_site(case.site, candidate.changes))
    shorts: tuple[Status, ...] = ("fail", "caution")
    if choice.settles:
        shorts = (*shorts, "unknown")
    return Trial(candidate, changed, choice.judged(changed), shorts)


def smallest(case: Studied, choice: Choice) -> Sized:
    """The smallest candidate that its verdicts let pass.

    Parameters:
        case: the site so far, from which each trial keeps what no changed table decides
        choice: with one candidate or more
    Returns:
        the part on the changed site; where none passes the one that stands best, the smaller of
        two that stand alike
    """
    tried: dict[int, Trial] = {}

    def at(number: int) -> Trial:
        if number not in tried:
            tried[number] = trial(case, choice, choice.candidates[number])
        return tried[number]

    places = _halved(choice, at) if choice.rising else _walked(choice, at)
    place = next(places, None)
    number = _best(tried) if place is None else place
    smaller = at(number - 1) if number > 0 else None
    shut_out = Counter(trial.short.rule.key for trial in tried.values() if trial.short is not None)
    least = choice.least or choice.held_by[0].key
    return Sized(
        choice.part, at(number), smaller, place is not None, len(tried), dict(shut_out), least
    )


def first_listed(case: Studied, choice: Choice, listed: Sequence[Candidate]) -> Sized:
    """The first of what a user lists that its verdicts let pass.

    Parameters:
        case: the site so far
        choice: of what is sold
        listed: in the order in which it is wanted
    Returns:
        the part, with what was refused before it by its rule
    """
    held_by = (*choice.held_by, *choice.stopped_by)
    tried: list[Trial] = []
    for candidate in listed:
        tried.append(trial(case, replace(choice, held_by=held_by, stopped_by=()), candidate))
        if tried[-1].short is None:
            break
    refused = {trial.candidate.label: trial.short.rule.key for trial in tried if trial.short}
    all_pass = tried[-1].short is None
    smaller = tried[-2] if len(tried) > 1 else None
    return Sized(
        choice.part, tried[-1], smaller, all_pass, len(tried), Counter(refused.values()),
        choice.least or held_by[0].key, refused,
    )  # fmt: skip


def _walked(choice: Choice, at: Callable[[int], Trial]) -> Iterator[int]:
    """The first that passes, from the smallest up; none from where one stops the larger."""
    for number in range(len(choice.candidates)):
        short = at(number).short
        if short is None:
            yield number
        elif short.rule in choice.stopped_by and _only_stopped(choice, at(number)):
            return


def _only_stopped(choice: Choice, tried: Trial) -> bool:
    """Whether everything that holds a candidate from below passes."""
    return all(
        verdict.rule in choice.stopped_by
        for verdict in tried.verdicts
        if verdict.status in ("fail", "caution")
    )


def _halved(choice: Choice, at: Callable[[int], Trial]) -> Iterator[int]:
    """The first that passes, of candidates of which every one behind it does."""
    low, high = -1, len(choice.candidates) - 1
    if at(high).short is not None:
        return
    while high - low > 1:
        middle = (low + high) // 2
        if at(middle).short is None:
            high = middle
        else:
            low = middle
    yield high


def _best(tried: Mapping[int, Trial]) -> int:
    """The candidate that stands best, the smaller of two alike."""

    def standing(number: int) -> tuple[int, int, int]:
        fails = sum(verdict.status == "fail" for verdict in tried[number].verdicts)
        cautions = sum(verdict.status == "caution" for verdict in tried[number].verdicts)
        return fails, cautions, number

    return min(tried, key=standing)
