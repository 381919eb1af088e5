"""The year of a pump on sun against an optimiser, a mass curve, an interpolator and a compiler."""

from __future__ import annotations

import sys
import types

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator, RegularGridInterpolator
from scipy.optimize import brentq, linprog
from scipy.sparse import coo_matrix

from wellsolar.errors import OutOfRange
from wellsolar.physics import compiled
from wellsolar.physics.hydraulics import pump
from wellsolar.physics.supply import battery, stepper
from wellsolar.physics.supply import storage as storage_year
from wellsolar.physics.supply import year as supply_year

HOUR = 3600.0
PUMP_FLOW, PUMP_POWER = 3e-4, 420.0


def hourly(days, seed, rated=500.0):
    """Array power [W] with cloudy and clear days, and a demand [m3] with two peaks a day."""
    random = np.random.default_rng(seed)
    hour = np.arange(24 * days) % 24
    shape = np.clip(np.sin((hour - 6) / 12 * np.pi), 0.0, None)
    power = rated * shape * np.repeat(random.uniform(0.05, 1.0, days), 24)
    demand = np.where((hour == 7) | (hour == 19), 0.6, 0.05) * random.uniform(0.5, 1.5, hour.size)
    return power, demand


def least_unmet(power, demand, capacity, storage, charge, stored, efficiencies):
    """Least water unmet that any plan of running and charging can reach, by linear programming.

    Variables of each hour: volume pumped, volume delivered, energy from the sun, into the
    battery, out of the battery, water and energy at the end.
    """
    charging, discharging, inverter = efficiencies
    n = demand.size
    price = PUMP_POWER / (inverter * PUMP_FLOW) / HOUR  # Wh for each cubic metre
    pumped, given, direct, into, out, water, energy = (np.arange(n) + n * k for k in range(7))
    rows, columns, values, right = [], [], [], []

    def equation(terms, constant):
        for column, value in terms:
            rows.append(len(right))
            columns.append(column)
            values.append(value)
        right.append(constant)

    for t in range(n):
        before = [(water[t - 1], -1.0)] if t else []
        equation(
            [(water[t], 1.0), (pumped[t], -1.0), (given[t], 1.0), *before],
            0.0 if t else stored,
        )
        before = [(energy[t - 1], -1.0)] if t else []
        equation(
            [(energy[t], 1.0), (into[t], -charging), (out[t], 1.0), *before],
            0.0 if t else charge,
        )
        equation([(direct[t], 1.0), (out[t], discharging), (pumped[t], -price)], 0.0)
    sun = coo_matrix(
        (np.ones(2 * n), (np.tile(np.arange(n), 2), np.r_[direct, into])), shape=(n, 7 * n)
    )
    bounds = [(0.0, PUMP_FLOW * HOUR)] * n + [(0.0, each) for each in demand]
    bounds += [(0.0, None)] * (3 * n) + [(0.0, storage)] * n + [(0.0, capacity)] * n
    cost = np.zeros(7 * n)
    cost[given] = -1.0
    best = linprog(
        cost,
        A_ub=sun,
        b_ub=power,
        A_eq=coo_matrix((values, (rows, columns)), shape=(len(right), 7 * n)),
        b_eq=right,
        bounds=bounds,
        method="highs",
    )
    assert best.status == 0
    return demand.sum() + best.fun


@pytest.mark.parametrize(
    ("efficiencies", "storage"),
    [((1.0, 1.0, 1.0), 0.0), ((1.0, 1.0, 0.9), 0.8), ((0.9, 0.95, 0.88), 0.0)],
)
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_no_plan_gives_more_water(efficiencies, storage, seed):
    """Running whenever there is room is the best plan where storing energy costs nothing, and,
    whatever it costs, where there is no tank to choose the hour for."""
    power, demand = hourly(8, seed, rated=150.0)
    system = battery.BatterySystem(1500.0 * HOUR, *efficiencies)
    year = battery.run_battery_year(
        power,
        demand,
        PUMP_FLOW,
        PUMP_POWER,
        system,
        storage,
        start_charge=600.0 * HOUR,
        start_volume=0.5 * storage,
    )
    best = least_unmet(power, demand, 1500.0, storage, 600.0, 0.5 * storage, efficiencies)
    assert 0.01 < year.volume_unmet / demand.sum() < 0.9
    assert year.volume_unmet == pytest.approx(best, rel=1e-7)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_lossy_battery_costs_little_against_foresight(seed):
    """With tank and losses a planner who knows the weather does better, but not by much."""
    power, demand = hourly(8, seed, rated=150.0)
    efficiencies = (0.9, 0.95, 0.88)
    system = battery.BatterySystem(1500.0 * HOUR, *efficiencies)
    year = battery.run_battery_year(
        power, demand, PUMP_FLOW, PUMP_POWER, system, 0.8, start_charge=0.0, start_volume=0.0
    )
    best = least_unmet(power, demand, 1500.0, 0.8, 0.0, 0.0, efficiencies)
    assert best - 1e-9 <= year.volume_unmet <= best + 0.05 * demand.sum()


