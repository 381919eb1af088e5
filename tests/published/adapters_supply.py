"""Ways from a sizing example, as it is printed, to the functions that answer it."""

from __future__ import annotations

import numpy as np

from wellsolar.physics import solve
from wellsolar.physics.hydraulics import pump
from wellsolar.physics.sun import rule_of_thumb
from wellsolar.physics.supply import battery
from wellsolar.physics.supply import storage as storage_year

DENSITY = 1000.0  # kg/m3, as the examples take it
HOURS = 24
DAYS = 20


def array_for_lifting(
    volume: float, head: float, overall_efficiency: float, peak_sun_hours: float, derate: float
) -> float:
    """Rated power for a day's lifting by the hand rule."""
    energy = pump.water_power(volume, head, DENSITY) / overall_efficiency
    return rule_of_thumb.array_power_by_rule_of_thumb(energy, peak_sun_hours, derate)


def days_carried(
    battery_charge: float,
    battery_voltage: float,
    depth_of_discharge: float,
    inverter_efficiency: float,
    daily_energy: float,
) -> int:
    """Whole days that the hourly run gives water from a full battery without sun."""
    flow = 1e-4
    system = battery.BatterySystem(
        usable_capacity=battery_charge * battery_voltage * depth_of_discharge,
        charge_efficiency=1.0,
        discharge_efficiency=1.0,
        inverter_efficiency=inverter_efficiency,
    )
    year = battery.run_battery_year(
        np.zeros(DAYS * HOURS),
        np.full(DAYS * HOURS, flow * 3600.0),
        flow,
        daily_energy / 86_400.0,
        system,
        start_charge=system.usable_capacity,
        start_volume=0.0,
    )
    assert year.days_short < DAYS
    return int(np.argmax(year.unmet > 1e-6 * flow * 86_400.0))


def least_array_without_losses(
    volume: float, head: float, overall_efficiency: float, peak_sun_hours: float, derate: float
) -> float:
    """Least rated power with which no day of an hourly run is short, by bisection."""
    sun = np.tile((np.arange(HOURS) >= 9) & (np.arange(HOURS) < 9 + peak_sun_hours), DAYS) * 1.0
    demand = np.full(DAYS * HOURS, volume / HOURS)
    flow = volume / 86_400.0 * 2
    power = pump.water_power(flow, head, DENSITY) / overall_efficiency
    system = battery.BatterySystem(1e9, 1.0, 1.0, 1.0)

    def margin(rated: float) -> float:
        year = battery.run_battery_year(
            rated * derate * sun, demand, flow, power, system, start_charge=1e7, start_volume=0.0
        )
        return year.energy_change

    return solve.bracketed_root(margin, 1.0, 2000.0)


def least_storage(inflow: np.ndarray, release: float) -> float:
    """Least storage that meets a steady release, the record of inflows coming round again.

    The inflows take the place of what a pump gives in each step; a step is a day here.
    """
    curve = storage_year.PowerCurve(tuple(range(1, 101)), tuple(range(1, 101)))

    def short(storage: float) -> bool:
        year = storage_year.run_direct_year(
            np.asarray(inflow, float),
            np.full(len(inflow), release * 86_400.0),
            curve,
            storage * 86_400.0,
            controller_efficiency=1.0,
            step=86_400.0,
        )
        return year.days_short > 0

    low, high = 0.0, float(np.sum(inflow))
    assert short(low)
    assert not short(high)
    while high - low > 1e-6:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if short(middle) else (low, middle)
    return high


def flow_for_days_water(daily_volume: float, peak_sun_hours: int) -> float:
    """Flow in full sun with which a tank is as full after some days as it was, the sun full for so
    many hours a day."""
    sun = np.tile((np.arange(HOURS) >= 9) & (np.arange(HOURS) < 9 + peak_sun_hours), DAYS) * 1.0
    demand = np.full(DAYS * HOURS, daily_volume / HOURS)

    def margin(flow: float) -> float:
        pump = storage_year.PowerCurve((1.0,), (flow,))
        tank, start = 40.0 * daily_volume, 20.0 * daily_volume
        year = storage_year.run_direct_year(sun, demand, pump, tank, 1.0, start_volume=start)
        return year.volume_change

    return solve.bracketed_root(margin, 1e-5, 5e-4)
