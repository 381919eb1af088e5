"""Which functions of the package each test calls, as it was seen to when it ran.

What a test is given by studies that tests share, and by fixtures of its file, counts as called by
it too. It is measured once for each file of tests and kept until the file is another.
"""

from __future__ import annotations

import functools
import gc
import hashlib
import json
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import CodeType
from typing import Any, NamedTuple
from unittest import mock

import pytest

LEFT_OUT = (
    "tests/examples/",  # saved output holds freshness, not truth
    "tests/reports/pages/", "tests/reports/test_", "tests/benchmarks/", "tests/mutation/",
    "tests/bad_sites/", "tests/test_beside", "tests/test_library", "tests/test_no",
    "tests/test_rules", "tests/test_sources",
)  # fmt: skip
"""What is no test of a place: whole pages, speed, the order of the house."""

Codes = dict[int, CodeType]


class Called(NamedTuple):
    """A test that was seen.

    test: as pytest names it; seconds: of the processor; functions: `module.py:Class.method`
    """

    test: str
    seconds: float
    functions: frozenset[str]


def files_of(checkout: Path) -> list[str]:
    """Files of tests, from the checkout, and modules with doctests."""
    tests = [each.relative_to(checkout).as_posix() for each in checkout.glob("tests/**/test_*.py")]
    own = [each.relative_to(checkout).as_posix() for each in checkout.glob("wellsolar/**/*.py")
           if ">>> " in each.read_text("utf-8")]  # fmt: skip
    return sorted(each for each in [*tests, *own] if not each.startswith(LEFT_OUT))


class Map:
    """What was seen so far, kept in a file.

    Parameters:
        path: of the file
        checkout: where the project lies
    """

    def __init__(self, path: Path, checkout: Path) -> None:
        self.path, self.checkout = path, checkout
        kept = json.loads(path.read_text("utf-8")) if path.exists() else {"names": [], "files": {}}
        self.names: dict[str, int] = {name: place for place, name in enumerate(kept["names"])}
        self.files: dict[str, tuple[str, list[tuple[str, float, str]]]] = kept["files"]

    def digest(self, file: str) -> str:
        """Of a file's text."""
        return hashlib.sha256((self.checkout / file).read_bytes()).hexdigest()[:16]

    @functools.cached_property
    def unseen(self) -> list[str]:
        """Files that are new or changed."""
        return [file for file in files_of(self.checkout)
                if self.files.get(file, ("",))[0] != self.digest(file)]  # fmt: skip

    def keep(self, file: str, seen: list[Called]) -> None:
        """Keep what was seen of a file."""
        marks = []
        for test, seconds, functions in seen:
            bits = sum(1 << self.names.setdefault(each, len(self.names)) for each in functions)
            marks.append((test, round(seconds, 4), f"{bits:x}"))
        self.files[file] = self.digest(file), marks
        text = json.dumps({"names": [*self.names], "files": self.files})
        self.path.write_text(text, "utf-8")

    def calling(self, module: str, function: str) -> dict[str, list[str]]:
        """The tests that call a function, by their file: first those named like its module, then
        those that compose its numbers anew, those of its room, and those that answer soonest.

        Parameters:
            module: its path from the checkout
            function: its name in the file; empty for what stands at the top of a module
        """
        asked = sum(1 << place for name, place in self.names.items()
                    if name == f"{module}:{function}"
                    or (not function and name.startswith(f"{module}:")))  # fmt: skip
        found: dict[str, list[str]] = {}
        seconds = {}
        for file, (_, marks) in self.files.items():
            calling = [each for each in marks if int(each[2], 16) & asked]
            if calling and (self.checkout / file).exists():
                found[file] = [each[0] for each in calling]
                seconds[file] = sum(each[1] for each in calling)
        nearest = sorted(found, key=lambda file: (*nearness(file, module), seconds[file]))
        return {file: found[file] for file in nearest}


def nearness(file: str, module: str) -> tuple[bool, int]:
    """How near a file of tests is to a module by its name, the nearer the less."""
    path = Path(module)
    return path.stem not in file, -sum((f"/{path.parent.name}/" in file, "composed" in file))


