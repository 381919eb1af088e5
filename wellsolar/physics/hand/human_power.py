"""What people can keep up at a handle, and the work that fits the time it takes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

import numpy as np

from wellsolar.constants import HORSEPOWER
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.solve import bracketed_root
from wellsolar.physics.types import FloatArray

SHORTEST_EFFORT: Final = 4.0 * 60.0
"""Shortest duration of the rule of human power [s]; validity as quoted with the rule."""

LONGEST_EFFORT: Final = 480.0 * 60.0
"""Longest duration of the rule of human power [s]; validity as quoted with the rule."""

EFFORT_AGES: Final = (20.0, 35.0, 60.0)
"""Ages of the rule of human power [years]."""

EFFORT_AGE_FACTORS: Final = (1.15, 1.0, 0.80)
"""Factor on human power at those ages [-]; as quoted with the rule."""

Bound = Literal["strokes", "power", "day"]
"""What sets the pace: the pump at its full stroke rate, the people's power for just that time, or
their power of an 8 h day, which the work outlasts."""


@dataclass(frozen=True)
class Effort:
    """A volume of water, pumped by people whose power is that of the time it takes them.

    time [s]; power: of all people together [W]; flow: mean [m3/s]; bound: what sets the pace
    """

    time: float
    power: float
    flow: float
    bound: Bound


def sustained_power(duration: float, age: float = 35.0, arm_factor: float = 1.0) -> float:
    """Power that a fit labourer keeps up for a time, legs and arms together.

    People scatter by 30 % about it. Work with the arms alone is weaker: `arm_factor` lowers it.

    Parameters:
        duration: time of steady work, 4 min to 8 h [s], scalar
        age: 20 to 60, interpolated between 20, 35 and 60 [years], scalar
        arm_factor: share of whole-body power that the work allows [-], scalar
    Returns:
        power [W]
    Raises:
        OutOfRange: a duration or age outside the rule
    Source: Krendel's rule, hp = 0.35 - 0.092 log10(minutes) (from memory); its range, its age
        factors and its checks, 1/8 hp for 4 h and 1/4 hp for 12 min, as quoted on a public page.

    >>> sustained_power(12 * 60.0) / HORSEPOWER
    0.25
    """
    require_range(duration, SHORTEST_EFFORT, LONGEST_EFFORT, "duration of effort", "s")
    horsepower = 0.35 - 0.092 * math.log10(duration / 60.0)
    return horsepower * HORSEPOWER * _age_factor(age) * arm_factor


def power_of_people(
    duration: float,
    pumpers: int = 1,
    age: float = 35.0,
    arm_factor: float = 1.0,
    human_power: float | None = None,
) -> float:
    """Power of people at one handle together for a time, never taken from outside the rule.

    Parameters:
        duration: time of steady work [s], scalar; less than 4 min is given the power of 4 min,
            more than 8 h that of 8 h
        pumpers: people at the handle at the same time [-], scalar
        age: 20 to 60 [years], scalar
        arm_factor: share of whole-body power that the work allows [-], scalar
        human_power: what each keeps up whatever the time, in place of the rule [W], scalar or None
    Returns:
        power of all of them [W]
    Raises:
        OutOfRange: an age outside the rule
    Source: Krendel's rule, see sustained_power; two at a handle give twice the power (common
        practice, no source).
    """
    if human_power is not None:
        return pumpers * human_power
    within = min(max(duration, SHORTEST_EFFORT), LONGEST_EFFORT)
    return pumpers * sustained_power(within, age, arm_factor)


def effort_for_volume(
    volume: float,
    power_points: FloatArray,
    lifted_flows: FloatArray,
    pumpers: int = 1,
    age: float = 35.0,
    arm_factor: float = 1.0,
    human_power: float | None = None,
) -> Effort:
    """The time in which people pump a volume with just the power that they keep up so long.

    The longer the work the less the power, and the less the power the longer the work: the time is
    that at which both agree. The power that is asked for grows faster with the pace than the power
    that a shorter time allows, so there is one such time.

    Parameters:
        volume: water wanted [m3], scalar
        power_points: powers at the handle, from 0 up to that of the full stroke rate [W], array
        lifted_flows: mean flow that each of them lifts, rising [m3/s], array
        pumpers: people at the handle at the same time [-], scalar
        age: 20 to 60 [years], scalar
        arm_factor: share of whole-body power that the work allows [-], scalar
        human_power: what each keeps up whatever the time, in place of the rule [W], scalar or None
    Returns:
        time [s], power, flow and what bounds them
    Raises:
        OutOfRange: a volume not above zero, or an age outside the rule
    Source: continuity and Krendel's rule, see sustained_power.
    """
    require_positive(volume, "volume", "m3")

    def power(duration: float) -> float:
        return power_of_people(duration, pumpers, age, arm_factor, human_power)

    def time_at(there: float) -> float:
        return volume / float(np.interp(there, power_points, lifted_flows))

    if time_at(power(SHORTEST_EFFORT)) <= SHORTEST_EFFORT:
        time = SHORTEST_EFFORT
    elif time_at(power(LONGEST_EFFORT)) >= LONGEST_EFFORT:
        time = LONGEST_EFFORT
    else:
        # The two ends were just tried, so that the root lies between them.
        time = bracketed_root(
            lambda seconds: time_at(power(seconds)) - seconds,
            SHORTEST_EFFORT,
            LONGEST_EFFORT,
            "time",
            "s",
        )
    there, full = power(time), float(power_points[-1])
    taken = time_at(there)
    bound: Bound = "strokes" if there >= full else "power"
    if taken > LONGEST_EFFORT:
        bound = "day"
    return Effort(taken, min(there, full), volume / taken, bound)


def volume_in_time(
    duration: float,
    power_points: FloatArray,
    lifted_flows: FloatArray,
    pumpers: int = 1,
    age: float = 35.0,
    arm_factor: float = 1.0,
    human_power: float | None = None,
) -> float:
    """Water that people pump in a time at the power that they keep up so long.

    Parameters:
        duration: time of steady work, up to 8 h [s], scalar
        power_points: powers at the handle, from 0 up to that of the full stroke rate [W], array
        lifted_flows: mean flow that each of them lifts, rising [m3/s], array
        pumpers: people at the handle at the same time [-], scalar
        age: 20 to 60 [years], scalar
        arm_factor: share of whole-body power that the work allows [-], scalar
        human_power: what each keeps up whatever the time, in place of the rule [W], scalar or None
    Returns:
        volume [m3]
    Raises:
        OutOfRange: a duration of more than 8 h or below zero, or an age outside the rule
    Source: continuity and Krendel's rule, see sustained_power.
    """
    require_range(duration, 0.0, LONGEST_EFFORT, "duration of effort", "s")
    power = power_of_people(duration, pumpers, age, arm_factor, human_power)
    return duration * float(np.interp(power, power_points, lifted_flows))


@cache
def _age_factor(age: float) -> float:
    require_range(age, EFFORT_AGES[0], EFFORT_AGES[-1], "age", "years")
    return float(np.interp(age, EFFORT_AGES, EFFORT_AGE_FACTORS))
