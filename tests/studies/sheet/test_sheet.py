"""The commissioning sheet, against arithmetic; alone and in the report it is one and the same."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from pvlib import pvsystem
from scipy.interpolate import PchipInterpolator

from tests.sampled import sampled
from tests.site_texts import EXAMPLES
from tests.studies.composing import diode, parameters
from tests.studies.reading.by_integration import flow_of
from tests.studies.reading.conftest import NORTH, PUMP
from wellsolar.cli import wellsolar
from wellsolar.results.moves import ALL_HEAT, HANDLE, HEATER_WATER, Move
from wellsolar.results.readings import SheetResult, SheetStep
from wellsolar.site.loading.read import SiteFile, load_site, parse_site
from wellsolar.site.part_names import BYPASS, HAND_LINE
from wellsolar.studies.case import USUAL, Case, study_site
from wellsolar.studies.plumbing.layout import layout_of
from wellsolar.units import Quantity

Make = Callable[..., SiteFile]
PSI, FOOT, GPM = 6894.757, 0.3048, 3.785411784e-3 / 60

UNITS = {"°F", "°C", "psi", "kPa", "bar", "gpm", "L/min", "A", "V", "ft", "m", "s", "min", "ohm"}


def sheet_of(site: SiteFile) -> SheetResult:
    return Case(site).sheet


def step_of(sheet: SheetResult, key: str) -> SheetStep:
    return next(each for each in sheet.steps if each.key == key)


def box(sheet: SheetResult, step: str, begins: str) -> Quantity:
    line = next(each for each in step_of(sheet, step).lines if each.text.startswith(begins))
    assert line.expected is not None
    return line.expected


def test_every_step_says_what_to_isolate_and_every_box_has_a_band_or_words(
    make_site: Make,
) -> None:
    for path in sorted(EXAMPLES.glob("*.toml")):
        for step in sheet_of(load_site(path)).steps:
            assert len(step.before) > 40
            for line in step.lines:
                assert bool(line.words) != (line.expected is not None), line
                if line.expected is not None:
                    assert line.expected.low <= line.expected <= line.expected.high, line


PHASES = ["dead tests", "guards", "water", "power", "heat", "at rest"]


def ridge() -> SheetResult:
    return sheet_of(load_site(EXAMPLES / "ridge_house.toml"))


def test_the_order_is_that_of_the_work() -> None:
    assert [each.key for each in ridge().steps] == [
        "bonding", "motor_1", "motor_2", "element", "modules_1", "modules_2",
        "high_limits", "relief", "vacuum", "switches", "guards",
        "well", "tank", "hand_pump", "hand_tank",
        "sources", "pump_1", "pump_2", "clean",
        "first_heat", "array_1", "hot_water",
        "night", "sample", "frost",
    ]  # fmt: skip


@pytest.mark.parametrize("site", sorted(EXAMPLES.glob("*.toml")), ids=lambda path: path.stem)
def test_phases_follow_each_other_and_lines_are_numbered_through(site: Path) -> None:
    """Dead tests, guards, water, power, heat: nothing is switched on before its guards."""
    sheet = sheet_of(load_site(site))
    phases = [PHASES.index(step.phase) for step in sheet.steps]
    assert phases == sorted(phases)
    assert [line.number for line in sheet.lines] == list(range(1, len(sheet.lines) + 1))
    for earlier, step in zip(sheet.steps, sheet.steps[1:], strict=False):
        first = step.phase in ("power", "heat") and step.phase != earlier.phase
        told = f"Nothing goes on before lines 1 to {earlier.lines[-1].number} are in order."
        assert step.before.startswith(told) is first


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ("tank", "breaker"),
        ("well", "disinfect"),
        ("motor_2", "ruins the electronics"),
        ("pump_1", "Off at the breaker: frugal pump"),
        ("pump_2", "Off at the breaker: house pump"),
        ("pump_1", "runs past cut-out"),
        ("hand_pump", "Electric pumps off"),
        ("clean", "never with acid"),
        ("modules_1", "full voltage in any light"),
        ("modules_1", "surge arresters and electronics off"),
        ("array_1", "tank full, seen at an open hot tap"),
        ("first_heat", "Nobody at a tap"),
        ("element", "the isolator of the modules (hot water) and the heater's breaker (grid)"),
        ("night", "the isolator of the modules (hot water)"),
        ("night", "Heater cold valve and house main valve open, as its water expands"),
        ("sample", "Treatment bypass open, shut again after it"),
        ("clean", "Treatment bypass open"),
        ("hand_tank", "Spout valve and any frost drain shut, hand pump line valve open"),
        ("pump_1", "Hand pump line valve shut, spout valve open"),
        ("frost", "Tank drain and heater drain open, any frost drain open in frost, else shut"),
        ("frost", "antifreeze for drinking water"),
    ],
)
def test_the_caution_before_a_step_is_its_own(step: str, words: str) -> None:
    assert words in step_of(ridge(), step).before


def test_a_house_is_emptied_only_where_it_can_freeze() -> None:
    ridge_text = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")
    warm = re.sub(r'record_low = "[^"]*"', 'record_low = "2 degC"', ridge_text)
    assert warm != ridge_text
    assert "frost" not in {each.key for each in sheet_of(parse_site(warm)).steps}
    village = sheet_of(load_site(EXAMPLES / "village_borehole.toml"))
    assert "frost" not in {each.key for each in village.steps}


def test_distances_that_the_file_lacks_are_measured() -> None:
    """50 ft from a septic tank and 100 ft from a drain field, as county tables have it."""
    text = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")
    assert not [each for each in texts(ridge()) if "neighbours" in each]
    without = re.sub(r'drain_field_distance = "[^"]*"\n', "", text)
    asked = [each for each in texts(sheet_of(parse_site(without))) if "neighbours" in each]
    assert len(asked) == 1
    assert asked[0].startswith("nearest drain field")
    assert "100 ft (30 m) or more" in asked[0]


def texts(sheet: SheetResult) -> list[str]:
    return [f"{line.text}: {line.words}" for line in sheet.lines]


def places(sheet: SheetResult, *begins: str) -> list[int]:
    found = texts(sheet)
    return [next(n for n, text in enumerate(found) if text.startswith(each)) for each in begins]


def test_what_guards_a_thing_is_tested_before_the_thing_runs() -> None:
    for pump in ("house pump", "frugal pump"):
        order = places(
            ridge(), "metal casing and cap", "tank relief valve",
            f"dry-run protection of the {pump}", "cut-in by the gauge",
        )  # fmt: skip
        assert order == sorted(order)
    order = places(
        ridge(), "lower element, resistance", "lower element, insulation", "polarity",
        "high limit of the lower element", "heater relief valve",
        "ground-fault protection of the modules (hot water)", "mixing valve",
        "current at the element", "lower thermostat",
    )  # fmt: skip
    assert order == sorted(order)


def test_no_tester_reaches_electronics_in_the_motor() -> None:
    """creek_cabin's direct-current pump has them in the motor; its other pump has none."""
    sheet = sheet_of(load_site(EXAMPLES / "creek_cabin.toml"))
    plain, brushless = ([line.text for line in step_of(sheet, key).lines]
                        for key in ("motor_1", "motor_2"))  # fmt: skip
    assert any("insulation to ground at 500 V dc" in text for text in plain)
    assert not any("insulation" in text for text in brushless)
    assert any("polarity" in text for text in brushless)


