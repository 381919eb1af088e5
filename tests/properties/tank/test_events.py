"""Steps along draws and sun: nothing is lost by merging, and every event is an end of a step."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.references.hourly_draw import hourly_draw
from wellsolar.constants import DAY, HOUR
from wellsolar.data.hot_water_tables import FIRST_DRAW, Draw, draw_pattern, patterns
from wellsolar.errors import OutOfRange
from wellsolar.physics.tank import events as tank_events

modest = settings(max_examples=50, deadline=None)
NO_DRAWS = tank_events.Draws(*(np.zeros(0) for _ in range(3)))


@st.composite
def given_runs(draw: st.DrawFn) -> tuple[np.ndarray, tank_events.Draws, float]:
    """Power of some hours in steps of a series, and draws that may overlap."""
    step = draw(st.sampled_from([60.0, 300.0, 3600.0 / 7, 900.0, 1800.0, 3600.0]))
    hours = draw(st.integers(1, 30))
    random = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    count = round(hours * HOUR / step)
    power = random.uniform(0.0, 3000.0, count) * (random.random(count) < random.random())
    many = draw(st.integers(0, 12))
    ends = np.sort(random.uniform(0.0, hours * HOUR, (many, 2)), axis=1)
    ends[:, 1] = np.minimum(ends[:, 0] + 1e-3 + 0.2 * np.diff(ends)[:, 0], hours * HOUR)
    ends[:, 0] = np.minimum(ends[:, 0], ends[:, 1] - 1e-3)
    draws = tank_events.Draws(
        np.maximum(ends[:, 0], 0.0), np.diff(ends)[:, 0], random.uniform(0.0, 0.1, many)
    )
    return power, draws, step


@modest
@given(given_runs(), st.sampled_from([120.0, 600.0, 1800.0, 7200.0]))
def test_steps_keep_every_joule_and_every_litre(run, longest) -> None:
    power, draws, step = run
    made = tank_events.schedule(power, draws, step, longest)
    length = power.size * step
    assert made.step.sum() == pytest.approx(length, rel=1e-12)
    assert np.all(made.step > 0)
    assert np.all(made.step <= HOUR * (1 + 1e-9))
    energy = made.heater_power * made.step
    assert energy.sum() == pytest.approx(power.sum() * step, rel=1e-12, abs=1e-6)
    assert made.tap_draw.sum() == pytest.approx(draws.volume.sum(), rel=1e-12)
    in_hours = power.reshape(-1, round(HOUR / step)).sum(axis=1) * step
    np.testing.assert_allclose(made.sums(energy), in_hours, rtol=1e-9, atol=1e-4)
    ends = np.append(0.0, np.cumsum(made.step))
    events = np.concatenate(
        [draws.start, draws.start + draws.duration, np.arange(0, length, HOUR)]
    )
    nearest = np.abs(ends[:, None] - events).min(axis=0)
    assert np.all(nearest < 2e-6)
    np.testing.assert_allclose(made.at_ends(ends[1:]), HOUR * np.arange(1, in_hours.size + 1))


@modest
@given(given_runs(), st.sampled_from([120.0, 600.0, 1800.0]))
def test_busy_steps_are_short_and_draws_lie_where_they_belong(run, longest) -> None:
    power, draws, step = run
    made = tank_events.schedule(power, draws, step, longest_busy=longest)
    busy = (made.heater_power > 1e-6) | (made.tap_draw > 0)
    assert np.all(made.step[busy] <= longest + 1e-5)
    ends = np.append(0.0, np.cumsum(made.step))
    wanted = sum(
        (
            volume * np.clip((ends - start) / duration, 0.0, 1.0)
            for start, duration, volume in zip(
                draws.start, draws.duration, draws.volume, strict=True
            )
        ),
        np.zeros(ends.size),
    )
    # ends of draws are rounded to a microsecond, the shortest here last a millisecond
    np.testing.assert_allclose(np.append(0.0, np.cumsum(made.tap_draw)), wanted, atol=3e-4)


def test_sums_and_ends_of_hours_by_hand() -> None:
    step = np.array([1800.0, 1800.0, 3600.0, 600.0, 3000.0])
    made = tank_events.Schedule(step, step, step)
    each = np.array([1.0, 2.0, 3.0, 4.0, 5.0])
    assert made.sums(each).tolist() == [3.0, 3.0, 9.0]
    assert made.at_ends(each).tolist() == [2.0, 3.0, 5.0]
    assert made.sums(each, 3 * HOUR).tolist() == [15.0]
    for period in (2 * HOUR, 4 * HOUR, 1800.0, 7 * HOUR):
        with pytest.raises(OutOfRange, match="the steps do not keep to such periods"):
            made.sums(each, period)


@pytest.mark.parametrize(
    ("series_step", "longest", "ends"),
    [
        (HOUR, 600.0, [3600, 4200, 4800, 5400, 6000, 6600, 7200, 10800]),
        (HOUR, 2000.0, [3600, 5400, 7200, 10800]),
        (HOUR, HOUR, [3600, 7200, 10800]),
        (900.0, 1900.0, [3600, 5400, 7200, 10800]),
        (900.0, 900.0, [3600, 4500, 5400, 6300, 7200, 10800]),
        (1800.0, 500.0, [3600, 4050, 4500, 4950, 5400, 5850, 6300, 6750, 7200, 10800]),
    ],
)
def test_sun_of_the_second_hour_is_cut_and_the_dark_is_not(series_step, longest, ends) -> None:
    """Into whole parts of the series' step, or of whole ones of it, at most as long as asked."""
    per_hour = round(HOUR / series_step)
    power = np.repeat([0.0, 500.0, 0.0], per_hour)
    made = tank_events.schedule(power, NO_DRAWS, series_step, longest)
    assert np.cumsum(made.step).tolist() == ends
    middle = np.cumsum(made.step) - made.step / 2.0
    assert made.heater_power == pytest.approx(np.where(middle // HOUR == 1, 500.0, 0.0))


def test_two_draws_that_overlap_by_hand() -> None:
    """From 600 to 1200 s 6 l and from 900 to 1500 s 12 l: 3, 3 + 6 and 6 l."""
    draws = tank_events.Draws(
        np.array([600.0, 900.0]), np.array([600.0, 600.0]), np.array([0.006, 0.012])
    )
    made = tank_events.schedule(np.zeros(1), draws, HOUR, HOUR)
    assert np.cumsum(made.step).tolist() == [600.0, 900.0, 1200.0, 1500.0, 3600.0]
    assert made.tap_draw == pytest.approx([0.0, 0.003, 0.009, 0.006, 0.0])


def test_dark_hours_without_draws_are_one_step_each() -> None:
    made = tank_events.schedule(np.zeros(48), NO_DRAWS, HOUR)
    np.testing.assert_array_equal(made.step, np.full(48, HOUR))
    lit = np.zeros(48)
    lit[10] = 100.0
    made = tank_events.schedule(lit, NO_DRAWS, HOUR)
    np.testing.assert_array_equal(made.step, [HOUR] * 10 + [600.0] * 6 + [HOUR] * 37)
    assert made.tap_draw.sum() == 0


@pytest.mark.parametrize("name", patterns())
def test_a_pattern_by_its_draws_and_by_hours_is_the_same_water(name) -> None:
    draws = tank_events.every_day(draw_pattern(name), 3, FIRST_DRAW, 0.2)
    made = tank_events.schedule(np.zeros(72), draws, HOUR)
    by_hours = np.tile(hourly_draw(name, 0.2), 3)
    np.testing.assert_allclose(made.sums(made.tap_draw), by_hours, atol=1e-9)


def test_a_draw_past_the_end_begins_the_run() -> None:
    late = [Draw(20 * HOUR, 0.09, 0.01 / HOUR)]
    draws = tank_events.every_day(late, 2, 0.0)
    assert draws.start.tolist() == [0.0, 20 * HOUR, 44 * HOUR]
    assert draws.duration == pytest.approx([5 * HOUR, 9 * HOUR, 4 * HOUR])
    assert draws.volume == pytest.approx([0.05, 0.09, 0.04])


def test_what_makes_no_steps_is_refused() -> None:
    with pytest.raises(OutOfRange, match="series step is 7000 s"):
        tank_events.schedule(np.zeros(4), NO_DRAWS, 7000.0)
    with pytest.raises(OutOfRange, match="heater power is -1 W"):
        tank_events.schedule(np.full(4, -1.0), NO_DRAWS, HOUR)
    with pytest.raises(OutOfRange, match="heater power is nan W"):
        tank_events.schedule(np.full(4, np.nan), NO_DRAWS, HOUR)
    late = tank_events.Draws(np.array([3 * HOUR]), np.array([2 * HOUR]), np.array([0.1]))
    with pytest.raises(OutOfRange, match="end of a draw is 18000 s"):
        tank_events.schedule(np.zeros(4), late, HOUR)
    with pytest.raises(OutOfRange, match="day of draws is empty"):
        tank_events.every_day([], 1, 0.0)
    with pytest.raises(OutOfRange, match="flow of a draw"):
        tank_events.every_day([Draw(0.0, 0.1, 0.0)], 1, 0.0)
    with pytest.raises(OutOfRange, match="steps do not keep"):
        tank_events.schedule(np.zeros(4), NO_DRAWS, HOUR).sums(np.zeros(4), DAY)


@pytest.mark.parametrize(
    ("steps", "period", "whole"),
    [
        ((2.0, 2.0, 2.0), 2.0, True), ((1.0, 1.0, 4.0, 2.0), 2.0, False),
        ((2.0, 2.0, 2.0), 6.0, True), ((2.0, 2.0, 2.0), 3.0, False),
        ((1.0, 1.0, 1.0), 2.0, False), ((1.0, 1.0, 1.0), 7.0, False),
    ],
)  # fmt: skip
def test_sums_want_steps_that_keep_to_their_periods(
    steps: tuple[float, ...], period: float, whole: bool
) -> None:
    none = np.zeros(len(steps))
    schedule = tank_events.Schedule(np.array(steps), none, none)
    energy = np.arange(1.0, len(steps) + 1.0)
    if whole:
        each = energy.reshape(round(sum(steps) / period), -1)
        assert schedule.sums(energy, period).tolist() == each.sum(axis=1).tolist()
        assert schedule.at_ends(energy, period).tolist() == each[:, -1].tolist()
        return
    with pytest.raises(OutOfRange, match="do not keep to such periods"):
        schedule.sums(energy, period)


@pytest.mark.parametrize(
    ("spacing", "length", "times"),
    [
        (900.0, 3600.0, [0, 900, 1800, 2700, 3600]),
        (1500.0, 6000.0, [0, 1500, 3000, 3600, 5100, 6000]),
        (20.0, 100.0, [0, 20, 40, 60, 80, 100]),
        (3600.0, 10_800.0, [0, 3600, 7200, 10_800]),
    ],
)
def test_a_lattice_starts_anew_at_every_hour(spacing, length, times) -> None:
    assert tank_events._lattice(spacing, length).tolist() == times
