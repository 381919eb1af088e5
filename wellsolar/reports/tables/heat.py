"""Rows and grids of the PV-heated tank: the array on its element, the tank's heat, the tap."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Listed, Row, Section, cells, row
from wellsolar.reports.tables.heat_year import household_sections
from wellsolar.reports.tables.hot_water_safety import heat_safety_sections, tap_section
from wellsolar.reports.tables.well import wire_rows
from wellsolar.results import HeatedTankResult, SunPoint
from wellsolar.results.entries import MONTHS
from wellsolar.results.heat import HeatMonth, OneDayDesign
from wellsolar.results.own_kinds import CLOCK


def heated_tank_sections(tank: HeatedTankResult) -> tuple[Section, ...]:
    """The PV-heated tank, in the parts that different people look for."""
    home = (_heat(tank), *household_sections(tank), tap_section(tank.tap))
    return (_array(tank), *home, *heat_safety_sections(tank))


ARRAY = Listed(
    HeatedTankResult,
    "array", "modules", "series", "parallel", "tilt", "azimuth", "module_power", "rated_power",
    "rated_voltage", "element_resistance", "cable_resistance", "matched_resistance",
    "greatest_voltage", "greatest_power", "cold_temperature", "cold_open_circuit_voltage",
    "cold_open_circuit_voltage_table",
)  # fmt: skip
ARRAY_2 = Listed(
    HeatedTankResult,
    "fit", "photocurrent", "saturation_current", "series_resistance", "shunt_resistance",
    "modified_ideality_voltage",
)  # fmt: skip


def _array(tank: HeatedTankResult) -> Section:
    """For the electrician: what the modules put into the element."""
    rows = ARRAY.rows(tank)
    if tank.wire is not None:
        rows += wire_rows(tank.wire)
    rows += ARRAY_2.rows(tank)
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


POINTS = Listed(
    SunPoint,
    "irradiance", "cell_temperature", "voltage", "current", "power", "maximum_power", "share",
    "cable_loss",
)  # fmt: skip


def _points(key: str, title: str, points: tuple[SunPoint, ...]) -> Grid:
    note = "Voltage, current and power at the element; at its best: the array's maximum power."
    return POINTS.grid(key, title, points, note if key == "working_points" else "")


HEAT = Listed(HeatedTankResult, "tank_volume", "inlet_temperature", "setpoint")
HEAT_2 = Listed(
    HeatedTankResult,
    "room_temperature", "draw_volume", "heating_energy", "heat_loss", "standby_loss",
    "stall_temperature", "annual_share", "one_day_volume",
)  # fmt: skip


def _heat(tank: HeatedTankResult) -> Section:
    """For the owner: whether the tank gets hot, and on how many days."""
    grids = [_days(tank, kind) for kind in dict.fromkeys(day.kind for day in tank.days)]
    if tank.months:
        grids.append(_months(tank))
    return Section(
        "heated_tank",
        "Heated tank",
        "Does the tank reach its temperature, and what does the household get?",
        (
            *HEAT.rows(tank),
            *_starts(tank),
            *HEAT_2.rows(tank),
            *_one_day(tank),
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


ONE_DAY = Listed(OneDayDesign, "month", "series", "parallel")
ONE_DAY_2 = Listed(OneDayDesign, "rated_voltage")


def _one_day(tank: HeatedTankResult) -> list[Row]:
    """What would do it in one clear day of the darkest month; nothing where the array does."""
    design = tank.one_day
    if design is None:
        return []
    element = "the element that is there" if design.same_element else "another element"
    return [
        *ONE_DAY.rows(design),
        row("one_day_rated_power", "element for them", design.rated_power, kinds.POWER, element),
        *ONE_DAY_2.rows(design),
    ]  # fmt: skip


YESTERDAY = "the day before"
"""The start that differs from day to day."""

NOTE_ON_DAYS = (
    "By the sun's clock, a dash where that day's sun does not do it. The day before: as such a "
    "day leaves a cold tank. On day: of a run of such days, the first to reach the setpoint. "
    "Start for one day: as warm at midnight, it gets there the same day."
)


def _days(tank: HeatedTankResult, kind: str) -> Grid:
    days = [day for day in tank.days if day.kind == kind]
    starts = [start.start for start in days[0].starts]
    columns = (
        Column("month", "month"),
        Column("plane_of_array", "sun on modules", kinds.IRRADIATION),
        Column("element_energy", "into water", kinds.ENERGY),
        Column("end_temperature", "tank at day's end", kinds.TEMPERATURE),
        Column("one_tank", "of one tank's heat", kinds.FRACTION),
        Column("time_to_setpoint", "from cold at setpoint by", CLOCK),
        *(Column(_key(start), f"from {start} by", CLOCK) for start in starts),
        Column("days_to_setpoint", "from cold on day", kinds.COUNT),
        Column("start_for_one_day", "start for one day", kinds.TEMPERATURE),
    )
    rows = tuple(
        cells(columns, [
            MONTHS[day.month - 1], day.plane_of_array, day.element_energy, day.end_temperature,
            _share(day.element_energy, tank.heating_energy), day.time_to_setpoint,
            *(start.time_to_setpoint for start in day.starts), day.days_to_setpoint,
            day.start_for_one_day,
        ])
        for day in days
    )  # fmt: skip
    told = [NOTE_ON_DAYS] if kind == tank.days[0].kind else []
    shown = [place for place in range(len(columns)) if any(row[place] is not None for row in rows)]
    missing = [column.label for place, column in enumerate(columns) if place not in shown]
    if missing:
        told.append(f"Left out, as no month has a {kind} day that does it: {', '.join(missing)}.")
    return Grid(
        f"{kind}_days",
        f"A {kind} day of each month, nothing drawn",
        tuple(columns[place] for place in shown),
        tuple(tuple(row[place] for place in shown) for row in rows),
        " ".join(told),
    )


def _share(energy: float, whole: float) -> float | None:
    return energy / whole if whole > 0.0 else None


def _key(start: str) -> str:
    return f"time_from_{start.removeprefix('the ').replace(' ', '_')}"


MONTHS_LIST = Listed(
    HeatMonth,
    "month", "plane_of_array", "maximum_energy", "element_energy", "accepted_energy", "heat_lost",
    "heat_wanted", "heat_delivered",
)  # fmt: skip


def _months(tank: HeatedTankResult) -> Grid:
    return MONTHS_LIST.grid("months", "Heat a day, with the household's draws", tank.months,
                "All a day, nothing but PV heating.")  # fmt: skip
