"""Numbers in words, as people say them, put into figures, such as `a hundred and eighty`."""

from __future__ import annotations

import re
from fractions import Fraction

_ONES = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8,
    "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14,
    "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19,
}  # fmt: skip
_TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
    "eighty": 80, "ninety": 90,
}  # fmt: skip
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
    r"(?:(?<=[fdrhs])[ -]of[ -]an?(?=\s)|(?<=half)[ -]an?(?=\s))?",
    re.IGNORECASE,
)
_ALONE = re.compile(r"\s*(?:$|[,;])")
_SO_MANY = re.compile(
    rf"\b({'|'.join(list(_ONES)[1:9])})[ -](?=\d|(?:{'|'.join([*list(_ONES)[9:], *_TENS])})\b"
    r"[^,;]*\b(?:tanks|batteries|modules|panels|elements)\b)",
    re.IGNORECASE,
)
"""A number of things before the size of each."""

_MINUS = re.compile(r"\b(?:minus|negative)\s+(?=\d)", re.IGNORECASE)


def in_figures(text: str) -> str:
    """An answer with its number words as figures, such as `1/2 gallon a minute`; a text without
    any stays as it is."""
    text = "0" if text.lower() == "zero" else text
    text = _SO_MANY.sub(lambda match: f"{_ONES[match[1].lower()]} x ", text)
    return _MINUS.sub("-", _RUN.sub(_unless_alone, text))


def _unless_alone(run: re.Match[str]) -> str:
    """The figure of number words; one or two that stand alone may be words of the answer, such as
    of contacts."""
    alone = run[0].lower() in ("one", "two") and _ALONE.match(run.string, run.end())
    return run[0] if alone else _figure(run[0])


def _figure(run: str) -> str:
    """The figure of one run of number words."""
    thousands, part = 0, Fraction(0)
    current = 0
    last = 0
    apart = False
    words = re.split(r"[ -]+", run.lower())
    for place, word in enumerate(words):
        if word in _SCALES:
            current = (current or 1) * _SCALES[word]
            if word == "thousand":
                thousands, current = current, 0
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
            said = int(word) if word.isdigit() else _ONES.get(word) or _TENS[word]
            if (last >= 10 and (said >= 10 or last < 20)) or 0 < last < 10 > said:
                # "Forty sixty" is no number but two.
                return f"{_figure(' '.join(words[:place]))}-{_figure(' '.join(words[place:]))}"
            # "One eighty" leaves out the hundred.
            current = 100 * current + said if said >= 10 > last == current > 0 else current + said
            last = said
        apart = False
    whole = thousands + current
    if not part:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)
