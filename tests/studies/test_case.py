"""A case that was changed from another has from it what no changed table decides, and no more."""

from __future__ import annotations

from pathlib import Path

import pytest

from wellsolar import kinds
from wellsolar.site.loading.read import load_site
from wellsolar.site.locate import path_of
from wellsolar.site.schema import tables_read
from wellsolar.studies.asked.changed_site import may_be_written, with_value
from wellsolar.studies.case import SECTIONS, Case
from wellsolar.units import read
from wellsolar.verdicts import set_to

EXAMPLES = Path(__file__).parents[2] / "examples"

STUDIES = [
    study
    for section in ("pump", "supply", "tank", "hand", "outage")
    for study in SECTIONS[section]
]

CHANGES = {
    "well.static_level": (read("100 ft", kinds.LENGTH), {"pumps", "well", "hand_pump"}),
    "losses.dirt": (read("0.06", kinds.RATIO), {"supply_years"}),
    "power.battery_energy": (read("3 kWh", kinds.ENERGY), {"supply_years", "outages"}),
}


@pytest.mark.parametrize("key", CHANGES)
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
    with tables_read() as outer:
        with tables_read() as inner:
            assert site.well.depth > 0.0
        assert site.pump
    assert inner == {"well"}
    assert outer == {"well", "pump"}


def test_only_what_a_site_file_may_hold_is_tried_on_it() -> None:
    rating = set_to("power.inverter_rating", "6 kVA")
    assert may_be_written([rating, set_to("pump[1].phases", 3)])
    assert not may_be_written([rating, set_to("power.inverter_surge", "900 MVA")])
    assert not may_be_written([set_to("water_heater.element[1].rated_power", "1e-300 W")])
