"""Words of the trade for what a key can hold, and answers in a shape of their own."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import get_args

from wellsolar.interview.answers.spellings import NUMBER
from wellsolar.site import shape
from wellsolar.site.edit import Word
from wellsolar.site.schema import CodeEdition

YES_NO: dict[Word, str] = {
    True: "yes, yep, yeah, y, true, sure",
    False: "no, nope, n, none, false, nothing",
}
"""What people say for a switch."""

_POLES: dict[Word, str] = {
    2: "both conductors, both poles, two poles, 2 poles, two conductors, both",
    1: "one conductor, one pole, 1 pole, a single conductor, one",
}

SAID: dict[str, dict[Word, str]] = {
    "site.code_edition": {
        year: f"the {year} edition, NEC {year}, {year} NEC, {year}"
        for year in get_args(CodeEdition)
    },
    "piping.drop_pipe.material": {
        "polyethylene SIDR": "polyethylene, black poly, poly pipe, poly, PE, HDPE",
        "PVC sch 40": "PVC schedule 40, sch 40 PVC, schedule 40, sch 40, PVC",
        "galvanised steel": "galvanized steel, galvanised, galvanized, galv, steel, iron",
        "polyethylene PE100": "PE100, PE 100, PE-100",
        "polyethylene PE80": "PE80, PE 80, PE-80",
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
    "pump.kind": {"suction": "jet pump, jet"},
    "pump.supply": {"AC": "alternating current", "DC": "direct current"},
    "pump.phases": {
        1: "1 phase, 1-phase, single phase, single-phase",
        3: "3 phase, 3-phase, three phase, three-phase",
    },
    "pump.start": {
        "direct": "direct start, across the line",
        "soft": "soft start, soft starter, soft-start",
        "variable speed": "variable-speed, variable, VFD, constant pressure",
    },
    "pump.overload": {
        "in the motor": "in its motor, motor, thermally protected, thermal protector",
        "in its box": "in the box, control box, box, drive, soft starter, in the drive",
        "in a starter": "starter, relay, motor starter",
        "none": "nothing, no protection, no",
    },
    "power.generator_neutral": {
        "floating": "not bonded, unbonded",
        "bonded": "bonded to its frame, joined to its frame",
    },
    "power.transfer_neutral": {
        "joined": "left joined, not switched",
        "switched": "switches it, switched neutral",
    },
    "array.place": {
        "roof": "on the roof, on a roof",
        "ground": "on the ground, rack",
        "open structure": "carport, trellis, canopy",
    },
    "array.reaches": {
        "no building": "clear of buildings, clear of every building",
        "outside wall": "outside of the wall, outer wall, outside",
        "equipment building": "equipment hut, hut, shed",
        "building": "in the house, into the house, house, indoors",
    },
    "array.isolator_poles": _POLES,
    "water_heater.element.high_limit_poles": _POLES,
    "water_heater.element.high_limit_switches": {
        "same relay": "thermostat's relay, the same as the thermostat",
        "relay": "relay of its own, own relay, contactor of its own",
        "DC": "DC contacts, contacts for direct current",
        "AC": "AC contacts, ordinary contacts, its own contacts, tank's own",
        "nothing": "no, none, not at all",
    },
    "hand_pump.kind": {"suction": "pitcher", "deep well": "deep-well"},
    "hand_pump.delivers": {"tank": "house", "storage tank": "cistern", "spout": "bucket"},
    "water_heater.element.thermostat_switches": {
        "relay": "DC relay, relay for direct current, solid state relay, contactor, DC contactor",
        "DC": "DC contacts, direct current",
        "AC": "AC contacts, ordinary thermostat, thermostat itself, thermostat",
    },
    "water_heater.mixing_valve.standard": {
        f"ASSE {number}": f"{number}" for number in (1016, 1017, 1070, 1082, 1084)
    },
}
"""By key: what the file holds -> what people say for it, beside the very words of the file."""

_VALVE = re.compile(r"[,;]?\s*(?:constant.pressure )?valve[^,;]*", re.IGNORECASE)
_PAIR = re.compile(
    rf"^({NUMBER})\s*([a-z]*)\s*(?:/|\bto\b|\band\b|-)\s*({NUMBER})\s*([a-z]*)$", re.IGNORECASE
)
_SEVERAL = re.compile(
    r"^(?:(\d{1,3})\s*(?:x|\*|tanks? of|of)|(one|two|three|four|five|six)(?: tanks? of| of| x)?)"
    r"\s*(\d.*?)(?:\s+tanks?)?$",
    re.IGNORECASE,
)
_STRINGS = re.compile(
    r"^(\d{1,4})\s*(?:s|in series|series)?\s*"
    r"(?:x|\*|by|,|and|times)?\s*(?:(\d{1,4})\s*(?:p|in parallel|parallel|rows?|strings?)?)?$",
    re.IGNORECASE,
)
_DEGREES = re.compile(
    r"^(?:lat(?:itude)?\s*)?(-?\d{1,2}(?:\.\d+)?)\s*(?:°|deg(?:rees)?)?\s*"
    r"(?:(\d{1,2}(?:\.\d+)?)\s*(?:'|min)\s*)?(?:°|deg)?\s*(n(?:orth)?|s(?:outh)?)?\b(?!\w)(.*)$",
    re.IGNORECASE,
)
_EAST_WEST = re.compile(
    r"^(?:(-\d{1,3}(?:\.\d+)?)|(\d{1,3}(?:\.\d+)?)\s*°?\s*([ew])(?:est|ast)?)(?![\w.°])(?!\s*[a-z])"
    r"(.*)$",
    re.IGNORECASE,
)


def as_switch(text: str) -> str:
    """`40/60`, `40-60 psi`, `40 to 60` as two pressures; what is told of a valve stays behind
    them."""
    valve = _VALVE.search(text)
    pair = text if valve is None else text.replace(valve.group(0), "").strip(" ,;")
    match = _PAIR.match(pair)
    if match is None:
        return text
    low, low_unit, high, high_unit = match.groups()
    told = f"{low} {low_unit or high_unit}, {high} {high_unit or low_unit}"
    return told if valve is None else f"{told}, {valve.group(0).strip(' ,;')}"


def as_tanks(text: str) -> str:
    """`2 x 44 gal`, `two 44 gal tanks` as a volume and a count."""
    match = _SEVERAL.match(re.sub(r"(?<=\d) ?gallon(?= tank)", " gal", text))
    return f"{match.group(3)}, {match.group(1) or match.group(2)}" if match else text


def as_strings(text: str) -> str:
    """`4 x 2`, `4S2P`, `4 in series, 2 in parallel` as two counts."""
    plain = re.sub(r"\bmodules?\b|\bpanels?\b", "", text, flags=re.IGNORECASE).strip()
    plain = re.sub(r"(?<=\d)s(?=\d)", " s ", re.sub(r"\s+", " ", plain), flags=re.IGNORECASE)
    match = _STRINGS.match(plain.replace(" s ", "s ").replace(" ,", ","))
    if match is None:
        return text
    return f"{match.group(1)}, {match.group(2)}" if match.group(2) else match.group(1)


def as_place(text: str) -> str:
    """`41.2 N, 900 ft`, `41° 12' N` as a signed latitude, with what stands behind it."""
    match = _DEGREES.match(text)
    if match is None:
        return text
    degrees, minutes, side, rest = match.groups()
    value = degrees
    if minutes:
        whole = abs(float(degrees)) + float(minutes) / 60.0
        value = f"{'-' if degrees.startswith('-') else ''}{whole:.4f}".rstrip("0").rstrip(".")
    if side and side[0].lower() == "s" and not value.startswith("-"):
        value = f"-{value}"
    return f"{value} deg, {_longitude(rest.strip(' ,'))}".rstrip(" ,")


def _longitude(rest: str) -> str:
    """`75 W, 900 ft`, `-75, 900 ft`: a longitude behind the latitude, called by its name."""
    match = _EAST_WEST.match(rest)
    if match is None:
        return rest
    signed, degrees, side, behind = match.groups()
    value = signed or (f"-{degrees}" if side.lower() == "w" else degrees)
    return f"longitude {value} deg, {behind.strip(' ,')}".rstrip(" ,")


@cache
def spellings(keys: tuple[str, ...]) -> dict[str, Word]:
    """What may be said of a key that takes a word, in any case of letters, and what it means."""
    field = shape.field_at(keys)
    names = None if field is None else shape.names_of(field)
    options = shape.options_of(field) if field is not None and names is None else ()
    known = options if names is None else names.known()
    said: dict[str, Word] = {each: each for each in known if isinstance(each, str)}
    switch = field is not None and bool in shape.types_of(field)
    meant: Mapping[Word, str] = YES_NO if switch else SAID.get(".".join(keys), {})
    for value, texts in meant.items():
        said |= dict.fromkeys(texts.split(", "), value)
    return said
