"""What stands beside the results of a study: verdicts, parts lists, cards, comparisons."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import replace
from typing import Any

import pytest

from tests.reports.tables.made import FULL
from tests.reports.tables.test_shown import made
from wellsolar import kinds
from wellsolar.reports.tables.parts_list import AS_NEEDED, heading, parts_sections, whole_amount
from wellsolar.reports.text.card import NO_CARD, _block, card_text
from wellsolar.reports.text.compare import Number
from wellsolar.reports.text.csv import as_csv
from wellsolar.reports.text.json import as_json
from wellsolar.reports.text.layout import (
    LONGEST_WORD,
    blocks,
    columns,
    least_width,
    widened,
    wrapped,
)
from wellsolar.reports.text.terminal import write
from wellsolar.results import Results
from wellsolar.results.card import CardBlock
from wellsolar.results.entries import CLOCK
from wellsolar.results.parts import Part, PartPrice, PartsList, State
from wellsolar.studies.rules import all_rules
from wellsolar.units import Quantity
from wellsolar.verdicts import Verdict, remedy, say, set_to

FLOW = 1009e-6


def flow(times: float) -> Quantity:
    return Quantity(FLOW * times, kinds.FLOW)


def judged() -> tuple[Verdict, ...]:
    """A verdict of each status, by rules that are there, with numbers of their own."""
    rule = all_rules()["yield"]
    safe = all_rules()["tank relief"]
    way = remedy("use less than {less}", [set_to("demand.daily_use", flow(2))], less=flow(2))
    by_hand = remedy("ask the maker", "nobody prints it")
    told = say("it gives {found}", found=flow(3))
    return (
        rule.verdict("pass", "one pump", told, quantity=flow(3), limit=flow(5)),
        rule.unknown("two pump", "well.tested_yield", "well.depth"),
        rule.verdict("caution", "three pump", told, quantity=flow(7), limit=flow(5), remedy=way),
        safe.verdict("fail", "four pump", say("Nothing opens"), remedy=by_hand),
    )


@pytest.fixture
def results() -> Results:
    return replace(made(FULL).results, diverted_tank=None, verdicts=judged(), notes=("a note",))


def test_verdicts_stand_with_all_that_they_say(
    results: Results, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    stream = io.StringIO()
    write((), results, stream, "SI")
    text = " ".join(stream.getvalue().split())
    rule, safe = all_rules()["yield"], all_rules()["tank relief"]
    assert "1 fail, 1 unknown, 1 caution, 1 pass" in text
    assert "Note: a note" in text
    places = [text.index(f"{each} pump: ") for each in ("four", "two", "three", "one")]
    assert places == sorted(places)
    assert f"FAIL four pump: {safe.asks} (safety) Nothing opens. To pass: ask the maker." in text
    assert f"In the file: nobody prints it. Rule: {safe.text} [{safe.source}]" in text
    assert f"UNKNOWN two pump: {rule.asks} Give well.tested_yield and well.depth to " in text
    assert "Needs: well.tested_yield, well.depth Rule: " in text
    assert (
        f"CAUTION three pump: {rule.asks} It gives 182 L/min. To pass: use less than 121" in text
    )
    assert "Try: --with 'demand.daily_use=" in text
    assert "found 424 L/min, limit 303 L/min, margin -121 L/min" in text
    assert "It gives 182 L/min. Margin 121 L/min. [" in text


def test_verdicts_stand_in_json_with_all_that_they_say(results: Results) -> None:
    found = {each["subject"]: each for each in as_json(results, ())["verdicts"]}
    assert list(found) == ["four pump", "two pump", "three pump", "one pump"]
    three, four = found["three pump"], found["four pump"]
    assert three["quantity"] == {"value_m3_per_s": pytest.approx(7 * FLOW)}
    assert three["limit"] == {"value_m3_per_s": pytest.approx(5 * FLOW)}
    assert three["margin"] == {"value_m3_per_s": pytest.approx(-2 * FLOW)}
    assert three["reason_numbers"] == {"found_m3_per_s": pytest.approx(3 * FLOW)}
    assert three["remedy_numbers"] == {"less_m3_per_s": pytest.approx(2 * FLOW)}
    assert len(three["remedy_changes"]) == 1
    assert three["remedy_by_hand"] == ""
    assert four["remedy_by_hand"] == "nobody prints it"
    assert (four["safety"], three["safety"]) == (True, False)
    assert four["quantity"] is None
    assert found["one pump"]["remedy"] is None
    assert found["two pump"]["needs"] == ["well.tested_yield", "well.depth"]
    assert as_json(results, ())["counts"] == {"fail": 1, "unknown": 1, "caution": 1, "pass": 1}


def part(item: str, quantity: Quantity | None, state: State, cost: float | None = None) -> Part:
    price = None if cost is None else PartPrice(cost, "piece")
    return Part(
        "hot water", item, "", quantity, say("size"), state, (say("why"),), None, "site's figures",
        price=price, cost=cost,
    )  # fmt: skip


# 61 m are 200.13 ft, 0.1 m3 are 26.42 gal: rounded up, as one buys.
PARTS = PartsList(
    (
        part("pipe", Quantity(61.0, kinds.LENGTH), "to add", 11.5),
        part("valve", Quantity(3.0, kinds.COUNT), "to change", 1300.0),
        part("tank", Quantity(0.1, kinds.VOLUME), "in the file", 17.0),
        part("tape", None, "to check"),
        part("cable", Quantity(30.48, kinds.LENGTH), "to add"),
    ),
    (),
)


@pytest.mark.parametrize(
    ("number", "us", "si"),
    [
        (0, ("201", "ft"), ("61", "m")),
        (1, ("3", "piece"), ("3", "piece")),
        (2, ("26.5", "gal"), ("100.0", "L")),
        (3, ("", AS_NEEDED), ("", AS_NEEDED)),
        (4, ("100", "ft"), ("31", "m")),
    ],
)
def test_amounts_are_bought_whole(number: int, us: tuple[str, str], si: tuple[str, str]) -> None:
    assert whole_amount(PARTS.parts[number], "US") == us
    assert whole_amount(PARTS.parts[number], "SI") == si


def test_a_parts_list_counts_and_adds_up() -> None:
    lines = heading(PARTS)
    assert lines[0] == "1 in the file, 1 to change, 2 to add, 1 to check."
    assert lines[1:3] == ["To change: valve.", "To add: pipe, cable."]
    assert lines[3].startswith("To change and to add: 1,311.50 by the prices of the file; 1 line ")
    assert lines[4].startswith("Everything: 1,328.50 by the prices of the file; 2 lines have no ")
    *_, totals, _ = parts_sections(PARTS)
    rows = [[str(each) if isinstance(each, str) else float(each) for each in row]
            for row in totals.grids[0].rows]  # fmt: skip
    assert rows == [
        ["in the file", 1.0, "17.00", 0.0], ["to change", 1.0, "1,300.00", 0.0],
        ["to add", 2.0, "11.50", 1.0], ["to check", 1.0, "0.00", 1.0],
        ["to change and to add", 3.0, "1,311.50", 1.0], ["everything", 5.0, "1,328.50", 2.0],
    ]  # fmt: skip
    parts = parts_sections(PARTS)[0].grids[0]
    assert [row[0] for row in parts.rows] == ["1", "2", "3", "4", "5"]
    assert [row[1] for row in parts.rows] == [each.item for each in PARTS.parts]
    assert [row[4] for row in parts.rows] == ["add", "change", "has", "check", "add"]
    assert [row[5] for row in parts.rows] == ["11.50", "1,300.00", "17.00", None, None]
    reasons = parts_sections(PARTS)[0].grids[1]
    assert [row[0] for row in reasons.rows] == ["1-5"]


def test_a_spreadsheet_has_a_line_for_each_part() -> None:
    rows = list(csv.reader(as_csv(PARTS, "US").splitlines()))
    assert [row[0] for row in rows] == ["line", "1", "2", "3", "4", "5"]
    assert rows[1] == [
        "1", "hot water", "pipe", "", "201", "ft", "size", "to add", "why", "", "", "",
        "site's figures", "11.50", "piece", "11.50",
    ]  # fmt: skip
    assert rows[5][-3:] == ["", "", ""]


def number(*values: Any, present: tuple[bool, ...] | None = None) -> Number:
    return Number("s", "k", "part", "label", None, values, present or (True,) * len(values))


@pytest.mark.parametrize(
    ("kind", "values", "difference"),
    [
        (kinds.LENGTH, (3.0, 5.0, 4.0), 2.0 / 5.0),
        (kinds.LENGTH, (-8.0, 5.0), 13.0 / 8.0),
        (kinds.LENGTH, (0.0, 0.0), 0.0),
        (kinds.TEMPERATURE, (10.0, 35.0), 0.25),
        (kinds.ANGLE, (90.0, 180.0), 0.25),
        (CLOCK, (21_600.0, 43_200.0), 0.25),
    ],
)
def test_a_difference_is_set_against_the_greatest_or_the_span(
    kind: kinds.Kind, values: tuple[float, ...], difference: float
) -> None:
    found = number(*(Quantity(each, kind) for each in values))
    assert found.difference == pytest.approx(difference, rel=1e-12)
    assert found.differs == (difference > 0.0)


def test_what_one_site_lacks_is_no_difference() -> None:
    assert number("a", "b").differs
    assert not number("a", "a").differs
    assert not number("a", None, present=(True, False)).differs
    assert number(Quantity(1.0, kinds.LENGTH), Quantity(math.inf, kinds.LENGTH)).difference is None


def test_paragraphs_fit_by_the_columns_that_they_take() -> None:
    assert wrapped("one two three", 9, "- ", "  ") == ["- one two", "  three"]
    assert wrapped("abcdefghij", 4) == ["abcd", "efgh", "ij"]
    # A word is broken for the narrowest line, before whose others less may stand.
    assert wrapped("abcdefghijklm", 8, "- ", "    ") == ["- abcd", "    efgh", "    ijkl", "    m"]
    assert wrapped("abcdefghij", 8, "BUY  ", "  ") == ["BUY  abc", "  def", "  ghi", "  j"]
    assert columns("\u6c34a\u0301") == 3
    assert wrapped("ab \u6c34\u6c34", 6) == ["ab", "\u6c34\u6c34"]


def test_a_site_without_water_has_no_card_and_says_so(results: Results) -> None:
    lines = card_text(replace(results, card=None, verdicts=()), 200).split("\n")
    assert lines[0] == results.site_name
    assert lines[-2] == NO_CARD


def test_columns_are_as_narrow_as_their_words_and_share_what_is_left() -> None:
    assert least_width(len, ["a header"], ["123,456", "7"], True) == 7
    assert least_width(len, ["a"], ["w" * 30], False) == LONGEST_WORD
    assert least_width(len, ["a"], ["w" * 9], False) == 9
    assert blocks([5, 10, 10, 10], 28, 1) == [[0, 1, 2], [0, 3]]
    assert blocks([5, 40, 10], 28, 1) == [[0, 1], [0, 2]]
    assert widened([4, 4], [10, 6], 16, 2) == [10, 4]
    assert widened([4, 4], [10, 6], 30, 2) == [10, 6]
    # The first up to 24, then whoever lacks most.
    assert widened([4, 4], [60, 6], 40, 2) == [34, 4]


def test_a_box_of_the_card_has_its_steps_numbered_from_one() -> None:
    block = CardBlock(
        "stored", "B", say("Stored water"), (say("Open."), say("Shut.")), (say("lasts a day"),),
        (say("no light"),),
    )  # fmt: skip
    assert [*_block(block, 40, "US")] == [
        "", "[B] Stored water", "  (no light)", "  1. Open.", "  2. Shut.", "  > lasts a day",
    ]  # fmt: skip
