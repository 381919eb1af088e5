"""The tank's kernel: steps along events against minutes, compiled against plain, two tanks
against an adaptive solver, and thermostats against the closed form."""

from __future__ import annotations

import math
import sys
import types

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tests.sampled import sampled
from wellsolar.constants import DAY, HOUR
from wellsolar.data.hot_water_tables import FIRST_DRAW, draw_pattern
from wellsolar.errors import OutOfRange
from wellsolar.physics import compiled
from wellsolar.physics.tank import events, stratified
from wellsolar.physics.tank import kernel as tank_kernel

DAYS, MINUTE = 365, 60.0
TANK = stratified.Tank(0.25, 12, 2.0)
SECOND = stratified.Tank(0.15, 6, 1.5, element_height=0.5)
COLD, ROOM, TAP, SETPOINT, HYSTERESIS = 12.0, 20.0, 45.0, 62.0, 5.0


@pytest.fixture(scope="module")
def sun():
    """Power of a year of minutes [W] with seasons, good and bad days and passing clouds."""
    random = np.random.default_rng(2)
    day = (np.arange(DAYS * 1440) + 0.5) / 1440
    arch = np.maximum(0.0, np.sin((day % 1 - 0.25) * 2 * math.pi))
    season = 0.7 - 0.3 * np.cos(2 * math.pi * (day + 10) / 365)
    sky = np.repeat(random.uniform(0.2, 1.0, DAYS), 1440)
    clouds = np.repeat(random.uniform(0.3, 1.2, DAYS * 288), 5) * random.uniform(
        0.8, 1.2, day.size
    )
    return 3000.0 * arch * season * np.clip(sky * clouds, 0.05, 1.0)


@pytest.fixture(scope="module")
def draws():
    return events.every_day(draw_pattern("medium"), DAYS, FIRST_DRAW, 0.24)


@pytest.fixture(scope="module")
def steps(sun, draws):
    return events.schedule(sun, draws, MINUTE)


def year_of(steps, machine=False, **more):
    return stratified.simulate(
        TANK, 40.0, steps.heater_power, steps.tap_draw, COLD,
        ROOM, TAP, SETPOINT, HYSTERESIS, steps.step, machine=machine, **more,
    )  # fmt: skip


def two_tanks_of(steps, machine=False):
    return stratified.simulate(
        (TANK, SECOND), (40.0, 45.0), steps.heater_power, steps.tap_draw, COLD,
        ROOM, TAP, 70.0, HYSTERESIS, steps.step, 1500.0,
        SECOND.element_height, 52.0, machine=machine,
    )  # fmt: skip


def everything(run):
    """All that a run holds, as one row of numbers."""
    parts = []
    for value in vars(run).values():
        parts += [np.ravel(each) for each in (value if isinstance(value, tuple) else (value,))]
    return np.concatenate(parts)


def volumes_by_minutes(draws):
    """Water of each minute [m3] of draws that do not overlap."""
    begins, ends = draws.start, draws.start + draws.duration
    assert np.all(ends[:-1] <= begins[1:])
    drawn = np.append(0.0, np.cumsum(draws.volume))
    times = np.stack([begins, ends], axis=1).ravel()
    values = np.stack([drawn[:-1], drawn[1:]], axis=1).ravel()
    return np.diff(np.interp(MINUTE * np.arange(DAYS * 1440 + 1), times, values))


@pytest.mark.parametrize(
    ("grid", "shift", "of_loss"),
    sampled(
        [
            (math.nan, 0.03, 1e-3),
            (50.0, 0.03, 1e-3),
            # a minute draws less than a tenth of a node and so mixes a little more than longer
            # steps do: that, not the step, is the rest of the difference
            (math.nan, 0.1, 2e-3),
        ],
        (50.0, 0.03, 1e-3),
    ),
    ids=["sun alone", "upper element", "as it is set"],
)
def test_steps_along_events_against_steps_of_a_minute(sun, draws, steps, grid, shift, of_loss):
    more = {"grid_setpoint": grid, "grid_power": 1500.0, "largest_shift": shift}
    fine = stratified.simulate(
        TANK, 40.0, sun, volumes_by_minutes(draws), COLD, ROOM, TAP, SETPOINT, HYSTERESIS,
        MINUTE, machine=True, **more,
    )  # fmt: skip
    run = year_of(steps, **more)
    assert steps.step.size < 0.1 * sun.size
    assert fine.energy_in < 0.95 * sun.sum() * MINUTE, "the thermostat opens"
    assert run.passed[-1] == pytest.approx(fine.passed[-1], rel=5e-4)
    assert run.losses[0] == pytest.approx(fine.losses[0], rel=of_loss)
    assert run.energy_in == pytest.approx(fine.energy_in, rel=5e-4)
    assert run.energy_grid == pytest.approx(fine.energy_grid, rel=1e-3)
    assert run.energy_short == pytest.approx(fine.energy_short, abs=5e-4 * fine.energy_wanted)


