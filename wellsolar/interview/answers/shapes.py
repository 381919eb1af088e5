"""Answers in a shape of their own, put right before they are read in pieces."""

from __future__ import annotations

import re

from wellsolar.interview.answers.question import Unclear
from wellsolar.interview.answers.spellings import NUMBER
from wellsolar.kinds import LENGTH
from wellsolar.units import Quantity, to_unit
from wellsolar.wording import quoted

_VALVE = re.compile(r"[,;]?\s*(?:constant.pressure )?valve[^,;]*", re.IGNORECASE)
_PAIR = re.compile(
    rf"^({NUMBER})\s*(?!to\b|and\b)([a-z]*)\s*(?:/|\bto\b|\band\b|-| )\s*({NUMBER})\s*([a-z]*)$",
    re.IGNORECASE,
)
_SEVERAL = re.compile(
    r"^(?:(\d{1,3})\s*(?:x|\*|tanks? of|of)|(one|two|three|four|five|six)(?: tanks? of| of| x)?)"
    r"\s*(\d.*?)(?:(?<=\d)s)?(?:\s+tanks?)?$",
    re.IGNORECASE,
)
_ON_OFF = re.compile(rf"^({NUMBER})\s*on\W+({NUMBER})\s*off$", re.IGNORECASE)
_ONE_PRESSURE = re.compile(rf"^{NUMBER}\s*[a-z]*$", re.IGNORECASE)
_ROWS_OF = re.compile(
    r"^(\d{1,4})\s*(?:strings?|rows?)\s*(?:of|x|by)\s*(\d{1,4})(?:\s*in series)?$", re.IGNORECASE
)
_ALL_TOLD = re.compile(
    r"^(\d{1,4})\s*(?:(?:x|of|\*)\s*\d+\s*w(?:atts?)?\b)?(?:\s*(?:modules?|panels?))?$",
    re.IGNORECASE,
)
LONGEST_ROW = 16
"""Modules that may be meant as one row where only their number is told: our mark."""

_RUN_OF_CABLE = re.compile(
    r"[\s,;]+(?:(?:on|with|by|over)\s+)?(?:#\s*\d|\d+(?:/0)?\s*(?:awg|ga\b|gauge)"
    r"|[\d.]+\s*mm2|\d+[-/]2\b|\d+(?:\.\d+)?\s*(?:ft|feet|foot|'|m\b|met)).*$",
    re.IGNORECASE,
)
"""What is told of the cable behind the modules' rows."""

_COMPASS = {
    "north": 0, "northeast": 45, "north-east": 45, "east": 90, "southeast": 135,
    "south-east": 135, "south": 180, "southwest": 225, "south-west": 225, "west": 270,
    "northwest": 315, "north-west": 315,
}  # fmt: skip
_POINTS = "|".join(sorted(_COMPASS, key=len, reverse=True))
_TOWARD = re.compile(
    rf"\b(?:facing |faces |toward |towards |to the |due )*({_POINTS})\b", re.IGNORECASE
)
_BELOW_ZERO = re.compile(
    r"(\d+(?:\.\d+)?)\s*((?:°|deg(?:rees)?)?\s*[fc]?)\s*below(?: zero)?\b(?!\s*(?:the )?gr)",
    re.IGNORECASE,
)
_EACH = r"(\d+(?:\.\d+)?)\s*kwh"
_BATTERIES = re.compile(
    rf"\b(\d{{1,3}}|two|three|four|five|six)(?:\s*(?:x|of|\*)\s*|\s+){_EACH}(?=\s*batter|\s*$|\s*[,;])",
    re.IGNORECASE,
)
_FLOWING = re.compile(r"^(?:flowing )?(?:artesian|flowing|at the (?:surface|top|ground))\b", re.I)
_SEASON = re.compile(
    r"\s*\b(?:in|during|by) (?:the )?(?:late |early |dry )?"
    r"(?:summer|winter|spring|fall|autumn|season)\b",
    re.IGNORECASE,
)
_OFF_BOTTOM = re.compile(
    r"^(\d+(?:\.\d+)?)\s*('|ft|feet|foot|m|metres?|meters?)?\s*(?:off|above|from) "
    r"(?:the )?bottom$",
    re.IGNORECASE,
)
_AMPERE_HOURS = re.compile(
    r"(\d+(?:\.\d+)?)\s*v(?:olts?)?\s*[,x@/]?\s*(\d+(?:\.\d+)?)\s*"
    r"a(?:mp[- ]?)?\s?h(?:ours?|rs?)?\b",
    re.IGNORECASE,
)
_SHORT_KILO = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)\s*k(?![a-z])", re.IGNORECASE)
_HEADS = re.compile(r"\b(\d+)\s*(?:adults?|kids?|child(?:ren)?|people|persons?)\b", re.IGNORECASE)
_LONG = r"(\d+(?:\.\d+)?\s*(?:'|ft|feet|foot|m|metres?|meters?)?)"
_DRAWDOWN = re.compile(
    rf"(?:with |and )?(?:(?:a )?drawdown\s*(?:of|was|:|=)?\s*{_LONG}|{_LONG}\s*(?:of )?drawdown)",
    re.IGNORECASE,
)
_DRAWN_TO = re.compile(
    r"[\s,;]*(?:and )?(?:(?:drew|drawn|draws|pumped)(?: it)? )?down to\s+"
    r"|[\s,;]*level (?:of )?(?=\d)",
    re.IGNORECASE,
)
_HOURS = re.compile(
    r"\s*\bfor \d+(?:\.\d+)? ?(?:hours?|hrs?|h|minutes?|min)\b"
    r"|^(?:pumped|made|gave|gives|makes)\s+",
    re.IGNORECASE,
)
_STRINGS = re.compile(
    r"^(\d{1,4})\s*(?:s|in series|series)?\s*"
    r"(?:x|\*|by|,|and|times)?\s*(?:(\d{1,4})\s*(?:p|in parallel|parallel|rows?|strings?)?)?$",
    re.IGNORECASE,
)
_DEGREES = re.compile(
    r"^(?:lat(?:itude)?\s*)?(-?\d{1,2}(?:\.\d+)?)(?!\s*(?:°|deg\w*)?\s*[fc]\b|\s*f?t\b|[\d.])"
    r"\s*(?:°|deg(?:rees)?)?\s*"
    r"(?:(\d{1,2}(?:\.\d+)?)\s*(?:'|min)\s*)?(?:°|deg)?\s*(n(?:orth)?|s(?:outh)?)?\b(?!\w)(.*)$",
    re.IGNORECASE,
)
_EAST_WEST = re.compile(
    r"^(?:(-\d{1,3}(?:\.\d+)?)|(\d{1,3}(?:\.\d+)?)\s*°?\s*([ew])(?:est|ast)?)"
    r"(?![\w.°])(?!\s*[a-z])(.*)$",
    re.IGNORECASE,
)


