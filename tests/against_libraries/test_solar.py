"""Modules, arrays on a resistance and days of sun against pvlib, scipy and an open table."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pvlib
import pytest
from pvlib import pvsystem, singlediode
from scipy.optimize import brentq
from scipy.special import wrightomega

from wellsolar.errors import OutOfRange
from wellsolar.physics.array import junction, module, module_fit, resistive
from wellsolar.physics.sun import (
    clearness,
    geometry,
    rule_of_thumb,
    sun,
    synthetic_year,
)
from wellsolar.physics.sun import (
    year as sun_year,
)

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


@pytest.fixture(scope="module")
def open_table():
    """Datasheet columns of the open module table; names of modules are never looked at."""
    (path,) = (Path(pvlib.__file__).parent / "data").glob("*cec-modules*.csv")
    with path.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(lines))[2:]
    names = ("V_oc_ref", "I_sc_ref", "V_mp_ref", "I_mp_ref", "N_s", "beta_oc", "alpha_sc")
    assert len(rows) > 20_000
    return [
        (row["Technology"], module.ModuleRating(*(float(row[name]) for name in names)))
        for row in rows
    ]


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


def test_the_junction_follows_scipy_s_wright_omega():
    """u + e^u = z is solved by z less omega(z)."""
    z = np.concatenate([np.linspace(-600, 10, 5000), np.geomspace(10, 1e12, 5000)])
    u, scratch = np.empty_like(z), np.empty((junction.SCRATCH_ROWS, z.size))
    junction.junction_ratio(z.copy(), np.zeros_like(z), u, scratch)
    np.testing.assert_allclose(u + wrightomega(z), z, rtol=1e-14, atol=1e-13)


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
    cells = sun.cell_temperature(irradiance, 30.0, 1.0)
    diode = module.array_of(module.at_conditions(MODULE_A, irradiance, cells), 4, 1)
    assert 8.4 <= resistive.on_resistance(diode, 12.8, CABLE).current <= 8.8


def test_fit_holds_on_the_whole_open_table(open_table, record_property):
    """Every sheet has a fit, out of which its points come back.

    Every tenth row keeps this short; `tests/benchmarks` runs and prints the whole table.
    """
    tally = fit_tally([rating for _, rating in open_table[::10]])
    record_property("fit", str(tally))
    assert tally["refused"] == 0
    assert tally["de Soto"] >= 0.75 * tally["sheets"]
    assert tally["worst current or voltage"] < 1e-6
    assert tally["worst power, de Soto"] < 1e-6
    assert tally["power of 95 in 100, fallback"] < 0.01
    assert tally["worst power, fallback"] < 0.035


def fit_tally(ratings):
    """Fit each sheet, and see how far its five numbers come back by pvlib's solver."""
    fits, kept = [], []
    for rating in ratings:
        try:
            fits.append(module_fit.fit_five_parameters(rating))
        except OutOfRange:
            continue
        kept.append(rating)
    columns = [
        np.array([getattr(fit, name) for fit in fits])
        for name in (
            "photocurrent", "saturation_current", "series_resistance", "shunt_resistance",
            "modified_ideality_voltage",
        )
    ]  # fmt: skip
    soto = np.array([fit.method == module.DE_SOTO for fit in fits])
    at_rated = np.array([r.maximum_power_voltage for r in kept])
    error = np.max(
        [
            relative(pvsystem.v_from_i(0.0, *columns), [r.open_circuit_voltage for r in kept]),
            relative(pvsystem.i_from_v(0.0, *columns), [r.short_circuit_current for r in kept]),
            relative(
                pvsystem.i_from_v(at_rated, *columns), [r.maximum_power_current for r in kept]
            ),
        ]
    )
    _, _, power = singlediode.bishop88_mpp(*columns, method="chandrupatla")
    excess = relative(power, [module.rated_power(r) for r in kept])
    return {
        "sheets": len(ratings),
        "refused": len(ratings) - len(kept),
        module.DE_SOTO: int(soto.sum()),
        module.THREE_POINTS: int((~soto).sum()),
        "worst current or voltage": float(error),
        "worst power, de Soto": float(excess[soto].max()),
        "power of 95 in 100, fallback": float(np.percentile(excess[~soto], 95)),
        "worst power, fallback": float(excess[~soto].max()),
    }


def relative(value, expected):
    return np.abs(np.asarray(value) / np.asarray(expected) - 1.0)


def test_fit_keeps_the_voltage_coefficient(open_table):
    for _, rating in open_table[::400]:
        fit = module_fit.fit_five_parameters(rating)
        warm, cold = (
            float(resistive.open_circuit_voltage(module.at_conditions(fit, 1000.0, degrees)))
            for degrees in (27.0, 25.0)
        )
        assert (warm - cold) / 2.0 == pytest.approx(rating.voltage_coefficient, rel=1e-5)


