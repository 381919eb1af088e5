"""Rows and grids of the well: its tests, its level in time, what hangs in it, the frost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Listed, Row, Section, cells
from wellsolar.results.entries import Entry
from wellsolar.results.well import (
    Bridge,
    CasingBody,
    CasingResult,
    CasingSection,
    FrostResult,
    OtherWellResult,
    PulledString,
    PumpInWell,
    PumpsTogether,
    TestReading,
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
    if any(pump.levels for pump in well.pumps):
        grids.append(_course(well))
    if any(pump.bridges for pump in well.pumps):
        grids.append(_bridges(well.pumps))
    return Section(
        "well",
        "Well",
        "How does the water go down, when does a pump draw air, and what does the well give?",
        tuple(_rows(well)),
        tuple(grids),
    )


def other_well_sections(other: OtherWellResult, number: int) -> Iterator[Section]:
    """A well beside the first, its casing too.

    Parameters:
        number: of the well, from 1
    """
    built = [
        *([] if other.well is None else [well_section(other.well)]),
        *([] if other.casing is None else [casing_section(other.casing)]),
    ]
    for section in built:
        key, title = f"other_{section.key}_{number}", f"{section.title}: {other.name}"
        yield replace(section, key=key, title=title)


WELL = Listed(
    WellResult,
    "how", "static_level",
    ("specific_capacity", lambda well:
     "after a day's pumping, well loss left out" if well.transmissivity is not None
     else "taken as settled, the same for an hour and a season"),
    ("well_loss", lambda well: f"C of Jacob; by Walton's class {well.well_loss_class}"),
    "transmissivity", "storage", "water_area", "tested_yield",
)  # fmt: skip


def _rows(well: WellResult) -> list[Row]:
    falls = () if well.transmissivity is not None else ("transmissivity", "storage")
    rows = WELL.rows(well, without=falls if well.well_loss_class else (*falls, "well_loss"))
    if well.together is not None:
        rows += _together(well.together)
    for number, test in enumerate(well.tests, 1):
        rows += FITTED.rows(test, f"test_{number}_")
    return rows


ALL_AT_ONCE = Listed(
    PumpsTogether,
    "flow_at_rest", ("air_time", lambda all_pumps: _at_first_intake(all_pumps)),
)  # fmt: skip


def _together(all_pumps: PumpsTogether) -> list[Row]:
    flow, air_time = ALL_AT_ONCE.rows(all_pumps)
    nothing = "not known" if all_pumps.draws_air else "never in a day"
    return [flow, replace(air_time, nothing=nothing)]


def _at_first_intake(all_pumps: PumpsTogether) -> Sentence:
    return say(
        "at the least deep intake, {intake}; after a day the water is at {level}",
        intake=Quantity(all_pumps.first_intake, kinds.LENGTH),
        level=Quantity(all_pumps.day_level, kinds.LENGTH),
    )


READINGS = Listed(TestReading, "time", "flow", "drawdown", "fitted", "residual")


def _test(test: WellTestResult, number: int) -> Grid:
    timed = any(reading.time is not None for reading in test.readings)
    title = f"{test.kind[:1].upper()}{test.kind[1:]}: {test.method}"
    return READINGS.grid(
        f"test_{number}",
        title,
        test.readings,
        _test_note(test),
        without=() if timed else ("time",),
    )


def _test_note(test: WellTestResult) -> str:
    """What to know of a test to read its table."""
    if test.trouble:
        return f"{test.trouble[:1].upper()}{test.trouble[1:]}."
    return "Drawdown below the water at rest; difference is measured less fitted."


def _by_the_test(test: WellTestResult) -> str:
    return f"by the {test.kind}"


FITTED = Listed(
    WellTestResult,
    ("aquifer_loss", _by_the_test), ("well_loss", _by_the_test), ("transmissivity", _by_the_test),
    ("storage", _by_the_test), "straight_transmissivity", "straight_storage", "root_mean_square",
)  # fmt: skip
"""What a fit found."""

WITHOUT_A_STOP = Listed(
    PumpInWell,
    "name", "intake_depth", "flow_at_rest", "flow_at_intake", "draws_air", "air_time",
    "air_volume", "day_level",
)  # fmt: skip


def _air(pumps: Sequence[PumpInWell]) -> Grid:
    note = "Without a stop from rest, at cut-in, where a pump gives most."
    return WITHOUT_A_STOP.grid("air", "Each pump without a stop", pumps, note)


ON_AND_OFF = Listed(
    PumpInWell,
    "name", "stop_level", "restart_level", "first_day", "later_day", "starts", "running",
    "sustained_day", "sustained_season",
)  # fmt: skip


def _days(pumps: Sequence[PumpInWell]) -> Grid:
    note = (
        "Water: as much as pump and well give, stopped and started by the level, at the mean of "
        "cut-in and cut-out; the first day begins at rest. Borne: the greatest steady flow that "
        "keeps the water above the stop, as computed; trust no more than the tested yield until "
        "a longer test bears it out."
    )
    return ON_AND_OFF.grid("days", "Each pump on and off for days", pumps, note)


def _course(well: WellResult) -> Grid:
    shown = [pump for pump in well.pumps if pump.levels]
    columns = [Column("time", "after", kinds.DURATION)]
    columns += [
        Column(f"level_{number}", pump.name, kinds.LENGTH) for number, pump in enumerate(shown, 1)
    ]
    levels = [pump.levels for pump in shown]
    if well.together is not None and well.together.levels:
        columns.append(Column("level_all", "all at once", kinds.LENGTH))
        levels.append(well.together.levels)
    rows = tuple(
        cells(columns, [time, *(level[index] for level in levels)])
        for index, time in enumerate(well.times)
    )
    return Grid(
        "course",
        "Water level below the ground while a pump runs without a stop",
        tuple(columns),
        rows,
        "From rest, at cut-in; at its intake a pump draws air, and the level stays there.",
    )


BRIDGES = Listed(Bridge, "label", "wanted", "given", "storage")


def _bridges(pumps: Sequence[PumpInWell]) -> Grid:
    columns = (Column("pump", "pump"), *BRIDGES.columns())
    rows = tuple((pump.name, *BRIDGES.cells(bridge)) for pump in pumps for bridge in pump.bridges)
    return Grid("storage", "Storage that bridges a demand", columns, rows, "From rest, at cut-in.")


CASING = Listed(CasingResult, "bore", "clearance_wanted")


TIGHTEST = Listed(
    CasingSection,
    "top", "bottom", "smallest_circle",
    ("clearance", lambda tightest: "less than nothing where they do not fit"
     if tightest.clearance < 0 else ""),
)  # fmt: skip


def casing_section(casing: CasingResult) -> Section:
    """What hangs side by side at each depth, against the bore of the casing."""
    tightest = casing.sections[casing.tightest]
    rows = (
        *CASING.rows(casing),
        *TIGHTEST.rows(tightest),
        Row("left_out", "left out", "torque arrestors, couplings, clamps; pitless adapters",
            "arrestors spread by twist and are placed where no other string passes; an adapter "
            "takes room at its depth alone, counted where well.pitless_spool gives its width; a "
            "crooked casing asks for more"),
    )  # fmt: skip
    return Section(
        "casing",
        "Fit in the casing",
        "Do pumps, pipes, cables and cylinder pass each other in the well?",
        rows,
        (
            _bodies(casing),
            SECTIONS.grid("sections", "Depth by depth", casing.sections),
            STRINGS.grid("pulling", "Pulled in this order", casing.strings, PULLING),
        ),
    )


BODIES = Listed(CasingBody, "name", "diameter", "top", "bottom")


def _bodies(casing: CasingResult) -> Grid:
    note = (
        "The intake lies somewhere along a pump: its whole length is kept free above and below. "
        "Pipes by their outside, a flat cable as a circle of its width."
    )
    return BODIES.grid("bodies", "What hangs in the well", casing.bodies, note)


STRINGS = Listed(PulledString, "name", "weight", "left_out")
PULLING = (
    "The least deep first: what comes from below would jam on it. The pipe is full of water, as "
    "its check valve holds it. A rig, a pipe clamp and a safety rope for all that two people "
    "cannot hold."
)


SECTIONS = Listed(
    CasingSection,
    ("top", Entry("from", kinds.LENGTH)), ("bottom", Entry("to", kinds.LENGTH)),
    ("smallest_circle", "smallest circle"), "clearance", "bodies",
)  # fmt: skip


FROST = Listed(FrostResult, "depth", "frost", "wanted")


def frost_section(frost: FrostResult) -> Section:
    """How deep the line lies and how deep it should."""
    return Section(
        "frost",
        "Frost",
        "Does the line from well to house freeze?",
        tuple(FROST.rows(frost)),
    )  # fmt: skip
