"""The questions that a site still raises, in the order in which the trade thinks."""

from __future__ import annotations

from dataclasses import replace

from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.question import Question
from wellsolar.interview.questions import guards, hand, heat, papers, pumps, sun, well

_ORDER = (
    ("The well", well.well),
    ("The powered pumps", pumps.pumps),
    ("Pressure", well.pressure),
    ("From the well to the house", well.pipes),
    ("The people", well.people),
    ("The hand pump", hand.hand_pump),
    ("Room in the casing", pumps.fit),
    ("Power when the grid is down", hand.power),
    ("The modules", sun.modules),
    ("The water heater", heat.water_heater),
    ("What keeps people from harm", guards.guards),
    ("The papers", papers.papers),
)
"""Headings, each with the questions below it."""


def plan(facts: Facts) -> list[Question]:
    """Every question that this site raises so far, answered or not, in order; answers may bring
    others."""
    return [
        replace(question, group=heading) for heading, group in _ORDER for question in group(facts)
    ]
