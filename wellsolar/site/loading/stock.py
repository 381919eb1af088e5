"""A user's own stock and catalogue: what could be bought or is on hand, one CSV for each kind.

A line is one thing. What its plate or sheet says is held to the keys of the site file that it
would be written to, by their own readers, bounds and checks, so that what is chosen of it can be
written there as it stands.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path as FilePath
from typing import Any, Literal

from wellsolar import kinds
from wellsolar.errors import MOST_TOLD, Problem, SiteFileError
from wellsolar.site import shape
from wellsolar.site.columns import (
    MOST_COLUMNS,
    MOST_LINES,
    head_and_unit,
    is_flood,
    key_of,
    lines_of_cells,
    named_rows,
)
from wellsolar.site.fields import Reads
from wellsolar.site.inputs import text_of
from wellsolar.site.loading.messages import translate
from wellsolar.site.loading.read import examine
from wellsolar.site.locate import Path
from wellsolar.units import Quantity, UnreadableQuantity
from wellsolar.verdicts import Change, set_to
from wellsolar.wording import quoted

Goods = Literal["pumps", "modules", "tanks", "elements", "wire", "pipe"]
"""What a file of stock may list."""

Use = Literal["pressure", "hot water", "storage", "expansion"]
"""What a tank is for."""

_PIECES = Reads(kinds.RATIO, least=0.0, most=1.0e5)
_RUN = Reads(kinds.LENGTH, least=0.0, most=1.0e5)
_OWN: Mapping[str, Reads] = {
    "price": Reads(kinds.RATIO, least=0.0, most=1.0e7),
    "outlet": Reads(kinds.BORE, above=0.0, most=1.0),
    "opening": Reads(kinds.BORE, above=0.0, most=0.5),
    "openings": Reads(kinds.BORE, above=0.0, most=0.5, many=True),
}
"""Columns for which a site file has no key."""


@dataclass(frozen=True)
class _Listing:
    """How a kind of goods is listed.

    table: of the site file that the plate or sheet is written to; beside: what else that table
        needs before it can be checked, which is the site's and no matter of the goods
    keys: of each column that says what the goods are, the key of the table
    needed: columns without which a line says too little; own: columns without a key
    sold_by_length: what is on hand is a length of it
    """

    table: Path
    keys: Mapping[str, str]
    needed: tuple[str, ...]
    beside: Mapping[str, Any] = field(default_factory=dict)
    own: tuple[str, ...] = ()
    sold_by_length: bool = False

    @property
    def columns(self) -> tuple[str, ...]:
        """All columns that such a file may have."""
        per = ("per",) if self.sold_by_length else ()
        return ("name", "on_hand", "price", *per, *self.own, *self.keys)


def _same(*keys: str, **others: str) -> dict[str, str]:
    """Columns that are called as their keys, and others."""
    return {**{key: key for key in keys}, **others}


_TANK_USES: Mapping[Use, _Listing] = {
    "pressure": _Listing(
        ("pressure_tank",), _same("volume", "greatest_pressure"), ("use", "volume"), own=("use",)
    ),
    "hot water": _Listing(
        ("water_heater",),
        _same(
            "volume", "heat_loss", "greatest_temperature", greatest_pressure="working_pressure"
        ),
        ("use", "volume"),
        {"element": [
            {"position": "lower", "rated_power": "1500 W", "rated_voltage": "120 V",
             "fed_by": "grid"}]},
        ("use", "openings"),
    ),
    "storage": _Listing(("storage_tank",), _same("volume"), ("use", "volume"), own=("use",)),
    "expansion": _Listing(
        ("water_heater",),
        _same(volume="expansion_tank_volume"),
        ("use", "volume"),
        {"volume": "50 gal", "element": [
            {"position": "lower", "rated_power": "1500 W", "rated_voltage": "120 V",
             "fed_by": "grid"}]},
        ("use",),
    ),
}  # fmt: skip

_LISTINGS: Mapping[Goods, _Listing] = {
    "pumps": _Listing(
        ("pump", 0),
        _same(
            "kind", "flow", "head", "power", "voltage", "phases", "supply", "start",
            "electronics", "overload", "full_load_current", "locked_rotor_current", "code_letter",
            "starting_current", "power_factor", "diameter", "motor_diameter", "length", "weight",
            "minimum_submergence", "start_power", "least_voltage", "greatest_voltage",
            motor_power="rated_power",
        ),
        ("flow", "head"),
        own=("outlet",),
    ),
    "modules": _Listing(
        ("module",),
        _same(
            "rated_power", "voc", "isc", "vmp", "imp", "cells", "voc_coefficient",
            "isc_coefficient", "greatest_system_voltage", greatest_fuse="series_fuse",
        ),
        ("voc", "isc", "vmp", "imp", "cells", "voc_coefficient", "isc_coefficient"),
    ),
    "tanks": _Listing(
        (),
        _same("volume", "greatest_pressure", "heat_loss", "greatest_temperature"),
        ("use", "volume"),
        own=("use", "openings"),
    ),
    "elements": _Listing(
        ("water_heater", "element", 0),
        _same(
            "rated_power", "rated_voltage", "temperature_coefficient", "thermostat_switches",
            thermostat_voltage="switch_voltage", thermostat_current="switch_current",
        ),
        ("rated_power", "rated_voltage"),
        {"position": "lower", "fed_by": "grid"},
        ("opening",),
    ),
    "wire": _Listing(
        ("array", 0, "cable"),
        _same("gauge", "insulation", "diameter"),
        ("gauge",),
        {"length": "10 m"},
        sold_by_length=True,
    ),
    "pipe": _Listing(
        ("piping", "lateral"),
        _same("material", "size", "bore", "outside_diameter", "pressure_class"),
        ("material", "size"),
        sold_by_length=True,
    ),
}  # fmt: skip

_TELLS: Mapping[Goods, str] = {
    "pumps": "head", "modules": "voc", "tanks": "volume", "elements": "rated_voltage",
    "wire": "gauge", "pipe": "material",
}  # fmt: skip
"""The column by which a file tells of which kind it is."""

_WELL = {"depth": "100 m", "static_level": "10 m", "water_temperature": "10 degC"}
_GROUP = {"name": "modules", "feeds": "other", "series": 1, "tilt": "30 deg"}


@dataclass(frozen=True)
class Item:
    """Something that could be bought or is there.

    goods: of which kind; name: as in the file; file, line: where it stands
    on_hand: pieces, or metres of wire and pipe; price: in the user's money, None where not told
    per: what the price is for
    values: of each key of the site file, as `set_to` takes it
    use: of a tank; openings: for elements, from the lowest up; opening: that an element screws
        into; outlet: of a pump [m]
    """

    goods: Goods
    name: str
    file: str
    line: int
    on_hand: float
    price: float | None
    per: str
    values: Mapping[str, str | int]
    use: Use | None = None
    openings: tuple[Quantity, ...] = ()
    opening: Quantity | None = None
    outlet: Quantity | None = None

    def called(self, wanted: float = 0.0) -> str:
        """What a list calls it, with whether so much of it is there."""
        return f"{self.name}, on hand" if self.there(wanted) else self.name

    def there(self, wanted: float = 0.0) -> bool:
        """Whether so much of it is on hand, pieces or metres; of nothing told, any."""
        return self.on_hand > 0.0 and self.on_hand >= wanted

    def changes(self, path: str) -> list[Change]:
        """What makes a table of the site file this thing.

        Parameters:
            path: of the table, such as `pump[1]`, `module` or `water_heater.element[2]`
        Returns:
            a change for each key that its line tells
        """
        return [set_to(f"{path}.{key}", value) for key, value in self.values.items()]


@dataclass(frozen=True)
class Stock:
    """All that the files of a run list; empty where there are none."""

    items: tuple[Item, ...] = ()

    def of(self, goods: Goods, use: Use | None = None, wanted: float = 0.0) -> tuple[Item, ...]:
        """What there is of a kind, or of its tanks for a use: that of which so much is on hand
        first, then what is cheapest, then in the order of the files."""
        fitting_items = [item for item in self.items if item.goods == goods and item.use == use]

        def rank(item: Item) -> tuple[bool, float]:
            return not item.there(wanted), math.inf if item.price is None else item.price

        return tuple(sorted(fitting_items, key=rank))


NO_STOCK = Stock()
"""Of a user who lists nothing."""


def load_stock(paths: Iterable[str | FilePath]) -> Stock:
    """The user's stock, of one CSV for each kind or several.

    Parameters:
        paths: of the files
    Returns:
        what they list
    Raises:
        SiteFileError: a file can't be read or has mistakes; it lists all of them
    """
    items: list[Item] = []
    names: set[tuple[Goods, str]] = set()
    for path in paths:
        made, problems = _items(text_of(path, "stock", "CSV"), str(path))
        for item in made:
            if (item.goods, item.name) in names:
                message = f"{quoted(item.name)} stands twice: give each a name of its own"
                problems.append(Problem("name", item.line, message))
            names.add((item.goods, item.name))
        if problems:
            raise SiteFileError(str(path), sorted(problems, key=lambda problem: problem.line or 0))
        items += made
    return Stock(tuple(items))


def _items(text: str, file: str) -> tuple[list[Item], list[Problem]]:
    """What a file lists, and what is wrong with it."""
    if is_flood(text):
        message = f"holds more than {MOST_LINES} lines or {MOST_COLUMNS} columns: part it"
        return [], [Problem("", None, message)]
    heads = _heads_of(text)
    goods = [listing for listing, column in _TELLS.items() if column in heads]
    if len(goods) != 1:
        listed = "; ".join(
            f"{listing}: name, {', '.join(_LISTINGS[listing].needed)}" for listing in _LISTINGS
        )
        what = "lists nothing that is known" if not goods else f"lists {' and '.join(goods)}"
        message = f"{what}: a file is of one kind, whose first line names its columns ({listed})"
        return [], [Problem("", None, message)]
    kind = goods[0]
    listing = _LISTINGS[kind]
    rows, problems = named_rows(
        text, f"column of {kind}", listing.columns, _quantities(kind), _with_unit
    )
    if not rows and not problems:
        message = f"lists no {kind}: write a line for each below the names of the columns"
        problems.append(Problem("", None, message))
    items = []
    for number, row in rows:
        item, wrong = _item(kind, row, file, number)
        problems += wrong
        if item is not None:
            items.append(item)
        if len(problems) > MOST_TOLD:
            break
    return items, problems


def _heads_of(text: str) -> set[str]:
    """The names of the columns, without their units."""
    _, first = next(lines_of_cells(text), (1, []))
    return {key_of(head_and_unit(cell)[0]) for cell in first or []}


def _with_unit(cell: str, unit: str) -> str:
    """A cell with the unit of its column's head, where it has none of its own."""
    return f"{cell} {unit}" if unit and cell[-1:].isdigit() else cell


