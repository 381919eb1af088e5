"""Which blocks of the package each test reaches, as it was seen to when it ran.

What a test is given by studies that tests share, and by fixtures of its file, counts as reached by
it too. It is measured once for each file of tests and kept until the file is another.
"""

from __future__ import annotations

import functools
import hashlib
import json
import multiprocessing
import os
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple
from unittest import mock

import numpy as np
import pytest

from tests.mutation import blocks

LEFT_OUT = ("tests/benchmarks/", "tests/mutation/", "tests/test_rules")
"""What is no test of a place: speed, and the order of the house."""

LATE = ("tests/interview/", "tests/commands/", "tests/reports/", "tests/examples/")
"""Whole commands and reports: the longest, and rarely first to notice."""


class Called(NamedTuple):
    """A test that was seen.

    test: as pytest names it; seconds: of the processor; reached: so many blocks
    """

    test: str
    seconds: float
    reached: int


def files_of(checkout: Path) -> list[str]:
    """Files of tests, from the checkout, and modules with doctests."""
    tests = [each.relative_to(checkout).as_posix() for each in checkout.glob("tests/**/test_*.py")]
    own = [each.relative_to(checkout).as_posix() for each in checkout.glob("wellsolar/**/*.py")
           if ">>> " in each.read_text("utf-8")]  # fmt: skip
    return sorted(each for each in [*tests, *own] if not each.startswith(LEFT_OUT))


class Map:
    """What was seen so far, kept in a folder: a file of JSON for each file of tests.

    Parameters:
        path: of the folder
        checkout: where the project lies
    """

    def __init__(self, path: Path, checkout: Path) -> None:
        self.path, self.checkout = path, checkout
        path.mkdir(exist_ok=True)

    def digest(self, file: str) -> str:
        """Of a file's text."""
        return hashlib.sha256((self.checkout / file).read_bytes()).hexdigest()[:16]

    def _kept(self, file: str) -> Path:
        return self.path / f"{file.replace('/', '.')}.json"

    @functools.cached_property
    def files(self) -> dict[str, dict[str, Any]]:
        """What is kept of each file, of another text of it too: most changes of a file move
        none of its tests."""
        return {
            file: json.loads(self._kept(file).read_text("utf-8"))
            for file in files_of(self.checkout)
            if self._kept(file).exists()
        }

    @functools.cached_property
    def unseen(self) -> list[str]:
        """Files that are new or changed."""
        return [
            file for file in files_of(self.checkout)
            if self.files.get(file, {}).get("digest") != self.digest(file)
        ]  # fmt: skip

    @functools.cached_property
    def names(self) -> dict[str, dict[str, list[str]]]:
        """The blocks of each function that tests of a file reach, by its name and that file."""
        found: dict[str, dict[str, list[str]]] = {}
        for file, kept in self.files.items():
            for name in kept["blocks"]:
                of = found.setdefault(name.partition("#")[0], {})
                of.setdefault(file, []).append(name)
        return found

    def keep(self, file: str, seen: list[tuple[Called, Marks]]) -> None:
        """Keep what was seen of a file: of each block the tests that reach it, as bits."""
        reached: dict[str, int] = {}
        for place, (_, marks) in enumerate(seen):
            for number in marks:
                name = blocks.NAMES[number]
                reached[name] = reached.get(name, 0) | 1 << place
        for name in [*reached]:
            for each in _kernels(self.checkout).get(name, ()):
                reached[each] = reached.get(each, 0) | reached[name]
        kept = {
            "digest": self.digest(file),
            "tests": [(each.test, round(each.seconds, 4), each.reached) for each, _ in seen],
            "blocks": {name: f"{tests:x}" for name, tests in reached.items()},
        }
        self._kept(file).write_text(json.dumps(kept), "utf-8")

    def calling(self, module: str, function: str, line: int) -> dict[str, list[Called]]:
        """The tests that reach a line, by their file: first those named like its module, then
        those that compose its numbers anew, those of its room, and those that answer soonest.

        Parameters:
            module: its path from the checkout
            function: its name in the file; empty for what stands at the top of a module
            line: from 1; where its function was another when it was watched, whoever called that
        """
        block = blocks.block_at(self.checkout, module, function, line) if function else ""
        reached: dict[str, set[str]] = {}
        for each in [block] if block else blocks.resting_on(self.checkout, module, function, line):
            asked, _, digest = each.rpartition(":")[0].partition("#")
            for file, names in self.names.get(asked, {}).items():
                same = all(f"#{digest}:" in name for name in names)
                near = [each] if same and each in names else [] if same else names
                reached.setdefault(file, set()).update(near)
        found: dict[str, list[Called]] = {}
        for file, names in reached.items():
            kept = self.files[file]
            bits = 0
            for name in names:
                bits |= int(kept["blocks"][name], 16)
            every = [Called(*each) for each in kept["tests"]]
            if bits:
                found[file] = [each for place, each in enumerate(every) if bits >> place & 1]
        seconds = {file: sum(each.seconds for each in tests) for file, tests in found.items()}
        nearest = sorted(found, key=lambda file: (*nearness(file, module), seconds[file]))
        return {file: found[file] for file in nearest}


