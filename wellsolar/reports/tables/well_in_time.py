"""Rows and grids of the well in time: its tests, its level by the hour, its pumps day by day."""

from __future__ import annotations

from collections.abc import Sequence

from wellsolar import kinds
from wellsolar.kinds import Kind, Shown
from wellsolar.reports.rows import Column, Grid, Row, Section, cells, quantity, row
from wellsolar.results.well import (
    PumpInWell,
    PumpsTogether,
    WellResult,
    WellTestResult,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, say

WELL_LOSS = Kind(
    "well loss", "second**2/meter**5", "s2_per_m5", "2 s2/ft5",
    {"s2/ft5": "second**2/foot**5", "s2/m5": "second**2/meter**5"},
    (Shown("s²/ft⁵", "s2/ft5", 2),), (Shown("s²/m⁵", "s2/m5", 1),),
)  # fmt: skip
AQUIFER_LOSS = Kind(
    "aquifer loss", "second/meter**2", "s_per_m2", "3 ft/gpm",
    {"ft/gpm": "foot*minute/gallon", "m/(L/min)": "meter*minute/liter"},
    (Shown("ft/gpm", "ft/gpm", 4),), (Shown("m/(L/min)", "m/(L/min)", 5),),
)  # fmt: skip
STORAGE = Kind(
    "storage coefficient", "", "ratio", "1e-4", {"": ""},
    (Shown("", "", 9),), (Shown("", "", 9),),
)  # fmt: skip
WATER_AREA = Kind(
    "water for each length of casing", "meter**2", "m2", "1.4 gal/ft",
    {"gal/ft": "gallon/foot", "L/m": "liter/meter"},
    (Shown("gal/ft", "gal/ft", 3),), (Shown("L/m", "L/m", 2),),
)  # fmt: skip


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


def _rows(well: WellResult) -> list[Row]:
    falls = well.transmissivity is not None
    rows = [
        Row("how", "known by", well.how),
        row("static_level", "static level", well.static_level, kinds.LENGTH,
            "below the ground, water at rest"),
        row("specific_capacity", "specific capacity", well.specific_capacity,
            kinds.SPECIFIC_CAPACITY,
            "after a day's pumping, well loss left out" if falls
            else "taken as settled, the same for an hour and a season"),
    ]  # fmt: skip
    if well.well_loss_class:
        rows.append(
            row("well_loss", "well loss", well.well_loss, WELL_LOSS,
                f"C of Jacob; by Walton's class {well.well_loss_class}")
        )  # fmt: skip
    if falls:
        rows += [
            row("transmissivity", "transmissivity", well.transmissivity, kinds.TRANSMISSIVITY),
            row("storage", "storage coefficient", well.storage, STORAGE,
                "with what else widens or narrows the well"),
        ]  # fmt: skip
    rows.append(
        row("water_area", "water in the casing", well.water_area, WATER_AREA,
            "less the pipes and cables that hang in it" if well.water_area is not None
            else "the file has no bore, or what hangs in the casing fills it")
    )  # fmt: skip
    if well.tested_yield is not None:
        rows.append(
            row("tested_yield", "tested yield", well.tested_yield, kinds.FLOW,
                "beyond it the levels below are reckoned, not measured")
        )  # fmt: skip
    if well.together is not None:
        rows += _together(well.together)
    for number, test in enumerate(well.tests, 1):
        rows += _fitted(test, number)
    return rows


def _together(all_pumps: PumpsTogether) -> list[Row]:
    return [
        row("all_flow", "all pumps at once", all_pumps.flow_at_rest, kinds.FLOW,
            "water at rest; they share one drawdown"),
        Row("all_air_time", "then air is drawn after",
            quantity(all_pumps.air_time, kinds.DURATION), _at_first_intake(all_pumps),
            kinds.DURATION, "not known" if all_pumps.draws_air else "never in a day"),
    ]  # fmt: skip


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


def _days(pumps: Sequence[PumpInWell]) -> Grid:
    columns = (
        Column("pump", "pump"),
        Column("stop_level", "stops at", kinds.LENGTH),
        Column("restart_level", "starts again at", kinds.LENGTH),
        Column("first_day", "water, first day", kinds.VOLUME),
        Column("later_day", "water, later day", kinds.VOLUME),
        Column("starts", "starts, later day", kinds.COUNT),
        Column("running", "share it runs", kinds.FRACTION),
        Column("sustained_day", "borne for a day", kinds.FLOW),
        Column("sustained_season", "borne for 90 days", kinds.FLOW),
    )
    rows = tuple(
        cells(columns, [
            each.name, each.stop_level, each.restart_level, each.first_day, each.later_day,
            each.starts, each.running, each.sustained_day, each.sustained_season,
        ])
        for each in pumps
    )  # fmt: skip
    note = (
        "Water: as much as pump and well give, stopped and started by the level, at cut-out; "
        "the first day begins at rest. Borne: the greatest steady flow that keeps the water "
        "above the stop, as reckoned; trust no more than the tested yield until a longer test "
        "bears it out."
    )
    return Grid("days", "Each pump on and off for days", columns, rows, note)


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
