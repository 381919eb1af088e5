"""What the site model looks like from outside: its tables, keys and readers.

Used to name the nearest valid key, and to read what can be read of a file with mistakes so that
the rules between keys can still be tried on it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache, lru_cache, wraps
from types import SimpleNamespace
from typing import Annotated, Any, Literal, TypeVar, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from wellsolar import kinds
from wellsolar.site.fields import Names, Reads, Usual
from wellsolar.site.locate import Path
from wellsolar.site.schema import Site
from wellsolar.site.table import Table
from wellsolar.units import UnreadableQuantity

Looked = TypeVar("Looked")


def _once(look: Callable[[FieldInfo], Looked]) -> Callable[[FieldInfo], Looked]:
    """A look at a field, which stays what it is: every site that is read asks it of every key."""
    seen: dict[int, tuple[FieldInfo, Looked]] = {}  # by the field itself: no hash tells two apart

    @wraps(look)
    def once(field: FieldInfo) -> Looked:
        known = seen.get(id(field))
        if known is None:
            known = seen[id(field)] = field, look(field)
        return known[1]

    return once


@_once
def table_of(field: FieldInfo) -> type[Table] | None:
    """The model of a field that is a table or an array of tables; None for a plain key."""
    return next((part for part in _parts(field) if _is_table(part)), None)


@_once
def is_array(field: FieldInfo) -> bool:
    """True where the field is an array of tables."""
    return _is_list(field) and table_of(field) is not None


def is_list_of_texts(field: FieldInfo) -> bool:
    """True where the key takes texts in square brackets, free ones or words of a choice."""
    lists = [get_args(part)[0] for part in _parts(field) if get_origin(part) is tuple]
    return any(of is str or get_origin(of) is Literal for of in lists)


@_once
def reader_of(field: FieldInfo) -> Reads | None:
    """How a plain key of a quantity is read; None for a word, a count or a switch."""
    return next((part for part in _parts(field) if isinstance(part, Reads)), None)


def usual_of(field: FieldInfo) -> Usual | None:
    """Between what ends most quantities of a key lie; None for a key that is no quantity."""
    reader = reader_of(field)
    own = [part for part in _parts(field) if isinstance(part, Usual)]
    return own[-1] if own else None if reader is None else Usual(kinds.USUAL[reader.kind.name])


def table_at(path: tuple[str | int, ...]) -> type[Table] | None:
    """The model of the table at a key path; None where there is none."""
    return _table_of_keys(tuple(part for part in path if isinstance(part, str)))


@lru_cache(maxsize=1024)
def _table_of_keys(keys: tuple[str, ...]) -> type[Table] | None:
    """The same, of the keys without the places of tables among several."""
    model: type[Table] = Site
    for part in keys:
        field = model.model_fields.get(part)
        inner = table_of(field) if field else None
        if inner is None:
            return None
        model = inner
    return model


def head_of(path: tuple[str | int, ...]) -> str:
    """The head of the table at a key path, such as `[[water_heater.element]]`."""
    name = ".".join(part for part in path if isinstance(part, str))
    field = field_at(path)
    return f"[[{name}]]" if field is not None and is_array(field) else f"[{name}]"


def field_at(path: tuple[str | int, ...]) -> FieldInfo | None:
    """The field at a key path; None where there is none."""
    keys = [part for part in path if isinstance(part, str)]
    table = table_at(tuple(keys[:-1]))
    return table.model_fields.get(keys[-1]) if table and keys else None


def options_of(field: FieldInfo) -> tuple[str | int, ...]:
    """The values that a key with a choice allows; none for any other key."""
    return tuple(
        option
        for part in _parts(field)
        if get_origin(part) is Literal
        for option in get_args(part)
    )


def names_of(field: FieldInfo) -> Names | None:
    """The shipped table whose names a key takes; None for any other key."""
    return next((part for part in _parts(field) if isinstance(part, Names)), None)


@_once
def most_of(field: FieldInfo) -> int | None:
    """The most tables or texts that a list may have; None for no list."""
    marks = [mark for part in _parts(field) for mark in getattr(part, "metadata", [part])]
    return next((mark.max_length for mark in marks if hasattr(mark, "max_length")), None)


def too_many(
    tables: dict[str, Any], model: type[Table] = Site, above: Path = ()
) -> tuple[Path, str] | None:
    """The first list in raw tables that has more than it may, and what is wrong with it; None
    where there is none. To look at each of its tables would take minutes."""
    for name, field in model.model_fields.items():
        if name not in tables:
            continue
        value, most, inner = tables[name], most_of(field), table_of(field)
        path = (*above, name)
        if isinstance(value, list) and most is not None and len(value) > most:
            what = "texts" if inner is None else f"tables {head_of(path)}"
            return path, f"holds {len(value)} {what}: a site has at most {most}"
        if inner is None:
            continue
        several = enumerate(value) if isinstance(value, list) else [(None, value)]
        for place, item in several:
            if isinstance(item, dict):
                at = path if place is None else (*path, place)
                deeper = too_many(item, inner, at)
                if deeper is not None:
                    return deeper
    return None


def bounds_of(field: FieldInfo) -> tuple[int | None, int | None]:
    """The least and the greatest whole number that a count allows; None for no such bound."""
    marks = [mark for part in _parts(field) for mark in getattr(part, "metadata", [part])]
    least = next((mark.ge for mark in marks if hasattr(mark, "ge")), None)
    return least, next((mark.le for mark in marks if hasattr(mark, "le")), None)


def types_of(field: FieldInfo) -> set[type]:
    """The plain types that a key is made of."""
    return {part for part in _parts(field) if isinstance(part, type)}


def tables_with(key: str) -> list[str]:
    """The heads of the tables in which a key is at home."""
    return [head for head, table in _heads() if key in table.model_fields]


@cache
def _heads() -> list[tuple[str, type[Table]]]:
    """The head of every table with its model."""
    return list(_heads_in(Site, ""))


def _heads_in(model: type[Table], above: str) -> Iterator[tuple[str, type[Table]]]:
    for name, field in model.model_fields.items():
        table = table_of(field)
        if table is not None:
            path = f"{above}{name}"
            yield (f"[[{path}]]" if is_array(field) else f"[{path}]"), table
            yield from _heads_in(table, f"{path}.")


def readable_part(raw: object, model: type[Table] = Site) -> SimpleNamespace:
    """What can be read of a raw table: attributes named as the keys of its model, None where
    one is missing or unreadable; tables within likewise, arrays of tables as lists."""
    table = raw if isinstance(raw, dict) else {}
    return SimpleNamespace(
        **{name: _readable(table.get(name), field) for name, field in model.model_fields.items()}
    )


def _readable(value: object, field: FieldInfo) -> Any:
    if value is None:
        return [] if is_array(field) else None
    inner = table_of(field)
    if inner is not None and is_array(field):
        return [readable_part(item, inner) for item in value] if isinstance(value, list) else []
    if inner is not None:
        return readable_part(value, inner)
    reader = reader_of(field)
    if reader is None:
        # A table, or a day where a word is wanted, is no value of such a key.
        several = value if isinstance(value, list) and _is_list(field) else [value]
        known = _types_known(field)
        return value if all(type(item) in known for item in several) else None
    try:
        return reader.read(value)
    except UnreadableQuantity:
        return None


@_once
def _types_known(field: FieldInfo) -> set[type]:
    """The types of what a key may have that is no quantity."""
    return types_of(field) | {type(option) for option in options_of(field)}


@_once
def _is_list(field: FieldInfo) -> bool:
    """True where a key takes several values in square brackets."""
    return any(get_origin(part) is tuple for part in _parts(field))


@_once
def _parts(field: FieldInfo) -> tuple[Any, ...]:
    """What a field's annotation is made of, and its marks."""
    return (*field.metadata, *_opened(field.annotation))


def _opened(annotation: Any) -> list[Any]:
    """An annotation and all that it is made of."""
    parts = [annotation]
    if get_origin(annotation) is Annotated:
        parts.extend(annotation.__metadata__)
    for argument in get_args(annotation):
        parts.extend(_opened(argument))
    return parts


def _is_table(part: Any) -> bool:
    return isinstance(part, type) and issubclass(part, BaseModel)
