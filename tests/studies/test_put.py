"""How sheet and card put what they say: every line of the shipped sites without its numbers.

In the program's own words, so that they tell that a line moved, not that it is right; boxes, bands
and amounts are held to arithmetic beside their studies. Where a line is to say something else,
`python -m tests.studies.test_put` writes `put.txt` anew: read each line that has changed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from tests.site_texts import EXAMPLES
from wellsolar import Case
from wellsolar.results.card import CardBlock, CardResult
from wellsolar.results.moves import Step
from wellsolar.results.readings import SheetResult
from wellsolar.site.loading.read import load_site
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence

PUT = Path(__file__).with_name("put.txt")


def plain(text: str) -> str:
    """Words without numbers."""
    return re.sub(r"\d[\d.,]*", "#", text)


def said(sentence: Sentence) -> str:
    """A sentence, with what stands in it and what is moved by it."""
    parts = ", ".join(
        f"{name}: {part.kind.name if isinstance(part, Quantity) else plain(part)}"
        for name, part in sentence.parts.items()
    )
    moved = ""
    if isinstance(sentence, Step) and (sentence.moves or sentence.boxes):
        to = ", ".join(f"{move.thing} {move.to}" for move in sentence.moves)
        moved = f" > {to} > {' '.join(sentence.boxes)} {sentence.of}"
    return f"{sentence.template} [{parts}]{moved}"


def of_sheet(sheet: SheetResult) -> Iterator[str]:
    for step in sheet.steps:
        yield f"sheet {step.key} | {step.title} | {plain(step.before)}"
        for line in step.lines:
            told = line.words if line.expected is None else line.expected.kind.name
            yield f"sheet {step.key}: {plain(line.text)} | {plain(told)} | {line.proves}"


def of_block(block: CardBlock) -> Iterator[str]:
    yield f"card {block.key} | {said(block.title)}"
    for sort in ("signs", "steps", "notes"):
        for each in getattr(block, sort):
            yield f"card {block.key} {sort}: {said(each)}"


def of_card(card: CardResult) -> Iterator[str]:
    for block in (*card.failures, *card.boxes):
        yield from of_block(block)
    for sort in ("never", "blanks", "closing"):
        for each in getattr(card, sort):
            yield f"card {sort}: {said(each)}"


def put() -> list[str]:
    lines: set[str] = set()
    for path in EXAMPLES.glob("*.toml"):
        case = Case(load_site(path))
        lines.update(of_sheet(case.sheet))
        if case.card is not None:
            lines.update(of_card(case.card))
    return sorted(lines)


def test_sheet_and_card_are_put_in_these_words() -> None:
    assert put() == PUT.read_text("utf-8").splitlines()


if __name__ == "__main__":
    PUT.write_text("".join(f"{line}\n" for line in put()), "utf-8")
