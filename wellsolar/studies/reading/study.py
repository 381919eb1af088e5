"""Readings held beside the site's own numbers: what is expected, what they imply, why off."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.results import Results
from wellsolar.results.readings import (
    GuardResult,
    GuardState,
    ReadingResult,
    ReadingsResult,
    Suspect,
)
from wellsolar.results.whole import Answer
from wellsolar.site.readings.file import Readings, check_lines, check_pumps
from wellsolar.site.readings.table import KEYS, READINGS
from wellsolar.studies.asked.cautions import there
from wellsolar.studies.asked.ordinary import unusual_readings
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.asked.todo import todo_of
from wellsolar.studies.reading.reading import Reading, is_off
from wellsolar.studies.reading.table import TABLE
from wellsolar.studies.reading.together import suspects
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.units import Quantity, System
from wellsolar.verdicts import Place, Remedy, Rule, Sentence, Status, Trade, Verdict, remedy, say

RULE = Rule(
    "reading",
    "is the reading right?",
    "the reading lies between what the site's own numbers give for its time",
    "common practice",
    by="electrician",
    place=Place(),
)
ELEMENT = Rule(
    "element by its reading",
    "is it the element of the plate?",
    "volts over amperes within what an element's power may be off its plate, 5 % more, 10 % less",
    "element tolerance",
    by="electrician",
    place=Place(),
)
SCALD = Rule(
    "scald by its reading",
    "can the water burn?",
    "no hotter at a tap than 120 degF or the mixing valve's setting, in the tank than its "
    "thermostat and its high limit, and 3 K (5 degF)",
    "burn times",
    safety=True,
    by="plumber",
    place=Place(),
)
BURST = Rule(
    "pressure by its reading",
    "can the vessel stand the pressure?",
    "no more than the relief valve's setting, nor than 100 psi (690 kPa), the plate of many "
    "tanks; with the pump on, no more than where it should stop and 2 psi (14 kPa)",
    "tank relief",
    safety=True,
    by="plumber",
    place=Place(),
)

GUARD = Rule(
    "guard by its test",
    "did the guard pass its test?",
    "the commissioning sheet's line on it was tested and found in order",
    "site's figures",
    safety=True,
    by="electrician",
    place=Place(),
)


def _guard_verdict(guard: GuardResult) -> Verdict:
    """The verdict on a guard whose test was told."""
    line = guard.line
    subject = f"{line.text}, {guard.taken}" if guard.taken else line.text
    if guard.state == "proven":
        return GUARD.verdict(
            "pass", subject, say("proven by the sheet's line {number}", number=f"{line.number}")
        )
    return GUARD.verdict(
        "fail",
        subject,
        say("the sheet's line {number} is not in order", number=f"{line.number}"),
        remedy=remedy(
            "what it guards stays off and locked until it is mended and tested again",
            "it says what to do in the work, not what to write into the file",
        ),
    )


def reading_verdict(reading: ReadingResult) -> Verdict:
    """The verdict on a reading: pass, caution, fail where it can hurt someone, or unknown."""
    if reading.expected is None:
        return _unknown(reading)
    band, read = reading.expected.value, reading.measured
    off = is_off(read, band)
    parts: dict[str, Quantity | str] = {
        "read": read,
        "low": Quantity(band.low, band.kind),
        "high": Quantity(band.high, band.kind),
        "on": reading.expected.rests_on,
        "warning": reading.warning,
    }
    template = "{read} lies outside {low} to {high} ({on})" if off else (
        "{read} lies within {low} to {high} ({on})")  # fmt: skip
    if not off and read.is_range and not band.low <= read <= band.high:
        template = "{read} lies outside {low} to {high} ({on}) by no more than it may be off"
    template += "; {warning}" if reading.warning else ""
    status: Status = "fail" if reading.warning else "caution" if off else "pass"
    wanted = _remedy(reading) if off or reading.warning else None
    return _rule(reading).verdict(
        status, reading.name, say(template, **parts), quantity=read, remedy=wanted,
        trade=_trade(reading),
    )  # fmt: skip


def _trade(reading: ReadingResult) -> Trade:
    """Whose work it is to look for what a reading tells: that of current and voltage, of levels in
    the well, or of water."""
    kind = reading.measured.kind
    if kind in (kinds.CURRENT, kinds.VOLTAGE, kinds.RESISTANCE, kinds.POWER):
        return "electrician"
    return "driller" if kind is kinds.LENGTH else "plumber"


def _rule(reading: ReadingResult) -> Rule:
    """The rule that a reading is judged by: that of what it can do to people, first."""
    if reading.warning:
        return BURST if reading.measured.kind is kinds.PRESSURE else SCALD
    return ELEMENT if reading.key == "element_resistance" else RULE


def _remedy(reading: ReadingResult) -> Remedy | None:
    """What to do at once where it can hurt someone, then where to look first."""
    _, _, at_once = reading.warning.partition(": ")
    steps = ["{at_once}"] if at_once else []
    steps += ["look first for {cause0}", "for {cause1}"][: len(reading.causes)]
    if not steps:
        return None
    return remedy(
        "; then ".join(steps),
        "it says what to look at in the work, not what to write into the file",
        at_once=at_once,
        **{f"cause{place}": cause.text for place, cause in enumerate(reading.causes)},
    )


def _unknown(reading: ReadingResult) -> Verdict:
    """The verdict on a reading of which nothing is expected."""
    if reading.needs:
        return RULE.unknown(reading.name, *reading.needs, why=reading.why)
    return Verdict(RULE, reading.name, "unknown", say("{why}", why=reading.why))


def _unread_verdict(given: Readings, key: str, needs: Sequence[str]) -> Verdict:
    """The verdict on a reading that the file says too little to interpret."""
    subject = key.replace("_", " ").replace("bucket volume", "flow by bucket")
    return RULE.unknown(f"{subject}, {given.taken}" if given.taken else subject, *needs)


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
    taken: list[Reading] = []
    results: list[ReadingResult] = []
    verdicts: list[Verdict] = []
    for readings in _by_time(given):
        visit = Visit(job, readings)
        judged = _judged(visit)
        found = [reading.result() for reading in judged.readings]
        taken += judged.readings
        results += found
        verdicts += [reading_verdict(result) for result in found]
        verdicts += [_unread_verdict(readings, key, needs) for key, needs in judged.unread]
        verdicts += unusual_readings(readings)
    keys = {key for readings in given for key in readings.values}
    cautions = {caution for row in READINGS if row.key in keys for caution in row.cautions}
    guards, together = _guards(case, given), suspects(taken)
    verdicts += [_guard_verdict(guard) for guard in guards if guard.state != "claimed"]
    return Results(
        file=case.file.path,
        site_name=site.site.name,
        site_note=site.site.note,
        system=system or site.site.print_units,
        verdicts=tuple(verdicts),
        todo=todo_of(site, verdicts),
        cautions=there(site, cautions),
        answers=(
            *_together(together, sum(bool(reading.causes) for reading in results)),
            *(
                Answer(reading.subject, _answer(reading))
                for reading in sorted(results, key=_is_right)
            ),
        ),
        readings=ReadingsResult(tuple(results), guards, together),
    )


def _is_right(reading: ReadingResult) -> bool:
    """False of what is off, which is told first."""
    return reading_verdict(reading).status == "pass"


def _together(suspects: Sequence[Suspect], off: int) -> Iterator[Answer]:
    """What to look for first where one cause explains several readings that are off."""
    if suspects:
        sentence = say(
            "look first for {cause} ({explains} of the {off} that are off)",
            cause=suspects[0].text,
            explains=f"{suspects[0].explains}",
            off=f"{off}",
        )
        yield Answer("together", sentence)


def _answer(reading: ReadingResult) -> Sentence:
    template = f"{reading.label} {{measured}}"
    parts: dict[str, Quantity | str] = {"measured": reading.measured}
    if reading.expected is not None:
        band = reading.expected.value
        template += ", expected {low} to {high}"
        parts["low"] = Quantity(band.low, band.kind)
        parts["high"] = Quantity(band.high, band.kind)
    return say(template, **parts)


def _guards(case: Studied, given: Sequence[Readings]) -> tuple[GuardResult, ...]:
    """Every line of the sheet that proves a guard, and whatever other line was told, with what
    was last told of it; none where no test was told."""
    guard_states: dict[int, tuple[GuardState, str]] = {}
    for readings in given:
        guard_states |= dict.fromkeys(readings.proven, ("proven", readings.taken))
        guard_states |= dict.fromkeys(readings.failed, ("failed", readings.taken))
    if not guard_states:
        return ()
    lines = case.sheet.lines
    check_lines(given, len(lines))
    return tuple(
        GuardResult(line, *guard_states.get(line.number, ("claimed", "")))
        for line in lines
        if line.proves or line.number in guard_states
    )


def _by_time(given: Sequence[Readings]) -> list[Readings]:
    """Readings of one time together, the times in the order in which they were first told."""
    times = list(dict.fromkeys(readings.taken for readings in given))
    return sorted(given, key=lambda readings: times.index(readings.taken))


@dataclass(frozen=True)
class _Judged:
    """What was made of a visit; unread: rows of which nothing can be said, and what they need."""

    readings: list[Reading]
    unread: list[tuple[str, tuple[str, ...]]]


def _judged(visit: Visit) -> _Judged:
    """Everything that the readings of a visit say, in the order of the table."""
    readings: list[Reading] = []
    lacking: dict[str, tuple[str, ...]] = {}
    for kind in TABLE:
        if not kind.was_taken(visit):
            continue
        needs = kind.lacks(visit.job)
        if needs:
            lacking |= dict.fromkeys(kind.reads, needs)
        else:
            readings.append(kind(visit))
    unread = [(key, lacking[key]) for key in KEYS if key in lacking and key in visit.values]
    return _Judged(readings, unread)
