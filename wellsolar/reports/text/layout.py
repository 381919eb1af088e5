"""How wide a page and the columns of a table are, and texts in lines that fit."""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Callable, Sequence
from textwrap import wrap
from typing import TextIO

from wellsolar.reports.plain import plain

WIDEST, NARROWEST = 100, 40
"""Columns of a page."""

FIRST_COLUMN = 24
"""Width up to which the first column, which names the row, is served before the others."""

HEADER_LINES = 2
"""Lines that a label takes where there is room for it."""

LONGEST_WORD = 16
"""Letters of a word that may not be broken."""


def short_header(header: Sequence[str]) -> int:
    """The width at which a label takes no more than two lines."""
    label = header[0]
    width = 1
    while len(wrap(label, width)) > HEADER_LINES:
        width += 1
    return width


def least_width(
    size: Callable[[str], int], header: Sequence[str], texts: Sequence[str], numeric: bool
) -> int:
    """The narrowest a column can be without breaking a number or, up to 16, a word."""
    words = [size(word) for line in header for word in line.split()]
    if numeric:
        return max(words + [size(text) for text in texts])
    inside = [size(word) for text in texts for word in text.split()]
    return max(words + [min(LONGEST_WORD, width) for width in inside])


def blocks(least: Sequence[int], room: int, gap: int) -> list[list[int]]:
    """Columns sorted into blocks that fit; the first column leads each of them."""
    groups = [[0]]
    used = least[0]
    for position in range(1, len(least)):
        needed = gap + least[position]
        if used + needed > room and len(groups[-1]) > 1:
            groups.append([0])
            used = least[0]
        groups[-1].append(position)
        used += needed
    return groups


def widened(least: Sequence[int], wished: Sequence[int], room: int, gap: int) -> list[int]:
    """Widths of one block: what is left over goes to the first column, then where most lacks."""
    widths = list(least)
    spare = room - sum(widths) - gap * (len(widths) - 1)
    first = max(0, min(spare, min(wished[0], FIRST_COLUMN) - widths[0]))
    widths[0] += first
    spare -= first
    while spare > 0:
        lacking = [wish - width for wish, width in zip(wished, widths, strict=True)]
        most = max(lacking)
        if most <= 0:
            break
        widths[lacking.index(most)] += 1
        spare -= 1
    return widths


def width_of(stream: TextIO) -> int:
    """Columns to print in: of COLUMNS, else of the terminal, else 100; never more than 100."""
    told = os.environ.get("COLUMNS", "")
    columns = int(told) if told.isdecimal() else 0
    if columns <= 0:
        try:
            columns = os.get_terminal_size(stream.fileno()).columns
        except (OSError, ValueError, AttributeError):
            columns = 0
    return max(NARROWEST, min(columns or WIDEST, WIDEST))


def wrapped(text: str, width: int, begin: str = "", rest: str = "") -> list[str]:
    """A paragraph in lines that fit, by the columns that its characters take.

    Parameters:
        width: columns, more than those of `begin` and `rest`
        begin, rest: what stands before the first line and before the others
    """
    lines, line, used = [], begin, columns(begin)
    empty = True
    for word in plain(text).split(" "):
        pieces = _pieces(word, width - max(columns(begin), columns(rest)))
        for number, piece in enumerate(pieces):
            size = columns(piece)
            # No blank stands within a word that is broken.
            if not empty and (number or used + 1 + size > width):
                lines.append(line.rstrip())
                line, used, empty = rest, columns(rest), True
            line += piece if empty else f" {piece}"
            used += size if empty else size + 1
            empty = False
    return [*lines, line.rstrip()]


def _pieces(word: str, room: int) -> list[str]:
    """A word, broken where it is longer than a line."""
    if columns(word) <= room:
        return [word]
    pieces, piece = [], ""
    for mark in word:
        if columns(piece + mark) > room:
            pieces.append(piece)
            piece = ""
        piece += mark
    return [*pieces, piece]


def columns(text: str) -> int:
    """Columns that a text takes in a terminal."""
    if text.isascii():
        return len(text)
    wide = sum(unicodedata.east_asian_width(mark) in "WF" for mark in text)
    return len(text) + wide - sum(unicodedata.combining(mark) > 0 for mark in text)
