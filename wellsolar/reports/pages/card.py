"""The owner's card as one page, for a telephone and for one sheet of paper."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from unicodedata import east_asian_width

from wellsolar.reports.pages.html import page_of
from wellsolar.reports.tables.card import BLANKS, FAILED, HEADING, HOW, NEVER, NO_CARD
from wellsolar.results import Results
from wellsolar.results.card import CardBlock, CardResult
from wellsolar.units import System

SIZES = (18.0, 17.0, 16.0, 15.0, 14.0, 13.0, 12.0, 11.0, 10.0)
"""Sizes of type, the largest that leaves air is taken [points]; a card that the least does not
hold may need a second sheet."""

AIRY, READABLE = 0.4, 12.0
"""Share of the air between blocks that a larger type may not take, and the size that is kept
before air [points]."""

PAPERS = ((97.0, 264.0), (94.0, 282.0))
"""Of letter paper and of A4: width of a column within its frames, and the height that it holds
[mm]."""

BETWEEN, POINT = 6.0, 0.3528
"""Frames and gap between two columns, and a point [mm]."""

WIDTHS = {
    mark: 0.82 * width
    for width, marks in {
        0.22: "ijl|'", 0.28: " .,:;!/Ift[]", 0.34: "r()-", 0.5: "ckvsxyzJ", 0.61: "FLTZ",
        0.67: "ABEKPSVXY&", 0.72: "CDHNRUw", 0.78: "GOQ", 0.83: "mM", 0.92: "W%@",
    }.items()
    for mark in marks
}  # fmt: skip
"""Of letters of a narrow type over its size: about those of Arial, 0.82 as wide."""

OTHER, EASTERN, BOLD = 0.82 * 0.556, 1.0, 1.07
"""Of other letters, of those of eastern scripts, and of bold letters over plain ones."""

INDENT, BLANK = 1.15, 5.7
"""Before a step, and of a place to write in with what parts it from the next [sizes of type]."""


def card_page(results: Results) -> str:
    """The card as a page that needs nothing else.

    Parameters:
        results: of `study_site`, with the card
    """
    card, system = results.card, results.system
    card_shown = card or CardResult((), (), (), (), ())
    size, air = _size(card_shown, system)
    return page_of(
        "card.html.j2",
        results,
        {
            "heading": HEADING,
            "failed": FAILED,
            "how": HOW,
            "never_heading": NEVER,
            "blanks_heading": BLANKS,
            "nothing": NO_CARD if card is None else "",
            "size": size,
            "air": air,
            **card_context(results),
            "blanks": [blank.text(system) for blank in card_shown.blanks],
        },
    )


def card_context(results: Results) -> dict[str, Any]:
    """What the card says, as templates print it; empty where there is none."""
    card, system = results.card or CardResult((), (), (), (), ()), results.system
    return {
        "failures": [_block(failure, system) for failure in card.failures],
        "boxes": [_block(box, system) for box in card.boxes],
        "never": [sentence.text(system) for sentence in card.never],
        "closing": [sentence.text(system) for sentence in card.closing],
    }


def _block(block: CardBlock, system: System) -> dict[str, Any]:
    return {
        "letter": block.letter,
        "title": block.title.text(system),
        "signs": [sign.text(system) for sign in block.signs],
        "steps": [step.text(system) for step in block.steps],
        "notes": [note.text(system) for note in block.notes],
    }


def _size(card: CardResult, system: System) -> tuple[float, float]:
    """The size of type in which all of it fits on a sheet [points], and how much of the air
    between lines and blocks finds room then, from 0 to 1."""
    size = air = 0.0
    for size in SIZES:
        air = 1.0
        for width, height in PAPERS:
            close, airy = (_height(card, system, size, share, width) for share in (0.0, 1.0))
            air = min(air, (height - close) / (airy - close))
        if air >= (AIRY if size > READABLE else 0.0):
            break
    return size, round(max(0.0, air), 2)


def _height(card: CardResult, system: System, size: float, air: float, width: float) -> float:
    """About the height of a card on paper, its two columns as even as its blocks let them be [mm];
    the lengths are those of the style sheet."""
    em, whole = size * POINT, 2.0 * width + BETWEEN
    line = em * (1.03 + 0.22 * air)
    head, frame = line + 0.9 + 1.5 * air, 0.9 + 1.6 * air + 0.5 + 2.5 * air

    def lines(texts: Sequence[str], room: float = width, heavy: float = BOLD) -> int:
        return sum(_lines(text, room / (em * heavy)) for text in texts)

    columns = []
    for each in (*card.failures, *card.boxes):
        told = _block(each, system)
        title = BOLD * _wide(told["title"])
        told_lines = _lines(" ".join(told["signs"]), width / em, title) + lines(told["notes"])
        told_lines += lines(told["steps"], width - INDENT * em, 1.0)
        first = each in (*card.failures[:1], *card.boxes[:1])
        columns.append(frame + (head if first else 0.0) + line * told_lines)
    never = [each.text(system) for each in card.never]
    columns.append(frame + head + line * lines(never, width - INDENT * em, 1.0))
    tallest = min(max(sum(columns[:at]), sum(columns[at:])) for at in range(len(columns) + 1))
    rows, left = 1, 0.0
    for blank in card.blanks:
        asked = (_wide(blank.text(system)) + BLANK) * em
        rows, left = (rows, left + asked) if left + asked <= whole else (rows + 1, asked)
    blanks = frame + head + rows * max(line, (1.3 + 0.5 * air) * em)
    footer = (
        1.5
        + 2.0 * air
        + line * lines([" ".join(each.text(system) for each in card.closing)], whole, 1.0)
    )
    return 1.35 * line + 2.0 + 2.0 * air + tallest + blanks + footer


def _lines(text: str, room: float, left: float = 0.0) -> int:
    """Lines that a text takes in so much room, of which some may be taken [sizes of type]; a word
    too long for a line is broken."""
    count, left = 1 + int(left / room), left % room
    for word in text.split():
        asked = _wide(word)
        if left and left + WIDTHS[" "] + asked > room:
            count, left = count + 1, 0.0
        left += asked + (WIDTHS[" "] if left else 0.0)
        count, left = count + int(left / room), left % room
    return count


def _wide(text: str) -> float:
    """About how wide a text is in narrow type [sizes of type]."""
    return sum(
        WIDTHS.get(mark) or (EASTERN if east_asian_width(mark) in "WF" else OTHER) for mark in text
    )
