"""What all tests share."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from hypothesis import settings

# The same examples on every run: a rare case is found at a desk, not on somebody else's change.
settings.register_profile("wellsolar", derandomize=True, deadline=None)
settings.load_profile("wellsolar")

# As a user's Python has it: compiling package and tests anew in every process takes longer than
# most commands. What is written lies in `__pycache__`, which git leaves out.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

# One test a core: the threads of a matrix library would take the other test's. And sums come out
# the same to the bit in every process.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

TOGETHER = ("tests/reports/", "tests/commands/", "tests/examples/")
"""Folders whose tests share the studies of the shipped sites, so that one process runs them."""

LONG = (*TOGETHER, "tests/published/", "tests/properties/whole/", "tests/studies/")
"""Folders that are begun first, those of the longest files before the others, so that the
processes end together."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Give each process whole files, or folders, and the long ones first."""
    root = items[0].config.rootpath if items else None

    @cache
    def placed(path: Path) -> str:
        return path.relative_to(root).as_posix()

    def place(item: pytest.Item) -> str:
        return placed(item.path)

    for item in items:
        where = place(item)
        group = "examples" if where.startswith(TOGETHER) else where
        item.add_marker(pytest.mark.xdist_group(group.replace("/", ".")))

    def rank(item: pytest.Item) -> int:
        begun = (n for n, folder in enumerate(LONG) if place(item).startswith(folder))
        return next(begun, len(LONG))

    items.sort(key=rank)


def pytest_collection() -> None:
    """Collecting makes much and drops little: looking for garbage meanwhile is time lost."""
    gc.disable()


def pytest_collection_finish() -> None:
    """What was collected stays, so that nobody need look through it for garbage again."""
    gc.freeze()
    gc.enable()
    gc.set_threshold(20_000, 20, 20)


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
