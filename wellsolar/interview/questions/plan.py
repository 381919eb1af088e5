"""The questions that a site still raises, in the order in which the trade thinks."""

from __future__ import annotations

from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.question import Question
from wellsolar.interview.questions import (
    hand as of_hand,
)
from wellsolar.interview.questions import (
    heat as of_heat,
)
from wellsolar.interview.questions import (
    pumps as of_pumps,
)
from wellsolar.interview.questions import (
    sun as of_sun,
)
from wellsolar.interview.questions import (
    well as of_well,
)

_ORDER = (
    of_well.well,
    of_pumps.pumps,
    of_well.pressure,
    of_well.pipes,
    of_well.people,
    of_hand.hand_pump,
    of_pumps.fit,
    of_hand.power,
    of_sun.modules,
    of_heat.water_heater,
)


def plan(facts: Facts) -> list[Question]:
    """Every question that this site raises so far, answered or not.

    Parameters:
        facts: what is known
    Returns:
        questions in order; answers may bring others
    """
    return [question for group in _ORDER for question in group(facts)]


def is_whole(question: Question, facts: Facts) -> bool:
    """True where the file has every key that a question is about, but for the optional ones.

    Parameters:
        question: of `plan`
        facts: what is known
    Returns:
        whether Enter may keep what is there
    """
    if question.key == "pumps":
        return bool(facts.many("pump"))
    if any(facts.get(*path) is not None for path in question.needless):
        return True
    return bool(question.parts) and all(
        facts.get(*part.path) is not None for part in question.parts if not part.optional
    )


def is_answered(question: Question, facts: Facts, again: bool = False) -> bool:
    """True where a question need not be put.

    Parameters:
        question: of `plan`
        facts: what is known
        again: True where what was not known, or declined, is asked again
    Returns:
        whether its keys stand in the file, or something else was said of it
    """
    if is_whole(question, facts):
        return True
    return question.key in facts.settled and not again
