"""What must hold for any root between two bounds."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.physics import solve

few = settings(max_examples=50, deadline=None)


@few
@given(st.floats(-50.0, 50.0), st.floats(0.1, 50.0), st.floats(0.01, 0.99))
def test_bracketed_root_finds_a_planted_root(low: float, width: float, part: float) -> None:
    planted = low + part * width
    found = solve.bracketed_root(lambda x: (x - planted) ** 3, low, low + width)
    assert found == pytest.approx(planted, abs=1e-3 * width)
