"""A site as if its file had other values: a remedy or a fix is tried before it is told."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from typing import Any

from wellsolar.site import shape
from wellsolar.site.defaults import fill
from wellsolar.site.duty import stand_in, with_stand_ins
from wellsolar.site.locate import Path, set_at
from wellsolar.site.schema import Site
from wellsolar.site.table import Table
from wellsolar.units import UnreadableQuantity
from wellsolar.verdicts import Change

_PART = re.compile(r"(\w+)(?:\[(\d+)\])?")


def changed_site(site: Site, changes: Sequence[Change]) -> Site:
    """The site with changes made to it.

    Parameters:
        changes: with paths that count tables in brackets, as `set_to` takes them
    Returns:
        a copy; a table that the file lacks, one of several or one within another too, is made of
        all changes that belong into it, and what they leave out gets its default; a pump that is
        not chosen has the curve of its duty
    """
    for change in changes:
        path = path_of(change.path)
        lacking = _lacking(site, path)
        if lacking is not None:
            site = with_value(site, lacking, _made(lacking, changes))
            continue
        field = shape.field_at(path)
        assert field is not None, change.path
        reader, value = shape.reader_of(field), _value_of(change)
        site = with_value(site, path, value if reader is None else reader.read(value))
        if path[0] == "pump" and path[2:3] == ("duty",):
            site = _with_curve(site, path[:2])
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
        field = shape.field_at(path_of(change.path))
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
        changes: as of `changed_site`, of tables that the file has
    """
    return tuple(change for change in changes if _sets_anew(site, change))


def _sets_anew(site: Site, change: Change) -> bool:
    """True where a change sets a key to what it is not already."""
    stands: Any = site
    changed: Any = changed_site(site, [change])
    for part in path_of(change.path):
        if isinstance(part, int):
            stands, changed = stands[part], changed[part]
        else:
            stands, changed = getattr(stands, part), getattr(changed, part)
    return bool(changed != stands)


def with_value(table: Any, path: Path, value: object) -> Any:
    """A copy of a model with another value at a key path.

    Parameters:
        table: a site, or a table of it, or a tuple of tables
        path: the key path from there; a place behind the last of several adds one
    """
    part, rest = path[0], path[1:]
    if isinstance(part, int):
        inner = with_value(table[part], rest, value) if rest else value
        return (*table[:part], inner, *table[part + 1 :])
    inner = with_value(getattr(table, part), rest, value) if rest else value
    return table.model_copy(update={part: inner})


def path_of(text: str) -> Path:
    """Names and places from 0: `array[1].series` is array, 0, series."""
    path: Path = ()
    for name, number in _PART.findall(text):
        path = (*path, name, int(number) - 1) if number else (*path, name)
    return path


def _value_of(change: Change) -> Any:
    return tomllib.loads(f"x = {change.value}")["x"]


def _lacking(site: Site, path: Path) -> Path | None:
    """The path of the first table on the way to a key that the site lacks; None where it has
    all of them."""
    table: Any = site
    for place, part in enumerate(path[:-1], 1):
        if isinstance(part, int):
            if part >= len(table):
                return path[:place]
            table = table[part]
        else:
            table = getattr(table, part)
            if table is None:
                return path[:place]
    return None


def _made(lacking: Path, changes: Sequence[Change]) -> Table:
    """The table at a path, of all changes that belong into it."""
    raw: dict[str, Any] = {}
    for change in changes:
        path = path_of(change.path)
        if path[: len(lacking)] == lacking:
            set_at(raw, path, _value_of(change))
    filled = fill(raw)[0]
    with_stand_ins(filled)
    model: type[Table] | None = shape.table_at(lacking)
    inner: Any = filled
    assert model is not None, lacking
    for part in lacking:
        inner = inner[part]
    return model.model_validate(inner)


def _with_curve(site: Site, path: Path) -> Site:
    """The site with the curve of a pump's duty in the place of that of another duty."""
    duty = site.pump[int(path[1])].duty
    assert duty is not None, path
    flow, head = stand_in(float(duty.flow), float(duty.head))
    changed: Site = with_value(with_value(site, (*path, "flow"), flow), (*path, "head"), head)
    return changed
