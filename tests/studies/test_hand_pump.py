"""The hand pump and the other lifts of a site, against arithmetic written out here.

The wells are invented. Water at 11 degC has 999.6 kg/m3; steel rods 7850 kg/m3 and 200 GPa.
"""

from __future__ import annotations

import math
import re

import pytest
from scipy.optimize import brentq

from wellsolar.results import Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.studies.hand.study import minutes_for, volume_in
from wellsolar.verdicts import Verdict

G = 9.80665
WATER = 999.6
L_MIN = 1e-3 / 60

VILLAGE = """
[site]
people = 20
print_units = "SI"
[demand]
daily_use = "1000 L/day"
survival_use = "15 L/day"
[well]
depth = "70 m"
static_level = "40 m (38 m .. 46 m)"
specific_capacity = "15 L/min/m"
water_temperature = "11 degC"
[hand_pump]
bore = "63.5 mm"
stroke = "125 mm"
lever_ratio = "8"
rod_diameter = "12 mm"
cylinder_depth = "55 m"
spout_height = "0.5 m"
stroke_rate = "40 strokes/min"
volumetric_efficiency = "90 %"
mechanical_efficiency = "80 %"
person_age = 35
arm_factor = "80 %"
"""

HILL = """
[site]
altitude = "1500 m"
people = 4
print_units = "SI"
[well]
depth = "30 m"
static_level = "4 m .. 4.6 m"
specific_capacity = "60 L/min/m"
[hand_pump]
kind = "suction"
bore = "75 mm"
stroke = "120 mm"
lever_ratio = "6"
spout_height = "1 m"
"""

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


def studied(text: str) -> Results:
    return study_site(parse_site(text), ("hand", "tank"))


def changed(text: str, *pairs: tuple[str, str]) -> str:
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def verdict(results: Results, rule: str) -> Verdict:
    found = [each for each in results.verdicts if each.rule.key == rule]
    assert len(found) == 1, [each.rule.key for each in results.verdicts]
    return found[0]


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
        assert task is not None
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
        assert hand is not None
        task = hand.task(key, people)
        assert task is not None
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
        assert hand is not None
        task = hand.task("survival")
        assert task is not None
        assert task.bound == "day"
        # At the 61.7 W that arms keep up for 8 h.
        assert task.time / 3600 == pytest.approx(4500 / village_flow(61.7) / 60, rel=0.003)
        found = verdict(results, "survival by hand")
        assert found.status == "fail"
        assert "more than a day's work" in found.reason.text("SI")
        crew = re.search(r"(\d+) people in turns", found.remedy.text("SI"))  # type: ignore[union-attr]
        assert crew is not None
        share = hand.task("survival")
        assert share is not None
        alone = minutes_for(hand, share.volume / int(crew.group(1)), "spout")
        assert alone is not None
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

    @pytest.mark.parametrize(
        ("pattern", "key"),
        [
            (r"lever of ([\d.]+) to 1", 'lever_ratio = "{}"'),
            (r"cylinder of ([\d.]+ mm)", 'bore = "{}"'),
            (r"counterweight of ([\d.]+ N)", 'counterweight = "{}"'),
        ],
    )
    @pytest.mark.parametrize("static", ["30 m", "34.7 m", "40 m (38 m .. 46 m)"])
    def test_each_way_out_of_a_heavy_handle(self, pattern: str, key: str, static: str) -> None:
        text = changed(
            VILLAGE, ('lever_ratio = "8"', 'lever_ratio = "6"'), ("40 m (38 m .. 46 m)", static)
        )
        found = verdict(studied(text), "handle force")
        assert found.status == "caution"
        match = re.search(pattern, found.remedy.text("SI"))  # type: ignore[union-attr]
        assert match is not None, found.remedy
        line = key.format(match.group(1))
        name = line.split(" = ")[0]
        if f"\n{name} = " in text:
            text = re.sub(rf"\n{name} = .*", f"\n{line}", text)
        else:
            text += line + "\n"
        assert verdict(studied(text), "handle force").status == "pass"

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
        rods = re.search(r"rods of ([\d.]+ mm)", found.remedy.text("SI"))  # type: ignore[union-attr]
        assert rods is not None
        thicker = changed(text, ('"5 mm"', f'"{rods.group(1)}"'))
        assert verdict(studied(thicker), "stretch of the rods").status == "pass"


