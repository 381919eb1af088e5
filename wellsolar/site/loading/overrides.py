"""Values set in place of those of a site file, which stays as it is: `--with`, and from Python."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from wellsolar.errors import Problem
from wellsolar.site import shape
from wellsolar.site.loading.syntax import is_deeper
from wellsolar.site.locate import Path
from wellsolar.units import Quantity, in_file
from wellsolar.wording import nearest, quoted

SET_BY = ("command line", "Python")
"""Where a value may be set, as the source of an assumption names it."""

_EXAMPLE = 'such as well.static_level="110 ft"'
_PART = re.compile(r"\s*([A-Za-z0-9_-]+)\s*(?:\[([^\]]*)\])?\s*")
_NAMED_BY = ("name", "position", "kind")
"""Keys that name a table among several of its kind."""

_LIKE = 0.6
_LONGEST_VALUE = 10_000
_DEEPEST = 9
_LONG_KEY = re.compile(r"(?:\.\s*[A-Za-z0-9_-]+\s*){20}")


@dataclass(frozen=True)
class Setting:
    """A value to be set in place of the file's.

    key: as typed, such as `pump[2].flow`; empty where none was given
    value: text as a person types it, or what Python has
    place: what a mistake in it is named by; typed: False where Python set it
    """

    key: str
    value: object
    place: str
    typed: bool


@dataclass(frozen=True)
class Change:
    """A setting that found its place.

    path: the key path it leads to
    before: what the file has there, as TOML gives it; None for nothing
    """

    setting: Setting
    path: Path
    before: Any


@dataclass(frozen=True)
class Changed:
    """The tables of a file with the changes in them.

    tables: a copy; changes: those that could be made; problems: the others
    """

    tables: dict[str, Any]
    changes: tuple[Change, ...]
    problems: tuple[Problem, ...]

    def place_of(self, path: Path, in_file: Iterable[Path]) -> str | None:
        """What set the value that a mistake at a key path belongs to, such as `--with
        well.depth`; None where the file made it."""
        for change in reversed(self.changes):
            inside = path[: len(change.path)] == change.path
            above = bool(path) and change.path[: len(path)] == path and path not in in_file
            if inside or above:
                return change.setting.place
        return None


def typed_settings(texts: Iterable[str]) -> list[Setting]:
    """What `--with` names: each a key, an equals sign and a value, as `pump[2].flow=0, 2 gpm`."""
    settings = []
    for text in texts:
        key, equals, value = _split(text)
        place = f"--with {_printable(key.strip())}".strip()
        settings.append(Setting(key.strip() if equals else "", value, place, typed=True))
    return settings


def python_settings(values: Mapping[str, object]) -> list[Setting]:
    """Keys as `--with` takes them, with texts or other values of Python."""
    return [
        Setting(key.strip(), as_toml(value), _printable(key.strip()), typed=False)
        for key, value in values.items()
    ]


def as_toml(value: object) -> Any:
    """A copy of tables or values from Python as TOML would give them; quantities become texts."""
    if isinstance(value, Mapping):
        return {key: as_toml(inner) for key, inner in value.items()}
    if isinstance(value, (list, tuple)):
        return [as_toml(inner) for inner in value]
    if not isinstance(value, Quantity):
        return value
    return in_file(value)


def changed(tables: dict[str, Any], settings: Sequence[Setting]) -> Changed:
    """A copy of a file's tables with other values in them, and what could not be set."""
    copy = deepcopy(tables) if settings else tables
    changes: list[Change] = []
    problems: list[Problem] = []
    for setting in settings:
        if not setting.key:
            said = f"takes a key, an equals sign and a value, {_EXAMPLE}"
            problems.append(Problem(setting.place, None, said))
            continue
        placed = _put(copy, setting.key, setting.value)
        if isinstance(placed, str):
            problems.append(Problem(setting.place, None, placed))
        else:
            changes.append(Change(setting, *placed))
    return Changed(copy, tuple(changes), tuple(problems))


