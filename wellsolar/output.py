"""Standard output and files: what a command writes, and what to say where it can't."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from io import UnsupportedOperation
from typing import TYPE_CHECKING, Any, TextIO

if TYPE_CHECKING:
    from pathlib import Path

    from wellsolar.errors import OutputError
    from wellsolar.reports.files import Output
    from wellsolar.results import Results

INTERRUPTED = 130
"""Exit code that a shell expects of a command stopped from the keyboard."""

_CLOSED = "standard output is closed: leave it open, or send it to a file"


class Outputs:
    """What a run is to write, looked at before any work is done for it.

    command: name of the command; a file is known for an earlier output of it by a stamp
    places: what is to be written, such as JSON, and where; `-` for standard output
    inputs: what the run reads, such as "the site file", and its path: none may be written over
    force: True where any other file may be
    """

    def __init__(
        self,
        command: str,
        places: Mapping[str, str],
        inputs: Sequence[tuple[str, str | Path]],
        force: bool,
    ) -> None:
        """Refuse what can't be written, or over which something would be lost."""
        from wellsolar.reports import files

        # By hand: to load dataclasses takes every start of the program a millisecond.
        self.command, self.places, self.inputs, self.force = command, places, inputs, force

        need_stdout()
        printed = [self._kind(what) for what, path in self.places.items() if path == "-"]
        if len(printed) > 1:
            raise output_error(f"{' and '.join(printed)} can't go to the same place: name two")
        files.check_outputs(
            [self._output(what) for what, path in self.places.items() if path != "-"],
            self.inputs,
            self.force,
        )

    def write(self, texts: Mapping[str, str], tell: Callable[[], object] = lambda: None) -> None:
        """Write what was made, each with its stamp; a file is written whole or not at all, and
        none where what goes to standard output can't be told: by `tell`, unless one goes there."""
        from wellsolar.reports import files, stamps

        stamped = {what: stamps.stamped(text, self._kind(what)) for what, text in texts.items()}
        printed = [stamped[what] for what in stamped if self.places[what] == "-"]
        files.write_outputs(
            [(self._output(what), stamped[what]) for what in stamped if self.places[what] != "-"],
            self.force,
            (lambda: print_bytes(printed[0].encode("utf-8"))) if printed else tell,
        )

    def _kind(self, what: str) -> str:
        return what if what == self.command else f"{self.command} {what}"

    def _output(self, what: str) -> Output:
        from wellsolar.reports import files

        return files.Output(self.places[what], self._kind(what))


def need_stdout() -> None:
    """Refuse to begin where nothing could be told: standard output is closed, or only read."""
    if sys.stdout is None:  # as Python has it where the shell closed it
        raise output_error(_CLOSED)
    try:
        os.write(sys.stdout.fileno(), b"")
    except (UnsupportedOperation, ValueError):  # a stream of Python's own
        return
    except OSError as error:
        if error.errno == errno.EBADF:
            raise output_error(_CLOSED) from error


def print_report(sections: Any, results: Results) -> None:
    """Everything that was found, by pages at a terminal."""
    from wellsolar.reports.text import terminal

    print_by_pages(lambda stream: terminal.write(sections, results, stream, results.system))


def print_by_pages(write: Callable[[TextIO], None]) -> None:
    """A long text: through the reader's pager at a terminal, else as it is."""
    if not _at_terminal():
        to_stdout(lambda: write(sys.stdout))
        return
    import pydoc
    from io import StringIO

    text = StringIO()
    write(text)
    os.environ.setdefault("LESS", "FRX")  # what fits in one screen is left there
    to_stdout(lambda: pydoc.pager(text.getvalue()))


def print_screen(results: Results) -> None:
    """What was found on one screen, its marks in colour at a terminal."""
    from wellsolar.reports.plain import encodable, plain_lines
    from wellsolar.reports.text.layout import width_of
    from wellsolar.reports.text.screen import coloured, screen

    text = plain_lines(screen(results, width_of(sys.stdout)))
    text = encodable(text, getattr(sys.stdout, "encoding", None) or "utf-8")
    if _at_terminal() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb":
        text = coloured(text)
    to_stdout(lambda: sys.stdout.write(text))


def _at_terminal() -> bool:
    return sys.stdout is not None and sys.stdout.isatty()


def print_text(text: str) -> None:
    """A text whose lines hold nothing that could steer a terminal, whatever a path is called."""
    from wellsolar.reports.plain import plain_lines

    to_stdout(lambda: sys.stdout.write(plain_lines(text)))


def print_bytes(data: bytes) -> None:
    """JSON is UTF-8 whatever encoding the terminal has."""
    to_stdout(lambda: sys.stdout.buffer.write(data))


def to_stdout(write: Callable[[], object]) -> None:
    """Write to standard output; a reader that has gone away is no failure, a full disk is."""
    if sys.stdout is None:
        raise output_error(_CLOSED)
    try:
        write()
        sys.stdout.flush()
    except BrokenPipeError:
        leave_stdout()
    except OSError as error:
        leave_stdout()
        message = f"standard output could not be written ({error.strerror})"
        raise output_error(message) from error


def output_error(message: str) -> OutputError:
    from wellsolar.errors import OutputError

    return OutputError(message)


def leave_stdout() -> None:
    """Let what is still to be flushed at exit go nowhere."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
