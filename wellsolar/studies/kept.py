"""Answers kept by what decides them: the keys of a site that were read, at their values.

A study of a site that was changed in a key which it does not read is the study of the site before,
be it one or twenty changes ago.
"""

from __future__ import annotations

from collections import OrderedDict, defaultdict
from collections.abc import Hashable
from functools import cache, lru_cache
from typing import Any, get_args

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
        self.ways: defaultdict[str, OrderedDict[Way, None]] = defaultdict(OrderedDict)
        self.numbers: dict[Hashable, int] = {}
        self.numbered: dict[tuple[int, frozenset[Key]], tuple[Table, int]] = {}

    def found(self, study: str, site: Site, besides: Hashable = None) -> Made | None:
        """The answer of a study on a site like this one in what it reads.

        Parameters:
            besides: what else decides the answer
        Returns:
            the answer with its keys; None where there is none
        """
        ways = self.ways[study]
        for way in reversed(ways):
            key = study, way, self._stand(site, way), besides
            made = self.answers.get(key)
            if made is not None:
                self.answers.move_to_end(key)
                ways.move_to_end(way)
                return made
        return None

    def keep(self, study: str, site: Site, made: Made, besides: Hashable = None) -> None:
        """Keep an answer, unless it rests on what was taken over from another site.

        Parameters:
            site: the site that it was made for
            made: the answer with its keys
        """
        if OF_ANOTHER in made[1]:
            return
        if len(self.numbered) > TABLES * self.most:
            for each in (self.answers, self.numbers, self.numbered):
                each.clear()
        way = _way(made[1])
        ways = self.ways[study]
        ways[way] = None
        if len(ways) > WAYS:
            ways.popitem(last=False)
        self.answers[study, way, self._stand(site, way), besides] = made
        if len(self.answers) > self.most:
            self.answers.popitem(last=False)

    def _stand(self, site: Site, way: Way) -> tuple[Hashable, ...]:
        """How the keys of some tables stand in a site."""
        tables = unnoted(site, EVERY)
        return tuple(self._value(tables[table], keys) for table, keys in way)

    def _value(self, value: object, keys: frozenset[Key]) -> Hashable:
        """A value of a site, or of a table some keys, as what is alike for what is alike."""
        if isinstance(value, Quantity):
            return float(value), value.kind.name, value.low, value.high, value.written
        if isinstance(value, Table):
            return self._number(value, keys)
        if isinstance(value, tuple):
            return tuple(self._value(each, keys) for each in value)
        assert isinstance(value, Hashable), value
        return value

    def _number(self, table: Table, keys: frozenset[Key]) -> int:
        """The same for tables alike in some keys; a table is frozen, so that sites share it."""
        known = self.numbered.get((id(table), keys))
        if known is None:
            values = unnoted(table, EVERY)
            stand: list[Hashable] = [type(table)]
            stand += [self._value(values[name], keys) for name in _names(type(table), keys)]
            if (type(table), GIVEN) in keys:
                stand.append(frozenset(unnoted(table, GIVEN)))
            known = table, self.numbers.setdefault(tuple(stand), len(self.numbers))
            self.numbered[id(table), keys] = known
        return known[1]


@cache
def _names(kind: type[Table], keys: frozenset[Key]) -> tuple[str, ...]:
    """Of some keys those that a table of a kind has."""
    every = (kind, EVERY) in keys
    return tuple(name for name in kind.model_fields if every or (kind, name) in keys)


@lru_cache(MOST)
def _way(keys: frozenset[Key]) -> Way:
    """The tables of a site that were read, each with what was read of it."""
    return tuple((table, keys & _within(table)) for table in _names(Site, keys))


@cache
def _within(table: str) -> frozenset[Key]:
    """Every key of a table and of those in it."""
    found: set[Key] = set()
    waiting: list[Any] = [Site.model_fields[table].annotation]
    while waiting:
        kind = waiting.pop()
        waiting += get_args(kind)
        if isinstance(kind, type) and issubclass(kind, Table) and (kind, GIVEN) not in found:
            found |= {(kind, name) for name in (*kind.model_fields, EVERY, GIVEN)}
            waiting += [field.annotation for field in kind.model_fields.values()]
    return frozenset(found)
