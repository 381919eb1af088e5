"""What must hold for any level and drawdown."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.physics.well import levels as well

few = settings(max_examples=50, deadline=None)

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
