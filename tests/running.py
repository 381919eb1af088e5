"""Commands run as a user types them: in the process of the test, or in one of their own.

A process loads the package anew and studies a site that another test has studied already, which
takes longer than what most tests look at. So they run `here`; those that are about streams,
exit, signals and start run `apart`.
"""

from __future__ import annotations

import contextlib
import io
import os
import subprocess
import sys
from pathlib import Path
from unittest import mock

CHECKOUT = Path(__file__).parents[1]
STEERING = ("COLUMNS", "NO_COLOR", "FORCE_COLOR", "PYTHONIOENCODING", "WELLSOLAR_DEBUG")
"""Variables by which a tester's own surroundings could change what is printed."""

Done = subprocess.CompletedProcess[bytes]


def _surroundings(environment: dict[str, str]) -> dict[str, str]:
    kept = {key: value for key, value in os.environ.items() if key not in STEERING}
    return {**kept, "PYTHONPATH": str(CHECKOUT), **environment}


ANSWERING = {"check", "pump", "tank", "heat", "hand", "outage", "readings", "compare"}
"""Commands that print one screen unless they are asked for all."""


def _typed(arguments: tuple[str | Path, ...], whole: bool) -> list[str]:
    """What is typed; most tests look at all that an answer prints."""
    typed = [str(each) for each in arguments]
    asks = whole and typed[:1] and typed[0] in ANSWERING and not {"--full", "--about"} & set(typed)
    return [typed[0], "--full", *typed[1:]] if asks else typed


def apart(
    *arguments: str | Path, folder: Path = CHECKOUT, whole: bool = True, **environment: str
) -> Done:
    """Run `wellsolar` in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "wellsolar", *_typed(arguments, whole)],
        cwd=folder,
        env=_surroundings(environment),
        capture_output=True,
        check=False,
        timeout=120,
    )


def here(
    *arguments: str | Path, folder: Path = CHECKOUT, whole: bool = True, **environment: str
) -> Done:
    """Run `wellsolar` in this process, all of it, with nothing beside."""
    from wellsolar.__main__ import main

    encoding = environment.get("PYTHONIOENCODING", "utf-8")
    out, err = io.BytesIO(), io.BytesIO()
    with (
        contextlib.chdir(folder),
        mock.patch.dict(os.environ, _surroundings(environment), clear=True),
        mock.patch("wellsolar.reports.charts.beside._started", return_value=None),
        mock.patch("wellsolar.beside.may_fork", return_value=False),
        io.TextIOWrapper(out, encoding, newline="", write_through=True) as printed,
        io.TextIOWrapper(err, encoding, "backslashreplace", "", write_through=True) as told,
        contextlib.redirect_stdout(printed),
        contextlib.redirect_stderr(told),
    ):
        code = main(_typed(arguments, whole))
        printed.flush()
        return subprocess.CompletedProcess(arguments, code, out.getvalue(), err.getvalue())
