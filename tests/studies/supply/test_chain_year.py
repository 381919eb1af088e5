"""The storage tank between well and house through the year, by hand and with its remedies made.

The sites are invented.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from tests.against_libraries.supply.test_chain import integrated
from tests.site_texts import EXAMPLES
from tests.studies.supply.houses import changed, made_year, simple
from wellsolar.physics.hydraulics.demand import hourly_volumes
from wellsolar.physics.supply.chain import Chain, OtherFiller
from wellsolar.physics.supply.stepper import DrawNumbers, TankNumbers, WellNumbers
from wellsolar.results.supply import ChainYearResult
from wellsolar.site.loading.read import SiteFile, load_site, parse_site
from wellsolar.studies.case import Case
from wellsolar.studies.pump.study import pump_on_well
from wellsolar.studies.supply import chain_year
from wellsolar.studies.supply import year as supply_year
from wellsolar.studies.well.drawdown import WaterLevel, casing_water
from wellsolar.verdicts import Verdict, changes_of, remedy

GALLON, FOOT = 3.785411784e-3, 0.3048
GPM = GALLON / 60
SHORT = "days short of the storage tank"
NIGHT = "storage tank through the night"
TURNOVER = "turnover of the storage tank"

POOR_WELL = """
[site]
people = 3
[demand]
daily_use = "200 gal/day"
peak_flow = "6 gpm"
[well]
depth = "405 ft"
casing_bore = "6.065 in"
static_level = "60 ft"
tested_yield = "0.5 gpm"
tested_pumping_level = "380 ft"
[piping]
tank_elevation = "8 ft"
[pressure_switch]
cut_in = "30 psi"
cut_out = "50 psi"
[storage_tank]
volume = "500 gal"
fills_below = "80 %"
stops_below = "5 %"
[[pump]]
name = "well pump"
delivers = "storage tank"
intake_depth = "390 ft"
flow = "0, 2, 4, 6, 8 gpm"
head = "640, 590, 500, 380, 200 ft"
dry_run_protection = true
[[pump]]
name = "booster"
kind = "suction"
draws = "storage tank"
flow = "0, 5, 10, 15 gpm"
head = "160, 150, 125, 70 ft"
"""


def poor(*changes: tuple[str, str]) -> SiteFile:
    text = POOR_WELL
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return parse_site(text)


@cache
def study(file: SiteFile) -> tuple[ChainYearResult | None, dict[str, Verdict]]:
    case = Case(file)
    year = case.chain_year
    return year, {each.rule.key: each for each in case.said("chain_year").verdicts}


def mended(file: SiteFile, verdict: Verdict) -> str:
    """How a verdict stands once its remedy is made."""
    changes = {each.path: each.value for each in changes_of(verdict.remedy)}
    assert changes, verdict.remedy
    return study(file.with_values(changes))[1][verdict.rule.key].status


def test_a_poor_well_with_cistern_and_booster_lasts_by_hand() -> None:
    """Half a gallon a minute with the water at 380 ft gives 720 gal a day there; 200 gal are
    drawn. The tank stands between 80 % and full: on average some 90 % of 500 gal, 2.25 days."""
    year, verdicts = study(poor())
    assert {key: each.status for key, each in verdicts.items()} == {
        SHORT: "pass",
        TURNOVER: "pass",
    }
    assert (year.filler_power, year.booster, year.booster_power) == (("grid",), "booster", "grid")
    assert year.daily_volume == pytest.approx(200 * GALLON)
    assert year.daily_pumped == pytest.approx(year.daily_volume, rel=0.01)
    assert year.storage == pytest.approx(475 * GALLON)
    assert year.turnover == pytest.approx(2.25, abs=0.2)
    assert year.well_flow * 86_400 / GALLON == pytest.approx(720, rel=0.01)
    # At 80 % the pump starts: 375 gal above the booster's stop, and half a gallon a minute.
    assert year.peak_time == pytest.approx(375 / 5.5 * 60, rel=0.01)
    assert year.days_short == 0
    assert year.least_stored < 400 * GALLON
    assert sum(month.days_short for month in year.months) == 0
    assert min(month.least_stored for month in year.months) == year.least_stored
    # The floats stand 100 gal apart: twice a day, and more often where the well stops the pump.
    assert 2.0 <= year.starts < 4.0
    for month in year.months:
        assert month.wanted_a_day == pytest.approx(200 * GALLON)


def by_drawdown(
    file: SiteFile, number: int, rest: float = 60 * FOOT, deepest: float = 325 * FOOT
) -> Callable[[float], float]:
    """A pump's flow by the drawdown of its well with the water so far down, by its curve and
    line."""
    site = file.site
    pump = pump_on_well(site, site.pump[number], f"pump[{number + 1}]")
    flows, heads = (list(map(float, each)) for each in (pump.table.flow, pump.table.head))
    curve = PchipInterpolator(flows, heads)

    def flow_at(drawdown: float) -> float:
        water = WaterLevel(rest + drawdown, None, rest + drawdown)

        def spare(flow: float) -> float:
            return float(curve(flow)) - pump.line.total(water, flow, 0.0)

        # The sheet ends at a flow that the pump gives while the water stands high.
        return flows[-1] if spare(flows[-1]) > 0.0 else brentq(spare, 0.0, flows[-1])

    drawdowns = np.linspace(0.0, deepest, 30)
    table = PchipInterpolator(drawdowns, [flow_at(each) for each in drawdowns])
    return lambda drawdown: float(table(min(drawdown, deepest)))


SECOND = """[[pump]]
name = "second"
delivers = "storage tank"
intake_depth = "330 ft"
flow = "0, 1, 2, 3, 4 gpm"
head = "600, 570, 500, 390, 250 ft"
restart_after = "40 min"
[[pump]]
name = "booster\""""


