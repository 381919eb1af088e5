"""Turns results into sections once; every report prints exactly these rows."""

from __future__ import annotations

from wellsolar.reports.rows import (
    Cell,
    Column,
    Grid,
    Row,
    Section,
    cell_text,
    header_unit,
    number_text,
    unit_name,
)
from wellsolar.reports.tables.card import card_section
from wellsolar.reports.tables.casing import casing_section
from wellsolar.reports.tables.frost import frost_section
from wellsolar.reports.tables.hand import hand_pump_section, lift_section
from wellsolar.reports.tables.heat import heated_tank_sections
from wellsolar.reports.tables.heat_year import diverted_tank_sections
from wellsolar.reports.tables.heater_ranking import heater_ranking_section
from wellsolar.reports.tables.match import match_section
from wellsolar.reports.tables.outage import outage_sections
from wellsolar.reports.tables.ranges import range_section
from wellsolar.reports.tables.readings import reading_sections, sheet_section
from wellsolar.reports.tables.supply import (
    ledger_section,
    ranking_section,
    sun_section,
    supply_year_section,
)
from wellsolar.reports.tables.well import (
    pressure_tank_section,
    pump_section,
    pumps_section,
    supply_section,
)
from wellsolar.reports.tables.well_in_time import well_section
from wellsolar.results import Results
from wellsolar.verdicts import Status, Verdict

ORDER: tuple[Status, ...] = ("fail", "unknown", "caution", "pass")
"""What needs a hand first stands first."""


def sections(results: Results) -> tuple[Section, ...]:
    """Everything found, as sections of rows and grids.

    Parameters:
        results: of `study_site`
    Returns:
        the sections in the order they are read
    """
    made = [pump_section(pump, number) for number, pump in enumerate(results.pumps, 1)]
    if len(results.pumps) > 1:
        made.append(pumps_section(results.pumps))
    if results.well is not None:
        made.append(well_section(results.well))
    if results.casing is not None:
        made.append(casing_section(results.casing))
    if results.frost is not None:
        made.append(frost_section(results.frost))
    if results.sun is not None:
        made.append(sun_section(results.sun))
    made += [supply_section(supply, number) for number, supply in enumerate(results.supply, 1)]
    made += [
        supply_year_section(each, number) for number, each in enumerate(results.supply_years, 1)
    ]
    if results.ranking is not None:
        made.append(ranking_section(results.ranking))
    if results.ledger is not None:
        made.append(ledger_section(results.ledger))
    if results.ranges is not None:
        made.append(range_section(results.ranges))
    if results.pressure_tank is not None:
        made.append(pressure_tank_section(results.pressure_tank))
    if results.hand_pump is not None:
        made.append(hand_pump_section(results.hand_pump))
    made += [lift_section(lift, number) for number, lift in enumerate(results.lifts, 1)]
    if results.heated_tank is not None:
        made += heated_tank_sections(results.heated_tank)
    if results.diverted_tank is not None:
        made += diverted_tank_sections(results.diverted_tank)
    if results.matching is not None:
        made.append(match_section(results.matching))
    if results.heater_ranking is not None:
        made.append(heater_ranking_section(results.heater_ranking))
    if results.outages is not None:
        made += outage_sections(results.outages)
    if results.readings is not None:
        made += reading_sections(results.readings)
    if results.sheet is not None:
        made.append(sheet_section(results.sheet))
    if results.card is not None:
        made.append(card_section(results.card))
    return tuple(made)


def ordered(verdicts: tuple[Verdict, ...]) -> tuple[Verdict, ...]:
    """Verdicts with the fails first; within a status they stay as the studies gave them."""
    return tuple(sorted(verdicts, key=lambda verdict: ORDER.index(verdict.status)))


def counts(results: Results) -> dict[Status, int]:
    """How many verdicts there are of each status."""
    return {
        status: sum(verdict.status == status for verdict in results.verdicts) for status in ORDER
    }


def answer(results: Results) -> str:
    """The whole result in one line."""
    found = counts(results)
    if results.sheet is not None and not results.verdicts and results.figures is None:
        return "What to read when the job is handed over, and what it should be."
    if not results.verdicts:
        return "Nothing was judged: the site file lacks what the question needs."
    if found["fail"]:
        first = ordered(results.verdicts)[0]
        fails = "1 check fails" if found["fail"] == 1 else f"{found['fail']} checks fail"
        return f"Not as it stands: {fails}. First: {first.subject} - {first.rule.asks}"
    if found["unknown"]:
        return "Nothing fails, but the site file leaves questions open: see what each one needs."
    if found["caution"]:
        return "Nothing fails; read the cautions."
    return "Everything that was asked passes."


def sources_used(results: Results) -> tuple[str, ...]:
    """Keys of the sources of all verdicts and assumptions, each once, in alphabetical order."""
    keys = {verdict.rule.source for verdict in results.verdicts}
    return tuple(sorted(keys | {assumption.source for assumption in results.assumptions}))


__all__ = [
    "ORDER",
    "Cell",
    "Column",
    "Grid",
    "Row",
    "Section",
    "answer",
    "cell_text",
    "counts",
    "header_unit",
    "number_text",
    "ordered",
    "sections",
    "sources_used",
    "unit_name",
]
