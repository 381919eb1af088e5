"""A case that was changed from another has from it what no changed key decides, and no more."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from tests.properties.whole.named import tables_of
from tests.sampled import sampled
from wellsolar import kinds, site_from
from wellsolar.errors import WellsolarError
from wellsolar.site.loading.read import load_site
from wellsolar.site.locate import path_of
from wellsolar.site.schema import Site, WellTable
from wellsolar.site.table import EVERY, GIVEN, keys_read, made_once
from wellsolar.studies.asked.changed_site import changed_site, may_be_written, with_value
from wellsolar.studies.case import SECTIONS, Case, _notes
from wellsolar.studies.supply import ranking
from wellsolar.units import Quantity
from wellsolar.units import read as read_quantity
from wellsolar.verdicts import set_to

EXAMPLES = Path(__file__).parents[2] / "examples"

STUDIES = [
    study
    for section in ("pump", "supply", "tank", "hand", "outage")
    for study in SECTIONS[section]
]

CHANGES = {
    "well.static_level": (read_quantity("100 ft", kinds.LENGTH), {"pumps", "well", "hand_pump"}),
    "losses.dirt": (read_quantity("0.06", kinds.RATIO), {"supply_years"}),
    "power.battery_energy": (read_quantity("3 kWh", kinds.ENERGY), {"supply_years", "outages"}),
}


@pytest.mark.parametrize("key", sampled(CHANGES, "well.static_level"))
@pytest.mark.usefixtures("study_anew")
def test_a_changed_case_says_what_one_of_its_own_says(key: str) -> None:
    case = Case(load_site(EXAMPLES / "creek_cabin.toml"))
    for study in STUDIES:
        case.said(study)
    value, moved = CHANGES[key]
    site = with_value(case.site, path_of(key), value)
    changed, alone = case.with_site(site), Case(case.with_site(site).file)
    assert [changed.said(study) for study in STUDIES] == [alone.said(study) for study in STUDIES]
    for study in moved:
        assert changed.made[study] is not case.made[study]
    had = {study for study in STUDIES if changed.made[study] is case.made[study]}
    assert had


def test_what_is_read_is_noted_outside_too() -> None:
    site = load_site(EXAMPLES / "smallest.toml").site
    with keys_read() as outer:
        with keys_read() as inner:
            assert site.well.depth > 0.0
        assert site.pump
    assert inner == {(Site, "well"), (WellTable, "depth")}
    assert outer == {*inner, (Site, "pump")}


def test_only_what_a_site_file_may_hold_is_tried_on_it() -> None:
    rating = set_to("power.inverter_rating", "6 kVA")
    assert may_be_written([rating, set_to("pump[1].phases", 3)])
    assert not may_be_written([rating, set_to("power.inverter_surge", "900 MVA")])
    assert not may_be_written([set_to("water_heater.element[1].rated_power", "1e-300 W")])


def test_to_compare_or_to_hash_a_table_reads_all_of_it_and_to_copy_it_nothing() -> None:
    well = load_site(EXAMPLES / "smallest.toml").site.well
    with keys_read() as read:
        copied = well.model_copy(update={"depth": read_quantity("90 m", kinds.LENGTH)})
    assert read == {(WellTable, "model_copy")}
    assert (copied.depth, copied.static_level) == (90.0, well.static_level)
    assert copied.model_fields_set >= {"depth", *well.model_fields_set}
    with keys_read() as read:
        assert well != copied
    assert (WellTable, EVERY) in read
    with keys_read() as read:
        hash(well)
    assert (WellTable, EVERY) in read
    with keys_read() as read:
        assert "depth" in well.model_fields_set
    assert (WellTable, GIVEN) in read


@pytest.mark.usefixtures("study_anew")
def test_an_answer_is_found_again_after_two_other_changes() -> None:
    case = Case(load_site(EXAMPLES / "creek_cabin.toml"))
    deep, deeper = (
        with_value(case.site, ("well", "static_level"), read_quantity(text, kinds.LENGTH))
        for text in ("100 ft", "101 ft")
    )
    first = case.with_site(deep)
    other = case.with_site(with_value(case.site, ("site", "people"), 3)).with_site(deeper)
    again = other.with_site(with_value(deep, ("site", "people"), 3))
    assert other.pumps is not first.pumps
    assert again.pumps is first.pumps


@pytest.mark.usefixtures("study_anew")
def test_what_was_taken_over_from_another_site_is_not_handed_on() -> None:
    case = Case(load_site(EXAMPLES / "creek_cabin.toml"))
    assert case.pumps
    site = with_value(case.site, ("well", "static_level"), read_quantity("100 ft", kinds.LENGTH))
    kept = case.with_site(site, keep=["pumps"])
    assert kept.pumps is case.pumps
    own = case.with_site(site)
    assert own.pumps is not case.pumps
    assert kept.pressure_tank is not own.pressure_tank
    assert own.pressure_tank == case.with_site(site).pressure_tank


@pytest.mark.usefixtures("study_anew")
def test_of_a_site_that_passes_by_nothing_is_kept() -> None:
    case = Case(load_site(EXAMPLES / "creek_cabin.toml"))
    site = with_value(case.site, ("well", "static_level"), read_quantity("100 ft", kinds.LENGTH))
    passing = case.with_site(site, passing=True)
    assert passing.pumps is passing.pumps
    assert case.with_site(site).pumps is not passing.pumps


def test_what_is_made_once_is_made_of_the_very_same_tables_and_noted_again() -> None:
    made: list[WellTable] = []

    @made_once
    def bottom(well: WellTable) -> float:
        made.append(well)
        return float(well.depth)

    well = load_site(EXAMPLES / "smallest.toml").site.well
    alike = well.model_copy()
    assert bottom(well) == bottom(well) == bottom(alike)
    assert [id(each) for each in made] == [id(well), id(alike)]
    with keys_read() as read:
        bottom(well)
    assert (WellTable, "depth") in read


TABLES = {
    "pump": "pump", "hand": "hand_pump lift", "outage": "pump lift hand_pump",
    "heat": "water_heater", "match": "water_heater", "heat ranking": "water_heater",
    "supply": "module array",
}  # fmt: skip
"""Of a section the tables without all of which there is nothing to study."""


@pytest.mark.parametrize("gone", ["", *dict.fromkeys(" ".join(TABLES.values()).split())])
def test_what_a_section_has_no_table_for_is_noted(gone: str) -> None:
    """Every section alone, on a site with some of the tables and then without one of them."""
    for name in ("ridge_house", "creek_cabin", "smallest", "hill_by_hand"):
        tables = tables_of(name)
        tables.pop(gone, None)
        try:
            site = site_from(tables).site
        except WellsolarError:
            continue
        for section, wanted in TABLES.items():
            nothing = not any(tables.get(each) for each in wanted.split())
            noted = [each for each in _notes(site, [section]) if each.startswith("no ")]
            assert len([each for each in noted if "to have it studied" in each]) == nothing, (
                name, section,
            )  # fmt: skip
            if nothing:
                assert all(f"[{each}]" in noted[0] for each in wanted.split()[:1])


def test_a_well_that_no_pump_draws_from_is_noted_once_for_pumps_hands_and_outages() -> None:
    tables = tables_of("ridge_house")
    tables["other_well"] = [{"name": "old well", "depth": "100 ft", "static_level": "50 ft"}]
    idle = ["no pump draws from old well: name it in the pump's own well"]
    site = site_from(tables).site
    for sections in (["pump"], ["hand"], ["outage"], ["pump", "hand", "outage"]):
        assert [each for each in _notes(site, sections) if "draws from" in each] == idle
    assert not any("draws from" in each for each in _notes(site, ["heat", "supply"]))
    hands = site.hand_pump
    assert hands is not None
    drawn = site.model_copy(update={"hand_pump": hands.model_copy(update={"well": "old well"})})
    assert not any("draws from" in each for each in _notes(drawn, ["pump"]))


def test_a_pump_of_another_duty_has_its_curve() -> None:
    """A parabola: 4/3 of the head at no flow, the head at the flow, none at twice the flow."""
    tables = tables_of("ridge_house")
    for key in ("flow", "head", "power"):
        del tables["pump"][1][key]
    tables["pump"][1]["duty"] = {"flow": "6 gpm", "head": "240 ft"}
    site = site_from(tables).site
    for key, flow, head in (("flow", 2e-4, 240 * 0.3048), ("head", 3.785411784e-4, 60.0)):
        value = Quantity(*((flow, kinds.FLOW) if key == "flow" else (head, kinds.HEAD)))
        pump = changed_site(site, [set_to(f"pump[2].duty.{key}", value)]).pump[1]
        assert float(pump.flow[0]) == 0.0
        assert [float(each) for each in pump.head] == pytest.approx(
            [head * (4 - (float(each) / flow) ** 2) / 3 for each in pump.flow]
        )
    same = changed_site(site, [set_to("pump[2].intake_depth", Quantity(40.0, kinds.LENGTH))])
    assert same.pump[1].flow == site.pump[1].flow


def test_pumps_are_compared_by_the_darkest_months_sun(monkeypatch: pytest.MonkeyPatch) -> None:
    """That of the first supply, where there is one."""
    asked: list[Any] = []
    monkeypatch.setattr(ranking, "study_ranking", lambda *given: asked.append(given))
    for suns, worst in (((5.0, 2.0, 3.0), 2.0), ((), None)):
        months = tuple(SimpleNamespace(plane_of_array=sun) for sun in suns)
        case: Any = SimpleNamespace(
            has_modules=True, supply=(SimpleNamespace(months=months),) if suns else (),
            site="site", pumps="pumps", pressure_tank="tank", year="year", options="options",
        )  # fmt: skip
        assert Case.ranking.method(case)[0] is None
        assert asked.pop() == ("site", "pumps", "tank", "year", worst, "options")
