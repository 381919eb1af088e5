"""What must hold for any pump, array, battery, tank, well and demand."""

from __future__ import annotations

import math
from dataclasses import replace
from unittest import mock

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import pump
from wellsolar.physics.sun import rule_of_thumb
from wellsolar.physics.supply import (
    battery as battery_year,
)
from wellsolar.physics.supply import ranking, stepper
from wellsolar.physics.supply import (
    storage as storage_year,
)
from wellsolar.physics.supply import (
    year as supply_year,
)

HOUR = 3600.0
DAYS = 7
modest = settings(max_examples=50, deadline=None)


@st.composite
def supplies(draw, covers_peaks=False):
    """A module's power, a demand, a pump, a system, a tank and a well, for a week."""
    random = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    hour = np.arange(24 * DAYS) % 24
    sky = np.repeat(random.beta(0.8, 0.8, DAYS), 24) * random.uniform(0.5, 1.0, hour.size)
    power = draw(st.floats(50.0, 400.0)) * np.clip(np.sin((hour - 6) / 12 * np.pi), 0, None) * sky
    demand = random.uniform(0.0, 1.0, hour.size) ** draw(st.floats(0.5, 6.0))
    demand *= draw(st.floats(0.1, 4.0)) * DAYS / demand.sum()
    flow = draw(st.floats(3e-5, 1e-3))
    if covers_peaks:
        flow = max(flow, float(demand.max()) / HOUR)
    pump_power = flow * draw(st.floats(3e5, 3e6))
    other = draw(st.sampled_from([0.0, 5.0, 60.0]))
    system = battery_year.BatterySystem(
        usable_capacity=draw(st.sampled_from([0.0, 1e5, 3e6, 4e7])),
        charge_efficiency=draw(st.floats(0.7, 1.0)),
        discharge_efficiency=draw(st.floats(0.7, 1.0)),
        inverter_efficiency=draw(st.floats(0.6, 1.0)),
        inverter_idle_power=draw(st.sampled_from([0.0, 8.0, 40.0])),
        inverter_rating=math.inf if covers_peaks else draw(st.sampled_from([math.inf, 500.0])),
        other_load=other * random.uniform(0.0, 1.0, hour.size),
    )
    well = math.inf if covers_peaks else draw(st.sampled_from([math.inf, 0.2]))
    storage = draw(st.sampled_from([0.0, 0.05, 0.5, 3.0]))
    return power, demand, flow, pump_power, system, storage, well


def run(supply, modules=1.0, **changes):
    power, demand, flow, pump_power, system, storage, well = supply
    if "usable_capacity" in changes:
        system = replace(system, usable_capacity=changes.pop("usable_capacity"))
    storage = changes.pop("storage_volume", storage)
    return battery_year.run_battery_year(
        power * modules,
        demand,
        flow,
        pump_power,
        system,
        storage,
        well_volume_per_step=well,
        **changes,
    )


def close(unmet, other):
    """At most as much, to round-off."""
    return np.all(unmet <= other + 1e-9)


@modest
@given(supplies(), st.integers(0, 12))
def test_balances_close_and_days_are_days(supply, modules):
    year = run(supply, modules)
    _, demand, flow, _, system, storage, well = supply
    assert year.energy_balance_error < 1e-9
    assert year.water_balance_error < 1e-9
    assert 0 <= year.longest_short_run <= year.days_short <= DAYS
    assert (year.longest_short_run > 0) == (year.days_short > 0)
    assert np.all(year.pumped >= 0.0)
    assert np.all(year.pumped <= min(flow * HOUR, well) * (1 + 1e-12))
    assert np.all((year.state_of_charge >= 0.0) & (year.state_of_charge <= system.usable_capacity))
    assert np.all((year.stored_volume >= 0.0) & (year.stored_volume <= storage + 1e-12))
    assert np.all(year.spilled >= 0.0)
    assert np.all((year.unmet >= 0.0) & close(year.unmet, supply_year.by_day(demand, HOUR)))
    assert year.volume_wanted == pytest.approx(year.volume_delivered + year.volume_unmet)
    wanted = np.sum(np.broadcast_to(system.other_load, demand.shape)) * HOUR
    assert year.energy_other + year.energy_other_unmet == pytest.approx(wanted)
    assert year.energy_lost >= -1e-9 * year.energy_array


@modest
@given(supplies(), st.integers(0, 12), st.integers(1, 8))
def test_more_modules_never_mean_less_water(supply, modules, more):
    few, many = run(supply, modules), run(supply, modules + more)
    assert close(many.unmet, few.unmet)
    assert many.days_short <= few.days_short


