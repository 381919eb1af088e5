"""What happens to the nodes of a stratified tank: loss, conduction, heat, buoyancy, a draw.

Nodes are equal, bottom first, and never warmer below than above. Everything works in place on a
list of floats, or on an array where it is compiled, and with numbers alone, so that it can be.
Heat is counted in kelvins of one node.
"""

from __future__ import annotations

import math


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
