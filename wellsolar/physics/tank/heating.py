"""What it takes to heat water: energy, time, and the flow that a heater keeps up."""

from __future__ import annotations

from typing import Final

import numpy as np

from wellsolar.constants import BTU_PER_POUND_FAHRENHEIT, POUND, US_GALLON
from wellsolar.physics.hydraulics import water
from wellsolar.physics.solve import require_positive
from wellsolar.physics.types import Floats

TRADE_HEAT_CAPACITY: Final = 8.33 * POUND * BTU_PER_POUND_FAHRENHEIT / US_GALLON
"""The trade's 8.33 Btu per US gallon and degF as [J/(m3 K)]; 8.33 lb/gal is water near 60 degF."""


def heating_energy(
    volume: Floats,
    start_temperature: Floats,
    end_temperature: Floats,
    measured_at: Floats | None = None,
) -> Floats:
    """Heat that brings a volume of water from one temperature to another, property-exact.

    Parameters:
        volume: water [m3], scalar or array
        start_temperature: temperature before [degC], scalar or array
        end_temperature: temperature after [degC], scalar or array
        measured_at: temperature at which the volume was measured [degC], scalar or array;
            None takes the start (the water is metered cold)
    Returns:
        heat [J], scalar or array
    Source: mass times the integral of the specific heat (Gauss-Legendre, 4 points).
    """
    mass = volume * water.density(start_temperature if measured_at is None else measured_at)
    places, weights = np.polynomial.legendre.leggauss(4)
    rise = end_temperature - start_temperature
    enthalpy: Floats = 0.0
    for place, weight in zip(places.tolist(), weights.tolist(), strict=True):
        at = start_temperature + rise * (0.5 + 0.5 * place)
        enthalpy = enthalpy + 0.5 * weight * rise * water.specific_heat(at)
    return mass * enthalpy


def time_to_heat(
    volume: Floats, start_temperature: Floats, end_temperature: Floats, power: Floats
) -> Floats:
    """Time to heat a volume of water by constant power, without loss.

    Parameters:
        volume: water, measured cold [m3], scalar or array
        start_temperature: temperature before [degC], scalar or array
        end_temperature: temperature after [degC], scalar or array
        power: heat into the water [W], scalar or array
    Returns:
        time [s], scalar or array
    Raises:
        OutOfRange: a power that is not positive
    Source: energy balance, heating energy over power.
    """
    require_positive(power, "power", "W")
    return heating_energy(volume, start_temperature, end_temperature) / power


def recovery_rate(
    power: Floats,
    temperature_rise: Floats,
    volumetric_heat_capacity: Floats = TRADE_HEAT_CAPACITY,
) -> Floats:
    """Flow of water that a heater keeps lifting by a temperature rise, without loss.

    Parameters:
        power: heat into the water [W], scalar or array
        temperature_rise: cold to hot [K], scalar or array
        volumetric_heat_capacity: of the water [J/(m3 K)], scalar or array; the trade's
            8.33 Btu per gallon and degF
    Returns:
        recovery rate [m3/s], scalar or array
    Raises:
        OutOfRange: a rise that is not positive
    Source: trade rule, W x 3.412 / (8.33 x rise in degF) gal/h.

    >>> 3600 / 3.785411784e-3 * recovery_rate(4500.0, 90 / 1.8)
    20.5
    """
    require_positive(temperature_rise, "temperature rise", "K")
    return power / (volumetric_heat_capacity * temperature_rise)


def first_hour_volume(tank_volume: Floats, recovery_rate: Floats) -> Floats:
    """Hot water of the first hour: 70 % of the tank and an hour of recovery.

    A tank heated by the sun alone has no recovery after sunset: give 0.

    Parameters:
        tank_volume: [m3], scalar or array
        recovery_rate: recovery rate of the heater [m3/s], scalar or array
    Returns:
        volume [m3], scalar or array; a rule of thumb, within 10 %
    Source: trade rule on two trade pages (names withheld).
    """
    return 0.7 * tank_volume + 3600.0 * recovery_rate
