"""Every verdict judged at the end of what is not known that is worst for it.

What the file leaves open, or gives as a range, is an interval. The studies are made again at its
ends, and inside it where a rule may fail there alone; where a verdict hangs on several intervals,
also with all of them at the ends that are worst for it. A verdict passes only where it passes in
each of these cases.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from wellsolar.beside import beside
from wellsolar.results.whole import StudyPart
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.intervals import Value, intervals_of
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    RANK,
    Remedy,
    Sentence,
    Status,
    Verdict,
    changes_of,
    quoted_in,
    remedy,
    say,
)

TRIED_INSIDE = ("pumps", "pressure_tank", "hand_pump", "casing")
"""Studies with rules that may fail inside a range and at neither end, as a motor's load does."""

NOT_JUDGED = ("ranges", "ranking", "heater_ranking", "card", "figures", "sheet")
"""Studies without verdicts on the site as it is, or that go through the ranges themselves."""

OF_HEAT = ("heated_tank", "matching", "diverted_tank")
"""The studies of hot water, the longest of all."""

READ_BY_HEAT = (
    "water_heater", "module", "array", "sun", "site", "demand", "limits", "power",
    "well.water_temperature",
)  # fmt: skip
"""Keys that hot water hangs on, by their beginnings, where no battery's surplus heats it. The
spread of the array's losses is left out: its years are judged by the worst of several already, and
once more through them would double the time that a user waits."""

TURN_PRECISION = 1e-3
ROUGH_PRECISION = 2e-2
"""Part of a range to which the value is found where a verdict turns: of studies that take no time,
and of those of hot water: our choice."""

STATES: dict[Status, str] = {
    "pass": "passes", "caution": "falls short", "fail": "fails", "unknown": "is open",
}  # fmt: skip

Key = tuple[str, str, str, int]
"""Study, rule, subject, and which of the rule's verdicts on that subject."""

At = tuple[tuple[int, Value], ...]
"""Which intervals stand at which values, in their order; the others are as in the file."""


@dataclass(frozen=True)
class _Tried:
    """The verdicts of a case."""

    at: At
    verdicts: Mapping[Key, Verdict]


def judged_at_ends(
    case: Studied, studies: Sequence[str], said: Sequence[StudyPart]
) -> list[StudyPart]:
    """What some studies say, each verdict judged at the worst end of what is not known.

    Parameters:
        said: what each says of the site as it is
    Returns:
        the same with the verdicts judged; those that show at an end alone stand behind the others
    """
    ends = _Ends(case, studies)
    if not ends.intervals:
        return list(said)
    verdicts = _keyed(zip(studies, said, strict=True))
    tried = ends.tried(verdicts)
    at_ends = {key: verdict for trial in tried for key, verdict in trial.verdicts.items()}
    judged: dict[str, list[Verdict]] = defaultdict(list)
    for key in dict.fromkeys((*verdicts, *at_ends)):
        verdict = verdicts.get(key)
        if key[0] not in NOT_JUDGED:
            verdict = ends.judged(key, verdict, at_ends.get(key), tried)
        if verdict is not None:
            judged[key[0]].append(verdict)
    return [
        replace(part, verdicts=tuple(judged[study]))
        for study, part in zip(studies, said, strict=True)
    ]


