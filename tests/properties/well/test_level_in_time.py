"""What must hold for any well in time, step test and pumping test."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.references.steady_pump import pumped_day, time_to_level
from tests.references.theis import superposed_drawdown, theis_drawdown
from wellsolar.constants import DAY
from wellsolar.errors import OutOfRange
from wellsolar.physics.well import pumping_tests as well_tests
from wellsolar.physics.well import step_drawdown as step_test
from wellsolar.physics.well.casing_balance import AquiferWell
from wellsolar.physics.well.level_in_time import (
    WellModel,
    level_through,
    sustained_flow,
    well_at_rest,
)
from wellsolar.physics.well.pumped import first_run, pumped_on_and_off

few = settings(max_examples=40, deadline=None)
fewer = settings(max_examples=15, deadline=None)

transmissivities = st.floats(-6.0, -3.0).map(lambda x: 10.0**x)
storages = st.floats(-5.0, -0.7).map(lambda x: 10.0**x)
flows = st.floats(1e-5, 1e-3)
losses = st.sampled_from([0.0, 1e4, 1e7])
areas = st.floats(0.005, 0.2)


@st.composite
def models(draw: st.DrawFn) -> WellModel:
    """A well of either kind."""
    area, loss = draw(areas), draw(losses)
    if draw(st.booleans()):
        return WellModel(20.0, area, specific_capacity=draw(transmissivities), well_loss=loss)
    return WellModel(
        20.0,
        area,
        transmissivity=draw(transmissivities),
        storage=draw(storages),
        radius=draw(st.floats(0.05, 0.3)),
        well_loss=loss,
    )


@fewer
@given(models(), flows)
def test_level_falls_while_pumping_and_comes_back(model: WellModel, flow: float) -> None:
    times = np.concatenate((np.linspace(0.0, 7200.0, 8), np.linspace(9000.0, 86_400.0, 8)))
    levels = level_through(model, times, np.where(times[1:] <= 7200.0, flow, 0.0))
    assert levels[0] == model.static_level
    assert np.all(np.diff(levels[:8]) >= -1e-9)
    assert np.all(np.diff(levels[7:]) <= 1e-9)
    assert np.all(levels >= model.static_level - 1e-9)
    # Never deeper than the casing alone, without any inflow.
    alone = model.static_level + flow * np.minimum(times, 7200.0) / model.storage_area
    assert np.all(levels <= alone * (1.0 + 1e-9))


@fewer
@given(models(), flows)
def test_more_flow_draws_deeper_and_two_pumps_are_their_sum(model: WellModel, flow: float) -> None:
    times = np.array([0.0, 600.0, 3600.0])
    one = level_through(model, times, np.array([flow, flow]))
    two = level_through(model, times, np.full((2, 2), flow))
    both = level_through(model, times, np.full(2, 2.0 * flow))
    assert np.all(two[1:] > one[1:])
    assert np.array_equal(two, both)


@fewer
@given(models(), flows, st.floats(1.0, 60.0))
def test_level_is_met_at_the_time_given(model: WellModel, flow: float, drawdown: float) -> None:
    needed = time_to_level(model, flow, model.static_level + drawdown)
    assert needed >= drawdown * model.storage_area / flow * (1.0 - 1e-9)
    if math.isfinite(needed):
        levels = level_through(model, np.array([0.0, needed]), np.array([flow]))
        assert levels[-1] - model.static_level == pytest.approx(drawdown, rel=1e-5)


@fewer
@given(models(), st.floats(2.0, 40.0))
def test_a_season_sustains_less_than_a_day(model: WellModel, allowed: float) -> None:
    lowest = model.static_level + allowed
    hour, day, season = (sustained_flow(model, lowest, each) for each in (3600.0, DAY, 90.0 * DAY))
    assert hour >= day * (1.0 - 1e-7) >= season * (1.0 - 1e-6) > 0.0
    levels = level_through(model, np.array([0.0, DAY]), np.array([day]))
    assert levels[-1] == pytest.approx(lowest, rel=1e-5)


@fewer
@given(models(), flows, st.floats(5.0, 40.0), st.floats(0.3, 0.8))
def test_a_day_on_and_off(model: WellModel, flow: float, stop: float, part: float) -> None:
    static = model.static_level
    day = pumped_day(model, flow, static + stop, static + part * stop)
    assert day.starts >= 1
    assert day.volume == pytest.approx(flow * day.pumping_time)
    assert day.volume <= flow * DAY * (1.0 + 1e-9)
    # Casing and aquifer give the water between them.
    from_casing = model.storage_area * (day.end_level - static)
    assert day.volume == pytest.approx(day.inflow_volume + from_casing)
    assert static - 1e-6 <= day.end_level <= (static + stop) * (1.0 + 1e-6)
    # Kept at the stop level all day, a steady inflow would give the most.
    if model.specific_capacity is not None:
        assert day.inflow_volume <= model.specific_capacity * stop * DAY * (1.0 + 1e-9)
    wider = pumped_day(model, flow, static + stop, static + 0.5 * part * stop)
    assert wider.starts <= day.starts


@fewer
@given(transmissivities, st.floats(-5.0, -3.0).map(lambda x: 10.0**x), flows)
def test_a_thin_casing_late_is_theis(t: float, s: float, flow: float) -> None:
    model = WellModel(0.0, 1e-6, transmissivity=t, storage=s, radius=0.1)
    at = 1e4 * s * 0.1**2 / t + 1e3 * 1e-6 / t
    level = level_through(model, np.array([0.0, at]), np.array([flow]))[-1]
    assert level == pytest.approx(theis_drawdown(flow, at, t, s, 0.1), rel=2e-3)


@fewer
@given(transmissivities, storages, flows)
def test_a_wide_casing_early_is_a_tank(t: float, s: float, flow: float) -> None:
    model = WellModel(0.0, 1.0, transmissivity=t, storage=s, radius=0.1)
    at = 1e-4 / t
    level = level_through(model, np.array([0.0, at]), np.array([flow]))[-1]
    assert 0.9 * flow * at <= level <= flow * at * (1.0 + 1e-9)


def test_the_pump_stops_at_its_lowest_level_until_the_next_moment() -> None:
    model = WellModel(20.0, 0.02, specific_capacity=1e-6)
    times = np.array([0.0, 3600.0, 7200.0, 7260.0])
    levels = level_through(model, times, np.array([5e-4, 0.0, 1e-4]), lowest_level=40.0)
    assert 20.0 < levels[2] < levels[1] < 40.0
    free = level_through(model, times, np.array([5e-4, 0.0, 1e-4]))
    assert free[1] > 40.0


def test_long_on_and_off_pumping_keeps_its_memory_small_and_right() -> None:
    """A hundred cycles draw, late, like their mean flow."""
    model = WellModel(0.0, 0.02, transmissivity=2e-5, storage=1e-3, radius=0.08)
    times = np.arange(0.0, 201.0) * 900.0
    cycles = level_through(model, times, np.tile([4e-4, 0.0], 100))
    mean = level_through(model, times, np.full(200, 2e-4))
    assert 0.5 * (cycles[-1] + cycles[-2]) == pytest.approx(mean[-1], rel=0.1)
    after = np.append(times, times[-1] + 2e6)
    rest = level_through(model, after, np.append(np.tile([4e-4, 0.0], 100), 0.0))
    still = level_through(model, after, np.append(np.full(200, 2e-4), 0.0))
    assert rest[-1] == pytest.approx(still[-1], rel=2e-3)


@few
@given(
    st.floats(10.0, 1e5), st.floats(0.0, 1e7), st.lists(flows, min_size=2, max_size=6, unique=True)
)
def test_settled_steps_give_back_their_losses(b: float, c: float, rates: list[float]) -> None:
    steps = np.array(sorted(rates))
    if np.min(np.diff(steps)) < 1e-5:
        return
    fit = step_test.fit_steps(steps, step_test.jacob_drawdown(steps, b, c))
    assert fit.aquifer_loss == pytest.approx(b, rel=1e-6, abs=1e-3)
    assert fit.well_loss == pytest.approx(c, rel=1e-6, abs=1.0)
    assert 0.0 < fit.efficiency(float(steps[-1])) <= 1.0 + 1e-12


@few
@given(st.floats(10.0, 1e5), st.floats(1.0, 1e7), st.floats(0.01, 0.99))
def test_flow_for_a_share_of_well_loss(b: float, c: float, share: float) -> None:
    flow = step_test.flow_for_loss_share(share, b, c)
    drawdown = step_test.jacob_drawdown(flow, b, c)
    assert c * flow**2 / drawdown == pytest.approx(share, rel=1e-9)


@fewer
@given(transmissivities, st.floats(0.0, 1e7), st.floats(1e-5, 2e-4))
def test_unsettled_steps_give_back_loss_and_transmissivity(t: float, c: float, q: float) -> None:
    begun = np.arange(4) * 3600.0
    rates = q * np.array([1.0, 1.6, 2.3, 3.1])
    at = np.sort(np.concatenate([begun + each for each in (600.0, 1500.0, 3600.0)]))
    now = rates[np.searchsorted(begun, at, side="left") - 1]
    drawdown = superposed_drawdown(at, begun, rates, t, 1e-4, 0.05) + c * now**2
    fit = step_test.fit_unsettled_steps(at, drawdown, begun, rates, 3600.0)
    assert fit.transmissivity == pytest.approx(t, rel=0.01)
    one_hour = theis_drawdown(1.0, 3600.0, t, 1e-4, 0.05)
    assert fit.aquifer_loss == pytest.approx(one_hour, rel=0.01)
    assert fit.well_loss * q == pytest.approx(c * q, abs=0.01 * fit.aquifer_loss)
    settled = step_test.fit_steps(rates, drawdown[2::3])
    assert settled.well_loss > fit.well_loss


@fewer
@given(transmissivities, st.floats(-5.0, -2.0).map(lambda x: 10.0**x), flows)
def test_exact_tests_give_back_the_aquifer(t: float, s: float, flow: float) -> None:
    radius, tenfold = 30.0, 30.0**2 * s / (4.0 * t)
    at = tenfold * np.geomspace(0.5, 500.0, 20)
    drawdown = theis_drawdown(flow, at, t, s, radius)
    fit = well_tests.fit_pumping_test(at, drawdown, flow, radius)
    assert (fit.transmissivity, fit.storage) == pytest.approx((t, s), rel=1e-3)
    assert fit.root_mean_square < 1e-5 * np.max(drawdown)
    line = well_tests.fit_cooper_jacob(at, drawdown, flow, radius)
    assert line.transmissivity == pytest.approx(t, rel=0.03)
    assert line.storage == pytest.approx(s, rel=0.1)
    assert min(line.used) > 0
    stop = float(at[-1])
    since = tenfold * np.geomspace(0.5, 100.0, 12)
    left = superposed_drawdown(
        stop + since, np.array([0.0, stop]), np.array([flow, 0.0]), t, s, radius
    )
    recovery = well_tests.fit_recovery(since, left, flow, stop, radius)
    assert recovery.transmissivity == pytest.approx(t, rel=1e-3)
    assert math.isnan(recovery.storage)


def test_where_an_aquifer_would_show_nothing_yet_nothing_is_explained() -> None:
    """At u = e^7 the well function is below any float: the drawdowns stay as they are."""
    drawn = np.array([1.0, 2.0, 2.0])
    elapsed, steps = np.array([[60.0], [120.0], [180.0]]), np.array([1e-3])
    scale, left = well_tests._projected(7.0, elapsed, steps, drawn, 180.0)
    assert (scale, left) == (0.0, pytest.approx(math.sqrt(3.0)))


@pytest.mark.parametrize("at", [0.0, 0.4, 5.2, 9.7, 10.0])
def test_a_search_is_refined_between_the_neighbours_of_the_best_point(
    at: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[float] = []

    def projected(trial: float, *_: object) -> tuple[float, float]:
        asked.append(trial)
        return 1.0, abs(trial - at)

    monkeypatch.setattr(well_tests, "_projected", projected)
    grid, none = np.linspace(0.0, 10.0, 11), np.zeros(1)
    found = well_tests._refined(grid, np.abs(grid - at), none, none, none, 1.0)
    assert found == pytest.approx(at, abs=1e-5)
    assert max(0.0, round(at) - 1.0) < min(asked) < max(asked) < min(10.0, round(at) + 1.0)


@pytest.mark.parametrize(
    ("spread", "sides", "fixed"),
    [
        (0.0, (2.1e-6, 2.1e-6), True),
        (0.0, (1.9e-6, 2.1e-6), False),
        (1e-3, (1.06e-3, 1.06e-3), True),
        (1e-3, (1.06e-3, 1.04e-3), False),
        (1e-3, (1.04e-3, 1.06e-3), False),
    ],
)
def test_a_storage_is_fixed_where_ten_times_more_and_less_fit_clearly_worse(
    spread: float, sides: tuple[float, float], fixed: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Clearly is by 5 %, and by a millionth of the greatest drawdown, here of 2 m."""
    left = {math.log(0.1): sides[0], math.log(10.0): sides[1]}

    def projected(trial: float, *_: object) -> tuple[float, float]:
        (found,) = (each for side, each in left.items() if side == pytest.approx(trial))
        return 1.0, found

    monkeypatch.setattr(well_tests, "_projected", projected)
    drawn, none = np.array([0.5, 2.0, 1.0]), np.zeros(1)
    assert well_tests._fixes_the_storage(0.0, spread, none, none, drawn, 1.0) == fixed


