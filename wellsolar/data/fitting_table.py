"""Loss coefficients and equivalent lengths of fittings, each with its source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final

from wellsolar.data import rows
from wellsolar.errors import OutOfRange


@dataclass(frozen=True)
class Fitting:
    """One kind of fitting.

    loss_coefficient: loss in velocity heads, K [-].
    equivalent_diameters: length of straight pipe with the same loss, in bores, L/D [-].
    source, provenance: where the two numbers come from and how they were seen.
    """

    kind: str
    loss_coefficient: float
    equivalent_diameters: float
    source: str
    provenance: str


@cache
def _table() -> Mapping[str, Fitting]:
    return MappingProxyType(
        {
            row["kind"]: Fitting(
                kind=row["kind"],
                loss_coefficient=float(row["loss_coefficient"]),
                equivalent_diameters=float(row["equivalent_diameters"]),
                source=row["source"],
                provenance=row["provenance"],
            )
            for row in rows("fittings")
        }
    )


OTHER: Final = "other"
"""What a site file calls a fitting that the table has not."""


def kinds_or_other() -> tuple[str, ...]:
    """Kinds of fitting that a site file may name.

    Returns:
        those of the table, and that for one whose loss the file gives [text]
    Source: data/fittings.csv, sources named there.
    """
    return (*kinds(), OTHER)


def kinds() -> tuple[str, ...]:
    """Kinds of fitting in the table.

    Returns:
        names as a site file writes them [text]
    Source: data/fittings.csv, sources named there.
    """
    return tuple(_table())


def fitting(kind: str) -> Fitting:
    """The fitting of a kind.

    Parameters:
        kind: name in the table [text]
    Returns:
        its Fitting [-]
    Raises:
        OutOfRange: there is no such kind; the message lists what exists
    Source: data/fittings.csv, sources named there.
    """
    if kind not in _table():
        raise OutOfRange(f"no fitting {kind!r} in the table; there is {', '.join(kinds())}")
    return _table()[kind]
