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


@pytest.mark.parametrize(("low", "width"), [(0.0, 1.0), (0.0, 1e6), (1e3, 1.0)])
def test_a_coarser_search_ends_sooner_and_within_its_part_of_the_width(
    low: float, width: float
) -> None:
    """A cube root, which no line finds at once."""
    asked: list[float] = []

    def balance(x: float) -> float:
        asked.append(x)
        return ((x - low) / width) ** 3 - 0.3

    for part in (1e-2, 1e-5, 1e-12):
        before = len(asked)
        found = solve.bracketed_root(balance, low, low + width, relative_tolerance=part)
        # Beside the tolerance, scipy keeps four roundings of the root.
        planted = low + width * 0.3 ** (1.0 / 3.0)
        assert abs(found - planted) <= part * width + 1e-15 * planted
        if part > 1e-12:
            coarse = len(asked) - before
    assert coarse < len(asked) - before


def test_a_root_at_the_end_of_a_bracket_without_width_is_that_end() -> None:
    assert solve.bracketed_root(lambda x: x - 2.0, 2.0, 2.0) == 2.0
