"""The well through time, what hangs in it and the work of hands, composed again: the balance of
the casing's water by small steps, weights by their volumes, jobs by the power that they take."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from tests.sampled import every
from tests.studies.test_composed import (
    DAY,
    SITES,
    G,
    air,
    density,
    each_hand,
    hanging,
    intake_of,
    pieces_of,
    plainly_laid,
    studied,
)
from wellsolar.data import pipes, wiring
from wellsolar.results.pumps import PumpResult
from wellsolar.results.well import PumpInWell, WellResult
from wellsolar.site.schema import PumpTable, Site

HOUR = 3600.0
TIMES = (60.0, 300.0, 900.0, 1800.0, 3600.0, 7200.0, 14_400.0, 28_800.0, DAY)


def flows_by_depth(site: Site, table: PumpTable, pump: PumpResult, pressure: float) -> tuple:
    """Depths from rest to the intake, and the pump's flow with the water there."""
    curve = PchipInterpolator([*map(float, table.flow)], [*map(float, table.head)])
    duty, most = pump.duties[0], float(table.flow[-1])
    depths = np.linspace(float(site.well.static_level), pump.intake_depth, 17)
    flows = []
    for depth in depths:

        def spare(flow: float, depth: float = depth) -> float:
            pieces = pieces_of(site, table, pump.intake_depth, duty, flow)
            pieces["pressure"] = pressure / (density(site) * G)
            return float(curve(flow)) - depth - sum(pieces.values())

        if spare(1e-9) <= 0.0:
            flows.append(0.0)
        else:
            flows.append(most if spare(most) >= 0.0 else brentq(spare, 1e-9, most))
    return depths, np.minimum.accumulate(flows)


def step_through(
    well: WellResult, told: PumpInWell, depths: np.ndarray, flows: np.ndarray, on_and_off: bool
) -> tuple[list[tuple[float, float, float, bool]], float]:
    """Time, level, water given so far and whether it runs, every few seconds of two days; the
    water comes from the casing and from the aquifer by the drawdown."""
    assert well.water_area is not None
    area, capacity, rest = well.water_area, well.specific_capacity, well.static_level
    step = min(5.0, 0.02 * area / capacity)
    step = max(step, 1.0)
    level, given, running, time = rest, 0.0, True, 0.0
    rows = []
    while time < (2 * DAY if on_and_off else DAY):
        flow = float(np.interp(level, depths, flows)) if running else 0.0
        level += (flow - capacity * (level - rest)) / area * step
        given += flow * step
        time += step
        if on_and_off and running and level >= told.stop_level:
            running = False
        elif on_and_off and not running and level <= told.restart_level:
            running = True
        if not on_and_off:
            level = min(level, told.intake_depth)
        rows.append((time, level, given, running))
    return rows, step


