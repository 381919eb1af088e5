"""Rows and grids of the well's side of the house: pumps, their array, pressure tank."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.rows import (
    DAYS,
    ENERGY_PER_VOLUME,
    MONTHS,
    SMALL_VOLTAGE,
    Cell,
    Column,
    Grid,
    Row,
    Section,
    cells,
    quantity,
    row,
)
from wellsolar.reports.tables.pump_depth import depth_grids, depth_rows, start_rows
from wellsolar.results import (
    Duty,
    HeadPiece,
    PressureTankResult,
    PumpResult,
    SupplyResult,
    WireResult,
)
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence

_LEVEL_UNKNOWN = "drawdown unknown: the water was taken as drawn down to the intake"


def pump_section(pump: PumpResult, number: int) -> Section:
    """One powered pump: where it hangs, what it gives, what it takes."""
    rows = [
        Row("name", "pump", pump.name),
        Row("role", "role", pump.role),
        row("intake_depth", "intake depth", pump.intake_depth, kinds.LENGTH, "below the ground"),
        row("static_level", "static level", pump.static_level, kinds.LENGTH,
            "below the ground, water at rest" if pump.level_known else _LEVEL_UNKNOWN),
        row("shut_off_head", "shut-off head", pump.shut_off_head, kinds.HEAD,
            "the pump's greatest head, at no flow"),
        row("shut_off_pressure", "greatest tank pressure", pump.shut_off_pressure, kinds.PRESSURE,
            "what it can hold at the tank, at no flow"),
        row("daily_volume", "water a day", pump.daily_volume, kinds.VOLUME,
            "" if pump.daily_volume is not None else "the file names neither use nor people"),
        row("daily_run_time", "run time a day", pump.daily_run_time, kinds.DURATION),
        row("daily_energy", "energy a day", pump.daily_energy, kinds.ENERGY,
            f"power from {pump.power_from}"
            + (", with the loss of its cable" if pump.wire and pump.wire.gauge else "")),
        row("energy_per_volume", "energy for the water", pump.energy_per_volume,
            ENERGY_PER_VOLUME),
    ]  # fmt: skip
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


def wire_rows(wire: WireResult) -> list[Row]:
    """A run of cable, as rows of the section of what it feeds."""
    return [
        Row("wire_gauge", "wire in the file", wire.gauge or "none named"),
        row("wire_length", "length of the run", wire.length, kinds.LENGTH, "one way"),
        row("wire_current", "working current", wire.current, kinds.CURRENT),
        row("wire_required_ampacity", "ampacity needed", wire.required_ampacity, kinds.CURRENT,
            "with the electrical code's factors"),
        row("wire_ampacity", "ampacity of the wire", wire.ampacity, kinds.CURRENT,
            _surroundings(wire)),
        row("wire_voltage_drop", "voltage drop", wire.voltage_drop, SMALL_VOLTAGE),
        row("wire_drop_fraction", "share of the voltage", wire.drop_fraction, kinds.FRACTION,
            "lost in the wire"),
        row("wire_power_loss", "power lost in the wire", wire.power_loss, kinds.POWER),
        Row("wire_smallest_gauge", "smallest wire that does", wire.smallest_gauge or "none",
            "meets drop, ampacity and start"),
        Row("wire_overcurrent_device", "fuse or breaker",
            quantity(wire.overcurrent_device, kinds.CURRENT),
            wire.overcurrent_rule or "by the pump maker's sheet and the electrical code",
            kinds.CURRENT, "none"),
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


def _duties(duties: tuple[Duty, ...]) -> Grid:
    columns = (
        Column("duty", "duty"),
        Column("pressure", "tank pressure", kinds.PRESSURE),
        Column("flow", "flow", kinds.FLOW),
        Column("total_dynamic_head", "total head", kinds.HEAD),
        Column("pumping_level", "pumping level", kinds.LENGTH),
        Column("pipe_velocity", "pipe velocity", kinds.SPEED),
        Column("water_power", "water power", kinds.POWER),
        Column("input_power", "input power", kinds.POWER),
        Column("overall_efficiency", "wire to water", kinds.FRACTION),
        Column("state", "on its curve?"),
    )
    rows = tuple(
        cells(columns, [
            duty.label, duty.pressure, duty.flow, duty.total_dynamic_head, duty.pumping_level,
            duty.pipe_velocity, duty.water_power, duty.input_power, duty.overall_efficiency,
            duty.state,
        ])
        for duty in duties
    )  # fmt: skip
    return Grid("duties", "The pump at work", columns, rows)


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


def supply_section(supply: SupplyResult, number: int) -> Section:
    """The array for one pump, by the hand rule."""
    columns = (
        Column("month", "month"),
        Column("horizontal", "sun, level", kinds.IRRADIATION),
        Column("plane_of_array", "sun on modules", kinds.IRRADIATION),
        Column("energy_needed", "needed a day", kinds.ENERGY),
        Column("array_power", "array wanted", kinds.POWER),
        Column("modules", "modules wanted", kinds.COUNT),
        Column("energy_available", "there a day", kinds.ENERGY),
    )
    rows = tuple(
        cells(columns, [
            MONTHS[month.month - 1], month.horizontal, month.plane_of_array, month.energy_needed,
            month.array_power, month.modules, month.energy_available,
        ])
        for month in supply.months
    )  # fmt: skip
    return Section(
        f"supply_{number}",
        f"Array for {supply.pump}",
        "How many modules keep this pump's water coming?",
        (
            Row("pump", "pump", supply.pump),
            row("daily_energy", "pump's energy a day", supply.daily_energy, kinds.ENERGY),
            row("tilt", "tilt", supply.tilt, kinds.ANGLE, "from level"),
            row("azimuth", "azimuth", supply.azimuth, kinds.ANGLE, "compass: 180 is south"),
            row("derate", "derate", supply.derate, kinds.FRACTION,
                "dirt, heat, wiring and mismatch together"),
            row("module_power", "one module", supply.module_power, kinds.POWER,
                "by its datasheet"),
            Row("worst_month", "worst month", MONTHS[supply.worst_month - 1]),
            row("modules_needed", "modules wanted", supply.modules_needed, kinds.COUNT,
                "in the worst month"),
            row("modules_there", "modules there", supply.modules_there, kinds.COUNT,
                "in groups that feed pump or battery"),
            row("battery_days", "days on the battery", supply.battery_days, DAYS,
                "the pump alone, no sun" if supply.battery_days is not None
                else "the file has no battery"),
        ),
        (Grid("months", "By the hand rule, energy / peak sun hours / derate", columns, rows,
              "Peak sun hours are the sun on the modules in kWh/m² a day."),),
    )  # fmt: skip


def pressure_tank_section(tank: PressureTankResult) -> Section:
    """The bladder tank and how each pump cycles on it."""
    columns = (
        Column("pump", "pump"),
        Column("pump_flow", "pump flow", kinds.FLOW),
        Column("run_time", "run time", kinds.DURATION),
        Column("greatest_starts", "starts at worst", kinds.STARTS_AN_HOUR),
        Column("starts_a_day", "starts on a usual day", kinds.STARTS_A_DAY),
        Column("volume_needed", "tank wanted", kinds.VOLUME),
    )
    rows = tuple(
        cells(columns, [
            cycle.pump, cycle.pump_flow, cycle.run_time, cycle.greatest_starts,
            cycle.starts_a_day, cycle.volume_needed,
        ])
        for cycle in tank.cycles
    )  # fmt: skip
    cycles = Grid(
        "cycles", "Each pump on this tank", columns, rows,
        "Run time from cut-in to cut-out with no tap open; starts are worst when the taps draw "
        "half the pump's flow; tank wanted for the least run time.",
    )  # fmt: skip
    return Section(
        "pressure_tank",
        "Pressure tank",
        "How much water between two starts, and does the pump rest long enough?",
        (
            row("volume", "tank volume", tank.volume, kinds.VOLUME, "all tanks together"),
            row("count", "tanks", tank.count, kinds.COUNT),
            row("precharge", "precharge", tank.precharge, kinds.PRESSURE, "air, with no water in"),
            row("cut_in", "cut-in", tank.cut_in, kinds.PRESSURE, "the pump starts"),
            row("cut_out", "cut-out", tank.cut_out, kinds.PRESSURE, "the pump stops"),
            row("atmospheric_pressure", "air pressure", tank.atmospheric_pressure,
                kinds.ABSOLUTE_PRESSURE, "at this altitude"),
            row("acceptance_factor", "acceptance factor", tank.acceptance_factor, kinds.RATIO,
                "share of the tank that is usable"),
            row("stored_at_cut_in", "water at cut-in", tank.stored_at_cut_in, kinds.VOLUME),
            row("stored_at_cut_out", "water at cut-out", tank.stored_at_cut_out, kinds.VOLUME),
            row("drawdown", "drawdown", tank.drawdown, kinds.VOLUME,
                "usable water between cut-out and cut-in"),
            row("best_precharge", "right precharge", tank.best_precharge, kinds.PRESSURE),
            row("best_drawdown", "drawdown with it", tank.best_drawdown, kinds.VOLUME),
        ),
        (cycles,) if rows else (),
    )  # fmt: skip
