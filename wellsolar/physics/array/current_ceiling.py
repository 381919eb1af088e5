"""Why an element on an array stops gaining: current squared times resistance is the most it gets.

The current of modules in series is that of one module. Below the voltage of maximum power it
hardly rises any more, whatever the number of modules, so the heat nears a ceiling.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wellsolar.physics.array import resistive
from wellsolar.physics.array.module import Diode
from wellsolar.physics.solve import require_positive
from wellsolar.physics.types import Floats, plain


@dataclass(frozen=True, eq=False)
class SidesOfMatch:
    """On which side of maximum power an array on a resistance works through a year.

    current_limited: below the voltage of maximum power, in each hour, array of hours
    current_limited_hours, voltage_limited_hours: parts of the hours with light [0..1]
    current_limited_energy, voltage_limited_energy: parts of the energy at the element [0..1]
    energy: at the element [J]
    ceiling_energy: what the short-circuit current would give it, the most that any number of
        modules in series can [J]
    series_gain: the most that more modules in series can still add, over energy [-]
    All parts are 0 in a year without light.
    """

    current_limited: NDArray[np.bool_]
    current_limited_hours: float
    voltage_limited_hours: float
    current_limited_energy: float
    voltage_limited_energy: float
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
        parts of hours and energy on either side [0..1], energies [J] and the gain left [-]
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
    of_hours = float(below.sum()) / hours if hours > 0.0 else 0.0
    of_energy = float(power[below].sum()) * step / energy if energy > 0.0 else 0.0
    return SidesOfMatch(
        current_limited=below,
        current_limited_hours=of_hours,
        voltage_limited_hours=max(0.0, 1.0 - of_hours) if hours > 0.0 else 0.0,
        current_limited_energy=of_energy,
        voltage_limited_energy=max(0.0, 1.0 - of_energy) if energy > 0.0 else 0.0,
        energy=energy,
        ceiling_energy=ceiling,
        series_gain=ceiling / energy - 1.0 if energy > 0.0 else 0.0,
    )
