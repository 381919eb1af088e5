"""One study for all tests of a process that ask it of sites alike in what it reads.

Many tests ask another question about a site that a test before them has studied already, or of one
that differs from it in a key or two. What decides a study are the keys of the site that it reads,
as they were written; its answer is kept by these. So a site that was changed in its power alone
has the well of the one before, at every end of it that was tried. A test that changes the program
(`monkeypatch`), or asks whether it does the same twice, studies anew.
"""

from __future__ import annotations

import hashlib
import pickle
from collections import OrderedDict, defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from functools import cache, wraps
from pathlib import Path
from typing import Any, get_args
from unittest import mock

import pytest
from pydantic import BaseModel

from wellsolar import beside
from wellsolar.physics.array import best_resistance, resistive, string_layouts
from wellsolar.physics.sun import synthetic_year
from wellsolar.physics.sun import year as sun_year
from wellsolar.physics.tank import stratified
from wellsolar.results import StudyPart
from wellsolar.site.schema import TABLES, Site, Table
from wellsolar.studies import case as case_module
from wellsolar.studies import ranges
from wellsolar.studies.case import Case, _Asked, _OfItself
from wellsolar.units import Quantity

MOST = 4000
"""Answers that are kept."""

WAYS = 60
"""Sets of keys that one study was found to rest on, of those that are looked up."""

OWN = {"sheet"}
"""Studies that name the file itself."""

OF_FILE = {"frost", "year_of_site"}
"""Studies that read more of the file than its keys."""

OF_OPTIONS = {"ranges", "ranking", "heater_ranking"}
"""Studies that options are for."""

PURE = (
    (best_resistance, "best_resistance_sets"),
    (resistive, "on_resistance"),
    (stratified, "simulate"),
    (string_layouts, "compare_layouts"),
    (sun_year, "on_plane"),
    (synthetic_year, "year_from_monthly"),
)
"""Long sums over a year that are asked again with the same numbers, whatever the site."""

LARGEST = 500_000
"""Size of an answer that is kept of these [bytes]."""

GIVEN = "model_fields_set"
"""Read of a table to learn which of its keys the file gave."""

Key = tuple[type[Table], str]
"""A key of any table of a kind."""

Way = tuple[tuple[str, frozenset[Key]], ...]
"""Tables of a site, and what was read of each."""


