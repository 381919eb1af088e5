"""From an answer as people write it to the strict text of a site file.

`85'`, `1-1/4"`, `about 85 feet`, `85-110'`, `between 85 and 110 ft`, `110V`: what comes out is a
text for `units.read`, with the customary unit where none was written. Nothing is converted: the
file keeps the number and the unit that the person gave.
"""

from __future__ import annotations

import re
from fractions import Fraction

from wellsolar import kinds
from wellsolar.interview.answers.unit_words import unit_meant
from wellsolar.kinds import Kind
from wellsolar.units import UnreadableQuantity, read

_MARKS = str.maketrans(
    {
        "\u2018": "'", "\u2019": "'", "\u2032": "'", "\u00b4": "'", "`": "'",
        "\u201c": '"', "\u201d": '"', "\u2033": '"', "\u00ba": "°", "\xa0": " ", "\u202f": " ",
        "\u2212": "-", "\u2013": "-", "\u2014": "-", "\u2044": "/", "\u00d7": "x",
        "\t": " ",
    }
)  # fmt: skip
_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}

_PART = r"\d{1,2}/(?:2|3|4|5|8|10|16|32|64)(?!\d)"
_PLAIN = r"(?:\d+(?:\.\d*)?|\.\d+)"
_VALUE = (
    rf"(?:\d+(?:[ -]| and ){_PART}|{_PART}|[1-9]\d{{0,2}}(?:,\d{{3}})+(?:\.\d+)?(?!\d)|{_PLAIN})"
)
NUMBER = rf"[+-]?{_VALUE}"
"""A number as people write it: with a fraction of a tape measure, or commas between thousands."""

_ONE = re.compile(rf"^({NUMBER})\s*(.*)$")
_AHEAD = re.compile(
    r"^(?:(?:about|around|roughly|approximately|approx\.?|ca\.?|circa|some|maybe|only|just|say"
    r"|it'?s|its|is|the|at|to|water|level|table|static|swl|total|depth|td|somewhere|pump|hangs?"
    r"|hung|set|stands?|down|drilled|bored|dug|driven|trips|opens|rated|good|for|of|p2"
    r"|(?:mixing |tempering )?valve|breaker|isolator|disconnect|dc)[\s:=]+(?=[\w~+.-])|~\s*)+",
    re.IGNORECASE,
)
_BEHIND = re.compile(
    r"(?:\s+(?:deep|down|below(?: the)?(?: ground| grade| surface)?(?: level)?"
    r"|bg[ls]|wide|long|inside|in all"
    r"|or so|each|higher|high|from (?:the )?(?:top(?: of (?:the )?casing)?|ground|grade|surface)"
    r"|in the well|(?:away )?(?:to|from) (?:the )?(?:water|house|tank|heater|panels?|modules?"
    r"|array|well|pump|inverter)|(?:in )?diameter|i\.?d\.?|static|total|steel|pvc|plastic|copper"
    r"|dug|drilled|bored|driven|lithium|li-?ion|lifepo4|lfp|lead(?:[- ]acid)?|agm|gel|propane|lp"
    r"|natural gas|gas(?:oline)?|petrol|diesel|portable|standby|split[- ]phase|(?:pv )?hybrid"
    r"|bifacial|mono(?:crystalline)?|electric|tall|short|lowboy|on (?:the )?grid|red button"
    r"|(?:manual|hand) reset|continuous|running|each way|one way|away|(?:of )?pipe"
    r"|borehole|borewell|swl|u?pvc|rings|(?:pressure )?vessel|diaphragm|of air"
    r"|above sea level|genset"
    r"|dia(?:meter)?\.?|sustained|steady|air ?lift(?:ed)?|bailer(?: test)?))+$",
    re.IGNORECASE,
)
"""What people put around a number without meaning more by it, or to say of what sort the thing
is where the file does not ask that."""

_CHANGES = re.compile(
    r"\d|/|\b(?:per|an?|imp(?:erial)?|uk|abs(?:olute)?|o\.?d\.?|outside|outer|ac|or|to|and|but"
    r"|not?|never|above(?! sea)|trip|return|below|under|less|more|over|minus|drawdown|surge|peak"
    r"|max(?:imum)?|min(?:imum)?|starting|locked|half|each|every|square|sq|cubic|plus|than|shade|cut"
    r"|generator|inverter|heater|booster|batter(?:y|ies)|solar|h(?:ours?|rs?)?|minutes?|sec(?:ond)?s?|days?|[fc]"
    r"|fahrenheit|celsius|centigrade)\b",
    re.IGNORECASE,
)
"""What behind a quantity may make another one of it."""