@pytest.mark.parametrize("seed", range(5))
def test_the_least_storage_is_that_of_the_mass_curve(seed):
    """Rippl (1883): greatest fall of the running sum of inflow less demand, the record twice."""
    power, demand = hourly(30, seed)
    curve = storage_year.PowerCurve((60.0, 150.0, 450.0), (0.0, 2e-4, 4e-4))
    inflow = np.interp(power, curve.power, curve.flow, left=0.0) * HOUR
    demand *= 0.9 * inflow.sum() / demand.sum()
    running = np.concatenate([[0.0], np.cumsum(np.tile(inflow - demand, 2))])
    needed = float(np.max(np.maximum.accumulate(running) - running))

    def days_short(storage):
        return storage_year.run_direct_year(power, demand, curve, storage, 1.0).days_short

    assert days_short(needed * (1 + 1e-9)) == 0
    assert days_short(needed - 1e-4 * demand.mean() * 24) > 0


def test_power_curve_is_affinity_solved_by_other_means():
    flows, heads = (0.0, 2e-4, 4e-4, 6e-4), (60.0, 55.0, 44.0, 25.0)
    powers = (180.0, 260.0, 330.0, 380.0)
    made = storage_year.power_curve(
        pump.HeadCurve(flows, heads), flows, powers, lambda q: 30.0 + 2e7 * q * q, 999.0, points=7
    )
    head_at, power_at = PchipInterpolator(flows, heads), PchipInterpolator(flows, powers)
    speeds = np.linspace(np.sqrt(30.0 / 60.0), 1.0, 7)
    for speed, power, flow in list(zip(speeds, made.power, made.flow, strict=True))[1:]:

        def surplus(q, speed=speed):
            return speed**2 * head_at(q / speed) - 30.0 - 2e7 * q * q

        root = brentq(surplus, 1e-9, 6e-4 * speed, xtol=1e-16)
        assert flow == pytest.approx(root, rel=1e-5)
        full = float(power_at(root / speed))
        efficiency = 999.0 * 9.80665 * root / speed * float(head_at(root / speed)) / full
        # Sarbu and Borza's loss of a slowed pump, no greater below half of the best efficiency.
        efficiency = max(efficiency, 0.5 * 999.0 * 9.80665 * 4e-4 * 44.0 / 330.0)
        slowed = 1.0 - (1.0 - efficiency) / speed**0.1
        assert power == pytest.approx(full * speed**3 * efficiency / slowed, rel=1e-5)
    assert made.flow[0] < 2e-6
    assert made.power[0] > 180.0 * 0.5**1.5


def test_a_makers_table_is_interpolated_as_scipy_does():
    """On a whole grid of heads and powers, with a system that asks for more head at more flow."""
    heads, powers = (20.0, 35.0, 50.0), (150.0, 300.0, 600.0, 900.0)
    flows = np.array(
        [[1e-4, 3e-4, 5e-4, 6e-4], [5e-5, 2e-4, 4e-4, 5e-4], [1e-5, 1e-4, 2e-4, 3e-4]]
    )
    grid = RegularGridInterpolator((heads, powers), flows)

    def system_head(flow):
        return 24.0 + 6e7 * flow**2

    made = storage_year.table_curve(
        heads, (powers,) * 3, tuple(map(tuple, flows.tolist())), system_head
    )
    assert made.power == powers
    for power, flow in zip(powers, made.flow, strict=True):

        def surplus(each, power=power):
            return float(grid((system_head(each), power))) - each

        assert flow == pytest.approx(brentq(surplus, 0.0, 5.5e-4), rel=1e-9)
    assert made.flow_at(149.0) == 0.0

    def at_head(static):
        return storage_year.table_curve(
            heads, (powers,) * 3, tuple(map(tuple, flows.tolist())), lambda q: static
        )

    # Below its least head no more than there, above its greatest nothing is made up.
    assert at_head(5.0).flow == pytest.approx(flows[0], rel=1e-9)
    with pytest.raises(OutOfRange, match="maker's table"):
        at_head(50.1)


@pytest.mark.parametrize(("slope", "flow"), [(5000.0, 9.2e-4), (5600.0, None), (20000.0, None)])
def test_a_makers_table_ends_where_its_last_head_still_gives_more_than_is_asked(slope, flow):
    """By hand: 1 l/s at 8 m and 0.9 l/s at 10 m, against 5 m and so much more for each m3/s.

    At 0.9 l/s the last two ask for 10.04 m and 23 m, where the table gives no flow any more; at
    its least power the pump turns without water.
    """

    def made():
        return storage_year.table_curve(
            (8.0, 10.0),
            ((100.0, 200.0),) * 2,
            ((0.0, 1e-3), (0.0, 9e-4)),
            lambda q: 5.0 + slope * q,
        )

    if flow is None:
        asked = f"{5.0 + slope * 9e-4:g}"
        with pytest.raises(OutOfRange, match=f"asked of the maker's table is {asked} m, allowed"):
            made()
    else:
        assert made().flow == pytest.approx((0.0, flow))