@pytest.mark.parametrize("run", ["at once", "alternating"])
def test_two_pumps_fill_it_as_in_an_integration(run: str) -> None:
    """A second pump that hangs 60 ft higher on the same well; more is drawn than the well gives.
    By scipy in time, each pump's flow falling with the water."""
    file = poor(
        ('"200 gal/day"', '"1200 gal/day"'),
        ("dry_run_protection = true", 'dry_run_protection = true\nrestart_after = "20 min"'),
        ('[[pump]]\nname = "booster"', SECOND),
        ("[site]\n", f'[power]\npumps_run = "{run}"\n[site]\n'),
    )
    year, _ = study(file)
    assert year.booster_flow is not None
    assert (year.filler, year.filler_power) == ("well pump and second", ("grid",))
    flow_at = [by_drawdown(file, 0), by_drawdown(file, 1)]
    area, dry, higher = casing_water(file.site), 320 * FOOT, 260 * FOOT
    assert area is not None
    volume = 500 * GALLON
    chain = Chain(
        1.0,
        TankNumbers(volume, 0.8 * volume, volume, 0.05 * volume),
        DrawNumbers(6 * GPM, year.booster_flow),
        WellNumbers(area, 0.5 * GPM / dry, dry, 0.0, 1200.0),
        others=(OtherFiller(1.0, 0.0, higher, 0.0, 2400.0),),
        in_turn=run == "alternating",
    )
    other = integrated(chain, np.tile(hourly_volumes(1200 * GALLON), 6), flow_at)
    pumped, given = (other[key][-24 * 3 :].sum() / 3 for key in ("pumped", "given"))
    assert year.daily_pumped == pytest.approx(pumped, rel=0.01)
    missing = year.volume_unmet / 365
    assert missing == pytest.approx(1200 * GALLON - given, abs=0.01 * 1200 * GALLON)
    assert missing > 50 * GALLON


def test_the_modules_of_one_pump_are_asked_nothing_of_another_on_the_grid() -> None:
    """Without the grid they are."""
    file = load_site(Path(__file__).parents[2] / "sites" / "hill_by_hand.toml")
    for grid, asked in ((True, {"solar pump"}), (False, {"grid pump", "solar pump"})):
        found = Case(file.with_values({"power.grid": grid})).said("supply").verdicts
        assert {each.subject for each in found if each.rule.key == "array for the pump"} == asked


def test_pumps_kept_apart_are_not_added_up() -> None:
    """And so where the file does not tell: as much as the first alone."""
    second = ('[[pump]]\nname = "booster"', SECOND)
    alone = study(poor())[0]
    assert alone is not None
    for run in ("", '[power]\npumps_run = "kept apart"\n'):
        year, _ = study(poor(second, ("[site]\n", f"{run}[site]\n")))
        assert (year.filler, year.fill_flow) == (alone.filler, pytest.approx(alone.fill_flow))


