"""A heated storage tank: the stratified tank stepped through time, and closed forms beside it.

The stepped tank has N equal nodes, bottom node 0. Every step runs, in this order: half of the
wall loss, thermostats and heat, draw, conduction, buoyant mixing, the other half of the loss
(a symmetric split, second order in the step for heat against loss). A draw is plug flow through
the nodes, each remixed behind the plug: emptying exactly one node at a time is plug flow, many
small draws behave as N well-mixed tanks in series, so the number of nodes stands for the mixing
of the real tank (5 to 6 match the trade's "70 % of the tank is usable"). `simulate` cuts a draw
into small parts, so that the answer does not hang on the length of the step.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics import water
from wellsolar.physics.solve import require_positive, require_range
from wellsolar.physics.types import FloatArray, Floats

WATER_HEAT_CAPACITY_50: Final = 988.0 * 4181.0
"""Volumetric heat capacity of water at 50 degC [J/(m3 K)]: density 988.0 kg/m3 times specific
heat 4181 J/(kg K), London South Bank University water data table."""

TRADE_HEAT_CAPACITY: Final = 8.33 * 0.45359237 * 4186.8 / 3.785411784e-3
"""The trade's 8.33 Btu per US gallon and degF as [J/(m3 K)]; 8.33 lb/gal is water near 60 degF."""

HEIGHT_TO_DIAMETER: Final = 2.5
"""Height of an ordinary upright tank over its bore [-]; common practice, no source."""

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
        require_positive(self.nodes, "nodes", "-")
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
        return HEIGHT_TO_DIAMETER * math.cbrt(4 * self.volume / (math.pi * HEIGHT_TO_DIAMETER))

    @property
    def heat_capacity(self) -> float:
        """Heat capacity of the water in the tank [J/K]."""
        return self.volume * self.volumetric_heat_capacity

    def node_at(self, height: float) -> int:
        """The node [-] at a height [0..1] of the tank's height."""
        return min(self.nodes - 1, int(height * self.nodes))


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
    step: float,
    grid_power: Floats = 0.0,
    grid_height: float = 0.8,
    grid_setpoint: float = math.nan,
    high_limit: float = math.inf,
    largest_shift: float = 0.1,
) -> TankRun:
    """A stratified tank stepped through a day or a year.

    The draw leaves through a mixing valve: the hot share is (tap - inlet) / (top - inlet) while
    the top is hotter than the tap wants, all hot below. A thermostat senses the node of its own
    element and stops exactly at its setpoint, within the step; the high limit senses the node
    of the grid element, opens both elements and stays open (it has a hand reset). Nothing
    boils here: a run above 99 degC says that the relief valve has opened.

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
        step: length of a step, at most 3600 [s], scalar
        grid_power: power on offer to the grid element [W], scalar or array of steps
        grid_height: height of the grid element over the tank's height [0..1], scalar
        grid_setpoint: the grid element's thermostat [degC], scalar; nan for no grid element
        high_limit: cut-out with hand reset [degC], scalar; inf for none
        largest_shift: part of a node that one sub-step may draw [-], scalar in (0, 1]; N nodes
            mix a draw as N / (1 - shift) tanks in series, whatever the step; 1 is plug flow
    Returns:
        series and energies of the run [J], a TankRun
    Raises:
        OutOfRange: step above 3600 s, a negative or missing power or draw, unequal lengths
    Source: nodes in series with one-dimensional plug flow and buoyant mixing as described by
        Duffie & Beckman, Solar Engineering of Thermal Processes, ch. 8 (from memory).
    """
    powers, draws = np.asarray(heater_power, float), np.asarray(tap_draw, float)
    steps = powers.size
    require_positive(step, "step", "s")
    require_range(step, 0.0, 3600.0, "step", "s")
    require_range(hysteresis, 0.0, math.inf, "hysteresis", "K")
    require_positive(largest_shift, "largest shift", "of a node")
    require_range(largest_shift, 0.0, 1.0, "largest shift", "of a node")
    require_range(setpoint, -math.inf, math.inf, "setpoint", "degC")
    require_range(grid_height, 0.0, 1.0, "grid element height", "of the height")
    series = {
        "heater power [W]": powers,
        "tap draw [m3]": draws,
        "grid power [W]": np.broadcast_to(np.asarray(grid_power, float), powers.shape),
        "inlet temperature [degC]": np.broadcast_to(np.asarray(inlet_temperature), powers.shape),
        "room temperature [degC]": np.broadcast_to(np.asarray(room_temperature), powers.shape),
    }
    for number, (name, values) in enumerate(series.items()):
        if values.shape != (steps,) or not np.all(np.isfinite(values)):
            raise OutOfRange(f"{name}: needs {steps} finite values, one a step")
        if number < 3 and np.any(values < 0):
            raise OutOfRange(f"{name}: {float(values.min())} is below 0")
    start = np.broadcast_to(np.asarray(start_temperatures, float), (tank.nodes,)).tolist()
    columns = [[0.0] * steps for _ in range(7)]
    totals = [0.0] * 4
    temperatures = list(start)
    power_list, draw_list, grid_list, inlet_list, room_list = (
        values.tolist() for values in series.values()
    )
    mean, top, element, taken, grid_taken, delivered, short = columns
    node_height = tank.inside_height / tank.nodes
    step_nodes(
        nodes=temperatures,
        heater_power=power_list,
        tap_draw=draw_list,
        grid_power=grid_list,
        inlet=inlet_list,
        room=room_list,
        mean=mean,
        top=top,
        element=element,
        heater_energy=taken,
        grid_energy=grid_taken,
        delivered=delivered,
        short=short,
        totals=totals,
        step=float(step),
        node_volume=tank.volume / tank.nodes,
        volumetric_heat_capacity=tank.volumetric_heat_capacity,
        loss_rate=tank.heat_loss_coefficient / tank.heat_capacity,
        conduction_rate=tank.effective_conductivity
        / (tank.volumetric_heat_capacity * node_height**2),
        element_node=tank.node_at(tank.element_height),
        grid_node=tank.node_at(grid_height),
        tap=tap_temperature,
        setpoint=setpoint,
        hysteresis=hysteresis,
        grid_setpoint=-math.inf if math.isnan(grid_setpoint) else grid_setpoint,
        high_limit=high_limit,
        largest_shift=largest_shift,
    )
    return _run(tank, start, temperatures, columns, totals, step)