class TestLowSeason:
    def test_a_cylinder_that_the_low_season_leaves_dry(self) -> None:
        text = changed(VILLAGE, ('cylinder_depth = "55 m"', 'cylinder_depth = "46.5 m"'))
        results = studied(text)
        found = verdict(results, "cylinder under water")
        assert found.status == "fail"
        assert "low season" in found.reason.text("SI")
        hand = results.hand_pump
        assert hand is not None
        assert hand.draws_water
        # 46 m and 13.9 L/min over 15 L/min/m.
        assert hand.low_level == pytest.approx(46 + 13.9 / 15, abs=0.01)
        below = re.search(r"below ([\d.]+ m)", found.remedy.text("SI"))  # type: ignore[union-attr]
        assert below is not None
        mended = changed(text, ('"46.5 m"', f'"{below.group(1)}"'))
        assert verdict(studied(mended), "cylinder under water").status == "pass"

    def test_above_the_water_at_rest_no_job_gets_water(self) -> None:
        results = studied(changed(VILLAGE, ('cylinder_depth = "55 m"', 'cylinder_depth = "39 m"')))
        hand = results.hand_pump
        assert hand is not None
        assert not hand.draws_water
        assert hand.tasks == ()
        assert minutes_for(hand, 0.02, "spout") is None
        assert [each.rule.key for each in results.verdicts] == ["cylinder under water"]
        assert "draws no water" in results.answers[-1].text.text("SI")

    def test_a_weak_well_gives_no_more_than_it_has(self) -> None:
        text = changed(
            VILLAGE, ('"15 L/min/m"', '"0.5 L/min/m"'), ("40 m (38 m .. 46 m)", "40 m"),
            ('depth = "70 m"', 'depth = "57 m"'),
        )  # fmt: skip
        results = studied(text)
        found = verdict(results, "cylinder under water")
        assert found.status == "fail"
        hand = results.hand_pump
        assert hand is not None
        # 15 m of drawdown at 0.5 L/min for each.
        assert hand.duties[0].full_flow == pytest.approx(7.5 * L_MIN, rel=1e-6)
        words = found.remedy.text("SI")  # type: ignore[union-attr]
        match = re.search(r"at ([\d.]+ m) and pump no faster than ([\d.]+ strokes/min)", words)
        assert match is not None, words
        mended = changed(
            text, ('"55 m"', f'"{match.group(1)}"'), ('"40 strokes/min"', f'"{match.group(2)}"')
        )
        assert verdict(studied(mended), "cylinder under water").status == "pass"

    def test_suction_by_altitude_and_season(self) -> None:
        # At 1500 m the air holds up 8.6 m of water, in practice 0.60 of it, 5.2 m; the water
        # stands 4.6 m down in the low season, and 19 L/min draw it down by 0.3 m.
        results = studied(HILL)
        assert verdict(results, "hand suction lift").status == "pass"
        hand = results.hand_pump
        assert hand is not None
        assert hand.suction_limit == pytest.approx(5.13, abs=0.07)
        assert hand.suction_lift == pytest.approx(4.6 + 19.1 / 60, abs=0.01)
        low = changed(HILL, ("4 m .. 4.6 m", "4 m .. 5.4 m"))
        assert verdict(studied(low), "hand suction lift").status == "fail"

    def test_deeper_than_such_pumps_go(self) -> None:
        text = changed(VILLAGE, ("40 m (38 m .. 46 m)", "52 m"), ('"55 m"', '"60 m"'))
        found = verdict(studied(text), "depth of the hand pump")
        assert found.status == "caution"
        rated = re.search(r"for ([\d.]+ m)", found.remedy.text("SI"))  # type: ignore[union-attr]
        assert rated is not None
        mended = text + f'rated_depth = "{rated.group(1)}"\n'
        assert verdict(studied(mended), "depth of the hand pump").status == "pass"