def two_on_the_hill(folder: Path, run: str) -> Path:
    """Pumps of 10 and of 6 gpm into 1500 gal."""
    path = hill(folder, 1500)
    text = path.read_text()
    pump = text[text.index("[[pump]]") : text.index("[module]")]
    twice = pump.replace('name = "', 'name = "second ')
    twice = twice.replace("9.995, 10.005", "5.995, 6.005")
    power = ("[power]\n", f'[power]\npumps_run = "{run}"\n')
    return changed(path, ("[module]", f"{twice}[module]"), power)


def test_two_pumps_share_the_modules_by_hand(tmp_path: Path) -> None:
    """Two hours of sun on 3000 W, of which either pump of 500 W has enough: 16 gpm into the tank
    at once, and in turn the 10 of the first, which no well stops."""
    made_year(tmp_path, lambda day: False)
    for run, flow in (("at once", 16), ("alternating", 10)):
        year, _ = study(load_site(two_on_the_hill(tmp_path, run)))
        assert year.filler_power == ("sun",)
        assert year.fill_flow / GPM == pytest.approx(flow, rel=0.01)
        sunny = year.months[6].sun_a_day
        assert sunny / GALLON == pytest.approx(flow * 120, rel=0.01)


def test_the_year_is_that_of_an_integration_along_the_pumps_curve() -> None:
    """1200 gal a day are more than the well gives. By scipy in time, the pump's flow falling with
    the water; the study takes one flow for the running pump."""
    again = ("dry_run_protection = true", 'dry_run_protection = true\nrestart_after = "20 min"')
    file = poor(('"200 gal/day"', '"1200 gal/day"'), again)
    year, _ = study(file)
    assert year.booster_flow is not None
    case = Case(file)
    flow_at = by_drawdown(file, 0)
    area, dry = casing_water(case.site), 320 * FOOT
    assert area is not None
    volume = 500 * GALLON
    chain = Chain(
        flow_at(dry),
        TankNumbers(volume, 0.8 * volume, volume, 0.05 * volume),
        DrawNumbers(6 * GPM, year.booster_flow),
        WellNumbers(area, 0.5 * GPM / dry, dry, 0.0, 1200.0),
    )
    days, left = 6, 3
    demand = np.tile(hourly_volumes(1200 * GALLON), days)
    other = integrated(chain, demand, [flow_at])
    pumped, given = (other[key][-24 * left :].sum() / left for key in ("pumped", "given"))
    assert year.daily_pumped == pytest.approx(pumped, rel=0.01)
    missing = year.volume_unmet / 365
    assert missing == pytest.approx(1200 * GALLON - given, abs=0.01 * 1200 * GALLON)
    assert missing > 50 * GALLON


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        # The morning takes 39 gal an hour for six hours; without the casing's water 30 come in.
        (
            (
                ('"200 gal/day"', '"600 gal/day"'),
                ('"500 gal"', '"50 gal"'),
                ('casing_bore = "6.065 in"\n', ""),
            ),
            "a storage tank of",
        ),
        # Between half way back and the stop the well gives three quarters of its 720 gal.
        ((('"200 gal/day"', '"600 gal/day"'),), "starts the pump again after"),
        ((('"200 gal/day"', '"900 gal/day"'),), "use no more than"),
        # Forty-three gallons a day are well within what is wanted, fourteen are hardly any of it.
        ((('"0.5 gpm"', '"0.03 gpm"'),), "use no more than"),
        ((('"0.5 gpm"', '"0.01 gpm"'),), "find another source beside this one"),
    ],
)
def test_what_is_short_and_what_helps(changes: tuple[tuple[str, str], ...], words: str) -> None:
    file = poor(*changes)
    year, verdicts = study(file)
    found = verdicts[SHORT]
    assert found.status == "fail"
    assert year.days_short > 3
    assert words in found.remedy.text("US")
    if "another source beside this one" in words:
        assert not changes_of(found.remedy)
    else:
        assert mended(file, found) == "pass"


def test_a_thin_line_down_the_hill_leaves_taps_short(tmp_path: Path) -> None:
    made_year(tmp_path, lambda day: False)
    path = hill(tmp_path, 1500)
    wide, _ = study(load_site(path))
    text = path.read_text(encoding="utf-8")
    line = 'gravity_line = { material = "PVC sch 40", size = "1/2 in", length = "19000 ft" }\n'
    path.write_text(
        text.replace("[storage_tank]\n", f'[storage_tank]\nelevation = "40 ft"\n{line}'),
        encoding="utf-8",
    )
    thin, _ = study(load_site(path))
    assert (wide.days_short, thin.days_short) == (0, 365)


