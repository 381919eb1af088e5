"""Every published value, one test a row of this folder's TOML files.

A row names the function, the inputs as printed, what the source gives, the tolerance and why, the
source and how far it was seen. A failing row prints its source.
"""

from __future__ import annotations

import importlib
import importlib.util
import re
import tomllib
from collections import Counter
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

HERE = Path(__file__).parent
REQUIRED = {"id", "function", "expect", "why", "source", "where", "provenance"}
KNOWN = REQUIRED | {"inputs", "options", "pick", "relative", "absolute", "note"}
PROVENANCES = {"read", "second hand", "from memory", "computed", "common practice"}
LEAST_ROWS = 60


def _load(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"published_{path.stem}", path)
    assert spec is not None
    assert spec.loader is not None
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


def _outcome(subject: str, row: dict[str, Any]) -> Any:
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
        assert row["provenance"] in PROVENANCES, name
        assert isinstance(row["expect"], str) or "relative" in row or "absolute" in row, name


def test_rows_by_provenance() -> None:
    """Most of the values were seen, in the source or in a text that quotes it, or follow by
    arithmetic from values that were; the counts are printed with `pytest -s`."""
    counts = Counter(row["provenance"] for _, row in CASES)
    print(f"\n{len(CASES)} published rows: {dict(counts)}")
    assert counts["read"] + counts["second hand"] >= LEAST_ROWS