def test_where_the_file_does_not_say_the_sheet_does(make_site: Make) -> None:
    direct = f'{PUMP}supply = "DC"\n'
    words = step_of(sheet_of(make_site(pumps=direct)), "motor_1").lines[0].words
    assert "not read where electronics sit in the motor" in words
    three, one = sheet_of(make_site(pumps=f"{PUMP}phases = 3\n")), sheet_of(make_site())
    legs = [line.text for line in step_of(three, "pump_1").lines][1:3]
    assert legs == ["rotation", "current of each leg"]
    assert "rotation" not in [line.text for line in step_of(one, "pump_1").lines]
    for sheet, there in ((three, True), (one, False)):
        texts = [line.text for line in step_of(sheet, "motor_1").lines]
        assert ("resistance of the windings, leg to leg" in texts) is there


@pytest.mark.parametrize(
    ("series", "tester", "least"),
    [(2, "250 V", "0.5 megohm"), (4, "500 V", "1 megohm"), (14, "1000 V", "1 megohm")],
)
def test_an_array_is_tested_at_the_voltage_of_its_class(
    make_site: Make, series: int, tester: str, least: str
) -> None:
    """IEC 62446-1:2016, from memory: 250 V below 120 V, 500 V to 500 V, 1000 V above, of the
    open-circuit voltage, 39.9 V a module at 25 degC and more in the cold."""
    lines = step_of(sheet_of(make_site(array=f"series = {series}")), "modules_1").lines
    line = next(each for each in lines if each.text.startswith("insulation"))
    assert f"at {tester} dc" in line.text
    assert line.words == f"{least} or more"


