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
    stock_elements,
    string_layouts,
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
