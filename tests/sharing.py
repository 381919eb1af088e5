"""One study for all tests of a process that ask it of sites alike in what it reads.

Many tests ask another question about a site that a test before them has studied already, or of one
that differs from it in a key or two. What decides a study are the keys of the site that it reads,
as they were written, and what stands in its weather file; its answer is kept by these. So a site
that was changed in its power alone has the well of the one before, at every end of it that was
tried. A test that changes the program (`monkeypatch`), or asks whether it does the same twice,
studies anew.
"""

from __future__ import annotations

import hashlib
import math
import os
import pickle
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import is_dataclass
from functools import lru_cache, wraps
from pathlib import Path
from typing import Any
from unittest import mock

import numpy as np
import pytest

from wellsolar import beside
from wellsolar.physics.array import best_resistance, resistive, string_layouts
from wellsolar.physics.sun import year as sun_year
from wellsolar.physics.tank import stratified
from wellsolar.reports.charts import draw
from wellsolar.results.whole import StudyPart
from wellsolar.site.table import EVERY, GIVEN, Table
from wellsolar.studies import case as case_module
from wellsolar.studies.case import Case, _Asked
from wellsolar.studies.kept import OF_ANOTHER, Kept, Made
from wellsolar.units import Quantity

MOST = 4000
"""Answers that are kept."""

OWN = {"sheet"}
"""Studies that name the file itself."""

OF_FILE = {"frost", "year_of_site"}
"""Studies that read more of the file than its keys; no other one asks for the frost."""

OF_OPTIONS = {"ranges", "ranking", "heater_ranking"}
"""Studies that options are for."""

PURE = (
    (best_resistance, "best_resistance_sets"),
    (resistive, "on_resistance"),
    (stratified, "simulate"),
    (string_layouts, "compare_layouts"),
    (sun_year, "on_plane"),
    (draw, "draw"),
)
"""Long sums over a year, and figures, that are asked again with the same numbers, whatever the
site."""

LARGEST = 500_000
"""Size of the arrays in an answer that is kept of these [bytes]."""


class Shared:
    """The studies of every site so far."""

    def __init__(self) -> None:
        self.on = True
        self.kept = Kept(MOST)
        self.sums: OrderedDict[tuple[str, Hashable, Hashable], Any] = OrderedDict()

    def forget(self, which: Callable[[str], bool]) -> None:
        """Keep nothing of some studies and sums, by their names."""
        for kept in (self.kept.answers, self.sums):
            for key in [key for key in kept if which(key[0])]:
                del kept[key]

    def made_of(self, study: _Asked[Any], case: Case) -> Made:
        """A study's answer: one that is kept, or a new one.

        Where nothing is shared, or a study names its file or tells of its progress, a case keeps
        it for the sites that it is changed to, as it does for a user.
        """
        name = study.name
        if not self.on or name in OWN or case.options.progress is not None:
            return MADE_OF(study, case)
        file = _given(case) if name in OF_FILE else ""
        options = repr(case.options) if name in OF_OPTIONS else ""
        besides = _weather(case), file, options
        made = self.kept.found(name, case.site, besides)
        if made is None:
            made = study.anew(case)
            if not case.passing:
                self.kept.keep(name, case.site, made, besides)
        return made

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
                # Variables of the environment are items too: `setenv` ends here.
                self.on = self.on and what[0] is os.environ
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
        judge, may_fork = case_module.judged_at_ends, beside.may_fork

        def forked() -> bool:
            # What another process finds is not kept.
            return not self.on and may_fork()

        def made_of(study: _Asked[Any], case: Case) -> Made:
            return self.made_of(study, case)

        def judged(
            case: Case, studies: Sequence[str], said: Sequence[StudyPart]
        ) -> list[StudyPart]:
            taken_over = any(OF_ANOTHER in keys for _, keys in case.made.values())
            if not self.on or taken_over:
                return judge(case, studies, said)
            asked = " ".join(studies), repr(case.options), _weather(case), _given(case)
            made = self.kept.found("judged", case.site, asked)
            if made is None:
                made = judge(case, studies, said), WHOLE
                self.kept.keep("judged", case.site, made, asked)
            return list(made[0])

        with ExitStack() as changes:
            for owner, name, new in (
                (_Asked, "made_of", made_of),
                (case_module, "judged_at_ends", judged),
                (beside, "may_fork", forked),
                *((module, name, self.kept_sum(getattr(module, name))) for module, name in PURE),
            ):
                changes.enter_context(mock.patch.object(owner, name, new))
            yield

    def kept_sum(self, work: Callable[..., Any]) -> Callable[..., Any]:
        """A function of numbers alone, worked out once for the same numbers."""

        @wraps(work)
        def kept(*numbers: Any, **named: Any) -> Any:
            if not self.on:
                return work(*numbers, **named)
            key = work.__name__, _asked(numbers), _asked(tuple(named.items()))
            if key in self.sums:
                self.sums.move_to_end(key)
                return self.sums[key]
            answer = work(*numbers, **named)
            if _size(answer) <= LARGEST:
                _fix(answer)
                self.sums[key] = answer
                if len(self.sums) > MOST:
                    self.sums.popitem(last=False)
            return answer

        return kept


