"""Electronics between array and element that hold the array at its maximum power."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wellsolar.physics.array import resistive
from wellsolar.physics.array.best_resistance import behind_cable
from wellsolar.physics.array.coupling import CouplingYear, coupling_year, maximum_power
from wellsolar.physics.array.module import Diode
from wellsolar.physics.solve import require_positive, require_range
from wellsolar.physics.types import FloatArray


@dataclass(frozen=True)
class TrackingElectronics:
    """What a converter between an array and an element can do.

    efficiency: output over input, above 0 [0..1]
    minimum_power: input below which it stands still [W]
    greatest_power: output above which it does not go [W]; inf for none
    greatest_voltage: output above which it does not go [V]; inf for none
    greatest_current: output above which it does not go [A]; inf for none
    raises_voltage: whether its output may be above its input
    """

    efficiency: float
    minimum_power: float = 0.0
    greatest_power: float = math.inf
    greatest_voltage: float = math.inf
    greatest_current: float = math.inf
    raises_voltage: bool = True

    def __post_init__(self) -> None:
        require_positive(self.efficiency, "efficiency of the electronics", "")
        require_range(self.efficiency, 0.0, 1.0, "efficiency of the electronics", "")
        require_range(self.minimum_power, 0.0, math.inf, "minimum power", "W")
        require_positive(self.greatest_power, "greatest power", "W")
        require_positive(self.greatest_voltage, "greatest voltage", "V")
        require_positive(self.greatest_current, "greatest current", "A")


@dataclass(frozen=True, eq=False)
class TrackedYear(CouplingYear):
    """A year with electronics.

    voltage: at the element [V], array of hours
    standing_energy: of the array in hours in which the electronics stand still [J]
    clipped_energy: output that a limit of electronics or element kept back [J]
    """

    voltage: FloatArray
    standing_energy: float
    clipped_energy: float


def tracked(
    diode: Diode,
    electronics: TrackingElectronics,
    resistance: float,
    step: float,
    cable_resistance: float = 0.0,
    rated_power: float = math.inf,
) -> TrackedYear:
    """An array through its cable and tracking electronics on an element.

    The electronics look for the greatest power at their own end of the cable. The voltage at the
    element is what its resistance asks for, sqrt(P R). Electronics that cannot raise a voltage
    pass the array's own where that would be above it: with output and input voltage equal,
    P = V^2 / R and P = efficiency V I, the array works on efficiency times R.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays of hours
        electronics: efficiency and limits [its fields' units]
        resistance: of the element [ohm], above 0, scalar
        step: length of an hour's step [s], above 0, scalar
        cable_resistance: of both conductors from array to electronics [ohm], 0 or more, scalar
        rated_power: of the element, above which it is not driven [W]; infinite to leave it open,
            scalar
    Returns:
        power [W], energies [J], their ratio [0..1] and voltage at the element [V]
    Raises:
        OutOfRange: an argument outside its range
    Source: energy balance, P = efficiency times maximum power; P = V^2 / R = I^2 R.
    """
    require_positive(resistance, "element resistance", "ohm")
    require_positive(rated_power, "rated power of the element", "W")
    there = behind_cable(diode, cable_resistance)
    best = resistive.maximum_power_point(there)
    offered = np.atleast_1d(np.asarray(best.power))
    if not electronics.raises_voltage:
        seen = electronics.efficiency * resistance
        straight = resistive.on_resistance(there, seen).power
        offered = np.where(offered * seen <= np.asarray(best.voltage) ** 2, offered, straight)
    running = offered >= electronics.minimum_power
    free = electronics.efficiency * np.where(running, offered, 0.0)
    limit = min(
        rated_power,
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