class TestMakersTable:
    # Published for the public-domain pump at 75 W: 1.8 and 1.3 m3/h at 10 and 15 m, 65.4 and
    # 70.8 % overall; for its extra-deep version 0.55 and 0.45 m3/h at 50 and 60 m, 99.9 and
    # 98.1 %.
    GOOD = (
        'discharge_head = "10, 15 m"\ndischarge_flow = "1.8, 1.3 m3/h"\ndischarge_power = "75 W"\n'
    )
    BAD = (
        'discharge_head = "10, 50, 60 m"\ndischarge_flow = "1.8, 0.55, 0.45 m3/h"\n'
        'discharge_power = "75, 75, 75 W"\n'
    )

    def test_a_table_that_can_be_right_stands_beside_the_computed_flow(self) -> None:
        shallow = changed(VILLAGE, ("40 m (38 m .. 46 m)", "12 m"))
        results = studied(shallow + self.GOOD)
        assert verdict(results, "maker's discharge table").status == "pass"
        hand = results.hand_pump
        assert hand is not None
        first, second = hand.discharge
        assert first.efficiency == pytest.approx(0.654, abs=0.001)
        assert second.efficiency == pytest.approx(0.708, abs=0.001)
        # 75 W x 0.72 over 15 m of water are 22.0 L/min, but 40 strokes give 14.2 L/min.
        assert second.computed == pytest.approx(14.2 * L_MIN, rel=0.01)
        spout = hand.duties[0]
        head = 12.5 + spout.full_flow / (15 * L_MIN)
        between = 1.8 + (1.3 - 1.8) * (head - 10) / 5
        assert spout.table_flow == pytest.approx(between / 3600, rel=1e-4)

    def test_rows_of_a_hundred_percent_are_called_implausible(self) -> None:
        text = VILLAGE + self.BAD
        results = studied(text)
        found = verdict(results, "maker's discharge table")
        assert found.status == "fail"
        assert "implausible" in found.reason.text("SI")
        assert "50.0 m" in found.reason.text("SI")
        assert float(found.quantity or 0) == pytest.approx(0.999, abs=0.001)
        assert results.hand_pump is not None
        assert all(duty.table_flow is None for duty in results.hand_pump.duties)
        most = re.findall(r"more than ([\d.]+) L/min at", found.remedy.text("SI"))  # type: ignore[union-attr]
        assert len(most) == 2
        flows = f"30, {most[0]}, {most[1]} L/min"
        mended = changed(text, ('"1.8, 0.55, 0.45 m3/h"', f'"{flows}"'))
        assert verdict(studied(mended), "maker's discharge table").status == "pass"

    def test_without_power_it_cannot_be_checked(self) -> None:
        text = VILLAGE + self.GOOD.replace('discharge_power = "75 W"\n', "")
        found = verdict(studied(text), "maker's discharge table")
        assert found.status == "unknown"
        assert found.needs == ("hand_pump.discharge_power",)


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
        assert head is not None
        mended = changed(text, ('"30 m"', f'"{head.group(1)}"'))
        assert verdict(studied(mended), "reach of the lift").status == "pass"

    def test_what_is_not_known_is_asked_for(self) -> None:
        bare = changed(ROPE, ('efficiency = "65 %"\n', ""), ('greatest_head = "30 m"\n', ""))
        results = studied(bare)
        assert verdict(results, "reach of the lift").needs == ("lift[1].greatest_head",)
        assert verdict(results, "what is told of the lift").needs == ("lift[1].efficiency",)
        task = results.lifts[0].task("survival")
        assert task is not None
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
