"""Standard output and files: what a command writes, and what to say where it can't."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from wellsolar.errors import OutputError
    from wellsolar.results import Results

INTERRUPTED = 130
"""Exit code that a shell expects of a command stopped from the keyboard."""


def check_place(path: str, site: str, what: str) -> None:
    """Refuse a place that can't be written to, or that is the site file itself."""
    from wellsolar.reports import files

    files.check_place(path)
    if os.path.exists(path) and os.path.samefile(path, site):
        raise output_error(f"{path}: is the site file itself: name another for the {what}")


def check_places(site: str, **places: str | None) -> None:
    """Refuse places of which one can't be written to, or two that are the same.

    Parameters:
        site: path of the site file, which none may be
        places: what is to be written, and where; None for what isn't asked for, `-` for standard
            output
    """
    asked = {what: path for what, path in places.items() if path is not None}
    for what, path in asked.items():
        for other, same in asked.items():
            if other > what and path == same:
                raise output_error(f"{other} and {what} can't go to the same place: name two")
        if path != "-":
            check_place(path, site, what)


def print_report(sections: Any, results: Results) -> None:
    from wellsolar.reports.text import terminal

    to_stdout(lambda: terminal.write(sections, results, sys.stdout, results.system))


def print_text(text: str) -> None:
    to_stdout(lambda: sys.stdout.write(text))


def print_bytes(data: bytes) -> None:
    """JSON is UTF-8 whatever encoding the terminal has."""
    to_stdout(lambda: sys.stdout.buffer.write(data))


def write_each(made: list[tuple[str, str]]) -> None:
    """Write every text to its place, whole; `-` is standard output."""
    from wellsolar.reports import files

    for path, text in made:
        if path == "-":
            print_bytes(text.encode("utf-8"))
        else:
            files.write_whole(path, text)


def to_stdout(write: Callable[[], object]) -> None:
    """Write to standard output; a reader that has gone away is no failure, a full disk is."""
    if sys.stdout is None:  # as Python has it where the shell closed it
        raise output_error("standard output is closed: leave it open or use --json PATH")
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
