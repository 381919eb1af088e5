"""Valves and elements of the heated tanks."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest
from CoolProp.CoolProp import PropsSI

from tests.site_texts import EXAMPLES
from tests.studies.parts.listing import FOOT, GALLON, PSI, lines_by_hand, listed, part, status
from wellsolar import kinds
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.studies.parts import heat
from wellsolar.studies.parts.study import study_parts
from wellsolar.studies.safety.relief import CAPACITY, RELIEF
from wellsolar.units import Quantity


def test_a_tank_hotter_than_120_wants_valves_at_tank_and_fixtures() -> None:
    text = (EXAMPLES / "south_slope.toml").read_text(encoding="utf-8")
    lines = text.split("\n")
    at = next(n for n, line in enumerate(lines) if line.startswith("[water_heater.mixing_valve]"))
    del lines[at : at + 3]
    without = "\n".join(lines)
    found, results = listed("south_slope", ["water_heater.fixture_valves=false"], without)
    assert status(results, "mixing valve", "water heater") == "fail"
    valve, fixtures = part(found, "mixing valve"), part(found, "fixture valve")
    assert (valve.state, fixtures.state) == ("to add", "to add")
    assert "ASSE 1017" in valve.size.text("US")
    assert "120 °F" in valve.size.text("US")
    assert "ASSE 1016" in fixtures.size.text("US")
    settings = ["water_heater.mixing_valve.outlet=120 degF"]
    settings += [
        "water_heater.mixing_valve.standard=ASSE 1017",
        "water_heater.fixture_valves=true",
    ]
    again, after = listed("south_slope", settings, without)
    assert status(after, "mixing valve", "water heater") == "pass"
    assert status(after, "scald protection at fixtures", "fixtures") == "pass"
    assert part(again, "mixing valve").state == "in the file"


def test_a_check_valve_wants_an_expansion_tank_of_the_computed_size() -> None:
    found, _ = listed("south_slope", ["water_heater.expansion_tank=false"])
    tank = part(found, "expansion tank")
    assert tank.state == "to add"
    # 30 gal from 68 to 170 degF, densities by CoolProp; from 50 psi up to the 80 psi of
    # the plumbing code by Boyle's law, at 1200 ft of standard atmosphere.
    cold, hot = (PropsSI("D", "T", (f - 32) / 1.8 + 273.15, "P", 5e5, "Water") for f in (68, 170))
    grown = 30 * GALLON * (cold / hot - 1)
    air = 101_325 * (1 - 2.25577e-5 * 1200 * FOOT) ** 5.25588
    needed = grown / (1 - (50 * PSI + air) / (80 * PSI + air))
    volume = tank.size.parts["volume"]
    assert isinstance(volume, float)
    assert needed <= float(volume) == pytest.approx(needed, rel=0.02)
    gallons = math.ceil(float(volume) / GALLON * 100) / 100
    settings = [
        f"water_heater.expansion_tank_volume={gallons} gal",
        "water_heater.expansion_tank_precharge=50 psi",
    ]
    _, after = listed("south_slope", settings)
    assert status(after, "thermal expansion", "water heater") == "pass"


def test_a_tank_that_the_battery_heats_has_its_valves_too() -> None:
    text = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")
    text = text.replace('fed_by = "hot water"', 'fed_by = "inverter"')
    found, results = listed("ridge_house", text=text)
    assert results.heated_tank is None
    assert part(found, "mixing valve").state == "in the file"
    # Both elements at 4500 W: 30 709 Btu/h of 3.41214 Btu/h each watt.
    assert "30710 Btu/h" in part(found, "heater relief valve").size.text("US")
    assert not [each for each in found.parts if each.item == "relay or controller"]


@pytest.mark.parametrize(
    ("keys", "state", "size"),
    [
        ("", "to check", "closes while the battery is full"),
        ('surplus_switch = "none"', "to add", "closes while the battery is full"),
        # 3800 W at 240 V are 15.8 A.
        ('surplus_switch = "relay"\nsurplus_switch_current = "10 A"', "to change", "10.0 A"),
        ('surplus_switch = "relay"\nsurplus_switch_current = "25 A"', "in the file", "25.0 A"),
    ],
)
def test_an_element_on_the_surplus_has_what_keeps_it_off_while_the_battery_is_not_full(
    keys: str, state: str, size: str
) -> None:
    text = (EXAMPLES / "south_slope.toml").read_text(encoding="utf-8")
    assert '"3800 W"' in text
    fed = 'fed_by = "hot water"'
    assert fed in text
    file = parse_site(text.replace(fed, f'fed_by = "inverter"\n{keys}'))
    found = study_parts(file.site, study_site(file, ("match",)))
    switch = part(found, "relay or controller", "element on the inverter")
    assert switch.state == state
    assert size in switch.size.text("US")


def test_a_tank_downstream_has_its_own_element_and_relief() -> None:
    text = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")
    text += """
