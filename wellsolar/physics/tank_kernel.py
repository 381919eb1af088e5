"""The inner loop of a stepped tank: scalars over lists, so that it also compiles.

Every step runs, in this order: half of the wall loss, thermostats and heat, draw, conduction,
buoyant mixing, the other half of the loss (a symmetric split, second order in the step for heat
against loss).
"""

from __future__ import annotations

import math


def step_nodes(
    node_temperatures: list[float],
    heater_power: list[float],
    tap_draw: list[float],
    grid_power: list[float],
    inlet_temperature: list[float],
    room_temperature: list[float],
    mean_temperature: list[float],
    top_temperature: list[float],
    element_temperature: list[float],
    heater_energy: list[float],
    grid_energy: list[float],
    delivered_energy: list[float],
    short_energy: list[float],
    totals: list[float],
    step: float,
    node_volume: float,
    volumetric_heat_capacity: float,
    loss_rate: float,
    conduction_rate: float,
    element_node: int,
    grid_node: int,
    tap_temperature: float,
    setpoint: float,
    hysteresis: float,
    grid_setpoint: float,
    high_limit: float,
    largest_shift: float,
) -> None:
    """The inner loop of `simulate`: scalars over lists, so that it also compiles.

    Parameters:
        node_temperatures: temperatures, bottom first, changed in place [degC], list
        heater_power: on offer from the PV element [W], list of steps
        tap_draw: mixed water wanted [m3], list of steps
        grid_power: on offer to the grid element [W], list of steps
        inlet_temperature: cold water [degC], list of steps
        room_temperature: air round the tank [degC], list of steps
        mean_temperature: output, mean temperature [degC], list of steps
        top_temperature: output, top node [degC], list of steps
        element_temperature: output, node of the PV element [degC], list of steps
        heater_energy: output, taken by the PV element [J], list of steps
        grid_energy: output, taken by the grid element [J], list of steps
        delivered_energy: output, heat drawn above the inlet [J], list of steps
        short_energy: output, heat missing at the tap [J], list of steps
        totals: output, lost [J], wanted [J], tap volume [m3], step of the high limit [-], list
        step: length of a step [s], scalar
        node_volume: volume of one node [m3], scalar
        volumetric_heat_capacity: of the water [J/(m3 K)], scalar
        loss_rate: heat loss coefficient over heat capacity of the tank [1/s], scalar
        conduction_rate: conductance between nodes over heat capacity of a node [1/s], scalar
        element_node: node of the PV element [-], whole number
        grid_node: node of the grid element and of the high limit [-], whole number
        tap_temperature: wanted at the tap [degC], scalar
        setpoint: of the PV element [degC], scalar
        hysteresis: of both thermostats [K], scalar
        grid_setpoint: of the grid element [degC], scalar
        high_limit: latching cut-out [degC], scalar
        largest_shift: part of a node that one sub-step may draw [-], scalar
    Returns:
        nothing [-]; the outputs and nodes are filled in place
    Source: as `simulate`.
    """
    count = len(node_temperatures)
    capacity = node_volume * volumetric_heat_capacity
    whole_decay = math.exp(-0.5 * loss_rate * step)
    _settle(node_temperatures)
    on, grid_on = (
        node_temperatures[element_node] < setpoint,
        node_temperatures[grid_node] < grid_setpoint,
    )
    tripped = False
    for index in range(len(heater_power)):
        volume, cold, air = tap_draw[index], inlet_temperature[index], room_temperature[index]
        # a draw of just one node must not be cut in two by round-off
        parts = max(1, math.ceil(volume / (node_volume * largest_shift) - 1e-9))
        length = step / parts
        decay = whole_decay if parts == 1 else math.exp(-0.5 * loss_rate * length)
        rounds = math.ceil(4.0 * conduction_rate * length)
        wanted = max(0.0, tap_temperature - cold) * volume * volumetric_heat_capacity / parts
        for _ in range(parts):
            lost = _cool(node_temperatures, air, decay)
            if node_temperatures[grid_node] >= high_limit:
                tripped = True
            on = on or node_temperatures[element_node] <= setpoint - hysteresis
            if on and not tripped and heater_power[index] > 0.0:
                asked = heater_power[index] * length / capacity
                taken, on, tripped = _run_element(
                    node_temperatures, element_node, setpoint, high_limit, asked
                )
                heater_energy[index] += taken * capacity
            grid_on = grid_on or node_temperatures[grid_node] <= grid_setpoint - hysteresis
            if grid_on and not tripped and grid_power[index] > 0.0:
                asked = grid_power[index] * length / capacity
                taken, grid_on, tripped = _run_element(
                    node_temperatures, grid_node, grid_setpoint, high_limit, asked
                )
                grid_energy[index] += taken * capacity
            if volume > 0.0:
                hottest = node_temperatures[count - 1]
                drawn = _hot_share(tap_temperature, cold, hottest) * volume / parts
                gained = drawn * volumetric_heat_capacity * (hottest - cold)
                delivered_energy[index] += gained
                short_energy[index] += wanted - gained
                totals[1] += wanted
                if hottest >= tap_temperature or cold >= tap_temperature:
                    totals[2] += volume / parts
                _draw_plug(node_temperatures, drawn / node_volume, cold)
            if count > 1:
                _conduct(node_temperatures, conduction_rate * length, rounds)
                _settle(node_temperatures)
            lost += _cool(node_temperatures, air, decay)
            totals[0] += lost * capacity
        if tripped and totals[3] == 0.0:
            totals[3] = index + 1.0
        mean_temperature[index] = sum(node_temperatures) / count
        top_temperature[index] = node_temperatures[count - 1]
        element_temperature[index] = node_temperatures[element_node]


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
