"""What is sold: standard sizes, and the next one up or down from what is needed."""

from __future__ import annotations

from typing import Literal, get_args

from wellsolar.data import rows
from wellsolar.kinds import Kind
from wellsolar.units import Quantity, read

Sold = Literal[
    "pressure tank", "storage tank", "water heater", "expansion tank", "motor", "inverter",
    "generator", "cylinder", "lever", "stroke", "rod", "relief valve", "relief capacity",
    "switch cut-out", "switch voltage", "switch current",
]  # fmt: skip
"""What has standard sizes here; an inverter's and a generator's serve for rating and surge."""

ROUND_OFF = 1e-9
"""Part of a size by which what is needed may exceed it as round-off of units."""

READ: dict[tuple[Sold, str], tuple[Quantity, ...]] = {}
"""The sizes that were read already, by what is sold and the name of their kind: a study asks for
them in hundreds of cases."""


def sizes(sold: Sold, kind: Kind) -> tuple[Quantity, ...]:
    """The sizes of something, from small to large.

    Parameters:
        sold: what it is
        kind: of its sizes
    Returns:
        each with its text as a site file may have it, in SI
    Source: data/standard_sizes.csv.
    """
    assert sold in get_args(Sold), sold
    if (sold, kind.name) not in READ:
        READ[sold, kind.name] = tuple(
            read(f"{row['size']} {row['unit']}".strip(), kind)
            for row in rows("standard_sizes")
            if row["what"] == sold
        )
    return READ[sold, kind.name]


def next_up(sold: Sold, needed: float, kind: Kind) -> Quantity | None:
    """The smallest size that is no less than what is needed.

    Parameters:
        sold: what it is
        needed: in SI of its kind
        kind: of its sizes
    Returns:
        the size; None where nothing so large is sold: then say what is needed itself
    Source: data/standard_sizes.csv.
    """
    enough = (size for size in sizes(sold, kind) if size >= needed * (1.0 - ROUND_OFF))
    return next(enough, None)


def next_down(sold: Sold, most: float, kind: Kind) -> Quantity | None:
    """The largest size that is no more than what is allowed; None where all are larger.

    Parameters:
        sold: what it is
        most: in SI of its kind
        kind: of its sizes
    Returns:
        the size, or None
    Source: data/standard_sizes.csv.
    """
    small = [size for size in sizes(sold, kind) if size <= most * (1.0 + ROUND_OFF)]
    return small[-1] if small else None
