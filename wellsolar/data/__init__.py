"""Shipped tables, each a CSV file with its source at the top, read once and never changed."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from importlib import resources
from types import MappingProxyType


@cache
def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """Rows of `wellsolar/data/<name>.csv` as read-only mappings of column name to text.

    Lines that begin with `#` (source, units, provenance) are passed over.

    Parameters:
        name: of the table, without its ending [text]
    Returns:
        rows in the file's order [text]
    Source: the head of each table.
    """
    text = resources.files(__name__).joinpath(f"{name}.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    return tuple(MappingProxyType(dict(row)) for row in csv.DictReader(lines))
