"""`wellsolar card` as a user types it: text, page and JSON."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.sharing import SHARED

EXAMPLES = Path(__file__).parents[2] / "examples"

UNITS = {
    "m3": {"gal": 264.172, "L": 1000.0},
    "Pa_gauge": {"psi": 1 / 6894.757, "kPa": 1e-3},
    "s": {"s": 1.0, "min": 1 / 60, "hours": 1 / 3600},
    "per_s": {"a minute": 60.0},
    "m3_per_s": {"gpm": 264.172 * 60, "L/min": 60_000.0},
    "strokes": {"strokes": 1.0},
    "W": {"W": 1.0},
    "A": {"A": 1.0},
    "days": {"day": 1.0, "days": 1.0},
    "people": {"": 1.0},
}
"""Ends of JSON keys: units in which an owner reads them, and how many make one of SI."""


@pytest.fixture
def ridge(tmp_path: Path) -> str:
    shutil.copy(EXAMPLES / "ridge_house.toml", tmp_path / "ridge.toml")
    return "ridge.toml"


def rows(told: dict[str, Any]) -> Iterator[dict[str, Any]]:
    for grid in told["sections"]["card"]["grids"].values():
        yield from grid["rows"]


def printed(numbers: dict[str, float]) -> set[str]:
    """The numbers of a sentence in every unit in which they might be read."""
    found = set()
    for key, value in numbers.items():
        end = next(end for end in sorted(UNITS, key=len)[::-1] if key.endswith(f"_{end}"))
        for factor in UNITS[end].values():
            found |= {f"{value * factor:.{digits}f}" for digits in (0, 1, 2)}
            found |= {str(int(value * factor))}  # where it is rounded down
        if end == "W":
            found |= {f"{float(f'{value:.3g}'):.0f}"}  # by a curve, which bears no more
    return found


@pytest.mark.parametrize("name", ["ridge_house", "village_borehole", "high_pass", "creek_cabin",
                                  "south_slope", "smallest"])  # fmt: skip
@pytest.mark.parametrize("columns", [60, 80, 200])
def test_it_fits_its_columns(run_here: Any, tmp_path: Path, name: str, columns: int) -> None:
    shutil.copy(EXAMPLES / f"{name}.toml", tmp_path / "site.toml")
    done = run_here("card", "site.toml", COLUMNS=str(columns))
    assert done.returncode in (0, 1)
    assert done.stderr == b""
    lines = done.stdout.decode().splitlines()
    assert max(map(len, lines)) <= min(columns, 80)
    assert "Power out, or no water" in lines
    assert all(line == line.rstrip() for line in lines)


@pytest.mark.parametrize("system", ["US", "SI"])
def test_each_sentence_and_number_of_the_text_is_in_the_json(
    run_here: Any, ridge: str, system: str
) -> None:
    text = " ".join(run_here("card", ridge, "--units", system).stdout.decode().split())
    told = json.loads(run_here("card", ridge, "--units", system, "--json", "-").stdout)
    seen = 0
    for row in rows(told):
        assert row["text"] in text
        assert row.get("title", "") in text
        words = re.sub(r"\d{4}-\d\d-\d\d", "", row["text"])  # a date is no quantity
        words = words.replace("\N{DEGREE SIGN}C", "").replace("\N{DEGREE SIGN}F", "")
        for number in re.findall(r"\d+(?:\.\d+)?", words):
            numbers = row.get("text_numbers", {})
            warm = {key: each for key, each in numbers.items() if key.endswith("_degC")}
            rest = {key: each for key, each in numbers.items() if key not in warm}
            degrees = {f"{each:.1f}" for each in warm.values()}
            degrees |= {f"{each * 1.8 + 32:.0f}" for each in warm.values()}
            assert number in printed(rest) | degrees, row
            seen += 1
    assert seen > 30
    units = {"US": ("gal", "psi"), "SI": ("L", "kPa")}
    for other in units["SI" if system == "US" else "US"]:
        assert not re.search(rf"\d {other}\b", text)
    for own in units[system]:
        assert re.search(rf"\d {own}\b", text)


def test_the_page_says_what_the_text_says(run_here: Any, ridge: str) -> None:
    page = run_here("card", ridge, "-o", "-").stdout.decode()
    told = json.loads(run_here("card", ridge, "--json", "-").stdout)
    body = " ".join(re.sub(r"<[^>]+>", " ", page.split("<body")[1]).split())
    body = body.replace("&#39;", "'").replace("&#34;", '"').replace("&amp;", "&")
    for row in rows(told):
        assert row["text"] in body


def test_same_input_same_bytes_and_both_names_of_the_option(
    run_here: Any, ridge: str, tmp_path: Path
) -> None:
    first = run_here("card", ridge, "-o", "a.html", "--json", "a.json")
    with SHARED.anew():
        second = run_here("card", ridge, "--html", "b.html", "--json", "b.json")
    assert (first.returncode, second.returncode) == (0, 0)
    assert first.stdout == b"Wrote a.html.\n"
    page = (tmp_path / "a.html").read_bytes()
    assert page == (tmp_path / "b.html").read_bytes()
    assert (tmp_path / "a.json").read_bytes() == (tmp_path / "b.json").read_bytes()
    assert run_here("card", ridge, "-o", "-").stdout == page


def test_json_beside_the_text_leaves_the_text(run_here: Any, ridge: str, tmp_path: Path) -> None:
    done = run_here("card", ridge, "--json", "out.json")
    assert b"Power out, or no water" in done.stdout
    assert json.loads((tmp_path / "out.json").read_text("utf-8"))["sections"]["card"]


@pytest.mark.parametrize(
    "options",
    [("-o", "ridge.toml"), ("-o", "nowhere/card.html"), ("-o", "."), ("-o", ""),
     ("-o", "x.html", "--json", "x.html"), ("--json", "ridge.toml")],
)  # fmt: skip
def test_a_place_that_can_not_be_is_refused_before_anything_is_written(
    run_here: Any, ridge: str, tmp_path: Path, options: tuple[str, ...]
) -> None:
    before = (tmp_path / "ridge.toml").read_bytes()
    done = run_here("card", ridge, *options)
    assert done.returncode == 2
    assert done.stdout == b""
    assert b"Traceback" not in done.stderr
    assert (tmp_path / "ridge.toml").read_bytes() == before
    assert [each.name for each in tmp_path.iterdir()] == ["ridge.toml"]


def test_too_little_water_is_exit_code_1_and_says_at_the_end_what_would_have_helped(
    run_here: Any, tmp_path: Path
) -> None:
    shutil.copy(EXAMPLES / "creek_cabin.toml", tmp_path / "site.toml")
    done = run_here("card", "site.toml")
    assert done.returncode == 1
    told = b" ".join(done.stdout.split())
    assert b"BEFORE IT FAILS --------------- - water supply: a storage tank of" in told
    assert told.index(b"WHAT HAS FAILED?") < told.index(b"(licensed plumber)")


def test_without_a_source_of_water_it_says_so(run_here: Any, tmp_path: Path) -> None:
    (tmp_path / "site.toml").write_text('[well]\ndepth = "60 m"\nstatic_level = "20 m"\n')
    done = run_here("card", "site.toml")
    assert done.returncode == 0
    assert b"nothing that brings water" in b" ".join(done.stdout.split())
    assert run_here("card", "site.toml", "-o", "-").stdout.startswith(b"<!doctype html>")


def test_an_ascii_terminal_gets_ascii(run_here: Any, ridge: str) -> None:
    done = run_here("card", ridge, PYTHONIOENCODING="ascii")
    assert done.returncode == 0
    assert done.stdout.isascii()
    assert b"degF" in done.stdout


def test_wide_names_are_wrapped_by_the_columns_they_take(run_here: Any, tmp_path: Path) -> None:
    text = (EXAMPLES / "ridge_house.toml").read_text("utf-8")
    (tmp_path / "site.toml").write_text(
        text.replace("house pump", "\u6c34" * 70).replace("frugal pump", "w" * 190), "utf-8"
    )
    done = run_here("card", "site.toml", COLUMNS="60", PYTHONIOENCODING="utf-8")
    assert done.returncode == 0
    for line in done.stdout.decode().splitlines():
        assert len(line) + line.count("\u6c34") <= 60
