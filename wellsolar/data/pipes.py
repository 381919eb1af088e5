"""Bores, roughness and Hazen-Williams coefficients of the pipes a house well uses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from wellsolar.constants import INCH
from wellsolar.data import rows
from wellsolar.errors import OutOfRange


@dataclass(frozen=True)
class PipeSize:
    """One nominal size of one material.

    material: as in the table, "PVC sch 40"; nominal: as the trade writes it, "1 1/4 in".
    bore: true inside diameter [m]; outside_diameter: [m].
    roughness: [m]; hazen_williams_coefficient: C in its customary units.
    provenance: where the bore was read.
    """

    material: str
    nominal: str
    bore: float
    outside_diameter: float
    roughness: float
    hazen_williams_coefficient: float
    provenance: str


@cache
def _table() -> Mapping[str, Mapping[str, PipeSize]]:
    table: dict[str, dict[str, PipeSize]] = {}
    for row in rows("pipe_bores"):
        table.setdefault(row["material"], {})[row["nominal"]] = PipeSize(
            material=row["material"],
            nominal=row["nominal"],
            bore=float(row["bore_in"]) * INCH,
            outside_diameter=float(row["outside_diameter_in"]) * INCH,
            roughness=float(row["roughness_mm"]) * 1e-3,
            hazen_williams_coefficient=float(row["hazen_williams_c"]),
            provenance=row["provenance"],
        )
    return MappingProxyType({name: MappingProxyType(sizes) for name, sizes in table.items()})


def materials() -> tuple[str, ...]:
    """Names of the pipe materials in the table.

    Returns:
        names as a site file writes them [text]
    Source: data/pipe_bores.csv, sources named there.
    """
    return tuple(_table())


def sizes(material: str) -> tuple[str, ...]:
    """Nominal sizes of a material.

    Parameters:
        material: name in the table [text]
    Returns:
        nominal sizes, smallest first [text]
    Raises:
        OutOfRange: there is no such material; the message lists what exists
    Source: data/pipe_bores.csv, sources named there.
    """
    if material not in _table():
        raise OutOfRange(
            f"no pipe material {material!r} in the table; there is {_listed(materials())}"
        )
    return tuple(_table()[material])


def pipe_size(material: str, nominal: str) -> PipeSize:
    """The pipe of a material and nominal size.

    Parameters:
        material: name in the table [text]
        nominal: size as the trade writes it, "1 1/4 in" [text]
    Returns:
        its PipeSize [-]
    Raises:
        OutOfRange: there is no such pipe; the message lists what exists
    Source: data/pipe_bores.csv, sources named there.
    """
    if nominal not in sizes(material):
        raise OutOfRange(
            f"no {material} pipe of nominal size {nominal!r} in the table; "
            f"there is {_listed(sizes(material))}"
        )
    return _table()[material][nominal]


def _listed(names: tuple[str, ...]) -> str:
    return ", ".join(names)
