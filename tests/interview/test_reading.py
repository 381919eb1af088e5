"""Answers that settle several keys, and that no answer whatever is a traceback."""

from __future__ import annotations

import random
import time
import tomllib
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.sampled import every
from wellsolar import kinds
from wellsolar.interview.answers import shapes
from wellsolar.interview.answers.control import control_in
from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.question import Question, Unclear
from wellsolar.interview.answers.reading import read_answer
from wellsolar.interview.check import problems
from wellsolar.interview.questions.plan import plan
from wellsolar.site.locate import key_text, set_at
from wellsolar.units import read

TABLES: dict[str, Any] = {
    "site": {"name": "Invented", "people": 40},
    "well": {"depth": "180 ft", "static_level": "85 ft"},
    "pump": [
        {"name": "house pump", "role": "existing", "flow": "0, 8 gpm"},
        {"name": "frugal pump", "role": "backup"},
    ],
    "pressure_switch": {"cut_in": "40 psi", "cut_out": "60 psi"},
    "pressure_tank": {"volume": "44 gal"},
    "hand_pump": {"bore": "2 in", "stroke": "6 in"},
    "module": {"voc": "39.9 V"},
    "array": [{"name": "water heater array", "feeds": "heater", "series": 4}],
    "power": {"inverter_rating": "6 kW", "generator_rating": "7 kVA"},
    "water_heater": {
        "element": [
            {"position": "lower", "rated_power": "4500 W", "fed_by": "water heater array"},
            {"position": "upper", "rated_power": "4500 W", "fed_by": "grid"},
        ]
    },
}
SETTLED = {"pump[frugal pump].curve": "not known"}


def questions(system: str = "US") -> dict[str, Question]:
    """Every question there is, at a site that raises them all."""
    raised = plan(Facts(TABLES, SETTLED, "SI" if system == "SI" else "US"))
    gate = plan(Facts({}, {}, "US"))
    return {each.key: each for each in [*raised, *gate]}


QUESTIONS = questions()