class _Ends:
    """A site's verdicts in the cases of its intervals."""

    def __init__(self, case: Studied, studies: Sequence[str]) -> None:
        self.case = case
        self.studies = [study for study in studies if study not in NOT_JUDGED]
        self.intervals = intervals_of(case.file)

    def tried(self, verdicts: Mapping[Key, Verdict]) -> list[_Tried]:
        """Each interval alone at its ends and inside; then several at their worst together."""
        inside = [study for study in TRIED_INSIDE if study in self.studies]
        alone: list[tuple[At, Sequence[str]]] = []
        for number, interval in enumerate(self.intervals):
            alone += [(((number, value),), self.studies) for value in interval.ends]
            alone += [(((number, value),), inside) for value in interval.inside]
        tried = self._made(alone)
        corners = self._corners(verdicts, tried)
        return tried + self._made([(corner, self.studies) for corner in corners])

    def _made(self, wanted: Sequence[tuple[At, Sequence[str]]]) -> list[_Tried]:
        """Some cases, half of them in a process beside this one."""

        def made(part: Sequence[tuple[At, Sequence[str]]]) -> list[_Tried]:
            return [_Tried(at, self._said(at, studies)) for at, studies in part]

        if len(wanted) < 2:
            return made(wanted)
        with beside(lambda: made(wanted[1::2])) as others:
            return made(wanted[::2]) + others()

    def _said(self, at: At, studies: Sequence[str]) -> dict[Key, Verdict]:
        """The verdicts of some studies with intervals at values of their own."""
        site = self.case.site
        for number, value in at:
            site = self.intervals[number].at(site, value.value)
        keys = [self.intervals[number].key for number, _ in at]
        asked = any(study in OF_HEAT for study in studies)
        kept = asked and not _begin(keys, READ_BY_HEAT) and self.case.diverted_heat.power is None
        changed = self.case.with_site(site, keep=OF_HEAT if kept else ())
        return _keyed((study, changed.said(study)) for study in studies)

    def _corners(self, verdicts: Mapping[Key, Verdict], tried: Sequence[_Tried]) -> list[At]:
        """The intervals at their worst together, for each verdict that hangs on several: at the
        end that its rule names for the key, else at the one where it came out worst; an interval
        stays as it is where no end is worse."""
        worst: dict[Key, dict[int, tuple[tuple[int, float], Value]]] = defaultdict(dict)
        for trial in tried:
            (number, value), *_ = trial.at
            if value not in self.intervals[number].ends:
                continue
            for key, verdict in trial.verdicts.items():
                standing = _standing(verdict)
                named = verdict.rule.worst.get(_as_of_well(self.intervals[number].key))
                if named is not None:
                    standing = (-1, 0.0) if value.side == named else (len(RANK), 0.0)
                as_it_is = _standing(verdicts[key]) if key in verdicts else (RANK["pass"], 0.0)
                if standing < min(as_it_is, worst[key].get(number, (as_it_is,))[0]):
                    worst[key][number] = (standing, value)
        corners = {
            tuple((number, value) for number, (_, value) in sorted(ends.items()))
            for ends in worst.values()
            if len(ends) > 1
        }
        return sorted(corners, key=lambda corner: [(number, at.value) for number, at in corner])

    def judged(
        self, key: Key, verdict: Verdict | None, at_end: Verdict | None, tried: Sequence[_Tried]
    ) -> Verdict | None:
        """A verdict judged at the worst end; None for one that shows at an end alone and passes
        there.

        Parameters:
            verdict: of the site as it is; None where it shows at an end alone
            at_end: the same at an end; None where it shows at none
        """
        at_ends = [(trial.at, trial.verdicts[key]) for trial in tried if key in trial.verdicts]
        if verdict is None:
            assert at_end is not None
            unasked = say("it is not asked as it is")
            verdict = replace(at_end, status="pass", reason=unasked, claims=())
            if all(other.status == "pass" for _, other in at_ends):
                return None
        ranged = [(at, other) for at, other in at_ends if not self._has_open(at)]
        in_open = [(at, other) for at, other in at_ends if self._has_open(at)]
        return self._where_open(self._over_ranges(key, verdict, ranged), in_open)

    def _has_open(self, at: At) -> bool:
        """True where an interval that the file leaves open was moved."""
        return any(self.intervals[number].is_open for number, _ in at)

    def _over_ranges(
        self, key: Key, verdict: Verdict, at_ends: Sequence[tuple[At, Verdict]]
    ) -> Verdict:
        """A verdict over the ranges of the file: a caution where it passes at the likeliest alone,
        unknown where an end leaves it open."""
        if not at_ends:
            return verdict
        at, worst = min(at_ends, key=lambda end: _standing_with_few(*end))
        if RANK[worst.status] >= RANK[verdict.status]:
            return self._remedied(verdict, at_ends)
        turn = self._turn(key, at) if verdict.status == "pass" else None
        sentence = _joined(
            verdict.reason, "; with ", self._told(at), f" it {STATES[worst.status]}: "
        )
        sentence = _joined(sentence, "", quoted_in(worst.reason, "end_"), "")
        status: Status = verdict.status
        if status == "pass":
            status = "unknown" if worst.status == "unknown" else "caution"
        side = ""
        if turn is not None:
            side = "below" if at[0][1].value > turn else "above"
            sentence = _joined(
                sentence, "; passes ", say(f"with {{turn_key}} {side} {{turn}}", turn=turn,
                turn_key=self.intervals[at[0][0]].key), "",
            )  # fmt: skip
        needs = worst.needs if status == "unknown" else ()
        claims = tuple(dict.fromkeys((*verdict.claims, *worst.claims)))
        verdict = replace(verdict, claims=claims)
        if verdict.status == "pass":
            return replace(
                verdict, status=status, reason=sentence, needs=needs,
                remedy=self._surer(worst, at, turn, side),
            )  # fmt: skip
        return self._remedied(replace(verdict, reason=sentence, needs=needs), at_ends)

    def _remedied(self, verdict: Verdict, at_ends: Sequence[tuple[At, Verdict]]) -> Verdict:
        """A verdict that does not pass as it is, with what is asked where it stands worst: what
        helps at the likeliest values alone would leave it short at an end."""
        if verdict.status == "pass" or verdict.remedy is None or not verdict.remedy.changes:
            return verdict
        asked = [
            (at, other) for at, other in at_ends
            if other.remedy is not None and other.remedy.changes
            and _standing(other) < _standing(verdict)
        ]  # fmt: skip
        if not asked:
            return verdict
        at, other = min(asked, key=lambda end: _standing(end[1]))
        assert other.remedy is not None
        sentence = _joined(other.remedy, " (so that it holds with ", self._told(at), " too)")
        return replace(
            verdict, remedy=Remedy(sentence.template, sentence.parts, changes_of(other.remedy), "")
        )

    def _surer(self, worst: Verdict, at: At, turn: Quantity | None, side: str) -> Remedy:
        """What makes a verdict pass at the end too, or how sure its key must be."""
        keys = " and ".join(self.intervals[number].key for number, _ in at)
        if turn is None:
            sure = say("give {keys} as surely as can be", keys=keys)
        else:
            sure = say(f"make sure that {{keys}} stays {side} {{turn}}", keys=keys, turn=turn)
        if worst.remedy is None:
            return remedy(sure.template, "it is a measurement", **sure.parts)
        whole = _joined(worst.remedy, "; or ", quoted_in(sure, "sure_"), "")
        changes = changes_of(worst.remedy)
        return Remedy(
            whole.template, whole.parts, changes, "" if changes else "it is a measurement"
        )

    def _where_open(self, verdict: Verdict, at_ends: Sequence[tuple[At, Verdict]]) -> Verdict:
        """A verdict where the file leaves something open: unknown if it is not the same at both
        ends."""
        others = [end for end in at_ends if end[1].status != verdict.status]
        if verdict.status == "unknown" or not others:
            return self._remedied(verdict, at_ends)
        at, other = min(others, key=lambda other: _standing_with_few(*other))
        opened = [number for number, _ in at if self.intervals[number].is_open]
        keys = tuple(self.intervals[number].key for number in opened)
        own_place = " and ".join(self.intervals[number].told for number in opened)
        worse = other.reason if RANK[other.status] < RANK[verdict.status] else verdict.reason
        here = say(f"it {STATES[verdict.status]} with {own_place}")
        there = f", but it {STATES[other.status]} with "
        sentence = _joined(here, there, self._told(at), ": ")
        sentence = _joined(sentence, "", quoted_in(worse, "end_"), "; give {keys} to settle it")
        sentence = Sentence(sentence.template, {**sentence.parts, "keys": " and ".join(keys)})
        return replace(
            verdict, status="unknown", reason=sentence, margin=None, remedy=None,
            needs=(*keys, *other.needs),
        )  # fmt: skip

    def _told(self, at: At) -> Sentence:
        """Where the intervals stand, in words."""
        texts, parts = [], {}
        for place, (_, value) in enumerate(at):
            texts.append(value.told.replace("{value}", f"{{at_{place}}}"))
            parts[f"at_{place}"] = value.value
        return Sentence(" and ".join(texts), parts)

    def _turn(self, key: Key, at: At) -> Quantity | None:
        """The value of one range of the file from which on a verdict passes no more; None where
        several are moved, or a default whose own value nobody measured."""
        from scipy.optimize import bisect

        (number, end), study = at[0], key[0]
        likeliest = self.intervals[number].likeliest
        if len(at) > 1 or likeliest is None or self.intervals[number].is_default:
            return None

        def side(sample: float) -> float:
            value = replace(end, value=Quantity(sample, likeliest.kind))
            verdict = self._said(((number, value),), [study]).get(key)
            return 1.0 if verdict is None or verdict.status == "pass" else -1.0

        start, stop = float(likeliest), float(end.value)
        if side(start) == side(stop):
            return None
        part = ROUGH_PRECISION if study in OF_HEAT else TURN_PRECISION
        return Quantity(bisect(side, start, stop, xtol=abs(stop - start) * part), likeliest.kind)


