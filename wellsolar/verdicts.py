"""What a study says of a site: verdicts, the rules they rest on, and the assumptions made."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from wellsolar import kinds
from wellsolar.units import Quantity, System, Toward, show

Status = Literal["pass", "caution", "fail", "unknown"]


@dataclass(frozen=True)
class Sentence:
    """A sentence with quantities in it, printed in either system of units.

    template: text with `{name}` where a quantity or a word of the file stands; `{name:up}` rounds
        up, for what must be at least so much, `{name:down}` down, for what must be at most
    parts: what stands there
    """

    template: str
    parts: Mapping[str, Quantity | str] = field(default_factory=dict)

    def text(self, system: System) -> str:
        """The sentence with its quantities in one system of units."""
        shown = {
            name: part if isinstance(part, str) else _Printed(part, system)
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

    def __format__(self, toward: str) -> str:
        way: Toward = "up" if toward == "up" else "down" if toward == "down" else "nearest"
        return show(self.quantity, self.quantity.kind, self.system, toward=way)


def say(template: str, **parts: Quantity | str) -> Sentence:
    """A sentence from a template and the quantities and words that stand in it."""
    return Sentence(template, parts)


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
    """

    rule: Rule
    subject: str
    status: Status
    reason: Sentence
    quantity: Quantity | None = None
    limit: Quantity | None = None
    margin: Quantity | None = None
    remedy: Sentence | None = None
    needs: tuple[str, ...] = ()


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

    key: short name, unique in the program
    asks: the question in the words of the trade
    text: the rule itself
    source: key into `wellsolar.sources`
    limit_is: whether a quantity judged by it should be at least or at most its limit; None where
        it is judged otherwise
    safety: True where a person could be hurt; such a rule can't be switched off
    place: where a report shows what its verdicts rest on
    """

    key: str
    asks: str
    text: str
    source: str
    limit_is: Literal["at least", "at most"] | None = None
    safety: bool = False
    place: Place = field(kw_only=True)

    def __post_init__(self) -> None:
        if self.key in RULES:
            raise ValueError(f"two rules are called {self.key!r}")
        RULES[self.key] = self

    def verdict(
        self,
        status: Status,
        subject: str,
        reason: Sentence,
        *,
        quantity: Quantity | None = None,
        limit: Quantity | None = None,
        remedy: Sentence | None = None,
    ) -> Verdict:
        """A verdict by this rule, without remedy where it passes; the margin is how far inside
        the limit the quantity lies, and negative where it lies outside."""
        margin = None
        if quantity is not None and limit is not None and self.limit_is is not None:
            sign = 1.0 if self.limit_is == "at least" else -1.0
            margin = Quantity(sign * (quantity - limit), _difference_of(quantity))
        wanted = None if status == "pass" else remedy
        return Verdict(self, subject, status, reason, quantity, limit, margin, wanted)

    def unknown(self, subject: str, *needs: str, why: str = "") -> Verdict:
        """The verdict that the file lacks what this rule needs: name the one or two keys."""
        keys = " and ".join(needs)
        reason = say("{why}give {keys} to settle it", why=f"{why}: " if why else "", keys=keys)
        return Verdict(self, subject, "unknown", reason, needs=needs)


def verdict_of(verdicts: Iterable[Verdict], rule: Rule, subject: str) -> Verdict | None:
    """The verdict of a rule on a subject; None where it was not judged."""
    found = (each for each in verdicts if each.subject == subject and each.rule == rule)
    return next(found, None)


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
