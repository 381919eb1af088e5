"""The command that holds a reading beside the site's own numbers."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click import Context
from click.testing import CliRunner

from wellsolar.cli import wellsolar
from wellsolar.errors import SiteFileError
from wellsolar.site.readings.table import KEYS

SITE = str(Path(__file__).parents[2] / "examples" / "ridge_house.toml")


def test_every_reading_of_a_file_is_an_option_too() -> None:
    command = wellsolar.commands["readings"]
    options = {parameter.name for parameter in command.get_params(Context(command))}
    assert set(KEYS) < options


def test_the_json_has_what_is_printed(tmp_path: Path) -> None:
    path = tmp_path / "out.json"
    told = ["readings", SITE, "--element-amps", "5.6", "--sky", "clear", "--date", "6"]
    result = CliRunner().invoke(wellsolar, [*told, "--json", str(path)], standalone_mode=False)
    assert result.exception is None
    assert "CAUTION" in result.output
    rows = json.loads(path.read_text(encoding="utf-8"))["sections"]["reading_1"]["rows"]
    assert rows["measured_A"] == pytest.approx(5.6)
    assert rows["expected_low_A"] > 5.6
    assert "cause_2" in rows


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--element-amps", "many"], "--element-amps"),
        (["--bucket-time", "40"], "bucket volume"),
        (["--fill-time", "40", "--time", "26:00"], "time of day"),
        (["--sky", "clear"], "holds no reading"),
        (["--proven", "9999"], '"9999": expected numbers of lines of the sheet, as "21, 24-28"'),
        (["--proven", "7 to 9"], "expected numbers of lines"),
        (["--failed", "900"], "--failed: the site's sheet ends at line"),
        (["--proven", "3-5", "--failed", "4"], "line 4 stands under proven too"),
    ],
)
def test_a_mistake_is_told_with_its_option(options: list[str], said: str) -> None:
    result = CliRunner().invoke(wellsolar, ["readings", SITE, *options], standalone_mode=False)
    assert isinstance(result.exception, SiteFileError)
    assert said in str(result.exception)


@pytest.mark.parametrize("site", sorted(Path(SITE).parent.glob("*.toml")), ids=lambda p: p.stem)
def test_every_example_has_a_sheet_of_eighty_columns(
    site: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    result = CliRunner().invoke(wellsolar, ["sheet", str(site)], standalone_mode=False)
    assert result.exception is None
    assert "static level" in result.output
    assert max(len(line) for line in result.output.split("\n")) <= 80


def test_the_boxes_of_the_sheet_are_in_the_json() -> None:
    told = ["sheet", SITE, "--json", "-"]
    result = CliRunner().invoke(wellsolar, told, standalone_mode=False)
    grids = json.loads(result.stdout)["sections"]["sheet"]["grids"]
    (box,) = grids["tank"]["rows"]
    # 2 psi below the cut-in of 40 psi, set to the nearest psi.
    assert box["low_Pa_gauge"] == pytest.approx(37 * 6894.757, rel=1e-3)
    assert box["high_Pa_gauge"] == pytest.approx(39 * 6894.757, rel=1e-3)


def lines_of(*begins: str) -> list[int]:
    told = ["sheet", SITE, "--json", "-"]
    result = CliRunner().invoke(wellsolar, told, standalone_mode=False)
    grids = json.loads(result.stdout)["sections"]["sheet"]["grids"].values()
    rows = [row for grid in grids for row in grid["rows"]]
    return [
        next(int(row["line"]) for row in rows if row["reading"].startswith(each))
        for each in begins
    ]


def test_the_guards_that_were_tested_are_told_from_those_that_are_only_claimed(
    tmp_path: Path,
) -> None:
    relief, ground, arc = lines_of("tank relief valve: ", "ground-fault", "arc-fault")
    path = tmp_path / "tests.toml"
    path.write_text(
        f"[[reading]]\nfailed = [{ground}]\ndate = 3\n\n"
        f'[[reading]]\nproven = "{relief}, {ground}"\ndate = 4\n',
        encoding="utf-8",
    )
    out = tmp_path / "out.json"
    told = ["readings", SITE, "--from", str(path), "--json", str(out)]
    result = CliRunner().invoke(wellsolar, told, standalone_mode=False)
    assert result.exception is None
    found = json.loads(out.read_text(encoding="utf-8"))
    states = {
        int(row["line"]): row["state"]
        for row in found["sections"]["guards"]["grids"]["guards"]["rows"]
    }
    # What was mended and tested again is proven.
    assert (states[relief], states[ground], states[arc]) == ("proven", "proven", "claimed")
    assert [each["status"] for each in found["verdicts"]] == ["pass", "pass"]
    result = CliRunner().invoke(
        wellsolar, ["readings", SITE, "--failed", str(arc)], standalone_mode=False
    )
    assert result.return_value == 1
    assert "stays off and locked until it is mended and tested again" in " ".join(
        result.output.split()
    )
