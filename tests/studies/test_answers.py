"""Every number and word of a short answer is the field of the results that it is meant to be.

`answers.txt` says for each answer, in the trade's words and in an owner's, which field stands in
which place and in which kind of unit. The results are made up, another prime in each field; they
are varied so that each way in which an answer can be put comes up. Where one is to be put
otherwise, edit the table by hand, or write it anew by `python -m tests.studies.test_answers` and
read each line that has changed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tests.reports.tables.made import BARE, FULL, Made
from wellsolar.results import Results
from wellsolar.results.whole import Answer
from wellsolar.studies.answers import _heat, answers
from wellsolar.studies.rules import all_rules
from wellsolar.verdicts import Sentence, Verdict, remedy, say

TABLE = Path(__file__).with_name("answers.txt")
EMPTY = Results(file="", site_name="", site_note="", system="US")


@cache
def made(sort: str) -> Made:
    return Made(sort)


BEFORE_CHANGES = (lambda: made(FULL), lambda: made(BARE))
"""What `tests.mutation` may make once: nothing that it changes has a part in it."""


def failing(subject: str) -> tuple[Verdict, ...]:
    """Two rules that fail of a subject, one that it passes, and one that fails of another."""
    one, two, three = (all_rules()[key] for key in ("yield", "delivers", "submergence"))
    way = remedy("ask", "nobody prints it")
    return (
        one.verdict("fail", subject, say(""), remedy=way),
        two.verdict("fail", subject, say(""), remedy=way),
        three.verdict("caution", subject, say(""), remedy=way),
        three.verdict("fail", "another", say(""), remedy=way),
    )


def of_pumps(full: Results) -> Iterator[tuple[str, Results]]:
    pump, *_ = full.pumps
    known = replace(pump, level_known=True)
    first, last = (
        replace(each, pump_flow=each.flow, input_power=power)
        for each, power in zip(pump.duties, (5.0, 7.0), strict=True)
    )
    still, held = (replace(first, flow=0.0), last), replace(first, pump_flow=first.flow + 1)
    supply = (full.supply[0], replace(full.supply[1], pump=pump.name))
    years = (full.supply_years[0], replace(full.supply_years[1], pump=pump.name))
    enough = (*years[:1], replace(years[1], days_short=0))
    failed = failing(pump.name)
    for told, other, besides in (
        ("two duties", replace(known, duties=(first, last)), {}),
        ("the other way round", replace(known, duties=(
            replace(first, input_power=9.0), last)), {}),
        ("one duty", replace(known, duties=(first,), daily_energy=None), {}),
        ("with sun", replace(known, duties=(first, last)), {
            "supply": supply, "supply_years": years, "verdicts": failed}),
        ("never short", replace(known, duties=(first, last)), {"supply_years": enough}),
        ("draws the well down", replace(known, duties=(
            held, replace(last, pump_flow=last.flow + 1))), {}),
        ("draws it down at one", replace(known, duties=(held, last)), {}),
        ("draws it down, level unknown", replace(pump, level_known=False, duties=(held,)), {}),
        ("lifts none", replace(known, duties=still), {"verdicts": failed}),
        ("lifts none, level unknown", replace(pump, level_known=False, duties=still), {
            "verdicts": failed}),
    ):  # fmt: skip
        yield f"pump: {told}", replace(EMPTY, pumps=(other,), **besides)


def of_rankings(full: Results) -> Iterator[tuple[str, Results]]:
    found = full.ranking
    assert found is not None
    for place, by in enumerate(found.allowed):
        yield f"pumps compared by {place}", replace(EMPTY, ranking=replace(found, by=by))
    best = found.rows[0]
    for told, rows in (
        ("no battery", (replace(best, battery=None),)),
        ("too few modules", (replace(best, modules=(None, None)),)),
        ("nothing", ()),
    ):
        other = replace(found, by=found.allowed[0], rows=rows)
        yield f"pumps compared: {told}", replace(EMPTY, ranking=other)
    yield "over the ranges", replace(EMPTY, ranges=full.ranges)
    assert full.ranges is not None
    yield "over no range", replace(EMPTY, ranges=replace(full.ranges, choices=()))
    yield "heaters compared", replace(EMPTY, heater_ranking=full.heater_ranking)
    assert full.heater_ranking is not None
    yield "no heater", replace(EMPTY, heater_ranking=replace(
        full.heater_ranking, rows=(), own=None))  # fmt: skip


def of_tanks(full: Results) -> Iterator[tuple[str, Results]]:
    tank = full.heated_tank
    assert tank is not None
    clear, other = (replace(day, kind="clear") for day in tank.days)
    poor = replace(clear, kind="poor", element_energy=1.0)
    sunny, dark = (replace(clear, days_to_setpoint=1), replace(other, element_energy=2.0))
    alone = {"annual_share": None, "households": ()}
    own, helped = tank.households
    years = (replace(own, other_evenings=(11, 1)), replace(helped, other_evenings=(7, 3, 5)))
    on_sun = tuple(replace(each, heated_by="PV") for each in years)
    tank = replace(tank, households=years)
    for told, changes in (
        ("more days in the worst", {"days": (sunny, dark, poor)}),
        ("one day each", {"days": (sunny, replace(dark, days_to_setpoint=1)), **alone}),
        ("never in the worst", {"days": (dark, replace(sunny, days_to_setpoint=None)), **alone}),
        ("never in one", {"days": (clear, replace(dark, days_to_setpoint=None)), **alone}),
        ("several in the best", {"days": (clear, dark), "households": on_sun}),
        ("never", {"days": (replace(clear, days_to_setpoint=None),), **alone}),
        ("no sun", {"days": ()}),
    ):
        yield f"hot water: {told}", replace(EMPTY, heated_tank=replace(tank, **changes))
    assert full.diverted_tank is not None
    for share in (full.diverted_tank.annual_share, None):
        yield (
            f"surplus: {share is not None}",
            replace(EMPTY, diverted_tank=replace(full.diverted_tank, annual_share=share)),
        )
    yield "storage tank", replace(EMPTY, chain_year=full.chain_year)
    yield "pressure tank", replace(EMPTY, pressure_tank=full.pressure_tank)
    match = full.matching
    assert match is not None
    assert match.diversion is not None
    yield "array and element", replace(EMPTY, matching=match)
    yield "no element named", replace(EMPTY, matching=replace(
        match, match=None, diversion=replace(match.diversion, named=False)))  # fmt: skip


def of_hands(full: Results) -> Iterator[tuple[str, Results]]:
    hand = full.hand_pump
    assert hand is not None
    failed = failing("hand pump")
    for told, changes in (
        ("draws", {}), ("draws none", {"draws_water": False}), ("alone", {"people_pumping": 1})
    ):  # fmt: skip
        other = replace(hand, **{"draws_water": True, **changes})
        yield f"hand pump: {told}", replace(EMPTY, hand_pump=other, verdicts=failed)
    lift = full.lifts[0]
    failed = failing(lift.name)
    for told, changes in (("lifts", {}), ("lifts none", {"flow": 0.0})):
        other = replace(lift, **changes)
        yield f"lift: {told}", replace(EMPTY, lifts=(other,), verdicts=failed)


def of_outages(full: Results) -> Iterator[tuple[str, Results]]:
    found = full.outages
    assert found is not None
    whole = replace(found.whole, volume=11.0 * 86_400.0, survival=2.0)
    links = tuple(
        replace(
            found.links[0], component=name,
            outage=replace(found.links[0].outage, volume=left * 86_400.0, survival=left / 10.0),
        )
        for name, left in (("lift", 5.0), ("pump", 4.0), ("mains", 6.0))
    )  # fmt: skip
    good = tuple(replace(link, outage=replace(link.outage, survival=1.5)) for link in links)
    for told, changes in (
        ("all weak", {"links": links}),
        ("one weak", {"links": (good[0], links[1], good[2])}),
        ("none weak", {"links": good}),
        ("short when whole", {"whole": replace(whole, survival=0.5), "links": links}),
        ("nobody knows", {"survival": None, "links": links}),
        ("no links", {"links": ()}),
    ):
        other = replace(found, **{"whole": whole, **changes})
        yield f"outages: {told}", replace(EMPTY, outages=other)


SORTS: tuple[Callable[[Results], Iterator[tuple[str, Results]]], ...] = (
    of_pumps, of_rankings, of_tanks, of_hands, of_outages,
)  # fmt: skip


@pytest.mark.parametrize("known", [True, False])
def test_a_pump_of_a_litre_a_second_lifts_water(known: bool) -> None:
    """Its flow is far below one in the units that are reckoned with."""
    pump = made(FULL).results.pumps[0]
    duty = replace(pump.duties[0], flow=1e-3, pump_flow=1e-3)
    small = replace(pump, level_known=known, duties=(duty,), daily_energy=None)
    (answer,) = answers(replace(EMPTY, pumps=(small,)))
    assert answer.text.parts["first"] == 1e-3
    assert answer.plain is not None
    assert answer.plain.template == "gives {first}"


def told(of: Made, sentence: Sentence) -> str:
    """A sentence with the source and the kind of each part in its place."""

    def part(place: re.Match[str]) -> str:
        found: Any = sentence.parts[place[1]]
        if isinstance(found, str):
            return of.source(found)
        return f"[{of.source(found)}: {found.kind.name} {place[2]}]".replace(" ]", "]")

    return of.source(re.sub(r"\{(\w+):?(\w*)\}", part, sentence.template))


def lines_of(of: Made, answer: Answer) -> Iterator[str]:
    yield f"  {of.source(answer.subject)}: {told(of, answer.text)}"
    if answer.plain is not None and answer.plain != answer.text:
        yield f"    plainly: {told(of, answer.plain)}"


def shown() -> str:
    lines = []
    for sort in (FULL, BARE):
        of = made(sort)
        cases = [each for made_of in SORTS for each in made_of(of.results)] if sort == FULL else []
        if sort == BARE:
            ranking = of.results.ranking
            assert ranking is not None
            bare = replace(of.results, ranking=replace(ranking, by=ranking.allowed[0]))
            cases = [("bare", bare)]
        for name, results in cases:
            lines.append(name)
            lines += [line for each in answers(results) for line in lines_of(of, each)]
    return "\n".join([*lines, ""])


def test_every_answer_has_the_fields_that_the_table_names() -> None:
    assert shown().splitlines() == TABLE.read_text("utf-8").splitlines()


if __name__ == "__main__":
    TABLE.write_text(shown(), "utf-8")


@pytest.mark.parametrize(
    ("best", "worst", "begins"),
    [(1, 3, "bring"), (2, 3, "bring"), (2, None, "bring"), (None, None, "no run of clear days")],
)
def test_one_clear_day_brings_and_several_bring(
    best: int | None, worst: int | None, begins: str
) -> None:
    tank = made(FULL).results.heated_tank
    day = next(each for each in tank.days if each.kind == "clear")
    days = (replace(day, days_to_setpoint=best, element_energy=2.0),
            replace(day, days_to_setpoint=worst, element_energy=1.0))  # fmt: skip
    text = _heat(replace(tank, days=days)).text("US")
    if best is None:
        assert text.startswith(begins)
    else:
        verb = "brings" if best == 1 else "bring"
        assert f" {verb} " in text.partition(" from cold")[0]
        assert ("none in" in text) == (worst is None)


UNITS = {
    "flow": ("gpm",), "first": ("gpm",), "last": ("gpm",), "left": ("gal/day",),
    "power": ("W", "kW"), "module": ("W", "kW"), "force": ("lbf",), "best": ("ohm",),
    "energy": ("Wh", "kWh"), "grid": ("Wh", "kWh"), "spilled": ("Wh", "kWh"),
    "battery": ("Wh", "kWh"), "share": ("%",), "ratio": ("%",), "best_ratio": ("%",),
    "drawdown": ("gal",), "volume": ("gal",), "tank": ("gal",), "pumped": ("gal",),
    "cut_out": ("psi",), "cut_in": ("psi",), "precharge": ("psi",), "setpoint": ("°F",),
}  # fmt: skip
"""Units in which an owner in the United States is told a part of an answer, by its name."""


def test_a_part_of_an_answer_is_told_in_units_of_what_it_is() -> None:
    full, seen = made(FULL).results, set[str]()
    for of_sort in SORTS:
        for name, results in of_sort(full):
            for answer in answers(results):
                for said in filter(None, (answer.text, answer.plain)):
                    for key, value in said.parts.items():
                        if key in UNITS and not isinstance(value, str):
                            text = say("{it}", it=value).text("US")
                            assert text.split()[-1].lstrip("0123456789") in UNITS[key], (
                                name,
                                text,
                            )
                            seen.add(key)
    assert seen == {*UNITS}
