"""The parts list against arithmetic of the test's own, and its sizes put back into the file."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Sequence
from pathlib import Path

import pytest
from CoolProp.CoolProp import PropsSI

from wellsolar.commands import EVERYTHING
from wellsolar.reports.tables.parts_list import heading, parts_sections
from wellsolar.reports.text.csv import HEADER, MARK, as_csv
from wellsolar.results import Results
from wellsolar.results.parts import Part, PartsList
from wellsolar.site.loading.read import parse_site
from wellsolar.site.part_names import part_names
from wellsolar.sources import SOURCES
from wellsolar.studies.case import study_site
from wellsolar.studies.parts.study import study_parts

EXAMPLES = Path(__file__).parents[2] / "examples"
FOOT, GALLON, PSI = 0.3048, 231 * 0.0254**3, 6894.757


def listed(
    example: str, settings: Sequence[str] = (), text: str | None = None
) -> tuple[PartsList, Results]:
    text = text or (EXAMPLES / f"{example}.toml").read_text(encoding="utf-8")
    file = parse_site(text, example, settings)
    results = study_site(file, EVERYTHING)
    return study_parts(file.site, results), results


def part(found: PartsList, item: str, of: str = "") -> Part:
    fits = [each for each in found.parts if each.item == item and each.of.startswith(of)]
    assert len(fits) == 1, (item, of, fits)
    return fits[0]


def status(results: Results, key: str, subject: str) -> str:
    return next(
        each.status for each in results.verdicts if (each.rule.key, each.subject) == (key, subject)
    )


@pytest.mark.parametrize("example", [path.stem for path in sorted(EXAMPLES.glob("*.toml"))])
def test_every_line_has_a_known_name_and_a_verdict_of_the_site(example: str) -> None:
    found, results = listed(example)
    assert found.parts
    for each in found.parts:
        assert each.item in part_names()
        assert each.source in SOURCES
        assert each.verdict is None or each.verdict in results.verdicts
    assert parts_sections(found)


def test_pipe_and_wire_are_as_long_as_the_well_asks() -> None:
    found, _ = listed("creek_cabin")
    # Intake at 160 ft under a pitless adapter at 5 ft; 230 ft of cable and a tenth more.
    drop = part(found, "drop pipe", "old pump")
    assert drop.quantity == pytest.approx((160 - 5) * FOOT)
    cable = part(found, "pump cable", "old pump")
    assert cable.quantity == pytest.approx(230 * 1.1 * FOOT)
    assert part(found, "lateral pipe").quantity == pytest.approx(60 * FOOT)
    # Table figures from memory.
    # NEC 430.52: 250 % of the 4.9 A of a half-horsepower motor at 230 V (Table 430.248) is
    # 12.25 A, the next standard size of 240.6 is 15 A.
    assert part(found, "pump breaker", "old pump").size.text("US").startswith("15 A")
    # Locked-rotor 24 A at 230 V.
    assert "5520 VA for a start" in part(found, "inverter").size.text("US")
    assert part(found, "inverter").state == "to change"


def test_a_thin_wire_is_listed_as_the_one_that_does_and_clears_its_verdicts() -> None:
    found, results = listed("ridge_house")
    assert status(results, "voltage drop", "house pump") == "caution"
    pump, array = part(found, "pump cable", "house pump"), part(found, "array cable", "hot water")
    assert (pump.state, array.state) == ("to change", "to change")
    # Table figures from memory.
    # 12 AWG stranded, 1.98 ohm/kft at 75 degC (NEC chapter 9 table 8): 2 x 330 ft x 6.35 A is
    # 8.3 V of 230; 10 AWG, 1.24 ohm/kft: 5.2 V, 2.3 %.
    assert 2 * 0.330 * 1.24 * 6.35 / 230 < 0.03 < 2 * 0.330 * 1.98 * 6.35 / 230
    assert pump.size.text("US").startswith("10 AWG")
    gauges = [each.size.text("US").split(",")[0] for each in (pump, array)]
    settings = [
        f"pump[house pump].cable.gauge={gauges[0]}",
        f"array[hot water].cable.gauge={gauges[1]}",
    ]
    changed, after = listed("ridge_house", settings)
    assert status(after, "voltage drop", "house pump") == "pass"
    assert status(after, "voltage drop", "hot water") == "pass"
    assert part(changed, "pump cable", "house pump").state == "in the file"


def test_a_tank_hotter_than_120_wants_valves_at_tank_and_fixtures() -> None:
    text = (EXAMPLES / "south_slope.toml").read_text(encoding="utf-8")
    lines = text.split("\n")
    at = next(n for n, line in enumerate(lines) if line.startswith("[water_heater.mixing_valve]"))
    del lines[at : at + 3]
    without = "\n".join(lines)
    found, results = listed("south_slope", ["water_heater.fixture_valves=false"], without)
    assert status(results, "mixing valve", "water heater") == "fail"
    valve, fixtures = part(found, "mixing valve"), part(found, "fixture valve")
    assert (valve.state, fixtures.state) == ("to add", "to add")
    assert "ASSE 1017" in valve.size.text("US")
    assert "120 °F" in valve.size.text("US")
    assert "ASSE 1016" in fixtures.size.text("US")
    settings = ["water_heater.mixing_valve.outlet=120 degF"]
    settings += [
        "water_heater.mixing_valve.standard=ASSE 1017",
        "water_heater.fixture_valves=true",
    ]
    again, after = listed("south_slope", settings, without)
    assert status(after, "mixing valve", "water heater") == "pass"
    assert status(after, "scald protection at fixtures", "fixtures") == "pass"
    assert part(again, "mixing valve").state == "in the file"


def test_a_check_valve_wants_an_expansion_tank_of_the_computed_size() -> None:
    found, _ = listed("south_slope", ["water_heater.expansion_tank=false"])
    tank = part(found, "expansion tank")
    assert tank.state == "to add"
    # 30 gal from 68 to 170 degF, densities by CoolProp; from 50 psi up to 10 % below 150 psi by
    # Boyle's law, at 1200 ft of standard atmosphere.
    cold, hot = (PropsSI("D", "T", (f - 32) / 1.8 + 273.15, "P", 5e5, "Water") for f in (68, 170))
    grown = 30 * GALLON * (cold / hot - 1)
    air = 101_325 * (1 - 2.25577e-5 * 1200 * FOOT) ** 5.25588
    needed = grown / (1 - (50 * PSI + air) / (135 * PSI + air))
    volume = tank.size.parts["volume"]
    assert isinstance(volume, float)
    assert needed <= float(volume) == pytest.approx(needed, rel=0.02)
    gallons = math.ceil(float(volume) / GALLON * 100) / 100
    settings = [
        f"water_heater.expansion_tank_volume={gallons} gal",
        "water_heater.expansion_tank_precharge=50 psi",
    ]
    _, after = listed("south_slope", settings)
    assert status(after, "thermal expansion", "water heater") == "pass"


def test_a_small_pressure_tank_is_listed_as_large_as_the_least_run_asks() -> None:
    found, results = listed("south_slope", ["pressure_tank.volume=20 gal"])
    assert status(results, "run time", "soft-start pump") == "fail"
    tank = part(found, "pressure tank")
    assert tank.state == "to change"
    flow = results.pressure_tank.cycles[0].pump_flow if results.pressure_tank else 0.0
    air = 101_325 * (1 - 2.25577e-5 * 1200 * FOOT) ** 5.25588
    held = (28 * PSI + air) * (1 / (30 * PSI + air) - 1 / (50 * PSI + air))
    volume = tank.size.parts["volume"]
    assert isinstance(volume, float)
    assert float(volume) == pytest.approx(flow * 60 / held, rel=0.01)
    gallons = math.ceil(float(volume) / GALLON)
    _, after = listed("south_slope", [f"pressure_tank.volume={gallons} gal"])
    assert status(after, "run time", "soft-start pump") == "pass"


def test_the_files_prices_are_added_up() -> None:
    text = (EXAMPLES / "creek_cabin.toml").read_text(encoding="utf-8")
    assert not listed("creek_cabin", text=text)[0].priced
    text += """
