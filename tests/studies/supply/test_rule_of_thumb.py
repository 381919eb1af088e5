"""The rule of thumb beside the year, against arithmetic."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from tests.site_texts import EXAMPLES
from tests.studies import printed
from tests.studies.supply.houses import KWH, TANK, changed, house, own, studied
from wellsolar import kinds
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import USUAL, Case, study_site
from wellsolar.studies.sun.year import light_kept, losses_of
from wellsolar.studies.supply import rule_of_thumb
from wellsolar.units import Quantity
from wellsolar.verdicts import changes_of


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


def thumb(there: int, needed: int = 4, sun: float = 4.0, **other: Any) -> Any:
    """A pump that takes 2 kWh a day, of which a month with 4 kWh/m2 asks 500 W while it shines;
    its darkest month is the second."""
    bright = SimpleNamespace(plane_of_array=9 * KWH, energy_needed=9 * KWH, array_power=9e3)
    dark = SimpleNamespace(plane_of_array=sun * KWH, energy_needed=2 * KWH, array_power=800.0)
    usual = {
        "pump": "solar", "months": [bright, dark, bright], "worst_month": 2,
        "modules_needed": needed, "modules_there": there, "running_power": 0.0, "derate": 0.75,
        "module_power": 330.0, "battery_days": 2.0,
    }  # fmt: skip
    return SimpleNamespace(**(usual | other))


def site_of(dark_days: float = 1.0, battery: float | None = 4.0) -> Any:
    """Groups of two in a row that feed the pump, two rows of them."""
    return SimpleNamespace(
        aim=SimpleNamespace(dark_days=Quantity(dark_days * 86_400, kinds.DURATION)),
        power=SimpleNamespace(battery_energy=None if battery is None else battery * KWH),
        site=SimpleNamespace(print_units="US"), module=SimpleNamespace(on_hand=None),
        array=[SimpleNamespace(series=2, parallel=2)],
    )  # fmt: skip


@pytest.mark.parametrize(
    ("there", "needed", "status", "rows"),
    [(4, 4, "pass", None), (5, 4, "pass", None), (4, 5, "fail", 3), (4, 7, "fail", 4),
     (0, 4, "unknown", None)],
)  # fmt: skip
@pytest.mark.parametrize(("running", "by_running"), [(500.0, False), (501.0, True)])
def test_whether_there_are_modules_enough(
    monkeypatch: pytest.MonkeyPatch, there: int, needed: int, status: str, rows: int | None,
    running: float, by_running: bool,
) -> None:  # fmt: skip
    site = site_of()
    monkeypatch.setattr(rule_of_thumb.system, "feeders", lambda _: [(0, site.array[0])])
    result = thumb(there, needed, running_power=running, battery_days=None)
    (found,) = rule_of_thumb._verdicts(site, result)
    assert (found.status, found.subject) == (status, "solar")
    if status == "unknown":
        assert found.needs == ("array",)
        return
    assert (found.quantity, found.limit) == (there, needed)
    parts = {
        "running": running, "energy": 2 * KWH, "sun": 4 * KWH, "derate": 0.75, "power": 800.0,
        "needed": needed, "module": 330.0,
    }  # fmt: skip
    assert found.reason.parts == pytest.approx(parts)
    units = {name: part.kind for name, part in found.reason.quantities().items()}
    assert units["energy"] is kinds.ENERGY
    assert units["running"] is units["power"] is units["module"] is kinds.POWER
    assert found.reason.template.startswith(
        "without a battery" if by_running else "{energy} a day over {sun}"
    )
    assert [str(each) for each in changes_of(found.remedy)] == (
        [] if rows is None else [f"array[1].parallel={rows}"]
    )


@pytest.mark.parametrize(("sun", "dark"), [(0.0, True), (0.9 / KWH, True), (1.02 / KWH, False)])
def test_without_sun_no_array_does(sun: float, dark: bool) -> None:
    """Less than a joule of a day stands for none."""
    found = rule_of_thumb._verdicts(site_of(), thumb(9, 4, sun))
    assert [each.rule.key for each in found] == ["array for the pump", "battery for the pump"]
    assert found[0].status == ("fail" if dark else "pass")
    if dark:
        assert printed.told(found[0].reason) == {"energy": "2 kWh, energy"}
        assert found[0].remedy is not None
        assert changes_of(found[0].remedy) == ()


@pytest.mark.parametrize(
    ("days", "aim", "status", "battery"),
    [
        # 4 kWh for so many days; in tenths of a kilowatt hour, up.
        (1.0, 1.0, "pass", None), (0.9999, 1.0, "caution", "4.1"), (2.0, 1.0, "pass", None),
        (0.97, 1.0, "caution", "4.2"), (0.5, 1.0, "caution", "8"), (1.0, 3.0, "caution", "12"),
        (None, 1.0, "unknown", None),
    ],
)  # fmt: skip
@pytest.mark.parametrize("running", [0.0, 300.0])
def test_how_long_the_battery_carries_the_pump(
    days: float | None, aim: float, status: str, battery: str | None, running: float
) -> None:
    result = thumb(4, battery_days=days, running_power=running)
    found = rule_of_thumb._battery_verdicts(site_of(aim), result)
    # A pump that no battery feeds is not asked for one.
    if days is None and running:
        assert found == []
        return
    (verdict,) = found
    assert (verdict.status, verdict.subject) == (status, "solar")
    if days is None:
        assert verdict.needs == ("power.battery_energy",)
        return
    assert (verdict.quantity, verdict.limit) == (days * 86_400, aim * 86_400)
    assert [str(each) for each in changes_of(verdict.remedy)] == (
        [] if battery is None else [f'power.battery_energy="{battery} kWh"']
    )
