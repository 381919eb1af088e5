"""Transmissivity and storage from a pumping test or from the recovery after it.

The drawdown is proportional to 1/T once S/T is chosen, so a fit by least squares is a search for
one number; it needs no first guess. In an observation well both results are the aquifer's. In the
pumped well itself the transmissivity is, but the storage is only apparent: skin and well loss add
to the drawdown as a smaller storage would, and the casing's water delays it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import ClassVar, Final

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import FloatArray, Floats
from wellsolar.physics.well.theis import EULER, flow_steps

SMALLEST_U: Final = 1e-100
"""Smallest u [-] that a fit tries at the last reading; apparent storages can be absurdly small."""

GREATEST_U: Final = 10.0
"""Greatest u [-] that a fit tries at the last reading; nothing has arrived yet by then."""

STRAIGHT_U: Final = 0.05
"""Greatest u [-] of the readings on the straight line; the line is 2 % off there."""

CLEAR_RISE: Final = 1.05
"""Root mean square at a tenth and ten times the storage, over the least, that fixes a storage."""

CASING_TIMES: Final = 25.0
"""Casing radius squared over T, in these times of it the casing's water still counts; Papadopulos
and Cooper (1967), in Kruseman and de Ridder (1994), ILRI 47 (from memory)."""


@dataclass(frozen=True)
class TestFit:
    """What a test gives.

    transmissivity [m2/s]. storage [-]: apparent in the pumped well, not a number where the
    readings do not fix it. method: name. residuals: measured less fitted [m], one a reading used.
    root_mean_square: of the residuals [m]. used: numbers of the readings used, counted from 0.
    """

    __test__: ClassVar[bool] = False  # the name begins like a test class, pytest would collect it

    transmissivity: float
    storage: float
    method: str
    residuals: tuple[float, ...]
    root_mean_square: float
    used: tuple[int, ...]


def fit_pumping_test(time: Floats, drawdown: Floats, flow: float, radius: float) -> TestFit:
    """Least-squares fit of Theis to a test at one rate.

    Parameters:
        time: times since pumping began, three or more [s], array
        drawdown: drawdowns at these times [m], array
        flow: steady flow of the test [m3/s], scalar
        radius: distance from the well's axis, the well's own radius in the pumped well [m], scalar
    Returns:
        the fit [its fields' units]
    Raises:
        OutOfRange: too few readings, or a drawdown that no Theis curve follows
    Source: Theis (1935), Trans. Am. Geophys. Union 16:519, by least squares.
    """
    require_positive(flow, "flow of the test", "m3/s")
    return fit_variable_rate(time, drawdown, 0.0, flow, radius)


def fit_variable_rate(
    time: Floats, drawdown: Floats, change_times: Floats, flows: Floats, radius: float
) -> TestFit:
    """Least-squares fit of Theis to a test at several rates, recovery among them.

    Parameters:
        time: times of the readings, each after the first change [s], array
        drawdown: drawdowns at these times [m], array
        change_times: times at which the flow changes, rising [s], array or scalar
        flows: flow from each of these times on [m3/s], array or scalar
        radius: distance from the well's axis, the well's own radius in the pumped well [m], scalar
    Returns:
        the fit [its fields' units]
    Raises:
        OutOfRange: too few readings, or a drawdown that no Theis curve follows
    Source: superposition of Theis (1935) by least squares; well loss is left out, so in the
        pumped well take it off the drawdowns first.
    """
    at, drawn = _readings(time, drawdown)
    changes, steps = flow_steps(change_times, flows)
    require_positive(radius, "distance from the well", "m")
    elapsed = at[:, np.newaxis] - changes
    require_positive(float(elapsed[:, 0].min()), "time of the first reading", "s")
    grid = np.linspace(math.log(SMALLEST_U), math.log(GREATEST_U), 241)
    last = float(elapsed.max())
    spreads = np.array([_projected(trial, elapsed, steps, drawn, last)[1] for trial in grid])
    best = _refined(grid, spreads, elapsed, steps, drawn, last)
    scale, spread = _projected(best, elapsed, steps, drawn, last)
    settled = _fixes_the_storage(best, spread, elapsed, steps, drawn, last)
    at_the_end = not grid[0] + 1e-3 < best < grid[-1] - 1e-3
    # A recovery may run out to the end: the storage cancels, and the rest still fits.
    if not scale > 0.0 or (at_the_end and float(steps.sum()) > 0.0):
        raise OutOfRange(
            "the drawdown of this test does not follow Theis: it must rise with the logarithm of "
            "time while pumping and fall back afterwards"
        )
    transmissivity = 1.0 / (4.0 * math.pi * scale)
    storage = math.exp(best) * 4.0 * transmissivity * last / radius**2 if settled else math.nan
    residuals = drawn - scale * _shape(best, elapsed, steps, last)
    return _result(transmissivity, storage, "Theis, least squares", residuals, range(at.size))


def fit_cooper_jacob(time: Floats, drawdown: Floats, flow: float, radius: float) -> TestFit:
    """Straight line through the drawdown against the logarithm of time.

    Readings that come too early for the line, u above 0.05 by its own result, are left out.

    Parameters:
        time: times since pumping began, three or more [s], array
        drawdown: drawdowns at these times [m], array
        flow: steady flow of the test [m3/s], scalar
        radius: distance from the well's axis, the well's own radius in the pumped well [m], scalar
    Returns:
        the fit [its fields' units]
    Raises:
        OutOfRange: too few readings on the line, or a level that does not fall
    Source: Cooper and Jacob (1946), Trans. Am. Geophys. Union 27:526.
    """
    at, drawn = _readings(time, drawdown)
    require_positive(at, "time of a reading", "s")
    require_positive(flow, "flow of the test", "m3/s")
    require_positive(radius, "distance from the well", "m")
    used = np.argsort(at, kind="stable")
    while True:
        slope, intercept = _line(np.log10(at[used]), drawn[used])
        transmissivity = transmissivity_from_slope(flow, slope)
        # Held within floats: a pumped well of great skin meets zero drawdown absurdly early.
        zero_drawdown_time = 10.0 ** min(max(-intercept / slope, -250.0), 250.0)
        storage = storage_from_intercept(transmissivity, zero_drawdown_time, radius)
        u = radius**2 * storage / (4.0 * transmissivity * at[used])
        # One reading at a time: the earliest ones bend the line that says which are early.
        if u[0] <= STRAIGHT_U or used.size == 3:
            break
        used = used[1:]
    residuals = drawn[used] - intercept - slope * np.log10(at[used])
    require_range(float(u[0]), 0.0, 2.0 * STRAIGHT_U, "u of the third last reading", "")
    return _result(transmissivity, storage, "Cooper-Jacob, straight line", residuals, used)


def fit_recovery(
    time_since_stop: Floats,
    residual_drawdown: Floats,
    flow: float,
    pumping_time: float,
    radius: float,
) -> TestFit:
    """Least-squares fit of Theis to the recovery after a test at one rate.

    The best test of a pumped well: no well loss and no uneven pump in it. The storage all but
    cancels out of what is left after the stop, so it is a number only where one of the readings
    is the drawdown at the stop itself, at time zero; in a pumped well leave that reading out, its
    well loss would spoil the fit.

    Parameters:
        time_since_stop: times since pumping stopped, 0 or more, three or more of them [s], array
        residual_drawdown: drawdowns still left at these times [m], array
        flow: flow while pumping, the mean if it varied a little [m3/s], scalar
        pumping_time: how long the well was pumped before [s], scalar
        radius: distance from the well's axis, the well's own radius in the pumped well [m], scalar
    Returns:
        the fit [its fields' units]
    Raises:
        OutOfRange: too few readings, a negative time, or a level that does not recover
    Source: Theis (1935), Trans. Am. Geophys. Union 16:519: pumping less pumping begun later.
    """
    since, left = _readings(time_since_stop, residual_drawdown)
    require_range(since, 0.0, math.inf, "time since pumping stopped", "s")
    require_positive(pumping_time, "pumping time", "s")
    require_positive(flow, "flow of the test", "m3/s")
    stop = np.array([0.0, pumping_time])
    fit = fit_variable_rate(pumping_time + since, left, stop, np.array([flow, 0.0]), radius)
    return fit if bool(np.any(since == 0.0)) else replace(fit, storage=math.nan)


def transmissivity_from_slope(flow: float, drawdown_per_cycle: float) -> float:
    """Transmissivity from the slope of the straight line, pumping or recovery.

    Parameters:
        flow: steady flow of the test [m3/s], scalar
        drawdown_per_cycle: drawdown over a tenfold time [m], scalar
    Returns:
        transmissivity [m2/s]
    Raises:
        OutOfRange: an argument not above zero
    Source: Cooper and Jacob (1946): T = 2.30 Q / (4 pi ds); in US units T = 264 Q / ds.
    """
    require_positive(flow, "flow of the test", "m3/s")
    require_positive(drawdown_per_cycle, "drawdown over a tenfold time", "m")
    return math.log(10.0) * flow / (4.0 * math.pi * drawdown_per_cycle)


def storage_from_intercept(
    transmissivity: float, zero_drawdown_time: float, radius: float
) -> float:
    """Storage from the time at which the straight line meets zero drawdown.

    Parameters:
        transmissivity: transmissivity of the aquifer [m2/s], scalar
        zero_drawdown_time: time at which the line meets zero drawdown [s], scalar
        radius: distance from the well's axis [m], scalar
    Returns:
        storage coefficient [-]
    Raises:
        OutOfRange: an argument not above zero
    Source: Cooper and Jacob (1946): S = 2.25 T t0 / r2; in US units S = 0.3 T t0 / r2.
    """
    require_positive(transmissivity, "transmissivity", "m2/s")
    require_positive(zero_drawdown_time, "time of zero drawdown", "s")
    require_positive(radius, "distance from the well", "m")
    return 4.0 * math.exp(-EULER) * transmissivity * zero_drawdown_time / radius**2


def casing_storage_time(storage_area: float, transmissivity: float) -> float:
    """How long the water in the casing still shows in the level of the pumped well.

    Readings of a pumped well before this time say little of the aquifer.

    Parameters:
        storage_area: area of water in the casing, less what hangs in it [m2], scalar
        transmissivity: transmissivity of the aquifer [m2/s], scalar
    Returns:
        time since the flow changed [s]
    Raises:
        OutOfRange: an argument not above zero
    Source: Papadopulos and Cooper (1967), Water Resources Research 3:241; 25 rc2/T as in
        Kruseman and de Ridder (1994), ILRI 47, ch. 11 (from memory).
    """
    require_positive(storage_area, "area of water in the casing", "m2")
    require_positive(transmissivity, "transmissivity", "m2/s")
    return CASING_TIMES * storage_area / (math.pi * transmissivity)


def _readings(time: Floats, drawdown: Floats) -> tuple[FloatArray, FloatArray]:
    at = np.atleast_1d(np.asarray(time, dtype=float))
    drawn = np.atleast_1d(np.asarray(drawdown, dtype=float))
    require_range(float(at.size), 3.0, math.inf, "number of readings", "")
    require_range(float(drawn.size), float(at.size), float(at.size), "number of drawdowns", "")
    require_range(drawn, -1e4, 1e4, "drawdown", "m")
    return at, drawn


def _shape(log_u: float, elapsed: FloatArray, steps: FloatArray, last: float) -> FloatArray:
    """Drawdown times 4 pi T, where exp(log_u) is u at the time `last` after a change of flow."""
    from scipy.special import exp1

    u = np.full(elapsed.shape, math.inf)
    np.divide(math.exp(log_u) * last, elapsed, out=u, where=elapsed > 0.0)
    shape: FloatArray = exp1(u) @ steps
    return shape


def _projected(
    log_u: float, elapsed: FloatArray, steps: FloatArray, drawn: FloatArray, last: float
) -> tuple[float, float]:
    """Best 1 / (4 pi T) for one u, and the root mean square that it leaves."""
    shape = _shape(log_u, elapsed, steps, last)
    square = float(shape @ shape)
    scale = float(shape @ drawn) / square if square > 0.0 else 0.0
    return scale, float(np.sqrt(np.mean((drawn - scale * shape) ** 2)))


def _refined(
    grid: FloatArray,
    spreads: FloatArray,
    elapsed: FloatArray,
    steps: FloatArray,
    drawn: FloatArray,
    last: float,
) -> float:
    """The least root mean square between the neighbours of the best point of the grid."""
    from scipy.optimize import minimize_scalar

    best = int(np.argmin(spreads))
    low, high = grid[max(best - 1, 0)], grid[min(best + 1, grid.size - 1)]
    minimum = minimize_scalar(
        lambda trial: _projected(trial, elapsed, steps, drawn, last)[1],
        bounds=(low, high),
        method="bounded",
        options={"xatol": 1e-9},
    )
    return float(minimum.x)


def _fixes_the_storage(
    best: float,
    spread: float,
    elapsed: FloatArray,
    steps: FloatArray,
    drawn: FloatArray,
    last: float,
) -> bool:
    """Whether ten times more and ten times less storage both fit clearly worse."""
    # An exact data set leaves a spread of rounding only, which has no ratio.
    least = max(CLEAR_RISE * spread, 1e-6 * float(np.abs(drawn).max()))
    sides = (best - math.log(10.0), best + math.log(10.0))
    return all(_projected(side, elapsed, steps, drawn, last)[1] > least for side in sides)


def _line(x: FloatArray, y: FloatArray) -> tuple[float, float]:
    """Slope and intercept of the straight line of least squares."""
    centred = x - x.mean()
    square = float(centred @ centred)
    require_positive(square, "spread of the times on the line", "")
    slope = float(centred @ y) / square
    return slope, float(y.mean() - slope * x.mean())


def _result(
    transmissivity: float, storage: float, method: str, residuals: FloatArray, used: object
) -> TestFit:
    numbers = tuple(int(number) for number in np.asarray(used))
    spread = float(np.sqrt(np.mean(residuals**2)))
    return TestFit(transmissivity, storage, method, tuple(residuals.tolist()), spread, numbers)
