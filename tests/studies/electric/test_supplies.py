"""What a motor takes by the code's tables, and the phases and drives that it hangs on."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from tests.studies.pump.deep_pump import (
    BASE,
    FOOT,
    GPM,
    PUMP,
    SWITCH,
    pump_of,
    studied,
    verdict_of,
)
from wellsolar.studies.electric.supplies import has_no_inverter, on_the_sun

UNKNOWN_POWER = (
    BASE
    + SWITCH.format(volume=86, precharge=28)
    + PUMP.replace('power = "520, 640, 730, 790, 810 W"\n', "")
)
INVERTER = '[power]\ninverter_rating = "{rating} kVA"\ninverter_surge = "20 kVA"\n'


@pytest.mark.parametrize(
    ("motor", "amperes"),
    # NEC Tables 430.248 and 430.250 at 230 V, and 115 V of the first.
    [
        ('rated_power = "3 hp"', 17.0),
        ('rated_power = "5 hp"\nphases = 3', 15.2),
        ('rated_power = "1 1/2 hp"\nvoltage = "115 V"', 20.0),
    ],
)
def test_a_motor_of_no_curve_runs_at_its_tables_current(motor: str, amperes: float) -> None:
    text = UNKNOWN_POWER.replace('voltage = "230 V"\n', "") + motor + "\n"
    pump = pump_of(text if "voltage" in motor else text + 'voltage = "230 V"\n')
    assert pump.start.running_current == amperes
    assert pump.wire.required_ampacity == pytest.approx(1.25 * amperes)


def test_a_motor_of_unknown_size_passes_at_the_least_efficiency_alone() -> None:
    # Water power over 20 % of efficiency, at a power factor of 75 %.
    duties = pump_of(UNKNOWN_POWER + INVERTER.format(rating=99)).duties
    likely = max(duty.input_power for duty in duties)
    most = likely * 0.35 / 0.20 / 0.75 / 1000.0
    for rating, status in ((1.02 * most, "pass"), (0.98 * most, "unknown"), (0.5 * most, "fail")):
        text = UNKNOWN_POWER + INVERTER.format(rating=rating)
        assert verdict_of(text, "inverter rating").status == status
    assert verdict_of(
        UNKNOWN_POWER + INVERTER.format(rating=0.98 * most), "inverter rating"
    ).needs == ("pump[1].rated_power",)


def test_a_pump_that_the_well_holds_back_takes_the_power_of_its_own_flow() -> None:
    text = UNKNOWN_POWER.replace("0.8 gpm/ft", "0.02 gpm/ft")
    duty = pump_of(text).duties[0]
    assert duty.state == "pumps the well off"
    assert duty.flow == pytest.approx(90 * 0.02 * GPM)
    # With the water at the intake, 90 ft below its level at rest, it gives 6 to 7 gpm itself.
    assert duty.pump_flow > 3 * duty.flow
    head = duty.input_power * 0.35 / (9.80665 * 999.7 * duty.pump_flow)
    assert 150 * FOOT < head < 300 * FOOT


@pytest.mark.parametrize(
    ("keys", "status"),
    [
        ("inverter_phases = 3\ngrid_phases = 3", "pass"),
        ("inverter_phases = 1\ngrid_phases = 3", "fail"),
        ("inverter_phases = 3", "unknown"),
        ("inverter_phases = 3\ngrid = false", "pass"),
    ],
)
def test_three_phases_of_motor_and_supply(keys: str, status: str) -> None:
    three = UNKNOWN_POWER + 'rated_power = "1 hp"\nphases = 3\n'
    text = three + INVERTER.format(rating=6) + keys + "\n"
    verdict = verdict_of(text, "supply phases")
    assert verdict.status == status
    if status == "unknown":
        assert verdict.needs == ("power.grid_phases",)
    on_a_drive = text.replace(
        "phases = 3\n[power]", 'phases = 3\nstart = "variable speed"\n[power]'
    )
    assert on_a_drive != text
    assert "supply phases" not in {each.rule.key for each in studied(on_a_drive).verdicts}


def test_a_solar_drive_is_not_asked_for_an_inverter() -> None:
    drive = UNKNOWN_POWER + 'rated_power = "1 hp"\nphases = 3\nstart = "variable speed"\n'
    array = '[[array]]\nname = "roof"\nfeeds = "{feeds}"\nseries = 6\n'
    module = '[module]\nvoc = "40 V"\nisc = "10 A"\nvmp = "33 V"\nimp = "9.5 A"\ncells = 60\n'
    straight = drive + module + array.format(feeds="pump")
    rules = {each.rule.key for each in studied(straight).verdicts}
    assert not {"inverter rating", "inverter surge", "supply phases"} & rules
    assert verdict_of(drive + module + array.format(feeds="battery"), "inverter rating").needs == (
        "power.inverter_rating",
    )


@pytest.mark.parametrize(
    ("inverter", "needs"),
    [
        ('inverter_voltage = "240 V"\n', ("pump[1].voltage",)),
        ('inverter_rating = "4 kVA"\n', ("power.inverter_voltage", "pump[1].voltage")),
    ],
)
def test_a_voltage_that_is_not_told_is_not_taken_for_the_inverters(
    inverter: str, needs: tuple[str, ...]
) -> None:
    bare = UNKNOWN_POWER.replace('voltage = "230 V"\n', "")
    assert verdict_of(f"{bare}[power]\n{inverter}", "supply voltage").needs == needs


@pytest.mark.parametrize(
    ("pairs", "rating", "none"),
    [
        (["grid and generator"], None, True),
        (["grid and generator"], 4000.0, False),
        (["grid and inverter"], None, False),
        (["grid and generator", "inverter and generator"], None, False),
        ([], None, False),
        (None, None, False),
    ],
)
def test_supplies_that_are_told_and_are_no_inverter(
    pairs: list[str] | None, rating: float | None, none: bool
) -> None:
    power = dict.fromkeys(("inverter_surge", "inverter_voltage", "battery_energy"))
    site: Any = SimpleNamespace(
        power=SimpleNamespace(kept_apart=pairs, inverter_rating=rating, **power)
    )
    assert has_no_inverter(site) is none


@pytest.mark.parametrize(
    ("feeds", "told", "on_it"),
    [
        ("pump", {}, False),
        ("pump", {"solar_table": [1]}, True),
        ("pump", {"start_power": 100.0}, True),
        ("pump", {"least_voltage": 60.0}, True),
        ("pump", {"greatest_voltage": 200.0}, True),
        ("pump", {"supply": "DC"}, True),
        ("pump", {"start": "variable speed"}, True),
        ("battery", {"supply": "DC", "solar_table": [1], "start": "variable speed"}, False),
    ],
)
def test_a_pump_of_a_chain_that_modules_drive_straight(
    feeds: str, told: dict[str, Any], on_it: bool
) -> None:
    power = ("inverter_rating", "inverter_surge", "inverter_voltage", "battery_energy")
    site: Any = SimpleNamespace(
        array=[SimpleNamespace(feeds="heater"), SimpleNamespace(feeds=feeds)],
        power=SimpleNamespace(**dict.fromkeys(power)),
    )
    table: Any = SimpleNamespace(**({
        "supply": "AC", "start": "direct", "solar_table": [], "start_power": None,
        "least_voltage": None, "greatest_voltage": None,
    } | told))  # fmt: skip
    assert on_the_sun(site, table) is on_it
