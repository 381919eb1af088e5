"""What must hold for water and air."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from wellsolar.physics.hydraulics import suction, water

few = settings(max_examples=50, deadline=None)

temperatures = st.floats(0.0, 100.0)

altitudes = st.floats(-500.0, 11_000.0)


@few
@given(temperatures, temperatures)
def test_warm_water_is_thinner_and_boils_at_more_pressure(a: float, b: float) -> None:
    cold, warm = sorted((a, b))
    assume(warm - cold > 1e-3)
    assert water.dynamic_viscosity(warm) < water.dynamic_viscosity(cold)
    assert water.kinematic_viscosity(warm) < water.kinematic_viscosity(cold)
    assert water.vapour_pressure(warm) > water.vapour_pressure(cold)
    if cold > 4.0:
        assert water.density(warm) < water.density(cold)


@few
@given(temperatures)
def test_water_stays_within_the_bounds_of_the_liquid(temperature: float) -> None:
    assert 958.0 < water.density(temperature) < 1000.0
    assert 4177.0 < water.specific_heat(temperature) < 4220.0


@few
@given(st.floats(-1e6, 1e6), temperatures)
def test_pressure_and_head_make_a_round_trip(pressure: float, temperature: float) -> None:
    rho = water.density(temperature)
    back = water.column_pressure(water.pressure_head(pressure, rho), rho)
    assert back == pytest.approx(pressure, rel=1e-12)


@few
@given(altitudes, altitudes)
def test_air_is_thinner_higher_up(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assume(high - low > 0.1)
    assert suction.atmospheric_pressure(high) < suction.atmospheric_pressure(low)
