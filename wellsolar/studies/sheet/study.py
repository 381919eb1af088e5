"""The commissioning sheet: its steps in the order of the work, its lines numbered through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from wellsolar.results import StudyPart
from wellsolar.results.moves import ALL_HEAT, ALL_PUMPS, HEATER_WATER, HOT_TAP, Move
from wellsolar.results.readings import SheetResult, SheetStep
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

ENERGISED = ("power", "heat")
"""Phases in which something is switched on to stay on."""


def study_sheet(case: Studied) -> tuple[SheetResult, StudyPart]:
    """The readings to take at handover."""
    return SheetResult(tuple(steps_in_order(case))), StudyPart()


def steps_in_order(case: Studied) -> Iterator[SheetStep]:
    """The steps one after the other, each made when it is asked for.

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
        moves, after = (_there(case.site, each) for each in (step.moves, step.after))
        yield replace(step, before=before, lines=lines, moves=moves, after=after)


def _there(site: Site, moves: Sequence[Move]) -> tuple[Move, ...]:
    """Moves of things that the site has."""
    absent = set() if site.pump else {ALL_PUMPS}
    if site.water_heater is None:
        absent |= {ALL_HEAT, HEATER_WATER, HOT_TAP}
    valves = {each.name for each in layout_of(site)}
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