@modest
@given(supplies(), st.integers(0, 12), st.floats(1e3, 1e8))
def test_a_bigger_battery_never_means_less_water(supply, modules, more):
    small = run(supply, modules)
    large = run(supply, modules, usable_capacity=supply[4].usable_capacity + more)
    assert close(large.unmet, small.unmet)
    assert large.days_short <= small.days_short


@modest
@given(supplies(covers_peaks=True), st.integers(0, 12), st.floats(0.01, 5.0))
def test_more_storage_never_means_less_water_where_the_pump_covers_the_peaks(
    supply, modules, more
):
    small, large = run(supply, modules), run(supply, modules, storage_volume=supply[5] + more)
    assert large.days_short <= small.days_short
    assert large.volume_unmet <= small.volume_unmet + 1e-9


def test_more_storage_may_cost_a_later_day_where_the_pump_does_not_cover_a_peak():
    """The exception that the docstring tells of, by hand: no sun, a battery of 2 m3, the pump
    gives 1 m3 an hour. Wanted are 3 m3 in one hour and, on the next day, 1 m3."""
    demand = np.zeros(48)
    demand[10], demand[34] = 3.0, 1.0
    flow, power = 1.0 / HOUR, 1000.0
    system = battery_year.BatterySystem(2 * power * HOUR, 1.0, 1.0, 1.0)

    def days_short(storage):
        year = battery_year.run_battery_year(
            np.zeros(48), demand, flow, power, system, storage, start_volume=0.0
        )
        return year.unmet.tolist()

    assert days_short(0.0) == [2.0, 0.0]
    assert days_short(2.0) == [1.0, 1.0]


@modest
@given(supplies())
def test_without_sun_every_day_is_short_once_all_is_empty(supply):
    year = run(supply, 0, start_charge=0.0, start_volume=0.0)
    assert year.days_short == np.sum(supply_year.by_day(supply[1], HOUR) > 0.0)
    assert year.volume_pumped <= 1e-12
    full = run(supply, 0, start_charge=supply[4].usable_capacity, start_volume=supply[5])
    price = supply[3] / (supply[4].inverter_efficiency * supply[2])
    most = supply[5] + supply[4].usable_capacity * supply[4].discharge_efficiency / price
    assert full.volume_delivered <= most * (1 + 1e-9)


@given(supplies(), st.integers(2, 6))
@settings(max_examples=25, deadline=None)
def test_a_year_that_repeats_repeats(supply, modules):
    """A settled start is one: the same week twice gives the same second week, and as balance."""
    power, demand, flow, pump_power, system, storage, well = supply
    once = run(supply, modules)
    if abs(once.energy_change) > 1e-6 or abs(once.volume_change) > 1e-9:
        return  # one pass from full did not settle it; the second starts where that ended
    twice = battery_year.run_battery_year(
        np.tile(power * modules, 2),
        np.tile(demand, 2),
        flow,
        pump_power,
        replace(system, other_load=np.tile(system.other_load, 2)),
        storage,
        well_volume_per_step=well,
    )
    np.testing.assert_allclose(twice.unmet, np.tile(once.unmet, 2), atol=1e-6)


curves = st.builds(
    lambda powers, flows: storage_year.PowerCurve(
        tuple(np.cumsum(powers).tolist()), tuple(np.cumsum(flows).tolist())
    ),
    st.lists(st.floats(5.0, 100.0), min_size=3, max_size=3),
    st.lists(st.floats(1e-6, 3e-4), min_size=3, max_size=3),
)


@modest
@given(supplies(), curves, st.floats(0.0, 5.0), st.floats(0.5, 1.0), st.floats(0.0, 200.0))
def test_a_direct_pump_closes_and_gains_by_sun_and_storage(
    supply, curve, storage, efficiency, threshold
):
    power, demand, *_, well = supply

    def direct(modules, volume):
        return storage_year.run_direct_year(
            power * modules, demand, curve, volume, efficiency, threshold, HOUR, well
        )

    year, sunny, roomy = direct(1, storage), direct(2, storage), direct(1, storage + 0.7)
    for each in (year, sunny, roomy):
        assert each.energy_balance_error < 1e-9
        assert each.water_balance_error < 1e-9
        assert 0 <= each.days_short <= DAYS
        assert np.all(each.spilled >= -1e-6)
    assert close(sunny.unmet, year.unmet)
    assert close(roomy.unmet, year.unmet)
    dark = storage_year.run_direct_year(
        0.0 * power, demand, curve, storage, efficiency, threshold, start_volume=0.0
    )
    assert dark.volume_pumped == 0.0
    assert dark.days_short == DAYS