LINKS = (
    # A plain tank, where each step is one sum, and all links at once.
    ((1e6, 0.93, 0.96, 2e6, 0.0), (0.8, 0.8, 0.8, 0.0), (0.0, np.inf)),
    ((1e6, 0.93, 0.96, 2e6, 4e5), (0.8, 0.5, 0.75, 0.1), (5e-4, 4e-4)),
)
WELLS = ((0.0,) * 5, (0.018, 2e-5, 9.0, 4.0, 3e4))


def columns_of(run, kind):
    power, demand = hourly(60, 4, rated=500.0)
    system = battery.BatterySystem(1e6, 0.93, 0.96, 0.9, 10.0, 2000.0, 25.0)
    plan = battery.plan_steps(power, demand, PUMP_FLOW, PUMP_POWER, system, HOUR, 0.7)
    given = [plan.array_energy, plan.first_need, plan.water_demand, plan.pump_volume / HOUR]
    found = []
    for links, well in zip(LINKS, WELLS, strict=True):
        outputs = [kind(np.zeros(demand.size)) for _ in stepper.Columns._fields]
        state = kind(np.array([1e6, 0.2, 0.0, 1.0, -1.0, -1.0]))
        pumps, casings = kind(np.array([links[0][3], *well[2:], 0.0])), kind(np.array(well[:2]))
        waits, levels, work = kind(np.array([-1.0])), kind(np.zeros(1)), kind(np.zeros(3))
        given_now = (kind(each) for each in given)
        run(*given_now, *outputs, state, waits, levels, pumps, casings, work, HOUR, *links, 0.0)
        found += [np.array(each) for each in (*outputs, state, waits)]
    return found


def test_the_compiled_kernel_gives_the_same_bits():
    pytest.importorskip("numba")
    machine = compiled.compiled(stepper.step_chain)
    assert machine is not None
    plain = columns_of(stepper.step_chain, lambda values: np.asarray(values).tolist())
    for ours, theirs in zip(plain, columns_of(machine, np.array), strict=True):
        np.testing.assert_array_equal(ours, theirs)


def test_arrays_do_as_lists_where_nothing_is_compiled():
    lists = columns_of(stepper.step_chain, lambda values: np.asarray(values).tolist())
    for ours, theirs in zip(lists, columns_of(stepper.step_chain, np.array), strict=True):
        np.testing.assert_array_equal(ours, theirs)


def no_place(**options):
    raise RuntimeError("cannot cache function: no locator available")


@pytest.mark.parametrize(
    "library", [None, types.SimpleNamespace(njit=no_place)], ids=["not installed", "no cache"]
)
def test_nothing_is_compiled_where_it_cannot_be(monkeypatch, library):
    monkeypatch.setitem(sys.modules, "numba", library)
    assert compiled.compiled.__wrapped__(stepper.step_chain) is None


def test_the_mark_of_a_kernel_follows_the_constants_that_it_reads():
    """What is kept on disk is found by that mark: it must not be that of another constant, nor of
    one that a function called by the kernel reads."""
    source = "def inner():\n    return WEIGHT\ndef outer():\n    return inner()\n"
    marks = []
    for weight in (1.0, 1.0, 1.05, (1.0, 2.0)):
        there = {"WEIGHT": weight}
        exec(source, there)
        marks.append(compiled._digest(there["outer"]))
    assert marks[0] == marks[1]
    assert len(set(marks)) == 3


def test_a_failing_compilation_falls_back_to_the_kernel(monkeypatch):
    def broken(*arguments):
        raise TypeError("cannot determine the type")

    library = types.SimpleNamespace(njit=lambda cache: lambda kernel: broken)
    monkeypatch.setitem(sys.modules, "numba", library)
    run = compiled.compiled.__wrapped__(stepper.step_chain)
    for ours, theirs in zip(
        columns_of(run, np.array), columns_of(stepper.step_chain, np.array), strict=True
    ):
        np.testing.assert_array_equal(ours, theirs)


@pytest.mark.parametrize(
    ("scale", "comes", "goes", "error"),
    [
        # What is left of 4 after 1 and 2.5 is 0.5: of the largest part, or of a larger scale.
        (0.0, 4.0, (1.0, 2.5), 0.125), (10.0, 4.0, (1.0, 2.5), 0.05),
        (0.0, 1.0, (-8.0, 7.0), 0.25), (0.0, 1.0, (5.0, -4.0), 0.0), (0.0, 0.0, (0.0,), 0.0),
    ],
)  # fmt: skip
def test_what_does_not_close_is_a_part_of_the_largest(scale, comes, goes, error):
    assert supply_year.gap(scale, comes, goes) == pytest.approx(error)
