"""A pump's supply hour by hour, against reckonings by hand and the remedies put back."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.studies.supply.houses import (
    KWH,
    STATIONS,
    changed,
    house,
    made_year,
    own,
    simple,
    studied,
)
from wellsolar import kinds
from wellsolar.physics.hydraulics import demand
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site

GALLON = 3.785411784e-3


def test_the_darker_station_wants_more(tmp_path: Path) -> None:
    """Sand Point against Greensboro: more modules with any battery, for any days short, and by
    the hand rule, which is asked again by arithmetic."""
    bright = studied(house(tmp_path, "Greensboro"), "ranking")
    dark = studied(house(tmp_path, "Sand Point"), "ranking")
    assert bright.sun is not None
    assert dark.sun is not None
    for results in (bright, dark):
        by_battery = sorted(results.ranking.rows, key=lambda row: row.battery or 0.0)
        for row in by_battery:
            known = [math.inf if each is None else each for each in row.modules]
            assert known == sorted(known, reverse=True)  # more days short, fewer modules
        for smaller, larger in pairwise(by_battery):
            for few, many in zip(larger.modules, smaller.modules, strict=True):
                assert (few or math.inf) <= (many or math.inf)
    here, there = own(bright), own(dark)
    assert all(
        a is not None and b is not None and b > a
        for a, b in zip(here.modules, there.modules, strict=True)
    )
    for results, row in ((bright, here), (dark, there)):
        sun = min(month.plane_of_array for month in results.supply[0].months) / KWH
        alone = row.daily_energy / KWH / 0.9  # through the inverter
        module = 0.77 * 0.29992 * sun
        assert row.hand_rule == math.ceil(alone / module)
        assert row.hand_rule_loaded == math.ceil((alone + 24 * 0.030) / module)
    assert (there.hand_rule_loaded or 0) > (here.hand_rule_loaded or 0)


@pytest.mark.parametrize("station", STATIONS)
def test_the_smallest_array_put_into_the_file_is_short_on_so_many_days(
    tmp_path: Path, station: str
) -> None:
    """What the ranking promises, asked of the file with so many modules, and with one fewer."""
    path = house(tmp_path, station)
    row = own(studied(path, "ranking"))
    text = path.read_text(encoding="utf-8")
    for allowed, modules in zip((0, 3, 10), row.modules, strict=True):
        for count, within in ((modules, True), (modules - 1, False)):
            if count < 1:
                continue
            path.write_text(text.replace("series = 4\n[power]", f"series = {count}\n[power]"))
            year = studied(path).supply_years[0]
            assert (year.days_short <= allowed) is within
            assert year.modules == count


DAY_SHARES = [0.01] * 5 + [0.065] * 6 + [0.04] * 7 + [0.054] * 5 + [0.01]
"""Common practice: 1 % of the day's water an hour at night, 39 % from 5 to 11 h, 28 % to 18 h,
27 % to 23 h."""


def test_a_battery_through_six_dark_days_by_hand(tmp_path: Path) -> None:
    """600 gal at 10 gpm are an hour of 500 W, 0.5 kWh: 2.25 kWh are 4.5 days. The battery is full
    at 13 h of the last bright day; 0.48 of its water is still to come, then six dark days, then
    0.44 before 11 h of the next: 6.92 days, of which 4.5 are there. Dark days 1 to 4 are served
    (4.48); 5, 6 and the morning after are short; 2.42 days of water are missing."""
    made_year(tmp_path, lambda day: 100 <= day < 106)
    year = studied(simple(tmp_path, ("cells = 60", "cells = 60\non_hand = 12"))).supply_years[0]
    # Half a kilowatt hour a day is made by one module of 300 W in two hours as well, by two too,
    # and by none on no day.
    one = ("series = 10", "series = 1"), ("cells = 60", "cells = 60\non_hand = 1")
    alone = studied(simple(tmp_path, *one)).supply_years[0]
    assert (alone.days_short, alone.fewer_days_short, alone.more_days_short) == (3, 365, 3)
    assert year.flow / GALLON * 60 == pytest.approx(10.0, rel=1e-3)
    assert (year.days_short, year.longest_short_run) == (3, 3)
    assert year.volume_unmet / GALLON == pytest.approx(2.42 * 600, rel=0.005)
    assert year.standing_load == 0.0
    assert year.least_charge == pytest.approx(0.0, abs=1e-9)
    april = year.months[3]  # days 100 to 106 of the year, from 0, are 11 to 17 April
    assert april.days_short == 3
    assert april.least_charge == pytest.approx(0.0, abs=1e-9)
    assert april.unmet == pytest.approx(year.volume_unmet)
    # Ten modules of 32.6 V x 9.2 A, two hours on 24 of 30 days.
    assert april.made / KWH == pytest.approx(10 * 0.29992 * 2 * 24, rel=2e-3)
    assert april.used + april.spilled == pytest.approx(april.made)
    whole = sum(month.used for month in year.months)
    served = 365 * 0.5 - 2.42 * 0.5
    assert whole / KWH == pytest.approx(served, rel=0.005)


@pytest.mark.parametrize("energy", [0.5, 1.0, 2.25, 3.3, 3.5])
def test_a_battery_through_dark_days_hour_by_hour(tmp_path: Path, energy: float) -> None:
    """An own loop over the hours with losses, idle draw and another use on an inverter."""
    made_year(tmp_path, lambda day: day % 9 in (3, 4, 5))
    changes = (
        ('supply = "DC"', 'supply = "AC"'),
        ("2.25 kWh", f"{energy} kWh"),
        (
            'battery_efficiency = "100 %"',
            'battery_efficiency = "81 %"\ninverter_idle = "20 W"\nother_use = "0.24 kWh"\n'
            'inverter_efficiency = "80 %"',
        ),
    )
    year = studied(simple(tmp_path, *changes)).supply_years[0]
    charge, short, unmet = energy, set(), 0.0
    for _ in range(2):  # the second time from where the first ended
        short, unmet = set(), 0.0
        for day in range(365):
            for hour in range(24):
                sun = 10 * 0.29992 if hour in (11, 12) and day % 9 not in (3, 4, 5) else 0.0
                load = 0.020 + 0.010 / 0.8 + DAY_SHARES[hour] * 0.5 / 0.8
                first = 0.020 + 0.010 / 0.8
                if sun >= load:
                    charge = min(energy, charge + (sun - load) * 0.9)
                    continue
                there = charge * 0.9 + sun
                if there >= load:
                    charge -= (load - sun) / 0.9
                    continue
                served = max(0.0, there - first) / (load - first)
                unmet += (1 - served) * DAY_SHARES[hour]
                short.add(day)
                charge = 0.0
    assert year.days_short == len(short)
    assert year.volume_unmet / GALLON == pytest.approx(unmet * 600, rel=0.01, abs=0.5)
    assert year.standing_load == pytest.approx(32.5)


def test_a_storage_tank_without_battery_by_hand(tmp_path: Path) -> None:
    """Two hours at 10 gpm are 1200 gal, twice a day's water; 1500 gal are 2.5 days. From 13 h of
    the last bright day 0.48, three dark days and 0.44 are 3.92 days: the third dark day and the
    morning after are short, 1.42 days of water."""
    made_year(tmp_path, lambda day: 200 <= day < 203)
    direct = ('feeds = "battery"', 'feeds = "pump"')
    tank = ("[sun]", '[storage_tank]\nvolume = "1500 gal"\n[sun]')
    year = studied(simple(tmp_path, direct, tank)).supply_years[0]
    assert year.direct
    assert year.usable_battery is None
    assert (year.days_short, year.longest_short_run) == (2, 2)
    assert year.volume_unmet / GALLON == pytest.approx(1.42 * 600, rel=0.005)
    # One module gives 300 W: the pump of 500 W slows down, two carry it.
    assert year.power == pytest.approx(500.0, rel=1e-3)


MAKERS_TABLE = """supply = "DC"
{more}
[[pump.solar_table]]
head = "{low} ft"
power = "200, 500 W"
flow = "4, 10 gpm"
[[pump.solar_table]]
head = "{high} ft"
power = "250, 500 W"
flow = "1, 6 gpm"
"""


def makers_table(folder: Path, modules: int, more: str = "", low: int = 40) -> Path:
    """The plain house with its pump driven by modules, by a table round its head of some 50 ft."""
    made_year(folder, lambda day: False)
    return simple(
        folder,
        ('feeds = "battery"', 'feeds = "pump"'),
        ("series = 10", f"series = {modules}"),
        ("[sun]", '[storage_tank]\nvolume = "1500 gal"\n[sun]'),
        ('supply = "DC"\n', MAKERS_TABLE.format(more=more, low=low, high=low + 60)),
    )


def test_water_by_the_makers_table_by_hand(tmp_path: Path) -> None:
    """One module gives 299.9 W for two hours a day; three give the full 500 W. The flow lies
    straight between the two heads' at that power, at the head that this flow asks for: 55 ft, and
    friction with the flow to the power of 1.8."""
    for modules, low, high in ((1, 5.9984, 1.9984), (3, 10.0, 6.0)):
        path = makers_table(tmp_path, modules)
        changed(path, ("600 gal/day", "5000 gal/day"))
        results = studied(path)
        friction = results.pumps[0].duties[0].total_dynamic_head / 0.3048 - 55.0

        def lacks(flow: float, ends: tuple[float, ...] = (low, high, friction)) -> float:
            head = 55.0 + ends[2] * (flow / 10.0) ** 1.8
            return ends[0] + (ends[1] - ends[0]) * (head - 40.0) / 60.0 - flow

        year = results.supply_years[0]
        pumped = sum(month.pumped for month in year.months) / 365 / 120 / GALLON
        assert pumped == pytest.approx(brentq(lacks, 0.1, 10.0), rel=0.01)


@pytest.mark.parametrize(("start", "short"), [("290 W", 0), ("310 W", 365)])
def test_a_drive_starts_from_its_power_on(tmp_path: Path, start: str, short: int) -> None:
    path = makers_table(tmp_path, 1, f'start_power = "{start}"')
    changed(path, ("600 gal/day", "60 gal/day"))
    assert studied(path).supply_years[0].days_short == short


def test_no_head_above_the_makers_table_is_made_up(tmp_path: Path) -> None:
    path = makers_table(tmp_path, 3)
    changed(path, ('head = "100 ft"', 'head = "45 ft"'))
    results = studied(path)
    assert not results.supply_years
    (verdict,) = [each for each in results.verdicts if each.rule.key == "days short"]
    assert verdict.status == "unknown"
    assert "maker's table is 55.0 ft, allowed is 40.0 ft to 45.0 ft" in verdict.reason.text("US")
    assert "16.8 m, allowed is 12.2 m to 13.7 m" in verdict.reason.text("SI")


def test_below_the_makers_table_its_least_heads_flow_is_taken_and_told(tmp_path: Path) -> None:
    results = studied(makers_table(tmp_path, 3, low=70))
    (assumed,) = [each for each in results.assumptions if each.path == "pump[1].solar_table"]
    assert assumed.value == pytest.approx(70 * 0.3048)
    assert assumed.value.kind is kinds.HEAD
    # Three modules give the full power, at which the table has 10 gpm.
    changed(tmp_path / "site.toml", ("600 gal/day", "5000 gal/day"))
    year = studied(tmp_path / "site.toml").supply_years[0]
    pumped = sum(month.pumped for month in year.months) / 365 / 120 / GALLON
    assert pumped == pytest.approx(10.0, rel=0.01)


def test_without_battery_and_storage_it_asks_for_the_storage(tmp_path: Path) -> None:
    made_year(tmp_path, lambda day: False)
    results = studied(simple(tmp_path, ('feeds = "battery"', 'feeds = "pump"')))
    (verdict,) = [each for each in results.verdicts if each.rule.key == "days short"]
    assert verdict.status == "unknown"
    assert verdict.needs == ("storage_tank.volume",)


REMEDIED = {
    "modules": ("series = 10", "series = 1"),
    "battery": ("2.25 kWh", "0.3 kWh"),
    "storage": ('feeds = "battery"', 'feeds = "pump"'),
}


@pytest.mark.parametrize("lacking", REMEDIED)
@pytest.mark.parametrize("system", ["US", "SI"])
def test_what_would_make_it_pass_does(tmp_path: Path, lacking: str, system: str) -> None:
    made_year(tmp_path, lambda day: day % 5 == 0)
    changes = [REMEDIED[lacking]]
    if lacking == "storage":
        changes.append(("[sun]", '[storage_tank]\nvolume = "300 gal"\n[sun]'))
    path = simple(tmp_path, *changes)

    def verdict() -> tuple[str, str]:
        results = studied(path)
        (found,) = [each for each in results.verdicts if each.rule.key == "days short"]
        return found.status, found.remedy.text(system) if found.remedy else ""  # type: ignore[arg-type]

    status, remedy = verdict()
    assert status == "fail"
    words = remedy.split()
    if lacking == "modules":
        total = int(words[words.index("all") - 2])
        changed(path, ("series = 1\n", f"series = {total - 1}\n"))
        assert verdict()[0] == "fail"
        changed(path, (f"series = {total - 1}\n", f"series = {total}\n"))
    elif lacking == "battery":
        size = remedy.removeprefix("a battery of ")
        changed(path, ("0.3 kWh", size))
    else:
        size = remedy.removeprefix("a storage tank of ").removesuffix(" that the pump fills")
        changed(path, ("300 gal", size))
    assert verdict()[0] == "pass"


def test_a_days_water_by_the_hour() -> None:
    volumes = demand.hourly_volumes(2.0)
    np.testing.assert_allclose(volumes, 2.0 * np.array(DAY_SHARES))
    assert volumes.sum() == pytest.approx(2.0)


def test_what_is_not_spoken_of_stays_quiet() -> None:
    results = study_site(parse_site('[well]\ndepth = "9 m"\nstatic_level = "3 m"'))
    assert results.sun is None
    assert not results.supply_years
    assert results.ledger is None
    assert results.verdicts == ()
