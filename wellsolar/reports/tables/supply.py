"""Rows and grids of the year: the sun on each group, the supply of water, the ranking of pumps,
and the modules on hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from wellsolar import kinds
from wellsolar.reports.rows import Cell, Column, Grid, Listed, Section, cells, row
from wellsolar.results.entries import MONTHS, Entry
from wellsolar.results.supply import (
    AllocationResult,
    ChainMonth,
    ChainYearResult,
    PumpPower,
    RankedPump,
    RankingResult,
    SunYearResult,
    SupplyMonth,
    SupplyResult,
    SupplyYearResult,
    YearMonth,
)
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
            MONTHS[month], sun.horizontal[month], *(plane.totals[month] for plane in sun.planes),
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
                    f"mean a day over the year, tilt {plane.tilt:g}°, azimuth {plane.azimuth:g}°")
                for number, plane in enumerate(sun.planes, 1)
            ),
        ),
        (Grid("months", "Peak sun hours, mean of each month's days", columns, rows, note),),
    )  # fmt: skip


SUPPLY = Listed(
    SupplyYearResult,
    ("pump", lambda supply: "straight off the modules" if supply.direct else "by battery"),
    "modules", "losses",
    ("flow", lambda supply: "in full sun" if supply.direct else "mean while it runs"), "power",
    "daily_volume", "storage", "usable_battery", "standing_load", "days_short",
    "longest_short_run", "volume_unmet", "energy_made", "energy_used", "energy_pump",
    "energy_spilled", "other_unmet", "least_charge",
)  # fmt: skip
SUPPLY_MONTHS = Listed(
    YearMonth,
    "month", "wanted", "made", "used", "spilled", "pumped", "unmet", "days_short", "least_charge",
)  # fmt: skip


def supply_year_section(supply: SupplyYearResult, number: int) -> Section:
    """The supply of one pump's water hour by hour."""
    note = "The year is run twice; the second run is shown, which begins as the first ended."
    months = SUPPLY_MONTHS.grid(
        "months", "Hour by hour, in each month", supply.months, note,
        without=("least_charge",) if supply.direct else (),
    )  # fmt: skip
    return Section(
        f"supply_year_{number}",
        f"Water of {supply.pump} through the year",
        "On how many days of the year does the water fall short?",
        tuple(SUPPLY.rows(supply, without=OF_BATTERY if supply.direct else ())),
        (months,),
    )


POWERS: dict[PumpPower, str] = {
    "sun": "straight off the modules", "grid": "on the grid", "battery": "by battery",
}  # fmt: skip
CHAIN = Listed(
    ChainYearResult,
    ("filler", lambda chain: " and ".join(POWERS[power] for power in chain.filler_power)),
    ("booster", lambda chain: POWERS[chain.booster_power] if chain.booster_power else ""),
    "storage", "fill_flow", "well_flow", "booster_flow", "daily_volume", "daily_pumped",
    "days_short", "longest_short_run", "volume_unmet", "least_stored", "turnover", "starts",
    "peak_time", "night",
)  # fmt: skip
CHAIN_MONTHS = Listed(
    ChainMonth,
    "month", "sun_a_day", "pumped_a_day", "wanted_a_day", "unmet", "days_short", "least_stored",
)  # fmt: skip


def chain_section(chain: ChainYearResult) -> Section:
    """The storage tank between well and house through the year."""
    note = (
        "From event to event: draws, floats, the well pumped off and recovered. The year is run "
    )
    note += "twice; the second run is shown, which begins as the first ended."
    without = () if "sun" in chain.filler_power else ("sun_a_day",)
    return Section(
        "chain",
        "Water by way of the storage tank",
        "Does the tank bridge what well, pump and sun do not give?",
        tuple(CHAIN.rows(chain)),
        (CHAIN_MONTHS.grid("months", "In each month", chain.months, note, without=without),),
    )


OF_BATTERY = ("other_unmet", "least_charge")
"""What there is only with a battery."""


RANKING = Listed(RankingResult, "module_power", "candidates", "most")


def ranking_section(ranking: RankingResult) -> Section:
    """The smallest arrays: of the site's own pumps and battery, and of all ranked."""
    grids = [_smallest(ranking)] if ranking.site_rows else []
    if ranking.shown:
        grids.append(_ranked(ranking))
    return Section(
        "ranking",
        "Smallest array",
        "Which pump, how many modules, how much battery?",
        tuple(RANKING.rows(ranking)),
        tuple(grids),
    )


