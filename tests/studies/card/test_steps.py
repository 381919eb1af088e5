"""The right steps of the owner's card in the right order, for the equipment a site has."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, NamedTuple
from unittest import mock

import pytest

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
from wellsolar.results.card import TIME, WHOLE_HOURS, CardResult
from wellsolar.results.moves import OFF, ON, Move, pump_switch
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.card import boxes
from wellsolar.studies.card import steps as card_steps
from wellsolar.studies.card.site import Seen, pumps_in_order
from wellsolar.studies.case import study_site
from wellsolar.units import Quantity
from wellsolar.verdicts import say


def has_box(found: CardResult, key: str) -> bool:
    return any(each.key == key for each in found.boxes)


def test_hand_pump_into_the_house_in_its_order() -> None:
    """Breakers off, the ways that must be shut, the way that must be open, then strokes."""
    found = card(HOUSE + HAND + 'delivers = "tank"\n')
    lines = steps(box(found, "hand_house"))
    off = place(lines, "Electric pumps OFF")
    valves = place(lines, "CLOSE spout valve", "OPEN hand pump line valve")
    strokes = place(lines, "strokes,", "gauge 200 kPa to 300 kPa")
    stop = place(lines, "Stop at 300 kPa")
    done = place(lines, "Done: CLOSE hand pump line valve", "OPEN spout valve", "frost drain")
    assert off <= valves < strokes < stop < done
    assert lines[valves].index("OFF") < lines[valves].index("CLOSE") < lines[valves].index("OPEN")


def test_hand_pump_at_its_spout_in_its_order() -> None:
    found = card(HOUSE + HAND + 'delivers = "tank"\n')
    lines = steps(box(found, "hand_spout"))
    off = place(lines, "Electric pumps OFF")
    valves = place(lines, "CLOSE hand pump line valve", "OPEN spout valve")
    bucket = place(lines, "fill a bucket of 20 L")
    assert off <= valves < bucket < place(lines, "Done: in frost OPEN any frost drain")
    never = " ".join(texts(found.never))
    assert "switch an electric pump ON with hand pump line valve open" in never
    assert "work the hand pump with both its valves shut" in never


def test_valves_of_a_hand_pump_that_stands_dry_are_shut_all_the_same() -> None:
    dry = HAND.replace('cylinder_depth = "30 m"', 'cylinder_depth = "15 m"')
    found = card(HOUSE + dry + 'delivers = "tank"\n')
    assert not has_box(found, "hand_house")
    assert not has_box(found, "hand_spout")
    assert steps(box(found, "pump"))[0] == "CLOSE hand pump line valve, OPEN spout valve."
    assert any(each.startswith("Spout valve") for each in texts(found.blanks))


def test_without_a_spout_valve_none_is_named() -> None:
    found = card(HOUSE + HAND + 'delivers = "tank"\nspout_valve = false\n')
    assert not has_box(found, "hand_spout")
    assert "spout valve" not in everything(found)
    assert "switch an electric pump ON with hand pump line valve" in " ".join(texts(found.never))
    assert "tie the handle down" in steps(box(found, "hand_house"))[-1]
    hands = " ".join(steps(failure(found, "hands")))
    assert f"box {box(found, 'hand_house').letter}" in hands
    burst = steps(failure(found, "bladder"))
    pumped = place(burst, "pumps OFF", "OPEN hand pump line valve", "a tap open")
    assert burst[pumped + 1 :] == [steps(box(found, "hand_house"))[-1]]


def test_heater_is_cut_off_before_any_tap_draws_and_is_full_before_any_heat() -> None:
    """The pressure tank, drawn with the cold side open, would pull on the heater."""
    for text, first in ((HOUSE + HEATER, "breaker OFF"), (example("ridge_house"), "solar switch")):
        found = card(text)
        lines = steps(box(found, "stored"))
        off = place(lines, first, "OFF", "CLOSE heater cold valve")
        tank = place(lines, "Pressure tank")
        drain = place(lines, "OPEN a hot tap", "heater drain")
        boil = place(lines, "boil")
        full = place(lines, "CLOSE heater drain, OPEN heater cold valve", "only then heat ON")
        assert off == 0 < tank < drain <= boil < full
        assert any("drain the water heater before" in each for each in texts(found.never))
    lines = steps(box(card(example("ridge_house")), "stored"))
    assert lines[0].index("solar switch") < lines[0].index("breaker OFF")


def test_a_pump_without_the_bladder_runs_into_taps_that_take_all_it_gives() -> None:
    """A tub's tap gives 4 gpm (15 L/min), so two take what this pump gives at 200 kPa, between 20
    and 30 L/min by its curve."""
    found = card(HOUSE + HAND)
    lines = steps(failure(found, "bladder"))
    off = place(lines, "Electric pumps OFF")
    tap = place(lines, "OPEN 2 taps", "house pump ON")
    assert off < tap < place(lines, "OFF, then shut the taps")
    assert place(lines, "Or the hand pump") == len(lines) - 1


def test_without_the_bladder_the_pump_that_gives_least_goes_first() -> None:
    lines = steps(failure(card(example("ridge_house")), "bladder"))
    assert place(lines, "frugal pump ON")
    assert "house pump" not in " ".join(lines)


def test_without_the_bladder_the_pump_after_one_that_holds_its_pressure_runs_into_open_taps() -> (
    None
):
    """Box A shuts the taps: right for the drive, and a hammer for the pump on the switch."""
    drive = HOUSE[HOUSE.index("[[pump]]") :].replace('"house pump"', '"drive pump"')
    drive = drive.replace('role = "existing"', 'start = "variable speed"')
    lines = steps(failure(card(HOUSE + drive + 'held_pressure = "250 kPa"\n'), "bladder"))
    assert lines == [
        "Run the drive pump: box A.",
        "No water? Electric pumps OFF at the breaker.",
        "OPEN 2 taps over tubs and leave open. Breaker of the house pump ON.",
        "Tub full: breaker OFF, then shut the taps.",
    ]


def test_a_pump_that_never_stops_has_its_own_box_and_one_that_may_not_is_not_called_weak() -> None:
    """It lifts 110 m at most, and 20 m + 2 m + 900 kPa (91.8 m) is 113.8 m."""
    high = HOUSE.replace('cut_out = "300 kPa"', 'cut_out = "900 kPa"')
    found = card(high)
    assert not has_box(found, "pump")
    weak = box(found, "weak_pump")
    assert place(steps(weak), "OPEN a tap", "ON. Never shut all taps") >= 0
    assert "never stops by itself" in weak.notes[0].text("SI")
    open_to = HOUSE.replace('specific_capacity = "20 L/min/m"\n', "").replace("110, 100", "70, 65")
    open_to = open_to.replace("80, 50 m", "60, 40 m")
    told = box(card(open_to), "pump").notes[0].text("SI")
    assert "not known if it reaches 300 kPa" in told
    assert "weak" not in told


def test_valves_stand_right_before_power_comes_back() -> None:
    found = card(example("ridge_house"))
    lines = steps(box(found, "mended"))
    assert place(lines, "Pumps OFF", "POWER LINE") < place(lines, "house pump ON", "box A")
    assert steps(box(found, "pump"))[0] == "CLOSE hand pump line valve, OPEN spout valve."


def test_backup_pump_goes_first_on_the_battery_and_the_house_pump_on_the_line() -> None:
    found = card(example("ridge_house"))
    assert steps(failure(found, "grid"))[:2] == [
        "Pumps OFF. Transfer switch to BATTERY. Save power.", "Run the frugal pump: box A.",
    ]  # fmt: skip
    assert steps(failure(found, "inverter"))[:2] == [
        "Pumps OFF. Transfer switch to POWER LINE.", "Run the house pump: box A.",
    ]  # fmt: skip


def test_generator_only_outdoors_and_by_the_transfer_switch() -> None:
    power = '[power]\ngenerator_rating = "7 kVA"\ngenerator_hours = "3 h"\n'
    found = card(HOUSE + power)
    line = failure(found, "grid").steps[0]
    # No motor hangs on an engine that starts or stops: trade table of submersible motors, read.
    assert line.text("SI").startswith("Pumps OFF. Start the generator outdoors")
    assert "pumps OFF before the engine stops" in line.text("SI")
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
    assert "frost drain" not in everything(cold)  # a pump to its own spout drains at its foot
    joined = card(HOUSE + HAND + 'delivers = "tank"\n[sun]\nrecord_low = "-4 degC"\n')
    assert "Spout valve, any frost drain" in texts(joined.blanks)


def test_hot_water_needs_pressure_at_the_taps() -> None:
    found = card(example("south_slope"))
    assert "Hot water: none at the taps." in texts(failure(found, "hands").notes)
    assert "Hot water: none at the taps." not in texts(failure(found, "grid").notes)


def test_hot_water_is_told_by_the_suns_evenings() -> None:
    found = study_site(parse_site(example("ridge_house")), ("outage", "card"))
    assert found.card is not None
    grid = next(each for each in found.outages.outages if each.key == "grid")
    notes = failure(found.card, "grid").notes
    told = notes[place(texts(notes), "Hot water by the sun")].quantities()
    assert (told["days"], told["of"]) == (grid.hot.days, grid.days)
    assert all(isinstance(each, Quantity) for each in told.values())


@pytest.mark.parametrize(
    ("run", "weak", "fill", "usual"),
    [
        # The house's own that fills, then its own that presses; both of each where they may.
        ("kept apart", "", "ab", ["b", "c"]),
        (None, "", "ab", ["b", "c"]),
        ("alternating", "", "ab", ["b", "a", "c", "d"]),
        ("at once", "c", "ab", ["b", "a", "d"]),
        ("kept apart", "b", "ab", ["a", "c"]),
        # With no pump that fills, or none that reaches its stop, nothing runs by floats.
        ("at once", "", "", []),
        ("at once", "ab", "ab", []),
        ("kept apart", "cd", "ab", ["b"]),
    ],
)
def test_what_floats_and_switch_run_by_day_and_night(
    run: str | None, weak: str, fill: str, usual: list[str]
) -> None:
    """Two pumps that fill the tank, the second the house's, and two that press from it, of which
    the first is the house's. What is left off is switched first."""
    roles = dict(zip("abcd", ("backup", "existing", "existing", "backup"), strict=True))
    tables = [SimpleNamespace(name=name, role=role) for name, role in roles.items()]
    power = SimpleNamespace(pumps_run=run, pump_changeover=None)
    seen: Any = SimpleNamespace(
        site=SimpleNamespace(pump=tables, power=power), pumps=tables, switch="breaker",
        fills=lambda name: name in fill, too_weak=lambda name: name in weak,
    )  # fmt: skip
    assert boxes._run_by_themselves(seen) == usual
    if not usual:
        return
    step = boxes._left_on(seen, usual)
    whole = step.text("SI")
    assert ("others OFF" in whole) == (len(usual) < 4)
    if len(usual) == 1:
        assert "its float runs it" in whole
    else:
        assert "floats and switch run them" in whole
    off = [name for name in "abcd" if name not in usual]
    assert [(move.thing, move.to) for move in step.moves] == [
        *((pump_switch(name), OFF) for name in off), *((pump_switch(name), ON) for name in usual)
    ]  # fmt: skip


