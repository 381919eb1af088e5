"""Answers in a shape of their own, put right before they are read in pieces."""

from __future__ import annotations

import math
import re
from fractions import Fraction

from wellsolar.interview.answers.question import Unclear
from wellsolar.interview.answers.spellings import NUMBER, value_of
from wellsolar.kinds import LENGTH, PRESSURE
from wellsolar.units import Quantity, to_unit
from wellsolar.wording import quoted

_VALVE = re.compile(r"[,;]?\s*(?:constant.pressure )?valve[^,;]*", re.IGNORECASE)
_VALVE_BEHIND = re.compile(
    rf"[,;]?\s*(?:with |and )?(?:an? )?({NUMBER}\s*(?:psi|bar|kpa|lbs)?)\s*"
    r"(?:constant.pressure )?valve$",
    re.IGNORECASE,
)
_PAIR = re.compile(
    rf"^({NUMBER})\s*(?!to\b|and\b)([a-z#]*)\s*(?:/|\bto\b|\band\b|-| )\s*({NUMBER})\s*([a-z#]*)$",
    re.IGNORECASE,
)
_SEVERAL = re.compile(
    r"^(?:(\d{1,3})\s*(?:x|\*|tanks? of|of)|(one|two|three|four|five|six)(?: tanks? of| of| x)?)"
    r"\s*(\d.*?)(?:(?<=\d)s)?(?:\s+tanks?)?$",
    re.IGNORECASE,
)
_VERBS = re.compile(
    r"\b(?:it )?(?:cuts|kicks?|comes?|turns?|shuts?|switches|goes) (?=(?:in|on|off|out)\b)"
    r"|\bit\b",
    re.I,
)
_BARE = re.compile(
    rf"(?<![\w./])({NUMBER})(?!\s*(?:psi|bar|kpa|lbs?\b|pounds|#)|[\w./]|\s*%)", re.I
)
_PRESSURES = re.compile(r"(?<=[\d\s])(psi|bar|kpa|lbs?|pounds|#)(?!\w)", re.IGNORECASE)
_KILOS = re.compile(
    rf"({NUMBER})(?:\s*-\s*({NUMBER}))?\s*kgf?(?:\s*(?:/|per )\s*(?:cm2|cm\^2|sq\.? ?cm)|\b)",
    re.IGNORECASE,
)
"""Kilograms-force on a square centimetre."""

IMPERIAL_GALLON = Fraction("4.54609")
_IMPERIAL = r"\(?(?:imp(?:erial|\.)?|u\.?k\.?|british)\)?"
_IMPERIAL_GALLONS = re.compile(
    rf"({NUMBER})(?:\s*(?:-|to)\s*({NUMBER}))?\s*"
    rf"(?:{_IMPERIAL}\s*(?:gal(?:lon)?s?\b\.?|gp(?P<time>[mhd])\b)"
    rf"|igal\b|gal(?:lon)?s?\.?\s*{_IMPERIAL}(?!\w))",
    re.IGNORECASE,
)
"""A volume, or a flow in its short name, by the imperial gallon."""

_ON_OFF = re.compile(rf"^({NUMBER})\s*on\W+({NUMBER})\s*off$", re.IGNORECASE)
_ONE_PRESSURE = re.compile(rf"^{NUMBER}\s*[a-z]*$", re.IGNORECASE)
_ROWS_OF = re.compile(
    r"^(\d{1,4})\s*(?:parallel )?(?:strings?|rows?)\s*(?:of|x|by|,)\s*(\d{1,4})"
    r"(?:\s*(?:modules?|panels?|in series|each))*$",
    re.IGNORECASE,
)
_ALL_TOLD = re.compile(
    r"^(\d{1,4})\s*(?:(?:x|of|\*)\s*\d+\s*w(?:atts?)?\b)?(?:\s*(?:modules?|panels?))?$",
    re.IGNORECASE,
)
_OF_WATTS = re.compile(
    r"\b(\d{1,3})\s*(?:x|of|\*)\s*[1-9]\d\d(?:\s*w(?:atts?)?)?\b", re.IGNORECASE
)
"""A number of modules of so many watts: no array has a hundred rows."""

