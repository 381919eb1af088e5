"""Rows and grids of the fit in the casing."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Row, Section, cells, row
from wellsolar.results import CasingResult


def casing_section(casing: CasingResult) -> Section:
    """What hangs side by side at each depth, against the bore of the casing."""
    tightest = casing.sections[casing.tightest]
    rows = (
        row("bore", "casing bore", casing.bore, kinds.BORE, "inside"),
        row("clearance_wanted", "clearance wanted", casing.clearance_wanted, kinds.BORE,
            "over the smallest circle, as a difference of diameters"),
        row("tightest_top", "tightest from", tightest.top, kinds.LENGTH, "below the ground"),
        row("tightest_bottom", "tightest to", tightest.bottom, kinds.LENGTH),
        row("smallest_circle", "smallest circle there", tightest.smallest_circle, kinds.BORE,
            "round all that hangs side by side"),
        row("clearance", "clearance left", tightest.clearance, kinds.BORE,
            "less than nothing where they do not fit" if tightest.clearance < 0 else ""),
        Row("left_out", "left out", "torque arrestors, couplings, clamps",
            "place them where there is room; a crooked casing asks for more"),
    )  # fmt: skip
    return Section(
        "casing",
        "Fit in the casing",
        "Do pumps, pipes, cables and cylinder pass each other in the well?",
        rows,
        (_bodies(casing), _sections(casing)),
    )


def _bodies(casing: CasingResult) -> Grid:
    columns = (
        Column("body", "body"),
        Column("diameter", "diameter", kinds.BORE),
        Column("top", "from", kinds.LENGTH),
        Column("bottom", "to", kinds.LENGTH),
    )
    rows = tuple(
        cells(columns, [each.name, each.diameter, each.top, each.bottom]) for each in casing.bodies
    )
    note = (
        "The intake lies somewhere along a pump: its whole length is kept free above and below. "
        "Pipes by their outside, a flat cable as a circle of its width."
    )
    return Grid("bodies", "What hangs in the well", columns, rows, note)


def _sections(casing: CasingResult) -> Grid:
    columns = (
        Column("top", "from", kinds.LENGTH),
        Column("bottom", "to", kinds.LENGTH),
        Column("smallest_circle", "smallest circle", kinds.BORE),
        Column("clearance", "clearance left", kinds.BORE),
        Column("bodies", "side by side"),
    )
    rows = tuple(
        cells(columns, [
            each.top, each.bottom, each.smallest_circle, each.clearance, ", ".join(each.bodies),
        ])
        for each in casing.sections
    )  # fmt: skip
    return Grid("sections", "Depth by depth", columns, rows)
