"""Turns results into sections once; every report prints exactly these rows."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TypeVar

from wellsolar.reports.rows import (
    Column,
    Grid,
    Section,
)
from wellsolar.reports.tables.card import card_section
from wellsolar.reports.tables.hand import hand_pump_section, lift_section
from wellsolar.reports.tables.heat import diverted_tank_sections, heated_tank_sections
from wellsolar.reports.tables.heat_safety import array_section
from wellsolar.reports.tables.match import heater_ranking_section, match_section
from wellsolar.reports.tables.outage import outage_sections
from wellsolar.reports.tables.pump import pressure_tank_section, pump_section, pumps_section
from wellsolar.reports.tables.ranges import range_section
from wellsolar.reports.tables.readings import reading_sections, sheet_section
from wellsolar.reports.tables.supply import (
    chain_section,
    ledger_section,
    ranking_section,
    sun_section,
    supply_section,
    supply_year_section,
)
from wellsolar.reports.tables.well import (
    casing_section,
    frost_section,
    other_well_sections,
    well_section,
)
from wellsolar.results import Results
from wellsolar.results.pumps import PumpResult
from wellsolar.results.whole import SizedKey
from wellsolar.verdicts import Status, Verdict


def _sized_section(sized: Sequence[SizedKey]) -> Section:
    """The section on the keys that the sizing set."""
    grid = Grid(
        "keys",
        "Keys of the file",
        (Column("key", "key"), Column("value", "set to"), Column("reason", "why"),
         Column("rule", "judged by")),
        tuple((row.key, row.value, row.reason or None, row.rule or None) for row in sized),
        "A key that is changed by hand is no longer the sizing's: take its block out.",
    )  # fmt: skip
    question = "What did `wellsolar size` choose, and what binds it?"
    return Section("sized", "What was sized", question, (), (grid,))


ORDER: tuple[Status, ...] = ("fail", "unknown", "caution", "pass")
"""What needs a hand first stands first."""


Part = TypeVar("Part")
Table = Callable[[Results], Iterable[Section]]


def _one(
    part: Callable[[Results], Part | None],
    build: Callable[[Part], Section | tuple[Section, ...]],
) -> Table:
    """The sections of a part that a site may lack."""

    def table(results: Results) -> Iterable[Section]:
        result = part(results)
        sections = () if result is None else build(result)
        return (sections,) if isinstance(sections, Section) else sections

    return table


def _each(
    parts: Callable[[Results], tuple[Part, ...]], build: Callable[[Part, int], Section]
) -> Table:
    """A section for each of several parts, counted from 1."""
    return lambda results: [build(part, number) for number, part in enumerate(parts(results), 1)]


def _together(results: Results) -> tuple[PumpResult, ...] | None:
    return results.pumps if len(results.pumps) > 1 else None


def _other_wells(results: Results) -> Iterator[Section]:
    for number, other in enumerate(results.other_wells, 1):
        yield from other_well_sections(other, number)


TABLES: tuple[Table, ...] = (
    _each(lambda results: results.pumps, pump_section),
    _one(_together, pumps_section),
    _one(lambda results: results.well, well_section),
    _one(lambda results: results.casing, casing_section),
    _other_wells,
    _one(lambda results: results.frost, frost_section),
    _one(lambda results: results.sun, sun_section),
    _each(lambda results: results.supply, supply_section),
    _each(lambda results: results.supply_years, supply_year_section),
    _one(lambda results: results.chain_year, chain_section),
    _one(lambda results: results.ranking, ranking_section),
    _one(lambda results: results.ledger, ledger_section),
    _each(lambda results: results.arrays, array_section),
    _one(lambda results: results.ranges, range_section),
    _one(lambda results: results.pressure_tank, pressure_tank_section),
    _one(lambda results: results.hand_pump, hand_pump_section),
    _each(lambda results: results.lifts, lift_section),
    _one(lambda results: results.heated_tank, heated_tank_sections),
    _one(lambda results: results.diverted_tank, diverted_tank_sections),
    _one(lambda results: results.matching, match_section),
    _one(lambda results: results.heater_ranking, heater_ranking_section),
    _one(lambda results: results.outages, outage_sections),
    _one(lambda results: results.sized or None, _sized_section),
    _one(lambda results: results.readings, reading_sections),
    _one(lambda results: results.sheet, sheet_section),
    _one(lambda results: results.card, card_section),
)
"""What builds the sections, in the order in which they are read; a new study is one line here."""


def sections(results: Results) -> tuple[Section, ...]:
    """Everything found, as sections of rows and grids.

    Returns:
        the sections in the order they are read
    """
    return tuple(section for table in TABLES for section in table(results))


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
    by_status = counts(results)
    if results.sheet is not None and not results.verdicts and results.figures is None:
        lines, steps = len(results.sheet.lines), len(results.sheet.steps)
        return (
            f"{lines} readings in {steps} steps, in the order of the work: what to read when the "
            "job is handed over, and what it should be."
        )
    if not results.verdicts:
        return "Nothing was judged: the site file lacks what the question needs."
    if by_status["fail"]:
        first = ordered(results.verdicts)[0]
        fails = "1 check fails" if by_status["fail"] == 1 else f"{by_status['fail']} checks fail"
        return f"Not as it stands: {fails}. First: {first.subject} - {first.rule.asks}"
    if by_status["unknown"]:
        return "Nothing fails, but the site file leaves questions open: see what each one needs."
    if by_status["caution"]:
        return "Nothing fails; read the cautions."
    return "Everything that was asked passes."


def sources_used(results: Results) -> tuple[str, ...]:
    """Keys of the sources of all verdicts and assumptions, each once, in alphabetical order."""
    keys = {verdict.rule.source for verdict in results.verdicts}
    keys |= {care.source for care in results.care}
    return tuple(sorted(keys | {assumption.source for assumption in results.assumptions}))