OUTLET, PIPE = "Draw at the storage tank's outlet.", "Draw at the end of its pipe."


@pytest.mark.parametrize(
    ("pumps", "failed", "torn", "chain", "drawn", "asked"),
    [
        # Nothing presses: the water is where the pumps bring it.
        ("F", "", False, True, OUTLET, ""),
        ("FF", "", False, True, OUTLET, "No water?"),
        ("F", "storage tank", False, True, PIPE, ""),
        ("FF", "storage tank", False, False, PIPE, "No water?"),
        # One presses still: out of the taps, once the tank is full; by its own if that is first.
        ("FP", "", False, True, "", "Tank full?"),
        ("FP", "storage tank", False, True, "", "Tank full?"),
        ("PF", "", False, True, "", "No water?"),
        ("PP", "", False, True, "", "No water?"),
        # Where it would start and stop without the tank's air, another step tells of it; and
        # without any that presses water runs down by itself.
        ("F", "", True, True, "", ""),
        ("F", "", False, False, "", ""),
    ],
)
def test_where_water_is_drawn_and_which_pump_is_next(
    pumps: str, failed: str, torn: bool, chain: bool, drawn: str, asked: str
) -> None:
    """F for a pump that fills the storage tank, P for one that presses."""
    cells: Any = tuple(
        SimpleNamespace(source=f"{kind}{place}", power="sun", pressure="no")
        for place, kind in enumerate(pumps)
    )
    idle = SimpleNamespace(source="Q", power="sun", pressure="short cycling" if torn else "no")
    outage: Any = SimpleNamespace(cells=(*cells, idle), failed=(failed,) if failed else ())
    seen: Any = SimpleNamespace(
        site=None, pumps=cells, switch="breaker", fills=lambda name: name[0] == "F",
        pump_box=lambda name: name, box=lambda key: key,
    )  # fmt: skip
    with mock.patch.object(card_steps, "boosters", return_value=[idle] if chain else []):
        found: Any = card_steps._pumps(seen, outage, cells, False)
        for pumps_there in (1, 2, 3):
            seen.pumps = cells[:1] * pumps_there
            lone = card_steps._pumps(seen, outage, cells, True)[0].text("SI")
            assert ("the other pump" in lone) == (len(cells) == 1 and pumps_there == 2)
    first, *more = [each.text("SI") for each in found]
    assert [each.of for each in found] == [each.source for each in cells]
    assert all(each.moves[0] == Move(pump_switch(cells[0].source), OFF) for each in found[1:])
    assert "fill all you have" in first
    for words in (OUTLET, PIPE):
        assert (words in first) == (words == drawn)
    assert len(more) == len(pumps) - 1
    assert all(each.startswith(asked) for each in more)
    assert all("breaker OFF" in each for each in more)


