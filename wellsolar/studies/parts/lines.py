"""Lines of a parts list, each with the verdict it follows from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from wellsolar import kinds
from wellsolar.data import wiring as wire_table
from wellsolar.results import Results, WireResult
from wellsolar.results.parts import Part, State
from wellsolar.site.schema import Site
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, Sentence, Verdict, say, verdict_of

SPARE = 0.10
"""Of a run of wire, for ends, drip loops and mistakes: common practice, no source."""

NOT_PASSED = ("fail", "caution")
ORDER = ("fail", "caution", "unknown", "pass")


@dataclass(frozen=True)
class Practice:
    """What a line rests on where no verdict speaks of it.

    text: why it is on the list; source: key into `wellsolar.sources`
    """

    text: str
    source: str = "common practice"


@dataclass
class Lines:
    """The lines of one part of the house as they are found."""

    site: Site
    results: Results
    group: str
    made: list[Part] = field(default_factory=list)

    def verdict(self, rule: Rule, subject: str) -> Verdict | None:
        """The verdict of a rule on a subject; None where it was not judged."""
        return verdict_of(self.results.verdicts, rule, subject)

    def worst(self, subject: str, *rules: Rule) -> Verdict | None:
        """Of several rules' verdicts the first that does not pass, or else the first there is."""
        found = [each for rule in rules if (each := self.verdict(rule, subject)) is not None]
        return next((each for each in found if each.status in NOT_PASSED), next(iter(found), None))

    def worst_of_all(self, rule: Rule) -> Verdict | None:
        """Of a rule's verdicts on every subject the worst, or else the first there is."""
        found = [each for each in self.results.verdicts if each.rule == rule]
        return min(found, key=lambda each: ORDER.index(each.status), default=None)

    def add(
        self,
        item: str,
        size: Sentence,
        verdict: Verdict | None,
        *,
        state: State = "in the file",
        of: str = "",
        count: int | None = 1,
        length: float | None = None,
        volume: float | None = None,
        why: Iterable[Sentence] = (),
        practice: Practice | None = None,
    ) -> None:
        """Put a line on the list; its reason is the verdict's, or else the practice's, then what
        is said beside it."""
        quantity = None if count is None else Quantity(count, kinds.COUNT)
        if length is not None:
            quantity = Quantity(length, kinds.LENGTH)
        if volume is not None:
            quantity = Quantity(volume, kinds.VOLUME)
        reasons, source = [], "common practice"
        if verdict is not None:
            reasons, source = [verdict.reason], verdict.rule.source
        elif practice is not None:
            reasons, source = [say(practice.text)], practice.source
        elif state == "in the file":
            reasons = [say("the file's own, and nothing is asked of it")]
        self.made.append(
            Part(self.group, item, of, quantity, size, state, (*reasons, *why), verdict, source)
        )

    def add_told(
        self, item: str, size: Sentence, verdict: Verdict | None, told: bool | None, of: str = ""
    ) -> None:
        """A thing that the file says is there, or else one to add unless the verdict passes."""
        if told:
            self.add(item, size, verdict, of=of)
        elif verdict is not None and verdict.status != "pass":
            self.add(item, size, verdict, of=of, state="to add")

    def add_cable(self, item: str, of: str, wire: WireResult, kind: str, *rules: Rule) -> None:
        """A run of wire by the file's gauge, or by the thinnest that does."""
        gauge, length = wire.smallest_gauge, wire.length * (1.0 + SPARE)
        spare = say(
            "{run} of run and {share} spare",
            run=Quantity(wire.length, kinds.LENGTH),
            share=Quantity(SPARE, kinds.FRACTION),
        )
        verdict = self.worst(of, *rules)
        if wire.gauge is None:
            state: State = "to add"
        elif verdict is not None and verdict.status in NOT_PASSED:
            state = "to change"
        else:
            state, gauge = "in the file", wire.gauge
        said = [spare]
        if state == "to change" and gauge is not None:
            said.append(say("{gauge} is the thinnest that meets all that is asked", gauge=gauge))
        if gauge is None:
            size = say("none of the table's gauges does: a shorter run or a higher voltage")
        else:
            size = say("{gauge}, {kind}", gauge=with_area(gauge), kind=kind)
        self.add(item, size, verdict, of=of, state=state, length=length, why=said)


def with_area(gauge: str) -> str:
    """A gauge with the cross-section that it stands for, such as "10 AWG, 5.26 mm²"."""
    return f"{gauge}, {wire_table.wire(gauge).area * 1e6:.3g} mm²"


def amperes(rating: float) -> str:
    """A standard rating as the trade writes it, such as "15 A"."""
    return f"{rating:g} A"


def sized(*pieces: tuple[str, Quantity | str | None]) -> Sentence:
    """A size from pieces, of which those that are not known are left out.

    Parameters:
        pieces: each words with `{}` in them, and what stands there
    Returns:
        the pieces with commas between
    """
    told = [(words, value) for words, value in pieces if value is not None]
    template = ", ".join(words.replace("{", f"{{p{n}") for n, (words, _) in enumerate(told))
    return say(template, **{f"p{n}": value for n, (_, value) in enumerate(told)})


def remedy_of(verdict: Verdict | None) -> list[Sentence]:
    """What would make a verdict pass, where it does not."""
    if verdict is None or verdict.remedy is None or verdict.status == "pass":
        return []
    return [verdict.remedy]
