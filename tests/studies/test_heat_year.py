"""The household's year of a PV-heated tank against arithmetic of the test's own.

The tank of the test is a second program for the same physics: ten layers stepped minute by
minute, explicit, its layers mixed by repeated averaging. Where a closed form exists it stands in
its place.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from wellsolar.data import hot_water_tables
from wellsolar.results import HouseholdYear, Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.studies.heat import study as heated_tank
from wellsolar.studies.heat.household import Helpers, _largest_part
from wellsolar.studies.heat.year import HeatedYear, run_hours, run_two_tanks, run_year
from wellsolar.studies.house.draws import draws_of_day, evening_draw
from wellsolar.verdicts import Verdict

EXAMPLES = Path(__file__).parents[2] / "examples"
RIDGE = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")
GALLON, DAY, KWH = 3.785411784e-3, 86_400.0, 3.6e6
COLD, HOT, ROOM, TAP = ((each - 32) / 1.8 for each in (55, 150, 65, 110))
VOLUME, LOSS = 50 * GALLON, 1.5
BY_VOLUME = 988.0 * 4181.0
"""Heat capacity of a volume of water at 50 degC: density and specific heat of a water table."""

UPPER = RIDGE[RIDGE.index('[[water_heater.element]]\nposition = "upper"') :].split(
    "[water_heater.draw]"
)[0]
SECOND = """[water_heater.second_tank]
volume = "40 gal"
heat_loss = "1.2 W/K"
rated_power = "4500 W"
thermostat = "130 degF"

