"""What a storage tank between well and house gives when a link of the chain fails, by hand."""

from __future__ import annotations

import pytest

from tests.studies.outage.huts import GALLON, event, example, outages
from wellsolar.results.outages import OutageResult

SITE = """
[site]
people = 3
[demand]
daily_use = "200 gal/day"
[well]
depth = "405 ft"
static_level = "60 ft"
tested_yield = "0.5 gpm"
tested_pumping_level = "380 ft"
[piping]
tank_elevation = "8 ft"
[pressure_switch]
cut_in = "30 psi"
cut_out = "50 psi"
[storage_tank]
volume = "1400 gal"
reserve = "50 %"
[[pump]]
name = "well pump"
delivers = "storage tank"
intake_depth = "390 ft"
flow = "0, 2, 4, 6, 8 gpm"
head = "640, 590, 500, 380, 200 ft"
voltage = "230 V"
dry_run_protection = true
[[pump]]
name = "booster"
kind = "suction"
draws = "storage tank"
flow = "0, 5, 10, 15 gpm"
head = "160, 150, 125, 70 ft"
power = "300, 400, 450, 480 W"
voltage = "115 V"
locked_rotor_current = "30 A"
cable = { gauge = "10 AWG", length = "20 ft" }
[power]
inverter_rating = "3 kVA"
inverter_surge = "9 kVA"
inverter_voltage = "115 V"
battery_energy = "5 kWh"
[[outage]]
name = "the well runs dry"
failed = ["well"]
days = 7
"""
DAYS = 7
KEPT = 700 * GALLON / DAYS
"""Half of the tank is there when an outage begins, for seven days."""

YIELD = 720 * GALLON


@pytest.fixture(scope="module")
def found() -> OutageResult:
    return outages(SITE)


def test_a_booster_brings_no_water_of_its_own(found: OutageResult) -> None:
    """The well gives half a gallon a minute; the booster could pass thousands of gallons."""
    assert found.whole.volume == pytest.approx(YIELD)
    assert found.whole.cell("booster").volume == pytest.approx(YIELD + KEPT)
    assert found.whole.cell("booster").limit == "what the storage tank has"
    assert found.whole.cell("well pump").pressure == "no"
    assert found.whole.pressure == "yes"


def test_the_battery_gives_what_the_tank_kept_under_pressure(found: OutageResult) -> None:
    """Without the grid the pump of 230 V stands; the booster of 115 V runs on the inverter."""
    grid = event(found, "grid")
    assert grid.cell("well pump").volume == 0.0
    assert (grid.cell("booster").power, grid.cell("booster").pressure) == ("inverter", "yes")
    assert grid.cell("booster").volume == pytest.approx(KEPT)
    assert grid.volume == pytest.approx(KEPT)
    assert grid.pressure == "yes"


def test_each_link_fails_alone(found: OutageResult) -> None:
    by_key = {each.name: each for each in found.outages}
    assert by_key["booster"].volume == pytest.approx(YIELD)
    assert by_key["booster"].pressure == "no"
    assert by_key["well pump"].volume == pytest.approx(KEPT)
    assert by_key["well pump"].pressure == "yes"
    tank = by_key["storage tank"]
    assert tank.cell("booster").limit == "the storage tank has failed"
    # The pipe that fills the tank still runs.
    assert tank.volume == pytest.approx(YIELD)
    assert tank.pressure == "no"
    dry = by_key["the well runs dry"]
    assert dry.volume == pytest.approx(KEPT)
    assert dry.pressure == "yes"
    hands = by_key["no power at all"]
    assert (hands.volume, hands.pressure) == (pytest.approx(KEPT), "no")


def test_a_tank_up_the_hill_gives_by_gravity_when_all_else_fails() -> None:
    """Three quarters of 800 gal over seven days, at 90 ft."""
    hill = outages(example("hill_tank"))
    hands = event(hill, "hands")
    assert hands.volume == pytest.approx(600 * GALLON / DAYS)
    assert hands.pressure == "by gravity"
    assert event(hill, "cistern").pressure == "no"
    low = SITE.replace("[storage_tank]", '[storage_tank]\nelevation = "-6 ft"')
    assert event(outages(low), "hands").pressure == "no"
