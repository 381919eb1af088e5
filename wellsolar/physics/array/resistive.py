"""A PV array on a resistance: where it works, and where it would work best."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Final

import numpy as np

from wellsolar.physics.array.junction import (
    SCRATCH_ROWS,
    TINY,
    Row,
    at_greatest_power,
    in_blocks,
    junction_ratio,
    through_load,
)
from wellsolar.physics.array.module import Diode
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import FloatArray, Floats

_GREATEST_EXPONENT: Final = 700.0
"""Largest exponent that still fits a double."""


@dataclass(frozen=True, eq=False)
class OperatingPoint:
    """Where an array works; each a scalar or an array.

    voltage: [V]; current: [A]; power: [W], at the terminals that the function names
    """

    voltage: Floats
    current: Floats
    power: Floats


def on_resistance(
    diode: Diode, resistance: Floats, cable_resistance: Floats = 0.0
) -> OperatingPoint:
    """Operating point of an array that heats a resistance through a cable.

    The load, the cable and the series resistance are one resistance seen by the junction, so the
    junction voltage is explicit: V/a = x - omega(z), x = (IL + I0) / (a G),
    z = ln(I0 / (a G)) + x, G = 1/Rsh + 1/(R + Rc + Rs). In the dark everything is 0.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays
        resistance: of the element [ohm], above 0, scalar or array
        cable_resistance: of both conductors together [ohm], 0 or more, scalar or array
    Returns:
        voltage across the element [V], current [A] and power into the element [W]
    Raises:
        OutOfRange: element resistance not above 0, or cable resistance below 0
    Source: single-diode equation with the load folded into the series resistance; Wright omega
        from Corless & Jeffrey, The Wright omega function (2002) (from memory).
    """
    require_positive(resistance, "element resistance", "ohm")
    require_range(cable_resistance, 0.0, inf, "cable resistance", "ohm")
    series = diode.series_resistance + cable_resistance
    return OperatingPoint(
        *in_blocks(through_load, (*_of(diode, series), resistance), 3, SCRATCH_ROWS)
    )


def maximum_power_point(diode: Diode) -> OperatingPoint:
    """The greatest power that an array can give, at its own terminals.

    Newton steps on dP/dVd = 0 in the junction voltage, from the maximum power point of the same
    diode without resistances; steps that do not settle are repeated between brackets.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays
    Returns:
        voltage [V], current [A] and power [W] at maximum power; all 0 in the dark
    Source: Newton's method on the single-diode equation.
    """
    row = _of(diode, diode.series_resistance)
    return OperatingPoint(*in_blocks(at_greatest_power, row, 3, SCRATCH_ROWS))


def open_circuit_voltage(diode: Diode) -> Floats:
    """Voltage of an array that carries no current.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays
    Returns:
        open-circuit voltage [V]; 0 in the dark
    Source: single-diode equation at zero current.
    """
    (voltage,) = in_blocks(_open_junction_voltage, _of(diode, 0.0), 1, SCRATCH_ROWS)
    return voltage


def short_circuit_current(diode: Diode) -> Floats:
    """Current of an array with its terminals joined.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays
    Returns:
        short-circuit current [A]; 0 in the dark
    Source: single-diode equation at zero voltage.
    """
    return current_at_voltage(diode, 0.0)


def current_at_voltage(diode: Diode, voltage: Floats) -> Floats:
    """Current of an array held at a voltage; negative above its open-circuit voltage.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays
        voltage: at the array's terminals [V], 0 or more, scalar or array
    Returns:
        current [A]
    Raises:
        OutOfRange: voltage below 0
    Source: single-diode equation; explicit as in `on_resistance`.
    """
    require_range(voltage, 0.0, inf, "array voltage", "V")
    row = (*_of(diode, diode.series_resistance), voltage)
    (current,) = in_blocks(_current_held_at, row, 1, SCRATCH_ROWS)
    return current


def matched_resistance(diode: Diode) -> Floats:
    """The resistance on which an array gives its greatest power.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays
    Returns:
        maximum power voltage over current [ohm]; infinite in the dark
    Source: Ohm's law at the maximum power point.
    """
    point = maximum_power_point(diode)
    current = np.asarray(point.current)
    lit = current > 0.0
    ratio = np.asarray(point.voltage) / np.where(lit, current, np.nan)
    matched: Floats = np.where(lit, ratio, np.inf)[()]
    return matched


def _of(diode: Diode, series: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """The diode as a row of a block, with all that is in series with its junction."""
    return (
        diode.photocurrent,
        diode.saturation_current,
        diode.shunt_resistance,
        diode.thermal_voltage,
        series,
    )


def _junction_voltage(
    source: FloatArray,
    saturation: FloatArray,
    conductance: FloatArray,
    thermal: FloatArray,
    scratch: FloatArray,
) -> FloatArray:
    """Root of source - I0 expm1(v/a) - G v in v."""
    ratio: FloatArray = scratch[3]
    x, leaking = scratch[4:6]
    dark = np.maximum(saturation, TINY)
    slope = thermal * conductance
    np.divide(source + dark, slope, out=x)
    np.divide(dark, slope, out=leaking)
    junction_ratio(x, leaking, ratio, scratch)
    ratio *= thermal
    return ratio


def _current_held_at(row: Row, result: Row, scratch: FloatArray) -> None:
    photocurrent, saturation, shunt, thermal, series, voltage = row
    leak = 1.0 / shunt
    joined = series > 0.0
    resistance = np.where(joined, series, np.nan)
    driven = photocurrent + voltage / resistance
    slope = leak + 1.0 / resistance
    junction = _junction_voltage(driven, saturation, slope, thermal, scratch)
    junction = np.where(joined, junction, voltage)
    # In the dark the two terms cancel only to rounding; without a voltage nothing can flow.
    idle = (photocurrent <= 0.0) & (voltage <= 0.0)
    exponent = np.minimum(junction / thermal, _GREATEST_EXPONENT)
    current = photocurrent - saturation * np.expm1(exponent) - leak * junction
    result[0][...] = np.where(idle, 0.0, current)


def _open_junction_voltage(row: Row, result: Row, scratch: FloatArray) -> None:
    photocurrent, saturation, shunt, thermal, _ = row
    leak = 1.0 / shunt
    dark = np.maximum(saturation, TINY)
    # A floor under the leak keeps the explicit form finite; Newton steps then take the true leak.
    floor = np.maximum(leak, 1e-6 * (photocurrent + dark) / thermal)
    voltage = np.maximum(_junction_voltage(photocurrent, dark, floor, thermal, scratch), 0.0)
    for _ in range(3):
        exponent = np.minimum(voltage / thermal, _GREATEST_EXPONENT)
        diode = dark * np.expm1(exponent)
        slope = (diode + dark) / thermal + leak
        voltage = voltage + (photocurrent - diode - leak * voltage) / slope
    result[0][...] = np.where(photocurrent > 0.0, voltage, 0.0)
