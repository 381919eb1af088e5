"""What the studies of well, pumps, tank and hands say, composed again from libraries.

Water by CoolProp, friction and air by fluids, curves and roots by scipy, the rest by arithmetic
that stands here in full; for the shipped sites, the invented ones and random ones. Of the project
only the site model and its tables of pipes, fittings and wires are used.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fluids.atmosphere import ATMOSPHERE_1976
from fluids.friction import friction_factor
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from tests.properties.whole.named import FEW, NAMED, tables_of
from tests.properties.whole.strategy import sample
from tests.sampled import every
from wellsolar import Case, Options, site_from
from wellsolar.data import fitting_table, pipes, wiring
from wellsolar.results import Results
from wellsolar.results.hand import HandPumpResult
from wellsolar.results.pumps import Duty, PumpResult
from wellsolar.site.schema import PumpTable, Site

G = 9.80665
PSI = 6894.757293168
DAY = 86_400.0
RANDOM = (0, 1, 3, 4)
"""Of the random sites those that are studied in a moment."""

HELD = "held back by the valve"

SITES = (*NAMED, *(f"random {number}" for number in RANDOM))
USUAL_FITTINGS = (("pitless adapter", 1), ("check valve", 1), ("90 elbow", 4))
CLOSE = 2e-3
"""Two sorts of the properties of water, and two of Colebrook's equation."""


@dataclass(frozen=True)
class Studied:
    """A site and what was found of it."""

    site: Site
    results: Results


@cache
def studied(name: str) -> Studied:
    number = name.removeprefix("random ")
    file = site_from(sample(FEW)[int(number)] if number.isdecimal() else tables_of(name))
    return Studied(file.site, Case(file, Options(cases=16)).results(("pump", "tank", "hand")))


@cache
def water(key: str, celsius: float) -> float:
    return float(PropsSI(key, "T", 273.15 + celsius, "P", 101_325, "Water"))


def density(site: Site) -> float:
    return water("D", float(site.well.water_temperature))


def viscosity(site: Site) -> float:
    return water("V", float(site.well.water_temperature)) / density(site)


def air(site: Site) -> float:
    return float(ATMOSPHERE_1976(float(site.site.altitude)).P)


def friction(site: Site, run: Any, length: float, flow: float) -> tuple[float, float]:
    """Friction head by Darcy and Weisbach, and the velocity [m, m/s]."""
    size = pipes.pipe_size(run.material, run.size)
    speed = flow / (math.pi / 4.0 * size.bore**2)
    reynolds = speed * size.bore / viscosity(site)
    if flow <= 0.0:
        return 0.0, 0.0
    factor = friction_factor(Re=reynolds, eD=size.roughness / size.bore)
    return factor * length / size.bore * speed**2 / (2 * G), speed


def hanging(site: Site, table: PumpTable, intake: float) -> tuple[Any, float]:
    """The drop pipe and its length [m]."""
    drop = table.drop_pipe or site.piping.drop_pipe
    down = max(0.0, intake - float(site.piping.pitless_depth))
    return drop, down if drop.length is None else float(drop.length)


def pieces_of(
    site: Site, table: PumpTable, intake: float, duty: Duty, flow: float
) -> dict[str, float]:
    """The head build-up at a flow but for the level of the water [m]."""
    drop, down = hanging(site, table, intake)
    lateral = site.piping.lateral
    in_drop, _ = friction(site, drop, down, flow)
    in_lateral, speed = friction(site, lateral, float(lateral.length or 0.0), flow)
    named = [(each.kind, each.count) for each in site.piping.fittings] or USUAL_FITTINGS
    loss = sum(count * fitting_table.fitting(kind).loss_coefficient for kind, count in named)
    weight, valve, in_valve = density(site) * G, site.constant_pressure_valve, 0.0
    if valve is not None and valve.loss is not None and valve.loss_flow is not None:
        in_valve = float(valve.loss) * (flow / float(valve.loss_flow)) ** 2 / weight
    return {
        "elevation": float(site.piping.tank_elevation),
        "drop_pipe": in_drop,
        "lateral": in_lateral,
        "fittings": loss * speed**2 / (2 * G) + in_valve,
        "treatment": float(site.piping.treatment_loss) / weight,
        "pressure": duty.pressure / weight,
        "velocity": speed**2 / (2 * G),
    }


