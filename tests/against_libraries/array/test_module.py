"""Modules, and arrays on a resistance, against pvlib and scipy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from pvlib import pvsystem, singlediode
from scipy.optimize import brentq
from scipy.special import wrightomega

from wellsolar.physics.array import junction, module, module_fit, resistive
from wellsolar.physics.sun import tilted_plane

SHEET_A = module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.0030 * 39.9, 0.00485)

MODULE_A = module_fit.fit_five_parameters(SHEET_A)

CABLE = 2 * 250 * 1.24e-3  # 250 ft one way, 10 AWG at 75 degC, ohm; NEC chapter 9 table 8


def five(diode):
    return (
        diode.photocurrent,
        diode.saturation_current,
        diode.series_resistance,
        diode.shunt_resistance,
        diode.thermal_voltage,
    )


def ordinary_arrays(count=20_000, seed=4):
    random = np.random.default_rng(seed)
    irradiance, temperature = random.uniform(1, 1200, count), random.uniform(-20, 75, count)
    diode = module.array_of(module.at_conditions(MODULE_A, irradiance, temperature), 4, 1)
    return diode, random.uniform(5, 200, count)


def extreme_arrays(count, seed=5, darkest=1e-15):
    """Twelve decades of parameters, whether or not an array with them could be built."""
    random = np.random.default_rng(seed)

    def spread(low, high):
        return np.exp(random.uniform(math.log(low), math.log(high), count))

    diode = module.Diode(
        spread(1e-5, 100),
        spread(darkest, 1e-5),
        spread(1e-3, 10),
        spread(3, 1e8),
        spread(0.5, 100),
    )
    return diode, spread(0.01, 1e5)


def in_long_doubles(diode):
    return [np.asarray(value, dtype=np.longdouble) for value in five(diode)]


def current_by_newton(diode, resistance):
    """Current on a resistance by Newton's method on the single-diode equation in long doubles.

    It walks down the concave side from above the root, and so never astray.
    """
    il, i0, rs, rsh, a = in_long_doubles(diode)
    total = rs + resistance
    conductance = 1 / rsh + 1 / total
    voltage = np.minimum(il / conductance, a * np.log1p(il / i0))
    for _ in range(100):
        grown = i0 * np.expm1(voltage / a)
        step = (il - grown - conductance * voltage) / ((grown + i0) / a + conductance)
        voltage = voltage + step
        if np.all(np.abs(step) <= 8 * np.finfo(np.longdouble).eps * voltage):
            break
    else:
        raise AssertionError("Newton's method did not settle")
    return voltage / total


def greatest_power_by_halving(diode):
    """Current, voltage and power where dP/dV changes its sign, in long doubles."""
    il, i0, rs, rsh, a = in_long_doubles(diode)
    low, high = np.zeros_like(il), np.minimum(a * np.log1p(il / i0), il * rsh)
    for _ in range(75):
        middle = (low + high) / 2
        current = il - i0 * np.expm1(middle / a) - middle / rsh
        slope = i0 * np.exp(middle / a) / a + 1 / rsh
        rising = current - slope * (middle - 2 * rs * current) > 0
        low, high = np.where(rising, middle, low), np.where(rising, high, middle)
    current = il - i0 * np.expm1(low / a) - low / rsh
    voltage = low - current * rs
    return current, voltage, current * voltage


def test_translation_is_that_of_pvlib():
    irradiance, temperature = np.meshgrid([50.0, 400.0, 1000.0], [-20.0, 25.0, 70.0])
    ours = module.at_conditions(MODULE_A, irradiance, temperature)
    theirs = pvsystem.calcparams_desoto(
        irradiance,
        temperature,
        MODULE_A.current_coefficient,
        MODULE_A.modified_ideality_voltage,
        MODULE_A.photocurrent,
        MODULE_A.saturation_current,
        MODULE_A.shunt_resistance,
        MODULE_A.series_resistance,
    )
    for mine, other in zip(five(ours), theirs, strict=True):
        np.testing.assert_allclose(mine, other, rtol=1e-6)


def test_current_on_a_resistance_is_that_of_pvlib():
    diode, resistance = ordinary_arrays()
    il, i0, rs, rsh, a = five(diode)
    theirs = pvsystem.i_from_v(0.0, il, i0, rs + resistance, rsh, a)
    ours = resistive.on_resistance(diode, resistance)
    assert np.max(np.abs(ours.current - theirs)) <= 1e-12
    np.testing.assert_allclose(ours.power, theirs**2 * resistance, rtol=1e-12)


def test_current_on_a_resistance_is_exact_to_a_picoampere():
    """The goal is 1e-12 A; the worst of these points is off by some 2e-14 A."""
    diode, resistance = ordinary_arrays(100_000)
    ours = resistive.on_resistance(diode, resistance).current
    exact = current_by_newton(diode, resistance)
    assert np.max(np.abs(ours - exact)) <= 1e-13
    np.testing.assert_allclose(ours, exact.astype(float), rtol=1e-13)


def test_currents_of_extreme_arrays():
    """Worst error 3e-13 of what the sun drives, and 4e-13 of the current itself."""
    diode, resistance = extreme_arrays(1_000_000)
    ours = resistive.on_resistance(diode, resistance)
    assert np.isfinite([ours.current, ours.voltage, ours.power]).all()
    exact = current_by_newton(diode, resistance)
    off = np.abs(ours.current - exact)
    assert np.max(off / (diode.photocurrent + diode.saturation_current)) <= 2e-12
    assert np.max(off / exact) <= 4e-12
    il, i0, rs, rsh, a = five(diode)
    with np.errstate(all="ignore"):
        theirs = pvsystem.i_from_v(0.0, il, i0, rs + resistance, rsh, a)
    known = np.isfinite(theirs)
    assert known.mean() > 0.9  # pvlib itself overflows on some 8 %
    assert np.max(np.abs(ours.current - theirs)[known]) <= 1e-12


@pytest.mark.parametrize("darkest", [1e-60, 1e-280])
def test_no_saturation_current_is_too_small(darkest):
    diode, resistance = extreme_arrays(100_000, darkest=darkest)
    ours = resistive.on_resistance(diode, resistance).current
    np.testing.assert_allclose(
        ours, current_by_newton(diode, resistance).astype(float), rtol=4e-12
    )
    best = resistive.maximum_power_point(diode)
    assert np.isfinite([best.current, best.voltage, best.power]).all()
    assert np.all(best.power >= resistive.on_resistance(diode, resistance).power * (1 - 1e-12))


def test_greatest_power_is_that_of_pvlib():
    diode, _ = ordinary_arrays()
    current, voltage, power = singlediode.bishop88_mpp(*five(diode), method="newton")
    ours = resistive.maximum_power_point(diode)
    assert np.max(np.abs(ours.power - power)) <= 1e-11
    np.testing.assert_allclose(ours.voltage, voltage, rtol=1e-6)
    np.testing.assert_allclose(ours.current, current, rtol=1e-6)


def test_greatest_power_is_exact_to_ten_picowatts():
    """The goal is 1e-11 W; the worst of these points is off by some 7e-13 W."""
    diode, _ = ordinary_arrays()
    current, voltage, power = greatest_power_by_halving(diode)
    ours = resistive.maximum_power_point(diode)
    assert np.max(np.abs(ours.power - power)) <= 1e-11
    np.testing.assert_allclose(ours.voltage, voltage.astype(float), rtol=1e-11)
    np.testing.assert_allclose(ours.current, current.astype(float), rtol=1e-11)


def test_greatest_power_of_extreme_arrays():
    diode, _ = extreme_arrays(1_000_000)
    ours = resistive.maximum_power_point(diode)
    assert np.isfinite([ours.current, ours.voltage, ours.power]).all()
    some = module.Diode(*(value[::20] for value in five(diode)))
    _, voltage, power = greatest_power_by_halving(some)
    np.testing.assert_allclose(ours.power[::20], power.astype(float), rtol=1e-13)
    np.testing.assert_allclose(ours.voltage[::20], voltage.astype(float), rtol=1e-7)


def test_a_point_does_not_depend_on_its_neighbours():
    """Day and night over several blocks, and the same points a few at a time."""
    hours = np.arange(3 * junction.BLOCK + 5)
    irradiance = np.maximum(1000.0 * np.sin(hours / 3.8), 0.0)
    diode = module.array_of(module.at_conditions(MODULE_A, irradiance, 30.0), 4, 1)
    few = module.array_of(module.at_conditions(MODULE_A, irradiance[::997], 30.0), 4, 1)
    for all_of_them, some in (
        (resistive.on_resistance(diode, 12.8, CABLE), resistive.on_resistance(few, 12.8, CABLE)),
        (resistive.maximum_power_point(diode), resistive.maximum_power_point(few)),
    ):
        np.testing.assert_allclose(all_of_them.power[::997], some.power, rtol=1e-13)
        dark = irradiance == 0.0
        assert dark.any()
        for part in (all_of_them.voltage, all_of_them.current, all_of_them.power):
            assert np.all(part[dark] == 0.0)
            assert np.all(part[~dark] > 0.0)


def test_a_translation_does_not_depend_on_its_neighbours():
    irradiance = np.linspace(0.0, 1200.0, 2 * junction.BLOCK + 3)
    temperature = np.linspace(-20.0, 70.0, irradiance.size)[::-1]
    diode = module.at_conditions(MODULE_A, irradiance, temperature)
    few = module.at_conditions(MODULE_A, irradiance[::499], temperature[::499])
    assert diode.shunt_resistance[0] == math.inf
    for name in ("photocurrent", "saturation_current", "shunt_resistance", "thermal_voltage"):
        np.testing.assert_allclose(getattr(diode, name)[::499], getattr(few, name), rtol=1e-15)


def test_no_number_in_gives_no_number_out():
    diode = module.Diode(np.array([9.0, math.nan]), 1e-9, 0.3, 300.0, 1.6)
    for point in (resistive.on_resistance(diode, 5.0), resistive.maximum_power_point(diode)):
        assert np.isnan(point.power).tolist() == [False, True]


@pytest.mark.parametrize("size", [0, 1, 7, 1000])
def test_rows_to_calculate_in_begin_on_a_line_of_the_cache(size):
    rows = junction.aligned_rows(3, size)
    assert rows.shape == (3, size)
    assert all(row.ctypes.data % 64 == 0 for row in rows if size)


def test_open_and_short_circuit_are_those_of_pvlib():
    diode, _ = ordinary_arrays()
    il, i0, rs, rsh, a = five(diode)
    open_circuit = pvsystem.v_from_i(0.0, il, i0, rs, rsh, a)
    np.testing.assert_allclose(resistive.open_circuit_voltage(diode), open_circuit, atol=1e-9)
    short = pvsystem.i_from_v(0.0, il, i0, rs, rsh, a)
    np.testing.assert_allclose(resistive.short_circuit_current(diode), short, atol=1e-12)


def test_current_at_a_voltage_is_that_of_pvlib():
    diode, _ = ordinary_arrays()
    voltage = np.random.default_rng(6).uniform(0, 170, np.size(diode.photocurrent))
    il, i0, rs, rsh, a = five(diode)
    theirs = pvsystem.i_from_v(voltage, il, i0, rs, rsh, a)
    ours = resistive.current_at_voltage(diode, voltage)
    np.testing.assert_allclose(ours, theirs, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("factor", [1e-300, 1e-38, 1e-36, 1e-9, 1.0, 9e37, 1e39])
def test_the_junction_follows_scipy_s_wright_omega(factor):
    """u + y e^u = x is solved by x less omega(x + ln y), be y a number for single precision or
    too small or too large for it."""
    x = np.concatenate([np.linspace(-600, 10, 5000), np.geomspace(10, 1e12, 5000)])
    x = np.append(x, np.linspace(-30.0, 30.0, 5000) - math.log(factor))
    u, scratch = np.empty_like(x), np.empty((junction.SCRATCH_ROWS, x.size))
    junction.junction_ratio(x, np.full_like(x, factor), u, scratch)
    np.testing.assert_allclose(
        u + wrightomega(x + math.log(factor)),
        x,
        rtol=1e-14,
        atol=1e-13 * max(1.0, abs(math.log(factor))),
    )


@pytest.mark.parametrize("irradiance", [200.0, 600.0, 800.0, 1000.0])
def test_four_modules_through_250_ft_of_10_awg_on_12_8_ohm(irradiance):
    """Operating point by pvlib's curve and a bracketing root, to 0.1 %."""
    cells = 25.0 + 0.03 * irradiance
    diode = module.array_of(module.at_conditions(MODULE_A, irradiance, cells), 4, 1)
    il, i0, rs, rsh, a = five(diode)

    def surplus(voltage):
        return float(pvsystem.i_from_v(voltage, il, i0, rs, rsh, a)) - voltage / (12.8 + CABLE)

    voltage = brentq(surplus, 0.0, 200.0)
    current = voltage / (12.8 + CABLE)
    ours = resistive.on_resistance(diode, 12.8, CABLE)
    assert ours.current == pytest.approx(current, rel=1e-3)
    assert ours.power == pytest.approx(current**2 * 12.8, rel=1e-3)
    assert ours.voltage == pytest.approx(current * 12.8, rel=1e-3)


