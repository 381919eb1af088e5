"""What is left when things fail, in a sentence."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.results import Answer, OutageResult
from wellsolar.units import Quantity
from wellsolar.verdicts import say


def outage_answers(found: OutageResult | None) -> tuple[Answer, ...]:
    """The site's weak links, or that there is none.

    Parameters:
        found: result of the study
    Returns:
        one answer; none where it was not asked or nobody knows how much is needed
    """
    if found is None or found.survival is None or not found.links:
        return ()
    weak = found.weak
    worst = min(found.links, key=lambda each: each.outage.volume)
    told = "survival water when any one thing fails; least without the {name}"
    if found.whole.short:
        told = "less than survival water even with all in order"
    elif weak:
        told = "less than survival water without the {names}; least without the {name}"
    left = found.whole.volume if found.whole.short else worst.outage.volume
    text = say(
        f"{told}: {{left}}",
        names=", ".join(each.component for each in weak),
        name=worst.component,
        left=Quantity(left / DAY, kinds.DAILY_FLOW),
    )
    return (Answer("one thing fails", text),)
