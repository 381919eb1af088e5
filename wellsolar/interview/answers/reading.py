"""Reads an answer: in one piece, or piece by piece where a question settles several keys."""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import Literal

from wellsolar.data.wiring import gauges
from wellsolar.interview.answers.commas import doubtful, either, with_points
from wellsolar.interview.answers.figures import in_figures
from wellsolar.interview.answers.question import OutOfBounds, Part, Question, Reading, Unclear
from wellsolar.interview.answers.shapes import IMPERIAL_GALLON, as_litres
from wellsolar.interview.answers.spellings import (
    NUMBER,
    clean,
    passed_over,
    spelled,
    spelled_list,
    value_of,
)
from wellsolar.interview.answers.words import YES_NO, spellings
from wellsolar.site import shape
from wellsolar.site.edit import Value
from wellsolar.site.fields import BeyondBounds
from wellsolar.site.locate import Path
from wellsolar.units import System, UnreadableQuantity, read
from wellsolar.wording import quoted

Form = Literal["quantity", "count", "gauge", "size", "word"]

_BREAK = re.compile(
    r"\s*(?:(?<!\d),|,(?!\d{3}(?!\d))|[;&@]|\bat\b|\bwith\b|\band\b(?! \d+/)|\bby\b"
    r"|(?<![a-z])x(?![a-z]))\s*"
    r"|(?<=[A-Za-z%'\"°])\s+(?=[+-]?[\d.])|(?<=[A-Za-z])/(?=\d)",
    re.IGNORECASE,
)
_JOINT = "\ue000"
"""Between a name and its value: a mark that nobody types."""

_FILLING = re.compile(
    r"^(?:(?:into|to|the|a|an|is|it|its|with|on|of|at|in|as|and|from|by|start|ground|dc"
    r"|sets?|disconnect|switch|isolator|breaker|both|edition|neutral|pipe"
    r"|about|around|roughly|maybe|only|just|say|there|are)\b[ ,]*)+$",
    re.IGNORECASE,
)
_TRAILING = re.compile(
    r"(?:\s+(?:and|with|or|on|by)\s+an?|\s+(?:into|to|the|with|on|of|and|from|by))+$",
    re.IGNORECASE,
)
_COMMA = re.compile(r"\s*,(?!\d{3}(?!\d))\s*")
_OUTSIDE = re.compile(r"^\d+\s*mm$", re.IGNORECASE)
_SIZE = re.compile(r"^(.*?)\s*(?:in\.?|inch|inches|\")?$", re.IGNORECASE)
_GAUGE = re.compile(
    r"^(?:#|no\.?\s*)?(\d+(?:/0)?)\s*(?:[/-]\s*[23])?\s*(?:awg|ga\.?|gauge)?(?:\s*(?:wire|cable|copper|cu))*$",
    re.IGNORECASE,
)
_KEPT = "\ue001"
"""Within a name that is not to be broken in pieces: a mark that nobody types."""

_WALLED = re.compile(
    r"(?<![\w./])(?:(?P<mm>\d+)\s*mm\s*(?P<metric>SDR|PN)\s*(?P<class>\d+(?:\.\d+)?)"
    r"|(?P<inch>(?:\d+[ -])?\d+(?:/\d+)?)\s*(?:in\.?|inch|inches|\")?\s*(?P<wall>SIDR|DR)\s*"
    r"(?P<ratio>\d+(?:\.\d+)?)"
    r"|DN\s*(?P<dn>\d+)(?:\s*(?P<dnwall>SIDR|DR)\s*(?P<dnratio>\d+(?:\.\d+)?))?)(?![\w.])",
    re.IGNORECASE,
)
_SQUARE = re.compile(
    r"(?<![\w./])(?:\d+\s*[xG*]\s*)?(\d+(?:[.,]\d+)?)\s*"
    r"(?:mm2|mm\^2|mm\u00b2|sq\.?\s*mm\.?|mm\s*sq(?:uare)?d?|mm)(?!\w)",
    re.IGNORECASE,
)
SAYS = {word for words in YES_NO.values() for word in words.split(", ")}
_COUNTS = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8,
    "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "a": 1,
}  # fmt: skip
_COUNT = re.compile(
    r"^(?:about |some |us |we are |a? ?family of )?(\d{1,9})"
    r"(?:\s+(?:of (?:them|those|us)|people|persons?|adults?|users?|villagers|inhabitants|residents"
    r"|heads|souls|in all|in total|altogether|members|pupils|tanks?|cells?|modules?|panels?"
    r"|in (?:series|parallel|a row)|rows?|strings?|side by side|alike|or so))*$",
    re.IGNORECASE,
)
_CONDUCTORS = re.compile(
    r"(?<![\w./-])(?:#|no\.?\s*)?(\d{1,2}(?:/0)?)\s*[-/]\s*[234](?![\w/.-])"
    r"(?:\s*(?:\+\s*g\b|awg|ga\b|wg|w/ ?g|with (?:a )?ground|wire|cable))*"
    r"|(?<![\w./-])(?:#|no\.?\s*|number\s+)(\d{1,2}(?:/0)?)(?:\s*(?:awg|ga\b|gauge|wire))*(?![\w/.-])",
    re.IGNORECASE,
)
"""A gauge with the number of conductors behind it, or a sign before it."""

