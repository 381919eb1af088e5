"""Readings held beside the site's own numbers: what is expected, what they imply, why off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wellsolar.results import Answer, Results
from wellsolar.results.readings import (
    GuardResult,
    GuardState,
    ReadingResult,
    ReadingsResult,
)
from wellsolar.site.readings.file import Readings, check_lines, check_pumps
from wellsolar.site.readings.table import KEYS, READINGS
from wellsolar.studies.asked.cautions import there
from wellsolar.studies.asked.ordinary import unusual_readings
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.asked.todo import todo_of
from wellsolar.studies.reading.table import TABLE
from wellsolar.studies.reading.verdicts import guard_verdict, reading_verdict, unread_verdict
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.units import Quantity, System
from wellsolar.verdicts import Sentence, Verdict, say


def study_readings(
    case: Studied, given: Sequence[Readings], system: System | None = None
) -> Results:
    """Readings of a finished job.

    Parameters:
        given: readings, each of one time
        system: units to print in; None for the file's own
    Returns:
        results that hold only the readings and their verdicts
    Raises:
        SiteFileError: a pump is named that the site does not have
    """
    site, job = case.site, Job(case)
    check_pumps(given, [table.name for table in site.pump])
    results: list[ReadingResult] = []
    verdicts: list[Verdict] = []
    for readings in _by_time(given):
        visit = Visit(job, readings)
        judged = _judged(visit)
        results += judged.results
        verdicts += [reading_verdict(result) for result in judged.results]
        verdicts += [unread_verdict(readings, key, needs) for key, needs in judged.unread]
        verdicts += unusual_readings(readings)
    keys = {key for readings in given for key in readings.values}
    cautions = {caution for row in READINGS if row.key in keys for caution in row.cautions}
    guards = _guards(case, given)
    verdicts += [guard_verdict(guard) for guard in guards if guard.state != "claimed"]
    return Results(
        file=case.file.path,
        site_name=site.site.name,
        site_note=site.site.note,
        system=system or site.site.print_units,
        verdicts=tuple(verdicts),
        todo=todo_of(site, verdicts),
        cautions=there(site, cautions),
        answers=tuple(
            Answer(each.subject, _answer(each)) for each in sorted(results, key=_is_right)
        ),
        readings=ReadingsResult(tuple(results), guards),
    )


def _is_right(reading: ReadingResult) -> bool:
    """False of what is off, which is told first."""
    return reading_verdict(reading).status == "pass"


def _answer(reading: ReadingResult) -> Sentence:
    told = f"{reading.label} {{measured}}"
    parts: dict[str, Quantity | str] = {"measured": reading.measured}
    if reading.expected is not None:
        band = reading.expected.value
        told += ", expected {low} to {high}"
        parts["low"] = Quantity(band.low, band.kind)
        parts["high"] = Quantity(band.high, band.kind)
    return say(told, **parts)


def _guards(case: Studied, given: Sequence[Readings]) -> tuple[GuardResult, ...]:
    """Every line of the sheet that proves a guard, and whatever other line was told, with what
    was last told of it; none where no test was told."""
    told: dict[int, tuple[GuardState, str]] = {}
    for readings in given:
        told |= dict.fromkeys(readings.proven, ("proven", readings.taken))
        told |= dict.fromkeys(readings.failed, ("failed", readings.taken))
    if not told:
        return ()
    lines = case.sheet.lines
    check_lines(given, len(lines))
    return tuple(
        GuardResult(line, *told.get(line.number, ("claimed", "")))
        for line in lines
        if line.proves or line.number in told
    )


def _by_time(given: Sequence[Readings]) -> list[Readings]:
    """Readings of one time together, the times in the order in which they were first told."""
    times = list(dict.fromkeys(readings.taken for readings in given))
    return sorted(given, key=lambda readings: times.index(readings.taken))


@dataclass(frozen=True)
class _Judged:
    """What was made of a visit; unread: rows of which nothing can be said, and what they need."""

    results: list[ReadingResult]
    unread: list[tuple[str, tuple[str, ...]]]


def _judged(visit: Visit) -> _Judged:
    """Everything that the readings of a visit say, in the order of the table."""
    results = []
    lacking: dict[str, tuple[str, ...]] = {}
    for kind in TABLE:
        if not kind.was_taken(visit):
            continue
        needs = kind.lacks(visit.job)
        if needs:
            lacking |= dict.fromkeys(kind.reads, needs)
        else:
            results.append(kind(visit).result())
    unread = [(key, lacking[key]) for key in KEYS if key in lacking and key in visit.values]
    return _Judged(results, unread)
