"""Rows and grids of the match between an array and its element, and of ranked heated tanks."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Listed, Row, Section, cells, number_text
from wellsolar.results.entries import MONTHS, Entry
from wellsolar.results.match import (
    ArrayMatch,
    CouplingMonth,
    CouplingWay,
    CurrentCeiling,
    Diversion,
    HeaterRankingResult,
    HeaterRow,
    LeftOut,
    MatchResult,
    ModuleStep,
    StockElement,
    StringLayout,
    Thresholds,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, say

PUBLISHED_BAND = "74 to 83 % are published for an optimised resistance in middle latitudes"


def match_section(result: MatchResult) -> Section:
    """Array and elements, as one who buys the element asks."""
    rows: list[Row] = []
    grids: list[Grid] = []
    if result.match is not None:
        rows += _match_rows(result.match)
        grids += _match_grids(result.match, result.full)
    if result.further:
        grids.append(_further(result.further))
    if result.diversion is not None:
        rows += DIVERSION.rows(result.diversion)
        if result.diversion.named:
            grids.append(_diversion_months(result.diversion))
    return Section(
        "match",
        "Array and element matched",
        "Which element, and what between, takes the most of these modules in a year?",
        tuple(rows),
        tuple(grids),
    )


MATCH = Listed(
    ArrayMatch,
    ("array", lambda match: f"{match.series} in series, {match.parallel} in parallel"),
    "resistance", "cable_resistance", "matched_resistance",
)  # fmt: skip
ON_BEST = Listed(
    CouplingWay,
    "best_resistance",
    ("ratio", Entry("share on the best", kinds.FRACTION,
     f"of what the array could give; {PUBLISHED_BAND}", key="best_ratio")),
)  # fmt: skip
AT_WORK = Listed(CouplingWay, "energy", "ratio")
AGAINST_BEST = Listed(ArrayMatch, "of_best", "peak_power", "lift")


def _match_rows(match: ArrayMatch) -> list[Row]:
    rows = [
        *MATCH.rows(match),
        *ON_BEST.rows(match.best_single),
        *AT_WORK.rows(match.own),
        *AGAINST_BEST.rows(match),
    ]  # fmt: skip
    if match.ceiling is not None:
        why = {"one_more": _one_more(match.ceiling, match.resistance)}
        rows += CEILING.rows(match.ceiling, why=why)
    return rows if match.thresholds is None else [*rows, *THRESHOLDS.rows(match.thresholds)]


CEILING = Listed(CurrentCeiling, "power", "hours", "energy", "one_more")


def _one_more(ceiling: CurrentCeiling, resistance: float) -> Sentence:
    return say(
        "more energy; any number adds {most} at most: the current squared times "
        "{resistance} is all that it can become",
        most=Quantity(ceiling.series_gain, kinds.FRACTION),
        resistance=Quantity(resistance, kinds.RESISTANCE),
    )


FURTHER = Listed(ArrayMatch, "array", "resistance", "matched_resistance", "of_best", "peak_power")


def _further(matches: tuple[ArrayMatch, ...]) -> Grid:
    columns = (
        *FURTHER.columns(),
        Column("energy", "energy a year", kinds.ENERGY),
        Column("ratio", "share", kinds.FRACTION),
    )
    rows = tuple(
        (*FURTHER.cells(match), *cells(columns[-2:], [match.own.energy, match.own.ratio]))
        for match in matches
    )
    note = "Share: of what the array could give at its maximum power, by energy."
    return Grid("further", "Further elements on arrays of their own", columns, rows, note)


THRESHOLDS = Listed(
    Thresholds,
    ("energy", lambda switched: f"a year, of {len(switched.resistances)} resistances"),
    "hourly_energy",
)  # fmt: skip


def _switching(switched: Thresholds) -> Grid:
    columns = (
        Column("resistance", "resistance", kinds.RESISTANCE),
        Column("from_irradiance", "best from", kinds.IRRADIANCE),
        Column("named_irradiance", "in the file", kinds.IRRADIANCE),
    )
    highest_first = switched.resistances[::-1]
    named = switched.named or (None,) * len(switched.best)
    rows = tuple(
        cells(columns, [ohms, best if best is None or math.isfinite(best) else "never", best_told])
        for ohms, best, best_told in zip(
            highest_first, (None, *switched.best), (None, *named), strict=True
        )
    )
    note = "Sun on the modules from which each resistance is in force; the first one below that."
    return Grid("switching", "Where the relays switch", columns, rows, note)


def _ohms(resistances: tuple[float, ...]) -> str:
    """Resistances in one cell; many are told by their ends."""
    shown = [
        number_text(Quantity(resistance, kinds.RESISTANCE), "SI") for resistance in resistances
    ]
    if len(shown) > 4:
        return f"{shown[0]} to {shown[-1]}"
    return ", ".join(shown) or "any"


def _match_grids(match: ArrayMatch, full: bool) -> list[Grid]:
    grids = [_ways(match)]
    if match.thresholds is not None:
        grids.append(_switching(match.thresholds))
    grids.append(_shelf(match))
    if full:
        note = "Sums of the month, by the file's own coupling."
        months = BY_MONTH.grid("months", "As it is, in each month", match.months, note)
        grids += [_wirings(match), months]
    return grids


def _ways(match: ArrayMatch) -> Grid:
    columns = (
        Column("coupling", "coupling"),
        Column("resistances", "resistance (ohm)"),
        Column("energy", "energy a year", kinds.ENERGY),
        Column("ratio", "share", kinds.FRACTION),
        Column("of_best", "against best single", kinds.FRACTION),
    )
    rows = tuple(
        cells(columns, [
            way.text, _ohms(way.resistances), way.energy, way.ratio,
            way.energy / match.best_single.energy,
        ])
        for way in match.ways
    )  # fmt: skip
    note = "Share: of what the array could give at its maximum power, by energy."
    return Grid("ways", "What could stand between array and element", columns, rows, note)


STOCK_ELEMENTS = Listed(
    StockElement,
    "text", "resistance", "energy", "of_best", "greatest_voltage", "voltage_ratio", "power_ratio",
)  # fmt: skip


def _shelf(match: ArrayMatch) -> Grid:
    note = (
        "Wired straight. Greatest voltage: across all together, in the coldest bright sun; of a "
        "plate: of the element driven hardest."
        if match.shelf
        else "Nothing that is sold stays within its plate on this array."
    )
    return STOCK_ELEMENTS.grid(
        "shelf", "Elements that are sold and come nearest", match.shelf, note
    )


WIRINGS = Listed(
    StringLayout,
    "change", "series", "parallel", "energy", "gain", "best_resistance", "best_energy",
    "cold_voltage", "greatest_voltage",
)  # fmt: skip


def _wirings(match: ArrayMatch) -> Grid:
    note = (
        "A year. Gain: at the element that is there, with what stands between. Best resistance: "
        "wired straight. A dwelling's array stays within 600 V in the cold, and within what its "
        "switch is rated for; the element within its plate."
    )
    title = "One module more or less, or wired another way"
    return WIRINGS.grid("wirings", title, match.wirings, note)


BY_MONTH = Listed(CouplingMonth, "month", "energy", "ratio", "best_single", "tracked")
DIVERSION = Listed(
    Diversion,
    ("energy", lambda figures:
     f"{'' if figures.named else 'if it were on the inverter: '}a year, an element on the "
     "inverter while the battery is full"),
    "power", "hours",
    ("spilled", lambda figures:
     f"a year, of {figures.modules} modules after {figures.pump} and other use"),
    "used_ratio", "room",
)  # fmt: skip


def _diversion_months(diversion: Diversion) -> Grid:
    columns = (
        Column("month", "month"),
        Column("spilled", "surplus", kinds.ENERGY),
        Column("diverted", "at the element", kinds.ENERGY),
    )
    rows = tuple(
        cells(columns, [MONTHS[month], diversion.months_spilled[month], diversion.months[month]])
        for month in range(12)
    )
    return Grid("diverted_months", "The battery's surplus in each month", columns, rows)


OWN = "yours"
"""What stands beside the site's own design."""