[water_heater.second_tank]
volume = "40 gal"
heat_loss = "1.2 W/K"
rated_power = "3000 W"
thermostat = "125 degF"
"""
    found, _ = listed("ridge_house", text=text)
    assert part(found, "heating element", "second tank").size.text("US").startswith("3000 W")
    relief = part(found, "second tank relief valve")
    # 3000 W x 3.41214 Btu/h each watt.
    assert "10237 Btu/h" in relief.size.text("US")
    assert relief.state == "to add"


@pytest.mark.parametrize("left_out", [None, 0, 1, 2])
@pytest.mark.parametrize(
    ("relief", "capacity", "shown", "state"),
    [
        (None, None, None, None),
        ("pass", "pass", "capacity", None),
        ("fail", "pass", "relief", "to change"),
        ("caution", "unknown", "relief", "to change"),
        ("unknown", "pass", "relief", None),
    ],
)
def test_the_relief_valve_of_a_tank(
    monkeypatch: pytest.MonkeyPatch,
    relief: str | None,
    capacity: str | None,
    shown: str | None,
    state: str | None,
    left_out: int | None,
) -> None:
    """It opens at 210 degF (IPC 504.4) and 150 psi (from memory), where the file does not tell it
    or is wrong."""
    monkeypatch.setattr(heat, "_below", lambda lines, of: None)
    told: list[Any] = [Quantity(90.0, kinds.TEMPERATURE), Quantity(6e5, kinds.PRESSURE), 9000.0]
    if left_out is not None:
        told[left_out] = None
    keys = ("relief_temperature", "relief_pressure", "relief_capacity")
    table = SimpleNamespace(**dict(zip(keys, told, strict=True)))
    tank: Any = SimpleNamespace(
        subject="water heater", path="water_heater", table=table,
        safety=SimpleNamespace(heat_input=4500.0),
    )  # fmt: skip
    said = [
        SimpleNamespace(rule=rule, subject="water heater", status=status)
        for rule, status in ((RELIEF, relief), (CAPACITY, capacity))
        if status is not None
    ]
    lines = lines_by_hand(None, None, said)
    heat._relief(lines, tank)
    (line,) = lines.put
    # What passes is shown by the capacity only where something is left out.
    if shown == "capacity" and left_out is None:
        shown = "relief"
    assert line.verdict is ({"relief": said[0], "capacity": said[1]}[shown] if shown else None)
    assert line.state == (state or ("in the file" if left_out is None else "to add"))
    usual = {"p0": (210 - 32) / 1.8, "p1": 150 * PSI}
    for place, name in enumerate(usual):
        if told[place] is None or state == "to change":
            assert float(line.size.parts[name]) == pytest.approx(usual[name], rel=1e-6)
        else:
            assert line.size.parts[name] == told[place]
    assert line.size.parts["p2"] == 4500.0