@pytest.mark.parametrize(
    ("boxes_there", "pressure", "stores", "asked"),
    [
        ("house", "no", False, "at a tap"),
        ("house", "by hand", False, "hand pump: box house."),
        ("house", "no", True, "hand pump: box house."),
        ("spout", "no", False, "hand pump: box spout."),
        ("house spout", "no", False, "hand pump: box spout."),
        ("house spout", "by hand", False,
         "hand pump: box house into the house, box spout for a bucket."),
        ("house spout", "no", True,
         "hand pump: box house into the storage tank, box spout for a bucket."),
    ],
)  # fmt: skip
def test_handles_in_the_order_of_their_ease(
    boxes_there: str, pressure: str, stores: bool, asked: str
) -> None:
    def tap(_: Any, begin: str) -> list[Any]:
        return [say(f"{begin}at a tap")]

    keys = {card_steps.INTO_HOUSE: "house", card_steps.SPOUT: "spout"}
    seen: Any = SimpleNamespace(
        box=lambda key: key if key not in keys else keys[key] * (keys[key] in boxes_there),
        hand_stores=stores, has=SimpleNamespace(lifts=[SimpleNamespace(name="windlass"),
                                                       SimpleNamespace(name="bailer")]),
    )  # fmt: skip
    cells = {"windlass": "lift", "bailer": "lift", "hand pump": "hand pump", "tank": "store"}
    lifts = [f"bailer: box {card_steps.LIFT}_2.", f"windlass: box {card_steps.LIFT}_1."]
    pumped = asked if asked.startswith("hand") else f"hand pump: {asked}"
    for order, told in (
        (("hand pump", "tank", "bailer"), [f"H{pumped[1:]}", f"Else the {lifts[0]}"]),
        (("bailer", "windlass", "hand pump"),
         [f"The {lifts[0]}", f"Else the {lifts[1]}", f"Else the {pumped}"]),
    ):  # fmt: skip
        outage: Any = SimpleNamespace(
            order=order, failed=(),
            cell=lambda name: SimpleNamespace(kind=cells[name], pressure=pressure),
        )  # fmt: skip
        with mock.patch.object(card_steps, "_at_a_tap", tap):
            found = card_steps._by_hand(seen, outage)
        assert [each.text("SI") for each in found] == told


