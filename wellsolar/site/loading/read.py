"""Reads a site file: text, TOML, defaults, model; every mistake is reported at once."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from wellsolar import kinds
from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.errors import MOST_TOLD, Problem, SiteFileError
from wellsolar.site import edit, shape
from wellsolar.site.checks.across import mistakes
from wellsolar.site.defaults import ALWAYS, Default, fill
from wellsolar.site.duty import with_stand_ins
from wellsolar.site.inputs import open_input
from wellsolar.site.loading.level_file import COLUMNS, picture_mistakes, with_levels
from wellsolar.site.loading.messages import translate
from wellsolar.site.loading.overrides import (
    Change,
    Changed,
    Setting,
    as_toml,
    changed,
    python_settings,
    typed_settings,
)
from wellsolar.site.loading.syntax import DEEPEST, RawFile, is_deeper, read_toml, too_deep
from wellsolar.site.locate import Path, key_text, line_of, lines_of, value_at
from wellsolar.site.schema import TABLES, Site
from wellsolar.site.table import Table
from wellsolar.units import Quantity, UnreadableQuantity, read, read_list
from wellsolar.verdicts import Assumption

WEIGHT = 1000.0 * STANDARD_GRAVITY
"""Of water [N/m3], near enough for a curve that no study works with."""


def _with_jet_curves(filled: dict[str, Any]) -> list[tuple[Path, str]]:
    """Give each pump of raw tables that has the table of a jet a curve by its first block."""
    wrong: list[tuple[Path, str]] = []
    pumps = filled.get("pump")
    for number, table in enumerate(pumps if isinstance(pumps, list) else []):
        blocks = table.get("jet_table") if isinstance(table, dict) else None
        if not isinstance(blocks, list) or not blocks or not isinstance(blocks[0], dict):
            continue
        own = [key for key in ("flow", "head") if key in table]
        if own and "duty" not in table:
            said = "a jet with its table by lift and pressure has no head curve: leave it out"
            wrong.append((("pump", number, own[0]), said))
            continue
        try:
            lift = read(blocks[0]["lift"], kinds.LENGTH)
            pressures = read_list(blocks[0]["pressure"], kinds.PRESSURE)
            flows = read_list(blocks[0]["flow"], kinds.FLOW)
        except (KeyError, TypeError, AttributeError, UnreadableQuantity):
            continue  # which the model tells
        # In order whatever was written: what is wrong with the table is told of the table.
        count = min(len(flows), len(pressures))
        rising = sorted(flow * 60_000.0 for flow in flows[:count])
        falling = sorted(
            (lift + pressure / WEIGHT for pressure in pressures[:count]), reverse=True
        )
        table["flow"] = ", ".join(f"{flow:.9g}" for flow in rising) + " L/min"
        table["head"] = ", ".join(f"{head:.9g}" for head in falling) + " m"
    return wrong


_LARGEST_FILE = 1_000_000
_PAGE = re.compile(r"\s*<!doctype html>", re.IGNORECASE)
_SITE_FILE = re.compile(
    r'<script type="application/json" id="site-file">(.*?)</script>', re.DOTALL
)
_NEEDED = "it needs at least the table [well] with depth and static_level"


@dataclass(frozen=True)
class SiteFile:
    """A site file that could be used, or a site from Python.

    path: where it was read
    site: the model in SI
    assumptions: every default used, and every value set in place of the file's
    tables, lines, settings: what it was made of: the file as TOML gives it, the line of each key,
        and what was set in place of its values
    """

    path: str
    site: Site
    assumptions: tuple[Assumption, ...]
    tables: dict[str, Any] = field(default_factory=dict, repr=False, compare=False)
    lines: dict[Path, int] = field(default_factory=dict, repr=False, compare=False)
    settings: tuple[Setting, ...] = field(default=(), repr=False, compare=False)

    @property
    def inputs(self) -> list[tuple[str, FilePath]]:
        """What the studies of the site read: what each file is, and its path."""
        folder, site = FilePath(self.path).parent, self.site
        job = site.job
        tests = [well.drawdown_test for well in (site.well, *site.other_well)]
        named = [
            ("the weather file", site.sun.file),
            *(("the file of levels", None if test is None else test.file) for test in tests),
            *([] if job is None else [("the logo", job.logo)]),
            *(("a photograph", photograph.file) for photograph in (job.photograph if job else ())),
        ]
        paths = [(what, folder / name) for what, name in named if name is not None]
        return [("the site file", FilePath(self.path)), *paths]

    def with_values(self, values: Mapping[str, object]) -> SiteFile:
        """The site with other values, as `--with` has it; the file stays as it is.

        Parameters:
            values: key -> value, such as `{"well.static_level": "110 ft", "pump[2].phases": 3}`
        Returns:
            the changed site; its assumptions tell what was set, in place of what
        Raises:
            SiteFileError: with every mistake in the values
        """
        deep = [Problem(key, None, too_deep().message)
                for key, value in values.items() if is_deeper(value, DEEPEST)]  # fmt: skip
        if deep:
            raise _error(self.path, deep)
        settings = (*self.settings, *python_settings(values))
        return _site_file(self.path, RawFile(self.tables, (), frozenset()), self.lines, settings)


@dataclass(frozen=True)
class Examined:
    """Raw tables held to the model and to the rules between keys.

    site: the model; None where a key is missing or wrong
    defaults: the key path and the default of each value that was filled in
    errors: pydantic's; between: key path and message of each mistake that shows between keys
    """

    site: Site | None
    defaults: list[tuple[Path, Default]]
    errors: list[ErrorDetails]
    between: list[tuple[Path, str]]


def load_site(path: str | FilePath, settings: Sequence[str] = ()) -> SiteFile:
    """Read a site file.

    Parameters:
        path: the file
        settings: values in place of the file's, each as `--with` takes it, such as
            `well.static_level=110 ft`
    Returns:
        the site and the assumptions made for it
    Raises:
        SiteFileError: the file can't be read or has mistakes; it lists all of them
    """
    name = str(path)
    return parse_site(_text(FilePath(path), name), name, settings)


@dataclass(frozen=True)
class PartOfSite:
    """A site file of which some tables may lack keys that its model cannot do without.

    text: as it was read, with the values that were set in place of its own
    file: the site without those tables; its `tables` hold the values that were set in their place
    waiting: name of a table -> those that were put aside, as the file has them
    """

    text: str
    file: SiteFile
    waiting: dict[str, list[dict[str, Any]]]

    def says(self, path: Path) -> bool:
        """Whether the file itself has a key or table, which no default filled in.

        Returns:
            True too of a table that was put aside
        """
        return value_at(self.file.tables, path) is not None


def load_part(path: str | FilePath, settings: Sequence[str] = ()) -> PartOfSite:
    """Read a site file as far as it goes: a heater without elements, a pump without its curve.

    Parameters:
        path: the file
        settings: values in place of the file's, as of `load_site`
    Returns:
        the site of the tables that are whole, and the others
    Raises:
        SiteFileError: as `load_site`, but for keys that are missing
    """
    name = str(path)
    return parse_part(_text(FilePath(path), name), name, settings)


def parse_part(text: str, name: str = "site", settings: Sequence[str] = ()) -> PartOfSite:
    """Read a site from text as far as it goes; as `load_part`.

    Parameters:
        name: what to call it in messages
    Raises:
        SiteFileError: as `load_part`
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    raw = read_toml(text)
    lines = {} if raw.tables is None else lines_of(text)
    if raw.tables is None or raw.problems or not raw.tables:
        return PartOfSite(text, _site_file(name, raw, lines, typed_settings(settings)), {})
    wanted = changed(raw.tables, typed_settings(settings))
    whole, waiting = _whole_tables(wanted.tables)
    file = _site_file(name, RawFile(whole, (), frozenset()), lines, ())
    if wanted.problems:
        raise _error(name, wanted.problems)
    for change in wanted.changes:
        text = edit.put(text, change.path, value_at(wanted.tables, change.path))
    return PartOfSite(text, replace(file, tables=wanted.tables), waiting)


