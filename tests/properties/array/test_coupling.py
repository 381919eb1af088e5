"""What must hold for any array on any elements through any hours."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.data.hot_water_tables import element_ratings
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import (
    best_resistance,
    connection,
    diversion,
    heating_element,
    junction,
    module,
    module_fit,
    resistive,
    stock_elements,
    string_layouts,
    sun_from_current,
)

MODULE = module_fit.fit_five_parameters(
    module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.0030 * 39.9, 0.00485)
)
HOUR = 3600.0
TINY = 1e-9
NOTHING = 1e-12
"""Power [W] that round-off may leave over in starlight."""

suns = st.lists(st.floats(0.0, 1300.0), min_size=3, max_size=24)
loads = st.floats(0.5, 200.0)
sets = st.lists(loads, min_size=1, max_size=4)
cables = st.sampled_from([0.0, 0.4, 2.0])
counts = st.integers(1, 8)
elements = st.lists(st.floats(1.0, 100.0), min_size=1, max_size=4)


def array(light, series=4, strings=1, warm=0.03) -> module.Diode:
    """Cells that are not equally warm in equal sun."""
    light = np.asarray(light, dtype=float)
    cells = 15.0 + warm * light + 10.0 * np.cos(np.arange(light.size))
    return module.array_of(module.at_conditions(MODULE, light, cells), series, strings)


@given(suns, loads, cables, counts)
def test_direct_never_beats_maximum_power_nor_the_ceiling(light, load, cable, series):
    diode = array(light, series)
    year = connection.direct(diode, load, HOUR, cable)
    best = connection.maximum_power(diode)
    assert np.all(year.power <= best * (1.0 + TINY) + NOTHING)
    assert 0.0 <= year.ratio <= 1.0 + TINY
    assert year.energy == pytest.approx(HOUR * year.power.sum())
    assert year.tracked_energy == pytest.approx(HOUR * best.sum())
    ceiling = np.asarray(string_layouts.current_ceiling(diode, load))
    assert np.all(year.power <= ceiling * (1.0 + TINY) + NOTHING)


@given(suns, st.floats(0.0, 300.0), loads, cables)
def test_more_sun_never_means_less_heat(light, more, load, cable):
    light = np.array(light)
    cells = np.full(light.size, 40.0)

    def through(sun):
        diode = module.array_of(module.at_conditions(MODULE, sun, cells), 4, 1)
        electronics = connection.TrackingElectronics(0.9, 20.0, raises_voltage=False)
        return (
            connection.direct(diode, load, HOUR, cable).power,
            connection.switched(diode, [load, 2.0 * load], HOUR, cable).power,
            connection.tracked(diode, electronics, load, HOUR, cable).power,
        )

    for dim, bright in zip(through(light), through(light + more), strict=True):
        assert np.all(bright >= dim * (1.0 - TINY) - 1e-12)


@given(suns, sets, cables)
def test_the_best_of_each_hour_is_at_least_any_of_the_set(light, loads, cable):
    diode = array(light)
    year = connection.switched(diode, loads, HOUR, cable)
    for each in loads:
        assert np.all(year.power >= connection.direct(diode, each, HOUR, cable).power)
    assert year.resistances.tolist() == sorted(loads)
    one_by_one = [
        connection.direct(diode, float(year.resistances[k]), HOUR, cable).power[hour]
        for hour, k in enumerate(year.chosen)
    ]
    np.testing.assert_allclose(year.power, one_by_one, rtol=1e-12)


@given(suns, sets, cables)
def test_thresholds_lie_between_the_best_single_and_the_best_of_each_hour(light, loads, cable):
    diode, light = array(light), np.array(light)
    limits = connection.best_thresholds(diode, loads, light, cable)
    assert limits.shape == (len(loads) - 1,)
    assert np.all(limits[1:] <= limits[:-1])
    year = connection.switched_by_thresholds(diode, loads, light, limits, HOUR, cable)
    best = connection.switched(diode, loads, HOUR, cable)
    assert np.all(year.power <= best.power)
    for each in loads:
        single = connection.direct(diode, each, HOUR, cable).energy
        assert year.energy >= single * (1.0 - TINY)


@given(suns, sets, st.data())
def test_no_other_thresholds_give_more(light, loads, data):
    diode, light = array(light), np.array(light)
    limits = connection.best_thresholds(diode, loads, light)
    best = connection.switched_by_thresholds(diode, loads, light, limits, HOUR).energy
    size = len(loads) - 1
    other = data.draw(st.lists(st.floats(-1.0, 1400.0), min_size=size, max_size=size))
    tried = connection.switched_by_thresholds(diode, loads, light, sorted(other)[::-1], HOUR)
    assert tried.energy <= best * (1.0 + TINY) + 1e-9


@given(suns, loads, counts)
def test_perfect_electronics_give_the_maximum_power(light, load, series):
    diode = array(light, series)
    year = connection.tracked(diode, connection.TrackingElectronics(1.0), load, HOUR)
    np.testing.assert_array_equal(year.power, connection.maximum_power(diode))
    assert year.ratio in (0.0, 1.0)
    np.testing.assert_allclose(year.voltage**2 / load, year.power, rtol=1e-12)


@given(
    suns,
    loads,
    cables,
    st.floats(0.3, 1.0),
    st.floats(0.0, 400.0),
    st.floats(50.0, 2000.0),
    st.floats(20.0, 300.0),
    st.floats(1.0, 20.0),
    st.booleans(),
)
def test_electronics_stay_within_their_limits(
    light, load, cable, efficiency, least, power, voltage, current, raises
):
    diode = array(light)
    electronics = connection.TrackingElectronics(
        efficiency, least, power, voltage, current, raises
    )
    year = connection.tracked(diode, electronics, load, HOUR, cable)
    assert np.all(year.power <= power * (1.0 + TINY))
    assert np.all(year.voltage <= voltage * (1.0 + TINY))
    assert np.all(year.voltage / load <= current * (1.0 + TINY))
    offered = connection.maximum_power(best_resistance.behind_cable(diode, cable))
    assert np.all(year.power <= efficiency * offered * (1.0 + TINY))
    assert np.all(year.power[offered < least] == 0.0)
    if raises:
        # What the array offers is heat, or loss, or was kept back by a limit, or stood still.
        running = HOUR * offered.sum() - year.standing_energy
        kept = year.energy + year.clipped_energy
        assert kept == pytest.approx(efficiency * running, abs=1e-6)


@given(suns, cables)
@settings(max_examples=15, deadline=None)
def test_a_larger_set_never_takes_less(light, cable):
    diode = array([*light, 300.0])
    one, two, three = best_resistance.best_resistance_sets(diode, 3, cable)
    assert one.power_sum <= two.power_sum <= three.power_sum
    assert three.power_sum <= connection.maximum_power(diode).sum() * (1.0 + TINY)
    for each in (one, two, three):
        year = connection.switched(diode, each.resistances, HOUR, cable)
        assert year.energy == pytest.approx(each.power_sum * HOUR, rel=1e-12)


@given(suns, loads, cables)
@settings(max_examples=25, deadline=None)
def test_no_single_resistance_beats_the_best(light, load, cable):
    diode = array([*light, 300.0])
    (best,) = best_resistance.best_resistance_sets(diode, 1, cable)
    other = connection.direct(diode, load, HOUR, cable).energy
    assert best.power_sum * HOUR >= other * (1.0 - 1e-7)


@given(st.floats(50.0, 1300.0), counts, cables)
@settings(max_examples=20, deadline=None)
def test_in_steady_sun_the_best_resistance_is_the_matched_one(sun, series, cable):
    diode = array([sun], series)
    (best,) = best_resistance.best_resistance_sets(diode, 1, cable)
    there = connection.maximum_power(best_resistance.behind_cable(diode, cable))
    assert best.power_sum <= there[0] * (1.0 + TINY)
    # With the cable counted to the array, what is left for the element is the greatest power.
    assert best.power_sum == pytest.approx(there[0], rel=1e-7)


def test_steps_of_the_search_begin_at_half_the_grid_s_and_end_at_half_the_tolerance():
    """A peak on a point of the grid, so that no step gains: each is half the one before."""
    spacing, peak, asked = 0.128, 16, []

    def power_of(resistances):
        asked.append(np.log(resistances))
        return 2.0 - np.abs(np.log(resistances) - peak * spacing)[:, None]

    greatest = np.exp(spacing * (best_resistance.GRID - 1))
    (best,) = best_resistance.best_sets(power_of, 1.0, greatest, 1, 0.0039)
    assert np.log(best.resistances[0]) == pytest.approx(peak * spacing)
    grid, *steps = asked
    assert np.diff(grid) == pytest.approx(spacing)
    expected = [0.064, 0.032, 0.016, 0.008, 0.004, 0.002]
    assert [np.ptp(each) / 2.0 for each in steps] == pytest.approx(expected)


@pytest.mark.parametrize("greatest", [1.0, 1.4, 2.0])
def test_a_tolerance_wider_than_the_grid_still_gives_the_power(greatest):
    """A source that gives 2 W whatever it is put on, sought to a tenth."""
    sets = best_resistance.best_sets(lambda r: np.full((len(r), 1), 2.0), 1.0, greatest, 4, 0.1)
    assert [each.power_sum for each in sets] == [2.0] * 4


@given(elements)
def test_elements_joined_obey_kirchhoff(ohms):
    found = heating_element.joined_resistances(ohms)
    assert list(found) == sorted(found)
    assert np.all(np.diff(found) > 0.0)
    assert found[0] == pytest.approx(heating_element.resistance_in_parallel(np.array(ohms)))
    assert found[-1] == pytest.approx(heating_element.resistance_in_series(np.array(ohms)))


@given(elements, st.floats(0.1, 10.0))
def test_every_combination_scales_with_its_elements(ohms, factor):
    whole = heating_element.joined_resistances(ohms, 0.0)
    scaled = heating_element.joined_resistances([each * factor for each in ohms], 0.0)
    for resistance in whole:
        nearest = min(abs(each / (factor * resistance) - 1.0) for each in scaled)
        assert nearest < TINY


@given(loads, st.floats(-20.0, 900.0), st.floats(0.0, 3e-4))
def test_a_warm_element_has_the_greater_resistance(load, temperature, coefficient):
    warm = heating_element.resistance_at_temperature(load, temperature, coefficient)
    assert (warm >= load * (1.0 - TINY)) == (temperature >= 25.0 or coefficient * 45.0 < TINY)
    again = heating_element.resistance_at_temperature(load, 25.0, coefficient)
    assert again == pytest.approx(load)


@given(st.floats(100.0, 6000.0), st.sampled_from([120.0, 240.0]), st.floats(0.0, 600.0))
def test_over_power_is_the_square_of_over_voltage(power, rated, voltage):
    load = heating_element.element_load(power, rated, voltage)
    assert load.power_ratio == pytest.approx(load.voltage_ratio**2)
    resistance = heating_element.element_resistance(power, rated)
    assert load.power == pytest.approx(voltage**2 / resistance)


spills = st.lists(st.floats(0.0, 3e7), min_size=1, max_size=24)


@given(
    spills,
    st.floats(200.0, 6000.0),
    st.floats(0.5, 1.0),
    st.floats(0.5, 1.0),
    st.floats(0.0, 8000.0),
    st.booleans(),
)
def test_diversion_takes_no_more_than_is_spilled(
    spilled, rated, efficiency, battery, room, modulated
):
    spilled = np.array(spilled)
    offered = spilled / HOUR
    year = diversion.diverted(spilled, offered, rated, efficiency, HOUR, room, modulated, battery)
    assert np.all(year.power * HOUR <= efficiency * spilled * (1.0 + TINY) + 1e-9)
    assert np.all(year.power <= rated * (1.0 + TINY))
    assert np.all(year.power <= room * (1.0 + TINY))
    assert np.all((year.duty >= 0.0) & (year.duty <= 1.0))
    assert year.used_energy <= spilled.sum() * (1.0 + TINY)
    assert year.energy <= efficiency * year.used_energy * (1.0 + TINY) + 1e-9
    if not modulated and rated > room:
        assert year.energy == year.used_energy == 0.0
    if rated <= room and battery == 1.0:
        least = np.minimum(efficiency * spilled, rated * HOUR)
        np.testing.assert_allclose(year.power * HOUR, least, rtol=1e-9, atol=1e-6)


@given(suns, loads, counts, st.integers(1, 20))
def test_more_modules_in_series_gain_no_more_than_is_foretold(light, load, series, more):
    few = string_layouts.sides_of_match(array(light, series), load, HOUR)
    many = string_layouts.sides_of_match(array(light, series + more), load, HOUR)
    assert many.ceiling_energy == pytest.approx(few.ceiling_energy, rel=1e-9)
    assert many.energy >= few.energy * (1.0 - TINY)
    assert many.energy <= few.energy * (1.0 + few.series_gain) * (1.0 + TINY) + 1e-9
    for each in (few, many):
        assert 0.0 <= each.current_limited_hours <= 1.0
        assert 0.0 <= each.current_limited_energy <= 1.0 + TINY


@given(suns, st.integers(1, 6), st.integers(1, 3), loads)
@settings(max_examples=10, deadline=None)
def test_wirings_of_the_same_modules_offer_the_same(light, series, strings, load):
    one = array([*light, 500.0], 1)
    rows = string_layouts.compare_layouts(one, series, strings, load, HOUR)
    assert (rows[0].modules_in_series, rows[0].strings) == (series, strings)
    pairs = [(each.modules_in_series, each.strings) for each in rows]
    assert len(set(pairs)) == len(pairs)
    for each in rows:
        share = each.modules_in_series * each.strings / (series * strings)
        assert each.tracked_energy == pytest.approx(rows[0].tracked_energy * share)
        assert each.energy <= each.best_energy * (1.0 + 1e-7)
        # Without a cable the best resistance goes with the voltage over the current.
        scale = each.modules_in_series / each.strings * strings / series
        assert each.best_ratio == pytest.approx(rows[0].best_ratio, rel=1e-6)
        assert each.best_resistance == pytest.approx(rows[0].best_resistance * scale, rel=0.02)


def test_elements_of_the_shelf_are_ranked_and_marked():
    light = 1000.0 * np.abs(np.sin(np.arange(100.0)))
    diode = array(light, 8)
    brightest = module.array_of(module.at_conditions(MODULE, 1250.0, -20.0), 8, 1)
    ratings = element_ratings()
    ranked = stock_elements.rank_elements(diode, ratings, brightest, HOUR)
    size = len(ratings)
    assert len(ranked) == size + size * (size + 1)
    energies = [each.energy for each in ranked]
    assert energies == sorted(energies, reverse=True)
    (best,) = best_resistance.best_resistance_sets(diode)
    assert energies[0] <= best.power_sum * HOUR * (1.0 + 1e-7)
    fit = stock_elements.rank_elements(diode, ratings, brightest, HOUR, within_rating_only=True)
    assert 0 < len(fit) < len(ranked)
    assert [each for each in ranked if each.within_rating] == list(fit)
    for each in ranked:
        assert each.energy == pytest.approx(
            connection.direct(diode, each.resistance, HOUR).energy, rel=1e-12
        )
        # Two elements in series carry one current, two in parallel bear one voltage.
        total = each.greatest_voltage**2 / each.resistance
        current = total / each.greatest_voltage
        ratios = [
            (current * one.rated_voltage / one.rated_power)
            if each.joined == "in series"
            else each.greatest_voltage / one.rated_voltage
            for one in each.elements
        ]
        assert each.voltage_ratio == pytest.approx(max(ratios))
        assert each.power_ratio == pytest.approx(max(ratios) ** 2)
        assert each.within_rating == (max(ratios) <= 1.0 + TINY)


@pytest.mark.parametrize(
    ("hours", "brightest"), [((200.0, 900.0, 400.0), (300.0, 500.0)), ((200.0,), (1100.0, 500.0))]
)
def test_an_element_bears_the_voltage_of_the_brightest_moment_wherever_it_is_met(hours, brightest):
    """In an hour of the year or in the sun that its rating is looked at in."""
    ratings = element_ratings()[:3]
    ranked = stock_elements.rank_elements(array(hours), ratings, array(brightest), HOUR)
    for each in ranked:
        powers = [
            connection.direct(array(sun), each.resistance, HOUR).power
            for sun in (hours, brightest)
        ]
        most = max(float(power.max()) for power in powers)
        assert each.greatest_voltage == pytest.approx(np.sqrt(most * each.resistance))


@pytest.mark.parametrize("values", [[-1.0, 2.0], [3.0, -1e-300, 2.0], [0.0, 2.0]])
def test_values_are_kept_from_falling_below_a_bound(values):
    """One that is lower is lifted, whatever stands beside it; where none is, nothing is copied."""
    given_values = np.array(values)
    found = junction._at_least(given_values, 0.0)
    assert found.tolist() == [max(each, 0.0) for each in values]
    assert (found is given_values) == (min(values) >= 0.0)


def test_of_elements_those_stay_that_nothing_betters_in_everything():
    """By hand, with a thousandth for nothing: the third gives 9.995 where the first gives 10, the
    fifth 10.02 (10.00998 less a thousandth), the sixth 10.005."""
    heat = [
        [10.0, 10.0], [20.0, 5.0], [9.995, 9.995], [10.05, 5.0], [5.0, 10.02], [5.0, 10.005],
        [10.0, 10.0],
    ]  # fmt: skip
    assert stock_elements.worth_looking_at(np.array(heat)) == [1, 0, 4]


def rows_that_give(matrix):
    """A source that gives a row of the matrix on 1, 2, 3 .. ohm."""
    return lambda ohms: np.array(matrix)[np.rint(ohms).astype(int) - 1]


@pytest.mark.parametrize("size_of_sun", [1.0, 0.01])
@pytest.mark.parametrize(
    ("matrix", "best"),
    [
        ([[6.0, 0.0, 0.0], [0.0, 4.0, 0.0], [0.0, 0.0, 3.0], [2.5, 2.5, 2.5]],
         [(3,), (0, 3), (0, 1, 2)]),
        ([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 6.0, 0.0], [3.0, 0.0, 5.0]],
         [(3,), (2, 3), (0, 2, 3)]),
    ],
)  # fmt: skip
def test_the_best_rows_of_a_grid_by_hand(matrix, best, size_of_sun):
    """Sums of the greatest in each hour: 7.5, 11 and 13 of the first; 8 and 14 of the second,
    which no third row betters."""
    on_grid = size_of_sun * np.array(matrix)
    for size, rows in enumerate(best, 1):
        assert best_resistance._best_of_grid(on_grid, size) == rows
    grid = np.arange(1.0, 5.0)
    grown = best_resistance._one_more(rows_that_give(on_grid), (4.0,), grid, on_grid)
    assert grown == (4.0, float(best[1][0]) + 1.0)


def test_resistances_are_sought_from_four_fifths_to_five_quarters_of_the_matched_one():
    """In one steady sun; our own mark, so that the two ends lie apart."""
    diode = array([800.0])
    point = resistive.maximum_power_point(best_resistance.behind_cable(diode, 0.5))
    matched = float(np.ravel(point.voltage)[0] / np.ravel(point.current)[0])
    found = best_resistance.resistance_range(diode, 0.5)
    assert found == pytest.approx((0.8 * matched, 1.25 * matched))


def test_a_peak_between_the_points_of_the_grid_is_found():
    (best,) = best_resistance.best_sets(
        lambda ohms: 2.0 - np.abs(np.log(ohms) - 1.2345)[:, None], 1.0, 20.0, 1, 1e-5
    )
    assert np.log(best.resistances[0]) == pytest.approx(1.2345, abs=1e-5)


INF = np.inf


@pytest.mark.parametrize(
    ("power", "signal", "thresholds"),
    [
        ([[1, 2, 9], [3, 5, 4]], [100, 500, 900], [700]),
        ([[9, 1, 2], [4, 3, 5]], [900, 100, 500], [700]),
        ([[4, 6, 9], [3, 5, 4]], [100, 500, 900], [100]),
        ([[1, 2, 3], [3, 5, 4]], [100, 500, 900], [INF]),
        ([[1, 9, 9], [5, 3, 4]], [500, 500, 900], [500]),
        ([[0, 0, 9], [2, 8, 1], [5, 1, 1]], [100, 500, 900], [700, 300]),
        ([[0, 0, 0], [2, 8, 9], [5, 1, 1]], [100, 500, 900], [INF, 300]),
        # the middle one alone would begin at 700, where the lowest has long begun
        ([[0, 9, 9], [1, 0.5, 8], [5, 1, 1]], [100, 500, 900], [300, 300]),
    ],
)
def test_thresholds_lie_half_way_between_two_hours(power, signal, thresholds, monkeypatch):
    """Powers by hand, a row a resistance, the lowest first; of equal hours none is cut off."""
    monkeypatch.setattr(connection, "power_by_resistance", lambda *_: np.array(power, float))
    ohms = list(range(1, len(power) + 1))
    found = connection.best_thresholds(array(signal), ohms, np.array(signal, float))
    assert found.tolist() == thresholds


@pytest.mark.parametrize(
    ("limits", "of_free"),
    [
        ({}, 1.0), ({"minimum_power": 0.999}, 1.0), ({"minimum_power": 1.001}, 0.0),
        ({"greatest_power": 0.9 * 0.5}, 0.5), ({"greatest_voltage": 0.9}, 0.81),
        ({"greatest_current": 0.8}, 0.64),
        ({"greatest_voltage": 0.9, "greatest_current": 0.8}, 0.64),
        ({"greatest_current": 0.9, "greatest_voltage": 0.8}, 0.64),
        ({"least_voltage": 0.999}, 1.0), ({"least_voltage": 1.001}, 0.0),
        ({"least_input": 0.999}, 1.0), ({"least_input": 1.001}, 0.0),
        ({"greatest_input": 0.999}, 0.0), ({"greatest_input": 1.001}, 1.0),
    ],
)  # fmt: skip
def test_limits_of_electronics_by_hand(limits, of_free):
    """Each limit as a part of what an array on 20 ohm offers, asks for and draws: P = 0.9 times
    the greatest power, sqrt(P R) and sqrt(P / R), and the array's own voltage."""
    diode, load = array([800.0]), 20.0
    point = resistive.maximum_power_point(diode)
    offered, volts = float(np.ravel(point.power)[0]), float(np.ravel(point.voltage)[0])
    free = 0.9 * offered
    whole = {
        "minimum_power": offered, "greatest_power": offered, "least_input": volts,
        "greatest_input": volts, "greatest_current": np.sqrt(free / load),
        "greatest_voltage": np.sqrt(free * load), "least_voltage": np.sqrt(free * load),
    }  # fmt: skip
    given_limits = {name: part * whole[name] for name, part in limits.items()}
    year = connection.tracked(
        diode, connection.TrackingElectronics(0.9, **given_limits), load, HOUR
    )
    assert year.energy == pytest.approx(of_free * free * HOUR)
    assert year.voltage[0] == pytest.approx(np.sqrt(of_free * free * load))
    assert year.standing_energy == pytest.approx(0.0 if of_free else offered * HOUR)
    assert year.clipped_energy == pytest.approx((1.0 - of_free) * free * HOUR if of_free else 0.0)