SECOND_ARRAY = """[[array]]
name = "roof"
feeds = "heater"
series = 3
"""
SECOND_ELEMENT = """[[water_heater.element]]
position = "upper"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "roof"
thermostat = "140 degF"
"""


def test_a_second_array_at_the_heater_is_asked_all_that_the_first_is(make_site: Make) -> None:
    site = make_site(array=f"series = 4\n\n{SECOND_ARRAY}", elements=SECOND_ELEMENT)
    sheet = sheet_of(site)
    for one, other in (("modules_1", "modules_2"), ("array_1", "array_2")):
        first, second = step_of(sheet, one), step_of(sheet, other)
        assert [line.text for line in first.lines] == [line.text for line in second.lines]
    for key, own, other in (("array_1", "hot water", "roof"), ("array_2", "roof", "hot water")):
        before = step_of(sheet, key).before
        assert "an element that is dry burns out at once" in before
        assert f"Off: the isolator of the modules ({other})" in before
        assert f"isolator of the modules ({own}) closed" in before
    # A clear noon of any month gives some of the modules' 9.7 A, by no more than cloud edges.
    assert box(sheet, "array_1", "current").low > 9.7 * 0.2
    assert box(sheet, "array_1", "current").high < 9.7 * 1.3
    # Three modules give less current to the same element than four.
    assert box(sheet, "array_2", "current").high < box(sheet, "array_1", "current").high
    assert [line.text for line in step_of(sheet, "high_limits").lines] == [
        "high limit of the lower element (hot water)", "high limit of the upper element (roof)",
    ]  # fmt: skip


def test_bacteria_are_sampled_after_the_chlorine_is_gone() -> None:
    """A county health department (Ottawa, Ohio): 48 h at least, and never with chlorine in it."""
    sheet = ridge()
    found = texts(sheet)
    assert any(text.startswith("since the last chlorine: 48 h or more") for text in found)
    order = places(
        sheet, "softener, carbon", "circulation down the casing", "contact time",
        "free chlorine at each tap and at the well", "since the last chlorine",
        "free chlorine at a tap or spout", "coliform",
    )  # fmt: skip
    assert order == sorted(order)
    assert not any("4 mg/L" in text for text in found)
    bare = sheet_of(load_site(EXAMPLES / "smallest.toml"))
    assert not any(text.startswith(("softener", "water heater")) for text in texts(bare))


def test_no_line_sends_a_hand_to_a_live_joint() -> None:
    for path in EXAMPLES.glob("*.toml"):
        for step in sheet_of(load_site(path)).steps:
            assert not re.search(r"\bfeel\b|\btouch the\b", step.before.lower())


