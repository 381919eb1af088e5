"""A design as a site file: the user's own text with what was chosen put into it."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass

from wellsolar.site import edit
from wellsolar.site.locate import value_at
from wellsolar.studies.asked.changed_site import path_of
from wellsolar.verdicts import Change

_HEAD = """
# ---------------------------------------------------------------- set by the sizing
# Each key that `wellsolar size` set, what binds it, and the rule that judges it. Whoever changes
# such a key takes its block out.
"""


_STAMP = re.compile(r"\n*# wellsolar: size design; sha256 [0-9a-f]+\s*$")


@dataclass(frozen=True)
class Set:
    """A key that the sizing set.

    change: of the file; reason: what binds it; rule: key of the rule that holds it, or empty
    """

    change: Change
    reason: str
    rule: str = ""


def design_text(text: str, chosen: Iterable[Set]) -> str:
    """The text of a site file with what was chosen.

    Parameters:
        text: of the file as the user wrote it, whose lines and remarks stay
        chosen: the keys that were set, of one key the last
    Returns:
        the text of the design, with a block for each key at its end
    Raises:
        NotEditable: a value can't be put into the file as that is laid out
    """
    last = {element_set.change.path: element_set for element_set in chosen}
    earlier = [
        block for block in tomllib.loads(text).get("sized", ())
        if block["key"] not in last and value_at(tomllib.loads(text), path_of(block["key"]))
    ]  # fmt: skip
    text = _without_blocks(text)
    for element_set in last.values():
        value = tomllib.loads(f"x = {element_set.change.value}")["x"]
        text = edit.put(text, path_of(element_set.change.path), value)
    entries = [
        *((block["key"], block.get("reason", ""), block.get("rule", "")) for block in earlier),
        *(
            (element_set.change.path, element_set.reason, element_set.rule)
            for element_set in last.values()
        ),
    ]
    blocks = ["\n".join(_block(*row)) for row in entries]
    if not blocks:
        return text
    return text.rstrip("\n") + "\n" + _HEAD + "\n" + "\n\n".join(blocks) + "\n"


def _block(key: str, reason: str, rule: str) -> list[str]:
    """The lines of what the sizing tells of a key that it set."""
    lines = ["[[sized]]", f"key = {json.dumps(key)}"]
    lines.append(f"reason = {json.dumps(reason, ensure_ascii=False)}")
    return [*lines, f"rule = {json.dumps(rule)}"] if rule else lines


def _without_blocks(text: str) -> str:
    """The text without what an earlier sizing wrote at its end."""
    text = _STAMP.sub("", text)
    if value_at(tomllib.loads(text), ("sized",)) is None:
        return text
    return edit.drop(text, ("sized",)).replace(_HEAD.strip("\n") + "\n", "")
