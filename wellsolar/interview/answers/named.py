"""Answers that name which of several things there are, all of them, or none."""

from __future__ import annotations

import re

from wellsolar.interview.answers.question import Part, Question, Reading, Unclear
from wellsolar.interview.answers.words import YES_NO
from wellsolar.site.edit import Value
from wellsolar.site.locate import Path
from wellsolar.units import System
from wellsolar.wording import quoted

ALL = re.compile(r"^(?:all(?: of them| three| \d)?|both|every one|everything)$", re.IGNORECASE)
_NONE = re.compile(r"^(?:none of (?:them|these)|neither|no none)$", re.IGNORECASE)
SAYS = {word: bool(value) for value, words in YES_NO.items() for word in words.split(", ")}


_ALL_BUT = re.compile(r"[\s,;]*\b(?:but|except(?: for)?)\b(.+)$", re.IGNORECASE)
_NO_BEHIND = re.compile(r"([^,;\s][^,;]*?)[ :=]+no(?=\s*(?:[,;]|$))", re.IGNORECASE)
_NOT_ONE = re.compile(r"[\s,;]*\b(?:no|not|without)\b([^,;]+)", re.IGNORECASE)


def read_named(answer: str, question: Question, system: System) -> Reading:
    """Which of several switches are named; those that are not are not there. Of `no arc fault`
    alone the others stay open."""
    rest, missing = without_lacking("none" if _NONE.match(answer) else answer)
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


def without_lacking(answer: str) -> tuple[str, str]:
    """An answer without what it says is not there, and what that is."""
    answer = _NO_BEHIND.sub(r"no \1", answer)
    looks = _ALL_BUT if _ALL_BUT.search(answer) else _NOT_ONE
    missing = "; ".join(match[1] for match in looks.finditer(answer))
    return looks.sub("", answer).strip(" ,;"), missing


def _is_named(part: Part, text: str) -> bool:
    return any(re.search(rf"\b{name}", text, re.IGNORECASE) for name in part.said)
