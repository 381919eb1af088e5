"""At how much sun to switch from one resistance to the next."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from wellsolar.physics.array import resistive
from wellsolar.physics.array.best_resistance import power_by_resistance
from wellsolar.physics.array.module import Diode, FiveParameters, array_of, at_conditions
from wellsolar.physics.solve import bracketed_root, require_range
from wellsolar.physics.types import FloatArray

DIMMEST: Final = 0.1
"""Irradiance at which the search for a threshold begins [W/m2]; dimmer sun heats nothing."""

BRIGHTEST: Final = 2000.0
"""Irradiance at which it ends [W/m2], above any sun with clouds' edges."""


def equal_power_irradiance(
    parameters: FiveParameters,
    modules_in_series: int,
    strings: int,
    lower_resistance: float,
    higher_resistance: float,
    cell_temperature: float,
    cable_resistance: float = 0.0,
) -> float:
    """Irradiance at which an array gives two resistances equal power.

    In less sun the higher resistance takes more, in more sun the lower one.

    Parameters:
        parameters: one module at 1000 W/m2 and 25 degC [A, ohm, V], scalars
        modules_in_series: modules in a string [-], scalar
        strings: strings in parallel [-], scalar
        lower_resistance: the lower of the two [ohm], above 0, scalar
        higher_resistance: the higher of the two [ohm], above the lower, scalar
        cell_temperature: held at every irradiance [degC], scalar
        cable_resistance: of both conductors together [ohm], 0 or more, scalar
    Returns:
        irradiance [W/m2]; infinite where the higher one takes more up to 2000 W/m2
    Raises:
        OutOfRange: resistances in the wrong order, or an argument outside its range
    Source: root of the difference of two powers of `resistive.on_resistance`.
    """
    least = math.nextafter(lower_resistance, math.inf)
    require_range(higher_resistance, least, math.inf, "higher resistance", "ohm")

    def gain(irradiance: float) -> float:
        one = at_conditions(parameters, irradiance, cell_temperature)
        diode = array_of(one, modules_in_series, strings)
        pair = np.array([lower_resistance, higher_resistance])
        lower, higher = np.asarray(
            resistive.on_resistance(diode, pair, cable_resistance).power
        ).tolist()
        return float(lower - higher)

    if gain(BRIGHTEST) <= 0.0:
        return math.inf
    if gain(DIMMEST) >= 0.0:
        return 0.0
    return bracketed_root(gain, DIMMEST, BRIGHTEST, "threshold", "W/m2")


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
        thresholds for `coupling.switched_by_thresholds`, falling, one fewer than resistances,
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
