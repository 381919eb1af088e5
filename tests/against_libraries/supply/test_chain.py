"""A chain from the well to the house, against its equations integrated by scipy in time."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from wellsolar.physics.supply.battery import BatterySystem
from wellsolar.physics.supply.chain import Chain, OtherFiller, run_chain_year
from wellsolar.physics.supply.stepper import (
    Casing,
    DrawNumbers,
    State,
    TankNumbers,
    WellNumbers,
)

HOUR, GALLON = 3600.0, 3.785411784e-3
GPM = GALLON / 60
AREA = math.pi / 4 * 0.154**2
"""Of a casing of 6 in."""

TOLD = 1e-9
"""Below this a level counts as reached by the integration [m or m3]."""


def poor_well(days: int) -> tuple[Chain, np.ndarray]:
    """A pump of 5 gpm on a well of half a gallon a minute with 60 ft to draw down; a cistern of
    300 gal with floats; a booster of 6 gpm; draws of 8 gpm at the beginning of hours."""
    tank = TankNumbers(300 * GALLON, 180 * GALLON, 280 * GALLON, 30 * GALLON)
    depth = 60 * 0.3048
    well = WellNumbers(AREA, 0.5 * GPM / depth, depth, 0.5 * depth)
    random = np.random.default_rng(15)
    demand = random.uniform(0.0, 60.0, 24 * days) * GALLON * (random.random(24 * days) < 0.6)
    demand *= np.repeat(random.uniform(0.5, 1.5, days), 24)
    return Chain(5 * GPM, tank, DrawNumbers(8 * GPM, 6 * GPM), well), demand


def sunny_hill(days: int) -> tuple[Chain, np.ndarray]:
    """A drive on the sun, no yield to fear within half an hour, a tank without a float that runs
    over, and gravity; the well's pump starts again by the clock."""
    hour = np.arange(24 * days) % 24
    random = np.random.default_rng(4)
    sky = np.repeat(random.uniform(0.1, 1.0, days), 24)
    flow = 6 * GPM * np.clip(np.sin((hour - 6) / 12 * np.pi), 0, None) * sky
    tank = TankNumbers(450 * GALLON, math.inf, math.inf)
    well = WellNumbers(AREA, 0.05 * GPM / 0.3048, 20.0, 0.0, 1800.0)
    demand = random.uniform(0.0, 50.0, 24 * days) * GALLON
    return Chain(flow, tank, DrawNumbers(4 * GPM), well), demand


def two_at_once(days: int) -> tuple[Chain, np.ndarray]:
    """The poor well with a second pump on the sun that hangs 20 ft higher and starts again by the
    clock; more is wanted, so that the well stops both."""
    chain, demand = poor_well(days)
    hour = np.arange(24 * days) % 24
    sunny = 3 * GPM * np.clip(np.sin((hour - 6) / 12 * np.pi), 0, None)
    other = OtherFiller(sunny, 0.0, 40 * 0.3048, 0.0, 2400.0)
    return replace(chain, others=(other,)), 1.2 * demand


def two_in_turn(days: int) -> tuple[Chain, np.ndarray]:
    """Two pumps by an alternator, the second slower and on a battery that lasts; the well stops
    the first."""
    tank = TankNumbers(300 * GALLON, 180 * GALLON, 280 * GALLON)
    depth = 60 * 0.3048
    well = WellNumbers(AREA, 3.5 * GPM / depth, depth, 0.6 * depth)
    other = OtherFiller(2 * GPM, 300.0, 0.9 * depth, 0.2 * depth, 3000.0)
    demand = np.random.default_rng(16).uniform(0.0, 150.0, 24 * days) * GALLON
    battery = BatterySystem(1e9, 1.0, 1.0, 1.0)
    chain = Chain(
        5 * GPM, tank, DrawNumbers(8 * GPM), well, battery, 1000.0, others=(other,), in_turn=True
    )
    return chain, demand


