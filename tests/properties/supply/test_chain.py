"""What must hold for any chain of well, filling pump, storage, booster and draws."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wellsolar.errors import OutOfRange
from wellsolar.physics.supply import chain as chain_year
from wellsolar.physics.supply.battery import BatterySystem
from wellsolar.physics.supply.chain import Chain, OtherFiller, run_chain_year
from wellsolar.physics.supply.stepper import (
    BatteryNumbers,
    Casing,
    DrawNumbers,
    Series,
    State,
    TankNumbers,
    WellNumbers,
    run_steps,
)  # fmt: skip

DAYS = 6
modest = settings(max_examples=50, deadline=None)
share = st.floats(0.0, 1.0)


@st.composite
def chains(draw):
    random = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    volume = draw(st.floats(0.05, 8.0))
    least = draw(st.sampled_from([0.0, 0.1])) * volume
    below = least + (0.95 * volume - least) * draw(share)
    to = below + (volume - below) * draw(share)
    tank = draw(
        st.sampled_from(
            [
                TankNumbers(volume, below, to, least),
                TankNumbers(volume, to, to, least),
                TankNumbers(volume, math.inf, math.inf, least),
            ]
        )
    )
    dry = draw(st.floats(1.0, 40.0))
    well = WellNumbers(
        draw(st.sampled_from([0.0, 0.008, 0.018])),
        draw(st.floats(1e-7, 1e-4)),
        dry,
        dry * draw(st.floats(0.0, 0.95)),
        draw(st.sampled_from([600.0, 1e4, math.inf])),
    )
    flow = draw(st.floats(1e-5, 1e-3)) * random.integers(0, 2, 24 * DAYS)
    demand = random.uniform(0.0, 1.0, 24 * DAYS) ** draw(st.floats(0.5, 6.0))
    demand *= draw(st.floats(0.1, 4.0)) * DAYS / demand.sum()
    system = BatterySystem(draw(st.sampled_from([0.0, 4e6])), 0.9, 0.95, 0.9, 8.0)
    drawing = DrawNumbers(draw(st.sampled_from([0.0, 3e-4, 1e-3])), draw(st.floats(5e-5, 1e-2)))
    chain = Chain(
        flow, tank, drawing, well, draw(st.sampled_from([None, system])),
        array_power=random.uniform(0.0, 900.0, 24 * DAYS), boost_flow=drawing.booster_flow,
    )  # fmt: skip
    if draw(st.booleans()):
        others = tuple(
            OtherFiller(
                draw(st.floats(1e-5, 1e-3)) * random.integers(0, 2, 24 * DAYS),
                draw(st.sampled_from([0.0, 300.0])) if chain.battery is not None else 0.0,
                deep, deep * draw(st.floats(0.0, 0.95)), draw(st.sampled_from([600.0, math.inf])),
            )
            for deep in draw(st.lists(st.floats(1.0, 40.0), min_size=1, max_size=2))
        )  # fmt: skip
        chain = replace(chain, others=others, in_turn=draw(st.booleans()))
    if chain.battery is not None:
        powers = draw(st.sampled_from([(0.0, 400.0), (300.0, 0.0), (300.0, 400.0)]))
        chain = replace(chain, fill_power=powers[0], boost_power=powers[1])
    return chain, demand


@modest
@given(chains())
def test_balances_close_and_nothing_leaves_its_bounds(given_chain):
    chain, demand = given_chain
    year = run_chain_year(chain, demand)
    supply = year.supply
    assert supply.water_balance_error < 1e-9
    assert supply.energy_balance_error < 1e-9
    assert year.well_balance_error < 1e-9
    stored = supply.stored_volume
    assert np.all((stored >= -1e-12) & (stored <= chain.tank.volume * (1 + 1e-12)))
    flows = [chain.pump_flow, *(other.flow for other in chain.others)]
    most = np.max(flows, axis=0) if chain.in_turn else np.sum(flows, axis=0)
    assert np.all(supply.pumped <= most * 3600.0 * (1 + 1e-9))
    assert np.all(year.drawdown >= 0.0)
    deepest = max(chain.well.dry_drawdown, *(other.dry_drawdown for other in chain.others), 0.0)
    assert np.all(year.drawdown <= deepest * (1 + 1e-9))
    assert supply.volume_overflow >= 0.0
    if math.isfinite(chain.tank.fills_to):
        assert supply.volume_overflow == 0.0
    passes = chain.draw.booster_flow * 3600.0
    least_missing = np.maximum(demand - passes, 0.0).reshape(DAYS, 24).sum(axis=1)
    assert np.all(supply.unmet >= least_missing - 1e-9)
    assert 0 <= supply.days_short <= DAYS


@modest
@given(chains(), st.sampled_from([0.0, 300.0]))
def test_a_step_of_one_sum_is_a_step_of_events(given_chain, fill_power):
    """Where only the ends of the tank can come; a draw as long as the step goes event by event."""
    chain, demand = given_chain
    level = chain.tank.volume
    plain = replace(
        chain,
        tank=TankNumbers(level, level, level),
        draw=DrawNumbers(),
        well=WellNumbers(),
        fill_power=fill_power if chain.battery is not None else 0.0,
        boost_power=0.0,
        others=(),
    )
    summed = run_chain_year(plain, demand).supply
    by_event = run_chain_year(replace(plain, draw=DrawNumbers(1e-300)), demand).supply
    scale = demand.sum() + level
    np.testing.assert_allclose(by_event.pumped, summed.pumped, atol=1e-9 * scale)
    np.testing.assert_allclose(by_event.unmet, summed.unmet, atol=1e-9 * scale)
    np.testing.assert_allclose(by_event.stored_volume, summed.stored_volume, atol=1e-9 * scale)
    np.testing.assert_allclose(by_event.state_of_charge, summed.state_of_charge, atol=1.0)


@modest
@given(chains(), st.floats(1.0, 3.0))
def test_a_well_that_gives_more_never_gives_less_through_a_kept_level(given_chain, more):
    chain, demand = given_chain
    level = chain.tank.volume
    area = chain.well.area or 0.018
    # Pumped without a stop: the pump follows the inflow at the floor.
    dry = chain.well.dry_drawdown
    well = WellNumbers(area, chain.well.specific_capacity, dry, dry, math.inf)
    held = replace(
        chain, tank=TankNumbers(level, level, level), draw=DrawNumbers(), well=well, battery=None,
        fill_power=0.0, boost_power=0.0, others=(),
    )  # fmt: skip
    better = well._replace(specific_capacity=well.specific_capacity * more)
    first, second = (
        run_chain_year(held, demand),
        run_chain_year(replace(held, well=better), demand),
    )
    assert second.supply.volume_unmet <= first.supply.volume_unmet + 1e-9


def test_a_constant_supply_by_hand():
    """2 m3 a day from a pump of 0.1 m3/h into 1 m3: drawn 0.2 m3/h from 7 to 17 o'clock the tank
    falls by 1 m3, and is filled again by 3 o'clock."""
    hour = np.arange(48) % 24
    demand = np.where((hour >= 7) & (hour < 17), 0.2, 0.0)
    chain = Chain(0.1 / 3600.0, TankNumbers(1.2, 1.2, 1.2))
    year = run_chain_year(chain, demand)
    assert year.supply.days_short == 0
    assert year.least_stored == pytest.approx(0.2)
    assert year.supply.stored_volume[16] == pytest.approx(0.2)
    assert year.supply.stored_volume[26] == pytest.approx(1.2)
    assert year.turnover == pytest.approx(year.mean_stored / 2.0 * 86_400.0)
    # On as the days begin, then from each first draw until the tank is full again in the night.
    assert run_chain_year(replace(chain, draw=DrawNumbers(1e-300)), demand).starts == 3


