"""Thermal expansion, against densities of a handbook and Boyle's law."""

from __future__ import annotations

import re
from itertools import product
from types import SimpleNamespace
from typing import Any

import pytest

from tests.sampled import every
from tests.site_texts import edited, printed
from tests.studies.printed import compared, told
from tests.studies.safety.sites import (
    RIGHT,
    hazard,
    mended,
    safety,
    studied,
    verdict,
    wrong,
)
from wellsolar import kinds
from wellsolar.studies.safety import numbers
from wellsolar.studies.safety.expansion import expansion_verdicts
from wellsolar.units import Quantity, read
from wellsolar.verdicts import Verdict, changes_of

PSI, GALLON, FOOT = 6894.757293168361, 3.785411784e-3, 0.3048


def air_at(altitude: float) -> float:
    """Pressure of the standard atmosphere [Pa]."""
    return 101_325 * (1 - 2.25577e-5 * altitude) ** 5.25588


@pytest.mark.parametrize(
    ("system", "volume", "cut_out"),
    every(product(["US", "SI"], ["30", "52.7", "80", "119"], ["60", "53.7", "71"]), 5),
)
def test_an_expansion_tank_of_the_size_it_names(system: str, volume: str, cut_out: str) -> None:
    text, _ = hazard("check valve without expansion tank")
    text = edited(
        text,
        ('volume = "80 gal"', f'volume = "{volume} gal"'),
        ('cut_out = "60 psi"', f'cut_out = "{cut_out} psi"'),
    )
    found = verdict(text, "thermal expansion")
    mended(text, found)
    size = printed(found, r"at least ([\d.]+ (?:gal|L))", system)
    charge = printed(found, r"precharged to ([\d.]+ (?:psi|kPa))", system)
    right = edited(
        text,
        ("expansion_tank = false", "expansion_tank = true"),
        ('expansion_tank_volume = "14 gal"', f'expansion_tank_volume = "{size}"'),
        ('precharge = "60 psi"', f'precharge = "{charge}"'),
    )
    assert wrong(studied(right)) == {}
    unit = 1.0 if system == "US" else GALLON * 1000
    small = f"{float(size.split()[0]) * 0.97:.3f} {'gal' if unit == 1.0 else 'L'}"
    tight = edited(right, (f'volume = "{size}"', f'volume = "{small}"'))
    assert wrong(studied(tight)) == {"thermal expansion": "fail"}


def test_expansion_by_the_densities_of_a_handbook() -> None:
    # Pounds per gallon at 60 psi: 8.3446 at 50 degF, 8.0999 at 180 degF (IAPWS-95).
    grown = 80 * (8.3446 / 8.0999 - 1)
    assert grown == pytest.approx(2.417, abs=0.001)  # gal
    pressure = safety(RIGHT).pressure
    assert pressure.expansion / GALLON == pytest.approx(grown, rel=0.005)
    assert pressure.limit / PSI == pytest.approx(135.0)
    air = air_at(2000 * FOOT) / PSI
    # Boyle: the air of a tank charged to 60 psi and pressed to 80 psi, the most that the plumbing
    # code allows a house (IPC 607.3 with 604.8, in a city's print).
    least = grown / (1 - (60 + air) / (80 + air))
    assert pressure.expansion_tank / GALLON == pytest.approx(least, rel=0.006)
    after = (60 + air) * 14 / (14 - grown) - air
    assert pressure.after / PSI == pytest.approx(after, rel=0.01)


def test_expansion_into_the_bladder_tank_of_the_house() -> None:
    text = edited(RIGHT, ("check_valve = true", "check_valve = false"))
    assert wrong(studied(text)) == {}
    air, grown = air_at(2000 * FOOT) / PSI, 80 * (8.3446 / 8.0999 - 1)
    room = 44 * (38 + air) / (60 + air)  # gal of air at cut-out
    after = (60 + air) * room / (room - grown) - air
    found = verdict(text, "thermal expansion")
    assert found.quantity / PSI == pytest.approx(after, rel=0.003)
    tight = edited(text, ('volume = "44 gal"', 'volume = "5 gal"'))
    found = verdict(tight, "thermal expansion")
    assert found.status == "fail"
    mended(tight, found)
    needed = printed(found, r"at least ([\d.]+ gal)")
    share = (38 + air) / (60 + air) - (38 + air) / (135 + air)
    assert float(needed.split()[0]) == pytest.approx(grown / share, rel=0.006)
    right = edited(tight, ('volume = "5 gal"', f'volume = "{needed}"'))
    assert wrong(studied(right)) == {}
    # The valve opens at 150 psi; from 135 psi on only our own margin is used up.
    for reached, status in ((149, "caution"), (151, "fail")):
        volume = grown / ((38 + air) / (60 + air) - (38 + air) / (reached + air))
        near = edited(text, ('volume = "44 gal"', f'volume = "{volume:.3f} gal"'))
        assert wrong(studied(near)) == {"thermal expansion": status}
    tiny = edited(text, ('volume = "44 gal"', 'volume = "2 gal"'))
    assert "has no room" in verdict(tiny, "thermal expansion").reason.text("US")


