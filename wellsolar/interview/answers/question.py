"""What a question is: the keys it settles, how it is put, what it offers, what stays open."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Literal

from wellsolar.kinds import Kind
from wellsolar.site.edit import Value
from wellsolar.site.fields import Reads
from wellsolar.site.locate import Path
from wellsolar.site.shape import field_at, options_of, reader_of
from wellsolar.units import System


@dataclass(frozen=True)
class Part:
    """One key that an answer settles.

    label: what the echo calls it
    said: names by which an answer may point at it
    optional: True where the question is answered without it, "wanted" where an answer that lacks
        it brings one more request for it
    also: keys that take the same value
    unit: of a bare number, where that is not the unit in which its kind is printed
    """

    path: Path
    label: str
    said: tuple[str, ...] = ()
    optional: bool | Literal["wanted"] = False
    also: tuple[Path, ...] = ()
    unit: str = ""

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of the path, whichever table of several it leads to."""
        return tuple(part for part in self.path if isinstance(part, str))

    @property
    def asked_for(self) -> str:
        """What is still to be told where an answer did not say it, with the words to choose of."""
        field = field_at(self.path)
        options = () if field is None else options_of(field)
        words = [option for option in options if isinstance(option, str)]
        return f"{self.label} ({', '.join(words)})" if words else self.label

    @property
    def reader(self) -> Reads:
        """How its quantity is read, with kind and bounds."""
        return _reader_at(self.keys)

    def usual_unit(self, system: System) -> str:
        """The unit that a bare number is taken in."""
        return self.unit or usual_unit(self.reader.kind, system)


@cache
def _reader_at(keys: tuple[str, ...]) -> Reads:
    key = field_at(keys)
    reader = None if key is None else reader_of(key)
    assert reader is not None, keys
    return reader


def usual_unit(kind: Kind, system: System) -> str:
    """The unit in which a kind is printed."""
    return (kind.us if system == "US" else kind.metric)[0].unit


@dataclass(frozen=True)
class Offer:
    """What Enter takes, as a person would type it, and why it is offered."""

    text: str
    why: str


@dataclass(frozen=True)
class Reading:
    """What was understood of an answer.

    values: key path -> what the file shall hold; None where it shall hold nothing
    notes: what was taken for granted on the way
    choice: for a question that settles how much else is asked, what was chosen
    left_out: why pieces of the answer say nothing, where others do
    """

    values: Mapping[Path, Value | None]
    notes: tuple[str, ...] = ()
    choice: str | None = None
    left_out: tuple[str, ...] = ()


class Unclear(ValueError):  # noqa: N818 - reads as what happened
    """An answer can't be understood; the message says what was expected."""


class OutOfBounds(Unclear):
    """An answer is of the right kind, and can't be all the same."""


@dataclass(frozen=True)
class Question:
    """One question.

    key: by which the file remembers that it was put
    asks: the question
    like, like_si: examples of an answer, parted by `; or `
    helps: what a person may ask for: where to find it, and what it is for
    parts: the keys it settles
    offer: what Enter takes
    open: what can't be judged while it is not known; "" where nothing hangs on it
    declines: True where "no" is an answer; no_takes: what then goes out of the file
    remark: to stand behind the first key in the file
    needless: keys any of which makes the question needless
    sets: keys that go with any answer, such as the name of a pump
    before: puts an answer right before it is read in pieces
    reads: reads the answer in its own way
    group: heading under which it stands, given by the plan; verdicts are looked at after each
    """

    key: str
    asks: str
    like: str
    helps: str
    parts: tuple[Part, ...] = ()
    like_si: str = ""
    offer: Offer | None = None
    open: str = ""
    declines: bool = False
    no_takes: Literal["table", "keys", "nothing"] = "table"
    remark: str = ""
    needless: tuple[Path, ...] = ()
    sets: Mapping[Path, Value] = field(default_factory=dict)
    before: Callable[[str], str] | None = None
    reads: Callable[[str, Question, System], Reading] | None = None
    group: str = ""

    def example(self, system: System) -> str:
        """Examples in the units of the person."""
        return self.like_si if system == "SI" and self.like_si else self.like
