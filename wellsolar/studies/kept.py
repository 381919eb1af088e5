"""Answers kept by what decides them: the keys of a site that were read, at their values.

A study of a site that was changed in a key which it does not read is the study of the site before,
be it one or twenty changes ago.
"""

from __future__ import annotations

from collections import OrderedDict, defaultdict
from collections.abc import Hashable
from functools import cache, lru_cache
from typing import Any, cast, get_args

from wellsolar.site.schema import Site
from wellsolar.site.table import EVERY, GIVEN, Key, Table, unnoted
from wellsolar.units import Quantity

Made = tuple[Any, frozenset[Key]]
"""An answer, and the keys that it rests on."""

OF_ANOTHER: Key = (Table, "of another site")
"""Among the keys of what was taken over from another site, though it may rest on what differs."""

Way = tuple[tuple[str, frozenset[Key]], ...]
"""Tables of a site, and what was read of each."""

MOST = 1000
"""Answers that are kept: a year of hours that changes in each takes a megabyte."""

TABLES = 20
"""Tables in some of their keys that are told apart, a kept answer."""

WAYS = 60
"""Sets of keys that one study was found to rest on, of those that are looked up: a study reads
other keys where one decides what it goes on to ask."""


class Kept:
    """The answers about a site and those that it was changed to.

    Parameters:
        most: how many are kept; those go that nobody asked for longest
    """

    def __init__(self, most: int = MOST) -> None:
        self.most = most
        self.answers: OrderedDict[tuple[str, Way, Hashable, Hashable], Made] = OrderedDict()
        self.ways: defaultdict[str, OrderedDict[Way, list[set[Hashable]]]]
        self.ways = defaultdict(OrderedDict)
        self.numbers: dict[Hashable, int] = {}
        self.wholes: dict[int, tuple[Table, int]] = {}
        self.numbered: dict[tuple[int, frozenset[Key]], int] = {}

    def found(self, study: str, site: Site, besides: Hashable = None) -> Made | None:
        """The answer of a study on a site like this one in what it reads.

        Parameters:
            besides: what else decides the answer
        Returns:
            the answer with its keys; None where there is none
        """
        tables, ways = unnoted(site, EVERY), self.ways[study]
        for way, seen in reversed(ways.items()):
            stand = []
            for (table, keys), known in zip(way, seen, strict=True):
                value = self._value(tables[table], keys)
                if value not in known:
                    break  # Most ways end at a first table.
                stand.append(value)
            else:
                answer = self.answers.get((study, way, tuple(stand), besides))
                if answer is not None:
                    self.answers.move_to_end((study, way, tuple(stand), besides))
                    ways.move_to_end(way)
                    return answer
        return None

    def keep(self, study: str, site: Site, answer: Made, besides: Hashable = None) -> None:
        """Keep an answer, unless it rests on what was taken over from another site."""
        if OF_ANOTHER in answer[1]:
            return
        if max(len(self.wholes), len(self.numbered)) > TABLES * self.most:
            for store in (self.answers, self.ways, self.numbers, self.wholes, self.numbered):
                store.clear()
        way, tables, ways = _way(answer[1]), unnoted(site, EVERY), self.ways[study]
        stand = tuple([self._value(tables[table], keys) for table, keys in way])
        seen = ways.setdefault(way, [set() for _ in way])
        for value, known in zip(stand, seen, strict=True):
            known.add(value)
        if len(ways) > WAYS:
            ways.popitem(last=False)
        self.answers[study, way, stand, besides] = answer
        if len(self.answers) > self.most:
            self.answers.popitem(last=False)

    def forget(self, study: str) -> None:
        """Keep no answer of a study."""
        for key in [key for key in self.answers if key[0] == study]:
            del self.answers[key]

    def _value(self, value: object, keys: frozenset[Key] | None) -> Hashable:
        """A value of a site, or of a table some keys or all, as what is alike for what is
        alike."""
        kind: type = type(value)
        if _is_table(kind):
            table = cast(Table, value)
            whole = self._whole(table)
            return whole if keys is None else self._number(table, whole, keys)
        if isinstance(value, Quantity):
            return float(value), value.kind.name, value.low, value.high, value.written
        if isinstance(value, tuple):
            return tuple([self._value(part, keys) for part in value])
        return value

    def _whole(self, table: Table) -> int:
        """The same for tables alike in all that was given and all that they hold; a table is
        frozen, so that sites share it."""
        known = self.wholes.get(id(table))
        if known is None:
            values = unnoted(table, EVERY)
            stand: list[Hashable] = [type(table), frozenset(unnoted(table, GIVEN))]
            stand += [self._value(values[name], None) for name in type(table).model_fields]
            known = table, self.numbers.setdefault(tuple(stand), len(self.numbers))
            self.wholes[id(table)] = known
        return known[1]

    def _number(self, table: Table, whole: int, keys: frozenset[Key]) -> int:
        """The same for tables alike in some keys."""
        number = self.numbered.get((whole, keys))
        if number is None:
            values = unnoted(table, EVERY)
            stand: list[Hashable] = [type(table)]
            stand += [self._value(values[name], keys) for name in _names(type(table), keys)]
            if (type(table), GIVEN) in keys:
                stand.append(frozenset(unnoted(table, GIVEN)))
            number = self.numbers.setdefault(tuple(stand), len(self.numbers))
            self.numbered[whole, keys] = number
        return number


@cache
def _is_table(kind: type) -> bool:
    return issubclass(kind, Table)


@cache
def _names(kind: type[Table], keys: frozenset[Key]) -> tuple[str, ...]:
    """Of some keys those that a table of a kind has."""
    every = (kind, EVERY) in keys
    return tuple(name for name in kind.model_fields if every or (kind, name) in keys)


@lru_cache(MOST)
def _way(keys: frozenset[Key]) -> Way:
    """The tables of a site that were read, each with what was read of it."""
    return tuple((table, _one(keys & _within(table))) for table in _names(Site, keys))


@lru_cache(20 * MOST)
def _one(keys: frozenset[Key]) -> frozenset[Key]:
    """The first of those alike: the very same are found alike without a look at what they hold."""
    return keys


@cache
def _within(table: str) -> frozenset[Key]:
    """Every key of a table and of those in it."""
    keys: set[Key] = set()
    waiting: list[Any] = [Site.model_fields[table].annotation]
    while waiting:
        kind = waiting.pop()
        waiting += get_args(kind)
        if isinstance(kind, type) and issubclass(kind, Table) and (kind, GIVEN) not in keys:
            keys |= {(kind, name) for name in (*kind.model_fields, EVERY, GIVEN)}
            waiting += [field.annotation for field in kind.model_fields.values()]
    return frozenset(keys)