_SIDE_BY_SIDE = re.compile(
    r"^(\d{1,3})\s*(?:modules? |panels? )?(?:all )?(?:in parallel|side by side)$", re.IGNORECASE
)
_TOLD_TWICE = re.compile(r"^\d{1,4}\s*(?:modules?|panels?)?\s*[(:]\s*([^()]+?)\)?$", re.IGNORECASE)
_A_ROW = re.compile(
    r"^(\d{1,4})\s*(?:modules? |panels? )?(?:per|a|in each|each) (?:string|row)[\s,]+"
    r"(\d{1,4}) (?:strings|rows)$",
    re.IGNORECASE,
)
_DIVIDED = re.compile(
    r"^(\d{1,4})\s*(?:modules?|panels?)?\s*in ([1-9]\d{0,3}) (?:strings|rows)$", re.IGNORECASE
)
LONGEST_ROW = 16
"""Modules that may be meant as one row where only their number is told: our mark."""

_RUN_OF_CABLE = re.compile(
    r"[\s,;]+(?:(?:on|with|by|over)\s+)?(?:#\s*\d|\d+(?:/0)?\s*(?:awg|ga\b|gauge)"
    r"|[\d.]+\s*(?:mm|sq)|\d+[-/]2\b|\d+(?:\.\d+)?\s*(?:ft|feet|foot|'|m\b|met)).*$",
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
_POINTS_OF_16 = "N NNE NE ENE E ESE SE SSE S SSW SW WSW W WNW NW NNW"
_SHORT = {point: 22.5 * number for number, point in enumerate(_POINTS_OF_16.split(" "))}
_LETTERS = "|".join(sorted(_SHORT, key=len, reverse=True))
_TOWARD_SHORT = re.compile(rf"\b(?:facing|faces|due|towards?)\s+({_LETTERS})\b", re.IGNORECASE)
_TOWARD_ALONE = re.compile(rf"(?<=[\s,])({_LETTERS})(?=\s*(?:[,;]|$))")
_PITCH = re.compile(r"\b(\d{1,2})\s*(?:/|in|:)\s*12\b(?:\s*pitch)?,?\s*", re.IGNORECASE)
"""A roof's rise on twelve, as carpenters tell its slope."""

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
    r"\s*\b(?:in|during|by|after) (?:the |an? )?(?:late |early |dry |wet |rainy )?"
    r"(?:summer|winter|spring|fall|autumn|season|monsoon|rains|drought)\b",
    re.IGNORECASE,
)
_OFF_BOTTOM = re.compile(
    r"^(\d+(?:\.\d+)?)\s*('|ft|feet|foot|m|metres?|meters?)?\s*(?:off|above|from) "
    r"(?:the )?bottom$",
    re.IGNORECASE,
)
_AMPERE_HOURS = re.compile(
    r"(?:(\d{1,2})\s*(?:x|\*|of|nos?\b\.?)\s*)?(\d+(?:\.\d+)?)\s*v(?:olts?)?\s*[,x@/]?\s*(\d+(?:\.\d+)?)\s*"
    r"a(?:mp[- ]?)?\s?h(?:ours?|rs?)?\b(?:\s*(?:x|\*)\s*(\d{1,2})\b)?",
    re.IGNORECASE,
)
_SHORT_KILO = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)\s*k(?![a-z])", re.IGNORECASE)
_SOME_EACH = re.compile(
    r"(?<![\w.])(\d{1,2})\s*(?:x|\*)\s*(\d+(?:\.\d+)?)\s*(kw|kva)(?!\s*h)", re.IGNORECASE
)
_SOME_AMPERE_HOURS = re.compile(
    r"(?:(\d{1,2})\s*(?:x|\*|of|nos?\b\.?)\s*)?"
    r"(\d+(?:\.\d+)?)\s*a(?:mp[- ]?)?\s?h(?:ours?|rs?)?[\s,@/x]*"
    r"(?:at )?(\d+(?:\.\d+)?)\s*v(?:olts?)?\b",
    re.IGNORECASE,
)
_BY_BUCKET = re.compile(
    r"\b(\d+(?:\.\d+)?)\s*(gal(?:lon)?s?|l(?:it(?:er|re))?s?)(?:\s*buckets?)?\s*"
    r"(?:every|in|per|each|fills in)\s*(\d+(?:\.\d+)?)?\s*(s(?:ec(?:ond)?s?)?|min(?:ute)?s?)\b",
    re.IGNORECASE,
)
"""A measured volume and the time that it took."""

