"""The seven hazards most often met, each alone on a site that is right."""

from __future__ import annotations

import re

import pytest

from tests.site_texts import edited
from tests.studies.safety.sites import RIGHT, SEVEN, studied, verdict, wrong


class TestRight:
    def test_a_site_that_has_done_it_right_is_told_so(self) -> None:
        assert wrong(studied(RIGHT)) == {}

    def test_every_rule_of_the_seven_hazards_is_asked(self) -> None:
        asked = {each.rule.key for each in studied(RIGHT).verdicts if each.status == "pass"}
        assert {rule for rule, _, _ in SEVEN.values()} <= asked

    def test_every_verdict_on_safety_can_not_be_switched_off(self) -> None:
        rules = [each.rule for each in studied(RIGHT).verdicts if each.rule.safety]
        assert len(rules) >= 20
        assert len({rule.key for rule in rules}) == len(rules)


@pytest.mark.parametrize("name", SEVEN)
def test_one_change_yields_exactly_its_hazard(name: str) -> None:
    rule, status, change = SEVEN[name]
    text = edited(RIGHT, change)
    assert wrong(studied(text)) == {rule: status}
    assert verdict(text, rule).remedy is not None


def test_a_heater_without_modules_is_asked_nothing_of_all_this() -> None:
    text = edited(RIGHT, ('fed_by = "hot water"', 'fed_by = "grid"'))
    assert [each for each in studied(text).verdicts if each.rule.safety] == []


def test_two_hazards_at_once_are_both_told() -> None:
    text = edited(RIGHT, ('"relay"', '"AC"'), ('thermostat = "150 degF"\n', ""))
    both = {"thermostat on direct current": "fail", "overheating": "fail"}
    assert wrong(studied(text)) == both


def test_what_is_not_told_is_asked_for_and_the_keys_settle_it() -> None:
    telling = {
        "relief_temperature": "relief valve",
        "working_pressure": "relief valve",
        "relief_capacity": "relief capacity",
        "vacuum_relief": "vacuum relief",
        "expansion_tank_volume": "thermal expansion",
        "expansion_tank_precharge": "thermal expansion",
        "check_valve": "thermal expansion",
        "fixture_valves": "scald protection at fixtures",
    }
    for key, rule in telling.items():
        text = re.sub(rf"(?m)^{key} = .*\n", "", RIGHT)
        assert wrong(studied(text)) == {rule: "unknown"}, key
        assert verdict(text, rule).needs == (f"water_heater.{key}",)
    several = {
        "relief_pressure": {"relief valve", "pressure at the relief valve"},
        "high_limit": {"high limit", "boiling", "mixing-valve supply", "thermal expansion"},
    }
    for key, rules in several.items():
        found = wrong(studied(re.sub(rf"(?m)^{key} = .*\n", "", RIGHT)))
        assert {rule for rule, status in found.items() if status == "unknown"} == rules, key
