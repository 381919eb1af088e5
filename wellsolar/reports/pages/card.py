"""The owner's card as one page, for a telephone and for one sheet of paper."""

from __future__ import annotations

from typing import Any

from wellsolar.reports.pages.html import page_of
from wellsolar.reports.tables.card import BLANKS, FAILED, HEADING, HOW, NEVER, NO_CARD
from wellsolar.results import Results
from wellsolar.results.card import CardBlock, CardResult
from wellsolar.units import System

SIZES = ((1700, 18), (2400, 16), (3100, 14), (3700, 13), (4760, 12), (5500, 11))
"""So many letters at most on a card in each size of type [points]."""

LEAST = 10
"""Size of type beyond that [points]; a card may then need a second sheet."""

CLOSE = 0.94
"""Share of those letters beyond which there is little air between the blocks."""

HEAD = 60
"""Letters that a block's title and the room about it are worth."""


def card_page(results: Results) -> str:
    """The card as a page that needs nothing else.

    Parameters:
        results: of `study_site`, with the card
    """
    card, system = results.card, results.system
    found = card or CardResult((), (), (), (), ())
    size, close = _size(found, system)
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
            "close": close,
            **card_context(results),
            "blanks": [blank.text(system) for blank in found.blanks],
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


def _size(card: CardResult, system: System) -> tuple[int, bool]:
    """The size of type in which all of it fits on a sheet [points], and whether its blocks must
    stand close for it."""
    blocks = (*card.failures, *card.boxes)
    told = [
        sentence
        for block in blocks
        for sentence in (block.title, *block.signs, *block.steps, *block.notes)
    ]
    told += [*card.never, *card.blanks, *card.closing]
    letters = sum(len(sentence.text(system)) for sentence in told) + HEAD * len(blocks)
    most, size = next((size for size in SIZES if letters <= size[0]), (letters, LEAST))
    return size, letters > CLOSE * most
