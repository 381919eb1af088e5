"""Rows and grids of the year: the sun on each group, the supply of water, the ranking of pumps,
and the modules on hand."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Cell, Column, Grid, Listed, Row, Section, cells, quantity, row
from wellsolar.results import (
    AllocationResult,
    RankedPump,
    RankingResult,
    SunYearResult,
    SupplyYearResult,
)
from wellsolar.results.entries import MONTHS
from wellsolar.units import Quantity

SUN = Listed(SunYearResult, "source")


def sun_section(sun: SunYearResult) -> Section:
    """The site's year of hours, and peak sun hours on each group's plane."""
    columns = (
        Column("month", "month"),
        Column("horizontal", "level", kinds.IRRADIATION),
        *(
            Column(f"plane_{number}", plane.group, kinds.IRRADIATION)
            for number, plane in enumerate(sun.planes, 1)
        ),
        Column("temperature", "air", kinds.TEMPERATURE),
    )
    rows = tuple(
        cells(columns, [
            MONTHS[month], sun.horizontal[month], *(each.totals[month] for each in sun.planes),
            sun.temperatures[month],
        ])
        for month in range(12)
    )  # fmt: skip
    behind = [
        name
        for name, there in (("shading", sun.shading), ("horizon", sun.horizon))
        if there and sun.planes
    ]
    note = "kWh/m² a day are peak sun hours."
    if behind:
        note += f" The groups stand behind the file's {' and '.join(behind)}."
    return Section(
        "sun",
        "Sun through the year",
        "How many hours of full sun does each group get?",
        (
            *SUN.rows(sun),
            *(
                row(f"plane_{number}_year", plane.group, plane.year, kinds.IRRADIATION,
                    _orientation(plane.tilt, plane.azimuth))
                for number, plane in enumerate(sun.planes, 1)
            ),
        ),
        (Grid("months", "Peak sun hours, mean of each month's days", columns, rows, note),),
    )  # fmt: skip


def _orientation(tilt: float, azimuth: float) -> str:
    return f"mean a day over the year, tilt {tilt:g}°, azimuth {azimuth:g}°"


def supply_year_section(supply: SupplyYearResult, number: int) -> Section:
    """The supply of one pump's water hour by hour."""
    return Section(
        f"supply_year_{number}",
        f"Water of {supply.pump} through the year",
        "On how many days of the year does the water fall short?",
        (*_supply_rows(supply), *_energy_rows(supply)),
        (_supply_months(supply),),
    )


SUPPLY = Listed(
    SupplyYearResult,
    "modules", "losses",
    ("flow", lambda supply: "in full sun" if supply.direct else "mean while it runs"), "power",
    "daily_volume", "storage", "usable_battery", "standing_load", "days_short",
    "longest_short_run", "volume_unmet",
)  # fmt: skip


def _supply_rows(supply: SupplyYearResult) -> list[Row]:
    how = "straight off the modules" if supply.direct else "by battery"
    return [
        Row("pump", "pump", supply.pump, how),
        *SUPPLY.rows(supply),
    ]  # fmt: skip


ENERGY_LIST = Listed(
    SupplyYearResult,
    "energy_made", "energy_used", "energy_pump", "energy_spilled",
)  # fmt: skip
ENERGY_LIST_2 = Listed(SupplyYearResult, "other_unmet", "least_charge")


def _energy_rows(supply: SupplyYearResult) -> list[Row]:
    rows = ENERGY_LIST.rows(supply)
    if not supply.direct:
        rows += ENERGY_LIST_2.rows(supply)
    return rows


def _supply_months(supply: SupplyYearResult) -> Grid:
    columns = (
        Column("month", "month"),
        Column("wanted", "wanted", kinds.ENERGY),
        Column("made", "made", kinds.ENERGY),
        Column("used", "used", kinds.ENERGY),
        Column("spilled", "not taken", kinds.ENERGY),
        Column("pumped", "pumped", kinds.VOLUME),
        Column("unmet", "missing", kinds.VOLUME),
        Column("days_short", "days short", kinds.COUNT),
        Column("least_charge", "lowest charge", kinds.FRACTION),
    )
    rows = tuple(
        cells(columns, [
            MONTHS[each.month - 1], each.wanted, each.made, each.used, each.spilled, each.pumped,
            each.unmet, each.days_short, each.least_charge,
        ])
        for each in supply.months
    )  # fmt: skip
    kept = columns[:-1] if supply.direct else columns
    return Grid(
        "months", "Hour by hour, in each month", kept,
        tuple(each[: len(kept)] for each in rows),
        "The year is run twice; what is told is the second time, which begins as the first ended.",
    )  # fmt: skip


RANKING = Listed(RankingResult, "module_power")
RANKING_2 = Listed(RankingResult, "most")


def ranking_section(ranking: RankingResult) -> Section:
    """The smallest arrays: of the site's own pumps and battery, and of all ranked."""
    grids = [_smallest(ranking)] if ranking.site_rows else []
    if ranking.shown:
        grids.append(_ranked(ranking))
    return Section(
        "ranking",
        "Smallest array",
        "Which pump, how many modules, how much battery?",
        (
            *RANKING.rows(ranking),
            row("candidates", "pumps and batteries", len(ranking.rows), kinds.COUNT,
                "pairs that were looked at"),
            *RANKING_2.rows(ranking),
        ),
        tuple(grids),
    )  # fmt: skip


def _fewest(row_of: RankedPump, ranking: RankingResult) -> list[Cell]:
    return [
        f"over {ranking.most}" if each is None else Quantity(each, kinds.COUNT)
        for each in row_of.modules
    ]


