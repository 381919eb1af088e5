"""The right steps of the owner's card in the right order, for the equipment a site has."""

from __future__ import annotations

from tests.studies.card.cards import (
    HAND,
    HEATER,
    HOUSE,
    box,
    card,
    everything,
    example,
    failure,
    place,
    steps,
    texts,
)
from wellsolar.results import CardResult
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site
from wellsolar.units import Quantity


def has_box(found: CardResult, key: str) -> bool:
    return any(each.key == key for each in found.boxes)


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
    # No motor hangs on an engine that starts or stops: trade table of submersible motors, read.
    assert line.text("SI").startswith("Breakers of the pumps OFF. Start the generator outdoors")
    assert "pump breaker OFF before the engine stops" in line.text("SI")
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


def test_frost_is_left_out_where_the_file_tells_that_there_is_none() -> None:
    warm = card(HOUSE + HAND + '[sun]\nrecord_low = "4 degC"\n')
    assert "frost" not in everything(warm)
    assert "freeze" not in everything(warm)
    cold = card(HOUSE + HAND + '[sun]\nrecord_low = "-4 degC"\n')
    assert "leave a pipe full where it can freeze" in " ".join(texts(cold.never))
    assert "Frost drain" in texts(cold.blanks)


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
