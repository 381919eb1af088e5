"""Strokes of the hand pump for a bucket, which tell what its cylinder still lifts."""

from __future__ import annotations

import numpy as np

from wellsolar import kinds
from wellsolar.results.readings import Band, Cause, Implied, SheetLine
from wellsolar.studies.hand.effort import BUCKET
from wellsolar.studies.reading.reading import CYLINDER, Candidate, Lacking, Reading, fixed
from wellsolar.studies.reading.visit import Job
from wellsolar.units import Quantity

BY_HAND = 0.15
"""How far strokes may lie from the pump's own numbers: leathers and valves; our choice [-]."""


def counted(strokes: float) -> Quantity:
    """Strokes as they are counted, with what a hand may be off [-]."""
    low, high = round(strokes * (1 - BY_HAND)), round(strokes * (1 + BY_HAND))
    return Quantity(round(strokes), kinds.COUNT, low, high)


class HandStrokes(Reading):
    """Strokes until a bucket is full at the hand pump's spout."""

    reads = ("hand_strokes",)
    step = "hand"
    key = "hand_strokes"
    label = "strokes for 20 L (5.3 gal)"
    subject = "hand pump"
    when = "by whole strokes, water at the spout already"

    @classmethod
    def lacks(cls, job: Job) -> tuple[str, ...]:
        """A file without a hand pump says nothing of it."""
        return () if job.site.hand_pump is not None else ("hand_pump",)

    @property
    def a_stroke(self) -> float | None:
        """Water that each whole stroke brings [m3]; None where none comes at the spout."""
        hand = self.visit.job.case.hand_pump
        duty = None if hand is None or not hand.draws_water else hand.duty("spout")
        return None if duty is None else duty.stroke_volume

    def expected(self) -> Band | Lacking:
        """The bucket over the water of a stroke."""
        if self.a_stroke is None:
            return Lacking(why="no water comes to its spout by the file; leave this reading out")
        rests = "the pump's bore, stroke and slip by the file, and 15 % for valves and hands"
        return Band(counted(BUCKET / self.a_stroke), rests)

    def implied(self) -> list[Implied]:
        """Water that a stroke brought."""
        read = self.measured
        volume = Quantity(BUCKET / read, kinds.VOLUME, BUCKET / read.high, BUCKET / read.low)
        return [Implied("implied_stroke", "water of a stroke", volume, "the bucket over them")]

    def explained(self, band: Quantity, low: bool) -> list[Candidate] | tuple[Cause, ...]:
        """What wears in a cylinder, or how it was pumped and counted."""
        usual = float(band)
        if low:
            return fixed(
                ("a bucket that was not full, or strokes that were miscounted", 0.6),
                ("a cylinder of more bore or stroke than the file says", 0.3),
            )
        return [
            Candidate("a worn cylinder: cups or its valve let water slip back",
                      usual * np.array([1.1, 3.0]), 1.0, of=(CYLINDER,)),
            Candidate("strokes shorter than the handle's whole way, or too quick",
                      usual * np.array([1.1, 1.5]), 0.4),
            Candidate("a foot valve or rising main that leaks: few strokes after an hour at rest "
                      "tell it", usual * np.array([1.1, 3.0]), 0.3),
        ]  # fmt: skip

    def boxes(self) -> list[SheetLine]:
        """The same band."""
        if self.site.hand_pump is None or self.a_stroke is None:
            return []
        text = "strokes to fill a 20 L (5.3 gal) bucket"
        return [SheetLine(text, counted(BUCKET / self.a_stroke), reads=self.reads)]
