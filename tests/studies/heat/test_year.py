"""A household's year closes, by month, with grid, second tank and other elements."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from tests.studies.heat.ridge_tank import (
    ALONE,
    BY_VOLUME,
    COLD,
    DAY,
    GALLON,
    HOT,
    KWH,
    LOSS,
    RIDGE,
    ROOM,
    TAP,
    TWO,
    VOLUME,
    driven,
    edited,
    tank_of,
)
from wellsolar.studies.heat import household
from wellsolar.studies.heat import year as heat_year
from wellsolar.studies.heat.household import _largest_part
from wellsolar.studies.heat.tank import AuxiliaryHeat, SecondTank
from wellsolar.studies.heat.year import evening_of_days, run_hours, run_two_tanks, run_year
from wellsolar.studies.house.demand import TapDraw


class TestYear:
    @pytest.mark.parametrize("helper", ["PV", "upper element", "second tank"])
    def test_the_year_closes(self, helper: str) -> None:
        text = {"PV": ALONE, "upper element": RIDGE, "second tank": TWO}[helper]
        work, heated, helpers = driven(text)
        if helper == "second tank":
            assert helpers.second is not None
            year = run_two_tanks(work, helpers.second, heated)
        else:
            year = run_year(work, heated, grid=helpers.grid)
        assert year.run.balance_error < 1e-10
        found = tank_of(text).households[-1]
        assert found.heated_by == helper
        sums = found.year
        # What the months say was lost is the balance's rest; the tank added it up by itself.
        assert sums.heat_lost == pytest.approx(sum(year.run.losses), rel=1e-8)
        assert sums.days == 365
        if helper != "second tank":
            # Each month loses by its mean temperature, whatever it stores.
            mean = np.append(year.run.mean_temperature[-1], year.run.mean_temperature)
            loss = LOSS * ((mean[1:] + mean[:-1]) / 2 - ROOM) * heated.fine.step
            ends = np.cumsum(heated.fine.step) / 3600
            for month in found.months:
                of_month = heated.plane.hours.month[np.ceil(ends - 1e-6).astype(int) - 1]
                own = float(loss[of_month == month.month].sum())
                assert month.heat_lost == pytest.approx(own, rel=0.02, abs=0.03 * KWH)
        stored = sums.pv_heat + sums.grid_heat - sums.heat_lost - sums.heat_delivered
        # It ends as it began: to SETTLED of the tank's temperature.
        assert abs(stored) < 2 * 0.2 * VOLUME * BY_VOLUME
        wanted = 365 * 55 * GALLON * BY_VOLUME * (TAP - COLD)
        assert sums.heat_wanted == pytest.approx(wanted, rel=1e-9)
        assert sums.tap_volume + sums.short_volume == pytest.approx(365 * 55 * GALLON)

    def test_the_grids_element_makes_up_what_is_short(self) -> None:
        alone, helped = tank_of(RIDGE).households
        assert helped.year.heat_delivered > 0.995 * helped.year.heat_wanted
        for each in helped.months:
            assert each.evenings_hot == each.days
        extra = helped.year.heat_delivered - alone.year.heat_delivered
        # Beyond that, no more than what a tank at 150 degF would lose, and no less than nothing.
        beyond = helped.year.grid_heat - extra - (alone.year.pv_heat - helped.year.pv_heat)
        assert 0 <= beyond <= LOSS * (HOT - ROOM) * 365 * DAY

    def test_without_sun_the_grid_does_it_all(self) -> None:
        dark = 'shading = "' + ", ".join(["0"] * 12) + ' %"\n'
        text = edited(RIDGE, ("[sun]\n", "[sun]\n" + dark))
        alone, helped = tank_of(text).households
        assert alone.year.pv_heat == 0.0
        # The tank is warmed by the room alone, up to that.
        assert 0 < alone.year.heat_delivered < LOSS * (ROOM - COLD) * 365 * DAY
        year = helped.year
        assert year.grid_heat == pytest.approx(year.heat_delivered + year.heat_lost, rel=1e-4)
        # Three tenths of the tank are kept between 111 and 120 degF.
        upper = 0.3 * LOSS * ((120 - 32) / 1.8 - ROOM) * 365 * DAY
        assert 0.5 * upper < year.heat_lost < LOSS / 0.3 * upper

    def test_months_are_the_means_of_the_household(self) -> None:
        tank = tank_of(RIDGE)
        for mean, month in zip(tank.months, tank.households[0].months, strict=True):
            assert mean.accepted_energy * month.days == pytest.approx(month.pv_heat)
            assert mean.heat_delivered * month.days == pytest.approx(month.heat_delivered)
            assert mean.accepted_energy <= mean.element_energy * (1 + 1e-12)

    def test_a_second_tank_takes_from_the_grid_what_the_first_leaves(self) -> None:
        alone, last = tank_of(TWO).households
        assert last.heated_by == "second tank"
        assert last.year.evenings_hot == 365
        # Its own thermostat has warmed it again by the evening, to 130 degF less its 9 at least.
        assert last.year.evenings_at_setpoint == 365
        assert last.year.heat_delivered == pytest.approx(last.year.heat_wanted, rel=1e-6)
        held = 1.2 * ((130 - 32) / 1.8 - ROOM) * 365 * DAY
        first = last.year.pv_heat - LOSS * (HOT - ROOM) * 365 * DAY
        assert last.year.grid_heat < last.year.heat_wanted + held - max(0.0, first)
        grid = last.year.heat_wanted + last.year.heat_lost - last.year.pv_heat
        assert last.year.grid_heat == pytest.approx(grid, rel=2e-3)
        # The second tank stands between 121 and 130 degF, closed form of its mean loss.
        second = last.year.heat_lost - alone.year.heat_lost
        assert second == pytest.approx(held, rel=0.12)

    def test_by_the_hour_and_along_the_draws_agree(self) -> None:
        for text in (ALONE, RIDGE):
            work, heated, helpers = driven(text)
            fine = run_year(work, heated, grid=helpers.grid).run
            coarse = run_hours(work, heated, grid=helpers.grid).run
            assert coarse.energy_in == pytest.approx(fine.energy_in, rel=0.01)
            assert coarse.energy_grid == pytest.approx(fine.energy_grid, rel=0.03)
            assert coarse.passed[-1] == pytest.approx(fine.passed[-1], rel=0.015)


class TestElementsAndWall:
    def test_half_the_insulation_doubles_the_loss(self) -> None:
        told = 'heat_loss = "1.5 W/K"'
        losses = [
            tank_of(edited(RIDGE, (told, f'insulation = "{value} ft2*degF*h/Btu"'))).heat_loss
            for value in (16, 8)
        ]
        assert losses[1] == pytest.approx(2 * losses[0], rel=1e-12)

    def test_two_elements_in_parallel_and_in_series(self) -> None:
        told = 'position = "lower"\nrated_power = "4500 W"\nrated_voltage = "240 V"'
        one = tank_of(RIDGE)
        parallel = tank_of(edited(RIDGE, (told, told + "\ncount = 2")))
        series = tank_of(edited(RIDGE, (told, told + '\ncount = 2\nwired = "series"')))
        assert one.element_resistance == pytest.approx(12.8)
        assert parallel.element_resistance == pytest.approx(6.4)
        assert series.element_resistance == pytest.approx(25.6)
        assert (parallel.rated_power, parallel.rated_voltage) == (9000, 240)
        assert (series.rated_power, series.rated_voltage) == (9000, 480)
        single = tank_of(edited(RIDGE, (told, told.replace("4500 W", "9000 W"))))
        assert single.households == parallel.households

    def test_resistance_of_warm_wire(self) -> None:
        told = 'position = "lower"\nrated_power = "4500 W"\nrated_voltage = "240 V"'
        warm = tank_of(edited(RIDGE, (told, told + '\ntemperature_coefficient = "0.1 %/K"')))
        # In water half way between cold and the setpoint, against 20 degC.
        expected = 12.8 * (1 + 0.001 * ((COLD + HOT) / 2 - 20))
        assert warm.element_resistance == pytest.approx(expected)


def test_a_search_by_the_hour_is_set_right_by_the_fine_run() -> None:
    # By the hour it seems enough at nine thirteenths of the draw, truly it is at six tenths.
    def fine(part: float) -> float:
        return 0.6 - part

    part = _largest_part(fine, lambda part: 0.9 - 1.3 * part, fine(1.0), 0.002)
    assert 0.59 < part <= 0.6
    tried: list[float] = []  # where both tell the same, once

    def told(part: float) -> float:
        tried.append(part)
        return fine(part)

    found = _largest_part(told, fine, fine(1.0), 0.002)
    assert tried == [found]
    assert found == pytest.approx(0.598, abs=0.003)
    assert _largest_part(lambda part: -part, lambda part: 0.2 - part, -1.0, 0.002) is None


@pytest.mark.parametrize("downstream", [True, False])
@pytest.mark.parametrize(
    ("needed", "above"), [(0.0, 1.0), (57.5, 4.0), (70.0, 14.0), (70.1, None)]
)
def test_the_grids_thermostat_is_tried_above_tap_and_its_own_play(
    monkeypatch: pytest.MonkeyPatch, downstream: bool, needed: float, above: float | None
) -> None:
    """A tap of 50 degC and a play of 6 K: the first of 57, 60, 64 and 70 degC with enough hot
    evenings. The steps of 1, 4, 8 and 14 K are our choice, entered twice."""
    work: Any = SimpleNamespace(tap=50.0, differential=6.0)
    heated: Any = SimpleNamespace(days=10)
    tank: Any = None
    second = SecondTank(tank, 3000.0, 45.0) if downstream else None

    def evenings(_: Any, thermostat: float) -> Any:
        return SimpleNamespace(hot=np.arange(10) < (9 if thermostat >= needed else 8))

    monkeypatch.setattr(household, "run_two_tanks", lambda _, tank, __: tank.thermostat)
    monkeypatch.setattr(household, "run_year", lambda *_, grid: grid.thermostat)
    monkeypatch.setattr(household, "_by_hour", lambda *_, **__: None)
    monkeypatch.setattr(household, "_other_evenings", lambda *_: ())
    monkeypatch.setattr(household, "evening_of_days", evenings)
    found = household._evening_thermostat(work, heated, AuxiliaryHeat(None, second), 0.9)
    assert found == (None if above is None else 50.0 + 6.0 + above)


def test_the_evening_of_each_day() -> None:
    """Half hours of three days, the evening's draw from 23:30 to half past midnight: on the second
    day its first half comes cold, on the third a trifle of the other, where the year begins."""
    steps = np.repeat(1800.0, 144)
    short, delivered = np.zeros(144), np.zeros(144)
    delivered[47::48], delivered[0::48] = 7.0, 5.0
    short[95], short[0] = 1.0, 1e-12
    run = SimpleNamespace(short_power=short, delivered_power=delivered)
    heated: Any = SimpleNamespace(
        fine=SimpleNamespace(step=steps), days=3, draws=(TapDraw(84_600.0, 3600.0, 0.05),)
    )
    year: Any = SimpleNamespace(run=run, top_temperature=np.arange(144.0), start_top=-1.0)
    found = evening_of_days(heated, year)
    assert found.hot.tolist() == [True, False, True]
    # The step before it is the last that is over when it begins.
    assert found.before.tolist() == [46.0, 94.0, 142.0]
    short[0] = 1.0
    assert evening_of_days(heated, year).hot.tolist() == [True, False, False]
    heated.draws = (TapDraw(0.0, 1800.0, 0.05),)
    assert evening_of_days(heated, year).before.tolist() == [-1.0, 47.0, 95.0]


def test_draws_are_as_large_as_the_smaller_of_two_tanks_bears(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Twelve tanks of 50 L a day: six times a tenth of a layer. Of 200 L alone it is three tanks,
    0.15, and by the hour no less than 0.46. A part of the draws mixes as the whole does."""
    asked: list[tuple[float, float]] = []

    def settled(work: Any, *given: Any) -> None:
        asked.append((work.largest_shift, given[-3]))

    def with_new(of: Any, **new: Any) -> Any:
        return of and SimpleNamespace(**vars(of) | new)

    monkeypatch.setattr(heat_year, "_settled", settled)
    monkeypatch.setattr(heat_year, "_settled_before", lambda *of: settled(*of, None))
    monkeypatch.setattr(heat_year, "replace", with_new)
    large, small = (SimpleNamespace(volume=volume) for volume in (0.2, 0.05))
    steps = SimpleNamespace(heater_power=None, tap_draw=8.0, step=None)
    heated: Any = SimpleNamespace(daily_draw=0.6, fine=steps, power=np.zeros(2), hourly=9.0)
    for first, last in ((large, small), (small, large)):
        work: Any = SimpleNamespace(tank=first)
        second: Any = SimpleNamespace(tank=last)
        run_two_tanks(work, second, heated)
        run_hours(work, heated, second=second)
    work = SimpleNamespace(tank=large)
    run_year(work, heated)
    run_year(work, heated, 0.5)
    run_hours(work, heated)
    run_hours(work, heated, 0.5)
    both = [(0.6, 8.0), (0.6, 9.0)]
    alone = [(0.15, 8.0), (0.15, 4.0), (0.46, 9.0), (0.46, 4.5)]
    np.testing.assert_allclose(asked, [*both, *both, *alone])