@pytest.mark.parametrize(
    ("drawdown", "message"),
    [
        ([3.0, 3.0, 3.0, 3.0], "does not follow Theis"),
        ([-1.0, -2.0, -3.0, -4.0], "does not follow Theis"),
    ],
    ids=["level", "rising water"],
)
def test_a_test_without_a_trend_is_refused(drawdown: list[float], message: str) -> None:
    at = np.array([60.0, 600.0, 6000.0, 60_000.0])
    with pytest.raises(OutOfRange, match=message):
        well_tests.fit_pumping_test(at, np.array(drawdown), 1e-3, 10.0)


def test_readings_that_do_not_part_the_losses_are_refused() -> None:
    begun, at = np.array([0.0, 3600.0]), np.array([3600.0, 7200.0, 3600.0, 7200.0])
    with pytest.raises(OutOfRange, match="read the level several times in each step"):
        step_test.fit_unsettled_steps(
            at, np.array([1.0, 2.0, 1.0, 2.0]), begun, np.array([1e-4, 2e-4]), 3600.0
        )


@pytest.mark.parametrize(
    ("given_values", "message"),
    [
        ({}, "transmissivity with storage and radius"),
        ({"transmissivity": 1e-5, "storage": 1e-4}, "transmissivity with storage and radius"),
        ({"specific_capacity": 1e-5, "radius": 0.1}, "not both"),
        ({"specific_capacity": 0.0}, "specific capacity is 0 m2/s"),
        ({"specific_capacity": 1e-5, "well_loss": -1.0}, "well loss is -1 s2/m5"),
    ],
    ids=["nothing", "no radius", "both", "zero", "negative loss"],
)
def test_a_well_is_described_in_one_way(given_values: dict[str, float], message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        WellModel(20.0, 0.02, **given_values)


def test_a_dry_well_gives_nothing() -> None:
    model = WellModel(30.0, 0.02, specific_capacity=1e-5)
    assert time_to_level(model, 1e-4, 25.0) == 0.0
    assert sustained_flow(model, 25.0, DAY) == 0.0
    day = pumped_day(model, 1e-4, 25.0, 20.0)
    assert (day.volume, day.starts) == (0.0, 0)


@pytest.mark.parametrize(("hours", "off", "starts"), [(6, 1e-5, 0), (24, 1e-5, 0), (240, 0.02, 1)])
def test_starts_in_a_well_that_remembers_are_followed_one_by_one_or_by_their_mean(
    hours: int, off: float, starts: int
) -> None:
    """An own loop over the balance of the casing; more than 25 starts agree as means do."""
    model = WellModel(20.0, 0.018, transmissivity=1e-6, storage=1e-4, radius=0.08)
    flow, stop, restart = 5e-4, 50.0, 40.0
    well, left, ran, started, pumping = well_at_rest(model), hours * 3600.0, 0.0, 0, True
    while left > 0.0:
        started += pumping
        target = (stop if pumping else restart) - model.static_level
        took = well.run(flow if pumping else 0.0, left, target)
        ran, left, pumping = ran + took * pumping, left - took, not pumping
    day = pumped_on_and_off(model, [20.0, 60.0], [flow, flow], stop, restart, hours * 3600.0)
    assert abs(day.starts - started) <= starts
    assert day.pumping_time == pytest.approx(ran, rel=off)
    assert day.volume == pytest.approx(flow * ran, rel=off)
    assert day.inflow_volume == pytest.approx(well.inflow_volume, rel=off)


def test_a_pump_rests_until_its_restart_level_however_near_that_is_to_the_stop() -> None:
    """By the logarithms of the balance: half a metre of forty parts the two levels."""
    model = WellModel(20.0, 0.02, specific_capacity=1e-5)
    flow, stop, restart, seconds = 5e-4, 20.0, 19.5, 7160.0
    deepest, settling = flow / 1e-5, 0.02 / 1e-5
    first = settling * math.log(deepest / (deepest - stop))
    rest = settling * math.log(stop / restart)
    run = settling * math.log((deepest - restart) / (deepest - stop))
    cycles, left = divmod(seconds - first, rest + run)
    assert 0.0 < left < rest
    day = pumped_on_and_off(
        model, [20.0, 60.0], [flow, flow], 20.0 + stop, 20.0 + restart, seconds
    )
    assert day.starts == 1 + cycles > 20
    assert day.pumping_time == pytest.approx(first + cycles * run)


@pytest.mark.parametrize(("loss", "slope"), [(0.0, 0.0), (1e8, 0.0), (1e8, 1e-5)])
def test_first_steps_in_time_follow_the_casing_and_later_ones_grow(
    loss: float, slope: float
) -> None:
    """A twentieth of the time in which the casing follows, and then 15 % of what is gone by.

    Seven first steps make up 0.15 of the time since; from there on each is 1.15 as late. While a
    stopped pump rests, the casing follows by what still flows in.
    """
    area, transmissivity, flow = 0.02, 1e-5, 2e-4
    model = WellModel(
        0.0, area, transmissivity=transmissivity, storage=1e-4, radius=0.08, well_loss=loss
    )
    well = well_at_rest(model)
    well.run(flow, DAY, flow_slope=slope)
    aquifer = 1.0 / (4.0 * math.pi * transmissivity)
    first = 0.05 * area / (1.0 / (aquifer + 2.0 * loss * flow) + slope)
    later = math.log(DAY / (7.0 * first)) / math.log(1.15)
    assert isinstance(well, AquiferWell)
    assert well.moments[1] == pytest.approx(first)
    assert len(well.moments) - 1 == 7 + math.ceil(later)
    begun, inflow = well.moments[-1], well.inflows[-1]
    assert inflow > 0.1 * flow
    first = 0.05 * area * (aquifer + 2.0 * loss * inflow)
    well.run(0.0, 1.5 * first)
    assert well.moments[-2:] == pytest.approx([begun + first, begun + 1.5 * first], abs=1e-4)
    assert first > 1.0


def test_what_flowed_in_is_the_sum_over_the_stretches_however_they_are_joined() -> None:
    """Old stretches count with their means, later ones with the mean of their ends; and the casing
    holds what was pumped and did not flow in."""
    model = WellModel(0.0, 0.02, transmissivity=1e-5, storage=1e-4, radius=0.08)
    well = well_at_rest(model)
    assert isinstance(well, AquiferWell)
    taken = 0.0
    for flow, hours in ((2e-4, 6.0), (0.0, 3.0), (1e-4, 12.0), (0.0, 48.0), (2e-4, 1.0)):
        well.run(flow, hours * 3600.0)
        taken += flow * hours * 3600.0
        old, spans = well.old, np.diff(well.moments)
        ends = np.array(well.inflows)
        late = 0.5 * (ends[old + 1 :] + ends[old:-1]) @ spans[old:]
        assert well.inflow_volume == pytest.approx(float(spans[:old] @ well.means + late))
        assert well.inflow_volume + 0.02 * well.drawdown == pytest.approx(taken)
    assert well.old > 5


@pytest.mark.parametrize("slope", [0.0, 4e-5])
def test_a_casing_without_memory_by_hand(slope: float) -> None:
    """A ds/dt = Q - f s - k s, so that s = Q / (k + f) (1 - exp(-(k + f) t / A)), and back by
    exp(-k t / A).

    Half an hour, up to 5 m, and to a level that is not reached; then down to 1 m and on.
    """
    area, capacity, flow = 0.02, 1e-5, 5e-4
    rate = (capacity + slope) / area
    deepest = flow / (capacity + slope)
    well = well_at_rest(WellModel(0.0, area, specific_capacity=capacity))
    assert well.run(flow, 30.0, 7.0, slope) == 30.0
    assert well.drawdown == pytest.approx(deepest * -math.expm1(-30.0 * rate))
    took = well.run(flow - slope * well.drawdown, 1e6, 5.0, slope)
    assert 30.0 + took == pytest.approx(-math.log(1.0 - 5.0 / deepest) / rate)
    assert well.drawdown == 5.0
    # What was pumped is the flow less what it fell by; the mean drawdown follows from the balance.
    mean = (deepest * (30.0 + took) - 5.0 / rate) / (30.0 + took)
    assert well.inflow_volume == pytest.approx(capacity * mean * (30.0 + took))
    assert well.run(0.0, 1e6, 1.0) == pytest.approx(area / capacity * math.log(5.0))
    assert well.drawdown == 1.0
    assert well.run(0.0, 1000.0, 0.5) == 1000.0
    assert well.drawdown == pytest.approx(math.exp(-0.5))


def test_a_first_run_through_two_lines_of_a_pumps_table_by_hand() -> None:
    """From 20 to 25 m the flow falls by half, then by a tenth: in each the drawdown nears its own
    end, that at which pump and inflow are alike, with (k + f) / A."""
    model = WellModel(20.0, 0.02, specific_capacity=1e-5)
    found = first_run(model, [20.0, 25.0, 30.0], [1e-3, 5e-4, 4e-4], 30.0)
    first, second = 1e-3 / 1.1e-4, 6e-4 / 3e-5
    times = (
        0.02 / 1.1e-4 * math.log(first / (first - 5.0)),
        0.02 / 3e-5 * math.log((second - 5.0) / (second - 10.0)),
    )
    assert found.duration == pytest.approx(sum(times), rel=1e-9)
    assert found.end_level == pytest.approx(30.0)
    # Into the casing, and in from the aquifer by the mean drawdowns, as the balance has them.
    drawn = first * times[0] - 0.1 / 1.1e-4 + second * times[1] - 0.1 / 3e-5
    assert found.volume == pytest.approx(0.02 * 10.0 + 1e-5 * drawn)
    # Of 24 h, where the stop is never met: 100 m are more than either line reaches.
    never = first_run(model, [20.0, 25.0, 30.0], [1e-3, 5e-4, 4e-4], 120.0)
    assert never.duration == math.inf
    assert never.end_level == pytest.approx(20.0 + 4e-4 / 1e-5)


@pytest.mark.parametrize("duration", [3600.0, 1e5])
def test_steps_made_up_of_three_losses_give_them_back(duration: float) -> None:
    """B Q + C Q2, and a trend with the logarithm of each step's own time over the duration; of a
    reading just so long after the first step nothing is left of the trend."""
    b, c, trend = 1e4, 1e6, 1e3
    times, changes, flows = [1800.0, 3600.0, 5400.0, 7200.0, 9000.0], [0.0, 3600.0], [1e-3, 2e-3]
    drawn = []
    for time in times:
        begun = [change for change in changes if time > change]
        flow = flows[len(begun) - 1]
        logarithms = sum(1e-3 * math.log((time - change) / duration) for change in begun)
        drawn.append(b * flow + c * flow**2 + trend * logarithms)
    fit = step_test.fit_unsettled_steps(times, drawn, changes, flows, duration)
    assert fit.aquifer_loss == pytest.approx(b)
    assert fit.well_loss == pytest.approx(c)
    assert fit.transmissivity == pytest.approx(1.0 / (4.0 * math.pi * trend))
    assert (fit.duration, len(fit.residuals)) == (duration, 5)
    assert fit.root_mean_square < 1e-9
