"""What the things of a parts list are called, in the list and where a file gives their prices, and
the energies that have a price beside them."""

from __future__ import annotations

from wellsolar.data import fitting_table
from wellsolar.data.fuels import fuels

HAND_LINE, SPOUT, FROST_DRAIN = "hand pump line valve", "spout valve", "frost drain"
TANK_DRAIN, HOUSE_MAIN, BYPASS = "tank drain", "house main valve", "treatment bypass"
COLD, HEATER_DRAIN = "heater cold valve", "heater drain"
SECOND_DRAIN = "second tank drain"
"""Valves that a hand moves: by these names alone in lists, procedures and cautions."""

HAND_CHECK, HEATER_CHECK = "hand pump check valve", "heater check valve"
HAND_RELIEF, TANK_RELIEF = "hand pump relief valve", "tank relief valve"
HEATER_RELIEF, SECOND_RELIEF = "heater relief valve", "second tank relief valve"
"""Valves that move by themselves."""

OTHER_FITTING = "other fitting"

ELECTRICITY = "electricity"
"""What a price is called that is no part's and no fuel's."""

OF_THE_WELL = (
    "pump",
    "drop pipe",
    "foot valve",
    "lateral pipe",
    "suction pipe",
    "drive pipe",
    "ejector",
    "pump line",
    "pump cable",
    "pump breaker",
    "dry-run protection",
    "lifting rig",
    "well cap",
    "lead-free fittings",
    BYPASS,
    "bonding lug",
    "trench conduit",
    OTHER_FITTING,
    "disinfectant",
    "pressure switch",
    "constant-pressure valve",
    "pressure tank",
    "pressure gauge",
    TANK_RELIEF,
    TANK_DRAIN,
    HOUSE_MAIN,
    "discharge pipe",
    "tank stand",
    "storage tank",
    "vent and overflow",
    "level switch",
)
OF_THE_POWER = (
    "pump controller",
    "soft starter",
    "motor protection",
    "changeover switch",
    "inverter",
    "battery",
    "charge controller",
    "generator",
    "transfer switch",
    "generator inlet",
    "motor disconnect",
    "surge arrester",
    "ground-fault breaker",
    "battery room",
)
OF_THE_HEATER = (
    "water heater",
    "heating element",
    "relay or controller",
    "high limit",
    "wiring partition",
    "mixing valve",
    "fixture valve",
    HEATER_RELIEF,
    SECOND_RELIEF,
    COLD,
    HEATER_CHECK,
    HEATER_DRAIN,
    SECOND_DRAIN,
    "expansion tank",
    "vacuum relief valve",
    "drain pan",
)
OF_THE_ARRAY = (
    "module",
    "string",
    "array cable",
    "array breaker",
    "string fuse",
    "isolator",
    "ground-fault protection",
    "arc-fault protection",
    "rapid shutdown",
)
OF_THE_HAND_PUMP = (
    "hand pump",
    "pump cylinder",
    "pump rods",
    "rising main",
    HAND_CHECK,
    HAND_LINE,
    SPOUT,
    FROST_DRAIN,
    HAND_RELIEF,
    "closed spout",
    "pump base",
    "lift",
)


def part_names() -> tuple[str, ...]:
    """Every name, fittings by their kinds."""
    own = (*OF_THE_WELL, *OF_THE_POWER, *OF_THE_HEATER, *OF_THE_ARRAY, *OF_THE_HAND_PUMP)
    return tuple(dict.fromkeys((*own, *fitting_table.kinds())))


def priced_names() -> tuple[str, ...]:
    """What a file may give the price of: every part, and what the sun spares of an energy."""
    return (*part_names(), *sold_by())


def sold_by() -> dict[str, tuple[str, ...]]:
    """Each energy that has a price, with what it is sold by."""
    return {ELECTRICITY: ("kWh",)} | {fuel.name: fuel.sold_by for fuel in fuels()}
