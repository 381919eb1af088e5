"""The owner's card: the right steps in the right order, for the equipment that a site has.

The sites are invented. Strokes and volumes are checked by arithmetic written out here.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from wellsolar.results import CardBlock, CardResult
from wellsolar.site.loading.read import parse_site
from wellsolar.site.starter import starter_text
from wellsolar.studies.case import study_site
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence

EXAMPLES = Path(__file__).parents[2] / "examples"

HOUSE = """
[site]
people = 6
print_units = "SI"
[demand]
survival_use = "15 L/day"
daily_use = "600 L/day"
[well]
depth = "60 m"
static_level = "20 m"
specific_capacity = "20 L/min/m"
water_temperature = "11 degC"
[piping]
tank_elevation = "2 m"
[piping.lateral]
material = "polyethylene SIDR"
size = "1 1/4 in"
length = "20 m"
[pressure_switch]
cut_in = "200 kPa"
cut_out = "300 kPa"
[pressure_tank]
volume = "300 L"
precharge = "186 kPa"
[[pump]]
name = "house pump"
role = "existing"
intake_depth = "45 m"
flow = "0, 10, 20, 30 L/min"
head = "110, 100, 80, 50 m"
power = "500, 600, 700, 750 W"
voltage = "230 V"
rated_power = "0.55 kW"
locked_rotor_current = "20 A"
"""

HAND = """
[hand_pump]
bore = "50 mm"
stroke = "150 mm"
lever_ratio = "6"
cylinder_depth = "30 m"
"""

HEATER = """
[water_heater]
volume = "200 L"
heat_loss = "1.5 W/K"
[[water_heater.element]]
position = "lower"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "grid"
"""


def example(name: str) -> str:
    return (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")


def card(text: str) -> CardResult:
    found = study_site(parse_site(text), ("card",)).card
    assert found is not None
    return found


def texts(sentences: tuple[Sentence, ...]) -> list[str]:
    return [each.text("SI") for each in sentences]


def failure(found: CardResult, key: str) -> CardBlock:
    return next(each for each in found.failures if key in each.key.split("+"))


def box(found: CardResult, key: str) -> CardBlock:
    return next(each for each in found.boxes if each.key == key)


def has_box(found: CardResult, key: str) -> bool:
    return any(each.key == key for each in found.boxes)


def steps(block: CardBlock) -> list[str]:
    return texts(block.steps)


def place(lines: list[str], *words: str) -> int:
    """The first line that holds all the words."""
    return next(i for i, line in enumerate(lines) if all(word in line for word in words))


def sentences(found: CardResult) -> Iterator[Sentence]:
    for block in (*found.failures, *found.boxes):
        yield from (block.title, *block.signs, *block.steps, *block.notes)
    yield from (*found.never, *found.blanks, *found.closing)


def everything(found: CardResult) -> str:
    return "\n".join(each.text("SI") for each in sentences(found)).lower()


def of_site(name: str) -> str:
    return starter_text() if name == "starter" else example(name)


SITES = ["ridge_house", "creek_cabin", "village_borehole", "high_pass", "south_slope", "smallest",
         "starter"]  # fmt: skip


@pytest.mark.parametrize("name", SITES)
def test_every_box_that_is_named_is_there_and_each_is_named(name: str) -> None:
    found = card(of_site(name))
    told = " ".join(line for each in (*found.failures, *found.boxes) for line in steps(each))
    named = set(re.findall(r"box ([A-Z])", told))
    assert named == {each.letter for each in found.boxes if each.letter}


@pytest.mark.parametrize("name", SITES)
def test_every_number_is_finite_and_prints_in_both_systems(name: str) -> None:
    for each in sentences(card(of_site(name))):
        assert all(math.isfinite(number) for number in each.quantities().values())
        for system, other in (("US", r"\d (L|kPa|m)\b"), ("SI", r"\d (gal|psi|ft)\b")):
            text = each.text(system)  # type: ignore[arg-type]
            assert not re.search(other, text), text


@pytest.mark.parametrize("name", SITES)
def test_point_to_no_power_only_where_that_failure_stands(name: str) -> None:
    found = card(of_site(name))
    pointed = "NO POWER AT ALL" in " ".join(line for e in found.failures for line in steps(e))
    titles = " ".join(each.title.text("SI").lower() for each in found.failures)
    assert not pointed or "no power at all" in titles


def test_every_outage_of_the_study_is_under_one_title() -> None:
    found = study_site(parse_site(example("ridge_house")), ("outage", "card"))
    assert found.card is not None
    assert found.outages is not None
    keys = [key for each in found.card.failures for key in each.key.split("+")]
    assert sorted(keys) == sorted(each.key for each in found.outages.outages)


def test_failures_with_the_same_steps_stand_together() -> None:
    found = card(example("ridge_house"))
    titles = [each.title.text("US") for each in found.failures]
    assert titles == [
        "Power line down, even with little sun for 7 days",
        "Inverter dead, or battery dead",
        "Pump dead: house pump or frugal pump",
        "Pressure tank's bladder torn",
        "No power at all",
    ]
    assert len({tuple(steps(each)) for each in found.failures}) == len(found.failures)


def test_only_what_the_site_has_is_spoken_of() -> None:
    told = everything(card(example("smallest")))
    for word in (
        "hand pump", "spout", "heater", "solar", "transfer", "inverter", "battery", "bladder",
        "house valve", "handle", "relief",
    ):  # fmt: skip
        assert word not in told
    told = everything(card(HOUSE + HAND))
    for word in ("spout valve", "house valve", "heater", "solar", "transfer switch"):
        assert word not in told


def test_where_nothing_lifts_water_it_says_so_and_what_to_get() -> None:
    found = card(HOUSE)
    lines = steps(failure(found, "grid"))
    assert lines[0].startswith("Nothing here lifts water now")
    assert place(lines, "Before the next time get") == 1
    high = steps(failure(card(example("high_pass")), "whole"))
    assert place(high, "suction does not reach") == 1


def test_hand_pump_into_the_house_in_its_order() -> None:
    """Breakers off, the ways that must be shut, the way that must be open, then strokes."""
    found = card(HOUSE + HAND + 'delivers = "tank"\n')
    lines = steps(box(found, "hand_house"))
    off = place(lines, "Electric pumps OFF")
    valves = place(lines, "CLOSE spout valve", "OPEN house valve")
    strokes = place(lines, "strokes,", "gauge 200 kPa to 300 kPa")
    stop = place(lines, "Stop at 300 kPa")
    drain = place(lines, "CLOSE house valve", "then OPEN frost drain")
    assert off < valves < strokes < stop < drain
    assert lines[valves].index("CLOSE") < lines[valves].index("OPEN")


def test_hand_pump_at_its_spout_in_its_order() -> None:
    found = card(HOUSE + HAND + 'delivers = "tank"\n')
    lines = steps(box(found, "hand_spout"))
    off = place(lines, "Electric pumps OFF")
    valves = place(lines, "CLOSE house valve", "OPEN spout valve")
    bucket = place(lines, "fill a bucket of 20 L")
    assert off < valves < bucket < place(lines, "Done: CLOSE spout valve")
    never = " ".join(texts(found.never))
    assert "switch an electric pump ON while the spout valve is open" in never
    assert "work the hand pump against a closed valve" in never


def test_valves_of_a_hand_pump_that_stands_dry_are_shut_all_the_same() -> None:
    dry = HAND.replace('cylinder_depth = "30 m"', 'cylinder_depth = "15 m"')
    found = card(HOUSE + dry + 'delivers = "tank"\n')
    assert not has_box(found, "hand_house")
    assert not has_box(found, "hand_spout")
    assert place(steps(box(found, "pump")), "CLOSE spout valve", "OPEN house valve") == 0
    assert "Spout valve" in texts(found.blanks)


def test_without_a_spout_valve_none_is_named() -> None:
    found = card(HOUSE + HAND + 'delivers = "tank"\nspout_valve = false\n')
    assert not has_box(found, "hand_spout")
    assert "spout valve" not in everything(found)
    assert "pump by hand while an electric pump is ON" in " ".join(texts(found.never))
    hands = " ".join(steps(failure(found, "hands")))
    assert f"box {box(found, 'hand_house').letter}" in hands
    burst = steps(failure(found, "bladder"))
    assert place(burst, "pump with a tap open") == len(burst) - 1


def test_strokes_of_a_bucket_and_of_the_tank() -> None:
    """By hand: a stroke of 150 mm in 50 mm bore gives 0.9 x 0.15 x pi / 4 x 0.05^2 = 0.2651 L,
    less what the rods stretch, a few per cent here; the tank gives by Boyle's law
    300 L x (186 + 101.325) / ... = 300 x 287.325 x (1 / 301.325 - 1 / 401.325) = 71.3 L."""
    found = card(HOUSE + HAND + 'delivers = "tank"\n')
    stroke = 0.9 * 0.15 * math.pi / 4 * 0.05**2
    filled = box(found, "hand_spout").steps[place(steps(box(found, "hand_spout")), "bucket")]
    told = filled.quantities()
    assert 0.020 / stroke <= told["strokes"] <= 1.03 * 0.020 / stroke
    # 40 strokes a minute is the pace where strength does not limit it.
    assert told["time"] == pytest.approx(told["strokes"] / 40 * 60, rel=1e-6)
    drawdown = 0.300 * 287.325 * (1 / 301.325 - 1 / 401.325)
    lines = box(found, "hand_house")
    fill = lines.steps[place(steps(lines), "gauge")].quantities()
    assert fill["volume"] == pytest.approx(drawdown, rel=1e-3)
    assert drawdown / stroke <= fill["strokes"] <= 1.04 * drawdown / stroke


def test_stored_water_and_its_days() -> None:
    """300 L x 287.325 x (1 / 287.325 - 1 / P) is in the tank at P; half way between cut-in and
    cut-out 49.6 L, with the heater's 200 L 249.6 L; six people live on 90 L a day: 2.8 days."""
    found = card(HOUSE + HEATER)
    at = [0.300 * (1 - 287.325 / each) for each in (301.325, 401.325)]
    volume = 0.200 + sum(at) / 2
    line = failure(found, "hands")
    told = line.steps[place(steps(line), "Stored")].quantities()
    assert told["volume"] == pytest.approx(volume, rel=1e-3)
    assert told["days"] == pytest.approx(volume / 0.090, rel=1e-3)


