"""Hot water at the tap: mixing, and what a tank delivers without reheating."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from wellsolar.physics.solve import require_positive, require_range
from wellsolar.physics.types import Floats, plain

COMBINED_SYSTEM_LIMIT: Final = 60.0
"""Potable side of a system that also heats space, 140 degF or less as [degC], held by an ASSE
1017 valve: model plumbing code 501.2."""

HAND_WASHING_LIMIT: Final = (110.0 - 32.0) / 1.8
"""Tempered water at public hand-washing, at most 110 degF as [degC]: model plumbing code."""


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


def delivered_volume_mixed(
    tank_volume: Floats,
    hot_temperature: Floats,
    inlet_temperature: Floats,
    tap_temperature: Floats,
) -> Floats:
    """Mixed water from a fully mixed tank until it has fallen to tap temperature, no reheating.

    Parameters:
        tank_volume: [m3], scalar or array
        hot_temperature: tank at the start [degC], scalar or array
        inlet_temperature: inlet and cold side of the valve [degC], scalar or array
        tap_temperature: delivered [degC], scalar or array
    Returns:
        mixed water at tap temperature [m3], scalar or array; 0 where the tank is cooler
    Raises:
        OutOfRange: cold not cooler than the tap
    Source: heat balance at constant heat capacity, V ((Th - Tc) / (Tu - Tc) - 1).

    >>> delivered_volume_mixed(50.0, 150.0, 55.0, 120.0)  # gal and degF
    23.08
    """
    require_positive(tap_temperature - inlet_temperature, "tap less cold temperature", "K")
    return plain(
        tank_volume
        * np.maximum(
            0.0,
            (hot_temperature - inlet_temperature) / (tap_temperature - inlet_temperature) - 1.0,
        )
    )


def outlet_fraction(drawn: Floats, nodes: int) -> Floats:
    """Outlet temperature of N well-mixed tanks in series, over the cold inlet, start at 1.

    Parameters:
        drawn: volume drawn over the volume of the tank [-], scalar or array
        nodes: number of tanks in series [-], whole number
    Returns:
        (outlet - cold) / (start - cold) [0..1], scalar or array
    Raises:
        OutOfRange: a negative draw, no node
    Source: residence time of tanks in series; Poisson distribution function of N - 1 at mean
        N times the draw.
    """
    require_range(drawn, 0.0, math.inf, "drawn volume", "tanks")
    require_positive(nodes, "nodes", "")
    from scipy.special import pdtr  # scipy.special takes 0.2 s to import

    return plain(pdtr(nodes - 1, nodes * np.asarray(drawn, float)))


def delivered_volume_nodes(
    tank_volume: float,
    hot_temperature: float,
    inlet_temperature: float,
    tap_temperature: float,
    nodes: int,
) -> float:
    """Mixed water from a tank of N nodes in series until its outlet has fallen to the tap's.

    Parameters:
        tank_volume: [m3], scalar
        hot_temperature: tank at the start [degC], scalar
        inlet_temperature: inlet and cold side of the valve [degC], scalar
        tap_temperature: delivered [degC], scalar
        nodes: number of tanks in series; 1 is fully mixed, very many is plug flow [-]
    Returns:
        mixed water at tap temperature [m3], scalar; 0 if the tank is cooler
    Raises:
        OutOfRange: cold not cooler than the tap, no node
    Source: integral of the outlet fraction of tanks in series (Poisson sum) to the draw at which
        it equals (Tu - Tc) / (Th - Tc).
    """
    require_positive(tap_temperature - inlet_temperature, "tap less cold temperature", "K")
    require_positive(nodes, "nodes", "")
    if hot_temperature <= tap_temperature:
        return 0.0
    from scipy.special import gammainc, pdtri

    mean = float(
        pdtri(
            nodes - 1,
            (tap_temperature - inlet_temperature) / (hot_temperature - inlet_temperature),
        )
    )
    # heat out = 1/N sum over k < N of P(Gamma(k + 1) <= mean)
    heat = float(np.sum(gammainc(np.arange(1, nodes + 1), mean))) / nodes
    return (
        tank_volume
        * heat
        * (hot_temperature - inlet_temperature)
        / (tap_temperature - inlet_temperature)
    )
