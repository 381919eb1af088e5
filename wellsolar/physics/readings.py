"""What a reading on the finished job says of what can't be read: sun, flow, precharge, leak."""

from __future__ import annotations

from typing import Final

import numpy as np

from wellsolar.constants import TEST_IRRADIANCE
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module
from wellsolar.physics.array.module import FiveParameters
from wellsolar.physics.hydraulics import pressure_tank
from wellsolar.physics.solve import bracketed_root, require_positive, require_range
from wellsolar.physics.sun import sun
from wellsolar.physics.types import FloatArray, Floats

BRIGHTEST_LOOKED_FOR: Final = 1600.0
"""Irradiance up to which a reading is explained [W/m2]; above the brightest cloud edges."""

_STEPS: Final = 160
"""Steps in which the root is looked for [-]: of 10 W/m2 each."""


def irradiance_from_current(
    parameters: FiveParameters,
    modules_in_series: int,
    strings: int,
    current: Floats,
    voltage: Floats,
    cell_temperature: Floats,
) -> Floats:
    """Irradiance at which an array works at a current and a voltage, its cells at a temperature.

    Photocurrent and shunt conductance both grow with the irradiance, so that it is explicit:
    G / 1000 = (I + I0 (exp(Vd/a) - 1)) / (IL - Vd/Rsh), Vd = V + I Rs, with IL and Rsh at
    1000 W/m2.

    Parameters:
        parameters: of one module [A, ohm, V]
        modules_in_series: modules in a string [-], scalar
        strings: in parallel [-], scalar
        current: of the array [A], 0 or more, scalar or array
        voltage: at its terminals, the cable's loss included [V], scalar or array
        cell_temperature: [degC], scalar or array
    Returns:
        irradiance on the plane of the array [W/m2]; infinite where no sun gives that point
    Source: single-diode equation of De Soto, Klein and Beckman (2006), solved for the irradiance.
    """
    one = module.at_conditions(parameters, TEST_IRRADIANCE, cell_temperature)
    diode = module.array_of(one, modules_in_series, strings)
    junction = voltage + current * diode.series_resistance
    exponent = np.minimum(np.asarray(junction / diode.thermal_voltage), 700.0)
    wanted = current + diode.saturation_current * np.expm1(exponent)
    made = np.asarray(diode.photocurrent - junction / diode.shunt_resistance)
    lit = made > 0.0
    found: Floats = np.where(lit, TEST_IRRADIANCE * wanted / np.where(lit, made, 1.0), np.inf)[()]
    return found


def irradiance_in_air(
    parameters: FiveParameters,
    modules_in_series: int,
    strings: int,
    current: float,
    voltage: float,
    air_temperature: float,
    wind_speed: float,
) -> float:
    """Irradiance at which an array works at a current and a voltage, its cells warmed by it.

    Parameters:
        parameters: of one module [A, ohm, V]
        modules_in_series: modules in a string [-], scalar
        strings: in parallel [-], scalar
        current: of the array [A], 0 or more, scalar
        voltage: at its terminals, the cable's loss included [V], scalar
        air_temperature: [degC], scalar
        wind_speed: at the modules [m/s], scalar
    Returns:
        least irradiance on the plane of the array that explains the point [W/m2]
    Raises:
        OutOfRange: no sun up to 1600 W/m2 gives that point
    Source: single-diode equation of De Soto, Klein and Beckman (2006), cell temperature by
        Faiman (2008); root by Brent (1973).
    """

    def surplus(irradiance: Floats) -> FloatArray:
        cells = sun.cell_temperature(irradiance, air_temperature, wind_speed)
        found = irradiance_from_current(
            parameters, modules_in_series, strings, current, voltage, cells
        )
        return np.asarray(np.minimum(found, 1e9) - irradiance, dtype=np.float64)

    tried = np.linspace(0.0, BRIGHTEST_LOOKED_FOR, _STEPS + 1)
    enough = np.flatnonzero(surplus(tried) <= 0.0)
    if enough.size == 0:
        raise OutOfRange(
            f"no sun up to {BRIGHTEST_LOOKED_FOR:g} W/m2 gives {current:g} A at {voltage:g} V"
        )
    first = int(enough[0])
    if first == 0:
        return 0.0
    return bracketed_root(
        lambda each: float(surplus(each)),
        float(tried[first - 1]),
        float(tried[first]),
        "irradiance",
        "W/m2",
    )


def haurwitz_horizontal(zenith: Floats) -> Floats:
    """Global irradiance of a cloudless sky on a level surface, by the sun's height alone.

    Parameters:
        zenith: of the sun [deg], scalar or array
    Returns:
        irradiance [W/m2]; 0 with the sun down
    Source: Haurwitz (1945), J. Meteorology 2, 154: 1098 cos z exp(-0.059 / cos z), as
        pvlib has it.
    """
    height = np.cos(np.radians(zenith))
    up = height > 0.0
    safe = np.where(up, height, 1.0)
    found: Floats = np.where(up, 1098.0 * safe * np.exp(-0.059 / safe), 0.0)[()]
    return found


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
