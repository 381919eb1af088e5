"""Pydantic's errors as sentences for the author of a site file."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any

from pydantic.fields import FieldInfo

from wellsolar.errors import MOST_TOLD
from wellsolar.site import shape
from wellsolar.site.defaults import is_filled
from wellsolar.site.fields import choice_message
from wellsolar.site.locate import Path
from wellsolar.site.schema import Site
from wellsolar.site.table import Table
from wellsolar.units import one
from wellsolar.wording import as_written, nearest

_SURE = 0.85
"""A likeness above which a key is taken for misspelt even where another table has it."""

_LIKE = 0.6

_MOST_WORDS = 10
"""Words of a bare text that a message writes again as a list."""

_LOOKED_AT = 4 * MOST_TOLD
"""Unknown keys for which the nearest that is known is looked for."""


def translate(
    errors: Iterable[Mapping[str, Any]], unread: Collection[Path]
) -> Iterator[tuple[Path, str]]:
    """Pydantic's errors, each once, as key path and sentence; a key whose value is `unread` is
    not called missing."""
    located = [(_path_of(error), error) for error in errors]
    unknown = [at for at, error in located if error["type"] == "extra_forbidden"]
    meant = {path for at in unknown[:_LOOKED_AT] for path in _meant(at)}
    seen: set[Path] = set()
    for path, error in located:
        if path in seen or (error["type"] == "missing" and (path in meant or path in unread)):
            continue
        seen.add(path)
        if error["type"] == "extra_forbidden" and len(seen) > _LOOKED_AT:
            yield path, "is no key here"  # is counted, not told: to look for its like takes long
            continue
        message = _message(path, error)
        if message is not None:
            yield path, message


def _path_of(error: Mapping[str, Any]) -> Path:
    """The key path; pydantic also names the branches of a union, of which the file knows none."""
    parts: list[str | int] = []
    unknown = error["type"] == "extra_forbidden"
    for part in error["loc"]:
        known = isinstance(part, int) or shape.field_at((*parts, part)) is not None
        if known or (unknown and shape.table_at(tuple(parts)) is not None):
            parts.append(part)
    return tuple(parts)


def _message(path: Path, error: Mapping[str, Any]) -> str | None:
    kind, value = str(error["type"]), error.get("input")
    if kind in ("quantity", "choice"):
        return str(error["ctx"]["text"])
    if kind == "missing":
        return _missing(path)
    if kind == "extra_forbidden":
        return _unknown_key(path, value)
    field = shape.field_at(path)
    if field is None:
        return f"{as_written(value)} can't stand here"
    if kind == "literal_error":
        return choice_message(value, "choice here", shape.options_of(field))
    if shape.table_of(field) is not None:
        return _no_table(path, field, value, isinstance(path[-1], int))
    if kind == "string_too_long":
        most = error["ctx"]["max_length"]
        return f"is too long: it has {len(str(value))} characters, and may have at most {most}"
    return _wrong_type(kind, field, value)


def _missing(path: Path) -> str:
    field = shape.field_at(path)
    table = shape.table_of(field) if field else None
    if field is None:
        return "is missing"
    if table is not None:
        return f"the table {shape.head_of(path)} is missing: it needs {_needed(path, table)}"
    reader = shape.reader_of(field)
    if reader is not None and reader.many:
        unit = next(unit for unit in reader.kind.written if unit)
        return f'is missing: expected a list such as "0, 3, 6, 9 {unit}"'
    if reader is not None:
        return (
            f'is missing: expected {one(reader.kind)}, e.g. {path[-1]} = "{reader.kind.example}"'
        )
    return f"is missing: expected {_wanted(field)}"


def _wanted(field: FieldInfo) -> str:
    """What a key that is no quantity takes."""
    options = shape.options_of(field)
    if shape.is_list_of_texts(field) and options:
        listed = ", ".join(as_written(option) for option in options)
        return f"a list in square brackets of {listed}, or [] for none of them"
    if options:
        return f"one of {', '.join(as_written(option) for option in options)}"
    names = shape.names_of(field)
    if names is not None:
        return f"a {names.what}, one of {', '.join(as_written(name) for name in names.known())}"
    if shape.is_list_of_texts(field):
        return 'texts in square brackets, such as ["grid", "inverter"]'
    types = shape.types_of(field)
    if bool in types:
        return "true or false"
    if int in types:
        least, most = shape.bounds_of(field)
        return f"a whole number from {least} to {most}"
    return "a text in quotes"


def _as_list(field: FieldInfo, text: str) -> str | None:
    """How a bare text is written as a list; None where a word of it is none of the key's."""
    options = [option for option in shape.options_of(field) if isinstance(option, str)]
    pieces = [piece.strip() for piece in text.split(",") if piece.strip()]
    meant = [nearest(piece, options, _LIKE) if options else piece for piece in pieces]
    words = [as_written(choice) for choice in meant if choice is not None]
    if not pieces or len(words) < len(pieces) or len(pieces) > _MOST_WORDS:
        return None
    listed = f"[{', '.join(words)}]"
    return f"write {listed}" if meant == pieces else f"did you mean {listed}?"


