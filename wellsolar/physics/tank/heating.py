"""What it takes to heat water: energy, time, and the flow that a heater keeps up."""

from __future__ import annotations

from typing import Final

import numpy as np

from wellsolar.constants import BTU_PER_POUND_FAHRENHEIT, POUND, US_GALLON
from wellsolar.physics.hydraulics import water
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


def half_heated(inlet_temperature: Floats, setpoint: Floats) -> Floats:
    """Water half way from cold to its thermostat's setting.

    Parameters:
        inlet_temperature: cold water [degC], scalar or array
        setpoint: of the thermostat [degC], scalar or array
    Returns:
        temperature [degC], scalar or array
    Source: the mean over a heating at constant power, which lifts water evenly.
    """
    return (inlet_temperature + setpoint) / 2
