"""Each powered pump of a site: where it works, whether that is right, what it takes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.physics.electric import cable
from wellsolar.physics.hydraulics import pump
from wellsolar.physics.hydraulics.pump import HeadCurve
from wellsolar.results.pumps import (
    Duty,
    FillResult,
    HeadPiece,
    PumpResult,
    StartResult,
    ThrottleResult,
    WireResult,
)
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.electric import cable as wiring
from wellsolar.studies.electric import starting
from wellsolar.studies.electric.bonding import bonding_verdicts
from wellsolar.studies.electric.motor_guards import (
    breaker_verdicts,
    load_verdicts,
    motor_guard_verdicts,
)
from wellsolar.studies.electric.sources_apart import supply_verdicts
from wellsolar.studies.electric.supplies import phase_verdicts
from wellsolar.studies.house import chain
from wellsolar.studies.house.demand import daily_use
from wellsolar.studies.house.wells import assumptions_there, at_well, verdicts_there, views
from wellsolar.studies.pump import verdicts as pump_verdicts
from wellsolar.studies.pump.at_once import AtOnce, at_once_verdicts
from wellsolar.studies.pump.held_pressure import HELD, speeds_of, throttled_of, valve_verdicts
from wellsolar.studies.pump.jet import jet_assumed
from wellsolar.studies.pump.motor_cooling import cooling_of
from wellsolar.studies.pump.pressure_tank import AtWork, fill_of
from wellsolar.studies.pump.shut_off import pipe_verdicts
from wellsolar.studies.pump.storage_tank import storage_verdicts
from wellsolar.studies.pump.suction_lift import suction_of
from wellsolar.studies.well.drawdown import WaterLevel, drawn_level, water_level
from wellsolar.studies.well.total_head import VALVE, Line, fittings_assumed, head_curve, line_of
from wellsolar.units import Quantity
from wellsolar.verdicts import RANK, Assumption, Verdict, say

USUAL_EFFICIENCY = 0.35
"""Wire-to-water efficiency of a small submersible pump: common practice, no source."""

EFFICIENCIES = (0.20, 0.50)
"""From the least to the most of it: legal floors of pumps and motors at 5 to 30 gpm."""

IDLE_SHARE = 0.5
"""Part of its full load that a multistage pump takes at any flow: common practice, no source."""

PUMPED_OFF = "pumps the well off"
"""State of a pump that draws the water down to its intake and gives what the well gives there."""

SHORT_RUN = 6.096
"""Length of a booster's cable of which the file tells none, at the least, 20 ft [m]: common
practice, no source."""

USUAL_VOLTAGE = 230.0
"""Voltage of a usual single-phase well pump [V]: common practice, no source."""

ABOVE_BOTTOM = 3.048
"""Height of an intake above the bottom where the file gives none, 10 ft [m]: common practice."""


@dataclass(frozen=True)
class PumpOnWell:
    """A pump's table with everything that the site adds to it."""

    table: PumpTable
    path: str
    curve: HeadCurve
    level: WaterLevel
    line: Line
    intake_depth: float

    @property
    def link(self) -> chain.Link:
        """Where it draws and delivers."""
        assert self.line.link is not None
        return self.line.link

    def at_work(self, pressure: float, level: WaterLevel | None = None) -> AtWork:
        """The pump at work against a gauge pressure at the tank, in numbers alone.

        Parameters:
            pressure: gauge pressure at the tank [Pa]
            level: another water level than the pump's own, to try the best case
        """
        water_at, valve = level or self.level, self.link.valve
        point = pump.operating_point(
            self.curve, lambda flow: self.line.total(water_at, flow, pressure)
        )
        least = None if valve is None else valve.least_flow
        shut = valve is not None and pressure > valve.set_pressure
        if shut and least is not None and point.flow > least:
            return self.throttled(float(least), pressure)
        flow, state = point.flow, str(point.state)
        if flow > water_at.greatest_flow():
            # The water settles at the intake: the pump gives what the well gives there.
            flow, state = water_at.greatest_flow(), PUMPED_OFF
        head = self.line.total(water_at, flow, pressure)
        power = pump.water_power(flow, head, self.line.density)
        own = power
        if state == PUMPED_OFF:
            # Whatever the well gives, the pump itself works where its curve has it.
            lifted = self.curve.head_at(point.flow)
            own = pump.water_power(point.flow, lifted, self.line.density)
        return AtWork(
            pressure, flow, head, self.input_power(point.flow, own), power, point.flow, state
        )

    def throttled(self, flow: float, pressure: float) -> AtWork:
        """The pump behind a valve that lets less through than it would give.

        Parameters:
            flow: what the valve lets through [m3/s]
            pressure: gauge pressure at the tank [Pa]
        """
        at = min(max(flow, self.curve.first_flow), self.curve.greatest_flow)
        head = self.curve.head_at(at)
        power = pump.water_power(flow, head, self.line.density)
        taken = self.input_power(at, power)
        if self.table.power is None:  # An efficiency is one near the pump's best.
            taken = max(taken, IDLE_SHARE * starting.full_load_power(self.table))
        return AtWork(pressure, flow, head, taken, power, flow, HELD)

    def duty(self, label: str, pressure: float, level: WaterLevel | None = None) -> Duty:
        """The pump at work, with its head build-up.

        Parameters:
            pressure: gauge pressure at the tank [Pa]
            level: another water level than the pump's own, to try the best case
        """
        water_at, work = level or self.level, self.at_work(pressure, level)
        return Duty(
            label=label,
            pressure=pressure,
            flow=work.flow,
            total_dynamic_head=work.total_dynamic_head,
            pieces=(*self.line.pieces(water_at, work.flow, pressure), *self._shut(water_at, work)),
            friction_darcy=self.line.friction_darcy(work.flow),
            friction_hazen_williams=self.line.friction_hazen_williams(work.flow),
            hazen_williams_c=self.line.hazen_williams_text(),
            state=work.state,
            pumping_level=water_at.at(work.flow),
            settled_level=water_at.settled(work.pump_flow),
            pump_flow=work.pump_flow,
            pipe_velocity=self.line.velocity(work.pump_flow),
            water_power=work.water_power,
            input_power=work.input_power,
        )

    def before_valve(self, flow: float, head: float) -> float:
        """Gauge pressure before a constant-pressure valve at the tank [Pa].

        Parameters:
            flow: through it [m3/s]
            head: of the pump there [m]
        """
        valve = [fitting for fitting in self.line.fittings if fitting.kind == VALVE]
        lost = self.line.total(self.level, flow, 0.0)
        lost -= sum(fitting.loss_of(flow, None) for fitting in valve)
        return self.line.pressure_of(head - lost)

    def _shut(self, level: WaterLevel, work: AtWork) -> tuple[HeadPiece, ...]:
        """The head that a valve takes which throttles the pump."""
        if work.state != HELD:
            return ()
        taken = work.total_dynamic_head - self.line.total(level, work.flow, work.pressure)
        why = say("nearly shut: what the pump makes too much")
        return (HeadPiece("valve", VALVE, taken, why),)

    def input_power(self, flow: float, water_power: float) -> float:
        """Electrical power at a flow, from the sheet or from an efficiency [W]."""
        table = self.table
        on_plate = table.rated_power is not None or table.full_load_current is not None
        if chain.has_ejector(table) and (table.power is not None or on_plate):
            # What circulates through the ejector loads the motor at any flow.
            most = max(table.power or (starting.full_load_power(table),))
            return float(most) if water_power > 0.0 else 0.0
        if table.power is not None:
            return pump.interpolate_curve(table.flow, table.power, max(flow, table.flow[0]))
        if table.efficiency is not None:
            return water_power / table.efficiency
        at_least = IDLE_SHARE * starting.full_load_power(table) if water_power > 0.0 else 0.0
        return max(water_power / USUAL_EFFICIENCY, at_least)


