"""Polynomials for liquid water, 0..100 degC at one standard atmosphere.

Written by tests/against_libraries/hydraulics/make_water_fits.py from CoolProp
8.0.0; do not edit by hand.
Each is in powers of x = (temperature - CENTRE) / HALF_SPAN, highest power first.
"""

from __future__ import annotations

from typing import Final

CENTRE: Final = 50.0
HALF_SPAN: Final = 50.0

DENSITY: Final = (
    -0.037650842389336706,
    0.07575432568274186,
    -0.08284854003025832,
    0.20519653789554362,
    -0.6200984280069217,
    1.5874257386706485,
    -8.198361645322255,
    -22.615496852736307,
    988.0350280137907,
)
"""Density [kg/m3]; greatest relative error 1.0e-07."""

SPECIFIC_HEAT: Final = (
    2.1533954394031114,
    -3.2026099444092693,
    1.3278343926305534,
    -5.074277672149607,
    12.246275757312478,
    -7.794732543755229,
    20.48522162798892,
    14.192982648144643,
    4181.344193395327,
)
"""Isobaric specific heat [J/(kg K)]; greatest relative error 2.2e-06."""

FLUIDITY: Final = (
    0.10296109668357854,
    -0.5043084729606868,
    0.9533568882177195,
    0.968030664430979,
    -4.362384151893986,
    -39.754334585851105,
    228.27206339789203,
    1535.9165211401335,
    1829.7716722846085,
)
"""Reciprocal of the dynamic viscosity [1/(Pa s)]; greatest relative error 1.9e-07."""

LOG_VAPOUR_PRESSURE: Final = (
    -1.726407407502718e-05,
    6.942796212484216e-05,
    -0.0003039338395843653,
    0.001776548288530244,
    -0.011298013250250762,
    0.07283284608378435,
    -0.43872608022527804,
    2.481103404219806,
    9.421568883366504,
)
"""Natural log of vapour pressure [Pa]; greatest relative error 2.7e-08."""
