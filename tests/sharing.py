"""One study of a site for all tests of a process, however often it is asked for.

Many tests ask another question about a site that a test before them has studied already. A site
and its options decide a study, so its answer is kept by these. A test that changes the program
(`monkeypatch`), or asks whether it does the same twice, studies anew.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest import mock

from pydantic import BaseModel

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
    def sharing(self) -> Iterator[None]:
        """Within it, sites that are alike are studied once."""
        anew = _Asked.anew

        def asked(study: _Asked[Any], case: Case) -> Any:
            alone = not self.on or study.name in OWN or case.options.progress is not None
            if alone:
                return anew(study, case)
            found = self.studies_of(case)
            if study.name not in found:
                found[study.name] = anew(study, case)
            return found[study.name]

        with mock.patch.object(_Asked, "anew", asked):
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
