"""High limit and thermostat of a tank that an array can boil in an empty house."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI
from fluids.atmosphere import ATMOSPHERE_1976

from tests.site_texts import edited, printed
from tests.studies.safety.sites import (
    RIGHT,
    hazard,
    mended,
    on_arrays,
    studied,
    verdict,
    wrong,
)
from wellsolar.studies.safety.guarded_tank import dial_down, dial_up


@pytest.mark.parametrize("system", ["US", "SI"])
def test_a_thermostat_below_the_high_limit(system: str) -> None:
    text, found = hazard("thermostat above high limit")
    most = printed(found, r"no more than ([\d.]+ °[FC])", system)
    mended(text, found)
    right = edited(text, ('thermostat = "180 degF"', f'thermostat = "{most}"'))
    assert wrong(studied(right)) == {}


def test_a_high_limit_for_an_empty_house() -> None:
    text = edited(RIGHT, ('high_limit = "180 degF"\n', ""))
    found = verdict(text, "overheating")
    assert found.status == "fail"
    assert wrong(mended(text, found)) == {}


def test_an_array_too_small_to_boil_it_needs_no_guard() -> None:
    # 80 gal at 40 W/K above a room of 65 degF: a mean kilowatt ends 25 K above it.
    text = edited(RIGHT, ('heat_loss = "1.5 W/K"', 'heat_loss = "40 W/K"'))
    found = verdict(text, "overheating")
    assert found.status == "pass"
    assert "even without a thermostat" in found.reason.text("US")


def test_a_thermostat_that_no_one_names() -> None:
    text = edited(RIGHT, ('thermostat = "150 degF"\n', ""))
    assert wrong(studied(text)) == {"overheating": "fail"}
    mended(text, verdict(text, "overheating"))


def test_a_second_array_is_asked_for_its_thermostat_too() -> None:
    two = on_arrays(4)
    assert verdict(two, "overheating").status == "pass"
    lines = two.split("\n")
    last = max(place for place, line in enumerate(lines) if line.startswith("thermostat ="))
    text = "\n".join(lines[:last] + lines[last + 1 :])
    found = verdict(text, "overheating")
    assert found.status == "fail"
    assert "no thermostat of element 2 on east" in found.reason.text("US")
    mended(text, found)


@pytest.mark.parametrize(
    ("celsius", "down", "up"),
    # 65.56, 65.6, 68.3 and 60 degC are 150, 150.08, 154.94 and 140 degF.
    [(590 / 9, 150, 150), (65.6, 150, 155), (68.3, 150, 155), (60.0, 140, 140)],
)
def test_a_dial_is_set_in_steps_of_5_degrees(celsius: float, down: int, up: int) -> None:
    for dial, wanted in ((dial_down(celsius), down), (dial_up(celsius), up)):
        assert dial == pytest.approx((wanted - 32) / 1.8)
        assert dial.text("US") == f"{wanted} °F"


def test_high_up_the_water_boils_before_the_relief_valve_opens() -> None:
    """Where CoolProp has it at the air's pressure of 10,000 ft, 697 hPa by the standard
    atmosphere: 90 degC."""
    text = edited(RIGHT, ('altitude = "2000 ft"', 'altitude = "10000 ft"'),
                  ('high_limit = "180 degF"\n', ""))  # fmt: skip
    found = verdict(text, "overheating")
    air = ATMOSPHERE_1976(10000 * 0.3048).P
    boils = PropsSI("T", "P", air, "Q", 0, "Water") - 273.15
    assert found.status == "fail"
    assert found.limit == pytest.approx(boils, abs=0.05)
    assert found.reason.parts["boils"] == pytest.approx(boils, abs=0.05)
    assert found.reason.parts["relief"] == pytest.approx((210 - 32) / 1.8)
    assert found.quantity == 100.0
    low = verdict(edited(RIGHT, ('high_limit = "180 degF"\n', "")), "overheating")
    # At 2,000 ft it boils half a kelvin below the valve: one temperature to a reader.
    assert "boils" not in low.reason.parts
    home = studied(text).heated_tank
    days = found.reason.parts["time"]
    assert days == pytest.approx(home.nobody_home.days_to_relief * 86_400)


def test_contacts_that_nobody_rated_stop_nothing() -> None:
    text = edited(RIGHT, ('thermostat_switches = "relay"\n', ""))
    found = verdict(text, "overheating")
    assert found.status == "unknown"
    assert found.needs == ("water_heater.element[1].thermostat_switches",)


@pytest.mark.parametrize(
    ("limit", "thermostat", "status"),
    [
        # Service texts have 170 to 180 degF by hand reset; no code's figure is known.
        ("180 degF", "170 degF", "pass"),
        ("181 degF", "170 degF", "caution"),
        ("209 degF", "180 degF", "caution"),
        ("180 degF", "175 degF", "caution"),
        ("210 degF", "170 degF", "fail"),
        ("180 degF", "180 degF", "fail"),
    ],
)
def test_a_high_limit_no_hotter_than_usual(limit: str, thermostat: str, status: str) -> None:
    text = edited(
        RIGHT,
        ('high_limit = "180 degF"', f'high_limit = "{limit}"'),
        ('"150 degF"', f'"{thermostat}"'),
    )
    found = verdict(text, "high limit")
    assert found.status == status
    if status != "pass":
        mended(text, found)


def test_a_high_limit_above_what_the_tank_is_made_for() -> None:
    made_for = 'high_limit = "180 degF"\ngreatest_temperature = "{} degF"'
    old = 'high_limit = "180 degF"'
    assert verdict(edited(RIGHT, (old, made_for.format(180))), "high limit").status == "pass"
    weak = edited(RIGHT, (old, made_for.format(175)))
    assert verdict(weak, "high limit").status == "fail"
    mended(weak, verdict(weak, "high limit"))
