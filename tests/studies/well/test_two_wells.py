"""Two wells into one tank: each judged by its own levels, and the year of both by scipy in time.

The sites are invented.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from tests.against_libraries.supply.test_chain import integrated
from tests.sampled import sampled
from tests.studies.supply.test_chain_year import by_drawdown
from wellsolar.errors import SiteFileError
from wellsolar.kinds import LENGTH
from wellsolar.physics.hydraulics.demand import hourly_volumes
from wellsolar.physics.supply.chain import Chain, OtherFiller
from wellsolar.physics.supply.stepper import Casing, DrawNumbers, TankNumbers, WellNumbers
from wellsolar.reports.figures.all import plots
from wellsolar.reports.figures.plots import text_of
from wellsolar.reports.links import places_of
from wellsolar.reports.tables.sections import sections
from wellsolar.site.loading.read import SiteFile, load_site, parse_site
from wellsolar.studies.case import Case
from wellsolar.studies.casing.bodies import hanging
from wellsolar.studies.house.wells import at_well, views
from wellsolar.studies.intervals import intervals_of
from wellsolar.studies.outage.equipment import equipment_of
from wellsolar.studies.outage.sources import well_volume
from wellsolar.studies.pump import study
from wellsolar.studies.well.drawdown import casing_water
from wellsolar.units import read
from wellsolar.verdicts import Verdict, changes_of

SITE = Path(__file__).parents[2] / "sites" / "two_wells.toml"
GALLON, FOOT, INCH = 3.785411784e-3, 0.3048, 0.0254
GPM = GALLON / 60
DUG = "dug well pump"


def two_wells(*changes: tuple[str, str]) -> SiteFile:
    text = SITE.read_text()
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return parse_site(text)


def said(file: SiteFile, *studies: str) -> list[Verdict]:
    case = Case(file)
    return [each for study in studies for each in case.said(study).verdicts]


@pytest.mark.parametrize("run", sampled(["at once", "alternating"], "alternating"))
def test_two_wells_fill_it_as_in_an_integration(run: str) -> None:
    """More is drawn than both wells give: 1.5 gpm with 205 ft to draw down in 6 in, and half a
    gallon a minute with 5 ft to draw down in 36 in."""
    file = two_wells(
        ('"600 gal/day"', '"5000 gal/day"'),
        ('"at once"', f'"{run}"'),
        ('intake_depth = "285 ft"', 'intake_depth = "285 ft"\nrestart_after = "30 min"'),
    )
    year, site = Case(file).chain_year, file.site
    assert year.filler == "drilled well pump and dug well pump"
    assert year.booster_flow is not None
    assert year.well_flow == pytest.approx(2.0 * GPM, rel=1e-6)
    deep, shallow = 205 * FOOT, 5 * FOOT
    drop = math.pi / 4 * (1.315 * INCH) ** 2
    drilled, dug = (casing_water(each) for each in views(site))
    assert drilled == pytest.approx(math.pi / 4 * (6.065 * INCH) ** 2 - drop, rel=0.02)
    assert dug == pytest.approx(math.pi / 4 * (36 * INCH) ** 2 - 2 * drop, rel=0.002)
    assert drilled is not None
    assert dug is not None
    volume = 800 * GALLON
    chain = Chain(
        1.0,
        TankNumbers(volume, 0.75 * volume, volume, 0.1 * volume),
        DrawNumbers(8 * GPM, year.booster_flow),
        WellNumbers(drilled, 1.5 * GPM / deep, deep, 0.0, 1800.0),
        others=(OtherFiller(1.0, 0.0, shallow, 0.5 * shallow, math.inf, 1),),
        casings=(Casing(dug, 0.5 * GPM / shallow),),
        in_turn=run == "alternating",
    )
    flow_at = [
        by_drawdown(file, 0, 70 * FOOT, 215 * FOOT),
        by_drawdown(file, 1, 14 * FOOT, 15 * FOOT),
    ]
    days = 6
    other = integrated(chain, np.tile(hourly_volumes(5000 * GALLON), days), flow_at)
    pumped, given = (other[key][-24 * 3 :].sum() / 3 for key in ("pumped", "given"))
    assert year.daily_pumped == pytest.approx(pumped, rel=0.01)
    missing = year.volume_unmet / 365
    assert missing == pytest.approx(5000 * GALLON - given, abs=0.01 * 5000 * GALLON)
    assert missing > 500 * GALLON


def test_a_well_like_the_first_gives_its_pump_the_same() -> None:
    """The drilled well once more, and its pump hung there: the same head, flow, level in time and
    casing as in the first, where each has a pipe of its own."""
    line = '[pump.line]\nmaterial = "polyethylene SIDR"\nsize = "1 in"\nlength = "50 ft"\n'
    text = SITE.read_text()
    start, end = text.index("[well]\n"), text.index("[[other_well]]")
    twin = text[start:end].replace("[well]\n", '[[other_well]]\nname = "twin"\n')
    twin += 'pitless_depth = "5 ft"\n'
    pumps = text.index("[[pump]]"), text.index("[[pump]]", text.index("[[pump]]") + 5)
    pump = text[pumps[0] : pumps[1]] + line
    head = text[:start] + text[start:end] + text[text.index("[piping]") : pumps[0]]
    power = text[text.index("[power]") :]
    alone = Case(parse_site(head + pump + power))
    there = pump.replace("[[pump]]\n", '[[pump]]\nwell = "twin"\n')
    moved = Case(parse_site(head + twin + there + power))
    assert moved.pumps == alone.pumps
    assert moved.other_wells[0].well == alone.well
    assert not moved.well.pumps
    first, second = alone.chain_year, moved.chain_year
    assert first == second


def test_what_one_wells_level_decides_touches_no_other() -> None:
    """But what both fill."""
    file, studies = two_wells(('"at once"', '"kept apart"')), ("pumps", "well", "other_wells")
    there = said(file, *studies)
    for key, level, own in (
        ("other_well[1].static_level", "16 ft", {DUG, "dug well", f"line of {DUG}"}),
        ("well.static_level", "90 ft", {"drilled well pump", "line to the storage tank"}),
    ):
        after = said(file.with_values({key: level}), *studies)
        changed = {
            one.subject for one, other in zip(there, after, strict=True)
            if (one.status, one.reason) != (other.status, other.reason)
        }  # fmt: skip
        assert changed - {"storage tank"}
        assert changed <= {*own, "storage tank"}


def test_the_ground_of_the_other_well_enters_its_heads() -> None:
    """Twelve feet lower, 12 ft more to lift; the first well's pump has as much to lift as ever."""
    low, level = Case(two_wells()), Case(two_wells(('ground_height = "-12 ft"\n', "")))
    for number, more in ((0, 0.0), (1, 12 * FOOT)):
        one, other = low.pumps[number].duties[0], level.pumps[number].duties[0]
        lifts = [
            next(each.head for each in duty.pieces if each.key == "elevation")
            for duty in (one, other)
        ]
        assert lifts[0] - lifts[1] == pytest.approx(more)
    # Where it delivers: 7 ft and the air gap over the ground at the first well.
    assert lifts[1] == pytest.approx(7 * FOOT + 5 * INCH)
    assert low.pumps[1].shut_off_head == level.pumps[1].shut_off_head


