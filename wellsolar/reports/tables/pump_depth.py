"""Rows and grids of a pump in depth: start, suction, motor cooling, a fill, speeds."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Column, Grid, Row, cells, row
from wellsolar.results import (
    CoolingResult,
    FillResult,
    PumpResult,
    SpeedResult,
    StartResult,
    SuctionResult,
)


def start_rows(start: StartResult) -> list[Row]:
    """What the moment of start takes from inverter, cable and generator."""
    rows = [
        row("running_current", "running current", start.running_current, kinds.CURRENT),
        row("starting_current", "starting current", start.starting_current, kinds.CURRENT,
            start.how),
        row("starting_apparent_power", "power at start", start.starting_apparent_power,
            kinds.APPARENT_POWER, "what the inverter must carry for a moment"),
    ]  # fmt: skip
    if start.cable_dip is not None:
        rows.append(row("start_cable_dip", "voltage lost at start", start.cable_dip,
            kinds.FRACTION, "in the cable, from a supply that does not give way"))  # fmt: skip
    if start.generator_dip is not None:
        rows.append(row("start_generator_dip", "the same on the generator", start.generator_dip,
            kinds.FRACTION, "in generator and cable together"))  # fmt: skip
    if start.generator_needed is not None:
        rows.append(row("generator_needed", "smallest generator", start.generator_needed,
            kinds.APPARENT_POWER, "leaves the motor 65 % of its voltage at start"))  # fmt: skip
    return rows


def depth_rows(pump: PumpResult) -> list[Row]:
    """Rows on suction, motor and fill, where they apply."""
    rows = []
    if pump.suction is not None:
        rows += _suction_rows(pump.suction)
    if pump.cooling is not None:
        rows += _cooling_rows(pump.cooling)
    if pump.fill is not None:
        rows.append(row("mean_flow", "mean flow of a fill", pump.fill.mean_flow, kinds.FLOW,
            "over the time from cut-in to cut-out, no tap open"))  # fmt: skip
    if pump.speeds is not None:
        rows += [
            row("held_pressure", "pressure it holds", pump.speeds.pressure, kinds.PRESSURE),
            row("least_speed", "least speed", pump.speeds.least_speed, kinds.FRACTION,
                "of full speed: below it no water comes, and the drive must stop"),
        ]  # fmt: skip
    return rows


def depth_grids(pump: PumpResult) -> tuple[Grid, ...]:
    """A fill of the tank, and the speeds of a pump that holds its pressure."""
    grids = []
    if pump.fill is not None:
        grids.append(_fill(pump.fill))
    if pump.speeds is not None:
        grids.append(_speeds(pump.speeds))
    return tuple(grids)


def _suction_rows(suction: SuctionResult) -> list[Row]:
    return [
        row("suction_lift", "suction lift", suction.lift, kinds.LENGTH,
            "from the water up to the pump, at its greatest flow"),
        row("suction_limit", "greatest in theory", suction.limit, kinds.LENGTH,
            "at this altitude and water temperature"),
        row("suction_friction", "lost in the suction pipe", suction.friction, kinds.HEAD),
        row("suction_head", "suction head available", suction.available, kinds.HEAD,
            "net positive: above the vapour pressure of the water"),
        row("required_suction_head", "suction head required", suction.required, kinds.HEAD,
            "by the pump's sheet"),
    ]  # fmt: skip


def _cooling_rows(cooling: CoolingResult) -> list[Row]:
    return [
        row("motor_velocity", "water past the motor", cooling.velocity, kinds.SPEED,
            "in the casing alone, at the pump's least flow here"),
        row("motor_least_flow", "flow that cools it", cooling.least_flow, kinds.FLOW,
            "in the casing alone"),
        row("shroud_bore", "widest shroud that does", cooling.shroud_bore, kinds.BORE,
            "inside; there is one" if cooling.shroud else "inside; there is none"),
    ]  # fmt: skip


def _fill(fill: FillResult) -> Grid:
    columns = (
        Column("pressure", "tank pressure", kinds.PRESSURE),
        Column("flow", "flow", kinds.FLOW),
        Column("head", "total head", kinds.HEAD),
        Column("input_power", "input power", kinds.POWER),
        Column("water", "water in", kinds.VOLUME),
        Column("time", "after", kinds.DURATION),
    )
    rows = tuple(
        cells(columns, [
            each.pressure, each.flow, each.head, each.input_power, each.water, each.time,
        ])
        for each in fill.points
    )  # fmt: skip
    note = "No tap open; water and time by Boyle's law in the tank."
    return Grid("fill", "Along a fill of the tank", columns, rows, note)


def _speeds(speeds: SpeedResult) -> Grid:
    columns = (
        Column("flow", "flow", kinds.FLOW),
        Column("speed", "speed", kinds.FRACTION),
        Column("head", "total head", kinds.HEAD),
        Column("input_power", "input power", kinds.POWER),
    )
    rows = tuple(
        cells(columns, [each.flow, each.speed, each.head, each.input_power])
        for each in speeds.points
    )
    note = "By the affinity laws; what motor and drive lose at part load comes on top."
    return Grid("speeds", "Holding its pressure", columns, rows, note)