def _wrong_type(kind: str, field: FieldInfo, value: object) -> str:
    if shape.is_list_of_texts(field) and isinstance(value, str):
        meant = _as_list(field, value)
        if meant is not None:
            return f"{as_written(value)}: expected a list, {meant}"
        return f"{as_written(value)}: expected {_wanted(field)}"
    if shape.is_list_of_texts(field) and value == []:
        return f"is empty: expected {_wanted(field)}"
    if kind == "string_too_short":
        return "is empty: expected a text in quotes"
    bare = isinstance(value, str) and str not in shape.types_of(field)
    return f"{as_written(value)}: expected {_wanted(field)}{', without quotes' if bare else ''}"


def _no_table(path: Path, field: FieldInfo, value: object, item: bool) -> str | None:
    """Something else stands where a table belongs; None where that was said already."""
    table = shape.table_of(field)
    head = shape.head_of(path)
    keys = f"its keys below: {_needed(path, table)}" if table else "its keys below"
    if not shape.is_array(field):
        if isinstance(value, list) and value and all(isinstance(item, dict) for item in value):
            return f"takes single brackets: write {head}, as a site has one"
        return f"{as_written(value)}: expected a table, {head} on a line of its own with {keys}"
    if item:
        return f"{as_written(value)}: expected tables, each {head} with {keys}"
    if isinstance(value, dict):
        return f"takes double brackets: write {head}, as a site may have several"
    if isinstance(value, list) and value:
        # Pydantic counts only the items that are right, and calls the list too short.
        return None
    return f"{as_written(value)}: expected tables, each {head} with {keys}"


def _unknown_key(path: Path, value: object) -> str:
    table = shape.table_at(path[:-1])
    known = list(table.model_fields) if table else []
    key = str(path[-1])
    thing = "table" if isinstance(value, dict) or _is_tables(value) else "key"
    near, homes = _nearest(key, known), shape.tables_with(key)
    if near and (not homes or nearest(key, known, _SURE)):
        return f'is no {thing} here, did you mean "{near}"?'
    if homes and thing == "table":
        return f"is no table here: write {' or '.join(_inside(home, key) for home in homes)}"
    if homes:
        return f"is no key here: it belongs in {' or '.join(homes)}"
    if len(path) > 1 and key in Site.model_fields:
        return f"is no {thing} here: write {shape.head_of((key,))} on a line of its own"
    return f"is no {thing} here: expected one of {', '.join(known)}"


def _inside(home: str, key: str) -> str:
    """The head of the table of a name within another table, given by its head."""
    path = (*home.strip("[]").split("."), key)
    return home if shape.field_at(path) is None else shape.head_of(path)


def _is_tables(value: object) -> bool:
    return isinstance(value, list) and any(isinstance(item, dict) for item in value)


def _nearest(key: str, known: Iterable[str]) -> str | None:
    return nearest(key.replace("-", "_").replace(" ", "_"), known, _LIKE)


def _meant(path: Path) -> Iterator[Path]:
    """The key paths that an unknown key may have been meant for, which are then not missing."""
    table = shape.table_at(path[:-1])
    near = _nearest(str(path[-1]), table.model_fields if table else ())
    if near:
        yield (*path[:-1], near)
    for name, field in Site.model_fields.items():
        inner = shape.table_of(field)
        if inner and not shape.is_array(field) and path[-1] in inner.model_fields:
            yield (name, path[-1])


def _needed(path: Path, table: type[Table]) -> str:
    """The keys a table can't do without; of one that can do without any, all its keys."""
    above = tuple(part for part in path if isinstance(part, str))
    needed = [
        key
        for key, field in table.model_fields.items()
        if field.is_required() and not is_filled((*above, key))
    ]
    return ", ".join(needed or table.model_fields)
