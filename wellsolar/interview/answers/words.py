"""Words of the trade for what a key can hold."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import get_args

from wellsolar.site import shape
from wellsolar.site.edit import Word
from wellsolar.site.schema import CodeEdition

YES_NO: dict[Word, str] = {
    True: "yes, yep, yeah, y, true, sure, i think so, i believe so",
    False: "no, nope, n, none, false, nothing, i don't think so, i think not",
}
"""What people say for a switch."""

_POLES: dict[Word, str] = {
    2: "both conductors, both poles, two poles, 2 poles, two conductors, both, two pole, 2 pole, "
    "2-pole, two-pole, double pole, double-pole, four pole, 4 pole, 4-pole, four-pole, 2P, 4P, DP",
    1: "one conductor, one pole, 1 pole, a single conductor, one, single pole, single-pole, "
    "1-pole, 1P, SP",
}

SAID: dict[str, dict[Word, str]] = {
    "site.code_edition": {
        year: f"the {year} edition, NEC {year}, {year} NEC, NEC{year}, {year}, '{year % 100}"
        for year in get_args(CodeEdition)
    },
    "piping.drop_pipe.material": {
        "polyethylene SIDR": "polyethylene, black poly, poly pipe, poly, PE, HDPE",
        "PVC sch 40": "PVC schedule 40, sch 40 PVC, schedule 40, sch 40, PVC",
        "galvanised steel": "galvanized steel, galvanised, galvanized, galv, steel, iron, GI, "
        "G.I.",
        "polyethylene PE100": "PE100, PE 100, PE-100",
        "polyethylene PE80": "PE80, PE 80, PE-80, MDPE",
        "polyethylene PE4710": "PE4710, PE 4710",
        "polyethylene PE3608": "PE3608, PE 3608, PE3408, PE 3408",
        "PVC-U": "uPVC, PVCU, rigid PVC",
        "PVC sch 80": "PVC schedule 80, sch 80 PVC, schedule 80, sch 80",
        "galvanised steel EN 10255": "EN 10255",
        "copper EN 1057": "EN 1057",
        "copper K": "copper type K",
        "copper L": "copper type L, copper",
        "copper M": "copper type M",
    },
    "power.grid": {
        True: "on the grid, on grid, on-grid, grid tied, grid-tied, joined, on mains, "
        "on the mains, mains connected, connected",
        False: "off the grid, off grid, off-grid, offgrid, not joined, not on the grid, "
        "not connected, no grid, no mains",
    },
    "pump.kind": {"suction": "jet pump, jet"},
    "pump.supply": {"AC": "alternating current", "DC": "direct current, solar pump, solar"},
    "pump.phases": {
        1: "1 phase, 1-phase, single phase, single-phase, 1 ph, 1ph",
        3: "3 phase, 3-phase, three phase, three-phase, 3 ph, 3ph",
    },
    "pump.start": {
        "direct": "direct start, across the line, DOL, direct on line, direct-on-line",
        "soft": "soft start, soft starter, soft-start",
        "variable speed": "variable-speed, variable, VFD, constant pressure",
    },
    "pump.overload": {
        "in the motor": "in its motor, motor, thermally protected, thermal protector, thermal, "
        "built in, built-in, internal",
        "in its box": "in the box, control box, box, VFD, drive, soft starter, in the drive",
        "in a starter": "starter, overload relay, relay, motor starter",
        "none": "nothing, no protection, no",
    },
    "power.generator_neutral": {
        "floating": "not bonded, unbonded, floating neutral",
        "bonded": "bonded to its frame, joined to its frame, bonded neutral",
    },
    "power.transfer_neutral": {
        "joined": "left joined, not switched",
        "switched": "switches it, switched neutral",
    },
    "array.place": {
        "roof": "on the roof, on a roof, garage roof, barn roof, shed roof, barn, garage",
        "ground": "on the ground, ground mount, pole mount, pole, rack, in the field, field, yard",
        "open structure": "carport, trellis, canopy",
    },
    "array.reaches": {
        "no building": "clear of buildings, clear of every building",
        "outside wall": "outside of the wall, outer wall, outside",
        "equipment building": "equipment hut, hut, shed",
        "building": "in the house, into the house, house, indoors",
    },
    "well.bonded": {True: "all plastic, all of plastic"},
    "water_heater.supplies_apart": {
        True: "separate box, own box, separate boxes, separate",
        False: "all in the same box, same box, together",
    },
    "array.isolator_poles": _POLES,
    "water_heater.element.high_limit_poles": _POLES,
    "water_heater.element.high_limit_switches": {
        "same relay": "thermostat's relay, the same as the thermostat",
        "relay": "relay of its own, own relay, contactor of its own",
        "DC": "DC contacts, contacts for direct current",
        "AC": "AC contacts, ordinary contacts, its own contacts, its contacts, tank's own",
        "nothing": "no, none, not at all",
    },
    "hand_pump.kind": {"suction": "pitcher pump, pitcher", "deep well": "deep-well"},
    "hand_pump.delivers": {"tank": "house", "storage tank": "cistern", "spout": "bucket"},
    "water_heater.element.coupling": {
        "direct": "straight wire, straight, a plain wire, plain wire, no controller",
        "switched": "switched by relays, relays, relay",
        "tracking": "through a controller, a controller, MPPT controller, MPPT, controller, "
        "electronics",
    },
    "water_heater.element.thermostat_switches": {
        "relay": "DC relay, relay for direct current, solid state relay, contactor, DC contactor",
        "DC": "DC contacts, direct current",
        "AC": "AC contacts, ordinary thermostat, normal thermostat, thermostat itself, "
        "thermostat, ordinary",
    },
    "water_heater.element.surplus_switch": {
        "relay": "a relay, contactor, a contactor, auxiliary relay",
        "proportional": "a controller, controller, electronic, electronics, in proportion",
        "none": "no, nothing, not at all, its thermostat alone, thermostat",
    },
    "water_heater.mixing_valve.standard": {
        f"ASSE {number}": f"{number}, ASSE{number}" for number in (1016, 1017, 1070, 1082, 1084)
    },
}
"""By key: what the file holds -> what people say for it, beside the very words of the file."""


@cache
def spellings(keys: tuple[str, ...]) -> dict[str, Word]:
    """What may be said of a key that takes a word, in any case of letters, and what it means."""
    field = shape.field_at(keys)
    names = None if field is None else shape.names_of(field)
    options = shape.options_of(field) if field is not None and names is None else ()
    known = options if names is None else names.known()
    said: dict[str, Word] = {word: word for word in known if isinstance(word, str)}
    switch = field is not None and bool in shape.types_of(field)
    of_the_key: Mapping[Word, str] = SAID.get(".".join(keys), {})
    for value, texts in [*(YES_NO.items() if switch else ()), *of_the_key.items()]:
        said |= dict.fromkeys(texts.split(", "), value)
    return said