def study_pumps(site: Site) -> tuple[tuple[PumpResult, ...], StudyPart]:
    """Every powered pump of a site."""
    if not site.pump:
        return (), StudyPart(tuple(supply_verdicts(site)))
    use, of_demand = daily_use(site)
    assumptions = [*of_demand, *fittings_assumed(site), *chain.storage_assumed(site)]
    results: list[PumpResult] = []
    verdicts: list[Verdict] = []
    working: list[AtOnce] = []
    on_wells: list[PumpOnWell] = []
    for index, table in enumerate(site.pump):
        here = at_well(site, table)
        on_well = pump_on_well(here, table, f"pump[{index + 1}]")
        assumptions += assumptions_there(here, _assumptions(here, table, on_well))
        on_wells.append(on_well)
        results.append(_result(here, on_well, use))
    if site.other_well:
        results = _with_other_wells(site, on_wells, results)
    for table, on_well, result in zip(site.pump, on_wells, results, strict=True):
        here = at_well(site, table)
        of_pump = pump_verdicts.verdicts_of(
            here, on_well.table, result, _best_duty(on_well, result), on_well.path
        )
        of_pump += _electric_verdicts(here, on_well, result)
        verdicts += verdicts_there(here, of_pump)
        working.append(AtOnce(on_well.table, on_well.path, result, on_well.curve, on_well.line))
    verdicts += valve_verdicts(site, results)
    verdicts += at_once_verdicts(site, working)
    verdicts += storage_verdicts(site, results)
    verdicts += pipe_verdicts(site, tuple(results))
    for view in views(site):
        verdicts += verdicts_there(view, bonding_verdicts(view))
    verdicts += supply_verdicts(site)
    return tuple(results), StudyPart(tuple(verdicts), tuple(assumptions))


