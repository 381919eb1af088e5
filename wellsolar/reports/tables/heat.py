"""Rows and grids of the PV-heated tank: the array on its element, its days, the household."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Listed, Row, Section, quantity, row
from wellsolar.reports.tables.heat_safety import (
    heat_safety_sections,
    tank_guard_sections,
    tap_section,
)
from wellsolar.reports.tables.pump import wire_rows
from wellsolar.results.entries import CLOCK, Entry
from wellsolar.results.heat import (
    DarkDay,
    DivertedTankResult,
    HeatDay,
    HeatedTankResult,
    HeatMonth,
    HouseholdMonth,
    HouseholdYear,
    NobodyHome,
    OneDayDesign,
    SunPoint,
)


def heated_tank_sections(tank: HeatedTankResult) -> tuple[Section, ...]:
    """The PV-heated tank, in the parts that different people look for."""
    home = (_heat(tank), *_household_sections(tank), tap_section(tank.tap))
    return (_array(tank), *home, *heat_safety_sections(tank))


ARRAY = Listed(
    HeatedTankResult,
    "array", "modules", "series", "parallel", "tilt", "azimuth", "module_power", "rated_power",
    "rated_voltage", "element_resistance", "cable_resistance", "matched_resistance",
    "greatest_voltage", "greatest_power", "cold_temperature", "cold_open_circuit_voltage",
    "cold_open_circuit_voltage_table",
)  # fmt: skip
MODULE = Listed(
    HeatedTankResult,
    "fit", "photocurrent", "saturation_current", "series_resistance", "shunt_resistance",
    "modified_ideality_voltage",
)  # fmt: skip


def _array(tank: HeatedTankResult) -> Section:
    """For the electrician: what the modules put into the element."""
    rows = ARRAY.rows(tank)
    if tank.wire is not None:
        rows += wire_rows(tank.wire)
    rows += MODULE.rows(tank)
    return Section(
        "heater_array",
        "Array on the heating element",
        "How much of the modules' power reaches the water?",
        tuple(rows),
        (
            _points("reference_points", "Cells at 25 °C", tank.reference_points),
            _points("working_points", "Cells as warm as in mild air", tank.working_points),
        ),
    )


SUN_POINTS = Listed(
    SunPoint,
    "irradiance", "cell_temperature", "voltage", "current", "power", "maximum_power", "share",
    "cable_loss",
)  # fmt: skip


def _points(key: str, title: str, points: tuple[SunPoint, ...]) -> Grid:
    note = "Voltage, current and power at the element; at its best: the array's maximum power."
    return SUN_POINTS.grid(key, title, points, note if key == "working_points" else "")


HEAT = Listed(HeatedTankResult, "tank_volume", "inlet_temperature", "setpoint")
LOSSES = Listed(
    HeatedTankResult,
    "room_temperature", "draw_volume", "heating_energy", "heat_loss", "standby_loss",
    "stall_temperature", "annual_share", "one_day_volume",
)  # fmt: skip


def _heat(tank: HeatedTankResult) -> Section:
    """For the owner: whether the tank gets hot, and on how many days."""
    grids = [_days(tank, kind) for kind in dict.fromkeys(day.kind for day in tank.days)]
    if tank.months:
        note = "All a day, nothing but PV heating."
        title = "Heat a day, with the household's draws"
        grids.append(HEAT_MONTHS.grid("months", title, tank.months, note))
    return Section(
        "heated_tank",
        "Heated tank",
        "Does the tank reach its temperature, and what does the household get?",
        (
            *HEAT.rows(tank),
            *_starts(tank),
            *LOSSES.rows(tank),
            *([] if tank.one_day is None else ONE_DAY.rows(tank.one_day)),
        ),
        tuple(grids),
    )  # fmt: skip


def _starts(tank: HeatedTankResult) -> list[Row]:
    """The warmth at midnight that the days' columns begin from, beside cold."""
    starts = tank.days[0].starts if tank.days else ()
    return [
        row(
            _key(start.start).removeprefix("time_"),
            start.start,
            start.start_temperature,
            kinds.TEMPERATURE,
            "one of the starts of the days below",
        )
        for start in starts
        if start.start != YESTERDAY
    ]


