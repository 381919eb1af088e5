"""Answers that name which of several things there are, all of them, or none."""

from __future__ import annotations

import re

from wellsolar.interview.answers.question import Question, Reading, Unclear
from wellsolar.interview.answers.words import YES_NO
from wellsolar.site.edit import Value
from wellsolar.site.locate import Path
from wellsolar.units import System
from wellsolar.wording import quoted

ALL = re.compile(r"^(?:all|all of them|both|all three|every one)$", re.IGNORECASE)
SAYS = {word: bool(value) for value, words in YES_NO.items() for word in words.split(", ")}


def read_named(answer: str, question: Question, system: System) -> Reading:
    """Which of several switches are named; those that are not are not there."""
    said = True if ALL.match(answer) else SAYS.get(answer.lower())
    values: dict[Path, Value | None] = {}
    for part in question.parts:
        named = any(re.search(rf"\b{name}", answer, re.IGNORECASE) for name in part.said)
        values |= dict.fromkeys((part.path, *part.also), named if said is None else said)
    if said is None and not any(values.values()):
        labels = ", ".join(part.label for part in question.parts)
        raise Unclear(f"{quoted(answer)}: expected all, none, or some of {labels}")
    return Reading(values)
