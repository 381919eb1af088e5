"""The owner's card as rows, so that its words and numbers stand in the JSON like all others."""

from __future__ import annotations

from collections.abc import Iterator

from wellsolar import kinds
from wellsolar.reports.rows import Cell, Column, Grid, Section
from wellsolar.results.card import CardBlock, CardResult
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence

HEADING = "Power out, or no water"
FAILED = "What has failed?"
HOW = "How it is done"
NEVER = "Never"
BLANKS = "Where it is (write it in)"
NO_CARD = "The file names nothing that brings water, so there is nothing to write on a card."

COLUMNS = (
    Column("box", "box"),
    Column("title", "title"),
    Column("what", "what"),
    Column("number", "number", kinds.COUNT),
    Column("text", "text"),
)


def card_section(card: CardResult) -> Section:
    """The card, a row a sentence: failures, boxes, what is never done, and what is filled in by
    hand."""
    return Section(
        "card",
        "Owner's card",
        "What does its owner do when the water stops?",
        (),
        (
            Grid("failures", FAILED, COLUMNS, tuple(_rows(card.failures))),
            Grid("boxes", HOW, COLUMNS, tuple(_rows(card.boxes))),
            _lines("never", NEVER, card.never),
            _lines("blanks", BLANKS, card.blanks),
            _lines("closing", "How far to trust it", card.closing),
        ),
    )


def _rows(blocks: tuple[CardBlock, ...]) -> Iterator[tuple[Cell, ...]]:
    for block in blocks:
        letter = block.letter or None
        for what, sentences in (
            ("sign", block.signs),
            ("step", block.steps),
            ("note", block.notes),
        ):
            for number, text in enumerate(sentences, 1):
                count = Quantity(float(number), kinds.COUNT)
                yield letter, block.title, what, count, text


def _lines(key: str, title: str, sentences: tuple[Sentence, ...]) -> Grid:
    return Grid(
        key, title, (Column("text", "text"),), tuple((sentence,) for sentence in sentences)
    )
