"""Calls that a published row of heat.toml needs prepared: keyword SI values in, a number out."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from scipy.optimize import brentq

from wellsolar.data import hot_water_tables
from wellsolar.physics.hydraulics import demand
from wellsolar.physics.tank import (
    events,
    expansion,
    hot_water,
    insulation,
    overheating,
    scald,
    stratified,
)

TEN_HOURS_GAIN = np.array([0, 0, 0, 10, 21, 30, 40, 55, 65, 55]) * 1e6
TEN_HOURS_LOAD = np.array([12, 12, 12, 15, 15, 15, 25, 25, 25, 25]) * 1e6


def hot_water_of_a_day(people: float) -> float:
    """Hot water [m3] of a household's day by the solar trade's rule."""
    return float(demand.hot_water_use(people)) * 86400


def temperature_of_growth(cold: float, growth: float) -> float:
    """Temperature [degC] to which a litre at `cold` must be heated to grow by `growth` [-]."""
    return float(
        brentq(lambda hot: expansion.expansion_volume(1.0, cold, hot) - growth, cold, 100.0)
    )


def open_tank_boiling(altitude: float) -> float:
    """Boiling point [degC] under the standard atmosphere at an altitude [m]."""
    return float(overheating.boiling_temperature(101325 * (1 - 2.25577e-5 * altitude) ** 5.25588))


def boiling_kelvin(absolute_pressure: float) -> float:
    """Boiling point [K] under an absolute pressure [Pa]."""
    return float(overheating.boiling_temperature(absolute_pressure)) + 273.15


def net_expansion(start_temperature: float, end_temperature: float) -> float:
    """Expansion of water less that of its steel tank, 6.5e-6 per degF along each side [-]."""
    steel = 3.0 * 6.5e-6 * 1.8 * (end_temperature - start_temperature)
    return float(expansion.expansion_volume(1.0, start_temperature, end_temperature)) - steel


def time_to_heat(
    volume: float, start_temperature: float, end_temperature: float, power: float
) -> float:
    """Time [s] in which a power heats water, measured cold, without loss."""
    return float(hot_water.heating_energy(volume, start_temperature, end_temperature)) / power


def recovery_rate(power: float, temperature_rise: np.ndarray) -> np.ndarray:
    """Flow [m3/s] that a power lifts by a rise, by the trade's 8.33 Btu per gallon and degF."""
    return power / (hot_water.TRADE_HEAT_CAPACITY * temperature_rise)


def table_burn_time(temperature: float, table: str) -> scald.BurnTime:
    """Exposure until a burn by one table, between its rows in log time."""
    tables = {**hot_water_tables.burn_rows("second"), **hot_water_tables.burn_rows("third")}
    return scald.between_rows(tables[table], temperature)


def rule_heat(volume: float, rise: float) -> float:
    """Heat [J] by the trade's 8.33 Btu per gallon and degF."""
    return volume * hot_water.TRADE_HEAT_CAPACITY * rise


def stepped_mixed_tank(power: float, hours: float, step: float) -> float:
    """The stepped one-node tank of 300 kg, 2 W/K, 15 degC in a room of 20 degC."""
    count = round(hours * 3600 / step)
    run = stratified.simulate(
        stratified.Tank(0.3, 1, 2.0, volumetric_heat_capacity=4186e3),
        15.0,
        np.full(count, power),
        np.zeros(count),
        10.0,
        20.0,
        45.0,
        math.inf,
        5.0,
        step,
    )
    return float(run.mean_temperature[-1])


def half_sine_stepped(hours: float, step: float, loss: float = 2.0) -> float:
    """The stepped one-node tank through a half-sine day of 2500 W and 10 h."""
    count = round(hours * 3600 / step)
    edges = np.arange(count + 1) * step
    # mean power of each step, exact
    energy = 2500 * 36000 / math.pi * (1 - np.cos(math.pi * edges / 36000))
    run = stratified.simulate(
        stratified.Tank(0.3, 1, loss, volumetric_heat_capacity=4186e3),
        15.0,
        np.diff(energy) / step,
        np.zeros(count),
        10.0,
        20.0,
        45.0,
        math.inf,
        5.0,
        step,
    )
    return float(run.mean_temperature[-1])