class Shared:
    """The studies of every site so far."""

    def __init__(self) -> None:
        self.on = True
        self.kept: OrderedDict[tuple[Any, ...], Any] = OrderedDict()
        self.ways: defaultdict[str, OrderedDict[Way, None]] = defaultdict(OrderedDict)
        self.digests: dict[tuple[int, frozenset[Key]], tuple[object, bytes]] = {}
        self.running: list[_Running] = []

    def found(self, key: tuple[Any, ...]) -> Any:
        """The answer that is kept by a key; None where there is none."""
        if key not in self.kept:
            return None
        self.kept.move_to_end(key)
        return self.kept[key]

    def keep(self, key: tuple[Any, ...], answer: Any) -> None:
        """Keep an answer; what nobody asked for longest goes."""
        self.kept[key] = answer
        while len(self.kept) > MOST:
            self.kept.popitem(last=False)

    def key_of(self, study: str, case: Case, way: Way) -> tuple[Any, ...]:
        """What decides an answer: keys as they were written, options, and files."""
        site = vars(case.site)
        written = tuple(self.digest(site[table], keys) for table, keys in way)
        file = _file_of(case) if study in OF_FILE else ""
        options = repr(case.options) if study in OF_OPTIONS else ""
        return study, way, written, options, file

    def digest(self, table: object, keys: frozenset[Key]) -> bytes:
        """Of some keys of a table, which is frozen, so that changed sites share it."""
        known = self.digests.get((id(table), keys))
        if known is None:
            if len(self.digests) > 10 * MOST:
                self.digests.clear()
            text = repr(_plain(table, keys))
            known = table, hashlib.sha256(text.encode()).digest()
            self.digests[id(table), keys] = known
        return known[1]

    def asked(self, study: _Asked[Any], case: Case) -> tuple[Any, frozenset[str]]:
        """A study's answer: one that is kept, or a new one.

        What rests on a study that a case has from another site (`keep` of `Case.with_site`) is
        true of that case alone.
        """
        ways, known = self.ways[study.name], _notes(case)
        for way in reversed(ways):
            found = self.found(self.key_of(study.name, case, way))
            if found is not None:
                ways.move_to_end(way)
                made, known[study.name] = found
                return made
        with self.noting() as running:
            made = ANEW(study, case)
        known[study.name] = running
        if not running.unlike:
            way = _way(made[1], running.keys)
            ways[way] = None
            if len(ways) > WAYS:
                ways.popitem(last=False)
            self.keep(self.key_of(study.name, case, way), (made, running))
        return made

    @contextmanager
    def noting(self) -> Iterator[_Running]:
        """Note what is read within a block, for what is around it too."""
        running = _Running()
        self.running.append(running)
        try:
            yield running
        finally:
            self.running.pop()
            self.note(running)

    def note(self, read: _Running) -> None:
        """Note what was read where an answer is used that was made before."""
        if self.running:
            self.running[-1].keys |= read.keys
            self.running[-1].unlike |= read.unlike

    @contextmanager
    def anew(self) -> Iterator[None]:
        """Within it, every site is studied anew."""
        self.on, before = False, self.on
        try:
            yield
        finally:
            self.on = before

    @contextmanager
    def anew_where_changed(self, patch: pytest.MonkeyPatch) -> Iterator[None]:
        """Within it, every site is studied anew once attributes or items were changed; a study
        reads neither environment nor folder."""

        def then_anew(change: Callable[..., None]) -> Callable[..., None]:
            def changed(*what: Any, **how: Any) -> None:
                self.on = False
                change(*what, **how)

            return changed

        before = self.on
        ways = ("setattr", "delattr", "setitem", "delitem")
        changing = {way: then_anew(getattr(patch, way)) for way in ways}
        try:
            with mock.patch.multiple(patch, **changing):
                yield
        finally:
            self.on = before

    @contextmanager
    def sharing(self) -> Iterator[None]:
        """Within it, what is alike is studied once."""
        of, judge, with_site = _Asked.of, case_module.judged_at_ends, Case.with_site
        may_fork = beside.may_fork

        def forked() -> bool:
            # What another process finds is not kept.
            return not self.on and may_fork()

        def asked(study: _Asked[Any], case: Case) -> tuple[Any, frozenset[str]]:
            if not self.on and not self.running:
                return ANEW(study, case)
            # Equipment holds its case; progress is to be heard.
            alone = study.name in OWN or isinstance(study, _OfItself)
            if alone or not self.on or case.options.progress is not None:
                with self.noting() as running:
                    made = ANEW(study, case)
                _notes(case)[study.name] = running
                return made
            return self.asked(study, case)

        def noted(study: _Asked[Any], case: Case) -> Any:
            answer = of(study, case)
            self.note(_note_of(study.name, case))
            return answer

        def changed(case: Case, site: Site, *, keep: Collection[str] = ()) -> Case:
            other = with_site(case, site, keep=keep)
            for study in keep:
                if study in other.made:
                    _notes(other)[study] = _Running(_note_of(study, case).keys, unlike=True)
            return other

        def judged(
            case: Case, studies: Sequence[str], said: Sequence[StudyPart]
        ) -> list[StudyPart]:
            if not self.on or case.before is not None:
                return judge(case, studies, said)
            whole = tuple((table, ALL) for table in sorted(TABLES))
            key = self.key_of(f"judged {' '.join(studies)}", case, whole)
            key = (*key, repr(case.options), _file_of(case))
            found = self.found(key)
            if found is None:
                found = judge(case, studies, said)
                self.keep(key, found)
            return list(found)

        standings_at = ranges._standings_at

        def sampled(*asked: Any) -> Any:
            # Hundreds of sites that nobody asks for again would push out those that were read.
            with self.anew():
                return standings_at(*asked)

        with ExitStack() as changes:
            for owner, name, new in (
                (_Asked, "anew", asked),
                (_Asked, "of", noted),
                (Case, "with_site", changed),
                (case_module, "judged_at_ends", judged),
                (beside, "may_fork", forked),
                (ranges, "_standings_at", sampled),
                *((module, name, self.kept_sum(getattr(module, name))) for module, name in PURE),
                *self.watched(),
            ):
                changes.enter_context(mock.patch.object(owner, name, new))
            yield

    def kept_sum(self, work: Callable[..., Any]) -> Callable[..., Any]:
        """A function of numbers alone, worked out once for the same numbers."""

        @wraps(work)
        def kept(*numbers: Any, **named: Any) -> Any:
            if not self.on:
                return work(*numbers, **named)
            asked = pickle.dumps((numbers, named), pickle.HIGHEST_PROTOCOL)
            key = work.__name__, hashlib.sha256(asked).digest()
            found = self.found(key)
            if found is None:
                answer = work(*numbers, **named)
                found = pickle.dumps(answer, pickle.HIGHEST_PROTOCOL)
                if len(found) > LARGEST:
                    return answer
                self.keep(key, found)
            return pickle.loads(found)

        return kept

    def watched(self) -> Iterator[tuple[type[Table], str, Callable[..., Any]]]:
        """What notes each key of a table that is read, be it to hash or to change it."""
        running = self.running

        def watch(kind: type[Table]) -> Iterator[tuple[type[Table], str, Callable[..., Any]]]:
            names = {name: (kind, name) for name in (*kind.model_fields, GIVEN)}
            every, hashed = frozenset(names.values()), kind.__hash__
            get = object.__getattribute__

            def read(table: Table, name: str) -> Any:
                if running and name in names:
                    running[-1].keys.add(names[name])
                return get(table, name)

            def hash_of(table: Table) -> int:
                if running:
                    running[-1].keys |= every
                return hashed(table)

            def changed(table: Table, *, update: Mapping[str, Any]) -> Table:
                if running:
                    running[-1].keys |= {names[name] for name in update}
                return BaseModel.model_copy(table, update=update)

            yield kind, "__getattribute__", read
            yield kind, "__hash__", hash_of
            yield kind, "model_copy", changed

        for kind in _kinds(Table):
            if kind is not Site:
                yield from watch(kind)