ANSWERS = [
    ("well.tested_yield", "8 gpm at 101'",
     {"well.tested_yield": "8 gpm", "well.tested_pumping_level": "101 ft"}),
    ("well.tested_yield", "8", {"well.tested_yield": "8 gpm"}),
    ("well.tested_yield", "101 ft, 8 gpm",
     {"well.tested_yield": "8 gpm", "well.tested_pumping_level": "101 ft"}),
    ("pressure_switch", "40/60", {"pressure_switch.cut_in": "40 psi",
                                  "pressure_switch.cut_out": "60 psi"}),
    ("pressure_switch", "40-60 psi", {"pressure_switch.cut_in": "40 psi",
                                      "pressure_switch.cut_out": "60 psi"}),
    ("pressure_switch", "2.8 to 4.1 bar", {"pressure_switch.cut_in": "2.8 bar",
                                           "pressure_switch.cut_out": "4.1 bar"}),
    ("pressure_switch", "cut-out 60, cut-in 40", {"pressure_switch.cut_in": "40 psi",
                                                  "pressure_switch.cut_out": "60 psi"}),
    ("pressure_tank", "44 gal", {"pressure_tank.volume": "44 gal"}),
    ("pressure_tank", "2 x 44 gal", {"pressure_tank.volume": "44 gal", "pressure_tank.count": 2}),
    ("pressure_tank", "two 44 gallon tanks",
     {"pressure_tank.volume": "44 gal", "pressure_tank.count": 2}),
    ("piping", '1-1/4" PVC, 60\', -10 ft',
     {"piping.drop_pipe.size": "1 1/4 in", "piping.lateral.size": "1 1/4 in",
      "piping.drop_pipe.material": "PVC sch 40", "piping.lateral.material": "PVC sch 40",
      "piping.lateral.length": "60 ft", "piping.tank_elevation": "-10 ft"}),
    ("piping", "1 inch black poly",
     {"piping.drop_pipe.size": "1 in", "piping.lateral.size": "1 in",
      "piping.drop_pipe.material": "polyethylene SIDR",
      "piping.lateral.material": "polyethylene SIDR"}),
    ("piping", "PE100 63 mm SDR 11, 18 m, 2 m",
     {"piping.drop_pipe.size": "63 mm SDR 11", "piping.lateral.size": "63 mm SDR 11",
      "piping.drop_pipe.material": "polyethylene PE100",
      "piping.lateral.material": "polyethylene PE100",
      "piping.lateral.length": "18 m", "piping.tank_elevation": "2 m"}),
    ("piping", "uPVC 50mm PN10, 60 m",
     {"piping.drop_pipe.size": "50 mm PN 10", "piping.lateral.size": "50 mm PN 10",
      "piping.drop_pipe.material": "PVC-U", "piping.lateral.material": "PVC-U",
      "piping.lateral.length": "60 m"}),
    ("piping", "DN32 galvanised, 18 m",
     {"piping.drop_pipe.size": "DN 32", "piping.lateral.size": "DN 32",
      "piping.drop_pipe.material": "galvanised steel",
      "piping.lateral.material": "galvanised steel", "piping.lateral.length": "18 m"}),
    ("piping", '1-1/4" sidr 11.5 PE4710, 60 ft, 5 ft',
     {"piping.drop_pipe.size": "1 1/4 in SIDR 11.5", "piping.lateral.size": "1 1/4 in SIDR 11.5",
      "piping.drop_pipe.material": "polyethylene PE4710",
      "piping.lateral.material": "polyethylene PE4710",
      "piping.lateral.length": "60 ft", "piping.tank_elevation": "5 ft"}),
    ("site.people", "4 people", {"site.people": 4}),
    ("pressure_tank.precharge", "1 1/2 kg/cm2", {"pressure_tank.precharge": "1.471 bar"}),
    ("site.people", "four", {"site.people": 4}),
    ("pump[house pump].plate", "3/4 hp 230V soft start",
     {"pump[1].rated_power": "3/4 hp", "pump[1].voltage": "230 V", "pump[1].start": "soft"}),
    ("pump[house pump].plate", "jet pump, 1/2 hp, 115V",
     {"pump[1].kind": "suction", "pump[1].rated_power": "1/2 hp", "pump[1].voltage": "115 V"}),
    ("pumps", "3/4 hp, 400 V, 3 phase",
     {"pump[1].name": "house pump", "pump[1].role": "existing", "pump[1].phases": 3,
      "pump[1].rated_power": "3/4 hp", "pump[1].voltage": "400 V"}),
    ("power", "6, 12, 15", {"power.inverter_rating": "6 kW", "power.inverter_surge": "12 kVA",
     "power.battery_energy": "15 kWh"}),
    ("pump[house pump].plate", "1 hp, 240 VAC, 48 A LRA",
     {"pump[1].rated_power": "1 hp", "pump[1].voltage": "240 V", "pump[1].supply": "AC",
      "pump[1].locked_rotor_current": "48 A"}),
    ("pump[house pump].plate", "300 W 48VDC",
     {"pump[1].rated_power": "300 W", "pump[1].voltage": "48 V", "pump[1].supply": "DC"}),
    ("pump[house pump].plate", "3 phase, 230, 1-1/2 hp, VFD",
     {"pump[1].phases": 3, "pump[1].voltage": "230 V", "pump[1].rated_power": "1 1/2 hp",
      "pump[1].start": "variable speed"}),
    ("pump[house pump].cable", "#12, 240'",
     {"pump[1].cable.gauge": "12 AWG", "pump[1].cable.length": "240 ft"}),
    ("pump[house pump].cable", "12-2 awg", {"pump[1].cable.gauge": "12 AWG"}),
    ("pump[house pump].cable", "3x2,5 mm\u00b2, 75 m",
     {"pump[1].cable.gauge": "2.5 mm2", "pump[1].cable.length": "75 m"}),
    ("pump[house pump].cable", "4G6 mm2", {"pump[1].cable.gauge": "6 mm2"}),
    ("pump[house pump].cable", "1/0", {"pump[1].cable.gauge": "1/0 AWG"}),
    ("pump[frugal pump].curve", "5 gpm at 300 ft, 2 gpm @ 380'",
     {"pump[2].flow": "2, 5 gpm", "pump[2].head": "380, 300 ft"}),
    ("pump[frugal pump].curve", "0, 3, 6 gpm; 420, 390, 330 ft",
     {"pump[2].flow": "0, 3, 6 gpm", "pump[2].head": "420, 390, 330 ft"}),
    ("pump[frugal pump].curve", "0 3 6 9",  {"pump[2].flow": "0, 3, 6, 9 gpm"}),
    ("pump.dry_run", "yes", {"pump[1].dry_run_protection": True,
                             "pump[2].dry_run_protection": True}),
    ("hand_pump", "stroke 6 in, bore 1-3/4 in",
     {"hand_pump.bore": "1 3/4 in", "hand_pump.stroke": "6 in"}),
    ("hand_pump", "suction, 3 in by 5 in",
     {"hand_pump.kind": "suction", "hand_pump.bore": "3 in", "hand_pump.stroke": "5 in"}),
    ("hand_pump.place", "125', into the tank",
     {"hand_pump.cylinder_depth": "125 ft", "hand_pump.delivers": "tank"}),
    ("hand_pump.place", "125 ft 6 in, tank",
     {"hand_pump.cylinder_depth": "125.5 ft", "hand_pump.delivers": "tank"}),
    ("power", "6 kW, 12 kVA surge, 15 kWh",
     {"power.inverter_rating": "6 kW", "power.inverter_surge": "12 kVA",
      "power.battery_energy": "15 kWh"}),
    ("power", "6000 W, battery 15 kWh",
     {"power.inverter_rating": "6000 W", "power.battery_energy": "15 kWh"}),
    ("module", "Voc 39.9 Isc 9.7 Vmp 32.6 Imp 9.2",
     {"module.voc": "39.9 V", "module.isc": "9.7 A", "module.vmp": "32.6 V",
      "module.imp": "9.2 A", "module.cells": 60}),
    ("module", "39.9, 9.7, 32.6, 9.2, 300W",
     {"module.voc": "39.9 V", "module.isc": "9.7 A", "module.vmp": "32.6 V",
      "module.imp": "9.2 A", "module.rated_power": "300 W", "module.cells": 60}),
    ("site.latitude", "41.2 N, 900 ft, -18F",
     {"site.latitude": "41.2 deg", "site.altitude": "900 ft", "sun.record_low": "-18 degF"}),
    ("site.latitude", "12 S 1,200 m", {"site.latitude": "-12 deg", "site.altitude": "1200 m"}),
    ("site.latitude", "41\u00b0 12' N", {"site.latitude": "41.2 deg"}),
    ("site.latitude", "41.2, -75.3, 900 ft", {"site.latitude": "41.2 deg",
     "site.longitude": "-75.3 deg", "site.altitude": "900 ft"}),
    ("site.latitude", "41.2 N 75 W", {"site.latitude": "41.2 deg",
     "site.longitude": "-75 deg"}),
    ("site.latitude", "41.2, 900, -18", {"site.latitude": "41.2 deg",
     "site.altitude": "900 ft", "sun.record_low": "-18 degF"}),
    ("well.depth", "180 feet deep", {"well.depth": "180 ft"}),
    ("pressure_switch", "on at 40, off at 60", {"pressure_switch.cut_in": "40 psi",
     "pressure_switch.cut_out": "60 psi"}),
    ("pump[house pump].plate", "3/4HP/230v", {"pump[1].rated_power": "3/4 hp",
     "pump[1].voltage": "230 V"}),
    ("pump[house pump].cable", "10/3 with ground, 300 feet",
     {"pump[1].cable.gauge": "10 AWG", "pump[1].cable.length": "300 ft"}),
    ("water_heater.thermostat", "150, DC relay",
     {"water_heater.element[1].thermostat": "150 degF",
      "water_heater.element[1].thermostat_switches": "relay"}),
    ("sun.sky", "60%", {"sun.clearness": "60 %"}),
    ("sun.sky", "0.6", {"sun.clearness": "60 %"}),
    ("sun.sky", "2, 3, 4, 5, 6, 6, 6, 5, 4, 3, 2, 2",
     {"sun.monthly": "2, 3, 4, 5, 6, 6, 6, 5, 4, 3, 2, 2 kWh/m2/day", "sun.clearness": None}),
    ("array.heater", "4 in series", {"array[1].series": 4}),
    ("array.heater", "4S2P", {"array[1].series": 4, "array[1].parallel": 2}),
    ("array.heater", "8 x 4 modules", {"array[1].series": 8, "array[1].parallel": 4}),
    ("water_heater", "50 gal 4500 W 240 V",
     {"water_heater.volume": "50 gal", "water_heater.element[1].rated_power": "4500 W",
      "water_heater.element[1].rated_voltage": "240 V"}),
    ("water_heater.thermostat", "140F relay",
     {"water_heater.element[1].thermostat": "140 degF",
      "water_heater.element[1].thermostat_switches": "relay"}),
    ("site.code_edition", "NEC 2017", {"site.code_edition": 2017}),
    ("power.grid", "no", {"power.grid": False}),
    ("power.kept_apart", "all of them",
     {"power.kept_apart": ["grid and inverter", "grid and generator",
                           "inverter and generator"]}),
    ("power.kept_apart", "no", {"power.kept_apart": []}),
    ("power.kept_apart", "the generator from the grid; inverter and grid",
     {"power.kept_apart": ["grid and inverter", "grid and generator"]}),
    ("power.generator_neutral", "not bonded, left joined",
     {"power.generator_neutral": "floating", "power.transfer_neutral": "joined"}),
    ("well.bonded", "yes", {"well.bonded": True}),
    ("pump[house pump].overload", "control box", {"pump[1].overload": "in its box"}),
    ("pump[house pump].overload", "a starter, 7 A",
     {"pump[1].overload": "in a starter", "pump[1].overload_current": "7 A"}),
    ("pump[house pump].overload", "nothing", {"pump[1].overload": "none"}),
    ("pump.ground_fault_breaker", "no",
     {"pump[1].ground_fault_breaker": False, "pump[2].ground_fault_breaker": False}),
    ("array.place", "on the ground, in the house",
     {"array[1].place": "ground", "array[1].reaches": "building"}),
    ("array[water heater array].isolator", "600 VDC 32 A one pole",
     {"array[1].isolator_voltage": "600 V", "array[1].isolator_current": "32 A",
      "array[1].isolator_poles": 1}),
    ("array.guards", "ground fault and shutdown",
     {"array[1].ground_fault_protection": True, "array[1].arc_fault_protection": False,
      "array[1].rapid_shutdown": True}),
    ("array.guards", "none",
     {"array[1].ground_fault_protection": False, "array[1].arc_fault_protection": False,
      "array[1].rapid_shutdown": False}),
    ("array.place", "roof, 30 deg, south, no shade",
     {"array[1].place": "roof", "array[1].tilt": "30 deg", "array[1].azimuth": "180 deg",
      "sun.shading": "100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100 %"}),
    ("array.place", "ground, shade 10 %",
     {"array[1].place": "ground",
      "sun.shading": "90, 90, 90, 90, 90, 90, 90, 90, 90, 90, 90, 90 %"}),
    ("piping", "1 in poly, 60 ft, 5 ft, frost 4 ft",
     {"piping.drop_pipe.size": "1 in", "piping.drop_pipe.material": "polyethylene SIDR",
      "piping.lateral.size": "1 in", "piping.lateral.material": "polyethylene SIDR",
      "piping.lateral.length": "60 ft", "piping.tank_elevation": "5 ft",
      "piping.frost_depth": "4 ft"}),
    ("array.guards", "all but rapid shutdown",
     {"array[1].ground_fault_protection": True, "array[1].arc_fault_protection": True,
      "array[1].rapid_shutdown": False}),
    ("array.guards", "ground fault, no arc fault, rapid shutdown",
     {"array[1].ground_fault_protection": True, "array[1].arc_fault_protection": False,
      "array[1].rapid_shutdown": True}),
    ("array.guards", "no arc fault", {"array[1].arc_fault_protection": False}),
    ("job", "for the owner on May 4th, 2027 by the installer",
     {"job.made_for": "the owner", "job.made_by": "the installer", "job.date": "2027-05-04"}),
    ("water_heater.high_limit_lower", "the thermostat's relay",
     {"water_heater.element[1].high_limit_switches": "same relay"}),
    ("water_heater.high_limit_lower", "own relay 300 V, 32 A, both poles",
     {"water_heater.element[1].high_limit_switches": "relay",
      "water_heater.element[1].high_limit_voltage": "300 V",
      "water_heater.element[1].high_limit_current": "32 A",
      "water_heater.element[1].high_limit_poles": 2}),
    ("water_heater.high_limit_upper", "nothing",
     {"water_heater.element[2].high_limit_switches": "nothing"}),
    ("water_heater.supplies_apart", "no", {"water_heater.supplies_apart": False}),
    ("water_heater.mixing_valve", "120, ASSE 1017",
     {"water_heater.mixing_valve.outlet": "120 degF",
      "water_heater.mixing_valve.standard": "ASSE 1017"}),
]  # fmt: skip


