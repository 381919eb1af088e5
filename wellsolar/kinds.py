"""The kinds of quantity that a well, its pumps, its sun and its heat are described with.

A kind knows the units a person may write for it, the SI unit it is kept in, and how it is printed
in US and in SI units. A kind is finer than a dimension: a gauge pressure is not an absolute one, a
temperature is not a temperature difference, a daily volume is printed unlike a pump's flow.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Shown:
    """How one kind is printed in one system of units.

    label: the unit as printed
    unit: the unit as the kind's table of written units names it
    decimals: the most decimals that make sense to print
    single: the label beside the number 1, where that is another word
    """

    label: str
    unit: str
    decimals: int
    single: str = ""


@dataclass(frozen=True)
class Kind:
    """One kind of quantity.

    name: what a message calls it
    si: the unit it is kept in, as a unit expression for pint; "" for a pure number
    key: the unit as the end of a JSON key, such as `m3_per_s`
    example: how a person may write one
    written: unit as written -> unit expression for pint
    us, metric: how it is printed
    """

    name: str
    si: str
    key: str
    example: str
    written: Mapping[str, str] = field(repr=False)
    us: tuple[Shown, ...] = field(repr=False)
    metric: tuple[Shown, ...] = field(repr=False)


def _one(label: str, unit: str, decimals: int) -> tuple[Shown, ...]:
    return (Shown(label, unit, decimals),)


def _counted(thing: str) -> Kind:
    """The kind of a number of things, which is printed with their name."""
    shown = (Shown(f"{thing}s", "", 0, thing),)
    return Kind(f"number of {thing}s", "", "count", "4", {"": ""}, shown, shown)


_LENGTHS = {
    "ft": "foot",
    "feet": "foot",
    "foot": "foot",
    "'": "foot",
    "in": "inch",
    "inch": "inch",
    "inches": "inch",
    '"': "inch",
    "yd": "yard",
    "mile": "mile",
    "miles": "mile",
    "m": "meter",
    "cm": "centimeter",
    "mm": "millimeter",
    "km": "kilometer",
}
_FLOWS = {
    "gpm": "gallon/minute",
    "gal/min": "gallon/minute",
    "gph": "gallon/hour",
    "gal/h": "gallon/hour",
    "gal/hr": "gallon/hour",
    "gal/day": "gallon/day",
    "gal/d": "gallon/day",
    "gpd": "gallon/day",
    "cfm": "foot**3/minute",
    "L/s": "liter/second",
    "L/min": "liter/minute",
    "lpm": "liter/minute",
    "L/h": "liter/hour",
    "L/day": "liter/day",
    "L/d": "liter/day",
    "m3/s": "meter**3/second",
    "m3/h": "meter**3/hour",
    "m3/day": "meter**3/day",
    "m3/d": "meter**3/day",
}
_POWERS = {
    "W": "watt",
    "watt": "watt",
    "watts": "watt",
    "kW": "kilowatt",
    "hp": "horsepower",
    "HP": "horsepower",
    "Btu/h": "Btu/hour",
    "BTU/h": "Btu/hour",
    "btu/h": "Btu/hour",
}
_PRESSURES = {
    "psi": "psi",
    "psig": "psi",
    "kPa": "kilopascal",
    "Pa": "pascal",
    "MPa": "megapascal",
    "bar": "bar",
    "mbar": "millibar",
    "ftH2O": "ftH2O",
    "ft H2O": "ftH2O",
    "ft of water": "ftH2O",
    "feet of water": "ftH2O",
    "mH2O": "mH2O",
    "m of water": "mH2O",
}
_TIMES = {
    "s": "second",
    "sec": "second",
    "seconds": "second",
    "min": "minute",
    "minutes": "minute",
    "h": "hour",
    "hr": "hour",
    "hours": "hour",
    "day": "day",
    "days": "day",
    "d": "day",
}

LENGTH = Kind("length", "meter", "m", "85 ft", _LENGTHS, _one("ft", "ft", 1), _one("m", "m", 1))
BORE = Kind(
    "small length", "meter", "m", "6 in", _LENGTHS, _one("in", "in", 2), _one("mm", "mm", 1)
)
HEAD = Kind(
    "head of water", "meter", "m", "120 ft", _LENGTHS, _one("ft", "ft", 1), _one("m", "m", 1)
)
FLOW = Kind(
    "flow",
    "meter**3/second",
    "m3_per_s",
    "6 gpm",
    _FLOWS,
    _one("gpm", "gpm", 2),
    _one("L/min", "L/min", 1),
)
DAILY_FLOW = Kind(
    "water a day",
    "meter**3/second",
    "m3_per_s",
    "260 gal/day",
    _FLOWS,
    _one("gal/day", "gal/day", 1),
    _one("L/day", "L/day", 0),
)
VOLUME = Kind(
    "volume",
    "meter**3",
    "m3",
    "50 gal",
    {
        "gal": "gallon",
        "gallon": "gallon",
        "gallons": "gallon",
        "L": "liter",
        "l": "liter",
        "litre": "liter",
        "litres": "liter",
        "liter": "liter",
        "liters": "liter",
        "m3": "meter**3",
        "ft3": "foot**3",
        "cu ft": "foot**3",
        "mL": "milliliter",
    },
    _one("gal", "gal", 2),
    _one("L", "L", 1),
)
PRESSURE = Kind(
    "gauge pressure",
    "pascal",
    "Pa_gauge",
    "40 psi",
    _PRESSURES,
    _one("psi", "psi", 1),
    _one("kPa", "kPa", 0),
)
PRESSURE_LOSS = Kind(
    "pressure difference",
    "pascal",
    "Pa",
    "10 psi",
    _PRESSURES,
    _one("psi", "psi", 2),
    _one("kPa", "kPa", 1),
)
ABSOLUTE_PRESSURE = Kind(
    "absolute pressure",
    "pascal",
    "Pa_absolute",
    "14.7 psia",
    {"psia": "psi", "kPa": "kilopascal", "Pa": "pascal", "bar": "bar", "mbar": "millibar"},
    _one("psia", "psia", 2),
    _one("kPa abs", "kPa", 1),
)
TEMPERATURE = Kind(
    "temperature",
    "degC",
    "degC",
    "52 degF",
    {
        "degF": "degF",
        "°F": "degF",
        "deg F": "degF",
        "F": "degF",
        "degC": "degC",
        "°C": "degC",
        "deg C": "degC",
        "C": "degC",
        "K": "kelvin",
    },
    _one("°F", "degF", 0),
    _one("°C", "degC", 1),
)
TEMPERATURE_DIFFERENCE = Kind(
    "temperature difference",
    "kelvin",
    "K",
    "10 degF",
    {
        "degF": "delta_degF",
        "°F": "delta_degF",
        "deg F": "delta_degF",
        "F": "delta_degF",
        "degC": "delta_degC",
        "°C": "delta_degC",
        "deg C": "delta_degC",
        "C": "delta_degC",
        "K": "kelvin",
        "delta_degF": "delta_degF",
        "delta_degC": "delta_degC",
    },
    _one("°F", "degF", 1),
    _one("K", "K", 1),
)
POWER = Kind("power", "watt", "W", "1200 W", _POWERS, _one("W", "W", 0), _one("W", "W", 0))
HEAT_INPUT = Kind(
    "heat input",
    "watt",
    "W",
    "15000 Btu/h",
    _POWERS,
    _one("Btu/h", "Btu/h", 0),
    _one("W", "W", 0),
)
SHAFT_POWER = Kind(
    "motor power", "watt", "W", "1/2 hp", _POWERS, _one("hp", "hp", 2), _one("W", "W", 0)
)
APPARENT_POWER = Kind(
    "apparent power",
    "watt",
    "VA",
    "6 kVA",
    {"VA": "watt", "kVA": "kilowatt", "W": "watt", "kW": "kilowatt"},
    _one("VA", "VA", 0),
    _one("VA", "VA", 0),
)
ENERGY = Kind(
    "energy",
    "joule",
    "J",
    "10 kWh",
    {
        "kWh": "kilowatt_hour",
        "Wh": "watt_hour",
        "MWh": "megawatt_hour",
        "J": "joule",
        "kJ": "kilojoule",
        "MJ": "megajoule",
        "Btu": "Btu",
        "BTU": "Btu",
    },
    _one("kWh", "kWh", 2),
    _one("kWh", "kWh", 2),
)
IRRADIANCE = Kind(
    "irradiance",
    "watt/meter**2",
    "W_per_m2",
    "1000 W/m2",
    {"W/m2": "watt/meter**2", "kW/m2": "kilowatt/meter**2"},
    _one("W/m²", "W/m2", 0),
    _one("W/m²", "W/m2", 0),
)
IRRADIATION = Kind(
    "sun a day",
    "joule/meter**2",
    "J_per_m2",
    "4.5 kWh/m2/day",
    {
        "kWh/m2": "kilowatt_hour/meter**2",
        "kWh/m2/day": "kilowatt_hour/meter**2",
        "kWh/m2/d": "kilowatt_hour/meter**2",
        "MJ/m2": "megajoule/meter**2",
        "MJ/m2/day": "megajoule/meter**2",
        "MJ/m2/d": "megajoule/meter**2",
        "peak sun hours": "kilowatt_hour/meter**2",
        "peak sun hour": "kilowatt_hour/meter**2",
        "sun hours": "kilowatt_hour/meter**2",
        "Wh/m2": "watt_hour/meter**2",
        "Wh/m2/day": "watt_hour/meter**2",
        "J/m2": "joule/meter**2",
    },
    _one("kWh/m²", "kWh/m2", 2),
    _one("kWh/m²", "kWh/m2", 2),
)
VOLTAGE = Kind(
    "voltage",
    "volt",
    "V",
    "240 V",
    {"V": "volt", "volt": "volt", "volts": "volt", "kV": "kilovolt", "mV": "millivolt"},
    _one("V", "V", 1),
    _one("V", "V", 1),
)
CURRENT = Kind(
    "current",
    "ampere",
    "A",
    "9.2 A",
    {"A": "ampere", "amp": "ampere", "amps": "ampere", "mA": "milliampere"},
    _one("A", "A", 2),
    _one("A", "A", 2),
)
RESISTANCE = Kind(
    "resistance",
    "ohm",
    "ohm",
    "12.8 ohm",
    {"ohm": "ohm", "ohms": "ohm", "Ω": "ohm", "kohm": "kiloohm", "mohm": "milliohm"},
    _one("ohm", "ohm", 3),
    _one("ohm", "ohm", 3),
)
HEAT_LOSS = Kind(
    "heat loss per degree",
    "watt/kelvin",
    "W_per_K",
    "1.9 Btu/h/degF",
    {
        "W/K": "watt/kelvin",
        "W/degC": "watt/kelvin",
        "Btu/h/degF": "Btu/hour/delta_degF",
        "Btu/h/F": "Btu/hour/delta_degF",
    },
    _one("Btu/h/°F", "Btu/h/degF", 2),
    _one("W/K", "W/K", 2),
)
THERMAL_RESISTANCE = Kind(
    "thermal resistance of a surface",
    "meter**2*kelvin/watt",
    "m2_K_per_W",
    "16 ft2*degF*h/Btu",
    {
        "ft2*degF*h/Btu": "foot**2*delta_degF*hour/Btu",
        "h*ft2*degF/Btu": "foot**2*delta_degF*hour/Btu",
        "ft2*h*degF/Btu": "foot**2*delta_degF*hour/Btu",
        "m2*K/W": "meter**2*kelvin/watt",
        "m2K/W": "meter**2*kelvin/watt",
    },
    _one("ft2·°F·h/Btu", "ft2*degF*h/Btu", 1),
    _one("m2·K/W", "m2*K/W", 2),
)
DURATION = Kind(
    "time",
    "second",
    "s",
    "2 min",
    _TIMES,
    (Shown("s", "s", 1), Shown("min", "min", 1), Shown("h", "h", 1), Shown("days", "day", 1)),
    (Shown("s", "s", 1), Shown("min", "min", 1), Shown("h", "h", 1), Shown("days", "day", 1)),
)
WATCH = Kind(
    "time by the watch", "second", "s", "90 s", _TIMES, _one("s", "s", 1), _one("s", "s", 1)
)
_RATES = {
    "1/min": "1/minute",
    "/min": "1/minute",
    "per min": "1/minute",
    "strokes/min": "1/minute",
    "1/s": "1/second",
    "/s": "1/second",
    "1/h": "1/hour",
    "/h": "1/hour",
    "per hour": "1/hour",
    "starts/h": "1/hour",
    "1/day": "1/day",
    "/day": "1/day",
    "per day": "1/day",
    "starts/day": "1/day",
}
STROKE_RATE = Kind(
    "stroke rate",
    "1/second",
    "per_s",
    "40 strokes/min",
    _RATES,
    _one("strokes/min", "strokes/min", 1),
    _one("strokes/min", "strokes/min", 1),
)
STARTS_AN_HOUR = Kind(
    "starts an hour",
    "1/second",
    "per_s",
    "6 starts/h",
    _RATES,
    _one("starts/h", "starts/h", 1),
    _one("starts/h", "starts/h", 1),
)
STARTS_A_DAY = Kind(
    "starts a day",
    "1/second",
    "per_s",
    "100 starts/day",
    _RATES,
    _one("starts/day", "starts/day", 0),
    _one("starts/day", "starts/day", 0),
)
SPEED = Kind(
    "velocity",
    "meter/second",
    "m_per_s",
    "5 ft/s",
    {"ft/s": "foot/second", "fps": "foot/second", "m/s": "meter/second", "mph": "mile/hour"},
    _one("ft/s", "ft/s", 2),
    _one("m/s", "m/s", 2),
)
FORCE = Kind(
    "force",
    "newton",
    "N",
    "30 lbf",
    {"lbf": "lbf", "lb": "lbf", "N": "newton", "kN": "kilonewton", "kgf": "kgf"},
    _one("lbf", "lbf", 1),
    _one("N", "N", 0),
)
LINEAR_MASS = Kind(
    "mass per length",
    "kilogram/meter",
    "kg_per_m",
    "0.67 lb/ft",
    {"lb/ft": "pound/foot", "kg/m": "kilogram/meter"},
    _one("lb/ft", "lb/ft", 3),
    _one("kg/m", "kg/m", 3),
)
SPECIFIC_CAPACITY = Kind(
    "specific capacity",
    "meter**2/second",
    "m2_per_s",
    "0.8 gpm/ft",
    {
        "gpm/ft": "gallon/minute/foot",
        "L/s/m": "liter/second/meter",
        "L/min/m": "liter/minute/meter",
        "L/h/m": "liter/hour/meter",
        "m3/h/m": "meter**3/hour/meter",
        "m3/day/m": "meter**3/day/meter",
        "m2/s": "meter**2/second",
        "m2/day": "meter**2/day",
    },
    _one("gpm/ft", "gpm/ft", 3),
    _one("L/min/m", "L/min/m", 2),
)
TRANSMISSIVITY = Kind(
    "transmissivity",
    "meter**2/second",
    "m2_per_s",
    "2000 gpd/ft",
    {
        "gpd/ft": "gallon/day/foot",
        "gal/day/ft": "gallon/day/foot",
        "ft2/day": "foot**2/day",
        "m2/day": "meter**2/day",
        "m2/d": "meter**2/day",
        "m2/h": "meter**2/hour",
        "m2/s": "meter**2/second",
    },
    _one("gpd/ft", "gpd/ft", 1),
    _one("m²/day", "m2/day", 2),
)
ANGLE = Kind(
    "angle",
    "degree",
    "deg",
    "35 deg",
    {"deg": "degree", "degree": "degree", "degrees": "degree", "°": "degree"},
    _one("°", "deg", 1),
    _one("°", "deg", 1),
)
FRACTION = Kind(
    "fraction",
    "",
    "fraction",
    "85 %",
    {"%": "percent", "percent": "percent", "": ""},
    _one("%", "%", 1),
    _one("%", "%", 1),
)
RATIO = Kind("ratio", "", "ratio", "5", {"": ""}, _one("", "", 2), _one("", "", 2))
COUNT = Kind("count", "", "count", "4", {"": ""}, _one("", "", 0), _one("", "", 0))
MODULES = _counted("module")
DAYS = _counted("day")
COUNTED = (COUNT, MODULES, DAYS)
"""Whole numbers, bare or with what is counted."""
LOSS_COEFFICIENT = Kind(
    "loss coefficient", "", "K", "0.9", {"": ""}, _one("", "", 2), _one("", "", 2)
)
RELATIVE_COEFFICIENT = Kind(
    "temperature coefficient",
    "1/kelvin",
    "per_K",
    "-0.30 %/K",
    {
        "%/K": "percent/kelvin",
        "%/degC": "percent/kelvin",
        "%/°C": "percent/kelvin",
        "%/C": "percent/kelvin",
        "1/K": "1/kelvin",
        "%/degF": "percent/delta_degF",
    },
    _one("%/K", "%/K", 3),
    _one("%/K", "%/K", 3),
)

ALL = tuple(value for value in list(globals().values()) if isinstance(value, Kind))
"""Every kind, for naming the one that a unit in the wrong place belongs to."""