def test_boxes_at_the_pump_by_arithmetic(make_site: Make) -> None:
    """Switch 40/60 psi, 2 psi for the gauge; 2 psi below cut-in, 1 psi for the gauge."""
    sheet = sheet_of(make_site())
    assert box(sheet, "pump_1", "cut-in by").low == pytest.approx(38 * PSI)
    assert box(sheet, "pump_1", "cut-out by").high == pytest.approx(62 * PSI)
    assert box(sheet, "tank", "precharge").high == pytest.approx(39 * PSI)
    # The curve of the sheet gives between 780 W and 1180 W, at 230 V and 80 %; a tenth either way.
    amps = box(sheet, "pump_1", "running current")
    assert 780 / (230 * 0.8) * 0.9 < amps.low < amps.high < 1180 / (230 * 0.8) * 1.1
    # 4 gpm to 13 gpm are the curve between 365 ft and 180 ft; drawdown at 0.5 gpm/ft.
    flow, level = box(sheet, "pump_1", "flow by bucket"), box(sheet, "pump_1", "level")
    assert 4 * GPM < flow.low < flow.high < 13 * GPM
    assert level.high < (85 + 13 / 0.5) * FOOT * 1.05


DEGF = 1 / 1.8
SETTLED = {"well": 'specific_capacity = "0.5 gpm/ft"', "static": "85 ft (80 ft .. 95 ft)"}
VALVE = """[[piping.fittings]]
kind = "constant-pressure valve"
set_pressure = "45 psi"
"""
ON_INVERTER = '[power]\ninverter_voltage = "240 V"\ngrid = true\n'


def celsius(degf: float) -> float:
    return (degf - 32) * DEGF


def about(middle: float, off: float) -> tuple[float, float, float]:
    return middle - off, middle, middle + off


@pytest.mark.parametrize(
    ("changes", "step", "begins", "ends"),
    [
        # Gauges within 2 psi, the air of a tank within 1 psi, a valve at a tap within 3 K, a
        # thermostat within 5 K: our choices, as those files say that have them.
        ({}, "pump_1", "cut-in by", about(40 * PSI, 2 * PSI)),
        ({}, "pump_1", "cut-out by", about(60 * PSI, 2 * PSI)),
        ({}, "pump_1", "its check valve", (0.0, 0.0, 2 * PSI)),
        ({}, "night", "pressure lost", (0.0, 0.0, 2 * PSI)),
        ({}, "tank", "precharge", about(38 * PSI, PSI)),
        ({"tank": 'volume = "86 gal"\nprecharge = "30 psi"\ncount = 2'}, "tank",
         "precharge of each of 2", about(38 * PSI, PSI)),
        # NEMA MG 1 leaves a motor a tenth either way; an inverter holds a twentieth.
        ({}, "pump_1", "voltage of its supply", about(230.0, 23.0)),
        ({"more": ON_INVERTER}, "sources", "voltage of the inverter", about(240.0, 12.0)),
        ({}, "motor_1", "ground wire", (0.0, 0.5, 1.0)),
        ({}, "hot_water", "lower thermostat", about(celsius(150), 5.0)),
        ({}, "first_heat", "mixed water", about(celsius(120), 3.0)),
        # 20 degF above the valve's setting, and 10 K more at the most.
        ({}, "first_heat", "water at the top", (celsius(140), celsius(140), celsius(140) + 10)),
        ({"element": 'rated_power = "4500 W"\nrated_voltage = "240 V"\nfed_by = "hot water"\n'
          'thermostat = "135 degF"'}, "first_heat", "water at the top",
         (celsius(135) - 5, celsius(135) - 5, celsius(135) + 5)),
        # The hottest of the thermostats brings it.
        ({"elements": '[[water_heater.element]]\nposition = "upper"\nrated_power = "4500 W"\n'
          'rated_voltage = "240 V"\nfed_by = "grid"\nthermostat = "120 degF"\n'}, "first_heat",
         "water at the top", (celsius(140), celsius(140), celsius(140) + 10)),
    ],
)  # fmt: skip
def test_a_box_by_arithmetic(
    changes: dict[str, str], step: str, begins: str, ends: tuple[float, float, float],
    make_site: Make,
) -> None:  # fmt: skip
    found = box(sheet_of(make_site(**changes)), step, begins)
    assert (found.low, float(found), found.high) == pytest.approx(ends)


