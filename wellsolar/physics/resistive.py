"""A PV array on a resistance: where it works, and where it would work best."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf
from typing import Final

import numpy as np

from wellsolar.physics.module import Diode
from wellsolar.physics.solve import require_positive, require_range
from wellsolar.physics.types import FloatArray, Floats

BLOCK: Final = 8192
"""Points worked on at a time; a block's arrays stay in the processor's cache."""

_TINY: Final = 1e-300
"""Smallest saturation current [A] whose logarithm is still taken without an underflow."""

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
    current = _blocked(_current_through, *_of(diode), resistance, cable_resistance)
    voltage = current * resistance
    return OperatingPoint(voltage=voltage, current=current, power=current * voltage)


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
    junction = _blocked(_best_junction_voltage, *_of(diode))
    current = _junction_current(diode, junction)
    voltage = junction - current * diode.series_resistance
    return OperatingPoint(voltage=voltage, current=current, power=current * voltage)


def open_circuit_voltage(diode: Diode) -> Floats:
    """Voltage of an array that carries no current.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays
    Returns:
        open-circuit voltage [V]; 0 in the dark
    Source: single-diode equation at zero current.
    """
    return _blocked(_open_junction_voltage, *_of(diode))


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
    return _blocked(_current_held_at, *_of(diode), voltage)


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
    ratio = np.asarray(point.voltage) / np.where(lit, current, 1.0)
    matched: Floats = np.where(lit, ratio, np.inf)[()]
    return matched


def wright_omega(z: Floats) -> Floats:
    """Wright omega function: the w for which w + ln w = z, of a real z.

    From a start within 7 %, one step of fourth order leaves an error of 3e-7, and one more, cut
    to third order, the last digit.

    Parameters:
        z: argument [-], above -700, scalar or array
    Returns:
        w [-]
    Source: iteration of Fritsch, Shafer & Crowley, Comm. ACM 16 (1973) 123, Algorithm 443
        (from memory).
    """
    z = np.asarray(z, dtype=np.float64)
    large = np.maximum(z, 1.0)
    log = np.log(large)
    w = large - log + log / (large + 1.0)
    if np.any(z < 2.0):
        small = np.exp(np.minimum(z, 2.0))
        pade = small * (1.0 + 4.0 / 3.0 * small) / (1.0 + small * (7.0 / 3.0 + 5.0 / 6.0 * small))
        w = np.where(z < 1.0, pade, w)
    rest = z - w - np.log(w)
    up = 1.0 + w
    twice = 2.0 * up * (up + rest * (2.0 / 3.0)) - rest
    w = w + w * (rest * twice) / (up * (twice - rest))
    up = 1.0 + w
    rest = (z - w - np.log(w)) / up
    w = w + w * rest * (1.0 + 0.5 * rest / up)
    root: Floats = w[()]
    return root


def _of(diode: Diode) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    return (
        diode.photocurrent,
        diode.saturation_current,
        diode.series_resistance,
        diode.shunt_resistance,
        diode.thermal_voltage,
    )


def _blocked(function: Callable[..., FloatArray], *given: Floats) -> Floats:
    """Apply a function of equal-length rows block by block, and give the broadcast shape back."""
    arrays = [np.asarray(value, dtype=np.float64) for value in given]
    shape = np.broadcast_shapes(*(array.shape for array in arrays))
    size = int(np.prod(shape))
    rows = [
        array.reshape(1) if array.size == 1 else np.broadcast_to(array, shape).reshape(-1)
        for array in arrays
    ]
    result = np.empty(size)
    for start in range(0, size, BLOCK):
        part = slice(start, start + BLOCK)
        result[part] = function(*(row if row.size == 1 else row[part] for row in rows))
    shaped: Floats = result.reshape(shape)[()]
    return shaped


def _junction_voltage(
    source: FloatArray, saturation: FloatArray, conductance: FloatArray, thermal: FloatArray
) -> FloatArray:
    """Root of source - I0 expm1(v/a) - G v in v."""
    dark = np.maximum(saturation, _TINY)
    inverse = 1.0 / (thermal * conductance)
    x = (source + dark) * inverse
    z = np.maximum(np.log(dark * inverse) + x, -_GREATEST_EXPONENT)
    root: FloatArray = thermal * (x - np.asarray(wright_omega(z)))
    return root


def _current_through(
    photocurrent: FloatArray,
    saturation: FloatArray,
    series: FloatArray,
    shunt: FloatArray,
    thermal: FloatArray,
    resistance: FloatArray,
    cable: FloatArray,
) -> FloatArray:
    total = series + resistance + cable
    junction = _junction_voltage(photocurrent, saturation, 1.0 / shunt + 1.0 / total, thermal)
    return np.where(photocurrent > 0.0, np.maximum(junction, 0.0) / total, 0.0)


def _current_held_at(
    photocurrent: FloatArray,
    saturation: FloatArray,
    series: FloatArray,
    shunt: FloatArray,
    thermal: FloatArray,
    voltage: FloatArray,
) -> FloatArray:
    leak = 1.0 / shunt
    joined = series > 0.0
    resistance = np.where(joined, series, 1.0)
    driven = photocurrent + voltage / resistance
    junction = _junction_voltage(driven, saturation, leak + 1.0 / resistance, thermal)
    junction = np.where(joined, junction, voltage)
    # In the dark the two terms cancel only to rounding; without a voltage nothing can flow.
    idle = (photocurrent <= 0.0) & (voltage <= 0.0)
    exponent = np.minimum(junction / thermal, _GREATEST_EXPONENT)
    current = photocurrent - saturation * np.expm1(exponent) - leak * junction
    return np.where(idle, 0.0, current)


def _open_junction_voltage(
    photocurrent: FloatArray,
    saturation: FloatArray,
    series: FloatArray,
    shunt: FloatArray,
    thermal: FloatArray,
) -> FloatArray:
    leak = 1.0 / shunt
    dark = np.maximum(saturation, _TINY)
    # A floor under the leak keeps the explicit form finite; two Newton steps then take the true
    # leak and the digits that x - omega(z) loses when x is large.
    floor = np.maximum(leak, 1e-6 * (photocurrent + dark) / thermal)
    voltage = np.maximum(_junction_voltage(photocurrent, dark, floor, thermal), 0.0)
    for _ in range(3):
        exponent = np.minimum(voltage / thermal, _GREATEST_EXPONENT)
        diode = dark * np.expm1(exponent)
        slope = (diode + dark) / thermal + leak
        voltage = voltage + (photocurrent - diode - leak * voltage) / slope
    return np.where(photocurrent > 0.0, voltage, 0.0)


def _best_junction_voltage(
    photocurrent: FloatArray,
    saturation: FloatArray,
    series: FloatArray,
    shunt: FloatArray,
    thermal: FloatArray,
) -> FloatArray:
    dark = np.maximum(saturation, _TINY)
    lit = np.maximum(photocurrent, _TINY)
    row = (lit, dark, series, 1.0 / shunt, thermal)
    # Without resistances (1 + v) exp(1 + v) = e (IL + I0) / I0.
    start = np.asarray(wright_omega(1.0 + np.log1p(lit / dark))) - 1.0
    voltage = thermal * start
    step = voltage
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        for _ in range(6):
            step = _newton_step(voltage, *row)
            voltage = voltage - step
        settled = (voltage >= 0.0) & (np.abs(step) <= 1e-10 * voltage)
    if not np.all(settled | (photocurrent <= 0.0)):
        voltage = np.where(settled, voltage, _bracketed_best(*row))
    return np.where(photocurrent > 0.0, voltage, 0.0)


def _newton_step(
    voltage: FloatArray,
    photocurrent: FloatArray,
    dark: FloatArray,
    series: FloatArray,
    leak: FloatArray,
    thermal: FloatArray,
) -> FloatArray:
    """dP/dVd over its derivative, with P = I (Vd - I Rs)."""
    grown = dark * np.exp(voltage / thermal)
    current = photocurrent + dark - grown - leak * voltage
    slope = -grown / thermal - leak
    bend = -grown / (thermal * thermal)
    gradient = slope * voltage + current - 2.0 * series * current * slope
    curvature = bend * voltage + 2.0 * slope - 2.0 * series * (slope * slope + current * bend)
    return gradient / curvature


def _bracketed_best(
    photocurrent: FloatArray,
    dark: FloatArray,
    series: FloatArray,
    leak: FloatArray,
    thermal: FloatArray,
) -> FloatArray:
    """The same root by halving between short circuit and open circuit, where dP/dVd changes its
    sign once because power is concave in the voltage."""
    high = thermal * np.log1p(photocurrent / dark)
    high = np.where(leak * high > photocurrent, photocurrent / np.maximum(leak, _TINY), high)
    low = np.zeros_like(high)
    for _ in range(60):
        middle = 0.5 * (low + high)
        grown = dark * np.exp(middle / thermal)
        current = photocurrent + dark - grown - leak * middle
        slope = -grown / thermal - leak
        rising = slope * middle + current - 2.0 * series * current * slope > 0.0
        low, high = np.where(rising, middle, low), np.where(rising, high, middle)
    return 0.5 * (low + high)


def _junction_current(diode: Diode, junction: Floats) -> Floats:
    exponent = junction / np.asarray(diode.thermal_voltage)
    current = (
        diode.photocurrent
        - diode.saturation_current * np.expm1(exponent)
        - junction / np.asarray(diode.shunt_resistance)
    )
    positive: Floats = np.where(np.asarray(junction) > 0.0, current, 0.0)[()]
    return positive