def test_a_booster_of_little_flow_leaves_taps_short() -> None:
    """An hour's water after five, 39 % of 900 gal over six hours, is 58 gal: a booster of a gallon
    a minute passes 60, one of half a gallon 30."""
    weak = (("0, 5, 10, 15 gpm", "0.4, 0.45, 0.5, 0.55 gpm"), ('"0.5 gpm"', '"5 gpm"'))
    use = ('"200 gal/day"', '"900 gal/day"')
    year, _ = study(poor(*weak, use))
    assert year.days_short == 365
    # A pump that gives half a gallon a minute leaves 28 gal of each such hour.
    assert year.volume_unmet > 6 * 365 * 25 * GALLON


@pytest.mark.parametrize(("volume", "status"), [(1100, "pass"), (1250, "caution")])
def test_water_that_stands_too_long(volume: int, status: str) -> None:
    """With floats from 80 % to full the mean is some 90 %: five days of 200 gal are 1110 gal."""
    file = poor(('"500 gal"', f'"{volume} gal"'))
    found = study(file)[1][TURNOVER]
    assert found.status == status
    if status == "caution":
        assert mended(file, found) == "pass"


def test_what_a_chain_needs() -> None:
    without = poor(('daily_use = "200 gal/day"\n', ""), ("people = 3\n", ""))
    assert study(without)[1][SHORT].needs == ("demand.daily_use",)
    off = poor(("[site]\n", "[power]\ngrid = false\n[site]\n"))
    assert study(off)[1][SHORT].needs == ("power.battery_energy",)
    cells = '[module]\nvoc = "39.9 V"\nisc = "9.7 A"\nvmp = "32.6 V"\nimp = "9.2 A"\ncells = 60\n'
    bare = '[power]\ngrid = false\nbattery_energy = "2 kWh"\n[site]\nlatitude = "40 deg"\n'
    dull = poor(("[site]\n", cells + bare))
    assert study(dull)[1][SHORT].needs == ("sun.monthly",)
    # Of two boosters the first is followed: what the second runs on is not asked.
    second = BOOSTER[1].replace('"booster"', '"other"').removesuffix("[module]")
    year, _ = study(
        poor(('head = "160, 150, 125, 70 ft"\n', f'head = "160, 150, 125, 70 ft"\n{second}'))
    )
    assert year is not None
    assert year.booster == "booster"
    assert Case(poor(('delivers = "storage tank"\n', ""))).chain_year is None


def test_a_backup_comes_after_the_pump_that_is_there() -> None:
    backup = POOR_WELL[POOR_WELL.index("[[pump]]") :].split("[[pump]]")[1]
    backup = "[[pump]]" + backup.replace("well pump", "second").replace(
        'delivers = "storage tank"', 'delivers = "storage tank"\nrole = "backup"'
    )
    year, _ = study(poor(("[storage_tank]", f"{backup}[storage_tank]")))
    assert year.filler == "well pump"


HILL = (
    ('feeds = "battery"', 'feeds = "pump"'),
    ('supply = "DC"', 'supply = "DC"\ndelivers = "storage tank"'),
)


def hill(folder: Path, volume: int, *more: tuple[str, str]) -> Path:
    tank = ("[sun]", f'[storage_tank]\nvolume = "{volume} gal"\nfills_below = "99 %"\n[sun]')
    return simple(folder, *HILL, tank, *more)


def test_dark_days_by_hand(tmp_path: Path) -> None:
    """Two hours at 10 gpm are twice a day's 600 gal; 1500 gal are 2.5 days. From 13 h of the last
    bright day 0.48, three dark days and 0.44 are 3.92 days: the third dark day and the morning
    after are short, 1.42 days of water."""
    made_year(tmp_path, lambda day: 200 <= day < 203)
    year, verdicts = study(load_site(hill(tmp_path, 1500)))
    assert year.filler_power == ("sun",)
    assert year.booster == "hand, at the tank"
    assert (year.days_short, year.longest_short_run) == (2, 2)
    # The float lets up to 15 gal go before it asks for water.
    assert year.volume_unmet / GALLON == pytest.approx(1.42 * 600, abs=15)
    assert verdicts[SHORT].status == "pass"
    levels = year.levels
    assert len(levels.least) == len(levels.most) == 365
    assert min(levels.least) == pytest.approx(year.least_stored) == pytest.approx(0.0, abs=1e-9)
    # It runs empty in the third dark day, and is full on every bright one.
    assert levels.least.index(min(levels.least)) in (202, 203)
    assert levels.most[100] == pytest.approx(1500 * GALLON, rel=1e-3)  # an hour ends in a draw
    shown = levels.least[levels.day - 1 : levels.day + 2]
    assert shown == tuple(min(levels.emptiest[at : at + 24]) for at in (0, 24, 48))
    july = year.months[6]
    assert july.days_short == 2
    assert july.least_stored == pytest.approx(0.0, abs=1e-9)
    assert july.sun_a_day / GALLON == pytest.approx(1200 * 28 / 31, rel=2e-3)