class Works(NamedTuple):
    """A pump in an outage of a house that wants 1 m3 a day: role, water of a day [m3], power,
    energy for it [J/m3], whether it fills the tank, holds its pressure, or starts and stops
    without the tank's air at a flow [L/s]."""

    name: str
    role: str = "other"
    volume: float = 2.0
    power: str = "battery"
    energy: float | None = 500.0
    fills: bool = False
    holds: bool = False
    cycles: float = 0.0


@pytest.mark.parametrize(
    ("order", "works"),
    [
        # Water into the tank first, and of two the one that brings more.
        ("bac", (Works("a", volume=0.1, fills=True), Works("b", volume=0.3, fills=True),
                 Works("c", "existing", power="grid"))),
        # On the grid the house's own, then the one that brings more.
        ("acb", (Works("a", "existing", 1.5, "grid"), Works("b", "backup", 2.0, "grid"),
                 Works("c", "other", 3.0, "grid"))),
        # On what is scarce the backup pump, if it gives the day's water; else what makes most of
        # the energy, whatever it brings.
        ("bca", (Works("a", "existing", 3.0, energy=400.0), Works("b", "backup", energy=900.0),
                 Works("c", "other", energy=300.0))),
        ("cab", (Works("a", "existing", energy=500.0), Works("b", "backup", 0.9, energy=100.0),
                 Works("c", energy=400.0))),
        ("ba", (Works("a", energy=None), Works("b", energy=900.0))),
        # Where none gives a day's water, the one that gives most.
        ("cab", (Works("a", "existing", 0.7), Works("b", "backup", 0.6, energy=1.0),
                 Works("c", volume=0.8, energy=900.0))),
        # Without the tank's air one that holds its pressure, then the one that gives least.
        ("dbca", (Works("a", cycles=0.9), Works("b", holds=True, cycles=0.8),
                  Works("c", cycles=0.3), Works("d"))),
        # What brings nothing is not tried.
        ("b", (Works("a", "existing", 0.0), Works("b"))),
    ],
)  # fmt: skip
def test_pumps_are_tried_in_the_order_of_their_power_and_need(
    order: str, works: tuple[Works, ...]
) -> None:
    tables = [
        SimpleNamespace(name=each.name, role=each.role, held_pressure=3e5 if each.holds else None)
        for each in works
    ]
    pumps = [
        SimpleNamespace(
            name=each.name,
            energy_per_volume=each.energy,
            duties=[SimpleNamespace(flow=each.cycles * 1e-3)],
        )
        for each in works
    ]
    cells = [
        SimpleNamespace(
            source=each.name,
            kind="pump",
            volume=each.volume,
            power=each.power,
            pressure="short cycling" if each.cycles else "yes",
        )
        for each in works
    ]
    cells.append(SimpleNamespace(source="hand pump", kind="hand pump", volume=1.0))
    seen: Any = SimpleNamespace(
        site=SimpleNamespace(pump=tables),
        has=SimpleNamespace(pumps=pumps),
        outages=SimpleNamespace(normal=1.0, survival=0.1),
        fills=lambda name: any(each.fills for each in works if each.name == name),
    )
    found = pumps_in_order(seen, SimpleNamespace(cells=cells))  # type: ignore[arg-type]
    assert "".join(cell.source for cell in found) == order