_WRONG_KIND = re.compile(r"(?<![\w/])(?:ac|alternating current)(?![\w/])", re.IGNORECASE)
"""Left of an answer where alternating current is no word of the question: what it rates is no
rating for direct current."""

_NOT_SO = re.compile(
    r"\b(?:no|not|never|without|isn't|aren't)\s+(?:(?:a|an|the|in|on|any|in the|in a)\s+)*$", re.I
)
"""Before a word, says that it does not hold."""

_JACKETS = re.compile(
    r"\b(?:submersible|flat|round|twisted|stranded|solid|direct burial|pump|cable|swa|armou?red"
    r"|xlpe|nm(?:-b)?|th[wh]n(?:-2)?|xhhw(?:-2)?|uf(?:-b)?|pv wire|twin (?:and|&) earth|t&e"
    r"|earth)\b",
    re.I,
)
_OTHER_METAL = re.compile(r"\balumini?um\b", re.IGNORECASE)
_WIRES = re.compile(r"\b(?:[234]|two|three|four)(?:[- ]?wires?|[- ]?cores?|c x)\b", re.IGNORECASE)
_YES = re.compile(r"^(?:yes|yep|yeah|y|sure)\b[\s,;:.!-]+(?=\S)", re.IGNORECASE)

_CHANGES_IT = re.compile(
    r"\b(?:natural gas|gas|propane|lpg?|oil|wood|coal|broken|defective|faulty|dead|leak\w*"
    r"|crack\w*|rust\w*|burnt(?: out)?|seized|fail(?:s|ed|ing)|out of order|not working|old|used"
    r"|second[- ]hand|borrowed|rented|shared|sharing|neighbou?r\w*(?:'s)?|lead[- ]acid|agm)\b",
    re.IGNORECASE,
)
"""Words that make another thing of what a number stands for."""

_US_GALLON = re.compile(r"(?<![a-z])(?:gal(?:lon)?s?|gp[mhd])(?![a-z])", re.IGNORECASE)
_AMERICAN = "gal is the US gallon, 3.785 L; of the imperial one, 4.546 L, say imperial gallons"
_IMPERIAL = f"an imperial gallon is {float(IMPERIAL_GALLON)} L"


def read_answer(text: str, question: Question, system: System) -> Reading:
    """What an answer, as typed, says of the keys of a question, with bare numbers in the units
    of a system; Unclear, with what was expected, where it can't be understood."""
    said = in_figures(clean(text))
    answer = as_litres(said)
    if question.declines:
        answer = _YES.sub("", answer)
    numbers = [part for part in question.parts if form_of(part.keys) != "word"]
    if not numbers:
        return _with_all_named(_read(answer, question, system), said)
    reading = _with_all_named(_by_its_commas(answer, question, numbers, system), said)
    notes = reading.notes if answer == said else (*reading.notes, _IMPERIAL)
    us = system == "SI" and _US_GALLON.search(answer)
    return replace(reading, notes=(*notes, _AMERICAN) if us else notes)


def _read(answer: str, question: Question, system: System) -> Reading:
    """An answer by the question's own way, or in pieces."""
    if question.reads is not None:
        return question.reads(answer, question, system)
    if question.before is not None:
        answer = question.before(answer)
    return in_pieces(answer, question.parts, system)


