"""Runs tests on a changed module, in a fork of a process that has collected all of them.

It works in a copy of the checkout, and writes no file of it.
"""

from __future__ import annotations

import contextlib
import functools
import gc
import importlib.abc
import importlib.machinery
import importlib.util
import math
import os
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any, NamedTuple

import pytest

from tests.mutation.belonging import FIRST, SAVED, Tests, names_of, studies_of
from tests.mutation.blocks import mark
from tests.mutation.called import Map, Watch, note_caches

CHECKOUT = Path(__file__).parents[2]

HEAVY = (
    "numpy", "scipy.optimize", "scipy.stats", "scipy.interpolate", "scipy.integrate",
    "scipy.special", "pandas", "pvlib", "pydantic", "pytest", "hypothesis",
    "fluids", "pint", "tomlkit", "jinja2", "rich.table", "rich.console", "click", "numba",
    "CoolProp.CoolProp", "matplotlib.figure", "matplotlib.backends.backend_svg",
)  # fmt: skip


def load_libraries() -> None:
    """Import what every fork needs."""
    for name in HEAVY:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)


@contextlib.contextmanager
def copied() -> Iterator[Path]:
    """A copy of the checkout's files with their caches of compiled code, gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="mutation_") as folder:
        copy = Path(folder) / "checkout"
        listed = subprocess.run(
            ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
            cwd=CHECKOUT, capture_output=True, check=True, text=True,
        ).stdout.split("\0")  # fmt: skip
        machine = [
            each.relative_to(CHECKOUT).as_posix()
            for each in (CHECKOUT / "wellsolar").rglob("*.nb[ic]")
        ]
        for name in filter(None, [*listed, *machine]):
            if (CHECKOUT / name).is_file():
                (copy / name).parent.mkdir(parents=True, exist_ok=True)
                shutil.copy2(CHECKOUT / name, copy / name)
        yield copy


class _Changed(importlib.abc.MetaPathFinder):
    """Finds one module with a source of its own."""

    def __init__(self, name: str, path: Path, source: bytes) -> None:
        self.name, self.path, self.source = name, path, source

    def find_spec(self, fullname: str, path: Any, target: Any = None) -> Any:
        if fullname != self.name:
            return None
        source, where = self.source, str(self.path)

        class Loader(importlib.machinery.SourceFileLoader):
            def get_code(self, fullname: str) -> Any:
                return compile(source, where, "exec", dont_inherit=True)

        return importlib.util.spec_from_file_location(
            fullname,
            where,
            loader=Loader(fullname, where),
            submodule_search_locations=[str(self.path.parent)]
            if self.path.name == "__init__.py"
            else None,
        )


def module_name(module: str) -> str:
    """`wellsolar/physics/solve.py` as Python imports it."""
    return module.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def _arguments(files: Sequence[str]) -> list[str]:
    early = ["-W", "ignore::pytest.PytestAssertRewriteWarning"]  # for libraries are loaded already
    quiet = ["-p", "no:cacheprovider", "-n", "0"]
    ini = ["-c", "pyproject.toml", "-o", "addopts=", "--strict-markers", "--strict-config"]
    usual = ["-q", "-x", "--doctest-modules", "--import-mode=importlib"]
    return [*ini, *usual, "--tb=line", *early, *quiet, "-m", "not long", *files]


LONGEST = 60.0
"""Processor time after which a test never ends by itself [s]; the longest takes a fifth of it."""

UNSOUND = 71
"""Exit code of a fork that fails by itself, and not by its change."""


class Noted:
    """A pytest plugin that runs what belongs to a change, and tells in the log of its fork which
    test fails, and which it did not come to.

    No test is begun once the processor has worked for so long, so that a survivor is one of tests
    that have ended; what is left is asked again.
    """

    log: int | None = None

    def __init__(self, tests: Tests | None = None, limit: float = math.inf) -> None:
        self.tests, self.limit = tests, limit

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[Any]) -> None:
        """Leave out what does not belong."""
        if self.tests is not None:
            items[:] = chosen(items, self.tests)

    def pytest_runtestloop(self, session: Any) -> bool:
        """Run until one fails, or the time is over."""
        run_until(session, self.limit)
        return True

    def pytest_runtest_logreport(self, report: Any) -> None:
        """After each phase of a test."""
        if report.failed:
            self.tell(f"noticed by {report.nodeid}")

    def tell(self, line: str) -> None:
        """Write a line past all that pytest captures."""
        if self.log is not None:
            os.write(self.log, f"\n{line}\n".encode())


def run_until(session: Any, limit: float) -> None:
    """Run the tests of a session until one fails; none is begun after a time of the processor."""
    begun = time.process_time()
    for place, item in enumerate(session.items):
        if time.process_time() - begun > limit:
            for each in session.items[place:]:
                Noted().tell(f"left {each.nodeid}")
            return
        after = session.items[place + 1] if place + 1 < len(session.items) else None
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
        if session.testsfailed:
            return


class Session(Noted):
    """A pytest plugin: with all tests collected, it forks for each change and runs its tests.

    A change inside a function is made by giving that function the changed code; one at the top of
    a module by loading the whole project anew. Either way no file is written.
    """

    def __init__(self, changes: Iterator[Try], of_studies: bool) -> None:
        super().__init__()
        self.changes, self.of_studies = changes, of_studies
        self.sound: set[str] = set()
        self.unsound: set[str] = set()
        self.resting: dict[str, frozenset[str]] = {}

    def pytest_runtestloop(self, session: Any) -> bool:
        """In place of running what was collected once."""
        for module in {item.module for item in session.items if hasattr(item, "module")}:
            for each in getattr(module, "BEFORE_CHANGES", ()):
                each()  # what no change can alter, and takes long
        if self.of_studies:
            _study_named_sites()
        self.resting = studies_of(Path.cwd())
        for change in self.changes:
            how, told = self.noticed(change, session)
            while how == "failed" and not self.passes_without(told, session):
                how, told = self.noticed(change, session)
            change.ended(how, told)
        return True

    def forget_what_changed(self, module: str) -> None:
        """Keep of the sites that were studied before what does not rest on a module."""
        gc.unfreeze()  # what collecting has set aside is not among the objects
        for cached in gc.get_objects():
            if isinstance(cached, functools._lru_cache_wrapper):
                place = getattr(cached, "__module__", None) or ""
                if place.startswith(("wellsolar", "tests.", "test_")):
                    cached.cache_clear()
        sharing = sys.modules.get("tests.sharing")  # no test of a text alone has any
        if sharing is not None:
            sharing.SHARED.forget(lambda study: module in self.resting.get(study, (module,)))

    def noticed(self, change: Try, session: Any) -> tuple[str, str]:
        """How a change ended, of tests that did not fail without any change."""
        items = [each for each in session.items if each.nodeid not in self.unsound]
        if self.unsound:
            sound = [item.nodeid for item in chosen(items, change.tests)]
            change = change._replace(tests=sound)
        return _forked(change, session, chosen(items, change.tests), self)

    def passes_without(self, told: str, session: Any) -> bool:
        """Whether the test which noticed a change passes without it; one that does not is left out
        from then on."""
        named = re.findall(r"^noticed by (.+)$", told, re.MULTILINE)
        for item in session.items:
            if item.nodeid in named and item.nodeid not in self.sound:
                nothing = Try("", "", b"", [], 0.0, lambda *_: None)
                how, _ = _forked(nothing, session, [item], self)
                if how != "passed":
                    print(f"{item.nodeid} fails without any change: left out", flush=True)
                    self.unsound.add(item.nodeid)
                    return False
                self.sound.add(item.nodeid)
        return True


def chosen(items: Sequence[Any], tests: Tests) -> list[Any]:
    """Those of collected tests that belong to a change, in the order in which they are run."""
    named: dict[str, list[Any]] = {}
    for item in items:
        for name in names_of(item.nodeid):
            named.setdefault(name, []).append(item)
    belong = {item.nodeid: item for test in tests for item in named.get(test, ())}
    return sorted(belong.values(), key=lambda item: item.nodeid.startswith(SAVED))


class Try(NamedTuple):
    """A change to be tried.

    module: from the checkout; function: empty at its top; source: the changed file
    tests: that belong to it; limit: processor time after which none is begun [s]
    ended: is told how it ended, and what was printed
    """

    module: str
    function: str
    source: bytes
    tests: Tests
    limit: float
    ended: Callable[[str, str], None]


def files_of(tests: Tests) -> list[str]:
    """The files in which tests stand."""
    return list(dict.fromkeys(each.partition("::")[0] for each in tests))


def run_changes(
    copy: Path, files: Sequence[str], changes: Iterator[Try], of_studies: bool
) -> None:
    """Collect files of tests once and try changes one after another.

    Parameters:
        copy: of the checkout; this process stays in it
        files: of tests, from the checkout
        changes: made as they are wanted
        of_studies: whether some are, so that it pays to study sites before them
    """
    _stay_in(copy)
    code = int(pytest.main(_arguments(files), plugins=[Session(changes, of_studies)]))
    if code not in (0, 5):
        raise SystemExit(f"the tests could not be collected: {code}")


def watch(copy: Path, path: Path, minutes: float) -> None:
    """Run the files of tests that nobody has watched, and keep which test calls what in a file;
    after some minutes no other one is begun."""
    _stay_in(copy)
    seen = Map(path, copy)
    if seen.unseen:
        mark(copy)
        note_caches()
        until = time.monotonic() + 60.0 * minutes
        pytest.main(_arguments(seen.unseen), plugins=[Watch(seen, until)])
    print(f"{len(Map(path, copy).unseen)} files are not seen yet")


def _stay_in(copy: Path) -> None:
    os.chdir(copy)
    os.environ |= {"PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"}
    sys.dont_write_bytecode = True
    sys.path[:] = [str(copy), *(each for each in sys.path if each not in ("", str(CHECKOUT)))]
    _forget("tests")


def _study_named_sites() -> None:
    """Study the sites that most tests ask about, of which a change takes away what rests on it."""
    composing = importlib.import_module("tests.studies.composing")
    sharing = importlib.import_module("tests.sharing")
    with sharing.SHARED.sharing():
        for name in composing.SUNNY[:4]:
            case = composing.case_of(name)
            for study in ("outages", "arrays"):
                getattr(case, study)


def _forget(*packages: str) -> None:
    """Let packages be imported anew."""
    for name in [each for each in sys.modules if each.split(".")[0] in packages]:
        del sys.modules[name]


def _forked(change: Try, session: Any, items: list[Any], ours: Session) -> tuple[str, str]:
    """How a change ended: "passed", "failed", "no tests", "never ends" or "broken"."""
    with tempfile.NamedTemporaryFile("w+", suffix=".txt") as log:
        pid = os.fork()
        if pid == 0:
            _in_fork(change, session, items, log.fileno(), ours)
        try:
            status = _waited(pid, 100.0 * (change.limit + LONGEST))  # on a machine that is busy
        except BaseException:  # this process is ended: so is the fork
            _killed(pid)
            raise
        log.seek(0)
        told = log.read()
    if os.WIFSIGNALED(status):
        return "never ends", told[-400:]
    if os.WEXITSTATUS(status) == UNSOUND:
        raise SystemExit(f"what was studied before could not be forgotten: {told}")
    words = {0: "passed", 1: "failed", 2: "failed", 5: "no tests"}
    how = words.get(os.WEXITSTATUS(status), "broken")
    return how, told if how in ("passed", "failed") else told[-1500:]


def _waited(pid: int, most: float) -> int:
    """The status of a process; it is ended after a time."""
    until = time.monotonic() + most
    while time.monotonic() < until:
        done, status = os.waitpid(pid, os.WNOHANG)
        if done:
            return status
        time.sleep(0.02)
    return _killed(pid)


def _killed(pid: int) -> int:
    """End a fork with all that it has started; its status."""
    with contextlib.suppress(ProcessLookupError):
        os.killpg(pid, signal.SIGKILL)
    return os.waitpid(pid, 0)[1]


def _in_fork(change: Try, session: Any, items: list[Any], log: int, ours: Session) -> None:
    code = 70
    try:
        signal.signal(signal.SIGTERM, signal.SIG_DFL)
        os.setpgid(0, 0)
        os.dup2(log, 1)
        os.dup2(log, 2)
        Noted.log = log
        if change.limit < math.inf:
            spent = int(time.process_time() + change.limit + LONGEST) + 1
            resource.setrlimit(resource.RLIMIT_CPU, (spent, spent + 5))
        if change.module:
            code = UNSOUND
            ours.forget_what_changed(module_name(change.module))
            code = 70
        code = _tested(change, session, items)
    except BaseException:  # a fork ends here, whatever happens in it
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def _tested(change: Try, session: Any, items: list[Any]) -> int:
    if not change.module or (change.function and _given_new_code(change)):
        if not items:
            return 5
        session.items[:] = items
        run_until(session, change.limit)
        return 1 if session.testsfailed else 0
    _forget("wellsolar", "tests")
    path = Path(change.module).absolute()
    sys.meta_path.insert(0, _Changed(module_name(change.module), path, change.source))
    first = [each for each in change.tests if each.startswith(FIRST)]
    code = int(pytest.main(_arguments([FIRST]), plugins=[Noted(first)])) if first else 0
    if code not in (0, 5):
        return code
    noted = Noted(change.tests, change.limit)
    return int(pytest.main(_arguments(files_of(change.tests)), plugins=[noted]))


def _given_new_code(change: Try) -> bool:
    """Give the live function the code that it has in the changed source; False where it can't be
    told which that is."""
    module = sys.modules.get(module_name(change.module))
    code: CodeType | None = compile(change.source, change.module, "exec", dont_inherit=True)
    live: Any = module
    for name in change.function.split("."):
        code = next(
            (
                each
                for each in (code.co_consts if code else ())
                if isinstance(each, CodeType) and each.co_name == name
            ),
            None,
        )
        live = vars(live).get(name) if live is not None else None
    for way in ("__wrapped__", "fget", "func", "__func__"):
        while hasattr(live, way) and not isinstance(live, FunctionType):
            live = getattr(live, way)
    if not isinstance(live, FunctionType) or code is None:
        return False
    if live.__code__.co_freevars != code.co_freevars:
        return False
    if code.replace(co_filename=live.__code__.co_filename) == live.__code__:
        return False  # what a function takes by default is no part of its code
    live.__code__ = code
    return True
