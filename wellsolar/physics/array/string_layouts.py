"""Arrays of equal strings: a module more or less, the same modules wired another way, and why more
in series stop helping an element.

Current squared times resistance is the most that an element gets. The current of modules in series
is that of one module. Below the voltage of maximum power it hardly rises any more, whatever the
number of modules, so the heat nears a ceiling.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wellsolar.physics.array import resistive
from wellsolar.physics.array.best_resistance import best_resistance_sets, lit_hours
from wellsolar.physics.array.connection import direct
from wellsolar.physics.array.module import Diode, array_of
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import Floats, plain


@dataclass(frozen=True)
class LayoutYear:
    """An array wired one way, through a year.

    change: against the array as it is, in words
    modules_in_series, strings: of the array so wired [-]
    tracked_energy: what it gives at maximum power [J]
    energy, ratio: on the resistance given [J], [0..1]
    best_resistance: on which it would give the most [ohm]
    best_energy, best_ratio: on that [J], [0..1]
    """

    change: str
    modules_in_series: int
    strings: int
    tracked_energy: float
    energy: float
    ratio: float
    best_resistance: float
    best_energy: float
    best_ratio: float


def compare_layouts(
    diode: Diode,
    modules_in_series: int,
    strings: int,
    resistance: float,
    step: float,
    cable_resistance: float = 0.0,
) -> tuple[LayoutYear, ...]:
    """An array as it is, with one module more or less a string, one string more or less, and its
    modules wired in every other way.

    Parameters:
        diode: one module [A, ohm, V], scalars or arrays of hours
        modules_in_series: modules in a string [-], scalar
        strings: strings in parallel [-], scalar
        resistance: of the element [ohm], above 0, scalar
        step: length of an hour's step [s], above 0, scalar
        cable_resistance: of both conductors together [ohm], 0 or more, scalar
    Returns:
        energies [J], ratios [0..1] and best resistance [ohm] of each layout, the array as it is
        first
    Raises:
        OutOfRange: no hour has light, or an argument outside its range
    Source: as `connection.direct` and `best_resistance.best_resistance_sets`.
    """
    require_range(modules_in_series, 1, 10_000, "number of modules in series", "")
    require_range(strings, 1, 10_000, "number of strings in parallel", "")
    module = lit_hours(diode)
    modules = modules_in_series * strings
    layouts = [
        ("as it is", modules_in_series, strings),
        ("one module more in each string", modules_in_series + 1, strings),
        ("one module less in each string", modules_in_series - 1, strings),
        ("one string more", modules_in_series, strings + 1),
        ("one string less", modules_in_series, strings - 1),
    ]
    layouts += [
        ("the same modules", series, modules // series)
        for series in range(1, modules + 1)
        if modules % series == 0 and series != modules_in_series
    ]
    return tuple(
        _year(module, layout, resistance, step, cable_resistance)
        for layout in layouts
        if layout[1] >= 1 and layout[2] >= 1
    )


def _year(
    module: Diode,
    layout: tuple[str, int, int],
    resistance: float,
    step: float,
    cable_resistance: float,
) -> LayoutYear:
    change, series, strings = layout
    array = array_of(module, series, strings)
    year = direct(array, resistance, step, cable_resistance)
    (best,) = best_resistance_sets(array, 1, cable_resistance)
    best_energy = best.power_sum * step
    return LayoutYear(
        change=change,
        modules_in_series=series,
        strings=strings,
        tracked_energy=year.tracked_energy,
        energy=year.energy,
        ratio=year.ratio,
        best_resistance=best.resistances[0],
        best_energy=best_energy,
        best_ratio=best_energy / year.tracked_energy,
    )


@dataclass(frozen=True, eq=False)
class SidesOfMatch:
    """On which side of maximum power an array on a resistance works through a year.

    current_limited: below the voltage of maximum power, in each hour, array of hours
    current_limited_hours: part of the hours with light [0..1]
    current_limited_energy: part of the energy at the element [0..1]
    energy: at the element [J]
    ceiling_energy: what the short-circuit current would give it, the most that any number of
        modules in series can [J]
    series_gain: the most that more modules in series can still add, over energy [-]
    All parts are 0 in a year without light.
    """

    current_limited: NDArray[np.bool_]
    current_limited_hours: float
    current_limited_energy: float
    energy: float
    ceiling_energy: float
    series_gain: float


def current_ceiling(diode: Diode, resistance: Floats) -> Floats:
    """The power that a resistance cannot pass, with any number of such modules in series.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays
        resistance: of the element [ohm], above 0, scalar or array
    Returns:
        short-circuit current squared times resistance [W]
    Raises:
        OutOfRange: a resistance not above 0
    Source: Joule's law; the current of a diode in the light falls with its voltage.
    """
    require_positive(resistance, "element resistance", "ohm")
    return plain(np.asarray(resistive.short_circuit_current(diode)) ** 2 * resistance)


def sides_of_match(
    diode: Diode, resistance: float, step: float, cable_resistance: float = 0.0
) -> SidesOfMatch:
    """Where an array on a resistance works through a year, and what more modules could add.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays of hours
        resistance: of the element [ohm], above 0, scalar
        step: length of an hour's step [s], above 0, scalar
        cable_resistance: of both conductors together [ohm], 0 or more, scalar
    Returns:
        parts of hours and energy below it [0..1], energies [J] and the gain left [-]
    Raises:
        OutOfRange: an argument outside its range
    Source: operating point against the maximum power point, as in `resistive`.
    """
    require_positive(step, "step", "s")
    point = resistive.on_resistance(diode, resistance, cable_resistance)
    power, current = np.atleast_1d(point.power), np.atleast_1d(point.current)
    matched = np.atleast_1d(resistive.matched_resistance(diode))
    lit = current > 0.0
    below = lit & (resistance + cable_resistance < matched)
    energy = float(power.sum()) * step
    ceiling = float(np.sum(current_ceiling(diode, resistance))) * step
    hours = float(lit.sum())
    return SidesOfMatch(
        current_limited=below,
        current_limited_hours=float(below.sum()) / hours if hours > 0.0 else 0.0,
        current_limited_energy=(
            float(power[below].sum()) * step / energy if energy > 0.0 else 0.0
        ),
        energy=energy,
        ceiling_energy=ceiling,
        series_gain=ceiling / energy - 1.0 if energy > 0.0 else 0.0,
    )


def layouts_up_to(modules: int, modules_in_series: int, strings: int) -> list[tuple[int, int]]:
    """Every array of equal strings within bounds.

    Parameters:
        modules: of all strings, at most [-], whole number
        modules_in_series: in a string, at most [-], whole number
        strings: side by side, at most [-], whole number
    Returns:
        modules in series and strings of each [-], the smallest arrays first
    Raises:
        OutOfRange: a bound below 1
    Source: none needed.
    """
    require_range(modules, 1, 10_000, "number of modules", "")
    require_range(modules_in_series, 1, 10_000, "number of modules in series", "")
    require_range(strings, 1, 10_000, "number of strings in parallel", "")
    layouts = [
        (series, rows)
        for series in range(1, min(modules, modules_in_series) + 1)
        for rows in range(1, min(modules // series, strings) + 1)
    ]
    return sorted(layouts, key=lambda layout: (layout[0] * layout[1], layout[1]))
