"""The kinds of quantity that a well, its pumps, its sun and its heat are described with.

A kind knows the units a person may write for it, the SI unit it is kept in, and how it is printed
in US and in SI units. A kind is finer than a dimension: a gauge pressure is not an absolute one, a
temperature is not a temperature difference, a daily volume is printed unlike a pump's flow.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeVar


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
    figures: the most that are printed of its numbers, as far as what they are summed of is known;
        None where whole numbers keep all theirs
    """

    name: str
    si: str
    key: str
    example: str
    written: Mapping[str, str] = field(repr=False)
    us: tuple[Shown, ...] = field(repr=False)
    metric: tuple[Shown, ...] = field(repr=False)
    figures: int | None = field(repr=False, default=None)

    @property
    def exact(self) -> Kind:
        """The same, printed with all whole digits."""
        return self if self.figures is None else replace(self, figures=None)


def _units(*spelled: str) -> dict[str, str]:
    """Units as written, from lines such as "foot: ft, feet": an expression and its spellings."""
    return {
        written: expression
        for expression, _, spellings in (line.partition(": ") for line in spelled)
        for written in spellings.split(", ")
    }


def _one(label: str, decimals: int, unit: str | None = None) -> tuple[Shown, ...]:
    return (Shown(label, label if unit is None else unit, decimals),)


def _kind(
    name: str,
    si: str,
    key: str,
    example: str,
    written: Mapping[str, str],
    us: tuple[Shown, ...],
    metric: tuple[Shown, ...] | None = None,
    figures: int | None = None,
) -> Kind:
    """A kind; printed in SI units as in US units where nothing else is said."""
    return Kind(name, si, key, example, written, us, us if metric is None else metric, figures)


def _counted(thing: str) -> Kind:
    """The kind of a number of things, which is printed with their name."""
    shown = (Shown(f"{thing}s", "", 0, thing),)
    return Kind(f"number of {thing}s", "", "count", "4", {"": ""}, shown, shown)


_PURE = {"": ""}
_LENGTHS = _units(
    "foot: ft, feet, foot, '",
    'inch: in, inch, inches, "',
    "yard: yd",
    "mile: mile, miles",
    "meter: m",
    "centimeter: cm",
    "millimeter: mm",
    "kilometer: km",
)
_FLOWS = _units(
    "gallon/minute: gpm, gal/min",
    "gallon/hour: gph, gal/h, gal/hr",
    "gallon/day: gal/day, gal/d, gpd",
    "foot**3/minute: cfm",
    "liter/second: L/s",
    "liter/minute: L/min, lpm",
    "liter/hour: L/h",
    "liter/day: L/day, L/d",
    "meter**3/second: m3/s",
    "meter**3/hour: m3/h",
    "meter**3/day: m3/day, m3/d",
)
_POWERS = _units(
    "watt: W, watt, watts",
    "kilowatt: kW",
    "horsepower: hp, HP",
    "Btu/hour: Btu/h, BTU/h, btu/h",
)
_PRESSURES = _units(
    "psi: psi, psig",
    "kilopascal: kPa",
    "pascal: Pa",
    "megapascal: MPa",
    "bar: bar",
    "millibar: mbar",
    "ftH2O: ftH2O, ft H2O, ft of water, feet of water",
    "mH2O: mH2O, m of water",
)
_TIMES = _units(
    "second: s, sec, seconds",
    "minute: min, minutes",
    "hour: h, hr, hours",
    "day: day, days, d",
)

