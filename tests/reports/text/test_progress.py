"""The line that moves while long work goes on."""

from __future__ import annotations

import os
import pty
import time
from select import select

import pytest

from wellsolar.reports.text import progress
from wellsolar.reports.text.progress import PATIENCE, Working, working


def shown(line: Working, reads: int) -> str:
    line.stop()
    os.set_blocking(reads, False)
    try:
        return os.read(reads, 10_000).decode("ascii")
    except BlockingIOError:
        return ""


@pytest.fixture
def terminal() -> tuple[int, int]:
    return pty.openpty()


@pytest.mark.parametrize(("waited", "seen"), [(0.0, False), (PATIENCE + 0.5, True)])
def test_it_shows_itself_late_and_how_much_is_done(
    terminal: tuple[int, int], waited: float, seen: bool
) -> None:
    reads, writes = terminal
    line = Working("ranking", writes)
    line.started -= waited
    line.drawn = 0.0
    line(1, 4)
    text = shown(line, reads)
    assert ("ranking [#####..............." in text) == ("25 %" in text) == seen


def test_it_moves_where_nobody_tells_how_much_is_done(terminal: tuple[int, int]) -> None:
    reads, writes = terminal
    line = Working("checking", writes)
    places = []
    for waited in (2.0, 3.0):
        line.started = time.monotonic() - waited
        line.draw()
        places.append(os.read(reads, 1000).decode("ascii").index("#"))
    assert places[0] != places[1]


def test_the_clock_draws_it_while_the_work_goes_on(
    terminal: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    reads, writes = terminal
    monkeypatch.setattr(progress, "PATIENCE", 0.02)
    monkeypatch.setattr(progress, "BEAT", 0.01)
    monkeypatch.setattr(progress, "_terminal", lambda: writes)
    with working("checking") as line:
        until, moves, drawn = time.monotonic() + 10.0, 0, line.drawn
        while moves < 4 and time.monotonic() < until:
            if line.drawn != drawn:
                moves, drawn = moves + 1, line.drawn
    text = ""
    # What goes through a terminal comes in pieces.
    while not text.endswith("s\033[K\r\033[K") and select([reads], [], [], 5.0)[0]:
        text += os.read(reads, 10_000).decode("ascii")
    assert text.count("checking [") >= 3
    assert text.endswith("s\033[K\r\033[K")


def test_it_says_nothing_where_there_is_no_terminal() -> None:
    with working("checking") as line:
        line.started -= 10.0
        line(1, 2)
    assert line.to is None


def test_the_second_of_silence_begins_with_the_program(
    terminal: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    reads, writes = terminal
    monkeypatch.setattr(progress, "_terminal", lambda: writes)
    monkeypatch.setattr(time, "process_time", lambda: 0.9)
    with working("checking"):
        assert select([reads], [], [], 0.8)[0]  # 0.1 s, and not a second from here