@given(st.lists(supplies(), min_size=1, max_size=1), st.integers(0, 2**32 - 1))
@settings(max_examples=10, deadline=None)
def test_side_by_side_is_one_by_one(supply, seed):
    power, demand, flow, pump_power, system, _, well = supply[0]
    random = np.random.default_rng(seed)
    pumps = [
        ranking.PumpChoice(f"pump {number}", flow * part, pump_power, well)
        for number, part in enumerate((1.0, 0.6, 1.7))
    ]
    designs = [
        ranking.Design(
            pumps[random.integers(3)],
            int(random.integers(0, 15)),
            float(random.choice([0.0, 1e6, 2e7])),
            float(random.choice([0.0, 0.4])),
        )
        for _ in range(ranking.SIDE_BY_SIDE + 5)
    ]
    with mock.patch.object(stepper, "compiled", return_value=None):
        together = ranking.run_designs(designs, power, demand, system)
    for design, row in zip(designs, together, strict=True):
        (alone,) = ranking.run_designs([design], power, demand, system)
        np.testing.assert_allclose(row, alone, rtol=1e-9, atol=1e-12)


@given(st.lists(st.integers(0, 365), min_size=1, max_size=40), st.integers(1, 9))
@example([0] * 40, 9)
@example([365] * 39 + [0], 9)
def test_the_smallest_array_is_the_first_that_does(falling, probes):
    days, rounds = sorted(falling, reverse=True), []
    found = ranking.smallest_array(lambda count: days[count - 1], len(days))

    def days_short(rows, counts):
        rounds.append(counts)
        return [days[count - 1] for count in counts]

    probed = ranking.smallest_arrays(days_short, 1, len(days), probes=probes)
    assert probed == (found,)
    # Beside the first look each round leaves one of as many parts as it has probes, and one.
    parts = probes + 1
    assert len(rounds) <= 1 + next(k for k in range(9) if parts**k >= len(days))
    for level, modules in zip((0, 3, 10), found, strict=True):
        first = next((k + 1 for k, short in enumerate(days) if short <= level), None)
        assert modules == first


@given(supplies(), st.booleans())
@settings(max_examples=10, deadline=None)
def test_the_smallest_arrays_of_pumps_and_batteries_do_and_smaller_ones_do_not(supply, plain):
    power, demand, flow, pump_power, system, storage, _ = supply
    pumps = [
        ranking.PumpChoice("frugal", flow, 0.5 * pump_power),
        ranking.PumpChoice("strong", 2 * flow, 2 * pump_power),
    ]
    told = []
    compiled = None if plain else stepper.compiled(stepper.step_chain)
    with mock.patch.object(stepper, "compiled", return_value=compiled):
        found = ranking.smallest_arrays_of(
            pumps,
            (1e6, 2e7),
            20,
            power,
            demand,
            system,
            storage,
            allowed=(0, 2),
            progress=lambda done, total: told.append((done, total)),
        )
    designs = [
        ranking.Design(pump, modules, capacity, storage)
        for pump in pumps
        for modules in range(1, 21)
        for capacity in (1e6, 2e7)
    ]
    unmet = ranking.run_designs(designs, power, demand, system)
    short = unmet > 1e-6 * demand.reshape(-1, 24).sum(axis=1)
    days = {
        (design.pump.name, design.usable_capacity, design.modules): row.sum()
        for design, row in zip(designs, short, strict=True)
    }
    pairs = [(pump.name, capacity) for pump in pumps for capacity in (1e6, 2e7)]
    for pair, answers in zip(pairs, found, strict=True):
        for level, modules in zip((0, 2), answers, strict=True):
            enough = [count for count in range(1, 21) if days[*pair, count] <= level]
            assert modules == (min(enough) if enough else None)
    assert [done for done, _ in told] == list(range(1, len(told) + 1))
    assert len(told) <= told[0][1] <= 6


@pytest.mark.parametrize("machine_code", [None, len])
def test_a_stepper_is_compiled_where_there_is_machine_code(machine_code, monkeypatch):
    monkeypatch.setattr(stepper, "compiled", lambda function: machine_code)
    assert stepper.is_compiled() == (machine_code is len)


