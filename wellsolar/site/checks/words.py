"""What the checks between keys share: how they ask for values and name them in a message."""

from __future__ import annotations

from collections.abc import Iterator
from types import SimpleNamespace
from typing import Any

from wellsolar.site.locate import Path
from wellsolar.wording import nearest, quoted

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


def well_of(site: SimpleNamespace, pump: SimpleNamespace) -> SimpleNamespace | None:
    """The well that a pump or the hand pump draws from; None where the file has none such."""
    if pump.well is None:
        well: SimpleNamespace | None = site.well
        return well
    return next((well for well in site.other_well if well.name == pump.well), None)


def in_the_well(well: SimpleNamespace | None, path: Path, depth: Any) -> Mistakes:
    """A mistake where a depth lies below the bottom of a well."""
    if well is not None and known(depth, well.depth) and depth > well.depth:
        yield (
            path,
            f"{as_given(depth)} lies below the bottom of the well ({as_given(well.depth)})",
        )


def names_a_well(site: SimpleNamespace, path: Path, pump: SimpleNamespace) -> Mistakes:
    """A mistake where a pump or the hand pump names a well that the file does not have."""
    names = [well.name for well in site.other_well if isinstance(well.name, str)]
    if pump.well is None or pump.well in names:
        return
    listed = ", ".join(map(quoted, names))
    near = nearest(pump.well, names, 0.6)
    hint = f", did you mean {quoted(near)}?" if near else ""
    asked = f"expected {listed}{hint}" if names else "give [[other_well]] with this name"
    yield (
        (*path, "well"),
        f"{quoted(pump.well)} is the name of no other well: {asked}; left out, it is [well]",
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