def test_energy_of_a_year_closes(steps):
    for run in (year_of(steps, grid_power=1500.0, grid_setpoint=50.0), two_tanks_of(steps)):
        assert run.balance_error < 1e-10
        assert run.energy_grid > 0.0
        assert run.energy_wanted == pytest.approx(
            steps.tap_draw.sum() * (TAP - COLD) * TANK.volumetric_heat_capacity, rel=1e-12
        )


def test_the_compiled_year_is_the_plain_one(steps):
    pytest.importorskip("numba")
    more = {"grid_power": 1500.0, "grid_setpoint": 50.0, "high_limit": 70.0}
    for plain, machine in (
        (year_of(steps, **more), year_of(steps, machine=True, **more)),
        (two_tanks_of(steps), two_tanks_of(steps, machine=True)),
    ):
        assert machine.balance_error < 1e-10
        assert machine.passed[-1] == pytest.approx(plain.passed[-1], rel=1e-12)
        np.testing.assert_allclose(everything(machine), everything(plain), rtol=1e-12, atol=1e-9)


def no_place(**options):
    raise RuntimeError("cannot cache function: no locator available")


def refuses(cache):
    def broken(*arguments):
        raise OSError("read-only file system")

    return lambda kernel: broken


@pytest.mark.parametrize(
    "library",
    [
        None,
        types.SimpleNamespace(njit=no_place),
        types.SimpleNamespace(njit=refuses),
        types.SimpleNamespace(njit=lambda cache: lambda kernel: kernel),
    ],
    ids=["not installed", "no cache", "cache not writable", "copies"],
)
def test_a_year_without_machine_code_is_the_plain_one(monkeypatch, steps, library):
    """The last of these compiles nothing: it runs the private copies as they are."""
    part = events.Schedule(*(value[:2000] for value in vars(steps).values()))
    plain = everything(year_of(part))
    monkeypatch.setitem(sys.modules, "numba", library)
    compiled.compiled.cache_clear()
    try:
        np.testing.assert_array_equal(everything(year_of(part, machine=True)), plain)
    finally:
        compiled.compiled.cache_clear()


def test_compiling_leaves_the_kernel_as_it_is(monkeypatch):
    taken = []
    library = types.SimpleNamespace(
        njit=lambda cache: lambda kernel: taken.append(kernel) or kernel
    )
    monkeypatch.setitem(sys.modules, "numba", library)
    assert compiled.compiled.__wrapped__(tank_kernel.step_tanks) is not None
    names = [each.__name__ for each in taken]
    assert {"relax", "heat_up", "heat_by_thermostat", "draw_plug", "step_tanks"} <= set(names)
    assert len(names) == len(set(names)), "each once"
    assert tank_kernel.cool.__globals__["relax"] is tank_kernel.relax
    assert tank_kernel.settle.__globals__["heat_up"] is tank_kernel.heat_up
    copy = taken[-1]
    assert copy.__globals__["cool"] in taken, "the copy calls copies"
    assert copy.__qualname__ != tank_kernel.step_tanks.__qualname__


