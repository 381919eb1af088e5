"""The numbers in the boxes of the card are those of the studies, and each word of how a pump is
seen to work stands where its state calls for it."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from tests.studies.card.cards import HAND, HEATER, HOUSE, box, card, example, steps
from wellsolar import Case, kinds
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.card import boxes
from wellsolar.studies.form.what_if import study_what_if
from wellsolar.verdicts import Sentence

KPA = 1e3
LIFT = """
[[lift]]
name = "rope"
head = "10, 40 m"
flow = "30, 8 L/min"
people_pumping = 2
"""


def studied(text: str) -> tuple[Case, Any]:
    """The case in its low season, which the card is made of, and the card."""
    case = Case(parse_site(text))
    found = case.results(("card",)).card
    assert found is not None
    return case, found


def part(sentences: tuple[Sentence, ...], words: str) -> dict[str, Any]:
    """The parts of the one sentence whose template holds some words."""
    (found,) = [each for each in sentences if words in each.template]
    return dict(found.parts)


def test_a_pump_between_its_switches_ends() -> None:
    """200 and 300 kPa, the time of a fill, the power and current of the first duty."""
    case, found = studied(HOUSE)
    told = box(found, "pump")
    climbs = part(told.steps, "climbs from")
    assert (climbs["cut_in"], climbs["cut_out"]) == (200 * KPA, 300 * KPA)
    note = dict(told.notes[0].parts)
    pump, tank = case.pumps[0], case.pressure_tank
    (cycle,) = tank.cycles
    assert note["time"] == pytest.approx(cycle.run_time)
    assert pump.duties[0].input_power != pytest.approx(pump.duties[-1].input_power)
    assert note["power"] == pytest.approx(pump.duties[0].input_power)
    assert note["current"] == pytest.approx(pump.start.running_current)
    assert "flow" not in note
    assert told.notes[0].template.startswith("Works: up in about")
    assert told.letter == "A"
    assert steps(box(found, "mended"))[-1] == "Breaker of the house pump ON: box A."


@pytest.mark.parametrize(
    ("name", "first"), [("hill_tank", "Its"), ("poor_well", "Other pumps OFF")]
)
def test_other_pumps_are_off_before_one_fills_the_tank_where_there_are_any(
    name: str, first: str
) -> None:
    told = box(card(example(name)), "filling_pump")
    assert steps(told)[0].startswith(first)
    assert len(steps(told)) == (3 if first.startswith("Other") else 2)


def test_pumps_beside_each_other_are_told_by_their_names() -> None:
    second = (
        HOUSE[HOUSE.index("[[pump]]") :]
        .replace("house pump", "other")
        .replace('role = "existing"', 'role = "backup"')
    )
    case, found = studied(HOUSE + second)
    told = box(found, "pump")
    assert [dict(note.parts)["name"] for note in told.notes] == ["house pump", "other"]
    assert all(note.template.startswith("{name}: ") for note in told.notes)
    assert "Other pumps OFF" in steps(told)[0]
    mended = box(found, "mended").steps[-1]
    assert mended.parts["name"] == "house pump"
    assert "others OFF" in mended.template
    assert mended.parts["box"] == told.letter
    assert len(case.pumps) == 2


def test_a_pump_that_never_stops_is_told_by_the_pressure_it_lacks() -> None:
    weak = HOUSE.replace('head = "110, 100, 80, 50 m"', 'head = "46, 42, 36, 24 m"')
    _, found = studied(weak)
    told = next(each for each in found.boxes if "weak" in each.title.template)
    note = told.notes[0]
    assert "too weak for {cut_out}" in note.template
    assert note.parts["cut_out"] == 300 * KPA


def test_a_pump_into_an_open_tank_is_told_by_its_flow() -> None:
    bare = HOUSE[: HOUSE.index("[pressure_switch]")] + HOUSE[HOUSE.index("[[pump]]") :]
    case, found = studied(bare)
    note = box(found, "pump").notes[0]
    assert note.parts["flow"] == pytest.approx(case.pumps[0].duties[0].flow)
    assert "in full sun" in note.template


@pytest.mark.parametrize("people", [1, 2])
def test_a_handles_boxes_have_the_numbers_of_its_jobs(people: int) -> None:
    """Strokes, time and water of the bucket, the fill and the day's survival water."""
    case, found = studied(f'{HOUSE}{HAND}delivers = "tank"\npeople_pumping = {people}\n{LIFT}')
    hand = case.hand_pump
    assert hand is not None
    bucket, fill, day = (hand.task(key, people) for key in ("bucket", "tank", "survival"))
    spout, house = box(found, "hand_spout"), box(found, "hand_house")
    for each in (spout, house):
        assert any("Two at the handle" in line for line in steps(each)) is (people == 2)
    lifted = [each.label.partition(",")[0] for each in study_what_if(case).hands]
    assert list(dict.fromkeys(lifted)) == ["hand pump", "rope"]
    nobody_told = Case(parse_site(HOUSE.replace("people = 6\n", "")))
    assert (study_what_if(case).people, study_what_if(nobody_told).people) == (6, 1)
    told = part(spout.steps, "fill a bucket")
    assert told["strokes"] == pytest.approx(bucket.strokes)
    assert told["time"] == pytest.approx(bucket.time)
    assert told["volume"] == pytest.approx(0.020)
    rate = part(spout.steps, "the first may be dry")["rate"]
    assert rate == pytest.approx(bucket.strokes / bucket.time)
    told = part(house.steps, "gauge {cut_in} to {cut_out}")
    assert told["strokes"] == pytest.approx(fill.strokes)
    assert told["time"] == pytest.approx(fill.time)
    assert told["volume"] == pytest.approx(fill.volume)
    assert (told["cut_in"], told["cut_out"]) == (200 * KPA, 300 * KPA)
    rate = part(house.steps, "even strokes")["rate"]
    assert rate == pytest.approx(fill.strokes / fill.time)
    assert part(house.steps, "Stop at")["cut_out"] == 300 * KPA
    # Six people at 15 L.
    note = dict(spout.notes[0].parts)
    assert (note["volume"], note["people"]) == (pytest.approx(0.090), 6)
    assert note["time"] == pytest.approx(day.time)
    assert not house.notes


