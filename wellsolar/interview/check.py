"""What the site's own rules say of answers given so far, and which tables are whole."""

from __future__ import annotations

from typing import Any

from wellsolar.site.loading.messages import translate
from wellsolar.site.loading.read import examine
from wellsolar.site.locate import Path

_LACKING = ("missing", "too_short")
"""What pydantic calls a key, or one of several tables, that is not there yet."""


def problems(tables: dict[str, Any]) -> list[tuple[Path, str]]:
    """Key path and message of each mistake in what is there; what is not there yet is none."""
    examined = examine(tables)
    errors = [error for error in examined.errors if error["type"] not in _LACKING]
    return [*translate(errors, ()), *examined.between]


def lacking(tables: dict[str, Any]) -> dict[Path, list[Path]]:
    """The tables, by `unit_of`, that lack a key they can't do without, and its path."""
    missing: dict[Path, list[Path]] = {}
    for error in examine(tables).errors:
        if error["type"] in _LACKING:
            path: Path = tuple(error["loc"])
            missing.setdefault(unit_of(path), []).append(path)
    return missing


def unit_of(path: Path) -> Path:
    """The table of the top level that a key belongs to, such as `("well",)` or `("pump", 1)`."""
    return path[:2] if len(path) > 1 and isinstance(path[1], int) else path[:1]