_OTHER_HEADS = re.compile(r"\band (?:a|one|1) (?:baby|toddler|infant|child|kid)\b", re.IGNORECASE)
_SUM = re.compile(r"^(\d{1,2})\s*\+\s*(\d{1,2})$")
_ALONE = re.compile(r"^(?:just |only )?(?:me|myself|one of us|single)$", re.IGNORECASE)
_PAIR_OF_PEOPLE = re.compile(
    r"^(?:just |only )?(?:a |the )?(?:couple|us two|(?:the )?(?:two|2) of us"
    r"|(?:me|my) and (?:my|me)\b[ \w]*|my (?:wife|husband|partner) and (?:me|I))$",
    re.IGNORECASE,
)
_PERSONS = re.compile(r"(?<![\w'])(?:me|myself|I|wife|husband|partner)\b", re.IGNORECASE)
_HEADS = re.compile(
    r"\b(\d+)\s*(?:adults?|kids?|child(?:ren)?|people|persons?|bab(?:y|ies)|toddlers?|infants?)\b",
    re.I,
)
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
    r"|^(?:pumped|made|gave|gives|makes|bailed)\s+(?:at\s+)?",
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
    r"(?:(\d{1,2}(?:\.\d+)?)\s*(?:'|min(?:utes?)?)\s*)?(?:°|deg)?\s*(n(?:orth)?|s(?:outh)?)?(?!\w)(.*)$",
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
    text = _VALVE_BEHIND.sub(r", valve \1", as_pressure(_VERBS.sub("", text)))
    text = re.sub(
        r"\b(in|out) at\b", lambda at: f"{'on' if at[1].lower() == 'in' else 'off'} at", text
    )
    text = re.sub(r"^(\d+)\s*in\b[\s,/]*(\d+)\s*out$", r"\1/\2", text, flags=re.IGNORECASE)
    text = re.sub(r"^between\s+|\s+switch$", "", text, flags=re.IGNORECASE)
    if re.search(r"\bdiff", text, re.IGNORECASE):
        raise Unclear(f"{quoted(text)}: give both pressures, where it starts and where it stops")
    valve = _VALVE.search(text)
    pair = text if valve is None else text.replace(valve.group(0), "").strip(" ,;")
    pair = _ON_OFF.sub(r"\1/\2", pair)
    # A switch has two pressures: what looks like a fraction is no such.
    pair = re.sub(r"^(\d)/(\d)(?=\s*[a-z]*$)", r"\1 to \2", pair, flags=re.IGNORECASE)
    if _ONE_PRESSURE.match(pair) and valve is None:
        raise Unclear(f"{quoted(text)} is one pressure: give where it starts and where it stops")
    match = _PAIR.match(pair)
    if match is None:
        # A unit that is said once is meant for all.
        units = set(_PRESSURES.findall(text))
        return _BARE.sub(rf"\1 {units.pop()}", text) if len(units) == 1 else text
    low, low_unit, high, high_unit = match.groups()
    both_states = f"{low} {low_unit or high_unit}, {high} {high_unit or low_unit}"
    return both_states if valve is None else f"{both_states}, {valve.group(0).strip(' ,;')}"


def as_pressure(text: str) -> str:
    """`2 kg/cm2` in bar: a kilogram-force on a square centimetre is 0.980665 bar by definition."""
    return _KILOS.sub(
        lambda match: " to ".join(
            f"{float(value_of(number) or 0.0) * 0.980665:.6g} bar"
            for number in match.groups()
            if number
        ),
        text,
    )


def as_litres(text: str) -> str:
    """`40 imperial gallons`, `8 imp gpm` in litres: an imperial gallon is 4.54609 L by definition
    (Weights and Measures Act 1985 of the United Kingdom, schedule 1; second hand)."""

    def litres(match: re.Match[str]) -> str:
        numbers = [value_of(number) for number in match.group(1, 2) if number]
        volumes = [f"{float((number or 0) * IMPERIAL_GALLON):.7g}" for number in numbers]
        time = {"m": " L/min", "h": " L/h", "d": " L/day"}.get((match["time"] or "").lower(), " L")
        return f"{' to '.join(volumes)}{time}"

    return _IMPERIAL_GALLONS.sub(litres, text)