def test_the_year_is_that_of_the_sites_own_weather_file(tmp_path: Path) -> None:
    """Two folders have a `made.csv`, and one is written anew: no dark days, three and none."""
    for folder, dark in (("bright", 0), ("dull", 3), ("dull", 0)):
        (tmp_path / folder).mkdir(exist_ok=True)
        made_year(tmp_path / folder, lambda day, dark=dark: 200 <= day < 200 + dark)
        year = Case(load_site(hill(tmp_path / folder, 1500))).chain_year
        assert (year.days_short > 0) == (dark > 0)


TANK = ("[sun]", '[storage_tank]\nvolume = "600 gal"\nfills_below = "99.9 %"\n[sun]')
BOOSTER = (
    "[module]",
    '[[pump]]\nname = "booster"\nkind = "suction"\ndraws = "storage tank"\n'
    'flow = "19.99, 20.01 gpm"\nhead = "400, 1 ft"\npower = "500, 500.001 W"\n'
    'supply = "DC"\n[module]',
)


@pytest.mark.parametrize(
    ("more", "days"),
    [
        # 600 gal at 10 gpm are an hour of 500 W: 2.25 kWh are 4.5 days, and a day is in the tank.
        ((), 5.5),
        # At 20 gpm the booster takes half of that besides: 3 days, then what is in the tank stays.
        ((BOOSTER, ("[sun]", '[pressure_switch]\ncut_in = "30 psi"\ncut_out = "50 psi"\n[sun]')),
         3.0),
    ],
)  # fmt: skip
def test_a_battery_through_dark_days_by_hand(
    tmp_path: Path, more: tuple[tuple[str, str], ...], days: float
) -> None:
    """From 13 h of the last bright day 0.48 days of water, six dark days and 0.44 are 6.92."""
    made_year(tmp_path, lambda day: 100 <= day < 106)
    path = simple(tmp_path, HILL[1], TANK)
    changed(path, *more)
    year, _ = study(load_site(path))
    assert year.filler_power == ("battery",)
    assert year.booster_power == ("battery" if more else None)
    assert year.volume_unmet / GALLON == pytest.approx((6.92 - days) * 600, abs=12)
    assert year.months[0].sun_a_day is None
    assert year.days_short == (2 if not more else 5)


@pytest.mark.parametrize(("volume", "status"), [(560, "pass"), (540, "fail")])
def test_the_night_from_sun_to_sun(tmp_path: Path, volume: int, status: str) -> None:
    """The sun shines from 11 to 13 h: 22 hours draw 600 gal but for two of 4 %, 552 gal."""
    made_year(tmp_path, lambda day: False)
    file = load_site(hill(tmp_path, volume))
    year, verdicts = study(file)
    assert year.night / GALLON == pytest.approx(552, rel=1e-3)
    assert verdicts[NIGHT].status == status
    if status == "fail":
        assert mended(file, verdicts[NIGHT]) == "pass"
        assert verdicts[SHORT].status == "fail"
        assert mended(file, verdicts[SHORT]) == "pass"


def test_the_well_bounds_a_pump_on_the_sun(tmp_path: Path) -> None:
    """Tested for 2 gpm: 240 gal in the two hours of sun, whatever the pump of 10 gpm could."""
    made_year(tmp_path, lambda day: False)
    path = hill(tmp_path, 1500, ('tested_yield = "60 gpm"', 'tested_yield = "2 gpm"'))
    changed(path, ('"600 gal/day"', '"600 gal/day"\npeak_flow = "5 gpm"'))
    year, _ = study(load_site(path))
    assert year.daily_pumped / GALLON == pytest.approx(240, rel=2e-3)
    # In the evening nothing comes in: 99 % of the tank at 5 gpm.
    assert year.peak_time == pytest.approx(0.99 * 1500 / 5 * 60)