def test_boxes_of_a_settled_pump_by_brent(make_site: Make) -> None:
    """Water at rest at 80, 85 and 95 ft, drawn down by 0.5 gpm/ft, 40 and 60 psi: a twentieth
    either way, and half a foot for the tape; the water's speed in the pipe is left out. The
    current is of the sheet's power at 230 V and 80 %, from the start with the water at rest on.
    """
    site = make_site(**SETTLED)
    sheet = sheet_of(site)
    rest, capacity = (80 * FOOT, 85 * FOOT, 95 * FOOT), 0.5 * GPM / FOOT
    flows = {
        each: [
            flow_of(site, "house pump", lambda flow, at=each: at + flow / capacity)(psi * PSI)
            for psi in (40, 60)
        ]
        for each in rest
    }
    every = [flow for each in flows.values() for flow in each]
    own = flows[85 * FOOT]
    bucket = box(sheet, "pump_1", "flow by bucket")
    ends = (min(every) * 0.95, sum(own) / 2, max(every) * 1.05)
    assert (bucket.low, float(bucket), bucket.high) == pytest.approx(ends, rel=4e-3)
    drops = [flow / capacity for flow in own]
    level = box(sheet, "pump_1", "level while pumping, settled")
    ends = (80 * FOOT + 0.95 * min(drops) - 0.15, 85 * FOOT + sum(drops) / 2,
            95 * FOOT + 1.05 * max(drops) + 0.15)  # fmt: skip
    assert (level.low, float(level), level.high) == pytest.approx(ends, rel=4e-3)
    power = PchipInterpolator([0, 4, 7, 10, 13], [780, 960, 1080, 1150, 1180])
    undrawn = flow_of(site, "house pump", lambda _: 80 * FOOT)
    watts = [float(power(flow / GPM)) for flow in [*every, undrawn(40 * PSI), undrawn(60 * PSI)]]
    amps = box(sheet, "pump_1", "running current")
    usual = sum(float(power(flow / GPM)) for flow in own) / 2
    ends = (0.9 * min(watts) / 184, usual / 184, 1.1 * max(watts) / 184)
    assert (amps.low, float(amps), amps.high) == pytest.approx(ends, rel=4e-3)


def test_the_open_voltage_by_pvlib(make_site: Make) -> None:
    """From 300 W/m2 at 65 degC to 1000 W/m2 at the record low, or at freezing."""
    for more, coldest in (("", 0.0), ('record_low = "-12 degC"', -12.0)):
        site = make_site(sun=f'monthly = "{NORTH}"\n{more}', array="series = 4\nparallel = 2")
        volts = box(sheet_of(site), "modules_1", "open-circuit")
        of = parameters(site.site)
        low, high = (
            float(pvsystem.v_from_i(0.0, *diode(of, light, cells, 4, 2)))
            for light, cells in ((300.0, 65.0), (1000.0, coldest))
        )
        assert (volts.low, float(volts), volts.high) == pytest.approx(
            (low, (low + high) / 2, high), rel=1e-4
        )


def test_strokes_are_the_bucket_over_the_cylinders_swept_water() -> None:
    """63.5 mm by 125 mm, nine tenths of it, less the rods' stretch: 20 L in some 56 strokes."""
    sheet = sheet_of(load_site(EXAMPLES / "village_borehole.toml"))
    swept = np.pi / 4 * 0.0635**2 * 0.125 * 0.9
    strokes = box(sheet, "hand_pump", "strokes to fill")
    assert float(strokes) == pytest.approx(0.020 / swept, rel=0.04)
    assert strokes.low < float(strokes) < strokes.high


