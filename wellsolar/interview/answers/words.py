"""Words of the trade for what a key can hold, and answers in a shape of their own."""

from __future__ import annotations

import re

from wellsolar.interview.answers.question import Value
from wellsolar.interview.answers.spellings import NUMBER

MATERIALS: dict[str, Value] = {
    "polyethylene SIDR": "polyethylene SIDR",
    "polyethylene": "polyethylene SIDR",
    "black poly": "polyethylene SIDR",
    "poly pipe": "polyethylene SIDR",
    "poly": "polyethylene SIDR",
    "PE": "polyethylene SIDR",
    "HDPE": "polyethylene SIDR",
    "PVC schedule 40": "PVC sch 40",
    "PVC sch 40": "PVC sch 40",
    "sch 40 PVC": "PVC sch 40",
    "schedule 40": "PVC sch 40",
    "sch 40": "PVC sch 40",
    "PVC": "PVC sch 40",
    "galvanised steel": "galvanised steel",
    "galvanized steel": "galvanised steel",
    "galvanised": "galvanised steel",
    "galvanized": "galvanised steel",
    "galv": "galvanised steel",
    "steel": "galvanised steel",
    "iron": "galvanised steel",
    "copper K": "copper K",
    "copper type K": "copper K",
    "copper L": "copper L",
    "copper type L": "copper L",
    "copper M": "copper M",
    "copper type M": "copper M",
    "copper": "copper L",
}
SUPPLIES: dict[str, Value] = {
    "AC": "AC",
    "alternating current": "AC",
    "DC": "DC",
    "direct current": "DC",
}
STARTS: dict[str, Value] = {
    "direct": "direct",
    "direct start": "direct",
    "across the line": "direct",
    "soft": "soft",
    "soft start": "soft",
    "soft starter": "soft",
    "soft-start": "soft",
    "variable speed": "variable speed",
    "variable-speed": "variable speed",
    "variable": "variable speed",
    "VFD": "variable speed",
    "constant pressure": "variable speed",
}
PUMP_KINDS: dict[str, Value] = {
    "submersible": "submersible",
    "helical rotor": "helical rotor",
    "suction": "suction",
    "jet pump": "suction",
    "jet": "suction",
}
PHASES: dict[str, Value] = {
    "3 phase": 3,
    "3-phase": 3,
    "three phase": 3,
    "three-phase": 3,
    "1 phase": 1,
    "1-phase": 1,
    "single phase": 1,
    "single-phase": 1,
}
DELIVERS: dict[str, Value] = {
    "pressure tank": "tank",
    "tank": "tank",
    "house": "tank",
    "spout": "spout",
    "bucket": "spout",
}
HAND_KINDS: dict[str, Value] = {
    "suction": "suction",
    "pitcher": "suction",
    "deep well": "deep well",
    "deep-well": "deep well",
}
CONTACTS: dict[str, Value] = {
    "relay": "relay",
    "DC relay": "relay",
    "relay for direct current": "relay",
    "solid state relay": "relay",
    "contactor": "relay",
    "DC contactor": "relay",
    "DC": "DC",
    "DC contacts": "DC",
    "direct current": "DC",
    "AC": "AC",
    "AC contacts": "AC",
    "ordinary thermostat": "AC",
    "thermostat itself": "AC",
    "thermostat": "AC",
}
YES_NO: dict[str, Value] = {
    "yes": True, "yep": True, "yeah": True, "y": True, "true": True, "sure": True,
    "no": False, "nope": False, "n": False, "none": False, "false": False,
}  # fmt: skip

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
    """`40/60`, `40-60 psi`, `40 to 60` as two pressures."""
    match = _PAIR.match(text)
    if match is None:
        return text
    low, low_unit, high, high_unit = match.groups()
    return f"{low} {low_unit or high_unit}, {high} {high_unit or low_unit}"


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