def level_at(site: Site, intake: float, flow: float) -> float | None:
    """Where the water stands at a flow; None where more than one key of the file tells it."""
    well = site.well
    told = (well.step_test, well.drawdown_test, well.tested_pumping_level)
    if well.specific_capacity is None or any(each is not None for each in told):
        return None
    settled = float(well.static_level) + flow / float(well.specific_capacity)
    return min(settled, max(intake, float(well.static_level)))


def intake_of(site: Site, table: PumpTable) -> float:
    """10 ft above the bottom where the file tells nothing."""
    if table.intake_depth is not None:
        return float(table.intake_depth)
    return max(float(site.well.depth) - 10 * 0.3048, float(site.well.static_level))


def plainly_laid(site: Site, table: PumpTable) -> bool:
    """Whether a pump lifts from the well by the lateral to the house, as is composed here."""
    filled = table.delivers == "storage tank" and site.storage_tank is not None
    own = (table.line, table.suction_pipe, table.stands_at)
    fitted = all(each.kind != "other" for each in site.piping.fittings)
    return table.draws == "well" and not filled and own == (None,) * 3 and fitted


def each_pump(name: str) -> list[tuple[Site, PumpTable, PumpResult]]:
    """The pumps of a site that are plainly laid."""
    found = studied(name)
    pumps = zip(found.site.pump, found.results.pumps, strict=True)
    return [(found.site, *each) for each in pumps if plainly_laid(found.site, each[0])]


@pytest.mark.parametrize("name", every(SITES, 4))
def test_the_head_is_made_of_its_pieces(name: str) -> None:
    for site, table, pump in each_pump(name):
        intake = intake_of(site, table)
        assert pump.intake_depth == pytest.approx(intake)
        assert pump.static_level == pytest.approx(float(site.well.static_level))
        for duty in pump.duties:
            told = {each.key: each.head for each in duty.pieces}
            level = told.pop("pumping_level")
            expected = pieces_of(site, table, intake, duty, duty.flow)
            if duty.state == HELD:
                # What the pump makes too much at that flow, a valve takes.
                curve = PchipInterpolator([*map(float, table.flow)], [*map(float, table.head)])
                left = level + sum(expected.values())
                expected["valve"] = float(curve(duty.flow)) - left
            assert told == pytest.approx(expected, rel=CLOSE, abs=1e-6)
            assert duty.total_dynamic_head == pytest.approx(level + sum(told.values()))
            assert duty.friction_darcy == pytest.approx(told["drop_pipe"] + told["lateral"])
            assert duty.pumping_level == pytest.approx(level)
            known = level_at(site, intake, duty.flow)
            if known is not None:
                assert level == pytest.approx(known, rel=CLOSE)
            elif not pump.level_known:
                assert level == pytest.approx(max(intake, pump.static_level))


def hazen_williams(site: Site, run: Any, length: float, flow: float) -> float:
    """In feet for 100 ft of pipe 0.2083 (100 / C)^1.852 q^1.852 / d^4.8655, q in gpm and d in
    inches: as tables of the trade print it, from memory."""
    size = pipes.pipe_size(run.material, run.size)
    own = site.piping.hazen_williams_c
    c = size.hazen_williams_coefficient if own is None else float(own)
    flow_gpm, bore_inches = flow / (3.785411784e-3 / 60.0), size.bore / 0.0254
    return float(0.2083e-2 * length * (100.0 / c) ** 1.852 * flow_gpm**1.852 / bore_inches**4.8655)


