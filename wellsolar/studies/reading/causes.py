"""Which of several ways to be wrong explains a reading best."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp

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


def is_off(read: Quantity, band: Quantity) -> bool:
    """Whether a reading, wherever between its ends, lies outside its band.

    Parameters:
        read: the reading
        band: what is expected
    Returns:
        True where no value that may have been meant lies inside
    """
    return read.high < band.low or read.low > band.high


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
        cause = (score, each.text, Quantity(middle, read.kind, least, most), each.group)
        scored.append(cause)
    scored.sort(key=lambda each: (-each[0], abs(each[2] - read)))
    best = [
        each
        for place, each in enumerate(scored)
        if not each[3] or each[3] not in {before[3] for before in scored[:place]}
    ]
    told = [(score, Cause(text, value, score)) for score, text, value, _ in best]
    told.append((AGAIN_WEIGHT, Cause(AGAIN, None, AGAIN_WEIGHT)))
    told.sort(key=lambda each: -each[0])
    total = sum(score for score, _ in told)
    return tuple(
        replace(cause, share=score / total)
        for score, cause in told[:TOLD]
        if score > 0.001 * total
    )
