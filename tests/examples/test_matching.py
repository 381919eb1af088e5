"""The remedy of the ridge house's element, and what each example's array says of a match."""

from __future__ import annotations

import re
from typing import Any

from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import Case


def test_the_ridge_houses_element_is_mended_as_its_remedy_says(site: Any) -> None:
    text = site.text("ridge_house")
    bad = site.verdict(site.study(text), "matched to the array")
    assert bad.status == "caution"
    told = re.search(r"an element of (\d+ W) (\d+ V)", bad.remedy.text("US"))
    lower = 'position = "lower"\nrated_power = "4500 W"\nrated_voltage = "240 V"'
    better = f'position = "lower"\nrated_power = "{told[1]}"\nrated_voltage = "{told[2]}"'
    mended = site.study(site.edited(text, (lower, better)), ("match",))
    assert site.verdict(mended, "matched to the array").status == "pass"
    # Ohm's law: near the array's best of the year, above its best in full sun, 4 x 32.6 / 9.2.
    ohms = float(told[2].split()[0]) ** 2 / float(told[1].split()[0])
    assert 4 * 32.6 / 9.2 < ohms < 25.0


def test_no_guard_or_valve_has_days_and_year_of_the_tank_run_anew(site: Any) -> None:
    """They rest on what heats the tank and on what is asked of it."""
    case = Case(parse_site(site.text("south_slope"), "south_slope.toml"))
    assert case.days_and_year is not None
    read = {key for _, key in case.made["days_and_year"][1]}
    assert {"volume", "thermostat", "series", "tilt", "sun_share"} <= read
    assert not read & {
        "relief_pressure", "relief_temperature", "high_limit", "check_valve", "expansion_tank",
        "mixing_valve", "thermostat_switches", "isolator_voltage", "pressure_switch",
    }  # fmt: skip


def test_the_south_slope_is_matched(site: Any) -> None:
    found = site.verdict(site.study(site.text("south_slope")), "matched to the array")
    assert found.status == "pass"


def test_a_file_without_a_heater_hears_nothing_of_a_match(site: Any) -> None:
    for name in ("smallest", "creek_cabin", "village_borehole", "high_pass"):
        results = site.study(site.text(name))
        assert results.matching is None
        assert not [each for each in results.verdicts if each.rule.key == "matched to the array"]