def as_tanks(text: str) -> str:
    """`2 x 44 gal`, `two 44 gal tanks` as a volume and a count; a drawdown behind it stands for
    itself."""
    text = re.sub(r"(?<=[\w.])\s+(?=(?:with )?(?:a )?drawdown\b)", ", ", text, flags=re.IGNORECASE)
    text = re.sub(r"^(\d+)\s*(?:nos?\b\.?|pcs)\s*(?:of )?", r"\1 x ", text, flags=re.IGNORECASE)
    text = re.sub(r"^(?:an? )?(?:pair|couple) of\s+", "2 x ", text, flags=re.IGNORECASE)
    if re.fullmatch(r"\D*[\d.]+ ?\w+,? (?:of )?drawdown", text, re.IGNORECASE):
        raise Unclear(f"{quoted(text)} is what it gives: give its volume, air and water together")
    volumes = re.findall(r"\d+(?:\.\d+)?(?= ?(?:gal|l\b|lit|ltr))", text, re.IGNORECASE)
    if len(set(volumes)) > 1 and "drawdown" not in text.lower():
        raise Unclear(f"{quoted(text)}: of tanks that differ give the sum of their volumes")
    match = _SEVERAL.match(re.sub(r"(?<=\d) ?gallon(?= tank)", " gal", text))
    return f"{match.group(3)}, {match.group(1) or match.group(2)}" if match else text


def as_strings(text: str) -> str:
    """`4 x 2`, `4S2P`, `2 rows of 4`, `4 in series, 2 in parallel` as two counts: in a row, and
    rows; Unclear where only the number of all is told."""
    text = _OF_WATTS.sub(r"\1", text)
    text = re.sub(
        r"\b(\d+) (?:in )?parallel,? (\d+) (?:in )?series\b",
        r"\2 in series, \1 in parallel",
        text,
        flags=re.I,
    )
    text = re.sub(
        r"^(?:\d+(?:\s*(?:modules?|panels?),?|,)\s*(?:as|in|:)?\s*)"
        r"(?=\d+\s*(?:s\d|strings? of|rows? of))",
        "",
        text,
        flags=re.I,
    )
    side_by_side = _SIDE_BY_SIDE.match(text)
    if side_by_side is not None:
        return f"1, {side_by_side.group(1)}"
    text = re.sub(r"\b(?:one|two)\b", lambda word: str(1 + (word[0].lower() == "two")), text)
    text = re.sub(r"\ball (?=in series)", "", re.sub(r"\b(in \d+ (?:string|row))\b", r"\1s", text))
    text = _TOLD_TWICE.sub(r"\1", _A_ROW.sub(r"\1 in series, \2 rows", text))
    run = _RUN_OF_CABLE.search(text)
    if run is not None and run.start() > 0:
        behind = re.sub(
            r"^(?:over|on|with|by)\s+", "", run.group().strip(" ,;"), flags=re.IGNORECASE
        )
        # A bare number behind the wire is how far it runs.
        behind = re.sub(r"[\s,]+(?:of\s+)?(\d+(?:\.\d+)?)$", r", run \1", behind)
        behind = re.sub(r"\s+of\s+(?=#|\d)", ", ", behind)
        return f"{as_strings(text[: run.start()].strip(' ,;'))}, {behind}"
    text = re.sub(
        r"^(\d+)\s*(?:modules?|panels?)?,? (\d+) (?:per|in each|in a|to a) (?:string|row)$",
        lambda match: (
            f"{match[2]} in series, {int(match[1]) // int(match[2])} rows"
            if int(match[2]) and int(match[1]) % int(match[2]) == 0
            else match[0]
        ),
        text,
        flags=re.IGNORECASE,
    )
    divided = _DIVIDED.match(text)
    if divided is not None and int(divided[1]) % int(divided[2]) == 0:
        return f"{int(divided[1]) // int(divided[2])}, {divided[2]}"
    rows = _ROWS_OF.match(text)
    if rows is not None:
        return f"{rows.group(2)}, {rows.group(1)}"
    layout = _ALL_TOLD.match(text)
    if layout is not None:
        number = int(layout.group(1))
        if number > LONGEST_ROW:
            row = max(length for length in range(1, LONGEST_ROW + 1) if number % length == 0)
            raise Unclear(
                f"{number} modules are more than one row: say how many stand in series and how "
                f"many such rows there are, such as {row} x {number // row}"
            )
        return f"{number}"
    plain = re.sub(r"\bmodules?\b|\bpanels?\b", "", text, flags=re.IGNORECASE).strip()
    plain = re.sub(r"(?<=\d)s(?=\d)", " s ", re.sub(r"\s+", " ", plain), flags=re.IGNORECASE)
    match = _STRINGS.match(plain.replace(" s ", "s ").replace(" ,", ","))
    if match is None:
        if re.search(r"\b(?:strings?|rows)\b", text, re.IGNORECASE):
            raise Unclear(f"{quoted(text)}: say it as so many in series x so many rows, as 4 x 2")
        return text
    return f"{match.group(1)}, {match.group(2)}" if match.group(2) else match.group(1)


