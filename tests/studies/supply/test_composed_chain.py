"""The sums of a storage tank's year by arithmetic on a year of made-up hours, and what is handed
to the stepper by the file's own values: no run of it stands behind these numbers."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.studies.supply.houses import made_year
from tests.studies.supply.test_chain_year import (
    BOOSTER,
    GALLON,
    GPM,
    NIGHT,
    SECOND,
    SHORT,
    TURNOVER,
    changed,
    hill,
    poor,
    two_on_the_hill,
)
from wellsolar.physics.supply.chain import Chain, ChainYear
from wellsolar.physics.supply.stepper import TankNumbers
from wellsolar.physics.supply.year import SupplyYear
from wellsolar.results.supply import ChainYearResult
from wellsolar.site.loading.read import SiteFile, load_site
from wellsolar.studies.case import Case
from wellsolar.studies.supply import chain_year
from wellsolar.verdicts import Verdict, changes_of

DAY, HOUR, FOOT = 86_400.0, 3600.0, 0.3048
LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
Holds = Callable[[Chain, float], bool]
"""Whether a chain bears a day's use [gal]."""

MONTHS = np.repeat(np.arange(1, 13), LENGTHS)


class Ran:
    """In place of the stepper: what it was asked, and a year that is made up."""

    def __init__(self, short: int = 9, turnover: float = 3.3) -> None:
        rng = np.random.default_rng(5)
        self.pumped, self.stored = rng.uniform(0.01, 0.07, 8760), rng.uniform(0.4, 1.7, 8760)
        self.unmet = np.zeros(365)
        self.unmet[rng.permutation(365)[:short]] = rng.uniform(0.02, 0.2, short)
        self.short, self.turnover = short, turnover
        self.chain: Any = None
        self.demand: Any = None

    def __call__(self, chain: Chain, demand: Any) -> ChainYear:
        if self.chain is None:  # what comes after are trials of a remedy
            self.chain, self.demand = chain, demand
        nothing = np.zeros(8760)
        supply = SupplyYear(
            pumped=self.pumped, unmet=self.unmet, state_of_charge=nothing,
            stored_volume=self.stored, spilled=nothing, days_short=self.short,
            longest_short_run=2, volume_wanted=float(demand.sum()), volume_pumped=431.0,
            volume_delivered=419.0, volume_unmet=17.0, volume_change=0.0, energy_array=0.0,
            energy_spilled=0.0, energy_pump=0.0, energy_other=0.0, energy_other_unmet=0.0,
            energy_lost=0.0, energy_change=0.0, energy_balance_error=0.0,
            water_balance_error=0.0,
        )  # fmt: skip
        return ChainYear(supply, nothing, 877.0, 0.37, 1.1, self.turnover * DAY, 0.0)


def ran(
    monkeypatch: pytest.MonkeyPatch, file: SiteFile, made: Ran
) -> tuple[ChainYearResult, dict[str, Verdict]]:
    made.chain = None
    monkeypatch.setattr(chain_year, "run_chain_year", made)
    case = Case(file)
    year = case.chain_year
    assert year is not None
    return year, {each.rule.key: each for each in case.said("chain_year").verdicts}


def check_months(year: ChainYearResult, made: Ran, least: float) -> None:
    """Sums of each month, by the hours and by the days."""
    hours = np.repeat(MONTHS, 24)
    for number, month in enumerate(year.months, 1):
        length = LENGTHS[number - 1]
        assert month.month == number
        pumped = made.pumped[hours == number].sum() / length
        assert month.pumped_a_day == pytest.approx(pumped)
        wanted = made.demand[hours == number].sum() / length
        assert month.wanted_a_day == pytest.approx(wanted)
        assert month.unmet == pytest.approx(made.unmet[number == MONTHS].sum())
        assert month.days_short == np.count_nonzero(made.unmet[number == MONTHS])
        lowest = made.stored[hours == number].min() - least
        assert month.least_stored == pytest.approx(lowest)


