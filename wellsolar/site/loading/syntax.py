"""From the text of a site file to raw tables, past as many slips of the pen as can be passed.

tomllib stops at the first mistake. Here the usual ones (quotes left out, a bracket forgotten) are
noted and repaired, and any other line that is no TOML is noted and put aside, so that one run
names every mistake of a file.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from typing import Any

from wellsolar.errors import MOST_TOLD, Problem
from wellsolar.site import shape
from wellsolar.site.locate import Path, Statement, key_text, lines_of, statements
from wellsolar.wording import quoted

_MOST_READ = 3_000_000
"""Characters that are read over and over, past one mistake after the other."""

DEEPEST = 20
"""Levels of tables and lists in each other that are followed."""

_LONGEST_LINE = 300

_KEY = r"^([ \t]*[A-Za-z0-9_.-]+[ \t]*=[ \t]*)"
_END = r"([ \t]*(?:#.*)?)$"
_BARE = re.compile(_KEY + r"""([^"'#\[\]{}\s](?:[^"'#\[\]{}]*[^"'#\[\]{}\s])?)""" + _END)
# Quotation marks as word processors set them.
_CURLED = "\u2018\u2019\u201a\u201c\u201d\u201e\xab\xbb"
_FANCY = re.compile(f"{_KEY}[{_CURLED}]([^{_CURLED}\"']*)[{_CURLED}]{_END}")
_COMMA = re.compile(_KEY + r'"([^"\\]*)"[ \t]*,' + _END)
_OPEN = re.compile(_KEY + r'"([^"\\#]*[^"\\#\s])' + _END)
_COLON = re.compile(r"^([ \t]*)([A-Za-z0-9_-]+)[ \t]*:[ \t]*(\S.*)$")
_HEAD = re.compile(r"^[ \t]*\[[ \t]*([A-Za-z0-9_.-]+)[ \t]*(?:#.*)?$")
_INLINE = re.compile(r"([A-Za-z0-9_-]+)([ \t]*=[ \t]*)([+-]?\.?\d[^,{}\[\]=]*?)(?=[ \t]*[,}])")
_TEXTS = re.compile(r"""("(?:\\.|[^"\\])*"|'[^']*'|#.*$)""")
# What TOML reads without quotes: numbers, dates, true and false.
_TOML_VALUE = re.compile(
    r"^(?:[+-]?(?:\d[\d_]*(?:\.[\d_]+)?(?:[eE][+-]?\d+)?|inf|nan)|0[xob][0-9a-fA-F_]+"
    r"|\d{4}-\d\d-\d\d.*|\d\d:\d\d.*|true|false)$"
)
_SWITCHES = {"yes": "true", "on": "true", "true": "true",
             "no": "false", "off": "false", "false": "false"}  # fmt: skip
# tomllib takes minutes over a key of very many parts.
_LONG_KEY = re.compile(r"(?:\.[ \t]*[A-Za-z0-9_-]+[ \t]*){50}")
_LONG_NUMBER = re.compile(r"[\d_]{1000}")
_PLACE = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)")
# What tomllib says, and what is said in its place.
_SAYS = (
    ("overwrite|declare .* twice|mutate|redefine|Duplicate", "stands in the file twice"),
    ("Expected '='|Invalid statement|key part",
     "is not TOML: a line is a key with = and its value, a [table] head or a # remark"),
    ("Expected newline",
     "is not TOML: something stands after the value; a text or quantity takes quotes as a whole"),
    ("Illegal character '\\\\n'|Unterminated|Expected [\"']|invalid character '\\\\n'",
     "is not TOML: a text is not closed, its second quote is missing"),
    ("Illegal|invalid character", "is not TOML: it holds a character that no text file may hold"),
    ("Unescaped|Escaped|hex", "is not TOML: a backslash in double quotes has a meaning of its "
     "own; put the text in single quotes"),
    ("declaration", "is not TOML: a table head takes brackets on both sides, as [well]"),
    ("Unclosed array", "is not TOML: a list in brackets is not closed"),
    ("Unclosed inline", "is not TOML: in braces a comma stands between keys and } at the end"),
    ("date", "is not TOML: there is no such date"),
    ("Invalid value", "is not TOML: texts and quantities take quotes"),
)  # fmt: skip


@dataclass(frozen=True)
class RawFile:
    """What could be read of a text as TOML.

    tables: as TOML gives them; None where the text can't be read to its end
    problems: the mistakes passed on the way
    unread: key paths that stand in the text but whose value was put aside
    """

    tables: dict[str, Any] | None
    problems: tuple[Problem, ...]
    unread: frozenset[Path]


def read_toml(text: str) -> RawFile:
    """Read a text, its lines ended by line feeds, as TOML, repairing or putting aside what is
    none."""
    if _LONG_KEY.search(text):
        return RawFile(None, (too_deep(),), frozenset())
    lines = text.split("\n")
    try:
        return _checked(tomllib.loads(text), ())
    except (ValueError, RecursionError):
        problems = _repair(lines, text)
    starts = {statement.line: statement for statement in statements("\n".join(lines))}
    unread: set[Path] = set()
    doubled: list[str] = []
    for _ in range(max(2, min(MOST_TOLD, _MOST_READ // len(text)))):
        try:
            tables = tomllib.loads("\n".join(lines))
        except RecursionError:
            return RawFile(None, (*problems, too_deep()), frozenset())
        except tomllib.TOMLDecodeError as error:
            problem, number = _syntax(lines, error)
            problems.append(problem)
            if not _put_aside(lines, starts.get(number), problem, unread, doubled):
                break
        except ValueError:
            # Python refuses to read a whole number of thousands of digits, and names no line.
            number = next(i for i, line in enumerate(lines, 1) if _LONG_NUMBER.search(line))
            key = key_text(starts[number].path) if number in starts else ""
            problem = Problem(key, number, "a whole number of thousands of digits can't be meant")
            problems.append(problem)
            if not _put_aside(lines, starts.get(number), problem, unread, doubled):
                break
        else:
            for name in doubled:
                tables.pop(name, None)
            return _checked(tables, problems, unread)
    else:
        line = problems[-1].line
        problems.append(Problem("", line, "was not read further: mend what is told first"))
    return RawFile(None, tuple(problems), frozenset(unread))


def _checked(
    tables: dict[str, Any], problems: tuple[Problem, ...] | list[Problem], unread: Any = ()
) -> RawFile:
    """The tables, unless they are nested so deep that no program should follow."""
    if is_deeper(tables, DEEPEST):
        return RawFile(None, (*problems, too_deep()), frozenset(unread))
    return RawFile(tables, tuple(problems), frozenset(unread))


def is_deeper(value: object, levels: int) -> bool:
    """True where tables and lists are nested in each other more than so many levels."""
    level: list[Any] = [value] if isinstance(value, (dict, list)) else []
    for _ in range(levels):
        level = [
            inner
            for outer in level
            for inner in (outer.values() if isinstance(outer, dict) else outer)
            if isinstance(inner, (dict, list))
        ]
    return bool(level)


def too_deep() -> Problem:
    """What is said of tables or lists that are nested too deep to be followed."""
    return Problem("", None, f"nests tables or lists more than {DEEPEST} deep")


def _repair(lines: list[str], text: str) -> list[Problem]:
    """Repair the usual slips in place, and give a mistake for each."""
    problems = []
    for statement in list(statements(text)):
        line = lines[statement.line - 1]
        if len(line) > _LONGEST_LINE:
            continue
        repaired = line
        for repair in (_repair_colon, _repair_head, _repair_quotes, _repair_bare, _repair_inline):
            repaired, said = repair(repaired, statement)
            problems += [
                Problem(key_text(path), statement.line, message) for path, message in said
            ]
        lines[statement.line - 1] = repaired
    return problems


Repaired = tuple[str, list[tuple[Path, str]]]


def _repair_colon(line: str, statement: Statement) -> Repaired:
    match = _COLON.match(line)
    if match is None or statement.kind != "other":
        return line, []
    repaired = f"{match.group(1)}{match.group(2)} = {match.group(3)}"
    return repaired, [
        (statement.path, f"a key takes = before its value: write {repaired.strip()}")
    ]


def _repair_head(line: str, statement: Statement) -> Repaired:
    match = _HEAD.match(line)
    if match is None:
        return line, []
    repaired = f"[{match.group(1)}]"
    return repaired, [
        (statement.path, f"a table head takes brackets on both sides: write {repaired}")
    ]


def _repair_quotes(line: str, statement: Statement) -> Repaired:
    for pattern, says in _QUOTES:
        match = pattern.match(line)
        if match:
            repaired = f'{match.group(1)}"{match.group(2)}"'
            return repaired + match.group(3), [
                (statement.path, f"{says}: write {repaired.strip()}")
            ]
    return line, []


_QUOTES = (
    (_FANCY, "takes plain quotes"),
    (_COMMA, "takes no comma after its value"),
    (_OPEN, "lacks its second quote"),
)


def _repair_bare(line: str, statement: Statement) -> Repaired:
    match = _BARE.match(line)
    if match is None or _TOML_VALUE.match(match.group(2)):
        return line, []
    begin, value, end = match.groups()
    if "=" in value or "\\" in value:
        return line, []
    switch = _SWITCHES.get(value.lower())
    if switch is not None:
        said = f"{value} is not TOML: write {begin.strip()} {switch}"
        return f"{begin}{switch}{end}", [(statement.path, said)]
    what = "quantity" if re.match(r"[+-]?\.?\d", value) else "text"
    said = f'a {what} takes quotes: write {begin.strip()} "{value}"'
    return f'{begin}"{value}"{end}', [(statement.path, said)]


def _repair_inline(line: str, statement: Statement) -> Repaired:
    """Quantities without quotes between the braces of an inline table."""
    said: list[tuple[Path, str]] = []

    def repair(match: re.Match[str]) -> str:
        key, equals, value = match.groups()
        if _TOML_VALUE.match(value):
            return match.group()
        said.append(((*statement.path, key), f'a quantity takes quotes: write {key} = "{value}"'))
        return f'{key}{equals}"{value}"'

    if "{" not in line or "}" not in line:
        return line, []
    pieces = _TEXTS.split(line)
    pieces[::2] = [_INLINE.sub(repair, piece) for piece in pieces[::2]]
    return "".join(pieces), said


def _put_aside(
    lines: list[str],
    statement: Statement | None,
    problem: Problem,
    unread: set[Path],
    doubled: list[str],
) -> bool:
    """Take a statement out of the text; False where what follows would then be misread."""
    if statement is None or statement.last > statement.line:
        return False
    if statement.kind == "head":
        if "twice" not in problem.message:
            return False
        doubled.append(f"second head in line {statement.line}")
        lines[statement.line - 1] = f'["{doubled[-1]}"]'
        return True
    lines[statement.line - 1] = ""
    unread.add(statement.path)
    return True


def _syntax(lines: list[str], error: tomllib.TOMLDecodeError) -> tuple[Problem, int]:
    """One of tomllib's errors in plain words, and the line it is on."""
    text = "\n".join(lines)
    place = _PLACE.search(str(error))
    number = int(place.group(1)) if place and place.group(1) else len(lines)
    what = _PLACE.sub("", str(error))
    number = _opening(text, what) or number
    says = next((says for pattern, says in _SAYS if re.search(pattern, what)), None)
    says = says or f"is not TOML: {what[:1].lower()}{what[1:]}"
    statement = next(
        (
            statement
            for statement in statements(text)
            if statement.line <= number <= statement.last
        ),
        None,
    )
    if "twice" in says and statement is not None:
        return _twice(text, statement), statement.line
    if re.search(r"=\s*(#.*)?$", lines[number - 1]):
        says = "has no value"
    if statement is not None and statement.kind == "key":
        return Problem(key_text(statement.path), statement.line, says), statement.line
    shown = quoted(lines[number - 1].strip()) if 0 < number <= len(lines) else "the end"
    return Problem("", number, f"{shown} {says}"), number


def _opening(text: str, what: str) -> int | None:
    """The line where an unclosed text began; tomllib names the end of the file instead."""
    match = re.match(r"""Expected ["']('+|"+)["']""", what)
    mark = match.group(1) if match else '"""'
    if match is None and not (what == "Unterminated string" and text.count(mark) % 2):
        return None
    return text.count("\n", 0, text.rfind(mark)) + 1


def _twice(text: str, statement: Statement) -> Problem:
    """Which key or table stands in the text twice, and where it stood first."""
    first = lines_of(text).get(statement.path)
    where = f", first in line {first}" if first is not None and first < statement.line else ""
    path = (
        statement.path[:-1]
        if statement.path and isinstance(statement.path[-1], int)
        else statement.path
    )
    field = shape.field_at(path)
    if statement.kind == "head" and field is not None and shape.is_array(field):
        name = ".".join(str(part) for part in path if isinstance(part, str))
        where += f": write [[{name}]] at each, as a site may have several"
    return Problem(key_text(path), statement.line, f"stands in the file twice{where}")