def _split(setting: str) -> tuple[str, str, str]:
    """Key, equals sign and value; an equals sign within brackets belongs to a name."""
    depth = 0
    for place, mark in enumerate(setting):
        depth += (mark == "[") - (mark == "]")
        if mark == "=" and depth <= 0:
            return setting[:place], mark, setting[place + 1 :].strip()
    return setting, "", ""


def _put(tables: dict[str, Any], key: str, value: object) -> tuple[Path, Any] | str:
    """Set a value; gives its key path and what stood there, or what is wrong with the key."""
    parts = _parts(key)
    if parts is None or len(parts) > _DEEPEST:
        return (
            f"is no key: write it with dots, {_EXAMPLE}; of several tables pump[2] or pump[name]"
        )
    table: Any = tables
    path: Path = ()
    for number, (name, which) in enumerate(parts):
        path = (*path, name)
        if number == len(parts) - 1 and which is None:
            before = table.get(name)
            table[name] = _value(path, value)
            return path, before
        inner = table.get(name)
        field = shape.field_at(path)
        if field is not None and shape.is_array(field) and (inner is None or _many(inner)):
            index = _index(path, inner or [], which)
            if isinstance(index, str):
                return index
            path, inner = (*path, index), inner[index]
        elif which is not None:
            return f"{name} is counted or named in brackets, but a site has no more than one"
        elif inner is None:
            inner = table[name] = {}
        if not isinstance(inner, dict):
            return f"{name} is no table in the file, but a value"
        table = inner
    return f"{parts[-1][0]} is a table: name a key in it"


def _many(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(item, dict) for item in value)


def _parts(key: str) -> list[tuple[str, str | None]] | None:
    """The names of a dotted key, each with what stands in brackets behind it."""
    parts = []
    place = 0
    while match := _PART.match(key, place):
        parts.append((match.group(1), match.group(2)))
        place = match.end()
        if place == len(key):
            return parts
        if key[place] != ".":
            return None
        place += 1
    return None


def _index(path: Path, tables: list[Any], which: str | None) -> int | str:
    """Which table of several is meant, counted from 0, or what is wrong."""
    name = str(path[-1])
    count = len(tables)
    if count == 0:
        return f"the file has no [[{'.'.join(str(part) for part in path)}]] to set a key in"
    names = [_name(table) for table in tables]
    shown = ", ".join(f"{name}[{own_name or number}]" for number, own_name in enumerate(names, 1))
    if which is None:
        return 0 if count == 1 else f"the file has {count} tables {name}: write one of {shown}"
    which = which.strip().strip("\"'")
    if which in names:
        return names.index(which)
    if which.isdecimal() and len(which) < 5 and 1 <= int(which) <= count:
        return int(which) - 1
    near = nearest(which, [name for name in names if name], _LIKE)
    hint = f', did you mean "{near}"?' if near else f": the file has {shown}"
    return f"there is no {name} {quoted(which)}{hint}"


def _name(table: dict[str, Any]) -> str | None:
    name = next((table[key] for key in _NAMED_BY if isinstance(table.get(key), str)), None)
    return name if name else None


def _value(path: Path, text: object) -> Any:
    """A value as TOML would read it where it is TOML, else as the text it is."""
    if not isinstance(text, str):
        return text
    field = shape.field_at(path)
    if field is not None and not _takes_more_than_text(field) and not text.startswith(('"', "'")):
        return text
    if len(text) > _LONGEST_VALUE or _LONG_KEY.search(text):
        return text
    try:
        tables = tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError):
        return text
    value = tables["value"]
    usual = isinstance(value, (bool, int, float, str, list, dict))
    return value if usual and len(tables) == 1 and not is_deeper(value, _DEEPEST) else text


def _takes_more_than_text(field: Any) -> bool:
    """False for names, sizes and gauges, which may look like numbers."""
    if shape.table_of(field) is not None or shape.reader_of(field) is not None:
        return True
    types = shape.types_of(field) | {type(option) for option in shape.options_of(field)}
    return shape.is_list_of_texts(field) or bool({bool, int} & types)


def _printable(text: str) -> str:
    return quoted(text)[1:-1]
