"""What is known so far, as the questions ask for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from wellsolar.interview.answers.question import Offer, Question, usual_unit
from wellsolar.kinds import Kind
from wellsolar.site.defaults import defaults
from wellsolar.site.locate import value_at
from wellsolar.site.shape import field_at, reader_of
from wellsolar.units import Quantity, System, UnreadableQuantity, digits, to_unit


@dataclass(frozen=True)
class Facts:
    """The tables of the file, with the answers that wait for others, and what was settled aside.

    tables: as TOML gives them
    settled: key of a question -> what was said, where the file has no key for it
    system: "US" or "SI"
    """

    tables: Mapping[str, Any]
    settled: Mapping[str, str]
    system: System

    def get(self, *path: str | int) -> Any:
        """What stands at a key path; None for nothing."""
        return value_at(self.tables, path)

    def many(self, name: str) -> list[Any]:
        """The tables of a name, of which a site may have several."""
        tables = self.get(name)
        return tables if isinstance(tables, list) else []

    def quantity(self, *path: str | int) -> Quantity | None:
        """The quantity at a key path; None where there is none that can be read."""
        field, written = field_at(path), self.get(*path)
        reader = None if field is None else reader_of(field)
        if reader is None or written is None:
            return None
        try:
            value = reader.read(written)
        except UnreadableQuantity:
            return None
        return value if isinstance(value, Quantity) else None

    def typed(self, value: float, kind: Kind) -> str:
        """A computed value as a person of this system would type it, in whole units."""
        unit = usual_unit(kind, self.system)
        return f"{digits(to_unit(value, kind, unit), 0, 4)} {unit}"

    def is_whole(self, question: Question) -> bool:
        """True where every key of a question stands in the file, but for the optional ones, or
        one of them where all are, so that Enter may keep what is there."""
        if question.key == "pumps":
            return bool(self.many("pump"))
        if any(self.get(*path) is not None for path in question.needless):
            return True
        needed = [part for part in question.parts if not part.optional]
        there = [self.get(*part.path) is not None for part in needed or question.parts]
        return bool(there) and (all(there) if needed else any(there))

    def is_answered(self, question: Question, again: bool = False) -> bool:
        """True where a question need not be put: it is whole, or something else was said of it,
        unless what was not known or declined is asked `again`."""
        return self.is_whole(question) or (question.key in self.settled and not again)

    def is_no(self, key: str) -> bool:
        """True where a question was answered with no."""
        return self.settled.get(key) == "no"


def shipped_default(path: str) -> Offer:
    """A value of the shipped defaults with its reason."""
    default = next(default for default in defaults() if default.path == path)
    return Offer(str(default.value), default.why)