def test_population_of_crystalline_modules(open_table):
    """Bands of the reference M4, computed from the same open table with pandas."""
    crystalline = [r for kind, r in open_table if kind in ("Mono-c-Si", "Multi-c-Si")]
    assert len(crystalline) == 20_946
    fill = np.percentile([module.fill_factor(r) for r in crystalline], [5, 50, 95])
    np.testing.assert_allclose(fill, [0.726, 0.760, 0.787], atol=0.0011)
    match = [
        r.maximum_power_voltage / r.maximum_power_current
        for r in crystalline
        if r.cells_in_series == 60 and 290.0 <= module.rated_power(r) <= 310.0
    ]
    assert np.mean(match) == pytest.approx(3.55, abs=0.02)


def test_a_coefficient_that_fits_no_curve_is_let_go():
    """A sheet whose voltage coefficient is a slip of the pen, -0.85 %/K, keeps its points."""
    sheet = module.ModuleRating(36.7, 8.4, 29.4, 7.9, 60, -0.3131, 0.0062)
    fit = module_fit.fit_five_parameters(sheet)
    assert fit.method == module.POINTS_ALONE
    row = (fit.photocurrent, fit.saturation_current, 0.0, np.inf, fit.modified_ideality_voltage)
    assert fit.series_resistance == 0.0
    assert pvsystem.i_from_v(29.4, *row) == pytest.approx(7.9, rel=1e-9)
    assert pvsystem.i_from_v(0.0, *row) == pytest.approx(8.4, rel=1e-9)
    assert pvsystem.v_from_i(0.0, *row) == pytest.approx(36.7, rel=1e-9)


def test_an_impossible_sheet_is_refused_by_name():
    sheet = module.ModuleRating(30.0, 9.0, 15.0, 4.4, 60, -0.1, 0.005)
    with pytest.raises(OutOfRange, match=r"lies on or below the straight line"):
        module_fit.fit_five_parameters(sheet)
    sheet = module.ModuleRating(30.0, 9.0, 31.0, 8.0, 60, -0.1, 0.005)
    with pytest.raises(OutOfRange, match=r"maximum power voltage is 31 V"):
        module_fit.fit_five_parameters(sheet)
    sheet = module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, 0.1, 0.005)
    with pytest.raises(OutOfRange, match=r"voltage coefficient is 0\.1 V/K"):
        module_fit.fit_five_parameters(sheet)


def all_suns():
    """Latitude, declination and hour angle, with suns overhead, due south, due north, at noon."""
    return np.meshgrid(
        [-66.0, -35.0, -10.0, 0.0, 23.0, 45.0, 71.0],
        [-23.4, -10.0, 0.0, 23.0],
        np.linspace(-177.0, 177.0, 119),
    )


def test_the_suns_place_is_that_of_pvlib():
    days = np.linspace(1.0, 366.0, 1000)
    theirs = np.degrees(pvlib.solarposition.declination_spencer71(days))
    np.testing.assert_allclose(sun.declination(days), theirs, atol=1e-12)
    latitude, tilt, hour = all_suns()
    zenith, azimuth = sun.sun_position(latitude, tilt, hour)
    angles = np.radians(hour), np.radians(tilt)
    high = pvlib.solarposition.solar_zenith_analytical(np.radians(latitude), *angles)
    np.testing.assert_allclose(zenith, np.degrees(high), atol=1e-9)
    told = np.degrees(
        pvlib.solarposition.solar_azimuth_analytical(np.radians(latitude), *angles, high)
    )
    # Theirs is an arc cosine, which is flat within 0.01 degrees of north and south, and takes any
    # sun at hour angle 0 for a southern one.
    plain = (hour != 0.0) & (np.abs(zenith - 90.0) < 89.0)
    apart = (azimuth - told + 180.0) % 360.0 - 180.0
    assert np.max(np.abs(apart[plain])) < 0.01
    assert np.median(np.abs(apart[plain])) < 1e-10
    north, south = sun.sun_position(np.array([-35.0, 35.0]), 10.0, 0.0)[1]
    assert (north, south) == pytest.approx((0.0, 180.0), abs=1e-9)


