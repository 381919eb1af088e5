"""The quick screen of heated tanks against scipy, conservation of energy and the closer run."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import isotonic_regression
from scipy.stats import gamma

from wellsolar.errors import OutOfRange
from wellsolar.physics.tank import events, ranking, screen, stratified

DAYS, HOURS = 60, 1440
TANK = stratified.Tank(0.2, 10, 2.0, element_height=0.1)
SIDE = screen.TapSide(12.0, 20.0, 45.0, 62.0, 5.0)
CAPACITY = 988.0 * 4181.0
"""Of water at 50 degC [J/(m3 K)], density times specific heat, London South Bank University."""


def batch_of(tank, side=SIDE):
    return screen._Batch([tank], np.array([0]), side)


@pytest.mark.parametrize("seed", range(6))
def test_heated_layers_are_those_of_isotonic_regression(seed):
    """Buoyant mixing is the isotonic regression of the layers with the heat in the lowest."""
    random = np.random.default_rng(seed)
    batch = batch_of(TANK, SIDE._replace(setpoint=math.inf, hysteresis=5.0))
    layers = np.sort(random.uniform(0.0, 45.0, screen.LAYERS))
    rise = random.uniform(0.0, 120.0)
    batch.layers[:, 0] = layers
    batch._heat(np.array([rise]))
    unmixed = layers.copy()
    unmixed[batch.element] += rise
    assert batch.layers[batch.element :, 0] == pytest.approx(
        isotonic_regression(unmixed[batch.element :]).x, abs=1e-9
    )
    assert batch.layers.sum() == pytest.approx(layers.sum() + rise, rel=1e-12)


def test_a_thermostat_opens_at_its_setpoint_and_closes_below():
    batch = batch_of(TANK)
    batch._heat(np.array([1e4]))
    assert batch.layers[batch.element :, 0] == pytest.approx(SIDE.setpoint - SIDE.inlet)
    for cooler, closed in ((4.0, False), (5.5, True)):
        batch.layers[:, 0] = SIDE.setpoint - SIDE.inlet - cooler
        before = batch.layers.sum()
        batch._heat(np.array([1.0]))
        assert bool(batch.layers.sum() > before) is closed


def test_small_draws_leave_as_tanks_in_series():
    """N equal tanks in series wash out by the gamma distribution of N stages."""
    batch = batch_of(TANK, SIDE._replace(tap=90.0))
    batch.layers[:] = 40.0
    parts = 4000
    drawn = 1.3
    for _ in range(parts):
        batch._draw(np.array([drawn * screen.LAYERS / parts]))
    stays = gamma.sf(drawn * screen.LAYERS, screen.LAYERS)
    assert batch.layers[-1, 0] / 40.0 == pytest.approx(stays, rel=5e-3)


def test_without_loss_all_heat_comes_to_the_tap():
    """In a settled year, of a tank that never gets as warm as wanted, all that is heated is
    drawn."""
    side = SIDE._replace(tap=80.0, setpoint=math.inf)
    power = np.tile(np.array([300.0, 700.0]), (24 * 40, 1)).T
    tanks = [replace(TANK, heat_loss_coefficient=0.0)] * 2
    draws = np.full(24 * 40, 0.012)
    found = screen.screen_tanks(tanks, [0, 1], power, draws, side)
    wanted = 24 * 40 * 0.012 * 68.0 * CAPACITY
    assert found.wanted == pytest.approx(wanted, rel=1e-12)
    heat = power.sum(axis=1) * 3600.0
    assert wanted - found.short == pytest.approx(heat, rel=1e-5)


def test_in_the_dark_a_tank_gives_what_the_room_gives():
    side = SIDE._replace(room=SIDE.inlet)
    found = screen.screen_tanks([TANK], [0], np.zeros((1, HOURS)), np.full(HOURS, 0.02), side)
    assert found.short[0] == pytest.approx(found.wanted, rel=1e-6)


@pytest.fixture(scope="module")
def sky():
    """Powers of three arrays through some weeks [W]."""
    random = np.random.default_rng(8)
    arch = np.clip(np.sin((np.arange(HOURS) % 24 - 5.5) / 13.0 * np.pi), 0.0, None)
    light = arch * np.repeat(random.uniform(0.1, 1.0, DAYS), 24)
    return np.outer([700.0, 1500.0, 3200.0], light)


@pytest.mark.parametrize("height", [0.1, 0.45])
def test_the_screen_is_near_the_closer_run(sky, height):
    """Against the tank stepped along the draws: within the margin that the ranking takes."""
    flow = 1.7 * 3.785e-3 / 60
    day = [events.Draw(hour * 3600.0 + 500.0, volume, flow)
           for hour, volume in ((6, 0.05), (12, 0.02), (18, 0.06), (20, 0.04))]  # fmt: skip
    year = ranking.drawn_year(events.every_day(day, DAYS, 0.0), HOURS, SIDE)
    tank = replace(TANK, element_height=height)
    tanks = [stratified.resized(tank, each) for each in (0.15, 0.2, 0.45) for _ in sky]
    source = [0, 1, 2] * 3
    found = screen.screen_tanks(tanks, source, sky, year.hourly(), SIDE)
    for number, each in enumerate(tanks):
        closer = ranking.short_heat(year, each, sky[source[number]])
        assert abs(found.short[number] - closer) < 0.011 * found.wanted


def test_a_process_that_cannot_start_is_done_without(sky, monkeypatch):
    """Whatever goes wrong with processes, the tanks are run here."""
    draws = events.every_day([events.Draw(0.0, 0.1, 1e-4)], DAYS, 0.0)
    year = ranking.drawn_year(draws, HOURS, SIDE)
    monkeypatch.setattr(ranking, "compiled", lambda kernel: None)
    works = [(TANK, power, 0.1) for power in sky]
    here = [ranking.short_heat(year, *work) for work in works]

    def refuse(method):
        raise OSError("no process to be had")

    with monkeypatch.context() as patch:
        patch.setattr(ranking, "get_context", refuse)
        with ranking.runner(year, 2) as run:
            assert list(run(works)) == here
    with monkeypatch.context() as patch:
        patch.setattr(ranking, "_keep", math.sqrt)  # which fails in each process as it starts
        with ranking.runner(year, 2) as run:
            assert list(run(works)) == here


@pytest.mark.parametrize("machine", [False, True])
@pytest.mark.parametrize("workers", [1, 2])
def test_processes_are_started_for_two_and_where_nothing_is_compiled(
    machine, workers, monkeypatch
):
    asked = []
    monkeypatch.setattr(ranking, "compiled", lambda kernel: kernel if machine else None)
    monkeypatch.setattr(ranking, "_started", lambda year, count: asked.append(count))
    draws = events.every_day([events.Draw(0.0, 0.1, 1e-4)], 2, 0.0)
    year = ranking.drawn_year(draws, 48, SIDE)
    with ranking.runner(year, workers):
        assert asked == ([2] if workers == 2 and not machine else [])


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"source": [0]}, "sources are 1"),
        ({"source": [0, 3]}, "source"),
        ({"heater_power": -np.ones((1, HOURS))}, "heater power"),
        ({"tap_draw": np.ones(HOURS - 1)}, "hours of power"),
        ({"tanks": [TANK, replace(TANK, element_height=0.6)]}, "heights of the element"),
    ],
)
def test_what_cannot_be_screened_is_refused(change, message):
    given = {
        "tanks": [TANK, TANK],
        "source": [0, 0],
        "heater_power": np.ones((1, HOURS)),
        "tap_draw": np.zeros(HOURS),
        "side": SIDE,
    } | change
    with pytest.raises(OutOfRange, match=message):
        screen.screen_tanks(**given)


def test_a_bigger_tank_loses_by_its_surface():
    """Eight times the volume has four times the surface and twice the height."""
    small = replace(TANK, height=1.0)
    large = stratified.resized(small, 8 * small.volume)
    assert large.heat_loss_coefficient == pytest.approx(4 * small.heat_loss_coefficient)
    assert large.height == pytest.approx(2.0)
    assert stratified.resized(TANK, 1.6).inside_height == pytest.approx(2 * TANK.inside_height)


DAYS_OF_MONTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


@pytest.mark.parametrize(
    ("tanks", "parts"), [(50, 12), (51, 6), (150, 4), (200, 3), (300, 2), (301, 1)]
)
def test_a_year_in_parts_counts_each_hour_once_in_its_month(tanks, parts):
    """At most 600 designs times parts, each part behind thirty days of which nothing counts."""
    cuts = screen._cuts(np.tile(np.arange(24.0), 365), tanks)
    assert cuts.parts == parts
    longest = max(24 * sum(each) for each in np.reshape(DAYS_OF_MONTHS, (parts, -1)).tolist())
    assert cuts.hours.shape == (parts, 30 * 24 + longest)
    assert len(cuts.period) == 30 * 24 + longest
    of_month = np.repeat(np.arange(12), 24 * np.array(DAYS_OF_MONTHS))
    counted, laid = cuts.counted[cuts.period], cuts.laid(of_month[None]).T
    assert np.all((counted == laid) | (counted == -1))
    hours = np.bincount(cuts.period)[:, None].repeat(parts, axis=1)
    assert cuts.of_year(hours).tolist() == [[24 * days] for days in DAYS_OF_MONTHS]


@pytest.mark.parametrize(("hours", "length"), [(48, 96), (100 * 24, 130 * 24)])
def test_less_than_a_year_is_run_whole_behind_a_lead_in_no_longer_than_itself(hours, length):
    cuts = screen._cuts(np.resize(np.arange(24.0), hours), 1)
    assert cuts.hours.tolist() == [[hour % hours for hour in range(hours - length, hours)]]


def test_an_hour_at_rest_by_hand():
    """One tank, 1 K warmer with each layer, in one round of conduction of a tenth: only the bottom
    and the top change, by 0.1 K. Then half is lost towards a room 4 K above the inlet; and a room
    20 K above it gives 10 x 10 K less half of the 45 K there were."""
    for room, of_room in ((4.0, 0.0), (20.0, 77.5)):
        batch = batch_of(TANK)
        batch.layers[:, 0] = np.arange(10.0)
        half = np.array([0.5])
        batch._relax(1, np.array([0.1]), half, room * half)
        after = np.array([0.1, *range(1, 9), 8.9])
        assert batch.layers[:, 0] == pytest.approx(0.5 * after + 0.5 * room)
        assert batch.of_room[0] == pytest.approx(of_room)


def test_conduction_of_hours_is_cut_into_rounds_of_a_quarter():
    """Of two tanks with 5e-5 and 1e-4 of a layer's heat a second: three hours are 1.08 of the
    faster one, in five rounds. Half is lost in three hours where 2.0 W/K ln 2 is a tank's rate."""
    batch = screen._Batch([TANK, TANK], np.array([0, 0]), SIDE)
    batch.conduction_rate = np.array([5e-5, 1e-4])
    batch.loss_rate = np.array([math.log(2.0) / 10800.0, 0.0])
    rounds, number, kept, pull = batch._rest(3)
    assert rounds == 5
    assert number == pytest.approx([0.54 / 5, 1.08 / 5])
    assert kept == pytest.approx([0.5, 1.0])
    assert pull == pytest.approx([0.5 * (SIDE.room - SIDE.inlet), 0.0])
    assert batch._rest(0)[0] == 1