def heater_ranking_section(ranking: HeaterRankingResult) -> Section:
    """Arrays, elements and tanks by what the household gets."""
    return Section(
        "heater_ranking",
        "Heated tanks ranked",
        "Which modules, element and tank give this household the most hot water?",
        tuple(_ranking_rows(ranking)),
        (_best(ranking), _steps(ranking)),
    )


OWN_SHARE = Listed(HeaterRow, "share")
RANKING = Listed(
    HeaterRankingResult,
    "heat_wanted",
    ("screened", lambda ranking: "hour by hour; elements "
     + ("through the site's electronics" if ranking.tracking else "wired straight")
     + ", alone or two alike"),
    "refined", ("most_modules", lambda ranking: _hand(ranking)),
)  # fmt: skip
LEFT_OUT = Listed(
    LeftOut,
    ("over_plate", lambda left:
     "pairs of array and element left out: more volts than marked, in the coldest bright sun"),
    ("over_voltage", lambda left: _cold(left)), ("over_current", lambda left: _wire(left)),
    "weaker",
)  # fmt: skip


def _ranking_rows(ranking: HeaterRankingResult) -> list[Row]:
    left = ranking.left_out
    return [
        *OWN_SHARE.rows(ranking.own),
        *RANKING.rows(ranking),
        Row("tanks", "tanks", _volumes(ranking.tank_volumes),
            "yours and common sizes, lagged like yours: heat loss goes with the surface"),
        *LEFT_OUT.rows(left, without=() if left.wire_limit is not None else ("over_current",)),
    ]  # fmt: skip