@pytest.mark.parametrize(
    ("spilled", "options", "duty", "used"),
    [
        (1020.0, {}, 1.0, 1000.0), (1020.0, {"round_trip_efficiency": 0.5}, 1.0, 1000.0),
        (600.0, {}, 0.6, 600.0), (600.0, {"round_trip_efficiency": 0.5}, 3.0 / 7.0, 600.0),
        (600.0, {"inverter_room": 800.0}, 0.0, 0.0), (600.0, {"inverter_room": 900.0}, 0.6, 600.0),
        (600.0, {"modulated": True}, 0.6, 600.0), (1020.0, {"modulated": True}, 1.0, 1000.0),
        (600.0, {"modulated": True, "inverter_room": 450.0}, 0.5, 500.0),
    ],
)  # fmt: skip
def test_what_is_spilled_heats_by_hand(spilled, options, duty, used):
    """An element of 900 W behind an inverter of 90 %: it takes 1000 W of what is spilled. With
    half of what the battery takes lost, 0.6 x 0.5 / (0.4 + 0.6 x 0.5) of the hour."""
    year = diversion.diverted(
        np.array([spilled * HOUR]), np.array([2000.0]), 900.0, 0.9, HOUR, **options
    )
    assert year.duty[0] == pytest.approx(duty)
    assert year.energy == pytest.approx(duty * 900.0 * HOUR)
    assert year.used_energy == pytest.approx(used * HOUR)
    assert year.used_ratio == pytest.approx(used / spilled)


