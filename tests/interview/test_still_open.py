"""What verdicts lack is asked: safety first, a table's keys together, until nothing is unknown."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.interview.test_conversation import WELL, tables, talk
from wellsolar import kinds
from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.reading import read_answer
from wellsolar.interview.news import Judge, Told
from wellsolar.interview.questions.still_open import still_open
from wellsolar.site.locate import key_text
from wellsolar.studies.rules import all_rules
from wellsolar.units import read_list
from wellsolar.verdicts import Verdict

RULES = all_rules()


def unknown(rule: str, *needs: str) -> Verdict:
    return RULES[rule].unknown("somewhere", *needs)


LACKING = [
    unknown("drop pipe pressure", "piping.drop_pipe.pressure_class"),
    unknown("relief valve", "water_heater.relief_temperature", "water_heater.relief_pressure"),
    unknown("relief capacity", "water_heater.relief_capacity", "water_heater.relief_pressure"),
    unknown("thermal expansion", "water_heater.check_valve"),
    unknown("scald protection at fixtures", "water_heater.fixture_valves"),
    unknown("voltage drop", "pump[1].cable"),
    unknown("check valve's place", "piping.check_valve_place"),
]
FACTS = Facts({"pump": [{"name": "deep pump"}]}, {}, "US")


def test_keys_of_one_table_are_asked_together_those_that_hurt_people_first() -> None:
    asked = still_open(LACKING, FACTS, ())
    keys = [[key_text(part.path) for part in each.parts] for each in asked]
    heater = [f"water_heater.{key}" for key in
              ("relief_temperature", "relief_pressure", "relief_capacity")]  # fmt: skip
    safety = {rule.key for rule in RULES.values() if rule.safety}
    assert {"relief valve", "relief capacity", "thermal expansion"} <= safety
    assert "drop pipe pressure" not in safety
    assert heater in keys
    assert ["water_heater.check_valve", "water_heater.fixture_valves"] in keys
    assert ["pump[1].cable.gauge"] in keys, "of a table what it can't do without"
    assert keys[-1] in (["piping.drop_pipe.pressure_class"], ["pump[1].cable.gauge"])
    assert keys.index(heater) < keys.index(["piping.drop_pipe.pressure_class"])
    assert len({each.key for each in asked}) == len(asked)


def test_keys_of_two_pumps_are_two_questions() -> None:
    lacking = [unknown("voltage drop", "pump[1].rated_power", "pump[2].rated_power")]
    asked = still_open(lacking, FACTS, ())
    assert [[key_text(part.path) for part in each.parts] for each in asked] == [
        ["pump[1].rated_power"], ["pump[2].rated_power"]]  # fmt: skip


def test_what_is_known_or_asked_elsewhere_is_not_asked_again() -> None:
    known = Facts({"water_heater": {"relief_pressure": "150 psi"}}, {}, "US")
    asked = still_open(LACKING[1:3], known, {("water_heater", "relief_capacity")})
    assert [[part.path[-1] for part in each.parts] for each in asked] == [["relief_temperature"]]


@pytest.mark.parametrize("system", ["US", "SI"])
def test_every_example_is_an_answer_and_every_help_tells_what_is_settled(system: str) -> None:
    for each in still_open(LACKING, Facts(FACTS.tables, {}, system), ()):  # type: ignore[arg-type]
        for text in each.like.split("; or "):
            found = read_answer(text, each, system)  # type: ignore[arg-type]
            assert found.values, (each.key, text)
        if "gauge" in each.key:
            assert each.like == ("12 AWG" if system == "US" else "4 mm2")
        assert "It settles, of the somewhere:" in each.helps
        assert "\n" not in each.asks


@pytest.mark.parametrize(("need", "owner"), [
    ("pump[1].cable.gauge", "cable of the deep pump"), ("pump[2].power", "bottom pump"),
    ("piping.drop_pipe.pressure_class", "drop pipe"), ("well.bonded", "well"),
    ("water_heater.element[1].surplus_switch", "upper element"),
])  # fmt: skip
def test_whose_key_it_is_is_told_by_its_name_or_place(need: str, owner: str) -> None:
    facts = Facts({
        "pump": [{"name": "deep pump"}, {"name": "bottom pump"}],
        "water_heater": {"element": [{"position": "upper"}]},
    }, {}, "US")  # fmt: skip
    (asked,) = still_open([unknown("voltage drop", need)], facts, ())
    assert asked.asks.startswith(f"About the {owner}. ")


def test_of_a_curve_the_example_has_a_value_for_each_flow() -> None:
    facts = Facts({"pump": [{"name": "deep pump", "flow": "0, 4, 8 gpm"}]}, {}, "US")
    (asked,) = still_open([unknown("voltage drop", "pump[1].power")], facts, ())
    (value,) = read_answer(asked.like, asked, "US").values.values()
    assert len(read_list(str(value), kinds.POWER)) == 3


def test_switches_are_named_and_one_alone_is_yes_or_no() -> None:
    both = next(each for each in still_open(LACKING, FACTS, ()) if len(each.parts) == 2)
    named = read_answer("check valve", both, "US").values
    assert named == {("water_heater", "check_valve"): True,
                     ("water_heater", "fixture_valves"): False}  # fmt: skip
    (alone,) = still_open(LACKING[3:4], FACTS, ())
    assert alone.asks.endswith("Yes or no.")
    assert read_answer("no", alone, "US").values == {("water_heater", "check_valve"): False}


def test_who_is_to_look_is_told_unless_the_owner_can() -> None:
    owner = unknown("freezing", "pressure_tank.coldest_room")
    assert owner.by == "owner"
    for verdict in (owner, *LACKING):
        (asked,) = still_open([verdict], FACTS, ())
        licensed = f"It is for a licensed {verdict.by} to look." in asked.helps
        assert licensed == ("licensed" in asked.helps) == (verdict.by != "owner")


def test_safety_is_asked_of_everybody_the_rest_when_asked_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The verdicts are made up: each is settled once its key stands in the file."""
    rules = {"piping.check_valve_place": "check valve's place",
             "well.bonded": "bonding at the well",
             "pressure_tank.coldest_room": "freezing"}  # fmt: skip
    path = tmp_path / "site.toml"

    def look(judge: Judge, file: object) -> Told:
        text = path.read_text("utf-8") if path.exists() else ""
        return Told((), tuple(unknown(rules[key], key) for key in rules
                              if key.rpartition(".")[2] not in text))  # fmt: skip

    monkeypatch.setattr(Judge, "look", look)
    whole = [*WELL, "1", "150'", "0 gpm at 330 ft, 4 gpm at 120 ft", "1/2 hp, 230 V, soft",
             "12 AWG", "yes", "40/60", "44 gal", "", "1 in, 60 ft, 5 ft", "4", "no", "no", "no",
             "2020", "no", "don't know", "in the motor", "yes", "no"]  # fmt: skip
    shown, finished = talk(path, [*whole, "the pump"])
    assert finished, shown[-500:]
    assert "Check valve place" in shown
    assert "Coldest room" not in shown
    assert " ".join(shown.split()).count("joined by a wire") == 1, (
        "who did not know it once is not asked it twice"
    )
    assert tables(path)["piping"]["check_valve_place"] == "pump"  # type: ignore[index]
    shown, finished = talk(path, ["no", "no", "no", "no", "yes", "no", "50F"], again=True)
    assert finished, shown[-500:]
    assert tables(path)["pressure_tank"]["coldest_room"] == "50 degF"  # type: ignore[index]


@pytest.mark.parametrize(("need", "asked"), [
    ("array", []),
    ("array[2]", ["array[2].name", "array[2].feeds", "array[2].series"]),
    ("water_heater.element[1]", [
        "water_heater.element[1].position", "water_heater.element[1].rated_power",
        "water_heater.element[1].rated_voltage", "water_heater.element[1].fed_by"]),
])  # fmt: skip
def test_of_one_of_several_its_needed_keys_are_asked_of_several_none(
    need: str, asked: list[str]
) -> None:
    questions = still_open([unknown("voltage drop", need)], FACTS, ())
    assert [key_text(part.path) for each in questions for part in each.parts] == asked
