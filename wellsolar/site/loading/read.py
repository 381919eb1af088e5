"""Reads a site file: text, TOML, defaults, model; every mistake is reported at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from wellsolar.errors import Problem, SiteFileError
from wellsolar.site import shape
from wellsolar.site.checks.across import mistakes
from wellsolar.site.defaults import Default, fill
from wellsolar.site.loading.messages import translate
from wellsolar.site.loading.overrides import Changed, changed
from wellsolar.site.loading.syntax import read_toml
from wellsolar.site.locate import Path, key_text, line_of, lines_of
from wellsolar.site.schema import Site, Table
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

SET = "command line"
"""The source of a value that was set on the command line."""

_LARGEST_FILE = 1_000_000
_NEEDED = "it needs at least the table [well] with depth and static_level"


@dataclass(frozen=True)
class SiteFile:
    """A site file that could be used.

    path: where it was read
    site: the model in SI
    assumptions: every default used, and every value set on the command line
    """

    path: str
    site: Site
    assumptions: tuple[Assumption, ...]


def load_site(path: str | FilePath, settings: Sequence[str] = ()) -> SiteFile:
    """Read a site file.

    Parameters:
        path: the file
        settings: of the command line, each such as `well.static_level=110 ft`
    Returns:
        the site and the assumptions made for it
    Raises:
        SiteFileError: the file can't be read or has mistakes; it lists all of them
    """
    name = str(path)
    return parse_site(_text(FilePath(path), name), name, settings)


def parse_site(text: str, name: str = "site", settings: Sequence[str] = ()) -> SiteFile:
    """Read a site from text; as `load_site`.

    Parameters:
        text: the contents of a site file
        name: what to call it in messages
        settings: of the command line
    Returns:
        the site and the assumptions made for it
    Raises:
        SiteFileError: with every mistake
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    read = read_toml(text)
    problems = [
        Problem(_printable(each.path), each.line, _printable(each.message))
        for each in read.problems
    ]
    if read.tables is None:
        raise _error(name, problems)
    if not read.tables and not problems:
        raise _whole(name, f"is empty: {_NEEDED}")
    lines = lines_of(text)
    raw = changed(read.tables, settings)
    problems += raw.problems
    filled, used = fill(raw.tables)
    site: Site | None = None
    try:
        site = Site.model_validate(filled)
    except ValidationError as error:
        found = translate(error.errors(include_url=False), read.unread)
        problems += [_problem(path, message, lines, raw) for path, message in found]
    problems += [_problem(p, m, lines, raw) for p, m in mistakes(shape.readable_part(filled))]
    if problems or site is None:
        raise _error(name, problems)
    made = [_assumption(site, *each) for each in used]
    # Of a key that was set twice the last value holds, in place of what the file had.
    was: dict[Path, Any] = {}
    for each in raw.changes:
        was.setdefault(each.path, each.before)
    told = (_set(site, path, before) for path, before in was.items())
    return SiteFile(name, site, (*told, *made))


def _text(path: FilePath, name: str) -> str:
    try:
        with path.open("rb") as file:
            content = file.read(_LARGEST_FILE + 1)
    except FileNotFoundError:
        raise _whole(
            name, "no such file; `wellsolar starter PATH` writes one to begin from"
        ) from None
    except IsADirectoryError:
        raise _whole(name, "is a folder: name the site file in it") from None
    except OSError as error:
        raise _whole(name, f"can't be read ({error.strerror})") from None
    except ValueError:
        raise _whole(name, "is no name that a file can have") from None
    if len(content) > _LARGEST_FILE:
        raise _whole(name, "is larger than 1 MB: a site file is a text of some kilobytes")
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _whole(name, "is not UTF-8 text but UTF-16: save the site file as UTF-8")
    if b"\0" in content:
        raise _whole(name, "is no text file: a site file is a text in TOML")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        message = "is not UTF-8 text: save the site file as UTF-8"
        raise SiteFileError(name, [Problem("", line, message)]) from None


def _whole(name: str, message: str) -> SiteFileError:
    return SiteFileError(name, [Problem("", None, message)])


def _error(name: str, problems: Iterable[Problem]) -> SiteFileError:
    """All mistakes in the order of the file."""
    return SiteFileError(name, sorted(problems, key=lambda each: each.line or 0))


def _problem(path: Path, message: str, lines: dict[Path, int], raw: Changed) -> Problem:
    place = raw.place_of(path, lines)
    if place is not None:
        return Problem(place, None, _printable(message))
    return Problem(_printable(key_text(path)), line_of(lines, path), _printable(message))


def _printable(text: str) -> str:
    """A text without line ends and without marks that steer a terminal."""
    return "".join(each if each.isprintable() else " " for each in text)


def _assumption(site: Site, path: Path, default: Default) -> Assumption:
    return Assumption(key_text(path), _value_at(site, path), default.why, default.source)


def _value_at(site: Site, path: Path) -> Quantity | str:
    value: Any = site
    for part in path:
        value = value[part] if isinstance(part, int) else getattr(value, part)
    return value if isinstance(value, (Quantity, str)) else _plain(value)


def _plain(value: object) -> str:
    """A switch, a count, a list or a table as a person would write it."""
    if isinstance(value, tuple):
        return getattr(value[0], "written", None) or ", ".join(map(str, value)) if value else ""
    return "a table" if isinstance(value, Table) else str(value).lower()


def _set(site: Site, path: Path, before: object) -> Assumption:
    """A value of the command line, with what stood in its place in the file."""
    instead = ""
    if isinstance(before, (str, int, float)):
        words = str(before).lower() if isinstance(before, bool) else before
        instead = f", in place of {words} in the file"
    why = f"set on the command line{instead}"
    return Assumption(key_text(path), _value_at(site, path), why, "command line")


__all__ = ["SiteFile", "key_text", "load_site", "parse_site"]