def _smallest(ranking: RankingResult) -> Grid:
    columns = (
        Column("pump", "pump"),
        Column("battery", "battery", kinds.ENERGY),
        *(
            Column(f"modules_{days}_days_short", f"{days} days short", kinds.COUNT)
            for days in ranking.allowed
        ),
        Column("hand_rule", "rule of thumb, pump alone", kinds.COUNT),
        Column("hand_rule_loaded", "rule of thumb, all loads", kinds.COUNT),
    )
    return Grid(
        "smallest",
        "Fewest modules with what the site has",
        columns,
        tuple(
            (
                each.pump,
                quantity(each.battery, kinds.ENERGY),
                *_fewest(each, ranking),
                quantity(each.hand_rule, kinds.COUNT),
                quantity(each.hand_rule_loaded, kinds.COUNT),
            )
            for each in ranking.site_rows
        ),
        "Hour by hour for so many days short a year; the rule of thumb is energy / peak sun hours "
        "/ derate in the darkest month, and without a battery at least the running pump / derate. "
        "All loads are pump, idle draw and other use.",
    )


def _ranked(ranking: RankingResult) -> Grid:
    columns = (
        Column("pump", "pump"),
        Column("battery", "battery", kinds.ENERGY),
        *(
            Column(f"modules_{days}_days_short", f"{days} days short", kinds.COUNT)
            for days in ranking.allowed
        ),
        Column("hand_rule", "rule of thumb", kinds.COUNT),
        Column("daily_energy", "pump a day", kinds.ENERGY),
    )
    rows = tuple(
        (
            f"{each.pump} (invented)" if each.invented else each.pump,
            quantity(each.battery, kinds.ENERGY),
            *_fewest(each, ranking),
            quantity(each.hand_rule_loaded, kinds.COUNT),
            Quantity(each.daily_energy, kinds.ENERGY),
        )
        for each in ranking.rows[: ranking.shown]
    )
    note = f"{ranking.shown} of {len(ranking.rows)}, by modules for {ranking.by} days short, then "
    note += "by battery, then by energy. Rule of thumb with all loads."
    if any(each.invented for each in ranking.rows):
        note += " Invented pumps are made up for comparison; nobody sells them."
    if ranking.left_out:
        note += f" Left out, for they do not lift the water: {', '.join(ranking.left_out)}."
    return Grid("pumps", "Pumps and batteries, the best first", columns, rows, note)


LEDGER = Listed(AllocationResult, "on_hand", "used")


def ledger_section(ledger: AllocationResult) -> Section:
    """The modules on hand, who has them, and what one more or fewer does."""
    grids = [_groups(ledger)]
    if any(each.energy for each in ledger.groups):
        grids.append(_ledger_months(ledger))
    if ledger.moves:
        grids.append(_moves(ledger))
    return Section(
        "modules",
        "Modules on hand",
        "Who has the modules, and where would one more do most?",
        (
            *LEDGER.rows(ledger),
            row("spare", "spare", ledger.spare, kinds.COUNT)
            if ledger.spare >= 0
            else row("lacking", "lacking", -ledger.spare, kinds.COUNT),
        ),
        tuple(grids),
    )


def _groups(ledger: AllocationResult) -> Grid:
    columns = (
        Column("group", "group"),
        Column("feeds", "feeds"),
        Column("modules", "modules", kinds.COUNT),
        Column("share", "of those on hand", kinds.FRACTION),
        Column("energy", "a year", kinds.ENERGY),
        Column("where", "counted"),
    )
    rows = tuple(
        cells(columns, [
            each.name, each.feeds, each.modules, each.modules / ledger.on_hand,
            sum(each.energy) if each.energy else None, each.where or None,
        ])
        for each in ledger.groups
    )  # fmt: skip
    return Grid("groups", "Groups", columns, rows)


def _ledger_months(ledger: AllocationResult) -> Grid:
    known = [(number, each) for number, each in enumerate(ledger.groups, 1) if each.energy]
    columns = [Column("month", "month")]
    for number, each in known:
        columns += [
            Column(f"group_{number}_lost", f"{each.name}: one fewer", kinds.ENERGY),
            Column(f"group_{number}_gained", f"{each.name}: one more", kinds.ENERGY),
        ]
    rows = tuple(
        cells(columns, [
            MONTHS[month],
            *(value for _, each in known for value in (-each.lost[month], each.gained[month])),
        ])
        for month in range(12)
    )  # fmt: skip
    return Grid(
        "months", "What one module fewer loses and one more gains, in each month",
        tuple(columns), rows,
        "What a full battery or a hot tank turns away is not taken off. Heater: at the element, "
        "one module in the string; of several strings a whole one, parted among its modules. "
        "Before a string grows, look at its voltage in the cold.",
    )  # fmt: skip


def _moves(ledger: AllocationResult) -> Grid:
    columns = (
        Column("giver", "one module from"),
        Column("taker", "to"),
        Column("lost", "loses a year", kinds.ENERGY),
        Column("gained", "gains a year", kinds.ENERGY),
        Column("days_short_before", "days short now", kinds.COUNT),
        Column("days_short_after", "days short then", kinds.COUNT),
    )
    rows = tuple(
        cells(columns, [
            each.giver, each.taker, -each.lost, each.gained,
            *(each.days_short if each.days_short is not None else (None, None)),
        ])
        for each in ledger.moves
    )  # fmt: skip
    note = f"Days short are those of {ledger.pump}." if ledger.pump else ""
    return Grid("moves", "One module moved, over the year", columns, rows, note)
