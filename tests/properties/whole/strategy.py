"""Whole sites that could stand somewhere, each valid by construction: for tests of any subject.

`whole_sites()` draws one as the tables of a site file, which `wellsolar.site_from` reads: a house
on a drilled well, a hut with a suction pump, a village with a tank on a stand, a cabin on a
battery, each with whatever else it may have, in US or SI units. Numbers that belong together are
drawn together (a pump suits its well more or less, an array its element), so that verdicts of
every status come out. Then some keys are left out, as people leave out what they don't know. In
one of three a storage tank stands on the way, up a hill or before a booster.

`sample(60, seed=1)` is a list of such sites, the same on every run.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from random import Random
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from wellsolar import site_from
from wellsolar.data import hot_water_tables
from wellsolar.errors import SiteFileError

Tables = dict[str, Any]
"""The tables of a site file by their names; a table of several is a list."""

SI = {
    "ft": ("m", 0.3048, 0.0),
    "in": ("mm", 25.4, 0.0),
    "gpm": ("L/min", 3.785, 0.0),
    "gal": ("L", 3.785, 0.0),
    "gal/day": ("L/day", 3.785, 0.0),
    "psi": ("kPa", 6.895, 0.0),
    "degF": ("degC", 1 / 1.8, -32.0),
    "gpm/ft": ("L/min/m", 12.42, 0.0),
}
"""Unit of trade, unit in its place, factor, and what is added before."""

MOTORS = {"1/3 hp": 1 / 3, "1/2 hp": 0.5, "3/4 hp": 0.75, "1 hp": 1.0, "1 1/2 hp": 1.5,
          "2 hp": 2.0, "3 hp": 3.0, "5 hp": 5.0, "7 1/2 hp": 7.5}  # fmt: skip

MODULES = (
    {"voc": "39.9 V", "isc": "9.7 A", "vmp": "32.6 V", "imp": "9.2 A", "cells": 60},
    {"voc": "22.6 V", "isc": "5.9 A", "vmp": "18.6 V", "imp": "5.4 A", "cells": 36},
    {"voc": "45.6 V", "isc": "9.3 A", "vmp": "37.4 V", "imp": "8.8 A", "cells": 72},
    {"voc": "49.5 V", "isc": "13.9 A", "vmp": "41.6 V", "imp": "13 A", "cells": 72},
)
"""Invented modules of the usual sizes."""

LEVEL_SUN = {
    10: "5.6, 6.1, 6.3, 6.3, 6.1, 5.7, 5.3, 5.0, 5.4, 5.6, 5.5, 5.3",
    25: "4.0, 4.8, 5.7, 6.4, 6.8, 6.6, 6.4, 6.1, 5.4, 4.8, 4.1, 3.7",
    35: "2.6, 3.4, 4.5, 5.6, 6.1, 6.5, 6.3, 5.7, 4.8, 3.9, 2.8, 2.3",
    45: "1.5, 2.4, 3.5, 4.5, 5.5, 6.1, 6.3, 5.4, 4.1, 2.7, 1.6, 1.2",
}
AIR = {
    10: "26, 27, 28, 28, 28, 27, 27, 27, 27, 27, 26, 26",
    25: "17, 18, 21, 24, 27, 29, 30, 30, 28, 25, 21, 18",
    35: "4, 6, 10, 15, 19, 24, 26, 25, 21, 15, 10, 5",
    45: "-8, -6, 0, 7, 14, 19, 22, 20, 15, 9, 1, -6",
}
"""By latitude: sun on the level [kWh/m2/day] and air [degC] of an invented ordinary year."""


class Pen:
    """Draws numbers and writes them with their units, in one system or the other."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.si = draw(st.booleans())

    def pick(self, *choices: Any) -> Any:
        """One of several, the plainest first."""
        return self.draw(st.sampled_from(choices))

    def some(self, one_in: int) -> bool:
        """True once in so many times."""
        return bool(self.draw(st.integers(0, one_in - 1)) == one_in - 1)

    def between(self, low: float, high: float, step: float = 1.0) -> float:
        """A number in steps from the low end."""
        return low + step * self.draw(st.integers(0, round((high - low) / step)))

    def write(self, value: float | Sequence[float], unit: str) -> str:
        """A value or a list in a unit of trade, or in that of the other system."""
        values = [value] if isinstance(value, int | float) else list(value)
        if self.si and unit in SI:
            unit, factor, before = SI[unit]
            values = [(each + before) * factor for each in values]
        return f"{', '.join(f'{each:.6g}' for each in values)} {unit}".strip()

    def drawn(self, low: float, high: float, unit: str, step: float = 1.0) -> str:
        """A number in a unit of trade, drawn and written."""
        return self.write(self.between(low, high, step), unit)

    def perhaps_range(self, value: float, unit: str, up: float) -> str:
        """A value that may be a range upward, with or without its likeliest."""
        low, high = self.write(value, unit), self.write(value * up, unit)
        if low == high:
            return low
        return str(self.pick(low, low, low, f"{low} .. {high}", f"{low} ({low} .. {high})"))

    def perhaps(self, table: Tables, key: str, make: Callable[[], Any], one_in: int = 2) -> None:
        """A key that is there once in so many times."""
        if self.some(one_in):
            table[key] = make()


