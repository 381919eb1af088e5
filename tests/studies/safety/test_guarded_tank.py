"""The seven hazards most often met, each alone on a site that is right."""

from __future__ import annotations

import math
import re
from types import SimpleNamespace
from typing import Any

import pytest

from tests.site_texts import edited
from tests.studies.safety.sites import RIGHT, SEVEN, studied, verdict, wrong
from wellsolar.studies.safety import guarded_tank


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


@pytest.mark.parametrize(
    ("relief", "boils", "supply", "plate", "limit", "below"),
    [
        # 5 K below the relief valve, 2 K below boiling; 80 degC are 176 degF, and 5 K less than
        # 175 degF are 166, by a dial in steps of five.
        (85.0, 100.0, None, None, 175, 165), (99.0, 82.0, None, None, 175, 165),
        (99.0, 100.0, 66.0, None, 150, 140), (99.0, 100.0, None, 70.0, 155, 145),
    ],
)  # fmt: skip
def test_a_high_limit_that_suits_all_guards_with_thermostats_below(
    relief: float, boils: float, supply: float | None, plate: float | None, limit: int, below: int
) -> None:
    """Of an element on modules that tells no thermostat it is the hottest that was assumed; one on
    the grid has its own or none."""
    told = (("grid", None), ("roof", None), ("grid", 50.0), ("roof", 90.0))
    valve = None if supply is None else SimpleNamespace(greatest_supply=supply)
    heater: Any = SimpleNamespace(
        element=[SimpleNamespace(fed_by=fed, thermostat=set_to) for fed, set_to in told],
        mixing_valve=valve, greatest_temperature=plate,
    )  # fmt: skip
    safety: Any = SimpleNamespace(
        hottest=88.0,
        pressure=SimpleNamespace(relief_temperature=relief),
        boiling_temperature=boils,
    )
    tank = guarded_tank.heated_tank_of(heater, safety)
    keys = [f"water_heater.element[{number}].thermostat" for number in (2, 3, 4)]
    assert tank.thermostats == tuple(zip(keys, (88.0, 50.0, 90.0), strict=True))
    assert tank.supply_most == (math.inf if supply is None else supply)
    high, changes = tank.cooler()
    assert high == pytest.approx((limit - 32) / 1.8)
    values = {change.path: str(change.value).strip('"') for change in changes}
    assert values == {
        "water_heater.high_limit": f"{limit} degF", keys[0]: f"{below} degF",
        keys[2]: f"{below} degF",
    }  # fmt: skip