def test_a_float_for_a_booster_keeps_no_water_from_the_hills_fall(tmp_path: Path) -> None:
    made_year(tmp_path, lambda day: False)
    path = hill(tmp_path, 1500)
    changed(path, ('fills_below = "99 %"', 'fills_below = "99 %"\nstops_below = "20 %"'))
    year, _ = study(load_site(path))
    assert year.storage == pytest.approx(1500 * GALLON)


@pytest.mark.parametrize(("start", "short"), [("2900 W", 0), ("3100 W", 365)])
def test_a_drive_starts_from_its_power_on(tmp_path: Path, start: str, short: int) -> None:
    """Ten modules of 299.9 W."""
    made_year(tmp_path, lambda day: False)
    path = hill(tmp_path, 1500)
    told = f'delivers = "storage tank"\nstart_power = "{start}"'
    changed(path, ('delivers = "storage tank"', told))
    year, _ = study(load_site(path))
    assert year.days_short == short


def test_too_few_modules(tmp_path: Path) -> None:
    """A pump of 500 W on one module gives half of what two do and more are asked for."""
    made_year(tmp_path, lambda day: False)
    path = hill(tmp_path, 6000, ("series = 10", "series = 1"))
    changed(
        path, ("600 gal/day", "1100 gal/day"), ('voc = "39.9 V"', 'voc = "39.9 V"\non_hand = 1')
    )
    file = load_site(path)
    found = study(file)[1][SHORT]
    assert found.status == "fail"
    assert "more on" in found.remedy.text("US")
    assert mended(file, found) == "pass"


def test_litres_a_day_by_month_are_those_of_the_sun(tmp_path: Path) -> None:
    """Far more is wanted than the sun gives, so that every drop of its two hours is taken."""
    made_year(tmp_path, lambda day: day % 10 == 0)
    path = hill(tmp_path, 3000)
    changed(path, ("600 gal/day", "5000 gal/day"))
    year, _ = study(load_site(path))
    dark = np.add.reduceat(
        np.arange(365) % 10 == 0, np.cumsum([0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30])
    )
    for month, days, lost in zip(
        year.months, (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31), dark, strict=True
    ):
        wanted = 1200 * (days - lost) / days
        assert month.pumped_a_day / GALLON == pytest.approx(wanted, rel=2e-3)


@pytest.mark.parametrize(
    ("peak", "lasts"),
    # 500 gal from 80 % down to 5 %, 375 gal, at what the peak takes beyond half a gallon a minute;
    # without end at just as much.
    [("6 gpm", 375 / 5.5), ("1 gpm", 375 / 0.5), ("0.5 gpm", None)],
)
def test_how_long_the_tank_bridges_a_peak(peak: str, lasts: float | None) -> None:
    year, _ = study(poor(('peak_flow = "6 gpm"', f'peak_flow = "{peak}"')))
    assert year.peak_time == (None if lasts is None else pytest.approx(lasts * 60, rel=1e-3))


TURNS = (
    # What is found and what is asked, on this side of the limit and beyond, by its own unit.
    ("days short", "days_short", 3, 4, {"limit": 3}, "days_short", "limit"),
    (SHORT, "days_short", 3, 4, {"limit": 3}, "days_short", "limit"),
    (NIGHT, "storage", 2.0, 1.99, {"night": 2.0}, "storage", "night"),
    (TURNOVER, "turnover", 5.0, 5.03, {"night": None}, "turnover", None),
)  # fmt: skip
"""Rule, what turns, where it just keeps and where it breaks the limit, what is given besides, and
the fields that the verdict compares: the last asks for the longest of three to five days."""