@pytest.mark.parametrize("name", every(SITES, 4))
def test_the_level_through_time_by_small_steps(name: str) -> None:
    found = studied(name)
    site, well = found.site, found.results.well
    if well is None:
        return
    results = {each.name: each for each in found.results.pumps}
    tables = {each.name: each for each in site.pump}
    assert well.static_level == pytest.approx(float(site.well.static_level))
    tested = site.well.tested_yield
    assert well.tested_yield == (None if tested is None else pytest.approx(float(tested)))
    if site.well.specific_capacity is not None and well.how == "specific capacity":
        assert well.specific_capacity == pytest.approx(float(site.well.specific_capacity))
    assert well.times == TIMES
    for told in well.pumps:
        pump, table = results[told.name], tables[told.name]
        assert told.intake_depth == pytest.approx(pump.intake_depth)
        stop = told.intake_depth - float(table.minimum_submergence)
        stop = stop if stop > well.static_level else told.intake_depth
        assert told.stop_level == pytest.approx(stop)
        if table.restart_level is None and table.restart_after is None:
            assert told.restart_level == pytest.approx((stop + well.static_level) / 2)
        assert told.protected == bool(table.dry_run_protection)
        assert (told.air_time is not None) == (told.draws_air and well.water_area is not None)
        for bridge in told.bridges:
            assert bridge.storage == pytest.approx(max(0.0, bridge.wanted - bridge.given))
        by_name = {each.label: each for each in told.bridges}
        if site.demand.peak_flow is not None and told.bridges:
            peak = float(site.demand.peak_flow)
            assert by_name["seven minutes of the peak"].wanted == pytest.approx(420 * peak)
            assert by_name["an hour of the peak"].wanted == pytest.approx(HOUR * peak)
        if told.bridges and site.demand.daily_use is not None:
            day = by_name["the day's water within 2 h"]
            assert (day.duration, day.wanted) == pytest.approx(
                (2 * HOUR, float(site.demand.daily_use) * DAY)
            )
        if not plainly_laid(site, table):
            continue
        depths, most = flows_by_depth(site, table, pump, pump.duties[0].pressure)
        assert told.flow_at_rest == pytest.approx(most[0], rel=5e-3)
        assert told.flow_at_intake == pytest.approx(most[-1], rel=5e-3, abs=1e-9)
        if well.how != "specific capacity" or well.water_area is None:
            continue
        # Settled at once: what is drawn for good is the drawdown there is by the capacity.
        bears = well.specific_capacity * (stop - well.static_level)
        assert told.sustained_day == pytest.approx(bears, rel=0.02)
        assert told.sustained_season == pytest.approx(bears, rel=0.02)
        rows, step = step_through(well, told, depths, most, on_and_off=False)
        times = np.array([row[0] for row in rows])
        levels = np.array([row[1] for row in rows])
        dry = np.flatnonzero(levels >= told.intake_depth - 1e-9)
        assert told.draws_air == bool(dry.size)
        if told.air_time is not None:
            assert told.air_time == pytest.approx(times[dry[0]], rel=0.02, abs=2 * step)
            assert told.air_volume == pytest.approx(rows[dry[0]][2], rel=0.02)
        wanted = np.interp(TIMES, times, levels)
        drop = max(wanted.max() - well.static_level, 0.1)
        if told.levels:
            np.testing.assert_allclose(told.levels, wanted, atol=0.02 * drop + 0.02)
        assert told.day_level == pytest.approx(levels[-1], abs=0.02 * drop + 0.02)
        if told.first_day is None:
            continue
        _, least = flows_by_depth(site, table, pump, pump.duties[-1].pressure)
        rows, step = step_through(well, told, depths, (most + least) / 2, on_and_off=True)
        one = next(row for row in rows if row[0] >= DAY)
        assert told.first_day == pytest.approx(one[2], rel=0.02)
        assert told.later_day == pytest.approx(rows[-1][2] - one[2], rel=0.03)
        later = [row for row in rows if row[0] > DAY]
        share = sum(row[3] for row in later) / len(later)
        assert told.running == pytest.approx(share, rel=0.03)
        begun = sum(b[3] and not a[3] for a, b in pairwise(later))
        assert told.starts == pytest.approx(begun, abs=1 + 0.05 * begun)
    if well.together is not None:
        flow = sum(each.flow_at_rest for each in well.pumps)
        assert well.together.flow_at_rest == pytest.approx(flow, rel=1e-6)
        assert well.together.first_intake == min(each.intake_depth for each in well.pumps)


def outside(run: pipes.PipeSize) -> float:
    return math.pi / 4 * run.outside_diameter**2


def size(run: object) -> pipes.PipeSize:
    return pipes.pipe_size(run.material, run.size)  # type: ignore[attr-defined]