def pipe(pen: Pen, *sizes: str) -> Tables:
    """A pipe of one of these sizes, of some material."""
    return {
        "material": pen.pick("polyethylene SIDR", "PVC sch 40", "galvanised steel", "copper L"),
        "size": pen.pick(*sizes),
    }


def cable(pen: Pen, least_length: float, ambient: bool = False) -> Tables:
    """A cable; thick enough or not."""
    made: Tables = {
        "gauge": pen.pick("10 AWG", "12 AWG", "8 AWG", "6 AWG", "14 AWG", "2 AWG"),
        "length": pen.write(least_length + pen.between(10, 200, 10), "ft"),
    }
    if ambient or pen.some(4):
        pen.perhaps(made, "ambient", lambda: pen.pick("40 degC", "55 degC", "140 degF"))
        pen.perhaps(made, "conductors", lambda: pen.pick(4, 6, 9))
    return made


@st.composite
def whole_sites(draw: st.DrawFn) -> Tables:
    """The tables of a site file that `wellsolar.site_from` reads.

    Returns:
        plain dicts, lists, texts, numbers and booleans; every text of a quantity has its unit
    """
    pen = Pen(draw)
    latitude = pen.pick(35, 10, 25, 45)
    site: Tables = {
        "site": {
            "name": "Invented",
            "latitude": f"{latitude + pen.pick(0.0, 2.5, 4.0)} deg",
            "altitude": pen.drawn(0, 8000, "ft", 500),
            "people": pen.pick(4, 2, 1, 7, 12),
            "print_units": "SI" if pen.si else "US",
        }
    }
    rest = pen.pick(60.0, 15.0, 120.0, 250.0, 430.0, 8.0)
    site["well"] = well(pen, rest)
    site["piping"] = piping(pen)
    use = site["site"]["people"] * pen.between(10, 110, 10)
    site["demand"] = {
        "daily_use": pen.write(use, "gal/day"),
        "peak_flow": pen.drawn(2, 14, "gpm"),
    }
    pressurised = not pen.some(4)
    if pressurised:
        cut_in = pen.pick(40.0, 30.0, 20.0, 50.0, 70.0)
        site["pressure_switch"] = {
            "cut_in": pen.write(cut_in, "psi"),
            "cut_out": pen.write(cut_in + pen.pick(20.0, 15.0, 30.0), "psi"),
        }
        site["pressure_tank"] = {
            "volume": pen.write(pen.pick(86, 20, 44, 119), "gal"),
            "precharge": pen.write(cut_in + pen.pick(-2.0, -10.0, 1.0, 4.0), "psi"),
        }
        pen.perhaps(site["pressure_tank"], "count", lambda: pen.pick(2, 3), 5)
    if not pressurised or pen.some(4):
        site["storage_tank"] = {"volume": pen.write(use * pen.pick(2, 1, 5, 0.3), "gal")}
        pen.perhaps(site["storage_tank"], "reserve", lambda: pen.pick("30 %", "80 %"))
    site["power"] = power(pen)
    if not pen.some(8):
        site["pump"] = [pump(pen, site, rest, n) for n in range(pen.pick(1, 1, 2))]
    if pen.some(3):
        site["hand_pump"] = hand_pump(pen, rest, float_of(site["well"]["depth"]))
    if pen.some(4):
        site["lift"] = [lift(pen, rest)]
    if not pen.some(3):
        site["sun"] = sun(pen, latitude)
        site["module"] = {**pen.pick(*MODULES)}
        pen.perhaps(site["module"], "voc_coefficient", lambda: pen.pick("-0.3 %/K", "-0.25 %/K"))
        pen.perhaps(site["module"], "on_hand", lambda: pen.pick(8, 16, 40))
        site["array"] = arrays(pen, site, latitude)
    if pen.some(2):
        site["water_heater"] = water_heater(pen, site)
    if pen.some(5):
        site["outage"] = [{"name": "storm", "failed": pen.pick(["grid"], ["grid", "sun"])}]
        pen.perhaps(site["outage"][0], "days", lambda: pen.pick(3, 14))
    leave_out(pen, site)
    guards(site)
    chains(site)
    other_wells(site)
    return site


