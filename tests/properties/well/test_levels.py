"""What must hold for any level and drawdown."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.physics.hydraulics import water
from wellsolar.physics.well import levels as well

few = settings(max_examples=60, deadline=None)

flows = st.floats(1e-6, 5e-3)

lengths = st.floats(0.0, 500.0)

temperatures = st.floats(0.0, 100.0)


@few
@given(st.floats(0.0, 100.0), flows, st.floats(1e-6, 1e-2))
def test_well_goes_round(static_level: float, flow: float, capacity: float) -> None:
    fall = well.drawdown(flow, capacity)
    assert well.specific_capacity(flow, fall) == pytest.approx(capacity)
    level = well.pumping_level(static_level, flow, capacity)
    assert level >= static_level
    sustained = well.sustained_flow(static_level, level, capacity)
    assert sustained == pytest.approx(flow, rel=1e-6, abs=1e-12 * capacity * static_level + 1e-15)


@few
@given(st.floats(0.05, 1.0), lengths, st.floats(0.0, 0.9))
def test_pipes_in_the_casing_take_their_room(bore: float, column: float, part: float) -> None:
    area = 0.25 * math.pi * bore**2
    free = well.stored_volume(bore, column)
    assert well.stored_volume(bore, column, part * area) == pytest.approx((1.0 - part) * free)
    assert free == pytest.approx(area * column)


@few
@given(st.floats(1.0, 200.0), st.floats(0.0, 1.0), temperatures)
def test_air_line_reads_the_depth_it_was_given(
    length: float, part: float, temperature: float
) -> None:
    rho = water.density(temperature)
    pressure = water.column_pressure((1.0 - part) * length, rho) * (1.0 - 1e-12)
    level = well.air_line_level(length, pressure, rho)
    assert level == pytest.approx(part * length, abs=1e-9 * length)