@cache
def _quantities(goods: Goods) -> tuple[str, ...]:
    """The columns of a kind that hold quantities."""
    listing = _LISTINGS[goods]
    tables = [listing] if listing.table else list(_TANK_USES.values())
    columns = [
        column
        for table in tables
        for column, key in table.keys.items()
        if (at := shape.field_at((*table.table, key))) is not None
        and shape.reader_of(at) is not None
    ]
    return (*columns, *(column for column in _OWN if column != "price"), "on_hand")


def _item(
    goods: Goods, row: Mapping[str, str], file: str, line: int
) -> tuple[Item | None, list[Problem]]:
    """A line of the file, or what is wrong with it."""
    listing, wrong = _LISTINGS[goods], []
    use: Use | None = None
    if goods == "tanks":
        use = next(
            (tank_use for tank_use in _TANK_USES if tank_use == row.get("use", "").lower()), None
        )
        if use is None:
            listed = ", ".join(quoted(tank_use) for tank_use in _TANK_USES)
            said = quoted(row["use"]) if "use" in row else "is missing"
            return None, [Problem("use", line, f"{said}: expected one of {listed}")]
        listing = _TANK_USES[use]
    allowed = set(listing.columns)
    wrong += [
        Problem(column, line, f"says nothing of a tank for {use}: leave the cell empty")
        for column in row
        if column not in allowed
    ]
    if "name" not in row:
        wrong.append(Problem("name", line, "is missing: expected what you call it"))
    for column in listing.needed:
        if column not in row:
            wrong.append(_missing(listing, column, line))
    own, unread = _own_values(listing, row, line)
    values = {
        key: _plain(listing, key, row[column])
        for column, key in listing.keys.items()
        if column in row
    }
    wrong += [*unread, *_mistakes(listing, values, line, skip=set(listing.needed) - set(row))]
    if wrong:
        return None, wrong
    per = row.get("per", "piece" if not listing.sold_by_length else "m")
    return (
        Item(
            goods, row["name"], file, line,
            float(own.get("on_hand", 0.0)), own.get("price"), per, values, use,
            own.get("openings", ()), own.get("opening"), own.get("outlet"),
        ),
        [],
    )  # fmt: skip