@pytest.mark.parametrize(("key", "answer", "values"), ANSWERS, ids=[row[1] for row in ANSWERS])
def test_an_answer(key: str, answer: str, values: dict[str, Any]) -> None:
    found = read_answer(answer, QUESTIONS[key], "US").values
    assert {key_text(path): value for path, value in found.items()} == values


@pytest.mark.parametrize(("answer", "apart"), [
    ("separate", True), ("not separate", False), ("same box", False),
    ("not in the same box", True),
    ("no", False), ("yes", True),
])  # fmt: skip
def test_a_word_that_is_denied_means_the_other(answer: str, apart: bool) -> None:
    found = read_answer(answer, QUESTIONS["water_heater.supplies_apart"], "US").values
    assert found == {("water_heater", "supplies_apart"): apart}


SAID: list[tuple[str, ...]] = [
    tuple(line.split(" | "))
    for line in Path(__file__).with_name("said.txt").read_text("utf-8").splitlines()
    if not line.startswith("#")
]
SAMPLE = random.Random(18).sample(SAID, 50)


def as_meant(key: str, answer: str, meant: str) -> None:
    found = read_answer(answer, QUESTIONS[key], "US").values
    assert "; ".join(f"{key_text(path)} = {value}" for path, value in found.items()) == meant


