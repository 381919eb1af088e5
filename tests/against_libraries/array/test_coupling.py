"""Couplings against pvlib's curves, scipy's searches and calculations written out here."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from importlib.resources import files
from itertools import combinations

import numpy as np
import pytest
from pvlib import pvsystem
from scipy.optimize import brentq, differential_evolution, minimize_scalar

from wellsolar.physics.array import (
    best_resistance,
    connection,
    diversion,
    heating_element,
    module,
    module_fit,
    resistive,
    string_layouts,
)
from wellsolar.physics.sun import weather_files
from wellsolar.physics.sun import year as sun_year
from wellsolar.physics.supply import battery

HOUR = 3600.0
MODULE = module_fit.fit_five_parameters(
    module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.0030 * 39.9, 0.00485)
)
BRIGHT = ((1000.0, 25.0), (800.0, 50.0), (300.0, 5.0), (120.0, 30.0))
"""Irradiance [W/m2] and cell temperature [degC] of single hours."""


@cache
def plane() -> sun_year.PlaneYear:
    with (files("pvlib") / "data" / "723170TYA.CSV").open(encoding="utf-8") as text:
        year = weather_files.year_from_tmy3(text)
    return sun_year.on_plane(year, year.latitude, 180.0)


@cache
def year_array(series: int = 4) -> module.Diode:
    of_year = plane()
    one = module.at_conditions(MODULE, of_year.plane_of_array_irradiance, of_year.cell_temperature)
    return module.array_of(one, series, 1)


def hour_array(irradiance: float, cell_temperature: float, series: int = 4) -> module.Diode:
    one = module.at_conditions(MODULE, np.array([irradiance]), np.array([cell_temperature]))
    return module.array_of(one, series, 1)


def curve(diode: module.Diode):
    """Current [A] by voltage [V] of one hour, by pvlib's explicit solution."""
    given = [
        float(np.ravel(value)[0])
        for value in (
            diode.photocurrent, diode.saturation_current, diode.series_resistance,
            diode.shunt_resistance, diode.thermal_voltage,
        )
    ]  # fmt: skip
    return lambda voltage: pvsystem.i_from_v(voltage, *given, method="lambertw")


@pytest.mark.parametrize(("irradiance", "cell_temperature"), BRIGHT)
@pytest.mark.parametrize("cable", [0.0, 0.5])
def test_direct_is_where_pvlib_s_curve_meets_the_load(irradiance, cable, cell_temperature):
    diode = hour_array(irradiance, cell_temperature)
    current = curve(diode)
    terminals = brentq(lambda v: current(v) - v / (12.8 + cable), 0.0, 180.0, xtol=1e-11)
    year = connection.direct(diode, 12.8, HOUR, cable)
    assert year.power[0] == pytest.approx(current(terminals) ** 2 * 12.8, rel=1e-9)


@pytest.mark.parametrize(("irradiance", "cell_temperature"), BRIGHT)
@pytest.mark.parametrize("load", [6.0, 28.8, 90.0])
@pytest.mark.parametrize("raises", [False, True])
def test_electronics_of_one_way_find_the_best_input(irradiance, cell_temperature, load, raises):
    """All input voltages of which the output needs no more, or no less, are looked at."""
    diode = hour_array(irradiance, cell_temperature)
    voltages = np.linspace(0.0, 180.0, 200_001)
    offered = np.maximum(voltages * curve(diode)(voltages), 0.0)
    output = np.sqrt(0.93 * offered * load)
    reached = output >= voltages if raises else output <= voltages
    best = 0.93 * offered[reached].max()
    electronics = connection.TrackingElectronics(
        0.93, raises_voltage=raises, lowers_voltage=not raises
    )
    year = connection.tracked(diode, electronics, load, HOUR)
    assert year.power[0] == pytest.approx(best, rel=1e-4)
    assert year.power[0] >= best * (1.0 - 1e-6)


def test_the_best_single_resistance_is_that_of_scipy():
    diode = year_array()

    def lost(load: float) -> float:
        return -float(np.sum(resistive.on_resistance(diode, load).power))

    theirs = minimize_scalar(lost, bounds=(5.0, 100.0), method="bounded", options={"xatol": 1e-6})
    (ours,) = best_resistance.best_resistance_sets(diode)
    assert ours.resistances[0] == pytest.approx(theirs.x, rel=1e-4)
    assert ours.power_sum == pytest.approx(-theirs.fun, rel=1e-8)


