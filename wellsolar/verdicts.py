"""What a study says of a site: verdicts, the rules they rest on, and the assumptions made."""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from wellsolar import kinds
from wellsolar.sources import BINDING, SOURCES
from wellsolar.units import (
    SYSTEMS,
    Quantity,
    System,
    Toward,
    about,
    in_file,
    show,
    show_some,
    shown_alike,
)

Status = Literal["pass", "caution", "fail", "unknown"]

Trade = Literal["owner", "plumber", "electrician", "driller"]
"""Who may do a piece of work; a driller is whoever works in the well."""

RANK: dict[Status, int] = {"fail": 0, "unknown": 1, "caution": 2, "pass": 3}
"""How well a verdict stands: what is not known may fail, so that it ranks below a caution."""


_NAMED_PART = re.compile(r"\{(\w+)")
_ANOTHER_WAY = re.compile(r"[,;] or |; checked: |; at least | \(so that it holds with |\. ")


@dataclass(frozen=True)
class Sentence:
    """A sentence with quantities in it, printed in either system of units.

    template: text with `{name}` where a quantity or a word of the file stands; `{name:up}` rounds
        up, for what must be at least so much, `{name:down}` down, for what must be at most;
        `{name:about}` is what levels, curves or weather give, which a short text rounds
    parts: what stands there
    """

    template: str
    parts: Mapping[str, Quantity | str] = field(default_factory=dict)

    def text(self, system: System, short: bool = False) -> str:
        """The sentence with its quantities in one system of units; in a short text those that are
        `about` so much have the digits that their inputs bear."""
        shown = {
            name: part if isinstance(part, str) else _Printed(part, system, short)
            for name, part in self.parts.items()
        }
        return self.template.format_map(shown)

    def quantities(self) -> dict[str, Quantity]:
        """The quantities of the sentence by their names in the template."""
        return {name: part for name, part in self.parts.items() if isinstance(part, Quantity)}


@dataclass(frozen=True)
class _Printed:
    """A quantity in one system of units, printed as the place where it stands asks."""

    quantity: Quantity
    system: System
    short: bool

    def __format__(self, toward: str) -> str:
        if toward == "about" and self.short:
            return about(self.quantity, self.system)
        if toward in ("up", "down"):
            way: Toward = "up" if toward == "up" else "down"
            return show(self.quantity, self.quantity.kind, self.system, toward=way)
        return show_some(self.quantity, self.system)


def say(template: str, **parts: Quantity | str) -> Sentence:
    """A sentence from a template and the quantities and words that stand in it."""
    return Sentence(template, parts)


def quoted_in(sentence: Sentence, prefix: str) -> Sentence:
    """A sentence to stand inside another: its parts named with a prefix, so that none of them is
    taken for one of the other's."""
    return Sentence(
        _NAMED_PART.sub(rf"{{{prefix}\1", sentence.template),
        {f"{prefix}{name}": part for name, part in sentence.parts.items()},
    )


End = Literal["low", "high"]


@dataclass(frozen=True)
class Change:
    """A key of the site file and what to write there, with quotes where the file needs them."""

    path: str
    value: str

    def __str__(self) -> str:
        """As the what-if option takes it."""
        return f"{self.path}={self.value}"


def as_typed(change: Change) -> str:
    """A change as a shell takes it behind a command: `--with 'well.depth="110 ft"'`."""
    return f"--with {shlex.quote(str(change))}"


def set_to(path: str, value: Quantity | str | int | Sequence[str]) -> Change:
    """A key of the site file set to a quantity, a word or several, a number or true or false.

    Parameters:
        path: the key path, such as `pump[1].dry_run_protection`
        value: what to set it to; a quantity is written to twelve digits, so round it to what is
            sold or can be set before
    """
    if isinstance(value, bool):
        return Change(path, "true" if value else "false")
    if isinstance(value, Quantity):
        value = in_file(value)
    return Change(path, f"{value}" if isinstance(value, int) else json.dumps(value))


@dataclass(frozen=True)
class Remedy(Sentence):
    """What would make a verdict pass: a sentence, and its first way as changes of the site file.

    changes: made together, they make the verdict pass
    by_hand: why there is no change of the file to make, such as "it is work, not a part"
    """

    changes: tuple[Change, ...] = ()
    by_hand: str = ""

    @property
    def first(self) -> Sentence:
        """Its first way alone, without what it is then good for besides."""
        return Sentence(_ANOTHER_WAY.split(self.template, 1)[0], self.parts)


