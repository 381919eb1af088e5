"""Resistance elements: from their marking, warm, overloaded, and joined in every way."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from typing import Final, Generic, NamedTuple

import numpy as np

from wellsolar.constants import TEST_TEMPERATURE
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import Floats, Real

NICKEL_CHROMIUM_COEFFICIENT: Final = 7.0e-5
"""Relative change of resistance of an 80/20 nickel-chromium wire [1/K]: 1.012 at 200 degC over
that at 20 degC in a trade table (publisher a maker, name withheld); other texts give up to
1.7e-4 for other alloys."""


@dataclass(frozen=True)
class ElementLoad(Generic[Real]):
    """What an element bears against its marking; each a scalar or an array.

    voltage: at the element [V]; power: into it [W]
    voltage_ratio, power_ratio: over the marking [-]; the one is the other's square root
    """

    voltage: Real
    power: Real
    voltage_ratio: Real
    power_ratio: Real


def element_resistance(rated_power: Real, rated_voltage: Real) -> Real:
    """Resistance of a heating element from its rating.

    Parameters:
        rated_power: [W], above 0, scalar or array
        rated_voltage: [V], above 0, scalar or array
    Returns:
        resistance [ohm]
    Raises:
        OutOfRange: power or voltage not above 0
    Source: Ohm's law, R = V^2 / P.

    >>> element_resistance(4500.0, 240.0)
    12.800
    """
    require_positive(rated_power, "rated power of the element", "W")
    require_positive(rated_voltage, "rated voltage of the element", "V")
    return rated_voltage**2 / rated_power


def element_power_at(rated_power: Real, rated_voltage: Real, voltage: Real) -> Real:
    """Power of an element of fixed resistance at another voltage than its marking.

    Parameters:
        rated_power: [W], scalar or array
        rated_voltage: [V], scalar or array
        voltage: at the element [V], scalar or array
    Returns:
        power [W], scalar or array
    Raises:
        OutOfRange: a rated voltage that is not positive
    Source: Joule's law at constant resistance, P (V / Vr)^2.

    >>> element_power_at(4500.0, 240.0, 300.0)
    7031.
    """
    require_positive(rated_voltage, "rated voltage", "V")
    return rated_power * (voltage / rated_voltage) ** 2


def element_load(rated_power: Real, rated_voltage: Real, voltage: Real) -> ElementLoad[Real]:
    """Voltage and power at an element against its marking.

    Parameters:
        rated_power: [W], above 0, scalar or array
        rated_voltage: [V], above 0, scalar or array
        voltage: at the element [V], 0 or more, scalar or array
    Returns:
        voltage [V], power [W] and both over the marking [-]
    Raises:
        OutOfRange: a rating not above 0, or a voltage below 0
    Source: Joule's law at constant resistance, P (V / Vr)^2.

    >>> element_load(4500.0, 240.0, 300.0).power_ratio
    1.56
    """
    require_positive(rated_power, "rated power of the element", "W")
    require_range(voltage, 0.0, math.inf, "voltage at the element", "V")
    power = element_power_at(rated_power, rated_voltage, voltage)
    return ElementLoad(voltage, power, voltage / rated_voltage, power / rated_power)


def resistance_in_series(resistances: Floats) -> float:
    """Resistance of elements that carry one current.

    Parameters:
        resistances: of the elements [ohm], above 0, array
    Returns:
        resistance of the chain [ohm]
    Raises:
        OutOfRange: no element, or a resistance not above 0
    Source: Kirchhoff's voltage law.
    """
    return float(np.sum(_elements(resistances)))


def resistance_in_parallel(resistances: Floats) -> float:
    """Resistance of elements that bear one voltage.

    Parameters:
        resistances: of the elements [ohm], above 0, array
    Returns:
        resistance of the group [ohm]
    Raises:
        OutOfRange: no element, or a resistance not above 0
    Source: Kirchhoff's current law.
    """
    return float(1.0 / np.sum(1.0 / _elements(resistances)))


def resistance_at_temperature(
    resistance: float,
    element_temperature: float,
    temperature_coefficient: float = NICKEL_CHROMIUM_COEFFICIENT,
    reference_temperature: float = TEST_TEMPERATURE,
) -> float:
    """Resistance of an element that is warmer or cooler than where its resistance is known.

    The wire inside an element under load is some hundred kelvin above its water, which
    this does not foretell: it takes the wire's temperature as given.

    Parameters:
        resistance: at the reference temperature [ohm], above 0, scalar
        element_temperature: of the wire [degC], scalar
        temperature_coefficient: relative change of resistance [1/K], scalar
        reference_temperature: at which the resistance is known [degC], scalar
    Returns:
        resistance [ohm]
    Raises:
        OutOfRange: a resistance not above 0, or a temperature at which the line crosses 0
    Source: linear law R0 (1 + a (T - T0)); coefficient of nickel-chromium from a trade table.
    """
    require_positive(resistance, "element resistance", "ohm")
    growth = 1.0 + temperature_coefficient * (element_temperature - reference_temperature)
    require_positive(growth, "resistance over that at the reference temperature", "")
    return resistance * growth


def _elements(resistances: Floats) -> Floats:
    ohms = np.atleast_1d(np.asarray(resistances, dtype=np.float64))
    require_range(float(ohms.size), 1.0, math.inf, "number of elements", "")
    require_positive(ohms, "element resistance", "ohm")
    return ohms


MOST_ELEMENTS: Final = 5
"""Most elements that are joined in every way [-]; five have 472 networks of all of them."""


SAME: Final = 1e-6
"""Relative difference of two resistances that counts as none [-]; a choice of this program."""


class _Network(NamedTuple):
    """Elements joined, and how its own parts are: empty for one element."""

    resistance: float
    elements: int
    kind: str


def joined_resistances(
    resistances: Sequence[float], relative_tolerance: float = SAME
) -> tuple[float, ...]:
    """Every distinct resistance to which a set of elements can be switched.

    All networks of series and parallel of every part of the set are looked at; of those with
    the same resistance the one with the fewest elements stands. A bridge, which is neither
    series nor parallel, is left out.

    Parameters:
        resistances: of the elements [ohm], above 0, one to five, array
        relative_tolerance: relative difference of two resistances that counts as none [-], scalar
    Returns:
        the resistances [ohm], lowest first
    Raises:
        OutOfRange: no element or more than five, a resistance not above 0
    Source: Kirchhoff's laws; every set split into parts that are joined in series or parallel.
    """
    require_range(len(resistances), 1, MOST_ELEMENTS, "number of elements", "")
    for resistance in resistances:
        require_positive(float(resistance), "element resistance", "ohm")
    require_range(relative_tolerance, 0.0, 1.0, "relative tolerance", "")
    known: dict[tuple[int, ...], list[_Network]] = {}
    every = range(len(resistances))
    for size in range(1, len(resistances) + 1):
        for members in combinations(every, size):
            known[members] = _networks(members, resistances, known)
    found = sorted(
        (network for networks in known.values() for network in networks),
        key=lambda network: network.resistance,
    )
    return tuple(
        min(group, key=lambda network: network.elements).resistance
        for group in _alike(found, relative_tolerance)
    )


def _networks(
    members: tuple[int, ...],
    resistances: Sequence[float],
    known: dict[tuple[int, ...], list[_Network]],
) -> list[_Network]:
    """All series-parallel networks of all of the members; smaller ones are known."""
    if len(members) == 1:
        (only,) = members
        return [_Network(float(resistances[only]), 1, "")]
    networks = []
    for parts in _partitions(members):
        if len(parts) == 1:
            continue
        for kind in ("series", "parallel"):
            # A chain inside a chain is the same chain, and would be counted twice.
            choices = [
                [network for network in known[part] if network.kind != kind] for part in parts
            ]
            networks += [_joined(kind, choice) for choice in product(*choices)]
    return networks


def _partitions(members: tuple[int, ...]) -> Iterator[list[tuple[int, ...]]]:
    """Every way to split a set into parts; the parts keep the order of their members."""
    if not members:
        yield []
        return
    head, rest = members[0], members[1:]
    for size in range(len(rest) + 1):
        for others in combinations(rest, size):
            left = tuple(member for member in rest if member not in others)
            for parts in _partitions(left):
                yield [(head, *others), *parts]


def _joined(kind: str, parts: Sequence[_Network]) -> _Network:
    if kind == "series":
        resistance = sum(part.resistance for part in parts)
    else:
        resistance = 1.0 / sum(1.0 / part.resistance for part in parts)
    return _Network(resistance, sum(part.elements for part in parts), kind)


def _alike(networks: Sequence[_Network], tolerance: float) -> Iterator[list[_Network]]:
    """Networks in groups no wider than the tolerance, from the lowest resistance up."""
    group: list[_Network] = []
    for network in networks:
        if group and network.resistance > group[0].resistance * (1.0 + tolerance):
            yield group
            group = []
        group.append(network)
    yield group
