"""Invariants of the heated tank."""

from __future__ import annotations

import math
from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.references import mixed_tank
from wellsolar.errors import OutOfRange
from wellsolar.physics.tank import stratified

STEPS = 48

modest = settings(max_examples=50, deadline=None)

tanks = st.builds(
    stratified.Tank,
    volume=st.floats(0.05, 1.0),
    nodes=st.integers(1, 15),
    heat_loss_coefficient=st.floats(0.0, 10.0),
    element_height=st.floats(0.0, 1.0),
    effective_conductivity=st.floats(0.0, 5.0),
)


@st.composite
def runs(draw: st.DrawFn, **fixed: object) -> tuple[stratified.Tank, dict[str, object]]:
    """A tank and everything `simulate` asks beside it."""
    tank = draw(tanks)
    seed = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    cold = draw(st.floats(2.0, 25.0))
    arguments: dict[str, object] = {
        "start_temperatures": seed.uniform(5.0, 70.0, tank.nodes),
        "heater_power": seed.uniform(0.0, 4000.0, STEPS) * (seed.random(STEPS) < 0.6),
        "tap_draw": seed.uniform(0.0, 0.2, STEPS) * (seed.random(STEPS) < 0.4),
        "inlet_temperature": cold,
        "room_temperature": draw(st.floats(0.0, 35.0)),
        "tap_temperature": draw(st.floats(38.0, 50.0)),
        "setpoint": draw(st.floats(45.0, 90.0)),
        "hysteresis": draw(st.floats(0.0, 10.0)),
        "step": draw(st.sampled_from([60.0, 300.0, 900.0, 3600.0])),
        "grid_power": draw(st.sampled_from([0.0, 3000.0])),
        "grid_setpoint": draw(st.sampled_from([math.nan, 50.0])),
    }
    return tank, {**arguments, **fixed}


@modest
@given(runs())
def test_energy_balance_closes(case: tuple[stratified.Tank, dict[str, object]]) -> None:
    tank, arguments = case
    run = stratified.simulate(tank, **arguments)  # type: ignore[arg-type]
    assert run.balance_error < 1e-10
    stored = (
        tank.heat_capacity
        / tank.nodes
        * (run.end_temperatures.sum() - np.sum(arguments["start_temperatures"]))  # type: ignore[call-overload]
    )
    inflow = run.energy_in + run.energy_grid
    outflow = run.losses[0] + run.passed[-1]
    assert inflow - outflow == pytest.approx(stored, rel=1e-9, abs=1.0)


@modest
@given(runs())
def test_run_stays_within_what_is_physical(
    case: tuple[stratified.Tank, dict[str, object]],
) -> None:
    tank, arguments = case
    run = stratified.simulate(tank, **arguments)  # type: ignore[arg-type]
    ends = run.end_temperatures
    assert np.all(np.diff(ends) >= -1e-9), "never warmer below"
    given_temperatures = [
        *np.asarray(arguments["start_temperatures"]).tolist(),
        arguments["inlet_temperature"],
        arguments["room_temperature"],
    ]
    low = min(given_temperatures)
    high = max(*given_temperatures, arguments["setpoint"], 50.0)
    for series in (run.mean_temperature, run.top_temperature, run.element_temperature, ends):
        assert np.all((series >= low - 1e-9) & (series <= high + 1e-9))
    assert np.all(run.accepted_power <= np.asarray(arguments["heater_power"]) * (1 + 1e-12))
    assert np.all(run.accepted_power >= 0)
    assert np.all(run.grid_power <= arguments["grid_power"] + 1e-9)  # type: ignore[operator]
    assert run.passed[-1] <= run.energy_wanted * (1 + 1e-12) + 1e-6
    assert run.energy_short == pytest.approx(
        run.energy_wanted - run.passed[-1], rel=1e-9, abs=1e-3
    )
    assert 0 <= run.tap_volume <= np.sum(arguments["tap_draw"]) * (1 + 1e-12)  # type: ignore[call-overload]
    assert run.times[-1] == STEPS * arguments["step"]  # type: ignore[operator]


