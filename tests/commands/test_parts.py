"""`wellsolar parts` as a user types it."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from wellsolar.__main__ import main

RIDGE = str(Path(__file__).parents[2] / "examples" / "ridge_house.toml")


def test_text_csv_and_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    table, data = tmp_path / "parts.csv", tmp_path / "parts.json"
    assert main(["parts", RIDGE, "--csv", str(table), "--json", str(data)]) == 0
    shown = capsys.readouterr().out
    assert "10 AWG" in shown
    assert max(map(len, shown.split("\n"))) <= 80
    with table.open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.reader(stream))
    assert rows[0][:4] == ["line", "group", "part", "for"]
    assert {len(row) for row in rows} == {len(rows[0])}
    sections = json.loads(data.read_text(encoding="utf-8"))["sections"]
    lists = [each["grids"]["parts"] for each in sections.values() if "parts" in each["grids"]]
    lines = sum(len(each["rows"]) for each in lists)
    assert rows[-1][0].startswith("# wellsolar: parts CSV; sha256 ")
    assert lines == len(rows) - 2


def test_csv_alone_goes_to_standard_output(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    assert main(["parts", RIDGE, "--csv", "-"]) == 0
    assert capfdbinary.readouterr().out.startswith(b"line,group,part,for,")


def test_nothing_is_written_where_it_can_not_be(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["parts", RIDGE, "--csv", str(tmp_path / "none" / "parts.csv")]) == 2
    assert main(["parts", RIDGE, "--csv", RIDGE]) == 2
    assert main(["parts", RIDGE, "--csv", "x", "--json", "x"]) == 2
    assert "name two" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_a_page_in_place_of_text(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page, data = tmp_path / "parts.html", tmp_path / "parts.json"
    assert main(["parts", RIDGE, "-o", str(page), "--json", str(data)]) == 0
    assert capsys.readouterr().out == f"Wrote {page}.\n"
    text = page.read_text("utf-8")
    assert text.startswith("<!doctype html>")
    # The house has a water heater on modules, and no generator.
    head = text[text.index("What can hurt or kill") :]
    assert head.index("Electric shock") < head.index("Scald")
    assert "Generator fumes" not in head
    assert main(["parts", RIDGE, "-o", "x", "--csv", "x"]) == 2
    assert "name two" in capsys.readouterr().err


def test_the_page_alone_goes_to_standard_output(
    capfdbinary: pytest.CaptureFixture[bytes],
) -> None:
    assert main(["parts", RIDGE, "--html", "-"]) == 0
    out = capfdbinary.readouterr().out
    assert out.startswith(b"<!doctype html>")
    assert out.rstrip().endswith(b"</html>")
