"""What the site's own rules say of answers given so far, and which tables are whole."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pydantic import ValidationError

from wellsolar.site import shape
from wellsolar.site.checks.across import mistakes
from wellsolar.site.defaults import fill
from wellsolar.site.loading.messages import translate
from wellsolar.site.locate import Path
from wellsolar.site.schema import Site

_LACKING = ("missing", "too_short")
"""What pydantic calls a key, or one of several tables, that is not there yet."""


def problems(tables: dict[str, Any]) -> list[tuple[Path, str]]:
    """Mistakes in what is there, by the rules of a site file; what is not there yet is none.

    Parameters:
        tables: as TOML gives them
    Returns:
        key path and message of each
    """
    filled, _ = fill(tables)
    errors = [each for each in _errors(filled) if each["type"] not in _LACKING]
    found = list(translate(errors, ()))
    return found + list(mistakes(shape.readable_part(filled)))


def lacking(tables: dict[str, Any]) -> dict[Path, list[Path]]:
    """The tables that lack a key without which the program can't use them.

    Parameters:
        tables: as TOML gives them
    Returns:
        path of each as of `unit_of`, with what it lacks
    """
    filled, _ = fill(tables)
    found: dict[Path, list[Path]] = {}
    for error in _errors(filled):
        if error["type"] in _LACKING:
            path: Path = tuple(error["loc"])
            found.setdefault(unit_of(path), []).append(path)
    return found


def unit_of(path: Path) -> Path:
    """The table of the top level that a key belongs to, which is whole or not.

    Parameters:
        path: a key path
    Returns:
        such as `("well",)` or `("pump", 1)`
    """
    return path[:2] if len(path) > 1 and isinstance(path[1], int) else path[:1]


def _errors(filled: dict[str, Any]) -> Iterator[Any]:
    try:
        Site.model_validate(filled)
    except ValidationError as error:
        yield from error.errors(include_url=False)
