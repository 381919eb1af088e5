"""Rows and grids of a household's year with a PV-heated tank, and of the tank left alone."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Listed, Row, Section, cells, row
from wellsolar.reports.tables.hot_water_safety import tank_guard_sections, tap_section
from wellsolar.results import (
    DivertedTankResult,
    HeatedTankResult,
    HouseholdMonth,
    HouseholdYear,
    NobodyHome,
)
from wellsolar.results.entries import MONTHS
from wellsolar.results.own_kinds import CLOCK, DAYS

TITLES = {
    "PV": "PV alone",
    "upper element": "With the element on the grid",
    "second tank": "With the second tank on the grid",
}

KEYS = {"PV": "pv_alone", "upper element": "upper_element", "second tank": "second_tank"}


def household_sections(tank: HeatedTankResult) -> tuple[Section, ...]:
    """The household's year where sun and draws are told, and the tank without household or sun.

    Parameters:
        tank: the result
    Returns:
        one section or two
    """
    made = [household_section(tank)] if tank.households else []
    return (*made, _alone(tank)) if tank.dark_days else tuple(made)


def diverted_tank_sections(tank: DivertedTankResult) -> tuple[Section, ...]:
    """A tank that only a battery's surplus heats: its year, a week without, its guards."""
    made = [household_section(tank)] if tank.households else []
    return (*made, tap_section(tank.tap), _alone(tank), *tank_guard_sections(tank.safety))


def household_section(tank: HeatedTankResult | DivertedTankResult) -> Section:
    """For the family: how much hot water, when, and what the grid adds."""
    first, last = tank.households[0], tank.households[-1]
    alone, year = first.year, last.year
    rows = [
        row("evening", "evening's draw", first.evening, CLOCK,
            "when it begins: the first after 17:00, or the day's last"),
        row("wanted_volume", "hot water wanted", alone.tap_volume + alone.short_volume,
            kinds.VOLUME, "in the year, mixed at the tap"),
        row("pv_tap_volume", "hot enough by PV alone", alone.tap_volume, kinds.VOLUME,
            "in the year"),
        row("pv_evenings_hot", "evenings hot by PV alone", alone.evenings_hot, kinds.COUNT,
            f"of {alone.days}: the whole of the evening's draw as warm as wanted"),
    ]  # fmt: skip
    if last is not first:
        rows += [
            row("grid_heat", "from the grid", year.grid_heat, kinds.ENERGY,
                f"in the year, by the {last.heated_by}"),
            row("pv_share", "PV's share of the heat", year.pv_share, kinds.FRACTION,
                "of what heats the water in the year, its losses with it"),
            row("evenings_hot", "evenings hot with it", year.evenings_hot, kinds.COUNT,
                f"of {year.days}"),
        ]  # fmt: skip
    return Section(
        "hot_water_year",
        "Hot water through the year",
        "How much hot water does the household get, and on which evenings?",
        tuple(rows),
        tuple(_months(each, each is first) for each in tank.households),
    )


def _months(year: HouseholdYear, first: bool) -> Grid:
    alone = year.heated_by == "PV"
    columns = [
        Column("month", "month"),
        Column("tap_volume", "hot enough", kinds.VOLUME),
        Column("short_volume", "too cool", kinds.VOLUME),
        Column("pv_heat", "from PV", kinds.ENERGY),
    ]
    if not alone:
        columns += [
            Column("grid_heat", "from grid", kinds.ENERGY),
            Column("pv_share", "PV's share", kinds.FRACTION),
        ]
    columns += [
        Column("evening_temperature", "top in the evening", kinds.TEMPERATURE),
        Column("evenings_at_setpoint", "evenings at setpoint", kinds.COUNT),
        Column("evenings_hot", "evenings hot", kinds.COUNT),
    ]

    def values(month: HouseholdMonth) -> list[float | str | None]:
        grid = [] if alone else [month.grid_heat, month.pv_share]
        return [
            MONTHS[month.month - 1] if month.month else "year",
            month.tap_volume, month.short_volume, month.pv_heat, *grid,
            month.evening_temperature, month.evenings_at_setpoint, month.evenings_hot,
        ]  # fmt: skip

    note = (
        "Sums of each month. Too cool: water that came cooler than wanted. Top in the evening: of "
        "the tank, just before the evening's draw. At setpoint: that top no more than the "
        "thermostat's differential below it. Hot: the whole of the evening's draw as warm as "
        "wanted."
    )
    return Grid(
        KEYS[year.heated_by],
        TITLES[year.heated_by],
        tuple(columns),
        tuple(cells(columns, values(month)) for month in (*year.months, year.year)),
        note if first else "",
        foot=1,
    )


def _alone(tank: HeatedTankResult | DivertedTankResult) -> Section:
    """For the owner who travels, and for the week of rain."""
    nobody = None if isinstance(tank, DivertedTankResult) else tank.nobody_home
    return Section(
        "tank_alone",
        "The tank without household or sun",
        "What if nobody is home, and what if the sun stays away for a week?",
        tuple(_nobody(nobody) if nobody is not None else ()),
        (_dark(tank),),
    )


NOBODY = Listed(NobodyHome, "month")


def _nobody(home: NobodyHome) -> list[Row]:
    hottest = "where the file's array would drive it in 60 clear days, with nothing to stop it"
    return [
        *NOBODY.rows(home),
        Row("days_to_high_limit", "high limit opens after",
            None if home.days_to_high_limit is None
            else cells((Column("", "", DAYS),), [home.days_to_high_limit])[0],
            "the file names no high limit" if home.high_limit is None
            else "counted from midnight", DAYS, "never"),
        Row("days_to_relief", "relief valve opens after",
            None if home.days_to_relief is None
            else cells((Column("", "", DAYS),), [home.days_to_relief])[0],
            "the high limit failed too", DAYS, "never"),
        row("hottest", "hottest", home.hottest, kinds.TEMPERATURE, hottest),
    ]  # fmt: skip


def _dark(tank: HeatedTankResult | DivertedTankResult) -> Grid:
    drawn = tank.dark_days[0].mean_temperature is not None
    columns = [Column("day", "day", kinds.COUNT)]
    if drawn:
        columns += [
            Column("mean_temperature", "mean, water drawn", kinds.TEMPERATURE),
            Column("top_temperature", "top, water drawn", kinds.TEMPERATURE),
            Column("tap_volume", "left, water drawn", kinds.VOLUME),
        ]
    columns += [
        Column("idle_temperature", "nothing drawn", kinds.TEMPERATURE),
        Column("idle_tap_volume", "left, nothing drawn", kinds.VOLUME),
    ]
    rows = tuple(
        cells(columns, [
            day.day,
            *((day.mean_temperature, day.top_temperature, day.tap_volume) if drawn else ()),
            day.idle_temperature, day.idle_tap_volume,
        ])
        for day in tank.dark_days
    )  # fmt: skip
    return Grid(
        "dark_days",
        "A week without sun",
        tuple(columns),
        rows,
        "At the end of each day, begun at the setpoint, nothing heating. Left: mixed water as "
        "warm as wanted that is still in the tank.",
    )
