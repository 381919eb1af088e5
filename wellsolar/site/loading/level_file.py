"""What lies beside a site file: levels of a pumping test in a CSV of any length, and pictures."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path as FilePath
from typing import Any

from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.site.columns import head_and_unit, lines_of_cells
from wellsolar.site.inputs import open_input
from wellsolar.site.locate import Path
from wellsolar.units import UnreadableQuantity, read
from wellsolar.wording import as_written, quoted

LARGEST = 2_000_000
"""Bytes of a picture: some photographs of a telephone, saved smaller, still go by mail in a page.
Our choice."""

MARKS = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")
"""How a picture begins: ISO/IEC 15948 (PNG), 5.2, and the start of image with the first marker of
ISO/IEC 10918-1 (JPEG), annex B; from memory."""


def picture_mistakes(tables: Mapping[str, Any], site_path: str) -> Iterator[tuple[Path, str]]:
    """What is wrong with the pictures of a site.

    Parameters:
        site_path: where it was read; its folder is that of the pictures
    """
    job = tables.get("job")
    if not isinstance(job, dict):
        return
    named: list[tuple[Path, Any]] = [(("job", "logo"), job.get("logo"))]
    blocks = job.get("photograph")
    for number, block in enumerate(blocks if isinstance(blocks, list) else ()):
        if isinstance(block, dict):
            named.append((("job", "photograph", number, "file"), block.get("file")))
    for at, name in named:
        if isinstance(name, str) and name:
            message = _wrong(FilePath(site_path).parent / name, name)
            if message:
                yield at, message


def _wrong(path: FilePath, name: str) -> str:
    """What is wrong with a picture; empty where nothing is."""
    try:
        with open_input(path) as file:
            content = file.read(LARGEST + 1)
    except FileNotFoundError:
        return f"{quoted(name)}: no such file beside the site file"
    except IsADirectoryError:
        return f"{quoted(name)} is a folder: name the picture in it"
    except OSError as error:
        return f"{quoted(name)} can't be read ({error.strerror})"
    except ValueError:
        return f"{quoted(name)} is no name that a file can have"
    if not content.startswith(MARKS):
        return f"{quoted(name)} is no picture: save it as PNG or JPEG"
    if len(content) > LARGEST:
        return f"{quoted(name)} is larger than 2 MB: save it smaller, at most 1600 pixels wide"
    return ""


IN_WELL: Path = ("drawdown_test", "file")
"""The key that names the file, in the table of a well."""

COLUMNS: Mapping[str, Kind] = {"time": kinds.DURATION, "level": kinds.LENGTH}
"""What is read, and of which kind; other columns are passed over."""

KEPT = 60
"""Readings that are kept, evenly in the logarithm of time: each decade tells as much of the
aquifer, and a logger's thousand readings of the last hour no more than some. Our choice."""

LIKE = 'such as "time (min), level (ft)"'

Mistakes = list[tuple[Path, str]]


def with_levels(tables: dict[str, Any], site_path: str) -> tuple[dict[str, Any], Mistakes]:
    """The tables of a site with the levels of the file that its drawdown test names.

    Parameters:
        site_path: where it was read; its folder is that of the levels
    Returns:
        the tables, a copy where something came in, and what is wrong with the file
    """
    wrong: Mistakes = []
    well, others = tables.get("well"), tables.get("other_well")
    changed = _levels_of(well, ("well",), site_path, wrong)
    if changed is not well:
        tables = {**tables, "well": changed}
    if isinstance(others, list):
        read = [
            _levels_of(other, ("other_well", index), site_path, wrong)
            for index, other in enumerate(others)
        ]
        if any(new is not old for new, old in zip(read, others, strict=True)):
            tables = {**tables, "other_well": read}
    return tables, wrong


def _levels_of(well: Any, path: Path, site_path: str, mistakes: Mistakes) -> Any:
    """The table of a well with the levels of its file, itself where it names none."""
    test = well.get("drawdown_test") if isinstance(well, dict) else None
    if not isinstance(well, dict) or not isinstance(test, dict) or "file" not in test:
        return well
    name = test["file"]
    own = [key for key in COLUMNS if key in test]
    lists = {key: test[key] for key in own}
    said: list[str] = []
    if own:
        said.append(f"{as_written(name)}: {' and '.join(own)} stand here too: keep one of the two")
    elif not isinstance(name, str):
        said.append(f"{as_written(name)}: expected the name of a file in quotes")
    else:
        text, message = _text(FilePath(site_path).parent / name, name)
        readings, said = _readings(text, name) if text is not None else ([], [message])
        if readings:
            lists = _lists(thinned(readings))
    mistakes += [((*path, *IN_WELL), mistake) for mistake in said]
    return {**well, "drawdown_test": {**test, **lists}}