def remedy(template: str, how: Sequence[Change] | str, **parts: Quantity | str) -> Remedy:
    """What would make a verdict pass.

    Parameters:
        template: the sentence, as of `say`; several ways are joined by ", or" or "; or", and the
            first is that of the changes
        how: the changes of the file, to be made together; or why no change of the file says it
        parts: quantities and words that stand in the sentence
    """
    if isinstance(how, str):
        return Remedy(template, parts, by_hand=how)
    return Remedy(template, parts, tuple(how))


def changes_of(wanted: Remedy | None) -> tuple[Change, ...]:
    """The changes that a remedy carries; none where there is none."""
    return () if wanted is None else wanted.changes


def print_alike(one: Quantity, other: float) -> bool:
    """Whether two values of a kind are printed with the same digits in a system of units.

    Parameters:
        other: of the same kind, in SI
    Returns:
        True where a reader of either system sees no difference
    """
    return any(shown_alike(one, other, one.kind.exact, system) for system in SYSTEMS)


def at_most(quantity: Quantity, limit: float) -> bool:
    """Whether what was found is no more than a limit; what prints like it is not more.

    Parameters:
        limit: of the same kind, in SI
    Returns:
        True where it keeps the limit: no verdict turns on digits that nobody is shown
    """
    return quantity <= limit or print_alike(quantity, limit)


def at_least(quantity: Quantity, limit: float) -> bool:
    """Whether what was found is no less than a limit; what prints like it is not less.

    Parameters:
        limit: of the same kind, in SI
    Returns:
        True where it keeps the limit: no verdict turns on digits that nobody is shown
    """
    return quantity >= limit or print_alike(quantity, limit)


@dataclass(frozen=True)
class Verdict:
    """One judgement on a site.

    rule: what is asked, and on whose authority
    subject: what is judged, such as the name of a pump
    status: pass, caution, fail or unknown
    reason: why, in one sentence
    quantity, limit, margin: what was compared; None where nothing is compared by size
    remedy: what would make it pass
    needs: for an unknown, the keys of the site file that would settle it
    claims: keys of the site file that it takes on trust, which only a test in the work proves
    trade: who may do what it asks, where that is not whom its rule names
    """

    rule: Rule
    subject: str
    status: Status
    reason: Sentence
    quantity: Quantity | None = None
    limit: Quantity | None = None
    margin: Quantity | None = None
    remedy: Remedy | None = None
    needs: tuple[str, ...] = ()
    claims: tuple[str, ...] = ()
    trade: Trade | None = None

    @property
    def by(self) -> Trade:
        """Who may do what it asks: make the change, or read what lacks."""
        if self.status == "unknown":
            return self.rule.read_by or self.rule.by
        return self.trade or self.rule.by


@dataclass(frozen=True)
class Place:
    """Where a report shows what a verdict rests on.

    figure, section: their keys, "" where there is none; # stands for the number of the pump or
        lift that is judged, | between a section and that in its place
    """

    figure: str = ""
    section: str = ""


RULES: dict[str, Rule] = {}
"""Every rule by its key, entered where it is made, so that a key cannot be given twice."""