def test_stored_water_is_told_store_by_store() -> None:
    """500 L of which a part is kept, the pressure tank half way, 200 L of the heater."""
    text = (
        HOUSE
        + HEATER
        + LIFT
        + LIFT.replace("rope", "winch")
        + '[storage_tank]\nvolume = "500 L"\nreserve = "40 %"\n'
    )
    case, found = studied(text)
    outages = case.results(("outage",)).outages
    stores = {each.name: each.volume for each in outages.stores}
    assert stores["storage tank"] == pytest.approx(0.2)
    tank = case.pressure_tank
    half = (tank.stored_at_cut_in + tank.stored_at_cut_out) / 2
    assert stores["pressure tank"] == pytest.approx(half)
    told = box(found, "stored")
    cold = part(told.steps, "Storage tank about")
    assert (cold["v0"], cold["v1"]) == (pytest.approx(0.2), pytest.approx(half))
    assert part(told.steps, "scalds for days")["volume"] == pytest.approx(0.2)
    for key, name in (("lift_1", "rope"), ("lift_2", "winch")):
        assert box(found, key).title.text("SI") == name
    lift, result = box(found, "lift_1"), case.lifts[0]
    bucket = result.task("bucket")
    assert part(lift.steps, "work it together")["people"] == 2
    taken = part(lift.steps, "A bucket of")
    assert taken["volume"] == pytest.approx(0.020)
    assert taken["time"] == pytest.approx(bucket.time)
    # The boxes stand in their order, each with the next letter.
    letters = [each.letter for each in found.boxes if each.letter]
    assert letters == [chr(ord("A") + place) for place in range(len(letters))]
    keys = [each.key for each in found.boxes if each.letter]
    assert keys.index("lift_1") < keys.index("stored")