LENGTH = _kind("length", "meter", "m", "85 ft", _LENGTHS, _one("ft", 1), _one("m", 1))
BORE = _kind("small length", "meter", "m", "6 in", _LENGTHS, _one("in", 2), _one("mm", 1))
ROUGHNESS = _kind(
    "height of roughness", "meter", "m", "0.15 mm", _LENGTHS, _one("in", 5), _one("mm", 4)
)
HEAD = _kind("head of water", "meter", "m", "120 ft", _LENGTHS, _one("ft", 1), _one("m", 1))
FLOW = _kind(
    "flow", "meter**3/second", "m3_per_s", "6 gpm", _FLOWS, _one("gpm", 2), _one("L/min", 1)
)
DAILY_FLOW = _kind(
    "water a day",
    "meter**3/second",
    "m3_per_s",
    "260 gal/day",
    _FLOWS,
    _one("gal/day", 1),
    _one("L/day", 0),
)
VOLUME = _kind(
    "volume",
    "meter**3",
    "m3",
    "50 gal",
    _units(
        "gallon: gal, gallon, gallons",
        "liter: L, l, litre, litres, liter, liters",
        "meter**3: m3",
        "foot**3: ft3, cu ft",
        "milliliter: mL",
    ),
    _one("gal", 2),
    _one("L", 1),
)
PRESSURE = _kind(
    "gauge pressure", "pascal", "Pa_gauge", "40 psi", _PRESSURES, _one("psi", 1), _one("kPa", 0)
)
PRESSURE_LOSS = _kind(
    "pressure difference", "pascal", "Pa", "10 psi", _PRESSURES, _one("psi", 2), _one("kPa", 1)
)
ABSOLUTE_PRESSURE = _kind(
    "absolute pressure",
    "pascal",
    "Pa_absolute",
    "14.7 psia",
    _units("psi: psia", "kilopascal: kPa", "pascal: Pa", "bar: bar", "millibar: mbar"),
    _one("psia", 2),
    _one("kPa abs", 1, "kPa"),
)
TEMPERATURE = _kind(
    "temperature",
    "degC",
    "degC",
    "52 degF",
    _units("degF: degF, °F, deg F, F", "degC: degC, °C, deg C, C", "kelvin: K"),
    _one("°F", 0, "degF"),
    _one("°C", 1, "degC"),
)
TEMPERATURE_DIFFERENCE = _kind(
    "temperature difference",
    "kelvin",
    "K",
    "10 degF",
    _units(
        "delta_degF: degF, °F, deg F, F",
        "delta_degC: degC, °C, deg C, C",
        "kelvin: K",
        "delta_degF: delta_degF",
        "delta_degC: delta_degC",
    ),
    _one("°F", 1, "degF"),
    _one("K", 1),
)
POWER = _kind("power", "watt", "W", "1200 W", _POWERS, _one("W", 0))
HEAT_INPUT = _kind(
    "heat input", "watt", "W", "15000 Btu/h", _POWERS, _one("Btu/h", 0), _one("W", 0)
)
SHAFT_POWER = _kind("motor power", "watt", "W", "1/2 hp", _POWERS, _one("hp", 2), _one("W", 0))
APPARENT_POWER = _kind(
    "apparent power",
    "watt",
    "VA",
    "6 kVA",
    _units("watt: VA", "kilowatt: kVA", "watt: W", "kilowatt: kW"),
    _one("VA", 0),
)
ENERGY = _kind(
    "energy",
    "joule",
    "J",
    "10 kWh",
    _units(
        "kilowatt_hour: kWh",
        "watt_hour: Wh",
        "megawatt_hour: MWh",
        "joule: J",
        "kilojoule: kJ",
        "megajoule: MJ",
        "Btu: Btu, BTU",
    ),
    _one("kWh", 2),
    figures=3,
)
IRRADIANCE = _kind(
    "irradiance",
    "watt/meter**2",
    "W_per_m2",
    "1000 W/m2",
    _units("watt/meter**2: W/m2", "kilowatt/meter**2: kW/m2"),
    _one("W/m²", 0, "W/m2"),
)
IRRADIATION = _kind(
    "sun a day",
    "joule/meter**2",
    "J_per_m2",
    "4.5 kWh/m2/day",
    _units(
        "kilowatt_hour/meter**2: kWh/m2, kWh/m2/day, kWh/m2/d",
        "megajoule/meter**2: MJ/m2, MJ/m2/day, MJ/m2/d",
        "kilowatt_hour/meter**2: peak sun hours, peak sun hour, sun hours",
        "watt_hour/meter**2: Wh/m2, Wh/m2/day",
        "joule/meter**2: J/m2",
    ),
    _one("kWh/m²", 2, "kWh/m2"),
)
VOLTAGE = _kind(
    "voltage",
    "volt",
    "V",
    "240 V",
    _units("volt: V, volt, volts", "kilovolt: kV", "millivolt: mV"),
    _one("V", 1),
)
CURRENT = _kind(
    "current",
    "ampere",
    "A",
    "9.2 A",
    _units("ampere: A, amp, amps", "milliampere: mA"),
    _one("A", 2),
)
RESISTANCE = _kind(
    "resistance",
    "ohm",
    "ohm",
    "12.8 ohm",
    _units("ohm: ohm, ohms, Ω", "kiloohm: kohm", "milliohm: mohm"),
    _one("ohm", 3),
)
HEAT_LOSS = _kind(
    "heat loss per degree",
    "watt/kelvin",
    "W_per_K",
    "1.9 Btu/h/degF",
    _units("watt/kelvin: W/K, W/degC", "Btu/hour/delta_degF: Btu/h/degF, Btu/h/F"),
    _one("Btu/h/°F", 2, "Btu/h/degF"),
    _one("W/K", 2),
)
THERMAL_RESISTANCE = _kind(
    "thermal resistance of a surface",
    "meter**2*kelvin/watt",
    "m2_K_per_W",
    "16 ft2*degF*h/Btu",
    _units(
        "foot**2*delta_degF*hour/Btu: ft2*degF*h/Btu, h*ft2*degF/Btu, ft2*h*degF/Btu",
        "meter**2*kelvin/watt: m2*K/W, m2K/W",
    ),
    _one("ft2·°F·h/Btu", 1, "ft2*degF*h/Btu"),
    _one("m2·K/W", 2, "m2*K/W"),
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
WATCH = _kind("time by the watch", "second", "s", "90 s", _TIMES, _one("s", 1))
_RATES = _units(
    "1/minute: 1/min, /min, per min, strokes/min",
    "1/second: 1/s, /s",
    "1/hour: 1/h, /h, per hour, starts/h",
    "1/day: 1/day, /day, per day, starts/day",
)
STROKE_RATE = _kind(
    "stroke rate", "1/second", "per_s", "40 strokes/min", _RATES, _one("strokes/min", 1)
)
STARTS_AN_HOUR = _kind(
    "starts an hour", "1/second", "per_s", "6 starts/h", _RATES, _one("starts/h", 1)
)
STARTS_A_DAY = _kind(
    "starts a day", "1/second", "per_s", "100 starts/day", _RATES, _one("starts/day", 0)
)
SPEED = _kind(
    "velocity",
    "meter/second",
    "m_per_s",
    "5 ft/s",
    _units("foot/second: ft/s, fps", "meter/second: m/s", "mile/hour: mph"),
    _one("ft/s", 2),
    _one("m/s", 2),
)
FORCE = _kind(
    "force",
    "newton",
    "N",
    "30 lbf",
    _units("lbf: lbf, lb", "newton: N", "kilonewton: kN", "kgf: kgf"),
    _one("lbf", 1),
    _one("N", 0),
)
LINEAR_MASS = _kind(
    "mass per length",
    "kilogram/meter",
    "kg_per_m",
    "0.67 lb/ft",
    _units("pound/foot: lb/ft", "kilogram/meter: kg/m"),
    _one("lb/ft", 3),
    _one("kg/m", 3),
)
SPECIFIC_CAPACITY = _kind(
    "specific capacity",
    "meter**2/second",
    "m2_per_s",
    "0.8 gpm/ft",
    _units(
        "gallon/minute/foot: gpm/ft",
        "liter/second/meter: L/s/m",
        "liter/minute/meter: L/min/m",
        "liter/hour/meter: L/h/m",
        "meter**3/hour/meter: m3/h/m",
        "meter**3/day/meter: m3/day/m",
        "meter**2/second: m2/s",
        "meter**2/day: m2/day",
    ),
    _one("gpm/ft", 3),
    _one("L/min/m", 2),
)
TRANSMISSIVITY = _kind(
    "transmissivity",
    "meter**2/second",
    "m2_per_s",
    "2000 gpd/ft",
    _units(
        "gallon/day/foot: gpd/ft, gal/day/ft",
        "foot**2/day: ft2/day",
        "meter**2/day: m2/day, m2/d",
        "meter**2/hour: m2/h",
        "meter**2/second: m2/s",
    ),
    _one("gpd/ft", 1),
    _one("m²/day", 2, "m2/day"),
)
ANGLE = _kind(
    "angle",
    "degree",
    "deg",
    "35 deg",
    _units("degree: deg, degree, degrees, °"),
    _one("°", 1, "deg"),
)
FRACTION = _kind(
    "fraction", "", "fraction", "85 %", _units("percent: %, percent", ": "), _one("%", 1)
)
RATIO = _kind("ratio", "", "ratio", "5", _PURE, _one("", 2))
COUNT = _kind("count", "", "count", "4", _PURE, _one("", 0))
MODULES = _counted("module")
DAYS = _counted("day")
COUNTED = (COUNT, MODULES, DAYS)
"""Whole numbers, bare or with what is counted."""
LOSS_COEFFICIENT = _kind("loss coefficient", "", "K", "0.9", _PURE, _one("", 2))
RELATIVE_COEFFICIENT = _kind(
    "temperature coefficient",
    "1/kelvin",
    "per_K",
    "-0.30 %/K",
    _units(
        "percent/kelvin: %/K, %/degC, %/°C, %/C", "1/kelvin: 1/K", "percent/delta_degF: %/degF"
    ),
    _one("%/K", 3),
)

ALL = tuple(value for value in list(globals().values()) if isinstance(value, Kind))
"""Every kind, for naming the one that a unit in the wrong place belongs to."""

NAMED: Mapping[str, Kind] = {kind.name: kind for kind in ALL}
"""Every kind by its name."""

SUMMED_VOLUME, SUMMED_COUNT = replace(VOLUME, figures=3), replace(COUNT, figures=3)
"""Water, and strokes or hours, summed over a day or more: wells, weather and habits are known no
better. So is every energy: nothing of a house is bought by four figures of it."""

COMPUTED_POWER = replace(POWER, figures=3)
"""Power by a curve, an efficiency or the sun, of which no more is known. What a plate says stays
as the file has it."""

Of = TypeVar("Of")


def _by_name(*told: tuple[Kind, Of]) -> Iterator[tuple[str, Of]]:
    """What is told of several kinds, each by its name."""
    return ((kind.name, own) for kind, own in told)


SMALLEST: Mapping[str, float] = dict(_by_name(
    (LENGTH, 1e-3), (BORE, 1e-5), (ROUGHNESS, 1e-8),
    (HEAD, 1e-3), (FLOW, 1e-8), (DAILY_FLOW, 1e-9), (VOLUME, 1e-6),
    (PRESSURE, 10.0), (PRESSURE_LOSS, 1.0), (TEMPERATURE, 0.0), (TEMPERATURE_DIFFERENCE, 1e-3),
    (POWER, 0.01), (SHAFT_POWER, 0.1), (APPARENT_POWER, 0.1), (ENERGY, 1.0), (IRRADIANCE, 0.01),
    (IRRADIATION, 100.0), (VOLTAGE, 1e-3), (CURRENT, 1e-4), (RESISTANCE, 1e-3), (HEAT_LOSS, 1e-3),
    (THERMAL_RESISTANCE, 1e-3), (DURATION, 1e-3), (WATCH, 1e-3), (STROKE_RATE, 1e-4),
    (STARTS_A_DAY, 1e-7), (SPEED, 1e-4), (FORCE, 0.01), (SPECIFIC_CAPACITY, 1e-9),
    (TRANSMISSIVITY, 1e-10), (ANGLE, 1e-5), (FRACTION, 1e-6), (RATIO, 1e-9),
    (COUNT, 1e-3), (RELATIVE_COEFFICIENT, 1e-8),
))  # fmt: skip
"""By the name of a kind: what is written of it and is not zero is no less than this, in SI. Less
can't be meant of a house, and formulas make numbers of it that say nothing. Common practice, no
source."""

USUAL: Mapping[str, str] = dict(_by_name(
    (LENGTH, "0 ft .. 1200 ft"), (BORE, "0.1 in .. 12 in"),
    (ROUGHNESS, "0 mm .. 1 mm"), (HEAD, "0 ft .. 1500 ft"),
    (FLOW, "0 gpm .. 100 gpm"), (DAILY_FLOW, "1 gal/day .. 5000 gal/day"),
    (VOLUME, "1 gal .. 1000 gal"), (PRESSURE, "0 psi .. 200 psi"),
    (PRESSURE_LOSS, "0 psi .. 25 psi"), (TEMPERATURE, "-40 degF .. 212 degF"),
    (TEMPERATURE_DIFFERENCE, "0 degF .. 50 degF"), (POWER, "1 W .. 10 kW"),
    (SHAFT_POWER, "1/10 hp .. 7.5 hp"), (APPARENT_POWER, "200 VA .. 50 kVA"),
    (ENERGY, "0 kWh .. 200 kWh"), (IRRADIANCE, "0 W/m2 .. 1200 W/m2"),
    (IRRADIATION, "0.1 kWh/m2 .. 9 kWh/m2"), (VOLTAGE, "1 V .. 1000 V"),
    (CURRENT, "0.1 A .. 200 A"),
    (RESISTANCE, "1 ohm .. 300 ohm"), (HEAT_LOSS, "0.3 W/K .. 6 W/K"),
    (THERMAL_RESISTANCE, "4 ft2*degF*h/Btu .. 40 ft2*degF*h/Btu"), (DURATION, "1 s .. 30 days"),
    (WATCH, "1 s .. 24 h"), (STROKE_RATE, "15 strokes/min .. 60 strokes/min"),
    (STARTS_A_DAY, "10 starts/day .. 400 starts/day"), (SPEED, "0 ft/s .. 15 ft/s"),
    (FORCE, "1 lbf .. 300 lbf"), (SPECIFIC_CAPACITY, "0.01 gpm/ft .. 100 gpm/ft"),
    (TRANSMISSIVITY, "1 gpd/ft .. 500000 gpd/ft"), (ANGLE, "-180 deg .. 360 deg"),
    (FRACTION, "0 % .. 100 %"), (RATIO, "0 .. 100"), (COUNT, "1 .. 1000"),
    (RELATIVE_COEFFICIENT, "-0.5 %/K .. 0.2 %/K"),
))  # fmt: skip
"""By the name of a kind: between what ends a quantity of it mostly lies at a house with its own
well, as a range of a site file; a key that is ordinary in a narrower band has its own beside it.
Common practice, no source."""