@pytest.mark.parametrize(("key", "answer", "meant"), SAMPLE)
def test_what_people_say_is_understood(key: str, answer: str, meant: str) -> None:
    as_meant(key, answer, meant)


@pytest.mark.long
def test_all_that_people_say_is_understood() -> None:
    assert len(SAID) >= 150
    for key, answer, meant in SAID:
        as_meant(key, answer, meant)


def test_a_drawdown_is_counted_from_the_water_at_rest_and_a_height_from_the_bottom() -> None:
    rest, bottom = read("85 ft", kinds.LENGTH), read("180 ft", kinds.LENGTH)
    assert shapes.as_test(rest, "8 gpm with 16 ft drawdown") == "8 gpm, level 101 ft"
    assert shapes.as_test(rest, "8 gpm, drawdown of 5 m") == "8 gpm, level 30.91 m"
    assert shapes.as_intake(bottom, "10 ft off the bottom") == "170 ft"
    for each in (lambda: shapes.as_test(None, "8 gpm drawdown 20 ft"),
                 lambda: shapes.as_intake(None, "10 ft above the bottom")):  # fmt: skip
        with pytest.raises(Unclear, match="below the ground"):
            each()


METRIC = [
    ("well.static_level", "26,5", {"well.static_level": "26.5 m"}),
    ("site.latitude", "41,2 N", {"site.latitude": "41.2 deg"}),
    ("module", "39,9, 9,7, 32,6, 9,2", {"module.voc": "39.9 V", "module.isc": "9.7 A",
     "module.vmp": "32.6 V", "module.imp": "9.2 A", "module.cells": 60}),
    ("pump[frugal pump].curve", "1,5 m3/h at 60 m; 3,2 m3/h at 45,5 m",
     {"pump[2].flow": "1.5, 3.2 m3/h", "pump[2].head": "60, 45.5 m"}),
    ("pressure_switch", "40, 60", {"pressure_switch.cut_in": "40 kPa",
                                   "pressure_switch.cut_out": "60 kPa"}),
    ("piping", "PE100 63 mm SDR 11, 40,5 m, 3,2 m",
     {"piping.drop_pipe.size": "63 mm SDR 11", "piping.lateral.size": "63 mm SDR 11",
      "piping.drop_pipe.material": "polyethylene PE100",
      "piping.lateral.material": "polyethylene PE100",
      "piping.lateral.length": "40.5 m", "piping.tank_elevation": "3.2 m"}),
]  # fmt: skip


