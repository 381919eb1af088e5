"""What a PV-heated tank can be made of: arrays, elements that are sold, and which of them suit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from wellsolar.data.hot_water_tables import ElementRating
from wellsolar.physics.array import heating_element
from wellsolar.physics.solve import require_positive, require_range
from wellsolar.physics.tank.stratified import Tank
from wellsolar.physics.types import FloatArray

SAME_HEAT: Final = 1e-3
"""Part of a month's heat by which one element must better another to count beside it [-]; our own
mark."""


@dataclass(frozen=True)
class ElementWay:
    """An element of a shelf, or two alike, as they are joined.

    rating: of one; count: 1 or 2; joined: "alone", "in series" or "in parallel"
    resistance: of all together [ohm]; voltage: of the plate of all together [V]
    """

    rating: ElementRating
    count: int
    joined: str
    resistance: float
    voltage: float


def element_ways(elements: Sequence[ElementRating]) -> tuple[ElementWay, ...]:
    """Every element alone, and two alike in series and in parallel.

    Parameters:
        elements: with their marking, such as all that are sold [V, W], array
    Returns:
        ways with resistance [ohm] and plate [V]
    Source: Kirchhoff's laws for equal resistances.
    """
    made = []
    for each in elements:
        one = float(heating_element.element_resistance(each.rated_power, each.rated_voltage))
        made += [
            ElementWay(each, 1, "alone", one, each.rated_voltage),
            ElementWay(each, 2, "in series", 2.0 * one, 2.0 * each.rated_voltage),
            ElementWay(each, 2, "in parallel", 0.5 * one, each.rated_voltage),
        ]
    return tuple(made)


def wirings_up_to(modules: int, modules_in_series: int, strings: int) -> list[tuple[int, int]]:
    """Every array of equal strings within bounds.

    Parameters:
        modules: of all strings, at most [-], whole number
        modules_in_series: in a string, at most [-], whole number
        strings: side by side, at most [-], whole number
    Returns:
        modules in series and strings of each [-], the smallest arrays first
    Raises:
        OutOfRange: a bound below 1
    Source: none needed.
    """
    require_range(modules, 1, 10_000, "number of modules", "")
    require_range(modules_in_series, 1, 10_000, "number of modules in series", "")
    require_range(strings, 1, 10_000, "number of strings in parallel", "")
    found = [
        (series, rows)
        for series in range(1, min(modules, modules_in_series) + 1)
        for rows in range(1, min(modules // series, strings) + 1)
    ]
    return sorted(found, key=lambda each: (each[0] * each[1], each[1]))


def worth_looking_at(monthly_energy: FloatArray) -> list[int]:
    """Those of several elements on one array that another does not better in every month.

    Of elements that give the same heat the first is taken.

    Parameters:
        monthly_energy: at each element in each month [J], array of elements by months
    Returns:
        rows [-], the most heat in the year first
    Source: dominance; an element that gives less in every month gives the tank less.
    """
    heat = np.atleast_2d(np.asarray(monthly_energy, float))
    kept: list[int] = []
    for row in np.argsort(-heat.sum(axis=1), kind="stable").tolist():
        bettered = (heat[kept] >= heat[row] * (1.0 - SAME_HEAT)).all(axis=1)
        if not bettered.any():
            kept.append(row)
    return kept


def resized(tank: Tank, volume: float) -> Tank:
    """A tank of another size with the same proportions and the same jacket.

    Parameters:
        tank: the tank as it is [-]
        volume: water in the other one [m3], scalar
    Returns:
        the other tank [-]; its loss goes with its surface
    Raises:
        OutOfRange: a volume not above 0
    Source: geometry; surface goes with the volume to the power of 2/3.
    """
    require_positive(volume, "volume", "m3")
    longer = math.cbrt(volume / tank.volume)
    return Tank(
        volume=volume,
        nodes=tank.nodes,
        heat_loss_coefficient=tank.heat_loss_coefficient * longer**2,
        element_height=tank.element_height,
        effective_conductivity=tank.effective_conductivity,
        height=None if tank.height is None else tank.height * longer,
        volumetric_heat_capacity=tank.volumetric_heat_capacity,
    )
