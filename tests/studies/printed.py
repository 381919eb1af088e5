"""What verdicts tell, as tests on results made by hand compare it."""

from __future__ import annotations

import re

from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, Verdict


def printed_as(quantity: Quantity | None) -> str:
    """A quantity in US units, without naughts behind the point, and its kind."""
    assert quantity is not None
    return re.sub(r"\.0+(?=[ °%])", "", f"{quantity.text('US')}, {quantity.kind.name}")


def told(sentence: Sentence | None) -> dict[str, str]:
    """What stands in a sentence, printed, with its kind where it is a quantity."""
    assert sentence is not None
    return {
        name: part if isinstance(part, str) else printed_as(part)
        for name, part in sentence.parts.items()
    }


def compared(verdict: Verdict) -> tuple[str, str, str]:
    """How it stands, and what was compared."""
    return verdict.status, printed_as(verdict.quantity), printed_as(verdict.limit)
