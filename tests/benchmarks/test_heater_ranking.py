"""A thousand PV-heated tanks ranked by what comes to the tap, plain, against a run of every one.

The time is that of the promise, 30 s on two idle cores, with room for a busy machine; the line
printed by `pytest -s tests/benchmarks` shows what this run reached, and how many times as fast as
one design after the other.
"""

from __future__ import annotations

import importlib.util
import time

import numpy as np
import pytest

from tests.benchmarks.marks import Read, told
from wellsolar.data import hot_water_tables
from wellsolar.physics.array import best_resistance, module, module_fit, string_layouts
from wellsolar.physics.tank import events, screen, stratified
from wellsolar.physics.tank import ranking as drawn_year
from wellsolar.physics.tank import (
    ranking as heater_ranking,
)

DAYS, HOURS = 365, 8760
SHEET = module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.0030 * 39.9, 0.00485)
OHMS = np.array([7.2, 9.6, 11.5, 12.8, 14.4, 19.2, 25.6, 28.8])
GALLON = 3.785411784e-3
TANK = stratified.Tank(50.0 * GALLON, 10, 1.7, element_height=0.1)
SIDE = screen.TapSide(inlet=12.0, room=19.0, tap=43.0, setpoint=63.0, hysteresis=5.0)
BUSY = 45.0


@pytest.fixture(scope="module")
def powers():
    """Power of 25 arrays on 8 resistances under an invented sky with good and bad days [W]."""
    random = np.random.default_rng(3)
    hour, day = np.arange(HOURS) % 24 + 0.5, np.arange(HOURS) // 24
    season = -np.cos(2 * np.pi * (day + 10) / 365)
    arch = np.cos((hour - 12.0) / (12.0 + 2.4 * season) * np.pi)
    light = np.clip(arch, 0.0, None) ** 1.2 * np.repeat(random.beta(1.6, 1.0, DAYS), 24) * 1000.0
    cells = 12.0 + 11.0 * season + 0.03 * light
    one = module.at_conditions(module_fit.fit_five_parameters(SHEET), light, cells)
    return np.concatenate([
        best_resistance.power_by_resistance(module.array_of(one, *wired), OHMS, 0.3)
        for wired in string_layouts.layouts_up_to(12, 12, 4)
    ])  # fmt: skip


@pytest.fixture(scope="module")
def draws():
    pattern = hot_water_tables.draw_pattern("medium")
    return events.every_day(pattern, DAYS, hot_water_tables.FIRST_DRAW, 0.2)


@pytest.fixture(scope="module")
def designs(powers):
    counts = [series * rows for series, rows in string_layouts.layouts_up_to(12, 12, 4)]
    return [
        heater_ranking.HeaterDesign(
            counts[source // OHMS.size],
            source,
            stratified.resized(TANK, gallons * GALLON),
        )
        for gallons in (30.0, 40.0, 50.0, 80.0, 120.0)
        for source in range(len(powers))
    ]


@pytest.fixture
def plain(monkeypatch):
    """As it runs where nothing is compiled."""
    monkeypatch.setattr(drawn_year, "compiled", lambda kernel: None)


def best_of_all(designs, powers, draws, workers=1):
    """The numbers of the best by a run of every design along the draws, without a screen."""
    year = drawn_year.drawn_year(draws, HOURS, SIDE)
    with drawn_year.runner(year, workers) as run:
        short = list(run([heater_ranking.work_of(each, powers) for each in designs]))
    wanted = float(year.tap_draw.sum()) * (SIDE.tap - SIDE.inlet) * TANK.volumetric_heat_capacity
    shares = [1.0 - each / wanted for each in short]

    def place(number):
        each = designs[number]
        # As the report says: whole per cents of what it prints, modules, tank, then the rest.
        return (-int(round(100 * shares[number], 1) // 1), each.modules, each.tank.volume,
                -shares[number])  # fmt: skip

    return sorted(range(len(designs)), key=place), shares


@pytest.mark.usefixtures("plain")
def test_a_thousand_designs_in_half_a_minute(designs, powers, draws, record_property):
    assert len(designs) == 1000
    start = time.perf_counter()
    ranking = heater_ranking.rank_heaters(designs, powers, draws, SIDE, workers=2)
    taken = time.perf_counter() - start
    some = ranking.rows[:3]
    year = drawn_year.drawn_year(draws, HOURS, SIDE)
    start = time.perf_counter()
    again = [drawn_year.short_heat(year, each.design.tank, powers[each.design.source])
             for each in some]  # fmt: skip
    one = (time.perf_counter() - start) / len(some)
    print(f"\n1,000 heated tanks ranked in {taken:.1f} s, {len(ranking.rows)} closely")
    assert again == [each.short for each in some], "in a process of its own or in this one"
    assert ranking.screened == 1000
    assert len(ranking.rows) < 300
    what = "1,000 heated tanks ranked without machine code"
    told(record_property, Read(what, "one after the other", one * 1000 / taken, 4.0, None, False))
    assert taken < BUSY


def test_the_same_best_ten_as_the_full_run(designs, powers, draws):
    """Of all where they are compiled, else of every twelfth, in two processes."""
    if importlib.util.find_spec("numba") is None:
        designs = designs[::12]
    ranking = heater_ranking.rank_heaters(designs, powers, draws, SIDE, workers=2)
    order, shares = best_of_all(designs, powers, draws, workers=2)
    assert [each.number for each in ranking.rows[:10]] == order[:10]
    assert 0.3 < shares[order[0]] < 0.9999, "the best is neither hopeless nor trivial"
    screened = screen.screen_tanks(
        [each.tank for each in designs],
        [each.source for each in designs],
        powers,
        drawn_year.drawn_year(draws, HOURS, SIDE).hourly(),
        SIDE,
    )
    errors = 1.0 - screened.short / screened.wanted - np.array(shares)
    print(
        f"\n{len(designs)} tanks by the hour against draw by draw: share wrong by "
        f"{errors.min():+.4f} to {errors.max():+.4f}"
    )
    assert np.abs(errors).max() < 2 * heater_ranking.MARGIN
    assert np.abs(errors).mean() < 0.003