@pytest.mark.parametrize("irradiance", [900.0, 950.0, 1000.0])
def test_that_string_draws_what_the_trade_expects_in_good_sun(irradiance):
    """8.4 to 8.8 A; common practice, no source. Warm day, 30 degC, a light wind of 1 m/s."""
    cells = tilted_plane.cell_temperature(irradiance, 30.0, 1.0)
    diode = module.array_of(module.at_conditions(MODULE_A, irradiance, cells), 4, 1)
    assert 8.4 <= resistive.on_resistance(diode, 12.8, CABLE).current <= 8.8


def test_a_junction_of_30_v_and_what_it_gives():
    """Worked out backwards: 20 times its 1.5 V of thermal voltage over the junction, 0.1 A through
    300 ohm of shunt, 8 A out through 0.25 ohm into 3.5 ohm: 28 V and 224 W; with nothing drawn the
    terminals are at the junction's 30 V. No more rows are calculated in than are told."""
    lost = 1e-9 * math.expm1(20.0) + 0.1
    for driven, fill, outside, rows, expected in (
        (8.0, junction.through_load, (0.25, 3.5), 4, [28.0, 8.0, 224.0]),
        (8.0, resistive._current_held_at, (0.25, 28.0), 6, [8.0]),
        (0.0, resistive._open_junction_voltage, (0.0,), 6, [30.0]),
    ):
        inputs = tuple(np.full(3, each) for each in (driven + lost, 1e-9, 300.0, 1.5, *outside))
        found = tuple(np.empty((len(expected), 3)))
        fill(inputs, found, junction.aligned_rows(rows, 3))
        np.testing.assert_allclose(found, np.array(expected)[:, None].repeat(3, axis=1))