@pytest.mark.parametrize("name", SITES)
def test_pump_and_system_meet_on_the_curve(name: str) -> None:
    for site, table, pump in each_pump(name):
        curve = PchipInterpolator([*map(float, table.flow)], [*map(float, table.head)])
        intake = intake_of(site, table)
        drop, down = hanging(site, table, intake)
        lateral = site.piping.lateral
        assert pump.shut_off_head == pytest.approx(float(table.head[0]))
        for duty in pump.duties:
            if duty.state == "on curve":
                assert float(curve(duty.flow)) == pytest.approx(duty.total_dynamic_head, rel=1e-6)
                assert duty.flow == pytest.approx(duty.pump_flow)
            elif duty.state == "below shut-off":
                assert duty.flow == 0.0
                assert duty.total_dynamic_head > pump.shut_off_head
            elif duty.state == "beyond the curve":
                assert duty.flow == pytest.approx(float(table.flow[-1]))
                assert duty.total_dynamic_head < float(table.head[-1])
            elif duty.state == HELD:
                assert duty.flow == site.constant_pressure_valve.least_flow
                assert float(curve(duty.flow)) == pytest.approx(duty.total_dynamic_head, rel=1e-6)
            else:
                assert duty.flow < duty.pump_flow
                assert duty.pumping_level == pytest.approx(intake, rel=1e-6)
            power = density(site) * G * duty.flow * duty.total_dynamic_head
            assert duty.water_power == pytest.approx(power, rel=CLOSE)
            by_hand = hazen_williams(site, drop, down, duty.flow)
            by_hand += hazen_williams(site, lateral, float(lateral.length or 0.0), duty.flow)
            assert duty.friction_hazen_williams == pytest.approx(by_hand, rel=CLOSE, abs=1e-9)
            if level_at(site, intake, 0.0) is not None:
                capacity = float(site.well.specific_capacity)
                settled = pump.static_level + duty.pump_flow / capacity
                assert duty.settled_level == pytest.approx(settled, rel=CLOSE)
            speeds = [friction(site, each, 0.0, duty.pump_flow)[1] for each in (drop, lateral)]
            assert duty.pipe_velocity == pytest.approx(max(speeds), rel=CLOSE)
            if table.power is not None and duty.pump_flow > 0.0:
                of_sheet = PchipInterpolator([*map(float, table.flow)], [*map(float, table.power)])
                told = float(of_sheet(duty.pump_flow))
                assert duty.input_power == pytest.approx(told, rel=1e-6)
            elif table.efficiency is not None and duty.state == "on curve":
                share = float(table.efficiency)
                assert duty.input_power == pytest.approx(duty.water_power / share, rel=1e-6)


@pytest.mark.parametrize("name", SITES)
def test_what_a_pump_can_hold_is_what_is_left_of_its_head(name: str) -> None:
    for site, table, pump in each_pump(name):
        level = pump.static_level
        if not pump.level_known:
            level = max(intake_of(site, table), level)
        weight = density(site) * G
        lift = level + float(site.piping.tank_elevation)
        lost = float(site.piping.treatment_loss)
        left = max(0.0, float(table.head[0]) * weight - lift * weight - lost)
        assert pump.shut_off_pressure == pytest.approx(left, rel=CLOSE, abs=1.0)


@pytest.mark.parametrize("name", SITES)
def test_what_nothing_stops_presses_into_pipe_tank_and_lateral(name: str) -> None:
    found = studied(name)
    verdicts = {(each.rule.key, each.subject): each for each in found.results.verdicts}
    weight = density(found.site) * G
    static = float(found.site.well.static_level)
    up = float(found.site.piping.tank_elevation)
    laid = max(float(found.site.piping.pitless_depth), -up)
    tank = found.site.pressure_tank
    relief = None if tank is None else tank.relief_pressure
    into_lateral = []
    if not all(plainly_laid(found.site, table) for table in found.site.pump):
        return
    for _, table, pump in each_pump(name):
        if table.kind == "suction":
            continue
        told = verdicts["drop pipe pressure", table.name]
        if told.quantity is not None:
            assert told.quantity == pytest.approx(float(table.head[0]) * weight, rel=CLOSE)
        pressed = max(0.0, pump.shut_off_head - static + laid) * weight
        if relief is not None:
            pressed = min(pressed, float(relief) + (up + laid) * weight)
        into_lateral.append(pressed)
    told = verdicts.get(("lateral pressure", "line to the house"))
    if told is not None and told.quantity is not None:
        assert told.quantity == pytest.approx(max(into_lateral), rel=CLOSE)


