"""No failure brings a house more water than it has with nothing out of order."""

from __future__ import annotations

import pytest

from tests.studies.outage.huts import HAND, HUT, example, outages
from wellsolar.results.outages import OutageResult

TWO_PUMPS = (
    HUT
    + HUT[HUT.index("[[pump]]") :].replace("house pump", "yard pump").replace("45 m", "40 m")
    + '[power]\ninverter_rating = "4 kVA"\ninverter_surge = "20 kVA"\nbattery_energy = "8 kWh"\n'
    + '[storage_tank]\nvolume = "4 m3"\n'
)
OWN = '[[outage]]\nname = "storm"\nfailed = ["inverter"]\ndays = 1\n'


def more_than_whole(found: OutageResult) -> list[str]:
    """The failures, and the pumps in them, that bring more water than nothing out of order."""
    links = [link.outage for link in found.links]
    most = found.whole.volume * (1.0 + 1e-9)
    better = [each.key for each in (*found.outages, *links) if each.volume > most]
    for each in (*found.outages, *links):
        for cell in each.cells:
            of_whole = found.whole.cell(cell.source)
            if cell.kind != "stored" and cell.volume > of_whole.volume * (1.0 + 1e-9):
                better.append(f"{each.key}: {cell.source}")
    return better


@pytest.mark.parametrize(
    "name", ["creek_cabin", "ridge_house", "smallest", "south_slope", "village_borehole"]
)
def test_of_the_examples(name: str) -> None:
    assert more_than_whole(outages(example(name))) == []


@pytest.mark.parametrize(
    "text", [HUT + HAND, TWO_PUMPS, TWO_PUMPS + OWN + HAND, TWO_PUMPS + "grid = false\n"]
)
def test_of_huts_with_stores_and_shared_power(text: str) -> None:
    if text.endswith("grid = false\n"):
        text = TWO_PUMPS.replace("[power]\n", "[power]\ngrid = false\n")
    found = outages(text)
    assert found.outages
    assert more_than_whole(found) == []


def test_stores_stand_in_for_what_has_failed() -> None:
    tank = '[storage_tank]\nvolume = "4 m3"\nreserve = "50 %"\n'
    found = outages(HUT + HAND + tank)
    hands = next(each for each in found.outages if each.key == "hands")
    # 2 m3 and what the pressure tank is not there to hold, over a week, beside the handle's.
    assert hands.volume == pytest.approx(hands.cell("hand pump").volume + 2.0 / 7.0)
    assert hands.volume < found.whole.volume