def _run(
    tank: Tank,
    start: list[float],
    end: list[float],
    columns: list[list[float]],
    totals: list[float],
    step: float,
) -> TankRun:
    """Gather series, sums and the closure of the energy balance."""
    mean, top, element, pv, grid, delivered, short = (np.array(column) for column in columns)
    lost, wanted, tap_volume, limit_step = totals
    stored = tank.heat_capacity / tank.nodes * (math.fsum(end) - math.fsum(start))
    energy_in, energy_grid = math.fsum(pv), math.fsum(grid)
    energy_delivered = math.fsum(delivered)
    parts = (energy_in, energy_grid, lost, energy_delivered, stored)
    gap = energy_in + energy_grid - lost - energy_delivered - stored
    return TankRun(
        times=step * np.arange(1.0, mean.size + 1),
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
        energy_short=math.fsum(short),
        tap_volume=tap_volume,
        end_temperatures=np.array(end),
        balance_error=abs(gap) / max(1.0, *(abs(part) for part in parts)),
        high_limit_time=limit_step * step if limit_step > 0 else math.nan,
    )


def step_nodes(
    nodes: list[float],
    heater_power: list[float],
    tap_draw: list[float],
    grid_power: list[float],
    inlet: list[float],
    room: list[float],
    mean: list[float],
    top: list[float],
    element: list[float],
    heater_energy: list[float],
    grid_energy: list[float],
    delivered: list[float],
    short: list[float],
    totals: list[float],
    step: float,
    node_volume: float,
    volumetric_heat_capacity: float,
    loss_rate: float,
    conduction_rate: float,
    element_node: int,
    grid_node: int,
    tap: float,
    setpoint: float,
    hysteresis: float,
    grid_setpoint: float,
    high_limit: float,
    largest_shift: float,
) -> None:
    """The inner loop of `simulate`: scalars over lists, so that it also compiles.

    Parameters:
        nodes: temperatures, bottom first, changed in place [degC], list
        heater_power: on offer from the PV element [W], list of steps
        tap_draw: mixed water wanted [m3], list of steps
        grid_power: on offer to the grid element [W], list of steps
        inlet: cold water [degC], list of steps
        room: air round the tank [degC], list of steps
        mean: output, mean temperature [degC], list of steps
        top: output, top node [degC], list of steps
        element: output, node of the PV element [degC], list of steps
        heater_energy: output, taken by the PV element [J], list of steps
        grid_energy: output, taken by the grid element [J], list of steps
        delivered: output, heat drawn above the inlet [J], list of steps
        short: output, heat missing at the tap [J], list of steps
        totals: output, lost [J], wanted [J], tap volume [m3], step of the high limit [-], list
        step: length of a step [s], scalar
        node_volume: volume of one node [m3], scalar
        volumetric_heat_capacity: of the water [J/(m3 K)], scalar
        loss_rate: heat loss coefficient over heat capacity of the tank [1/s], scalar
        conduction_rate: conductance between nodes over heat capacity of a node [1/s], scalar
        element_node: node of the PV element [-], whole number
        grid_node: node of the grid element and of the high limit [-], whole number
        tap: wanted at the tap [degC], scalar
        setpoint: of the PV element [degC], scalar
        hysteresis: of both thermostats [K], scalar
        grid_setpoint: of the grid element [degC], scalar
        high_limit: latching cut-out [degC], scalar
        largest_shift: part of a node that one sub-step may draw [-], scalar
    Returns:
        nothing [-]; the outputs and nodes are filled in place
    Source: as `simulate`.
    """
    count = len(nodes)
    capacity = node_volume * volumetric_heat_capacity
    whole_decay = math.exp(-0.5 * loss_rate * step)
    _settle(nodes)
    on, grid_on = nodes[element_node] < setpoint, nodes[grid_node] < grid_setpoint
    tripped = False
    for index in range(len(heater_power)):
        volume, cold, air = tap_draw[index], inlet[index], room[index]
        # a draw of just one node must not be cut in two by round-off
        parts = max(1, math.ceil(volume / (node_volume * largest_shift) - 1e-9))
        length = step / parts
        decay = whole_decay if parts == 1 else math.exp(-0.5 * loss_rate * length)
        rounds = math.ceil(4.0 * conduction_rate * length)
        wanted = max(0.0, tap - cold) * volume * volumetric_heat_capacity / parts
        for _ in range(parts):
            lost = _cool(nodes, air, decay)
            if nodes[grid_node] >= high_limit:
                tripped = True
            on = on or nodes[element_node] <= setpoint - hysteresis
            if on and not tripped and heater_power[index] > 0.0:
                asked = heater_power[index] * length / capacity
                taken, on, tripped = _run_element(nodes, element_node, setpoint, high_limit, asked)
                heater_energy[index] += taken * capacity
            grid_on = grid_on or nodes[grid_node] <= grid_setpoint - hysteresis
            if grid_on and not tripped and grid_power[index] > 0.0:
                asked = grid_power[index] * length / capacity
                taken, grid_on, tripped = _run_element(
                    nodes, grid_node, grid_setpoint, high_limit, asked
                )
                grid_energy[index] += taken * capacity
            if volume > 0.0:
                hottest = nodes[count - 1]
                drawn = _hot_share(tap, cold, hottest) * volume / parts
                gained = drawn * volumetric_heat_capacity * (hottest - cold)
                delivered[index] += gained
                short[index] += wanted - gained
                totals[1] += wanted
                if hottest >= tap or cold >= tap:
                    totals[2] += volume / parts
                _draw_plug(nodes, drawn / node_volume, cold)
            if count > 1:
                _conduct(nodes, conduction_rate * length, rounds)
                _settle(nodes)
            lost += _cool(nodes, air, decay)
            totals[0] += lost * capacity
        if tripped and totals[3] == 0.0:
            totals[3] = index + 1.0
        mean[index] = sum(nodes) / count
        top[index] = nodes[count - 1]
        element[index] = nodes[element_node]


