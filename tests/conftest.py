"""What all tests share."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import is_hypothesis_test, settings

# The same examples on every run: a rare case is found at a desk, not on somebody else's change.
settings.register_profile("wellsolar", derandomize=True, deadline=None, max_examples=50)
settings.register_profile("long", settings.get_profile("wellsolar"), max_examples=100)
settings.load_profile("wellsolar")


def pytest_configure(config: pytest.Config) -> None:
    """With `-m long`, twice as many examples where a test names no number."""
    if config.option.markexpr == "long":
        settings.load_profile("long")


# As a user's Python has it: compiling package and tests anew in every process takes longer than
# most commands. What is written lies in `__pycache__`, which git leaves out.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

# One test a core: the threads of a matrix library would take the other test's. And sums come out
# the same to the bit in every process.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

TOGETHER = ("tests/reports/", "tests/commands/", "tests/examples/", "tests/test_words.py")
"""Where tests share the studies of the shipped sites, so that one process runs them."""

LONG = (*TOGETHER, "tests/published/", "tests/properties/whole/", "tests/studies/")
"""Folders that are begun first, those of the longest files before the others, so that the
processes end together."""


FROM_OUTSIDE = {"browser", "ask"}
"""What those tests are given that look from outside: a browser, the program at a terminal."""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """The long ones first; with `-m long`, all that try examples. What looks from outside takes a
    quarter of all time and says nothing of a number: the test command has a sample of it."""
    for item in items:
        given = FROM_OUTSIDE.intersection(getattr(item, "fixturenames", ()))
        if given and item.get_closest_marker("sample") is None:
            item.add_marker("outside")
    if config.option.markexpr == "long":
        for item in items:
            if is_hypothesis_test(getattr(item, "obj", None)):
                item.add_marker("long")

    @cache
    def rank(path: Path) -> int:
        place = path.relative_to(config.rootpath).as_posix()
        return next((n for n, folder in enumerate(LONG) if place.startswith(folder)), len(LONG))

    items.sort(key=lambda item: rank(item.path))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Give each process whole files, or folders: tests handed out one by one have every process
    study every site."""
    from xdist.scheduler import LoadScopeScheduling

    class Together(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            file = nodeid.partition("::")[0]
            return TOGETHER[0] if file.startswith(TOGETHER) and not from_outside else file

    from_outside = config.option.markexpr.startswith("outside")

    return Together(config, log)


def pytest_collection() -> None:
    """Collecting makes much and drops little: looking for garbage meanwhile is time lost."""
    gc.disable()


def pytest_collection_finish() -> None:
    """What was collected stays, so that nobody need look through it for garbage again."""
    gc.freeze()
    gc.enable()
    gc.set_threshold(20_000, 20, 20)


def pytest_sessionfinish() -> None:
    """What waits for the end as garbage is looked at once, by all who look for it then."""
    if "tests.sharing" in sys.modules:
        sys.modules["tests.sharing"].SHARED.forget(lambda _: True)
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session", autouse=True)
def _alike_is_studied_once() -> Iterator[None]:
    from tests.sharing import SHARED

    with SHARED.sharing():
        yield


@pytest.fixture
def study_anew() -> Iterator[None]:
    """For tests that ask whether the same comes out twice, or what is studied at all."""
    from tests.sharing import SHARED

    with SHARED.anew():
        yield


@pytest.fixture
def monkeypatch(monkeypatch: pytest.MonkeyPatch) -> Iterator[pytest.MonkeyPatch]:
    """As pytest has it; a program that was changed by it studies anew from there on."""
    from tests.sharing import SHARED

    with SHARED.anew_where_changed(monkeypatch):
        yield monkeypatch
