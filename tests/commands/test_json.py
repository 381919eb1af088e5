"""The JSON: strict, in SI, units in its keys, and holding every number that a person reads."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import pytest

from tests.running import CHECKOUT
from wellsolar.reports.tables import sections as table
from wellsolar.reports.text import json as json_file
from wellsolar.results import SCHEMA, SCHEMA_VERSION, Results
from wellsolar.site.loading.read import load_site
from wellsolar.studies.asked.todo import todo_of
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence


def made(results: Results) -> dict[str, Any]:
    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is no JSON")

    text = json_file.as_text(results, table.sections(results))
    loaded: dict[str, Any] = json.loads(text, parse_constant=refuse)
    return loaded


def test_it_names_its_schema_and_its_parts(results: Results) -> None:
    assert list(made(results)) == [
        "schema", "version", "site", "job", "answer", "answers", "counts", "notes", "todo",
        "verdicts", "sections", "figures", "assumptions", "cautions", "care", "sources",
    ]  # fmt: skip
    assert made(results)["schema"] == SCHEMA == "wellsolar.results"
    assert made(results)["version"] == SCHEMA_VERSION
    assert made(results)["site"] == {
        "name": "Hillside house", "note": "invented", "file": "site.toml", "print_units": "US",
    }  # fmt: skip


def test_a_verdict_has_everything_with_units_in_its_keys(results: Results) -> None:
    assert made(results)["verdicts"][0] == {
        "key": "reaches cut-out",
        "asks": "does the pump reach the cut-out pressure?",
        "subject": "backup pump",
        "status": "fail",
        "safety": False,
        "quantity": {"value_Pa_gauge": 320_000.0},
        "limit": {"value_Pa_gauge": 344_738.0},
        "margin": {"value_Pa": -24_738.0},
        "reason": "it stops delivering at 46.4 psi",
        "reason_numbers": {"reach_Pa_gauge": 320_000.0},
        "remedy": "set the cut-out no higher than 41.3 psi",
        "remedy_numbers": {"p_Pa_gauge": 285_000.0},
        "remedy_changes": ['pressure_switch.cut_out="41 psi"'],
        "remedy_by_hand": "",
        "needs": [],
        "claims": [],
        "rule": "the pump must exceed the cut-out by a margin, or it never shuts off",
        "source": {
            "key": "cut-out",
            **made(results)["sources"]["cut-out"],
        },
    }
    assert made(results)["verdicts"][1]["needs"] == ["well.tested_yield"]


def test_what_to_do_names_its_verdicts_its_changes_and_its_keys(results: Results) -> None:
    site = load_site(CHECKOUT / "examples" / "smallest.toml").site
    first, second, *_ = made(replace(results, todo=todo_of(site, results.verdicts)))["todo"]
    assert first == {
        "act": "change",
        "does": "backup pump: set the cut-out no higher than 41.3 psi",
        "numbers": {"p_Pa_gauge": 285_000.0},
        "first": "set the cut-out no higher than 41.3 psi",
        "why": "It stops delivering at 46.4 psi.",
        "by": "plumber",
        "status": "fail",
        "safety": False,
        "clears": [{"key": "reaches cut-out", "subject": "backup pump"}],
        "changes": ['pressure_switch.cut_out="41 psi"'],
        "needs": [],
        "cost": None,
    }
    assert (second["act"], second["needs"]) == ("read", ["well.tested_yield"])
    assert second["does"].startswith("find out well.tested_yield: what was pumped")


def test_rows_and_grids_name_their_units(results: Results) -> None:
    sections = made(results)["sections"]
    pump = sections["pump_2"]
    assert pump["rows"]["name"] == "backup pump"
    assert pump["rows"]["intake_depth_m"] == 42.7
    assert pump["rows"]["energy_per_volume_J_per_m3"] == 1.35e6
    assert pump["grids"]["duties"]["rows"][0]["flow_m3_per_s"] == 2.1e-4
    assert pump["grids"]["head"]["columns"] == ["piece", "at_cut_in_m", "at_cut_out_m", "from"]
    assert sections["heated_tank"]["rows"]["stall_temperature_degC"] is None
    assert sections["tap"]["rows"]["mixed_burn_adult_s"] is None
    day = sections["heated_tank"]["grids"]["clear_days"]["rows"][0]
    assert day["month"] == "Jan"
    assert day["time_to_setpoint_s_from_midnight"] == 51_600.0
    assert day["days_to_setpoint_count"] == 1


def test_every_grid_row_has_the_columns_it_announces(results: Results) -> None:
    for section in made(results)["sections"].values():
        for grid in section["grids"].values():
            assert len(grid["labels"]) == len(grid["columns"])
            for row in grid["rows"]:
                assert [key for key in row if not key.endswith("_numbers")] == grid["columns"]


def numbers_in(value: object) -> Iterator[float]:
    if isinstance(value, dict):
        for inside in value.values():
            yield from numbers_in(inside)
    elif isinstance(value, list):
        for inside in value:
            yield from numbers_in(inside)
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        yield float(value)


def shown_numbers(results: Results) -> Iterator[Quantity]:
    """Every number that the terminal prints."""
    for verdict in results.verdicts:
        yield from (each for each in (verdict.quantity, verdict.limit, verdict.margin) if each)
        yield from verdict.reason.quantities().values()
        yield from verdict.remedy.quantities().values() if verdict.remedy else ()
    for assumption in results.assumptions:
        if isinstance(assumption.value, Quantity):
            yield assumption.value
    for section in table.sections(results):
        cells = [each for row in section.rows for each in (row.quantity, row.why)]
        cells += [cell for grid in section.grids for row in grid.rows for cell in row]
        for cell in cells:
            if isinstance(cell, Sentence):
                yield from cell.quantities().values()
            elif isinstance(cell, Quantity):
                yield cell


def test_every_number_of_the_terminal_is_in_it(results: Results) -> None:
    held = set(numbers_in(made(results)))
    shown = list(shown_numbers(results))
    assert len(shown) > 500
    assert [float(number) for number in shown if float(number) not in held] == []


def test_numbers_do_not_depend_on_the_units_of_print(results: Results) -> None:
    us, si = made(results), made(replace(results, system="SI"))
    assert list(numbers_in(us)) == list(numbers_in(si))
    assert us["verdicts"][0]["reason"] == "it stops delivering at 46.4 psi"
    assert si["verdicts"][0]["reason"] == "it stops delivering at 320 kPa"


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_becomes_null(results: Results, value: float) -> None:
    assert results.heated_tank is not None
    old = results.heated_tank
    tank = replace(old, tap=replace(old.tap, volume=value))
    assert (
        made(replace(results, heated_tank=tank))["sections"]["tap"]["rows"]["tap_volume_m3"]
        is None
    )


def test_the_same_results_give_the_same_bytes(results: Results) -> None:
    sections = table.sections(results)
    assert json_file.as_text(results, sections) == json_file.as_text(results, sections)
    assert json_file.as_text(results, sections).endswith("}\n")


@pytest.mark.parametrize("name", ["Hügel 井", "tank [old]", 'quote " and \\ and \n line'])
def test_names_survive(renamed: Callable[[str], Results], name: str) -> None:
    assert made(renamed(name))["site"]["name"] == name


def test_half_a_character_in_a_path_is_no_failure(results: Results) -> None:
    text = json_file.as_text(replace(results, file="s\udcff.toml"), ())
    assert json.loads(text.encode("utf-8"))["site"]["file"] == "s?.toml"


def test_sources_are_exactly_those_used(results: Results) -> None:
    assert list(made(results)["sources"]) == [
        "common practice", "cut-out", "dc contacts", "site's figures", "tdh worksheet",
    ]  # fmt: skip


def test_an_assumption_keeps_its_value_and_its_text(results: Results) -> None:
    assert made(results)["assumptions"][0] == {
        "path": "site.altitude", "value_m": 0.0, "written": "0 ft", "why": "sea level",
        "source": "common practice",
    }  # fmt: skip
    assert made(results)["assumptions"][1]["value"] == "4 90 elbow"
