"""The five parameters of a module from its datasheet."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final, NamedTuple

from wellsolar.constants import BOLTZMANN_EV, TEST_TEMPERATURE, ZERO_CELSIUS
from wellsolar.errors import OutOfRange
from wellsolar.physics.array.module import (
    BAND_GAP,
    BAND_GAP_SLOPE,
    DE_SOTO,
    POINTS_ALONE,
    THREE_POINTS,
    FiveParameters,
    ModuleRating,
    log_growth,
)
from wellsolar.physics.guards import require_range
from wellsolar.physics.solve import bracketed_root

COEFFICIENT_STEP: Final = 2.0
"""Temperature step over which the fit holds the voltage coefficient [K]; small enough for a slope,
the step that the open reference fit takes as well."""


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

    Where no curve through the points keeps the voltage coefficient (five crystalline sheets of
    that table), the last fallback `POINTS_ALONE` lets it go and leaves out both resistances.

    Parameters:
        rating: datasheet values [V, A, V/K, A/K], scalars
    Returns:
        parameters at 1000 W/m2 and 25 degC [A, ohm, V], with the method that gave them
    Raises:
        OutOfRange: the sheet contradicts itself, such as more voltage at maximum power than
            at open circuit, or a maximum power point below the straight line between the ends
    Source: De Soto, Klein & Beckman, Solar Energy 80 (2006) 78-88; the fallback is our own.
    """
    _check(rating)
    guess = _ideality_guess(rating)
    curve = _root_curve(rating, _flat_top_curve, 0.7 * guess, 1.2 * guess)
    if curve is not None and curve.shunt_conductance >= 0.0:
        return _parameters(rating, curve, DE_SOTO)
    curve = _root_curve(rating, _three_point_curve, 0.3 * guess, 1.2 * guess)
    if curve is not None:
        return _parameters(rating, curve, THREE_POINTS)
    return _parameters(rating, _points_alone_curve(rating), POINTS_ALONE)


def _check(rating: ModuleRating) -> None:
    """Refuse a sheet that no module can have."""
    v_oc, i_sc = rating.open_circuit_voltage, rating.short_circuit_current
    require_range(v_oc, 0.1, 1000.0, "open-circuit voltage", "V")
    require_range(i_sc, 0.001, 1000.0, "short-circuit current", "A")
    for value, least, most, quantity, unit in (
        (rating.maximum_power_voltage, 0.25 * v_oc, 0.99 * v_oc, "maximum power voltage", "V"),
        (rating.maximum_power_current, 0.25 * i_sc, 0.999 * i_sc, "maximum power current", "A"),
        (rating.voltage_coefficient, -0.01 * v_oc, -0.0005 * v_oc, "voltage coefficient", "V/K"),
        (rating.current_coefficient, -0.01 * i_sc, 0.01 * i_sc, "current coefficient", "A/K"),
    ):
        require_range(value, least, most, quantity, unit)


def _ideality_guess(rating: ModuleRating) -> float:
    """Modified ideality voltage that the voltage coefficient asks for, but for the small parts
    that photocurrent and shunt have in it; the root lies within a few percent."""
    kelvin = TEST_TEMPERATURE + ZERO_CELSIUS
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
    ratio = 1.0 + COEFFICIENT_STEP / (TEST_TEMPERATURE + ZERO_CELSIUS)
    voltage = rating.open_circuit_voltage + rating.voltage_coefficient * COEFFICIENT_STEP
    exponent = voltage / ratio - rating.open_circuit_voltage
    diode = curve.junction * math.exp(exponent / curve.ideality_voltage + float(log_growth(ratio)))
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


def _points_alone_curve(rating: ModuleRating) -> _Curve:
    """The one curve through the three points without any resistance.

    Its ideality follows from how far the current has fallen at maximum power, and the fall grows
    with the ideality from none to the straight line between the ends.
    """
    v_oc, i_sc = rating.open_circuit_voltage, rating.short_circuit_current
    headroom = v_oc - rating.maximum_power_voltage

    def current(ideality_voltage: float) -> float:
        """At the maximum power voltage [A]."""
        share = math.expm1(-headroom / ideality_voltage) / math.expm1(-v_oc / ideality_voltage)
        return i_sc * share

    straight = i_sc * headroom / v_oc
    if rating.maximum_power_current <= 1.001 * straight:
        raise OutOfRange(
            f"maximum power point {rating.maximum_power_voltage:g} V, "
            f"{rating.maximum_power_current:g} A: lies on or below the straight line between "
            f"{v_oc:g} V and {i_sc:g} A, allowed is a curve above it"
        )
    ideality_voltage = bracketed_root(
        lambda resistance: current(resistance) - rating.maximum_power_current,
        0.001 * v_oc,
        1000.0 * v_oc,
    )
    diode = -i_sc / math.expm1(-v_oc / ideality_voltage)
    photocurrent = -diode * math.expm1(-v_oc / ideality_voltage)
    return _Curve(photocurrent, diode, 0.0, 0.0, ideality_voltage)


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
