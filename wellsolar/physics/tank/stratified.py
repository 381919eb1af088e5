"""A stratified storage tank, or several in series, stepped through time.

The tank has N equal nodes, bottom node 0; `kernel` steps them. A draw is plug flow through the
nodes, each remixed behind the plug: emptying exactly one node at a time is plug flow, many small
draws behave as N well-mixed tanks in series, so the number of nodes stands for the mixing of the
real tank (5 to 6 match the trade's "70 % of the tank is usable"). `simulate` cuts a draw into
small parts, so that the answer does not hang on the length of the step. Several tanks may stand in
series: what is drawn from the last, the one before it replaces.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final, TypeAlias

import numpy as np

from wellsolar.constants import DAY
from wellsolar.errors import OutOfRange
from wellsolar.physics.compiled import compiled
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.tank import insulation
from wellsolar.physics.tank.kernel import step_tanks
from wellsolar.physics.types import FloatArray, Floats

WATER_HEAT_CAPACITY_50: Final = 988.0 * 4181.0
"""Volumetric heat capacity of water at 50 degC [J/(m3 K)]: density 988.0 kg/m3 times specific
heat 4181 J/(kg K), London South Bank University water data table."""

LONGEST_STEP: Final = 3600.0
"""Longest step of a tank [s]; our own mark, the split of loss and heat is of second order."""

ROUND_OFF: Final = 1e-9
"""Part by which the longest step may be passed; ends of steps are subtracted to find it [-]."""

SETTLING: Final = 30 * DAY
"""Time at the end of a year that is run first, so that the year begins as it ends [s]."""

SETTLED: Final = 0.2
"""Between a year's begin and its end [K]; a tank that is farther off is run once more."""

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


@dataclass(frozen=True, eq=False)
class TankRun:
    """What one tank, or several in series, did. Series have one value a step; temperatures hold at
    its end.

    times: ends of the steps [s], array
    mean_temperatures, top_temperatures: of each tank [degC], tuple of arrays
    ends: node temperatures at the end, bottom first [degC], tuple of arrays of nodes
    passed_power: heat above the cold inlet that leaves each tank, mean [W], tuple of arrays
    element_temperature: node of the PV element [degC], array
    accepted_power: mean power the PV element took in a step [W], array
    grid_power: mean power the grid element took in a step [W], array
    short_power: heat missing at the tap, mean over a step [W], array
    energy_in: heat of the PV element [J]
    energy_grid: heat of the grid element [J]
    losses: heat that each tank lost to the room [J], tuple
    passed: heat above the cold inlet that left each tank [J], tuple
    energy_wanted: heat of the wanted draws at tap temperature, above the cold inlet [J]
    energy_short: wanted less delivered [J]
    tap_volume: mixed water that reached the tap at tap temperature [m3]
    balance_error: of the worst tank, what came in less what left or was stored, over the largest
        of them [-]
    high_limit_time: end of the step in which the high limit opened [s]; nan if it never did
    """

    times: FloatArray
    mean_temperatures: tuple[FloatArray, ...]
    top_temperatures: tuple[FloatArray, ...]
    ends: tuple[FloatArray, ...]
    passed_power: tuple[FloatArray, ...]
    element_temperature: FloatArray
    accepted_power: FloatArray
    grid_power: FloatArray
    short_power: FloatArray
    energy_in: float
    energy_grid: float
    losses: tuple[float, ...]
    passed: tuple[float, ...]
    energy_wanted: float
    energy_short: float
    tap_volume: float
    balance_error: float
    high_limit_time: float

    @property
    def mean_temperature(self) -> FloatArray:
        """Mean temperature of the first tank [degC], array of steps."""
        return self.mean_temperatures[0]

    @property
    def top_temperature(self) -> FloatArray:
        """Top node of the first tank [degC], array of steps."""
        return self.top_temperatures[0]

    @property
    def end_temperatures(self) -> FloatArray:
        """Node temperatures of the first tank at the end [degC], array of nodes."""
        return self.ends[0]

    @property
    def delivered_power(self) -> FloatArray:
        """Heat drawn above the cold inlet, mean over a step [W], array of steps."""
        return self.passed_power[-1]


Start = float | Sequence[float] | FloatArray
"""Temperature of a whole tank, or of its nodes, bottom first [degC]."""


