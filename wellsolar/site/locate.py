"""Finds the line of a key in the text of a TOML file; tomllib itself keeps none.

Key paths are tuples of keys and, for arrays of tables, positions: `("pump", 1, "head")`.
"""

from __future__ import annotations

import re

Path = tuple[str | int, ...]

_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\]]+?)\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(
    r"""^\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'))*)\s*=\s*(.*)$"""
)  # noqa: E501 - one pattern
_PART = re.compile(r"""[A-Za-z0-9_-]+|"[^"]*"|'[^']*'""")
_TRIPLE = ('"""', "'''")


def lines_of(text: str) -> dict[Path, int]:
    """Line number, counted from 1, of every table head and key of a TOML text.

    Parameters:
        text: the whole file
    Returns:
        key path -> line; keys inside an inline table or array have the line of their statement
    """
    found: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    waiting: str | None = None
    depth = 0
    for number, line in enumerate(text.splitlines(), 1):
        if waiting is not None:
            waiting = None if waiting in line else waiting
            continue
        if depth > 0:
            depth += _depth(line)
            continue
        header = _HEADER.match(line)
        if header:
            table = _table(header.group(1), _parts(header.group(2)), counts)
            found.setdefault(table, number)
            continue
        key = _KEY.match(line)
        if key:
            found.setdefault(table + _parts(key.group(1)), number)
            waiting = _opens_text(key.group(2))
            depth = 0 if waiting else max(0, _depth(key.group(2)))
    return found


def line_of(lines: dict[Path, int], path: Path) -> int | None:
    """The line of a key path, or of the nearest table above it that the file has.

    Parameters:
        lines: from `lines_of`
        path: the key path
    Returns:
        line number, or None where not even a table above it stands in the file
    """
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return None


def _parts(text: str) -> Path:
    return tuple(part.strip("\"'") for part in _PART.findall(text))


def _table(brackets: str, parts: Path, counts: dict[Path, int]) -> Path:
    """The path of a table head, with the position of each array of tables on the way."""
    path: Path = ()
    for place, part in enumerate(parts):
        path = (*path, part)
        last = place == len(parts) - 1
        if last and brackets == "[[":
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path


def _opens_text(value: str) -> str | None:
    for mark in _TRIPLE:
        if value.startswith(mark) and mark not in value[3:]:
            return mark
    return None


def _depth(text: str) -> int:
    """Brackets opened less brackets closed, outside of quotes and comments."""
    bare = re.sub(r"\"(?:\\.|[^\"\\])*\"|'[^']*'", "", text).split("#")[0]
    return sum(bare.count(mark) for mark in "[{") - sum(bare.count(mark) for mark in "]}")
