"""Guards of hot water that a battery's surplus heats; each verdict leads to its numbers."""

from __future__ import annotations

import math

import pytest

from tests.site_texts import edited, printed
from tests.studies.safety.sites import (
    DRAW_AND_SUN,
    ELEMENT,
    HEATER,
    NO_VALVE,
    SECOND,
    SITE,
    mended,
    on_arrays,
    studied,
    verdict,
    wrong_of,
)
from wellsolar.reports.links import places_of
from wellsolar.reports.tables.sections import sections

SURPLUS = (
    SITE
    + HEATER
    + DRAW_AND_SUN
    + ELEMENT.format(position="lower", fed_by="inverter", thermostat="150 degF")
)


class TestOnABatterysSurplus:
    def test_what_is_right_is_told_so_without_a_word_on_direct_current(self) -> None:
        assert wrong_of(SURPLUS) == {}
        asked = {each.rule.key for each in studied(SURPLUS).verdicts if each.rule.safety}
        assert asked == {
            "mixing valve", "mixing-valve supply", "mixing-valve standard",
            "scald protection at fixtures",
            "time to a burn", "storage temperature", "high limit", "relief valve",
            "relief capacity", "pressure at the relief valve", "boiling", "vacuum relief",
            "thermal expansion",
        }  # fmt: skip

    @pytest.mark.parametrize(
        ("rule", "change", "status"),
        [
            ("mixing valve", NO_VALVE, "fail"),
            ("high limit", ('high_limit = "180 degF"', 'high_limit = "145 degF"'), "fail"),
            ("thermal expansion", ("expansion_tank = true", "expansion_tank = false"), "fail"),
            ("relief valve", ('relief_pressure = "150', 'relief_pressure = "200'), "fail"),
            ("vacuum relief", ("above_fixtures = false\nvacuum_relief = true",
             "above_fixtures = true\nvacuum_relief = false"), "fail"),
        ],
    )  # fmt: skip
    def test_one_change_yields_its_hazard(
        self, rule: str, change: tuple[str, str], status: str
    ) -> None:
        text = edited(SURPLUS, change)
        assert wrong_of(text) == {(rule, "water heater"): status}
        mended(text, verdict(text, rule))

    def test_the_relief_valve_carries_the_elements_at_the_inverters_voltage(self) -> None:
        tank = studied(SURPLUS).diverted_tank
        # 240 V squared over 4500 W is 12.8 ohm; 230 V on it.
        assert tank.safety.heat_input == pytest.approx(230**2 / 12.8)
        assert tank.safety.array_input == 0.0
        small = edited(SURPLUS, ('"100000 Btu/h"', '"4100 W"'))
        assert wrong_of(small) == {("relief capacity", "water heater"): "fail"}
        assert "array" not in verdict(small, "relief capacity").reason.text("US")
        watts = printed(verdict(small, "relief capacity"), r"at least (\d+ W)", "SI")
        assert wrong_of(edited(small, ('"4100 W"', f'"{watts}"'))) == {}

    def test_a_week_without_by_the_exponential(self) -> None:
        tank = studied(SURPLUS).diverted_tank
        # 80 gal of 8.2 lb and 1 Btu/(lb degF), 1.5 W/K, a room of 65 degF, from 150 degF.
        capacity = 80 * 8.17 * 0.45359 * 4186.8
        cool = 65 + 85 * math.exp(-1.5 * 7 * 86_400 / capacity)
        assert tank.dark_days[-1].idle_temperature * 1.8 + 32 == pytest.approx(cool, abs=1.0)

    def test_its_guards_stand_in_the_tables(self) -> None:
        keys = {each.key for each in sections(studied(SURPLUS))}
        assert {"tank_alone", "tank_guards"} <= keys
        assert "circuit_guards" not in keys


def test_a_relief_valve_of_zero_degrees_is_one_that_was_told() -> None:
    text = edited(
        on_arrays(4), ('relief_temperature = "210 degF"', 'relief_temperature = "0 degC"')
    )
    assert studied(text).heated_tank.nobody_home.relief == 0.0
    assert wrong_of(text)[("high limit", "water heater")] == "fail"


@pytest.mark.parametrize(
    ("rule", "subject", "section"),
    [
        ("isolator", "south", "circuit_guards"),
        ("isolator", "east", "circuit_guards_2"),
        ("element load", "element", "heater_array"),
        ("element load", "element 2", "circuit_guards_2"),
        ("thermostat on direct current", "thermostat of element 2", "circuit_guards_2"),
        ("voltage drop", "east", "circuit_guards_2"),
        ("high limit", "water heater", "tank_guards"),
        ("high limit", "second tank", "second_tank_guards"),
        ("storage temperature", "second tank", "second_tank_guards"),
    ],
)
def test_a_report_leads_to_the_numbers_of_what_is_judged(
    rule: str, subject: str, section: str
) -> None:
    text = on_arrays(4) + SECOND
    results = studied(text)
    keys = [each.key for each in sections(results)]
    assert places_of(verdict(text, rule, subject), results, (), keys).section == section


def test_each_verdict_on_a_tank_of_surplus_has_its_numbers() -> None:
    results = studied(SURPLUS)
    assert results.diverted_tank is not None
    keys = [each.key for each in sections(results)]
    hot = [each for each in results.verdicts if each.subject == "water heater"]
    assert len(hot) > 8
    lost = [each.rule.key for each in hot if not places_of(each, results, (), keys).section]
    assert lost == []
