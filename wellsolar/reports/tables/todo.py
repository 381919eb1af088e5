"""The list of what must be done in words, for every writer."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.reports.plain import as_sentence
from wellsolar.results import Results
from wellsolar.results.whole import ToDo
from wellsolar.units import System
from wellsolar.verdicts import Trade

TITLE = "What to do"

BY: dict[Trade, str] = {
    "owner": "owner",
    "plumber": "licensed plumber",
    "electrician": "licensed electrician",
    "driller": "well driller",
}
"""Whose work it is, in words; what may be read by the owner is read with every cover on."""


@dataclass(frozen=True)
class Line:
    """One line in words.

    number: its place on the list, from 1; mark: the worst state among its verdicts
    safety: True where someone could be hurt
    what: what to buy, set, do or read, with all its ways; why, by, clears: as in `ToDo`
    cost: as it is printed; empty without a price
    """

    number: int
    mark: str
    safety: bool
    what: str
    why: str
    by: str
    clears: str
    cost: str


def todo_lines(results: Results) -> tuple[Line, ...]:
    """The list of a site in words."""
    return tuple(_line(number, to_do, results) for number, to_do in enumerate(results.todo, 1))


def _line(number: int, todo: ToDo, results: Results) -> Line:
    return Line(
        number,
        todo.status,
        todo.safety,
        _what_of(todo, results.system),
        as_sentence(todo.why.text(results.system), todo.subject),
        BY[todo.by],
        _clears_of(todo),
        "" if todo.cost is None else f"{todo.cost:,.2f}",
    )


def _what_of(todo: ToDo, system: System) -> str:
    """What to do, led by what it is done to."""
    does = todo.does.text(system)
    return does if todo.act == "read" else f"{todo.subject}: {does}"


def _clears_of(todo: ToDo) -> str:
    """The verdicts that a line clears, by subject and rule."""
    by_subject: dict[str, list[str]] = {}
    for verdict in todo.clears:
        by_subject.setdefault(verdict.subject, []).append(verdict.rule.key)
    return "; ".join(f"{subject}: {', '.join(keys)}" for subject, keys in by_subject.items())
