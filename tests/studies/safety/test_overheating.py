"""High limit and thermostat of a tank that an array can boil in an empty house."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest
from CoolProp.CoolProp import PropsSI
from fluids.atmosphere import ATMOSPHERE_1976

from tests.site_texts import edited, printed
from tests.studies.printed import compared, told
from tests.studies.safety.sites import (
    RIGHT,
    hazard,
    mended,
    on_arrays,
    studied,
    verdict,
    wrong,
)
from wellsolar import kinds
from wellsolar.studies.safety import overheating
from wellsolar.studies.safety.guarded_tank import GuardedTank, dial_down, dial_up
from wellsolar.units import Quantity
from wellsolar.verdicts import changes_of


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


def degf(value: float | None) -> Any:
    return None if value is None else Quantity((value - 32) / 1.8, kinds.TEMPERATURE)


def safety_of(hottest: float, boils: float = 212, others: tuple[str, ...] = ()) -> Any:
    """A tank set to so much, whose relief valve opens at 210 degF."""
    return SimpleNamespace(
        hottest=float(degf(hottest)), guarded=float(degf(180)), others=others,
        boiling_temperature=float(degf(boils)),
        pressure=SimpleNamespace(relief_temperature=float(degf(210))),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("limit", "hottest", "plate", "boils", "status", "found", "mark", "mend"),
    [
        # The thermostat 9 degF below it (common practice, no source); itself below plate and
        # relief valve, at most 180 degF (service texts, undated).
        (180, 140, None, 212, "pass", 140, 180, []),
        (180, 171, None, 212, "pass", 171, 180, []),
        (180, 172, None, 212, "caution", 172, 180, ['t="170 degF"']),
        (180, 179, None, 212, "caution", 179, 180, ['t="170 degF"']),
        (180, 180, None, 212, "fail", 180, 180, ['t="170 degF"']),
        (181, 140, None, 212, "caution", 181, 180, ['tank.high_limit="180 degF"']),
        (181, 175, None, 212, "caution", 181, 180, ['tank.high_limit="180 degF"', 't="170 degF"']),
        (209, 140, None, 212, "caution", 209, 180, ['tank.high_limit="180 degF"']),
        (210, 140, None, 212, "fail", 210, 210, ['tank.high_limit="180 degF"']),
        (180, 140, 180, 212, "pass", 140, 180, []),
        # A dial of 5 degF; the boiling point less 3.6 degF, in the mountains.
        (180, 140, 179, 212, "fail", 180, 179, ['tank.high_limit="175 degF"']),
        (181, 140, None, 178, "caution", 181, 180, ['tank.high_limit="170 degF"']),
        (181, 140, None, 179, "caution", 181, 180, ['tank.high_limit="175 degF"']),
    ],
)
def test_a_high_limit_has_its_place(
    limit: float, hottest: float, plate: float | None, boils: float, status: str, found: float,
    mark: float, mend: list[str],
) -> None:  # fmt: skip
    table: Any = SimpleNamespace(high_limit=degf(limit), greatest_temperature=degf(plate))
    tank = GuardedTank("a tank", "tank", (("t", float(degf(hottest))),), table,
                       safety_of(hottest, boils), math.inf)  # fmt: skip
    judged = overheating.high_limit_verdict(tank)
    assert judged.subject == "a tank"
    assert compared(judged) == (status, f"{found} °F, temperature", f"{mark} °F, temperature")
    assert [str(each) for each in changes_of(judged.remedy)] == mend
    parts = {"setpoint": f"{hottest} °F, temperature", "limit": f"{limit} °F, temperature",
             "relief": "210 °F, temperature"}  # fmt: skip
    parts |= {"plate": "179 °F, temperature"} if plate == 179 else {}
    parts |= {"upper": "180 °F, temperature"} if 180 < limit < 210 else {}
    assert told(judged.reason) == parts
    if mend and mend[0].startswith("t="):
        assert told(judged.remedy) == {"most": "171 °F, temperature"}
    elif mend:
        assert told(judged.remedy) == {
            "fits": f"{mend[0].split(chr(34))[1].split()[0]} °F, temperature"
        }
    bare: Any = SimpleNamespace(high_limit=None)
    untold = GuardedTank("a tank", "tank", (), bare, safety_of(140), math.inf)
    assert overheating.high_limit_verdict(untold).needs == ("tank.high_limit",)


def heated(
    hottest: float | None, boils: float = 212, others: tuple[str, ...] = (),
    days: float | None = 3.0, setpoint: float = 150,
) -> Any:  # fmt: skip
    """A tank that gets so hot in an empty house, in three clear days."""
    alone = None if hottest is None else SimpleNamespace(
        hottest=float(degf(hottest)), days_to_relief=days
    )  # fmt: skip
    return SimpleNamespace(
        nobody_home=alone, safety=safety_of(150, boils, others), setpoint=float(degf(setpoint))
    )


@pytest.mark.parametrize(
    ("hottest", "boils", "others", "can"),
    [
        # Whichever comes first: the relief valve's 210 degF or boiling.
        (210, 212, (), True), (209, 212, (), False), (195, 195, (), True), (194, 195, (), False),
        (100, 212, ("second array",), True), (None, 212, (), True),
    ],
)  # fmt: skip
def test_whether_sun_boils_a_tank(
    hottest: float | None, boils: float, others: tuple[str, ...], can: bool
) -> None:
    assert overheating.can_boil(heated(hottest, boils, others)) is can


@pytest.mark.parametrize(("boils", "shown"), [(212, False), (209, False), (208, True)])
@pytest.mark.parametrize("days", [3.0, None])
def test_how_soon_sun_drives_a_tank(boils: float, shown: bool, days: float | None) -> None:
    """A boiling point is told where it lies a kelvin, 1.8 degF, below the relief valve."""
    template, parts = overheating.driven_by_sun(heated(220, boils, days=days))
    assert ("without pressure it boils at {boils}" in template) is shown
    assert parts.get("boils") == (degf(boils) if shown else None)
    assert parts["relief"] == degf(210)
    assert parts.get("time") == (None if days is None else 3 * 86_400.0)
    assert ("within {time} of clear weather" in template) is (days is not None)


def fed(*thermostats: float | None) -> list[overheating.OnSun]:
    elements: list[Any] = [SimpleNamespace(thermostat=degf(each)) for each in thermostats]
    return [
        overheating.OnSun(each, f"element[{number}]", number, f"array {number}")
        for number, each in enumerate(elements, 1)
    ]


def guard(status: str, *needs: str) -> Any:
    return SimpleNamespace(status=status, needs=needs)


@pytest.mark.parametrize(
    ("result", "limit", "guards", "status", "shown", "needs"),
    [
        (heated(None), 180, (), "unknown", None, ("site.latitude",)),
        (heated(None), None, (), "unknown", None, ("site.latitude", "water_heater.high_limit")),
        (heated(209), None, (), "pass", 209, ()),
        (heated(194, 195), None, (), "pass", 194, ()),
        (heated(220), 180, (guard("pass"),), "pass", 180, ()),
        (heated(220), 180, (guard("pass"), guard("fail")), None, None, ()),
        (heated(220), 180, (guard("unknown", "a", "b"), guard("unknown", "c")), "unknown", None,
         ("a", "b")),
        (heated(220), 180, (guard("unknown", "a"), guard("unknown", "a", "c")), "unknown", None,
         ("a",)),
        (heated(220), 180, (guard("unknown", "a"), guard("fail", "c")), None, None, ()),
        (heated(220), None, (guard("pass"),), "fail", 220, ()),
    ],
)  # fmt: skip
@pytest.mark.parametrize("count", [1, 2])
def test_what_stops_a_tank_with_nobody_home(
    monkeypatch: pytest.MonkeyPatch, result: Any, limit: float | None, guards: Any,
    status: str | None, shown: float | None, needs: tuple[str, ...], count: int,
) -> None:  # fmt: skip
    monkeypatch.setattr(overheating, "_guards", lambda *_: None)
    heater: Any = SimpleNamespace(high_limit=degf(limit))
    found = overheating.overheating_verdict(fed(*[140.0] * count), heater, result, guards)
    if status is None:
        assert found is None
        return
    assert found is not None
    assert (found.status, found.subject, found.needs) == (status, "water heater", needs)
    if shown is None:
        return
    boils = 195 if shown == 194 else 210
    assert compared(found)[1:] == (f"{shown} °F, temperature", f"{boils} °F, temperature")
    if status == "fail":
        assert found.reason.parts["missing"] == "high limit"
    elif shown == 180:
        both = "thermostats and high limit" if count == 2 else "thermostat and high limit"
        assert found.reason.parts["guards"] == both


def test_which_guards_lack() -> None:
    named: Any = SimpleNamespace(high_limit=degf(180))
    bare: Any = SimpleNamespace(high_limit=None)
    assert overheating._missing(fed(140), named) == []
    assert overheating._missing(fed(None), bare) == ["thermostat", "high limit"]
    assert overheating._missing(fed(140, None), named) == ["thermostat of element 2 on array 2"]


@pytest.mark.parametrize(
    ("thermostat", "limit", "setpoint", "mend", "below"),
    [
        # 9 degF below the high limit, on a dial of 5 degF, and no hotter than the tank is set.
        (None, 180, 150, ['element[1].thermostat="150 degF"'], 170),
        (None, 180, 175, ['element[1].thermostat="170 degF"'], 170),
        (None, 170, 175, ['element[1].thermostat="160 degF"'], 160),
        (None, None, 175,
         ['element[1].thermostat="170 degF"', 'water_heater.high_limit="180 degF"'], 170),
        (140, None, 150, ['water_heater.high_limit="180 degF"'], 170),
    ],
)  # fmt: skip
def test_the_guards_that_are_to_come(
    monkeypatch: pytest.MonkeyPatch, thermostat: float | None, limit: float | None,
    setpoint: float, mend: list[str], below: float,
) -> None:  # fmt: skip
    monkeypatch.setattr(overheating, "breaks_of", lambda _: ("made for it", {}))
    monkeypatch.setattr(overheating, "studied_element", lambda _: None)
    heater: Any = SimpleNamespace(
        high_limit=degf(limit), greatest_temperature=None, mixing_valve=None, second_tank=None,
        element=[SimpleNamespace(thermostat=degf(thermostat or 140), fed_by="roof")],
    )  # fmt: skip
    found = overheating._guards(fed(thermostat), heater, heated(220, setpoint=setpoint))
    assert [str(each) for each in found.changes] == mend
    parts = told(found)
    assert parts["below"] == f"{below} °F, temperature"
    if limit is None:
        assert (parts["low"], parts["high"]) == ("170 °F, temperature", "180 °F, temperature")
    assert ("a thermostat for each" in found.template) is (thermostat is None)
    assert ("a high limit with hand reset" in found.template) is (limit is None)