DAYS_WATER = {"normal": 0.4, "basic": 0.15, "survival": 0.03}
"""An ordinary day of an invented house, to wash too, and to live on [m3]."""


def outage_of(volume: float, **more: Any) -> SimpleNamespace:
    return SimpleNamespace(volume=volume, cells=(), order=(), **more)


@pytest.mark.parametrize(
    ("volume", "people", "needs", "told", "parts"),
    [
        (0.5, 4, {}, "Enough for an ordinary day", {"volume": 0.4, "people": 4.0}),
        (0.4, 4, {}, "Enough for an ordinary day", {"volume": 0.4, "people": 4.0}),
        (0.39, 4, {}, "drink, cook and wash", {"volume": 0.39, "people": 4.0}),
        (0.15, None, {}, "drink, cook and wash", {"volume": 0.15}),
        (0.14, 4, {}, "drink and cook for {people}", {"volume": 0.14, "people": 4.0}),
        (0.03, 4, {}, "drink and cook for {people}", {"volume": 0.03, "people": 4.0}),
        # Two thirds of the water of four are for 2.67 of them, and a quarter for one.
        (0.02, 4, {}, "only {fed:down} of", {"volume": 0.02, "people": 4.0, "fed": 8.0 / 3.0}),
        (0.0075, 4, {}, "only {fed:down} of", {"volume": 0.0075, "people": 4.0, "fed": 1.0}),
        (0.0074, 4, {}, "too little to live on", {"volume": 0.0074, "people": 4.0}),
        (0.02, None, {}, "{volume:down} a day.", {"volume": 0.02}),
        (0.02, None, DAYS_WATER, "{volume:down} a day.", {"volume": 0.02}),
    ],
)  # fmt: skip
def test_for_what_and_whom_water_is_enough(
    volume: float, people: int | None, needs: dict[str, float], told: str, parts: dict[str, float]
) -> None:
    result = SimpleNamespace(**(dict.fromkeys(needs) if needs else DAYS_WATER))
    seen = SimpleNamespace(outages=result, people=people, persons="people")
    with mock.patch.object(card_steps, "pumps_in_order", return_value=()):
        found = card_steps._gives(seen, outage_of(volume))  # type: ignore[arg-type]
    assert told in found.template
    for work, kind in ((1800.0, TIME), (card_steps.LONGEST_EFFORT, WHOLE_HOURS)):
        with mock.patch.object(card_steps, "_handle", return_value=(True, work)):
            by_hand = card_steps._gives(seen, outage_of(volume))  # type: ignore[arg-type]
        bring = "Bring water in" in found.template
        end = "." if bring else ", by {work} at the handle."
        assert by_hand.template == found.template.removesuffix(".") + end
        if not bring:
            assert (by_hand.parts["work"], by_hand.parts["work"].kind) == (work, kind)
    shown = {name: part for name, part in found.parts.items() if name != "fed" or "fed" in parts}
    assert shown == pytest.approx(parts)


