"""What the datasheet of a crystalline module can plausibly say."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from wellsolar.data import rows


class ModuleLimit(NamedTuple):
    """Bounds of one figure of a datasheet: a ratio, or a relative coefficient [1/K]."""

    quantity: str
    least: float
    most: float


@cache
def module_limits() -> tuple[ModuleLimit, ...]:
    """The bounds, in the order of the table.

    Returns:
        name and bounds of each figure: ratios [-] and coefficients [1/K]
    Source: data/module_limits.csv, source named there.
    """
    return tuple(
        ModuleLimit(row["quantity"], float(row["least"]), float(row["most"]))
        for row in rows("module_limits")
    )
