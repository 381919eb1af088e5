"""The household's year of a tank by the coupling of its file."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.studies.match.greensboro import BATTERY, NO_ARRAY, SITE, element, written
from wellsolar.site.loading.read import load_site
from wellsolar.studies.case import study_site

pytestmark = pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")


def test_the_tank_is_heated_through_the_coupling_that_the_file_names(tmp_path: Path) -> None:
    """Months and days of the tank's own study follow relays and electronics too."""
    offered: dict[str, float] = {}
    clear: dict[str, float] = {}
    ways = {
        "direct": "",
        "switched": 'count = 2\ncoupling = "switched"',
        "tracking": 'coupling = "tracking"\ntracker_efficiency = "95 %"\ntracker_minimum = "0 W"'
        '\ntracker_converter = "both"',
    }
    for way, more in ways.items():
        results = study_site(load_site(written(tmp_path, element(more))), ("heat", "match"))
        days = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
        offered[way] = sum(
            month.element_energy * day
            for month, day in zip(results.heated_tank.months, days, strict=True)
        )
        assert offered[way] == pytest.approx(results.matching.match.own.energy, rel=1e-9)
        june = [day for day in results.heated_tank.days if day.month == 6]
        clear[way] = next(day.element_energy / day.maximum_energy for day in june)
    assert offered["direct"] < offered["switched"] < offered["tracking"]
    assert clear["tracking"] == pytest.approx(0.95, abs=1e-6)
    assert clear["direct"] < clear["switched"] < 1.0


def test_a_tank_on_the_inverter_alone_has_its_household_year(tmp_path: Path) -> None:
    base = SITE.replace(NO_ARRAY, "")
    path = written(tmp_path, BATTERY, element(fed_by="inverter"), base=base)
    results = study_site(load_site(path), ("heat", "match"))
    assert results.heated_tank is None
    tank = results.diverted_tank
    diversion = results.matching.diversion
    (alone,) = tank.households
    # The tank takes no more than it is offered, in no month, and something in every month.
    for month, offered in zip(alone.months, diversion.months, strict=True):
        assert 0.0 < month.pv_heat <= offered * (1 + 1e-9)
    year = alone.year
    # The share adds up a mean day of each month, whatever the month's length.
    assert year.heat_delivered / year.heat_wanted == pytest.approx(tank.annual_share, rel=0.005)
    # Heat balance of a year that begins as it ends.
    assert year.pv_heat == pytest.approx(year.heat_delivered + year.heat_lost, rel=0.002)
    shares = [each for each in results.verdicts if each.rule.key == "share from PV"]
    assert [each.status for each in shares] in (["pass"], ["caution"])
    # What guards the tank is not told; all else is.
    unknown = [each.rule for each in results.verdicts if each.status == "unknown"]
    assert unknown
    assert all(rule.safety for rule in unknown)