@modest
@given(runs(tap_draw=np.zeros(STEPS), setpoint=math.inf, grid_power=0.0), st.floats(0.0, 4000.0))
def test_undrawn_tank_follows_the_closed_form(
    case: tuple[stratified.Tank, dict[str, object]], power: float
) -> None:
    """Uniform wall loss makes the mean of any stratified tank obey the mixed tank's equation."""
    tank, arguments = case
    arguments["heater_power"] = np.full(STEPS, power)
    start = float(np.mean(arguments["start_temperatures"]))  # type: ignore[call-overload]
    run = stratified.simulate(tank, **arguments)  # type: ignore[arg-type]
    room = float(arguments["room_temperature"])  # type: ignore[arg-type]
    exact = mixed_tank.after_constant_power(
        run.times, start, power, tank.heat_loss_coefficient, room, tank.heat_capacity
    )
    # the symmetric split is off by (k dt)^2 / 24 of the rise that the power would give
    number = tank.heat_loss_coefficient / tank.heat_capacity * float(arguments["step"])  # type: ignore[arg-type]
    rise = power * run.times / tank.heat_capacity
    assert np.all(np.abs(run.mean_temperature - exact) <= 1e-6 + number**2 / 20 * rise)


def test_thermostat_stops_exactly_at_its_setpoint_and_waits_for_its_hysteresis() -> None:
    tank = stratified.Tank(0.2, 8, 0.0, effective_conductivity=0.0)
    power, draws = np.full(40, 3000.0), np.zeros(40)
    run = stratified.simulate(tank, 15.0, power, draws, 10.0, 20.0, 45.0, 60.0, 5.0, 600.0)
    heated = tank.nodes - tank.node_at(tank.element_height)
    assert run.energy_in == pytest.approx(tank.heat_capacity * heated / tank.nodes * 45.0)
    assert run.element_temperature.max() == pytest.approx(60.0, abs=1e-9)
    assert np.count_nonzero(run.accepted_power) < 40
    assert run.end_temperatures[0] == 15.0, "below the element stays cold"

    leaky = stratified.Tank(0.02, 1, 10.0)
    power, draws = np.full(400, 3000.0), np.zeros(400)
    run = stratified.simulate(leaky, 50.0, power, draws, 10.0, 20.0, 45.0, 60.0, 5.0, 60.0)
    resting = run.accepted_power == 0
    assert resting.any()
    # an idle minute cools it by 0.3 K, and it may rest through the minute that crosses 55 degC
    assert 54.7 < run.mean_temperature[resting].min() < 55.3


def test_high_limit_latches_both_elements() -> None:
    tank = stratified.Tank(0.2, 8, 5.0)
    power, draws = np.full(2000, 4000.0), np.zeros(2000)
    run = stratified.simulate(
        tank, 20.0, power, draws, 10.0, 20.0, 45.0, math.inf, 5.0, 60.0,
        grid_power=1000.0, grid_setpoint=50.0, high_limit=80.0,
    )  # fmt: skip
    tripped = round(run.high_limit_time / 60.0)
    # the temperature at the end of a step is half a step's loss below the trip, 0.011 K
    assert run.top_temperature.max() == pytest.approx(80.0, abs=0.02)
    assert np.all(run.accepted_power[tripped:] == 0)
    assert np.all(run.grid_power[tripped:] == 0)
    assert run.mean_temperature[-1] < 75.0
    free = stratified.simulate(tank, 20.0, power, draws, 10.0, 20.0, 45.0, 60.0, 5.0, 60.0)
    assert math.isnan(free.high_limit_time)


@pytest.mark.parametrize(
    ("tanks", "limit", "opens"),
    [(1, 45.0, False), (1, 40.0, True), (2, 85.0, False), (2, 75.0, True)],
)
def test_the_high_limit_senses_the_grid_element_or_the_top_of_the_tank_before_it(
    tanks: int, limit: float, opens: bool
) -> None:
    """Of 20, 40, 60 and 80 degC, with the grid element in the second layer."""
    layers = [20.0, 40.0, 60.0, 80.0]
    tank = stratified.Tank(0.2, 4, 0.0, 0.1, effective_conductivity=0.0)
    run = stratified.simulate(
        [tank] * tanks, [layers] * tanks, np.full(1, 100.0), np.zeros(1), 10.0, 20.0, 50.0, 90.0,
        5.0, 60.0, grid_height=0.3, high_limit=limit,
    )  # fmt: skip
    assert run.energy_in == (0.0 if opens else pytest.approx(6000.0))
    assert np.isnan(run.high_limit_time) != opens


