"""Wires against the definition of their gauge and the copper standard."""

from __future__ import annotations

import math

import pytest
import scipy.constants

from wellsolar.data import wiring


def test_areas_follow_the_definition_of_the_wire_gauge():
    # ASTM B258: diameter 0.005 in x 92^((36 - n) / 39), n = 0, -1, -2, -3 for 1/0 to 4/0.
    for size in wiring.wires():
        text = size.gauge.removesuffix(" AWG")
        number = 1 - int(text[0]) if text.endswith("/0") else int(text)
        diameter = 0.005 * scipy.constants.inch * 92 ** ((36 - number) / 39)
        assert size.area == pytest.approx(math.pi / 4 * diameter**2, rel=1e-3), size.gauge


def test_resistances_follow_the_annealed_copper_standard():
    # IEC 60028: 1.7241e-8 ohm m at 20 degC, 0.00393 /K; strands run about 2 % longer.
    resistivity = 1.7241e-8 * (1 + 0.00393 * (75 - 20))
    for size in wiring.wires():
        solid = resistivity / size.area
        assert size.resistance_75c_stranded == pytest.approx(1.02 * solid, rel=0.007), size.gauge
        if size.resistance_75c_solid is not None:
            assert size.resistance_75c_solid == pytest.approx(solid, rel=0.006), size.gauge
