"""Sites built and changed from Python, held to what the same site says as a file."""

from __future__ import annotations

import math
import random
import tomllib
from collections.abc import Iterator
from contextlib import suppress
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest

from wellsolar import kinds
from wellsolar.errors import SiteFileError
from wellsolar.site import shape
from wellsolar.site.edit import NotEditable
from wellsolar.site.loading.messages import translate
from wellsolar.site.loading.read import examine, load_site, parse_site, site_from
from wellsolar.site.locate import Path as Path_
from wellsolar.site.locate import set_at
from wellsolar.site.schema import Site
from wellsolar.units import Quantity

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
RIDGE = next(path for path in EXAMPLES if path.stem == "ridge_house")
WELL = {"depth": "180 ft", "static_level": "85 ft"}


def mistakes(tables: dict[str, Any]) -> list[str]:
    with pytest.raises(SiteFileError) as error:
        site_from(tables, "mine")
    return str(error.value).split("\n")


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_tables_of_a_file_make_the_site_of_the_file(path: Path) -> None:
    from_file = load_site(path)
    from_python = site_from(tomllib.loads(path.read_text(encoding="utf-8")), str(path))
    assert from_python == from_file


def test_all_mistakes_are_told_as_of_a_file_without_lines() -> None:
    text = '[well]\ndepth = 180\nstatic_levl = "85 ft"\n\n[pressure_switch]\ncut_in = "40 psi"\n'
    with pytest.raises(SiteFileError) as error:
        parse_site(text, "mine")
    of_file = [f"mine: {each.path}: {each.message}" for each in error.value.problems]
    assert sorted(mistakes(tomllib.loads(text))) == sorted(of_file)
    assert len(of_file) == 3
    assert mistakes({}) == [
        "mine: is empty: it needs at least the table [well] with depth and static_level"
    ]
    deeper = {"well": {**WELL, "static_level": "200 ft"}}
    assert mistakes(deeper)[0].startswith("mine: well.static_level: 200 ft lies at or below")


def test_what_is_given_stays_as_it_is() -> None:
    tables: dict[str, Any] = {"well": dict(WELL), "pump": []}
    site_from(tables)
    assert tables == {"well": WELL, "pump": []}


def test_a_quantity_may_be_given_for_its_text() -> None:
    level = Quantity(30.0, kinds.LENGTH)
    site = site_from({"well": {**WELL, "static_level": level}}).site
    assert site.well.static_level == pytest.approx(30.0)
    ranged = parse_site('[well]\ndepth = "180 ft"\nstatic_level = "85 ft .. 110 ft"\n').site
    again = site_from({"well": {**WELL, "static_level": ranged.well.static_level}}).site
    assert again.well.static_level.high == ranged.well.static_level.high
    warm = Quantity(300.0, kinds.TEMPERATURE)
    assert "is a temperature: expected a length" in mistakes({"well": {**WELL, "depth": warm}})[0]


def test_values_are_set_as_with_sets_them() -> None:
    typed = load_site(RIDGE, ["well.static_level=110 ft", "array[hot water].series=5"])
    file = load_site(RIDGE).with_values({"well.static_level": "110 ft"})
    made = file.with_values({"array[hot water].series": 5})
    assert made.site == typed.site
    assert file.site.array[0].series != 5
    said = {each.path: (each.why, each.source) for each in made.assumptions}
    was = load_site(RIDGE).site.well.static_level.written
    assert said["well.static_level"] == (f"set in Python, in place of {was} in the file", "Python")
    assert said["array[1].series"][1] == "Python"


def test_a_mistake_in_a_value_is_told_by_its_key() -> None:
    values = {"well.static_levl": "110 ft", "pump[9].flow": "3 gpm", "well.depth": 7}
    with pytest.raises(SiteFileError) as error:
        load_site(RIDGE).with_values(values)
    begun = [str(each.path) for each in error.value.problems]
    assert sorted(begun) == sorted(values)
    assert "7 has no unit" in str(error.value)


def every_key(model: type[Any] = Site, above: Path_ = ()) -> Iterator[Path_]:
    """The path of every key, of tables of which there may be several the first."""
    for name, key in model.model_fields.items():
        yield (*above, name)
        inner = shape.table_of(key)
        if inner is not None:
            yield from every_key(inner, (*above, name, 0) if shape.is_array(key)
                                 else (*above, name))  # fmt: skip


STRAY = [
    5, -1.5, math.nan, True, [], [1], ["a"], [[1]], {}, {"a": 1}, [{}], date(2027, 5, 4),
    time(1, 2), "", "x", "0", "1e30 gpm", 10**30,
]  # fmt: skip
"""What no key, or hardly one, can hold."""


def check_stray(path: Path_, value: Any) -> None:
    """What is there is told as a mistake or read, and never a traceback."""
    tables = tomllib.loads(RIDGE.read_text("utf-8"))
    set_at(tables, path, value)
    found = examine(tables)
    assert all(message for _, message in [*translate(found.errors, ()), *found.between])


@pytest.mark.parametrize(
    ("path", "value"),
    [(("job", "date"), date(2027, 5, 4)), (("job", "page_address"), 5),
     (("constant_pressure_valve",), {}), (("pump", 0, "well"), 3), (("hand_pump", "well"), 2.5),
     (("power", "pumps_run"), 1), (("water_heater", "element", 0, "surplus_switch"), True),
     *random.Random(21).sample([(path, value) for path in every_key() for value in STRAY], 40)],
)  # fmt: skip
def test_what_no_key_can_hold_is_a_mistake(path: Path_, value: Any) -> None:
    check_stray(path, value)


@pytest.mark.long
def test_what_no_key_can_hold_is_a_mistake_of_every_key() -> None:
    for path in every_key():
        for value in STRAY:
            with suppress(NotEditable):
                check_stray(path, value)
