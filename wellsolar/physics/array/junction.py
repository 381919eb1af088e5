"""The junctions of many arrays at once: a block of points, worked out in rows used again.

Long arrays are worked through in blocks that stay in the processor's cache. Every equation is
brought to a form without units, in which u is the voltage over the junction divided by the thermal
voltage. The search for u goes on in single precision as far as that carries, at half the cost, and
its last step is taken in double precision. Numbers are changed where they stand, and rows serve
again for what comes next, the rows of the results among them: memory that is new to the processor
costs more than the arithmetic.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from wellsolar.physics.types import FloatArray, Floats

SingleArray = NDArray[np.float32]
"""An array of floats in single precision."""

Real = TypeVar("Real", np.float32, np.float64)
"""Either precision."""

TINY: Final = 1e-300
"""Smallest saturation current [A] whose logarithm is still taken without an underflow."""

_LEAST_EXPONENT: Final = -80.0
"""Least exponent of which the power still fits single precision."""

_LEAST_IN_SINGLE: Final = 1e-37
"""Least number that single precision still holds with all its digits, rounded up."""

_MOST_IN_SINGLE: Final = 1e38
"""Greatest number that single precision holds, rounded down."""

_RISE: Final = 0.7
"""Fitted to the Wright omega function [-]: its start is then nowhere off by more than 7 %."""

_PART_OF_PHOTOCURRENT: Final = 0.95
"""Current at maximum power over the photocurrent [-], near enough for the start of a search."""

_STEPS_IN_SINGLE: Final = 3
"""Newton steps towards maximum power in single precision; ordinary arrays need no more."""

_SETTLED: Final = 4e-7
"""Last relative step [-] of a search that has settled, since what then is left is near its
square; the end of single precision lies at 1.2e-7."""

_HALVINGS: Final = 70
"""Halvings of a bracket after which it is as narrow as a double can tell."""

SCRATCH_ROWS: Final = 7
"""Rows that a block is calculated in, besides those of its results."""


def _in_single(row: FloatArray) -> SingleArray:
    """Two rows of single precision in the place of one in double precision."""
    return row.view(np.float32).reshape(2, row.size)


def through_load(row: Row, point: Row, scratch: FloatArray) -> None:
    """Arrays on a resistance.

    With c = a / Rt, Rt all the resistance that the junction drives, and s = c + a / Rsh, the
    junction holds u + (I0 / s) e^u = (IL + I0) / s, and the current is c u.

    Parameters:
        row: photocurrent, saturation current, shunt resistance, thermal voltage, resistance in
            series with the junction, resistance of the load [A, V, ohm], arrays
        point: rows that take voltage, current and power of the load [V, A, W], arrays
        scratch: rows to calculate in, of which the first four are used [-], array
    Returns:
        nothing; `point` is filled [-]
    Source: single-diode equation with the load folded into the series resistance.
    """
    photocurrent, saturation, shunt, thermal, series, resistance = row
    voltage, current, power = point
    dark = _at_least(saturation, TINY)
    ratio, slope, leaking, source = power, current, voltage, scratch[3]
    np.add(resistance, series, out=ratio)
    np.divide(thermal, ratio, out=ratio)
    np.divide(thermal, shunt, out=slope)
    slope += ratio
    np.divide(dark, slope, out=leaking)
    np.add(photocurrent, dark, out=source)
    source /= slope
    junction_ratio(source, leaking, current, scratch)
    current *= ratio
    # Rounding must not make the dark give a current, nor the sun more than all of its own.
    np.minimum(current, photocurrent, out=current)
    if current.min() < 0.0:
        np.maximum(current, 0.0, out=current)
    np.multiply(current, resistance, out=voltage)
    np.multiply(current, voltage, out=power)


def junction_ratio(
    source: FloatArray, leaking: FloatArray, junction: FloatArray, scratch: FloatArray
) -> None:
    """The u for which u + y e^u = x.

    With w = y e^u it reads w + ln w = ln y + x, the Wright omega function, and u = x - w. The
    last step corrects u and not w: in a large x, x - w would lose the digits of a small u. Only
    there a logarithm is taken in double precision, one of y / w.

    Parameters:
        source: x [-], array
        leaking: y [-], array
        junction: row that takes u [-], array
        scratch: rows to calculate in, of which the first three are used [-], array
    Returns:
        nothing; `junction` is filled [-]
    Source: with w (1 + e) in the place of w, r = ln y + x - w - ln w and q = 1 + w, the equation
        reads q e - e^2 / 2 + e^3 / 3 - ... = r, and its root begins r / q + r^2 / (2 q^3), of
        which the rest is far below a double's digits; Corless & Jeffrey, The Wright omega
        function (2002) (from memory).
    """
    w, rest = scratch[:2]
    w[...] = near_omega(source, leaking, scratch)
    np.subtract(source, w, out=junction)
    np.divide(leaking, w, out=rest)
    np.log(rest, out=rest)
    rest += junction
    step = scratch[2]
    np.add(w, 1.0, out=step)
    rest /= step
    np.divide(rest, step, out=step)
    step *= 0.5
    step += 1.0
    rest *= step
    rest *= w
    junction -= rest


def near_omega(source: FloatArray, leaking: FloatArray, scratch: FloatArray) -> SingleArray:
    """Wright omega function of ln y + x in single precision: the w for which w + ln w = ln y + x.

    The start is a sum that needs no choice between branches: with z = ln y + x, up to z = 1 its
    first part rises as e^z does, and stays there; its second is nothing up to z = 1 and grows as
    z - ln z from there.

    Parameters:
        source: x [-], array
        leaking: y [-], array, above 0
        scratch: rows to calculate in, of which the first three are used [-], array
    Returns:
        w [-], in the third row of the scratch; z below -80 counts as -80
    Source: the series of `junction_ratio` to its third power; Corless & Jeffrey, The Wright omega
        function (2002) (from memory); the start is fitted here.
    """
    near, small = _in_single(scratch[0])
    part, log = _in_single(scratch[1])
    w: SingleArray
    w, _ = _in_single(scratch[2])
    _log_in_single(leaking, near, scratch[1])
    part[...] = source
    near += part
    if near.min() < _LEAST_EXPONENT:
        np.maximum(near, _LEAST_EXPONENT, out=near)
    np.minimum(near, 1.0, out=small)
    np.exp(small, out=small)
    np.multiply(small, _RISE, out=part)
    part += 1.0
    small /= part
    _large_omega(near, w, part, log)
    w -= 1.0
    w += small

    # One step with r = z - w - ln w, q = 1 + w, e = r / q: w becomes
    # w (1 + e (1 + e / q (1 + e / q - 2 e / 3) / 2)), off by the fourth power of the start's 7 %.
    np.log(w, out=log)
    near -= log
    near -= w
    np.add(w, 1.0, out=part)
    near /= part
    np.divide(near, part, out=part)
    np.multiply(near, -2.0 / 3.0, out=log)
    log += part
    log += 1.0
    log *= part
    log *= 0.5
    log += 1.0
    near *= log
    near *= w
    w += near
    return w


def _log_in_single(values: FloatArray, log: SingleArray, scratch: FloatArray) -> None:
    """Logarithm of numbers into single precision; in double only of what single does not hold."""
    if values.min() >= _LEAST_IN_SINGLE and values.max() <= _MOST_IN_SINGLE:
        log[...] = values
        np.log(log, out=log)
    else:
        np.log(values, out=scratch)
        log[...] = scratch


def _large_omega(z: SingleArray, w: SingleArray, part: SingleArray, log: SingleArray) -> None:
    """Wright omega function of z above 1 to some 2 %, and 1 of z below, into w."""
    np.maximum(z, 1.0, out=w)
    np.log(w, out=log)
    np.add(w, 1.0, out=part)
    log /= part
    log *= w
    w -= log


def at_greatest_power(row: Row, point: Row, scratch: FloatArray) -> None:
    """Arrays at the voltage at which they give most.

    As a part of IL + I0 the current is i = 1 - e - g u with e = exp(u - l), l = ln(1 + IL / I0)
    and g = a / (Rsh (IL + I0)). With r = 2 Rs (IL + I0) / a, power is greatest where
    i = (e + g) (u - r i).

    Parameters:
        row: photocurrent, saturation current, shunt resistance, thermal voltage, series
            resistance [A, V, ohm], arrays
        point: rows that take voltage, current and power [V, A, W], arrays
        scratch: rows to calculate in, of which the first seven are used [-], array
    Returns:
        nothing; `point` is filled [-]
    Source: dP/dV = 0 of the single-diode equation, P = I (V - I Rs), V over the junction.
    """
    photocurrent, saturation, shunt, thermal, series = row
    voltage, current, power = point
    whole, span, leak, drop, ratio = scratch[:5]
    light, dark = _at_least(photocurrent, 0.0), _at_least(saturation, TINY)
    np.add(light, dark, out=whole)
    np.divide(whole, dark, out=span)
    np.log(span, out=span)
    np.divide(thermal, shunt, out=leak)
    leak /= whole
    np.multiply(whole, 2.0 * series, out=drop)
    drop /= thermal
    grown = _best_ratio((span, leak, drop), ratio, (*scratch[5:7], *point))

    np.multiply(leak, ratio, out=current)
    current += grown
    np.subtract(1.0, current, out=current)
    current *= whole
    np.minimum(current, light, out=current)
    np.maximum(current, 0.0, out=current)
    np.multiply(ratio, thermal, out=voltage)
    np.multiply(current, series, out=power)
    voltage -= power
    np.multiply(current, voltage, out=power)


def _best_ratio(form: Row, ratio: FloatArray, work: Row) -> FloatArray:
    """Write the u of greatest power into `ratio` and give its e back."""
    # What overflows or is no number has not settled, and is found between brackets.
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        ratio[...] = _near_best_ratio(form, [half for row in work for half in _in_single(row)])
        step, grown = _newton_step(ratio, form, work)
        ratio += step
        lost = ~(np.abs(step) <= _SETTLED * ratio)
        # The exponential follows a step as small as this by its series.
        step *= 1.0 + 0.5 * step
        step += 1.0
        grown *= step
    if lost.any():
        ratio[lost], grown[lost] = _bracketed_best(*(values[lost] for values in form))
    return grown


def _near_best_ratio(form: Row, work: Sequence[SingleArray]) -> SingleArray:
    """The u of greatest power in single precision.

    It starts at the maximum power point of a diode without resistances, 1 + u = omega(1 + l),
    shifted by what the series resistance drops.
    """
    span, leak, drop, ratio = work[:4]
    shift, z, part, log = work[4:8]
    span[...], leak[...], drop[...] = form
    np.multiply(drop, _PART_OF_PHOTOCURRENT, out=shift)
    np.subtract(span, shift, out=z)
    z += 1.0
    _large_omega(z, ratio, part, log)
    ratio -= 1.0
    ratio += shift
    # Never beyond open circuit, be it the diode's or the shunt's.
    np.minimum(ratio, span, out=ratio)
    np.divide(1.0, leak, out=part)
    np.minimum(ratio, part, out=ratio)
    for _ in range(_STEPS_IN_SINGLE):
        step, _ = _newton_step(ratio, (span, leak, drop), work[4:9])
        ratio += step
    return ratio


def _newton_step(
    ratio: NDArray[Real], form: Sequence[NDArray[Real]], work: Sequence[NDArray[Real]]
) -> tuple[NDArray[Real], NDArray[Real]]:
    """Newton's step of u towards greatest power, in either precision, and the e before it.

    The gradient is i - s (u - r i) with s = e + g, its fall s (2 + r s) + e (u - r i).
    """
    span, leak, drop = form
    grown, gradient, margin, slope, fall = work
    current = gradient
    np.subtract(ratio, span, out=grown)
    np.exp(grown, out=grown)
    np.multiply(leak, ratio, out=current)
    current += grown
    np.subtract(1.0, current, out=current)
    np.multiply(drop, current, out=margin)
    np.subtract(ratio, margin, out=margin)
    np.add(grown, leak, out=slope)
    np.multiply(slope, margin, out=fall)
    gradient -= fall
    np.multiply(drop, slope, out=fall)
    fall += 2.0
    fall *= slope
    margin *= grown
    fall += margin
    gradient /= fall
    return gradient, grown


def _bracketed_best(
    span: FloatArray, leak: FloatArray, drop: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """The same u and its e, by halving between short circuit and open circuit, where the gradient
    changes its sign once because power is concave in the voltage."""
    low, high = np.zeros_like(span), np.minimum(span, 1.0 / np.maximum(leak, TINY))
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        current = -np.expm1(middle - span) - leak * middle
        slope = np.exp(middle - span) + leak
        rising = current > slope * (middle - drop * current)
        low, high = np.where(rising, middle, low), np.where(rising, high, middle)
    return low, np.exp(low - span)


def _at_least(values: FloatArray, least: float) -> FloatArray:
    """The values themselves unless one of them is lower, since looking costs less than a copy."""
    return values if values.min() >= least else np.maximum(values, least)


BLOCK: Final = 20_480
"""Points worked on at a time: fewer cost more calls, more leave the cache."""


Row = tuple[FloatArray, ...]
"""Values of a block's points: each as long as the block, or without dimensions for all."""