@pytest.mark.parametrize(
    ("top", "shift", "given"), [(40.0, 0.33, 13.2), (66.0, 0.2, 13.2), (20.0, 0.4, 8.0)]
)
def test_a_draw_through_the_mixing_valve_by_hand(top, shift, given):
    """Four tenths of a layer at 33 K: of 40 K it takes 0.33 of one, of 66 K half of it, and all
    of 20 K. Each layer takes that part of the one below, the bottom of the cold."""
    batch = batch_of(TANK)
    layers = np.linspace(10.0, top, 10)
    batch.layers[:, 0] = layers
    batch._draw(np.array([0.4]))
    expected = layers - shift * np.diff(layers, prepend=0.0)
    assert batch.layers[:, 0] == pytest.approx(expected)
    assert batch.at_tap[0] == pytest.approx(given)


def test_a_tank_as_its_layers_count_it():
    """200 l: layers of 20 l; 2 W/K; with 1.5 W/(m K) a layer gives the next by its height h the
    part 1.5 / (C h^2) a second."""
    tank = replace(TANK, height=1.2, effective_conductivity=1.5)
    volume, capacity, loss, conduction = screen._Batch._of(tank)
    assert volume == pytest.approx(0.02)
    assert capacity == pytest.approx(0.02 * CAPACITY)
    assert loss == pytest.approx(2.0 / (0.2 * CAPACITY))
    assert conduction == pytest.approx(1.5 / (CAPACITY * 0.12**2))


