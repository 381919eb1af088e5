"""Forces at the handle and in the rods, against arithmetic written out here."""

from __future__ import annotations

import math
import re

import pytest

from tests.studies.hand.village import (
    VILLAGE,
    WATER,
    G,
    changed,
    studied,
    studied_with,
    verdict,
)
from wellsolar.verdicts import changes_of


class TestForces:
    def test_both_ways_with_a_counterweight(self) -> None:
        text = VILLAGE + 'counterweight = "60 N"\n'
        duty = studied(text).hand_pump.duties[0]  # type: ignore[union-attr]
        column = WATER * G * duty.head * math.pi / 4 * 0.0635**2
        rods = (7850 - WATER) * G * math.pi / 4 * 0.012**2 * 55
        friction = column * (1 / 0.80 - 1) / 2
        assert duty.upward == pytest.approx((column + rods + friction) / 8 - 60, rel=0.001)
        assert duty.downward == pytest.approx(60 + (friction - rods) / 8, rel=0.005)
        assert duty.balancing == pytest.approx((rods + column / 2) / 8, rel=0.001)
        # What the hand does on the two ways is the work of the water over the efficiency.
        travel = 8 * (0.125 - duty.stretch)
        lifted = WATER * G * duty.head * math.pi / 4 * 0.0635**2 * (0.125 - duty.stretch)
        assert (duty.upward + duty.downward) * travel == pytest.approx(lifted / 0.80, rel=0.001)
        assert duty.work == pytest.approx(lifted / 0.80, rel=0.001)

    @pytest.mark.parametrize("static", ["30 m", "34.7 m", "40 m (38 m .. 46 m)"])
    def test_each_way_out_of_a_heavy_handle(self, static: str) -> None:
        text = changed(
            VILLAGE, ('lever_ratio = "8"', 'lever_ratio = "5"'), ("40 m (38 m .. 46 m)", static)
        )
        found = verdict(studied(text), "handle force")
        assert found.status in ("caution", "fail")
        after = studied_with(text, [str(each) for each in changes_of(found.remedy)])
        assert verdict(after, "handle force").status == "pass"
        assert verdict(after, "hand travel").status == "pass"
        # The other way that the sentence names.
        weight = re.search(r"counterweight of ([\d.]+ N)", found.remedy.text("SI"))  # type: ignore[union-attr]
        if weight is not None:
            hung = studied(text + f'counterweight = "{weight.group(1)}"\n')
            assert verdict(hung, "handle force").status == "pass"

    @pytest.mark.parametrize(
        ("stroke", "lever", "status"),
        [
            # 125 mm by 8 to 1, the public-domain pump's, is 1 m; twice 67.7 cm is 1354 mm.
            ("125 mm", "8", "pass"),
            ("125 mm", "8.1", "caution"),
            ("125 mm", "10.8", "caution"),
            ("125 mm", "10.9", "fail"),
            ("8 in", "12.3", "fail"),
            ("6 in", "50", "fail"),
        ],
    )
    def test_a_hand_travels_no_farther_than_it_reaches(
        self, stroke: str, lever: str, status: str
    ) -> None:
        text = changed(
            VILLAGE, ('lever_ratio = "8"', f'lever_ratio = "{lever}"'),
            ('"125 mm"', f'"{stroke}"'), ("40 m (38 m .. 46 m)", "20 m"),
        )  # fmt: skip
        found = verdict(studied(text), "hand travel")
        assert found.status == status
        if status == "pass":
            return
        after = studied_with(text, [str(each) for each in changes_of(found.remedy)])
        assert verdict(after, "hand travel").status == "pass"
        assert verdict(after, "handle force").status == "pass"

    def test_two_at_the_handle_share_the_force(self) -> None:
        one = verdict(studied(VILLAGE), "handle force")
        two = verdict(studied(VILLAGE + "people_pumping = 2\n"), "handle force")
        assert one.status == "caution"
        assert two.status == "pass"
        assert float(two.quantity or 0) == pytest.approx(float(one.quantity or 1) / 2)

    def test_thin_rods_lose_stroke_and_thicker_ones_do_not(self) -> None:
        text = changed(VILLAGE, ('"12 mm"', '"5 mm"'))
        found = verdict(studied(text), "stretch of the rods")
        assert found.status == "caution"
        # 46.5 m and the drawdown of 12.5 L/min: 1483 N on 19.6 mm2 of 55 m, 20.8 mm of 125 mm.
        assert float(found.quantity or 0) == pytest.approx(20.7 / 125, rel=0.02)
        # By the square of the thickness it is the whole stroke, and nothing is lifted, at 2.0 mm.
        for rod, status in (("2.2 mm", "caution"), ("1.9 mm", "fail")):
            thin = changed(VILLAGE, ('"12 mm"', f'"{rod}"'))
            assert verdict(studied(thin), "stretch of the rods").status == status
        # 5 mm by the root of 16.6 % over 10 % is 6.4 mm; 7/16 in is the next that is sold.
        rods = re.search(r"rods of ([\d.]+ mm)", found.remedy.text("SI"))  # type: ignore[union-attr]
        thicker = changed(text, ('"5 mm"', f'"{rods.group(1)}"'))
        assert verdict(studied(thicker), "stretch of the rods").status == "pass"
