"""A PV module: what its datasheet says, and its diode at any sun and temperature."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from wellsolar.constants import BOLTZMANN_EV, TEST_IRRADIANCE, TEST_TEMPERATURE, ZERO_CELSIUS
from wellsolar.physics.array.junction import Row, in_pieces
from wellsolar.physics.guards import require_range
from wellsolar.physics.types import FloatArray, Floats

BAND_GAP: Final = 1.121
"""Band gap of silicon at 25 degC [eV]; De Soto, Klein & Beckman (2006)."""

BAND_GAP_SLOPE: Final = -0.0002677
"""Relative change of the band gap [1/K]; De Soto, Klein & Beckman (2006)."""

DE_SOTO: Final = "de Soto"
"""`method` of a fit that meets all five equations of De Soto, Klein & Beckman (2006)."""

THREE_POINTS: Final = "three points"
"""`method` of the fallback: no shunt, through the three points, with the voltage coefficient."""

POINTS_ALONE: Final = "three points alone"
"""`method` of the last fallback: no resistance at all, and the voltage coefficient let go."""


@dataclass(frozen=True)
class ModuleRating:
    """What a module's datasheet says at 1000 W/m2 and 25 degC.

    open_circuit_voltage: [V]; short_circuit_current: [A]
    maximum_power_voltage: [V]; maximum_power_current: [A]
    cells_in_series: number of cells in series, not used by the fit
    voltage_coefficient: change of the open-circuit voltage [V/K], negative
    current_coefficient: change of the short-circuit current [A/K]
    """

    open_circuit_voltage: float
    short_circuit_current: float
    maximum_power_voltage: float
    maximum_power_current: float
    cells_in_series: int
    voltage_coefficient: float
    current_coefficient: float


@dataclass(frozen=True)
class FiveParameters:
    """The single-diode model of one module at 1000 W/m2 and 25 degC.

    photocurrent, saturation_current: [A]; series_resistance, shunt_resistance: [ohm]
    modified_ideality_voltage: ideality times cells in series times k T / q [V]
    current_coefficient: change of the photocurrent [A/K]
    method: how it was fitted, `DE_SOTO`, `THREE_POINTS` or `POINTS_ALONE`
    """

    photocurrent: float
    saturation_current: float
    series_resistance: float
    shunt_resistance: float
    modified_ideality_voltage: float
    current_coefficient: float
    method: str = DE_SOTO


@dataclass(frozen=True, eq=False)
class Diode:
    """The single-diode model of a module or an array at its present sun and temperature.

    photocurrent, saturation_current: [A]; series_resistance, shunt_resistance: [ohm]
    thermal_voltage: ideality times cells in series times k T / q [V]
    Each a scalar or an array; they broadcast. The shunt resistance is infinite in the dark.
    """

    photocurrent: Floats
    saturation_current: Floats
    series_resistance: Floats
    shunt_resistance: Floats
    thermal_voltage: Floats


def rated_power(rating: ModuleRating) -> float:
    """Rated power of a module, the product of its maximum power voltage and current.

    Parameters:
        rating: datasheet values [V, A, V/K, A/K], scalars
    Returns:
        power at 1000 W/m2 and 25 degC [W]
    Source: definition of the standard test conditions, IEC 61215 (from memory).
    """
    return rating.maximum_power_voltage * rating.maximum_power_current


def fill_factor(rating: ModuleRating) -> float:
    """Rated power over open-circuit voltage times short-circuit current.

    Parameters:
        rating: datasheet values [V, A, V/K, A/K], scalars
    Returns:
        fill factor [0..1]; crystalline modules lie between about 0.72 and 0.79
    Source: definition; the band is that of the open module table of pvlib.
    """
    return rated_power(rating) / (rating.open_circuit_voltage * rating.short_circuit_current)


def at_conditions(
    parameters: FiveParameters, irradiance: Floats, cell_temperature: Floats
) -> Diode:
    """The diode of a module at a given sun and cell temperature.

    Parameters:
        parameters: module at 1000 W/m2 and 25 degC [A, ohm, V], scalars
        irradiance: plane-of-array irradiance [W/m2], scalar or array
        cell_temperature: [degC], scalar or array
    Returns:
        diode of one module [A, ohm, V]; in the dark its photocurrent is 0
    Raises:
        OutOfRange: irradiance below 0, or cell temperature outside -90 .. 150 degC
    Source: De Soto, Klein & Beckman, Solar Energy 80 (2006) 78-88.
    """
    require_range(irradiance, 0.0, math.inf, "irradiance", "W/m2")
    require_range(cell_temperature, -90.0, 150.0, "cell temperature", "degC")
    sheet = parameters
    warm = (cell_temperature, sheet.saturation_current, sheet.modified_ideality_voltage)
    saturation_current, thermal_voltage = in_pieces(_warmed, warm, 2)
    lit = (irradiance, cell_temperature, sheet.photocurrent, sheet.current_coefficient)
    (photocurrent,) = in_pieces(_lit, lit, 1)
    (shunt_resistance,) = in_pieces(_shunted, (irradiance, sheet.shunt_resistance), 1)
    return Diode(
        photocurrent=photocurrent,
        saturation_current=saturation_current,
        series_resistance=sheet.series_resistance,
        shunt_resistance=shunt_resistance,
        thermal_voltage=thermal_voltage,
    )


def _warmed(
    cell_temperature: FloatArray, saturation_current: FloatArray, ideality_voltage: FloatArray
) -> Row:
    """Saturation current and thermal voltage at a temperature."""
    ratio = (cell_temperature - TEST_TEMPERATURE) / (TEST_TEMPERATURE + ZERO_CELSIUS) + 1.0
    return saturation_current * np.exp(log_growth(ratio)), ideality_voltage * ratio


def _lit(
    irradiance: FloatArray,
    cell_temperature: FloatArray,
    photocurrent: FloatArray,
    coefficient: FloatArray,
) -> Row:
    """Photocurrent at a sun and a temperature."""
    current = photocurrent + coefficient * (cell_temperature - TEST_TEMPERATURE)
    return (irradiance / TEST_IRRADIANCE * np.maximum(current, 0.0),)


def _shunted(irradiance: FloatArray, shunt_resistance: FloatArray) -> Row:
    """Shunt resistance at a sun, infinite in the dark."""
    with np.errstate(divide="ignore", over="ignore"):
        # The absolute value makes of a zero with a minus one without.
        return (shunt_resistance / (np.abs(irradiance) / TEST_IRRADIANCE),)


def array_of(diode: Diode, modules_in_series: int, strings: int) -> Diode:
    """Identical modules in series strings, the strings in parallel, as one diode.

    Parameters:
        diode: one module [A, ohm, V], scalars or arrays
        modules_in_series: modules in a string [-], scalar
        strings: strings in parallel [-], scalar
    Returns:
        diode of the array [A, ohm, V]
    Raises:
        OutOfRange: fewer than 1 in series or in parallel
    Source: Kirchhoff's laws for equal modules.
    """
    require_range(modules_in_series, 1, math.inf, "number of modules in series", "")
    require_range(strings, 1, math.inf, "number of strings in parallel", "")
    with np.errstate(over="ignore"):  # all but infinite in the faintest light
        shunt_resistance = diode.shunt_resistance * (modules_in_series / strings)
    return Diode(
        photocurrent=diode.photocurrent * strings,
        saturation_current=diode.saturation_current * strings,
        series_resistance=diode.series_resistance * (modules_in_series / strings),
        shunt_resistance=shunt_resistance,
        thermal_voltage=diode.thermal_voltage * modules_in_series,
    )


def log_growth(ratio: Floats) -> Floats:
    """Logarithm of the saturation current's growth with the temperature.

    Parameters:
        ratio: absolute temperature over that of 25 degC [-], scalar or array
    Returns:
        natural logarithm of the current over that at 25 degC [-]
    Source: De Soto, Klein & Beckman, Solar Energy 80 (2006) 78-88.
    """
    reference = TEST_TEMPERATURE + ZERO_CELSIUS
    gap = BAND_GAP * (1.0 + BAND_GAP_SLOPE * reference * (ratio - 1.0))
    scale = BOLTZMANN_EV * reference
    growth: Floats = 3.0 * np.log(ratio) + BAND_GAP / scale - gap / (scale * ratio)
    return growth
