"""The stepped tank and the closed forms against scipy; water of the tank against CoolProp."""

from __future__ import annotations

import math

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.optimize import isotonic_regression

from tests.references import mixed_tank
from wellsolar.physics.tank import (
    hot_water,
    overheating,
    stratified,
)

Vector = NDArray[np.float64]
CAPACITY = 300 * 4186.0
MIXED = stratified.Tank(0.3, 1, 2.0, volumetric_heat_capacity=4186e3)


def test_closed_forms_against_an_adaptive_solver() -> None:
    def rate(time: float, temperature: Vector) -> Vector:
        power = 2500 * math.sin(math.pi * time / 36000)
        return (power - 2.0 * (temperature - 20.0)) / CAPACITY

    times = np.linspace(0.0, 36000.0, 7)
    reference = solve_ivp(rate, (0, 36000), [15.0], "DOP853", times, rtol=1e-11, atol=1e-11)
    exact = mixed_tank.through_half_sine_day(times, 15.0, 2500.0, 36000.0, 2.0, 20.0, CAPACITY)
    assert exact == pytest.approx(reference.y[0], abs=1e-7)

    constant = solve_ivp(
        lambda _, t: (1500 - 2.0 * (t - 20.0)) / CAPACITY,
        (0, 36000), [15.0], "DOP853", times, rtol=1e-11, atol=1e-11,
    )  # fmt: skip
    assert mixed_tank.after_constant_power(
        times, 15.0, 1500.0, 2.0, 20.0, CAPACITY
    ) == pytest.approx(constant.y[0], abs=1e-7)


@pytest.mark.parametrize("step", [60.0, 900.0, 3600.0])
def test_stepped_mixed_tank_with_draws_against_an_adaptive_solver(step: float) -> None:
    """Constant power and a steady draw into one node: first order in the size of the draws."""
    flow, volume = 0.01 / 3600, 0.3
    count = round(8 * 3600 / step)

    def stepped(shift: float) -> float:
        run = stratified.simulate(
            MIXED, 30.0, np.full(count, 1500.0), np.full(count, flow * step), 10.0, 20.0, 95.0,
            math.inf, 5.0, step, largest_shift=shift,
        )  # fmt: skip
        return float(run.mean_temperature[-1])

    def rate(_: float, t: Vector) -> Vector:
        return (1500 - 2.0 * (t - 20.0)) / CAPACITY + flow / volume * (10.0 - t)

    reference = float(solve_ivp(rate, (0, 8 * 3600), [30.0], rtol=1e-10, atol=1e-10).y[0, -1])
    # sizes that cut a draw of any of these steps into whole parts
    coarse, fine = stepped(1 / 1800), stepped(1 / 3600)
    assert fine == pytest.approx(reference, abs=0.01)
    assert coarse - reference == pytest.approx(2 * (fine - reference), rel=0.02)
    assert 2 * fine - coarse == pytest.approx(reference, abs=1e-4)


def test_stratified_tank_against_an_adaptive_solver() -> None:
    """Loss, conduction and a steady draw through eight nodes, nothing overturning."""
    nodes, volume, loss, flow = 8, 0.3, 3.0, 0.02 / 3600
    tank = stratified.Tank(volume, nodes, loss, effective_conductivity=1.5)
    start = np.linspace(20.0, 65.0, nodes)
    count = 6 * 60

    def stepped(parts: int) -> Vector:
        shift = flow * 60 / (volume / nodes) / parts * (1 + 1e-9)
        return stratified.simulate(
            tank, start, np.zeros(count), np.full(count, flow * 60), 10.0, 20.0, 95.0, 60.0,
            5.0, 60.0, largest_shift=shift,
        ).end_temperatures  # fmt: skip

    area, spacing = volume / tank.inside_height, tank.inside_height / nodes
    capacity = tank.heat_capacity / nodes

    def rate(_: float, t: Vector) -> Vector:
        heat = 1.5 * area / spacing * np.diff(t)
        conducted = np.append(heat, 0.0) - np.append(0.0, heat)
        advected = flow * tank.volumetric_heat_capacity * (np.append(10.0, t[:-1]) - t)
        return (conducted + advected - loss / nodes * (t - 20.0)) / capacity

    reference = solve_ivp(rate, (0, count * 60), start, rtol=1e-10, atol=1e-10).y[:, -1]
    coarse, fine = stepped(2), stepped(4)
    assert fine == pytest.approx(reference, abs=0.01)
    assert 2 * fine - coarse == pytest.approx(reference, abs=2e-4)