def float_of(text: str) -> float:
    """The number of a written length, in feet."""
    number, unit = text.split()
    return float(number) / 0.3048 if unit == "m" else float(number)


def well(pen: Pen, rest: float) -> Tables:
    """A drilled well, known by its driller's test, by a capacity, by an aquifer, or not at all."""
    deep = rest + pen.pick(120.0, 40.0, 300.0)
    capacity = pen.pick(0.5, 2.0, 0.15, 0.05, 0.015, 8.0)
    known = pen.pick("capacity", "test", "yield", "aquifer", "readings", "steps", "nothing")
    # A test tells of one level at rest; without one it may be a range over the year.
    up = 1.0 if known in ("test", "readings", "steps") else 1.05 if rest > 200 else 1.2
    made: Tables = {
        "depth": pen.write(deep, "ft"),
        "static_level": pen.perhaps_range(rest, "ft", up),
        "casing_bore": pen.write(pen.pick(6.065, 4.026, 5.0, 8.0), "in"),
        "water_temperature": pen.drawn(42, 72, "degF", 2),
    }
    drawn = pen.pick(0.3, 0.1, 0.7) * (deep - rest)
    flow = capacity * drawn
    if known in ("capacity", "yield", "readings", "steps"):
        made["tested_yield"] = pen.write(flow, "gpm")
    if known == "capacity":
        made["specific_capacity"] = pen.perhaps_range(capacity, "gpm/ft", 1.5)
    if known == "test":
        made["tested_yield"] = pen.write(flow, "gpm")
        made["tested_pumping_level"] = pen.write(rest + drawn, "ft")
    if known == "aquifer":
        made["transmissivity"] = f"{capacity * 1500:.6g} gpd/ft"
        made["storage"] = pen.pick("1e-4", "0.01")
    if known == "readings":
        levels = [rest + drawn * share for share in (0.3, 0.45, 0.6, 0.75, 0.85, 0.95)]
        made["drawdown_test"] = {
            "kind": "pumping",
            "flow": pen.write(flow, "gpm"),
            "time": "2, 6, 20, 60, 120, 240 min",
            "level": pen.write(levels, "ft"),
        }
    if known == "steps":
        shares = (0.3, 0.5, 0.7, 1.0)
        made["step_test"] = {
            "flow": pen.write([flow * share for share in shares], "gpm"),
            "drawdown": pen.write([drawn * (0.7 * s + 0.3 * s * s) for s in shares], "ft"),
        }
        pen.perhaps(made["step_test"], "step_length", lambda: pen.pick("1 h", "30 min"))
    return made


def piping(pen: Pen) -> Tables:
    """From the pump to the pressure tank."""
    made: Tables = {
        "drop_pipe": pipe(pen, "1 1/4 in", "1 in", "3/4 in", "2 in"),
        "lateral": {
            **pipe(pen, "1 1/4 in", "1 in", "3/4 in", "2 in"),
            "length": pen.drawn(20, 320, "ft", 50),
        },
        "pitless_depth": pen.drawn(2, 6, "ft"),
        "frost_depth": pen.drawn(0, 60, "in", 12),
        "tank_elevation": pen.drawn(0, 40, "ft", 5),
    }
    pen.perhaps(made, "treatment_loss", lambda: pen.drawn(2, 10, "psi", 4), 3)
    kinds = pen.pick((), ("check valve", "90 elbow"), ("pitless adapter", "gate valve"))
    if kinds:
        made["fittings"] = [{"kind": kind, "count": pen.pick(1, 4)} for kind in kinds]
    return made