def as_cells(text: str) -> str:
    """`144 half-cut` as half as many in series, as makers count them."""
    halves = re.match(
        r"^(\d{2,3}) ?(?:x )?(?:1/2|half)[- ](?:cut|cells?)(?:[- ]cells?)?$", text, re.IGNORECASE
    )
    if halves is not None:
        return f"{int(halves[1]) // 2}"
    return re.sub(r"^(\d+)[- ]cells?\b.*$", r"\1", text, flags=re.IGNORECASE)


def as_stand(text: str) -> str:
    """`roof, 30 degrees, facing south`, `4/12 pitch facing SE` with the direction as a bearing and
    the pitch as a tilt."""
    text = _PITCH.sub(
        lambda match: f"tilt {math.degrees(math.atan(float(match[1]) / 12.0)):.1f} deg, ", text
    )
    text = re.sub(
        r"[\s,]*\b\d[\d.]*\s*(?:'|ft|feet|m|met(?:re|er)s|yards)?\s*(?:away )?from (?:the |any )?"
        r"(?:house|buildings?)\b",
        "",
        text,
        flags=re.IGNORECASE,
    )
    text = re.sub(r"\btilted(?: at)?\b", "tilt", text, flags=re.IGNORECASE)
    text = re.sub(r"\bflat (?=roof)", "", text, flags=re.IGNORECASE)
    text = re.sub(rf"\b({_LETTERS})[- ]facing\b", r"facing \1, ", text)
    text = _TOWARD_SHORT.sub(lambda match: f", azimuth {_SHORT[match[1].upper()]:g} deg", text)
    text = _TOWARD_ALONE.sub(lambda match: f", azimuth {_SHORT[match[1]]:g} deg", text)
    text = re.sub(r"(?<![\w-])flat(?![\w-])(?! roof)", "tilt 0 deg", text, flags=re.IGNORECASE)
    return _TOWARD.sub(lambda match: f", azimuth {_COMPASS[match[1].lower()]} deg", text)


def as_level(text: str) -> str:
    """`85 in summer, 110 in fall` as a range; of a well that flows by itself, water at the
    ground."""
    if _FLOWING.match(text):
        return "0 ft"
    text = re.sub(
        r"\s*,?\s*\b(?:or|(?:drops|falls|goes|down) (?:down )?to)\s+(?=\d)",
        " to ",
        text,
        flags=re.I,
    )
    text = re.sub(r"^(?:to|somewhere)\s+", "", text, flags=re.IGNORECASE)
    text = re.sub(
        r"^(.+\bto\b.+?),?\s+(?:usually|mostly|normally|typically)\s+(\S+)$",
        r"\2 (\1)",
        text,
        flags=re.I,
    )
    text = re.sub(r"\s*m\.?\s?b\.?g\.?l\.?$", " m", text, flags=re.IGNORECASE)
    plain = _SEASON.sub("", text)
    return " to ".join(re.split(r"\s*,\s*(?=\d)", plain)) if plain != text else text


def as_bore(text: str) -> str:
    """`DN 150` as millimetres; Unclear of an outside diameter, and of a pipe's nominal size."""
    if re.search(r"\bsch(?:edule)?\b", text, re.IGNORECASE):
        raise Unclear(f"{quoted(text)} is a nominal size: give that inside, by a tape at its top")
    if re.search(r"\b(?:od|outside)\b", text, re.IGNORECASE):
        raise Unclear(
            f"{quoted(text)} is an outside diameter: give that inside, by a tape at its top"
        )
    text = re.sub(r"[\s,]*\b(?:bore|dia(?:m|meter)?)\b\.?", "", text, flags=re.IGNORECASE)
    return re.sub(r"^(?:dn\s*(\d+)|(\d+)\s*(?:mm )?nb)$", r"\1\2 mm", text, flags=re.IGNORECASE)