@pytest.mark.parametrize(
    ("failures", "title"),
    [
        # Key, name in the file, days, whether the line is down.
        ([("dark_3", "", 3, False)], "Little sun for 3 days"),
        ([("dark_3", "", 3, True)], "Power line down and little sun for 3 days"),
        ([("dark_3", "", 3, True), ("dark_5", "", 5, True)],
         "Power line down and little sun for up to 5 days"),
        ([("grid", "", 2, True), ("dark_5", "", 5, True)],
         "Power line down, even with little sun for 5 days"),
        ([("grid", "", 2, True)], "Power line down"),
        ([("pump_1", "old pump", 2, False), ("hands", "", 2, True), ("pump_2", "jet", 2, False),
          ("own_1", "flood", 2, False)],
         "Pump dead: old pump or jet, or no power at all, or flood"),
    ],
)  # fmt: skip
def test_failures_of_the_same_steps_have_one_title(
    failures: list[tuple[str, str, int, bool]], title: str
) -> None:
    outages: Any = [
        SimpleNamespace(key=key, name=name, days=days, failed=("grid",) if down else ("inverter",))
        for key, name, days, down in failures
    ]
    assert card_steps.title_of(outages).text("SI") == title


def test_notes_of_several_failures_are_those_of_the_one_that_leaves_least() -> None:
    seen: Any = SimpleNamespace(outages=SimpleNamespace(**dict.fromkeys(DAYS_WATER)), people=None)
    for volumes in ((0.5, 0.1, 0.3), (0.0, 0.4)):
        outages: Any = [outage_of(volume) for volume in volumes]
        with (
            mock.patch.object(card_steps, "_handle", return_value=(False, 0.0)),
            mock.patch.object(card_steps, "_hot", return_value=[]),
        ):
            notes = card_steps.notes_of(seen, outages)
        assert [note.parts for note in notes] == [{"volume": min(volumes)}] * (min(volumes) > 0.0)