def power(pen: Pen) -> Tables:
    """Grid, inverter, battery and generator, or some of them."""
    made: Tables = {"grid": not pen.some(4)}
    if pen.some(2):
        rating = pen.pick(6000, 2000, 4000, 12000)
        made["inverter_rating"] = f"{rating} VA"
        made["inverter_surge"] = f"{rating * pen.pick(2, 1.5, 3):g} VA"
        made["inverter_voltage"] = pen.pick("240 V", "120 V", "230 V")
        made["battery_energy"] = f"{pen.pick(10, 3, 20)} kWh"
        pen.perhaps(made, "other_use", lambda: pen.pick("1 kWh", "6 kWh"), 3)
    if pen.some(4):
        made["generator_rating"] = f"{pen.pick(7, 3, 12)} kVA"
        pen.perhaps(made, "generator_hours", lambda: pen.pick("2 h", "8 h"))
    return made


def pump(pen: Pen, site: Tables, rest: float, number: int) -> Tables:
    """A powered pump that suits the well more or less."""
    depth = float_of(site["well"]["depth"])
    pressurised = "pressure_switch" in site
    lift = rest + (150 if pressurised else 30)
    kind = pen.pick("submersible", "submersible", "helical rotor", "suction")
    if kind == "suction" and rest > 25:
        kind = "submersible"
    most = pen.pick(12.0, 5.0, 20.0, 1.5)
    shut_off = lift * pen.pick(1.8, 1.4, 1.15, 2.5)
    share = (0.0, 0.25, 0.5, 0.75, 1.0)
    flows = [most * each for each in share]
    fall = (1.0, 0.96, 0.85, 0.64, 0.3)
    if kind == "helical rotor":
        flows, fall = [0.0, *(most * each for each in (0.75, 0.85, 0.95, 1.0))], fall
    heads = [shut_off * each for each in fall]
    horse = most * 0.7 * shut_off * 0.75 / 3960 / 0.55
    rated = next((name for name, value in MOTORS.items() if value >= horse), "7 1/2 hp")
    electric = MOTORS[rated] * 746 / 0.65
    direct = not pen.some(3)
    made: Tables = {
        "name": pen.pick("house pump", "frugal pump") if number == 0 else "second pump",
        "role": pen.pick("existing", "backup", "other"),
        "kind": kind,
        "intake_depth": pen.write(
            rest + (depth - rest) * pen.pick(0.7, 0.4, 0.9) if kind != "suction" else rest + 10,
            "ft",
        ),
        "flow": pen.write(flows, "gpm"),
        "head": pen.write(heads, "ft"),
        "rated_power": rated,
        "dry_run_protection": pen.pick(True, False),
        "cable": cable(pen, rest),
    }
    told = pen.pick("power", "efficiency", "nothing")
    if told == "power":
        made["power"] = pen.write([electric * s for s in (0.55, 0.75, 0.9, 0.98, 1.0)], "W")
    if told == "efficiency":
        made["efficiency"] = pen.pick("35 %", "25 %", "45 %")
    if pen.some(4):
        made |= {"supply": "DC", "voltage": pen.pick("110 V", "48 V", "90 V")}
    else:
        made["voltage"] = pen.pick("230 V", "240 V", "115 V")
        made["power_factor"] = pen.pick("80 %", "95 %")
        if pen.some(5):
            made["phases"] = 3
        if direct:
            plate = pen.pick("locked_rotor_current", "code_letter", "")
            amperes = MOTORS[rated] * 746 / 0.65 / float(made["voltage"].split()[0])
            if plate == "locked_rotor_current":
                made[plate] = f"{amperes * pen.pick(6, 5, 7):.3g} A"
            elif plate:
                made[plate] = pen.pick("J", "M", "K")
            pen.perhaps(made, "full_load_current", lambda: f"{amperes * 1.3:.3g} A", 3)
        else:
            made["start"] = pen.pick("variable speed", "soft")
            pen.perhaps(made, "starting_current", lambda: pen.pick("8 A", "15 A"))
            if made["start"] == "variable speed" and pressurised and pen.some(2):
                made["held_pressure"] = site["pressure_switch"]["cut_out"]
    if kind == "suction":
        made["required_suction_head"] = pen.drawn(5, 14, "ft", 3)
    else:
        made["drop_pipe"] = pipe(pen, "1 1/4 in", "1 in", "3/4 in")
        if pen.some(2):
            made["motor_diameter"] = pen.write(pen.pick(3.75, 2.6), "in")
            made["diameter"] = pen.write(pen.pick(3.9, 3.8), "in")
            made["length"] = pen.drawn(30, 50, "in", 10)
            made["shroud"] = pen.pick(False, True)
    return made


