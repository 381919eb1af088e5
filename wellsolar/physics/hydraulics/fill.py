"""Pressure at the house: the fill of a tank in time, and the speed of a pump that holds it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from wellsolar.errors import OutOfRange
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.hydraulics import pressure_tank
from wellsolar.physics.hydraulics.pump import HeadCurve, operating_point
from wellsolar.physics.solve import bracketed_root
from wellsolar.physics.types import FloatArray, Real, plain

NODES, WEIGHTS = np.polynomial.legendre.leggauss(12)
"""Of the quadrature between two pressures, from -1 to 1; the integrand is smooth there."""

PART_OF_BEST: Final = 0.5
"""Part of a pump's best efficiency below which a slowed pump loses no greater share more [-]: the
rule is one for pumps near their best, and has no bound where a pump gives next to nothing; our
choice."""

EFFICIENCY_EXPONENT: Final = 0.1
"""Exponent of the speed in the loss of a slowed pump [-]; Sarbu and Borza (1998), Energetic
optimization of water pumping in distribution systems (second hand)."""


@dataclass(frozen=True)
class Fill:
    """A pressure tank on its way from cut-in to cut-out.

    pressure: gauge, as given [Pa]; volume: water in the tank [m3]; time: since cut-in [s];
    energy: taken by the pump since cut-in [J], zeros where no power was given; arrays all.
    duration: whole time [s]; water: taken in by the tank [m3].
    mean_flow: of the pump over the time [m3/s].
    """

    pressure: FloatArray
    volume: FloatArray
    time: FloatArray
    energy: FloatArray
    duration: float
    water: float
    mean_flow: float


def tank_fill(
    pressure: FloatArray,
    flow: FloatArray,
    tank_volume: float,
    precharge: float,
    atmospheric_pressure: float,
    input_power: FloatArray | None = None,
) -> Fill:
    """Time, mean flow and energy of a fill, the pump's flow falling as the pressure rises.

    Parameters:
        pressure: pressures from cut-in to cut-out, gauge, rising [Pa], two or more, array
        flow: flow of the pump at each of them [m3/s], array
        tank_volume: whole volume of the tank [m3], scalar
        precharge: air pressure of the drained tank, gauge [Pa], scalar
        atmospheric_pressure: pressure of the atmosphere at the site [Pa], scalar
        input_power: power that the pump takes at each pressure [W], array or None
    Returns:
        points along the fill and its sums [Pa, m3, s, J]
    Raises:
        OutOfRange: pressures that do not rise or do not match the flows; the tank takes no water
            (precharge not below the last pressure); a flow not above zero, so that the pump
            never reaches the last pressure
    Source: continuity, dt = dV / Q, with Boyle's law in the tank; flow between the points
        by Fritsch and Carlson (1980), integral by Gauss-Legendre quadrature.
    """
    from scipy.interpolate import PchipInterpolator  # takes 0.2 s to import

    pressures, flows = np.asarray(pressure, np.float64), np.asarray(flow, np.float64)
    if pressures.ndim != 1 or pressures.shape != flows.shape or pressures.size < 2:
        raise OutOfRange(
            f"a fill needs two or more pressures with a flow each, given are "
            f"{pressures.size} pressures and {flows.size} flows"
        )
    if not all(a < b < math.inf for a, b in pairwise(pressures.tolist())):
        raise OutOfRange("the pressures of a fill must rise from point to point")
    require_positive(tank_volume, "tank volume", "m3")
    require_positive(pressures[-1] - precharge, "last pressure less precharge", "Pa")
    require_positive(flows, "flow left to fill the tank", "m3/s")
    air = (precharge, atmospheric_pressure)
    volume = pressure_tank.stored_water(tank_volume, air[0], pressures, air[1])
    half = 0.5 * np.diff(volume)[:, np.newaxis]
    inner = volume[:-1, np.newaxis] + half * (NODES + 1.0)
    at = pressure_tank.pressure_at(tank_volume, air[0], inner, air[1])
    at = np.clip(at, pressures[:-1, np.newaxis], pressures[1:, np.newaxis])
    powers = np.zeros(flows.shape) if input_power is None else np.asarray(input_power, np.float64)
    between = PchipInterpolator(pressures, np.stack([flows, powers]), axis=1)(at)
    passing = half * WEIGHTS / between[0]
    time = _sums(passing)
    energy = _sums(passing * between[1])
    duration, water = float(time[-1]), float(volume[-1] - volume[0])
    return Fill(pressures, volume, time, energy, duration, water, water / duration)


def _sums(pieces: FloatArray) -> FloatArray:
    """Running sums at the points, from the parts of the pieces between them."""
    return np.concatenate([[0.0], np.cumsum(pieces.sum(axis=1))])


def speed_for_head(curve: HeadCurve, flow: float, head: float) -> float:
    """Speed at which a pump makes a head at a flow.

    Parameters:
        curve: head curve of the pump at the datasheet's speed [m3/s, m], scalar
        flow: flow wanted, 0 or more [m3/s], scalar
        head: head wanted, above 0 [m], scalar
    Returns:
        speed over the datasheet's [-]; above 1 where the datasheet's speed does not do
    Raises:
        OutOfRange: the pump would run beyond an end of its curve at any speed that does it
    Source: affinity laws, s^2 H(Q/s) = head, solved for the flow Q/s on the curve by Brent (1973).
    """
    require_range(flow, 0.0, math.inf, "flow", "m3/s")
    require_positive(head, "head", "m")

    def spare(on_curve: float) -> float:
        return curve.head_at(on_curve) * flow**2 - head * on_curve**2

    first, last = curve.first_flow, curve.greatest_flow
    if spare(first) < 0.0 or spare(last) > 0.0:
        raise OutOfRange(
            f"no speed gives {head:g} m at {flow:g} m3/s within the points of the head curve"
        )
    on_curve = bracketed_root(spare, first, last, "flow on the head curve", "m3/s")
    return math.sqrt(head / curve.head_at(on_curve))


@dataclass(frozen=True)
class SpeedRange:
    """Speeds over which a variable-speed pump holds a pressure.

    least: speed ratio at which it just holds the pressure without flow.
    greatest_flow: most it gives at that pressure [m3/s].
    """

    least: float
    greatest_flow: float


def speed_range(
    curve: HeadCurve,
    system_head: Callable[[float, float], float],
    pressure: float,
) -> SpeedRange:
    """Range of speeds from no flow to the most that a variable-speed pump can hold a pressure at.

    Below the least speed the check valve stays shut and the pump only warms its water, so the
    drive must stop there. Many drives and water-lubricated thrust bearings ask for more than that.

    Parameters:
        curve: head curve of the pump at the datasheet's speed, from shut-off [m3/s, m], scalar
        system_head: head the system asks for at a flow and a gauge pressure [m], scalar
        pressure: pressure to hold, gauge [Pa], scalar
    Returns:
        least speed over the datasheet's [-], greatest flow [m3/s]
    Raises:
        OutOfRange: the curve does not begin at shut-off; the datasheet's speed does not reach the
            pressure
    Source: affinity laws.
    """
    require_range(curve.first_flow, 0.0, 0.0, "first flow of the head curve", "m3/s")
    least = speed_for_head(curve, 0.0, system_head(0.0, pressure))
    require_range(least, 0.0, 1.0, "speed ratio that reaches the pressure", "")
    last, lowest = curve.greatest_flow, curve.lowest_head
    fast = operating_point(curve, lambda flow: system_head(flow, pressure))
    if fast.state != "beyond the curve":
        return SpeedRange(least, fast.flow)
    # The end of the datasheet, not the drive, sets the bound: the speed whose curve ends there.
    end = bracketed_root(
        lambda speed: speed**2 * lowest - system_head(speed * last, pressure),
        least,
        1.0,
        "speed ratio",
    )
    return SpeedRange(least, end * last)


def efficiency_at_speed(pump_efficiency: float, speed_ratio: Real) -> Real:
    """Efficiency of a pump at another speed, at the flow that the affinity laws give.

    The laws alone leave it as it is; friction in the pump makes a slowed one somewhat worse. The
    losses of motor and drive at part load come on top and are often the greater.

    Parameters:
        pump_efficiency: efficiency at the known speed, above 0 to 1 [-], scalar
        speed_ratio: new speed over known speed, above 0 [-], scalar or array
    Returns:
        efficiency [-], not below 0
    Raises:
        OutOfRange: efficiency outside 0..1; speed ratio not above zero
    Source: Sarbu and Borza (1998): 1 - (1 - efficiency) / ratio^0.1 (second hand).
    """
    require_range(pump_efficiency, 0.0, 1.0, "pump efficiency", "")
    require_positive(speed_ratio, "speed ratio", "")
    losses = (1.0 - pump_efficiency) / speed_ratio**EFFICIENCY_EXPONENT
    efficiency: Real = np.maximum(1.0 - losses, 0.0)
    return plain(efficiency)


def power_at_speed(
    full_power: float, full_water_power: float, best_efficiency: float, speed_ratio: float
) -> float:
    """Input of a slowed pump, from that at the datasheet's speed at the flow that corresponds.

    Parameters:
        full_power: input at the datasheet's speed, at the flow over the speed ratio [W], scalar
        full_water_power: power given to the water there [W], scalar
        best_efficiency: greatest of the two's ratio along the curve, above 0 to 1 [-], scalar
        speed_ratio: new speed over the datasheet's, above 0 [-], scalar
    Returns:
        input [W]: with the cube of the speed, and what a slowed pump loses besides
    Raises:
        OutOfRange: an efficiency outside 0..1; a speed at which nothing is left of it
    Source: affinity laws; `efficiency_at_speed`, whose wire-to-water efficiency is taken for the
        pump's.
    """
    require_positive(full_power, "full power", "W")
    efficiency = max(full_water_power / full_power, PART_OF_BEST * best_efficiency)
    efficiency = min(efficiency, 1.0)
    slowed = efficiency_at_speed(efficiency, speed_ratio)
    require_positive(slowed, "efficiency of the slowed pump", "")
    return full_power * speed_ratio**3 * efficiency / slowed