def as_switch(text: str) -> str:
    """`40/60`, `40-60 psi`, `40 to 60` as two pressures; what is told of a valve stays behind
    them."""
    valve = _VALVE.search(text)
    pair = text if valve is None else text.replace(valve.group(0), "").strip(" ,;")
    pair = _ON_OFF.sub(r"\1/\2", pair)
    if _ONE_PRESSURE.match(pair) and valve is None:
        raise Unclear(f"{quoted(text)} is one pressure: give where it starts and where it stops")
    match = _PAIR.match(pair)
    if match is None:
        return text
    low, low_unit, high, high_unit = match.groups()
    told = f"{low} {low_unit or high_unit}, {high} {high_unit or low_unit}"
    return told if valve is None else f"{told}, {valve.group(0).strip(' ,;')}"


def as_tanks(text: str) -> str:
    """`2 x 44 gal`, `two 44 gal tanks` as a volume and a count."""
    match = _SEVERAL.match(re.sub(r"(?<=\d) ?gallon(?= tank)", " gal", text))
    return f"{match.group(3)}, {match.group(1) or match.group(2)}" if match else text


def as_strings(text: str) -> str:
    """`4 x 2`, `4S2P`, `2 rows of 4`, `4 in series, 2 in parallel` as two counts: in a row, and
    rows; Unclear where only the number of all is told."""
    run = _RUN_OF_CABLE.search(text)
    if run is not None and run.start() > 0:
        return f"{as_strings(text[: run.start()].strip(' ,;'))}, {run.group().strip(' ,;')}"
    rows = _ROWS_OF.match(text)
    if rows is not None:
        return f"{rows.group(2)}, {rows.group(1)}"
    told = _ALL_TOLD.match(text)
    if told is not None:
        number = int(told.group(1))
        if number > LONGEST_ROW:
            row = max(each for each in range(1, LONGEST_ROW + 1) if number % each == 0)
            raise Unclear(
                f"{number} modules are more than one row: say how many stand in series and how "
                f"many such rows there are, such as {row} x {number // row}"
            )
        return f"{number}"
    plain = re.sub(r"\bmodules?\b|\bpanels?\b", "", text, flags=re.IGNORECASE).strip()
    plain = re.sub(r"(?<=\d)s(?=\d)", " s ", re.sub(r"\s+", " ", plain), flags=re.IGNORECASE)
    match = _STRINGS.match(plain.replace(" s ", "s ").replace(" ,", ","))
    if match is None:
        return text
    return f"{match.group(1)}, {match.group(2)}" if match.group(2) else match.group(1)


def as_stand(text: str) -> str:
    """`roof, 30 degrees, facing south` with the direction as a bearing."""
    return _TOWARD.sub(lambda match: f"azimuth {_COMPASS[match[1].lower()]} deg", text)