def hand_pump(pen: Pen, rest: float, depth: float) -> Tables:
    """A deep-well hand pump, or one that sucks where the water is near."""
    suction = rest < 25 and pen.some(2)
    bore = pen.pick(2.0, 1.75, 2.5, 3.0)
    made: Tables = {
        "kind": "suction" if suction else "deep well",
        "bore": pen.write(bore, "in"),
        "stroke": pen.drawn(4, 9, "in"),
        "lever_ratio": str(pen.pick(6, 4, 8, 12)),
    }
    if not suction:
        made["cylinder_depth"] = pen.write(rest + (depth - rest) * pen.pick(0.3, 0.6, 0.1), "ft")
        made["rising_main"] = pipe(pen, "1 1/4 in", "2 in")
        made["delivers"] = pen.pick("spout", "tank")
        pen.perhaps(made, "rod_diameter", lambda: pen.pick("7/16 in", "12 mm", "10 mm"))
        pen.perhaps(made, "cylinder_diameter", lambda: pen.write(bore + 0.7, "in"))
        pen.perhaps(made, "cylinder_length", lambda: pen.write(30, "in"))
        pen.perhaps(made, "rated_depth", lambda: pen.write(pen.pick(150, 300), "ft"), 4)
    pen.perhaps(made, "people_pumping", lambda: 2, 3)
    pen.perhaps(made, "person_age", lambda: pen.pick(20, 60), 3)
    pen.perhaps(made, "counterweight", lambda: pen.pick("15 lbf", "40 lbf"), 4)
    return made


def lift(pen: Pen, rest: float) -> Tables:
    """Another way to lift water by hand, by one point or by a table."""
    made: Tables = {
        "name": "rope",
        "kind": pen.pick("rope pump", "bucket and windlass", "pedal pump"),
    }
    heads = pen.pick([50.0], [30.0, 60.0, 100.0], [150.0, 300.0])
    made["head"] = pen.write(heads, "ft")
    made["flow"] = pen.write([240.0 / each for each in heads], "gpm")
    pen.perhaps(made, "efficiency", lambda: "65 %")
    return made


def sun(pen: Pen, latitude: int) -> Tables:
    """The sky and the air by their months, in a clear or a dull place, open or under trees."""
    share = pen.pick(1.0, 0.8)
    months = [share * float(each) for each in LEVEL_SUN[latitude].split(",")]
    made: Tables = {
        "monthly": f"{', '.join(f'{each:.3g}' for each in months)} kWh/m2/day",
        "temperature": f"{AIR[latitude]} degC",
        "record_low": {10: "8 degC", 25: "-3 degC", 35: "-20 degC", 45: "-33 degC"}[latitude],
    }
    pen.perhaps(made, "shading", lambda: ", ".join(["80"] * 3 + ["95"] * 9) + " %", 4)
    pen.perhaps(made, "horizon", lambda: pen.pick("0, 5, 12, 20, 15, 5 deg", "8, 8, 8 deg"), 4)
    return made


def arrays(pen: Pen, site: Tables, latitude: int) -> list[Tables]:
    """Groups of modules for what the site has to feed."""
    wants = ["heater", "battery"]
    if any(each.get("supply") == "DC" for each in site.get("pump", ())):
        wants = ["pump", "heater", "battery"]
    made = []
    for feeds in wants[: pen.pick(2, 1, 3)]:
        group: Tables = {
            "name": f"{feeds} array",
            "feeds": feeds,
            "series": pen.pick(4, 2, 6, 8),
            "parallel": pen.pick(1, 2, 3),
            "tilt": f"{latitude + pen.pick(0, 10, -10)} deg",
            "azimuth": pen.pick("180 deg", "150 deg", "250 deg", "20 deg"),
        }
        pen.perhaps(group, "least_input_voltage", lambda: pen.pick("60 V", "120 V", "30 V"))
        if not pen.some(4):
            group["cable"] = cable(pen, 20, ambient=True)
        if not pen.some(4):
            group["place"] = pen.pick("ground", "roof")
            group["isolator_voltage"] = pen.pick("600 V", "250 V", "1000 V")
            group["isolator_current"] = pen.pick("32 A", "16 A", "63 A")
            group["ground_fault_protection"] = pen.pick(True, False)
            group["arc_fault_protection"] = pen.pick(True, False)
            group["rapid_shutdown"] = pen.pick(True, False)
        pen.perhaps(group, "overcurrent", lambda: pen.pick("15 A", "20 A", "40 A"), 3)
        made.append(group)
    return made