def ten_hours(hour: float) -> float:
    """Temperature [degC] of the textbook's mixed tank, 500 kg, after a number of hours.

    What its load takes beyond its gain is drawn through the wall: the room is that much cooler.
    """
    net = (TEN_HOURS_GAIN - TEN_HOURS_LOAD)[: int(hour)] / 3600
    zero = np.zeros(net.size)
    run = stratified.simulate(
        stratified.Tank(0.5, 1, 12.0, volumetric_heat_capacity=4180e3), 45.0, zero, zero, 10.0,
        20.0 + net / 12.0, 45.0, math.inf, 5.0, 3600.0,
    )  # fmt: skip
    return float(run.mean_temperature[-1])


def mixed_tank_time(
    target_temperature: float,
    start_temperature: float,
    power: float,
    heat_loss_coefficient: float,
) -> float:
    """Time [s] until the stepped one-node tank of 300 kg in a room of 20 degC is at a target."""
    count = 100 * 60
    run = stratified.simulate(
        stratified.Tank(0.3, 1, heat_loss_coefficient, volumetric_heat_capacity=4186e3),
        start_temperature, np.full(count, power), np.zeros(count), 10.0, 20.0, 45.0, math.inf,
        5.0, 60.0,
    )  # fmt: skip
    rising = 1.0 if target_temperature > start_temperature else -1.0
    return float(np.interp(rising * target_temperature, rising * run.mean_temperature, run.times))


def stepped_cooling(time: np.ndarray) -> np.ndarray:
    """Temperatures [degC] of the stepped tank of T2 after whole hours [s]."""
    zero = np.zeros(168)
    run = stratified.simulate(
        stratified.Tank(0.3, 1, 2.0, volumetric_heat_capacity=4186e3), 60.0, zero, zero, 10.0,
        20.0, 45.0, math.inf, 5.0, 3600.0,
    )  # fmt: skip
    return run.mean_temperature[np.round(time / 3600.0).astype(int) - 1]


def standing_loss(hours: float) -> float:
    """Heat [J] that the stepped tank of T2 (300 kg, 2 W/K, 60 degC, room 20 degC) loses."""
    count = round(hours)
    run = stratified.simulate(
        stratified.Tank(0.3, 8, 2.0, volumetric_heat_capacity=4186e3),
        60.0,
        np.zeros(count),
        np.zeros(count),
        10.0,
        20.0,
        45.0,
        math.inf,
        5.0,
        3600.0,
    )
    return run.losses[0]


@cache
def _drawn(nodes: int, drawn: float, shift: float) -> stratified.TankRun:
    """One cubic metre at 1 degC, cold water of 0 degC, tap far hotter, no loss, no conduction."""
    tank = stratified.Tank(1.0, nodes, 0.0, effective_conductivity=0.0)
    steps = round(drawn * nodes)
    draws = np.full(steps, 1.0 / nodes)
    return stratified.simulate(
        tank, 1.0, np.zeros(steps), draws, 0.0, 20.0, 90.0, math.inf, 5.0, 60.0,
        largest_shift=shift,
    )  # fmt: skip


def drawn_heat(nodes: float, drawn: float, shift: float) -> float:
    """Heat drawn from the stepped tank over what it held [-]."""
    run = _drawn(int(nodes), drawn, shift)
    return run.passed[-1] / stratified.WATER_HEAT_CAPACITY_50


def drawn_node(nodes: float, drawn: float, shift: float, node: float) -> float:
    """Temperature of a node of the stepped tank after a draw, over its start [-]."""
    return float(_drawn(int(nodes), drawn, shift).end_temperatures[int(node)])


@cache
def _outlet(nodes: int, shift: float) -> tuple[np.ndarray, np.ndarray]:
    """Top of a tank at 1 degC, and heat drawn over what it held, by twentieths of its volume."""
    tank = stratified.Tank(1.0, nodes, 0.0, effective_conductivity=0.0)
    run = stratified.simulate(
        tank, 1.0, np.zeros(30), np.full(30, 0.05), 0.0, 20.0, 90.0, math.inf, 5.0, 60.0,
        largest_shift=shift,
    )  # fmt: skip
    heat = np.cumsum(run.delivered_power * 60.0) / stratified.WATER_HEAT_CAPACITY_50
    return run.top_temperature, heat


