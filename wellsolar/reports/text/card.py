"""The owner's card as plain text, for a terminal or a printer that knows nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TextIO

from wellsolar.reports.plain import encodable
from wellsolar.reports.tables.card import BLANKS, FAILED, HEADING, HOW, NEVER, NO_CARD
from wellsolar.reports.tables.todo import todo_lines
from wellsolar.reports.text.layout import width_of, wrapped
from wellsolar.results import Results
from wellsolar.results.card import BLANK, CardBlock, CardResult
from wellsolar.units import System

WIDEST = 80
INDENT = 4

DO_FIRST = "Before it fails"


def write_card(results: Results, stream: TextIO) -> None:
    """Print the card.

    Parameters:
        results: of `study_site`, with the card
    """
    encoding = getattr(stream, "encoding", None) or "utf-8"
    width = min(WIDEST, width_of(stream))
    stream.write(encodable(card_text(results, width), encoding))


def card_text(results: Results, width: int = WIDEST) -> str:
    """The card as lines of text.

    Parameters:
        results: of `study_site`, with the card
    Returns:
        the text, with a line break at its end
    """
    lines = [*wrapped(results.site_name, width), HEADING, "=" * len(HEADING)]
    if results.card is None:
        lines += ["", *wrapped(NO_CARD, width)]
    else:
        lines += _card(results.card, width, results.system)
    # Who reads the card without water wants what helps now before what would have.
    first = [line for line in todo_lines(results) if line.mark == "fail"]
    if first:
        lines += _title(DO_FIRST)
    for line in first:
        lines += wrapped(f"{line.what} ({line.by})", width, "  - ", "    ")
    return "\n".join(lines) + "\n"


def _card(card: CardResult, width: int, system: System) -> Iterator[str]:
    yield from _title(FAILED)
    for block in card.failures:
        yield from _block(block, width, system)
    if card.boxes:
        yield from _title(HOW)
        for block in card.boxes:
            yield from _block(block, width, system)
    if card.never:
        yield from _title(NEVER)
        for sentence in card.never:
            yield from wrapped(sentence.text(system), width, "  - ", "    ")
    yield from _title(BLANKS)
    for blank in card.blanks:
        yield from wrapped(f"{blank.text(system)}: {BLANK * 4}", width, "  ", "    ")
    yield ""
    for sentence in card.closing:
        yield from wrapped(sentence.text(system), width)


def _title(text: str) -> tuple[str, str, str]:
    return "", text.upper(), "-" * len(text)


def _block(block: CardBlock, width: int, system: System) -> Iterator[str]:
    yield ""
    letter = f"[{block.letter}] " if block.letter else ""
    yield from wrapped(letter + block.title.text(system), width, "", " " * len(letter))
    if block.signs:
        signs = " ".join(sign.text(system) for sign in block.signs)
        yield from wrapped(f"({signs})", width, "  ", "  ")
    for number, step in enumerate(block.steps, 1):
        begin = f"  {number}. "
        yield from wrapped(step.text(system), width, begin, " " * len(begin))
    for note in block.notes:
        yield from wrapped(note.text(system), width, "  > ", " " * INDENT)