@pytest.mark.parametrize(
    ("cut_out", "held", "most"),
    [(60, (), 60), (60, (52,), 60), (60, (45, 65, 52), 65), (None, (45, 58, 52), 58)],
)
def test_the_water_grows_from_the_highest_pressure_at_which_a_pump_stops_or_that_one_holds(
    cut_out: int | None, held: tuple[int, ...], most: int
) -> None:
    """Into 14 gal charged to 40 psi, by Boyle."""
    text = edited(
        RIGHT, ('expansion_tank_precharge = "60 psi"', 'expansion_tank_precharge = "40 psi"')
    )
    switch = '[pressure_switch]\ncut_in = "40 psi"\ncut_out = "60 psi"\n'
    assert switch in text
    text = text if cut_out else text.replace(switch, "")
    for number, pressure in enumerate(held):
        text += (
            f'[[pump]]\nname = "pump {number}"\nintake_depth = "150 ft"\n'
            'flow = "0, 4, 8 gpm"\nhead = "420, 380, 300 ft"\nvoltage = "230 V"\n'
            f'start = "variable speed"\nheld_pressure = "{pressure} psi"\n'
        )
    pressure = safety(text).pressure
    assert pressure.supply / PSI == pytest.approx(most)
    air, grown = air_at(2000 * FOOT) / PSI, 80 * (8.3446 / 8.0999 - 1)
    room = 14 * (40 + air) / (most + air)
    after = (most + air) * room / (room - grown) - air
    assert pressure.after / PSI == pytest.approx(after, rel=0.01)


def test_pumps_that_stop_above_80_psi_leave_no_room_behind_a_check_valve() -> None:
    high = edited(RIGHT, ('cut_out = "60 psi"', 'cut_out = "85 psi"'))
    found = verdict(high, "thermal expansion")
    assert found.status == "fail"
    assert "stop at 85.0 psi" in found.reason.text("US")
    open_side = edited(high, ("check_valve = true", "check_valve = false"))
    assert verdict(open_side, "thermal expansion").status == "pass"


def test_a_tank_of_unknown_size_is_told_how_large_one_would_do() -> None:
    """In both systems of units, the same volume and pressure."""
    lacking = edited(RIGHT, ('expansion_tank_volume = "14 gal"\n', ""))
    found = verdict(lacking, "thermal expansion")
    assert found.status == "unknown"
    words = found.reason.text("US")
    number = r"([\d.,]+)"
    sizes = re.search(rf"{number} gal or {number} L is enough", words)
    charge = re.search(rf"a precharge of {number} psi or {number} kPa", words)
    assert sizes is not None, words
    assert charge is not None, words
    # Told to a few digits, and rounded up.
    assert float(sizes[1]) * GALLON * 1e3 == pytest.approx(float(sizes[2]), rel=0.02)
    assert float(charge[1]) * PSI / 1e3 == pytest.approx(float(charge[2]), rel=0.02)


def of_heater(**other: Any) -> Verdict:
    """What is said of water that grows by 2 gal up to 180 degF, from 60 psi, into an expansion
    tank behind a check valve, where it comes to 70 psi of the 80 psi that are allowed."""
    has = {
        "check": True, "tank": True, "volume": 14.0, "charge": 60.0, "supply": 60.0,
        "limit": 80.0, "after": 70.0, "needed": 20.0, "tank_needed": 44.0, "house": 1,
        "high_limit": 180.0, "second": None, "units": "US",
    } | other  # fmt: skip

    def pressure(value: float | None) -> float | None:
        return None if value is None else value * PSI

    heater: Any = SimpleNamespace(
        check_valve=has["check"],
        expansion_tank=has["tank"],
        expansion_tank_volume=has["volume"],
        expansion_tank_precharge=has["charge"],
        high_limit=has["high_limit"],
    )
    numbers = SimpleNamespace(
        supply=pressure(has["supply"]),
        expansion=2.0 * GALLON,
        expansion_limit=has["limit"] * PSI,
        after=pressure(has["after"]),
        expansion_tank=has["needed"] and has["needed"] * GALLON,
        tank_needed=has["tank_needed"] and has["tank_needed"] * GALLON,
    )
    second = has["second"] and SimpleNamespace(guarded=(has["second"] - 32.0) / 1.8)
    safe: Any = SimpleNamespace(guarded=148.0 / 1.8, second=second, pressure=numbers)
    site: Any = SimpleNamespace(
        site=SimpleNamespace(print_units=has["units"]),
        pressure_tank=SimpleNamespace(count=has["house"]) if has["house"] else None,
    )
    (found,) = expansion_verdicts(site, heater, safe)
    assert found.subject == "water heater"
    return found