def _cool(nodes: list[float], air: float, decay: float) -> float:
    """Let every node decay towards the room in place; the sum of their falls.

    Source: Newton's law of cooling, exact over a time of constant room temperature.
    """
    fall = 0.0
    for node in range(len(nodes)):
        step = (nodes[node] - air) * (1.0 - decay)
        nodes[node] -= step
        fall += step
    return fall


def _run_element(
    nodes: list[float], node: int, setpoint: float, high_limit: float, asked: float
) -> tuple[float, bool, bool]:
    """Heat at one node until the power, the thermostat or the high limit ends it.

    The thermostat opens when its node reaches the setpoint, and by then every cooler node
    above has been mixed up to it, so the heat it takes is the sum of their shortfalls.

    Source: energy balance of the mixed zone above the element.
    """
    stop = min(setpoint, high_limit)
    taken = 0.0
    for level in range(node, len(nodes)):
        taken += max(0.0, stop - nodes[level])
    if asked < taken:
        _heat_upward(nodes, node, asked)
        return asked, True, False
    _heat_upward(nodes, node, taken)
    return taken, setpoint > high_limit, high_limit <= setpoint


def _heat_upward(nodes: list[float], node: int, rise: float) -> None:
    """Add heat to a node and mix it with the nodes above that it would overtake, in place.

    Source: buoyant mixing, pool-adjacent-violators (Ayer et al. 1955, from memory).
    """
    total = nodes[node] + rise
    end = node + 1
    while end < len(nodes) and nodes[end] * (end - node) < total:
        total += nodes[end]
        end += 1
    for level in range(node, end):
        nodes[level] = total / (end - node)