class _Running:
    """What a study that runs has read so far: keys, and whether anything of another site."""

    def __init__(self, keys: Iterable[Key] = (), unlike: bool = False) -> None:
        self.keys = set(keys)
        self.unlike = unlike


ANEW = _Asked.anew

ALL: frozenset[Key] = frozenset({(Table, "")})
"""In place of the keys of a table where all of them count."""


def _kinds(kind: type[Table]) -> Iterator[type[Table]]:
    for each in kind.__subclasses__():
        yield each
        yield from _kinds(each)


def _notes(case: Case) -> dict[str, _Running]:
    """What each study of a case has read."""
    found: dict[str, _Running] = vars(case).setdefault("notes", {})
    return found


def _note_of(study: str, case: Case) -> _Running:
    """What a study of a case has read, made for it or for one that it was changed from."""
    at: Case | None = case
    while at is not None:
        if study in _notes(at):
            return _notes(at)[study]
        at = at.before
    return _Running(unlike=True)


def _way(tables: Iterable[str], keys: Iterable[Key]) -> Way:
    """The tables of a site that were read, each with what was read of it."""
    read = frozenset(keys)
    return tuple((table, frozenset(read & _within(table))) for table in sorted(tables))


@cache
def _within(table: str) -> frozenset[Key]:
    """Every key of a table and of those in it."""
    found: set[Key] = set()
    waiting: list[Any] = [Site.model_fields[table].annotation]
    while waiting:
        kind = waiting.pop()
        waiting += get_args(kind)
        if isinstance(kind, type) and issubclass(kind, Table):
            if (kind, GIVEN) in found:
                continue
            found |= {(kind, name) for name in (*kind.model_fields, GIVEN)}
            waiting += [field.annotation for field in kind.model_fields.values()]
    return frozenset(found)


def _file_of(case: Case) -> str:
    """What a file tells besides its tables: which values it did not give, and its weather."""
    sun, weather = vars(case.site)["sun"], b""
    name = vars(sun)["file"]
    if name is not None:
        path = Path(case.file.path).parent / name
        weather = path.read_bytes() if path.is_file() else str(path).encode()
    given = [(each.path, _plain(each.value, ALL), each.source) for each in case.file.assumptions]
    return f"{given!r} {hashlib.sha256(weather).hexdigest()}"


def _plain(value: object, keys: frozenset[Key]) -> object:
    """Everything that a value holds, or of tables some keys, told apart by `repr`."""
    if isinstance(value, Quantity):
        return (float(value), value.kind.name, value.low, value.high, value.written)
    if isinstance(value, Table):
        kind, held = type(value), {**vars(value), GIVEN: sorted(value.__pydantic_fields_set__)}
        read = [name for name in held if keys is ALL or (kind, name) in keys]
        return [(name, _plain(held[name], keys)) for name in read]
    if isinstance(value, list | tuple):
        return [_plain(each, keys) for each in value]
    return value


SHARED = Shared()