def test_heater_is_drained_only_with_every_heat_off_and_is_full_before_any_is_on() -> None:
    for text, first in ((HOUSE + HEATER, "breaker OFF"), (example("ridge_house"), "solar switch")):
        found = card(text)
        lines = steps(box(found, "stored"))
        off = place(lines, first, "OFF")
        drain = place(lines, "CLOSE its cold valve", "drain")
        boil = place(lines, "Boil")
        assert off < drain < boil < place(lines, "Refill", "only then heat ON")
        assert any("drain the water heater before" in each for each in texts(found.never))
    lines = steps(box(card(example("ridge_house")), "stored"))
    told = lines[place(lines, "solar switch")]
    assert told.index("solar switch") < told.index("breaker OFF")


def test_a_pump_without_the_bladder_is_run_by_its_breaker() -> None:
    found = card(HOUSE + HAND)
    lines = steps(failure(found, "bladder"))
    off = place(lines, "Electric pumps OFF")
    tap = place(lines, "Open a tap", "house pump ON")
    assert off < tap < place(lines, "OFF, then close the tap")
    assert place(lines, "Or the hand pump") == len(lines) - 1


def test_valves_stand_right_before_power_comes_back() -> None:
    lines = steps(box(card(example("ridge_house")), "mended"))
    valves = place(lines, "CLOSE spout valve and frost drain, OPEN house valve")
    assert valves < place(lines, "POWER LINE") < place(lines, "house pump ON")