def element(pen: Pen, fed_by: str, position: str) -> Tables:
    """A heating element with its thermostat and what stands between it and its supply."""
    made: Tables = {
        "position": position,
        "rated_power": pen.pick("4500 W", "3800 W", "2000 W", "1440 W"),
        "rated_voltage": pen.pick("240 V", "120 V"),
        "fed_by": fed_by,
        "thermostat": pen.drawn(110, 180, "degF", 10),
    }
    if fed_by in ("grid", "inverter"):
        made["thermostat_switches"] = "AC"
        if fed_by == "inverter" and pen.some(2):
            made["surplus_switch"] = pen.pick("relay", "proportional", "none")
            if made["surplus_switch"] != "none":
                made["surplus_switch_current"] = pen.pick("25 A", "16 A", "40 A")
        return made
    made["thermostat_switches"] = pen.pick("relay", "DC", "AC")
    made["switch_voltage"] = pen.pick("300 V", "125 V", "600 V")
    coupling = pen.pick("direct", "tracking", "switched")
    if coupling != "direct":
        made["coupling"] = coupling
    if coupling == "switched":
        if pen.some(2):
            made |= {"count": pen.pick(2, 3), "wired": pen.pick("parallel", "series")}
        else:
            made["switched_resistances"] = "6.4, 12.8, 25.6 ohm"
            pen.perhaps(made, "switch_irradiances", lambda: "250, 600 W/m2")
    if coupling == "tracking":
        pen.perhaps(made, "tracker_efficiency", lambda: pen.pick("95 %", "85 %"))
        pen.perhaps(made, "tracker_minimum", lambda: pen.pick("30 W", "100 W"))
        pen.perhaps(made, "tracker_maximum", lambda: pen.pick("2000 W", "1000 W"))
    return made


def water_heater(pen: Pen, site: Tables) -> Tables:
    """A tank with its elements and guards, some of them missing."""
    names = [each["name"] for each in site.get("array", ()) if each["feeds"] == "heater"]
    sources = [*names, *(["inverter"] if "battery_energy" in site["power"] else []), "grid"]
    elements = [element(pen, sources[0], "lower")]
    if pen.some(2):
        elements.append(element(pen, pen.pick("grid", *sources), "upper"))
    made: Tables = {
        "volume": pen.write(pen.pick(50, 30, 80, 119), "gal"),
        "element": elements,
        "high_limit": pen.drawn(150, 200, "degF", 10),
        "relief_temperature": pen.write(210, "degF"),
        "relief_pressure": pen.pick("150 psi", "100 psi", "125 psi"),
        "relief_capacity": pen.pick("100000 Btu/h", "15000 Btu/h", "5000 W"),
        "check_valve": pen.pick(False, True),
        "above_fixtures": pen.pick(False, True),
        "fixture_valves": pen.pick(True, False),
        "draw": {"temperature": pen.drawn(100, 112, "degF", 4)},
    }
    loss = pen.pick("heat_loss", "insulation", "uniform_energy_factor", "")
    told = {
        "heat_loss": "1.2 W/K",
        "insulation": "16 ft2*degF*h/Btu",
        "uniform_energy_factor": 0.92,
    }
    if loss:
        made[loss] = told[loss]
    pen.perhaps(made, "room_temperature", lambda: pen.drawn(45, 80, "degF", 5))
    if made["check_valve"] and pen.some(2):
        made["expansion_tank"] = True
        made["expansion_tank_volume"] = pen.write(pen.pick(4.4, 2.0), "gal")
        made["expansion_tank_precharge"] = pen.drawn(40, 60, "psi", 10)
    pen.perhaps(made, "vacuum_relief", lambda: pen.pick(True, False))
    if not pen.some(3):
        made["mixing_valve"] = {"outlet": pen.drawn(112, 128, "degF", 4)}
        standards = ("ASSE 1017", *hot_water_tables.standards())
        pen.perhaps(made["mixing_valve"], "standard", lambda: pen.pick(*standards), 2)
    if pen.some(4):
        made["draw"] |= {"times": "6.5, 12, 19 h", "volumes": pen.write([8, 4, 20], "gal")}
    else:
        made["draw"]["volume"] = pen.drawn(15, 75, "gal", 20)
        made["draw"]["pattern"] = pen.pick(*hot_water_tables.patterns())
    if pen.some(6):
        made["second_tank"] = {
            "volume": pen.write(40, "gal"),
            "heat_loss": "1.5 W/K",
            "rated_power": "4500 W",
            "thermostat": pen.drawn(120, 150, "degF", 10),
            "high_limit": pen.write(170, "degF"),
            "relief_temperature": pen.write(210, "degF"),
            "relief_pressure": "150 psi",
            "relief_capacity": "30000 W",
        }
    return made


