"""Numbers in words, as people say them, put into figures, such as `a hundred and eighty`."""

from __future__ import annotations

import re
from fractions import Fraction

_ONES = {
    word: number
    for number, word in enumerate(
        [
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
        ],
        1,
    )
}
_TENS = {
    word: 10 * number
    for number, word in enumerate(
        ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], 2
    )
}
_PARTS = {
    "half": 2,
    "third": 3,
    "thirds": 3,
    "quarter": 4,
    "quarters": 4,
    "eighth": 8,
    "eighths": 8,
}
_SCALES = {"hundred": 100, "thousand": 1000}

_WORD = "|".join(sorted({*_ONES, *_TENS, *_PARTS, *_SCALES}, key=len, reverse=True))
_LEADS = "|".join(sorted({*_SCALES, *_PARTS}, key=len, reverse=True))
_RUN = re.compile(
    rf"\b(?:{_WORD}|an?[ -](?={_LEADS})(?:{_LEADS})|\d{{1,3}}[ -](?:hundred|thousand))"
    rf"(?:(?:[ -]and)?(?:[ -]an?)?[ -](?:{_WORD})\b)*\b"
    # A word that counts something else than the quantity stays a word.
    r"(?![ -](?:conductors?|poles?|phase|ph\b|wires?|\d))"
    # As one does that stands alone: it may be a word of the answer, such as of contacts.
    r"(?!(?<=\bone)\s*(?:$|[,;]))(?!(?<=\btwo)\s*(?:$|[,;]))"
    r"(?:(?<=[fdrhs])[ -]of[ -]an?(?=\s)|(?<=half)[ -]an?(?=\s))?",
    re.IGNORECASE,
)
_MINUS = re.compile(r"\b(?:minus|negative)\s+(?=\d)", re.IGNORECASE)


def in_figures(text: str) -> str:
    """An answer with its number words as figures, such as `1/2 gallon a minute`; a text without
    any stays as it is."""
    return _MINUS.sub("-", _RUN.sub(lambda run: _figure(run.group()), text))


def _figure(run: str) -> str:
    """The figure of one run of number words."""
    total, part = Fraction(0), Fraction(0)
    current = 0
    last = 0
    apart = False
    for word in re.split(r"[ -]+", run.lower()):
        if word in _SCALES:
            current = (current or 1) * _SCALES[word]
            if word == "thousand":
                total, current = total + current, 0
            last = 0
        elif word in _PARTS:
            counted = last if last and not apart else 1
            current -= counted if last and not apart else 0
            part += Fraction(counted, _PARTS[word])
        elif word == "and":
            apart = True
            continue
        elif word in ("a", "an", "of"):
            continue
        else:
            last = int(word) if word.isdigit() else _ONES.get(word) or _TENS[word]
            current += last
        apart = False
    whole = int(total) + current
    if not part:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)
