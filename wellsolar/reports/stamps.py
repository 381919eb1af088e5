"""The stamp of an output: its kind and a digest, by which it is known again if nobody changed it.

It stands at the end of every file that is written, where no reader of heads and no spreadsheet
trips over it: in JSON as the last field, in a page as its last comment, in a CSV as a last line
that begins with #, as wide as the others. A spreadsheet shows that line as one cell of text, sums
pass over it, and the first line stays the one with the names of the columns.
"""

from __future__ import annotations

import hashlib
import re

LONGEST = 1_000
"""Characters at the end of a text in which its stamp lies."""

_STEERING = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
_BLANK = "-" * 64
_STAMP = re.compile(
    r"(?:\"kind\": \"|wellsolar: )([A-Za-z ]{1,40})(?:\", \"|; )sha256(?:\": \"| )([0-9a-f]{64})"
)


def stamped(text: str, kind: str) -> str:
    """A text with its stamp.

    Parameters:
        text: JSON of an object, a page of HTML, a site file, or a CSV
        kind: what it is, such as "check JSON"; its last word tells which of them
    Returns:
        the text with its kind and the SHA-256 of all of it but the digest's own 64 characters;
        what could steer a terminal it goes to, in a name or a path, is written so that it can't
    Raises:
        ValueError: the kind ends in no such word
    """
    form = kind.rpartition(" ")[2]
    as_json = form in ("JSON", "schema")
    text = _STEERING.sub(lambda found: f"\\u{ord(found[0]):04x}" if as_json else "?", text)
    if form == "JSON":
        field = f',\n  "output": {{"kind": "{kind}", "sha256": "{_BLANK}"}}\n}}\n'
        whole = text.rstrip().removesuffix("}").rstrip() + field
    elif form == "schema":
        field = f',\n  "$comment": "wellsolar: {kind}; sha256 {_BLANK}"\n}}\n'
        whole = text.rstrip().removesuffix("}").rstrip() + field
    elif form == "page":
        comment = f"<!-- wellsolar: {kind}; sha256 {_BLANK} -->\n</html>\n"
        whole = text.rstrip().removesuffix("</html>") + comment
    elif form == "design":
        whole = f"{text}\n# wellsolar: {kind}; sha256 {_BLANK}\n"
    elif form == "CSV":
        wide = text.split("\r\n", 1)[0].count(",")
        whole = f"{text}# wellsolar: {kind}; sha256 {_BLANK}{',' * wide}\r\n"
    else:
        raise ValueError(f"{kind!r} says not whether it is JSON, schema, page, design or CSV")
    place = whole.rindex(_BLANK)
    return whole[:place] + _digest(whole) + whole[place + len(_BLANK) :]


def kind_of(text: str) -> tuple[str, bool]:
    """What a text says it is: its kind, empty where it bears no stamp, and whether it is unchanged
    since."""
    begin = max(0, len(text) - LONGEST)
    stamps = list(_STAMP.finditer(text, begin))
    if not stamps:
        return "", False
    last = stamps[-1]
    blank = text[: last.start(2)] + _BLANK + text[last.end(2) :]
    return last.group(1), _digest(blank) == last.group(2)


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
