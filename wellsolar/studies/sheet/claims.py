"""What verdicts take on trust, joined with the lines of the sheet that prove it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from wellsolar.results import StudyPart
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.sheet.study import steps_in_order
from wellsolar.verdicts import Sentence, Verdict

TRUSTED = ("pass", "caution")
"""Verdicts that stand better for what they take on trust."""


def with_claims(case: Studied, parts: Sequence[StudyPart]) -> list[StudyPart]:
    """What the studies say, each verdict that takes a flag on trust naming the sheet's line.

    Parameters:
        parts: what they say of it
    Returns:
        the same, with the reasons of those verdicts ended
    """
    wanted = {path for part in parts for verdict in part.verdicts for path in verdict.claims}
    if not wanted:
        return list(parts)
    proven = _lines(case, wanted)
    return [
        replace(part, verdicts=tuple(_ended(verdict, proven) for verdict in part.verdicts))
        for part in parts
    ]


def _lines(case: Studied, wanted: set[str]) -> dict[str, int]:
    """The sheet's lines that prove some keys: no step is made behind the last of them."""
    found: dict[str, int] = {}
    for step in steps_in_order(case):
        for line in step.lines:
            if line.proves in wanted:
                found.setdefault(line.proves, line.number)
        if wanted <= set(found):
            break
    return found


def _ended(verdict: Verdict, proven: dict[str, int]) -> Verdict:
    """A verdict with the lines that prove what it takes on trust."""
    found = sorted(proven[path] for path in verdict.claims if path in proven)
    if not found or verdict.status not in TRUSTED:
        return verdict
    numbers = [f"{number}" for number in found]
    lines = f"line {numbers[0]} proves" if len(numbers) == 1 else (
        f"lines {' and '.join(numbers)} prove")  # fmt: skip
    told = verdict.reason
    ending = Sentence(f"{told.template}, claimed; the sheet's {lines} it", told.parts)
    return replace(verdict, reason=ending)
