"""Wells in time against scipy: its integrator on the same well, its quadrature, its curve fit."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import quad, solve_ivp
from scipy.optimize import curve_fit
from scipy.sparse import diags
from scipy.special import exp1, j1, y1

from tests.references.steady_pump import pumped_day, time_to_level
from tests.references.theis import theis_drawdown, wall_response
from wellsolar.constants import DAY
from wellsolar.physics.well import casing_balance, pumped, theis
from wellsolar.physics.well import pumping_tests as well_tests
from wellsolar.physics.well.casing_balance import AquiferWell
from wellsolar.physics.well.level_in_time import (
    WellModel,
    level_through,
    sustained_flow,
)

CASING = 0.25 * math.pi * 0.1524**2 - 0.001
"""A casing of 6 in with a drop pipe and its cable in it [m2]."""

STATIC = 25.0
MINUTES = [0.17, 0.5, 1, 2, 5, 10, 20, 30, 31, 40, 60, 120, 121, 133, 150, 152, 167, 333, 500, 520]
MOMENTS = np.array([60.0 * each for each in MINUTES] + [40_000.0, 60_000.0, DAY])
CHANGES = [0.0, 1800.0, 7200.0, 9000.0, 30_000.0, DAY]
PARTS = [1.0, 0.0, 1.5, 0.0, 0.5]


def steady_inflow(drawdown: float, specific_capacity: float, well_loss: float) -> float:
    """Inflow at which the two losses make up the drawdown, by the textbook's root."""
    if well_loss == 0.0:
        return specific_capacity * drawdown
    linear = 1.0 / specific_capacity
    return (math.sqrt(linear**2 + 4.0 * well_loss * drawdown) - linear) / (2.0 * well_loss)


def by_integration(
    specific_capacity: float, well_loss: float, flows: Sequence[float]
) -> NDArray[np.float64]:
    """Drawdowns at MOMENTS of a casing over a quasi-steady inflow."""
    levels = np.zeros(MOMENTS.size)
    drawdown = 0.0
    for begin, end, flow in zip(CHANGES, CHANGES[1:], flows, strict=False):
        here = (begin < MOMENTS) & (end >= MOMENTS)

        def rise(_: float, s: NDArray[np.float64], q: float = flow) -> list[float]:
            inflow = steady_inflow(max(float(s[0]), 0.0), specific_capacity, well_loss)
            return [(q - inflow) / CASING]

        at = np.unique(np.append(MOMENTS[here], end))
        found = solve_ivp(rise, (begin, end), [drawdown], "LSODA", t_eval=at, rtol=1e-9, atol=1e-9)
        levels[here] = found.y[0, : here.sum()]
        drawdown = float(found.y[0, -1])
    return levels


