"""Closed forms of the pressure tank against root finders and integration."""

from __future__ import annotations

import pytest
import scipy.constants
from scipy.integrate import quad
from scipy.optimize import brentq

from wellsolar.physics.hydraulics import pressure_tank

PSI = scipy.constants.psi


def test_pressure_at_is_the_root_of_stored_water():
    precharge, atmosphere, water = 28 * PSI, 81e3, 0.11
    root = brentq(
        lambda p: pressure_tank.stored_water(0.32, precharge, p, atmosphere) - water,
        precharge,
        200 * PSI,
    )
    assert pressure_tank.pressure_at(0.32, precharge, water, atmosphere) == pytest.approx(root)


def test_run_time_is_the_integral_of_filling():
    volume, precharge, cut_in, cut_out, atmosphere = 0.32, 28 * PSI, 30 * PSI, 50 * PSI, 101e3

    def water_per_pressure(pressure: float) -> float:
        return volume * (precharge + atmosphere) / (pressure + atmosphere) ** 2

    flow, demand_flow = 6e-4, 2e-4
    seconds, _ = quad(lambda p: water_per_pressure(p) / (flow - demand_flow), cut_in, cut_out)
    drawdown = pressure_tank.drawdown_volume(volume, precharge, cut_in, cut_out, atmosphere)
    assert pressure_tank.run_time(drawdown, flow, demand_flow) == pytest.approx(seconds)
