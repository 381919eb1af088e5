"""The commissioning sheet: its steps in the order of the work, its lines numbered through."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from wellsolar.results import StudyPart
from wellsolar.results.readings import SheetResult, SheetStep
from wellsolar.site.readings.file import Readings
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.studies.sheet.dead import dead_steps
from wellsolar.studies.sheet.guards import guard_steps
from wellsolar.studies.sheet.heat import heat_steps
from wellsolar.studies.sheet.power import power_steps
from wellsolar.studies.sheet.water import clean_step, rest_steps, water_steps

ENERGISED = ("power", "heat")
"""Phases in which something is switched on to stay on."""


def study_sheet(case: Studied) -> tuple[SheetResult, StudyPart]:
    """The readings to take at handover.

    Parameters:
        case: the site and its studies
    Returns:
        the steps in their order
    """
    return SheetResult(tuple(steps_in_order(case))), StudyPart()


def steps_in_order(case: Studied) -> Iterator[SheetStep]:
    """The steps one after the other, each made when it is asked for.

    Parameters:
        case: the site and its studies
    Returns:
        the steps, their lines numbered from 1
    """
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
        yield replace(step, before=before, lines=lines)


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