def as_intake(bottom: Quantity | None, text: str) -> str:
    """`10 ft off the bottom` as a depth, where that of the well is known; near the bottom is
    10 ft above it [common practice, no source]."""
    text = re.sub(
        r"^(?:near|close to|just off|at) (?:the )?bottom$",
        "10 ft above the bottom",
        text,
        flags=re.I,
    )
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
    text = re.sub(r"^an?\s+(?=gal|lit|bucket)", "1 ", text, flags=re.IGNORECASE)
    text = re.sub(r"\b(\d[\d.]*\s*(?:'|ft|m)?)\s*pwl\b", r"level \1", text, flags=re.IGNORECASE)
    text = re.sub(r"\bpwl\b", "level", text, flags=re.IGNORECASE)
    text = _BY_BUCKET.sub(_flow_of_bucket, _HOURS.sub("", text))
    drawn = _DRAWDOWN.search(text)
    if drawn is None:
        return _DRAWN_TO.sub(r", level ", text).strip(" ,")
    down = _drawn_down(drawn.group(1) or drawn.group(2), static, text)
    return f"{_DRAWDOWN.sub('', text).strip(' ,;')}, level {down}"


def _flow_of_bucket(match: re.Match[str]) -> str:
    """`5 gallons in 40 seconds` as a flow a minute."""
    minutes = float(match[3] or 1.0) / (60.0 if match[4].lower().startswith("s") else 1.0)
    if not minutes:
        return match.group()
    unit = "gpm" if match[2].lower().startswith("g") else "L/min"
    return f"{float(match[1]) / minutes:.4g} {unit}"


def _drawn_down(said: str, static: Quantity | None, text: str) -> str:
    """The level that lies a drawdown, as said, below that at rest."""
    if static is None:
        raise Unclear(f"{quoted(text)}: give the level below the ground that it was drawn to")
    unit = "m" if re.search(r"\d\s*m", said) else "ft"
    number = re.sub(r"[^\d.]", "", said)
    return f"{to_unit(static, LENGTH, unit) + float(number):.4g} {unit}"


_WALL = re.compile(r"\b(SDR|PN) ?(\d+(?:\.\d+)?)\b", re.IGNORECASE)
_ACROSS = re.compile(r"\b(?:DN ?(\d{2,3})\b|(\d{2,3}) ?mm\b)(?: OD\b)?", re.IGNORECASE)
_PLASTIC = re.compile(r"\b(?:HDPE|PE|poly(?:ethylene)?)\b(?! ?\d)", re.IGNORECASE)
"""Polyethylene of no grade."""


def as_pipe(text: str) -> str:
    """`10 ft lower` as less than nothing, `level` as nothing; the wall of a pipe beside its
    size."""
    for words, sign in (("lower|below(?: the well)?|downhill|down", "-"), ("uphill|up|above", "")):
        text = re.sub(
            rf"(?<![\w.-])(\d+(?:\.\d+)?\s*(?:'|ft|feet|foot|m|metres?|meters?)?)\s*(?:{words})\b",
            rf"higher {sign}\1",
            text,
            flags=re.IGNORECASE,
        )
    text = re.sub(r",\s*(?:all |same |the same )?level\b", ", higher 0", text, flags=re.IGNORECASE)
    text = re.sub(
        r"\b(?:no|never any) frost\b|\b(?:never|no) freez\w+", "frost 0", text, flags=re.I
    )
    text = re.sub(
        r"^(?:an? |1 )?inch and (\d/\d)(?: inch)?", r"1 \1 in", text, flags=re.IGNORECASE
    )
    text = re.sub(r"\s+(?:ips|pipe|tubing)\b", "", text, flags=re.IGNORECASE)
    wall, size = _WALL.search(text), _ACROSS.search(text)
    if wall is None or size is None:
        return text
    if _PLASTIC.search(text):
        raise Unclear(f"{quoted(text)}: say which polyethylene it is, such as PE100 or PE80")
    rest = _ACROSS.sub(" ", _WALL.sub(" ", text, count=1), count=1).strip(" ,")
    return f"{size[1] or size[2]} mm {wall[1]} {wall[2]}, {rest}".strip(" ,")


