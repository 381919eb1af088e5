"""Puts a value into the text of a site file, or takes one out, and leaves all else as it stands.

A new key or table goes in as a line of its own at the place where its like stand; a value that is
there already, or that belongs into braces, is changed by tomlkit, which keeps remarks and order.
Whatever was done is read again and held to what was meant.
"""

from __future__ import annotations

import json
import re
import tomllib
from copy import deepcopy
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from wellsolar.errors import WellsolarError
from wellsolar.site.locate import Path, Statement, key_text, set_at, statements, value_at
from wellsolar.site.schema import Site
from wellsolar.site.shape import head_of

Word = str | int | bool
"""What a word of an answer means."""

Value = Word | list[str]
"""What a key of a site file holds: a quantity as text, a word, a count, a switch, words."""

IN_BRACES = ("cable", "drop_pipe", "duty", "lateral", "rising_main")
"""Tables that are written in one line, inside the table they belong to."""

_CLOSING = re.compile(r"(?<=[^\s{])\}(?=\s*(?:#.*)?$)")
_STALE = re.compile(r"\s*# (?:offered|invented): [^\"]*$")


class NotEditable(WellsolarError):  # noqa: N818 - reads as what happened
    """A file is laid out in a way in which a value can't be put into it."""

    exit_code = 2


def put(text: str, path: Path, value: Value, remark: str = "") -> str:
    """The text of a site file with one value put in or changed, a remark behind its line where
    that is new; NotEditable where the layout of the text allows no such change."""
    tables = tomllib.loads(text)
    wanted = deepcopy(tables)
    try:
        set_at(wanted, path, value)
    except (TypeError, AttributeError) as error:
        raise _refused(path) from error
    try:
        return _checked(_put(text, tables, path, value, remark), wanted, path)
    except NotEditable:
        # Such as keys with dots; tomlkit finds a place for most, if not the handsomest.
        return _checked(_replaced(text, path, value), wanted, path)


def drop(text: str, path: Path) -> str:
    """The text without the key or table at a path; NotEditable where its layout allows no such
    change."""
    wanted = tomllib.loads(text)
    if value_at(wanted, path) is None:
        return text
    del value_at(wanted, path[:-1])[path[-1]]
    try:
        document: Any = tomlkit.parse(text)
        place = document
        for part in path[:-1]:
            place = place[part]
        del place[path[-1]]
        shorter = tomlkit.dumps(document)
        left = tomllib.loads(shorter)
    except (TOMLKitError, tomllib.TOMLDecodeError, KeyError, IndexError, TypeError) as error:
        raise _refused(path) from error
    for end in range(len(path) - 1, 0, -1):
        # A table without a head of its own goes with the last of what stood below it.
        if value_at(wanted, path[:end]) == {} and value_at(left, path[:end]) is None:
            del value_at(wanted, path[: end - 1])[path[end - 1]]
    return _checked(shorter, wanted, path)


def toml_value(value: Value) -> str:
    """A value as TOML writes it."""
    return json.dumps(value, ensure_ascii=False)


def _put(text: str, tables: dict[str, Any], path: Path, value: Value, remark: str) -> str:
    known = [statement for statement in statements(text) if statement.kind != "other"]
    above = path[:-1]
    in_braces = any(
        statement.kind == "key" and above[: len(statement.path)] == statement.path
        for statement in known
    )
    if value_at(tables, path) is not None or in_braces:
        return _replaced(text, path, value)
    line = f"{path[-1]} = {toml_value(value)}"
    if value_at(tables, above) is None and above[-1] in IN_BRACES:
        line, above = f"{above[-1]} = {{ {line} }}", above[:-1]
        if any(
            statement.kind == "key" and above[: len(statement.path)] == statement.path
            for statement in known
        ):
            raise _refused(path)
    line = f"{line}  # {remark}" if remark else line
    if any(statement.kind == "head" and statement.path == above for statement in known):
        return _in_table(text, known, above, line)
    if value_at(tables, above) is not None:
        begin = next(
            statement.line for statement in known if statement.path[: len(above)] == above
        )
        return _inserted(text, begin - 1, [head_of(above), line, ""])
    return _new_block(text, known, above, [line])


def _in_table(text: str, known: list[Statement], table: Path, line: str) -> str:
    """A line behind the last key of a table that has a head of its own."""
    begin = next(
        statement for statement in known if statement.kind == "head" and statement.path == table
    )
    after = begin.last
    for statement in known:
        if statement.line > begin.line:
            if statement.kind == "head":
                break
            after = statement.last
    return _inserted(text, after, [line])


def _new_block(text: str, known: list[Statement], table: Path, lines: list[str]) -> str:
    """A new table behind those that come before it in the order of a site file."""
    rank = {name: number for number, name in enumerate(Site.model_fields)}
    mine = rank.get(str(table[0]), len(rank))
    before = [
        statement.last
        for statement in known
        if statement.path and rank.get(str(statement.path[0]), mine) <= mine
    ]
    rows = text.split("\n")
    if before:
        after = max(before)
        while after < len(rows) and rows[after].lstrip().startswith("#"):
            after += 1
        return _inserted(text, after, ["", head_of(table), *lines])
    block = [head_of(table), *lines, ""]
    first = next((statement.line for statement in known), None)
    if first is None:
        return text.rstrip("\n") + "\n" * bool(text.strip()) * 2 + "\n".join(block[:-1]) + "\n"
    begin = first - 1
    while begin > 0 and rows[begin - 1].lstrip().startswith("#"):
        begin -= 1
    if begin == 0 and first > 1:
        return text.rstrip("\n") + "\n\n" + "\n".join(block[:-1]) + "\n"
    return _inserted(text, begin, block)


def _inserted(text: str, after: int, lines: list[str]) -> str:
    rows = text.split("\n")
    rows[after:after] = lines
    joined = "\n".join(rows)
    return joined if joined.endswith("\n") else joined + "\n"


def _replaced(text: str, path: Path, value: Value) -> str:
    try:
        document: Any = tomlkit.parse(text)
        place = document
        for part in path[:-1]:
            place = place[part]
        place[path[-1]] = value
        return _tidied(text, tomlkit.dumps(document))
    except (TOMLKitError, KeyError, IndexError, TypeError) as error:
        raise _refused(path) from error


def _tidied(before: str, after: str) -> str:
    """The lines that were changed with a blank before a closing brace, and without a remark on
    the value that stood there before."""
    old = set(before.split("\n"))
    return "\n".join(
        line if line in old else _STALE.sub("", _CLOSING.sub(" }", line))
        for line in after.split("\n")
    )


def _checked(edited: str, wanted: dict[str, Any], path: Path) -> str:
    try:
        right = tomllib.loads(edited) == wanted
    except tomllib.TOMLDecodeError as error:
        raise _refused(path) from error
    if not right:
        raise _refused(path)
    return edited


def _refused(path: Path) -> NotEditable:
    return NotEditable(
        f"{key_text(path)} can't be put into the file as that is laid out: write it there by hand"
    )
