"""A kind of reading: one class says what is expected of it, what it implies and why it is off.

The classes are listed in `table.py`; here is what is done with each of them.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import exp, pi, sqrt
from typing import ClassVar, NamedTuple

from wellsolar.kinds import Kind
from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Band, Cause, Implied, ReadingResult, SheetLine
from wellsolar.site.readings.table import KEYS
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.units import Quantity

OFF = 0.05
"""How far a reading may be off beside what was said of it [-]; our choice."""

TOLD = 2
"""Causes that are told."""

BELL = sqrt(2.0 * pi)
"""Area of a bell over its height and width [-]."""

AGAIN, AGAIN_WEIGHT = "a meter on another wire or range, or a slip of the pen: read again", 0.002
"""What is left where hardly anything explains a reading, and its weight: our choice."""


@dataclass(frozen=True, eq=False)
class Candidate:
    """A way to be wrong.

    values: what would be read then, in each case tried; weight: how usual it is beside the
        others, our choice [-]
    group: of causes that shut each other out, of which only the likeliest is told; empty for none
    of: what may lie behind it, as other readings may show it too; empty for itself alone
    """

    text: str
    values: FloatArray
    weight: float
    group: str = ""
    of: tuple[str, ...] = ()


class _Scored(NamedTuple):
    """How likely a candidate is before the reading, how well it fits it [-], and what would be
    read with it."""

    candidate: Candidate
    prior: float
    fit: float
    value: Quantity

    @property
    def likelihood(self) -> float:
        """Of both [-]."""
        return self.prior * self.fit


AIR, TAP, CHECK_VALVE = "air of the tank", "tap", "check valve"
REST, YIELD, NEIGHBOUR, HIGHER = "water at rest", "yield", "neighbour", "higher water"
DEEPER = (REST, YIELD, NEIGHBOUR)
PUMP, CYLINDER = "pump", "cylinder"
ELEMENT, JOINT = "element", "joint"
"""What may lie behind more than one reading."""


def is_off(read: Quantity, band: Quantity) -> bool:
    """Whether a reading, wherever between its ends, lies outside its band. True where no value
    that may have been meant lies inside."""
    return read.high < band.low or read.low > band.high


def fixed(*causes: tuple[str, float] | tuple[str, float, str]) -> tuple[Cause, ...]:
    """Causes that need no weighing, each with its share [-], which is our choice, and what lies
    behind it where other readings may show it too."""
    return tuple(Cause(text, None, share, tuple(of)) for text, share, *of in causes)


def ranked(read: Quantity, candidates: Sequence[Candidate]) -> tuple[Cause, ...]:
    """The likeliest causes of a reading.

    Each candidate counts by its weight and by how well the reading fits: its cases may lie
    anywhere between the least and the greatest, read with an error in the shape of a bell, so that
    one which would fit whatever is read counts for less than one that tells this very reading.

    Returns:
        the two likeliest, each with its part of the likelihood of all
    """
    scores = [score for candidate in candidates for score in scored(read, candidate)]
    scores.sort(key=lambda score: (-score.likelihood, abs(score.value - read)))
    groups = [score.candidate.group for score in scores]
    causes = [
        Cause(score.candidate.text, score.value, score.likelihood, score.candidate.of)
        for place, score in enumerate(scores)
        if not groups[place] or groups[place] not in groups[:place]
    ]
    causes.append(Cause(AGAIN, None, AGAIN_WEIGHT))
    causes.sort(key=lambda cause: -cause.share)
    total = sum(cause.share for cause in causes)
    return tuple(
        replace(cause, share=cause.share / total)
        for cause in causes[:TOLD]
        if cause.share > 0.001 * total
    )


def told(
    read: Quantity, explanations: Sequence[Candidate] | tuple[Cause, ...]
) -> tuple[Cause, ...]:
    """The likeliest causes of a reading.

    Parameters:
        found: ways to be wrong that are to be weighed, or causes that need no weighing
    Returns:
        the two likeliest of the former; the latter as they are
    """
    ways = [way for way in explanations if isinstance(way, Candidate)]
    causes = tuple(cause for cause in explanations if isinstance(cause, Cause))
    return ranked(read, ways) if ways else causes


def scored(read: Quantity, candidate: Candidate) -> list[_Scored]:
    """How well a candidate explains a reading; nothing where nothing would be read with it."""
    values = sorted(float(value) for value in candidate.values if value == value)
    if not values:
        return []
    least, most = values[0], values[-1]
    apart = max(0.0, least - read.high, read.low - most)
    wide = max(OFF * max(abs(read), abs(most)), (read.high - read.low) / 2, 1e-12)
    prior = candidate.weight * BELL * wide / (most - least + BELL * wide)
    fit = exp(-0.5 * min(40.0, apart / wide) ** 2)
    value = Quantity(values[len(values) // 2], read.kind, least, most)
    return [_Scored(candidate, prior, fit, value)]


STEPS = ("tank", "well", "hand", "pump", "array", "element", "hot_water", "night")
"""Steps of the commissioning sheet on which readings of the table have their boxes."""


class Lacking(NamedTuple):
    """Why nothing is expected of a reading: keys of the file that would tell it, and words."""

    needs: tuple[str, ...] = ()
    why: str = ""


class Reading(ABC):
    """A reading taken on a visit; each kind of reading is a class of its own.

    reads: rows of the table of readings that it is made from, the first being what was measured
    clears: what hardly lies behind other readings where this one is right
    step: of the sheet on which its boxes stand; empty where it has none
    key, label: of its result; when: how it was read, or under which sky
    """

    reads: ClassVar[tuple[str, ...]] = ()
    clears: ClassVar[tuple[str, ...]] = ()
    step: ClassVar[str] = ""
    key: str
    label: str
    when: str = ""

    def __init_subclass__(cls) -> None:
        """Refuse, at import, a row of the table or a step of the sheet that there is not."""
        if not set(cls.reads) <= set(KEYS) or cls.step not in ("", *STEPS):
            raise ValueError(f"{cls.__name__}: no such reading or step: {cls.reads}, {cls.step}")

    def __init__(self, visit: Visit) -> None:
        self.visit = visit
        self.site = visit.job.site

    @classmethod
    def was_taken(cls, visit: Visit) -> bool:
        """Whether it was read on a visit."""
        return any(key in visit.values for key in cls.reads)

    @classmethod
    def lacks(cls, job: Job) -> tuple[str, ...]:
        """Keys without which the file says nothing of it; none where it can be judged."""
        return ()

    @property
    @abstractmethod
    def subject(self) -> str:
        """What was read: a pump by its name, the well, the tank."""

    @cached_property
    def measured(self) -> Quantity:
        """What was read, with its ends."""
        return self.visit.values[self.reads[0]]

    @abstractmethod
    def expected(self) -> Band | Lacking:
        """The band in which it should lie, or why there is none."""

    def implied(self) -> list[Implied]:
        """What it says of what can't be read."""
        return []

    def warns(self, band: Quantity) -> str:
        """Where water or pressure can hurt someone: why, a colon, what to do at once; empty where
        not."""
        return ""

    def evident(self, band: Quantity) -> tuple[Cause, ...]:
        """Causes that need no weighing, whether it lies outside its band or not."""
        return ()

    @abstractmethod
    def explained(self, band: Quantity, low: bool) -> Sequence[Candidate] | tuple[Cause, ...]:
        """Why one may lie below its band, or above it: ways to be weighed, or the likeliest."""

    def boxes(self) -> list[SheetLine]:
        """Its lines on the commissioning sheet."""
        return []

    @cached_property
    def band(self) -> Band | Lacking:
        """The same as `expected`, made once."""
        return self.expected()

    @cached_property
    def causes(self) -> tuple[Cause, ...]:
        """Why it is off; none where it is not."""
        if isinstance(self.band, Lacking):
            return ()
        read, band = self.measured, self.band.value
        evident = self.evident(band)
        if evident or not is_off(read, band):
            return evident
        return told(read, self.explained(band, read.high < band.low))

    def result(self) -> ReadingResult:
        """All that it says."""
        band = None if isinstance(self.band, Lacking) else self.band
        lacking = self.band if isinstance(self.band, Lacking) else Lacking()
        return ReadingResult(
            self.key,
            self.label,
            self.subject,
            self.when,
            self.measured,
            band,
            tuple(self.implied()),
            self.causes,
            self.visit.given.taken,
            lacking.needs,
            lacking.why,
            "" if band is None else self.warns(band.value),
        )


class PumpReading(Reading):
    """A reading at one of the site's pumps."""

    step = "pump"

    def __init__(self, visit: Visit) -> None:
        super().__init__(visit)
        assert visit.pump is not None
        self.at = visit.pump

    @property
    def subject(self) -> str:
        """The pump's name."""
        return self.at.table.name

    @classmethod
    def lacks(cls, job: Job) -> tuple[str, ...]:
        """A file without a pump says nothing of it."""
        return () if job.site.pump else ("pump",)


def ends_of(read: Quantity) -> tuple[float, float, float]:
    """A reading's lower end, itself and its upper end [of its kind]."""
    return read.low, float(read), read.high


def near(value: float, kind: Kind, off: float) -> Quantity:
    """A value with as much either side, not below 0 [of its kind]."""
    return Quantity(value, kind, max(0.0, value - off), value + off)
