"""The pumps over the ranges of a file, against the same questions asked at single values."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from wellsolar import kinds
from wellsolar.results.ranges import ChoiceShare, RangeResult, VerdictShare
from wellsolar.site.loading.read import parse_site
from wellsolar.studies import ranges
from wellsolar.studies.case import Case, study_site
from wellsolar.studies.intervals import ranged_inputs, with_value
from wellsolar.studies.ranges import Standing, study_ranges
from wellsolar.studies.well.drawdown import at_static_level, water_level
from wellsolar.units import Quantity
from wellsolar.verdicts import RANK, Status

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
    result, part = study_ranges(case(), cases=128)
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
    _, part = study_ranges(case(), cases=16)
    weak = next(verdict for verdict in part.verdicts if verdict.subject == "weak")
    highest = re.search(r"well.static_level stays below ([\d.]+ ft)", weak.remedy.text("US"))
    _, narrowed = study_ranges(case(f"85 ft .. {highest.group(1)}"), cases=16)
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
    flat, _ = study_ranges(case("85 ft .. 140 ft"), cases=16)
    low, _ = study_ranges(case("86 ft (85 ft .. 140 ft)"), cases=128)
    assert flat is not None
    assert low is not None
    turning = share(flat, "reaches cut-out", "weak").turns_at / FOOT
    # Area of the triangle's tail beyond the turning depth.
    tail = (140.0 - turning) ** 2 / ((140.0 - 85.0) * (140.0 - 86.0))
    assert share(low, "reaches cut-out", "weak").fails == pytest.approx(tail, abs=0.01)


def test_the_input_that_moves_nothing_is_not_named() -> None:
    result, _ = study_ranges(case("85 ft .. 140 ft", "5 gpm/ft .. 5.01 gpm/ft"), cases=32)
    assert {each.path for each in result.inputs} == {
        "well.static_level",
        "well.specific_capacity",
    }
    assert share(result, "reaches cut-out", "weak").driver == "well.static_level"


def test_the_same_seed_gives_the_same_cases() -> None:
    first, _ = study_ranges(case(), cases=16, seed=3)
    again, _ = study_ranges(case(), cases=16, seed=3)
    other, _ = study_ranges(case(), cases=16, seed=4)
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
    result, _ = study_ranges(case("85 ft .. 140 ft", "0.3 gpm/ft .. 2 gpm/ft"), cases=32)
    for each in result.verdicts:
        total = each.passes + each.cautions + each.fails + each.unknowns
        assert np.isclose(total, 1.0)
    # What the file leaves open at both ends, such as the motor, has no share.
    ends = (("85 ft", "2 gpm/ft"), ("140 ft", "0.3 gpm/ft"))
    sites = [parse_site(SITE.format(static=rest, capacity=capacity)) for rest, capacity in ends]
    at_ends = [
        {(each.rule.key, each.subject)
         for each in study_site(site).verdicts if each.status == "unknown"}
        for site in sites
    ]  # fmt: skip
    open_ever = at_ends[0] & at_ends[1]
    assert open_ever
    assert not open_ever & {(each.rule, each.subject) for each in result.verdicts}


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


def length(value: float, *ends: float) -> Quantity:
    return Quantity(value, kinds.LENGTH, *ends)


@pytest.mark.parametrize(
    ("likeliest", "share", "value"),
    [
        (20.0, 0.25, 15.0), (20.0, 0.0, 10.0), (20.0, 1.0, 30.0),
        # Triangles between 10 and 30: 2 x 20 of the area below 12, 18 x 20 above, and so on.
        (12.0, 0.025, 11.0), (12.0, 0.1, 12.0), (12.0, 0.6, 18.0), (12.0, 0.775, 21.0),
        (28.0, 0.225, 19.0), (28.0, 0.4, 22.0), (28.0, 0.975, 29.0), (10.0, 0.75, 20.0),
        (30.0, 0.25, 20.0),
    ],
)  # fmt: skip
def test_below_what_value_a_share_of_the_cases_lies(
    likeliest: float, share: float, value: float
) -> None:
    found = ranges._quantile(length(likeliest, 10.0, 30.0), np.array([share, 0.5]))
    assert found[0] == pytest.approx(value)


def sampled(values: Any, *verdicts: dict[tuple[str, str], Standing]) -> ranges._Cases:
    return ranges._Cases(np.array(values, float), list(verdicts))


def stands(status: Status, measure: float = 0.0) -> Standing:
    return Standing(status, measure)


@pytest.mark.parametrize(
    ("measures", "driver", "correlation"),
    [
        # By hand: ranks 4 3 2 1 against 1 2 3 4 are -1, against 1 3 2 4 1 - 6 x 18 / 60 = -0.8.
        ([4, 3, 2, 1], 0, -1.0), ([1, 3, 2, 4], 1, 1.0), ([-4, -3, -2, -1], 0, 1.0),
        ([4, 2, 3, 1], 1, -1.0), ([None, 3, 2, 1], 0, -1.0), ([None, None, 2, 1], None, 0.0),
        ([2, 2, 2, 2], None, 0.0), ([2, 2, 2, None], None, 0.0),
    ],
)  # fmt: skip
def test_the_input_that_goes_with_a_verdict_most(
    measures: list[int | None], driver: int | None, correlation: float
) -> None:
    cases = sampled([[1, 1], [2, 3], [3, 2], [4, 4]])
    standings = [None if each is None else stands("pass", each) for each in measures]
    found = ranges._driver(cases, standings)
    assert found[0] == driver
    assert found[1] == pytest.approx(correlation)


@pytest.mark.parametrize(
    ("fails", "turn"),
    [
        (lambda sample: sample > 17.0, 17.0), (lambda sample: sample < 13.0, 13.0),
        (lambda sample: False, None), (lambda sample: True, None), (lambda sample: None, None),
    ],
)  # fmt: skip
def test_where_a_verdict_turns(fails: Callable[[float], bool | None], turn: float | None) -> None:
    """Between 10 and 20 m, to a thousand millionth of the range."""
    asked = []

    def verdicts_at(sample: float) -> dict[tuple[str, str], Standing]:
        asked.append(sample)
        there = fails(sample)
        return {} if there is None else {("r", "s"): stands("fail" if there else "caution")}

    found = ranges._turning(length(15.0, 10.0, 20.0), ("r", "s"), verdicts_at)
    assert (found is None) == (turn is None)
    if found is not None:
        assert float(found) == pytest.approx(turn, abs=2e-8)
        assert found.kind is kinds.LENGTH
        assert 30 <= len(asked) <= 40  # 2 ** 30 is a thousand million


def test_shares_of_a_verdict_and_what_it_hangs_on() -> None:
    """Of five cases it is asked in four: one each, and what stands is by its margin."""
    inputs = (
        (("well", "static_level"), length(15.0, 10.0, 20.0)),
        (("well", "depth"), length(35.0, 30.0, 40.0)),
    )
    statuses: list[Status] = ["pass", "caution", "fail", "unknown"]
    key = ("r", "s")
    cases = sampled(
        [[1, 1], [2, 4], [3, 3], [4, 2], [5, 5]],
        *({key: stands(status, 9.0 - place)} for place, status in enumerate(statuses)), {},
    )  # fmt: skip

    def along(driver: int, sample: float) -> dict[tuple[str, str], Standing]:
        assert driver == 0
        return {key: stands("fail" if sample > 12.0 else "pass")}

    share = ranges._share(inputs, cases, key, along)
    assert (share.rule, share.subject, share.driver) == ("r", "s", "well.static_level")
    assert (share.passes, share.cautions, share.fails, share.unknowns) == (0.25,) * 4
    assert share.correlation == pytest.approx(-1.0)
    assert float(share.turns_at or np.nan) == pytest.approx(12.0)
    # Always the same, it hangs on nothing, whatever its margin does.
    steady = sampled([[1, 1], [2, 4], [3, 3]], *({key: stands("fail", each)} for each in range(3)))
    share = ranges._share(inputs, steady, key, along)
    assert (share.fails, share.driver, share.correlation, share.turns_at) == (1.0, "", 0.0, None)


@pytest.mark.parametrize(
    ("cases", "made"), [(0, 8), (1, 8), (8, 8), (9, 16), (16, 16), (17, 32), (33, 64)]
)
def test_cases_are_a_power_of_two_spread_evenly(
    cases: int, made: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each in its place, and one in each equal part of the range of each input."""

    @contextmanager
    def here(work: Callable[[], Any]) -> Iterator[Callable[[], Any]]:
        yield work

    monkeypatch.setattr(ranges, "beside", here)
    monkeypatch.setattr(ranges, "_standings_at", lambda case, inputs, row: {"row": tuple(row)})
    inputs = ((("a",), length(0.5, 0.0, 1.0)), (("b",), length(0.5, 0.0, 1.0)))
    found: Any = ranges._sample(None, inputs, cases, 1)  # type: ignore[arg-type]
    assert [each["row"] for each in found.verdicts] == [tuple(row) for row in found.values]
    assert found.values.shape == (made, 2)
    for column in found.values.T:
        assert sorted(np.floor(column * made)) == list(range(made))


