"""A year of a PV-heated tank from the module's sheet to the tap, as a ratio to per-minute numpy.

The baseline is the same physics as somebody who knows numpy would write it: node arrays, a step a
minute, pvlib once on all minutes of the year before it. The tank runs on some days and is scaled.
The goals are 25 times plain and 400 times in machine code; the marks that fail a run lie below
them, since the machine may be busy. `pytest -s tests/benchmarks` prints what this run reached.
"""

from __future__ import annotations

import importlib.util
import math
import time
from typing import NamedTuple

import numpy as np
import pytest
from pvlib import pvsystem, singlediode
from scipy.optimize.elementwise import find_root

from tests.benchmarks.marks import Read, told
from wellsolar.data import hot_water_tables
from wellsolar.physics.array import module, module_fit, resistive
from wellsolar.physics.tank import events, stratified

DAYS, MINUTES, MINUTE = 365, 365 * 1440, 60.0
SHEET = module.ModuleRating(39.9, 9.7, 32.6, 9.2, 60, -0.0030 * 39.9, 0.00485)
IN_SERIES, STRINGS, ELEMENT, CABLE = 4, 2, 6.4, 0.3
TANK = stratified.Tank(0.25, 12, 2.0)
START, COLD, ROOM, TAP, SETPOINT, HYSTERESIS = 45.0, 12.0, 20.0, 43.0, 62.0, 5.0
DAILY_VOLUME = 0.24


class Weather(NamedTuple):
    """Sun on the modules [W/m2] and their cells [degC], a value a minute."""

    light: np.ndarray
    cells: np.ndarray


@pytest.fixture(scope="module")
def weather():
    """A year of invented sky: a clear-sky arch by season, good and bad days, restless clouds."""
    random = np.random.default_rng(11)
    day = np.arange(MINUTES) / 1440.0
    season = -np.cos(2 * math.pi * (day + 10) / 365)
    height = np.cos((day % 1.0 - 0.5) * math.pi / (0.5 + 0.1 * season))
    lit = np.abs(day % 1.0 - 0.5) < 0.25 + 0.05 * season
    clear = np.where(lit, 1050.0 * np.maximum(height, 0.0) ** 1.2, 0.0)
    restless = np.zeros(MINUTES)
    steps = random.normal(0.0, 0.25, MINUTES).tolist()
    state = 0.0
    for minute, kick in enumerate(steps):
        state = 0.96 * state + kick * 0.28
        restless[minute] = state
    days = np.repeat(random.uniform(0.25, 1.05, DAYS), 1440)
    light = clear * np.clip(days + 0.6 * restless, 0.08, 1.1)
    air = 12.0 + 12.0 * season + 5.0 * np.sin(2 * math.pi * (day % 1.0 - 0.4))
    return Weather(light, air + 0.03 * light)


@pytest.fixture(scope="module")
def draws():
    pattern = hot_water_tables.draw_pattern("medium")
    return events.every_day(pattern, DAYS, hot_water_tables.FIRST_DRAW, DAILY_VOLUME)


def of_days(weather, draws, first, count):
    """Some days of the year, as a year of their own."""
    minutes = slice(first * 1440, (first + count) * 1440)
    begin = first * 86400.0
    within = (draws.start >= begin) & (draws.start < begin + count * 86400.0)
    return Weather(*(each[minutes] for each in weather)), events.Draws(
        draws.start[within] - begin, draws.duration[within], draws.volume[within]
    )


def ours(weather, draws, machine):
    """From sheet to tap."""
    power = np.zeros(weather.light.size)
    sunny = weather.light > 0.0
    fitted = module_fit.fit_five_parameters(SHEET)
    one = module.at_conditions(fitted, weather.light[sunny], weather.cells[sunny])
    array = module.array_of(one, IN_SERIES, STRINGS)
    power[sunny] = resistive.on_resistance(array, ELEMENT, CABLE).power
    steps = events.schedule(power, draws, MINUTE)
    return stratified.simulate(
        TANK,
        START,
        steps.heater_power,
        steps.tap_draw,
        COLD,
        ROOM,
        TAP,
        SETPOINT,
        HYSTERESIS,
        steps.step,
        machine=machine,
    )


def diode_of(light, cells):
    """The array's single-diode parameters as pvlib translates them."""
    fitted = module_fit.fit_five_parameters(SHEET)
    il, i0, rs, rsh, a = pvsystem.calcparams_desoto(
        light,
        cells,
        fitted.current_coefficient,
        fitted.modified_ideality_voltage,
        fitted.photocurrent,
        fitted.saturation_current,
        fitted.shunt_resistance,
        fitted.series_resistance,
    )
    ohms = IN_SERIES / STRINGS
    return il * STRINGS, i0 * STRINGS, rs * ohms, rsh * ohms, a * IN_SERIES


