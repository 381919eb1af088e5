"""Rows of the verdicts over a file's ranges."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Section
from wellsolar.results.ranges import RangeResult
from wellsolar.units import Quantity


def range_section(ranges: RangeResult) -> Section:
    """The section on how the verdicts stand over the ranges of the file."""
    return Section(
        "ranges",
        "Over the ranges of the file",
        "In what share of the cases does each answer hold, and what does it hang on?",
        (),
        (_inputs(ranges), _choices(ranges), _verdicts(ranges), _settled(ranges)),
    )


def _inputs(ranges: RangeResult) -> Grid:
    return Grid(
        "inputs",
        "What was varied",
        (Column("key", "key"), Column("low", "from"), Column("likeliest", "likeliest"),
         Column("high", "to")),
        tuple(
            (
                ranged_input.path,
                Quantity(ranged_input.value.low, ranged_input.value.kind),
                Quantity(ranged_input.value, ranged_input.value.kind),
                Quantity(ranged_input.value.high, ranged_input.value.kind),
            )
            for ranged_input in ranges.inputs
        ),
        f"{ranges.cases} cases, spread evenly (a Sobol sequence, seed {ranges.seed}): any value "
        "between the ends is as likely, or those near a likeliest value are where one is written.",
    )  # fmt: skip


def _choices(ranges: RangeResult) -> Grid:
    return Grid(
        "choices",
        "Pumps, the surest first",
        (Column("pump", "pump"), Column("holds", "nothing fails in", kinds.FRACTION)),
        tuple((choice.pump, Quantity(choice.holds, kinds.FRACTION)) for choice in ranges.choices),
        "",
    )


def _verdicts(ranges: RangeResult) -> Grid:
    open_ones = [verdict for verdict in ranges.verdicts if verdict.unsettled]
    return Grid(
        "verdicts",
        "Verdicts that are not the same in all cases",
        (
            Column("asked", "asked of"),
            Column("passes", "pass", kinds.FRACTION),
            Column("cautions", "caution", kinds.FRACTION),
            Column("fails", "fail", kinds.FRACTION),
            Column("driver", "hangs on"),
            Column("correlation", "rank correlation", kinds.RATIO),
            Column("turns_at", "fails from"),
        ),
        tuple(
            (
                f"{still_open.subject}: {still_open.rule}",
                Quantity(still_open.passes, kinds.FRACTION),
                Quantity(still_open.cautions, kinds.FRACTION),
                Quantity(still_open.fails, kinds.FRACTION),
                still_open.driver or None,
                Quantity(still_open.correlation, kinds.RATIO) if still_open.driver else None,
                still_open.turns_at,
            )
            for still_open in open_ones
        ),
        "Hangs on: the key whose rank (Spearman) goes with the verdict most, 1 or -1 entirely. "
        "Fails from: where it turns, the other keys at their likeliest.",
    )


def _settled(ranges: RangeResult) -> Grid:
    return Grid(
        "settled",
        "Verdicts that are the same in all cases",
        (Column("asked", "asked of"), Column("status", "in all cases")),
        tuple(
            (f"{verdict.subject}: {verdict.rule}", verdict.usual)
            for verdict in ranges.verdicts
            if not verdict.unsettled
        ),
    )