def _missing(listing: _Listing, column: str, line: int) -> Problem:
    """A column without which a line says too little."""
    at = shape.field_at((*listing.table, listing.keys.get(column, column)))
    reader = None if at is None else shape.reader_of(at)
    like = "" if reader is None or reader.many else f', such as "{reader.kind.example}"'
    return Problem(column, line, f"is missing: expected it from the plate or sheet{like}")


def _own_values(
    listing: _Listing, row: Mapping[str, str], line: int
) -> tuple[dict[str, Any], list[Problem]]:
    """What a line says that no key of a site file holds, and what is wrong with it."""
    readers = {**_OWN, "on_hand": _RUN if listing.sold_by_length else _PIECES}
    values: dict[str, Any] = {}
    wrong = []
    for column, reader in readers.items():
        if column not in row or column not in listing.columns:
            continue
        try:
            values[column] = reader.read(row[column])
        except UnreadableQuantity as error:
            wrong.append(Problem(column, line, str(error)))
    pieces = values.get("on_hand", 0.0)
    if not listing.sold_by_length and pieces != int(pieces):
        wrong.append(Problem("on_hand", line, f"{quoted(row['on_hand'])}: expected whole pieces"))
    if row.get("per", "m") not in ("ft", "m"):
        wrong.append(Problem("per", line, f'{quoted(row["per"])}: expected "ft" or "m"'))
    if "price" in row and listing.sold_by_length and "per" not in row:
        wrong.append(Problem("per", line, 'is missing: say for what the price is, "ft" or "m"'))
    return values, wrong