def test_greatest_power_is_found_in_the_first_seven_rows_whatever_is_behind_them():
    """Of a cell whose power at 20 thermal voltages is flat: with s = I0 e^20 / a + 1 / Rsh, power
    rises no more where the current is s (30 V - 2 Rs I)."""
    steep = 1e-9 * math.exp(20.0) / 1.5 + 1.0 / 300.0
    current = steep * 30.0 / (1.0 + 0.5 * steep)
    driven = current + 1e-9 * math.expm1(20.0) + 0.1
    voltage = 30.0 - 0.25 * current
    inputs = tuple(np.full(3, each) for each in (driven, 1e-9, 300.0, 1.5, 0.25))
    for rows in (7, 8):
        found = tuple(np.empty((3, 3)))
        junction.at_greatest_power(inputs, found, junction.aligned_rows(rows, 3))
        for row, expected in zip(found, (voltage, current, voltage * current), strict=True):
            np.testing.assert_allclose(row, expected, rtol=1e-9)


@pytest.mark.parametrize("size", [5, junction.BLOCK, junction.BLOCK + 3])
def test_no_more_room_is_taken_than_a_block_s(size, monkeypatch):
    asked, blocks, rows = [], [], junction.aligned_rows

    def given(count, points):
        asked.append((count, points))
        return rows(count, points)

    def fill(row, results, scratch):
        blocks.append(scratch.shape)
        results[0][...] = 2.0 * row[0] + row[1]

    monkeypatch.setattr(junction, "aligned_rows", given)
    (found,) = junction.in_blocks(fill, (np.arange(float(size)), 1.0), 1, 4)
    np.testing.assert_array_equal(found, 2.0 * np.arange(size) + 1.0)
    whole = min(size, junction.BLOCK)
    assert asked == [(1, size), (4, whole)]
    assert blocks == [(4, whole)] + [(4, 3)] * (size > whole)
