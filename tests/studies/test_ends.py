"""Verdicts over what a file leaves open or gives as a range, against files that give one value."""

from __future__ import annotations

from itertools import product
from pathlib import Path
from types import SimpleNamespace
from typing import Any, get_args

import pytest

from tests.sampled import every
from wellsolar.kinds import LENGTH
from wellsolar.results import Results
from wellsolar.site.loading.read import load_site, parse_site
from wellsolar.site.locate import path_of
from wellsolar.studies.case import Case, study_site
from wellsolar.studies.ends import _Ends
from wellsolar.studies.intervals import site_at
from wellsolar.studies.rules import all_rules
from wellsolar.units import Quantity
from wellsolar.verdicts import RANK, Status, Verdict, remedy, say

EXAMPLES = Path(__file__).parents[2] / "examples"

SITE = """
[site]
note = "invented"
people = 3
[well]
depth = "400 ft"
static_level = "{static}"
{well}
[piping]
tank_elevation = "{elevation}"
[pressure_switch]
cut_in = "40 psi"
cut_out = "60 psi"
[pressure_tank]
volume = "44 gal"
precharge = "38 psi"
[[pump]]
name = "p"
intake_depth = "{intake}"
flow = "0, 4, 8, 12 gpm"
head = "500, 450, 350, 190 ft"
power = "700, 900, 1050, 1100 W"
"""

KNOWN = 'tested_yield = "30 gpm"\nspecific_capacity = "{capacity}"'


def found(
    static: str = "80 ft",
    well: str = KNOWN.format(capacity="1 gpm/ft"),
    elevation: str = "5 ft",
    intake: str = "380 ft",
) -> Results:
    text = SITE.format(static=static, well=well, elevation=elevation, intake=intake)
    return study_site(parse_site(text), ("pump", "tank"))


def verdict(results: Results, rule: str) -> Verdict:
    return next(each for each in results.verdicts if each.rule.key == rule)


def statuses(results: Results) -> dict[tuple[str, str], str]:
    return {(each.rule.key, each.subject): each.status for each in results.verdicts}


def test_an_open_drawdown_passes_only_where_both_ends_do() -> None:
    """At rest this pump gives 11 gpm, more than a yield of 3; at the intake next to nothing."""
    asked = found(well='tested_yield = "3 gpm"')
    at_rest = statuses(found(well='tested_yield = "3 gpm"\nspecific_capacity = "4e4 gpm/ft"'))
    assert at_rest["yield", "p"] == "fail"
    flow = verdict(asked, "yield")
    assert flow.status == "unknown"
    assert flow.needs == ("well.specific_capacity",)
    assert "with the water at rest" in flow.reason.text("US")
    # What no level changes stays a pass.
    assert verdict(asked, "above the bottom").status == "pass"


@pytest.mark.parametrize(
    "static", ["80 ft .. 330 ft", "200 ft (80 ft .. 330 ft)", "80 ft .. 90 ft"]
)
def test_a_range_is_never_better_than_its_ends(static: str) -> None:
    whole = statuses(found(static))
    low, high = static.rstrip(")").split("(")[-1].split(" .. ")
    for end in (low, high):
        for key, status in statuses(found(end)).items():
            if status == "fail":
                assert whole[key] in ("fail", "caution"), key
            elif whole[key] == "pass":
                assert status == "pass", (key, end)


def test_a_caution_says_from_where_on_it_fails() -> None:
    """The level told is where a file with that level alone turns, on both sides of it."""
    results = found("200 ft (80 ft .. 360 ft)")
    assert verdict(found("200 ft"), "submergence").status == "pass"
    cover = verdict(results, "reaches cut-out")
    assert cover.status == "caution"
    turn = cover.reason.parts["turn"]
    assert not isinstance(turn, str)
    feet = float(turn) / 0.3048
    assert verdict(found(f"{feet - 1} ft"), "reaches cut-out").status == "pass"
    assert verdict(found(f"{feet + 1} ft"), "reaches cut-out").status != "pass"
    assert "below" in cover.reason.template