PUMP_AND_BATTERY = Listed(RankedPump, "pump", "battery")
RULES_OF_THUMB = Listed(RankedPump, "hand_rule", "hand_rule_loaded")
RULE_WITH_ALL_LOADS = Listed(
    RankedPump,
    ("hand_rule_loaded", Entry("rule of thumb", kinds.COUNT, key="hand_rule")), "daily_energy",
)  # fmt: skip


def _fewest_modules(
    ranking: RankingResult, pumps: Sequence[RankedPump], end: Listed[RankedPump]
) -> tuple[tuple[Column, ...], tuple[tuple[Cell, ...], ...]]:
    """Columns and rows of pumps with the modules that they want, and what stands behind them."""
    columns = (
        *PUMP_AND_BATTERY.columns(),
        *(
            Column(f"modules_{days}_days_short", f"{days} days short", kinds.COUNT)
            for days in ranking.allowed
        ),
        *end.columns(),
    )
    rows = tuple(
        (
            *PUMP_AND_BATTERY.cells(pump),
            *(
                f"over {ranking.most}" if few is None else Quantity(few, kinds.COUNT)
                for few in pump.modules
            ),
            *end.cells(pump),
        )
        for pump in pumps
    )
    return columns, rows


def _smallest(ranking: RankingResult) -> Grid:
    return Grid(
        "smallest",
        "Fewest modules with what the site has",
        *_fewest_modules(ranking, ranking.site_rows, RULES_OF_THUMB),
        "Hour by hour for so many days short a year; the rule of thumb is energy / peak sun hours "
        "/ derate in the darkest month, and without a battery at least the running pump / derate. "
        "All loads are pump, idle draw and other use.",
    )


def _ranked(ranking: RankingResult) -> Grid:
    shown = [
        replace(row, pump=f"{row.pump} (stock)") if row.of_stock else row
        for row in ranking.rows[: ranking.shown]
    ]
    note = f"{ranking.shown} of {len(ranking.rows)}, by modules for {ranking.by} days short, then "
    note += "by battery, then by energy. Rule of thumb with all loads."
    if ranking.left_out:
        note += f" Left out, for they do not lift the water: {', '.join(ranking.left_out)}."
    columns, rows = _fewest_modules(ranking, shown, RULE_WITH_ALL_LOADS)
    return Grid("pumps", "Pumps and batteries, the best first", columns, rows, note)


LEDGER = Listed(AllocationResult, "on_hand", "used")


def ledger_section(ledger: AllocationResult) -> Section:
    """The modules on hand, who has them, and what one more or fewer does."""
    grids = [_groups(ledger)]
    if any(group.energy for group in ledger.groups):
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
            group.name, group.feeds, group.modules, group.modules / ledger.on_hand,
            sum(group.energy) if group.energy else None, group.where or None,
        ])
        for group in ledger.groups
    )  # fmt: skip
    return Grid("groups", "Groups", columns, rows)


def _ledger_months(ledger: AllocationResult) -> Grid:
    known = [(number, group) for number, group in enumerate(ledger.groups, 1) if group.energy]
    columns = [Column("month", "month")]
    for number, group in known:
        columns += [
            Column(f"group_{number}_lost", f"{group.name}: one fewer", kinds.ENERGY),
            Column(f"group_{number}_gained", f"{group.name}: one more", kinds.ENERGY),
        ]
    rows = tuple(
        cells(columns, [
            MONTHS[month],
            *(value for _, group in known for value in (-group.lost[month], group.gained[month])),
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
            move.giver, move.taker, -move.lost, move.gained,
            *(move.days_short if move.days_short is not None else (None, None)),
        ])
        for move in ledger.moves
    )  # fmt: skip
    note = f"Days short are those of {ledger.pump}." if ledger.pump else ""
    return Grid("moves", "One module moved, over the year", columns, rows, note)


RULE_OF_THUMB_MONTHS = Listed(
    SupplyMonth,
    "month", "horizontal", "plane_of_array", "energy_needed", "array_power", "modules",
    "energy_available",
)  # fmt: skip


RULE_OF_THUMB = Listed(
    SupplyResult,
    "pump", "daily_energy", "tilt", "azimuth", "derate", "module_power", "worst_month",
    "modules_needed", "modules_there", "battery_days",
)  # fmt: skip


def supply_section(supply: SupplyResult, number: int) -> Section:
    """The array for one pump, by the rule of thumb."""
    title = "By the rule of thumb, energy / peak sun hours / derate"
    note = "Peak sun hours are the sun on the modules in kWh/m² a day."
    return Section(
        f"supply_{number}",
        f"Array for {supply.pump}",
        "How many modules keep this pump's water coming?",
        tuple(RULE_OF_THUMB.rows(supply)),
        (RULE_OF_THUMB_MONTHS.grid("months", title, supply.months, note),),
    )
