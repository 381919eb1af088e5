"""The inner loop of a stepped tank: scalars over lists, so that it also compiles.

Every step, or part of one with a draw, runs in this order: conduction, half of the wall loss,
thermostats and heat, draw, the other half of the loss (a symmetric split, second order in the step
for heat against loss). The second half of one and the first of the next are one pass over the
nodes.
"""

from __future__ import annotations

import math

from wellsolar.physics.tank.nodes import draw_plug, heat_by_thermostat, hot_share, relax, settle


def step_nodes(
    node_temperatures: list[float],
    step: list[float],
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
        step: lengths of the steps [s], list
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
    nodes = node_temperatures
    count = len(nodes)
    top = count - 1
    capacity = node_volume * volumetric_heat_capacity
    largest_draw = node_volume * largest_shift
    closes, grid_closes = setpoint - hysteresis, grid_setpoint - hysteresis
    settle(nodes)
    on, grid_on, tripped = nodes[element_node] < setpoint, nodes[grid_node] < grid_setpoint, False
    content, lost = 0.0, 0.0  # sum of the nodes and of their losses [K]
    for level in range(count):
        content += nodes[level]
    kept, pull = 1.0, 0.0  # of the loss that the last step still owes to the nodes
    for index in range(len(step)):
        left, volume, cold = step[index], tap_draw[index], inlet_temperature[index]
        power, grid, air = heater_power[index], grid_power[index], room_temperature[index]
        parts = 2
        while parts > 1:
            parts = 1
            if volume > 0.0:
                hottest = nodes[top] * kept + pull
                # a draw of just one node must not be cut in two by round-off
                hot = hot_share(tap_temperature, cold, hottest) * volume
                parts = max(1, math.ceil(hot / largest_draw - 1e-9))
            length = left / parts
            half = math.exp(-0.5 * loss_rate * length)
            gone = (content - count * air) * (1.0 - half)
            added = air * (1.0 - half)
            relax(nodes, conduction_rate * length, kept * half, pull * half + added)
            tripped = tripped or nodes[grid_node] >= high_limit
            gain = 0.0
            if power > 0.0 and not tripped:
                taken, on, tripped = heat_by_thermostat(
                    nodes, element_node, on, power / capacity,
                    setpoint, closes, high_limit, air, loss_rate, length,
                )  # fmt: skip
                heater_energy[index] += taken * capacity
                gain += taken
            elif nodes[element_node] <= closes:
                on = True
            if grid > 0.0 and not tripped:
                taken, grid_on, tripped = heat_by_thermostat(
                    nodes, grid_node, grid_on, grid / capacity,
                    grid_setpoint, grid_closes, high_limit, air, loss_rate, length,
                )  # fmt: skip
                grid_energy[index] += taken * capacity
                gain += taken
            elif nodes[grid_node] <= grid_closes:
                grid_on = True
            if volume > 0.0:
                mixed = volume / parts
                hottest = nodes[top]
                shift = hot_share(tap_temperature, cold, hottest) * mixed / node_volume
                wanted = max(0.0, tap_temperature - cold) * mixed * volumetric_heat_capacity
                drawn = shift * (hottest - cold)
                gain -= drawn
                delivered_energy[index] += drawn * capacity
                short_energy[index] += wanted - drawn * capacity
                totals[1] += wanted
                if hottest >= tap_temperature or cold >= tap_temperature:
                    totals[2] += mixed
                draw_plug(nodes, shift, cold)
                volume -= mixed
            content += gain - gone
            kept, pull = half, added
            gone_after = (content - count * air) * (1.0 - half)
            content -= gone_after
            lost += gone + gone_after
            left -= length
        if tripped and totals[3] == 0.0:
            totals[3] = index + 1.0
        mean_temperature[index] = content / count
        top_temperature[index] = nodes[top] * kept + pull
        element_temperature[index] = nodes[element_node] * kept + pull
    relax(nodes, 0.0, kept, pull)
    totals[0] = lost * capacity
