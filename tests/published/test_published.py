"""Every published value, one test a row of this folder's TOML files.

A row names the function, the inputs as printed, what the source gives, the tolerance and why, the
source and how far it was seen. A failing row prints its source.

Three kinds of row:

- `function`: a function of the physics or of the tables with the inputs as printed;
- `site` and `result`: a whole site, written in `sites/` with what its source prints, and one
  number of a study of it, so that the joints between file, physics and study are held too;
- `site`, `study`, `verdict` and `edges`: what a rule says where its printed figure is just kept
  and where it is not. With `pick` in place of `edges`, a number of that verdict, as its limit.

`unlike` says what a row checks that no other does. Rows are counted by `counts.py`.
"""

from __future__ import annotations

import contextlib
import importlib
import importlib.util
import inspect
import math
import re
import tomllib
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from wellsolar.errors import OutOfRange
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import Case
from wellsolar.verdicts import Verdict

HERE = Path(__file__).parent
REQUIRED = {"id", "expect", "why", "source", "where", "provenance"}
OF_A_FUNCTION = {"function", "inputs", "options", "pick"}
OF_A_SITE = {"site", "with", "result", "study", "verdict", "subject", "edges", "pick", "unlike"}
KNOWN = REQUIRED | OF_A_FUNCTION | OF_A_SITE | {"relative", "absolute", "note"}
PROVENANCES = {"read", "second hand", "library", "from memory", "computed", "common practice"}
LEAST_SEEN = 750
"""Rows whose value was seen, in its source or in a text that quotes it."""

LEAST_WHOLE = 12
"""Sites out of texts, from their file to a study's result."""


