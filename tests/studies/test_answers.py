"""Every number and word of a short answer is the field of the results that it is meant to be.

Answers of a site that is made up are put together by hand, and those of parts of it that are
otherwise. `answers.txt` is saved text: it says which number stands in which place, in which kind
of unit and how rounded, and of a site with as little as can be which field. Where an answer is to
be put otherwise, write it anew by `python -m tests.studies.test_answers` and read each line that
has changed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from tests.reports.tables.made import BARE, FULL, Made
from tests.studies.composing import KWH, PSI
from wellsolar.constants import US_GALLON as GALLON
from wellsolar.results import Results
from wellsolar.results.whole import Answer
from wellsolar.studies.answers import answers
from wellsolar.studies.rules import all_rules
from wellsolar.verdicts import Sentence, Verdict, remedy, say

TABLE = Path(__file__).with_name("answers.txt")
GPM, LBF = GALLON / 60, 4.448222
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


def told(of: Made | None, sentence: Sentence) -> str:
    """A sentence with the kind of each part in its place, and its source where it is made up."""

    def source(found: Any) -> str:
        return say("{it}", it=found).text("US") if of is None else of.source(found)

    def part(place: re.Match[str]) -> str:
        found: Any = sentence.parts[place[1]]
        if isinstance(found, str):
            return source(found)
        return f"[{source(found)}: {found.kind.name} {place[2]}]".replace(" ]", "]")

    text = re.sub(r"\{(\w+):?(\w*)\}", part, sentence.template)
    return text if of is None else of.source(text)


def lines_of(of: Made | None, answer: Answer) -> Iterator[str]:
    subject = answer.subject if of is None else of.source(answer.subject)
    yield f"  {subject}: {told(of, answer.text)}"
    if answer.plain is not None and answer.plain != answer.text:
        yield f"    plainly: {told(of, answer.plain)}"


def shown() -> str:
    site = whole(made(FULL).results)
    cases: list[tuple[str, Made | None, Results]] = [("whole", None, site)]
    cases += [(f"otherwise {n}", None, each) for n, (each, _) in enumerate(others(site), 1)]
    bare = made(BARE).results
    ranking = replace(bare.ranking, by=bare.ranking.allowed[0])
    cases.append(("bare", made(BARE), replace(bare, ranking=ranking)))
    lines = []
    for name, of, results in cases:
        lines.append(name)
        lines += [line for each in answers(results) for line in lines_of(of, each)]
    return "\n".join([*lines, ""])


def test_every_answer_has_the_fields_that_the_table_names() -> None:
    assert shown().splitlines() == TABLE.read_text("utf-8").splitlines()


def whole(full: Any) -> Any:
    """A site whose answers are composed below: numbers of which none is another's, and beside
    each a neighbour that is not meant."""
    pump, odd = (
        replace(full.pumps[0], name=name, level_known=True, daily_energy=2.5 * KWH, duties=tuple(
            replace(duty, flow=flow * GPM, pump_flow=flow * GPM, input_power=watts)
            for duty, flow, watts in zip(full.pumps[0].duties, flows, powers, strict=True)
        ))
        for name, flows, powers in (
            ("house pump", (6.0, 4.5), (900.0, 1100.0)), ("dry pump", (0.0, 4.5), (1.0, 2.0)))
    )  # fmt: skip
    clear, other = (replace(day, kind="clear") for day in full.heated_tank.days)
    own, helped = full.heated_tank.households
    months = tuple(replace(each, days=30, evenings_hot=28, grid_heat=20.0 * KWH)
                   for each in helped.months[:1] * 12)  # fmt: skip
    jobs = {"survival": (600.0, "a day's water"), "tank": (3600.0, "the pressure tank"),
            "storage tank": (14_400.0, "a day's storage"), "morning": (60.0, "")}  # fmt: skip
    task = full.hand_pump.tasks[0]
    tasks = tuple(replace(task, key=key, label=label, time=seconds / people, people=people)
                  for people in (1, 2) for key, (seconds, label) in jobs.items())  # fmt: skip
    row = replace(full.heater_ranking.rows[0], series=4, strings=1, element="1500 W",
                  tank_volume=50 * GALLON, share=0.6)  # fmt: skip
    best = replace(full.ranking.rows[0], pump="slow pump", modules=(9, 12), battery=5.0 * KWH)
    found = full.outages
    links = tuple(
        replace(found.links[0], component=name, outage=replace(
            found.links[0].outage, volume=gallons * GALLON, survival=share))
        for name, gallons, share in (("lift", 8.0, 0.8), ("pump", 5.0, 0.5), ("mains", 20.0, 2.0))
    )  # fmt: skip
    tank, match = full.pressure_tank, full.matching
    runs = tuple(replace(cycle, pump=name, run_time=seconds) for cycle, name, seconds in zip(
        tank.cycles, ("house pump", "slow pump"), (150.0, 210.0), strict=True))  # fmt: skip
    return replace(
        EMPTY, pumps=(pump, odd), verdicts=(
            *failing("house pump"), *failing("hand pump"), *failing("bucket")),
        supply=tuple(replace(full.supply[0], pump=name, modules_needed=count, module_power=400.0)
                     for name, count in (("another", 7), ("house pump", 8))),
        supply_years=tuple(
            replace(full.supply_years[0], pump=name, modules=count, days_short=days)
            for name, count, days in (("another", 3, 4), ("house pump", 6, 21))),
        ranking=replace(full.ranking, rows=(best, *full.ranking.rows[1:]), allowed=(10, 5), by=5,
                        module_power=400.0),
        ranges=replace(full.ranges, cases=200, choices=tuple(
            replace(full.ranges.choices[0], pump=name, holds=share)
            for name, share in (("house pump", 0.25), ("slow pump", 0.75)))),
        chain_year=replace(full.chain_year, daily_pumped=300 * GALLON, turnover=3.0,
                           days_short=12),
        heated_tank=replace(
            full.heated_tank, tank_volume=50 * GALLON, setpoint=60.0, annual_share=0.4,
            days=(replace(clear, month=12, days_to_setpoint=3, element_energy=2.0),
                  replace(clear, kind="poor", month=2, days_to_setpoint=9, element_energy=0.1),
                  replace(other, month=6, days_to_setpoint=1, element_energy=4.0)),
            households=(own, replace(helped, months=months, other_evenings=(340, 320),
                                     heated_by="upper element"))),
        diverted_tank=replace(full.diverted_tank, annual_share=0.3),
        heater_ranking=replace(full.heater_ranking, rows=(row, row), own=replace(
            row, series=2, strings=3, share=0.5, tank_volume=40 * GALLON)),
        hand_pump=replace(full.hand_pump, draws_water=True, people_pumping=2, tasks=tasks,
                          duties=tuple(replace(duty, sustained_flow=flow * GPM, handle_force=force)
                                       for duty, flow, force in zip(
                                           full.hand_pump.duties, (2.0, 3.0), (LBF * 30, LBF * 40),
                                           strict=True))),
        lifts=(replace(full.lifts[0], name="bucket", flow=1.5 * GPM, people=1, tasks=tasks),),
        outages=replace(found, links=links, whole=replace(
            found.whole, survival=3.0, volume=90 * GALLON)),
        matching=replace(
            match, match=replace(
                match.match, own=replace(match.match.own, energy=900 * KWH, ratio=0.7),
                best_single=replace(match.match.best_single, resistances=(12.0,), ratio=0.9)),
            diversion=replace(match.diversion, named=True, energy=500 * KWH, spilled=800 * KWH)),
        pressure_tank=replace(tank, drawdown=10 * GALLON, cut_out=60 * PSI, cut_in=40 * PSI,
                              precharge=38 * PSI, cycles=runs),
    )  # fmt: skip


SAID: list[tuple[str, str, str | None]] = [
    ("house pump", "6 gpm at cut-in, 4.5 gpm at cut-out, 1100 W, 2.5 kWh a day, needs 8 modules "
     "of 400 W in the darkest month; with the 6 modules there, 21 days short a year; fails on "
     "yield, delivers", "gives 4.5 gpm to 6 gpm, as the pressure in the tank is high or low, "
     "for 2.5 kWh of electricity a day. On its modules the water falls short on 21 days a year"),
    ("dry pump", "lifts no water to the tank", "lifts no water to the tank"),
    ("fewest modules", "slow pump with 12 modules of 400 W and a battery of 5 kWh, short on no "
     "more than 5 days a year", None),
    ("over the ranges", "house pump does all that is asked of it in 25% of 200 cases, slow pump "
     "in 75%", None),
    ("storage tank", "takes 300 gal a day and holds the use of 3 days, both on average; 12 days "
     "short a year", "holds the water of 3 days; it falls short on 12 days a year"),
    # Of 28 evenings in each of twelve months and two years of 340 and 320, the least.
    ("hot water", "1 clear day in June brings 50 gal from cold to 140 °F, 3 clear days in "
     "December; PV gives 40% of the year's hot water; hot in the evening on at least 320 days a "
     "year with 240 kWh from the grid", "The sun gives 40% of the year's hot water. The evening's "
     "water is hot on 320 days a year or more, for 240 kWh from the grid"),
    ("hot water", "the battery's surplus gives 30% of the year's hot water", None),
    ("best design", "4 in series by 1 on 1500 W, 50 gal: 60% of the hot water from PV", None),
    ("as it is", "2 in series by 3 on 1500 W, 40 gal: 50% of the hot water from PV", None),
    ("hand pump", "2 gpm at the spout for an hour, 30 lbf on the handle; 5 min for a day's water; "
     "30 min for the pressure tank; 2 h for a day's storage; fails on yield, delivers", "gives "
     "2 gpm by hand; 5 min for a day's water; 2 h for a day's storage"),
    ("bucket", "1.5 gpm at its spout; 10 min for a day's water; 60 min for the pressure tank; 4 h "
     "for a day's storage; fails on yield, delivers", None),
    ("with one failure", "5 gal/day at the least, without the pump: less than survival water; "
     "less also without the lift", "there is too little water to live on without the lift, "
     "or without the pump"),
    ("array on element", "900 kWh a year at the element, 70% of what the array could give; an "
     "element of 12 ohm would take 90%", None),
    ("battery's surplus", "500 kWh a year by the element on the inverter, of 800 kWh that the "
     "battery leaves", None),
    ("pressure tank", "10 gal between 60 psi and 40 psi, with 38 psi of air; house pump runs 2.5 "
     "min; slow pump runs 3.5 min", None),
]  # fmt: skip
"""Put together by hand from what `whole` gives each field."""


def read_out(results: Results) -> list[tuple[str, str | None, str | None]]:
    """Answers in United States units, without the digits that are nothing."""

    def text(said: Sentence | None) -> str | None:
        if said is None:
            return None
        return re.sub(r"\.0+(?=[ %])|(?<=\.[1-9])0+(?= )", "", said.text("US"))

    return [(each.subject, text(each.text), text(each.plain)) for each in answers(results)]


def test_answers_of_a_whole_site_by_hand() -> None:
    said = [(subject, text, text if subject == "bucket" else plain)
            for subject, text, plain in SAID]  # fmt: skip
    assert read_out(whole(made(FULL).results)) == said


def others(site: Any) -> Iterator[tuple[Results, list[Any]]]:
    """Parts of the same site that are otherwise, and what is then said of each."""

    def of(**changes: Any) -> Results:
        return replace(EMPTY, **changes)

    pump, dry = site.pumps
    high, low = (replace(duty, pump_flow=7 * GPM) for duty in pump.duties)
    years = tuple(replace(each, days_short=0) for each in site.supply_years)
    one = replace(pump, duties=pump.duties[:1], daily_energy=None)
    yield of(pumps=(one,), supply_years=years), [
        ("6 gpm, 900 W; with the 6 modules there, 0 days short a year",
         "gives 6 gpm. On its modules the water never falls short")]  # fmt: skip
    usual = ("6 gpm at cut-in, 4.5 gpm at cut-out, 1100 W, 2.5 kWh a day",
             "gives 4.5 gpm to 6 gpm, as the pressure in the tank is high or low, for 2.5 kWh of "
             "electricity a day")  # fmt: skip
    drawn = ("6 gpm, all that the well gives, 1100 W, 2.5 kWh a day",
             "gives 6 gpm, all that the well gives, for 2.5 kWh of electricity a day")  # fmt: skip
    for duties, known, said in (
        ((high, low), True, drawn), ((high, low), False, usual),
        ((high, pump.duties[1]), True, usual),
    ):  # fmt: skip
        yield of(pumps=(replace(pump, duties=duties, level_known=known),)), [said]
    hangs = "whether it lifts water to the tank hangs on how far the well is drawn down"
    yield of(pumps=(replace(dry, level_known=False),)), [(hangs, hangs)]
    best = site.ranking.rows[0]
    for rows, there in (
        ((replace(best, battery=None),), [("slow pump with 12 modules of 400 W and no battery, "
                                           "short on no more than 5 days a year", None)]),
        ((replace(best, modules=(9, None)),), []), ((), []),
    ):  # fmt: skip
        yield of(ranking=replace(site.ranking, rows=rows)), there
    tank, (dark, poor, sunny) = site.heated_tank, site.heated_tank.days
    bare = replace(tank, annual_share=None, households=())
    for heated, text, plainly in (
        (replace(bare, days=(replace(dark, days_to_setpoint=None),
                             replace(sunny, days_to_setpoint=2))),
         "2 clear days in June bring 50 gal from cold to 140 °F, none in December", None),
        (replace(bare, days=(poor, replace(dark, days_to_setpoint=None))),
         "no run of clear days brings 50 gal from cold to 140 °F", None),
        (replace(tank, annual_share=None, days=(dark,)),
         "3 clear days in December bring 50 gal from cold to 140 °F, 3 clear days in December; "
         "hot in the evening on at least 320 days a year with 240 kWh from the grid",
         "The evening's water is hot on 320 days a year or more, for 240 kWh from the grid"),
        (replace(tank, annual_share=None, days=(replace(dark, days_to_setpoint=1),), households=(
            replace(tank.households[-1], heated_by="PV", other_evenings=(360,), months=tuple(
                replace(each, evenings_hot=30) for each in tank.households[-1].months)),)),
         "1 clear day in December brings 50 gal from cold to 140 °F, 1 clear day in December; hot "
         "in the evening every day of the year", "The evening's water is hot on 360 days a year"),
    ):  # fmt: skip
        yield of(heated_tank=heated), [(text, plainly)]
    yield of(heated_tank=replace(tank, days=())), []
    yield of(hand_pump=replace(site.hand_pump, draws_water=False), verdicts=site.verdicts), [
        ("draws no water; fails on yield, delivers", "draws no water")]  # fmt: skip
    yield of(lifts=(replace(site.lifts[0], flow=0.0),)), [("lifts no water here",) * 2]
    found = site.outages
    fine = tuple(replace(each, outage=replace(each.outage, survival=1.0)) for each in found.links)
    for changes, text, plainly in (
        ({"links": fine}, "5 gal/day at the least, without the pump: enough to survive on",
         "whatever one thing fails, there is water to live on"),
        ({"links": (fine[0], *found.links[1:])},
         "5 gal/day at the least, without the pump: less than survival water",
         "there is too little water to live on without the pump"),
        ({"whole": replace(found.whole, survival=0.9)},
         "90 gal/day even with all in order: less than survival water",
         "there is too little water to live on, even with all in order"),
    ):  # fmt: skip
        yield of(outages=replace(found, **changes)), [(text, plainly)]
    for nothing in ({"survival": None}, {"links": ()}):
        yield of(outages=replace(found, **nothing)), []
    unnamed = replace(site.matching, match=None, diversion=replace(
        site.matching.diversion, named=False))  # fmt: skip
    yield of(matching=unnamed, ranges=replace(site.ranges, choices=()), diverted_tank=replace(
        site.diverted_tank, annual_share=None)), []  # fmt: skip


def test_answers_of_a_site_that_is_otherwise_by_hand() -> None:
    for results, said in others(whole(made(FULL).results)):
        assert [tuple(each[1:]) for each in read_out(results)] == said


if __name__ == "__main__":
    TABLE.write_text(shown(), "utf-8")
