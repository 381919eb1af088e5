"""The question about who the work is for, for the cover of its papers."""

from __future__ import annotations

import re
from datetime import date

from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.question import Part, Question, Reading, Unclear
from wellsolar.site.edit import Value
from wellsolar.site.locate import Path
from wellsolar.units import System
from wellsolar.wording import quoted

_MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
_MONTH = rf"({'|'.join(_MONTHS)})[a-z]*\.?"
_DAY = re.compile(
    r"\b(\d{4})-(\d{1,2})-(\d{1,2})\b"
    rf"|\b(\d{{1,2}})(?:st|nd|rd|th)?(?: of)? {_MONTH},? (\d{{4}})\b"
    rf"|\b{_MONTH} (\d{{1,2}})(?:st|nd|rd|th)?,? (\d{{4}})\b"
    r"|\b(\d{1,2})[/.](\d{1,2})[/.](\d{4})\b",
    re.IGNORECASE,
)
_ON = re.compile(r"\bon\s*(?=,|$)", re.IGNORECASE)
_PHONE = re.compile(r"(?:\b(?:phone|tel\.?|call)\s*)?(\+?\d[\d ()/-]{5,}\d)", re.IGNORECASE)
_BY = re.compile(r"(?:^|[,;]|\s)\s*by\s+([^,;]+)", re.IGNORECASE)

_LEAD = (
    r"(?:in|by|on|at|before|after|during|around|about|until|sometime|the|this|next|coming|early"
    r"|late|mid|middle of|end of|beginning of|start of|first|second|last|week of|dry|rainy|wet)"
)
_SEASON = (
    r"(?:spring|summer|autumn|fall|winter|years?|months?|weeks?|weekend|season|thaw|frosts?|harvest"
    r"|rains?|monsoon|holidays|easter|christmas|snow(?:melt)?|q[1-4]|quarter"
    r"|(?:mon|tues|wednes|thurs|fri|satur|sun)day"
    r"|jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?"
    r"|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_TIME = (
    rf"(?:(?:{_LEAD}[ -]+)*{_SEASON}(?:,? (?:of )?(?:next year|\d{{4}}))?|(?:{_LEAD} )*\d{{4}}"
    r"|(?:in )?(?:an?|\d+|two|three|a few|some) (?:days?|weeks?|months?|years?)(?: from now)?"
    r"|(?:today|tomorrow|soon|asap|later|not yet|(?:as soon as|when|once|whenever) .+))"
)
_WHEN = re.compile(rf"{_TIME}$", re.IGNORECASE)
_BEFORE_WHEN = re.compile(
    rf"\s+(?=(?:in|at|before|after|during|next|this|early|late|sometime)\b)(?={_TIME}\s*(?:[,;]|$))",
    re.IGNORECASE,
)
_AS_DAY = "write the day as 2027-05-04 when it is known; before a name say for"
"""`_WHEN` is a time that is no day of the calendar, and no name."""


def papers(facts: Facts) -> list[Question]:
    """Who owns the house, who does the work, and on which day."""
    place = ("job",)
    return [
        Question(
            "job",
            "For the papers: whose house is it, who does the work, and on which day? Say no to "
            "leave it out.",
            "for the owner, by the installer, 2027-05-04",
            helps="It stands on the cover of the report and on the card. A telephone number may "
            "stand with it: whom to call when something is wrong.",
            parts=(
                Part((*place, "made_for"), "for", optional=True),
                Part((*place, "made_by"), "by", optional=True),
                Part((*place, "date"), "on", optional=True),
                Part((*place, "phone"), "telephone", optional=True),
            ),
            declines=True,
            reads=_read_papers,
        )
    ]


def _read_papers(answer: str, question: Question, system: System) -> Reading:
    """The day and the telephone by their look, who does the work behind `by`, the owner first."""
    owner, by, day, phone = (part.path for part in question.parts)
    values: dict[Path, Value | None] = {}
    notes: tuple[str, ...] = ()
    answer = re.sub(r"\b(?:owner|for)\s*:\s*", "for ", answer, flags=re.IGNORECASE)
    answer = re.sub(r"\b(?:installer|by)\s*:\s*", "by ", answer, flags=re.IGNORECASE)
    date_match = _DAY.search(answer)
    if date_match is not None:
        when = _date(date_match, system)
        values[day] = when.isoformat()
        if date_match.group(10):
            notes = (f"taken as {when.day} {_MONTHS[when.month - 1].capitalize()} {when.year}",)
        answer = _ON.sub("", f"{answer[: date_match.start()]},{answer[date_match.end() :]}")
    pieces = [piece.strip() for piece in re.split(r"[,;]", _BEFORE_WHEN.sub(", ", answer))]
    times = [piece for piece in pieces if _WHEN.match(piece)]
    answer = ", ".join(piece for piece in pieces if piece not in ("", *times))
    for path, look in ((phone, _PHONE), (by, _BY)):
        match = look.search(answer)
        if match is not None:
            values[path] = (match.group(1) if look.groups else match.group()).strip()
            answer = f"{answer[: match.start()]},{answer[match.end() :]}"
    rest, *more = [piece.strip() for piece in re.split(r"[,;]", answer) if piece.strip()] or [""]
    if rest:
        values[owner] = re.sub(r"^for\s+", "", rest, flags=re.IGNORECASE)
    left_out = [
        *(f"{quoted(time)} is no day: {_AS_DAY}" for time in times),
        *(f"{quoted(piece)} is more than was asked" for piece in more),
    ]
    if not values:
        named = f"{quoted(answer)} names nobody: expected such as {question.like}"
        raise Unclear(left_out[0] if times else named)
    return Reading(values, notes, left_out=tuple(left_out))


def _date(date_match: re.Match[str], system: System) -> date:
    """A day as told; of two numbers below thirteen the first is the month in the US."""
    year, month, day, day_2, month_2, year_2, month_3, day_3, year_3, first, second, year_4 = (
        date_match.groups()
    )
    if first:
        month, day = (first, second) if system == "US" else (second, first)
        if int(month) > len(_MONTHS):
            month, day = day, month
    named = month_2 or month_3
    number = _MONTHS.index(named.lower()) + 1 if named else int(month)
    try:
        return date(int(year or year_2 or year_3 or year_4), number, int(day or day_2 or day_3))
    except ValueError as error:
        raise Unclear(
            f"{quoted(date_match.group())} is no day: {error}; write it as 2027-05-04"
        ) from None