def two_wells_at_once(days: int) -> tuple[Chain, np.ndarray]:
    """The poor well, and a dug well of three feet across that gives twice as much and is emptied
    by a pump of its own."""
    chain, demand = poor_well(days)
    deep = 8 * 0.3048
    dug = Casing(math.pi / 4 * 0.9144**2, 1.0 * GPM / deep)
    other = OtherFiller(4 * GPM, 0.0, deep, 0.4 * deep, math.inf, 1)
    return replace(chain, others=(other,), casings=(dug,)), 2.5 * demand


def two_wells_in_turn(days: int) -> tuple[Chain, np.ndarray]:
    """The same by an alternator, and a third pump in the dug well beside its own."""
    chain, demand = two_wells_at_once(days)
    third = OtherFiller(1.5 * GPM, 0.0, 6 * 0.3048, 0.0, 3600.0, 1)
    return replace(chain, others=(*chain.others, third), in_turn=True), demand


def integrated(
    chain: Chain, demand: np.ndarray, flow_at: Sequence[Callable[[float], float]] = ()
) -> dict[str, np.ndarray]:
    """The same by scipy: the casings and the tank as ordinary differential equations, their
    switches as its events; with pumps whose flows hang on the drawdown where those are given."""
    tank, wells = chain.tank, (Casing(*chain.well[:2]), *chain.casings)
    places = [0, *(other.casing for other in chain.others)]
    flows = [np.broadcast_to(chain.pump_flow, demand.shape)]
    flows += [np.broadcast_to(other.flow, demand.shape) for other in chain.others]
    stops = [tuple(chain.well[2:]), *(tuple(other[2:5]) for other in chain.others)]
    stored, drawdown, last = min(tank.fills_to, tank.volume), [0.0] * len(wells), -1
    asks, stopped_at = tank.fills_to > tank.volume, [math.inf] * len(flows)
    on = [False] * len(flows)
    pumped, given, over, levels, drawn = (np.zeros(demand.size) for _ in range(5))
    for index, wanted in enumerate(demand):
        now, still = 0.0, wanted
        rate = max(chain.draw.flow, wanted / HOUR)
        while now < HOUR - 1e-6:
            if stored <= tank.fills_below + TOLD:
                asks = True
            elif stored >= tank.fills_to - TOLD:
                asks = False
            able = [
                asks and stopped_at[number] == math.inf and flow[index] > 0.0
                for number, flow in enumerate(flows)
            ]
            if chain.in_turn:
                first = last if any(on) else last + 1
                order = [(first + number) % len(flows) for number in range(len(flows))]
                chosen = next((number for number in order if able[number]), None)
                last = last if chosen is None else chosen
                able = [number == chosen for number in range(len(flows))]
            dry = [
                number for number, runs in enumerate(able)
                if runs and drawdown[places[number]] >= stops[number][0] - 1e-7
            ]  # fmt: skip
            for number in dry:
                stopped_at[number] = index * HOUR + now
            if dry:
                continue
            on = able
            fill = sum(flow[index] for flow, runs in zip(flows, on, strict=True) if runs)
            out = min(rate, chain.draw.booster_flow) if still > 1e-12 else 0.0
            if stored <= tank.least + TOLD:
                out = min(out, fill)
            full = stored >= tank.volume - TOLD and fill > out
            ends = HOUR
            if out > 0.0:
                ends = min(ends, now + still / out)
            for at, (_, _, wait) in zip(stopped_at, stops, strict=True):
                ends = min(ends, at + wait - index * HOUR)

            def rates(_, y, index=index, out=out, full=full, on=on):
                each = [flow[index] * runs for flow, runs in zip(flows, on, strict=True)]
                if flow_at:
                    each = [own(y[1 + at]) * runs for own, runs, at in
                            zip(flow_at, on, places, strict=True)]  # fmt: skip
                runs = sum(each)
                drawn = [sum(flow for flow, at in zip(each, places, strict=True) if at == number)
                         for number in range(len(wells))]  # fmt: skip
                falls = [(flow - well.specific_capacity * down) / well.area
                         for well, flow, down in
                         zip(wells, drawn, y[1:-1], strict=True)]  # fmt: skip
                return [0.0 if full else runs - out, *falls, runs]

            marks = []
            for runs, at, (deep, back, _), place in zip(
                on, stopped_at, stops, places, strict=True
            ):
                if runs:
                    marks.append(lambda _, y, level=deep, of=place: y[1 + of] - level)
                if at < math.inf and back > 0.0:
                    marks.append(lambda _, y, level=back, of=place: y[1 + of] - level)
            for level in (tank.least, tank.fills_below, tank.fills_to, tank.volume):
                if math.isfinite(level) and abs(stored - level) > TOLD:
                    marks.append(lambda _, y, level=level: y[0] - level)
            for mark in marks:
                mark.terminal = True
            found = solve_ivp(
                rates, (now, ends), [stored, *drawdown, 0.0],
                events=marks or None, rtol=1e-7, atol=1e-10,
            )  # fmt: skip
            passed = found.t[-1] - now
            pumped[index] += found.y[-1][-1]
            given[index] += out * passed
            over[index] += (fill - out) * passed if full else 0.0
            still -= out * passed
            now = found.t[-1]
            stored, drawdown = found.y[0][-1], [level[-1] for level in found.y[1:-1]]
            clock = index * HOUR + now
            for number, (deep, back, wait) in enumerate(stops):
                level = drawdown[places[number]]
                risen = level <= back + 1e-7
                if on[number] and level >= deep - 1e-7:
                    stopped_at[number] = clock
                elif stopped_at[number] < math.inf and (
                    risen or clock >= stopped_at[number] + wait - 1e-6
                ):
                    stopped_at[number] = math.inf
        levels[index], drawn[index] = stored, drawdown[0]
    return {
        "pumped": pumped, "given": given, "over": over, "stored": levels, "drawdown": drawn,
    }  # fmt: skip