Fill = Callable[[Row, Row, FloatArray], None]
"""Fills the rows of its second argument from those of its first, calculating in its third."""


_CACHE_LINE: Final = 8
"""Doubles in a line of the processor's cache, or in its widest register."""


def in_blocks(
    fill: Fill, inputs: tuple[Floats, ...], outputs: int, scratch_rows: int = 0
) -> tuple[Floats, ...]:
    """Let a function fill its results block by block, and give them the broadcast shape.

    Parameters:
        fill: function of a block's rows, the rows of its results and the scratch [callable]
        inputs: what is taken [their own units], scalars or arrays
        outputs: number of results [-], scalar
        scratch_rows: rows that it calculates in [-], scalar
    Returns:
        the results [their own units], each of the shape to which the inputs broadcast
    Source: none needed.
    """
    arrays = [np.asarray(value, dtype=np.float64) for value in inputs]
    shape = np.broadcast_shapes(*(array.shape for array in arrays))
    size = math.prod(shape)
    rows = [_row(array, shape) for array in arrays]
    filled = aligned_rows(outputs, size)
    scratch = aligned_rows(scratch_rows, min(size, BLOCK))
    for start in range(0, size, BLOCK):
        part = slice(start, min(start + BLOCK, size))
        block = tuple(row[part] if row.ndim else row for row in rows)
        fill(block, tuple(filled[:, part]), scratch[:, : part.stop - start])
    return tuple(row.reshape(shape)[()] for row in filled)