def _with_other_wells(
    site: Site, on_wells: list[PumpOnWell], results: list[PumpResult]
) -> list[PumpResult]:
    """The same with what pumps in other wells bring a day into the storage tank beside each pump
    that fills it: pumps that may run at once or in turn, none that stands by for an outage."""
    if chain.pumps_run(site) not in ("at once", "alternating"):
        return results
    given: dict[str, float] = {}
    share = 0.0
    for on_well, result in zip(on_wells, results, strict=True):
        table, flow = on_well.table, result.duties[0].flow
        if not on_well.link.into_tank or table.role == "backup" or flow <= 0.0:
            continue
        here = at_well(site, table)
        stop = water_level(here, on_well.intake_depth - table.minimum_submergence)
        tested = here.well.tested_yield
        borne = min(math.inf if tested is None else float(tested), stop.greatest_flow())
        if math.isfinite(borne):
            given[table.name] = min(flow, borne) * DAY
            share += min(1.0, borne / flow)
    if chain.pumps_run(site) == "alternating" and share > 1.0:
        return results  # Then one waits for the other.
    wells = {table.name: table.well for table in site.pump}
    return [
        replace(
            result,
            from_other_wells=sum(
                volume for name, volume in given.items() if wells[name] != wells[result.name]
            ),
        )
        if on_well.link.into_tank and on_well.table.role != "backup"
        else result
        for on_well, result in zip(on_wells, results, strict=True)
    ]


def pump_on_well(site: Site, table: PumpTable, path: str) -> PumpOnWell:
    """A pump with everything that the site adds to it: curve, level, line and depth."""
    intake = intake_depth(site, table)
    level, line = drawn_level(site, table, intake), line_of(site, table, intake)
    changed: dict[str, object] = {"voltage": _voltage(site, table)}
    curve = head_curve(table, level, line)
    if chain.has_ejector(table):
        changed |= {
            "flow": tuple(Quantity(flow, kinds.FLOW) for flow in curve.flow),
            "head": tuple(Quantity(head, kinds.HEAD) for head in curve.head),
        }
    return PumpOnWell(table.model_copy(update=changed), path, curve, level, line, intake)


def intake_depth(site: Site, table: PumpTable) -> float:
    """Depth at which a pump's intake hangs [m]: that of the file, else a little above the bottom;
    that of the outlet of the storage tank for a pump that draws from it, less than nothing where
    it stands higher."""
    if table.draws == "storage tank" and site.storage_tank is not None:
        return -chain.storage_of(site, site.storage_tank).outlet
    if table.intake_depth is not None:
        return float(table.intake_depth)
    well = at_well(site, table).well
    return max(well.depth - ABOVE_BOTTOM, float(well.static_level))


def _voltage(site: Site, table: PumpTable) -> Quantity | None:
    """The pump's voltage: its own, else the inverter's, else the usual one of a well pump."""
    if table.voltage is not None or table.supply == "DC":
        return table.voltage
    return site.power.inverter_voltage or Quantity(USUAL_VOLTAGE, kinds.VOLTAGE)


def _assumptions(site: Site, table: PumpTable, on_well: PumpOnWell) -> list[Assumption]:
    assumptions = jet_assumed(table, on_well.path)
    if table.voltage is None and on_well.table.voltage is not None:
        why = "the inverter's voltage, or that of a usual well pump"
        assumptions.append(
            Assumption(f"{on_well.path}.voltage", on_well.table.voltage, why, "common practice")
        )
    if on_well.table.intake_depth is None and on_well.table.draws == "well":
        value = Quantity(on_well.intake_depth, kinds.LENGTH)
        why = "the pump hangs 10 ft above the bottom"
        assumptions.append(
            Assumption(f"{on_well.path}.intake_depth", value, why, "common practice")
        )
    if on_well.table.power is None and on_well.table.efficiency is None:
        value = Quantity(USUAL_EFFICIENCY, kinds.FRACTION, *EFFICIENCIES)
        why = "wire to water, of a small submersible pump, 20 to 50 %; a power curve is better"
        assumptions.append(
            Assumption(f"{on_well.path}.efficiency", value, why, "overall efficiency")
        )
    if table.well is not None:
        assumptions += _as_at_the_first(site, table, on_well)
    if not on_well.level.known:
        value = Quantity(on_well.intake_depth, kinds.LENGTH)
        why = "pumping level unknown: taken at the intake, the worst case"
        assumptions.append(Assumption("well.specific_capacity", value, why, "total dynamic head"))
    return assumptions