@pytest.mark.parametrize(
    ("height", "element"), [(0.0, 0), (0.1, 1), (0.45, 4), (0.99, 9), (1.0, 9)]
)
def test_the_element_is_in_the_layer_of_its_height(height, element):
    batch = batch_of(replace(TANK, element_height=height))
    assert batch.element == element
    assert batch.counts.ravel().tolist() == list(range(1, 11 - element))


@pytest.mark.parametrize("beside", [(), (3,)])
def test_the_best_are_looked_for_among_what_the_screen_gives(beside, monkeypatch):
    """Four designs by hand: the screen is given their tanks, sources and the draws by the hour; of
    one asked for three are run, and the fourth, which lacks all, only where it is asked for
    beside. The screen is a fifth of the work."""
    day = events.every_day([events.Draw(3600.0, 0.05, 5e-5)], 2, 0.0)
    powers = np.outer([1.0, 2.0], np.ones(48))
    designs = [ranking.HeaterDesign(2, n % 2, replace(TANK, volume=0.1 + 0.1 * n))
               for n in range(4)]  # fmt: skip
    lacks = dict(zip((each.tank.volume for each in designs), (0.1, 0.2, 0.5, 1.0), strict=True))
    told = []

    def screened(tanks, source, power, draws, side, progress):
        assert [tanks, source] == [[each.tank for each in designs], [0, 1, 0, 1]]
        assert draws.tolist() == pytest.approx(([0.0, 0.05] + [0.0] * 22) * 2)
        progress(1, 1)
        return screen.Screened(np.array([*lacks.values()]), 1.0, np.zeros(4, int))

    def run_here(year, *work, machine):
        assert work[1][0] == 1.0 + designs[round((work[0].volume - 0.1) / 0.1)].source
        return lacks[work[0].volume]

    monkeypatch.setattr(ranking, "compiled", lambda kernel: None)
    monkeypatch.setattr(ranking, "screen_tanks", screened)
    monkeypatch.setattr(ranking, "short_heat", run_here)
    found = ranking.rank_heaters(
        designs, powers, day, SIDE, 1, progress=lambda *at: told.append(at), beside=beside
    )
    assert [each.number for each in found.rows] == [0, 1, 2, *beside]
    shares = [0.9, 0.8, 0.5, 0.0][: len(found.rows)]
    assert [each.share for each in found.rows] == pytest.approx(shares)
    assert (found.wanted, found.screened, found.margin) == (1.0, 4, 0.01)
    assert told[0] == (200, 1000)
    assert told[-1] == (1000, 1000)


