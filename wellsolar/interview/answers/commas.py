"""Commas within a number: `61,5 m` is one number where decimals stand behind a comma, and `40,60
psi` are two pressures."""

from __future__ import annotations

import re

from wellsolar.interview.answers.question import Unclear
from wellsolar.units import System
from wellsolar.wording import quoted

_DECIMAL = re.compile(
    r"(?<![\d.,])(?:(?:\d{1,3}(?:\.\d{3})+|\d+),\d{1,2}|0,\d{3,4})(?!\d|[.,]\d)(?!/\d{1,2}\b(?!,))"
)
"""What may be a number with a decimal comma: three digits behind it are thousands, but behind a
nought."""

_INCH_POUND = re.compile(
    r"\s*(?:psi|lbs?\b|pounds?\b|#|gal|gp[mhd]\b|ft\b|feet|foot|'|\"|in\b|inch|yards?\b|°? ?f\b)",
    re.IGNORECASE,
)
"""Units of people who write a decimal point."""

_UNIT = re.compile(r"\s*[^\s\d,;/-]*\d?(?:/[^\s\d,;/-]+\d?)?")


def with_points(answer: str) -> str:
    """An answer with a decimal point for every comma that may be one."""
    return _DECIMAL.sub(lambda number: _pointed(number[0]), answer)


def doubtful(answer: str, system: System) -> list[tuple[str, str]]:
    """The numbers whose comma may be either, each as written and with a point and what stands
    behind it up to the next blank; none that people of inch and pound write."""
    doubts = []
    for number in _DECIMAL.finditer(answer):
        unit = _UNIT.match(answer, number.end())
        assert unit is not None
        behind = unit[0].rstrip()
        bare = not behind
        if not (_INCH_POUND.match(behind) or (bare and system == "US")):
            doubts.append((number[0], f"{_pointed(number[0])}{behind}"))
    return doubts


def either(number: str) -> Unclear:
    """What to say where a comma may be a decimal one or stand between two numbers."""
    return Unclear(
        f"{quoted(number)} may be one number or two: write {_pointed(number)} with a point, or "
        f"{number.replace(',', ', ')} with a blank"
    )


def _pointed(number: str) -> str:
    return number.replace(".", "").replace(",", ".")