def flow_at(site: Site, table: PumpTable, pump: PumpResult, pressure: float) -> float:
    """Flow against a pressure at the tank, by the root of curve less system [m3/s]."""
    curve = PchipInterpolator([*map(float, table.flow)], [*map(float, table.head)])
    intake, duty = pump.intake_depth, pump.duties[0]

    def spare(flow: float) -> float:
        pieces = pieces_of(site, table, intake, duty, flow)
        pieces["pressure"] = pressure / (density(site) * G)
        level = level_at(site, intake, flow)
        return float(curve(flow)) - level - sum(pieces.values())

    return float(brentq(spare, 1e-9, float(table.flow[-1])))


def plain(site: Site, pump: PumpResult) -> bool:
    """Whether a fill can be composed here: the level known by one key, always on the curve."""
    known = level_at(site, pump.intake_depth, 0.0) is not None
    return known and all(duty.state == "on curve" for duty in pump.duties)


@pytest.mark.parametrize("name", SITES)
def test_a_fill_of_the_tank_by_boyle(name: str) -> None:
    found = studied(name)
    tank, switch = found.site.pressure_tank, found.site.pressure_switch
    told = found.results.pressure_tank
    if tank is None or switch is None or told is None:
        return
    atmosphere = air(found.site)
    size = float(tank.volume) * tank.count
    cut_in, cut_out = float(switch.cut_in), float(switch.cut_out)
    held = [each.held_pressure for each in found.site.pump]
    by_drive = held and all(each is not None for each in held)
    best = 0.7 * max(map(float, held)) if by_drive else cut_in - 2 * PSI
    charged = best if tank.precharge is None else float(tank.precharge)

    def water(precharge: float, pressure: float) -> float:
        return max(0.0, size * (1.0 - (precharge + atmosphere) / (pressure + atmosphere)))

    used = water(charged, cut_out) - water(charged, cut_in)
    assert told.atmospheric_pressure == pytest.approx(atmosphere, rel=CLOSE)
    assert (told.volume, told.count) == (pytest.approx(size), tank.count)
    assert told.precharge == pytest.approx(charged, rel=CLOSE)
    assert told.best_precharge == pytest.approx(best, rel=CLOSE)
    assert told.stored_at_cut_in == pytest.approx(water(charged, cut_in), rel=1e-2, abs=1e-4)
    assert told.stored_at_cut_out == pytest.approx(water(charged, cut_out), rel=CLOSE)
    assert told.drawdown == pytest.approx(used, rel=CLOSE)
    assert told.acceptance_factor == pytest.approx(used / size, rel=CLOSE)
    at_best = water(best, cut_out) - water(best, cut_in)
    assert told.best_drawdown == pytest.approx(at_best, rel=CLOSE)
    cycles = {each.pump: each for each in told.cycles}
    for site, table, pump in each_pump(name):
        if pump.fill is None or not plain(site, pump):
            continue
        filled = np.linspace(water(charged, cut_in), water(charged, cut_out), 21)
        full = np.maximum(filled, 0.0)
        pressures = size * (charged + atmosphere) / (size - full) - atmosphere
        flows = np.array([flow_at(site, table, pump, each) for each in pressures])
        time = float(np.trapezoid(1.0 / flows, x=filled))
        cycle = cycles[table.name]
        assert pump.fill.duration == pytest.approx(time, rel=1e-2)
        assert cycle.run_time == pytest.approx(time, rel=1e-2)
        mean = used / time
        assert pump.fill.mean_flow == pytest.approx(mean, rel=1e-2)
        assert cycle.pump_flow == pytest.approx(mean, rel=1e-2)
        # Worst where the taps draw half the flow: filling and emptying take as long.
        assert cycle.greatest_starts == pytest.approx(mean / (4.0 * used), rel=1e-2)
        filled = np.linspace(water(best, cut_in), water(best, cut_out), 21)
        at_each = size * (best + atmosphere) / (size - filled) - atmosphere
        at_best_charge = np.array([flow_at(site, table, pump, each) for each in at_each])
        best_time = float(np.trapezoid(1.0 / at_best_charge, x=filled))
        assert pump.fill.best_duration == pytest.approx(best_time, rel=1e-2)
        judged = {each.rule.key: each for each in found.results.verdicts
                  if each.subject == table.name and each.limit is not None}  # fmt: skip
        wanted = [float(judged["run time"].limit) / best_time] if "run time" in judged else []
        for rule in ("starts an hour", "starts a day"):
            if rule in judged:
                # With more water between its pressures a tank asks for fewer starts.
                starts = float(judged[rule].quantity) / float(judged[rule].limit)
                wanted.append(starts * used / at_best)
        assert len(wanted) >= 2
        assert cycle.volume_needed == pytest.approx(size * max(wanted), rel=1e-2)
        if table.power is not None:
            of_sheet = PchipInterpolator([*map(float, table.flow)], [*map(float, table.power)])
            energy = float(np.trapezoid(of_sheet(flows) / flows, x=filled))
            assert pump.fill.energy_per_volume == pytest.approx(energy / used, rel=1e-2)


