"""A well-mixed storage tank in closed form: what the stepped tank is held against.

The first-order energy balance C dT/dt = P - UA (T - Ta), solved for constant power and for a day
of half-sine power. Times in s, temperatures in degC, power in W, loss in W/K, heat capacity in
J/K.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray


def after_constant_power(
    time: ArrayLike, start: float, power: float, loss: float, room: float, heat_capacity: float
) -> NDArray[np.float64]:
    """Temperature after a time of constant power."""
    seconds = np.asarray(time, float)
    decays = -loss * seconds / heat_capacity
    # (1 - exp(-x)) / x, which is 1 for a tank without loss
    damping = np.divide(np.expm1(decays), decays, out=np.ones_like(seconds), where=decays != 0.0)
    return start + (power - loss * (start - room)) * seconds / heat_capacity * damping


def through_half_sine_day(
    time: ArrayLike,
    start: float,
    peak_power: float,
    day_length: float,
    loss: float,
    room: float,
    heat_capacity: float,
) -> NDArray[np.float64]:
    """Temperature through a day of P = Pm sin(pi t / D), from sunrise to sunset."""
    seconds = np.asarray(time, float)
    w, k = np.pi / day_length, loss / heat_capacity
    decay = np.exp(-k * seconds)
    gain = w * decay + k * np.sin(w * seconds) - w * np.cos(w * seconds)
    risen: NDArray[np.float64] = peak_power / heat_capacity * gain / (k**2 + w**2)
    return room + (start - room) * decay + risen