def _hot_share(tap: float, cold: float, hot: float) -> float:
    """Share of hot water in a draw through a mixing valve; 1 while the hot side is too cool.

    Source: heat balance of mixing at constant heat capacity.
    """
    if tap <= cold:
        return 0.0
    if hot <= tap:
        return 1.0
    return (tap - cold) / (hot - cold)


def _draw_plug(nodes: list[float], shift: float, cold: float) -> None:
    """Move the content of the tank up by part of a node, cold water in below, in place.

    Source: plug flow, each node remixed behind the plug.
    """
    for node in range(len(nodes) - 1, 0, -1):
        nodes[node] += shift * (nodes[node - 1] - nodes[node])
    nodes[0] += shift * (cold - nodes[0])


def _conduct(nodes: list[float], number: float, rounds: int) -> None:
    """Conduct heat between neighbouring nodes in place, in rounds that cannot overshoot.

    Source: Fourier's law, explicit finite volumes.
    """
    for _ in range(rounds):
        below = 0.0
        for node in range(len(nodes) - 1):
            flow = number / rounds * (nodes[node + 1] - nodes[node])
            nodes[node] += flow - below
            below = flow
        nodes[-1] -= below


def _settle(nodes: list[float]) -> None:
    """Mix every layer that is warmer than the one above it, in place.

    Source: buoyant mixing, pool-adjacent-violators (Ayer et al. 1955, from memory).
    """
    for node in range(len(nodes) - 1):
        if nodes[node] > nodes[node + 1]:
            break
    else:
        return
    sums, counts = [nodes[0]], [1]
    for node in range(1, len(nodes)):
        sums.append(nodes[node])
        counts.append(1)
        while len(sums) > 1 and sums[-2] * counts[-1] > sums[-1] * counts[-2]:
            last, size = sums.pop(), counts.pop()
            sums[-1] += last
            counts[-1] += size
    node = 0
    for block in range(len(sums)):
        for _ in range(counts[block]):
            nodes[node] = sums[block] / counts[block]
            node += 1


