"""What happens in stratified tanks step by step, scalars over lists, so that it also compiles.

A tank has equal nodes, bottom first, and never warmer below than above. Everything works in place
on a list of floats, or on an array where it is compiled, and with numbers alone, so that it can
be. Heat is counted in kelvins of one node.

Every step, or part of one with a draw, runs in this order: conduction, half of the wall loss,
thermostats and heat, draw, the other half of the loss (a symmetric split, second order in the step
for heat against loss). The second half of one and the first of the next are one pass over the
nodes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from math import exp


def step_tanks(
    node_temperatures: Sequence[list[float]],
    mean_temperature: Sequence[list[float]],
    top_temperature: Sequence[list[float]],
    passed_energy: Sequence[list[float]],
    element_temperature: list[float],
    heater_energy: list[float],
    grid_energy: list[float],
    short_energy: list[float],
    totals: list[float],
    step: list[float],
    heater_power: list[float],
    tap_draw: list[float],
    grid_power: list[float],
    inlet_temperature: list[float],
    room_temperature: list[float],
    node_volume: Sequence[float],
    loss_rate: Sequence[float],
    conduction_rate: Sequence[float],
    volumetric_heat_capacity: float,
    element_node: int,
    grid_node: int,
    limit_node: int,
    tap_temperature: float,
    setpoint: float,
    hysteresis: float,
    grid_setpoint: float,
    high_limit: float,
    largest_shift: float,
) -> None:
    """The inner loop of `simulate`: tanks in series, the taps draw from the last.

    Parameters:
        node_temperatures: temperatures, bottom first, changed in place [degC], list of each tank
        mean_temperature: output, mean temperature [degC], list of steps of each tank
        top_temperature: output, top node [degC], list of steps of each tank
        passed_energy: output, heat above the inlet that leaves by the top [J], list of steps of
            each tank
        element_temperature: output, node of the PV element [degC], list of steps
        heater_energy: output, taken by the PV element [J], list of steps
        grid_energy: output, taken by the grid element [J], list of steps
        short_energy: output, heat missing at the tap [J], list of steps
        totals: output, wanted [J], tap volume [m3], step of the high limit [-], lost by each tank
            [J], list
        step: lengths of the steps [s], list
        heater_power: on offer from the PV element of the first tank [W], list of steps
        tap_draw: mixed water wanted [m3], list of steps
        grid_power: on offer to the grid element of the last tank [W], list of steps
        inlet_temperature: cold water [degC], list of steps
        room_temperature: air round the tanks [degC], list of steps
        node_volume: volume of one node [m3], one value a tank
        loss_rate: heat loss coefficient over heat capacity [1/s], one value a tank
        conduction_rate: conductance between nodes over heat capacity of a node [1/s], one value a
            tank
        volumetric_heat_capacity: of the water [J/(m3 K)], scalar
        element_node: node of the PV element [-], whole number
        grid_node: node of the grid element [-], whole number
        limit_node: node of the first tank that the high limit senses [-], whole number
        tap_temperature: wanted at the tap [degC], scalar
        setpoint: of the PV element [degC], scalar
        hysteresis: of both thermostats [K], scalar
        grid_setpoint: of the grid element [degC], scalar
        high_limit: latching cut-out of the first tank [degC], scalar
        largest_shift: part of a node that one sub-step may draw [-], scalar
    Returns:
        nothing [-]; the outputs and nodes are filled in place
    Source: as `simulate`.
    """
    before = len(node_temperatures) - 1
    first, nodes = node_temperatures[0], node_temperatures[before]
    count, first_capacity = len(nodes), node_volume[0] * volumetric_heat_capacity
    top, capacity = count - 1, node_volume[before] * volumetric_heat_capacity
    tap_volume, largest_draw = node_volume[before], min(node_volume) * largest_shift
    loss, conduction, first_loss = loss_rate[before], conduction_rate[before], loss_rate[0]
    mean, warmest, delivered = (
        mean_temperature[before],
        top_temperature[before],
        passed_energy[before],
    )
    closes, grid_closes = setpoint - hysteresis, grid_setpoint - hysteresis
    # The high limit opens what heats its own tank.
    grid_limit = math.inf if before else high_limit
    # Of each tank before the last, as below of the last.
    contents, losses = [0.0] * before, [0.0] * before
    gains, gones = [0.0] * before, [0.0] * before
    halves, pulls = [1.0] * before, [0.0] * before
    for tank in range(before):
        settle(node_temperatures[tank])
        for level in range(len(node_temperatures[tank])):
            contents[tank] += node_temperatures[tank][level]
    settle(nodes)
    content, lost = 0.0, 0.0  # sum of the nodes and of their losses [K]
    for level in range(count):
        content += nodes[level]
    half, pull = 1.0, 0.0  # of the loss that the last step still owes to the nodes
    on, grid_on, tripped = first[element_node] < setpoint, nodes[grid_node] < grid_setpoint, False
    for index in range(len(step)):
        left, volume, cold = step[index], tap_draw[index], inlet_temperature[index]
        power, grid, air = heater_power[index], grid_power[index], room_temperature[index]
        parts = 2
        while parts > 1:
            parts = 1
            if volume > 0.0:
                hottest = nodes[top] * half + pull
                # a draw of just one node must not be cut in two by round-off
                hot = hot_share(tap_temperature, cold, hottest) * volume
                parts = max(1, math.ceil(hot / largest_draw - 1e-9))
            length = left / parts
            if before:
                for tank in range(before):
                    gains[tank] = 0.0
                    halves[tank], pulls[tank], gones[tank] = cool(
                        node_temperatures[tank], contents[tank], halves[tank], pulls[tank],
                        air, loss_rate[tank], conduction_rate[tank], length,
                    )  # fmt: skip
            half, pull, gone = cool(nodes, content, half, pull, air, loss, conduction, length)
            tripped = tripped or first[limit_node] >= high_limit
            gain = 0.0
            if power > 0.0 and not tripped:
                taken, on, tripped = heat_by_thermostat(
                    first, element_node, on, power / first_capacity,
                    setpoint, closes, high_limit, air, first_loss, length,
                )  # fmt: skip
                heater_energy[index] += taken * first_capacity
                if before:
                    gains[0] = taken
                else:
                    gain = taken
            elif first[element_node] <= closes:
                on = True
            if grid > 0.0 and (before or not tripped):
                taken, grid_on, opened = heat_by_thermostat(
                    nodes, grid_node, grid_on, grid / capacity,
                    grid_setpoint, grid_closes, grid_limit, air, loss, length,
                )  # fmt: skip
                tripped = tripped or opened
                grid_energy[index] += taken * capacity
                gain += taken
            elif nodes[grid_node] <= grid_closes:
                grid_on = True
            if volume > 0.0:
                mixed = volume / parts
                hottest = nodes[top]
                hot = hot_share(tap_temperature, cold, hottest) * mixed
                entering, brought = cold, 0.0
                if before:
                    for tank in range(before):
                        leaving = node_temperatures[tank][len(node_temperatures[tank]) - 1]
                        passed = hot * volumetric_heat_capacity * (leaving - cold)
                        gains[tank] -= (passed - brought) / (
                            node_volume[tank] * volumetric_heat_capacity
                        )
                        passed_energy[tank][index] += passed
                        draw_plug(node_temperatures[tank], hot / node_volume[tank], entering)
                        entering, brought = leaving, passed
                shift = hot / tap_volume
                drawn = shift * (hottest - cold)
                gain -= drawn - brought / capacity
                wanted = max(0.0, tap_temperature - cold) * mixed * volumetric_heat_capacity
                delivered[index] += drawn * capacity
                short_energy[index] += wanted - drawn * capacity
                totals[0] += wanted
                if hottest >= tap_temperature or cold >= tap_temperature:
                    totals[1] += mixed
                draw_plug(nodes, shift, entering)
                volume -= mixed
            if before:
                for tank in range(before):
                    room = len(node_temperatures[tank]) * air
                    contents[tank] += gains[tank] - gones[tank]
                    gone_after = (contents[tank] - room) * (1.0 - halves[tank])
                    contents[tank] -= gone_after
                    losses[tank] += gones[tank] + gone_after
            content += gain - gone
            gone_after = (content - count * air) * (1.0 - half)
            content -= gone_after
            lost += gone + gone_after
            left -= length
        if tripped and totals[2] == 0.0:
            totals[2] = index + 1.0
        if before:
            for tank in range(before):
                level = len(node_temperatures[tank])
                mean_temperature[tank][index] = contents[tank] / level
                top_temperature[tank][index] = (
                    node_temperatures[tank][level - 1] * halves[tank] + pulls[tank]
                )
        mean[index] = content / count
        warmest[index] = nodes[top] * half + pull
        if before:
            element_temperature[index] = first[element_node] * halves[0] + pulls[0]
        else:
            element_temperature[index] = first[element_node] * half + pull
    for tank in range(before):
        relax(node_temperatures[tank], 0.0, halves[tank], pulls[tank])
        totals[3 + tank] = losses[tank] * node_volume[tank] * volumetric_heat_capacity
    relax(nodes, 0.0, half, pull)
    totals[3 + before] = lost * capacity


def cool(
    node_temperatures: list[float],
    content: float,
    kept: float,
    pull: float,
    room_temperature: float,
    loss_rate: float,
    conduction_rate: float,
    step: float,
) -> tuple[float, float, float]:
    """Conduction through a step and the first half of its loss, after the last step's second.

    Parameters:
        node_temperatures: temperatures, bottom first, changed in place [degC], list
        content: sum of the nodes without what the last step owes [K], scalar
        kept: part of a temperature that the last step's second half leaves [0..1], scalar
        pull: what the room adds in it [degC], scalar
        room_temperature: air round the tank [degC], scalar
        loss_rate: heat loss coefficient over heat capacity of the tank [1/s], scalar
        conduction_rate: conductance between nodes over heat capacity of a node [1/s], scalar
        step: length of the step [s], scalar
    Returns:
        what half of this step keeps [0..1] and the room adds [degC]; the loss of its first half,
        in kelvins of one node [K]
    Source: as `relax`.
    """
    half = exp(-0.5 * loss_rate * step)
    fall = 1.0 - half
    added = room_temperature * fall
    gone = (content - len(node_temperatures) * room_temperature) * fall
    relax(node_temperatures, conduction_rate * step, kept * half, pull * half + added)
    return half, added, gone


def relax(
    node_temperatures: list[float], conduction_number: float, kept: float, pull: float
) -> None:
    """Conduct heat between neighbours, then let every node come nearer to the room, in place.

    The loss to the room makes T into kept T + pull; two losses one after the other are one with
    the product of what they keep, so that a year needs one pass a step.

    Parameters:
        node_temperatures: temperatures, bottom first, changed in place [degC], list
        conduction_number: conductance between two nodes times the time over the heat capacity
            of one [-], scalar
        kept: part of a temperature that the loss leaves, exp(-k t) [0..1], scalar
        pull: what the room adds, (1 - kept) of its temperature [degC], scalar
    Returns:
        nothing [-]; the temperatures change in place
    Source: Fourier's law by explicit finite volumes, in rounds short enough never to overshoot;
        Newton's law of cooling, exact while the room's temperature holds.
    """
    top = len(node_temperatures) - 1
    part, rounds = conduction_number, 1
    if conduction_number > 0.25:
        rounds = math.ceil(4.0 * conduction_number)
        part = conduction_number / rounds
    scale, offset = 1.0, 0.0
    while rounds > 0:
        if rounds == 1:
            scale, offset = kept, pull
        side = part * scale  # weight of each neighbour, of itself at the bottom and the top
        own = scale - 2.0 * side
        lower = here = node_temperatures[0]
        for level in range(top):
            upper = node_temperatures[level + 1]
            node_temperatures[level] = own * here + side * (lower + upper) + offset
            lower = here
            here = upper
        node_temperatures[top] = own * here + side * (lower + here) + offset
        rounds -= 1


def heat_up(node_temperatures: list[float], node: int, stop: float, rise: float) -> float:
    """Heat one node until the heat is in or a thermostat at it opens, and let it mix, in place.

    The warmed water mixes with every node above that it would overtake, so by the time its node
    is at `stop` all cooler ones above are too: it takes at most the sum of their shortfalls.

    Parameters:
        node_temperatures: temperatures, bottom first, changed in place [degC], list
        node: the node that is heated [-], whole number
        stop: temperature of the node at which the heat ends [degC], scalar
        rise: heat on offer, in kelvins of one node [K], scalar; 0 only lets the node mix upward
    Returns:
        heat taken, in kelvins of one node [K]
    Source: energy balance of the mixed zone; buoyant mixing by pool-adjacent-violators (Ayer et
        al. 1955, from memory).
    """
    count = len(node_temperatures)
    room = 0.0
    for level in range(node, count):
        short = stop - node_temperatures[level]
        if room >= rise or short <= 0.0:
            break
        room += short
    taken = min(rise, room)
    total = node_temperatures[node] + taken
    end = node + 1
    while end < count and node_temperatures[end] * (end - node) < total:
        total += node_temperatures[end]
        end += 1
    mixed = total / (end - node)
    for level in range(node, end):
        node_temperatures[level] = mixed
    return taken


def settle(node_temperatures: list[float]) -> None:
    """Mix every layer that is warmer than the one above it, in place.

    Parameters:
        node_temperatures: temperatures, bottom first, changed in place [degC], list
    Returns:
        nothing [-]; the temperatures change in place
    Source: buoyant mixing by pool-adjacent-violators (Ayer et al. 1955, from memory).
    """
    for node in range(len(node_temperatures) - 2, -1, -1):
        heat_up(node_temperatures, node, math.inf, 0.0)


def draw_plug(node_temperatures: list[float], shift: float, inlet_temperature: float) -> None:
    """Move the content of a tank up by part of a node, cold water in below, in place.

    Parameters:
        node_temperatures: temperatures, bottom first, changed in place [degC], list
        shift: volume drawn over that of a node, at most 1 [-], scalar
        inlet_temperature: of the water that comes in [degC], scalar
    Returns:
        nothing [-]; the temperatures change in place
    Source: plug flow, each node remixed behind the plug; a warm inlet rises by itself.
    """
    below = inlet_temperature
    for level in range(len(node_temperatures)):
        here = node_temperatures[level]
        node_temperatures[level] = here + shift * (below - here)
        below = here
    if len(node_temperatures) > 1 and node_temperatures[0] > node_temperatures[1]:
        heat_up(node_temperatures, 0, math.inf, 0.0)


def hot_share(tap_temperature: float, inlet_temperature: float, hot_temperature: float) -> float:
    """Share of hot water in a draw through a mixing valve; 1 while the hot side is too cool.

    Parameters:
        tap_temperature: wanted at the tap [degC], scalar
        inlet_temperature: on the cold side of the valve [degC], scalar
        hot_temperature: on its hot side [degC], scalar
    Returns:
        hot over mixed volume [0..1]
    Source: heat balance of mixing at constant heat capacity.
    """
    if tap_temperature <= inlet_temperature:
        return 0.0
    if hot_temperature <= tap_temperature:
        return 1.0
    return (tap_temperature - inlet_temperature) / (hot_temperature - inlet_temperature)


def heat_by_thermostat(
    node_temperatures: list[float],
    node: int,
    closed: bool,
    rise_rate: float,
    setpoint: float,
    closes_at: float,
    high_limit: float,
    room_temperature: float,
    loss_rate: float,
    step: float,
) -> tuple[float, bool, bool]:
    """Heat a node through a step, from when its thermostat closes until it opens, in place.

    Parameters:
        node_temperatures: in the middle of the step, bottom first, changed in place [degC], list
        node: node of the element and its thermostat [-], whole number
        closed: whether the thermostat is closed as the step begins [-]
        rise_rate: power over the heat capacity of a node [K/s], scalar
        setpoint: the thermostat opens here [degC], scalar
        closes_at: an open thermostat closes when its node has cooled to this [degC], scalar
        high_limit: latching cut-out [degC], scalar
        room_temperature: air round the tank [degC], scalar
        loss_rate: heat loss coefficient over heat capacity of the tank [1/s], scalar
        step: length of the step [s], scalar
    Returns:
        heat taken, in kelvins of one node [K]; whether the thermostat is closed at the end;
        whether the high limit opened
    Source: Newton's law of cooling, t = ln((T - Ta) / (Tc - Ta)) / k; `heat_up`.
    """
    time = step
    if not closed:
        time -= _rest(node_temperatures[node], closes_at, room_temperature, loss_rate, step)
        if time <= 0.0:
            return 0.0, False, False
    asked = rise_rate * time
    taken = heat_up(node_temperatures, node, min(setpoint, high_limit), asked)
    if taken >= asked:
        return taken, True, False
    return taken, setpoint > high_limit, high_limit <= setpoint


def _rest(
    temperature: float, closes_at: float, room: float, loss_rate: float, step: float
) -> float:
    """How long an open thermostat rests in a step, by its node in the step's middle; at most the
    step.

    Source: Newton's law of cooling.
    """
    if closes_at <= room or loss_rate <= 0.0:
        return 0.0 if temperature <= closes_at else step
    if temperature <= room:
        return 0.0
    crossing = math.log((temperature - room) / (closes_at - room)) / loss_rate
    return min(step, max(0.0, 0.5 * step + crossing))
