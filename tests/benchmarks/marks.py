"""Marks of speed and their goals, in a table: `python -m tests.benchmarks.marks` writes it, on a
machine that has nothing else to do."""

from __future__ import annotations

import os
import platform
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

WRITTEN = Path(__file__).with_name("marks.md")


class Read(NamedTuple):
    """A ratio that was read, at least or at most its mark.

    what, against: what is timed, and beside what; goal: None where none is named
    """

    what: str
    against: str
    ratio: float
    mark: float
    goal: float | None
    at_most: bool


def told(record_property: Callable[[str, Any], None], read: Read) -> None:
    """Print a ratio beside its mark and its goal, note it, and hold it to its mark."""
    record_property("read", read)
    bound = "at most" if read.at_most else "at least"
    goal = "" if read.goal is None else f", goal {read.goal:g}"
    print(f"\n{read.what}: {read.ratio:.3g}x {read.against} ({bound} {read.mark:g}{goal})")
    assert (read.ratio <= read.mark) if read.at_most else (read.ratio >= read.mark), read


class Table:
    """A pytest plugin that gathers what is told."""

    def __init__(self) -> None:
        self.rows: list[Read] = []

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """After each phase of a test."""
        if report.when == "call":
            self.rows += [value for key, value in report.user_properties if key == "read"]

    def text(self) -> str:
        """The table."""
        lines = [
            "# Marks of speed",
            "",
            f"Written by `marks.py`, read on {os.cpu_count()} cores with Python "
            f"{platform.python_version()}. Ratios of times, taken in turns: a test fails beyond "
            "its mark; the goal is what a quiet machine should read.",
            "",
            "| what | against | mark | goal | read |",
            "|---|---|---|---|---|",
        ]
        for row in self.rows:
            bound = "at most" if row.at_most else "at least"
            goal = "" if row.goal is None else f"{row.goal:g}"
            lines.append(f"| {row.what} | {row.against} | {bound} {row.mark:g} | {goal} | "
                         f"{row.ratio:.3g} |")  # fmt: skip
        return "\n".join([*lines, ""])


if __name__ == "__main__":
    table = Table()
    if code := pytest.main(["-n", "0", str(Path(__file__).parent)], plugins=[table]):
        raise SystemExit(int(code))
    WRITTEN.write_text(table.text(), "utf-8")
