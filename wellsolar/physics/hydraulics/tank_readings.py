"""What readings at a pressure tank say of what can't be read: flow, precharge, leak."""

from __future__ import annotations

import numpy as np

from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.hydraulics import pressure_tank
from wellsolar.physics.types import Floats


def flow_from_fill_time(
    tank_volume: Floats,
    precharge: Floats,
    cut_in: Floats,
    cut_out: Floats,
    atmospheric_pressure: Floats,
    fill_time: Floats,
) -> Floats:
    """Mean flow of a pump that fills a captive-air tank in a time, with no tap open.

    Parameters:
        tank_volume: whole volume of the tank [m3], scalar or array
        precharge: air pressure of the drained tank, gauge [Pa], scalar or array
        cut_in: pressure at which the pump starts, gauge [Pa], scalar or array
        cut_out: pressure at which the pump stops, gauge [Pa], scalar or array
        atmospheric_pressure: pressure of the atmosphere at the site [Pa], scalar or array
        fill_time: from cut-in to cut-out [s], above 0, scalar or array
    Returns:
        flow, the mean in time [m3/s]
    Raises:
        OutOfRange: the time is not above 0
    Source: continuity with Boyle's law; Pelikan, National Driller, article 86087: the 25.1 gal of
        an 85 gal tank at 28 psi between 30 and 50 psi, here in 2.51 min.

    >>> psi, gal = 6894.757, 3.785411784e-3
    >>> tank = (85 * gal, 28 * psi, 30 * psi, 50 * psi, 14.7 * psi)
    >>> float(flow_from_fill_time(*tank, 2.51 * 60) * 60 / gal)
    10.0
    """
    require_positive(fill_time, "fill time", "s")
    drawn = pressure_tank.drawdown_volume(
        tank_volume, precharge, cut_in, cut_out, atmospheric_pressure
    )
    return drawn / fill_time


def precharge_from_drawdown(
    tank_volume: Floats,
    drawdown_volume: Floats,
    cut_in: Floats,
    cut_out: Floats,
    atmospheric_pressure: Floats,
) -> Floats:
    """Precharge, not above cut-in, with which a captive-air tank takes so much between pressures.

    Parameters:
        tank_volume: whole volume of the tank [m3], above 0, scalar or array
        drawdown_volume: water taken from cut-in to cut-out [m3], scalar or array
        cut_in: lower pressure, gauge [Pa], scalar or array
        cut_out: higher pressure, gauge [Pa], scalar or array
        atmospheric_pressure: pressure of the atmosphere at the site [Pa], scalar or array
    Returns:
        air pressure of the drained tank, gauge [Pa]; above cut-in where no precharge below it
        takes so much, below 0 where the tank holds less air than at the atmosphere's pressure
    Raises:
        OutOfRange: tank volume not above 0, or cut-out not above cut-in
    Source: Boyle with absolute pressures, solved for the precharge; National Driller, article
        86027, prints 0.30 of the volume for 30/50 psi with 28 psi.

    >>> psi = 6894.757
    >>> round(float(precharge_from_drawdown(1.0, 0.2955, 30 * psi, 50 * psi, 14.7 * psi) / psi))
    28
    """
    require_positive(tank_volume, "tank volume", "m3")
    require_positive(cut_out - cut_in, "cut-out less cut-in", "Pa")
    share = drawdown_volume / tank_volume
    low, high = cut_in + atmospheric_pressure, cut_out + atmospheric_pressure
    return share / (1.0 / low - 1.0 / high) - atmospheric_pressure


def precharge_above_cut_in(
    tank_volume: Floats,
    drawdown_volume: Floats,
    cut_out: Floats,
    atmospheric_pressure: Floats,
) -> Floats:
    """Precharge above cut-in with which a captive-air tank takes so much up to cut-out.

    Such a tank is empty before the switch closes, so that all its water is taken in above it.

    Parameters:
        tank_volume: whole volume of the tank [m3], above 0, scalar or array
        drawdown_volume: water taken up to cut-out [m3], scalar or array
        cut_out: higher pressure, gauge [Pa], scalar or array
        atmospheric_pressure: pressure of the atmosphere at the site [Pa], scalar or array
    Returns:
        air pressure of the drained tank, gauge [Pa]
    Raises:
        OutOfRange: tank volume not above 0
    Source: Boyle with absolute pressures, V (1 - P1 / P3) of water up to P3, solved for P1.

    >>> psi = 6894.757
    >>> water = 100.0 * (1.0 - 54.7 / 64.7)
    >>> round(float(precharge_above_cut_in(100.0, water, 50 * psi, 14.7 * psi) / psi), 3)
    40.0
    """
    require_positive(tank_volume, "tank volume", "m3")
    left = 1.0 - drawdown_volume / tank_volume
    return left * (cut_out + atmospheric_pressure) - atmospheric_pressure


def leak_rate(
    tank_volume: Floats,
    precharge: Floats,
    first_pressure: Floats,
    last_pressure: Floats,
    atmospheric_pressure: Floats,
    waiting_time: Floats,
) -> Floats:
    """Water that leaves a captive-air tank while its pressure falls with the pump off.

    Parameters:
        tank_volume: whole volume of the tank [m3], scalar or array
        precharge: air pressure of the drained tank, gauge [Pa], scalar or array
        first_pressure: at the beginning, gauge [Pa], scalar or array
        last_pressure: at the end, gauge [Pa], scalar or array
        atmospheric_pressure: pressure of the atmosphere at the site [Pa], scalar or array
        waiting_time: between the two [s], above 0, scalar or array
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
    before = pressure_tank.stored_water(*air, first_pressure, atmospheric_pressure)
    after = pressure_tank.stored_water(*air, last_pressure, atmospheric_pressure)
    return (before - after) / waiting_time
