"""Every resistance that a few elements can be switched to, joined in series and in parallel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from typing import Final

from wellsolar.physics.solve import require_positive, require_range

MOST_ELEMENTS: Final = 5
"""Most elements that are joined in every way [-]; five have 472 networks of all of them."""

SAME: Final = 1e-6
"""Relative difference of two resistances that counts as none [-]; a choice of this program."""


@dataclass(frozen=True)
class ElementCombination:
    """One way to join some of a set of elements.

    resistance: between its two ends [ohm]
    description: such as `1 + 2 in parallel`; elements are counted from 1
    elements: which elements carry current, counted from 0
    voltage_shares: part of the whole voltage that each of them bears [0..1]
    """

    resistance: float
    description: str
    elements: tuple[int, ...]
    voltage_shares: tuple[float, ...]


@dataclass(frozen=True)
class _Network:
    """Elements joined; `kind` is how its own parts are joined, empty for one element."""

    kind: str
    resistance: float
    text: str
    shares: dict[int, float]


def element_combinations(
    resistances: Sequence[float], relative_tolerance: float = SAME
) -> tuple[ElementCombination, ...]:
    """Every distinct resistance to which a set of elements can be switched.

    All networks of series and parallel of every part of the set are looked at; of those with
    the same resistance the one with the fewest elements, then the plainest, stands. A bridge,
    which is neither series nor parallel, is left out.

    Parameters:
        resistances: of the elements [ohm], above 0, one to five, array
        relative_tolerance: relative difference of two resistances that counts as none [-], scalar
    Returns:
        combinations with their resistance [ohm], lowest first
    Raises:
        OutOfRange: no element or more than five, a resistance not above 0
    Source: Kirchhoff's laws; every set split into parts that are joined in series or parallel.
    """
    require_range(len(resistances), 1, MOST_ELEMENTS, "number of elements", "")
    for each in resistances:
        require_positive(float(each), "element resistance", "ohm")
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
        _combination(min(group, key=_plainness)) for group in _alike(found, relative_tolerance)
    )


def _networks(
    members: tuple[int, ...],
    resistances: Sequence[float],
    known: dict[tuple[int, ...], list[_Network]],
) -> list[_Network]:
    """All series-parallel networks of all of the members; smaller ones are known."""
    if len(members) == 1:
        (only,) = members
        return [_Network("", float(resistances[only]), str(only + 1), {only: 1.0})]
    found = []
    for parts in _partitions(members):
        if len(parts) == 1:
            continue
        for kind in ("series", "parallel"):
            # A chain inside a chain is the same chain, and would be counted twice.
            choices = [[each for each in known[part] if each.kind != kind] for part in parts]
            found += [_joined(kind, each) for each in product(*choices)]
    return found


def _partitions(members: tuple[int, ...]) -> Iterator[list[tuple[int, ...]]]:
    """Every way to split a set into parts; the parts keep the order of their members."""
    if not members:
        yield []
        return
    head, rest = members[0], members[1:]
    for size in range(len(rest) + 1):
        for others in combinations(rest, size):
            left = tuple(each for each in rest if each not in others)
            for parts in _partitions(left):
                yield [(head, *others), *parts]


def _joined(kind: str, parts: Sequence[_Network]) -> _Network:
    text = " + ".join(each.text if len(each.shares) == 1 else f"({each.text})" for each in parts)
    if kind == "series":
        resistance = sum(each.resistance for each in parts)
        weights = [each.resistance / resistance for each in parts]
    else:
        resistance = 1.0 / sum(1.0 / each.resistance for each in parts)
        weights = [1.0] * len(parts)
    shares = {
        element: weight * share
        for each, weight in zip(parts, weights, strict=True)
        for element, share in each.shares.items()
    }
    return _Network(kind, resistance, f"{text} in {kind}", shares)


def _alike(found: Sequence[_Network], tolerance: float) -> Iterator[list[_Network]]:
    """Networks in groups no wider than the tolerance, from the lowest resistance up."""
    group: list[_Network] = []
    for each in found:
        if group and each.resistance > group[0].resistance * (1.0 + tolerance):
            yield group
            group = []
        group.append(each)
    yield group


def _plainness(network: _Network) -> tuple[int, int, str]:
    return len(network.shares), len(network.text), network.text


def _combination(network: _Network) -> ElementCombination:
    elements = tuple(sorted(network.shares))
    return ElementCombination(
        network.resistance,
        network.text,
        elements,
        tuple(network.shares[each] for each in elements),
    )
