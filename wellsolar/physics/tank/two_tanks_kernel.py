"""The inner loop of two tanks in series: what `tank_kernel` is for one, with the same nodes."""

from __future__ import annotations

import math

from wellsolar.physics.tank.nodes import draw_plug, heat_by_thermostat, hot_share, relax, settle


def step_two_tanks(
    node_temperatures: list[float],
    second_node_temperatures: list[float],
    step: list[float],
    heater_power: list[float],
    tap_draw: list[float],
    grid_power: list[float],
    inlet_temperature: list[float],
    room_temperature: list[float],
    mean_temperature: list[float],
    top_temperature: list[float],
    second_mean_temperature: list[float],
    second_top_temperature: list[float],
    heater_energy: list[float],
    grid_energy: list[float],
    passed_energy: list[float],
    delivered_energy: list[float],
    short_energy: list[float],
    totals: list[float],
    node_volume: float,
    second_node_volume: float,
    volumetric_heat_capacity: float,
    loss_rate: float,
    second_loss_rate: float,
    conduction_rate: float,
    second_conduction_rate: float,
    element_node: int,
    grid_node: int,
    tap_temperature: float,
    setpoint: float,
    hysteresis: float,
    grid_setpoint: float,
    high_limit: float,
    largest_shift: float,
) -> None:
    """The inner loop of `simulate_two_tanks`: scalars over lists, so that it also compiles.

    Parameters:
        node_temperatures: of the first tank, bottom first, changed in place [degC], list
        second_node_temperatures: of the second tank, likewise [degC], list
        step: lengths of the steps [s], list
        heater_power: on offer from the PV element of the first tank [W], list of steps
        tap_draw: mixed water wanted [m3], list of steps
        grid_power: on offer to the grid element of the second tank [W], list of steps
        inlet_temperature: cold water [degC], list of steps
        room_temperature: air round both tanks [degC], list of steps
        mean_temperature: output, mean of the first tank [degC], list of steps
        top_temperature: output, top node of the first tank [degC], list of steps
        second_mean_temperature: output, mean of the second tank [degC], list of steps
        second_top_temperature: output, top node of the second tank [degC], list of steps
        heater_energy: output, taken by the PV element [J], list of steps
        grid_energy: output, taken by the grid element [J], list of steps
        passed_energy: output, heat from the first tank into the second [J], list of steps
        delivered_energy: output, heat drawn above the inlet [J], list of steps
        short_energy: output, heat missing at the tap [J], list of steps
        totals: output, lost by the first and the second tank [J], wanted [J], tap volume [m3],
            step of the high limit [-], list
        node_volume: volume of one node of the first tank [m3], scalar
        second_node_volume: of one node of the second tank [m3], scalar
        volumetric_heat_capacity: of the water [J/(m3 K)], scalar
        loss_rate: heat loss coefficient over heat capacity of the first tank [1/s], scalar
        second_loss_rate: of the second tank [1/s], scalar
        conduction_rate: conductance between nodes over heat capacity of a node, first tank
            [1/s], scalar
        second_conduction_rate: likewise of the second tank [1/s], scalar
        element_node: node of the PV element in the first tank [-], whole number
        grid_node: node of the grid element in the second tank [-], whole number
        tap_temperature: wanted at the tap [degC], scalar
        setpoint: of the PV element [degC], scalar
        hysteresis: of both thermostats [K], scalar
        grid_setpoint: of the grid element [degC], scalar
        high_limit: latching cut-out of the first tank, sensing its top [degC], scalar
        largest_shift: part of a node of either tank that one sub-step may draw [-], scalar
    Returns:
        nothing [-]; the outputs and nodes are filled in place
    Source: as `simulate_two_tanks`.
    """
    first, second = node_temperatures, second_node_temperatures
    count, second_count = len(first), len(second)
    capacity = node_volume * volumetric_heat_capacity
    second_capacity = second_node_volume * volumetric_heat_capacity
    largest_draw = min(node_volume, second_node_volume) * largest_shift
    closes, grid_closes = setpoint - hysteresis, grid_setpoint - hysteresis
    settle(first)
    settle(second)
    on, grid_on, tripped = first[element_node] < setpoint, second[grid_node] < grid_setpoint, False
    content, second_content, lost, second_lost = 0.0, 0.0, 0.0, 0.0  # sums over the nodes [K]
    for level in range(count):
        content += first[level]
    for level in range(second_count):
        second_content += second[level]
    # of the loss that the last step still owes to the nodes
    kept, pull, second_kept, second_pull = 1.0, 0.0, 1.0, 0.0
    for index in range(len(step)):
        left, volume, cold = step[index], tap_draw[index], inlet_temperature[index]
        power, grid, air = heater_power[index], grid_power[index], room_temperature[index]
        parts = 2
        while parts > 1:
            parts = 1
            if volume > 0.0:
                hottest = second[second_count - 1] * second_kept + second_pull
                hot = hot_share(tap_temperature, cold, hottest) * volume
                parts = max(1, math.ceil(hot / largest_draw - 1e-9))
            length = left / parts
            half = math.exp(-0.5 * loss_rate * length)
            second_half = math.exp(-0.5 * second_loss_rate * length)
            added, second_added = air * (1.0 - half), air * (1.0 - second_half)
            gone = (content - count * air) * (1.0 - half)
            second_gone = (second_content - second_count * air) * (1.0 - second_half)
            relax(first, conduction_rate * length, kept * half, pull * half + added)
            relax(
                second,
                second_conduction_rate * length,
                second_kept * second_half,
                second_pull * second_half + second_added,
            )
            tripped = tripped or first[count - 1] >= high_limit
            gain, second_gain = 0.0, 0.0
            if power > 0.0 and not tripped:
                gain, on, tripped = heat_by_thermostat(
                    first, element_node, on, power / capacity,
                    setpoint, closes, high_limit, air, loss_rate, length,
                )  # fmt: skip
                heater_energy[index] += gain * capacity
            elif first[element_node] <= closes:
                on = True
            if grid > 0.0:
                second_gain, grid_on, _ = heat_by_thermostat(
                    second, grid_node, grid_on, grid / second_capacity,
                    grid_setpoint, grid_closes, math.inf, air, second_loss_rate, length,
                )  # fmt: skip
                grid_energy[index] += second_gain * second_capacity
            elif second[grid_node] <= grid_closes:
                grid_on = True
            if volume > 0.0:
                mixed = volume / parts
                passed, hottest = first[count - 1], second[second_count - 1]
                hot = hot_share(tap_temperature, cold, hottest) * mixed
                wanted = max(0.0, tap_temperature - cold) * mixed * volumetric_heat_capacity
                drawn = hot * volumetric_heat_capacity * (hottest - cold)
                moved = hot * volumetric_heat_capacity * (passed - cold)
                gain -= moved / capacity
                second_gain += (moved - drawn) / second_capacity
                passed_energy[index] += moved
                delivered_energy[index] += drawn
                short_energy[index] += wanted - drawn
                totals[2] += wanted
                if hottest >= tap_temperature or cold >= tap_temperature:
                    totals[3] += mixed
                draw_plug(second, hot / second_node_volume, passed)
                draw_plug(first, hot / node_volume, cold)
                volume -= mixed
            content += gain - gone
            second_content += second_gain - second_gone
            kept, pull, second_kept, second_pull = half, added, second_half, second_added
            gone_after = (content - count * air) * (1.0 - half)
            second_after = (second_content - second_count * air) * (1.0 - second_half)
            content -= gone_after
            second_content -= second_after
            lost += gone + gone_after
            second_lost += second_gone + second_after
            left -= length
        if tripped and totals[4] == 0.0:
            totals[4] = index + 1.0
        mean_temperature[index] = content / count
        top_temperature[index] = first[count - 1] * kept + pull
        second_mean_temperature[index] = second_content / second_count
        second_top_temperature[index] = second[second_count - 1] * second_kept + second_pull
    relax(first, 0.0, kept, pull)
    relax(second, 0.0, second_kept, second_pull)
    totals[0] = lost * capacity
    totals[1] = second_lost * second_capacity
