"""The single resistance, or the set to choose from, that takes the most energy in a year."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product
from typing import Final

import numpy as np

from wellsolar.physics.array import resistive
from wellsolar.physics.array.module import Diode
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import FloatArray, Floats

PowerOf = Callable[[FloatArray], FloatArray]
"""Power [W] by resistance (rows) and hour (columns) of trial resistances [ohm]."""

MOST_RESISTANCES: Final = 4
"""Largest set that is sought [-]; each step then looks at 3^4 sets."""

GRID: Final = 32
"""Trial resistances of the first look, in equal ratios [-]."""

EXHAUSTIVE: Final = 3
"""Largest set of which all choices from the grid are looked at [-]; a larger one grows out of
the best that is smaller by one."""

EDGE: Final = 1e-3
"""Part of the year's energy whose matched resistances the grid leaves out at either end [-]."""


@dataclass(frozen=True)
class ResistanceSet:
    """Resistances of which the best is chosen in every hour.

    resistances: lowest first [ohm]; power_sum: of all hours [W]
    """

    resistances: tuple[float, ...]
    power_sum: float


def behind_cable(diode: Diode, cable_resistance: Floats = 0.0) -> Diode:
    """An array as it looks from the far end of its cable.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays
        cable_resistance: of both conductors together [ohm], 0 or more, scalar or array
    Returns:
        the array with the cable in its series resistance [A, ohm, V]
    Raises:
        OutOfRange: a cable resistance below 0
    Source: Kirchhoff's voltage law.
    """
    require_range(cable_resistance, 0.0, math.inf, "cable resistance", "ohm")
    return replace(diode, series_resistance=diode.series_resistance + cable_resistance)


def lit_hours(diode: Diode) -> Diode:
    """The hours of an array in which it has any light.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays of hours
    Returns:
        the same array without its dark hours [A, ohm, V]
    Source: none needed; in the dark an array gives nothing.
    """
    light = np.atleast_1d(np.asarray(diode.photocurrent, dtype=np.float64))
    lit = light > 0.0

    def of(value: Floats) -> Floats:
        return value if np.ndim(value) == 0 else np.broadcast_to(value, lit.shape)[lit]

    return Diode(
        light[lit],
        of(diode.saturation_current),
        of(diode.series_resistance),
        of(diode.shunt_resistance),
        of(diode.thermal_voltage),
    )


def power_by_resistance(
    diode: Diode, resistances: Floats, cable_resistance: float = 0.0
) -> FloatArray:
    """Power of an array on each of several resistances in each hour.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays of hours
        resistances: at the end of the cable [ohm], above 0, array
        cable_resistance: of both conductors together [ohm], 0 or more, scalar
    Returns:
        power at the resistance [W], a row each resistance, a column each hour
    Raises:
        OutOfRange: a resistance not above 0, or a cable resistance below 0
    Source: as `resistive.on_resistance`.
    """
    rows = np.atleast_1d(np.asarray(resistances, dtype=np.float64))[:, None]
    return np.asarray(resistive.on_resistance(diode, rows, cable_resistance).power)


def resistance_range(diode: Diode, cable_resistance: float = 0.0) -> tuple[float, float]:
    """Between which resistances all but the last of a year's energy has its match.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays of hours
        cable_resistance: of both conductors together [ohm], 0 or more, scalar
    Returns:
        least and greatest resistance, a little apart even in one steady sun [ohm]
    Raises:
        OutOfRange: no hour has light, or a cable resistance below 0
    Source: the matched resistances of the hours, in the order of their energy.
    """
    point = resistive.maximum_power_point(behind_cable(lit_hours(diode), cable_resistance))
    power = np.asarray(point.power)
    require_positive(float(power.sum()), "sum of the maximum power", "W")
    some = power > 0.0
    matched = np.asarray(point.voltage)[some] / np.asarray(point.current)[some]
    order = np.argsort(matched)
    below = np.cumsum(power[some][order])
    least, greatest = np.interp(
        np.array([EDGE, 1.0 - EDGE]) * below[-1], below, np.log(matched[order])
    )
    return 0.8 * math.exp(least), 1.25 * math.exp(greatest)


def best_resistance_sets(
    diode: Diode,
    set_size: int = 1,
    cable_resistance: float = 0.0,
    relative_tolerance: float = 1e-4,
) -> tuple[ResistanceSet, ...]:
    """The best single resistance for an array and a year, the best pair, and so on.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays of hours
        set_size: resistances in the largest set, 1 to 4 [-], scalar
        cable_resistance: of both conductors together [ohm], 0 or more, scalar
        relative_tolerance: to which the resistances are found [-], scalar
    Returns:
        sets of 1, 2 .. set_size resistances [ohm], with their power summed over the hours [W]
    Raises:
        OutOfRange: no hour has light, or an argument outside its range
    Source: as `best_sets`.
    """
    source = lit_hours(diode)
    least, greatest = resistance_range(source, cable_resistance)

    def power_of(resistances: FloatArray) -> FloatArray:
        return power_by_resistance(source, resistances, cable_resistance)

    return best_sets(power_of, least, greatest, set_size, relative_tolerance)


