"""The site file as it grows: what stands in it, what waits, and how it gets to the disk."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path as FilePath
from typing import Any

from wellsolar.errors import OutputError, SiteFileError
from wellsolar.interview import notes
from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.check import lacking, problems, unit_of
from wellsolar.reports.files import check_place, write_whole
from wellsolar.site import edit
from wellsolar.site.edit import Value
from wellsolar.site.loading.read import SiteFile, load_site, parse_site
from wellsolar.site.locate import Path, set_at, value_at
from wellsolar.site.shape import field_at
from wellsolar.units import System

_BEGIN = """\
# A site file of wellsolar, begun by `wellsolar ask`. It is yours to edit: a line that begins
# with # is a remark, and `wellsolar starter PATH` writes one that shows every key there is.

"""


@dataclass(frozen=True)
class Draft:
    """A site file on its way.

    path: the file
    text: what it holds but for the interview's remarks
    settled, waiting: those remarks, as of `notes.taken_out`
    remarks: to stand behind new lines
    disk: the bytes that were read or written last; None where there was no file
    line_end: of the file on disk
    """

    path: str
    text: str
    settled: dict[str, str] = field(default_factory=dict)
    waiting: dict[Path, Value] = field(default_factory=dict)
    remarks: Mapping[Path, str] = field(default_factory=dict)
    disk: bytes | None = None
    line_end: str = "\n"

    def tables(self) -> dict[str, Any]:
        """Everything answered, as TOML would give it."""
        tables = tomllib.loads(self.text)
        for path, value in self.waiting.items():
            set_at(tables, path, value)
        return tables

    def facts(self) -> Facts:
        """What is known, as the questions ask for it."""
        tables = self.tables()
        site = tables.get("site")
        system: System = (
            "SI" if isinstance(site, dict) and site.get("print_units") == "SI" else "US"
        )
        return Facts(tables, self.settled, system)

    def site_file(self) -> SiteFile | None:
        """The site so far as the commands would read it; None where it can't be used yet."""
        try:
            return parse_site(self.text, self.path)
        except SiteFileError:
            return None

    def to_size(self) -> list[str]:
        """What of pump, tank and modules nobody could tell and no answer declined, so that a
        sizing would choose it; nothing before there is a site to size."""
        if self.site_file() is None:
            return []
        facts, tables = self.facts(), tomllib.loads(self.text)
        waiting = {str(path[0]) for path in self.waiting}
        no_pump = not tables.get("pump") or "pump" in waiting
        unsized = ["pump"] if no_pump and not facts.is_no("pumps") else []
        if "pressure_tank" not in tables and not facts.is_no("pumps"):
            unsized.append("pressure tank")
        if "hand_pump" not in tables and facts.settled.get("hand_pump") == "yes":
            unsized.append("hand pump")
        heater = "water_heater" in {*tables, *waiting}
        groups = tables.get("array", [])
        heats = any(group.get("feeds") == "heater" for group in groups)
        if "module" in tables and (not groups or (heater and not heats)):
            unsized.append("modules and their element" if heater else "modules")
        return unsized

    def with_values(
        self, values: Mapping[Path, Value | None], remarks: Mapping[Path, str] = {}
    ) -> Draft:
        """The draft with an answer in it, in the file itself where its table is whole."""
        draft = self.without(path for path, value in values.items() if value is None)
        given = {path: value for path, value in values.items() if value is not None}
        draft = replace(
            draft,
            waiting={**draft.waiting, **given},
            remarks={**draft.remarks, **remarks},
            settled=_renamed(draft, given),
        )
        return _promoted(draft)

    def without(self, paths: Iterable[Path]) -> Draft:
        """The draft without what stands at some key paths; of several tables the later first."""
        text, waiting = self.text, dict(self.waiting)
        for path in sorted(paths, key=str, reverse=True):
            text = edit.drop(text, path)
            waiting = {at: value for at, value in waiting.items() if at[: len(path)] != path}
        return replace(self, text=text, waiting=waiting)

    def settling(self, key: str, said: str | None) -> Draft:
        """The draft with a question settled aside, or with that taken back."""
        settled = {path: value for path, value in self.settled.items() if path != key}
        return replace(self, settled=settled if said is None else {**settled, key: said})

    def written(self) -> Draft:
        """Write the file, whole or not at all.

        Raises:
            OutputError: it can't be written, or somebody else changed it meanwhile
        """
        if _on_disk(self.path) != self.disk:
            raise OutputError(
                f"{self.path}: was changed by something else meanwhile; it was left as it is now, "
                "without the last answer: run the same command again"
            )
        text = notes.put_back(self.text, self.settled, self.waiting, self.remarks)
        write_whole(self.path, text.replace("\n", self.line_end))
        return replace(self, disk=text.replace("\n", self.line_end).encode("utf-8"))