def test_keys_and_subjects_are_those_of_the_other_well() -> None:
    found = said(two_wells(), "pumps", "other_wells", "frost", "hand_pump")
    bonded = {each.needs for each in found if each.rule.key == "bonding at the well"}
    assert bonded == {("well.bonded",), ("other_well[1].bonded",)}
    heads = [each for each in found if each.rule.key == "well head"]
    assert [(each.subject, each.status) for each in heads] == [("dug well", "caution")]
    assert [each.path for each in changes_of(heads[0].remedy)] == ["other_well[1].casing_height"]
    tank = next(each for each in found if each.rule.key == "setback")
    assert tank.subject == "septic tank of dug well"
    check = [each.needs for each in found if each.rule.key == "check valve's place"]
    assert check == [("other_well[1].check_valve_place",)]
    frost = {each.subject for each in found if each.rule.key == "frost"}
    assert {"line from dug well", f"line of {DUG}"} <= frost
    text = " ".join(each.reason.text("US") for each in found)
    assert " well.static_level" not in text
    # Frost 6 ft deep asks each line down under the key of its own, half a foot below.
    deep = said(two_wells(('frost_depth = "4 ft"', 'frost_depth = "6 ft"')), "frost")
    moved = {
        each.subject: {change.path: read(change.value.strip('"'), LENGTH) for change in changes}
        for each in deep if (changes := changes_of(each.remedy))
    }  # fmt: skip
    assert moved == {
        "line to the storage tank": {"piping.pitless_depth": pytest.approx(6.5 * FOOT)},
        "line from dug well": {"other_well[1].pitless_depth": pytest.approx(6.5 * FOOT)},
        f"line of {DUG}": {"pump[2].line.buried_depth": pytest.approx(6.5 * FOOT)},
    }
    bare = said(two_wells(('"160 ft"\nburied_depth = "5 ft"', '"160 ft"')), "frost")
    lacks = [each.needs for each in bare if each.subject == f"line of {DUG}"]
    assert lacks == [("pump[2].line.buried_depth",)]


