"""How long a person may be in hot water before it burns."""

from __future__ import annotations

import math
from typing import Final, Literal, NamedTuple

import numpy as np

from wellsolar.data.hot_water_tables import BurnRow, Degree, burn_rows
from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_range

BURN_THRESHOLD: Final = 44.0
"""Coolest water that burns skin at all [degC]: Moritz & Henriques, Am. J. Pathology 23 (1947),
as reproduced in adult threshold sets."""

CHILD_FACTOR: Final = 0.25
"""A child's time to a burn over an adult's [-]: child-safety bodies (from memory, low
confidence); a trade association's page puts a baby's at 1 s at 140 degF, a fifth."""


class BurnTime(NamedTuple):
    """Exposure until a burn [s] and how well it is known.

    bound: "table" between rows of a published table; "at most" beyond the hottest row (the
    true time is shorter still); "none" below 44 degC, where the time is inf.
    """

    seconds: float
    bound: Literal["table", "at most", "none"]


def burn_time(
    temperature: float,
    who: Literal["adult", "child"] = "adult",
    degree: Degree = "third",
) -> BurnTime:
    """Exposure to hot water until a burn: the shortest that any published table gives.

    A child's time is a quarter of an adult's. A second-degree burn never takes longer than the
    third-degree tables say. Beyond the hottest row of every table the time of that row stands
    as an upper bound; nothing is extrapolated.

    Parameters:
        temperature: of the water [degC], scalar
        who: "adult" or "child" [text]
        degree: "second" or "third" (full thickness) [text]
    Returns:
        exposure [s] and its bound; inf and "none" below 44 degC
    Raises:
        OutOfRange: temperature not a number, unknown person or degree
    Source: tables of data/burn_times.csv, after Moritz & Henriques (1947); a quarter for children
        from child-safety bodies (from memory).

    >>> burn_time((140 - 32) / 1.8).seconds
    5.
    """
    require_range(temperature, -math.inf, math.inf, "water temperature", "degC")
    if who not in ("adult", "child") or degree not in ("second", "third"):
        raise OutOfRange(f"burn is of {who!r}, {degree!r}: allowed adult, child; second, third")
    if temperature < BURN_THRESHOLD:
        return BurnTime(math.inf, "none")
    shortest = _shortest(degree, temperature)
    if degree == "second":
        deeper = _shortest("third", temperature)
        if deeper.seconds < shortest.seconds:
            shortest = BurnTime(deeper.seconds, "at most")
    factor = CHILD_FACTOR if who == "child" else 1.0
    return BurnTime(shortest.seconds * factor, shortest.bound)


def _shortest(degree: Degree, temperature: float) -> BurnTime:
    """The shortest time of the tables that reach down to this temperature."""
    times = [
        between_rows(points, temperature)
        for points in burn_rows(degree).values()
        if temperature >= points[0].temperature
    ]
    return min(times, key=lambda time: (time.seconds, time.bound == "at most"))


def between_rows(points: tuple[BurnRow, ...], temperature: float) -> BurnTime:
    """Exposure until a burn by one published table, piecewise in log time.

    Parameters:
        points: rows of the table with temperature and time, the coolest first [-], array
        temperature: of the water [degC], scalar, not below the coolest row
    Returns:
        exposure [s]; beyond the hottest row its time, as a bound
    Source: log-time interpolation as usual for thermal damage.
    """
    if temperature > points[-1].temperature:
        return BurnTime(points[-1].seconds, "at most")
    at = [point.temperature for point in points]
    logs = [math.log(point.seconds) for point in points]
    if temperature in at:
        return BurnTime(points[at.index(temperature)].seconds, "table")
    return BurnTime(math.exp(float(np.interp(temperature, at, logs))), "table")
