"""Ratios of times want the machine to themselves: `pytest -n 0 tests/benchmarks`."""

from __future__ import annotations

from pathlib import Path

import pytest


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Leave the folder out where tests run side by side."""
    return True if hasattr(config, "workerinput") else None


@pytest.fixture(autouse=True)
def _timed_anew(study_anew: None) -> None:
    """A time is that of a study which is really made."""
