"""The pumps over the ranges of a file, against the same questions asked at single values."""

from __future__ import annotations

import re

import numpy as np
import pytest
from scipy.optimize import brentq

from wellsolar import kinds
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import Case
from wellsolar.studies.intervals import ranged_inputs, with_value
from wellsolar.studies.ranges import study_ranges
from wellsolar.studies.well.drawdown import at_static_level, water_level
from wellsolar.units import Quantity

FOOT = 0.3048
GPM = 3.785411784e-3 / 60

SITE = """
[site]
note = "invented"
[well]
depth = "220 ft"
static_level = "{static}"
specific_capacity = "{capacity}"
[pressure_switch]
cut_in = "30 psi"
cut_out = "50 psi"
[[pump]]
name = "weak"
intake_depth = "190 ft"
flow = "0, 3, 6, 15 gpm"
head = "230, 215, 180, 100 ft"
dry_run_protection = true
[[pump]]
name = "strong"
intake_depth = "190 ft"
flow = "0, 3, 6, 9 gpm"
head = "420, 390, 330, 240 ft"
dry_run_protection = true
"""


def case(static: str = "85 ft .. 140 ft", capacity: str = "5 gpm/ft") -> Case:
    return Case(parse_site(SITE.format(static=static, capacity=capacity)))


def share(result: object, rule: str, subject: str) -> object:
    return next(
        each
        for each in result.verdicts  # type: ignore[attr-defined]
        if (each.rule, each.subject) == (rule, subject)
    )


def reaches(level: float) -> bool:
    """Whether the weak pump delivers at cut-out, asked of a file without ranges."""
    return case(static=f"{level} ft").pumps[0].duties[-1].flow > 0


def test_the_weak_pump_fails_in_the_share_of_the_range_below_its_turning_depth() -> None:
    result, part = study_ranges(case(), cases=256)
    weak = share(result, "reaches cut-out", "weak")
    # By hand: at no flow the head is level + elevation + pressure; velocity and friction are nil.
    turning = 230.0 - 5.0 - 50.0 * 2.3088
    assert weak.turns_at / FOOT == pytest.approx(turning, abs=0.3)
    by_search = brentq(lambda level: 1.0 if reaches(level) else -1.0, 85.0, 140.0, xtol=0.01)
    assert weak.turns_at / FOOT == pytest.approx(by_search, abs=0.05)
    # Uniform between the ends: the share above the turning depth fails.
    assert weak.fails == pytest.approx((140.0 - turning) / 55.0, abs=0.01)
    assert weak.driver == "well.static_level"
    assert weak.correlation == pytest.approx(-1.0, abs=1e-6)
    told = {verdict.subject: verdict for verdict in part.verdicts}
    assert told["weak"].status == "caution"
    assert "well.static_level" in told["weak"].reason.text("US")
    assert "strong" in told["weak"].remedy.text("US")
    assert told["strong"].status == "pass"
    assert [choice.pump for choice in result.choices] == ["strong", "weak"]


def test_the_remedy_narrows_the_range_to_where_the_pump_holds() -> None:
    _, part = study_ranges(case(), cases=64)
    weak = next(verdict for verdict in part.verdicts if verdict.subject == "weak")
    highest = re.search(r"well.static_level stays below ([\d.]+ ft)", weak.remedy.text("US"))
    _, narrowed = study_ranges(case(f"85 ft .. {highest.group(1)}"), cases=64)
    told = {verdict.subject: verdict.status for verdict in narrowed.verdicts}
    assert told["weak"] == "pass"


def test_a_pump_that_fails_for_another_reason_is_not_blamed_on_the_ranges() -> None:
    text = SITE.format(static="85 ft .. 90 ft", capacity="5 gpm/ft")
    text = text.replace('"230, 215, 180, 100 ft"', '"90, 80, 60, 30 ft"')
    _, part = study_ranges(Case(parse_site(text)), cases=16)
    weak = next(verdict for verdict in part.verdicts if verdict.subject == "weak")
    assert weak.status == "fail"
    assert "whatever the ranges hold" in weak.remedy.text("US")


def test_a_likeliest_value_makes_the_range_triangular() -> None:
    flat, _ = study_ranges(case("85 ft .. 140 ft"), cases=64)
    low, _ = study_ranges(case("86 ft (85 ft .. 140 ft)"), cases=256)
    assert flat is not None
    assert low is not None
    turning = share(flat, "reaches cut-out", "weak").turns_at / FOOT
    # Area of the triangle's tail beyond the turning depth.
    tail = (140.0 - turning) ** 2 / ((140.0 - 85.0) * (140.0 - 86.0))
    assert share(low, "reaches cut-out", "weak").fails == pytest.approx(tail, abs=0.01)


def test_the_input_that_moves_nothing_is_not_named() -> None:
    result, _ = study_ranges(case("85 ft .. 140 ft", "5 gpm/ft .. 5.01 gpm/ft"), cases=256)
    assert {each.path for each in result.inputs} == {
        "well.static_level",
        "well.specific_capacity",
    }
    assert share(result, "reaches cut-out", "weak").driver == "well.static_level"


def test_the_same_seed_gives_the_same_cases() -> None:
    first, _ = study_ranges(case(), cases=64, seed=3)
    again, _ = study_ranges(case(), cases=64, seed=3)
    other, _ = study_ranges(case(), cases=64, seed=4)
    assert first == again
    assert first != other


def test_a_file_without_ranges_has_none() -> None:
    assert study_ranges(case("85 ft"))[0] is None


def test_a_value_deep_in_the_file_is_replaced_there_alone() -> None:
    whole = parse_site(SITE.format(static="85 ft", capacity="1 gpm/ft")).site
    path = ("pump", 1, "intake_depth")
    changed = with_value(whole, path, Quantity(50.0, whole.pump[1].intake_depth.kind))
    assert changed.pump[1].intake_depth == 50.0
    assert changed.pump[0] == whole.pump[0]
    assert changed.well == whole.well
    assert list(ranged_inputs(whole)) == []


def test_shares_add_up_to_one() -> None:
    result, _ = study_ranges(case("85 ft .. 140 ft", "0.3 gpm/ft .. 2 gpm/ft"), cases=64)
    for each in result.verdicts:
        total = each.passes + each.cautions + each.fails + each.unknowns
        assert np.isclose(total, 1.0)


def test_the_measured_drawdown_goes_with_the_water_at_rest() -> None:
    """A level that settled while 5 gpm were pumped, 20 ft below a rest at 85 ft, is 20 ft below
    any other rest as well: the specific capacity stays 0.25 gpm/ft."""
    text = SITE.format(static="85 ft (85 ft .. 140 ft)", capacity="1 gpm/ft").replace(
        'specific_capacity = "1 gpm/ft"',
        'tested_yield = "5 gpm"\ntested_pumping_level = "105 ft"',
    )
    moved = at_static_level(parse_site(text).site, Quantity(140 * FOOT, kinds.LENGTH))
    assert moved.well.tested_pumping_level == pytest.approx(160 * FOOT)
    found = water_level(moved, 190 * FOOT)
    assert found.at(5 * GPM) == pytest.approx(160 * FOOT)
