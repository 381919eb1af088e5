"""What is sold: standard sizes, and the next one up or down from what is needed."""

from __future__ import annotations

from typing import Literal, get_args

from wellsolar.data import rows
from wellsolar.kinds import Kind
from wellsolar.units import Quantity, System, read

Sold = Literal[
    "pressure tank", "storage tank", "water heater", "expansion tank", "motor", "inverter",
    "generator", "cylinder", "lever", "stroke", "rod", "relief valve", "relief capacity",
    "switch cut-out", "switch voltage", "switch current", "pump flow", "battery",
]  # fmt: skip
"""What has standard sizes here; an inverter's and a generator's serve for rating and surge."""

ROUND_OFF = 1e-9
"""Part of a size by which what is needed may exceed it as round-off of units."""

READ: dict[tuple[Sold, str, System], tuple[Quantity, ...]] = {}
"""The sizes that were read already, by what is sold, the name of their kind and
the market: a study asks for
them in hundreds of cases."""


def sizes(sold: Sold, kind: Kind, system: System = "US") -> tuple[Quantity, ...]:
    """The sizes of something, from small to large.

    Parameters:
        system: of units at the site, which tells what its counters sell
    Returns:
        each with its text as a site file may have it, in SI
    Source: data/standard_sizes.csv.
    """
    assert sold in get_args(Sold), sold
    if (sold, kind.name, system) not in READ:
        listed = [row for row in rows("standard_sizes") if row["what"] == sold]
        own = [row for row in listed if row["market"] == system] or listed
        READ[sold, kind.name, system] = tuple(
            read(f"{row['size']} {row['unit']}".strip(), kind) for row in own
        )
    return READ[sold, kind.name, system]


def next_up(sold: Sold, needed: float, kind: Kind, system: System = "US") -> Quantity | None:
    """The smallest size that is no less than what is needed.

    Parameters:
        needed: in SI of its kind
    Returns:
        the size; None where nothing so large is sold: then say what is needed itself
    Source: data/standard_sizes.csv.
    """
    enough = (size for size in sizes(sold, kind, system) if size >= needed * (1.0 - ROUND_OFF))
    return next(enough, None)


def next_down(sold: Sold, most: float, kind: Kind, system: System = "US") -> Quantity | None:
    """The largest size that is no more than what is allowed; None where all are larger.

    Parameters:
        most: in SI of its kind
    Source: data/standard_sizes.csv.
    """
    small = [size for size in sizes(sold, kind, system) if size <= most * (1.0 + ROUND_OFF)]
    return small[-1] if small else None
