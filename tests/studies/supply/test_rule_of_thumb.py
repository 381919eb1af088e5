"""The rule of thumb beside the year, against arithmetic."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tests.site_texts import EXAMPLES
from tests.studies.supply.houses import KWH, TANK, changed, house, own, studied
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import USUAL, Case, study_site
from wellsolar.studies.sun.year import light_kept, losses_of
from wellsolar.studies.supply import rule_of_thumb


def test_the_hand_rule_and_the_heaters_months_come_from_the_file(tmp_path: Path) -> None:
    results = studied(changed(house(tmp_path, "Greensboro", TANK)))
    assert [month.horizontal for month in results.supply[0].months] == pytest.approx(
        results.sun.horizontal
    )
    # 1566.2 kWh/m2 a year on the level, computed beforehand.
    days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    assert np.dot(results.sun.horizontal, days) / KWH == pytest.approx(1566.2, rel=1e-3)
    tank = results.heated_tank
    planes = [month.plane_of_array for month in tank.months]
    # Days of equal likelihood made of each month's mean. A measured month is not its climate's
    # mean: single months are off by up to 15 % (tests of the synthetic year), the year by 2.5 %.
    np.testing.assert_allclose(planes, results.sun.planes[0].totals, rtol=0.15)
    assert np.dot(planes, days) == pytest.approx(
        np.dot(results.sun.planes[0].totals, days), rel=0.025
    )


def test_a_month_without_sun_is_told_and_breaks_nothing(tmp_path: Path) -> None:
    """A ridge that shades the modules from all of January's sun."""
    shading = "0, " + ", ".join(["100"] * 11)
    path = house(tmp_path, "Sand Point", TANK)
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("[sun]\n", f'[sun]\nshading = "{shading} %"\n'), encoding="utf-8")
    results = studied(path, "ranking")
    (verdict,) = [each for each in results.verdicts if each.rule.key == "array for the pump"]
    assert verdict.status == "fail"
    assert "no sun falls on the modules" in verdict.reason.text("US")
    assert own(results).hand_rule is None


def test_the_village_by_hand_rule_and_by_the_hour() -> None:
    """No battery: the hand rule wants the running pump, 518 W / 0.75 / 329 W; by the hour fewer
    do, since the pump slows down with the sun and the tank holds two days."""
    text = (EXAMPLES / "village_borehole.toml").read_text("utf-8")
    results = study_site(parse_site(text), (*USUAL, "ranking"))
    row = own(results)
    assert row.battery is None
    power = max(duty.input_power for duty in results.pumps[0].duties)
    assert row.hand_rule == math.ceil(power / 0.75 / (37.4 * 8.8)) == 3
    assert row.hand_rule == results.supply[0].modules_needed
    assert row.modules[0] <= row.hand_rule
    assert results.supply_years[0].days_short == 0


def test_an_array_without_a_battery_carries_the_pump_at_its_hardest() -> None:
    case = Case(parse_site((EXAMPLES / "village_borehole.toml").read_text("utf-8")))
    (pump,) = case.pumps
    (hard,) = pump.duties
    easy = replace(hard, input_power=0.5 * hard.input_power)
    assert case.year is not None
    found, _ = rule_of_thumb._size(case.site, replace(pump, duties=(easy, hard, easy)), case.year)
    assert found.running_power == hard.input_power


def test_every_array_loses_alike_and_says_so() -> None:
    """Light: 3, 2, 1, 2.5 and 1 % off; then 2 % of wires and 3 % of a controller. Textbooks
    leave 0.80 of an array in use, heat with it."""
    file = parse_site('[well]\ndepth = "9 m"\nstatic_level = "3 m"')
    kept = math.prod(1 - loss for loss in (0.03, 0.02, 0.01, 0.025, 0.01))
    assert light_kept(file.site) == pytest.approx(kept)
    assert losses_of(file.site) == pytest.approx(1 - kept * 0.98 * 0.97)
    assert 0.75 < (1 - losses_of(file.site)) * 0.97 * 0.95 < 0.9
    told = [each.path for each in file.assumptions]
    assert sum(path.startswith("losses.") for path in told) == 8
