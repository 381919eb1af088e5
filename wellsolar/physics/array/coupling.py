"""A PV array that heats elements through a year: directly, or with a switch between resistances.

Hours are of equal length. An array is one diode whose fields are scalars or arrays of hours. Every
ratio is one of energies, heat over what the array gives at maximum power, never a mean of ratios.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wellsolar.errors import OutOfRange
from wellsolar.physics.array import resistive
from wellsolar.physics.array.best_resistance import power_by_resistance
from wellsolar.physics.array.module import Diode
from wellsolar.physics.solve import require_positive, require_range
from wellsolar.physics.types import FloatArray


@dataclass(frozen=True, eq=False)
class CouplingYear:
    """What reaches elements in a year.

    power: at the elements, mean of each hour [W], array of hours
    energy: sum at the elements [J]
    tracked_energy: what the array gives at maximum power at its own terminals [J]
    ratio: energy over tracked_energy [0..1]; 0 in a year without light
    """

    power: FloatArray
    energy: float
    tracked_energy: float
    ratio: float


@dataclass(frozen=True, eq=False)
class SwitchedYear(CouplingYear):
    """A year with a switch between resistances.

    resistances: lowest first [ohm], array
    chosen: which of them is in force in each hour, counted from 0 [-], array of hours
    """

    resistances: FloatArray
    chosen: NDArray[np.int64]


def coupling_year(power: FloatArray, tracked_power: FloatArray, step: float) -> CouplingYear:
    """Sums and the ratio of a year from its hours.

    Parameters:
        power: at the elements, mean of each hour [W], array of hours
        tracked_power: of the array at maximum power [W], array of hours
        step: length of an hour's step [s], above 0, scalar
    Returns:
        power [W], energies [J] and their ratio [0..1]
    Raises:
        OutOfRange: a step not above 0, or series of unequal length
    Source: energy is power times time.
    """
    return CouplingYear(*_sums(power, tracked_power, step))


def direct(
    diode: Diode, resistance: float, step: float, cable_resistance: float = 0.0
) -> CouplingYear:
    """An array through its cable on one resistance.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays of hours
        resistance: of the element or the elements as joined [ohm], above 0, scalar
        step: length of an hour's step [s], above 0, scalar
        cable_resistance: of both conductors together [ohm], 0 or more, scalar
    Returns:
        power [W], energies [J] and their ratio [0..1]
    Raises:
        OutOfRange: an argument outside its range
    Source: as `resistive.on_resistance`.
    """
    (power,) = power_by_resistance(diode, resistance, cable_resistance)
    return coupling_year(power, maximum_power(diode), step)


def switched(
    diode: Diode, resistances: Sequence[float], step: float, cable_resistance: float = 0.0
) -> SwitchedYear:
    """An array on the best of several resistances, chosen anew every hour.

    Among equals, as in the dark, the highest resistance is in force.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays of hours
        resistances: that can be switched to [ohm], above 0, in any order, array
        step: length of an hour's step [s], above 0, scalar
        cable_resistance: of both conductors together [ohm], 0 or more, scalar
    Returns:
        power [W], energies [J], their ratio [0..1] and the choice of each hour [-]
    Raises:
        OutOfRange: no resistance, or an argument outside its range
    Source: the greatest of the powers of `resistive.on_resistance`.
    """
    rows = _rising(resistances)
    power = power_by_resistance(diode, rows, cable_resistance)
    chosen = len(rows) - 1 - np.argmax(power[::-1], axis=0)
    return _switched_year(diode, rows, power, chosen, step)


def switched_by_thresholds(
    diode: Diode,
    resistances: Sequence[float],
    signal: FloatArray,
    thresholds: Sequence[float],
    step: float,
    cable_resistance: float = 0.0,
) -> SwitchedYear:
    """An array on one of several resistances, switched where a signal passes thresholds.

    The more sun, the lower the resistance: the first, lowest one is in force from the first,
    highest threshold up, and so on; below the last threshold it is the highest.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays of hours
        resistances: that can be switched to [ohm], above 0, in any order, array
        signal: that rises with the sun: irradiance, photocurrent or power [its own unit], array
            of hours
        thresholds: one fewer than resistances, in falling order, infinite for a resistance that
            is passed over [its own unit], array
        step: length of an hour's step [s], above 0, scalar
        cable_resistance: of both conductors together [ohm], 0 or more, scalar
    Returns:
        power [W], energies [J], their ratio [0..1] and the choice of each hour [-]
    Raises:
        OutOfRange: thresholds that rise or are too many or too few, or an argument outside its
            range
    Source: as `resistive.on_resistance`.
    """
    rows = _rising(resistances)
    limits = np.asarray(thresholds, dtype=np.float64)
    if limits.shape != (len(rows) - 1,):
        raise OutOfRange(f"number of thresholds is {limits.size}, allowed is {len(rows) - 1}")
    if not np.all(limits[1:] <= limits[:-1]):
        raise OutOfRange(f"thresholds are {limits.tolist()}, allowed is a falling order")
    power = power_by_resistance(diode, rows, cable_resistance)
    sun = np.broadcast_to(np.asarray(signal, dtype=np.float64), power.shape[1:])
    chosen = np.sum(sun < limits[:, None], axis=0)
    return _switched_year(diode, rows, power, chosen, step)


def added(years: Sequence[CouplingYear], step: float) -> CouplingYear:
    """Several sources of heat for one tank, each with an array or a share of one of its own.

    Parameters:
        years: of the sources, of equal length [W, J], array
        step: length of an hour's step [s], above 0, scalar
    Returns:
        power [W], energies [J] and the ratio of their sums [0..1]
    Raises:
        OutOfRange: no source, or series of unequal length
    Source: conservation of energy; powers into one body of water add up.
    """
    require_range(len(years), 1, math.inf, "number of sources of heat", "")
    sizes = {each.power.size for each in years}
    if len(sizes) > 1:
        raise OutOfRange(f"hours of the sources are {sorted(sizes)}, allowed is one number")
    require_positive(step, "step", "s")
    power = np.sum([each.power for each in years], axis=0)
    energy = float(power.sum()) * step
    tracked = math.fsum(each.tracked_energy for each in years)
    return CouplingYear(power, energy, tracked, _over(energy, tracked))


def maximum_power(diode: Diode) -> FloatArray:
    """Maximum power of an array at its own terminals in each hour.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays of hours
    Returns:
        power [W], array of hours
    Source: as `resistive.maximum_power_point`.
    """
    return np.atleast_1d(np.asarray(resistive.maximum_power_point(diode).power))


def _rising(resistances: Sequence[float]) -> FloatArray:
    rows = np.sort(np.atleast_1d(np.asarray(resistances, dtype=np.float64)))
    require_range(len(rows), 1, math.inf, "number of resistances", "")
    return rows


def _switched_year(
    diode: Diode,
    rows: FloatArray,
    power: FloatArray,
    chosen: NDArray[np.int64],
    step: float,
) -> SwitchedYear:
    taken = power[chosen, np.arange(power.shape[1])]
    return SwitchedYear(*_sums(taken, maximum_power(diode), step), rows, chosen)


def _sums(
    power: FloatArray, tracked_power: FloatArray, step: float
) -> tuple[FloatArray, float, float, float]:
    require_positive(step, "step", "s")
    power, tracked_power = np.atleast_1d(power), np.atleast_1d(tracked_power)
    if power.shape != tracked_power.shape:
        raise OutOfRange(
            f"hours of power are {power.size}, allowed is {tracked_power.size} as at maximum power"
        )
    energy, tracked = float(power.sum()) * step, float(tracked_power.sum()) * step
    return power, energy, tracked, _over(energy, tracked)


def _over(energy: float, tracked: float) -> float:
    return energy / tracked if tracked > 0.0 else 0.0
