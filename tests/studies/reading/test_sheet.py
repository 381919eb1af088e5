"""The commissioning sheet, against arithmetic; alone and in the report it is one and the same."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from tests.site_texts import EXAMPLES
from wellsolar.cli import wellsolar
from wellsolar.results.readings import SheetResult, SheetStep
from wellsolar.site.loading.read import SiteFile, load_site
from wellsolar.studies.case import USUAL, Case, study_site
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


def test_the_order_is_that_of_the_work() -> None:
    keys = [each.key for each in sheet_of(load_site(EXAMPLES / "ridge_house.toml")).steps]
    assert keys == [
        "tank", "well", "pump_1", "pump_2", "hand_pump", "clean", "element", "array", "array_2",
        "hot_water", "night",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ("tank", "breaker"),
        ("well", "disinfect"),
        ("pump_1", "Off at the breaker: frugal pump"),
        ("pump_2", "Off at the breaker: house pump"),
        ("hand_pump", "Electric pumps off"),
        ("clean", "never with acid"),
        ("array", "full voltage in any light"),
        ("array", "full of water"),
        ("element", "the isolator of the modules (hot water), the breaker of the grid"),
        ("hot_water", "Keep everybody from the taps"),
        ("night", "Pumps off"),
    ],
)
def test_the_caution_before_a_step_is_its_own(step: str, words: str) -> None:
    sheet = sheet_of(load_site(EXAMPLES / "ridge_house.toml"))
    assert words in step_of(sheet, step).before


def test_no_direct_current_before_the_insulation_of_the_elements_is_read() -> None:
    sheet = sheet_of(load_site(EXAMPLES / "ridge_house.toml"))
    element = step_of(sheet, "element")
    assert any(line.text.startswith("insulation of each element") for line in element.lines)
    assert sheet.steps.index(element) < sheet.steps.index(step_of(sheet, "array"))


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


def test_electronics_hold_the_array_near_its_best_voltage(make_site: Make) -> None:
    """Four of 32.6 V at 25 degC; warm cells of a clear noon have some tenth less."""
    words = (
        'rated_power = "4500 W"\nrated_voltage = "240 V"\nfed_by = "hot water"\n'
        'coupling = "tracking"\ntracker_converter = "both"\nthermostat = "140 degF"'
    )
    volts = box(sheet_of(make_site(element=words)), "array", "voltage of the array")
    assert 0.8 * 4 * 32.6 < volts.low <= volts.high < 4 * 32.6


def test_a_second_tank_and_an_expansion_tank_have_their_boxes(make_site: Make) -> None:
    more = (
        '[water_heater.second_tank]\nvolume = "40 gal"\nheat_loss = "1.2 W/K"\n'
        'rated_power = "4500 W"\nthermostat = "125 degF"'
    )
    sheet = sheet_of(make_site(more=more))
    assert float(box(sheet, "second_tank", "thermostat")) == pytest.approx((125 - 32) / 1.8)
    sheet = sheet_of(load_site(EXAMPLES / "south_slope.toml"))
    assert float(box(sheet, "hot_water", "air of")) == pytest.approx(50 * PSI, rel=1e-3)


def test_the_open_voltage_of_a_string_grows_with_its_modules(make_site: Make) -> None:
    """Four of 39.9 V: 160 V at 25 degC; more in the cold, less on a hot day."""
    volts = box(sheet_of(make_site()), "array", "open-circuit")
    assert volts.low < 4 * 39.9 < volts.high
    # At 0 degC and 1000 W/m2 by the sheet's -0.30 %/K.
    assert volts.high == pytest.approx(4 * 39.9 * (1 + 25 * 0.003), rel=0.01)


@pytest.mark.parametrize("name", ["ridge_house", "creek_cabin", "village_borehole", "south_slope"])
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
