"""The fit in the casing, against geometry of the test's own."""

from __future__ import annotations

import math
from types import SimpleNamespace

import pytest

from tests.studies.casing.bodies import FOOT, fit, studied, text_of
from wellsolar.results.well import CasingResult
from wellsolar.studies.casing import study as casing_study

INCH = 0.0254


def casing_of(text: str) -> CasingResult:
    casing = studied(text).casing
    assert casing is not None
    return casing


def around_three(a: float, b: float, c: float) -> float:
    """Diameter of the circle round three that touch each other, by Descartes' theorem."""
    ka, kb, kc = 2 / a, 2 / b, 2 / c
    return -2 / (ka + kb + kc - 2 * math.sqrt(ka * kb + kb * kc + kc * ka))


class TestGeometry:
    def test_two_pumps_side_by_side_take_the_sum_of_their_diameters(self) -> None:
        casing = casing_of(text_of(d1=3.0, d2=2.5))
        tightest = casing.sections[casing.tightest]
        assert tightest.smallest_circle == pytest.approx(5.5 * INCH, rel=1e-12)
        assert set(tightest.bodies) == {"first", "second"}
        # 4 ft above and below the intakes at 150 ft.
        assert tightest.top == pytest.approx(146 * FOOT)
        assert tightest.bottom == pytest.approx(154 * FOOT)

    def test_three_equal_bodies(self) -> None:
        casing = casing_of(text_of(hand=True, bore=7, d1=2.8, d2=2.8, d3=2.8))
        circle = casing.sections[casing.tightest].smallest_circle
        assert circle == pytest.approx(2.8 * (1 + 2 / math.sqrt(3)) * INCH, rel=1e-12)

    @pytest.mark.parametrize("d", [(3.0, 2.6, 2.4), (3.6, 3.0, 2.2)])
    def test_three_unequal_bodies(self, d: tuple[float, float, float]) -> None:
        casing = casing_of(text_of(hand=True, bore=9, d1=d[0], d2=d[1], d3=d[2]))
        circle = casing.sections[casing.tightest].smallest_circle
        assert circle == pytest.approx(around_three(*d) * INCH, rel=1e-9)

    def test_pipes_and_cables_hang_beside_whatever_is_deeper(self) -> None:
        casing = casing_of(text_of(hand=True, second=180, cylinder=100))
        at = {
            name: next(
                each.bodies
                for each in casing.sections
                if each.top < depth * FOOT < each.bottom and name
            )
            for name, depth in (("top", 2), ("hand", 101), ("first", 150), ("low", 179))
        }
        assert set(at["top"]) == {"first's cable", "second's cable", "hand cylinder's pipe"}
        assert set(at["hand"]) == {
            "first's cable", "second's cable", "first's pipe", "second's pipe", "hand cylinder",
        }  # fmt: skip
        assert set(at["first"]) == {"first", "second's pipe", "second's cable"}
        assert at["low"] == ("second",)
        pipe = next(each for each in casing.bodies if each.name == "first's pipe")
        # 1/2 in copper tube is 5/8 in outside, ASTM B88.
        assert pipe.diameter == pytest.approx(0.625 * INCH)
        assert (pipe.top, pipe.bottom) == pytest.approx((4 * FOOT, 146 * FOOT))

    def test_a_spool_stands_above_the_pitless_depth(self) -> None:
        text = text_of().replace("[piping]\n", 'pitless_spool = "4 in"\n[piping]\n', 1)
        casing = casing_of(text)
        section = next(each for each in casing.sections if "pitless spool" in each.bodies)
        assert (section.top, section.bottom) == pytest.approx((3 * FOOT, 4 * FOOT))
        circle = around_three(4.0, 0.5, 0.5) * INCH
        assert section.smallest_circle == pytest.approx(circle, rel=1e-9)


class TestVerdict:
    @pytest.mark.parametrize(
        ("bore", "status"),
        [
            (5.7501, "pass"),
            (5.75, "pass"),  # to the last digit
            (5.7499, "caution"),
            (5.5, "caution"),
            (5.4999, "fail"),  # by a hair
        ],
    )
    def test_two_pumps(self, bore: float, status: str) -> None:
        assert fit(text_of(bore=bore)).status == status

    @pytest.mark.parametrize(("bore", "status"), [(6.0344, "pass"), (6.0331, "fail")])
    def test_three_bodies_tight_and_by_a_hair(self, bore: float, status: str) -> None:
        # 2.8 in x 2.154700538 = 6.03316 in, and 1/1000 in of clearance.
        text = text_of(hand=True, bore=bore, clearance=0.001, d1=2.8, d2=2.8, d3=2.8)
        assert fit(text).status == status

    def test_it_names_the_tightest_depth_and_what_hangs_there(self) -> None:
        told = fit(text_of(bore=5.4)).reason.text("US")
        assert "146 ft" in told
        assert "154 ft" in told
        assert "first + second" in told
        assert "5.50 in" in told

    def test_the_margin_is_what_is_left_over_the_clearance(self) -> None:
        assert fit(text_of(bore=6.0)).margin == pytest.approx(0.25 * INCH, abs=1e-9)


