"""What the owner's card sees of sites made by hand, and in which order pumps are tried."""

from __future__ import annotations

from typing import Any

import pytest

from tests.studies.by_hand import some
from wellsolar.site import part_names
from wellsolar.studies.card import site as seeing
from wellsolar.studies.card import study
from wellsolar.studies.card.site import Seen

GALLON = 3.785411784e-3


def seen(**attributes: Any) -> Any:
    """With what it is given in place of what it would work out."""

    class Made(Seen):
        pass

    for name, value in attributes.items():
        setattr(Made, name, value)
    return object.__new__(Made)


@pytest.mark.parametrize(
    ("gallons", "taps"),
    # A tub's tap gives 4 gpm, as the plumbing code has it.
    [(0.5, 1), (4.0, 1), (4.1, 2), (8.0, 2), (8.1, 3)],
)
def test_so_many_taps_take_all_that_a_pump_gives(gallons: float, taps: int) -> None:
    pumps = (some(name="other", duties=(some(flow=1.0),)),
             some(name="p", duties=(some(flow=gallons * GALLON / 60),)))  # fmt: skip
    assert seen(pumps=pumps).taps_for("p") == taps


def table(name: str, role: str = "existing", held: float | None = None) -> Any:
    return some(name=name, role=role, held_pressure=held)


def cell(source: str, volume: float, power: str = "inverter", pressure: str = "") -> Any:
    return some(source=source, volume=volume, power=power, pressure=pressure, kind="pump")


def order(cells: list[Any], wanted: float = 1.0, fills: str = "", **energy: float) -> list[str]:
    """Names of pumps in the order of trying: "b" is a backup pump, "h" holds its pressure."""
    tables = (table("a"), table("b", "backup"), table("c", "added"), table("h", "added", 3e5))
    flows = {"a": 4e-3, "b": 1e-3, "c": 2e-3, "h": 3e-3}
    pumps = [some(name=name, energy_per_volume=energy.get(name), duties=(some(flow=flow),))
             for name, flow in flows.items()]  # fmt: skip
    made = seen(site=some(pump=tables), has=some(pumps=pumps),
                fills=lambda self, name: name == fills,
                outages=some(normal=wanted, survival=0.1))  # fmt: skip
    return [each.source for each in seeing.pumps_in_order(made, some(cells=cells))]


def test_in_which_order_an_owner_tries_the_pumps() -> None:
    # On the grid the house's own goes first, then the one of the most water.
    grid = [cell(name, volume, "grid") for name, volume in (("b", 5.0), ("c", 7.0), ("a", 2.0))]
    assert order(grid) == ["a", "c", "b"]
    # On what is scarce the backup pump, if it gives the day's water; else by energy.
    scarce = [cell("a", 5.0), cell("b", 1.0), cell("c", 3.0)]
    assert order(scarce, a=2e3, c=1e3, b=9e3) == ["b", "c", "a"]
    assert order(scarce, wanted=1.01, a=2e3, c=1e3) == ["c", "a", "b"]
    assert order(scarce, a=2e3) == ["b", "a", "c"]
    # Of those that give too little the one that gives most.
    assert order(scarce, wanted=9.0) == ["a", "c", "b"]
    # Without the tank's air one that holds its pressure, then the least flow; behind all others.
    torn = [cell(name, 1.0, pressure="short cycling") for name in "abch"]
    assert order(torn) == ["h", "b", "c", "a"]
    assert order([torn[3], cell("a", 0.5), cell("c", 0.1, "grid")], wanted=9.0) == ["c", "a", "h"]
    # One that fills the storage tank goes before those that draw from it; none that gives none.
    assert order([*scarce, cell("h", 0.2)], fills="h", b=1.0)[0] == "h"
    assert order([cell("a", 0.0), cell("b", 1e-6)]) == ["b"]
    other = cell("c", 1.0)
    other.kind = "hand"
    assert order([other, cell("a", 1.0)]) == ["a"]


def test_an_ordinary_days_water_or_else_survival_is_wanted() -> None:
    made = [cell("a", 0.2), cell("b", 0.05)]
    assert order(made, wanted=0.0, a=1.0, b=2.0) == ["a", "b"]  # survival is 0.1
    assert order([cell("a", 0.2), cell("b", 0.1)], wanted=0.0, a=1.0) == ["b", "a"]