def _by_its_commas(
    answer: str, question: Question, numbers: list[Part], system: System
) -> Reading:
    """An answer whose commas may stand before decimals, read in the way that leaves least out;
    Unclear where both ways are possible."""
    pointed = with_points(answer)
    if pointed == answer:
        return _read(answer, question, system)
    listed, decimal = (_tried(text, question, system) for text in (answer, pointed))
    doubts = doubtful(answer, system)
    if isinstance(listed, Unclear):
        if isinstance(decimal, Unclear):
            raise decimal
        return decimal
    if isinstance(decimal, Reading):
        # Who sets things apart otherwise means decimals by a comma without a blank.
        apart = doubts and re.search(r", |[;/]", pointed)
        fuller = len(decimal.left_out) < len(listed.left_out)
        if apart or fuller or decimal.values == listed.values:
            return decimal
    for number, piece in doubts:
        if isinstance(decimal, Reading) or _is_one_number(piece, numbers, system):
            raise either(number)
    return listed


def _tried(answer: str, question: Question, system: System) -> Reading | Unclear:
    try:
        return _read(answer, question, system)
    except Unclear as error:
        return error


def _is_one_number(piece: str, numbers: list[Part], system: System) -> bool:
    """Whether a piece with a point could be told of a part, a bare one of the first."""
    bare = re.fullmatch(NUMBER, piece) is not None
    for part in numbers[:1] if bare else numbers:
        if form_of(part.keys) == "quantity":
            kind = part.reader.kind
            with suppress(UnreadableQuantity):
                read(spelled(piece, kind, part.usual_unit(system)), kind)
                return True
    return False


def _with_all_named(reading: Reading, said: str) -> Reading:
    """A reading that names every word of an answer which may change what it means and which
    neither a key holds nor another remark names."""
    named = " ".join([*map(str, reading.values.values()), *reading.left_out]).lower()
    words = dict.fromkeys(match[0].lower() for match in _CHANGES_IT.finditer(said))
    silent = [word for word in words if word not in named]
    return replace(reading, left_out=(*reading.left_out, *map(_not_asked, silent)))


def _not_asked(words: str) -> str:
    return f"{quoted(words)} is not asked here, so the file does not hold it"


def in_pieces(answer: str, parts: tuple[Part, ...], system: System) -> Reading:
    """An answer that settles several keys, each by one of its pieces; bare numbers come in the
    order of the parts. Part of an answer is kept, with what was left out of it; Unclear where
    nothing was understood, or where a bare number might be meant for what was not."""
    values: dict[Path, Value] = {}
    rest = _whole_names(answer, parts)
    numbers = [part for part in parts if form_of(part.keys) != "word"]
    for part in parts:
        if part not in numbers:
            rest = _take_word(rest, part, values)
    pieces = _pieces(rest, numbers) if len(numbers) > 1 else _COMMA.split(rest)
    if len(parts) == 1:
        pieces = [rest]
    refused: list[Unclear] = []
    counted: list[Unclear] = []
    silent: list[str] = []
    bare = False
    label = ""
    for piece in pieces:
        said = _TRAILING.sub("", piece.strip(" ,;"))
        if not said.strip(".") or _FILLING.match(said):
            continue
        if label and re.search(
            rf"{re.escape(label)}[\s:=]+(?:of |is |at )?{re.escape(said)}", rest
        ):
            said = f"{label} {said}"
            refused.pop()
        label = ""
        try:
            part = _place(said, numbers, values, system)
            if counted and _could_be_another(part, said, numbers):
                raise counted[0]
        except Unclear as error:
            if counted and error is counted[0]:
                raise
            refused.append(error)
            known = isinstance(error, OutOfBounds) or not re.search(r"\d", said)
            counted += [] if known else [error]
            # A name that nobody asked for takes its number with it.
            label = said if re.fullmatch(r"[A-Za-z][A-Za-z ]*", said) else ""
        else:
            bare = bare or re.fullmatch(NUMBER, said) is not None
            over = _passed_over(said, part, numbers)
            silent += [_not_asked(over)] if over else []
    if refused and (bare or not values or _WRONG_KIND.search(rest)):
        raise refused[0]
    if not values:
        listed = " and ".join(part.label for part in parts if not part.optional)
        raise Unclear(f"{quoted(answer)} does not say the {listed}")
    return Reading(_with_copies(values, parts), left_out=(*map(str, refused), *silent))


def _passed_over(said: str, part: Part, parts: list[Part]) -> str:
    """The words of a piece that were passed over behind the quantity of a part."""
    if form_of(part.keys) != "quantity" or part.reader.many:
        return ""
    return passed_over(_named(said.rpartition(_JOINT)[2], parts)[1], part.reader.kind)


