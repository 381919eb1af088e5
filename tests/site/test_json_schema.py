"""The JSON Schema of a site file: it takes what the reader takes and tells plain mistakes."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from wellsolar.__main__ import main
from wellsolar.errors import SiteFileError
from wellsolar.site.defaults import defaults
from wellsolar.site.json_schema import DIALECT, site_schema
from wellsolar.site.loading.read import parse_site
from wellsolar.site.starter import starter_text

ROOT = Path(__file__).parents[2]
SCHEMA = site_schema()
SITES = {path.stem: path.read_text("utf-8") for path in (ROOT / "examples").glob("*.toml")}
SITES["starter"] = starter_text()
WELL = '[well]\ndepth = "180 ft"\nstatic_level = "85 ft"\n'
SITES["least"] = WELL
HEATER = '[water_heater]\nvolume = "50 gal"\n'


def told(text: str) -> list[str]:
    """What the schema finds wrong, each with its key path."""
    found = Draft202012Validator(SCHEMA).iter_errors(tomllib.loads(text))
    return [f"{each.json_path}: {each.message}" for each in found]


def entries(schema: Any) -> Iterator[tuple[str, Any]]:
    """Every key of every table with its schema."""
    for name, entry in schema.get("properties", {}).items():
        yield name, entry
        yield from entries(entry.get("items", entry))


def test_it_is_a_schema() -> None:
    assert SCHEMA["$schema"] == DIALECT
    Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("name", sorted(SITES))
def test_it_takes_what_is_shipped(name: str) -> None:
    assert told(SITES[name]) == []


@pytest.mark.parametrize(
    ("text", "finding"),
    [
        (WELL + 'casing_boar = "6 in"\n', "'casing_boar' was unexpected"),
        (WELL + '[weel]\ndepth = "180 ft"\n', "'weel' was unexpected"),
        ('[well]\ndepth = "180 ft"\n', "'static_level' is a required property"),
        ('[site]\nname = "x"\n', "'well' is a required property"),
        ('[well]\ndepth = 180\nstatic_level = "85 ft"\n', "180 is not of type 'string'"),
        (WELL + "[site]\npeople = 0\n", "0 is less than the minimum of 1"),
        (WELL + '[site]\npeople = "four"\n', "'four' is not of type 'integer'"),
        (WELL + '[site]\nprint_units = "metric"\n', "'metric' is not one of ['US', 'SI']"),
        (WELL + '[piping.lateral]\nmaterial = "lead"\n', "'lead' is not one of"),
        (WELL + '[pump]\nname = "x"\n', "is not of type 'array'"),
        (WELL + '[[pump]]\nname = ""\nflow = "0, 1 gpm"\nhead = "9, 8 ft"\n', "should be non-"),
        (WELL + '[[pump]]\nname = "x"\nhead = "9, 8 ft"\n', "'flow' is a required property"),
        (WELL + HEATER, "'element' is a required property"),
        (WELL + '[power]\ngrid = "no"\n', "'no' is not of type 'boolean'"),
    ],
)
def test_it_tells_what_the_reader_refuses(text: str, finding: str) -> None:
    found = told(text)
    assert len(found) == 1
    assert finding in found[0]
    with pytest.raises(SiteFileError):
        parse_site(text)


def test_a_pipe_needs_its_size_only_where_no_default_stands_in() -> None:
    assert told(WELL + '[piping.lateral]\nlength = "60 ft"\n') == []
    pump = '[[pump]]\nname = "x"\nflow = "0, 1 gpm"\nhead = "9, 8 ft"\n'
    found = told(WELL + pump + 'drop_pipe = { length = "60 ft" }\n')
    assert [each.partition(": ")[2] for each in found] == [
        "'material' is a required property",
        "'size' is a required property",
    ]


def test_every_key_is_described_and_every_default_told() -> None:
    assert [
        name for name, entry in entries(SCHEMA) if not entry["description"].endswith(".")
    ] == []
    for default in defaults():
        place: Any = SCHEMA
        for name in default.keys:
            place = place["properties"][name]
            place = place.get("items", place)
        assert place["default"] == default.value, default.path
        assert default.why in place["description"]


def test_a_quantity_says_its_kind_its_bounds_and_an_example() -> None:
    depth = SCHEMA["properties"]["well"]["properties"]["depth"]
    assert depth["type"] == "string"
    assert "A length, more than zero, at most" in depth["description"]
    assert 'such as "85 ft"' in depth["description"]


def test_the_command_writes_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "site.schema.json"
    assert main(["schema", str(path)]) == 0
    written = json.loads(path.read_text("utf-8"))
    assert written.pop("$comment").startswith("wellsolar: schema; sha256 ")
    assert written == SCHEMA
    assert main(["schema", "-"]) == 0
    assert capsys.readouterr().out == path.read_text("utf-8")
    assert main(["schema", str(tmp_path / "none" / "x.json")]) == 2


def test_a_file_may_name_its_schema_in_a_comment() -> None:
    named = f"#:schema ./site.schema.json\n{starter_text()}"
    assert parse_site(named).site == parse_site(starter_text()).site
