"""Comparisons that verdicts turn on: what is printed alike is alike."""

from __future__ import annotations

import math
from typing import Literal
from unittest.mock import patch

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wellsolar import kinds
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