def open_draft(path: str, system: System | None) -> Draft:
    """The draft of a file that is to be begun, for people of a system of units, or gone on
    with; SiteFileError where it has mistakes, OutputError where it could not be written."""
    if not os.path.lexists(path):
        check_place(path)
        name = " ".join(FilePath(path).stem.replace("_", " ").replace("-", " ").split())
        printable = "".join(letter for letter in name if letter.isprintable())
        waiting: dict[Path, Value] = {("site", "name"): printable or "unnamed site"}
        waiting[("site", "print_units")] = system or "US"
        return Draft(path, _BEGIN, {}, waiting)
    check_place(path)
    content = _on_disk(path)
    failure = _failure(path)
    try:
        text = (content or b"").decode("utf-8-sig")
    except UnicodeDecodeError:
        text = ""
    noted = notes.taken_out(text.replace("\r\n", "\n").replace("\r", "\n"))
    if failure is not None and not (noted.there and _only_remarks(noted.text)):
        raise failure
    end = "\r\n" if "\r\n" in text else "\n"
    draft = Draft(path, noted.text, noted.settled, {}, noted.remarks, content, end)
    return replace(draft, waiting=_usable(draft, noted.waiting))


def _failure(path: str) -> SiteFileError | None:
    try:
        load_site(path)
    except SiteFileError as error:
        return error
    return None


def _only_remarks(text: str) -> bool:
    return all(not line.strip() or line.lstrip().startswith("#") for line in text.split("\n"))


def _usable(draft: Draft, waiting: Mapping[Path, Value]) -> dict[Path, Value]:
    """Of the answers that wait those that are still answers, whatever was done to the remarks:
    all of them, or else those that fit what was kept before, whatever their order."""
    if _fit(draft, waiting, waiting):
        return dict(waiting)
    kept: dict[Path, Value] = {}
    more = True
    while more:
        more = False
        for path, value in waiting.items():
            if path not in kept and _fit(draft, {**kept, path: value}, [path]):
                kept[path], more = value, True
    return kept


def _fit(draft: Draft, waiting: Mapping[Path, Value], paths: Iterable[Path]) -> bool:
    """True where answers that wait make no mistake, with some of them at keys that there are."""
    tried = replace(draft, waiting=dict(waiting))
    try:
        there = all(field_at(path) is not None and _in_order(tried, path) for path in paths)
        return there and not problems(tried.tables())
    except (TypeError, AttributeError, KeyError, IndexError):
        return False


def _in_order(draft: Draft, path: Path) -> bool:
    """True where a table of several is no farther than the next after those that are there."""
    before = replace(
        draft, waiting={at: place for at, place in draft.waiting.items() if at != path}
    ).tables()
    for place, part in enumerate(path):
        if isinstance(part, int):
            there = len(value_at(before, path[:place]) or ())
            if part >= there:
                return part == there
    return True


def _renamed(draft: Draft, given: Mapping[Path, Value]) -> dict[str, str]:
    """What was settled, under the new name of a pump that gets one."""
    settled = dict(draft.settled)
    for path, name in given.items():
        if path[0] == "pump" and path[-1] == "name":
            before = draft.facts().get(*path)
            old, new = f"pump[{before}].", f"pump[{name}]."
            settled = {
                new + key.removeprefix(old) if key.startswith(old) else key: said
                for key, said in settled.items()
            }
    return settled


def _promoted(draft: Draft) -> Draft:
    """The draft with every answer in the file whose table is whole."""
    missing = lacking(draft.tables())
    if ("well",) in missing:
        return draft
    draft = _whole_pumps_first(draft, missing)
    missing = lacking(draft.tables())
    units = dict.fromkeys(unit_of(path) for path in draft.waiting)
    for unit in sorted(units, key=lambda unit: unit != ("well",)):
        if unit not in missing:
            draft = _tried(draft, unit)
    return draft


def _tried(draft: Draft, unit: Path) -> Draft:
    mine = {path: value for path, value in draft.waiting.items() if unit_of(path) == unit}
    others = {path: value for path, value in draft.waiting.items() if path not in mine}
    text = draft.text
    for path, value in mine.items():
        text = edit.put(text, path, value, draft.remarks.get(path, ""))
    promoted = replace(draft, text=text, waiting=others)
    if unit == ("well",) or promoted.site_file() is not None:
        return promoted
    return draft


def _whole_pumps_first(draft: Draft, missing: Mapping[Path, list[Path]]) -> Draft:
    """Pumps that wait for their curve stand behind those that do not."""
    there = len(tomllib.loads(draft.text).get("pump", ()))
    count = len(draft.facts().many("pump"))
    waiting = list(range(there, count))
    order = sorted(waiting, key=lambda index: ("pump", index) in missing)
    place = dict(zip(order, waiting, strict=True))

    def moved(path: Path) -> Path:
        if len(path) > 2 and path[0] == "pump" and path[1] in place:
            return ("pump", place[int(path[1])], *path[2:])
        return path

    return replace(
        draft,
        waiting={moved(path): value for path, value in draft.waiting.items()},
        remarks={moved(path): said for path, said in draft.remarks.items()},
    )


def _on_disk(path: str) -> bytes | None:
    try:
        return FilePath(path).read_bytes()
    except OSError:
        return None
