"""Finds the line of a key in the text of a TOML file; tomllib itself keeps none.

Key paths are tuples of keys and, for arrays of tables, positions: `("pump", 1, "head")`.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

Path = tuple[str | int, ...]

_DEEPEST = 50
_BLANK = re.compile(r"[ \t]*")
_WRITTEN = re.compile(r"([a-z_]+)(?:\[(\d{1,3})\])?")
_PART = re.compile(r"""[A-Za-z0-9_-]+|"(?:\\.|[^"\\\n])*"|'[^'\n]*'""")
# What can stand in a value: texts of several lines first, as they begin like those of one.
_PIECE = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|#[^\n]*"
    r"|[\[\]{}\n]",
    re.DOTALL,
)


@dataclass(frozen=True)
class Statement:
    """One statement of a TOML text: a table head, a key with its value, or something else.

    kind: "head", "key" or "other"; path: of the table or key, for the rest of what it may be
    line, last: its first and last line, counted from 1
    """

    kind: str
    path: Path
    line: int
    last: int


def statements(text: str) -> Iterator[Statement]:
    """Every line or lines of a TOML text that say something, in order; the text may hold
    mistakes."""
    counts: dict[Path, int] = {}
    table: Path = ()
    place, line = 0, 1
    while place < len(text):
        start = _skip_blank(text, place)
        if text.startswith("[", start):
            many = text.startswith("[[", start)
            parts, _ = _dotted(text, start + (2 if many else 1))
            path = table = _table(many, parts, counts)
            kind, end = "head", _end_of_line(text, start)
        else:
            parts, stop = _dotted(text, start)
            path = table + parts
            kind = "key" if parts and _equals(text, stop) else "other"
            end = _end_of_statement(text, stop)
        last = line + text.count("\n", place, end)
        if parts or text[start:end].strip():
            yield Statement(kind, path, line, last - text.endswith("\n", place, end))
        place, line = end, last


def lines_of(text: str) -> dict[Path, int]:
    """Line number, counted from 1, of every table head and key of a TOML text. Keys inside an
    inline table or array have the line of their statement, a table that is only named on the
    way to another the line of the first such."""
    named: dict[Path, int] = {}
    implied: dict[Path, int] = {}
    for statement in statements(text):
        if statement.kind != "other" and statement.path:
            named.setdefault(statement.path, statement.line)
            for length in range(1, min(len(statement.path), _DEEPEST)):
                implied.setdefault(statement.path[:length], statement.line)
    return {**implied, **named}


def line_of(lines: dict[Path, int], path: Path) -> int | None:
    """The line of a key path, or of the nearest table above it that the file has; None for
    none."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return None


def key_text(path: Path) -> str:
    """A key path as a person writes it, such as `pump[2].head`; arrays of tables count from 1."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}"
    return text.removeprefix(".")


def path_of(text: str) -> Path:
    """The key path that `key_text` wrote."""
    path: list[str | int] = []
    for match in _WRITTEN.finditer(text):
        path.append(match.group(1))
        if match.group(2):
            path.append(int(match.group(2)) - 1)
    return tuple(path)


def set_at(tables: dict[str, Any], path: Path, value: object) -> None:
    """Set a value in raw tables, in place, with the tables on the way to it."""
    inner: Any = tables
    for place, part in enumerate(path[:-1]):
        empty: Any = [] if isinstance(path[place + 1], int) else {}
        if isinstance(part, int):
            while len(inner) <= part:
                inner.append({})
            inner = inner[part]
        else:
            inner = inner.setdefault(part, empty)
    inner[path[-1]] = value


def value_at(tables: Any, path: Path) -> Any:
    """What stands at a key path of raw tables; None for nothing, which TOML can't write."""
    for part in path:
        try:
            tables = tables[part]
        except (KeyError, IndexError, TypeError):
            return None
    return tables


def _skip_blank(text: str, place: int) -> int:
    match = _BLANK.match(text, place)
    return match.end() if match else place


def _equals(text: str, place: int) -> bool:
    return text.startswith("=", _skip_blank(text, place))


def _dotted(text: str, place: int) -> tuple[Path, int]:
    """The parts of a dotted key that begins at a place, and where it ends."""
    parts: list[str] = []
    while True:
        part = _PART.match(text, _skip_blank(text, place))
        if part is None:
            return tuple(parts), place
        parts.append(_plain(part.group()))
        place = _skip_blank(text, part.end())
        if not text.startswith(".", place):
            return tuple(parts), place
        place += 1


def _plain(part: str) -> str:
    """A part of a key without its quotes and escapes."""
    if part[0] == '"' and "\\" in part:
        try:
            return next(iter(tomllib.loads(f"{part} = 0")))
        except tomllib.TOMLDecodeError:
            return part[1:-1]
    return part[1:-1] if part[0] in "\"'" else part


def _table(many: bool, parts: Path, counts: dict[Path, int]) -> Path:
    """The path of a table head, with the position of each array of tables on the way."""
    path: Path = ()
    for place, part in enumerate(parts):
        path = (*path, part)
        if many and place == len(parts) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path


def _end_of_line(text: str, place: int) -> int:
    end = text.find("\n", place)
    return len(text) if end < 0 else end + 1


def _end_of_statement(text: str, place: int) -> int:
    """The beginning of the line after a value, which may take several lines."""
    depth = 0
    for piece in _PIECE.finditer(text, place):
        mark = piece.group()
        if mark in "[{":
            depth += 1
        elif mark in "]}":
            depth = max(0, depth - 1)
        elif mark == "\n" and depth == 0:
            return piece.end()
    return len(text)
