"""Faults planted in invented sites: each changes what is there, and a sheet is read off the models
of that, with the errors of the meters; the program then judges it by the file of the sound site.

The sites, faults and meters are drawn by chance; their ranges are ours, no source."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tests.studies.reading.conftest import TEXT, USUAL
from wellsolar.results.readings import ReadingsResult
from wellsolar.site.loading.read import parse_site
from wellsolar.site.readings.file import Readings, readings_of_options
from wellsolar.studies.case import Case
from wellsolar.studies.electric.starting import current_of
from wellsolar.studies.reading.meter import AMPERES, VOLTS
from wellsolar.studies.reading.pumps import ReadPump
from wellsolar.studies.reading.study import study_readings
from wellsolar.studies.reading.sun import SKY_SHARES, ArrayAtReading, array_at_reading

BUCKET = 0.020
PSI = 6894.757293168

OFF = {
    "static_level": "0.5 ft", "pumping_level": "0.5 ft", "precharge": "1 psi",
    "gauge_pressure": "1 psi", "evening_pressure": "1 psi", "morning_pressure": "1 psi",
    "fill_time": "1 s", "bucket_time": "1 s", "bucket_volume": "2 %", "pump_amps": "2 %",
    "element_amps": "2 %", "element_volts": "1 %", "irradiance": "5 %", "hand_strokes": "1",
}  # fmt: skip
"""What each meter may be off, as it is written beside its reading: twice the standard error with
which it is read."""

UNITS = {
    "static_level": ("ft", 0.3048), "pumping_level": ("ft", 0.3048), "precharge": ("psi", PSI),
    "gauge_pressure": ("psi", PSI), "evening_pressure": ("psi", PSI),
    "morning_pressure": ("psi", PSI), "fill_time": ("s", 1.0), "bucket_time": ("s", 1.0),
    "bucket_volume": ("L", 1e-3), "pump_amps": ("A", 1.0), "element_amps": ("A", 1.0),
    "element_volts": ("V", 1.0), "irradiance": ("W/m2", 1.0), "hand_strokes": ("", 1.0),
}  # fmt: skip

HAND = """[hand_pump]
kind = "deep well"
bore = "{bore} in"
stroke = "6 in"
cylinder_depth = "{cylinder} ft"
volumetric_efficiency = "90 %"
rising_main = {{ material = "galvanised steel", size = "1 1/4 in" }}
"""

RIGHT = {
    "loose string": r"strings? of \d+ open",
    "dirty array": "shaded, dirty",
    "wrong precharge": "precharge|air never set",
    "leaking check valve": "check valve",
    "blocked screen": "clogged screen, a dry season",
    "falling level": "a season drier|stands deeper at rest",
    "worn cylinder": "worn cylinder",
    "wrong element": "^an element of|^two such elements|^an element that is not",
}
"""The faults, and how the right cause of each is worded."""

BESIDE = {"dripping tap": "tap that drips"}
"""A fault that looks like one of them, so that no order of causes is right by itself."""

OHMS = tuple(
    volts**2 / watts
    for watts, volts in (
        (1000, 120), (1650, 120), (2000, 240), (2500, 240), (3000, 240), (3500, 208), (3800, 240),
        (5500, 240), (6000, 240), (9000, 240), (3000, 230), (2000, 230),
    )
)  # fmt: skip
"""Resistances of elements that may be put in by mistake [ohm]."""


def sound_site(chance: random.Random) -> str:
    """The text of a site drawn by chance."""
    cut_in = chance.choice((30, 40))
    static = chance.uniform(45.0, 120.0)
    halved, parallel, series = chance.choice(
        ((False, 2, 6), (False, 2, 7), (False, 2, 8), (True, 3, 5), (True, 3, 6), (True, 4, 7))
    )
    module = USUAL["module"]
    if halved:
        module = module.replace("9.7 A", "4.85 A").replace("9.2 A", "4.6 A")
    element = chance.choice(("4500 W", "3800 W", "4800 W"))
    parts = {
        "latitude": f"{chance.uniform(30.0, 46.0):.1f} deg",
        "static": f"{static:.1f} ft",
        "well": f'specific_capacity = "{chance.uniform(0.3, 1.2):.2f} gpm/ft"\n'
                'casing_bore = "6.065 in"',
        "switch": f'cut_in = "{cut_in} psi"\ncut_out = "{cut_in + 20} psi"',
        "tank": f'volume = "{chance.choice((44, 62, 86, 119))} gal"\n'
                f'precharge = "{cut_in - 2} psi"',
        "module": module,
        "array": f"series = {series}\nparallel = {parallel}",
        "element": USUAL["element"].replace("4500 W", element),
        "more": HAND.format(
            bore=chance.choice(("1.75", "2", "2.5")), cylinder=f"{static + 50:.0f}"
        ),
    }  # fmt: skip
    return TEXT.format(**{**USUAL, **parts})


@dataclass
class Planted:
    """A site with what is really there.

    sound: by its file; there: with the fault
    light: of the sun that reaches the modules [-]
    leaks, drips: water lost behind and before the house main valve at 1 bar [m3/s]
    """

    sound: Case
    there: Case
    light: float = 1.0
    leaks: float = 0.0
    drips: float = 0.0

    @cached_property
    def array(self) -> ArrayAtReading:
        """The array that is there."""
        found = array_at_reading(self.there)
        assert found is not None
        return found


def plant(sound: Case, fault: str, chance: random.Random) -> Planted:
    """A site with a fault of a size drawn by chance; a sound one where none is named."""
    site = sound.site
    switch, heater = site.pressure_switch, site.water_heater
    assert switch is not None
    assert heater is not None

    def there(key: str, value: object) -> Planted:
        return Planted(sound, sound.with_site(sound.file.with_values({key: value}).site))

    if fault == "loose string":
        return there("array[1].parallel", site.array[0].parallel - 1)
    if fault == "dirty array":
        return Planted(sound, sound, light=chance.uniform(0.5, 0.85))
    if fault == "wrong precharge":
        cut_in = switch.cut_in / PSI
        low, high = chance.uniform(8.0, cut_in - 8.0), cut_in + chance.uniform(3.0, 12.0)
        return there("pressure_tank.precharge", f"{chance.choice((low, high)):.2f} psi")
    if fault in ("leaking check valve", "dripping tap"):
        lost = math.exp(chance.uniform(math.log(2.5), math.log(20.0))) * 1e-3 / 3600.0
        return Planted(sound, sound, **{"leaks" if "valve" in fault else "drips": lost})
    if fault == "blocked screen":
        capacity = site.well.specific_capacity
        assert capacity is not None
        less = capacity.to("gpm/ft") * chance.uniform(0.25, 0.6)
        return there("well.specific_capacity", f"{less:.5f} gpm/ft")
    if fault == "falling level":
        return there(
            "well.static_level", f"{site.well.static_level + chance.uniform(3, 12):.3f} m"
        )
    if fault == "worn cylinder":
        return there("hand_pump.volumetric_efficiency", f"{chance.uniform(35.0, 68.0):.1f} %")
    if fault == "wrong element":
        own = heater.element[0].rated_voltage ** 2 / heater.element[0].rated_power
        ohms = chance.choice([each for each in OHMS if abs(each / own - 1.0) > 0.18])
        return there("water_heater.element[1].rated_power", f"{240.0**2 / ohms:.1f} W")
    return Planted(sound, sound)


def sheet(planted: Planted, chance: random.Random) -> list[Readings]:
    """A sheet as it is read there: every meter with its error, in the order of the work."""
    rows = [_at_rest(planted), _fill(planted), _pumping(planted), _night(planted, "open", chance)]
    rows += [_hand(planted), _in_the_sun(planted, chance, metered=True)]
    rows.append(_in_the_sun(planted, chance, metered=False))
    written = [_written(row, chance) for row in rows]
    night = study_readings(planted.sound, [written[3]]).readings
    assert night is not None
    if any(
        each.causes for each in night.readings
    ):  # Who finds pressure lost tries again with the valve shut.
        written.append(_written(_night(planted, "shut", chance), chance))
    return written


Row = dict[str, float | str]


def _written(row: Row, chance: random.Random) -> Readings:
    """Values [SI] as a meter shows them, and a person writes them down."""
    texts = {}
    for key, value in row.items():
        if isinstance(value, str):
            texts[key] = value
            continue
        unit, factor = UNITS[key]
        shown, off = value / factor, OFF[key]
        size = float(off.split()[0]) * (abs(shown) / 100.0 if off.endswith("%") else 1.0)
        shown = max(0.0, chance.gauss(shown, size / 2.0))
        text = f"{round(shown)}" if key == "hand_strokes" else f"{shown:.4g} {unit}"
        texts[key] = f"{text} +- {off}"
    return readings_of_options(texts)


def _at_rest(planted: Planted) -> Row:
    site = planted.there.site
    assert site.pressure_tank is not None
    assert site.pressure_tank.precharge is not None
    return {
        "date": "2026-05-14", "time": "08:30",
        "static_level": float(site.well.static_level),
        "precharge": float(site.pressure_tank.precharge),
    }  # fmt: skip


def _fill(planted: Planted) -> Row:
    (pump,) = planted.there.pumps
    table = planted.there.site.pump[0]
    assert pump.fill is not None
    assert pump.fill.duration is not None
    watts = sum(duty.input_power for duty in pump.duties) / len(pump.duties)
    return {
        "date": "2026-05-14", "time": "09:10", "fill_time": pump.fill.duration,
        "pump_amps": current_of(table, watts),
    }  # fmt: skip


def _pumping(planted: Planted) -> Row:
    site = planted.there.site
    switch = site.pressure_switch
    assert switch is not None
    gauge = (switch.cut_in + switch.cut_out) / 2.0
    duty = ReadPump(site, site.pump[0], Readings("", {})).on_well.duty("at the gauge", gauge)
    return {
        "date": "2026-05-14", "time": "10:20", "gauge_pressure": gauge,
        "bucket_volume": BUCKET, "bucket_time": BUCKET / duty.flow,
        "pumping_level": duty.pumping_level,
    }  # fmt: skip


def _night(planted: Planted, valve: str, chance: random.Random) -> Row:
    """Nine hours: water runs out as through a small hole, and the tank's air follows Boyle."""
    site = planted.there.site
    switch, tank = site.pressure_switch, site.pressure_tank
    assert switch is not None
    assert tank is not None
    assert tank.precharge is not None
    atmosphere, volume = 101325.0, float(tank.volume)
    first = switch.cut_out - chance.uniform(1.0, 6.0) * PSI
    pressure, step = first, 60.0
    air = (tank.precharge + atmosphere) * volume / (pressure + atmosphere)
    hole = planted.leaks + (planted.drips if valve == "open" else 0.0)
    for _ in range(round(9 * 3600 / step)):
        if pressure <= tank.precharge:
            break
        air += hole * math.sqrt(max(pressure, 0.0) / 1e5) * step
        pressure = (tank.precharge + atmosphere) * volume / air - atmosphere
    day = "2026-05-15" if valve == "open" else "2026-05-16"
    return {
        "date": day, "time": "06:30", "evening_pressure": float(first),
        "morning_pressure": float(pressure), "hours_between": "9 h", "house_main": valve,
    }  # fmt: skip


