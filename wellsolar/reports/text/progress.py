"""A line on standard error that moves while work takes over a second at a terminal.

The clock of the system asks for it, not a thread: a process that has one may not be forked.
"""

from __future__ import annotations

import os
import signal
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Any

PATIENCE, BEAT = 1.0, 0.25
"""Time after which the line appears, and between two of its moves [s]."""

BAR = 20
"""Columns of the bar."""


class Working:
    """Is told how much is done, where that is known, and shows it.

    what: the work, in a few words; to: the descriptor of a terminal, None where there is none
    """

    def __init__(self, what: str, to: int | None) -> None:
        self.what, self.to = what, to
        self.started = self.drawn = time.monotonic()
        self.done, self.of = 0, 0

    def __call__(self, done: int, of: int) -> None:
        self.done, self.of = done, of
        if time.monotonic() - self.drawn >= BEAT:
            self.draw()

    def draw(self, *_signal: Any) -> None:
        """The line anew, once the work has taken longer than `PATIENCE`."""
        self.drawn = time.monotonic()
        passed = self.drawn - self.started
        if self.to is None or passed < PATIENCE:
            return
        if self.of > 0:
            full = min(BAR, BAR * self.done // self.of)
            how = f"[{'#' * full}{'.' * (BAR - full)}] {100 * self.done // self.of} %"
        else:
            place = int(passed / BEAT) % BAR
            how = f"[{'.' * place}#{'.' * (BAR - 1 - place)}]"
        self._write(f"\r{self.what} {how} {passed:.0f} s\033[K")

    def stop(self) -> None:
        """Take the line away."""
        if self.drawn - self.started >= PATIENCE:
            self._write("\r\033[K")

    def _write(self, text: str) -> None:
        if self.to is not None:
            with suppress(OSError):
                os.write(self.to, text.encode("ascii", "replace"))


@contextmanager
def working(what: str) -> Iterator[Working]:
    """A line that moves for the length of a block; none where standard error is no terminal.

    Parameters:
        what: the work, in a few words
    """
    line = Working(what, _terminal())
    # What the program did before, to load itself and to read the file, was silent too.
    line.started -= time.process_time()
    before = None
    if line.to is not None and hasattr(signal, "setitimer"):
        with suppress(ValueError):  # signals are for the first thread alone
            before = signal.signal(signal.SIGALRM, line.draw)
            silent = time.monotonic() - line.started
            signal.setitimer(signal.ITIMER_REAL, max(BEAT / 10, PATIENCE - silent), BEAT)
    try:
        yield line
    finally:
        if before is not None:
            signal.setitimer(signal.ITIMER_REAL, 0.0)
            signal.signal(signal.SIGALRM, before)
        line.stop()


def _terminal() -> int | None:
    """The descriptor of standard error where it is a terminal."""
    try:
        return sys.stderr.fileno() if sys.stderr.isatty() else None
    except (AttributeError, OSError, ValueError):
        return None