MADE_OF = _Asked.made_of

PLAIN = (int, bool, str, type(None))
"""Kinds that are alike where they are equal."""


def _size(answer: Any) -> int:
    """Size of the arrays in an answer [bytes]."""
    if isinstance(answer, np.ndarray):
        return answer.nbytes
    if isinstance(answer, tuple | list):
        return sum(map(_size, answer))
    return sum(map(_size, vars(answer).values())) if is_dataclass(answer) else 0


def _asked(value: Any) -> Hashable:
    """What is alike for numbers alike to the bit; to pickle them takes three times as long."""
    kind = type(value)
    if kind is np.ndarray:
        return value.shape, value.dtype.char, hash(value.tobytes())
    if kind is float:
        return value, math.copysign(1.0, value)
    if kind is tuple or kind is list:
        return kind, tuple([_asked(each) for each in value])
    if kind in PLAIN:
        return kind, value
    if is_dataclass(value):
        return kind, tuple([_asked(each) for each in vars(value).values()])
    return pickle.dumps(value, pickle.HIGHEST_PROTOCOL)


def _fix(answer: Any) -> None:
    """Make the arrays of an answer what nobody may write to, as others will have them too."""
    if isinstance(answer, np.ndarray):
        answer.flags.writeable = False
    elif isinstance(answer, tuple | list):
        for part in answer:
            _fix(part)
    elif is_dataclass(answer):
        for value in vars(answer).values():
            _fix(value)


def _kinds(kind: type[Table]) -> Iterator[type[Table]]:
    for each in kind.__subclasses__():
        yield each
        yield from _kinds(each)


WHOLE = frozenset((kind, name) for kind in _kinds(Table) for name in (EVERY, GIVEN))
"""All keys of a site."""


def _weather(case: Case) -> str:
    """What stands in the weather file that a site names: one folder's differs from another's, and
    whatever rests on the year of hours knows no more of it than its name."""
    name = case.site.sun.file
    if name is None:
        return ""
    path = Path(case.file.path).parent / name
    if not path.is_file():
        return str(path)
    seen = path.stat()
    return _hash_of(path.resolve(), seen.st_mtime_ns, seen.st_size, seen.st_ino)


@lru_cache
def _hash_of(path: Path, *_changed: int) -> str:
    """The hash of a file as it stands."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _given(case: Case) -> str:
    """Which values a file did not give, or had from elsewhere."""
    return repr([(each.path, _plain(each.value), each.source) for each in case.file.assumptions])


def _plain(value: Quantity | str) -> object:
    """A value, told apart by `repr`."""
    if isinstance(value, str):
        return value
    return (float(value), value.kind.name, value.low, value.high, value.written)


SHARED = Shared()