def test_two_tanks_against_an_adaptive_solver():
    """Loss, conduction, heat in both and a steady draw, nothing overturning."""
    first = stratified.Tank(0.2, 4, 3.0, 0.0, 1.2)
    second = stratified.Tank(0.12, 3, 1.5, 0.99, 0.9)
    flow, count = 0.025 / HOUR, 4 * 60
    start, warm = np.linspace(45.0, 60.0, 4), np.array([62.0, 66.0, 70.0])
    tops = 400.0

    def stepped(parts):
        shift = flow * MINUTE / (0.12 / 3) / parts * (1 + 1e-9)
        run = stratified.simulate(
            (first, second), (start, warm), np.zeros(count), np.full(count, flow * MINUTE), 10.0,
            20.0, 95.0, 90.0, 5.0, MINUTE, tops, second.element_height, math.inf,
            largest_shift=shift,
        )  # fmt: skip
        return np.concatenate(run.ends), run

    def of_tank(tank, t, inlet):
        capacity = tank.heat_capacity / tank.nodes
        area, spacing = tank.volume / tank.inside_height, tank.inside_height / tank.nodes
        heat = tank.effective_conductivity * area / spacing * np.diff(t)
        conducted = np.append(heat, 0.0) - np.append(0.0, heat)
        advected = flow * tank.volumetric_heat_capacity * (np.append(inlet, t[:-1]) - t)
        return (
            conducted + advected - tank.heat_loss_coefficient / tank.nodes * (t - 20.0)
        ) / capacity

    def rate(_, t):
        second_rate = of_tank(second, t[4:], t[3])
        second_rate[-1] += tops / (second.heat_capacity / second.nodes)
        return np.append(of_tank(first, t[:4], 10.0), second_rate)

    solved = solve_ivp(
        rate, (0, count * MINUTE), np.append(start, warm), rtol=1e-10, atol=1e-10,
        dense_output=True,
    )  # fmt: skip
    reference = solved.y[:, -1]
    coarse, run = stepped(8)
    fine, finer = stepped(16)
    assert np.all(np.diff(reference[:4]) > 0)
    assert np.all(np.diff(reference[4:]) > 0)
    assert fine == pytest.approx(reference, abs=0.02)
    assert 2 * fine - coarse == pytest.approx(reference, abs=1e-3)
    times = np.linspace(0.0, count * MINUTE, 2001)
    for row, ours in ((3, finer.passed[0]), (6, finer.passed[-1])):
        carried = flow * first.volumetric_heat_capacity * (solved.sol(times)[row] - 10.0)
        assert ours == pytest.approx(np.trapezoid(carried, times), rel=5e-4)
    assert run.balance_error < 1e-12


def test_two_tanks_cut_from_one_draw_as_one():
    """Without loss and conduction two tanks of n nodes are one of 2 n, mixing valve and all."""
    half = stratified.Tank(0.15, 5, 0.0, effective_conductivity=0.0)
    whole = stratified.Tank(0.30, 10, 0.0, effective_conductivity=0.0)
    drawn = np.full(60, 0.011)
    rest = (10.0, 20.0, 42.0, math.inf, 5.0, 300.0)
    one = stratified.simulate(whole, 65.0, np.zeros(60), drawn, *rest)
    two = stratified.simulate((half, half), (65.0, 65.0), np.zeros(60), drawn, *rest)
    assert two.top_temperatures[1] == pytest.approx(one.top_temperature, abs=1e-10)
    assert two.delivered_power == pytest.approx(one.delivered_power, rel=1e-10)
    assert two.tap_volume == pytest.approx(one.tap_volume)
    assert np.concatenate(two.ends) == pytest.approx(one.end_temperatures, abs=1e-10)


def test_preheating_saves_what_the_sun_gave_less_what_is_lost(steps):
    """The grid tank behind a PV tank against itself on cold water, a year of each."""
    both = two_tanks_of(steps)
    alone = stratified.simulate(
        SECOND, 45.0, np.zeros(steps.step.size), steps.tap_draw, COLD, ROOM, TAP, SETPOINT,
        HYSTERESIS, steps.step, 1500.0, SECOND.element_height, 52.0,
    )  # fmt: skip
    assert both.energy_grid < 0.5 * alone.energy_grid
    assert both.energy_short < alone.energy_short
    gained = both.energy_in - both.losses[0] - (both.losses[1] - alone.losses[0])
    saved = alone.energy_grid - both.energy_grid
    extra = both.passed[-1] - alone.passed[-1]
    # what both tanks hold more or less at the end is a day's worth at most
    assert saved + extra == pytest.approx(gained, abs=TANK.heat_capacity * 40.0)