def power_by_pvlib(light, cells):
    """Power into the element: the root of pvlib's curve on the line of element and cable."""
    il, i0, rs, rsh, a = np.broadcast_arrays(*diode_of(light, cells))

    def surplus(junction, *row):
        current, voltage, _ = singlediode.bishop88(junction, *row)
        return voltage - current * (ELEMENT + CABLE)

    bracket = (np.zeros_like(il), np.full_like(il, 200.0))
    junction = find_root(surplus, bracket, args=(il, i0, rs, rsh, a)).x
    current, _, _ = singlediode.bishop88(junction, il, i0, rs, rsh, a)
    return current**2 * ELEMENT


def by_minutes(power, draws):
    """Energies in, lost and delivered [J] of a tank of node arrays stepped by minutes."""
    edges = MINUTE * np.arange(power.size + 1)
    drawn = np.zeros(power.size + 1)
    for start, duration, volume in zip(draws.start, draws.duration, draws.volume, strict=True):
        drawn += volume * np.clip((edges - start) / duration, 0.0, 1.0)
    volumes = np.diff(drawn)
    node_volume = TANK.volume / TANK.nodes
    capacity = node_volume * TANK.volumetric_heat_capacity
    decay = math.exp(-0.5 * MINUTE * TANK.heat_loss_coefficient / TANK.heat_capacity)
    spacing = TANK.inside_height / TANK.nodes
    area = TANK.volume / TANK.inside_height
    conducted = TANK.effective_conductivity * area / spacing * MINUTE / capacity
    element = int(TANK.element_height * TANK.nodes)
    nodes, on = np.full(TANK.nodes, START), START < SETPOINT
    energy_in = lost = delivered = 0.0
    for minute in range(power.size):
        lost += capacity * (1.0 - decay) * np.sum(nodes - ROOM)
        nodes = ROOM + (nodes - ROOM) * decay
        if nodes[element] <= SETPOINT - HYSTERESIS:
            on = True
        offered = power[minute]
        if on and offered > 0.0:
            room = np.sum(np.maximum(SETPOINT - nodes[element:], 0.0))
            taken = min(offered * MINUTE / capacity, room)
            on = taken < room
            nodes[element] += taken
            means = np.cumsum(nodes[element:]) / np.arange(1, TANK.nodes - element + 1)
            overtaken = np.flatnonzero(np.append(nodes[element + 1 :], np.inf) >= means)[0] + 1
            nodes[element : element + overtaken] = means[overtaken - 1]
            energy_in += taken * capacity
        left = volumes[minute]
        while left > 1e-12:
            hot = (TAP - COLD) / (nodes[-1] - COLD) if nodes[-1] > TAP else 1.0
            parts = max(1, math.ceil(hot * left / (0.1 * node_volume) - 1e-9))
            shift = hot * left / parts / node_volume
            delivered += shift * capacity * (nodes[-1] - COLD)
            nodes = nodes + shift * (np.append(COLD, nodes[:-1]) - nodes)
            left -= left / parts
        flow = conducted * np.diff(nodes)
        nodes[:-1] += flow
        nodes[1:] -= flow
        lost += capacity * (1.0 - decay) * np.sum(nodes - ROOM)
        nodes = ROOM + (nodes - ROOM) * decay
    return energy_in, lost, delivered


def seconds(call):
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def test_a_year_of_the_tank(weather, draws, record_property):
    days = 20
    sky, taps = of_days(weather, draws, 80, days)
    power = np.where(sky.light > 0.0, power_by_pvlib(sky.light, sky.cells), 0.0)
    numpy = DAYS / days * min(seconds(lambda: by_minutes(power, taps)) for _ in range(2))
    numpy += seconds(lambda: power_by_pvlib(*(row[weather.light > 0.0] for row in weather)))
    plain = min(seconds(lambda: ours(weather, draws, False)) for _ in range(4))
    what, against = "a tank's year", "minute by minute in numpy, power by one call of pvlib"
    told(record_property, Read(f"{what}, plain", against, numpy / plain, 18.0, 25.0, False))
    if importlib.util.find_spec("numba"):
        ours(weather, draws, True)
        fast = min(seconds(lambda: ours(weather, draws, True)) for _ in range(8))
        compiled = f"{what}, in machine code"
        told(record_property, Read(compiled, against, numpy / fast, 200.0, 400.0, False))


def test_both_give_the_same_energies(weather, draws):
    """Steps along the draws against steps of a minute, on twenty days that reach the setpoint."""
    sky, taps = of_days(weather, draws, 150, 20)
    power = np.where(sky.light > 0.0, power_by_pvlib(sky.light, sky.cells), 0.0)
    energy_in, lost, delivered = by_minutes(power, taps)
    run = ours(sky, taps, False)
    assert run.energy_in < 0.97 * power.sum() * MINUTE, "the thermostat opens on these days"
    assert run.energy_in == pytest.approx(energy_in, rel=1e-3)
    assert run.losses[0] == pytest.approx(lost, rel=2e-3)
    assert run.passed[-1] == pytest.approx(delivered, rel=1e-3)