@pytest.mark.parametrize(("key", "answer", "values"), METRIC, ids=[row[1] for row in METRIC])
def test_a_decimal_comma_is_read(key: str, answer: str, values: dict[str, Any]) -> None:
    reading = read_answer(answer, questions("SI")[key], "SI")
    assert {key_text(path): value for path, value in reading.values.items()} == values


@pytest.mark.parametrize(("key", "answer", "one", "two"), [
    ("pressure_switch", "2,5 bar", "2.5", "2, 5"), ("power", "6,5 kW", "6.5", "6, 5"),
    ("pump[frugal pump].curve", "0,8 m3/h", "0.8", "0, 8"), ("power", "6,12", "6.12", "6, 12"),
    ("array[water heater array].isolator", "12,5 A", "12.5", "12, 5"),
])  # fmt: skip
def test_a_comma_that_may_be_either_is_asked_after(
    key: str, answer: str, one: str, two: str
) -> None:
    with pytest.raises(Unclear, match=f"write {one} with a point, or {two} with a blank"):
        read_answer(answer, questions("SI")[key], "SI")


@pytest.mark.parametrize(("key", "answer", "word"), [
    ("water_heater", "50 gal gas", "gas"), ("water_heater", "50 gal propane", "propane"),
    ("water_heater", "50 gal, broken", "broken"), ("power.generator", "3.5 kW gas", "gas"),
    ("well.depth", "180 ft shared with the neighbour", "shared with the neighbour"),
    ("pump[house pump].plate", "3/4 hp 230 V old", "old"),
    ("power", "6 kW, 15 kWh lead acid", "lead acid"),
    ("array.guards", "all, but the ground fault is broken", "broken"),
    ("pressure_tank", "44 gal bladder torn", "bladder torn"),
    ("job", "for the owner, next spring", "next spring"),
])  # fmt: skip
def test_a_word_that_no_key_holds_is_named(key: str, answer: str, word: str) -> None:
    (left_out,) = read_answer(answer, QUESTIONS[key], "US").left_out
    assert f'"{word}"' in left_out