def test_of_each_number_of_modules_and_each_group_three_are_run_first():
    """Beside so many of the best; the fourth of two modules is not."""
    kinds = [(2, ""), (2, ""), (2, ""), (2, ""), (2, "own"), (3, "")]
    designs = [ranking.HeaterDesign(modules, 0, TANK, group) for modules, group in kinds]
    lacks = np.array([1.0, 2.0, 3.0, 4.0, 5.0, 6.0])
    search = ranking._Search(designs, np.ones((1, 1)), lacks, 10.0, iter, ranking._Told(None))
    assert search.guess == pytest.approx([0.9, 0.8, 0.7, 0.6, 0.5, 0.4])
    nothing = ranking._Search(designs, np.ones((1, 1)), lacks, 0.0, iter, ranking._Told(None))
    assert nothing.guess == [1.0] * 6  # all of the nothing that is wanted
    for count in (1, 2):
        assert search.first(count) == [*range(count), 0, 1, 2, 4, 5]


def test_idle_hours_are_joined_up_to_sun_draw_and_midnight():
    """Two days with a draw at 7 and sun for the second array at 12, by hand."""
    draws, powers = np.zeros(48), np.zeros((2, 48))
    draws[[7, 31]], powers[1, [12, 36]] = 0.05, 100.0
    day = [(8, False, 0.05, 3), (5, True, 0.0, 0), (11, False, 0.0, 0)]
    plan = screen._plan(powers, draws, 0.02)
    assert [each.hour for each in plan] == [7, 12, 23, 31, 36, 47]
    assert [(each.length, each.lit, each.volume, each.parts) for each in plan] == 2 * day


