"""A stratified storage tank stepped through time.

The tank has N equal nodes, bottom node 0; `tank_kernel` steps them. A draw is plug flow through
the nodes, each remixed behind the plug: emptying exactly one node at a time is plug flow, many
small draws behave as N well-mixed tanks in series, so the number of nodes stands for the mixing
of the real tank (5 to 6 match the trade's "70 % of the tank is usable"). `simulate` cuts a draw
into small parts, so that the answer does not hang on the length of the step. `mixed_tank` has the
closed forms of the tank with one node.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.tank import insulation
from wellsolar.physics.tank.drive import (
    balance_error,
    require_thermostats,
    run_kernel,
    step_ends,
    tank_drive,
)
from wellsolar.physics.tank.kernel import step_nodes
from wellsolar.physics.types import FloatArray, Floats

WATER_HEAT_CAPACITY_50: Final = 988.0 * 4181.0
"""Volumetric heat capacity of water at 50 degC [J/(m3 K)]: density 988.0 kg/m3 times specific
heat 4181 J/(kg K), London South Bank University water data table."""

EFFECTIVE_CONDUCTIVITY: Final = 1.5
"""Water and steel wall side by side along the axis [W/(m K)]: 0.64 of water at 50 degC plus
45 x 4 x 0.0024 m / 0.5 m of wall; conductivities from memory, wall common practice, no source."""


@dataclass(frozen=True)
class Tank:
    """An upright storage tank of equal nodes.

    Parameters:
        volume: water in the tank [m3], scalar
        nodes: equal layers, 1 for a well-mixed tank [-], whole number
        heat_loss_coefficient: loss of the whole tank to the room [W/K], scalar
        element_height: height of the PV (lower) element over the tank's height [0..1], scalar
        effective_conductivity: along the axis, water and wall [W/(m K)], scalar
        height: inside height [m], scalar; None takes 2.5 times the bore
        volumetric_heat_capacity: held constant over the run [J/(m3 K)], scalar; water at 50 degC
    Raises:
        OutOfRange: volume, nodes, height or heat capacity not positive, loss or conductivity
            negative, element height outside 0..1
    Source: common practice, no source (arrangement of an electric storage heater).
    """

    volume: float
    nodes: int
    heat_loss_coefficient: float
    element_height: float = 0.2
    effective_conductivity: float = EFFECTIVE_CONDUCTIVITY
    height: float | None = None
    volumetric_heat_capacity: float = WATER_HEAT_CAPACITY_50

    def __post_init__(self) -> None:
        require_positive(self.volume, "volume", "m3")
        require_positive(self.nodes, "nodes", "")
        require_range(self.heat_loss_coefficient, 0.0, math.inf, "heat loss coefficient", "W/K")
        require_range(self.element_height, 0.0, 1.0, "element height", "of the height")
        require_range(
            self.effective_conductivity, 0.0, math.inf, "effective conductivity", "W/(m K)"
        )
        require_positive(self.volumetric_heat_capacity, "heat capacity", "J/(m3 K)")
        if self.height is not None:
            require_positive(self.height, "height", "m")

    @property
    def inside_height(self) -> float:
        """Inside height [m]: as given, or 2.5 times the bore of that volume."""
        if self.height is not None:
            return self.height
        return insulation.HEIGHT_TO_DIAMETER * insulation.tank_bore(self.volume)

    @property
    def heat_capacity(self) -> float:
        """Heat capacity of the water in the tank [J/K]."""
        return self.volume * self.volumetric_heat_capacity

    @property
    def capacity_above_element(self) -> float:
        """Heat capacity of the water that rises from the element [J/K]."""
        return self.heat_capacity * (1 - self.element_height)

    @property
    def node_volume(self) -> float:
        """Volume of one node [m3]."""
        return self.volume / self.nodes

    @property
    def loss_rate(self) -> float:
        """Heat loss coefficient over heat capacity [1/s]."""
        return self.heat_loss_coefficient / self.heat_capacity

    @property
    def conduction_rate(self) -> float:
        """Conductance between two nodes over the heat capacity of one [1/s]."""
        spacing = self.inside_height / self.nodes
        return self.effective_conductivity / (self.volumetric_heat_capacity * spacing**2)

    def stored_heat(self, start_temperatures: FloatArray, node_temperatures: FloatArray) -> float:
        """Heat that the water took up between two states.

        Parameters:
            start_temperatures: of the nodes before [degC], array of nodes
            node_temperatures: of the nodes after [degC], array of nodes
        Returns:
            heat, negative where it cooled [J]
        Source: constant heat capacity.
        """
        rise = math.fsum(node_temperatures) - math.fsum(start_temperatures)
        return self.node_volume * self.volumetric_heat_capacity * rise

    def stall_temperature(self, heater_power: float, room_temperature: float) -> float:
        """Where the wall loses what the element gives.

        Parameters:
            heater_power: into the element, constant [W], scalar
            room_temperature: air round the tank [degC], scalar
        Returns:
            temperature [degC]
        Source: steady heat balance.
        """
        return room_temperature + heater_power / self.heat_loss_coefficient

    def node_at(self, relative_height: float) -> int:
        """The node at a height.

        Parameters:
            relative_height: height over the tank's height [0..1], scalar
        Returns:
            node, 0 at the bottom [-]
        Source: equal layers.
        """
        return min(self.nodes - 1, int(relative_height * self.nodes))


@dataclass(frozen=True)
class TankRun:
    """What a stepped tank did. Series have one value a step; temperatures hold at its end.

    times: ends of the steps [s], array
    mean_temperature, top_temperature, element_temperature: [degC], arrays
    accepted_power: mean power the PV element took in a step [W], array
    grid_power: mean power the grid element took in a step [W], array
    delivered_power: heat drawn above the cold inlet, mean over a step [W], array
    short_power: heat missing at the tap, mean over a step [W], array
    energy_in: heat of the PV element [J]
    energy_grid: heat of the grid element [J]
    energy_lost: heat lost to the room [J]
    energy_delivered: heat drawn, above the cold inlet [J]
    energy_wanted: heat of the wanted draws at tap temperature, above the cold inlet [J]
    energy_short: wanted less delivered [J]
    tap_volume: mixed water that reached the tap at tap temperature [m3]
    end_temperatures: node temperatures at the end, bottom first [degC], array of nodes
    balance_error: |in + grid - lost - delivered - stored| over the largest of them [-]
    high_limit_time: end of the step in which the high limit opened [s]; nan if it never did
    """

    times: FloatArray
    mean_temperature: FloatArray
    top_temperature: FloatArray
    element_temperature: FloatArray
    accepted_power: FloatArray
    grid_power: FloatArray
    delivered_power: FloatArray
    short_power: FloatArray
    energy_in: float
    energy_grid: float
    energy_lost: float
    energy_delivered: float
    energy_wanted: float
    energy_short: float
    tap_volume: float
    end_temperatures: FloatArray
    balance_error: float
    high_limit_time: float


def simulate(
    tank: Tank,
    start_temperatures: float | Sequence[float] | FloatArray,
    heater_power: Sequence[float] | FloatArray,
    tap_draw: Sequence[float] | FloatArray,
    inlet_temperature: Floats,
    room_temperature: Floats,
    tap_temperature: float,
    setpoint: float,
    hysteresis: float,
    step: Floats,
    grid_power: Floats = 0.0,
    grid_height: float = 0.8,
    grid_setpoint: float = math.nan,
    high_limit: float = math.inf,
    largest_shift: float = 0.1,
    machine: bool = False,
) -> TankRun:
    """A stratified tank stepped through a day or a year.

    The draw leaves through a mixing valve: the hot share is (tap - inlet) / (top - inlet) while
    the top is hotter than the tap wants, all hot below. A thermostat senses the node of its own
    element; it opens exactly at its setpoint and closes exactly at its lower end, within the
    step. The high limit senses the node of the grid element, opens both elements and stays open
    (it has a hand reset). Nothing boils here: a run above 99 degC says that the relief valve has
    opened. Steps may differ in length: `tank_events` lays them along the draws and the sun.

    Parameters:
        tank: the tank [-]
        start_temperatures: bottom first [degC], scalar or array of nodes
        heater_power: power on offer from the PV element in each step [W], array of steps
        tap_draw: mixed water wanted at tap_temperature in each step [m3], array of steps
        inlet_temperature: cold water [degC], scalar or array of steps
        room_temperature: air round the tank [degC], scalar or array of steps
        tap_temperature: wanted at the tap [degC], scalar
        setpoint: the PV element's thermostat opens here [degC], scalar; inf for no thermostat
        hysteresis: thermostats close this far below their setpoint [K], scalar
        step: length of each step, at most 3600 [s], scalar or array of steps
        grid_power: power on offer to the grid element [W], scalar or array of steps
        grid_height: height of the grid element over the tank's height [0..1], scalar
        grid_setpoint: the grid element's thermostat [degC], scalar; nan for no grid element
        high_limit: cut-out with hand reset [degC], scalar; inf for none
        largest_shift: part of a node that one sub-step may draw [-], scalar in (0, 1]; N nodes
            mix a draw as N / (1 - shift) tanks in series, whatever the step; 1 is plug flow
        machine: in machine code, where that can be [-]; pays from about two years on
    Returns:
        series and energies of the run [J], a TankRun
    Raises:
        OutOfRange: step above 3600 s, a negative or missing power or draw, unequal lengths
    Source: nodes in series with one-dimensional plug flow and buoyant mixing as described by
        Duffie & Beckman, Solar Engineering of Thermal Processes, ch. 8 (from memory).
    """
    require_range(grid_height, 0.0, 1.0, "grid element height", "of the height")
    drive = tank_drive(
        step, heater_power, tap_draw, grid_power, inlet_temperature, room_temperature
    )
    require_thermostats(setpoint, hysteresis, largest_shift)
    start = np.broadcast_to(np.asarray(start_temperatures, float), (tank.nodes,))
    temperatures = start.copy()
    outputs = [np.zeros(drive[0].size) for _ in range(7)]
    totals = np.zeros(4)
    run_kernel(
        step_nodes,
        [temperatures, *drive, *outputs, totals],
        [
            tank.node_volume,
            tank.volumetric_heat_capacity,
            tank.loss_rate,
            tank.conduction_rate,
            tank.node_at(tank.element_height),
            tank.node_at(grid_height),
            float(tap_temperature),
            float(setpoint),
            float(hysteresis),
            -math.inf if math.isnan(grid_setpoint) else float(grid_setpoint),
            float(high_limit),
            float(largest_shift),
        ],
        machine,
    )
    return _run(
        tank, start, temperatures, outputs, totals, step_ends(step, drive[0].size), drive[0]
    )


def _run(
    tank: Tank,
    start: FloatArray,
    end: FloatArray,
    outputs: list[FloatArray],
    totals: FloatArray,
    times: FloatArray,
    step: FloatArray,
) -> TankRun:
    """Gather series, sums and the closure of the energy balance."""
    mean, top, element, pv, grid, delivered, short = outputs
    lost, wanted, tap_volume, limit_step = totals.tolist()
    energy_in, energy_grid = float(pv.sum()), float(grid.sum())
    energy_delivered = float(delivered.sum())
    stored = tank.stored_heat(start, end)
    return TankRun(
        times=times,
        mean_temperature=mean,
        top_temperature=top,
        element_temperature=element,
        accepted_power=pv / step,
        grid_power=grid / step,
        delivered_power=delivered / step,
        short_power=short / step,
        energy_in=energy_in,
        energy_grid=energy_grid,
        energy_lost=lost,
        energy_delivered=energy_delivered,
        energy_wanted=wanted,
        energy_short=float(short.sum()),
        tap_volume=tap_volume,
        end_temperatures=end,
        balance_error=balance_error([energy_in, energy_grid], [lost, energy_delivered, stored]),
        high_limit_time=float(times[int(limit_step) - 1]) if limit_step > 0 else math.nan,
    )


def resized(tank: Tank, volume: float) -> Tank:
    """A tank of another size with the same proportions and the same jacket.

    Parameters:
        tank: the tank as it is [-]
        volume: water in the other one [m3], scalar
    Returns:
        the other tank [-]; its loss goes with its surface
    Raises:
        OutOfRange: a volume not above 0
    Source: geometry; surface goes with the volume to the power of 2/3.
    """
    require_positive(volume, "volume", "m3")
    longer = math.cbrt(volume / tank.volume)
    return Tank(
        volume=volume,
        nodes=tank.nodes,
        heat_loss_coefficient=tank.heat_loss_coefficient * longer**2,
        element_height=tank.element_height,
        effective_conductivity=tank.effective_conductivity,
        height=None if tank.height is None else tank.height * longer,
        volumetric_heat_capacity=tank.volumetric_heat_capacity,
    )