NEEDED = {
    ("well", "depth"), ("well", "static_level"), ("pressure_switch", "cut_in"),
    ("pressure_switch", "cut_out"), ("pressure_tank", "volume"), ("storage_tank", "volume"),
    ("pump", "name"), ("pump", "flow"), ("pump", "head"), ("pump", "start"),
    ("hand_pump", "bore"), ("hand_pump", "stroke"), ("hand_pump", "kind"), ("lift", "name"),
    ("lift", "head"), ("lift", "flow"), ("module", "voc"), ("module", "isc"), ("module", "vmp"),
    ("module", "imp"), ("module", "cells"), ("array", "name"), ("array", "feeds"),
    ("array", "series"), ("water_heater", "volume"), ("water_heater", "element"),
    ("outage", "name"), ("outage", "failed"), ("element", "position"), ("element", "rated_power"),
    ("element", "rated_voltage"), ("element", "fed_by"), ("element", "coupling"),
    ("element", "count"), ("element", "switched_resistances"),
}  # fmt: skip
"""Keys without which a table cannot be read, or means another thing."""


def leave_out(pen: Pen, site: Tables) -> None:
    """Drop some keys, as people do who don't know them; one site in three is whole."""
    elements = site.get("water_heater", {}).get("element", [])
    keys = [
        (table, key)
        for name, value in [*site.items(), ("element", elements)] if name not in ("site", "sun")
        for table in (value if isinstance(value, list) else [value])
        for key in table
        if (name, key) not in NEEDED
    ]  # fmt: skip
    most = pen.pick(0, 2, 6)
    for at in pen.draw(st.lists(st.integers(0, len(keys) - 1), max_size=most, unique=True)):
        table, key = keys[at]
        del table[key]


def sample(count: int, start: int = 1) -> list[Tables]:
    """So many whole sites, the same on every run.

    Parameters:
        count: how many at most; those that come twice are left out
        start: other sites for another number
    """
    found: dict[str, Tables] = {}

    @seed(start)
    @settings(max_examples=count, phases=[Phase.generate], database=None, deadline=None,
              suppress_health_check=list(HealthCheck))  # fmt: skip
    @given(whole_sites())
    def collect(site: Tables) -> None:
        found.setdefault(repr(site), site)

    collect()
    return list(found.values())


def can_be_read(site: Tables) -> bool:
    """True where nothing in the tables is a mistake."""
    try:
        site_from(site)
    except SiteFileError:
        return False
    return True


def guards(site: Tables) -> None:
    """The edition of the code, and what guards motors and modules, as far as people know it; by
    the site's own text, so that nothing else of it is drawn otherwise."""
    pick = Random(json.dumps(site, sort_keys=True)).choice
    if pick((True, False)):
        site["site"]["code_edition"] = pick((2014, 2017, 2020, 2023))
    for table in site.get("pump", []):
        if table.get("supply") != "DC" and pick((True, False)):
            table["overload"] = pick(("in its box", "in the motor", "in a starter", "none"))
            table["ground_fault_breaker"] = pick((True, False))
            table["overload_current"] = pick(("8 A", "15 A"))
    for group in site.get("array", []):
        if pick((True, False)):
            group["isolator_poles"] = pick((2, 1))
            group["grounding"] = pick(("none", "functional", "solid"))
            group["enclosed"] = pick((True, False))
            # Modules on a roof, and those of a heater, touch a building.
            clear = group.get("place") != "roof" and group["feeds"] != "heater"
            near = ("building", "outside wall")
            group["reaches"] = pick(near + ("no building", "equipment building") * clear)


