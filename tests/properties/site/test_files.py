"""Whatever stands in a site file, it is read or refused in words, and what is read is studied.

The usual run tries fifty files of a kind; what ends in `at_length` tries the full count:

    .venv/bin/python -m pytest -m long tests/properties/site
"""

from __future__ import annotations

import copy
import datetime
import json
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar import kinds
from wellsolar.errors import SiteFileError
from wellsolar.site.loading.read import SiteFile, load_site, parse_site
from wellsolar.site.starter import starter_text
from wellsolar.studies.case import study_site

EXAMPLE = (Path(__file__).parents[3] / "examples" / "ridge_house.toml").read_text(encoding="utf-8")
SITES = (EXAMPLE, starter_text())
PARTS = ("pump", "tank", "hand")

UNITS = sorted({unit for kind in kinds.ALL for unit in kind.written if unit})
NUMBERS = st.one_of(
    st.integers(-3, 500), st.floats(-1e3, 1e6, allow_nan=False).map(lambda x: round(x, 3))
)
QUANTITIES = st.one_of(
    st.builds("{} {}".format, NUMBERS, st.sampled_from(UNITS)),
    st.builds("{0} {2} .. {1} {2}".format, NUMBERS, NUMBERS, st.sampled_from(UNITS)),
    st.builds(
        lambda numbers, unit: ", ".join(str(each) for each in numbers) + f" {unit}",
        st.lists(NUMBERS, min_size=1, max_size=12),
        st.sampled_from(UNITS),
    ),
)
VALUES = st.recursive(
    st.one_of(
        QUANTITIES,
        st.text(max_size=20),
        st.booleans(),
        st.integers(-(10**20), 10**20),
        st.floats(),
        st.sampled_from([datetime.date(2024, 2, 29), datetime.time(6, 30)]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=4,
)


def toml(value: object) -> str:
    """A value as TOML; tables within values are written inline."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(k)} = {toml(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(toml(each) for each in value) + "]"
    if isinstance(value, str):
        return json.dumps(value).replace("\x7f", "\\u007f")
    return str(value)


def document(tables: dict[str, Any]) -> str:
    return "".join(f"{json.dumps(key)} = {toml(value)}\n" for key, value in tables.items())


def places(value: Any) -> Iterator[tuple[Any, Any]]:
    """Every container of a document with each of its keys or positions."""
    keys = list(value) if isinstance(value, dict) else range(len(value))
    for key in keys:
        yield value, key
        if isinstance(value[key], (dict, list)):
            yield from places(value[key])


def draw_changed(data: st.DataObject, values: st.SearchStrategy[Any], most: int) -> dict[str, Any]:
    """One of the sites with keys dropped, swapped, doubled under other names, or overwritten."""
    tables: dict[str, Any] = copy.deepcopy(tomllib.loads(data.draw(st.sampled_from(SITES))))
    for _ in range(data.draw(st.integers(1, most))):
        found = list(places(tables))
        if not found:
            break
        home, key = found[data.draw(st.integers(0, len(found) - 1))]
        other, where = found[data.draw(st.integers(0, len(found) - 1))]
        match data.draw(st.sampled_from(["drop", "swap", "copy", "overwrite"])):
            case "drop":
                del home[key]
            case "swap":
                first, second = copy.deepcopy(home[key]), copy.deepcopy(other[where])
                home[key], other[where] = second, first
            case "copy" if isinstance(home, dict):
                home[data.draw(st.text(max_size=10))] = copy.deepcopy(other[where])
            case _:
                home[key] = data.draw(values)
    return tables


def read_or_refused(text: str) -> SiteFile | SiteFileError:
    try:
        return parse_site(text, "site.toml")
    except SiteFileError as error:
        return error


def check_refusal(error: SiteFileError, text: str) -> None:
    assert error.problems
    count = text.count("\n") + 1
    for problem in error.problems:
        assert problem.message
        assert problem.text("site.toml").isprintable()
        assert problem.line is None or 1 <= problem.line <= count


def check_changed_site(data: st.DataObject) -> None:
    text = document(draw_changed(data, VALUES, 4))
    outcome = read_or_refused(text)
    if isinstance(outcome, SiteFileError):
        check_refusal(outcome, text)
    else:
        study_site(outcome, PARTS)


@given(data=st.data())
@settings(max_examples=50, derandomize=True, deadline=None)
def test_a_changed_site_is_read_or_refused(data: st.DataObject) -> None:
    check_changed_site(data)


@pytest.mark.long
@given(data=st.data())
@settings(max_examples=250, derandomize=True, deadline=None)
def test_a_changed_site_is_read_or_refused_at_length(data: st.DataObject) -> None:
    check_changed_site(data)


def leaf_values(tables: dict[str, Any]) -> list[tuple[Any, Any, str]]:
    return [(home, key, home[key]) for home, key in places(tables) if isinstance(home[key], str)]


def check_other_numbers(data: st.DataObject) -> None:
    """Numbers stay of their kind, so that far more of the files can be used than above."""
    tables: dict[str, Any] = tomllib.loads(data.draw(st.sampled_from(SITES)))
    for _ in range(data.draw(st.integers(1, 5))):
        home, key, value = data.draw(st.sampled_from(leaf_values(tables)))
        number, _, unit = value.partition(" ")
        if re.fullmatch(r"-?\d+(?:\.\d+)?", number) is None or "," in value:
            del home[key]
            continue
        factor = data.draw(st.sampled_from([0.0, 1e-6, 0.01, 0.3, 0.9, 1.1, 3.0, 30.0, 1e4, -1.0]))
        home[key] = f"{float(number) * factor:.9f} {unit}"
    outcome = read_or_refused(document(tables))
    if isinstance(outcome, SiteFile):
        results = study_site(outcome, PARTS)
        assert all(verdict.reason.text("US") for verdict in results.verdicts)
    else:
        check_refusal(outcome, document(tables))


@given(data=st.data())
@settings(max_examples=50, derandomize=True, deadline=None)
def test_a_site_with_other_numbers_is_studied(data: st.DataObject) -> None:
    check_other_numbers(data)


@pytest.mark.long
@given(data=st.data())
@settings(max_examples=200, derandomize=True, deadline=None)
def test_a_site_with_other_numbers_is_studied_at_length(data: st.DataObject) -> None:
    check_other_numbers(data)


def check_slips_of_the_pen(data: st.DataObject) -> None:
    """Characters lost, doubled or put in, as no TOML writer would."""
    text = data.draw(st.sampled_from(SITES))
    for _ in range(data.draw(st.integers(1, 5))):
        at = data.draw(st.integers(0, len(text) - 1))
        match data.draw(st.sampled_from(["lose", "put", "line"])):
            case "lose":
                text = text[:at] + text[at + data.draw(st.integers(1, 3)) :]
            case "put":
                mark = data.draw(st.sampled_from(['"', "'", "[", "]", "{", "}", "=", "#", "\\", "\n", ",", ".", "\x00", "é", '"""']))  # fmt: skip  # noqa: E501
                text = text[:at] + mark + text[at:]
            case _:
                end = text.find("\n", at) + 1
                text = text[:at] + text[end:] if end else text[:at]
    outcome = read_or_refused(text)
    if isinstance(outcome, SiteFileError):
        check_refusal(outcome, text)


@given(data=st.data())
@settings(max_examples=50, derandomize=True, deadline=None)
def test_a_text_with_slips_of_the_pen_is_refused_in_words(data: st.DataObject) -> None:
    check_slips_of_the_pen(data)


@pytest.mark.long
@given(data=st.data())
@settings(max_examples=150, derandomize=True, deadline=None)
def test_a_text_with_slips_of_the_pen_is_refused_in_words_at_length(data: st.DataObject) -> None:
    check_slips_of_the_pen(data)


def check_any_bytes_are_read_or_refused(
    content: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.getbasetemp() / "any_bytes.toml"
    path.write_bytes(content)
    with pytest.raises(SiteFileError) as caught:
        load_site(path)
    assert caught.value.problems


@given(content=st.one_of(st.binary(max_size=200), st.text(max_size=200).map(str.encode)))
@settings(max_examples=50, derandomize=True, deadline=None)
def test_any_bytes_are_read_or_refused(
    content: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    check_any_bytes_are_read_or_refused(content, tmp_path_factory)


@pytest.mark.long
@given(content=st.one_of(st.binary(max_size=200), st.text(max_size=200).map(str.encode)))
@settings(max_examples=150, derandomize=True, deadline=None)
def test_any_bytes_are_read_or_refused_at_length(
    content: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    check_any_bytes_are_read_or_refused(content, tmp_path_factory)


@pytest.mark.parametrize("text", SITES)
def test_sites_changed_here_can_be_used_as_they_are(text: str) -> None:
    assert isinstance(read_or_refused(text), SiteFile)
    assert isinstance(read_or_refused(document(tomllib.loads(text))), SiteFile)
