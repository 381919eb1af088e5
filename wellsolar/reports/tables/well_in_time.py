"""Rows and grids of the well in time: its tests, its level by the hour, its pumps day by day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.reports.rows import Column, Grid, Listed, Row, Section, cells, row
from wellsolar.results.own_kinds import AQUIFER_LOSS, STORAGE, WELL_LOSS
from wellsolar.results.well import (
    PumpInWell,
    PumpsTogether,
    WellResult,
    WellTestResult,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, say


def well_section(well: WellResult) -> Section:
    """The well by the best that the file tells of it, and each pump in it."""
    grids: list[Grid] = []
    for number, test in enumerate(well.tests, 1):
        grids.append(_test(test, number))
    if well.pumps:
        grids += [_air(well.pumps), _days(well.pumps)]
    if any(each.levels for each in well.pumps):
        grids.append(_course(well))
    if any(each.bridges for each in well.pumps):
        grids.append(_bridges(well.pumps))
    return Section(
        "well",
        "Well",
        "How does the water go down, when does a pump draw air, and what does the well give?",
        tuple(_rows(well)),
        tuple(grids),
    )


ROWS = Listed(WellResult, "how", "static_level")
ROWS_2 = Listed(WellResult, "transmissivity", "storage")
WATER_AREA_LIST = Listed(WellResult, "water_area", "tested_yield")
WELL_LOSS_LIST = Listed(
    WellResult,
    ("well_loss", lambda well: f"C of Jacob; by Walton's class {well.well_loss_class}"),
)  # fmt: skip


def _rows(well: WellResult) -> list[Row]:
    falls = well.transmissivity is not None
    rows = [
        *ROWS.rows(well),
        row("specific_capacity", "specific capacity", well.specific_capacity,
            kinds.SPECIFIC_CAPACITY,
            "after a day's pumping, well loss left out" if falls
            else "taken as settled, the same for an hour and a season"),
    ]  # fmt: skip
    if well.well_loss_class:
        rows += WELL_LOSS_LIST.rows(well)
    if falls:
        rows += ROWS_2.rows(well)
    rows += WATER_AREA_LIST.rows(well)
    if well.together is not None:
        rows += _together(well.together)
    for number, test in enumerate(well.tests, 1):
        rows += _fitted(test, number)
    return rows


TOGETHER = Listed(
    PumpsTogether,
    "flow_at_rest", ("air_time", lambda all_pumps: _at_first_intake(all_pumps)),
)  # fmt: skip


def _together(all_pumps: PumpsTogether) -> list[Row]:
    flow, air_time = TOGETHER.rows(all_pumps)
    nothing = "not known" if all_pumps.draws_air else "never in a day"
    return [flow, replace(air_time, nothing=nothing)]


def _at_first_intake(all_pumps: PumpsTogether) -> Sentence:
    return say(
        "at the least deep intake, {intake}; after a day the water is at {level}",
        intake=Quantity(all_pumps.first_intake, kinds.LENGTH),
        level=Quantity(all_pumps.day_level, kinds.LENGTH),
    )


def _test(test: WellTestResult, number: int) -> Grid:
    timed = any(each.time is not None for each in test.readings)
    columns = [
        Column("flow", "flow", kinds.FLOW),
        Column("drawdown", "drawdown", kinds.LENGTH),
        Column("fitted", "by the fit", kinds.LENGTH),
        Column("residual", "difference", kinds.LENGTH),
    ]
    if timed:
        columns.insert(0, Column("time", "time", kinds.DURATION))
    rows = tuple(
        cells(
            columns,
            ([each.time] if timed else [])
            + [each.flow, each.drawdown, each.fitted, each.residual],
        )
        for each in test.readings
    )
    title = f"{test.kind[:1].upper()}{test.kind[1:]}: {test.method}"
    return Grid(f"test_{number}", title, tuple(columns), rows, _test_note(test))


def _test_note(test: WellTestResult) -> str:
    """What to know of a test to read its table."""
    if test.trouble:
        return f"{test.trouble[:1].upper()}{test.trouble[1:]}."
    return "Drawdown below the water at rest; difference is measured less fitted."


def _fitted(test: WellTestResult, number: int) -> list[Row]:
    """What a fit found, as rows."""
    found: Sequence[tuple[str, str, float | None, Kind, str]] = (
        ("aquifer_loss", "aquifer loss B", test.aquifer_loss, AQUIFER_LOSS, ""),
        ("well_loss", "well loss C", test.well_loss, WELL_LOSS, ""),
        ("transmissivity", "transmissivity", test.transmissivity, kinds.TRANSMISSIVITY, ""),
        ("storage", "storage coefficient", test.storage, STORAGE, ""),
        ("straight_transmissivity", "transmissivity", test.straight_transmissivity,
         kinds.TRANSMISSIVITY, "by the straight line of Cooper and Jacob, for comparison"),
        ("straight_storage", "storage coefficient", test.straight_storage, STORAGE,
         "by the straight line"),
        ("root_mean_square", "typical difference", test.root_mean_square, kinds.LENGTH,
         "root mean square, measured less fitted"),
    )  # fmt: skip
    return [
        row(f"test_{number}_{key}", label, value, kind, why or f"by the {test.kind}")
        for key, label, value, kind, why in found
        if value is not None
    ]


def _air(pumps: Sequence[PumpInWell]) -> Grid:
    columns = (
        Column("pump", "pump"),
        Column("intake_depth", "intake", kinds.LENGTH),
        Column("flow_at_rest", "flow, water at rest", kinds.FLOW),
        Column("flow_at_intake", "flow, water at intake", kinds.FLOW),
        Column("draws_air", "draws air?"),
        Column("air_time", "after", kinds.DURATION),
        Column("air_volume", "water till then", kinds.VOLUME),
        Column("day_level", "level after a day", kinds.LENGTH),
    )
    rows = tuple(
        cells(columns, [
            each.name, each.intake_depth, each.flow_at_rest, each.flow_at_intake,
            "yes" if each.draws_air else "not in a day", each.air_time, each.air_volume,
            each.day_level,
        ])
        for each in pumps
    )  # fmt: skip
    note = "Without a stop from rest, at cut-in, where a pump gives most."
    return Grid("air", "Each pump without a stop", columns, rows, note)


DAYS = Listed(
    PumpInWell,
    "name", "stop_level", "restart_level", "first_day", "later_day", "starts", "running",
    "sustained_day", "sustained_season",
)  # fmt: skip


def _days(pumps: Sequence[PumpInWell]) -> Grid:
    note = (
        "Water: as much as pump and well give, stopped and started by the level, at cut-out; "
        "the first day begins at rest. Borne: the greatest steady flow that keeps the water "
        "above the stop, as reckoned; trust no more than the tested yield until a longer test "
        "bears it out."
    )
    return DAYS.grid("days", "Each pump on and off for days", pumps, note)


def _course(well: WellResult) -> Grid:
    shown = [each for each in well.pumps if each.levels]
    columns = [Column("time", "after", kinds.DURATION)]
    columns += [
        Column(f"level_{number}", each.name, kinds.LENGTH) for number, each in enumerate(shown, 1)
    ]
    levels = [each.levels for each in shown]
    if well.together is not None and well.together.levels:
        columns.append(Column("level_all", "all at once", kinds.LENGTH))
        levels.append(well.together.levels)
    rows = tuple(
        cells(columns, [time, *(each[index] for each in levels)])
        for index, time in enumerate(well.times)
    )
    return Grid(
        "course",
        "Water level below the ground while a pump runs without a stop",
        tuple(columns),
        rows,
        "From rest, at cut-in; at its intake a pump draws air, and the level stays there.",
    )


def _bridges(pumps: Sequence[PumpInWell]) -> Grid:
    columns = (
        Column("pump", "pump"),
        Column("demand", "demand"),
        Column("wanted", "wanted", kinds.VOLUME),
        Column("given", "from pump and well", kinds.VOLUME),
        Column("storage", "from storage", kinds.VOLUME),
    )
    rows = tuple(
        cells(columns, [pump.name, each.label, each.wanted, each.given, each.storage])
        for pump in pumps
        for each in pump.bridges
    )
    return Grid(
        "storage", "Storage that bridges a demand", columns, rows, "From rest, at cut-out."
    )