def test_a_day_is_hot_unless_a_draw_of_its_evening_comes_cold():
    """Without loss or heat: warm at six the first day, drained at ten the second and cold at six,
    and cold at ten alone the third."""
    tank = replace(TANK, heat_loss_coefficient=0.0, effective_conductivity=0.0)
    draws = np.zeros(72)
    draws[[18, 34, 42, 58]] = 0.01, 1.0, 0.01, 0.01
    batch = screen._Batch([tank], np.array([0]), SIDE, evening=(18, 18))
    batch.layers[:] = 40.0
    plan = screen._plan(np.zeros((1, 72)), draws, 0.01)
    batch.run(np.zeros((72, 1)), plan, [0] * 72, lambda done: None)
    assert batch.layers.max() < 33.0
    assert batch.hot.tolist() == [[2]]


@pytest.mark.parametrize(
    ("warm", "drawn", "hot"),
    [(33.2, [18], 1), (32.9, [18], 0), (32.9, [17, 20], 1), (32.9, [19], 0), (32.9, [], 1)],
)
def test_a_draw_of_the_evening_is_hot_from_the_tap_s_warmth_on(warm, drawn, hot):
    """33 K above the inlet, in the hours 18 and 19; without loss, little is drawn."""
    tank = replace(TANK, heat_loss_coefficient=0.0, effective_conductivity=0.0)
    draws = np.zeros(24)
    draws[drawn] = 1e-4
    batch = screen._Batch([tank], np.array([0]), SIDE, evening=(18, 19))
    batch.layers[:] = warm
    batch.run(np.zeros((24, 1)), screen._plan(np.zeros((1, 24)), draws, 0.01), [0] * 24, print)
    assert batch.hot.tolist() == [[hot]]


def test_batches_give_what_all_at_once_give_and_tell_each_week(monkeypatch):
    """Two weeks behind themselves: eight tanks are told after each of four weeks; batches of
    three, three and two tell their parts, rounded down."""
    # Without conduction, whose rounds are as many as the quickest tank of a batch asks for.
    still = replace(TANK, effective_conductivity=0.0)
    tanks = [stratified.resized(still, 0.1 + 0.05 * each) for each in range(8)]
    powers = np.outer(np.arange(1.0, 9.0), 100.0 * (np.arange(336) % 24 == 12))
    draws = np.where(np.arange(336) % 24 == 18, 0.05, 0.0)

    def screened():
        told = []
        found = screen.screen_tanks(
            tanks, range(8), powers, draws, SIDE, lambda *at: told.append(at), (18, 18)
        )
        return told, found

    told, whole = screened()
    assert told == [(2, 8), (4, 8), (6, 8), (8, 8)]
    monkeypatch.setattr(screen, "BATCH", 3)
    told, batches = screened()
    counts = [0, 1, 2, 3, 3, 4, 5, 6, 6, 7, 7, 8]
    assert told == [(count, 8) for count in counts]
    np.testing.assert_allclose(batches.short, whole.short, rtol=1e-9)
    assert batches.hot.tolist() == whole.hot.tolist()
    assert len(set(np.round(whole.short).tolist())) == 8


def test_taps_colder_than_the_inlet_want_nothing():
    side = SIDE._replace(tap=SIDE.inlet - 2.0)
    found = screen.screen_tanks([TANK], [0], np.zeros((1, 24)), np.full(24, 0.01), side)
    assert (found.wanted, found.short.tolist()) == (0.0, [0.0])


@pytest.mark.parametrize(
    ("setpoint", "tap", "begun"),
    [(62.0, 45.0, 25.0), (math.inf, 45.0, 33.0), (math.inf, 9.0, 0.0)],
)
def test_a_tank_begins_half_way_to_its_setpoint_or_as_warm_as_the_tap(setpoint, tap, begun):
    batch = batch_of(TANK, SIDE._replace(setpoint=setpoint, tap=tap))
    assert np.all(batch.layers == begun)
