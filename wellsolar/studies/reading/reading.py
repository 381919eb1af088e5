"""A kind of reading: one class says what is expected of it, what it implies and why it is off.

The classes are listed in `table.py`; here is what is done with each of them.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from functools import cached_property
from typing import ClassVar, NamedTuple

from wellsolar.kinds import Kind
from wellsolar.results.readings import Band, Cause, Implied, ReadingResult, SheetLine
from wellsolar.site.readings.table import KEYS
from wellsolar.studies.reading.causes import is_off
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.units import Quantity

STEPS = ("tank", "well", "pump", "array", "element", "hot_water", "night")
"""Steps of the commissioning sheet on which readings of the table have their boxes."""


class Lacking(NamedTuple):
    """Why nothing is expected of a reading: keys of the file that would tell it, and words."""

    needs: tuple[str, ...] = ()
    why: str = ""


class Reading(ABC):
    """A reading taken on a visit; each kind of reading is a class of its own.

    reads: rows of the table of readings that it is made from, the first being what was measured
    step: of the sheet on which its boxes stand; empty where it has none
    key, label: of its result; when: how it was read, or under which sky
    """

    reads: ClassVar[tuple[str, ...]] = ()
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
    def explained(self, band: Quantity, low: bool) -> tuple[Cause, ...]:
        """The likeliest causes of one that lies below its band, or above it."""

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
        return self.explained(band, read.high < band.low)

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
