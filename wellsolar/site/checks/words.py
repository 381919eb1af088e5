"""What the checks between keys share: how they ask for values and name them in a message."""

from __future__ import annotations

from collections.abc import Iterator
from types import SimpleNamespace
from typing import Any

from wellsolar.site.locate import Path
from wellsolar.wording import quoted

Mistakes = Iterator[tuple[Path, str]]
"""Key path and message of each mistake."""


def known(*values: Any) -> bool:
    """True where the file has all of these."""
    return all(value is not None for value in values)


def as_given(value: Any) -> str:
    """A quantity as the file writes it, without quotes."""
    return quoted(str(value.written))[1:-1]


def list_given(values: Any) -> str:
    """A list of quantities as the file writes it, in quotes."""
    return quoted(str(values[0].written))


def count(values: Any, thing: str) -> str:
    """How many of a thing a list has."""
    return f"{len(values)} {thing}{'' if len(values) == 1 else 's'}"


def in_the_well(site: SimpleNamespace, path: Path, depth: Any) -> Mistakes:
    """A mistake where a depth lies below the bottom of the well."""
    if site.well is not None and known(depth, site.well.depth) and depth > site.well.depth:
        yield (
            path,
            f"{as_given(depth)} lies below the bottom of the well ({as_given(site.well.depth)})",
        )


def same_names(table: str, items: list[Any]) -> Mistakes:
    """A mistake for each name that a table of several has again."""
    seen: set[str] = set()
    for index, item in enumerate(items):
        if isinstance(item.name, str) and item.name in seen:
            yield (
                (table, index, "name"),
                f"{quoted(item.name)} is used twice: each {table} needs a name of its own",
            )
        elif isinstance(item.name, str):
            seen.add(item.name)