@pytest.mark.parametrize(
    "changes",
    [
        {"tank": TankNumbers(1.0, 0.5, 0.4)},
        {"tank": TankNumbers(1.0, 0.5, 0.9, 0.6)},
        {"draw": DrawNumbers(0.0, 0.0)},
        {"well": WellNumbers(0.01, 0.0, 5.0)},
        {"well": WellNumbers(0.01, 1e-5, 5.0, 6.0)},
        {"pump_flow": -1.0},
        {"others": (OtherFiller(-1.0),)},
        # The first follows the inflow at its floor; another beside it would draw it lower.
        {"well": WellNumbers(0.01, 1e-5, 5.0, 5.0), "others": (OtherFiller(1e-4, 0.0, 6.0),)},
    ],
)
def test_a_chain_that_cannot_be_is_refused(changes):
    chain = {"pump_flow": 1e-4, "tank": TankNumbers(1.0, 0.5, 0.9)} | changes
    with pytest.raises(OutOfRange):
        run_chain_year(Chain(**chain), np.full(24, 0.01))


def test_pumps_by_an_alternator_take_turns_by_hand():
    """0.4 and 0.2 m3/h fill from 0.4 to 1.0 m3 in turn: a run of 1.5 h, then one of 3 h, while
    nothing is drawn; each fill is drawn off at once, at the beginning of an hour."""
    demand = np.zeros(24)
    demand[[0, 5, 10, 15]] = 0.6
    chain = Chain(
        0.4 / 3600.0, TankNumbers(1.2, 0.4, 1.0), DrawNumbers(1.0),
        others=(OtherFiller(0.2 / 3600.0),), in_turn=True,
    )  # fmt: skip
    pumped = run_chain_year(chain, demand).supply.pumped
    for begin, flow, hours in ((0, 0.4, 1.5), (5, 0.2, 3.0), (10, 0.4, 1.5), (15, 0.2, 3.0)):
        assert pumped[begin : begin + 5].sum() == pytest.approx(0.6, rel=1e-3)
        assert np.count_nonzero(pumped[begin : begin + 5] > 1e-3) == math.ceil(hours)
        assert pumped[begin] == pytest.approx(flow, rel=1e-3)


