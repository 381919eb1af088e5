"""Comparisons that verdicts turn on: what is printed alike is alike."""

from __future__ import annotations

import math
from typing import Literal
from unittest.mock import patch

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wellsolar import kinds
from wellsolar.constants import US_GALLON
from wellsolar.reports.rows import cell_text
from wellsolar.units import SYSTEMS, Quantity, show
from wellsolar.verdicts import Place, Rule, at_least, at_most, say

GPM = 3.785411784e-3 / 60


@given(st.floats(1e-6, 1e-2), st.floats(-0.02, 0.02))
def test_a_limit_is_only_broken_by_digits_that_are_printed(limit: float, off: float) -> None:
    found = Quantity(limit * (1.0 + off), kinds.FLOW)
    for keeps, less in ((at_most(found, limit), False), (at_least(found, limit), True)):
        if not keeps:
            for system in SYSTEMS:
                shown = [show(each, kinds.FLOW, system) for each in (found, limit)]
                assert shown[0] != shown[1]
            assert (found < limit) == less


@pytest.mark.parametrize(
    ("template", "plain", "short"),
    [
        # Three figures: to the nearest, away from nothing, and toward it; two of a short text.
        ("{flow}", "2.35 gpm", "2.35 gpm"), ("{flow:up}", "2.36 gpm", "2.36 gpm"),
        ("{flow:down}", "2.35 gpm", "2.35 gpm"), ("{flow:about}", "2.35 gpm", "2.4 gpm"),
    ],
)  # fmt: skip
def test_a_quantity_is_printed_as_its_place_asks(template: str, plain: str, short: str) -> None:
    told = say(template, flow=Quantity(2.3524 * GPM, kinds.FLOW))
    assert (told.text("US"), told.text("US", short=True)) == (plain, short)


@given(st.floats(1e-5, 1e-2), st.floats(1e-5, 1e-2), st.floats(1e-5, 1e-2))
def test_more_never_keeps_what_less_breaks(one: float, other: float, limit: float) -> None:
    less, more = sorted((Quantity(one, kinds.FLOW), Quantity(other, kinds.FLOW)))
    assert at_most(less, limit) or not at_most(more, limit)
    assert at_least(more, limit) or not at_least(less, limit)


@pytest.mark.parametrize(("asks", "inside"), [("at most", -0.0251), ("at least", 0.0251)])
def test_flows_that_print_as_1_56_gpm(
    monkeypatch: pytest.MonkeyPatch, asks: Literal["at most", "at least"], inside: float
) -> None:
    # The rule of this test is none of the program's.
    monkeypatch.setattr("wellsolar.verdicts.RULES", {})
    limit = Quantity(1.56 * GPM, kinds.FLOW)
    same, more = (Quantity(each * GPM, kinds.FLOW) for each in (1.5649, 1.5851))
    assert at_most(same, limit)
    assert not at_most(more, limit)
    rule = Rule(
        "of this test", "?", "", "common practice", limit_is=asks, by="owner", place=Place()
    )
    made = [rule.verdict("pass", "", say(""), quantity=each, limit=limit) for each in (same, more)]
    assert made[0].margin == 0.0
    assert made[1].margin is not None
    assert math.isclose(made[1].margin, inside * GPM, rel_tol=1e-6)


@given(st.floats(0.1, 1e5), st.floats(-0.5, 0.5))
def test_a_sum_shows_on_which_side_of_its_limit_it_lies(wanted: float, off: float) -> None:
    limit = Quantity(wanted, kinds.SUMMED_VOLUME)
    given_, lacks = Quantity(wanted * (1.0 + off), kinds.SUMMED_VOLUME), off < 0.0
    with patch("wellsolar.verdicts.RULES", {}):  # The rule of this test is none of the program's.
        rule = Rule(
            "of this test",
            "?",
            "",
            "casing balance",
            limit_is="at least",
            by="owner",
            place=Place(),
        )
    reason = say("{given} of {wanted}", given=given_, wanted=limit)
    verdict = rule.verdict("pass", "", reason, quantity=given_, limit=limit)
    assert verdict.quantity == given_
    assert verdict.limit == limit
    for system in SYSTEMS:
        first, second = verdict.reason.text(system).split(" of ")
        assert (first, second) == (verdict.quantity.text(system), verdict.limit.text(system))
        if not at_least(given_, limit):
            assert lacks
            assert float(first.split()[0]) < float(second.split()[0])


@pytest.mark.parametrize(
    ("inches", "printed", "in_a_table"),
    [
        (0.07, "0.07 in", "0.07 in"),
        (0.0042, "less than 0.01 in", "<0.01 in"),
        (1e-12, "0 in", "0 in"),  # what is left of a difference of floats
        (0.0, "0 in", "0 in"),
        (-0.0042, "0 in", "0 in"),
    ],
)
def test_what_is_there_is_not_called_nothing(inches: float, printed: str, in_a_table: str) -> None:
    stretch = Quantity(inches * 0.0254, kinds.BORE)
    assert say("{stretch}", stretch=stretch).text("US") == printed
    assert cell_text(stretch, "US") == in_a_table