@pytest.mark.parametrize(
    ("normal", "volume", "order", "runs", "told"),
    [
        # An ordinary day by hand takes its own time, at most the longest that hands work, and
        # less water than that all of it; where a pump runs hands are not needed.
        (0.4, 0.5, "hand", False, (True, 1800.0)), (0.4, 0.4, "hand", False, (True, 1800.0)),
        (0.4, 0.39, "hand", False, (True, card_steps.LONGEST_EFFORT)),
        (None, 0.5, "hand", False, (True, card_steps.LONGEST_EFFORT)),
        (0.4, 0.5, "lift", False, (True, 2400.0)),
        (0.4, 0.5, "long", False, (True, card_steps.LONGEST_EFFORT)),
        (0.4, 0.5, "untold", False, (True, card_steps.LONGEST_EFFORT)),
        (0.4, 0.5, "hand", True, (False, 0.0)), (0.4, 0.5, "", False, (False, 0.0)),
    ],
)  # fmt: skip
def test_how_long_hands_work_in_a_day(
    normal: float | None, volume: float, order: str, runs: bool, told: tuple[bool, float]
) -> None:
    names = {"hand": "hand pump", "": "mains"}
    name = names.get(order, order)
    kind = {"hand": "hand pump", "": "mains"}.get(order, "lift")
    times = {"lift": 2400.0, "long": 90_000.0, "untold": None}

    def tasks(time: float | None) -> Any:
        return lambda *_: None if time is None else SimpleNamespace(time=time)

    seen = SimpleNamespace(
        hand=SimpleNamespace(people_pumping=2, task=tasks(1800.0)),
        lifts=[SimpleNamespace(name=each, task=tasks(time)) for each, time in times.items()],
        outages=SimpleNamespace(normal=normal),
    )
    outage = SimpleNamespace(
        order=(name,), volume=volume, cell=lambda _: SimpleNamespace(kind=kind)
    )
    with mock.patch.object(card_steps, "pumps_in_order", return_value=("pump",) * runs):
        assert card_steps._handle(seen, outage) == told  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("days", "value", "shown"),
    [(0.05, 4_320.0, "72 min"), (0.5, 43_200.0, "12 hours"), (0.74, 63_936.0, "18 hours"),
     (7.0 / 86.4, 7_000.0, "117 min"), (1.0 / 12.0, 7_200.0, "2 hours"), (0.75, 0.75, "1 day"),
     (1.4, 1.4, "1 day"), (1.6, 1.6, "2 days"), (3.0, 3.0, "3 days")],
)  # fmt: skip
def test_a_number_of_days_is_said_as_one_says_it(days: float, value: float, shown: str) -> None:
    found = card_steps._in_days(days)
    assert float(found) == pytest.approx(value)
    assert say("{found}", found=found).text("SI") == shown


