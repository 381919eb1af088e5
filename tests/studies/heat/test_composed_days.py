"""Single days of a tank that its element stirs through: its temperature is then an exponential in
each step, and every number of those days follows from it."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from types import SimpleNamespace
from typing import Any
from unittest import mock

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.studies.heat.ridge_tank import BY_VOLUME, COLD, DAY, HOT, LOSS, RIDGE, ROOM, VOLUME
from wellsolar.results.heat import HeatDay
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.heat import days as heat_of_days
from wellsolar.studies.heat import one_day
from wellsolar.studies.heat.days import ArrayDay, TankInSun, heat_days, nobody_home
from wellsolar.studies.heat.tank import TankAtWork, work_of

STEP, STEPS = 1200.0, 72
WARM = (90 - 32) / 1.8
MONTHS = range(1, 13)


def power_of(month: int) -> np.ndarray:
    """A sine from 6 to 18 h, the stronger the later the month [W]."""
    hour = (np.arange(STEPS) + 0.5) / 3
    sine = np.sin(np.pi * (hour - 6) / 12)
    return np.where((hour > 6) & (hour < 18), sine, 0.0) * 137.0 * month


def through(power: np.ndarray, start: float) -> np.ndarray:
    """Temperatures after each step."""
    kept, found, now = math.exp(-LOSS * STEP / (VOLUME * BY_VOLUME)), [], start
    for watts in power:
        settles = ROOM + watts / LOSS
        now = settles + (now - settles) * kept
        found.append(now)
    return np.array(found)


def reached(power: np.ndarray, start: float, limit: float) -> float | None:
    """When a temperature is reached [s]; None where it is not."""
    before = start
    for step, after in enumerate(through(power, start)):
        if after >= limit:
            settles = ROOM + power[step] / LOSS
            part = math.log((before - settles) / (limit - settles))
            return step * STEP + part * VOLUME * BY_VOLUME / LOSS
        before = after
    return None


def told(time: float) -> object:
    """The end of the step in which it is, give or take what the loss in one step moves."""
    return pytest.approx(time + STEP / 2, abs=0.55 * STEP)


@cache
def tank() -> tuple[TankAtWork, TankInSun]:
    site = parse_site(RIDGE).site
    work = work_of(site, site.water_heater, site.water_heater.element[0])
    work = replace(work, tank=replace(work.tank, element_height=0.0))
    # Of the array nothing: all of the power comes as that of further ones does.
    dark = np.zeros(power_of(1).size)
    sun: Any = SimpleNamespace(plane_total=1.0, effective_irradiance=dark, cell_temperature=dark)
    circuit: Any = SimpleNamespace(
        through=lambda sun: 0.0,
        power=lambda light, cells: 0.0 * light,
        maximum_power=lambda light, cells: 7.0 + 0.0 * light,
    )
    days = [ArrayDay(sun, power_of(month)) for month in MONTHS]
    # The brightest day is not the last one.
    bare = [ArrayDay(sun, power_of(13 - month)) for month in MONTHS]
    return work, TankInSun(work, circuit, tuple({"clear": each} for each in days), tuple(bare))


@cache
def found() -> tuple[HeatDay, ...]:
    return heat_days(tank()[1])


@pytest.mark.parametrize("month", MONTHS)
def test_a_day_from_cold(month: int) -> None:
    day, power = found()[month - 1], power_of(month)
    assert (day.month, day.kind) == (month, "clear")
    assert day.element_energy == pytest.approx(power.sum() * STEP)
    assert day.maximum_energy == pytest.approx((power.sum() + 7.0 * STEPS) * STEP)
    assert day.peak_power == pytest.approx(power.max())
    cold = through(power, COLD)
    time = reached(power, COLD, HOT)
    if time is None:
        assert day.time_to_setpoint is None
        assert day.end_temperature == pytest.approx(cold[-1], abs=1e-3)
        return
    assert day.time_to_setpoint == told(time)
    assert day.days_to_setpoint == 1
    assert day.start_for_one_day == pytest.approx(COLD)


@pytest.mark.parametrize("month", MONTHS)
def test_the_day_on_which_it_is_hot(month: int) -> None:
    """A day whose end lies a fiftieth of a kelvin above the last is the last that is looked at."""
    power, now, number = power_of(month), COLD, 0
    while True:
        run, number = through(power, now), number + 1
        if run.max() >= HOT:
            break
        if number > 1 and run[-1] - now < 0.02:
            number = 0
            break
        now = run[-1]
    assert (found()[month - 1].days_to_setpoint or 0) == number


@pytest.mark.parametrize("month", MONTHS)
def test_warmer_starts(month: int) -> None:
    day, power = found()[month - 1], power_of(month)
    starts = {each.start: each for each in day.starts}
    temperatures = {"half way": (COLD + HOT) / 2, "lukewarm": WARM,
                    "the day before": through(power, COLD)[-1]}  # fmt: skip
    if day.time_to_setpoint is not None:
        del temperatures["the day before"]  # a tank that its thermostat held
    for name, start in temperatures.items():
        assert starts[name].start_temperature == pytest.approx(start, abs=1e-3)
        time = reached(power, start, HOT)
        assert starts[name].time_to_setpoint == (None if time is None else told(time)), name
    if day.time_to_setpoint is None and day.start_for_one_day is not None:
        # To a tenth; a tank that is heated first and cools then is 0.11 K warmer in between.
        assert through(power, day.start_for_one_day + 0.12).max() >= HOT
        assert through(power, day.start_for_one_day - 0.11).max() < HOT
    elif day.start_for_one_day is None:
        assert through(power, HOT - 0.1).max() < HOT


def test_with_nobody_home() -> None:
    work, sun = tank()
    heater = parse_site(RIDGE).site.water_heater
    assert heater is not None
    home = nobody_home(heater, sun)
    assert home.month == 1
    sunny = np.tile(power_of(12), 60)
    for limit, days in (
        ((170 - 32) / 1.8, home.days_to_high_limit),
        ((210 - 32) / 1.8, home.days_to_relief),
    ):
        time = reached(sunny, HOT, limit)
        assert time is not None
        assert days * DAY == told(time)
    assert home.hottest == 100.0
    # With less sun the top swings below boiling.
    weak = replace(sun, brightest=tuple(ArrayDay(each.sun, each.further / 9) for each in
                                        sun.brightest))  # fmt: skip
    home = nobody_home(heater, weak)
    run = through(np.tile(power_of(12) / 9, 60), HOT)
    assert home.hottest == pytest.approx(run.max(), abs=1e-3)
    assert home.days_to_relief is None
    assert work.setpoint == pytest.approx(HOT)


def test_the_coolest_start_of_a_day_is_found_to_a_tenth_of_a_kelvin() -> None:
    """Of tanks that a day brings to their setpoint from one warmth on; what a night cools, no day
    of these brings back."""
    rng = np.random.default_rng(11)
    for setpoint in np.linspace(40.0, 80.0, 161):
        work: Any = SimpleNamespace(inlet=10.0, setpoint=setpoint)
        for least in (10.0 + 1e-9, rng.uniform(10.0, setpoint - 0.1), setpoint - 0.05):

            def reaches(_: Any, __: Any, start: float, least: float = least) -> bool:
                return start >= least

            with mock.patch.object(heat_of_days, "reaches_in_a_day", reaches):
                found = heat_of_days._start_for_one_day(work, np.zeros(1))
            if least > setpoint - 0.1:
                assert found is None
            else:
                assert least <= found <= least + 0.1


def test_the_largest_tank_that_a_day_of_the_darkest_month_heats() -> None:
    """Of the last four months September is the weakest. What such a tank, with the loss of the
    site's, comes to at its best is the setting of the thermostat."""
    power = power_of(9)

    def lacks(volume: float) -> float:
        kept, now, best = math.exp(-LOSS * STEP / (volume * BY_VOLUME)), COLD, COLD
        for watts in power:
            now = ROOM + watts / LOSS + (now - ROOM - watts / LOSS) * kept
            best = max(best, now)
        return best - HOT

    sun, days = tank()[1], found()[8:]
    volume = one_day.one_day_volume(sun, days)
    assert volume is not None
    assert volume == pytest.approx(brentq(lacks, 0.001, VOLUME), rel=2e-3)
    heated = tuple(replace(day, days_to_setpoint=1) for day in days)
    assert one_day.one_day_volume(sun, heated) is None
    typical = [replace(day, kind="typical", element_energy=0.0, month=12) for day in days[:1]]
    assert one_day.one_day_volume(sun, (*typical, *days)) == volume


