"""Constants of nature and of definition, each with its source."""

from __future__ import annotations

from typing import Final

STANDARD_GRAVITY: Final = 9.80665
"""Standard acceleration of gravity [m/s2]; exact by definition, 3rd CGPM (1901)."""

STANDARD_ATMOSPHERE: Final = 101_325.0
"""Standard atmosphere [Pa]; exact by definition, 10th CGPM (1954)."""

ZERO_CELSIUS: Final = 273.15
"""0 degC as a thermodynamic temperature [K]; exact by definition."""

BOLTZMANN_EV: Final = 8.617333262e-5
"""Boltzmann constant [eV/K]; CODATA 2018."""

SOLAR_CONSTANT: Final = 1367.0
"""Extraterrestrial normal irradiance at the mean distance [W/m2]; World Radiation Center value
as used in Duffie & Beckman, Solar Engineering of Thermal Processes (value from memory)."""
