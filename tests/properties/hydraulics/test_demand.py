"""What must hold for any demand of a house."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import demand

modest = settings(max_examples=50, deadline=None)


class TestDemand:
    @modest
    @given(st.integers(1, 20))
    def test_one_more_person_never_uses_less(self, people):
        for rule in (demand.metered_indoor_use, demand.hot_water_use):
            assert rule(people + 1) > rule(people) > 0.0

    def test_refusals(self):
        with pytest.raises(OutOfRange, match="people is -1"):
            demand.hot_water_use(-1)

    def test_enough_supply_needs_no_storage(self):
        assert demand.storage_for_peak(1e-4, 2e-4, 420.0) == 0.0
