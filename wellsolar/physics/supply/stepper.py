"""The one stepper of a supply: well, filling pumps, storage, booster, draws and battery.

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
    water_demand: wanted by the house [m3]
    pump_flow: the most the filling pump gives [m3/s]; of several, all of a step before the next
    """

    array_energy: FloatArray
    first_need: FloatArray
    water_demand: FloatArray
    pump_flow: FloatArray


class BatteryNumbers(NamedTuple):
    """usable_capacity [J]; charge_efficiency, discharge_efficiency [0..1]; fill_price,
    boost_price: what a cubic metre takes from array or battery, 0 for another supply [J/m3]; of
    several filling pumps the first's."""

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


class OtherPump(NamedTuple):
    """A filling pump beside the first.

    price: as of `BatteryNumbers` [J/m3]; dry_drawdown, restart_drawdown, restart_time: as of
    `WellNumbers` [m, m, s]; casing: number of that which it draws from, 0 for the first's
    """

    price: float = 0.0
    dry_drawdown: float = 0.0
    restart_drawdown: float = 0.0
    restart_time: float = math.inf
    casing: int = 0


class Casing(NamedTuple):
    """The casing of another well; area [m2], specific_capacity [m2/s]: as of `WellNumbers`."""

    area: float = 0.0
    specific_capacity: float = 0.0


SMEARED, NO_BOUND = DrawNumbers(), WellNumbers()
"""Draws spread over each step; a well that sets no bound."""


class State(NamedTuple):
    """Where a run begins or ends.

    charge [J]; stored [m3]; drawdown: of the first well [m]
    filling: 1 while the float asks for water, else 0 [-]
    waited: since the well stopped the pump [s], below 0 while it did not
    turn: number of the filling pump that ran last, from 0, -1 before any did
    others_waited: of the pumps beside the first [s]; others_drawdown: of the other wells [m]
    """

    charge: float
    stored: float
    drawdown: float = 0.0
    filling: float = 1.0
    waited: float = -1.0
    turn: float = -1.0
    others_waited: tuple[float, ...] = ()
    others_drawdown: tuple[float, ...] = ()


class Columns(NamedTuple):
    """What came out of each step, arrays of steps; states hold at the end of it.

    pumped, given, overflow, inflow: into the tank, to the house, over the edge, into the wells
    [m3]; stored [m3]; drawdown: of the first well [m]
    starts: of the filling pumps [-]; charge [J]
    spilled: array energy that nothing took [J]; first_served: given before any pump [J]
    charge_taken, charge_drawn: into and out of the battery before its loss [J]
    pumps_took: from array or battery, by every pump [J]
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
    pumps_took: FloatArray


def is_compiled() -> bool:
    """True where `run_steps` runs in machine code.

    Returns:
        whether it can be had [-]
    Source: none needed.
    """
    return compiled(step_chain) is not None


def run_steps(
    series: Series,
    start: State,
    step: float,
    battery: BatteryNumbers,
    tank: TankNumbers,
    draw: DrawNumbers = SMEARED,
    well: WellNumbers = NO_BOUND,
    others: tuple[OtherPump, ...] = (),
    in_turn: bool = False,
    casings: tuple[Casing, ...] = (),
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
        others: filling pumps beside the first, as of `OtherPump`, each stopped for a while by the
            drawdown that stops it [-], scalars
        in_turn: True where an alternator starts one of them after the other [-]
        casings: of the wells beside the first, as of `Casing` [-], scalars
    Returns:
        what came out of each step, and where it ended [-]
    Source: as `step_chain`.
    """
    given = [np.ascontiguousarray(column, float) for column in series[:4]]
    columns = [np.zeros(series.water_demand.size) for _ in Columns._fields]
    waits = (start.others_waited or (-1.0,) * len(others))[: len(others)]
    drawn = (start.others_drawdown or (0.0,) * len(casings))[: len(casings)]
    ends = [
        np.array(start[:6], float),
        np.array((start.waited, *waits), float),
        np.array((start.drawdown, *drawn), float),
    ]
    pumps = np.array(((battery.fill_price, *well[2:], 0.0), *others), float).ravel()
    bounds = np.array((well[:2], *casings), float).ravel()
    work = [pumps, bounds, np.zeros(2 * ends[1].size + ends[2].size)]
    numbers = [tuple(map(float, values)) for values in (battery, tank, draw)]
    machine = compiled(step_chain)
    if machine is not None:
        machine(*given, *columns, *ends, *work, float(step), *numbers, float(in_turn))
        return Columns(*columns), _ended(*(end.tolist() for end in ends))
    # Plain Python indexes lists several times faster than arrays.
    lists: list[Any] = [column.tolist() for column in (*given, *columns, *ends, *work)]
    arguments: list[Any] = [*lists, float(step), *numbers, float(in_turn)]
    step_chain(*arguments)
    filled = lists[len(given) : len(given) + len(columns)]
    return Columns(*(np.array(column) for column in filled)), _ended(*lists[-6:-3])