def test_each_well_has_what_hangs_in_it() -> None:
    """The dug well its pump and the hand pump's pipe, the drilled one a pump alone."""
    file = two_wells(
        ('intake_depth = "29 ft"', 'intake_depth = "29 ft"\ndiameter = "4 in"'),
        ('intake_depth = "285 ft"', 'intake_depth = "285 ft"\ndiameter = "4 in"'),
        ('cylinder_depth = "27 ft"', 'cylinder_depth = "27 ft"\ncylinder_diameter = "3 in"'),
    )
    hung = [[each.body.name for each in hanging(view)[0]] for view in views(file.site)]
    assert hung == [["drilled well pump"], [DUG, "hand cylinder"]]
    case = Case(file)
    assert case.casing is None  # one body alone
    assert case.other_wells[0].casing.bore == pytest.approx(36 * INCH)
    assert case.hand_pump.static_level == pytest.approx(14 * FOOT)


def test_a_well_that_falls_dry_takes_its_own_pumps_along() -> None:
    case = Case(two_wells())
    dry = {each.name: each for each in case.outages.outages if each.key.startswith("well_")}
    gives = {
        name: {cell.source for cell in event.cells if cell.kind != "stored" and cell.volume > 0.0}
        for name, event in dry.items()
    }
    booster = "booster from cistern"
    assert gives == {
        "first well dry": {DUG, booster, "hand pump"},
        "dug well dry": {"drilled well pump", booster},
    }
    has = equipment_of(case)
    # No more than each was tested for: 1.5 gpm and 1 gpm.
    assert well_volume(has) == pytest.approx(1.5 * GPM * 86_400)
    assert well_volume(has, name="dug well") == pytest.approx(1.0 * GPM * 86_400)
    assert case.outages.whole.volume <= 2.5 * GPM * 86_400 * (1 + 1e-9)


@pytest.mark.parametrize(
    ("well", "failed", "borne"),
    [
        # 1.5 gpm drew the drilled well down 200 ft, from 70 ft: 100 ft of it down to an intake at
        # 170 ft. The dug one gives 0.1 gpm a foot below 14 ft: 6 ft to an intake at 20 ft, and
        # 13 ft to the hand pump's cylinder, which are more than its test.
        ("well", (), 0.75),
        ("dug well", ("hand pump",), 0.6),
        ("dug well", (), 1.0),
        ("dug well", ("hand pump", DUG), 1.0),
        ("well", ("drilled well pump",), 1.5),
    ],
)
def test_a_well_bears_what_draws_it_down_to_its_own_deepest_intake(
    well: str, failed: tuple[str, ...], borne: float
) -> None:
    has = equipment_of(Case(two_wells(('"285 ft"', '"170 ft"'), ('"29 ft"', '"20 ft"'))))
    found = well_volume(has, frozenset(failed), well)
    assert found == pytest.approx(borne * GPM * 86_400, rel=1e-6)


def test_one_well_gives_what_the_other_lacks() -> None:
    """The dug well bears half a gallon a minute above its pump's stop, 720 gal a day: beside them
    the drilled one has to give nothing of 600 gal, and 480 of 1200. Kept apart, each gives all
    of it alone."""
    by_use = {}
    for use in ("600 gal/day", "1200 gal/day"):
        pumps = Case(two_wells(('"600 gal/day"', f'"{use}"'))).pumps
        by_use[use] = pumps[0].own_volume / GALLON
    assert by_use["600 gal/day"] == pytest.approx(0.0, abs=1e-6)
    assert by_use["1200 gal/day"] == pytest.approx(480.0, abs=1.0)
    apart = Case(two_wells(('"at once"', '"kept apart"'))).pumps
    assert [pump.from_other_wells for pump in apart] == [0.0, 0.0, 0.0]


@dataclass(frozen=True)
class Pumped:
    """What of a pump counts for those in other wells."""

    name: str
    duties: tuple[Any, ...]
    from_other_wells: float = 0.0