def works(**changes: Any) -> tuple[str, dict[str, Any]]:
    """What a card says of one pump that is made by hand: 1 L/s against 2 bar, 0.2 L/s against 3
    and half way between them in the middle, 800 W and 5 A, 60 s from cut-in to cut-out."""
    of = {
        "flows": (1e-3, 6e-4, 2e-4), "power": 800.0, "current": 5.0, "held": None, "fills": False,
        "weak": False, "gauged": True, "cycle": True, "alone": True, **changes,
    }  # fmt: skip
    duties = [
        SimpleNamespace(flow=flow, pressure=pressure, input_power=of["power"] / (place + 1))
        for place, (flow, pressure) in enumerate(zip(of["flows"], (2e5, 2.5e5, 3e5), strict=False))
    ]
    current = of["current"]
    start = None if current is None else SimpleNamespace(running_current=current)
    pump = SimpleNamespace(name="pump", duties=duties, start=start)
    cycles = [
        SimpleNamespace(pump=name, run_time=time) for name, time in (("a", 9.0), ("pump", 60.0))
    ]
    seen = SimpleNamespace(
        has=SimpleNamespace(
            tank=SimpleNamespace(cycles=cycles) if of["cycle"] else None,
            table=lambda _: SimpleNamespace(held_pressure=of["held"]),
        ),
        fills=lambda _: of["fills"], too_weak=lambda _: of["weak"], gauged=of["gauged"],
    )  # fmt: skip
    found = boxes._works(seen, pump, of["alone"])  # type: ignore[arg-type]
    parts: dict[str, Any] = dict(found.parts)
    assert parts.pop("name") == "pump"
    for name, kind in (("flow", kinds.FLOW), ("power", kinds.COMPUTED_POWER)):
        assert name not in parts or parts[name].kind is kind
    return found.template, parts


TAKES = {"power": 800.0, "current": 5.0}


@pytest.mark.parametrize(
    ("changes", "begins", "parts"),
    [
        ({}, "Works: up in about {time}, takes {power}, {current}.", {"time": 60.0, **TAKES}),
        ({"alone": False}, "{name}: up in", {"time": 60.0, **TAKES}),
        ({"fills": True}, "Works: about {flow}, takes", {"flow": 1e-3, **TAKES}),
        ({"weak": True}, "Works: too weak for {cut_out}", {"cut_out": 3e5, **TAKES}),
        ({"flows": (1e-3, 5e-4, 0.0)}, "Works: not known if", {"cut_out": 3e5, **TAKES}),
        ({"flows": (1e-3, 0.0)}, "Works: not known if", {"cut_out": 2.5e5, **TAKES}),
        ({"flows": (0.0,)}, "Works: up in", {"time": 60.0, **TAKES}),
        ({"held": 2.5e5}, "Works: holds the gauge", {"held": 2.5e5, **TAKES}),
        ({"cycle": False}, "Works: about {flow}, takes", {"flow": 1e-3, **TAKES}),
        ({"cycle": False, "gauged": False}, "Works: about {flow} in full sun,",
         {"flow": 1e-3, **TAKES}),
        ({"power": 0.0}, "Works: up in about {time}, {current}.", {"time": 60.0, "current": 5.0}),
        ({"power": 0.5}, "Works: up in", {"time": 60.0, "power": 0.5, "current": 5.0}),
        ({"current": None}, "Works: up in about {time}, takes {power}.",
         {"time": 60.0, "power": 800.0}),
        ({"current": 0.0}, "Works: up in about {time}, takes {power}.",
         {"time": 60.0, "power": 800.0}),
        ({"current": 0.5}, "Works: up in", {"time": 60.0, "power": 800.0, "current": 0.5}),
    ],
)  # fmt: skip
def test_a_pump_at_work_is_known_by_its_numbers(
    changes: dict[str, Any], begins: str, parts: dict[str, float]
) -> None:
    template, found = works(**changes)
    assert template.startswith(begins)
    assert found == parts


