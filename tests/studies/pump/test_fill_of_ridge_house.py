"""The fill of the shipped house's pressure tank by scipy's integration in time.

The system's head is built up here from the file's own lines: level, height, pipes by Colebrook's
friction factor, fittings, treatment and pressure. Bores, roughness and K are those of the tables.
"""

from __future__ import annotations

import math
from pathlib import Path

import fluids
import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from wellsolar.data import fitting_table, pipes
from wellsolar.site.loading.read import load_site
from wellsolar.studies.case import Case

EXAMPLE = Path(__file__).parents[3] / "examples/ridge_house.toml"
PSI, FOOT, GALLON, INCH, G = 6894.757, 0.3048, 3.785411784e-3, 0.0254, 9.80665
DENSITY, VISCOSITY = 999.4, 1.19e-6
"""Of water at 55 degF (12.8 degC): handbooks' values, from memory."""

AIR = 101_325 * (1 - 2.25577e-5 * 900 * FOOT) ** 5.25588
"""Of the international standard atmosphere at 900 ft."""


def test_the_fill_is_that_of_an_integration_in_time() -> None:
    case = Case(load_site(EXAMPLE))
    site, pump = case.site, case.pumps[0]
    table = site.pump[0]
    curve = PchipInterpolator([float(q) for q in table.flow], [float(h) for h in table.head])
    size = pipes.pipe_size("polyethylene SIDR", "1 1/4 in")
    area, length = math.pi / 4 * size.bore**2, (190 - 3 + 120) * FOOT
    counts = {"pitless adapter": 1, "check valve": 1, "90 elbow": 5, "ball valve": 2}
    loss = sum(n * fitting_table.fitting(kind).loss_coefficient for kind, n in counts.items())

    def lacks(flow: float, pressure: float) -> float:
        speed = flow / area
        friction = fluids.friction_factor(
            Re=max(speed * size.bore / VISCOSITY, 1.0),
            eD=size.roughness / size.bore,
            Method="Colebrook",
        )
        lost = (friction * length / size.bore + loss + 1) * speed**2 / (2 * G)
        level = 85 * FOOT + flow / (0.35 * GALLON / 60 / FOOT)
        head = level + 8 * FOOT + lost + (pressure + 2 * PSI) / (DENSITY * G)
        return float(curve(flow)) - head

    def flow_at(pressure: float) -> float:
        return brentq(lacks, 1e-7, float(table.flow[-1]), args=(pressure,))

    volume, empty = 86 * GALLON, 38 * PSI + AIR

    def water(pressure: float) -> float:
        return volume * (1 - empty / (pressure + AIR))

    def filled(_: float, inside: np.ndarray) -> float:
        return float(inside[0]) - water(60 * PSI)

    filled.terminal = True  # type: ignore[attr-defined]
    done = solve_ivp(
        lambda _, inside: [flow_at(volume * empty / (volume - inside[0]) - AIR)],
        (0.0, 3600.0),
        [water(40 * PSI)],
        events=filled,
        rtol=1e-8,
        atol=1e-10,
    )
    (duration,) = done.t_events[0]
    # The example's figure rests on viscosity and density of a fit; here they are a handbook's.
    assert pump.fill.duration == pytest.approx(duration, rel=2e-3)
    assert pump.fill.mean_flow == pytest.approx(
        (water(60 * PSI) - water(40 * PSI)) / duration, rel=2e-3
    )
