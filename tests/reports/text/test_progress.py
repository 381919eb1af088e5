"""The line that moves while long work goes on."""

from __future__ import annotations

import os
import pty
import signal
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


@pytest.mark.parametrize(
    ("passed", "done", "of", "how"),
    [
        (2.0, 1, 4, f"[{'#' * 5}{'.' * 15}] 25 % 2 s"),
        (2.0, 1, 3, f"[{'#' * 6}{'.' * 14}] 33 % 2 s"),
        (3.0, 7, 7, f"[{'#' * 20}] 100 % 3 s"), (2.0, 0, 1, f"[{'.' * 20}] 0 % 2 s"),
        (2.0, 9, 6, f"[{'#' * 20}] 150 % 2 s"), (1.0, 1, 1, f"[{'#' * 20}] 100 % 1 s"),
        # Four moves a second over 20 columns: 1 s is the fifth of them, 5 s the first again.
        (1.0, 0, 0, f"[{'.' * 4}#{'.' * 15}] 1 s"), (5.0, 0, 0, f"[#{'.' * 19}] 5 s"),
        (2.25, 0, 0, f"[{'.' * 9}#{'.' * 10}] 2 s"), (5.75, 0, 0, f"[{'.' * 3}#{'.' * 16}] 6 s"),
        (0.99, 1, 4, None),
    ],
)  # fmt: skip
def test_a_bar_of_20_columns_tells_the_share_or_moves(
    passed: float, done: int, of: int, how: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(time, "monotonic", lambda: 100.0)
    line, written = Working("work", 1), list[str]()
    monkeypatch.setattr(line, "_write", written.append)
    line.started = 100.0 - passed
    line.done, line.of = done, of
    line.draw()
    assert written == ([] if how is None else [f"\rwork {how}\033[K"])
    line.stop()
    assert written[1:] == ([] if how is None else ["\r\033[K"])


@pytest.mark.parametrize(("since", "drawn"), [(0.24, False), (0.25, True), (1.0, True)])
def test_it_is_drawn_four_times_a_second_at_most(
    since: float, drawn: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(time, "monotonic", lambda: 100.0)
    line = Working("work", None)
    line.drawn = 100.0 - since
    line(3, 8)
    assert (line.done, line.of) == (3, 8)
    assert (line.drawn == 100.0) == drawn


@pytest.mark.parametrize(
    ("spent", "first"), [(0.0, 1.0), (0.75, 0.25), (0.99, 0.025), (3.0, 0.025)]
)
def test_the_clock_first_rings_when_the_second_is_over_and_then_each_quarter(
    spent: float, first: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where it is over already, a tenth of a quarter from here."""
    rung: list[tuple[float, ...]] = []
    monkeypatch.setattr(progress, "_terminal", lambda: 1)
    monkeypatch.setattr(time, "monotonic", lambda: 100.0)
    monkeypatch.setattr(time, "process_time", lambda: spent)
    monkeypatch.setattr(signal, "signal", lambda *told: 1)
    monkeypatch.setattr(signal, "setitimer", lambda which, *told: rung.append(told))
    monkeypatch.setattr(Working, "_write", lambda line, text: None)
    with working("work"):
        pass
    assert rung == [(pytest.approx(first), 0.25), (0.0,)]