_HYPHENED = re.compile(
    r"(\d)-(?=(?:foot|feet|ft|inch|in|metre|meter|m|gallon|gal|litre|liter|volt|v|amp|watt|w|kw|hp"
    r"|psi|gpm)\b)",
    re.IGNORECASE,
)
_REMARK = re.compile(
    r"(?<=\d)\s*-?ish\b"
    r"|[\s,;]+(?:(?:as far as |that )?I (?:think|guess|believe|know|was told)|if I remember\w*"
    r"(?: right(?:ly)?)?|(?:by|per|from|says|according to) (?:the )?(?:driller'?s? )?"
    r"(?:log|label|plate|sheet))[.!]?$",
    re.IGNORECASE,
)
"""Said of how well somebody knows a number, or of where it stands."""

_SHARES = {"half": "50", "half of it": "50", "all": "100", "all of it": "100", "1/2": "50",
           "1/3": "33", "2/3": "67", "1/4": "25", "3/4": "75"}  # fmt: skip
_FEET_INCHES = re.compile(
    rf"^(\d+)\s*(?:'|ft\.?|feet|foot)[\s,-]*({_VALUE})\s*(?:\"|in\.?|inch|inches)$", re.IGNORECASE
)
_TO = re.compile(r"\s+(?:to|through|thru)\s+|\s*\.\.+\s*", re.IGNORECASE)
_DASHED = re.compile(rf"^({_VALUE})\s*([^\d\s-][^\d-]*)?\s*-\s*({_VALUE})\s*([^\d-]*)$")
_MIXED = re.compile(rf"^\d+-{_PART}")
_BETWEEN = re.compile(r"^(?:between|from)\s+(.*?)\s+(?:and|to)\s+(.*)$", re.IGNORECASE)
_GIVE_OR_TAKE = re.compile(
    rf"^({_VALUE})\s*([^\d+\u00b1]*?)\s*(?:\+/?-|\u00b1|plus or minus|give or take)\s*"
    rf"({_VALUE})\s*(\D*)$",
    re.IGNORECASE,
)
_LIKELIEST = re.compile(r"^([^()]+)\(([^()]+)\)\s*([^()\d]*)$")
_LENGTHS = (kinds.LENGTH, kinds.BORE, kinds.HEAD)
_SPACED_LIST = re.compile(rf"\s+(?={NUMBER})")
_LONGEST = 300


def clean(text: str) -> str:
    """An answer on one line without blanks around it, with the marks of a keyboard in place of
    a typesetter's, cut where no answer is so long."""
    text = " ".join(text.split())[:_LONGEST]
    for mark, written in _VULGAR.items():
        if mark not in text:
            continue
        text = re.sub(rf"(?<=\d)\s*{mark}", f" {written}", text).replace(mark, written)
    text = text.translate(_MARKS).replace("''", '"')
    text = re.sub(r"(\d)\s*v(?:olts?)?\s*(ac|dc)\b", r"\1 V, \2", text, flags=re.IGNORECASE)
    text = _REMARK.sub("", _HYPHENED.sub(r"\1 ", text))
    plain = "".join(letter if letter.isprintable() else " " for letter in text)
    return " ".join(plain.split())[:_LONGEST]


def spelled(text: str, kind: Kind, unit: str, *, strict: bool = False) -> str:
    """A quantity or a range of one as a site file writes it, such as `85 ft .. 110 ft`, a bare
    number in the customary unit; what can't be understood stays, for `units.read` to say what
    is wrong with it. Words behind it that no list here knows are passed over, unless `strict`."""
    text = _BEHIND.sub("", _AHEAD.sub("", text))
    text = text if strict else _alone(text, kind)
    if kind is kinds.FRACTION and text.lower() in _SHARES:
        return f"{_SHARES[text.lower()]} %"
    if kind is kinds.FRACTION and re.fullmatch(r"0?\.\d+", text):
        return f"{_decimal(100 * Fraction(text))} %"
    together = _FEET_INCHES.match(text)
    if together is not None and kind in _LENGTHS:
        return _in_one_unit(together)
    text = _GIVE_OR_TAKE.sub(_either_side, text)
    likeliest = _LIKELIEST.match(text)
    if likeliest is not None:
        first, inner, tail = (part.strip() for part in likeliest.groups())
        span = _ends(inner)
        if span is not None:
            ranged = _range(span[0], span[1], kind, tail or _unit_in(span[1]) or unit)
            return f"{_single(first, kind, _unit_in(ranged) or unit)} ({ranged})"
    ends = _ends(text)
    return _single(text, kind, unit) if ends is None else _range(*ends, kind, unit)


def passed_over(text: str, kind: Kind) -> str:
    """The words behind a quantity that say nothing of it and that `spelled` leaves out."""
    text = _BEHIND.sub("", _AHEAD.sub("", text))
    return text[len(_alone(text, kind)) :].strip(" ,;")


