"""Reads a site file: text, TOML, defaults, model; every mistake is reported at once."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any, get_args

from pydantic import ValidationError

from wellsolar.errors import Problem, SiteFileError
from wellsolar.site import shape
from wellsolar.site.checks import mistakes
from wellsolar.site.defaults import Default, defaults, fill
from wellsolar.site.locate import Path, line_of, lines_of
from wellsolar.site.schema import Site, choice_message
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

_LARGEST_FILE = 1_000_000
_UNQUOTED = re.compile(
    r"^(\s*[A-Za-z0-9_.-]+\s*=\s*)([+-]?\.?\d[^\"'#\[\]{}\n]*?[A-Za-z%°][^\"'#\[\]{}\n]*?)(\s*(?:#.*)?)$"
)
_TOML_NUMBER = re.compile(
    r"^[+-]?(\d[\d_]*(\.\d+)?([eE][+-]?\d+)?|0x[0-9a-fA-F]+|\d{4}-\d\d-\d\d.*)$"
)
_TOML_PLACE = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)")


@dataclass(frozen=True)
class SiteFile:
    """A site file that could be used.

    path: where it was read
    site: the model in SI
    assumptions: every default used
    """

    path: str
    site: Site
    assumptions: tuple[Assumption, ...]


def load_site(path: str | FilePath) -> SiteFile:
    """Read a site file.

    Parameters:
        path: the file
    Returns:
        the site and the assumptions made for it
    Raises:
        SiteFileError: the file can't be read or has mistakes; it lists all of them
    """
    name = str(path)
    return parse_site(_text(FilePath(path), name), name)


def parse_site(text: str, name: str = "site") -> SiteFile:
    """Read a site from text; as `load_site`.

    Parameters:
        text: the contents of a site file
        name: what to call it in messages
    Returns:
        the site and the assumptions made for it
    Raises:
        SiteFileError: with every mistake
    """
    raw, problems = _toml(text, name)
    lines = lines_of(text)
    filled, used = fill(raw)
    site: Site | None = None
    try:
        site = Site.model_validate(filled)
    except ValidationError as error:
        found = [_translate(dict(item), raw) for item in error.errors(include_url=False)]
        problems += [_problem(path, message, lines) for path, message in _apart(found)]
    problems += [_problem(p, m, lines) for p, m in mistakes(shape.readable_part(filled))]
    if problems or site is None:
        raise SiteFileError(name, sorted(problems, key=lambda each: (each.line or 0, each.path)))
    return SiteFile(name, site, tuple(_assumption(site, *each) for each in used))


def key_text(path: Path) -> str:
    """A key path as a person writes it; arrays of tables are counted from 1.

    Parameters:
        path: keys and positions
    Returns:
        such as `pump[2].head`
    """
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}"
    return text.removeprefix(".")


def _text(path: FilePath, name: str) -> str:
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        raise _whole(
            name, "no such file; `wellsolar starter PATH` writes one to begin from"
        ) from None
    except IsADirectoryError:
        raise _whole(name, "is a folder: name the site file in it") from None
    except OSError as error:
        raise _whole(name, f"can't be read ({error.strerror})") from None
    if len(content) > _LARGEST_FILE or b"\0" in content:
        raise _whole(name, "is no site file: expected a text file in TOML of less than 1 MB")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        message = "is not UTF-8 text: save the site file as UTF-8"
        raise SiteFileError(name, [Problem("", line, message)]) from None


def _whole(name: str, message: str, line: int | None = None) -> SiteFileError:
    return SiteFileError(name, [Problem("", line, message)])


def _toml(text: str, name: str) -> tuple[dict[str, Any], list[Problem]]:
    """The raw tables; values that only lack their quotes are noted and read as if quoted."""
    problems: list[Problem] = []
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        mended, problems = _quote(text)
        if not problems:
            raise _syntax(name, text, error) from None
        try:
            raw = tomllib.loads(mended)
        except tomllib.TOMLDecodeError as second:
            problems += _syntax(name, mended, second).problems
            raise SiteFileError(name, sorted(problems, key=lambda each: each.line or 0)) from None
    if not raw:
        raise _whole(
            name, "is empty: it needs at least the table [well] with depth and static_level"
        )
    return raw, problems


def _quote(text: str) -> tuple[str, list[Problem]]:
    """The text with every bare quantity put in quotes, and a mistake for each."""
    mended, problems = [], []
    for number, line in enumerate(text.splitlines(), 1):
        match = _UNQUOTED.match(line)
        if match and not _TOML_NUMBER.match(match.group(2).strip()):
            value = match.group(2).strip()
            key = match.group(1).split("=")[0].strip()
            message = f'a quantity takes quotes: write {key} = "{value}"'
            problems.append(Problem(key, number, message))
            line = f'{match.group(1)}"{value}"{match.group(3)}'  # noqa: PLW2901
        mended.append(line)
    return "\n".join(mended), problems


def _syntax(name: str, text: str, error: tomllib.TOMLDecodeError) -> SiteFileError:
    place = _TOML_PLACE.search(str(error))
    line = int(place.group(1)) if place and place.group(1) else text.count("\n") + 1
    what = _TOML_PLACE.sub("", str(error)).rstrip(".")
    what = what[:1].lower() + what[1:]
    lines = text.splitlines()
    shown = lines[line - 1].strip()[:60] if 0 < line <= len(lines) else ""
    if "overwrite" in what or "twice" in what or "declare" in what:
        hint = "this key or table stands in the file twice; for another pump write [[pump]]"
    else:
        hint = "not TOML; texts and quantities take quotes, tables stand in [brackets]"
    near = f' near "{shown}"' if shown else ""
    return _whole(name, f"{hint}{near} ({what})", line)


def _apart(found: list[tuple[Path, str]]) -> Iterator[tuple[Path, str]]:
    """Each key path once, with its first message."""
    seen: set[Path] = set()
    for path, message in found:
        if path not in seen:
            seen.add(path)
            yield path, message


def _problem(path: Path, message: str, lines: dict[Path, int]) -> Problem:
    return Problem(key_text(path), line_of(lines, path), message)


def _translate(error: dict[str, Any], raw: dict[str, Any]) -> tuple[Path, str]:
    """One of pydantic's errors as a key path and a sentence for the file's author."""
    kind, value = str(error["type"]), error.get("input")
    path = tuple(part for part in error["loc"] if not _is_branch(part))
    if kind in ("quantity", "choice"):
        return path, str(error["ctx"]["text"])
    if kind == "missing":
        return path, _missing(path)
    if kind == "extra_forbidden":
        return path, _unknown_key(path)
    if kind == "literal_error":
        field = shape.field_at(path)
        options = _options(field.annotation) if field else ()
        return path, choice_message(value, "choice here", options)
    return path, _wrong_type(kind, path, value, error)


def _is_branch(part: object) -> bool:
    """Pydantic names the branches of a union in its paths; the file knows none of them."""
    return isinstance(part, str) and ("[" in part or part in ("Table", "none"))


def _missing(path: Path) -> str:
    field = shape.field_at(path)
    if field is None:
        return "is missing"
    if shape.table_of(field) is not None:
        inside = shape.table_of(field)
        needed = [
            key
            for key, each in (inside.model_fields if inside else {}).items()
            if each.is_required()
        ]
        head = f"[[{key_text(path)}]]" if shape.is_array(field) else f"[{key_text(path)}]"
        wanted = [key for key in needed if (*path, key) not in _defaulted()]
        return f"the table {head} is missing: it needs {', '.join(wanted)}"
    reader = shape.reader_of(field)
    if reader is not None:
        if reader.many:
            unit = next(unit for unit in reader.kind.written if unit)
            return f'is missing: expected a list such as "0, 3, 6, 9 {unit}"'
        example = f'"{reader.kind.example}"'
        return f"is missing: expected a {reader.kind.name}, e.g. {path[-1]} = {example}"
    options = _options(field.annotation)
    if options:
        return f"is missing: expected one of {', '.join(repr(each) for each in options)}"
    return "is missing"


def _defaulted() -> set[Path]:
    return {tuple(default.path.replace("[]", "").split(".")) for default in defaults()}


def _unknown_key(path: Path) -> str:
    key = str(path[-1])
    table = shape.table_at(path[:-1])
    known = list(table.model_fields) if table else []
    near = difflib.get_close_matches(key, known, n=1, cutoff=0.6)
    if near:
        return f'is no key here, did you mean "{near[0]}"?'
    homes = shape.tables_with(key)
    if homes:
        return f"is no key here: it belongs in {' or '.join(homes)}"
    return f"is no key here: expected one of {', '.join(known)}"


def _wrong_type(kind: str, path: Path, value: object, error: dict[str, Any]) -> str:
    field = shape.field_at(path)
    inside = shape.table_of(field) if field else None
    if inside is not None and field is not None:
        key = key_text(tuple(part for part in path if isinstance(part, str)))
        head = f"[[{key}]]" if shape.is_array(field) else f"[{key}]"
        if shape.is_array(field) and kind in ("tuple_type", "too_short"):
            return f"takes double brackets: write {head}; a site may have several"
        return f"is a table: write {head} on a line of its own with its keys below"
    if "int" in kind or kind in ("greater_than_equal", "less_than_equal"):
        return f"{value!r}: expected a whole number{_bounds(field)}"
    if kind.startswith("bool"):
        return f"{value!r}: expected true or false, without quotes"
    if kind in ("string_type", "string_too_short"):
        return f"{value!r}: expected a text in quotes"
    return f"{value!r}: {error['msg']}"


def _bounds(field: Any) -> str:
    limits = {type(mark).__name__: mark for part in (field,) if part for mark in _marks(part)}
    least, most = limits.get("Ge"), limits.get("Le")
    return f" from {least.ge} to {most.le}" if least and most else ""


def _marks(field: Any) -> list[Any]:
    found = list(field.metadata)
    for part in get_args(field.annotation):
        found.extend(getattr(part, "__metadata__", ()))
    flat = []
    for mark in found:
        flat.extend(getattr(mark, "metadata", [mark]))
    return flat


def _options(annotation: Any) -> tuple[str, ...]:
    """The words a Literal allows, also inside `| None`."""
    options: list[str] = []
    for part in get_args(annotation):
        options.extend([str(part)] if isinstance(part, (str, int)) else _options(part))
    return tuple(options)


def _assumption(site: Site, path: Path, default: Default) -> Assumption:
    value: Any = site
    for part in path:
        value = value[part] if isinstance(part, int) else getattr(value, part)
    shown = value if isinstance(value, (Quantity, str)) else str(value)
    return Assumption(key_text(path), shown, default.why, default.source)


__all__ = ["SiteFile", "key_text", "load_site", "parse_site"]
