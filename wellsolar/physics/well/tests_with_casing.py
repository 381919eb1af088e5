"""Tests read in the pumped well itself, where the casing's water stands between pump and aquifer.

What the level tells is first what the casing gives or takes. That is known from the readings, so
the aquifer's own flow is too: flow of the pump less the casing's area times the fall of the level.
With that flow, which changes from reading to reading, Theis is fitted; from there the whole well
of `well_level`, casing and all, is fitted by least squares.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.solve import bracketed_root
from wellsolar.physics.types import FloatArray, Floats
from wellsolar.physics.well.level_in_time import WellModel, level_through
from wellsolar.physics.well.pumping_tests import GREATEST_U, SMALLEST_U, TestFit, fit_variable_rate
from wellsolar.physics.well.theis import well_function

USUAL_STORAGE: Final = 1e-4
"""Storage [-] that a search begins with where the readings tell none: a confined aquifer's."""

DIFFERENCE: Final = 1e-4
"""Relative step of a logarithm [-] for its slope: wide enough to see over the march in time."""

MOST_TRIALS: Final = 60
"""Steps of the search; a handful is usual."""

METHOD: Final = "Theis with casing storage, least squares"


def fit_with_casing(
    time: Floats,
    drawdown: Floats,
    flow: float,
    radius: float,
    storage_area: float,
    well_loss: float = 0.0,
) -> TestFit:
    """Least-squares fit of Theis to a test at one rate, read in the pumped well.

    Parameters:
        time: times since pumping began, rising, three or more above 0 [s], array
        drawdown: drawdowns at these times [m], array
        flow: steady flow of the test [m3/s], scalar
        radius: radius of the well [m], scalar
        storage_area: area of water in the casing, less what hangs in it [m2], scalar
        well_loss: C of a step test, taken off the drawdown [s2/m5], scalar
    Returns:
        the fit [its fields' units]; the storage is apparent: skin is in it
    Raises:
        OutOfRange: too few readings, times that do not rise, or a drawdown that no Theis curve
            follows
    Source: balance of the casing as in Papadopulos and Cooper (1967), Water Resources Research
        3:241; superposition of Theis (1935).
    """
    require_positive(flow, "flow of the test", "m3/s")
    at, drawn = _rising(time, drawdown)
    begun = np.concatenate(([0.0], at[:-1]))
    fall = np.diff(drawn, prepend=0.0) / (at - begun)
    inflow = np.clip(flow - storage_area * fall, 0.0, flow)
    in_aquifer = drawn - well_loss * _at_readings(inflow) ** 2
    start = fit_variable_rate(at, in_aquifer, begun, inflow, radius)
    moments, rates = np.concatenate(([0.0], at)), np.full(at.size, flow)
    return _whole_well(start, moments, rates, drawn, radius, storage_area, well_loss)


def fit_recovery_with_casing(
    time_since_stop: Floats,
    residual_drawdown: Floats,
    flow: float,
    pumping_time: float,
    radius: float,
    storage_area: float,
    well_loss: float = 0.0,
) -> TestFit:
    """Least-squares fit of Theis to a recovery read in the pumped well.

    Water goes on flowing in until the casing is full again: the pump stops, the aquifer does not.

    Parameters:
        time_since_stop: times since pumping stopped, rising, three or more above 0 [s], array
        residual_drawdown: drawdowns still left at these times [m], array
        flow: flow while pumping [m3/s], scalar
        pumping_time: how long the well was pumped before [s], scalar
        radius: radius of the well [m], scalar
        storage_area: area of water in the casing, less what hangs in it [m2], scalar
        well_loss: C of a step test, taken off the drawdown [s2/m5], scalar
    Returns:
        the fit [its fields' units]; the storage is apparent: skin is in it
    Raises:
        OutOfRange: too few readings, times that do not rise, or a level that does not recover
    Source: balance of the casing as in Papadopulos and Cooper (1967), Water Resources Research
        3:241; recovery of Theis (1935).
    """
    require_positive(flow, "flow of the test", "m3/s")
    require_positive(pumping_time, "pumping time", "s")
    since = np.atleast_1d(np.asarray(time_since_stop, dtype=float))
    left = np.atleast_1d(np.asarray(residual_drawdown, dtype=float))
    at, drawn = _rising(since, left)
    at_stop = float(left[0])
    begun = np.concatenate(([0.0], at[:-1]))
    rise = -np.diff(drawn) / np.diff(at)
    # Without a reading at the stop the first span rises as the one after it.
    first = (at_stop - drawn[0]) / at[0] if since[0] == 0.0 else rise[0]
    inflow = np.clip(storage_area * np.concatenate(([first], rise)), 0.0, flow)
    while_pumped = max(flow - storage_area * at_stop / pumping_time, 0.0)
    in_aquifer = drawn - well_loss * _at_readings(inflow) ** 2
    changes = np.concatenate(([0.0], pumping_time + begun))
    rates = np.concatenate(([while_pumped], inflow))
    start = fit_variable_rate(pumping_time + at, in_aquifer, changes, rates, radius)
    start = replace(
        start, storage=_storage_at_stop(at_stop, while_pumped, pumping_time, start, radius)
    )
    read = pumping_time + since
    moments = np.concatenate(([0.0], [pumping_time] if since[0] > 0.0 else [], read))
    flows = np.concatenate(([flow], np.zeros(moments.size - 2)))
    return _whole_well(start, moments, flows, left, radius, storage_area, well_loss)


