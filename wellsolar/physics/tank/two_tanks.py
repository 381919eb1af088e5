"""A PV-heated tank that preheats the water of a second tank with an element on the grid."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.tank.drive import (
    balance_error,
    require_thermostats,
    run_kernel,
    step_ends,
    tank_drive,
)
from wellsolar.physics.tank.stratified import Tank
from wellsolar.physics.tank.two_tanks_kernel import step_two_tanks
from wellsolar.physics.types import FloatArray, Floats


@dataclass(frozen=True, eq=False)
class TwoTanksRun:
    """What two tanks in series did. Series have one value a step; temperatures hold at its end.

    times: ends of the steps [s], array
    mean_temperature, top_temperature: of the first tank [degC], arrays
    second_mean_temperature, second_top_temperature: of the second tank [degC], arrays
    accepted_power: mean power that the PV element of the first tank took in a step [W], array
    grid_power: mean power that the grid element of the second tank took [W], array
    passed_power: heat from the first tank into the second above the inlet, mean [W], array
    delivered_power: heat drawn above the cold inlet, mean over a step [W], array
    short_power: heat missing at the tap, mean over a step [W], array
    energy_in: heat of the PV element [J]; energy_grid: heat of the grid element [J]
    energy_lost, second_energy_lost: heat lost to the room by each tank [J]
    energy_passed: heat from the first tank into the second, above the cold inlet [J]
    energy_delivered, energy_wanted: heat at the tap, above the cold inlet [J]
    energy_short: wanted less delivered [J]
    tap_volume: mixed water that reached the tap at tap temperature [m3]
    end_temperatures, second_end_temperatures: nodes at the end, bottom first [degC], arrays
    balance_error: the worse of both tanks, what its balance misses over its largest part [-]
    high_limit_time: end of the step in which the first tank's high limit opened [s], or nan
    """

    times: FloatArray
    mean_temperature: FloatArray
    top_temperature: FloatArray
    second_mean_temperature: FloatArray
    second_top_temperature: FloatArray
    accepted_power: FloatArray
    grid_power: FloatArray
    passed_power: FloatArray
    delivered_power: FloatArray
    short_power: FloatArray
    energy_in: float
    energy_grid: float
    energy_lost: float
    second_energy_lost: float
    energy_passed: float
    energy_delivered: float
    energy_wanted: float
    energy_short: float
    tap_volume: float
    end_temperatures: FloatArray
    second_end_temperatures: FloatArray
    balance_error: float
    high_limit_time: float


def simulate_two_tanks(
    tank: Tank,
    second_tank: Tank,
    start_temperatures: float | Sequence[float] | FloatArray,
    second_start_temperatures: float | Sequence[float] | FloatArray,
    heater_power: Sequence[float] | FloatArray,
    tap_draw: Sequence[float] | FloatArray,
    inlet_temperature: Floats,
    room_temperature: Floats,
    tap_temperature: float,
    setpoint: float,
    hysteresis: float,
    step: Floats,
    grid_power: Floats = 0.0,
    grid_setpoint: float = math.nan,
    high_limit: float = math.inf,
    largest_shift: float = 0.1,
    machine: bool = False,
) -> TwoTanksRun:
    """Two tanks in series: what is drawn from the second, the first one's top replaces.

    The mixing valve stands after the second tank, its cold side on the inlet; so the top of the
    second says how much water passes through both. Thermostats work as in `heat_tank.simulate`;
    the high limit is that of the first tank and senses its top.

    Parameters:
        tank: the first tank, with the PV element at its `element_height` [-]
        second_tank: the second, with the grid element at its `element_height` [-]
        start_temperatures: of the first, bottom first [degC], scalar or array of nodes
        second_start_temperatures: of the second [degC], scalar or array of its nodes
        heater_power: power on offer from the PV element in each step [W], array of steps
        tap_draw: mixed water wanted at tap_temperature in each step [m3], array of steps
        inlet_temperature: cold water [degC], scalar or array of steps
        room_temperature: air round both tanks [degC], scalar or array of steps
        tap_temperature: wanted at the tap [degC], scalar
        setpoint: the PV element's thermostat opens here [degC], scalar; inf for no thermostat
        hysteresis: thermostats close this far below their setpoint [K], scalar
        step: length of each step, at most 3600 [s], scalar or array of steps
        grid_power: power on offer to the grid element [W], scalar or array of steps
        grid_setpoint: the grid element's thermostat [degC], scalar; nan for no grid element
        high_limit: cut-out with hand reset of the first tank [degC], scalar; inf for none
        largest_shift: part of a node that one sub-step may draw [-], scalar in (0, 1]
        machine: in machine code, where that can be [-]
    Returns:
        series and energies of the run [J], a TwoTanksRun
    Raises:
        OutOfRange: as `heat_tank.simulate`; tanks of different volumetric heat capacity
    Source: nodes in series with one-dimensional plug flow and buoyant mixing as described by
        Duffie & Beckman, Solar Engineering of Thermal Processes, ch. 8 (from memory).
    """
    if tank.volumetric_heat_capacity != second_tank.volumetric_heat_capacity:
        raise OutOfRange("volumetric heat capacity: both tanks hold the same water")
    drive = tank_drive(
        step, heater_power, tap_draw, grid_power, inlet_temperature, room_temperature
    )
    require_thermostats(setpoint, hysteresis, largest_shift)
    starts = (
        np.broadcast_to(np.asarray(start_temperatures, float), (tank.nodes,)),
        np.broadcast_to(np.asarray(second_start_temperatures, float), (second_tank.nodes,)),
    )
    ends = (starts[0].copy(), starts[1].copy())
    outputs = [np.zeros(drive[0].size) for _ in range(9)]
    totals = np.zeros(5)
    run_kernel(
        step_two_tanks,
        [*ends, *drive, *outputs, totals],
        [
            tank.node_volume,
            second_tank.node_volume,
            tank.volumetric_heat_capacity,
            tank.loss_rate,
            second_tank.loss_rate,
            tank.conduction_rate,
            second_tank.conduction_rate,
            tank.node_at(tank.element_height),
            second_tank.node_at(second_tank.element_height),
            float(tap_temperature),
            float(setpoint),
            float(hysteresis),
            -math.inf if math.isnan(grid_setpoint) else float(grid_setpoint),
            float(high_limit),
            float(largest_shift),
        ],
        machine,
    )
    stored = tank.stored_heat(starts[0], ends[0]), second_tank.stored_heat(starts[1], ends[1])
    return _run(outputs, totals, stored, ends, step_ends(step, drive[0].size), drive[0])


def _run(
    outputs: list[FloatArray],
    totals: FloatArray,
    stored: tuple[float, float],
    ends: tuple[FloatArray, FloatArray],
    times: FloatArray,
    step: FloatArray,
) -> TwoTanksRun:
    """Gather series, sums and the closure of both balances."""
    mean, top, second_mean, second_top, pv, grid, passed, delivered, short = outputs
    lost, second_lost, wanted, tap_volume, limit_step = totals.tolist()
    sums = [float(each.sum()) for each in (pv, grid, passed, delivered, short)]
    energy_in, energy_grid, energy_passed, energy_delivered, energy_short = sums
    return TwoTanksRun(
        times=times,
        mean_temperature=mean,
        top_temperature=top,
        second_mean_temperature=second_mean,
        second_top_temperature=second_top,
        accepted_power=pv / step,
        grid_power=grid / step,
        passed_power=passed / step,
        delivered_power=delivered / step,
        short_power=short / step,
        energy_in=energy_in,
        energy_grid=energy_grid,
        energy_lost=lost,
        second_energy_lost=second_lost,
        energy_passed=energy_passed,
        energy_delivered=energy_delivered,
        energy_wanted=wanted,
        energy_short=energy_short,
        tap_volume=tap_volume,
        end_temperatures=ends[0],
        second_end_temperatures=ends[1],
        balance_error=max(
            balance_error([energy_in], [lost, energy_passed, stored[0]]),
            balance_error(
                [energy_passed, energy_grid], [second_lost, energy_delivered, stored[1]]
            ),
        ),
        high_limit_time=float(times[int(limit_step) - 1]) if limit_step > 0 else math.nan,
    )