def nearness(file: str, module: str) -> tuple[bool, bool, int]:
    """How near a file of tests is to a module by its name, the nearer the less: those of its room,
    of the physics what others published too, before those that compose its numbers anew."""
    path = Path(module)
    of_physics = module.startswith("wellsolar/physics/") and file.startswith("tests/published/")
    room = f"/{path.parent.name}/" in file or of_physics
    composed = "composed" in file or "against_libraries" in file
    judged = file.endswith("whole/test_limits.py") and module.startswith("wellsolar/studies/")
    near = 2 * (room + judged) + composed
    return file.startswith(LATE), path.stem not in file, -near


@functools.cache
def _kernels(checkout: Path) -> dict[str, list[str]]:
    """The blocks of machine code that a block reaches."""
    found = {}
    for path in sorted((checkout / "wellsolar").rglob("*.py")):
        for each in blocks.of_module(checkout, path.relative_to(checkout).as_posix()):
            if modules := blocks.reaches_kernel(each):
                found[each.name] = [
                    other.name for one in modules for other in blocks.of_module(checkout, one)
                ]
    return found


Marks = np.ndarray
"""Numbers of the blocks that were reached."""

SEEN = np.frombuffer(blocks.REACHED, np.uint8)
"""What is reached, as an array."""


@contextmanager
def apart() -> Iterator[list[Marks]]:
    """Within it, what is reached is noted apart too; it is told at the end."""
    before, told = np.flatnonzero(SEEN), []
    SEEN[:] = 0
    try:
        yield told
    finally:
        told.append(np.flatnonzero(SEEN))
        SEEN[before] = 1


def note_caches() -> None:
    """Let who is given an answer that a function kept have reached what made it; of functions that
    are loaded from here on."""
    lru_cache: Any = functools.lru_cache

    def noted(size: Any, typed: bool, function: Callable[..., Any]) -> Callable[..., Any]:
        def noting(*numbers: Any, **named: Any) -> tuple[Any, Marks]:
            with apart() as reached:
                answer = function(*numbers, **named)
            return answer, reached[0]

        kept = lru_cache(size, typed)(noting)

        @functools.wraps(function)
        def given(*numbers: Any, **named: Any) -> Any:
            answer, reached = kept(*numbers, **named)
            SEEN[reached] = 1
            return answer

        for name in ("cache_clear", "cache_info", "cache_parameters"):
            setattr(given, name, getattr(kept, name))
        return given

    def decorator(maxsize: Any = 128, typed: bool = False) -> Any:
        if callable(maxsize):
            return noted(128, typed, maxsize)
        return functools.partial(noted, maxsize, typed)

    functools.lru_cache = decorator
    functools.cache = functools.partial(noted, None, False)


