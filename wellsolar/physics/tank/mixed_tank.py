"""A well-mixed storage tank in closed form: heating, cooling, a day of sun, the stall."""

from __future__ import annotations

import math

import numpy as np

from wellsolar.physics.solve import require_positive, require_range
from wellsolar.physics.types import Floats, plain


def well_mixed_temperature(
    time: Floats,
    start_temperature: Floats,
    power: Floats,
    heat_loss_coefficient: Floats,
    room_temperature: Floats,
    heat_capacity: Floats,
) -> Floats:
    """Temperature of a well-mixed tank after a time of constant power.

    Parameters:
        time: since the start [s], scalar or array
        start_temperature: temperature at the start [degC], scalar or array
        power: heat into the water [W], scalar or array
        heat_loss_coefficient: of the tank, may be 0 [W/K], scalar or array
        room_temperature: air round the tank [degC], scalar or array
        heat_capacity: of the water [J/K], scalar or array
    Returns:
        temperature [degC], scalar or array
    Raises:
        OutOfRange: negative time or loss, heat capacity not positive
    Source: first-order energy balance C dT/dt = P - UA (T - Ta), solved in closed form.
    """
    require_range(time, 0.0, math.inf, "time", "s")
    require_range(heat_loss_coefficient, 0.0, math.inf, "heat loss coefficient", "W/K")
    require_positive(heat_capacity, "heat capacity", "J/K")
    exponent = np.asarray(heat_loss_coefficient * time / heat_capacity, float)
    # (1 - exp(-x)) / x, which is 1 for a tank without loss
    damping = np.where(
        exponent > 0, -np.expm1(-exponent) / np.where(exponent > 0, exponent, 1.0), 1.0
    )
    net = power - heat_loss_coefficient * (start_temperature - room_temperature)
    return plain(start_temperature + net * time / heat_capacity * damping)


def cooling_temperature(
    time: Floats,
    start_temperature: Floats,
    heat_loss_coefficient: Floats,
    room_temperature: Floats,
    heat_capacity: Floats,
) -> Floats:
    """Temperature of an unheated, undrawn, well-mixed tank after a time.

    Parameters:
        time: since the start [s], scalar or array
        start_temperature: temperature at the start [degC], scalar or array
        heat_loss_coefficient: of the tank [W/K], scalar or array
        room_temperature: air round the tank [degC], scalar or array
        heat_capacity: of the water [J/K], scalar or array
    Returns:
        temperature [degC], scalar or array
    Source: Newton's law of cooling, exponential decay with time constant C / UA.

    >>> cooling_temperature(24 * 3600.0, 60.0, 2.0, 20.0, 300 * 4186.0)
    54.8578
    """
    return well_mixed_temperature(
        time, start_temperature, 0.0, heat_loss_coefficient, room_temperature, heat_capacity
    )


def well_mixed_time(
    target_temperature: Floats,
    start_temperature: Floats,
    power: Floats,
    heat_loss_coefficient: Floats,
    room_temperature: Floats,
    heat_capacity: Floats,
) -> Floats:
    """Time a well-mixed tank needs to reach a temperature, heating or cooling.

    Parameters:
        target_temperature: temperature to reach [degC], scalar or array
        start_temperature: temperature at the start [degC], scalar or array
        power: heat into the water [W], scalar or array
        heat_loss_coefficient: of the tank, may be 0 [W/K], scalar or array
        room_temperature: air round the tank [degC], scalar or array
        heat_capacity: of the water [J/K], scalar or array
    Returns:
        time [s], scalar or array; inf where the tank never gets there
    Source: first-order energy balance, t = (C / UA) ln((Teq - T0) / (Teq - T)).

    >>> well_mixed_time(60.0, 15.0, 500.0, 2.0, 20.0, 300 * 4186.0) / 3600
    33.864
    """
    require_range(heat_loss_coefficient, 0.0, math.inf, "heat loss coefficient", "W/K")
    require_positive(heat_capacity, "heat capacity", "J/K")
    rise = np.asarray(target_temperature - start_temperature, float)
    first = power - heat_loss_coefficient * (start_temperature - room_temperature) + 0.0 * rise
    last = power - heat_loss_coefficient * (target_temperature - room_temperature) + 0.0 * rise
    reachable = (first * rise > 0) & (last * rise > 0)
    safe_last = np.where(reachable, last, 1.0)
    fall = heat_loss_coefficient * rise
    # 1 over the logarithmic mean of the net powers; their common value where they are equal
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        inverse = np.where(fall == 0, 1.0 / safe_last, np.log1p(fall / safe_last) / fall)
    time = np.where(reachable, heat_capacity * rise * inverse, np.inf)
    return plain(np.where(rise == 0, 0.0, time))


def half_sine_day_temperature(
    time: Floats,
    start_temperature: Floats,
    peak_power: Floats,
    day_length: Floats,
    heat_loss_coefficient: Floats,
    room_temperature: Floats,
    heat_capacity: Floats,
) -> Floats:
    """Temperature of a well-mixed tank through a day of half-sine power, and after it.

    Parameters:
        time: since sunrise [s], scalar or array
        start_temperature: temperature at sunrise [degC], scalar or array
        peak_power: power at noon [W], scalar or array
        day_length: from sunrise to sunset [s], scalar or array
        heat_loss_coefficient: of the tank, may be 0 [W/K], scalar or array
        room_temperature: air round the tank [degC], scalar or array
        heat_capacity: of the water [J/K], scalar or array
    Returns:
        temperature [degC], scalar or array; the tank only cools after sunset
    Raises:
        OutOfRange: negative time, day length not positive
    Source: first-order energy balance with P = Pm sin(pi t / D), solved in closed form.

    >>> half_sine_day_temperature(36000.0, 15.0, 2500.0, 36000.0, 2.0, 20.0, 300 * 4186.0)
    59.6176
    """
    require_range(time, 0.0, math.inf, "time", "s")
    require_positive(day_length, "day length", "s")
    lit = np.minimum(time, day_length)
    w, k = np.pi / day_length, heat_loss_coefficient / heat_capacity
    decay = np.exp(-k * lit)
    gain = w * decay + k * np.sin(w * lit) - w * np.cos(w * lit)
    sunset = (
        room_temperature
        + (start_temperature - room_temperature) * decay
        + peak_power / heat_capacity * gain / (k**2 + w**2)
    )
    return cooling_temperature(
        time - lit, plain(sunset), heat_loss_coefficient, room_temperature, heat_capacity
    )


def stall_power(
    heat_loss_coefficient: Floats, temperature: Floats, room_temperature: Floats
) -> Floats:
    """Power that just holds a tank at a temperature.

    Parameters:
        heat_loss_coefficient: of the tank [W/K], scalar or array
        temperature: of the water [degC], scalar or array
        room_temperature: air round the tank [degC], scalar or array
    Returns:
        power [W], scalar or array
    Source: steady energy balance, P = UA (T - Ta).

    >>> stall_power(2.0, 99.0, 20.0)
    158.
    """
    return heat_loss_coefficient * (temperature - room_temperature)