class Watch:
    """A pytest plugin that runs tests and notes what each calls.

    Parameters:
        seen: where it is kept
        until: the time at which it ends [s of the clock]
    """

    def __init__(self, seen: Map, until: float) -> None:
        self.seen, self.until = seen, until
        self.codes: Codes = {}
        self.tables: list[Any] = []
        self.by_fixtures: Codes = {}
        self.by_answer: dict[int, tuple[Any, Codes]] = {}

    @contextmanager
    def apart(self) -> Iterator[Codes]:
        """Within it, what is called is noted apart too."""
        before, self.codes = self.codes, {}
        try:
            yield self.codes
        finally:
            before.update(self.codes)
            self.codes = before

    def trace(self, frame: Any, event: str, argument: Any) -> None:
        """Called by Python at each call of a function."""
        code = frame.f_code
        self.codes[id(code)] = code
        if code.co_name == "run" and "kernel" in frame.f_locals:  # what runs as machine code
            for each in _reached(frame.f_locals["kernel"]):
                self.codes[id(each)] = each

    @contextmanager
    def of_shared(self) -> Iterator[None]:
        """Within it, who is given an answer that was kept has called what made it."""
        import tests.sharing
        from wellsolar.studies.case import _Asked
        from wellsolar.studies.kept import Kept

        anew, of, keep, found = _Asked.anew, _Asked.of, Kept.keep, Kept.found

        def made_anew(study: Any, case: Any) -> Any:
            with self.apart() as codes:
                made = anew(study, case)
            self.by_answer[id(made)] = made, codes
            return made

        def asked(study: Any, case: Any) -> Any:
            answer = of(study, case)
            self.given(case.made[study.name])
            return answer

        def kept(answers: Any, study: str, site: Any, made: Any, *besides: Any) -> None:
            self.by_answer.setdefault(id(made), (made, dict(self.codes)))
            keep(answers, study, site, made, *besides)

        def looked_up(answers: Any, *asked: Any) -> Any:
            made = found(answers, *asked)
            self.given(made)
            return made

        with (
            mock.patch.multiple(_Asked, anew=made_anew, of=asked),
            mock.patch.multiple(Kept, keep=kept, found=looked_up),
            mock.patch.object(tests.sharing, "PURE", ()),
        ):
            yield

    def given(self, made: Any) -> None:
        """Who is given an answer has called what made it."""
        if id(made) in self.by_answer:
            self.codes.update(self.by_answer[id(made)][1])

    @pytest.hookimpl(hookwrapper=True)
    def pytest_fixture_setup(self, fixturedef: Any, request: Any) -> Any:
        """What a fixture of a file calls, every later test of it has called."""
        with self.apart() as codes:
            yield
        if fixturedef.scope != "function":
            self.by_fixtures |= codes

    def pytest_runtestloop(self, session: Any) -> bool:
        """Run file by file until the time is over."""
        by_file: dict[str, list[Any]] = {}
        for item in sorted(session.items, key=_last):
            by_file.setdefault(item.location[0], []).append(item)
        with self.of_shared():
            for file, items in by_file.items():
                if time.monotonic() > self.until:
                    break
                start = time.process_time()
                self.tables, self.by_fixtures = [*_tables()], {}
                after = [*items[1:], None]
                seen = [self.run(*pair) for pair in zip(items, after, strict=True)]
                self.seen.keep(file, seen)
                print(f"{time.process_time() - start:6.1f} s  {len(items):4}  {file}", flush=True)
        return True

    def run(self, item: Any, after: Any) -> Called:
        """Run one test, and tell what it calls."""
        start = time.process_time()
        for each in self.tables:
            each.cache_clear()
        with self.apart() as codes:
            sys.settrace(self.trace)
            try:
                item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
            finally:
                sys.settrace(None)
        seconds = time.process_time() - start
        functions = {
            named for each in {**codes, **self.by_fixtures}.values() if (named := _named(each))
        }
        return Called(item.nodeid, seconds, frozenset(functions))


def _last(item: Any) -> bool:
    """Whether a test is of whole commands and reports: the longest, and rarely first to notice."""
    return bool(item.location[0].startswith(("tests/commands/", "tests/reports/")))


def _reached(function: Any) -> Iterator[CodeType]:
    reached = [function]
    for each in reached:
        yield each.__code__
        for name in each.__code__.co_names:
            found = each.__globals__.get(name)
            if hasattr(found, "__code__") and found not in reached:
                reached.append(found)


@functools.cache
def _place(path: str) -> str:
    before, found, module = path.rpartition("/wellsolar/")
    return f"wellsolar/{module}" if found and "site-packages" not in before else ""


def _named(code: CodeType) -> str:
    place = _place(code.co_filename)
    if not place or code.co_name.startswith("<module"):
        return ""
    return f"{place}:{code.co_qualname.split('.<locals>')[0]}"


def _tables() -> Iterator[Any]:
    """What the package keeps of its own answers."""
    gc.unfreeze()  # what collecting has set aside is not among the objects
    for each in gc.get_objects():
        if isinstance(each, functools._lru_cache_wrapper):
            place = getattr(each, "__module__", None) or ""
            numbers = place.startswith(("wellsolar.physics", "wellsolar.studies"))
            if numbers and not place.endswith(".compiled"):
                yield each