def in_pieces(
    formula: Callable[..., Row], inputs: tuple[Floats, ...], outputs: int
) -> tuple[Floats, ...]:
    """Results of a formula, block by block where the arrays are long.

    Parameters:
        formula: function of as many arrays as there are inputs, gives its results [callable]
        inputs: what is taken [their own units], scalars or arrays
        outputs: number of results [-], scalar
    Returns:
        the results [their own units], each of the shape to which the inputs broadcast
    Source: none needed.
    """
    arrays = [np.asarray(value, dtype=np.float64) for value in inputs]
    if all(array.size <= BLOCK for array in arrays):
        return tuple(result[()] for result in formula(*arrays))

    def fill(row: Row, results: Row, _: FloatArray) -> None:
        for result, value in zip(results, formula(*row), strict=True):
            result[...] = value

    return in_blocks(fill, inputs, outputs)


def _row(array: FloatArray, shape: tuple[int, ...]) -> FloatArray:
    """One dimension for all points; none where one value stands for all, which is faster."""
    return array.reshape(()) if array.size == 1 else np.broadcast_to(array, shape).reshape(-1)


def aligned_rows(count: int, size: int) -> FloatArray:
    """Rows that each begin where a line of the processor's cache begins.

    An addition of rows that begin elsewhere takes up to twice as long.

    Parameters:
        count: number of rows [-], scalar
        size: points of a row [-], scalar
    Returns:
        rows [-], not yet filled
    Source: none needed.
    """
    stride = -(-size // _CACHE_LINE) * _CACHE_LINE
    room = np.empty(count * stride + _CACHE_LINE)
    start = -room.ctypes.data // room.itemsize % _CACHE_LINE
    return room[start : start + count * stride].reshape(count, stride)[:, :size]
