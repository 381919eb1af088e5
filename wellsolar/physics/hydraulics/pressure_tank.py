"""Captive-air pressure tanks: Boyle's law with absolute pressures.

Volumes of a tank are those of the whole vessel. Several tanks on one line with the same
precharge act as one tank of their summed volume.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from wellsolar.constants import PSI
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.types import Real, plain


def flow_from_fill_time(
    tank_volume: float,
    precharge: float,
    cut_in: float,
    cut_out: float,
    atmospheric_pressure: float,
    fill_time: float,
) -> float:
    """Mean flow of a pump that fills a captive-air tank in a time, with no tap open.

    Parameters:
        tank_volume: whole volume of the tank [m3], scalar
        precharge: air pressure of the drained tank, gauge [Pa], scalar
        cut_in: pressure at which the pump starts, gauge [Pa], scalar
        cut_out: pressure at which the pump stops, gauge [Pa], scalar
        atmospheric_pressure: pressure of the atmosphere at the site [Pa], scalar
        fill_time: from cut-in to cut-out [s], above 0, scalar
    Returns:
        flow, the mean in time [m3/s]
    Raises:
        OutOfRange: the time is not above 0
    Source: continuity with Boyle's law; Pelikan, National Driller, article 86087: the 25.1 gal of
        an 85 gal tank at 28 psi between 30 and 50 psi, here in 2.51 min.

    >>> psi, gal = 6894.757, 3.785411784e-3
    >>> tank = (85 * gal, 28 * psi, 30 * psi, 50 * psi, 14.7 * psi)
    >>> flow_from_fill_time(*tank, 2.51 * 60) * 60 / gal
    10.0
    """
    require_positive(fill_time, "fill time", "s")
    drawn = drawdown_volume(tank_volume, precharge, cut_in, cut_out, atmospheric_pressure)
    return drawn / fill_time


def precharge_from_drawdown(
    tank_volume: float,
    drawdown_volume: float,
    cut_in: float,
    cut_out: float,
    atmospheric_pressure: float,
) -> float:
    """Precharge, not above cut-in, with which a captive-air tank takes so much between pressures.

    Parameters:
        tank_volume: whole volume of the tank [m3], above 0, scalar
        drawdown_volume: water taken from cut-in to cut-out [m3], scalar
        cut_in: lower pressure, gauge [Pa], scalar
        cut_out: higher pressure, gauge [Pa], scalar
        atmospheric_pressure: pressure of the atmosphere at the site [Pa], scalar
    Returns:
        air pressure of the drained tank, gauge [Pa]; above cut-in where no precharge below it
        takes so much, below 0 where the tank holds less air than at the atmosphere's pressure
    Raises:
        OutOfRange: tank volume not above 0, or cut-out not above cut-in
    Source: Boyle with absolute pressures, solved for the precharge; National Driller, article
        86027, prints 0.30 of the volume for 30/50 psi with 28 psi.

    >>> psi = 6894.757
    >>> round(precharge_from_drawdown(1.0, 0.2955, 30 * psi, 50 * psi, 14.7 * psi) / psi)
    28
    """
    require_positive(tank_volume, "tank volume", "m3")
    require_positive(cut_out - cut_in, "cut-out less cut-in", "Pa")
    share = drawdown_volume / tank_volume
    low, high = cut_in + atmospheric_pressure, cut_out + atmospheric_pressure
    return share / (1.0 / low - 1.0 / high) - atmospheric_pressure


def precharge_above_cut_in(
    tank_volume: float,
    drawdown_volume: float,
    cut_out: float,
    atmospheric_pressure: float,
) -> float:
    """Precharge above cut-in with which a captive-air tank takes so much up to cut-out.

    Such a tank is empty before the switch closes, so that all its water is taken in above it.

    Parameters:
        tank_volume: whole volume of the tank [m3], above 0, scalar
        drawdown_volume: water taken up to cut-out [m3], scalar
        cut_out: higher pressure, gauge [Pa], scalar
        atmospheric_pressure: pressure of the atmosphere at the site [Pa], scalar
    Returns:
        air pressure of the drained tank, gauge [Pa]
    Raises:
        OutOfRange: tank volume not above 0
    Source: Boyle with absolute pressures, V (1 - P1 / P3) of water up to P3, solved for P1.

    >>> psi = 6894.757
    >>> water = 100.0 * (1.0 - 54.7 / 64.7)
    >>> round(precharge_above_cut_in(100.0, water, 50 * psi, 14.7 * psi) / psi, 3)
    40.0
    """
    require_positive(tank_volume, "tank volume", "m3")
    left = 1.0 - drawdown_volume / tank_volume
    return left * (cut_out + atmospheric_pressure) - atmospheric_pressure


def leak_rate(
    tank_volume: float,
    precharge: float,
    first_pressure: float,
    last_pressure: float,
    atmospheric_pressure: float,
    waiting_time: float,
) -> float:
    """Water that leaves a captive-air tank while its pressure falls with the pump off.

    Parameters:
        tank_volume: whole volume of the tank [m3], scalar
        precharge: air pressure of the drained tank, gauge [Pa], scalar
        first_pressure: at the beginning, gauge [Pa], scalar
        last_pressure: at the end, gauge [Pa], scalar
        atmospheric_pressure: pressure of the atmosphere at the site [Pa], scalar
        waiting_time: between the two [s], above 0, scalar
    Returns:
        mean flow that leaks away [m3/s]; below 0 where the pressure rose
    Raises:
        OutOfRange: the time is not above 0, or a pressure below 0
    Source: Boyle, p V = constant, isothermal, absolute pressures.
    """
    require_positive(waiting_time, "waiting time", "s")
    require_range(first_pressure, 0.0, np.inf, "first pressure", "Pa")
    require_range(last_pressure, 0.0, np.inf, "last pressure", "Pa")
    air = (tank_volume, precharge)
    before = stored_water(*air, first_pressure, atmospheric_pressure)
    after = stored_water(*air, last_pressure, atmospheric_pressure)
    return (before - after) / waiting_time


PRECHARGE_BELOW_CUT_IN: Final = 2.0 * PSI
"""Customary gap between cut-in and precharge, 2 psi [Pa]; National Driller, article 86027, prints
precharges of 18, 28 and 38 psi for switches of 20/40, 30/50 and 40/60 psi."""


def stored_water(
    tank_volume: float, precharge: float, pressure: Real, atmospheric_pressure: float
) -> Real:
    """Water that a captive-air tank holds at a pressure.

    Parameters:
        tank_volume: whole volume of the tank [m3], scalar
        precharge: air pressure of the drained tank, gauge [Pa], scalar
        pressure: pressure of the water, gauge [Pa], scalar or array
        atmospheric_pressure: pressure of the atmosphere at the site [Pa], scalar
    Returns:
        volume of water [m3]; 0 at or below the precharge
    Source: Boyle, p V = constant, isothermal, absolute pressures.
    """
    air_share = (precharge + atmospheric_pressure) / (pressure + atmospheric_pressure)
    air_left: Real = np.minimum(air_share, 1.0)
    return tank_volume * (1.0 - plain(air_left))


def acceptance_factor(
    precharge: float, cut_in: float, cut_out: float, atmospheric_pressure: float
) -> float:
    """Share of a captive-air tank's volume that it delivers between cut-out and cut-in.

    Parameters:
        precharge: air pressure of the drained tank, gauge [Pa], scalar
        cut_in: pressure at which the pump starts, gauge [Pa], scalar
        cut_out: pressure at which the pump stops, gauge [Pa], scalar
        atmospheric_pressure: pressure of the atmosphere at the site [Pa], scalar
    Returns:
        drawdown divided by tank volume [-]
    Source: Boyle with absolute pressures; National Driller, article 86027, prints 0.30 for
        30/50 psi with 28 psi precharge.

    >>> psi = 6894.757
    >>> acceptance_factor(28 * psi, 30 * psi, 50 * psi, 14.7 * psi)
    0.30
    """
    return stored_water(1.0, precharge, cut_out, atmospheric_pressure) - stored_water(
        1.0, precharge, cut_in, atmospheric_pressure
    )


def drawdown_volume(
    tank_volume: float,
    precharge: float,
    cut_in: float,
    cut_out: float,
    atmospheric_pressure: float,
) -> float:
    """Water that a captive-air tank delivers while its pressure falls from cut-out to cut-in.

    With the precharge above cut-in the tank is empty before the switch closes: the value is then
    all the water above an empty tank, and the house has none until the pump has started. With the
    precharge above cut-out the tank never takes water and the value is 0.

    Parameters:
        tank_volume: whole volume of the tank [m3], scalar
        precharge: air pressure of the drained tank, gauge [Pa], scalar
        cut_in: pressure at which the pump starts, gauge [Pa], scalar
        cut_out: pressure at which the pump stops, gauge [Pa], scalar
        atmospheric_pressure: pressure of the atmosphere at the site [Pa], scalar
    Returns:
        drawdown [m3]
    Source: Boyle with absolute pressures; Pelikan, National Driller, article 86087: 85 gal,
        28 psi, 30/50 psi at 14.7 psi gives 25.1 gal.

    >>> psi, gal = 6894.757, 3.785411784e-3
    >>> drawdown_volume(85 * gal, 28 * psi, 30 * psi, 50 * psi, 14.7 * psi) / gal
    25.1
    """
    return tank_volume * acceptance_factor(precharge, cut_in, cut_out, atmospheric_pressure)


def pressure_at(
    tank_volume: float, precharge: float, water_volume: Real, atmospheric_pressure: float
) -> Real:
    """Pressure of a captive-air tank that holds some water; the inverse of stored_water.

    Parameters:
        tank_volume: whole volume of the tank [m3], scalar
        precharge: air pressure of the drained tank, gauge [Pa], scalar
        water_volume: volume of water in the tank [m3], scalar or array
        atmospheric_pressure: pressure of the atmosphere at the site [Pa], scalar
    Returns:
        gauge pressure [Pa]
    Raises:
        OutOfRange: the water leaves no room for air
    Source: Boyle, p V = constant, isothermal, absolute pressures.
    """
    air = tank_volume - water_volume
    require_positive(air, "volume left for air", "m3")
    return (precharge + atmospheric_pressure) * tank_volume / air - atmospheric_pressure


def recommended_precharge(cut_in: float) -> float:
    """Customary precharge of a captive-air tank, set with the tank drained.

    Parameters:
        cut_in: pressure at which the pump starts, gauge [Pa], scalar
    Returns:
        precharge 2 psi below cut-in, gauge [Pa]; not below 0
    Source: National Driller, article 86027: 18, 28, 38 psi for 20/40, 30/50, 40/60 psi.

    >>> psi = 6894.757293168361
    >>> recommended_precharge(30 * psi) / psi
    28.0
    """
    return max(cut_in - PRECHARGE_BELOW_CUT_IN, 0.0)


def greatest_cycle_rate(drawdown_volume: float, pump_flow: float) -> float:
    """Most starts per unit of time that any steady demand can cause.

    The worst demand is half the pump's flow.

    Parameters:
        drawdown_volume: water between cut-in and cut-out [m3], scalar
        pump_flow: flow of the pump, mean over the fill [m3/s], scalar
    Returns:
        starts per second [1/s]
    Raises:
        OutOfRange: no drawdown
    Source: continuity; the least of D / (Q - q) + D / q over q is 4 D / Q, at q = Q / 2.
    """
    require_positive(drawdown_volume, "drawdown", "m3")
    return pump_flow / (4.0 * drawdown_volume)


def valve_cycle_rate(drawdown_volume: float, throttled_volume: float, least_flow: float) -> float:
    """Most starts per unit of time behind a valve that throttles the pump near cut-out.

    Below the valve's pressure the tank fills fast, and no demand above the valve's least flow ever
    stops the pump.

    Parameters:
        drawdown_volume: water between cut-in and cut-out [m3], scalar
        throttled_volume: the part of it above the valve's pressure, which fills by what the valve
            lets through [m3], scalar
        least_flow: that flow [m3/s], scalar
    Returns:
        starts per second [1/s], the time below the valve's pressure left out
    Raises:
        OutOfRange: no drawdown
    Source: continuity; the least of V / (Q - q) + D / q over q is (sqrt V + sqrt D)^2 / Q, with
        V = D that of `greatest_cycle_rate`.
    """
    require_positive(drawdown_volume, "drawdown", "m3")
    return least_flow / (math.sqrt(drawdown_volume) + math.sqrt(throttled_volume)) ** 2
