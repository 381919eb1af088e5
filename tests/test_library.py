"""The library as a Python user has it: what the README shows, and what is refused."""

from __future__ import annotations

import doctest
import json
import re
import shutil
from pathlib import Path

import pytest

import wellsolar

pytestmark = pytest.mark.usefixtures("study_anew")

ROOT = Path(__file__).parents[1]
SITE = ROOT / "examples" / "ridge_house.toml"


@pytest.fixture(scope="module")
def results() -> wellsolar.Results:
    return wellsolar.Case(wellsolar.load_site(SITE)).results(["pump", "tank"])


def test_what_the_readme_shows_is_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    monkeypatch.chdir(tmp_path)
    shown = re.findall(
        r"^```pycon\n(.*?)^```$", (ROOT / "README.md").read_text("utf-8"), re.M | re.S
    )
    assert len(shown) == 1
    test = doctest.DocTestParser().get_doctest(shown[0], {}, "README.md", "README.md", 0)
    flags = doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE
    failed, tried = doctest.DocTestRunner(optionflags=flags).run(test)
    assert tried > 8
    assert failed == 0
    assert json.loads(Path("house.json").read_text("utf-8"))["schema"] == "wellsolar.results"
    assert Path("house.html").read_text("utf-8").startswith("<!doctype html>")


def test_nothing_is_studied_that_nobody_asked_for() -> None:
    case = wellsolar.Case(wellsolar.load_site(SITE))
    assert not case.made
    assert case.pressure_tank is not None
    assert set(case.made) == {"pumps", "pressure_tank"}
    tank = case.pressure_tank
    case.results(["tank", "hand"])
    assert case.pressure_tank is tank
    assert set(case.made) == {"pumps", "pressure_tank", "hand_pump", "lifts"}


def test_tables_hold_the_numbers_of_the_json(results: wellsolar.Results) -> None:
    sections = json.loads(wellsolar.as_json(results))["sections"]
    frames = wellsolar.tables(results)
    for key, section in sections.items():
        for name, grid in section["grids"].items():
            rows = json.loads(
                frames[f"{key}.{name}"].to_json(orient="records", double_precision=15)
            )
            for shown, row in zip(rows, grid["rows"], strict=True):
                assert list(shown) == grid["columns"]
                for column in grid["columns"]:
                    value = row[column]
                    near = pytest.approx(value, rel=1e-9) if isinstance(value, float) else value
                    assert shown[column] == near, (key, name, column)
        for row in frames[key].itertuples() if section["rows"] else ():
            name = f"{row.Index}_{row.unit}" if row.unit else row.Index
            value = section["rows"][name]
            assert row.value == (pytest.approx(value) if isinstance(value, float) else value) or (
                value is None and (row.value is None or row.value != row.value)
            ), (key, name)


def test_what_does_not_exist_is_refused(results: wellsolar.Results) -> None:
    case = wellsolar.Case(wellsolar.load_site(SITE))
    with pytest.raises(
        wellsolar.UnknownName, match=r"^no section is called 'pomp': did you mean 'pump'"
    ):
        case.results(["pomp"])  # type: ignore[list-item]
    with pytest.raises(
        wellsolar.UnknownName, match=r"^no study is called 'pumpz': did you mean 'pumps'"
    ):
        case.said("pumpz")
    with pytest.raises(wellsolar.UnknownName, match="did you mean 'voltage drop'"):
        results.verdict("voltage dro")
    with pytest.raises(wellsolar.UnknownName, match="there are house pump, frugal pump"):
        results.verdict("voltage drop")


def test_results_are_written_whole_or_not_at_all(
    results: wellsolar.Results, tmp_path: Path
) -> None:
    good = tmp_path / "site.json"
    with pytest.raises(wellsolar.OutputError, match=r"written to \.json or \.html"):
        wellsolar.write(results, good, tmp_path / "site.txt")
    with pytest.raises(wellsolar.OutputError, match="nowhere"):
        wellsolar.write(results, good, tmp_path / "nowhere" / "site.html")
    assert not list(tmp_path.iterdir())


def test_a_changed_site_leaves_the_first_as_it_was() -> None:
    case = wellsolar.Case(wellsolar.load_site(SITE))
    deep = case.site.well.model_copy(
        update={"static_level": wellsolar.Quantity(40.0, wellsolar.kinds.LENGTH)}
    )
    other = case.with_site(case.site.model_copy(update={"well": deep}))
    assert other.pumps[0].static_level == 40.0
    assert case.pumps[0].static_level == pytest.approx(25.9, abs=0.01)


def test_every_public_name_is_there() -> None:
    for name in wellsolar.__all__:
        assert getattr(wellsolar, name) is not None
