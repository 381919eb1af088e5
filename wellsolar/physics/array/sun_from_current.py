"""The sun under which an array works at a current that was read."""

from __future__ import annotations

from typing import Final

import numpy as np

from wellsolar.constants import TEST_IRRADIANCE
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module
from wellsolar.physics.array.module import FiveParameters
from wellsolar.physics.solve import bracketed_root
from wellsolar.physics.sun import tilted_plane
from wellsolar.physics.types import FloatArray, Floats, plain

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
    at_test = np.asarray(diode.photocurrent - junction / diode.shunt_resistance)
    lit = at_test > 0.0
    irradiance = np.where(lit, TEST_IRRADIANCE * wanted / np.where(lit, at_test, np.nan), np.inf)
    return plain(irradiance)


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
        cells = tilted_plane.cell_temperature(irradiance, air_temperature, wind_speed)
        needed = irradiance_from_current(
            parameters, modules_in_series, strings, current, voltage, cells
        )
        return np.asarray(np.minimum(needed - irradiance, BRIGHTEST_LOOKED_FOR), dtype=np.float64)

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
        lambda irradiance: float(surplus(irradiance)),
        float(tried[first - 1]),
        float(tried[first]),
        "irradiance",
        "W/m2",
    )