def test_elements_by_their_plates(make_site: Make) -> None:
    """V^2 / W with 5 % more or 10 % less power; relays join two of them in three ways."""
    plain = box(sheet_of(make_site()), "element", "lower")
    assert plain.low == pytest.approx(240**2 / 4500 / 1.05)
    assert plain.high == pytest.approx(240**2 / 4500 / 0.90)
    words = (
        'rated_power = "2250 W"\nrated_voltage = "240 V"\nfed_by = "hot water"\ncount = 2\n'
        'coupling = "switched"\nthermostat = "140 degF"'
    )
    lines = step_of(sheet_of(make_site(element=words)), "element").lines
    middles = [float(each.expected) for each in lines if each.expected is not None]
    one = 240**2 / 2250
    assert middles == pytest.approx([one / 2, one, 2 * one])
    places = [each.text.partition(" in ")[2] for each in lines if each.expected is not None]
    assert places == [f"place {number} of the relays" for number in (1, 2, 3)]


def test_electronics_hold_the_array_near_its_best_voltage(make_site: Make) -> None:
    """Four of 32.6 V at 25 degC; warm cells of a clear noon have some tenth less."""
    words = (
        'rated_power = "4500 W"\nrated_voltage = "240 V"\nfed_by = "hot water"\n'
        'coupling = "tracking"\ntracker_converter = "both"\nthermostat = "140 degF"'
    )
    volts = box(sheet_of(make_site(element=words)), "array_1", "voltage of the array")
    assert 0.8 * 4 * 32.6 < volts.low <= volts.high < 4 * 32.6


def test_a_second_tank_and_an_expansion_tank_have_their_boxes(make_site: Make) -> None:
    more = (
        '[water_heater.second_tank]\nvolume = "40 gal"\nheat_loss = "1.2 W/K"\n'
        'rated_power = "4500 W"\nthermostat = "125 degF"'
    )
    sheet = sheet_of(make_site(more=more))
    assert float(box(sheet, "second_tank", "thermostat")) == pytest.approx((125 - 32) / 1.8)
    sheet = sheet_of(load_site(EXAMPLES / "south_slope.toml"))
    assert float(box(sheet, "relief", "air of")) == pytest.approx(50 * PSI, rel=1e-3)


def test_the_open_voltage_of_a_string_grows_with_its_modules(make_site: Make) -> None:
    """Four of 39.9 V: 160 V at 25 degC; more in the cold, less on a hot day."""
    volts = box(sheet_of(make_site()), "modules_1", "open-circuit")
    assert volts.low < 4 * 39.9 < volts.high
    # At 0 degC and 1000 W/m2 by the sheet's -0.30 %/K.
    assert volts.high == pytest.approx(4 * 39.9 * (1 + 25 * 0.003), rel=0.01)


