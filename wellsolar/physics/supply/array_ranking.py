"""Arrays for a pump over a year: all ranked, the smallest that do, and the hand rules beside."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import count
from typing import Final

from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.sun.rule_of_thumb import array_power_by_hand_rule
from wellsolar.physics.supply.battery import BatterySystem
from wellsolar.physics.supply.designs import (
    BATCH,
    SIDE_BY_SIDE,
    Design,
    Progress,
    PumpChoice,
    run_designs,
)
from wellsolar.physics.types import FloatArray

ALLOWED_SHORT_DAYS: Final = (0, 3, 10)
"""Days short a year for which the smallest array is told [-]; a choice of this program."""


def smallest_array(
    days_short: Callable[[int], int],
    greatest_count: int,
    allowed: Sequence[int] = ALLOWED_SHORT_DAYS,
) -> tuple[int | None, ...]:
    """Fewest modules for each allowed number of short days, by bisection.

    Parameters:
        days_short: of a year with a number of modules, never rising with it [callable]
        greatest_count: most modules to be looked at, 1 or more [-], whole number
        allowed: short days that are put up with [-], array
    Returns:
        modules for each of `allowed`, 1 or more [-]; None where the most are too few
    Raises:
        OutOfRange: a greatest count below 1
    Source: bisection of a monotone function.
    """
    return smallest_arrays(
        lambda rows, counts: [days_short(each) for each in counts], 1, greatest_count, allowed
    )[0]


def smallest_arrays(
    days_short: Callable[[Sequence[int], Sequence[int]], Sequence[int]],
    rows: int,
    greatest_count: int,
    allowed: Sequence[int] = ALLOWED_SHORT_DAYS,
    probes: int = 1,
) -> tuple[tuple[int | None, ...], ...]:
    """Fewest modules of several supplies at a time, each by bisection, all in step.

    Parameters:
        days_short: of the supplies of given rows with given numbers of modules, never rising
            with these [callable]
        rows: number of supplies, such as pairs of pump and battery [-], whole number
        greatest_count: most modules to be looked at, 1 or more [-], whole number
        allowed: short days that are put up with [-], array
        probes: counts looked at between two bounds in a round, 1 for bisection [-], whole number
    Returns:
        for each row the modules for each of `allowed` [-]; None where the most are too few
    Raises:
        OutOfRange: a greatest count or number of probes below 1
    Source: bisection of a monotone function.
    """
    require_range(greatest_count, 1, 1_000_000, "greatest count of modules", "")
    require_range(probes, 1, 1_000_000, "probes", "")
    known: dict[tuple[int, int], int] = {}

    def look(pairs: Sequence[tuple[int, int]]) -> None:
        new = [pair for pair in dict.fromkeys(pairs) if pair not in known]
        if new:
            told = days_short([row for row, _ in new], [count for _, count in new])
            known.update(zip(new, told, strict=True))

    look([(row, greatest_count) for row in range(rows)])
    # Between them: one count that is too few, or 0 that nobody asks for, and one that is enough.
    bounds = {
        (row, level): (0, greatest_count)
        for row in range(rows)
        for level in allowed
        if known[row, greatest_count] <= level
    }
    while True:
        between = {key: _between(*ends, probes) for key, ends in bounds.items()}
        look([(row, modules) for (row, _), counts in between.items() for modules in counts])
        if not any(between.values()):
            break
        for (row, level), counts in between.items():
            few, many = bounds[row, level]
            enough = [each for each in counts if known[row, each] <= level]
            bounds[row, level] = (
                max((each for each in counts if each not in enough), default=few),
                min(enough, default=many),
            )
    return tuple(
        tuple(bounds[row, level][1] if (row, level) in bounds else None for level in allowed)
        for row in range(rows)
    )


def _between(few: int, many: int, probes: int) -> list[int]:
    """Evenly spread counts between two, both excluded; none where nothing lies between."""
    spread = {few + (many - few) * part // (probes + 1) for part in range(1, probes + 1)}
    return sorted(spread - {few})


def smallest_arrays_of(
    pumps: Sequence[PumpChoice],
    usable_capacities: Sequence[float],
    greatest_count: int,
    module_power: FloatArray,
    water_demand: FloatArray,
    system: BatterySystem,
    storage_volume: float = 0.0,
    step: float = 3600.0,
    allowed: Sequence[int] = ALLOWED_SHORT_DAYS,
    progress: Progress | None = None,
) -> tuple[tuple[int | None, ...], ...]:
    """Fewest modules of every pump with every battery, for each allowed number of short days.

    Parameters:
        pumps: pumps at the site's head [-], array
        usable_capacities: of the batteries [J], array
        greatest_count: most modules to be looked at, 1 or more [-], whole number
        module_power: of one module at the array's terminals, derated [W], array of steps
        water_demand: wanted in each step [m3], array of steps, whole days
        system: inverter and efficiencies; its capacity gives way to the design's [-], scalar
        storage_volume: tank between full and empty [m3], scalar
        step: length of a step, a whole part of a day [s], scalar
        allowed: short days that are put up with [-], array
        progress: is told how many rounds are done, and of how many at most [callable]
    Returns:
        modules for each of `allowed` [-], a row for each pump with each battery, the batteries
        of the first pump first; None where the most are too few
    Raises:
        OutOfRange: as `run_battery_year`, or a greatest count below 1
    Source: as `run_battery_year`; bisection of a monotone function.
    """
    pairs = [(pump, capacity) for pump in pumps for capacity in usable_capacities]
    # Side by side more designs cost hardly more, so few rounds with many probes are faster.
    asked = len(pairs) * len(allowed)
    probes = 1 if asked < SIDE_BY_SIDE else max(1, BATCH // asked)
    rounds = 1 + _most_rounds(greatest_count, probes)
    done = count(1)

    def days_short(rows: Sequence[int], counts: Sequence[int]) -> list[int]:
        designs = [
            Design(pairs[row][0], modules, pairs[row][1], storage_volume)
            for row, modules in zip(rows, counts, strict=True)
        ]
        ranked = run_designs(designs, module_power, water_demand, system, step)
        if progress is not None:
            progress(next(done), rounds)
        return [each.days_short for each in ranked]

    return smallest_arrays(days_short, len(pairs), greatest_count, allowed, probes)


def _most_rounds(width: int, probes: int) -> int:
    """Rounds until no count is left between two bounds, at most."""
    rounds = 0
    while width > 1:
        width = max(1, -(-width // (probes + 1)))
        rounds += 1
    return rounds


def hand_rule_array(
    daily_energy: float, peak_sun_hours: float, derate: float, module_power: float
) -> int:
    """Modules that give a day's energy, by the trade's hand rule.

    Parameters:
        daily_energy: wanted each day [J], scalar
        peak_sun_hours: on the plane of the array [h], above 0, scalar
        derate: part of the rated power that is left in use [0..1], above 0, scalar
        module_power: rated power of one module [W], scalar
    Returns:
        modules, the next whole number [-]
    Raises:
        OutOfRange: peak sun hours or derate outside its range, module power not above 0
    Source: common practice, no source.
    """
    require_positive(module_power, "module power", "W")
    power = array_power_by_hand_rule(daily_energy, peak_sun_hours, derate)
    return math.ceil(float(power) / module_power - 1e-9)