def test_the_high_limit_of_the_first_tank_latches():
    full = np.full(48, 3000.0)
    run = stratified.simulate(
        (TANK, SECOND), (50.0, 50.0), full, np.zeros(48), COLD, ROOM, TAP, math.inf, 5.0, HOUR,
        high_limit=80.0,
    )  # fmt: skip
    tripped = round(run.high_limit_time / HOUR)
    assert 0 < tripped < 24
    assert run.top_temperature.max() <= 80.0
    assert np.all(run.accepted_power[tripped:] == 0.0)
    with pytest.raises(OutOfRange, match="all tanks hold the same water"):
        stratified.simulate(
            (TANK, stratified.Tank(0.1, 3, 1.0, volumetric_heat_capacity=4e6)), (50.0, 50.0), full,
            np.zeros(48), COLD, ROOM, TAP, 60.0, 5.0, HOUR,
        )  # fmt: skip


@pytest.mark.parametrize("element", ["sun", "grid"])
@pytest.mark.parametrize("step", [600.0, HOUR])
def test_a_thermostat_closes_within_a_long_step(element, step):
    """One node cools from 60 to 55 degC in (C / UA) ln(40 / 35), then takes all power that is
    offered: 23.29 h, the 0.29 h of which fall within a step."""
    tank = stratified.Tank(0.3, 1, 2.0, volumetric_heat_capacity=4186e3)
    closes = 0.3 * 4186e3 / 2.0 * math.log(40.0 / 35.0)
    count = round(DAY / step)
    power, zero = np.full(count, 500.0), np.zeros(count)
    on_grid = element == "grid"
    run = stratified.simulate(
        tank, 60.0, zero if on_grid else power, zero, COLD, ROOM, TAP, 60.0, 5.0, step,
        500.0 if on_grid else 0.0, grid_setpoint=60.0 if on_grid else math.nan,
    )  # fmt: skip
    taken = run.energy_grid if on_grid else run.energy_in
    assert taken == pytest.approx(500.0 * (DAY - closes), rel=1e-9)


def test_thermostats_know_what_happened_in_the_dark():
    """One that closed in the night heats in the morning, though the grid element had warmed its
    node above the lower end again."""
    tank = stratified.Tank(0.2, 1, 5.0)
    dark, light = np.zeros(60), np.full(10, 500.0)
    grid = np.append(np.append(np.zeros(40), np.full(20, 2000.0)), np.zeros(10))
    run = stratified.simulate(
        tank, 60.0, np.append(dark, light), np.zeros(70), COLD, ROOM, TAP, 60.0, 5.0, HOUR,
        grid, 0.8, 58.0,
    )  # fmt: skip
    before = run.element_temperature[59]
    assert run.element_temperature[:40].min() < 55.0 < before < 60.0
    assert run.accepted_power[60] > 0.0


@pytest.mark.parametrize(
    ("number", "rounds"), [(0.0, 1), (0.2, 1), (0.25, 1), (0.26, 2), (0.5, 2), (0.51, 3), (2.0, 8)]
)
def test_conduction_goes_in_rounds_of_a_quarter_at_most(number, rounds):
    """By the powers of one explicit round's matrix; then one loss to the room."""
    begun = np.array([12.0, 61.0, 33.0, 47.0])
    ends = np.eye(4)[[0, 0, 1, 2]] + np.eye(4)[[1, 2, 3, 3]] - 2.0 * np.eye(4)
    one = np.eye(4) + number / rounds * ends
    expected = 0.9 * np.linalg.matrix_power(one, rounds) @ begun + 1.5
    levels = begun.tolist()
    tank_kernel.relax(levels, number, 0.9, 1.5)
    assert levels == pytest.approx(expected)


@pytest.mark.parametrize(
    ("begun", "inlet", "expected"),
    [
        ([20.0, 30.0, 50.0], 10.0, [15.0, 25.0, 40.0]),
        ([20.0, 30.0, 50.0], 60.0, [32.5, 32.5, 40.0]),  # 40, 25 and 40 before the warm one rises
        ([20.0, 30.0], 60.0, [32.5, 32.5]), ([20.0], 60.0, [40.0]),
    ],
)  # fmt: skip
def test_half_a_node_is_drawn_by_hand(begun, inlet, expected):
    tank_kernel.draw_plug(begun, 0.5, inlet)
    assert begun == pytest.approx(expected)


