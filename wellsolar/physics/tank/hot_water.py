"""Hot water: the heat it takes, mixing at the tap, and what a tank delivers without reheating."""

from __future__ import annotations

from typing import Final

import numpy as np

from wellsolar.constants import BTU_PER_POUND_FAHRENHEIT, POUND, US_GALLON
from wellsolar.physics.guards import require_positive
from wellsolar.physics.hydraulics import water
from wellsolar.physics.types import FloatArray, Real


def mixing_ratio(
    hot_temperature: float, inlet_temperature: float, tap_temperature: float
) -> float:
    """Share of hot water in what a mixing valve delivers.

    Parameters:
        hot_temperature: hot supply [degC], scalar
        inlet_temperature: cold supply [degC], scalar
        tap_temperature: delivered [degC], scalar
    Returns:
        hot share [0..1]; 1 where the hot supply is no hotter than the tap
    Raises:
        OutOfRange: cold supply not cooler than the tap
    Source: heat balance of mixing at constant heat capacity, (tap - cold) / (hot - cold).
    """
    require_positive(tap_temperature - inlet_temperature, "tap less cold temperature", "K")
    warmed = tap_temperature - inlet_temperature
    return warmed / max(hot_temperature - inlet_temperature, warmed)


def delivered_volume(
    tank_volume: float,
    hot_temperature: Real,
    inlet_temperature: float,
    tap_temperature: float,
) -> Real:
    """Mixed water that one tank of hot water gives, drawn as plug flow, without reheating.

    Parameters:
        tank_volume: [m3], scalar
        hot_temperature: tank [degC], scalar or array
        inlet_temperature: inlet and cold side of the valve [degC], scalar
        tap_temperature: delivered [degC], scalar
    Returns:
        mixed water at tap temperature [m3], scalar or array; 0 where the tank is cooler
    Raises:
        OutOfRange: cold not cooler than the tap
    Source: heat balance at constant heat capacity, V (Th - Tc) / (Tu - Tc).

    >>> delivered_volume(50.0, 150.0, 55.0, 120.0)  # gal and degF
    73.08
    """
    require_positive(tap_temperature - inlet_temperature, "tap less cold temperature", "K")
    volume = (
        tank_volume * (hot_temperature - inlet_temperature) / (tap_temperature - inlet_temperature)
    )
    if isinstance(hot_temperature, (int, float)):
        return volume if hot_temperature >= tap_temperature else 0.0
    return np.where(hot_temperature >= tap_temperature, volume, 0.0)


TRADE_HEAT_CAPACITY: Final = 8.33 * POUND * BTU_PER_POUND_FAHRENHEIT / US_GALLON
"""The trade's 8.33 Btu per US gallon and degF as [J/(m3 K)]; 8.33 lb/gal is water near 60 degF."""


def heating_energy(
    volume: float,
    start_temperature: float,
    end_temperature: float,
    measured_at: float | None = None,
) -> float:
    """Heat that brings a volume of water from one temperature to another, property-exact.

    Parameters:
        volume: water [m3], scalar
        start_temperature: temperature before [degC], scalar
        end_temperature: temperature after [degC], scalar
        measured_at: temperature at which the volume was measured [degC], scalar or
            None, which takes the start (the water is metered cold)
    Returns:
        heat [J]
    Source: mass times the integral of the specific heat (Gauss-Legendre, 4 points).
    """
    mass = volume * water.density(start_temperature if measured_at is None else measured_at)
    places, weights = np.polynomial.legendre.leggauss(4)
    rise = end_temperature - start_temperature
    enthalpy = 0.0
    for place, weight in zip(places.tolist(), weights.tolist(), strict=True):
        at = start_temperature + rise * (0.5 + 0.5 * place)
        enthalpy += 0.5 * weight * rise * water.specific_heat(at)
    return mass * enthalpy


def half_heated(inlet_temperature: Real, setpoint: Real) -> Real:
    """Water half way from cold to its thermostat's setting.

    Parameters:
        inlet_temperature: cold water [degC], scalar or array
        setpoint: of the thermostat [degC], scalar or array
    Returns:
        temperature [degC], scalar or array
    Source: the mean over a heating at constant power, which lifts water evenly.
    """
    return (inlet_temperature + setpoint) / 2


def element_heat_at_tap(
    element_heat: FloatArray, room_heat: FloatArray, delivered: FloatArray
) -> FloatArray:
    """Heat of the element that reaches the tap.

    A tank colder than its room is warmed by it, and that heat reaches the tap as well: of what is
    given the element has the part that it has of all that went in.

    Parameters:
        element_heat: that the element gave in each month [J], array
        room_heat: that a warmer room gave in the hours in which it gave any [J], array
        delivered: at the tap, above the cold inlet [J], array
    Returns:
        heat at the tap that came from the element [J], array
    Source: heat balance of the tank over a month, all that goes in taken as mixed.
    """
    put_in = element_heat + room_heat
    part = np.divide(element_heat, put_in, out=np.zeros_like(put_in), where=element_heat > 0.0)
    return np.asarray(delivered * part)