def test_warm_inlet_below_cold_tank_rises() -> None:
    tank = stratified.Tank(0.2, 8, 0.0)
    run = stratified.simulate(
        tank, 10.0, np.zeros(4), np.full(4, 0.03), 25.0, 20.0, 45.0, 60.0, 5.0, 600.0
    )
    assert np.all(np.diff(run.end_temperatures) >= -1e-12)
    assert run.end_temperatures[-1] > 10.0
    assert run.tap_volume == 0.0
    assert run.passed[-1] < 0.0, "it took up heat of the inlet"


def test_simulate_refuses_what_it_cannot_step() -> None:
    tank, zero = stratified.Tank(0.2, 4, 1.0), np.zeros(3)
    with pytest.raises(OutOfRange, match="step is 7200 s"):
        stratified.simulate(tank, 20.0, zero, zero, 10.0, 20.0, 45.0, 60.0, 5.0, 7200.0)
    with pytest.raises(OutOfRange, match=r"tap draw \[m3\]: needs 3 finite values"):
        stratified.simulate(tank, 20.0, zero, np.zeros(4), 10.0, 20.0, 45.0, 60.0, 5.0, 60.0)
    with pytest.raises(OutOfRange, match=r"heater power \[W\]: -1.0 is below 0"):
        stratified.simulate(tank, 20.0, zero - 1, zero, 10.0, 20.0, 45.0, 60.0, 5.0, 60.0)
    # Nothing drawn and no power are no mistake: the one that is negative is named.
    with pytest.raises(OutOfRange, match=r"tap draw \[m3\]: -1.0 is below 0"):
        stratified.simulate(tank, 20.0, zero, zero - 1, 10.0, 20.0, 45.0, 60.0, 5.0, 60.0)
    with pytest.raises(OutOfRange, match="volume is 0 m3"):
        stratified.Tank(0.0, 4, 1.0)


@pytest.mark.parametrize(
    ("moved", "years"),
    [
        ([[0.19, 0.19]], 1), ([[-0.19, -0.19]], 1), ([[0.21, 0.21]], 2), ([[-0.21, -0.21]], 2),
        ([[0.6, -0.6]], 1),  # by the mean of its nodes
        ([[0.0, 0.0], [0.3, 0.3]], 2),  # the worst of two tanks
    ],
)  # fmt: skip
@pytest.mark.parametrize("step", [3600.0, 900.0])
def test_a_year_begins_as_its_last_month_ends_and_again_where_it_ends_otherwise(
    moved: list[list[float]], years: int, step: float
) -> None:
    steps = np.full(round(365 * 86400 / step), step)
    parts: list[np.ndarray] = []

    def run(starts: Sequence[stratified.Start], part: slice) -> Any:
        parts.append(steps[part])
        ends = [np.asarray(one) + by for one, by in zip(starts, moved, strict=True)]
        return SimpleNamespace(ends=tuple(ends))

    begun = [np.array([20.0, 40.0]) for _ in moved]
    starts, year = stratified.begun_as_it_ends(run, begun, steps)
    assert [part.sum() / 86400 for part in parts] == [30.0, *[365.0] * years]
    for start, end, from_, by in zip(starts, year.ends, begun, moved, strict=True):
        assert start == pytest.approx(from_ + years * np.asarray(by))
        assert end == pytest.approx(start + by)


@pytest.mark.parametrize("errors", [(0.3, 0.1), (0.1, 0.3)])
def test_the_balance_that_is_told_is_the_worst_of_the_tanks(
    errors: tuple[float, float], monkeypatch: pytest.MonkeyPatch
) -> None:
    of_tanks = iter(errors)
    monkeypatch.setattr(stratified, "_balance_error", lambda *_: next(of_tanks))
    tank, none = stratified.Tank(0.2, 4, 1.0), np.zeros(2)
    run = stratified.simulate(
        [tank, tank], [20.0, 20.0], none, none, 10.0, 20.0, 45.0, 60.0, 5.0, 60.0
    )
    assert run.balance_error == 0.3


def test_ends_of_steps_and_what_of_a_balance_is_left_open() -> None:
    assert stratified._step_ends(60.0, 3).tolist() == [60.0, 120.0, 180.0]
    assert stratified._step_ends(np.array([60.0, 30.0]), 2).tolist() == [60.0, 90.0]
    assert stratified._balance_error([2.0], [1.0]) == 0.5
    assert stratified._balance_error([1.0, 2.0], [4.0]) == 0.25
    assert stratified._balance_error([0.5], [0.25]) == 0.25  # over 1 J at least
    assert stratified._balance_error([-8.0], [2.0]) == 1.25
