"""The walk of the README, typed as it stands there: every command works and prints the excerpt."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.examples.test_outputs import differs
from tests.running import CHECKOUT, here

SKIPPED = "..."
"""A line of an excerpt where some of the output is left out."""

LARGEST_PICTURE = 150_000
"""[bytes]"""
LONGEST = 260
"""Lines of the README: our own mark."""


@dataclass(frozen=True)
class Typed:
    """A command of the walk, and what the README shows of its output."""

    command: str
    excerpt: tuple[str, ...]

    @property
    def chunks(self) -> list[list[str]]:
        """Lines that follow each other in the output."""
        made: list[list[str]] = [[]]
        for line in self.excerpt:
            if line == SKIPPED:
                made.append([])
            else:
                made[-1].append(line)
        return [chunk for chunk in made if chunk]


def walk() -> list[Typed]:
    text = (CHECKOUT / "README.md").read_text("utf-8")
    found: list[tuple[str, list[str]]] = []
    for block in re.findall(r"^```console\n(.*?)^```$", text, re.M | re.S):
        for line in block.rstrip("\n").split("\n"):
            if line.startswith("$ "):
                found.append((line.removeprefix("$ "), []))
            else:
                found[-1][1].append(line)
    return [Typed(command, tuple(lines)) for command, lines in found]


def run(typed: Typed, folder: Path) -> subprocess.CompletedProcess[str]:
    """The interview at a keyboard of its own, whatever follows in this process."""
    program, *arguments = shlex.split(typed.command)
    assert program == "wellsolar"
    answers = [line.removeprefix("> ") for line in typed.excerpt if line.startswith("> ")]
    if not answers:
        done = here(*arguments, folder=folder, whole=False, COLUMNS="80")
        printed, told = done.stdout.decode(), done.stderr.decode()
        return subprocess.CompletedProcess(arguments, done.returncode, printed, told)
    return subprocess.run(
        [sys.executable, "-m", "wellsolar", *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(CHECKOUT), "COLUMNS": "80", "PYTHONUTF8": "1"},
        input="".join(f"{each}\n" for each in answers),
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


def stands_in(chunk: list[str], lines: list[str]) -> bool:
    """Whether the lines follow each other there, but for a number's last digit."""
    return any(
        all(not differs(shown, printed) for shown, printed in zip(chunk, lines[at:], strict=False))
        for at in range(len(lines) - len(chunk) + 1)
    )


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> dict[str, subprocess.CompletedProcess[str]]:
    folder = tmp_path_factory.mktemp("walk")
    return {typed.command: run(typed, folder) for typed in walk()}


@pytest.mark.parametrize("typed", walk(), ids=lambda typed: typed.command)
def test_it_works_and_prints_what_is_shown(
    ran: dict[str, subprocess.CompletedProcess[str]], typed: Typed
) -> None:
    done = ran[typed.command]
    assert done.returncode in (0, 1), done.stderr
    assert not done.stderr
    for chunk in typed.chunks:
        assert stands_in(chunk, done.stdout.split("\n")), "\n".join(chunk)


def test_the_walk_goes_from_the_napkin_to_the_handover() -> None:
    asked = {shlex.split(typed.command)[1] for typed in walk()}
    assert asked >= {"ask", "starter", "check", "pump", "heat", "parts", "sheet", "readings"}
    assert asked >= {"card", "report"}


def test_every_command_is_in_the_table() -> None:
    text = (CHECKOUT / "README.md").read_text("utf-8")
    table = set(re.findall(r"^\| `wellsolar (\w+) ", text, re.M))
    from wellsolar.cli import wellsolar

    assert table == set(wellsolar.commands)


def test_its_pictures_are_there_and_small() -> None:
    text = (CHECKOUT / "README.md").read_text("utf-8")
    shown = {CHECKOUT / path for path in re.findall(r"!\[[^\]]+\]\(([^)]+)\)", text)}
    assert shown == set((CHECKOUT / "examples" / "pictures").glob("*.png"))
    for path in shown:
        data = path.read_bytes()
        assert data.startswith(b"\x89PNG")
        assert len(data) < LARGEST_PICTURE, path.name


def test_it_is_short_enough_to_be_read() -> None:
    assert len((CHECKOUT / "README.md").read_text("utf-8").split("\n")) < LONGEST
