"""Runs tests on a changed module, in a fork of a process that has loaded the heavy libraries.

The changed source is handed to the import of its module; no file is written. The process that
forks never imports the project, and works in a copy of the checkout.
"""

from __future__ import annotations

import contextlib
import importlib.abc
import importlib.machinery
import importlib.util
import os
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

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
    usual = ["-q", "-x", "--doctest-modules", "--import-mode=importlib", "--benchmark-disable"]
    return [*ini, *usual, "--tb=line", *early, *quiet, "-m", "not long", *files]


def forked(
    copy: Path,
    files: Sequence[str],
    change: tuple[str, bytes] | None = None,
    limit: float = 60.0,
) -> tuple[str, str]:
    """Run files of tests in a fork.

    Parameters:
        copy: of the checkout
        files: of tests, from the checkout
        change: module and its changed source; None for none
        limit: processor time [s]
    Returns:
        "passed", "failed", "no tests", "out of time" or "broken", the last lines printed
    """
    with tempfile.NamedTemporaryFile("w+", suffix=".txt") as log:
        pid = os.fork()
        if pid == 0:
            _in_fork(copy, files, change, limit, log.fileno())
        status = _waited(pid, 10.0 * limit)
        log.seek(0)
        told = log.read()
    if os.WIFSIGNALED(status):
        return "out of time", told[-400:]
    code = os.WEXITSTATUS(status)
    words = {0: "passed", 1: "failed", 2: "failed", 5: "no tests"}
    return words.get(code, "broken"), told[-1500:]


def _waited(pid: int, most: float) -> int:
    """The status of a process; it is ended after a time."""
    until = time.monotonic() + most
    while time.monotonic() < until:
        done, status = os.waitpid(pid, os.WNOHANG)
        if done:
            return status
        time.sleep(0.02)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(pid, signal.SIGKILL)
    return os.waitpid(pid, 0)[1]


def _in_fork(
    copy: Path,
    files: Sequence[str],
    change: tuple[str, bytes] | None,
    limit: float,
    log: int,
) -> None:
    code = 70
    try:
        os.setpgid(0, 0)
        os.dup2(log, 1)
        os.dup2(log, 2)
        os.chdir(copy)
        spent = int(time.process_time() + limit) + 1
        resource.setrlimit(resource.RLIMIT_CPU, (spent, spent + 5))
        os.environ |= {"PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"}
        sys.dont_write_bytecode = True
        sys.path[:] = [str(copy), *(each for each in sys.path if each not in ("", str(CHECKOUT)))]
        sys.argv = ["pytest"]
        for name in [each for each in sys.modules if each.split(".")[0] == "tests"]:
            del sys.modules[name]
        if change is not None:
            module, source = change
            finder = _Changed(module_name(module), copy / module, source)
            sys.meta_path.insert(0, finder)
        import pytest

        code = int(pytest.main(_arguments(files)))
    except BaseException:  # a fork ends here, whatever happens in it
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)