def well_mixed_temperature(
    time: Floats,
    start: Floats,
    power: Floats,
    heat_loss_coefficient: Floats,
    room_temperature: Floats,
    heat_capacity: Floats,
) -> Floats:
    """Temperature of a well-mixed tank after a time of constant power.

    Parameters:
        time: since the start [s], scalar or array
        start: temperature at the start [degC], scalar or array
        power: heat into the water [W], scalar or array
        heat_loss_coefficient: of the tank, may be 0 [W/K], scalar or array
        room_temperature: air round the tank [degC], scalar or array
        heat_capacity: of the water [J/K], scalar or array
    Returns:
        temperature [degC], scalar or array
    Raises:
        OutOfRange: negative time or loss, heat capacity not positive
    Source: first-order energy balance C dT/dt = P - UA (T - Ta), solved in closed form.
    """
    require_range(time, 0.0, math.inf, "time", "s")
    require_range(heat_loss_coefficient, 0.0, math.inf, "heat loss coefficient", "W/K")
    require_positive(heat_capacity, "heat capacity", "J/K")
    exponent = np.asarray(heat_loss_coefficient * time / heat_capacity, float)
    # (1 - exp(-x)) / x, which is 1 for a tank without loss
    damping = np.where(
        exponent > 0, -np.expm1(-exponent) / np.where(exponent > 0, exponent, 1.0), 1.0
    )
    net = power - heat_loss_coefficient * (start - room_temperature)
    return _scalar(start + net * time / heat_capacity * damping)


def cooling_temperature(
    time: Floats,
    start: Floats,
    heat_loss_coefficient: Floats,
    room_temperature: Floats,
    heat_capacity: Floats,
) -> Floats:
    """Temperature of an unheated, undrawn, well-mixed tank after a time.

    Parameters:
        time: since the start [s], scalar or array
        start: temperature at the start [degC], scalar or array
        heat_loss_coefficient: of the tank [W/K], scalar or array
        room_temperature: air round the tank [degC], scalar or array
        heat_capacity: of the water [J/K], scalar or array
    Returns:
        temperature [degC], scalar or array
    Source: Newton's law of cooling, exponential decay with time constant C / UA.

    >>> cooling_temperature(24 * 3600.0, 60.0, 2.0, 20.0, 300 * 4186.0)
    54.8578
    """
    return well_mixed_temperature(
        time, start, 0.0, heat_loss_coefficient, room_temperature, heat_capacity
    )


def well_mixed_time(
    target: Floats,
    start: Floats,
    power: Floats,
    heat_loss_coefficient: Floats,
    room_temperature: Floats,
    heat_capacity: Floats,
) -> Floats:
    """Time a well-mixed tank needs to reach a temperature, heating or cooling.

    Parameters:
        target: temperature to reach [degC], scalar or array
        start: temperature at the start [degC], scalar or array
        power: heat into the water [W], scalar or array
        heat_loss_coefficient: of the tank, may be 0 [W/K], scalar or array
        room_temperature: air round the tank [degC], scalar or array
        heat_capacity: of the water [J/K], scalar or array
    Returns:
        time [s], scalar or array; inf where the tank never gets there
    Source: first-order energy balance, t = (C / UA) ln((Teq - T0) / (Teq - T)).

    >>> well_mixed_time(60.0, 15.0, 500.0, 2.0, 20.0, 300 * 4186.0) / 3600
    33.864
    """
    require_range(heat_loss_coefficient, 0.0, math.inf, "heat loss coefficient", "W/K")
    require_positive(heat_capacity, "heat capacity", "J/K")
    rise = np.asarray(target - start, float)
    first = power - heat_loss_coefficient * (start - room_temperature) + 0.0 * rise
    last = power - heat_loss_coefficient * (target - room_temperature) + 0.0 * rise
    reachable = (first * rise > 0) & (last * rise > 0)
    safe_first, safe_last = np.where(reachable, first, 1.0), np.where(reachable, last, 1.0)
    fall = safe_first - safe_last
    # 1 over the logarithmic mean of the net powers; their common value where they are equal
    with np.errstate(divide="ignore", invalid="ignore"):
        inverse = np.where(fall == 0, 1.0 / safe_last, np.log(safe_first / safe_last) / fall)
    time = np.where(reachable, heat_capacity * rise * inverse, np.inf)
    return _scalar(np.where(rise == 0, 0.0, time))