def test_steps_of_a_minute_and_of_an_hour_agree_on_energies() -> None:
    """Three days of half-sine power with draws on the hour, stepped three ways."""
    tank = stratified.Tank(0.25, 10, 2.0, 0.2)
    minutes = np.arange(3 * 1440)
    sun = 2000 * np.maximum(0.0, np.sin(np.pi * ((minutes + 0.5) / 1440 % 1 - 0.25) / 0.5))
    draws = np.where(minutes % 240 < 60, 0.04 / 60, 0.0)

    def run(minutes_a_step: int) -> stratified.TankRun:
        shape = (-1, minutes_a_step)
        return stratified.simulate(
            tank, 30.0, sun.reshape(shape).mean(1), draws.reshape(shape).sum(1), 12.0, 20.0,
            42.0, 65.0, 5.0, 60.0 * minutes_a_step, largest_shift=0.05,
        )  # fmt: skip

    fine, coarse = run(1), run(60)
    assert coarse.energy_in == pytest.approx(fine.energy_in, rel=0.01)
    assert coarse.passed[-1] == pytest.approx(fine.passed[-1], rel=0.02)
    assert run(5).passed[-1] == pytest.approx(fine.passed[-1], rel=0.005)


def test_buoyant_mixing_is_the_isotonic_regression() -> None:
    """Pool-adjacent-violators as scipy does it, on tanks turned upside down."""
    seed = np.random.default_rng(7)
    for nodes in (2, 5, 12, 30):
        start = seed.uniform(10.0, 80.0, nodes)
        tank = stratified.Tank(0.3, nodes, 0.0, effective_conductivity=0.0)
        run = stratified.simulate(
            tank, start, np.zeros(1), np.zeros(1), 10.0, 20.0, 42.0, 60.0, 5.0, 60.0
        )
        assert run.end_temperatures == pytest.approx(isotonic_regression(start).x, abs=1e-10)


@pytest.mark.parametrize("temperature", [20.0, 60.0, 99.9, 120.0, 152.9, 300.0])
def test_boiling_temperature_is_the_saturation_line(temperature: float) -> None:
    pressure = PropsSI("P", "T", temperature + 273.15, "Q", 0, "Water")
    # IF97 claims 0.1 % of pressure, a fiftieth of a kelvin
    assert overheating.boiling_temperature(pressure) == pytest.approx(temperature, abs=0.02)


@pytest.mark.parametrize(("start", "end"), [(5.0, 60.0), (10.0, 95.0), (60.0, 15.0)])
def test_heating_energy_is_an_enthalpy_difference(start: float, end: float) -> None:
    def enthalpy(temperature: float) -> float:
        return float(PropsSI("H", "T", temperature + 273.15, "P", 101325, "Water"))

    mass = 0.3 * PropsSI("D", "T", start + 273.15, "P", 101325, "Water")
    assert hot_water.heating_energy(0.3, start, end) == pytest.approx(
        mass * (enthalpy(end) - enthalpy(start)), rel=2e-6
    )


def test_default_heat_capacity_is_water_at_50_degc() -> None:
    exact = PropsSI("D", "T", 323.15, "P", 101325, "Water") * PropsSI(
        "C", "T", 323.15, "P", 101325, "Water"
    )
    assert pytest.approx(exact, rel=5e-4) == stratified.WATER_HEAT_CAPACITY_50
