"""One module more or less, in series or in parallel, and the same modules wired another way."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.physics.array.best_resistance import best_resistance_sets, lit_hours
from wellsolar.physics.array.coupling import direct
from wellsolar.physics.array.module import Diode, array_of
from wellsolar.physics.solve import require_range


@dataclass(frozen=True)
class WiringYear:
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


def compare_wirings(
    diode: Diode,
    modules_in_series: int,
    strings: int,
    resistance: float,
    step: float,
    cable_resistance: float = 0.0,
) -> tuple[WiringYear, ...]:
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
        energies [J], ratios [0..1] and best resistance [ohm] of each wiring, the array as it is
        first
    Raises:
        OutOfRange: no hour has light, or an argument outside its range
    Source: as `coupling.direct` and `best_resistance.best_resistance_sets`.
    """
    require_range(modules_in_series, 1, 10_000, "number of modules in series", "")
    require_range(strings, 1, 10_000, "number of strings in parallel", "")
    module = lit_hours(diode)
    modules = modules_in_series * strings
    wirings = [
        ("as it is", modules_in_series, strings),
        ("one module more in each string", modules_in_series + 1, strings),
        ("one module less in each string", modules_in_series - 1, strings),
        ("one string more", modules_in_series, strings + 1),
        ("one string less", modules_in_series, strings - 1),
    ]
    wirings += [
        ("the same modules", series, modules // series)
        for series in range(1, modules + 1)
        if modules % series == 0 and series != modules_in_series
    ]
    return tuple(
        _year(module, wiring, resistance, step, cable_resistance)
        for wiring in wirings
        if wiring[1] >= 1 and wiring[2] >= 1
    )


def _year(
    module: Diode,
    wiring: tuple[str, int, int],
    resistance: float,
    step: float,
    cable_resistance: float,
) -> WiringYear:
    change, series, strings = wiring
    array = array_of(module, series, strings)
    year = direct(array, resistance, step, cable_resistance)
    (best,) = best_resistance_sets(array, 1, cable_resistance)
    best_energy = best.power_sum * step
    return WiringYear(
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