@pytest.mark.parametrize(
    ("batteries", "is_compiled", "probes"),
    [(5, False, 1), (6, False, 21), (128, False, 1), (200, False, 1), (6, True, 1)],
)
def test_designs_side_by_side_fill_a_batch_with_probes(
    batteries, is_compiled, probes, monkeypatch
):
    """Two levels each: 12 designs and more are run side by side, up to 256 at a time."""
    asked = []
    monkeypatch.setattr(ranking, "is_compiled", lambda: is_compiled)
    monkeypatch.setattr(ranking, "smallest_arrays", lambda *given: asked.append(given))
    ranking.smallest_arrays_of(
        [ranking.PumpChoice("one", 1e-4, 300.0)], (1e6,) * batteries, 20, np.ones(24),
        np.ones(24), battery_year.BatterySystem(1e6, 1.0, 1.0, 0.9), allowed=(0, 2),
    )  # fmt: skip
    ((_, pairs, most, allowed, found),) = asked
    assert (pairs, most, allowed, found) == (batteries, 20, (0, 2), probes)


@given(st.lists(st.booleans(), min_size=1, max_size=40), st.booleans())
def test_the_longest_run_is_that_of_the_words(short, settled):
    """The days written as letters, the year twice where its turn joins them; of several designs
    side by side each has its own."""
    designs = short, short[::-1], [not day for day in short]
    longest = []
    for each in designs:
        letters = "".join("s" if day else "-" for day in each) * (2 if settled else 1)
        longest.append(min(max(len(word) for word in letters.split("-")), len(each)))
    assert supply_year.longest_run(np.array(short), settled) == longest[0]
    assert supply_year.longest_run(np.transpose(designs), settled).tolist() == longest


def test_the_inverter_carries_pump_and_other_load_or_the_pump_stands():
    """Sun for both all day; the other load leaves the pump room in the second half only."""
    other = np.where(np.arange(24) < 12, 151.0, 150.0)
    system = battery_year.BatterySystem(
        0.0, 1.0, 1.0, 1.0, inverter_rating=400.0, other_load=other
    )
    year = battery_year.run_battery_year(
        np.full(24, 1000.0), np.full(24, 0.1), 1e-4, 250.0, system, 5.0, start_volume=0.0
    )
    assert np.all(year.pumped[:12] == 0.0)
    np.testing.assert_allclose(year.pumped[12:], 0.36)
    assert year.energy_other_unmet == 0.0


def test_a_direct_pump_waits_for_its_threshold_and_takes_no_more_than_its_last_power():
    power = np.zeros(24)
    power[8:14] = [99.0, 100.0, 124.0, 125.0, 500.0, 800.0]
    curve = storage_year.PowerCurve((50.0, 400.0), (1e-5, 3.6e-4))
    year = storage_year.run_direct_year(
        power, np.zeros(24), curve, 10.0, 0.8, pump_input_threshold=100.0, start_volume=0.0
    )
    by_hand = np.array([0.0, 0.0, 0.0, 6e-5, 3.6e-4, 3.6e-4]) * HOUR
    np.testing.assert_allclose(year.pumped[8:14], by_hand, atol=1e-12)
    assert year.energy_pump == pytest.approx((100.0 + 400.0 + 400.0) * HOUR)
    assert year.energy_lost == pytest.approx((25.0 + 100.0 + 100.0) * HOUR)
    assert year.spilled[13] == pytest.approx(300.0 * HOUR)


@pytest.mark.parametrize(
    ("head", "rise", "powers", "flows"),
    [
        # Midway between the blocks: where the higher one begins, the lower one gives its half.
        (15.0, 0.0, (120.0, 140.0, 200.0, 240.0, 300.0), (0.7e-4, 0.9e-4, 2.1e-4, 2.9e-4, 4.5e-4)),
        # Below the least head no more than there.
        (5.0, 0.0, (100.0, 140.0, 200.0, 240.0, 300.0), (1e-4, 1.8e-4, 3e-4, 3.8e-4, 5e-4)),
        # Each 0.1 l/s more asks 2 m more, for which 0.02 l/s are lost at 300 W.
        (10.0, 2e4, (300.0,), (5e-4 / 1.2,)),
    ],
)
def test_between_two_heads_of_a_makers_table_by_hand(head, rise, powers, flows):
    """Made up; in straight lines between the powers and between the heads."""
    found = storage_year.table_curve(
        (10.0, 20.0),
        ((100.0, 200.0, 300.0), (140.0, 240.0, 300.0)),
        ((1e-4, 3e-4, 5e-4), (0.0, 2e-4, 4e-4)),
        lambda flow: head + rise * flow,
    )
    assert found.power[-len(powers) :] == pytest.approx(powers)
    assert found.flow[-len(flows) :] == pytest.approx(flows)
    assert len(found.power) == 5