def _drawn_continuously(nodes: float, drawn: float, which: int) -> float:
    """The same without cutting the draw: twice by two-hundredths of a node, less once by
    hundredths."""
    place = round(drawn / 0.05) - 1
    fine, coarse = (_outlet(int(nodes), shift)[which][place] for shift in (0.005, 0.01))
    return float(2.0 * fine - coarse)


def outlet(nodes: float, drawn: float) -> float:
    """Outlet of the stepped tank after a draw of so many tanks, over its start [-]."""
    return _drawn_continuously(nodes, drawn, 0)


def mean_outlet(nodes: float, drawn: float) -> float:
    """Mean outlet of the stepped tank up to that draw, over its start [-]."""
    return _drawn_continuously(nodes, drawn, 1) / drawn


def jacket_heat_loss(volume: float, diameter: float, r_value_us: float) -> float:
    """Heat loss coefficient [W/K] of a cylinder behind an R-value in h ft2 degF/Btu."""
    resistance = r_value_us * 0.3048**2 * 3600 / 1055.05585262 / 1.8
    return float(
        insulation.heat_loss_from_r_value(resistance, insulation.cylinder_area(volume, diameter))
    )


def jacket_month(volume: float, diameter: float, r_value_us: float, rise: float) -> float:
    """Heat [J] through that jacket in 30 days at a temperature difference [K]."""
    return jacket_heat_loss(volume, diameter, r_value_us) * rise * 30 * 86400


def surface_ft2(volume: float, diameter: float) -> float:
    """Surface of a cylinder [ft2]."""
    return float(insulation.cylinder_area(volume, diameter)) / 0.3048**2


@cache
def _settling(days: float) -> np.ndarray:
    """Node temperatures of a 1.5 m tank, half at 60 degC above half at 20 degC, after days."""
    nodes, conductivity = 120, 0.6
    capacity = conductivity / 1.5e-7
    tank = stratified.Tank(
        0.3, nodes, 0.0, effective_conductivity=conductivity, height=1.5,
        volumetric_heat_capacity=capacity,
    )  # fmt: skip
    steps = round(days * 24)
    start = np.where(np.arange(nodes) < nodes / 2, 20.0, 60.0)
    zero = np.zeros(steps)
    run = stratified.simulate(
        tank, start, zero, zero, 10.0, 20.0, 45.0, math.inf, 5.0, 3600.0
    )  # fmt: skip
    return run.end_temperatures


def settled(days: float, place: float) -> float:
    """Temperature [degC] at a height [m] of that tank."""
    centres = (np.arange(120) + 0.5) * 1.5 / 120
    return float(np.interp(place, centres, _settling(days)))


def pattern_total(pattern: str) -> float:
    """Volume [m3] of a federal draw pattern."""
    return sum(draw.volume for draw in hot_water_tables.draw_pattern(pattern))


def pattern_count(pattern: str) -> float:
    """Number of draws of a pattern."""
    return len(hot_water_tables.draw_pattern(pattern))


def pattern_flowing(pattern: str) -> float:
    """Time [s] of flow of a pattern."""
    return sum(draw.volume / draw.flow for draw in hot_water_tables.draw_pattern(pattern))


def pattern_heat(pattern: str, rise: float) -> float:
    """Heat [J] of a pattern by the trade's 8.33 Btu per gallon and degF."""
    return rule_heat(pattern_total(pattern), rise)


def limits_scald(standard: str) -> float:
    """1 where a mixing-valve standard protects against scalds."""
    return float(hot_water_tables.mixing_valve_scope(standard).limits_scald)


def prevents_thermal_shock(standard: str) -> float:
    """1 where a mixing-valve standard prevents thermal shock."""
    return float(hot_water_tables.mixing_valve_scope(standard).prevents_thermal_shock)


def highest_setting(standard: str) -> float:
    """Highest outlet setting [degC] of a mixing-valve standard."""
    return hot_water_tables.mixing_valve_scope(standard).highest_setting


