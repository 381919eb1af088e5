"""Every procedure of the owner's card and of the commissioning sheet, walked from rest and back.

The usual run takes the shipped sites and a few random ones. The long one takes 500 of them, in
portions of some minutes:

    .venv/bin/python -m pytest -n 0 -m long tests/studies/plumbing
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.properties.whole.named import NAMED, tables_of
from tests.properties.whole.strategy import Tables, can_be_read, sample
from tests.studies.plumbing.machine import (
    House,
    card_faults,
    moved,
    relief_faults,
    sheet_faults,
    unlisted,
)
from wellsolar import site_from
from wellsolar.results.card import CardResult
from wellsolar.results.moves import (
    ALL_HEAT,
    ALL_PUMPS,
    EMPTY,
    HANDLE,
    HEATER_WATER,
    OFF,
    ON,
    OPEN,
    SHUT,
    TAP,
    TRANSFER,
    Move,
    pump_switch,
)
from wellsolar.site.part_names import COLD, FROST_DRAIN, HAND_LINE, HEATER_DRAIN, SPOUT
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.case import Case
from wellsolar.studies.parts.study import study_parts
from wellsolar.studies.pump.verdicts import never_stops

FEW, MANY, PORTIONS = 6, 500, 5

PARTS = ("pump", "tank", "hand", "heat")
"""Sections from which the parts are listed."""


def faults_of(tables: Tables) -> list[str]:
    """What is wrong in any procedure of a site, in frost and out of it."""
    case = Case(site_from(tables))
    card: CardResult | None = case.card
    torn = {
        outage.key
        for outage in ([] if case.outages is None else case.outages.outages)
        if "pressure tank" in outage.failed
    }
    parts = study_parts(case.site, case.results(PARTS)).parts
    wrong = [*relief_faults(case.site, parts), *unlisted(case.site, parts)]
    for frost in (True, False):
        if card is not None:
            wrong += card_faults(case.site, card, _weak(case.equipment.low), torn, frost)
        wrong += sheet_faults(case.site, case.sheet, _weak(case), frost)
    return wrong


def _weak(case: Studied) -> frozenset[str]:
    """Pumps that are found not to reach what stops them."""
    verdicts = case.said("pumps").verdicts
    return frozenset(pump.name for pump in case.pumps if never_stops(verdicts, pump.name))


@pytest.mark.parametrize("name", [*NAMED, "starter"])
def test_no_step_hurts_and_all_end_at_rest(name: str) -> None:
    assert faults_of(tables_of(name)) == []


def test_no_step_of_random_sites_hurts() -> None:
    sites = [site for site in sample(FEW, start=5) if can_be_read(site)]
    assert sites
    assert {n: found for n, site in enumerate(sites) if (found := faults_of(site))} == {}


@pytest.mark.long
@pytest.mark.parametrize("portion", range(PORTIONS))
def test_no_step_of_many_random_sites_hurts(portion: int) -> None:
    wrong, walked = {}, 0
    for number, site in list(enumerate(sample(MANY, start=6)))[portion::PORTIONS]:
        if not can_be_read(site):
            continue
        walked += 1
        found = faults_of(site)
        if found:
            wrong[number] = found
    print(f"\nprocedures walked on {walked} random sites")
    assert wrong == {}


def test_the_card_moves_what_the_site_has() -> None:
    card = Case(site_from(tables_of("ridge_house"))).card
    things = moved((*card.failures, *card.boxes))
    assert {HAND_LINE, SPOUT, FROST_DRAIN, COLD, HEATER_DRAIN, ALL_PUMPS, ALL_HEAT, TAP,
            HANDLE, TRANSFER, HEATER_WATER} <= things  # fmt: skip


PUMP = pump_switch("house pump")


@pytest.mark.parametrize(
    ("moves", "fault"),
    [
        ([(HAND_LINE, OPEN)], "a powered pump presses into the hand pump"),
        ([(pump_switch("frugal pump"), ON)], "two pumps on at once"),
        ([(HANDLE, ON)], "hand pump and powered pump at once"),
        ([(ALL_PUMPS, OFF), (SPOUT, SHUT), (HANDLE, ON)],
         "the hand pump works against a shut valve"),
        ([(ALL_PUMPS, OFF), (HAND_LINE, OPEN), (HANDLE, ON)],
         "the tank empties itself at the spout"),
        ([(ALL_PUMPS, OFF), (FROST_DRAIN, OPEN), (HANDLE, ON)],
         "what is pumped runs out of the frost drain"),
        ([(COLD, SHUT)], "a heater that is heated is cut off from where its water expands"),
        ([(HEATER_DRAIN, OPEN)], "the heater is drained with its heat on"),
        ([(ALL_HEAT, OFF), (HEATER_WATER, EMPTY), (ALL_HEAT, ON)],
         "an element is heated in a tank that is not full"),
        ([(TRANSFER, "inverter")],
         "Move(thing='transfer switch', to='inverter') under a pump that runs"),
    ],
)  # fmt: skip
def test_the_machine_sees_what_hurts(moves: list[tuple[str, str]], fault: str) -> None:
    """The states that the card and the sheet must never pass through."""
    site = site_from(tables_of("ridge_house")).site
    house = House(site, frost=False, usual=("house pump",)).at_rest()
    assert list(house.faults()) == []
    found: list[str] = []
    for thing, to in moves:
        assert fault not in found
        found += house.do(Move(thing, to))
    assert fault in found


def test_a_pump_without_the_tanks_air_needs_an_open_tap() -> None:
    site = site_from(tables_of("ridge_house")).site
    house = House(site, frost=False, bladder=False).at_rest()
    assert house.do(Move(PUMP, ON)) == ["house pump on against a shut line"]
    assert house.do(Move(TAP, OPEN)) == []
    assert house.do(Move(TAP, SHUT)) == ["house pump on against a shut line"]


def test_a_vessel_is_seen_that_nothing_relieves() -> None:
    """Without the key of the file its valve is bought, and tried before the vessel works."""
    tables = tables_of("ridge_house")
    del tables["pressure_tank"]["relief_pressure"]
    case = Case(site_from(tables))
    parts = study_parts(case.site, case.results(PARTS)).parts
    assert relief_faults(case.site, parts) == []
    without = [each for each in parts if each.item != "tank relief valve"]
    assert relief_faults(case.site, without) == [
        "tank: neither file nor parts have its tank relief valve"
    ]
    steps = tuple(each for each in case.sheet.steps if each.key != "relief")
    found = sheet_faults(case.site, replace(case.sheet, steps=steps), frozenset(), frost=False)
    for vessel in ("tank", "heater"):
        assert any(f"the {vessel} is at work before its {vessel} relief valve" in each
                   for each in found)  # fmt: skip
