"""Bores, roughness, Hazen-Williams coefficients and pressure classes of a house well's pipes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import numpy as np

from wellsolar.constants import FOOT, INCH, PSI
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


@dataclass(frozen=True)
class PressureClass:
    """What a pipe of one wall is made for.

    name: as the trade calls the wall; pressure: in water of 73 degF, by its joints [Pa].
    greatest_depth: of a pump that hangs on it [m]; None where no limit is known.
    provenance: of the pressure.
    """

    name: str
    pressure: float
    greatest_depth: float | None
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


@cache
def pressure_classes(material: str, nominal: str, in_well: bool) -> tuple[PressureClass, ...]:
    """The classes in which a pipe is made: one where material and size tell its wall, several
    where neither does, as of polyethylene, whose resin counts too.

    Parameters:
        material: name in the table [text]
        nominal: size as the trade writes it, "1 1/4 in" [text]
        in_well: True for a drop pipe, which may be threaded [-]
    Returns:
        from the weakest to the strongest [-]
    Source: data/pipe_classes.csv, sources named there.
    """
    column = "in_well_psi" if in_well else "pressure_psi"
    return tuple(
        PressureClass(
            row["class"],
            float(row[column]) * PSI,
            float(row["greatest_depth_ft"]) * FOOT if row["greatest_depth_ft"] else None,
            row["provenance"],
        )
        for row in rows("pipe_classes")
        if row["material"] == material and row["nominal"] in ("", nominal)
    )


@cache
def share_when_warm(material: str, temperature: float) -> float:
    """What is left of a pressure class in warm water.

    Parameters:
        material: name in the table [text]
        temperature: of the water [degC]
    Returns:
        share of the class, 1 for metal and in cold water, 0 where the pipe is for no pressure [-]
    Source: data/pipe_temperature.csv, sources named there.
    """
    points = [row for row in rows("pipe_temperature") if material.startswith(row["material"])]
    if not points:
        return 1.0
    warm = [(float(row["temperature_F"]) - 32.0) / 1.8 for row in points]
    return float(np.interp(temperature, warm, [float(row["factor"]) for row in points], right=0.0))


def _listed(names: tuple[str, ...]) -> str:
    return ", ".join(names)