def test_a_direct_start_is_named_where_volts_are_told_and_no_start() -> None:
    told = ("started direct, as nothing else was said",)
    for answer, notes in (("3/4 hp, 230 V", told), ("3/4 hp", ()), ("300 W, 48 V DC", ()),
                          ("3/4 hp, 230 V, soft start", ())):  # fmt: skip
        assert read_answer(answer, QUESTIONS["pump[house pump].plate"], "US").notes == notes


@pytest.mark.parametrize(("key", "answer"), [
    ("hand_pump.place", "125', into the tank"), ("well.tested_yield", "8 gpm, . at 101 ft"),
    ("water_heater", "it is 50 gal, and about, 4500 W, 240 V."),
])  # fmt: skip
def test_words_that_fill_a_sentence_are_not_named(key: str, answer: str) -> None:
    assert read_answer(answer, QUESTIONS[key], "US").left_out == ()


@pytest.mark.parametrize(("key", "answer", "kept"), [
    ("water_heater", "50 gal, 99 zorks, 4500 W, 240 V", ["50 gal", "4500 W", "240 V"]),
    ("hand_pump", "9 zorks, bore 2 in", ["2 in"]), ("hand_pump", "9 zorks, 2 in", None),
])  # fmt: skip
def test_a_number_that_is_not_understood_is_left_out_where_it_can_be_meant_for_nothing_else(
    key: str, answer: str, kept: list[str] | None
) -> None:
    """Of two lengths that are asked, the one that is understood may be the other one."""
    if kept is None:
        with pytest.raises(Unclear, match="9 zorks"):
            read_answer(answer, QUESTIONS[key], "US")
        return
    reading = read_answer(answer, QUESTIONS[key], "US")
    assert [*reading.values.values()] == kept
    (left_out,) = reading.left_out
    assert "9 zorks" in left_out


def test_a_gallon_is_named_where_units_are_metric_and_an_imperial_one_everywhere() -> None:
    """4.54609 L: Weights and Measures Act 1985 of the United Kingdom, schedule 1 (second hand)."""
    metric = questions("SI")["pressure_tank"]
    assert "US gallon, 3.785 L" in read_answer("40 gal", metric, "SI").notes[0]
    assert read_answer("40 L", metric, "SI").notes == ()
    for system, question in (("SI", metric), ("US", QUESTIONS["pressure_tank"])):
        told = read_answer("40 UK gallons", question, "SI" if system == "SI" else "US")
        assert told.notes == ("an imperial gallon is 4.54609 L",)
    assert read_answer("40 gal", QUESTIONS["pressure_tank"], "US").notes == ()


UNCLEAR = [
    ("job", "next spring", '"next spring" is no day: write the day as 2027-05-04'),
    ("job", "in May", '"in May" is no day'),
    ("job", "next year", '"next year" is no day'),
    ("job", "after the thaw", '"after the thaw" is no day'),
    ("job", "by the end of May", '"by the end of May" is no day'),
    ("job", "when the ground thaws", '"when the ground thaws" is no day'),
    ("array.place", "roof, shade 120 %", "more than all of the sun"),
    ("well.static_level", "3 m above ground", "is no unit of length"),
    ("well.depth", "16 ft drawdown", "is no unit of length"),
    ("pressure_tank", "14 gal drawdown", "give its volume"),
    ("water_heater", "it is the", '"it is the" does not say the tank and element and volts'),
    ("pressure_tank", "a 44 gallon and a 20 gallon", "give the sum"),
    ("pressure_switch", "20 psi difference, 60 off", "give both pressures"),
    ("pump[house pump].cable", "#8 aluminium, 200 ft", "are of copper"),
    ("piping", "40mm HDPE PN10, 100 m", "which polyethylene"),
    ("power", "6 kW generator", "cannot read"),
    ("module", "12 panels", "how many there are is asked further on"),
    ("module", "100 W 12 V", "is the battery that it is sold for"),
    ("module", "100 W 24 V", "is the battery that it is sold for"),
    ("array.heater", "2 strings, odd ones, 4", "in series x so many rows"),
    ("pumps", "1, we want a second one", "expected 1, 2 or no"),
    ("hand_pump", "2 in bare, 5 in", "cannot read"),
    ("hand_pump", "lever 30 in", 'cannot read "lever 30 in"'),
    ("well.casing_bore", "4 in sch 40", "nominal size"),
    ("job", "for the owner, 31 June 2027", "is no day"),
    ("power.kept_apart", "by hand", "expected all, no, or such as grid and inverter"),
    ("array.guards", "a fuse", "expected all, none, or some of"),
    ("site.code_edition", "2031", "is more than was asked"),
    ("well.depth", "deep", "expected a number and a unit of length"),
    ("well.depth", "85 gal", "is a volume"),
    ("well.depth", "-3 ft", "must be more than zero"),
    ("pressure_switch", "40", "is one pressure: give where it starts and where it stops"),
    ("array[water heater array].isolator", "600 V AC, 32 A", 'cannot read "AC"'),
    ("array.heater", "36 x 300 W", "such as 12 x 3"),
    ("sun.sky", "4.5", "is a mean of the year"),
    ("sun.sky", "1.02", "is a mean of the year"),
    ("well.casing_bore", "6 5/8 od", "is an outside diameter"),
    ("pump[house pump].plate", "48 V", "say AC or DC with it"),
    ("pump[house pump].cable", "13 AWG", "is no wire of the table"),
    ("pump[house pump].cable", "5 mm2", "is no wire of the table"),
    ("pump[frugal pump].curve", "3/4 hp", "does not say what the pump gives"),
    ("pump[frugal pump].curve", "10 gpm", "one point says nothing"),
    ("pump[frugal pump].curve", "420, 390, 330 ft", "are heads: give the flows first"),
    ("pump[frugal pump].stand_in", "9", "expected a number from 1 to 8"),
    ("sun.sky", "2, 3, 4", "has 3 values: expected twelve"),
    ("sun.sky", "130 %", "is at most 100%"),
    ("site.people", "some", "expected a whole number"),
    ("module", "glass", "expected Voc, Isc, Vmp, Imp, power"),
    ("site.latitude", "95 N", "is at most 66"),
]


