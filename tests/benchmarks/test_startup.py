"""The start of the program, against that of the interpreter alone."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from tests.benchmarks.marks import Read, told

CHECKOUT = Path(__file__).parents[2]
FIVE_TIMES_BARE_PYTHON = 5.0
"""A help text that takes longer is felt; a ratio, so that a slow machine does not fail it."""

# Bytecode is kept, as an installation does.
ENVIRONMENT = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}


def seconds(*arguments: str) -> float:
    begin = time.perf_counter()
    subprocess.run(
        [sys.executable, *arguments], cwd=CHECKOUT, env=ENVIRONMENT, capture_output=True,
        check=True, timeout=60,
    )  # fmt: skip
    return time.perf_counter() - begin


def test_help_starts_within_five_times_bare_python(
    record_property: Callable[[str, object], None],
) -> None:
    # As the installed command starts; `-m` would add the cost of finding the package to run.
    ours = ("-c", "import sys; from wellsolar.__main__ import main; sys.exit(main(['--help']))")
    seconds(*ours)  # so that bytecode is there
    # Taken in turns, so that a busy moment of the machine falls on both.
    pairs = [(seconds("-c", "pass"), seconds(*ours)) for _ in range(25)]
    ratio = statistics.median(taken / bare for bare, taken in pairs)
    told(record_property, Read("--help", "bare Python", ratio, FIVE_TIMES_BARE_PYTHON, 5.0, True))
