"""The shipped hot-water tables in SI: burns, draws, mixing valves, elements, federal ratings."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from wellsolar.constants import DAY, US_GALLON
from wellsolar.data import rows
from wellsolar.errors import OutOfRange

Degree = Literal["second", "third"]
DrawPattern = Literal["very small", "low", "medium", "high"]

FIRST_DRAW: Final = 6 * 3600.0
"""Clock time of a pattern's first draw [s], 6:00; the regulation sets none, common practice,
no source."""

UEF_COEFFICIENTS: Final[Mapping[str, Mapping[DrawPattern, tuple[float, float]]]] = {
    "20 to 55 gal": {
        "very small": (0.8808, 0.0008),
        "low": (0.9254, 0.0003),
        "medium": (0.9307, 0.0002),
        "high": (0.9349, 0.0001),
    },
    "above 55 to 120 gal": {
        "very small": (1.9236, 0.0011),
        "low": (2.0440, 0.0011),
        "medium": (2.1171, 0.0011),
        "high": (2.2418, 0.0011),
    },
    "grid-enabled above 75 gal": {
        "very small": (1.0136, 0.0028),
        "low": (0.9984, 0.0014),
        "medium": (0.9853, 0.0010),
        "high": (0.9720, 0.0007),
    },
}
"""Least uniform energy factor, constant and fall per US gallon of rated volume [-, 1/gal]:
10 CFR 430.32(d), electric storage, standards in force 2017 to 2029."""


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
    """What a mixing-valve standard covers; outlet settings [degC], nan where none is stated."""

    standard: str
    joint_standards: str
    covers: str
    place: str
    limits_scald: bool
    prevents_thermal_shock: bool
    lowest_setting: float
    highest_setting: float


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
    found = [row for row in rows("draw_patterns") if row["pattern"] == name]
    if not found:
        raise OutOfRange(f"draw pattern is {name!r}, allowed are very small, low, medium, high")
    return tuple(
        Draw(
            _clock(row["start"]),
            float(row["volume_gal"]) * US_GALLON,
            float(row["flow_gpm"]) * US_GALLON / 60.0,
        )
        for row in found
    )


def hourly_draw(
    name: str, daily_volume: float, step: float, first_draw: float = FIRST_DRAW
) -> NDArray[np.float64]:
    """Draw in each step of a day that starts at midnight, in the shape of a federal pattern.

    Parameters:
        name: "very small", "low", "medium" or "high" [text]
        daily_volume: water of the day [m3], scalar
        step: length of a step, a whole part of a day [s], scalar
        first_draw: clock time of the pattern's first draw [s], scalar; 6:00
    Returns:
        volumes [m3], array of one day; they add up to daily_volume
    Raises:
        OutOfRange: a negative volume, a step that does not divide the day, an unknown pattern
    Source: shape after 10 CFR 430 Subpart B App. E; draws past midnight wrap round.
    """
    count = round(DAY / step) if step > 0 else 0
    if count < 1 or abs(count * step - DAY) > 1e-6:
        raise OutOfRange(f"step is {step:g} s, allowed is a whole part of a day of 86400 s")
    if not daily_volume >= 0:
        raise OutOfRange(f"daily volume is {daily_volume:g} m3, allowed is 0 m3 or more")
    volumes = np.zeros(count)
    for draw in draw_pattern(name):
        start = (first_draw + draw.start) % DAY
        left = draw.volume / draw.flow
        while left > 1e-9:
            index = int(start / step + 1e-9)
            piece = min(left, (index + 1) * step - start)
            volumes[index % count] += piece * draw.flow
            left -= piece
            start = (start + piece) % DAY
    return volumes * (daily_volume / float(volumes.sum()))


def federal_bin(first_hour_rating: float) -> DrawPattern:
    """The federal draw pattern that belongs to a first-hour rating.

    Parameters:
        first_hour_rating: volume of the first hour [m3], scalar
    Returns:
        "very small", "low", "medium" or "high" [text]
    Raises:
        OutOfRange: a negative rating
    Source: 16 CFR Part 305 App. D3: below 18, 51, 75 US gal and above.
    """
    if not first_hour_rating >= 0:
        raise OutOfRange(f"first-hour rating is {first_hour_rating:g} m3, allowed is 0 or more")
    gallons = round(first_hour_rating / US_GALLON, 9)
    edges: tuple[tuple[float, DrawPattern], ...] = (
        (18, "very small"),
        (51, "low"),
        (75, "medium"),
    )
    return next((name for edge, name in edges if gallons < edge), "high")


def minimum_uniform_energy_factor(
    rated_volume: float, pattern: DrawPattern, grid_enabled: bool = False
) -> float:
    """Least uniform energy factor an electric storage heater may have when it is sold.

    Parameters:
        rated_volume: 20 to 120 US gal [m3], scalar
        pattern: federal draw pattern of the heater [text]
        grid_enabled: sold as grid-enabled, above 75 US gal [-]
    Returns:
        uniform energy factor [-]
    Raises:
        OutOfRange: a volume outside the rule, an unknown pattern
    Source: 10 CFR 430.32(d), standards in force 2017 to 2029; 55 gal belongs to the lower rule.
    """
    gallons = round(rated_volume / US_GALLON, 9)
    rule = "20 to 55 gal" if gallons <= 55 else "above 55 to 120 gal"
    lowest, highest = 20.0, 120.0
    if grid_enabled:
        rule, lowest, highest = "grid-enabled above 75 gal", 75.0 + 1e-9, float("inf")
    if not lowest <= gallons <= highest or pattern not in UEF_COEFFICIENTS[rule]:
        raise OutOfRange(f"rated volume is {gallons:g} gal, pattern {pattern!r}: outside {rule}")
    constant, fall = UEF_COEFFICIENTS[rule][pattern]
    return constant - fall * gallons


@cache
def mixing_valve_scope(standard: str) -> MixingValve:
    """What a mixing-valve standard is for.

    Parameters:
        standard: number, with or without its issuer, "1017" or "ASSE 1017" [text]
    Returns:
        scope, protections and outlet settings [degC]
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
