"""Fills in what a site file leaves out, and remembers that it did."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from wellsolar.site.locate import Path

ALWAYS = ("site", "demand", "piping", "power", "losses", "sun", "aim", "limits")
"""Tables that a site has even where its file does not name them."""


@dataclass(frozen=True)
class Default:
    """A value to use where the file has none; `path` names arrays of tables as `pump[]`, and as
    `drawdown_test?` a table that it does not make.

    `unless` names keys of the same table that say the same in another way. `spread` are the
    ends between which published values lie, as "low .. high"; verdicts are judged at both.
    """

    path: str
    value: str | int
    why: str
    source: str
    unless: tuple[str, ...] = ()
    spread: str = ""

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys on the way to the value, without the marks of tables."""
        return tuple(self.path.replace("[]", "").replace("?", "").split("."))


@cache
def defaults() -> tuple[Default, ...]:
    """The shipped defaults, in the order of their file."""
    text = resources.files(__package__).joinpath("defaults.toml").read_text(encoding="utf-8")
    return tuple(Default(**row) for row in tomllib.loads(text)["default"])


def default_of(keys: tuple[str, ...]) -> Default | None:
    """The default of a key, named by the keys on the way to it; None where it has none."""
    return next((default for default in defaults() if default.keys == keys), None)


def is_filled(keys: tuple[str, ...]) -> bool:
    """True where a key, or something in the table of that name, has a default."""
    return any(default.keys[: len(keys)] == keys for default in defaults())


def fill(raw: dict[str, Any]) -> tuple[dict[str, Any], list[tuple[Path, Default]]]:
    """A copy of raw tables with every default filled in, and of each its key path and the
    default used."""
    filled = deepcopy(raw)
    for name in ALWAYS:
        filled.setdefault(name, {})
    used: list[tuple[Path, Default]] = []
    for default in defaults():
        for path, table in _homes(filled, default.path.split("."), ()):
            key = str(path[-1])
            if key not in table and not any(other in table for other in default.unless):
                table[key] = default.value
                used.append((path, default))
    return filled, used


def _homes(
    table: dict[str, Any], parts: list[str], above: Path
) -> Iterator[tuple[Path, dict[str, Any]]]:
    """The tables in which the key of a default belongs, each with the key's full path."""
    name, rest = parts[0].removesuffix("[]").removesuffix("?"), parts[1:]
    if not rest:
        yield (*above, name), table
        return
    if above and name not in table and not parts[0].endswith("?"):
        table[name] = {}
    inside = table.get(name)
    if parts[0].endswith("[]"):
        for index, item in enumerate(inside if isinstance(inside, list) else []):
            if isinstance(item, dict):
                yield from _homes(item, rest, (*above, name, index))
    elif isinstance(inside, dict):
        yield from _homes(inside, rest, (*above, name))