def half_sine_day_temperature(
    time: Floats,
    start: Floats,
    peak_power: Floats,
    day_length: Floats,
    heat_loss_coefficient: Floats,
    room_temperature: Floats,
    heat_capacity: Floats,
) -> Floats:
    """Temperature of a well-mixed tank through a day of half-sine power, and after it.

    Parameters:
        time: since sunrise [s], scalar or array
        start: temperature at sunrise [degC], scalar or array
        peak_power: power at noon [W], scalar or array
        day_length: from sunrise to sunset [s], scalar or array
        heat_loss_coefficient: of the tank, may be 0 [W/K], scalar or array
        room_temperature: air round the tank [degC], scalar or array
        heat_capacity: of the water [J/K], scalar or array
    Returns:
        temperature [degC], scalar or array; the tank only cools after sunset
    Raises:
        OutOfRange: negative time, day length not positive
    Source: first-order energy balance with P = Pm sin(pi t / D), solved in closed form.

    >>> half_sine_day_temperature(36000.0, 15.0, 2500.0, 36000.0, 2.0, 20.0, 300 * 4186.0)
    59.6176
    """
    require_range(time, 0.0, math.inf, "time", "s")
    require_positive(day_length, "day length", "s")
    lit = np.minimum(time, day_length)
    w, k = np.pi / day_length, heat_loss_coefficient / heat_capacity
    decay = np.exp(-k * lit)
    gain = w * decay + k * np.sin(w * lit) - w * np.cos(w * lit)
    sunset = (
        room_temperature
        + (start - room_temperature) * decay
        + peak_power / heat_capacity * gain / (k**2 + w**2)
    )
    return cooling_temperature(
        time - lit, _scalar(sunset), heat_loss_coefficient, room_temperature, heat_capacity
    )


def stall_power(
    heat_loss_coefficient: Floats, temperature: Floats, room_temperature: Floats
) -> Floats:
    """Power that just holds a tank at a temperature.

    Parameters:
        heat_loss_coefficient: of the tank [W/K], scalar or array
        temperature: of the water [degC], scalar or array
        room_temperature: air round the tank [degC], scalar or array
    Returns:
        power [W], scalar or array
    Source: steady energy balance, P = UA (T - Ta).

    >>> stall_power(2.0, 99.0, 20.0)
    158.
    """
    return heat_loss_coefficient * (temperature - room_temperature)


def insulation_heat_loss_cylinder(
    conductivity: Floats, inner_radius: Floats, thickness: Floats, length: Floats
) -> Floats:
    """Heat loss coefficient of the insulated side of a cylinder, without its ends.

    Parameters:
        conductivity: of the insulation [W/(m K)], scalar or array
        inner_radius: of the insulation [m], scalar or array
        thickness: of the insulation [m], scalar or array
        length: of the cylinder [m], scalar or array
    Returns:
        heat loss coefficient [W/K], scalar or array
    Raises:
        OutOfRange: a radius or thickness that is not positive
    Source: Fourier's law in cylinder coordinates, 2 pi k L / ln(r2 / r1).

    >>> insulation_heat_loss_cylinder(0.025, 0.25, 0.05, 1.4)
    1.2062
    """
    require_positive(inner_radius, "inner radius", "m")
    require_positive(thickness, "thickness", "m")
    return _scalar(2 * np.pi * conductivity * length / np.log1p(thickness / inner_radius))


