"""A progress bar on standard error, for work that takes over a second at a terminal."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, Progress, TaskID, TextColumn, TimeRemainingColumn

PATIENCE = 1.0
"""Time after which a bar appears [s]."""


class Bar:
    """Is told how much is done; shows itself once the work has taken longer than `PATIENCE`."""

    def __init__(self, what: str, console: Console) -> None:
        self.what = what
        self.console = console
        self.started = time.monotonic()
        self.progress: Progress | None = None
        self.task = TaskID(0)

    def __call__(self, done: int, of: int) -> None:
        if not self.console.is_terminal or of < 1:
            return
        if self.progress is None:
            if time.monotonic() - self.started < PATIENCE or done >= of:
                return
            self.progress = Progress(
                TextColumn(self.what),
                BarColumn(),
                TimeRemainingColumn(),
                console=self.console,
                transient=True,
            )
            self.task = self.progress.add_task(self.what, total=of)
            self.progress.start()
        self.progress.update(self.task, completed=done, total=of)

    def stop(self) -> None:
        """Take the bar away."""
        if self.progress is not None:
            self.progress.stop()


@contextmanager
def bar(what: str) -> Iterator[Bar]:
    """A bar for the length of a block; nothing where standard error is no terminal.

    Parameters:
        what: the work, in a word or two
    Returns:
        what to tell the progress to
    """
    shown = Bar(what, Console(file=sys.stderr))
    try:
        yield shown
    finally:
        shown.stop()