ONE_DAY = Listed(
    OneDayDesign,
    "month", "series", "parallel",
    ("rated_power", lambda design:
     "the element that is there" if design.same_element else "another element"),
    "rated_voltage",
)  # fmt: skip
"""What would do it in one clear day of the darkest month."""

YESTERDAY = "the day before"
"""The start that differs from day to day."""

NOTE_ON_DAYS = (
    "By the sun's clock, a dash where that day's sun does not do it. The day before: as such a "
    "day leaves a cold tank. On day: of a run of such days, the first to reach the setpoint. "
    "Start for one day: as warm at midnight, it gets there the same day."
)


BY_DAY = Listed(HeatDay, "month", "plane_of_array", "element_energy", "end_temperature")
FROM_COLD = Listed(HeatDay, "time_to_setpoint")
IN_A_RUN = Listed(HeatDay, "days_to_setpoint", "start_for_one_day")


def _days(tank: HeatedTankResult, kind: str) -> Grid:
    days = [day for day in tank.days if day.kind == kind]
    starts = [start.start for start in days[0].starts]
    columns = (
        *BY_DAY.columns(),
        Column("one_tank", "of one tank's heat", kinds.FRACTION),
        *FROM_COLD.columns(),
        *(Column(_key(start), f"from {start} by", CLOCK) for start in starts),
        *IN_A_RUN.columns(),
    )
    rows = tuple(
        (
            *BY_DAY.cells(day),
            quantity(_share(day.element_energy, tank.heating_energy), kinds.FRACTION),
            *FROM_COLD.cells(day),
            *(quantity(start.time_to_setpoint, CLOCK) for start in day.starts),
            *IN_A_RUN.cells(day),
        )
        for day in days
    )
    notes = [NOTE_ON_DAYS] if kind == tank.days[0].kind else []
    shown = [place for place in range(len(columns)) if any(row[place] is not None for row in rows)]
    missing = [column.label for place, column in enumerate(columns) if place not in shown]
    if missing:
        notes.append(f"Left out, as no month has a {kind} day that does it: {', '.join(missing)}.")
    return Grid(
        f"{kind}_days",
        f"A {kind} day of each month, nothing drawn",
        tuple(columns[place] for place in shown),
        tuple(tuple(row[place] for place in shown) for row in rows),
        " ".join(notes),
    )


def _share(energy: float, whole: float) -> float | None:
    return energy / whole if whole > 0.0 else None


def _key(start: str) -> str:
    return f"time_from_{start.removeprefix('the ').replace(' ', '_')}"


HEAT_MONTHS = Listed(
    HeatMonth,
    "month", "plane_of_array", "maximum_energy", "element_energy", "accepted_energy", "heat_lost",
    "heat_wanted", "heat_delivered",
)  # fmt: skip


YEAR_TITLES = {
    "PV": "PV alone",
    "upper element": "With the element on the grid",
    "second tank": "With the second tank on the grid",
}


YEAR_KEYS = {"PV": "pv_alone", "upper element": "upper_element", "second tank": "second_tank"}


def _household_sections(tank: HeatedTankResult) -> tuple[Section, ...]:
    """The household's year where sun and draws are told, and the tank without household or sun."""
    sections = [_household_section(tank)] if tank.households else []
    return (*sections, _alone(tank)) if tank.dark_days else tuple(sections)


def diverted_tank_sections(tank: DivertedTankResult) -> tuple[Section, ...]:
    """A tank that only a battery's surplus heats: its year, a week without, its guards."""
    sections = [_household_section(tank)] if tank.households else []
    return (*sections, tap_section(tank.tap), _alone(tank), *tank_guard_sections(tank.safety))