def _alone(text: str, kind: Kind) -> str:
    """A number and its unit without the words behind them, where those can't change what it is."""
    match = _ONE.match(text)
    words = match.group(2).split() if match else []
    for count in range(len(words) - 1, 0, -1):
        if unit_meant(" ".join(words[:count]), kind, "") in kind.written:
            rest = " ".join(words[count:])
            return text if _CHANGES.search(rest) else text[: -len(rest)].strip()
    return text


def spelled_list(text: str, kind: Kind, unit: str) -> str:
    """A list of quantities as a site file writes it, such as `0, 3, 6, 9 gpm`; what can't be
    understood stays as it is."""
    numbers, said = [], []
    for piece in list_pieces(text):
        match = _ONE.match(piece)
        if match is None:
            return text
        numbers.append(_number(match.group(1)))
        said.append(match.group(2).strip())
    named = dict.fromkeys(unit_word for unit_word in said if unit_word)
    meant = {unit_meant(unit_word, kind, unit) for unit_word in named} or {unit}
    if len(meant) != 1 or not numbers:
        return text
    return f"{', '.join(numbers)} {meant.pop()}".strip()


def list_pieces(text: str) -> list[str]:
    """The items of a list, between commas, or between blanks where there are no commas."""
    if re.search(r"[,;]", text):
        return [piece.strip() for piece in re.split(r"[,;]", text) if piece.strip()]
    return [piece.strip() for piece in _SPACED_LIST.split(text) if piece.strip()]


def value_of(text: str) -> Fraction | None:
    """The number that a text begins with, exactly; None where it begins with none."""
    match = _ONE.match(text)
    if match is None:
        return None
    number = _number(match.group(1))
    if "/" not in number:
        return Fraction(number)
    whole, _, part = number.lstrip("+-").rpartition(" ")
    above, below = part.split("/")
    value = Fraction(int(whole or 0)) + Fraction(int(above), int(below))
    return -value if number.startswith("-") else value


def _single(text: str, kind: Kind, unit: str) -> str:
    match = _ONE.match(text)
    if match is None or match.group(2).startswith(","):
        return text
    return f"{_number(match.group(1))} {unit_meant(match.group(2), kind, unit)}".strip()


def _number(text: str) -> str:
    """A number as the site file's grammar takes it."""
    if "/" in text:
        sign = text[0] if text[0] in "+-" else ""
        return sign + re.sub(r"(?: and |-| )+", " ", text.lstrip("+-")).strip()
    return text.replace(",", "").removeprefix("+").removesuffix(".")


def _ends(text: str) -> tuple[str, str] | None:
    """The two ends of a range, as written; None where the text is none."""
    between = _BETWEEN.match(text)
    if between is not None:
        return between.group(1), between.group(2)
    parts = _TO.split(text)
    if len(parts) == 2 and all(_ONE.match(part) for part in parts):
        return parts[0], parts[1]
    dashed = None if _MIXED.match(text) else _DASHED.match(text)
    if dashed is None:
        return None
    low, low_unit, high, high_unit = dashed.groups()
    return f"{low} {low_unit or ''}".strip(), f"{high} {high_unit}".strip()


def _range(first: str, second: str, kind: Kind, unit: str) -> str:
    """A range from its lower end to its upper one, whichever was said first."""
    shared = _unit_in(second) or _unit_in(first) or unit
    one = _single(first, kind, unit_meant(shared, kind, unit))
    other = _single(second, kind, unit_meant(shared, kind, unit))
    try:
        if read(one, kind) > read(other, kind):
            one, other = other, one
    except UnreadableQuantity:
        return f"{one} .. {other}"
    return f"{one} .. {other}"


def _either_side(match: re.Match[str]) -> str:
    """`180 +/- 5 ft` as its two ends."""
    middle, unit, off, last = match.groups()
    about, by = value_of(middle), value_of(off)
    assert about is not None
    assert by is not None
    if unit and last.strip() and unit != last.strip():
        return match.group()
    return f"{_decimal(about - by)} to {_decimal(about + by)} {last or unit}".strip()


def _unit_in(text: str) -> str:
    match = _ONE.match(text.split("..")[-1].strip())
    return match.group(2).strip() if match else ""


def _in_one_unit(match: re.Match[str]) -> str:
    """Feet and inches as feet where that comes out even, else as inches."""
    inches = value_of(match.group(2))
    assert inches is not None
    whole = 12 * int(match.group(1)) + inches
    feet = whole / 12
    if (feet * 10_000).denominator == 1:
        return f"{_decimal(feet)} ft"
    return f"{_decimal(whole)} in" if (whole * 64).denominator == 1 else match.group()


def _decimal(value: Fraction) -> str:
    return f"{float(value):.6f}".rstrip("0").rstrip(".")