def test_the_pump_that_holds_in_most_cases_is_the_first() -> None:
    pumps: Any = SimpleNamespace(pump=[SimpleNamespace(name=name) for name in ("a", "b", "c")])
    cases = sampled(
        [[1], [2], [3], [4]],
        {("x", "a"): stands("fail"), ("y", "a"): stands("pass"), ("x", "b"): stands("unknown")},
        {("x", "a"): stands("pass"), ("y", "a"): stands("pass"), ("x", "b"): stands("pass")},
        {("x", "a"): stands("caution"), ("x", "b"): stands("caution")},
        {("x", "a"): stands("fail"), ("x", "b"): stands("fail"), ("y", "b"): stands("pass")},
    )
    found = [(each.pump, each.holds) for each in ranges._choices(pumps, cases)]
    assert found == [("c", 1.0), ("b", 0.75), ("a", 0.5)]


def share_of(subject: str, fails: float, driver: str = "", correlation: float = 0.0,
             turns_at: Quantity | None = None, rule: str = "r") -> VerdictShare:  # fmt: skip
    passes = 1.0 - fails
    return VerdictShare(rule, subject, passes, 0.0, fails, 0.0, driver, correlation, turns_at)


@pytest.mark.parametrize(
    ("holds", "better", "shares", "status", "reason", "way"),
    [
        (0.95, 1.0, [], "pass", "in 95.0% of 64 cases over the file's ranges nothing fails", None),
        (0.9, 0.9, [share_of("p", 0.1, "k", -0.5, length(7.0))], "caution",
         "r fails in 10.0%, which hangs on k most and turns at 7.0 m",
         "be sure that k stays below 7.0 m"),
        (0.9, 0.9, [share_of("p", 0.1, "k", 0.5, length(7.0))], "caution", "turns at 7.0 m",
         "be sure that k stays above 7.0 m"),
        (0.5, 1.0, [share_of("p", 0.1, "k"), share_of("p", 0.4, "l", rule="s"),
                    share_of("q", 0.9, "m")], "caution", "s fails in 40.0%, which hangs on l most",
         "choose q, which holds in 100%; or measure l"),
        (0.0, 0.0, [share_of("p", 1.0), share_of("p", 0.0, rule="s")], "fail", "r fails in 100%",
         "mend r first, which fails whatever the ranges hold"),
    ],
)  # fmt: skip
def test_what_is_told_of_a_pump_over_the_ranges(
    holds: float, better: float, shares: list[VerdictShare], status: str, reason: str,
    way: str | None,
) -> None:  # fmt: skip
    choice = ChoiceShare("p", holds)
    result = RangeResult(64, 1, (), tuple(shares), (ChoiceShare("q", better), choice))
    verdict = ranges._holds(result, choice)
    assert (verdict.status, verdict.subject) == (status, "p")
    assert verdict.reason.text("SI").endswith(reason)
    assert (verdict.remedy is None) == (way is None)
    if verdict.remedy is not None and way is not None:
        assert verdict.remedy.text("SI").startswith(way)
        assert ("choose" in way) == ("choose" in verdict.remedy.text("SI"))
    assert (verdict.quantity, verdict.limit) == (holds, 0.95)


def test_the_least_settled_is_read_first_and_a_verdict_without_margin_stands_by_its_state() -> (
    None
):
    shares = VerdictShare("", "", 0.1, 0.4, 0.3, 0.2, "", 0.0, None)
    assert ranges._settledness(shares) == 0.4
    for status in RANK:
        verdict: Any = SimpleNamespace(status=status, margin=None)
        assert ranges._standing(verdict) == (status, RANK[status])
        verdict = SimpleNamespace(status=status, margin=0.25)
        assert ranges._standing(verdict) == (status, 0.25)
