"""Units as people say and write them, and the unit of the site file that each of them means."""

from __future__ import annotations

from wellsolar.kinds import Kind

DEGREES = frozenset({"deg", "degs", "degree", "degrees", "°"})
"""Of a temperature, these leave open which scale is meant: then it is the customary one."""

_WORDS = {
    "ft": ("foot", "feet", "ft", "'"),
    "in": ("inch", "inches", "in", '"'),
    "yd": ("yard", "yards"),
    "m": ("metre", "metres", "meter", "meters", "mtr", "mtrs", "m"),
    "cm": ("centimetre", "centimetres", "centimeter", "centimeters", "cm"),
    "mm": ("millimetre", "millimetres", "millimeter", "millimeters", "mm"),
    "gpm": (
        "gpm", "gallons per minute", "gallon per minute", "gallons a minute", "gallon a minute",
        "gals per minute", "gal per minute", "gal per min", "gallons/minute", "gallons/min",
        "gals/min", "gal/minute",
    ),
    "gph": ("gallons per hour", "gallons an hour", "gal per hour", "gallons/hour", "gal/hour"),
    "gal/day": (
        "gallons per day", "gallons a day", "gal per day", "gal a day", "gallons/day",
        "gals per day", "gals a day", "gals/day",
    ),
    "L/min": (
        "litres per minute", "liters per minute", "litres a minute", "liters a minute",
        "l per min", "litres/min", "liters/min", "litre per minute", "liter per minute", "lt/min",
    ),
    "L/s": ("litres per second", "liters per second", "litres a second", "l per s", "l/sec"),
    "L/h": ("litres per hour", "liters per hour", "litres an hour", "l per hour", "l/hr"),
    "L/day": ("litres per day", "liters per day", "litres a day", "liters a day", "l a day"),
    "m3/h": ("cubic metres per hour", "cubic meters per hour", "m3 per hour", "m3/hr"),
    "gal": ("gals", "gallon", "gallons", "us gal", "us gallon", "us gallons"),
    "L": ("litre", "litres", "liter", "liters", "ltr", "ltrs", "lt"),
    "psi": ("pound", "pounds", "lb", "lbs", "#", "psig", "pounds per square inch"),
    "bar": ("bars",),
    "kPa": ("kilopascal", "kilopascals"),
    "degF": ("f", "degf", "deg f", "degree f", "degrees f", "° f", "fahrenheit",
             "deg fahrenheit", "degrees fahrenheit"),
    "degC": ("c", "degc", "deg c", "degree c", "degrees c", "° c", "celsius", "centigrade",
             "deg celsius", "degrees celsius", "degrees centigrade"),
    "hp": ("hp", "horse", "horses", "horsepower", "horse power"),
    "W": ("watt", "watts", "w"),
    "kW": ("kilowatt", "kilowatts"),
    "Btu/h": ("btu/hr", "btu per hour", "btus per hour", "btuh"),
    "kVA": ("kilovoltampere", "kilovolt-amperes"),
    "V": ("volt", "volts", "v"),
    "A": ("amp", "amps", "ampere", "amperes", "a"),
    "kWh": ("kilowatt hour", "kilowatt hours", "kilowatt-hour", "kilowatt-hours", "kwhr", "kw h"),
    "kWh/m2/day": ("psh", "kwh per m2 per day", "kwh per m2", "kwh/m2 a day", "kwh/m2 per day"),
    "%": ("per cent", "percent", "pct"),
    "deg": ("deg", "degs", "degree", "degrees", "°"),
}  # fmt: skip

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
    return next((unit for unit in _MEANT.get(low, ()) if unit in kind.written), plain)