def _plain(listing: _Listing, key: str, cell: str) -> str | int:
    """A cell as a site file would write it: a whole number bare."""
    at = shape.field_at((*listing.table, key))
    assert at is not None, key
    counts = shape.reader_of(at) is None and int in {
        *shape.types_of(at), *map(type, shape.options_of(at))
    }  # fmt: skip
    return int(cell) if counts and cell.isdigit() else cell


def _mistakes(
    listing: _Listing, values: Mapping[str, str | int], line: int, skip: set[str]
) -> list[Problem]:
    """What a site file with these values would be refused for, by the columns they came from."""
    columns = {key: column for column, key in listing.keys.items()}
    table: dict[str, Any] = {**listing.beside, **values}
    if listing.table[0] == "pump":
        table["name"] = "pump"
    tables: dict[str, Any] = {"well": _WELL, **_above(listing.table, table)}
    examined = examine(tables)
    problems = []
    for path, message in [*translate(examined.errors, frozenset()), *examined.between]:
        if tuple(path[: len(listing.table)]) != listing.table or len(path) == len(listing.table):
            continue
        column = columns.get(str(path[len(listing.table)]))
        if column is not None and column not in skip:
            problems.append(Problem(column, line, message))
    return problems


def _above(path: Path, table: dict[str, Any]) -> dict[str, Any]:
    """The raw tables of a site that have a table at a key path."""
    if path == ("pump", 0):
        return {"pump": [table]}
    if path == ("array", 0, "cable"):
        return {"array": [{**_GROUP, "cable": table}]}
    if path == ("piping", "lateral"):
        return {"piping": {"lateral": table}}
    if path == ("water_heater", "element", 0):
        return {"water_heater": {"volume": "50 gal", "element": [table]}}
    return {str(path[0]): table}