@dataclass(frozen=True)
class Rule:
    """Something that is asked of a site.

    Only a rule that was read, or quoted by a text that was, or physics may be failed: by one from
    memory, by practice or by our own choice a verdict is a caution at most.

    key: short name, unique in the program
    asks: the question in the words of the trade
    text: the rule itself
    source: key into `wellsolar.sources`
    limit_is: whether a quantity judged by it should be at least or at most its limit; None where
        it is judged otherwise
    safety: True where a person could be hurt; such a rule can't be switched off
    by: who may make the change that it asks for; read_by: who may read what it lacks, where
        that is somebody else
    place: where a report shows what its verdicts rest on
    worst: key of the site file -> the end of what it may be that is worst for this rule; where
        it names none, both ends are tried
    claims: flags of the site file that its verdicts may take on trust, by their last name
    """

    key: str
    asks: str
    text: str
    source: str
    limit_is: Literal["at least", "at most"] | None = None
    safety: bool = False
    by: Trade = field(kw_only=True)
    read_by: Trade | None = field(kw_only=True, default=None)
    place: Place = field(kw_only=True)
    worst: Mapping[str, End] = field(kw_only=True, default_factory=dict, compare=False)
    claims: tuple[str, ...] = field(kw_only=True, default=())

    def __post_init__(self) -> None:
        if self.key in RULES:
            raise ValueError(f"two rules are called {self.key!r}")
        RULES[self.key] = self

    @property
    def may_fail(self) -> bool:
        """Whether its source binds, so that a verdict by it may fail."""
        return SOURCES[self.source].provenance in BINDING

    def verdict(
        self,
        status: Status,
        subject: str,
        reason: Sentence,
        *,
        quantity: Quantity | None = None,
        limit: Quantity | None = None,
        remedy: Remedy | None = None,
        claims: Sequence[str] = (),
        trade: Trade | None = None,
    ) -> Verdict:
        """A verdict by this rule, without remedy where it passes, and a caution in place of a fail
        where its source does not bind; the margin is how far inside the limit the quantity lies,
        negative where it lies outside, and nothing where the two print alike. What lies close to
        its limit is printed with all its digits. A flag that it claims must be among those that
        the rule names."""
        strange = [path for path in claims if path.rpartition(".")[2] not in self.claims]
        if strange:
            raise ValueError(f"{self.key!r} names no claim such as {strange}")
        if status == "fail" and not self.may_fail:
            status = "caution"
        margin = None
        if quantity is not None and limit is not None and _close(quantity, limit):
            quantity, limit, reason = _in_full(quantity), _in_full(limit), _told_in_full(reason)
        if quantity is not None and limit is not None and self.limit_is is not None:
            sign = 1.0 if self.limit_is == "at least" else -1.0
            inside = 0.0 if print_alike(quantity, limit) else sign * (quantity - limit)
            margin = Quantity(inside, _difference_of(quantity))
        wanted = None if status == "pass" else remedy
        claimed = tuple(claims)
        return Verdict(
            self, subject, status, reason, quantity, limit, margin, wanted, (), claimed, trade
        )

    def unknown(self, subject: str, *needs: str, why: Sentence | str = "") -> Verdict:
        """The verdict that the file lacks what this rule needs: name the one or two keys."""
        told = say("{why}", why=why) if isinstance(why, str) else why
        template = (
            f"{told.template}: give {{keys}} to settle it" if why else "give {keys} to settle it"
        )
        reason = say(template, **told.parts, keys=" and ".join(needs))
        return Verdict(self, subject, "unknown", reason, needs=needs)


def _close(quantity: Quantity, limit: Quantity) -> bool:
    """Whether a sum to few figures could hide on which side of its limit it lies, or by how
    much."""
    rounded = quantity.kind.figures is not None or limit.kind.figures is not None
    return rounded and abs(quantity - limit) < 0.25 * max(abs(quantity), abs(limit))


def _in_full(quantity: Quantity) -> Quantity:
    return Quantity(quantity, quantity.kind.exact, quantity.low, quantity.high, quantity.written)


def _told_in_full(sentence: Sentence) -> Sentence:
    parts = sentence.parts.items()
    return replace(sentence, parts={
        name: part if isinstance(part, str) else _in_full(part) for name, part in parts
    })  # fmt: skip


def verdict_of(verdicts: Iterable[Verdict], rule: Rule, subject: str) -> Verdict | None:
    """The verdict of a rule on a subject; None where it was not judged."""
    matching = (
        verdict for verdict in verdicts if verdict.subject == subject and verdict.rule == rule
    )
    return next(matching, None)


def _difference_of(quantity: Quantity) -> kinds.Kind:
    if quantity.kind is kinds.TEMPERATURE:
        return kinds.TEMPERATURE_DIFFERENCE
    if quantity.kind is kinds.PRESSURE:
        return kinds.PRESSURE_LOSS
    return quantity.kind


@dataclass(frozen=True)
class Assumption:
    """A value that the site file did not give and that was used all the same.

    path: the key that would replace it
    value: what was used
    why: on what ground
    source: key into `wellsolar.sources`
    """

    path: str
    value: Quantity | str
    why: str
    source: str


def listed(names: Sequence[str]) -> str:
    """Names as a sentence lists them.

    Parameters:
        names: at least one
    Returns:
        such as "a, b and c"
    """
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
