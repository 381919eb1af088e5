"""Rows and grids of a pump in depth: start, suction, motor cooling, a fill, speeds."""

from __future__ import annotations

from wellsolar.reports.rows import Grid, Listed, Row
from wellsolar.results import (
    CoolingResult,
    FillResult,
    PumpResult,
    SpeedResult,
    StartResult,
    SuctionResult,
)
from wellsolar.results.pumps import FillPoint, SpeedPoint

START = Listed(
    StartResult,
    "running_current", ("starting_current", lambda start: start.how), "starting_apparent_power",
    "cable_dip", "generator_dip", "generator_needed",
)  # fmt: skip


def start_rows(start: StartResult) -> list[Row]:
    """What the moment of start takes from inverter, cable and generator."""
    return START.rows(start)


DEPTH = Listed(SpeedResult, "pressure", "least_speed")
MEAN_FLOW = Listed(FillResult, "mean_flow")


def depth_rows(pump: PumpResult) -> list[Row]:
    """Rows on suction, motor and fill, where they apply."""
    rows = []
    if pump.suction is not None:
        rows += _suction_rows(pump.suction)
    if pump.cooling is not None:
        rows += _cooling_rows(pump.cooling)
    if pump.fill is not None:
        rows += MEAN_FLOW.rows(pump.fill)
    if pump.speeds is not None:
        rows += DEPTH.rows(pump.speeds)
    return rows


def depth_grids(pump: PumpResult) -> tuple[Grid, ...]:
    """A fill of the tank, and the speeds of a pump that holds its pressure."""
    grids = []
    if pump.fill is not None:
        grids.append(_fill(pump.fill))
    if pump.speeds is not None:
        grids.append(_speeds(pump.speeds))
    return tuple(grids)


SUCTION = Listed(SuctionResult, "lift", "limit", "friction", "available", "required")


def _suction_rows(suction: SuctionResult) -> list[Row]:
    return SUCTION.rows(suction)


COOLING = Listed(
    CoolingResult,
    "velocity", "least_flow",
    ("shroud_bore", lambda cooling:
     "inside; there is one" if cooling.shroud else "inside; there is none"),
)  # fmt: skip


def _cooling_rows(cooling: CoolingResult) -> list[Row]:
    return COOLING.rows(cooling)


FILL = Listed(FillPoint, "pressure", "flow", "head", "input_power", "water", "time")


def _fill(fill: FillResult) -> Grid:
    note = "No tap open; water and time by Boyle's law in the tank."
    return FILL.grid("fill", "Along a fill of the tank", fill.points, note)


SPEEDS = Listed(SpeedPoint, "flow", "speed", "head", "input_power")


def _speeds(speeds: SpeedResult) -> Grid:
    note = "By the affinity laws; what motor and drive lose at part load comes on top."
    return SPEEDS.grid("speeds", "Holding its pressure", speeds.points, note)