@pytest.mark.parametrize("turbidity", [1.0, 2.0, 3.0, 5.5])
@pytest.mark.parametrize("altitude", [0.0, 450.0, 3800.0])
def test_the_clear_sky_is_that_of_pvlib(turbidity, altitude):
    zenith = np.linspace(0.0, 89.999, 500)
    mass = pvlib.atmosphere.get_absolute_airmass(
        pvlib.atmosphere.get_relative_airmass(zenith), pvlib.atmosphere.alt2pres(altitude)
    )
    theirs = pvlib.clearsky.ineichen(zenith, mass, turbidity, altitude, 1388.0)
    total, direct = sun.clear_sky(zenith, altitude, turbidity, 1388.0)
    np.testing.assert_allclose(total, theirs["ghi"], rtol=1e-11, atol=1e-10)
    np.testing.assert_allclose(direct, theirs["dni"], rtol=1e-11)
    assert not np.any(sun.clear_sky(np.array([90.0, 95.0, 180.0]), altitude, turbidity, 1388.0))


@pytest.mark.parametrize("lean", [(0.0, 180.0), (35.0, 180.0), (60.0, 40.0), (90.0, 300.0)])
def test_light_on_a_plane_is_that_of_pvlib(lean):
    zenith, azimuth, direct = np.meshgrid(
        np.linspace(0.0, 110.0, 60), np.linspace(0.0, 359.0, 40), [0.0, 300.0, 1050.0]
    )
    diffuse = np.where(zenith < 90.0, 20.0 + 0.2 * direct, 0.0)
    total = diffuse + direct * np.maximum(np.cos(np.radians(zenith)), 0.0)
    theirs = pvlib.irradiance.get_total_irradiance(
        *lean, zenith, azimuth, direct, total, diffuse, 1400.0, albedo=0.25, model="haydavies"
    )["poa_global"]
    ours = sun.on_plane(*lean, zenith, azimuth, diffuse, direct, 1400.0, 0.25)
    np.testing.assert_allclose(ours, theirs, rtol=1e-12, atol=1e-10)


def test_cells_are_as_warm_as_pvlib_has_them():
    light, air, wind = np.meshgrid([0.0, 400.0, 1100.0], [-20.0, 35.0], [0.0, 1.0, 8.0])
    theirs = pvlib.temperature.faiman(light, air, wind)
    np.testing.assert_allclose(sun.cell_temperature(light, air, wind), theirs, rtol=1e-13)


def test_hourly_diffuse_fraction_is_that_of_pvlib():
    index = np.linspace(0.0, 1.0, 201)
    total = index * 1000.0
    theirs = pvlib.irradiance.erbs(total, np.zeros_like(total), 80, min_cos_zenith=0.0)
    ours = clearness.hourly_diffuse_fraction(np.asarray(theirs["kt"]))
    np.testing.assert_allclose(ours * total, theirs["dhi"], atol=1e-9)


def test_daily_radiation_outside_is_the_integral_over_the_day():
    latitude, day = 47.0, 300
    hours = (np.arange(100_000) + 0.5) / 100_000 * 360.0 - 180.0
    zenith = sun.sun_position(latitude, geometry.declination(day), hours)[0]
    height = np.maximum(np.cos(np.radians(zenith)), 0.0)
    integral = float(np.mean(height) * geometry.extraterrestrial_normal(day) * 86_400.0)
    assert geometry.extraterrestrial_day(latitude, day) == pytest.approx(integral, rel=1e-6)


def test_growth_of_the_clearness_distribution_is_near_herzogs_fit():
    """Herzog's fit to the same distribution, Duffie & Beckman eq. 2.9.6 (from memory)."""
    for mean in (0.4, 0.5, 0.6, 0.7):
        most, least = clearness.greatest_daily_clearness(mean), clearness.LEAST_DAILY_CLEARNESS
        xi = (most - least) / (most - mean)
        gamma = -1.498 + (1.184 * xi - 27.182 * math.exp(-1.5 * xi)) / (most - least)
        part = np.linspace(0.05, 0.95, 19)
        theirs = np.log(
            np.exp(gamma * least) + part * (np.exp(gamma * most) - np.exp(gamma * least))
        )
        ours = clearness.daily_clearness_quantile(mean, part)
        np.testing.assert_allclose(ours, theirs / gamma, atol=0.01)


def test_the_hourly_year_agrees_with_the_monthly_hand_method():
    """Klein's monthly method (isotropic sky) and the hours of Hay & Davies, 40 N, slope 40."""
    totals = (6.2, 9.4, 13.3, 16.8, 19.9, 22.4, 22.0, 19.3, 15.7, 11.4, 7.2, 5.6)
    year = synthetic_year.year_from_monthly(40.0, 300.0, np.array(totals) * 1e6, np.full(12, 10.0))
    planes = sun_year.monthly_totals(sun_year.on_plane(year, 40.0, 180.0))
    for month, (total, plane) in enumerate(zip(totals, planes, strict=True), 1):
        by_hand = rule_of_thumb.monthly_mean_tilted(
            40.0, geometry.average_day(month), 40.0, total * 1e6
        )
        assert plane == pytest.approx(by_hand, rel=0.05)
