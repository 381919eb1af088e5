"""What must hold for any module, and any array of them on a resistance."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from wellsolar.errors import OutOfRange
from wellsolar.physics.array import junction, module, module_fit, resistive

MODULE = module_fit.fit_five_parameters(
    module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.0030 * 39.9, 0.00485)
)

irradiances = st.floats(0.0, 1400.0)

temperatures = st.floats(-40.0, 90.0)

resistances = st.floats(0.05, 500.0)

counts = st.integers(1, 20)


def string(irradiance, temperature, series=1, parallel=1):
    one = module.at_conditions(MODULE, irradiance, temperature)
    return module.array_of(one, series, parallel)


@given(irradiances, temperatures, counts, counts, resistances, st.floats(0.0, 5.0))
def test_the_point_lies_on_both_lines(irradiance, temperature, series, parallel, load, cable):
    diode = string(irradiance, temperature, series, parallel)
    point = resistive.on_resistance(diode, load, cable)
    assert point.voltage == pytest.approx(point.current * load)
    assert point.power == pytest.approx(point.current**2 * load)
    terminals = point.current * (load + cable)
    on_curve = resistive.current_at_voltage(diode, terminals)
    assert on_curve == pytest.approx(point.current, rel=1e-7, abs=1e-9 * (1 + parallel))


@given(irradiances, temperatures, counts, resistances)
def test_no_resistance_takes_more_than_the_greatest_power(irradiance, temperature, series, load):
    diode = string(irradiance, temperature, series)
    best = resistive.maximum_power_point(diode)
    assert resistive.on_resistance(diode, load).power <= best.power * (1 + 1e-12) + 1e-12
    short = resistive.short_circuit_current(diode)
    assert resistive.on_resistance(diode, load).power <= short**2 * load * (1 + 1e-9) + 1e-12


def test_no_ordinary_sun_needs_the_slow_way_to_the_greatest_power(monkeypatch):
    """Bracketing is for modules that none would build: no year may fall back on it."""
    slow = []
    monkeypatch.setattr(junction, "_bracketed_best", lambda *form: slow.append(form) or form[0])
    sun, warmth = np.meshgrid(np.geomspace(0.5, 1300.0, 100), np.linspace(-40.0, 90.0, 20))
    for factor in (1.0, 1e-3):  # and with a shunt that leaks a thousand times as much
        leaking = replace(MODULE, shunt_resistance=MODULE.shunt_resistance * factor)
        diode = module.at_conditions(leaking, sun.ravel(), warmth.ravel())
        assert np.all(resistive.maximum_power_point(diode).power > 0.0)
    assert not slow


@given(st.floats(1.0, 1400.0), temperatures, counts)
def test_the_matched_resistance_takes_the_greatest_power(irradiance, temperature, series):
    diode = string(irradiance, temperature, series)
    matched = resistive.matched_resistance(diode)
    best = resistive.maximum_power_point(diode)
    assert resistive.on_resistance(diode, matched).power == pytest.approx(best.power, rel=1e-10)


@given(irradiances, st.floats(0.1, 300.0), temperatures, resistances)
def test_more_sun_never_means_less_heat(irradiance, more, temperature, load):
    dim = resistive.on_resistance(string(irradiance, temperature, 4), load).power
    bright = resistive.on_resistance(string(irradiance + more, temperature, 4), load).power
    assert bright >= dim - 1e-12


@given(st.floats(1.0, 1400.0), temperatures, st.integers(1, 12), resistances)
def test_one_module_more_never_means_less_heat(irradiance, temperature, series, load):
    fewer = resistive.on_resistance(string(irradiance, temperature, series), load).power
    assert (
        resistive.on_resistance(string(irradiance, temperature, series + 1), load).power
        >= fewer - 1e-12
    )


@given(temperatures, counts, resistances)
def test_the_dark_gives_exactly_nothing(temperature, series, load):
    diode = string(0.0, temperature, series)
    for point in (resistive.on_resistance(diode, load), resistive.maximum_power_point(diode)):
        assert (point.voltage, point.current, point.power) == (0.0, 0.0, 0.0)
    assert resistive.open_circuit_voltage(diode) == 0.0
    assert resistive.short_circuit_current(diode) == 0.0


def test_arrays_of_any_shape_broadcast_and_match_single_points():
    irradiance = np.linspace(0.0, 1200.0, 25)[:, None]
    loads = np.array([5.0, 12.8, 28.8])
    power = resistive.on_resistance(string(irradiance, 40.0, 4), loads).power
    assert power.shape == (25, 3)
    single = resistive.on_resistance(string(1200.0, 40.0, 4), 12.8).power
    assert power[-1, 1] == pytest.approx(single, rel=1e-15)
    empty = resistive.on_resistance(string(np.zeros(0), 40.0), 12.8)
    assert empty.power.shape == (0,)


@given(
    st.floats(0.30, 0.50), st.floats(0.75, 0.86), st.floats(0.90, 0.97), st.floats(0.0024, 0.0045)
)
@settings(max_examples=50)
def test_a_fit_meets_its_sheet_or_refuses_it(scale, voltage_part, current_part, fall):
    open_circuit, short = 100.0 * scale, 20.0 * scale
    sheet = module.ModuleRating(
        open_circuit, short, voltage_part * open_circuit, current_part * short, 60,
        -fall * open_circuit, 0.0005 * short,
    )  # fmt: skip
    try:
        fit = module_fit.fit_five_parameters(sheet)
    except OutOfRange:
        assume(False)
        raise
    assert fit.series_resistance >= 0.0
    assert fit.shunt_resistance > 0.0
    diode = module.at_conditions(fit, 1000.0, 25.0)
    assert resistive.open_circuit_voltage(diode) == pytest.approx(open_circuit, rel=1e-8)
    assert resistive.short_circuit_current(diode) == pytest.approx(short, rel=1e-8)
    at_peak = resistive.current_at_voltage(diode, sheet.maximum_power_voltage)
    assert at_peak == pytest.approx(sheet.maximum_power_current, rel=1e-7)
    power = resistive.maximum_power_point(diode).power
    assert power >= module.rated_power(sheet) * (1 - 1e-9)


@pytest.mark.parametrize("load", [0.0, -1.0, float("nan")])
def test_a_load_that_is_no_resistance_is_refused(load):
    with pytest.raises(OutOfRange, match="element resistance"):
        resistive.on_resistance(string(500.0, 25.0), load)


def test_negative_sun_is_refused():
    with pytest.raises(OutOfRange, match="irradiance is -1 W/m2"):
        module.at_conditions(MODULE, -1.0, 25.0)


@pytest.mark.parametrize("above", [1.0015, 1.3, 1.9])
def test_a_curve_through_points_alone_has_the_ideality_of_its_fall(above):
    """At half the voltage without resistance the current is 1 / (1 + exp(-Voc / 2a)) of its
    greatest, so that the ideality follows by hand, be it the least above the straight line."""
    rating = module.ModuleRating(40.0, 10.0, 20.0, 5.0 * above, 60, -0.12, 0.005)
    curve = module_fit._points_alone_curve(rating)
    ideality_voltage = -20.0 / math.log(2.0 / above - 1.0)
    assert curve.ideality_voltage == pytest.approx(ideality_voltage)
    assert curve.photocurrent == pytest.approx(10.0)