@pytest.mark.parametrize(
    ("run", "flow", "tested", "greatest", "given"),
    [
        ("at once", 2.0, 3.0, 5.0, 2.0),  # as much as the pump gives
        ("at once", 2.0, 1.5, 5.0, 1.5),  # as the well was tested for
        ("at once", 2.0, None, 0.5, 0.5),  # as it bears at the pump's stop
        ("at once", 2.0, None, math.inf, 0.0),  # what it bears nobody knows
        ("kept apart", 2.0, 3.0, 5.0, 0.0),
        ("alternating", 2.0, 3.0, 5.0, 0.0),  # it runs all day, and the other waits
        ("alternating", 2.0, 0.4, 5.0, 0.4),
    ],
)
def test_what_a_pump_in_another_well_gives_a_day(
    monkeypatch: pytest.MonkeyPatch,
    run: str, flow: float, tested: float | None, greatest: float, given: float,
) -> None:  # fmt: skip
    """The first well's pump runs three quarters of the day at most, 3 of its 4."""
    wells = {"a": (4.0, 3.0, math.inf), "b": (flow, tested, greatest)}
    monkeypatch.setattr(study.chain, "pumps_run", lambda site: run)
    monkeypatch.setattr(study, "at_well", lambda site, table: SimpleNamespace(
        well=SimpleNamespace(tested_yield=wells[table.name][1]), name=table.name))  # fmt: skip
    monkeypatch.setattr(study, "water_level", lambda here, depth: SimpleNamespace(
        greatest_flow=lambda: wells[here.name][2]))  # fmt: skip
    tables = [
        SimpleNamespace(name=name, well=name, role="main", minimum_submergence=1.0)
        for name in wells
    ]
    link = SimpleNamespace(into_tank=True)
    hung: Any = [SimpleNamespace(table=table, link=link, intake_depth=9.0) for table in tables]
    results: Any = [Pumped(name, (SimpleNamespace(flow=wells[name][0]),)) for name in wells]
    site: Any = SimpleNamespace(pump=tables)
    found = study._with_other_wells(site, hung, results)
    assert found[0].from_other_wells == pytest.approx(given * 86_400)


def test_what_a_well_leaves_open_is_an_interval_of_its_own() -> None:
    """Its own drawdown, and its own range of the water at rest."""
    file = two_wells(
        ('tested_yield = "1 gpm"\ntested_pumping_level = "24 ft"\n', ""),
        ('static_level = "14 ft"', 'static_level = "12 ft .. 18 ft"'),
    )
    keys = {each.key for each in intervals_of(file)}
    assert {"other_well[1].static_level", "other_well[1].specific_capacity"} <= keys
    assert "well.specific_capacity" not in keys
    deepest = equipment_of(Case(file)).site.other_well[0].static_level
    assert deepest == pytest.approx(18 * FOOT)


def test_each_well_is_drawn_with_what_hangs_in_it() -> None:
    results = Case(two_wells()).results(["pump", "hand", "figures"])
    named = ("well", "other_well_1")
    drawn = [panel for each in plots(results) if each.key in named for panel in each.panels]
    assert [[each.key for each in panel.hanging] for panel in drawn] == [
        ["pump_1"], ["pump_2", "hand_pump"],
    ]  # fmt: skip
    titles = [text_of(panel.title, "US") for panel in drawn]
    assert titles == ["the first well", "dug well, its ground 12.0 ft lower than at the first"]
    depths = [{mark.key: mark.depth for mark in panel.marks}["bottom"] for panel in drawn]
    assert depths == pytest.approx([300 * FOOT, 32 * FOOT])


def test_a_report_leads_to_the_well_that_is_judged() -> None:
    results = Case(two_wells()).results(["pump"])
    keys = {each.key for each in sections(results)}
    assert "other_well_1" in keys
    for rule, subject, there in (
        ("well head", "dug well", "other_well_1"),
        ("runs dry", DUG, "other_well_1"),
        ("runs dry", "drilled well pump", "well"),
    ):
        assert places_of(results.verdict(rule, subject), results, (), keys).section == there


def test_a_view_of_a_site_is_that_of_one_well() -> None:
    site = two_wells().site
    seen = at_well(site, site.pump[1])
    assert float(seen.well.depth) == pytest.approx(32 * FOOT)
    assert at_well(seen, site.pump[1]) is seen
    assert at_well(site, site.pump[0]) is site
    assert at_well(seen, site.pump[2]) is seen  # a booster draws from none
    with pytest.raises(StopIteration):
        at_well(site, site.pump[1].model_copy(update={"well": "no such well"}))
    one = load_site(SITE.with_name("cistern.toml")).site
    assert views(one) == (one,)


def test_a_well_that_nobody_draws_from_is_said() -> None:
    text = SITE.read_text().replace('[hand_pump]\nwell = "dug well"\n', "[hand_pump]\n")
    idle = parse_site(text.replace('well = "dug well"\nrole', "role"))
    notes = Case(idle).results(["pump"]).notes
    assert notes == ("no pump draws from dug well: name it in the pump's own well",)
    with pytest.raises(SiteFileError, match="name of no other well"):
        parse_site(SITE.read_text().replace('well = "dug well"\nrole', 'well = "dog"\nrole'))


def test_beside_no_other_well_a_pump_has_the_whole_day_to_give() -> None:
    pump = Case(load_site(SITE.with_name("cistern.toml"))).pumps[0]
    assert pump.own_volume == pump.daily_volume
    assert replace(pump, from_other_wells=1e9).own_volume == 0.0