def made_by(found: Verdict) -> dict[str, str]:
    return {each.path: each.value.strip('"') for each in changes_of(found.remedy)}


@pytest.mark.parametrize(
    ("other", "needs"),
    [
        ({"check": None}, ("water_heater.check_valve",)),
        ({"tank": None}, ("water_heater.expansion_tank",)),
        ({"volume": None}, ("water_heater.expansion_tank_volume",)),
        ({"charge": None}, ("water_heater.expansion_tank_precharge",)),
        ({"volume": None, "charge": None}, ("water_heater.expansion_tank_volume",
                                            "water_heater.expansion_tank_precharge")),
        ({"volume": None, "charge": None, "supply": None},
         ("water_heater.expansion_tank_volume", "pressure_switch.cut_out")),
        ({"supply": None}, ("pressure_switch.cut_out",)),
        ({"check": False, "house": None}, ("pressure_tank.volume",)),
        ({"check": False, "house": None, "supply": None},
         ("pressure_tank.volume", "pressure_switch.cut_out")),
        ({"after": 81.0, "high_limit": None}, ("water_heater.high_limit",)),
    ],
)  # fmt: skip
def test_what_is_not_known_of_an_expansion_is_asked(
    other: dict[str, Any], needs: tuple[str, ...]
) -> None:
    found = of_heater(**other)
    assert found.needs == needs
    enough = "20.0 gal or 75.8 L is enough at a precharge of 60.0 psi or 414 kPa"
    behind = "water_heater.expansion_tank_volume" in needs or "_precharge" in needs[0]
    assert (enough in found.reason.text("US")) == (
        behind and other.get("supply", 60.0) is not None
    )


GROWS = "up to {hot} {water} grows by {grown} and goes "
LIFTS = "; there it lifts the pressure from {supply} to {after}"
INTO, BACK = "into the expansion tank", "back into the pressure tank"
OPEN = {"check": False, "tank": None}


@pytest.mark.parametrize(
    ("other", "status", "words", "after"),
    [
        ({"after": 80.0}, "pass", GROWS + INTO + LIFTS, 80),
        # 80 psi end it behind a check valve; a valve that opens at 100 psi, else.
        ({"after": 81.0}, "fail", GROWS + INTO + LIFTS, 81),
        ({"after": 69.0, "limit": 68.0}, "caution", GROWS + INTO + LIFTS, 69),
        ({"after": 75.5, "limit": 68.0}, "caution", GROWS + INTO + LIFTS, 75.5),
        ({"after": 76.0, "limit": 68.0}, "fail", GROWS + INTO + LIFTS, 76),
        (OPEN | {"after": 90.0, "limit": 90.0}, "pass", GROWS + BACK + LIFTS, 90),
        (OPEN | {"after": 100.0, "limit": 90.0}, "caution", GROWS + BACK + LIFTS, 100),
        (OPEN | {"after": 101.0, "limit": 90.0}, "fail", GROWS + BACK + LIFTS, 101),
        ({"after": None}, "fail", GROWS + INTO + ", which has no room for it at {supply}", None),
        (OPEN | {"after": None}, "fail", GROWS + BACK + ", which has no room for it at {supply}",
         None),
    ],
)  # fmt: skip
def test_what_an_expansion_lifts_the_pressure_to(
    other: dict[str, Any], status: str, words: str, after: float | None
) -> None:
    found = of_heater(**other)
    assert found.reason.template == words
    parts = {
        "grown": "2 gal, volume", "hot": "180 °F, temperature", "water": "the water",
        "supply": "60 psi, gauge pressure",
    }  # fmt: skip
    if after is None:
        assert (found.status, found.quantity) == (status, None)
    else:
        limit = f"{other.get('limit', 80.0):g} psi, gauge pressure"
        parts["after"] = f"{after:g} psi, gauge pressure"
        assert compared(found) == (status, parts["after"], limit)
    assert told(found.reason) == parts
    assert found.claims == (("water_heater.expansion_tank",) if INTO in words else ())


@pytest.mark.parametrize(("second", "hot"), [(170.0, 180), (190.0, 190)])
def test_both_tanks_grow(second: float, hot: int) -> None:
    found = of_heater(second=second)
    assert found.reason.parts["water"] == "the water of both tanks"
    assert told(found.reason)["hot"] == f"{hot} °F, temperature"