def test_backup_pump_goes_first_on_the_battery_and_the_house_pump_on_the_line() -> None:
    found = card(example("ridge_house"))
    assert steps(failure(found, "grid"))[:2] == [
        "Transfer switch to BATTERY. Save power.", "Run the frugal pump: box A.",
    ]  # fmt: skip
    assert steps(failure(found, "inverter"))[:2] == [
        "Transfer switch to POWER LINE.", "Run the house pump: box A.",
    ]  # fmt: skip


def test_generator_only_outdoors_and_by_the_transfer_switch() -> None:
    power = '[power]\ngenerator_rating = "7 kVA"\ngenerator_hours = "3 h"\n'
    found = card(HOUSE + power)
    line = failure(found, "grid").steps[0]
    assert line.text("SI").startswith("Start the generator outdoors")
    assert "Transfer switch to GENERATOR" in line.text("SI")
    assert line.quantities()["hours"] == 3 * 3600
    assert "generator indoors" in texts(found.never)[0]


def test_a_pump_that_holds_its_pressure_is_told_by_it() -> None:
    text = HOUSE.replace(
        'role = "existing"',
        'role = "existing"\nstart = "variable speed"\nheld_pressure = "250 kPa"',
    )
    note = box(card(text), "pump").notes[0]
    assert note.quantities()["held"] == 250_000.0
    assert "holds the gauge at 250 kPa" in note.text("SI")