def simulate(
    tanks: Tank | Sequence[Tank],
    start_temperatures: Start | Sequence[Start],
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
    """A stratified tank, or several in series, stepped through a day or a year.

    The draw leaves through a mixing valve behind the last tank, its cold side on the inlet: the
    hot share is (tap - inlet) / (top - inlet) while the top is hotter than the tap wants, all hot
    below. The PV element heats the first tank, the grid element the last. A thermostat senses the
    node of its own element; it opens exactly at its setpoint and closes exactly at its lower end,
    within the step. The high limit is that of the first tank. It senses the node of the grid
    element, or the top where that heats another tank; it opens the elements of its tank and stays
    open (it has a hand reset). Nothing boils here: a run above 99 degC says that the relief valve
    has opened. Steps may differ in length: `events` lays them along the draws and the sun.

    Parameters:
        tanks: the tank, or those in series with the one that the taps draw from last [-]
        start_temperatures: bottom first [degC], scalar or array of nodes; one for each of several
            tanks
        heater_power: power on offer from the PV element in each step [W], array of steps
        tap_draw: mixed water wanted at tap_temperature in each step [m3], array of steps
        inlet_temperature: cold water [degC], scalar or array of steps
        room_temperature: air round the tanks [degC], scalar or array of steps
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
        machine: in machine code, where that can be [-]; loading it pays from about two years on
    Returns:
        series and energies of the run [J], a TankRun
    Raises:
        OutOfRange: step above 3600 s, a negative or missing power or draw, unequal lengths, tanks
            of different volumetric heat capacity
    Source: nodes in series with one-dimensional plug flow and buoyant mixing as described by
        Duffie & Beckman, Solar Engineering of Thermal Processes, ch. 8 (from memory).
    """
    given: Any = start_temperatures
    series, given = ([tanks], [given]) if isinstance(tanks, Tank) else ([*tanks], given)
    first, last = series[0], series[-1]
    if any(tank.volumetric_heat_capacity != first.volumetric_heat_capacity for tank in series):
        raise OutOfRange("volumetric heat capacity: all tanks hold the same water")
    require_range(grid_height, 0.0, 1.0, "grid element height", "of the height")
    require_range(hysteresis, 0.0, math.inf, "hysteresis", "K")
    require_positive(largest_shift, "largest shift", "of a node")
    require_range(largest_shift, 0.0, 1.0, "largest shift", "of a node")
    require_range(setpoint, -math.inf, math.inf, "setpoint", "degC")
    drive = _drive(step, heater_power, tap_draw, grid_power, inlet_temperature, room_temperature)
    size = drive[0].size
    starts, ends = (
        tuple(np.full(tank.nodes, start, float) for tank, start in zip(series, given, strict=True))
        for _ in range(2)
    )
    means, tops, passed = (tuple(np.zeros(size) for _ in series) for _ in range(3))
    element, heater, grid, short = (np.zeros(size) for _ in range(4))
    totals = np.zeros(3 + len(series))
    grid_node = last.node_at(grid_height)
    _run_kernel(
        [ends, means, tops, passed, element, heater, grid, short, totals, *drive],
        [
            tuple(tank.node_volume for tank in series),
            tuple(tank.loss_rate for tank in series),
            tuple(tank.conduction_rate for tank in series),
            first.volumetric_heat_capacity,
            first.node_at(first.element_height),
            grid_node,
            grid_node if len(series) == 1 else first.nodes - 1,
            float(tap_temperature),
            float(setpoint),
            float(hysteresis),
            -math.inf if math.isnan(grid_setpoint) else float(grid_setpoint),
            float(high_limit),
            float(largest_shift),
        ],
        machine,
    )
    wanted, tap_volume, limit_step, *losses = totals.tolist()
    energy_in, energy_grid = float(heater.sum()), float(grid.sum())
    heats = tuple(float(powers.sum()) for powers in passed)
    stored = [tank.stored_heat(*start) for tank, *start in zip(series, starts, ends, strict=True)]
    # what comes into a tank: the sun into the first, the grid into the last, water from before
    gains = [[heat] for heat in (energy_in, *heats[:-1])]
    gains[-1].append(energy_grid)
    uses = zip(losses, heats, stored, strict=True)
    times = _step_ends(step, size)
    return TankRun(
        times=times,
        mean_temperatures=means,
        top_temperatures=tops,
        ends=ends,
        passed_power=tuple(powers / drive[0] for powers in passed),
        element_temperature=element,
        accepted_power=heater / drive[0],
        grid_power=grid / drive[0],
        short_power=short / drive[0],
        energy_in=energy_in,
        energy_grid=energy_grid,
        losses=tuple(losses),
        passed=heats,
        energy_wanted=wanted,
        energy_short=float(short.sum()),
        tap_volume=tap_volume,
        balance_error=max(
            _balance_error(come, list(went)) for come, went in zip(gains, uses, strict=True)
        ),
        high_limit_time=float(times[int(limit_step) - 1]) if limit_step > 0 else math.nan,
    )


def begun_as_it_ends(
    run: Callable[[Sequence[Start], slice], TankRun],
    guess: Sequence[Start],
    step: FloatArray,
) -> tuple[Sequence[FloatArray], TankRun]:
    """A year of one or more tanks whose begin is about its end: its last month is run before it.

    Parameters:
        run: takes starts of the tanks and a part of the steps [callable]
        guess: temperature of each tank a month before [degC], array of tanks
        step: length of each step [s], array of steps
    Returns:
        nodes of each tank as the year begins [degC], and the run
    Source: none needed.
    """
    ends = np.cumsum(step)
    last = slice(int(np.searchsorted(ends, ends[-1] - SETTLING - 1.0)) + 1, None)
    starts = run(guess, last).ends
    year = run(starts, slice(None))
    moved = [
        float(np.mean(after - before)) for before, after in zip(starts, year.ends, strict=True)
    ]
    if any(abs(heat) > SETTLED for heat in moved):
        starts = year.ends
        year = run(starts, slice(None))
    return starts, year


def _drive(
    step: Floats,
    heater_power: Sequence[float] | FloatArray,
    tap_draw: Sequence[float] | FloatArray,
    grid_power: Floats,
    inlet_temperature: Floats,
    room_temperature: Floats,
) -> list[FloatArray]:
    """The series that drive a tank, each checked and with one value a step, in that order."""
    require_positive(step, "step", "s")
    require_range(step, 0.0, LONGEST_STEP * (1.0 + ROUND_OFF), "step", "s")
    powers = np.asarray(heater_power, float)
    series = {
        "step [s]": step,
        "heater power [W]": powers,
        "tap draw [m3]": tap_draw,
        "grid power [W]": grid_power,
        "inlet temperature [degC]": inlet_temperature,
        "room temperature [degC]": room_temperature,
    }
    laid = np.empty((len(series), powers.size))
    for number, (row, (name, given)) in enumerate(zip(laid, series.items(), strict=True)):
        values = np.asarray(given, float)
        if values.shape != (powers.size,) and (values.ndim > 0 or number in (1, 2)):
            raise OutOfRange(_no_series(name, powers.size))
        row[:] = values
    # All at once: a day's steps are few, so that to ask takes longer than to look.
    if not np.isfinite(laid).all() or (laid[1:4] < 0.0).any():
        for number, (row, name) in enumerate(zip(laid, series, strict=True)):
            if not np.isfinite(row).all():
                raise OutOfRange(_no_series(name, powers.size))
            if 0 < number < 4 and (row < 0.0).any():
                raise OutOfRange(f"{name}: {float(row.min())} is below 0")
    return [*laid]


def _no_series(name: str, size: int) -> str:
    return f"{name}: needs {size} finite values, one a step"


Arrays: TypeAlias = FloatArray | tuple[FloatArray, ...]
"""One series, or one for each tank."""


def _run_kernel(arrays: Sequence[Arrays], numbers: Sequence[Any], machine: bool) -> None:
    """Fill the arrays in place: compiled, or plain over lists.

    Plain Python reads a list four times as fast as an array, so the plain run copies them.
    """
    fast = compiled(step_tanks) if machine else None
    if fast is not None:
        fast(*arrays, *numbers)
        return
    lists: list[Any] = [
        tuple(layer.tolist() for layer in array) if isinstance(array, tuple) else array.tolist()
        for array in arrays
    ]
    step_tanks(*lists, *numbers)
    for array, values in zip(arrays, lists, strict=True):
        whole = isinstance(array, np.ndarray)
        for column, filled in zip(
            *(([array], [values]) if whole else (array, values)), strict=True
        ):
            column[:] = filled


def load_machine_code() -> None:
    """Load the machine code of a year's run, where it can be had: a process that is forked then
    has it from the first instead of loading it once more.

    Returns:
        nothing [-]
    Source: none needed.
    """
    if compiled(step_tanks) is not None:
        tank = Tank(0.1, 1, 0.0)
        none, step = np.zeros(1), np.full(1, 60.0)
        simulate(tank, 20.0, none, none, 10.0, 20.0, 40.0, 60.0, 5.0, step, machine=True)


def _step_ends(step: Floats, steps: int) -> FloatArray:
    """Times at which the steps end; steps of one length are multiplied, which keeps them exact."""
    if np.ndim(step) == 0:
        return float(step) * np.arange(1.0, steps + 1)
    return np.cumsum(np.asarray(step, float))


def _balance_error(gains: list[float], uses: list[float]) -> float:
    """Energies that came in less those that went, over the largest of them or over 1 J."""
    largest = max(1.0, *(abs(term) for term in (*gains, *uses)))
    return abs(math.fsum(gains) - math.fsum(uses)) / largest


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
