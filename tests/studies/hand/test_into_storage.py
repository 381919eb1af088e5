"""A hand pump that fills the storage tank: its head up to the inlet, the relief valve in its line,
and what the tank then gives when all else fails."""

from __future__ import annotations

import math
from pathlib import Path

import fluids
import pytest

from tests.sharing import Case
from tests.studies.hand.village import VILLAGE, G, changed, studied, verdict
from wellsolar.results.outages import OutageCell
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.well.total_head import line_by_hand

UP = 'delivers = "storage tank"\n'
ELBOWS = '[{ kind = "90 elbow", count = 4, k = "0.9" }]'
PIPE = 'material = "PVC sch 40", size = "1 1/4 in", bore = "35 mm", length = "90 m"'
LINE = f"""line = {{ {PIPE}, fittings = {ELBOWS} }}
rising_main = {{ material = "PVC sch 40", size = "1 1/4 in", bore = "35 mm", length = "50 m" }}
"""
RELIEF = 'relief_pressure = "{}"\n'
TANK = """
[storage_tank]
volume = "3000 L"
elevation = "{}"
water_height = "1.5 m"
air_gap = "10 cm"
"""


def up(elevation: str = "9 m", relief: str = "400 kPa", more: str = "") -> str:
    return VILLAGE + UP + LINE + RELIEF.format(relief) + TANK.format(elevation) + more


def test_its_head_reaches_from_the_water_to_the_inlet() -> None:
    """40 m of rest and the drawdown of 15 L/min/m, up to 9 + 1.5 + 0.1 m, the friction of 50 m
    in the well and 90 m outside of 35 mm by Colebrook, and of four elbows of 0.9 each."""
    found = studied(up())
    duty = found.hand_pump.duty("inlet")
    flow, bore = duty.full_flow, 0.035
    speed = flow / (math.pi / 4 * bore**2)
    factor = fluids.friction_factor(Re=speed * bore / 1.27e-6, eD=1.5e-6 / bore)
    friction = (factor * 140 / bore + 4 * 0.9) * speed**2 / (2 * G)
    lift = 40 + flow / (15e-3 / 60) + 10.6
    assert duty.head - lift == pytest.approx(friction, rel=0.01)
    task = found.hand_pump.task("storage tank")
    assert (task.volume, task.place) == (0.100, "storage tank")
    assert verdict(found, "hand into the tank").status in ("pass", "caution")


def test_only_a_line_to_the_storage_tank_ends_at_its_inlet() -> None:
    """At 9 + 1.5 + 0.1 m, with no treatment before it; one to the house ends at the pressure
    tank, behind the treatment, where a storage tank stands too."""
    treated = ("[well]", '[piping]\ntank_elevation = "2 m"\ntreatment_loss = "30 kPa"\n[well]')
    for where, end in (("storage tank", (10.6, 0.0)), ("tank", (2.0, 30e3))):
        text = changed(up(), (UP, f'delivers = "{where}"\n'), treated)
        site = parse_site(text).site
        assert site.hand_pump is not None
        line = line_by_hand(site, site.hand_pump, 45.0)
        assert (line.elevation, line.treatment) == pytest.approx(end)


def test_a_handle_too_hard_for_the_hill_is_told_so() -> None:
    found = studied(changed(up("90 m", "1600 kPa"), ('lever_ratio = "8"', 'lever_ratio = "4"')))
    told = verdict(found, "hand into the tank")
    assert told.status == "fail"
    assert told.reason.template.startswith("into the storage tank, ")


@pytest.mark.parametrize(
    ("setting", "class_", "status"),
    [
        # The inlet lies 10.6 m over the ground: 104 kPa of water at rest.
        ("100 kPa", "", "fail"),
        ("130 kPa", "", "pass"),
        ("700 kPa", ', pressure_class = "700 kPa"', "pass"),
        ("710 kPa", ', pressure_class = "700 kPa"', "fail"),
        # By size and schedule alone it bears more than any such valve.
        ("2000 kPa", "", "pass"),
    ],
)
def test_its_relief_valve_opens_above_the_hill_and_within_the_line(
    setting: str, class_: str, status: str
) -> None:
    text = changed(up(relief=setting), ('length = "90 m"', f'length = "90 m"{class_}'))
    assert verdict(studied(text), "relief at the hand pump").status == status


def by_hand(text: str, key: str) -> OutageCell:
    case = Case(parse_site(text))
    found = {each.key: each for each in (case.outages.whole, *case.outages.outages)}
    return found[key].cell("hand pump")


def test_the_tank_gives_by_gravity_what_hands_pump() -> None:
    """A tank over the house presses at its taps; one level with it, or leaking, does not."""
    valveless = "spout_valve = false\n"
    text = changed(up(), ("relief_pressure", f"{valveless}relief_pressure"))
    for site, key, pressure in (
        (text, "whole", "by gravity"),
        (changed(text, ('elevation = "9 m"', 'elevation = "0 m"')), "whole", "no"),
        (text, "cistern", "no"),
    ):
        cell = by_hand(site, key)
        assert cell.pressure == pressure
        assert (cell.volume > 0.0) == (key == "whole")


BOOSTER = """
[pressure_switch]
cut_in = "200 kPa"
cut_out = "300 kPa"
[pressure_tank]
volume = "80 L"
precharge = "186 kPa"
[[pump]]
name = "booster"
kind = "suction"
draws = "storage tank"
flow = "0, 20, 40 L/min"
head = "50, 42, 28 m"
rated_power = "0.5 kW"
efficiency = "30 %"
voltage = "230 V"
supply = "AC"
[power]
grid = true
"""


def test_a_booster_presses_what_hands_pump() -> None:
    """With no powered pump on the well, a booster has what is kept and what 8 h of hands bring."""
    case = Case(parse_site(up("0 m", more=BOOSTER)))
    cell = case.outages.whole.cell("booster")
    (kept,) = [each.volume for each in case.outages.stores if each.name == "storage tank"]
    place = case.hand_pump.place("storage tank")
    assert place is not None
    assert kept < cell.volume <= kept + place.flows[-1] * 8 * 3600
    assert cell.pressure in ("yes", "short cycling")


def test_the_card_pumps_it_up_by_a_box_of_its_own() -> None:
    card = Case(parse_site(up())).card
    (box,) = [each for each in card.boxes if each.key == "hand_house"]
    assert box.title.template == "Hand pump into the storage tank"
    assert any("overflow runs" in each.template for each in box.steps)


@pytest.mark.parametrize("own", [True, False])
def test_powered_pumps_are_off_only_where_they_meet_its_line(own: bool) -> None:
    """A line of its own up to the open tank meets none; the lateral of the site does."""
    path = Path(__file__).parents[2] / "sites" / "hill_by_hand.toml"
    text = path.read_text(encoding="utf-8")
    if not own:
        text = "\n".join(each for each in text.splitlines() if "330 ft" not in each)
    card = Case(parse_site(text)).card
    (box,) = [each for each in card.boxes if each.key == "hand_house"]
    assert box.steps[0].text("US").startswith("Electric pumps OFF") != own
    never = [each.text("US") for each in card.never]
    assert any("hand pump line valve open" in each for each in never) != own
