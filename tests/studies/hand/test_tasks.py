"""How long the jobs at a hand pump last, against arithmetic written out here."""

from __future__ import annotations

import math
import re

import pytest
from scipy.optimize import brentq

from tests.studies.hand.village import VILLAGE, WATER, G, changed, studied, verdict
from wellsolar.studies.hand.effort import minutes_for, volume_in


def rule_of_power(minutes: float) -> float:
    """Krendel's rule at the age of 35, 80 % of it by arms, from 4 to 480 minutes [W]."""
    within = min(max(minutes, 4.0), 480.0)
    return 0.80 * 745.7 * (0.35 - 0.092 * math.log10(within))


def village_flow(watts: float) -> float:
    """Litres a minute that a power lifts to the village's spout, never more than 40 strokes.

    The power at the handle is rho g Q H / (0.80 x 0.90), the head 40.5 m and the drawdown of
    1 m for each 15 L/min.
    """
    lifted = 0.80 * 0.90 * watts / (WATER * G) * 60_000  # litres a minute times metres
    by_power = 7.5 * (math.sqrt(40.5**2 + 4 * lifted / 15) - 40.5)
    # 63.5 mm x 125 mm are 0.39587 L (IS 9301); 55 m of 12 mm rod give way by 3.1 mm.
    column = WATER * G * 41.4 * math.pi / 4 * 0.0635**2
    stretch = column * 55 / (math.pi / 4 * 0.012**2 * 2.0e11)
    return min(by_power, 40 * 0.90 * 0.39587 * (1 - stretch / 0.125))


def village_minutes(litres: float, people: int = 1) -> float:
    """The time for which people can keep up just the power that it asks for."""

    def too_short(minutes: float) -> float:
        return litres / village_flow(people * rule_of_power(minutes)) - minutes

    if too_short(4.0) <= 0.0:
        return litres / village_flow(people * rule_of_power(4.0))
    if too_short(480.0) >= 0.0:
        return litres / village_flow(people * rule_of_power(480.0))
    return float(brentq(too_short, 4.0, 480.0))


class TestMinutes:
    def test_a_family_by_plain_arithmetic(self) -> None:
        """300 L of survival water for 20 people, worked step by step.

        At full rate 13.9 L/min: 21.6 min. The rule gives 0.35 - 0.092 log10(21.6) = 0.2272 hp,
        169.4 W, of which arms 135.5 W. Full rate asks for 999.6 x 9.80665 x 41.43 m x 13.9 L/min
        / 0.72 = 131 W, so that the strokes are the limit.
        """
        task = studied(VILLAGE).hand_pump.task("survival")  # type: ignore[union-attr]
        assert task.volume == pytest.approx(0.300)
        assert task.time / 60 == pytest.approx(21.6, rel=0.005)
        assert task.power == pytest.approx(131.0, rel=0.005)
        assert task.bound == "strokes"
        assert task.strokes == pytest.approx(300 / (0.39587 * 0.90 * (1 - 3.13 / 125)), rel=0.001)

    @pytest.mark.parametrize("people", [1, 2])
    @pytest.mark.parametrize(
        ("key", "litres"),
        [
            ("bucket", 20), ("survival", 300), ("basic", 400), ("full", 1000), ("ordinary", 1000),
            ("morning", 390), ("survival each", 15), ("full each", 50), ("ordinary each", 50),
        ],
    )  # fmt: skip
    def test_every_job_lasts_as_long_as_its_power(
        self, key: str, litres: float, people: int
    ) -> None:
        hand = studied(VILLAGE).hand_pump
        task = hand.task(key, people)
        assert task.volume == pytest.approx(litres / 1000)
        expected = village_minutes(litres, people)
        assert task.time / 60 == pytest.approx(expected, rel=0.003)
        assert minutes_for(hand, litres / 1000, "spout", people) == pytest.approx(
            expected, rel=0.003
        )
        assert minutes_for(hand, litres / 1000, "tank", people) is None

    def test_more_than_a_days_work_is_called_so(self) -> None:
        results = studied(changed(VILLAGE, ("people = 20", "people = 300")))
        hand = results.hand_pump
        task = hand.task("survival")
        assert task.bound == "day"
        # At the 61.7 W that arms keep up for 8 h.
        assert task.time / 3600 == pytest.approx(4500 / village_flow(61.7) / 60, rel=0.003)
        found = verdict(results, "survival by hand")
        assert found.status == "fail"
        assert "more than a day's work" in found.reason.text("SI")
        crew = re.search(r"(\d+) people in turns", found.remedy.text("SI"))  # type: ignore[union-attr]
        share = hand.task("survival")
        alone = minutes_for(hand, share.volume / int(crew.group(1)), "spout")
        assert alone <= 60.0
        day = volume_in(hand, 86_400.0, "spout")
        assert day == pytest.approx(480 * village_flow(61.7) / 1000, rel=0.003)

    def test_a_power_that_is_given_is_kept(self) -> None:
        text = changed(VILLAGE, ('person_age = 35\narm_factor = "80 %"', 'person_power = "60 W"'))
        hand = studied(text).hand_pump
        assert hand is not None
        for litres in (15, 300, 1000, 4000):
            minutes = minutes_for(hand, litres / 1000, "spout")
            assert minutes == pytest.approx(litres / village_flow(60.0), rel=0.003)

    def test_age_and_arms_go_into_the_power(self) -> None:
        old = changed(VILLAGE, ("person_age = 35", "person_age = 60"))
        # 61.6 W whole body over 8 h at the age of 60, 80 % of it.
        day = volume_in(studied(old).hand_pump, 28_800.0, "spout")  # type: ignore[arg-type]
        assert day == pytest.approx(480 * village_flow(49.3) / 1000, rel=0.003)