@pytest.mark.parametrize("size", [2, 3])
def test_the_best_sets_are_those_of_an_evolution_over_all_sets(size):
    """Every third day of the year, to spare time; scipy's search knows nothing of a grid."""
    whole = year_array()
    hours = np.flatnonzero((np.arange(8760) // 24 % 3 == 0) & (np.asarray(whole.photocurrent) > 0))
    diode = module.Diode(
        *(
            value[hours] if np.ndim(value) else value
            for value in (
                whole.photocurrent, whole.saturation_current, whole.series_resistance,
                whole.shunt_resistance, whole.thermal_voltage,
            )
        )
    )  # fmt: skip

    def lost(logarithms: np.ndarray) -> float:
        power = resistive.on_resistance(diode, np.exp(logarithms)[:, None]).power
        return -float(np.sum(np.max(power, axis=0)))

    bounds = [(np.log(5.0), np.log(400.0))] * size
    theirs = differential_evolution(lost, bounds, seed=1, tol=1e-8, popsize=8, maxiter=120)
    ours = best_resistance.best_resistance_sets(diode, size)[-1]
    assert ours.power_sum >= -theirs.fun * (1.0 - 1e-6)
    np.testing.assert_allclose(ours.resistances, np.sort(np.exp(theirs.x)), rtol=0.02)


def test_thresholds_are_the_best_of_all_cuts():
    """All pairs of cuts of two days, one after another."""
    sun = plane().plane_of_array_irradiance[4000:4048]
    cells = plane().cell_temperature[4000:4048]
    diode = module.array_of(module.at_conditions(MODULE, sun, cells), 4, 1)
    ohms = [14.0, 25.0, 60.0]
    power = [connection.direct(diode, each, HOUR).power for each in ohms]
    best = 0.0
    levels = [-1.0, *sorted(set(sun.tolist())), 2000.0]
    for high in levels:
        for low in levels:
            if low <= high:
                taken = np.where(sun > high, power[0], np.where(sun > low, power[1], power[2]))
                best = max(best, float(taken.sum()) * HOUR)
    limits = connection.best_thresholds(diode, ohms, sun)
    year = connection.switched_by_thresholds(diode, ohms, sun, limits, HOUR)
    assert year.energy == pytest.approx(best, rel=1e-12)


def test_a_year_of_equally_warm_cells_switches_where_two_powers_are_equal():
    sun = np.linspace(0.0, 1200.0, 2401)
    one = module.at_conditions(MODULE, sun, np.full(sun.size, 40.0))
    ohms = [13.0, 24.0, 70.0]
    limits = connection.best_thresholds(module.array_of(one, 4, 1), ohms, sun, 0.3)

    def lead(light, lower, higher):
        """Power of the lower resistance above that of the higher one."""
        array = hour_array(light, 40.0)
        first, second = (connection.direct(array, r, HOUR, 0.3).energy for r in (lower, higher))
        return first - second

    for limit, lower, higher in zip(limits, ohms, ohms[1:], strict=False):
        equal = brentq(lead, 0.1, 2000.0, args=(lower, higher))
        assert limit == pytest.approx(equal, abs=0.5)
        pair = [curve(hour_array(equal, 40.0)) for _ in range(2)]
        powers = []
        for current, load in zip(pair, (lower, higher), strict=True):
            terminals = brentq(lambda v, i=current, r=load: i(v) - v / (r + 0.3), 0.0, 180.0)
            powers.append(float(current(terminals)) ** 2 * load)
        assert powers[0] == pytest.approx(powers[1], rel=1e-6)


def test_all_networks_of_four_elements_are_found():
    """Pairs are joined until one is left, in exact fractions."""

    def reached(parts: tuple[Fraction, ...]) -> set[Fraction]:
        if len(parts) == 1:
            return {parts[0]}
        found = set()
        for first, second in combinations(range(len(parts)), 2):
            rest = tuple(parts[k] for k in range(len(parts)) if k not in (first, second))
            a, b = parts[first], parts[second]
            found |= reached((*rest, a + b)) | reached((*rest, a * b / (a + b)))
        return found

    ohms = [Fraction(48, 5), Fraction(64, 5), Fraction(33, 2), Fraction(144, 5)]
    expected = set()
    for size in range(1, 5):
        for chosen in combinations(ohms, size):
            expected |= reached(chosen)
    ours = heating_element.joined_resistances([float(each) for each in ohms], 1e-12)
    np.testing.assert_allclose(ours, sorted(map(float, expected)))


@pytest.mark.parametrize("round_trip", [1.0, 0.85])
@pytest.mark.parametrize("surplus", [150.0, 700.0, 1499.0, 4000.0])
def test_an_element_that_cycles_on_a_full_battery_has_the_duty_foretold(surplus, round_trip):
    """A hundred hours in seconds: it goes off 20 Wh below full, and on again at full."""
    rated, efficiency, room = 1500.0, 0.92, 20.0 * HOUR
    held, on, seconds, on_for = room, True, 360_000, 0
    for _ in range(seconds):
        wanted = rated / efficiency if on else 0.0
        flow = surplus - wanted
        held = min(held + (flow * round_trip if flow > 0.0 else flow), room)
        on_for += on
        on = held >= room or (on and held > 0.0)
    year = diversion.diverted(
        np.array([surplus * HOUR]), np.array([surplus]), rated, efficiency, HOUR,
        round_trip_efficiency=round_trip,
    )  # fmt: skip
    assert year.duty[0] == pytest.approx(on_for / seconds, rel=0.01)


def test_diversion_takes_what_a_year_with_a_battery_spills():
    """Six modules on a battery for a pump, an element on the inverter."""
    supply_array = connection.maximum_power(module.array_of(year_array(1), 6, 1))
    system = battery.BatterySystem(5.0 * 3.6e6, 0.95, 0.95, 0.9, 20.0, 3000.0)
    demand = np.full(8760, 0.6 / 24.0)
    supply = battery.run_battery_year(supply_array, demand, 4.0e-4, 900.0, system)
    element = diversion.diverted(
        supply.spilled, supply_array, 1500.0, 0.9, HOUR, inverter_room=3000.0 - 900.0
    )
    by_hand = np.minimum(0.9 * supply.spilled, 1500.0 * HOUR)
    np.testing.assert_allclose(element.power * HOUR, by_hand)
    assert element.used_ratio == pytest.approx(element.used_energy / supply.energy_spilled)
    assert element.energy == pytest.approx(by_hand.sum())
    assert element.ratio == pytest.approx(by_hand.sum() / (supply_array.sum() * HOUR))


def test_wirings_of_a_year_are_sums_of_single_operating_points():
    """Through a cable, each against on_resistance, and its best resistance against scipy's."""
    one = year_array(1)
    rows = string_layouts.compare_layouts(one, 4, 1, 12.8, HOUR, 0.5)
    assert [row.change for row in rows].count("the same modules") == 2
    for row in rows:
        array = module.array_of(one, row.modules_in_series, row.strings)

        def lost(load: float, array: module.Diode = array) -> float:
            return -HOUR * float(np.sum(resistive.on_resistance(array, load, 0.5).power))

        assert row.energy == pytest.approx(-lost(12.8), rel=1e-12)
        theirs = minimize_scalar(
            lost, bounds=(0.3, 100.0), method="bounded", options={"xatol": 1e-6}
        )
        assert row.best_resistance == pytest.approx(theirs.x, rel=1e-3)
        assert row.best_energy == pytest.approx(-theirs.fun, rel=1e-7)


def test_sides_of_match_are_those_of_pvlib_s_voltages():
    light = np.array([200.0, 500.0, 900.0, 981.0, 1000.0, 1200.0])
    diode = module.array_of(module.at_conditions(MODULE, light, 25.0 + 0.03 * light), 4, 1)
    best = pvsystem.singlediode(
        diode.photocurrent, diode.saturation_current, diode.series_resistance,
        diode.shunt_resistance, diode.thermal_voltage,
    )  # fmt: skip
    sides = string_layouts.sides_of_match(diode, 13.5, HOUR)
    point = resistive.on_resistance(diode, 13.5)
    np.testing.assert_array_equal(sides.current_limited, np.asarray(point.voltage) < best["v_mp"])
    below = sides.current_limited
    assert 0.0 < sides.current_limited_hours < 1.0
    assert sides.current_limited_hours == pytest.approx(below.sum() / light.size)
    powers = np.asarray(point.power)
    assert sides.energy == pytest.approx(powers.sum() * HOUR)
    assert sides.current_limited_energy == pytest.approx(powers[below].sum() / powers.sum())
    ceiling = np.sum(np.asarray(best["i_sc"]) ** 2 * 13.5) * HOUR
    assert sides.ceiling_energy == pytest.approx(ceiling, rel=1e-9)
    assert sides.series_gain == pytest.approx(ceiling / (powers.sum() * HOUR) - 1.0)