@pytest.mark.parametrize(("key", "answer", "said"), UNCLEAR, ids=[row[1] for row in UNCLEAR])
def test_what_is_said_of_an_unclear_answer(key: str, answer: str, said: str) -> None:
    with pytest.raises(Unclear) as error:
        read_answer(answer, QUESTIONS[key], "US")
    assert said in str(error.value)


@pytest.mark.parametrize("system", ["US", "SI"])
def test_every_example_and_every_offer_is_an_answer(system: Any) -> None:
    for each in questions(system).values():
        offers = [each.offer.text] if each.offer is not None else []
        for text in [*each.example(system).split("; or "), *offers]:
            assert control_in(text, each.declines) is None
            assert read_answer(text, each, system).values, (each.key, text)


@pytest.mark.parametrize(
    ("text", "declines", "means"),
    [
        ("Don\u2019t know", False, "not known"),
        ("dont know.", False, "not known"),
        ("?", False, "help"),
        ("HELP", False, "help"),
        ("no", True, "no"),
        ("no", False, None),
        ("no hand pump", True, "no"),
        ("no idea", True, "not known"),
        ("", True, "nothing"),
        ("  ", True, "nothing"),
        ("stop", True, "stop"),
        (" " * 400 + "stop", True, "stop"),
        ("q.", True, "stop"),
        ("!", True, None),
        ("back", True, "back"),
        ("85'", True, None),
        ("0, 3, 6 gpm", True, None),
    ],
)
def test_words_that_steer(text: str, declines: bool, means: str | None) -> None:
    assert control_in(text, declines) == means


TRADE = st.sampled_from(
    ["85'", "1-1/4\"", "3/4 hp", "40/60", "gpm", "at", "x", ",", ";", "/", "-", "..", "to", "ft",
     "no", "1e400", "nan", "(", ")", "0", "-5", "%", "AWG", "relay", "\u00bd", "9" * 40, "\x00",
     "\ud800", "Voc", "series", "N", "\u00b0"]
)  # fmt: skip
TEXTS = st.one_of(st.text(max_size=40), st.lists(TRADE, max_size=8).map(" ".join))


def check_no_text_is_a_traceback(key: str, text: str, system: Any) -> None:
    """Whatever is typed is understood or refused with a sentence; what was understood is text,
    numbers and switches that the site's rules can look at."""
    question = QUESTIONS[key]
    control_in(text, question.declines)
    try:
        reading = read_answer(text, question, system)
    except Unclear:
        return
    tables: dict[str, Any] = {}
    for path, value in {**question.sets, **reading.values}.items():
        if value is not None:
            set_at(tables, path, value)
    for _, message in problems(tables):
        assert message


@settings(max_examples=50, deadline=None)
@given(st.sampled_from(sorted(QUESTIONS)), TEXTS, st.sampled_from(["US", "SI"]))
def test_no_text_is_a_traceback(key: str, text: str, system: Any) -> None:
    check_no_text_is_a_traceback(key, text, system)