def test_a_day_of_sun_and_a_night_on_the_battery_by_hand():
    """180 W of pump and 90 W of other load through an inverter of 0.9 that idles at 10 W: 310 W.

    Of 1000 W by day 690 W go into the battery, 0.8 of them are stored; by night 620 W come out of
    it, of which half is lost.
    """
    system = battery_year.BatterySystem(1e8, 0.8, 0.5, 0.9, 10.0, other_load=90.0)
    sun = np.repeat([1000.0, 0.0], 12)
    year = battery_year.run_battery_year(
        sun, np.full(24, 0.36), 1e-4, 180.0, system, start_charge=2e7, start_volume=0.0
    )
    half = 12.0 * HOUR
    assert year.days_short == 0
    assert year.volume_pumped == pytest.approx(24 * 0.36)
    assert year.energy_array == pytest.approx(1000.0 * half)
    assert year.energy_spilled == pytest.approx(0.0, abs=1.0)
    assert year.energy_pump == pytest.approx(180.0 * 2.0 * half)
    assert year.energy_other == pytest.approx(90.0 * 2.0 * half)
    assert year.energy_other_unmet == pytest.approx(0.0, abs=1.0)
    lost = 2.0 * (10.0 + 10.0 + 20.0) + 0.2 * 690.0 + 310.0
    assert year.energy_lost == pytest.approx(lost * half)
    assert year.energy_change == pytest.approx((0.8 * 690.0 - 620.0) * half)
    assert year.state_of_charge[11] == pytest.approx(2e7 + 0.8 * 690.0 * half)
    # From an empty battery without sun nobody is given anything; idling and other load as well.
    dark = battery_year.run_battery_year(
        np.zeros(24), np.full(24, 0.36), 1e-4, 180.0, system, start_charge=0.0
    )
    assert dark.volume_unmet == pytest.approx(24 * 0.36)
    assert (dark.energy_other, dark.energy_lost) == (0.0, 0.0)
    assert dark.energy_other_unmet == pytest.approx(90.0 * 2.0 * half)


@pytest.mark.parametrize(
    ("flows", "powers", "lift", "best"),
    [
        # From shut-off: the best of the points is the last, 9.80665 * 40 of 600 W.
        ((0.0, 5e-4, 1e-3), (400.0, 500.0, 600.0), 50.0, 0.980665 * 400.0 / 600.0),
        # From half the flow on: the best is the first, 9.80665 * 30 of 300 W, twice the others.
        ((5e-4, 7.5e-4, 1e-3), (300.0, 900.0, 1500.0), 45.0, 0.980665),
        # A sheet on which more comes out than goes in counts as one without a loss.
        ((5e-4, 7.5e-4, 1e-3), (100.0, 1500.0, 2900.0), 45.0, 1.0),
    ],
)
def test_a_slowed_pump_between_its_least_speed_and_the_datasheets_by_hand(
    flows, powers, lift, best
):
    """A head of 80 m less 40 m for each litre a second, and a power in a straight line, both moved
    by the affinity laws; a slowed pump loses (1 - efficiency) / speed^0.1, of half its best
    efficiency at least (Sarbu and Borza, 1998, second hand)."""
    curve = pump.HeadCurve(flows, tuple(80.0 - 4e4 * flow for flow in flows))
    found = storage_year.power_curve(curve, flows, powers, lambda _: lift, 1000.0, 3)
    slope = (powers[-1] - powers[0]) / (flows[-1] - flows[0])
    least = math.sqrt(lift / curve.shut_off_head)
    for place, speed in enumerate((least, 0.5 * (1.0 + least), 1.0)):
        flow = (80.0 * speed**2 - lift) / (4e4 * speed)
        full = powers[0] + slope * (flow / speed - flows[0])
        water = 9806.65 * (flow / speed) * (80.0 - 4e4 * flow / speed)
        efficiency = min(max(water / full, 0.5 * best), 1.0)
        slowed = 1.0 - (1.0 - efficiency) / speed**0.1
        # The least speed is left out by a millionth, of which the flow is a few parts.
        assert found.flow[place] == pytest.approx(flow, rel=1e-5, abs=1e-8)
        power = full * speed**3 * efficiency / slowed
        assert found.power[place] == pytest.approx(power, rel=1e-4)