def lowest_setting(standard: str) -> float:
    """Lowest outlet setting [degC] of a mixing-valve standard."""
    return hot_water_tables.mixing_valve_scope(standard).lowest_setting


def lowest_supply(standard: str) -> float:
    """Coolest hot supply [degC] of a mixing-valve standard."""
    return hot_water_tables.mixing_valve_scope(standard).lowest_supply


def highest_supply(standard: str) -> float:
    """Hottest supply [degC] of a mixing-valve standard."""
    return hot_water_tables.mixing_valve_scope(standard).highest_supply


def code_limit(name: str) -> float:
    """A named limit of one of the hot-water modules, in SI."""
    places = (hot_water, overheating, scald)
    return float(next(getattr(place, name) for place in places if hasattr(place, name)))


def high_limit_edge(which: str) -> float:
    """Lower or upper usual setting [degC] of the high limit."""
    return overheating.HIGH_LIMIT_RANGE[which == "upper"]


def grid_heated_tank(power: float, hours: float, step: float) -> float:
    """The tank of `stepped_mixed_tank`, heated by the grid element without a thermostat."""
    count = round(hours * 3600 / step)
    run = stratified.simulate(
        stratified.Tank(0.3, 1, 2.0, volumetric_heat_capacity=4186e3), 15.0, np.zeros(count),
        np.zeros(count), 10.0, 20.0, 45.0, math.inf, 5.0, step, grid_power=power,
        grid_setpoint=math.inf,
    )  # fmt: skip
    return float(run.mean_temperature[-1])


def thermostat_rests(setpoint: float, hysteresis: float, element: str) -> float:
    """Time [s] for which the thermostat of an element stays open in the cooling tank of T2."""
    count = 48 * 60
    power, zero = np.full(count, 100.0), np.zeros(count)
    grid = element == "grid"
    run = stratified.simulate(
        stratified.Tank(0.3, 1, 2.0, volumetric_heat_capacity=4186e3), setpoint,
        zero if grid else power, zero, 10.0, 20.0, 45.0, setpoint, hysteresis, 60.0,
        grid_power=100.0 if grid else 0.0, grid_setpoint=setpoint if grid else math.nan,
    )  # fmt: skip
    taken = run.grid_power if grid else run.accepted_power
    return 60.0 * float(np.argmax(taken > 0.0))


def high_limit_opens(power: float, start_temperature: float, high_limit: float) -> float:
    """Time [s] at which the high limit of the tank of E4 opens."""
    count = 48 * 60
    run = stratified.simulate(
        stratified.Tank(0.3, 1, 2.0, volumetric_heat_capacity=4186e3), start_temperature,
        np.full(count, power), np.zeros(count), 10.0, 20.0, 45.0, math.inf, 5.0, 60.0,
        high_limit=high_limit,
    )  # fmt: skip
    return run.high_limit_time


def _uneven(length: float, longest: float) -> np.ndarray:
    """Steps [s] of many lengths, none above the longest, that fill a run."""
    steps = longest * np.tile([0.2, 1.0, 0.55, 0.003], 1 + int(length / (1.753 * longest)))
    ends = np.cumsum(steps)
    return np.diff(np.append(0.0, np.append(ends[ends < length - 1e-6], length)))


def uneven_cooling(hours: float) -> float:
    """Mean temperature [degC] of the tank of T2 after hours of uneven steps."""
    step = _uneven(hours * 3600.0, 3600.0)
    zero = np.zeros(step.size)
    run = stratified.simulate(
        stratified.Tank(0.3, 8, 2.0, volumetric_heat_capacity=4186e3), 60.0, zero, zero, 10.0,
        20.0, 45.0, math.inf, 5.0, step,
    )  # fmt: skip
    return float(run.mean_temperature[-1])


def uneven_half_sine(hours: float) -> float:
    """The one-node tank of E5 [degC] after hours of uneven steps."""
    step = _uneven(hours * 3600.0, 1800.0)
    edges = np.append(0.0, np.cumsum(step))
    energy = 2500 * 36000 / math.pi * (1 - np.cos(math.pi * edges / 36000))
    run = stratified.simulate(
        stratified.Tank(0.3, 1, 2.0, volumetric_heat_capacity=4186e3), 15.0,
        np.diff(energy) / step, np.zeros(step.size), 10.0, 20.0, 45.0, math.inf, 5.0, step,
    )  # fmt: skip
    return float(run.mean_temperature[-1])


