"""Rows and grids of the PV-heated tank: the array on its element, the tank's heat, the tap."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import (
    CLOCK,
    MONTHS,
    SATURATION_CURRENT,
    SMALL_VOLTAGE,
    Column,
    Grid,
    Row,
    Section,
    cells,
    row,
)
from wellsolar.reports.tables.heat_year import household_sections
from wellsolar.reports.tables.hot_water_safety import heat_safety_sections, tap_section
from wellsolar.reports.tables.well import wire_rows
from wellsolar.results import HeatedTankResult, SunPoint


def heated_tank_sections(tank: HeatedTankResult) -> tuple[Section, ...]:
    """The PV-heated tank, in the parts that different people look for."""
    home = (_heat(tank), *household_sections(tank), tap_section(tank.tap))
    return (_array(tank), *home, *heat_safety_sections(tank))


def _array(tank: HeatedTankResult) -> Section:
    """For the electrician: what the modules put into the element."""
    rows = [
        Row("array", "array", tank.array),
        row("modules", "modules", tank.modules, kinds.COUNT),
        row("series", "in series", tank.series, kinds.COUNT),
        row("parallel", "in parallel", tank.parallel, kinds.COUNT),
        row("tilt", "tilt", tank.tilt, kinds.ANGLE, "from level"),
        row("azimuth", "azimuth", tank.azimuth, kinds.ANGLE, "compass: 180 is south"),
        row("module_power", "one module", tank.module_power, kinds.POWER, "by its datasheet"),
        row("rated_power", "element, rated", tank.rated_power, kinds.POWER),
        row("rated_voltage", "at", tank.rated_voltage, kinds.VOLTAGE),
        row("element_resistance", "element resistance", tank.element_resistance, kinds.RESISTANCE,
            "rated voltage squared over rated power"),
        row("cable_resistance", "cable resistance", tank.cable_resistance, kinds.RESISTANCE,
            "out and back"),
        row("matched_resistance", "best resistance", tank.matched_resistance, kinds.RESISTANCE,
            "takes the array's maximum power in full sun, cells at 25 °C"),
        row("greatest_voltage", "greatest voltage", tank.greatest_voltage, kinds.VOLTAGE,
            "at the element, coldest bright sun"),
        row("greatest_power", "greatest power", tank.greatest_power, kinds.POWER,
            "at the element, coldest bright sun"),
        row("cold_temperature", "record low", tank.cold_temperature, kinds.TEMPERATURE,
            "" if tank.cold_temperature is not None else "the file has no sun.record_low"),
        row("cold_open_circuit_voltage", "cold open-circuit voltage",
            tank.cold_open_circuit_voltage, kinds.VOLTAGE, "by the module's coefficient"),
        row("cold_open_circuit_voltage_table", "the same by table",
            tank.cold_open_circuit_voltage_table, kinds.VOLTAGE,
            "by the electrical code's factors"),
    ]  # fmt: skip
    if tank.wire is not None:
        rows += wire_rows(tank.wire)
    rows += [
        Row("fit", "module's parameters", tank.fit),
        row("photocurrent", "photocurrent", tank.photocurrent, kinds.CURRENT, "one module"),
        row("saturation_current", "saturation current", tank.saturation_current,
            SATURATION_CURRENT),
        row("series_resistance", "series resistance", tank.series_resistance, kinds.RESISTANCE),
        row("shunt_resistance", "shunt resistance", tank.shunt_resistance, kinds.RESISTANCE),
        row("modified_ideality_voltage", "modified ideality", tank.modified_ideality_voltage,
            SMALL_VOLTAGE),
    ]  # fmt: skip
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


def _points(key: str, title: str, points: tuple[SunPoint, ...]) -> Grid:
    columns = (
        Column("irradiance", "sun", kinds.IRRADIANCE),
        Column("cell_temperature", "cells", kinds.TEMPERATURE),
        Column("voltage", "voltage", kinds.VOLTAGE),
        Column("current", "current", kinds.CURRENT),
        Column("power", "power", kinds.POWER),
        Column("maximum_power", "at its best", kinds.POWER),
        Column("share", "share of it", kinds.FRACTION),
        Column("cable_loss", "lost in cable", kinds.POWER),
    )
    rows = tuple(
        cells(columns, [
            point.irradiance, point.cell_temperature, point.voltage, point.current, point.power,
            point.maximum_power, point.share, point.cable_loss,
        ])
        for point in points
    )  # fmt: skip
    note = "Voltage, current and power at the element; at its best: the array's maximum power."
    return Grid(key, title, columns, rows, note if key == "working_points" else "")


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
            row("tank_volume", "tank volume", tank.tank_volume, kinds.VOLUME),
            row("inlet_temperature", "cold water", tank.inlet_temperature, kinds.TEMPERATURE),
            row("setpoint", "setpoint", tank.setpoint, kinds.TEMPERATURE, "of the thermostat"),
            *_starts(tank),
            row("room_temperature", "room", tank.room_temperature, kinds.TEMPERATURE),
            row("draw_volume", "hot water wanted a day", tank.draw_volume, kinds.VOLUME,
                "mixed, at the tap" if tank.draw_volume is not None
                else "the file names neither draw nor people"),
            row("heating_energy", "heat for one tank", tank.heating_energy, kinds.ENERGY,
                "from cold water to the setpoint"),
            row("heat_loss", "heat loss", tank.heat_loss, kinds.HEAT_LOSS,
                "per degree above the room"),
            row("standby_loss", "loss at the setpoint", tank.standby_loss, kinds.POWER),
            row("stall_temperature", "stall temperature", tank.stall_temperature,
                kinds.TEMPERATURE, "where heat loss alone would hold it on sunny days, nobody "
                "home and no thermostat; 100 °C (212 °F) means that it boils"),
            row("annual_share", "PV's share of the year", tank.annual_share, kinds.FRACTION,
                "of the heat in the hot water" if tank.annual_share is not None
                else "needs the sun and the draw"),
            row("one_day_volume", "tank for one clear day", tank.one_day_volume, kinds.VOLUME,
                "of the darkest month, from cold, on the modules there are"
                if tank.one_day_volume is not None else "the tank itself, or none at all"),
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


def _one_day(tank: HeatedTankResult) -> list[Row]:
    """What would do it in one clear day of the darkest month; nothing where the array does."""
    design = tank.one_day
    if design is None:
        return []
    element = "the element that is there" if design.same_element else "another element"
    return [
        Row("one_day_month", "darkest month", MONTHS[design.month - 1],
            "one clear day of it would heat the tank from cold with the four below"),
        row("one_day_series", "modules in series", design.series, kinds.COUNT),
        row("one_day_parallel", "rows in parallel", design.parallel, kinds.COUNT),
        row("one_day_rated_power", "element for them", design.rated_power, kinds.POWER, element),
        row("one_day_rated_voltage", "rated at", design.rated_voltage, kinds.VOLTAGE),
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


def _months(tank: HeatedTankResult) -> Grid:
    columns = (
        Column("month", "month"),
        Column("plane_of_array", "sun on modules", kinds.IRRADIATION),
        Column("maximum_energy", "array's best", kinds.ENERGY),
        Column("element_energy", "offered", kinds.ENERGY),
        Column("accepted_energy", "taken by tank", kinds.ENERGY),
        Column("heat_lost", "lost", kinds.ENERGY),
        Column("heat_wanted", "wanted at tap", kinds.ENERGY),
        Column("heat_delivered", "given at tap", kinds.ENERGY),
    )
    rows = tuple(
        cells(columns, [
            MONTHS[month.month - 1], month.plane_of_array, month.maximum_energy,
            month.element_energy, month.accepted_energy, month.heat_lost, month.heat_wanted,
            month.heat_delivered,
        ])
        for month in tank.months
    )  # fmt: skip
    return Grid("months", "Heat a day, with the household's draws", columns, rows,
                "All a day, nothing but PV heating.")  # fmt: skip