def cylinder_area(volume: Floats, diameter: Floats) -> Floats:
    """Whole surface of an upright cylinder, side and both ends.

    Parameters:
        volume: of the cylinder [m3], scalar or array
        diameter: bore [m], scalar or array
    Returns:
        area [m2], scalar or array
    Raises:
        OutOfRange: a diameter that is not positive
    Source: geometry, 4 V / D + pi D^2 / 2.
    """
    require_positive(diameter, "diameter", "m")
    return 4 * volume / diameter + math.pi * diameter**2 / 2


def heat_loss_from_r_value(r_value: Floats, area: Floats) -> Floats:
    """Heat loss coefficient of a jacket of known thermal resistance.

    Fittings, element covers and pipes add 15 to 40 % to what the jacket alone loses.

    Parameters:
        r_value: thermal resistance of the jacket [m2 K/W], scalar or array
        area: surface of the tank [m2], scalar or array
    Returns:
        heat loss coefficient of the jacket alone [W/K], scalar or array
    Raises:
        OutOfRange: a resistance that is not positive
    Source: definition of thermal resistance, UA = A / R; the addition for fittings from the
        gap between a published worked figure for an R-16 tank and its jacket alone.
    """
    require_positive(r_value, "R-value", "m2 K/W")
    return area / r_value


def heating_energy(
    volume: Floats, start: Floats, end: Floats, measured_at: Floats | None = None
) -> Floats:
    """Heat that brings a volume of water from one temperature to another, property-exact.

    Parameters:
        volume: water [m3], scalar or array
        start: temperature before [degC], scalar or array
        end: temperature after [degC], scalar or array
        measured_at: temperature at which the volume was measured [degC], scalar or array;
            None takes the start (the water is metered cold)
    Returns:
        heat [J], scalar or array
    Source: mass times the integral of the specific heat (Gauss-Legendre, 4 points).
    """
    mass = volume * water.density(start if measured_at is None else measured_at)
    places, weights = np.polynomial.legendre.leggauss(4)
    rise = end - start
    enthalpy: Floats = 0.0
    for place, weight in zip(places.tolist(), weights.tolist(), strict=True):
        at = start + rise * (0.5 + 0.5 * place)
        enthalpy = enthalpy + 0.5 * weight * rise * water.specific_heat(at)
    return mass * enthalpy


def time_to_heat(volume: Floats, start: Floats, end: Floats, power: Floats) -> Floats:
    """Time to heat a volume of water by constant power, without loss.

    Parameters:
        volume: water, measured cold [m3], scalar or array
        start: temperature before [degC], scalar or array
        end: temperature after [degC], scalar or array
        power: heat into the water [W], scalar or array
    Returns:
        time [s], scalar or array
    Raises:
        OutOfRange: a power that is not positive
    Source: energy balance, heating energy over power.
    """
    require_positive(power, "power", "W")
    return heating_energy(volume, start, end) / power


def recovery_rate(
    power: Floats,
    temperature_rise: Floats,
    volumetric_heat_capacity: Floats = TRADE_HEAT_CAPACITY,
) -> Floats:
    """Flow of water that a heater keeps lifting by a temperature rise, without loss.

    Parameters:
        power: heat into the water [W], scalar or array
        temperature_rise: cold to hot [K], scalar or array
        volumetric_heat_capacity: of the water [J/(m3 K)], scalar or array; the trade's
            8.33 Btu per gallon and degF
    Returns:
        recovery rate [m3/s], scalar or array
    Raises:
        OutOfRange: a rise that is not positive
    Source: trade rule, W x 3.412 / (8.33 x rise in degF) gal/h.

    >>> 3600 / 3.785411784e-3 * recovery_rate(4500.0, 90 / 1.8)
    20.5
    """
    require_positive(temperature_rise, "temperature rise", "K")
    return power / (volumetric_heat_capacity * temperature_rise)


def _scalar(value: Floats) -> Floats:
    """A float where the result has no dimensions, the array otherwise."""
    return value if np.ndim(value) else float(value)