def read_part(text: str, part: Part, system: System, *, strict: bool = False) -> Value:
    """One piece of an answer as the file holds it for one key; Unclear where it is none, and where
    it is `strict` where unknown words stand behind it."""
    form = form_of(part.keys)
    if form == "count":
        return _count(text, part)
    if form == "gauge":
        return _gauge(text)
    if form == "size":
        return _size(text, part)
    reader = part.reader
    unit = part.usual_unit(system)
    written = (
        spelled_list(text, reader.kind, unit)
        if reader.many
        else spelled(text, reader.kind, unit, strict=strict)
    )
    try:
        reader.read(written)
    except BeyondBounds as error:
        raise OutOfBounds(str(error)) from None
    except UnreadableQuantity as error:
        raise Unclear(str(error)) from None
    return written


@cache
def form_of(keys: tuple[str, ...]) -> Form:
    """How the answer for a key is written, by what its field holds."""
    field = shape.field_at(keys)
    assert field is not None, keys
    if shape.reader_of(field) is not None:
        return "quantity"
    if keys[-1] in ("gauge", "size"):
        return "gauge" if keys[-1] == "gauge" else "size"
    whole = shape.types_of(field) & {int, bool} == {int} and not shape.options_of(field)
    return "count" if whole else "word"


def _whole_names(text: str, parts: tuple[Part, ...]) -> str:
    """An answer whose sizes of pipe and wire by the metric or walled names stay in one piece."""
    forms = {form_of(part.keys) for part in parts}
    if "size" in forms:
        text = _WALLED.sub(lambda match: f"{_KEPT.join(_walled(match).split())}, ", text)
    if "gauge" in forms:
        if _OTHER_METAL.search(text):
            raise Unclear(f"{quoted(text)}: the sizes here are of copper: give the one beside it")
        text = _JACKETS.sub(" ", _WIRES.sub(" ", text))
        text = _CONDUCTORS.sub(lambda match: f", {match[1] or match[2]}{_KEPT}AWG, ", text)
        text = _SQUARE.sub(lambda match: f"{match[1].replace(',', '.')}{_KEPT}mm2, ", text)
        text = text.strip(" ,")
    return text


def _walled(match: re.Match[str]) -> str:
    """A size as the table of pipe names it."""
    if match["mm"]:
        return f"{match['mm']} mm {match['metric'].upper()} {match['class']}"
    if match["dn"]:
        wall = f" {match['dnwall'].upper()} {match['dnratio']}" if match["dnwall"] else ""
        return f"DN {match['dn']}{wall}"
    size = value_of(match["inch"].replace("-", " "))
    inches = match["inch"] if size is None else _mixed(size)
    return f"{inches} in {match['wall'].upper()} {match['ratio']}"


def _take_word(text: str, part: Part, values: dict[Path, Value]) -> str:
    """Find one of a part's words, note what it means, and give the text without it."""
    meant = spellings(part.keys)
    for word in sorted(meant, key=len, reverse=True):
        match = _alone(word).search(text)
        if match is not None:
            value, ahead = meant[word], text[: match.start()]
            denied = _NOT_SO.search(ahead)
            if denied is not None and isinstance(value, bool) and word not in SAYS:
                value, ahead = not value, ahead[: denied.start()]
            values[part.path] = value
            return f"{ahead}, {text[match.end() :]}".strip(" ,")
    return text


@cache
def _alone(word: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![\w/]){re.escape(word)}(?![\w/])", re.IGNORECASE)


def _pieces(text: str, parts: list[Part]) -> list[str]:
    """The pieces of an answer; one that is led by a name keeps it."""
    names = sorted((name for part in parts for name in part.said), key=len, reverse=True)
    if names and not _behind(text, names):
        listed = "|".join(re.escape(name) for name in names)
        led = rf"(?<!\w)({listed})(?!\w)\s*(?:is|of|at|=|:)?\s*(?=[+-]?[\d.])"
        text = re.sub(led, rf", \1{_JOINT}", text, flags=re.IGNORECASE)
    return [piece for piece in _BREAK.split(text) if piece and piece.strip()]


def _behind(text: str, names: list[str]) -> bool:
    """Whether names stand behind their numbers, as in `40 voc 9.7 isc`, by the ends of both."""
    listed = "|".join(re.escape(name) for name in names)
    return re.search(rf"^[\d.].*(?<!\w)(?:{listed})$", text, re.IGNORECASE) is not None


def _could_be_another(part: Part, said: str, parts: list[Part]) -> bool:
    """Whether a piece that no name leads might be meant for another part of its kind."""
    return not (_JOINT in said or _named(said, parts)[0]) and _is_one_of_several(part, parts)


