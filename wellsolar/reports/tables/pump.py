"""Rows and grids of the powered pumps: at work, at start, with their wire and pressure tank."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Cell, Column, Grid, Listed, Row, Section, quantity
from wellsolar.results.entries import Entry
from wellsolar.results.pumps import (
    CoolingResult,
    Duty,
    FillPoint,
    FillResult,
    HeadPiece,
    PressureTankResult,
    PumpResult,
    SpeedPoint,
    SpeedResult,
    StartResult,
    SuctionResult,
    TankCycle,
    ThrottlePoint,
    ThrottleResult,
    WireResult,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence

_LEVEL_UNKNOWN = "drawdown unknown: the water was taken as drawn down to the intake"


PUMP = Listed(
    PumpResult,
    "name", "role", "intake_depth",
    ("static_level", lambda pump:
     "below the ground, water at rest" if pump.level_known else _LEVEL_UNKNOWN),
    "shut_off_head", "shut_off_pressure", "daily_volume", "daily_run_time",
    ("daily_energy", lambda pump: f"power from {pump.power_from}"
            + (", with the loss of its cable" if pump.wire and pump.wire.gauge else "")),
    "energy_per_volume",
)  # fmt: skip


OF_THE_WELL = ("intake_depth", "static_level")
"""Rows of a pump that draws from a well."""

DUTIES = Listed(
    Duty,
    "label", "pressure", "flow", "total_dynamic_head", "pumping_level", "pipe_velocity",
    "water_power", "input_power", "overall_efficiency", "state",
)  # fmt: skip
DUTIES_OF_BOOSTER = Listed(
    Duty,
    "label", "pressure", "flow", "total_dynamic_head", "pipe_velocity", "water_power",
    "input_power", "overall_efficiency", "state",
)  # fmt: skip
SUCTION = Listed(SuctionResult, "lift", "limit", "friction", "available", "required")
COOLING = Listed(
    CoolingResult,
    "velocity", "least_flow",
    ("shroud_bore", lambda cooling:
     "inside; there is one" if cooling.shroud else "inside; there is none"),
)  # fmt: skip
FILL = Listed(FillResult, "mean_flow")
FILL_POINTS = Listed(FillPoint, "pressure", "flow", "head", "input_power", "water", "time")
SPEEDS = Listed(SpeedResult, "pressure", "least_speed")
SPEED_POINTS = Listed(SpeedPoint, "flow", "speed", "head", "input_power")
THROTTLE = Listed(ThrottleResult, "pressure", "draw_flow")
THROTTLE_POINTS = Listed(
    ThrottlePoint, "flow", "upstream", "head", "input_power", "energy_per_volume"
)
START = Listed(
    StartResult,
    "running_current", ("starting_current", lambda start: start.how), "starting_apparent_power",
    "cable_dip", "generator_dip", "generator_needed",
)  # fmt: skip


def pump_section(pump: PumpResult, number: int) -> Section:
    """One powered pump: where it hangs, what it gives, what it takes."""
    rows = [row for row in PUMP.rows(pump) if not pump.from_tank or row.key not in OF_THE_WELL]
    at_work = DUTIES_OF_BOOSTER if pump.from_tank else DUTIES
    grids = [
        at_work.grid("duties", "The pump at work", pump.duties),
        _head_build_up(pump.duties),
    ]
    if pump.suction is not None:
        rows += SUCTION.rows(pump.suction)
    if pump.cooling is not None:
        rows += COOLING.rows(pump.cooling)
    if pump.fill is not None:
        rows += FILL.rows(pump.fill)
        note = "No tap open; water and time by Boyle's law in the tank."
        grids.append(FILL_POINTS.grid("fill", "Along a fill of the tank", pump.fill.points, note))
    if pump.speeds is not None:
        rows += SPEEDS.rows(pump.speeds)
        note = "By the affinity laws; what motor and drive lose at part load comes on top."
        grids.append(SPEED_POINTS.grid("speeds", "Holding its pressure", pump.speeds.points, note))
    if pump.throttle is not None:
        rows += THROTTLE.rows(pump.throttle)
        title, points = "Behind the constant-pressure valve", pump.throttle.points
        note = "The pump runs at full speed: the less is drawn, the more a gallon or litre takes."
        grids.append(THROTTLE_POINTS.grid("throttled", title, points, note))
    if pump.start is not None:
        rows += START.rows(pump.start)
    if pump.wire is not None:
        rows += wire_rows(pump.wire)
    return Section(
        f"pump_{number}",
        f"Pump: {pump.name}",
        "What does this pump give, and what does it take?",
        tuple(rows),
        tuple(grids),
    )


SIDE_BY_SIDE = Listed(
    PumpResult,
    ("name", Entry("pump", key="pump")), "role", "flow_at_first_duty", "flow_at_last_duty",
    ("shut_off_pressure", "greatest pressure"), "input_power", "daily_run_time", "daily_energy",
    "energy_per_volume", "starting_apparent_power",
)  # fmt: skip


def pumps_section(pumps: tuple[PumpResult, ...]) -> Section:
    """All pumps side by side."""
    note = (
        "A pump that works at one pressure only, or into an open tank, has its one flow twice."
        if any(len(pump.duties) == 1 for pump in pumps)
        else ""
    )
    grid = SIDE_BY_SIDE.grid("pumps", "All pumps side by side", pumps, note)
    return Section("pumps", "Pumps side by side", "Which pump for which day?", (), (grid,))


WIRE = Listed(
    WireResult,
    "gauge", "length", "current", "required_ampacity",
    ("ampacity", lambda wire: _surroundings(wire)), "voltage_drop", "drop_fraction", "power_loss",
    "smallest_gauge",
    ("overcurrent_device", lambda wire: wire.overcurrent_rule
     or "by the pump maker's sheet and the electrical code"),
)  # fmt: skip


def wire_rows(wire: WireResult) -> list[Row]:
    """A run of cable, as rows of the section of what it feeds."""
    return WIRE.rows(wire, "wire_")


def _surroundings(wire: WireResult) -> Sentence:
    template = f"of {wire.gauge or wire.smallest_gauge or 'the thickest wire'}"
    parts: dict[str, Quantity | str] = {}
    if wire.insulation is not None:
        template += f", {wire.insulation}"
    if wire.ambient is not None:
        template += ", in {ambient}"
        parts["ambient"] = Quantity(wire.ambient, kinds.TEMPERATURE)
    if wire.conductors is not None:
        template += f", {wire.conductors} conductors together"
    return Sentence(template, parts)


def _head_build_up(duties: tuple[Duty, ...]) -> Grid:
    """Pieces down, duties across; below the line the total and the friction cross-check."""
    columns = (
        Column("piece", "piece"),
        *(Column(_slug(duty.label), duty.label, kinds.HEAD) for duty in duties),
        Column("from", "from"),
    )
    pieces = [{piece.key: piece for piece in duty.pieces} for duty in duties]
    keys = list(dict.fromkeys(key for piece_at in pieces for key in piece_at))
    rows: list[tuple[Cell, ...]] = []
    for key in keys:
        here = [piece_at.get(key) for piece_at in pieces]
        label = next(piece.label for piece in here if piece is not None)
        heads = (quantity(piece.head if piece else None, kinds.HEAD) for piece in here)
        rows.append((label, *heads, _reason([duty.label for duty in duties], here)))

    def line(label: str, heads: list[float], why: str) -> tuple[Cell, ...]:
        return (label, *(Quantity(head, kinds.HEAD) for head in heads), why)

    rows += [
        line("total dynamic head", [duty.total_dynamic_head for duty in duties],
             "what the pump works against"),
        line("friction, Darcy-Weisbach", [duty.friction_darcy for duty in duties],
             "drop pipe and lateral, counted above"),
        line("friction, Hazen-Williams", [duty.friction_hazen_williams for duty in duties],
             f"cross-check of the same pipes, C = {duties[0].hazen_williams_c}; not counted"),
    ]  # fmt: skip
    return Grid("head", "Head build-up", columns, tuple(rows), foot=3)


def _reason(labels: list[str], pieces: list[HeadPiece | None]) -> Sentence | str:
    """Where a piece comes from: once if it is the same at every duty, else for each."""
    reasons = [(label, piece.why) for label, piece in zip(labels, pieces, strict=True) if piece]
    if all(why == reasons[0][1] for _, why in reasons):
        return reasons[0][1]
    templates, parts = [], {}
    for label, why in reasons:
        template = why.template
        for name, part in why.parts.items():
            template = template.replace(f"{{{name}}}", f"{{{_slug(label)}_{name}}}")
            parts[f"{_slug(label)}_{name}"] = part
        templates.append(f"{label}: {template}")
    return Sentence("; ".join(templates), parts)


def _slug(label: str) -> str:
    return label.replace("-", "_").replace(" ", "_")


CYCLES = Listed(
    TankCycle,
    "pump", "pump_flow", "run_time", "greatest_starts", "starts_a_day", "volume_needed",
)  # fmt: skip


PRESSURE_TANK = Listed(
    PressureTankResult,
    "volume", "count", "precharge", "cut_in", "cut_out", "atmospheric_pressure",
    "acceptance_factor", "stored_at_cut_in", "stored_at_cut_out", "drawdown", "best_precharge",
    "best_drawdown",
)  # fmt: skip


def pressure_tank_section(tank: PressureTankResult) -> Section:
    """The bladder tank and how each pump cycles on it."""
    cycles = CYCLES.grid("cycles", "Each pump on this tank", tank.cycles,
        "Run time from cut-in to cut-out with no tap open; starts are worst when the taps draw "
        "half the pump's flow; tank wanted for the least run time.",
    )  # fmt: skip
    return Section(
        "pressure_tank",
        "Pressure tank",
        "How much water between two starts, and does the pump rest long enough?",
        tuple(PRESSURE_TANK.rows(tank)),
        (cycles,) if tank.cycles else (),
    )  # fmt: skip
