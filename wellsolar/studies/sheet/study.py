"""The commissioning sheet: its steps in the order of the work, its lines numbered through, and the
verdicts that rest on one of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from wellsolar.results.moves import ALL_HEAT, ALL_PUMPS, HEATER_WATER, HOT_TAP, Move
from wellsolar.results.readings import SheetResult, SheetStep
from wellsolar.results.whole import StudyPart
from wellsolar.site.part_names import BYPASS, COLD, HEATER_DRAIN, HOUSE_MAIN, TANK_DRAIN
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import Site
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.plumbing.layout import layout_of
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.studies.sheet.dead import dead_steps
from wellsolar.studies.sheet.guards import guard_steps
from wellsolar.studies.sheet.heat import heat_steps
from wellsolar.studies.sheet.power import power_steps
from wellsolar.studies.sheet.water import clean_step, rest_steps, water_steps
from wellsolar.verdicts import Sentence, Verdict

TRUSTED = ("pass", "caution")
"""Verdicts that stand better for what they take on trust."""


def with_claims(case: Studied, parts: Sequence[StudyPart]) -> list[StudyPart]:
    """What the studies say, each verdict that takes a flag on trust naming the sheet's line.

    Returns:
        the same, with the reasons of those verdicts ended
    """
    wanted = {path for part in parts for verdict in part.verdicts for path in verdict.claims}
    if not wanted:
        return list(parts)
    proven = _lines(case, wanted)
    return [
        replace(part, verdicts=tuple(_ended(verdict, proven) for verdict in part.verdicts))
        for part in parts
    ]


def _lines(case: Studied, wanted: set[str]) -> dict[str, int]:
    """The sheet's lines that prove some keys: no step is made behind the last of them."""
    counts: dict[str, int] = {}
    for step in _steps_in_order(case):
        for line in step.lines:
            if line.proves in wanted:
                counts.setdefault(line.proves, line.number)
        if wanted <= set(counts):
            break
    return counts


def _ended(verdict: Verdict, proven: dict[str, int]) -> Verdict:
    """A verdict with the lines that prove what it takes on trust."""
    proofs = sorted(proven[path] for path in verdict.claims if path in proven)
    if not proofs or verdict.status not in TRUSTED:
        return verdict
    numbers = [f"{number}" for number in proofs]
    lines = f"line {numbers[0]} of the commissioning sheet proves" if len(numbers) == 1 else (
        f"lines {' and '.join(numbers)} of the commissioning sheet prove")  # fmt: skip
    sentence = verdict.reason
    ending = Sentence(f"{sentence.template}, as the file claims; {lines} it", sentence.parts)
    return replace(verdict, reason=ending)


ENERGISED = ("power", "heat")
"""Phases in which something is switched on to stay on."""


def study_sheet(case: Studied) -> tuple[SheetResult, StudyPart]:
    """The readings to take at handover."""
    return SheetResult(tuple(_steps_in_order(case))), StudyPart()


def _steps_in_order(case: Studied) -> Iterator[SheetStep]:
    """The steps one after the other, each made when it is asked for."""
    number, phase = 0, ""
    for step in _steps(case):
        if not step.lines:
            continue
        before = step.before
        if step.phase in ENERGISED and step.phase != phase and number:
            before = f"Nothing goes on before lines 1 to {number} are in order. {before}"
        lines = tuple(
            replace(line, number=place) for place, line in enumerate(step.lines, number + 1)
        )
        number, phase = number + len(lines), step.phase
        moves, after = (_there(case.site, moved) for moved in (step.moves, step.after))
        yield replace(step, before=before, lines=lines, moves=moves, after=after)


def _there(site: Site, moves: Sequence[Move]) -> tuple[Move, ...]:
    """Moves of things that the site has."""
    absent = set() if site.pump else {ALL_PUMPS}
    if site.water_heater is None:
        absent |= {ALL_HEAT, HEATER_WATER, HOT_TAP}
    valves = {fitting.name for fitting in layout_of(site)}
    absent |= {HOUSE_MAIN, TANK_DRAIN, COLD, HEATER_DRAIN, BYPASS} - valves
    return tuple(move for move in moves if move.thing not in absent)


def _steps(case: Studied) -> Iterator[SheetStep]:
    """Dead tests, guards, water, power, heat, and what is read after days."""
    job = Job(case)
    visit = Visit(job, Readings("sheet", {}))
    yield from dead_steps(job)
    yield from guard_steps(job.site)
    yield from water_steps(visit)
    yield from power_steps(job)
    yield clean_step(job.site)
    yield from heat_steps(job)
    yield from rest_steps(visit)
