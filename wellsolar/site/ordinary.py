"""What lies outside the ordinary: possible, but seldom meant, and what slips of a unit make."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from wellsolar.site import shape
from wellsolar.site.fields import Usual
from wellsolar.site.locate import Path
from wellsolar.site.schema import Site
from wellsolar.site.table import Table
from wellsolar.units import Quantity, System, UnreadableQuantity, item_written, show
from wellsolar.wording import quoted


@dataclass(frozen=True)
class Unusual:
    """A quantity outside what is ordinary.

    path: of its key; value: what is there, of a list the first such; written: the same as text
    usual: between what ends most lie
    """

    path: Path
    value: Quantity
    written: str
    usual: Usual

    @property
    def low(self) -> Quantity:
        """The lower end of what is ordinary."""
        return Quantity(self.usual.band(self.value.kind).low, self.value.kind)

    @property
    def high(self) -> Quantity:
        """The upper end of it."""
        return Quantity(self.usual.band(self.value.kind).high, self.value.kind)

    def told(self, system: System) -> str:
        """What is asked of it, in a system of units."""
        low, high = (show(end, end.kind, system) for end in (self.low, self.high))
        return f"outside what is ordinary: {self.written}, most are {low} to {high}; is it meant?"


def unusual(table: Table, above: Path = ()) -> Iterator[Unusual]:
    """Everything of a site, or of a table of it, that lies outside the ordinary.

    Returns:
        in the order of the model, each key once
    """
    for name, inner, usual in _keys(type(table)):
        value, path = getattr(table, name), (*above, name)
        if value is None:
            continue
        if usual is not None:
            unusual_value = beyond(path, value, usual)
            if unusual_value is not None:
                yield unusual_value
        elif inner and isinstance(value, tuple):
            for number, item in enumerate(value):
                yield from unusual(item, (*path, number))
        elif inner:
            yield from unusual(value, path)


def beyond(path: Path, value: Any, usual: Usual) -> Unusual | None:
    """A quantity, or the first of a list, that lies outside what is ordinary; None where none
    does."""
    several = value if isinstance(value, tuple) else (value,)
    for number, item in enumerate(several):
        if usual.is_beyond(item):
            alone = quoted(item.written or f"{float(item):g}")[1:-1]
            return Unusual(
                path, item, item_written(several, number) if len(several) > 1 else alone, usual
            )
    return None


def beyond_at(path: Path, written: object) -> Unusual | None:
    """The same of a text as it is written at a key path; None too where it is no quantity."""
    field = shape.field_at(path)
    reader = None if field is None else shape.reader_of(field)
    usual = None if field is None else shape.usual_of(field)
    if reader is None or usual is None:
        return None
    try:
        return beyond(path, reader.read(written), usual)
    except UnreadableQuantity:
        return None


@cache
def _keys(model: type[Table]) -> list[tuple[str, bool, Usual | None]]:
    """The keys of a table that are tables or quantities: name, whether it is a table, and between
    what ends most lie."""
    paths = []
    for name, field in model.model_fields.items():
        inner, usual = shape.table_of(field) is not None, shape.usual_of(field)
        if inner or usual is not None:
            paths.append((name, inner, usual))
    return paths


def unusual_in(site: Site, tables: frozenset[str]) -> list[Unusual]:
    """What lies outside the ordinary in some tables of a site.

    Returns:
        in the order of the model
    """
    return [quantity for quantity in unusual(site) if quantity.path[0] in tables]
