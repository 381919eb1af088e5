"""Thermal expansion, against densities of a handbook and Boyle's law."""

from __future__ import annotations

import re

import pytest

from tests.site_texts import edited, printed
from tests.studies.safety.sites import (
    RIGHT,
    hazard,
    mended,
    safety,
    studied,
    verdict,
    wrong,
)

PSI, GALLON, FOOT = 6894.757293168361, 3.785411784e-3, 0.3048


def air_at(altitude: float) -> float:
    """Pressure of the standard atmosphere [Pa]."""
    return 101_325 * (1 - 2.25577e-5 * altitude) ** 5.25588


@pytest.mark.parametrize("system", ["US", "SI"])
@pytest.mark.parametrize("volume", ["30", "52.7", "80", "119"])
@pytest.mark.parametrize("cut_out", ["60", "53.7", "71"])
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
