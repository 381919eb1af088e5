"""What must hold for water that is heated in a closed tank."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.physics.tank import expansion, overheating

modest = settings(max_examples=50, deadline=None)


@modest
@given(st.floats(1e-3, 0.05), st.floats(1e5, 4e5), st.floats(1e5, 4e5), st.floats(5e4, 6e5))
def test_expansion_tank_ends_at_its_maximum_pressure(
    growth: float, precharge: float, supply: float, rise: float
) -> None:
    """Fill the tank by Boyle's law step by step: the expansion takes it to the maximum."""
    maximum = max(precharge, supply) + rise
    atmosphere = 95_000.0
    volume = float(expansion.expansion_tank_volume(growth, precharge, supply, maximum, atmosphere))
    before = volume * min(1.0, (precharge + atmosphere) / (supply + atmosphere))
    after = before - growth
    pressure = (precharge + atmosphere) * volume / after - atmosphere
    assert pressure == pytest.approx(maximum, rel=1e-6)


@modest
@given(st.floats(4.0, 60.0), st.floats(0.0, 35.0))
def test_heating_expands_and_boils_later_under_pressure(cold: float, rise: float) -> None:
    assert expansion.expansion_volume(1.0, cold, cold + rise) >= -1e-9
    assert overheating.boiling_temperature(1e5 + rise * 1e4) >= overheating.boiling_temperature(
        1e5
    )
