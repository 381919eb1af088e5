"""Rows and grids of the ranking of heated tanks."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Listed, Row, Section, cells, row
from wellsolar.results import HeaterRankingResult, HeaterRow, LeftOut, ModuleStep
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, say

OWN = "yours"
"""What stands beside the site's own design."""


def heater_ranking_section(ranking: HeaterRankingResult) -> Section:
    """Arrays, elements and tanks by what the household gets.

    Parameters:
        ranking: of `study_heater_ranking`
    Returns:
        the section
    """
    return Section(
        "heater_ranking",
        "Heated tanks ranked",
        "Which modules, element and tank give this household the most hot water?",
        tuple(_rows(ranking)),
        (_best(ranking), _steps(ranking)),
    )


ROWS = Listed(HeaterRow, "share")
ROWS_2 = Listed(HeaterRankingResult, "heat_wanted")
ROWS_3 = Listed(HeaterRankingResult, "refined", ("most_modules", lambda ranking: _hand(ranking)))
ROWS_4 = Listed(
    LeftOut,
    ("over_plate", lambda left: "pairs of array and element left out: more volts than marked, in "
     + ("the coldest bright sun" if left.cold_limit is not None
        else "bright sun, cells at 25 °C")),
    ("over_voltage", lambda left: _cold(left)),
)  # fmt: skip
WEAKER = Listed(LeftOut, "weaker")


def _rows(ranking: HeaterRankingResult) -> list[Row]:
    own, left = ranking.own, ranking.left_out
    through = "through the site's electronics" if ranking.tracking else "wired straight"
    rows = [
        *ROWS.rows(own),
        *ROWS_2.rows(ranking),
        row("screened", "designs looked at", ranking.screened, kinds.COUNT,
            f"hour by hour; elements {through}, alone or two alike"),
        *ROWS_3.rows(ranking),
        Row("tanks", "tanks", _volumes(ranking.tank_volumes),
            "yours and common sizes, lagged like yours: heat loss goes with the surface"),
        *ROWS_4.rows(left),
    ]  # fmt: skip
    if left.wire_limit is not None:
        carries = say("arrays left out: your wire bears {limit}",
                      limit=Quantity(left.wire_limit, kinds.CURRENT))  # fmt: skip
        rows.append(
            row("over_current", "over the wire's current", left.over_current, kinds.COUNT, carries)
        )
    rows += WEAKER.rows(left)
    return rows


def _hand(ranking: HeaterRankingResult) -> str:
    if ranking.on_hand is None:
        return "our bound; module.on_hand would tell how many there are"
    rest = max(0, ranking.on_hand - ranking.elsewhere)
    if not ranking.elsewhere:
        return f"{ranking.on_hand} on hand"
    return f"{ranking.on_hand} on hand; the other groups leave {rest} for the tank"


def _cold(left: LeftOut) -> Sentence:
    if left.cold_limit is None:
        return say("not looked at: the file has no sun.record_low")
    return say(
        "arrays left out: more than {limit} open at the record low, the least of 600 V and what "
        "the file's switches bear",
        limit=Quantity(left.cold_limit, kinds.VOLTAGE),
    )


def _volumes(volumes: tuple[float, ...]) -> Sentence:
    names = [f"tank_{number}" for number in range(len(volumes))]
    parts = {
        name: Quantity(volume, kinds.VOLUME) for name, volume in zip(names, volumes, strict=True)
    }
    return say(", ".join(f"{{{name}}}" for name in names), **parts)


def _best(ranking: HeaterRankingResult) -> Grid:
    columns = (
        Column("place", "place"),
        Column("modules", "modules", kinds.COUNT),
        Column("series", "in series", kinds.COUNT),
        Column("strings", "rows", kinds.COUNT),
        Column("element", "element"),
        Column("tank_volume", "tank", kinds.VOLUME),
        Column("share", "share", kinds.FRACTION),
        Column("heat_missing", "missing", kinds.ENERGY),
    )

    def values(place: str, each: HeaterRow) -> list[float | str | None]:
        return [
            place, each.modules, each.series, each.strings, each.element, each.tank_volume,
            each.share, each.heat_missing,
        ]  # fmt: skip

    rows = [
        cells(columns, values(f"{number} {OWN}" if each.own else f"{number}", each))
        for number, each in enumerate(ranking.rows, 1)
    ]
    foot = not any(each.own for each in ranking.rows)
    if foot:
        rows.append(cells(columns, values(OWN, ranking.own)))
    return Grid(
        "best",
        "The best designs",
        columns,
        tuple(rows),
        _note(ranking),
        foot=int(foot),
    )


def _note(ranking: HeaterRankingResult) -> str:
    note = (
        "Share: of the heat wanted in the year, from PV alone; missing: the rest. The same whole "
        "per cent counts as equal; then fewest modules, then the smallest tank. What anything "
        "costs is not considered. Two elements need two openings low in the tank. Draws, "
        "thermostat, wire, tilt and weather are the file's. Before you buy: write a design into "
        "the file and run heat, which judges its safety."
    )
    if not ranking.own_suits:
        note += " Yours breaks one of the limits and so has no place."
    return note


def _steps(ranking: HeaterRankingResult) -> Grid:
    columns = (
        Column("modules", "modules", kinds.COUNT),
        Column("series", "in series", kinds.COUNT),
        Column("strings", "rows", kinds.COUNT),
        Column("element", "element, your tank"),
        Column("share", "share", kinds.FRACTION),
        Column("gain", "gain", kinds.FRACTION),
        Column("any_volume", "best tank", kinds.VOLUME),
        Column("any_share", "share in it", kinds.FRACTION),
    )
    rows = []
    before: HeaterRow | None = None
    for step in ranking.steps:
        rows.append(cells(columns, _step(step, before)))
        before = step.own_tank
    return Grid(
        "modules",
        "What one more module buys",
        columns,
        tuple(rows),
        "For each number of modules the best, run closely, of the first few by the hour, in the "
        "order above: the smallest tank of those that give the same whole per cent. Gain: of the "
        "heat wanted, over one module fewer.",
    )


def _step(step: ModuleStep, before: HeaterRow | None) -> list[float | str | None]:
    own, best = step.own_tank, step.any_tank
    there: list[float | str | None] = [best.tank_volume, best.share]
    if own is None:
        return [best.modules, None, None, None, None, None, *there]
    next_to = before is not None and before.modules == own.modules - 1
    gain = own.share - before.share if before is not None and next_to else None
    return [own.modules, own.series, own.strings, own.element, own.share, gain, *there]