def test_of_networks_alike_the_one_of_fewest_elements_stands():
    """10 ohm, or 5 and 5.000001 ohm in a row."""
    found = heating_element.joined_resistances([5.000001, 10.0, 5.0], 1e-6)
    near = [each for each in found if abs(each - 10.0) < 1e-3]
    assert near == [10.0]


POINT_OF_SUN = module_fit.FiveParameters(9.0, 1e-9, 0.25, 300.0, 1.5, 0.005, "by hand")


@pytest.mark.parametrize("sun", [0.4, 0.6, 1.1])
def test_a_sun_by_hand_is_found_again_from_current_and_voltage(sun):
    """At 25 degC, 20 thermal voltages over the junction: light 9 A and leak 30 V / 300 ohm go with
    the sun. Two modules in a row, three strings."""
    current = sun * (9.0 - 30.0 / 300.0) - 1e-9 * np.expm1(20.0)
    found = sun_from_current.irradiance_from_current(
        POINT_OF_SUN, 2, 3, 3.0 * current, 2.0 * (30.0 - 0.25 * current), 25.0
    )
    assert found == pytest.approx(1000.0 * sun)


def test_a_point_that_no_sun_gives_and_one_that_none_is_needed_for():
    """No sun drives 9 A x 300 ohm through the shunt at once; what is beyond floats is no error."""
    found = sun_from_current.irradiance_from_current(
        POINT_OF_SUN, 1, 1, 1.0, np.array([2699.0, 2800.0]), 25.0
    )
    assert np.isfinite(found).tolist() == [True, False]
    assert sun_from_current.irradiance_in_air(POINT_OF_SUN, 1, 1, 0.0, 0.0, 20.0, 1.0) == 0.0
    with pytest.raises(OutOfRange, match="no sun up to 1600 W/m2 gives 20 A at 10 V"):
        sun_from_current.irradiance_in_air(POINT_OF_SUN, 1, 1, 20.0, 10.0, 20.0, 1.0)