def _wire(left: LeftOut) -> Sentence:
    assert left.wire_limit is not None
    limit = Quantity(left.wire_limit, kinds.CURRENT)
    return say("arrays left out: your wire bears {limit}", limit=limit)


def _hand(ranking: HeaterRankingResult) -> str:
    if ranking.on_hand is None:
        return "wellsolar's bound; module.on_hand says how many there are"
    rest = max(0, ranking.on_hand - ranking.elsewhere)
    if not ranking.elsewhere:
        return f"{ranking.on_hand} on hand"
    return f"{ranking.on_hand} on hand; the other groups leave {rest} for the tank"


def _cold(left: LeftOut) -> Sentence:
    return say(
        "arrays left out: more than {limit} open at the record low, or in the worst cold where "
        "the file has none: the least of 600 V and what the file's switches bear",
        limit=Quantity(left.cold_limit, kinds.VOLTAGE),
    )


def _volumes(volumes: tuple[float, ...]) -> Sentence:
    names = [f"tank_{number}" for number in range(len(volumes))]
    parts = {
        name: Quantity(volume, kinds.VOLUME) for name, volume in zip(names, volumes, strict=True)
    }
    return say(", ".join(f"{{{name}}}" for name in names), **parts)


DESIGNS = Listed(
    HeaterRow,
    "modules", "series", "strings", "element", "tank_volume", ("share", "share"), "heat_missing",
)  # fmt: skip


def _best(ranking: HeaterRankingResult) -> Grid:
    rows = [
        (f"{number} {OWN}" if row.own else f"{number}", *DESIGNS.cells(row))
        for number, row in enumerate(ranking.rows, 1)
    ]
    foot = not any(row.own for row in ranking.rows)
    if foot:
        rows.append((OWN, *DESIGNS.cells(ranking.own)))
    return Grid(
        "best",
        "The best designs",
        (Column("place", "place"), *DESIGNS.columns()),
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