@pytest.mark.long
@settings(max_examples=400, deadline=None)
@given(st.sampled_from(sorted(QUESTIONS)), TEXTS, st.sampled_from(["US", "SI"]))
def test_no_text_is_a_traceback_at_length(key: str, text: str, system: Any) -> None:
    check_no_text_is_a_traceback(key, text, system)


NASTY = [
    "1" * 300, "1,234," * 60, "1 " * 150, "1 1/2 " * 60, "1-" * 150, "a, " * 100, "1 ft, " * 60,
    "0, 3 gpm " * 40, "((((" * 70, "1 at " * 70, "x" * 5000, "1 to " * 80, "' " * 150,
]  # fmt: skip


def reading_time(text: str) -> float:
    """Time for a text as an answer to every question [s of the processor]."""
    begun = time.process_time()
    for question in QUESTIONS.values():
        for answer in (text, f"{text}!", f"{text} gpm"):
            with suppress(Unclear):
                read_answer(answer, question, "US")
    return time.process_time() - begun


@cache
def ordinary_time() -> float:
    """Time for an ordinary answer, the longest of three [s of the processor]."""
    return max(reading_time("85 ft") for _ in range(3))


@pytest.mark.parametrize("text", every(NASTY, 4), ids=lambda text: text[:8])
def test_no_answer_takes_for_ever(text: str) -> None:
    """Long answers made to be read in many ways take some hundred times as long as a short one,
    not for ever."""
    assert reading_time(text) < 1000 * max(ordinary_time(), 1e-3)


def test_a_storage_tank_between_two_pumps_is_asked_after() -> None:
    """Of its heights, its guards and its float, where a pump fills it or draws from it alone."""
    path = Path(__file__).parents[1] / "sites" / "cistern.toml"
    tables = tomllib.loads(path.read_text("utf-8"))

    def asked(of: dict[str, Any]) -> set[str]:
        questions = plan(Facts(of, {}, "US"))
        return {each.key for each in questions if each.key.startswith("storage_tank.")}

    ends = ("elevation", "air_gap", "overflow", "covered", "stops_below")
    assert asked(tables) == {f"storage_tank.{end}" for end in ends}
    keys = {each.key for each in plan(Facts(tables, {}, "US"))}
    assert "pump[booster from cistern].intake_depth" not in keys
    for pump in tables["pump"]:
        pump.pop("draws", None)
        pump.pop("delivers", None)
    assert asked(tables) == set()


@pytest.mark.parametrize(
    ("volts", "cells"),
    [(37.1, None), (36.65, 54), (36.68, None), (37.22, None), (37.24, 60),
     (36 * 0.575, None), (36 * 0.585, 36), (36 * 0.735, 36), (27.0, None),
     (48 * 0.575, None), (48 * 0.585, 48), (54 * 0.65, 54), (60 * 0.65, 60), (66 * 0.65, 66),
     (72 * 0.65, 72),
     (78 * 0.735, 78), (78 * 0.745, None)],
)  # fmt: skip
def test_cells_are_taken_from_0_58_to_0_74_volts_each(volts: float, cells: int | None) -> None:
    """As the question says of itself: common practice, no source. Between 54 and 60, where their
    means lie within 0.01 V of 0.65 V on either side of it: from 1.29 to 1.31 V over 1/54 + 1/60,
    which are 36.66 and 37.23 V."""
    answer = f"{volts:.2f} V, 9.7 A, {0.8 * volts:.2f} V, 9.2 A"
    assert read_answer(answer, QUESTIONS["module"], "US").values.get(("module", "cells")) == cells


def test_a_heater_of_one_element_is_asked_for_its_thermostat_and_the_other_element() -> None:
    """Without an element there is none to ask after."""
    for elements, asked in ((0, False), (1, True), (2, True)):
        heater = {"element": [{"rated_power": "4500 W"}] * elements}
        site = {"module": {"voc": "39.9 V"}, "array": [{"name": "a", "feeds": "heater"}],
                "water_heater": heater}  # fmt: skip
        keys = {each.key for each in plan(Facts(site, {}, "US"))}
        assert ({"water_heater.thermostat", "water_heater.upper"} <= keys) == asked


@pytest.mark.parametrize(
    ("answer", "mean"),
    [("1.1", True), ("8.9", True), ("9", True), ("9.2", False), ("1", False), ("0.5", False)],
)
def test_a_bare_number_up_to_nine_is_a_mean_of_the_year(answer: str, mean: bool) -> None:
    """As the question says: no place has more than 9 kWh/m2 a day; up to 1 it is a share."""
    told = ""
    try:
        read_answer(answer, QUESTIONS["sun.sky"], "US")
    except Unclear as error:
        told = str(error)
    assert ("is a mean of the year" in told) == mean, told