@pytest.mark.parametrize("name", SITES)
def test_water_in_the_casing_and_what_is_pulled(name: str) -> None:
    found = studied(name)
    site, well, casing = found.site, found.results.well, found.results.casing
    in_water = 0.0
    for table in (each for each in site.pump if each.well is None):
        if table.draws != "well" or (table.role == "other" and table.diameter is None):
            continue
        in_water += outside(size(table.drop_pipe or site.piping.drop_pipe))
        if table.cable is not None and table.cable.diameter and table.kind != "suction":
            in_water += math.pi / 4 * float(table.cable.diameter) ** 2
    hand = site.hand_pump
    if hand is not None and hand.well is None:
        in_water += outside(size(hand.rising_main or site.piping.drop_pipe))
    if well is not None:
        assert well.hanging_area == pytest.approx(in_water)
        if well.water_area is not None:
            bore = float(site.well.casing_bore)
            assert well.water_area == pytest.approx(math.pi / 4 * bore**2 - in_water)
    if casing is None:
        return
    assert casing.bore == pytest.approx(float(site.well.casing_bore))
    assert casing.clearance_wanted == pytest.approx(float(site.limits.casing_clearance))
    diameters = {each.name: each.diameter for each in casing.bodies}
    for section in casing.sections:
        sides = sorted(diameters[each] for each in section.bodies)
        there = {
            each.name
            for each in casing.bodies
            if each.top < section.bottom - 1e-9 and each.bottom > section.top + 1e-9
        }
        assert there == set(section.bodies)
        if len(sides) <= 2:
            assert section.smallest_circle == pytest.approx(sum(sides), rel=1e-6)
        area = math.sqrt(sum(each**2 for each in sides))
        assert max(area, sum(sides[-2:])) <= section.smallest_circle * (1 + 1e-6)
        assert section.smallest_circle <= sum(sides) * (1 + 1e-6)
        assert section.clearance == pytest.approx(casing.bore - section.smallest_circle)
    tightest = min(range(len(casing.sections)), key=lambda n: casing.sections[n].clearance)
    assert casing.tightest == tightest
    pulled = {each.name: each for each in casing.strings}
    metal = {"polyethylene": 950.0, "PVC": 1400.0, "copper": 8960.0, "galvanised": 7850.0}

    def per_metre(run: object) -> float:
        of = size(run)
        wall = math.pi / 4 * (of.outside_diameter**2 - of.bore**2)
        made = next(value for key, value in metal.items() if of.material.startswith(key))
        return wall * made + math.pi / 4 * of.bore**2 * 1000.0

    for table in site.pump:
        if table.name not in pulled:
            continue
        drop, _ = hanging(site, table, intake_of(site, table))
        depth = intake_of(site, table)
        weight = (depth - float(site.piping.pitless_depth)) * per_metre(drop)
        if table.cable is not None:
            conductors = 4 if table.phases == 3 else 3
            area = wiring.wire(table.cable.gauge).area
            weight += depth * 2.0 * conductors * area * 8960.0
        weight = weight * G + float(table.weight or 0.0)
        assert pulled[table.name].weight == pytest.approx(weight, rel=1e-6)
    if hand is not None and "hand cylinder" in pulled:
        rods = math.pi / 4 * float(hand.rod_diameter) ** 2 * (7850.0 - 1000.0)
        mass = rods + per_metre(hand.rising_main or site.piping.drop_pipe)
        weight = G * float(hand.cylinder_depth) * mass
        assert pulled["hand cylinder"].weight == pytest.approx(weight, rel=1e-6)


