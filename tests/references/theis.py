"""Drawdown of a confined aquifer by Theis (1935), from scipy's exponential integral: what the
level in a well and the fits to pumping tests are held against. Flow [m3/s], times [s],
transmissivity [m2/s], radius [m], drawdown [m]."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import exp1

from wellsolar.physics.well.theis import aquifer_numbers, response_at, tables


def theis_drawdown(
    flow: float, time: ArrayLike, transmissivity: float, storage: float, radius: float
) -> NDArray[np.float64]:
    """Under a steady flow that begins at 0; none before it."""
    since = np.asarray(time, float)
    with np.errstate(divide="ignore"):
        u = np.where(since > 0.0, radius**2 * storage / (4.0 * transmissivity * since), np.inf)
    return flow * exp1(u) / (4.0 * math.pi * transmissivity)


def superposed_drawdown(
    time: ArrayLike,
    change_times: NDArray[np.float64],
    flows: NDArray[np.float64],
    transmissivity: float,
    storage: float,
    radius: float,
) -> NDArray[np.float64]:
    """Under a flow that changes in steps, each a steady flow that begins there."""
    at = np.asarray(time, float)
    return sum(
        theis_drawdown(change, at - begun, transmissivity, storage, radius)
        for begun, change in zip(change_times, np.diff(flows, prepend=0.0), strict=True)
    )


def wall_response(times: NDArray[np.float64], *aquifer: Any) -> NDArray[np.float64]:
    """What the package has at the wall of the well at each time: drawdown over flow, and its
    integral from the beginning on; no reference."""
    numbers = aquifer_numbers(*aquifer)
    return np.array([response_at(float(time), numbers, *tables()) for time in times]).T
