"""The figure of what is left when things fail: every outage against every source."""

from __future__ import annotations

from dataclasses import replace

from wellsolar import kinds
from wellsolar.reports.figures.plots import MatrixCell, MatrixColumn, MatrixPanel, Plot, value
from wellsolar.results.entries import A_DAY, DAYS
from wellsolar.results.outages import Outage, OutageResult
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, say

DEMANDS = ("survival", "basic", "ordinary")
"""What is wanted of water, the least first."""

BESIDE, BELOW = 6, 18
"""Columns that find room beside each other, and rows below, so that a figure fits on a sheet."""

DAYS_HOT = ", or the days on which the evening's water is hot"

HEATED = {"hot": "hot", "on sunny days": "by sun", "cooling": "cooling", "none": "none"}
"""A tank's state in a word that fits a cell."""

PRESSURES = {
    "yes": "pressure at the taps",
    "by hand": "pressure at the taps by the handle",
    "short cycling": "pressure at the taps by a pump that starts too often",
    "by gravity": "water at the taps by gravity",
    "no": "no water at the taps",
}


def outage_plots(found: OutageResult) -> list[Plot]:
    """The matrix of outages and sources, on as many figures as it needs, each low enough for a
    sheet of paper."""
    outages = (found.whole, *found.outages)
    columns = _columns(found, outages)
    told = (
        "cups from the left: survival, basic and ordinary use, each filled as far as it is met"
        if any((found.survival, found.basic, found.normal))
        else "no cups: the file does not say how much water is wanted"
    )
    hot = found.whole.hot is not None
    plots: list[Plot] = []
    for top in range(0, len(outages), BELOW):
        rows = slice(top, top + BELOW)
        names = tuple(outage.name for outage in outages[rows])
        for left in range(0, len(columns), BESIDE):
            beside = columns[left : left + BESIDE]
            panel = MatrixPanel(
                "",
                names,
                tuple(replace(column, cells=column.cells[rows]) for column in beside),
                told,
            )
            plots.append(
                Plot(
                    key=f"outages_{len(plots) + 1}" if plots else "outages",
                    title=f"{'Water and hot water' if hot else 'Water'} when things fail"
                    if left == 0
                    else "The same of further sources",
                    caption="Each row is something that has failed. A number is water of a mean "
                    f"day of it{DAYS_HOT if hot else ''}; the cups show what that is enough for.",
                    description=tuple(_told(outage) for outage in outages[rows]),
                    section="outages",
                    panels=(panel,),
                )
            )
    return plots


def _columns(found: OutageResult, outages: tuple[Outage, ...]) -> list[MatrixColumn]:
    """All sources together, the hot water, and each source alone."""
    wanted = (found.survival, found.basic, found.normal)
    columns = [
        MatrixColumn("all", "all together", A_DAY, DEMANDS,
                     tuple(_cell(outage.volume, wanted, best(outage)) for outage in outages))
    ]  # fmt: skip
    if found.whole.hot is not None:
        columns.append(MatrixColumn("hot", "hot water", DAYS, ("hot",), _hot(outages)))
    for number, source in enumerate(found.whole.cells, 1):
        cells = tuple(_cell(outage.cell(source.source).volume, wanted) for outage in outages)
        columns.append(MatrixColumn(f"source_{number}", source.source, A_DAY, DEMANDS, cells))
    return columns


def best(outage: Outage) -> str:
    """The greatest demand that an outage leaves water for, in a word; "" where none is known."""
    met = (outage.survival, outage.basic, outage.normal)
    known = [(name, share) for name, share in zip(DEMANDS, met, strict=True) if share is not None]
    enough = [name for name, share in known if share >= 1.0]
    return enough[-1] if enough else "short" if known else ""


def _cell(volume: float, wanted: tuple[float | None, ...], word: str = "") -> MatrixCell:
    return MatrixCell(
        volume, word, tuple(min(1.0, volume / need) if need else None for need in wanted)
    )


def _hot(rows: tuple[Outage, ...]) -> tuple[MatrixCell, ...]:
    hot_marks = []
    for outage in rows:
        hot = outage.hot
        assert hot is not None
        share = None if hot.days is None else min(1.0, hot.days / outage.days)
        hot_marks.append(MatrixCell(hot.days, HEATED.get(hot.state, hot.state), (share,)))
    return tuple(hot_marks)


def _told(outage: Outage) -> Sentence:
    """A row in words."""
    word, hot = best(outage), outage.hot
    template = "{what}, {days} days: {volume} of all sources together"
    template += f", {ENOUGH[word]}; {PRESSURES[outage.pressure]}"
    parts: dict[str, Quantity | str] = {
        "what": "Nothing failed" if outage.key == "whole" else f"Failed: {outage.name}",
        "days": value(outage.days, kinds.COUNT),
        "volume": value(outage.volume, A_DAY),
    }
    if hot is not None and hot.days is not None:
        template += "; hot water for {hot}"
        parts["hot"] = value(hot.days, DAYS)
    return say(f"{template}.", **parts)


ENOUGH = {
    "ordinary": "enough for ordinary use",
    "basic": "enough for basic use",
    "survival": "enough to survive on",
    "short": "too little to survive on",
    "": "and how much is wanted is not known",
}
