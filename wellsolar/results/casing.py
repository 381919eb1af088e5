"""What hangs side by side in the well. Every field is in SI, temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class CasingBody:
    """Something that hangs in the well; diameter [m], and its ends below the ground [m]."""

    name: str
    diameter: float
    top: float
    bottom: float


@dataclass(frozen=True)
class CasingSection:
    """What hangs side by side between two depths [m].

    bodies: their names; smallest_circle: round all of them [m]
    clearance: what the casing has over it, negative where they do not fit [m]
    """

    top: float
    bottom: float
    bodies: tuple[str, ...]
    smallest_circle: float
    clearance: float


@dataclass(frozen=True)
class CasingResult:
    """The fit in the casing.

    bore: of the casing [m]; clearance_wanted: as a difference of diameters [m]
    bodies: all that hangs in the well; sections: from the top down, empty depths left out
    tightest: number of the tightest section, from 0
    """

    bore: float
    clearance_wanted: float
    bodies: tuple[CasingBody, ...]
    sections: tuple[CasingSection, ...]
    tightest: int
