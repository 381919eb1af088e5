"""Elements that are sold: which come nearest to the best that a single resistance can do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement
from typing import Final

import numpy as np

from wellsolar.data.hot_water_tables import ElementRating
from wellsolar.physics.array import heating_element
from wellsolar.physics.array.best_resistance import lit_hours, power_by_resistance
from wellsolar.physics.array.connection import maximum_power
from wellsolar.physics.array.module import Diode
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import FloatArray

ROUND_OFF: Final = 1e-9
"""Excess over a marking that is taken as round-off [-]."""


@dataclass(frozen=True)
class ElementChoice:
    """One element, or two joined, on an array through a year.

    elements: with their marking; joined: "alone", "in series" or "in parallel"
    resistance: of all together [ohm]
    energy: at them [J]; ratio: over what the array gives at maximum power [0..1]
    greatest_voltage: across all together, in the brightest cold sun or in the year [V]
    voltage_ratio, power_ratio: then, of the element that is driven hardest, over its marking [-]
    within_rating: whether neither is above its marking
    """

    elements: tuple[ElementRating, ...]
    joined: str
    resistance: float
    energy: float
    ratio: float
    greatest_voltage: float
    voltage_ratio: float
    power_ratio: float
    within_rating: bool


def rank_elements(
    diode: Diode,
    elements: Sequence[ElementRating],
    brightest: Diode,
    step: float,
    cable_resistance: float = 0.0,
    within_rating_only: bool = False,
) -> tuple[ElementChoice, ...]:
    """Every element alone and every two in series and in parallel, the most heat first.

    Parameters:
        diode: the array [A, ohm, V], scalars or arrays of hours
        elements: with their marking, such as all that are sold [V, W], array
        brightest: the array in the brightest cold sun [A, ohm, V], scalars
        step: length of an hour's step [s], above 0, scalar
        cable_resistance: of both conductors together [ohm], 0 or more, scalar
        within_rating_only: whether those driven above their marking are left out [-], true or
            false
    Returns:
        choices with energy [J], ratio [0..1] and greatest voltage [V]; among equals the
        fewest elements, then the least driven, come first
    Raises:
        OutOfRange: no element, or an argument outside its range
    Source: as `resistive.on_resistance`; Kirchhoff's laws for two elements.
    """
    require_range(len(elements), 1, 1000, "number of elements", "")
    require_positive(step, "step", "s")
    ways = [*_alone(elements), *_in_pairs(elements)]
    distinct, place = np.unique(
        np.array([resistance for _, _, resistance, _ in ways]), return_inverse=True
    )
    source = lit_hours(diode)
    power = power_by_resistance(source, distinct, cable_resistance)
    energies = power.sum(axis=1) * step
    tracked = float(maximum_power(source).sum()) * step
    hardest = np.maximum(
        power.max(axis=1, initial=0.0),
        power_by_resistance(brightest, distinct, cable_resistance).max(axis=1),
    )
    voltages = np.sqrt(hardest * distinct)
    choices = [
        _choice(way, float(energies[row]), tracked, float(voltages[row]))
        for way, row in zip(ways, place.tolist(), strict=True)
    ]
    kept = [choice for choice in choices if choice.within_rating or not within_rating_only]
    return tuple(
        sorted(
            kept, key=lambda choice: (-choice.energy, len(choice.elements), choice.voltage_ratio)
        )
    )


_Way = tuple[tuple[ElementRating, ...], str, float, FloatArray]
"""Elements, how they are joined, their resistance [ohm] and the part of the voltage on each."""


def _alone(elements: Sequence[ElementRating]) -> Iterator[_Way]:
    for element in elements:
        yield (element,), "alone", _resistance(element), np.ones(1)


def _in_pairs(elements: Sequence[ElementRating]) -> Iterator[_Way]:
    for pair in combinations_with_replacement(elements, 2):
        ohms = np.array([_resistance(element) for element in pair])
        chain = heating_element.resistance_in_series(ohms)
        yield pair, "in series", chain, ohms / chain
        yield pair, "in parallel", heating_element.resistance_in_parallel(ohms), np.ones(2)


def _resistance(element: ElementRating) -> float:
    return heating_element.element_resistance(element.rated_power, element.rated_voltage)


def _choice(way: _Way, energy: float, tracked: float, voltage: float) -> ElementChoice:
    elements, joined, resistance, shares = way
    loads = [
        heating_element.element_load(element.rated_power, element.rated_voltage, voltage * share)
        for element, share in zip(elements, shares.tolist(), strict=True)
    ]
    hardest = max(load.voltage_ratio for load in loads)
    return ElementChoice(
        elements=elements,
        joined=joined,
        resistance=resistance,
        energy=energy,
        ratio=energy / tracked if tracked > 0.0 else 0.0,
        greatest_voltage=voltage,
        voltage_ratio=hardest,
        power_ratio=max(load.power_ratio for load in loads),
        within_rating=hardest <= 1.0 + ROUND_OFF,
    )


SAME_HEAT: Final = 1e-3
"""Part of a month's heat by which one element must better another to count beside it [-]; our own
mark."""


@dataclass(frozen=True)
class ElementWay:
    """A stock element, or two alike, as they are joined.

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
    ways = []
    for element in elements:
        one = heating_element.element_resistance(element.rated_power, element.rated_voltage)
        ways += [
            ElementWay(element, 1, "alone", one, element.rated_voltage),
            ElementWay(element, 2, "in series", 2.0 * one, 2.0 * element.rated_voltage),
            ElementWay(element, 2, "in parallel", 0.5 * one, element.rated_voltage),
        ]
    return tuple(ways)


def worth_looking_at(energy: FloatArray) -> list[int]:
    """Those of several elements on one array that another does not better in everything.

    Of elements that give the same heat the first is taken.

    Parameters:
        energy: at each element in each of several respects [J], array of elements by respects,
            such as what a tank takes of each month's bright and of its dim days
    Returns:
        rows [-], the most heat in all of them first
    Source: dominance; what is no better in any respect is not wanted.
    """
    heat = np.atleast_2d(np.asarray(energy, float))
    kept: list[int] = []
    for row in np.argsort(-heat.sum(axis=1), kind="stable").tolist():
        bettered = (heat[kept] >= heat[row] * (1.0 - SAME_HEAT)).all(axis=1)
        if not bettered.any():
            kept.append(row)
    return kept