class TestSilence:
    def test_nothing_is_said_of_one_body(self) -> None:
        text = text_of()
        alone = text[: text.rindex("[[pump]]")]
        assert not [v for v in studied(alone).verdicts if v.rule.key == "fits the casing"]
        assert studied(alone).casing is None

    @pytest.mark.parametrize(
        ("lines", "asked"),
        [
            (("diameter = ",), ("pump[1].diameter", "pump[2].diameter")),
            (("casing_bore = ",), ("well.casing_bore",)),
        ],
        ids=["no diameter at all", "no casing"],
    )
    def test_two_things_side_by_side_are_asked_of(
        self, lines: tuple[str, ...], asked: tuple[str, ...]
    ) -> None:
        """What was not said here once passed for a fit."""
        text = "\n".join(
            line for line in text_of().splitlines() if not line.startswith(lines)
        ).replace(', diameter = "0.5 in"', "")
        assert (fit(text).status, fit(text).needs) == ("unknown", asked)

    @pytest.mark.parametrize(
        ("kind", "shares", "needs"),
        [
            ("rope pump", "", ("lift[1].shares_casing",)),
            ("rope pump", "shares_casing = false\n", ()),
            ("rope pump", "shares_casing = true\n", ("lift[1].diameter",)),
            ("treadle pump", "", ()),
        ],
    )
    def test_a_lift_that_may_go_down_beside_the_pumps_is_asked_for(
        self, kind: str, shares: str, needs: tuple[str, ...]
    ) -> None:
        lift = f'[[lift]]\nname = "other"\nkind = "{kind}"\nhead = "60 m"\nflow = "5 L/min"\n'
        assert fit(text_of() + lift + shares).needs == needs

    def test_one_missing_diameter_is_asked_for(self) -> None:
        verdict = fit(text_of(hand=True).replace('diameter = "2.5 in"\n', "", 1))
        assert (verdict.status, verdict.needs) == ("unknown", ("pump[2].diameter",))
        hand = "\n".join(
            line
            for line in text_of(hand=True).splitlines()
            if not line.startswith("cylinder_diameter")
        )
        assert fit(hand).needs == ("hand_pump.cylinder_diameter",)

    def test_a_pump_that_is_only_compared_does_not_hang_there(self) -> None:
        text = text_of().replace('role = "backup"\n', "").replace('diameter = "2.5 in"\n', "")
        assert not [v for v in studied(text).verdicts if v.rule.key == "fits the casing"]

    def test_more_bodies_than_can_be_placed_leave_it_open(self) -> None:
        text = text_of()
        one = text[text.rindex("[[pump]]") :]
        more = "".join(one.replace('"second"', f'"spare {n}"') for n in range(4))
        verdict = fit(text + more)
        assert verdict.status == "unknown"
        assert verdict.needs == ("pump[1].role",)

    def test_lengths_and_widths_that_lack_are_assumed_and_said(self) -> None:
        text = (
            text_of().replace('length = "4 ft"\n', "", 1).replace(', diameter = "0.5 in"', "", 1)
        )
        paths = {each.path for each in studied(text).assumptions}
        assert {"pump[1].length", "pump[1].cable.diameter"} <= paths


@pytest.mark.parametrize(("known", "highest"), [(True, 31.0), (False, 40.0)])
def test_a_pump_hangs_under_its_lowest_water_and_5_feet_above_the_bottom(
    known: bool, highest: float
) -> None:
    """The water settles at 20 or 30 m, and wants 1 m above the intake; where it is unknown, the
    pump hangs no higher than it does. 5 ft are common practice, no source."""
    moved = SimpleNamespace(is_pump=True, body=SimpleNamespace(name="p", top=39.0, bottom=41.0))
    site = SimpleNamespace(
        well=SimpleNamespace(depth=60.0),
        pump=[SimpleNamespace(name="p", minimum_submergence=1.0)],
    )
    duties = [SimpleNamespace(settled_level=level) for level in (20.0, 30.0)]
    pumps = (SimpleNamespace(name="p", level_known=known, duties=duties),)
    found = casing_study._depths(site, moved, pumps)  # type: ignore[arg-type]
    assert found == pytest.approx((highest, 60.0 - 5 * FOOT))
