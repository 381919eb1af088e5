"""Rules for the water that a household uses: by the day, in the hours, and to survive.

The rules differ by a factor of two or three for one house: a result names the rule it used.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

import numpy as np

from wellsolar.constants import DAY, US_GALLON
from wellsolar.data import rows
from wellsolar.physics.guards import require_range
from wellsolar.physics.types import FloatArray

DAY_PARTS: Final = ((5, 0.05), (11, 0.39), (18, 0.28), (23, 0.27), (24, 0.01))
"""Hours up to, part of the day's water: lowest from 23 to 5 h, highest from 5 to 11 h, moderate to
18 h, high to 23 h; periods after Mayer et al. (1999), Residential End Uses of Water (from memory),
the parts are ours."""

GALLON_A_DAY: Final = US_GALLON / DAY
"""US gallon a day [m3/s]."""


def metered_indoor_use(people: float) -> float:
    """Mean indoor use of a household as metered.

    Parameters:
        people: people in the house [-], scalar
    Returns:
        water a day as a flow [m3/s]
    Raises:
        OutOfRange: a negative number of people
    Source: LBNL household energy documentation, equation 26, after Mayer et al. (1999):
        gal/day = 37.2 N + 69.2.

    >>> metered_indoor_use(4) / GALLON_A_DAY
    218.
    """
    require_range(people, 0.0, math.inf, "people", "")
    return (37.2 * people + 69.2) * GALLON_A_DAY


def hot_water_use(people: float) -> float:
    """Hot water of a household by the solar trade's rule.

    Parameters:
        people: people in the house [-], scalar
    Returns:
        hot water a day as a flow [m3/s]; measured households scatter by 30 % about any such rule
    Raises:
        OutOfRange: a negative number of people
    Source: solar sizing rule, 20 gal/day for each of the first two people and 15 for each
        further one (from memory).
    """
    require_range(people, 0.0, math.inf, "people", "")
    gallons = 20.0 * min(people, 2.0) + 15.0 * max(people - 2.0, 0.0)
    return gallons * GALLON_A_DAY


def survival_use(people: float, per_person: float) -> float:
    """Water that a household needs when everything else is given up.

    Parameters:
        people: people in the house [-], scalar
        per_person: water for one person, 15 L/day by Sphere (2004) [m3/s], scalar
    Returns:
        water a day as a flow [m3/s]
    Raises:
        OutOfRange: a negative number of people
    Source: Sphere Handbook (2004, 2011), water supply standard 1: survival 7.5 to 15 L a person
        and day, 15 the usual minimum.
    """
    require_range(people, 0.0, math.inf, "people", "")
    return people * per_person


def flow_for_daily_volume(daily_volume: float, delivery_time: float) -> float:
    """Flow that brings a day's water within a part of the day.

    Parameters:
        daily_volume: water of the day [m3], scalar
        delivery_time: time in which it must be deliverable [s], scalar
    Returns:
        flow [m3/s]
    Source: Penn State Extension, Estimating Water Needs: the whole day's need within 2 h.
    """
    return daily_volume / delivery_time


def peak_of_fixtures(fixtures: Mapping[str, int]) -> float:
    """Peak flow of a house by what draws water in it.

    Parameters:
        fixtures: how many there are of each kind [-], by the names of data/fixture_flows.csv
    Returns:
        flow [m3/s]: of the home and of the lawn what draws most at its own flow, and the others
        at their allowance
    Raises:
        OutOfRange: a negative number of fixtures
    Source: US Environmental Protection Agency, Private Water Systems, Pump Capacity and Household
        Uses: allowances are added, that of the greatest use of each category is replaced by its
        flow.

    >>> peak_of_fixtures({"showers": 1, "toilets": 1}) / US_GALLON * 60.0
    4.75
    """
    gpm = 0.0
    greatest: dict[str, float] = {}
    for row in rows("fixture_flows"):
        count = fixtures.get(row["fixture"], 0)
        require_range(count, 0.0, math.inf, row["fixture"].replace("_", " "), "")
        allowance = float(row["allowance"])
        gpm += count * allowance
        more = float(row["flow"]) - allowance if count else 0.0
        greatest[row["use"]] = max(greatest.get(row["use"], 0.0), more)
    return (gpm + sum(greatest.values())) * US_GALLON / 60.0


def hourly_volumes(daily_volume: float) -> FloatArray:
    """A household's water of a day hour by hour.

    Parameters:
        daily_volume: water of the day [m3], scalar
    Returns:
        volumes [m3], 24 values from midnight on; they add up to the day's
    Raises:
        OutOfRange: a negative volume
    Source: periods of the day after Mayer et al. (1999), Residential End Uses of Water (from
        memory); the parts of `DAY_PARTS` are common practice, no source.
    """
    require_range(daily_volume, 0.0, math.inf, "daily volume", "m3")
    begins = (0, *(end for end, _ in DAY_PARTS))
    return np.concatenate(
        [
            np.full(end - begin, daily_volume * part / (end - begin))
            for begin, (end, part) in zip(begins, DAY_PARTS, strict=False)
        ]
    )


def storage_for_peak(peak_flow: float, supply_flow: float, duration: float) -> float:
    """Stored water that covers a peak which the supply cannot.

    Parameters:
        peak_flow: flow drawn during the peak [m3/s], scalar
        supply_flow: flow of the well or pump [m3/s], scalar
        duration: length of the peak [s], scalar
    Returns:
        volume [m3]; 0 where the supply is enough
    Source: continuity; The Driller, article 86502: the shortfall over seven minutes or more
        comes from storage.
    """
    return max(peak_flow - supply_flow, 0.0) * duration
