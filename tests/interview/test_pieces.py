"""Pieces of the interview, each against what a person means by it."""

from __future__ import annotations

import re
from dataclasses import replace
from types import SimpleNamespace
from typing import Any
from unittest import mock

import pytest

from wellsolar import kinds
from wellsolar.data import rows
from wellsolar.data.starter_pumps import starter_pumps
from wellsolar.interview.answers.commas import doubtful
from wellsolar.interview.answers.curve import read_curve
from wellsolar.interview.answers.facts import Facts, shipped_default
from wellsolar.interview.answers.question import Offer, Part, Reading, Unclear
from wellsolar.interview.answers.reading import read_answer, read_part
from wellsolar.interview.answers.shapes import (
    as_intake,
    as_people,
    as_precharge,
    as_strings,
    as_test,
)
from wellsolar.interview.answers.spellings import spelled
from wellsolar.interview.answers.words import spellings
from wellsolar.interview.check import unit_of
from wellsolar.interview.conversation import Conversation
from wellsolar.interview.news import Told
from wellsolar.interview.questions import pumps
from wellsolar.interview.questions.guards import guards
from wellsolar.interview.questions.hand import hand_pump
from wellsolar.interview.questions.heat import _upper
from wellsolar.interview.questions.pumps import _curve, _depth, _likeliest, _stand_in
from wellsolar.interview.questions.still_open import _label, _lower
from wellsolar.interview.questions.well import _precharge, pipes, pressure, well
from wellsolar.interview.screen import Screen, _sentence
from wellsolar.interview.telling import Telling, echo
from wellsolar.site.defaults import defaults
from wellsolar.studies.rules import all_rules
from wellsolar.units import read, read_list
from wellsolar.verdicts import say


@pytest.mark.parametrize(
    ("said", "row", "rows"),
    [
        ("two rows of 4", 4, 2), ("one row of 6", 6, 1), ("2 rows of 4", 4, 2), ("4 x 2", 4, 2),
        ("4S2P", 4, 2), ("one in series, two in parallel", 1, 2),
    ],
)  # fmt: skip
def test_modules_in_a_row_and_rows(said: str, row: int, rows: int) -> None:
    assert re.findall(r"\d+", as_strings(said)) == [f"{row}", f"{rows}"]


@pytest.mark.parametrize(("said", "strings"), [
    ("12 modules, 4 per string", "4, 3"), ("12 panels, 6 in each row", "6, 2"),
    ("9 modules, 4 per string", None), ("9 modules, 0 per string", None),
])  # fmt: skip
def test_modules_in_each_row_come_out_even(said: str, strings: str | None) -> None:
    if strings is not None:
        assert as_strings(said) == strings
        return
    with pytest.raises(Unclear, match="in series x so many rows"):
        as_strings(said)


@pytest.mark.parametrize(("number", "layout"), [
    (17, "1 x 17"), (30, "15 x 2"), (32, "16 x 2"), (34, "2 x 17"), (36, "12 x 3"),
])  # fmt: skip
def test_of_more_modules_than_a_row_has_the_longest_even_rows_are_an_example(
    number: int, layout: str
) -> None:
    """A row has 16 at most."""
    assert as_strings("16 modules") == "16"
    with pytest.raises(Unclear, match=f"such as {layout}$"):
        as_strings(f"{number} modules")


@pytest.mark.parametrize(
    ("said", "cut_in", "pressure"),
    [
        # 40 psi less 2; 2.758 bar are 40 psi, less 0.15; 275.8 kPa less 14.
        ("2 psi below the cut-in", "40 psi", "38 psi"),
        ("2 below cut in", "30 psi", "28 psi"),
        ("3 pounds under the cut-in pressure", "40 psi", "37 psi"),
        ("0.15 bar below", "2.8 bar", "2.65 bar"),
        ("14 kPa less than the cut-in", "280 kPa", "266 kPa"),
        ("38 psi", "40 psi", "38 psi"),
    ],
)
def test_air_below_the_cut_in(said: str, cut_in: str, pressure: str) -> None:
    told = as_precharge(read(cut_in, kinds.PRESSURE), said)
    assert told.split()[1] == pressure.split()[1]
    assert read(told, kinds.PRESSURE) == pytest.approx(read(pressure, kinds.PRESSURE), rel=1e-3)