@pytest.mark.parametrize(
    ("node", "stop", "rise", "taken", "expected"),
    [
        (0, 60.0, 5.0, 5.0, [25.0, 30.0, 50.0]), (0, 60.0, 15.0, 15.0, [32.5, 32.5, 50.0]),
        (0, 60.0, 60.0, 60.0, [160.0 / 3.0] * 3), (0, 60.0, 99.0, 80.0, [60.0] * 3),
        (0, 40.0, 99.0, 30.0, [40.0, 40.0, 50.0]), (0, 20.0, 9.0, 0.0, [20.0, 30.0, 50.0]),
        (1, 60.0, 8.0, 8.0, [20.0, 38.0, 50.0]), (1, 60.0, 99.0, 40.0, [20.0, 60.0, 60.0]),
        (2, 60.0, 99.0, 10.0, [20.0, 30.0, 60.0]),
    ],
)  # fmt: skip
def test_a_node_is_heated_by_hand(node, stop, rise, taken, expected):
    """Of 20, 30 and 50 degC: the heated node takes those above it along that it overtakes."""
    levels = [20.0, 30.0, 50.0]
    assert tank_kernel.heat_up(levels, node, stop, rise) == pytest.approx(taken)
    assert levels == pytest.approx(expected)


@pytest.mark.parametrize(
    ("begun", "settled"),
    [([50.0, 30.0], [40.0, 40.0]), ([20.0, 50.0, 30.0], [20.0, 40.0, 40.0]),
     ([60.0, 30.0, 30.0], [40.0] * 3), ([40.0, 30.0, 50.0], [35.0, 35.0, 50.0]), ([7.0], [7.0])],
)  # fmt: skip
def test_warmer_water_rises_until_none_lies_below_cooler(begun, settled):
    tank_kernel.settle(begun)
    assert begun == pytest.approx(settled)


@pytest.mark.parametrize(
    ("temperature", "closes", "room", "rate", "rests"),
    [
        (50.0, 55.0, 20.0, 0.0, 0.0), (55.0, 55.0, 20.0, 0.0, 0.0), (56.0, 55.0, 20.0, 0.0, 600.0),
        (56.0, 55.0, 60.0, 1e-4, 600.0), (15.0, 55.0, 20.0, 1e-4, 0.0),
        # 35 exp(0.02) K and 35 exp(-0.01) K above the room in the middle, and 35 K where it closes
        (20.0 + 35.0 * math.exp(0.02), 55.0, 20.0, 1e-4, 500.0),
        (20.0 + 35.0 * math.exp(-0.01), 55.0, 20.0, 1e-4, 200.0),
        (90.0, 55.0, 20.0, 1e-4, 600.0), (40.0, 55.0, 20.0, 1e-4, 0.0),
    ],
)  # fmt: skip
def test_how_long_a_thermostat_rests_by_hand(temperature, closes, room, rate, rests):
    """In 600 s; half of it is over in the middle, and 0.01 of cooling takes 100 s."""
    assert tank_kernel._rest(temperature, closes, room, rate, 600.0) == pytest.approx(rests)


@pytest.mark.parametrize(
    ("closed", "setpoint", "limit", "rate", "expected"),
    [
        (True, 60.0, 70.0, 0.05, (30.0, True, False)),
        (True, 60.0, 70.0, 0.1, (40.0, False, False)),
        (True, 60.0, 50.0, 0.1, (30.0, True, True)), (True, 60.0, 60.0, 0.1, (40.0, False, True)),
        (False, 60.0, 70.0, 0.05, (0.0, False, False)),
    ],
)  # fmt: skip
def test_what_an_element_takes_until_something_opens(closed, setpoint, limit, rate, expected):
    """One node of 20 degC for 600 s; an open thermostat, of 15 degC, does not close."""
    found = tank_kernel.heat_by_thermostat(
        [20.0], 0, closed, rate, setpoint, 15.0, limit, 20.0, 0.0, 600.0
    )
    assert found == (pytest.approx(expected[0]), *expected[1:])
