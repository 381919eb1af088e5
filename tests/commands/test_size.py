"""`wellsolar size` as a user types it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.studies.sizing.needs import BEFORE_THE_VISIT
from wellsolar import commands
from wellsolar.__main__ import main
from wellsolar.interview import screen


@pytest.fixture
def site(tmp_path: Path) -> Path:
    path = tmp_path / "needs.toml"
    path.write_text(BEFORE_THE_VISIT, encoding="utf-8")
    return path


def test_one_command_leads_to_a_design_without_a_fail(
    site: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    design, data = tmp_path / "design.toml", tmp_path / "design.json"
    assert main(["size", str(site), "-o", str(design), "--json", str(data)]) == 0
    shown = capsys.readouterr().out.split("\n")
    assert len(shown) <= 25
    assert max(map(len, shown)) <= 80
    assert {line.split(" ")[0] for line in shown} >= {
        "BUY", "NEED", "WELL", "PUMP", "OPEN", "NEXT", "CARE", "CHECK",
    }  # fmt: skip
    made = json.loads(data.read_text(encoding="utf-8"))
    assert made["counts"]["fail"] == 0
    # What hurts is told of what is there, and of nothing else: no modules, no heater.
    cautions = {each["key"] for each in made["cautions"]}
    assert {"electric shock", "lifting", "pressure", "drinking water"} <= cautions
    assert not {"direct current", "scald"} & cautions
    # Each verdict that does not pass is told, on the page by its rule and in the JSON with why.
    told = " ".join(" ".join(shown).split())
    for each in made["left"]:
        assert each["rule"] in told
        assert each["why"] in told
    assert main(["check", str(design)]) == 0
    assert "nothing fails" in capsys.readouterr().out
    assert design.read_text(encoding="utf-8").startswith(BEFORE_THE_VISIT.split("\n")[0])


def test_a_design_that_was_changed_by_hand_is_not_written_over(
    site: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    design = tmp_path / "design.toml"
    assert main(["size", str(site), "-o", str(design)]) == 0
    assert main(["size", str(site), "-o", str(design)]) == 0
    design.write_text(design.read_text(encoding="utf-8").replace("1 hp", "3/4 hp") + "# mine\n")
    assert main(["size", str(site), "-o", str(design)]) == 2
    assert "design.toml" in capsys.readouterr().err
    assert main(["size", str(design)]) == 0


def test_what_lacks_is_told_and_the_exit_code_is_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "nobody.toml"
    path.write_text('[well]\ndepth = "200 ft"\nstatic_level = "60 ft"\n', encoding="utf-8")
    assert main(["size", str(path)]) == 1
    assert "site.people or demand.daily_use" in capsys.readouterr().out


def test_a_stock_with_a_mistake_is_told_with_its_row_and_column(
    site: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    stock = tmp_path / "wire.csv"
    stock.write_text("name,gauge,on_hand\nreel,11 AWG,30 m\n", encoding="utf-8")
    assert main(["size", str(site), "--stock", str(stock)]) == 2
    assert 'wire.csv:2: gauge: "11 AWG" is no wire gauge' in capsys.readouterr().err
    assert main(["size", str(site), "--stock", str(tmp_path / "none.csv")]) == 2
    assert "none.csv: no such file: name one of stock, CSV" in capsys.readouterr().err


def test_an_interview_without_a_pump_ends_in_a_sizing_of_its_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "site.toml"
    path.write_text('[well]\ndepth = "180 ft"\nstatic_level = "85 ft"\n', encoding="utf-8")
    shown: list[str] = []
    sized: list[object] = []

    def line(prompt: str) -> str:
        return "yes" if "Type yes to see it now" in shown[-1] else "don't know"

    monkeypatch.setattr(screen, "terminal", lambda write: screen.Screen(shown.append, line))
    monkeypatch.setattr(commands, "run_size", lambda site, *_: sized.append(site) or 0)
    assert main(["ask", str(path)]) == 0
    assert sized == [str(path)]