def test_the_sums_of_a_year_on_the_grid(monkeypatch: pytest.MonkeyPatch) -> None:
    """500 gal between 80 % and full, of which a twentieth stays; 0.5 gpm down to 385 ft."""
    made, file = Ran(), poor()
    year, verdicts = ran(monkeypatch, file, made)
    case = Case(file)
    by_name = {each.name: each for each in case.pumps}
    volume = 500 * GALLON
    tank, chain = made.chain.tank, made.chain
    assert tuple(tank) == pytest.approx((volume, 0.8 * volume, volume, 0.05 * volume))
    greatest = max(duty.pump_flow for duty in by_name["well pump"].duties)
    assert year.fill_flow == pytest.approx(greatest)
    # The casing of 6.065 in less what hangs in it, and half a gallon a minute at the stop.
    dry = 325 * FOOT if case.site.pump[0].minimum_submergence == 0.0 else None
    stop = next(each for each in case.well.pumps if each.name == "well pump").stop_level  # type: ignore[union-attr]
    assert dry is None or chain.well.dry_drawdown == pytest.approx(dry)
    assert chain.well.dry_drawdown == pytest.approx(stop - 60 * FOOT)
    assert chain.well.restart_drawdown == pytest.approx((stop - 60 * FOOT) / 2)
    assert math.isinf(chain.well.restart_time)
    whole = math.pi / 4 * (6.065 * 0.0254) ** 2
    assert 0.8 * whole < chain.well.area <= whole * (1.0 + 1e-9)
    assert year.well_flow == pytest.approx(0.5 * GPM, rel=1e-3)
    assert chain.well.specific_capacity * chain.well.dry_drawdown == pytest.approx(year.well_flow)
    assert (year.filler, year.booster) == ("well pump", "booster")
    assert (year.filler_power, year.booster_power) == (("grid",), "grid")
    assert year.storage == pytest.approx(0.95 * volume)
    assert year.booster_flow == pytest.approx(chain.draw.booster_flow)
    boosted = [duty.flow for duty in by_name["booster"].duties]
    assert min(boosted) <= chain.draw.booster_flow <= max(boosted)
    assert chain.draw.flow == pytest.approx(6 * GPM)
    assert year.daily_volume == pytest.approx(200 * GALLON)
    assert made.demand.reshape(365, 24).sum(axis=1) == pytest.approx([200 * GALLON] * 365)
    assert year.daily_pumped == pytest.approx(431.0 / 365)
    assert (year.days_short, year.longest_short_run, year.volume_unmet) == (9, 2, 17.0)
    assert year.least_stored == pytest.approx(0.37 - 0.05 * volume)
    assert year.turnover == pytest.approx(3.3)
    assert year.starts == pytest.approx(877 / 365)
    lacking = 6 * GPM - min(greatest, 0.5 * GPM)
    assert year.peak_time == pytest.approx(0.75 * volume / lacking, rel=1e-3)
    assert year.night is None
    assert NIGHT not in verdicts
    check_months(year, made, 0.05 * volume)
    assert all(month.sun_a_day is None for month in year.months)


@pytest.mark.parametrize(
    ("short", "turnover", "status", "turned"),
    [
        (0, 5.0, "pass", "pass"),
        (3, 5.01, "pass", "caution"),
        (4, 1.0, "fail", "pass"),
        (182, 6.0, "fail", "caution"),
        # Where it is empty most days, how long it stands is nobody's care.
        (183, 6.0, "fail", None),
    ],
)
def test_what_the_year_is_judged_by(
    monkeypatch: pytest.MonkeyPatch, short: int, turnover: float, status: str, turned: str | None
) -> None:
    """Three days short are put up with, five days of water are fresh."""
    made, file = Ran(short, turnover), poor()
    assert file.site.limits.short_days == 3
    year, verdicts = ran(monkeypatch, file, made)
    told = verdicts[SHORT]
    assert (told.status, told.quantity, told.limit) == (status, short, 3)
    assert ("missing" in told.reason.template) == (short > 0)
    if short:
        assert told.reason.parts["run"] == 2
        assert told.reason.parts["unmet"] == pytest.approx(17.0)
    found = verdicts.get(TURNOVER)
    assert (found and found.status) == turned
    if found is not None:
        assert (found.quantity, found.limit) == (pytest.approx(turnover), pytest.approx(5.0))
    assert year.limit == 3


