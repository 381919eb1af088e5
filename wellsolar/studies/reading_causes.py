"""Which of several ways to be wrong explains a reading best."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp

from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Cause
from wellsolar.units import Quantity

OFF = 0.05
"""How far a reading may be off beside what was said of it [-]; our choice."""

TOLD = 2
"""Causes that are told."""


@dataclass(frozen=True, eq=False)
class Candidate:
    """A way to be wrong.

    values: what would be read then, in each case tried; weight: how usual it is beside the
        others, our choice [-]
    """

    text: str
    values: FloatArray
    weight: float


def ranked(read: Quantity, tried: Sequence[Candidate]) -> tuple[Cause, ...]:
    """The likeliest causes of a reading.

    Each candidate counts by its weight and by how well the reading fits between its least and
    greatest case: fully inside, and falling as a bell outside.

    Parameters:
        read: the reading with its ends
        tried: the ways to be wrong
    Returns:
        the two likeliest, each with its part of the likelihood of all
    """
    scored = []
    for each in tried:
        values = [float(value) for value in each.values if value == value]
        if not values:
            continue
        least, most = min(values), max(values)
        apart = max(0.0, least - read.high, read.low - most)
        wide = max(OFF * max(abs(float(read)), abs(most)), (read.high - read.low) / 2, 1e-12)
        middle = sorted(values)[len(values) // 2]
        score = each.weight * exp(-0.5 * min(40.0, apart / wide) ** 2)
        scored.append((score, each.text, Quantity(middle, read.kind, least, most)))
    total = sum(score for score, _, _ in scored)
    if total <= 0.0:
        return ()
    scored.sort(key=lambda each: -each[0])
    return tuple(
        Cause(text, value, score / total)
        for score, text, value in scored[:TOLD]
        if score > 0.001 * total
    )