SITES = [poor_well, sunny_hill, two_at_once, two_in_turn, two_wells_at_once, two_wells_in_turn]


# Of three pumps in turn, whose turn it is hangs in the long run on the last digit of a tie.
@pytest.mark.parametrize(
    ("site", "days"),
    [(site, 5) for site in SITES]
    + [pytest.param(site, 365, marks=pytest.mark.long) for site in SITES[:-1]],
)
def test_the_year_is_that_of_an_integration(site, days):
    chain, demand = site(days)
    start = State(0.0, min(chain.tank.fills_to, chain.tank.volume), 0.0, 0.0)
    year = run_chain_year(chain, demand, start=start)
    other = integrated(chain, demand)
    supply = year.supply
    assert supply.volume_pumped == pytest.approx(other["pumped"].sum(), rel=1e-3)
    assert supply.volume_delivered == pytest.approx(other["given"].sum(), rel=1e-3)
    assert supply.volume_overflow == pytest.approx(other["over"].sum(), rel=1e-3)
    missing = (demand - other["given"]).reshape(days, 24).sum(axis=1)
    np.testing.assert_allclose(supply.unmet, missing, atol=0.01 * demand.sum() / days)
    short = int((missing > 1e-6 * demand.reshape(days, 24).sum(axis=1)).sum())
    assert abs(supply.days_short - short) <= 0.01 * days
    np.testing.assert_allclose(
        supply.stored_volume, other["stored"], atol=0.01 * chain.tank.volume
    )
    assert supply.water_balance_error < 1e-9
    assert year.well_balance_error < 1e-9
    # The comparison is one only where the links are at work.
    assert 0.0 < supply.volume_unmet < 0.9 * demand.sum()
    assert year.starts > 0.5 * days
