"""The shipped hot-water tables in SI: burns, draws, mixing valves, elements, federal ratings."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Final, Literal, NamedTuple

from wellsolar.constants import US_GALLON
from wellsolar.data import rows
from wellsolar.errors import OutOfRange

Degree = Literal["second", "third"]

FIRST_DRAW: Final = 6 * 3600.0
"""Clock time of a pattern's first draw [s], 6:00; the regulation sets none, common practice,
no source."""


BINS: Final = {"very small": 18.0, "low": 51.0, "medium": 75.0}
"""Pattern of the federal test -> first-hour rating below which a heater is tested by it [US gal],
beyond them "high": 10 CFR 430 Subpart B App. E, 5.4.1 (from memory)."""


class BurnRow(NamedTuple):
    """One row of a burn table: adult exposure [s] at a water temperature [degC]."""

    table: str
    degree: Degree
    temperature: float
    seconds: float
    provenance: str


class Draw(NamedTuple):
    """One draw: start [s] after the first draw of the pattern, volume [m3], flow [m3/s]."""

    start: float
    volume: float
    flow: float


class MixingValve(NamedTuple):
    """What a mixing-valve standard covers; settings and supply [degC], nan where none is stated.

    least_drop: from the supply to the outlet, at least [K]
    """

    standard: str
    joint_standards: str
    covers: str
    place: str
    limits_scald: bool
    prevents_thermal_shock: bool
    lowest_setting: float
    highest_setting: float
    lowest_supply: float
    highest_supply: float
    least_drop: float


class ElementRating(NamedTuple):
    """Marked voltage [V] and power [W] of an element, and provenance."""

    rated_voltage: float
    rated_power: float
    provenance: str


@cache
def burn_rows(degree: Degree) -> Mapping[str, tuple[BurnRow, ...]]:
    """The burn tables of a degree, each coolest row first.

    Parameters:
        degree: "second" or "third" (full thickness) [text]
    Returns:
        rows [degC, s] by name of table
    Source: data/burn_times.csv, sources named there.
    """
    tables: dict[str, list[BurnRow]] = {}
    for row in rows("burn_times"):
        if row["degree"] == degree:
            printed = float(row["printed_temperature"])
            tables.setdefault(row["table"], []).append(
                BurnRow(
                    row["table"],
                    degree,
                    _celsius(printed) if row["printed_unit"] == "degF" else printed,
                    float(row["seconds"]),
                    row["provenance"],
                )
            )
    return {
        name: tuple(sorted(table, key=lambda row: row.temperature))
        for name, table in tables.items()
    }


@cache
def draw_pattern(name: str) -> tuple[Draw, ...]:
    """The draws of a federal pattern.

    Parameters:
        name: "very small", "low", "medium" or "high" [text]
    Returns:
        draws in order: start [s] after the first draw, volume [m3], flow [m3/s]
    Raises:
        OutOfRange: a name that is none of the four
    Source: 10 CFR 430 Subpart B App. E, Tables III.1 to III.4 (draw lines second hand).
    """
    pattern = [row for row in rows("draw_patterns") if row["pattern"] == name]
    if not pattern:
        raise OutOfRange(f"draw pattern is {name!r}, allowed are very small, low, medium, high")
    return tuple(
        Draw(
            _clock(row["start"]),
            float(row["volume_gal"]) * US_GALLON,
            float(row["flow_gpm"]) * US_GALLON / 60.0,
        )
        for row in pattern
    )


def bin_of(first_hour_rating: float) -> str:
    """The draw pattern by which a heater of a rating is tested.

    Parameters:
        first_hour_rating: of its label [m3], scalar
    Returns:
        name of the pattern [text]
    Source: 10 CFR 430 Subpart B App. E, 5.4.1 (from memory).

    >>> bin_of(55.5 * US_GALLON)
    'medium'
    """
    gallons = first_hour_rating / US_GALLON
    return next((name for name, below in BINS.items() if gallons < below), "high")


@cache
def mixing_valve_scope(standard: str) -> MixingValve:
    """What a mixing-valve standard is for.

    Parameters:
        standard: number, with or without its issuer, "1017" or "ASSE 1017" [text]
    Returns:
        scope, protections, outlet settings and supply [degC], least drop [K]
    Raises:
        OutOfRange: a standard that is not in the table
    Source: data/mixing_valves.csv, sources named there.
    """
    number = standard.split()[-1] if standard.strip() else standard
    for row in rows("mixing_valves"):
        if row["standard"].split()[-1] == number:
            return MixingValve(
                row["standard"],
                row["joint_standards"],
                row["covers"],
                row["place"],
                row["limits_scald"] == "yes",
                row["prevents_thermal_shock"] == "yes",
                _celsius(float(row["lowest_degf"] or "nan")),
                _celsius(float(row["highest_degf"] or "nan")),
                _celsius(float(row["supply_lowest_degf"] or "nan")),
                _celsius(float(row["supply_highest_degf"] or "nan")),
                float(row["least_drop_degf"] or "nan") / 1.8,
            )
    known = ", ".join(row["standard"].split()[-1] for row in rows("mixing_valves"))
    raise OutOfRange(f"mixing-valve standard is {standard!r}, known are ASSE {known}")


@cache
def element_ratings() -> tuple[ElementRating, ...]:
    """Ratings that immersion elements are sold in.

    Returns:
        voltage [V], power [W] and provenance of each
    Source: data/element_ratings.csv, sources named there.
    """
    return tuple(
        ElementRating(
            float(row["rated_voltage"]),
            float(row["rated_power"]),
            row["provenance"],
        )
        for row in rows("element_ratings")
    )


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def _clock(text: str) -> float:
    hours, minutes = text.split(":")
    return 3600.0 * int(hours) + 60.0 * int(minutes)


def standards() -> tuple[str, ...]:
    """The mixing-valve standards of the table.

    Returns:
        names as a site file writes them [text]
    Source: data/mixing_valves.csv, sources named there.
    """
    return tuple(row["standard"] for row in rows("mixing_valves"))


def patterns() -> tuple[str, ...]:
    """The federal draw patterns.

    Returns:
        names as a site file writes them [text]
    Source: data/draw_patterns.csv, source named there.
    """
    return tuple(dict.fromkeys(row["pattern"] for row in rows("draw_patterns")))
