"""A tank alone, cooling and heating, against the exponential."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from tests.site_texts import EXAMPLES
from tests.studies.heat.ridge_tank import (
    ALONE,
    BY_VOLUME,
    COLD,
    DAY,
    GALLON,
    HOT,
    LOSS,
    RIDGE,
    ROOM,
    TAP,
    VOLUME,
    edited,
    studied,
    tank_of,
    verdict_of,
)
from wellsolar.studies.heat import days
from wellsolar.studies.sun.days import STEP


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


def test_a_top_that_rounding_leaves_below_its_limit_is_at_it() -> None:
    """The third step's top is a tenth of a millionth of a kelvin short of 60 degC."""
    tops = np.array([50.0, 50.0, 60.0 - 1e-7, 61.0])
    assert days._days_until(60.0, tops) == pytest.approx(3 * STEP / 86_400)
    assert days._days_until(61.1, tops) is None