@pytest.mark.parametrize("name", SITES)
def test_hands_by_force_power_and_time(name: str) -> None:
    found = studied(name)
    for site, table, hand in each_hand(name):
        area, lever = math.pi / 4 * float(table.bore) ** 2, float(table.lever_ratio)
        share, weight = float(table.mechanical_efficiency), density(site) * G
        hung = float(table.counterweight or 0.0) * lever
        rod = math.pi / 4 * float(table.rod_diameter) ** 2
        per_metre = rod * (7850.0 - density(site)) * G
        length = hand.cylinder_depth or 0.0
        assert hand.rod_weight == pytest.approx(per_metre * length, rel=1e-4)
        force = float(site.limits.handle_force) * lever + hung
        both = weight * area * (1.0 + 1.0 / share) / 2.0
        head = max(0.0, force - hand.rod_weight) / both
        assert hand.greatest_head == pytest.approx(head, rel=2e-3)
        low = next((each for each in hand.duties if each.key == "low"), hand.duties[0])
        if hand.greatest_depth is not None:
            below = max(0.0, length - (low.head - float(table.spout_height)))
            left = force - per_metre * below - both * float(table.spout_height)
            assert hand.greatest_depth == pytest.approx(
                max(0.0, left) / (both + per_metre), rel=5e-3
            )
        if hand.suction_limit is None:
            assert hand.draws_water == (length > hand.static_level)
            assert hand.draws_water_low == (length > hand.low_static_level)
        else:
            # What the air lifts less the vapour, of which pumps reach 0.60 in practice.
            kelvin = 273.15 + float(site.well.water_temperature)
            vapour = PropsSI("P", "T", kelvin, "Q", 0, "Water")
            lifts = (air(site) - vapour) / weight
            assert hand.suction_limit == pytest.approx(0.60 * lifts, rel=0.01)
            assert hand.draws_water == (hand.pumping_level <= hand.suction_limit)
        for duty in hand.duties:
            stretch = weight * duty.head * area * length / (rod * 200e9)
            assert duty.stretch == pytest.approx(stretch, rel=2e-3, abs=1e-9)
            if duty.key in ("spout", "low"):
                at = hand.low_static_level if duty.key == "low" else hand.static_level
                assert duty.head >= max(0.1, at + float(table.spout_height)) - 1e-6
        tank = found.results.pressure_tank
        if tank is not None and hand.place("tank") is not None:
            rise = (tank.cut_out - tank.cut_in) / weight
            ends = {each.key: each.head for each in hand.duties}
            assert ends["cut-out"] - ends["cut-in"] == pytest.approx(rise, rel=0.02)
        for point in hand.discharge:
            assert point.water_power == pytest.approx(weight * point.flow * point.head, rel=2e-3)
            if point.power is not None:
                assert point.efficiency == pytest.approx(point.water_power / point.power)
        people, use = site.site.people, site.demand.daily_use
        jobs = {"bucket": 0.020}
        if people is not None:
            jobs |= {"survival": people * float(site.demand.survival_use) * DAY,
                     "basic": people * 0.020, "full": people * 0.050}  # fmt: skip
        if use is not None:
            # 39 % of a day's water runs from 5 to 11 h.
            jobs |= {"ordinary": float(use) * DAY, "morning": 0.39 * float(use) * DAY}
        if tank is not None and hand.place("tank") is not None:
            jobs["tank"] = tank.drawdown
        told = {each.key: each for each in hand.tasks if each.people == 1}
        for key, volume in jobs.items():
            if hand.tasks:
                assert told[key].volume == pytest.approx(volume)
        for task in hand.tasks:
            place = hand.place(task.place)
            assert place.flows[0] == place.powers[0] == 0.0
            if place.stroke_volume is not None and task.strokes is not None:
                assert task.strokes == pytest.approx(task.volume / place.stroke_volume)
            if task.power is not None:
                flow = float(np.interp(task.power, place.powers, place.flows))
                assert task.flow == pytest.approx(flow, rel=1e-3)
            if task.bound == "strokes":
                assert task.flow == pytest.approx(place.flows[-1], rel=1e-6)
            if task.bound == "day":
                assert task.time > 8 * HOUR
        for spell in hand.spells:
            if hand.worker.power is not None:
                assert spell.power == pytest.approx(hand.worker.power)
            spout = hand.place("spout")
            assert spout is not None
            for power, flow in ((spell.power, spell.flow), (2 * spell.power, spell.flow_of_two)):
                wanted = float(np.interp(power, spout.powers, spout.flows))
                assert flow == pytest.approx(wanted, rel=1e-6)
        if hand.spells:
            by_time = {each.time: each.power for each in hand.spells}
            assert sorted(by_time.values(), reverse=True) == list(by_time.values())
