"""The owner's card: what to do when water fails, in plain words whose numbers keep their units."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.kinds import Kind, Shown
from wellsolar.verdicts import Sentence


def _round(name: str, si: str, key: str, example: str, unit: str, written: str) -> Kind:
    shown = (Shown(unit, unit if written else "", 0),)
    return Kind(name, si, key, example, {unit: written}, shown, shown)


STROKES = _round("strokes", "", "strokes", "90 strokes", "strokes", "")
STROKES_A_MINUTE = _round(
    "strokes a minute", "1/second", "per_s", "30 a minute", "a minute", "1/minute"
)
WATER = Kind(
    "water", "meter**3", "m3", "5 gal", {"gal": "gallon", "L": "liter"},
    (Shown("gal", "gal", 0),), (Shown("L", "L", 0),),
)  # fmt: skip
GAUGE = Kind(
    "pressure on the gauge", "pascal", "Pa_gauge", "40 psi",
    {"psi": "psi", "kPa": "kilopascal"},
    (Shown("psi", "psi", 0),), (Shown("kPa", "kPa", 0),),
)  # fmt: skip
_TIMES = (
    Shown("s", "seconds", 0),
    Shown("min", "minutes", 0),
    Shown("hours", "hours", 1),
)
TIME = Kind(
    "time", "second", "s", "7 minutes",
    {"seconds": "second", "minutes": "minute", "hours": "hour"}, _TIMES, _TIMES,
)  # fmt: skip
DAY = _round("day", "day", "days", "1 day", "day", "day")
DAYS = _round("days", "day", "days", "3 days", "days", "day")
WHOLE_HOURS = _round("time", "second", "s", "8 hours", "hours", "hour")
AMPERES = Kind(
    "current", "ampere", "A", "6 A", {"A": "ampere"}, (Shown("A", "A", 1),), (Shown("A", "A", 1),)
)
PERSONS = _round("people", "", "people", "4", "", "")
"""Kinds as an owner reads them: whole numbers, hours with one digit more."""

BLANK = "____"
"""Where the installer writes by hand what no file tells."""


@dataclass(frozen=True)
class CardBlock:
    """One failure, or one way to bring water.

    letter: by which steps point to it; empty for a failure and for what nothing points to
    signs: how one knows that it is this failure
    steps: in the order in which they are done; notes: what it gives
    """

    key: str
    letter: str
    title: Sentence
    steps: tuple[Sentence, ...]
    notes: tuple[Sentence, ...] = ()
    signs: tuple[Sentence, ...] = ()


@dataclass(frozen=True)
class CardResult:
    """A card for the one who stands in the dark.

    failures: what has failed, and what to do then; boxes: how each way is done
    never: what hurts people or breaks the system; blanks: what the installer fills in by hand
    closing: how far to trust it, and who may do what
    """

    failures: tuple[CardBlock, ...]
    boxes: tuple[CardBlock, ...]
    never: tuple[Sentence, ...]
    blanks: tuple[Sentence, ...]
    closing: tuple[Sentence, ...]
