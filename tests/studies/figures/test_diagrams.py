"""The schedule of equipment and how it is joined, against the site files read by themselves."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from wellsolar import kinds
from wellsolar.reports.charts.diagram import SYMBOLS
from wellsolar.reports.charts.draw import draw
from wellsolar.reports.figures.diagrams import MAIN
from wellsolar.reports.figures.plots import DiagramPanel, Plot
from wellsolar.results.figures import Branch, Parallel, Series, Thing, scheduled, things_in
from wellsolar.site.loading.read import load_site, parse_site
from wellsolar.site.schema import Site
from wellsolar.studies.figures.pipes import water_of
from wellsolar.studies.figures.tags import LETTERS
from wellsolar.studies.figures.wires import power_of
from wellsolar.studies.plumbing.layout import layout_of
from wellsolar.units import read
from wellsolar.verdicts import say

CHECKOUT = Path(__file__).parents[3]
LINE = "line of its own"
SITES = sorted([*CHECKOUT.glob("examples/*.toml"), *CHECKOUT.glob("tests/sites/*.toml")])


def of_site(path: Path) -> tuple[Site, dict[str, Any]]:
    """A site and its file as plain tables."""
    return load_site(str(path)).site, tomllib.loads(path.read_text(encoding="utf-8"))


def ways(branch: Branch) -> Iterator[list[Thing]]:
    """Every way along a branch from where it begins to where it ends."""
    if isinstance(branch, Thing):
        yield [branch]
    elif isinstance(branch, Parallel):
        for part in branch.parts:
            yield from ways(part)
    else:
        behind: list[list[Thing]] = [[]]
        for part in branch.parts:
            behind = [before + after for before in behind for after in ways(part)]
        yield from behind


def signs(way: list[Thing]) -> list[str]:
    """What stands on a way, in order."""
    return [thing.sign for thing in way]


@pytest.mark.parametrize("path", SITES, ids=lambda path: path.stem)
def test_all_that_the_file_names_is_drawn_once_under_a_tag_of_its_own(path: Path) -> None:
    site, told = of_site(path)
    water, power = water_of(site), power_of(site)
    schedule = scheduled((*things_in(water), *things_in(power)))
    tags = [thing.tag for thing in schedule]
    assert len(set(tags)) == len(tags)
    names = Counter(thing.name for thing in schedule)
    pumps, arrays = told.get("pump", []), told.get("array", [])
    for each in [*pumps, *arrays, *[{"name": each.name} for each in layout_of(site)]]:
        if water is not None or each in arrays:
            assert names[each["name"]] == 1, each["name"]
    elements = told.get("water_heater", {}).get("element", [])
    assert sum(thing.sign == "element" for thing in schedule) == len(elements)
    assert sum(thing.sign == "isolator" for thing in schedule) == len(arrays)
    assert [thing.tag for thing in schedule if thing.sign == "pump"] == [
        f"P-{number}" for number in range(1, len(pumps) + 1)
    ]
    on_mains = Counter(
        thing.tag for thing in things_in(power) if thing.sign in ("pump", "element")
    )
    assert not on_mains or max(on_mains.values()) == 1  # nothing is fed twice


@pytest.mark.parametrize("path", SITES, ids=lambda path: path.stem)
def test_a_wire_and_a_pipe_are_the_file_s_own(path: Path) -> None:
    """Each way to a pump tells that pump's cable, each way from it that pump's pipe."""
    site, told = of_site(path)
    power, water = power_of(site), water_of(site)
    for number, pump in enumerate(told.get("pump", []), 1):
        for way in ways(power) if power is not None else ():
            cables = [thing.said.text("US") for thing in way if thing.name == "cable"]
            if way[-1].tag == f"P-{number}" and "cable" in pump:
                gauge = pump["cable"]["gauge"].replace("mm2", "mm²")
                assert cables[-1].split(", ")[0] == gauge
        for way in ways(water) if water is not None else ():
            at = next((n for n, thing in enumerate(way) if thing.tag == f"P-{number}"), None)
            drop = next((thing for thing in way[at:] if thing.name == "drop pipe"), None)
            if at is not None and drop is not None:
                pipe = pump.get("drop_pipe", told.get("piping", {}).get("drop_pipe", {}))
                if pump.get("draws", "well") == "well" and "size" in pipe:
                    assert drop.said.text("US").startswith(pipe["size"])


def test_ridge_house_is_joined_as_its_story_tells() -> None:
    """Read off the file by hand: grid and inverter meet at one switch that a changeover follows;
    four modules go by isolator, thermostat's relay and high limit to the lower element; the three
    pumps meet before the one tank; the mixing valve is the last thing before the hot taps."""
    site, _ = of_site(CHECKOUT / "examples" / "ridge_house.toml")
    power, water = power_of(site), water_of(site)
    assert power is not None
    assert water is not None
    heats = [way for way in ways(power) if way[-1].name == "lower element"]
    assert [signs(way) for way in heats] == [
        ["modules", "isolator", "run", "contacts", "high limit", "element"]
    ]
    assert {thing.carries for thing in heats[0][:-1]} == {"direct current", ""}
    to_frugal = [signs(way) for way in ways(power) if way[-1].name == "frugal pump"]
    end = ["transfer", "changeover", "breaker", "controller", "run", "pump"]
    assert to_frugal == [
        ["grid", *end],
        ["modules", "fuse", "isolator", "inverter", *end],
        ["battery", "inverter", *end],
    ]
    hot = [way for way in ways(water) if way[-1].name == "hot taps"]
    assert [way[0].tag for way in hot] == ["P-1", "P-2", "H-1"]
    for way in hot:
        assert signs(way)[-3:] == ["heater", "mixing valve", "tap"]
        assert sum(thing.sign == "pressure tank" for thing in way) == 1
        tank = next(thing for thing in way if thing.sign == "pressure tank")
        # The switch and the relief valve hang on the tank's tee, no valve between.
        assert [thing.sign for thing in tank.beside] == ["switch", "relief valve", "drain"]


WATER, DIRECT, MAINS = "water", "direct current", "alternating current"
OLD_PUMP = "submersible, 1.00 hp, 230 V, single-phase, intake at 190 ft"
FRUGAL = "submersible, 0.50 hp, 230 V, single-phase, intake at 170 ft"
OF_RIDGE_HOUSE = (
    ("P-1", "house pump", OLD_PUMP, WATER, "t"),
    ("CV-1", "check valve", "", WATER, "t"),
    ("", "drop pipe", "1 1/4 in, polyethylene SIDR", "", "t"),
    ("P-2", "frugal pump", FRUGAL, WATER, "t"),
    ("CV-2", "check valve", "", WATER, ""),
    ("", "drop pipe", "3/4 in, polyethylene SIDR", "", "t"),
    ("H-1", "hand pump", "1.75 in bore, 6.00 in stroke, cylinder at 125 ft", WATER, "t"),
    ("RV-1", "hand pump relief valve", "", "", "t"),
    ("V-1", "spout valve", "rests open", "", "h"),
    ("V-2", "frost drain", "rests open in frost, else shut", "", "th"),
    ("CV-3", "hand pump check valve", "", "", ""),
    ("V-3", "hand pump line valve", "rests shut", "", "h"),
    ("", "line to the house", "1 1/4 in, polyethylene SIDR, 120 ft", "", "t"),
    ("PT-1", "pressure tank", "86.0 gal, precharge 38.0 psi", WATER, "t"),
    ("PS-1", "pressure switch", "on at 40.0 psi, off at 60.0 psi", "", "th"),
    ("RV-2", "tank relief valve", "", "", "t"),
    ("V-4", "tank drain", "rests shut", "", "h"),
    ("V-5", "treatment bypass", "rests shut", "", "h"),
    ("V-6", "house main valve", "rests open", "", "h"),
    ("V-7", "heater cold valve", "rests open", "", "h"),
    ("WH-1", "water heater", "50.0 gal", "hot water", "t"),
    ("RV-3", "heater relief valve", "", "", "t"),
    ("V-8", "heater drain", "rests shut", "", "h"),
    ("MV-1", "mixing valve", "gives 120 °F, ASSE 1017", "hot water", "t"),
    ("", "hot taps", "", "", "t"),
    ("", "cold taps", "", "", "t"),
    # 4 and 32 modules of 300 W.
    ("PV-1", "hot water", "1200 W, 4 in series", DIRECT, "t"),
    ("DS-1", "isolator of hot water", "600 V, 32.0 A, opens both conductors", DIRECT, "th"),
    ("", "cable", "10 AWG, 250 ft", "", "t"),
    ("TH-1", "thermostat and relay", "set to 150 °F, 300 V, 32.0 A", DIRECT, "t"),
    ("HL-1", "high limit", "opens at 170 °F, 250 V, 32.0 A", DIRECT, "t"),
    ("E-1", "lower element", "4500 W, 240 V", "", "t"),
    ("GR-1", "grid", "", MAINS, "t"),
    ("PV-2", "house battery", "9600 W, 4 rows, 8 in series", DIRECT, "t"),
    ("F-1", "string fuses", "20.0 A", DIRECT, "t"),
    ("DS-2", "isolator of house battery", "500 V, 63.0 A, opens both conductors", DIRECT, "th"),
    ("B-1", "battery", "15.0 kWh", DIRECT, "t"),
    ("INV-1", "inverter", "6000 VA, 12000 VA for a start, 240 V", MAINS, "th"),
    ("TS-1", "transfer switch", "one supply at a time", MAINS, "th"),
    ("SW-1", "changeover switch", "one pump at a time", MAINS, "th"),
    ("CB-1", "breaker of house pump", "20.0 A", MAINS, "th"),
    ("", "cable", "12 AWG, 330 ft", "", "t"),
    ("P-1", "house pump", OLD_PUMP, "", "t"),
    ("CB-2", "breaker of frugal pump", "", MAINS, "h"),
    ("CT-1", "drive of frugal pump", "", MAINS, "t"),
    ("", "cable", "14 AWG, 310 ft", "", "t"),
    ("P-2", "frugal pump", FRUGAL, "", "t"),
    ("GR-1", "grid", "", MAINS, "t"),
    ("CB-3", "breaker of upper element", "", MAINS, "h"),
    ("TH-2", "thermostat and high limit", "set to 120 °F", MAINS, "t"),
    ("E-2", "upper element", "4500 W, 240 V", "", "t"),
)  # fmt: skip
"""Read off the file by hand: tag, name, ratings, what leaves it, and whether the file tells it (t)
and a hand turns it (h)."""


def schedule_of(text: str) -> list[tuple[str, ...]]:
    """The same of a site as it is drawn."""
    site = parse_site(text).site
    return [
        (thing.tag, thing.name, thing.said.text("US"), thing.carries,
         "t" * thing.told + "h" * thing.turned)
        for thing in (*things_in(water_of(site)), *things_in(power_of(site)))
    ]  # fmt: skip


RIDGE = (CHECKOUT / "examples" / "ridge_house.toml").read_text(encoding="utf-8")


def test_each_thing_of_ridge_house_has_the_ratings_of_its_file() -> None:
    assert schedule_of(RIDGE) == list(OF_RIDGE_HOUSE)


@pytest.mark.parametrize(
    ("edit", "gone", "there"),
    [
        # 32 x 9.2 A x 32.6 V.
        (('rated_power = "300 W"\n', ""), "9600 W", "9597 W, 4 rows"),
        (("parallel = 4\n", ""), "20.0 A, direct", "2400 W, 8 in series"),
        (("isolator_poles = 2\nground", "isolator_poles = 1\nground"), "32.0 A, opens both",
         "600 V, 32.0 A, opens one conductor"),
        (("isolator_poles = 2\nground", "ground"), "32.0 A, opens", "600 V, 32.0 A, direct"),
        (('check_valve_place = "casing"\n', ""), "CV-3", "CV-1, check valve, , water, t\n, drop"),
        (('high_limit_switches = "relay"', 'high_limit_switches = "same relay"'),
         "high limit, opens", "thermostat and relay"),
        (('thermostat_switches = "relay"', 'thermostat_switches = "DC"'), "thermostat and relay",
         "thermostat, set to 150"),
        (('start = "direct"\n', 'start = "soft"\n'), "drive of house",
         "CT-1, soft starter of house pump"),
        (('electronics = "in a box"', 'electronics = "in the motor"'), "drive of", "CB-2"),
        (("pump_changeover = true\n", ""), "changeover", "TS-1"),
        (("[power]\n", '[power]\ngrid = false\ngenerator_rating = "5 kVA"\n'),
         "GR-1, grid, , alternating current, t\nPV-2",
         "G-1, generator, 5000 VA, alternating current, th"),
        (("[power]\n", "[power]\ngrid_phases = 1\n"), "three-phase",
         "GR-1, grid, single-phase, alternating current, t"),
        (("[power]\n", "[power]\ngrid_phases = 3\n"), "grid, single", "GR-1, grid, three-phase,"),
        (('fed_by = "grid"', 'fed_by = "inverter"'), "GR-1, grid, , alternating current, t\nCB-3",
         "CB-3, breaker of upper element"),
        (('fed_by = "grid"', 'fed_by = "inverter"\nsurplus_switch = "relay"\n'
          'surplus_switch_current = "25 A"'), "proportional",
         "relay switch for the surplus, 25.0 A, alternating current"),
        (('battery_energy = "15 kWh"\n', ""), "kWh", "B-1, battery, , direct current, \n"),
        (('inverter_rating = "6 kW"\n', ""), "6000 VA",
         "INV-1, inverter, 12000 VA for a start, 240 V, alternating current, h\n"),
        (('thermostat = "150 degF"\n', 'thermostat = "150 degF"\ncoupling = "tracking"\n'),
         "relays that", "CT-1, power-point controller, , direct current, t"),
        (('check_valve_place = "casing"', 'check_valve_place = "house"'), "CV-3",
         "t\nCV-2, check valve, , water, t\nPT-1"),
        (("[pressure_tank]\n", '[constant_pressure_valve]\nset_pressure = "50 psi"\n'
          "[pressure_tank]\n"), "pressure-reducing",
         "PRV-1, constant-pressure valve, set to 50.0 psi, water, t\nPT-1"),
        (("[piping]\n", '[piping]\nreducing_valve = "50 psi"\n'), "constant-pressure",
         "PRV-1, pressure-reducing valve, set to 50.0 psi, water, t\nV-5"),
        (("[water_heater.draw]", '[water_heater.second_tank]\nvolume = "40 gal"\n'
          'heat_loss = "1.2 W/K"\nrated_power = "4500 W"\nthermostat = "130 degF"\n'
          "[water_heater.draw]"), "expansion", "WH-2, second tank, 40.0 gal, hot water, t"),
        (("check_valve = false", 'check_valve = true\nexpansion_tank = true\n'
          'expansion_tank_volume = "5 gal"'), "second",
         "XT-1, expansion tank, 5.00 gal, , t"),
        (('position = "lower"\n', 'position = "lower"\ncount = 2\nwired = "series"\n'),
         "E-1, lower element, 4500", "E-1, lower element, 2 in series: each 4500 W, 240 V"),
        (('delivers = "tank"\n', 'delivers = "spout"\n'), "hand pump line valve", ", spout, "),
        (('delivers = "tank"\n', 'delivers = "spout"\n'), "hand pump check",
         "cold taps, , , t\nH-1, hand pump"),
        (('phases = 1\npower_factor = "80 %"', 'phases = 3\npower_factor = "80 %"'), "hot tub",
         "house pump, submersible, 1.00 hp, 230 V, three-phase"),
        (('rated_power = "1/2 hp"\n', ""), "0.50 hp", "frugal pump, submersible, 480 W, 230 V"),
    ],
)  # fmt: skip
def test_a_word_of_the_file_is_drawn(edit: tuple[str, str], gone: str, there: str) -> None:
    assert edit[0] in RIDGE
    drawn = "\n".join(", ".join(row) for row in schedule_of(RIDGE.replace(*edit, 1)))
    assert gone not in drawn
    assert there in drawn, drawn


def test_what_the_file_does_not_tell_is_marked() -> None:
    text = (CHECKOUT / "examples" / "ridge_house.toml").read_text(encoding="utf-8")
    told = {thing.name: thing.told for thing in things_in(power_of(parse_site(text).site))}
    assert told["breaker of house pump"]
    assert not told["breaker of frugal pump"]
    assert told["transfer switch"]
    open_to = text.replace('kept_apart = ["grid and inverter"]', "")
    assert not {thing.name: thing.told for thing in things_in(power_of(parse_site(open_to).site))}[
        "transfer switch"
    ]


@pytest.mark.parametrize(("rows", "drawn"), [(1, False), (2, True), (3, True)])
def test_fuses_of_strings_are_drawn_where_there_are_several(rows: int, drawn: bool) -> None:
    """One string feeds nothing back into itself: NEC 690.9(A) asks for none (from memory)."""
    text = (CHECKOUT / "examples" / "ridge_house.toml").read_text(encoding="utf-8")
    fused = tomllib.loads(text)["array"][1]
    assert "string_fuse" in fused
    parallel = f"parallel = {fused['parallel']}"
    assert text.count(parallel) == 1
    site = parse_site(text.replace(parallel, f"parallel = {rows}")).site
    assert ("string fuses" in {thing.name for thing in things_in(power_of(site))}) is drawn


@pytest.mark.parametrize(
    ("power", "drawn"),
    [
        ('grid = true\ninverter_rating = "6 kW"\n', {"grid", "inverter", "transfer switch"}),
        ("grid = true\n", set()),
    ],
)
def test_two_supplies_meet_in_a_switch_before_anything_hangs_on_them(
    power: str, drawn: set[str]
) -> None:
    well = '[well]\ndepth = "200 ft"\nstatic_level = "80 ft"\n'
    things = list(things_in(power_of(parse_site(f"{well}[power]\n{power}").site)))
    assert {thing.name for thing in things} >= drawn
    assert bool(things) == bool(drawn)


@pytest.mark.parametrize(
    ("place", "way"),
    [
        ("house", ["pump", "run", "run", "check valve", "storage tank"]),
        ("buried line", ["pump", "run", "run", "check valve", "storage tank"]),
        ("casing", ["pump", "check valve", "run", "run", "storage tank"]),
    ],
)
def test_the_check_valve_of_another_well_stands_where_its_table_says(
    place: str, way: list[str]
) -> None:
    """Behind the line of its own, or before its drop pipe."""
    text = (CHECKOUT / "tests" / "sites" / "two_wells.toml").read_text(encoding="utf-8")
    named = 'name = "dug well"\n'
    text = text.replace(named, f'{named}check_valve_place = "{place}"\n', 1)
    water = water_of(parse_site(text).site)
    assert water is not None
    (own,) = [signs(each) for each in ways(water) if each[0].name == "dug well pump"]
    assert own[: len(way)] == way


@pytest.mark.parametrize("path", SITES, ids=lambda path: path.stem)
def test_a_pump_is_drawn_through_the_line_of_the_others_only_where_it_presses_into_it(
    path: Path,
) -> None:
    """By the file: one with a line of its own, or that draws from a tank, has none of the line
    that the others share; one that hangs in the well has it once, whatever else meets it."""
    site, told = of_site(path)
    water = water_of(site)
    if water is None:
        return
    shared = {f"line to the {place}" for place in ("house", "storage tank", "open tank")}
    firsts: dict[str, list[int]] = {}
    for way in ways(water):
        through = 0
        for thing in way:
            if thing.sign in ("pump", "hand pump"):
                through = 0
                crossed = firsts.setdefault(thing.name, [])
            if thing.name in shared:
                through += 1
            if thing.name in ("storage tank", "pressure tank", "house main valve"):
                break
        crossed.append(through)
    for pump in told.get("pump", []):
        hangs = pump.get("kind") != "suction" and pump.get("draws") != "storage tank"
        if hangs and pump["name"] in firsts:
            assert set(firsts[pump["name"]]) == {0 if "line" in pump else 1}, pump["name"]
    own = [each["line"]["length"] for each in told.get("pump", []) if "line" in each]
    drawn = [thing.said.parts.values() for thing in things_in(water) if thing.name == LINE]
    for length in own:
        assert any(read(length, kinds.LENGTH) in parts for parts in drawn), length
    hand = told.get("hand_pump")
    if hand is not None and hand.get("delivers", "spout") != "spout" and "hand pump" in firsts:
        assert set(firsts["hand pump"]) == {0 if "line" in hand else 1}


def test_a_storage_tank_stands_between_its_filling_pump_and_the_house() -> None:
    """Poor well: a line, the tank, a pump, the pressure tank; hill tank: down by gravity."""
    for name, expected in (
        ("poor_well", ["pump", "check valve", "run", "run", "storage tank", "pump", "run",
                       "pressure tank", "valve", "tap"]),
        ("hill_tank", ["pump", "check valve", "run", "run", "storage tank", "run", "tap"]),
    ):  # fmt: skip
        site, _ = of_site(CHECKOUT / "examples" / f"{name}.toml")
        water = water_of(site)
        assert water is not None
        assert [signs(way) for way in ways(water)] == [expected]


def test_a_hand_pump_to_its_spout_alone_is_not_joined_to_the_house() -> None:
    site, _ = of_site(CHECKOUT / "examples" / "village_borehole.toml")
    water = water_of(site)
    assert isinstance(water, Parallel)
    assert (water.above, water.below) == (False, False)
    assert [signs(way) for way in ways(water)][-1] == ["hand pump", "tap"]


def test_every_kind_of_thing_has_letters_and_a_symbol() -> None:
    assert set(SYMBOLS) == {*LETTERS, "tap"}
    assert set(LETTERS) | {"tap"} >= MAIN


def test_a_name_of_any_kind_is_drawn_as_text_alone() -> None:
    hostile = Thing("P-1", "pump", "<script>&" + "x" * 300, say(""), "water")
    lanes = Parallel((hostile, Series((hostile, hostile))), above=True, below=True)
    panel = DiagramPanel("", Series((hostile, lanes)))
    svg = draw(Plot("system", "t", "c", (), "pump_1", (panel,)), "US")
    assert "<script" not in svg
    assert "&lt;script" in svg
