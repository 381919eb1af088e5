"""Each example loads, is studied, and tells the story that its first comment promises."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from tests.studies.parts.listing import listed
from wellsolar.site import shape
from wellsolar.sources import SOURCES

FOLDER = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.stem for path in FOLDER.glob("*.toml"))

STORIES = {
    "ridge_house": {
        ("reaches cut-out", "house pump"): "pass",
        ("inverter surge", "house pump"): "caution",
        ("inverter surge", "frugal pump"): "pass",
        ("array for the pump", "frugal pump"): "pass",
        ("fits the casing", "casing"): "pass",
        ("motor cooling", "house pump"): "pass",
        # Far above the 65 % of its voltage that turns a motor: the lights dip, the pump starts.
        ("voltage at start", "house pump"): "pass",
        ("precharge", "pressure tank"): "pass",
        ("survival by hand", "hand pump"): "pass",
        ("hand into the tank", "hand pump"): "caution",
        ("hand travel", "hand pump"): "pass",
        ("relief at the hand pump", "hand pump"): "pass",
        ("reaches temperature", "water heater"): "caution",
        ("share from PV", "water heater"): "caution",
        ("hot water in the evening", "water heater"): "pass",
        ("mixing valve", "water heater"): "pass",
        ("cold open-circuit voltage", "hot water"): "pass",
        # The bladder tank takes the hot water's expansion: nothing closes the cold side.
        ("thermal expansion", "water heater"): "pass",
        ("relief capacity", "water heater"): "pass",
        ("isolator", "hot water"): "pass",
        # Set to 150 degF, but four modules leave it lukewarm and the grid holds 120 degF only.
        ("storage temperature", "water heater"): "caution",
        ("matched to the array", "hot water"): "caution",
    },
    "creek_cabin": {
        ("yield", "old pump"): "fail",
        ("submergence", "old pump"): "fail",
        ("inverter surge", "old pump"): "fail",
        ("test fit", "pumping test"): "pass",
        # Pumped for four hours: what a day makes of it is a band.
        ("length of the test", "pumping test"): "caution",
        ("runs dry", "old pump"): "fail",
        ("runs dry", "frugal pump"): "pass",
        ("day's water from the well", "old pump"): "pass",
        ("day's water from the well", "frugal pump"): "pass",
        ("reaches cut-out", "frugal pump"): "pass",
        ("yield", "frugal pump"): "pass",
        ("submergence", "frugal pump"): "pass",
        ("day's water", "frugal pump"): "pass",
        ("voltage drop", "frugal pump"): "pass",
        ("peak flow", "frugal pump"): "caution",
        ("array for the pump", "frugal pump"): "pass",
    },
    "village_borehole": {
        ("delivers", "solar pump"): "pass",
        ("yield", "solar pump"): "pass",
        ("day's water", "solar pump"): "pass",
        ("array for the pump", "solar pump"): "pass",
        ("cylinder under water", "hand pump"): "pass",
        ("handle force", "hand pump"): "caution",
        ("survival by hand", "hand pump"): "caution",
    },
    "poor_well": {
        # Its pump outruns the well by far, which is why it is guarded and fills a cistern.
        ("yield", "well pump"): "caution",
        ("day's water from the well", "well pump"): "pass",
        ("booster's peak", "booster"): "pass",
        ("net positive suction head", "booster"): "pass",
        ("peak flow", "storage tank"): "pass",
        ("air gap", "storage tank"): "pass",
    },
    "basement_jet": {
        ("suction lift", "jet pump"): "pass",
        ("net positive suction head", "jet pump"): "pass",
        ("prime", "jet pump"): "pass",
        ("yield", "jet pump"): "pass",
    },
    "high_pass": {("hand suction lift", "hand pump"): "fail"},
    "south_slope": {
        ("reaches temperature", "water heater"): "pass",
        ("share from PV", "water heater"): "pass",
        ("hot water in the evening", "water heater"): "pass",
        ("thermal expansion", "water heater"): "pass",
        ("element load", "element"): "pass",
    },
    "meadow_farm": {
        ("reaches cut-out", "farm pump"): "pass",
        ("yield", "farm pump"): "pass",
        ("check valve opening", "farm pump"): "pass",
        ("drop pipe pressure", "farm pump"): "pass",
        ("lateral pressure", "line to the house"): "pass",
        ("motor conductor", "farm pump"): "pass",
        ("voltage drop", "farm pump"): "pass",
        ("supply phases", "farm pump"): "pass",
        ("generator start", "farm pump"): "pass",
        ("run time", "farm pump"): "pass",
        ("water when one thing fails", "water supply"): "pass",
    },
    "hill_tank": {
        ("delivers", "solar pump"): "pass",
        ("operating voltage", "pump array"): "pass",
        # An evening's peak comes out of the tank alone: its pump has no sun then.
        ("peak flow", "storage tank"): "pass",
        ("days short of the storage tank", "storage tank"): "pass",
        ("storage tank through the night", "storage tank"): "pass",
        ("turnover of the storage tank", "storage tank"): "pass",
        # Neither grid, battery nor hand pump: the hill itself is what is left.
        ("water in the worst outage", "water supply"): "pass",
    },
    "smallest": {
        # Nobody tested the well: at rest it reaches the cut-out, drawn down to the intake not.
        ("reaches cut-out", "well pump"): "unknown",
        ("on its curve", "well pump"): "pass",
        ("yield", "well pump"): "unknown",
        ("submergence", "well pump"): "unknown",
    },
}


@pytest.fixture(params=NAMES)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_there_are_the_sites_that_the_stories_tell_of() -> None:
    assert set(STORIES) == set(NAMES)


def test_it_says_in_comment_and_note_that_it_is_invented(name: str, site: Any) -> None:
    text = site.text(name)
    assert "invented" in text.splitlines()[0]
    assert "nvented" in site.study(text).site_note


def test_it_tells_its_story(name: str, site: Any) -> None:
    results = site.study(site.text(name))
    for (rule, subject), status in STORIES[name].items():
        verdict = site.verdict(results, rule, subject)
        assert verdict.status == status, f"{rule} of {subject}: {verdict.reason.text('US')}"


def test_every_verdict_stands_on_a_reason_a_rule_and_a_source(name: str, site: Any) -> None:
    for verdict in site.study(site.text(name)).verdicts:
        for system in ("US", "SI"):
            assert len(verdict.reason.text(system)) > 10
            assert "{" not in verdict.reason.text(system)
        assert len(verdict.rule.text) > 10
        assert verdict.rule.source in SOURCES


def test_whatever_is_not_right_has_a_remedy(name: str, site: Any) -> None:
    for verdict in site.study(site.text(name)).verdicts:
        if verdict.status in ("fail", "caution"):
            assert verdict.remedy is not None, f"{verdict.rule.key} of {verdict.subject}"
            assert len(verdict.remedy.text("US")) > 10


def test_every_unknown_names_one_or_two_keys_that_exist(name: str, site: Any) -> None:
    for verdict in site.study(site.text(name)).verdicts:
        if verdict.status != "unknown":
            assert verdict.needs == ()
            continue
        assert len(verdict.needs) in (1, 2), verdict.rule.key
        for need in verdict.needs:
            path = tuple(re.sub(r"\[\d+\]", "", need).split("."))
            assert shape.field_at(path) is not None, need
            assert need in verdict.reason.text("US")


def test_every_assumption_names_its_source(name: str, site: Any) -> None:
    assumptions = site.study(site.text(name)).assumptions
    assert assumptions
    for each in assumptions:
        assert each.source in SOURCES, each.path
        assert len(each.why) > 5


def test_the_smallest_file_has_at_most_twelve_lines(site: Any) -> None:
    assert len(site.text("smallest").splitlines()) <= 12


def test_the_south_slope_passes_in_everything_but_outages(site: Any) -> None:
    # One pump, no hand pump and no storage: a week on what its two tanks hold.
    results = site.study(site.text("south_slope"))
    open_ = {verdict.rule.key for verdict in results.verdicts if verdict.status != "pass"}
    assert open_ == {"water when one thing fails", "water in the worst outage"}
    with_storage = site.text("south_slope") + '\n[storage_tank]\nvolume = "100 gal"\n'
    verdict = site.verdict(site.study(with_storage), "water in the worst outage")
    assert verdict.status == "pass"


def test_the_meadow_farm_is_bought_without_an_inch(site: Any) -> None:
    trade = re.compile(r"\d\s*(in|inch|inches|ft|gal|gpm|psi|AWG|degF)\b")
    text = site.text("meadow_farm")
    assert not trade.search(text)
    bought, results = listed("meadow_farm", text=text)
    told = [verdict.reason.text("SI") for verdict in results.verdicts]
    told += [f"{part.item} {part.size.text('SI')}" for part in bought.parts]
    told += [why.text("SI") for part in bought.parts for why in part.why]
    assert len(told) > 90
    both = re.compile(r"\d+ (in|ft) \([\d.]+ (cm|mm|m)\)")
    assert [each for each in told if trade.search(both.sub("", each))] == []
    assert [v.rule.key for v in results.verdicts if v.status != "pass"] == []


def test_the_pass_hut_is_refused_for_its_altitude_alone(site: Any) -> None:
    text = site.text("high_pass")
    refused = site.verdict(site.study(text), "hand suction lift")
    assert "2700 m" in refused.reason.text("SI")
    # Nothing is foretold of a pump that draws no water, but that nobody in the hut has any.
    dry = site.verdict(site.study(text), "water when one thing fails")
    assert [(v.rule.key, v.status) for v in site.study(text).verdicts] == [
        ("frost in the hand pump", "pass"),
        (refused.rule.key, "fail"),
        ("priming", "pass"),
        (dry.rule.key, "fail"),
    ]
    assert dry.reason.text("US").startswith("even with all in order there is 0 gal")
    at_the_sea = site.study(site.edited(text, ('altitude = "2700 m"', 'altitude = "0 m"')))
    assert site.verdict(at_the_sea, "hand suction lift").status == "pass"
    dry = site.verdict(at_the_sea, "water when one thing fails")
    assert "with all in order" not in dry.reason.text("US")


def test_the_reason_of_the_refusal_agrees_with_the_air_by_hand(site: Any) -> None:
    # International standard atmosphere: p = 101325 (1 - 2.25577e-5 h)^5.25588; vapour pressure of
    # water at 6 degC 935 Pa (steam tables, from memory); 0.60 of the theoretical lift.
    pressure = 101_325 * (1 - 2.25577e-5 * 2700) ** 5.25588
    practical = 0.60 * (pressure - 935) / (999.9 * 9.80665)
    hand = site.study(site.text("high_pass")).hand_pump
    assert hand.suction_limit == pytest.approx(practical, rel=0.005)
    # 76 mm x 110 mm, 40 strokes a minute, 90 %: 17.96 L/min, over 30 L/min/m 0.60 m of drawdown.
    flow = 3.14159265 / 4 * 0.76**2 * 1.10 * 40 * 0.90
    assert hand.suction_lift == pytest.approx(4.9 + flow / 30, rel=0.002)
    assert hand.suction_lift > hand.suction_limit
