"""Runs the commands; decides, in this one place, how an error is shown and what it returns."""

from __future__ import annotations

import atexit
import gc
import os
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import click

INPUT_UNUSABLE = 2
PROGRAM_FAILED = 3


def main(arguments: Sequence[str] | None = None) -> int:
    """Run `wellsolar` with arguments, by default those of the command line.

    Returns:
        the exit code: 0 evaluated and nothing fails, 1 something fails, 2 the input could not be
        used, 3 the program itself failed
    """
    # Threads of the linear algebra library double the start of a command and help none of ours.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Imports make much and drop little: looking for garbage meanwhile is time lost.
    collecting = gc.isenabled()
    gc.disable()
    # Nor is it looked for when the interpreter ends, whose memory goes back as a whole.
    atexit.register(gc.freeze)
    try:
        return _gate(list(sys.argv[1:] if arguments is None else arguments))
    finally:
        if collecting:
            gc.enable()


def _gate(arguments: list[str]) -> int:
    import click

    from wellsolar.cli import help_width, wellsolar
    from wellsolar.output import INTERRUPTED, leave_stdout

    try:
        code = wellsolar.main(
            arguments, "wellsolar", standalone_mode=False, terminal_width=help_width()
        )
        return code if isinstance(code, int) else 0
    except click.ClickException as error:
        _show(error)
        return INPUT_UNUSABLE
    except (click.Abort, KeyboardInterrupt):
        print("wellsolar: interrupted", file=sys.stderr)
        return INTERRUPTED
    except SystemExit as error:
        # click leaves by this road where help went into a pipe that nobody reads.
        leave_stdout()
        return error.code if isinstance(error.code, int) and error.code != 1 else 0
    except Exception as error:
        unusable = getattr(error, "exit_code", PROGRAM_FAILED) == INPUT_UNUSABLE
        return _unusable(error) if unusable else _failed(error)


def _show(error: click.ClickException) -> None:
    """A mistake in the command line, without marks in it that could steer a terminal."""
    from io import StringIO

    from wellsolar.reports.plain import plain_lines

    out = StringIO()
    error.show(out)
    sys.stderr.write(plain_lines(out.getvalue()))


def _unusable(error: Exception) -> int:
    from wellsolar.errors import SiteFileError, SiteFilesError
    from wellsolar.reports.plain import plain

    if isinstance(error, SiteFilesError):
        for mistake in error.errors:
            _unusable(mistake)
    elif isinstance(error, SiteFileError):
        for problem in error.problems:
            print(plain(problem.text(error.file)), file=sys.stderr)
        print(plain(f"{error.counted()}; nothing was written"), file=sys.stderr)
    else:
        print(plain(f"wellsolar: {error}"), file=sys.stderr)
    return INPUT_UNUSABLE


def _failed(error: Exception) -> int:
    from wellsolar.reports.plain import plain

    if os.environ.get("WELLSOLAR_DEBUG") == "1":
        import traceback

        traceback.print_exception(error)
    said = plain(str(error))
    what = f"{type(error).__name__}: {said}" if said else type(error).__name__
    print(f"wellsolar failed: {what}; this is a bug", file=sys.stderr)
    return PROGRAM_FAILED


if __name__ == "__main__":
    sys.exit(main())
