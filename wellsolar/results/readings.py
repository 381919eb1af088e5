"""Readings on the finished job.

Quantities carry their kind and, where it is known, how far either side they may lie.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from wellsolar.results.moves import Move
from wellsolar.units import Quantity


@dataclass(frozen=True)
class Band:
    """What a reading should be: the value between `low` and `high`, and what that rests on.

    value: the middle of the hours or cases, low and high their ends
    most: as much as there can be, such as under a clear sky; None where nothing bounds it
    """

    value: Quantity
    rests_on: str
    most: Quantity | None = None


@dataclass(frozen=True)
class Implied:
    """Something that a reading says of what can't be read."""

    key: str
    label: str
    value: Quantity
    why: str


@dataclass(frozen=True)
class Cause:
    """Why a reading may be off.

    expected: what would be read then, with its ends; None where it can't be computed
    share: of the likelihood of all the causes tried [-]
    of: what may lie behind it, as other readings may show it too; empty for itself alone
    """

    text: str
    expected: Quantity | None
    share: float
    of: tuple[str, ...] = ()


@dataclass(frozen=True)
class Suspect:
    """What explains the readings of one sheet together.

    share: of the likelihood of all that was weighed [-]
    explains: readings that are off and that it explains
    """

    text: str
    share: float
    explains: int


@dataclass(frozen=True)
class ReadingResult:
    """One reading: what it should be, what it implies, why it may be off.

    when: the time or the sky it was taken in, as written; causes: the likeliest first
    taken: month and time, for the title; empty where they were not said
    needs: one or two keys of the file that would tell what is expected; why: in words
    warning: where water or pressure can hurt someone: why, a colon, what to do at once; empty
        where not
    """

    key: str
    label: str
    subject: str
    when: str
    measured: Quantity
    expected: Band | None
    implied: tuple[Implied, ...] = ()
    causes: tuple[Cause, ...] = ()
    taken: str = ""
    needs: tuple[str, ...] = ()
    why: str = ""
    warning: str = ""

    @property
    def name(self) -> str:
        """Whose reading, which one, and when it was taken."""
        begun = f"{self.subject}, {self.label}"
        return f"{begun}, {self.taken}" if self.taken else begun


@dataclass(frozen=True)
class SheetLine:
    """One box of the sheet: what to read, with the ends between which it should lie; words where
    no number can say it.

    proves: key of the file whose guard it tests; empty where it tests none
    reads: rows of the table of readings that it is told under; none where it is only in order
        or not
    number: through the whole sheet, from 1; 0 before the sheet is put together
    """

    text: str
    expected: Quantity | None = None
    words: str = ""
    proves: str = ""
    reads: tuple[str, ...] = ()
    number: int = 0


Phase = Literal["dead tests", "guards", "water", "power", "heat", "at rest"]
"""What a step of the sheet belongs to: nothing is energised before what guards it is proven."""


@dataclass(frozen=True)
class SheetStep:
    """Readings taken together; `before`: what to isolate and beware of first.

    moves: what `before` asks hands to do, in order; after: what is brought back at its end
    """

    key: str
    title: str
    before: str
    lines: tuple[SheetLine, ...]
    phase: Phase
    moves: tuple[Move, ...] = ()
    after: tuple[Move, ...] = ()


@dataclass(frozen=True)
class SheetResult:
    """The readings to take when the job is handed over, in their order."""

    steps: tuple[SheetStep, ...]

    @property
    def lines(self) -> tuple[SheetLine, ...]:
        """Every line in its order."""
        return tuple(line for step in self.steps for line in step.lines)


GuardState = Literal["claimed", "proven", "failed"]


@dataclass(frozen=True)
class GuardResult:
    """A guard that verdicts rest on, and whether its test was done.

    taken: month and time of the test; empty where they were not said
    """

    line: SheetLine
    state: GuardState
    taken: str = ""


@dataclass(frozen=True)
class ReadingsResult:
    """Every reading that could be interpreted, in the order given; the sheet's guards where a
    test of one was told.

    suspects: what explains together several that are off, likeliest first; none where nothing does
    """

    readings: tuple[ReadingResult, ...]
    guards: tuple[GuardResult, ...] = ()
    suspects: tuple[Suspect, ...] = ()
