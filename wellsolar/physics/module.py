"""A PV module from its datasheet: five parameters, and its diode at any sun and temperature."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.constants import BOLTZMANN_EV, ZERO_CELSIUS
from wellsolar.physics.solve import bracketed_root, require_range
from wellsolar.physics.types import Floats

REFERENCE_IRRADIANCE: Final = 1000.0
"""Irradiance of the standard test conditions [W/m2]; IEC 61215 (from memory)."""

REFERENCE_TEMPERATURE: Final = 25.0
"""Cell temperature of the standard test conditions [degC]; IEC 61215 (from memory)."""

BAND_GAP: Final = 1.121
"""Band gap of silicon at 25 degC [eV]; De Soto, Klein & Beckman (2006)."""

BAND_GAP_SLOPE: Final = -0.0002677
"""Relative change of the band gap [1/K]; De Soto, Klein & Beckman (2006)."""

DE_SOTO: Final = "de Soto"
"""`method` of a fit that meets all five equations of De Soto, Klein & Beckman (2006)."""

THREE_POINTS: Final = "three points"
"""`method` of the fallback: no shunt, through the three points, with the voltage coefficient."""

COEFFICIENT_STEP: Final = 2.0
"""Temperature step over which the fit holds the voltage coefficient [K]; small enough for a slope,
the step that the open reference fit takes as well."""


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
    method: how it was fitted, `DE_SOTO` or `THREE_POINTS`
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


class _Curve(NamedTuple):
    """A curve under trial; `junction` is the diode current at open circuit, which, unlike the
    saturation current, never underflows."""

    photocurrent: float
    junction: float
    shunt_conductance: float
    series_resistance: float
    ideality_voltage: float


def fit_five_parameters(rating: ModuleRating) -> FiveParameters:
    """Five parameters of a module from its datasheet.

    Two of De Soto's five equations remain after the three that are linear are solved: the power's
    flat top gives the series resistance for an ideality, and the voltage coefficient gives the
    ideality. Each falls steadily, so each has one root and no starting guess can fail.

    Where these equations ask for a negative resistance (about one sheet in five, rounded or
    rated below what was measured), the fallback `THREE_POINTS` keeps the three points and the
    voltage coefficient, leaves the shunt out and lets the power's flat top go: its greatest
    power then lies somewhat above the rated one (open module table: median 0.03 %, 95 of 100
    below 0.6 %, worst 3.3 %).

    Parameters:
        rating: datasheet values [V, A, V/K, A/K], scalars
    Returns:
        parameters at 1000 W/m2 and 25 degC [A, ohm, V], with the method that gave them
    Raises:
        OutOfRange: the sheet contradicts itself or no single diode passes through its points
    Source: De Soto, Klein & Beckman, Solar Energy 80 (2006) 78-88; the fallback is our own.
    """
    _check(rating)
    guess = _ideality_guess(rating)
    curve = _root_curve(rating, _flat_top_curve, 0.7 * guess, 1.2 * guess)
    if curve is not None and curve.shunt_conductance >= 0.0:
        return _parameters(rating, curve, DE_SOTO)
    curve = _root_curve(rating, _three_point_curve, 0.3 * guess, 1.2 * guess)
    if curve is None:
        raise OutOfRange(
            f"maximum power point {rating.maximum_power_voltage:g} V, "
            f"{rating.maximum_power_current:g} A: no diode passes through it together with the "
            f"voltage coefficient {rating.voltage_coefficient:g} V/K; allowed: a point nearer "
            "the origin or a smaller coefficient"
        )
    return _parameters(rating, curve, THREE_POINTS)


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


def linear_power(
    rated: Floats, power_coefficient: Floats, irradiance: Floats, cell_temperature: Floats
) -> Floats:
    """Power of a tracked module by the trade's straight-line rule.

    Parameters:
        rated: power at 1000 W/m2 and 25 degC [W], scalar or array
        power_coefficient: relative change of power [1/K], negative, scalar or array
        irradiance: plane-of-array irradiance [W/m2], scalar or array
        cell_temperature: [degC], scalar or array
    Returns:
        power [W]
    Source: Dobos, NREL/TP-6A20-62641 (2014), power rule (from memory).

    >>> linear_power(300.0, -0.0039, 1000.0, 65.0)
    253.2
    """
    warmer = cell_temperature - REFERENCE_TEMPERATURE
    return rated * irradiance / REFERENCE_IRRADIANCE * (1.0 + power_coefficient * warmer)


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
    warmer = np.asarray(cell_temperature, dtype=np.float64) - REFERENCE_TEMPERATURE
    ratio = warmer / (REFERENCE_TEMPERATURE + ZERO_CELSIUS) + 1.0
    sun = np.asarray(irradiance, dtype=np.float64) / REFERENCE_IRRADIANCE
    current = parameters.photocurrent + parameters.current_coefficient * warmer
    lit = np.maximum(sun, 1e-30)  # any figure that does not overflow: the dark is masked below
    return Diode(
        photocurrent=(sun * np.maximum(current, 0.0))[()],
        saturation_current=(parameters.saturation_current * np.exp(_log_growth(ratio)))[()],
        series_resistance=parameters.series_resistance,
        shunt_resistance=np.where(sun > 0.0, parameters.shunt_resistance / lit, np.inf)[()],
        thermal_voltage=(parameters.modified_ideality_voltage * ratio)[()],
    )


def array_of(diode: Diode, series: int, parallel: int) -> Diode:
    """Identical modules in series strings, the strings in parallel, as one diode.

    Parameters:
        diode: one module [A, ohm, V], scalars or arrays
        series: modules in a string [count], scalar
        parallel: strings [count], scalar
    Returns:
        diode of the array [A, ohm, V]
    Raises:
        OutOfRange: fewer than 1 in series or in parallel
    Source: Kirchhoff's laws for equal modules.
    """
    require_range(series, 1, math.inf, "number of modules in series", "")
    require_range(parallel, 1, math.inf, "number of strings in parallel", "")
    return Diode(
        photocurrent=diode.photocurrent * parallel,
        saturation_current=diode.saturation_current * parallel,
        series_resistance=diode.series_resistance * (series / parallel),
        shunt_resistance=diode.shunt_resistance * (series / parallel),
        thermal_voltage=diode.thermal_voltage * series,
    )


def _log_growth(ratio: Floats) -> Floats:
    """Logarithm of the saturation current's growth at an absolute temperature `ratio` times the
    reference."""
    reference = REFERENCE_TEMPERATURE + ZERO_CELSIUS
    gap = BAND_GAP * (1.0 + BAND_GAP_SLOPE * reference * (ratio - 1.0))
    scale = BOLTZMANN_EV * reference
    growth: Floats = 3.0 * np.log(ratio) + BAND_GAP / scale - gap / (scale * ratio)
    return growth


def _check(rating: ModuleRating) -> None:
    """Refuse a sheet that no module can have."""
    v_oc, i_sc = rating.open_circuit_voltage, rating.short_circuit_current
    require_range(v_oc, 0.1, 1000.0, "open-circuit voltage", "V")
    require_range(i_sc, 0.001, 1000.0, "short-circuit current", "A")
    for value, least, most, quantity, unit in (
        (rating.maximum_power_voltage, 0.25 * v_oc, 0.99 * v_oc, "maximum power voltage", "V"),
        (rating.maximum_power_current, 0.25 * i_sc, 0.999 * i_sc, "maximum power current", "A"),
        (rating.voltage_coefficient, -0.01 * v_oc, -0.0005 * v_oc, "voltage coefficient", "V/K"),
        (rating.current_coefficient, -0.003 * i_sc, 0.003 * i_sc, "current coefficient", "A/K"),
    ):
        require_range(value, least, most, quantity, unit)


def _ideality_guess(rating: ModuleRating) -> float:
    """Modified ideality voltage that the voltage coefficient asks for, but for the small parts
    that photocurrent and shunt have in it; the root lies within a few percent."""
    kelvin = REFERENCE_TEMPERATURE + ZERO_CELSIUS
    falling = rating.open_circuit_voltage / kelvin - rating.voltage_coefficient
    gap = BAND_GAP / (BOLTZMANN_EV * kelvin)
    return falling / ((3.0 + gap) / kelvin - gap * BAND_GAP_SLOPE)


def _root_curve(
    rating: ModuleRating,
    curve_of: Callable[[ModuleRating, float], _Curve | None],
    least: float,
    most: float,
) -> _Curve | None:
    """The curve whose ideality voltage lies between `least` and `most` and meets the voltage
    coefficient, or None. An ideality without a curve counts as too large."""

    def excess(ideality_voltage: float) -> float:
        curve = curve_of(rating, ideality_voltage)
        return -rating.short_circuit_current if curve is None else _excess(rating, curve)

    try:
        root = bracketed_root(excess, least, most)
    except OutOfRange:
        return None
    curve = curve_of(rating, root * (1.0 - 1e-12))
    met = curve is not None and abs(_excess(rating, curve)) < 1e-6 * rating.short_circuit_current
    return curve if met else None


def _excess(rating: ModuleRating, curve: _Curve) -> float:
    """Current left over [A] at the open-circuit voltage that the coefficient promises for a
    slightly warmer module; 0 when the curve meets the coefficient."""
    ratio = 1.0 + COEFFICIENT_STEP / (REFERENCE_TEMPERATURE + ZERO_CELSIUS)
    voltage = rating.open_circuit_voltage + rating.voltage_coefficient * COEFFICIENT_STEP
    exponent = voltage / ratio - rating.open_circuit_voltage
    diode = curve.junction * math.exp(
        exponent / curve.ideality_voltage + float(_log_growth(ratio))
    )
    photocurrent = curve.photocurrent + rating.current_coefficient * COEFFICIENT_STEP
    return photocurrent - diode - voltage * curve.shunt_conductance


def _flat_top_curve(rating: ModuleRating, ideality_voltage: float) -> _Curve | None:
    """The curve through the three points whose power is level at the maximum power point."""

    def slope(series_resistance: float) -> float:
        curve = _through_points(rating, ideality_voltage, series_resistance)
        drop = rating.maximum_power_current * series_resistance
        junction_voltage = rating.maximum_power_voltage + drop
        fall = (junction_voltage - rating.open_circuit_voltage) / ideality_voltage
        conductance = curve.junction / ideality_voltage * math.exp(fall) + curve.shunt_conductance
        level = conductance * (rating.maximum_power_voltage - drop)
        return rating.maximum_power_current - level

    largest = (
        rating.open_circuit_voltage - rating.maximum_power_voltage
    ) / rating.maximum_power_current
    try:
        root = bracketed_root(slope, 0.0, largest * (1.0 - 1e-9))
    except OutOfRange:
        return None
    return _through_points(rating, ideality_voltage, root)


def _through_points(
    rating: ModuleRating, ideality_voltage: float, series_resistance: float
) -> _Curve:
    """The curve through short circuit, open circuit and maximum power point, for which the three
    equations are linear in photocurrent, diode current and shunt conductance."""
    v_oc, i_sc = rating.open_circuit_voltage, rating.short_circuit_current
    i_mp = rating.maximum_power_current
    below_short = v_oc - i_sc * series_resistance
    below_peak = v_oc - rating.maximum_power_voltage - i_mp * series_resistance
    short = -math.expm1(-below_short / ideality_voltage)
    peak = -math.expm1(-below_peak / ideality_voltage)
    determinant = short * below_peak - peak * below_short
    junction = (i_sc * below_peak - i_mp * below_short) / determinant
    conductance = (short * i_mp - peak * i_sc) / determinant
    photocurrent = v_oc * conductance - junction * math.expm1(-v_oc / ideality_voltage)
    return _Curve(photocurrent, junction, conductance, series_resistance, ideality_voltage)


def _three_point_curve(rating: ModuleRating, ideality_voltage: float) -> _Curve | None:
    """The curve through the three points of a module without a shunt."""
    v_oc, i_sc = rating.open_circuit_voltage, rating.short_circuit_current
    i_mp = rating.maximum_power_current
    headroom = v_oc - rating.maximum_power_voltage

    def junction(series_resistance: float) -> float:
        return -i_sc / math.expm1((i_sc * series_resistance - v_oc) / ideality_voltage)

    def surplus(series_resistance: float) -> float:
        fall = (i_mp * series_resistance - headroom) / ideality_voltage
        return -junction(series_resistance) * math.expm1(fall) - i_mp

    if surplus(0.0) < 0.0:
        return None
    resistance = bracketed_root(surplus, 0.0, headroom / i_mp)
    diode = junction(resistance)
    photocurrent = -diode * math.expm1(-v_oc / ideality_voltage)
    return _Curve(photocurrent, diode, 0.0, resistance, ideality_voltage)


def _parameters(rating: ModuleRating, curve: _Curve, method: str) -> FiveParameters:
    conductance = curve.shunt_conductance
    dark = math.exp(-rating.open_circuit_voltage / curve.ideality_voltage)
    return FiveParameters(
        photocurrent=curve.photocurrent,
        saturation_current=curve.junction * dark,
        series_resistance=curve.series_resistance,
        shunt_resistance=1.0 / conductance if conductance > 0.0 else math.inf,
        modified_ideality_voltage=curve.ideality_voltage,
        current_coefficient=rating.current_coefficient,
        method=method,
    )
