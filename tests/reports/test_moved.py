"""Whether a number of a whole site has moved, and in which part of its results.

`moved.txt` has of each part of the JSON of each site how many numbers it holds, and one sum of
them in which each weighs by its place: it moves with any of them, by more than two machines or
libraries differ. It was saved from the program, so that it tells that something moved, not that it
is right; what is right is held beside each study. Where a number is meant to move,
`python -m tests.reports.test_moved` writes it anew: see that no other part has moved with it.
"""

from __future__ import annotations

import json
import math
import tempfile
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tests.reports.conftest import EXAMPLES, SECOND, Made, make, odd_sites
from tests.running import CHECKOUT, here
from tests.sampled import every, sampled

MOVED = Path(__file__).with_name("moved.txt")

SLACK = 2e-4
"""By how much two sums alike may differ [-]: a number that moves by a twentieth of a percent moves
its sum by more."""

STATUS = {"fail": 1.0, "unknown": 2.0, "caution": 3.0, "pass": 4.0}
GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0


def numbers_of(value: Any, key: str = "") -> Iterator[float]:
    """Every number of a part of JSON, each in terms of its own size, and what is empty or has a
    status; no other text."""
    if isinstance(value, Mapping):
        for inner, part in value.items():
            yield from numbers_of(part, inner)
    elif isinstance(value, list):
        for part in value:
            yield from numbers_of(part, key)
    elif value is None or isinstance(value, bool):
        yield 0.3 if value is None else 0.7 + value
    elif isinstance(value, int | float):
        yield math.copysign(math.log1p(1e9 * abs(value)), value)
    elif key == "status":
        yield STATUS[value]


def sum_of(part: Any) -> tuple[int, float]:
    """How many numbers a part has, and their sum, in which no two places weigh alike."""
    numbers = [*numbers_of(part)]
    weights = (1.0 + math.modf(GOLDEN * place)[0] for place in range(len(numbers)))
    return len(numbers), math.fsum(map(math.prod, zip(weights, numbers, strict=True)))


Parts = dict[str, tuple[int, float]]
"""Of each part of a site's JSON how many numbers it has, and their sum."""

WHOLE = ("answers", "todo", "verdicts", "assumptions", "care")
"""Parts of the JSON that are taken whole."""


def parts_of(made: Mapping[str, Any]) -> Parts:
    """Every part of a site's JSON with its sum."""
    parts = {key: made[key] for key in WHOLE if key in made}
    for kind in ("sections", "figures"):
        parts |= {f"{kind}.{key}": part for key, part in made.get(kind, {}).items()}
    return {name: sum_of(part) for name, part in parts.items()}


@cache
def saved() -> dict[str, Parts]:
    """What was saved, by site and part."""
    sites: dict[str, Parts] = {}
    for line in MOVED.read_text("utf-8").splitlines():
        site, part, count, total = line.split()
        sites.setdefault(site, {})[part] = int(count), float(total)
    return sites


SITES = sorted((CHECKOUT / "tests" / "sites").glob("*.toml"))
SHIPPED = [path.stem for path in EXAMPLES]
NAMES = [*SHIPPED, *odd_sites()]


def checked(site: Path, folder: Path) -> dict[str, Any]:
    """The JSON of a site's check: all of its numbers but those of figures."""
    ran = here("check", site, "--json", folder / "checked.json", "--force")
    assert ran.returncode in (0, 1), ran.stderr.decode()
    made: dict[str, Any] = json.loads((folder / "checked.json").read_text("utf-8"))
    return made


def moved_in(found: Parts, kept: Parts) -> list[str]:
    """The parts of a site that are not as they were saved."""
    assert [*found] == [*kept]
    return [
        part
        for part, (count, total) in found.items()
        if count != kept[part][0] or abs(total - kept[part][1]) > SLACK
    ]


@pytest.mark.parametrize("name", sampled(NAMES, *SECOND, "smallest", "wrong"))
def test_no_number_of_a_site_has_moved(
    reports: dict[str, Made], odd: dict[str, Made], name: str
) -> None:
    made = (reports if name in SHIPPED else odd)[name]
    moved = moved_in(parts_of(made.json), saved()[name])
    assert not moved, "python -m tests.reports.test_moved"


@pytest.mark.parametrize("site", every(SITES, 4), ids=lambda path: path.stem)
def test_no_number_of_an_invented_site_has_moved(site: Path, tmp_path: Path) -> None:
    moved = moved_in(parts_of(checked(site, tmp_path)), saved()[site.stem])
    assert not moved, "python -m tests.reports.test_moved"


def test_a_number_that_moves_is_seen(reports: dict[str, Made]) -> None:
    made = reports["ridge_house"].json["sections"]["pump_1"]
    numbers = {key: value for key, value in made["rows"].items() if isinstance(value, float)}
    for key, value in numbers.items():
        moved = {**made, "rows": {**made["rows"], key: value * 1.0005}}
        assert abs(sum_of(moved)[1] - sum_of(made)[1]) > SLACK, key
    first, second, *_ = numbers
    swapped = {**made["rows"], first: numbers[second], second: numbers[first]}
    assert abs(sum_of({**made, "rows": swapped})[1] - sum_of(made)[1]) > SLACK


def lines_of(name: str, made: Mapping[str, Any]) -> list[str]:
    """A site as it is saved."""
    return [
        f"{name} {part} {count} {total:.5f}\n" for part, (count, total) in parts_of(made).items()
    ]


if __name__ == "__main__":
    lines = []
    with tempfile.TemporaryDirectory() as folder:
        written = [Path(folder, f"{name}.toml") for name in odd_sites()]
        for path in written:
            path.write_text(odd_sites()[path.stem], "utf-8")
        for path in (*EXAMPLES, *written):
            lines += lines_of(path.stem, make(path, Path(folder)).json)
        for path in SITES:
            lines += lines_of(path.stem, checked(path, Path(folder)))
    MOVED.write_text("".join(lines), "utf-8")