def test_two_ranges_stand_at_their_worst_together() -> None:
    """Each alone leaves the pump its cut-out: 500 ft of head, less 60 psi and a margin."""
    deep, high = "250 ft (240 ft .. 310 ft)", "5 ft (0 ft .. 60 ft)"
    assert verdict(found(deep), "reaches cut-out").status == "pass"
    assert verdict(found("250 ft", elevation=high), "reaches cut-out").status == "pass"
    both = verdict(found(deep, elevation=high), "reaches cut-out")
    assert both.status == "caution"
    told = both.reason.text("US")
    assert "well.static_level at 310 ft" in told
    assert "piping.tank_elevation at 60.0 ft" in told


def test_what_is_known_is_judged_as_before() -> None:
    one, narrow = statuses(found("80 ft")), statuses(found("80 ft (79.9 ft .. 80.1 ft)"))
    assert one == narrow
    assert sorted(RANK, key=lambda status: RANK[status]) == ["fail", "unknown", "caution", "pass"]


WELLS = ("pumps", "well", "pressure_tank", "hand_pump", "lifts", "outages")
"""Studies whose verdicts hang on the water in the well."""


@pytest.mark.parametrize(
    ("name", "key"),
    every(
        product(["ridge_house", "creek_cabin"], ["well.static_level", "piping.tank_elevation"]), 3
    ),
)
def test_the_end_that_a_rule_names_is_the_worse(key: str, name: str) -> None:
    """No rule that names an end of a key stands better there, or by more, than at the other."""
    case = Case(load_site(EXAMPLES / f"{name}.toml"))
    path = path_of(key)
    value = case.site.well.static_level if path[0] == "well" else case.site.piping.tank_elevation
    ends = []
    for number in (0.85 * float(value), 1.1 * float(value) + 0.5):
        changed = case.with_site(site_at(case.site, path, Quantity(number, value.kind)))
        said = [verdict for study in WELLS for verdict in changed.said(study).verdicts]
        ends.append({(verdict.rule.key, verdict.subject): verdict for verdict in said})
    judged = 0
    for found in ends[0].keys() & ends[1].keys():
        low, high = ends[0][found], ends[1][found]
        named = low.rule.worst.get(key)
        if named is None:
            continue
        better, worse = (low, high) if named == "high" else (high, low)
        assert RANK[worse.status] <= RANK[better.status], found
        if worse.margin is not None and better.margin is not None:
            assert worse.margin <= better.margin + 1e-9, found
        judged += 1
    assert judged >= 5


def test_where_the_file_leaves_several_open_the_worst_is_told_and_of_alike_the_fewest() -> None:
    rule, way = all_rules()["yield"], remedy("ask", "nobody prints it")
    good, poor, bad = (rule.verdict(status, "it", say(status), remedy=way)
                       for status in get_args(Status)[:3])  # fmt: skip
    ends: Any = object.__new__(_Ends)
    ends.intervals = [
        SimpleNamespace(
            key=f"key {number}",
            told=f"told {number}",
            is_open=number != 3,
            likeliest=Quantity(1.0, LENGTH),
            is_default=False,
        )
        for number in range(4)
    ]

    def at(*numbers: int) -> Any:
        value = SimpleNamespace(told="at {value}", value=Quantity(1.0, LENGTH))
        return tuple((number, value) for number in numbers)

    for others, keys in (
        ([(at(0), poor), (at(1), bad), (at(2), poor)], ("key 1",)),
        ([(at(0, 1), bad), (at(2, 3), bad), (at(2), bad)], ("key 2",)),
        ([(at(0), poor), (at(1, 3), bad), (at(2), good)], ("key 1",)),
    ):
        found = ends._where_open(good, others)
        assert (found.status, found.needs) == ("unknown", keys)
        assert found.reason.text("US").startswith(
            f"it passes with told {keys[0][-1]}, but it fails"
        )
