"""Burns: hotter water never takes longer, and tables are not left."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.data import hot_water_tables as tables
from wellsolar.physics.tank import scald

modest = settings(max_examples=50, deadline=None)


@modest
@given(st.floats(44.0, 100.0), st.floats(0.0, 30.0), st.sampled_from(["second", "third"]))
def test_hotter_water_never_takes_longer_to_burn(
    temperature: float, more: float, degree: tables.Degree
) -> None:
    cool = scald.burn_time(temperature, degree=degree)
    hot = scald.burn_time(temperature + more, degree=degree)
    assert hot.seconds <= cool.seconds * (1 + 1e-12)
    child = scald.burn_time(temperature, "child", degree)
    assert child.seconds == cool.seconds / 4
    assert child.bound == cool.bound
    assert (
        scald.burn_time(temperature, degree="second").seconds
        <= scald.burn_time(temperature, degree="third").seconds
    )


def test_burns_are_not_extrapolated() -> None:
    assert scald.burn_time(43.99) == (math.inf, "none")
    assert scald.burn_time(70.0) == (1.0, "at most")
    assert scald.burn_time(99.0, degree="second") == (1.0, "at most")
    assert scald.burn_time(60.0) == (5.0, "table")
    # A hospital's list has 1 s at 155 degF, the adults' threshold after Moritz and Henriques
    # (1947) ends with 1 s at 68.3 degC (both second hand).
    assert scald.burn_time((155 - 32) / 1.8) == (1.0, "table")


@pytest.mark.parametrize("degree", ["second", "third"])
def test_burn_tables_fall_and_stay_within_bounds(degree: tables.Degree) -> None:
    for rows in tables.burn_rows(degree).values():
        temperatures = [row.temperature for row in rows]
        seconds = [row.seconds for row in rows]
        assert temperatures == sorted(set(temperatures))
        assert seconds == sorted(set(seconds), reverse=True)
        assert min(temperatures) >= 44.0
        assert max(temperatures) < 70.0
        assert 1.0 <= min(seconds) <= max(seconds) <= 6 * 3600
        assert {row.provenance for row in rows} <= {"read", "second hand", "from memory"}