def uneven_drawn_heat(nodes: float) -> float:
    """Heat drawn with a tank's volume in uneven steps over what the tank held [-]."""
    step = _uneven(3600.0, 120.0)
    zero = np.zeros(step.size)
    tank = stratified.Tank(1.0, int(nodes), 0.0, effective_conductivity=0.0)
    run = stratified.simulate(
        tank, 1.0, zero, step / step.sum(), 0.0, 20.0, 90.0, math.inf, 5.0, step,
        largest_shift=0.002,
    )  # fmt: skip
    return run.passed[-1] / stratified.WATER_HEAT_CAPACITY_50


def uneven_settled(days: float, place: float) -> float:
    """Temperature [degC] at a height [m] of the tank of T12 after days of uneven steps."""
    return float(np.interp(place, (np.arange(120) + 0.5) * 1.5 / 120, _uneven_settling(days)))


@cache
def _uneven_settling(days: float) -> np.ndarray:
    tank = stratified.Tank(
        0.3, 120, 0.0, effective_conductivity=0.6, height=1.5,
        volumetric_heat_capacity=0.6 / 1.5e-7,
    )  # fmt: skip
    step = _uneven(days * 86400.0, 3000.0)
    zero = np.zeros(step.size)
    start = np.where(np.arange(120) < 60, 20.0, 60.0)
    return stratified.simulate(
        tank, start, zero, zero, 10.0, 20.0, 45.0, math.inf, 5.0, step
    ).end_temperatures  # fmt: skip


def two_tanks_drawn_heat(nodes: float, second_nodes: float) -> float:
    """Heat drawn with one tank volume from two equal halves in series over what they held [-]."""
    count = 100
    zero = np.zeros(count)
    halves = [
        stratified.Tank(0.5, int(each), 0.0, effective_conductivity=0.0)
        for each in (nodes, second_nodes)
    ]
    run = stratified.simulate(
        halves, (1.0, 1.0), zero, np.full(count, 1.0 / count), 0.0, 20.0, 90.0,
        math.inf, 5.0, 60.0, largest_shift=0.002,
    )  # fmt: skip
    return run.passed[-1] / stratified.WATER_HEAT_CAPACITY_50


def year_of_pattern(pattern: str, days: float) -> float:
    """Water [m3] of a run's steps that follow a federal pattern, none scaled."""
    draws = events.every_day(
        hot_water_tables.draw_pattern(pattern), int(days), hot_water_tables.FIRST_DRAW
    )
    hours = np.zeros(int(days) * 24)
    return float(events.schedule(hours, draws, 3600.0).tap_draw.sum())


def stepped_delivery(
    tank_volume: float,
    hot_temperature: float,
    inlet_temperature: float,
    tap_temperature: float,
    nodes: float,
) -> float:
    """Mixed water [m3] that the stepped tank gives until its top is cooler than the tap."""
    part = 1.0 if nodes > 1 else 0.002
    drawn = tank_volume / nodes * part
    count = 6 * round(tank_volume / drawn)
    run = stratified.simulate(
        stratified.Tank(tank_volume, int(nodes), 0.0, effective_conductivity=0.0),
        hot_temperature, np.zeros(count), np.full(count, drawn), inlet_temperature, 20.0,
        tap_temperature, math.inf, 5.0, 60.0, largest_shift=1.0,
    )  # fmt: skip
    return run.tap_volume


def loss_through(area_ft2: float, r_value_us: float, rise_degf: float) -> float:
    """Heat [W] through a jacket of an area in ft2 and an R-value in h ft2 degF/Btu."""
    resistance = r_value_us * 0.3048**2 * 3600 / 1055.05585262 / 1.8
    area = area_ft2 * 0.3048**2
    return float(insulation.heat_loss_from_r_value(resistance, area)) * rise_degf / 1.8


def least_drop(standard: str) -> float:
    """How much hotter a valve's supply must be than its setting [K]."""
    return hot_water_tables.mixing_valve_scope(standard).least_drop
