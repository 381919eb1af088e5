"""What drives a stepped tank, checked and laid out, and its kernel run plain or compiled."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Final

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.compiled import compiled
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import FloatArray, Floats

LONGEST_STEP: Final = 3600.0
"""Longest step of a tank [s]; our own mark, the split of loss and heat is of second order."""

ROUND_OFF: Final = 1e-9
"""Part by which the longest step may be passed; ends of steps are subtracted to find it [-]."""


def tank_drive(
    step: Floats,
    heater_power: Sequence[float] | FloatArray,
    tap_draw: Sequence[float] | FloatArray,
    grid_power: Floats,
    inlet_temperature: Floats,
    room_temperature: Floats,
) -> list[FloatArray]:
    """The series that drive a tank, each with one value a step.

    Parameters:
        step: length of each step, at most 3600 [s], scalar or array of steps
        heater_power: power on offer from the PV element [W], array of steps
        tap_draw: mixed water wanted [m3], array of steps
        grid_power: power on offer to the grid element [W], scalar or array of steps
        inlet_temperature: cold water [degC], scalar or array of steps
        room_temperature: air round the tank [degC], scalar or array of steps
    Returns:
        in that order [s, W, m3, W, degC, degC], arrays of steps
    Raises:
        OutOfRange: a step not above 0 or above 3600 s, a negative power or draw, a series of
            another length or with a value missing
    Source: none needed.
    """
    require_positive(step, "step", "s")
    require_range(step, 0.0, LONGEST_STEP * (1.0 + ROUND_OFF), "step", "s")
    powers = np.asarray(heater_power, float)
    series = {
        "step [s]": step,
        "heater power [W]": powers,
        "tap draw [m3]": np.asarray(tap_draw, float),
        "grid power [W]": grid_power,
        "inlet temperature [degC]": inlet_temperature,
        "room temperature [degC]": room_temperature,
    }
    laid = []
    for number, (name, given) in enumerate(series.items()):
        values = np.asarray(given, float)
        if values.ndim == 0 and number not in (1, 2):
            values = np.full(powers.size, float(values))
        if values.shape != (powers.size,) or not np.all(np.isfinite(values)):
            raise OutOfRange(f"{name}: needs {powers.size} finite values, one a step")
        if 0 < number < 4 and np.any(values < 0):
            raise OutOfRange(f"{name}: {float(values.min())} is below 0")
        laid.append(np.ascontiguousarray(values))
    return laid


def require_thermostats(setpoint: float, hysteresis: float, largest_shift: float) -> None:
    """Refuse thermostats and cuts of a draw that no tank can be stepped with.

    Parameters:
        setpoint: a thermostat opens here [degC], scalar; inf for none
        hysteresis: it closes this far below [K], scalar
        largest_shift: part of a node that one sub-step may draw [-], scalar in (0, 1]
    Returns:
        nothing [-]
    Raises:
        OutOfRange: a setpoint that is nan, a negative hysteresis, a shift outside (0, 1]
    Source: none needed.
    """
    require_range(hysteresis, 0.0, math.inf, "hysteresis", "K")
    require_positive(largest_shift, "largest shift", "of a node")
    require_range(largest_shift, 0.0, 1.0, "largest shift", "of a node")
    require_range(setpoint, -math.inf, math.inf, "setpoint", "degC")


def run_kernel(
    kernel: Callable[..., None], arrays: list[FloatArray], numbers: list[float], machine: bool
) -> None:
    """Run a kernel over arrays that it fills in place: compiled, or plain over lists.

    Plain Python reads a list four times as fast as an array, so the plain run copies them.

    Parameters:
        kernel: function of sequences of floats, then of numbers [callable]
        arrays: its sequences, read or filled [its own unit], arrays
        numbers: its numbers [its own unit], scalars
        machine: in machine code, where that can be [-]
    Returns:
        nothing [-]; the arrays are filled in place
    Source: none needed.
    """
    fast = compiled(kernel) if machine else None
    if fast is not None:
        fast(*arrays, *numbers)
        return
    lists = [array.tolist() for array in arrays]
    kernel(*lists, *numbers)
    for array, values in zip(arrays, lists, strict=True):
        array[:] = values


def step_ends(step: Floats, steps: int) -> FloatArray:
    """Times at which the steps end, from the beginning of the run.

    Parameters:
        step: as it was given [s], scalar or array of steps
        steps: how many there are [-], whole number
    Returns:
        times [s], array
    Source: none needed; steps of one length are multiplied, which keeps them exact.
    """
    if np.ndim(step) == 0:
        return float(step) * np.arange(1.0, steps + 1)
    return np.cumsum(np.asarray(step, float))


def balance_error(gains: list[float], uses: list[float]) -> float:
    """By how much a balance of energies misses.

    Parameters:
        gains: energies that came in [J], scalars
        uses: energies that went out or were stored [J], scalars
    Returns:
        difference over the largest of them, or over 1 J [-]
    Source: conservation of energy.
    """
    largest = max(1.0, *(abs(each) for each in (*gains, *uses)))
    return abs(math.fsum(gains) - math.fsum(uses)) / largest
