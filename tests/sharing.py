"""One study of a site for all tests of a process, however often it is asked for.

Many tests ask another question about a site that a test before them has studied already. A site
and its options decide a study, so its answer is kept by these. A test that changes the program
(`monkeypatch`), or asks whether it does the same twice, studies anew.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest import mock

import pytest
from pydantic import BaseModel

from wellsolar.results import StudyPart
from wellsolar.studies import case as case_module
from wellsolar.studies.case import Case, _Asked
from wellsolar.units import Quantity

MOST = 200
"""Sites whose studies are kept."""

OWN = {"sheet"}
"""Studies that name the file itself."""


class Shared:
    """The studies of every site so far."""

    def __init__(self) -> None:
        self.on = True
        self.kept: OrderedDict[bytes, dict[str, Any]] = OrderedDict()

    def studies_of(self, case: Case) -> dict[str, Any]:
        """The studies so far of a site that was read."""
        key = case.__dict__.setdefault("shared_key", None) or key_of(case)
        case.__dict__["shared_key"] = key
        found = self.kept.setdefault(key, {})
        self.kept.move_to_end(key)
        while len(self.kept) > MOST:
            self.kept.popitem(last=False)
        return found

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
        """Within it, sites that are alike are studied once."""
        anew, judge = _Asked.anew, case_module.judged_at_ends

        def asked(study: _Asked[Any], case: Case) -> Any:
            # A study goes through hundreds of changed sites, which nobody asks for again: kept,
            # they would push out those that were read.
            alone = study.name in OWN or case.before is not None
            if alone or not self.on or case.options.progress is not None:
                return anew(study, case)
            found = self.studies_of(case)
            if study.name not in found:
                found[study.name] = anew(study, case)
            return found[study.name]

        def judged(
            case: Case, studies: Sequence[str], said: Sequence[StudyPart]
        ) -> list[StudyPart]:
            if not self.on or case.before is not None:
                return judge(case, studies, said)
            found, what = self.studies_of(case), f"judged: {' '.join(studies)}"
            if what not in found:
                found[what] = judge(case, studies, said)
            return list(found[what])

        with (
            mock.patch.object(_Asked, "anew", asked),
            mock.patch.object(case_module, "judged_at_ends", judged),
        ):
            yield


def key_of(case: Case) -> bytes:
    """What decides the answers: the site as it was written, its options, its weather file."""
    weather = b""
    if case.site.sun is not None and case.site.sun.file is not None:
        path = Path(case.file.path).parent / case.site.sun.file
        weather = path.read_bytes() if path.is_file() else str(path).encode()
    return hashlib.sha256(repr((_plain(case.site), case.options)).encode() + weather).digest()


def _plain(value: object) -> object:
    """Everything that a value holds, told apart by `repr`."""
    if isinstance(value, Quantity):
        return (float(value), value.kind.name, value.low, value.high, value.written)
    if isinstance(value, BaseModel):
        return (sorted(value.model_fields_set), [(name, _plain(each)) for name, each in value])
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    return value


SHARED = Shared()
