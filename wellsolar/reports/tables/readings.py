"""Readings of the finished job as sections, one a reading."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Cell, Column, Grid, Row, Section
from wellsolar.results.readings import (
    GuardResult,
    ReadingResult,
    ReadingsResult,
    SheetResult,
    Suspect,
)
from wellsolar.units import Quantity


def reading_sections(result: ReadingsResult) -> tuple[Section, ...]:
    """Each reading: what was read, what is expected, what it implies, why it may be off."""
    sections = [_section(reading, number) for number, reading in enumerate(result.readings, 1)]
    if result.suspects:
        sections.append(_together(result.suspects))
    if result.guards:
        sections.append(_guards(result.guards))
    return tuple(sections)


def _together(suspects: tuple[Suspect, ...]) -> Section:
    """What explains all readings that are off."""
    rows = []
    for place, suspect in enumerate(suspects, 1):
        key, share = f"suspect_{place}", Quantity(suspect.share, kinds.FRACTION)
        rows.append(Row(key, "likeliest of all" if place == 1 else "then", suspect.text))
        rows.append(Row(f"{key}_share", "its likelihood", share, "", kinds.FRACTION))
        explains = Quantity(suspect.explains, kinds.COUNT)
        rows.append(Row(f"{key}_explains", "readings that are off and it explains", explains))
    question = "What lies behind the readings that are off?"
    return Section("together", "Readings taken together", question, tuple(rows))


def _guards(guards: tuple[GuardResult, ...]) -> Section:
    """Which guards were tested, and which the file only claims."""
    columns = (
        Column("line", "line"),
        Column("guard", "guard"),
        Column("state", "state"),
        Column("tested", "tested"),
    )
    rows: list[tuple[Cell, ...]] = [
        (f"{guard.line.number}", guard.line.text, guard.state, guard.taken or None)
        for guard in guards
    ]
    grid = Grid("guards", "Lines of the commissioning sheet", columns, tuple(rows))
    return Section("guards", "Guards", "which guards are proven?", (), (grid,))


def _section(reading: ReadingResult, number: int) -> Section:
    rows = _with_ends("measured", "measured", reading.measured, reading.when)
    band = reading.expected
    if band is not None:
        value = band.value
        rows += [
            _row("expected_low", "expected, from", value.low, value, band.rests_on),
            _row("expected", "expected, middle", float(value), value),
            _row("expected_high", "expected, to", value.high, value),
        ]
        if band.most is not None:
            rows.append(_row("clear_sky", "under a clear sky", float(band.most), band.most))
    for implied in reading.implied:
        rows += _with_ends(implied.key, implied.label, implied.value, implied.why)
    for place, cause in enumerate(reading.causes, 1):
        label = "likeliest cause" if place == 1 else "then"
        rows.append(Row(f"cause_{place}", label, cause.text))
        share = Quantity(cause.share, kinds.FRACTION)
        rows.append(Row(f"cause_{place}_share", "its likelihood", share, "", kinds.FRACTION))
        if cause.expected is not None:
            low, high = cause.expected.low, cause.expected.high
            rows.append(_row(f"cause_{place}_low", "it would read from", low, cause.expected))
            rows.append(_row(f"cause_{place}_high", "it would read to", high, cause.expected))
    title = f"{reading.subject}: {reading.label}"
    title += f", {reading.taken}" if reading.taken else ""
    return Section(f"reading_{number}", title, "is the reading right?", tuple(rows))


def _with_ends(key: str, label: str, value: Quantity, why: str) -> list[Row]:
    rows = [_row(key, label, float(value), value, why)]
    if value.is_range:
        rows.append(_row(f"{key}_low", f"{label}, from", value.low, value))
        rows.append(_row(f"{key}_high", f"{label}, to", value.high, value))
    return rows


def _row(key: str, label: str, number: float, like: Quantity, why: str = "") -> Row:
    return Row(key, label, Quantity(number, like.kind), why, like.kind)


BLANK = "________"
"""Where the measured value is written."""


def sheet_section(sheet: SheetResult) -> Section:
    """The commissioning sheet, a grid a step."""
    columns = (
        Column("line", "line"),
        Column("reading", "reading"),
        Column("low", "from"),
        Column("high", "to"),
        Column("measured", "measured"),
    )
    grids = []
    for number, step in enumerate(sheet.steps, 1):
        rows: list[tuple[Cell, ...]] = []
        for line in step.lines:
            value = line.expected
            if value is None:
                rows.append((f"{line.number}", f"{line.text}: {line.words}", None, None, BLANK))
                continue
            ends = (Quantity(end, value.kind) for end in (value.low, value.high))
            rows.append((f"{line.number}", line.text, *ends, BLANK))
        grids.append(
            Grid(
                step.key, f"{number}. {step.title}", columns, tuple(rows), f"First: {step.before}"
            )
        )
    question = "What should be read when the job is handed over?"
    return Section("sheet", "Commissioning sheet", question, (), tuple(grids))