def effective_storage(
    unit_drawdown: float, time: float, transmissivity: float, radius: float
) -> float:
    """Storage with which Theis gives a drawdown that was measured in the pumped well.

    Apparent: what skin adds to the drawdown a smaller storage adds as well.

    Parameters:
        unit_drawdown: drawdown over flow, well loss left out [s/m2], scalar
        time: time since pumping began [s], scalar
        transmissivity: transmissivity of the aquifer [m2/s], scalar
        radius: radius of the well [m], scalar
    Returns:
        storage coefficient [-]
    Raises:
        OutOfRange: an argument not above zero, or a drawdown that no storage explains
    Source: Theis (1935), Trans. Am. Geophys. Union 16:519, solved for S by Brent's method.
    """
    require_positive(time, "time since pumping began", "s")
    require_positive(transmissivity, "transmissivity", "m2/s")
    require_positive(radius, "radius of the well", "m")
    wanted = 4.0 * math.pi * transmissivity * unit_drawdown
    lowest, highest = math.log(SMALLEST_U), math.log(GREATEST_U)
    ends = (well_function(math.exp(highest)), well_function(math.exp(lowest)))
    require_range(wanted, *ends, "4 pi T s / Q", "")
    logarithm = bracketed_root(
        lambda log_u: well_function(math.exp(log_u)) - wanted, lowest, highest, "u", ""
    )
    return math.exp(logarithm) * 4.0 * transmissivity * time / radius**2


def _rising(time: Floats, drawdown: Floats) -> tuple[FloatArray, FloatArray]:
    """Readings after time zero; their times rise."""
    at = np.atleast_1d(np.asarray(time, dtype=float))
    drawn = np.atleast_1d(np.asarray(drawdown, dtype=float))
    require_range(float(drawn.size), float(at.size), float(at.size), "number of drawdowns", "")
    later = at > 0.0
    at, drawn = at[later], drawn[later]
    require_range(float(at.size), 3.0, math.inf, "number of readings", "")
    require_positive(np.diff(at), "time between two readings", "s")
    return at, drawn


def _at_readings(spans: FloatArray) -> FloatArray:
    """Flow at each reading from the means of the spans before and after it."""
    after = np.concatenate((spans[1:], spans[-1:]))
    return 0.5 * (spans + after)


def _storage_at_stop(
    at_stop: float, flow: float, pumping_time: float, start: TestFit, radius: float
) -> float:
    """The storage that the first level tells; not a number where it tells none."""
    try:
        unit = at_stop / flow if flow > 0.0 else 0.0
        return effective_storage(unit, pumping_time, start.transmissivity, radius)
    except OutOfRange:
        return math.nan


def _whole_well(
    start: TestFit,
    moments: FloatArray,
    flows: FloatArray,
    drawn: FloatArray,
    radius: float,
    storage_area: float,
    well_loss: float,
) -> TestFit:
    """The well fitted to the last readings of a course of pumping, from a first guess on."""
    from scipy.optimize import least_squares

    # A storage that the first guess could not tell may be any number, however absurd.
    is_real = 1e-60 < start.storage < 1.0
    guess = np.log([start.transmissivity, start.storage if is_real else USUAL_STORAGE])

    def residuals(logarithms: FloatArray) -> FloatArray:
        transmissivity, storage = np.exp(logarithms)
        model = WellModel(
            static_level=0.0,
            storage_area=storage_area,
            transmissivity=float(transmissivity),
            storage=float(storage),
            radius=radius,
            well_loss=well_loss,
        )
        levels = level_through(model, moments, flows)[-drawn.size :]
        return np.asarray(drawn - levels)

    span = np.array([math.log(1e3), math.log(1e30)])
    fit = least_squares(
        residuals,
        guess,
        bounds=(guess - span, guess + span),
        diff_step=[DIFFERENCE, DIFFERENCE],
        xtol=1e-7,
        ftol=1e-12,
        max_nfev=MOST_TRIALS,
    )
    left = residuals(fit.x)
    if not float(np.sqrt(np.mean(left**2))) < float(np.ptp(drawn)):
        raise OutOfRange(
            "the drawdown of this test does not follow Theis: it must rise with the logarithm of "
            "time while pumping and fall back afterwards"
        )
    transmissivity, storage = (float(number) for number in np.exp(fit.x))
    spread = float(np.sqrt(np.mean(left**2)))
    numbers = tuple(range(drawn.size))
    return TestFit(transmissivity, storage, METHOD, tuple(left.tolist()), spread, numbers)