def _rule(asks: Literal["at most", "at least"] | None) -> Rule:
    """A rule of this test, none of the program's, whose source binds."""
    with patch("wellsolar.verdicts.RULES", {}):
        return Rule(
            "of this test", "?", "", "casing balance", limit_is=asks, by="owner", place=Place()
        )


@pytest.mark.parametrize(
    ("found", "limit", "kind", "of_margin", "inside"),
    [
        (310.0, 300.0, kinds.TEMPERATURE, kinds.TEMPERATURE_DIFFERENCE, 10.0),
        (2.0e5, 3.0e5, kinds.PRESSURE, kinds.PRESSURE_LOSS, -1.0e5),
        (12.0, 10.0, kinds.LENGTH, kinds.LENGTH, 2.0),
        (-12.0, 10.0, kinds.LENGTH, kinds.LENGTH, -22.0),
        # Both are 32.8 ft; 10.00 m and 9.99 m differ in the second place.
        (10.004, 9.994, kinds.LENGTH, kinds.LENGTH, 0.0),
    ],
)
def test_a_margin_is_how_far_inside_its_limit_a_quantity_lies(
    found: float, limit: float, kind: kinds.Kind, of_margin: kinds.Kind, inside: float
) -> None:
    given_, asked = Quantity(found, kind), Quantity(limit, kind)
    for asks, sign in (("at least", 1.0), ("at most", -1.0)):
        margin = _rule(asks).verdict("pass", "", say(""), quantity=given_, limit=asked).margin
        assert margin == pytest.approx(sign * inside)
        assert margin.kind is of_margin
    for rule, at in ((_rule(None), asked), (_rule("at least"), None)):
        verdict = rule.verdict("pass", "", say(""), quantity=given_, limit=at)
        assert (verdict.quantity, verdict.limit, verdict.margin) == (given_, at, None)


SUM, READ = kinds.SUMMED_VOLUME, kinds.VOLUME


@pytest.mark.parametrize(
    ("found", "limit", "of_found", "of_limit", "told"),
    [
        # Within a quarter of the larger of 47316 and 35487 gal, of which 11829 gal are a quarter.
        (47316.0, 35497.0, SUM, SUM, "47316 of 35497 gal"),
        (47316.0, 35477.0, SUM, SUM, "47300 of 35500 gal"),
        (35497.0, 47316.0, SUM, SUM, "35497 of 47316 gal"),
        (35477.0, 47316.0, SUM, SUM, "35500 of 47300 gal"),
        (-47316.0, -35497.0, SUM, SUM, "-47316 of -35497 gal"),
        (-35497.0, -47316.0, SUM, SUM, "-35497 of -47316 gal"),
        (47316.0, -47316.0, SUM, SUM, "47300 of -47300 gal"),
        (47316.0, 35497.0, SUM, READ, "47316 of 35497 gal"),
        (47316.0, 35497.0, READ, SUM, "47316 of 35497 gal"),
        (47316.0, 35477.0, READ, SUM, "47316 of 35500 gal"),
    ],
)
def test_a_sum_close_to_its_limit_has_all_its_digits(
    found: float, limit: float, of_found: kinds.Kind, of_limit: kinds.Kind, told: str
) -> None:
    """A sum has three figures; where it lies within a quarter of its limit all of them, so that
    by how much it keeps it is seen."""
    given_ = Quantity(found * US_GALLON, of_found)
    asked = Quantity(limit * US_GALLON, of_limit)
    reason = say("{found} of {limit}", found=given_, limit=asked)
    verdict = _rule("at least").verdict("pass", "", reason, quantity=given_, limit=asked)
    assert verdict.reason.text("US").replace(" gal of", " of") == told
    both = f"{verdict.quantity.text('US')} of {verdict.limit.text('US')}"
    assert both.replace(" gal of", " of") == told


@pytest.mark.parametrize("sides", [(None, 2.0), (2.0, None), (None, None)])
def test_a_margin_wants_both_a_quantity_and_a_limit(
    monkeypatch: pytest.MonkeyPatch, sides: tuple[float | None, float | None]
) -> None:
    monkeypatch.setattr("wellsolar.verdicts.RULES", {})
    rule = Rule(
        "of this test", "?", "", "common practice", limit_is="at most", by="owner", place=Place()
    )
    quantity, limit = (
        None if each is None else Quantity(each, kinds.SUMMED_VOLUME) for each in sides
    )
    made = rule.verdict("pass", "", say(""), quantity=quantity, limit=limit)
    assert (made.quantity, made.limit, made.margin) == (quantity, limit, None)
