"""What the interview keeps in the file as remarks: answers that wait, and what was left open."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass

from wellsolar.site.edit import Value, toml_value
from wellsolar.site.locate import Path, key_text, path_of

_MARK = "# ---- kept by `wellsolar ask`"
_HEAD = f"{_MARK}, which goes on from here; delete a line to be asked it again"
_ASKED = re.compile(r"^# asked: (.+?) = (not known|no|yes|[0-9]+)$")
_WAITS = re.compile(r"^# waits: ([a-z0-9_.\[\]]+) = (.+)$")


@dataclass(frozen=True)
class Notes:
    """The remarks of a file, and the file without them.

    text: the rest of the file
    settled: key of a question -> "not known", "no", "yes" where no more is known, or a number
    waiting: answers of tables that are not whole yet; remarks: to stand behind some of them
    there: True where the file has such remarks
    """

    text: str
    settled: dict[str, str]
    waiting: dict[Path, Value]
    remarks: dict[Path, str]
    there: bool


def taken_out(text: str) -> Notes:
    """Read the remarks of a file and take them out of it; a line that is no such remark stays
    where it is."""
    settled: dict[str, str] = {}
    waiting: dict[Path, Value] = {}
    remarks: dict[Path, str] = {}
    kept: list[str] = []
    there = False
    for line in text.split("\n"):
        asked, waits = _ASKED.match(line), _WAITS.match(line)
        if asked is not None:
            settled[asked.group(1)] = asked.group(2)
        elif waits is not None and (read := _value(waits.group(2))) is not None:
            path = path_of(waits.group(1))
            waiting[path], remark = read
            if remark:
                remarks[path] = remark
        elif not line.startswith(_MARK):
            kept.append(line)
            continue
        there = True
    rest = "\n".join(kept)
    rest = rest.rstrip("\n") + "\n" if there else rest
    return Notes(rest, settled, waiting, remarks, there)


def put_back(
    text: str,
    settled: Mapping[str, str],
    waiting: Mapping[Path, Value],
    remarks: Mapping[Path, str],
) -> str:
    """A file with its remarks at the end."""
    if not settled and not waiting:
        return text
    lines = [_HEAD]
    lines += [f"# asked: {key} = {said}" for key, said in settled.items()]
    if waiting:
        lines.append(f"{_MARK}: answers that wait for others of their table")
    for path, said in waiting.items():
        remark = f"  # {remarks[path]}" if path in remarks else ""
        lines.append(f"# waits: {key_text(path)} = {toml_value(said)}{remark}")
    body = text.rstrip("\n")
    return "\n".join([*([body, ""] if body else []), *lines]) + "\n"


def _value(text: str) -> tuple[Value, str] | None:
    """A value and the remark behind it; None where there is none."""
    try:
        value, end = json.JSONDecoder().raw_decode(text)
    except (ValueError, RecursionError):
        return None
    behind = text[end:].strip().removeprefix("#").strip()
    words = isinstance(value, list) and all(isinstance(item, str) for item in value)
    return (value, behind) if words or isinstance(value, (str, int, bool)) else None
