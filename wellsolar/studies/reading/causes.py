"""Which of several ways to be wrong explains a reading best."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp
from typing import NamedTuple

from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Cause
from wellsolar.units import Quantity

OFF = 0.05
"""How far a reading may be off beside what was said of it [-]; our choice."""

TOLD = 2
"""Causes that are told."""

AGAIN, AGAIN_WEIGHT = "a meter on another wire or range, or a slip of the pen: read again", 0.002
"""What is left where hardly anything explains a reading, and its weight: our choice."""


@dataclass(frozen=True, eq=False)
class Candidate:
    """A way to be wrong.

    values: what would be read then, in each case tried; weight: how usual it is beside the
        others, our choice [-]
    group: of causes that shut each other out, of which only the likeliest is told; empty for none
    """

    text: str
    values: FloatArray
    weight: float
    group: str = ""


class _Scored(NamedTuple):
    """A candidate's likelihood [-], and what would be read with it."""

    candidate: Candidate
    likelihood: float
    value: Quantity


def is_off(read: Quantity, band: Quantity) -> bool:
    """Whether a reading, wherever between its ends, lies outside its band.

    Parameters:
        band: what is expected
    Returns:
        True where no value that may have been meant lies inside
    """
    return read.high < band.low or read.low > band.high


def fixed(*causes: tuple[str, float]) -> tuple[Cause, ...]:
    """Causes that need no weighing, each with its share [-], which is our choice."""
    return tuple(Cause(text, None, share) for text, share in causes)


def ranked(read: Quantity, candidates: Sequence[Candidate]) -> tuple[Cause, ...]:
    """The likeliest causes of a reading.

    Each candidate counts by its weight and by how well the reading fits between its least and
    greatest case: fully inside, and falling as a bell outside.

    Parameters:
        read: the reading with its ends
        candidates: the ways to be wrong
    Returns:
        the two likeliest, each with its part of the likelihood of all
    """
    scores = [score for candidate in candidates for score in _scored(read, candidate)]
    scores.sort(key=lambda score: (-score.likelihood, abs(score.value - read)))
    groups = [score.candidate.group for score in scores]
    causes = [
        Cause(score.candidate.text, score.value, score.likelihood)
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


def _scored(read: Quantity, candidate: Candidate) -> list[_Scored]:
    """How well a candidate explains a reading; nothing where nothing would be read with it."""
    values = sorted(float(value) for value in candidate.values if value == value)
    if not values:
        return []
    least, most = values[0], values[-1]
    apart = max(0.0, least - read.high, read.low - most)
    wide = max(OFF * max(abs(read), abs(most)), (read.high - read.low) / 2, 1e-12)
    likelihood = candidate.weight * exp(-0.5 * min(40.0, apart / wide) ** 2)
    value = Quantity(values[len(values) // 2], read.kind, least, most)
    return [_Scored(candidate, likelihood, value)]