def _as_at_the_first(site: Site, table: PumpTable, on_well: PumpOnWell) -> list[Assumption]:
    """What a pump in another well has as usual, or as in [piping], where its file tells no
    other."""
    assumptions_made = []
    if table.drop_pipe is None:
        pipe = site.piping.drop_pipe
        value, why = f"{pipe.size} {pipe.material}", "as the drop pipe of [piping]"
        assumptions_made.append(
            Assumption(f"{on_well.path}.drop_pipe", value, why, "common practice")
        )
    if table.line is not None and not table.line.fittings and not chain.stands_elsewhere(table):
        path = f"{on_well.path}.line.fittings"
        assumptions_made += [
            replace(assumption, path=path) for assumption in fittings_assumed(site)
        ]
    return assumptions_made


def _duties(on_well: PumpOnWell) -> tuple[Duty, ...]:
    link = on_well.link
    return tuple(map(on_well.duty, link.labels, link.pressures))


def _best_duty(on_well: PumpOnWell, result: PumpResult) -> Duty:
    """The last duty, with the water at rest where the drawdown is unknown: the best case."""
    if on_well.level.known:
        return result.duties[-1]
    at_rest = WaterLevel(on_well.level.static_level, None, on_well.level.static_level)
    return on_well.duty("water at rest", on_well.link.pressures[-1], at_rest)


def _result(site: Site, on_well: PumpOnWell, use: float | None) -> PumpResult:
    table, line = on_well.table, on_well.line
    duties = _duties(on_well)
    fill = None
    if on_well.link.by_switch:
        at = {duty.pressure: duty for duty in duties}
        fill = fill_of(site, lambda pressure: at.get(pressure) or on_well.at_work(pressure))
    throttle = throttled_of(
        on_well.link, use, on_well.at_work, on_well.throttled, on_well.before_valve
    )
    mean_flow, per_volume = _means(duties, fill, throttle)
    volume = None if use is None else use * DAY
    # At no flow; with an unknown drawdown from the intake, the worst that can be.
    static_head = line.static_head(on_well.level.at(0.0), 0.0)
    head_left = max(0.0, on_well.curve.shut_off_head - static_head)
    start = starting.start_of(table, _greatest(duties))
    wire = _wire(site, on_well, _greatest(duties), start)
    per_volume = _with_cable(per_volume, mean_flow, table, wire)
    return PumpResult(
        name=table.name,
        role=table.role,
        duties=duties,
        level_known=on_well.level.known,
        intake_depth=on_well.intake_depth,
        static_level=on_well.level.static_level,
        shut_off_pressure=line.pressure_of(head_left),
        shut_off_head=on_well.curve.shut_off_head,
        daily_volume=volume,
        daily_run_time=volume / mean_flow if volume and mean_flow > 0 else None,
        daily_energy=volume * per_volume if volume and per_volume else None,
        energy_per_volume=per_volume,
        power_from=_power_from(table),
        start=starting.with_dips(site, table, start, wire),
        wire=wire,
        suction=suction_of(site, line, table, duties),
        fill=fill,
        speeds=speeds_of(
            table,
            on_well.curve,
            lambda flow, pressure: line.total(on_well.level, flow, pressure),
            on_well.input_power,
            line.density,
        ),
        throttle=throttle,
        cooling=cooling_of(site, table, duties),
        from_tank=on_well.link.from_tank,
    )


def _means(
    duties: tuple[Duty, ...], fill: FillResult | None, throttle: ThrottleResult | None
) -> tuple[float, float | None]:
    """Mean flow in time [m3/s] and energy per volume [J/m3] of a pump's usual work: at the taps'
    own flow behind a constant-pressure valve, else over a fill of the tank, or of the duties where
    there is none."""
    if throttle is not None:
        return throttle.draw_flow, throttle.energy_per_volume
    if fill is not None:
        return fill.mean_flow, fill.energy_per_volume
    working = [duty for duty in duties if duty.flow > 0]
    mean_flow = sum(duty.flow for duty in duties) / len(duties)
    if not working:
        return mean_flow, None
    return mean_flow, sum(duty.input_power / duty.flow for duty in working) / len(working)


