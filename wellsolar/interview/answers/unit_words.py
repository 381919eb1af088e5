"""Units as people say and write them, and the unit of the site file that each of them means."""

from __future__ import annotations

import re

from wellsolar.kinds import Kind

DEGREES = frozenset({"deg", "degs", "degree", "degrees", "°"})
"""Of a temperature, these leave open which scale is meant: then it is the customary one."""

_WORDS = {
    "ft": {"foot", "feet", "ft", "'"},
    "in": {"inch", "inches", "in", '"'},
    "yd": {"yard", "yards"},
    "m": {"metre", "metres", "meter", "meters", "mtr", "mtrs", "mts", "m"},
    "cm": {"centimetre", "centimetres", "centimeter", "centimeters", "cm"},
    "mm": {"millimetre", "millimetres", "millimeter", "millimeters", "mm"},
    "gal": {"gal", "gals", "gallon", "gallons", "us gal", "us gallon", "us gallons"},
    "L": {"litre", "litres", "liter", "liters", "ltr", "ltrs", "lt", "lit", "lits", "l"},
    "m3": {"cubic metre", "cubic metres", "cubic meter", "cubic meters", "cum", "cu m", "m3",
           "kilolitre", "kilolitres", "kiloliter", "kiloliters", "kl"},
    "psi": {"pound", "pounds", "lb", "lbs", "#", "psig", "pounds per square inch"},
    "bar": {"bars"},
    "kPa": {"kilopascal", "kilopascals"},
    "degF": {"f", "degf", "deg f", "degree f", "degrees f", "° f", "fahrenheit",
             "deg fahrenheit", "degrees fahrenheit"},
    "degC": {"c", "degc", "deg c", "degree c", "degrees c", "° c", "celsius", "centigrade",
             "deg celsius", "degrees celsius", "degrees centigrade"},
    "hp": {"hp", "horse", "horses", "horsepower", "horse power"},
    "W": {"watt", "watts", "w", "wp", "watt peak", "watts peak"},
    "kW": {"kilowatt", "kilowatts"},
    "Btu/h": {"btu/hr", "btu per hour", "btus per hour", "btuh"},
    "kVA": {"kilovoltampere", "kilovolt-amperes"},
    "V": {"volt", "volts", "v"},
    "A": {"amp", "amps", "ampere", "amperes", "a"},
    "kWh": {"kilowatt hour", "kilowatt hours", "kilowatt-hour", "kilowatt-hours", "kwhr", "kw h"},
    "kWh/m2/day": {"psh", "kwh per m2 per day", "kwh per m2", "kwh/m2 a day", "kwh/m2 per day"},
    "%": {"per cent", "percent", "pct"},
    "deg": {"deg", "degs", "degree", "degrees", "°"},
}  # fmt: skip

_TIMES = {
    "s": {"s", "sec", "secs", "second", "seconds"},
    "min": {"m", "min", "mins", "minute", "minutes"},
    "h": {"h", "hr", "hrs", "hour", "hours"},
    "day": {"d", "day", "days"},
}
_FLOWS = {"gal/min": "gpm", "gal/h": "gph"}
"""Flows that are named otherwise than by their volume and time."""

_FLOW = re.compile(r"(?:us )?(.+?)(?: ?/ ?| per | an? | ?p ?)([a-z]+)")
"""A volume within a time."""

_MEANT: dict[str, list[str]] = {}
for _unit, _said in _WORDS.items():
    for _word in _said:
        _MEANT.setdefault(_word, []).append(_unit)


def unit_meant(said: str, kind: Kind, customary: str) -> str:
    """The unit of a kind that a person's word behind a number means, the customary one where
    nothing was said; what was said where the kind knows none such."""
    plain = " ".join(said.replace("²", "2").replace("³", "3").split())
    if not plain:
        return customary
    low = plain.lower().replace(".", "").strip()
    if low in DEGREES and low not in kind.written:
        return customary if customary.startswith("deg") else plain
    meant = _MEANT.get(low) or ([] if plain in kind.written else _flow(low))
    return next((unit for unit in meant if unit in kind.written), plain)


def _flow(said: str) -> list[str]:
    """The flow that a volume within a time is, such as `litres a minute`, `lph` or `cum/hr`."""
    match = _FLOW.fullmatch(said)
    if match is None:
        return []
    volume = "gal" if match[1] == "g" else next(
        (unit for unit in _MEANT.get(match[1], ()) if unit in ("gal", "L", "m3")), "")  # fmt: skip
    time = next((unit for unit, words in _TIMES.items() if match[2] in words), "")
    flow = f"{volume}/{time}"
    return [_FLOWS.get(flow, flow)]