@pytest.mark.parametrize(
    "name",
    sampled(["ridge_house", "creek_cabin", "village_borehole", "south_slope"], "ridge_house"),
)
def test_the_sheet_of_the_report_is_that_of_the_command(name: str) -> None:
    site = load_site(EXAMPLES / f"{name}.toml")
    assert study_site(site, (*USUAL, "sheet")).sheet == sheet_of(site)
    assert study_site(site, ("tank",)).sheet is None


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("site", sorted(EXAMPLES.glob("*.toml")), ids=lambda path: path.stem)
def test_no_number_is_parted_from_its_unit_at_eighty_columns(
    site: Path, units: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    told = ["sheet", str(site), "--units", units]
    result = CliRunner().invoke(wellsolar, told, standalone_mode=False)
    assert result.exception is None
    text = result.output.split("\nWhat can hurt or kill\n")[0]
    for line in text.splitlines():
        assert len(line) <= 80
        assert line.strip() not in UNITS, line
        last = re.split(r"\s{2,}", line.strip())[-1]
        assert last not in UNITS, line


def test_what_follows_the_pump_is_read_with_it(make_site: Make) -> None:
    """Its check valve holds what the gauge can tell, 2 psi; a reducing valve its setting."""
    text = make_site().path
    plain = Path(text).read_text(encoding="utf-8")
    with_valve = plain.replace("[piping]\n", '[piping]\nreducing_valve = "50 psi"\n')
    sheet = sheet_of(parse_site(with_valve))
    assert box(sheet, "pump_1", "its check valve").high == pytest.approx(2 * PSI)
    assert float(box(sheet, "pump_1", "behind the reducing valve")) == pytest.approx(50 * PSI)
    assert not any("reducing" in text for text in texts(sheet_of(parse_site(plain))))


@pytest.mark.parametrize("site", sorted(EXAMPLES.glob("*.toml")), ids=lambda path: path.stem)
def test_hands_leave_each_step_as_the_valves_rest(site: Path) -> None:
    """Valves end each step where the layout has them at rest, and what was on is off again."""
    loaded = load_site(site)
    fittings = {each.name: each for each in layout_of(loaded.site)}
    rest = {name: each.rest for name, each in fittings.items() if each.by_hand}
    for step in sheet_of(loaded).steps:
        stands = dict(rest)
        for move in (*step.moves, *step.after):
            valve = "valve" in move.thing or "drain" in move.thing or move.thing == BYPASS
            assert not valve or move.thing in rest, move
            stands[move.thing] = move.to
        assert {name: stands[name] for name in rest} == rest, step.key
        assert "on" not in stands.values(), (step.key, stands)


def test_steps_and_what_they_prove_are_numbered_as_the_file_is() -> None:
    sheet = ridge()
    for key, end in (("pump", "at work"), ("motor", "leads off")):
        titles = [step_of(sheet, f"{key}_{number}").title for number in (1, 2)]
        assert [title.replace(",", "") for title in titles] == [
            f"{name} {end}" for name in ("house pump", "frugal pump")
        ]
    assert [
        (line.text.split(" ")[4], line.proves) for line in step_of(sheet, "high_limits").lines
    ] == [
        (position, f"water_heater.element[{number}].high_limit_switches")
        for number, position in enumerate(("lower", "upper"), 1)
    ]
    for number, name in enumerate(("hot water", "house battery"), 1):
        assert f"({name})" in step_of(sheet, f"modules_{number}").title
    proven = [line.proves for line in step_of(sheet, "switches").lines if line.proves]
    assert proven == [f"{each}[{number}].{key}" for each, key in (
        ("pump", "overload"), ("array", "isolator_voltage")) for number in (1, 2)]  # fmt: skip
    # Its plate is read with the other valves; it is lifted where the pump is worked.
    assert [line.text.split(" ")[:3] for line in step_of(sheet, "hand_tank").lines] == [
        ["hand", "pump", "relief"], ["strokes", "to", "raise"],
    ]  # fmt: skip
    beside = sheet_of(load_site(EXAMPLES.parent / "tests" / "sites" / "two_wells.toml"))
    assert [each.key for each in beside.steps if each.key.startswith("well")] == ["well", "well_1"]
    assert step_of(beside, "well_1").title.startswith("Water at rest: ")


def test_no_source_of_power_is_on_before_what_it_feeds_is_proven() -> None:
    for path in sorted(EXAMPLES.glob("*.toml")):
        loaded = load_site(path)
        for step in sheet_of(loaded).steps:
            on = [move for move in step.moves if move.to == "on" and move.thing != HANDLE]
            assert not on or step.phase in ("power", "heat"), step.key
            things = [move.thing for move in step.moves]
            for move in on:
                if move.thing.startswith("heat ") or move.thing == ALL_HEAT:
                    # An element that is dry burns out at once.
                    assert things.index(HEATER_WATER) < things.index(move.thing)
                if move.thing.startswith("pump ") and HAND_LINE in things:
                    shut = step.moves.index(Move(HAND_LINE, "shut"))
                    assert shut < step.moves.index(move)


def test_a_pump_is_cut_off_from_what_feeds_it() -> None:
    """creek_cabin's direct-current pump hangs on its battery, village_borehole's on modules."""
    for name, key, words in (
        ("creek_cabin", "2", "battery's disconnect open and locked"),
        ("creek_cabin", "1", "reaker off and locked"),
        ("village_borehole", "1", "modules covered"),
    ):
        sheet = sheet_of(load_site(EXAMPLES / f"{name}.toml"))
        for step in (f"motor_{key}", f"pump_{key}"):
            assert words in step_of(sheet, step).before
