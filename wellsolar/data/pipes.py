"""Bores, roughness, Hazen-Williams coefficients and pressure classes of a house well's pipes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from types import MappingProxyType
from typing import Final

import numpy as np

from wellsolar.constants import BAR, FOOT, INCH, PSI
from wellsolar.data import rows
from wellsolar.errors import OutOfRange

NOMINAL_DIAMETERS: Final = MappingProxyType(
    {
        "1/2 in": "DN 15", "3/4 in": "DN 20", "1 in": "DN 25", "1 1/4 in": "DN 32",
        "1 1/2 in": "DN 40", "2 in": "DN 50", "2 1/2 in": "DN 65", "3 in": "DN 80",
    }
)  # fmt: skip
"""The metric name of each nominal size in inches: ASME B36.10M and ISO 6708 (from memory)."""

LEAST_WALLS: Final = MappingProxyType({"SIDR": 0.060 * INCH, "DR": 0.062 * INCH})
"""Of polyethylene by inside and by outside diameter [m], see data/pipe_walls.csv."""

MEAN_WALL: Final = 1.06
"""Mean over least wall of polyethylene by outside diameter [-], see data/pipe_walls.csv."""

_SMOOTH: Final = "polyethylene SIDR"
_IRON_SIZES: Final = "galvanised steel"


@dataclass(frozen=True)
class PipeSize:
    """One nominal size of one material.

    material: as in the table, "PVC sch 40"; nominal: as the trade writes it, "1 1/4 in".
    bore: true inside diameter [m]; outside_diameter: [m].
    roughness: [m]; hazen_williams_coefficient: C in its customary units.
    provenance: where the bore was read.
    diameter, wall: the two halves of its name, "63 mm" and "SDR 11"; no wall where the material
        tells it.
    listed: the name in the table, of which this may be another.
    """

    material: str
    nominal: str
    bore: float
    outside_diameter: float
    roughness: float
    hazen_williams_coefficient: float
    provenance: str
    diameter: str
    wall: str
    listed: str

    @property
    def series(self) -> tuple[str, str]:
        """How it is named: the unit of its diameter, and its wall."""
        return "DN" if self.diameter.startswith("DN") else self.diameter.split()[-1], self.wall


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
def _sizes_of(material: str) -> Mapping[str, PipeSize]:
    """Every size of a material by its name; no more than is asked for, as walls make hundreds."""
    sizes = {size.nominal: size for size in _inch_sizes(material)}
    for row in rows("pipe_walls"):
        if row["material"] == material:
            sizes |= {size.nominal: size for size in _with_wall(material, row["wall"])}
    sizes |= {size.nominal: size for size in _metric_sizes(material)}
    for size in [*sizes.values()]:
        if size.diameter in NOMINAL_DIAMETERS:
            metric = NOMINAL_DIAMETERS[size.diameter]
            name = f"{metric} {size.wall}".strip()
            sizes[name] = replace(size, nominal=name, diameter=metric)
    return MappingProxyType(sizes)


def _inch_sizes(material: str) -> Iterator[PipeSize]:
    for row in rows("pipe_bores"):
        if row["material"] == material:
            yield PipeSize(
                material=row["material"],
                nominal=row["nominal"],
                bore=float(row["bore_in"]) * INCH,
                outside_diameter=float(row["outside_diameter_in"]) * INCH,
                roughness=float(row["roughness_mm"]) * 1e-3,
                hazen_williams_coefficient=float(row["hazen_williams_c"]),
                provenance=row["provenance"],
                diameter=row["nominal"],
                wall="",
                listed=row["nominal"],
            )


def _with_wall(material: str, wall: str) -> Iterator[PipeSize]:
    """The inch sizes of polyethylene of one wall ratio, by inside or by outside diameter."""
    kind, ratio = wall.split()
    for smooth in _inch_sizes(_SMOOTH):
        if kind == "SIDR":
            bore = smooth.bore
            outside = bore + 2.0 * max(LEAST_WALLS[kind], bore / float(ratio))
        else:
            outside = _sizes_of(_IRON_SIZES)[smooth.nominal].outside_diameter
            bore = outside - 2.0 * MEAN_WALL * max(LEAST_WALLS[kind], outside / float(ratio))
        name = f"{smooth.nominal} {wall}"
        yield replace(
            smooth, material=material, nominal=name, bore=bore, outside_diameter=outside,
            wall=wall, listed=name,
        )  # fmt: skip


def _metric_sizes(material: str) -> Iterator[PipeSize]:
    """By wall ratio and again by class, which name one pipe."""
    for row in rows("pipe_metric"):
        if row["material"] != material:
            continue
        outside, wall = (
            0.5e-3 * (float(row[f"{what}_least"]) + float(row[f"{what}_most"]))
            for what in ("outside", "wall")
        )
        for name in dict.fromkeys((row["wall"], row["class"])):
            yield PipeSize(
                material=row["material"],
                nominal=f"{row['diameter']} {name}".strip(),
                bore=outside - 2.0 * wall,
                outside_diameter=outside,
                roughness=float(row["roughness_mm"]) * 1e-3,
                hazen_williams_coefficient=float(row["hazen_williams_c"]),
                provenance=row["provenance"],
                diameter=row["diameter"],
                wall=name,
                listed=f"{row['diameter']} {row['wall']}".strip(),
            )


@cache
def materials() -> tuple[str, ...]:
    """Names of the pipe materials in the table.

    Returns:
        names as a site file writes them [text]
    Source: data/pipe_bores.csv, pipe_walls.csv and pipe_metric.csv, sources named there.
    """
    tables = ("pipe_bores", "pipe_walls", "pipe_metric")
    return tuple(dict.fromkeys(row["material"] for name in tables for row in rows(name)))


def sizes(material: str) -> tuple[str, ...]:
    """Nominal sizes of a material, as its table names them.

    Parameters:
        material: name in the table [text]
    Returns:
        nominal sizes, of each wall the smallest first [text]
    Raises:
        OutOfRange: there is no such material; the message lists what exists
    Source: data/pipe_bores.csv, pipe_walls.csv and pipe_metric.csv, sources named there.
    """
    if material not in materials():
        raise OutOfRange(
            f"no pipe material {material!r} in the table; there is {_listed(materials())}"
        )
    return tuple(name for name, size in _sizes_of(material).items() if size.listed == name)


def pipe_size(material: str, nominal: str) -> PipeSize:
    """The pipe of a material and nominal size.

    Parameters:
        material: name in the table [text]
        nominal: size as the trade writes it: "1 1/4 in", "DN 32", "63 mm SDR 11", "63 mm PN 16"
            [text]
    Returns:
        its PipeSize [-]
    Raises:
        OutOfRange: there is no such pipe; the message lists what exists
    Source: data/pipe_bores.csv, pipe_walls.csv and pipe_metric.csv, sources named there.
    """
    known = sizes(material)
    if nominal not in _sizes_of(material):
        raise OutOfRange(
            f"no {material} pipe of nominal size {nominal!r} in the table; "
            f"there is {_listed(known)}"
        )
    return _sizes_of(material)[nominal]


def named_alike(material: str, size: PipeSize) -> tuple[PipeSize, ...]:
    """The sizes of a material that are named as a pipe is: in inches or as DN, and by a wall.

    Parameters:
        material: name in the table [text]
        size: of the pipe [-]
    Returns:
        from the smallest to the largest [-]
    Source: data/pipe_bores.csv, pipe_walls.csv and pipe_metric.csv, sources named there.
    """
    pipe_sizes = (
        pipe_size for pipe_size in _sizes_of(material).values() if pipe_size.series == size.series
    )
    return tuple(sorted(pipe_sizes, key=lambda pipe_size: pipe_size.bore))


def other_walls(size: PipeSize) -> tuple[PipeSize, ...]:
    """The pipes of a material and diameter that are made in several walls.

    Parameters:
        size: of one of them [-]
    Returns:
        all of them whose walls are named alike, as by SDR, the weakest first [-]
    Source: data/pipe_walls.csv and pipe_metric.csv, sources named there.
    """
    kind = size.wall.split(" ", 1)[0]
    pipe_sizes = (
        pipe_size
        for pipe_size in _sizes_of(size.material).values()
        if pipe_size.diameter == size.diameter and pipe_size.wall.split(" ", 1)[0] == kind
    )
    return tuple(sorted(pipe_sizes, key=lambda pipe_size: -pipe_size.bore)) if size.wall else ()


@cache
def pressure_classes(material: str, nominal: str, in_well: bool) -> tuple[PressureClass, ...]:
    """The classes in which a pipe is made: one where material and size tell its wall, several
    where neither does, as of polyethylene without its resin; none for a size that no table has.

    Parameters:
        material: name in the table [text]
        nominal: size as the trade writes it, "1 1/4 in" [text]
        in_well: True for a drop pipe, which may be threaded [-]
    Returns:
        from the weakest to the strongest [-]
    Source: data/pipe_classes.csv, pipe_walls.csv and pipe_metric.csv, sources named there.
    """
    size = _sizes_of(material).get(nominal)
    if size is not None:
        nominal = size.listed
    for row in rows("pipe_walls"):
        if size is not None and (row["material"], row["wall"]) == (material, size.wall):
            depth = float(row["greatest_depth_ft"]) * FOOT
            pressure = float(row["pressure_psi"]) * PSI
            return (PressureClass(size.wall, pressure, depth, row["provenance"]),)
    for row in rows("pipe_metric"):
        if row["material"] == material and f"{row['diameter']} {row['wall']}".strip() == nominal:
            deepest = float(row["greatest_depth_m"]) if row["greatest_depth_m"] else None
            provenance = row["provenance"] if row["class"] else "common practice"
            pressure = float(row["pressure_bar"]) * BAR
            return (PressureClass(row["class"], pressure, deepest, provenance),)
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
    longest = max((row["material"] for row in points), key=len)
    points = [row for row in points if row["material"] == longest]
    warm = [(float(row["temperature_F"]) - 32.0) / 1.8 for row in points]
    return float(np.interp(temperature, warm, [float(row["factor"]) for row in points], right=0.0))


def _listed(names: tuple[str, ...]) -> str:
    return ", ".join(names)