[[price]]
item = "pump cable"
cost = "1.50"
per = "ft"
[[price]]
item = "pump cable"
size = "8 AWG"
cost = "3"
per = "ft"
[[price]]
item = "90 elbow"
cost = "4"
[[price]]
item = "pump breaker"
cost = "20"
[[price]]
item = "expansion tank"
cost = "60"
"""
    found, _ = listed("creek_cabin", text=text)
    assert part(found, "pump cable", "old pump").cost == pytest.approx(253 * 1.5)
    assert part(found, "pump cable", "frugal pump").cost == pytest.approx(253 * 3)
    everything = 253 * 1.5 + 253 * 3 + 3 * 4 + 2 * 20
    assert found.cost("in the file", "to change", "to add") == pytest.approx(everything)
    assert found.cost("to change", "to add") == pytest.approx(40)
    assert found.unused_prices == ("expansion tank",)
    assert any(f"{everything:,.2f}" in line for line in heading(found))
    rows = list(csv.DictReader(io.StringIO(as_csv(found, "US"))))
    elbow = next(row for row in rows if row["part"] == "90 elbow")
    assert (elbow["price"], elbow["per"], elbow["cost"]) == ("4.00", "piece", "12.00")


def test_csv_has_whole_feet_or_metres_and_no_formula() -> None:
    found, _ = listed("creek_cabin", ["pump[1].name==1+1"])
    assert as_csv(found, "US", MARK).encode().startswith(b"\xef\xbb\xbfline,")
    us, si = (list(csv.DictReader(io.StringIO(as_csv(found, each)))) for each in ("US", "SI"))
    assert tuple(us[0]) == HEADER
    pipes = [next(row for row in rows if row["part"] == "drop pipe") for rows in (us, si)]
    # 155 ft are 47.244 m.
    assert [(row["quantity"], row["unit"]) for row in pipes] == [("155", "ft"), ("48", "m")]
    assert us[0]["for"] == "'=1+1"
    assert as_csv(found, "US").endswith("\r\n")


def test_what_was_assumed_is_not_said_to_be_in_the_file() -> None:
    found, _ = listed("smallest")
    assert part(found, "drop pipe").state == "to add"
    assert part(found, "check valve").state == "to add"
    # A suction pump above its reach is no choice to keep.
    assert part(listed("high_pass")[0], "hand pump").state == "to change"


def test_a_pipe_too_narrow_is_listed_wider_and_clears_its_verdict() -> None:
    settings = ["pump[1].drop_pipe.material=polyethylene SIDR", "pump[1].drop_pipe.size=1/2 in"]
    found, results = listed("south_slope", settings)
    assert status(results, "pipe velocity", "soft-start pump") == "caution"
    pipe = part(found, "drop pipe")
    assert pipe.state == "to change"
    size = pipe.size.text("US").split(", ")[1]
    _, after = listed("south_slope", [*settings, f"pump[1].drop_pipe.size={size}"])
    assert status(after, "pipe velocity", "soft-start pump") == "pass"


def test_bleach_is_for_twice_the_water_in_the_casing() -> None:
    found, _ = listed("ridge_house")
    # 135 ft of water in a bore of 6.065 in; 200 mg/L of chlorine out of 52.5 g/L of bleach.
    water = math.pi / 4 * (6.065 * 0.0254) ** 2 * (220 - 85) * FOOT
    bleach = part(found, "disinfectant")
    assert bleach.quantity == pytest.approx(2 * water * 0.2 / 52.5, rel=1e-6)
    row = next(
        each
        for each in csv.DictReader(io.StringIO(as_csv(found, "SI")))
        if each["part"] == "disinfectant"
    )
    liters = math.ceil(2 * water * 0.2 / 52.5 * 1e4) / 10
    assert (float(row["quantity"]), row["unit"]) == (liters, "L")
    # Without the bore nobody knows the water.
    without = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")
    without = without.replace('casing_bore = "6.065 in"\n', "")
    unknown = part(listed("ridge_house", text=without)[0], "disinfectant")
    assert unknown.quantity is None
    assert "well.casing_bore" in unknown.size.text("US")


def test_pipe_bears_what_the_pump_holds_against_shut_taps() -> None:
    found, _ = listed("creek_cabin")
    # 290 ft of water at 47 degF, 62.42 lb/ft3: 290 x 62.42 / 144 = 125.7 psi at the pump.
    pipe = part(found, "drop pipe", "old pump")
    assert pytest.approx(125.7, abs=0.05) == 290 * 62.42 / 144
    assert "bears 126 psi" in pipe.size.text("US")


def test_all_that_shares_the_line_has_its_own_check_valve() -> None:
    found, _ = listed("ridge_house")
    valves = {each.of: each for each in found.parts if each.item == "check valve"}
    assert set(valves) == {"", "frugal pump", "hand pump"}
    assert valves["frugal pump"].size.text("US").startswith("3/4 in")
    assert part(found, "ball valve", "hand pump").state == "to check"
    assert "60.0 psi" in part(found, "hand pump").size.text("US")
    # A hand pump to the spout alone touches no line.
    alone, _ = listed("ridge_house", ["hand_pump.delivers=spout"])
    assert {each.of for each in alone.parts if each.item == "check valve"} == {"", "frugal pump"}


def test_modules_that_the_pump_lacks_are_to_add_and_clear_the_verdict() -> None:
    found, results = listed("village_borehole", ["array[pump array].series=1"])
    assert status(results, "array for the pump", "solar pump") == "fail"
    # 518 W of running pump over a derate of 0.77 is 673 W; a module gives 37.4 V x 8.8 A = 329 W.
    assert math.ceil(518 / 0.77 / (37.4 * 8.8)) == 3
    assert part(found, "module", "for the pumps").quantity == 3 - 1
    whole, after = listed("village_borehole", ["array[pump array].series=3"])
    assert status(after, "array for the pump", "solar pump") == "pass"
    assert not [each for each in whole.parts if (each.item, each.state) == ("module", "to add")]


def test_a_battery_too_small_is_listed_as_large_as_a_day_asks() -> None:
    small = ["power.battery_energy=100 Wh"]
    found, results = listed("creek_cabin", small)
    assert status(results, "battery for the pump", "frugal pump") == "caution"
    battery = part(found, "battery")
    assert battery.state == "to change"
    joules = battery.size.parts["energy"]
    assert isinstance(joules, float)
    watt_hours = math.ceil(float(joules) / 3600)
    _, after = listed("creek_cabin", [f"power.battery_energy={watt_hours} Wh"])
    assert status(after, "battery for the pump", "frugal pump") == "pass"
    _, less = listed("creek_cabin", [f"power.battery_energy={watt_hours - 2} Wh"])
    assert status(less, "battery for the pump", "frugal pump") == "caution"


def test_a_group_beside_the_heaters_has_wire_switch_and_fuses_by_its_own_current() -> None:
    found, _ = listed("ridge_house")
    of = "house battery"
    # Four rows of 9.7 A: 1.25 x 38.8 = 48.5 A to break, and 1.25 x 1.25 x 9.7 = 15.2 A asks the
    # next standard fuse of 240.6, 20 A.
    assert "48.5 A" in part(found, "isolator", of).size.text("US")
    fuse = part(found, "string fuse", of)
    assert (fuse.quantity, fuse.size.text("US")[:4]) == (4, "20 A")
    # Carries 1.25 x 48.5 = 60.6 A.
    assert "60.7 A" in part(found, "array cable", of).size.text("US")


def test_a_generator_too_small_is_listed_with_the_rating_that_starts_the_pump() -> None:
    found, results = listed("ridge_house", ["power.generator_rating=2 kVA"])
    assert status(results, "generator start", "house pump") == "fail"
    generator = part(found, "generator")
    assert generator.state == "to change"
    needed = generator.size.parts["needed"]
    assert isinstance(needed, float)
    _, after = listed("ridge_house", [f"power.generator_rating={math.ceil(float(needed))} VA"])
    assert status(after, "generator start", "house pump") == "pass"


@pytest.mark.parametrize("example", [path.stem for path in sorted(EXAMPLES.glob("*.toml"))])
def test_no_line_stands_twice_and_each_says_why(example: str) -> None:
    found, _ = listed(example)
    names = [(each.item, each.of) for each in found.parts]
    assert len(names) == len(set(names))
    for each in found.parts:
        assert each.size.text("US").strip()
        assert any(sentence.text("SI").strip() for sentence in each.why), each.item


def test_a_tank_that_the_battery_heats_has_its_valves_too() -> None:
    text = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")
    text = text.replace('fed_by = "hot water"', 'fed_by = "inverter"')
    found, results = listed("ridge_house", text=text)
    assert results.heated_tank is None
    assert part(found, "mixing valve").state == "in the file"
    # Both elements at 4500 W: 30 709 Btu/h of 3.41214 Btu/h each watt.
    assert "30710 Btu/h" in part(found, "relief valve").size.text("US")
    assert not [each for each in found.parts if each.item == "relay or controller"]


def test_a_tank_downstream_has_its_own_element_and_relief() -> None:
    text = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")
    text += """
