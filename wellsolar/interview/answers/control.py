"""Answers that steer the talk instead of settling a key."""

from __future__ import annotations

import re
from typing import Literal

from wellsolar.interview.answers.spellings import clean

Control = Literal["stop", "back", "help", "not known", "no", "yes", "nothing"]

_WORDS: dict[Control, set[str]] = {
    "stop": {"stop", "quit", "exit", "bye", "leave", "q"},
    "back": {"back", "go back", "b"},
    "help": {"help", "h", "?", "what", "why"},
    "not known": {
        "don't know", "dont know", "do not know", "i don't know", "i dont know", "don't know yet",
        "i do not know", "dunno", "unknown", "not known", "no idea", "not sure", "i'm not sure",
        "no sheet", "no clue", "can't say", "dk", "skip", "-", "n/a", "no log", "no test",
        "not tested", "never tested", "not measured",
    },
    "no": {"no", "none", "n", "nope", "not any", "nothing", "nil", "0"},
    "yes": {"yes", "y", "yes please", "sure"},
}  # fmt: skip
_NO_SUCH = re.compile(r"^(?:no|none|there is no|there's no|not any) [^\d]+$")


def control_in(answer: str, declines: bool) -> Control | None:
    """What an answer asks of the talk, "nothing" for an empty line; None where it is an answer
    to the question, as "no" is to one that `declines`."""
    text = clean(answer).lower()
    if not text:
        return "nothing"
    said = text.rstrip(".!") if len(text) > 1 else text
    said = said.rstrip("?") or "?"
    control = next((name for name, words in _WORDS.items() if said in words), None)
    if control is None and declines and _NO_SUCH.match(said):
        return "no"
    return None if control in ("no", "yes") and not declines else control