@pytest.mark.parametrize("name", SITES)
def test_a_days_water_takes_its_time_and_energy(name: str) -> None:
    tank = studied(name).results.pressure_tank
    cycles = {} if tank is None else {each.pump: each for each in tank.cycles}
    for site, table, pump in each_pump(name):
        use = site.demand.daily_use
        if use is not None and pump.daily_volume is not None:
            assert pump.daily_volume == pytest.approx(float(use) * DAY)
        if pump.daily_volume is None or pump.daily_energy is None:
            continue
        flow = np.mean([duty.flow for duty in pump.duties])
        if pump.fill is not None:
            flow = pump.fill.mean_flow
        if pump.throttle is not None:
            flow = pump.throttle.draw_flow
        assert pump.daily_run_time == pytest.approx(pump.daily_volume / flow)
        if table.name in cycles and tank is not None:
            a_day = pump.daily_volume / tank.drawdown
            assert cycles[table.name].starts_a_day * DAY == pytest.approx(a_day)
        working = [duty for duty in pump.duties if duty.flow > 0]
        bare = np.mean([duty.input_power / duty.flow for duty in working])
        if pump.fill is not None:
            bare = pump.fill.energy_per_volume
        if pump.throttle is not None and table.power is not None:
            of_sheet = PchipInterpolator([*map(float, table.flow)], [*map(float, table.power)])
            bare = float(of_sheet(flow)) / flow
        loss = 0.0
        if pump.wire is not None and pump.wire.gauge is not None:
            # What the cable loses goes with the square of the mean power.
            loss = pump.daily_energy / (bare * pump.daily_volume) - 1.0
            most = pump.wire.power_loss / (bare * flow)
            assert 0.0 < loss <= 1.05 * most
        assert pump.daily_energy == pytest.approx(pump.daily_volume * bare * (1.0 + loss))
        assert pump.energy_per_volume == pytest.approx(pump.daily_energy / pump.daily_volume)


@pytest.mark.parametrize("name", SITES)
def test_a_pumps_cable_drops_and_loses_by_ohm(name: str) -> None:
    for site, table, pump in each_pump(name):
        run = pump.wire
        if run is None:
            continue
        gauge = run.gauge or run.smallest_gauge
        named = table.cable
        down = intake_of(site, table) + float(site.piping.lateral.length or 0.0)
        length = down if named is None or named.length is None else float(named.length)
        assert run.length == pytest.approx(length)
        assert run.gauge == (None if named is None else named.gauge)
        volts = float(table.voltage or site.power.inverter_voltage or 230.0)
        if gauge is not None:
            one_way = wiring.wire(gauge).resistance_75c_stranded * length
            ways = 2.0 if table.phases == 1 else math.sqrt(3.0)
            drop = ways * one_way * run.current
            conductors = 2.0 if table.phases == 1 else 3.0
            assert run.voltage_drop == pytest.approx(drop, rel=1e-6)
            assert run.drop_fraction == pytest.approx(drop / volts, rel=1e-6)
            assert run.power_loss == pytest.approx(conductors * one_way * run.current**2, rel=1e-6)
        start = pump.start
        if start is not None:
            ways = 1.0 if table.phases == 1 else math.sqrt(3.0)
            assert start.starting_apparent_power == pytest.approx(
                ways * volts * start.starting_current
            )
            assert start.running_current == pytest.approx(run.current)
            if table.locked_rotor_current is not None and table.start == "direct":
                assert start.starting_current == pytest.approx(float(table.locked_rotor_current))