def test_without_a_casing_the_well_bounds_the_pump_by_its_yield(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of 0.5 gpm tested, and a peak of 6 that the tank bridges from four fifths on; with a peak
    below what comes in, nothing is bridged."""
    made = Ran()
    bare = ('casing_bore = "6.065 in"\n', "")
    year, _ = ran(monkeypatch, poor(bare), made)
    assert year.well_flow is None
    assert made.chain.well.area == 0.0
    assert year.fill_flow == pytest.approx(0.5 * GPM)
    assert year.peak_time == pytest.approx(375 / 5.5 * 60)
    year, _ = ran(monkeypatch, poor(bare, ('"6 gpm"', '"0.4 gpm"')), made)
    assert year.peak_time is None
    year, _ = ran(monkeypatch, poor(bare, ('peak_flow = "6 gpm"\n', "")), made)
    assert year.peak_time is None
    assert made.chain.draw.flow == 0.0
    # The well gives more than this pump: it is its own flow.
    rich = ('tested_yield = "0.5 gpm"', 'tested_yield = "60 gpm"')
    file = poor(bare, rich)
    year, _ = ran(monkeypatch, file, made)
    pump = Case(file).pumps[0]
    flows = [duty.flow for duty in pump.duties]
    assert min(flows) <= year.fill_flow <= max(flows)


@pytest.mark.parametrize("run", ["at once", "alternating"])
def test_two_pumps_on_one_well(monkeypatch: pytest.MonkeyPatch, run: str) -> None:
    """10 ft of water stand above an intake where its pump is stopped: 320 and 260 ft of drawdown.
    The well gives its half gallon a minute down to the deeper. What is bridged at a peak hangs on
    that, and without a casing on the pumps: of those that alternate on the lesser."""
    made, in_turn = Ran(), run == "alternating"
    two = (
        ('[[pump]]\nname = "booster"', SECOND),
        ("[site]\n", f'[power]\npumps_run = "{run}"\n[site]\n'),
        ("dry_run_protection = true", 'dry_run_protection = true\nrestart_after = "20 min"'),
        ("[piping]", '[piping]\nlateral = { size = "3/4 in", length = "400 ft" }'),
    )
    file = poor(*two)
    year, _ = ran(monkeypatch, file, made)
    alone = [pump.duties[0].pump_flow for pump in Case(file).pumps[:2]]
    chain, other = made.chain, made.chain.others[0]
    flows = [chain.pump_flow, other.flow]
    # Both in one line lose more in it than each by itself.
    for flow, own in zip(flows, alone, strict=True):
        assert flow == pytest.approx(own) if in_turn else 0.4 * own < flow < 0.95 * own
    assert year.fill_flow == pytest.approx(max(flows) if in_turn else sum(flows))
    assert tuple(chain.well[2:]) == pytest.approx((320 * FOOT, 0.0, 1200.0))
    assert tuple(other[1:]) == pytest.approx((0.0, 260 * FOOT, 0.0, 2400.0, 0))
    assert chain.well.specific_capacity == pytest.approx(0.5 * GPM / (320 * FOOT))
    assert year.well_flow == pytest.approx(0.5 * GPM)
    assert year.starts == pytest.approx(877 / 365 / 2)
    assert year.peak_time == pytest.approx(375 / 5.5 * 60)
    bare = (('casing_bore = "6.065 in"\n', ""), ('"0.5 gpm"', '"60 gpm"'), ('"6 gpm"', '"12 gpm"'))
    year, _ = ran(monkeypatch, poor(*two, *bare), made)
    flows = [made.chain.pump_flow, made.chain.others[0].flow]
    assert flows[1] < 0.8 * flows[0]
    lacking = 12 * GPM - (flows[1] if in_turn else sum(flows))
    assert year.peak_time == pytest.approx(375 * GALLON / lacking)


def test_a_pump_on_each_of_two_wells(monkeypatch: pytest.MonkeyPatch) -> None:
    """The drilled well is tested for 1.5 gpm, more than comes in at 200 ft of drawdown where the
    water stands 205 ft down; the dug one gives a gallon at 10 ft, of which its pump has 5."""
    made = Ran()
    file = load_site(Path(__file__).parents[2] / "sites" / "two_wells.toml")
    year, _ = ran(monkeypatch, file, made)
    chain, (dug,), (other,) = made.chain, made.chain.casings, made.chain.others
    assert chain.well.specific_capacity == pytest.approx(1.5 * GPM / (205 * FOOT))
    assert dug.specific_capacity == pytest.approx(0.5 * GPM / (5 * FOOT))
    assert (other.casing, other.dry_drawdown) == (1, pytest.approx(5 * FOOT))
    for area, bore in ((chain.well.area, 6.065), (dug.area, 36.0)):
        whole = math.pi / 4 * (bore * 0.0254) ** 2
        assert 0.8 * whole < area <= whole * (1.0 + 1e-9)
    assert year.well_flow == pytest.approx(2.0 * GPM)
    assert year.fill_flow == pytest.approx(chain.pump_flow + other.flow)
    # Of 800 gal what stands between 75 % and 10 %, for 8 gpm of which 2 come in.
    assert year.peak_time == pytest.approx(0.65 * 800 / 6 * 60)


@pytest.mark.parametrize("power", ["grid", "battery"])
def test_a_pump_that_runs_in_the_dark_beside_one_on_the_sun(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, power: str
) -> None:
    """10 and 6 gpm out of a well that bears 12: in the two hours of sun each has three quarters
    of its own, else the second all of it. Its 500 W are those of the dark."""
    made_year(tmp_path, lambda day: False)
    made, off = Ran(), power == "battery"
    path = two_on_the_hill(tmp_path, "at once")
    changed(
        path, ('tested_yield = "60 gpm"', 'tested_yield = "12 gpm"'),
        ('"600 gal/day"', '"600 gal/day"\npeak_flow = "9 gpm"'),
        ('supply = "DC"\ndelivers = "storage tank"\n[module]',
         'supply = "AC"\ndelivers = "storage tank"\n[module]'),
        ("[power]\n", '[[array]]\nname = "other"\nfeeds = "battery"\nseries = 4\ntilt = "0 deg"\n'
         f"[power]\ngrid = {'false' if off else 'true'}\n"),
        BOOSTER,
        ("[sun]", '[pressure_switch]\ncut_in = "30 psi"\ncut_out = "50 psi"\n[sun]'),
    )  # fmt: skip
    year, _ = ran(monkeypatch, load_site(path), made)
    assert year.filler_power == ("sun", power)
    (second,) = made.chain.others
    for flow, day in ((made.chain.pump_flow, (0, 7.5, 7.5, 0)), (second.flow, (6, 4.5, 4.5, 6))):
        assert flow[10:14] / GPM == pytest.approx(day, rel=2e-3)
    assert (made.chain.fill_power, second.power) == (0.0, pytest.approx(500.0 * off, rel=1e-3))
    # Two kilowatt hours and a quarter, by the inverter where the pump that fills hangs on it; four
    # modules of 32.6 V x 9.2 A charge them. The booster of 20 gpm takes 500 W as well.
    store, booster = made.chain.battery, made.chain.boost_flow
    assert store.usable_capacity == pytest.approx(2.25 * 3.6e6)
    assert store.inverter_efficiency == (0.9 if off else 1.0)
    assert made.chain.array_power.max() == pytest.approx(4 * 32.6 * 9.2, rel=2e-3)
    assert (booster / GPM, made.chain.boost_power) == pytest.approx((20.0, 500.0), rel=2e-3)
    assert year.fill_flow / GPM == pytest.approx(12.0)
    assert year.months[0].sun_a_day / GALLON == pytest.approx(900, rel=2e-3)
    assert year.peak_time == pytest.approx(0.99 * 1500 / 3 * 60, rel=2e-3)
    assert year.night is None


def test_the_sums_of_a_year_on_the_sun(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Two hours at 10 gpm on bright days. Between 13 h and 11 h of the next day 22 hours are
    drawn; nights longer than a day, of dark days, are no nights."""
    made_year(tmp_path, lambda day: 200 <= day < 203)
    made = Ran()
    path = hill(tmp_path, 700, ("600 gal/day", '600 gal/day"\npeak_flow = "9 gpm'))
    year, verdicts = ran(monkeypatch, load_site(path), made)
    flow = np.asarray(made.chain.pump_flow)
    bright = [day for day in range(365) if not 200 <= day < 203]
    by_day = flow.reshape(365, 24)
    runs = np.flatnonzero(by_day[0] > 0.0)
    assert list(runs) == [11, 12]
    assert by_day[bright][:, 11:13] == pytest.approx(10 * GPM, rel=2e-3)
    assert by_day[200:203] == pytest.approx(0.0)
    day = made.demand[:24]
    assert year.night == pytest.approx(day.sum() - day[11] - day[12])
    for number, month in enumerate(year.months, 1):
        total = by_day[number == MONTHS].sum() * HOUR / LENGTHS[number - 1]
        assert month.sun_a_day == pytest.approx(total)
    check_months(year, made, 0.0)
    # It does not run at a peak in the dark: what the tank holds where its float calls.
    assert year.peak_time == pytest.approx(0.99 * 700 / 9 * 60)
    told = verdicts[NIGHT]
    assert told.status == ("pass" if year.storage >= year.night else "fail")
    assert (told.quantity, told.limit) == (
        pytest.approx(700 * GALLON), pytest.approx(year.night),
    )  # fmt: skip
    year, verdicts = ran(monkeypatch, load_site(hill(tmp_path, 400)), made)
    assert verdicts[NIGHT].status == "fail"
    assert year.night > 400 * GALLON


class Holding(Ran):
    """A year that is short unless something holds of what was asked; its water stands so long."""

    def __init__(self, holds: Holds, turned: Callable[[TankNumbers], float] | None = None) -> None:
        super().__init__()
        self.holds, self.turned = holds, turned

    def __call__(self, chain: Chain, demand: Any) -> ChainYear:
        self.short = 0 if self.holds(chain, float(demand.sum()) / 365 / GALLON) else 9
        self.turnover = 3.3 if self.turned is None else self.turned(chain.tank)
        return super().__call__(chain, demand)


def told_to(verdict: Verdict) -> dict[str, str]:
    """The changes of a remedy; nothing where no key tells it."""
    assert verdict.remedy is not None
    return {each.path: str(each.value).strip('"') for each in changes_of(verdict.remedy)}


def stored(gallons: float) -> Holds:
    return lambda chain, day: chain.tank.volume > gallons * GALLON


@pytest.mark.parametrize(
    ("holds", "key", "value"),
    [
        # Of the tanks that are sold the smallest that is enough: 1000 or 1500 gal.
        (stored(999.9), "storage_tank.volume", "1000 gal"),
        (stored(1000.1), "storage_tank.volume", "1500 gal"),
        # No tank: a pump that starts again in half an hour; then less use, in whole gallons.
        (lambda chain, day: chain.well.restart_time == 1800, "pump[1].restart_after", "1800 s"),
        (lambda chain, day: day < 90.06, "demand.daily_use", "90 gal/day"),
        # Half of it to the litre: the halvings begin between nothing and all of it.
        (lambda chain, day: day < 100.0 + 1e-9, "demand.daily_use", "100 gal/day"),
        (lambda chain, day: day < 150.9, "demand.daily_use", "150 gal/day"),
        # More than ten days' water is not stored: 2500 gal are twelve and a half.
        (
            lambda chain, day: stored(2400)(chain, day) or day < 99.9,
            "demand.daily_use",
            "99 gal/day",
        ),
    ],
)
def test_what_mends_a_year_that_is_short(
    monkeypatch: pytest.MonkeyPatch, holds: Holds, key: str, value: str
) -> None:
    """The first that holds, in the order of the work; whether it does tells a made-up year."""
    made, file = Holding(holds), poor()
    _, verdicts = ran(monkeypatch, file, made)
    assert verdicts[SHORT].status == "fail"
    assert told_to(verdicts[SHORT]) == {key: value}


def test_a_pump_starts_again_sooner_where_that_is_no_key_already(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One that waits forty minutes may wait thirty; one that is told a level is left to it, and
    without a casing nothing fills while it waits."""
    dry = "dry_run_protection = true\n"
    for change, wanted in (
        ((dry, f'{dry}restart_after = "40 min"\n'), {"pump[1].restart_after": "1800 s"}),
        ((dry, f'{dry}restart_level = "99 ft"\n'), {"demand.daily_use": "20 gal/day"}),
        (('casing_bore = "6.065 in"\n', ""), {"demand.daily_use": "20 gal/day"}),
    ):
        made = Holding(lambda chain, day: chain.well.restart_time == 1800.0 or day < 20.5)
        _, verdicts = ran(monkeypatch, poor(change), made)
        assert told_to(verdicts[SHORT]) == wanted


@pytest.mark.parametrize(
    ("emptiest", "first"), [(0, 0), (1, 0), (200, 199), (363, 362), (364, 362)]
)
def test_the_water_of_the_emptiest_days(
    monkeypatch: pytest.MonkeyPatch, emptiest: int, first: int
) -> None:
    """Three days, the emptiest amid them where the year has a day before and after it."""
    made = Ran()
    made.stored[24 * emptiest + 7] = 0.1
    year, _ = ran(monkeypatch, poor(), made)
    days, told, volume = made.stored.reshape(365, 24), year.levels, 500 * GALLON
    assert (told.full, told.starts) == pytest.approx((volume, 0.8 * volume))
    assert (told.stops, told.day) == (pytest.approx(0.05 * volume), first + 1)
    assert told.least == pytest.approx([*days.min(axis=1)])
    assert told.most == pytest.approx([*days.max(axis=1)])
    assert told.emptiest == pytest.approx([*made.stored[24 * first : 24 * (first + 3)]])


def test_floats_that_keep_less_water(monkeypatch: pytest.MonkeyPatch) -> None:
    """The fullest of 95, 90, 85 % and so on in which it turns over and the year is not short, and
    a tenth below; where none does, no key tells what helps."""

    def share(tank: TankNumbers) -> float:
        return tank.fills_to / tank.volume

    def found(least: float, most: float) -> dict[str, str]:
        made = Holding(
            lambda chain, day: share(chain.tank) > least - 1e-6,
            lambda tank: 5.0 if share(tank) < most + 1e-6 else 5.1,
        )
        _, verdicts = ran(monkeypatch, poor(), made)
        assert (verdicts[SHORT].status, verdicts[TURNOVER].status) == ("pass", "caution")
        changes = told_to(verdicts[TURNOVER])
        return {path.removeprefix("storage_tank."): value for path, value in changes.items()}

    assert found(0.5, 0.95) == {"fills_below": "85 %", "fills_to": "95 %"}
    assert found(0.5, 0.71) == {"fills_below": "60 %", "fills_to": "70 %"}
    assert found(0.7, 0.7) == {"fills_below": "60 %", "fills_to": "70 %"}
    assert found(0.5, 0.5) == {"fills_below": "40 %", "fills_to": "50 %"}
    assert found(0.72, 0.71) == found(0.5, 0.4) == {}


def test_floats_that_keep_enough_for_the_night(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Of 700 gal 80 % are 560 for the 553 of a night, 75 % only 525. The float of a booster, which
    is not there, holds nothing back."""
    made_year(tmp_path, lambda day: False)
    floats = {"storage_tank.fills_below": "70 %", "storage_tank.fills_to": "80 %"}
    for most, wanted in ((0.81, floats), (0.76, {})):
        made = Holding(
            lambda chain, day: True,
            lambda tank, most=most: 5.0 if tank.fills_to / tank.volume < most else 5.1,
        )  # fmt: skip
        stays = ("[storage_tank]", '[storage_tank]\nstops_below = "5 %"')
        year, verdicts = ran(monkeypatch, load_site(hill(tmp_path, 700, stays)), made)
        assert 525 < year.night / GALLON < 560
        assert told_to(verdicts[TURNOVER]) == wanted
    text = verdicts[NIGHT].reason.text("US")
    assert text.startswith(f"{year.night / GALLON:.0f} gal are drawn")
    assert verdicts[NIGHT].subject == verdicts[TURNOVER].subject == verdicts[SHORT].subject


def test_a_tank_that_bears_the_night(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """22 hours of the day's water between two suns: of 600 gal about 550, of 40,000 more than any
    tank that is sold holds."""
    made_year(tmp_path, lambda day: False)
    for use, wanted in ((600, {"storage_tank.volume": "1000 gal"}), (40_000, {})):
        made = Holding(lambda chain, day: True)
        path = hill(tmp_path, 400, ('"600 gal/day"', f'"{use} gal/day"'))
        year, verdicts = ran(monkeypatch, load_site(path), made)
        assert 500 < year.night / GALLON < use
        assert told_to(verdicts[NIGHT]) == wanted