class Watch:
    """A pytest plugin that runs tests and notes what each reaches.

    Parameters:
        seen: where it is kept
        until: the time at which it ends [s of the clock]
    """

    def __init__(self, seen: Map, until: float) -> None:
        self.seen, self.until = seen, until
        self.by_fixtures: set[int] = set()
        self.by_answer: dict[int, tuple[Any, Marks]] = {}

    @contextmanager
    def of_shared(self) -> Iterator[None]:
        """Within it, who is given an answer that was kept has reached what made it."""
        import tests.sharing
        from wellsolar.studies.case import _Asked
        from wellsolar.studies.kept import Kept

        anew, of, keep, found = _Asked.anew, _Asked.of, Kept.keep, Kept.found

        def made_anew(study: Any, case: Any) -> Any:
            with apart() as reached:
                made = anew(study, case)
            self.by_answer[id(made)] = made, reached[0]
            return made

        def asked(study: Any, case: Any) -> Any:
            answer = of(study, case)
            self.given(case.made[study.name])
            return answer

        def kept(answers: Any, study: str, site: Any, made: Any, *besides: Any) -> None:
            self.by_answer.setdefault(id(made), (made, np.flatnonzero(SEEN)))
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
        """Who is given an answer has reached what made it."""
        if id(made) in self.by_answer:
            SEEN[self.by_answer[id(made)][1]] = 1

    @pytest.hookimpl(hookwrapper=True)
    def pytest_fixture_setup(self, fixturedef: Any, request: Any) -> Any:
        """What a fixture of a file reaches, every later test of it has reached."""
        with apart() as reached:
            yield
        if fixturedef.scope != "function":
            self.by_fixtures |= {*reached[0].tolist()}

    def pytest_runtestloop(self, session: Any) -> bool:
        """Run file by file until the time is over, in as many processes as there are cores."""
        by_file: dict[str, list[Any]] = {}
        for item in sorted(session.items, key=_last):
            by_file.setdefault(item.location[0], []).append(item)
        begun = multiprocessing.get_context("fork").Value("i", 0)
        others = []
        for _ in range((os.cpu_count() or 1) - 1):
            other = os.fork()
            if other == 0:
                try:
                    self.watch([*by_file.items()], begun)
                finally:
                    os._exit(0)
            others.append(other)
        self.watch([*by_file.items()], begun)
        for other in others:
            os.waitpid(other, 0)
        return True

    def watch(self, files: list[tuple[str, list[Any]]], begun: Any) -> None:
        """Run file by file what no other process has begun."""
        with self.of_shared():
            while True:
                with begun.get_lock():
                    place, begun.value = begun.value, begun.value + 1
                if place >= len(files) or time.monotonic() > self.until:
                    break
                file, items = files[place]
                start = time.process_time()
                self.by_fixtures = set()
                after = [*items[1:], None]
                seen = [self.run(*pair) for pair in zip(items, after, strict=True)]
                self.seen.keep(file, seen)
                print(f"{time.process_time() - start:6.1f} s  {len(items):4}  {file}", flush=True)

    def run(self, item: Any, after: Any) -> tuple[Called, Marks]:
        """Run one test, and tell what it reaches."""
        start = time.process_time()
        with apart() as reached:
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
        seconds = time.process_time() - start
        marks = [*self.by_fixtures.union(reached[0].tolist())]
        return Called(item.nodeid, seconds, len(marks)), marks


def _last(item: Any) -> tuple[bool, bool, bool]:
    """Whether a test is of whole commands and reports, of those that draw figures, and of those
    that are no study's."""
    file = item.location[0]
    words = file.startswith(("tests/interview/", "tests/reports/text/"))
    return file.startswith(LATE), not words, not file.startswith("tests/studies/")
