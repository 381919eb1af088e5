"""An element on the inverter that heats with what a full battery leaves."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wellsolar.physics.array.connection import CouplingYear, coupling_year
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.supply.year import checked_series
from wellsolar.physics.types import FloatArray, Floats


@dataclass(frozen=True, eq=False)
class DivertedYear(CouplingYear):
    """A year of heating with what a supply spills.

    duty: part of each hour in which the element is on; of a modulated element its power over the
        rated one [0..1], array of hours
    used_energy: of what nothing else took, with the losses on the way to the element [J]
    used_ratio: used over spilled [0..1]; 0 where nothing is spilled
    """

    duty: FloatArray
    used_energy: float
    used_ratio: float


def diverted(
    spilled: FloatArray,
    array_power: FloatArray,
    rated_power: float,
    inverter_efficiency: float,
    step: float,
    inverter_room: Floats = math.inf,
    modulated: bool = False,
    round_trip_efficiency: float = 1.0,
) -> DivertedYear:
    """Heat from an alternating-current element that is on only while the battery is full.

    A modulated element takes what is spilled, up to its rating and the inverter's room. One that
    is on or off takes its rated power or nothing, and not where that is above the inverter's
    room. Where less is spilled than it takes, the full battery lends the rest while it is on and
    is filled again while it is off: with s spilled, behind the inverter, over the rated power, and
    the battery's round trip r, it is on for the part s r / (1 - s + s r) of the hour. That is
    s where the battery loses nothing.

    Parameters:
        spilled: energy of the array that nothing took [J], array of hours
        array_power: of the array at maximum power [W], array of hours
        rated_power: of the element at the inverter's voltage [W], above 0, scalar
        inverter_efficiency: output over input [0..1], above 0, scalar
        step: length of an hour's step [s], above 0, scalar
        inverter_room: what other loads leave of the inverter's rating [W], scalar or array of
            hours
        modulated: whether the element's power follows what is spilled [-], true or false
        round_trip_efficiency: of the battery, energy given over energy taken [0..1], above 0,
            scalar
    Returns:
        power [W], energies [J], ratio to the array's maximum power [0..1] and duty [0..1]
    Raises:
        OutOfRange: a negative or missing value, series of unequal length
    Source: energy balance of battery and inverter over an hour; order of loads: common
        practice, no source.
    """
    require_positive(step, "step", "s")
    require_positive(rated_power, "rated power of the element", "W")
    for part, name in (
        (inverter_efficiency, "inverter efficiency"),
        (round_trip_efficiency, "round-trip efficiency of the battery"),
    ):
        require_positive(part, name, "")
        require_range(part, 0.0, 1.0, name, "")
    require_range(inverter_room, 0.0, math.inf, "room of the inverter", "W")
    left = checked_series(spilled, None, "energy spilled", "J")
    share = left * inverter_efficiency / (rated_power * step)
    if modulated:
        duty = np.minimum(np.minimum(share, 1.0), np.asarray(inverter_room) / rated_power)
        used = duty * rated_power * step / inverter_efficiency
    else:
        lent = share * round_trip_efficiency
        part_of_hour = np.where(share < 1.0, lent / np.maximum(1.0 - share + lent, 1e-300), 1.0)
        allowed = rated_power <= np.asarray(inverter_room)
        duty = np.where(allowed, part_of_hour, 0.0)
        # An element that cycles uses all that is spilled, its own losses in the battery included.
        used = np.where(allowed, np.minimum(left, rated_power * step / inverter_efficiency), 0.0)
    year = coupling_year(duty * rated_power, array_power, step)
    total, taken = float(left.sum()), float(used.sum())
    return DivertedYear(
        power=year.power,
        energy=year.energy,
        tracked_energy=year.tracked_energy,
        ratio=year.ratio,
        duty=duty,
        used_energy=taken,
        used_ratio=taken / total if total > 0.0 else 0.0,
    )