def _whole_tables(
    tables: dict[str, Any],
) -> tuple[dict[str, Any], dict[str, list[dict[str, Any]]]]:
    """The tables that lack no key, and those of which a site has none or several that do."""
    waiting: dict[str, list[dict[str, Any]]] = {}
    for error in examine(tables).errors:
        name, *rest = error["loc"]
        optional = not Site.model_fields[str(name)].is_required() if name in TABLES else False
        if error["type"] != "missing" or not optional or name in ALWAYS:
            continue
        held = tables[str(name)]
        aside = held[int(rest[0])] if isinstance(held, list) else held
        if aside not in waiting.setdefault(str(name), []):
            waiting[str(name)].append(aside)
    whole = {
        name: [entry for entry in held if entry not in waiting.get(name, ())]
        if isinstance(held, list)
        else held
        for name, held in tables.items()
        if isinstance(held, list) or name not in waiting
    }
    return whole, waiting


def parse_site(text: str, name: str = "site", settings: Sequence[str] = ()) -> SiteFile:
    """Read a site from text; as `load_site`.

    Parameters:
        text: the contents of a site file
        name: what to call it in messages
        settings: values in place of the text's
    Returns:
        the site and the assumptions made for it
    Raises:
        SiteFileError: with every mistake
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    raw = read_toml(text)
    # A text that can't be read has no keys to find again; one of very many parts takes a minute.
    lines = {} if raw.tables is None else lines_of(text)
    return _site_file(name, raw, lines, typed_settings(settings))


def site_from(tables: Mapping[str, Any], name: str = "site") -> SiteFile:
    """A site from Python, with the checks, defaults and messages of a file.

    Parameters:
        tables: the tables of a site file by their names, arrays of tables as lists, such as
            `{"well": {"depth": "180 ft", "static_level": "85 ft"}}`; a quantity is a text with
            its unit, or a `Quantity`
        name: what to call it in messages
    Returns:
        the site and the assumptions made for it
    Raises:
        SiteFileError: with every mistake
    """
    if is_deeper(tables, DEEPEST):
        raise _error(name, [too_deep()])
    return _site_file(name, RawFile(as_toml(tables), (), frozenset()), {}, ())


def examine(tables: dict[str, Any]) -> Examined:
    """Fill in the defaults of raw tables and hold them to every rule."""
    filled, used = fill(tables)
    stand_ins, wrong = with_stand_ins(filled)
    used += stand_ins
    wrong += _with_jet_curves(filled)
    site: Site | None = None
    errors: list[ErrorDetails] = []
    try:
        site = Site.model_validate(filled)
    except ValidationError as error:
        errors = error.errors(include_url=False)
    return Examined(site, used, errors, [*wrong, *mistakes(shape.readable_part(filled))])


def _site_file(
    name: str, raw: RawFile, lines: dict[Path, int], settings: Sequence[Setting]
) -> SiteFile:
    """The site of raw tables, or all that is wrong with them."""
    problems = [
        Problem(_printable(problem.path), problem.line, _printable(problem.message))
        for problem in raw.problems
    ]
    if raw.tables is None:
        raise _error(name, problems)
    if not raw.tables and not problems:
        raise _whole(name, f"is empty: {_NEEDED}")
    wanted = changed(raw.tables, settings)
    problems += wanted.problems
    flood = shape.too_many(wanted.tables)
    if flood is not None:
        raise _error(name, [*problems, _problem(*flood, lines, wanted)])
    tables, in_levels = with_levels(wanted.tables, name)
    examined = examine(tables)
    unread = raw.unread | {(*at[:-1], key) for at, _ in in_levels for key in COLUMNS}
    errors = examined.errors
    if len(errors) > MOST_TOLD:  # of which the first of the file are told
        errors = sorted(errors, key=lambda error: line_of(lines, tuple(error["loc"])) or 0)
    mistaken = [*in_levels, *translate(errors, unread), *examined.between]
    mistaken += picture_mistakes(wanted.tables, name)
    problems += [_problem(path, message, lines, wanted) for path, message in mistaken]
    if problems or examined.site is None:
        raise _error(name, problems)
    site = examined.site
    # Of a key that was set twice the last value holds, in place of what the file had.
    first: dict[Path, Change] = {}
    for change in wanted.changes:
        first.setdefault(change.path, change)
    assumptions = [_set(site, change) for change in first.values()]
    assumptions += [_assumption(site, *default) for default in examined.defaults]
    return SiteFile(name, site, tuple(assumptions), raw.tables, lines, tuple(settings))


def _text(path: FilePath, name: str) -> str:
    try:
        with open_input(path) as file:
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
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        message = "is not UTF-8 text: save the site file as UTF-8"
        raise SiteFileError(name, [Problem("", line, message)]) from None
    return _held_by_page(text, name) if _PAGE.match(text) else text


def _held_by_page(text: str, name: str) -> str:
    """The site file that a page for the site holds, as `wellsolar page` wrote it there."""
    found = _SITE_FILE.search(text)
    try:
        held = json.loads(found[1]) if found else None
    except ValueError:  # changed by hand
        held = None
    if not isinstance(held, str):
        message = "is a page that holds no site file: name one in TOML, or what `page` wrote"
        raise _whole(name, message)
    return held


def _whole(name: str, message: str) -> SiteFileError:
    return SiteFileError(name, [Problem("", None, message)])


def _error(name: str, problems: Iterable[Problem]) -> SiteFileError:
    """All mistakes in the order of the file."""
    return SiteFileError(name, sorted(problems, key=lambda problem: problem.line or 0))


def _problem(path: Path, message: str, lines: dict[Path, int], raw: Changed) -> Problem:
    place = raw.place_of(path, lines)
    if place is not None:
        return Problem(place, None, _printable(message))
    return Problem(_printable(key_text(path)), line_of(lines, path), _printable(message))


def _printable(text: str) -> str:
    """A text without line ends and without marks that steer a terminal."""
    if text.isprintable():
        return text
    return "".join(letter if letter.isprintable() else " " for letter in text)


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


def _set(site: Site, change: Change) -> Assumption:
    """A value that was set, with what stood in its place in the file."""
    instead, before, typed = "", change.before, change.setting.typed
    if isinstance(before, (str, int, float)):
        words = str(before).lower() if isinstance(before, bool) else before
        instead = f", in place of {words} in the file"
    why = f"set {'on the command line' if typed else 'in Python'}{instead}"
    key, value = key_text(change.path), _value_at(site, change.path)
    return Assumption(key, value, why, "command line" if typed else "Python")