def test_time_from_cut_in_to_cut_out_is_what_the_tank_study_finds() -> None:
    """Drawdown 71.3 L over the flow that the curve gives: between 20 and 30 L/min from 200 to
    300 kPa at the tank, so between 2.3 and 3.6 minutes."""
    note = box(card(HOUSE), "pump").notes[0].quantities()
    assert 71.3 / 30 * 60 < note["time"] < 71.3 / 20 * 60


def test_frost_is_left_out_where_the_file_tells_that_there_is_none() -> None:
    warm = card(HOUSE + HAND + '[sun]\nrecord_low = "4 degC"\n')
    assert "frost" not in everything(warm)
    assert "freeze" not in everything(warm)
    cold = card(HOUSE + HAND + '[sun]\nrecord_low = "-4 degC"\n')
    assert "leave a pipe full where it can freeze" in " ".join(texts(cold.never))
    assert "Frost drain" in texts(cold.blanks)


def test_how_many_live_there_may_be_unknown() -> None:
    told = everything(card(HOUSE.replace("people = 6\n", "") + HAND))
    assert "none" not in told
    assert "people" not in told.replace("licensed people", "")


def test_outages_of_the_file_are_on_the_card() -> None:
    own = '[[outage]]\nname = "flood {x}"\nfailed = ["grid", "hand pump"]\ndays = 4\n'
    found = card(HOUSE + HAND + own)
    assert failure(found, "own_1").title.text("SI") == "flood {x}"
    assert steps(failure(found, "own_1"))[0].startswith("Nothing here lifts water")


def test_names_with_braces_and_markup_are_names() -> None:
    name = "{0} {x!r} <b>"
    found = card(HOUSE.replace("house pump", name))
    assert name in box(found, "pump").title.text("SI")


def test_without_a_source_there_is_no_card() -> None:
    text = '[well]\ndepth = "60 m"\nstatic_level = "20 m"\n'
    assert study_site(parse_site(text), ("card",)).card is None


def test_hot_water_needs_pressure_at_the_taps() -> None:
    found = card(example("south_slope"))
    assert "Hot water: none at the taps." in texts(failure(found, "hands").notes)
    assert "Hot water: none at the taps." not in texts(failure(found, "grid").notes)


def test_hot_water_is_told_by_the_suns_evenings() -> None:
    found = study_site(parse_site(example("ridge_house")), ("outage", "card"))
    assert found.card is not None
    assert found.outages is not None
    grid = next(each for each in found.outages.outages if each.key == "grid")
    notes = failure(found.card, "grid").notes
    told = notes[place(texts(notes), "Hot water by the sun")].quantities()
    assert grid.hot is not None
    assert (told["days"], told["of"]) == (grid.hot.days, grid.days)
    assert all(isinstance(each, Quantity) for each in told.values())