def test_evenings_of_other_years_by_as_many_as_coarse_runs_differ(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Seven of ten along the draws, five of ten by the hour; of two other years seven and two."""
    work: Any = None
    heated: Any = SimpleNamespace(days=10, other_powers=("a", "b"))
    year: Any = SimpleNamespace(hot=np.arange(10) < 7)
    counts = {(1.0, 0): 5, (1.0, 1): 7, (1.0, 2): 2, (0.5, 0): 1, (0.5, 1): 5, (0.5, 2): 0}
    monkeypatch.setattr(household, "evening_of_days", lambda _, year: year)
    monkeypatch.setattr(household, "_hot_by_hour", lambda *of: counts[of[-1]])
    by_hour: Any = lambda part, number: (part, number)  # noqa: E731
    assert household._other_evenings(work, heated, year, by_hour) == (9, 4)
    assert household._other_evenings(work, heated, year, by_hour, 0.5) == (10, 6)
    counts[1.0, 2] = -3
    assert household._other_evenings(work, heated, year, by_hour) == (9, 0)
    year.hot = np.full(10, True)
    assert household._other_evenings(work, heated, year, by_hour) == (10, 10)


@pytest.mark.parametrize(
    ("helps", "aim", "hot", "found"),
    [
        ("", 0.7, 7, (None, None)), ("", 0.71, 7, (0.07, 60.0)), ("", None, 7, (None, None)),
        ("grid", 0.9, 9, (None, None)), ("grid", 0.91, 9, (0.07, 60.0)),
        # No smaller draw is looked for where a second tank follows.
        ("second", 0.91, 9, (None, 60.0)), ("grid second", 0.91, 9, (None, 60.0)),
    ],
)  # fmt: skip
def test_what_the_last_of_the_helpers_leaves_to_be_bettered(
    monkeypatch: pytest.MonkeyPatch, helps: str, aim: float | None, hot: int,
    found: tuple[float | None, float | None],
) -> None:  # fmt: skip
    """A thermostat of 65 degC and one of 55 downstream close 5 K below. The modules alone make
    seven of ten evenings hot, the last helper nine and those before it all."""
    closed: dict[str, float] = {}

    def in_year(_: Any, __: Any, by: str, closes: float, ___: Any) -> Any:
        closed[by] = closes
        fewest = hot if len(closed) == 1 + len(helps.split()) else 10
        return SimpleNamespace(fewest_evenings=fewest, year=SimpleNamespace(days=10))

    for name in ("run_year", "run_two_tanks", "_by_hour", "_other_evenings", "heat_months"):
        monkeypatch.setattr(household, name, lambda *_, **__: ())
    monkeypatch.setattr(household, "pv_share", lambda *_: 0.5)
    monkeypatch.setattr(household, "household_year", in_year)
    monkeypatch.setattr(household, "_evening_draw", lambda *_: 0.07)
    monkeypatch.setattr(household, "_evening_thermostat", lambda *_: 60.0)
    work: Any = SimpleNamespace(setpoint=65.0, differential=5.0)
    none: Any = None
    grid: Any = object() if "grid" in helps else None
    second: Any = SimpleNamespace(thermostat=55.0) if "second" in helps else None
    alone = household._of_year(work, none, none, none)
    made = household._with_auxiliary(work, none, AuxiliaryHeat(grid, second), aim, lambda: alone)
    closes = {"PV": 60.0, "upper element": 60.0, "second tank": 50.0}
    assert closed == {by: closes[by] for by in closed}
    assert len(made.households) == len(closed) == 1 + len(helps.split())
    assert (made.evening_draw, made.evening_thermostat) == found