def best_sets(
    power_of: PowerOf,
    least_resistance: float,
    greatest_resistance: float,
    set_size: int = 1,
    relative_tolerance: float = 1e-4,
) -> tuple[ResistanceSet, ...]:
    """Sets of resistances that take the most from any source, the best chosen in every hour.

    First all sets from a grid of equal ratios, and what the best smaller set gains by each
    resistance of the grid; then steps of all members at a time, up, down or not at all, that are
    halved when none of them gains, until they are smaller than the tolerance. A larger set never
    takes less than a smaller one.

    Parameters:
        power_of: of trial resistances in ohm the power in W, a row each resistance, a column each
            hour [callable]
        least_resistance: lowest allowed [ohm], above 0, scalar
        greatest_resistance: highest allowed [ohm], scalar
        set_size: resistances in the largest set, 1 to 4 [-], scalar
        relative_tolerance: to which the resistances are found [-], scalar
    Returns:
        sets of 1, 2 .. set_size resistances [ohm], with their power summed over the hours [W]
    Raises:
        OutOfRange: bounds in the wrong order, a set size or a tolerance outside its range
    Source: pattern search, Hooke & Jeeves, J. ACM 8 (1961) 212 (from memory), over all
        directions, from the best point of a grid.
    """
    require_positive(least_resistance, "least resistance", "ohm")
    require_range(greatest_resistance, least_resistance, 1e12, "greatest resistance", "ohm")
    require_range(set_size, 1, MOST_RESISTANCES, "size of the set", "")
    require_range(relative_tolerance, 1e-9, 0.1, "relative tolerance", "")
    grid = np.geomspace(least_resistance, greatest_resistance, GRID)
    on_grid = power_of(grid)
    # A narrower grid is looked at too: without a step there would be no power, nor would two
    # members part that start together in one place.
    step = 0.5 * math.log(greatest_resistance / least_resistance) / (GRID - 1)
    step = max(step, relative_tolerance)
    sets_of_elements: list[ResistanceSet] = []
    for size in range(1, set_size + 1):
        starts = []
        if size <= EXHAUSTIVE:
            starts.append(tuple(float(grid[place]) for place in _best_of_grid(on_grid, size)))
        if sets_of_elements:
            starts.append(_one_more(power_of, sets_of_elements[-1].resistances, grid, on_grid))
        ends = [
            _climbed(power_of, start, (grid[0], grid[-1]), step, relative_tolerance)
            for start in starts
        ]
        sets_of_elements.append(max(ends, key=lambda end: end.power_sum))
    return tuple(sets_of_elements)


def _best_of_grid(on_grid: FloatArray, size: int) -> tuple[int, ...]:
    """Rows of a power matrix whose greatest values, hour by hour, have the largest sum."""
    best, chosen = -math.inf, tuple(range(size))
    for head in combinations(range(len(on_grid) - 1), size - 1):
        after = head[-1] + 1 if head else 0
        rows = on_grid[after:]
        if head:
            rows = np.maximum(rows, on_grid[list(head)].max(axis=0))
        sums = rows.sum(axis=1)
        last = int(np.argmax(sums))
        if sums[last] > best:
            best, chosen = float(sums[last]), (*head, after + last)
    return chosen


def _one_more(
    power_of: PowerOf, known: Sequence[float], grid: FloatArray, on_grid: FloatArray
) -> tuple[float, ...]:
    """A set with the resistance of the grid added that gains it the most."""
    taken = power_of(np.array(known)).max(axis=0)
    gained = np.maximum(on_grid, taken).sum(axis=1)
    return (*known, float(grid[int(np.argmax(gained))]))


def _climbed(
    power_of: PowerOf,
    start: tuple[float, ...],
    bounds: tuple[float, float],
    step: float,
    tolerance: float,
) -> ResistanceSet:
    """Pattern search in the logarithms of the resistances."""
    place = np.log(np.array(start))
    least, greatest = np.log(bounds)
    moves = np.array(list(product((0, -1, 1), repeat=len(start))))
    members = np.arange(len(start))
    best = -math.inf
    while step > 0.5 * tolerance:
        ways = step * np.array([0.0, -1.0, 1.0])[:, None]
        trial = np.clip(place + ways, least, greatest)
        power = power_of(np.exp(trial).reshape(-1)).reshape(3, len(start), -1)
        sums = np.array([power[move, members].max(axis=0).sum() for move in moves])
        # The first move stands still, so it wins unless another gains.
        winner = int(np.argmax(sums))
        gained = float(sums[winner]) > best * (1.0 + 1e-14) and winner != 0
        best = float(sums[winner])
        place = trial[moves[winner], members]
        if not gained:
            step *= 0.5
    return ResistanceSet(tuple(sorted(float(logarithm) for logarithm in np.exp(place))), best)
