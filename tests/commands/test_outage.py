"""`wellsolar outage` as a user types it: what stands in the text and in the JSON."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def ridge(tmp_path: Path) -> str:
    shutil.copy(EXAMPLES / "ridge_house.toml", tmp_path / "ridge.toml")
    return "ridge.toml"


def test_each_failure_is_a_row_and_each_source_a_grid(run_here: Any, ridge: str) -> None:
    done = run_here("outage", ridge, "--json", "-")
    assert (done.returncode, done.stderr) == (0, b"")
    told = json.loads(done.stdout)
    matrix = told["sections"]["outages"]["grids"]["matrix"]["rows"]
    assert [each["failed"] for each in matrix] == [
        "nothing", "grid", "grid, 3 dark days", "grid, 7 dark days", "inverter", "battery",
        "house pump", "frugal pump", "bladder of the pressure tank", "no power at all",
    ]  # fmt: skip
    for each in matrix:
        assert each["volume_m3"] > 0
        assert each["survival_fraction"] == 1.0
        assert each["pressure"] in ("yes", "by hand", "short cycling")
    sources = told["sections"]["outage_sources"]["grids"]
    assert [each["title"] for each in sources.values()] == [
        "house pump", "frugal pump", "hand pump", "stored water",
    ]  # fmt: skip
    assert {each["key"] for each in told["verdicts"]} == {
        "water when one thing fails", "water in the worst outage",
    }  # fmt: skip
    assert {"heater water", "pumps together", "freezing"} <= {
        each["key"] for each in told["cautions"]
    }


def test_a_row_for_each_component_alone(run_here: Any, ridge: str) -> None:
    told = json.loads(run_here("outage", ridge, "--json", "-").stdout)
    rows = told["sections"]["weak_links"]["grids"]["links"]["rows"]
    assert [each["component"] for each in rows] == [
        "nothing", "grid", "inverter", "battery", "house battery", "house pump", "frugal pump",
        "pressure switch", "pressure tank", "hand pump",
    ]  # fmt: skip
    assert {each["fix"] for each in rows} == {"no"}


@pytest.mark.parametrize("name", ["ridge_house", "village_borehole", "high_pass", "creek_cabin"])
def test_it_fits_80_columns_in_either_system(run_here: Any, tmp_path: Path, name: str) -> None:
    shutil.copy(EXAMPLES / f"{name}.toml", tmp_path / "site.toml")
    for system, unit, other in (("US", "gal/day", "L/day"), ("SI", "L/day", "gal/day")):
        done = run_here("outage", "site.toml", "--units", system, COLUMNS="80")
        assert done.returncode in (0, 1)
        assert done.stderr == b""
        assert max(map(len, done.stdout.decode().splitlines())) <= 80
        report = done.stdout.decode().split("All sources together")[1].split("Assumptions")[0]
        assert unit in report
        assert f"({other})" not in report


def test_a_weak_link_is_exit_code_1_and_names_keys_to_change(
    run_here: Any, tmp_path: Path
) -> None:
    shutil.copy(EXAMPLES / "creek_cabin.toml", tmp_path / "site.toml")
    done = run_here("outage", "site.toml")
    assert done.returncode == 1
    text = " ".join(done.stdout.decode().split())
    assert "is there survival water when any one thing fails?" in text
    assert '''Try: --with 'storage_tank.volume="''' in text


def test_the_starter_has_an_outage_of_its_own(run_here: Any) -> None:
    run_here("starter", "site.toml")
    done = run_here("outage", "site.toml", "--json", "-")
    told = json.loads(done.stdout)
    own = [each for each in told["verdicts"] if each["key"] == "water in an outage of the file"]
    assert [each["subject"] for each in own] == ["ice storm"]
    assert own[0]["status"] == "pass"


def test_a_file_without_any_source_says_so(run_here: Any, tmp_path: Path) -> None:
    (tmp_path / "site.toml").write_text('[well]\ndepth = "60 m"\nstatic_level = "20 m"\n')
    done = run_here("outage", "site.toml")
    assert done.returncode == 0
    assert b"no source of water in the file" in done.stdout


def test_no_other_command_lists_what_only_outages_ask_for(run_here: Any, ridge: str) -> None:
    for command in ("pump", "hand", "tank"):
        told = json.loads(run_here(command, ridge, "--json", "-").stdout)
        paths = {each["path"] for each in told["assumptions"]}
        assert not paths & {"power.grid", "power.generator_hours", "limits.outage_days"}
