"""Answers that name which of several things there are, all of them, or none."""

from __future__ import annotations

import re

from wellsolar.interview.answers.question import Part, Question, Reading, Unclear
from wellsolar.interview.answers.words import YES_NO
from wellsolar.site.edit import Value
from wellsolar.site.locate import Path
from wellsolar.units import System
from wellsolar.wording import quoted

ALL = re.compile(r"^(?:all|all of them|both|all three|every one|everything)$", re.IGNORECASE)
SAYS = {word: bool(value) for value, words in YES_NO.items() for word in words.split(", ")}


_ALL_BUT = re.compile(r"[\s,;]*\b(?:but|except(?: for)?)\b(.+)$", re.IGNORECASE)
_NOT_ONE = re.compile(r"[\s,;]*\b(?:no|not|without)\b([^,;]+)", re.IGNORECASE)


def read_named(answer: str, question: Question, system: System) -> Reading:
    """Which of several switches are named; those that are not are not there. Of `no arc fault`
    alone the others stay open."""
    lacking = _ALL_BUT.search(answer) or _NOT_ONE.search(answer)
    missing = "" if lacking is None else lacking[1]
    rest = answer if lacking is None else f"{answer[: lacking.start()]}{answer[lacking.end() :]}"
    rest = rest.strip(" ,;")
    said = True if ALL.match(rest) else SAYS.get(rest.lower())
    values: dict[Path, Value | None] = {}
    for part in question.parts:
        paths = (part.path, *part.also)
        if _is_named(part, missing):
            values |= dict.fromkeys(paths, False)
        elif rest:
            values |= dict.fromkeys(paths, _is_named(part, rest) if said is None else said)
    if not values or (said is None and not missing and not any(values.values())):
        labels = ", ".join(part.label for part in question.parts)
        raise Unclear(f"{quoted(answer)}: expected all, none, or some of {labels}")
    return Reading(values)


def _is_named(part: Part, text: str) -> bool:
    return any(re.search(rf"\b{name}", text, re.IGNORECASE) for name in part.said)