def test_the_well_bounds_both_supplies_hour_by_hour():
    well = np.linspace(0.0, 0.4, 24)
    curve = storage_year.PowerCurve((100.0,), (1e-4,))
    direct = storage_year.run_direct_year(
        np.full(24, 500.0), np.full(24, 1.0), curve, 0.0, 1.0, well_volume_per_step=well
    )
    battery = battery_year.run_battery_year(
        np.full(24, 500.0), np.full(24, 1.0), 1e-4, 100.0, SYSTEM, well_volume_per_step=well
    )
    for year in (direct, battery):
        np.testing.assert_allclose(year.pumped, np.minimum(well, 0.36))


def test_modules_by_hand_carry_the_energy():
    for modules in range(1, 30):
        energy = modules * 300.0 * 4.0 * 0.77 * HOUR
        assert rule_of_thumb.rule_of_thumb_array(energy, 4.0, 0.77, 300.0) == modules
        assert rule_of_thumb.rule_of_thumb_array(1.001 * energy, 4.0, 0.77, 300.0) == modules + 1


SYSTEM = battery_year.BatterySystem(1e6, 0.9, 0.9, 0.9)
DAY_OF_POWER, DAY_OF_DEMAND = np.full(24, 100.0), np.full(24, 0.01)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"array_power": np.full(23, 1.0)}, "array power has the shape"),
        ({"array_power": np.full(24, np.nan)}, "array power is nan W"),
        ({"water_demand": np.full(24, -0.1)}, "water demand is -0.1 m3"),
        ({"water_demand": np.full(25, 0.1)}, "not one or more whole days"),
        ({"step": 5000.0}, "whole part of a day"),
        ({"pump_flow": 0.0}, "pump flow is 0 m3/s"),
        ({"pump_power": -1.0}, "pump power is -1 W"),
        ({"storage_volume": -1.0}, "storage volume is -1 m3"),
        ({"well_volume_per_step": -1.0}, "well's volume a step is -1 m3"),
        ({"start_charge": 2e6}, "charge at the start is 2e"),
        ({"start_volume": 0.1}, "volume at the start is 0.1 m3"),
    ],
)
def test_what_cannot_be_is_refused(changes, message):
    arguments = {
        "array_power": DAY_OF_POWER,
        "water_demand": DAY_OF_DEMAND,
        "pump_flow": 1e-4,
        "pump_power": 100.0,
        "system": SYSTEM,
    }
    with pytest.raises(OutOfRange, match=message):
        battery_year.run_battery_year(**(arguments | changes))


@pytest.mark.parametrize(
    ("power", "flow", "message"),
    [
        ((), (), "one or more points"),
        ((10.0, 20.0), (1e-4,), "2 powers and 1 flows"),
        ((0.0, 20.0), (0.0, 1e-4), "first power of the power curve is 0 W"),
        ((20.0, 10.0), (0.0, 1e-4), "powers of a power curve must rise"),
        ((10.0, 20.0, 30.0), (1e-4, 5e-5, 2e-4), "flows of a power curve must not fall"),
        ((10.0, 20.0), (0.0, 0.0), "last flow of the power curve is 0"),
    ],
)
def test_a_power_curve_that_cannot_be_is_refused(power, flow, message):
    with pytest.raises(OutOfRange, match=message):
        storage_year.PowerCurve(power, flow)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"charge_efficiency": 0.0}, "charge efficiency is 0"),
        ({"discharge_efficiency": 1.1}, "discharge efficiency is 1.1"),
        ({"inverter_efficiency": math.nan}, "inverter efficiency is nan"),
        ({"usable_capacity": -1.0}, "usable capacity is -1 J"),
        ({"inverter_rating": 50.0, "other_load": 60.0}, "other load is 60 W, allowed is 0 to 50"),
    ],
)
def test_a_system_that_cannot_be_is_refused(changes, message):
    with pytest.raises(OutOfRange, match=message):
        replace(SYSTEM, **changes)


@given(st.floats(0.1, 1e9), st.floats(0.1, 1e9), st.floats(-1e9, 1e9), st.floats(0.0, 2e9))
def test_what_does_not_close_is_told_over_the_largest_part(comes, first, second, scale):
    found = supply_year.gap(scale, comes, (first, second))
    largest = max(scale, comes, first, abs(second))
    assert found == pytest.approx(abs(comes - first - second) / largest, abs=1e-12)
    assert supply_year.gap(0.0, comes, (comes,)) == 0.0
    assert supply_year.gap(0.0, 0.0, (0.0,)) == 0.0
