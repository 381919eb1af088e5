"""How an array is connected to the elements that it heats, and what reaches them in a year.

Straight, through a switch between resistances, or through electronics that hold the array at its
maximum power. Hours are of equal length. An array is one diode whose fields are scalars or arrays
of hours. Every ratio is one of energies, heat over what the array gives at maximum power, never a
mean of ratios.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wellsolar.errors import OutOfRange
from wellsolar.physics.array import resistive
from wellsolar.physics.array.best_resistance import behind_cable, power_by_resistance
from wellsolar.physics.array.module import Diode
from wellsolar.physics.guards import require_positive, require_range
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
    return power, energy, tracked, energy / tracked if tracked > 0.0 else 0.0


def best_thresholds(
    diode: Diode,
    resistances: Sequence[float],
    signal: FloatArray,
    cable_resistance: float = 0.0,
) -> FloatArray:
    """The thresholds of a signal with which a switch takes the most energy in a year.

    Cells are not equally warm in every hour of equal sun, so no thresholds give the best of every
    hour. These are the best there are for the year: all ways to cut the hours, in the order of
    their signal, into one part a resistance are looked at.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays of hours
        resistances: that can be switched to [ohm], above 0, in any order, array
        signal: that rises with the sun: irradiance, photocurrent or power [its own unit], array
            of hours
        cable_resistance: of both conductors together [ohm], 0 or more, scalar
    Returns:
        thresholds for `switched_by_thresholds`, falling, one fewer than resistances,
        half-way between two hours' signals [its own unit]; infinite for a resistance that is
        never worth its place
    Raises:
        OutOfRange: an argument outside its range, or a signal that is not a number
    Source: dynamic programming, Bellman (1957), over the sums of power in rising order of signal.
    """
    rows = np.sort(np.atleast_1d(np.asarray(resistances, dtype=np.float64)))
    power = power_by_resistance(diode, rows, cable_resistance)
    sun = np.broadcast_to(np.asarray(signal, dtype=np.float64), power.shape[1:])
    require_range(sun, -math.inf, math.inf, "signal", "")
    order = np.argsort(sun, kind="stable")
    sun = sun[order]
    # Before hour i of that order there are i hours; equal signals cannot be told apart.
    apart = np.concatenate(([True], sun[1:] > sun[:-1], [True]))
    before = np.concatenate((np.zeros((len(rows), 1)), np.cumsum(power[:, order], axis=1)), axis=1)
    cuts = _cuts(before, apart)
    ends = np.concatenate(([sun[0]], 0.5 * (sun[1:] + sun[:-1]), [math.inf]))
    return np.asarray(ends[cuts], dtype=np.float64)


def _cuts(before: FloatArray, apart: FloatArray) -> list[int]:
    """Where each resistance begins to be in force, lowest resistance first.

    best[i] is the most that the first i hours can give with the resistances so far, beginning
    with the highest; each next one takes over after some j of them.
    """
    best = before[-1]
    gains = []
    for sums in before[-2::-1]:
        gain = np.where(apart, best - sums, -math.inf)
        gains.append(gain)
        best = sums + np.maximum.accumulate(gain)
    cuts = []
    end = before.shape[1] - 1
    for gain in gains[::-1]:
        end = int(np.argmax(gain[: end + 1]))
        cuts.append(end)
    return cuts


@dataclass(frozen=True)
class TrackingElectronics:
    """What a converter between an array and an element can do.

    efficiency: output over input, above 0 [0..1]
    minimum_power: input below which it stands still [W]
    greatest_power: output above which it does not go [W]; inf for none
    least_voltage: output below which it stands still [V]
    greatest_voltage: output above which it does not go [V]; inf for none
    greatest_current: output above which it does not go [A]; inf for none
    raises_voltage, lowers_voltage: whether its output may be above its input, and below it
    least_input, greatest_input: voltages of the array between which it works [V]
    """

    efficiency: float
    minimum_power: float = 0.0
    greatest_power: float = math.inf
    greatest_voltage: float = math.inf
    greatest_current: float = math.inf
    raises_voltage: bool = True
    lowers_voltage: bool = True
    least_voltage: float = 0.0
    least_input: float = 0.0
    greatest_input: float = math.inf

    def __post_init__(self) -> None:
        require_positive(self.efficiency, "efficiency of the electronics", "")
        require_range(self.efficiency, 0.0, 1.0, "efficiency of the electronics", "")
        require_range(self.minimum_power, 0.0, math.inf, "minimum power", "W")
        require_positive(self.greatest_power, "greatest power", "W")
        require_positive(self.greatest_voltage, "greatest voltage", "V")
        require_positive(self.greatest_current, "greatest current", "A")
        require_range(self.least_voltage, 0.0, self.greatest_voltage, "least voltage", "V")
        require_range(self.least_input, 0.0, self.greatest_input, "least input", "V")


@dataclass(frozen=True, eq=False)
class TrackedYear(CouplingYear):
    """A year with electronics.

    voltage: at the element [V], array of hours
    standing_energy: of the array in hours in which the electronics stand still [J]
    clipped_energy: output that a limit of the electronics kept back [J]
    """

    voltage: FloatArray
    standing_energy: float
    clipped_energy: float


def input_of(
    diode: Diode, electronics: TrackingElectronics, resistance: float
) -> tuple[FloatArray, FloatArray]:
    """Where electronics hold an array: at its maximum power, or where they pass its voltage on.

    Parameters:
        diode: the array at the electronics [A, ohm, V], scalars or arrays of hours
        electronics: efficiency and ways [its fields' units]
        resistance: of the element [ohm], above 0, scalar
    Returns:
        power [W] and voltage [V] that they take, arrays of hours
    Source: as `tracked`.
    """
    best = resistive.maximum_power_point(diode)
    offered = np.atleast_1d(np.asarray(best.power))
    volts = np.atleast_1d(np.asarray(best.voltage))
    if electronics.raises_voltage and electronics.lowers_voltage:
        return offered, volts
    seen = electronics.efficiency * resistance
    above = offered * seen > volts**2
    passed = np.where(above, not electronics.raises_voltage, not electronics.lowers_voltage)
    straight = np.atleast_1d(np.asarray(resistive.on_resistance(diode, seen).power))
    return (
        np.where(passed, straight, offered),
        np.where(passed, np.sqrt(straight * seen), volts),
    )


def tracked(
    diode: Diode,
    electronics: TrackingElectronics,
    resistance: float,
    step: float,
    cable_resistance: float = 0.0,
) -> TrackedYear:
    """An array through its cable and tracking electronics on an element.

    The electronics look for the greatest power at their own end of the cable. The voltage at the
    element is what its resistance asks for, sqrt(P R). Where that is above the array's and they
    cannot raise a voltage, or below it and they cannot lower one, they pass the array's own: with
    output and input voltage equal, P = V^2 / R and P = efficiency V I, the array works on
    efficiency times R. Outside the voltages that they take they stand still.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays of hours
        electronics: efficiency and limits [its fields' units]
        resistance: of the element [ohm], above 0, scalar
        step: length of an hour's step [s], above 0, scalar
        cable_resistance: of both conductors from array to electronics [ohm], 0 or more, scalar
    Returns:
        power [W], energies [J], their ratio [0..1] and voltage at the element [V]
    Raises:
        OutOfRange: an argument outside its range
    Source: energy balance, P = efficiency times maximum power; P = V^2 / R = I^2 R.
    """
    require_positive(resistance, "element resistance", "ohm")
    offered, volts = input_of(behind_cable(diode, cable_resistance), electronics, resistance)
    running = (offered >= electronics.minimum_power) & (volts >= electronics.least_input)
    running &= volts <= electronics.greatest_input
    running &= electronics.efficiency * offered * resistance >= electronics.least_voltage**2
    free = electronics.efficiency * np.where(running, offered, 0.0)
    limit = min(
        electronics.greatest_power,
        electronics.greatest_voltage**2 / resistance,
        electronics.greatest_current**2 * resistance,
    )
    power = np.minimum(free, limit)
    year = coupling_year(power, maximum_power(diode), step)
    return TrackedYear(
        power=year.power,
        energy=year.energy,
        tracked_energy=year.tracked_energy,
        ratio=year.ratio,
        voltage=np.sqrt(power * resistance),
        standing_energy=float(offered[~running].sum()) * step,
        clipped_energy=float((free - power).sum()) * step,
    )
