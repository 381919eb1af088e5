"""What the person sees: paragraphs within the terminal's width, and a line to answer on."""

from __future__ import annotations

import os
import sys
import textwrap
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass

from wellsolar.reports.plain import encodable, plain
from wellsolar.units import System
from wellsolar.verdicts import Verdict

WIDEST, NARROWEST = 80, 40
PROMPT = "> "
_STATUS = 9
"""Columns of a verdict's status."""


@dataclass(frozen=True)
class Screen:
    """Where the talk is held.

    write: puts text out at once
    line: gives what is typed behind a prompt; None at the end of the input
    width: columns
    encoding: of the output
    """

    write: Callable[[str], None]
    line: Callable[[str], str | None]
    width: int = WIDEST
    encoding: str = "utf-8"

    def blank(self) -> None:
        """An empty line."""
        self.write("\n")

    def say(self, text: str, indent: int = 0, first: str = "") -> None:
        """A paragraph; `first` leads its first line, within the indent."""
        shown = encodable(plain(text), self.encoding)
        lines = textwrap.wrap(
            shown,
            width=self.width,
            initial_indent=first.ljust(indent) if indent else first,
            subsequent_indent=" " * indent,
            break_on_hyphens=False,
        )
        self.write("\n".join(lines or [""]) + "\n")

    def heading(self, text: str, aside: str = "") -> None:
        """A heading, underlined."""
        self.blank()
        self.say(f"{text}{aside}")
        self.write("-" * min(len(text), self.width) + "\n")

    def verdict(self, verdict: Verdict, system: System) -> None:
        """A verdict: of a pass what was asked, of others why, and what helps."""
        safety = " (safety)" if verdict.rule.safety else ""
        self.say(f"{verdict.subject}: {verdict.rule.asks}{safety}", _STATUS,
                 verdict.status.upper())  # fmt: skip
        if verdict.status == "pass":
            return
        if verdict.status == "unknown":
            self.say(f"Needs {' and '.join(verdict.needs)}.", _STATUS)
            return
        self.say(_sentence(verdict.reason.text(system)), _STATUS)
        if verdict.remedy is not None:
            self.say(_sentence(f"To pass: {verdict.remedy.text(system)}"), _STATUS)


def terminal(write: Callable[[str], None]) -> Screen:
    """Standard input and output, as wide as the terminal but 80 columns at most; `write` puts
    text out at once."""
    told = os.environ.get("COLUMNS", "")
    columns = int(told) if told.isdecimal() and len(told) < 6 else 0
    if columns <= 0:
        try:
            columns = os.get_terminal_size(sys.stdout.fileno()).columns
        except (OSError, ValueError, AttributeError):
            columns = WIDEST
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    width = max(NARROWEST, min(columns, WIDEST))
    return Screen(write, lambda prompt: _line(prompt, write), width, encoding)


def _line(prompt: str, write: Callable[[str], None]) -> str | None:
    """One line from a person at a terminal, or from whatever the input is."""
    if sys.stdin is None:
        return None
    try:
        if sys.stdin.isatty() and sys.stdout.isatty():
            return _typed(prompt)
        write(prompt)
        raw = sys.stdin.buffer.readline()
    except (EOFError, OSError):
        return None
    if not raw:
        return None
    text = raw.decode("utf-8", "replace").rstrip("\r\n")
    write(f"{plain(text)}\n")
    return text


def _typed(prompt: str) -> str:
    """A line with the editing keys of the terminal, where Python has them."""
    with suppress(ImportError):
        import readline  # noqa: F401 - `input` then edits by it
    try:
        return input(prompt)
    except UnicodeDecodeError:
        return "\ufffd"


def _sentence(text: str) -> str:
    first = text[:1].upper() + text[1:] if text.split(" ", 1)[0].isalpha() else text
    return first if first.endswith((".", "?", "!", ":")) else f"{first}."
