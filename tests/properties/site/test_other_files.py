"""Whatever stands in the files beside a site file, it is read and judged, or refused in words.

Readings, weather tables, levels of a pumping test and prices: each begins as one that is right,
and is spoiled as a spreadsheet, a typing hand or a broken download does it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st

from tests.properties.site import test_files
from tests.properties.site.test_files import QUANTITIES, check_refusal
from tests.site_texts import EXAMPLES
from tests.studies.supply.houses import SIMPLE
from wellsolar.errors import SiteFileError
from wellsolar.site.loading.read import load_site, parse_site
from wellsolar.site.part_names import part_names
from wellsolar.site.readings.file import load_readings
from wellsolar.site.readings.table import KEYS
from wellsolar.studies.case import Case
from wellsolar.studies.parts.study import study_parts
from wellsolar.studies.reading.study import study_readings
from wellsolar.studies.sun.year import year_of_site

READINGS = EXAMPLES / "readings"
RIDGE = EXAMPLES / "ridge_house.toml"

CELLS = st.one_of(
    QUANTITIES,
    st.floats().map(str),
    st.integers(-(10**6), 10**6).map(str),
    st.sampled_from(
        ["", " ", "#", '"', "=1+1", "1,5", "1.234,5", "8.4 A +- 2 %", "n/a", "-", "1e309", "nan",
         "12:10", "24:00", "2026-02-30", "2", "noon", "clear", "house pump", "on", "1-4",
         "9-1", "\u00bd", "\uff11"]
    ),
    st.text(max_size=12),
)  # fmt: skip


def spoiled(data: st.DataObject, text: str, most: int) -> str:
    """A table with cells overwritten, lines lost, doubled or moved, and characters put in."""
    lines = text.split("\n")
    for _ in range(data.draw(st.integers(1, most))):
        at = data.draw(st.integers(0, len(lines) - 1))
        match data.draw(
            st.sampled_from(["cell", "cell", "cell", "lose", "double", "move", "put"])
        ):
            case "cell":
                cells = lines[at].split(",")
                cells[data.draw(st.integers(0, len(cells) - 1))] = data.draw(CELLS)
                lines[at] = ",".join(cells)
            case "lose" if len(lines) > 1:
                del lines[at]
            case "double":
                lines.insert(at, lines[at])
            case "move" if len(lines) > 1:
                lines.insert(data.draw(st.integers(0, len(lines) - 1)), lines.pop(at))
            case _:
                where = data.draw(st.integers(0, len(lines[at])))
                put = data.draw(st.text(max_size=3))
                lines[at] = lines[at][:where] + put + lines[at][where:]
    return data.draw(st.sampled_from(["\n", "\n", "\r\n", "\r"])).join(lines)


@cache
def ridge() -> Case:
    return Case(load_site(RIDGE))


@cache
def folder() -> Path:
    """One for every file that is written here: each is read before the next replaces it."""
    from tempfile import TemporaryDirectory

    kept = TemporaryDirectory()
    FOLDERS.append(kept)
    return Path(kept.name)


FOLDERS: list[object] = []


def written(name: str, text: str) -> Path:
    path = folder() / name
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    return path


def check_readings(path: Path, text: str) -> None:
    try:
        results = study_readings(ridge(), load_readings(path))
    except SiteFileError as error:
        check_refusal(error, text.replace("\r\n", "\n").replace("\r", "\n"))
        return
    for verdict in results.verdicts:
        for system in ("US", "SI"):
            said = verdict.reason.text(system)
            assert said
            assert "nan" not in said.lower().split()


@given(data=st.data())
@settings(max_examples=50, derandomize=True, deadline=None)
def test_a_spoiled_table_of_readings(data: st.DataObject) -> None:
    begin = (READINGS / "ridge_house.csv").read_text(encoding="utf-8")
    text = spoiled(data, begin, 4)
    check_readings(written("readings.csv", text), text)


@given(data=st.data())
@settings(max_examples=50, derandomize=True, deadline=None)
def test_readings_of_any_keys_and_values(data: st.DataObject) -> None:
    keys = st.one_of(st.sampled_from(KEYS), st.text(max_size=8))
    tables = data.draw(st.lists(st.dictionaries(keys, CELLS, max_size=6), max_size=3))
    text = "".join("[[reading]]\n" + test_files.document(table) for table in tables)
    check_readings(written("readings.toml", text), text)


@cache
def weather() -> str:
    """A year of hours: an arch of sun by day, a dark sky every third."""
    rows = ["ghi,dni,dhi,temperature,wind"]
    for hour in range(8760):
        sun = max(0.0, math.cos((hour % 24 - 11.5) / 6.0 * math.pi / 2.0))
        sun = sun if 6 <= hour % 24 <= 17 else 0.0
        beam = 0.0 if hour // 24 % 3 == 0 else 600.0 * sun
        rows.append(f"{150 * sun + beam * sun:.0f},{beam:.0f},{150 * sun:.0f},12.5,2.0")
    return "\n".join(rows)


@given(data=st.data())
@settings(max_examples=8, derandomize=True, deadline=None)
def test_a_spoiled_weather_table(data: st.DataObject) -> None:
    written("made.csv", spoiled(data, weather(), 2))
    path = written("site.toml", SIMPLE)
    try:
        year = year_of_site(load_site(path)).year
    except SiteFileError as error:
        check_refusal(error, SIMPLE)
        return
    if year is not None:
        kept = (year.global_horizontal, year.direct_normal, year.diffuse_horizontal)
        assert all(
            np.all(np.isfinite(each)) for each in (*kept, year.air_temperature, year.wind_speed)
        )


LEVELS = "time (min),level (ft)\n1,86.0\n2,87.1\n5,88.9\n10,90.2\n30,92.4\n60,93.8\n120,95.1"


@given(data=st.data())
@settings(max_examples=50, derandomize=True, deadline=None)
def test_spoiled_levels_of_a_pumping_test(data: st.DataObject) -> None:
    written("levels.csv", spoiled(data, LEVELS, 4))
    text = (EXAMPLES / "smallest.toml").read_text(encoding="utf-8")
    text += '\n[well.drawdown_test]\nfile = "levels.csv"\nflow = "5 gpm"\n'
    path = written("site.toml", text)
    try:
        said = Case(load_site(path)).said("well").verdicts
    except SiteFileError as error:
        check_refusal(error, text)
        return
    assert any(verdict.rule.key == "test fit" for verdict in said)


@given(data=st.data())
@settings(max_examples=50, derandomize=True, deadline=None)
def test_prices_of_any_writing(data: st.DataObject) -> None:
    values = {
        "item": st.one_of(st.sampled_from(part_names()), st.text(max_size=12)),
        "size": CELLS,
        "cost": st.one_of(CELLS, st.floats(), st.integers(-5, 10**8)),
        "per": st.sampled_from(["piece", "ft", "m", "yard", ""]),
    }
    tables = data.draw(st.lists(st.fixed_dictionaries({}, optional=values), max_size=4))
    text = RIDGE.read_text(encoding="utf-8")
    text += "".join("\n[[price]]\n" + test_files.document(table) for table in tables)
    try:
        file = parse_site(text, "site.toml")
    except SiteFileError as error:
        check_refusal(error, text)
        return
    found = study_parts(file.site, ridge_results())
    assert all(part.cost is None or math.isfinite(part.cost) for part in found.parts)


@cache
def ridge_results():
    return ridge().results()


MANY = {
    test_a_spoiled_table_of_readings: 4000,
    test_readings_of_any_keys_and_values: 4000,
    test_a_spoiled_weather_table: 500,
    test_spoiled_levels_of_a_pumping_test: 3500,
    test_prices_of_any_writing: 2000,
    test_files.test_a_changed_site_is_read_or_refused: 3000,
    test_files.test_a_site_with_other_numbers_is_studied: 1500,
    test_files.test_a_text_with_slips_of_the_pen_is_refused_in_words: 1500,
}
"""Cases of the long run, 20,000 together."""


SEED = 20261129


def tried(fuzzed) -> int:
    """Try as many cases of a strategy as the long run has; so many were tried, and all passed."""
    count = 0

    @seed(SEED)
    @settings(
        max_examples=MANY[fuzzed],
        database=None,
        deadline=None,
        suppress_health_check=list(HealthCheck),
    )
    @given(data=st.data())
    def run(data: st.DataObject) -> None:
        nonlocal count
        fuzzed.hypothesis.inner_test(data=data)
        count += 1

    run()
    return count


@pytest.mark.long
@pytest.mark.parametrize("fuzzed", MANY, ids=lambda test: test.__name__)
def test_many(fuzzed) -> None:
    assert tried(fuzzed) >= 0.9 * MANY[fuzzed], "but for what can't be drawn anew"


def test_what_is_spoiled_here_is_right_as_it_is() -> None:
    assert load_readings(READINGS / "ridge_house.csv")
    written("made.csv", weather())
    assert year_of_site(load_site(written("site.toml", SIMPLE))).year is not None


def table() -> Iterator[str]:
    """The long run, a line for each strategy once it has passed."""
    yield "# Files that are spoiled at random\n"
    yield f"Written by `test_other_files.py`, seed {SEED}: all pass.\n"
    yield "| what is spoiled | cases |\n|---|---|"
    every = 0
    for fuzzed in MANY:
        cases = tried(fuzzed)
        every += cases
        yield f"| {fuzzed.__name__.removeprefix('test_').replace('_', ' ')} | {cases} |"
    yield f"| all | {every} |\n"


if __name__ == "__main__":
    Path(__file__).with_name("fuzz.md").write_text("\n".join(table()), "utf-8")
