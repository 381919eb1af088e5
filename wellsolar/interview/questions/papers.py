"""The question about who the work is for, for the cover of its papers."""

from __future__ import annotations

import re

from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.question import Part, Question, Reading, Unclear
from wellsolar.site.edit import Value
from wellsolar.site.locate import Path
from wellsolar.units import System
from wellsolar.wording import quoted

_DAY = re.compile(r"\b\d{4}-\d{1,2}-\d{1,2}\b")
_PHONE = re.compile(r"(?:\b(?:phone|tel\.?|call)\s*)?(\+?\d[\d ()/-]{5,}\d)", re.IGNORECASE)
_BY = re.compile(r"(?:^|[,;]|\s)\s*by\s+([^,;]+)", re.IGNORECASE)
_FOR = re.compile(r"^\s*(?:for\s+)?([^,;]+)", re.IGNORECASE)


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
    for path, look in ((day, _DAY), (phone, _PHONE), (by, _BY)):
        match = look.search(answer)
        if match is not None:
            values[path] = (match.group(1) if look.groups else match.group()).strip()
            answer = f"{answer[: match.start()]},{answer[match.end() :]}"
    rest = _FOR.match(answer.strip(" ,;"))
    if rest is not None and rest.group(1).strip():
        values[owner] = rest.group(1).strip()
    if not values:
        raise Unclear(f"{quoted(answer)} names nobody: expected such as {question.like}")
    return Reading(values)
