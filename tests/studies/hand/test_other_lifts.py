"""Rope pumps and pedal pumps, against arithmetic written out here."""

from __future__ import annotations

import re
from types import SimpleNamespace
from typing import Any

import pytest

from tests.studies.hand.village import L_MIN, changed, studied, verdict
from wellsolar.studies.hand.effort import minutes_for, volume_in
from wellsolar.studies.hand.other_lifts import _reaches

ROPE = """
[site]
people = 6
print_units = "SI"
[well]
depth = "40 m"
static_level = "18 m"
specific_capacity = "100 L/min/m"
water_temperature = "11 degC"
[[lift]]
name = "rope pump"
kind = "rope pump"
head = "10 m"
flow = "35 L/min"
efficiency = "65 %"
greatest_head = "30 m"
spout_height = "1 m"
"""


class TestOtherLifts:
    def test_a_rope_pump_at_nearly_twice_its_head(self) -> None:
        """35 L/min at 10 m take 57.2 W of water power and 88 W of input at 65 %; at 19.2 m the
        same power lifts 35 x 10 / 19.2 = 18.2 L/min, and that draws the water down by 0.18 m."""
        results = studied(ROPE)
        lift = results.lifts[0]
        assert lift.head == pytest.approx(19.18, abs=0.01)
        assert lift.flow == pytest.approx(350 / 19.18 * L_MIN, rel=0.001)
        assert lift.input_power == pytest.approx(88.0, rel=0.002)
        assert lift.efficiency == pytest.approx(0.65)
        twice = next(each for each in lift.by_head if each.head == 20.0)
        assert twice.flow == pytest.approx(17.5 * L_MIN, rel=1e-6)
        assert verdict(results, "reach of the lift").status == "pass"
        # 90 L of survival water: 4.93 min at full flow, for which arms have 170 W.
        assert minutes_for(lift, 0.090, "spout") == pytest.approx(90 / (350 / 19.18), rel=0.002)
        # 8 h at 61.7 W of the 88 W that full flow asks for.
        day = volume_in(lift, 28_800.0, "spout")
        assert day == pytest.approx(480 * 61.7 / 88.0 * 350 / 19.18 / 1000, rel=0.003)

    def test_it_never_gives_more_than_at_its_first_head(self) -> None:
        near = changed(ROPE, ('static_level = "18 m"', 'static_level = "3 m"'))
        assert studied(near).lifts[0].flow == pytest.approx(35 * L_MIN)

    def test_water_out_of_reach(self) -> None:
        text = changed(ROPE, ('"18 m"', '"18 m .. 32 m"'), ('depth = "40 m"', 'depth = "50 m"'))
        found = verdict(studied(text), "reach of the lift")
        assert found.status == "fail"
        head = re.search(r"up to ([\d.]+ m)", found.remedy.text("SI"))  # type: ignore[union-attr]
        mended = changed(text, ('"30 m"', f'"{head.group(1)}"'))
        assert verdict(studied(mended), "reach of the lift").status == "pass"

    def test_what_is_not_known_is_asked_for(self) -> None:
        bare = changed(ROPE, ('efficiency = "65 %"\n', ""), ('greatest_head = "30 m"\n', ""))
        results = studied(bare)
        assert verdict(results, "reach of the lift").needs == ("lift[1].greatest_head",)
        assert verdict(results, "figures of the lift").needs == ("lift[1].efficiency",)
        task = results.lifts[0].task("survival")
        assert task.power is None
        assert task.time == pytest.approx(0.090 / results.lifts[0].flow)

    def test_four_riders_of_a_pedal_pump(self) -> None:
        """2 L/s over 4 m at 25 % take 313.8 W, 78.5 W from each of four; legs keep that up for
        7.4 h by the rule, so that in 8 h the riders give 77.1 / 78.5 of the full flow."""
        text = changed(
            ROPE, ('"18 m"', '"3 m"'), ('kind = "rope pump"', 'kind = "pedal pump"'),
            ('head = "10 m"', 'head = "4 m"'), ('"35 L/min"', '"2 L/s"'), ('"65 %"', '"25 %"'),
            ('greatest_head = "30 m"', 'greatest_head = "6 m"\npeople_pumping = 4'),
            ('"100 L/min/m"', '"10000 L/min/m"'),
        )  # fmt: skip
        lift = studied(text).lifts[0]
        assert lift.input_power == pytest.approx(313.8, rel=0.005)
        day = volume_in(lift, 28_800.0, "spout", 4)
        assert day == pytest.approx(28_800 * 0.002 * 77.1 / 78.5, rel=0.005)


@pytest.mark.parametrize(
    ("head", "low", "known", "status"),
    [
        # Up to a limit of 30 m, ours.
        (29.0, 30.0, True, "pass"), (30.01, 29.0, True, "fail"), (29.0, 30.01, True, "fail"),
        (30.2, 29.0, True, "fail"), (29.0, 30.2, True, "fail"),
        # With an unknown drawdown it may be higher, and is no lower.
        (29.0, 30.0, False, "unknown"), (29.0, 30.2, False, "fail"),
    ],
)  # fmt: skip
def test_how_high_a_lift_reaches(head: float, low: float, known: bool, status: str) -> None:
    result: Any = SimpleNamespace(
        name="rope", head=head, low_head=low, greatest_head=30.0, level_known=known
    )
    found = _reaches(result, 1)
    assert (found.status, found.subject) == (status, "rope")
    if status != "unknown":
        assert (found.quantity, found.limit) == (max(head, low), 30.0)
        assert found.reason.parts["season"] == (" in the low season" if low > head else "")