def test_the_dark_gives_nothing_and_is_said():
    diode = array([0.0, 0.0, 0.0])
    assert connection.direct(diode, 12.8, HOUR).ratio == 0.0
    assert connection.switched(diode, [9.0, 12.8], HOUR).chosen.tolist() == [1, 1, 1]
    sides = string_layouts.sides_of_match(diode, 12.8, HOUR)
    assert sides.energy == sides.series_gain == sides.current_limited_hours == 0.0
    with pytest.raises(OutOfRange, match="sum of the maximum power is 0 W"):
        best_resistance.best_resistance_sets(diode)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda d: connection.direct(d, 0.0, HOUR), "element resistance is 0 ohm"),
        (lambda d: connection.direct(d, 9.0, 0.0), "step is 0 s"),
        (lambda d: connection.direct(d, 9.0, HOUR, -1.0), "cable resistance is -1 ohm"),
        (lambda d: connection.switched(d, [], HOUR), "number of resistances is 0"),
        (
            lambda d: connection.switched_by_thresholds(d, [9.0, 12.0], np.ones(3), [], HOUR),
            "number of thresholds is 0, allowed is 1",
        ),
        (
            lambda d: connection.switched_by_thresholds(
                d, [9.0, 12.0, 15.0], np.ones(3), [1.0, 2.0], HOUR
            ),
            "allowed is a falling order",
        ),
        (lambda d: heating_element.joined_resistances([]), "number of elements is 0"),
        (lambda d: heating_element.joined_resistances([1.0] * 6), "number of elements is 6"),
        (lambda d: best_resistance.best_resistance_sets(d, 5), "size of the set is 5"),
        (lambda d: connection.TrackingElectronics(0.0), "efficiency of the electronics is 0"),
        (
            lambda d: diversion.diverted(np.array([-1.0]), np.ones(1), 1500.0, 0.9, HOUR),
            "energy spilled is -1 J",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_words(call, message):
    with pytest.raises(OutOfRange, match=message):
        call(array([100.0, 500.0, 900.0]))