def _with_cable(
    per_volume: float | None, mean_flow: float, table: PumpTable, wire: WireResult | None
) -> float | None:
    """Energy per volume [J/m3] with what the file's cable loses at the pump's mean power."""
    if per_volume is None or wire is None or wire.gauge is None or wire.current <= 0:
        return per_volume
    power = per_volume * mean_flow
    current = starting.current_of(table, power)
    loss = wire.power_loss * (current / wire.current) ** 2
    return per_volume * (1.0 + loss / power)


def _power_from(table: PumpTable) -> str:
    if table.power is not None:
        return "the most of its sheet" if chain.has_ejector(table) else "the sheet's power curve"
    if table.efficiency is not None:
        return "the file's efficiency"
    if chain.has_ejector(table):
        return "its motor at full load, as what circulates loads it at any flow"
    return "a usual efficiency of 35 %; with 20 to 50 % it is 0.7 to 1.75 times as much"


def _greatest(duties: tuple[Duty, ...]) -> float:
    return max(duty.input_power for duty in duties)


def _is_guessed(table: PumpTable) -> bool:
    """True where neither sheet, efficiency nor motor tells what a pump takes."""
    electric_data = (table.power, table.efficiency, table.rated_power, table.full_load_current)
    return all(value is None for value in electric_data)


def _electric_verdicts(site: Site, on_well: PumpOnWell, result: PumpResult) -> list[Verdict]:
    """The verdicts on supply, start and cable; of a pump whose power is guessed, what passes only
    by the likeliest guess is unknown."""

    def at(power: float, start: StartResult | None, run: WireResult | None) -> list[Verdict]:
        table, path = on_well.table, on_well.path
        return [
            *starting.inverter_verdicts(site, table, start, power, path),
            *phase_verdicts(site, table, path),
            *motor_guard_verdicts(site, table, path),
            *load_verdicts(table, path, power, water_power, has_electric_data),
            *(
                breaker_verdicts(
                    table, path, starting.code_current(table, run.current), run.overcurrent_device
                )
                if run is not None
                else ()
            ),
            *starting.dip_verdicts(site, table, start, run, path),
            *_wire_verdicts(site, on_well, run),
        ]

    has_electric_data = on_well.table.power is not None or on_well.table.efficiency is not None
    likely = _greatest(result.duties)
    water_power = max(duty.water_power for duty in result.duties)
    verdicts = at(likely, result.start, result.wire)
    if not _is_guessed(on_well.table):
        return verdicts
    most = likely * USUAL_EFFICIENCY / EFFICIENCIES[0]
    start = starting.start_of(on_well.table, most)
    run = _wire(site, on_well, most, start)
    worst = at(most, starting.with_dips(site, on_well.table, start, run), run)
    key, why = f"{on_well.path}.rated_power", "it hangs on what the motor takes"
    return [
        one if RANK[other.status] >= RANK[one.status]
        else one.rule.unknown(one.subject, key, why=why)
        for one, other in zip(verdicts, worst, strict=True)
    ]  # fmt: skip


def _wire(
    site: Site, on_well: PumpOnWell, power: float, start: StartResult | None
) -> WireResult | None:
    table = on_well.table
    if table.voltage is None:
        return None
    named = table.cable
    length = max(0.0, on_well.intake_depth) + (site.piping.lateral.length or 0.0)
    if table.draws != "well":
        length = max(length, SHORT_RUN)
    if named is not None and named.length is not None:
        length = float(named.length)
    current = starting.running_current(table, power)
    code = starting.code_current(table, current)
    metric = wiring.in_mm2(site, named)
    device, rule = wiring.motor_device(code, table.supply == "DC", metric)
    if table.start == "variable speed":
        device, rule = None, "by the drive maker's sheet and the electrical code"
    needed = cable.motor_conductor_current(code)
    load = wiring.Load(
        current,
        needed,
        needed,
        float(table.voltage),
        table.phases,
        None if start is None else start.starting_current,
        device,
        rule,
    )
    return wiring.wire_run(named, length, load, float(site.limits.voltage_drop), metric)


def _wire_verdicts(site: Site, on_well: PumpOnWell, run: WireResult | None) -> list[Verdict]:
    name, limit = on_well.table.name, float(site.limits.voltage_drop)
    if run is None:
        missing = [f"{on_well.path}.voltage"]
        missing += [f"{on_well.path}.cable"] if on_well.table.cable is None else []
        return [rule.unknown(name, *missing) for rule in (wiring.AMPACITY_MOTOR, wiring.DROP)]
    return wiring.wire_verdicts(run, name, f"{on_well.path}.cable", limit, wiring.AMPACITY_MOTOR)
