"""Constants of nature and of definition, each with its source; imports nothing of the project."""

from __future__ import annotations

from typing import Final

STANDARD_GRAVITY: Final = 9.80665
"""Standard acceleration of gravity [m/s2]; exact by definition, 3rd CGPM (1901)."""

STANDARD_ATMOSPHERE: Final = 101_325.0
"""Standard atmosphere [Pa]; exact by definition, 10th CGPM (1954)."""

ZERO_CELSIUS: Final = 273.15
"""0 degC as a thermodynamic temperature [K]; exact by definition."""

HOUR: Final = 3600.0
"""Hour [s]; exact."""

DAY: Final = 86_400.0
"""Day [s]; exact by definition."""

INCH: Final = 0.0254
"""Inch [m]; exact by definition, international yard and pound agreement (1959)."""

FOOT: Final = 0.3048
"""Foot [m]; exact by definition, as INCH."""

POUND: Final = 0.45359237
"""Avoirdupois pound [kg]; exact by definition, international yard and pound agreement (1959)."""

US_GALLON: Final = 3.785411784e-3
"""US gallon, 231 cubic inches [m3]; exact by definition."""

PSI: Final = POUND * STANDARD_GRAVITY / INCH**2
"""Pound-force per square inch [Pa]; exact by definition."""

BAR: Final = 1.0e5
"""Bar [Pa]; exact by definition."""

HORSEPOWER: Final = 550.0 * FOOT * POUND * STANDARD_GRAVITY
"""Horsepower, 550 ft lbf/s [W]; exact by definition."""

BTU_PER_POUND_FAHRENHEIT: Final = 4186.8
"""1 Btu/(lb degF) as [J/(kg K)]; exact by definition of the international table Btu."""

BOLTZMANN_EV: Final = 8.617333262e-5
"""Boltzmann constant [eV/K]; CODATA 2018."""

TEST_IRRADIANCE: Final = 1000.0
"""Irradiance of the standard test conditions [W/m2]; IEC 60904-3, IEC 61215 (from memory)."""

TEST_TEMPERATURE: Final = 25.0
"""Cell temperature of those conditions [degC]; IEC 60904-3, IEC 61215 (from memory)."""

SOLAR_CONSTANT: Final = 1367.0
"""Extraterrestrial normal irradiance at the mean distance [W/m2]; World Radiation Center value
as used in Duffie & Beckman, Solar Engineering of Thermal Processes (value from memory)."""