EVENING = Listed(HouseholdYear, "evening")
YEAR_ON_PV = Listed(
    HouseholdMonth,
    "wanted_volume",
    ("tap_volume",
     Entry("hot enough by PV alone", kinds.SUMMED_VOLUME, "in the year", key="pv_tap_volume")),
    ("pv_evenings_hot", lambda year:
     f"of {year.days}: the whole of the evening's draw as warm as wanted"),
)  # fmt: skip
YEAR_WITH_GRID = Listed(
    HouseholdMonth,
    ("grid_heat", "from the grid"),
    ("pv_share", Entry("PV's part in all heating", kinds.FRACTION,
     "of the heat that goes into the tank in the year, its losses included")),
    ("evenings_hot_with_grid", lambda year: f"of {year.days}"),
)  # fmt: skip


def _household_section(tank: HeatedTankResult | DivertedTankResult) -> Section:
    """For the family: how much hot water, when, and what the grid adds."""
    first, last = tank.households[0], tank.households[-1]
    rows = [*EVENING.rows(first), *YEAR_ON_PV.rows(first.year)]
    if last is not first:
        by = {"grid_heat": f"in the year, by the {last.heated_by}"}
        rows += YEAR_WITH_GRID.rows(last.year, why=by)
    return Section(
        "hot_water_year",
        "Hot water through the year",
        "How much hot water does the household get, and on which evenings?",
        tuple(rows),
        tuple(_household_months(household, household is first) for household in tank.households),
    )


HOUSEHOLD_MONTHS = Listed(
    HouseholdMonth,
    "month", "tap_volume", "short_volume", "pv_heat", "grid_heat", "pv_share",
    "evening_temperature", "evenings_at_setpoint", "evenings_hot",
)  # fmt: skip


def _household_months(year: HouseholdYear, first: bool) -> Grid:
    note = (
        "Sums of each month. Too cool: water that came cooler than wanted. Top in the evening: of "
        "the tank, just before the evening's draw. At setpoint: that top no more than the "
        "thermostat's differential below it. Hot: the whole of the evening's draw as warm as "
        "wanted."
    )
    return HOUSEHOLD_MONTHS.grid(
        YEAR_KEYS[year.heated_by],
        YEAR_TITLES[year.heated_by],
        (*year.months, year.year),
        note if first else "",
        foot=1,
        without=("grid_heat", "pv_share") if year.heated_by == "PV" else (),
    )


def _alone(tank: HeatedTankResult | DivertedTankResult) -> Section:
    """For the owner who travels, and for the week of rain."""
    nobody = None if isinstance(tank, DivertedTankResult) else tank.nobody_home
    return Section(
        "tank_alone",
        "The tank without household or sun",
        "What if nobody is home, and what if the sun stays away for a week?",
        tuple(NOBODY_HOME.rows(nobody) if nobody is not None else ()),
        (_dark(tank),),
    )


NOBODY_HOME = Listed(
    NobodyHome,
    "month",
    ("days_to_high_limit", lambda home: "the file names no high limit" if home.high_limit is None
     else "counted from midnight"),
    "days_to_relief", "hottest",
)  # fmt: skip
WITH_DRAWS = ("mean_temperature", "top_temperature", "tap_volume")
DARK_DAYS = Listed(DarkDay, "day", *WITH_DRAWS, "idle_temperature", "idle_tap_volume")


def _dark(tank: HeatedTankResult | DivertedTankResult) -> Grid:
    drawn = tank.dark_days[0].mean_temperature is not None
    return DARK_DAYS.grid(
        "dark_days",
        "A week without sun",
        tank.dark_days,
        "At the end of each day, begun at the setpoint, nothing heating. Left: mixed water as "
        "warm as wanted that is still in the tank.",
        without=() if drawn else WITH_DRAWS,
    )
