"""Fits polynomials to the properties of liquid water and writes `hydraulics/water_fits.py`.

Run from the top of the checkout: python tests/against_libraries/hydraulics/make_water_fits.py

Each property is taken from CoolProp (IAPWS-95 for density and specific heat, IAPWS 2008 for
viscosity) at the Chebyshev points of 0.01..100 degC and one standard atmosphere, the phase held
liquid so that the last 0.03 K below 100 degC, where water would boil, stay on the liquid surface.
The polynomial is fitted in the Chebyshev basis, then written in powers of x = (T - 50) / 50, which
stays between -1 and 1, so Horner's rule loses no digits. The quantity fitted is chosen for the
least error at degree 8: viscosity as its reciprocal, vapour pressure as its logarithm.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import CoolProp
import numpy as np
from CoolProp.CoolProp import PropsSI
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

DEGREE = 8
LOWEST, HIGHEST = 0.01, 100.0
POINTS = 400
TARGET = Path(__file__).parents[3] / "wellsolar" / "physics" / "hydraulics" / "water_fits.py"
Array = NDArray[np.float64]


def liquid(temperature: float, what: str) -> float:
    """A property of liquid water at one standard atmosphere, or its saturation pressure."""
    kelvin = temperature + 273.15
    if what == "saturation":
        return float(PropsSI("P", "T", kelvin, "Q", 0, "Water"))
    state = CoolProp.AbstractState("HEOS", "Water")
    state.specify_phase(CoolProp.iphase_liquid)
    state.update(CoolProp.PT_INPUTS, 101_325.0, kelvin)
    return float(
        {"density": state.rhomass, "heat": state.cpmass, "viscosity": state.viscosity}[what]()
    )


def powers(values: Array, x: Array) -> list[float]:
    """Coefficients in powers of x, highest first, of the Chebyshev least-squares fit."""
    fit = chebyshev.cheb2poly(chebyshev.chebfit(x, values, DEGREE))
    return [float(coefficient) for coefficient in fit[::-1]]


def main() -> None:
    """Fit, measure the error on a fine grid, write the module."""
    angles = np.pi * (np.arange(POINTS) + 0.5) / POINTS
    nodes = 0.5 * (LOWEST + HIGHEST) - 0.5 * (HIGHEST - LOWEST) * np.cos(angles)
    grid = np.linspace(LOWEST, HIGHEST, 997)
    same: Callable[[Array], Array] = lambda y: y  # noqa: E731
    turned: Callable[[Array], Array] = lambda y: 1.0 / y  # noqa: E731
    plan = [
        ("DENSITY", "density", "density [kg/m3]", same, same),
        ("SPECIFIC_HEAT", "heat", "isobaric specific heat [J/(kg K)]", same, same),
        (
            "FLUIDITY",
            "viscosity",
            "reciprocal of the dynamic viscosity [1/(Pa s)]",
            turned,
            turned,
        ),
        (
            "LOG_VAPOUR_PRESSURE",
            "saturation",
            "natural log of vapour pressure [Pa]",
            np.log,
            np.exp,
        ),
    ]
    lines = [
        '"""Polynomials for liquid water, 0..100 degC at one standard atmosphere.',
        "",
        "Written by tests/against_libraries/hydraulics/make_water_fits.py from CoolProp",
        f"{CoolProp.__version__}; do not edit by hand.",
        "Each is in powers of x = (temperature - CENTRE) / HALF_SPAN, highest power first.",
        '"""',
        "",
        "from __future__ import annotations",
        "",
        "from typing import Final",
        "",
        "CENTRE: Final = 50.0",
        "HALF_SPAN: Final = 50.0",
    ]
    for name, what, text, there, back in plan:
        at_nodes = np.array([liquid(t, what) for t in nodes])
        at_grid = np.array([liquid(t, what) for t in grid])
        coefficients = powers(there(at_nodes), (nodes - 50.0) / 50.0)
        error = np.max(
            np.abs(back(np.polyval(coefficients, (grid - 50.0) / 50.0)) / at_grid - 1.0)
        )
        lines += ["", f"{name}: Final = ("]
        lines += [f"    {coefficient!r}," for coefficient in coefficients]
        lines += [")", f'"""{text[0].upper()}{text[1:]}; greatest relative error {error:.1e}."""']
        print(f"{name}: {error:.2e}")
    TARGET.write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