def as_level(text: str) -> str:
    """`85 in summer, 110 in fall` as a range; of a well that flows by itself, water at the
    ground."""
    if _FLOWING.match(text):
        return "0 ft"
    plain = _SEASON.sub("", text)
    return " to ".join(re.split(r"\s*,\s*(?=\d)", plain)) if plain != text else text


def as_bore(text: str) -> str:
    """`DN 150` as millimetres; Unclear of an outside diameter."""
    if re.search(r"\b(?:od|outside)\b", text, re.IGNORECASE):
        raise Unclear(
            f"{quoted(text)} is an outside diameter: give that inside, by a tape at its top"
        )
    return re.sub(r"^dn\s*(\d+)$", r"\1 mm", text, flags=re.IGNORECASE)


def as_intake(bottom: Quantity | None, text: str) -> str:
    """`10 ft off the bottom` as a depth, where that of the well is known."""
    off = _OFF_BOTTOM.match(text)
    if off is None:
        return text
    if bottom is None:
        raise Unclear(f"{quoted(text)}: give its depth below the ground")
    unit = "m" if (off.group(2) or "").lower().startswith("m") else "ft"
    return f"{to_unit(bottom, LENGTH, unit) - float(off.group(1)):.4g} {unit}"


def as_test(static: Quantity | None, text: str) -> str:
    """`8 gpm, drew down to 101` as a flow and a level; a drawdown is counted from where the water
    stands at rest, Unclear where nobody knows that."""
    text = _HOURS.sub("", text)
    drawn = _DRAWDOWN.search(text)
    if drawn is None:
        return _DRAWN_TO.sub(r", level ", text).strip(" ,")
    down = _drawn_down(drawn.group(1) or drawn.group(2), static, text)
    return f"{_DRAWDOWN.sub('', text).strip(' ,;')}, level {down}"


def _drawn_down(said: str, static: Quantity | None, text: str) -> str:
    """The level that lies a drawdown, as said, below that at rest."""
    if static is None:
        raise Unclear(f"{quoted(text)}: give the level below the ground that it was drawn to")
    unit = "m" if re.search(r"\d\s*m", said) else "ft"
    number = re.sub(r"[^\d.]", "", said)
    return f"{to_unit(static, LENGTH, unit) + float(number):.4g} {unit}"


def as_element(text: str) -> str:
    """`3380/4500 W, 208/240 V` as what it is at the higher voltage: plates give both."""
    return re.sub(
        r"\b(\d{3,4})\s*/\s*(\d{3,4})(?=\s*[wv])",
        lambda match: f"{max(int(match[1]), int(match[2]))}",
        re.sub(r"^(?:a )?(?:standard|ordinary|usual)\s+", "", text, flags=re.IGNORECASE),
        flags=re.IGNORECASE,
    )


def as_people(text: str) -> str:
    """`2 adults and 3 kids` as one number."""
    counted = [int(number) for number in _HEADS.findall(text)]
    return f"{sum(counted)}" if len(counted) > 1 else text


def as_power(text: str) -> str:
    """`two 5 kWh batteries`, `48 V 300 Ah`, `6k` as kilowatts and kilowatt-hours."""
    words = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
    text = _BATTERIES.sub(
        lambda match: f"{(words.get(match[1].lower()) or int(match[1])) * float(match[2]):g} kWh",
        text,
    )
    text = _AMPERE_HOURS.sub(
        lambda match: f"{float(match[1]) * float(match[2]) / 1000.0:.4g} kWh", text
    )
    return _SHORT_KILO.sub(r"\1 kW", text)


def as_place(text: str) -> str:
    """`41.2 N, 900 ft`, `41° 12' N` as a signed latitude, with what stands behind it; `20 below`
    as a temperature."""
    text = re.sub(r"^([ns])\s*(\d[\d.]*°?)", r"\2 \1", text, flags=re.IGNORECASE)
    text = re.sub(r"^(\d{1,2})[ :](\d{1,2})(?=\s*[ns]\b)", r"\1° \2'", text, flags=re.IGNORECASE)
    text = _BELOW_ZERO.sub(r"-\1 \2", text)
    match = _DEGREES.match(text)
    if match is None:
        return text
    degrees, minutes, side, rest = match.groups()
    value = degrees
    if minutes:
        whole = abs(float(degrees)) + float(minutes) / 60.0
        value = f"{'-' if degrees.startswith('-') else ''}{whole:.4f}".rstrip("0").rstrip(".")
    if side and side[0].lower() == "s" and not value.startswith("-"):
        value = f"-{value}"
    return f"{value} deg, {_longitude(rest.strip(' ,'))}".rstrip(" ,")


def _longitude(rest: str) -> str:
    """`75 W, 900 ft`, `-75, 900 ft`: a longitude behind the latitude, called by its name."""
    match = _EAST_WEST.match(rest)
    if match is None:
        return rest
    signed, degrees, side, behind = match.groups()
    value = signed or (f"-{degrees}" if side.lower() == "w" else degrees)
    return f"longitude {value} deg, {behind.strip(' ,')}".rstrip(" ,")