"""


def edited(text: str, *changes: tuple[str, str]) -> str:
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the file"
        text = text.replace(old, new)
    return text


@cache
def studied(text: str) -> Results:
    return study_site(parse_site(text), ("heat",))


def tank_of(text: str) -> Any:
    return studied(text).heated_tank


def verdict_of(text: str, rule: str) -> Verdict:
    (found,) = [each for each in studied(text).verdicts if each.rule.key == rule]
    return found


@cache
def driven(text: str) -> tuple[Any, HeatedYear, Helpers]:
    """The tank, what drives it and what helps it, as the study puts them together."""
    held: list[Any] = []
    real = heated_tank.household_beside
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(
            heated_tank, "household_beside", lambda *each: (held.extend(each), real(*each))[1]
        )
        study_site(parse_site(text), ("heat",))
    work, heated, helpers = held
    return work, heated, helpers


ALONE = RIDGE.replace(UPPER, "")
TWO = edited(ALONE, ("[water_heater.draw]\n", SECOND + "[water_heater.draw]\n"))


class TestDraws:
    def test_a_pattern_keeps_its_hours_and_is_scaled_to_the_day(self) -> None:
        # 10 CFR 430 Subpart B App. E, medium: 15 of 55 gal first, at 1.7 gpm, the last of 7 gal
        # 17 hours later; the first draw is set to 6:00.
        site = parse_site(RIDGE).site
        draws = draws_of_day(site.water_heater.draw, 0.1)
        assert len(draws) == 12
        assert sum(draw.volume for draw in draws) == pytest.approx(0.1, rel=1e-12)
        assert draws[0].start == 6 * 3600
        assert draws[0].volume == pytest.approx(0.1 * 15 / 55)
        assert draws[0].duration == pytest.approx(15 / 1.7 * 60)
        assert draws[-1].start == 23 * 3600
        assert evening_draw(draws).start == 17.5 * 3600
        assert evening_draw(draws).volume == pytest.approx(0.1 * 5 / 55)

    def test_the_hours_of_the_coarse_runs_hold_the_same_water(self) -> None:
        _, heated, _ = driven(RIDGE)
        table = hot_water_tables.hourly_draw("medium", 55 * GALLON, 3600.0)
        np.testing.assert_allclose(heated.hourly[:24], table, rtol=1e-4)
        assert heated.fine.tap_draw.sum() == pytest.approx(365 * 55 * GALLON, rel=1e-12)

    def test_a_list_of_a_patterns_draws_gives_what_the_pattern_gives(self) -> None:
        clock = "6, 6.5, 7.66667, 16.5, 17.5, 18, 18.75, 18.83333, 22, 22.25, 22.75, 23 h"
        volumes = "15, 2, 9, 9, 5, 1, 1, 1, 1, 2, 2, 7 gal"
        told = f'times = "{clock}"\nvolumes = "{volumes}"'
        listed = tank_of(edited(RIDGE, ('volume = "55 gal"\ntemperature', f"{told}\ntemperature")))
        pattern = tank_of(RIDGE)
        assert listed.draw_volume == pytest.approx(55 * GALLON)
        for mine, other in zip(listed.months, pattern.months, strict=True):
            # Single gallons run at 1.7 gpm in the list and at 1 gpm in the pattern.
            assert mine.heat_delivered == pytest.approx(other.heat_delivered, rel=2e-3)
        assert listed.households[0].evening == 17.5 * 3600

    def test_a_draw_over_midnight_keeps_its_water(self) -> None:
        told = 'times = "23.9 h"\nvolumes = "40 gal"'
        text = edited(RIDGE, ('volume = "55 gal"\ntemperature', f"{told}\ntemperature"))
        year = tank_of(text).households[0].year
        assert year.tap_volume + year.short_volume == pytest.approx(365 * 40 * GALLON, rel=1e-9)
        # 40 gal at 1.7 gpm: 23.5 minutes, of which 6 before midnight.
        _, heated, _ = driven(text)
        assert heated.hourly[23] == pytest.approx(40 * GALLON * 6 * 1.7 / 40, rel=1e-4)
        assert heated.hourly[0] == pytest.approx(40 * GALLON * (1 - 6 * 1.7 / 40), rel=1e-4)
        assert tank_of(text).households[0].evening == pytest.approx(23.9 * 3600)

    def test_people_in_place_of_a_draw(self) -> None:
        text = RIDGE.replace('volume = "55 gal"\ntemperature', "temperature")
        people = parse_site(text).site.site.people
        assert people is not None
        # 20 gal a day for each of two, 15 for each more.
        expected = (20 * min(people, 2) + 15 * max(people - 2, 0)) * GALLON
        assert tank_of(text).draw_volume == pytest.approx(expected)


def settled(nodes: np.ndarray[Any, Any]) -> None:
    """Average the whole of any run of layers in which a lower one is warmer, until none is."""
    while True:
        falls = np.flatnonzero(np.diff(nodes) < -1e-9)
        if not falls.size:
            return
        low = high = int(falls[0])
        while high + 1 < nodes.size and nodes[high + 1] < nodes[low : high + 1].mean():
            high += 1
        nodes[low : high + 1] = nodes[low : high + 1].mean()
        if low and nodes[low - 1] > nodes[low]:
            nodes[low - 1 : high + 1] = nodes[low - 1 : high + 1].mean()


def minutes_of(
    power: np.ndarray[Any, Any],
    draws: list[tuple[float, float, float]],
    start: float,
    grid: tuple[float, float] | None = None,
) -> Iterator[tuple[int, float, float, float, float, float]]:
    """Ten layers through hours of power [W] and draws a day (start s, duration s, volume m3).

    Gives for each minute: its number, PV heat, grid heat, heat drawn and heat missing [J], top.
    """
    nodes = np.full(10, start)
    layer = VOLUME / 10
    heat = layer * BY_VOLUME
    height = 2.5 * (4 * VOLUME / (math.pi * 2.5)) ** (1 / 3) / 10
    conduction = 1.5 / (BY_VOLUME * height**2) * 60
    on = grid_on = True
    for minute in range(power.size * 60):
        clock = (minute % 1440) * 60.0
        wanted = sum(
            volume * 60 / duration * max(0.0, min(1.0, (begin + duration - clock) / 60,
                                                 (clock + 60 - begin) / 60))
            for begin, duration, volume in draws
        )  # fmt: skip
        nodes -= LOSS / 10 * (nodes - ROOM) * 60 / heat
        flow = conduction * np.diff(nodes)
        nodes[:-1] += flow
        nodes[1:] -= flow
        on = nodes[1] < (HOT if on else HOT - 5)
        taken = power[minute // 60] * 60 if on else 0.0
        nodes[1] += taken / heat
        settled(nodes)
        warmed = 0.0
        if grid is not None:
            grid_on = nodes[7] < (grid[1] if grid_on else grid[1] - 5)
            warmed = grid[0] * 60 if grid_on else 0.0
            nodes[7] += warmed / heat
            settled(nodes)
        drawn = missing = 0.0
        left = wanted
        while left > 1e-12:
            piece = min(left, 0.1 * layer)
            top = nodes[-1]
            share = 1.0 if top <= TAP else (TAP - COLD) / (top - COLD)
            drawn += piece * share * BY_VOLUME * (top - COLD)
            missing += piece * BY_VOLUME * max(0.0, TAP - COLD - share * (top - COLD))
            moved = piece * share / layer
            nodes += moved * (np.append(COLD, nodes[:-1]) - nodes)
            left -= piece
        yield minute, taken, warmed, drawn, missing, float(nodes[-1])


MEDIUM = [
    (0.0, 15, 1.7), (0.5, 2, 1), (1 + 2 / 3, 9, 1.7), (10.5, 9, 1.7), (11.5, 5, 1.7), (12, 1, 1),
    (12.75, 1, 1), (12 + 5 / 6, 1, 1), (16, 1, 1), (16.25, 2, 1), (16.75, 2, 1.7), (17, 7, 1.7),
]  # fmt: skip
"""10 CFR 430 Subpart B App. E Table III.3 (draw lines from memory): hours after the first, gal,
gpm."""


@pytest.mark.parametrize("with_grid", [False, True])
def test_spring_minute_by_minute(with_grid: bool) -> None:
    """PV heat, grid heat, heat drawn, heat missing and evenings of 46 days from 16 March."""
    work, heated, helpers = driven(RIDGE)
    first, count = 74, 46
    draws = [
        ((6 + hour) * 3600, gallons / flow * 60, gallons * GALLON)
        for hour, gallons, flow in MEDIUM
    ]
    assert helpers.grid is not None
    grid = helpers.grid if with_grid else None
    year = run_year(work, heated, grid=grid)
    steps = heated.fine
    ends = np.cumsum(steps.step)
    before = int(np.searchsorted(ends, first * DAY - 1))
    inside = slice(before + 1, int(np.searchsorted(ends, (first + count) * DAY - 1)) + 1)
    power = heated.power[first * 24 : (first + count) * 24]
    mine, hot_volume = np.zeros(4), 0.0
    evening_missing = np.zeros(count)
    # 120 degF of the upper element in the file.
    own_grid = (4500.0, (120 - 32) / 1.8) if with_grid else None
    start = float(year.run.mean_temperature[before])
    for minute, *parts, _ in minutes_of(power, draws, start, own_grid):
        mine += parts
        in_april = 16 <= minute // 1440 < 46
        if in_april and parts[3] <= 1e-9 * parts[2]:
            hot_volume += parts[2] / (BY_VOLUME * (TAP - COLD))
        if 17.5 * 60 <= minute % 1440 < 17.5 * 60 + 3:
            evening_missing[minute // 1440] += parts[3]
    ours = [
        float((series * steps.step)[inside].sum())
        for series in (
            year.run.accepted_power, year.run.grid_power, year.run.delivered_power,
            year.run.short_power,
        )
    ]  # fmt: skip
    # The start is the same mean but mixed; minutes against steps along the draws.
    for own, found in zip(mine, ours, strict=True):
        assert found == pytest.approx(own, rel=0.01, abs=0.004 * mine[2])
    household = tank_of(RIDGE).households[1 if with_grid else 0]
    april = household.months[3]
    hot = int((evening_missing[16:46] < 1e-3 * 5 * GALLON * BY_VOLUME * (TAP - COLD)).sum())
    assert abs(april.evenings_hot - hot) <= 2
    assert april.tap_volume == pytest.approx(hot_volume, abs=0.01 * 30 * 55 * GALLON)


class TestYear:
    @pytest.mark.parametrize("helper", ["PV", "upper element", "second tank"])
    def test_the_year_closes(self, helper: str) -> None:
        text = {"PV": ALONE, "upper element": RIDGE, "second tank": TWO}[helper]
        work, heated, helpers = driven(text)
        if helper == "second tank":
            assert helpers.second is not None
            year: Any = run_two_tanks(work, helpers.second, heated)
            lost = year.run.energy_lost + year.run.second_energy_lost
        else:
            year = run_year(work, heated, grid=helpers.grid)
            lost = year.run.energy_lost
        assert year.run.balance_error < 1e-10
        found = tank_of(text).households[-1]
        assert found.heated_by == helper
        sums = found.year
        # What the months say was lost is the balance's rest; the tank added it up by itself.
        assert sums.heat_lost == pytest.approx(lost, rel=1e-8)
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
            assert coarse.energy_delivered == pytest.approx(fine.energy_delivered, rel=0.015)


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


class TestTankAlone:
    def test_a_week_without_sun_and_household_cools_exponentially(self) -> None:
        for day in tank_of(RIDGE).dark_days:
            left = math.exp(-LOSS * day.day * DAY / (VOLUME * BY_VOLUME))
            expected = ROOM + (HOT - ROOM) * left
            assert day.idle_temperature == pytest.approx(expected, abs=1e-6)
            water = VOLUME * (expected - COLD) / (TAP - COLD) if expected >= TAP else 0.0
            assert day.idle_tap_volume == pytest.approx(water, rel=1e-6)

    def test_the_household_uses_up_what_there_is(self) -> None:
        # 86 gal at 110 degF are in a full tank at 150 degF: enough for one day of 55 gal, and
        # not for two. Mixing takes some of it.
        days = tank_of(RIDGE).dark_days
        full = 50 * (150 - 55) / (110 - 55)
        assert 0 < days[0].tap_volume < (full - 55) * GALLON
        assert all(day.tap_volume == 0 for day in days[1:])
        assert days[-1].top_temperature < ROOM
        # Of the heat above cold water the household takes 55 of 86 parts, the wall less than it
        # takes of a tank that stays full, and more than a third of that.
        heat_left = (days[0].mean_temperature - COLD) / (HOT - COLD)
        idle = (HOT - days[0].idle_temperature) / (HOT - COLD)
        assert 1 - 55 / full - idle < heat_left < 1 - 55 / full - idle / 3

    def test_high_limit_with_the_thermostat_stuck(self) -> None:
        tank = tank_of(RIDGE)
        home = tank.nobody_home
        clear = next(d for d in tank.days if d.kind == "clear" and d.month == home.month)
        assert clear.element_energy == max(d.element_energy for d in tank.days)
        # A sine of that day's energy from 6 to 18 h into nine tenths of the tank, or all of it.
        limit = (170 - 32) / 1.8
        hours = [
            sine_until(clear.element_energy, HOT, limit, share * VOLUME) for share in (0.9, 1.0)
        ]
        assert hours[0] - 0.7 <= home.days_to_high_limit * 24 <= hours[1] + 0.7
        assert home.days_to_relief is not None
        assert home.days_to_relief > home.days_to_high_limit
        assert home.hottest == 100.0

    def test_a_tank_that_loses_enough_never_gets_there(self) -> None:
        text = edited(RIDGE, ('heat_loss = "1.5 W/K"', 'heat_loss = "12 W/K"'))
        home = tank_of(text).nobody_home
        assert home.days_to_high_limit is None
        assert home.days_to_relief is None
        energy = max(d.element_energy for d in tank_of(text).days)
        assert home.hottest < HOT + energy / (0.9 * VOLUME * BY_VOLUME)

    def test_starts(self) -> None:
        tank = tank_of(RIDGE)
        for day in tank.days:
            if day.kind != "clear":
                continue
            half, lukewarm, _ = day.starts
            assert half.start_temperature == pytest.approx((COLD + HOT) / 2)
            assert lukewarm.start_temperature == pytest.approx((90 - 32) / 1.8)
            energy = day.element_energy
            for start in (half, lukewarm):
                # From a warm start the whole tank is warm; a sine of the day's energy.
                sure = start.start_temperature + energy / (VOLUME * BY_VOLUME) > HOT + 4
                never = start.start_temperature + energy / (0.9 * VOLUME * BY_VOLUME) < HOT
                if never:
                    assert start.time_to_setpoint is None
                if sure:
                    hours = [
                        sine_until(energy, start.start_temperature, HOT, share * VOLUME)
                        for share in (0.9, 1.0)
                    ]
                    assert hours[0] - 0.8 <= start.time_to_setpoint / 3600 <= hours[1] + 0.8

    def test_a_warmer_start_is_never_later(self) -> None:
        south = (EXAMPLES / "south_slope.toml").read_text(encoding="utf-8")
        for day in tank_of(south).days:
            half, lukewarm, _ = (each.time_to_setpoint or math.inf for each in day.starts)
            assert half <= lukewarm <= (day.time_to_setpoint or math.inf)

    def test_without_draw_or_people_the_tank_still_cools(self) -> None:
        text = re.sub(r"people = \d+\n", "", ALONE)
        text = text.replace('volume = "55 gal"\ntemperature', "temperature")
        tank = tank_of(text)
        assert tank.households == ()
        assert len(tank.dark_days) == 7
        assert tank.dark_days[0].mean_temperature is None
        assert tank.dark_days[0].idle_temperature == pytest.approx(
            tank_of(RIDGE).dark_days[0].idle_temperature
        )
        keys = [each.rule.key for each in studied(text).verdicts]
        assert "hot water in the evening" not in keys
        assert verdict_of(text, "share from PV").status == "unknown"


def sine_until(energy: float, start: float, target: float, volume: float) -> float:
    """Hours of the clock at which a sine of power from 6 to 18 h has brought mixed water there."""
    temperature = start
    for minute in range(10 * 1440):
        hour = (minute % 1440) / 60
        power = max(0.0, math.sin(math.pi * (hour - 6) / 12)) if 6 <= hour <= 18 else 0.0
        watts = power * energy * math.pi / (2 * 12 * 3600)
        temperature += (watts - LOSS * (temperature - ROOM)) * 60 / (volume * BY_VOLUME)
        if temperature >= target:
            return minute / 60
    return math.inf


def test_a_search_by_the_hour_is_set_right_by_the_fine_run() -> None:
    # By the hour it seems enough at nine thirteenths of the draw, truly it is at six tenths.
    def fine(part: float) -> float:
        return 0.6 - part

    part = _largest_part(fine, lambda part: 0.9 - 1.3 * part, fine(1.0), 0.002)
    assert part is not None
    assert 0.59 < part <= 0.6
    assert _largest_part(lambda part: -part, lambda part: 0.2 - part, -1.0, 0.002) is None


class TestEveningRemedies:
    RULE = "hot water in the evening"

    def printed(self, text: str, pattern: str, system: str = "US") -> str:
        remedy = verdict_of(text, self.RULE).remedy
        assert remedy is not None
        found = re.search(pattern, remedy.text(system))
        assert found, remedy.text(system)
        return found[1]

    @pytest.mark.parametrize("system", ["US", "SI"])
    def test_an_upper_element_or_less_water(self, system: str) -> None:
        assert verdict_of(ALONE, self.RULE).status == "caution"
        warm = self.printed(ALONE, r"thermostat at ([\d.]+) °", system)
        power = self.printed(ALONE, r"element of ([\d.]+ W)", system)
        unit = "degF" if system == "US" else "degC"
        upper = UPPER.replace("120 degF", f"{warm} {unit}").replace("4500 W", power)
        mended = edited(ALONE, ("[water_heater.draw]\n", upper + "[water_heater.draw]\n"))
        assert verdict_of(mended, self.RULE).status == "pass"
        water = self.printed(ALONE, r"no more than ([\d.]+ (?:gal|L)) a day", system)
        less = edited(
            ALONE, ('volume = "55 gal"\ntemperature', f'volume = "{water}"\ntemperature')
        )
        assert verdict_of(less, self.RULE).status == "pass"

    def test_a_cool_thermostat_on_the_grid(self) -> None:
        text = edited(RIDGE, ('thermostat = "120 degF"', 'thermostat = "100 degF"'))
        assert verdict_of(text, self.RULE).status == "caution"
        warm = self.printed(text, r"of the upper element to ([\d.]+) °F")
        mended = text.replace('"100 degF"', f'"{warm} degF"')
        assert verdict_of(mended, self.RULE).status == "pass"

    def test_a_cool_second_tank(self) -> None:
        text = edited(TWO, ('thermostat = "130 degF"', 'thermostat = "95 degF"'))
        assert verdict_of(text, self.RULE).status == "caution"
        warm = self.printed(text, r"of the second tank to ([\d.]+) °F")
        mended = text.replace('"95 degF"', f'"{warm} degF"')
        assert verdict_of(mended, self.RULE).status == "pass"

    def test_it_counts_the_house_as_it_stands(self) -> None:
        verdict = verdict_of(RIDGE, self.RULE)
        year: HouseholdYear = tank_of(RIDGE).households[-1]
        assert verdict.status == "pass"
        assert verdict.quantity == year.year.evenings_hot
        assert verdict.limit == 292  # four days in five of 365
