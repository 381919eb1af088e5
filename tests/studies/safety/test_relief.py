"""Relief valve, vacuum relief and boiling, against the plates and the saturation line of water."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from tests.site_texts import edited, printed
from tests.studies.printed import compared, told
from tests.studies.safety.sites import RIGHT, mended, safety, studied, verdict, wrong
from wellsolar import kinds
from wellsolar.studies.safety.guarded_tank import GuardedTank
from wellsolar.studies.safety.relief import relief_verdicts
from wellsolar.units import Quantity, read
from wellsolar.verdicts import Verdict, changes_of

PSI, BTU_H = 6894.757293168361, 0.29307107


def test_a_relief_valve_too_small_for_all_elements_at_once() -> None:
    grid = (
        '[[water_heater.element]]\nposition = "upper"\nrated_power = "4500 W"\n'
        'rated_voltage = "240 V"\nfed_by = "grid"\nthermostat = "120 degF"\n'
        'high_limit_switches = "AC"\nhigh_limit_poles = 2\n'
    )
    parted = "vacuum_relief = true", "vacuum_relief = true\nsupplies_apart = true"
    both = edited(f"{RIGHT}\n{grid}", parted)
    assert safety(both).heat_input == pytest.approx(safety(RIGHT).heat_input + 4500)
    small = edited(both, ('"100000 Btu/h"', '"15000 Btu/h"'))
    assert wrong(studied(small)) == {"relief capacity": "fail"}
    for system in ("US", "SI"):
        found = verdict(small, "relief capacity")
        capacity = printed(found, r"at least (\d+ (?:Btu/h|W))", system)
        right = edited(small, ('"15000 Btu/h"', f'"{capacity}"'))
        assert wrong(studied(right)) == {}
        mended(small, found)


@pytest.mark.parametrize(
    ("altitude", "boils"),
    [("2000 ft", 208.3), ("5000 ft", 202.8), ("7000 ft", 199.2), ("10000 ft", 193.7)],
)
def test_boiling_by_altitude(altitude: str, boils: float) -> None:
    # Saturation line of IAPWS-95 at the standard atmosphere's pressure [degF].
    text = edited(RIGHT, ('altitude = "2000 ft"', f'altitude = "{altitude}"'))
    assert safety(text).boiling_temperature * 1.8 + 32 == pytest.approx(boils, abs=0.3)
    assert wrong(studied(text)) == {}


@pytest.mark.parametrize(
    ("above", "vacuum", "status"),
    [
        ("false", None, "unknown"),
        ("false", "false", "caution"),
        ("false", "true", "pass"),
        ("true", "true", "pass"),
        ("true", "false", "fail"),
        ("true", None, "unknown"),
    ],
)
def test_vacuum_relief(above: str, vacuum: str | None, status: str) -> None:
    # UPC 608.7 (2015, read) fails a tank above fixtures; IPC 504.1, from memory, cautions others.
    more = "" if vacuum is None else f"\nvacuum_relief = {vacuum}"
    old = "above_fixtures = false\nvacuum_relief = true"
    text = edited(RIGHT, (old, f"above_fixtures = {above}{more}"))
    if status in ("fail", "caution"):
        mended(text, verdict(text, "vacuum relief"))
    assert wrong(studied(text)) == ({} if status == "pass" else {"vacuum relief": status})


def test_a_relief_valve_stronger_than_a_tank_usually_is() -> None:
    text = edited(RIGHT, ('relief_pressure = "150 psi"', 'relief_pressure = "175 psi"'))
    assert wrong(studied(text)) == {"relief valve": "fail"}
    found = verdict(text, "relief valve")
    mended(text, found)
    assert printed(found, r"set to (\d+ °F)") == "210 °F"
    assert printed(found, r"and (\d+ psi)") == "150 psi"


def test_a_cut_out_too_near_the_relief_valve() -> None:
    text = edited(RIGHT, ('relief_pressure = "150 psi"', 'relief_pressure = "65 psi"'))
    rule = "pressure at the relief valve"
    # Within the margin of 10 %, which is no rule of a code: a caution. At the setting it opens.
    assert wrong(studied(text)) == {rule: "caution", "thermal expansion": "fail"}
    opens = edited(text, ('relief_pressure = "65 psi"', 'relief_pressure = "59 psi"'))
    assert wrong(studied(opens)) == {rule: "fail", "thermal expansion": "fail"}
    most = printed(verdict(text, rule), r"no more than ([\d.]+ psi)")
    # 10 % below the valve: engineer's note on expansion tanks (read).
    assert float(most.split()[0]) == pytest.approx(0.9 * 65)
    right = edited(text, ('cut_out = "60 psi"', f'cut_out = "{most}"'))
    assert rule not in wrong(studied(right))
    assert "relief valve set to 75.0 psi" in verdict(text, rule).remedy.text("US")
    mended(text, verdict(text, rule))
    weak = edited(text, ('working_pressure = "150 psi"', 'working_pressure = "65 psi"'))
    mended(weak, verdict(weak, rule))


def test_a_relief_valve_stronger_than_the_plate() -> None:
    # IPC 504.4: no more than the tank's rated working pressure, or 150 psi where that is more.
    weak = edited(RIGHT, ('working_pressure = "150 psi"', 'working_pressure = "125 psi"'))
    found = verdict(weak, "relief valve")
    assert found.status == "fail"
    assert printed(found, r"and ([\d.]+) psi") == "125"
    mended(weak, found)
    # Pumps that stop at 60 psi leave no room below a valve that suits a plate of 60 psi.
    tiny = edited(RIGHT, ('working_pressure = "150 psi"', 'working_pressure = "60 psi"'))
    assert "a tank made for 150 psi" in verdict(tiny, "relief valve").remedy.text("US")
    mended(tiny, verdict(tiny, "relief valve"))


def test_a_tank_that_can_boil_at_altitude() -> None:
    text = edited(
        RIGHT,
        ('altitude = "2000 ft"', 'altitude = "10000 ft"'),
        ('high_limit = "180 degF"', 'high_limit = "200 degF"'),
    )
    hot = {"high limit": "caution", "mixing-valve supply": "caution"}
    assert wrong(studied(text)) == {"boiling": "caution", **hot}
    mended(text, verdict(text, "boiling"))
    for system in ("US", "SI"):
        most = printed(verdict(text, "boiling"), r"no more than ([\d.]+ °[FC])", system)
        right = edited(text, ('high_limit = "200 degF"', f'high_limit = "{most}"'))
        assert wrong(studied(right)) == {}
    hotter = edited(text, ('thermostat = "150 degF"', 'thermostat = "195 degF"'))
    assert verdict(hotter, "boiling").status == "fail"


@pytest.mark.parametrize(("altitude", "status"), [("14300 ft", "pass"), ("15800 ft", "caution")])
def test_the_weather_takes_two_kelvin_off_the_boiling_point(altitude: str, status: str) -> None:
    # IAPWS-95 at the standard atmosphere: 185.5 degF at 14,300 ft, 182.7 degF at 15,800 ft; the
    # high limit of 180 degF is 5.5 degF and 2.7 degF below, the weather takes 3.6 degF.
    text = edited(RIGHT, ('altitude = "2000 ft"', f'altitude = "{altitude}"'))
    assert verdict(text, "boiling").status == status


def psi(value: float | None) -> Quantity | None:
    return None if value is None else Quantity(value * PSI, kinds.PRESSURE)


def of_tank(**other: Any) -> dict[str, Verdict]:
    """What is said of a tank of 150 psi, whose valve opens at 210 degF or 150 psi, where the pumps
    stop at 60 psi and water boils at 95 degC."""
    has = {
        "hot": 210.0, "press": 150.0, "plate": 150.0, "supply": 60.0, "limit": 135.0,
        "opens": 150.0, "capacity": 15000.0, "heat": 15000.0, "array": 0.0, "high_limit": 180.0,
        "guarded": 180.0, "hottest": 60.0, "held": None, "cut_out": 60.0, "tank": True,
        "units": "US",
    } | other  # fmt: skip
    hot, capacity = has["hot"], has["capacity"]
    limit = has["high_limit"]
    table = SimpleNamespace(
        relief_temperature=hot and read(f"{hot} degF", kinds.TEMPERATURE),
        relief_pressure=psi(has["press"]),
        working_pressure=psi(has["plate"]),
        relief_capacity=capacity and Quantity(capacity * BTU_H, kinds.HEAT_INPUT),
        high_limit=limit and read(f"{limit} degF", kinds.TEMPERATURE),
        greatest_temperature=None,
    )
    numbers = SimpleNamespace(
        heat_input=has["heat"] * BTU_H,
        array_input=has["array"] * BTU_H,
        boiling_temperature=95.0,
        guarded=(has["guarded"] - 32.0) / 1.8,
        hottest=has["hottest"],
        pressure=SimpleNamespace(
            supply=has["supply"] and has["supply"] * PSI,
            limit=has["limit"] * PSI,
            relief_pressure=has["opens"] * PSI,
            relief_temperature=(210.0 - 32.0) / 1.8,
        ),
    )
    switch = SimpleNamespace(cut_out=psi(has["cut_out"])) if has["cut_out"] else None
    site: Any = SimpleNamespace(
        site=SimpleNamespace(print_units=has["units"], altitude=Quantity(1400.0, kinds.LENGTH)),
        pump=[SimpleNamespace(held_pressure=psi(has["held"]))],
        pressure_switch=switch,
        pressure_tank=SimpleNamespace() if has["tank"] else None,
    )
    settings = (("water_heater.element[1].thermostat", has["hottest"]),)
    parts: tuple[Any, Any] = (table, numbers)
    made = GuardedTank("tank", "water_heater", settings, *parts, 999.0)
    found = {each.rule.key: each for each in relief_verdicts(site, made)}
    assert all(each.subject == "tank" for each in found.values())
    assert ("pressure at the relief valve" in found) == (has["supply"] is not None)
    return found


def made_by(found: Verdict) -> dict[str, str]:
    return {each.path: each.value.strip('"') for each in changes_of(found.remedy)}


@pytest.mark.parametrize(
    ("other", "status", "quantity", "limit", "changes"),
    [
        ({}, "pass", "210 °F, temperature", "210 °F, temperature", None),
        ({"hot": 211.0}, "fail", "211 °F, temperature", "210 °F, temperature", 150),
        ({"hot": 211.0, "press": 151.0}, "fail", "211 °F, temperature", "210 °F, temperature",
         150),
        ({"press": 151.0}, "fail", "151 psi, gauge pressure", "150 psi, gauge pressure", 150),
        # The plate counts where that is less, and never more than 150 psi.
        ({"press": 126.0, "plate": 125.0}, "fail", "126 psi, gauge pressure",
         "125 psi, gauge pressure", 125),
        ({"press": 125.0, "plate": 125.0}, "pass", "210 °F, temperature", "210 °F, temperature",
         None),
        ({"press": 151.0, "plate": 200.0}, "fail", "151 psi, gauge pressure",
         "150 psi, gauge pressure", 150),
        ({"press": 151.0, "plate": 110.0}, "fail", "151 psi, gauge pressure",
         "110 psi, gauge pressure", 100),
        # 90 psi are nine tenths of 100 psi, and 91 psi more.
        ({"press": 151.0, "plate": 110.0, "supply": 90.0}, "fail", "151 psi, gauge pressure",
         "110 psi, gauge pressure", 100),
        ({"press": 151.0, "plate": 110.0, "supply": 91.0}, "fail", "151 psi, gauge pressure",
         "110 psi, gauge pressure", None),
        ({"press": 151.0, "plate": 74.0, "supply": None}, "fail", "151 psi, gauge pressure",
         "74 psi, gauge pressure", None),
    ],
)  # fmt: skip
def test_a_relief_valve_beside_the_tanks_plate(
    other: dict[str, Any], status: str, quantity: str, limit: str, changes: int | None
) -> None:
    found = of_tank(**other)["relief valve"]
    assert compared(found) == (status, quantity, limit)
    plate = f"{({'plate': 150.0} | other)['plate']:.0f} psi, gauge pressure"
    assert told(found.reason)["plate"] == plate
    if status == "fail":
        assert told(found.remedy)["hot"] == "210 °F, temperature"
        hot = {"water_heater.relief_temperature": "210 degF"}
        press = "water_heater.relief_pressure"
        stronger = {press: "150 psi", "water_heater.working_pressure": "150 psi"}
        assert made_by(found) == hot | ({press: f"{changes} psi"} if changes else stronger)


def test_what_is_not_known_of_a_relief_valve_is_asked_unless_it_fails() -> None:
    keys = {"hot": "relief_temperature", "press": "relief_pressure", "plate": "working_pressure"}
    for key, needed in keys.items():
        assert of_tank(**{key: None})["relief valve"].needs == (f"water_heater.{needed}",)
    none = of_tank(**dict.fromkeys(keys))["relief valve"]
    assert none.needs == ("water_heater.relief_temperature", "water_heater.relief_pressure")
    failing = of_tank(hot=211.0, press=None, plate=None)["relief valve"]
    assert told(failing.reason) == {
        "hot": "211 °F, temperature", "press": "150 psi, gauge pressure"
    }  # fmt: skip


@pytest.mark.parametrize(
    ("other", "status", "rest", "sold"),
    [
        ({}, "pass", "", None),
        ({"array": 9000.0}, "pass", ": {array} from the array in the coldest bright sun and "
         "{others} from what else heats it", None),
        ({"array": 15000.0}, "pass", ": {array} from the array in the coldest bright sun", None),
        ({"capacity": 14990.0}, "fail", "", 100_000),
        ({"capacity": 14990.0, "heat": 100_001.0}, "fail", "", 105_000),
        ({"capacity": 14990.0, "heat": 200_010.0}, "fail", "", 200_010),
    ],
)  # fmt: skip
def test_what_a_relief_valve_carries_beside_the_heat(
    other: dict[str, Any], status: str, rest: str, sold: float | None
) -> None:
    found = of_tank(**other)["relief capacity"]
    has = {"capacity": 15000.0, "heat": 15000.0} | other
    assert found.status == status
    assert found.quantity == pytest.approx(has["capacity"] * BTU_H)
    assert found.limit == pytest.approx(has["heat"] * BTU_H)
    first = "it carries {carries}; the tank takes up {heat:up} at most"
    assert found.reason.template == first + rest
    if "others" in rest:
        assert found.reason.parts["others"] == pytest.approx(6000.0 * BTU_H)
    if sold:
        assert found.remedy is not None
        assert found.remedy.parts["sold"] == pytest.approx(sold * BTU_H)
        assert set(made_by(found)) == {"water_heater.relief_capacity"}
    silent = of_tank(**(other | {"capacity": None}))["relief capacity"]
    assert silent.needs == ("water_heater.relief_capacity",)


RISING = "pressure at the relief valve"
NEAR = {"supply": 91.0, "limit": 90.0, "opens": 100.0, "press": 100.0}


@pytest.mark.parametrize(
    ("other", "status", "changes"),
    [
        ({"supply": 135.0}, "pass", None),
        (NEAR | {"supply": 90.0}, "pass", None),
        # 91 psi are nine tenths of 101.1 psi: a valve of 125 psi, where the plate bears that.
        (NEAR, "caution", {"water_heater.relief_pressure": "125 psi"}),
        (NEAR | {"supply": 99.0}, "caution", {"water_heater.relief_pressure": "125 psi"}),
        (NEAR | {"supply": 100.0}, "fail", {"water_heater.relief_pressure": "125 psi"}),
        (NEAR | {"plate": 125.0}, "caution", {"water_heater.relief_pressure": "125 psi"}),
        (NEAR | {"plate": 124.0, "cut_out": 91.0}, "caution",
         {"pressure_switch.cut_in": "70 psi", "pressure_switch.cut_out": "90 psi",
          "pressure_tank.precharge": "68 psi"}),
        (NEAR | {"plate": 124.0, "cut_out": 91.0, "tank": False}, "caution",
         {"pressure_switch.cut_in": "70 psi", "pressure_switch.cut_out": "90 psi"}),
        (NEAR | {"plate": 124.0, "cut_out": 90.0, "held": 91.0}, "caution",
         {"pump[1].held_pressure": "90 psi"}),
        (NEAR | {"plate": 124.0, "cut_out": None, "held": 90.0}, "caution", {}),
        # A psi and half a one are left where a switch would go below none.
        (NEAR | {"plate": 20.0, "supply": 22.0, "limit": 20.5, "cut_out": 22.0}, "caution",
         {"pressure_switch.cut_in": "1 psi", "pressure_switch.cut_out": "20 psi",
          "pressure_tank.precharge": "0.5 psi"}),
        # No valve is sold above 150 psi.
        ({"supply": 136.0, "cut_out": 136.0}, "caution",
         {"pressure_switch.cut_in": "115 psi", "pressure_switch.cut_out": "135 psi",
          "pressure_tank.precharge": "113 psi"}),
    ],
)  # fmt: skip
def test_pumps_that_stop_near_the_relief_valve(
    other: dict[str, Any], status: str, changes: dict[str, str] | None
) -> None:
    found = of_tank(**other)[RISING]
    has = {"limit": 135.0, "opens": 150.0} | other
    words = [f"{has[key]:g} psi, gauge pressure" for key in ("supply", "limit", "opens")]
    assert compared(found) == (status, *words[:2])
    assert told(found.reason) == {
        "supply": words[0], "relief": words[2], "whose": "its setting"
    }  # fmt: skip
    if changes is not None:
        assert made_by(found) == changes


def test_a_relief_valve_that_is_not_told_opens_at_the_usual() -> None:
    assert of_tank(press=None)[RISING].needs == ("water_heater.relief_pressure",)
    found = of_tank(press=None, supply=151.0)[RISING]
    assert (found.status, found.reason.parts["whose"]) == ("fail", "the usual setting")


BOILS = "without pressure water boils at {boils} here, {altitude} up, and a deep low takes "
BOILS += "{margin} off that; "


@pytest.mark.parametrize(
    ("other", "status", "words"),
    [
        # 95 degC are 203 degF, and 93 degC 199.4 degF.
        ({"guarded": 199.4}, "pass", "the high limit stops the tank at {guard}"),
        ({"guarded": 199.4, "high_limit": None}, "pass",
         "the relief valve stops the tank at {guard}"),
        ({"guarded": 201.0}, "caution", "the high limit lets it come to {guard}"),
        ({"guarded": 201.0, "hottest": 95.0}, "fail", "the thermostat is set to {hottest}"),
        ({"guarded": 201.0, "hottest": 94.9}, "caution",
         "the high limit lets it come to {guard}"),
        ({"guarded": 201.0, "hottest": 95.0, "high_limit": None}, "fail",
         "the thermostat is set to {hottest}"),
        ({"guarded": 201.0, "high_limit": None}, "unknown", None),
    ],
)  # fmt: skip
def test_a_high_limit_beside_the_boiling_point(
    other: dict[str, Any], status: str, words: str | None
) -> None:
    found = of_tank(**other)["boiling"]
    assert found.status == status
    if words is None:
        assert found.needs == ("water_heater.high_limit",)
        return
    assert found.reason.template == BOILS + words
    assert found.quantity == pytest.approx((other["guarded"] - 32.0) / 1.8)
    assert found.limit == pytest.approx(93.0)
    assert found.reason.parts["boils"] == pytest.approx(95.0)
    assert found.reason.parts["margin"] == pytest.approx(2.0)
    if status != "pass":
        # 180 degF is the usual most of a high limit, and 5 K below it 171 degF.
        hot = other.get("hottest", 60.0) > 76.0
        below = {"water_heater.element[1].thermostat": "170 degF"} if hot else {}
        assert made_by(found) == {"water_heater.high_limit": "180 degF"} | below