@pytest.mark.parametrize(
    ("supply", "limit", "check", "status"),
    [
        (85.0, 80.0, True, "fail"),
        (72.0, 70.0, True, "caution"),
        # A limit of 70 psi is nine tenths of 77.8 psi.
        (77.7, 70.0, True, "caution"),
        (78.0, 70.0, False, "fail"),
        (80.5, 75.0, True, "fail"),
        (80.5, 75.0, False, "caution"),
    ],
)
def test_pumps_that_alone_come_to_more_than_the_limit(
    supply: float, limit: float, check: bool, status: str
) -> None:
    found = of_heater(supply=supply, limit=limit, after=supply, check=check)
    stops = f"{supply:g} psi, gauge pressure"
    assert compared(found) == (status, stops, f"{limit:g} psi, gauge pressure")
    assert told(found.reason)["supply"] == stops
    assert told(found.remedy) == {"limit": f"{limit:g} psi, gauge pressure"}
    assert "stop at" in found.reason.text("US")


@pytest.mark.parametrize(
    ("other", "start", "sold", "volume"),
    [
        # Of 19.8 gal 20 are sold; 0.5 % are left for rounding, and above 34 gal none is.
        ({"needed": 19.8}, "an expansion tank of {sold:up}", 20.0, 20.0),
        ({"needed": 19.95}, "an expansion tank of {sold:up}", 34.0, 34.0),
        ({"needed": 40.0}, "expansion tanks of at least {needed:up} in all", None, 40.2),
        ({"needed": None}, "an expansion tank between the check valve", None, None),
        ({"supply": None}, "an expansion tank between the check valve", None, None),
    ],
)
def test_the_expansion_tank_that_a_check_valve_asks_for(
    other: dict[str, Any], start: str, sold: float | None, volume: float | None
) -> None:
    found = of_heater(tank=False, **other)
    assert found.status == "fail"
    assert "with nowhere to go" in found.reason.text("US")
    assert found.remedy is not None
    assert found.remedy.template.startswith(start)
    if volume is None:
        room = "at that pressure no tank has room" if "needed" in other else "its volume follows"
        assert found.remedy.by_hand.startswith(room)
        return
    changes = made_by(found)
    assert set(changes) == {
        f"water_heater.expansion_tank{end}" for end in ("", "_volume", "_precharge")
    }
    charge = read(changes["water_heater.expansion_tank_precharge"], kinds.PRESSURE)
    assert charge == pytest.approx(60.0 * PSI)
    bought = read(changes["water_heater.expansion_tank_volume"], kinds.VOLUME)
    assert bought == pytest.approx(volume * GALLON)
    assert found.remedy.parts["needed"] == pytest.approx(1.005 * other["needed"] * GALLON)
    if sold:
        assert found.remedy.parts["sold"] == pytest.approx(sold * GALLON)


@pytest.mark.parametrize(
    ("other", "each"),
    [
        ({"tank_needed": 44.0}, 44.0),
        ({"tank_needed": 45.0}, 52.0),
        ({"tank_needed": 88.0, "house": 2}, 44.0),
        ({"tank_needed": 90.0, "house": 2}, 52.0),
        ({"tank_needed": 240.0, "house": 2}, 120.6),
        ({"tank_needed": None}, None),
    ],
)
def test_the_pressure_tanks_that_an_expansion_asks_for(
    other: dict[str, Any], each: float | None
) -> None:
    found = of_heater(**OPEN, after=None, **other)
    assert found.remedy is not None
    if each is None:
        assert told(found.remedy) == {"supply": "60 psi, gauge pressure"}
        assert not found.remedy.changes
        return
    assert found.remedy.parts["needed"] == pytest.approx(other["tank_needed"] * GALLON)
    assert found.remedy.parts["count"] == str(other.get("house", 1))
    bought = found.remedy.parts["each"]
    assert isinstance(bought, Quantity)
    assert bought == pytest.approx(each * GALLON)
    needed = found.remedy.parts["needed"]
    assert isinstance(needed, Quantity)
    assert (bought.kind, needed.kind) == (kinds.VOLUME, kinds.VOLUME)
    assert set(made_by(found)) == {"pressure_tank.volume"}


@pytest.mark.parametrize(
    ("switch", "held", "most"), [(4.0, (), 4.0), (4.0, (3.0, 5.0), 5.0), (None, (), None)]
)
def test_the_highest_pressure_of_the_pumps(
    switch: float | None, held: tuple[float, ...], most: float | None
) -> None:
    pumps = [SimpleNamespace(held_pressure=each) for each in (None, *held)]
    made = None if switch is None else SimpleNamespace(cut_out=switch)
    site: Any = SimpleNamespace(pressure_switch=made, pump=pumps)
    assert numbers._supply_pressure(site) == most
