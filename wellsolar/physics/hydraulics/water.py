"""Liquid water between 0 and 100 degC near one atmosphere, and head against pressure.

The properties are polynomials of degree 8 (see water_fits.py). At 0 degC the vapour pressure is
carried on 0.01 K below the triple point; from 99.97 to 100 degC the liquid is held from boiling.
Pressure is left out: 10 bar changes density by 0.05 % and the others by less than 0.5 %.
"""

from __future__ import annotations

import math

import numpy as np

from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.physics.guards import require_positive, require_range
from wellsolar.physics.hydraulics import water_fits
from wellsolar.physics.types import Real


def _polynomial(coefficients: tuple[float, ...], temperature: Real) -> Real:
    require_range(temperature, 0.0, 100.0, "water temperature", "degC")
    x = (temperature - water_fits.CENTRE) / water_fits.HALF_SPAN
    result: Real = 0.0 * x + coefficients[0]
    for coefficient in coefficients[1:]:
        result = result * x + coefficient
    return result


def density(temperature: Real) -> Real:
    """Density of liquid water at one atmosphere.

    Parameters:
        temperature: water temperature, 0..100 [degC], scalar or array
    Returns:
        density [kg/m3]
    Raises:
        OutOfRange: temperature outside 0..100 degC
    Source: Wagner and Pruss (2002), IAPWS-95, fitted through CoolProp.

    >>> density(20.0)
    998.2
    """
    return _polynomial(water_fits.DENSITY, temperature)


def specific_heat(temperature: Real) -> Real:
    """Isobaric specific heat of liquid water at one atmosphere.

    Parameters:
        temperature: water temperature, 0..100 [degC], scalar or array
    Returns:
        specific heat [J/(kg K)]
    Raises:
        OutOfRange: temperature outside 0..100 degC
    Source: Wagner and Pruss (2002), IAPWS-95, fitted through CoolProp.

    >>> specific_heat(20.0)
    4184.
    """
    return _polynomial(water_fits.SPECIFIC_HEAT, temperature)


def dynamic_viscosity(temperature: Real) -> Real:
    """Dynamic viscosity of liquid water at one atmosphere.

    Parameters:
        temperature: water temperature, 0..100 [degC], scalar or array
    Returns:
        dynamic viscosity [Pa s]
    Raises:
        OutOfRange: temperature outside 0..100 degC
    Source: Huber et al. (2009), IAPWS R12-08 formulation, fitted through CoolProp.
    """
    return 1.0 / _polynomial(water_fits.FLUIDITY, temperature)


def kinematic_viscosity(temperature: Real) -> Real:
    """Kinematic viscosity of liquid water at one atmosphere.

    Parameters:
        temperature: water temperature, 0..100 [degC], scalar or array
    Returns:
        kinematic viscosity [m2/s]
    Raises:
        OutOfRange: temperature outside 0..100 degC
    Source: definition, dynamic viscosity over density; both as in this module.
    """
    return dynamic_viscosity(temperature) / density(temperature)


def vapour_pressure(temperature: Real) -> Real:
    """Absolute pressure at which water of this temperature boils.

    Parameters:
        temperature: water temperature, 0..100 [degC], scalar or array
    Returns:
        absolute vapour pressure [Pa]
    Raises:
        OutOfRange: temperature outside 0..100 degC
    Source: Wagner and Pruss (2002), IAPWS-95, fitted through CoolProp.

    >>> vapour_pressure(20.0) / 1000.0
    2.339
    """
    logarithm = _polynomial(water_fits.LOG_VAPOUR_PRESSURE, temperature)
    return math.exp(logarithm) if isinstance(logarithm, float) else np.exp(logarithm)


def pressure_head(pressure: float, density: float) -> float:
    """Height of the column of water that gives a pressure at its foot.

    Parameters:
        pressure: pressure difference or gauge pressure [Pa], scalar
        density: density of the water [kg/m3], scalar
    Returns:
        head [m]
    Raises:
        OutOfRange: density not above zero
    Source: hydrostatics, p = rho g h; 1 psi = 2.31 ft in the trade.
    """
    require_positive(density, "density", "kg/m3")
    return pressure / (density * STANDARD_GRAVITY)


def column_pressure(head: float, density: float) -> float:
    """Pressure at the foot of a column of water.

    Parameters:
        head: height of the column [m], scalar
        density: density of the water [kg/m3], scalar
    Returns:
        pressure difference [Pa]
    Raises:
        OutOfRange: density not above zero
    Source: hydrostatics, p = rho g h.
    """
    require_positive(density, "density", "kg/m3")
    return head * density * STANDARD_GRAVITY
