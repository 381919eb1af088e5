"""Rows and grids of the match between an array and its element."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Listed, Row, Section, cells, number_text, row
from wellsolar.results import (
    ArrayMatch,
    CurrentCeiling,
    Diversion,
    MatchResult,
    Thresholds,
)
from wellsolar.results.entries import MONTHS, Entry
from wellsolar.results.match import CouplingMonth, CouplingWay, StockElement
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, say

BAND = "74 to 83 % are published for an optimised resistance in middle latitudes"


CHANGES = {
    "as it is": "as it is",
    "one module more in each string": "one more in a row",
    "one module less in each string": "one less in a row",
    "one string more": "one row more",
    "one string less": "one row less",
    "the same modules": "the same, rewired",
}
"""The ways of the study in few words."""


def match_section(result: MatchResult) -> Section:
    """Array and elements, as one who buys the element asks."""
    rows: list[Row] = []
    grids: list[Grid] = []
    if result.match is not None:
        rows += _match_rows(result.match)
        grids += _match_grids(result.match, result.full)
    if result.diversion is not None:
        rows += _diversion_rows(result.diversion, result.match is None)
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
MATCH_2 = Listed(CouplingWay, ("ratio", lambda best: f"of what the array could give; {BAND}"))
MATCH_3 = Listed(
    CouplingWay,
    "energy",
    ("ratio", Entry("share at the element", kinds.FRACTION, "of what the array could give")),
)  # fmt: skip
MATCH_4 = Listed(ArrayMatch, "of_best", "peak_power", "lift")


def _match_rows(match: ArrayMatch) -> list[Row]:
    best = match.best_single
    rows = [
        *MATCH.rows(match),
        row("best_resistance", "best for the year", best.resistances[0], kinds.RESISTANCE,
            "one resistance, by energy: higher, since most hours have less than full sun"),
        *MATCH_2.rows(best),
        *MATCH_3.rows(match.own),
        *MATCH_4.rows(match),
    ]  # fmt: skip
    if match.ceiling is not None:
        rows += _ceiling_rows(match.ceiling, match.resistance)
    return [*rows, *_switch_rows(match)]


CEILING = Listed(CurrentCeiling, "power", "hours", "energy")


def _ceiling_rows(ceiling: CurrentCeiling, resistance: float) -> list[Row]:
    return [
        *CEILING.rows(ceiling),
        row("one_more", "one module more in series", ceiling.one_more, kinds.FRACTION,
            _one_more(ceiling, resistance)),
    ]  # fmt: skip


def _one_more(ceiling: CurrentCeiling, resistance: float) -> Sentence:
    return say(
        "more energy; any number adds {most} at most: the current squared times "
        "{resistance} is all that it can become",
        most=Quantity(ceiling.series_gain, kinds.FRACTION),
        resistance=Quantity(resistance, kinds.RESISTANCE),
    )


SWITCH = Listed(
    Thresholds,
    ("energy", lambda switched: f"a year, of {len(switched.resistances)} resistances"),
    "hourly_energy",
)  # fmt: skip


def _switch_rows(match: ArrayMatch) -> list[Row]:
    switched = match.thresholds
    if switched is None:
        return []
    return SWITCH.rows(switched)


def _switching(switched: Thresholds) -> Grid:
    columns = (
        Column("resistance", "resistance", kinds.RESISTANCE),
        Column("from_irradiance", "best from", kinds.IRRADIANCE),
        Column("named_irradiance", "in the file", kinds.IRRADIANCE),
    )
    highest_first = switched.resistances[::-1]
    named = switched.named or (None,) * len(switched.best)
    rows = tuple(
        cells(columns, [ohms, best if best is None or math.isfinite(best) else "never", told])
        for ohms, best, told in zip(
            highest_first, (None, *switched.best), (None, *named), strict=True
        )
    )
    note = "Sun on the modules from which each resistance is in force; the first one below that."
    return Grid("switching", "Where the relays switch", columns, rows, note)


def _ohms(resistances: tuple[float, ...]) -> str:
    """Resistances in one cell; many are told by their ends."""
    shown = [number_text(Quantity(each, kinds.RESISTANCE), "SI") for each in resistances]
    if len(shown) > 4:
        return f"{shown[0]} to {shown[-1]}"
    return ", ".join(shown) or "any"


def _match_grids(match: ArrayMatch, full: bool) -> list[Grid]:
    grids = [_ways(match)]
    if match.thresholds is not None:
        grids.append(_switching(match.thresholds))
    grids.append(_shelf(match))
    return [*grids, _wirings(match), _months(match)] if full else grids


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
            each.text, _ohms(each.resistances), each.energy, each.ratio,
            each.energy / match.best_single.energy,
        ])
        for each in match.ways
    )  # fmt: skip
    note = "Share: of what the array could give at its maximum power, by energy."
    return Grid("ways", "What could stand between array and element", columns, rows, note)


SHELF = Listed(
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
    return SHELF.grid("shelf", "Elements that are sold and come nearest", match.shelf, note)


def _wirings(match: ArrayMatch) -> Grid:
    columns = (
        Column("change", "modules"),
        Column("series", "in series", kinds.COUNT),
        Column("parallel", "rows", kinds.COUNT),
        Column("energy", "on the element", kinds.ENERGY),
        Column("gain", "gain", kinds.FRACTION),
        Column("best_resistance", "best resistance", kinds.RESISTANCE),
        Column("best_energy", "energy on it", kinds.ENERGY),
        Column("cold_voltage", "cold open circuit", kinds.VOLTAGE),
        Column("greatest_voltage", "volts on element", kinds.VOLTAGE),
    )
    rows = tuple(
        cells(columns, [
            CHANGES[each.change], each.series, each.parallel, each.energy, each.gain,
            each.best_resistance, each.best_energy, each.cold_voltage, each.greatest_voltage,
        ])
        for each in match.wirings
    )  # fmt: skip
    note = (
        "A year. Gain: at the element that is there, with what stands between. Best resistance: "
        "wired straight. A dwelling's array stays within 600 V in the cold, and within what its "
        "switch is rated for; the element within its plate."
    )
    return Grid("wirings", "One module more or less, or wired another way", columns, rows, note)


MONTHS_LIST = Listed(CouplingMonth, "month", "energy", "ratio", "best_single", "tracked")


def _months(match: ArrayMatch) -> Grid:
    return MONTHS_LIST.grid("months", "As it is, in each month", match.months,
                "Sums of the month, by the file's own coupling.")  # fmt: skip


DIVERSION = Listed(
    Diversion,
    "power", "hours",
    ("spilled", lambda each:
     f"a year, of {each.modules} modules after {each.pump} and other use"),
    "used_ratio", "room",
)  # fmt: skip


def _diversion_rows(diversion: Diversion, alone: bool) -> list[Row]:
    where = "" if diversion.named else "if it were on the inverter: "
    return [
        row("diverted_energy", "by the battery's surplus", diversion.energy, kinds.ENERGY,
            f"{where}a year, an element on the inverter while the battery is full"),
        *DIVERSION.rows(diversion),
    ]  # fmt: skip


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
