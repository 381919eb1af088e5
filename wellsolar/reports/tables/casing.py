"""Rows and grids of the fit in the casing."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Listed, Row, Section, cells
from wellsolar.results import CasingResult
from wellsolar.results.well import CasingBody, CasingSection

CASING = Listed(CasingResult, "bore", "clearance_wanted")
CASING_2 = Listed(
    CasingSection,
    "top", "bottom", "smallest_circle",
    ("clearance", lambda each: "less than nothing where they do not fit"
     if each.clearance < 0 else ""),
)  # fmt: skip


def casing_section(casing: CasingResult) -> Section:
    """What hangs side by side at each depth, against the bore of the casing."""
    tightest = casing.sections[casing.tightest]
    rows = (
        *CASING.rows(casing),
        *CASING_2.rows(tightest),
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


BODIES = Listed(CasingBody, "name", "diameter", "top", "bottom")


def _bodies(casing: CasingResult) -> Grid:
    note = (
        "The intake lies somewhere along a pump: its whole length is kept free above and below. "
        "Pipes by their outside, a flat cable as a circle of its width."
    )
    return BODIES.grid("bodies", "What hangs in the well", casing.bodies, note)


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
