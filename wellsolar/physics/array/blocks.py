"""Long arrays worked through in blocks that stay in the processor's cache."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

import numpy as np

from wellsolar.physics.types import FloatArray, Floats

BLOCK: Final = 12_288
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
