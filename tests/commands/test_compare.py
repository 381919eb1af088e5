"""`wellsolar compare`: the same numbers side by side."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from wellsolar.__main__ import main

EXAMPLES = Path(__file__).parents[2] / "examples"
SITE = """
[well]
depth = "200 ft"
static_level = "{level}"
[pressure_switch]
cut_in = "30 psi"
cut_out = "50 psi"
[[pump]]
name = "{name}"
intake_depth = "150 ft"
flow = "0, 2, 4 gpm"
head = "{heads} ft"
power = "200, 250, 260 W"
"""


def write(path: Path, heads: str, level: str = "85 ft", name: str = "small") -> str:
    path.write_text(SITE.format(heads=heads, level=level, name=name), encoding="utf-8")
    return str(path)


def compared(arguments: list[str], made: Path) -> tuple[int, dict[str, Any]]:
    code = main(["compare", *arguments, "--json", str(made)])
    return code, json.loads(made.read_text(encoding="utf-8"))


def test_differences_stand_first_and_the_worst_decides(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    strong = write(tmp_path / "a.toml", "400, 330, 250")
    weak = write(tmp_path / "b.toml", "120, 90, 40", name="weaker")
    code, data = compared([strong, weak], tmp_path / "c.json")
    assert code == 1
    assert compared([strong, strong], tmp_path / "d.json")[0] == 0
    verdicts = {(each["subject"], each["key"]): each for each in data["verdicts"]}
    cut_out = verdicts["the pump", "reaches cut-out"]
    assert cut_out["statuses"] == {"A": "pass", "B": "fail"}
    assert cut_out["differs"]
    differs = [each["differs"] for each in data["numbers"]]
    assert differs == sorted(differs, reverse=True)
    # Flows, then energy, then all else in the order of the sections, those of grids last.
    keys = [each["key"] for each in data["numbers"] if each["differs"] and each["in_every_site"]]
    flows = [key.endswith("_m3_per_s") for key in keys]
    assert any(flows)
    assert flows == sorted(flows, reverse=True)
    rows = [key for key in keys[sum(flows) :] if "/" not in key]
    energies = [key.endswith("_J") for key in rows]
    assert energies == sorted(energies, reverse=True)
    head = next(each for each in data["numbers"] if each["key"] == "shut_off_head_m")
    assert head["values"] == pytest.approx({"A": 400 * 0.3048, "B": 120 * 0.3048})
    assert head["relative_difference"] == pytest.approx(280 / 400)
    assert "A  " in capsys.readouterr().out


@pytest.mark.usefixtures("study_anew")
def test_the_same_site_twice_differs_in_nothing(tmp_path: Path) -> None:
    site = str(EXAMPLES / "south_slope.toml")
    _, data = compared([site, site], tmp_path / "c.json")
    assert not any(each["differs"] for each in data["verdicts"] + data["numbers"])
    assert all(each["in_every_site"] for each in data["numbers"])
    assert len(data["numbers"]) > 100


def test_one_site_beside_what_set_makes_of_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    site = write(tmp_path / "a.toml", "400, 330, 250")
    _, data = compared([site, "--with", "well.static_level=100 ft"], tmp_path / "c.json")
    level = next(each for each in data["numbers"] if each["key"] == "static_level_m")
    assert level["values"] == pytest.approx({"A": 85 * 0.3048, "B": 100 * 0.3048})
    assert level["relative_difference"] == pytest.approx(15 / 100)
    assert main(["compare", site]) == 2
    assert "Name two site files" in capsys.readouterr().err


def test_four_sites_fit_80_columns_and_all_shows_the_rest(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    names = ("ridge_house", "south_slope", "creek_cabin", "village_borehole")
    sites = [str(EXAMPLES / f"{name}.toml") for name in names]
    assert main(["compare", *sites]) == 1
    screen = capsys.readouterr().out.splitlines()
    assert len(screen) <= 24
    assert max(map(len, screen)) <= 80
    assert main(["compare", *sites, "--full"]) == 1
    short = capsys.readouterr().out
    assert max(map(len, short.split("\n"))) <= 80
    assert "What is the same" not in short
    assert main(["compare", *sites, "--all"]) == 1
    full = capsys.readouterr().out
    assert "What is the same" in full
    assert len(full) > len(short)


def test_a_broken_site_among_them_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good = write(tmp_path / "a.toml", "400, 330, 250")
    bad = write(tmp_path / "b.toml", "400, 330, 250", level="85 psi")
    assert main(["compare", good, bad]) == 2
    assert "b.toml:4: well.static_level" in capsys.readouterr().err


def test_the_mistakes_of_every_file_are_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fine = write(tmp_path / "a.toml", "400, 330, 250")
    deep = write(tmp_path / "b.toml", "400, 330, 250", level="230 ft")
    made = tmp_path / "c.json"
    code = main(["compare", fine, deep, str(tmp_path / "none.toml"), deep, "--json", str(made)])
    told = capsys.readouterr().err
    assert code == 2
    assert not made.exists()
    assert told.count("static_level") == 1
    assert f"1 mistake in {deep}; nothing was written" in told
    assert "none.toml: no such file" in told