def chains(site: Tables) -> None:
    """In one site of three the storage tank stands between well and house; by the site's own text,
    as the guards are."""
    chance = Random("chain" + json.dumps(site, sort_keys=True))
    pick = chance.choice
    pumps = site.get("pump", [])
    if not (pumps or "hand_pump" in site) or pick((True, True, False)):
        return
    tank = site.setdefault("storage_tank", {"volume": "800 gal"})
    above = pick((2, 25, 60, 110))
    told = {
        "elevation": f"{above} ft", "water_height": pick(("4 ft", "8 ft")), "fills_below": "80 %",
        "fills_to": "95 %", "stops_below": pick(("0 %", "10 %")),
        "air_gap": pick(("4 in", "0 in")),
        "overflow": pick(("screened", "open", "none")), "covered": pick((True, False)),
        "stands": pick(("in a room", "outdoors", "buried")), "coldest_room": "41 degF",
    }  # fmt: skip
    tank |= {key: value for key, value in told.items() if pick((True, True, True, False))}
    if pick((True, False)):
        size = pick(("3/4 in", "1 in", "1 1/4 in", "2 in"))
        tank["gravity_line"] = {
            "material": "polyethylene SIDR", "size": size, "length": f"{above + 100} ft",
        }  # fmt: skip
    goes = {"delivers": "storage tank"}
    for table in pumps[: pick((1, 2))]:
        table.pop("held_pressure", None)
        if table.get("start") == "variable speed":
            table.pop("least_flow", None)
        table |= goes
        if pick((True, False)):
            table["restart_after"] = pick(("20 min", "40 min"))
        if pick((True, False, False)):
            size = pick(("1 in", "2 in"))
            table["line"] = {"material": "PVC sch 40", "size": size, "length": f"{above + 60} ft"}
    if "hand_pump" in site and (not pumps or pick((True, False))):
        site["hand_pump"] |= goes
        if pick((True, False)):
            site["hand_pump"]["line"] = {"material": "PVC sch 40", "size": "1 in"}
            site["hand_pump"]["relief_pressure"] = pick(("20 psi", "75 psi"))
    if "pressure_switch" in site and len(pumps) < 2 and pick((True, True, False)):
        booster = {
            "name": "booster", "kind": pick(("suction", "submersible")), "draws": "storage tank",
            "flow": "0, 5, 10, 15 gpm",
            "head": pick(("190, 180, 150, 80 ft", "90, 80, 60, 30 ft")),
            "rated_power": "3/4 hp", "voltage": "240 V",
        }  # fmt: skip
        if pick((True, False)):
            booster["dry_run_protection"] = pick((True, False))
        site["pump"] = [*pumps, booster]
    elif not any("delivers" not in table for table in pumps):
        site.pop("pressure_switch", None)
        site.pop("pressure_tank", None)
    if len(pumps) > 1 and pick((True, True, False)):
        site["power"]["pumps_run"] = pick(("kept apart", "alternating", "at once"))


def other_wells(site: Tables, sites: int = 5) -> None:
    """In one site of five, or of so many, the last pump on the well hangs in a well of its own, or
    the hand pump stands on one; by the site's own text, as the guards are."""
    chance = Random("wells" + json.dumps(site, sort_keys=True))
    pick = chance.choice
    on_well = [
        each for each in site.get("pump", ())
        if each.get("draws", "well") == "well" and each.get("kind") != "suction"
    ]  # fmt: skip
    hand = site.get("hand_pump")
    if not (on_well or hand) or chance.randrange(sites):
        return
    depth = chance.randrange(25, 300)
    rest = max(6, round(depth * chance.uniform(0.2, 0.6)))
    well: Tables = {"name": "other well", "depth": f"{depth} ft", "static_level": f"{rest} ft"}
    told = {
        "ground_height": f"{pick((-30, -8, 12))} ft", "casing_bore": pick(("6 in", "36 in")),
        "tested_yield": f"{pick((0.7, 3, 12))} gpm", "casing_height": pick(("0 in", "18 in")),
        "tested_pumping_level": f"{rest + 0.5 * (depth - rest):.0f} ft", "bonded": True,
        "septic_tank_distance": "60 ft", "check_valve_place": pick(("casing", "house")),
    }  # fmt: skip
    well |= {key: value for key, value in told.items() if pick((True, True, True, False))}
    line = {"material": "PVC sch 40", "size": "1 in", "length": f"{pick((20, 180))} ft"}
    moved: Tables = on_well[-1] if on_well and (not hand or pick((True, True, False))) else hand
    moved |= {"well": "other well"}
    if moved is not hand or moved.get("delivers", "spout") != "spout":
        moved["line"] = line
    for key in ("intake_depth", "cylinder_depth", "restart_level"):
        if key in moved:
            moved[key] = f"{depth - 4} ft"
    moved.pop("restart_level", None)
    for key in ("diameter", "motor_diameter", "bore", "cylinder_diameter"):
        if key in moved and "casing_bore" in well:
            well["casing_bore"] = "36 in"
    site["other_well"] = [well]