@pytest.mark.parametrize(
    ("limit", "state", "days", "told"),
    [
        ("", "hot", 3.0, None), ("", "hot", 0.0, "Hot water: none."), (None, "", None, None),
        ("", "none", None, "Hot water: none."),
        (card_steps.NO_PRESSURE, "hot", 3.0, "Hot water: none at the taps."),
        ("", "on sunny days", 0.4, "Hot water by the sun: hardly ever."),
        ("", "on sunny days", 0.5, "Hot water by the sun: about {days} evenings in {of}."),
        ("", "on sunny days", 1.2, "Hot water by the sun: about {days} evening in {of}."),
        ("", "on sunny days", 3.0, "Hot water by the sun: about {days} evenings in {of}."),
        ("", "on sunny days", None, "Hot water: by the sun."),
        ("", "cooling", 0.9, "Hot water: not hot."),
        ("", "cooling", 1.0, "Hot water: hot for about {days}."),
        ("", "cooling", None, "Hot water: what is in the tank, no more."),
    ],
)  # fmt: skip
@pytest.mark.parametrize("dark", [False, True])
def test_hot_water_of_an_outage_is_told_by_its_days(
    limit: str | None, state: str, days: float | None, told: str | None, dark: bool
) -> None:
    hot = None if limit is None else SimpleNamespace(limit=limit, state=state, days=days)
    outage = SimpleNamespace(hot=hot, days=5, dark=dark)
    found = card_steps._hot([outage])  # type: ignore[list-item]
    if told is None:
        assert not found
        return
    (sentence,) = found
    if dark and state == "cooling" and days is not None:
        told = told.replace("Hot water:", "In dark days:")
    plural = str(sentence.parts.get("s", ""))
    assert sentence.template.replace("{s}", plural) == told
    if "{days}" in told:
        assert float(sentence.parts["days"]) == days
    if "{of}" in told:
        assert sentence.parts["of"] == 5.0


@pytest.mark.parametrize(
    ("gallons", "taps"),
    [(0.5, 1), (4.0, 1), (4.1, 2), (8.0, 2), (12.1, 4)],
)
def test_as_many_taps_stay_open_as_take_all_of_a_pump(gallons: float, taps: int) -> None:
    """A tap over a tub takes 4 gpm: International Plumbing Code, table 604.3 (from memory)."""
    duty = SimpleNamespace(flow=gallons * 3.785411784e-3 / 60.0)
    other = SimpleNamespace(name="other", duties=(SimpleNamespace(flow=1.0),))
    seen = SimpleNamespace(pumps=(other, SimpleNamespace(name="pump", duties=(duty,))))
    assert Seen.taps_for(seen, "pump") == taps  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("volumes", "survival", "box", "told", "parts"),
    [
        ((0.1, 0.2), 0.05, "F", ", to drink and cook for {days}", {"volume": 0.2, "days": 4.0}),
        ((0.1, 0.2), None, "F", "Stored: {volume}: box", {"volume": 0.2}),
        ((0.1, 0.0), 0.05, "F", None, {}), ((0.1, 0.2), 0.05, "", None, {}),
    ],
)  # fmt: skip
def test_stored_water_lasts_what_it_holds_over_a_days_need(
    volumes: tuple[float, float],
    survival: float | None,
    box: str,
    told: str | None,
    parts: dict[str, float],
) -> None:
    """Of two stores the one that has failed is not counted."""
    stores = [
        SimpleNamespace(name=name, volume=volume)
        for name, volume in zip(("leaks", "whole"), volumes, strict=True)
    ]
    seen = SimpleNamespace(
        outages=SimpleNamespace(stores=stores, survival=survival), box=lambda _: box
    )
    found = card_steps._stored(seen, SimpleNamespace(failed=("leaks",)))  # type: ignore[arg-type]
    if told is None:
        assert not found
        return
    assert told in found[0].template
    assert {name: part for name, part in found[0].parts.items() if name != "box"} == parts