def _ended(ends: list[float], waits: list[float], levels: list[float]) -> State:
    """Where a run of the kernel ended."""
    charge, stored, _, filling, _, turn = ends
    return State(
        charge, stored, levels[0], filling, waits[0], turn, tuple(waits[1:]), tuple(levels[1:])
    )


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
    pumps_took: list[float],
    ends: list[float],
    waits: list[float],
    levels: list[float],
    pumps: Sequence[float],
    casings: Sequence[float],
    work: list[float],
    step: float,
    battery: tuple[float, float, float, float, float],
    tank: tuple[float, float, float, float],
    draw: tuple[float, float],
    in_turn: float,
) -> None:
    """The inner loop: scalars over lists, so that it also compiles.

    Parameters:
        array_energy: offered by the array [J], list of steps
        first_need: into the inverter before any pump [J], list of steps
        water_demand: wanted [m3], list of steps
        pump_flow: the most that each filling pump gives [m3/s], list of steps and in each of pumps
        pumped: output, into the tank [m3], list of steps
        supplied: output, to the house [m3], list of steps
        overflow: output, over the tank's edge [m3], list of steps
        seeped_in: output, out of the ground into the wells [m3], list of steps
        stored_volume: output, in the tank at the end [m3], list of steps
        drawdowns: output, of the first well at the end [m], list of steps
        starts: output, starts of the filling pumps [-], list of steps
        state_of_charge: output, usable energy in the battery at the end [J], list of steps
        spilled: output, array energy that nothing took [J], list of steps
        first_served: output, given to the inverter before any pump [J], list of steps
        charge_taken: output, array energy into the battery, before its loss [J], list of steps
        charge_drawn: output, energy out of the battery, before its loss [J], list of steps
        pumps_took: output, from array or battery by every pump [J], list of steps
        ends: in and out, the first six as of `State` [-], list
        waits: in and out, since the well stopped each filling pump [s], below 0 while it did not,
            list of pumps
        levels: in and out, drawdown of each well [m], list
        pumps: of each filling pump its price, dry and restart drawdown, restart time and the
            number of its casing [-], list
        casings: of each well the area of its casing, 0 where it sets no bound, and its specific
            capacity [-], list
        work: room for a flow and a mark of each filling pump, then for what is drawn from each
            casing [-], list
        step: length of a step [s], scalar
        battery: as of `BatteryNumbers` [-], scalars
        tank: as of `TankNumbers` [-], scalars
        draw: as of `DrawNumbers` [-], scalars
        in_turn: 1 where the filling pumps run in turn, 0 where they run at once [-], scalar
    Returns:
        nothing [-]; the outputs are filled in place
    Source: balances of water and energy; casing as of `well.casing_balance.SteadyWell` without
        well loss.
    """
    capacity, charging, discharging, fill_price, boost_price = battery
    full, fills_below, fills_to, least = tank
    draw_flow, passes = draw
    charge, stored, filling, turn = ends[0], ends[1], ends[3], int(ends[5])
    top = fills_to if fills_to < full else full
    holds_level = fills_below >= fills_to and fills_to <= full
    several, wells = len(waits), len(levels)
    bound = False
    for well in range(wells):
        bound = bound or casings[2 * well] > 0.0
    one_sum = holds_level and draw_flow == 0.0 and passes == math.inf and not bound
    one_sum = one_sum and least == 0.0 and boost_price == 0.0 and several == 1
    for case in range(several):
        work[several + case] = 0.0
    for index in range(len(water_demand)):
        sun, wanted = array_energy[index], water_demand[index]
        offered = charge * discharging + sun
        first = first_need[index]
        first = first if first < offered else offered
        left, time = offered - first, step
        filled = 0.0
        delivered = 0.0
        over = 0.0
        seeped = 0.0
        begun = 0.0
        took = 0.0
        if one_sum:
            most = pump_flow[index]
            filled = top - stored + wanted
            filled = filled if filled < most * step else most * step
            if fill_price > 0.0:
                affordable = left / fill_price
                filled = filled if filled < affordable else affordable
            stored = stored + filled
            delivered = wanted if wanted < stored else stored
            stored = stored - delivered
            took = filled * fill_price
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
            running = False
            for case in range(several):
                fed = left > 0.0 or pumps[5 * case] == 0.0
                able = filling > 0.0 and waits[case] < 0.0 and fed
                work[case] = pump_flow[index * several + case] if able else 0.0
                running = running or work[several + case] > 0.0
            if in_turn > 0.0:
                # One that runs goes on while it can; a start is the next one's that can.
                after = turn if running else turn + 1
                turn = -1
                for number in range(several):
                    each = (after + number) % several
                    if turn < 0 and work[each] > 0.0:
                        turn = each
                    else:
                        work[each] = 0.0
                if turn < 0:
                    turn = after - 1 if not running else after
            halted, spends, more = False, 0.0, 0.0
            for well in range(wells):
                work[2 * several + well] = 0.0
            for case in range(several):
                if work[case] <= 0.0:
                    work[several + case] = 0.0
                    continue
                dry, well = pumps[5 * case + 1], int(pumps[5 * case + 4])
                if casings[2 * well] > 0.0 and levels[well] >= dry:
                    if pumps[5 * case + 2] < dry and pumps[5 * case + 3] > 0.0:
                        waits[case] = 0.0
                        halted = True
                        continue
                    if work[case] > casings[2 * well + 1] * dry:
                        work[case] = casings[2 * well + 1] * dry
                fill += work[case]
                work[2 * several + well] += work[case]
                spends += work[case] * pumps[5 * case]
                if work[several + case] == 0.0:
                    more += 1.0
                    work[several + case] = 1.0
            if halted:
                begun += more
                continue
            out = 0.0
            if still > 0.0 and (left > 0.0 or boost_price == 0.0):
                out = draws if draws < passes else passes
            if stored <= least and out > fill:
                out = fill
            excess = 0.0
            if stored >= top and fill > out:
                if holds_level:
                    spends = spends * (out / fill)
                    for well in range(wells):
                        work[2 * several + well] *= out / fill
                    if wells == 1:
                        work[2 * several] = out
                    fill = out
                    if out == 0.0:
                        more = 0.0
                        for case in range(several):
                            work[several + case] = 0.0
                else:
                    excess = fill - out
            begun += more
            net = fill - out - excess
            spends += out * boost_price
            span, event, falls_to, which = time, 0, least, 0
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
            if bound:
                for case in range(several):
                    well = int(pumps[5 * case + 4])
                    area, specific_capacity = casings[2 * well], casings[2 * well + 1]
                    if area <= 0.0:
                        continue
                    slow = area / specific_capacity
                    settles = work[2 * several + well] / specific_capacity
                    drawdown = levels[well]
                    dry, restart = pumps[5 * case + 1], pumps[5 * case + 2]
                    needs = math.inf
                    if waits[case] >= 0.0:
                        needs = pumps[5 * case + 3] - waits[case]
                        if drawdown <= restart:
                            needs = 0.0
                        elif restart > settles:
                            rises = slow * math.log((drawdown - settles) / (restart - settles))
                            needs = rises if rises < needs else needs
                        if needs < span:
                            span, event, which = needs, 7, case
                    elif drawdown < dry < settles and work[several + case] > 0.0:
                        needs = slow * math.log((settles - drawdown) / (settles - dry))
                        if needs < span:
                            span, event, which = needs, 6, case
                for well in range(wells):
                    area, specific_capacity = casings[2 * well], casings[2 * well + 1]
                    drawn = work[2 * several + well]
                    if area <= 0.0:
                        seeped += drawn * span  # what is drawn from it comes in
                        continue
                    settles = drawn / specific_capacity
                    drawdown = levels[well]
                    kept = math.exp(-span / (area / specific_capacity))
                    seeped += drawn * span + area * (drawdown - settles) * (1.0 - kept)
                    levels[well] = settles + (drawdown - settles) * kept
                for case in range(several):
                    if waits[case] >= 0.0:
                        waits[case] += span
            stored += net * span
            filled += fill * span
            delivered += out * span
            over += excess * span
            took += spends * span
            still -= out * span
            left -= spends * span
            time -= span
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
                dry = pumps[5 * which + 1]
                levels[int(pumps[5 * which + 4])] = dry
                if pumps[5 * which + 2] < dry and pumps[5 * which + 3] > 0.0:
                    waits[which] = 0.0
            else:
                waits[which] = -1.0
        used = first + took
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
        drawdowns[index] = levels[0]
        starts[index] = begun
        state_of_charge[index] = charge
        spilled[index] = surplus - taken
        first_served[index] = first
        charge_taken[index] = taken
        charge_drawn[index] = drawn
        pumps_took[index] = took
    ends[0] = charge
    ends[1] = stored
    ends[2] = levels[0]
    ends[3] = filling
    ends[5] = turn
