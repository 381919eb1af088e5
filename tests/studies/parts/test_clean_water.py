"""Parts and cautions that keep water clean: each where its thing is, and nowhere else."""

from __future__ import annotations

import math

import pytest

from tests.site_texts import EXAMPLES, edited
from tests.studies.card.cards import HAND, HEATER, HOUSE
from tests.studies.parts.listing import listed, part
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.asked.cautions import there

RIDGE = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")
VILLAGE = (EXAMPLES / "village_borehole.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "change", "shows"),
    [
        (RIDGE, ("[piping]\n", "[piping]\n"), False),
        # The casing ends in a pit; it is wide enough to fall into; nobody knows how wide it is.
        (RIDGE, ('casing_height = "18 in"', 'casing_height = "-4 ft"'), True),
        (RIDGE, ('casing_bore = "6.065 in"', 'casing_bore = "36 in"'), True),
        (RIDGE, ('casing_bore = "6.065 in"\n', ""), True),
        (VILLAGE, ("[piping]\n", "[piping]\n"), True),
    ],
)
def test_the_air_of_pits_is_told_where_somebody_could_climb_in(
    text: str, change: tuple[str, str], shows: bool
) -> None:
    site = parse_site(edited(text, change)).site
    assert bool(there(site, ("pits and open wells",))) == shows


def test_a_treated_house_has_its_bypass_and_every_relief_valve_its_pipe() -> None:
    found, _ = listed("ridge_house")
    assert part(found, "treatment bypass").state == "to check"
    assert "bypass" in part(found, "disinfectant").why[1].template
    reliefs = [each for each in found.parts if each.item.endswith("relief valve")]
    pipes = [each for each in found.parts if each.item == "discharge pipe"]
    assert len(pipes) == sum("vacuum" not in each.item for each in reliefs) == 3
    assert part(found, "frost drain").state == "in the file"
    bare, _ = listed("village_borehole")
    names = {each.item for each in bare.parts}
    assert "vent and overflow" in names
    assert not names & {"treatment bypass", "discharge pipe", "drain pan", "frost drain"}


def test_a_full_tank_has_its_stand_and_the_heaviest_string_its_rig() -> None:
    """86 gal of water weigh 718 lb, 8.35 lb to the gallon; 90 kg are 882.6 N."""
    found, results = listed("ridge_house")
    assert "718 lbf" in part(found, "tank stand", "pressure tank").size.text("US")
    rig = part(found, "lifting rig").size.text("US")
    most = max(results.casing.strings, key=lambda each: each.weight)
    assert most.name in rig
    assert f"{math.ceil(most.weight / 4.44822)} lbf" in rig
    second = HEATER.replace("[[water_heater.element]]", SECOND_TANK + "[[water_heater.element]]")
    found, _ = listed("", text=HOUSE + second)
    assert "883 N" in part(found, "tank stand", "second tank").size.text("SI")


SECOND_TANK = """[water_heater.second_tank]
volume = "90 L"
heat_loss = "1 W/K"
rated_power = "2000 W"
thermostat = "55 degC"
"""


def test_valves_of_a_sucking_hand_pump_and_of_a_tank_on_the_grid_alone_are_listed() -> None:
    """The card moves them, and a vessel that nothing relieves bursts."""
    hand = HAND.replace('cylinder_depth = "30 m"', 'kind = "suction"\ndelivers = "tank"')
    shallow = HOUSE.replace('static_level = "20 m"', 'static_level = "4 m"')
    found, _ = listed("", text=shallow + hand + HEATER)
    for name in ("hand pump check valve", "hand pump line valve", "spout valve", "frost drain",
                 "heater cold valve", "heater drain", "heater relief valve"):  # fmt: skip
        assert part(found, name).state == "to check"
    assert part(found, "hand pump relief valve").state == "to add"