def _is_one_of_several(part: Part, parts: list[Part]) -> bool:
    """Whether others of the parts are told in the same units."""
    if form_of(part.keys) != "quantity":
        return False
    units = [other.reader.kind.written for other in parts if form_of(other.keys) == "quantity"]
    return units.count(part.reader.kind.written) > 1


def _place(piece: str, parts: list[Part], values: dict[Path, Value], system: System) -> Part:
    """Read a piece as the first part that it fits, and give that."""
    name, joint, said = piece.partition(_JOINT)
    if not joint:
        name, said = _named(piece, parts)
    left = [part for part in parts if part.path not in values]
    meant = [part for part in left if name.lower() in part.said] if name else left
    if not meant:
        what = "more than was asked" if not left else "not what was asked"
        raise Unclear(f"{quoted(said)} is {what}")
    refused: list[Unclear] = []
    for part in meant:
        try:
            strict = _is_one_of_several(part, parts)
            values[part.path] = read_part(said.strip(), part, system, strict=strict)
        except OutOfBounds:
            raise
        except Unclear as error:
            refused.append(error)
            if re.fullmatch(NUMBER, said.strip()):
                break  # a bare number is meant for the first, even where it can't be that
        else:
            return part
    raise _best(said, meant, refused)


def _named(piece: str, parts: list[Part]) -> tuple[str, str]:
    """The name at an end of a piece, and the piece without it."""
    for part in parts:
        for name in sorted(part.said, key=len, reverse=True):
            behind, before = _at_its_ends(name)
            if behind.search(piece):
                return name, piece[: -len(name)].strip()
            ahead = before.match(piece)
            if ahead is not None:
                return name, piece[ahead.end() :]
    return "", piece


@cache
def _at_its_ends(name: str) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """A name behind its number and before it."""
    word = re.escape(name)
    return (
        re.compile(rf"(?<=[\w.'\" ]){word}$", re.IGNORECASE),
        re.compile(rf"{word}[\s:=]+(?:of |at |is )?(?=[+-]?[\d.])", re.IGNORECASE),
    )


def _best(said: str, meant: list[Part], refused: list[Unclear]) -> Unclear:
    """What to say where no part takes a piece: the reason, where only one was meant."""
    if len(meant) == 1 or re.fullmatch(NUMBER, said.strip()):
        return refused[0]
    return Unclear(
        f"cannot read {quoted(said)}: expected {', '.join(part.label for part in meant)}"
    )


def _with_copies(values: dict[Path, Value], parts: tuple[Part, ...]) -> dict[Path, Value | None]:
    copied: dict[Path, Value | None] = dict(values)
    for part in parts:
        if part.path in values:
            copied |= dict.fromkeys(part.also, values[part.path])
    return copied


def _count(text: str, part: Part) -> int:
    number = _COUNTS.get(text.lower())
    if number is not None:
        return number
    match = _COUNT.match(text)
    if match is None:
        raise Unclear(f"{quoted(text)}: expected a whole number of {part.label}")
    return int(match.group(1))


def _gauge(text: str) -> str:
    match = _GAUGE.match(text)
    if match is None and _KEPT not in text:
        raise Unclear(f"{quoted(text)}: expected a wire gauge, such as 12 AWG or 4 mm2")
    gauge = text.replace(_KEPT, " ") if match is None else f"{match.group(1)} AWG"
    if gauge not in gauges():
        known = ", ".join(gauges())
        raise OutOfBounds(f"{quoted(text)} is no wire of the table, such as there are: {known}")
    return gauge


def _size(text: str, part: Part) -> str:
    """A nominal size as the trade writes it; the site's checks know which there are."""
    if _KEPT in text:
        return text.replace(_KEPT, " ")
    if _OUTSIDE.match(text):
        raise OutOfBounds(
            f"{quoted(text)} does not say the wall of the pipe: give it as printed, such as "
            f"{text} SDR 11 or {text} PN 16"
        )
    match = _SIZE.match(text)
    value = value_of(match.group(1)) if match else None
    if value is None or match is None or not re.fullmatch(NUMBER, match.group(1).strip()):
        raise Unclear(
            f"{quoted(text)}: expected a {part.label} in inches, or such as DN 32 or 63 mm SDR 11"
        )
    return f"{_mixed(value)} in"


def _mixed(value: Fraction) -> str:
    whole, part = divmod(value, 1)
    if part == 0:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)
