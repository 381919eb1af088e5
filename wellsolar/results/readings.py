"""Readings on the finished job.

Quantities carry their kind and, where it is known, how far either side they may lie.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from wellsolar.kinds import Kind
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
    """

    text: str
    expected: Quantity | None
    share: float


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
    test of one was told."""

    readings: tuple[ReadingResult, ...]
    guards: tuple[GuardResult, ...] = ()


@dataclass(frozen=True)
class FormBox:
    """One box of the form in which a number is typed.

    key: row of the table of readings; empty where only the sheet asks for it
    above, least, most: bounds in SI; None where there is none
    """

    key: str
    label: str
    kind: Kind
    above: float | None = None
    least: float | None = None
    most: float | None = None


@dataclass(frozen=True)
class Way:
    """A way to be wrong, with the ends of what would be read then.

    at: least, middle and greatest of it; of a reading in the sun at each of the form's lights
    weight: how usual it is beside the others [-]; group: of ways that shut each other out
    """

    text: str
    at: tuple[tuple[float, float, float], ...]
    weight: float
    group: str = ""


@dataclass(frozen=True)
class Told:
    """What is told of a reading whose lower or upper end is more than a bound.

    beyond: the bound, in SI; end: of the reading; texts: a warning, or causes, likeliest first
    """

    beyond: float
    end: Literal["low", "high"]
    texts: tuple[str, ...]


@dataclass(frozen=True)
class Causes:
    """Why a reading may lie below its band, inside or above it: texts by what was read, which go
    first, or else ways to be weighed."""

    told: tuple[Told, ...] = ()
    ways: tuple[Way, ...] = ()


MadeOf = Literal["value", "flow", "fall", "ohms", "words"]
"""How a reading is made of its boxes: as typed, volume over time, what was lost from the first to
the second, volts over amperes, or in order and not."""


@dataclass(frozen=True)
class FormField:
    """A reading, or a line of the sheet, as a form asks for it.

    number: of the sheet's line; 0 where the sheet has none
    pump, state: told beside the reading; empty where not
    bands: low, middle and high in SI, of several the nearest; none where nothing is expected
    by_time: name of the bands by month, hour and sky; empty for a band that always holds
    rests_on: what the band rests on; why: what is lacking where nothing is expected
    warns: where it can hurt someone; below, inside, above: causes
    """

    key: str
    number: int
    label: str
    words: str
    made_of: MadeOf
    boxes: tuple[FormBox, ...] = ()
    pump: str = ""
    state: str = ""
    bands: tuple[tuple[float, float, float], ...] = ()
    by_time: str = ""
    rests_on: str = ""
    why: str = ""
    warns: tuple[Told, ...] = ()
    below: Causes = Causes()
    inside: Causes = Causes()
    above: Causes = Causes()


@dataclass(frozen=True)
class TimeClasses:
    """Minutes of a day by the hours of a year that a reading then may have been taken in.

    starts: minutes from which a class holds, from 0 on; classes: number of each
    count: how many classes there are
    """

    starts: tuple[int, ...]
    classes: tuple[int, ...]
    count: int


ByTime = tuple[tuple[tuple[float, ...], ...], ...]
"""Numbers by month and by class of the time."""


@dataclass(frozen=True)
class TimedBands:
    """Bands of a reading by month and time of day.

    bands: by the sky, empty where it does not matter; then by month and class of the time: low,
        middle and high; all 0 in the dark
    lights: of a reading in the sun, likewise: the least and the greatest light [W/m2]
    like, times: another reading that this one is so many times of, instead of bands of its own
    """

    classes: TimeClasses
    bands: Mapping[str, ByTime]
    lights: Mapping[str, ByTime]
    like: str = ""
    times: float = 1.0


@dataclass(frozen=True)
class MeteredSun:
    """What is read at the element under a sun that a meter showed.

    classes, airs: three airs by month and class of the time [degC]
    lights: [W/m2]; warmths: of the air [degC]; low, high: read at each light and air, by the
        reading's row; off: by how much of it band and meter may be off [-]
    dark: light [W/m2] up to which the sun is down; in_the_dark: what may be read then
    """

    classes: TimeClasses
    airs: ByTime
    lights: tuple[float, ...]
    warmths: tuple[float, ...]
    low: Mapping[str, tuple[tuple[float, ...], ...]]
    high: Mapping[str, tuple[tuple[float, ...], ...]]
    off: float
    dark: float
    in_the_dark: Mapping[str, float]


@dataclass(frozen=True)
class SunCauses:
    """Why a reading in the sun may be off.

    lights: at which its ways are told [W/m2]; below, above: ways, each with how the sun must be
        known for it to count, "sky" or "metered", and empty where either will do
    open: texts where less is read than `share` of what is expected; dark: where the sun is down
    """

    lights: tuple[float, ...]
    below: tuple[tuple[str, Way], ...]
    above: tuple[tuple[str, Way], ...]
    open: tuple[str, ...]
    share: float
    dark: tuple[str, ...]


@dataclass(frozen=True)
class FormStep:
    """A step of the sheet with its fields; `before`: what to isolate and beware of first."""

    key: str
    title: str
    before: str
    fields: tuple[FormField, ...]


@dataclass(frozen=True)
class FormResult:
    """The sheet as a form that judges what is typed into it.

    timed: by name; sun: None where no modules heat; causes: by the reading's row
    slack: how far a reading may be off beside what was said of it [-]
    again: what is left where hardly anything explains it, and its weight [-]
    """

    steps: tuple[FormStep, ...]
    timed: Mapping[str, TimedBands]
    sun: MeteredSun | None
    causes: Mapping[str, SunCauses]
    slack: float
    again: tuple[str, float]