def _as_of_well(key: str) -> str:
    """A key of another well as a rule names it, that of [well]."""
    table, dot, name = key.partition(".")
    return f"well{dot}{name}" if table.startswith("other_well[") else key


def _keyed(said: Iterable[tuple[str, StudyPart]]) -> dict[Key, Verdict]:
    """The verdicts of some studies by their keys."""
    by_key: dict[Key, Verdict] = {}
    for study, part in said:
        for verdict in part.verdicts:
            nth = 0
            while (study, verdict.rule.key, verdict.subject, nth) in by_key:
                nth += 1
            by_key[study, verdict.rule.key, verdict.subject, nth] = verdict
    return by_key


def _begin(keys: Iterable[str], with_: tuple[str, ...]) -> bool:
    """True where one of some keys begins with one of these."""
    return any(key.startswith(with_) for key in keys)


def _standing(verdict: Verdict) -> tuple[int, float]:
    """How well a verdict stands: by its state, then by its margin."""
    return RANK[verdict.status], 0.0 if verdict.margin is None else float(verdict.margin)


def _standing_with_few(at: At, verdict: Verdict) -> tuple[int, int, float]:
    """The same, of two alike the one in which fewer intervals were moved."""
    return RANK[verdict.status], len(at), _standing(verdict)[1]


def _joined(first: Sentence, between: str, second: Sentence, last: str) -> Sentence:
    """Two sentences as one; their parts have names of their own."""
    return Sentence(
        first.template + between + second.template + last, {**first.parts, **second.parts}
    )