def _hand(planted: Planted) -> Row:
    hand = planted.there.hand_pump
    duty = None if hand is None else hand.duty("spout")
    assert duty is not None
    return {
        "date": "2026-05-14", "time": "11:00", "hand_strokes": BUCKET / duty.stroke_volume,
    }  # fmt: skip


def _in_the_sun(planted: Planted, chance: random.Random, metered: bool) -> Row:
    """At the element in an hour of the site's own year: by a sun meter, or under a clear sky."""
    array = planted.array
    plane = array.plane
    assert plane is not None
    assert array.clearness is not None
    bright = plane.plane_of_array_irradiance > (400.0 if metered else 300.0)
    low, high = SKY_SHARES["clear"]
    clear = bright & (array.clearness >= low) & (array.clearness <= high)
    chosen = np.flatnonzero(bright if metered else clear)
    hour = int(chosen[chance.randrange(chosen.size)])
    light = float(plane.plane_of_array_irradiance[hour])
    suns = np.array([light * planted.light])
    cells = np.array([float(plane.cell_temperature[hour])])
    clock = float(plane.hours.hour_of_day[hour])
    row: Row = {
        "date": f"2026-{int(plane.hours.month[hour]):02d}-14",
        "time": f"{int(clock):02d}:{int(clock % 1 * 60):02d}",
        "element_amps": float(AMPERES.read(array.circuit, suns, cells)[0]),
        "element_volts": float(VOLTS.read(array.circuit, suns, cells)[0]),
    }
    return row | ({"irradiance": light} if metered else {"sky": "clear"})


def judged(planted: Planted, given: list[Readings]) -> ReadingsResult:
    """What the program says of a sheet, by the file of the sound site."""
    found = study_readings(planted.sound, given).readings
    assert found is not None
    return found


def sites(seed: int, count: int) -> list[Case]:
    """Sites drawn by chance, whose pump reaches cut-out."""
    chance, found = random.Random(seed), []
    while len(found) < count:
        case = Case(parse_site(sound_site(chance)))
        (pump,) = case.pumps
        if pump.fill is not None and pump.fill.duration is not None:
            found.append(case)
    return found
