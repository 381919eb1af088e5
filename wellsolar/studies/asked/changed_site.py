"""A site as if its file had other values: a remedy or a fix is tried before it is told."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from typing import Any

from wellsolar.site import shape
from wellsolar.site.defaults import fill
from wellsolar.site.locate import Path
from wellsolar.site.schema import Site
from wellsolar.units import UnreadableQuantity
from wellsolar.verdicts import Change

_PART = re.compile(r"(\w+)(?:\[(\d+)\])?")


def changed_site(site: Site, changes: Sequence[Change]) -> Site:
    """The site with changes made to it.

    Parameters:
        site: the site
        changes: with paths that count tables in brackets, as `set_to` takes them
    Returns:
        a copy; a table that the file lacks is made of all changes that belong into it, and what
        they leave out gets its default
    """
    for change in changes:
        path = _path_of(change.path)
        if getattr(site, str(path[0])) is None:
            site = _with_table(site, str(path[0]), changes)
            continue
        field = shape.field_at(path)
        assert field is not None, change.path
        reader, value = shape.reader_of(field), _value_of(change)
        site = with_value(site, path, value if reader is None else reader.read(value))
    return site


def may_be_written(changes: Sequence[Change]) -> bool:
    """Whether each of some changes lies within the bounds of its key, so that a site file may
    hold it.

    Parameters:
        changes: as of `changed_site`
    Returns:
        False where a file with them would be refused
    """
    for change in changes:
        field = shape.field_at(_path_of(change.path))
        reader = None if field is None else shape.reader_of(field)
        try:
            if reader is not None:
                reader.read(_value_of(change))
        except UnreadableQuantity:
            return False
    return True


def that_change(site: Site, changes: Sequence[Change]) -> tuple[Change, ...]:
    """Those of some changes that set a key to what it is not already.

    Parameters:
        site: the site
        changes: as of `changed_site`, of tables that the file has
    Returns:
        the changes in their order
    """
    return tuple(change for change in changes if changed_site(site, [change]) != site)


def with_value(table: Any, path: Path, value: object) -> Any:
    """A copy of a model with another value at a key path.

    Parameters:
        table: a site, or a table of it, or a tuple of tables
        path: the key path from there
        value: the value
    Returns:
        the copy
    """
    part, rest = path[0], path[1:]
    if isinstance(part, int):
        inner = with_value(table[part], rest, value)
        return (*table[:part], inner, *table[part + 1 :])
    inner = with_value(getattr(table, part), rest, value) if rest else value
    return table.model_copy(update={part: inner})


def _path_of(text: str) -> Path:
    """Names and places from 0: `array[1].series` is array, 0, series."""
    path: Path = ()
    for name, number in _PART.findall(text):
        path = (*path, name, int(number) - 1) if number else (*path, name)
    return path


def _value_of(change: Change) -> Any:
    return tomllib.loads(f"x = {change.value}")["x"]


def _with_table(site: Site, name: str, changes: Sequence[Change]) -> Site:
    raw = {
        change.path.rpartition(".")[2]: _value_of(change)
        for change in changes
        if change.path.rpartition(".")[0] == name
    }
    model = shape.table_at((name,))
    assert model is not None, name
    table = model.model_validate(fill({name: raw})[0][name])
    return site.model_copy(update={name: table})
