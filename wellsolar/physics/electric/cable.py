"""Voltage drop, loss and current rules of copper circuits."""

from __future__ import annotations

import math
from typing import Final

from wellsolar.constants import TEST_TEMPERATURE
from wellsolar.errors import OutOfRange
from wellsolar.physics.types import Real

CONTINUOUS_FACTOR: Final = 1.25
"""Margin of the code on continuous currents [-]; NFPA 70 210.19, 430.22, 690.8 (690.8 and 430.22
second hand, 210.19(A)(1) from memory)."""

MOTOR_BREAKER_FACTOR: Final = 2.50
"""Greatest inverse-time breaker over full-load current of a motor [-]; NFPA 70 Table 430.52
(second hand)."""

DIRECT_CURRENT_BREAKER_FACTOR: Final = 1.50
"""The same for a direct-current motor at constant voltage [-]; NFPA 70 Table 430.52 (second
hand)."""


def voltage_drop(
    current: Real, resistance_per_length: float, one_way_length: Real, phases: int = 1
) -> Real:
    """Voltage lost in a cable; direct current counts as one phase.

    Resistance only, at power factor 1: reactance is small in these sizes.

    Parameters:
        current: line current [A], scalar or array
        resistance_per_length: resistance of one conductor [ohm/m], scalar
        one_way_length: distance from source to load, not the loop [m], scalar or array
        phases: 1 or 3 [-], scalar
    Returns:
        drop of the voltage between the lines [V]
    Raises:
        OutOfRange: another number of phases
    Source: 2 L r I for two wires, sqrt(3) L r I for three phases.

    >>> voltage_drop(4.0, 4.99 / 304.8, 100 * 0.3048)
    4.0
    """
    conductors = 2.0 if _one_phase(phases) else math.sqrt(3.0)
    return conductors * one_way_length * resistance_per_length * current


def power_loss(
    current: float, resistance_per_length: float, one_way_length: float, phases: int = 1
) -> float:
    """Heat made in all conductors of a cable; direct current counts as one phase.

    Parameters:
        current: line current [A], scalar
        resistance_per_length: resistance of one conductor [ohm/m], scalar
        one_way_length: distance from source to load, not the loop [m], scalar
        phases: 1 or 3 [-], scalar
    Returns:
        power lost [W]
    Raises:
        OutOfRange: another number of phases
    Source: I^2 R in each of two (one phase) or three conductors.
    """
    conductors = 2.0 if _one_phase(phases) else 3.0
    return conductors * one_way_length * resistance_per_length * current**2


def corrected_ampacity(ampacity: float, ambient_factor: float, bundling_factor: float) -> float:
    """Ampacity of a conductor in its own surroundings.

    Parameters:
        ampacity: table value for 30 degC and three conductors [A], scalar
        ambient_factor: correction for the ambient temperature [-], scalar
        bundling_factor: adjustment for more than three conductors [-], scalar
    Returns:
        ampacity [A]
    Source: NFPA 70 310.15: table value times both factors.

    >>> corrected_ampacity(40.0, 0.82, 0.80)
    26.24
    """
    return ampacity * ambient_factor * bundling_factor


def pv_circuit_current(short_circuit_current: float, strings: float) -> float:
    """Maximum current of a photovoltaic circuit by code.

    Parameters:
        short_circuit_current: rated short-circuit current of one string [A], scalar
        strings: strings in parallel on the circuit [-], scalar
    Returns:
        current [A]
    Source: NFPA 70 690.8(A): sum of the parallel short-circuit currents times 1.25.
    """
    return CONTINUOUS_FACTOR * short_circuit_current * strings


def pv_conductor_current(short_circuit_current: float, strings: float) -> float:
    """Least rating of a photovoltaic circuit's conductors, uncorrected, and fuse.

    Parameters:
        short_circuit_current: rated short-circuit current of one string [A], scalar
        strings: strings in parallel on the circuit [-], scalar
    Returns:
        current [A]
    Source: NFPA 70 690.8(B), 690.9(B): maximum circuit current times 1.25.
    """
    return CONTINUOUS_FACTOR * pv_circuit_current(short_circuit_current, strings)


def motor_conductor_current(full_load_current: float) -> float:
    """Least ampacity of the conductors of a single motor.

    Parameters:
        full_load_current: full-load current of the code's table [A], scalar
    Returns:
        current [A]
    Source: NFPA 70 430.22: 125 % of the table current.

    >>> motor_conductor_current(16.0)
    20.0
    """
    return CONTINUOUS_FACTOR * full_load_current


def motor_breaker_current(full_load_current: float) -> float:
    """Greatest inverse-time breaker of a single motor's branch circuit, before the next size.

    It guards against short circuits; the motor's overload protection is another device. Where
    this is no standard size the next one above is allowed.

    Parameters:
        full_load_current: full-load current of the code's table [A], scalar
    Returns:
        current [A]
    Source: NFPA 70 430.52 and its table: 250 % for single-phase and induction motors (second
        hand).

    >>> motor_breaker_current(16.0)
    40.0
    """
    return MOTOR_BREAKER_FACTOR * full_load_current


def direct_current_breaker_current(full_load_current: float) -> float:
    """Greatest inverse-time breaker of a direct-current motor, before the next size.

    Parameters:
        full_load_current: full-load current of the motor [A], scalar
    Returns:
        current [A]
    Source: NFPA 70 430.52 and its table: 150 % for direct current (second hand).
    """
    return DIRECT_CURRENT_BREAKER_FACTOR * full_load_current


def cold_open_circuit_voltage(
    open_circuit_voltage: float,
    modules_in_series: float,
    lowest_temperature: float,
    voltage_coefficient_per_kelvin: float,
) -> float:
    """Open-circuit voltage of a string in the cold by the module's own coefficient.

    Parameters:
        open_circuit_voltage: of one module at 25 degC [V], scalar
        modules_in_series: modules in series [-], scalar
        lowest_temperature: lowest expected temperature [degC], scalar
        voltage_coefficient_per_kelvin: relative change, negative for silicon [1/K], scalar or
            array
    Returns:
        voltage of the string [V]
    Source: NFPA 70 690.7(A)(1): Voc (1 + beta (T - 25)) for the modules in series.
    """
    warming = lowest_temperature - TEST_TEMPERATURE
    return (
        modules_in_series * open_circuit_voltage * (1.0 + voltage_coefficient_per_kelvin * warming)
    )


def _one_phase(phases: int) -> bool:
    if phases not in (1, 3):
        raise OutOfRange(f"phases is {phases}; it must be 1 or 3")
    return phases == 1