@pytest.mark.parametrize("people", [None, 4])
@pytest.mark.parametrize("bound", ["power", "day"])
def test_the_note_of_a_days_water_by_hand(people: int | None, bound: str) -> None:
    seen = SimpleNamespace(people=people, persons="people")
    task = SimpleNamespace(volume=0.06, time=1200.0, bound=bound)
    (note,) = boxes._day_note(seen, task)  # type: ignore[arg-type]
    who = {} if people is None else {"people": 4.0}
    assert note.parts == {"volume": 0.06, **who, **({"time": 1200.0} if bound == "power" else {})}
    assert ("more than one day's work" in note.template) is (bound == "day")
    assert boxes._day_note(seen, None) == ()  # type: ignore[arg-type]


@pytest.mark.parametrize("volume", [0.0, 0.15])
@pytest.mark.parametrize(("heated", "diverted"), [(True, False), (False, True), (False, False)])
def test_hot_water_that_is_left_is_told_with_its_warmth(
    volume: float, heated: bool, diverted: bool
) -> None:
    tank = SimpleNamespace(tap=SimpleNamespace(volume=volume, temperature=40.0))
    seen = SimpleNamespace(
        site=SimpleNamespace(water_heater=tank),
        has=SimpleNamespace(heated=tank if heated else None, diverted=tank if diverted else None),
    )
    (told,) = boxes._hot_box(seen)  # type: ignore[arg-type]
    first, *rest = told.steps
    if heated and volume > 0.0:
        assert first.parts == {"warm": 0.15, "at": 40.0}
        assert first.parts["at"].kind is kinds.TEMPERATURE
        first, *rest = rest
    assert ("sunny day" in first.template) is (heated or diverted)
    assert len(rest) == (heated or diverted)
    bare = SimpleNamespace(site=SimpleNamespace(water_heater=None))
    assert boxes._hot_box(bare) == ()  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("hand", "joined", "two_ways", "keys"),
    [
        (False, True, True, []), (False, False, False, []), (True, True, True, ["house", "spout"]),
        (True, True, False, ["house"]), (True, False, False, ["spout"]),
    ],
)  # fmt: skip
def test_the_ways_of_a_hand_pump_have_their_letters(
    hand: bool, joined: bool, two_ways: bool, keys: list[str]
) -> None:
    """Behind the one box of two pumps, and before lifts and what is stored. Behind the last letter
    a box has the number of its place."""
    lifts = [SimpleNamespace(name=f"lift {number}") for number in range(1, 31)]
    seen = SimpleNamespace(
        pumps=(SimpleNamespace(name="a"), SimpleNamespace(name="b")), joined=joined,
        hand=True if hand else None, two_ways=two_ways, pump_box=lambda _: boxes.PUMP,
        has=SimpleNamespace(lifts=lifts), lifts=lifts[1:], outages=SimpleNamespace(stores=True),
    )  # fmt: skip
    found = boxes.letters_of(seen)  # type: ignore[arg-type]
    ways = {"house": boxes.INTO_HOUSE, "spout": boxes.SPOUT}
    expected = [boxes.PUMP, *(ways[key] for key in keys)]
    expected += [f"{boxes.LIFT}_{number}" for number in range(2, 31)] + [boxes.STORED]
    assert list(found) == expected
    letters = [chr(ord("A") + place) for place in range(26)]
    assert list(found.values())[:26] == letters
    last = len(expected)
    assert list(found.values())[26:] == [f"{place}" for place in range(27, last + 1)]


@pytest.mark.parametrize(("people", "bound", "steps"), [(1, "power", 2), (2, "power", 3),
                                                        (1, "day", 1), (2, None, 2)])  # fmt: skip
def test_a_lift_is_told_with_its_people_and_bucket(
    people: int, bound: str | None, steps: int
) -> None:
    task = None if bound is None else SimpleNamespace(volume=0.02, time=90.0, bound=bound)
    lift = SimpleNamespace(
        name="rope", people=people, task=lambda key: task if key == "bucket" else None
    )
    found = boxes._lift_box(None, lift, "lift_1", "B")  # type: ignore[arg-type]
    assert len(found.steps) == steps
    assert ("work it together" in found.steps[0].template) is (people == 2)
    if bound == "power":
        assert found.steps[-1].parts == {"volume": 0.02, "time": 90.0}