def as_precharge(cut_in: Quantity | None, text: str) -> str:
    """`2 psi below the cut-in` as a pressure, where the cut-in is known."""
    text = as_pressure(text)
    below = re.match(
        r"^(\d+(?:\.\d+)?)\s*(psi|bar|kpa|lbs?|pounds)?\s*(?:below|under|less than)(?: the)?"
        r"(?: cut[- ]?in)?(?: pressure)?$",
        text,
        re.IGNORECASE,
    )
    if below is None:
        return text
    if cut_in is None:
        raise Unclear(f"{quoted(text)}: give the pressure that the gauge shows")
    unit = {"bar": "bar", "kpa": "kPa"}.get((below[2] or "").lower(), "psi")
    return f"{to_unit(cut_in, PRESSURE, unit) - float(below[1]):.4g} {unit}"


def as_element(text: str) -> str:
    """`3380/4500 W, 208/240 V` as what it is at the higher voltage: plates give both; of two
    alike, one."""
    text = re.sub(r"\b(?:electric|lowboy|tall|short)\b\s*", "", text, flags=re.IGNORECASE)
    text = re.sub(r"\bheat(?:er|ing) (?=element)", "", text, flags=re.IGNORECASE)
    text = re.sub(
        r"(\d\s?(?:gal(?:lon)?s?|l(?:t|tr|it(?:re|er))?s?)) "
        r"(?:tank|cylinder|geyser|(?:water )?heater)\b",
        r"\1,",
        text,
        flags=re.IGNORECASE,
    )
    text = re.sub(
        r"(\d\s?k?w(?:atts?)?) (?:lower |upper )?elements?(?: at)?\b",
        r"\1,",
        text,
        flags=re.IGNORECASE,
    )
    text = re.sub(
        r"\b(\d{4})\s*w?\s*/\s*(120|208|220|230|240|277|480)(?:\s*v\b)?",
        r"\1 W, \2 V",
        text,
        flags=re.IGNORECASE,
    )
    text = re.sub(
        r"\b(?:(?:two|2|dual|both)\s*(?:x\s*)?|(\d{3,4})\s*/\s*(?=\1\b))"
        r"(\d{3,4})\s*(?:w(?:atts?)?\b)?(?:\s*elements?\b)?",
        r"\2 W",
        text,
        flags=re.IGNORECASE,
    )
    return re.sub(
        r"\b(\d{3,4})\s*/\s*(\d{3,4})(?=\s*[wv])",
        lambda match: f"{max(int(match[1]), int(match[2]))}",
        re.sub(r"^(?:a )?(?:standard|ordinary|usual)\s+", "", text, flags=re.IGNORECASE),
        flags=re.IGNORECASE,
    )


def as_people(text: str) -> str:
    """`2 adults and 3 kids`, `3 and a baby`, `just me` as one number."""
    if _ALONE.match(text) or _PAIR_OF_PEOPLE.match(text):
        return "1" if _ALONE.match(text) else "2"
    text = re.sub(r"^(?:a )?dozen\b", "12", text, flags=re.IGNORECASE)
    text = re.sub(
        r"^(?:a )?(?:village|hamlet|population|school|community) of\s+",
        "",
        text,
        flags=re.IGNORECASE,
    )
    text = re.sub(r"^(?:about |some )?(\d{1,3}),(\d{3})\b", r"\1\2", text)
    named = len(_PERSONS.findall(text))
    more_heads = [int(number) for number in _HEADS.findall(text)]
    others = re.sub(
        r"\b(?:my|the|and|just|only)\b|\W", "", _PERSONS.sub("", text), flags=re.IGNORECASE
    )
    if named and (more_heads or not others):
        return f"{named + sum(more_heads)}"
    text = _SUM.sub(lambda match: f"{int(match[1]) + int(match[2])}", text)
    more = re.match(r"^(\d{1,2})\b", text)
    if more is not None and _OTHER_HEADS.search(text):
        return f"{int(more[1]) + 1}"
    counted = [int(number) for number in _HEADS.findall(text)]
    return f"{sum(counted)}" if len(counted) > 1 else text