def each_hand(name: str) -> list[tuple[Site, Any, HandPumpResult]]:
    found = studied(name)
    hand = found.results.hand_pump
    return [] if hand is None else [(found.site, found.site.hand_pump, hand)]


@pytest.mark.parametrize("name", SITES)
def test_the_hand_pump_by_its_column_rods_and_lever(name: str) -> None:
    for site, table, hand in each_hand(name):
        area = math.pi / 4.0 * float(table.bore) ** 2
        swept = area * float(table.stroke)
        share, lever = float(table.mechanical_efficiency), float(table.lever_ratio)
        assert hand.swept_volume == pytest.approx(swept)
        weight = density(site) * G
        hung = float(table.counterweight or 0.0) * lever
        for duty in hand.duties:
            column = weight * duty.head * area
            rubbing = (column / share - column) / 2.0
            assert duty.rod_pull == pytest.approx(column + hand.rod_weight, rel=CLOSE)
            assert duty.friction == pytest.approx(rubbing, rel=CLOSE)
            up = column + hand.rod_weight + rubbing - hung
            down = hand.rod_weight - rubbing - hung
            assert duty.upward == pytest.approx(up / lever, rel=CLOSE, abs=0.05)
            assert duty.downward == pytest.approx(-down / lever, rel=CLOSE, abs=0.05)
            hardest = max(abs(up), abs(down)) / lever
            assert duty.handle_force == pytest.approx(hardest, rel=CLOSE, abs=0.05)
            assert duty.balancing == pytest.approx(
                (column / 2.0 + hand.rod_weight) / lever, rel=CLOSE
            )
            moved = area * (float(table.stroke) - duty.stretch)
            slip = float(table.volumetric_efficiency)
            assert duty.stroke_volume == pytest.approx(moved * slip, rel=CLOSE)
            assert duty.work == pytest.approx(weight * duty.head * moved / share, rel=CLOSE)
            rate = float(table.stroke_rate)
            full = duty.stroke_volume * rate
            if duty.full_flow < full * (1.0 - CLOSE):
                # Its well bears no more: what a test gives from rest down to the cylinder.
                well = next((each for each in site.other_well if each.name == table.well), None)
                of: Any = site.well if well is None else well
                fall = float(of.tested_pumping_level) - float(of.static_level)
                deep = float(table.cylinder_depth) - float(of.static_level)
                full = float(of.tested_yield) * deep / fall
            assert duty.full_flow == pytest.approx(full, rel=CLOSE)
            assert duty.power == pytest.approx(duty.work * full / duty.stroke_volume, rel=CLOSE)
            assert duty.stroke_rate == pytest.approx(duty.sustained_flow / duty.stroke_volume)
            assert duty.stroke_rate <= rate * (1.0 + 1e-9)
            assert duty.day_flow <= duty.sustained_flow * (1.0 + 1e-9)
            power_then = duty.power * duty.sustained_flow / duty.full_flow
            if hand.worker.power is not None:
                people = hand.people_pumping * hand.worker.power
                assert power_then <= people * 1.02
                if duty.stroke_rate < 0.98 * rate:
                    # Less flow means less drawdown, so that a little more comes of the power.
                    assert power_then >= people * 0.9


@pytest.mark.parametrize("name", SITES)
def test_a_job_by_hand_takes_strokes_and_time_for_its_water(name: str) -> None:
    for _, _, hand in each_hand(name):
        spout = next(each for each in hand.duties if each.key == "spout")
        for task in hand.tasks:
            assert task.time == pytest.approx(task.volume / task.flow)
            if task.place == "spout" and task.strokes is not None:
                assert task.strokes == pytest.approx(task.volume / spout.stroke_volume, rel=1e-3)
        for spell in hand.spells:
            assert spell.volume == pytest.approx(spell.flow * spell.time)
            assert spell.volume_of_two == pytest.approx(spell.flow_of_two * spell.time)
            assert spell.flow <= spell.flow_of_two <= 2.0 * spell.flow * (1.0 + 1e-9)
            assert spell.flow_of_two <= spout.full_flow * (1.0 + 1e-9)