def _load(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"published_{path.stem}", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


in_si = _load(HERE / "as_printed.py").in_si


def _cases() -> list[tuple[str, dict[str, Any]]]:
    found = []
    for path in sorted(HERE.glob("*.toml")):
        for row in tomllib.loads(path.read_text(encoding="utf-8"))["case"]:
            found.append((path.stem, row))
    return found


CASES = _cases()
ADAPTERS = {
    path.stem.removeprefix("adapters_"): _load(path) for path in HERE.glob("adapters_*.py")
}


def _function(subject: str, name: str) -> Any:
    if name.startswith("adapter:"):
        return getattr(ADAPTERS[subject], name.removeprefix("adapter:"))
    module, _, function = name.rpartition(".")
    place = module if module.startswith("data.") else f"physics.{module}"
    return getattr(importlib.import_module(f"wellsolar.{place}"), function)


def _pick(value: Any, path: str) -> Any:
    for attribute, index in re.findall(r"([A-Za-z_]\w*)|\[(-?\d+)\]", path):
        value = getattr(value, attribute) if attribute else value[int(index)]
    return value


@cache
def _case(site: str, settings: tuple[str, ...]) -> Case:
    text = (HERE / "sites" / f"{site}.toml").read_text(encoding="utf-8")
    return Case(parse_site(text, site, settings))


def _verdict(row: dict[str, Any], settings: tuple[str, ...]) -> Verdict:
    """The one verdict of a rule, on the subject where the row names one."""
    said = _case(row["site"], settings).said(row["study"]).verdicts
    found = [
        each
        for each in said
        if each.rule.key == row["verdict"] and row.get("subject", each.subject) == each.subject
    ]
    assert len(found) == 1, f"{len(found)} verdicts {row['verdict']!r}"
    return found[0]


def _of_site(row: dict[str, Any]) -> Any:
    """What a row asks of a whole site."""
    settings = tuple(row.get("with", ()))
    if "edges" in row:
        return ", ".join(_verdict(row, (*settings, *edge)).status for edge in row["edges"])
    if "verdict" in row:
        return _pick(_verdict(row, settings), row["pick"])
    return _pick(_case(row["site"], settings), row["result"])


def _outcome(subject: str, row: dict[str, Any]) -> Any:
    if "site" in row:
        return _of_site(row)
    inputs = {name: in_si(value) for name, value in row.get("inputs", {}).items()}
    value = _function(subject, row["function"])(**inputs, **row.get("options", {}))
    return _pick(value, row["pick"]) if "pick" in row else value


@pytest.mark.parametrize(
    ("subject", "row"), CASES, ids=[f"{subject}: {row['id']}" for subject, row in CASES]
)
def test_published_value(subject: str, row: dict[str, Any]) -> None:
    outcome = _outcome(subject, row)
    source = f"{row['source']}, {row['where']} ({row['provenance']}); tolerance: {row['why']}"
    if isinstance(outcome, str):
        assert outcome == row["expect"], source
        return
    expected = in_si(row["expect"])
    allowed = abs(np.asarray(expected)) * row.get("relative", 0.0)
    if "absolute" in row:
        allowed = np.maximum(allowed, _difference(row["absolute"]))
    off = np.abs(np.asarray(outcome, dtype=float) - np.asarray(expected, dtype=float))
    assert np.all(off <= allowed * (1 + 1e-9)), f"{outcome} for {expected}: {source}"


def _difference(printed: object) -> float:
    """An absolute tolerance: a temperature in it is a difference."""
    text = str(printed).replace("delta_", "")
    if text.endswith("degF"):
        return float(text.removesuffix("degF")) / 1.8
    if text.endswith("degC"):
        return float(text.removesuffix("degC"))
    return float(in_si(printed))


def test_each_row_is_whole() -> None:
    for subject, row in CASES:
        name = f"{subject}: {row.get('id')}"
        assert set(row) >= REQUIRED, f"{name} lacks {REQUIRED - set(row)}"
        assert set(row) <= KNOWN, f"{name} has {set(row) - KNOWN}"
        assert ("function" in row) != ("site" in row), name
        assert "site" not in row or "unlike" in row, name
        assert row["provenance"] in PROVENANCES, name
        assert isinstance(row["expect"], str) or "relative" in row or "absolute" in row, name


def test_no_two_rows_have_one_name() -> None:
    names = [(subject, row["id"]) for subject, row in CASES]
    assert len(names) == len(set(names))


def test_every_site_is_read_by_a_row() -> None:
    written = {path.stem for path in (HERE / "sites").glob("*.toml")}
    assert written == {row["site"] for _, row in CASES if "site" in row}


def test_most_values_were_seen_and_the_counts_are_written() -> None:
    """Values that were seen, library checks and formula checks are counted apart, by a script."""
    counts = _load(HERE / "counts.py")
    seen = counts.by_provenance(counts.rows(), counts.SEEN)
    print(f"\n{counts.table()}")
    assert sum(seen.values()) >= LEAST_SEEN
    assert len(counts.whole_sites()) >= LEAST_WHOLE
    assert counts.WRITTEN.read_text(encoding="utf-8") == counts.table()


REFUSALS = 100
"""Numbers of functions of the physics that refuse what is none, at the least."""

UNITS = {"resistance over that at the reference temperature": "", "4 pi T s / Q": ""}
"""Of what is made of a number before it is looked at."""


def _unit(function: Any, name: str, quantity: str) -> str:
    """The unit of what is refused of a number: that which the docstring states of it; a share has
    none, and a difference of temperatures is in kelvins."""
    stated = re.search(rf"^\s*{name}: .*?\[(.*?)\]", inspect.getdoc(function) or "", re.M | re.S)
    assert stated is not None, f"{function.__name__}: {name}"
    units = {"-": "", "0..1": "", "degC": "K" if " less " in quantity else "degC"}
    return UNITS.get(quantity, units.get(stated[1], stated[1]))


def test_what_is_no_number_is_refused_by_its_name_and_the_unit_that_is_stated_of_it() -> None:
    asked: set[tuple[str, str]] = set()
    refused: list[tuple[str, str]] = []
    for subject, row in CASES:
        name = row.get("function", "data.")
        if name.startswith(("adapter:", "data.")):
            continue
        function = _function(subject, name)
        inputs = {key: in_si(value) for key, value in row.get("inputs", {}).items()}
        for key in inputs:
            if type(inputs[key]) not in (int, float) or (name, key) in asked:
                continue
            asked.add((name, key))
            with contextlib.suppress(ValueError):  # what follows may be one, of a whole number
                try:
                    function(**{**inputs, **row.get("options", {}), key: math.nan})
                except OutOfRange as refusal:
                    quantity, _, told = str(refusal).partition(" is nan")
                    unit = _unit(function, key, quantity)
                    refused.append((told, f" {unit}".rstrip()))
    assert len(refused) >= REFUSALS
    for told, unit in refused:
        assert re.match(rf"{re.escape(unit)}[,;]", told), (told, unit)