def as_power(text: str) -> str:
    """`two 5 kWh batteries`, `48 V 300 Ah`, `6k` as kilowatts and kilowatt-hours."""
    words = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
    text = _BATTERIES.sub(
        lambda match: f"{(words.get(match[1].lower()) or int(match[1])) * float(match[2]):g} kWh",
        text,
    )
    text = re.sub(
        r"[\s,;]*\b(?:no|without) (?:an? )?(?:battery|batteries|bank)\b",
        "",
        text,
        flags=re.IGNORECASE,
    )
    text = _SOME_EACH.sub(lambda match: f"{int(match[1]) * float(match[2]):g} {match[3]}", text)
    text = _SOME_AMPERE_HOURS.sub(
        lambda match: f"{int(match[1] or 1) * float(match[2]) * float(match[3]) / 1000.0:.5g} kWh",
        text,
    )
    text = _AMPERE_HOURS.sub(
        lambda match: (
            f"{int(match[1] or match[4] or 1) * float(match[2]) * float(match[3]) / 1e3:.5g} kWh"
        ),
        text,
    )
    # Thousands are watts, not kilowatts.
    text = re.sub(r"(?<![\w.,])(\d{4,5})(?=\s*(?:surge|peak|starting|[,;]|$))", r"\1 W", text)
    return _SHORT_KILO.sub(r"\1 kW", text)


def as_generator(text: str) -> str:
    """`3500/4000 peak` as what it gives for as long as one likes, the lesser."""
    pair = re.match(
        r"^(?:a )?(?:portable )?(\d{3,5})\s*w?(?:atts?)?\s*/\s*(\d{3,5})\b", text, re.IGNORECASE
    )
    if pair is not None:
        return f"{min(int(pair[1]), int(pair[2]))} W"
    text = re.sub(
        r"^(.*?)\s*(?:running|continuous|rated),?\s*\d.*$", r"\1", text, flags=re.IGNORECASE
    )
    text = re.sub(r"\s*(?:inverter )?generator$", "", text, flags=re.IGNORECASE)
    text = _SHORT_KILO.sub(r"\1 kW", text)
    plain = re.sub(r"^(?:a )?(?:portable|standby)\s+", "", text, flags=re.IGNORECASE)
    # Hundreds and thousands are watts, not kilowatts.
    return re.sub(r"^(\d{3,5})$", r"\1 W", plain)


def as_grid(text: str) -> str:
    """`200 amp service`, `240 V` as a yes: who knows its size has it."""
    service = r"^\d{2,3}\s*(?:a|amps?|v|volts?)\b(?:\s*(?:service|panel|main|grid))*$"
    return "yes" if re.match(service, text, re.IGNORECASE) else text


def as_hand_pump(text: str) -> str:
    """`2 in cylinder at 120 ft`, `120 ft of drop pipe`: a depth, called by its name."""
    long = r"(\d+(?:\.\d+)?\s*(?:'|ft|feet|foot|m|metres?|meters?)(?!\w))"
    text = re.sub(
        rf"\b(?:at|down to|hangs at|set at)\s+{long}", r", depth \1", text, flags=re.IGNORECASE
    )
    return re.sub(
        rf"{long}\s*(?:of )?(?:deep|down|drop(?: pipe)?|of pipe)\b",
        r", depth \1",
        text,
        flags=re.IGNORECASE,
    ).strip(" ,")


def as_place(text: str) -> str:
    """`41.2 N, 900 ft`, `41° 12' N` as a signed latitude, with what stands behind it; `20 below`
    as a temperature."""
    if re.match(r"[ns]\s*\d", text, re.IGNORECASE):
        text = re.sub(r"\b([nsew])\s*(\d[\d.]*°?)", r"\2 \1", text, flags=re.IGNORECASE)
    text = re.sub(
        r"(\d{1,3})\s*°\s*(\d{1,2})\s*'\s*(\d{1,2}(?:\.\d+)?)\s*\"",
        lambda at: f"{at[1]}° {float(at[2]) + float(at[3]) / 60.0:.4f}'",
        text,
    )
    text = re.sub(r"(?<=,)\s*zero\b", " 0", text, flags=re.IGNORECASE)
    text = re.sub(r"^(\d{1,2})[ :](\d{1,2})(?=\s*[ns]\b)", r"\1° \2'", text, flags=re.IGNORECASE)
    text = re.sub(r"(?<=\d)\s+-(?=\d)", ", -", _BELOW_ZERO.sub(r"-\1 \2", text))
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
