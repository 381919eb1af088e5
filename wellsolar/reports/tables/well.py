"""Rows and grids of the well's side of the house: pumps, their array, pressure tank."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import Cell, Column, Grid, Listed, Row, Section, cells, quantity
from wellsolar.reports.tables.pump_depth import depth_grids, depth_rows, start_rows
from wellsolar.results import (
    Duty,
    HeadPiece,
    PressureTankResult,
    PumpResult,
    SupplyResult,
    WireResult,
)
from wellsolar.results.own_kinds import ENERGY_PER_VOLUME
from wellsolar.results.pumps import TankCycle
from wellsolar.results.supply import SupplyMonth
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


def pump_section(pump: PumpResult, number: int) -> Section:
    """One powered pump: where it hangs, what it gives, what it takes."""
    rows = PUMP.rows(pump)
    rows += depth_rows(pump)
    if pump.start is not None:
        rows += start_rows(pump.start)
    if pump.wire is not None:
        rows += wire_rows(pump.wire)
    return Section(
        f"pump_{number}",
        f"Pump: {pump.name}",
        "What does this pump give, and what does it take?",
        tuple(rows),
        (_duties(pump.duties), _head_build_up(pump.duties), *depth_grids(pump)),
    )


def pumps_section(pumps: tuple[PumpResult, ...]) -> Section:
    """All pumps side by side."""
    columns = (
        Column("pump", "pump"),
        Column("role", "role"),
        Column("flow_at_first_duty", "flow at cut-in", kinds.FLOW),
        Column("flow_at_last_duty", "flow at cut-out", kinds.FLOW),
        Column("shut_off_pressure", "greatest pressure", kinds.PRESSURE),
        Column("input_power", "power at cut-in", kinds.POWER),
        Column("daily_run_time", "run time a day", kinds.DURATION),
        Column("daily_energy", "energy a day", kinds.ENERGY),
        Column("energy_per_volume", "energy for the water", ENERGY_PER_VOLUME),
        Column("starting_apparent_power", "power at start", kinds.APPARENT_POWER),
    )
    rows = tuple(
        cells(columns, [
            pump.name, pump.role, pump.duties[0].flow, pump.duties[-1].flow,
            pump.shut_off_pressure, pump.duties[0].input_power, pump.daily_run_time,
            pump.daily_energy, pump.energy_per_volume,
            pump.start.starting_apparent_power if pump.start else None,
        ])
        for pump in pumps
    )  # fmt: skip
    note = (
        "A pump that works at one pressure only, or into an open tank, has its one flow twice."
        if any(len(pump.duties) == 1 for pump in pumps)
        else ""
    )
    grid = Grid("pumps", "All pumps side by side", columns, rows, note)
    return Section("pumps", "Pumps side by side", "Which pump for which day?", (), (grid,))


WIRE = Listed(
    WireResult,
    "length", "current", "required_ampacity", ("ampacity", lambda wire: _surroundings(wire)),
    "voltage_drop", "drop_fraction", "power_loss",
)  # fmt: skip
WIRE_2 = Listed(
    WireResult,
    ("overcurrent_device", lambda wire: wire.overcurrent_rule
     or "by the pump maker's sheet and the electrical code"),
)  # fmt: skip


def wire_rows(wire: WireResult) -> list[Row]:
    """A run of cable, as rows of the section of what it feeds."""
    return [
        Row("wire_gauge", "wire in the file", wire.gauge or "none named"),
        *WIRE.rows(wire),
        Row("wire_smallest_gauge", "smallest wire that does", wire.smallest_gauge or "none",
            "meets drop, ampacity and start"),
        *WIRE_2.rows(wire),
    ]  # fmt: skip


def _surroundings(wire: WireResult) -> Sentence:
    template = f"of {wire.gauge or wire.smallest_gauge or 'the thickest wire'}"
    parts: dict[str, Quantity | str] = {}
    if wire.ambient is not None:
        template += ", in {ambient}"
        parts["ambient"] = Quantity(wire.ambient, kinds.TEMPERATURE)
    if wire.conductors is not None:
        template += f", {wire.conductors} conductors together"
    return Sentence(template, parts)


DUTIES = Listed(
    Duty,
    "label", "pressure", "flow", "total_dynamic_head", "pumping_level", "pipe_velocity",
    "water_power", "input_power", "overall_efficiency", "state",
)  # fmt: skip


def _duties(duties: tuple[Duty, ...]) -> Grid:
    return DUTIES.grid("duties", "The pump at work", duties)


def _head_build_up(duties: tuple[Duty, ...]) -> Grid:
    """Pieces down, duties across; below the line the total and the friction cross-check."""
    columns = (
        Column("piece", "piece"),
        *(Column(_slug(duty.label), duty.label, kinds.HEAD) for duty in duties),
        Column("from", "from"),
    )
    pieces = [{piece.key: piece for piece in duty.pieces} for duty in duties]
    keys = list(dict.fromkeys(key for found in pieces for key in found))
    rows: list[tuple[Cell, ...]] = []
    for key in keys:
        here = [found.get(key) for found in pieces]
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
    found = [(label, piece.why) for label, piece in zip(labels, pieces, strict=True) if piece]
    if all(why == found[0][1] for _, why in found):
        return found[0][1]
    templates, parts = [], {}
    for label, why in found:
        template = why.template
        for name, part in why.parts.items():
            template = template.replace(f"{{{name}}}", f"{{{_slug(label)}_{name}}}")
            parts[f"{_slug(label)}_{name}"] = part
        templates.append(f"{label}: {template}")
    return Sentence("; ".join(templates), parts)


def _slug(label: str) -> str:
    return label.replace("-", "_").replace(" ", "_")


MONTHS_LIST = Listed(
    SupplyMonth,
    "month", "horizontal", "plane_of_array", "energy_needed", "array_power", "modules",
    "energy_available",
)  # fmt: skip
SUPPLY = Listed(
    SupplyResult,
    "pump", "daily_energy", "tilt", "azimuth", "derate", "module_power", "worst_month",
    "modules_needed", "modules_there", "battery_days",
)  # fmt: skip


def supply_section(supply: SupplyResult, number: int) -> Section:
    """The array for one pump, by the rule of thumb."""
    return Section(
        f"supply_{number}",
        f"Array for {supply.pump}",
        "How many modules keep this pump's water coming?",
        tuple(SUPPLY.rows(supply)),
        (MONTHS_LIST.grid("months", "By the rule of thumb, energy / peak sun hours / derate",
              supply.months, "Peak sun hours are the sun on the modules in kWh/m² a day."),),
    )  # fmt: skip


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