def test_arrays_are_tried_from_the_smallest_on_every_element_that_is_sold(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Up to three in series and two rows. 120 V and 2 kW are 7.2 ohm, nine sixteenths of 240 V and
    4.5 kW; elements above 240 V are none of a house."""
    plates = [(2000.0, 120.0), (4500.0, 240.0), (6000.0, 480.0)]
    ratings = [SimpleNamespace(rated_power=watts, rated_voltage=volts) for watts, volts in plates]
    monkeypatch.setattr(one_day.hot_water_tables, "element_ratings", lambda: ratings)
    monkeypatch.setattr(one_day, "plate_of", lambda element: (4500.0, 240.0))
    monkeypatch.setattr(one_day, "replace", lambda circuit, **new: SimpleNamespace(**new))
    bounds = SimpleNamespace(
        breach=lambda series, parallel, rewired: None if series <= 3 else "voltage",
        asks_a_fuse=lambda parallel: parallel > 2,
    )
    monkeypatch.setattr(one_day, "limits_of", lambda *_: bounds)
    none, on, circuit = (mock.Mock(resistance=10.0) for _ in range(3))
    made = list(one_day._designs(none, on, circuit))
    layouts = [(1, 1), (2, 1), (1, 2), (3, 1), (2, 2), (3, 2)]
    assert [(each.series, each.parallel) for each, _ in made[::3]] == layouts
    assert [each.resistance for each, _ in made[:3]] == pytest.approx([10.0, 5.625, 10.0])
    assert [element.same for _, element in made[:3]] == [True, False, False]
    bounds.breach, bounds.asks_a_fuse = lambda *_, **__: None, lambda parallel: False
    most = [(each.series, each.parallel) for each, _ in one_day._designs(none, on, circuit)]
    assert max(series for series, _ in most) == one_day.MOST_SERIES
    assert max(rows for _, rows in most) == one_day.MOST_ROWS
    assert max(series * rows for series, rows in most) <= one_day.MOST_MODULES


@pytest.mark.parametrize(
    ("rise", "hot", "number"),
    [
        (1.0, 14.0, 5), (1.0, 10.9, 2), (0.03, 10.0 + 0.03 * 19.5, 21),
        # One day later is not looked at, nor what hardly rises.
        (0.03, 10.0 + 0.03 * 20.5, None), (0.019, 10.1, None), (0.021, 10.1, 6),
    ],
)  # fmt: skip
def test_the_day_in_a_row_on_which_a_tank_gets_there(
    rise: float, hot: float, number: int | None
) -> None:
    """Of three weeks, each day as much warmer at its end than the last; by noon all are alike."""

    def run(_: Any, before: float) -> Any:
        ends = before + rise
        return SimpleNamespace(
            mean_temperature=np.array([50.0, 60.0, ends]), end_temperatures=ends
        )

    work: Any = SimpleNamespace(
        run=run, satisfied=lambda _, run: np.array([run.end_temperatures >= hot])
    )
    first = run(None, 10.0 - rise)
    assert heat_of_days._days_to_setpoint(work, np.zeros(1), first) == number