@pytest.mark.parametrize("row", TURNS, ids=lambda row: row[0])
def test_a_rule_on_a_year_turns_at_its_limit(
    row: tuple[str, str, float, float, dict[str, object], str, str | None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """By numbers made up; what mends it is held above."""
    rule, key, keeps, breaks, given, found, limit = row
    mend = remedy("mend it", "no key")
    monkeypatch.setattr(chain_year, "_larger", lambda *_: iter(()))
    monkeypatch.setattr(chain_year, "_enough", lambda *_: mend)
    monkeypatch.setattr(chain_year, "_fresher", lambda *_: mend)
    monkeypatch.setattr(supply_year, "_supply_remedy", lambda *_: mend)
    none: Any = SimpleNamespace(name="well pump")
    judges: dict[str, Callable[[Any], Verdict]] = {
        "days short": lambda told: supply_year._verdict(none, none, none, told),
        SHORT: lambda told: chain_year._short(none, told),
        NIGHT: lambda told: chain_year._night(none, told),
        TURNOVER: lambda told: chain_year._turnover(none, told),
    }
    judge = judges[rule]
    for value, status in ((keeps, "pass"), (breaks, "caution" if rule == TURNOVER else "fail")):
        numbers: Any = SimpleNamespace(
            **{"daily_volume": 1.0, "longest_short_run": 2, "volume_unmet": 0.5, "modules": 8,
               key: value, **given}
        )  # fmt: skip
        made = judge(numbers)
        assert (made.rule.key, made.status) == (rule, status)
        assert made.quantity == getattr(numbers, found)
        assert made.limit == (5.0 if limit is None else getattr(numbers, limit))
        assert (made.remedy is None) == (status == "pass")
        if key == "days_short":
            assert (made.reason.parts["run"], made.reason.parts["unmet"]) == (2, 0.5)
            calm = judge(SimpleNamespace(**{**vars(numbers), "days_short": 0}))
            assert "run" not in calm.reason.parts


@pytest.mark.parametrize(("least", "told"), [("100 ft", False), ("164 ft", True)])
def test_a_table_that_begins_above_the_lift_is_told(least: str, told: bool) -> None:
    """The hill tank's pump lifts water 137 ft at rest, from 62 ft down to 75 ft up the slope."""
    text = (EXAMPLES / "hill_tank.toml").read_text("utf-8")
    assert text.count('head = "100 ft"') == 1
    file = parse_site(text.replace('head = "100 ft"', f'head = "{least}"'))
    assumed = Case(file).said("chain_year").assumptions
    values = [each.value for each in assumed if each.path == "pump[1].solar_table"]
    assert values == [pytest.approx(164 * 0.3048)] * told


@pytest.mark.parametrize(
    ("array", "feeds", "volume", "least", "words"),
    [
        (True, ["pump"], 0, 3, "3 modules more on roof"),
        (True, ["pump"], 0, 1, "1 module more on roof"),
        # With the largest tank that is sold within ten days' use of 1000 L, and no other.
        (True, ["pump"], 9.4, 2, "a storage tank of 2500 gal and 2 modules more on roof"),
        (True, ["pump", "heater"], 0, 3, "use no more than"),  # to which group nobody can tell
        (False, ["heater"], 0, 3, "use no more than"),  # those modules lift no water
        (False, [], 0, 3, "use no more than"),
    ],
)
def test_modules_are_added_only_where_all_of_them_lift_the_water(
    array: bool, feeds: list[str], volume: float, least: int, words: str
) -> None:
    """A chain that modules more or half the use would help, and no tank alone."""

    def chain(helped: bool) -> Any:
        return SimpleNamespace(holds=lambda limit: helped)

    groups = [SimpleNamespace(name="roof", feeds=each, series=1, parallel=2) for each in feeds]
    site = SimpleNamespace(array=groups, module=None, site=SimpleNamespace(print_units="US"))

    def trial(of: float) -> Any:
        return SimpleNamespace(
            site=site, tank=SimpleNamespace(volume=of), array=object() if array else None,
            chain=SimpleNamespace(areas=(0.0,)), fillers=(SimpleNamespace(casing=0, link=None),),
            with_volume=trial,
            with_modules=lambda added: chain(added >= least and of >= volume),
            with_use=lambda part: chain(part <= 0.5),
            holds=lambda limit: False,
        )  # fmt: skip

    result: Any = SimpleNamespace(limit=3, daily_volume=1.0)
    assert words in chain_year._enough(trial(1.0), result).text("US")


def hours(*runs: tuple[int, float]) -> np.ndarray:
    """So many hours of each value."""
    return np.concatenate([np.full(count, value) for count, value in runs])


@pytest.mark.parametrize(
    ("flows", "most"),
    [
        # A draw of 1 an hour: dark from 17 h to 9 h, round the end of the year too.
        ([hours((9, 0), (8, 1), (16, 0), (8, 1), (7, 0))], 16.0),
        # Of two pumps the one that still runs counts.
        ([hours((6, 0), (9, 1), (9, 0)), hours((6, 0), (12, 1), (6, 0))], 12.0),
        # From noon of the first day to midnight of the next are 36 hours: no night.
        ([hours((6, 1), (42, 0)), hours((6, 0), (6, 1), (36, 0))], 0.0),
        ([hours((6, 0), (6, 1), (36, 0))], 0.0),
        # 23 hours are a night, a whole day is none.
        ([hours((6, 0), (1, 1), (23, 0), (1, 1), (17, 0))], 23.0),
        ([hours((6, 0), (1, 1), (24, 0), (1, 1), (16, 0))], 22.0),
        ([hours((48, 0))], 0.0),
        ([hours((48, 1))], 0.0),
    ],
)
def test_the_longest_night_that_is_shorter_than_a_day(
    flows: list[np.ndarray], most: float
) -> None:
    others = [OtherFiller(flow) for flow in flows[1:]]
    chain = SimpleNamespace(pump_flow=flows[0], others=others)
    trial: Any = SimpleNamespace(sunny=True, chain=chain, demand=np.ones(flows[0].size))
    assert chain_year._longest_night(trial) == most
    trial.sunny = False
    assert chain_year._longest_night(trial) is None


@pytest.mark.parametrize(
    ("casing", "in_turn", "flows", "kept"),
    [
        (0.02, False, (3.0, 2.0), 3.0),  # the casing sets the bound by itself
        (0.0, True, (3.0, 2.0), 2.0),  # what the well bears
        (0.0, False, (3.0,), 2.0),
        (0.0, False, (3.0, 2.0), 3.0 * 2.0 / 5.0),  # as its part of both
        (0.0, False, (0.6, 0.4), 0.6),
    ],
)
def test_a_filling_pump_within_its_well(
    casing: float, in_turn: bool, flows: tuple[float, ...], kept: float
) -> None:
    """A well that bears 2; a third pump in another well is no matter."""
    fillers: Any = tuple(SimpleNamespace(flow=flow, casing=0, borne=2.0) for flow in flows)
    other: Any = SimpleNamespace(flow=9.0, casing=1, borne=1.0)
    chain: Any = SimpleNamespace(areas=(casing, 0.0), in_turn=in_turn)
    found = chain_year._within_well(chain, fillers[0], (*fillers, other))
    assert found == pytest.approx(kept)


@pytest.mark.parametrize(("pumped", "stop"), [(True, 0.5), (False, 0.0)])
def test_a_float_keeps_water_back_from_a_pump_alone(pumped: bool, stop: float) -> None:
    tank: Any = SimpleNamespace(volume=5.0, fills_below=0.6, fills_to=0.9, stops_below=0.1)
    assert chain_year._numbers(tank, None, pumped) == pytest.approx((5.0, 3.0, 4.5, stop))
    trial: Any = SimpleNamespace(booster=object() if pumped else None)
    assert chain_year._numbers(tank, trial) == pytest.approx((5.0, 3.0, 4.5, stop))


@pytest.mark.parametrize(("in_turn", "parts"), [(False, [0.25, 0.75]), (True, [1.0, 1.0])])
def test_filling_pumps_part_the_modules_as_their_tables_powers_are(
    in_turn: bool, parts: list[float]
) -> None:
    """500 and 1500 W at their most. A start asks 300 W of the modules, of which nine tenths come
    to the pump; one that no modules drive stays as it is."""
    fillers: Any = [
        SimpleNamespace(
            curve=SimpleNamespace(power=[100.0, most]), share=share,
            link=SimpleNamespace(table=SimpleNamespace(start_power=start)),
        )
        for most, share, start in ((500.0, 1.0, 300.0), (1500.0, 0.5, None))
    ]  # fmt: skip
    other: Any = SimpleNamespace(curve=None)
    asked: list[tuple[float, float, float]] = []

    def flow_in_sun(power: np.ndarray, _: Any, through: float, least: float) -> Any:
        asked.append((float(power[0]), through, least))
        return None, np.array([3.0])

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(chain_year, "flow_in_sun", flow_in_sun)
        patch.setattr(chain_year.system, "conversion_of", lambda *_: 0.9)
        patch.setattr(chain_year, "replace", lambda filler, flow: flow)
        site: Any = None
        found = chain_year._in_the_sun(site, (*fillers, other), np.array([1000.0]), in_turn)
    wanted = [(1000.0 * part, 0.9, least) for part, least in zip(parts, (270.0, 0.0), strict=True)]
    np.testing.assert_allclose(asked, wanted)
    assert [float(flow[0]) for flow in found[:2]] == pytest.approx([3.0, 1.5])
    assert found[2] is other
