"""The one stepper of a supply: well, filling pump, storage, booster, draws and battery.

Within a step the sun and what is wanted stay, so that levels move in straight lines, and the
casing's by an exponential, from one event to the next: a draw is over, a float switches, the
tank is full or empty, the well is pumped off or has recovered, the energy is used up. Nothing is
cut into small steps, and the volumes close to round-off. Where no event but the tank's ends can
come, the step is one sum.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from wellsolar.physics.compiled import compiled
from wellsolar.physics.types import FloatArray


class Series(NamedTuple):
    """What each step offers and asks, arrays of steps.

    array_energy: into battery or inverter [J]; first_need: of it before any pump [J]
    water_demand: wanted by the house [m3]; pump_flow: the most the filling pump gives [m3/s]
    """

    array_energy: FloatArray
    first_need: FloatArray
    water_demand: FloatArray
    pump_flow: FloatArray


class BatteryNumbers(NamedTuple):
    """usable_capacity [J]; charge_efficiency, discharge_efficiency [0..1]; fill_price,
    boost_price: what a cubic metre takes from array or battery, 0 for another supply [J/m3]."""

    usable_capacity: float = 0.0
    charge_efficiency: float = 1.0
    discharge_efficiency: float = 1.0
    fill_price: float = 0.0
    boost_price: float = 0.0


class TankNumbers(NamedTuple):
    """Volumes of water above the outlet [m3].

    volume: at the overflow; fills_below, fills_to: at which the float starts and stops the filling
    pump, the same two where it holds the level, infinite where nothing stops the pump
    least: at which a float stops the booster, 0 for gravity
    """

    volume: float
    fills_below: float
    fills_to: float
    least: float = 0.0


class DrawNumbers(NamedTuple):
    """flow: at which the house draws from a step's beginning on until it has what it wants, 0 for
    the mean of the step; booster_flow: the most that booster or pipe passes [m3/s]."""

    flow: float = 0.0
    booster_flow: float = math.inf


class WellNumbers(NamedTuple):
    """The casing over its inflow.

    area: of the water in the casing [m2], 0 where the well sets no bound of its own
    specific_capacity: inflow for each metre of drawdown [m2/s]
    dry_drawdown: at which the pump is stopped [m]; restart_drawdown [m], restart_time [s]: the
    pump starts again at the one or after the other, whichever comes first
    """

    area: float = 0.0
    specific_capacity: float = 0.0
    dry_drawdown: float = 0.0
    restart_drawdown: float = 0.0
    restart_time: float = math.inf


SMEARED, NO_BOUND = DrawNumbers(), WellNumbers()
"""Draws spread over each step; a well that sets no bound."""


class State(NamedTuple):
    """Where a run begins or ends.

    charge [J]; stored [m3]; drawdown: of the well [m]; filling: 1 while the float asks for water,
    else 0 [-]; waited: since the well stopped the pump [s], below 0 while it did not
    """

    charge: float
    stored: float
    drawdown: float = 0.0
    filling: float = 1.0
    waited: float = -1.0


class Columns(NamedTuple):
    """What came out of each step, arrays of steps; states hold at the end of it.

    pumped, given, overflow, inflow: into the tank, to the house, over the edge, into the well [m3]
    stored [m3]; drawdown [m]; starts: of the filling pump [-]; charge [J]
    spilled: array energy that nothing took [J]; first_served: given before any pump [J]
    charge_taken, charge_drawn: into and out of the battery before its loss [J]
    """

    pumped: FloatArray
    given: FloatArray
    overflow: FloatArray
    inflow: FloatArray
    stored: FloatArray
    drawdown: FloatArray
    starts: FloatArray
    charge: FloatArray
    spilled: FloatArray
    first_served: FloatArray
    charge_taken: FloatArray
    charge_drawn: FloatArray


def run_steps(
    series: Series,
    start: State,
    step: float,
    battery: BatteryNumbers,
    tank: TankNumbers,
    draw: DrawNumbers = SMEARED,
    well: WellNumbers = NO_BOUND,
) -> tuple[Columns, State]:
    """One pass of the stepper, in machine code where that can be had.

    Parameters:
        series: what each step offers and asks [-], arrays of steps
        start: where it begins [-], scalars
        step: length of a step [s], scalar
        battery: as of `BatteryNumbers` [-], scalars
        tank: as of `TankNumbers` [-], scalars
        draw: as of `DrawNumbers` [-], scalars
        well: as of `WellNumbers` [-], scalars
    Returns:
        what came out of each step, and where it ended [-]
    Source: as `step_chain`.
    """
    given = [np.ascontiguousarray(each, float) for each in series]
    columns = [np.zeros(series.water_demand.size) for _ in Columns._fields]
    state = np.array(start, float)
    numbers = [tuple(map(float, each)) for each in (battery, tank, draw, well)]
    machine = compiled(step_chain)
    if machine is not None:
        machine(*given, *columns, state, float(step), *numbers)
        return Columns(*columns), State(*state.tolist())
    # Plain Python indexes lists several times faster than arrays.
    lists: list[Any] = [each.tolist() for each in (*given, *columns, state)]
    arguments: list[Any] = [*lists, float(step), *numbers]
    step_chain(*arguments)
    *made, ends = lists[len(given) :]
    return Columns(*(np.array(each) for each in made)), State(*ends)


def step_chain(
    array_energy: Sequence[float],
    first_need: Sequence[float],
    water_demand: Sequence[float],
    pump_flow: Sequence[float],
    pumped: list[float],
    supplied: list[float],
    overflow: list[float],
    seeped_in: list[float],
    stored_volume: list[float],
    drawdowns: list[float],
    starts: list[float],
    state_of_charge: list[float],
    spilled: list[float],
    first_served: list[float],
    charge_taken: list[float],
    charge_drawn: list[float],
    ends: list[float],
    step: float,
    battery: tuple[float, float, float, float, float],
    tank: tuple[float, float, float, float],
    draw: tuple[float, float],
    well: tuple[float, float, float, float, float],
) -> None:
    """The inner loop: scalars over lists, so that it also compiles.

    Parameters:
        array_energy: offered by the array [J], list of steps
        first_need: into the inverter before any pump [J], list of steps
        water_demand: wanted [m3], list of steps
        pump_flow: the most that the filling pump gives [m3/s], list of steps
        pumped: output, into the tank [m3], list of steps
        supplied: output, to the house [m3], list of steps
        overflow: output, over the tank's edge [m3], list of steps
        seeped_in: output, out of the ground into the well [m3], list of steps
        stored_volume: output, in the tank at the end [m3], list of steps
        drawdowns: output, of the well at the end [m], list of steps
        starts: output, starts of the filling pump [-], list of steps
        state_of_charge: output, usable energy in the battery at the end [J], list of steps
        spilled: output, array energy that nothing took [J], list of steps
        first_served: output, given to the inverter before any pump [J], list of steps
        charge_taken: output, array energy into the battery, before its loss [J], list of steps
        charge_drawn: output, energy out of the battery, before its loss [J], list of steps
        ends: in and out, as of `State` [-], list
        step: length of a step [s], scalar
        battery: as of `BatteryNumbers` [-], scalars
        tank: as of `TankNumbers` [-], scalars
        draw: as of `DrawNumbers` [-], scalars
        well: as of `WellNumbers` [-], scalars
    Returns:
        nothing [-]; the outputs are filled in place
    Source: balances of water and energy; casing as of `well.casing_balance.SteadyWell` without
        well loss.
    """
    capacity, charging, discharging, fill_price, boost_price = battery
    full, fills_below, fills_to, least = tank
    draw_flow, passes = draw
    area, specific_capacity, dry, restart, restart_time = well
    charge, stored, drawdown, filling, waited = ends[0], ends[1], ends[2], ends[3], ends[4]
    top = fills_to if fills_to < full else full
    holds_level = fills_below >= fills_to and fills_to <= full
    one_sum = holds_level and draw_flow == 0.0 and passes == math.inf and area == 0.0
    one_sum = one_sum and least == 0.0 and boost_price == 0.0
    running = False
    for index in range(len(water_demand)):
        sun, wanted = array_energy[index], water_demand[index]
        most = pump_flow[index]
        offered = charge * discharging + sun
        first = first_need[index]
        first = first if first < offered else offered
        left, time = offered - first, step
        filled = 0.0
        delivered = 0.0
        over = 0.0
        seeped = 0.0
        begun = 0.0
        if one_sum:
            filled = top - stored + wanted
            filled = filled if filled < most * step else most * step
            if fill_price > 0.0:
                affordable = left / fill_price
                filled = filled if filled < affordable else affordable
            stored = stored + filled
            delivered = wanted if wanted < stored else stored
            stored = stored - delivered
            time = 0.0
        mean = wanted / step
        draws = draw_flow if draw_flow > mean else mean
        still = wanted
        while time > 0.0:
            if holds_level or stored <= fills_below:
                filling = 1.0
            elif stored >= fills_to:
                filling = 0.0
            fill = 0.0
            if filling > 0.0 and waited < 0.0 and (left > 0.0 or fill_price == 0.0):
                fill = most
            if area > 0.0 and drawdown >= dry and fill > specific_capacity * dry:
                fill = specific_capacity * dry
            out = 0.0
            if still > 0.0 and (left > 0.0 or boost_price == 0.0):
                out = draws if draws < passes else passes
            if stored <= least and out > fill:
                out = fill
            excess = 0.0
            if stored >= top and fill > out:
                if holds_level:
                    fill = out
                else:
                    excess = fill - out
            if fill > 0.0 and not running:
                begun += 1.0
            running = fill > 0.0
            net = fill - out - excess
            spends = fill * fill_price + out * boost_price
            settles = fill / specific_capacity if area > 0.0 else 0.0
            span, event, falls_to = time, 0, least
            if out > 0.0 and still / out < span:
                span, event = still / out, 1
            if spends > 0.0 and left / spends < span:
                span, event = left / spends, 2
            if net > 0.0 and (top - stored) / net < span:
                span, event = (top - stored) / net, 3
            if net < 0.0:
                falls_to = fills_below if filling == 0.0 else least
                if (stored - falls_to) / -net < span:
                    span, event = (stored - falls_to) / -net, 4
            if area > 0.0:
                slow = area / specific_capacity
                if waited >= 0.0:
                    if restart_time - waited < span:
                        span, event = restart_time - waited, 7
                    if drawdown <= restart:
                        span, event = 0.0, 7
                    elif restart > 0.0 and slow * math.log(drawdown / restart) < span:
                        span, event = slow * math.log(drawdown / restart), 7
                elif drawdown < dry < settles:
                    needs = slow * math.log((settles - drawdown) / (settles - dry))
                    if needs < span:
                        span, event = needs, 6
                kept = math.exp(-span / slow)
                ended = settles + (drawdown - settles) * kept
                seeped += fill * span + area * (drawdown - settles) * (1.0 - kept)
                drawdown = ended
            stored += net * span
            filled += fill * span
            delivered += out * span
            over += excess * span
            still -= out * span
            left -= spends * span
            time -= span
            if waited >= 0.0:
                waited += span
            if event == 0:
                time = 0.0
            elif event == 1:
                still = 0.0
            elif event == 2:
                left = 0.0
            elif event == 3:
                stored = top
            elif event == 4:
                stored = falls_to
            elif event == 6:
                drawdown = dry
                if restart < dry and restart_time > 0.0:
                    waited = 0.0
            else:
                waited = -1.0
        used = first + filled * fill_price + delivered * boost_price
        # Round-off alone can pass what was offered.
        used = used if used < offered else offered
        direct = used if used < sun else sun
        drawn = (used - direct) / discharging
        surplus = sun - direct
        room = (capacity - charge) / charging
        taken = surplus if surplus < room else room
        charge = charge - drawn + taken * charging
        charge = charge if charge > 0.0 else 0.0
        charge = charge if charge < capacity else capacity
        pumped[index] = filled
        supplied[index] = delivered
        overflow[index] = over
        seeped_in[index] = seeped
        stored_volume[index] = stored
        drawdowns[index] = drawdown
        starts[index] = begun
        state_of_charge[index] = charge
        spilled[index] = surplus - taken
        first_served[index] = first
        charge_taken[index] = taken
        charge_drawn[index] = drawn
    ends[0] = charge
    ends[1] = stored
    ends[2] = drawdown
    ends[3] = filling
    ends[4] = waited