class RadialAquifer:
    """A casing in an aquifer of rings, each with its storage, as rates of change for scipy."""

    def __init__(self, transmissivity: float, storage: float, radius: float, loss: float) -> None:
        self.rings = 120
        reach = 20.0 * math.sqrt(transmissivity * DAY / storage) + 10.0 * radius
        edges = np.geomspace(radius, reach, self.rings + 1)
        middles = np.sqrt(edges[1:] * edges[:-1])
        self.storages = storage * math.pi * np.diff(edges**2)
        conductance = 2.0 * math.pi * transmissivity
        self.between = conductance / np.log(middles[1:] / middles[:-1])
        self.at_wall = conductance / math.log(middles[0] / radius)
        self.loss = loss

    def rates(self, flow: float) -> Callable[[float, NDArray[np.float64]], NDArray[np.float64]]:
        def change(_: float, s: NDArray[np.float64]) -> NDArray[np.float64]:
            across = float(s[0] - s[1])
            linear = 1.0 / self.at_wall
            root = math.sqrt(linear**2 + 4.0 * self.loss * abs(across))
            inflow = 2.0 * across / (linear + root)
            outward = self.between * (s[1:-1] - s[2:])
            gain = np.zeros(self.rings)
            gain[0] = inflow
            gain[:-1] -= outward
            gain[1:] += outward
            return np.concatenate(([(flow - inflow) / CASING], gain / self.storages))

        return change

    def drawdowns(self, flows: Sequence[float]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Drawdowns in the well at MOMENTS, and those of casing and rings at the end."""
        size = self.rings + 1
        pattern = diags([1.0, 1.0, 1.0], [-1, 0, 1], shape=(size, size))
        levels, state = np.zeros(MOMENTS.size), np.zeros(size)
        for begin, end, flow in zip(CHANGES, CHANGES[1:], flows, strict=False):
            here = (begin < MOMENTS) & (end >= MOMENTS)
            found = solve_ivp(
                self.rates(flow),
                (begin, end),
                state,
                "BDF",
                t_eval=np.unique(np.append(MOMENTS[here], end)),
                rtol=1e-6,
                atol=1e-9,
                jac_sparsity=pattern,
            )
            levels[here] = found.y[0, : here.sum()]
            state = found.y[:, -1]
        return levels, state


def course(flow: float) -> NDArray[np.float64]:
    """Flow up to each of MOMENTS."""
    numbers = np.searchsorted(CHANGES[1:], MOMENTS)
    return flow * np.array(PARTS)[numbers]


WELLS = [(1e-5, 1e-4, 0.0, 2e-4), (2e-6, 0.1, 0.0, 5e-5), (5e-5, 1e-3, 4e6, 3e-4)]


@pytest.mark.parametrize(("transmissivity", "storage", "loss", "flow"), WELLS)
def test_well_in_an_aquifer_of_rings(
    transmissivity: float, storage: float, loss: float, flow: float
) -> None:
    model = WellModel(
        STATIC,
        CASING,
        transmissivity=transmissivity,
        storage=storage,
        radius=0.0762,
        well_loss=loss,
    )
    aquifer = RadialAquifer(transmissivity, storage, 0.0762, loss)
    theirs, end = aquifer.drawdowns([flow * part for part in PARTS])
    ours = level_through(model, np.append(0.0, MOMENTS), course(flow))[1:] - STATIC
    assert ours == pytest.approx(theirs, rel=0.01)
    # Their own balance closes: casing and rings lack what was pumped.
    pumped = float(np.dot(np.diff(CHANGES), flow * np.array(PARTS)))
    from_storage = CASING * end[0] + float(aquifer.storages @ end[1:])
    assert from_storage == pytest.approx(pumped, rel=1e-4)


@pytest.mark.parametrize(("capacity", "loss"), [(2e-5, 0.0), (1e-5, 2e7), (1e-3, 1e6)])
def test_well_of_a_specific_capacity(capacity: float, loss: float) -> None:
    flow = 2e-4
    model = WellModel(STATIC, CASING, specific_capacity=capacity, well_loss=loss)
    ours = level_through(model, np.append(0.0, MOMENTS), course(flow))[1:] - STATIC
    theirs = by_integration(capacity, loss, [flow * part for part in PARTS])
    assert ours == pytest.approx(theirs, rel=1e-5, abs=1e-7)


@pytest.mark.parametrize("loss", [0.0, 1e7])
def test_low_yield_well_pumped_on_and_off_for_a_day(loss: float) -> None:
    """The pump of 10 gpm in a well of half a gallon a minute: minutes, starts, litres."""
    capacity, flow, stop, restart = 8e-7, 6.3e-4, 40.0, 15.0
    model = WellModel(STATIC, CASING, specific_capacity=capacity, well_loss=loss)

    def rise(_: float, s: NDArray[np.float64], q: float) -> list[float]:
        return [(q - steady_inflow(float(s[0]), capacity, loss)) / CASING]

    at, s, starts, ran, first = 0.0, 0.0, 0, 0.0, None
    while at < DAY:
        pumping = s < 0.5 * (stop + restart)
        target = stop if pumping else restart

        def meets(_: float, s: NDArray[np.float64], q: float, target: float = target) -> float:
            return float(s[0]) - target

        meets.terminal = True  # type: ignore[attr-defined]
        arguments = (flow if pumping else 0.0,)
        found = solve_ivp(rise, (at, DAY), [s], events=meets, args=arguments, rtol=1e-9, atol=1e-9)
        starts += pumping
        ran += float(found.t[-1] - at) if pumping else 0.0
        first = first or float(found.t[-1])
        at, s = float(found.t[-1]), target if found.status == 1 else float(found.y[0, -1])
    day = pumped_day(model, flow, STATIC + stop, STATIC + restart)
    assert time_to_level(model, flow, STATIC + stop) == pytest.approx(first, rel=1e-6)
    assert day.starts == starts > 1
    assert day.volume == pytest.approx(flow * ran, rel=1e-5)
    assert day.end_level == pytest.approx(STATIC + s, rel=1e-5)


def test_what_a_well_sustains_ends_at_the_lowest_level() -> None:
    aquifer = RadialAquifer(1e-5, 1e-4, 0.0762, 3e7)
    model = WellModel(
        STATIC, CASING, transmissivity=1e-5, storage=1e-4, radius=0.0762, well_loss=3e7
    )
    levels, _ = aquifer.drawdowns([sustained_flow(model, 65.0, DAY)] * len(PARTS))
    assert levels[-1] == pytest.approx(40.0, rel=0.01)


@pytest.mark.parametrize("u", [1e-8, 1e-3, 0.3, 1.0, 7.0])
def test_well_function_by_quadrature(u: float) -> None:
    integral, _ = quad(lambda x: math.exp(-math.exp(x)), math.log(u), math.log(800.0), limit=200)
    assert theis.well_function(u) == pytest.approx(integral, rel=1e-7)


def test_response_of_the_wall_by_differences() -> None:
    """Its integral has it as its slope, early, in the table and after it."""
    at = np.geomspace(1e-9, 1e9, 60)
    _, low = wall_response(at * (1.0 - 1e-4), 1e-5, 1e-3, 0.1)
    response, high = wall_response(at, 1e-5, 1e-3, 0.1)
    _, above = wall_response(at * (1.0 + 1e-4), 1e-5, 1e-3, 0.1)
    assert (above - low) / (2e-4 * at) == pytest.approx(response, rel=2e-3)
    assert np.all((low < high) & (high < above))
    late = at > 1e5
    line = theis_drawdown(1.0, at[late], 1e-5, 1e-3, 0.1)
    assert response[late] == pytest.approx(line, rel=1e-4)


def test_pumping_test_fitted_by_scipy() -> None:
    at = np.geomspace(60.0, 40_000.0, 25)
    noise = 0.02 * np.sin(np.arange(25) * 2.4)
    drawdown = np.asarray(theis_drawdown(3e-3, at, 4e-4, 2e-4, 40.0)) + noise
    ours = well_tests.fit_pumping_test(at, drawdown, 3e-3, 40.0)

    def curve(
        t: NDArray[np.float64], log_transmissivity: float, log_storage: float
    ) -> NDArray[np.float64]:
        found = theis_drawdown(3e-3, t, math.exp(log_transmissivity), math.exp(log_storage), 40.0)
        return np.asarray(found)

    theirs, _ = curve_fit(curve, at, drawdown, p0=[math.log(1e-3), math.log(1e-3)])
    assert ours.transmissivity == pytest.approx(math.exp(theirs[0]), rel=1e-4)
    assert ours.storage == pytest.approx(math.exp(theirs[1]), rel=1e-3)


def test_the_level_after_a_rest_against_the_decay_of_the_balance() -> None:
    """With an inflow in proportion to the drawdown what is left of it falls as an exponential."""
    model = WellModel(10.0, 0.018, 2.0e-5)
    levels, flows = np.array([10.0, 60.0]), np.array([1.0e-3, 1.0e-3])
    rest = 900.0
    expected = 10.0 + 40.0 * math.exp(-2.0e-5 / 0.018 * rest)
    assert pumped.level_after_rest(model, levels, flows, 50.0, rest) == pytest.approx(expected)


@pytest.mark.parametrize("time", [1e-5, 0.01, 1.0, 100.0, 9e4, 2e5])
def test_drawdown_at_the_wall_of_a_well_by_quadrature(time: float) -> None:
    """van Everdingen and Hurst (1949), constant terminal rate, their integral over Bessel's
    functions (from memory): 4 / pi2 of (1 - exp(-u2 t)) / (u3 (J1(u)2 + Y1(u)2)); at t = 1 their
    table has 0.802, at 100 2.723 (from memory)."""

    def weight(u: float) -> float:
        return 4.0 / (math.pi * u) ** 2 / (j1(u) ** 2 + y1(u) ** 2)  # by the logarithm of u

    def gone(u: float) -> float:
        return -math.expm1(-(u**2) * time)

    parts = [
        lambda x: weight(math.exp(x)) * gone(math.exp(x)),
        lambda x: weight(math.exp(x)) * (time - gone(math.exp(x)) * math.exp(-2.0 * x)),
    ]
    drawdown, whole = (
        quad(part, -20.0, 20.0, limit=400, points=[-5.0, 0.0, 5.0])[0] for part in parts
    )
    elapsed = np.array([-1.0, 0.0, time])
    response, integral = wall_response(elapsed, 0.5 / math.pi, 0.5 / math.pi, 1.0)
    assert response == pytest.approx([0.0, 0.0, drawdown], rel=1e-4)
    assert integral == pytest.approx([0.0, 0.0, whole], rel=1e-4)


@pytest.mark.parametrize("place", [0, 1], ids=["flat wall", "line"])
def test_a_wall_is_flat_at_first_and_the_well_a_line_at_last(place: int) -> None:
    """At first 2 sqrt(t / pi), and 4/3 of t^1.5 / sqrt(pi) by then; at last half the well function
    of 1 / (4 t); of T = 1e-3 m2/s, S = 1e-4 and r = 0.1 m, whose r2 S / T is a millisecond."""
    unit, second = 1.0 / (2.0 * math.pi * 1e-3), 1e-3
    first = 4e-7
    at = np.array([first * second, 2e5 * second])
    response, integral = wall_response(at, 1e-3, 1e-4, 0.1)
    by_hand = (2.0 * math.sqrt(first / math.pi), 0.5 * theis.well_function(0.25 / 2e5))[place]
    assert response[place] == pytest.approx(unit * by_hand, rel=1e-9)
    assert integral[0] == pytest.approx(
        unit * second * 4.0 / 3.0 * first**1.5 / math.sqrt(math.pi), rel=1e-9
    )
    assert second == pytest.approx(0.1**2 * 1e-4 / 1e-3)


@pytest.mark.parametrize("strength", [1.0, -1.0, 0.4])
def test_a_boundary_adds_the_line_of_its_image_well(strength: float) -> None:
    """W(u) over 4 pi T, W by scipy's exponential integral, u = e^-0.5772 at the time at which the
    image begins to show (where Jacob's line of it begins); its integral by quadrature. Long before
    that, and behind the end of the table, as well."""
    elapsed, shown, wide = np.array([10.0, 2e3, 5e3, 4e4, 2e9]), 5e3, 1e-4
    with_image, alone = (
        wall_response(elapsed, wide, 1e-4, 0.1, boundary)
        for boundary in (theis.Boundary(strength, shown), None)
    )

    def image(time: float) -> float:
        return (
            strength * float(exp1(math.exp(-np.euler_gamma) * shown / time)) / (4 * math.pi * wide)
        )

    assert with_image[0] - alone[0] == pytest.approx([image(each) for each in elapsed], rel=1e-6)
    summed = [quad(image, 1e-9, each, limit=200, points=[min(each, 1e5)])[0] for each in elapsed]
    assert with_image[1] - alone[1] == pytest.approx(summed, rel=1e-5)


def test_the_tables_of_the_response_have_no_step_and_no_ripple() -> None:
    """The line between its points and behind its end by scipy's exponential integral, and by what
    its integral is in closed form; the wall's goes on where its table ends, whose last point
    counts with it."""
    wall, line = theis.tables()
    times = np.array([0.5, 1.7, 23.0, 4e3, 9.9e4, 1.7e5, 3e6])
    u = 0.25 / times
    whole = 0.5 * times * ((1.0 + u) * exp1(u) - np.exp(-u))
    found = np.array([theis._read(time, line) for time in times]).T
    assert found[0] == pytest.approx(0.5 * exp1(u), rel=2e-9)
    assert found[1] == pytest.approx(whole, rel=2e-9)
    for table in (wall, line):
        end = table[0][2]
        before, at, behind = (
            theis._read(end * (1.0 + part), table) for part in (-1e-9, 0.0, 1e-9)
        )
        assert before == pytest.approx(at, rel=2e-9)
        # A line's drawdown is by then a two hundred thousandth less than that of a wall.
        assert behind[0] == pytest.approx(at[0], rel=2e-9 if table is line else 1e-5)
        assert behind[1] == pytest.approx(at[1], rel=2e-9)


def test_a_well_that_remembers_does_alike_without_machine_code(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Fifteen starts, so that the old ones are joined; the plain kernel is the same sum."""

    def ran() -> list[float]:
        well = AquiferWell(0.018, 2e-4, 1e-4, 0.1, 2e4, theis.Boundary(1.0, 3600.0))
        levels = []
        for _ in range(15):
            well.run(1e-3, 900.0, 6.0, 1e-5)
            well.run(0.0, 1800.0)
            levels.append(well.drawdown)
        return [*levels, well.inflow_volume, float(well.old)]

    by_machine = ran()
    monkeypatch.setattr(casing_balance, "compiled", lambda kernel: None)
    assert by_machine[-1] > 5.0
    assert ran() == pytest.approx(by_machine, rel=1e-9)
