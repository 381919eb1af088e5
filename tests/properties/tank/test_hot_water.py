"""Invariants of hot water at the tap and of the shipped tables for it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.constants import DAY, US_GALLON
from wellsolar.data import hot_water_tables as tables
from wellsolar.errors import OutOfRange
from wellsolar.physics.tank import hot_water

modest = settings(max_examples=50, deadline=None)


@modest
@given(st.floats(45.0, 95.0), st.floats(2.0, 30.0))
def test_a_plug_drawn_through_the_valve_empties_the_tank(hot: float, cold: float) -> None:
    tap = 42.0
    plug = hot_water.delivered_volume(0.2, hot, cold, tap)
    assert plug * hot_water.mixing_ratio(hot, cold, tap) == pytest.approx(0.2)


def test_draw_patterns_are_plausible() -> None:
    for name, bin_volume in (("very small", 10), ("low", 38), ("medium", 55), ("high", 84)):
        draws = tables.draw_pattern(name)
        starts = [draw.start for draw in draws]
        assert starts == sorted(set(starts))
        assert max(starts) < DAY
        assert all(0.5 <= draw.volume / US_GALLON <= 27 for draw in draws)
        assert all(1 <= draw.flow / US_GALLON * 60 <= 3.0001 for draw in draws)
        ends = [draw.start + draw.volume / draw.flow for draw in draws]
        assert all(end <= start for end, start in zip(ends, starts[1:], strict=False))
        assert sum(draw.volume for draw in draws) == pytest.approx(bin_volume * US_GALLON)
    with pytest.raises(OutOfRange, match="draw pattern is 'huge'"):
        tables.draw_pattern("huge")


def test_elements_and_mixing_valves_are_plausible() -> None:
    for element in tables.element_ratings():
        assert element.rated_voltage in (120, 208, 240, 277, 480)
        assert 1000 <= element.rated_power <= 6000
        assert element.rated_power / element.rated_voltage <= 30, "amperes of a branch circuit"
    for number in ("1016", "1017", "1062", "1069", "1070", "1071", "1082", "1084"):
        valve = tables.mixing_valve_scope(number)
        assert valve.standard == f"ASSE {number}"
        assert not valve.highest_setting > 49.0, "none may be set above 120 degF"
        assert not valve.lowest_setting > valve.highest_setting
    assert not tables.mixing_valve_scope("ASSE 1017").limits_scald
    with pytest.raises(OutOfRange, match="mixing-valve standard is '9999'"):
        tables.mixing_valve_scope("9999")


def test_what_reaches_the_tap_is_shared_as_what_went_in() -> None:
    """By hand: half of 80 J, nothing of a month that the room alone heated, all of 20 J."""
    found = hot_water.element_heat_at_tap(*(
        np.array(each) for each in ([100.0, 0.0, 50.0, 0.0], [100.0, 50.0, 0.0, 0.0],
                                    [80.0, 10.0, 20.0, 5.0])
    ))  # fmt: skip
    assert found.tolist() == [40.0, 0.0, 20.0, 0.0]
    assert hot_water.half_heated(10.0, 60.0) == 35.0
