"""Hot water at the tap: mixing, and what a tank delivers without reheating."""

from __future__ import annotations

import numpy as np

from wellsolar.physics.guards import require_positive
from wellsolar.physics.types import Floats, plain


def mixing_ratio(
    hot_temperature: Floats, inlet_temperature: Floats, tap_temperature: Floats
) -> Floats:
    """Share of hot water in what a mixing valve delivers.

    Parameters:
        hot_temperature: hot supply [degC], scalar or array
        inlet_temperature: cold supply [degC], scalar or array
        tap_temperature: delivered [degC], scalar or array
    Returns:
        hot share [0..1], scalar or array; 1 where the hot supply is no hotter than the tap
    Raises:
        OutOfRange: cold supply not cooler than the tap
    Source: heat balance of mixing at constant heat capacity, (tap - cold) / (hot - cold).
    """
    require_positive(tap_temperature - inlet_temperature, "tap less cold temperature", "K")
    return plain(
        np.minimum(
            1.0,
            (tap_temperature - inlet_temperature)
            / np.maximum(hot_temperature - inlet_temperature, tap_temperature - inlet_temperature),
        )
    )


def delivered_volume(
    tank_volume: Floats,
    hot_temperature: Floats,
    inlet_temperature: Floats,
    tap_temperature: Floats,
) -> Floats:
    """Mixed water that one tank of hot water gives, drawn as plug flow, without reheating.

    Parameters:
        tank_volume: [m3], scalar or array
        hot_temperature: tank [degC], scalar or array
        inlet_temperature: inlet and cold side of the valve [degC], scalar or array
        tap_temperature: delivered [degC], scalar or array
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
    return plain(np.where(np.asarray(hot_temperature) >= tap_temperature, volume, 0.0))
