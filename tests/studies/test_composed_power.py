"""What the studies of sun, modules, battery and direct current say, composed again by pvlib and
by an own loop over the hours."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from pvlib import pvsystem

from tests.studies.composing import (
    DAY,
    HEATED,
    HOUR,
    KWH,
    SUNNY,
    case_of,
    diode,
    month_sums,
    parameters,
    plane_light,
)
from wellsolar.data import wiring
from wellsolar.results.heat import SunPoint
from wellsolar.results.heat_safety import ArrayCircuit
from wellsolar.results.pumps import WireResult
from wellsolar.results.supply import SupplyYearResult
from wellsolar.site.schema import ArrayTable, Site
from wellsolar.studies.supply.allocation import _share

MONTHS = range(1, 13)
SHARES = np.array([0.01] * 5 + [0.065] * 6 + [0.04] * 7 + [0.054] * 5 + [0.01])
"""A day's water by the hour: 1 % an hour at night, 39 % from 5 to 11 h, 28 % to 18 h, 27 % to 23
h; common practice."""

SIZES = (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200)
"""Standard overcurrent devices up to 200 A, NEC 240.6(A)."""


def place_of(site: Site, group: ArrayTable) -> tuple[float, float]:
    """Tilt and azimuth, by the latitude where the file has none [deg]."""
    latitude = float(site.site.latitude or 0.0)
    tilt = min(60.0, max(10.0, abs(latitude))) if group.tilt is None else float(group.tilt)
    toward = 180.0 if latitude >= 0 else 0.0
    return tilt, toward if group.azimuth is None else float(group.azimuth)


@pytest.mark.parametrize("name", SUNNY)
def test_the_sun_on_every_plane_by_pvlib(name: str) -> None:
    case = case_of(name)
    site, year, told = case.site, case.year, case.sun
    days = np.bincount(year.hours.month)[1:] / 24
    level = month_sums(year.global_horizontal, year) * HOUR / days
    np.testing.assert_allclose(told.horizontal, level, rtol=1e-9)
    if site.sun.monthly is not None:
        np.testing.assert_allclose(level, [*map(float, site.sun.monthly)], rtol=1e-6)
    air = month_sums(year.air_temperature, year) / days / 24
    np.testing.assert_allclose(told.temperatures, air, rtol=1e-9)
    if site.sun.temperature is not None:
        np.testing.assert_allclose(air, [*map(float, site.sun.temperature)], atol=0.05)
    assert (told.shading, told.horizon) == (site.sun.shading is not None, False)
    assert [each.group for each in told.planes] == [group.name for group in site.array]
    for plane, group in zip(told.planes, site.array, strict=True):
        assert (plane.tilt, plane.azimuth) == pytest.approx(place_of(site, group))
        light, _, _ = plane_light(site, year, group, plane.tilt, plane.azimuth)
        np.testing.assert_allclose(plane.totals, month_sums(light, year) * HOUR / days, rtol=2e-3)
        assert plane.year == pytest.approx(light.mean() * DAY, rel=2e-3)


@pytest.mark.parametrize("name", ["ridge_house", "creek_cabin"])
def test_the_five_parameters_give_the_sheet_back(name: str) -> None:
    site = case_of(name).site
    of, sheet = parameters(site), site.module
    point = pvsystem.singlediode(*diode(of, 1000.0, 25.0))
    told = (sheet.voc, sheet.isc, sheet.vmp, sheet.imp)
    found = (point["v_oc"], point["i_sc"], point["v_mp"], point["i_mp"])
    np.testing.assert_allclose(found, [*map(float, told)], rtol=1e-4)
    warm = pvsystem.singlediode(*diode(of, 1000.0, 35.0))
    if sheet.voc_coefficient is not None:
        slope = (warm["v_oc"] - point["v_oc"]) / 10.0
        assert slope == pytest.approx(sheet.voc_coefficient * sheet.voc, rel=0.02)
    if sheet.isc_coefficient is not None:
        slope = (warm["i_sc"] - point["i_sc"]) / 10.0
        assert slope == pytest.approx(sheet.isc_coefficient * sheet.isc, rel=0.02)


def best_of(site: Site, year: Any, group: ArrayTable) -> np.ndarray:
    """Power of one module at its best, less wire and controller, by the hour [W]."""
    _, cells, warm = plane_light(site, year, group, *place_of(site, group))
    lit = cells > 1.0
    best = pvsystem.max_power_point(
        *diode(parameters(site), np.where(lit, cells, 1.0), warm), method="newton"
    )
    power, current = np.where(lit, best["p_mp"], 0.0), np.where(lit, best["i_mp"], 0.0)
    if group.cable is None or group.cable.length is None:
        power = power * (1.0 - float(site.losses.wiring))
    else:
        wire = wiring.wire(group.cable.gauge).resistance_75c_stranded
        loop = 2.0 * float(group.cable.length) * wire
        whole = (current * group.parallel) ** 2 * loop
        power = np.maximum(power - whole / (group.series * group.parallel), 0.0)
    return np.asarray(power * (1.0 - float(site.losses.controller)))


def feeding(site: Site) -> list[ArrayTable]:
    return [group for group in site.array if group.feeds in ("pump", "battery")]


@pytest.mark.parametrize("name", SUNNY)
def test_the_rule_of_thumb_by_arithmetic(name: str) -> None:
    case = case_of(name)
    site, told = case.site, case.sun
    assert told is not None
    groups = feeding(site)
    for result in case.supply:
        table = next(each for each in site.pump if each.name == result.pump)
        pump = next(each for each in case.pumps if each.name == result.pump)
        first = groups[0]
        plane = next(each for each in told.planes if each.group == first.name)
        assert (result.tilt, result.azimuth) == pytest.approx(place_of(site, first))
        rated = float(site.module.vmp * site.module.imp)
        through = 1.0 if table.supply == "DC" else float(site.power.inverter_efficiency)
        needed = pump.daily_energy / through
        direct = all(group.feeds == "pump" for group in groups)
        running = max(duty.input_power for duty in pump.duties) if direct else 0.0
        derate = float(site.power.array_derate)
        there = sum(group.series * group.parallel for group in groups)
        assert result.derate == derate
        assert result.module_power == pytest.approx(rated)
        assert result.daily_energy == pytest.approx(pump.daily_energy)
        assert result.modules_there == there
        assert result.running_power == pytest.approx(running)
        powers = []
        for place, month in enumerate(result.months):
            hours = plane.totals[place] / 1000.0
            power = max(needed / hours, running) / derate
            powers.append(power)
            assert month.month == place + 1
            assert month.horizontal == pytest.approx(told.horizontal[place])
            assert month.plane_of_array == pytest.approx(plane.totals[place])
            assert month.energy_needed == pytest.approx(needed)
            assert month.array_power == pytest.approx(power)
            assert month.modules == max(1, math.ceil(power / rated))
            assert month.energy_available == pytest.approx(there * rated * hours * derate)
        assert result.worst_month == powers.index(max(powers)) + 1
        assert result.modules_needed == math.ceil(max(powers) / rated)
        if site.power.battery_energy is not None:
            usable = float(site.power.battery_energy * site.power.battery_usable)
            assert result.battery_days == pytest.approx(usable / needed)


def with_battery(site: Site, told: SupplyYearResult, sun: np.ndarray, ac: bool) -> dict[str, Any]:
    """A year by the hour, begun as it ends: first other loads, then the pump as the store has
    room, from the modules, then the battery; energies [J], volumes [m3]."""
    power, assumed = site.power, told.usable_battery
    assert assumed is not None
    way = math.sqrt(float(power.battery_efficiency))
    turned = float(power.inverter_efficiency)
    other, idle = float(power.other_use or 0.0) / DAY, float(power.inverter_idle)
    if not ac and other == 0.0:
        idle = 0.0
    first = (idle + other / turned) * HOUR
    of_pump = told.power / told.flow / (turned if ac else 1.0)
    well = site.well.tested_yield
    most = min(told.flow, math.inf if well is None else float(well)) * HOUR
    demand = np.tile(SHARES * told.daily_volume, 365)
    charge, stored = assumed, told.storage
    rows = np.zeros((len(demand), 5))
    for _ in range(2):
        for hour, wanted in enumerate(demand):
            offered = charge * way + sun[hour]
            ahead = min(first, offered)
            volume = min(told.storage - stored + wanted, most, (offered - ahead) / of_pump)
            used = ahead + volume * of_pump
            straight = min(used, sun[hour])
            room = (assumed - charge) / way
            taken = min(sun[hour] - straight, room)
            charge = min(assumed, max(0.0, charge - (used - straight) / way + taken * way))
            given = min(wanted, stored + volume)
            stored += volume - given
            spilled = sun[hour] - straight - taken
            rows[hour] = volume, wanted - given, charge, spilled, ahead
    return {"rows": rows, "demand": demand, "first": first, "of_pump": of_pump, "other": other}


@pytest.mark.parametrize("name", ["ridge_house", "creek_cabin", "shaded", "straight"])
def test_the_year_of_a_supply_by_an_own_loop(name: str) -> None:
    case = case_of(name)
    site, year = case.site, case.year
    assert year is not None
    groups = feeding(site)
    for told in case.supply_years:
        table = next(each for each in site.pump if each.name == told.pump)
        pump = next(each for each in case.pumps if each.name == told.pump)
        assert told.modules == sum(group.series * group.parallel for group in groups)
        assert told.direct == all(group.feeds == "pump" for group in groups)
        assert told.daily_volume == pytest.approx(pump.daily_volume)
        store = 0.0 if site.storage_tank is None else float(site.storage_tank.volume)
        store += 0.0 if case.pressure_tank is None else case.pressure_tank.drawdown
        assert told.storage == pytest.approx(store)
        assert told.limit == site.limits.short_days
        powers = [best_of(site, year, group) * group.series * group.parallel for group in groups]
        made = np.sum(powers, axis=0) * HOUR
        assert told.energy_made == pytest.approx(made.sum(), rel=3e-3)
        of_months = month_sums(made, year)
        np.testing.assert_allclose([each.made for each in told.months], of_months, rtol=4e-3)
        assert told.energy_made == pytest.approx(told.energy_used + told.energy_spilled)
        sums = {
            "made": told.energy_made, "used": told.energy_used, "spilled": told.energy_spilled,
            "unmet": told.volume_unmet, "days_short": told.days_short,
        }  # fmt: skip
        for key, whole in sums.items():
            of_year = sum(getattr(each, key) for each in told.months)
            assert of_year == pytest.approx(whole, rel=1e-6, abs=1e-6)
        kept = math.prod(1.0 - float(lost) for lost in (
            site.losses.dirt, site.losses.first_light, site.losses.nameplate,
            site.losses.ageing, site.losses.mismatch, site.losses.controller,
        ))  # fmt: skip
        if any(group.cable is None for group in groups):
            kept *= 1.0 - float(site.losses.wiring)
        assert told.losses == pytest.approx(1.0 - kept)
        assert told.least_charge == min(
            (each.least_charge for each in told.months if each.least_charge is not None),
            default=None,
        )
        if told.direct:
            assert told.usable_battery is None
            continue
        usable = float(site.power.battery_energy * site.power.battery_usable)
        assert told.usable_battery == pytest.approx(usable)
        mean = np.mean([duty.flow for duty in pump.duties])
        assert told.flow == pytest.approx(mean if pump.fill is None else pump.fill.mean_flow)
        assert told.power == pytest.approx(pump.energy_per_volume * told.flow)
        ac = table.supply == "AC"
        own = with_battery(site, told, made, ac)
        rows, demand = own["rows"], own["demand"]
        volume, unmet, charge, spilled, ahead = rows.T
        assert told.standing_load == pytest.approx(own["first"] / HOUR)
        short = unmet.reshape(-1, 24).sum(axis=1) > 1e-6 * told.daily_volume
        assert told.days_short == pytest.approx(short.sum(), abs=1 + 0.02 * short.sum())
        if name == "shaded":  # with a module of the first group less, and one more
            one = best_of(site, year, groups[0]) * HOUR
            for sign, days in ((-1, told.fewer_days_short), (1, told.more_days_short)):
                beside = with_battery(site, told, np.maximum(made + sign * one, 0.0), ac)
                lacking = beside["rows"][:, 1].reshape(-1, 24).sum(axis=1)
                dry = (lacking > 1e-6 * told.daily_volume).sum()
                assert days == pytest.approx(dry, abs=1 + 0.02 * dry)
        assert told.volume_unmet == pytest.approx(unmet.sum(), rel=0.02, abs=1e-3)
        assert told.energy_spilled == pytest.approx(spilled.sum(), rel=0.01, abs=KWH)
        assert told.energy_pump == pytest.approx(volume.sum() * told.power / told.flow, rel=2e-3)
        lacked = 1.0 - ahead / own["first"] if own["first"] > 0.0 else 0.0 * ahead
        other = own["other"] * HOUR * lacked.sum()
        assert told.other_unmet == pytest.approx(other, rel=0.02, abs=1.0)
        least = charge.min() / usable
        assert told.least_charge == pytest.approx(least, abs=5e-3)
        run = longest = 0
        for day in (*short, *short):
            run = run + 1 if day else 0
            longest = max(longest, run)
        assert told.longest_short_run == pytest.approx(min(longest, 365), abs=1)
        wanted = demand * own["of_pump"] + own["first"]
        for month, each in enumerate(told.months, 1):
            here = year.hours.month == month
            assert each.month == month
            assert each.wanted == pytest.approx(wanted[here].sum(), rel=1e-6)
            assert each.pumped == pytest.approx(volume[here].sum(), rel=0.02, abs=told.storage)
            assert each.unmet == pytest.approx(unmet[here].sum(), rel=0.05, abs=0.02)
            assert each.least_charge == pytest.approx(charge[here].min() / usable, abs=5e-3)


@pytest.mark.parametrize("name", SUNNY)
def test_a_module_less_is_never_better(name: str) -> None:
    for told in case_of(name).supply_years:
        fewer, more = told.fewer_days_short, told.more_days_short
        if fewer is not None:
            assert fewer >= told.days_short
        if more is not None:
            assert more <= told.days_short


def on_resistance(of: tuple[Any, ...], ohms: float) -> float:
    """Current of an array into a resistance [A]: folded into the series resistance, through which
    the array is shorted."""
    current, dark, inner, shunt, thermal = of
    return float(pvsystem.i_from_v(0.0, current, dark, inner + ohms, shunt, thermal))


def fed(site: Site) -> tuple[ArrayTable, Any]:
    """The first heating group and its element."""
    heater = site.water_heater
    names = {group.name: group for group in site.array}
    element = next(each for each in heater.element if each.fed_by in names)
    return names[element.fed_by], element


def loop_of(group: ArrayTable) -> float:
    """Resistance of a cable out and back [ohm]."""
    if group.cable is None or group.cable.length is None:
        return 0.0
    return 2 * float(group.cable.length) * wiring.wire(group.cable.gauge).resistance_75c_stranded


@pytest.mark.parametrize("name", HEATED)
def test_the_array_on_its_element_by_the_curve(name: str) -> None:
    """Power, current and voltage of each sun; of relays the best of what they join, of
    electronics the best of the array less its loss."""
    case = case_of(name)
    site, tank = case.site, case.heated_tank
    group, element = fed(site)
    of, loop = parameters(site), loop_of(group)
    in_series = element.count if element.wired == "series" else 1
    plate = float(element.rated_power) * element.count, float(element.rated_voltage) * in_series
    assert (tank.rated_power, tank.rated_voltage) == pytest.approx(plate)
    ohms = plate[1] ** 2 / plate[0]
    if element.temperature_coefficient is not None:
        middle = (tank.inlet_temperature + tank.setpoint) / 2.0
        ohms *= 1.0 + float(element.temperature_coefficient) * (middle - 20.0)
    assert tank.element_resistance == pytest.approx(ohms)
    assert tank.cable_resistance == pytest.approx(loop)
    assert (tank.array, tank.series, tank.parallel) == (group.name, group.series, group.parallel)
    assert tank.modules == group.series * group.parallel
    assert (tank.tilt, tank.azimuth) == pytest.approx(place_of(site, group))
    found = (tank.photocurrent, tank.saturation_current, tank.series_resistance,
             tank.shunt_resistance, tank.modified_ideality_voltage, tank.fit)  # fmt: skip
    assert found == (of.photocurrent, of.saturation_current, of.series_resistance,
                     of.shunt_resistance, of.modified_ideality_voltage, of.method)  # fmt: skip
    assert tank.module_power == pytest.approx(float(site.module.vmp * site.module.imp))
    full = pvsystem.singlediode(*diode(of, 1000.0, 25.0, group.series, group.parallel))
    assert tank.matched_resistance == pytest.approx(full["v_mp"] / full["i_mp"], rel=1e-4)

    def check(point: SunPoint) -> None:
        array = diode(of, point.irradiance, point.cell_temperature, group.series, group.parallel)
        best = pvsystem.max_power_point(*array, method="newton")
        assert point.maximum_power == pytest.approx(best["p_mp"], rel=1e-5)
        if element.coupling == "tracking":
            share = float(element.tracker_efficiency or 0.95)
            current = float(best["i_mp"])
            at = best["p_mp"] - current**2 * loop
            assert point.power == pytest.approx(at * share, rel=5e-3)
            assert point.current * point.voltage == pytest.approx(point.power)
            assert point.voltage**2 / ohms == pytest.approx(point.power, rel=1e-6)
            return
        ways = [ohms]
        if element.coupling == "switched":
            one = plate[0] and float(element.rated_voltage) ** 2 / float(element.rated_power)
            ways = [one * ratio for ratio in (1 / 3, 1 / 2, 2 / 3, 1, 3 / 2, 2, 3)]
        currents = [on_resistance(array, way + loop) for way in ways]
        power, current, way = max(
            (current**2 * way, current, way) for current, way in zip(currents, ways, strict=True)
        )
        assert point.power == pytest.approx(power, rel=1e-4)
        assert point.current == pytest.approx(current, rel=1e-3)
        assert point.voltage == pytest.approx(current * way, rel=1e-3)
        assert point.cable_loss == pytest.approx(current**2 * loop, rel=2e-3, abs=1e-9)
        assert point.share == pytest.approx(power / best["p_mp"], rel=1e-4)

    suns = [200.0, 400.0, 600.0, 800.0, 1000.0]
    assert [each.irradiance for each in tank.reference_points] == suns
    assert [each.irradiance for each in tank.working_points] == suns
    for point in tank.reference_points:
        assert point.cell_temperature == 25.0
        check(point)
    for point in tank.working_points:
        # Faiman's in air of 20 degC and a wind of 1 m/s.
        warm = 20.0 + point.irradiance / (25.0 + 6.84)
        assert point.cell_temperature == pytest.approx(warm)
        check(point)


def coldest(site: Site) -> float:
    """The record low, else -40 degC, the last row of NEC table 690.7."""
    return -40.0 if site.sun.record_low is None else float(site.sun.record_low)


SIZES_MM2 = (6, 8, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125)
"""Breakers of a house wired in mm2, IEC 60898-1 (from memory) [A]."""


def next_size(current: float, sizes: tuple[int, ...] = SIZES) -> float:
    return next(size for size in sizes if size >= current - 1e-9)


def factor_of(cold: float) -> float:
    """Of the voltage in the cold, NEC table 690.7(A), second hand: bands of 5 K below 25 degC."""
    return next(factor for down_to, factor in (
        (20, 1.02), (15, 1.04), (10, 1.06), (5, 1.08), (0, 1.10), (-5, 1.12), (-10, 1.14),
        (-15, 1.16), (-20, 1.18), (-25, 1.20), (-30, 1.21), (-35, 1.23), (-40, 1.25),
    ) if cold >= down_to)  # fmt: skip


def check_circuit(site: Site, group: ArrayTable, told: ArrayCircuit) -> None:
    """Voltages and currents of direct current by NEC 690.7 and 690.8."""
    sheet, rows = site.module, group.parallel
    cold, isc = coldest(site), float(sheet.isc)
    assert (told.array, told.series, told.parallel) == (group.name, group.series, rows)
    assert told.cold_temperature == pytest.approx(cold)
    assert told.cold_told == (site.sun.record_low is not None)
    coefficient = -0.003 if sheet.voc_coefficient is None else float(sheet.voc_coefficient)
    open_cold = float(sheet.voc) * group.series * (1.0 + coefficient * (cold - 25.0))
    assert told.cold_voltage == pytest.approx(open_cold, rel=0.01)
    assert told.mild_voltage == pytest.approx(float(sheet.voc) * group.series)
    by_table = told.cold_voltage_table
    assert by_table / told.mild_voltage == pytest.approx(factor_of(cold))
    assert told.system_voltage == max(told.cold_voltage, by_table or 0.0)
    assert told.row_current == pytest.approx(1.25 * isc)
    assert told.current == pytest.approx(1.25 * isc * rows)
    assert told.conductor_current == pytest.approx(1.25**2 * isc * rows)
    cables = (each.cable for each in (*site.pump, *site.array) if each.cable is not None)
    sizes = SIZES_MM2 if any("mm2" in each.gauge for each in cables) else SIZES
    assert told.overcurrent_asked == next_size(1.25**2 * isc * rows, sizes)
    assert told.row_fuse == next_size(1.25**2 * isc, sizes)
    assert told.string_fuse == (next_size(1.25**2 * isc, sizes) if rows >= 3 else None)
    if group.cable is not None:
        wire = wiring.wire(group.cable.gauge)
        bears = min(wire.ampacity(60), wire.ampacity(75))
        assert told.ampacity == bears
        limit = wire.small_conductor_limit
        assert told.overcurrent_most == min(next_size(bears), limit or math.inf)


def check_wire(site: Site, group: ArrayTable, run: WireResult, volts: float, amps: float) -> None:
    """A run between modules and what they feed: ampacity, drop and the thinnest that does."""
    sheet, cable = site.module, group.cable
    length, rows = float(cable.length), group.parallel
    wire = wiring.wire(cable.gauge)
    wanted = 1.25**2 * float(sheet.isc) * rows
    assert (run.gauge, run.length) == (cable.gauge, pytest.approx(length))
    assert run.current == pytest.approx(amps, rel=1e-3)
    ohms = wire.resistance_75c_stranded * length
    assert run.voltage_drop == pytest.approx(2 * ohms * amps, rel=1e-3)
    assert run.drop_fraction == pytest.approx(2 * ohms * amps / volts, rel=2e-3)
    assert run.power_loss == pytest.approx(2 * ohms * amps**2, rel=2e-3)
    assert (run.terminal_ampacity, run.terminal_required) == (
        wire.ampacity(60), pytest.approx(wanted),
    )  # fmt: skip
    assert run.corrected_required == pytest.approx(wanted / 1.25)
    assert run.corrected_ampacity == wire.ampacity(75)
    assert run.overcurrent_device == next_size(wanted)
    most = float(site.limits.voltage_drop) * volts

    def does(each: wiring.Wire) -> bool:
        carries = each.ampacity(60) >= wanted and each.ampacity(75) >= wanted / 1.25
        limit = each.small_conductor_limit
        fused = limit is None or next_size(wanted) <= limit
        return carries and fused and 2 * each.resistance_75c_stranded * length * amps <= most

    thinnest = next((each.gauge for each in wiring.wires() if does(each)), None)
    assert run.smallest_gauge == thinnest


@pytest.mark.parametrize("name", SUNNY)
def test_direct_current_by_the_codes_factors(name: str) -> None:
    case = case_of(name)
    site = case.site
    groups = {group.name: group for group in site.array}
    told = {each.circuit.array: each for each in case.arrays}
    heating = set() if case.heated_tank is None else {case.heated_tank.array}
    assert told.keys() == groups.keys() - heating
    for result in told.values():
        group = groups[result.circuit.array]
        check_circuit(site, group, result.circuit)
        assert site.module is not None
        if result.wire is not None:
            sheet = site.module
            volts, amps = group.series * float(sheet.vmp), group.parallel * float(sheet.imp)
            check_wire(site, group, result.wire, volts, amps)
        of = parameters(site)
        air = site.sun.temperature
        # Cells at 25 degC where no air is told.
        warmth = 25.0 if air is None else max(map(float, air)) + 1000.0 / 31.84
        warm = pvsystem.singlediode(*diode(of, 1000.0, warmth, group.series))
        hot = pvsystem.singlediode(*diode(of, 1000.0, 70.0, group.series))
        assert result.working_voltage == pytest.approx(warm["v_mp"], rel=2e-3)
        assert result.hot_voltage == pytest.approx(hot["v_mp"], rel=1e-4)


@pytest.mark.parametrize("name", HEATED)
def test_the_brightest_cold_sun_at_the_element(name: str) -> None:
    """1250 W/m2 between bright clouds, cells as cold as the record."""
    case = case_of(name)
    site, tank = case.site, case.heated_tank
    group, element = fed(site)
    check_circuit(site, group, tank.safety.circuit)
    assert tank.cold_open_circuit_voltage == tank.safety.circuit.cold_voltage
    assert tank.cold_open_circuit_voltage_table == tank.safety.circuit.cold_voltage_table
    low = site.sun.record_low
    assert tank.cold_temperature == (None if low is None else pytest.approx(float(low)))
    of = parameters(site)
    bright = diode(of, 1250.0, coldest(site), group.series, group.parallel)
    loop = loop_of(group)
    if element.coupling == "direct":
        current = on_resistance(bright, tank.element_resistance + loop)
        volts = current * tank.element_resistance
        assert tank.greatest_voltage == pytest.approx(volts, rel=1e-3)
        assert tank.greatest_power == pytest.approx(volts * current, rel=1e-3)
        in_series = element.count if element.wired == "series" else 1
        assert tank.safety.element_voltage == pytest.approx(volts / in_series, rel=1e-3)
        at_one = (volts / in_series / float(element.rated_voltage)) ** 2
        power = at_one * float(element.rated_power)
        assert tank.safety.element_power == pytest.approx(power, rel=0.02)
        assert tank.safety.array_input == pytest.approx(volts * current, rel=1e-3)
        mild = on_resistance(
            diode(of, 1250.0, 25.0 if low is None else float(low), group.series, group.parallel),
            tank.element_resistance + loop,
        )
        told = tank.safety.mild_element_voltage
        assert told == pytest.approx(mild * tank.element_resistance / in_series, rel=1e-3)
    elif element.coupling == "switched":
        best = pvsystem.singlediode(*bright)
        assert tank.safety.array_input == pytest.approx(best["p_mp"], rel=1e-4)
        one = float(element.rated_voltage) ** 2 / float(element.rated_power)
        current = on_resistance(bright, one + loop)
        assert tank.safety.element_voltage == pytest.approx(current * one, rel=1e-3)
    if tank.wire is not None and element.coupling == "direct":
        full = diode(of, 1000.0, 25.0, group.series, group.parallel)
        current = on_resistance(full, tank.element_resistance + loop)
        volts = current * (tank.element_resistance + loop)
        check_wire(site, group, tank.wire, volts, current)


@pytest.mark.parametrize("name", ["ridge_house", "shaded"])
def test_the_ledger_of_modules_by_the_curves(name: str) -> None:
    case = case_of(name)
    site, year, ledger = case.site, case.year, case.ledger
    assert year is not None
    used = sum(group.series * group.parallel for group in site.array)
    assert (ledger.on_hand, ledger.used) == (site.module.on_hand, used)
    assert ledger.spare == ledger.on_hand - used
    assert ledger.pump == case.supply_years[0].pump
    of = parameters(site)
    for share, group in zip(ledger.groups, site.array, strict=True):
        count = group.series * group.parallel
        assert (share.name, share.feeds, share.modules) == (group.name, group.feeds, count)
        if group.feeds != "heater":
            one = month_sums(best_of(site, year, group), year) * HOUR
            np.testing.assert_allclose(share.energy, one * count, rtol=4e-3)
            np.testing.assert_allclose(share.lost, one, rtol=4e-3)
            np.testing.assert_allclose(share.gained, one, rtol=4e-3)
            continue
        _, cells, warm = plane_light(site, year, group, *place_of(site, group))
        element = fed(site)[1]
        ohms = float(element.rated_voltage) ** 2 / float(element.rated_power)
        wires = float(site.losses.wiring)
        loop = loop_of(group) if group.cable is not None else ohms * wires / (1.0 - wires)

        def at(series: int, parallel: int, cells=cells, warm=warm, ohms=ohms, loop=loop) -> Any:
            lit = cells > 1.0
            array = diode(of, np.where(lit, cells, 1.0), warm, series, parallel)
            current = pvsystem.i_from_v(
                0.0, array[0], array[1], array[2] + ohms + loop, array[3], array[4]
            )
            return month_sums(np.where(lit, current, 0.0) ** 2 * ohms, year) * HOUR

        now = at(group.series, group.parallel)
        np.testing.assert_allclose(share.energy, now, rtol=4e-3)
        if group.parallel == 1:
            less, more, part = at(group.series - 1, 1), at(group.series + 1, 1), 1.0
        else:
            less = at(group.series, group.parallel - 1)
            more = at(group.series, group.parallel + 1)
            part = 1.0 / group.series
        np.testing.assert_allclose(share.lost, (now - less) * part, rtol=0.02)
        np.testing.assert_allclose(share.gained, (more - now) * part, rtol=0.02)
    lost = {each.name: sum(each.lost) for each in ledger.groups}
    gained = {each.name: sum(each.gained) for each in ledger.groups}
    names = [group.name for group in site.array]
    pairs = [(one, other) for one in names for other in names if one != other]
    assert [(each.giver, each.taker) for each in ledger.moves] == pairs
    supply = case.supply_years[0]
    first = feeding(site)[0].name
    for move in ledger.moves:
        assert move.lost == pytest.approx(lost[move.giver])
        assert move.gained == pytest.approx(gained[move.taker])
        after = supply.fewer_days_short if move.giver == first else supply.more_days_short
        touched = first in (move.giver, move.taker) and after is not None
        assert move.days_short == ((supply.days_short, after) if touched else None)


def test_a_group_of_one_module_loses_all_that_it_gives() -> None:
    """Without its only module nothing is left, in any month; a second one presses more than its
    own watts into a resistance that is too large for one."""
    case = case_of("south_slope")
    group = case.site.array[0].model_copy(update={"series": 1, "parallel": 1})
    one = _share(case.site, 0, group, case.year)
    assert (one.modules, len(one.lost)) == (1, 12)
    np.testing.assert_allclose(one.lost, one.energy)
    assert all(np.array(one.gained) > np.array(one.energy))


def test_suns_rise_with_the_months() -> None:
    """The loop above counts the months of a common year in their order."""
    year = case_of("ridge_house").year
    assert all(after >= before for before, after in pairwise(year.hours.month))
