"""What a supply of pumped water did in a year: days short, volumes, energies, their closures."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wellsolar.constants import DAY
from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import FloatArray, Floats

SHORT_SHARE: Final = 1e-6
"""A day is short if more than this part of its demand is unmet [-]; a guard against round-off."""


@dataclass(frozen=True, eq=False)
class SupplyYear:
    """What a supply of water did.

    Series have one value a step, but for `unmet`; states hold at its end.

    pumped: volume pumped [m3], array of steps
    unmet: demand that was not met [m3], array of days
    state_of_charge: usable energy in the battery [J], array of steps
    stored_volume: water in the storage [m3], array of steps
    spilled: energy that the array offered and nothing took [J], array of steps
    days_short: days with unmet demand [-]
    longest_short_run: days short in a row [-], over the turn of the year if the start is settled
    volume_wanted, volume_pumped, volume_delivered, volume_unmet: sums [m3]
    volume_overflow: over the edge of a storage whose pump nothing stops [m3]
    volume_change: water in the storage at the end less at the start [m3]
    energy_array: offered by the array [J]; energy_spilled: not taken [J]
    energy_pump: into the pump [J]; energy_other: into other loads [J]
    energy_other_unmet: wanted by other loads and not given [J]
    energy_lost: in battery, inverter or controller [J]
    energy_change: in the battery at the end less at the start [J]
    energy_balance_error: |array - spilled - pump - other - lost - change| over the largest [-]
    water_balance_error: |pumped - delivered - overflow - change| over the largest of them and of
        wanted [-]
    """

    pumped: FloatArray
    unmet: FloatArray
    state_of_charge: FloatArray
    stored_volume: FloatArray
    spilled: FloatArray
    days_short: int
    longest_short_run: int
    volume_wanted: float
    volume_pumped: float
    volume_delivered: float
    volume_unmet: float
    volume_change: float
    energy_array: float
    energy_spilled: float
    energy_pump: float
    energy_other: float
    energy_other_unmet: float
    energy_lost: float
    energy_change: float
    energy_balance_error: float
    water_balance_error: float
    volume_overflow: float = 0.0


def supply_year(
    pumped: FloatArray,
    unmet: FloatArray,
    state_of_charge: FloatArray,
    stored_volume: FloatArray,
    spilled: FloatArray,
    water_demand: FloatArray,
    array_energy: FloatArray,
    energy_pump: float,
    energy_other: float,
    energy_other_unmet: float,
    energy_lost: float,
    start_charge: float,
    start_volume: float,
    step: float,
    settled: bool,
    volume_overflow: float = 0.0,
) -> SupplyYear:
    """Days, sums and closures from the series of a run.

    Parameters:
        pumped: volume pumped [m3], array of steps
        unmet: demand not met [m3], array of steps
        state_of_charge: usable energy in the battery at the end [J], array of steps
        stored_volume: water in storage at the end [m3], array of steps
        spilled: array energy that nothing took [J], array of steps
        water_demand: wanted [m3], array of steps
        array_energy: offered by the array [J], array of steps
        energy_pump: into the pump [J], scalar
        energy_other: into other loads [J], scalar
        energy_other_unmet: wanted by other loads and not given [J], scalar
        energy_lost: on the way, from the flows of each loss [J], scalar
        start_charge: energy in the battery at the start [J], scalar
        start_volume: water in storage at the start [m3], scalar
        step: length of a step, a whole part of a day [s], scalar
        settled: the year began as it ended, so that its turn joins two days [-], true or false
        volume_overflow: over the edge of the storage [m3], scalar
    Returns:
        a SupplyYear, volumes [m3] and energies [J]
    Source: conservation of volume and energy.
    """
    daily_unmet = by_day(unmet, step)
    short = days_are_short(daily_unmet, by_day(water_demand, step))
    volumes = [
        float(volumes_of_hour.sum())
        for volumes_of_hour in (water_demand, pumped, water_demand - unmet, unmet)
    ]
    volume_change = float(stored_volume[-1]) - start_volume
    energies = [float(array_energy.sum()), float(spilled.sum())]
    energy_change = float(state_of_charge[-1]) - start_charge
    return SupplyYear(
        pumped=pumped,
        unmet=daily_unmet,
        state_of_charge=state_of_charge,
        stored_volume=stored_volume,
        spilled=spilled,
        days_short=int(short.sum()),
        longest_short_run=int(longest_run(short, settled)),
        volume_wanted=volumes[0],
        volume_pumped=volumes[1],
        volume_delivered=volumes[2],
        volume_unmet=volumes[3],
        volume_change=volume_change,
        energy_array=energies[0],
        energy_spilled=energies[1],
        energy_pump=energy_pump,
        energy_other=energy_other,
        energy_other_unmet=energy_other_unmet,
        energy_lost=energy_lost,
        energy_change=energy_change,
        energy_balance_error=gap(
            0.0,
            energies[0],
            (energies[1], energy_pump, energy_other, energy_lost, energy_change),
        ),
        water_balance_error=gap(
            volumes[0], volumes[1], (volumes[2], volume_overflow, volume_change)
        ),
        volume_overflow=volume_overflow,
    )


def gap(scale: float, comes: float, goes: tuple[float, ...]) -> float:
    """What does not close, over the largest part.

    Parameters:
        scale: size to measure by where it is above all parts [its own unit], scalar
        comes: what comes in [its own unit], scalar
        goes: what it goes into [its own unit], array
    Returns:
        error [-]; 0 where nothing flows
    Source: definition of a balance.
    """
    largest = max(scale, *(abs(term) for term in (comes, *goes)))
    return abs(math.fsum((comes, *(-term for term in goes)))) / largest if largest > 0.0 else 0.0


def by_day(values: FloatArray, step: float) -> FloatArray:
    """Sums of each day.

    Parameters:
        values: one a step, along the first axis [its own unit], array of steps
        step: length of a step, a whole part of a day [s], scalar
    Returns:
        sums [its own unit], array of days
    Source: definition.
    """
    per_day = round(DAY / step)
    days = values.reshape(values.shape[0] // per_day, per_day, *values.shape[1:])
    return np.asarray(days.sum(axis=1), dtype=np.float64)


def days_are_short(daily_unmet: FloatArray, daily_demand: FloatArray) -> NDArray[np.bool_]:
    """Which days lack water.

    Parameters:
        daily_unmet: demand not met [m3], array of days
        daily_demand: wanted [m3], array of days
    Returns:
        true where more than a millionth of the day's demand is unmet [-], array of days
    Source: definition.
    """
    return np.asarray(daily_unmet > SHORT_SHARE * daily_demand, dtype=np.bool_)


def longest_run(short: NDArray[np.bool_], settled: bool) -> NDArray[np.int64]:
    """The most short days in a row.

    Parameters:
        short: true for a day that lacks water, along the first axis [-], array of days
        settled: the last day is followed by the first [-], true or false
    Returns:
        days, at most as many as there are [-], one for each column of `short`
    Source: definition.

    >>> int(longest_run(np.array([True, False, False, True, True]), settled=True))
    3
    """
    days = short.shape[0]
    if days == 0:
        return np.zeros(short.shape[1:], dtype=np.int64)
    turns = np.concatenate((short, short)) if settled else short
    number = np.arange(1, turns.shape[0] + 1).reshape(-1, *(1,) * (turns.ndim - 1))
    last_good = np.maximum.accumulate(np.where(turns, 0, number))
    longest = (number - last_good).max(axis=0)
    return np.asarray(np.minimum(longest, days), dtype=np.int64)


def steps_per_day(steps: int, step: float) -> int:
    """Steps in a day, checked.

    Parameters:
        steps: number of steps of the run [-], whole number
        step: length of a step, a whole part of a day [s], scalar
    Returns:
        steps in a day [-]
    Raises:
        OutOfRange: a step that is no whole part of a day, or steps that make no whole days
    Source: definition.
    """
    require_positive(step, "step", "s")
    require_range(step, 0.0, DAY, "step", "s")
    per_day = round(DAY / step)
    if abs(per_day * step - DAY) > 1e-6:
        raise OutOfRange(f"step is {step:g} s, allowed is a whole part of a day")
    if steps == 0 or steps % per_day:
        raise OutOfRange(f"{steps} steps of {step:g} s are not one or more whole days")
    return per_day


def checked_series(
    values: Floats, steps: int | None, quantity: str, unit: str, greatest: float = 1e15
) -> FloatArray:
    """Values of each step, refused where one is missing or negative.

    Parameters:
        values: one a step, or one for all [its own unit], scalar or array
        steps: number of steps [-], whole number; None takes the array's own
        quantity: name of the quantity, for the error message [text]
        unit: unit, for the error message [text]
        greatest: greatest value allowed [its own unit], scalar
    Returns:
        values [its own unit], array of steps
    Raises:
        OutOfRange: a value below 0 or not a number, or another number of values
    Source: none needed, a guard.
    """
    series = np.asarray(values, dtype=np.float64)
    if steps is not None and series.ndim == 0:
        series = np.full(steps, float(series))
    if series.ndim != 1 or (steps is not None and series.size != steps):
        wanted = "one value a step" if steps is None else f"{steps} values, one a step"
        raise OutOfRange(f"{quantity} has the shape {series.shape}, wanted are {wanted}")
    require_range(series, 0.0, greatest, quantity, unit)
    return series


def limited_volume(pump_volume: Floats, well_volume_per_step: Floats, steps: int) -> FloatArray:
    """The most that pump and well together give in each step.

    Parameters:
        pump_volume: of the pump running the whole step [m3], scalar or array
        well_volume_per_step: greatest volume the well gives in a step [m3], scalar or array
        steps: number of steps [-], whole number
    Returns:
        volume [m3], array of steps
    Raises:
        OutOfRange: a negative or missing volume
    Source: none needed, the lesser of two.
    """
    well = checked_series(well_volume_per_step, steps, "well's volume a step", "m3", math.inf)
    return np.minimum(checked_series(pump_volume, steps, "pumped volume a step", "m3"), well)


def start_of(given: float | None, full: float, quantity: str, unit: str) -> float:
    """What a store holds at the start.

    Parameters:
        given: content at the start [its own unit], scalar; None for full
        full: greatest content [its own unit], scalar
        quantity: name of the quantity, for the error message [text]
        unit: unit, for the error message [text]
    Returns:
        content [its own unit]
    Raises:
        OutOfRange: more than full, or less than empty
    Source: none needed, a guard.
    """
    if given is None:
        return float(full)
    require_range(given, 0.0, full, quantity, unit)
    return float(given)
