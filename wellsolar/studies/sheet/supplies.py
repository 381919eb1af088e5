"""What the site is fed by, as it is switched off, and names as a sentence lists them."""

from __future__ import annotations

from collections.abc import Sequence

from wellsolar.results.moves import FULL, HEATER_WATER, HOT_TAP, OPEN, SHUT, Move
from wellsolar.site.part_names import COLD, HEATER_DRAIN
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.electric.supplies import supplies_of
from wellsolar.studies.plumbing.layout import stand_of

FILLING = (Move(HEATER_DRAIN, SHUT), Move(COLD, OPEN))
"""Valves as the heater is filled."""


def filling() -> tuple[Move, ...]:
    """The heater filled, seen at a hot tap.

    Returns:
        its moves, the tap shut at the end
    """
    return (*FILLING, Move(HOT_TAP, OPEN), Move(HEATER_WATER, FULL), Move(HOT_TAP, SHUT))


def heater_supplies(site: Site) -> list[str]:
    """Switches that cut off what feeds the heater's elements.

    Returns:
        such as "the isolator of the modules (hot water)"; none without a heater
    """
    heater = site.water_heater
    if heater is None:
        return []
    feeders = {element.fed_by for element in heater.element}
    groups = [group.name for group in site.array if group.name in feeders]
    switches = [f"the isolator of the modules ({name})" for name in groups]
    for name in ("grid", "inverter"):
        if name in feeders:
            switches.append(f"the heater's breaker ({name})")
    if heater.second_tank is not None:
        switches.append("the second tank's breaker")
    return switches


def power_sources(site: Site) -> list[str]:
    """What can feed the house's wires.

    Returns:
        of "grid", "inverter" and "generator" those that it has
    """
    there = supplies_of(site)
    return [name for name in ("grid", "inverter", "generator") if name in there]


def listed(names: Sequence[str]) -> str:
    """Names as a sentence lists them.

    Parameters:
        names: at least one
    Returns:
        such as "a, b and c"
    """
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def standing(moves: Sequence[Move]) -> str:
    """How valves stand, as a sentence begins with it.

    Returns:
        such as "Hand pump line valve shut, spout valve open"; empty for none
    """
    stand = stand_of(moves)
    return f"{stand[:1].upper()}{stand[1:]}"


def pump_off(site: Site, table: PumpTable) -> str:
    """How a pump is cut off from what feeds it while its wires are touched.

    Returns:
        such as "breaker off and locked"
    """
    if table.supply == "AC":
        return "breaker off and locked"
    if any(group.feeds == "pump" for group in site.array):
        return "isolator and breaker open and locked, modules covered"
    return "breaker and the battery's disconnect open and locked"