@pytest.mark.parametrize(
    ("supplies", "pumps", "switch", "over", "gauged"),
    [
        (("grid", "inverter"), [("AC", None)], "breaker", True, True),
        (("grid",), [("AC", None)], "breaker", False, True),
        (("grid", "inverter"), [("DC", None)], "switch", False, True),
        (("grid", "inverter"), [("DC", None), ("AC", None)], "breaker", True, True),
    ],
)  # fmt: skip
def test_what_turns_pumps_on_and_off(
    supplies: tuple[str, ...], pumps: list[tuple[str, Any]], switch: str, over: bool, gauged: bool,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.setattr(seeing, "supplies_of", lambda site: supplies)
    tables = tuple(some(supply=supply, held_pressure=held) for supply, held in pumps)
    made = seen(site=some(pump=tables, pressure_switch="switch"))
    assert (made.switch, made.switches_over, made.gauged) == (switch, over, gauged)
    held = tuple(some(held_pressure=each) for each in (None, 3e5))
    assert seen(site=some(pump=held, pressure_switch=None)).gauged
    assert not seen(site=some(pump=held[:1], pressure_switch=None)).gauged


def test_who_lives_there_and_what_heats_the_water() -> None:
    for people, word in ((1, "person"), (2, "people"), (None, "people")):
        assert seen(people=people).persons == word
    sun, roof = some(name="sun"), some(name="roof")
    for fed, arrays, breaker in (
        ({"sun"}, (sun,), False), ({"grid"}, (), True), ({"inverter", "roof"}, (roof,), True),
    ):  # fmt: skip
        elements = tuple(some(fed_by=each) for each in fed)
        heater = some(element=elements, second_tank=None)
        made = seen(site=some(water_heater=heater, array=(sun, roof)))
        assert (made.heater_arrays, made.heater_on_breaker) == (arrays, breaker)
    second = some(element=(some(fed_by="sun"),), second_tank="tank")
    assert seen(site=some(water_heater=second, array=())).heater_on_breaker
    none = seen(site=some(water_heater=None, array=(sun,)))
    assert (none.heater_arrays, none.heater_on_breaker) == ((), False)


def test_a_pump_that_lifts_nothing_and_hands_that_draw_none_are_not_seen() -> None:
    pumps = tuple(some(duties=(some(flow=flow), some(flow=1.0))) for flow in (0.0, 1e-6))
    lifts = tuple(some(flow=flow) for flow in (0.0, 1e-6))
    for draws in (True, False):
        hand = some(draws_water=draws)
        made = seen(has=some(pumps=pumps, lifts=lifts, hand=hand))
        assert (made.pumps, made.lifts) == (pumps[1:], lifts[1:])
        assert made.hand == (hand if draws else None)
    assert seen(has=some(hand=None)).hand is None
    letters = seen(letters={"pump": "A"})
    assert (letters.box("pump"), letters.box("lift")) == ("A", "")


@pytest.mark.parametrize(
    ("valves", "lines"),
    [
        ([], []), (["hand line"], ["Hand line"]),
        (["hand line", "spout valve"], ["Hand line", "Spout valve"]),
        (["hand line", "spout valve", part_names.FROST_DRAIN],
         ["Hand line", f"Spout valve, any {part_names.FROST_DRAIN}"]),
    ],
)  # fmt: skip
def test_blanks_of_the_hand_pumps_valves(
    valves: list[str], lines: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first by itself, and the others on a line of their own."""
    moves = [some(thing=name) for name in valves]
    monkeypatch.setattr(study.layout, "hand_at_rest", lambda site: moves)
    site = some(water_heater=None, job=None, array=())
    made = some(pumps=(), switches_over=False, heater_arrays=(), site=site)
    found = [each.text("US") for each in study._blanks(made)]
    assert found == [*lines, "Call: well, pumps"]


@pytest.mark.parametrize(
    ("pump", "array", "heater", "phone", "lines"),
    [
        (True, (), None, None, ["Breaker p", "Call: well, pumps", "Call: wiring"]),
        (False, ("roof",), None, None, ["Call: well, pumps", "Call: wiring"]),
        (False, (), "tank", None, ["heater", "Call: well, pumps", "Call: wiring, heater"]),
        (True, (), "tank", "555 0100", ["Breaker p", "heater"]),
        (False, (), None, None, ["Call: well, pumps"]),
    ],
)  # fmt: skip
def test_blanks_for_who_is_called(
    pump: bool, array: tuple[str, ...], heater: str | None, phone: str | None, lines: list[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.setattr(study.layout, "hand_at_rest", lambda site: [])
    job = None if phone is None else some(phone=phone)
    site = some(water_heater=heater, job=job, array=array)
    made = some(pumps=(some(name="p"),) if pump else (), switches_over=False, heater_arrays=(),
                site=site, switch="breaker", heater_on_breaker=False)  # fmt: skip
    drain = f"{part_names.COLD.capitalize()}, {part_names.HEATER_DRAIN}"
    found = [each.text("US") for each in study._blanks(made)]
    assert found == [drain if line == "heater" else line for line in lines]
    made.switches_over = made.heater_on_breaker = True
    made.heater_arrays = (some(name="roof"),)
    more = [each.text("US") for each in study._blanks(made)]
    assert ("Transfer switch" in more, "Solar switch (roof)" in more) == (True, True)
    assert ("Breaker water heater" in more) == (heater is not None)