def _text(path: FilePath, name: str) -> tuple[str | None, str]:
    """The text of the file, or what is wrong with it."""
    try:
        with open_input(path) as file:
            text = file.read().decode("utf-8-sig")
    except FileNotFoundError:
        return None, f"{quoted(name)}: no such file beside the site file"
    except IsADirectoryError:
        return None, f"{quoted(name)} is a folder: name the file of levels in it"
    except OSError as error:
        return None, f"{quoted(name)} can't be read ({error.strerror})"
    except UnicodeDecodeError:
        return None, f"{quoted(name)} is not UTF-8 text: save it as CSV in UTF-8"
    except ValueError:
        return None, f"{quoted(name)} is no name that a file can have"
    if "\0" in text:
        return None, f"{quoted(name)} is no text file: save the levels as CSV"
    return text.replace("\r\n", "\n").replace("\r", "\n"), ""


def _readings(text: str, name: str) -> tuple[list[tuple[float, float]], list[str]]:
    """Times [s] and levels [m] of a CSV, or what is wrong with it."""
    lines = lines_of_cells(text)
    first, heads = next(lines, (1, []))
    named = [head_and_unit(head) for head in heads or []]
    places: dict[str, int] = {}
    for key in COLUMNS:
        fits = [at for at, (head, _) in enumerate(named) if head.lower() == key]
        if len(fits) != 1:
            count = "no column" if not fits else "more than one column"
            said = f"has {count} {quoted(key)}: name one {key} in the first line, {LIKE}"
            return [], [f"{quoted(name)}, line {first}: {said}"]
        places[key] = fits[0]
    readings: list[tuple[float, float]] = []
    wrong: list[str] = []
    for number, cells in lines:
        values = []
        for key, at in places.items():
            cell = cells[at].strip() if cells is not None and at < len(cells) else ""
            value, message = _value(cell, named[at][1], key)
            if message:
                wrong.append(f"{quoted(name)}, line {number}: {key} {message}")
            values.append(value)
        if len(values) == len(COLUMNS) and readings and values[0] <= readings[-1][0]:
            said = "each time must be later than the one before"
            wrong.append(f"{quoted(name)}, line {number}: time {values[0]:g} s: {said}")
        if len(wrong) >= MOST_TOLD:
            break
        readings.append((values[0], values[1]))
    if not readings and not wrong:
        wrong.append(f"{quoted(name)} has no line of readings below its heads")
    return ([], wrong) if wrong else (readings, [])


MOST_TOLD = 5
"""Mistakes of one file that are listed: a wrong unit spoils every line alike."""


def _value(cell: str, unit: str, key: str) -> tuple[float, str]:
    """A cell in SI with the unit of its head, or what is wrong with it."""
    if not cell:
        return math.nan, f"is empty: every line has a time and a level, {LIKE}"
    try:
        number: float | None = float(cell)
    except ValueError:
        number = None
    try:
        return float(read(f"{cell} {unit}" if number is not None else cell, COLUMNS[key])), ""
    except UnreadableQuantity as error:
        since = " (a time counts from the start or stop of the pump)" if key == "time" else ""
        return math.nan, f"{error}{since}; or name the unit in the head, {LIKE}"


def thinned(readings: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Of many readings some, evenly in the logarithm of time, the first and last among them and
    the highest and the lowest level.

    Parameters:
        readings: times, rising [s], and levels [m]
    """
    if len(readings) <= KEPT:
        return list(readings)
    levels = [level for _, level in readings]
    kept = {0, len(readings) - 1, levels.index(min(levels)), levels.index(max(levels))}
    kept |= set(_evenly([time for time, _ in readings]))
    return [readings[number] for number in sorted(kept)]


def _evenly(times: Sequence[float]) -> Iterator[int]:
    """Numbers of the first readings at or after times that grow by one factor."""
    start = next(time for time in times if time > 0.0)
    factor = (times[-1] / start) ** (1.0 / (KEPT - 1))
    wanted = start
    for number, time in enumerate(times):
        if time >= wanted:
            yield number
            while wanted <= time:
                wanted *= factor


def _lists(readings: Sequence[tuple[float, float]]) -> dict[str, str]:
    """Readings as the lists of a site file."""
    times = ", ".join(f"{time:.9g}" for time, _ in readings)
    levels = ", ".join(f"{level:.9g}" for _, level in readings)
    return {"time": f"{times} s", "level": f"{levels} m"}