[water_heater.second_tank]
volume = "40 gal"
heat_loss = "1.2 W/K"
rated_power = "3000 W"
thermostat = "125 degF"
"""
    found, _ = listed("ridge_house", text=text)
    assert part(found, "heating element", "second tank").size.text("US").startswith("3000 W")
    relief = part(found, "relief valve", "second tank")
    # 3000 W x 3.41214 Btu/h each watt.
    assert "10237 Btu/h" in relief.size.text("US")
    assert relief.state == "to add"


def test_a_suction_pump_wants_a_foot_valve_and_a_wide_pump_wide_fittings() -> None:
    text = """
[well]
depth = "25 ft"
static_level = "12 ft"
[pressure_switch]
cut_in = "20 psi"
cut_out = "40 psi"
[[pump]]
name = "jet"
kind = "suction"
intake_depth = "20 ft"
flow = "0, 5, 10 gpm"
head = "150, 120, 60 ft"
[[pump]]
name = "large"
flow = "0, 20, 40 gpm"
head = "400, 350, 200 ft"
"""
    found, results = listed("odd", text=text)
    assert part(found, "foot valve").of == "jet"
    assert "bears" not in part(found, "drop pipe", "jet").size.text("US")
    # 40 gpm through 2 in is 4.1 ft/s at a bore of 2.067 in, within 5 ft/s; 1 1/2 in, 1.610 in
    # (bores as of schedule 40, from memory) would be 6.3 ft/s.
    flow = 40 * GALLON / 60
    speeds = [flow / (math.pi / 4 * (bore * 0.0254) ** 2) / FOOT for bore in (2.067, 1.610)]
    assert speeds[0] < 5 < speeds[1]
    for item in ("drop pipe", "check valve", "pitless adapter"):
        assert "2 in" in part(found, item, "large").size.text("US")
    assert results.pumps[1].duties[0].flow == pytest.approx(flow, rel=0.01)
