"""Every error that wellsolar raises on purpose.

WellsolarError            exit code 3: the program itself failed
|-- SiteFileError         exit code 2: the site file could not be used
|-- SiteFilesError        exit code 2: several of them could not be used
|-- OutputError           exit code 2: the place to write to could not be used
|-- UnknownName           exit code 3: a caller named a study, section or rule that there is not
`-- OutOfRange            exit code 3: a physics function was asked outside its stated range
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass


class WellsolarError(Exception):
    """Base of the hierarchy; `exit_code` is what the command ends with."""

    exit_code = 3


@dataclass(frozen=True)
class Problem:
    """One mistake in a site file.

    path: key path such as `well.static_level` or `pump[2].head`; empty for the whole file.
    line: line of the file, counted from 1; None where no line can be named.
    message: what is wrong and what was expected, in one or two sentences.
    """

    path: str
    line: int | None
    message: str

    def text(self, file: str) -> str:
        """The mistake as it is printed: file, line, key path, what is wrong. A name of a file or
        key may hold codes that a terminal obeys: nothing that isn't printable is printed."""
        place = file if self.line is None else f"{file}:{self.line}"
        said = f"{place}: {self.path}: {self.message}" if self.path else f"{place}: {self.message}"
        return "".join(letter if letter.isprintable() else " " for letter in said)


MOST_TOLD = 50
"""Mistakes of one file that are told; the rest are counted."""


class SiteFileError(WellsolarError):
    """The site file has mistakes: the first are listed as `problems`, all are counted."""

    exit_code = 2

    def __init__(self, file: str, problems: Sequence[Problem]) -> None:
        self.file = file
        self.problems = tuple(problems[:MOST_TOLD])
        self.count = len(problems)
        mistakes = [problem.text(file) for problem in self.problems]
        super().__init__(
            "\n".join(mistakes if self.count <= MOST_TOLD else [*mistakes, self.counted()])
        )

    def counted(self) -> str:
        """How many mistakes there are, and how many of them are told."""
        mistakes = "1 mistake" if self.count == 1 else f"{self.count} mistakes"
        more = f", the first {MOST_TOLD} of them above" if self.count > MOST_TOLD else ""
        return f"{mistakes} in {self.file}{more}"


class SiteFilesError(WellsolarError):
    """More than one site file has mistakes; `errors` holds those of each."""

    exit_code = 2

    def __init__(self, errors: Sequence[SiteFileError]) -> None:
        self.errors = tuple(errors)
        super().__init__("\n".join(map(str, errors)))


class OutputError(WellsolarError):
    """A result could not be written: the message names the path and the remedy."""

    exit_code = 2


class UnknownName(WellsolarError, LookupError):  # noqa: N818 - reads as what happened
    """A caller of the library named something that does not exist; the message says what does."""

    def __init__(self, what: str, name: str, known: Iterable[str]) -> None:
        names = list(known)
        near = difflib.get_close_matches(name, names, 1)
        meant = f"did you mean {near[0]!r}?" if near else f"there are {', '.join(names)}"
        super().__init__(f"no {what} is called {name!r}: {meant}")


class OutOfRange(WellsolarError, ValueError):  # noqa: N818 - reads as what happened
    """A physics function was asked outside the range its source states.

    found: quantity, value, least, greatest and unit, where one number lies outside its bounds
    """

    def __init__(
        self, message: str, outside: tuple[str, float, float, float, str] | None = None
    ) -> None:
        super().__init__(message)
        self.found = outside