def test_air_below_a_cut_in_that_nobody_told_is_unclear() -> None:
    with pytest.raises(Unclear, match="give the pressure that the gauge shows"):
        as_precharge(None, "2 psi below")


NUMBERS = (
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip


@pytest.mark.parametrize(("number", "word"), list(enumerate(NUMBERS, 1)))
def test_people_in_words(number: int, word: str) -> None:
    part = Part(("site", "people"), "people")
    for said in (word, f"{number} people", f"family of {number}", f"about {number} or so"):
        assert read_part(said, part, "US") == number


def test_a_mixing_valve_is_known_by_the_number_of_its_standard() -> None:
    """ASSE 1016 is for the shower, 1017 at the source, 1070 at the fixture, 1082 at the heater,
    1084 a heater's own limit (from memory)."""
    words = spellings(("water_heater", "mixing_valve", "standard"))
    assert {said: words[said] for said in words if said.isdecimal()} == {
        str(number): f"ASSE {number}" for number in (1016, 1017, 1070, 1082, 1084)
    }


@pytest.mark.parametrize(("width", "under"), [(80, "-" * 14), (10, "-" * 10)])
def test_a_heading_is_underlined_within_the_screen(width: int, under: str) -> None:
    written: list[str] = []
    Screen(written.append, lambda _: None, width).heading("What is open yet"[:14], " (aside)")
    assert "".join(written).split("\n")[-2] == under


def test_what_is_left_open_is_called_by_its_last_key() -> None:
    assert _label(("well", "tested_yield")) == "tested yield"
    assert _label(("water_heater", "element", 1, "rated_power")) == "rated power"
    assert _label(("people",)) == "people"


@pytest.mark.parametrize(
    ("open_", "told"),
    [
        ([], None), (["pump"], "the pump:"), (["pump", "tank"], "the pump and tank:"),
        (["pump", "pipe", "wire", "tank"], "the pump, pipe, wire and tank:"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("answer", ["yes", "no", None])
def test_what_nobody_told_is_listed(
    open_: list[str], told: str | None, answer: str | None
) -> None:
    written: list[str] = []
    talk = mock.Mock()
    talk.screen = Screen(written.append, lambda _: answer, 80)
    talk.draft.to_size.return_value, talk.draft.path = open_, "a.toml"
    assert Conversation.to_be_sized(talk) is bool(told and answer == "yes")
    shown = " ".join("".join(written).split())
    assert shown.startswith(f"Nobody told {told} wellsolar size a.toml") if told else not shown


def facts(system: str = "US", **tables: Any) -> Facts:
    return Facts(tables, {}, system)  # type: ignore[arg-type]


@pytest.mark.parametrize(("edition", "asked"), [(None, True), (2017, False), (2020, True)])
def test_a_pump_s_ground_fault_breaker_is_asked_after_since_2020(
    edition: int | None, asked: bool
) -> None:
    """NEC 210.8(F), outlets outdoors: new in the edition of 2020 (from memory)."""
    pump = {"name": "p", "kind": "submersible"}
    site = {} if edition is None else {"code_edition": edition}
    keys = [question.key for question in guards(facts(pump=[pump], site=site))]
    assert ("pump.ground_fault_breaker" in keys) is asked


@pytest.mark.parametrize(
    ("pump", "asked"),
    [
        ({}, True), ({"phases": 1}, True), ({"phases": 3}, False), ({"kind": "suction"}, False),
        ({"draws": "storage tank"}, False), ({"supply": "DC"}, False),
    ],
)  # fmt: skip
def test_it_is_asked_of_pumps_of_one_phase_that_hang_in_the_well(
    pump: dict[str, Any], asked: bool
) -> None:
    made = facts(pump=[{"name": "other", "supply": "DC"}, {"name": "p"} | pump])
    of = [question.parts[0].path for question in guards(made)
          if question.key == "pump.ground_fault_breaker"]  # fmt: skip
    assert of == ([("pump", 1, "ground_fault_breaker")] if asked else [])


@pytest.mark.parametrize(
    ("system", "level", "bottom", "place"),
    [
        ("US", "80 ft", "200 ft", "100 ft"), ("US", "80 ft .. 110 ft", "200 ft", "130 ft"),
        ("US", "80 ft", "90 ft", "90 ft"), ("SI", "24 m", "60 m", "30 m"),
    ],
)  # fmt: skip
def test_a_hand_pump_s_cylinder_hangs_20_ft_below_the_water(
    system: str, level: str, bottom: str, place: str
) -> None:
    """6 m, common practice, no source; no deeper than the well."""
    made = facts(system, well={"static_level": level, "depth": bottom}, hand_pump={"bore": "2 in"})
    offer = hand_pump(made)[-1].offer
    assert offer is not None
    assert offer.text == f"{place}, spout"
    for lacking in ({"depth": bottom}, {"static_level": level}):
        made = facts(system, well=lacking, hand_pump={"bore": "2 in"})
        assert hand_pump(made)[-1].offer is None


@pytest.mark.parametrize(("system", "cut_in", "air"), [("US", "40 psi", "38 psi"),
                                                       ("SI", "280 kPa", "266 kPa")])  # fmt: skip
def test_air_is_offered_2_psi_below_the_cut_in(system: str, cut_in: str, air: str) -> None:
    """The tank makers' rule (from memory), in whole units."""
    offer = _precharge(facts(system, pressure_switch={"cut_in": cut_in})).offer
    assert offer is not None
    assert offer.text == air


FOOT_PER_PSI = 2.307
"""Of water."""


@pytest.mark.parametrize("role", ["existing", "backup"])
@pytest.mark.parametrize("cut_out", [None, 40, 70])
@pytest.mark.parametrize(("intake", "bottom"), [(None, 120), (150, 300), (330, 400), (None, None),
                                                (2900, 3000)])  # fmt: skip
def test_the_pump_that_is_offered_is_the_smallest_that_reaches(
    role: str, cut_out: int | None, intake: int | None, bottom: int | None
) -> None:
    """From the intake, or the bottom where nobody told it, to the cut-out, or 60 psi; on direct
    current only beside another; the strongest where none reaches."""
    curves: dict[str, list[tuple[str, float, float]]] = {}
    for row in rows("starter_pumps"):
        points = curves.setdefault(row["pump"], [])
        points.append((row["supply"], float(row["flow"]), float(row["head"])))
    wanted = (intake or bottom or 0) + (cut_out or 60) * FOOT_PER_PSI
    names = list(curves)
    able = [name for name in names if curves[name][0][2] > wanted
            and (role == "backup" or curves[name][0][0] == "AC")]  # fmt: skip
    best = (
        min(able, key=lambda name: curves[name][-1][1])
        if able
        else max(names, key=lambda name: curves[name][0][2])
    )
    pump = {"name": "p", "role": role} | ({"intake_depth": f"{intake} ft"} if intake else {})
    switch = {"cut_out": f"{cut_out} psi"} if cut_out else {}
    depth = {"depth": f"{bottom} ft"} if bottom else {}
    made = facts(pump=[pump], pressure_switch=switch, well=depth)
    assert _likeliest(made, ("pump", 0)) == names.index(best) + 1


def test_the_smallest_that_reaches_gives_least_at_its_most(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of two that reach, the second point of the smaller one's curve lies farther out."""
    like = starter_pumps()[0]
    two = [like._replace(flow="0, 2, 9 gpm", head="900, 400, 300 ft", supply="AC"),
           like._replace(flow="0, 4, 5 gpm", head="900, 400, 300 ft", supply="AC")]  # fmt: skip
    monkeypatch.setattr(pumps, "starter_pumps", lambda: two)
    assert _likeliest(facts(pump=[{"role": "backup"}]), ("pump", 0)) == 2


@pytest.mark.parametrize(("switch", "wanted"), [
    ({}, 2), ({"cut_out": "60 psi"}, 2), ({"cut_out": "57 psi"}, 1), ({"cut_out": "63 psi"}, 3),
])  # fmt: skip
def test_60_psi_above_the_depth_are_to_be_reached_where_no_cut_out_is_told(
    switch: dict[str, str], wanted: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """60 psi are 138.4 ft of water, so that 237 ft do not reach from 100 ft down and 240 ft do;
    57 psi are 131.5 ft and 63 psi 145.3 ft."""
    like = starter_pumps()[0]
    made_pumps = [like._replace(flow=f"0, {most} gpm", head=f"{head}, 100 ft", supply="AC")
                  for most, head in ((2, 237), (4, 240), (6, 250))]  # fmt: skip
    monkeypatch.setattr(pumps, "starter_pumps", lambda: made_pumps)
    made = facts(pump=[{}], well={"depth": "100 ft"}, pressure_switch=switch)
    assert _likeliest(made, ("pump", 0)) == wanted


def test_each_element_s_high_limit_has_a_question_of_its_own() -> None:
    elements = [{"position": each} for each in ("lower", "upper", "lower")]
    keys = [each.key for each in guards(facts(water_heater={"element": elements}))]
    assert [key.rpartition(".")[2] for key in keys if "high_limit" in key] == [
        "high_limit_lower", "high_limit_upper", "high_limit_lower_3"]  # fmt: skip


@pytest.mark.parametrize(("hand", "asked"), [
    ({"kind": "lift"}, ["bottom pump", "hand pump's cylinder"]), ({"kind": "suction"}, None),
    ({"kind": "lift", "well": "other"}, None), (False, None),
])  # fmt: skip
def test_widths_are_asked_where_two_things_hang_in_the_casing(
    hand: object, asked: list[str] | None
) -> None:
    made = facts(pump=[{"name": "bottom pump", "role": "main"}], hand_pump=hand)
    labels = [[part.label for part in question.parts] for question in pumps.fit(made)]
    assert labels == ([asked] if asked else [])


@pytest.mark.parametrize(
    ("second", "asked"),
    [
        ({"role": "backup"}, True), ({}, False), ({"role": "other"}, False),
        ({"role": "backup", "kind": "suction"}, False),
        ({"role": "backup", "draws": "storage tank"}, False),
        ({"role": "backup", "well": "other well"}, False),
    ],
)  # fmt: skip
def test_widths_are_asked_of_pumps_that_hang_in_the_same_casing(
    second: dict[str, str], asked: bool
) -> None:
    made = facts(pump=[{"name": "first", "role": "existing"}, {"name": "second"} | second])
    labels = [part.label for question in pumps.fit(made) for part in question.parts]
    assert labels == (["first", "second"] if asked else [])


@pytest.mark.parametrize(
    ("said", "shown"),
    [("a pump", "A pump."), ("it is 5 gpm.", "It is 5 gpm."), ("NEC asks it", "NEC asks it.")],
)
def test_a_sentence_begins_large_and_ends(said: str, shown: str) -> None:
    assert _sentence(said) == shown


@pytest.mark.parametrize(("typed", "sure"), [("yes", True), ("no", False), ("", False),
                                             (None, False)])  # fmt: skip
def test_a_table_goes_from_the_file_by_a_yes_alone(typed: str | None, sure: bool) -> None:
    talk = mock.Mock()
    talk.screen.line.return_value = typed
    assert Conversation._sure(talk, [("hand_pump",), ("pump", 0)]) is sure
    asked, *left = [call.args[0] for call in talk._say.call_args_list]
    assert "hand_pump, pump[1]" in asked
    assert left == ([] if sure else ["Left as it is."])


@pytest.mark.parametrize(
    ("settled", "tables", "asked"),
    [
        ({"pumps": "no"}, {}, False), ({"pumps": "no"}, {"array": [{"name": "a"}]}, True),
        ({}, {}, True), ({"pumps": "1"}, {}, True),
    ],
)  # fmt: skip
def test_a_generator_is_asked_after_where_something_runs_by_power(
    settled: dict[str, str], tables: dict[str, Any], asked: bool
) -> None:
    keys = [question.key for question in guards(Facts(tables, settled, "US"))]
    assert ("power.generator" in keys) is asked


@pytest.mark.parametrize(
    ("settled", "there", "asked"),
    [({}, {}, True), ({"pumps": "no"}, {}, False), ({"pumps": "no"}, {"pump": [{}]}, True),
     ({"pumps": "1"}, {}, True)],
)  # fmt: skip
def test_pressure_and_pipes_are_asked_unless_there_is_no_pump(
    settled: dict[str, str], there: dict[str, Any], asked: bool
) -> None:
    made = Facts(there, settled, "US")
    keys = [question.key for question in (*pressure(made), *pipes(made))]
    assert keys == (["pressure_switch", "pressure_tank", "piping"] if asked else [])


@pytest.mark.parametrize(
    ("power", "asked"),
    [
        ({"generator_rating": "4 kW"}, True), ({"battery_energy": "9 kWh"}, False),
        ({"generator_rating": "4 kW", "grid": False}, False), ({}, False),
    ],
)  # fmt: skip
def test_a_generator_s_neutral_is_asked_after_beside_another_supply(
    power: dict[str, Any], asked: bool
) -> None:
    keys = [question.key for question in guards(facts(power=power))]
    assert ("power.generator_neutral" in keys) is asked


@pytest.mark.parametrize(
    ("power", "asks"),
    [
        ({"generator_rating": "4 kW"}, "Does equipment keep grid and generator from ever"),
        ({"generator_rating": "4 kW", "battery_energy": "9 kWh"},
         "Which of these can never meet: grid and inverter; grid and generator; inverter and "
         "generator?"),
        ({"generator_rating": "4 kW", "grid": False}, None),
    ],
)  # fmt: skip
def test_supplies_are_kept_apart_in_pairs(power: dict[str, Any], asks: str | None) -> None:
    asked = [each.asks for each in guards(facts(power=power)) if each.key == "power.kept_apart"]
    assert len(asked) == (asks is not None)
    assert all(each.startswith(asks or "") for each in asked)


def test_what_is_offered_of_the_shipped_defaults_is_that_key_s() -> None:
    every = defaults()
    for default in every:
        assert shipped_default(default.path) == Offer(str(default.value), default.why)
    assert len({default.path for default in every}) == len(every)


@pytest.mark.parametrize(("system", "bore"), [("US", "6 in"), ("SI", "150 mm")])
def test_the_usual_casing_is_offered_in_the_site_s_units(system: str, bore: str) -> None:
    offers = {question.key: question.offer for question in well(facts(system))}
    offer = offers["well.casing_bore"]
    assert offer is not None
    assert offer.text == bore


@pytest.mark.parametrize(
    ("said", "flow"),
    [
        # 5 gal in 40 s are 7.5 a minute; 10 L in 2 minutes are 5.
        ("5 gallons in 40 seconds", "7.5 gpm"), ("5 gal bucket every 40 sec", "7.5 gpm"),
        ("10 L in 2 minutes", "5 L/min"), ("20 litres per minute", "20 L/min"),
        ("5 gallons in 0 seconds", "5 gallons in 0 seconds"),
    ],
)  # fmt: skip
def test_a_bucket_and_its_time_are_a_flow(said: str, flow: str) -> None:
    assert as_test(None, said) == flow


@pytest.mark.parametrize(
    ("said", "bottom", "depth"),
    [
        ("10 ft off the bottom", "200 ft", "190 ft"), ("near the bottom", "200 ft", "190 ft"),
        ("3 m above the bottom", "60 m", "57 m"), ("190 ft", "200 ft", "190 ft"),
    ],
)  # fmt: skip
def test_an_intake_above_the_bottom(said: str, bottom: str, depth: str) -> None:
    assert as_intake(read(bottom, kinds.LENGTH), said) == depth


@pytest.mark.parametrize(("path", "unit"), [
    (("well", "depth"), ("well",)), (("piping", "drop_pipe", "length"), ("piping",)),
    (("pump", 1, "flow"), ("pump", 1)), (("pump", 1), ("pump", 1)), (("pump",), ("pump",)),
])  # fmt: skip
def test_a_table_waits_for_its_own_keys_alone(
    path: tuple[str | int, ...], unit: tuple[str | int, ...]
) -> None:
    assert unit_of(path) == unit


def test_the_invented_pumps_are_listed_by_the_numbers_that_an_answer_names() -> None:
    asked = _stand_in(facts(), "pump[1]", "house pump", ("pump", 0))
    named = dict.fromkeys((row["pump"], row["supply"]) for row in rows("starter_pumps"))
    listed = "; ".join(
        f"{place} {pump}, {supply}" for place, (pump, supply) in enumerate(named, 1)
    )
    assert listed in asked.helps
    for place, (pump, supply) in enumerate(named, 1):
        values = read_answer(f"{place}", asked, "US").values
        assert values["pump", 0, "supply"] == supply
        for key, unit in (("flow", "gpm"), ("head", "ft")):
            points = ", ".join(row[key] for row in rows("starter_pumps") if row["pump"] == pump)
            assert values["pump", 0, key] == f"{points} {unit}"


@pytest.mark.parametrize(
    ("said", "flows", "heads"),
    [
        ("0, 15, 30 L/min 90, 80, 60 m", "0 L/min, 15 L/min, 30 L/min", "90 m, 80 m, 60 m"),
        ("0, 15, 30 L/min; 90, 80, 60 m", "0 L/min, 15 L/min, 30 L/min", "90 m, 80 m, 60 m"),
        ("30 L/min at 60 m, 15 L/min at 80 m", "15 L/min, 30 L/min", "80 m, 60 m"),
        ("60 m at 30 L/min, 80 m at 15 L/min", "15 L/min, 30 L/min", "80 m, 60 m"),
        ("5 300, 8 200", "5 gpm, 8 gpm", "300 ft, 200 ft"),
        # A nought is one in any unit.
        ("0 at 90 m, 30 L/min at 60 m", "0 L/min, 30 L/min", "90 m, 60 m"),
        ("0, 15, 30 L/min", "0 L/min, 15 L/min, 30 L/min", None),
    ],
)
def test_points_of_a_sheet_keep_their_units(said: str, flows: str, heads: str | None) -> None:
    values = read_curve(said, _curve("pump[1]", "p", ("pump", 0)), "US").values
    for key, kind, told in (("flow", kinds.FLOW, flows), ("head", kinds.HEAD, heads)):
        written = values.get(("pump", 0, key))
        if told is None:
            assert written is None
        else:
            meant = [read(one, kind) for one in told.split(", ")]
            assert read_list(written, kind) == pytest.approx(meant)


@pytest.mark.parametrize(
    "said",
    ["0, 3 gpm", "0, 3 gpm; 90, 30 ft", "0 gpm at 90 ft, 3 gpm at 30 ft", "3 gpm at 30 ft"],
)
def test_points_of_a_sheet_take_the_place_of_an_invented_curve(said: str) -> None:
    """With its name, and with the power that it came with."""
    for name, told in (("p", {}), ("p (invented curve)", {"name": "p", "power": None})):
        values = read_curve(said, _curve("pump[2]", name, ("pump", 1)), "US").values
        own = {path[2]: value for path, value in values.items() if path[:2] == ("pump", 1)}
        assert {key: own[key] for key in ("name", "power") if key in own} == told


def test_one_point_of_a_sheet_is_what_the_pump_is_to_give() -> None:
    values = read_curve("30 L/min at 60 m", _curve("pump[1]", "p", ("pump", 0)), "US").values
    assert {".".join(map(str, path)): value for path, value in values.items()} == {
        "pump.0.duty.flow": "30 L/min", "pump.0.duty.head": "60 m",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("lower", "power", "volts"),
    [
        ({}, "4500 W", "240 V"),
        ({"rated_power": "3 kW", "rated_voltage": "208 V"}, "3 kW", "208 V"),
    ],
)
def test_an_upper_element_is_rated_as_the_lower_one(
    lower: dict[str, str], power: str, volts: str
) -> None:
    sets = _upper(facts(water_heater={"element": [lower]})).sets
    upper = {path[-1]: value for path, value in sets.items()}
    assert upper == {
        "position": "upper", "rated_power": power, "rated_voltage": volts, "fed_by": "grid",
    }  # fmt: skip


@pytest.mark.parametrize("said", ["top to bottom", "10 ft to the bottom", "1 to 2 to 3 ft"])
def test_what_has_no_two_ends_is_no_range(said: str) -> None:
    assert ".." not in spelled(said, kinds.LENGTH, "ft")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Whether it runs.", "it runs"), ("True where Modules stand", "modules stand"),
        ("Pump", "pump"), ("NEC edition", "NEC edition"), ("PV", "PV"),
    ],
)  # fmt: skip
def test_a_meaning_goes_on_small_within_a_sentence(text: str, shown: str) -> None:
    assert _lower(text) == shown


@pytest.mark.parametrize(
    ("pump", "offered"),
    [
        ({}, "190 ft"), ({"kind": "suction"}, None), ({"well": "dug"}, "20 ft"),
        ({"well": "flat"}, None),
    ],
)  # fmt: skip
def test_an_intake_is_offered_10_ft_above_the_bottom_of_its_own_well(
    pump: dict[str, str], offered: str | None
) -> None:
    """Common practice, no source; none where the well is no deeper, or the pump sucks."""
    others = [{"name": "dug", "depth": "30 ft"}, {"name": "flat", "depth": "9 ft"}]
    made = facts(well={"depth": "200 ft"}, other_well=others, pump=[pump])
    offer = _depth(made, "pump[1]", "p", ("pump", 0), pump).offer
    assert (offer and offer.text) == offered


@pytest.mark.parametrize(
    ("first", "place", "offered"),
    [("150 ft", 1, "140 ft"), ("9 ft", 1, "190 ft"), (None, 1, "190 ft"), ("150 ft", 2, "190 ft")],
)
def test_a_second_pump_is_offered_10_ft_above_the_first(
    first: str | None, place: int, offered: str
) -> None:
    """A third one not, nor where the first hangs no deeper than that."""
    pump = {} if first is None else {"intake_depth": first}
    made = facts(well={"depth": "200 ft"}, pump=[pump, {}, {}])
    offer = _depth(made, "pump", "p", ("pump", place), {}).offer
    assert offer is not None
    assert offer.text == offered


@pytest.mark.parametrize(("left", "aside"), [
    (0, ""), (1, ""), (2, "  (2 or more questions to come)"),
])  # fmt: skip
def test_a_heading_tells_how_many_questions_are_left(left: int, aside: str) -> None:
    asked = [_depth(facts(), f"pump[{n}]", "p", ("pump", n), {}) for n in range(2)]
    known = facts(pump=[{"intake_depth": "9 ft"}] * (2 - left))
    telling = Telling(mock.Mock(), "US")
    telling.heading("The pumps", asked, known)
    telling.screen.heading.assert_called_once_with("The pumps", aside)  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("told", "said"),
    [
        (Told(standing=(all_rules()["yield"].unknown("p", "well.depth"),)),
         "As the file stands: 0 fail, 0 caution, 0 pass, 1 open."),
        (Told(), ""), (Told(trouble="It broke."), "It broke."), (None, ""),
    ],
)  # fmt: skip
def test_it_begins_with_how_the_file_stands(told: Told | None, said: str) -> None:
    written: list[str] = []
    telling = Telling(Screen(written.append, lambda _: None, 80), "US")
    telling.judge = mock.Mock()
    telling.judge.look.return_value = told
    draft = mock.Mock(path="a.toml", disk=b"")
    draft.site_file.return_value = None if told is None else mock.Mock()
    telling.greeting(draft)
    shown = " ".join("".join(written).split()).partition("goes on from there.")[2]
    assert shown.strip() == said
    assert telling.due is (told is None)


@pytest.mark.parametrize(
    ("due", "file", "status", "told"),
    [(True, True, "fail", True), (False, True, "fail", False), (True, False, "fail", False),
     (True, True, "unknown", False)],
)  # fmt: skip
def test_what_follows_is_told_once_a_site_can_be_judged(
    due: bool, file: bool, status: str, told: bool
) -> None:
    written: list[str] = []
    telling = Telling(Screen(written.append, lambda _: None, 80), "US", due)
    rule = all_rules()["yield"]
    fresh = (
        rule.unknown("p", "well.depth")
        if status == "unknown"
        else rule.verdict("fail", "p", say("it runs dry"))
    )
    telling.judge = mock.Mock()
    telling.judge.look.return_value = Told((fresh,), (fresh,))
    draft = mock.Mock()
    draft.site_file.return_value = mock.Mock() if file else None
    telling.news(draft)
    shown = " ".join("".join(written).split())
    assert shown.startswith("What follows so far") is told
    assert ("In all: 1 fail, 0 caution, 0 pass, 0 open." in shown) is told
    assert telling.due is (due and not file)


@pytest.mark.parametrize(("message", "again"), [
    ("no number", True), ("write it as 4 x 2, such as here", False), ("e.g. 4 ft", False),
])  # fmt: skip
def test_an_example_is_told_where_the_refusal_has_none(message: str, again: bool) -> None:
    talk = mock.Mock()
    talk._example.return_value = "4 ft"
    Conversation._not_understood(talk, message, mock.Mock())
    said = [call.args[0] for call in talk._say.call_args_list]
    assert said == [f"Not understood: {message}.", *(["For example: 4 ft"] if again else [])]


def test_pumps_that_were_chosen_are_named() -> None:
    chosen = {("pump", number, key): f"{key} {number}" for number in (0, 1)
              for key in ("name", "role")}  # fmt: skip
    assert echo(Reading(chosen, choice="2"), mock.Mock()) == "name 0 and name 1"


def test_the_verdicts_of_a_site_are_looked_for_once() -> None:
    talk, told = mock.Mock(), mock.Mock()
    talk._looked.return_value = told
    for last, looked in ((None, 1), (told, 0)):
        talk.last = last
        talk._looked.reset_mock()
        assert Telling.standing(talk, mock.Mock()) is told.standing
        assert talk._looked.call_count == looked


def test_people_of_whom_only_some_are_counted_are_left_as_they_were_said() -> None:
    """A number that stands for some of them is no number of all."""
    assert as_people("grandma and 2 kids") == "grandma and 2 kids"
    assert as_people("2 adults, 1 child") == "3"
    assert as_people("the wife and me") == "2"
    assert as_people("grandma and me") == "grandma and me"


def test_a_question_that_reads_yes_itself_has_it_read() -> None:
    """Which of three supplies are kept apart: yes means every pair. Of the others a yes settles
    nothing."""
    power = {"grid": True, "generator_rating": "4 kW", "battery_energy": "9 kWh"}
    facts = Facts({"power": power}, {}, "US")
    (question,) = [each for each in guards(facts) if each.key == "power.kept_apart"]
    for asked, step in (
        (replace(question, declines=True), "on"),
        (replace(question, declines=True, reads=None), "agreed"),
    ):
        talk = SimpleNamespace(
            _answered=lambda *told: "on", _say=len, _example=lambda question: "such"
        )
        assert Conversation._taken(talk, asked, "yes", False) == step  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("said", "us", "si"),
    [
        ("1,5", [], [("1,5", "1.5")]),
        ("1,5 m", [("1,5", "1.5 m")], [("1,5", "1.5 m")]),
        ("1,5 gpm", [], []),
        ("150 ft", [], []),
    ],
)
def test_a_comma_is_in_doubt_but_among_inches_and_pounds(
    said: str, us: list[tuple[str, str]], si: list[tuple[str, str]]
) -> None:
    """A bare number is one of inch and pound where the site is."""
    assert doubtful(said, "US") == us
    assert doubtful(said, "SI") == si