def test_pumps_take_their_power_for_as_long_as_their_flow_takes() -> None:
    """By hand: a first pump of 360 W gives 1 l/s in every other hour, a second of 180 W half of
    that in the rest: 12 h of each are 6480 Wh, and a tenth of what the inverter takes is lost."""
    flow = np.tile([1e-3, 0.0], 12)
    others = (OtherFiller(0.5 * flow[::-1], 180.0),)
    chain = Chain(
        flow, TankNumbers(100.0, math.inf, math.inf), battery=BatterySystem(1e9, 1.0, 1.0, 0.9),
        array_power=1e3, fill_power=360.0, others=others,
    )  # fmt: skip
    year = run_chain_year(chain, np.full(24, 2.7)).supply
    assert year.volume_pumped == pytest.approx(12 * (3.6 + 1.8))
    assert year.energy_pump == pytest.approx(12 * (360.0 + 180.0) * 3600.0)
    assert year.energy_lost == pytest.approx(year.energy_pump / 9.0)


@pytest.mark.parametrize(
    ("first", "second", "told"),
    [(0.0, 0.0, 0.0), (0.02, 0.0, 1.0), (0.0, 0.02, 1.0), (0.02, 0.02, 1.0)],
)
def test_a_wells_balance_is_asked_where_any_casing_has_an_area(first, second, told, monkeypatch):
    """Without any what is drawn is not asked for; a balance that does not close stands for it."""
    monkeypatch.setattr(chain_year, "gap", lambda *_: 1.0)
    chain = Chain(
        1e-5, TankNumbers(1.0, 0.5, 0.9), well=WellNumbers(first, 1e-5, 5.0, 4.0),
        others=(OtherFiller(1e-5, 0.0, 5.0, 4.0, math.inf, 1),), casings=(Casing(second, 1e-5),),
    )  # fmt: skip
    assert run_chain_year(chain, np.full(24, 0.01)).well_balance_error == told


def test_a_pump_that_its_well_stops_starts_again_and_waits_no_more():
    """0.1 l/s settle at 10 m of drawdown, with 2000 s to 1/e; stopped at 5 m and started at 4 m it
    runs 2000 ln 2 s, then 2000 ln 1.2 s by turns with 2000 ln 1.25 s of rest, and runs at the
    end of the hour, its fourth start."""
    hour, nothing = np.full(1, 1e-4), np.zeros(1)
    found, end = run_steps(
        Series(nothing, nothing, nothing, hour), State(0.0, 0.0), 3600.0, BatteryNumbers(),
        TankNumbers(100.0, math.inf, math.inf), well=WellNumbers(0.02, 1e-5, 5.0, 4.0),
    )  # fmt: skip
    rests = 3 * 2000.0 * math.log(1.25)
    assert found.pumped[0] == pytest.approx(1e-4 * (3600.0 - rests))
    assert (found.starts[0], end.waited) == (4.0, State._field_defaults["waited"])
    since = 3600.0 - rests - 2000.0 * (math.log(2.0) + 2 * math.log(1.2))
    assert end.drawdown == pytest.approx(10.0 - 6.0 * math.exp(-since / 2000.0))


def test_a_boosters_and_a_filling_pumps_power_by_hand():
    """0.36 m3 in each hour: the filling pump of 200 W runs half of it, the booster of 300 W a
    quarter, through an inverter of 0.5."""
    chain = Chain(
        2e-4, TankNumbers(5.0, math.inf, math.inf), DrawNumbers(4e-4, 4e-4),
        battery=BatterySystem(1e9, 1.0, 1.0, 0.5), array_power=1e3, fill_power=200.0,
        boost_power=300.0, boost_flow=4e-4,
    )  # fmt: skip
    flow = np.tile([2e-4, 0.0], 12)
    year = run_chain_year(replace(chain, pump_flow=flow), np.full(24, 0.36))
    assert year.supply.volume_pumped == pytest.approx(12 * 0.72)
    assert year.supply.volume_delivered == pytest.approx(24 * 0.36)
    assert year.supply.energy_pump == pytest.approx((12 * 200.0 + 6 * 300.0) * 3600.0)
    assert year.supply.energy_lost == pytest.approx(year.supply.energy_pump)
    assert year.least_stored == pytest.approx(float(year.supply.stored_volume.min()))
    assert year.turnover == pytest.approx(year.mean_stored / 8.64 * 86_400.0)
