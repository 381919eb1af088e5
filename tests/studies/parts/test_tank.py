"""The pressure tank of a parts list, against the verdict it clears."""

from __future__ import annotations

import math

import pytest

from tests.properties.whole.plain import TWO
from tests.studies.parts.listing import FOOT, GALLON, PSI, listed, part, status


def test_a_small_pressure_tank_is_listed_as_large_as_the_least_run_asks() -> None:
    found, results = listed("south_slope", ["pressure_tank.volume=20 gal"])
    assert status(results, "run time", "soft-start pump") == "fail"
    tank = part(found, "pressure tank")
    assert tank.state == "to change"
    flow = results.pressure_tank.cycles[0].pump_flow if results.pressure_tank else 0.0
    air = 101_325 * (1 - 2.25577e-5 * 1200 * FOOT) ** 5.25588
    held = (28 * PSI + air) * (1 / (30 * PSI + air) - 1 / (50 * PSI + air))
    volume = tank.size.parts["needed"]
    assert isinstance(volume, float)
    sold = tank.size.parts["one"]
    assert isinstance(sold, float)
    assert sold >= volume
    assert float(volume) == pytest.approx(flow * 60 / held, rel=0.01)
    gallons = math.ceil(float(volume) / GALLON)
    _, after = listed("south_slope", [f"pressure_tank.volume={gallons} gal"])
    assert status(after, "run time", "soft-start pump") == "pass"


def test_a_storage_tank_too_small_for_the_night_is_to_be_changed() -> None:
    """The hill tank's longest night takes 158 gal; modules are not what it lacks."""
    small, _ = listed("hill_tank", ['storage_tank.volume="130 gal"'])
    line = part(small, "storage tank")
    assert line.state == "to change"
    assert "gal" in " ".join(each.text("US") for each in line.why)
    assert not [each for each in small.parts if each.of == "through the year"]
    few, _ = listed("hill_tank", ['well.tested_yield="0.2 gpm"'])
    assert part(few, "module", "through the year").state == "to add"


@pytest.mark.parametrize("stronger", ["steady", "second"])
def test_the_relief_valve_is_told_the_pump_that_presses_hardest(stronger: str) -> None:
    """400.5 ft of shut-off head less 60 ft of lift and 6 ft to the tank: 145 psi; 300.5 ft press
    with 101.6 psi."""
    weak = TWO.split('head = "400.5, 400, 1 ft"')
    heads = ["400.5, 400, 1 ft", "300.5, 300, 1 ft"]
    first, second = heads if stronger == "steady" else heads[::-1]
    text = f'{weak[0]}head = "{first}"{weak[1]}head = "{second}"{weak[2]}'
    valve = part(listed("", text=text)[0], "tank relief valve")
    told = " ".join(each.text("US") for each in valve.why)
    assert f"{stronger} can hold 145 psi" in told
